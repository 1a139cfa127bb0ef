//! The place of a point, line, triangle or tetrahedron nearest to the origin.
//!
//! Source: C. Ericson, *Real-Time Collision Detection* (2005), section 5.1.

use super::Spot;

/// A corner of a simplex: a place of the difference of two solids, and the places
/// of the two that it comes from.
#[derive(Clone, Copy, Debug)]
pub(super) struct Corner {
    pub(super) at: Spot,
    pub(super) on_first: Spot,
    pub(super) on_second: Spot,
}

/// One to four corners with the share of each in the nearest place.
#[derive(Clone, Debug)]
pub(super) struct Simplex {
    pub(super) corners: Vec<(Corner, f64)>,
}

impl Simplex {
    /// The nearest place itself.
    pub(super) fn nearest(&self) -> Spot {
        self.sum(|corner| corner.at)
    }

    /// The same mixture of the places it comes from.
    pub(super) fn sum(&self, of: impl Fn(&Corner) -> Spot) -> Spot {
        self.corners.iter().fold(Spot::ORIGIN, |sum, (corner, share)| sum + of(corner).times(*share))
    }

    /// With one more corner, cut down to those that hold the nearest place. `None`
    /// when the origin lies inside all four.
    pub(super) fn with(&self, corner: Corner) -> Option<Self> {
        let mut corners: Vec<Corner> = self.corners.iter().map(|(corner, _)| *corner).collect();
        corners.push(corner);
        let shares = match corners.as_slice() {
            [_] => vec![1.0],
            [a, b] => line(a.at, b.at).to_vec(),
            [a, b, c] => triangle(a.at, b.at, c.at).to_vec(),
            [a, b, c, d] => tetrahedron([a.at, b.at, c.at, d.at])?.to_vec(),
            _ => unreachable!("a simplex is cut down before a fifth corner comes"),
        };
        let kept = corners.into_iter().zip(shares).filter(|&(_, share)| share > 0.0).collect();
        Some(Self { corners: kept })
    }
}

fn line(a: Spot, b: Spot) -> [f64; 2] {
    let along = b - a;
    let square = along.dot(along);
    let share = if square == 0.0 { 0.0 } else { (-a.dot(along) / square).clamp(0.0, 1.0) };
    [1.0 - share, share]
}

fn triangle(a: Spot, b: Spot, c: Spot) -> [f64; 3] {
    let (ab, ac) = (b - a, c - a);
    let (d1, d2) = (-ab.dot(a), -ac.dot(a));
    if d1 <= 0.0 && d2 <= 0.0 {
        return [1.0, 0.0, 0.0];
    }
    let (d3, d4) = (-ab.dot(b), -ac.dot(b));
    if d3 >= 0.0 && d4 <= d3 {
        return [0.0, 1.0, 0.0];
    }
    let vc = d1 * d4 - d3 * d2;
    if vc <= 0.0 && d1 >= 0.0 && d3 <= 0.0 {
        let [p, q] = line(a, b);
        return [p, q, 0.0];
    }
    let (d5, d6) = (-ab.dot(c), -ac.dot(c));
    if d6 >= 0.0 && d5 <= d6 {
        return [0.0, 0.0, 1.0];
    }
    let vb = d5 * d2 - d1 * d6;
    if vb <= 0.0 && d2 >= 0.0 && d6 <= 0.0 {
        let [p, q] = line(a, c);
        return [p, 0.0, q];
    }
    let va = d3 * d6 - d5 * d4;
    if va <= 0.0 && d4 - d3 >= 0.0 && d5 - d6 >= 0.0 {
        let [p, q] = line(b, c);
        return [0.0, p, q];
    }
    let whole = va + vb + vc;
    if whole <= 0.0 {
        // A triangle drawn out to a line: the nearest of its sides.
        let sides = [(line(a, b), [0, 1]), (line(a, c), [0, 2]), (line(b, c), [1, 2])];
        let corners = [a, b, c];
        let far = |(shares, on): &([f64; 2], [usize; 2])| {
            (corners[on[0]].times(shares[0]) + corners[on[1]].times(shares[1])).norm_mm()
        };
        let (shares, on) =
            sides.into_iter().min_by(|p, q| far(p).total_cmp(&far(q))).expect("there are three sides");
        let mut of = [0.0; 3];
        of[on[0]] = shares[0];
        of[on[1]] = shares[1];
        return of;
    }
    [va / whole, vb / whole, vc / whole]
}

fn tetrahedron(corners: [Spot; 4]) -> Option<[f64; 4]> {
    const FACES: [([usize; 3], usize); 4] = [([0, 1, 2], 3), ([0, 2, 3], 1), ([0, 3, 1], 2), ([1, 3, 2], 0)];
    let mut best: Option<(f64, [f64; 4])> = None;
    for (face, across) in FACES {
        let [a, b, c] = face.map(|i| corners[i]);
        let square = (b - a).cross(c - a);
        let own = (corners[across] - a).dot(square);
        let origin = -a.dot(square);
        // The origin is inside this face when it is on the side of the fourth corner;
        // with all four in a plane, every face is looked at.
        if own * origin > 0.0 {
            continue;
        }
        let shares = triangle(a, b, c);
        let at = a.times(shares[0]) + b.times(shares[1]) + c.times(shares[2]);
        let far = at.norm_mm();
        if best.as_ref().is_none_or(|(known, _)| far < *known) {
            let mut of = [0.0; 4];
            for (i, share) in face.into_iter().zip(shares) {
                of[i] = share;
            }
            best = Some((far, of));
        }
    }
    best.map(|(_, shares)| shares)
}
