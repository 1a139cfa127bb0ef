"""Every milled cut of every sheet, laid where the sheet says and held against the finished
part with shapely (GEOS): what is printed is read as a person would set it, on the readout,
by turns and divisions, in degrees and minutes, and no cutter may go into the outline, a
shoulder, a slot or a pocket by more than a millionth of a millimetre. Nor may more of the outline stand
where a row brings it out than the cusp it tells and what the slides are rounded by; and every
hole lies where the drawing has it."""

import collections
import concurrent.futures
import functools
import json
import math
import re
import subprocess
import unittest

import numpy
import shapely
from program import ROOT, built

# What is held: a millionth of a millimetre, and what the chords of hollows add.
DEEPEST_MM = 1e-6
CHORD_MM = 2e-7
# What the slides are rounded by on the side that leaves metal: a step each way, and one more
# where a run goes out by whole steps.
STEPS_LEFT = 2.5
# Between the places at which a cutter that goes round is tried it is no deeper than this.
BETWEEN_MM = 1e-6


def numbers(shown):
    return [float(n) for n in re.findall(r"-?\d+(?:\.\d+)?", shown)]


def degrees(shown):
    found = re.match(r"(-?)(\d+(?:\.\d+)?)°(?: (\d+)′)?(?: (\d+)″)?", shown)
    sign, whole, minutes, seconds = found.groups()
    value = float(whole) + int(minutes or 0) / 60 + int(seconds or 0) / 3600
    return -value if sign else value


def turned(point, rad):
    x, y = point
    return (x * math.cos(rad) - y * math.sin(rad), x * math.sin(rad) + y * math.cos(rad))


def laid(up, at):
    x, y, z = at
    return {
        "front": (x, y), "back": (-x, y), "top": (x, -z),
        "bottom": (-x, -z), "left": (y, -z), "right": (-y, -z),
    }[up]  # fmt: skip


WAYS = {
    "left": (-1, 0, 0), "right": (1, 0, 0), "bottom": (0, -1, 0),
    "top": (0, 1, 0), "back": (0, 0, -1), "front": (0, 0, 1),
}  # fmt: skip
SWAP = {"left": "right", "right": "left"}
OPPOSITE = SWAP | {"top": "bottom", "bottom": "top", "front": "back", "back": "front"}


def points_of(segment, chord=CHORD_MM):
    """Points of a line or arc, near enough that chords leave out little."""
    if "line" in segment:
        x0, y0, x1, y1 = segment["line"]
        return [(x0, y0), (x1, y1)]
    x, y, r, start, sweep = segment["arc"]
    widest = math.sqrt(8 * chord / max(r, 1e-3))
    count = max(2, math.ceil(abs(sweep) / widest))
    rad = start + sweep * numpy.linspace(0, 1, count + 1)
    return list(zip(x + r * numpy.cos(rad), y + r * numpy.sin(rad)))


