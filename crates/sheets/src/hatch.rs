//! Hatching: thin parallel lines over a cut face or over stock to be removed.

use std::f64::consts::FRAC_PI_4;

use crate::ink::{Ink, Line, Path, Point};

/// Distance between hatch lines (ISO 128-3: in proportion to the area, at least
/// 0.7 mm; this suits pictures of half a page).
const PITCH_MM: f64 = 2.5;

/// How far a flattened arc may leave the true one: less than a printer's dot.
const SAG_MM: f64 = 0.02;

/// Which way the hatch leans, so that two parts that touch can be told apart.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Lean {
    /// Rising to the right at 45°.
    #[default]
    Right,
    /// Rising to the left at 45°.
    Left,
}

/// Hatches the area inside closed paths; a path inside another is a hole.
pub fn hatch(ink: &mut Ink, paths: &[Path<Point>], lean: Lean) {
    let rings: Vec<Vec<Point>> = paths.iter().map(|p| p.flattened(SAG_MM)).collect();
    let angle_rad = match lean {
        Lean::Right => FRAC_PI_4,
        Lean::Left => -FRAC_PI_4,
    };
    let (sin, cos) = angle_rad.sin_cos();
    // Along the hatch and across it, as if the page were turned.
    let along = |p: Point| p.x_mm * cos - p.y_mm * sin;
    let across = |p: Point| p.x_mm * sin + p.y_mm * cos;
    let back = |s: f64, h: f64| Point::mm(s * cos + h * sin, -s * sin + h * cos);

    let heights = || rings.iter().flatten().map(|&p| across(p));
    let low = heights().fold(f64::INFINITY, f64::min);
    let high = heights().fold(f64::NEG_INFINITY, f64::max);
    if !(low.is_finite() && high.is_finite()) {
        return;
    }
    // Lines are counted from the page's corner, so that neighbouring areas of
    // one part line up; half a pitch keeps them off whole-millimetre edges.
    let mut h = ((low / PITCH_MM - 0.5).ceil() + 0.5) * PITCH_MM;
    while h < high {
        let mut crossings: Vec<f64> = rings
            .iter()
            .flat_map(|ring| ring.iter().zip(ring.iter().cycle().skip(1)))
            .filter_map(|(&a, &b)| {
                let (ha, hb) = (across(a), across(b));
                // Half open, so that a corner on the line counts once.
                ((ha <= h) != (hb <= h)).then(|| along(a) + (along(b) - along(a)) * (h - ha) / (hb - ha))
            })
            .collect();
        crossings.sort_by(f64::total_cmp);
        for pair in crossings.chunks_exact(2) {
            ink.line(Line::Hatch, back(pair[0], h), back(pair[1], h));
        }
        h += PITCH_MM;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::ink::{Bounds, Shape};

    fn total_length_mm(ink: &Ink) -> f64 {
        ink.marks
            .iter()
            .map(|mark| match &mark.shape {
                Shape::Path { path, .. } => {
                    let ends = path.flattened(1.0);
                    ends[0].distance_mm(ends[1])
                }
                other => panic!("hatching drew {other:?}"),
            })
            .sum()
    }

    /// Lines a pitch apart, so their length times the pitch is the area, nearly.
    #[test]
    fn hatch_covers_the_area_and_leaves_the_hole_open() {
        let plate = Bounds::new(0.0, 0.0, 100.0, 60.0);
        let window = Bounds::new(30.0, 20.0, 40.0, 20.0);
        let mut ink = Ink::new();
        hatch(&mut ink, &[plate.path(), window.path()], Lean::Right);
        let area_mm2 = total_length_mm(&ink) * PITCH_MM;
        assert!((area_mm2 / (6000.0 - 800.0) - 1.0).abs() < 0.02, "{area_mm2}");
        let within = ink.bounds().unwrap();
        assert!(plate.holds(within), "{within:?}");
        let hole_middle = Bounds::new(49.0, 29.0, 2.0, 2.0);
        assert!(ink.marks.iter().all(|m| match &m.shape {
            Shape::Path { path, .. } => {
                let ends = path.flattened(1.0);
                hole_middle.length_within_mm(ends[0], ends[1]) == 0.0
            }
            _ => false,
        }));
    }
}
