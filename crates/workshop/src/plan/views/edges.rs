//! Every line that might be an edge of a part: the rims, corners and sides of its
//! pieces, and where they run into each other. Which of them are there, and which
//! are hidden, is asked in [`super::sight`].

mod meeting;
mod trace;

use std::f64::consts::FRAC_PI_2;

use meeting::{crossed, ended, ends_crossed};
use trace::trace;

use super::enclosed::Enclosed;
use super::region::{Region, Shares, heading, shares_at};
use super::solid::{Form, HAIR_MM, Piece, Solid, Spot, plane, raised};
use crate::drawing::{Axis, FeatureId};
use crate::geometry::{Point, SAME_POINT_MM, Segment};

/// A line in space that might be an edge.
#[derive(Clone, Debug)]
pub(super) struct Edge {
    pub of: Option<FeatureId>,
    /// The piece whose side it is, by number, metal first.
    pub on: Option<usize>,
    pub course: Course,
    /// The corners of the box round it.
    pub bounds: [Spot; 2],
    pub sort: Sort,
}

impl Edge {
    /// One that is of no one piece so far.
    fn new(of: Option<FeatureId>, course: Course, sort: Sort) -> Self {
        Self { of, on: None, bounds: course.bounds(), course, sort }
    }
}

/// Where a line runs.
#[derive(Clone, Debug)]
pub(super) enum Course {
    /// Over a line or arc of a plane, at heights along the axis square to it: one
    /// height, or several with the share of the way at which each is reached.
    Over { axis: Axis, plan: Segment, heights: Vec<(f64, f64)> },
    /// Straight.
    Straight { from: Spot, to: Spot },
}

/// What has to be so for a line to be an edge.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Sort {
    /// Two faces meet at it.
    Rim,
    /// It was followed on the metal itself.
    Traced,
    /// A corner of a shape that stands along this axis.
    Corner(Axis),
    /// The same, at a place found from two pieces: no edge where one face runs on.
    Crossing(Axis),
    /// A round face turns away from the reader there, when seen across this axis.
    Side(Axis),
}

/// Every line of a solid that might be an edge.
pub(super) fn edges(solid: &Solid, enclosed: &Enclosed) -> Vec<Edge> {
    let mut edges = Vec::new();
    let pieces: Vec<&Piece> = solid.pieces().collect();
    for (n, piece) in pieces.iter().enumerate() {
        let first = edges.len();
        let mut here: Vec<usize> = (0..pieces.len()).filter(|&m| pieces[m].near(piece)).collect();
        let near: Vec<&Piece> = here.iter().filter(|&&m| m != n).map(|&m| pieces[m]).collect();
        here.retain(|&m| !enclosed.parts(n, m));
        match &piece.form {
            Form::Prism(region) => {
                let here = solid.only(&here);
                prism(&here, piece, region, &near, n < solid.metal.len(), &mut edges);
            }
            Form::Cone { centre, .. } => cone(piece, *centre, &near, &mut edges),
        }
        edges[first..].iter_mut().for_each(|edge| edge.on = Some(n));
        for other in &pieces[n + 1..] {
            if !other.near(piece) {
                continue;
            }
            if other.axis == piece.axis {
                crossed(piece, other, &mut edges);
            } else {
                ended(piece, other, &mut edges);
                ended(other, piece, &mut edges);
                ends_crossed(piece, other, &mut edges);
            }
        }
    }
    edges
}

/// The heights at which pieces along the same axis end, within one of them.
fn levels(piece: &Piece, near: &[&Piece]) -> Vec<f64> {
    let others = near.iter().filter(|q| q.axis == piece.axis).flat_map(|q| [q.from_mm, q.to_mm]);
    let mut levels: Vec<f64> = [piece.from_mm, piece.to_mm]
        .into_iter()
        .chain(others)
        .filter(|h| *h >= piece.from_mm && *h <= piece.to_mm)
        .collect();
    once(&mut levels);
    levels
}

fn once(heights: &mut Vec<f64>) {
    heights.sort_by(f64::total_cmp);
    heights.dedup_by(|a, b| (*a - *b).abs() < SAME_POINT_MM);
}

