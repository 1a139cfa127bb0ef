//! Chain drilling: a row of holes that parts the waste before milling.

use super::show::{fewest, geometry, mm, positive, practice};
use crate::measure::{Angle, Length};
use crate::problem::Problem;
use crate::why::Figure;

/// More holes than anyone will drill in a ring.
const MOST_HOLES: i64 = 500;

/// The drill and what it leaves.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Chain {
    /// The drill.
    pub drill: Length,
    /// The metal between neighbouring holes, to be broken or filed through.
    pub web: Length,
    /// What stays between the holes and the finished line.
    pub allowance: Length,
}

/// A straight row of holes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Row {
    /// The chain asked for.
    pub chain: Chain,
    /// From the finished line to the line of centres.
    pub offset: Length,
    /// From one hole to the next.
    pub pitch: Length,
    /// How many holes.
    pub holes: i64,
}

/// A row of holes round an arc.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Ring {
    /// The chain asked for.
    pub chain: Chain,
    /// The radius of the line of centres.
    pub radius: Length,
    /// The angle from one hole to the next.
    pub between: Angle,
    /// How many holes.
    pub holes: i64,
}

/// Spaces holes evenly along a straight length, one at each end.
///
/// # Errors
///
/// A [`Problem`] when a size is not more than nought or the web is under 0.2 mm:
/// drills then wander into the hole before.
pub fn row(chain: Chain, length: Length) -> Result<Row, Problem> {
    check(chain)?;
    positive(length, "length of the row")?;
    let spaces = fewest(length, chain.drill + chain.web)?;
    Ok(Row { chain, offset: chain.allowance + chain.drill.half(), pitch: length / spaces, holes: spaces + 1 })
}

/// Spaces holes evenly along an arc of waste outside a radius, one at each end.
///
/// # Errors
///
/// As [`row`]; and when the arc is not more than nought and at most one turn.
pub fn ring(chain: Chain, radius: Length, sweep: Angle) -> Result<Ring, Problem> {
    check(chain)?;
    positive(radius, "radius")?;
    if sweep <= Angle::degrees(0) || sweep > Angle::degrees(360) {
        return Err(
            Problem::new(format!("an arc of {sweep} cannot be drilled")).mend("give an arc of up to 360°")
        );
    }
    let centres = radius + chain.allowance + chain.drill.half();
    let half_pitch = (chain.drill + chain.web).half().as_mm();
    let widest_rad = 2.0 * (half_pitch / centres.as_mm()).min(1.0).asin();
    // A hair is taken off, so that a whole number of pitches is not one more.
    let spaces = (sweep.as_rad() / widest_rad - 1e-9).ceil().max(1.0) as i64;
    if spaces > MOST_HOLES {
        return Err(
            Problem::new(format!("that ring would take {spaces} holes")).mend("use a larger drill, or a saw")
        );
    }
    let between = sweep.exact() / i128::from(spaces);
    let closed = sweep == Angle::degrees(360);
    Ok(Ring {
        chain,
        radius: centres,
        between: Angle::ratio(*between.numer(), *between.denom()),
        holes: if closed { spaces } else { spaces + 1 },
    })
}

/// Spaces holes evenly all round inside a hole of a radius, so that its middle drops out.
///
/// # Errors
///
/// As [`ring`]; and when the hole is too small for a ring of that drill.
pub fn inside(chain: Chain, radius: Length) -> Result<Ring, Problem> {
    check(chain)?;
    positive(radius, "radius")?;
    let outside = radius - (chain.allowance + chain.drill.half()) * 2;
    if !outside.is_positive() {
        return Err(Problem::new(format!(
            "no ring of {} goes inside a hole of {}",
            mm(chain.drill),
            mm(radius * 2)
        ))
        .why("its holes would run into each other across the middle")
        .mend("use a smaller drill, or drill it in one"));
    }
    ring(chain, outside, Angle::degrees(360))
}

