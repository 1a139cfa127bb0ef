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

mod features;
mod linear;
mod part;
mod place;
mod read;
mod shape;
mod solve;

pub use linear::Linear;
pub use part::{Image, Part, Sizes};
pub use place::{Axis, Reference, Says, Statement};
pub use read::read_drawing;
pub use shape::NamedWall;
pub use solve::{Check, Solved, solve};

use crate::measure::{Angle, Length, Unit, Written};
use crate::tables::general_tolerance::Class;
use crate::tables::threads::Thread;

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
#[derive(Clone, Debug)]
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
    /// How many of each hand.
    pub make: u32,
    /// The hands wanted; the first is the one drawn.
    pub hands: Vec<Hand>,
    /// Whether it holds steam, air or water under pressure.
    pub pressure: Pressure,
    /// The class of ISO 2768-1 that holds where a dimension gives no tolerance,
    /// where the file names one.
    pub general_tolerance: Option<Class>,
    /// The outside of the part.
    pub body: Body,
    /// What is cut, in the order of the file.
    pub features: Vec<Feature>,
    /// Every length on the sheet.
    pub dimensions: Vec<Dimension>,
    /// Every thread on the sheet.
    pub threads: Vec<ThreadCall>,
    /// What fits into or onto it.
    pub mates: Vec<Mate>,
    /// Sizes that stay equal.
    pub equal: Vec<Equal>,
    /// What the reader supposed because the file does not say.
    pub assumed: Vec<String>,
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
}

/// Whether a part holds pressure: if so its sizes are never changed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Pressure {
    /// No pressure inside.
    None,
    /// A boiler, cylinder, valve chest, or a screw, stay or cover of one.
    Holds,
}

/// The outside of the part before features are cut.
#[derive(Clone, Debug)]
pub enum Body {
    /// Round bosses, anticlockwise, joined by flanks tangent to both.
    Bosses {
        /// The bosses, as features.
        around: Vec<FeatureId>,
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

/// A face that a feature is cut from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Face {
    /// Towards the reader, z greatest.
    Front,
    /// Away from the reader, z = 0.
    Back,
    /// x least.
    Left,
    /// x greatest.
    Right,
    /// y greatest.
    Top,
    /// y least.
    Bottom,
}

impl Face {
    /// The word for it.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Front => "front",
            Self::Back => "back",
            Self::Left => "left",
            Self::Right => "right",
            Self::Top => "top",
            Self::Bottom => "bottom",
        }
    }

    /// The axis square to the face.
    pub const fn axis(self) -> Axis {
        match self {
            Self::Front | Self::Back => Axis::Z,
            Self::Left | Self::Right => Axis::X,
            Self::Top | Self::Bottom => Axis::Y,
        }
    }
}

/// Something that is cut, or a round end that is formed.
#[derive(Clone, Debug)]
pub struct Feature {
    /// What the file calls it.
    pub name: String,
    /// Line in the file.
    pub line: usize,
    /// The face it is cut from.
    pub face: Face,
    /// What it is.
    pub kind: Kind,
    /// Where it is, as the drawing says.
    pub placing: Vec<Statement>,
}

/// What a feature is.
#[derive(Clone, Debug)]
pub enum Kind {
    /// A rounded end or lug of the outline.
    Boss {
        /// Its radius.
        radius: DimensionId,
    },
    /// A plain round hole.
    Hole {
        /// Across.
        diameter: DimensionId,
        /// How its size is brought out.
        finish: Finish,
        /// How deep.
        depth: Depth,
        /// The screw that passes through it, if it is a clearance hole.
        clears: Option<ThreadId>,
    },
    /// A hole with a thread in it.
    Tapped {
        /// The thread.
        thread: ThreadId,
        /// How deep the thread is full.
        depth: Depth,
    },
    /// A screw across a slit: clearance up to the slit, tapped beyond it.
    ClampScrew {
        /// The thread beyond the slit.
        thread: ThreadId,
        /// The hole up to the slit.
        clearance: DimensionId,
        /// The slit it closes.
        across: FeatureId,
    },
    /// A saw cut from a bore to the outside.
    Slit {
        /// Its width.
        width: DimensionId,
        /// The bore it opens.
        into: FeatureId,
        /// The way it runs from the bore.
        toward: Face,
    },
    /// Metal taken off one face, up to a straight shoulder.
    Step {
        /// Thickness left.
        leaves: DimensionId,
        /// The side of the shoulder that is cut away.
        side: Face,
    },
    /// A slot with round ends.
    Slot {
        /// Across.
        width: DimensionId,
        /// Between the centres of its ends.
        centres: DimensionId,
        /// Direction of its length from the x axis.
        along: Angle,
        /// How deep.
        depth: Depth,
    },
    /// A flat-bottomed enlargement of a hole's mouth.
    Counterbore {
        /// Across.
        diameter: DimensionId,
        /// How deep.
        depth: DimensionId,
        /// The hole it stands over.
        over: FeatureId,
    },
    /// The centre of holes equally spaced on a circle; the holes are features.
    PitchCircle {
        /// Across the hole centres.
        diameter: DimensionId,
        /// The holes, anticlockwise from the first.
        holes: Vec<FeatureId>,
        /// Direction of the first hole from the x axis.
        first: Angle,
    },
    /// A length of a turned part at one diameter.
    Section {
        /// Its size, plain or threaded.
        size: SectionSize,
        /// Its length, where the drawing gives it.
        length: Option<DimensionId>,
    },
    /// A groove turned round a section.
    Groove {
        /// Diameter left at its bottom.
        diameter: DimensionId,
        /// Along the axis; the groove is placed by its left side.
        width: DimensionId,
    },
}

