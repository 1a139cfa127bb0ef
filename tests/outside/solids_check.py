"""Volumes and walls of whole parts against manifold3d, distances against scipy.

The parts are made up here, feature by feature, once as a part file and once as
meshes. A mesh's round is a polygon: volumes are extrapolated from two counts of
sides (the error falls with their square), and a distance is held between that of
polygons inside the rounds and that of polygons around them.
"""

import math
import pathlib
import random
import tempfile
import unittest

import numpy as np
from manifold3d import CrossSection, Manifold
from program import example
from scipy.optimize import minimize

HALF_POINT = math.radians(59)
M6 = (6.0, 5.350, 4.917)  # major, pitch, minor of M6 coarse: ISO 724


class Cutter:
    """A round or straight-sided cut: stations along an axis, or a plan carried along it."""

    def __init__(self, face, at, plan, stations):
        self.face, self.at, self.plan, self.stations = face, at, plan, stations

    def mesh(self, size, sides, around, beyond):
        """Its mesh with the entry at the face; `around`: polygons stand around the rounds."""
        grow = 1 / math.cos(math.pi / sides) if around else 1.0
        pieces = []
        if self.plan is None:
            for (a, r), (b, s) in zip(self.stations, self.stations[1:]):
                low, high = min(a, b), max(a, b)
                first, last = (r, s) if a <= b else (s, r)
                if low < high:
                    pieces.append(Manifold.cylinder(high - low, first * grow, last * grow, sides).translate((0, 0, low)))
        else:
            deep = self.stations[-1][0]
            pieces.append(self.plan(sides, grow).extrude(deep - self.stations[0][0]).translate((0, 0, self.stations[0][0])))
        if beyond:
            first = self.stations[0]
            if self.plan is None:
                pieces.append(Manifold.cylinder(5, first[1] * grow, first[1] * grow, sides).translate((0, 0, first[0] - 5)))
            else:
                pieces.append(self.plan(sides, grow).extrude(5).translate((0, 0, first[0] - 5)))
            if beyond == "both":
                last = self.stations[-1]
                if self.plan is None:
                    pieces.append(Manifold.cylinder(5, last[1] * grow, last[1] * grow, sides).translate((0, 0, last[0])))
                else:
                    pieces.append(self.plan(sides, grow).extrude(5).translate((0, 0, last[0])))
        whole = pieces[0]
        for piece in pieces[1:]:
            whole = whole + piece
        return whole.transform(placed(self.face, self.at, size))


def placed(face, at, size):
    """Columns: the plan's two directions, the way in, and the entry."""
    x, y, z = np.eye(3)
    wide, high, thick = size
    p, q = at
    u, v, w, origin = {
        "front": (x, y, -z, (p, q, thick)),
        "back": (x, y, z, (p, q, 0)),
        "left": (y, z, x, (0, p, q)),
        "right": (y, z, -x, (wide, p, q)),
        "bottom": (x, z, y, (p, 0, q)),
        "top": (x, z, -y, (p, high, q)),
    }[face]
    return np.column_stack([u, v, w, np.array(origin, dtype=float)])


def disc(radius, sides, grow):
    return CrossSection.circle(radius * grow, sides)


def stadium(width, centres, degrees):
    def plan(sides, grow):
        end = disc(width / 2, sides, grow)
        return CrossSection.batch_hull([end.translate((-centres / 2, 0)), end.translate((centres / 2, 0))]).rotate(degrees)
    return plan


def pocket(width, height, corner, degrees):
    def plan(sides, grow):
        x, y = width / 2 - corner, height / 2 - corner
        end = disc(corner, sides, grow)
        return CrossSection.batch_hull([end.translate((a, b)) for a in (-x, x) for b in (-y, y)]).rotate(degrees)
    return plan


def square(across, degrees):
    return lambda sides, grow: CrossSection.square((across, across), True).rotate(degrees)


def flatted(diameter, across, degrees):
    def plan(sides, grow):
        r = diameter / 2
        beyond = CrossSection.square((4 * r, 4 * r), True).translate((across - r + 2 * r, 0))
        return (disc(r, sides, grow) - beyond).rotate(degrees)
    return plan


