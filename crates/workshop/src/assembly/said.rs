//! What `assembly.toml` says, in its own words, before any name is looked up.

use super::{Apart, Design, Have, Kind, Place, SaidStack};

/// One statement of a file: its text and its line.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Said {
    /// The text.
    pub text: String,
    /// Line in the file, counted from one.
    pub line: usize,
    /// The key it stands behind.
    pub key: &'static str,
}

/// The whole file.
#[derive(Clone, Debug, Default)]
pub struct Assembly {
    /// Its name, for problems.
    pub file: String,
    /// Pieces without a drawing: name, and what each is.
    pub pieces: Vec<(Said, Option<String>)>,
    /// Joins, works, heats and aids, in the order of the file.
    pub tasks: Vec<SaidTask>,
    /// Sizes across parts whose sum is asked for.
    pub stacks: Vec<SaidStack>,
    /// Holes of several parts that are made in one setup.
    pub together: Vec<SaidTogether>,
}

/// One join, work, heat treatment or aid, with the names it says.
#[derive(Clone, Debug)]
pub struct SaidTask {
    /// What it is called.
    pub name: Said,
    /// What it is.
    pub kind: Kind,
    /// The parts and features it is done to or with.
    pub members: Vec<Said>,
    /// Joins that must be together.
    pub within: Vec<Said>,
    /// What must come before it.
    pub after: Vec<Said>,
    /// What it must come before.
    pub before: Vec<Said>,
    /// What positions it.
    pub set_by: Option<Said>,
    /// What that positions.
    pub sets: Option<String>,
    /// Features it closes off.
    pub closes: Vec<Said>,
    /// What its heat is kept from.
    pub cool: Vec<Said>,
    /// Why, in the person's own words.
    pub because: Option<String>,
    /// What an aid is made to.
    pub design: Option<Design<Said>>,
    /// Minutes, where said.
    pub minutes: Option<u64>,
    /// Where it is done.
    pub place: Place,
}

/// Holes of several parts that are made in one setup, by the names it says.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SaidTogether {
    /// What it is called.
    pub name: Said,
    /// The holes, each with its part.
    pub holes: Vec<Said>,
    /// Why, in the person's own words.
    pub because: Option<String>,
}

impl SaidTask {
    pub(super) fn new(name: Said, kind: Kind) -> Self {
        let place = match &kind {
            Kind::Join { how, .. } => how.place,
            Kind::Work(doing) => doing.place,
            Kind::Heat(_) => Place::Hearth,
            Kind::Aid { .. } => Place::Bench,
        };
        Self {
            name,
            kind,
            members: Vec::new(),
            within: Vec::new(),
            after: Vec::new(),
            before: Vec::new(),
            set_by: None,
            sets: None,
            closes: Vec::new(),
            cool: Vec::new(),
            because: None,
            design: None,
            minutes: None,
            place,
        }
    }
}

impl Kind {
    /// What a person calls it.
    pub const fn word(&self) -> &'static str {
        match self {
            Self::Join { .. } => "join",
            Self::Work(_) => "work in assembly",
            Self::Heat(_) => "heat treatment",
            Self::Aid { .. } => "aid",
        }
    }

    /// Whether it is a join that comes apart again.
    pub const fn comes_apart(&self) -> bool {
        matches!(self, Self::Join { apart: Apart::Comes, .. })
    }

    /// Whether it is an aid that is there already.
    pub const fn is_owned_aid(&self) -> bool {
        matches!(self, Self::Aid { have: Have::Owned, .. })
    }
}