class Part:
    """The finished part, drawn or mirrored."""

    def __init__(self, told, mirrored):
        self.told, self.mirrored = told, mirrored
        self.left, self.right, self.bottom, self.top = told["edges"]
        if mirrored:
            self.left, self.right = -self.right, -self.left

    @staticmethod
    def outline(segments, mirrored):
        ring = [p for segment in segments for p in points_of(segment)[:-1]]
        sign = -1 if mirrored else 1
        shape = shapely.Polygon([(sign * x, y) for x, y in ring])
        shapely.prepare(shape)
        return shape

    def at(self, feature):
        x, y, z = self.told["features"][feature]["at"]
        return (-x if self.mirrored else x, y, z)

    def side(self, face):
        return SWAP.get(face, face) if self.mirrored else face

    def edge(self, face):
        """A rectangle's own edge, or that of a blank: 2 mm at least to spare, its edges a
        whole number of millimetres from the datum."""
        own = self.told["rectangle"] or self.told["turned"]
        low = (lambda e: e) if own else (lambda e: math.floor(e - 2 + 1e-9))
        high = (lambda e: e) if own else (lambda e: math.ceil(e + 2 - 1e-9))
        return {
            "left": lambda: low(self.left), "right": lambda: high(self.right),
            "bottom": lambda: low(self.bottom), "top": lambda: high(self.top),
            "back": lambda: 0.0, "front": lambda: self.told["thickness"],
        }[face]()  # fmt: skip

    def finished(self, face):
        """Where the finished part ends on a side."""
        return {
            "left": self.left, "right": self.right, "bottom": self.bottom, "top": self.top,
            "back": 0.0, "front": self.told["thickness"],
        }[face]  # fmt: skip

    def datum(self, setup):
        """The place that reads nought, in the axes of the part."""
        located = setup["located"]
        if "edges" in located:
            at = [0.0, 0.0, 0.0]
            for face in located["edges"]:
                axis = next(i for i in range(3) if WAYS[face][i])
                at[axis] = self.edge(face)
            return tuple(at)
        if "bore" in located:
            return self.at(located["bore"])
        if located.get("end") == "right":
            return (self.told["thickness"], 0.0, 0.0)
        return (0.0, 0.0, 0.0)

    def way(self, feature, rad):
        """A direction in a feature's own face."""
        across = -math.cos(rad) if self.mirrored else math.cos(rad)
        face = self.told["features"][feature]["face"]
        if face in ("front", "back"):
            return (across, math.sin(rad), 0.0)
        if face in ("top", "bottom"):
            return (across, 0.0, math.sin(rad))
        return (0.0, math.cos(rad), math.sin(rad))


@functools.lru_cache(maxsize=8)
def outline(told, mirrored):
    return Part.outline(json.loads(told), mirrored)


@functools.lru_cache(maxsize=2000)
def apart(told, mirrored, run):
    """How far the road of a cutter's middle stays from the outline."""
    shape = outline(told, mirrored)
    if len(run) == 2:
        return shapely.distance(shape, shapely.LineString(run))
    return shapely.distance(shape, shapely.points(numpy.array(run))).min()


@functools.lru_cache(maxsize=64)
def reached(told, mirrored, radius):
    """Where a cutter's middle may run round the outline; its chords leave out 1e-4 mm."""
    segments = [points_of(segment, 1e-4) for segment in json.loads(told)]
    ring = [(-x if mirrored else x, y) for points in segments for x, y in points[:-1]]
    road = shapely.Polygon(ring).buffer(radius, quad_segs=200).exterior
    shapely.prepare(road)
    return road


class Swept:
    """What one run of a cutter along the outline takes away, from the part's own origin."""

    def __init__(self, mirrored, row, run, cusp):
        self.mirrored, self.names, self.radius, self.cusp = mirrored, set(row["brings_out"]), row["radius"], cusp
        # Where places are stepped the cutter only stands in them.
        self.road = shapely.MultiPoint(run) if row["work"] == "stepped" else shapely.LineString(run)
        shapely.prepare(self.road)

    def leaves(self, points, seen_mirrored):
        """How much stands at each of some points of the outline, seen as one hand lies."""
        if self.mirrored != seen_mirrored:
            points = points * numpy.array([-1.0, 1.0])
        return shapely.distance(self.road, shapely.points(points)) - self.radius


