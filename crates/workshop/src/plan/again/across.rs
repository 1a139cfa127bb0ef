//! What moving the work along adds to the distances that lie across it.

use super::super::job::Setup;
use super::{Found, Stretch, Unit};
use crate::measure::Length;
use crate::order::Charged;
use crate::problem::Problem;
use crate::settings::show::mm;

/// A distance with ends in two stretches, and what picking the work up again adds to it.
struct Across<'a> {
    charged: &'a Charged,
    adds: Length,
    found: Vec<&'a Found>,
}

impl Across<'_> {
    fn comes_to(&self) -> Length {
        self.charged.worst + self.adds
    }

    fn over(&self) -> Length {
        (self.comes_to() - self.charged.room).max(Length::ZERO)
    }
}

/// Every distance that has to be kept and lies across a pick-up.
fn all<'a>(setup: &'a Setup, units: &[Unit], stretches: &'a [Stretch]) -> Vec<Across<'a>> {
    let order = setup.job.order;
    let here: Vec<usize> = order.steps_in(setup.number - 1).map(|(n, _)| n).collect();
    let across = |charged: &'a Charged| {
        let own =
            |stretch: &Stretch| stretch.units.iter().any(|&n| charged.steps.contains(&here[units[n].step]));
        let (first, last) = (stretches.iter().position(own)?, stretches.iter().rposition(own)?);
        let within = charged.steps.iter().all(|step| here.contains(step));
        // From an edge, or from what another setup made, it counts from the first pick-up.
        let from = if within && charged.ends.1.is_some() { first } else { 0 };
        let found: Vec<&Found> =
            stretches[from + 1..=last].iter().filter_map(|stretch| stretch.found.as_ref()).collect();
        // Picked up from its own other end, that end's place is no part of it.
        let ends = [Some(charged.ends.0), charged.ends.1];
        let adds = match found.as_slice() {
            [] => return None,
            [only] if only.hole().is_some() && ends.contains(&only.hole()) => only.located,
            several => several.iter().map(|found| found.adds()).sum(),
        };
        Some(Across { charged, adds, found })
    };
    order.charged.iter().filter_map(across).collect()
}

/// By how much the worst of the distances that bind is not kept.
pub(super) fn over_the_most(setup: &Setup, units: &[Unit], stretches: &[Stretch]) -> Length {
    let binding = all(setup, units, stretches).into_iter().filter(|across| across.charged.binds);
    binding.map(|across| across.over()).max().unwrap_or_default()
}

/// The held distance that no way of moving the work along keeps.
pub(super) fn not_kept(setup: &Setup, units: &[Unit], stretches: &[Stretch]) -> Problem {
    let across = all(setup, units, stretches);
    let worst = across.iter().filter(|across| across.charged.binds).max_by_key(|across| across.over());
    let Some(across) = worst else { return Problem::new("no distance is out") };
    let found: Vec<&str> = across.found.iter().map(|found| found.name.as_str()).collect();
    Problem::new(format!("`{}` cannot be kept on work longer than the mill's travel", across.charged.name))
        .concerns(across.charged.name.clone())
        .why(format!(
            "it is held within {}; its ends lie either side of where the work is moved along in setup {}: made so they may be out by {}, and picking it up again from {} adds {}: {} together",
            mm(across.charged.room),
            setup.number,
            mm(across.charged.worst),
            found.join(" and "),
            mm(across.adds),
            mm(across.comes_to())
        ))
        .mend(format!(
            "allow {} (`within`), have a hole near both bored and not reamed, call the distance `free`, or use a mill that reaches",
            mm(across.comes_to())
        ))
}

/// What the person has to know of distances across a pick-up: those that may be out by more than their
/// tolerance leaves, and those that are held without one.
pub(super) fn told(setup: &Setup, units: &[Unit], stretches: &[Stretch]) -> Vec<String> {
    let mut told = Vec::new();
    for across in all(setup, units, stretches) {
        let (name, comes) = (&across.charged.name, mm(across.comes_to()));
        let said = match (across.charged.said, across.over() > Length::ZERO) {
            (true, false) => continue,
            (true, true) => format!(
                "`{name}` lies across a pick-up and may be out by {comes} at the worst, {} more than its tolerance leaves: measure it before its second end is finished, and shift that by what it is out.",
                mm(across.over())
            ),
            (false, _) => format!("`{name}` lies across a pick-up and may be out by {comes} at the worst."),
        };
        if !told.contains(&said) {
            told.push(said);
        }
    }
    told
}
