//! Drilling from the tailstock told in turns of its handwheel.

use super::job::Setup;
use super::rows_hole::{drilled, hole_before};
use super::sheet::Row;
use crate::measure::Length;
use crate::order::work::{Deep, Step};
use crate::settings::drilling::{Asked, drilling};
use crate::settings::pecking::pecking;
use crate::settings::tailstock::wound;

/// Adds the turns of the tailstock's handwheel to a row that drills, where the bench file says how
/// far a turn goes.
pub fn fill(setup: &Setup, step: &Step, diameter: Length, deep: Deep, row: &mut Row) {
    let Some(lathe) = &setup.job.bench.lathe else { return };
    let Some(tailstock) = lathe.tailstock else { return };
    let whole = drilled(setup, step, deep);
    let asked = Asked {
        diameter,
        follows: hole_before(setup, step, diameter).unwrap_or_default(),
        material: setup.job.material,
        speeds: &lathe.speeds,
        power_w: lathe.power_at_work_w(),
    };
    let (found, pecking) = (drilling(asked).ok(), pecking(diameter, whole, setup.job.material));
    let figures = wound(&tailstock, (diameter, whole), pecking.as_ref(), found.as_ref());
    row.depth.extend(setup.place_all(row.number, figures));
}
