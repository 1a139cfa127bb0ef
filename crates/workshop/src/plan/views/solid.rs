//! The metal of a part as pieces put together and cut away, for seeing which of
//! its edges there are and which of them are hidden.
//!
//! Every piece stands square to an axis, and every question is asked along an
//! axis: where does a line parallel to an axis run in metal?

use std::f64::consts::{FRAC_PI_2, PI, TAU};

use crate::drawing::{Axis, FeatureId};
use crate::geometry::{Arc, Bounds, Line, Point, Segment};

/// A place in space: x, y and z in millimetres.
pub(super) type Spot = [f64; 3];

/// Far below what can be seen on paper or made.
pub(super) const HAIR_MM: f64 = 1e-4;

/// The two axes of a plane square to an axis, as the drawing takes them.
pub(super) const fn plane(axis: Axis) -> [Axis; 2] {
    match axis {
        Axis::X => [Axis::Y, Axis::Z],
        Axis::Y => [Axis::X, Axis::Z],
        Axis::Z => [Axis::X, Axis::Y],
    }
}

/// The place of a spot in the plane square to an axis.
pub(super) fn flat(spot: Spot, axis: Axis) -> Point {
    let [u, v] = plane(axis);
    Point::new(spot[u as usize], spot[v as usize])
}

/// The spot over a place of a plane, at a height along its axis.
pub(super) fn raised(at: Point, axis: Axis, height_mm: f64) -> Spot {
    let [u, v] = plane(axis);
    let mut spot = [0.0; 3];
    spot[u as usize] = at.x_mm;
    spot[v as usize] = at.y_mm;
    spot[axis as usize] = height_mm;
    spot
}

/// An area between closed lines, inside an odd number of them.
///
/// Its pieces run one way only both across and up, which makes every question
/// about them a short sum.
#[derive(Clone, Debug)]
pub(super) struct Region {
    pub pieces: Vec<Segment>,
    /// The ends of each piece, the same number where two pieces meet: what rounding
    /// parts would let a line slip between them.
    ends: Vec<[Point; 2]>,
    pub bounds: Bounds,
}

impl Region {
    pub fn new(lines: impl IntoIterator<Item = Segment>) -> Self {
        let pieces: Vec<Segment> = lines.into_iter().flat_map(one_way).collect();
        let bounds = pieces.iter().map(Segment::bounds).reduce(|a, b| a.including(b.least).including(b.most));
        /// Finer than anything that is measured, coarser than rounding.
        const GRID: f64 = 1e9;
        let on_grid = |p: Point| Point::new((p.x_mm * GRID).round() / GRID, (p.y_mm * GRID).round() / GRID);
        let ends = pieces.iter().map(|piece| [on_grid(piece.start()), on_grid(piece.end())]).collect();
        Self { bounds: bounds.unwrap_or(Bounds::of(Point::ORIGIN)), ends, pieces }
    }

    pub fn circle(centre: Point, radius_mm: f64) -> Self {
        Self::new([Segment::arc(centre, radius_mm, 0.0, TAU)])
    }

    /// Straight lines from corner to corner and back to the first.
    pub fn corners(corners: &[Point]) -> Self {
        let next = corners.iter().cycle().skip(1);
        Self::new(corners.iter().zip(next).map(|(&a, &b)| Segment::line(a, b)))
    }

    pub fn rectangle(least: Point, most: Point) -> Self {
        Self::corners(&[least, Point::new(most.x_mm, least.y_mm), most, Point::new(least.x_mm, most.y_mm)])
    }

    pub fn mirrored(&self) -> Self {
        Self::new(self.pieces.iter().map(Segment::mirrored))
    }

    pub fn contains(&self, at: Point) -> bool {
        let Bounds { least, most } = self.bounds;
        if at.x_mm < least.x_mm || at.x_mm > most.x_mm || at.y_mm < least.y_mm || at.y_mm > most.y_mm {
            return false;
        }
        let sides = self.pieces.iter().zip(&self.ends);
        let beyond =
            sides.filter(|(piece, ends)| across(piece, **ends, at.y_mm).is_some_and(|x| x > at.x_mm)).count();
        beyond % 2 == 1
    }

    /// Where a line across at a height (or, turned, a line up) crosses its edge.
    fn crossed(&self, at_mm: f64, upwards: bool) -> Vec<f64> {
        let cross = |(piece, ends): (&Segment, &[Point; 2])| {
            if upwards { up(piece, *ends, at_mm) } else { across(piece, *ends, at_mm) }
        };
        let mut found: Vec<f64> = self.pieces.iter().zip(&self.ends).filter_map(cross).collect();
        found.sort_by(f64::total_cmp);
        found
    }
}