class Part:
    def __init__(self, name):
        self.name, self.lines, self.cuts, self.removed = name, [f'part = "{name}"', 'unit = "mm"', 'material = "brass"'], {}, []
        self.body = None

    def add(self, name, kind, place, **words):
        self.lines += ["[[feature]]", f'name = "{name}"', f'kind = "{kind}"']
        self.lines += [f'{key} = "{value}"' for key, value in words.items()]
        if place:
            self.lines.append("place = [" + ", ".join(f'"{statement}"' for statement in place) + "]")

    def volume(self):
        found = []
        for sides in (128, 256):
            whole = self.body(sides)
            for cut in self.removed:
                whole = whole - cut(sides)
            found.append(whole.volume())
        return (4 * found[1] - found[0]) / 3


def where(face, at):
    p, q = at
    return {
        "front": [f"{p} from left edge", f"{q} from bottom edge"],
        "back": [f"{p} from left edge", f"{q} from bottom edge"],
        "left": [f"{p} from bottom edge", f"{q} in front of back face"],
        "right": [f"{p} from bottom edge", f"{q} in front of back face"],
        "top": [f"{p} from left edge", f"{q} in front of back face"],
        "bottom": [f"{p} from left edge", f"{q} in front of back face"],
    }[face]


def block(rng, index):
    """A block with holes, slots, pockets and the rest in any of its faces."""
    size = wide, high, thick = [round(rng.uniform(a, b), 2) for a, b in ((50, 80), (40, 60), (20, 35))]
    part = Part(f"block {index}")
    part.lines += ["[body]", 'kind = "rectangle"', f'width = "{wide}"', f'height = "{high}"', f'thickness = "{thick}"', 'datum = "bottom left"']
    part.body = lambda sides: Manifold.cube(size)
    for number in range(rng.randint(3, 6)):
        name = f"f{number}"
        face = rng.choice(["front", "back", "left", "right", "top", "bottom"])
        spans = {"front": (wide, high, thick), "back": (wide, high, thick), "left": (high, thick, wide), "right": (high, thick, wide), "top": (wide, thick, high), "bottom": (wide, thick, high)}[face]
        at = tuple(round(rng.uniform(6, span - 6), 2) for span in spans[:2])
        deep, through = round(rng.uniform(3, spans[2] - 8), 2), rng.random() < 0.4
        kind = rng.choice(["drilled", "bored", "tapped", "slot", "pocket", "square", "flatted", "counterbored", "sunk"])
        depth = {} if through else {"depth": deep}
        end = spans[2] if through else deep
        placed_at, turn = where(face, at), rng.choice([0, 20, 35, 90, 117])
        plan, within, removed = None, None, None
        if kind in ("drilled", "bored"):
            d = round(rng.uniform(2, 9), 2)
            part.add(name, "hole", placed_at, face=face, diameter=d, finish=kind, **depth)
            within = [(0, d / 2), (end, d / 2)]
            if kind == "drilled" and not through:
                within.append((end + d / 2 / math.tan(HALF_POINT), 0))
        elif kind == "tapped":
            part.add(name, "tapped hole", placed_at, face=face, thread="M6", **depth)
            major, pitch, minor = (d / 2 for d in M6)
            tip = [] if through else [(end, minor), (end + minor / math.tan(HALF_POINT), 0)]
            within = [(0, major), (end, major)] + tip
            removed = [(0, pitch), (end, pitch)] + tip
        elif kind == "counterbored":
            part.add(name, "hole", placed_at, face=face, diameter=4, finish="drilled")
            part.add(f"{name} head", "counterbore", [], face=face, diameter=9, depth=3.5, over=name)
            within, end, through = [(0, 2.0), (spans[2], 2.0)], spans[2], True
            head = Cutter(face, at, None, [(0, 4.5), (3.5, 4.5)])
            part.cuts[f"{name} head"] = lambda sides, around, head=head: head.mesh(size, sides, around, None)
            part.removed.append(lambda sides, head=head: head.mesh(size, sides, False, "entry"))
        elif kind == "sunk":
            part.add(name, "hole", placed_at, face=face, diameter=4, finish="drilled")
            part.add(f"{name} head", "countersink", [], face=face, diameter=8, angle="90°", over=name)
            within, end, through = [(0, 2.0), (spans[2], 2.0)], spans[2], True
            head = Cutter(face, at, None, [(0, 4.0), (2.0, 2.0)])
            part.cuts[f"{name} head"] = lambda sides, around, head=head: head.mesh(size, sides, around, None)
            part.removed.append(lambda sides, head=head: head.mesh(size, sides, False, "entry"))
        else:
            if kind == "pocket" and not through:
                # What is drilled in its floor would count from there: one such, by itself.
                if face in ("front", "back", "left", "right", "top", "bottom") and number:
                    continue
            within = [(0, None), (end, None)]
            if kind == "slot":
                plan = stadium(5, 7, turn)
                part.add(name, "slot", placed_at, face=face, width=5, centres=7, along=f"{turn}°", **depth)
            elif kind == "pocket":
                plan = pocket(9, 7, 1.5, turn)
                part.add(name, "pocket", placed_at, face=face, width=9, height=7, corner=1.5, along=f"{turn}°", **depth)
            elif kind == "square":
                plan = square(5, turn)
                part.add(name, "square hole", placed_at, face=face, across=5, along=f"{turn}°", **depth)
            else:
                plan = flatted(8, 6.5, turn)
                part.add(name, "flatted hole", placed_at, face=face, diameter=8, across=6.5, toward=f"{turn}°", **depth)
        inside = Cutter(face, at, plan, within)
        cutter = Cutter(face, at, plan, removed or within)
        part.cuts[name] = lambda sides, around, inside=inside: inside.mesh(size, sides, around, None)
        beyond = "both" if through else "entry"
        part.removed.append(lambda sides, cutter=cutter, beyond=beyond: cutter.mesh(size, sides, False, beyond))
        if kind == "pocket" and not through:
            break
    return part


