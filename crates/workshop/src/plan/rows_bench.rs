//! What is measured at the bench: filing has no slides to set, but sizes to come to.

use super::job::Setup;
use super::sheet::Row;
use crate::drawing::Kind;
use crate::measure::Length;
use crate::order::Work;
use crate::order::work::Step;
use crate::settings::show::{geometry, mm, practice};
use crate::why::Figure;

/// Fills a row at the bench.
pub fn fill(setup: &Setup, step: &Step, row: &mut Row) {
    let Some(id) = step.feature.filter(|_| step.work == Work::FileHole) else { return };
    let number = row.number;
    match setup.part.feature(id).kind {
        Kind::Square { across, .. } => {
            let size = setup.part.size(across);
            let corners = Length::nearest(size.as_mm() * std::f64::consts::SQRT_2);
            let scribed =
                practice("scribe the square round the drilled hole before the work leaves the mill")
                    .because(setup.job.why_dimension(across));
            row.sets = vec![
                Figure::new(setup.named(number, "lines either side of the middle"), mm(size.half()), scribed),
                Figure::new(
                    setup.named(number, "corner to corner"),
                    mm(corners),
                    geometry(format!("{} times the root of two", mm(size))),
                ),
            ];
            let why =
                practice("a square with safe edges; try the shaft itself, or a gauge filed to its size")
                    .because(setup.job.why_dimension(across));
            row.check = Some(Figure::new(setup.named(number, "across, both ways"), mm(size), why));
        }
        Kind::Flatted { diameter, across, .. } => {
            let (whole, left) = (setup.part.size(diameter), setup.part.size(across));
            let scribed = practice("scribe the round and the flat before the work leaves the mill");
            row.sets = vec![
                Figure::new(
                    setup.named(number, "scribe the round"),
                    format!("⌀ {}", mm(whole)),
                    scribed.clone().because(setup.job.why_dimension(diameter)),
                ),
                Figure::new(
                    setup.named(number, "flat from the middle of the round"),
                    mm(left - whole.half()),
                    geometry(format!("{} less half of {}", mm(left), mm(whole)))
                        .because(setup.job.why_dimension(across)),
                ),
            ];
            let why =
                practice("a half-round file for the round, a flat one for the flat; try the shaft itself")
                    .because(setup.job.why_dimension(across));
            row.check =
                Some(Figure::new(setup.named(number, "from the flat to the far side"), mm(left), why));
        }
        _ => {}
    }
}
