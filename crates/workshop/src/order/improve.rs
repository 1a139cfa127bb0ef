//! A plan taken up again: a few operations are freed at a time, the rest stay in their order
//! and places, and what is free is planned anew, exactly and within a small limit.
//!
//! Plans only get better by it, and nothing is proven. Which operations are freed hangs on
//! the plan and on numbers that are drawn the same in every run; effort is counted in moments.
//! After Shaw (1998), Using constraint programming and local search methods to solve vehicle
//! routing problems: what is freed together has something to do with each other.

use super::compile::{Bits, Book, CompiledWay, SETUP, places};
use super::model::Step;
use super::search::{Effort, Search};

/// Moments that one trial keeps at most.
const TRIAL: usize = 1500;
/// How many operations are freed at first, and at most.
const FREED: (usize, usize) = (12, 28);
/// After so many trials in vain more are freed.
const PATIENCE: usize = 6;

/// Numbers drawn the same in every run: the high bits of a 64-bit linear congruential
/// sequence (Knuth, MMIX).
struct Draw(u64);

impl Draw {
    fn below(&mut self, n: usize) -> usize {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        ((self.0 >> 33) % n.max(1) as u64) as usize
    }
}

impl Search {
    /// Betters the plan to beat, keeping about so many moments all told.
    pub(super) fn improve(&mut self, effort: usize, round: u64) {
        let mut draw = Draw(round);
        let (mut left, mut freed, mut in_vain) = (effort, FREED.0, 0);
        while left > 0 && self.floor < self.least {
            let Some(steps) = self.best.clone() else { return };
            if steps.len() < 3 {
                return;
            }
            let free = chosen(&self.book, &steps, freed, &mut draw);
            let book = self.book.with_only(&steps, free);
            let states = TRIAL.min(left);
            let mut trial = Search::new(book, Effort { states, beam: 0 });
            trial.least = self.least;
            trial.best_first(states);
            left = left.saturating_sub(trial.kept().max(TRIAL / 20));
            if let Some(better) = trial.best {
                (self.least, self.best) = (trial.least, Some(better));
                (left, freed, in_vain) = (effort, FREED.0, 0);
                continue;
            }
            in_vain += 1;
            if in_vain % PATIENCE == 0 {
                freed = if freed + 2 > FREED.1 { FREED.0 } else { freed + 2 };
            }
        }
    }
}

/// Operations that are freed together: neighbours in time; all of two stays in one setup,
/// which may become one; and whatever is done in the same setups, or with the same tools, or
/// comes before or after.
fn chosen(book: &Book, steps: &[Step], count: usize, draw: &mut Draw) -> Bits {
    let at = draw.below(steps.len());
    let mut free: Bits = 1 << steps[at].op.0;
    match draw.below(4) {
        0 => {
            let from = at.min(steps.len().saturating_sub(count));
            return steps.iter().skip(from).take(count).fold(0, |all, step| all | 1 << step.op.0);
        }
        1 => free |= stays_of_one_setup(book, steps, at, count),
        _ => {}
    }
    while (free.count_ones() as usize) < count.min(steps.len()) {
        let of = draw.below(free.count_ones() as usize);
        let of = places(free).nth(of).expect("so many are free");
        let by_setup = draw.below(2) == 0;
        let near = |step: &Step| {
            let (mine, op) = (way_of(book, step), &book.ops[of]);
            if by_setup {
                op.at[SETUP] >> mine.stand.setup & 1 == 1
            } else {
                op.ways.iter().any(|way| way.stand.fit == mine.stand.fit)
                    || (op.before >> step.op.0 | book.ops[step.op.0].before >> of) & 1 == 1
            }
        };
        let others = || steps.iter().filter(|step| free >> step.op.0 & 1 == 0);
        let related = others().filter(|step| near(step)).count();
        let next = match related {
            0 => others().nth(draw.below(others().count())),
            _ => others().filter(|step| near(step)).nth(draw.below(related)),
        };
        free |= next.map_or(0, |step| 1 << step.op.0);
    }
    free
}

/// The operations of the stay that a step stands in, and of the next one in that setup, as
/// far as so many go.
fn stays_of_one_setup(book: &Book, steps: &[Step], at: usize, count: usize) -> Bits {
    let setup = |step: &Step| way_of(book, step).stand.setup;
    let mine = setup(&steps[at]);
    let begin = (0..=at).rev().find(|&n| setup(&steps[n]) != mine).map_or(0, |n| n + 1);
    let (mut free, mut stays, mut last): (Bits, _, _) = (0, 0, None);
    for step in &steps[begin..] {
        let here = setup(step);
        stays += usize::from(here == mine && last != Some(here));
        if here == mine && stays <= 2 && (free.count_ones() as usize) < count {
            free |= 1 << step.op.0;
        }
        last = Some(here);
    }
    free
}

fn way_of<'a>(book: &'a Book, step: &Step) -> &'a CompiledWay {
    let ways = &book.ops[step.op.0].ways;
    ways.iter().find(|way| way.way == step.way).unwrap_or(&ways[0])
}

impl Book {
    /// The same work, of which all that is not free stays as in some steps: in its way, in
    /// that order, and with those variants.
    fn with_only(&self, steps: &[Step], free: Bits) -> Self {
        let mut book = self.clone();
        let done = steps.iter().fold(0, |all: Bits, step| all | 1 << step.op.0);
        let mut never: Bits = 0;
        for variants in &mut book.groups {
            let all = variants.iter().fold(0, |all, v| all | v);
            if all & free == 0
                && let Some(&kept) = variants.iter().find(|&&v| v & !(done | self.start_done) == 0 && v != 0)
            {
                never |= all & !kept;
                *variants = vec![kept];
            }
        }
        for i in places(never) {
            let op = &mut book.ops[i];
            op.ways.clear();
            (op.makes, op.spoils, op.needs, op.absent) = (0, 0, 0, 0);
            (op.hard_needs, op.any_needs, op.kin, op.kin_ops) = (0, 0, 0, 0);
        }
        let mut last: Bits = 0;
        for step in steps.iter().filter(|step| free >> step.op.0 & 1 == 0) {
            let op = &mut book.ops[step.op.0];
            op.earlier |= last;
            op.ways.retain(|way| way.way == step.way);
            last = 1 << step.op.0;
        }
        for op in &mut book.ops {
            op.kin_ops &= !never;
        }
        book.summed_up();
        book
    }
}
