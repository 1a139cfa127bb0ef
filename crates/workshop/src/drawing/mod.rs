//! The part as published: every dimension as written, in the chains it was given.
//!
//! A part file goes in through [`read_drawing`]; a [`Drawing`] comes out, and
//! [`solve`] turns its placing statements into coordinates that are *linear in
//! the dimensions*, so that the metric part is the same drawing with other
//! numbers ([`Sizes`]). Nothing here chooses a size. What the drawing leaves
//! out, says twice or makes impossible is reported, never mended silently.
//!
//! # Axes
//!
//! As drawn: x to the right, y up the sheet, z out of the sheet towards the
//! reader, the back face at z = 0. A turned part lies with its axis along x and
//! its left end at x = 0.

mod across;
mod again;
mod agree;
mod as_turned;
mod asked;
mod blocks;
mod bodies;
mod branches;
mod chain;
mod circuit;
mod cross;
mod culprit;
mod curved;
mod curved_slot;
mod curving;
mod dimension;
mod feature;
mod features;
mod features_turned;
mod floors;
mod forms;
mod geometrical;
mod hands;
mod hollow;
mod impossible;
mod joint;
mod keyway;
mod least_wall;
mod left;
mod linear;
mod missing;
mod newton;
mod one_holding;
mod open;
mod outline;
mod part;
mod parted;
mod patterns;
mod phrase;
mod place;
mod placing;
mod plates;
mod read;
mod read_mates;
mod reader;
mod reckoned;
mod round;
mod rows;
mod said;
mod scan;
mod settled;
mod shape;
mod sides;
mod slip;
pub mod solid;
mod solve;
mod stand_in;
mod stating;
mod stock;
mod system;
mod tangent;
mod turned;
mod turned_ends;
mod turned_faults;
mod wrong;

pub use across::{across, across_one};
pub use as_turned::AsTurned;
pub use asked::{Asked, Stated};
pub use chain::{Chain, Link, LinkTo, Size};
pub use dimension::{Dimension, Equal, Given, Mate, Measures, Partner, Role, Screwed, ThreadCall};
pub use feature::{Depth, Face, Feature, Finish, Kind, Pattern, SectionEnd, SectionSize, Sweep, Throw};
pub use floors::StepCut;
pub use geometrical::{Element, Geometrical, Keeps, Lies};
pub use hands::{Flip, Hands, hands};
pub use joint::{Joint, Laid};
pub use least_wall::{LeastWall, WallEnd};
pub use left::{Left, Share};
pub use linear::Linear;
pub use part::{Image, Part, Sizes};
pub use parted::Parted;
pub use place::{Axis, Course, Reference, Round, Says, Side, Statement, Target, Through, Touch};
pub use read::{read_as_far, read_drawing};
pub use scan::{Known, PaperSheet, Pixel, Spot, Way};
pub use shape::NamedWall;
pub use slip::misreadings;
pub use solve::{Check, Solved, solve, solve_as_far};
pub use stock::{Form, GivenStock};
pub use turned::across_corners;
pub use turned_ends::EndStart;

use crate::measure::{Length, Unit};
use crate::tables::general_tolerance::Class;
use crate::tables::hardening::Temper;

/// Which dimension of a drawing: an index into [`Drawing::dimensions`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct DimensionId(pub usize);

/// Which thread of a drawing: an index into [`Drawing::threads`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct ThreadId(pub usize);

/// Which feature of a drawing: an index into [`Drawing::features`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct FeatureId(pub usize);

