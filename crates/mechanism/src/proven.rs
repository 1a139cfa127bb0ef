//! That nothing hides between the positions that were followed.
//!
//! Turning points are found between sampled positions and refined; here the turn is gone over
//! once more in stretches, on each of which every link's place and rate are bounded
//! (the module `stretch`). A measure whose rate is bounded away from nought does not turn back
//! there; a stretch on which the links are bounded at all holds neither a lock nor a change.
//! Stretches of which neither can be said are halved until they are narrower than
//! [`NARROW`]: what is left are the turning points themselves and places in line, and the
//! most by which a measure can have gone further inside one is told.

use crate::interval::Interval;
use crate::measure::{Measure, Posed};
use crate::reading::{Moment, Reading};
use crate::rows::Pose;
use crate::sized::Sized;
use crate::stretch::Stretch;
use crate::swept::Swept;
use crate::turn::Turn;

/// A stretch as narrow as this is not halved any further: radians, or millimetres of a push.
pub const NARROW: f64 = 1e-5;
/// Stretches looked at before the rest is told as not proven.
const MOST: usize = 60_000;

/// What was proven of a turn.
#[derive(Clone, Debug, PartialEq)]
pub struct Proven {
    /// Stretches on which the links are too near a position in line to be bounded. Nothing
    /// locks and no two ways part outside of them.
    pub in_line: Vec<[f64; 2]>,
    /// For each measure asked about, what was proven of it.
    pub measures: Vec<Turnings>,
    /// How many stretches were looked at.
    pub stretches: usize,
}

/// Where a measure may turn back.
#[derive(Clone, Debug, PartialEq)]
pub struct Turnings {
    /// The only stretches on which it may, those in line left out.
    pub within: Vec<[f64; 2]>,
    /// Those of them in or beside which no turning point was found.
    pub unseen: Vec<[f64; 2]>,
    /// The most by which the measure may go further there than its ends.
    pub more: f64,
}

impl Reading {
    /// The measures whose turning points or crossings this result rests on.
    pub fn turning(&self) -> Vec<Measure> {
        let of = |moment: &Moment| match moment {
            Moment::At(_) => None,
            Moment::Most(what)
            | Moment::Least(what)
            | Moment::Turns { what, .. }
            | Moment::Passes { what, .. } => Some(what.clone()),
        };
        let mut all = match self {
            Self::When(a) | Self::Value(_, a) | Self::Rate(_, a) => of(a).into_iter().collect(),
            Self::Since(a, b) => [of(a), of(b)].into_iter().flatten().collect(),
            Self::Size(_) => Vec::new(),
            Self::Sum(parts) => parts.iter().flat_map(|(part, _)| part.turning()).collect(),
            Self::Ratio(a, b) => [a.turning(), b.turning()].concat(),
        };
        let mut seen: Vec<Measure> = Vec::new();
        all.retain(|what| {
            let fresh = !seen.contains(what);
            seen.extend(fresh.then(|| what.clone()));
            fresh
        });
        all
    }
}

