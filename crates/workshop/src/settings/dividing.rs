//! Dividing: turns of the handle and holes in a circle, or degrees and minutes.

use num_rational::Ratio;

use super::show::{both_angles, counted, geometry, practice, to_division};
use crate::measure::{Angle, Toward};
use crate::problem::Problem;
use crate::why::Figure;

/// What is to be divided off.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Division {
    /// A whole turn into so many equal parts.
    Parts(u32),
    /// One angle after another.
    By(Angle),
}

/// Whole turns and holes of one circle.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Holes {
    /// Holes in the circle.
    pub circle: u32,
    /// Whole turns.
    pub turns: u64,
    /// Holes beyond them.
    pub holes: u32,
}

/// A position that no owned circle gives exactly.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Position {
    /// Counted from the start, which is nought.
    pub number: u32,
    /// Turns and holes from the start.
    pub at: Holes,
    /// How far the table is past the true place.
    pub error: Angle,
}

/// How a division is set with a dividing head or a plate.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Indexing {
    /// These circles divide exactly, the smallest first.
    Exact(Vec<Holes>),
    /// None does: the circle with the least error, each position from the start.
    Nearest {
        /// The circle.
        circle: u32,
        /// Every position.
        positions: Vec<Position>,
    },
}

/// Turns of the handle and angle of the table for a division.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Dividing {
    /// Turns of the handle for one of the table.
    pub worm_ratio: u32,
    /// What was asked.
    pub division: Division,
    /// Turns of the handle for one division, exactly.
    pub turns: Ratio<i128>,
    /// The angle of one division.
    pub angle: Angle,
    /// How the holes give it.
    pub indexing: Indexing,
}

/// Works out a division on a head of this worm ratio with the hole circles owned.
///
/// No circles at all is a plain rotary table: only turns and degrees then serve,
/// and [`Indexing::Exact`] is empty.
///
/// # Errors
///
/// A [`Problem`] when the ratio, the parts or the angle is nought, or the parts
/// are beyond 10 000.
pub fn dividing(worm_ratio: u32, division: Division, circles: &[u32]) -> Result<Dividing, Problem> {
    let angle = match division {
        Division::Parts(parts) if (1..=10_000).contains(&parts) => Angle::ratio(360, parts.into()),
        Division::By(angle) if angle > Angle::degrees(0) && angle <= Angle::degrees(360) => angle,
        _ => {
            return Err(Problem::new("that division cannot be made")
                .why("it must be 1 to 10 000 parts, or an angle of more than nought up to one turn")
                .mend("give the number of parts or the angle"));
        }
    };
    if worm_ratio == 0 {
        return Err(Problem::new("the head has no worm ratio")
            .mend("say how many turns of the handle make one of the table"));
    }
    let turns = angle.exact() * i128::from(worm_ratio) / 360;
    let mut owned: Vec<u32> = circles.iter().copied().filter(|&c| c > 0).collect();
    owned.sort_unstable();
    owned.dedup();
    let exact: Vec<Holes> = owned
        .iter()
        .filter(|&&circle| (turns * i128::from(circle)).is_integer())
        .map(|&circle| nearest_hole(turns, circle))
        .collect();
    let indexing = if exact.is_empty() && !owned.is_empty() {
        nearest(worm_ratio, division, turns, &owned)
    } else {
        Indexing::Exact(exact)
    };
    Ok(Dividing { worm_ratio, division, turns, angle, indexing })
}

/// The hole nearest to so many turns.
fn nearest_hole(turns: Ratio<i128>, circle: u32) -> Holes {
    let count = (turns * i128::from(circle)).round().to_integer();
    let per_turn = i128::from(circle);
    Holes { circle, turns: (count / per_turn) as u64, holes: (count % per_turn) as u32 }
}

/// The circle whose worst position is least wrong, every position from the start.
fn nearest(worm_ratio: u32, division: Division, turns: Ratio<i128>, circles: &[u32]) -> Indexing {
    let count = match division {
        Division::Parts(parts) => parts,
        Division::By(_) => 2,
    };
    let positions = |circle: u32| -> Vec<Position> {
        (1..count)
            .map(|number| {
                let exact = turns * i128::from(number);
                let at = nearest_hole(exact, circle);
                let set =
                    Ratio::from_integer(i128::from(at.turns)) + Ratio::new(at.holes.into(), circle.into());
                let error = (set - exact) * 360 / i128::from(worm_ratio);
                Position { number, at, error: Angle::ratio(*error.numer(), *error.denom()) }
            })
            .collect()
    };
    let worst = |positions: &[Position]| positions.iter().map(|p| p.error.max(-p.error)).max();
    circles
        .iter()
        .map(|&circle| (circle, positions(circle)))
        .min_by_key(|(_, positions)| worst(positions))
        .map(|(circle, positions)| Indexing::Nearest { circle, positions })
        .expect("at least one circle is owned")
}

