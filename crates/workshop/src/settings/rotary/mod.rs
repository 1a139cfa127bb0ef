//! An arc cut on the rotary table: offset, readings, and what an overrun costs.
//!
//! The convention is stated once here. The arc's centre lies over the table's
//! centre and the spindle stands off along +X. At reading nought the part lies
//! as its coordinates do, X to the right. A place in direction φ from the arc's
//! centre is under the cutter when the table has turned clockwise by φ, seen
//! from above; on a table whose scale grows that way the reading *is* φ. The
//! cutter is right-handed: it turns clockwise seen from above.

mod overrun;
mod table;

use num_rational::Ratio;

pub use overrun::{Overrun, overrun};
pub use table::{Grows, RotaryTable, check_swing};
pub(super) use table::{check_table, reading, why_nought};

use super::show::{both_angles, geometry as by_geometry, mm, positive, practice, to_division, within_reach};
use crate::geometry::clear::runs_clear;
use crate::geometry::{self, Point, Segment};
use crate::measure::{Angle, Length, Rounded, Toward};
use crate::problem::Problem;
use crate::why::{Figure, Why};

/// On which side of the arc the metal lies.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Metal {
    /// Within the arc: a boss or a rounded end.
    Inside,
    /// Beyond the arc: a bore or a hollow.
    Outside,
}

/// An arc to be cut, in the part's own directions.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Arc {
    /// Its radius.
    pub radius: Length,
    /// Which side of it stays.
    pub metal: Metal,
    /// The direction of its first point from its centre.
    pub start: Angle,
    /// How far it runs anticlockwise from there, up to one turn.
    pub sweep: Angle,
}

/// An arc of an anticlockwise outline: the metal is on its left, so it lies inside
/// an arc that runs anticlockwise and outside one that runs clockwise.
impl From<geometry::Arc> for Arc {
    fn from(arc: geometry::Arc) -> Self {
        let (metal, first_rad) = match arc.sweep_rad >= 0.0 {
            true => (Metal::Inside, arc.start_rad),
            false => (Metal::Outside, arc.end_rad()),
        };
        Self {
            radius: Length::nearest(arc.radius_mm),
            metal,
            start: Angle::nearest_rad(first_rad),
            sweep: Angle::nearest_rad(arc.sweep_rad.abs()),
        }
    }
}

/// Which way the table is turned while cutting, seen from above.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Turn {
    /// The way a right-handed cutter turns.
    Clockwise,
    /// Against it.
    Anticlockwise,
}

/// More steps away from the work than any blend can ask for.
const MOST_STEPS: usize = 40;

/// How an arc is set and cut.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ArcSetting {
    /// The arc that was asked for.
    pub arc: Arc,
    /// The diameter of the cutter.
    pub cutter: Length,
    /// The spindle's distance from the table's centre along X.
    pub offset: Length,
    /// The exact reading where the cut begins.
    pub begin: Angle,
    /// The exact reading where the cut ends.
    pub end: Angle,
    /// `begin` as it will be set: the next division within the arc.
    pub begin_set: Angle,
    /// `end` as it will be set: the last division within the arc.
    pub end_set: Angle,
    /// The way to turn the table so that the cutter meets the work.
    pub turn: Turn,
    /// Turns of the handle from `begin_set` to `end_set`.
    pub handle_turns: Ratio<i128>,
    /// The table that was asked for.
    pub table: RotaryTable,
    /// How deep one degree past the end cuts into a flank that blends there;
    /// nought where the metal is outside, since the cutter then draws away.
    pub gouge_of_one_degree: Length,
    /// The gouge that the person can bear.
    pub gouge_allowed: Length,
    /// How far past the end brings that gouge; none when no overrun can.
    pub greatest_overrun: Option<Angle>,
}