def lever(rng, index):
    """Round bosses joined by flanks, with bores, a step, a slit and its screw."""
    part = Part(f"lever {index}")
    thick = round(rng.uniform(6, 12), 2)
    bosses = [(0.0, 0.0, round(rng.uniform(10, 13), 2)), (round(rng.uniform(40, 60), 2), round(rng.uniform(0.5, 5), 2), round(rng.uniform(5, 8), 2))]
    part.lines += ["[body]", 'kind = "bosses"', 'around = ["a", "b"]', f'thickness = "{thick}"']
    for name, (x, y, r) in zip("ab", bosses):
        part.add(name, "boss", [f"{x} right of datum" if x else "plumb with datum", f"{y} above datum" if y else "level with datum"], radius=r)
    part.body = lambda sides: CrossSection.batch_hull([disc(r, sides * 4, 1).translate((x, y)) for x, y, r in bosses]).extrude(thick)
    bores = [5.0, 3.0]
    for name, bore, (x, y, r) in zip("ab", bores, bosses):
        part.add(f"{name} bore", "hole", [f"concentric with {name}"], diameter=bore * 2, finish="reamed")
        upright = lambda sides, x=x, y=y, r=bore, low=-1.0, far=thick + 2: Manifold.cylinder(far, r, r, sides).translate((x, y, low))
        part.removed.append(upright)
    leaves, shoulder = round(thick * 0.55, 2), 20
    part.add("arm", "step", [f"{shoulder} right of datum"], face="front", leaves=leaves, side="right")
    part.removed.append(lambda sides: Manifold.cube((200, 200, 50)).translate((shoulder, -100, leaves)))
    part.add("slit", "slit", [], width=1, into="a bore", toward="left")
    part.removed.append(lambda sides: Manifold.cube((50, 1, 50)).translate((-50, -0.5, -1)))
    part.add("screw", "clamp screw", [f"{7.4} left of datum", f"{thick / 2} in front of back face"], face="top", thread="M3", clearance="3.2", across="slit")
    turned = lambda r, low, far, sides: Manifold.cylinder(far, r, r, sides).rotate((-90, 0, 0)).translate((-7.4, low, thick / 2))
    part.removed.append(lambda sides: turned(1.6, 0, 50, sides))
    part.removed.append(lambda sides: turned(2.675 / 2, -50, 50, sides))  # M3 pitch diameter, ISO 724
    return part


