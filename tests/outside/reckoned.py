"""One plan's settings, reckoned from the trade's own formulas, the tables' rows, the bench file and the part."""

import collections
import csv
import functools
import math
import re
import tomllib

from laying import WAYS, Readout, laid, numbers, pieces, points_of
from program import ROOT
from straps import Straps

TABLES = ROOT / "crates" / "workshop" / "tables"
# The point of a twist drill of 118°: half the diameter over the tangent of 59°.
POINT = 0.5 / math.tan(math.radians(59))


@functools.lru_cache
def table(name):
    with open(TABLES / name, encoding="utf-8") as file:
        return list(csv.DictReader(line for line in file if not line.startswith("#")))


@functools.lru_cache
def limit(name):
    return next(float(row["value_mm"]) for row in table("processes/limits.csv") if row["limit"] == name)


@functools.lru_cache
def named(material):
    """The name that a material goes by in the other tables."""
    word = (material or "mild steel").lower()
    return next(row["name"] for row in table("materials/names.csv") if word in [row["name"], *row["also"].lower().split(";")])


@functools.lru_cache
def surface_speed(material, operation):
    """The middle of the published range, in metres a minute."""
    row = next(row for row in table("materials/speeds.csv") if (row["material"], row["operation"]) == (material, operation))
    return (float(row["low_m_per_min"]) + float(row["high_m_per_min"])) / 2


def soft(material):
    """Whether it cuts as brass and aluminium do: a specific force below 1000 N/mm²."""
    return float(next(row for row in table("materials/cutting_force.csv") if row["material"] == material)["kc11_n_per_mm2"]) < 1000


def across(words):
    """How wide a tool is, in millimetres, by its words on the sheet."""
    if gauge := re.search(r"(No\. \d+|letter [A-Z])", words):
        return 25.4 * next(float(row["diameter_in"]) for row in table("drills/gauge.csv") if row["name"].lower() == gauge[1].lower())
    if inches := re.search(r"(?:(\d+) )?(\d+)/(\d+) in", words):
        return 25.4 * (int(inches[1] or 0) + int(inches[2]) / int(inches[3]))
    shown = re.search(r"(\d+(?:\.\d+)?) (mm|in)", words)
    return shown and float(shown[1]) * (25.4 if shown[2] == "in" else 1)


def deep(shown):
    """The first length of some words, in millimetres."""
    found = re.search(r"(\d+(?:\.\d+)?) (mm|in)", shown)
    return float(found[1]) * (25.4 if found[2] == "in" else 1)


