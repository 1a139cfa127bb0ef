"""Parts and benches that nobody drew: every start number gives one part file or one bench
file, always the same. What is drawn here can be made: rounding fits its corner, walls are
thick enough, outlines do not cross themselves (tried with shapely)."""

import math
import random

import shapely

MATERIALS = ["mild steel", "brass", "cast iron", "silver steel", "gunmetal", "aluminium", "gauge plate"]
THREADS = {"inch": ["8 BA", "6 BA", "5 BA", "4 BA", "2 BA"], "mm": ["M2", "M2.5", "M3", "M4", "M5"]}
ACROSS = {"8 BA": 2.2, "6 BA": 2.8, "5 BA": 3.2, "4 BA": 3.6, "2 BA": 4.7, "M2": 2, "M2.5": 2.5, "M3": 3, "M4": 4, "M5": 5}
SIDES = ["left", "right", "bottom", "top"]


class Sheet:
    """One part file as it is written: `mm` of everything that is drawn is kept beside it."""

    def __init__(self, start):
        self.draw = random.Random(start)
        self.inch = self.draw.random() < 0.6
        self.step = 25.4 / self.draw.choice([16, 32, 64]) if self.inch else self.draw.choice([1.0, 0.5, 0.1])
        self.head, self.body, self.features, self.rest = {}, {}, [], []

    def chance(self, share):
        return self.draw.random() < share

    def near(self, mm):
        """A size that the drawing could have, as its words and in millimetres."""
        count = max(1, round(mm / self.step))
        return self.words(count), count * self.step

    def size(self, low, high):
        return self.near(self.draw.uniform(low, high))

    def words(self, count):
        if not self.inch:
            return f"{count * self.step:.1f}".removesuffix(".0")
        parts = round(25.4 / self.step)
        whole, top = divmod(count, parts)
        if not top:
            return str(whole)
        shared = math.gcd(top, parts)
        return f"{whole or ''} {top // shared}/{parts // shared}".strip()

    def offset(self, mm, more, less):
        """`27/32 right of`, or level where there is nothing between."""
        count = round(abs(mm) / self.step)
        way = more if mm > 0 else less
        return (self.words(count), way, math.copysign(count * self.step, mm)) if count else None

    def from_(self, other, x, y):
        """A place so far from another, and where it then really is."""
        across, up = self.offset(x, "right of", "left of"), self.offset(y, "above", "below")
        place = [f"{across[0]} {across[1]} {other}" if across else f"plumb with {other}"]
        place += [f"{up[0]} {up[1]} {other}" if up else f"level with {other}"]
        return place, (across[2] if across else 0.0, up[2] if up else 0.0)

    def add(self, kind, name, **more):
        self.features.append({"name": name, "kind": kind} | {k: v for k, v in more.items() if v is not None})

    def thickness(self, low=2.5, high=14):
        words, mm = self.size(low, high)
        self.body["thickness"] = words
        return mm

    def hole(self, name, place, room, deep=None, **more):
        """Some hole that keeps within `room` about its middle, from the face."""
        across = self.draw.uniform(0.3, 0.6) * 2 * room
        kind = self.draw.choice(["drilled", "reamed", "reamed", "tapped", "bored"])
        threads = [t for t in THREADS["inch" if self.inch else "mm"] if ACROSS[t] < 1.1 * room]
        if kind == "tapped" and threads:
            self.add("tapped hole", name, thread=self.draw.choice(threads), place=place, **more)
            return 0.0
        words, mm = self.near(max(across, 1.5))
        finish = kind if kind != "tapped" and (kind != "bored" or mm > 10) else "drilled"
        self.add("hole", name, diameter=words, finish=finish, place=place, **more)
        return mm

    def text(self):
        """The part file."""

        def value(v):
            if isinstance(v, list):
                return "[" + ", ".join(value(one) for one in v) + "]"
            if isinstance(v, dict):
                return "{ " + ", ".join(f"{k} = {value(one)}" for k, one in v.items()) + " }"
            return str(v).lower() if isinstance(v, bool) else str(v) if isinstance(v, int) else f'"{v}"'

        def table(title, entries):
            return [title, *(f"{k} = {value(v)}" for k, v in entries.items()), ""]

        lines = table("", self.head)[1:] + table("[body]", self.body)
        for feature in self.features:
            lines += table("[[feature]]", feature)
        for title, entries in self.rest:
            lines += table(title, entries)
        return "\n".join(lines)


