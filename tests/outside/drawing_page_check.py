"""Enters a whole part on the page Drawing with the keyboard alone, and looks at the page."""

import pathlib
import shutil
import tempfile
import time
import tomllib
import unittest

from pages import Pages
from program import ROOT, browser, read
from selenium.webdriver.common.action_chains import ActionChains
from selenium.webdriver.common.by import By
from selenium.webdriver.common.keys import Keys

PICTURES = ROOT / "target" / "pages"

# What a person writing the file by hand would write.
WRITTEN = '''part = "Clack plate"
unit = "inch"
material = "brass"

[body]
kind = "rectangle"
width = "1 3/4"
height = "1 3/32"
thickness = "1/8"
datum = "centre"

[[feature]]
name = "middle bore"
kind = "hole"
diameter = "3/8"
finish = "reamed"
place = ["datum"]

[[feature]]
name = "stud hole"
kind = "pitch circle"
holes = 6
pitch_circle = "3/4"
diameter = "no 43"
place = ["concentric with middle bore"]

[[feature]]
name = "oil hole"
kind = "tapped hole"
thread = "7ba"
place = ["5/8 right of middle bore", "level with middle bore"]

[[mate]]
name = "clack spindle"
in = "middle bore"
size = "3/8"
fit = "running"
'''


