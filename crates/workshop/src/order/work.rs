//! What an order of work says: holdings, steps, aids and traps.
//!
//! These are the words of the shop, not of the planner: the settings, the sheets
//! and the pages read them and need know nothing of [`super::model`]. A place on
//! the part is always named in the terms of the hand that lies on the machine;
//! [`Holding::image`] says which of the two that is.

pub use super::holding::{Held, Holding, Joined, Located, Lots, Machine, Pieces, Steadied};
use super::moves::Certificate;
pub use super::screwed::Screw;
pub use super::tool::Tool;
pub use super::uses::{Cost, Uses};
use crate::drawing::{Element, Face, FeatureId, Hand, Keeps};
use crate::measure::Length;
use crate::tables::processes::AllOver;
use crate::why::Why;

/// The order to make a part in, proven and checked.
///
/// The default is the order of nothing at all.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct OrderOfWork {
    /// What is done already, because the person says so.
    pub done: Vec<Done>,
    /// What is done, in order.
    pub steps: Vec<Step>,
    /// Every time the work is set up, in order; one used twice apart is there twice.
    pub setups: Vec<Holding>,
    /// Of each of those, the minutes of setting it up, for all pieces that go through it.
    pub setting_up: Vec<u64>,
    /// Of each of those, why the work is held so and not in the plain chuck.
    pub held_for: Vec<Vec<String>>,
    /// What has to be made first, only to make the part.
    pub aids: Vec<Aid>,
    /// Steps that must not be taken early.
    pub traps: Vec<Trap>,
    /// How sure it is that nothing is cheaper.
    pub proof: Proof,
    /// How often the whole order is gone through: more than once when several of a turned
    /// part are wanted, or more of a plate than go through at once.
    pub times: u32,
    /// Minutes for going through it once, an estimate.
    pub minutes: u64,
    /// What was supposed.
    pub assumed: Vec<String>,
    /// What it uses.
    pub uses: Uses,
    /// What the best order uses that heeds none of the wishes; nothing where there are none.
    pub free: Option<Uses>,
    /// The person's wishes, with what each adds.
    pub wishes: Vec<Answered>,
    /// Where the part may be gone about in several ways: which was taken.
    pub choices: Vec<Chosen>,
    /// What the other ways of going about the whole part would come to: pieces stuck together in
    /// other stacks or not at all, side by side or one after another; the other end first.
    pub of_ways: Vec<Priced>,
    /// Surfaces of a turned part that have to run true to each other.
    pub true_running: Vec<TrueRunning>,
    /// Faces and axes that have to lie square, parallel or flat.
    pub lying: Vec<Lying>,
    /// What was planned, for asking what may be moved.
    pub(super) certificate: Certificate,
}

/// Two surfaces that have to run true to each other.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TrueRunning {
    /// The surfaces.
    pub features: [FeatureId; 2],
    /// How far apart their axes may lie.
    pub room: Length,
    /// Where that comes from.
    pub because: String,
}

/// A face or axis that has to lie so.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Lying {
    /// How.
    pub keeps: Keeps,
    /// What.
    pub of: Element,
    /// What it is measured from; nothing for flatness.
    pub to: Option<Element>,
    /// The whole width of its zone.
    pub room: Length,
    /// The length that the zone goes along.
    pub over: Length,
    /// As the drawing says it.
    pub said: String,
}

impl OrderOfWork {
    /// How many pieces a step is done to.
    pub fn pieces_at(&self, step: &Step) -> u32 {
        match self.setups[step.setup].pieces {
            // Of two hands in one holding a step is done to the one.
            Pieces::Both(lots) if step.hand != Hand::Neither => lots.pieces / 2,
            pieces => pieces.count(),
        }
    }
}

/// One of several ways of going about something.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Chosen {
    /// What is chosen: `the outline`.
    pub name: String,
    /// What was taken: `both at once`.
    pub taken: String,
    /// What may be wished for instead, as the part file says it.
    pub others: Vec<String>,
    /// What is ruled out by the bench, the part or a tolerance, and why.
    pub out: Vec<(String, String)>,
}