def spread(sheet, count, low, high):
    """Directions all round, no two closer than a third of an even share."""
    at = sheet.draw.uniform(0, 360)
    shares = [sheet.draw.uniform(0.6, 1.4) for _ in range(count)]
    found = []
    for share in shares:
        found.append((math.radians(at), sheet.draw.uniform(low, high)))
        at += 360 * share / sum(shares)
    return found


def lever(sheet):
    """Two, three or four bosses joined by flanks."""
    count = sheet.draw.choice([2, 2, 2, 3, 3, 4])
    sheet.body |= {"kind": "bosses", "around": [f"boss {n + 1}" for n in range(count)]}
    thick = sheet.thickness(4, 12)
    arm = sheet.draw.uniform(18, 60)
    if count == 2:
        way = sheet.draw.choice([0, 0, 0, 90, 180, 270, sheet.draw.uniform(0, 360)])
        wanted = [(0.0, 0.0), (arm * math.cos(math.radians(way)), arm * math.sin(math.radians(way)))]
    else:
        round_ = [(r * math.cos(a), r * math.sin(a)) for a, r in spread(sheet, count, 0.75 * arm, arm)]
        wanted = [(x - round_[0][0], y - round_[0][1]) for x, y in round_]
    apart = min(math.dist(a, b) for n, a in enumerate(wanted) for b in wanted[:n])
    places, radii = [], []
    for n, (x, y) in enumerate(wanted):
        words, radius = sheet.size(max(3.0, 0.15 * apart), min(0.42 * apart, 14))
        place, at = sheet.from_("boss 1", x, y) if n else (["datum"], (0.0, 0.0))
        places.append(at)
        radii.append(radius)
        sheet.add("boss", f"boss {n + 1}", radius=words, place=place)
    for n, radius in enumerate(radii):
        if n < 2 or sheet.chance(0.7):
            centre = [f"concentric with boss {n + 1}"]
            if sheet.chance(0.12) and radius > 5:
                bore(sheet, f"bore {n + 1}", centre, radius)
            else:
                sheet.hole(f"bore {n + 1}", centre, radius)
    if count == 2 and sheet.chance(0.3) and abs(places[1][1]) < 1e-9 and thick > 5:
        (far, _), side = places[1], "right" if places[1][0] > 0 else "left"
        shoulder = sheet.offset(math.copysign((radii[0] + abs(far) - radii[1]) / 2, far), "right of", "left of")
        words, _ = sheet.near(thick * sheet.draw.uniform(0.5, 0.7))
        face = sheet.draw.choice(["front", "back"])
        sheet.add("step", "arm step", face=face, leaves=words, side=side, place=[f"{shoulder[0]} {shoulder[1]} boss 1"])
    if count == 2 and sheet.chance(0.3) and radii[0] > 7:
        split(sheet, radii[0], places[1])


def bore(sheet, name, centre, room):
    """A hole that is not round: square, with a flat, or with a keyway."""
    words, across = sheet.near(room * sheet.draw.uniform(0.6, 0.9))
    way = f"{sheet.draw.choice([0, 45, 90, 135, 180])}°"
    what = sheet.draw.choice(["square", "flat", "key"])
    if what == "square":
        sheet.add("square hole", name, across=words, place=centre, along=way)
    elif what == "flat":
        sheet.add("flatted hole", name, diameter=words, across=sheet.near(max(across * 0.86 - 0.5 * sheet.step, 0.6 * across))[0], toward=way, place=centre)
    else:
        sheet.add("hole", name, diameter=words, finish="reamed", place=centre)
        if across > 5:
            sheet.add("keyway", f"key in {name}", **{"in": name}, width=sheet.near(across / 4)[0], depth=sheet.near(across / 9)[0], toward=way)


