//! A setting block: what turns about an axle rests on it and stands at one angle, so that a crank
//! is set by touch and nothing is measured in degrees.
//!
//! Under two rounds of one axle the block has two lands, milled from one base in one setting.
//! [`Block::laid`] chooses how far round the whole stands, so that the angle between the two hangs
//! as little as may be on the heights; against a square the block is packing. The rule for one
//! round is `mechanism::aids::block_height`.

mod sheet;

use std::f64::consts::PI;

use mechanism::aids::{block_height, square_packing};

use crate::measure::{Angle, Length, Toward};
use crate::problem::Problem;
use crate::settings::show::mm;
use crate::why::Why;

/// A round that rests on the block.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Rest {
    /// What it is called.
    pub name: String,
    /// Across it.
    pub across: Length,
    /// From the middle of the axle to its middle.
    pub throw: Length,
    /// Where the throw comes from.
    pub why: Why,
}

/// What it stands on or against.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Stands {
    /// A plate: the axle's middle so high above it, and where that comes from.
    Plate(Length, Why),
    /// A square, beside a shaft of this name and diameter.
    Square(String, Length),
}

/// A block to be worked out.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Block {
    /// What the project calls it.
    pub name: String,
    /// The rounds: one, or two on one axle. Against a square, one.
    pub rests: Vec<Rest>,
    /// Of one: above the level. Of two: anticlockwise from the first to the second.
    pub angle: Angle,
    /// Where the angle comes from.
    pub angle_why: Why,
    /// What it stands on or against.
    pub stands: Stands,
    /// How far the angle may be out either way, and why.
    pub within: Option<(Angle, Why)>,
    /// From where the angle is seen.
    pub seen_from: Option<String>,
    /// Where it is said.
    pub said: String,
}

/// How the block comes out.
#[derive(Clone, Debug, PartialEq)]
pub struct Laid {
    /// How far above the level each round stands, whole degrees for the first of two.
    pub stands_at: Vec<Angle>,
    /// The height under each round, to a hundredth, or a thousandth where the angle asks for it; of packing its thickness, below nought
    /// where it goes between the square and the pin.
    pub heights: Vec<Length>,
    /// To what the heights are rounded.
    pub step: Length,
    /// What that makes of the angle, radians.
    pub rounded: f64,
    /// How far the angle goes, radians, for 1 mm of every height and of the axle's at their worst.
    pub by: f64,
    /// How closely every height is made, and whether something asked for that.
    pub within: (Length, bool),
    /// Whether the angle then stays within what was asked.
    pub keeps: bool,
}

/// The least height of a block that is milled and clamped: common practice.
fn least_height() -> Length {
    Length::mm(5)
}

/// Nearer to plumb than about 10° a height says too little of the angle: common practice.
const PLUMB: f64 = 0.17;

/// As closely as a block is made with a micrometer and light cuts: common practice.
fn closest() -> Length {
    Length::microns(5)
}

impl Block {
    fn throw(&self, n: usize) -> f64 {
        self.rests[n].throw.as_mm()
    }

    /// How it stands, and its heights.
    ///
    /// # Errors
    ///
    /// A [`Problem`] when a pin is too nearly plumb to be set by a height, or no height is left.
    pub fn laid(&self) -> Result<Laid, Problem> {
        let found = match (&self.stands, self.rests.len()) {
            (Stands::Square(_, shaft), 1) => self.against_square(*shaft),
            (Stands::Plate(centre, _), 1) => self.under_one(centre.as_mm()),
            (Stands::Plate(centre, _), 2) => self.under_two(centre.as_mm()),
            _ => Err(Problem::new(format!("{} carries {} rounds", self.name, self.rests.len()))
                .mend("one or two rest on a block, and one stands against a square")),
        };
        let (at, heights, by) = found.map_err(|fault| fault.at(self.said.clone()))?;
        let (each, by) = by;
        let cut = |step: Length| -> (Vec<Length>, f64) {
            let cut: Vec<Length> = heights
                .iter()
                .map(|height| Length::nearest(*height).rounded(step, Toward::Nearest).value)
                .collect();
            let off = |n: usize| (cut[n].as_mm() - heights[n]) * each[n];
            // The second height turns the angle on, the first turns it back.
            let rounded = if cut.len() == 2 { off(1) - off(0) } else { off(0) };
            (cut, rounded)
        };
        let asked = self.within.as_ref().map(|(angle, _)| angle.as_rad());
        let (mut step, mut made) = (Length::mm_ratio(1, 100), cut(Length::mm_ratio(1, 100)));
        if asked.is_some_and(|asked| made.1.abs() > 0.25 * asked) {
            step = Length::microns(1);
            made = cut(step);
        }
        let (heights, rounded) = made;
        let asked = asked.map(|asked| asked - rounded.abs());
        let fine = asked.map_or(0.02, |room| (room / by / 0.005 + 1e-9).floor() * 0.005).clamp(0.005, 0.05);
        let within = Length::microns((fine * 1000.0).round() as i64).max(closest());
        let keeps = asked.is_none_or(|room| within.as_mm() * by <= room + 1e-12);
        let stands_at = at.into_iter().map(Angle::nearest_rad).collect();
        Ok(Laid { stands_at, heights, step, rounded, by, within: (within, asked.is_some()), keeps })
    }

