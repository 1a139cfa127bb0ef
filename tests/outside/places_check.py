"""Holds solved places against scipy: drawings made at random, their statements
written again here as equations of its own and solved by least squares."""

import itertools
import json
import math
import pathlib
import random
import re
import subprocess
import tempfile
import unittest

import numpy
from scipy.optimize import least_squares

import program

DRAWINGS = 200
AGREE_MM = 1e-9
BINARY = program.ROOT / "target" / "debug" / "oddleg"


class Drawing:
    """A drawing in the making: features with the places meant for them, the words
    that place them, and an equation for each statement."""

    def __init__(self, seed):
        self.random = random.Random(seed)
        self.inch = seed % 2 == 1
        self.body = ("rectangle", "disc", "bosses")[seed % 3]
        self.meant = {}
        self.radius = {}
        self.text = []
        self.equations = []
        self.place = {}

    def length(self, mm):
        """A figure as the sheet would have it, and exactly what it says in mm."""
        size = abs(mm) / 25.4 if self.inch else abs(mm)
        shown = f"{size:.4f}"
        return shown, float(shown) * (25.4 if self.inch else 1.0)

    def angle(self):
        degrees = self.random.choice([15, 20, 32.5, 45, 60, 110, 135, 200, 250, 300, 345])
        return f"{degrees}°", math.radians(degrees)

    def clear(self, point):
        x, y = point
        edge = 8 if self.body == "bosses" else 25
        inside = edge < x < 300 - edge and edge < y < 200 - edge
        if self.body == "disc":
            inside = math.hypot(x, y) < 120
        return inside and all(math.dist(point, other) > 9 for other in self.meant.values())

    def somewhere(self):
        for _ in range(2000):
            point = (self.random.uniform(25, 275), self.random.uniform(25, 175))
            if self.body == "disc":
                point = (point[0] - 150, (point[1] - 100) * 1.6)
            if self.clear(point):
                return point
        raise RuntimeError("no room is left")

    def hole(self, name, point, statements, equations):
        self.meant[name] = point
        self.radius[name] = self.random.choice([1.0, 1.25, 1.5])
        if self.inch:
            self.radius[name] = 1.5875
        self.place[name] = list(statements)
        self.equations += equations
        return name

    def toml(self):
        unit = "inch" if self.inch else "mm"
        say = (lambda mm: f'"{self.length(mm)[0]}"') if not self.inch else (lambda mm: f'"{mm} mm"')
        head = {
            "rectangle": f'kind = "rectangle"\nwidth = {say(300)}\nheight = {say(200)}\ndatum = "bottom left"',
            "disc": f'kind = "disc"\ndiameter = {say(300)}',
            "bosses": 'kind = "bosses"\naround = ["P", "Q", "R", "S"]',
        }[self.body]
        text = [f'part = "trial"\nunit = "{unit}"\n[body]\n{head}\nthickness = {say(6)}\n']
        for name, words in self.place.items():
            diameter = '"1/8"' if self.inch else f'"{self.radius[name] * 2}"'
            if name in "PQRS":
                text.append(f'[[feature]]\nname = "{name}"\nkind = "boss"\nradius = {say(20)}\n')
            elif name == "ring":
                text.append(
                    f'[[feature]]\nname = "ring"\nkind = "pitch circle"\nholes = 3\n'
                    f'pitch_circle = {say(30)}\ndiameter = {diameter}\n'
                )
            else:
                text.append(f'[[feature]]\nname = "{name}"\nkind = "hole"\ndiameter = {diameter}\n')
            text.append("place = [" + ", ".join(f'"{word}"' for word in words) + "]\n")
        return "".join(text)

    # The equations, each on a dictionary of places.

    def apart(self, a, b, mm):
        return lambda at: math.dist(at[a], at[b]) - mm

    def off(self, a, axis, b, mm):
        return lambda at: at[a][axis] - at[b][axis] - mm

    def on_way(self, a, start, line, turn, mm):
        """How far `a` is from `start` along the way of a line turned by an angle."""

        def equation(at):
            (x1, y1), (x2, y2) = at[line[0]], at[line[1]]
            way = math.atan2(y2 - y1, x2 - x1) + turn
            dx, dy = at[a][0] - at[start][0], at[a][1] - at[start][1]
            return dx * math.cos(way) + dy * math.sin(way) - mm

        return equation

    def along(self, name, point, other):
        """Words and equations for a place along both axes from another."""
        words, equations = [], []
        for axis, (more, less) in enumerate((("right of", "left of"), ("above", "below"))):
            gap = point[axis] - self.meant[other][axis]
            shown, mm = self.length(gap)
            words.append(f"{shown} {more if gap > 0 else less} {other}")
            equations.append(self.off(name, axis, other, math.copysign(mm, gap)))
        return words, equations

    def beside_line(self, point, a, b):
        """Which side of a line a place lies on, told as the sheet would."""
        (x1, y1), (x2, y2) = self.meant[a], self.meant[b]
        if abs(x2 - x1) > abs(y2 - y1):
            over = point[1] - (y1 + (point[0] - x1) * (y2 - y1) / (x2 - x1))
            return f"{'above' if over > 0 else 'below'} the line from {a} to {b}"
        over = point[0] - (x1 + (point[1] - y1) * (x2 - x1) / (y2 - y1))
        return f"{'right of' if over > 0 else 'left of'} the line from {a} to {b}"