fn prism(
    solid: &Solid<&Piece>,
    piece: &Piece,
    region: &Region,
    near: &[&Piece],
    is_metal: bool,
    edges: &mut Vec<Edge>,
) {
    let axis = piece.axis;
    let of = piece.of;
    let own_levels = levels(piece, near);
    for plan in &region.pieces {
        let traced = trace(solid, piece, region, plan, near, is_metal);
        let mut heights = own_levels.clone();
        heights.extend(&traced.levels);
        heights.retain(|height| solid.reaches(axis, *height));
        once(&mut heights);
        edges.extend(heights.into_iter().map(|height| {
            Edge::new(of, Course::Over { axis, plan: *plan, heights: vec![(0.0, height)] }, Sort::Rim)
        }));
        edges.extend(
            traced
                .rising
                .into_iter()
                .map(|heights| Edge::new(of, Course::Over { axis, plan: *plan, heights }, Sort::Traced)),
        );
    }
    let mut upright = |at: Point, sort: Sort| {
        let (from, to) = (raised(at, axis, piece.from_mm), raised(at, axis, piece.to_mm));
        edges.push(Edge::new(of, Course::Straight { from, to }, sort));
    };
    for plan in &region.pieces {
        let next = region.pieces.iter().find(|next| next.start().distance_mm(plan.end()) < SAME_POINT_MM);
        if next.is_none_or(|next| bends(plan, next)) {
            upright(plan.end(), Sort::Corner(axis));
        }
        let Segment::Arc(arc) = plan else { continue };
        for (rad, at) in [(arc.start_rad, arc.start()), (arc.end_rad(), arc.end())] {
            let quarters = rad / FRAC_PI_2;
            if (quarters - quarters.round()).abs() < 1e-6 {
                let level = quarters.round().rem_euclid(2.0) == 0.0;
                // The next quarter of the same circle says it too.
                let said = rad == arc.end_rad()
                    && matches!(next, Some(Segment::Arc(next)) if next.centre.distance_mm(arc.centre) < SAME_POINT_MM);
                if !said {
                    upright(at, Sort::Side(plane(axis)[if level { 0 } else { 1 }]));
                }
            }
        }
    }
}

/// True when one segment does not run on into the next.
fn bends(one: &Segment, next: &Segment) -> bool {
    /// Less than a degree is a rounding of tangency.
    const SLIGHT_RAD: f64 = 0.01;
    let (into, out) = (heading(one, 1.0), heading(next, 0.0));
    into.cross(out).atan2(into.dot(out)).abs() > SLIGHT_RAD
}

fn cone(piece: &Piece, centre: Point, near: &[&Piece], edges: &mut Vec<Edge>) {
    let (axis, of) = (piece.axis, piece.of);
    let radius = |height: f64| piece.radius_at(height).unwrap_or_default();
    // Where a hole on the same axis is as wide as the cone.
    let meets = near.iter().filter(|q| q.axis == axis).filter_map(|q| {
        let Form::Prism(region) = &q.form else { return None };
        let Some(Segment::Arc(arc)) = region.pieces.first() else { return None };
        let (a, b) = (radius(piece.from_mm), radius(piece.to_mm));
        let share = (arc.radius_mm - a) / (b - a);
        (arc.centre.distance_mm(centre) < SAME_POINT_MM && share > 0.0 && share < 1.0)
            .then_some(piece.from_mm + (piece.to_mm - piece.from_mm) * share)
    });
    let mut heights = levels(piece, near);
    heights.extend(meets);
    // The faces that stand square to it, of whatever they are part.
    let faces = near.iter().flat_map(|q| [q.least[axis as usize], q.most[axis as usize]]);
    heights.extend(faces.filter(|h| *h > piece.from_mm && *h < piece.to_mm));
    once(&mut heights);
    for height in heights {
        if radius(height) > HAIR_MM {
            edges.extend(Region::circle(centre, radius(height)).pieces.into_iter().map(|plan| {
                Edge::new(of, Course::Over { axis, plan, heights: vec![(0.0, height)] }, Sort::Rim)
            }));
        }
    }
    for quarter in 0..4 {
        let at =
            |height: f64| raised(centre.polar(radius(height), f64::from(quarter) * FRAC_PI_2), axis, height);
        let sort = Sort::Side(plane(axis)[quarter as usize % 2]);
        edges.push(Edge::new(of, Course::Straight { from: at(piece.from_mm), to: at(piece.to_mm) }, sort));
    }
}

impl Course {
    /// The spot at a share of the way.
    pub fn at(&self, share: f64) -> Spot {
        match self {
            Self::Over { axis, plan, heights } => raised(plan.along(share), *axis, height(heights, share)),
            Self::Straight { from, to } => [0, 1, 2].map(|k| from[k] + (to[k] - from[k]) * share),
        }
    }

    /// Which stretch of its way it has.
    pub fn ends(&self) -> [f64; 2] {
        match self {
            Self::Over { heights, .. } if heights.len() > 1 => [heights[0].0, heights[heights.len() - 1].0],
            _ => [0.0, 1.0],
        }
    }

    /// The corners of the box round it.
    fn bounds(&self) -> [Spot; 2] {
        match self {
            Self::Over { axis, plan, heights } => {
                let low = heights.iter().map(|h| h.1).fold(f64::INFINITY, f64::min);
                let high = heights.iter().map(|h| h.1).fold(f64::NEG_INFINITY, f64::max);
                let bounds = plan.bounds();
                [raised(bounds.least, *axis, low), raised(bounds.most, *axis, high)]
            }
            Self::Straight { from, to } => {
                [[0, 1, 2].map(|k| from[k].min(to[k])), [0, 1, 2].map(|k| from[k].max(to[k]))]
            }
        }
    }

