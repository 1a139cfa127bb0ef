//! What is measured at the bench: filing has no slides to set, but sizes to come to.

use super::job::Setup;
use super::rows_outline::why_piece;
use super::sheet::Row;
use crate::drawing::Kind;
use crate::geometry::Segment;
use crate::measure::{Length, Toward};
use crate::order::Work;
use crate::order::work::Step;
use crate::settings::show::{geometry, mm, practice};
use crate::why::{Figure, Why};

/// Fills a row at the bench.
pub fn fill(setup: &Setup, step: &Step, row: &mut Row) {
    let number = row.number;
    if let Work::FileSide { piece } = step.work {
        file_side(setup, row, piece);
        return;
    }
    let Some(id) = step.feature.filter(|_| step.work == Work::FileHole) else { return };
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

/// A piece of the outline that is filed: where its line is scribed, or its radius.
fn file_side(setup: &Setup, row: &mut Row, piece: usize) {
    let Ok(named) = setup.part.pieces() else { return };
    let Some(&segment) = named.outline.segments().get(piece) else { return };
    let number = row.number;
    let why = |words: &str| why_piece(setup, piece).into_iter().fold(practice(words), Why::because);
    let laid = setup.laid(segment);
    for (end, word) in [(laid.start(), "from"), (laid.end(), "to")] {
        let shown = format!(
            "{} along, {} up",
            mm(Length::nearest(end.x_mm).rounded(Length::microns(10), Toward::Nearest).value),
            mm(Length::nearest(end.y_mm).rounded(Length::microns(10), Toward::Nearest).value)
        );
        let words = "scribed while the blank is square: from its left-hand and near edges as it lies";
        row.sets.push(Figure::new(setup.named(number, &format!("scribe {word}")), shown, why(words)));
    }
    row.check = Some(match segment {
        Segment::Arc(arc) => Figure::new(
            setup.named(number, "radius"),
            mm(Length::nearest(arc.radius_mm)),
            why("a radius gauge, no light under it"),
        ),
        Segment::Line(_) => Figure::new(
            setup.named(number, "check"),
            "straight, and half the scribed line left",
            why("a rule"),
        ),
    });
}