def build(seed):
    """A drawing whose rounded figures can all be true: now and then two circles that
    only just cross are rounded apart."""
    for again in range(20):
        drawing = begun(seed + again * 6 * DRAWINGS)
        places, off, loose = least(drawing)
        # Where a place hardly hangs on its figures, the twelve decimals of a cosine show.
        if off < 1e-10 and loose < 50:
            return drawing
    raise RuntimeError("no drawing came of it")


def begun(seed):
    drawing = Drawing(seed)
    drawing.meant["datum"] = (0.0, 0.0)
    drawing.fixed = {"datum": (0.0, 0.0)}
    if drawing.body == "bosses":
        for name, point in (("P", (0, 0)), ("Q", (300, 0)), ("R", (300, 200)), ("S", (0, 200))):
            drawing.meant[name] = point
            drawing.radius[name] = 20.0
            words, equations = ["datum"], []
            if name != "P":
                x, y = (drawing.length(v)[1] for v in point)
                words = [f"{drawing.length(point[0])[0]} right of datum", f"{drawing.length(point[1])[0]} above datum"]
                drawing.fixed[name] = (x, y)
            else:
                drawing.fixed[name] = (0.0, 0.0)
            drawing.place[name] = words
    first = list("ABC")
    for name in first:
        point = drawing.somewhere()
        words, equations = drawing.along(name, point, "datum")
        drawing.hole(name, point, words, equations)
    # A search takes the program long, so only some drawings have one.
    kinds = [kind for kind in KINDS if kind != "coupled" or seed % 8 == 0]
    drawing.random.shuffle(kinds)
    start = seed % len(kinds)
    chosen = [kinds[start], *kinds[:6], *(["coupled"] if seed % 16 == 0 else []), *(["tangent"] if seed % 3 == 2 else [])]
    for index, kind in enumerate(dict.fromkeys(chosen)):
        for _ in range(60):
            if KINDS[kind](drawing, f"{'DEFGHJKL'[index]}"):
                break
    return drawing


def pick(drawing, count):
    names = [n for n in drawing.meant if n not in ("datum", "ring") and n not in "PQRS"]
    return drawing.random.sample(names, count)


def placed(make):
    """A kind that chooses its own place; refused where there is no room."""

    def kind(drawing, name):
        made = make(drawing, name)
        if made is None:
            return False
        point, words, equations = made
        if not drawing.clear(point):
            return False
        drawing.hole(name, point, words, equations)
        return True

    return kind


def polar(d, name):
    (a,) = pick(d, 1)
    words, way = d.angle()
    shown, mm = d.length(d.random.uniform(15, 90))
    x, y = d.meant[a]
    point = (x + mm * math.cos(way), y + mm * math.sin(way))
    return point, [f"{shown} from {a} at {words}"], [
        d.off(name, 0, a, mm * math.cos(way)),
        d.off(name, 1, a, mm * math.sin(way)),
    ]


def chain(d, name):
    (a,) = pick(d, 1)
    point = d.somewhere()
    return (point, *d.along(name, point, a))


def two_distances(d, name):
    a, b = pick(d, 2)
    point = d.somewhere()
    (one, r), (two, s) = (d.length(math.dist(point, d.meant[n])) for n in (a, b))
    words = [f"{one} from {a}", f"{two} from {b}", d.beside_line(point, a, b)]
    return point, words, [d.apart(name, a, r), d.apart(name, b, s)]