/// Works out how to cut an arc with a cutter of the given diameter.
///
/// # Errors
///
/// A [`Problem`] when a size is not more than nought, the sweep is not within
/// one turn, or the cutter does not fit within a hollow.
pub fn set_arc(
    arc: Arc,
    cutter: Length,
    table: RotaryTable,
    gouge_allowed: Length,
) -> Result<ArcSetting, Problem> {
    positive(arc.radius, "radius")?;
    positive(cutter, "cutter diameter")?;
    check_table(table)?;
    within_reach(gouge_allowed, "gouge allowed")?;
    if arc.sweep <= Angle::degrees(0) || arc.sweep > Angle::degrees(360) {
        return Err(Problem::new(format!("an arc of {} cannot be cut", arc.sweep))
            .mend("give an arc of more than nought and at most 360°"));
    }
    let reach = cutter.half();
    let offset = match arc.metal {
        Metal::Inside => arc.radius + reach,
        Metal::Outside => arc.radius - reach,
    };
    if offset < Length::ZERO {
        return Err(Problem::new(format!(
            "a {} cutter does not fit a hollow of radius {}",
            mm(cutter),
            mm(arc.radius)
        ))
        .why("its own radius is the larger")
        .mend(format!("use a cutter of at most {} diameter", mm(arc.radius * 2))));
    }
    // Turning the table clockwise carries the cutter anticlockwise round the work.
    let (first, last, turn) = match arc.metal {
        Metal::Inside => (arc.start, arc.start + arc.sweep, Turn::Clockwise),
        Metal::Outside => (arc.start + arc.sweep, arc.start, Turn::Anticlockwise),
    };
    let (begin, end) = (reading(first, table), reading(last, table));
    let (first_set, last_set) = within(first, last, table.division)?;
    let (gouge_of_one_degree, greatest_overrun) = match arc.metal {
        Metal::Inside => (gouge(offset, Angle::degrees(1)), overrun_for(offset, gouge_allowed)),
        Metal::Outside => (Length::ZERO, None),
    };
    let turned = (last_set - first_set).exact();
    let turned = if turned < Ratio::ZERO { -turned } else { turned };
    Ok(ArcSetting {
        arc,
        cutter,
        offset,
        begin,
        end,
        begin_set: reading(first_set, table),
        end_set: reading(last_set, table),
        turn,
        handle_turns: turned * i128::from(table.worm_ratio) / 360,
        table,
        gouge_of_one_degree,
        gouge_allowed,
        greatest_overrun,
    })
}

/// How deep an overrun past a tangent point cuts into the flank, at a spindle
/// offset: `offset (1 - cos overrun)`.
pub fn gouge(offset: Length, overrun: Angle) -> Length {
    // 1 - cos a, as 2 sin² a/2, keeps its digits at small angles.
    Length::nearest(offset.as_mm() * 2.0 * (overrun.as_rad() / 2.0).sin().powi(2))
}

/// The overrun that brings a gouge: `acos(1 - gouge / offset)`; none when the
/// gouge allowed is more than any overrun can cut.
fn overrun_for(offset: Length, gouge: Length) -> Option<Angle> {
    let share = gouge.as_mm() / (2.0 * offset.as_mm());
    (share < 1.0).then(|| Angle::nearest_rad(2.0 * share.max(0.0).sqrt().asin()))
}

/// Both ends of the cut moved to the next division within the arc.
fn within(first: Angle, last: Angle, division: Angle) -> Result<(Angle, Angle), Problem> {
    let (low, high) = (first.min(last), first.max(last));
    let (low, high) = (to_division(low, division, Toward::More), to_division(high, division, Toward::Less));
    if low > high {
        return Err(Problem::new("the arc is shorter than a division of the table")
            .why(format!("the table reads to {division} and no division lies within the arc"))
            .mend("use a table that reads finer, or file the arc"));
    }
    Ok(if first < last { (low, high) } else { (high, low) })
}

impl Turn {
    /// `clockwise` or `anticlockwise`.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Clockwise => "clockwise",
            Self::Anticlockwise => "anticlockwise",
        }
    }
}

impl ArcSetting {
    /// Everything that is worked out, in the order it is set.
    pub fn figures(&self) -> Vec<Figure> {
        let mut figures = self.figures_in(both_angles);
        for (name, at) in [("start", self.begin_set), ("stop", self.end_set)] {
            let why = by_geometry(format!(
                "from reading nought; one turn of the handle, {} to 1, is {}",
                self.table.worm_ratio,
                self.degrees_per_turn()
            ))
            .because(why_nought(self.table));
            figures.push(Figure::new(format!("{name}, by the handle"), self.by_handle(at), why));
        }
        figures
    }

