//! Measuring over plain pins or plugs: from an edge, between holes, round a circle, in a vee
//! and in a dovetail.

use crate::measure::{Angle, Length};
use crate::problem::Problem;
use crate::settings::show::{geometry, mm, positive, practice};
use crate::why::{Figure, Why};

/// Two readings that tell the same distance: over the pins, and between them.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct OverPins {
    /// Over the far sides.
    pub over: Length,
    /// Between the near sides.
    pub between: Length,
}

/// From an edge to the middle of a hole with a pin in it: read to its far and near sides.
///
/// # Errors
///
/// A [`Problem`] when a size is not more than nought.
pub fn from_edge(distance: Length, pin: Length) -> Result<OverPins, Problem> {
    positive(distance, "distance from the edge")?;
    positive(pin, "pin")?;
    Ok(OverPins { over: distance + pin.half(), between: distance - pin.half() })
}

/// Between the middles of two holes with a pin in each.
///
/// # Errors
///
/// A [`Problem`] when a size is not more than nought, or the pins would meet.
pub fn between_holes(centres: Length, [first, second]: [Length; 2]) -> Result<OverPins, Problem> {
    positive(centres, "distance between the centres")?;
    positive(first, "first pin")?;
    positive(second, "second pin")?;
    let half = (first + second).half();
    if half >= centres {
        return Err(Problem::new(format!("pins of {} and {} meet", mm(first), mm(second)))
            .why(format!("their centres are {} apart", mm(centres)))
            .mend("use smaller pins, or check the distance"));
    }
    Ok(OverPins { over: centres + half, between: centres - half })
}

/// The widest reading over two pins of a circle of equally spaced holes.
///
/// An odd number has no two opposite: the widest pair is `D cos(90°/n)` apart (Machinery's
/// Handbook 31, p. 703).
///
/// # Errors
///
/// A [`Problem`] when a size is not more than nought, or there are fewer than two holes.
pub fn round_circle(holes: u32, circle: Length, pin: Length) -> Result<OverPins, Problem> {
    positive(circle, "pitch circle")?;
    if !(2..=360).contains(&holes) {
        return Err(Problem::new(format!("{holes} holes on the circle"))
            .why("two pins are measured over, and no more than 360 holes are spaced so")
            .mend("count the holes again"));
    }
    let apart = match holes % 2 {
        0 => circle,
        _ => Length::nearest(circle.as_mm() * (std::f64::consts::FRAC_PI_2 / f64::from(holes)).cos()),
    };
    between_holes(apart, [pin, pin])
}

/// The height over a pin lying in a vee, from where the height to its sharp bottom is
/// counted: `Z + r (1 + cos((a-b)/2) / sin((a+b)/2))`; a vee turned round the work is read over
/// two pins, twice that (Machinery's Handbook 31, p. 703).
///
/// # Errors
///
/// A [`Problem`] when the pin is not more than nought, or a side leans less than 1° or more
/// than 89° from upright.
pub fn in_vee(bottom: Length, pin: Length, [one, other]: [Angle; 2]) -> Result<Length, Problem> {
    positive(pin, "pin")?;
    for side in [one, other] {
        if !(1.0..=89.0).contains(&side.as_degrees()) {
            return Err(Problem::new(format!("a side of the vee leans {}", side.decimals(2)))
                .why("each side is measured from the upright, and lies between 1° and 89°")
                .mend("give half the vee's angle for a vee that stands straight"));
        }
    }
    let (mean_rad, apart_rad) =
        ((one.as_rad() + other.as_rad()) / 2.0, (one.as_rad() - other.as_rad()) / 2.0);
    let above_mm = pin.as_mm() / 2.0 * (apart_rad.cos() / mean_rad.sin() + 1.0);
    Ok(bottom + Length::nearest(above_mm))
}

/// Over two pins in the corners of a dovetail slide, or between two in those of its slot.
///
/// `narrow` is across the sharp corners at the foot of the slide, `wide` across those at the
/// bottom of the slot; `angle` lies between flank and flat. Over: `narrow + p (1 + cot(a/2))`,
/// between: `wide - p (1 + cot(a/2))` (Machinery's Handbook).
///
/// # Errors
///
/// A [`Problem`] when a size is not more than nought or the angle lies outside 20° to 89°.
pub fn dovetail(across: Length, pin: Length, angle: Angle) -> Result<OverPins, Problem> {
    positive(across, "width across the sharp corners")?;
    positive(pin, "pin")?;
    if !(20.0..=89.0).contains(&angle.as_degrees()) {
        return Err(Problem::new(format!("a dovetail of {}", angle.decimals(2)))
            .why("its flank leans between 20° and 89° from the flat")
            .mend("give the angle between flank and flat, usually 60°"));
    }
    let more = Length::nearest(pin.as_mm() * (1.0 + 1.0 / (angle.as_rad() / 2.0).tan()));
    Ok(OverPins { over: across + more, between: across - more })
}

