//! A mechanism followed round: where it stops, where two ways part, and every position.

use std::f64::consts::TAU;

use crate::derive::Motion;
use crate::describe::Drive;
use crate::measure::{Measure, Reckoned};
use crate::model::{Model, State};
use crate::plan::Way;
use crate::rows::Pose;

/// How far and how finely a mechanism is followed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Span {
    /// How far the drive goes: radians, or millimetres where a point is pushed.
    pub long: f64,
    /// In how many equal steps.
    pub steps: usize,
}

impl Span {
    /// One turn in half degrees.
    pub const TURN: Self = Self { long: TAU, steps: 720 };
}

/// What happens on the way round.
#[derive(Clone, Debug, PartialEq)]
pub enum Event {
    /// The links do not reach any further: the drive cannot go beyond.
    Lock {
        /// The drive's angle, to 1e-9 radian.
        angle: f64,
        /// The links that come into line.
        links: Vec<String>,
    },
    /// Two assemblies meet: the links come into line and could go on either way. It is
    /// followed smoothly, as a flywheel would carry it.
    Change {
        /// The drive's angle, to 1e-9 radian.
        angle: f64,
        /// The links that come into line.
        links: Vec<String>,
    },
}

impl Event {
    /// The drive's angle.
    pub fn angle(&self) -> f64 {
        match self {
            Self::Lock { angle, .. } | Self::Change { angle, .. } => *angle,
        }
    }
}

/// Every position on the way round, in the drive's order.
#[derive(Clone, Debug)]
pub struct Turn {
    /// The mechanism followed.
    pub model: Model,
    /// Positions at equal steps: from the start to the start again, or between two locks.
    pub states: Vec<State>,
    /// How the links move at each; none where they come into line and no mean is to be had.
    pub motions: Vec<Option<Motion>>,
    /// Locks and changes, in the drive's order.
    pub events: Vec<Event>,
    /// Whether it goes all the way.
    pub whole: bool,
    /// Whether the end is the beginning again: the same position one turn on.
    pub closed: bool,
}

/// A link may move at most so much between two positions beyond what was foreseen, as a
/// share of the reach or in radians, before smaller steps are taken.
pub(crate) const JUMP: f64 = 0.02;
/// Beyond what was foreseen to second order a link may stray by such a share of its way.
const STRAYS: f64 = 2e-3;
/// A step so short that a change point is told from a lock by where it leads.
const SHORT_SHARE: f64 = 2e-3;
/// The smallest share of a step that is tried before the links are said to stop.
const LEAST_SHARE: f64 = 1e-7;
/// A sine below this between two links of a pair is worth looking at more closely.
pub(crate) const NEAR_LINE: f64 = 0.3;

impl Model {
    /// Follows the mechanism from a position over the span; where it locks, back from the
    /// start too, so that everything it can reach is there.
    pub fn turn(&self, start: &State, span: Span) -> Turn {
        let step = span.long.abs() / span.steps.max(1) as f64;
        let (mut states, mut events) = (vec![start.clone()], Vec::new());
        let mut whole = self.follow(start, step, span.steps.max(1), &mut states, &mut events);
        if !whole {
            let (mut back, mut earlier) = (vec![start.clone()], Vec::new());
            whole = self.follow(start, -step, span.steps.max(1), &mut back, &mut earlier);
            back.remove(0);
            back.reverse();
            back.extend(states);
            states = back;
            earlier.reverse();
            earlier.append(&mut events);
            events = earlier;
            // Going round backwards finds what going round forwards does; a lock stays one.
            whole &= false;
        }
        let motions = states.iter().map(|state| self.mean_motion(state)).collect();
        let closed = whole && self.same(&states[0], &states[states.len() - 1]);
        Turn { model: self.clone(), states, motions, events, whole, closed }
    }

    fn same(&self, a: &State, b: &State) -> bool {
        let turns = !matches!(self.of.drive, Some(Drive::Slide { .. }));
        let whole = ((b.angle - a.angle) / TAU).fract().abs();
        turns
            && whole.min(1.0 - whole) < 1e-9
            && a.poses.iter().zip(&b.poses).all(|(p, q)| {
                (p.x - q.x).hypot(p.y - q.y) < 1e-6 * self.reach && (p.c - q.c).hypot(p.s - q.s) < 1e-6
            })
    }