/// A place as a plain rotary table is set to it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Reading {
    /// Counted from the start, which is nought.
    pub number: u32,
    /// What the rim and the handle's ring show together.
    pub reading: Angle,
    /// How far the table is past the true place.
    pub error: Angle,
}

/// More places than anyone sets by hand.
const MOST_READINGS: u32 = 400;

impl Dividing {
    /// Every place on a table that reads to whole divisions, each from the true angle, so
    /// that no rounding adds to another.
    ///
    /// # Errors
    ///
    /// A [`Problem`] when the division is not more than nought or there are over 400 places.
    pub fn readings(&self, division: Angle) -> Result<Vec<Reading>, Problem> {
        if division <= Angle::degrees(0) {
            return Err(Problem::new("the table has no divisions").mend("say what it reads to, such as `1'`"));
        }
        let count = match self.division {
            Division::Parts(parts) => parts,
            Division::By(_) => 2,
        };
        if count > MOST_READINGS {
            return Err(Problem::new(format!("{count} places are more than anyone sets by hand"))
                .why(format!("each wants its own reading, and {MOST_READINGS} are the most told"))
                .mend("use a plate with hole circles, or divide in two goes"));
        }
        let place = |number: u32| {
            let exact = self.angle.exact() * i128::from(number);
            let exact = Angle::ratio(*exact.numer(), *exact.denom());
            let reading = to_division(exact, division, Toward::Nearest);
            Reading { number, reading, error: reading - exact }
        };
        Ok((1..count).map(place).collect())
    }

    /// The rows of those places.
    ///
    /// # Errors
    ///
    /// As [`Dividing::readings`].
    pub fn reading_figures(&self, division: Angle) -> Result<Vec<Figure>, Problem> {
        let rows = self.readings(division)?.into_iter().map(|place| {
            let why = geometry(format!(
                "{} times the true angle, to the nearest {}: {} off here",
                place.number,
                division.degrees_minutes(),
                place.error.decimals(4)
            ))
            .because(practice("every place is set from the start, so that no error adds up"));
            Figure::new(format!("position {}, reading", place.number), place.reading.degrees_minutes(), why)
        });
        Ok(rows.collect())
    }
}

impl Holes {
    /// `2 turns and 16 holes in 24`.
    pub fn shown(&self) -> String {
        let turns = counted(self.turns, "turn");
        let holes = format!("{} in {}", counted(self.holes, "hole"), self.circle);
        match (self.turns, self.holes) {
            (_, 0) => turns,
            (0, _) => holes,
            _ => format!("{turns} and {holes}"),
        }
    }
}

