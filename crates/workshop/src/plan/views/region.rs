//! Areas of a plane between lines and arcs, as the pieces of a part are laid out in
//! the plane square to their axis.

use std::f64::consts::{FRAC_PI_2, PI, TAU};

use smallvec::SmallVec;

use crate::geometry::{Arc, Bounds, Line, Point, Segment};

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
    /// All that its bounds hold, and nothing else.
    pub is_box: bool,
    /// Nowhere hollow: no side of it stands before another.
    pub is_convex: bool,
}

impl Region {
    pub fn new(lines: impl IntoIterator<Item = Segment>) -> Self {
        let pieces: Vec<Segment> = lines.into_iter().flat_map(one_way).collect();
        let bounds = pieces.iter().map(Segment::bounds).reduce(|a, b| a.including(b.least).including(b.most));
        /// Finer than anything that is measured, coarser than rounding.
        const GRID: f64 = 1e9;
        let on_grid = |p: Point| Point::new((p.x_mm * GRID).round() / GRID, (p.y_mm * GRID).round() / GRID);
        let ends = pieces.iter().map(|piece| [on_grid(piece.start()), on_grid(piece.end())]).collect();
        let square = |piece: &Segment| match piece {
            Segment::Line(Line { start, end }) => start.x_mm == end.x_mm || start.y_mm == end.y_mm,
            Segment::Arc(_) => false,
        };
        let is_box = pieces.len() == 4 && pieces.iter().all(square);
        let is_convex = is_convex(&pieces);
        Self { bounds: bounds.unwrap_or(Bounds::of(Point::ORIGIN)), ends, pieces, is_box, is_convex }
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
    pub fn crossed(&self, at_mm: f64, upwards: bool) -> SmallVec<[f64; 4]> {
        let cross = |(piece, ends): (&Segment, &[Point; 2])| {
            if upwards { up(piece, *ends, at_mm) } else { across(piece, *ends, at_mm) }
        };
        let mut found: SmallVec<[f64; 4]> = self.pieces.iter().zip(&self.ends).filter_map(cross).collect();
        found.sort_by(f64::total_cmp);
        found
    }
}

/// True for one closed line that turns one way only, once round.
fn is_convex(pieces: &[Segment]) -> bool {
    /// Less than this is a rounding of running straight on.
    const SLIGHT: f64 = 1e-9;
    let next = pieces.iter().cycle().skip(1);
    let mut turns_rad = 0.0;
    let (mut left, mut right) = (false, false);
    for (piece, next) in pieces.iter().zip(next) {
        let (into, out) = (heading(piece, 1.0), heading(next, 0.0));
        let corner_rad = into.cross(out).atan2(into.dot(out));
        let bend_rad = if let Segment::Arc(arc) = piece { arc.sweep_rad } else { 0.0 };
        for rad in [corner_rad, bend_rad] {
            left |= rad > SLIGHT;
            right |= rad < -SLIGHT;
            turns_rad += rad;
        }
    }
    left != right && (f64::abs(turns_rad) - TAU).abs() < 1e-6
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

/// The direction in which a segment runs at a share of its way.
pub(super) fn heading(segment: &Segment, share: f64) -> Point {
    match segment {
        Segment::Line(line) => {
            let way = line.end - line.start;
            way.times(1.0 / way.norm_mm())
        }
        Segment::Arc(arc) => {
            let rad = arc.start_rad + arc.sweep_rad * share + FRAC_PI_2 * arc.sweep_rad.signum();
            Point::ORIGIN.polar(1.0, rad)
        }
    }
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

/// Shares of a way: two at the most.
pub(super) type Shares = SmallVec<[f64; 2]>;

/// Where along a segment, nought to one, one of its coordinates has a value.
pub(super) fn shares_at(segment: &Segment, value_mm: f64, upwards: bool) -> Shares {
    let of = |p: Point| if upwards { p.y_mm } else { p.x_mm };
    match segment {
        Segment::Line(Line { start, end }) => {
            let run = of(*end) - of(*start);
            (run.abs() >= 1e-12).then(|| (value_mm - of(*start)) / run).into_iter().collect()
        }
        Segment::Arc(arc) => {
            let ratio = (value_mm - of(arc.centre)) / arc.radius_mm;
            if ratio.abs() > 1.0 {
                return Shares::new();
            }
            let directions =
                if upwards { [ratio.asin(), PI - ratio.asin()] } else { [ratio.acos(), -ratio.acos()] };
            directions
                .map(|rad| {
                    let turned = (rad - arc.start_rad) * arc.sweep_rad.signum();
                    turned.rem_euclid(TAU) / arc.sweep_rad.abs()
                })
                .into()
        }
    }
}
