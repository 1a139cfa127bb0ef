//! The place of a point, line, triangle or tetrahedron nearest to the origin.

use super::Spot;

/// A corner of a simplex: a place of the difference of two solids, and the places
/// of the two that it comes from.
#[derive(Clone, Copy, Debug)]
pub(super) struct Corner {
    pub(super) at: Spot,
    pub(super) on_first: Spot,
    pub(super) on_second: Spot,
}

/// Where the origin may be.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Origin {
    /// A plane is known that parts it from the whole solid.
    Outside,
    /// Nothing is known yet.
    Anywhere,
}

/// Corners are never more than this: a tetrahedron has four.
const MOST: usize = 4;

/// One to four corners with the share of each in the nearest place.
#[derive(Clone, Copy, Debug)]
pub(super) struct Simplex {
    /// Those beyond `count` say nothing.
    corners: [(Corner, f64); MOST],
    count: usize,
}

impl Simplex {
    /// One corner.
    pub(super) const fn at(corner: Corner) -> Self {
        Self { corners: [(corner, 1.0); MOST], count: 1 }
    }

    /// The nearest place itself.
    pub(super) fn nearest(&self) -> Spot {
        self.sum(|corner| corner.at)
    }

    /// The same mixture of the places it comes from.
    pub(super) fn sum(&self, of: impl Fn(&Corner) -> Spot) -> Spot {
        let corners = &self.corners[..self.count];
        corners.iter().fold(Spot::ORIGIN, |sum, (corner, share)| sum + of(corner).times(*share))
    }

    /// With one more corner, cut down to those that hold the nearest place. `None`
    /// when the origin lies inside all four, unless it is known to lie outside.
    pub(super) fn with(&self, corner: Corner, origin: Origin) -> Option<Self> {
        let mut corners = [corner; MOST];
        for (own, (known, _)) in corners.iter_mut().zip(&self.corners[..self.count]) {
            *own = *known;
        }
        // Three at most hold the nearest place, so that there is room for one more.
        let corners = &corners[..self.count + 1];
        if origin == Origin::Anywhere && encloses(corners) {
            return None;
        }
        let shares = nearest(corners);
        let mut kept = Self { corners: [(corner, 0.0); MOST], count: 0 };
        for (&corner, share) in corners.iter().zip(shares).filter(|&(_, share)| share > 0.0) {
            kept.corners[kept.count] = (corner, share);
            kept.count += 1;
        }
        Some(kept)
    }
}

/// The shares of the corners in the place nearest to the origin: the nearest of what
/// every one, two and three of them hold. That looks at more than is needed, but holds
/// where corners nearly coincide or lie nearly in line.
fn nearest(corners: &[Corner]) -> [f64; MOST] {
    let mut best = (f64::INFINITY, [0.0; MOST]);
    let mut offer = |on: &[usize], shares: &[f64]| {
        let at =
            on.iter().zip(shares).fold(Spot::ORIGIN, |sum, (&i, &share)| sum + corners[i].at.times(share));
        let norm_mm = at.norm_mm();
        if norm_mm < best.0 {
            let mut all = [0.0; MOST];
            on.iter().zip(shares).for_each(|(&i, &share)| all[i] = share);
            best = (norm_mm, all);
        }
    };
    let count = corners.len();
    for i in 0..count {
        offer(&[i], &[1.0]);
        for j in i + 1..count {
            if let Some(shares) = line(corners[i].at, corners[j].at) {
                offer(&[i, j], &shares);
            }
            for k in j + 1..count {
                if let Some(shares) = triangle(corners[i].at, corners[j].at, corners[k].at) {
                    offer(&[i, j, k], &shares);
                }
            }
        }
    }
    best.1
}

/// The shares of two places in the foot of the origin on the line between them, where
/// it falls between.
fn line(a: Spot, b: Spot) -> Option<[f64; 2]> {
    let along = b - a;
    let share = -a.dot(along) / along.dot(along);
    (share > 0.0 && share < 1.0).then_some([1.0 - share, share])
}

/// The shares of three places in the foot of the origin on their plane, where it falls
/// within.
fn triangle(a: Spot, b: Spot, c: Spot) -> Option<[f64; 3]> {
    let square = (b - a).cross(c - a);
    let size = square.dot(square);
    let foot = square.times(a.dot(square) / size);
    let share = |p: Spot, q: Spot| (p - foot).cross(q - foot).dot(square) / size;
    let shares = [share(b, c), share(c, a), share(a, b)];
    // Three in a line have no plane: their shares are no numbers, and none is above nought.
    let whole: f64 = shares.iter().sum();
    shares.iter().all(|&share| share > 0.0).then(|| shares.map(|share| share / whole))
}

/// True when four places enclose the origin.
fn encloses(corners: &[Corner]) -> bool {
    let [a, b, c, d] = corners else { return false };
    let faces = [[a, b, c, d], [a, c, d, b], [a, d, b, c], [b, d, c, a]];
    faces.into_iter().all(|[p, q, r, across]| {
        let square = (q.at - p.at).cross(r.at - p.at);
        let (own, origin) = ((across.at - p.at).dot(square), -p.at.dot(square));
        own * origin > 0.0
    })
}
