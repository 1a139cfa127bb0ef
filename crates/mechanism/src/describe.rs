//! What a planar mechanism is made of: links with points, joined and driven.
//!
//! Link 0 is the frame. A link is a rigid body of any shape: its points are given in its own
//! coordinates, whose origin and direction are whatever the drawing makes easy. Every length,
//! angle and coordinate is a [`Size`], a sum of named parameters, so that each result can be
//! asked how it depends on each of them. Lengths are millimetres and angles radians.

use std::ops::{Add, Mul, Neg, Sub};

/// A length in millimetres, an angle in radians or a ratio, by name.
#[derive(Clone, Debug, PartialEq)]
pub struct Param {
    /// The name the caller knows it by.
    pub name: String,
    /// Its value as described: millimetres, radians, or a plain ratio.
    pub value: f64,
}

/// A parameter of a mechanism, by its number.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct ParamId(pub usize);

/// A sum of parameters with factors, and a plain number.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Size {
    /// Parameters with the factor each is taken at.
    pub terms: Vec<(ParamId, f64)>,
    /// What is added, in the same unit.
    pub plus: f64,
}

impl Size {
    /// Its value when the parameters have these values; not a number where one is missing.
    pub fn value(&self, params: &[f64]) -> f64 {
        let of = |p: ParamId| params.get(p.0).copied().unwrap_or(f64::NAN);
        self.terms.iter().fold(self.plus, |sum, &(p, by)| sum + by * of(p))
    }
}

impl From<f64> for Size {
    fn from(plus: f64) -> Self {
        Self { terms: Vec::new(), plus }
    }
}

impl From<ParamId> for Size {
    fn from(param: ParamId) -> Self {
        Self { terms: vec![(param, 1.0)], plus: 0.0 }
    }
}

impl Mul<f64> for Size {
    type Output = Self;
    fn mul(mut self, by: f64) -> Self {
        self.plus *= by;
        self.terms.iter_mut().for_each(|term| term.1 *= by);
        self
    }
}

impl Neg for Size {
    type Output = Self;
    fn neg(self) -> Self {
        self * -1.0
    }
}

impl<T: Into<Size>> Add<T> for Size {
    type Output = Self;
    fn add(mut self, other: T) -> Self {
        let other = other.into();
        self.plus += other.plus;
        self.terms.extend(other.terms);
        self
    }
}

impl<T: Into<Size>> Sub<T> for Size {
    type Output = Self;
    fn sub(self, other: T) -> Self {
        self + -other.into()
    }
}

/// A link of a mechanism, by its number.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct LinkId(pub usize);

/// The link that stands still.
pub const FRAME: LinkId = LinkId(0);

/// A point of a link.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct PointId {
    /// The link it belongs to.
    pub link: LinkId,
    /// Its number on that link.
    pub point: usize,
}

/// A hand: which side of a direction, or which way round.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Side {
    /// Left of the direction; against the clock.
    Left,
    /// Right of the direction; with the clock.
    Right,
}

impl Side {
    pub(crate) fn sign(self) -> f64 {
        match self {
            Self::Left => 1.0,
            Self::Right => -1.0,
        }
    }
}

/// Where a point of a link lies, in the link's own coordinates.
#[derive(Clone, Debug, PartialEq)]
pub enum At {
    /// So far along and across, from another point of the link or its origin.
    Square {
        /// The point it is measured from; the link's origin where there is none.
        from: Option<PointId>,
        /// Along the link's x, millimetres.
        x: Size,
        /// Along the link's y, millimetres.
        y: Size,
    },
    /// A length at an angle, from another point of the link or its origin.
    Polar {
        /// The point it is measured from; the link's origin where there is none.
        from: Option<PointId>,
        /// How far, millimetres.
        length: Size,
        /// In what direction, radians from the link's x against the clock.
        angle: Size,
    },
    /// At a distance from each of two other points of the link.
    Reach {
        /// The first point.
        a: PointId,
        /// The second point.
        b: PointId,
        /// The distance from the first, millimetres.
        from_a: Size,
        /// The distance from the second, millimetres.
        from_b: Size,
        /// The side of the direction from the first to the second.
        side: Side,
    },
}

impl At {
    /// Coordinates from the link's origin, millimetres.
    pub fn xy(x: impl Into<Size>, y: impl Into<Size>) -> Self {
        Self::Square { from: None, x: x.into(), y: y.into() }
    }

    /// A length in millimetres at an angle in radians, from the link's origin.
    pub fn polar(length: impl Into<Size>, angle: impl Into<Size>) -> Self {
        Self::Polar { from: None, length: length.into(), angle: angle.into() }
    }
}

/// A straight line drawn on a link, with a direction.
#[derive(Clone, Debug, PartialEq)]
pub enum Line {
    /// Through a point, at an angle in radians from the x of that point's link.
    At(PointId, Size),
    /// From one point to another of the same link.
    Between(PointId, PointId),
}

impl Line {
    /// The point from which distance along it is counted.
    pub fn origin(&self) -> PointId {
        match self {
            Self::At(point, _) | Self::Between(point, _) => *point,
        }
    }
}

