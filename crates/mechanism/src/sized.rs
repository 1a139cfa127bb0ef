//! The sizes of a mechanism worked out: points in their links' own coordinates.

use crate::describe::{At, Line, Mechanism, PointId, Size};
use crate::fault::Fault;
use crate::num::{Field, Num};
use crate::rows::Rows;

/// Local points, directions of lines and plain sizes, numbered as [`Rows`] numbers them.
#[derive(Clone, Debug)]
pub(crate) struct Sized<S> {
    pub points: Vec<[S; 2]>,
    pub dirs: Vec<[S; 2]>,
    pub sizes: Vec<S>,
}

impl Sized<f64> {
    /// The same numbers as another kind of number, taken as exact.
    pub fn lift<S: Num>(&self) -> Sized<S> {
        let two = |from: &Vec<[f64; 2]>| from.iter().map(|v| [S::of(v[0]), S::of(v[1])]).collect();
        Sized {
            points: two(&self.points),
            dirs: two(&self.dirs),
            sizes: self.sizes.iter().map(|&v| S::of(v)).collect(),
        }
    }
}

pub(crate) fn size<S: Field>(size: &Size, params: &[S]) -> S {
    size.terms.iter().fold(S::of(size.plus), |sum, &(p, by)| sum + params[p.0] * S::of(by))
}

/// Works every size out for these values of the parameters.
pub(crate) fn sized<S: Field>(of: &Mechanism, rows: &Rows, params: &[S]) -> Result<Sized<S>, Fault> {
    let mut points: Vec<[S; 2]> = Vec::with_capacity(rows.points);
    for (l, link) in of.links.iter().enumerate() {
        for (p, point) in link.points.iter().enumerate() {
            let origin = |from: &Option<PointId>| match from {
                Some(from) => points[rows.at(*from)],
                None => [S::of(0.0); 2],
            };
            let place = match &point.at {
                At::Square { from, x, y } => {
                    let o = origin(from);
                    [o[0] + size(x, params), o[1] + size(y, params)]
                }
                At::Polar { from, length, angle } => {
                    let o = origin(from);
                    let (s, c) = size(angle, params).sin_cos();
                    let r = size(length, params);
                    [o[0] + r * c, o[1] + r * s]
                }
                At::Reach { a, b, from_a, from_b, side } => {
                    let (pa, pb) = (points[rows.at(*a)], points[rows.at(*b)]);
                    let (ra, rb) = (size(from_a, params), size(from_b, params));
                    let d = [pb[0] - pa[0], pb[1] - pa[1]];
                    let far = d[0] * d[0] + d[1] * d[1];
                    let (r1, r2, dd) = (ra.value(), rb.value(), far.value().sqrt());
                    let name = of.point_name(PointId { link: crate::LinkId(l), point: p });
                    if !(r1 > 0.0 && r2 > 0.0 && dd > 0.0 && r1 + r2 > dd && (r1 - r2).abs() < dd) {
                        return Err(Fault::new(
                            format!(
                                "{name} cannot lie {r1:.4} mm and {r2:.4} mm from two points {dd:.4} mm apart"
                            ),
                            vec![name, of.point_name(*a), of.point_name(*b)],
                            "the two distances and the one between the points must make a triangle",
                            "mend one of the three distances",
                        ));
                    }
                    let half = S::of(0.5);
                    let t = (ra * ra - rb * rb + far) * far.recip() * half;
                    let h = (ra * ra * far.recip() - t * t).sqrt() * S::of(side.sign());
                    [pa[0] + d[0] * t - d[1] * h, pa[1] + d[1] * t + d[0] * h]
                }
            };
            points.push(place);
        }
    }
    let mut dirs = Vec::with_capacity(rows.dirs.len());
    for line in &rows.dirs {
        dirs.push(match line {
            Line::At(_, angle) => {
                let (s, c) = size(angle, params).sin_cos();
                [c, s]
            }
            Line::Between(a, b) => {
                let (pa, pb) = (points[rows.at(*a)], points[rows.at(*b)]);
                let d = [pb[0] - pa[0], pb[1] - pa[1]];
                let long = (d[0] * d[0] + d[1] * d[1]).sqrt();
                if long.value() < 1e-9 {
                    return Err(Fault::new(
                        "a line has no direction",
                        vec![of.point_name(*a), of.point_name(*b)],
                        "it runs between two points that lie in one place",
                        "give two points that lie apart, or the line's angle",
                    ));
                }
                let one = long.recip();
                [d[0] * one, d[1] * one]
            }
        });
    }
    let sizes: Vec<S> = rows.sizes.iter().map(|s| size(s, params)).collect();
    for &(index, ref name) in &rows.above_nought {
        let radius = sizes[index].value();
        if radius.is_nan() || radius <= 0.0 {
            return Err(Fault::new(
                format!("{name} has a radius of {radius:.4} mm"),
                vec![name.clone()],
                "a curved slot needs a radius above nought",
                "give the radius of the slot's centre line",
            ));
        }
    }
    Ok(Sized { points, dirs, sizes })
}
