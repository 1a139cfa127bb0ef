//! The list of a whole project: what to make and put together, in which order.

use std::collections::BTreeMap;

use super::{AidSheet, Ready, Trap};
use crate::problem::Problem;
use crate::why::{Figure, Why};

/// What to make in which order, and how it goes together.
#[derive(Clone, Debug, PartialEq)]
pub struct MakeList {
    /// Everything that is done, in order.
    pub rows: Vec<MakeRow>,
    /// What must be there: bought parts, pieces without a drawing, aids on the shelf.
    pub ready: Vec<Ready>,
    /// Sheets of the aids that the project says what they are made to.
    pub aids: Vec<AidSheet>,
    /// What must not be done early, and what would be lost.
    pub traps: Vec<Trap>,
    /// What is left for assembly, part by part.
    pub left: Vec<String>,
    /// Minutes of all rows, an estimate.
    pub minutes: u64,
    /// What could be made in one setup, and how to have it so.
    pub proposed: Vec<String>,
    /// What was supposed.
    pub assumed: Vec<String>,
    /// Cautions.
    pub cautions: Vec<String>,
    /// How sure the order is, in a sentence each.
    pub proofs: Vec<String>,
    /// Which rows are tied to which, and why.
    pub ties: Vec<Tie>,
    /// What the sheets of the parts' own aids are told: the part's file, the aid's name there, and
    /// what else it is used for or what does instead of it.
    pub told: Vec<(String, String, String)>,
    /// Parts that are on the list and have no order of work of their own yet.
    pub unplanned: Vec<Problem>,
}

/// One row of a make list.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct MakeRow {
    /// Counted from one.
    pub number: usize,
    /// What kind of row it is.
    pub kind: MakeKind,
    /// What is done, in the imperative: `make Crank web`. It is what the row is asked for by.
    pub call: String,
    /// `Crank web, 2 off`, `Press together: pin in the web`.
    pub what: String,
    /// With what: the parts, and what sets them.
    pub with: String,
    /// `lathe`, `bench`.
    pub place: String,
    /// An estimate.
    pub minutes: u64,
    /// Why it stands here.
    pub why: Why,
    /// The part whose sheets it goes by, by the name of its file.
    pub part: Option<String>,
    /// Of an aid that is made as a part: its own part file.
    pub file: Option<String>,
}

/// One row that has to stand before another, by their numbers.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Tie {
    /// The row that comes first.
    pub first: usize,
    /// The row that waits for it.
    pub then: usize,
    /// The reason, with its rule and where it is said.
    pub why: Why,
}

/// Between the two calls of a question why one row stands before another.
const BEFORE: &str = " before ";

impl MakeList {
    /// Why a row stands where it does, or why one stands before another: by the row's call or
    /// words of it, by its number as `row 12`, or by two of these with `before` between them.
    ///
    /// # Errors
    ///
    /// The calls of rows that might have been meant, possibly none.
    pub fn reason_for(&self, asked: &str) -> Result<Figure, Vec<&str>> {
        let near = match self.row(asked) {
            Ok(row) => return Ok(self.stands(row)),
            Err(near) => near,
        };
        let lower = asked.to_lowercase();
        let pair = lower.match_indices(BEFORE).find_map(|(at, _)| {
            let (one, other) = (&lower[..at], &lower[at + BEFORE.len()..]);
            Some((self.row(one).ok()?, self.row(other).ok()?))
        });
        pair.map(|(one, other)| self.between(one, other)).ok_or(near)
    }

    /// Tells the sheets of a part's aids what the whole project knows of them.
    pub fn tell(&self, file: &str, aids: &mut [AidSheet]) {
        tell(&self.told, file, aids);
    }

