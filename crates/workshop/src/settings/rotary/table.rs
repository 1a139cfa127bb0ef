//! The rotary table itself: its scale, and how the part lies on it.

use crate::bench;
pub use crate::bench::Grows;
use crate::measure::{Angle, Length};
use crate::problem::Problem;
use crate::settings::show::{mm, practice};
use crate::why::Why;

/// A rotary table.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct RotaryTable {
    /// Turns of the handle for one turn of the table.
    pub worm_ratio: u32,
    /// The smallest division that can be set: often one minute.
    pub division: Angle,
    /// Which way its scale runs; where nobody has said it is taken to grow as the
    /// table turns clockwise, and every reading is marked as assumed.
    pub grows: Option<Grows>,
}

impl From<&bench::RotaryTable> for RotaryTable {
    fn from(owned: &bench::RotaryTable) -> Self {
        Self { worm_ratio: owned.ratio, division: owned.reads, grows: owned.grows }
    }
}

/// The reading that brings a direction on the part under the cutter.
pub(in crate::settings) fn reading(direction: Angle, table: RotaryTable) -> Angle {
    match table.grows {
        None | Some(Grows::Clockwise) => direction.within_turn(),
        Some(Grows::Anticlockwise) => (-direction).within_turn(),
    }
}

/// How the part lies at reading nought, and which way the scale runs.
pub(in crate::settings) fn why_nought(table: RotaryTable) -> Why {
    let nought = practice("reading nought has the part lying along X, the spindle off to the right");
    match table.grows {
        Some(_) => nought,
        None => nought.because(Why::assumed(
            "the table's scale is taken to grow as the table turns clockwise seen from above; \
             where it runs the other way, set 360° less each reading",
        )),
    }
}

/// Checks that work swings past the column: `farthest` is its farthest place from
/// the table's centre, `column` the distance from spindle to column.
///
/// # Errors
///
/// A [`Problem`] saying by how much it fouls.
pub fn check_swing(farthest: Length, column: Length) -> Result<(), Problem> {
    if farthest < column {
        return Ok(());
    }
    Err(Problem::new("the work fouls the column as the table turns")
        .why(format!(
            "it reaches {} from the table centre and the column stands at {}",
            mm(farthest),
            mm(column)
        ))
        .mend("begin with the long end towards you and cut in two stretches, or file this end with buttons"))
}

/// Refuses a table without a worm or a scale.
pub(in crate::settings) fn check_table(table: RotaryTable) -> Result<(), Problem> {
    if table.worm_ratio == 0 || table.division <= Angle::degrees(0) {
        return Err(Problem::new("the rotary table has no worm ratio or no divisions")
            .mend("say how many turns of the handle make one turn of the table, and what it reads to"));
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn long_work_must_swing_past_the_column() {
        assert!(check_swing(Length::mm(120), Length::mm(170)).is_ok());
        assert!(check_swing(Length::mm(170), Length::mm(170)).unwrap_err().reason().is_some());
    }
}