def split(sheet, radius, away):
    """A slit into the first bore, away from the other boss, and its screw."""
    sheet.features = [f for f in sheet.features if f["name"] not in ("bore 1", "key in bore 1")]
    words, across = sheet.near(radius * 0.8)
    sheet.add("hole", "bore 1", diameter=words, finish="reamed", place=["concentric with boss 1"])
    level = abs(away[0]) >= abs(away[1])
    toward = ("left" if away[0] > 0 else "right") if level else ("bottom" if away[1] > 0 else "top")
    sheet.add("slit", "slit", width="1/32" if sheet.inch else "0.8", into="bore 1", toward=toward)
    out = sheet.near((across / 2 + radius) / 2 + 0.8)[0]
    place = {"left": "left of", "right": "right of", "bottom": "below", "top": "above"}[toward]
    thread, clears = ("8 BA", "No. 43") if sheet.inch else ("M2", "2.4")
    face = sheet.draw.choice(["top", "bottom"] if level else ["left", "right"])
    sheet.add("clamp screw", "nip screw", face=face, thread=thread, clearance=clears, across="slit", place=[f"{out} {place} boss 1", "mid thickness"])


def arc_between(a, b, radius, out):
    """Points of the lesser arc from a to b, its middle to the right of the way (out) or left."""
    chord = math.dist(a, b)
    rise = radius - math.sqrt(max(radius**2 - chord**2 / 4, 0.0))
    middle = ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)
    right = ((b[1] - a[1]) / chord, -(b[0] - a[0]) / chord)
    sign = 1 if out else -1
    centre = [middle[i] - sign * right[i] * (radius - rise) for i in (0, 1)]
    first, last = [math.atan2(p[1] - centre[1], p[0] - centre[0]) for p in (a, b)]
    turn = (last - first + math.pi) % (2 * math.pi) - math.pi
    return [(centre[0] + radius * math.cos(first + turn * t / 24), centre[1] + radius * math.sin(first + turn * t / 24)) for t in range(25)]


def outline(sheet):
    """Corners, roundings, arcs and round noses in any order; drawn again until it is sound."""
    while not outlined(sheet):
        sheet.features, sheet.body = [], {}


def outlined(sheet):
    count = sheet.draw.randint(3, 8)
    low = sheet.draw.choice([12, 24])
    wanted = [(r * math.cos(a), r * math.sin(a)) for a, r in spread(sheet, count, low, sheet.draw.choice([32, 45]))]
    if sheet.chance(0.4):  # sides along the axes, as most drawings have them
        wanted = sheet.draw.choice([angle, tee, stepped])(sheet)
        count = len(wanted)
    first = wanted[0]
    stops = [sheet.from_("stop 1", x - first[0], y - first[1]) if n else (["datum"], (0.0, 0.0)) for n, (x, y) in enumerate(wanted)]
    at = [place for _, place in stops]
    if shapely.Polygon(at).buffer(-4).geom_type != "Polygon" or not shapely.Polygon(at).is_valid:
        return False
    around, rim, kinds = [], [], []
    for n in range(count):
        kinds.append("boss" if sheet.chance(0.12) else "corner")
    for n in range(count):
        a, b = at[n], at[(n + 1) % count]
        around.append(f"stop {n + 1}")
        rim.append(a)
        both = kinds[n] == kinds[(n + 1) % count] == "corner"
        if both and sheet.chance(0.2) and math.dist(a, b) > 8:
            words, radius = sheet.size(0.7 * math.dist(a, b), 2 * math.dist(a, b))
            out = sheet.chance(0.5)
            around.append({"arc": words, "bulge": "out" if out else "in"})
            rim += arc_between(a, b, radius, out)[1:-1]
    shape = shapely.Polygon(rim)
    if not shape.is_valid or shape.buffer(-3.5).geom_type != "Polygon" or shape.buffer(-3.5).is_empty:
        return False
    if shapely.Polygon(rim).exterior.is_ccw is False:
        return False
    sheet.body = {"kind": "outline", "around": around}
    sheet.thickness(2.5, 8)
    for n in range(count):
        before, own, after = at[n - 1], at[n], at[(n + 1) % count]
        sharp = abs(turned(before, own, after))
        if sharp > 2.4 or sharp < 0.15 or min(math.dist(before, own), math.dist(own, after)) < 5:
            return False
        room = 0.4 * min(math.dist(before, own), math.dist(own, after)) / math.tan(sharp / 2)
        if kinds[n] == "boss":
            if turned(before, own, after) < 0.3 or room < 4:
                return False
            words, _ = sheet.size(3.5, min(room, 8))
            sheet.add("boss", f"stop {n + 1}", radius=words, place=stops[n][0])
            continue
        beside_arc = any(isinstance(x, dict) for x in (around[around.index(f"stop {n + 1}") - 1], around[(around.index(f"stop {n + 1}") + 1) % len(around)]))
        room = 0.3 * room if beside_arc else room
        words = sheet.size(1, min(room, 12))[0] if room > 1.2 and sheet.chance(0.6) else None
        sheet.add("corner", f"stop {n + 1}", radius=words, place=stops[n][0])
    inside(sheet, shape, at[0])
    return True