impl Kind {
    /// What a person calls it.
    pub const fn word(&self) -> &'static str {
        match self {
            Self::Boss { .. } => "boss",
            Self::Hole { .. } => "hole",
            Self::Tapped { .. } => "tapped hole",
            Self::ClampScrew { .. } => "clamp screw",
            Self::Slit { .. } => "slit",
            Self::Step { .. } => "step",
            Self::Slot { .. } => "slot",
            Self::Counterbore { .. } => "counterbore",
            Self::PitchCircle { .. } => "pitch circle",
            Self::Section { .. } => "section",
            Self::Groove { .. } => "groove",
        }
    }
}

/// The size of a turned section.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SectionSize {
    /// Plain, to a diameter.
    Plain(DimensionId),
    /// Threaded over its whole length.
    Threaded(ThreadId),
}

/// How the size of a hole is brought out.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Finish {
    /// By the drill alone.
    Drilled,
    /// By a reamer after the drill.
    Reamed,
    /// By a boring tool.
    Bored,
}

/// How deep something goes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Depth {
    /// Out of the other side.
    Through,
    /// To a stated depth from the face.
    To(DimensionId),
}

/// What a length on the sheet measures: it decides where its metric sizes come from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Measures {
    /// From one thing to another.
    Position,
    /// Radius of a boss or corner.
    Radius,
    /// Diameter of a hole.
    Hole(Finish),
    /// Thickness of the stock.
    Thickness,
    /// Thickness left by a step.
    Web,
    /// Outside width or height.
    Outside,
    /// Width of a slot.
    SlotWidth,
    /// Width of a saw cut.
    SawWidth,
    /// Depth of a blind hole or counterbore.
    Depth,
    /// Across a counterbore.
    Counterbore,
    /// Diameter of a turned section or groove bottom.
    Turned,
    /// Length along a turned part.
    Along,
    /// A shaft, pin or rod that belongs to a mate.
    Shaft,
}

/// What may become of a dimension.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Role {
    /// The mechanism depends on it: exact within its tolerance.
    Hold,
    /// It follows a mate, a tool or the stock.
    Suit,
    /// It may move.
    Free,
}

impl Role {
    /// The word for it.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Hold => "hold",
            Self::Suit => "suit",
            Self::Free => "free",
        }
    }
}

/// Whether something was said or supposed.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Given {
    /// The file says so.
    Said,
    /// The tool supposes it, and every sheet that shows it says so.
    #[default]
    Assumed,
}

/// One length on the sheet.
#[derive(Clone, Debug)]
pub struct Dimension {
    /// `rod boss: radius`, or `rod boss: right of pivot boss`.
    pub name: String,
    /// As written, and exactly.
    pub written: Written,
    /// Line in the file.
    pub line: usize,
    /// What it measures.
    pub measures: Measures,
    /// What may become of it, and whether that was said.
    pub role: (Role, Given),
    /// How far it may go from the drawing, where the file says.
    pub within: Option<Length>,
}

/// One thread on the sheet.
#[derive(Clone, Debug)]
pub struct ThreadCall {
    /// The feature it belongs to and what it is there: `clamp screw: thread`.
    pub name: String,
    /// As written.
    pub text: String,
    /// The published thread of that name.
    pub thread: &'static Thread,
    /// Line in the file.
    pub line: usize,
    /// What may become of it, and whether that was said.
    pub role: (Role, Given),
}

/// Sizes of the part that stay equal whatever becomes of them.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Equal {
    /// Two or more.
    pub dimensions: Vec<DimensionId>,
    /// Line in the file.
    pub line: usize,
}

/// A relation to another part: a shaft in one of this part's holes, or on it.
#[derive(Clone, Debug)]
pub struct Mate {
    /// What the other part is called.
    pub name: String,
    /// The hole or turned section it meets.
    pub with: FeatureId,
    /// Its size there.
    pub size: DimensionId,
    /// The fit: an ISO 286 pair such as `H7/g6`, or a plain word such as `running`.
    pub fit: String,
    /// What the shaft is made from, where it follows the rack.
    pub made_from: Option<String>,
    /// Whether the other part is already made or bought and cannot follow.
    pub fixed: bool,
    /// Line in the file.
    pub line: usize,
}
