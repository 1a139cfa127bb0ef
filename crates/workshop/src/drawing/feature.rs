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

    /// The face on the other side.
    pub const fn opposite(self) -> Self {
        match self {
            Self::Front => Self::Back,
            Self::Back => Self::Front,
            Self::Left => Self::Right,
            Self::Right => Self::Left,
            Self::Top => Self::Bottom,
            Self::Bottom => Self::Top,
        }
    }
}

/// Something that is cut, or a round end that is formed.
#[derive(Clone, Debug, PartialEq)]
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
#[derive(Clone, Debug, PartialEq)]
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
        /// What is left, measured from the face opposite.
        leaves: DimensionId,
        /// The side of the shoulder that is cut away.
        side: Face,
    },
    /// A slot with round ends.
    Slot {
        /// Across.
        width: DimensionId,
        /// Between the centres of its ends; an open one runs to the outside without.
        centres: Option<DimensionId>,
        /// Direction of its length from the x axis.
        along: Angle,
        /// How deep.
        depth: Depth,
        /// The sides that it runs out through: none, one, or two opposite ones.
        open: Vec<Face>,
    },
    /// A slot round an arc, with round ends; placed by the centre of its arc.
    CurvedSlot {
        /// Across.
        width: DimensionId,
        /// Of the arc along its middle.
        radius: DimensionId,
        /// Where it begins and ends.
        reach: Sweep,
        /// How deep.
        depth: Depth,
    },
    /// A groove right along the wall of a bore, for the key of its shaft.
    Keyway {
        /// Across.
        width: DimensionId,
        /// Below the wall of the bore, at its middle.
        depth: DimensionId,
        /// The bore.
        into: FeatureId,
        /// From the middle of the bore towards it.
        toward: Angle,
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
    /// A corner of the outline, sharp or rounded.
    Corner {
        /// Radius of its rounding, convex or concave as it falls; none where it is sharp.
        radius: Option<DimensionId>,
    },
    /// A hole reamed for a taper pin, its large end at the face.
    TaperPin {
        /// The diameter that names the pin: inch pins by the large end, metric by the small.
        pin: DimensionId,
        /// How deep.
        depth: Depth,
    },
    /// A conical mouth of a hole.
    Countersink {
        /// Across at the face.
        diameter: DimensionId,
        /// Of the whole cone.
        angle: Angle,
        /// The hole it stands over.
        over: FeatureId,
    },
    /// A recess with straight sides and rounded corners, placed by its middle.
    Pocket {
        /// Along its own direction.
        width: DimensionId,
        /// Square to its own direction.
        height: DimensionId,
        /// Radius of its corners.
        corner: DimensionId,
        /// How deep.
        depth: Depth,
        /// Direction of its width from the first axis of its face.
        along: Angle,
    },
    /// A square hole, placed by its middle.
    Square {
        /// From side to side.
        across: DimensionId,
        /// How deep.
        depth: Depth,
        /// Direction of a pair of its sides from the first axis of its face.
        along: Angle,
    },
    /// A round hole with one flat.
    Flatted {
        /// Across the round.
        diameter: DimensionId,
        /// From the flat to the far side of the round.
        across: DimensionId,
        /// How deep.
        depth: Depth,
        /// From the middle towards the flat.
        toward: Angle,
    },
    /// Holes equally spaced along a line, placed by the first; the holes are features.
    Row {
        /// From hole to hole.
        spacing: DimensionId,
        /// The holes, from the first.
        holes: Vec<FeatureId>,
        /// Direction of the line from the first axis of its face.
        along: Angle,
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
        /// Its own axis beside that of the part, where it is turned eccentric.
        throw: Option<Throw>,
    },
    /// A groove turned round a section.
    Groove {
        /// Diameter left at its bottom.
        diameter: DimensionId,
        /// Along the axis; the groove is placed by its left side.
        width: DimensionId,
    },
    /// A knurl rolled all over a plain section.
    Knurl {
        /// The section.
        over: FeatureId,
        /// From one ridge to the next, round the work.
        pitch: DimensionId,
        /// How the ridges run.
        pattern: Pattern,
    },
    /// Flats milled on a section; placed by their left side.
    Flats {
        /// From flat to flat; of a single flat, from the flat to the far side of the round.
        across: DimensionId,
        /// How many: 1, 2, 4 or 6, equally spaced, the first at the top.
        count: u32,
        /// Along the axis.
        length: DimensionId,
    },
    /// Metal turned out of an end, all round or round a hub that stays.
    Recess {
        /// Across the outside of it.
        diameter: DimensionId,
        /// Across the hub left standing in its middle, where there is one.
        hub: Option<DimensionId>,
        /// From the end face.
        depth: DimensionId,
    },
    /// An edge of a section turned off at 45°.
    Chamfer {
        /// The section.
        of: FeatureId,
        /// Which of its ends.
        end: SectionEnd,
        /// Along the axis, and as much in radius.
        size: DimensionId,
    },
}