/// One part as its published drawing gives it.
#[derive(Clone, Debug, PartialEq)]
pub struct Drawing {
    /// Name of the file it was read from, for problems.
    pub file: String,
    /// What the part is called.
    pub name: String,
    /// The published sheet it comes from.
    pub sheet: Option<String>,
    /// Unit of bare numbers on the sheet.
    pub unit: Option<Unit>,
    /// Material as the drawing names it.
    pub material: Option<String>,
    /// What it is hardened and let down to, where the file says.
    pub harden: Option<&'static Temper>,
    /// What is left on the diameter of turned work that is lapped once it is hard, where the file says.
    pub lapping: Option<Length>,
    /// Whether it is turned in one holding, where the file says.
    pub turned: Turning,
    /// How many of each hand.
    pub make: u32,
    /// The hands wanted; the first is the one drawn.
    pub hands: Vec<Hand>,
    /// Whether it holds steam, air or water under pressure.
    pub pressure: Pressure,
    /// Whether it is made here or bought in.
    pub source: Source,
    /// The class of ISO 2768-1 that holds where a dimension gives no tolerance,
    /// where the file names one.
    pub general_tolerance: Option<Class>,
    /// The outside of the part.
    pub body: Body,
    /// What it is made from, where the file says.
    pub stock: Option<GivenStock>,
    /// What is cut, in the order of the file.
    pub features: Vec<Feature>,
    /// Every length on the sheet.
    pub dimensions: Vec<Dimension>,
    /// Every thread on the sheet.
    pub threads: Vec<ThreadCall>,
    /// What fits into or onto it.
    pub mates: Vec<Mate>,
    /// What its threads screw into or on to.
    pub screwed: Vec<Screwed>,
    /// Sizes that stay equal.
    pub equal: Vec<Equal>,
    /// Sizes that add up, in this part or across several.
    pub chains: Vec<Chain>,
    /// Walls whose least the file says.
    pub walls: Vec<LeastWall>,
    /// What is flat, square, parallel or runs true.
    pub geometrical: Vec<Geometrical>,
    /// The cap that is sawn off it and bored with it, where it has one.
    pub parted: Option<Parted>,
    /// The size whose pin stands in no file: it is only tried, to see what would follow.
    pub tried: Option<Size>,
    /// What is said of the order of work.
    pub asked: Asked,
    /// The person's own paper sheet, laid beneath the picture.
    pub scan: Option<PaperSheet>,
    /// What is left until the part is with others; nothing where the part is read alone.
    pub left: Vec<Left>,
    /// Holes that are made while it lies with other parts; nothing where it is read alone.
    pub together: Vec<Joint>,
    /// What the reader supposed because the file does not say.
    pub assumed: Vec<String>,
}

/// How a turned part wants to be held while it is turned.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Turning {
    /// As the order of work finds best.
    #[default]
    Anyhow,
    /// All its outside in one holding from the right end, so that it all runs true together.
    OneHolding,
    /// In the holding it is used in, from the right end: it is never taken out of it.
    WhereItStays,
}

/// One of a pair of mirror images.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Hand {
    /// The hand called right.
    Right,
    /// The hand called left.
    Left,
    /// There is only one.
    Neither,
}

impl Hand {
    /// `right hand`, `left hand`, or nothing where there is only one.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Right => "right hand",
            Self::Left => "left hand",
            Self::Neither => "",
        }
    }

    /// Whether what is done to one of these is done to the other: to the same hand, or to both.
    pub fn meets(self, other: Self) -> bool {
        self == other || self == Self::Neither || other == Self::Neither
    }
}

/// Whether a part holds pressure: if so its sizes are never changed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Pressure {
    /// No pressure inside.
    None,
    /// A boiler, cylinder, valve chest, or a screw, stay or cover of one.
    Holds,
}

/// Where a part comes from: one that is bought in is fixed in everything.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Source {
    /// Made on this bench.
    Made,
    /// Bought in: nothing of it changes and nothing of it is cut.
    Bought,
}

/// The outside of the part before features are cut.
#[derive(Clone, Debug, PartialEq)]
pub enum Body {
    /// Round bosses, anticlockwise, joined by flanks tangent to both.
    Bosses {
        /// The bosses, as features.
        around: Vec<FeatureId>,
        /// Greatest thickness.
        thickness: DimensionId,
    },
    /// Corners, rounded ends and arcs, anticlockwise.
    Outline {
        /// What the outline goes round, anticlockwise.
        around: Vec<Around>,
        /// Greatest thickness.
        thickness: DimensionId,
    },
    /// A plate or block with square corners.
    Rectangle {
        /// Left to right.
        width: DimensionId,
        /// Bottom to top.
        height: DimensionId,
        /// Back to front.
        thickness: DimensionId,
        /// Which point of the rectangle is the datum.
        datum: Corner,
    },
    /// A round plate with the datum at its centre.
    Disc {
        /// Across.
        diameter: DimensionId,
        /// Back to front.
        thickness: DimensionId,
    },
    /// Turned from bar; its sections are features in order from the left end.
    Turned {
        /// The sections, left to right.
        sections: Vec<FeatureId>,
        /// Over all, where the drawing gives it.
        length: Option<DimensionId>,
    },
}

/// One thing that an outline goes round.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Around {
    /// A corner, or a boss whose end it follows.
    At(FeatureId),
    /// An arc between the two neighbouring corners.
    Arc {
        /// Its radius.
        radius: DimensionId,
        /// To which side it curves.
        bulge: Bulge,
        /// Which of the two arcs of that radius.
        share: ArcShare,
    },
}

/// To which side of the line between its ends an arc of the outline curves.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Bulge {
    /// Out of the metal.
    Out,
    /// Into the metal.
    In,
}

/// Which of the two arcs through two points.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ArcShare {
    /// At most half a circle.
    Lesser,
    /// At least half a circle.
    Greater,
}

/// Where on a rectangle its datum is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Corner {
    /// Left and bottom edges.
    BottomLeft,
    /// Right and bottom edges.
    BottomRight,
    /// Left and top edges.
    TopLeft,
    /// Right and top edges.
    TopRight,
    /// Both centre lines.
    Centre,
}