/// How two links meet.
#[derive(Clone, Debug, PartialEq)]
pub enum Kind {
    /// Two points held together, free to turn: a pin, a crankpin, an eccentric in its strap.
    Pin(PointId, PointId),
    /// A point kept on a straight line: a crosshead, a pin in a straight slot.
    Slot(PointId, Line),
    /// A point kept at a distance from another: a die block in a curved slot.
    Arc {
        /// The point that is kept.
        point: PointId,
        /// The centre of the slot's centre line.
        centre: PointId,
        /// The radius of the slot's centre line, millimetres.
        radius: Size,
    },
    /// Two links keep an angle: a slider that cannot turn, two parts pinned together.
    Keep {
        /// The link whose angle is kept.
        link: LinkId,
        /// The link it is kept against.
        on: LinkId,
        /// The angle of the first from the second, radians.
        angle: Size,
    },
    /// Seen from a carrier, one link turns so many times as often as another.
    Gear {
        /// The driven wheel.
        link: LinkId,
        /// The driving wheel.
        by: LinkId,
        /// The link that carries both axles; the frame where they do not move.
        carrier: LinkId,
        /// Turns of the driven wheel for one of the driving: below nought for two outside
        /// wheels, above nought for a wheel inside a ring.
        ratio: Size,
        /// The driven wheel's angle when the driving wheel's is nought, radians.
        phase: Size,
    },
}

/// A joint with the name it goes by.
#[derive(Clone, Debug, PartialEq)]
pub struct Joint {
    /// What the caller calls it.
    pub name: String,
    /// How it holds.
    pub kind: Kind,
}

/// A joint of a mechanism, by its number.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct JointId(pub usize);

/// What moves the mechanism: one number, called its angle even where it is a length.
#[derive(Clone, Debug, PartialEq)]
pub enum Drive {
    /// A link turned against another: a crank.
    Turn {
        /// The link that is turned.
        link: LinkId,
        /// The link it is turned against.
        on: LinkId,
        /// Its angle when the drive stands at nought, radians.
        zero: Size,
        /// Which way it turns as the drive grows.
        way: Side,
    },
    /// A point pushed along a line.
    Slide {
        /// The point that is pushed.
        point: PointId,
        /// The line it is pushed along.
        line: Line,
        /// Its distance along the line when the drive stands at nought, millimetres.
        zero: Size,
    },
}

/// A point with the name it goes by.
#[derive(Clone, Debug, PartialEq)]
pub struct Point {
    /// What the caller calls it.
    pub name: String,
    /// Where it lies on its link.
    pub at: At,
}

/// A rigid body with points.
#[derive(Clone, Debug, PartialEq)]
pub struct Link {
    /// What the caller calls it.
    pub name: String,
    /// Its points.
    pub points: Vec<Point>,
}

/// A planar mechanism: parameters, links, joints and what drives it.
#[derive(Clone, Debug, PartialEq)]
pub struct Mechanism {
    /// Every length, angle and ratio by name.
    pub params: Vec<Param>,
    /// The links; the first is the frame.
    pub links: Vec<Link>,
    /// How they meet.
    pub joints: Vec<Joint>,
    /// What moves it.
    pub drive: Option<Drive>,
}

impl Default for Mechanism {
    fn default() -> Self {
        Self::new()
    }
}

impl Mechanism {
    /// A mechanism of a frame alone.
    pub fn new() -> Self {
        let frame = Link { name: "frame".into(), points: Vec::new() };
        Self { params: Vec::new(), links: vec![frame], joints: Vec::new(), drive: None }
    }

    /// A parameter: millimetres, radians, or a ratio.
    pub fn param(&mut self, name: impl Into<String>, value: f64) -> ParamId {
        self.params.push(Param { name: name.into(), value });
        ParamId(self.params.len() - 1)
    }

    /// A link without points as yet.
    pub fn link(&mut self, name: impl Into<String>) -> LinkId {
        self.links.push(Link { name: name.into(), points: Vec::new() });
        LinkId(self.links.len() - 1)
    }

    /// A point of a link.
    ///
    /// # Panics
    ///
    /// Where the link is not one of this mechanism.
    pub fn point(&mut self, link: LinkId, name: impl Into<String>, at: At) -> PointId {
        let points = &mut self.links[link.0].points;
        points.push(Point { name: name.into(), at });
        PointId { link, point: points.len() - 1 }
    }

    /// A joint of any kind.
    pub fn joint(&mut self, name: impl Into<String>, kind: Kind) -> JointId {
        self.joints.push(Joint { name: name.into(), kind });
        JointId(self.joints.len() - 1)
    }

    /// Two points held together.
    pub fn pin(&mut self, name: impl Into<String>, a: PointId, b: PointId) -> JointId {
        self.joint(name, Kind::Pin(a, b))
    }

    /// A point kept on a line.
    pub fn slot(&mut self, name: impl Into<String>, point: PointId, line: Line) -> JointId {
        self.joint(name, Kind::Slot(point, line))
    }

    /// A crank turned against the clock on the frame; nought is along the frame's x.
    pub fn crank(&mut self, link: LinkId) {
        self.drive = Some(Drive::Turn { link, on: FRAME, zero: 0.0.into(), way: Side::Left });
    }

    /// The values of the parameters as described.
    pub fn values(&self) -> Vec<f64> {
        self.params.iter().map(|param| param.value).collect()
    }

    /// The parameter of that name.
    pub fn find_param(&self, name: &str) -> Option<ParamId> {
        self.params.iter().position(|param| param.name == name).map(ParamId)
    }

    /// The link of that name.
    pub fn find_link(&self, name: &str) -> Option<LinkId> {
        self.links.iter().position(|link| link.name == name).map(LinkId)
    }

    /// The point of that name on a link.
    pub fn find_point(&self, link: LinkId, name: &str) -> Option<PointId> {
        let points = &self.links.get(link.0)?.points;
        points.iter().position(|point| point.name == name).map(|point| PointId { link, point })
    }

    /// The name of a point with its link's.
    pub fn point_name(&self, point: PointId) -> String {
        let link = &self.links[point.link.0];
        format!("{} of {}", link.points[point.point].name, link.name)
    }
}
