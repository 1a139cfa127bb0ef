"""ISO 286 limits against the Python package pressfit."""

import unittest

import pressfit
from program import figures, number, oddleg

SIZES = [2, 3, 4.5, 6, 8, 10, 14, 18, 25, 30, 40, 50]
FITS = ["H7/g6", "H7/h6", "H8/f7", "H7/k6", "H7/n6", "H7/p6", "H9/e8", "H11/h11"]


class Fits(unittest.TestCase):
    def test_limits_agree_with_pressfit(self):
        compared = 0
        for fit in FITS:
            hole, shaft = fit.split("/")
            for size in SIZES:
                with self.subTest(fit=fit, size=size):
                    theirs = pressfit.fit(fit, size)
                    try:
                        ours = figures(oddleg("shelf", "fit", f"{size} mm", fit))
                    except Exception:
                        # A class that our table does not hold is not compared; the
                        # count below sees to it that most are.
                        continue
                    for label, um in [
                        (f"{hole} least", theirs.hole_ei_um),
                        (f"{hole} greatest", theirs.hole_es_um),
                        (f"{shaft} least", theirs.shaft_ei_um),
                        (f"{shaft} greatest", theirs.shaft_es_um),
                    ]:
                        self.assertAlmostEqual(number(ours[label]), size + um / 1000, places=6, msg=label)
                        compared += 1
        self.assertGreater(compared, len(SIZES) * 4 * 6)

    def test_the_pairs_behind_the_words_agree_at_every_size(self):
        """Running, sliding, press and shrink fits stand on these where practice has no
        figure of its own; a fit to the shaft is judged by F8/h8."""
        for fit in ["H7/f7", "H7/h6", "H7/p6", "H7/s6"]:
            for size in range(1, 121):
                with self.subTest(fit=fit, size=size):
                    theirs = pressfit.fit(fit, size)
                    ours = figures(oddleg("shelf", "fit", f"{size} mm", fit))
                    least = (theirs.hole_ei_um - theirs.shaft_es_um) / 1000
                    most = (theirs.hole_es_um - theirs.shaft_ei_um) / 1000
                    self.assertAlmostEqual(number(ours["least clearance"]), least, places=6)
                    self.assertAlmostEqual(number(ours["greatest clearance"]), most, places=6)
        for size in range(2, 121, 6):
            with self.subTest(fit="F8/h8", size=size):
                # A hole of letter F begins where the shaft of letter f ends, turned over.
                clear = -pressfit.fit("H8/f8", size).shaft_es_um / 1000
                width = pressfit.it_value(size, 8) / 1000
                ours = figures(oddleg("shelf", "fit", f"{size} mm", "F8/h8"))
                self.assertAlmostEqual(number(ours["least clearance"]), clear, places=6)
                self.assertAlmostEqual(number(ours["greatest clearance"]), clear + 2 * width, places=6)

    def test_the_words_stand_on_them_where_practice_is_silent(self):
        for word, fit, size in [
            ("running", "H7/f7", 1.5), ("running", "H7/f7", 45), ("sliding", "H7/h6", 45),
            ("locating", "H7/h6", 7), ("press", "H7/p6", 2.5), ("press", "H7/p6", 110),
            ("shrink", "H7/s6", 3),
        ]:
            with self.subTest(word=word, size=size):
                theirs = pressfit.fit(fit, size)
                ours = figures(oddleg("shelf", "fit", f"{size} mm", word))
                least = (theirs.hole_ei_um - theirs.shaft_es_um) / 1000
                most = (theirs.hole_es_um - theirs.shaft_ei_um) / 1000
                self.assertAlmostEqual(number(ours["least clearance"]), least, places=6)
                self.assertAlmostEqual(number(ours["greatest clearance"]), most, places=6)


if __name__ == "__main__":
    unittest.main()
