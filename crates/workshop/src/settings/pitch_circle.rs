//! Holes on a pitch circle: readout coordinates, and a chord to check them by.

use super::position::rounding;
use super::show::{geometry, mm, positive, practice, set_mm, within_reach};
use crate::geometry::Point;
use crate::measure::{Angle, Length, Rounded, Toward};
use crate::problem::Problem;
use crate::why::Figure;

/// A pitch circle of equally spaced holes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct PitchCircle {
    /// X of its centre, from the datum.
    pub x: Length,
    /// Y of its centre, from the datum.
    pub y: Length,
    /// Its diameter.
    pub diameter: Length,
    /// How many holes.
    pub holes: u32,
    /// The direction of the first from the centre.
    pub first: Angle,
}

/// One hole as the readout shows it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Hole {
    /// X, and what the rounding cost.
    pub x: Rounded,
    /// Y, and what the rounding cost.
    pub y: Rounded,
}

/// All holes of a pitch circle.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PitchCircleHoles {
    /// The circle asked for.
    pub circle: PitchCircle,
    /// The holes anticlockwise from the first.
    pub holes: Vec<Hole>,
    /// The distance between neighbours; nought for a single hole.
    pub chord: Length,
    /// The step of the readout.
    pub step: Length,
}

/// Works out the holes.
///
/// # Errors
///
/// A [`Problem`] when the diameter or the step is not more than nought, or there
/// are no holes or over a thousand.
pub fn pitch_circle(circle: PitchCircle, step: Length) -> Result<PitchCircleHoles, Problem> {
    positive(circle.diameter, "pitch circle")?;
    positive(step, "step of the readout")?;
    within_reach(circle.x, "X of the centre")?;
    within_reach(circle.y, "Y of the centre")?;
    if !(1..=1000).contains(&circle.holes) {
        return Err(Problem::new(format!("a pitch circle of {} holes cannot be drilled", circle.holes))
            .mend("give 1 to 1000 holes"));
    }
    let radius_mm = circle.diameter.half().as_mm();
    let hole = |i: u32| {
        let direction = circle.first + Angle::ratio(360 * i128::from(i), circle.holes.into());
        let from_centre = Point::ORIGIN.polar(radius_mm, direction.as_rad());
        Hole {
            x: (circle.x + Length::nearest(from_centre.x_mm)).rounded(step, Toward::Nearest),
            y: (circle.y + Length::nearest(from_centre.y_mm)).rounded(step, Toward::Nearest),
        }
    };
    let half_step = Angle::ratio(180, circle.holes.into());
    Ok(PitchCircleHoles {
        circle,
        holes: (0..circle.holes).map(hole).collect(),
        chord: match circle.holes {
            1 => Length::ZERO,
            _ => Length::nearest(circle.diameter.as_mm() * half_step.as_rad().sin()),
        },
        step,
    })
}

impl PitchCircleHoles {
    /// The rows of the sheet, the check last.
    pub fn figures(&self) -> Vec<Figure> {
        let mut figures = Vec::new();
        for (i, hole) in self.holes.iter().enumerate() {
            for (axis, at) in [("X", hole.x), ("Y", hole.y)] {
                let why = geometry(format!(
                    "hole {} of {} on a circle of {}, from the datum",
                    i + 1,
                    self.circle.holes,
                    mm(self.circle.diameter)
                ))
                .because(rounding(at, self.step));
                figures.push(Figure::new(
                    format!("hole {}, {axis}", i + 1),
                    set_mm(at.value, self.step),
                    why,
                ));
            }
        }
        if self.circle.holes > 1 {
            let why = geometry(format!("diameter × sin(180° / {})", self.circle.holes))
                .because(practice("measure between two neighbours: over plugs, less one plug's diameter"));
            figures.push(Figure::new(
                "check between neighbours",
                format!("{} mm", self.chord.decimals(3)),
                why,
            ));
        }
        figures
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn circle(holes: u32) -> PitchCircle {
        let zero = Length::ZERO;
        PitchCircle { x: zero, y: zero, diameter: Length::mm(1), holes, first: Angle::degrees(0) }
    }

    /// The constants of a gear maker's data sheet, chord = pitch circle × C.
    #[test]
    fn chords_agree_with_the_printed_constants() {
        // Hundred-thousandths, from three holes up.
        const PRINTED: [u32; 28] = [
            86603, 70711, 58779, 50000, 43388, 38268, 34202, 30902, 28173, 25882, 23932, 22252, 20791, 19509,
            18375, 17365, 16459, 15643, 14904, 14231, 13617, 13053, 12533, 12054, 11609, 11196, 10812, 10453,
        ];
        for (holes, constant) in (3..).zip(PRINTED) {
            let found = pitch_circle(circle(holes), Length::microns(1)).unwrap();
            assert!(
                (found.chord.as_mm() * 1e5 - f64::from(constant)).abs() < 0.6,
                "{holes}: {}",
                found.chord
            );
        }
    }

    /// Machinery's Handbook 31, p. 703: five holes on 4.000, 0.500 pins, widest
    /// over pins 4.304226.
    #[test]
    fn widest_over_pins_agrees_with_the_handbook() {
        let five = PitchCircle { diameter: Length::mm(4), ..circle(5) };
        let found = pitch_circle(five, Length::mm_ratio(1, 1_000_000)).unwrap();
        let at = |i: usize| Point::at(found.holes[i].x.value, found.holes[i].y.value);
        assert!((at(0).distance_mm(at(2)) + 0.5 - 4.304226).abs() < 1e-5);
    }

    #[test]
    fn four_holes_square_to_the_axes_are_whole_numbers() {
        let four =
            PitchCircle { x: Length::mm(30), y: Length::mm(20), diameter: Length::mm(24), ..circle(4) };
        let found = pitch_circle(four, Length::microns(5)).unwrap();
        let shown: Vec<String> = found.figures().into_iter().map(|f| f.shown).collect();
        assert_eq!(
            shown,
            [
                "42.000 mm",
                "20.000 mm",
                "30.000 mm",
                "32.000 mm",
                "18.000 mm",
                "20.000 mm",
                "30.000 mm",
                "8.000 mm",
                "16.971 mm"
            ]
        );
        assert!(pitch_circle(circle(0), Length::microns(5)).is_err());
    }

    proptest! {
        /// Every hole lies on the circle but for the rounding, and they balance.
        #[test]
        fn holes_lie_on_the_circle(holes in 2u32..40, diameter in 5i64..200, first in -360i64..360) {
            let c = PitchCircle { diameter: Length::mm(diameter), first: Angle::degrees(first), ..circle(holes) };
            let found = pitch_circle(c, Length::microns(5)).unwrap();
            for hole in &found.holes {
                let r = Point::at(hole.x.value, hole.y.value).norm_mm();
                prop_assert!((r - diameter as f64 / 2.0).abs() < 0.004);
            }
            let sum: Length = found.holes.iter().map(|h| h.x.value).sum();
            prop_assert!(sum.abs() <= Length::microns(3) * i64::from(holes));
        }
    }
}
