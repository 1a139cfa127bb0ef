"""Changes the choice on the page Metric with the keyboard alone, and looks at the page."""

import time
import tomllib
import unittest

from pages import PICTURES, DemoPages
from program import ROOT, read
from selenium.webdriver.common.action_chains import ActionChains
from selenium.webdriver.common.by import By
from selenium.webdriver.common.keys import Keys


class MetricPage(DemoPages, unittest.TestCase):
    def go(self, part, address=None):
        self.browser.get(f"{address or self.address}/parts/{part}/metric")
        desk = "return document.getElementById('desk')?.dataset"
        self.until(lambda: self.script(f"{desk}.entry") == "ready" and self.script(f"{desk}.pictured"), "ready")

    def settled(self):
        """Waits until everything asked so far has come back from the app."""
        self.browser.execute_async_script(
            "const done = arguments[0]; setTimeout(() => desk.settled().then(() => setTimeout(done, 20)), 20)"
        )

    def keys(self, *keys):
        for key in keys:
            ActionChains(self.browser).send_keys(key).perform()
            self.settled()

    def type(self, words):
        """Types into the field that has the focus, in the place of what stands there."""
        ActionChains(self.browser).key_down(Keys.CONTROL).send_keys("a").key_up(Keys.CONTROL).perform()
        self.keys(words + Keys.ENTER if words else Keys.DELETE + Keys.ENTER)

    def control(self, key, shift=False):
        chain = ActionChains(self.browser).key_down(Keys.CONTROL)
        if shift:
            chain = chain.key_down(Keys.SHIFT)
        chain = chain.send_keys(key)
        if shift:
            chain = chain.key_up(Keys.SHIFT)
        chain.key_up(Keys.CONTROL).perform()
        self.settled()

    def tab_to(self, selector, most=80):
        """Tab until the focus is there: what cannot be reached so cannot be used."""
        for _ in range(most):
            if self.script("return document.activeElement.matches(arguments[0])", selector):
                return
            ActionChains(self.browser).send_keys(Keys.TAB).perform()
        self.fail(f"{selector} is not reached with the Tab key")

    def to_row(self, name):
        """With the arrow keys, from wherever the focus is."""
        if not self.script("return document.activeElement.matches('tr.row')"):
            self.tab_to("tr.row")
        self.keys(Keys.HOME)
        for _ in range(80):
            if self.script("return document.activeElement.dataset.name") == name:
                return
            ActionChains(self.browser).send_keys(Keys.ARROW_DOWN).perform()
        self.fail(f"{name} is not reached with the arrow keys")

    def row(self, name):
        return read(self.browser, By.CSS_SELECTOR, f"tr.row[data-name='{name}']")

    def made(self, name):
        """The size of a row."""
        return read(self.browser, By.CSS_SELECTOR, f"tr.row[data-name='{name}'] .set")

    def every_size(self):
        return self.script("return [...document.querySelectorAll('tr.row')].map((r) => [r.dataset.name, r.querySelector('.set')?.textContent])")

    def piece(self, name):
        return read(self.browser, By.ID, name)

    def drafts(self):
        return self.script("return desk.drafts()")

    def file(self, name):
        return tomllib.loads((self.project / name).read_text())

    def test_a_bore_is_pinned_and_what_follows_is_shown_and_undone_with_the_keyboard_alone(self):
        self.go("valve-lever")
        before, drafts = self.every_size(), self.drafts()
        self.to_row("pivot bore: diameter")
        self.assertEqual(self.made("pivot bore: diameter"), "8 mm")
        # The row and the picture point at each other.
        chosen = "return [...new Set([...document.querySelectorAll('#picture .chosen')].map((g) => g.dataset.feature))]"
        self.assertEqual(self.script(chosen), ["pivot bore"])
        self.keys("p")
        self.assertEqual(self.script("return document.activeElement.dataset.say"), "pin")
        self.type("7.5 mm")
        self.assertEqual(self.made("pivot bore: diameter"), "7.5 mm")
        self.assertIn("was 8 mm", self.row("pivot bore: diameter"))
        self.assertIn("pinned", self.row("pivot bore: diameter"))
        self.assertIn("pivot bore: diameter 8 mm → 7.5 mm", self.piece("answer"))
        self.assertIn("reamer 7.5 mm H7", self.piece("buy"))
        moved = {name for (name, now), (_, was) in zip(self.every_size(), before) if now != was}
        marked = self.script("return [...document.querySelectorAll('tr.row.is-moved')].map((r) => r.dataset.name)")
        self.assertEqual(set(marked), moved, "every row that moved is marked, and no other")
        self.assertGreater(len(moved), 1, "something else followed")
        self.until(lambda: "7.5" in self.piece("picture"), "the picture with the new size")
        self.keys(Keys.ESCAPE)
        self.assertEqual(self.script("return document.activeElement.dataset.name"), "pivot bore: diameter")
        self.control("z")
        self.assertEqual((self.every_size(), self.drafts()), (before, drafts))
        self.assertIn("was 7.5 mm", self.row("pivot bore: diameter"), "what undoing moved is marked too")
        self.control("z", shift=True)
        self.assertEqual(self.made("pivot bore: diameter"), "7.5 mm")
        self.to_row("pivot bore: diameter")
        self.keys("x")
        self.assertEqual((self.every_size(), self.drafts()), (before, drafts))
        # The one chosen is kept by one key, another of the list by its number.
        self.keys("k")
        self.assertIn('pin = "8 mm"', self.drafts()["text"])
        self.keys("x", "1")
        self.assertIn('pin = "7.5 mm"', self.drafts()["text"])
        self.assertEqual(self.made("pivot bore: diameter"), "7.5 mm")

    def test_role_and_tolerance_and_what_is_cut_already_are_said_in_place(self):
        self.go("valve-lever")
        self.to_row("stop hole: left of rod boss")
        self.keys("h")
        self.assertIn('role = "hold"', self.drafts()["text"])
        self.assertRegex(self.row("stop hole: left of rod boss"), r"\bhold\b")
        self.keys("t")
        self.type("0.1 mm")
        self.assertIn('within = "0.1 mm"', self.drafts()["text"])
        self.keys(Keys.ESCAPE, "u")
        self.assertRegex(self.row("stop hole: left of rod boss"), r"\bfree\b")
        self.keys("t")
        # What cannot be read is refused with the reason; nothing is lost.
        drafts = self.drafts()
        self.type("a little")
        self.refused = 1
        self.assertIn("a little", self.piece("desk-said"))
        self.assertEqual(self.drafts(), drafts)
        self.keys(Keys.ESCAPE, Keys.ESCAPE, "m")
        self.type("13.46 mm")
        self.assertEqual(self.made("stop hole: left of rod boss"), "13.46 mm")
        self.assertIn("already made", self.row("stop hole: left of rod boss"))
        # A pin takes the place of a measurement: one of both stands in the file.
        self.keys(Keys.ESCAPE, "p")
        self.type("13.5 mm")
        self.assertNotIn("made = ", self.drafts()["text"])
        self.assertIn('pin = "13.5 mm"', self.drafts()["text"])

    def test_a_clash_is_told_in_plain_words_and_the_rows_stay_to_mend_it(self):
        self.go("valve-lever")
        self.to_row("clamp screw: left of pivot boss")
        self.keys("p")
        self.type("4 mm")
        self.assertNotIn("No size moved", self.piece("answer"))
        self.keep("metric-clash")
        clash = self.browser.find_elements(By.CSS_SELECTOR, "#answer .clash")
        self.assertTrue(clash, self.piece("answer"))
        self.assertIn("clamp screw", clash[0].text)
        self.assertEqual(self.script(SPOILED), [])
        self.keys(Keys.ESCAPE, "x")
        self.assertFalse(self.browser.find_elements(By.CSS_SELECTOR, "#answer .clash"))

    def test_a_tolerance_that_clashes_is_mended_by_the_first_way_out(self):
        self.go("valve-lever")
        self.to_row("pivot bore: diameter")
        self.keys("t")
        self.type("0.01 mm")
        clash = self.browser.find_element(By.CSS_SELECTOR, "#answer .clash")
        self.assertIn("pivot bore: diameter", clash.text)
        clashing = self.script("return [...document.querySelectorAll('tr.is-clashing')].map((r) => r.dataset.name)")
        self.assertIn("pivot bore: diameter", clashing)
        ways = [way.text for way in clash.find_elements(By.CSS_SELECTOR, ".ways li")]
        self.assertTrue(ways, clash.text)
        self.keep("metric-ways-out")
        self.assertEqual(self.script(SPOILED), [])
        drafts = self.drafts()
        self.keys(Keys.ESCAPE, "o")
        self.assertEqual(self.script("return document.activeElement.dataset.key"), "way-1-1")
        self.keys(Keys.ENTER)
        self.assertNotEqual(self.drafts(), drafts)
        self.assertFalse(self.browser.find_elements(By.CSS_SELECTOR, "#answer .clash"), "it helped")
        self.assertNotIn("nothing yet", self.piece("rows"))
        self.control("z")
        self.control("z")
        self.assertEqual(self.made("pivot bore: diameter"), "8 mm")

    def test_a_tool_is_ticked_and_both_files_are_saved(self):
        self.go("valve-lever")
        self.to_row("pivot bore: diameter")
        self.keys("p")
        self.type("7.5 mm")
        self.keys(Keys.ESCAPE, "b")
        self.tab_to("input[data-key='buy-reamer 7.5 mm H7']", 12)
        self.keys(Keys.SPACE)
        self.assertIn('would_buy = ["reamer 7.5 mm H7"]', self.drafts()["bench"])
        self.assertTrue(self.script("return document.activeElement.checked"), "the focus stays on the tick")
        self.assertNotIn("would_buy", (self.project / "bench.toml").read_text(), "nothing is written yet")
        self.control("s")
        self.assertEqual(self.piece("desk-said"), "Saved.")
        self.assertEqual(self.script("return document.getElementById('desk').dataset.saved"), "true")
        self.assertEqual(self.file("bench.toml")["would_buy"], ["reamer 7.5 mm H7"])
        bore = next(f for f in self.file("parts/valve-lever.toml")["feature"] if f["name"] == "pivot bore")
        self.assertEqual(bore["diameter"], {"is": "5/16", "pin": "7.5 mm"})
        # The comments of both files stand as they stood.
        for name in ["bench.toml", "parts/valve-lever.toml"]:
            was = (ROOT / "examples" / "kittiwake" / name).read_text()
            comments = [line for line in was.splitlines() if "#" in line]
            self.assertEqual([line for line in (self.project / name).read_text().splitlines() if "#" in line], comments)
        # Other pages and the sheets follow the files.
        self.browser.get(f"{self.address}/parts/valve-lever/order")
        self.assertIn("7.5", read(self.browser, By.TAG_NAME, "main"))

    def test_a_file_changed_elsewhere_is_noticed_and_brought_together(self):
        self.go("valve-lever")
        lever, bench = self.project / "parts" / "valve-lever.toml", self.project / "bench.toml"
        bench.write_text(bench.read_text().replace('name = "', 'name = "Our ', 1))
        self.until(lambda: "The bench was changed elsewhere" in self.piece("desk-said"), "the bench noticed")
        self.to_row("pivot bore: diameter")
        self.keys("k")
        lever.write_text(lever.read_text().replace('part = "Valve lever"', 'part = "Lever"'))
        self.until(lambda: "brings both together" in self.piece("desk-said"), "the part noticed")
        self.control("s")
        self.assertIn("holds both", self.piece("desk-said"))
        self.assertEqual(self.piece("title"), "Lever")
        self.assertIn('pin = "8 mm"', lever.read_text())
        # The same line: the person is asked which.
        self.to_row("pivot bore: diameter")
        self.keys("p")
        self.type("7.5 mm")
        lever.write_text(lever.read_text().replace('pin = "8 mm"', 'pin = "8.0 mm"'))
        self.control("s")
        self.until(lambda: self.script("return document.getElementById('desk-conflict').open"), "the question")
        self.tab_to("#desk-theirs", 10)
        self.keys(Keys.ENTER)
        self.assertEqual(self.made("pivot bore: diameter"), "8 mm")

    def test_what_fits_together_moves_on_the_other_part_too(self):
        self.go("eccentric")
        self.to_row("sheave: diameter")
        self.keys("p")
        self.type("30.5 mm")
        elsewhere = [line.text for line in self.browser.find_elements(By.CSS_SELECTOR, "#follows li")]
        self.assertIn("Eccentric strap sheave bore: diameter 30 mm → 30.5 mm", elsewhere)
        self.control("z")
        elsewhere = [line.text for line in self.browser.find_elements(By.CSS_SELECTOR, "#follows li")]
        self.assertIn("Eccentric strap sheave bore: diameter 30.5 mm → 30 mm", elsewhere)

    def test_a_part_that_holds_pressure_says_why_and_offers_nothing(self):
        cover = self.project / "parts" / "gear-cover.toml"
        cover.write_text(cover.read_text().replace("material =", "holds_pressure = true\nmaterial =", 1))
        self.go("gear-cover")
        self.assertIn("holds pressure", self.piece("answer"))
        self.to_row("shaft bore: diameter")
        drafts = self.drafts()
        self.keys("k", "p", "1", "h", "x")
        self.assertEqual(self.drafts(), drafts)
        self.assertEqual(self.browser.find_elements(By.CSS_SELECTOR, "#rows [data-set], #rows [data-change]"), [])

    def test_the_metric_part_is_laid_over_the_drawing(self):
        self.go("valve-lever")
        self.to_row("pivot bore: diameter")
        self.keys("l")
        self.until(lambda: "differences" in self.piece("picture"), "the overlay")
        self.assertTrue(self.browser.find_elements(By.CSS_SELECTOR, "#picture .before"))
        # The lever is seen from every side on which something differs.
        self.assertIn("from the right", self.piece("picture"))
        self.keep("metric-overlay")
        self.assertEqual(self.script(SPOILED), [])
        self.to_row("pivot bore: diameter")
        self.keys("1")
        self.until(lambda: "differences" in self.piece("picture"), "it stays laid over")
        self.keys("l")
        self.until(lambda: "differences" not in self.piece("picture"), "the views again")

    def test_the_rows_come_first_on_a_phone_and_the_picture_is_unfolded(self):
        stands = "return [...document.querySelectorAll(arguments[0])].filter((e) => e.checkVisibility()).map((e) => { const b = e.getBoundingClientRect(); return [b.top, b.width, b.bottom] })"
        for width, unasked in [(360, False), (800, True), (1400, True)]:
            self.size(width, 740)
            self.go("valve-lever")
            self.script("scrollTo(0, 0)")
            self.assertEqual(bool(self.script(stands, "#picture")), unasked, width)
            if unasked:
                continue
            first = self.script(stands, "tr.row")[0]
            self.assertLess(first[0], 740 - 100, "the first row stands on the first screen")
            self.tab_to("#shown")
            self.keys(Keys.SPACE)
            [[_, wide, _]] = self.script(stands, "#picture svg")
            self.assertGreater(wide, 200)
            self.keep("metric-unfolded")
            self.assertEqual(self.script(SPOILED), [])
            self.keys(Keys.SPACE)
            self.assertEqual(self.script(stands, "#picture"), [])
            # Laid over the drawing it is what was asked for.
            self.to_row("pivot bore: diameter")
            self.keys("l")
            self.until(lambda: "differences" in self.piece("picture"), "the overlay")
            self.browser.execute_cdp_cmd("Emulation.setEmulatedMedia", {"media": "print"})
            self.assertTrue(self.script(stands, "#picture svg"), "on paper it stands")
            self.browser.execute_cdp_cmd("Emulation.setEmulatedMedia", {"media": ""})

    def test_the_picture_leads_to_the_row(self):
        self.go("gear-cover")
        hole = self.browser.find_element(By.CSS_SELECTOR, "#picture [data-feature='shaft bore'] .touch")
        box = self.script("const b = arguments[0].getBoundingClientRect(); return [b.width, b.height]", hole)
        ActionChains(self.browser).move_to_element_with_offset(hole, int(box[0] / 2) - 1, 0).click().perform()
        self.settled()
        self.until(lambda: self.browser.find_elements(By.CSS_SELECTOR, "tr.unfolded"), "the row unfolded")
        self.assertEqual(self.script("return document.activeElement.dataset.of"), "shaft bore")

    def keep(self, name):
        height = self.script("return document.documentElement.scrollHeight")
        width = self.script("return window.innerWidth")
        self.size(width, min(height, 4000))
        time.sleep(0.3)
        self.browser.save_screenshot(str(PICTURES / f"{name}-{width}.png"))

    def test_nothing_sticks_out_or_is_clipped_at_any_width(self):
        times = []
        for part, name in [("valve-lever", "pivot bore: diameter"), ("valve-spindle", ""), ("flywheel", "")]:
            for width in [360, 800, 1400]:
                self.size(width, 900)
                self.go(part)
                self.script("addEventListener('beforeunload', (event) => event.stopImmediatePropagation(), true)")
                rows = self.script("return [...document.querySelectorAll('tr.row')].map((r) => r.dataset.name)")
                self.to_row(name if name in rows else rows[0])
                self.keys("1", "t")
                # Another draft each time: nothing is answered from what was asked before.
                self.type(f"0.4{width} mm")
                times.append(float(self.script("return document.getElementById('desk').dataset.redraw")))
                self.script("document.querySelectorAll('details').forEach((d) => (d.open = true))")
                self.assertEqual(self.script(SPOILED), [], f"{part} at {width}")
                self.keep(f"metric-{part}")
        print(f"\na change among sixteen parts, debug build: {sorted(times)[len(times) // 2]:.0f} ms (middle of {times})")

    def test_a_sheet_of_paper_has_the_list_and_no_controls(self):
        self.go("valve-lever")
        self.to_row("pivot bore: diameter")
        self.keys("k")
        self.browser.execute_cdp_cmd("Emulation.setEmulatedMedia", {"media": "print"})
        self.size(794, 1123)
        shown = self.script(
            "return [...document.querySelectorAll('#desk :is(button, input[type=text], select)')]"
            ".filter((e) => e.checkVisibility()).map((e) => e.outerHTML)"
        )
        wide = self.script("return document.documentElement.scrollWidth <= window.innerWidth")
        self.browser.save_screenshot(str(PICTURES / "metric-print.png"))
        self.browser.execute_cdp_cmd("Emulation.setEmulatedMedia", {"media": ""})
        self.assertEqual((shown, wide), ([], True))
        self.assertIn("8 mm", self.row("pivot bore: diameter"))


