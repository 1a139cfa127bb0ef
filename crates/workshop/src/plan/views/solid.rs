//! The metal of a part as pieces put together and cut away, for seeing which of
//! its edges there are and which of them are hidden.
//!
//! Every piece stands square to an axis, and every question is asked along an
//! axis: where does a line parallel to an axis run in metal?

use std::borrow::Borrow;

use smallvec::SmallVec;

use super::region::Region;
use crate::drawing::{Axis, FeatureId};
use crate::geometry::{Bounds, Point};

/// A place in space: x, y and z in millimetres.
pub(super) type Spot = [f64; 3];

/// Stretches of a line, as a rule one or two.
pub(super) type Stretches = SmallVec<[[f64; 2]; 4]>;

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
    fn stretches(&self, spot: Spot, along: Axis, found: &mut Stretches) {
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

    /// True when a straight line along an axis that passes no corner of its box is inside it
    /// all the way or not at all, wherever it is seen from.
    pub fn is_even(&self, along: Option<Axis>) -> bool {
        match &self.form {
            Form::Prism(region) => region.is_box || along == Some(self.axis),
            Form::Cone { .. } => false,
        }
    }

    /// True when none of its sides stands before another.
    pub fn is_convex(&self) -> bool {
        match &self.form {
            Form::Prism(region) => region.is_convex,
            Form::Cone { .. } => true,
        }
    }

    /// True when the boxes round two pieces meet.
    pub fn near(&self, other: &Self) -> bool {
        (0..3).all(|k| self.least[k] <= other.most[k] + HAIR_MM && other.least[k] <= self.most[k] + HAIR_MM)
    }
}

/// The metal of a part; or, of borrowed pieces, as much of it as is asked about.
#[derive(Clone, Debug)]
pub(super) struct Solid<P = Piece> {
    pub metal: Vec<P>,
    pub cuts: Vec<P>,
}

impl Solid {
    pub const EMPTY: Self = Self { metal: Vec::new(), cuts: Vec::new() };

    pub fn mirrored(&self) -> Self {
        let all = |pieces: &[Piece]| pieces.iter().map(Piece::mirrored).collect();
        Self { metal: all(&self.metal), cuts: all(&self.cuts) }
    }
}

impl<P: Borrow<Piece>> Solid<P> {
    pub fn pieces(&self) -> impl Iterator<Item = &Piece> {
        self.metal.iter().chain(&self.cuts).map(P::borrow)
    }

    /// A piece by its number, metal first.
    pub fn piece(&self, number: usize) -> &Piece {
        let cut = || &self.cuts[number - self.metal.len()];
        self.metal.get(number).unwrap_or_else(cut).borrow()
    }

    /// The pieces of these numbers, metal first, which rise.
    pub fn only(&self, numbers: &[usize]) -> Solid<&Piece> {
        let (metal, cuts) = numbers.split_at(numbers.partition_point(|&n| n < self.metal.len()));
        let all = |numbers: &[usize]| numbers.iter().map(|&n| self.piece(n)).collect();
        Solid { metal: all(metal), cuts: all(cuts) }
    }

    pub fn contains(&self, spot: Spot) -> bool {
        let within = |piece: &P| piece.borrow().contains(spot);
        self.metal.iter().any(within) && !self.cuts.iter().any(within)
    }

    /// True when some of the metal reaches to a height along an axis.
    pub fn reaches(&self, axis: Axis, height_mm: f64) -> bool {
        let k = axis as usize;
        let to =
            |piece: &Piece| piece.least[k] - HAIR_MM <= height_mm && height_mm <= piece.most[k] + HAIR_MM;
        self.metal.iter().any(|piece| to(piece.borrow()))
    }

    /// The stretches of metal on a line through a spot, parallel to an axis.
    pub fn stretches(&self, spot: Spot, along: Axis) -> Stretches {
        let mut metal = Stretches::new();
        for piece in &self.metal {
            piece.borrow().stretches(spot, along, &mut metal);
        }
        if metal.is_empty() {
            return metal;
        }
        let metal = joined(metal);
        let mut cut = Stretches::new();
        for piece in &self.cuts {
            piece.borrow().stretches(spot, along, &mut cut);
        }
        without(metal, &joined(cut))
    }

    /// True when nothing stands between a spot and a reader far away along an axis.
    pub fn open(&self, spot: Spot, toward: Axis, sign: f64) -> bool {
        let here = spot[toward as usize];
        self.stretches(spot, toward).iter().all(|&[from, to]| {
            if sign > 0.0 { to <= here + HAIR_MM / 100.0 } else { from >= here - HAIR_MM / 100.0 }
        })
    }
}

/// What is left of stretches where others, in order and apart, do not cover them.
pub(super) fn without(stretches: Stretches, covered: &[[f64; 2]]) -> Stretches {
    let mut left = Stretches::new();
    for [mut from, to] in stretches {
        for &[a, b] in covered {
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

/// Stretches in order, run together where they overlap or touch.
pub(super) fn joined(mut stretches: Stretches) -> Stretches {
    /// Ends that rounding alone parts.
    const TOUCH_MM: f64 = 1e-9;
    stretches.sort_by(|a, b| a[0].total_cmp(&b[0]));
    let mut joined = Stretches::new();
    for [from, to] in stretches {
        match joined.last_mut() {
            Some(last) if from <= last[1] + TOUCH_MM => last[1] = last[1].max(to),
            _ => joined.push([from, to]),
        }
    }
    joined
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
        assert_eq!(block.stretches([5.0, 5.0, 0.0], Axis::Z)[..], [[7.0, 10.0]]);
        assert_eq!(block.stretches([1.0, 1.0, 0.0], Axis::Z)[..], [[0.0, 10.0]]);
        assert!(block.stretches([5.0, 5.0, 5.0], Axis::X).is_empty());
        assert_eq!(block.stretches([9.0, 5.0, 9.0], Axis::Y)[..], [[0.0, 10.0]]);
        assert!(block.open([5.0, 5.0, 6.0], Axis::X, 1.0) && !block.open([5.0, 5.0, 6.0], Axis::Z, 1.0));
    }

    #[test]
    fn a_cone_is_as_wide_as_it_should_be_whichever_way_it_is_asked() {
        let cone = Form::Cone { centre: Point::ORIGIN, from_radius_mm: 4.0, to_radius_mm: 2.0 };
        let solid = Solid { metal: vec![Piece::new(None, Axis::X, [0.0, 8.0], cone)], cuts: vec![] };
        assert_eq!(solid.stretches([4.0, 0.0, 0.0], Axis::Y)[..], [[-3.0, 3.0]]);
        assert_eq!(solid.stretches([0.0, 3.0, 0.0], Axis::X)[..], [[0.0, 4.0]]);
        assert_eq!(solid.mirrored().stretches([0.0, 0.0, 3.0], Axis::X)[..], [[-4.0, 0.0]]);
    }
}
