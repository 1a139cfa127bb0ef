//! The equations of a mechanism, one row each, over any kind of number.

use crate::describe::{Drive, FRAME, Kind, Line, LinkId, Mechanism, PointId, Size};
use crate::num::Num;
use crate::sized::Sized;

/// Where a link stands: its origin, its angle, and the angle's cosine and sine.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pose<S> {
    /// The origin's x, millimetres.
    pub x: S,
    /// The origin's y, millimetres.
    pub y: S,
    /// The angle in radians, counted on through whole turns.
    pub t: S,
    /// The cosine of the angle.
    pub c: S,
    /// The sine of the angle.
    pub s: S,
}

impl<S: Num> Pose<S> {
    /// A pose of an origin and an angle.
    pub fn new(x: S, y: S, t: S) -> Self {
        let (s, c) = t.sin_cos();
        Self { x, y, t, c, s }
    }

    /// A direction of the link as it stands.
    #[inline]
    pub fn turned(&self, v: [S; 2]) -> [S; 2] {
        [self.c * v[0] - self.s * v[1], self.s * v[0] + self.c * v[1]]
    }

    /// A point of the link as it stands.
    #[inline]
    pub fn place(&self, v: [S; 2]) -> [S; 2] {
        let r = self.turned(v);
        [self.x + r[0], self.y + r[1]]
    }
}

/// A point of a link, numbered among all points.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Pt {
    pub link: usize,
    pub at: usize,
}

/// One equation.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Row {
    /// Two points meet along x (0) or y (1).
    Pin { a: Pt, b: Pt, axis: usize },
    /// A point on the line through `o` along `d`.
    Slot { p: Pt, o: Pt, d: usize },
    /// A point at the distance `r` from another; `k` makes the residual a length.
    Arc { p: Pt, c: Pt, r: usize, k: f64 },
    /// `a - c = ratio (b - c) + phase + drive φ` of angles.
    Turn { a: usize, b: usize, c: usize, ratio: usize, phase: usize, drive: f64 },
    /// A point at `zero + φ` along the line.
    Along { p: Pt, o: Pt, d: usize, zero: usize },
}

/// Every equation, and what it is measured by.
#[derive(Clone, Debug)]
pub(crate) struct Rows {
    pub rows: Vec<Row>,
    /// The joint each row belongs to; none for the drive.
    pub of_joint: Vec<Option<usize>>,
    first_point: Vec<usize>,
    pub points: usize,
    pub dirs: Vec<Line>,
    pub sizes: Vec<Size>,
    /// Sizes that must be above nought, with the joint's name.
    pub above_nought: Vec<(usize, String)>,
}

impl Rows {
    pub fn of(mechanism: &Mechanism) -> Self {
        let mut first_point = Vec::new();
        let mut points = 0;
        for link in &mechanism.links {
            first_point.push(points);
            points += link.points.len();
        }
        let mut all = Self {
            rows: Vec::new(),
            of_joint: Vec::new(),
            first_point,
            points,
            dirs: Vec::new(),
            sizes: Vec::new(),
            above_nought: Vec::new(),
        };
        for (j, joint) in mechanism.joints.iter().enumerate() {
            all.joint(&joint.kind, &joint.name, &mechanism.values());
            all.of_joint.resize(all.rows.len(), Some(j));
        }
        match &mechanism.drive {
            Some(Drive::Turn { link, on, zero, way }) => {
                let (ratio, phase) = (all.size(1.0.into()), all.size(zero.clone()));
                all.rows.push(Row::Turn { a: link.0, b: on.0, c: FRAME.0, ratio, phase, drive: way.sign() });
            }
            Some(Drive::Slide { point, line, zero }) => {
                let (p, o) = (all.pt(*point), all.pt(line.origin()));
                let (d, zero) = (all.dir(line.clone()), all.size(zero.clone()));
                all.rows.push(Row::Along { p, o, d, zero });
            }
            None => {}
        }
        all.of_joint.resize(all.rows.len(), None);
        all
    }

    fn joint(&mut self, kind: &Kind, name: &str, values: &[f64]) {
        match kind {
            Kind::Pin(a, b) => {
                let (a, b) = (self.pt(*a), self.pt(*b));
                self.rows.push(Row::Pin { a, b, axis: 0 });
                self.rows.push(Row::Pin { a, b, axis: 1 });
            }
            Kind::Slot(point, line) => {
                let (p, o, d) = (self.pt(*point), self.pt(line.origin()), self.dir(line.clone()));
                self.rows.push(Row::Slot { p, o, d });
            }
            Kind::Arc { point, centre, radius } => {
                let k = 0.5 / radius.value(values).abs().max(1e-6);
                let (p, c, r) = (self.pt(*point), self.pt(*centre), self.size(radius.clone()));
                self.above_nought.push((r, name.to_owned()));
                self.rows.push(Row::Arc { p, c, r, k });
            }
            Kind::Keep { link, on, angle } => {
                let (ratio, phase) = (self.size(1.0.into()), self.size(angle.clone()));
                self.turn(*link, *on, FRAME, ratio, phase);
            }
            Kind::Gear { link, by, carrier, ratio, phase } => {
                let (ratio, phase) = (self.size(ratio.clone()), self.size(phase.clone()));
                self.turn(*link, *by, *carrier, ratio, phase);
            }
        }
    }

    fn turn(&mut self, a: LinkId, b: LinkId, c: LinkId, ratio: usize, phase: usize) {
        self.rows.push(Row::Turn { a: a.0, b: b.0, c: c.0, ratio, phase, drive: 0.0 });
    }

    /// The number of a point among all points.
    pub fn at(&self, point: PointId) -> usize {
        self.first_point[point.link.0] + point.point
    }

