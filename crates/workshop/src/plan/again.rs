//! Work longer than the slides travel: the work is moved along in the same holding and picked up
//! again from a feature that is finished by then.
//!
//! The order of work knows of one stay; nothing of it is undone here. What a setup sets is shared out
//! over stretches, each of which the slides reach from its own pick-up ([`parting`]), the rows are
//! numbered as they are then done, and a row between them says how the work is found again. Readings
//! stay those from the first datum; handwheels count from what is picked up. What finding the work
//! again costs is added to every distance that lies across it ([`across`]).

mod across;
mod moving;
mod parting;

use super::job::Setup;
use super::rows::{self, Keyed, Line};
use super::travel::Reach;
use crate::drawing::FeatureId;
use crate::measure::Length;
use crate::order::work::Step;
use crate::order::{Held, Machine, Pieces};
use crate::problem::Problem;
use crate::tables::processes::{Locating, locating};
use crate::why::Figure;

/// What a handwheel counts from once the work has been moved along.
#[derive(Clone, Debug)]
pub struct Counted {
    /// What the work was picked up from.
    pub name: String,
    /// Where the spindle stood then, from the first datum.
    pub at: [Length; 2],
    /// How far finding it may be out, with what it may be out itself.
    pub adds: Length,
}

/// What the work is picked up from again.
#[derive(Clone, Debug)]
struct Found {
    from: From,
    /// What it is called.
    name: String,
    /// Where the spindle stands then, from the first datum.
    at: [Length; 2],
    /// What it touches or stands over as X and as Y are set.
    over: [String; 2],
    /// How far finding it may be out.
    located: Length,
    /// How far it may be from its place itself.
    own: Length,
}

/// A way of picking up work that has been moved along.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum From {
    /// A finished hole, by an indicator in it.
    Clocked(FeatureId),
    /// A finished hole too narrow for an indicator, by a plug in it.
    Plugged(FeatureId),
    /// Two edges, of which at least one is not the datum's.
    Edges,
}

impl From {
    /// What finding work so is out by.
    fn way(self) -> &'static Locating {
        locating(match self {
            Self::Clocked(_) => "bore clocked",
            Self::Plugged(_) => "plug clocked",
            Self::Edges => "edge finder",
        })
    }
}

impl Found {
    fn hole(&self) -> Option<FeatureId> {
        match self.from {
            From::Clocked(hole) | From::Plugged(hole) => Some(hole),
            From::Edges => None,
        }
    }

    /// What it adds to a distance across it; of a distance from itself its own place is no part.
    fn adds(&self) -> Length {
        self.located + self.own
    }
}

/// What is set in one go: a row, or one hole of it.
#[derive(Clone, Debug)]
struct Unit {
    /// The step of the setup, from nought.
    step: usize,
    /// Which of its holes, from nought, where it has several.
    hole: Option<usize>,
    /// The least and the most that it sets of X and of Y; nothing where it sets neither.
    span: [Option<[Length; 2]>; 2],
}

/// What is done between two pick-ups.
#[derive(Clone, Debug)]
struct Stretch {
    /// By their places in the list of units, in the order they are done.
    units: Vec<usize>,
    /// What the work is picked up from before it; nothing before the first.
    found: Option<Found>,
}

/// The rows of a setup whose work is moved along, as they are then done.
pub struct Parted {
    /// The rows, those between the stretches among them.
    pub keyed: Vec<Keyed>,
    /// The number of each row between stretches, and what the spindle reaches in picking up.
    pub starts: Vec<(usize, Reach)>,
    /// Which rows a step has become, by its place in the setup.
    pub numbers: Vec<Vec<usize>>,
    /// How the work is moved, and what that costs.
    pub notes: Vec<String>,
    /// Where it is set first.
    pub first: Vec<Figure>,
    /// Minutes for moving it and finding it again.
    pub minutes: u64,
}