# What is wrong with how the page is laid out: what sticks out sideways, controls
# that lie on each other, words that are cut off.
SPOILED = """
const spoiled = [];
if (document.documentElement.scrollWidth > window.innerWidth) spoiled.push("the page scrolls sideways");
const seen = (e) => e.checkVisibility({ contentVisibilityAuto: true, visibilityProperty: true });
const named = (e) => `${e.tagName} ${e.id || e.dataset.key || e.dataset.say || e.textContent.slice(0, 20)}`;
const boxes = [...document.querySelectorAll("#desk :is(input, select, button)")].filter(seen).map((e) => [e, e.getBoundingClientRect()]);
for (const [i, [a, p]] of boxes.entries()) for (const [b, q] of boxes.slice(i + 1)) {
  const across = Math.min(p.right, q.right) - Math.max(p.left, q.left);
  const down = Math.min(p.bottom, q.bottom) - Math.max(p.top, q.top);
  if (across > 1 && down > 1 && !a.closest(".bar") !== !b.closest(".bar")) continue;
  if (across > 1 && down > 1) spoiled.push(`${named(a)} lies on ${named(b)}`);
}
for (const e of document.querySelectorAll("#desk :is(label, button, p, h2, h3, li, summary, #rows td, #rows th)")) {
  if (!seen(e)) continue;
  const box = e.getBoundingClientRect();
  if (box.width && box.height > 2 && (box.right > innerWidth + 1 || box.left < -1)) spoiled.push(`${named(e)} sticks out`);
  if (getComputedStyle(e).display !== "inline" && (e.scrollWidth > e.clientWidth + 1 || e.scrollHeight > e.clientHeight + 4) && e.clientWidth > 2) spoiled.push(`${named(e)} is cut off`);
}
return spoiled;
"""


if __name__ == "__main__":
    unittest.main()
