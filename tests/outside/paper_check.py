"""A paper sheet beneath the drawing, end to end: the project draws a sheet, a picture
library turns, scales, skews and blurs it as a scanner and a bad copy would, and slips of the
pen are planted in what is typed from it. Each must be pointed to, and nothing else.
"""

import io
import json
import math
import pathlib
import random
import re
import tempfile
import unittest
import urllib.error
import urllib.request

from PIL import Image, ImageFilter
from selenium.webdriver.common.by import By
from selenium.webdriver.common.keys import Keys
from selenium.webdriver.support.ui import Select

from pages import closed, opened
from program import browser, wait

HEAD = """part = "Plate"
unit = "inch"
material = "mild steel"
[body]
kind = "rectangle"
width = "3 1/2"
height = "2"
thickness = "1/4"
datum = "bottom left"
"""

# Each feature: its kind and size, and its place as the sheet has it.
FEATURES = {
    "main bore": ('kind = "hole"\ndiameter = "1/2"', ["11/16 from left edge", "3/4 from bottom edge"]),
    "stud hole": ('kind = "hole"\ndiameter = "1/4"', ["1 13/32 right of main bore", "5/16 above main bore"]),
    "oil hole": ('kind = "hole"\ndiameter = "1/8"', ["3/4 from stud hole at 60°"]),
    "end hole": ('kind = "hole"\ndiameter = "3/16"', ["23/32 from right edge", "level with main bore"]),
    "screw hole": ('kind = "tapped hole"\nthread = "4 BA"', ["31/32 left of end hole", "9/16 below stud hole"]),
}

# What is typed instead, the dimension that is doubted, and the reading that is offered.
SLIPS = [
    ("1 13/32 right of main bore", "1 3/32 right of main bore", "1 13/32"),
    ("5/16 above main bore", "5/16 below main bore", "opposite direction"),
    ("3/4 from stud hole at 60°", "3/4 from stud hole at 30°", "angle"),
    ("31/32 left of end hole", "13/32 left of end hole", "31/32"),
    ("9/16 below stud hole", "9/16 mm below stud hole", "9/16 in"),
    ("23/32 from right edge", "2 3/32 from right edge", "23/32"),
    ("11/16 from left edge", "5/16 from left edge", ""),
]

# How the sheet lies under the glass: turned in degrees, scaled, stretched across, skewed, blurred.
SCANS = [(0, 1.0, 1.0, 0.0, 0), (2.5, 0.8, 1.006, 0.01, 1.2), (-4, 1.3, 0.99, -0.03, 2.0), (90, 0.9, 1.0, 0.02, 1.0), (178, 1.0, 1.01, 0.0, 1.5)]


def part(features=FEATURES, scan=""):
    blocks = [
        f'[[feature]]\nname = "{name}"\n{what}\nplace = {json.dumps(place, ensure_ascii=False)}\n'
        for name, (what, place) in features.items()
    ]
    return HEAD + scan + "".join(blocks)


