//! Blocks that set a crank by what rests on them: what the file says of one.
//!
//! ```toml
//! design = "setting block"
//! under = ["Crank pin: journal", "Eccentric: sheave"]   # one or two rounds about one axle
//! throw = ["11/16 in", "engine: half travel"]           # from the axle's middle to theirs
//! angle = "engine: 90° + advance"                       # from the first to the second
//! centre = "40 mm"                                      # of the axle, above the plate
//! ```
//!
//! ```toml
//! design = "square packing"
//! beside = "Crank pin: journal"
//! shaft = "Axle: seat"
//! throw = "11/16 in"
//! angle = "30°"                                         # above the level
//! ```

use super::read::Reader;
use super::resolve::{Resolver, at};
use super::wanted::{Sort, Wanted};
use super::{Member, Said};
use crate::document::Sheet;
use crate::problem::Problem;

/// A block, or packing against a square, that sets an angle.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Block<N = Member> {
    /// The rounds that touch it: one or two, on one axle.
    pub under: Vec<N>,
    /// From the middle of the axle to the middle of each.
    pub throws: Vec<Wanted>,
    /// Of one: above the level. Of two: anticlockwise from the first to the second.
    pub angle: Wanted,
    /// What it stands on or against.
    pub stands: Stands<N>,
    /// How far the angle may be out, where the file says so.
    pub within: Option<Wanted>,
    /// From where the angle is seen, in the person's words.
    pub seen_from: Option<String>,
}

/// What a block stands on or against.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Stands<N = Member> {
    /// A plate, the axle's middle so high above it.
    Plate(Wanted),
    /// A square that stands plumb outside the round, the packing between it and the shaft.
    Square(N),
}

impl<N> Block<N> {
    /// What must be finished before it is made.
    pub(super) fn made_to(&self) -> Vec<&N> {
        let shaft = match &self.stands {
            Stands::Plate(_) => None,
            Stands::Square(shaft) => Some(shaft),
        };
        self.under.iter().chain(shaft).collect()
    }

    /// Everything in it that may have to be looked up.
    pub(super) fn wanted_mut(&mut self) -> Vec<&mut Wanted> {
        let centre = match &mut self.stands {
            Stands::Plate(centre) => Some(centre),
            Stands::Square(_) => None,
        };
        self.throws.iter_mut().chain([&mut self.angle]).chain(centre).chain(&mut self.within).collect()
    }
}

impl Reader {
    /// A block under one or two rounds.
    pub(super) fn block(&mut self, table: &Sheet) -> Option<Block<Said>> {
        let under = self.needed(table, "under", "[\"Crank pin: journal\", \"Eccentric: sheave\"]");
        let throws = self.throws(table, under.len());
        let angle = self.wanted(table, "angle", Sort::Angle);
        let centre = self.wanted(table, "centre", Sort::Length);
        let (within, seen_from) = (self.out_by(table), self.words(table, "seen_from"));
        if under.len() > 2 {
            let fault =
                Problem::new(format!("a setting block carries two rounds, and {} are named", under.len()))
                    .why("a third is set from one of them by a block of its own")
                    .mend("name one or two, and write another `[[aid]]` for the rest");
            self.faults.push(at(fault, &under[2]));
            return None;
        }
        let stands = Stands::Plate(centre?);
        Some(Block { under, throws: throws?, angle: angle?, stands, within, seen_from })
    }

    /// Packing between a square and the shaft, or the square and the pin.
    pub(super) fn packing(&mut self, table: &Sheet) -> Option<Block<Said>> {
        let beside = self.needed(table, "beside", "\"Crank pin: journal\"").into_iter().next();
        let shaft = self.needed(table, "shaft", "\"Axle: seat\"").into_iter().next();
        let throws = self.throws(table, 1);
        let angle = self.wanted(table, "angle", Sort::Angle);
        let (within, seen_from) = (self.out_by(table), self.words(table, "seen_from"));
        let (under, stands) = (vec![beside?], Stands::Square(shaft?));
        Some(Block { under, throws: throws?, angle: angle?, stands, within, seen_from })
    }

    fn out_by(&mut self, table: &Sheet) -> Option<Wanted> {
        let said = self.list(table, "within").into_iter().next()?;
        let within = self.one_wanted(said.clone(), Sort::Angle)?;
        let above_nought = within.angle().map_or(true, |angle| angle > crate::measure::Angle::default());
        if !above_nought {
            let fault = Problem::new(format!("`{}` leaves no room", said.text))
                .mend("write more than nought, such as `0.25°`");
            self.faults.push(at(fault, &said));
            return None;
        }
        Some(within)
    }

    /// A throw for each round; one does for two.
    fn throws(&mut self, table: &Sheet, rounds: usize) -> Option<Vec<Wanted>> {
        let said = self.needed(table, "throw", "\"11/16 in\"");
        if rounds > 0 && !said.is_empty() && said.len() != 1 && said.len() != rounds {
            let fault = Problem::new(format!("{} throws are given for {rounds} rounds", said.len()))
                .mend("give one for each, in the same order, or one that all have");
            self.faults.push(at(fault, &said[0]));
            return None;
        }
        let count = said.len();
        let read: Vec<Wanted> =
            said.into_iter().filter_map(|said| self.one_wanted(said, Sort::Length)).collect();
        match (read.len() == count, read.as_slice()) {
            (true, [one]) if rounds == 2 => Some(vec![one.clone(), one.clone()]),
            (true, [_, ..]) => Some(read),
            _ => None,
        }
    }
}

impl Resolver<'_> {
    /// The rounds a block names.
    pub(super) fn block(&mut self, said: &Block<Said>) -> Option<Block> {
        let count = said.under.len();
        let under: Vec<Member> = said.under.iter().filter_map(|name| self.round(name)).collect();
        let stands = match &said.stands {
            Stands::Plate(centre) => Some(Stands::Plate(centre.clone())),
            Stands::Square(shaft) => self.round(shaft).map(Stands::Square),
        };
        (under.len() == count).then_some(())?;
        Some(Block {
            under,
            throws: said.throws.clone(),
            angle: said.angle.clone(),
            stands: stands?,
            within: said.within.clone(),
            seen_from: said.seen_from.clone(),
        })
    }
}
