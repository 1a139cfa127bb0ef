//! Both rounded ends of a lever, cut on the rotary table.
//!
//! Two bosses joined by flanks tangent to both. Each end in turn is centred on
//! the table with the far boss lying along X at reading nought; the tangent
//! points limit the cut.

use super::rotary::{Arc, ArcSetting, Metal, RotaryTable, set_arc};
use super::show::{both_angles, geometry, mm, positive};
use crate::geometry::{Circle, Point, tangents};
use crate::measure::{Angle, Length};
use crate::problem::Problem;
use crate::why::Figure;

/// A lever of two bosses with flanks tangent to both.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Lever {
    /// The radius of the end to be cut first.
    pub radius: Length,
    /// The radius of the other end.
    pub other: Length,
    /// The distance between their centres.
    pub centres: Length,
}

/// How both ends are set.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RoundedEnds {
    /// The lever asked for.
    pub lever: Lever,
    /// The angle between the line of centres and the tangent points.
    pub touch: Angle,
    /// The angle each flank makes with the line of centres.
    pub flank: Angle,
    /// The straight length of a flank.
    pub straight: Length,
    /// The end of `radius`, the other end lying along +X.
    pub end: ArcSetting,
    /// The other end, the first lying along −X.
    pub other_end: ArcSetting,
}

/// Works out both ends.
///
/// # Errors
///
/// A [`Problem`] when a size is not more than nought or one end lies within the
/// other.
pub fn rounded_ends(
    lever: Lever,
    cutter: Length,
    table: RotaryTable,
    gouge_allowed: Length,
) -> Result<RoundedEnds, Problem> {
    positive(lever.radius, "radius of the end")?;
    positive(lever.other, "radius of the other end")?;
    positive(lever.centres, "distance between centres")?;
    let first = Circle::new(Point::ORIGIN, lever.radius.as_mm());
    let second = Circle::new(Point::at(lever.centres, Length::ZERO), lever.other.as_mm());
    let tangents = tangents::external(first, second)?;
    let touch = Angle::nearest_rad(tangents.touch_rad);
    let whole = Angle::degrees(360);
    let arc = |radius, start: Angle, sweep| Arc { radius, metal: Metal::Inside, start, sweep };
    let end_arc = arc(lever.radius, touch, whole - touch - touch);
    let other_arc = arc(lever.other, -touch, touch + touch);
    Ok(RoundedEnds {
        lever,
        touch,
        flank: Angle::degrees(90) - touch,
        straight: Length::nearest(tangents.straight_mm),
        end: set_arc(end_arc, cutter, table, gouge_allowed)?,
        other_end: set_arc(other_arc, cutter, table, gouge_allowed)?,
    })
}