def spindle(rng, index):
    """Turned sections, a taper, a groove, a bore, a hexagon and a cross hole."""
    part = Part(f"spindle {index}")
    part.lines += ["[body]", 'kind = "turned"']
    lengths = [round(rng.uniform(8, 15), 2) for _ in range(4)]
    radii = [round(rng.uniform(5, 9), 2) for _ in range(4)]
    ends = np.cumsum([0] + lengths)
    hexagon = index % 2 == 0
    part.add("one", "section", [], diameter=round(2 * radii[0], 2), length=lengths[0])
    part.add("two", "section", [], diameter=round(2 * radii[1], 2), tapers_to=round(2 * radii[2], 2), length=lengths[1])
    if hexagon:
        part.add("three", "section", [], hexagon=round(2 * radii[2], 2), length=lengths[2])
    else:
        part.add("three", "section", [], diameter=round(2 * radii[2], 2), length=lengths[2])
    part.add("four", "section", [], diameter=round(2 * radii[3], 2), length=lengths[3])

    def along(low, high, r, s, sides):
        return Manifold.cylinder(high - low, r, s, sides).rotate((0, 90, 0)).translate((low, 0, 0))

    def body(sides):
        whole = along(ends[0], ends[1], radii[0], radii[0], sides) + along(ends[1], ends[2], radii[1], radii[2], sides)
        if hexagon:
            corner = radii[2] / math.cos(math.pi / 6)
            points = [(corner * math.cos(a), corner * math.sin(a)) for a in (math.pi / 6 + k * math.pi / 3 for k in range(6))]
            # In its own plane first up the sheet, then towards the reader: y and z.
            bar = CrossSection([points]).extrude(ends[3] - ends[2])
            whole = whole + bar.transform(np.array([[0, 0, 1, ends[2]], [1, 0, 0, 0], [0, 1, 0, 0]], dtype=float))
        else:
            whole = whole + along(ends[2], ends[3], radii[2], radii[2], sides)
        return whole + along(ends[3], ends[4], radii[3], radii[3], sides)

    part.body = body
    groove = round(ends[3] + 2, 2)
    inner = round(radii[3] - 1.2, 2)
    part.add("groove", "groove", [f"{groove} right of left end"], diameter=round(2 * inner, 2), width=1.5)
    part.removed.append(lambda sides: along(groove, groove + 1.5, 50, 50, sides) - along(groove - 1, groove + 3, inner, inner, sides))
    bore, deep = round(rng.uniform(1.5, 3), 2), round(rng.uniform(6, 20), 2)
    part.add("bore", "hole", [], face="left", diameter=round(2 * bore, 2), finish="bored", depth=deep)
    part.removed.append(lambda sides: along(-5, deep, bore, bore, sides))
    part.cuts["bore"] = lambda sides, around: along(0, deep, *[bore * (1 / math.cos(math.pi / sides) if around else 1)] * 2, sides)
    across, x = round(rng.uniform(0.8, 1.6), 2), round(ends[1] + rng.uniform(3, 6), 2)
    y = rng.choice([0, 1.3])
    part.add("pin", "hole", [f"{x} right of left end"] + ([f"{y} above datum"] if y else []), diameter=round(2 * across, 2))
    part.removed.append(lambda sides: Manifold.cylinder(60, across, across, sides).translate((x, y, -30)))
    far, up = round(ends[2] + 4, 2), rng.choice([0, 1.1])
    part.add("oil", "hole", [f"{far} right of left end"], face="top", diameter=2)
    part.removed.append(lambda sides: Manifold.cylinder(60, 1, 1, sides).rotate((-90, 0, 0)).translate((far, -30, 0)))
    grown = lambda r, sides, around: r * (1 / math.cos(math.pi / sides) if around else 1)
    part.cuts["pin"] = lambda sides, around: Manifold.cylinder(16, grown(across, sides, around), grown(across, sides, around), sides).translate((x, y, -8))
    part.cuts["oil"] = lambda sides, around: Manifold.cylinder(12, grown(1, sides, around), grown(1, sides, around), sides).rotate((-90, 0, 0)).translate((far, -6, 0))
    return part