impl Kind {
    /// The thread that another part can screw into or on to.
    pub const fn thread(&self) -> Option<ThreadId> {
        match self {
            Self::Tapped { thread, .. }
            | Self::ClampScrew { thread, .. }
            | Self::Section { size: SectionSize::Threaded(thread), .. } => Some(*thread),
            _ => None,
        }
    }

    /// The thread of what it screws into, on to or lets pass: its own, or that of the screw
    /// which a hole clears.
    pub const fn screwed(&self) -> Option<ThreadId> {
        match self {
            Self::Hole { clears, .. } => *clears,
            _ => self.thread(),
        }
    }

    /// How deep it goes from its face, for what has a depth.
    pub const fn depth(&self) -> Option<Depth> {
        match self {
            Self::Hole { depth, .. }
            | Self::Tapped { depth, .. }
            | Self::TaperPin { depth, .. }
            | Self::Slot { depth, .. }
            | Self::CurvedSlot { depth, .. }
            | Self::Pocket { depth, .. }
            | Self::Square { depth, .. }
            | Self::Flatted { depth, .. } => Some(*depth),
            Self::Counterbore { depth, .. } => Some(Depth::To(*depth)),
            _ => None,
        }
    }

    /// The holes of a pitch circle or a row.
    pub fn pattern(&self) -> Option<&[FeatureId]> {
        match self {
            Self::PitchCircle { holes, .. } | Self::Row { holes, .. } => Some(holes),
            _ => None,
        }
    }

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
            Self::CurvedSlot { .. } => "curved slot",
            Self::Keyway { .. } => "keyway",
            Self::Counterbore { .. } => "counterbore",
            Self::Corner { .. } => "corner",
            Self::TaperPin { .. } => "taper pin hole",
            Self::Countersink { .. } => "countersink",
            Self::Pocket { .. } => "pocket",
            Self::Square { .. } => "square hole",
            Self::Flatted { .. } => "flatted hole",
            Self::Row { .. } => "row",
            Self::PitchCircle { .. } => "pitch circle",
            Self::Section { .. } => "section",
            Self::Groove { .. } => "groove",
            Self::Knurl { .. } => "knurl",
            Self::Flats { .. } => "flats",
            Self::Chamfer { .. } => "chamfer",
            Self::Recess { .. } => "recess",
        }
    }
}

/// How far round its centre a curved slot goes, from the middle of one round end to that of the
/// other; directions count from the x axis, anticlockwise.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sweep {
    /// Anticlockwise between two directions.
    Between {
        /// Of the end it begins at.
        from: Angle,
        /// Of the end it goes to.
        to: Angle,
    },
    /// As far to either side of a direction as its ends ask.
    Across {
        /// Of its middle.
        middle: Angle,
        /// Straight between the centres of its ends.
        centres: DimensionId,
    },
}

/// The size of a turned section.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SectionSize {
    /// Plain, to a diameter.
    Plain(DimensionId),
    /// Threaded over its whole length.
    Threaded(ThreadId),
    /// A cone, by the diameters at its two ends.
    Taper {
        /// At its left end.
        left: DimensionId,
        /// At its right end.
        right: DimensionId,
    },
    /// Square or hexagon bar left as it comes.
    AsBar {
        /// Across the flats.
        across: DimensionId,
        /// 4 or 6.
        sides: u32,
    },
}

/// How far a section's own axis lies from that of the part, and which way.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Throw {
    /// From axis to axis.
    pub offset: DimensionId,
    /// The way it lies: 0° up the sheet, 90° towards the reader.
    pub at: Angle,
}

/// How the ridges of a knurl run.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Pattern {
    /// Along the axis.
    Straight,
    /// Crossing each other at a slant.
    Diamond,
}

/// One of the two ends of a section.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SectionEnd {
    /// The end nearer the left of the part.
    Left,
    /// The end nearer the right of the part.
    Right,
}

impl SectionEnd {
    /// The end that lies towards a face of the part.
    pub const fn toward(face: Face) -> Self {
        if matches!(face, Face::Left) { Self::Left } else { Self::Right }
    }

    /// The end across from it.
    #[must_use]
    pub const fn other(self) -> Self {
        match self {
            Self::Left => Self::Right,
            Self::Right => Self::Left,
        }
    }
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
