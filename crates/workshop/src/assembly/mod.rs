//! What is said of a whole project: which part is fitted to which, and how.
//!
//! The text of `assembly.toml` goes in through [`read_assembly`]; an [`Assembly`] comes
//! out, in the words of the file. [`resolve`] finds the parts and features it names among
//! the drawings, adds what mates and screwed threads of the part files say already, and
//! gives back a [`Fitting`]: tasks that know each other. Nothing here decides an order;
//! [`crate::make_list`] does.
//!
//! Begin with [`how::HOWS`]: the ways parts are joined, one row each.

mod blocks;
mod designs;
pub mod how;
mod leave;
mod mates;
mod names;
mod read;
mod resolve;
mod said;
mod stacks;
mod together;
mod wanted;

pub use blocks::{Block, Stands};
pub use how::{Doing, Heat, How, Place};
pub use leave::leave;
pub use read::read_assembly;
pub use resolve::resolve;
pub use said::{Assembly, Said, SaidTask, SaidTogether};
pub use stacks::{Lie, OwnSize, PinLies, SaidPlay, SaidStack, Times, timed};
pub use together::tie;
pub use wanted::{Amount, Found, Sort, Wanted};

use crate::drawing::{self, Drawing, FeatureId, Hand};

/// Which task of a [`Fitting`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct TaskId(pub usize);

/// What is joined: a part of the project by its place among the drawings, or a piece that
/// has no drawing.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Thing {
    /// A part, by its place among the drawings.
    Part(usize),
    /// A piece without a drawing, by its place in [`Fitting::pieces`].
    Piece(usize),
}

/// Which of several alike.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Which {
    /// Every one of them.
    All,
    /// One of them, counted from one.
    Nth(u32),
    /// One hand of a pair.
    Hand(Hand),
}

/// A thing, which of those alike, and perhaps a feature of it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Member {
    /// The part or piece.
    pub thing: Thing,
    /// Which of several alike.
    pub which: Which,
    /// The feature, where one is named; pieces have none.
    pub feature: Option<FeatureId>,
}

impl Member {
    /// Whether both may be the same piece of metal.
    pub fn meets(&self, other: &Self) -> bool {
        let same = match (self.which, other.which) {
            (Which::Nth(a), Which::Nth(b)) => a == b,
            (Which::Hand(a), Which::Hand(b)) => a == b,
            _ => true,
        };
        self.thing == other.thing && same
    }

    /// Whether both may be the same feature of the same piece of metal.
    pub fn meets_at(&self, other: &Self) -> bool {
        self.meets(other) && self.feature.is_some() && self.feature == other.feature
    }
}

/// Everything said of a project, each name found.
#[derive(Clone, Debug, Default)]
pub struct Fitting {
    /// The file it was read from; `None` where there is none.
    pub file: Option<String>,
    /// Pieces without a drawing, that are there: name, and what each is.
    pub pieces: Vec<(String, Option<String>)>,
    /// What is done beyond making the parts.
    pub tasks: Vec<Task>,
    /// Holes of several parts that are made in one setup.
    pub together: Vec<Together>,
    /// What of it cannot be, now that the parts have their sizes.
    pub unlaid: Vec<crate::problem::Problem>,
    /// What more could be made so.
    pub proposed: Vec<String>,
    /// What was supposed.
    pub assumed: Vec<String>,
}

/// Holes of several parts that are made in one setup, before each part is gone on with.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Together {
    /// What it is called.
    pub name: String,
    /// The parts by their places among the drawings, the one that lies on top first, each with
    /// its holes: the first of every part comes over the first of every other, and so on.
    pub parts: Vec<(usize, Vec<FeatureId>)>,
    /// Why, in the person's own words.
    pub because: Option<String>,
    /// Where it is said: `assembly.toml, line 14`.
    pub said: String,
}

/// One thing that is done beyond making the parts.
#[derive(Clone, Debug)]
pub struct Task {
    /// What it is called.
    pub name: String,
    /// What it is.
    pub kind: Kind,
    /// The parts and features it is done to or with.
    pub members: Vec<Member>,
    /// Joins that must be together when it is done.
    pub within: Vec<TaskId>,
    /// What must be done before it, because somebody said so.
    pub after: Vec<TaskId>,
    /// What it is positioned by.
    pub set_by: Option<SetBy>,
    /// What that positions, in words: `the angle of the pin`.
    pub sets: Option<String>,
    /// Features that cannot be got at any more once it is together.
    pub closes: Vec<Member>,
    /// Parts and joins that its heat is kept from.
    pub cool: Vec<Cool>,
    /// Why, in the person's own words.
    pub because: Option<String>,
    /// What an aid is made to, where that is said.
    pub design: Option<Design>,
    /// Minutes, where somebody said so.
    pub minutes: Option<u64>,
    /// Where it is done.
    pub place: Place,
    /// Where it is said.
    pub said: Source,
}

