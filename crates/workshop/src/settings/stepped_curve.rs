//! A curve cut by coordinates: cutter centres in steps, and the cusps they leave.
//!
//! For a mill with a readout and no rotary table. Every place is rounded to the
//! side that leaves metal; a file takes the cusps off.

use super::position::rounding;
use super::rotary::{Arc, Metal};
use super::show::{geometry, mm, positive, practice, set_mm, within_reach};
use crate::geometry::clear::{TOUCH_MM, settled, stands_clear};
use crate::geometry::{Point, Segment};
use crate::measure::{Angle, Length, Rounded};
use crate::problem::Problem;
use crate::why::Figure;

/// An arc to be stepped, and how finely.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Curve {
    /// The arc.
    pub arc: Arc,
    /// X of its centre from the datum.
    pub x: Length,
    /// Y of its centre from the datum.
    pub y: Length,
    /// The diameter of the cutter.
    pub cutter: Length,
    /// The highest cusp that may be left for the file.
    pub cusp: Length,
    /// The step of the readout.
    pub step: Length,
}

/// A place of the cutter's centre.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Place {
    /// X, and what the rounding cost.
    pub x: Rounded,
    /// Y, and what the rounding cost.
    pub y: Rounded,
}

/// The places that cut the curve.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SteppedCurve {
    /// The curve asked for.
    pub curve: Curve,
    /// Cutter centres from the arc's first point to its last.
    pub places: Vec<Place>,
    /// The angle between neighbours.
    pub between: Angle,
    /// The cusp that is left.
    pub cusp: Length,
}

/// More places than anyone will wind.
const MOST_PLACES: f64 = 500.0;

/// Works out the places.
///
/// `rest` is the outline that the arc belongs to, from the datum: no place cuts into any
/// of it. Empty where only the arc is known.
///
/// # Errors
///
/// A [`Problem`] when a size is not more than nought, the cutter does not fit a
/// hollow, or the cusp asked for needs over 500 places; or when no place that the
/// slides can be set to keeps clear of the rest.
pub fn stepped_curve(curve: Curve, rest: &[Segment]) -> Result<SteppedCurve, Problem> {
    for (size, name) in [
        (curve.arc.radius, "radius"),
        (curve.cutter, "cutter diameter"),
        (curve.cusp, "cusp allowed"),
        (curve.step, "step of the readout"),
    ] {
        positive(size, name)?;
    }
    within_reach(curve.x, "X of the centre")?;
    within_reach(curve.y, "Y of the centre")?;
    if curve.arc.sweep <= Angle::degrees(0) || curve.arc.sweep > Angle::degrees(360) {
        return Err(Problem::new(format!("an arc of {} cannot be stepped", curve.arc.sweep))
            .mend("give an arc of more than nought and at most 360°"));
    }
    let centres = match curve.arc.metal {
        Metal::Inside => curve.arc.radius + curve.cutter.half(),
        Metal::Outside => curve.arc.radius - curve.cutter.half(),
    };
    if !centres.is_positive() {
        return Err(Problem::new(format!(
            "a {} cutter does not step round a hollow of radius {}",
            mm(curve.cutter),
            mm(curve.arc.radius)
        ))
        .mend(format!("use a cutter of less than {}", mm(curve.arc.radius * 2))));
    }
    let widest_rad = widest_step_rad(&curve);
    let count = (curve.arc.sweep.as_rad() / widest_rad).ceil().max(1.0);
    if count > MOST_PLACES {
        return Err(Problem::new(format!("a cusp of {} needs {count} places", mm(curve.cusp)))
            .mend("allow a higher cusp and file it off, or use a larger cutter or the rotary table"));
    }
    let count = count as i128;
    let between = curve.arc.sweep.exact() / count;
    let between = Angle::ratio(*between.numer(), *between.denom());
    let reach_mm = curve.cutter.half().as_mm();
    let place = |i: i128| -> Result<Place, Problem> {
        let direction = curve.arc.start.exact() + between.exact() * i;
        let direction = Angle::ratio(*direction.numer(), *direction.denom());
        let exact = Point::at(curve.x, curve.y).polar(centres.as_mm(), direction.as_rad());
        let set = settled(exact, curve.step, |at| clear(&curve, at) && stands_clear(rest, at, reach_mm));
        let (x, y) = set.ok_or_else(|| no_place(i + 1))?;
        let rounded =
            |value: Length, exact_mm: f64| Rounded { value, loss: value - Length::nearest(exact_mm) };
        Ok(Place { x: rounded(x, exact.x_mm), y: rounded(y, exact.y_mm) })
    };
    Ok(SteppedCurve {
        places: (0..=count).map(place).collect::<Result<_, Problem>>()?,
        between,
        cusp: Length::nearest(cusp_mm(&curve, between.as_rad())),
        curve,
    })
}