def turned(a, b, c):
    """How far the outline turns to the left at b."""
    turn = math.atan2(c[1] - b[1], c[0] - b[0]) - math.atan2(b[1] - a[1], b[0] - a[0])
    return (turn + math.pi) % (2 * math.pi) - math.pi


def angle(sheet):
    wide, high, foot, leg = [sheet.draw.uniform(*at) for at in ((30, 60), (25, 50), (10, 18), (10, 18))]
    return [(0, 0), (wide, 0), (wide, foot), (leg, foot), (leg, high), (0, high)]


def tee(sheet):
    wide, high, flange, web = [sheet.draw.uniform(*at) for at in ((40, 60), (25, 45), (10, 15), (10, 16))]
    left, right = (wide - web) / 2, (wide + web) / 2
    return [(left, 0), (right, 0), (right, high - flange), (wide, high - flange), (wide, high), (0, high), (0, high - flange), (left, high - flange)]


def stepped(sheet):
    wide, high, at, down = [sheet.draw.uniform(*at) for at in ((35, 70), (20, 40), (12, 22), (6, 9))]
    return [(0, 0), (wide, 0), (wide, high - down), (wide - at, high - down * sheet.draw.choice([0.3, 0])), (0, high)]


def inside(sheet, shape, first):
    """Two holes or three where there is metal for them."""
    taken, count = [], 0
    for _ in range(60):
        low_x, low_y, high_x, high_y = shape.bounds
        x, y = sheet.draw.uniform(low_x, high_x), sheet.draw.uniform(low_y, high_y)
        place, (dx, dy) = sheet.from_("stop 1", x - first[0], y - first[1])
        point = shapely.Point(first[0] + dx, first[1] + dy)
        room = min([shape.exterior.distance(point), *(math.dist(point.coords[0], q) / 2 for q in taken), 9])
        if not shape.contains(point) or room < 4.5:
            continue
        taken.append(point.coords[0])
        count += 1
        if sheet.chance(0.15) and room > 6:
            bore(sheet, f"hole {count}", place, room)
        else:
            sheet.hole(f"hole {count}", place, room)
        if count == 3:
            return


def cam(sheet):
    """A base and a nose, round or hollow flanks between them."""
    base, nose = sheet.size(9, 16), sheet.size(3, 7)
    place, (x, y) = sheet.from_("base", sheet.draw.uniform(-6, 6), sheet.draw.uniform(14, 22))
    apart = math.hypot(x, y)
    out = sheet.chance(0.6)
    arc = sheet.size(1.2 * (apart + base[1] + nose[1]), 60)[0] if out else sheet.size(20, 60)[0]
    flank = {"arc": arc, "bulge": "out" if out else "in"}
    around = ["base", flank, "nose", flank] if sheet.chance(0.7) else ["base", flank, "nose"]
    sheet.body = {"kind": "outline", "around": around}
    sheet.thickness(4, 10)
    sheet.add("boss", "base", radius=base[0], place=["datum"])
    sheet.add("boss", "nose", radius=nose[0], place=place)
    if sheet.chance(0.5):
        bore(sheet, "bore", ["concentric with base"], base[1])
    else:
        sheet.hole("bore", ["concentric with base"], base[1] * 0.8)
    if nose[1] > 4.5:
        sheet.hole("nose hole", ["concentric with nose"], nose[1])


