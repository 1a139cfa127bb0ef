"""A mechanism built by a kinematics package, for the checks beside this file.

`pylinkage` builds a mechanism of a crank, of pairs of rods pinned together (its circle and
circle) and of rods to a straight line (its circle and line), point after point. Those of the
hundred mechanisms that consist of nothing else are built so and every point of every link is
held against ours; gears, slots in moving links and links that hang together in more than
pairs it does not have. It takes the solution nearest to a place, which is ours pushed off by
half a millimetre.
"""

import numpy as np
from pylinkage import Crank, Ground, RRPDyad, RRRDyad


def size(said, params):
    return said["plus"] + sum(by * params[p] for p, by in said["terms"])


class Built:
    """One position of a mechanism, built point after point by the package."""

    def __init__(self, told, position, noise):
        params = told["params"]
        self.told, self.params, self.noise = told, params, noise
        self.points = [[complex(size(x, params), size(y, params)) for x, y in link] for link in told["links"]]
        ours = position["poses"]
        self.ours = [complex(x, y) for x, y, _ in ours], [np.exp(1j * t) for _, _, t in ours]
        self.poses = {0: (0j, 1 + 0j)}
        self.pins = [joint["pin"] for joint in told["joints"] if "pin" in joint]
        self.slots = [joint for joint in told["joints"] if "slot" in joint]
        crank, pin = told["drive"]["link"], None
        for a, b in self.pins:
            for own, other in ((a, b), (b, a)):
                if own[0] == crank and other[0] == 0:
                    pin, at = own, other
        arm = next(p for p in range(len(self.points[crank])) if p != pin[1])
        local = self.points[crank][arm] - self.points[crank][pin[1]]
        angle = position["angle"] + size(told["drive"]["zero"], params)
        axle = self.place(at)
        tip = Crank(Ground(axle.real, axle.imag), abs(local), initial_angle=angle + np.angle(local))
        self.put(crank, pin[1], axle, arm, complex(tip.x, tip.y))

    def whole(self):
        """Whether everything could be built."""
        while len(self.poses) < len(self.points):
            if not (self.pair() or self.guided()):
                return False
        return True

    def place(self, point):
        z, e = self.poses[point[0]]
        return z + e * self.points[point[0]][point[1]]

    def hint(self, point):
        z, e = self.ours[0][point[0]], self.ours[1][point[0]]
        push = 0.5 * self.noise.uniform(-1, 1, 2)
        return z + e * self.points[point[0]][point[1]] + complex(*push)

    def put(self, link, p, at, q, to):
        """Puts a link by two of its points."""
        p, q = self.points[link][p], self.points[link][q]
        e = (to - at) / (q - p)
        self.poses[link] = at - e * p, e

    def to_known(self, link):
        """The pin between a link and one that stands."""
        for a, b in self.pins:
            for own, other in ((a, b), (b, a)):
                if own[0] == link and other[0] in self.poses:
                    yield own, self.place(other)

    def pair(self):
        for a, b in self.pins:
            if a[0] in self.poses or b[0] in self.poses:
                continue
            ends = [next(self.to_known(point[0]), None) for point in (a, b)]
            if None in ends:
                continue
            (first, one), (second, two) = ends
            far = [abs(self.points[p[0]][p[1]] - self.points[q[0]][q[1]]) for p, q in ((a, first), (b, second))]
            at = self.hint(a)
            dyad = RRRDyad(Ground(one.real, one.imag), Ground(two.real, two.imag), *far, x=at.real, y=at.imag)
            dyad.reload(0)
            found = complex(dyad.x, dyad.y)
            self.put(a[0], first[1], one, a[1], found)
            self.put(b[0], second[1], two, b[1], found)
            return True
        return False

    def guided(self):
        for slot in self.slots:
            point, origin = slot["slot"]
            if point[0] in self.poses or origin[0] != 0:
                continue
            end = next(self.to_known(point[0]), None)
            if end is None:
                continue
            own, one = end
            o = self.place(origin)
            along = o + 100 * np.exp(1j * size(slot["angle"], self.params))
            far = abs(self.points[point[0]][point[1]] - self.points[own[0]][own[1]])
            at = self.hint(point)
            dyad = RRPDyad(
                Ground(one.real, one.imag), Ground(o.real, o.imag), Ground(along.real, along.imag), far,
                x=at.real, y=at.imag,
            )
            dyad.reload(0)
            self.put(point[0], own[1], one, point[1], complex(dyad.x, dyad.y))
            return True
        return False
