//! A straight edge cut on the rotary table: turn it parallel to X, set Y, run X.
//!
//! The edge comes in the part's coordinates with the table's centre at the
//! origin and the metal on its left, as an anticlockwise outline has it. Run from
//! its start to its end the cut is conventional for a right-handed cutter, at
//! the front and at the back alike.

use std::f64::consts::PI;

use super::rotary::{Grows, RotaryTable, check_table, reading, why_nought};
use super::show::{both_angles, geometry, mm, positive, practice, set_mm, to_division};
use super::straight::straight;
use crate::geometry::{Line, Point, SAME_POINT_MM, Segment};
use crate::measure::{Angle, Length, Rounded, Toward};
use crate::problem::Problem;
use crate::why::Figure;

/// On which side of the work the cutter runs.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Facing {
    /// Nearer the person: the edge is turned to face −Y.
    Front,
    /// Farther off: the edge is turned to face +Y.
    Back,
}

/// What lies beyond the end of a straight edge.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Beyond {
    /// A tangent arc: the spindle stops level with the tangent point.
    Blend,
    /// Nothing: the cutter runs clear by its own radius.
    Open,
}

/// A straight edge and what it runs into.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Edge {
    /// The edge, the metal on its left, the table's centre at the origin.
    pub line: Line,
    /// What lies before its start.
    pub before: Beyond,
    /// What lies after its end.
    pub after: Beyond,
}

/// How a straight edge is set and cut.
#[derive(Clone, Debug, PartialEq)]
pub struct FlankSetting {
    /// The exact table reading that lays the edge along X.
    pub reading: Angle,
    /// The reading as it will be set.
    pub reading_set: Angle,
    /// How far out of parallel the edge lies, end to end, for that rounding.
    pub out_of_parallel: Length,
    /// Y of the spindle from the table's centre, clear of both ends of the edge as the
    /// table will be set: rounded away from the metal.
    pub y: Rounded,
    /// X of the spindle where the cut begins.
    pub x_from: Rounded,
    /// X of the spindle where the cut ends.
    pub x_to: Rounded,
    /// The step of the readout used.
    pub step: Length,
    /// Y of the edge itself from the table's centre, where it stands out farthest.
    pub edge_y: Length,
    /// The diameter of the cutter.
    pub cutter: Length,
    /// The table that was asked for.
    pub table: RotaryTable,
}