class Solids(unittest.TestCase):
    def test_volumes_and_walls_of_made_up_parts(self):
        rng = random.Random(11)
        parts = [block(rng, i) for i in range(40)] + [lever(rng, i) for i in range(12)] + [spindle(rng, i) for i in range(14)]
        with tempfile.TemporaryDirectory() as folder:
            files = []
            for part in parts:
                file = pathlib.Path(folder) / f"{part.name.replace(' ', '-')}.toml"
                file.write_text("\n".join(part.lines) + "\n")
                files.append(str(file))
            found = example("part_in_space", *files, tabs=True)
        walls = 0
        place = -1
        for line in found:
            if line[0] == "part":
                place += 1
                part, ours, error = parts[place], float(line[2]), float(line[3])
                theirs = part.volume()
                with self.subTest(part=part.name, what="volume"):
                    self.assertLess(abs(ours / theirs - 1), 1e-5)
                    self.assertLess(error / ours, 1e-5)
            elif line[0] == "wall" and line[4] == "Whole":
                first, second = (parts[place].cuts.get(name) for name in line[1:3])
                if first is None or second is None or float(line[3]) > 8:
                    continue
                walls += 1
                sides, far = 704, float(line[3]) + 0.001
                around = first(sides, True).min_gap(second(sides, True), far)
                inside = first(sides, False).min_gap(second(sides, False), far)
                with self.subTest(part=parts[place].name, wall=line[1:3]):
                    self.assertLess(around - 1e-6, float(line[3]))
                    self.assertLess(float(line[3]), inside + 1e-6)
                    self.assertLess(inside - around, 1e-4)
        self.assertEqual(place + 1, len(parts))
        self.assertGreater(walls, 60)

    def test_cylinders_anywhere(self):
        """Least distance by minimising over the axes and the discs of both, from many starts."""
        rng = np.random.default_rng(5)
        pairs, solids = [], []
        for _ in range(40):
            a, b = rng.uniform(-20, 20, (2, 3)), rng.uniform(-20, 20, (2, 3))
            r, s = rng.uniform(0.3, 3, 2)
            solids.append(((*a, r), (*b, s)))
            words = lambda ends, r: ",".join(repr(float(n)) for n in (*ends[0], *ends[1], r, r))
            pairs.append(words(a, r) + "/" + words(b, s))
        ours = [float(line[0]) for line in example("solids_apart", *pairs)]
        compared = 0
        for mine, ((p0, p1, r), (q0, q1, s)) in zip(ours, solids):
            if mine <= 0.01:
                continue
            compared += 1
            self.assertAlmostEqual(mine, self.least(p0, p1, r, q0, q1, s), delta=1e-6)
        self.assertGreater(compared, 20)

    @staticmethod
    def least(p0, p1, r, q0, q1, s):
        """A convex problem: a place in each solid, the square of the way between least."""
        def frame(a, b):
            w = (b - a) / np.linalg.norm(b - a)
            u = np.cross(w, np.eye(3)[np.argmin(abs(w))])
            u /= np.linalg.norm(u)
            return u, np.cross(w, u)

        (pu, pv), (qu, qv) = frame(p0, p1), frame(q0, q1)

        def way(n):
            first = p0 + n[0] * (p1 - p0) + n[1] * pu + n[2] * pv
            second = q0 + n[3] * (q1 - q0) + n[4] * qu + n[5] * qv
            return first - second

        grads = np.array([p1 - p0, pu, pv, -(q1 - q0), -qu, -qv])
        limits = [
            {"type": "ineq", "fun": lambda n: r * r - n[1] ** 2 - n[2] ** 2, "jac": lambda n: np.array([0, -2 * n[1], -2 * n[2], 0, 0, 0])},
            {"type": "ineq", "fun": lambda n: s * s - n[4] ** 2 - n[5] ** 2, "jac": lambda n: np.array([0, 0, 0, 0, -2 * n[4], -2 * n[5]])},
        ]
        done = minimize(lambda n: way(n) @ way(n), [0.5, 0, 0, 0.5, 0, 0], jac=lambda n: 2 * grads @ way(n), method="SLSQP",
                        bounds=[(0, 1), (-r, r), (-r, r), (0, 1), (-s, s), (-s, s)], constraints=limits,
                        options={"ftol": 1e-15, "maxiter": 500})

        # The minimiser holds its limits to some places only. The nearest place of one
        # solid to a place of the other, over and over, ends at the least distance from
        # above: Cheney and Goldstein (1959).
        def nearest(place, a, b, radius):
            w, length = (b - a) / np.linalg.norm(b - a), np.linalg.norm(b - a)
            along = (place - a) @ w
            out = place - a - along * w
            far = np.linalg.norm(out)
            return a + min(max(along, 0), length) * w + (out if far <= radius else out * radius / far)

        n = done.x
        place = q0 + n[3] * (q1 - q0) + n[4] * qu + n[5] * qv
        for _ in range(3000):
            first = nearest(place, p0, p1, r)
            place = nearest(first, q0, q1, s)
        return float(np.linalg.norm(first - place))


if __name__ == "__main__":
    unittest.main()