    /// A reading as turns of the handle from nought, and degrees and minutes beyond.
    fn by_handle(&self, reading: Angle) -> String {
        self.turns_and_rest(reading.exact() * i128::from(self.table.worm_ratio) / 360)
    }

    fn turns_and_rest(&self, turns: Ratio<i128>) -> String {
        let rest = turns.fract() * self.degrees_per_turn().exact();
        let rest = Angle::ratio(*rest.numer(), *rest.denom());
        format!("{} and {}", turns.to_integer(), rest.degrees_minutes())
    }

    /// The rows of the sheet, angles as the rim of the table is marked: in degrees and
    /// minutes alone.
    pub fn figures_on_the_rim(&self) -> Vec<Figure> {
        self.figures_in(Angle::degrees_minutes)
    }

    /// The road of the cutter's middle from start to stop as they are set, the table's
    /// centre at the origin, at a spindle offset.
    pub fn road(&self, offset: Length) -> Segment {
        let direction = match self.table.grows {
            Some(Grows::Anticlockwise) => -self.begin_set,
            None | Some(Grows::Clockwise) => self.begin_set,
        };
        let turned = self.handle_turns * 360 / i128::from(self.table.worm_ratio);
        let turned_rad = Angle::ratio(*turned.numer(), *turned.denom()).as_rad();
        let sweep_rad = if self.turn == Turn::Clockwise { turned_rad } else { -turned_rad };
        let (radius_mm, start_rad) = (offset.as_mm(), direction.as_rad());
        if radius_mm <= geometry::SAME_POINT_MM || sweep_rad == 0.0 {
            let at = Point::ORIGIN.polar(radius_mm, start_rad);
            return Segment::line(at, at);
        }
        Segment::Arc(geometry::Arc { centre: Point::ORIGIN, radius_mm, start_rad, sweep_rad })
    }

    /// The offset on whole steps of the slide, rounded to leave metal, and farther off
    /// where the cutter would touch `rest`: the outline from the table's centre.
    ///
    /// # Errors
    ///
    /// A [`Problem`] when no offset within a few steps keeps clear of the rest.
    pub fn offset_on(&self, step: Length, rest: &[Segment]) -> Result<Rounded, Problem> {
        let (toward, out) = match self.arc.metal {
            Metal::Inside => (Toward::More, step),
            Metal::Outside => (Toward::Less, -step),
        };
        let mut set = self.offset.rounded(step, toward);
        for _ in 0..MOST_STEPS {
            if set.value < Length::ZERO {
                break;
            }
            if runs_clear(rest, &self.road(set.value), self.cutter.half().as_mm()) {
                return Ok(set);
            }
            set.value += out;
            set.loss += out;
        }
        Err(Problem::new(format!("a cutter of {} cannot go round this arc", mm(self.cutter)))
            .why("between start and stop it would cut into another part of the outline")
            .mend("use a smaller end mill, or file this arc"))
    }

    fn figures_in(&self, shown: fn(Angle) -> String) -> Vec<Figure> {
        let mut figures = vec![
            Figure::new("offset from the table centre", mm(self.offset), self.why_offset()),
            self.reading_figure("start at", self.begin, shown(self.begin_set)),
            self.reading_figure("stop at", self.end, shown(self.end_set)),
            Figure::new("turn the table", format!("{}, seen from above", self.turn.word()), self.why_turn()),
            Figure::new("handle turns", self.shown_turns(), self.why_turns()),
        ];
        if self.arc.metal == Metal::Inside {
            let rule = "past the tangent point the cutter enters the flank by offset × (1 − cos overrun)";
            figures.push(Figure::new(
                "gouge of 1° overrun",
                mm_fine(self.gouge_of_one_degree),
                by_geometry(rule),
            ));
            if let Some(overrun) = self.greatest_overrun {
                let why = by_geometry(format!("this overrun gouges {}: {rule}", mm(self.gouge_allowed)));
                let set = to_division(overrun, self.table.division, Toward::Less);
                figures.push(Figure::new("greatest overrun", shown(set), why));
            }
        }
        figures
    }

