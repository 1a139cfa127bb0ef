//! Results of a mechanism and how each depends on every parameter.
//!
//! A [`Moment`] is an angle of the drive that is stated or found; a [`Reading`] is a number
//! taken at moments. Both are differentiated exactly: the value at a moment by the implicit
//! function theorem, the moment itself by differentiating the equation that finds it. (At an
//! extreme the moment's own move does not matter to the value: the envelope theorem.)

use crate::derive::{ByParam, Factored, Motion, moving};
use crate::describe::Size;
use crate::fault::Fault;
use crate::hyper::Hyper;
use crate::measure::{Measure, Posed, Reckoned};
use crate::model::State;
use crate::sized::Sized;
use crate::turn::Turn;

/// An angle of the drive, stated or found.
#[derive(Clone, Debug, PartialEq)]
pub enum Moment {
    /// This angle.
    At(Size),
    /// Where the measure is greatest over the turn.
    Most(Measure),
    /// Where the measure is least over the turn.
    Least(Measure),
    /// Where the measure turns back, the place nearest to an angle.
    Turns {
        /// What turns back.
        what: Measure,
        /// The drive's angle it is looked for at.
        near: f64,
    },
    /// Where the measure passes a level, the place nearest to an angle.
    Passes {
        /// What passes.
        what: Measure,
        /// The level it passes.
        level: Size,
        /// Whether it grows there.
        rising: bool,
        /// The drive's angle it is looked for at.
        near: f64,
    },
}

/// A result of a mechanism.
#[derive(Clone, Debug, PartialEq)]
pub enum Reading {
    /// The drive's angle at a moment.
    When(Moment),
    /// How far the drive goes from the first moment on to the second, less than a turn.
    Since(Moment, Moment),
    /// A measure at a moment.
    Value(Measure, Moment),
    /// A measure's rate at a moment, for one radian of the drive.
    Rate(Measure, Moment),
    /// A size itself.
    Size(Size),
    /// Results times factors.
    Sum(Vec<(Reading, f64)>),
    /// One result for another.
    Ratio(Box<Reading>, Box<Reading>),
}

impl Reading {
    /// The greatest less the least of a measure.
    pub fn stroke(what: &Measure) -> Self {
        Self::Sum(vec![
            (Self::Value(what.clone(), Moment::Most(what.clone())), 1.0),
            (Self::Value(what.clone(), Moment::Least(what.clone())), -1.0),
        ])
    }
}

/// A result with how it changes with each parameter.
#[derive(Clone, Debug, PartialEq)]
pub struct Valued {
    /// The result.
    pub value: f64,
    /// For one unit of each parameter, in the mechanism's order.
    pub by: Vec<f64>,
}

/// Takes readings from a turn.
pub struct Judge<'a> {
    turn: &'a Turn,
    along: Vec<(Vec<Hyper>, Sized<Hyper>)>,
}

/// A position with how it moves with everything.
struct Local {
    state: State,
    motion: Motion,
    by: Vec<ByParam>,
}