class Reckoned:
    """The settings of one plan: how many of each kind were held to its formula, and what is wrong."""

    def __init__(self, told):
        self.told, self.held, self.wrong = told, collections.Counter(), []
        with open(told["name"].split("+")[0], "rb") as file:
            self.bench = tomllib.load(file)
        self.material, self.slide = named(told["material"]), Readout(told["readout"]).slide

    def hold(self, rule, holds, where, said):
        self.held[rule] += 1
        if not holds:
            self.wrong.append(f"{self.told['name']}: {where}: {rule}: {said}")

    def all(self):
        for number, setup in enumerate(self.told["setups"], 1):
            self.presets(number, setup)
            self.swings(number, setup)
            for row in setup["rows"]:
                if row["work"] == "found again":
                    continue
                where = f"setup {number}, {row['what']}"
                sets, depth = dict(row["sets"]), dict(row["depth"])
                self.speed(where, setup, row, depth)
                self.milled(where, row, depth)
                self.holes(where, setup, row, depth)
                self.turned(where, setup, row, depth)
                self.shoulders(where, setup, row, depth)
            for rule, holds, where, said in Straps(self.told, setup, number).held():
                self.hold(rule, holds, where, said)

    # The pick-up.

    def presets(self, number, setup):
        """Half the tip outside the edge, to the side that the edge looks to; the opposite edge as far
        beyond as the work is wide. A dial or readout shows it to its step."""
        if setup["machine"] != "Mill" or "edges" not in setup["located"]:
            return
        step, half = self.told["readout"]["step"], self.told["tip"] / 2
        near = lambda shown, reads: abs(self.slide(shown) - reads) <= step / 2 + 5e-5
        ways = [laid(setup["up"], WAYS[face]) for face in setup["located"]["edges"]]
        for label, shown in setup["presets"]:
            where = f"setup {number}, {label}"
            if found := re.match(r"preset ([XY]) at the (left|right|near|far) edge$", label):
                side = sum(way["XY".index(found[1])] for way in ways)
                self.hold("preset", side == (1 if found[2] in ("right", "far") else -1), where, f"its datum edges are {setup['located']}")
                self.hold("preset", near(shown, side * half), where, f"{shown}, half of {2 * half} on the side {side}")
            elif found := re.match(r"check ([XY]) at the opposite edge$", label):
                axis = "XY".index(found[1])
                side = sum(way[axis] for way in ways)
                wide = self.wide(setup, axis)
                self.hold("check touch", near(shown, -side * (wide + half)), where, f"{shown}, the work {wide} wide")
        beside = pieces(self.told, setup)
        for one, other in zip(beside, beside[1:]):
            # No piece, nor the finder between them, touches the next.
            ends = [sorted(self.reads_across(piece)) for piece in (one, other)]
            gap = ends[1][0] - ends[0][1]
            self.hold("piece beside", gap >= 2 * half + 1 - 1e-6, f"setup {number}, piece {other['piece']}", f"{gap} mm between them")

    def extents(self):
        told = self.told
        left, right, bottom, top = told["edges"]
        if not (told["rectangle"] or told["turned"]):
            # A sawn blank stands out 2 mm at least, to a whole millimetre.
            left, bottom = math.floor(left - 2 + 1e-9), math.floor(bottom - 2 + 1e-9)
            right, top = math.ceil(right + 2 - 1e-9), math.ceil(top + 2 - 1e-9)
        return (right - left, top - bottom, told["thickness"])

    def wide(self, setup, axis):
        """How wide the work is along an axis of the machine."""
        return next(size for n, size in enumerate(self.extents()) if laid(setup["up"], [float(n == m) for m in range(3)])[axis])

    def reads_across(self, piece):
        """Where a piece's two ends lie, from the datum of the first."""
        side = sum(laid(piece["up"], WAYS[face])[0] for face in piece["located"]["edges"])
        return piece["zero"][0], piece["zero"][0] - side * self.wide(piece, 0)

    # Speeds and feeds.

    def speeds(self, setup):
        section = {"Mill": "mill", "RotaryTable": "mill", "Lathe": "lathe", "DrillPress": "drill_press"}.get(setup["machine"])
        return self.machine(section).get("speeds")

    def machine(self, section):
        """What the bench file says of a machine; of one that is not there `none`."""
        told = self.bench.get(section, {})
        return told if isinstance(told, dict) else {}

    def speed(self, where, setup, row, depth):
        """1000 V / (π D), and of the machine's speeds the highest that is not above it, or its lowest."""
        speeds, tool = self.speeds(setup), row["tool"]
        if not speeds or not (row["speed"] or "").endswith("rev/min"):
            return
        rpm = int(numbers(row["speed"])[0])
        self.hold("speed", rpm in speeds, where, f"{rpm} is none of the machine's speeds")
        if "end mill" in tool:
            operation, wide = "milling", across(tool)
        elif re.search(r"\bdrill ", tool.removeprefix("centre drill")):
            operation, wide = "drilling", across(tool.removeprefix("centre drill, "))
        elif tool.startswith("reamer"):
            operation, wide = "reaming", across(tool)
        else:
            return
        proper = lambda v: max([s for s in speeds if s <= 1000 * v / (math.pi * wide) + 1e-9], default=min(speeds))
        wanted = proper(surface_speed(self.material, operation))
        self.hold("speed", rpm == wanted, where, f"{rpm} where {operation} {wide:.3f} mm in {self.material} asks for {wanted}")

    def milled(self, where, row, depth):
        """The feed is chip times teeth times turns: the chip of the diameter over 250, over 150 in soft
        metal, from 0.005 to 0.08 mm, never more. No pass goes deeper than practice has it."""
        if "end mill" not in row["tool"] or "feed" not in depth:
            return
        wide = across(row["tool"])
        teeth = int((re.search(r"(\d+) teeth", row["tool"]) or ["", 2])[1])
        feed, rpm = deep_feed(depth["feed"]), numbers(row["speed"])[0]
        most = min(max(wide / (150 if soft(self.material) else 250), 0.005), 0.08)
        told = f"{depth['feed']} for {teeth} teeth at {rpm} rev/min"
        # To the whole millimetre that the sheet tells.
        self.hold("feed", 0.005 * teeth * rpm - 0.5 <= feed <= most * teeth * rpm + 0.5, where, told)
        shown = depth.get("passes", "")
        if not shown or "deep" in shown:
            return
        scale = 25.4 if shown.split(" in one")[0].endswith("in") else 1
        levels = [level * scale for level in numbers(shown)]
        slot = wide * (0.5 if soft(self.material) else 0.25) * (0.5 if wide < 3 else 1)
        most = {"slot": slot, "curved": slot, "pocket": slot}.get(row["work"], 0.5 if row["what"].startswith("face") else wide)
        cuts = [b - a for a, b in zip([0, *levels], levels)]
        self.hold("pass", min(cuts) > 0 and ("mind" in depth or max(cuts) <= most + max(0.011, scale / 1000)), where, f"{shown} with {wide:.3f} mm, {most} at most")

    # Holes.

    def own(self, row):
        return self.told["features"][row["feature"]]["own"] if row["feature"] is not None else {}

    def hole(self, row):
        """What a row's hole is, of a pattern its first."""
        own = self.own(row)
        if "over" in own:
            own = self.told["features"][own["over"]]["own"]
        if "diameter" not in own and "major" not in own and own.get("holes"):
            own = self.told["features"][own["holes"][0]]["own"]
        return own

    def holes(self, where, setup, row, depth):
        if row["feature"] is None:
            return
        hole, shown = self.hole(row), depth.get("depth", "")
        drill = re.search(r"(?:^|, )drill (.*)$", row["tool"])
        plain = self.plain(row) and setup["up"] in ("front", "back") and not self.told["turned"]
        through = self.told["thickness"] * setup["high"]
        if row["work"] == "other" and drill and ("diameter" in hole or "major" in hole):
            wide = across(drill[0])
            if shown.startswith("through:") and plain and hole["deep"] is None:
                # Until all of the point is out, rounded up to the tenth (or five thousandths) that a quill is set to.
                # Three tenths of the diameter, which the trade reckons with, is half a thousandth of it short.
                short = through + wide * POINT - deep(shown)
                self.hold("drilled through", -1.0 <= short <= wide * 0.0005, where, f"{shown}: {short:.3f} mm of the point still in")
            elif hole["deep"] is not None and "point beyond" in shown and not self.told["turned"]:
                full = hole["deep"]
                if "pitch" in hole:
                    # BS 1936: deeper than full thread by a quarter of it below 6 mm, a fifth to 12 mm, then 0.15.
                    share = 0.25 if hole["major"] < 6 else 0.2 if hole["major"] <= 12 else 0.15
                    self.hold("tapping depth", plain <= (deep(shown) >= full * (1 + share) - 1e-6), where, f"{shown} for {full} of thread")
                self.hold("drilled blind", not plain or full - 0.02 <= deep(shown) < through, where, f"{shown} for {full} in {through}")
                if plain:
                    self.hold("drilled blind", deep(shown) + wide * POINT < through, where, f"{shown}: its point comes out of {through}")
        if row["tool"].startswith("reamer") and "diameter" in hole:
            self.hold("reaming", abs(across(row["tool"]) - hole["diameter"]) < 1e-3, where, f"{row['tool']} for {hole['diameter']}")
            before = self.drilled_before(row)
            if before is not None:
                self.hold("reaming", 0 < hole["diameter"] - before <= 0.51, where, f"{before} drilled for {hole['diameter']}")
        own = self.own(row)
        if "angle" in own and "goes on after it touches the edge of the hole" in depth:
            goes_on = deep(depth["goes on after it touches the edge of the hole"])
            exact = (own["across"] - self.wide_then(row, hole)) / 2 / math.tan(math.radians(own["angle"] / 2))
            # Told to a hundredth, or to a thousandth of an inch.
            told_to = 0.0128 if " in" in depth["goes on after it touches the edge of the hole"] else 0.006
            self.hold("countersink", abs(goes_on - exact) <= told_to, where, f"{goes_on}, by its cone {exact:.4f}")
            self.hold("countersink", f"{own['angle']:g}°" in row["tool"], where, row["tool"])
        if "down" in own and shown:
            self.hold("counterbore", abs(deep(shown) - own["down"]) <= 0.0128, where, f"{shown} for {own['down']}")
            self.hold("counterbore", abs(across(row["tool"]) - own["across"]) < 0.01 or "boring" in row["tool"], where, f"{row['tool']} for {own['across']}")
        if "down" in own and (screw := hole.get("screw")) and (head := self.head(screw)):
            self.hold("screw's head", own["across"] >= head + 0.1, where, f"{own['across']} for a head of {head}")
        if "last cut to" in depth:
            self.bored(where, setup, row, depth, hole)

    @staticmethod
    def head(screw):
        """How wide the head of a socket cap screw is, by ISO 4762."""
        return next((float(row["plain_mm"]) for row in table("heads/iso4762.csv") if row["size"] == screw), None)

    def plain(self, row):
        """Whether nothing is cut out of the part where the hole goes in or comes out."""
        return all(not {"side", "leaves", "down", "across"} & own.keys() and "corner" not in own and "width" not in own
                   for own in (feature["own"] for feature in self.told["features"]))

    def before(self, row):
        """The rows of the same hole, in the same hand, that are done before."""
        hand = lambda one: re.search(r"\((?:right|left) hand\)$", one["what"])
        own = hand(row)
        for setup in self.told["setups"]:
            for other in setup["rows"]:
                if other is row:
                    return
                alike = not own or not hand(other) or hand(other)[0] == own[0]
                if other.get("feature") == row["feature"] and other["work"] == "other" and alike:
                    yield other

    def drilled_before(self, row):
        """The widest drill that has been through."""
        wide = [across(found[0]) for other in self.before(row) if (found := re.search(r"(?:^|, )drill (.*)$", other["tool"]))]
        bored = [deep(dict(other["depth"])["last cut to"]) for other in self.before(row) if "last cut to" in dict(other["depth"])]
        return max([*wide, *bored], default=None)

    def wide_then(self, row, hole):
        """How wide the hole under a countersink is drawn, or drilled where it is to be tapped."""
        if "diameter" in hole:
            return hole["diameter"]
        over = self.told["features"][self.own(row)["over"]]["own"]["holes"]
        drilled = [self.drilled_before(row | {"feature": one}) for one in [self.own(row)["over"], *over]]
        return max((wide for wide in drilled if wide), default=hole["major"])

    def bored(self, where, setup, row, depth, hole):
        """From what is drilled to the size in cuts of a millimetre at most, the last two of a tenth; the
        boring head takes the size."""
        last, before = deep(depth["last cut to"]), deep(depth["then measure at"])
        rough = [level for label, shown in depth.items() if label == "bore to" or label.endswith(" to") and "cuts of" in label for level in numbers(shown)]
        drilled = self.drilled_before(row)
        self.hold("boring", abs(last - hole["diameter"]) <= 0.006, where, f"{last} for {hole['diameter']}")
        self.hold("boring", 0.05 < last - before < 0.15 and all(0.05 < before - level for level in rough[-1:]), where, f"{rough}, {before}, {last}")
        if drilled is not None and len(rough) < 2 or rough[1:]:
            first = [drilled, *rough] if drilled is not None and "bore to" in depth else rough
            cuts = [b - a for a, b in zip(first, first[1:])]
            self.hold("boring", all(0 < cut <= 1.011 for cut in cuts), where, f"from {drilled}: {rough}")
        head = self.machine("boring_head")
        if head and setup["machine"] == "Mill":
            self.hold("boring", deep(head["least"]) <= last <= deep(head["most"]), where, f"{last} is beyond the boring head")

    # The lathe.

    def turned(self, where, setup, row, depth):
        """The dial and the diameter of every cut come to the same bar; no cut is deeper than a small lathe
        takes, and the last is light."""
        lathe = self.machine("lathe")
        if setup["machine"] != "Lathe" or not lathe:
            return
        by, step = 2 if lathe.get("dial_reads") == "radius" else 1, deep(lathe.get("dial_step", "0.02 mm"))
        cuts = []
        for label, shown in depth.items():
            if re.match(r"cuts? \d", label) and "diameter" in shown:
                dial, diameter = shown.replace("≈", "").split("diameter")
                scale = 25.4 if " in" in dial else 1
                dials = [value * scale for value in numbers(dial)]
                cuts += [(value, None) for value in dials[:-1]] + [(dials[-1], numbers(diameter)[0] * (25.4 if " in" in diameter else 1))]
        if not cuts:
            return
        bars = [diameter + dial * by for dial, diameter in cuts if diameter is not None]
        self.hold("turned", max(bars) - min(bars) <= step * by + 0.02, where, f"{cuts} from bars of {min(bars):.3f} to {max(bars):.3f}")
        each = [(b[0] - a[0]) * by / 2 for a, b in zip([(0, None), *cuts], cuts)]
        self.hold("turned", all(0 < cut <= limit("turning cut") + step for cut in each), where, f"{each} deep")
        self.hold("turned", abs(each[-1] - limit("turning finish")) <= step + 1e-6 or len(each) == 1, where, f"the last of {each}")
        if "speed" in row and row["speed"] and self.speeds(setup) and "knife" in row["tool"]:
            proper = 1000 * surface_speed(self.material, "turning") / (math.pi * bars[0])
            rpm = numbers(row["speed"])[0]
            small = 1000 * surface_speed(self.material, "turning") / (math.pi * cuts[-1][1])
            below = [speed for speed in self.speeds(setup) if speed <= small + 1e-9]
            self.hold("turned", rpm == min(self.speeds(setup)) or rpm <= max(below), where, f"{rpm} for {proper:.0f} to {small:.0f}")

    def shoulders(self, where, setup, row, depth):
        """Every shoulder counts from the one faced end, and a section comes out at its own diameter."""
        own, lathe = self.own(row), self.machine("lathe")
        if setup["machine"] != "Lathe" or own.get("to") is None:
            return
        step = deep(lathe.get("dial_step", "0.02 mm"))
        stop = next((shown for label, shown in row["sets"] if label == "stop at"), None)
        if stop and not own["thrown"]:
            far = own["to"] if setup["up"] == "left" else self.told["thickness"] - own["from"]
            # A shoulder that is roughed keeps two tenths for the cut that faces it.
            far -= 0.2 if row["what"].startswith("rough") else 0.0
            self.hold("shoulder", abs(deep(stop) - far) <= step / 2 + 5e-4, where, f"{stop} for {far:.3f}")
        found = re.match(r"turn .* ([\d.]+) mm$", row["what"])
        if found:
            # Rolling a knurl raises it to its size from less.
            rolled = [deep(shown) for other in setup["rows"] for label, shown in other["sets"] if label == "blank before the knurl"]
            self.hold("diameter", any(abs(float(found[1]) - size) < 5e-4 for size in [own["round"], *rolled]), where, f"for {own['round']}")

    # The rotary table.

    def swings(self, number, setup):
        """What swings about the table's centre passes the mill's column."""
        column = self.machine("mill").get("column")
        if setup["machine"] != "RotaryTable" or not column:
            return
        reach = max(math.hypot(x, y) for segment in setup["metal"] for x, y in points_of(segment, 1e-3))
        self.hold("swings", reach < deep(column), f"setup {number}", f"{reach:.2f} mm out, the column at {column}")
        for row in setup["rows"]:
            for label, shown in row["sets"]:
                if label.endswith("offset from the table centre"):
                    radius, offset = row["radius"], self.slide(shown)
                    self.hold("swings", radius <= offset + 100 and offset < deep(column), f"setup {number}, {row['what']}", shown)


def deep_feed(shown):
    """A feed in millimetres a minute; inches beside it are the same."""
    if "mm/min" not in shown:
        return numbers(shown)[0] * 25.4
    feed, *inches = numbers(shown)
    assert all(abs(inch * 25.4 - feed) <= 0.05 * 25.4 + 0.5 for inch in inches), shown
    return feed