    /// The axis that it runs along, where it runs straight along one.
    pub fn axis(&self) -> Option<Axis> {
        let (from, to) = match self {
            Self::Over { heights, .. } if heights.len() > 1 => return None,
            Self::Over { plan: Segment::Arc(_), .. } => return None,
            Self::Over { .. } => (self.at(0.0), self.at(1.0)),
            Self::Straight { from, to } => (*from, *to),
        };
        let runs = |axis: &Axis| from[*axis as usize] != to[*axis as usize];
        let mut axes = [Axis::X, Axis::Y, Axis::Z].into_iter().filter(runs);
        axes.next().filter(|_| axes.next().is_none())
    }

    /// The ends of a stretch of the way, where they are the corners of the box round it.
    pub fn stretch(&self, low: f64, high: f64) -> Option<[Spot; 2]> {
        self.is_boxed().then(|| [self.at(low), self.at(high)])
    }

    /// True when the ends of every stretch are the corners of the box round it.
    pub fn is_boxed(&self) -> bool {
        !matches!(self, Self::Over { heights, .. } if heights.len() > 1)
    }

    /// The shares of the way at which a coordinate has a value.
    pub fn shares_at(&self, axis: Axis, value_mm: f64) -> Shares {
        match self {
            Self::Over { axis: own, plan, .. } => {
                let [u, v] = plane(*own);
                if axis == u {
                    shares_at(plan, value_mm, false)
                } else if axis == v {
                    shares_at(plan, value_mm, true)
                } else {
                    Shares::new()
                }
            }
            Self::Straight { from, to } => {
                let run = to[axis as usize] - from[axis as usize];
                (run.abs() >= 1e-12).then(|| (value_mm - from[axis as usize]) / run).into_iter().collect()
            }
        }
    }
}

/// The height at a share of the way, between those that are known.
pub(super) fn height(heights: &[(f64, f64)], share: f64) -> f64 {
    let after = heights.partition_point(|(s, _)| *s <= share);
    match (after.checked_sub(1).map(|n| heights[n]), heights.get(after)) {
        (Some((s, h)), Some(&(t, k))) => h + (k - h) * (share - s) / (t - s),
        (Some((_, h)), None) | (None, Some(&(_, h))) => h,
        (None, None) => 0.0,
    }
}

/// Eight directions, none along an axis nor half-way between two: the sine and the cosine
/// of an eighth of half a turn.
const ROUND: [(f64, f64); 8] = {
    const SIN: f64 = 0.382_683_432_365_089_8;
    const COS: f64 = 0.923_879_532_511_286_7;
    [(COS, SIN), (SIN, COS), (-SIN, COS), (-COS, SIN), (-COS, -SIN), (-SIN, -COS), (SIN, -COS), (COS, -SIN)]
};

/// True when a line is an edge of the metal at a share of its way, where that spot is.
pub(super) fn is_edge(solid: &Solid<&Piece>, edge: &Edge, share: f64, spot: Spot) -> bool {
    let off = |by: Spot| solid.contains([0, 1, 2].map(|k| spot[k] + by[k] * HAIR_MM));
    match (edge.sort, &edge.course) {
        (Sort::Traced, _) => true,
        (Sort::Rim, Course::Over { axis, plan, .. }) => {
            let normal = match plan {
                Segment::Line(_) => heading(plan, share).rotated(FRAC_PI_2),
                Segment::Arc(arc) => {
                    (super::solid::flat(spot, *axis) - arc.centre).times(1.0 / arc.radius_mm)
                }
            };
            // Not as far along as out, or it would lie on a face that slants at 45°.
            let quarter = |out: f64, up: f64| off(raised(normal.times(out), *axis, up * 0.37));
            match [quarter(1.0, 1.0), quarter(1.0, -1.0), quarter(-1.0, -1.0), quarter(-1.0, 1.0)] {
                // One quarter of metal or of air, or two that touch at the edge alone.
                [true, false, true, false] | [false, true, false, true] => true,
                quarters => quarters.iter().filter(|q| **q).count() % 2 == 1,
            }
        }
        (Sort::Corner(axis) | Sort::Crossing(axis), _) => {
            let round = ROUND.map(|(x, y)| off(raised(Point::new(x, y), axis, 0.0)));
            let metal = round.iter().filter(|metal| **metal).count();
            let changes = (0..8).filter(|&n| round[n] != round[(n + 1) % 8]).count();
            // Half of it metal, all on one side, is a face that runs straight on.
            let flat = metal == 4 && changes == 2;
            changes > 0 && !(flat && matches!(edge.sort, Sort::Crossing(_)))
        }
        (Sort::Side(across), _) => {
            let mut way = [0.0; 3];
            way[across as usize] = 1.0;
            off(way) != off(way.map(|w: f64| -w))
        }
        (Sort::Rim, Course::Straight { .. }) => false,
    }
}