/// What another way of going about the whole part would come to.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Priced {
    /// What is chosen, as [`Chosen::name`] has it.
    pub name: String,
    /// The other way, as [`Chosen::others`] has it.
    pub way: String,
    /// `would add 2 setups more`.
    pub comes_to: String,
}

/// An operation that is done already.
#[derive(Clone, Debug, PartialEq)]
pub struct Done {
    /// What was done.
    pub work: Work,
    /// The feature it was done for.
    pub feature: Option<FeatureId>,
    /// To what.
    pub pieces: Pieces,
    /// The line on the sheet.
    pub text: String,
    /// What it is called in the part file.
    pub call: String,
}

/// A wish that the order heeds.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Answered {
    /// As it stands in the part file.
    pub text: String,
    /// Its line; nought for a question that stands in no file.
    pub line: usize,
    /// What the best order without it would save; nothing where it was not reckoned.
    pub cost: Option<Cost>,
}

/// How sure it is that no order costs less, and a sentence that says so.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Proof {
    /// Proven least, or no more than this.
    pub sure: Sure,
    /// For the cover sheet.
    pub sentence: String,
}

/// How sure it is that no order costs less.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Sure {
    /// No order of these operations has fewer setups, then tool changes, then aids, then minutes.
    Optimal,
    /// The search stopped at its limit: nothing is proven but that the order is valid.
    #[default]
    Within,
}

/// One operation, in its place.
#[derive(Clone, Debug, PartialEq)]
pub struct Step {
    /// The holding, by its place in [`OrderOfWork::setups`].
    pub setup: usize,
    /// What is done.
    pub work: Work,
    /// The feature it is done for; of a pitch circle, the circle.
    pub feature: Option<FeatureId>,
    /// With what.
    pub tool: Tool,
    /// The line on the sheet: `ream pivot bore 8 mm`.
    pub text: String,
    /// What it is called in the part file, whatever its size and number: `ream pivot bore`.
    pub call: String,
    /// The hand that it is done to, where it is one of two by itself.
    pub hand: Hand,
    /// Minutes at the work, an estimate; for all pieces that go through the holding.
    pub minutes: u64,
    /// Why here: what it needs, and what it would lose elsewhere.
    pub why: Why,
    /// What is gone after it.
    pub takes_away: Vec<Loss>,
}

/// Something to hold or locate by that a step takes away.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Loss {
    /// What is gone: `square edges`.
    pub what: String,
    /// Why that goes.
    pub because: String,
}

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
        /// Its diameter; of a thread, the major diameter.
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

/// A thing made only to make the part.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Aid {
    /// A stub that fits a bore and the rotary table or the chuck.
    StubMandrel {
        /// The bore it fits.
        bore: FeatureId,
        /// What it goes in.
        on: Machine,
    },
    /// A plate with the bores' own spacing.
    BoltOnPlate {
        /// The bores.
        bores: Vec<FeatureId>,
    },
    /// A pair of buttons as large as the finished boss.
    FilingButtons {
        /// The boss.
        boss: FeatureId,
        /// The bore they fit.
        bore: FeatureId,
    },
    /// A pair of plain discs as large as a rounding that has no bore, stuck to both faces.
    PlainButtons {
        /// The boss or corner.
        round: FeatureId,
    },
    /// A stub that work with a thread of its own is screwed on, in the lathe's chuck.
    ThreadedStub {
        /// The tapped hole, or the threaded section.
        thread: FeatureId,
    },
    /// A button that shows how far a hole is filed square, or to its flat.
    MarkingButton {
        /// The hole.
        hole: FeatureId,
    },
}

/// A step that must not be taken early.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Trap {
    /// `slit the pivot bore before drilling the clamp screw`.
    pub early: String,
    /// What would be lost.
    pub lost: String,
}