def distance_and_level(d, name):
    a, b = pick(d, 2)
    x, y = d.somewhere()
    point = (x, d.meant[b][1])
    shown, r = d.length(math.dist(point, d.meant[a]))
    if abs(x - d.meant[a][0]) < 3:
        return None
    side = "right of" if x > d.meant[a][0] else "left of"
    return point, [f"{shown} from {a}", f"level with {b}", f"{side} {a}"], [
        d.apart(name, a, r),
        d.off(name, 1, b, 0.0),
    ]


def toward(d, name):
    a, b = pick(d, 2)
    away = d.random.random() < 0.4
    shown, mm = d.length(d.random.uniform(12, 70))
    way = math.atan2(d.meant[b][1] - d.meant[a][1], d.meant[b][0] - d.meant[a][0])
    mm = -mm if away else mm
    point = (d.meant[a][0] + mm * math.cos(way), d.meant[a][1] + mm * math.sin(way))
    word = "away from" if away else "toward"
    return point, [f"{shown} from {a} {word} {b}"], [
        d.on_way(name, a, (a, b), 0.0, mm),
        d.on_way(name, a, (a, b), math.pi / 2, 0.0),
    ]


def at_line(d, name):
    a, b, c = pick(d, 3)
    words, turn = d.angle()
    shown, mm = d.length(d.random.uniform(12, 70))
    way = math.atan2(d.meant[c][1] - d.meant[b][1], d.meant[c][0] - d.meant[b][0]) + turn
    point = (d.meant[a][0] + mm * math.cos(way), d.meant[a][1] + mm * math.sin(way))
    return point, [f"{shown} from {a} at {words} to the line from {b} to {c}"], [
        d.on_way(name, a, (b, c), turn, mm),
        d.on_way(name, a, (b, c), turn + math.pi / 2, 0.0),
    ]


def along_which(d, point, a, b, words):
    """The one of two places on a line, or beside it, that is farther to a side."""
    way = (d.meant[b][0] - d.meant[a][0], d.meant[b][1] - d.meant[a][1])
    forth = (point[0] - d.meant[a][0]) * way[0] + (point[1] - d.meant[a][1]) * way[1]
    if abs(forth) < 100:
        return None
    axis = 0 if abs(way[0]) > abs(way[1]) else 1
    more = (way[axis] > 0) == (forth > 0)
    return words[axis][0 if more else 1]


ONES = (("the right-hand one", "the left-hand one"), ("the upper one", "the lower one"))


def from_line(d, name):
    a, b = pick(d, 2)
    point = d.somewhere()
    way = math.atan2(d.meant[b][1] - d.meant[a][1], d.meant[b][0] - d.meant[a][0])
    off = -(point[0] - d.meant[a][0]) * math.sin(way) + (point[1] - d.meant[a][1]) * math.cos(way)
    side = d.beside_line(point, a, b)
    which = along_which(d, point, a, b, ONES)
    if abs(off) < 4 or which is None:
        return None
    (square, h), (slant, r) = d.length(off), d.length(math.dist(point, d.meant[a]))
    if r - h < 1:
        return None
    return point, [f"{square} {side}", f"{slant} from {a}", which], [
        d.on_way(name, a, (a, b), math.pi / 2, math.copysign(h, off)),
        d.apart(name, a, r),
    ]


def on_line(d, name):
    a, b = pick(d, 2)
    way = math.atan2(d.meant[b][1] - d.meant[a][1], d.meant[b][0] - d.meant[a][0])
    shown, mm = d.length(d.random.uniform(12, 80))
    mm *= d.random.choice((1, -1))
    point = (d.meant[a][0] + mm * math.cos(way), d.meant[a][1] + mm * math.sin(way))
    which = along_which(d, point, a, b, ONES)
    if which is None:
        return None
    return point, [f"on the line from {a} to {b}", f"{shown} from {a}", which], [
        d.on_way(name, a, (a, b), math.pi / 2, 0.0),
        d.apart(name, a, abs(mm)),
    ]


