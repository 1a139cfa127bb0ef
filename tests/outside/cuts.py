"""The milled cuts and the holes of one part on one bench, each piece's and each hand's, laid where the
sheets say and held against the finished part with shapely (GEOS)."""

import collections
import functools
import json
import math
import re

import numpy
import shapely
from laying import CHORD_MM, OPPOSITE, WAYS, Part, Readout, degrees, done_to, laid, numbers, pieces, points_of, turned

# What is held: a millionth of a millimetre, and what the chords of hollows add.
DEEPEST_MM = 1e-6
# What the slides are rounded by on the side that leaves metal: a step each way, and one more
# where a run goes out by whole steps.
STEPS_LEFT = 2.5
# Between the places at which a cutter that goes round is tried it is no deeper than this.
BETWEEN_MM = 1e-6


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
        self.standing, self.slide = 0.0, Readout(told["readout"]).slide
        # Of them those of further pieces, of the other hand there, and after a pick-up farther along.
        self.among = collections.Counter()

    def at(self, setup, axis, shown):
        """Where a slide stands, from the datum of the piece that it is set for."""
        return self.slide(shown) - setup["zero"]["XY".index(axis)]

    @staticmethod
    def length(shown):
        """A length that is told by itself, in millimetres."""
        return numbers(shown)[0] * (25.4 if shown.endswith("in") else 1)

    def all(self):
        for number, setup in enumerate(self.told["setups"], 1):
            setups, self.cut_at = pieces(self.told, setup), {}
            for row in setup["rows"]:
                if row["work"] == "found again":
                    setups = [own | {"zero": self.found_again(own, row), "again": True} for own in setups]
                    continue
                for own, sets in done_to(setups, row):
                    before = self.laid
                    self.row(number, own, row, sets)
                    for name, holds in (
                        ("of further pieces", own["piece"] > 1),
                        ("of the other hand", own["mirrored"] != setup["mirrored"]),
                        ("picked up again", "again" in own),
                    ):
                        self.among[name] += holds * (self.laid - before)
        self.left_standing()
        return self.laid, self.found, self.kinds

    def row(self, number, setup, row, sets):
        """What a row does to one piece."""
        cut = {
            "round": self.round, "turned": self.round, "flanks": self.flanks, "side": self.sides, "stepped": self.stepped,
            "step": self.step, "slot": self.slot, "pocket": self.pocket, "curved": self.curved, "other": self.holes,
        }.get(row["work"])  # fmt: skip
        mills = row["work"] != "other"
        if not cut or (not row["radius"] if mills else setup["machine"] != "Mill"):
            return
        for deep in cut(setup, row, sets):
            self.laid += 1
            self.kinds[row["work"] if mills else "hole"] += 1
            if not deep <= DEEPEST_MM + CHORD_MM:
                said = f"{deep:.7f} mm in" if mills else f"{deep:.4f} mm too far off its place"
                self.found.append(f"{self.told['name']}: setup {number}, {row['what']}, piece {setup['piece']}: {said}")

    def found_again(self, setup, row):
        """What the datum reads once the work is moved along and picked up from something else."""
        sets = dict(row["sets"])
        picked = re.match(r"(?:pick the work up|move the work along and pick it up again) from (.*?)(?:: from the datum.*)?$", row["what"])[1]
        reads = [next(self.slide(shown) for label, shown in sets.items() if re.match(f"{axis} (over|touching) ", label)) for axis in "XY"]
        edges = re.match(r"the (left-hand|right-hand) and (near|far) edges$", picked)
        if not edges:
            stands = self.cut_at[picked]
        else:
            stands = [self.touched(setup, axis, edges[axis + 1] in ("right-hand", "far")) for axis in (0, 1)]
        return [read - at for read, at in zip(reads, stands)]

    def touched(self, setup, axis, greater):
        """Where the spindle stands from the datum as the finder touches a side of the work."""
        part, sign = self.parts[setup["mirrored"]], 1 if greater else -1
        face = next(face for face, way in WAYS.items() if laid(setup["up"], way)[axis] == sign)
        edge = [part.edge(face) * abs(way) for way in WAYS[face]]
        return laid(setup["up"], edge)[axis] - self.origin(setup)[axis] + sign * self.told["tip"] / 2

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

    def holes(self, setup, row, sets):
        """How much farther than it may a hole is drilled, reamed, tapped or bored from its own place, back
        through the setup's axes; of a pattern each of its holes."""
        own = row["feature"] is not None and self.told["features"][row["feature"]]["own"]
        if not own or "holes" not in own or setup["swung"]:
            return
        if "end" in setup["located"] and not self.told["turned"]:
            return  # A disc that is turned from bar lies by axes that are not those of its drawing.
        for n, hole in enumerate(own["holes"], 1):
            of = f", hole {n}" if len(own["holes"]) > 1 else ""
            if f"X{of}" in sets and f"Y{of}" in sets:
                cut = [self.at(setup, axis, sets[f"{axis}{of}"]) for axis in "XY"]
                self.cut_at[self.told["features"][hole]["name"]] = cut
                # A readout in inches is told in millimetres to four places.
                allowed = self.told["readout"]["step"] / 2 + 5e-5
                yield max(abs(stands - at) for stands, at in zip(cut, self.place(setup, hole))) - allowed

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
        level = self.at(setup, fixed, sets[fixed])
        run = [self.at(setup, moved, sets[f"{moved} {end}"]) for end in ("start", "stop")]
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
                places.append((self.at(setup, "X", shown), self.at(setup, "Y", sets[f"{found[1]}Y"])))
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
            yield row["radius"] - (self.at(setup, "XY"[axis], sets[label]) - shoulder) * out

    def within(self, row, shape, places):
        """How far a cutter goes through the sides of what it cuts."""
        rim = shape.exterior
        shapely.prepare(shape), shapely.prepare(rim)
        for run in places:
            line = shapely.LineString(run)
            assert shapely.contains_properly(shape, line), (row["what"], run)
            yield row["radius"] - shapely.distance(rim, line)

    def slot(self, setup, row, sets):
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
        passes = sorted({m[1] for label in sets if (m := re.match(r"X start(.*)$", label))})
        narrow = row["radius"] < half - 1e-9
        # A cutter of the slot's own width is wrong by the rounding of its middle, which the
        # sheet says, and by no more.
        allowed = 0.0 if narrow else math.hypot(1, 1) * self.told["readout"]["step"] / 2
        runs = [[tuple(self.at(setup, axis, sets[f"{axis} {end}{p}"]) for axis in "XY") for end in ("start", "stop")] for p in passes]
        for deep in self.within(row, shape, runs):
            yield deep - allowed

    def curved(self, setup, row, sets):
        """A slot round an arc, from the directions or the chord that the drawing gives."""
        own = self.told["features"][row["feature"]]["own"]
        half, ends = own["width"] / 2, own["ends"]
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
            runs = [[(x0 + self.at(setup, "X", sets[f"{place}, X"]), y0 + self.at(setup, "Y", sets[f"{place}, Y"]))] for place in places]
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
        feature = row["feature"]
        part, own = self.parts[setup["mirrored"]], self.told["features"][feature]["own"]
        x, y = self.place(setup, feature)
        along = laid(setup["up"], part.way(feature, own["along"]))
        across, up = (own["width"], own["height"]) if abs(along[0]) > 0.5 else (own["height"], own["width"])
        box = {}
        for axis in "XY":
            if axis in sets:
                box[axis] = [self.at(setup, axis, sets[axis])] * 2
            else:
                box[axis] = [self.at(setup, axis, sets[f"{axis} {end}"]) for end in ("least", "greatest")]
        low = (box["X"][0] - row["radius"], box["Y"][0] - row["radius"])
        high = (box["X"][1] + row["radius"], box["Y"][1] + row["radius"])
        wide = any(axis in sets for axis in "XY")
        allowed = self.told["readout"]["step"] / 2 if wide else 0.0
        yield max((x - across / 2) - low[0], high[0] - (x + across / 2)) - allowed
        yield max((y - up / 2) - low[1], high[1] - (y + up / 2)) - allowed
        # A corner comes out at the cutter's own radius: never sharper than it is drawn.
        yield own["corner"] - row["radius"]
