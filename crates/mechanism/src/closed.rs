//! Closed forms: circles crossed with circles and lines.
//!
//! Each crossing has two solutions, told apart by a side that is kept. `room` says how far
//! the two lie apart: the square of a sine, nought where they meet (a dead centre of the
//! pair) and below nought where the links do not reach.

/// A crossing found.
pub(crate) struct Crossing {
    pub at: [f64; 2],
    pub room: f64,
}

/// Room below nought by no more than this is taken as nought: some roundings of it.
pub(crate) const TOUCH: f64 = 4e-15;

/// Two circles; side 1 lies left of the direction from the first centre to the second.
#[inline]
pub(crate) fn circles(k1: [f64; 2], r1: f64, k2: [f64; 2], r2: f64, side: f64) -> Crossing {
    let d = [k2[0] - k1[0], k2[1] - k1[1]];
    let far = d[0] * d[0] + d[1] * d[1];
    let (sum, gap) = (r1 + r2, r1 - r2);
    let long = far.sqrt();
    // Heron's form keeps its digits where the links come into line.
    let area = (sum - long) * (sum + long) * (long - gap) * (long + gap);
    let room = area / (4.0 * r1 * r1 * r2 * r2);
    let half = 0.5 / far;
    let t = (far + gap * sum) * half;
    let h = side * area.max(0.0).sqrt() * half;
    Crossing { at: [k1[0] + d[0] * t - d[1] * h, k1[1] + d[1] * t + d[0] * h], room }
}

/// A circle and the line through `o` along the unit vector `u`; side 1 lies further along.
#[inline]
pub(crate) fn circle_line(k: [f64; 2], r: f64, o: [f64; 2], u: [f64; 2], side: f64) -> Crossing {
    let d = [k[0] - o[0], k[1] - o[1]];
    let off = u[0] * d[1] - u[1] * d[0];
    let foot = u[0] * d[0] + u[1] * d[1];
    let area = (r - off) * (r + off);
    let t = foot + side * area.max(0.0).sqrt();
    Crossing { at: [o[0] + u[0] * t, o[1] + u[1] * t], room: area / (r * r) }
}

/// The unit normal `n` of a line through a point `d` away, the line passing the origin at the
/// signed distance `h` along `n`.
#[inline]
pub(crate) fn normal_through(d: [f64; 2], h: f64, side: f64) -> Crossing {
    let far = d[0] * d[0] + d[1] * d[1];
    let long = far.sqrt();
    let area = (long - h) * (long + h);
    let w = side * area.max(0.0).sqrt();
    Crossing { at: [(h * d[0] - w * d[1]) / far, (h * d[1] + w * d[0]) / far], room: area / far }
}
