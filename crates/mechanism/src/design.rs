//! Finding sizes that give wanted results.
//!
//! Damped Gauss-Newton steps on exact derivatives, kept within stated bounds, from where the
//! mechanism stands and, where that comes to nothing, from fixed places spread over the
//! bounds. Each step is a whole turn solved anew on the same assembly. Where nothing gives
//! what is wanted, the nearest found is told.

use crate::ParamId;
use crate::fault::Fault;
use crate::linear::{lu, lu_solve};
use crate::reading::Reading;
use crate::turn::Turn;
use crate::valve::{Timed, Valve};

/// What a valve is asked for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ValveAsk {
    /// The port's opening at an end's dead centre, millimetres.
    Lead(usize),
    /// The head end's lead less the crank end's, millimetres.
    LeadGap,
    /// The share of the stroke at an end's cut-off.
    CutOff(usize),
    /// The head end's cut-off less the crank end's, as shares of the stroke.
    CutOffGap,
    /// The share of the stroke at an end's release.
    Release(usize),
    /// The share of the stroke, from the end itself, where its compression begins.
    Compression(usize),
    /// The greatest opening of an end's port to steam, millimetres.
    Opening(usize),
}

/// A result asked for.
#[derive(Clone, Debug, PartialEq)]
pub enum Ask {
    /// A reading.
    Reading(Reading),
    /// Something of a valve, found anew at every step.
    Valve(Valve, ValveAsk),
}

/// A result and the value it is to have.
#[derive(Clone, Debug, PartialEq)]
pub struct Wish {
    /// The result.
    pub ask: Ask,
    /// The value wanted.
    pub want: f64,
    /// How near counts as reached.
    pub close: f64,
}

/// A size that may be changed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Freed {
    /// The parameter.
    pub param: ParamId,
    /// The least it may be.
    pub from: f64,
    /// The most it may be.
    pub to: f64,
}

/// Sizes found.
#[derive(Clone, Debug)]
pub struct Design {
    /// The values of all parameters.
    pub params: Vec<f64>,
    /// The mechanism followed round with them.
    pub turn: Turn,
    /// What each wish comes to.
    pub values: Vec<f64>,
    /// How each wish changes with each freed size.
    pub slopes: Vec<Vec<f64>>,
    /// Whether every wish is met.
    pub reached: bool,
    /// Where not: how near it comes, and which bounds stand in the way.
    pub short: Option<Fault>,
}

/// Steps from one start.
const STEPS: usize = 60;
/// Starts besides the first.
const STARTS: usize = 8;

impl Ask {
    /// The reading that answers it on a turn.
    ///
    /// # Errors
    ///
    /// Where the valve does not do what it is asked about.
    pub fn reading(&self, turn: &Turn) -> Result<Reading, Fault> {
        let (valve, what) = match self {
            Self::Reading(reading) => return Ok(reading.clone()),
            Self::Valve(valve, what) => (valve, *what),
        };
        let gap = |a: Reading, b: Reading| Reading::Sum(vec![(a, 1.0), (b, -1.0)]);
        match what {
            ValveAsk::Lead(end) => return Ok(valve.lead(end.min(1))),
            ValveAsk::LeadGap => return Ok(gap(valve.lead(0), valve.lead(1))),
            _ => {}
        }
        let events = turn.valve_events(valve)?;
        let share = |end: usize, pick: fn(&crate::EndEvents) -> &Option<Timed>| {
            let end = &events.ends[end.min(1)];
            pick(end).as_ref().map(|t| t.share_by.clone()).ok_or_else(|| {
                Fault::new(
                    "the valve does not do what is asked of it",
                    vec!["valve".into()],
                    end.notes.join("; "),
                    "change what moves it, or its laps",
                )
            })
        };
        match what {
            ValveAsk::CutOff(end) => share(end, |e| &e.cut_off),
            ValveAsk::CutOffGap => Ok(gap(share(0, |e| &e.cut_off)?, share(1, |e| &e.cut_off)?)),
            ValveAsk::Release(end) => share(end, |e| &e.release),
            ValveAsk::Compression(end) => share(end, |e| &e.compression),
            ValveAsk::Opening(end) => Ok(events.ends[end.min(1)].opening.1.clone()),
            ValveAsk::Lead(_) | ValveAsk::LeadGap => unreachable!("answered above"),
        }
    }
}

