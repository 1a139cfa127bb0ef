//! How closely each size must be kept so that the results stay within what is allowed.
//!
//! Sizes are given wishes in proportion: a size that is hard to keep wants more than one that
//! is easy. The widest tolerances are those with the greatest common factor on these wishes;
//! sizes that the first bound does not touch are then widened further in the same way, and so
//! on (the greatest least factor, then the next: lexicographic max-min). For tolerances added
//! up as they are that is the exact optimum of the linear problem; as a root of squares
//! likewise, since each bound is met with equality by all sizes it touches. Both are first
//! order; [`Turn::at_worst`] solves the worst corner itself.

use crate::ParamId;
use crate::derive::Motion;
use crate::fault::Fault;
use crate::model::State;
use crate::reading::Reading;
use crate::turn::{Span, Turn};

/// How tolerances add up.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Together {
    /// Every size at its worst at once.
    Worst,
    /// The root of the sum of squares: sizes that err independently.
    RootSquare,
}

/// A result and how far it may stray either way.
#[derive(Clone, Debug, PartialEq)]
pub struct Allowed {
    /// The result.
    pub reading: Reading,
    /// How far it may stray either way, in its own unit.
    pub within: f64,
}

/// What is said of one size.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Kept {
    /// It is kept within this, whatever comes: a size made already, a bought part.
    To(f64),
    /// It shares in what is left.
    Share {
        /// What it wants in proportion to others: 2 for a size twice as hard to keep.
        want: f64,
        /// What it needs at most.
        most: f64,
    },
}

/// The widest tolerances found.
#[derive(Clone, Debug, PartialEq)]
pub struct Widest {
    /// For each size, how far it may stray either way; infinite where nothing hangs on it.
    pub within: Vec<f64>,
    /// Which result bounds each size; none where it is stated, or nothing does.
    pub bound_by: Vec<Option<usize>>,
    /// For each result, how it changes with each size.
    pub effects: Vec<Vec<f64>>,
    /// For each result, how far it may stray with these.
    pub strays: Vec<f64>,
}

/// What one size does to one result.
#[derive(Clone, Debug, PartialEq)]
pub struct Effect {
    /// The size.
    pub param: ParamId,
    /// The result's change for one unit of it.
    pub by: f64,
    /// The result's change when the size strays as far as it may.
    pub strays: f64,
}

/// What each size does to a result, the strongest first; sizes without effect are left out.
pub fn ranked(by: &[f64], within: &[f64]) -> Vec<Effect> {
    let mut all: Vec<Effect> = by
        .iter()
        .zip(within)
        .enumerate()
        .map(|(p, (&by, &t))| Effect {
            param: ParamId(p),
            by,
            strays: if by == 0.0 { 0.0 } else { (by * t).abs() },
        })
        .filter(|effect| effect.strays > 0.0)
        .collect();
    all.sort_by(|a, b| b.strays.total_cmp(&a.strays).then(a.param.cmp(&b.param)));
    all
}

impl Turn {
    /// The widest tolerances for sizes so that every result stays within what is allowed.
    ///
    /// # Errors
    ///
    /// Where what is stated of some sizes uses up a result's allowance alone, or an allowance
    /// is not above nought.
    pub fn widest(
        &self,
        allowed: &[Allowed],
        sizes: &[(ParamId, Kept)],
        how: Together,
    ) -> Result<Widest, Fault> {
        let judge = self.judge()?;
        let mut effects = Vec::new();
        for one in allowed {
            let read = judge.read(&one.reading)?;
            let of = |&(p, _): &(ParamId, Kept)| read.by.get(p.0).copied().unwrap_or(0.0);
            effects.push(sizes.iter().map(of).collect());
        }
        let bounds: Vec<f64> = allowed.iter().map(|a| a.within).collect();
        let names =
            |i: usize| self.model.of.params.get(sizes[i].0.0).map_or_else(String::new, |p| p.name.clone());
        share(effects, &bounds, sizes, how, &names)
    }

    /// How far a result really strays below and above when every size strays to its worst:
    /// both corners solved anew, not to first order. `within` is by parameter.
    ///
    /// # Errors
    ///
    /// Where the mechanism does not go together at a corner, or the result is not there.
    pub fn at_worst(&self, reading: &Reading, within: &[f64]) -> Result<[f64; 2], Fault> {
        let read = self.judge()?.read(reading)?;
        let mut ends = [0.0; 2];
        for (end, way) in ends.iter_mut().zip([-1.0, 1.0]) {
            let params: Vec<f64> = (self.model.params.iter().zip(&read.by).zip(within))
                .map(|((p, by), t)| if *by == 0.0 { *p } else { p + way * t * by.signum() })
                .collect();
            let turn = self.again(&params)?;
            *end = turn.value(reading)? - read.value;
        }
        Ok(ends)
    }