class Cuts:
    """The cuts of one part on one bench."""

    def __init__(self, told):
        self.told = told
        self.parts = [Part(told, False), Part(told, True)]
        self.found, self.laid, self.kinds, self.swept = [], 0, collections.Counter(), []
        self.standing = 0.0

    def slide(self, shown):
        readout = self.told["readout"]
        if "pitch" not in readout:
            return numbers(shown)[0]
        if shown.startswith("at nought") or shown == "0 mm":
            return 0.0
        # Less than a turn is told in divisions alone; what is wound past and back follows a comma.
        to = shown.split(",")[0]
        turns, divisions = (numbers(to) + [0])[:2] if "turn" in to else [0, *numbers(to)]
        sign = -1 if shown.startswith("down") else 1
        return sign * (turns + divisions / readout["divisions"]) * readout["pitch"]

    @staticmethod
    def length(shown):
        """A length that is told by itself, in millimetres."""
        return numbers(shown)[0] * (25.4 if shown.endswith("in") else 1)

    def all(self):
        for number, setup in enumerate(self.told["setups"], 1):
            for row in setup["rows"]:
                cut = {
                    "round": self.round, "turned": self.round, "flanks": self.flanks, "side": self.sides, "stepped": self.stepped,
                    "step": self.step, "slot": self.slot, "pocket": self.pocket, "curved": self.curved,
                }.get(row["work"])  # fmt: skip
                sets = dict(map(tuple, row["sets"]))
                if row["work"] == "other" and setup["machine"] == "Mill":
                    self.hole(setup, row, sets)
                if cut and row["radius"]:
                    for deep in cut(setup, row, sets):
                        self.laid += 1
                        self.kinds[row["work"]] += 1
                        if not deep <= DEEPEST_MM + CHORD_MM:
                            self.found.append(f"{self.told['name']}: setup {number}, {row['what']}: {deep:.7f} mm in")
        self.left_standing()
        return self.laid, self.found, self.kinds

    def left_standing(self):
        """All of the outline that the rows say they bring out is brought out: no more stands than
        the cusp that is told, what the slides are rounded by, and what a file takes out of sharp
        inside corners."""
        for hand in sorted({cut.mirrored for cut in self.swept}):
            own = set().union(*(cut.names for cut in self.swept if cut.mirrored == hand))
            cuts = [cut for cut in self.swept if cut.mirrored == hand or not cut.names & own]
            for name, segment in zip(self.told["names"], self.told["outline"]):
                by = [cut for cut in cuts if name in cut.names]
                if name not in own or not by:
                    continue
                points = numpy.array(points_of(segment, 1e-4 if "arc" in segment else CHORD_MM))
                if "line" in segment:
                    points = points[0] + numpy.linspace(0, 1, 101)[:, None] * (points[1] - points[0])
                points = points * numpy.array([-1.0 if hand else 1.0, 1.0])
                left = numpy.min([cut.leaves(points, hand) for cut in cuts], axis=0)
                left -= max(cut.cusp for cut in by) + self.unreached(hand, max(cut.radius for cut in by), points)
                self.standing = max(self.standing, left.max() / self.told["readout"]["step"])
                if left.max() > STEPS_LEFT * self.told["readout"]["step"]:
                    self.found.append(f"{self.told['name']}: {name}: {left.max():.4f} mm stands")

    def unreached(self, hand, radius, points):
        """What stands at points of the outline however a cutter goes round: in sharp inside corners."""
        road = reached(json.dumps(self.told["outline"]), hand, radius)
        return numpy.maximum(shapely.distance(road, shapely.points(points)) - radius, 0.0)

    def hole(self, setup, row, sets):
        """Where a hole is drilled, reamed, tapped or bored, back through the setup's axes: its own place."""
        own = row["feature"] is not None and self.told["features"][row["feature"]]["own"]
        if not own or "hole" not in own or not {"X", "Y"} <= sets.keys() or self.beside(setup, row) or setup["swung"]:
            return
        off = max(abs(self.slide(sets[axis]) - at) for axis, at in zip("XY", self.place(setup, row["feature"])))
        self.laid += 1
        self.kinds["hole"] += 1
        # A readout in inches is told in millimetres to four places.
        if off > self.told["readout"]["step"] / 2 + 5e-5:
            self.found.append(f"{self.told['name']}: {row['what']}: {off:.4f} mm off its place")

    # Outlines in plan.

    def into_outline(self, setup, row, road):
        """How deep a cutter along a road, from the part's own origin as it lies, goes in."""
        if setup["up"] == "back":
            road = [[(-x, y) for x, y in run] for run in road]
        told = json.dumps(self.told["outline"])
        told_left = ("cusp left for the file", "out of parallel, end to end")
        cusp = sum(self.length(shown) for label, shown in row["sets"] if label.endswith(told_left))
        for run in road:
            self.swept.append(Swept(setup["mirrored"], row, run, cusp))
            yield row["radius"] - apart(told, setup["mirrored"], tuple(run))

    def centre(self, setup):
        if setup["about"]:
            x, y = setup["about"]
            return laid(setup["up"], (-x if setup["mirrored"] else x, y, 0.0))
        return self.bore(setup)

    def bore(self, setup):
        part = self.parts[setup["mirrored"]]
        bore = setup["located"].get("bore")
        return laid(setup["up"], part.at(bore)) if bore is not None else (0.0, 0.0)

    def nought(self, setup):
        """The direction of the work that lies along X at reading nought."""
        part, second = self.parts[setup["mirrored"]], setup["located"].get("second")
        if second is None:
            return 0.0
        (x0, y0), (x1, y1) = self.bore(setup), laid(setup["up"], part.at(second))
        return math.atan2(y1 - y0, x1 - x0)

    def on_part(self, setup, reading):
        sign = 1 if self.told["grows"] else -1
        return self.nought(setup) + sign * math.radians(reading)

    def round(self, setup, row, sets):
        x, y = self.centre(setup)
        for label, shown in sets.items():
            if not label.endswith("offset from the table centre"):
                continue
            arc = label[: -len("offset from the table centre")]
            offset = self.slide(shown)
            start, sweep = 0.0, 2 * math.pi
            if f"{arc}start at" in sets:
                start = self.on_part(setup, degrees(sets[f"{arc}start at"]))
                stop = self.on_part(setup, degrees(sets[f"{arc}stop at"]))
                if "anticlockwise" in sets[f"{arc}turn the table"]:
                    sweep = -((start - stop) % (2 * math.pi))
                else:
                    sweep = (stop - start) % (2 * math.pi)
            yield from self.into_outline(setup, row, [points_of({"arc": [x, y, offset, start, sweep]}, BETWEEN_MM)])

    def flanks(self, setup, row, sets):
        centre = self.centre(setup)
        for n in range(1, row["joins"] + 1):
            own = lambda label, n=n: sets[f"flank {n}, {label}"]
            if f"flank {n}, turn the table to" in sets:
                along = self.on_part(setup, degrees(own("turn the table to")))
                labels = ["Y from the table centre", "X from the table centre, start", "X from the table centre, stop"]
            else:
                along, labels = self.swung(setup, sets, f"flank {n}, "), ["Y", "X start", "X stop"]
            y, start, stop = [self.slide(own(label)) for label in labels]
            run = [turned((x, y), along) for x in (start, stop)]
            yield from self.into_outline(setup, row, [[(centre[0] + x, centre[1] + y) for x, y in run]])

    def swung(self, setup, sets, flank=""):
        """The direction of the work that lies along X once the plate is swung."""
        second = setup["located"].get("second")
        if second is not None:
            name = self.told["features"][second]["name"]
            x, y = [self.slide(sets[f"{flank}{axis} of {name} after the swing"]) for axis in "XY"]
            return self.nought(setup) - math.atan2(y, x)
        shown = sets[f"{flank}swing the plate"]
        swing = math.radians(degrees(shown))
        return -swing if shown.endswith("anticlockwise") else swing

    def origin(self, setup):
        return laid(setup["up"], self.parts[setup["mirrored"]].datum(setup))

    def sides(self, setup, row, sets):
        if setup["machine"] == "RotaryTable":
            along, (x0, y0) = self.on_part(setup, degrees(sets["turn the table to"])), self.centre(setup)
            y, start, stop = [self.slide(sets[f"{at} from the table centre{end}"]) for at, end in (("Y", ""), ("X", ", start"), ("X", ", stop"))]
            run = [turned((x, y), along) for x in (start, stop)]
            yield from self.into_outline(setup, row, [[(x0 + x, y0 + y) for x, y in run]])
            return
        fixed, moved = ("Y", "X") if "Y" in sets else ("X", "Y")
        level = self.slide(sets[fixed])
        run = [self.slide(sets[f"{moved} {end}"]) for end in ("start", "stop")]
        run = [(at, level) if moved == "X" else (level, at) for at in run]
        if setup["swung"]:
            along = self.swung(setup, sets)
            run = [turned(at, along) for at in run]
        x0, y0 = self.origin(setup)
        yield from self.into_outline(setup, row, [[(x0 + x, y0 + y) for x, y in run]])

    def stepped(self, setup, row, sets):
        places, x0y0 = [], self.origin(setup)
        for label, shown in sets.items():
            found = re.match(r"(.*place \d+, |)X$", label)
            if found:
                places.append((self.slide(shown), self.slide(sets[f"{found[1]}Y"])))
        self.laid += len(places) - 1
        run = [(x0y0[0] + x, x0y0[1] + y) for x, y in places]
        yield from self.into_outline(setup, row, [run if len(run) != 2 else [*run, run[0]]])

    # Shoulders, slots and pockets, from the setup's datum.

    def place(self, setup, feature):
        part, (x0, y0) = self.parts[setup["mirrored"]], self.origin(setup)
        x, y = laid(setup["up"], part.at(feature))
        return (x - x0, y - y0)

    def step(self, setup, row, sets):
        part, feature = self.parts[setup["mirrored"]], self.told["features"][row["feature"]]
        side, face = part.side(feature["own"]["side"]), part.side(feature["face"])
        wall, open_to = part.at(row["feature"]), side
        if side == setup["up"]:
            # Cut in from its side: beside the cutter stands its floor, and its face is open.
            under = part.finished(OPPOSITE[face])
            wall, open_to = [(under + feature["own"]["leaves"] * way if way else 0.0) for way in WAYS[face]], face
        (x0, y0), (x, y), way = self.origin(setup), laid(setup["up"], wall), laid(setup["up"], WAYS[open_to])
        axis = 0 if way[0] else 1
        shoulder, out = (x - x0, y - y0)[axis], way[axis]
        for label in (f"{'XY'[axis]} at the shoulder", f"{'XY'[axis]} from"):
            yield row["radius"] - (self.slide(sets[label]) - shoulder) * out

    def within(self, row, shape, places):
        """How far a cutter goes through the sides of what it cuts."""
        rim = shape.exterior
        shapely.prepare(shape), shapely.prepare(rim)
        for run in places:
            line = shapely.LineString(run)
            assert shapely.contains_properly(shape, line), (row["what"], run)
            yield row["radius"] - shapely.distance(rim, line)

    def beside(self, setup, row):
        """The other hand beside the first in one setup: where it lies is told by its own edges alone."""
        hands = self.told["hands"]
        if len(hands) < 2 or setup["machine"] != "Mill":
            return False
        # The first hand is the one drawn.
        return row["what"].endswith(f"({hands[0 if setup['mirrored'] else 1]})")

    def slot(self, setup, row, sets):
        if self.beside(setup, row):
            return
        feature = row["feature"]
        part, own = self.parts[setup["mirrored"]], self.told["features"][feature]["own"]
        middle = self.place(setup, feature)
        half = own["width"] / 2
        along = laid(setup["up"], part.way(feature, own["along"]))
        ends = []
        for sign, face in zip((-1, 1), self.slot_ends(part, own)):
            far = 1000.0 if face == "open" else face
            ends.append((middle[0] + sign * far * along[0], middle[1] + sign * far * along[1]))
        # Chords of a hollow side lie within the metal that goes: what is left is held closely.
        shape = shapely.LineString(ends).buffer(half, quad_segs=1 + math.ceil(math.pi / 4 / math.sqrt(2 * CHORD_MM / half)))
        # Further pieces beside the first lie where their own edges are: `X start, piece 2`.
        passes = sorted({m[1] for label in sets if (m := re.match(r"X start((?!.*, piece ).*)$", label))})
        narrow = row["radius"] < half - 1e-9
        # A cutter of the slot's own width is wrong by the rounding of its middle, which the
        # sheet says, and by no more.
        allowed = 0.0 if narrow else math.hypot(1, 1) * self.told["readout"]["step"] / 2
        runs = [[tuple(self.slide(sets[f"{axis} {end}{p}"]) for axis in "XY") for end in ("start", "stop")] for p in passes]
        for deep in self.within(row, shape, runs):
            yield deep - allowed

    def curved(self, setup, row, sets):
        """A slot round an arc, from the directions or the chord that the drawing gives."""
        own = self.told["features"][row["feature"]]["own"]
        half, ends = own["width"] / 2, own["ends"]
        if self.beside(setup, row):
            return
        if "middle" in ends:
            reach = 2 * math.degrees(math.asin(ends["centres"] / 2 / own["radius"]))
            start = ends["middle"] - reach / 2
        else:
            start, reach = ends["from"], (ends["to"] - ends["from"]) % 360
        (x, y), r, a, b = own["centre"], own["radius"], math.radians(start), math.radians(start + reach)
        first, last = [(x + r * math.cos(at), y + r * math.sin(at)) for at in (a, b)]
        sides = [[x, y, r + half, a, b - a], [*last, half, b, math.pi], [x, y, r - half, b, a - b], [*first, half, a + math.pi, math.pi]]
        sign = -1 if setup["mirrored"] else 1
        ring = [laid(setup["up"], (sign * x, y, 0.0)) for side in sides for x, y in points_of({"arc": side})]
        shape = shapely.Polygon(ring)
        narrow = row["radius"] < half - 1e-9
        step = self.told["readout"]["step"]
        if setup["machine"] == "RotaryTable":
            x, y = self.centre(setup)
            runs, labels = [], [label for label in sets if label.startswith("offset from the table centre")]
            for called in (label.removeprefix("offset from the table centre") for label in labels):
                offset = self.slide(sets[f"offset from the table centre{called}"])
                first = self.on_part(setup, degrees(sets[f"start at{called}"]))
                last = self.on_part(setup, degrees(sets[f"stop at{called}"]))
                clockwise = "anticlockwise" in sets[f"turn the table{called}"]
                sweep = -((first - last) % (2 * math.pi)) if clockwise else (last - first) % (2 * math.pi)
                runs.append(points_of({"arc": [x, y, offset, first, sweep]}))
        else:
            x0, y0 = self.origin(setup)
            places = [label.removesuffix(", X") for label in sets if label.endswith(", X")]
            runs = [[(x0 + self.slide(sets[f"{place}, X"]), y0 + self.slide(sets[f"{place}, Y"]))] for place in places]
            self.laid += len(runs) - 1
        # A cutter of the slot's own width is out by what its middle is rounded by; a narrower one not at all.
        stepped = setup["machine"] != "RotaryTable"
        allowed = 0.0 if narrow else math.hypot(1, 1) * step if stepped else step / 2
        for deep in self.within(row, shape, [run if len(run) > 1 else run * 2 for run in runs]):
            yield deep - allowed

    def slot_ends(self, part, own):
        if not own["open"]:
            return [own["centres"] / 2] * 2
        # Closed at its own place, open beyond; which end is open does not matter where the
        # other ends at the place itself.
        sides = [part.side(side) for side in own["open"]]
        if len(sides) == 2:
            return ["open", "open"]
        return self.one_open(part, own, sides[0])

    def one_open(self, part, own, side):
        feature = next(n for n, f in enumerate(self.told["features"]) if f["own"] is own)
        way = part.way(feature, own["along"])
        onward = sum(a * b for a, b in zip(way, WAYS[side])) > 0
        return [0.0, "open"] if onward else ["open", 0.0]

    def pocket(self, setup, row, sets):
        if self.beside(setup, row):
            return
        feature = row["feature"]
        part, own = self.parts[setup["mirrored"]], self.told["features"][feature]["own"]
        x, y = self.place(setup, feature)
        along = laid(setup["up"], part.way(feature, own["along"]))
        across, up = (own["width"], own["height"]) if abs(along[0]) > 0.5 else (own["height"], own["width"])
        box = {}
        for axis in "XY":
            if axis in sets:
                box[axis] = [self.slide(sets[axis])] * 2
            else:
                box[axis] = [self.slide(sets[f"{axis} {end}"]) for end in ("least", "greatest")]
        low = (box["X"][0] - row["radius"], box["Y"][0] - row["radius"])
        high = (box["X"][1] + row["radius"], box["Y"][1] + row["radius"])
        wide = any(axis in sets for axis in "XY")
        allowed = self.told["readout"]["step"] / 2 if wide else 0.0
        yield max((x - across / 2) - low[0], high[0] - (x + across / 2)) - allowed
        yield max((y - up / 2) - low[1], high[1] - (y + up / 2)) - allowed
        # A corner comes out at the cutter's own radius: never sharper than it is drawn.
        yield own["corner"] - row["radius"]