/// A trial: the mechanism at some sizes with how far the wishes are off.
struct Trial {
    turn: Turn,
    values: Vec<f64>,
    off: Vec<f64>,
    slopes: Vec<Vec<f64>>,
    cost: f64,
}

impl Turn {
    /// Finds values for the freed sizes that give what is wished.
    ///
    /// # Errors
    ///
    /// Where a bound or wish is not a number, or a wish cannot be read from the mechanism as
    /// it stands. Not reaching a wish is no error: see [`Design::reached`].
    pub fn design(&self, wishes: &[Wish], freed: &[Freed]) -> Result<Design, Fault> {
        for f in freed {
            if f.param.0 >= self.model.params.len()
                || f.from > f.to
                || !f.from.is_finite()
                || !f.to.is_finite()
            {
                let name = self.model.of.params.get(f.param.0).map_or("a parameter", |p| p.name.as_str());
                return Err(Fault::new(
                    format!("{name} is not bounded"),
                    vec![name.to_owned()],
                    format!("it may be from {} to {}", f.from, f.to),
                    "give a parameter of the mechanism, its least and its most",
                ));
            }
        }
        if freed.is_empty()
            || wishes.iter().any(|w| !w.want.is_finite() || w.close.is_nan() || w.close <= 0.0)
        {
            return Err(Fault::new(
                "nothing to design by",
                vec!["wishes".into()],
                "sizes to change are needed, and wishes that are numbers with how near they are to be met",
                "free a size, and give each wish its value",
            ));
        }
        let first = self.trial(&self.model.params.clone(), wishes, freed)?;
        let mut best = self.walk(first, wishes, freed);
        for i in 1..=STARTS {
            if best.off.iter().all(|o| o.abs() <= 1.0) {
                break;
            }
            let mut params = self.model.params.clone();
            for (j, f) in freed.iter().enumerate() {
                // Spread evenly over the bounds, the same in every run.
                let u = (0.5 + (i as f64) * [0.618_034, 0.754_878, 0.819_173, 0.856_675][j % 4]).fract();
                params[f.param.0] = f.from + u * (f.to - f.from);
            }
            if let Ok(trial) = self.trial(&params, wishes, freed) {
                let other = self.walk(trial, wishes, freed);
                if other.cost < best.cost {
                    best = other;
                }
            }
        }
        let reached = best.off.iter().all(|o| o.abs() <= 1.0);
        let short = (!reached).then(|| best.short(wishes, freed));
        Ok(Design {
            params: best.turn.model.params.clone(),
            values: best.values,
            slopes: best.slopes,
            reached,
            short,
            turn: best.turn,
        })
    }

    fn trial(&self, params: &[f64], wishes: &[Wish], freed: &[Freed]) -> Result<Trial, Fault> {
        let turn = if params == &self.model.params[..] { self.clone() } else { self.again(params)? };
        if turn.closed != self.closed {
            return Err(Fault::new(
                "the mechanism ceases to go round",
                Vec::new(),
                "with these sizes it locks",
                "keep the sizes nearer to those given",
            ));
        }
        let (mut values, mut off, mut slopes) = (Vec::new(), Vec::new(), Vec::new());
        {
            let judge = turn.judge()?;
            for wish in wishes {
                let read = judge.read(&wish.ask.reading(&turn)?)?;
                off.push((read.value - wish.want) / wish.close);
                slopes.push(freed.iter().map(|f| read.by[f.param.0]).collect::<Vec<_>>());
                values.push(read.value);
            }
        }
        let cost: f64 = off.iter().map(|o| o * o).sum();
        if !cost.is_finite() || slopes.iter().flatten().any(|s| !s.is_finite()) {
            return Err(turn_has_no_number());
        }
        Ok(Trial { turn, values, off, slopes, cost })
    }