    /// The same turn with other sizes.
    ///
    /// # Errors
    ///
    /// As [`crate::Model::carry`].
    pub fn again(&self, params: &[f64]) -> Result<Self, Fault> {
        // From a position well away from any in which links are in line.
        let start: &State = (self.states.iter().zip(&self.motions))
            .filter(|(_, motion): &(&State, &Option<Motion>)| motion.is_some())
            .max_by(|(a, _), (b, _)| a.least_room().total_cmp(&b.least_room()))
            .map_or(&self.states[0], |(state, _)| state);
        let (model, state) = self.model.carry(start, params)?;
        let first = self.states[0].angle;
        let span = Span { long: self.long(), steps: self.states.len() - 1 };
        if !self.closed {
            return Ok(model.turn(&state, span));
        }
        // Back to where the turn began, on the same assembly, so that angles compare.
        let round = model.turn(&state, span);
        let at = round.at(first).or_else(|| round.at(first + self.long()));
        Ok(match at {
            Some(mut begin) => {
                crate::Model::stand(&mut begin);
                let shift = begin.angle - first;
                if shift.abs() < 1e-9 {
                    model.turn(&begin, span)
                } else {
                    model.turn(&round.earlier(begin, first), span)
                }
            }
            None => round,
        })
    }

    /// The same position one turn before, its angles counted back.
    fn earlier(&self, state: State, first: f64) -> State {
        let turns = state.angle - first;
        let mut back = state;
        back.angle = first;
        let ends = self.states[0].poses.iter().zip(&self.states[self.states.len() - 1].poses);
        for (pose, (a, b)) in back.poses.iter_mut().zip(ends) {
            let by = (b.t - a.t) * (turns / self.long()).round();
            *pose = crate::Pose::new(pose.x, pose.y, pose.t - by);
        }
        back
    }
}

fn share(
    effects: Vec<Vec<f64>>,
    bounds: &[f64],
    sizes: &[(ParamId, Kept)],
    how: Together,
    names: &dyn Fn(usize) -> String,
) -> Result<Widest, Fault> {
    let n = sizes.len();
    let mut within: Vec<f64> = vec![f64::INFINITY; n];
    let mut bound_by = vec![None; n];
    let mut open = vec![false; n];
    for (i, &(_, kept)) in sizes.iter().enumerate() {
        match kept {
            Kept::To(t) => within[i] = t.abs(),
            Kept::Share { want, .. } => open[i] = want > 0.0,
        }
        if !open[i] && within[i].is_infinite() {
            within[i] = 0.0;
        }
    }
    // What stays negligible beside a result's strongest size does not bound anything.
    let counts = |r: usize, i: usize| {
        let most = effects[r].iter().fold(0.0_f64, |m, e| m.max(e.abs()));
        effects[r][i].abs() > 1e-12 * most
    };
    let power = |v: f64| if how == Together::Worst { v.abs() } else { v * v };
    loop {
        // The least factor that a result or a size's own most allows.
        let mut least: Option<(f64, Option<usize>, usize)> = None;
        for (r, &bound) in bounds.iter().enumerate() {
            let used: f64 =
                (0..n).filter(|&i| !open[i] && counts(r, i)).map(|i| power(effects[r][i] * within[i])).sum();
            let left = power(bound) - used;
            let asked: f64 = (0..n)
                .filter(|&i| open[i] && counts(r, i))
                .map(|i| power(effects[r][i] * wish(sizes[i].1)))
                .sum();
            if bound.is_nan() || bound <= 0.0 || left < -1e-12 * power(bound) || (left <= 0.0 && asked > 0.0)
            {
                let worst = (0..n).filter(|&i| !open[i]).max_by(|&a, &b| {
                    (effects[r][a] * within[a]).abs().total_cmp(&(effects[r][b] * within[b]).abs())
                });
                return Err(Fault::new(
                    format!("result {} leaves nothing for the sizes that are still free", r + 1),
                    worst.map(names).into_iter().collect(),
                    format!(
                        "what is stated of the others already uses {:.6} of {bound:.6}",
                        used_up(used, how)
                    ),
                    "allow the result more, or keep the size named closer",
                ));
            }
            if asked > 0.0 {
                let factor = if how == Together::Worst { left / asked } else { (left / asked).sqrt() };
                if least.is_none_or(|(f, _, _)| factor < f) {
                    least = Some((factor, Some(r), 0));
                }
            }
        }
        for (i, &(_, kept)) in sizes.iter().enumerate() {
            if let (true, Kept::Share { want, most }) = (open[i], kept)
                && most.is_finite()
                && least.is_none_or(|(f, _, _)| most / want < f)
            {
                least = Some((most / want, None, i));
            }
        }
        let Some((factor, by, one)) = least else { break };
        match by {
            Some(r) => {
                for i in (0..n).filter(|&i| open[i]).collect::<Vec<_>>() {
                    if counts(r, i) {
                        (open[i], within[i], bound_by[i]) = (false, factor * wish(sizes[i].1), Some(r));
                    }
                }
            }
            None => (open[one], within[one]) = (false, factor * wish(sizes[one].1)),
        }
    }
    let strays = (0..bounds.len())
        .map(|r| {
            used_up((0..n).filter(|&i| counts(r, i)).map(|i| power(effects[r][i] * within[i])).sum(), how)
        })
        .collect();
    Ok(Widest { within, bound_by, effects, strays })
}