    /// The row a person means.
    fn row(&self, asked: &str) -> Result<&MakeRow, Vec<&str>> {
        let plain = |text: &str| text.trim().to_lowercase().replace(['`', '“', '”', '"'], "");
        let asked = plain(asked);
        let number = asked.strip_prefix("row ").and_then(|n| n.trim().parse::<usize>().ok());
        let exact = |row: &&MakeRow| {
            number == Some(row.number) || plain(&row.call) == asked || plain(&row.what) == asked
        };
        if let Some(row) = self.rows.iter().find(exact) {
            return Ok(row);
        }
        let words: Vec<&str> = asked.split_whitespace().collect();
        let holds = |row: &&MakeRow| {
            let text = plain(&format!("{} {}", row.call, row.what));
            !words.is_empty() && words.iter().all(|word| text.contains(word))
        };
        let near: Vec<&MakeRow> = self.rows.iter().filter(holds).collect();
        match near.as_slice() {
            [only] => Ok(only),
            several => Err(several.iter().map(|row| row.call.as_str()).collect()),
        }
    }

    fn stands(&self, row: &MakeRow) -> Figure {
        let shown = format!("row {} of {}, {}", row.number, self.rows.len(), row.place);
        Figure::new(row.call.clone(), shown, row.why.clone())
    }

    /// Why one row stands before another: the shortest chain of reasons between them, or that
    /// there is none.
    fn between(&self, one: &MakeRow, other: &MakeRow) -> Figure {
        let name = format!("{}{BEFORE}{}", one.call, other.call);
        let (first, then) = if one.number <= other.number { (one, other) } else { (other, one) };
        let shown = format!("rows {} and {} of {}", one.number, other.number, self.rows.len());
        let way = self.way(first.number, then.number);
        let words = match (way.is_empty(), first.number == one.number) {
            (_, true) if first.number == then.number => "it is one row".to_owned(),
            (true, _) => {
                "nothing ties the two: they stand so because less is carried from place to place".to_owned()
            }
            (false, true) => format!("“{}” has to come first", one.call),
            (false, false) => format!("it cannot be: “{}” has to come first", other.call),
        };
        let row = |n: usize| self.rows[n - 1].call.as_str();
        let why = way.into_iter().fold(Why::new(words), |why, tie| {
            let words = format!("“{}” before “{}”: {}", row(tie.first), row(tie.then), tie.why.statement);
            why.because(Why { statement: words, ..tie.why.clone() })
        });
        Figure::new(name, shown, why)
    }

    /// The fewest ties that lead from one row to another; none where nothing does.
    fn way(&self, from: usize, to: usize) -> Vec<&Tie> {
        let mut came: BTreeMap<usize, &Tie> = BTreeMap::new();
        let mut reached = vec![from];
        let mut at = 0;
        while at < reached.len() && !came.contains_key(&to) {
            let here = reached[at];
            for tie in self.ties.iter().filter(|tie| tie.first == here) {
                if !reached.contains(&tie.then) {
                    reached.push(tie.then);
                    came.insert(tie.then, tie);
                }
            }
            at += 1;
        }
        let mut way = Vec::new();
        let mut end = to;
        while let Some(&tie) = came.get(&end) {
            way.push(tie);
            end = tie.first;
        }
        way.reverse();
        way
    }
}

/// Tells the sheets of a part's aids what is told of them, by the part's file and the aid's name.
pub fn tell(told: &[(String, String, String)], file: &str, aids: &mut [AidSheet]) {
    for aid in aids {
        let own = told.iter().filter(|(of, name, _)| of == file && *name == aid.name);
        aid.own.besides = own.map(|(.., words)| words.clone()).collect();
    }
}

impl MakeRow {
    /// The most telling reason, in a sentence.
    pub fn reason(&self) -> String {
        self.why.because.first().map_or(self.why.statement.clone(), |why| why.statement.clone())
    }
}

/// What a row of a make list is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum MakeKind {
    /// A part is made.
    Part,
    /// An aid is made.
    Aid,
    /// Parts are put together.
    Join,
    /// Parts are worked on together.
    Work,
    /// Heat treatment.
    Heat,
    /// Parts are taken apart again.
    Apart,
}

impl MakeKind {
    /// As a list heads it.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Part => "make",
            Self::Aid => "make first",
            Self::Join => "fit",
            Self::Work => "work together",
            Self::Heat => "heat",
            Self::Apart => "take apart",
        }
    }
}