def cuts(lines):
    """All the cuts of one part on every bench, and how many steps of a slide stand at most."""
    every = [Cuts(json.loads(line)) for line in lines]
    for one in every:
        one.all()
    wrong = [wrong for one in every for wrong in one.found]
    kinds = sum((one.kinds for one in every), collections.Counter())
    return sum(one.laid for one in every), wrong, kinds, max(one.standing for one in every)


def words():
    tests = ROOT / "crates" / "workshop" / "tests"
    kittiwake = ROOT / "examples" / "kittiwake"
    parts = [*sorted((kittiwake / "parts").glob("*.toml")), *sorted((tests / "parts").glob("*.toml"))]
    benches = [kittiwake / "bench.toml", *sorted((tests / "benches").glob("*.toml"))]
    for folder in sorted((ROOT / "examples" / "cases").iterdir()):
        parts_here = sorted((folder / "parts").glob("*.toml"))
        yield from [f"{folder / 'bench.toml'}+{part}" for part in parts_here]
    yield from [f"{bench}+{part}" for bench in benches for part in parts]


def lines(some):
    command = [ROOT / "target" / "debug" / "examples" / "cutter_roads", *some]
    done = subprocess.run(command, cwd=ROOT, stdout=subprocess.PIPE, text=True, check=True)
    # What a bench cannot make is told as refused, and is no matter here.
    return [line for line in done.stdout.splitlines() if "refused" not in json.loads(line)]