/// A line as it is; an arc in parts that end at its sides, its head and its foot.
fn one_way(segment: Segment) -> Vec<Segment> {
    let Segment::Arc(arc) = segment else { return vec![segment] };
    /// Turns nearer to a quarter than this are the quarter.
    const SAME_RAD: f64 = 1e-9;
    let (low, high) = (arc.start_rad.min(arc.end_rad()), arc.start_rad.max(arc.end_rad()));
    let mut cuts = vec![low];
    let mut quarter = (low / FRAC_PI_2).floor() + 1.0;
    while quarter * FRAC_PI_2 < high - SAME_RAD {
        if quarter * FRAC_PI_2 > low + SAME_RAD {
            cuts.push(quarter * FRAC_PI_2);
        }
        quarter += 1.0;
    }
    cuts.push(high);
    let mut parts: Vec<Segment> = cuts
        .windows(2)
        .map(|pair| Segment::arc(arc.centre, arc.radius_mm, pair[0], pair[1] - pair[0]))
        .collect();
    if arc.sweep_rad < 0.0 {
        parts.reverse();
        parts = parts.iter().map(Segment::reversed).collect();
    }
    parts
}

/// Where a piece that runs one way crosses a height.
fn across(piece: &Segment, [a, b]: [Point; 2], y_mm: f64) -> Option<f64> {
    // Half open, so that a corner on the line counts once.
    if (a.y_mm <= y_mm) == (b.y_mm <= y_mm) {
        return None;
    }
    Some(match piece {
        Segment::Line(_) => a.x_mm + (b.x_mm - a.x_mm) * (y_mm - a.y_mm) / (b.y_mm - a.y_mm),
        Segment::Arc(arc) => {
            let out = half_chord(arc, y_mm - arc.centre.y_mm);
            let side = (a.x_mm + b.x_mm) / 2.0 - arc.centre.x_mm;
            arc.centre.x_mm + out * side.signum()
        }
    })
}

/// The same with across and up changed round.
fn up(piece: &Segment, [a, b]: [Point; 2], x_mm: f64) -> Option<f64> {
    if (a.x_mm <= x_mm) == (b.x_mm <= x_mm) {
        return None;
    }
    Some(match piece {
        Segment::Line(_) => a.y_mm + (b.y_mm - a.y_mm) * (x_mm - a.x_mm) / (b.x_mm - a.x_mm),
        Segment::Arc(arc) => {
            let out = half_chord(arc, x_mm - arc.centre.x_mm);
            let side = (a.y_mm + b.y_mm) / 2.0 - arc.centre.y_mm;
            arc.centre.y_mm + out * side.signum()
        }
    })
}

fn half_chord(arc: &Arc, off_mm: f64) -> f64 {
    (arc.radius_mm * arc.radius_mm - off_mm * off_mm).max(0.0).sqrt()
}

/// The shape of a piece, square to its axis.
#[derive(Clone, Debug)]
pub(super) enum Form {
    /// The same all along.
    Prism(Region),
    /// Round, its radius changing evenly from one end to the other.
    Cone { centre: Point, from_radius_mm: f64, to_radius_mm: f64 },
}

/// A piece of metal, or of what is cut from it.
#[derive(Clone, Debug)]
pub(super) struct Piece {
    pub of: Option<FeatureId>,
    pub axis: Axis,
    pub from_mm: f64,
    pub to_mm: f64,
    pub form: Form,
    pub least: Spot,
    pub most: Spot,
}

impl Piece {
    pub fn new(of: Option<FeatureId>, axis: Axis, ends_mm: [f64; 2], form: Form) -> Self {
        let bounds = match &form {
            Form::Prism(region) => region.bounds,
            Form::Cone { centre, from_radius_mm, to_radius_mm } => {
                let r = from_radius_mm.max(*to_radius_mm);
                Bounds { least: *centre - Point::new(r, r), most: *centre + Point::new(r, r) }
            }
        };
        let [from_mm, to_mm] = ends_mm;
        let (least, most) = (raised(bounds.least, axis, from_mm), raised(bounds.most, axis, to_mm));
        Self { of, axis, from_mm, to_mm, form, least, most }
    }

    /// Left for right.
    pub fn mirrored(&self) -> Self {
        if self.axis == Axis::X {
            let form = match &self.form {
                Form::Prism(region) => Form::Prism(region.clone()),
                Form::Cone { centre, from_radius_mm, to_radius_mm } => Form::Cone {
                    centre: *centre,
                    from_radius_mm: *to_radius_mm,
                    to_radius_mm: *from_radius_mm,
                },
            };
            return Self::new(self.of, self.axis, [-self.to_mm, -self.from_mm], form);
        }
        let form = match &self.form {
            Form::Prism(region) => Form::Prism(region.mirrored()),
            Form::Cone { centre, from_radius_mm, to_radius_mm } => Form::Cone {
                centre: centre.mirrored(),
                from_radius_mm: *from_radius_mm,
                to_radius_mm: *to_radius_mm,
            },
        };
        Self::new(self.of, self.axis, [self.from_mm, self.to_mm], form)
    }

