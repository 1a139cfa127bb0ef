//! A straight run of the cutter along one slide: where the other slide stands, and where
//! the run begins and ends, each on the steps of the slides and on the side that leaves
//! metal.

use super::flank::Beyond;
use super::position::rounding;
use super::show::{geometry, mm, positive, set_mm, within_reach};
use crate::geometry::clear::{runs_clear, stands_clear};
use crate::geometry::{Line, Point, Segment};
use crate::measure::{Length, Rounded, Toward};
use crate::problem::Problem;
use crate::why::{Figure, Why};

/// A straight run on whole steps of the slides.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Straight {
    /// True when X moves and Y stands.
    pub along_x: bool,
    /// Where the slide that stands is set.
    pub level: Rounded,
    /// Where the slide that moves begins.
    pub start: Rounded,
    /// Where it ends.
    pub stop: Rounded,
}

impl Straight {
    /// The road of the cutter's middle.
    fn road(&self) -> Segment {
        let place = |moved: Rounded| {
            let (moved, level) = (moved.value, self.level.value);
            if self.along_x { Point::at(moved, level) } else { Point::at(level, moved) }
        };
        Segment::line(place(self.start), place(self.stop))
    }

    /// The slide that stands, and where the one that moves begins and ends.
    pub fn figures(&self, cutter: Length, step: Length) -> Vec<Figure> {
        let (fixed, moves) = self.slides();
        let set = |name: String, at: Rounded, why: Why| {
            Figure::new(name, set_mm(at.value, step), why.because(rounding(at, step)))
        };
        vec![
            set(fixed.into(), self.level, why_level(cutter)),
            set(format!("{moves} start"), self.start, why_ends()),
            set(format!("{moves} stop"), self.stop, why_ends()),
        ]
    }

    /// The slide that stands, and the one that moves.
    pub fn slides(&self) -> (&'static str, &'static str) {
        if self.along_x { ("Y", "X") } else { ("X", "Y") }
    }
}

/// What an end of a side meets.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum End {
    /// A tangent arc: the cutter stops level with it.
    Tangent,
    /// Nothing, as at an outside corner: the cutter goes on until it is clear.
    Open,
    /// An inside corner, square: the cutter stops its radius before it.
    Inside,
}

impl End {
    /// As a run is rounded there.
    pub const fn beyond(self) -> Beyond {
        match self {
            Self::Open => Beyond::Open,
            Self::Tangent | Self::Inside => Beyond::Blend,
        }
    }
}

/// Where the middle of a cutter goes along a side between two places, the metal on the left of the
/// way: its radius beside it, and as far beyond an end that is open or short of an inside corner.
///
/// # Errors
///
/// A [`Problem`] when the two are one place, the cutter has no width, or does not go in between corners.
pub fn road(ends: [(Length, Length); 2], cutter: Length, meets: [End; 2]) -> Result<Line, Problem> {
    positive(cutter, "cutter diameter")?;
    for (x, y) in ends {
        within_reach(x, "X of an end")?;
        within_reach(y, "Y of an end")?;
    }
    if ends[0] == ends[1] {
        return Err(Problem::new("there is no side to mill")
            .why("its two ends are one place")
            .mend("give where it begins and where it ends"));
    }
    let [start, end] = ends.map(|(x, y)| Point::at(x, y));
    let (reach_mm, long_mm) = (cutter.half().as_mm(), start.distance_mm(end));
    let way = end - start;
    let along = |by_mm: f64| Point::new(way.x_mm * by_mm / long_mm, way.y_mm * by_mm / long_mm);
    let beside = Point::new(along(reach_mm).y_mm, -along(reach_mm).x_mm);
    let goes_on_mm = |end| match end {
        End::Open => reach_mm,
        End::Tangent => 0.0,
        End::Inside => -reach_mm,
    };
    let [before_mm, after_mm] = meets.map(goes_on_mm);
    if long_mm + before_mm + after_mm < 0.0 {
        return Err(Problem::new(format!("a cutter of {} does not go in between the corners", mm(cutter)))
            .why(format!("they are {} apart", mm(Length::nearest(long_mm))))
            .mend("use a smaller end mill, or file this side"));
    }
    Ok(Line { start: start + beside - along(before_mm), end: end + beside + along(after_mm) })
}