    fn why_offset(&self) -> Why {
        let (radius, reach) = (mm(self.arc.radius), mm(self.cutter.half()));
        let statement = match self.arc.metal {
            Metal::Inside => format!("radius {radius} and the cutter's radius {reach} outside it"),
            Metal::Outside if self.offset == Length::ZERO => {
                format!("the cutter's own radius {reach} is the hollow's: a plunge, no turning")
            }
            Metal::Outside => format!("radius {radius} less the cutter's radius {reach} within it"),
        };
        practice(statement)
    }

    fn reading_figure(&self, name: &str, exact: Angle, shown: String) -> Figure {
        let why = by_geometry(format!(
            "the arc ends at {}; the nearest division of {} within it",
            exact.decimals(4),
            self.table.division
        ))
        .because(why_nought(self.table));
        Figure::new(name, shown, why)
    }

    fn why_turn(&self) -> Why {
        practice("the work meets the teeth: the cut is conventional and slack is not taken up")
            .because(by_geometry("the cutter turns clockwise seen from above"))
    }

    fn shown_turns(&self) -> String {
        self.turns_and_rest(self.handle_turns)
    }

    /// How far one turn of the handle turns the table.
    fn degrees_per_turn(&self) -> Angle {
        Angle::ratio(360, self.table.worm_ratio.into())
    }

    fn why_turns(&self) -> Why {
        by_geometry(format!(
            "from start to stop as set; one turn of the handle, {} to 1, is {}",
            self.table.worm_ratio,
            self.degrees_per_turn()
        ))
    }
}