/// Works out how to cut a straight edge.
///
/// `rest` is the outline it belongs to, from the table's centre: the run keeps clear of
/// all of it. Empty where only the edge is known.
///
/// # Errors
///
/// A [`Problem`] when a size is not more than nought, the edge has no length, or the
/// cutter does not run clear of the rest.
pub fn set_flank(
    edge: Edge,
    cutter: Length,
    facing: Facing,
    table: RotaryTable,
    step: Length,
    rest: &[Segment],
) -> Result<FlankSetting, Problem> {
    positive(cutter, "cutter diameter")?;
    positive(step, "step of the readout")?;
    check_table(table)?;
    for end in [edge.line.start, edge.line.end] {
        let far_mm = end.norm_mm();
        if !far_mm.is_finite() || far_mm > 1e4 {
            return Err(Problem::new("the edge lies beyond any machine here")
                .why("an end of it is more than 10 m from the table's centre, or no number")
                .mend("check the outline and its unit"));
        }
    }
    if edge.line.length_mm() <= SAME_POINT_MM {
        return Err(Problem::new("the edge has no length").mend("check its two ends"));
    }
    let along_rad = edge.line.direction_rad();
    // Facing the front the edge runs to +X, facing the back to −X.
    let lay_rad = match facing {
        Facing::Front => -along_rad,
        Facing::Back => PI - along_rad,
    };
    // Turned anticlockwise by `lay_rad`, the direction −lay_rad lies along +X.
    let exact = reading(-Angle::nearest_rad(lay_rad), table);
    let divided = to_division(exact, table.division, Toward::Nearest);
    let skew_rad = (divided - exact).as_rad();
    // The edge as the table will be set: from here on nothing is rounded but the slides.
    let laid_rad =
        if table.grows == Some(Grows::Anticlockwise) { divided.as_rad() } else { -divided.as_rad() };
    let (start, end) = (edge.line.start.rotated(laid_rad), edge.line.end.rotated(laid_rad));
    let (outward, ahead) = match facing {
        Facing::Front => (-1.0, 1.0),
        Facing::Back => (1.0, -1.0),
    };
    let reach = cutter.half();
    // Of an edge that lies askew one end stands out: the cutter keeps clear of that one.
    let edge_y = Length::nearest(match facing {
        Facing::Front => start.y_mm.min(end.y_mm),
        Facing::Back => start.y_mm.max(end.y_mm),
    });
    let run_out = |beyond| match beyond {
        Beyond::Blend => 0.0,
        Beyond::Open => ahead * reach.as_mm(),
    };
    let beside = |point: Point, out_mm: f64| point + Point::new(out_mm, outward * reach.as_mm());
    let (from, to) = (beside(start, -run_out(edge.before)), beside(end, run_out(edge.after)));
    let rest: Vec<Segment> = rest.iter().map(|piece| piece.rotated(laid_rad)).collect();
    let run = straight(from, to, [edge.before, edge.after], (reach, step), &rest)?;
    Ok(FlankSetting {
        reading: exact,
        reading_set: divided.within_turn(),
        out_of_parallel: Length::nearest(edge.line.length_mm() * skew_rad.sin().abs()),
        y: run.level,
        x_from: run.start,
        x_to: run.stop,
        step,
        edge_y,
        cutter,
        table,
    })
}

impl FlankSetting {
    /// Everything that is worked out, in the order it is set.
    pub fn figures(&self) -> Vec<Figure> {
        self.figures_in(both_angles)
    }

    /// The rows of the sheet, the angle as the rim of the table is marked: in degrees and
    /// minutes alone.
    pub fn figures_on_the_rim(&self) -> Vec<Figure> {
        self.figures_in(Angle::degrees_minutes)
    }