/// True when a cutter at a place leaves the whole of the arc's circle as it is: the metal
/// within it, or that beyond it.
fn clear(curve: &Curve, at: Point) -> bool {
    let (radius_mm, reach_mm) = (curve.arc.radius.as_mm(), curve.cutter.half().as_mm());
    let from_mm = at.distance_mm(Point::at(curve.x, curve.y));
    match curve.arc.metal {
        Metal::Inside => from_mm >= radius_mm + reach_mm - TOUCH_MM,
        Metal::Outside => from_mm <= radius_mm - reach_mm + TOUCH_MM,
    }
}

fn no_place(number: i128) -> Problem {
    Problem::new(format!("place {number} of the curve cannot be set"))
        .why("wherever the slides stand about it, the cutter would cut into the outline beside it")
        .mend("use a smaller cutter, or file this curve")
}

/// How high the metal stands half-way between two places: where the circles of
/// the cutter cross, less the arc.
fn cusp_mm(curve: &Curve, between_rad: f64) -> f64 {
    let (r, c) = (curve.arc.radius.as_mm(), curve.cutter.half().as_mm());
    let (half_sin, half_cos) = (between_rad / 2.0).sin_cos();
    match curve.arc.metal {
        Metal::Inside => (r + c) * half_cos - (c * c - ((r + c) * half_sin).powi(2)).max(0.0).sqrt() - r,
        Metal::Outside => r - (r - c) * half_cos - (c * c - ((r - c) * half_sin).powi(2)).max(0.0).sqrt(),
    }
}

/// The widest step whose cusp is still allowed, by halving: the cusp grows with
/// the step until neighbouring cuts no longer meet.
fn widest_step_rad(curve: &Curve) -> f64 {
    let (r, c) = (curve.arc.radius.as_mm(), curve.cutter.half().as_mm());
    let centres = if curve.arc.metal == Metal::Inside { r + c } else { r - c };
    let (mut low, mut high) = (0.0, 2.0 * (c / centres).min(1.0).asin());
    for _ in 0..60 {
        let middle = (low + high) / 2.0;
        if cusp_mm(curve, middle) <= curve.cusp.as_mm() { low = middle } else { high = middle }
    }
    low
}

impl SteppedCurve {
    /// The rows of the sheet.
    pub fn figures(&self) -> Vec<Figure> {
        let cusp = geometry(format!(
            "places {} apart leave ridges where the cutter's circles cross",
            self.between.decimals(3)
        ))
        .because(practice(format!("at most {} may be left for the file", mm(self.curve.cusp))));
        let mut figures =
            vec![Figure::new("cusp left for the file", format!("{} mm", self.cusp.decimals(3)), cusp)];
        figures.push(drawn_off());
        figures.extend(place_figures(&self.places, self.curve.step));
        figures
    }
}

/// What is done between one place and the next.
pub(super) fn drawn_off() -> Figure {
    let why = practice(
        "the slides move one after the other: on the way from place to place the cutter would go into the metal that stays",
    );
    Figure::new("between places", "raise the cutter clear, set both slides, feed it down again", why)
}

