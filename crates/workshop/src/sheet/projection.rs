//! A part in its views after ISO 128, in the third angle: each view stands on
//! the side of the front view from which the part is looked at.

use crate::drawing::Keeps;
use crate::geometry::{Bounds, Point, Segment};

/// The views of one part, true to each other and each in millimetres of metal.
///
/// Across the front view and the views above and below it lies the same x; up the
/// front view and the views beside it lies the same y.
#[derive(Clone, Debug, PartialEq)]
pub struct Projections {
    /// What the part is called.
    pub part: String,
    /// The front view first.
    pub views: Vec<Projection>,
}

/// Where the reader stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Looking {
    /// From the front: x to the right, y up.
    Front,
    /// From above: x to the right, the front face at the foot.
    Above,
    /// From below: x to the right, the front face at the head.
    Below,
    /// From the right: the front face at the left, y up.
    Right,
    /// From the left: the front face at the right, y up.
    Left,
}

impl Looking {
    /// `from the front`, `from above`.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Front => "from the front",
            Self::Above => "from above",
            Self::Below => "from below",
            Self::Right => "from the right",
            Self::Left => "from the left",
        }
    }
}

/// One view of a part.
#[derive(Clone, Debug, PartialEq)]
pub struct Projection {
    /// From where.
    pub looking: Looking,
    /// What is drawn.
    pub lines: Vec<ViewLine>,
    /// What is said of it: each thing once, in the view that shows it best.
    pub says: Vec<Saying>,
    /// Where each feature that is drawn in this view can be pointed at.
    pub anchors: Vec<(String, Point)>,
    /// Numbered places: what is wrong there is said beside the picture.
    pub marks: Vec<Marked>,
    /// The paper sheet that lies beneath, where there is one.
    pub beneath: Option<Beneath>,
}

/// An image beneath a view, upright and to scale.
#[derive(Clone, Debug, PartialEq)]
pub struct Beneath {
    /// Where it is fetched from.
    pub address: String,
    /// Its bottom left corner on the part.
    pub least: Point,
    /// Its top right corner on the part.
    pub most: Point,
}

/// A number at a feature.
#[derive(Clone, Debug, PartialEq)]
pub struct Marked {
    /// The number.
    pub number: usize,
    /// The feature.
    pub of: String,
    /// Where.
    pub at: Point,
}

/// A line of a view.
#[derive(Clone, Debug, PartialEq)]
pub struct ViewLine {
    /// The feature it belongs to; none for the body.
    pub of: Option<String>,
    /// What it shows.
    pub stroke: Stroke,
    /// Where it runs.
    pub segment: Segment,
}

/// What a line of a view shows: the kinds of line of ISO 128-2.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Stroke {
    /// A visible edge: continuous, wide.
    Visible,
    /// A hidden edge: dashed, narrow.
    Hidden,
    /// A centre line or pitch circle: long dash and dot, narrow.
    Centre,
    /// The root of a visible thread, the crossed lines of a flat, a knurl:
    /// continuous, narrow.
    Thin,
    /// An edge as it was before a change: continuous, grey.
    Before,
}

/// Something said of a view: a dimension or a note.
#[derive(Clone, Debug, PartialEq)]
pub struct Saying {
    /// The feature it is about; none for the body.
    pub of: Option<String>,
    /// The dimension or thread it shows, by name.
    pub figure: Option<String>,
    /// What stands on it: `1 3/32 [27.781]`, `4 × ⌀3.3 through`.
    pub text: String,
    /// How it is drawn.
    pub shape: Said,
}

/// How something that is said is drawn.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Said {
    /// A distance across the view.
    Across {
        /// From here.
        from: Point,
        /// To here.
        to: Point,
    },
    /// A distance up the view.
    Up {
        /// From here.
        from: Point,
        /// To here.
        to: Point,
    },
    /// A straight distance between two places.
    Along {
        /// From here.
        from: Point,
        /// To here.
        to: Point,
    },
    /// A radius, from the centre to the arc.
    Radius {
        /// The centre.
        centre: Point,
        /// The middle of the arc.
        rim: Point,
        /// How far the arc runs either way from there.
        half_rad: f64,
    },
    /// An angle, anticlockwise from one direction to another.
    Angle {
        /// Where the two meet.
        apex: Point,
        /// The first direction, anticlockwise from the right.
        from_rad: f64,
        /// The second.
        to_rad: f64,
    },
    /// Words with a leader in line with the middle of something round.
    Rim {
        /// The middle.
        centre: Point,
        /// From the middle to the edge, in millimetres.
        radius_mm: f64,
    },
    /// Words with a leader.
    Note {
        /// Where it points.
        at: Point,
    },
    /// What a face or axis keeps, in a frame on a leader: the words are the width of its zone.
    Held {
        /// Where it points, or the middle of something round.
        at: Point,
        /// From that middle to the edge; nought for a place.
        rim_mm: f64,
        /// What it keeps.
        keeps: Keeps,
        /// The letter of its datum.
        to: Option<char>,
    },
    /// A datum, by its letter.
    Datum {
        /// Where its triangle stands.
        at: Point,
        /// Which way is out of the metal, anticlockwise from the right.
        out_rad: f64,
    },
}

impl Projection {
    /// The smallest upright rectangle round what is drawn, centre lines left out.
    pub fn bounds(&self) -> Option<Bounds> {
        self.lines
            .iter()
            .filter(|line| line.stroke != Stroke::Centre)
            .map(|line| line.segment.bounds())
            .reduce(|a, b| a.including(b.least).including(b.most))
    }
}