def bearing(d, name):
    a, b = pick(d, 2)
    words, way = d.angle()
    y = d.meant[b][1]
    rise = y - d.meant[a][1]
    if rise * math.sin(way) <= 3:
        return None
    point = (d.meant[a][0] + rise / math.tan(way), y)
    return point, [f"at {words} from {a}", f"level with {b}"], [
        lambda at: (at[name][0] - at[a][0]) * math.sin(way) - (at[name][1] - at[a][1]) * math.cos(way),
        d.off(name, 1, b, 0.0),
    ]


def slope(d, name):
    (a,) = pick(d, 1)
    rise = d.random.randint(1, 5)
    shown, mm = d.length(d.random.uniform(15, 80))
    point = (d.meant[a][0] + mm, d.meant[a][1] + mm * rise / 12)
    return point, [f"at {rise} in 12 from {a}", f"{shown} right of {a}"], [
        lambda at: 12 * (at[name][1] - at[a][1]) - rise * (at[name][0] - at[a][0]),
        d.off(name, 0, a, mm),
    ]


def clear_of(d, name):
    a, b = pick(d, 2)
    point = d.somewhere()
    own = 1.5875 if d.inch else 1.0
    shown, wall = d.length(math.dist(point, d.meant[a]) - own - d.radius[a])
    other, r = d.length(math.dist(point, d.meant[b]))
    words = [f"{shown} clear of {a}", f"{other} from {b}", d.beside_line(point, a, b)]
    return point, words, [lambda at: math.dist(at[name], at[a]) - wall - d.radius[a] - d.radius[name], d.apart(name, b, r)]


def tangent(d, name):
    if d.body != "bosses":
        return None
    boss = d.random.choice("PQRS")
    own = 1.5875 if d.inch else 1.0
    (a,) = pick(d, 1)
    way = math.atan2(d.meant[a][1] - d.meant[boss][1], d.meant[a][0] - d.meant[boss][0])
    reach = 20.0 + own
    way += d.random.uniform(-0.4, 0.4)
    point = (d.meant[boss][0] + reach * math.cos(way), d.meant[boss][1] + reach * math.sin(way))
    other, r = d.length(math.dist(point, d.meant[a]))
    words = [f"tangent to the outside of {boss}", f"{other} from {a}", d.beside_line(point, boss, a)]
    return point, words, [
        lambda at: math.dist(at[name], at[boss]) - 20.0 - d.radius[name],
        d.apart(name, a, r),
    ]


def equidistant_level(d, name):
    a, b, c = pick(d, 3)
    (x1, y1), (x2, y2) = d.meant[a], d.meant[b]
    if abs(x2 - x1) < 15:
        return None
    y = d.meant[c][1]
    x = (x2 * x2 - x1 * x1 + (y2 - y) ** 2 - (y1 - y) ** 2) / (2 * (x2 - x1))
    return (x, y), [f"equidistant from {a} and {b}", f"level with {c}"], [
        lambda at: math.dist(at[name], at[a]) - math.dist(at[name], at[b]),
        d.off(name, 1, c, 0.0),
    ]


def equidistant_three(d, name):
    a, b, c = pick(d, 3)
    m = numpy.array([[d.meant[n][i] - d.meant[a][i] for i in (0, 1)] for n in (b, c)])
    if abs(numpy.linalg.det(m)) < 600:
        return None
    x, y = numpy.linalg.solve(2 * m, (m**2).sum(axis=1))
    point = (float(x) + d.meant[a][0], float(y) + d.meant[a][1])
    return point, [f"equidistant from {a}, {b} and {c}"], [
        lambda at: math.dist(at[name], at[a]) - math.dist(at[name], at[b]),
        lambda at: math.dist(at[name], at[b]) - math.dist(at[name], at[c]),
    ]


def mirrored(d, name):
    a, b, c = pick(d, 3)
    way = math.atan2(d.meant[b][1] - d.meant[a][1], d.meant[b][0] - d.meant[a][0])
    dx, dy = d.meant[c][0] - d.meant[a][0], d.meant[c][1] - d.meant[a][1]
    cos, sin = math.cos(2 * way), math.sin(2 * way)
    point = (d.meant[a][0] + dx * cos + dy * sin, d.meant[a][1] + dx * sin - dy * cos)

    def middle(at):
        (x1, y1), (x2, y2) = at[a], at[b]
        x, y = (at[name][0] + at[c][0]) / 2, (at[name][1] + at[c][1]) / 2
        return ((x2 - x1) * (y - y1) - (y2 - y1) * (x - x1)) / math.dist(at[a], at[b])

    return point, [f"symmetrical with {c} about the line from {a} to {b}"], [middle, d.on_way(name, c, (a, b), 0.0, 0.0)]


