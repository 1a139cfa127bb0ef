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


if __name__ == "__main__":
    unittest.main()
