//! What is done in a step, of every kind of part.

use super::Screw;
use crate::drawing::{Face, FeatureId};
use crate::measure::Length;
use crate::tables::processes::AllOver;

/// How far a tool goes in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Deep {
    /// Out of the other side; this much metal (of both pieces, when a pair is stuck together).
    Through(Length),
    /// To a depth of full size below the face.
    To(Length),
}

impl Deep {
    /// The metal gone through.
    pub const fn length(self) -> Length {
        match self {
            Self::Through(length) | Self::To(length) => length,
        }
    }
}

/// How a slot comes to its width.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum SlotSides {
    /// As the cutter leaves them, in its own width or in two beside each other.
    AsCut,
    /// Each brought to size by itself, with a narrower cutter, measured between.
    Finished,
    /// Round an arc, in places that the slides are set to one after another.
    Stepped,
}

/// What is done. On a bench without a mill some of it is done by hand: then its tool is a file
/// or a hand saw.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Work {
    /// Mill two edges of the sawn blank square to each other: the locators.
    SquareEdges,
    /// Mill a face until the thickness is right.
    FaceToThickness,
    /// Mill the two other edges of a rectangle to its width and height.
    MillToSize,
    /// Stick or clamp blanks together in stacks.
    Stick,
    /// Screw the clamped stacks together through holes of their own.
    ScrewTogether {
        /// The screws.
        screws: Vec<Screw>,
    },
    /// Part or unscrew the stacks and clean the pieces.
    Part,
    /// Saw the cap off a block that is parted through a bore.
    SawCap,
    /// Face both halves where they were sawn.
    FaceJoint,
    /// Bolt the cap on again, to be bored with it.
    BoltCap,
    /// Heat the finished part right through and quench it.
    Harden,
    /// Let it down at once to its colour.
    Temper,
    /// Bring what fits closely to size once it is hard.
    Lap {
        /// To this.
        diameter: Length,
        /// A hole, not an outside.
        hole: bool,
    },
    /// Centre drill and drill.
    Drill {
        /// Across.
        diameter: Length,
        /// How far.
        deep: Deep,
    },
    /// Drill a ring of holes inside the line of a large one, to break its middle out.
    ChainDrill {
        /// Across the hole that it is for.
        diameter: Length,
        /// How far.
        deep: Deep,
    },
    /// Ream after the drill.
    Ream {
        /// Across.
        diameter: Length,
        /// How far.
        deep: Deep,
    },
    /// Bore after the drill.
    Bore {
        /// Across.
        diameter: Length,
        /// How far.
        deep: Deep,
    },
    /// Bring a drilled hole to its place with a boring tool, for the reamer to follow.
    TrueHole {
        /// Across, under the reamer's size.
        diameter: Length,
        /// How far.
        deep: Deep,
    },
    /// Tap after the drill; the drill's own depth is that of full thread too, and the
    /// settings add the run-out.
    Tap {
        /// How far the thread is full.
        deep: Deep,
    },
    /// Open a clamp screw's hole to clearance, up to the slit.
    OpenClearance {
        /// Across.
        diameter: Length,
        /// Down to the middle of the slit.
        deep: Deep,
    },
    /// Counterbore the mouth of a hole.
    Counterbore {
        /// Across.
        diameter: Length,
        /// How deep.
        depth: Length,
    },
    /// Countersink the mouth of a hole.
    Countersink {
        /// Across at the face.
        diameter: Length,
        /// From the hole's own edge to the point of full width.
        deep: Length,
    },
    /// Ream a hole for a taper pin.
    TaperReam {
        /// Across where the pin goes in.
        large: Length,
        /// How far.
        deep: Deep,
    },
    /// Mill a pocket.
    MillPocket {
        /// How far.
        deep: Deep,
    },
    /// File a drilled hole square, or to its flat.
    FileHole,
    /// File a hole round to its scribed circle, once its middle is out.
    FileHoleRound {
        /// Across.
        diameter: Length,
        /// How far.
        deep: Deep,
    },
    /// Press a square broach through a drilled hole.
    Broach {
        /// From side to side.
        across: Length,
    },
    /// Plane a keyway along the wall of a bore, or file it.
    PlaneKeyway,
    /// Mill a step down to what it leaves.
    MillStep {
        /// What is left below its floor, as it is cut.
        leaves: Length,
        /// Which of its two faces is then the floor.
        entry: Entry,
    },
    /// Mill a slot.
    MillSlot {
        /// How far.
        deep: Deep,
        /// How its width is come by.
        sides: SlotSides,
    },
    /// Mill a boss or a disc round on the rotary table.
    RoundEnd,
    /// Mill a boss round by stepped coordinates.
    StepEnd,
    /// File a boss round against filing buttons.
    FileEnd,
    /// Turn a disc on a stub mandrel in the lathe.
    TurnDisc,
    /// Mill a straight side of an outline.
    MillSide {
        /// Which of the outline's lines and arcs, as drawn.
        piece: usize,
    },
    /// Mill an arc of an outline by stepped coordinates.
    StepArc {
        /// Which of the outline's lines and arcs, as drawn.
        piece: usize,
    },
    /// Mill an arc of an outline on the rotary table, its own centre over the table's.
    TurnArc {
        /// Which of the outline's lines and arcs, as drawn.
        piece: usize,
    },
    /// File off the ridges that stepped coordinates leave, of an end or of a piece of an
    /// outline.
    FileRidges {
        /// Which of the outline's lines and arcs, as drawn; of a round end none.
        piece: Option<usize>,
    },
    /// File a boss or a disc round to a scribed circle.
    FileRound,
    /// File a side or rounding of an outline.
    FileSide {
        /// Which of the outline's lines and arcs, as drawn.
        piece: usize,
    },
    /// Mill the straight flanks, each from one boss to the next, anticlockwise.
    MillFlanks {
        /// The bosses at its two ends.
        joins: Vec<(FeatureId, FeatureId)>,
    },
    /// File the straight flanks to a line.
    FileFlanks {
        /// The bosses at its two ends.
        joins: Vec<(FeatureId, FeatureId)>,
    },
    /// Scribe what is sawn and filed to.
    MarkOut,
    /// Take large waste off before the outline is cut.
    RoughOut {
        /// By a chain of holes; else with a hand saw.
        chain: bool,
    },
    /// Saw a slit.
    Slit,
    /// Face an end: the first to clean, the second to length.
    FaceEnd {
        /// Left or right.
        end: Face,
    },
    /// Centre drill an end for the tailstock.
    CentreEnd {
        /// Left or right.
        end: Face,
    },
    /// Centre drill an end off its axis, where a section's own axis comes out of it.
    OffsetCentre {
        /// Left or right.
        end: Face,
    },
    /// Turn a section near its diameter, for finishing later.
    RoughSection {
        /// What it is left at.
        diameter: Length,
        /// Why it is not turned in one go.
        because: Roughing,
    },
    /// Turn a section to diameter, up to its shoulder.
    TurnSection {
        /// What it is turned to: under size for a thread, over size where it is lapped.
        diameter: Length,
    },
    /// Turn a taper with the top slide.
    TurnTaper {
        /// Its larger diameter.
        large: Length,
        /// Its smaller diameter.
        small: Length,
    },
    /// Roll a knurl.
    Knurl,
    /// Take an edge off at 45°.
    Chamfer {
        /// Along the axis, and as much in radius.
        size: Length,
    },
    /// Turn metal out of an end.
    Recess {
        /// Across the outside of it.
        diameter: Length,
        /// Across the hub left in its middle.
        hub: Option<Length>,
        /// From the end.
        depth: Length,
    },
    /// Mill flats round the axis.
    MillFlats {
        /// From flat to flat; of a single flat, to the far side of the round.
        across: Length,
        /// How many.
        count: u32,
    },
    /// Cut an outside thread, with a die or a tool.
    CutThread,
    /// Turn a groove.
    Groove {
        /// Diameter left.
        diameter: Length,
        /// Along the axis.
        width: Length,
    },
    /// Part off, over length by the facing allowance.
    PartOff,
    /// Leave it in the holding it was turned in, where it is used.
    Leave,
}

/// Which way a step is cut.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Entry {
    /// Down from the face it is drawn from.
    Face,
    /// In from the side it cuts away, its shoulder for a floor.
    Side,
}

/// Why a section is roughed by itself.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Roughing {
    /// It stands far out of the chuck.
    Slender,
    /// Its wall will be thin.
    Thin {
        /// What is left of it in the end.
        wall: Length,
        /// What stands on a side meanwhile.
        left: Length,
    },
    /// A wide hole is drilled in it.
    Hollow {
        /// The hole.
        hole: FeatureId,
    },
    /// It fits closely, and is finished in a third holding, once the other end is done.
    AllOver {
        /// What asks for it.
        row: &'static AllOver,
    },
    /// Something else at its end asks for it.
    Beside {
        /// The section.
        section: FeatureId,
    },
}
