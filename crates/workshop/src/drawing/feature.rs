//! What is cut: the kinds of feature and the faces they are cut from.

use super::{Axis, DimensionId, FeatureId, Statement, ThreadId};
use crate::measure::Angle;

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