def link(sheet):
    """A link or quadrant: two arcs about one centre, with or without a slot along it."""
    words_in, inner = sheet.size(30, 80)
    words_out, outer = sheet.near(inner + sheet.draw.uniform(14, 22))
    half = sheet.draw.randint(12, 30)
    way = sheet.draw.choice([0, 90, sheet.draw.randint(-80, 80)])
    ends = {"foot": (words_out, -1), "head": (words_out, 1), "heel": (words_in, 1), "toe": (words_in, -1)}
    arcs = [{"arc": words_out, "bulge": "out"}, {"arc": words_in, "bulge": "in"}]
    sheet.body = {"kind": "outline", "around": ["foot", arcs[0], "head", "heel", arcs[1], "toe"]}
    sheet.thickness(3, 7)
    for name, (words, sign) in ends.items():
        sheet.add("corner", name, place=[f"{words} from datum at {way + sign * half}°"])
    middle = sheet.near((inner + outer) / 2)
    room = min(math.radians(half) * inner * 0.5, (outer - inner) / 2)
    end = math.degrees(6.5 / inner)
    if half - 2 * end > 6:
        for name, sign in (("low hole", -1), ("high hole", 1)):
            words = sheet.size(2.5, 5)[0]
            sheet.add("hole", name, diameter=words, finish="reamed", place=[f"{middle[0]} from datum at {way + sign * round(half - end)}°"])
        reach = math.floor(half - 2 * end - math.degrees(3.5 / inner) - 2)
        if reach > 3 and room > 4:
            words = sheet.size(3, 6)[0]
            sheet.add("curved slot", "way", width=words, radius=middle[0], **{"from": f"{way - reach}°", "to": f"{way + reach}°"}, place="datum")


