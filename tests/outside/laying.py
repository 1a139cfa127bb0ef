"""How the checks of this folder read a printed sheet and lay a part as it lies on a machine: what a
slide, a dial or a table is set to, where a datum lies, which pieces lie side by side and what each of
them is set to."""

import math
import re

import numpy
import shapely

# What chords of arcs are out by.
CHORD_MM = 2e-7


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


class Readout:
    """What the slides of a bench's mill are set by: a readout, or dials counted in turns and divisions."""

    def __init__(self, told):
        self.step, self.pitch, self.divisions = told["step"], told.get("pitch"), told.get("divisions")

    def slide(self, shown):
        if self.pitch is None:
            return numbers(shown)[0]
        if shown.startswith("at nought") or shown == "0 mm" or shown.startswith("dial to nought"):
            return 0.0
        # Less than a turn is told in divisions alone; what is wound past and back follows a comma.
        to = shown.split(",")[0]
        turns, divisions = (numbers(to) + [0])[:2] if "turn" in to else [0, *numbers(to)]
        sign = -1 if shown.startswith("down") else 1
        return sign * (turns + divisions / self.divisions) * self.pitch


def flipped(setup):
    """The same setup with the opposite hand in it."""
    located = dict(setup["located"])
    if "edges" in located:
        located["edges"] = [SWAP.get(face, face) for face in located["edges"]]
    mirrored, up = not setup["mirrored"], SWAP.get(setup["up"], setup["up"])
    return setup | {"located": located, "mirrored": mirrored, "up": up}


def pieces(told, setup):
    """Every piece that lies in a setup at a time, from left to right, as its sheet tells: the setup as
    that piece lies in it, its number, its hand where both lie there, and what its own datum reads."""
    readout, half = Readout(told["readout"]), told["tip"] / 2
    found = [re.match(r"X touching the (left|right) edge of piece (\d+)(?:, the (.*))?$", label) for label, _ in setup["presets"]]
    beside = [(match, shown) for match, (_, shown) in zip(found, setup["presets"]) if match]
    both = any(match[3] for match, _ in beside)
    hand = told["hands"][setup["mirrored"]] if both else None
    all_of_them = [setup | {"piece": 1, "hand": hand, "zero": [0.0, 0.0]}]
    for match, shown in beside:
        own = setup if not both or match[3] == hand else flipped(setup)
        sides = [laid(own["up"], WAYS[face])[0] for face in own["located"]["edges"]]
        side = "right" if any(side > 0 for side in sides) else "left"
        assert match[1] == side, (told["name"], match[0], "its own datum is its other edge")
        touch = half if side == "right" else -half
        all_of_them.append(own | {"piece": int(match[2]), "hand": match[3], "zero": [readout.slide(shown) - touch, 0.0]})
    return all_of_them


def done_to(setups, row):
    """The pieces of a setup that a row is done to, each with what is set for it."""
    # What is said of one hand is set for those of that hand; the row's own settings are the first's.
    own = [setup for setup in setups if setup["hand"] is None or not is_of_a_hand(row) or row["what"].endswith(f"({setup['hand']})")]
    for setup in own:
        ending = f", piece {setup['piece']}"
        sets = {label: shown for label, shown in row["sets"] if not re.search(r", piece \d+$", label)}
        more = {label.removesuffix(ending): shown for label, shown in row["sets"] if label.endswith(ending)}
        assert setup is own[0] or more, (row["what"], f"nothing is said of piece {setup['piece']}")
        yield setup, sets | more


def is_of_a_hand(row):
    return re.search(r"\((right|left) hand\)$", row["what"]) is not None