def square_to(d, name):
    a, b, c = pick(d, 3)
    parallel = d.random.random() < 0.5
    dx, dy = d.meant[b][0] - d.meant[a][0], d.meant[b][1] - d.meant[a][1]
    if parallel:
        dx, dy = -dy, dx
    # On the line through c square to (dx, dy), so far along y.
    if abs(dx) < 10:
        return None
    rise = d.random.choice((1, -1)) * d.random.uniform(12, 50)
    shown, mm = d.length(rise)
    mm = math.copysign(mm, rise)
    point = (d.meant[c][0] - mm * dy / dx, d.meant[c][1] + mm)
    word = "parallel" if parallel else "square"
    return point, [f"{word} to the line from {a} to {b} through {c}", f"{shown} {'above' if mm > 0 else 'below'} {c}"], [
        d.on_way(name, c, (a, b), math.pi / 2 if parallel else 0.0, 0.0),
        d.off(name, 1, c, mm),
    ]


def spaced(d, name):
    a, b = pick(d, 2)
    of = d.random.randint(2, 4)
    place = d.random.randint(1, of)
    share = place / (of + 1)
    point = tuple(d.meant[a][i] + share * (d.meant[b][i] - d.meant[a][i]) for i in (0, 1))
    ending = {1: "st", 2: "nd", 3: "rd"}.get(place, "th")
    return point, [f"equally spaced between {a} and {b}, {place}{ending} of {of}"], [
        lambda at, i=i: at[name][i] - at[a][i] - share * (at[b][i] - at[a][i]) for i in (0, 1)
    ]


def ring(drawing, name):
    """A pitch circle, and a hole on it at an angle of its own."""
    if "ring" in drawing.meant:
        return False
    point = drawing.somewhere()
    reach = 15.0
    way = math.radians(50)
    on = (point[0] + reach * math.cos(way), point[1] + reach * math.sin(way))
    spots = [(point[0] + reach * math.cos(math.radians(g)), point[1] + reach * math.sin(math.radians(g))) for g in (0, 120, 240)]
    if not all(drawing.clear(p) for p in (on, *spots)) or not drawing.clear(point):
        return False
    words, equations = drawing.along("ring", point, "datum")
    drawing.hole("ring", point, words, equations)
    drawing.hole(
        name,
        on,
        ["on the pitch circle of ring at 50°"],
        [drawing.off(name, 0, "ring", reach * math.cos(way)), drawing.off(name, 1, "ring", reach * math.sin(way))],
    )
    return True


def coupled(drawing, name):
    """Two holes that can only be placed together, and the words that the program
    itself offers where it asks which is meant."""
    a, b, c = pick(drawing, 3)
    one, two = name, f"{name}{name}"
    p, q = drawing.somewhere(), drawing.somewhere()
    way = math.atan2(p[1] - drawing.meant[b][1], p[0] - drawing.meant[b][0])
    gap, mm = drawing.length(drawing.random.uniform(15, 40))
    q = (p[0] + mm * math.cos(way), p[1] + mm * math.sin(way))
    if not drawing.clear(p) or not drawing.clear(q):
        return False
    (da, r), (dc, s) = drawing.length(math.dist(p, drawing.meant[a])), drawing.length(math.dist(q, drawing.meant[c]))
    drawing.hole(one, p, [f"{da} from {a}", f"on the line from {b} to {two}"], [
        drawing.apart(one, a, r),
        drawing.on_way(one, b, (b, two), math.pi / 2, 0.0),
    ])
    drawing.hole(two, q, [f"{gap} from {one}", f"{dc} from {c}"], [
        drawing.apart(two, one, mm),
        drawing.apart(two, c, s),
    ])
    return True


KINDS = {
    make.__name__: placed(make)
    for make in (
        polar, chain, two_distances, distance_and_level, toward, at_line, from_line, on_line, bearing, slope,
        clear_of, tangent, equidistant_level, equidistant_three, mirrored, square_to, spaced,
    )
} | {"ring": ring, "coupled": coupled}


def solve(drawing):
    return least(drawing)[:2]


