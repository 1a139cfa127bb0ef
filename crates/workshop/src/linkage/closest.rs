//! From what results may depart by to what sizes may.
//!
//! Every size wants room in proportion to the unit that standard tolerances grow by,
//! 0.45 ∛D + 0.001 D thousandths of a millimetre (ISO 286-1); the widest shares that keep every
//! result are found by the crate `mechanism`. Of several settings the closest counts.

use mechanism::ParamId;
use mechanism::allowance::{Allowed, Kept, Together};

use super::run::Run;
use super::{Kind, Machine, Told, problem};
use crate::document::{meant, nearest_word};
use crate::drawing::Size;
use crate::problem::Problem;
use crate::stack::Held;

/// What sizes may depart by so that results keep to what they may.
#[derive(Clone, Debug)]
pub struct Closest {
    /// Every size that matters, the closest first.
    pub rooms: Vec<Room>,
    /// What is asked of the results, in words.
    pub asked: Vec<String>,
}

/// What one size may depart by, either way.
#[derive(Clone, Debug)]
pub struct Room {
    /// Which parameter.
    pub param: usize,
    /// With all sizes at their worst together: millimetres or radians.
    pub worst: f64,
    /// With their squares summed.
    pub likely: f64,
    /// The result that bounds it.
    pub bound_by: String,
}

/// The widest tolerances that keep what the file asks for; none where it asks for nothing.
///
/// # Errors
///
/// That a result it names is not there, or that nothing keeps it.
pub fn closest(machine: &Machine, told: &[Told], parts: &[Held]) -> Result<Option<Closest>, Problem> {
    closest_of(machine, &told.iter().map(|told| &told.drawn).collect::<Vec<_>>(), parts)
}

/// The same where nothing else is asked of the mechanism: no other result is read. None where
/// something is wrong, which is told where it is asked for.
pub(super) fn closest_alone(machine: &Machine, parts: &[Held]) -> Option<Closest> {
    let held = |name: &str| machine.holds.iter().any(|hold| hold.result.eq_ignore_ascii_case(name));
    let runs = machine.drawn_runs(&held).ok()?;
    closest_of(machine, &runs.iter().collect::<Vec<_>>(), parts).ok()?
}

fn closest_of(machine: &Machine, runs: &[&Run], parts: &[Held]) -> Result<Option<Closest>, Problem> {
    if machine.holds.is_empty() {
        return Ok(None);
    }
    let sizes: Vec<(ParamId, Kept)> =
        (0..machine.known.len()).map(|at| (ParamId(at), kept(machine, at, parts))).collect();
    let endless = || vec![f64::INFINITY; sizes.len()];
    let (mut worst, mut likely, mut bound_by) = (endless(), endless(), vec![String::new(); sizes.len()]);
    let mut found = vec![false; machine.holds.len()];
    for run in runs {
        let (allowed, names) = allowed(machine, run, &mut found);
        if allowed.is_empty() {
            continue;
        }
        let widest = |how| run.turn.widest(&allowed, &sizes, how).map_err(|fault| machine.at(problem(fault)));
        let (hard, soft) = (widest(Together::Worst)?, widest(Together::RootSquare)?);
        for at in 0..sizes.len() {
            if hard.within[at] < worst[at] {
                worst[at] = hard.within[at];
                bound_by[at] = hard.bound_by[at].map_or_else(String::new, |which| names[which].clone());
            }
            likely[at] = likely[at].min(soft.within[at]);
        }
    }
    if let Some(hold) = found.iter().position(|found| !found).map(|at| &machine.holds[at]) {
        let line = format!("line {}, `result`", hold.line);
        // It may be asked for and have no value: then what stands in its way is what is wrong.
        let without = format!("{}: ", hold.result.to_lowercase());
        let mut notes = runs.iter().flat_map(|run| &run.notes);
        if let Some(note) = notes.find(|note| note.to_lowercase().starts_with(&without)) {
            let problem = Problem::new(format!("`{}` cannot be held within {}", hold.result, hold.text))
                .why(note[without.len()..].to_owned())
                .mend("mend the lengths so that the mechanism goes all the way round, or take the hold back");
            return Err(machine.at(problem.at(line)));
        }
        let results = runs.iter().flat_map(|run| &run.results);
        let mut names: Vec<&str> = results.map(|result| result.asked.name.as_str()).collect();
        names.dedup();
        let near = nearest_word(&hold.result, names.iter().copied());
        let problem = Problem::new(format!("`{}` is no result of this mechanism", hold.result))
            .mend(meant(near, format!("name one of {}", names.join(", "))));
        return Err(machine.at(problem.at(line)));
    }
    let shares = |at: &usize| matches!(sizes[*at].1, Kept::Share { .. }) && worst[*at].is_finite();
    let room =
        |at: usize| Room { param: at, worst: worst[at], likely: likely[at], bound_by: bound_by[at].clone() };
    let mut rooms: Vec<Room> = (0..sizes.len()).filter(shares).map(room).collect();
    rooms.sort_by(|a, b| a.worst.total_cmp(&b.worst));
    let asked = machine.holds.iter().map(|hold| format!("{} within {}", hold.result, hold.text)).collect();
    Ok(Some(Closest { rooms, asked }))
}

/// What the file allows of the results of a run, and their names.
fn allowed(machine: &Machine, run: &Run, found: &mut [bool]) -> (Vec<Allowed>, Vec<String>) {
    let (mut all, mut names) = (Vec::new(), Vec::new());
    for (hold, found) in machine.holds.iter().zip(found) {
        for result in run.results.iter().filter(|r| r.asked.name.eq_ignore_ascii_case(&hold.result)) {
            *found = true;
            all.push(Allowed { reading: result.asked.reading.clone(), within: hold.within });
            names.push(result.asked.name.clone());
        }
    }
    (all, names)
}

/// What is said of a parameter: what is measured, and what a nut sets, does not stray; the
/// rest shares. An angle is taken as it is seen at 20 mm.
fn kept(machine: &Machine, at: usize, parts: &[Held]) -> Kept {
    let known = &machine.known[at];
    let nut = machine.valves.iter().any(|valve| valve.set.is_some_and(|param| param.0 == at));
    let made = known.of.is_some_and(|(part, size)| match size {
        Size::Length(id) => parts[part].drawing.dimensions[id.0].made.is_some(),
        Size::Thread(_) => true,
    });
    if nut || made || known.settled {
        return Kept::To(0.0);
    }
    let grows = |size: f64| 0.001 * (0.45 * size.cbrt() + 0.001 * size);
    let want = match known.kind {
        Kind::Length => grows(known.drawn.abs().max(1.0)),
        Kind::Angle => grows(20.0) / 20.0,
    };
    Kept::Share { want, most: f64::INFINITY }
}
