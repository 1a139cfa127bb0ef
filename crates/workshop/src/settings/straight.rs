//! A straight run of the cutter along one slide: where the other slide stands, and where
//! the run begins and ends, each on the steps of the slides and on the side that leaves
//! metal.

use super::flank::Beyond;
use super::show::mm;
use crate::geometry::clear::runs_clear;
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

/// More steps away from the work than any blend can ask for.
const MOST_STEPS: usize = 40;

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
    let (start, stop) = (set(start, limit(ends[0], true)), set(stop, limit(ends[1], false)));
    let mut level = set(outermost, away);
    for _ in 0..MOST_STEPS {
        let place = |moved: Rounded| {
            let (moved, level) = (moved.value, level.value);
            if along_x { Point::at(moved, level) } else { Point::at(level, moved) }
        };
        if runs_clear(rest, &Segment::line(place(start), place(stop)), reach.as_mm()) {
            return Ok(Straight { along_x, level, start, stop });
        }
        level.value += step * out;
        level.loss += step * out;
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
