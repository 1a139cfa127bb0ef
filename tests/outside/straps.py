"""The straps of clamps as the picture of a setup draws them, laid against the road of every cutter there."""

import itertools
import math
import re

import shapely
from cuts import Cuts
from laying import done_to, pieces, points_of

# What a strap keeps clear of any cutter, less what places are told to.
CLEAR_MM = 0.9
# How wide they are: `clamp strap` of the table of limits.
WIDE_MM = 20


class Roads(Cuts):
    """Where cutters go in one setup of the mill, from its datum, told by what its rows set."""

    def into_outline(self, setup, row, road):
        x0, y0 = self.origin(setup)
        self.roads += [shapely.LineString([(x - x0, y - y0) for x, y in run]) for run in road]
        return iter(())

    def within(self, row, shape, places):
        self.roads += [shapely.LineString(run) for run in places]
        return iter(())

    def of(self, setup, row, sets):
        self.roads = []
        cut = {"side": self.sides, "stepped": self.stepped, "slot": self.slot, "curved": self.curved}.get(row["work"])
        if cut and row["radius"]:
            for _ in cut(setup, row, sets):
                pass
        elif row["work"] == "pocket":
            x, y = [[self.at(setup, axis, sets[label]) for label in (axis, f"{axis} least", f"{axis} greatest") if label in sets] for axis in "XY"]
            self.roads.append(shapely.MultiPoint(list(itertools.product(x, y))).convex_hull)
        elif row["work"] == "step":
            ends = {axis: [self.at(setup, axis, shown) for label, shown in sets.items() if re.match(f"{axis} (at the shoulder|from|to)$", label)] for axis in "XY"}
            self.roads.append(shapely.MultiPoint(list(itertools.product(ends["X"], ends["Y"]))).convex_hull)
        elif row["work"] == "other":
            self.roads += self.drilled(setup, sets)
        return self.roads

    def drilled(self, setup, sets):
        for label, shown in sets.items():
            if (found := re.match(r"X(, hole \d+)?$", label)) and f"Y{found[1] or ''}" in sets:
                yield shapely.Point(self.at(setup, "X", shown), self.at(setup, "Y", sets[f"Y{found[1] or ''}"]))


class Straps:
    """The clamps of one setup."""

    def __init__(self, told, setup, number):
        self.told, self.setup, self.number = told, setup, number
        self.noses = [
            (int(found[1]), shapely.Point(float(at[1]), float(at[2])))
            for label, shown in setup["presets"]
            if (found := re.match(r"clamp (\d+)$", label)) and (at := re.match(r"nose at X (-?[\d.]+) mm, Y (-?[\d.]+) mm", shown))
        ]

    def drawn(self):
        """The rectangles that are drawn, of four lines each, by the clamp whose nose lies in them."""
        lines = [tuple(segment.get("line", ())) for segment in self.setup["around"]]
        rings = [
            shapely.Polygon([line[:2] for line in four])
            for four in zip(lines, lines[1:], lines[2:], lines[3:])
            if all(four) and all(four[n][2:] == four[(n + 1) % 4][:2] for n in range(4))
        ]
        for number, nose in self.noses:
            own = [ring for ring in rings if ring.distance(nose) < 1 and ring.area < 20.5 * 60]
            own = min(own, key=lambda ring: ring.centroid.distance(nose), default=None)
            yield number, nose, own and self.rounded(own, nose)

    @staticmethod
    def rounded(strap, nose):
        """A strap as it is: rounded at its nose, where the picture draws it square."""
        corners = list(strap.exterior.coords)[:4]
        sides = [shapely.LineString([corners[n], corners[(n + 1) % 4]]) for n in range(4)]
        end = min((side for side in sides if abs(side.length - WIDE_MM) < 1e-3), key=lambda side: side.distance(nose))
        inner = end.centroid.distance(strap.centroid)
        at = lambda far: shapely.Point(*(e + (c - e) * far / inner for e, c in zip(end.centroid.coords[0], strap.centroid.coords[0])))
        middle = shapely.LineString([at(WIDE_MM / 2), at(2 * inner)])
        return middle.buffer(WIDE_MM / 2, quad_segs=64).intersection(strap)

    def metal(self):
        """What the picture shows there, less what is cut out within; nothing where it is no closed outline."""
        rings, points = [], []
        for segment in self.setup["metal"]:
            more = points_of(segment, 1e-3)
            points += more[:-1]
            if math.dist(points[0], more[-1]) < 1e-6:
                rings, points = [*rings, shapely.Polygon(points)], []
        if points or not rings:
            return None
        outside = max(rings, key=lambda ring: ring.area)
        return outside.difference(shapely.union_all([ring for ring in rings if ring is not outside]))

    def held(self):
        setup = self.setup
        if setup["machine"] != "Mill" or setup["swung"] or not self.noses:
            return
        straps = list(self.drawn())
        for number, _, strap in straps:
            yield "clamp", strap is not None, f"setup {self.number}", f"clamp {number} is not drawn where it is told"
        roads = Roads(self.told)
        lying = pieces(self.told, setup)
        for row in setup["rows"]:
            if row["work"] == "found again" or not (row["radius"] or row["work"] == "other"):
                continue
            off = " ".join(shown for label, shown in row["sets"] if label.endswith("clamps"))
            radius = row["radius"] or (re.search(r"(\d+(?:\.\d+)?) mm", row["tool"]) and float(re.search(r"(\d+(?:\.\d+)?) mm", row["tool"])[1]) / 2) or 0
            for own, sets in done_to(lying, row):
                zero = own["zero"]
                for road in roads.of(own, row, sets):
                    road = shapely.affinity.translate(road, *zero)
                    for number, nose, strap in straps:
                        if strap is None or re.search(rf"\b{number}\b", off):
                            continue
                        room = road.distance(strap) - radius
                        yield "clamp", room >= CLEAR_MM, f"setup {self.number}, {row['what']}", f"clamp {number} is {room:.2f} mm from the cutter"
        if len(lying) == 1 and (metal := self.metal()) is not None:
            for number, nose, strap in straps:
                yield "clamp on metal", metal.distance(nose) < 0.71, f"setup {self.number}", f"clamp {number} bears {metal.distance(nose):.2f} mm off the metal"
