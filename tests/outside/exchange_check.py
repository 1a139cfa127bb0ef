"""Outlines in and out, against ezdxf, svgelements and shapely.

Files are drawn with ezdxf, read by oddleg, and the part file it writes is built
again here with shapely, from its words alone. What oddleg writes is read back
with ezdxf and svgelements.
"""

import io
import json
import math
import pathlib
import random
import re
import subprocess
import tempfile
import tomllib
import unittest

import ezdxf
import numpy
import svgelements
from ezdxf import units
from ezdxf.math import Vec2
from program import ROOT
from scipy.interpolate import BSpline
from shapely.geometry import LineString, Point, Polygon
from shapely.ops import polygonize, unary_union

SIDES = 4096  # a whole circle in this many chords: its area within 4e-7 of itself
BINARY = ROOT / "target" / "debug" / "oddleg"


def run(*words):
    """Whether oddleg answered, and what it said, as parsed JSON."""
    done = subprocess.run([BINARY, *map(str, words), "--json"], capture_output=True, text=True)
    return done.returncode == 0, json.loads(done.stdout)


def lines(answer, heading):
    """The lines under a heading of an answer; none where it is not there."""
    return next((s["lines"] for s in answer["sections"] if s["heading"] == heading), [])


# Shapes as chords ------------------------------------------------------------


def arc_points(centre, radius, start, sweep):
    """Points along an arc, angles in radians."""
    count = max(2, math.ceil(abs(sweep) / math.tau * SIDES))
    return [
        (centre[0] + radius * math.cos(start + sweep * i / count), centre[1] + radius * math.sin(start + sweep * i / count))
        for i in range(count + 1)
    ]


def bulge_points(a, b, bulge):
    """Points from a to b, along the arc that a bulge gives."""
    if bulge == 0:
        return [a, b]
    sweep = 4 * math.atan(bulge)
    chord = math.dist(a, b)
    radius = chord / 2 / math.sin(abs(sweep) / 2)
    half = math.atan2(b[1] - a[1], b[0] - a[0])
    # The direction at a is turned from the chord by half the sweep, to the right for a left-hand arc.
    way = half - sweep / 2
    side = 1 if sweep > 0 else -1
    centre = (a[0] - side * radius * math.sin(way), a[1] + side * radius * math.cos(way))
    return arc_points(centre, radius, math.atan2(a[1] - centre[1], a[0] - centre[0]), sweep)


def loop(points):
    """A polygon through points with bulges."""
    ring = []
    for (x, y, bulge), (x1, y1, _) in zip(points, points[1:] + points[:1]):
        ring += bulge_points((x, y), (x1, y1), bulge)[:-1]
    return Polygon(ring)


def disc(x, y, radius):
    return Polygon(arc_points((x, y), radius, 0, math.tau)[:-1])


# The part file, read by its words --------------------------------------------


def length(text, unit):
    """Millimetres of a length as a part file writes it."""
    text = str(text).strip()
    each = {"inch": 25.4, "mm": 1.0}[unit]
    for ending, value in [("mm", 1.0), ("in", 25.4)]:
        if text.endswith(ending):
            text, each = text[: -len(ending)].strip(), value
    total = 0.0
    for word in text.split():
        top, _, below = word.partition("/")
        total += float(top) / float(below or 1)
    return total * each


def plain(value):
    """What a length or a place is, without what may become of it."""
    return value["is"] if isinstance(value, dict) else value