    /// How far the angle may really be out, radians: by the rounding and by the heights.
    pub fn out_by(&self, laid: &Laid) -> f64 {
        laid.rounded.abs() + laid.by * laid.within.0.as_mm()
    }

    /// How far the angle goes, radians, for 1 mm of every throw: its tangent over the throw, its
    /// cotangent against a square.
    fn by_throws(&self, laid: &Laid) -> f64 {
        let square = matches!(self.stands, Stands::Square(..));
        let by = |n: usize| {
            let tangent = laid.stands_at[n].as_rad().tan().abs();
            (if square { tangent.recip() } else { tangent }) / self.throw(n)
        };
        (0..self.rests.len()).map(by).sum()
    }

    fn under_one(&self, centre: f64) -> Result<Stood, Problem> {
        let (angle, throw) = (self.angle.as_rad(), self.throw(0));
        let across = self.rests[0].across.as_mm();
        if angle.cos().abs() < PLUMB {
            return Err(Problem::new(format!(
                "{} stands nearly plumb at {}",
                self.rests[0].name,
                self.angle.decimals(2)
            ))
            .why("there a height hardly changes with the angle, and sets nothing")
            .mend("set it from a square: `design = \"square packing\"`"));
        }
        let height = block_height(centre, throw, across, angle);
        self.high_enough(&[height], centre)?;
        let by = 1.0 / (throw * angle.cos());
        Ok((vec![angle], vec![height], (vec![by], 2.0 * by.abs())))
    }

    /// Turned as a whole, by whole degrees, to where heights and the axle's height say most.
    fn under_two(&self, centre: f64) -> Result<Stood, Problem> {
        let between = self.angle.as_rad();
        let (r, s) = (self.throw(0), self.throw(1));
        let heights = |first: f64| {
            let of = |n: usize, angle: f64| {
                block_height(centre, self.throw(n), self.rests[n].across.as_mm(), angle)
            };
            [of(0, first), of(1, first + between)]
        };
        let least = least_height().as_mm();
        let (mut best, mut highest): (Option<(f64, f64)>, Option<f64>) = (None, None);
        let spread = (0..=180).flat_map(|n| [f64::from(-n), f64::from(n)]);
        for first in spread.map(f64::to_radians) {
            let (a, b) = (first.cos(), (first + between).cos());
            if a.abs() < PLUMB || b.abs() < PLUMB {
                continue;
            }
            let lower = heights(first).into_iter().fold(f64::INFINITY, f64::min);
            highest = Some(highest.map_or(lower, |so_far: f64| so_far.max(lower)));
            let (one, two) = (1.0 / (r * a), 1.0 / (s * b));
            let by = one.abs() + two.abs() + (one - two).abs();
            if lower >= least && best.is_none_or(|(_, so_far)| by < so_far - 1e-12) {
                best = Some((first, by));
            }
        }
        let Some((first, by)) = best else {
            let lower = highest.unwrap_or(0.0);
            return Err(self.too_low(lower, centre));
        };
        let each = vec![1.0 / (r * first.cos()), 1.0 / (s * (first + between).cos())];
        Ok((vec![first, first + between], heights(first).to_vec(), (each, by)))
    }