/// X and Y of every place.
pub(super) fn place_figures(places: &[Place], step: Length) -> Vec<Figure> {
    let numbered = places.iter().enumerate();
    let figures = numbered.flat_map(|(i, place)| {
        [("X", place.x), ("Y", place.y)].map(|(axis, at)| {
            let why = practice("rounded to the side that leaves metal").because(rounding(at, step));
            Figure::new(format!("place {}, {axis}", i + 1), set_mm(at.value, step), why)
        })
    });
    figures.collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn curve(metal: Metal, radius: i64, cutter: i64, cusp: i64) -> Curve {
        let arc =
            Arc { radius: Length::mm(radius), metal, start: Angle::degrees(0), sweep: Angle::degrees(90) };
        let (x, y) = (Length::mm(30), Length::mm(20));
        Curve { arc, x, y, cutter: Length::mm(cutter), cusp: Length::microns(cusp), step: Length::microns(5) }
    }

    /// The series for small steps: D = √(8 h rc / ((R + rc) R)).
    #[test]
    fn the_step_agrees_with_the_series() {
        let c = curve(Metal::Inside, 20, 10, 20);
        let series = (8.0 * 0.02 * 5.0 / (25.0 * 20.0_f64)).sqrt();
        assert!((widest_step_rad(&c) / series - 1.0).abs() < 0.01);
    }

    #[test]
    fn too_fine_a_cusp_or_too_large_a_cutter_is_refused() {
        let fine = Curve { cusp: Length::mm_ratio(1, 1_000_000), ..curve(Metal::Inside, 200, 3, 1) };
        assert!(stepped_curve(fine, &[]).unwrap_err().what().contains("places"));
        assert!(stepped_curve(curve(Metal::Outside, 5, 10, 20), &[]).is_err());
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(32))]

        /// The wall that the cutter really leaves, found by walking along it: never
        /// below the arc, nowhere higher than the cusp and the rounding allow.
        #[test]
        fn the_wall_left_is_within_the_cusp(radius in 6i64..40, cutter in 3i64..10, cusp in 10i64..200, hollow: bool) {
            let metal = if hollow { Metal::Outside } else { Metal::Inside };
            let c = curve(metal, radius, cutter, cusp);
            let found = stepped_curve(c, &[]).unwrap();
            prop_assert!(found.cusp <= c.cusp + Length::mm_ratio(1, 1_000_000));
            // One place fewer would leave a higher cusp, or cuts that do not meet.
            let spaces = found.places.len() as f64 - 1.0;
            let wider_rad = c.arc.sweep.as_rad() / (spaces - 1.0);
            let apart = 2.0 * Point::at(c.x, c.y).distance_mm(Point::at(found.places[0].x.value, found.places[0].y.value)) * (wider_rad / 2.0).sin();
            prop_assert!(spaces < 2.0 || cusp_mm(&c, wider_rad) > c.cusp.as_mm() || apart > c.cutter.as_mm() - 0.01);
            let (centre, rc) = (Point::at(c.x, c.y), c.cutter.half().as_mm());
            let places: Vec<Point> = found.places.iter().map(|p| Point::at(p.x.value, p.y.value)).collect();
            for k in 0..=240 {
                let rad = f64::from(k) / 240.0 * std::f64::consts::FRAC_PI_2;
                // March from the arc into the waste until a cut is met.
                let over = (-10..4000).map(|n| f64::from(n) / 2000.0).find(|over| {
                    let r = radius as f64 + if hollow { -over } else { *over };
                    let at = centre.polar(r, rad);
                    places.iter().any(|p| p.distance_mm(at) <= rc)
                });
                let over = over.expect("a cut within 2 mm");
                prop_assert!((-0.0006..=found.cusp.as_mm() + 0.009).contains(&over), "{over} at {rad}");
            }
        }
    }
}