/// The rows of a setup shared out, where the slides do not reach all of them from one pick-up.
///
/// # Errors
///
/// A [`Problem`] naming the cut that is longer than the travel, the row that nothing finished lies
/// near enough to, or the held distance that a second pick-up spoils.
pub fn parted(setup: &Setup, steps: &[&Step], keyed: &[Keyed]) -> Result<Option<Parted>, Problem> {
    if setup.holding.machine != Machine::Mill || matches!(setup.holding.held, Held::PlateSwung { .. }) {
        return Ok(None);
    }
    let units = units(setup, steps);
    let Some((axis, far, unit)) = beyond(setup, &units) else { return Ok(None) };
    let row = &keyed[units[unit].step].row.what;
    let refused = |why: &str| Err(setup.beyond(row, axis, far, why));
    if setup.beside().len() > 1 || setup.joint().is_some() || matches!(setup.holding.pieces, Pieces::Both(_))
    {
        return refused("several pieces side by side are not moved along");
    }
    let in_vice = setup.holding.held.in_vice();
    let held = matches!(setup.holding.held, Held::ClampsMoved | Held::BoltOnPlate { .. });
    if !in_vice && !held {
        return refused("held so it is not moved along without being turned");
    }
    if in_vice && axis == 1 {
        return refused("between jaws it is not moved along Y: clamp it flat on the table");
    }
    let stretches = parting::stretches(setup, steps, keyed, &units)?;
    moving::rows(setup, steps, &units, &stretches).map(Some)
}

/// What a setup sets, in the order of its rows.
fn units(setup: &Setup, steps: &[&Step]) -> Vec<Unit> {
    let mut units: Vec<Unit> = Vec::new();
    for (n, step) in steps.iter().enumerate() {
        let several = step.feature.map_or(1, |id| rows::holes_of(setup, id).len());
        let slid = setup.slid.borrow();
        let own = || slid.iter().filter(|slid| slid.row == n + 1);
        let by_hole = several > 1 && own().any(|slid| slid.hole().is_some());
        let holes: Vec<Option<usize>> = if by_hole { (0..several).map(Some).collect() } else { vec![None] };
        for hole in holes {
            let mut unit = Unit { step: n, hole, span: [None; 2] };
            for slid in own().filter(|slid| hole.is_none() || slid.hole().is_none() || slid.hole() == hole) {
                let Some(axis) = slid.axis() else { continue };
                let [low, high] = unit.span[axis].unwrap_or([slid.to; 2]);
                unit.span[axis] = Some([low.min(slid.to), high.max(slid.to)]);
            }
            units.push(unit);
        }
    }
    units
}

/// The first axis on which not all of them are reached from the pick-up, how far the slide would have
/// to go, and which of them lies farthest.
fn beyond(setup: &Setup, units: &[Unit]) -> Option<(usize, Length, usize)> {
    let reach = setup.finder_reach();
    (0..2).find_map(|axis| {
        let (mut low, mut high) = (reach[0][axis], reach[1][axis]);
        let mut farthest = 0;
        for (n, unit) in units.iter().enumerate() {
            let Some([from, to]) = unit.span[axis] else { continue };
            if from < low || to > high {
                farthest = n;
            }
            (low, high) = (low.min(from), high.max(to));
        }
        (high - low > setup.job.bench.mill.travel[axis]).then_some((axis, high - low, farthest))
    })
}

/// The lines that the units of a stretch make, in the order of the rows.
fn lines<'s>(steps: &[&'s Step], units: &[Unit], of: &[usize], first: usize) -> Vec<Line<'s>> {
    let mut lines: Vec<(usize, Line)> = Vec::new();
    for &n in of {
        let unit = &units[n];
        match lines.iter_mut().find(|(step, _)| *step == unit.step) {
            Some((_, line)) => line.holes.extend(unit.hole),
            None => {
                let line = Line {
                    number: 0,
                    step: steps[unit.step],
                    holes: unit.hole.into_iter().collect(),
                    counted: None,
                };
                lines.push((unit.step, line));
            }
        }
    }
    lines.sort_by_key(|(step, _)| *step);
    let whole = |step: usize| units.iter().filter(|unit| unit.step == step).count();
    let mut lines: Vec<Line> = lines
        .into_iter()
        .map(|(step, mut line)| {
            if line.holes.len() == whole(step) {
                line.holes.clear();
            }
            line.holes.sort_unstable();
            line
        })
        .collect();
    for (number, line) in (first..).zip(&mut lines) {
        line.number = number;
    }
    lines
}
