//! What an overrun past the start or stop of an arc cuts into, whatever lies there.

use super::ArcSetting;
use crate::geometry::{Arc, Point, Segment};
use crate::measure::{Angle, Length, Toward};
use crate::settings::show::{geometry, mm, to_division};
use crate::why::Figure;

/// What an overrun costs at the two ends of an arc.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Overrun {
    /// How deep one degree before the start cuts into the finished outline.
    pub start: Length,
    /// How deep one degree past the stop does.
    pub stop: Length,
    /// How far past either end brings the gouge that can be borne; none where no overrun up
    /// to `FARTHEST_DEG` does.
    pub greatest: Option<Angle>,
}

/// Nobody overruns farther than this, in degrees.
const FARTHEST_DEG: f64 = 15.0;

/// Works out what an overrun of an arc cuts into: `rest` is the finished outline from the
/// table's centre, and the cutter stands at the offset as it is set.
pub fn overrun(setting: &ArcSetting, offset: Length, rest: &[Segment]) -> Overrun {
    let reach_mm = setting.cutter.half().as_mm();
    let Segment::Arc(road) = setting.road(offset) else {
        return Overrun { start: Length::ZERO, stop: Length::ZERO, greatest: None };
    };
    let [start, stop] = [false, true].map(|last| Length::nearest(deep_mm(&road, last, 1.0, rest, reach_mm)));
    let allowed_mm = setting.gouge_allowed.as_mm();
    let worst = |degrees: f64| {
        [false, true]
            .map(|last| deep_mm(&road, last, degrees, rest, reach_mm))
            .into_iter()
            .fold(0.0, f64::max)
    };
    let greatest = (worst(FARTHEST_DEG) > allowed_mm).then(|| {
        let (mut less, mut more) = (0.0, FARTHEST_DEG);
        for _ in 0..60 {
            let middle = (less + more) / 2.0;
            if worst(middle) > allowed_mm { more = middle } else { less = middle }
        }
        Angle::nearest_rad(less.to_radians())
    });
    Overrun { start, stop, greatest }
}

/// How deep a cutter goes into the outline so many degrees past an end of its road.
fn deep_mm(road: &Arc, last: bool, degrees: f64, rest: &[Segment], reach_mm: f64) -> f64 {
    let on = degrees.to_radians() * road.sweep_rad.signum();
    let at_rad = if last { road.end_rad() + on } else { road.start_rad - on };
    let at: Point = road.centre.polar(road.radius_mm, at_rad);
    let near_mm = rest.iter().map(|piece| piece.nearest(at).distance_mm(at)).fold(f64::INFINITY, f64::min);
    (reach_mm - near_mm).max(0.0)
}

impl Overrun {
    /// The rows of the sheet.
    pub fn figures(&self, setting: &ArcSetting) -> Vec<Figure> {
        let why = geometry("the cutter run 1° past the end, laid against the finished outline there");
        let shown = |deep: Length| match deep.decimals(4) {
            none if none == "0.0000" => "none: it draws away".to_owned(),
            deep => format!("{deep} mm"),
        };
        let mut figures = match (shown(self.start), shown(self.stop)) {
            (one, other) if one == other => vec![Figure::new("gouge of 1° overrun", one, why)],
            (one, other) => vec![
                Figure::new("gouge of 1° before the start", one, why.clone()),
                Figure::new("gouge of 1° past the stop", other, why),
            ],
        };
        if let Some(greatest) = self.greatest {
            let why = geometry(format!(
                "this overrun, at one end or the other, gouges {}: common practice for what nobody sees or feels",
                mm(setting.gouge_allowed)
            ));
            let set = to_division(greatest, setting.table.division, Toward::Less);
            figures.push(Figure::new("greatest overrun", set.degrees_minutes(), why));
        }
        figures
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::settings::rotary::{self, Grows, Metal, RotaryTable, gouge, set_arc};
    use std::f64::consts::PI;

    fn set(radius: i64, metal: Metal, cutter: i64) -> ArcSetting {
        let division = Angle::ratio(1, 60);
        let table = RotaryTable { worm_ratio: 90, division, grows: Some(Grows::Clockwise) };
        let arc = rotary::Arc {
            radius: Length::mm(radius),
            metal,
            start: Angle::degrees(-90),
            sweep: Angle::degrees(180),
        };
        set_arc(arc, Length::mm(cutter), table, Length::microns(20)).unwrap()
    }

    /// A half-round end of 8 with flanks straight on behind: (R + rc)(1 − cos d), elementary
    /// geometry, is what the outline itself shows.
    #[test]
    fn past_a_tangent_flank_it_is_the_known_formula() {
        let setting = set(8, Metal::Inside, 10);
        let flanks = [
            Segment::line(Point::new(-40.0, -8.0), Point::new(0.0, -8.0)),
            Segment::arc(Point::ORIGIN, 8.0, -PI / 2.0, PI),
            Segment::line(Point::new(0.0, 8.0), Point::new(-40.0, 8.0)),
        ];
        let found = overrun(&setting, setting.offset, &flanks);
        assert_eq!(found.start, found.stop);
        assert!(found.stop.gap(gouge(setting.offset, Angle::degrees(1))) < Length::microns(1), "{found:?}");
        let greatest = found.greatest.unwrap().as_degrees();
        assert!((greatest - setting.greatest_overrun.unwrap().as_degrees()).abs() < 1e-3, "{greatest}");
    }

    /// Where a hollow of 6 follows instead, the gouge is the deeper: the cutter of 2.5 would
    /// have to turn the other way. By the cosine rule, centres 14 apart and the road at 10.5:
    /// √(14² + 10.5² − 2·14·10.5·cos 1°) − 3.5 = 0.0064 mm, where a flank gives 0.0016.
    #[test]
    fn past_a_hollow_it_is_deeper_and_past_a_flank_of_a_hollow_nothing() {
        let setting = set(8, Metal::Inside, 5);
        let hollow = [
            Segment::arc(Point::ORIGIN, 8.0, -PI / 2.0, PI),
            Segment::arc(Point::new(0.0, 14.0), 6.0, -PI / 2.0, -PI / 3.0),
        ];
        let found = overrun(&setting, setting.offset, &hollow);
        assert_eq!(found.stop.decimals(4), "0.0064");
        let within = set(8, Metal::Outside, 5);
        let flanks = [
            Segment::line(Point::new(-40.0, -8.0), Point::new(0.0, -8.0)),
            Segment::line(Point::new(0.0, 8.0), Point::new(-40.0, 8.0)),
        ];
        let found = overrun(&within, within.offset, &flanks);
        assert_eq!((found.start, found.stop, found.greatest), (Length::ZERO, Length::ZERO, None));
        assert!(found.figures(&within).iter().all(|figure| figure.shown.contains("draws away")));
    }
}