impl RoundedEnds {
    /// The rows of both ends, the shared angles first.
    pub fn figures(&self) -> Vec<Figure> {
        let Lever { radius, other, centres } = self.lever;
        let triangle = format!(
            "the line of centres {}, the difference of the radii {} and a flank make a right triangle",
            mm(centres),
            mm(radius.gap(other))
        );
        let mut figures = vec![
            Figure::new(
                "tangent angle",
                both_angles(self.touch),
                geometry(format!("acos((R − r) / L): {triangle}")),
            ),
            Figure::new(
                "flank angle to the line of centres",
                both_angles(self.flank),
                geometry(format!("asin((R − r) / L): {triangle}")),
            ),
            Figure::new(
                "straight length of a flank",
                mm(self.straight),
                geometry(format!("√(L² − (R − r)²): {triangle}")),
            ),
        ];
        for (radius, end) in [(radius, &self.end), (other, &self.other_end)] {
            figures.extend(end.figures().into_iter().map(|figure| Figure {
                name: format!("end of radius {}, {}", mm(radius), figure.name),
                ..figure
            }));
        }
        figures
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::settings::rotary::Grows;
    use proptest::prelude::*;

    const TABLE: RotaryTable =
        RotaryTable { worm_ratio: 90, division: Angle::degrees(1), grows: Some(Grows::Clockwise) };

    /// The 5-12-13 triangle: radii 12 and 7 on centres 13 differ by 5, so the
    /// straight is 12 and the tangent angle acos(5/13) = 67.380135° (any table of
    /// the 5-12-13 triangle).
    #[test]
    fn a_pythagorean_lever_has_the_angles_of_its_triangle() {
        let lever = Lever { radius: Length::mm(12), other: Length::mm(7), centres: Length::mm(13) };
        let set = rounded_ends(lever, Length::mm(10), TABLE, Length::microns(20)).unwrap();
        assert_eq!(set.straight, Length::mm(12));
        assert_eq!(set.touch.decimals(4), "67.3801°");
        assert_eq!((set.end.offset, set.other_end.offset), (Length::mm(17), Length::mm(12)));
        assert_eq!((set.end.begin_set, set.end.end_set), (Angle::degrees(68), Angle::degrees(292)));
        assert_eq!(
            (set.other_end.begin_set, set.other_end.end_set),
            (Angle::degrees(293), Angle::degrees(67))
        );
    }

    #[test]
    fn equal_ends_are_half_turns() {
        let lever = Lever { radius: Length::mm(6), other: Length::mm(6), centres: Length::mm(40) };
        let set = rounded_ends(lever, Length::mm(10), TABLE, Length::microns(20)).unwrap();
        assert_eq!((set.touch, set.flank), (Angle::degrees(90), Angle::degrees(0)));
        assert_eq!(set.end.arc.sweep, Angle::degrees(180));
    }

    #[test]
    fn the_sheet_reads_as_it_is_set() {
        let lever = Lever { radius: Length::mm(8), other: Length::mm(5), centres: Length::mm(32) };
        let minutes = RotaryTable { division: Angle::ratio(1, 60), ..TABLE };
        let set = rounded_ends(lever, Length::mm(10), minutes, Length::microns(20)).unwrap();
        let rows: Vec<String> = set.figures().iter().map(|f| format!("{}: {}", f.name, f.shown)).collect();
        insta::assert_snapshot!(rows.join("\n"), @r"
        tangent angle: 84.621° (84° 37′)
        flank angle to the line of centres: 5.379° (5° 23′)
        straight length of a flank: ≈31.859 mm
        end of radius 8 mm, offset from the table centre: 13 mm
        end of radius 8 mm, start at: 84.633° (84° 38′)
        end of radius 8 mm, stop at: 275.367° (275° 22′)
        end of radius 8 mm, turn the table: clockwise, seen from above
        end of radius 8 mm, handle turns: 47 and 2° 44′
        end of radius 8 mm, gouge of 1° overrun: 0.0020 mm
        end of radius 8 mm, greatest overrun: 3.167° (3° 10′)
        end of radius 8 mm, start, by the handle: 21 and 0° 38′
        end of radius 8 mm, stop, by the handle: 68 and 3° 22′
        end of radius 5 mm, offset from the table centre: 10 mm
        end of radius 5 mm, start at: 275.383° (275° 23′)
        end of radius 5 mm, stop at: 84.617° (84° 37′)
        end of radius 5 mm, turn the table: clockwise, seen from above
        end of radius 5 mm, handle turns: 42 and 1° 14′
        end of radius 5 mm, gouge of 1° overrun: 0.0015 mm
        end of radius 5 mm, greatest overrun: 3.617° (3° 37′)
        end of radius 5 mm, start, by the handle: 68 and 3° 23′
        end of radius 5 mm, stop, by the handle: 21 and 0° 37′
        ");
    }

    #[test]
    fn one_end_within_the_other_is_refused() {
        let lever = Lever { radius: Length::mm(12), other: Length::mm(4), centres: Length::mm(8) };
        let fault = rounded_ends(lever, Length::mm(10), TABLE, Length::ZERO).unwrap_err();
        assert!(fault.what().contains("within the other"), "{fault}");
    }

    proptest! {
        /// The two arcs make one whole turn between them, and stopping at either
        /// reading leaves the cutter just touching the flank.
        #[test]
        fn at_each_stop_the_cutter_touches_the_flank(r1 in 20i64..150, r2 in 20i64..150, gap in 10i64..500) {
            let [radius, other] = [r1, r2].map(|r| Length::mm_ratio(r.into(), 10));
            let lever = Lever { radius, other, centres: radius.gap(other) + Length::mm_ratio(gap.into(), 10) };
            let set = rounded_ends(lever, Length::mm(8), TABLE, Length::microns(20)).unwrap();
            prop_assert_eq!(set.end.arc.sweep + set.other_end.arc.sweep, Angle::degrees(360));
            let a = Circle::new(Point::ORIGIN, radius.as_mm());
            let b = Circle::new(Point::at(lever.centres, Length::ZERO), other.as_mm());
            let flanks = tangents::external(a, b).unwrap();
            // The left flank ends the other end's cut and begins the first one's.
            for (centre, setting, reading) in
                [(a.centre, &set.end, set.end.begin), (b.centre, &set.other_end, set.other_end.end)]
            {
                let cutter = centre.polar(setting.offset.as_mm(), reading.as_rad());
                let line = flanks.left.line;
                let unit = (line.end - line.start).times(1.0 / line.length_mm());
                prop_assert!((unit.cross(cutter - line.start).abs() - 4.0).abs() < 1e-4);
            }
        }
    }
}
