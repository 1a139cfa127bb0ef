//! Every typed dimension held against the paper.

use super::claims::{Claim, claims};
use super::fit::{Laid, POINTING_PX, fit};
use crate::drawing::{
    Axis, DimensionId, Drawing, FeatureId, PaperSheet, Pixel, Reference, Solved, misreadings,
};
use crate::geometry::Point;
use crate::measure::Length;
use crate::problem::Problem;

/// How much old paper, a copier and a draughtsman together may be out: one in a
/// hundred of a length. Common practice.
pub(super) const PAPER_STRETCH: f64 = 0.01;

/// A typed dimension that the paper does not bear out.
#[derive(Clone, Debug)]
pub struct Doubt {
    /// Which dimension.
    pub dimension: DimensionId,
    /// What the paper shows, in millimetres; less than nought where it runs the other way.
    pub seen_mm: f64,
    /// How far paper and pointing may put it out, in millimetres.
    pub allowed_mm: f64,
    /// The same in words.
    pub problem: Problem,
}

/// The paper laid beneath a drawing, and what it says of the drawing.
#[derive(Clone, Debug)]
pub struct Judged {
    /// How it lies, its datum brought to the drawing's.
    pub laid: Laid,
    /// Dimensions that it does not bear out.
    pub doubts: Vec<Doubt>,
    /// Dimensions that it bears out.
    pub agreeing: Vec<DimensionId>,
    /// Known dimensions that disagree with the rest.
    pub problems: Vec<Problem>,
}

/// Lays the paper and holds every dimension between spotted features against it.
///
/// # Errors
///
/// As [`fit`]: what keeps the paper from being laid.
pub fn judge(drawing: &Drawing, solved: &Solved, sheet: &PaperSheet) -> Result<Judged, Vec<Problem>> {
    let (laid, problems) = fit(&sheet.known)?;
    let drawn: Vec<Length> = drawing.dimensions.iter().map(|d| d.written.length).collect();
    let coordinate = |id: FeatureId, axis| solved.place(id, axis).map(|linear| linear.value(&drawn).as_mm());
    let found: Vec<(Pixel, Point)> = sheet
        .spots
        .iter()
        .filter_map(|spot| {
            let Reference::Feature(id) = spot.of else { return None };
            Some((spot.at, Point::new(coordinate(id, Axis::X)?, coordinate(id, Axis::Y)?)))
        })
        .collect();
    let laid = laid.onto(&found);
    let (mut doubts, mut agreeing) = (Vec::new(), Vec::new());
    for claim in claims(drawing, sheet, &laid) {
        let typed_mm = drawn[claim.dimension.0].as_mm();
        let allowed_mm = PAPER_STRETCH * typed_mm + 2.0 * POINTING_PX * laid.mm_per_px;
        if claim.missed_mm <= allowed_mm {
            agreeing.push(claim.dimension);
            continue;
        }
        let problem = doubted(drawing, &claim, allowed_mm);
        doubts.push(Doubt { dimension: claim.dimension, seen_mm: claim.seen_mm, allowed_mm, problem });
    }
    Ok(Judged { laid, doubts, agreeing, problems })
}

/// The most readings of a figure that are offered.
const MOST_READINGS: usize = 3;

fn doubted(drawing: &Drawing, claim: &Claim, allowed_mm: f64) -> Problem {
    let dimension = &drawing.dimensions[claim.dimension.0];
    let typed_mm = dimension.written.length.as_mm();
    let problem = Problem::new(format!("`{}` does not agree with the paper", claim.said))
        .at(format!("line {}, `{}`", dimension.line, claim.owner))
        .at(drawing.file.clone())
        .concerns(claim.owner)
        .concerns(dimension.name.clone());
    if claim.seen_mm < 0.0 && (claim.seen_mm + typed_mm).abs() <= allowed_mm {
        return problem
            .why(format!("as typed it is {typed_mm:.2} mm, and on the paper as much the other way"))
            .mend("say the opposite direction, or check which feature was pointed to");
    }
    let direction = claim
        .seen_rad
        .map_or_else(String::new, |rad| format!(" at {:.0}°", rad.to_degrees().rem_euclid(360.0)));
    let problem = problem.why(format!(
        "as typed it is {typed_mm:.2} mm; the paper shows {:.1} mm{direction}, and can be out by no more than {allowed_mm:.1} mm",
        claim.seen_mm
    ));
    if (claim.seen_mm - typed_mm).abs() <= allowed_mm {
        return problem.mend("the length agrees, the direction does not: check the angle");
    }
    let mut likely: Vec<_> = misreadings(&dimension.written, drawing.unit)
        .into_iter()
        .filter(|(reading, _)| (reading.length.as_mm() - claim.seen_mm).abs() <= allowed_mm)
        .collect();
    likely.truncate(MOST_READINGS);
    let said =
        likely.iter().map(|(reading, slip)| format!("`{}` ({slip})", reading.text)).collect::<Vec<_>>();
    problem.mend(if said.is_empty() {
        "check the figure on the sheet, and that both ends were pointed to".to_owned()
    } else {
        format!("look at the sheet again: {} would agree", said.join(" or "))
    })
}