    pub fn pt(&self, point: PointId) -> Pt {
        Pt { link: point.link.0, at: self.at(point) }
    }

    /// The point of a number among all points.
    pub fn point(&self, at: usize) -> PointId {
        let link = self.first_point.partition_point(|&first| first <= at) - 1;
        PointId { link: LinkId(link), point: at - self.first_point[link] }
    }

    /// A line whose direction is wanted besides those of the equations.
    pub fn dir(&mut self, line: Line) -> usize {
        self.dirs.push(line);
        self.dirs.len() - 1
    }

    fn size(&mut self, size: Size) -> usize {
        self.sizes.push(size);
        self.sizes.len() - 1
    }
}

impl Row {
    /// The links it speaks of, the frame left out.
    pub fn links(&self) -> Vec<usize> {
        let mut links = match *self {
            Self::Pin { a, b, .. } => vec![a.link, b.link],
            Self::Slot { p, o, .. } | Self::Along { p, o, .. } => vec![p.link, o.link],
            Self::Arc { p, c, .. } => vec![p.link, c.link],
            Self::Turn { a, b, c, .. } => vec![a, b, c],
        };
        links.retain(|&link| link != FRAME.0);
        links.sort_unstable();
        links.dedup();
        links
    }

    /// Whether it is an equation of angles.
    pub fn is_angle(&self) -> bool {
        matches!(self, Self::Turn { .. })
    }

    /// How its residual changes with the drive.
    pub fn by_drive(&self) -> f64 {
        match self {
            Self::Turn { drive, .. } => -drive,
            Self::Along { .. } => -1.0,
            _ => 0.0,
        }
    }

    /// How far it is from holding: millimetres, or radians for angles.
    pub fn residual<S: Num>(&self, by: &Sized<S>, poses: &[Pose<S>], phi: S) -> S {
        let place = |p: Pt| poses[p.link].place(by.points[p.at]);
        match *self {
            Self::Pin { a, b, axis } => place(a)[axis] - place(b)[axis],
            Self::Slot { p, o, d } => {
                let (p, o2, u) = (place(p), place(o), poses[o.link].turned(by.dirs[d]));
                u[0] * (p[1] - o2[1]) - u[1] * (p[0] - o2[0])
            }
            Self::Arc { p, c, r, k } => {
                let (p, c) = (place(p), place(c));
                let (x, y, r) = (p[0] - c[0], p[1] - c[1], by.sizes[r]);
                (x * x + y * y - r * r) * S::of(k)
            }
            Self::Turn { a, b, c, ratio, phase, drive } => {
                let (a, b, c) = (poses[a].t, poses[b].t, poses[c].t);
                a - c - by.sizes[ratio] * (b - c) - by.sizes[phase] - phi * S::of(drive)
            }
            Self::Along { p, o, d, zero } => {
                let (p, o2, u) = (place(p), place(o), poses[o.link].turned(by.dirs[d]));
                u[0] * (p[0] - o2[0]) + u[1] * (p[1] - o2[1]) - by.sizes[zero] - phi
            }
        }
    }

    /// Calls back with each link it speaks of and how the residual changes with the link's
    /// x, y and angle. A link may come more than once; the frame's are to be left out.
    #[inline]
    pub fn partials<S: Num>(&self, by: &Sized<S>, poses: &[Pose<S>], mut take: impl FnMut(usize, [S; 3])) {
        let (zero, one) = (S::of(0.0), S::of(1.0));
        let arm = |p: Pt| poses[p.link].turned(by.points[p.at]);
        let dot = |a: [S; 2], b: [S; 2]| a[0] * b[0] + a[1] * b[1];
        // Where a point goes when its link turns: square to its arm.
        let swing = |r: [S; 2]| [-r[1], r[0]];
        match *self {
            Self::Pin { a, b, axis } => {
                let (ra, rb) = (swing(arm(a)), swing(arm(b)));
                if axis == 0 {
                    take(a.link, [one, zero, ra[0]]);
                    take(b.link, [-one, zero, -rb[0]]);
                } else {
                    take(a.link, [zero, one, ra[1]]);
                    take(b.link, [zero, -one, -rb[1]]);
                }
            }
            Self::Slot { p, o, d } | Self::Along { p, o, d, .. } => {
                let u = poses[o.link].turned(by.dirs[d]);
                let n = if matches!(self, Self::Slot { .. }) { swing(u) } else { u };
                let (rp, ro) = (arm(p), arm(o));
                let (pp, oo) = (&poses[p.link], &poses[o.link]);
                let between = [pp.x + rp[0] - oo.x - ro[0], pp.y + rp[1] - oo.y - ro[1]];
                take(p.link, [n[0], n[1], dot(n, swing(rp))]);
                take(o.link, [-n[0], -n[1], dot(between, swing(n)) - dot(n, swing(ro))]);
            }
            Self::Arc { p, c, k, .. } => {
                let (rp, rc) = (arm(p), arm(c));
                let (pp, cc) = (&poses[p.link], &poses[c.link]);
                let twice = S::of(2.0 * k);
                let d = [(pp.x + rp[0] - cc.x - rc[0]) * twice, (pp.y + rp[1] - cc.y - rc[1]) * twice];
                take(p.link, [d[0], d[1], dot(d, swing(rp))]);
                take(c.link, [-d[0], -d[1], -dot(d, swing(rc))]);
            }
            Self::Turn { a, b, c, ratio, .. } => {
                let ratio = by.sizes[ratio];
                take(a, [zero, zero, one]);
                take(b, [zero, zero, -ratio]);
                take(c, [zero, zero, ratio - one]);
            }
        }
    }
}