impl OverPins {
    /// Both readings, with how they come about.
    pub fn figures(&self, how: &str) -> Vec<Figure> {
        let pins =
            practice("pins that fill their holes without shake: what play there is goes into the reading");
        let why = |side: &str| geometry(format!("{how}, {side} half of each pin")).because(pins.clone());
        let mut figures = vec![Figure::new("over the pins", read(self.over), why("and"))];
        if self.between.is_positive() {
            figures.push(Figure::new("between the pins", read(self.between), why("less")));
        }
        figures
    }
}

/// A reading to a thousandth, which is as near as anything here can be measured.
pub fn read(length: Length) -> String {
    format!("{} mm", length.decimals(3))
}

/// The height over a pin in a vee as a row.
pub fn vee_figure(over: Length, pin: Length) -> Figure {
    let why: Why = geometry(format!("the pin of {} touches both sides; its top is read", mm(pin)));
    Figure::new("over the pin", read(over), why)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::Point;
    use proptest::prelude::*;

    fn near(found: Length, printed_mm: f64, within_mm: f64) {
        assert!((found.as_mm() - printed_mm).abs() <= within_mm, "{found} against {printed_mm}");
    }

    /// Machinery's Handbook 31 p. 703: a vee all round, over two pins of radius 0.5, bottom
    /// 1.824 across, 45° and 35°: 4.374; five holes
    /// on 4.0 with pins of 0.5: 4.304226; dovetail of 60°, pin 0.25, 1.0 across: 1.68301.
    #[test]
    fn readings_agree_with_the_handbook() {
        let thousandths = |n: i64| Length::microns(n);
        let degrees = [45, 35].map(Angle::degrees);
        near(in_vee(thousandths(912), Length::mm(1), degrees).unwrap() * 2, 4.374, 6e-4);
        let five = round_circle(5, Length::mm(4), thousandths(500)).unwrap();
        near(five.over, 4.304_226, 1e-5);
        near(dovetail(Length::mm(1), thousandths(250), Angle::degrees(60)).unwrap().over, 1.683_01, 1e-5);
    }

    proptest! {
        /// The widest pair found by trying all of them.
        #[test]
        fn the_widest_pair_is_the_widest(holes in 2u32..40, tenths in 200i64..2000) {
            let (circle, pin) = (Length::microns(tenths * 100), Length::microns(500));
            let at = |n: u32| {
                let turn = std::f64::consts::TAU * f64::from(n) / f64::from(holes);
                Point::new(0.0, 0.0).polar(circle.as_mm() / 2.0, turn)
            };
            let widest_mm = (1..holes).map(|n| at(0).distance_mm(at(n))).fold(0.0, f64::max);
            prop_assert!((round_circle(holes, circle, pin).unwrap().over.as_mm() - widest_mm - 0.5).abs() < 1e-5);
        }

        /// A pin at that height touches both sides of the vee.
        #[test]
        fn a_pin_in_a_vee_touches_both_sides(one in 10i64..80, other in 10i64..80, tenths in 10i64..300) {
            let pin = Length::microns(tenths * 100);
            let sides = [one, other].map(Angle::degrees);
            let over_mm = in_vee(Length::ZERO, pin, sides).unwrap().as_mm();
            let radius_mm = pin.as_mm() / 2.0;
            // The middle lies on the line that halves the vee's angle, from its bottom.
            let lean_rad = (sides[1].as_rad() - sides[0].as_rad()) / 2.0;
            let up_mm = over_mm - radius_mm;
            let along_mm = up_mm * lean_rad.tan();
            for (side, sign) in [(sides[0], -1.0), (sides[1], 1.0)] {
                let away_mm = up_mm * side.as_rad().sin() - sign * along_mm * side.as_rad().cos();
                prop_assert!((away_mm - radius_mm).abs() < 1e-5, "{away_mm} for {radius_mm}");
            }
        }
    }

    #[test]
    fn what_cannot_be_is_refused() {
        assert!(between_holes(Length::mm(5), [Length::mm(5), Length::mm(5)]).is_err());
        assert!(round_circle(1, Length::mm(40), Length::mm(5)).is_err());
        assert!(in_vee(Length::ZERO, Length::mm(5), [Angle::degrees(0), Angle::degrees(45)]).is_err());
        assert!(dovetail(Length::mm(20), Length::mm(3), Angle::degrees(95)).is_err());
        assert!(from_edge(Length::mm(20), Length::ZERO).is_err());
    }
}