impl Turn {
    /// Goes over the turn in stretches and proves where these measures may turn back and the
    /// links may come into line: nowhere else.
    pub fn proven(&self, asked: &[Measure]) -> Proven {
        let lifted: Sized<Interval> = self.model.by.lift();
        let params: Vec<Swept> = self.model.params.iter().map(|&v| crate::num::Num::of(v)).collect();
        let by: Sized<Swept> = self.model.by.lift();
        let mut in_line = Vec::new();
        let mut left: Vec<(Vec<[f64; 2]>, f64)> = vec![(Vec::new(), 0.0); asked.len()];
        let mut stretches = 0;
        let stands: Vec<bool> = asked.iter().map(|what| self.stands(&self.curve(what))).collect();
        let all: Vec<usize> = (0..asked.len()).filter(|&at| !stands[at]).collect();
        // The last is taken first: from the end of the turn to its beginning.
        let pairs = self.states.windows(2).map(|pair| (pair[0].angle, pair[1].angle, all.clone()));
        let mut open: Vec<(f64, f64, Vec<usize>)> = pairs.collect();
        while let Some((from, to, which)) = open.pop() {
            let (mid, half) = (0.5 * (from + to), 0.5 * (to - from));
            let narrow = to - from <= NARROW || stretches >= MOST;
            stretches += 1;
            let Some(rates) = self.bounded(mid, half, &lifted, &by, &params, asked, &which) else {
                if narrow {
                    in_line.push([from, to]);
                } else {
                    open.push((from, mid, which.clone()));
                    open.push((mid, to, which));
                }
                continue;
            };
            let turns = rates.into_iter().filter(|(_, d)| !(d.lo > 0.0 || d.hi < 0.0));
            let turns: Vec<(usize, Interval)> = turns.collect();
            if turns.is_empty() {
                continue;
            }
            if narrow {
                for (at, d) in turns {
                    left[at].0.push([from, to]);
                    left[at].1 = left[at].1.max(d.most() * (to - from));
                }
            } else {
                let which: Vec<usize> = turns.into_iter().map(|(at, _)| at).collect();
                open.push((from, mid, which.clone()));
                open.push((mid, to, which));
            }
        }
        let in_line = joined(in_line);
        let measures = asked.iter().zip(left).map(|(what, (within, more))| {
            let within = joined(within);
            let found: Vec<f64> = self.extremes(what).iter().map(|extreme| extreme.angle).collect();
            let alone = |span: &&[f64; 2]| !found.iter().any(|&angle| self.beside(angle, **span));
            let inner = |span: &&[f64; 2]| !touches(&in_line, &within, **span);
            let unseen = within.iter().filter(alone).filter(inner).copied().collect();
            Turnings { within, unseen, more }
        });
        Proven { measures: measures.collect(), in_line, stretches }
    }

    /// Whether an angle lies in a stretch or beside it, a turn on or back where it closes.
    fn beside(&self, angle: f64, [from, to]: [f64; 2]) -> bool {
        let long = if self.closed { self.long() } else { 0.0 };
        [-long, 0.0, long].iter().any(|by| (from - NARROW..=to + NARROW).contains(&(angle + by)))
    }

    /// The bounds of the rates of some measures on a stretch.
    #[allow(clippy::too_many_arguments, reason = "made once for the turn, used for each stretch")]
    fn bounded(
        &self,
        mid: f64,
        half: f64,
        lifted: &Sized<Interval>,
        by: &Sized<Swept>,
        params: &[Swept],
        asked: &[Measure],
        which: &[usize],
    ) -> Option<Vec<(usize, Interval)>> {
        let state = self.at(mid)?;
        let motion = self.model.motion(&state)?;
        // A hair wider, so that neighbours overlap whatever the roundings.
        let half = half * (1.0 + 1e-9) + 1e-15 * (1.0 + mid.abs());
        let stretch = Stretch::about(&self.model, &state, &motion, half, lifted)?;
        let rates = stretch.rates()?;
        let poses = stretch
            .poses
            .iter()
            .zip(&rates)
            .map(|(p, r)| Pose::new(Swept::new(p.x, r[0]), Swept::new(p.y, r[1]), Swept::new(p.t, r[2])));
        let poses: Vec<Pose<Swept>> = poses.collect();
        let drive = Swept::new(Interval::about(mid, half), Interval::new(1.0, 1.0));
        let posed = Posed { model: &self.model, params, by, poses: &poses, drive };
        Some(which.iter().map(|&at| (at, posed.measure(&asked[at]).d)).collect())
    }
}

/// Whether a stretch runs on into one in line, with others between or not.
fn touches(in_line: &[[f64; 2]], within: &[[f64; 2]], span: [f64; 2]) -> bool {
    let whole = joined([in_line, within].concat());
    let of = |span: [f64; 2]| whole.iter().position(|one| one[0] <= span[0] && span[1] <= one[1]);
    in_line.iter().any(|line| of(*line) == of(span))
}

/// Stretches that meet, as one.
pub(crate) fn joined(mut all: Vec<[f64; 2]>) -> Vec<[f64; 2]> {
    all.sort_by(|p, q| p[0].total_cmp(&q[0]));
    let mut joined: Vec<[f64; 2]> = Vec::new();
    for next in all {
        match joined.last_mut() {
            Some(last) if next[0] <= last[1] => last[1] = last[1].max(next[1]),
            _ => joined.push(next),
        }
    }
    joined
}