class Paper(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        cls.folder = tempfile.TemporaryDirectory()
        root = pathlib.Path(cls.folder.name)
        (root / "parts").mkdir()
        (root / "sheets").mkdir()
        (root / "parts" / "plate.toml").write_text(part())
        cls.sheets = root / "sheets"
        cls.server, cls.address = opened(root)
        cls.addClassCleanup(cls.stop)
        cls.draw()

    @classmethod
    def stop(cls):
        closed(cls.server)
        cls.folder.cleanup()

    @classmethod
    def draw(cls):
        """The sheet as the page draws it, and where on it everything is."""
        window = browser(cls.sheets.parent / "profile", "--force-device-scale-factor=2", "--window-size=2800,2400")
        try:
            window.get(f"{cls.address}/parts/plate/drawing")
            wait(window).until(lambda b: b.find_elements(By.CSS_SELECTOR, "#desk[data-entry=ready]"))
            picture = window.find_element(By.CSS_SELECTOR, "#picture svg")
            cls.image = Image.open(io.BytesIO(picture.screenshot_as_png)).convert("L")
            # The edge of each hole is the round path that is as wide as it is high.
            places = window.execute_script(
                """
                const svg = document.querySelector('#picture svg'), box = svg.getBoundingClientRect(), found = {};
                for (const group of svg.querySelectorAll('[data-feature]')) {
                  const rounds = [...group.querySelectorAll('path.touch')].filter((p) => /A/.test(p.getAttribute('d')));
                  for (const r of rounds.map((round) => round.getBoundingClientRect())) {
                    if (Math.abs(r.width - r.height) > 0.2) continue;
                    found[group.dataset.feature] ??= [r.x + r.width / 2 - box.x, r.y + r.height / 2 - box.y, box.width];
                  }
                }
                return found;
                """
            )
        finally:
            window.quit()
        scale = cls.image.width / next(iter(places.values()))[2]
        (ax, ay), (bx, by) = ((places[name][0] * scale, places[name][1] * scale) for name in ("main bore", "stud hole"))
        # Pixels to the inch, from two holes a known way apart; the rest by the sheet itself.
        px = math.hypot(bx - ax, by - ay) / math.hypot(1 + 13 / 32, 5 / 16)
        left, low = ax - 11 / 16 * px, ay + 3 / 4 * px

        def at(x, y):
            return (left + x * px, low - y * px)

        stud, end = (11 / 16 + 1 + 13 / 32, 3 / 4 + 5 / 16), (3.5 - 23 / 32, 3 / 4)
        slope = math.radians(60)
        cls.places = {
            "main bore": (ax, ay),
            "stud hole": (bx, by),
            "oil hole": at(stud[0] + 3 / 4 * math.cos(slope), stud[1] + 3 / 4 * math.sin(slope)),
            "end hole": at(*end),
            "screw hole": at(end[0] - 31 / 32, stud[1] - 9 / 16),
            "left edge": at(0, 1),
            "right edge": at(3.5, 1),
        }
        cls.corners = {"low left": at(0, 0), "low right": at(3.5, 0), "high left": at(0, 2)}

    def test_the_sheet_is_laid_and_a_feature_placed_by_pointing_with_the_keyboard(self):
        self.image.save(self.sheets / "page.png")
        left_out = {name: what for name, what in FEATURES.items() if name != "stud hole" and name != "oil hole"}
        left_out["screw hole"] = (FEATURES["screw hole"][0], ["31/32 left of end hole", "1/2 from bottom edge"])
        (self.sheets.parent / "parts" / "pointed.toml").write_text(part(left_out))
        window = browser(self.sheets.parent / "pointing", "--window-size=1400,1400")
        try:
            window.get(f"{self.address}/parts/pointed/drawing")
            waiting = wait(window)
            waiting.until(lambda b: b.find_elements(By.CSS_SELECTOR, "#desk[data-entry=ready]"))

            def one(selector):
                return waiting.until(lambda b: b.find_element(By.CSS_SELECTOR, selector))

            def choose(selector, words):
                window.execute_script("document.querySelector('#paper-open').open = true")
                Select(one(selector)).select_by_visible_text(words)

            def settled(words):
                waiting.until(lambda b: words in b.execute_async_script(
                    "const done = arguments[0]; desk.settled().then(() => done(desk.text()))"))

            def point(place):
                """Goes there with the arrow keys, coarse then fine, and presses Enter."""
                sheet = one("#paper-sheet")
                sheet.send_keys("")
                for _ in range(200):
                    x, y, coarse = window.execute_script(
                        "const p = document.querySelector('#paper-cross path').getAttribute('d').match(/-?[\\d.]+/g);"
                        "const s = document.querySelector('#paper-sheet');"
                        "return [(+p[0] + +p[2]) / 2, +p[1], s.dataset.wide / s.getBoundingClientRect().width]")
                    right, down = round((place[0] - x) / coarse), round((place[1] - y) / coarse)
                    if abs(right) <= 3 and abs(down) <= 3:
                        break
                    keys = []
                    for by, less, more in [(right, Keys.ARROW_LEFT, Keys.ARROW_RIGHT), (down, Keys.ARROW_UP, Keys.ARROW_DOWN)]:
                        tens, ones = divmod(abs(by), 10)
                        key = more if by > 0 else less
                        keys += [key] * tens
                        if ones:
                            keys.append(Keys.SHIFT + key * ones + Keys.NULL)
                    sheet.send_keys(*keys)
                said = one("#paper-said").text
                sheet.send_keys(Keys.ENTER)
                waiting.until(lambda b: b.find_element(By.CSS_SELECTOR, "#paper-said").text != said)

            choose("#paper-image", "page.png")
            settled("page.png")
            for tool, length, ends in [
                ("one that runs across", "3 1/2", ("low left", "low right")),
                ("one that runs up", "2", ("low left", "high left")),
            ]:
                choose("#paper-tool", tool)
                for end in ends:
                    point(self.corners[end])
                one("#paper-length").send_keys(length, Keys.ENTER)
                settled(f"{length} {tool.split()[-1]} from")
            choose("#paper-tool", "main bore")
            point(self.places["main bore"])
            settled("main bore at")
            # A new feature: pointed to, then dimensioned by typing, with a slip of the pen.
            choose("#paper-tool", "hole")
            point(self.places["stud hole"])
            settled("hole a at")
            waiting.until(lambda b: b.execute_script("return document.activeElement.dataset.at") == "feature/3/diameter")
            window.switch_to.active_element.send_keys("1/4", Keys.ENTER)
            settled('diameter = "1/4"')
            one("[data-at='feature/3/place/0']").send_keys("1 3/32 right of main bore", Keys.ENTER)
            settled("1 3/32 right of main bore")
            waiting.until(lambda b: "1 13/32" in b.find_element(By.ID, "troubles").text)
            self.assertIn("does not agree with the paper", one("#troubles").text)
            waiting.until(lambda b: b.find_elements(By.CSS_SELECTOR, "#picture image.beneath"))
        finally:
            window.quit()

    def post(self, path, body):
        request = urllib.request.Request(
            self.address + path,
            data=json.dumps(body).encode(),
            headers={"Content-Type": "application/json", "Origin": self.address},
        )
        with urllib.request.urlopen(request) as answer:
            return json.load(answer)

    def scanned(self, name, turn, scale, stretch, skew, blur):
        """The sheet as a scanner gives it, and where it shows a place of the drawn one."""
        s, c = math.sin(math.radians(turn)), math.cos(math.radians(turn))
        a, b = scale * (c * stretch), scale * (c * skew - s)
        d, e = scale * (s * stretch), scale * (s * skew + c)
        wide, high = self.image.size
        ends = [(a * x + b * y, d * x + e * y) for x in (0, wide) for y in (0, high)]
        dx, dy = 20 - min(x for x, _ in ends), 20 - min(y for _, y in ends)
        size = [int(max(p[k] for p in ends) + (dx, dy)[k] + 20) for k in (0, 1)]
        det = a * e - b * d
        back = (e / det, -b / det, (b * dy - e * dx) / det, -d / det, a / det, (d * dx - a * dy) / det)
        scan = self.image.transform(size, Image.Transform.AFFINE, back, Image.Resampling.BICUBIC, fillcolor=255)
        if blur:
            scan = scan.filter(ImageFilter.GaussianBlur(blur))
        scan.save(self.sheets / name)
        return lambda x, y: (a * x + b * y + dx, d * x + e * y + dy)

    def test_slips_of_the_pen_show_on_turned_skewed_and_blurred_sheets(self):
        random.seed(7)
        for number, how in enumerate(SCANS):
            name = f"scan-{number}.png"
            seen = self.scanned(name, *how)

            def pointed(place):
                """Near what is meant, then where the program takes it to be."""
                x, y = seen(*place)
                near = {"x_px": x + random.uniform(-5, 5), "y_px": y + random.uniform(-5, 5), "reach_px": 14}
                led = self.post(f"/images/{name}/snap", near)
                return (led["x_px"], led["y_px"], led["found"], math.hypot(led["x_px"] - x, led["y_px"] - y))

            def at(place):
                x, y, _, _ = pointed(place)
                return f"{x}, {y}"

            for hole in FEATURES:
                _, _, found, off = pointed(self.places[hole])
                self.assertEqual(found, "circle", f"{hole} on {name}")
                self.assertLess(off, 1.5, f"{hole} on {name}")
            corner = {k: at(v) for k, v in self.corners.items()}
            # Along an edge there is no corner to find: the click itself counts.
            edges = {}
            for edge in ("left edge", "right edge"):
                x, y = seen(*self.places[edge])
                edges[edge] = f"{x + random.uniform(-2, 2):.1f}, {y + random.uniform(-2, 2):.1f}"
            spots = [f"{hole} at {at(self.places[hole])}" for hole in FEATURES]
            spots += [f"{edge} at {place}" for edge, place in edges.items()]
            known = [
                f"3 1/2 across from {corner['low left']} to {corner['low right']}",
                f"2 up from {corner['low left']} to {corner['high left']}",
            ]
            scan = f'[scan]\nimage = "{name}"\nknown = {json.dumps(known)}\nspots = {json.dumps(spots)}\n'
            self.assertEqual(self.doubts(part(scan=scan)), [], f"{name} without a slip")
            for right, wrong, mended in SLIPS:
                text = part(scan=scan).replace(json.dumps(right, ensure_ascii=False), json.dumps(wrong, ensure_ascii=False))
                self.assertNotEqual(text, part(scan=scan))
                doubts = self.doubts(text)
                self.assertEqual([d for d in doubts if wrong in d] , doubts, f"{wrong} on {name}")
                self.assertEqual(len(doubts), 1, f"{wrong} on {name}")
                self.assertIn(mended, doubts[0], f"{wrong} on {name}")

    def doubts(self, text):
        """What the page says that the paper does not bear out."""
        answer = self.post("/parts/plate/drawing", {"text": text, "changes": [], "state": {"card": "part"}})
        plain = re.sub(r"<[^>]+>", "\n", answer["fragments"]["troubles"]).replace("&#39;", "'")
        blocks = re.split(r"\n(?=\s*[^\n]*does not agree with the paper)", plain)
        return [re.sub(r"\s+", " ", block) for block in blocks if "does not agree with the paper" in block]

    def test_a_sheet_that_is_squared_is_served_and_what_is_no_image_is_refused(self):
        seen = self.scanned("flat.png", 3, 1.0, 1.0, 0.0, 0)
        corner = {k: "{:.1f}, {:.1f}".format(*seen(*v)) for k, v in self.corners.items()}
        known = [
            f"3 1/2 across from {corner['low left']} to {corner['low right']}",
            f"2 up from {corner['low left']} to {corner['high left']}",
        ]
        bore = "{:.1f}, {:.1f}".format(*seen(*self.places["main bore"]))
        scan = f'[scan]\nimage = "flat.png"\nknown = {json.dumps(known)}\nspots = ["main bore at {bore}"]\n'
        answer = self.post("/parts/plate/drawing", {"text": part(scan=scan), "changes": [], "state": {"card": "part"}})
        beneath = re.search(r'<image class="beneath" href="([^"]+)"', answer["fragments"]["picture"]).group(1)
        with urllib.request.urlopen(self.address + beneath.replace("&amp;", "&")) as reply:
            squared = Image.open(io.BytesIO(reply.read()))
        # Squared again, the foot of the plate is a level line of ink from end to end.
        dark = [sum(1 for x in range(squared.width) if squared.getpixel((x, y)) < 128) for y in range(squared.height)]
        plate = 3.5 / 2 * abs(self.corners["high left"][1] - self.corners["low left"][1])
        self.assertGreater(max(dark), 0.9 * plate)
        (self.sheets / "broken.png").write_bytes(b"\x89PNG\r\n\x1a\nnothing more")
        with self.assertRaises(urllib.error.HTTPError) as refused:
            self.post("/images/broken.png/snap", {"x_px": 1, "y_px": 1, "reach_px": 9})
        with refused.exception as reply:
            self.assertEqual(reply.code, 422)


if __name__ == "__main__":
    unittest.main()