def least(drawing):
    """The places by least squares, from those meant; what is left of the equations; and
    how much a figure can move a place at most."""
    names = [name for name in drawing.meant if name not in drawing.fixed]

    def places(x):
        at = dict(drawing.fixed)
        at.update({name: (x[2 * i], x[2 * i + 1]) for i, name in enumerate(names)})
        return at

    def residuals(x):
        at = places(x)
        return [equation(at) for equation in drawing.equations]

    x = numpy.array([v for name in names for v in drawing.meant[name]])
    for _ in range(2):
        found = least_squares(residuals, x, jac="3-point", method="lm", xtol=1e-15, ftol=1e-15, gtol=1e-15)
        x = found.x
    slopes = numpy.linalg.svd(found.jac, compute_uv=False)
    return places(x), max(abs(r) for r in residuals(x)), 1 / slopes.min()


def check(drawing, folder):
    """What the program makes of it, and whether it had to ask first."""
    asked = 0
    for _ in range(8):
        path = folder / "trial.toml"
        path.write_text(drawing.toml(), encoding="utf-8")
        done = subprocess.run([BINARY, "check", path, "--exact", "--json"], capture_output=True, text=True)
        answer = json.loads(done.stdout)
        if isinstance(answer, dict):
            (table,) = [s for s in answer["sections"] if "features, places" in s["heading"]]
            return {row["feature"]: (float(row["x"]), float(row["y"])) for row in table["rows"] if row["x"] and row["y"]}, asked
        questions = [fault for fault in answer if "which is meant" in fault["what"]]
        if not questions:
            raise AssertionError("\n".join(f"{fault['what']}: {fault['why']}" for fault in answer))
        asked += 1
        answer_question(drawing, questions[0])
    raise AssertionError("it asks without end")


def answer_question(drawing, fault):
    """Adds the words offered for the place nearest to that meant."""
    options = []
    for number, place in re.findall(r"\((\d+)\) (.*?)(?=; \(\d+\) |$)", fault["why"].split("each: ", 1)[1]):
        off = 0.0
        for name, spot in each_place(place, fault["about"]):
            off += math.dist(spot, drawing.meant[name])
        options.append((off, number))
    _, number = min(options)
    words = re.search(rf"(?:place` |; )([^;]*?) for \({number}\)", fault["mend"]).group(1)
    for word, name in re.findall(r"`([^`]+)`(?: to `([^`]+)`)?", words):
        drawing.place[name or fault["about"][0]].append(word)


def each_place(text, about):
    """`… right and … above the datum` for one feature, or for several by name."""
    pattern = r"(?:`(\w+)` )?([\d.]+) (in|mm) (right|left) and [\d.]+ (?:in|mm) (?:above|below)"
    for found in re.finditer(pattern, text):
        scale = 25.4 if found.group(3) == "in" else 1.0
        whole = found.group(0)
        up = re.search(r"and ([\d.]+) (?:in|mm) (above|below)", whole)
        x = float(found.group(2)) * scale * (1 if found.group(4) == "right" else -1)
        y = float(up.group(1)) * scale * (1 if up.group(2) == "above" else -1)
        yield found.group(1) or about[0], (x, y)


class Places(unittest.TestCase):
    def test_places_agree_with_least_squares(self):
        used, asked = set(), 0
        with tempfile.TemporaryDirectory() as folder:
            for seed in range(DRAWINGS):
                drawing = build(seed)
                with self.subTest(seed=seed):
                    wanted, off = solve(drawing)
                    self.assertLess(off, 1e-10, "the drawing made here contradicts itself")
                    found, questions = check(drawing, pathlib.Path(folder))
                    asked += questions
                    for name, place in wanted.items():
                        if name == "datum":
                            continue
                        gap = math.dist(found[name], place)
                        self.assertLess(gap, AGREE_MM, f"{name}: {found[name]} and {place}\n{drawing.toml()}")
                    used.update(itertools.chain.from_iterable(words_used(p) for p in drawing.place.values()))
        self.assertGreater(asked, 5, "the questions are tried too")
        for word in WORDS:
            self.assertIn(word, used)


WORDS = (
    "right of", "from", "toward", "away from", "to the line", "the line", "on the line", "clear of", "tangent",
    "equidistant", "symmetrical", "square", "parallel", "equally spaced", "pitch circle", "level", "one",
)


def words_used(place):
    return [word for word in WORDS if any(word in statement for statement in place)]


if __name__ == "__main__":
    unittest.main()
