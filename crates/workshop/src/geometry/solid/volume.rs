//! The volume of a body, from the areas of its plane sections.
//!
//! A section is summed from lines across it, on each of which metal and cuts are
//! stretches found exactly: overlapping cuts count once, whatever they are. Sums are
//! split wherever a piece begins or ends, so that what is left between is smooth.

use super::quadrature::{Sum, sum};
use super::{Body, Convex, Piece, Spot};
use crate::geometry::Segment;

/// Which way the sections are taken.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Outer {
    /// Square to x: for turned parts.
    X,
    /// Square to z: for plates.
    Z,
}

/// A volume and how far it may be out, in cubic millimetres.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Volume {
    /// The volume.
    pub mm3: f64,
    /// It is out by no more than this.
    pub error_mm3: f64,
}

/// The share of the box around the part that the sum over sections may be out by,
/// and that of a section.
const SHARES: (f64, f64) = (1e-7, 1e-8);

impl Outer {
    fn way(self) -> Spot {
        match self {
            Self::X => Spot::X,
            Self::Z => Spot::Z,
        }
    }

    /// The direction of the lines across a section.
    fn line(self) -> Spot {
        match self {
            Self::X => Spot::Z,
            Self::Z => Spot::X,
        }
    }
}

/// The estimated error of the sums is stated so many times over.
const SAFELY: f64 = 4.0;

/// The volume of a body.
pub fn volume(body: &Body, outer: Outer) -> Volume {
    let Some([least, most]) = whole(&body.metal) else { return Volume { mm3: 0.0, error_mm3: 0.0 } };
    let (out, line) = (outer.way(), outer.line());
    let size = most - least;
    let (deep, wide, long) = (size.dot(out), size.y_mm, size.dot(line));
    let (low, high) = (least.dot(out), most.dot(out));
    let metal: Vec<Seen> = body.metal.iter().map(|piece| Seen::new(piece, outer)).collect();
    let cuts: Vec<Seen> = body.cuts.iter().map(|piece| Seen::new(piece, outer)).collect();
    let mut marks: Vec<f64> = metal.iter().chain(&cuts).flat_map(|seen| seen.deep).collect();
    marks.retain(|mark| (low..=high).contains(mark));
    marks.extend([low, high]);
    tidy(&mut marks);
    let mut total = Sum::default();
    for pair in marks.windows(2) {
        let (from, to) = (pair[0], pair[1]);
        let there = |seen: &&Seen| seen.deep[0] < to && seen.deep[1] > from;
        let here = Section {
            metal: metal.iter().filter(there).collect(),
            cuts: cuts.iter().filter(there).collect(),
            outer,
            error: SHARES.1 * wide * long,
        };
        let same = here.metal.iter().chain(&here.cuts).all(|seen| seen.same_throughout);
        let part = if same {
            let section = here.area(f64::midpoint(from, to));
            Sum { value: section.value * (to - from), error: section.error * (to - from) }
        } else {
            let error = SHARES.0 * wide * long * deep + SHARES.1 * wide * long * (to - from);
            sum(&mut |at| here.area(at), &[from, to], error)
        };
        total = Sum { value: total.value + part.value, error: total.error + part.error };
    }
    // Where the rim of a cut runs along a panel the rule's own estimate falls short.
    Volume { mm3: total.value, error_mm3: SAFELY * total.error }
}

/// A piece, and what the sections need of it.
struct Seen<'a> {
    piece: &'a Piece,
    /// From where to where it stands along the outer direction.
    deep: [f64; 2],
    /// From where to where up the section, over all of its depth.
    high: [f64; 2],
    /// True when every section of it is the same.
    same_throughout: bool,
}

impl<'a> Seen<'a> {
    fn new(piece: &'a Piece, outer: Outer) -> Self {
        let [least, most] = piece.bounds();
        let out = outer.way();
        let along = |way: Spot| way.cross(out).norm_mm() < 1e-12;
        let same_throughout = match piece {
            Piece::Convex(Convex::Round(round)) => {
                round.from_radius_mm == round.to_radius_mm && round.axis().is_some_and(along)
            }
            Piece::Convex(Convex::Prism(prism)) => along(prism.frame.w),
            Piece::Extruded { .. } => outer == Outer::Z,
            Piece::Ring(ring) => along(ring.frame.w),
        };
        // Of a ring the directions without end are never the outer one.
        let deep = [least, most].map(|at| match outer {
            Outer::X => at.x_mm,
            Outer::Z => at.z_mm,
        });
        Self { piece, deep, high: [least.y_mm, most.y_mm], same_throughout }
    }

