//! The rows of a setup: one operation each, with everything to set for it.

use super::again::Counted;
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
    /// What it does; nothing of a row that finds the work again.
    pub work: Option<Work>,
}

/// A line of the sheet: a step, or some of its holes.
pub struct Line<'s> {
    /// The number in its ring.
    pub number: usize,
    /// What is done.
    pub step: &'s Step,
    /// Which of its holes, from nought; all where none are named.
    pub holes: Vec<usize>,
    /// What handwheels count from, where the work has been moved along.
    pub counted: Option<Counted>,
}

/// The lines of a setup in the order of work, numbered from one.
pub fn lines<'s>(steps: &[&'s Step]) -> Vec<Line<'s>> {
    let line =
        |(n, &step): (usize, &&'s Step)| Line { number: n + 1, step, holes: Vec::new(), counted: None };
    steps.iter().enumerate().map(line).collect()
}

/// The rows of such lines.
///
/// # Errors
///
/// A [`Problem`] when a setting cannot be reached on this bench.
pub fn rows(setup: &Setup, lines: &[Line]) -> Result<Vec<Keyed>, Problem> {
    let named = |fault: Problem, step: &Step| fault.at(format!("setup {}, {}", setup.number, step.text));
    let rows = lines.iter().map(|line| {
        let mut pieces = setup.done_to(line.step).into_iter();
        let mut first = pieces.next().unwrap_or_else(|| Setup::new(setup.job, setup.number - 1));
        first.counted.clone_from(&line.counted);
        let mut keyed = row(&first, line.number, line.step).map_err(|f| named(f, line.step))?;
        setup.slid.borrow_mut().append(&mut first.slid.borrow_mut());
        for piece in pieces {
            let other = row(&piece, line.number, line.step).map_err(|f| named(f, line.step))?;
            setup.slid.borrow_mut().append(&mut piece.slid.borrow_mut());
            beside::add_to(&mut keyed.row, &other.row, &piece);
        }
        if !line.holes.is_empty() {
            some_holes(setup, line, &mut keyed);
        }
        Ok(keyed)
    });
    rows.collect()
}

/// Leaves of a row what is said of some of its holes.
fn some_holes(setup: &Setup, line: &Line, keyed: &mut Keyed) {
    let own = |hole: Option<usize>| hole.is_none_or(|hole| line.holes.contains(&hole));
    keyed.row.sets.retain(|figure| own(hole_of(figure.label())));
    setup.slid.borrow_mut().retain(|slid| slid.row != line.number || own(slid.hole()));
    keyed.at = line.holes.iter().filter_map(|&hole| keyed.at.get(hole).copied()).collect();
    keyed.row.what += &format!(": {}", holes_words(&line.holes));
}

/// `hole 3`, `holes 1 to 5`, `holes 1, 2 and 7`.
fn holes_words(holes: &[usize]) -> String {
    let number = |hole: &usize| (hole + 1).to_string();
    let runs_on = holes.windows(2).all(|pair| pair[1] == pair[0] + 1);
    match holes {
        [] => String::new(),
        [one] => format!("hole {}", number(one)),
        [first, .., last] if runs_on && holes.len() > 2 => {
            format!("holes {} to {}", number(first), number(last))
        }
        [rest @ .., last] => {
            let rest: Vec<String> = rest.iter().map(number).collect();
            format!("holes {} and {}", rest.join(", "), number(last))
        }
    }
}

/// Which hole of its row a figure is said of, from nought.
pub fn hole_of(label: &str) -> Option<usize> {
    let (_, hole) = label.split_once(", hole ")?;
    hole.parse::<usize>().ok()?.checked_sub(1)
}

/// One row, as one piece has it.
///
/// # Errors
///
/// A [`Problem`] when a setting cannot be reached on this bench.
pub fn row(setup: &Setup, number: usize, step: &Step) -> Result<Keyed, Problem> {
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
    Ok(Keyed { row, at, work: Some(step.work.clone()) })
}

/// Whether a drill follows a smaller one of the same hole from the same side, which leads it.
fn follows(setup: &Setup, step: &Step) -> bool {
    let order = setup.job.order;
    let up = |step: &Step| order.setups[step.setup].up;
    let before = order.before(step);
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