    /// The motion at a position; where links are in line, the mean of either side.
    pub(crate) fn mean_motion(&self, state: &State) -> Option<Motion> {
        let in_line =
            self.blocks.iter().zip(&state.room).any(|(b, &room)| {
                !matches!(b.way, Way::Newton | Way::Least | Way::Spin { .. }) && room < 1e-12
            });
        if !in_line && let Some(motion) = self.motion(state) {
            return Some(motion);
        }
        let side = |by: f64| {
            let mut other = state.clone();
            Self::stand(&mut other);
            if by > 0.0 {
                // Beyond the line a pair goes on smoothly on its other side.
                for (k, room) in state.room.iter().enumerate() {
                    if *room < 1e-12 {
                        other.sides[k] = -other.sides[k];
                    }
                }
            }
            self.go(&mut other, state.angle + by).ok()?;
            self.motion(&other)
        };
        let (a, b) = (side(-1e-4)?, side(1e-4)?);
        let mean = |a: &[[f64; 3]], b: &[[f64; 3]]| {
            a.iter().zip(b).map(|(a, b)| [0, 1, 2].map(|i| 0.5 * (a[i] + b[i]))).collect()
        };
        Some(Motion { first: mean(&a.first, &b.first), second: mean(&a.second, &b.second) })
    }

    /// Follows it so many steps; false where it stopped.
    fn follow(
        &self,
        start: &State,
        step: f64,
        steps: usize,
        states: &mut Vec<State>,
        events: &mut Vec<Event>,
    ) -> bool {
        let from = start.angle;
        let mut state = start.clone();
        Self::stand(&mut state);
        let prior = self.prior(start, step);
        // One step more than is kept, to see what happens about the last one.
        for i in 1..=steps + 1 {
            let before = state.clone();
            let seen = events.len();
            if let Err(lock) = self.advance(&mut state, from + step * i as f64, events) {
                events.truncate(if i > steps { seen } else { events.len() });
                if i > steps {
                    return true;
                }
                let (event, last) = *lock;
                events.push(event);
                if last.angle != states[states.len() - 1].angle {
                    states.push(last);
                }
                return false;
            }
            events.truncate(if i > steps { seen } else { events.len() });
            let n = states.len();
            let earlier = if i == 1 { prior.as_ref() } else { states.get(n.wrapping_sub(2)) };
            if let Some(earlier) = earlier
                && let Some(event) = self.in_line(earlier, &before, &state)
            {
                let (k, event) = event;
                let at = event.angle();
                let lock = matches!(event, Event::Lock { .. });
                // What lies about the last position is told once: beyond it at the beginning
                // of the next turn, on it or short of it here.
                let beyond = (at - before.angle) * step > 1e-9 * step.abs();
                if i > steps && beyond {
                    return true;
                }
                if i == 1 && !beyond {
                    states.push(state.clone());
                    continue;
                }
                events.push(event);
                if lock {
                    // What was reached beyond the lock was reached by jumping over it.
                    states.retain(|s| (s.angle - at) * step < 0.0);
                    let mut last = before.clone();
                    if self.go(&mut last, at).is_ok() {
                        states.push(last);
                    }
                    return false;
                }
                for later in states.iter_mut().rev().take(2) {
                    if (later.angle - at) * step > 1e-9 * step.abs() {
                        later.sides[k] = -later.sides[k];
                        let angle = later.angle;
                        let _ = self.go(later, angle);
                    }
                }
                state.sides[k] = -state.sides[k];
                let angle = state.angle;
                let _ = self.go(&mut state, angle);
            }
            if i <= steps {
                states.push(state.clone());
            }
        }
        true
    }

    /// Where pairs of links would stand one step before the start, to see what happens about
    /// the start itself; none where they do not reach there, or are not all pairs.
    fn prior(&self, start: &State, step: f64) -> Option<State> {
        if self.blocks.iter().any(|b| matches!(b.way, Way::Newton | Way::Least)) {
            return None;
        }
        let mut state = start.clone();
        Self::stand(&mut state);
        self.go(&mut state, start.angle - step).ok()?;
        Some(state)
    }

    /// Whether a position follows from another without a jump; Newton's blocks only.
    fn smooth(&self, from: &State, to: &State, ahead: &State, known: bool) -> bool {
        let strays = if known { STRAYS * self.far(from, to) + 1e-9 } else { JUMP };
        self.blocks.iter().enumerate().all(|(k, block)| match block.way {
            Way::Newton => from.room[k] * to.room[k] > 0.0 && self.far(ahead, to) <= strays,
            Way::Least => self.far(ahead, to) <= strays,
            _ => true,
        })
    }

    /// How far two positions differ at most: a share of the reach, or radians.
    fn far(&self, a: &State, b: &State) -> f64 {
        a.poses.iter().zip(&b.poses).fold(0.0_f64, |most, (p, q)| {
            most.max((p.x - q.x).hypot(p.y - q.y) / self.reach).max((p.t - q.t).abs())
        })
    }