    fn figures_in(&self, shown: fn(Angle) -> String) -> Vec<Figure> {
        let lay =
            geometry(format!("the edge lies along X when the table reads {}", self.reading.decimals(4)))
                .because(why_nought(self.table));
        let y = practice(format!(
            "the edge is {} from the table centre; the cutter's radius {} is beyond it, rounded to leave metal",
            mm(self.edge_y),
            mm(self.cutter.half())
        ));
        let from = geometry("level with the tangent point, or one cutter radius clear of an open end");
        let to = from.clone();
        vec![
            Figure::new("turn the table to", shown(self.reading_set), lay),
            Figure::new("Y from the table centre", set_mm(self.y.value, self.step), y),
            Figure::new("X from the table centre, start", set_mm(self.x_from.value, self.step), from),
            Figure::new("X from the table centre, stop", set_mm(self.x_to.value, self.step), to),
        ]
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::{Circle, tangents};
    use crate::settings::rotary::Grows;
    use proptest::prelude::*;

    const TABLE: RotaryTable =
        RotaryTable { worm_ratio: 72, division: Angle::degrees(1), grows: Some(Grows::Clockwise) };

    fn edge(start: (f64, f64), end: (f64, f64), ends: Beyond) -> Edge {
        let line = Line::new(Point::new(start.0, start.1), Point::new(end.0, end.1));
        Edge { line, before: ends, after: ends }
    }

    #[test]
    fn an_edge_already_along_x_needs_no_turn() {
        let bottom = edge((-20.0, -8.0), (20.0, -8.0), Beyond::Open);
        let set = set_flank(bottom, Length::mm(10), Facing::Front, TABLE, Length::microns(5), &[]).unwrap();
        assert_eq!((set.reading, set.y.value), (Angle::degrees(0), Length::mm(-13)));
        assert_eq!((set.x_from.value, set.x_to.value), (Length::mm(-25), Length::mm(25)));
        let back = set_flank(bottom, Length::mm(10), Facing::Back, TABLE, Length::microns(5), &[]).unwrap();
        assert_eq!((back.reading, back.y.value), (Angle::degrees(180), Length::mm(13)));
        assert_eq!((back.x_from.value, back.x_to.value), (Length::mm(25), Length::mm(-25)));
    }

    /// The 3-4-5 edge from (8, 0) to (0, 6): it lies 4.8 from the origin, and its
    /// ends are 6.4 and 3.6 from the foot.
    #[test]
    fn a_sloping_edge_is_laid_by_its_triangle() {
        let slope = edge((8.0, 0.0), (0.0, 6.0), Beyond::Blend);
        let set = set_flank(slope, Length::mm(6), Facing::Front, TABLE, Length::microns(100), &[]).unwrap();
        assert_eq!(set.reading.decimals(3), "143.130°");
        // 0.130° over its length of 10.
        assert_eq!((set.reading_set, set.out_of_parallel.decimals(3)), (Angle::degrees(143), "0.023".into()));
        // Askew by 0.130° the near end, 6.4 from the foot, stands 0.015 farther out than 4.8
        // and 0.011 nearer: −7.815 and −6.389 go to the next tenth that leaves metal.
        assert_eq!(set.y.value, Length::mm_ratio(-79, 10));
        assert_eq!((set.x_from.value, set.x_to.value), (Length::mm_ratio(-63, 10), Length::mm_ratio(36, 10)));
    }

    #[test]
    fn an_edge_of_no_length_is_refused() {
        let none = edge((1.0, 1.0), (1.0, 1.0), Beyond::Open);
        assert!(set_flank(none, Length::mm(6), Facing::Front, TABLE, Length::microns(5), &[]).is_err());
    }

    proptest! {
        /// Turned as told, the flank of a lever lies along X at the Y given, the
        /// limits are level with the tangent points, and rounding only leaves metal.
        #[test]
        fn the_flank_of_a_lever_lies_along_x(
            x in -20.0..20.0f64, y in -20.0..20.0f64, l in 20.0..80.0f64,
            r1 in 3.0..12.0f64, r2 in 3.0..12.0f64, back: bool,
        ) {
            let a = Circle::new(Point::new(x, y), r1);
            let b = Circle::new(Point::new(x + l, y), r2);
            let line = tangents::external(a, b).unwrap().right.line;
            let facing = if back { Facing::Back } else { Facing::Front };
            let step = Length::microns(10);
            let flank = Edge { line, before: Beyond::Blend, after: Beyond::Blend };
            let set = set_flank(flank, Length::mm(8), facing, TABLE, step, &[]).unwrap();
            let exactly = |p: Point| p.rotated(-set.reading.as_rad());
            prop_assert!((exactly(line.start).y_mm - exactly(line.end).y_mm).abs() < 1e-4);
            // As the table is set: clear of both ends, and a step at most from one of them.
            let turned = |p: Point| p.rotated(-set.reading_set.as_rad());
            let (start, end) = (turned(line.start), turned(line.end));
            prop_assert!(((start.y_mm - end.y_mm).abs() - set.out_of_parallel.as_mm()).abs() < 1e-4);
            let beyond = set.y.value.as_mm() - start.y_mm;
            let clear = [start, end].map(|end| (set.y.value.as_mm() - end.y_mm).abs() - 4.0);
            prop_assert!(clear[0].min(clear[1]) > -1e-4 && clear[0].min(clear[1]) < 0.0101);
            // On the outside: the boss's centre is on the other side of the edge.
            prop_assert!(beyond * (turned(a.centre).y_mm - start.y_mm) < 0.0);
            prop_assert_eq!(beyond > 0.0, back);
            let (low, high) = (start.x_mm.min(end.x_mm), start.x_mm.max(end.x_mm));
            for x in [set.x_from.value.as_mm(), set.x_to.value.as_mm()] {
                prop_assert!(x > low - 1e-4 && x < high + 1e-4);
            }
        }
    }
}