fn check(chain: Chain) -> Result<(), Problem> {
    positive(chain.drill, "drill")?;
    positive(chain.allowance, "allowance")?;
    if chain.web > chain.drill.half() {
        return Err(Problem::new(format!("a web of {} does not break", mm(chain.web)))
            .why(format!(
                "over half of the drill, {}, neither chisel nor saw gets through the row",
                mm(chain.drill.half())
            ))
            .mend("leave webs of 0.3 to 0.6 mm"));
    }
    if chain.web < Length::mm_ratio(2, 10) {
        return Err(Problem::new(format!("a web of {} is too thin", mm(chain.web)))
            .why("under 0.2 mm the drill wanders into the hole before")
            .mend("leave 0.3 to 0.6 mm between holes"));
    }
    Ok(())
}

impl Row {
    /// The rows of the sheet.
    pub fn figures(&self) -> Vec<Figure> {
        vec![
            offset(self.chain, "line of centres from the finished line", self.offset),
            Figure::new("pitch of the holes", mm(self.pitch), spaced(self.chain)),
            Figure::new("holes", self.holes.to_string(), spaced(self.chain)),
        ]
    }
}

impl Ring {
    /// The rows of the sheet.
    pub fn figures(&self) -> Vec<Figure> {
        vec![
            offset(self.chain, "radius of the centres", self.radius),
            Figure::new("angle between holes", self.between.decimals(3), spaced(self.chain)),
            Figure::new("holes", self.holes.to_string(), spaced(self.chain)),
        ]
    }
}

fn offset(chain: Chain, name: &str, size: Length) -> Figure {
    let why =
        practice(format!("half the drill {} and {} left to mill", mm(chain.drill), mm(chain.allowance)));
    Figure::new(name, mm(size), why)
}

fn spaced(chain: Chain) -> crate::why::Why {
    geometry(format!("evenly spaced, at most {} between holes of {}", mm(chain.web), mm(chain.drill)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn chain() -> Chain {
        Chain { drill: Length::mm(5), web: Length::mm_ratio(4, 10), allowance: Length::mm_ratio(8, 10) }
    }

    #[test]
    fn a_row_is_spaced_evenly() {
        let found = row(chain(), Length::mm(54)).unwrap();
        assert_eq!(
            (found.pitch, found.holes, found.offset),
            (Length::mm_ratio(54, 10), 11, Length::mm_ratio(33, 10))
        );
        assert_eq!(row(chain(), Length::mm(55)).unwrap().holes, 12);
    }

    /// Six circles round one of their own size touch: a ring of radius 5.4 with a
    /// pitch of 5.4 has six holes.
    #[test]
    fn six_holes_go_round_one() {
        let radius = Length::mm_ratio(54, 10) - Length::mm_ratio(33, 10);
        let found = ring(chain(), radius, Angle::degrees(360)).unwrap();
        assert_eq!((found.holes, found.between), (6, Angle::degrees(60)));
    }

    #[test]
    fn a_web_that_nobody_breaks_is_refused() {
        let thick = Chain { web: Length::mm(3), ..chain() };
        assert!(row(thick, Length::mm(60)).unwrap_err().what().contains("does not break"));
    }

    #[test]
    fn a_thin_web_is_refused() {
        let thin = Chain { web: Length::mm_ratio(1, 10), ..chain() };
        assert!(row(thin, Length::mm(50)).unwrap_err().reason().unwrap().contains("wanders"));
        assert!(ring(chain(), Length::mm(5), Angle::degrees(0)).is_err());
    }

    /// Inside 60 mm with holes of 6 and a millimetre to the line the centres lie on a radius of
    /// 26: 2 x 26 x sin(180/25) is 6.517, wider than 6.4, and with 26 holes it is 6.268.
    #[test]
    fn a_ring_inside_a_hole_leaves_no_web_wider_than_asked() {
        let six = Chain { drill: Length::mm(6), web: Length::mm_ratio(4, 10), allowance: Length::mm(1) };
        let found = inside(six, Length::mm(30)).unwrap();
        assert_eq!((found.radius, found.holes), (Length::mm(26), 26));
        assert!(inside(six, Length::mm(8)).unwrap_err().remedy().unwrap().contains("smaller drill"));
    }

    proptest! {
        /// No web is wider than asked, and one hole fewer would make it so.
        #[test]
        fn webs_are_within_what_was_asked(length in 10i64..300) {
            let found = row(chain(), Length::mm(length)).unwrap();
            let widest = chain().drill + chain().web;
            prop_assert!(found.pitch <= widest);
            prop_assert!(found.holes < 3 || Length::mm(length) / (found.holes - 2) > widest);
        }
    }
}
