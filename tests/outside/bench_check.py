"""The bench page with the keyboard alone, in a real browser: made, changed, kept."""

import pathlib
import re
import shutil
import tempfile
import time
import unittest

from pages import DEMO, PICTURES, closed, opened
from program import browser, read, wait
from selenium import webdriver
from selenium.webdriver.common.by import By
from selenium.webdriver.common.keys import Keys

# What a person who owns these things would write.
TICKED = """\
name = "Shed"
edge_finder = "10 mm"
drills = ["1 mm to 13 mm by 0.5 mm", "numbers 1 to 60", "6.8 mm"]

[mill]
speeds = [100, 250, 500]
travel_x = "300 mm"

[lathe]
dial_reads = "diameter"

[[saw]]
diameter = "63 mm"
width = "0.7 mm"

[[stock]]
material = "silver steel"
round = ["2 mm", "3 mm", "4 mm", "5 mm", "6 mm", "8 mm", "10 mm", "12 mm"]
class = "h8"
"""

BY_HAND = """\
# Written by hand, in my order.
drills = [
  "6.5 mm", # worn
  "letters",
]
name = 'Mine' # quoted my way

[lathe]
# the old one
swing = "180 mm"    # over the bed
speeds = [60, 110]
"""


class Bench(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        cls.profile = tempfile.mkdtemp()
        cls.browser = browser(cls.profile, "--window-size=1000,900")
        PICTURES.mkdir(parents=True, exist_ok=True)

    @classmethod
    def tearDownClass(cls):
        cls.browser.quit()
        shutil.rmtree(cls.profile, ignore_errors=True)

    def setUp(self):
        self.folder = pathlib.Path(tempfile.mkdtemp()) / "engine"
        self.file = self.folder / "bench.toml"
        self.server, self.address = opened(self.folder)

    def tearDown(self):
        errors = [entry for entry in self.browser.get_log("browser") if entry["level"] == "SEVERE"]
        self.browser.get("about:blank")
        closed(self.server)
        shutil.rmtree(self.folder.parent, ignore_errors=True)
        self.assertEqual(errors, [], "the console has errors")

    def written(self, text):
        self.folder.mkdir(exist_ok=True)
        self.file.write_text(text)

    def open(self):
        self.browser.get(self.address + "/bench")
        self.until(lambda b: b.find_elements(By.CSS_SELECTOR, "#desk[data-ready]"))

    def until(self, holds):
        return wait(self.browser).until(holds)

    def settled(self):
        """Everything asked of the page has been answered."""
        self.browser.execute_async_script("desk.settled().then(() => desk.settled()).then(arguments[0])")

    def keys(self, *keys):
        """Presses keys, wherever the focus is."""
        webdriver.ActionChains(self.browser).send_keys(*keys).perform()

    def control(self, key):
        webdriver.ActionChains(self.browser).key_down(Keys.CONTROL).send_keys(key).key_up(Keys.CONTROL).perform()
        self.settled()

    def tab_to(self, selector):
        """Tab until the focus is there: what cannot be reached so cannot be used."""
        for _ in range(250):
            if self.browser.execute_script("return document.activeElement.matches(arguments[0])", selector):
                return
            self.keys(Keys.TAB)
        self.fail(f"{selector} is not reached with the Tab key")

    def fill(self, selector, text):
        self.tab_to(selector)
        self.control("a")
        self.keys(text, Keys.ENTER)
        self.settled()

    def tick(self, words):
        label = f"//label[normalize-space()='{words}']/input"
        key = read(self.browser, By.XPATH, label, "data-key")
        self.tab_to(f"[data-key='{key}']")
        self.keys(Keys.SPACE)
        self.settled()
        self.assertTrue(self.browser.find_element(By.XPATH, label).is_selected(), words)

    def said(self):
        return read(self.browser, By.ID, "desk-said")

    def test_a_bench_is_ticked_together_with_the_keyboard(self):
        self.browser.get(self.address)
        self.tab_to("a[href='/bench']")
        self.keys(Keys.ENTER)
        self.until(lambda b: b.find_elements(By.CSS_SELECTOR, "#desk[data-ready]"))
        self.fill("#at-name", "Shed")
        self.fill("#at-edge_finder", "10 mm")
        self.tick("Milling machine")
        self.fill("#at-mill-travel_x", "300 mm")
        self.fill("#at-mill-speeds", "100, 250 500")
        self.tick("Lathe")
        self.tab_to("#at-lathe-dial_reads")
        self.keys("d", Keys.TAB)
        self.settled()
        self.tick("metric, 1 to 13 mm by 0.5")
        self.tick("numbers 1 to 60")
        self.fill("[data-include=drills]", "6.8 mm")
        self.tab_to("#add-saw")
        self.keys(Keys.ENTER)
        self.settled()
        self.fill("#at-saw-0-diameter", "63 mm")
        self.fill("#at-saw-0-width", "0.7 mm")
        self.tick("silver steel rounds, h8")
        self.assertFalse(self.file.exists(), "nothing is written before it is saved")
        self.control("s")
        self.assertEqual(self.said(), "Saved.")
        self.assertEqual(self.file.read_text(), TICKED)

    def test_what_is_typed_is_shown_exactly_and_what_is_wrong_beside_it(self):
        self.open()
        self.fill("#at-edge_finder", "3/8 in")
        self.assertIn("9.525 mm", read(self.browser, By.ID, "bench-form"))
        self.fill("#at-edge_finder", "3/8")
        fault = read(self.browser, By.ID, "at-edge_finder-fault")
        self.assertIn("`3/8`", fault)
        field = self.browser.switch_to.active_element
        self.assertEqual(field.get_attribute("id"), "at-edge_finder", "the focus stays")
        self.assertEqual(field.get_attribute("aria-invalid"), "true")
        self.keys(Keys.END, " in", Keys.ESCAPE)
        self.assertEqual(field.get_attribute("value"), "3/8", "Escape takes back what was typed")
        self.keys(Keys.TAB)
        self.control("z")
        self.assertEqual(read(self.browser, By.ID, "at-edge_finder", "value"), "3/8 in")
        self.control("z")
        self.assertEqual(read(self.browser, By.ID, "at-edge_finder", "value"), "")
        self.control("y")
        self.assertEqual(read(self.browser, By.ID, "at-edge_finder", "value"), "3/8 in")
        self.control("s")
        self.assertEqual(self.file.read_text(), 'edge_finder = "3/8 in"\n')

    def test_comments_and_order_of_a_file_written_by_hand_stay(self):
        self.written(BY_HAND)
        self.open()
        self.fill("#at-lathe-swing", "210 mm")
        self.fill("#at-lathe-between_centres", "350 mm")
        self.fill("#at-name", "Ours")
        self.tab_to("#at-drills-1")
        self.keys(Keys.BACKSPACE * 10, Keys.ENTER)
        self.settled()
        self.fill("[data-include=drills]", "No. 43")
        self.control("s")
        expected = BY_HAND.replace('"180 mm"', '"210 mm"').replace("'Mine'", "'Ours'")
        expected = expected.replace('"letters"', '"No. 43"')
        expected = expected.replace("# over the bed\n", '# over the bed\nbetween_centres = "350 mm"\n')
        expected = expected.replace("speeds = [60, 110]\nbetween", "between")
        self.assertEqual(sorted(self.file.read_text().splitlines()), sorted(expected.splitlines()))
        self.assertEqual(
            [line for line in self.file.read_text().splitlines() if "#" in line],
            [line for line in expected.splitlines() if "#" in line],
        )

    def test_a_file_changed_while_the_page_is_open_is_noticed_and_neither_edit_is_lost(self):
        self.written(BY_HAND)
        self.open()
        # Nothing typed yet: the page follows the file.
        self.file.write_text(BY_HAND.replace("'Mine'", "'Yours'"))
        self.until(lambda b: b.find_element(By.ID, "at-name").get_attribute("value") == "Yours")
        self.assertIn("changed elsewhere", self.said())
        # Something typed and not saved: the page says so, and a save holds both.
        self.fill("#at-lathe-swing", "210 mm")
        self.file.write_text(self.file.read_text().replace("'Yours'", "'Theirs'"))
        self.until(lambda b: "brings both together" in self.said())
        self.control("s")
        self.assertIn("holds both", self.said())
        text = self.file.read_text()
        self.assertIn("'Theirs'", text)
        self.assertIn('"210 mm"', text)
        self.assertEqual(read(self.browser, By.ID, "at-name", "value"), "Theirs")
        # The same line: the person is asked, and the other stays to be had back.
        self.fill("#at-lathe-swing", "250 mm")
        self.file.write_text(text.replace('"210 mm"', '"230 mm"'))
        self.control("s")
        self.assertIn("230 mm", read(self.browser, By.ID, "desk-both", "value"))
        self.browser.save_screenshot(str(PICTURES / "bench-conflict.png"))
        self.tab_to("#desk-mine")
        self.keys(Keys.ENTER)
        self.settled()
        self.until(lambda b: self.said() == "Saved.")
        self.assertIn('"250 mm"', self.file.read_text())
        kept = [state.read_text() for state in (self.folder / "earlier" / "bench").glob("*.toml")]
        self.assertTrue(any('"230 mm"' in state for state in kept), "what was in the file is kept")

    def test_of_two_edits_of_one_line_the_person_chooses(self):
        self.written(BY_HAND)
        self.open()
        # The other one is taken: what was typed here stays among the earlier states.
        self.fill("#at-lathe-swing", "250 mm")
        self.file.write_text(BY_HAND.replace('"180 mm"', '"230 mm"'))
        self.control("s")
        self.tab_to("#desk-theirs")
        self.keys(Keys.ENTER)
        self.settled()
        self.assertEqual(read(self.browser, By.ID, "at-lathe-swing", "value"), "230 mm")
        self.assertIn('"230 mm"', self.file.read_text())
        kept = [state.read_text() for state in (self.folder / "earlier" / "bench").glob("*.toml")]
        self.assertTrue(any('"250 mm"' in state for state in kept), "what was typed is kept")
        # Both at once do not read until the marks are out.
        self.fill("#at-lathe-swing", "260 mm")
        self.file.write_text(self.file.read_text().replace('"230 mm"', '"240 mm"'))
        self.control("s")
        self.tab_to("#desk-edited")
        self.keys(Keys.ENTER)
        self.settled()
        self.assertNotEqual(read(self.browser, By.ID, "desk-conflict-said"), "")
        self.assertIn('"240 mm"', self.file.read_text())
        both = self.browser.find_element(By.ID, "desk-both")
        chosen = re.sub(r"<<<<<<< here\n(.*\n)(?:.*\n)*>>>>>>> in the file\n", r"\1", both.get_attribute("value"))
        both.clear()
        both.send_keys(chosen)
        self.tab_to("#desk-edited")
        self.keys(Keys.ENTER)
        self.settled()
        self.until(lambda b: self.said() == "Saved.")
        self.assertEqual(self.file.read_text(), BY_HAND.replace('"180 mm"', '"260 mm"'))
        # A refusal of marked text is answered with 422, which the browser notes.
        self.browser.get_log("browser")

    def test_typing_goes_on_while_the_page_answers(self):
        self.open()
        self.tab_to("#at-name")
        # All at once: the answer to the first comes while the second is typed.
        self.keys("Shed", Keys.TAB, "10 mm")
        time.sleep(0.5)
        self.settled()
        field = self.browser.switch_to.active_element
        self.assertEqual((field.get_attribute("id"), field.get_attribute("value")), ("at-edge_finder", "10 mm"))
        self.control("s")
        self.assertEqual(self.file.read_text(), 'name = "Shed"\nedge_finder = "10 mm"\n')

    def test_a_part_is_begun_with_the_keyboard(self):
        self.browser.get(self.address)
        self.tab_to("#new-name")
        self.keys("Valve lever")
        self.tab_to("[name=outside]")
        self.keys(Keys.ARROW_DOWN)
        self.tab_to("[name=unit]")
        self.keys(Keys.ENTER)
        part = self.folder / "parts" / "valve-lever.toml"
        self.until(lambda b: part.exists())
        self.until(lambda b: "/parts/valve-lever" in b.current_url)
        self.assertEqual(
            part.read_text(), 'part = "Valve lever"\nunit = "inch"\n\n[body]\nkind = "bosses"\n'
        )
        # A page for a part with problems may answer 422, which the browser notes.
        self.browser.get_log("browser")

    def test_nothing_sticks_out_at_any_width(self):
        shutil.copytree(DEMO, self.folder)
        spoiled = self.file.read_text().replace('"180 mm"', '"180 m"').replace('"M2.5"', '"M2.6 of a very long name"')
        self.file.write_text(spoiled)
        for width in [360, 800, 1400]:
            for name, path in [("bench", "/bench"), ("start", "/"), ("earlier", "/bench/earlier")]:
                size = {"width": width, "height": 900, "deviceScaleFactor": 1, "mobile": False}
                self.browser.execute_cdp_cmd("Emulation.setDeviceMetricsOverride", size)
                self.browser.get(self.address + path)
                self.browser.execute_script("document.querySelectorAll('details').forEach(d => d.open = true)")
                sideways = self.browser.execute_script(
                    "return [...document.querySelectorAll('body *')].filter(e => {"
                    "  const box = e.getBoundingClientRect();"
                    "  return box.width && e.checkVisibility() && (box.right > innerWidth + 1 || box.left < -1);"
                    "}).map(e => e.outerHTML.slice(0, 80))"
                )
                self.assertEqual(sideways, [], f"{name} at {width}")
                self.browser.save_screenshot(str(PICTURES / f"{name}-{width}.png"))
        self.browser.execute_cdp_cmd("Emulation.clearDeviceMetricsOverride", {})


if __name__ == "__main__":
    unittest.main()