/// What a task is.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Kind {
    /// Parts are put together.
    Join {
        /// How.
        how: &'static How,
        /// Whether they come apart again.
        apart: Apart,
    },
    /// Work on parts that are together.
    Work(&'static Doing),
    /// Heat treatment.
    Heat(&'static Heat),
    /// A thing to make, or to have, only to put parts together.
    Aid {
        /// Whether it is there already.
        have: Have,
        /// What it is, in the person's own words.
        what: Option<String>,
    },
}

/// An aid with sizes of its own.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Design<N = Member> {
    /// A plug between a pin and what it is set from.
    Plug {
        /// The pin.
        pin: N,
        /// What it is set from.
        against: Against<N>,
        /// From the middle of the pin to the middle of the other, or to the flat.
        distance: Wanted,
    },
    /// A bush that leads a drill.
    Bush {
        /// The hole it stands in.
        seat: N,
        /// The hole that is drilled through it.
        guides: N,
    },
    /// A screw with a shoulder that work turns on.
    Screw {
        /// The hole that turns on its shoulder.
        through: N,
        /// The tapped hole it is screwed into.
        into: N,
    },
    /// A block or packing that sets an angle.
    Block(Box<Block<N>>),
}

/// What a setting plug is set from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Against<N = Member> {
    /// The middle of a round: the plug is bored to slide on it.
    Middle(N),
    /// The outside of a round.
    Round(N),
    /// A flat.
    Flat,
}

/// Whether a join comes apart again without harm.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Apart {
    /// It does.
    Comes,
    /// It stays.
    Stays,
}

/// Whether an aid is there already.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Have {
    /// It is on the shelf: a square, a block.
    Owned,
    /// It has to be made.
    ToMake,
}

/// What positions a join or a work.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SetBy {
    /// An aid.
    Aid(TaskId),
    /// A part or a feature of one.
    Part(Member),
}

/// What the heat of a task is kept from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Cool {
    /// A part or piece.
    Thing(Thing),
    /// A join.
    Join(TaskId),
}

/// Where something is said.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Source {
    /// `assembly.toml, line 14`.
    pub place: String,
    /// Whether oddleg supposed it from a mate or a screwed thread.
    pub supposed: bool,
}

impl Fitting {
    /// A task.
    pub fn task(&self, id: TaskId) -> &Task {
        &self.tasks[id.0]
    }

    /// Every task with its id.
    pub fn all(&self) -> impl Iterator<Item = (TaskId, &Task)> {
        self.tasks.iter().enumerate().map(|(n, task)| (TaskId(n), task))
    }
}

impl Task {
    /// How it is joined, where it is a join.
    pub fn how(&self) -> Option<&'static How> {
        match self.kind {
            Kind::Join { how, .. } => Some(how),
            _ => None,
        }
    }

    /// As an order says it: a taper pin's hole is taper reamed.
    pub fn order_word(&self, tapered: bool) -> &'static str {
        match self.how() {
            Some(how) if how.word == how::PINNED && tapered => "drill, taper ream and pin together",
            Some(how) => how.order,
            None => "",
        }
    }

    /// Whether one of the features it takes hold of is a taper pin's hole.
    pub fn tapered<'a>(&self, drawing: impl Fn(usize) -> &'a Drawing) -> bool {
        self.members.iter().any(|member| match (member.thing, member.feature) {
            (Thing::Part(part), Some(id)) => {
                matches!(drawing(part).features[id.0].kind, drawing::Kind::TaperPin { .. })
            }
            _ => false,
        })
    }

    /// What is cut in assembly by it, and how much of the features that leaves.
    pub fn cuts(&self) -> Option<(&'static str, crate::drawing::Share)> {
        match self.kind {
            Kind::Join { how, .. } => how.cuts,
            Kind::Work(doing) => doing.leaves.map(|share| (doing.word, share)),
            _ => None,
        }
    }

    /// The heat it brings to what it is done to, in degrees Celsius.
    pub fn heat_c(&self) -> Option<u32> {
        match self.kind {
            Kind::Join { how, .. } => how.heat_c,
            Kind::Heat(heat) => Some(heat.heat_c),
            _ => None,
        }
    }
}