    /// Where the links will be if they go on as they do, to second order; and whether that is
    /// known, as it is not at a dead centre.
    fn foreseen(&self, state: &State, motion: Option<&Motion>, angle: f64) -> (State, bool) {
        let mut ahead = state.clone();
        Self::stand(&mut ahead);
        let step = angle - state.angle;
        if let Some(motion) = motion {
            for ((pose, m), s) in ahead.poses.iter_mut().zip(&motion.first).zip(&motion.second).skip(1) {
                let on = |v: f64, i: usize| v + step * (m[i] + 0.5 * step * s[i]);
                *pose = Pose::new(on(pose.x, 0), on(pose.y, 1), on(pose.t, 2));
            }
        }
        (ahead, motion.is_some())
    }

    /// Goes to an angle in as many smaller steps as it takes.
    ///
    /// # Errors
    ///
    /// The lock, with the last position before it.
    fn advance(
        &self,
        state: &mut State,
        to: f64,
        events: &mut Vec<Event>,
    ) -> Result<(), Box<(Event, State)>> {
        let from = state.angle;
        let step = to - from;
        let (mut done, mut share) = (0.0_f64, 1.0_f64);
        let searched = self.blocks.iter().any(|b| matches!(b.way, Way::Newton | Way::Least));
        let mut motion = if searched { self.motion(state) } else { None };
        while done < 1.0 {
            let next = if done + share >= 1.0 { to } else { from + step * (done + share) };
            let mut one = state.clone();
            let (ahead, known) = if searched {
                let (ahead, known) = self.foreseen(state, motion.as_ref(), next);
                one = ahead.clone();
                (ahead, known)
            } else {
                (one.clone(), false)
            };
            let went = self.go(&mut one, next);
            Self::stand(&mut one);
            match went {
                Ok(()) if self.smooth(state, &one, &ahead, known) => {
                    *state = one;
                    done += share;
                    share = (2.0 * share).min(1.0);
                    motion = if searched && done < 1.0 { self.motion(state) } else { None };
                    continue;
                }
                Ok(()) if share < SHORT_SHARE && self.goes_on(state, &one, &ahead) => {
                    if let Some(k) = self.turned_over(state, &one) {
                        let (a, b) = (self.determinant(k, state), self.determinant(k, &one));
                        let angle = state.angle + (next - state.angle) * a / (a - b);
                        events.push(Event::Change { angle, links: self.names(k) });
                    }
                    *state = one;
                    done += share;
                    motion = self.motion(state);
                    continue;
                }
                Ok(()) if share > LEAST_SHARE => {}
                Ok(()) => {
                    let k = self.turned_over(state, &one).unwrap_or(0);
                    return Err(Box::new(self.lock(state, next, k)));
                }
                Err(stuck) if share > LEAST_SHARE && stuck.room.is_nan() => {}
                Err(stuck) => return Err(Box::new(self.lock(state, next, stuck.block))),
            }
            share *= 0.5;
        }
        Ok(())
    }

    /// Whether a position lies on the way a short step was foreseen to go, a turned-over
    /// determinant or not: through a change point, not back from a lock.
    fn goes_on(&self, from: &State, to: &State, ahead: &State) -> bool {
        self.far(ahead, to) <= 0.05 * self.far(from, to) + 1e-9
    }
}

impl Turn {
    /// The position at an angle of the drive, from the nearest one that was followed; angles
    /// beyond the turn are brought back into it. `None` where the links do not reach.
    pub fn at(&self, angle: f64) -> Option<State> {
        let angle = self.within(angle);
        let i = self.states.partition_point(|s| s.angle < angle).min(self.states.len() - 1);
        let near =
            if i > 0 && angle - self.states[i - 1].angle < self.states[i].angle - angle { i - 1 } else { i };
        // From a lock nothing leads on; from the other neighbour it may.
        [near, if near == i { i.saturating_sub(1) } else { i }].into_iter().find_map(|from| {
            let mut state = self.states[from].clone();
            if state.angle != angle {
                Model::stand(&mut state);
                self.model.go(&mut state, angle).ok()?;
            }
            Some(state)
        })
    }

    /// The same angle within the turn, where the turn closes.
    pub fn within(&self, angle: f64) -> f64 {
        let (first, last) = (self.states[0].angle, self.states[self.states.len() - 1].angle);
        if self.closed && last > first && !(first..=last).contains(&angle) {
            first + (angle - first).rem_euclid(last - first)
        } else {
            angle
        }
    }

    /// A measure with its derivatives at every position that has a motion.
    pub fn curve(&self, what: &Measure) -> Vec<Reckoned> {
        let all = self.states.iter().zip(&self.motions);
        all.filter_map(|(state, motion)| Some(self.model.reckon(state, motion.as_ref()?, what))).collect()
    }

    /// A measure with its derivatives at an angle.
    pub fn reckon(&self, angle: f64, what: &Measure) -> Option<Reckoned> {
        let state = self.at(angle)?;
        let motion = self.model.mean_motion(&state)?;
        Some(self.model.reckon(&state, &motion, what))
    }
}
