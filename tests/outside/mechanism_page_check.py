"""The page Mechanism in a real browser: it turns, it plots, it fits narrow and wide windows."""

import json
import pathlib
import re
import shutil
import tempfile
import time
import unittest

from pages import DEMO, PICTURES, Pages
from program import ROOT, browser, read, wait
from selenium.webdriver.common.by import By
from selenium.webdriver.support.ui import Select


class MechanismPage(Pages, unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        # The demo, and a reversing gear with curved link and several settings beside it.
        cls.folder = pathlib.Path(tempfile.mkdtemp())
        cls.servers = []
        project = shutil.copytree(DEMO, cls.folder / "kittiwake")
        with open(project / "mechanism.toml", "a") as file:
            file.write("\n" + (ROOT / "examples" / "mechanisms" / "link-motion.toml").read_text())
        cls.address = cls.served(project)
        cls.browser = browser(cls.folder / "profile", "--window-size=1400,1000")
        PICTURES.mkdir(parents=True, exist_ok=True)

    def setUp(self):
        self.browser.execute_cdp_cmd("Emulation.setEmulatedMedia", {"features": []})
        self.browser.set_window_size(1400, 1000)
        self.browser.get(self.address)
        self.browser.find_element(By.LINK_TEXT, "Mechanism").click()
        wait(self.browser).until(lambda b: b.find_elements(By.CSS_SELECTOR, ".moving"))

    def tearDown(self):
        errors = [entry for entry in self.browser.get_log("browser") if entry["level"] == "SEVERE"]
        self.assertEqual(errors, [], "the console has errors")

    def first(self, css):
        return self.browser.find_element(By.CSS_SELECTOR, f".moving {css}")

    def links(self):
        return [path.get_attribute("d") for path in self.browser.find_elements(By.CSS_SELECTOR, ".motion .moves")]

    def test_it_stands_where_the_links_are(self):
        """The crank pin is 17.46 mm from the shaft at every position, the rod 76.2 long."""
        data = json.loads(self.first("script").get_attribute("textContent"))
        self.assertEqual(len(data["frames"]), len(data["angles"]))
        for frame in data["frames"]:
            arms = [[float(n) for n in re.findall(r"-?\d+\.\d+", arm)] for arm in frame[0].split("M")[1:]]
            crank = arms[0]
            self.assertAlmostEqual(((crank[2] - crank[0]) ** 2 + (crank[3] - crank[1]) ** 2) ** 0.5, 17.46, delta=0.02)
            rod = [float(n) for n in re.findall(r"-?\d+\.\d+", frame[1])]
            self.assertAlmostEqual(((rod[2] - rod[0]) ** 2 + (rod[3] - rod[1]) ** 2) ** 0.5, 76.2, delta=0.02)

    def test_it_turns_when_it_is_asked_to(self):
        before = self.links()
        time.sleep(0.5)
        self.assertEqual(self.links(), before, "nothing turns by itself")
        button = self.first(".play")
        button.click()
        wait(self.browser).until(lambda b: self.links() != before)
        self.assertEqual(button.get_attribute("aria-pressed"), "true")
        button.click()
        stopped = self.links()
        time.sleep(0.3)
        self.assertEqual(self.links(), stopped)

    def test_the_crank_is_turned_by_keys_and_the_plots_follow(self):
        cursor = self.first(".plot .cursor").get_attribute("transform")
        crank = self.first(".crank")
        crank.send_keys("\ue014" * 30)  # the right arrow
        self.assertEqual(read(self.browser, By.CSS_SELECTOR, ".moving .angle"), "90°")
        self.assertNotEqual(self.first(".plot .cursor").get_attribute("transform"), cursor)
        self.assertFalse(self.first(".motion .trace").is_displayed())
        self.first(".traces").click()
        self.assertTrue(self.first(".motion .trace").is_displayed())

    def test_where_motion_is_not_wanted_it_goes_on_by_one_position(self):
        feature = {"name": "prefers-reduced-motion", "value": "reduce"}
        self.browser.execute_cdp_cmd("Emulation.setEmulatedMedia", {"features": [feature]})
        self.browser.refresh()
        before = self.links()
        self.first(".play").click()
        after = self.links()
        self.assertNotEqual(after, before)
        time.sleep(0.4)
        self.assertEqual(self.links(), after)

    def test_results_and_curves_of_drawing_and_metric_stand_together(self):
        text = read(self.browser, By.TAG_NAME, "main")
        for words in ["34.925 mm", "34.920 mm", "cut-off, head end", "What sizes may depart by", "up, backward"]:
            self.assertIn(words, text)
        plot = self.first(".plots")
        self.assertTrue(plot.find_elements(By.CSS_SELECTOR, ".drawn") and plot.find_elements(By.CSS_SELECTOR, ".made"))
        self.assertIn("opening to steam", plot.text)

    def ready(self):
        wait(self.browser).until(lambda b: b.find_element(By.ID, "desk").get_attribute("data-ready") == "true")

    def shown(self, words):
        """Waits until the page says some words, folded away or not."""
        wait(self.browser).until(lambda b: words in read(b, By.ID, "mechanism-shown", "textContent"))

    def trying(self):
        form = self.browser.find_element(By.CSS_SELECTOR, ".trying")
        if not form.get_attribute("open"):
            form.find_element(By.TAG_NAME, "summary").click()
        return form

    def test_every_result_tells_its_whole_chain(self):
        row = next(r for r in self.browser.find_elements(By.CSS_SELECTOR, ".results tr") if r.text.startswith("lead, head end"))
        row.find_element(By.TAG_NAME, "summary").click()
        chain = row.find_element(By.CSS_SELECTOR, ".why").text
        for words in ["loop equations", "eccentric rod", "in the mechanism file", "common practice", "on the drawing"]:
            self.assertIn(words, chain)

    def test_a_size_is_tried_beside_what_will_be_made(self):
        self.ready()
        form = self.trying()
        field = form.find_element(By.CSS_SELECTOR, '[data-try="rod"]')
        field.send_keys("80 mm\n")
        self.shown("as tried")
        plot = self.first(".plots")
        self.assertTrue(plot.find_elements(By.CSS_SELECTOR, ".tried") and plot.find_elements(By.CSS_SELECTOR, ".made"))
        self.assertIn("80.000 mm", self.trying().text)
        # What cannot be is told where it was asked, and what was typed stays.
        field = self.trying().find_element(By.CSS_SELECTOR, '[data-try="rod"]')
        field.clear()
        field.send_keys("eighty\n")
        self.shown("eighty")
        wait(self.browser).until(lambda b: b.find_elements(By.CSS_SELECTOR, ".trying .problem"))
        field = self.trying().find_element(By.CSS_SELECTOR, '[data-try="rod"]')
        self.assertEqual(field.get_attribute("value"), "eighty")
        self.trying().find_element(By.CSS_SELECTOR, ".try-none").click()
        wait(self.browser).until(lambda b: "as tried" not in read(b, By.ID, "mechanism-shown"))

    def test_a_wanted_result_is_found(self):
        self.ready()
        form = self.trying()
        Select(form.find_element(By.CSS_SELECTOR, ".want")).select_by_visible_text("lead, head end")
        form.find_element(By.CSS_SELECTOR, ".wanted").send_keys("0.3 mm")
        Select(form.find_element(By.CSS_SELECTOR, ".by")).select_by_visible_text("advance")
        form.find_element(By.CSS_SELECTOR, ".try-now").click()
        self.shown("Found for")
        row = next(r for r in self.browser.find_elements(By.CSS_SELECTOR, ".results tr") if r.text.startswith("lead, head end"))
        self.assertIn("0.300 mm", row.text)

    def test_the_file_is_edited_shown_and_saved(self):
        self.ready()
        self.browser.find_element(By.CSS_SELECTOR, "#the-file > summary").click()
        area = self.browser.find_element(By.ID, "mechanism-text")
        file = self.folder / "kittiwake" / "mechanism.toml"
        before = file.read_text()

        def put(text):
            area = self.browser.find_element(By.ID, "mechanism-text")
            self.browser.execute_script(
                "arguments[0].value = arguments[1]; arguments[0].dispatchEvent(new Event('change', {bubbles: true}))", area, text
            )

        self.assertEqual(area.get_attribute("value").strip(), before.strip())
        put(before.replace('"rod" = "3"', '"rod" = "three"'))
        self.shown("no size is called `three`")
        self.assertEqual(file.read_text(), before, "nothing is written until it is saved")
        put(before.replace('"rod" = "3"', '"rod" = "3 1/8"'))
        self.shown("79.375 mm")
        self.browser.find_element(By.ID, "desk-save").click()
        wait(self.browser).until(lambda b: "3 1/8" in file.read_text())
        self.browser.find_element(By.ID, "desk-undo").click()
        wait(self.browser).until(lambda b: b.find_element(By.ID, "desk").get_attribute("data-saved") == "false")
        self.browser.find_element(By.ID, "desk-undo").click()
        self.shown("76.200 mm")
        self.browser.find_element(By.ID, "desk-save").click()
        wait(self.browser).until(lambda b: file.read_text() == before)
        self.browser.get(self.address + "/mechanism/earlier")
        self.assertTrue(self.browser.find_elements(By.CSS_SELECTOR, "main li, main tr"))

    def test_it_fits_narrow_and_wide_windows(self):
        for width in [360, 1400]:
            self.size(width, 900)
            size = self.browser.execute_script("return [document.documentElement.scrollWidth, window.innerWidth]")
            self.assertLessEqual(size[0], size[1], f"the page is wider than {width}")
            self.browser.save_screenshot(str(PICTURES / f"mechanism-{width}.png"))
        self.browser.execute_cdp_cmd("Emulation.clearDeviceMetricsOverride", {})


if __name__ == "__main__":
    unittest.main()