    /// Where up the section at a depth the piece begins, ends or turns a corner.
    fn marks(&self, outer: Outer, at: f64, marks: &mut Vec<f64>) {
        match self.piece {
            Piece::Convex(convex) if self.same_throughout => {
                marks.extend(self.high);
                if let Convex::Prism(prism) = convex {
                    let corners = prism.plan.corners().iter();
                    marks.extend(corners.map(|c| prism.frame.place(c.x_mm, c.y_mm, 0.0).y_mm));
                }
            }
            Piece::Convex(convex) => {
                marks.extend([Spot::Y, -Spot::Y].into_iter().filter_map(|up| {
                    let reach = reach_in_section(convex, up, outer.way(), at);
                    reach.is_finite().then_some(reach * up.y_mm)
                }));
            }
            Piece::Extruded { outline, .. } => {
                for segment in outline.segments() {
                    marks.push(segment.start().y_mm);
                    if let Segment::Arc(arc) = segment {
                        marks.extend([1.0, -1.0].map(|sign| arc.centre.y_mm + sign * arc.radius_mm));
                    }
                }
            }
            Piece::Ring(ring) => {
                let centre = ring.frame.origin.y_mm;
                for radius in [ring.inner_mm, ring.outer_mm] {
                    marks.extend([centre - radius, centre + radius].into_iter().filter(|y| y.is_finite()));
                }
            }
        }
    }
}

/// What stands in a stretch of sections.
struct Section<'a> {
    metal: Vec<&'a Seen<'a>>,
    cuts: Vec<&'a Seen<'a>>,
    outer: Outer,
    error: f64,
}

impl Section<'_> {
    fn area(&self, at: f64) -> Sum {
        let bound = |side: usize, pick: fn(f64, f64) -> f64| {
            self.metal.iter().map(|seen| seen.high[side]).reduce(pick)
        };
        let (Some(low), Some(high)) = (bound(0, f64::min), bound(1, f64::max)) else { return Sum::default() };
        let mut marks = vec![low, high];
        self.metal.iter().chain(&self.cuts).for_each(|seen| seen.marks(self.outer, at, &mut marks));
        marks.retain(|mark| (low..=high).contains(mark));
        tidy(&mut marks);
        let mut spans = [Vec::new(), Vec::new()];
        let mut of = |y: f64| {
            let start = self.outer.way().times(at) + Spot::Y.times(y);
            for (spans, pieces) in spans.iter_mut().zip([&self.metal, &self.cuts]) {
                spans.clear();
                for seen in pieces.iter().filter(|seen| seen.high[0] < y && y < seen.high[1]) {
                    seen.piece.spans(start, self.outer.line(), spans);
                }
            }
            let [metal, cuts] = &mut spans;
            Sum { value: Body::left_mm(metal, cuts), error: 0.0 }
        };
        sum(&mut of, &marks, self.error)
    }
}

/// How far a solid reaches in one direction within the plane where it stands `at`
/// along another: the least, over all slants, of what the slanted direction allows.
fn reach_in_section(convex: &Convex, up: Spot, out: Spot, at: f64) -> f64 {
    const SHARE: f64 = 0.618_033_988_749_894_8;
    let allowed = |slant: f64| {
        let (sin, cos) = slant.sin_cos();
        (convex.reach_mm(up.times(cos) + out.times(sin)) - sin * at) / cos
    };
    let (mut low, mut high) = (-1.57, 1.57);
    let (mut a, mut b) = (high - SHARE * (high - low), low + SHARE * (high - low));
    let (mut at_a, mut at_b) = (allowed(a), allowed(b));
    // The value is known far better than the slant: its square root of f64's grain.
    while high - low > 1e-8 {
        if at_a <= at_b {
            (high, b, at_b) = (b, a, at_a);
            a = high - SHARE * (high - low);
            at_a = allowed(a);
        } else {
            (low, a, at_a) = (a, b, at_b);
            b = low + SHARE * (high - low);
            at_b = allowed(b);
        }
    }
    at_a.min(at_b)
}

fn whole(pieces: &[Piece]) -> Option<[Spot; 2]> {
    let join = |pick: fn(f64, f64) -> f64, a: Spot, b: Spot| {
        Spot::new(pick(a.x_mm, b.x_mm), pick(a.y_mm, b.y_mm), pick(a.z_mm, b.z_mm))
    };
    pieces.iter().map(Piece::bounds).reduce(|[a, b], [c, d]| [join(f64::min, a, c), join(f64::max, b, d)])
}

/// In order, and each but once.
fn tidy(marks: &mut Vec<f64>) {
    marks.sort_by(f64::total_cmp);
    marks.dedup_by(|a, b| (*a - *b).abs() < 1e-12);
}