class Part:
    """A part file as shapely sees it."""

    def __init__(self, path):
        self.file = tomllib.loads(pathlib.Path(path).read_text())
        self.unit = self.file["unit"]
        self.features = {f["name"]: f for f in self.file.get("feature", [])}
        body = self.file["body"]
        self.kind = body["kind"]
        if self.kind == "disc":
            self.outline = disc(0, 0, self.mm(body["diameter"]) / 2)
            self.size = (0, 0)
        elif self.kind == "rectangle":
            w, h = self.mm(body["width"]), self.mm(body["height"])
            assert body["datum"] == "bottom left"
            self.outline = Polygon([(0, 0), (w, 0), (w, h), (0, h)])
        else:
            self.outline = self.around(body["around"])
        self.holes = sorted(
            (*self.at(f), self.mm(f["diameter"])) for f in self.features.values() if f["kind"] == "hole"
        )
        self.cuts = [self.cut(f) for f in self.features.values() if f["kind"] in ("slot", "pocket", "square hole")]

    def mm(self, text):
        return length(text, self.unit)

    def at(self, feature):
        x = y = 0.0
        for statement in feature["place"]:
            statement = plain(statement)
            if statement.startswith("concentric with "):
                return self.at(self.features[statement.removeprefix("concentric with ")])
            for words, axis, sign in [
                (" right of datum", 0, 1), (" left of datum", 0, -1), (" above datum", 1, 1), (" below datum", 1, -1),
                (" from left edge", 0, 1), (" from bottom edge", 1, 1),
            ]:
                if statement.endswith(words):
                    value = sign * self.mm(statement.removesuffix(words))
                    x, y = (value, y) if axis == 0 else (x, value)
                    break
            else:
                assert statement in ("datum", "level with datum", "plumb with datum"), statement
        return x, y

    def cut(self, f):
        x, y = self.at(f)
        angle = float(str(f.get("along", "0")).removesuffix("°"))
        if f["kind"] == "slot":
            half = self.mm(f["centres"]) / 2
            shape = LineString([(-half, 0), (half, 0)]).buffer(self.mm(f["width"]) / 2, quad_segs=SIDES // 4)
        else:
            w = self.mm(f.get("width", f.get("across")))
            h = self.mm(f.get("height", f.get("across")))
            r = self.mm(f["corner"]) if "corner" in f else 0
            shape = Polygon([(-w / 2 + r, -h / 2 + r), (w / 2 - r, -h / 2 + r), (w / 2 - r, h / 2 - r), (-w / 2 + r, h / 2 - r)])
            shape = shape.buffer(r, quad_segs=SIDES // 4) if r else shape
        c, s = math.cos(math.radians(angle)), math.sin(math.radians(angle))
        return Polygon([(x + c * u - s * v, y + s * u + c * v) for u, v in shape.exterior.coords])

    def around(self, items):
        """Corners, bosses and arcs, put together from their meaning in the part file's manual."""
        stops = []
        for item in items:
            if isinstance(item, dict):
                stops[-1]["arc"] = item
            else:
                f = self.features[item]
                stops.append({"at": self.at(f), "r": self.mm(f["radius"]) if "radius" in f else 0, "boss": f["kind"] == "boss"})
        count = len(stops)
        # The ends of the straight sides: tangents of bosses (a corner is a boss of no radius).
        sides = []
        for i, a in enumerate(stops):
            b = stops[(i + 1) % count]
            ra, rb = a["r"] if a["boss"] else 0, b["r"] if b["boss"] else 0
            way = math.atan2(b["at"][1] - a["at"][1], b["at"][0] - a["at"][0])
            touch = way - math.acos((ra - rb) / math.dist(a["at"], b["at"]))
            foot = lambda stop, r: (stop["at"][0] + r * math.cos(touch), stop["at"][1] + r * math.sin(touch))
            sides.append((foot(a, ra), foot(b, rb)))
        ring = []
        for i, stop in enumerate(stops):
            (p, q), (s, t) = sides[i - 1], sides[i]
            if stop["boss"]:
                c = stop["at"]
                start = math.atan2(q[1] - c[1], q[0] - c[0])
                sweep = (math.atan2(s[1] - c[1], s[0] - c[0]) - start) % math.tau
                ring += arc_points(c, stop["r"], start, sweep)
            elif stop["r"]:
                u, v = unit(p, q), unit(s, t)
                turn = math.atan2(u[0] * v[1] - u[1] * v[0], u[0] * v[0] + u[1] * v[1])
                back = stop["r"] * math.tan(abs(turn) / 2)
                side = 1 if turn > 0 else -1
                begin = (q[0] - u[0] * back, q[1] - u[1] * back)
                centre = (begin[0] - side * stop["r"] * u[1], begin[1] + side * stop["r"] * u[0])
                ring += arc_points(centre, stop["r"], math.atan2(begin[1] - centre[1], begin[0] - centre[0]), turn)
            else:
                ring.append(stop["at"])
            if "arc" in stop:
                a, b = stop["at"], stops[(i + 1) % count]["at"]
                half = math.asin(min(1, math.dist(a, b) / 2 / self.mm(plain(stop["arc"]["arc"]))))
                half = math.pi - half if stop["arc"].get("greater") else half
                bulge = math.tan(half / 2)
                ring += bulge_points(a, b, bulge if stop["arc"]["bulge"] == "out" else -bulge)[1:-1]
        return Polygon(ring)


def unit(a, b):
    d = math.dist(a, b)
    return ((b[0] - a[0]) / d, (b[1] - a[1]) / d)


# Drawn at random ---------------------------------------------------------------


def outlines(rng, k):
    """A closed outline as points with bulges, in mm; several families."""
    w, h = round(rng.uniform(30, 90), 1), round(rng.uniform(25, 60), 1)
    r = round(rng.uniform(2, 8), 1)
    quarter = math.tan(math.pi / 8)
    match k % 6:
        case 0:
            return [(0, 0, 0), (w, 0, 0), (w, h, 0), (0, h, 0)]
        case 1:  # rounded corners
            return [(r, 0, 0), (w - r, 0, quarter), (w, r, 0), (w, h - r, quarter),
                    (w - r, h, 0), (r, h, quarter), (0, h - r, 0), (0, r, quarter)]
        case 2:  # round both ends
            return [(h / 2, 0, 0), (w + h, 0, 1), (w + h, h, 0), (h / 2, h, 1)]
        case 3:  # a step, with a rounded inner corner, and one chamfer
            return [(0, 0, 0), (w, 0, 0), (w, h / 2, 0), (w / 2 + r, h / 2, -quarter), (w / 2, h / 2 + r, 0),
                    (w / 2, h - 3, 0), (w / 2 - 3, h, 0), (0, h, 0)]
        case 4:  # arcs in and out between corners
            return [(0, 0, 0), (w, 0, rng.uniform(0.1, 0.6)), (w, h, -rng.uniform(0.05, 0.3)), (0, h, 0)]
        case _:  # points round a circle
            n = rng.randint(5, 9)
            return [(w * (1 + math.cos(math.tau * i / n)), w * (1 + math.sin(math.tau * i / n)), 0) for i in range(n)]


def turned(points, angle, x, y):
    c, s = math.cos(angle), math.sin(angle)
    return [(c * px - s * py + x, s * px + c * py + y, b) for px, py, b in points]


def draw(space, points, how, rng, layer):
    """Puts a loop into a drawing: as a polyline, or as loose lines and arcs in any order and sense."""
    attribs = {"layer": layer}
    if how == "light":
        space.add_lwpolyline([(x, y, b) for x, y, b in points], format="xyb", close=True, dxfattribs=attribs)
    elif how == "old":
        space.add_polyline2d([(x, y, b) for x, y, b in points], format="xyb", close=True, dxfattribs=attribs)
    else:
        pieces = list(zip(points, points[1:] + points[:1]))
        rng.shuffle(pieces)
        for (x, y, b), (x1, y1, _) in pieces:
            if b == 0:
                ends = [(x, y), (x1, y1)]
                rng.shuffle(ends)
                space.add_line(*ends, dxfattribs=attribs)
            else:
                centre, start, end, radius = ezdxf.math.bulge_to_arc(Vec2(x, y), Vec2(x1, y1), b)
                space.add_arc(centre, radius, math.degrees(start), math.degrees(end), dxfattribs=attribs)


UNITS = {"mm": (units.MM, 1.0), "in": (units.IN, 25.4), "cm": (units.CM, 10.0)}


class Reading(unittest.TestCase):
    """Files that ezdxf writes are read as they were meant."""

    def setUp(self):
        self.folder = tempfile.TemporaryDirectory()
        self.dir = pathlib.Path(self.folder.name)

    def tearDown(self):
        self.folder.cleanup()

    def read(self, doc, name, *words):
        """Reads a drawing; gives the part and what was told."""
        file = self.dir / f"{name}.dxf"
        doc.saveas(file)
        to = self.dir / f"{name}.toml"
        good, answer = run("import", file, "-o", to, "--thickness", "3 mm", *words)
        self.assertTrue(good, answer)
        return Part(to), answer

    def test_drawn_at_random_in_every_way_and_unit(self):
        """Fifty drawings: six families of outline, three ways of drawing them, blocks, layers, three units."""
        rng = random.Random(11)
        for case in range(50):
            points = outlines(rng, case)
            angle = 0 if case % 6 == 0 else rng.choice([0, 0, rng.uniform(-3, 3)])
            points = turned(points, angle, rng.uniform(-50, 200), rng.uniform(-50, 200))
            shape = loop(points)
            inside = shape.buffer(-4)
            holes = []
            for _ in range(rng.randint(0, 4)):
                minx, miny, maxx, maxy = inside.bounds
                x, y, r = round(rng.uniform(minx, maxx), 2), round(rng.uniform(miny, maxy), 2), round(rng.uniform(0.8, 3), 2)
                if inside.contains(Point(x, y)) and all(math.dist((x, y), o[:2]) > r + o[2] + 1 for o in holes):
                    holes.append((x, y, r))
            word, (code, each) = rng.choice(list(UNITS.items()))
            doc = ezdxf.new(rng.choice(["R12", "R2000", "R2010"]), units=code, setup=True)
            doc.header["$INSUNITS"] = code
            doc.layers.add("shape")
            doc.layers.add("drill", color=3)
            doc.layers.add("notes").off()
            model = doc.modelspace()
            scaled = [(x / each, y / each, b) for x, y, b in points]
            draw(model, scaled, ["light", "old", "loose"][case % 3] if doc.dxfversion != "AC1009" else ["old", "loose"][case % 2], rng, "shape")
            block = doc.blocks.new("DRILL", base_point=(1, 1))
            block.add_circle((1, 1), 0.5)
            for i, (x, y, r) in enumerate(holes):
                x, y, r = x / each, y / each, r / each
                match (case + i) % 3:
                    case 0:
                        model.add_circle((x, y), r, dxfattribs={"layer": "drill"})
                    case 1:
                        mirrored = rng.choice([-1, 1])
                        model.add_blockref("DRILL", (x, y), dxfattribs={
                            "layer": "drill", "xscale": 2 * r * mirrored, "yscale": 2 * r, "rotation": rng.uniform(0, 360)})
                    case _:
                        model.add_circle((-x, y), r, dxfattribs={"layer": "drill", "extrusion": (0, 0, -1)})
            model.add_line((-999, 0), (999, 7), dxfattribs={"layer": "notes"})
            model.add_text("12.7", dxfattribs={"layer": "shape"})
            with self.subTest(case=case, unit=word):
                # The oldest form has no place for the unit: it is asked for.
                asked = ("--unit", word) if doc.dxfversion == "AC1009" else ()
                part, answer = self.read(doc, f"random{case}", *asked)
                x, y = shape.exterior.bounds[:2]
                self.assertAlmostEqual(part.outline.area / shape.area, 1, delta=4e-5)
                self.assertAlmostEqual(part.outline.length / shape.length, 1, delta=4e-5)
                if part.kind == "disc":
                    x, y = shape.centroid.x, shape.centroid.y
                moved = Polygon([(px - x, py - y) for px, py in shape.exterior.coords])
                self.assertLess(part.outline.hausdorff_distance(moved), 0.006)
                expected = sorted((hx - x, hy - y, 2 * r) for hx, hy, r in holes)
                self.assertEqual(len(part.holes), len(expected))
                for ours, theirs in zip(part.holes, expected):
                    for a, b in zip(ours, theirs):
                        self.assertAlmostEqual(a, b, delta=0.003)
                self.assertEqual(lines(answer, "mended"), [])

    def test_planted_gaps_and_overlaps(self):
        rng = random.Random(5)
        for case in range(8):
            w, h = round(rng.uniform(20, 60), 1), round(rng.uniform(20, 60), 1)
            gap = [0.004, 0.012, 0.019, 0.1][case % 4]
            doc = ezdxf.new(units=units.MM)
            model = doc.modelspace()
            model.add_line((0, 0), (w - gap, 0))
            model.add_line((w, 0), (w, h))
            model.add_line((w, h), (0, h))
            model.add_line((0, h), (0, 0))
            twice = case % 2
            if twice:
                model.add_line((0, h), (0, h / 3))
            file, to = self.dir / f"gap{case}.dxf", self.dir / f"gap{case}.toml"
            doc.saveas(file)
            good, answer = run("import", file, "-o", to, "--thickness", "3 mm")
            with self.subTest(case=case, gap=gap):
                if gap > 0.02:
                    self.assertFalse(good)
                    self.assertIn(f"X {w - gap:g}, Y 0", answer[0]["where"])
                else:
                    self.assertTrue(good, answer)
                    mended = lines(answer, "mended")
                    self.assertEqual(len(mended), 1 + twice, mended)
                    self.assertTrue(any("gap" in line and f"{gap:.4f}" in line for line in mended), mended)
                    self.assertAlmostEqual(Part(to).outline.area, w * h, delta=1e-6 * w * h)

    def test_units_that_cannot_be_true(self):
        def plate(code, size):
            doc = ezdxf.new(units=code)
            doc.header["$INSUNITS"] = code
            doc.modelspace().add_lwpolyline([(0, 0), (size, 0), (size, size / 2), (0, size / 2)], close=True)
            return doc

        for name, code, size, said in [
            ("small", units.MM, 1.84, "1.840 mm across"),
            ("large", units.IN, 46.8, "46.8 mm"),
            ("metres", units.M, 46.8, "across"),
        ]:
            with self.subTest(name=name):
                _, answer = self.read(plate(code, size), name)
                self.assertIn(said, lines(answer, "questions")[0])
        _, answer = self.read(plate(units.MM, 46.8), "fine")
        self.assertEqual(lines(answer, "questions")[1:], [], "only that nothing is cut in it")
        file, to = self.dir / "none.dxf", self.dir / "none.toml"
        plate(0, 46.8).saveas(file)
        good, answer = run("import", file, "-o", to, "--thickness", "3 mm")
        self.assertFalse(good)
        self.assertIn("does not say its unit", answer[0]["what"])
        self.assertFalse(to.exists())

    def test_curves_lie_within_the_distance_asked_for(self):
        """Ellipses and splines that ezdxf flattens finely, against the part."""
        rng = random.Random(3)
        for case in range(8):
            doc = ezdxf.new(units=units.MM)
            model = doc.modelspace()
            if case % 2:
                entity = model.add_ellipse((30, 20), (rng.uniform(15, 30), rng.uniform(-9, 9)), rng.uniform(0.3, 0.95))
                ring = list(entity.flattening(1e-6))
            else:
                n = rng.randint(6, 9)
                way = [(rng.uniform(20, 35) * math.cos(math.tau * i / n), rng.uniform(20, 35) * math.sin(math.tau * i / n)) for i in range(n)]
                entity = model.add_spline()
                entity.set_closed([(x, y, 0) for x, y in way], degree=3)
                # Its own flattening runs past the ends of such a spline; scipy keeps to them.
                knots, controls = list(entity.knots), [tuple(p)[:2] for p in entity.control_points]
                course = BSpline(knots, controls, 3)
                ring = course(numpy.linspace(knots[3], knots[len(controls)], 20000)).tolist()
            shape = Polygon([(p[0], p[1]) for p in ring])
            with self.subTest(case=case):
                part, answer = self.read(doc, f"curve{case}", "--datum", "origin")
                self.assertLess(part.outline.hausdorff_distance(shape), 0.016)
                told = next(line for line in lines(answer, "read") if line.startswith("curves"))
                self.assertLessEqual(float(told.split("within ")[1].split(" ")[0]), 0.01)

    def test_slots_and_pockets(self):
        quarter = math.tan(math.pi / 8)
        doc = ezdxf.new(units=units.MM)
        model = doc.modelspace()
        model.add_lwpolyline([(0, 0), (100, 0), (100, 60), (0, 60)], close=True)
        slot = turned([(-6, -3, 0), (6, -3, 1), (6, 3, 0), (-6, 3, 1)], math.radians(30), 20, 20)
        pocket = turned([(-8, -5, 0), (8, -5, quarter), (10, -3, 0), (10, 3, quarter), (8, 5, 0), (-8, 5, quarter), (-10, 3, 0), (-10, -3, quarter)],
                        math.radians(-20), 60, 30)
        square = turned([(-4, -4, 0), (4, -4, 0), (4, 4, 0), (-4, 4, 0)], math.radians(10), 85, 45)
        for points in (slot, pocket, square):
            model.add_lwpolyline(points, format="xyb", close=True)
        part, _ = self.read(doc, "cuts")
        self.assertEqual(len(part.cuts), 3)
        for ours in part.cuts:
            theirs = min((loop(p) for p in (slot, pocket, square)), key=lambda s: s.centroid.distance(ours.centroid))
            self.assertAlmostEqual(ours.area / theirs.area, 1, places=4)
            self.assertLess(ours.hausdorff_distance(theirs), 0.004)


class ReadingSvg(unittest.TestCase):
    """SVG files of every path command, through nested transforms, against svgelements."""

    def transform(self, rng):
        """A transform as written, and as the matrix (a, b, c, d, e, f) that it means."""
        x, y, k = rng.uniform(-20, 20), rng.uniform(-20, 20), rng.uniform(0.7, 1.4)
        angle = rng.uniform(-180, 180)
        c, s = math.cos(math.radians(angle)), math.sin(math.radians(angle))
        lean = rng.uniform(-20, 20)
        return rng.choice([
            (f"translate({x}, {y})", (1, 0, 0, 1, x, y)),
            (f"rotate({angle})", (c, s, -s, c, 0, 0)),
            (f"rotate({angle} 10 20)", (c, s, -s, c, 10 - c * 10 + s * 20, 20 - s * 10 - c * 20)),
            (f"scale(-1,{k})", (-1, 0, 0, k, 0, 0)),
            (f"translate({x} {y}) scale({k})", (k, 0, 0, k, x, y)),
            (f"skewX({lean})", (1, 0, math.tan(math.radians(lean)), 1, 0, 0)),
            (f"matrix(0.8 0.3 -0.4 0.9 {x} 3)", (0.8, 0.3, -0.4, 0.9, x, 3)),
        ])

    def path(self, rng):
        """A loop round the origin that does not cross itself, with a command of every kind now and then."""
        n = rng.randint(5, 9)
        points = [(rng.uniform(20, 30) * math.cos(math.tau * i / n), rng.uniform(20, 30) * math.sin(math.tau * i / n)) for i in range(n)]
        data, at, last = f"M{points[0][0]:.5f} {points[0][1]:.5f}", points[0], ""
        for end in points[1:] + points[:1]:
            relative = rng.random() < 0.5
            mid = ((at[0] + end[0]) * 0.55, (at[1] + end[1]) * 0.55)
            near = ((2 * at[0] + end[0]) * 0.36, (2 * at[1] + end[1]) * 0.36)
            far = ((at[0] + 2 * end[0]) * 0.36, (at[1] + 2 * end[1]) * 0.36)
            o = at if relative else (0, 0)
            xy = lambda *ps: " ".join(f"{p[0] - o[0]:.5f} {p[1] - o[1]:.5f}" for p in ps)
            r = math.dist(at, end)
            # svgelements goes on smoothly from a curve of the other kind too, which the recommendation does not.
            smooth = [lambda: "S" + xy(far, end)] if last in "CS" and last else [lambda: "T" + xy(end)] if last in "QT" and last else []
            command = rng.choice([
                *smooth, *smooth, lambda: "L" + xy(end), lambda: "Q" + xy(mid, end), lambda: "C" + xy(near, far, end), lambda: f"A{r * 0.9:.4f} {r * 0.7:.4f} {rng.uniform(0, 90):.2f} 0 {rng.randint(0, 1)} " + xy(end),
                lambda: f"A{r:.4f},{r:.4f} 0 0 1 " + xy(end), lambda: f"{'h' if relative else 'H'}{end[0] - o[0]:.5f}{'v' if relative else 'V'}{end[1] - o[1]:.5f}",
            ])()
            last = command[0]
            data += command.lower() if relative and command[0] not in "hv" else command
            at = end
        return data + "z"

    def test_paths_through_nested_transforms(self):
        rng = random.Random(21)
        with tempfile.TemporaryDirectory() as folder:
            seen = 0
            while seen < 25:
                data = self.path(rng)
                body = f'<path d="{data}"/>'
                ring = []
                for segment in svgelements.Path(data):
                    if not isinstance(segment, (svgelements.Move, svgelements.Close)):
                        ring += [tuple(segment.point(i / 400)) for i in range(400)]
                # Its transformed arcs are only near where they should be: the points are moved here.
                for _ in range(rng.randint(0, 3)):
                    text, (a, b, c, d, e, f) = self.transform(rng)
                    body = f'<g transform="{text}">{body}</g>'
                    ring = [(a * x + c * y + e, b * x + d * y + f) for x, y in ring]
                head = '<svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="75mm" viewBox="0 0 200 150">'
                shape = Polygon([(x * 0.5, -y * 0.5) for x, y in ring])
                if not shape.is_valid:  # a curve that crosses itself is no outline
                    continue
                seen += 1
                file, to = pathlib.Path(folder) / f"{seen}.svg", pathlib.Path(folder) / f"{seen}.toml"
                file.write_text(head + body + "</svg>")
                good, answer = run("import", file, "-o", to, "--thickness", "3 mm", "--datum", "origin")
                with self.subTest(case=seen, body=body):
                    self.assertTrue(good, answer)
                    part = Part(to)
                    self.assertLess(part.outline.hausdorff_distance(shape), 0.02)
                    self.assertAlmostEqual(part.outline.area / shape.area, 1, places=3)


class Writing(unittest.TestCase):
    """What oddleg writes is good DXF and SVG, and says what the part file says."""

    PARTS = sorted((ROOT / "examples" / "kittiwake" / "parts").glob("*.toml"))

    def setUp(self):
        self.folder = tempfile.TemporaryDirectory()
        self.dir = pathlib.Path(self.folder.name)

    def tearDown(self):
        self.folder.cleanup()

    def written(self, part, kind, *words):
        """The files written for a part; none where it is turned."""
        to = self.dir / f"{part.stem}.{kind}"
        good, answer = run("export", part, "--as", kind, "-o", to, *words)
        if not good:
            self.assertIn("turned", answer[0]["what"])
            return []
        return sorted(self.dir.glob(f"{part.stem}*.{kind}"))

    def dxf(self, file):
        """Layers of a DXF file: polygons closed from its lines and arcs, and circles."""
        doc = ezdxf.readfile(file)
        self.assertEqual(doc.header.get("$INSUNITS"), 4)
        auditor = doc.audit()
        self.assertEqual((list(auditor.errors), list(auditor.fixes)), ([], []))
        paths, circles = {}, {}
        for entity in doc.modelspace():
            layer = entity.dxf.layer
            self.assertIn(layer, doc.layers)
            match entity.dxftype():
                case "LINE":
                    paths.setdefault(layer, []).append([tuple(entity.dxf.start)[:2], tuple(entity.dxf.end)[:2]])
                case "ARC":
                    start, end = math.radians(entity.dxf.start_angle), math.radians(entity.dxf.end_angle)
                    points = arc_points(tuple(entity.dxf.center)[:2], entity.dxf.radius, start, (end - start) % math.tau)
                    paths.setdefault(layer, []).append(points)
                case "CIRCLE":
                    circles.setdefault(layer, []).append((*tuple(entity.dxf.center)[:2], entity.dxf.radius))
                case other:
                    self.fail(other)
        return {layer: closed(found) for layer, found in paths.items()}, circles

    def svg(self, file):
        """The same of an SVG file, in mm with Y up."""
        text = file.read_text()
        width, height = re.search(r'width="([\d.]+)mm" height="([\d.]+)mm"', text).groups()
        self.assertIn(f' {width} {height}"', re.search(r"viewBox=.*", text)[0], "one unit is a millimetre")
        # Its own millimetre is a little off: the sheet is read in bare units.
        text = text.replace(f'{width}mm', width).replace(f'{height}mm', height)
        sheet = svgelements.SVG.parse(io.StringIO(text), reify=True)
        left, top = sheet.viewbox.x, sheet.viewbox.y
        paths, circles = {}, {}
        for group in (e for e in sheet if isinstance(e, svgelements.Group)):
            for entity in group:
                if isinstance(entity, svgelements.Circle):
                    circles.setdefault(group.id, []).append((entity.cx + left, -(entity.cy + top), entity.rx))
                elif isinstance(entity, svgelements.Path):
                    ring = []
                    for segment in entity:
                        if isinstance(segment, svgelements.Arc):
                            count = max(2, SIDES // 4)
                            ring += [segment.point(i / count) for i in range(count + 1)]
                        elif isinstance(segment, svgelements.Line):
                            ring += [segment.start, segment.end]
                    paths.setdefault(group.id, []).append(Polygon([(p.x + left, -(p.y + top)) for p in ring]) if len(ring) > 2 else None)
        return paths, circles

    def test_every_part_of_the_demo_project(self):
        seen = 0
        for part in self.PARTS:
            for words in [(), ("--drawn",)]:
                dxf, svg = self.written(part, "dxf", *words), self.written(part, "svg", *words)
                self.assertEqual(len(dxf), len(svg))
                outlines = []
                for one, other in zip(dxf, svg):
                    with self.subTest(file=one.name, words=words):
                        paths, circles = self.dxf(one)
                        same_paths, same_circles = self.svg(other)
                        self.assertEqual(set(circles), set(same_circles))
                        for layer, found in circles.items():
                            for a, b in zip(sorted(found), sorted(same_circles[layer])):
                                for x, y in zip(a, b):
                                    self.assertAlmostEqual(x, y, places=6)
                        if "outline" in paths:
                            outline, same = paths["outline"][0], same_paths["outline"][0]
                            self.assertAlmostEqual(outline.area / same.area, 1, delta=1e-6)
                            self.assertAlmostEqual(outline.length / same.length, 1, delta=1e-6)
                            outlines.append(outline)
                        seen += 1
                if len(outlines) == 2:
                    self.assertAlmostEqual(outlines[0].area, outlines[1].area, places=6)
                    mirrored = Polygon([(-x, y) for x, y in outlines[0].exterior.coords])
                    self.assertLess(mirrored.hausdorff_distance(outlines[1]), 1e-3)
                for file in [*dxf, *svg]:
                    file.unlink()
        self.assertGreaterEqual(seen, 6)

    def test_bosses_are_the_hull_and_come_back(self):
        """Drawn sizes of a lever against shapely's hull of its bosses; then read back."""
        rng = random.Random(9)
        for case in range(6):
            bosses = [(0, 0, round(rng.uniform(6, 12), 1)), (round(rng.uniform(25, 60), 1), round(rng.uniform(1, 8), 1), round(rng.uniform(3, 6), 1))]
            text = 'part = "Lever"\nunit = "mm"\n[body]\nkind = "bosses"\naround = ["a", "b"]\nthickness = "5"\n'
            for name, (x, y, r) in zip("ab", bosses):
                text += f'[[feature]]\nname = "{name}"\nkind = "boss"\nradius = "{r}"\nplace = ["{x} right of datum", "{y} above datum"]\n'
                text += f'[[feature]]\nname = "bore {name}"\nkind = "hole"\ndiameter = "{r}"\nplace = ["concentric with {name}"]\n'
            part = self.dir / f"lever{case}.toml"
            part.write_text(text)
            hull = unary_union([Point(x, y).buffer(r, quad_segs=SIDES // 4) for x, y, r in bosses]).convex_hull
            with self.subTest(case=case):
                [dxf] = self.written(part, "dxf", "--drawn")
                paths, circles = self.dxf(dxf)
                self.assertAlmostEqual(paths["outline"][0].area / hull.area, 1, places=6)
                self.assertAlmostEqual(paths["outline"][0].length / hull.length, 1, places=6)
                self.assertEqual(sorted(circles["holes"]), sorted((x, y, r / 2) for x, y, r in bosses))
                for file in [dxf, *self.written(part, "svg", "--drawn")]:
                    to = self.dir / f"{file.stem}-{file.suffix[1:]}.toml"
                    good, answer = run("import", file, "-o", to, "--thickness", "5 mm", "--datum", "origin")
                    self.assertTrue(good, answer)
                    back = Part(to)
                    self.assertEqual(back.kind, "bosses")
                    self.assertAlmostEqual(back.outline.area / hull.area, 1, places=6)
                    self.assertEqual(back.holes, sorted((x, y, r) for x, y, r in bosses))


def closed(paths):
    """The polygons that loose lines close, ends within a millionth joined."""
    snapped = [[(round(x, 7), round(y, 7)) for x, y in path] for path in paths]
    whole = [LineString([a, *path[1:-1], b]) for path, (a, b) in ((p, (s[0], s[-1])) for p, s in zip(paths, snapped))]
    return sorted(polygonize(whole), key=lambda p: -p.area)


if __name__ == "__main__":
    unittest.main()