    /// The radius of a cone at a height.
    pub fn radius_at(&self, height_mm: f64) -> Option<f64> {
        let Form::Cone { from_radius_mm, to_radius_mm, .. } = self.form else { return None };
        let share = (height_mm - self.from_mm) / (self.to_mm - self.from_mm);
        Some(from_radius_mm + (to_radius_mm - from_radius_mm) * share)
    }

    pub fn contains(&self, spot: Spot) -> bool {
        if (0..3).any(|k| spot[k] < self.least[k] || spot[k] > self.most[k]) {
            return false;
        }
        let at = flat(spot, self.axis);
        match &self.form {
            Form::Prism(region) => region.contains(at),
            Form::Cone { centre, .. } => {
                self.radius_at(spot[self.axis as usize]).is_some_and(|r| at.distance_mm(*centre) < r)
            }
        }
    }

    /// Adds the stretches in which a line through a spot, parallel to an axis,
    /// runs inside.
    fn stretches(&self, spot: Spot, along: Axis, found: &mut Vec<[f64; 2]>) {
        let k = along as usize;
        if (0..3).any(|n| n != k && (spot[n] < self.least[n] || spot[n] > self.most[n])) {
            return;
        }
        let at = flat(spot, self.axis);
        if along == self.axis {
            match &self.form {
                Form::Prism(region) if region.contains(at) => found.push([self.from_mm, self.to_mm]),
                Form::Prism(_) => {}
                Form::Cone { centre, from_radius_mm: a, to_radius_mm: b } => {
                    let out = at.distance_mm(*centre);
                    if out >= a.max(*b) {
                        return;
                    }
                    // Where along it the cone is just so wide.
                    let meets = || self.from_mm + (self.to_mm - self.from_mm) * (out - a) / (b - a);
                    found.push(match (out < *a, out < *b) {
                        (true, true) => [self.from_mm, self.to_mm],
                        (true, false) => [self.from_mm, meets()],
                        _ => [meets(), self.to_mm],
                    });
                }
            }
            return;
        }
        let upwards = along == plane(self.axis)[1];
        let fixed_mm = if upwards { at.x_mm } else { at.y_mm };
        match &self.form {
            Form::Prism(region) => {
                found
                    .extend(region.crossed(fixed_mm, upwards).chunks_exact(2).map(|pair| [pair[0], pair[1]]));
            }
            Form::Cone { centre, .. } => {
                let (middle, beside) = if upwards {
                    (centre.y_mm, fixed_mm - centre.x_mm)
                } else {
                    (centre.x_mm, fixed_mm - centre.y_mm)
                };
                let radius = self.radius_at(spot[self.axis as usize]).unwrap_or_default();
                if beside.abs() < radius {
                    let out = (radius * radius - beside * beside).sqrt();
                    found.push([middle - out, middle + out]);
                }
            }
        }
    }

    /// True when the boxes round two pieces meet.
    pub fn near(&self, other: &Self) -> bool {
        (0..3).all(|k| self.least[k] <= other.most[k] + HAIR_MM && other.least[k] <= self.most[k] + HAIR_MM)
    }
}

/// The metal of a part.
#[derive(Clone, Debug, Default)]
pub(super) struct Solid {
    pub metal: Vec<Piece>,
    pub cuts: Vec<Piece>,
}

impl Solid {
    pub fn pieces(&self) -> impl Iterator<Item = &Piece> {
        self.metal.iter().chain(&self.cuts)
    }

    pub fn mirrored(&self) -> Self {
        let all = |pieces: &[Piece]| pieces.iter().map(Piece::mirrored).collect();
        Self { metal: all(&self.metal), cuts: all(&self.cuts) }
    }

    pub fn contains(&self, spot: Spot) -> bool {
        self.metal.iter().any(|piece| piece.contains(spot))
            && !self.cuts.iter().any(|piece| piece.contains(spot))
    }

    /// The stretches of metal on a line through a spot, parallel to an axis.
    pub fn stretches(&self, spot: Spot, along: Axis) -> Vec<[f64; 2]> {
        let mut metal = Vec::new();
        for piece in &self.metal {
            piece.stretches(spot, along, &mut metal);
        }
        if metal.is_empty() {
            return metal;
        }
        let metal = joined(metal);
        let mut cut = Vec::new();
        for piece in &self.cuts {
            piece.stretches(spot, along, &mut cut);
        }
        let cut = joined(cut);
        let mut left = Vec::new();
        for [mut from, to] in metal {
            for &[a, b] in &cut {
                if b <= from || a >= to {
                    continue;
                }
                if a > from {
                    left.push([from, a]);
                }
                from = b;
            }
            if from < to {
                left.push([from, to]);
            }
        }
        left
    }