def plate(sheet):
    """A rectangle in cells, each with something in it."""
    columns, rows = sheet.draw.randint(1, 4), sheet.draw.randint(1, 3)
    cell = sheet.draw.uniform(14, 24)
    width, height = sheet.near(columns * cell), sheet.near(rows * cell)
    datum = sheet.draw.choice(["bottom left", "bottom right", "top left", "top right", "centre"])
    sheet.body = {"kind": "rectangle", "width": width[0], "height": height[0]}
    thick = sheet.thickness(4, 16)
    sheet.body["datum"] = datum
    room = cell / 2 - 1.5
    for n in range(columns * rows):
        x, y = (n % columns + 0.5) * width[1] / columns, (n // columns + 0.5) * height[1] / rows
        place = [f"{sheet.near(x)[0]} from left edge", f"{sheet.near(y)[0]} from bottom edge"]
        if columns == rows == 1 and sheet.chance(0.5):
            place = ["on the vertical centre line", "on the horizontal centre line"]
        face = sheet.draw.choice(["front", "front", "front", "back"])
        in_cell(sheet, f"in {n + 1}", place, face, (room, thick))
    if sheet.chance(0.25) and thick > 6:
        edge_hole(sheet, width[1], thick)


def in_cell(sheet, name, place, face, deep):
    room, thick = deep
    depth = sheet.near(thick * 0.4)[0] if sheet.chance(0.4) else None
    way = f"{sheet.draw.choice([0, 90])}°"
    narrow = max(2.0, thick / 3)  # as deep and narrow as end mills are sold
    what = sheet.draw.choice(["hole", "hole", "head", "sink", "pocket", "slot", "curved", "bore", "pin", "ring", "nothing"])
    if what == "hole":
        sheet.hole(name, place, room * 0.7, face=face, depth=depth)
    elif what in ("head", "sink"):
        words, across = sheet.near(room * 0.5)
        sheet.add("hole", name, diameter=words, face=face, place=place)
        if what == "head":
            sheet.add("counterbore", f"head {name}", diameter=sheet.near(across * 1.8)[0], depth=sheet.near(thick * 0.3)[0], over=name)
        else:
            sheet.add("countersink", f"head {name}", diameter=sheet.near(across * 1.7)[0], over=name)
    elif what == "pocket":
        wide, high = sheet.size(room, 1.5 * room), sheet.size(room, 1.5 * room)
        corner = sheet.size(max(1.6, thick / 5), max(0.35 * room, thick / 4))[0]
        sheet.add("pocket", name, width=wide[0], height=high[0], corner=corner, along=way, depth=depth, face=face, place=place)
    elif what == "slot":
        wide = sheet.size(narrow, max(narrow, 0.6 * room))
        way = f"{sheet.draw.choice([0, 90, 90, 30, 45, 120, 137])}°"
        sheet.add("slot", name, width=wide[0], centres=sheet.size(0.6 * room, 1.2 * room)[0], along=way, depth=depth, face=face, place=place)
    elif what == "curved":
        wide, start, reach = sheet.size(narrow, max(narrow, 0.25 * room)), sheet.draw.randint(0, 359), sheet.draw.randint(50, 200)
        ends = {"from": f"{start}°", "to": f"{start + reach}°"}
        sheet.add("curved slot", name, width=wide[0], radius=sheet.near(0.65 * room)[0], **ends, depth=depth, face=face, place=place)
    elif what == "bore":
        bore(sheet, name, place, room)
    elif what == "pin":
        sheet.add("taper pin hole", name, pin="No. 0" if sheet.inch else "4 mm", face=face, place=place)
    elif what == "ring":
        sheet.add("hole", name, diameter=sheet.near(room * 0.5)[0], finish="reamed", place=place)
        words, _ = sheet.near(room * 0.25)
        holes, first = sheet.draw.choice([3, 4, 5, 6, 7]), f"{sheet.draw.choice([0, 30, 45, 90])}°"
        ring = sheet.near(room * 1.35)[0]
        sheet.add("pitch circle", f"ring {name}", holes=holes, pitch_circle=ring, first=first, diameter=words, place=[f"concentric with {name}"])


def edge_hole(sheet, width, thick):
    face = sheet.draw.choice(["top", "bottom"])
    along = sheet.near(width * sheet.draw.uniform(0.3, 0.7))[0]
    words = sheet.near(min(thick * 0.3, 4))[0]
    sheet.add("hole", "edge hole", face=face, diameter=words, depth=sheet.near(1.4)[0], place=[f"{along} from left edge", "mid thickness"])


def ring(sheet):
    """A disc with a bore, holes round it and perhaps slots round an arc."""
    words, across = sheet.size(30, 80)
    sheet.body = {"kind": "disc", "diameter": words}
    sheet.thickness(3, 12)
    hole = sheet.near(across * sheet.draw.uniform(0.15, 0.3))
    sheet.add("hole", "bore", diameter=hole[0], finish=sheet.draw.choice(["reamed", "bored"]), place=["datum"])
    pitch = sheet.near((across + hole[1]) / 2)
    room = (across - hole[1]) / 4 - 1.5
    if sheet.chance(0.35):
        for n in range(sheet.draw.choice([1, 2, 3])):
            ends = {"from": f"{120 * n + 10}°", "to": f"{120 * n + sheet.draw.randint(40, 90)}°"}
            wide = sheet.size(2, room)[0]
            sheet.add("curved slot", f"way {n + 1}", width=wide, radius=sheet.near(pitch[1] / 2)[0], **ends, place=["concentric with bore"])
        return
    count = sheet.draw.choice([3, 4, 5, 6, 7, 8, 9, 11, 13])
    wide = min(room, math.pi * pitch[1] / count / 2)
    if wide > 1.6:
        sheet.add("pitch circle", "ring", holes=count, pitch_circle=pitch[0], first=f"{sheet.draw.randint(0, 90)}°", diameter=sheet.near(wide * 0.8)[0], place=["concentric with bore"])


def slotted(sheet):
    """A plate with slots out through its sides, and steps."""
    width, height = sheet.size(35, 70), sheet.size(25, 50)
    sheet.body = {"kind": "rectangle", "width": width[0], "height": height[0]}
    thick = sheet.thickness(6, 14)
    sheet.body["datum"] = sheet.draw.choice(["bottom left", "centre", "top right"])
    open_ = sheet.draw.choice(["left", "right"])
    deep = sheet.near(thick * 0.4)[0] if sheet.chance(0.6) else None
    far = sheet.near(width[1] * sheet.draw.uniform(0.3, 0.5))[0]
    level = sheet.near(height[1] / 2)[0]
    sheet.add("slot", "gap", width=sheet.size(4, 0.3 * height[1])[0], open=open_, depth=deep, place=[f"{far} from {open_} edge", f"{level} from bottom edge"])
    other = {"left": "right", "right": "left"}[open_]
    if sheet.chance(0.7):
        leaves, shoulder = sheet.near(thick * 0.6)[0], sheet.near(width[1] * 0.2)[0]
        sheet.add("step", "ledge", face=sheet.draw.choice(["front", "back"]), leaves=leaves, side=other, place=[f"{shoulder} from {other} edge"])
    for n, up in enumerate((0.2, 0.8)):
        place = [f"{sheet.near(width[1] * 0.4)[0]} from {other} edge", f"{sheet.near(height[1] * up)[0]} from bottom edge"]
        sheet.hole(f"hole {n + 1}", place, height[1] * 0.13)


KINDS = [lever, lever, outline, outline, outline, cam, link, plate, plate, ring, slotted]


def part(start):
    """The part of a start number: its name and its file."""
    sheet = Sheet(start)
    kind = KINDS[start % len(KINDS)]
    sheet.head = {"part": f"Invented {kind.__name__} {start}", "unit": "inch" if sheet.inch else "mm"}
    sheet.head["material"] = sheet.draw.choice(MATERIALS)
    if sheet.chance(0.3):
        sheet.head["hands"] = ["right", "left"]
    if sheet.chance(0.3):
        sheet.head["make"] = sheet.draw.choice([2, 3, 4])
    sheet.head["usual_roles"] = True
    kind(sheet)
    return f"{kind.__name__}-{start}", sheet.text()


def bench(start):
    """The bench of a start number."""
    draw = random.Random(-start - 1)
    lines = [f'name = "Invented bench {start}"']
    if draw.random() < 0.5:
        lines.append(f'edge_finder = "{draw.choice(["10 mm", "4 mm", "0.2 in", "6 mm"])}"')
    lines.append(f"drills = {draw.choice([['1 mm to 13 mm by 0.1 mm'], ['1 mm to 13 mm by 0.5 mm'], ['numbers 1 to 60', 'letters', '1/16 in to 1/2 in by 1/64 in']])}".replace("'", '"'))
    lines.append('reamers = ["3 mm H7", "4 mm H7", "5 mm H7", "6 mm H7", "8 mm H7", "10 mm H7", "12 mm H7"]')
    holding = ["three-jaw chuck", "four-jaw chuck", "centres", "faceplate", *draw.choice([[], ["dividing head"]])]
    lines.append(f"work_holding = {holding}".replace("'", '"'))
    lines += ["", "[mill]", "speeds = [100, 200, 400, 800, 1600, 2500]"]
    lines += draw.choice([
        ['readout_step = "0.005 mm"'], ['readout_step = "0.01 mm"'], ['readout_step = "0.0005 in"'],
        ['handwheel_pitch = "2.5 mm"', "handwheel_divisions = 125", 'backlash = "0.2 mm"'],
        ['handwheel_pitch = "3 mm"', "handwheel_divisions = 60"],
        ['handwheel_pitch = "0.1 in"', "handwheel_divisions = 100", 'backlash = "0.006 in"'],
    ])  # fmt: skip
    lines += ['travel_x = "320 mm"', 'travel_y = "145 mm"', 'travel_z = "230 mm"', 'column = "170 mm"']
    if draw.random() < 0.7:
        ratio, reads = draw.choice([36, 40, 60, 72, 90, 120]), draw.choice(["1'", "5'", '10\\"', "2'"])
        grows = draw.choice(["clockwise", "anticlockwise"])
        lines += ["", "[rotary_table]", f"ratio = {ratio}", f'reads = "{reads}"', f'scale_grows = "{grows}"', 'bore = "20 mm"']
    if draw.random() < 0.5:
        lines += ["", "[boring_head]", 'least = "10 mm"', 'most = "75 mm"']
    inch = draw.random() < 0.3
    sizes = [("3/32 in", "1/4 in"), ("1/8 in", "3/8 in"), ("3/16 in", "1/2 in"), ("1/4 in", "5/8 in"), ("3/8 in", "3/4 in"), ("1/2 in", "1 in")] if inch else [("2 mm", "6 mm"), ("3 mm", "8 mm"), ("4 mm", "11 mm"), ("6 mm", "13 mm"), ("8 mm", "19 mm"), ("10 mm", "22 mm"), ("12 mm", "26 mm"), ("16 mm", "32 mm")]  # fmt: skip
    for diameter, flute in sizes:
        if draw.random() < 0.75:
            lines += ["", "[[end_mill]]", f'diameter = "{diameter}"', f'flute = "{flute}"']
    if draw.random() < 0.7:
        lines += ["", "[[saw]]", 'diameter = "63 mm"', 'width = "0.8 mm"', 'collar = "25 mm"', "teeth = 64"]
    return "\n".join(lines) + "\n"
