"""Walks the web app in a real browser: drawing, metric, order, sheet, why."""

import pathlib
import re
import shutil
import tempfile
import unittest

import pages
from pages import DEMO, PICTURES, closed, opened
from program import browser, read, wait
from selenium.webdriver.common.by import By

# Every part of the demo, by its file, and what it is called.
PARTS = {
    file.stem: re.search(r'^part = "(.*)"', file.read_text(), re.M).group(1)
    for file in sorted((DEMO / "parts").glob("*.toml"))
}


class Pages(pages.Pages, unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        cls.folder = pathlib.Path(tempfile.mkdtemp())
        cls.servers = []
        cls.address = cls.served(DEMO)
        cls.browser = browser(cls.folder / "profile", "--window-size=1000,1400")
        PICTURES.mkdir(parents=True, exist_ok=True)

    def tearDown(self):
        errors = [entry for entry in self.browser.get_log("browser") if entry["level"] == "SEVERE"]
        self.assertEqual(errors, [], "the console has errors")

    def text(self):
        return read(self.browser, By.TAG_NAME, "main")

    def go(self, words):
        """Clicks the link with these words and waits for the next page."""
        page = self.browser.find_element(By.TAG_NAME, "html")
        self.browser.find_element(By.LINK_TEXT, words).click()
        wait(self.browser).until(
            lambda b: b.find_element(By.TAG_NAME, "html") != page
            and b.execute_script("return document.readyState") == "complete"
        )

    def keep(self, name):
        """A screenshot of the whole page; nothing may stick out sideways."""
        size = self.browser.execute_script(
            "return [document.documentElement.scrollWidth, document.documentElement.scrollHeight, window.innerWidth]"
        )
        self.assertLessEqual(size[0], size[2], f"{name} is wider than the window")
        self.browser.set_window_size(1000, max(1400, size[1] + 100))
        self.browser.save_screenshot(str(PICTURES / f"{name}.png"))
        self.browser.set_window_size(1000, 1400)

    def test_from_the_drawing_to_the_sheet(self):
        self.browser.get(self.address)
        for title in PARTS.values():
            self.assertIn(title, self.text())
        self.go("Valve lever")
        self.assertEqual(read(self.browser, By.TAG_NAME, "h1"), "Valve lever")
        self.go("As published, and metric")
        picture = self.browser.find_element(By.CSS_SELECTOR, ".picture svg")
        self.assertIn("1 27/32", picture.text)
        self.keep("drawing")

        self.go("Metric")
        row = read(self.browser, By.XPATH, "//tr[@data-name='rod bore: diameter']")
        for words in ["3/16", "4.7625", "5 mm", "reamer"]:
            self.assertIn(words, row)
        self.assertIn("proven", self.text())
        self.keep("metric")

        self.go("Order")
        order = self.text()
        self.assertLess(order.index("ream pivot bore"), order.index("saw clamp slit"))
        self.assertLess(order.index("tap clamp screw"), order.index("saw clamp slit"))
        self.assertIn("What must not be done early", order)
        self.keep("order")

        self.go("Sheets")
        self.browser.find_element(By.PARTIAL_LINK_TEXT, "Rotary table: on the stub in pivot bore").click()
        sheet = self.text()
        for words in ["offset from the table centre", "85° 07", "rev/min"]:
            self.assertIn(words, sheet)
        self.keep("sheet")

        self.browser.find_element(By.PARTIAL_LINK_TEXT, "19.000").click()
        self.assertIn("radius of the cutter", self.text().replace("cutter's radius", "radius of the cutter"))
        self.keep("why")

    def test_every_page_of_every_part_shows(self):
        for part, title in PARTS.items():
            for page in ["drawing", "published", "metric", "order", "sheets"]:
                self.browser.get(f"{self.address}/parts/{part}/{page}")
                self.assertEqual(read(self.browser, By.TAG_NAME, "h1"), title)
            self.browser.get(f"{self.address}/parts/{part}/sheets")
            links = self.browser.find_elements(By.CSS_SELECTOR, "ol.sheets a")
            addresses = [link.get_attribute("href") for link in links]
            self.assertGreater(len(addresses), 3)
            # On a telephone each row keeps its box to tick.
            self.browser.set_window_size(360, 1400)
            for address in addresses:
                self.browser.get(address)
                self.assertTrue(self.browser.find_elements(By.CSS_SELECTOR, "article.paper"), address)
                cut = self.browser.execute_script(
                    "const edge = document.querySelector('article.paper').getBoundingClientRect().right;"
                    "return [...document.querySelectorAll('.rows .box')]"
                    ".map((box) => box.getBoundingClientRect().right - edge).filter((over) => over > 0)"
                )
                self.assertEqual(cut, [], f"{address}: boxes stick out of the sheet")
            self.browser.set_window_size(1000, 1400)

    def test_a_part_with_problems_says_them(self):
        with tempfile.TemporaryDirectory() as folder:
            project = pathlib.Path(folder) / "launch"
            shutil.copytree(DEMO, project)
            lever = project / "parts" / "valve-lever.toml"
            lever.write_text(lever.read_text().replace('"5 BA"', '"5 BX <b>"'))
            server, address = opened(project)
            try:
                self.browser.get(f"{address}/parts/valve-lever/metric")
                self.assertIn("5 BX <b>", self.text())
                self.assertIn("line ", self.text())
                self.keep("problems")
            finally:
                closed(server)
        # The answer is 422 by design, and the browser notes that as an error.
        self.browser.get_log("browser")


if __name__ == "__main__":
    unittest.main()
