//! The rows of a setup: one operation each, with everything to set for it.

use super::job::Setup;
use super::sheet::Row;
use super::{beside, rows_bench, rows_lathe, rows_mill, rows_press, rows_rotary, rows_turned};
use crate::drawing::{FeatureId, Kind};
use crate::order::work::{Step, Tool};
use crate::order::{Held, Located, Machine, Work};
use crate::problem::Problem;
use crate::settings::left_hand;

/// A row and the features it is cut at, for the picture's numbers.
pub struct Keyed {
    /// What is printed.
    pub row: Row,
    /// Where its number stands on the picture.
    pub at: Vec<FeatureId>,
}

/// The rows of one setup, numbered from one.
///
/// # Errors
///
/// A [`Problem`] when a setting cannot be reached on this bench.
pub fn rows(setup: &Setup) -> Result<Vec<Keyed>, Problem> {
    let index = setup.number - 1;
    let steps = setup.job.order.steps.iter().filter(|step| step.setup == index);
    let named = |fault: Problem, step: &Step| fault.at(format!("setup {}, {}", setup.number, step.text));
    let rows = steps.enumerate().map(|(place, step)| {
        let mut pieces = setup.done_to(step).into_iter();
        let first = pieces.next();
        let first = first.as_ref().unwrap_or(setup);
        let mut keyed = row(first, place + 1, step).map_err(|f| named(f, step))?;
        for piece in pieces {
            let other = row(&piece, place + 1, step).map_err(|f| named(f, step))?;
            beside::add_to(&mut keyed.row, &other.row, &piece);
        }
        Ok(keyed)
    });
    rows.collect()
}

fn row(setup: &Setup, number: usize, step: &Step) -> Result<Keyed, Problem> {
    let mut row = Row {
        number,
        what: step.text.clone(),
        tool: match &step.work {
            Work::Drill { .. } if setup.holding.machine == Machine::BenchVice => {
                format!("hand drill, {}", step.tool.words())
            }
            Work::Drill { .. } if follows(setup, step) => step.tool.words(),
            Work::Drill { .. } => format!("centre drill, {}", step.tool.words()),
            _ => step.tool.words(),
        },
        speed: None,
        sets: Vec::new(),
        depth: Vec::new(),
        check: None,
    };
    match setup.holding.machine {
        _ if matches!(step.work, Work::OffsetCentre { .. }) => {
            rows_turned::offset_centre(setup, step, &mut row)
        }
        Machine::Mill => rows_mill::fill(setup, step, &mut row)?,
        Machine::RotaryTable => rows_rotary::fill(setup, step, &mut row)?,
        Machine::Lathe => rows_lathe::fill(setup, step, &mut row)?,
        Machine::DrillPress => rows_press::fill(setup, step, &mut row)?,
        Machine::BenchVice if drills(setup) => rows_press::fill(setup, step, &mut row)?,
        Machine::BenchVice => rows_bench::fill(setup, step, &mut row),
    }
    if let Tool::Tap(thread) = &step.tool {
        row.depth.extend(setup.place_all(number, left_hand::tap(thread).into_iter().collect()));
    }
    let at = match step.feature {
        Some(id) => holes_of(setup, id),
        None => Vec::new(),
    };
    Ok(Keyed { row, at })
}

/// Whether a drill follows a smaller one of the same hole from the same side, which leads it.
fn follows(setup: &Setup, step: &Step) -> bool {
    let order = setup.job.order;
    let up = |step: &Step| order.setups[step.setup].up;
    let before = order.steps.iter().take_while(|other| !std::ptr::eq(*other, step));
    let same = |other: &Step| {
        matches!(other.work, Work::Drill { .. })
            && other.feature == step.feature
            && other.hand == step.hand
            && up(other) == up(step)
    };
    let holes = step.feature.is_some_and(|id| {
        let kind = &setup.part.feature(id).kind;
        matches!(kind, Kind::Hole { .. } | Kind::Tapped { .. } | Kind::TaperPin { .. })
            || kind.pattern().is_some()
    });
    holes && before.into_iter().any(same)
}

/// Whether holes are drilled by hand in a holding at the bench.
fn drills(setup: &Setup) -> bool {
    matches!(setup.holding.located, Located::Punched)
        || matches!(setup.holding.held, Held::VeeBlock { .. } | Held::Upright { .. })
}

/// The holes of a pitch circle or a row, those that a countersink stands over, or the
/// feature itself.
pub fn holes_of(setup: &Setup, id: FeatureId) -> Vec<FeatureId> {
    let of = match setup.part.feature(id).kind {
        Kind::Countersink { over, .. } => over,
        _ => id,
    };
    setup.part.feature(of).kind.pattern().map_or_else(|| vec![of], <[FeatureId]>::to_vec)
}