fn wish(kept: Kept) -> f64 {
    match kept {
        Kept::Share { want, .. } => want,
        Kept::To(_) => 0.0,
    }
}

fn used_up(power: f64, how: Together) -> f64 {
    if how == Together::Worst { power } else { power.sqrt() }
}

#[cfg(test)]
mod tests {
    use super::*;

    const NO_NAME: &dyn Fn(usize) -> String = &|_| String::new();

    fn free(p: usize, want: f64) -> (ParamId, Kept) {
        (ParamId(p), Kept::Share { want, most: f64::INFINITY })
    }

    /// By hand: result 1 takes sizes 0 and 1 at 0.1 each (1·t + 1·t = 0.2); size 2 has what
    /// result 2 leaves after size 1: 0.5 - 2·0.1 = 0.3 at 1 each.
    #[test]
    fn what_the_first_bound_leaves_alone_is_widened_further() {
        let effects = vec![vec![1.0, -1.0, 0.0], vec![0.0, 2.0, 1.0]];
        let sizes = [free(0, 1.0), free(1, 1.0), free(2, 1.0)];
        let w = share(effects.clone(), &[0.2, 0.5], &sizes, Together::Worst, NO_NAME).unwrap();
        for (got, want) in w.within.iter().zip([0.1, 0.1, 0.3]) {
            assert!((got - want).abs() < 1e-15);
        }
        assert_eq!(w.bound_by, [Some(0), Some(0), Some(1)]);
        assert!((w.strays[0] - 0.2).abs() < 1e-15 && (w.strays[1] - 0.5).abs() < 1e-15);
        let w = share(effects, &[0.2, 0.5], &sizes, Together::RootSquare, NO_NAME).unwrap();
        assert!((w.within[0] - 0.2 / 2_f64.sqrt()).abs() < 1e-15);
        assert!((w.within[2] - (0.25 - 4.0 * 0.02_f64).sqrt()).abs() < 1e-15);
    }

    #[test]
    fn a_size_wants_in_proportion_and_no_more_than_its_most() {
        let effects = vec![vec![1.0, 1.0, 1.0]];
        let sizes = [free(0, 1.0), free(1, 3.0), (ParamId(2), Kept::Share { want: 1.0, most: 0.01 })];
        let w = share(effects, &[0.41], &sizes, Together::Worst, NO_NAME).unwrap();
        for (got, want) in w.within.iter().zip([0.1, 0.3, 0.01]) {
            assert!((got - want).abs() < 1e-15, "{:?}", w.within);
        }
    }

    /// Ten parts of ±0.1: ±1.0 at worst and ±0.316 as a root of squares (a published note).
    #[test]
    fn ten_parts_share_what_the_published_stack_adds_up_to() {
        let sizes: Vec<_> = (0..10).map(|p| free(p, 1.0)).collect();
        for (bound, how) in [(1.0, Together::Worst), (0.1_f64.sqrt(), Together::RootSquare)] {
            let w = share(vec![vec![1.0; 10]], &[bound], &sizes, how, NO_NAME).unwrap();
            assert!(w.within.iter().all(|t| (t - 0.1).abs() < 1e-12));
        }
    }

    #[test]
    fn a_stated_size_that_uses_everything_up_is_named() {
        let effects = vec![vec![1.0, 4.0]];
        let sizes = [free(0, 1.0), (ParamId(1), Kept::To(0.1))];
        let fault = share(effects, &[0.3], &sizes, Together::Worst, &|i| format!("size {i}")).unwrap_err();
        assert_eq!(fault.place, ["size 1"]);
        assert!(fault.why.contains("0.400000 of 0.300000"), "{fault}");
    }
}