    fn against_square(&self, shaft: Length) -> Result<Stood, Problem> {
        let (angle, throw) = (self.angle.as_rad(), self.throw(0));
        if angle.sin().abs() < PLUMB {
            return Err(Problem::new(format!(
                "{} stands nearly level at {}",
                self.rests[0].name,
                self.angle.decimals(2)
            ))
            .why("there its distance from a square hardly changes with the angle, and sets nothing")
            .mend("set it from the plate: `design = \"setting block\"`"));
        }
        if angle.cos() < 0.0 {
            return Err(Problem::new(format!(
                "at {} the square would stand on the other side",
                self.angle.decimals(2)
            ))
            .why("the angle is counted from the level on the side where the square stands")
            .mend("count it from that side: 180° less what is said"));
        }
        let packing = square_packing(throw, self.rests[0].across.as_mm(), shaft.as_mm(), angle);
        if packing.abs() < 0.5 {
            return Err(Problem::new(format!("{} would be {packing:.3} mm thick", self.name))
                .why("so thin a strip is not milled")
                .mend("set it with feeler gauges of that thickness, or by another angle"));
        }
        let by = 1.0 / (throw * angle.sin());
        Ok((vec![angle], vec![packing], (vec![-by], by.abs())))
    }

    fn high_enough(&self, heights: &[f64], centre: f64) -> Result<(), Problem> {
        let lower = heights.iter().copied().fold(f64::INFINITY, f64::min);
        if lower < least_height().as_mm() { Err(self.too_low(lower, centre)) } else { Ok(()) }
    }

    fn too_low(&self, lower: f64, centre: f64) -> Problem {
        let wants = (centre + least_height().as_mm() - lower).ceil();
        Problem::new(format!("{} would be {lower:.2} mm high", self.name))
            .why(format!("under {} it is not milled and held", mm(least_height())))
            .mend(format!("lay the axle higher: `centre = \"{wants} mm\"` or more"))
    }
}

/// Angles, heights, and how the angle goes by each height and by all at their worst.
type Stood = (Vec<f64>, Vec<f64>, (Vec<f64>, f64));

