"""Moves steps on the page Order with mouse, finger and keys, and looks at the page."""

import re
import tomllib
import unittest

from pages import PICTURES, DemoPages
from program import ROOT, read
from selenium.webdriver.common.action_chains import ActionChains
from selenium.webdriver.common.by import By
from selenium.webdriver.common.keys import Keys


class OrderPage(DemoPages, unittest.TestCase):
    def go(self, part):
        self.browser.get(f"{self.address}/parts/{part}/order")
        self.until(lambda: self.script("return document.getElementById('desk')?.dataset.entry") == "ready", "ready")

    def settled(self):
        self.browser.execute_async_script(
            "const done = arguments[0]; setTimeout(() => desk.settled().then(() => setTimeout(done, 20)), 20)"
        )

    def calls(self):
        return self.script("return [...document.querySelectorAll('#cards .step')].map((one) => one.dataset.call)")

    def text(self):
        return self.script("return desk.text()")

    def said(self):
        return tomllib.loads(self.text()).get("order", {})

    def piece(self, name):
        return read(self.browser, By.ID, name)

    def focus(self, key):
        self.script("document.querySelector(`[data-key='${arguments[0]}']`).focus()", key)

    def keys(self, *keys):
        for key in keys:
            ActionChains(self.browser).send_keys(key).perform()
            self.settled()

    def control(self, key):
        ActionChains(self.browser).key_down(Keys.CONTROL).send_keys(key).key_up(Keys.CONTROL).perform()
        self.settled()

    def keep(self, name):
        """A picture of the whole page."""
        self.browser.save_screenshot(str(PICTURES / f"{name}.png"))

    def grip(self, call):
        return self.browser.find_element(By.CSS_SELECTOR, f"[data-key='grip-{call}']")

    def lift(self, call):
        """Takes a step by its handle, and waits until the page knows where it may go."""
        grip = self.grip(call)
        self.script("arguments[0].scrollIntoView({block: 'center'})", grip)
        ActionChains(self.browser).move_to_element(grip).click_and_hold().perform()
        places = "return document.getElementById('desk').dataset.places"
        self.until(lambda: self.script(places) == call, "the places")

    def over(self, call, above):
        """Moves what is lifted over the upper or lower half of a step."""
        x, y = self.script(
            "const box = document.querySelector(`.step[data-call='${arguments[0]}']`).getBoundingClientRect();"
            "return [box.left + 40, arguments[1] ? box.top + 3 : box.bottom - 3].map(Math.round)", call, above)
        action = ActionChains(self.browser)
        action.w3c_actions.pointer_action.move_to_location(x, y)
        action.w3c_actions.perform()

    def drop(self):
        ActionChains(self.browser).release().perform()
        self.settled()

    def test_a_step_is_dragged_and_the_order_is_planned_around_it(self):
        self.go("valve-lever")
        before, text = self.calls(), self.text()
        rod, stop = "drill rod bore (the pair)", "drill stop hole (the pair)"
        self.assertLess(before.index(rod), before.index(stop))
        self.lift(stop)
        self.over(rod, True)
        self.assertIn("It may stand here", self.piece("over"))
        self.keep("order-lifted")
        self.drop()
        self.assertEqual(self.said(), {"wanted": [f"{stop} before {rod}"]})
        after = self.calls()
        self.assertLess(after.index(stop), after.index(rod))
        self.assertEqual(sorted(after), sorted(before))
        asked = self.piece("asked")
        self.assertIn(f"{stop} before {rod}", asked)
        self.assertRegex(asked, r"adds (nothing|\d+ tool change)")
        # Undo, and redo; then the wish is saved and comments stay.
        self.control("z")
        self.assertEqual((self.calls(), self.text()), (before, text))
        self.control("y")
        self.assertEqual(self.calls(), after)
        self.control("s")
        self.assertEqual(self.piece("desk-said"), "Saved.")
        lever = (self.project / "parts" / "valve-lever.toml").read_text()
        was = (ROOT / "examples" / "kittiwake" / "parts" / "valve-lever.toml").read_text()
        self.assertEqual(tomllib.loads(lever)["order"], {"wanted": [f"{stop} before {rod}"]})
        self.assertTrue(lever.startswith(was.rstrip()), "what stood there stands as it stood")
        # The sheets follow.
        self.browser.get(f"{self.address}/parts/valve-lever/sheets/setup-3")
        sheet = read(self.browser, By.TAG_NAME, "main")
        self.assertLess(sheet.index("stop hole"), sheet.index("rod bore"))

    def test_a_step_that_may_not_stand_there_stays_and_the_page_says_why(self):
        self.go("valve-lever")
        before, text = self.calls(), self.text()
        slit, drill = "saw clamp slit (right hand)", "drill clamp screw (right hand)"
        self.lift(slit)
        self.over(drill, True)
        self.assertIn("Not by itself", self.piece("over"))
        self.assertIn("slit", self.piece("over"))
        self.drop()
        self.refused = 1
        self.assertEqual((self.calls(), self.text()), (before, text))
        self.assertIn("no order", self.piece("desk-said"))
        self.assertIn("across a slit a drill runs off", self.piece("desk-said"))
        self.keep("order-refused")
        # Let go outside of every step, nothing moves.
        self.lift(slit)
        ActionChains(self.browser).send_keys(Keys.ESCAPE).perform()
        self.drop()
        self.assertEqual((self.calls(), self.text()), (before, text))

    def test_a_finger_moves_a_step_too(self):
        self.size(360, 800)
        self.go("gear-cover")
        before = self.calls()
        first, then = "drill oil hole", "drill cover hole"
        self.assertLess(before.index(first), before.index(then))
        grip = self.grip(then)
        self.script("arguments[0].scrollIntoView({block: 'center'})", grip)
        place = "const box = arguments[0].getBoundingClientRect(); return [box.left + box.width / 2, box.top + box.height / 2]"
        x, y = self.script(place, grip)
        touch = lambda kind, points: self.browser.execute_cdp_cmd(
            "Input.dispatchTouchEvent", {"type": kind, "touchPoints": points})
        touch("touchStart", [{"x": x, "y": y}])
        places = "return document.getElementById('desk').dataset.places"
        self.until(lambda: self.script(places) == then, "the places")
        target = self.browser.find_element(By.CSS_SELECTOR, f".step[data-call='{first}']")
        top = self.script("return arguments[0].getBoundingClientRect().top", target)
        touch("touchMove", [{"x": x, "y": top + 4}])
        touch("touchEnd", [])
        self.settled()
        self.assertEqual(self.said(), {"wanted": [f"{then} before {first}"]})
        after = self.calls()
        self.assertLess(after.index(then), after.index(first))

    def test_keys_move_a_step_and_the_focus_stays_with_it(self):
        self.go("valve-lever")
        stop = "drill stop hole (the pair)"
        place = self.calls().index(stop)
        self.focus(f"grip-{stop}")
        self.keys(Keys.ARROW_UP)
        self.assertLess(self.calls().index(stop), place)
        self.assertEqual(self.script("return document.activeElement.dataset.key"), f"grip-{stop}")
        wanted = self.said()["wanted"]
        self.assertEqual(len(wanted), 1)
        # And back: the wish takes the place of its opposite.
        other = wanted[0].split(" before ")[1]
        self.focus(f"grip-{other}")
        self.keys(Keys.ARROW_UP)
        self.assertNotIn(wanted[0], self.said()["wanted"])
        # A step that must follow another does not pass it.
        self.focus("up-ream pivot bore (the pair)")
        for _ in range(8):
            self.keys(Keys.SPACE)
            if self.piece("desk-said"):
                break
        self.assertIn("brings a drilled hole to size", self.piece("desk-said"))
        self.refused = 1
        calls = self.calls()
        self.assertLess(calls.index("drill pivot bore (the pair)"), calls.index("ream pivot bore (the pair)"))

    def test_what_is_done_is_ticked_and_taken_back(self):
        self.go("valve-lever")
        before = self.calls()
        self.focus("done-stick the two blanks together (the pair)")
        self.keys(Keys.SPACE)
        self.assertEqual(self.said(), {"done": ["stick the two blanks together (the pair)"]})
        self.assertEqual(self.calls(), before[1:])
        self.focus("upto-2")
        self.keys(Keys.ENTER)
        self.assertIn("Done already", self.piece("asked"))
        left = self.calls()
        self.assertNotIn("ream pivot bore (the pair)", left)
        self.assertIn("saw clamp slit (left hand)", left)
        # What was cut is shown as cut in the next picture.
        first = read(self.browser, By.CSS_SELECTOR, ".stage title", "textContent")
        self.assertRegex(first, r"Cut before: .*pivot bore")
        self.keep("order-done")
        for _ in range(len(self.said()["done"])):
            self.script("document.querySelector(\"[data-key^='undone-']\").click()")
            self.settled()
        self.assertEqual(self.calls(), before)

    def test_a_step_tells_why_it_is_there_and_with_which_it_may_change_places(self):
        self.go("valve-lever")
        self.focus("open-ream pivot bore (the pair)")
        self.keys(Keys.ENTER)
        opened = read(self.browser, By.CSS_SELECTOR, ".step.is-open .open")
        self.assertIn("a reamer or boring tool only brings a drilled hole to size", opened)
        self.assertIn("common practice", opened)
        answers = self.script("return [...document.querySelectorAll('.step.is-open .others li')].map((one) => one.className)")
        self.assertEqual(len(answers), len(self.calls()) - 1)
        self.assertEqual(set(answers), {"may", "may-not"})
        self.keep("order-why")

    def test_a_file_whose_wishes_cannot_be_is_shown_with_the_way_out(self):
        lever = self.project / "parts" / "valve-lever.toml"
        wish = "saw clamp slit before drill clamp screw"
        lever.write_text(lever.read_text() + f'\n[order]\nwanted = ["{wish}"]\n')
        self.go("valve-lever")
        asked = self.piece("cards")
        self.assertIn("there is no order", asked)
        self.assertIn(f"take back `{wish}`", asked)
        self.assertEqual(self.calls(), [])
        self.keep("order-conflict")
        self.focus(f"back-{wish}")
        self.keys(Keys.ENTER)
        self.assertEqual(self.said().get("wanted", []), [])
        self.assertGreater(len(self.calls()), 10)

    def test_pictures_are_to_one_scale_and_tell_what_is_cut_when(self):
        self.go("valve-lever")
        pictures = self.script(
            "return [...document.querySelectorAll('svg.stage')].map((svg) => [svg.viewBox.baseVal.width / svg.getBoundingClientRect().width,"
            " svg.querySelector('title').textContent, svg.querySelectorAll('.now').length])")
        self.assertGreater(len(pictures), 5)
        scales = {round(scale, 3) for scale, _, _ in pictures}
        self.assertEqual(len(scales), 1, "every picture has the same scale")
        # A hole that is cut in one picture is cut before in every later one of the pair.
        seen = False
        for _, title, now in pictures[:5]:
            before, here = re.search(r"Cut before: (.*)\. Cut here: (.*)\.$", title).groups()
            if seen:
                self.assertIn("pivot bore", before)
            seen = seen or "pivot bore" in here
            if here != "nothing":
                self.assertGreater(now, 0)
        self.assertTrue(seen)

    def test_no_width_spills_or_shifts(self):
        for width in [360, 800, 1400]:
            self.size(width, 900)
            for part in ["valve-lever", "gear-cover", "valve-spindle"]:
                self.go(part)
                wide = self.script("return document.documentElement.scrollWidth")
                self.assertLessEqual(wide, width, f"{part} at {width}")
                # Nothing moves by itself once the page stands, while a step is lifted and put back.
                self.script(
                    "window.moved = 0; new PerformanceObserver((list) => { for (const one of list.getEntries())"
                    " window.moved += one.value; }).observe({type: 'layout-shift'})")
                height = self.script("return document.documentElement.scrollHeight")
                call = self.calls()[0]
                self.lift(call)
                self.keep(f"order-{part}-{width}")
                self.drop()
                self.assertEqual(self.script("return window.moved"), 0, f"{part} at {width} shifts")
                self.assertEqual(self.script("return document.documentElement.scrollHeight"), height)


if __name__ == "__main__":
    unittest.main()
