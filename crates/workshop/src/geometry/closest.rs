//! Where two segments cross, and where they come nearest.

use super::{Arc, Line, Point, SAME_POINT_MM, Segment};

/// The nearest places of two things, one on each, and how far apart they are.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Approach {
    /// The place on the first.
    pub on_first: Point,
    /// The place on the second.
    pub on_second: Point,
}

impl Approach {
    /// How far apart the two places are, in millimetres.
    pub fn distance_mm(&self) -> f64 {
        self.on_first.distance_mm(self.on_second)
    }

    /// The same, seen from the other side.
    #[must_use]
    pub const fn swapped(self) -> Self {
        Self { on_first: self.on_second, on_second: self.on_first }
    }
}

/// The points where two segments cross or touch; where they run along each
/// other, the ends of the shared stretch.
pub fn crossings(a: &Segment, b: &Segment) -> Vec<Point> {
    match (a, b) {
        (Segment::Line(a), Segment::Line(b)) => line_line(*a, *b),
        (Segment::Line(line), Segment::Arc(arc)) | (Segment::Arc(arc), Segment::Line(line)) => {
            line_arc(*line, *arc)
        }
        (Segment::Arc(a), Segment::Arc(b)) => arc_arc(*a, *b),
    }
}

/// The nearest places of two segments; the first crossing where they cross.
pub fn closest(a: &Segment, b: &Segment) -> Approach {
    if let Some(&at) = crossings(a, b).first() {
        return Approach { on_first: at, on_second: at };
    }
    // The nearest pair lies at an end of one, or where both are square to the
    // way between: on the line of centres, or the foot of a centre on a line.
    let from_a = |p: Point| Approach { on_first: p, on_second: b.nearest(p) };
    let from_b = |p: Point| Approach { on_first: a.nearest(p), on_second: p };
    let mut tries = vec![from_a(a.start()), from_a(a.end()), from_b(b.start()), from_b(b.end())];
    match (a, b) {
        (Segment::Line(_), Segment::Line(_)) => {}
        (Segment::Line(line), Segment::Arc(arc)) => tries.push(from_a(line.nearest(arc.centre))),
        (Segment::Arc(arc), Segment::Line(line)) => tries.push(from_b(line.nearest(arc.centre))),
        (Segment::Arc(one), Segment::Arc(other)) => {
            let along = one.centre.direction_rad(other.centre);
            for rad in [along, along + std::f64::consts::PI] {
                if one.passes(rad) {
                    tries.push(from_a(one.centre.polar(one.radius_mm, rad)));
                }
            }
        }
    }
    tries
        .into_iter()
        .min_by(|x, y| x.distance_mm().total_cmp(&y.distance_mm()))
        .expect("four ends were tried")
}

/// True when `point` lies on the segment.
fn on(segment: Segment, point: Point) -> bool {
    segment.nearest(point).distance_mm(point) <= SAME_POINT_MM
}

/// The ends of each that lie on the other: the shared stretch of two segments
/// on one line or one circle.
fn shared_ends(a: Segment, b: Segment) -> Vec<Point> {
    let mut ends: Vec<Point> = [a.start(), a.end()].into_iter().filter(|p| on(b, *p)).collect();
    ends.extend([b.start(), b.end()].into_iter().filter(|p| on(a, *p)));
    ends
}

fn line_line(a: Line, b: Line) -> Vec<Point> {
    let (u, v) = (a.end - a.start, b.end - b.start);
    let cross = u.cross(v);
    // Parallel: the far ends part by less than one point's width.
    if cross.abs() <= SAME_POINT_MM * u.norm_mm().max(v.norm_mm()) {
        return shared_ends(Segment::Line(a), Segment::Line(b));
    }
    let at = a.start + u.times((b.start - a.start).cross(v) / cross);
    if on(Segment::Line(a), at) && on(Segment::Line(b), at) { vec![at] } else { Vec::new() }
}