impl Dividing {
    /// The rows of the sheet.
    pub fn figures(&self) -> Vec<Figure> {
        let turns = geometry(format!("{} turns of the handle make one of the table", self.worm_ratio));
        let per_turn = Ratio::new(360, i128::from(self.worm_ratio));
        let rest = self.turns.fract() * per_turn;
        let rest = Angle::ratio(*rest.numer(), *rest.denom());
        let mut figures = vec![
            Figure::new("one division", both_angles(self.angle), turns.clone()),
            Figure::new(
                "handle turns",
                format!("{} and {}", self.turns.to_integer(), rest.degrees_minutes()),
                turns.clone(),
            ),
        ];
        match &self.indexing {
            Indexing::Exact(circles) => figures.extend(circles.iter().map(|holes| {
                let why = practice("the sector arms span one hole more than is counted").because(turns.clone());
                Figure::new(format!("circle of {}", holes.circle), holes.shown(), why)
            })),
            Indexing::Nearest { circle, positions } => figures.extend(positions.iter().map(|p| {
                let why = practice(format!(
                    "no circle owned divides exactly; {circle} is the nearest, {} off here; count every position \
                     from the start, so that no error adds up",
                    p.error.decimals(4)
                ))
                .because(turns.clone());
                Figure::new(format!("position {}", p.number), p.at.shown(), why)
            })),
        }
        figures
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn exact(ratio: u32, division: Division, circles: &[u32]) -> Vec<(u64, u32, u32)> {
        match dividing(ratio, division, circles).unwrap().indexing {
            Indexing::Exact(found) => found.into_iter().map(|h| (h.turns, h.holes, h.circle)).collect(),
            Indexing::Nearest { .. } => Vec::new(),
        }
    }

    /// Answers as printed in a US Army ordnance machine-tool course (first two), a
    /// dividing practice sheet (next two), and Machinery's Handbook 1916, indexing
    /// for angles on an 18-hole circle (last two); all 40 to 1.
    #[test]
    fn divisions_agree_with_printed_answers() {
        let parts = Division::Parts;
        let by = |top, over| Division::By(Angle::ratio(top, over));
        assert_eq!(exact(40, parts(6), &[18, 39]), [(6, 12, 18), (6, 26, 39)]);
        assert_eq!(exact(40, parts(42), &[42, 21]), [(0, 20, 21), (0, 40, 42)]);
        let sheet = [27, 30, 32, 35, 36];
        assert_eq!(exact(40, parts(15), &sheet), [(2, 18, 27), (2, 20, 30), (2, 24, 36)]);
        assert_eq!(exact(40, by(15, 1), &sheet), [(1, 18, 27), (1, 20, 30), (1, 24, 36)]);
        assert_eq!(exact(40, by(35, 1), &[18]), [(3, 16, 18)]);
        assert_eq!(exact(40, by(23, 2), &[18]), [(1, 5, 18)]);
    }

    /// Questions of the same practice sheet, which prints no answers: the answers
    /// here are exact arithmetic done outside this program.
    #[test]
    fn practice_questions_have_their_exact_answers() {
        type Answers = &'static [(u64, u32, u32)];
        #[rustfmt::skip]
        const QUESTIONS: [(u32, u32, [u32; 5], Answers); 17] = [
            (40, 26, [44, 45, 47, 49, 52], &[(1, 28, 52)]),
            (40, 112, [12, 14, 16, 18, 20], &[(0, 5, 14)]),
            (40, 60, [15, 18, 20, 23, 24], &[(0, 10, 15), (0, 12, 18), (0, 16, 24)]),
            (40, 100, [18, 20, 22, 25, 27], &[(0, 8, 20), (0, 10, 25)]),
            (60, 92, [21, 22, 23, 24, 25], &[(0, 15, 23)]),
            (60, 14, [21, 23, 25, 26, 28], &[(4, 6, 21), (4, 8, 28)]),
            (60, 37, [33, 35, 37, 39, 42], &[(1, 23, 37)]),
            (60, 90, [30, 32, 34, 35, 39], &[(0, 20, 30), (0, 26, 39)]),
            (60, 18, [33, 35, 36, 38, 40], &[(3, 11, 33), (3, 12, 36)]),
            (72, 78, [21, 23, 25, 26, 27], &[(0, 24, 26)]),
            (72, 19, [19, 20, 21, 23, 25], &[(3, 15, 19)]),
            (72, 69, [21, 23, 25, 27, 29], &[(1, 1, 23)]),
            (90, 12, [22, 24, 26, 28, 30], &[(7, 11, 22), (7, 12, 24), (7, 13, 26), (7, 14, 28), (7, 15, 30)]),
            (90, 27, [20, 21, 23, 25, 27], &[(3, 7, 21), (3, 9, 27)]),
            (90, 50, [30, 33, 36, 38, 40], &[(1, 24, 30), (1, 32, 40)]),
            (90, 40, [16, 18, 19, 21, 24], &[(2, 4, 16), (2, 6, 24)]),
            (90, 44, [22, 24, 26, 28, 30], &[(2, 1, 22)]),
        ];
        for (ratio, parts, circles, answers) in QUESTIONS {
            assert_eq!(exact(ratio, Division::Parts(parts), &circles), answers, "{parts} at {ratio} to 1");
        }
    }

    /// The same army course: 24 minutes on a 23-hole circle is one hole, which is
    /// really 23.478 minutes; 54 minutes is two holes in 20, exactly.
    #[test]
    fn small_angles_agree_with_the_printed_approximation() {
        let near = dividing(40, Division::By(Angle::ratio(24, 60)), &[23]).unwrap();
        let Indexing::Nearest { positions, .. } = near.indexing else { panic!("not exact") };
        assert_eq!((positions[0].at.turns, positions[0].at.holes), (0, 1));
        assert!(((positions[0].error.as_degrees() + 0.4) * 60.0 - 23.478).abs() < 5e-4);
        assert_eq!(exact(40, Division::By(Angle::ratio(54, 60)), &[20]), [(0, 2, 20)]);
    }

    /// Practice-sheet questions that the plate printed with them cannot do: 25 and
    /// 125 divisions at 72 to 1.
    #[test]
    fn a_plate_that_cannot_divide_says_how_near_it_comes() {
        for (parts, circles) in [(25, [33, 35, 36, 37, 39]), (125, [24, 25, 27, 28, 30])] {
            let found = dividing(72, Division::Parts(parts), &circles).unwrap();
            let Indexing::Nearest { circle, positions } = &found.indexing else { panic!("exact?") };
            // Half a hole at the table is the most a rounding can cost.
            let most = Angle::ratio(360, 2 * 72 * i128::from(*circle));
            assert!(positions.iter().all(|p| p.error.max(-p.error) <= most));
            assert!(found.figures()[2].why.statement.contains("no error adds up"));
        }
    }

    /// Whole turns, then degrees, minutes and tenths of a second, for common
    /// divisions on plain tables: worked by long division, outside this program.
    #[test]
    fn a_plain_table_gives_turns_and_minutes() {
        #[rustfmt::skip]
        const WORKED: [(u32, u32, i128, i128, i128, i128); 32] = [
            (90, 3, 30, 0, 0, 0), (90, 5, 18, 0, 0, 0), (90, 6, 15, 0, 0, 0), (90, 7, 12, 3, 25, 429),
            (90, 9, 10, 0, 0, 0), (90, 11, 8, 0, 43, 382), (90, 13, 6, 3, 41, 323), (90, 24, 3, 3, 0, 0),
            (72, 3, 24, 0, 0, 0), (72, 5, 14, 2, 0, 0), (72, 6, 12, 0, 0, 0), (72, 7, 10, 1, 25, 429),
            (72, 9, 8, 0, 0, 0), (72, 11, 6, 2, 43, 382), (72, 13, 5, 2, 41, 323), (72, 24, 3, 0, 0, 0),
            (60, 3, 20, 0, 0, 0), (60, 5, 12, 0, 0, 0), (60, 6, 10, 0, 0, 0), (60, 7, 8, 3, 25, 429),
            (60, 9, 6, 4, 0, 0), (60, 11, 5, 2, 43, 382), (60, 13, 4, 3, 41, 323), (60, 24, 2, 3, 0, 0),
            (40, 3, 13, 3, 0, 0), (40, 5, 8, 0, 0, 0), (40, 6, 6, 6, 0, 0), (40, 7, 5, 6, 25, 429),
            (40, 9, 4, 4, 0, 0), (40, 11, 3, 5, 43, 382), (40, 13, 3, 0, 41, 323), (40, 24, 1, 6, 0, 0),
        ];
        for (ratio, parts, turns, degrees, minutes, tenths) in WORKED {
            let found = dividing(ratio, Division::Parts(parts), &[]).unwrap();
            assert_eq!(found.turns.to_integer(), turns);
            let left = (found.turns.fract() * 36_000 * 360 / i128::from(ratio)).round().to_integer();
            assert_eq!(left, degrees * 36_000 + minutes * 600 + tenths, "{parts} at {ratio} to 1");
        }
        let seven = dividing(90, Division::Parts(7), &[]).unwrap();
        assert_eq!(seven.figures()[1].shown, "12 and 3° 26′");
    }

    /// Seven parts on a table that reads to a minute: 51° 25′ 43″ by long division, so 51° 26′
    /// and 17″ past; the seventh part but one is 308° 34′ 17″, and not six times 51° 26′.
    #[test]
    fn a_plain_table_is_set_to_each_place_from_the_true_angle() {
        let seven = dividing(90, Division::Parts(7), &[]).unwrap();
        let places = seven.readings(Angle::ratio(1, 60)).unwrap();
        let shown: Vec<String> = places.iter().map(|p| p.reading.degrees_minutes()).collect();
        assert_eq!(shown, ["51° 26′", "102° 51′", "154° 17′", "205° 43′", "257° 09′", "308° 34′"]);
        assert!((places[0].error.as_degrees() * 3600.0 - 17.14).abs() < 0.01);
        assert!(seven.readings(Angle::degrees(0)).is_err());
        assert!(dividing(90, Division::Parts(5000), &[]).unwrap().readings(Angle::ratio(1, 60)).is_err());
    }

    #[test]
    fn nothing_to_divide_is_a_problem() {
        assert!(dividing(40, Division::Parts(0), &[18]).is_err());
        assert!(dividing(0, Division::Parts(3), &[18]).is_err());
        assert!(dividing(40, Division::By(Angle::degrees(-5)), &[18]).is_err());
    }

    proptest! {
        /// So many exact divisions come round to where they began.
        #[test]
        fn exact_divisions_close_the_circle(parts in 1u32..200, ratio in 1u32..121, circle in 1u32..100) {
            for (turns, holes, circle) in exact(ratio, Division::Parts(parts), &[circle]) {
                let once = turns * u64::from(circle) + u64::from(holes);
                prop_assert_eq!(once * u64::from(parts), u64::from(ratio) * u64::from(circle));
            }
        }
    }
}
