//! What an order of work says: holdings, steps, aids and traps.
//!
//! These are the words of the shop, not of the planner: the settings, the sheets
//! and the pages read them and need know nothing of [`super::model`]. A place on
//! the part is always named in the terms of the hand that lies on the machine;
//! [`Holding::image`] says which of the two that is.

mod what;

pub use super::charges::Charged;
pub use super::holding::{Held, Holding, Joined, Located, Lots, Machine, Pieces, Steadied};
use super::moves::Certificate;
pub use super::screwed::Screw;
pub use super::tool::Tool;
pub use super::uses::{Cost, Uses};
use crate::drawing::{Element, FeatureId, Hand, Keeps};
use crate::measure::Length;
use crate::why::Why;
pub use what::{Deep, Entry, Roughing, SlotSides, Work};

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
    /// What every distance that has to be kept may be out by as planned.
    pub charged: Vec<Charged>,
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
    /// The steps of a setup, both counted from nought, in the order of work.
    pub fn steps_in(&self, setup: usize) -> impl Iterator<Item = (usize, &Step)> {
        self.steps.iter().enumerate().filter(move |(_, step)| step.setup == setup)
    }

    /// The steps that come before one of its own.
    pub fn before<'a>(&'a self, step: &'a Step) -> impl Iterator<Item = &'a Step> {
        self.steps.iter().take_while(move |other| !std::ptr::eq(*other, step))
    }

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
