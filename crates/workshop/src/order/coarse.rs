//! What setups, setting up and machines will still cost: planned by setups alone.
//!
//! When tools, aids and minutes at the work cost nothing, whatever can be done in a setup is
//! done as soon as the work is held so, and few moments are left. Each of them is worked
//! out once, depth first and within a limit, and kept; moments of the work itself that
//! differ only in what could be done here anyway share one.

use std::collections::HashMap;
use std::hash::BuildHasherDefault;

use super::bound::Scratch;
use super::compile::{Bits, Book, Stand};
use super::node::{Moment, View};
use super::search::Mix;

/// What tells one settled moment from another.
type Key = (Bits, Bits, Bits, Bits, Option<Stand>);

/// What is known of the charges that follow.
#[derive(Clone, Copy)]
struct Known {
    least: u64,
    exact: bool,
}

/// Plans by setups alone, with what it found so far.
pub(super) struct Coarse {
    book: Book,
    known: HashMap<Key, Known, BuildHasherDefault<Mix>>,
    /// Moments already asked about, before they are settled.
    asked: HashMap<Key, Known, BuildHasherDefault<Mix>>,
    scratch: Scratch,
    /// Moments it may still look at.
    pub left: usize,
}

impl Coarse {
    /// `effort` is how many moments it looks at before it settles for bounds.
    pub(super) fn new(book: &Book, effort: usize) -> Self {
        Self {
            book: book.by_setups(),
            known: HashMap::default(),
            asked: HashMap::default(),
            scratch: Scratch::default(),
            left: effort,
        }
    }

    /// What setups, setting up and machines will cost at least from a moment of the work;
    /// not looked into beyond `limit`. `None` when no plan goes through it.
    pub(super) fn least(&mut self, moment: &Moment, limit: u64) -> Option<u64> {
        let stand = moment.stand.map(Stand::with_any_tool);
        let mut coarse = Moment { aids: 0, stand, spent: 0, ..*moment };
        let asked = key(&coarse);
        if let Some(known) = self.asked.get(&asked)
            && (known.exact || known.least > limit)
        {
            return reached(*known);
        }
        let view = self.book.settle(&mut coarse, |_, _| {})?;
        // One setup more at a time, so that little is looked into that leads nowhere.
        let mut known = self.from(&coarse, &view, 0);
        while !known.exact && known.least <= limit && self.left > 0 {
            let more = self.book.weights.setup.max(known.least / 8).max(1);
            known = self.from(&coarse, &view, limit.min(known.least.saturating_add(more)));
        }
        self.asked.insert(asked, known);
        reached(known)
    }

    /// What follows from a settled moment: exactly, where it is within the limit.
    fn from(&mut self, moment: &Moment, view: &View, limit: u64) -> Known {
        if view.finished {
            return Known { least: 0, exact: true };
        }
        let place = key(moment);
        let start = match self.known.get(&place) {
            Some(known) => *known,
            None => Known { least: self.book.setting(moment, view, &mut self.scratch), exact: false },
        };
        if start.exact || start.least > limit || self.left == 0 {
            self.known.insert(place, start);
            return start;
        }
        self.left -= 1;
        let mut next: Vec<(u64, u64, Moment, View)> = Vec::new();
        for (op, way) in self.book.steps(moment, view) {
            let mut after = self.book.after(moment, op, &way);
            let Some(view) = self.book.settle(&mut after, |_, _| {}) else { continue };
            let charge = after.spent - moment.spent;
            let least = match self.known.get(&key(&after)) {
                Some(known) => known.least,
                None if view.finished => 0,
                None => self.book.setting(&after, &view, &mut self.scratch),
            };
            next.push((least.saturating_add(charge), charge, after, view));
        }
        next.sort_by_key(|(least, _, after, _)| (*least, key(after)));
        let (mut best, mut lower) = (u64::MAX, u64::MAX);
        for (least, charge, after, view) in next {
            if least > limit || least >= best || least == u64::MAX {
                lower = lower.min(least);
                continue;
            }
            let known = self.from(&after, &view, limit.min(best.saturating_sub(1)) - charge);
            let least = known.least.saturating_add(charge);
            if known.exact {
                best = best.min(least);
            } else {
                lower = lower.min(least);
            }
        }
        let known = Known { least: best.min(lower).max(start.least), exact: best <= lower };
        self.known.insert(place, known);
        known
    }
}

/// What is known to follow at least; nothing where no plan leads on.
fn reached(known: Known) -> Option<u64> {
    (known.least < u64::MAX).then_some(known.least)
}

fn key(moment: &Moment) -> Key {
    (moment.done, moment.tokens, moment.marks, moment.here, moment.stand)
}
