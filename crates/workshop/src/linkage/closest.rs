//! From what results may depart by to what sizes may.
//!
//! Every size gets the same grade: a factor of the unit that the standard tolerances grow
//! by, 0.45 ∛D + 0.001 D thousandths of a millimetre (ISO 286-1). The greatest factor that keeps
//! every result, with every size at its worst, is exact: what each result leaves is its
//! allowance over the sum of what the sizes do to it.

use super::run::Run;
use super::{Kind, Machine, Told};
use crate::document::nearest_word;
use crate::problem::Problem;

/// What sizes may depart by so that results keep to what they may.
#[derive(Clone, Debug)]
pub struct Closest {
    /// Every size that matters, the closest first.
    pub rooms: Vec<Room>,
    /// The result that is kept with nothing to spare.
    pub tightest: String,
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
}

/// The widest common grade of tolerances that keeps what the file asks for.
///
/// # Errors
///
/// That a result it names is not there.
pub fn closest(machine: &Machine, told: &[Told]) -> Result<Option<Closest>, Problem> {
    if machine.holds.is_empty() {
        return Ok(None);
    }
    let runs: Vec<&Run> = told.iter().map(|told| &told.drawn).collect();
    let units: Vec<f64> = (0..machine.known.len()).map(|at| unit(machine, at)).collect();
    let (mut worst, mut likely) = (f64::INFINITY, f64::INFINITY);
    let mut tightest = String::new();
    let mut hangs = vec![false; units.len()];
    for hold in &machine.holds {
        let mut found = false;
        for run in &runs {
            for result in run.results.iter().filter(|r| r.asked.name.eq_ignore_ascii_case(&hold.result)) {
                found = true;
                let does: Vec<f64> =
                    result.by.iter().zip(&units).map(|(by, unit)| (by * unit).abs()).collect();
                does.iter().zip(&mut hangs).for_each(|(does, hangs)| *hangs |= *does > 1e-9);
                let sum: f64 = does.iter().sum();
                let squares: f64 = does.iter().map(|does| does * does).sum();
                if sum > 0.0 && hold.within / sum < worst {
                    worst = hold.within / sum;
                    tightest = result.asked.name.clone();
                }
                if squares > 0.0 {
                    likely = likely.min(hold.within / squares.sqrt());
                }
            }
        }
        if !found {
            let names: Vec<&str> =
                runs.iter().flat_map(|run| run.results.iter().map(|r| r.asked.name.as_str())).collect();
            let problem = Problem::new(format!("`{}` is no result of this mechanism", hold.result));
            let problem = match nearest_word(&hold.result, names.iter().copied()) {
                Some(near) => problem.mend(format!("did you mean `{near}`?")),
                None => problem.mend(format!("name one of {}", names.join(", "))),
            };
            return Err(machine.at(problem.at(format!("line {}, `result`", hold.line))));
        }
    }
    if !worst.is_finite() {
        return Ok(None);
    }
    let room = |param: usize| Room { param, worst: worst * units[param], likely: likely * units[param] };
    let mut rooms: Vec<Room> = (0..units.len()).filter(|&at| hangs[at]).map(room).collect();
    rooms.sort_by(|a, b| a.worst.total_cmp(&b.worst));
    let asked = machine.holds.iter().map(|hold| format!("{} within {}", hold.result, hold.text)).collect();
    Ok(Some(Closest { rooms, tightest, asked }))
}

/// The unit of a standard tolerance for a parameter: millimetres, or radians as they are
/// seen at 20 mm. A valve's nut is set, not made: it has none.
fn unit(machine: &Machine, at: usize) -> f64 {
    if machine.valves.iter().any(|valve| valve.set.is_some_and(|param| param.0 == at)) {
        return 0.0;
    }
    let grows = |size: f64| 0.001 * (0.45 * size.cbrt() + 0.001 * size);
    let known = &machine.known[at];
    match known.kind {
        Kind::Length => grows(known.drawn.abs().max(1.0)),
        Kind::Angle => grows(20.0) / 20.0,
    }
}