class DrawingPage(Pages, unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        cls.folder = pathlib.Path(tempfile.mkdtemp())
        cls.project = cls.folder / "launch"
        cls.demo = cls.folder / "demo"
        shutil.copytree(ROOT / "examples" / "kittiwake", cls.demo)
        cls.servers = []
        cls.address = cls.served(cls.project)
        cls.demo_address = cls.served(cls.demo)
        cls.browser = browser(cls.folder / "profile")
        PICTURES.mkdir(parents=True, exist_ok=True)

    def setUp(self):
        self.size(1400, 1000)

    def tearDown(self):
        errors = [entry for entry in self.browser.get_log("browser") if entry["level"] == "SEVERE"]
        # The browser notes it when a page with a changed draft is left by a script.
        errors = [entry for entry in errors if "beforeunload" not in entry["message"]]
        self.assertEqual(errors, [], "the console has errors")
        # Not every draft is saved: let the next test leave the page without being asked.
        self.script("addEventListener('beforeunload', (event) => event.stopImmediatePropagation(), true)")
        self.browser.get("about:blank")

    def go(self, address):
        self.browser.get(address)
        self.until(lambda: self.script("return document.getElementById('desk')?.dataset.entry") == "ready", "ready")

    def settled(self):
        """Waits until everything typed so far has come back from the app."""
        self.browser.execute_async_script(
            "const done = arguments[0]; setTimeout(() => desk.settled().then(() => setTimeout(done, 20)), 80)"
        )

    def keys(self, *keys):
        ActionChains(self.browser).send_keys(*keys).perform()
        self.settled()

    def chord(self, *keys):
        chain = ActionChains(self.browser)
        for key in keys[:-1]:
            chain.key_down(key)
        chain.send_keys(keys[-1])
        for key in keys[:-1]:
            chain.key_up(key)
        chain.perform()
        self.settled()

    def at(self):
        """The path of the field that has the focus."""
        return self.script("return document.activeElement.dataset.at || document.activeElement.id")

    def fill(self, **fields):
        """Types into fields by their keys, going on with Enter through those not named."""
        wanted = {key: list(words) if isinstance(words, list) else [words] for key, words in fields.items()}
        for _ in range(40):
            if not wanted:
                return
            key = next((step for step in self.at().split("/")[::-1] if not step.isdigit()), "")
            words = wanted.get(key)
            if words:
                self.keys(words.pop(0), Keys.ENTER)
                if not words:
                    del wanted[key]
            else:
                self.keys(Keys.ENTER)
        self.fail(f"{wanted} was not reached with Enter; the focus is at {self.at()}")

    def retype(self, at, words):
        card = "/".join(at.split("/")[:-1]) or "part"
        # Found and used in one breath: the page may draw either anew in between.
        self.script(f"document.querySelector(\"#list [data-card='{card}']\").click()")
        self.settled()
        self.script(f"document.querySelector(\"[data-at='{at}']\").focus()")
        self.chord(Keys.CONTROL, "a")
        self.keys(words, Keys.ENTER)

    def add(self, kind):
        self.chord(Keys.ALT, "n")
        self.keys(kind, Keys.ENTER)

    def text(self):
        return self.script("return desk.text()")

    def piece(self, name):
        return read(self.browser, By.ID, name)

    def test_a_whole_part_with_the_keyboard_alone(self):
        self.browser.get(self.address)
        self.until(lambda: self.script("return document.readyState") == "complete", "the page")
        for _ in range(20):
            ActionChains(self.browser).send_keys(Keys.TAB).perform()
            if self.at() == "new-name":
                break
        # The kind of outside and the unit are rows of buttons: an arrow key moves along.
        ActionChains(self.browser).send_keys("Clack plate", Keys.TAB).perform()
        for _ in range(5):
            if self.script("return document.activeElement.value") == "rectangle":
                break
            ActionChains(self.browser).send_keys(Keys.ARROW_DOWN).perform()
        self.assertEqual(self.script("return document.activeElement.value"), "rectangle")
        ActionChains(self.browser).send_keys(Keys.ENTER).perform()
        self.until(lambda: self.script("return document.getElementById('desk')?.dataset.entry") == "ready", "ready")

        # The page opens at the first thing that is missing: the outside.
        self.assertEqual(self.at(), "body/width")
        self.fill(width="1 3/4", height="1 3/32", thickness="1/8", datum="centre")
        while self.script("return document.querySelector('#list [aria-current]').dataset.card") != "part":
            self.chord(Keys.ALT, Keys.ARROW_UP)
        self.fill(material="brass")

        self.add("hole")
        self.fill(name="middle bore", diameter="3/8", finish="reamed", place="datum")
        self.add("pitch")
        self.fill(name="stud hole", holes="6", pitch_circle="3/4", diameter="no 43",
                  place="concentric with middle bore")
        # A problem appears where a hole breaks out, is marked on the picture, and goes.
        self.add("tapped")
        self.fill(name="oil hole", thread="7ba")
        self.fill(place=["7/8 right of middle bore", "level with middle bore"])
        self.assertIn("breaks out", self.piece("troubles"))
        marks = self.script("return [...document.querySelectorAll('#list [data-name=\"oil hole\"] .mark')].map((m) => m.textContent)")
        self.assertEqual(marks, ["1"])
        on_picture = self.script(
            "return [...document.querySelectorAll('#picture [data-feature=\"oil hole\"] text')].map((t) => t.textContent)"
        )
        self.assertIn("1", on_picture)
        self.chord(Keys.CONTROL, "z")
        self.chord(Keys.CONTROL, "z")
        self.assertNotIn("7/8 right", self.text())
        self.chord(Keys.CONTROL, Keys.SHIFT, "z")
        self.assertIn("7/8 right", self.text())
        self.chord(Keys.CONTROL, "z")
        self.fill(place=["5/8 right of middle bore", "level with middle bore"])
        self.assertIn("Nothing is wrong", self.piece("troubles"))

        self.add("mate")
        self.fill(name="clack spindle", **{"in": "middle bore"}, size="3/8", fit="running")
        self.chord(Keys.CONTROL, "s")
        self.until(lambda: self.script("return document.getElementById('desk').dataset.saved") == "true", "saved")
        file = self.project / "parts" / "clack-plate.toml"
        self.assertEqual(file.read_text(), WRITTEN)
        self.keep("entered")

        # All the way: the metric part, the order of work, the sheets.
        for page, words in [("metric", "middle bore"), ("order", "ream middle bore"), ("sheets", "Mill")]:
            self.browser.get(f"{self.address}/parts/clack-plate/{page}")
            self.assertIn(words, read(self.browser, By.TAG_NAME, "main"))

    def test_the_redraw_follows_each_key_and_escape_takes_it_back(self):
        self.go(f"{self.demo_address}/parts/gear-cover/drawing")
        before = self.text()
        field = self.browser.find_element(By.CSS_SELECTOR, "[data-at='feature/0/diameter']")
        field.click()
        times = []
        for words in ["1/4", "1/2", "5/8", "7/16", "3/4"]:
            self.script("arguments[0].select(); document.getElementById('desk').dataset.redraw = ''", field)
            picture = self.script("return document.getElementById('picture').innerHTML")
            field.send_keys(words)
            self.until(
                lambda: self.script("return document.getElementById('picture').innerHTML") != picture
                and self.script("return document.getElementById('desk').dataset.redraw") != "",
                "a new picture",
            )
            self.settled()
            times.append(float(self.script("return document.getElementById('desk').dataset.redraw")))
        print(f"\nredraw after a key, debug build: {sorted(times)[len(times) // 2]:.0f} ms in the page (middle of {times})")
        self.assertIn("19.05 mm", self.script("return document.querySelector(\"[data-notes='feature/0/diameter']\").textContent"))
        self.assertEqual(self.text(), before, "what is being typed is not yet taken")
        self.keys(Keys.ESCAPE)
        self.assertEqual(self.script("return arguments[0].value", field), "3/8")
        self.assertEqual(self.text(), before)
        # A size that cannot be read hides nothing else.
        self.script("arguments[0].select()", field)
        field.send_keys("3/x")
        self.settled()
        self.until(lambda: "cannot read `3/x`" in self.piece("troubles"), "the problem")
        self.keys(Keys.ENTER)
        self.assertIn("3/x", self.text())
        self.assertTrue(self.browser.find_elements(By.CSS_SELECTOR, "#picture [data-feature='oil hole']"))
        self.chord(Keys.CONTROL, "z")
        self.assertEqual(self.text(), before)

    def test_picture_list_and_problems_lead_to_each_other(self):
        self.go(f"{self.demo_address}/parts/gear-cover/drawing")
        hole = self.browser.find_element(By.CSS_SELECTOR, "#picture [data-feature='cover hole 2'] .touch")
        ActionChains(self.browser).move_to_element_with_offset(hole, 0, 0).perform()
        # A ring is pointed at on its line: its middle is empty.
        box = self.script("const b = arguments[0].getBoundingClientRect(); return [b.width, b.height]", hole)
        ActionChains(self.browser).move_to_element_with_offset(hole, int(box[0] / 2) - 1, 0).perform()
        self.until(lambda: "cover hole" in self.piece("desk-said"), "the name of what is pointed at")
        ActionChains(self.browser).move_to_element_with_offset(hole, int(box[0] / 2) - 1, 0).click().perform()
        self.settled()
        self.assertEqual(
            self.script("return document.querySelector('#list [aria-current]').dataset.name"), "cover hole"
        )
        chosen = self.script(
            "return [...new Set([...document.querySelectorAll('#picture .chosen')].map((g) => g.dataset.feature))]"
        )
        self.assertIn("cover hole 5", chosen)
        self.assertNotIn("shaft bore", chosen)
        # A problem leads to its field.
        self.retype("feature/1/pitch_circle", Keys.DELETE)
        self.browser.find_element(By.CSS_SELECTOR, "#list [data-name='oil hole']").click()
        self.settled()
        self.browser.find_element(By.CSS_SELECTOR, "#troubles [data-go]").click()
        self.settled()
        self.assertEqual(self.at(), "feature/1/pitch_circle")

    def test_names_are_escaped_and_references_follow_a_new_name(self):
        self.go(f"{self.demo_address}/parts/gear-cover/drawing")
        self.retype("feature/0/name", "<b>&\"x")
        self.assertIn("concentric with <b>&", self.text())
        self.assertEqual(self.browser.find_elements(By.CSS_SELECTOR, "#desk b.x, #list b:not(.mark)"), [])
        self.assertIn("<b>&\"x", self.piece("list"))

    def test_what_was_pinned_or_made_is_shown_beside_its_size_and_kept(self):
        cover = self.demo / "parts" / "gear-cover.toml"
        before = cover.read_text()
        pinned = before.replace('diameter = "3/8"', 'diameter = { is = "3/8", pin = "9.5 mm" }', 1)
        self.assertNotEqual(pinned, before)
        cover.write_text(pinned)
        for width in [1400, 800, 360]:
            self.size(width, 900)
            self.go(f"{self.demo_address}/parts/gear-cover/drawing")
            self.script("document.querySelector(\"#list [data-card='feature/0']\").click()")
            self.settled()
            pin = self.browser.find_element(By.CSS_SELECTOR, "[data-at='feature/0/diameter/pin']")
            self.assertEqual(pin.get_attribute("value"), "9.5 mm")
            self.assertEqual(self.script(SPOILED), [], width)
            self.keep("entry-pinned")
        self.size(1400, 1000)
        size = lambda: tomllib.loads(self.text())["feature"][0]["diameter"]
        self.retype("feature/0/diameter", "25/64")
        self.assertEqual(size(), {"is": "25/64", "pin": "9.5 mm"})
        pin = self.browser.find_element(By.CSS_SELECTOR, "[data-at='feature/0/diameter/pin']")
        pin.click()
        self.chord(Keys.CONTROL, "a")
        self.keys(Keys.DELETE, Keys.ENTER)
        self.assertEqual(size(), "25/64")
        self.assertTrue(self.at().startswith("feature/0/"), self.at())
        self.assertEqual(self.browser.find_elements(By.CSS_SELECTOR, "[data-at='feature/0/diameter/pin']"), [])
        cover.write_text(before)

    def test_an_outline_is_read_from_a_file(self):
        (self.demo / "parts" / "keep-plate.toml").write_text('part = "Keep plate"\nunit = "mm"\n')
        outline = self.folder / "keep.svg"
        outline.write_text(
            '<svg xmlns="http://www.w3.org/2000/svg" width="60mm" height="40mm" viewBox="0 0 60 40">'
            '<path d="M10 10 H50 V30 H10 Z"/><circle cx="20" cy="20" r="3"/></svg>'
        )
        self.go(f"{self.demo_address}/parts/keep-plate/drawing")
        self.browser.find_element(By.CSS_SELECTOR, ".outline summary").click()
        self.browser.find_element(By.ID, "outline-file").send_keys(str(outline))
        self.until(lambda: "is read" in self.piece("desk-said"), "the outline")
        self.assertEqual(tomllib.loads(self.text())["part"], "Keep plate")
        self.assertIn("thickness", self.piece("troubles"))
        self.retype("body/thickness", "3")
        self.assertIn("Nothing is wrong", self.piece("troubles"))
        (self.demo / "parts" / "keep-plate.toml").unlink()

    def test_a_file_that_is_no_longer_toml_is_mended_as_text(self):
        self.go(f"{self.demo_address}/parts/gear-cover/drawing")
        broken = self.text().replace("[body]", "[body")
        self.script("desk.commit({ whole: { text: arguments[0] } })", broken)
        self.settled()
        self.assertIn("cannot read `[body`", self.piece("troubles"))
        area = self.browser.find_element(By.CSS_SELECTOR, "textarea[data-whole]")
        self.assertEqual(area.get_attribute("value"), broken)
        self.script("arguments[0].value = arguments[1]", area, broken.replace("[body", "[body]"))
        self.script("arguments[0].dispatchEvent(new Event('change', { bubbles: true }))", area)
        self.settled()
        self.assertIn("Nothing is wrong", self.piece("troubles"))

    def keep(self, name):
        height = self.script("return document.documentElement.scrollHeight")
        width = self.script("return window.innerWidth")
        self.size(width, height)
        time.sleep(0.4)
        self.browser.save_screenshot(str(PICTURES / f"{name}-{width}.png"))

    def test_nothing_overlaps_or_is_clipped_at_any_width(self):
        for part in ["gear-cover", "valve-lever", "valve-spindle", "pump-bracket"]:
            for width in [360, 800, 1400]:
                self.size(width, 900)
                self.go(f"{self.demo_address}/parts/{part}/drawing")
                self.script("addEventListener('beforeunload', (event) => event.stopImmediatePropagation(), true)")
                cards = self.script("return [...document.querySelectorAll('#list [data-card]')].map((b) => b.dataset.card)")
                # Every form of one part, and of the others what is open at first.
                for card in cards if part == "valve-lever" else cards[3:4]:
                    self.script("document.querySelector(`#list [data-card='${arguments[0]}']`).click()", card)
                    self.settled()
                    self.assertEqual(self.script(SPOILED), [], f"{part} at {width}, {card}")
                self.keep(f"entry-{part}")


# What is wrong with how the page is laid out: what sticks out sideways, controls
# that lie on each other, words that are cut off, figures too small to read.
SPOILED = """
const spoiled = [];
if (document.documentElement.scrollWidth > window.innerWidth) spoiled.push("the page scrolls sideways");
const seen = (e) => e.checkVisibility({ contentVisibilityAuto: true, visibilityProperty: true });
const named = (e) => `${e.tagName} ${e.id || e.dataset.at || e.dataset.card || e.textContent.slice(0, 20)}`;
const controls = [...document.querySelectorAll("#desk :is(input, select, button, textarea)")].filter(seen);
const boxes = controls.map((e) => [e, e.getBoundingClientRect()]);
const list = document.querySelector("#list ol");
for (const [i, [a, p]] of boxes.entries()) for (const [b, q] of boxes.slice(i + 1)) {
  if (list.contains(a) !== list.contains(b)) continue;
  const across = Math.min(p.right, q.right) - Math.max(p.left, q.left);
  const down = Math.min(p.bottom, q.bottom) - Math.max(p.top, q.top);
  if (across > 1 && down > 1) spoiled.push(`${named(a)} lies on ${named(b)}`);
}
for (const e of document.querySelectorAll("#desk :is(label, button, .notes p, h2, .field > :first-child)")) {
  if (seen(e) && (e.scrollWidth > e.clientWidth + 1 || e.scrollHeight > e.clientHeight + 4) && getComputedStyle(e).display !== "inline") spoiled.push(`${named(e)} is cut off`);
}
for (const e of document.querySelectorAll("#form .main")) if (seen(e) && e.getBoundingClientRect().width < 75) spoiled.push(`${named(e)} is too narrow to type in`);
const pane = document.getElementById("picture").getBoundingClientRect();
for (const e of document.querySelectorAll("#picture text")) {
  const b = e.getBoundingClientRect(), turn = e.getScreenCTM();
  if (Number(e.getAttribute("font-size")) * Math.hypot(turn.a, turn.b) < 9) spoiled.push(`${e.textContent} is too small to read`);
  if (b.left < pane.left - 1 || b.right > pane.right + 1) spoiled.push(`${e.textContent} is cut off by the picture`);
}
return spoiled;
"""


if __name__ == "__main__":
    unittest.main()
