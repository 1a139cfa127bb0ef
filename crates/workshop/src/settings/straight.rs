//! A straight run of the cutter along one slide: where the other slide stands, and where
//! the run begins and ends, each on the steps of the slides and on the side that leaves
//! metal.

use super::flank::Beyond;
use super::show::mm;
use crate::geometry::clear::{runs_clear, stands_clear};
use crate::geometry::{Point, Segment};
use crate::measure::{Length, Rounded, Toward};
use crate::problem::Problem;

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
