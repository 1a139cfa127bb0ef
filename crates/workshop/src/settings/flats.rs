//! Flats on round work: how deep, at which angles, and how wide they come out.

use super::show::{both_angles, geometry, mm, positive, practice};
use crate::measure::{Angle, Length};
use crate::problem::Problem;
use crate::why::Figure;

/// Flats to be milled.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Flats {
    /// The round they are cut in.
    pub round: Length,
    /// From flat to flat; of a single flat, to the far side of the round.
    pub across: Length,
    /// How many, equally spaced: 1, or an even number.
    pub count: u32,
}

/// How flats are milled.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Milled {
    /// What was asked.
    pub flats: Flats,
    /// From the top of the round down to the flat.
    pub depth: Length,
    /// From the axis to the flat.
    pub from_axis: Length,
    /// Where the work is turned to for each.
    pub angles: Vec<Angle>,
    /// How wide each flat comes out.
    pub width: Length,
}

/// Works out depth, angles and width.
///
/// # Errors
///
/// A [`Problem`] when a size is not more than nought, the flats take nothing off or go
/// past the axis, or an odd number is measured across.
pub fn flats(flats: Flats) -> Result<Milled, Problem> {
    positive(flats.round, "round")?;
    positive(flats.across, "size across flats")?;
    if flats.across >= flats.round {
        return Err(Problem::new(format!(
            "{} across leaves nothing to mill off {}",
            mm(flats.across),
            mm(flats.round)
        ))
        .mend("check the size across flats, and the round they are cut in"));
    }
    if flats.count != 1 && (flats.count == 0 || flats.count % 2 == 1 || flats.count > 12) {
        return Err(Problem::new(format!("{} flats cannot be measured across", flats.count))
            .why("each needs another opposite to it")
            .mend("give one flat, or an even number up to twelve"));
    }
    let radius = flats.round.half();
    let depth = if flats.count == 1 { flats.round - flats.across } else { radius - flats.across.half() };
    if depth > radius {
        return Err(Problem::new("the flat goes past the axis")
            .why("a single flat is measured to the far side of the round")
            .mend("check the size across"));
    }
    let from_axis = radius - depth;
    let angles = (0..flats.count).map(|n| Angle::ratio(360 * i128::from(n), flats.count.into())).collect();
    let (radius_mm, axis_mm) = (radius.as_mm(), from_axis.as_mm());
    let chord_mm = 2.0 * (radius_mm.powi(2) - axis_mm.powi(2)).sqrt();
    // Where neighbours meet before the round does, the corners are sharp.
    let sharp_mm = if flats.count > 2 {
        2.0 * axis_mm * (std::f64::consts::PI / f64::from(flats.count)).tan()
    } else {
        f64::INFINITY
    };
    Ok(Milled { flats, depth, from_axis, angles, width: Length::nearest(chord_mm.min(sharp_mm)) })
}

impl Milled {
    /// Everything that is worked out.
    pub fn figures(&self) -> Vec<Figure> {
        self.figures_in(both_angles)
    }

    /// The rows of the sheet, angles as the rim of a dividing head is marked: in degrees
    /// and minutes alone.
    pub fn figures_on_the_rim(&self) -> Vec<Figure> {
        self.figures_in(Angle::degrees_minutes)
    }

    fn figures_in(&self, shown: fn(Angle) -> String) -> Vec<Figure> {
        let depth = if self.flats.count == 1 {
            geometry(format!("{} less {} across", mm(self.flats.round), mm(self.flats.across)))
        } else {
            geometry(format!("half of {} less {} across", mm(self.flats.round), mm(self.flats.across)))
        };
        let depth = depth.because(practice(
            "cut the first flat and its opposite light, measure across, and share what is left between them",
        ));
        let mut figures = vec![Figure::new("depth below the top of the round", mm(self.depth), depth)];
        for (n, &angle) in self.angles.iter().enumerate().skip(1) {
            let why = geometry(format!("a whole turn by {}", self.flats.count))
                .because(practice("always turned the same way, so that the worm's slack stays on one side"));
            figures.push(Figure::new(format!("flat {} at", n + 1), shown(angle), why));
        }
        let width = geometry("the chord of the round at that depth, or as far as the next flat")
            .because(practice("a second sight of the depth: a flat too narrow is too shallow"));
        figures.push(Figure::new("width of a flat", mm(self.width), width));
        figures
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn milled(round: i64, across: i64, count: u32) -> Milled {
        let tenths = |n: i64| Length::microns(n * 100);
        flats(Flats { round: tenths(round), across: tenths(across), count }).unwrap()
    }

    /// A handbook's shares: the largest square in a round is 0.7071 of it across flats,
    /// the largest hexagon 0.8660; their flats then end at sharp corners.
    #[test]
    fn the_largest_square_and_hexagon_end_at_their_corners() {
        let square = flats(Flats { round: Length::mm(10), across: Length::nearest(7.071_068), count: 4 });
        assert!((square.unwrap().width.as_mm() - 7.0711).abs() < 0.001);
        let hexagon = flats(Flats { round: Length::mm(10), across: Length::nearest(8.660_254), count: 6 });
        assert!((hexagon.unwrap().width.as_mm() - 5.0).abs() < 0.001);
    }

    /// By hand: 16 down to 13, 1.5 a side; a 3-4-5 triangle: 10 round, 6 from flat to
    /// flat, a flat 8 wide. A D of 9 on 10 is 1 deep, its flat twice the root of 25 less 16.
    #[test]
    fn depths_and_widths_by_hand() {
        assert_eq!(milled(160, 130, 2).depth, Length::microns(1500));
        assert_eq!(milled(100, 60, 2).width, Length::mm(8));
        assert_eq!((milled(100, 90, 1).depth, milled(100, 90, 1).width), (Length::mm(1), Length::mm(6)));
        let hexagon: Vec<f64> = milled(100, 90, 6).angles.iter().map(|a| a.as_degrees()).collect();
        assert_eq!(hexagon, [0.0, 60.0, 120.0, 180.0, 240.0, 300.0]);
    }

    #[test]
    fn what_cannot_be_milled_is_refused() {
        let ask =
            |across: i64, count| flats(Flats { round: Length::mm(10), across: Length::mm(across), count });
        assert!(ask(10, 2).is_err() && ask(8, 3).is_err() && ask(8, 0).is_err() && ask(4, 1).is_err());
        assert!(ask(5, 1).is_ok());
    }

    proptest! {
        /// Every flat lies inside the round and its own width ends on it or on the next.
        #[test]
        fn a_flat_ends_on_the_round_or_at_a_corner(round in 20i64..500, share in 55i64..99, half in 1u32..4) {
            let across = round * share / 100;
            prop_assume!(across < round && across > 0);
            let made = milled(round, across, half * 2);
            let end_mm = made.from_axis.as_mm().hypot(made.width.half().as_mm());
            prop_assert!(end_mm <= made.flats.round.half().as_mm() + 1e-5);
            prop_assert_eq!(made.from_axis * 2, made.flats.across);
        }
    }
}