/// `45° below the level, on the right`.
fn stands_words(angle: Angle) -> String {
    let angle = Angle::nearest_rad(angle.as_rad().sin().atan2(angle.as_rad().cos()));
    let (side, up) = if angle.as_rad().abs() > PI / 2.0 {
        let rest = PI - angle.as_rad().abs();
        ("left", if angle.as_rad() >= 0.0 { rest } else { -rest })
    } else {
        ("right", angle.as_rad())
    };
    let shown = Angle::nearest_rad(up.abs()).decimals(3);
    let shown = shown.trim_end_matches('°').trim_end_matches('0').trim_end_matches('.');
    match () {
        () if up.abs() < 1e-7 => format!("level, on the {side}"),
        () if up > 0.0 => format!("{shown}° above the level, on the {side}"),
        () => format!("{shown}° below the level, on the {side}"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rest(across: i64, throw: i64) -> Rest {
        Rest {
            name: "a pin".into(),
            across: Length::mm(across),
            throw: Length::mm(throw),
            why: Why::new("said"),
        }
    }

    fn block(rests: Vec<Rest>, angle: i64, stands: Stands) -> Block {
        Block {
            name: "block".into(),
            rests,
            angle: Angle::degrees(angle),
            angle_why: Why::new("said"),
            stands,
            within: None,
            seen_from: None,
            said: "assembly.toml, line 2".into(),
        }
    }

    fn plate(centre: i64) -> Stands {
        Stands::Plate(Length::mm(centre), Why::new("said"))
    }

    /// By construction, without the formula: the pins' undersides are read off circles drawn
    /// about the axle, and the angle between their middles is taken again from the heights.
    fn angle_again(block: &Block, laid: &Laid, centre: f64) -> f64 {
        let middle = |n: usize| {
            let up = laid.heights[n].as_mm() + block.rests[n].across.as_mm() / 2.0 - centre;
            let throw = block.rests[n].throw.as_mm();
            let along = (throw * throw - up * up).sqrt() * laid.stands_at[n].as_rad().cos().signum();
            up.atan2(along)
        };
        (middle(1) - middle(0)).rem_euclid(2.0 * PI)
    }

    #[test]
    fn quartering_stands_half_above_and_half_below_so_that_the_axles_height_drops_out() {
        let block = block(vec![rest(6, 16), rest(6, 16)], 90, plate(40));
        let laid = block.laid().unwrap();
        assert_eq!(laid.stands_at[0], Angle::degrees(-45));
        // 40 ∓ 16 sin 45° - 3.
        assert_eq!(laid.heights, [Length::mm_ratio(2569, 100), Length::mm_ratio(4831, 100)]);
        assert!((angle_again(&block, &laid, 40.0).to_degrees() - 90.0).abs() < 0.05);
        // 2 × 1 / (16 cos 45°), and nothing of the axle's height.
        assert!((laid.by - 2.0 / (16.0 * 0.5_f64.sqrt())).abs() < 1e-9);
    }

    /// Whatever the throws, the angle comes back from the heights, and departs by no more than told.
    #[test]
    fn the_angle_comes_back_from_the_heights() {
        for angle in [-120, -33, 10, 57, 90, 123, 180, 237] {
            for (r, s) in [(16, 16), (18, 4), (4, 22)] {
                let block = block(vec![rest(6, r), rest(8, s)], angle, plate(60));
                let laid = block.laid().unwrap();
                let turn =
                    |by: f64| (by - f64::from(angle as i32).to_radians() + PI).rem_euclid(2.0 * PI) - PI;
                let off = turn(angle_again(&block, &laid, 60.0));
                assert!((off - laid.rounded).abs() < 1e-4, "{angle} {r} {s}: {off} {}", laid.rounded);
                // A height at its worst, and the axle's: never more than told.
                let mut worse = laid.clone();
                worse.heights[0] += laid.within.0;
                let out = turn(angle_again(&block, &worse, 60.0 - laid.within.0.as_mm()));
                assert!(out.abs() <= block.out_by(&laid) * 1.02, "{angle} {r} {s}: {out}");
            }
        }
    }

    #[test]
    fn what_is_asked_of_the_angle_is_asked_of_the_heights() {
        let mut block = block(vec![rest(6, 16), rest(6, 16)], 90, plate(40));
        block.within = Some((Angle::ratio(1, 4), Why::new("said")));
        let laid = block.laid().unwrap();
        assert!(laid.keeps && block.out_by(&laid) <= 0.25_f64.to_radians());
        assert_eq!(laid.within, (Length::microns(20), true));
        block.within = Some((Angle::ratio(1, 100), Why::new("said")));
        assert!(!block.laid().unwrap().keeps);
    }

    #[test]
    fn one_pin_and_packing_touch_where_they_should() {
        let one = block(vec![rest(6, 16)], 30, plate(40)).laid().unwrap();
        assert_eq!(one.heights, [Length::mm(45)]);
        // The pin's far side at 16 cos 60° + 3, the shaft's at 5.
        let square =
            |angle| block(vec![rest(6, 16)], angle, Stands::Square("the shaft".into(), Length::mm(10)));
        assert_eq!(square(60).laid().unwrap().heights, [Length::mm(6)]);
        for (fault, word) in [
            (block(vec![rest(6, 16)], 88, plate(40)).laid().unwrap_err(), "square packing"),
            (block(vec![rest(6, 16)], -60, plate(18)).laid().unwrap_err(), "centre = \"22 mm\""),
            (square(3).laid().unwrap_err(), "setting block"),
            (square(120).laid().unwrap_err(), "180°"),
        ] {
            assert!(fault.to_string().contains(word) && fault.place().contains("line 2"), "{fault}");
        }
    }

    #[test]
    fn where_it_stands_is_said_in_words() {
        for (angle, words) in [
            (0, "level, on the right"),
            (-45, "45° below the level, on the right"),
            (135, "45° above the level, on the left"),
            (237, "57° below the level, on the left"),
            (180, "level, on the left"),
        ] {
            assert_eq!(stands_words(Angle::degrees(angle)), words);
        }
    }
}