impl Turn {
    /// What takes readings, with derivatives, from this turn.
    ///
    /// # Errors
    ///
    /// None that the model's making did not already report.
    pub fn judge(&self) -> Result<Judge<'_>, Fault> {
        let along = (0..self.model.params.len()).map(|p| self.model.along(p)).collect::<Result<_, _>>()?;
        Ok(Judge { turn: self, along })
    }

    fn no(&self, what: &str, why: String, mend: &str) -> Fault {
        Fault::new(what, vec!["result".into()], why, mend)
    }

    /// The drive's angle at a moment.
    ///
    /// # Errors
    ///
    /// Where the measure never passes the level or does not move: what it does instead.
    pub fn when(&self, moment: &Moment) -> Result<f64, Fault> {
        let params = &self.model.params;
        let (Moment::Most(what)
        | Moment::Least(what)
        | Moment::Turns { what, .. }
        | Moment::Passes { what, .. }) = moment
        else {
            let Moment::At(size) = moment else { unreachable!("all others were matched") };
            if size.terms.iter().any(|(p, _)| p.0 >= params.len()) {
                return Err(self.unknown());
            }
            return Ok(size.value(params));
        };
        if !self.model.knows(what) {
            return Err(self.unknown());
        }
        let range = self.range(what).ok_or_else(|| {
            self.no(
                "a result has no position to be taken at",
                "the mechanism moves nowhere without its links in line".into(),
                "mend the lengths so that it moves",
            )
        })?;
        let nearest = |angles: Vec<f64>, near: f64| {
            let away = |angle: f64| {
                let d = angle - near;
                if self.closed { (d - (d / self.long()).round() * self.long()).abs() } else { d.abs() }
            };
            angles.into_iter().min_by(|a, b| away(*a).total_cmp(&away(*b)))
        };
        match moment {
            Moment::Most(_) => Ok(range[0].angle),
            Moment::Least(_) => Ok(range[1].angle),
            Moment::Turns { near, .. } => {
                let all = self.extremes(what).iter().map(|e| e.angle).collect();
                nearest(all, *near).ok_or_else(|| {
                    self.no(
                        "a measure does not turn back",
                        format!("it goes from {:.4} to {:.4} and no further", range[1].value, range[0].value),
                        "ask for another measure",
                    )
                })
            }
            Moment::Passes { level, rising, near, .. } => {
                let level = level.value(params);
                let all = self.crossings(what, level);
                let all = all.iter().filter(|c| c.rising == *rising).map(|c| c.angle).collect();
                nearest(all, *near).ok_or_else(|| {
                    self.no(
                        "a measure never passes the level asked for",
                        format!(
                            "the level is {level:.4}, it goes from {:.4} to {:.4}",
                            range[1].value, range[0].value
                        ),
                        "ask for a level between, or change what moves it",
                    )
                })
            }
            Moment::At(_) => unreachable!("answered above"),
        }
    }

    fn unknown(&self) -> Fault {
        self.no(
            "a result names something that is not there",
            "it speaks of a point, link, joint or parameter the mechanism does not have".into(),
            "name one that it has",
        )
    }

    /// How far the drive goes over the turn.
    pub fn long(&self) -> f64 {
        self.states[self.states.len() - 1].angle - self.states[0].angle
    }

    /// A result without its derivatives.
    ///
    /// # Errors
    ///
    /// As [`Self::when`], and where the links do not reach at a stated angle.
    pub fn value(&self, reading: &Reading) -> Result<f64, Fault> {
        let at = |what: &Measure, moment: &Moment| -> Result<Reckoned, Fault> {
            if !self.model.knows(what) {
                return Err(self.unknown());
            }
            let angle = self.when(moment)?;
            self.reckon(angle, what).ok_or_else(|| self.not_there(angle))
        };
        Ok(match reading {
            Reading::When(moment) => self.when(moment)?,
            Reading::Since(a, b) => self.since(self.when(a)?, self.when(b)?),
            Reading::Value(what, moment) => {
                if !self.model.knows(what) {
                    return Err(self.unknown());
                }
                let angle = self.when(moment)?;
                let state = self.at(angle).ok_or_else(|| self.not_there(angle))?;
                self.model.measure(&state, what)
            }
            Reading::Rate(what, moment) => at(what, moment)?.first,
            Reading::Size(size) => size.value(&self.model.params),
            Reading::Sum(parts) => {
                let mut sum = 0.0;
                for (part, by) in parts {
                    sum += by * self.value(part)?;
                }
                sum
            }
            Reading::Ratio(a, b) => self.value(a)? / self.value(b)?,
        })
    }

    fn since(&self, a: f64, b: f64) -> f64 {
        let d = b - a;
        if !self.closed {
            return d;
        }
        let within = d.rem_euclid(self.long());
        // A whole turn less a rounding is no way at all.
        if self.long() - within < 1e-10 { within - self.long() } else { within }
    }

    fn not_there(&self, angle: f64) -> Fault {
        self.no(
            "a result cannot be taken where it is asked for",
            format!(
                "with the drive at {} the links do not reach, or lie in line",
                self.model.drive_words(angle)
            ),
            "ask for it at another angle, or mend the lengths",
        )
    }
}

