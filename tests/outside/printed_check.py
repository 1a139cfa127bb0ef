"""The printed sheets, read by another program: paper size, fonts, ink inside the frame, and
every number of the CSV on the pages."""

import csv
import pathlib
import re
import subprocess
import tempfile
import unittest

from PIL import Image

from program import ROOT

PART = ROOT / "examples" / "kittiwake" / "parts" / "valve-spindle.toml"


def told(*words):
    return subprocess.run(words, capture_output=True, text=True, check=True).stdout


class Printed(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        cls.folder = tempfile.TemporaryDirectory()
        cls.addClassCleanup(cls.folder.cleanup)
        cls.out = pathlib.Path(cls.folder.name)
        binary = ROOT / "target" / "debug" / "oddleg"
        told(binary, "sheets", PART, "-o", cls.out)
        cls.pdf = cls.out / "valve-spindle.pdf"

    def test_the_pages_are_a4_and_the_fonts_are_inside(self):
        info = told("pdfinfo", self.pdf)
        self.assertRegex(info, r"Page size:\s+595\.\d+ x 841\.\d+ pts \(A4\)")
        fonts = told("pdffonts", self.pdf).splitlines()[2:]
        self.assertTrue(fonts)
        for font in fonts:
            # name, type, encoding, emb, sub, uni
            self.assertRegex(font, r"\byes\s+yes\s+yes\b")

    def test_pages_in_two_tones_hold_all_their_ink_inside_the_frame(self):
        told("pdftoppm", "-r", "100", "-mono", self.pdf, self.out / "page")
        pages = sorted(self.out.glob("page*.pbm"))
        self.assertGreater(len(pages), 4)
        for page in pages:
            image = Image.open(page).convert("L").point(lambda v: 255 - v)
            left, top, right, bottom = image.getbbox()
            wide, high = image.size
            # Nothing within 4 mm of the edge, where a printer does not print.
            margin = 4 / 25.4 * 100
            self.assertGreater(min(left, top, wide - right, high - bottom), margin, page.name)
            ink = sum(image.point(lambda v: v // 255).tobytes()) if image.mode == "L" else 0
            self.assertGreater(ink, 0.005 * wide * high, page.name)
            self.assertLess(ink, 0.5 * wide * high, page.name)

    def test_every_number_of_the_spreadsheet_stands_on_the_pages(self):
        plain = lambda text: re.sub(r"\s", "", text.replace("−", "-"))
        words = plain(told("pdftotext", "-layout", self.pdf, "-"))
        with open(self.out / "valve-spindle.csv", newline="") as file:
            rows = list(csv.DictReader(file))
        self.assertGreater(len(rows), 40)
        for row in rows:
            for number in re.findall(r"\d+\.\d+|\d+", row["value"]):
                self.assertIn(number, words, row)
        with open(self.out / "valve-spindle-inspection.csv", newline="") as file:
            for row in csv.DictReader(file):
                if row["told"] == "yes":
                    for number in re.findall(r"\d+\.\d+", row["should read"]):
                        self.assertIn(number, words, row)


if __name__ == "__main__":
    unittest.main()