fn line_arc(line: Line, arc: Arc) -> Vec<Point> {
    let along = line.end - line.start;
    let length_mm = along.norm_mm();
    let unit = along.times(1.0 / length_mm);
    let foot = line.start + unit.times((arc.centre - line.start).dot(unit));
    let height_mm = foot.distance_mm(arc.centre);
    let half_mm = match half_chord_mm(arc.radius_mm, height_mm) {
        Some(half) => half,
        None => return Vec::new(),
    };
    both_sides(foot, unit.times(half_mm))
        .into_iter()
        .filter(|p| on(Segment::Line(line), *p) && on(Segment::Arc(arc), *p))
        .collect()
}

fn arc_arc(a: Arc, b: Arc) -> Vec<Point> {
    let apart = b.centre - a.centre;
    let apart_mm = apart.norm_mm();
    if apart_mm <= SAME_POINT_MM {
        return match (a.radius_mm - b.radius_mm).abs() <= SAME_POINT_MM {
            true => shared_ends(Segment::Arc(a), Segment::Arc(b)),
            false => Vec::new(),
        };
    }
    let along_mm = (apart_mm.powi(2) + a.radius_mm.powi(2) - b.radius_mm.powi(2)) / (2.0 * apart_mm);
    let unit = apart.times(1.0 / apart_mm);
    let Some(half_mm) = half_chord_mm(a.radius_mm, along_mm.abs()) else {
        return Vec::new();
    };
    let square = Point::new(-unit.y_mm, unit.x_mm).times(half_mm);
    both_sides(a.centre + unit.times(along_mm), square)
        .into_iter()
        .filter(|p| on(Segment::Arc(a), *p) && on(Segment::Arc(b), *p))
        .collect()
}

/// Half the chord of a circle at a height above its centre: nought at a touch,
/// nothing beyond.
fn half_chord_mm(radius_mm: f64, height_mm: f64) -> Option<f64> {
    let over_mm = height_mm - radius_mm;
    if over_mm > SAME_POINT_MM {
        return None;
    }
    Some(((radius_mm - height_mm) * (radius_mm + height_mm)).max(0.0).sqrt())
}

/// The points either side of `middle`, or the one point where they are the same.
fn both_sides(middle: Point, aside: Point) -> Vec<Point> {
    if aside.norm_mm() <= SAME_POINT_MM {
        return vec![middle];
    }
    vec![middle + aside, middle - aside]
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn segment() -> impl Strategy<Value = Segment> {
        let point = || (-20.0..20.0f64, -20.0..20.0f64).prop_map(|(x, y)| Point::new(x, y));
        prop_oneof![
            (point(), point())
                .prop_filter("two different ends", |(a, b)| a.distance_mm(*b) > 0.1)
                .prop_map(|(a, b)| Segment::line(a, b)),
            (point(), 0.5..15.0f64, -4.0..4.0f64, -6.2..6.2f64)
                .prop_filter("some sweep", |(_, _, _, sweep)| sweep.abs() > 0.05)
                .prop_map(|(c, r, start, sweep)| Segment::arc(c, r, start, sweep)),
        ]
    }

    proptest! {
        /// Brute force: no pair of 300 places on each is nearer, and the best of
        /// them is not much farther.
        #[test]
        fn no_other_pair_of_places_is_nearer(a in segment(), b in segment()) {
            let near = closest(&a, &b);
            let places = |s: &Segment| (0..=300).map(|k| s.along(f64::from(k) / 300.0)).collect::<Vec<_>>();
            let brute = places(&a).into_iter()
                .flat_map(|p| places(&b).into_iter().map(move |q| p.distance_mm(q)))
                .fold(f64::INFINITY, f64::min);
            let grain = (a.length_mm() + b.length_mm()) / 600.0;
            prop_assert!(near.distance_mm() <= brute + 1e-6);
            prop_assert!(brute <= near.distance_mm() + grain + 1e-6);
            prop_assert!(a.nearest(near.on_first).distance_mm(near.on_first) < 1e-5);
            prop_assert!(b.nearest(near.on_second).distance_mm(near.on_second) < 1e-5);
        }

        /// Crossings lie on both.
        #[test]
        fn crossings_lie_on_both(a in segment(), b in segment()) {
            for at in crossings(&a, &b) {
                prop_assert!(a.nearest(at).distance_mm(at) < 1e-5);
                prop_assert!(b.nearest(at).distance_mm(at) < 1e-5);
            }
        }
    }
}