    /// True when nothing stands between a spot and a reader far away along an axis.
    pub fn open(&self, spot: Spot, toward: Axis, sign: f64) -> bool {
        let here = spot[toward as usize];
        self.stretches(spot, toward).iter().all(|&[from, to]| {
            if sign > 0.0 { to <= here + HAIR_MM / 100.0 } else { from >= here - HAIR_MM / 100.0 }
        })
    }
}

/// Stretches in order, run together where they overlap or touch.
pub(super) fn joined(mut stretches: Vec<[f64; 2]>) -> Vec<[f64; 2]> {
    /// Ends that rounding alone parts.
    const TOUCH_MM: f64 = 1e-9;
    stretches.sort_by(|a, b| a[0].total_cmp(&b[0]));
    let mut joined: Vec<[f64; 2]> = Vec::with_capacity(stretches.len());
    for [from, to] in stretches {
        match joined.last_mut() {
            Some(last) if from <= last[1] + TOUCH_MM => last[1] = last[1].max(to),
            _ => joined.push([from, to]),
        }
    }
    joined
}

/// Where along a segment, nought to one, one of its coordinates has a value.
pub(super) fn shares_at(segment: &Segment, value_mm: f64, upwards: bool) -> Vec<f64> {
    let of = |p: Point| if upwards { p.y_mm } else { p.x_mm };
    match segment {
        Segment::Line(Line { start, end }) => {
            let run = of(*end) - of(*start);
            if run.abs() < 1e-12 { Vec::new() } else { vec![(value_mm - of(*start)) / run] }
        }
        Segment::Arc(arc) => {
            let ratio = (value_mm - of(arc.centre)) / arc.radius_mm;
            if ratio.abs() > 1.0 {
                return Vec::new();
            }
            let directions =
                if upwards { [ratio.asin(), PI - ratio.asin()] } else { [ratio.acos(), -ratio.acos()] };
            directions
                .map(|rad| {
                    let turned = (rad - arc.start_rad) * arc.sweep_rad.signum();
                    turned.rem_euclid(TAU) / arc.sweep_rad.abs()
                })
                .to_vec()
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn block() -> Solid {
        let box_of = |a: f64, b: f64| Form::Prism(Region::rectangle(Point::new(a, a), Point::new(b, b)));
        let bore = Form::Prism(Region::circle(Point::new(5.0, 5.0), 2.0));
        Solid {
            metal: vec![Piece::new(None, Axis::Z, [0.0, 10.0], box_of(0.0, 10.0))],
            cuts: vec![
                Piece::new(None, Axis::Z, [-1.0, 4.0], bore.clone()),
                Piece::new(None, Axis::X, [-1.0, 11.0], bore),
            ],
        }
    }

    #[test]
    fn a_line_through_a_bored_block_runs_in_what_is_left() {
        let block = block();
        // Down the upright bore: from where the cross bore ends to the front face.
        assert_eq!(block.stretches([5.0, 5.0, 0.0], Axis::Z), [[7.0, 10.0]]);
        assert_eq!(block.stretches([1.0, 1.0, 0.0], Axis::Z), [[0.0, 10.0]]);
        assert!(block.stretches([5.0, 5.0, 5.0], Axis::X).is_empty());
        assert_eq!(block.stretches([9.0, 5.0, 9.0], Axis::Y), [[0.0, 10.0]]);
        assert!(block.open([5.0, 5.0, 6.0], Axis::X, 1.0) && !block.open([5.0, 5.0, 6.0], Axis::Z, 1.0));
    }

    #[test]
    fn a_cone_is_as_wide_as_it_should_be_whichever_way_it_is_asked() {
        let cone = Form::Cone { centre: Point::ORIGIN, from_radius_mm: 4.0, to_radius_mm: 2.0 };
        let solid = Solid { metal: vec![Piece::new(None, Axis::X, [0.0, 8.0], cone)], cuts: vec![] };
        assert_eq!(solid.stretches([4.0, 0.0, 0.0], Axis::Y), [[-3.0, 3.0]]);
        assert_eq!(solid.stretches([0.0, 3.0, 0.0], Axis::X), [[0.0, 4.0]]);
        assert_eq!(solid.mirrored().stretches([0.0, 0.0, 3.0], Axis::X), [[-4.0, 0.0]]);
    }
}