impl Judge<'_> {
    /// A result with its derivatives by every parameter.
    ///
    /// # Errors
    ///
    /// As [`Turn::value`].
    pub fn read(&self, reading: &Reading) -> Result<Valued, Fault> {
        let n = self.along.len();
        Ok(match reading {
            Reading::When(moment) => self.when(moment)?,
            Reading::Since(a, b) => {
                let (a, b) = (self.when(a)?, self.when(b)?);
                let by = a.by.iter().zip(&b.by).map(|(a, b)| b - a).collect();
                Valued { value: self.turn.since(a.value, b.value), by }
            }
            Reading::Value(what, moment) => {
                let when = self.when(moment)?;
                let local = self.local(when.value)?;
                let (y, by) = self.at(&local, what);
                let by = (0..n).map(|p| by[p].0 + y.first * when.by[p]).collect();
                Valued { value: y.value, by }
            }
            Reading::Rate(what, moment) => {
                let when = self.when(moment)?;
                let local = self.local(when.value)?;
                let (y, by) = self.at(&local, what);
                let by = (0..n).map(|p| by[p].1 + y.second * when.by[p]).collect();
                Valued { value: y.first, by }
            }
            Reading::Size(size) => self.size(size),
            Reading::Sum(parts) => {
                let mut sum = Valued { value: 0.0, by: vec![0.0; n] };
                for (part, by) in parts {
                    let one = self.read(part)?;
                    sum.value += by * one.value;
                    sum.by.iter_mut().zip(&one.by).for_each(|(s, o)| *s += by * o);
                }
                sum
            }
            Reading::Ratio(a, b) => {
                let (a, b) = (self.read(a)?, self.read(b)?);
                let value = a.value / b.value;
                let by = a.by.iter().zip(&b.by).map(|(x, y)| (x - value * y) / b.value).collect();
                Valued { value, by }
            }
        })
    }

    fn size(&self, size: &Size) -> Valued {
        let mut by = vec![0.0; self.along.len()];
        for (p, factor) in &size.terms {
            if let Some(by) = by.get_mut(p.0) {
                *by += factor;
            }
        }
        Valued { value: size.value(&self.turn.model.params), by }
    }

    fn local(&self, angle: f64) -> Result<Local, Fault> {
        let fault = || self.turn.not_there(angle);
        let state = self.turn.at(angle).ok_or_else(fault)?;
        let (motion, by) = {
            let factored: Factored<'_> = self.turn.model.factored(&state).ok_or_else(fault)?;
            let motion = factored.motion();
            let by = self.along.iter().map(|(_, sized)| factored.by_param(sized, &motion)).collect();
            (motion, by)
        };
        Ok(Local { state, motion, by })
    }

    /// A measure at a position, and for each parameter how its value and its rate change.
    fn at(&self, local: &Local, what: &Measure) -> (Reckoned, Vec<(f64, f64)>) {
        let model = &self.turn.model;
        let y = model.reckon(&local.state, &local.motion, what);
        let by = self.along.iter().zip(&local.by).map(|((params, sized), by)| {
            let poses = moving(&local.state, &by.first, &local.motion.first, Some(&by.mixed));
            let drive = Hyper::new(local.state.angle, 0.0, 1.0, 0.0);
            let at = Posed { model, params, by: sized, poses: &poses, drive }.measure(what);
            (at.b, at.d)
        });
        (y, by.collect())
    }

    fn when(&self, moment: &Moment) -> Result<Valued, Fault> {
        let value = self.turn.when(moment)?;
        let n = self.along.len();
        let by = match moment {
            Moment::At(size) => self.size(size).by,
            Moment::Most(what) | Moment::Least(what) | Moment::Turns { what, .. } => {
                let local = self.local(value)?;
                let (y, by) = self.at(&local, what);
                if y.second == 0.0 || y.first.abs() > 1e-6 * (1.0 + y.second.abs()) {
                    // The end of the way, or a measure that stands: it does not move off it.
                    vec![0.0; n]
                } else {
                    by.iter().map(|(_, rate)| -rate / y.second).collect()
                }
            }
            Moment::Passes { what, level, .. } => {
                let local = self.local(value)?;
                let (y, by) = self.at(&local, what);
                let level = self.size(level).by;
                (0..n).map(|p| (level[p] - by[p].0) / y.first).collect()
            }
        };
        Ok(Valued { value, by })
    }
}