class Cutters(unittest.TestCase):
    def test_no_cutter_goes_into_the_finished_part(self):
        built("cutter_roads")
        asked = [word.replace(f"{ROOT}/", "") for word in words()]
        with concurrent.futures.ThreadPoolExecutor(2) as two:
            told = [line for some in two.map(lines, (asked[0::2], asked[1::2])) for line in some]
        by_part = {}
        for line in told:
            by_part.setdefault(json.loads(line)["name"].split("+")[1], []).append(line)
        laid, found, kinds, standing = 0, [], collections.Counter(), 0.0
        with concurrent.futures.ProcessPoolExecutor(2) as two:
            for more, wrong, kind, stands in two.map(cuts, by_part.values()):
                laid, found, kinds, standing = laid + more, found + wrong, kinds + kind, max(standing, stands)
        print(f"\n{laid} cuts and places of {len(told)} plans laid against the finished parts: {dict(kinds)}")
        print(f"{standing:.2f} steps of a slide stand at most where an outline is brought out")
        self.assertEqual(found, [])
        self.assertGreaterEqual(laid, 1500)
        self.assertEqual(len(kinds), 10, "a kind of cut that is never laid")
        self.assertGreater(standing, 0.5, "nothing rounded is seen to stand")


if __name__ == "__main__":
    unittest.main()