/// Why a slide stands where it does beside a side.
pub fn why_level(cutter: Length) -> Why {
    geometry(format!("the cutter's radius {} outside the side, rounded to leave metal", mm(cutter.half())))
}

/// Why a run along a side begins and ends where it does.
pub fn why_ends() -> Why {
    geometry(
        "past an outside corner until it is clear, before an inside one where the cutter touches the next side",
    )
}

/// More steps away from the work than any blend can ask for.
const MOST_STEPS: i64 = 40;

fn moved(from: Rounded, by: Length) -> Rounded {
    Rounded { value: from.value + by, loss: from.loss + by }
}

/// Puts the road of a cutter's middle on the steps of the slides, the metal on its left.
///
/// `from` and `to` are the ends of the road as the work will lie; where it lies a little
/// askew, the cutter keeps clear of the end that stands out. `ends` says what lies beyond
/// either end, and `rest` is the whole outline as it lies: the run keeps clear of it.
///
/// # Errors
///
/// A [`Problem`] when no run within a few steps is clear of the rest.
pub fn straight(
    from: Point,
    to: Point,
    ends: [Beyond; 2],
    (reach, step): (Length, Length),
    rest: &[Segment],
) -> Result<Straight, Problem> {
    let way = to - from;
    let along_x = way.x_mm.abs() > way.y_mm.abs();
    let pick = |p: Point| if along_x { (p.y_mm, p.x_mm) } else { (p.x_mm, p.y_mm) };
    let ((one, start), (other, stop)) = (pick(from), pick(to));
    // The metal lies left of the way: less is away from it when that way is +X or −Y.
    let less = (if along_x { way.x_mm } else { -way.y_mm }) > 0.0;
    let (away, out) = if less { (Toward::Less, -1) } else { (Toward::More, 1) };
    let outermost = if less { one.min(other) } else { one.max(other) };
    let inward = |first: bool| if (stop > start) == first { Toward::More } else { Toward::Less };
    let outward = |first: bool| if (stop > start) == first { Toward::Less } else { Toward::More };
    let limit = |beyond, first| if beyond == Beyond::Blend { inward(first) } else { outward(first) };
    let set = |value: f64, toward| Length::nearest(value).rounded(step, toward);
    let sooner = if stop > start { 1 } else { -1 };
    let first = set(outermost, away);
    let (start, stop) = (set(start, limit(ends[0], true)), set(stop, limit(ends[1], false)));
    let run = |level, start, stop| Straight { along_x, level, start, stop };
    let clear = |run: &Straight| runs_clear(rest, &run.road(), reach.as_mm());
    let stands = |at: Point| stands_clear(rest, at, reach.as_mm());
    let outwards = (0..MOST_STEPS).map(|n| run(moved(first, step * (n * out)), start, stop));
    if let Some(found) = outwards.into_iter().find(clear) {
        return Ok(found);
    }
    // In a corner narrower than a right angle a step away from the one side is a step into the
    // other: there the run stays beside its own and ends sooner.
    let mut found = run(first, start, stop);
    for _ in 0..MOST_STEPS {
        let Segment::Line(road) = found.road() else { break };
        let wanted =
            [(ends[0], road.start), (ends[1], road.end)].map(|(end, at)| end == Beyond::Blend && !stands(at));
        if wanted == [false; 2] {
            break;
        }
        found.start = if wanted[0] { moved(found.start, step * sooner) } else { found.start };
        found.stop = if wanted[1] { moved(found.stop, -step * sooner) } else { found.stop };
    }
    if clear(&found) {
        return Ok(found);
    }
    Err(Problem::new(format!("a cutter of {} cannot run along this side", mm(reach * 2)))
        .why("it would cut into another part of the outline")
        .mend("use a smaller end mill, or file this side"))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By hand: along the lower side of a plate a cutter of 10 runs at Y -5, from -5 to 45 where both
    /// ends are open; up its right side at X 45.
    #[test]
    fn a_cutter_runs_its_radius_outside() {
        let place = |x, y| (Length::mm(x), Length::mm(y));
        let lower = road([place(0, 0), place(40, 0)], Length::mm(10), [End::Open; 2]).unwrap();
        assert_eq!((lower.start, lower.end), (Point::new(-5.0, -5.0), Point::new(45.0, -5.0)));
        let right = road([place(40, 0), place(40, 30)], Length::mm(10), [End::Inside, End::Open]).unwrap();
        assert_eq!((right.start, right.end), (Point::new(45.0, 5.0), Point::new(45.0, 35.0)));
        let step = Length::microns(5);
        let run = straight(lower.start, lower.end, [Beyond::Open; 2], (Length::mm(5), step), &[]).unwrap();
        let figures = run.figures(Length::mm(10), step);
        let told: Vec<String> =
            figures.iter().map(|figure| format!("{} {}", figure.name, figure.shown)).collect();
        assert_eq!(told, ["Y -5.000 mm", "X start -5.000 mm", "X stop 45.000 mm"]);
        assert!(road([place(1, 2), place(1, 2)], Length::mm(10), [End::Open; 2]).is_err());
        assert!(road([place(1, 2), place(9, 2)], Length::ZERO, [End::Open; 2]).is_err());
        assert!(road([place(1, 2), place(9, 2)], Length::mm(10), [End::Inside; 2]).is_err());
    }

    /// A side along X at y = −10.0013, the cutter's middle 3 below it, step 0.005: away is
    /// down, and both ends go inwards at a blend and outwards where nothing follows.
    #[test]
    fn every_rounding_of_a_run_leaves_metal() {
        let (from, to) = (Point::new(0.0013, -13.0013), Point::new(20.0013, -13.0013));
        let sizes = (Length::mm(3), Length::microns(5));
        let run = straight(from, to, [Beyond::Blend, Beyond::Open], sizes, &[]).unwrap();
        assert!(run.along_x);
        assert_eq!(run.level.value, Length::microns(-13_005));
        assert_eq!((run.start.value, run.stop.value), (Length::microns(5), Length::microns(20_005)));
        let back = straight(to, from, [Beyond::Open, Beyond::Blend], sizes, &[]).unwrap();
        assert_eq!(back.level.value, Length::microns(-13_000));
        assert_eq!((back.start.value, back.stop.value), (Length::microns(20_005), Length::microns(5)));
    }

    /// Sides at 45° to each other, the cutter between them: 3 below the one at y = −10, its
    /// middle is 3 from the other where x is 3/tan 22.5° = 7.24264. A step down wants a step to the right
    /// as well, and nothing is cut into.
    #[test]
    fn in_a_narrow_corner_a_run_ends_sooner() {
        let other = Segment::line(Point::new(30.0, -40.0), Point::new(0.0, -10.0));
        let (from, to) = (Point::new(7.242_641, -13.000_01), Point::new(60.0, -13.000_01));
        for step in [Length::microns(5), Length::microns(20), Length::mm_ratio(254, 10_000)] {
            let run =
                straight(from, to, [Beyond::Blend, Beyond::Open], (Length::mm(3), step), &[other]).unwrap();
            let at = Point::at(run.start.value, run.level.value);
            let apart_mm = (at.x_mm + at.y_mm + 10.0) / 2.0_f64.sqrt();
            assert!(apart_mm >= 3.0 - 2e-7, "{apart_mm}");
            assert!(apart_mm < 3.0 + 2.0 * step.as_mm(), "{apart_mm}");
            assert!(run.level.loss.as_mm().abs() <= step.as_mm());
        }
    }

    /// A boss that stands 0.012 out beside the run: the run goes out by whole steps until
    /// it is clear; one that stands out by half a millimetre is another matter.
    #[test]
    fn a_run_keeps_clear_of_what_lies_beside_it() {
        let (from, to) = (Point::new(0.0, -13.0), Point::new(20.0, -13.0));
        let sizes = (Length::mm(3), Length::microns(5));
        let beside = |y_mm| [Segment::line(Point::new(10.0, y_mm), Point::new(10.0, 0.0))];
        let run = straight(from, to, [Beyond::Open; 2], sizes, &beside(-10.012)).unwrap();
        assert_eq!(run.level.value, Length::microns(-13_015));
        let fault = straight(from, to, [Beyond::Open; 2], sizes, &beside(-10.5)).unwrap_err();
        assert!(fault.reason().is_some() && fault.remedy().is_some(), "{fault}");
    }
}
