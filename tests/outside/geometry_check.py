"""Tangents, outlines and offsets against shapely (GEOS)."""

import math
import random
import unittest

from program import example, figures, number, oddleg
from shapely.geometry import Point
from shapely.ops import unary_union

SIDES = 2048  # a quarter of a circle in this many chords: within 2e-7 of the radius


def hull(bosses):
    """The convex hull of round bosses, as shapely builds it."""
    return unary_union([Point(x, y).buffer(r, quad_segs=SIDES) for x, y, r in bosses]).convex_hull


class Outlines(unittest.TestCase):
    def test_a_lever_and_the_road_round_it(self):
        random.seed(7)
        for case in range(6):
            bosses = [(0.0, 0.0, random.uniform(6, 12)), (random.uniform(25, 60), random.uniform(-8, 8), random.uniform(3, 6))]
            cutter = random.uniform(1.5, 2.5)
            words = [f"{x},{y},{r}" for x, y, r in bosses]
            ours = {line[0]: (float(line[1]), float(line[2])) for line in example("outline_offset", *words, str(cutter))}
            theirs = hull(bosses)
            for name, shape in [
                ("outline", theirs),
                ("Outside", theirs.buffer(cutter, quad_segs=SIDES)),
                # GEOS smooths what it shrinks, by some millionths: the bosses are
                # shrunk instead, and its own buffer is held to four places below.
                ("Inside", hull([(x, y, r - cutter) for x, y, r in bosses])),
            ]:
                with self.subTest(case=case, name=name):
                    self.assertAlmostEqual(ours[name][0] / shape.area, 1, places=6)
                    self.assertAlmostEqual(ours[name][1] / shape.length, 1, places=6)
            shrunk = theirs.buffer(-cutter, quad_segs=SIDES)
            self.assertAlmostEqual(ours["Inside"][0] / shrunk.area, 1, places=4)

    def test_the_flank_of_a_lever(self):
        for radius, other, centres in [(11, 7, 46.83), (12, 7, 13), (20, 3, 80), (5, 4.9, 30)]:
            with self.subTest(radius=radius):
                ours = figures(
                    oddleg("reckon", "rounded-end", "--radius", f"{radius} mm", "--other", f"{other} mm",
                           "--centres", f"{centres} mm", "--cutter", "6 mm")
                )
                corners = list(hull([(0, 0, radius), (centres, 0, other)]).exterior.coords)
                longest = max(zip(corners, corners[1:]), key=lambda pair: math.dist(*pair))
                (x0, y0), (x1, y1) = longest
                slope = math.degrees(math.asin(abs(y1 - y0) / math.dist(*longest)))
                self.assertAlmostEqual(number(ours["straight length of a flank"].lstrip("≈")), math.dist(*longest), delta=0.02)
                self.assertAlmostEqual(number(ours["flank angle to the line of centres"]), slope, delta=0.05)


if __name__ == "__main__":
    unittest.main()
