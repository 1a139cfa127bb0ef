//! Convex shapes in a plane: what a straight-sided cut looks like along its axis.

use super::Span;
use crate::geometry::Point;

/// A convex shape in the plane of a frame.
#[derive(Clone, Debug, PartialEq)]
pub enum Plan {
    /// Corners anticlockwise, with a radius all round: one corner is a disc, two are
    /// a slot, four are a pocket; a radius of nought leaves them sharp.
    Rounded {
        /// At least one.
        corners: Vec<Point>,
        /// Not negative.
        radius_mm: f64,
    },
    /// A disc about the origin with a flat: all of it where u is at most `flat_mm`.
    Flatted {
        /// Of the disc.
        radius_mm: f64,
        /// How far out the flat stands: less than the radius either way.
        flat_mm: f64,
    },
}

impl Plan {
    /// A disc about the origin.
    pub fn disc(radius_mm: f64) -> Self {
        Self::Rounded { corners: vec![Point::ORIGIN], radius_mm }
    }

    /// A rectangle about the origin, turned anticlockwise, its corners rounded inside it.
    pub fn rectangle(width_mm: f64, height_mm: f64, corner_mm: f64, turned_rad: f64) -> Self {
        let corner_mm = corner_mm.min(width_mm / 2.0).min(height_mm / 2.0);
        let (x, y) = (width_mm / 2.0 - corner_mm, height_mm / 2.0 - corner_mm);
        let mut corners = Vec::new();
        for (across, up) in [(x, y), (-x, y), (-x, -y), (x, -y)] {
            let corner = Point::new(across, up).rotated(turned_rad);
            if corners.last() != Some(&corner) && corners.first() != Some(&corner) {
                corners.push(corner);
            }
        }
        Self::Rounded { corners, radius_mm: corner_mm }
    }

    /// The place furthest in a direction.
    pub fn furthest(&self, way: Point) -> Point {
        let norm = way.norm_mm();
        match self {
            Self::Rounded { corners, radius_mm } => {
                let corner = corners
                    .iter()
                    .copied()
                    .max_by(|a, b| a.dot(way).total_cmp(&b.dot(way)))
                    .expect("a plan has a corner");
                if norm == 0.0 { corner } else { corner + way.times(radius_mm / norm) }
            }
            Self::Flatted { radius_mm, flat_mm } => {
                let round = if norm == 0.0 { Point::ORIGIN } else { way.times(radius_mm / norm) };
                if round.x_mm <= *flat_mm {
                    return round;
                }
                let half = (radius_mm * radius_mm - flat_mm * flat_mm).max(0.0).sqrt();
                Point::new(*flat_mm, half.copysign(way.y_mm))
            }
        }
    }

    /// Where a line through `start` along `way` lies inside.
    pub fn span(&self, start: Point, way: Point) -> Option<Span> {
        match self {
            Self::Flatted { radius_mm, flat_mm } => {
                let flat = Span::where_between(start.x_mm, way.x_mm, f64::NEG_INFINITY, *flat_mm)?;
                disc(start, way, *radius_mm)?.shared(flat)
            }
            Self::Rounded { corners, radius_mm } => {
                // The shape is the union of a disc at each corner, a rectangle along
                // each side and what the corners enclose; a line crosses it once.
                let mut whole: Option<Span> = None;
                let mut add = |span: Option<Span>| {
                    if let Some(span) = span {
                        whole = Some(whole.map_or(span, |known| known.hull(span)));
                    }
                };
                if *radius_mm > 0.0 {
                    corners.iter().for_each(|&corner| add(disc(start - corner, way, *radius_mm)));
                    if corners.len() > 1 {
                        sides(corners).for_each(|(a, b)| add(band(start, way, a, b, *radius_mm)));
                    }
                }
                if corners.len() > 2 {
                    add(enclosed(start, way, corners));
                }
                whole
            }
        }
    }

    /// The corners that a rounded plan turns about; the origin of a flatted one.
    pub fn corners(&self) -> &[Point] {
        match self {
            Self::Rounded { corners, .. } => corners,
            Self::Flatted { .. } => &[Point::ORIGIN],
        }
    }
}

fn sides(corners: &[Point]) -> impl Iterator<Item = (Point, Point)> + '_ {
    corners.iter().enumerate().map(|(i, &a)| (a, corners[(i + 1) % corners.len()]))
}

fn disc(start: Point, way: Point, radius_mm: f64) -> Option<Span> {
    let c = start.dot(start) - radius_mm * radius_mm;
    Span::where_not_above(way.dot(way), 2.0 * start.dot(way), c)
}

/// The rectangle along a side, as wide as the radius both ways.
fn band(start: Point, way: Point, a: Point, b: Point, radius_mm: f64) -> Option<Span> {
    let length = a.distance_mm(b);
    if length == 0.0 {
        return None;
    }
    let along = (b - a).times(1.0 / length);
    let from = start - a;
    let lengthwise = Span::where_between(from.dot(along), way.dot(along), 0.0, length)?;
    let across = Span::where_between(along.cross(from), along.cross(way), -radius_mm, radius_mm)?;
    lengthwise.shared(across)
}

/// What convex corners, anticlockwise, enclose.
fn enclosed(start: Point, way: Point, corners: &[Point]) -> Option<Span> {
    sides(corners).try_fold(Span::ALL, |span, (a, b)| {
        let along = b - a;
        let inside = Span::where_between(along.cross(start - a), along.cross(way), 0.0, f64::INFINITY)?;
        span.shared(inside)
    })
}