    fn walk(&self, mut now: Trial, wishes: &[Wish], freed: &[Freed]) -> Trial {
        let mut damp = 1e-9;
        for _ in 0..STEPS {
            if now.off.iter().all(|o| o.abs() <= 1e-3) {
                break;
            }
            let Some(step) = now.step(wishes, freed, damp) else {
                damp = (damp * 10.0).max(1e-6);
                if damp > 1e12 {
                    break;
                }
                continue;
            };
            let mut params = now.turn.model.params.clone();
            for (f, s) in freed.iter().zip(&step) {
                let p = &mut params[f.param.0];
                *p = (*p + s).clamp(f.from, f.to);
            }
            if params == now.turn.model.params {
                break;
            }
            match now.turn.trial(&params, wishes, freed) {
                Ok(next) if next.cost < now.cost => {
                    let little = now.cost - next.cost < 1e-9 * now.cost;
                    now = next;
                    damp = (damp * 0.1).max(1e-12);
                    if little {
                        break;
                    }
                }
                _ => {
                    damp = (damp * 10.0).max(1e-6);
                    if damp > 1e12 {
                        break;
                    }
                }
            }
        }
        now
    }
}

fn turn_has_no_number() -> Fault {
    Fault::new(
        "a wish has no number here",
        Vec::new(),
        "its value or its slope is not finite",
        "keep the sizes nearer to those given",
    )
}

impl Trial {
    /// A damped step, sizes that stand at a bound and would leave it held there.
    fn step(&self, wishes: &[Wish], freed: &[Freed], damp: f64) -> Option<Vec<f64>> {
        let n = freed.len();
        let mut open = vec![true; n];
        let at = |j: usize| self.turn.model.params[freed[j].param.0];
        loop {
            let all: Vec<usize> = (0..n).filter(|&j| open[j]).collect();
            let m = all.len();
            if m == 0 {
                return Some(vec![0.0; n]);
            }
            // Sizes weighed by how far they may go, so that millimetres and radians agree.
            let wide: Vec<f64> = all.iter().map(|&j| (freed[j].to - freed[j].from).max(1e-12)).collect();
            let (mut a, mut b, mut swap) = (vec![0.0; m * m], vec![0.0; m], vec![0; m]);
            for (i, slopes) in self.slopes.iter().enumerate() {
                for p in 0..m {
                    let sp = slopes[all[p]] * wide[p] / wishes[i].close;
                    b[p] -= sp * self.off[i];
                    for q in 0..m {
                        a[p * m + q] += sp * slopes[all[q]] * wide[q] / wishes[i].close;
                    }
                }
            }
            let scale = (0..m).fold(0.0_f64, |s, p| s.max(a[p * m + p])).max(1e-300);
            (0..m).for_each(|p| a[p * m + p] += damp * scale);
            lu(&mut a, m, &mut swap)?;
            lu_solve(&a, m, &swap, &mut b);
            let mut step = vec![0.0; n];
            (0..m).for_each(|p| step[all[p]] = b[p] * wide[p]);
            let leaves = |&j: &usize| {
                let wide = freed[j].to - freed[j].from;
                (at(j) - freed[j].from <= 1e-12 * wide && step[j] < 0.0)
                    || (freed[j].to - at(j) <= 1e-12 * wide && step[j] > 0.0)
            };
            match all.iter().copied().find(|j| leaves(j)) {
                Some(j) => open[j] = false,
                None => return Some(step),
            }
        }
    }

    fn short(&self, wishes: &[Wish], freed: &[Freed]) -> Fault {
        let params = &self.turn.model.params;
        let names = |f: &Freed| self.turn.model.of.params[f.param.0].name.clone();
        let wanted: Vec<String> = (wishes.iter().zip(&self.values).zip(&self.off))
            .filter(|(_, off)| off.abs() > 1.0)
            .map(|((w, v), _)| format!("{v:.6} where {:.6} is wanted", w.want))
            .collect();
        let at: Vec<String> =
            freed.iter().map(|f| format!("{} {:.6}", names(f), params[f.param.0])).collect();
        let stopped: Vec<String> = freed
            .iter()
            .filter(|f| {
                let wide = f.to - f.from;
                params[f.param.0] - f.from <= 1e-9 * wide || f.to - params[f.param.0] <= 1e-9 * wide
            })
            .map(names)
            .collect();
        let mend = if stopped.is_empty() {
            "free another size, or wish for less".to_owned()
        } else {
            format!("give {} more room, or free another size", stopped.join(" and "))
        };
        Fault::new(
            "no sizes were found that give what is wished",
            freed.iter().map(names).collect(),
            format!("the nearest is {}, with {}", wanted.join(" and "), at.join(", ")),
            mend,
        )
    }
}
