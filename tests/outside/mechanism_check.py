"""A hundred made-up mechanisms against scipy, their derivatives against sympy.

The example prints each mechanism in numbers and sums of parameters. The equations are
written here anew, in complex numbers: a link is `z + e^(it) w`. Positions are found by
scipy from where our links stand, pushed off by half a millimetre and half a degree. Rates
are the symbolic derivatives of the same equations, solved as linear systems. Those that a
kinematics package can express are built by it as well (`linkage_package.py`), and errors of
sizes are carried through a closed form by a package for that.
"""

import json
import unittest

import numpy as np
import sympy
from linkage_package import Built
from program import example
from scipy.optimize import least_squares
from uncertainties import ufloat, umath

COUNT = 100
# Positions in millimetres and angles in radians agree to this, on mechanisms of some 100 mm.
SAME = 1e-9


def size(said, params):
    return said["plus"] + sum(by * params[p] for p, by in said["terms"])


class Equations:
    """The residuals of a mechanism, from its description alone."""

    def __init__(self, told, params=None):
        self.told = told
        self.params = told["params"] if params is None else params
        self.points = [[complex(size(x, self.params), size(y, self.params)) for x, y in link] for link in told["links"]]

    def residuals(self, unknown, drive):
        pose = np.concatenate([[0, 0, 0], unknown]).reshape(-1, 3)
        z, e = pose[:, 0] + 1j * pose[:, 1], np.exp(1j * pose[:, 2])

        def place(point):
            return z[point[0]] + e[point[0]] * self.points[point[0]][point[1]]

        found = []
        for joint in self.told["joints"]:
            if "pin" in joint:
                gap = place(joint["pin"][0]) - place(joint["pin"][1])
                found += [gap.real, gap.imag]
            elif "slot" in joint:
                point, origin = joint["slot"]
                along = e[origin[0]] * np.exp(1j * size(joint["angle"], self.params))
                found.append(((place(point) - place(origin)) / along).imag)
            elif "arc" in joint:
                found.append(abs(place(joint["arc"][0]) - place(joint["arc"][1])) - size(joint["radius"], self.params))
            else:
                a, b, c = (pose[link, 2] for link in joint["turn"])
                found.append(a - c - size(joint["ratio"], self.params) * (b - c) - size(joint["phase"], self.params))
        crank = self.told["drive"]
        found.append(pose[crank["link"], 2] - pose[crank["on"], 2] - size(crank["zero"], self.params) - drive)
        return np.array(found)


class Symbols:
    """The same residuals in symbols, for their derivatives."""

    def __init__(self, told):
        links = len(told["links"])
        self.params = sympy.symbols(f"p0:{len(told['params'])}")
        self.drive = sympy.Symbol("drive")
        self.unknown = sympy.symbols(f"q0:{3 * (links - 1)}")
        pose = [(0, 0, 0)] + [self.unknown[3 * i : 3 * i + 3] for i in range(links - 1)]

        def turned(angle, x, y):
            c, s = sympy.cos(angle), sympy.sin(angle)
            return sympy.Matrix([c * x - s * y, s * x + c * y])

        def place(point):
            x, y, t = pose[point[0]]
            u, v = (size(part, self.params) for part in told["links"][point[0]][point[1]])
            return sympy.Matrix([x, y]) + turned(t, u, v)

        self.place = place
        rows = []
        for joint in told["joints"]:
            if "pin" in joint:
                rows += list(place(joint["pin"][0]) - place(joint["pin"][1]))
            elif "slot" in joint:
                point, origin = joint["slot"]
                across = turned(pose[origin[0]][2] + size(joint["angle"], self.params), 0, 1)
                rows.append(across.dot(place(point) - place(origin)))
            else:
                a, b, c = (pose[link][2] for link in joint["turn"])
                rows.append(a - c - size(joint["ratio"], self.params) * (b - c) - size(joint["phase"], self.params))
        crank = told["drive"]
        rows.append(pose[crank["link"]][2] - pose[crank["on"]][2] - size(crank["zero"], self.params) - self.drive)
        self.rows = sympy.Matrix(rows)

    def number(self, what, told, poses, angle):
        values = dict(zip(self.params, told["params"])) | {self.drive: angle}
        values |= dict(zip(self.unknown, np.array(poses)[1:].ravel().tolist()))
        return np.array(sympy.Matrix(what).subs(values).evalf(), dtype=float)