/// A small length to a ten-thousandth.
fn mm_fine(length: Length) -> String {
    format!("{} mm", length.decimals(4))
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    const TABLE: RotaryTable =
        RotaryTable { worm_ratio: 72, division: Angle::degrees(1), grows: Some(Grows::Clockwise) };

    fn arc(radius: i64, metal: Metal, start: i64, sweep: i64) -> Arc {
        Arc { radius: Length::mm(radius), metal, start: Angle::degrees(start), sweep: Angle::degrees(sweep) }
    }

    #[test]
    fn outside_adds_the_cutter_and_inside_takes_it_away() {
        let gouge = Length::microns(20);
        let boss = set_arc(arc(14, Metal::Inside, 60, 240), Length::mm(10), TABLE, gouge).unwrap();
        assert_eq!((boss.offset, boss.turn), (Length::mm(19), Turn::Clockwise));
        assert_eq!((boss.begin, boss.end), (Angle::degrees(60), Angle::degrees(300)));
        assert_eq!(boss.handle_turns, Ratio::from_integer(48));
        let hollow = set_arc(arc(14, Metal::Outside, 60, 240), Length::mm(10), TABLE, gouge).unwrap();
        assert_eq!((hollow.offset, hollow.turn), (Length::mm(9), Turn::Anticlockwise));
        assert_eq!((hollow.begin, hollow.end), (Angle::degrees(300), Angle::degrees(60)));
        assert_eq!(hollow.greatest_overrun, None);
    }

    #[test]
    fn a_scale_that_runs_the_other_way_counts_from_a_full_turn() {
        let other = RotaryTable { grows: Some(Grows::Anticlockwise), ..TABLE };
        let boss = set_arc(arc(14, Metal::Inside, 60, 200), Length::mm(10), other, Length::ZERO).unwrap();
        assert_eq!((boss.begin, boss.end), (Angle::degrees(300), Angle::degrees(100)));
    }

    #[test]
    fn a_scale_nobody_described_is_assumed_and_marked() {
        let unsaid = RotaryTable { grows: None, ..TABLE };
        let boss = set_arc(arc(14, Metal::Inside, 60, 200), Length::mm(10), unsaid, Length::ZERO).unwrap();
        assert!(boss.figures()[1].assumed() && !boss.figures()[0].assumed());
        let said = set_arc(arc(14, Metal::Inside, 60, 200), Length::mm(10), TABLE, Length::ZERO).unwrap();
        assert_eq!(said.begin, boss.begin);
        assert!(!said.figures()[1].assumed());
    }

    #[test]
    fn a_cutter_too_large_for_the_hollow_is_refused_and_an_equal_one_plunges() {
        let hollow = arc(5, Metal::Outside, 0, 90);
        let fault = set_arc(hollow, Length::mm(12), TABLE, Length::ZERO).unwrap_err();
        assert!(fault.remedy().unwrap().contains("at most 10 mm"), "{fault}");
        let plunge = set_arc(hollow, Length::mm(10), TABLE, Length::ZERO).unwrap();
        assert!(plunge.figures()[0].why.statement.contains("a plunge"));
    }

    #[test]
    fn a_hollow_of_an_outline_has_its_metal_outside() {
        let turn = std::f64::consts::TAU;
        let on = |start_rad, sweep_rad| {
            Arc::from(geometry::Arc { centre: geometry::Point::ORIGIN, radius_mm: 5.0, start_rad, sweep_rad })
        };
        assert_eq!(on(turn / 8.0, turn / 4.0), arc(5, Metal::Inside, 45, 90));
        assert_eq!(on(turn * 3.0 / 8.0, -turn / 4.0), arc(5, Metal::Outside, 45, 90));
    }

    #[test]
    fn impossible_input_is_a_problem() {
        let boss = arc(5, Metal::Inside, 0, 90);
        assert!(set_arc(arc(0, Metal::Inside, 0, 90), Length::mm(6), TABLE, Length::ZERO).is_err());
        assert!(set_arc(arc(5, Metal::Inside, 0, 0), Length::mm(6), TABLE, Length::ZERO).is_err());
        assert!(set_arc(arc(5, Metal::Inside, 0, 361), Length::mm(6), TABLE, Length::ZERO).is_err());
        assert!(set_arc(boss, Length::ZERO, TABLE, Length::ZERO).is_err());
        let no_worm = RotaryTable { worm_ratio: 0, ..TABLE };
        assert!(set_arc(boss, Length::mm(6), no_worm, Length::ZERO).is_err());
    }

    proptest! {
        /// The cutter drawn as a circle, turned past the tangent point: how far
        /// it reaches over the flank line is the gouge the formula gives.
        #[test]
        fn the_gouge_is_what_the_cutter_takes(radius in 2i64..40, cutter in 2i64..20, tenths in 1i64..200) {
            let (r, c) = (radius as f64, cutter as f64 / 2.0);
            let overrun = Angle::ratio(tenths.into(), 10);
            // The flank is the line y = r, tangent at the top; the metal is below it.
            let centre_y = (r + c) * overrun.as_rad().cos();
            let reach = r - (centre_y - c);
            let found = gouge(Length::mm(radius) + Length::mm(cutter).half(), overrun);
            prop_assert!((found.as_mm() - reach).abs() < 1e-6);
            let back = overrun_for(Length::mm(radius) + Length::mm(cutter).half(), found).unwrap();
            prop_assert!((back.as_degrees() - overrun.as_degrees()).abs() < 2e-3);
        }

        /// What is set never leaves the arc, and is within one division of it.
        #[test]
        fn readings_are_rounded_into_the_arc(start in 0i64..3600, sweep in 20i64..3600, inside: bool) {
            let metal = if inside { Metal::Inside } else { Metal::Outside };
            let arc = Arc {
                radius: Length::mm(10), metal,
                start: Angle::ratio(start.into(), 10), sweep: Angle::ratio(sweep.into(), 10),
            };
            let s = set_arc(arc, Length::mm(6), TABLE, Length::ZERO).unwrap();
            let into = |from: Angle, to: Angle| (to - from).within_turn();
            let (begin, end) = match metal {
                Metal::Inside => (into(s.begin, s.begin_set), into(s.end_set, s.end)),
                Metal::Outside => (into(s.begin_set, s.begin), into(s.end, s.end_set)),
            };
            prop_assert!(begin < TABLE.division && end < TABLE.division);
        }
    }
}