class Mechanisms(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        cls.told = [json.loads(" ".join(line)) for line in example("mechanism_positions", str(COUNT))]

    def test_there_are_a_hundred_of_up_to_fifty_links(self):
        links = [len(told["links"]) - 1 for told in self.told]
        self.assertEqual(len(links), COUNT)
        self.assertGreaterEqual(max(links), 48)
        self.assertGreater(len(set(links)), 6)

    def test_positions_are_those_that_scipy_finds(self):
        noise = np.random.default_rng(1911)
        worst = 0.0
        for told in self.told:
            equations = Equations(told)
            for position in told["positions"][::3]:
                ours = np.array(position["poses"])[1:].ravel()
                push = noise.uniform(-1, 1, ours.size) * np.tile([0.5, 0.5, 0.01], ours.size // 3)
                found = least_squares(
                    equations.residuals, ours + push / max(1, ours.size / 30), args=(position["angle"],),
                    xtol=1e-15, ftol=1e-15, gtol=1e-15, method="lm",
                )
                self.assertLess(np.abs(found.fun).max(), 1e-9)
                worst = max(worst, np.abs(found.x - ours).max())
                self.assertLess(np.abs(equations.residuals(ours, position["angle"])).max(), 1e-11)
        self.assertLess(worst, SAME)

    def test_rates_of_links_are_differences_of_positions(self):
        for told in self.told:
            equations = Equations(told)
            for position in told["positions"][:2]:
                first = np.array(position["first"])[1:].ravel()
                second = np.array(position["second"])[1:].ravel()
                ours = np.array(position["poses"])[1:].ravel()
                h = 1e-4
                # Along the second-order way the equations hold to third order in the step.
                for step in (h, -h):
                    off = equations.residuals(ours + step * first + 0.5 * step**2 * second, position["angle"] + step)
                    bound = 1e-10 * (1 + np.abs(first).max() ** 3 + np.abs(first).max() * np.abs(second).max())
                    self.assertLess(np.abs(off).max(), bound)

    def test_rates_are_those_of_the_written_out_equations(self):
        for told in [t for t in self.told if len(t["links"]) <= 6][:12]:
            symbols = Symbols(told)
            position = told["positions"][1]
            args = (told, position["poses"], position["angle"])
            matrix = symbols.number(symbols.rows.jacobian(symbols.unknown), *args)
            first = np.linalg.solve(matrix, -symbols.number(symbols.rows.diff(symbols.drive), *args)).ravel()
            ours = np.array(position["first"])[1:].ravel()
            self.assertLess(np.abs(first - ours).max(), SAME * (1 + np.abs(ours).max()))
            # The second time along the way: every unknown moves as it was just found to.
            way = symbols.rows.jacobian(symbols.unknown) * sympy.Matrix(first.tolist()) + symbols.rows.diff(symbols.drive)
            again = way.jacobian(symbols.unknown) * sympy.Matrix(first.tolist()) + way.diff(symbols.drive)
            second = np.linalg.solve(matrix, -symbols.number(again, *args)).ravel()
            ours = np.array(position["second"])[1:].ravel()
            self.assertLess(np.abs(second - ours).max(), SAME * (1 + np.abs(ours).max()))

    def test_sensitivities_are_those_of_the_written_out_equations(self):
        asked = [t for t in self.told if "by" in t][:16]
        self.assertEqual(len(asked), 16)
        for told in asked:
            symbols, by = Symbols(told), told["by"]
            args = (told, by["poses"], by["angle"])
            matrix = symbols.number(symbols.rows.jacobian(symbols.unknown), *args)
            moved = np.linalg.solve(matrix, -symbols.number(symbols.rows.jacobian(symbols.params), *args))
            at = list(symbols.place((by["link"], by["point"]))) + [symbols.unknown[3 * (by["link"] - 1) + 2]]
            results = sympy.Matrix(at)
            whole = symbols.number(results.jacobian(symbols.params), *args)
            whole = whole + symbols.number(results.jacobian(symbols.unknown), *args) @ moved
            ours = np.array(by["by"])
            # The point is told from the first fixed point, which stands at the origin.
            self.assertLess(np.abs(whole - ours).max(), SAME * (1 + np.abs(ours).max()))

    def test_positions_are_those_that_a_kinematics_package_builds(self):
        noise = np.random.default_rng(1912)
        built, worst = 0, 0.0
        for told in self.told:
            for n, position in enumerate(told["positions"]):
                theirs = Built(told, position, noise)
                if not theirs.whole():
                    break
                built += n == 0
                for link, points in enumerate(theirs.points):
                    z, e = theirs.ours[0][link], theirs.ours[1][link]
                    off = [abs(theirs.place((link, p)) - z - e * local) for p, local in enumerate(points)]
                    worst = max(worst, *off)
        # It has cranks, pairs of rods and rods to a fixed line: 12 of the hundred are of these.
        self.assertEqual(built, 12)
        self.assertLess(worst, SAME)

    def test_spreads_to_first_order_are_those_of_carried_errors(self):
        """A crosshead: x = r cos a + sqrt(l² - (r sin a - h)²), each size with an error of its own."""
        errors = (0.02, 0.05, 0.03)
        for case in [(20, 70, 0, 0.4), (17.46, 76.2, 1.5, 2.1), (25, 60, -4, 5.0)]:
            r, rod, h = (ufloat(value, error) for value, error in zip(case, errors))
            carried = r * umath.cos(case[3]) + umath.sqrt(rod**2 - (r * umath.sin(case[3]) - h) ** 2)
            told = json.loads(" ".join(example("mechanism_positions", "--crosshead", *map(str, case))[0]))
            self.assertAlmostEqual(told["value"], carried.nominal_value, delta=SAME)
            ours = sum((by * error) ** 2 for by, error in zip(told["by"], errors)) ** 0.5
            self.assertAlmostEqual(ours, carried.std_dev, delta=SAME)
            for by, one in zip(told["by"], (r, rod, h)):
                self.assertAlmostEqual(by, carried.derivatives[one], delta=SAME)


if __name__ == "__main__":
    unittest.main()
