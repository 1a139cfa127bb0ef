//! Outlines carried by links: straight pieces and arcs, fattened, and how far two lie apart.

use std::f64::consts::TAU;

use crate::describe::LinkId;
use crate::rows::Pose;

/// A piece of an outline in its link's own coordinates, millimetres and radians.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Piece {
    /// From one place to another; one place alone where both are the same.
    Line {
        /// Where it begins.
        from: [f64; 2],
        /// Where it ends.
        to: [f64; 2],
    },
    /// About a centre, from an angle and round by a sweep: above nought against the clock.
    Arc {
        /// The centre.
        centre: [f64; 2],
        /// The radius.
        radius: f64,
        /// The angle at which it begins.
        from: f64,
        /// How far round it goes.
        sweep: f64,
    },
}

/// What a link takes up: pieces fattened to either side.
#[derive(Clone, Debug, PartialEq)]
pub struct Outline {
    /// The link that carries it; the frame for what stands still.
    pub link: LinkId,
    /// Its name.
    pub name: String,
    /// Its pieces.
    pub pieces: Vec<Piece>,
    /// How far the metal reaches to either side of the pieces: half the width of a rod drawn
    /// as its centre line, nought for a true outline.
    pub fat: f64,
    /// Whether the pieces close round metal, so that nothing may lie inside.
    pub solid: bool,
}

impl Outline {
    /// A straight bar of a width with round ends between two places of a link.
    pub fn bar(link: LinkId, name: impl Into<String>, from: [f64; 2], to: [f64; 2], width: f64) -> Self {
        let pieces = vec![Piece::Line { from, to }];
        Self { link, name: name.into(), pieces, fat: 0.5 * width, solid: false }
    }

    /// A disc on a link.
    pub fn disc(link: LinkId, name: impl Into<String>, centre: [f64; 2], diameter: f64) -> Self {
        Self::bar(link, name, centre, centre, diameter)
    }
}

fn minus(a: [f64; 2], b: [f64; 2]) -> [f64; 2] {
    [a[0] - b[0], a[1] - b[1]]
}

fn long(v: [f64; 2]) -> f64 {
    v[0].hypot(v[1])
}

fn at(centre: [f64; 2], radius: f64, angle: f64) -> [f64; 2] {
    let (s, c) = angle.sin_cos();
    [centre[0] + radius * c, centre[1] + radius * s]
}

impl Piece {
    /// The piece as its link stands.
    pub fn placed(&self, pose: &Pose<f64>) -> Self {
        match *self {
            Self::Line { from, to } => Self::Line { from: pose.place(from), to: pose.place(to) },
            Self::Arc { centre, radius, from, sweep } => {
                Self::Arc { centre: pose.place(centre), radius, from: from + pose.t, sweep }
            }
        }
    }

    /// A circle about it: centre and radius.
    pub fn around(&self) -> ([f64; 2], f64) {
        match *self {
            Self::Line { from, to } => {
                ([0.5 * (from[0] + to[0]), 0.5 * (from[1] + to[1])], 0.5 * long(minus(to, from)))
            }
            Self::Arc { centre, radius, .. } => (centre, radius),
        }
    }

    fn ends(&self) -> [[f64; 2]; 2] {
        match *self {
            Self::Line { from, to } => [from, to],
            Self::Arc { centre, radius, from, sweep } => {
                [at(centre, radius, from), at(centre, radius, from + sweep)]
            }
        }
    }

    /// Whether a direction from an arc's centre meets the arc.
    fn sweeps(from: f64, sweep: f64, angle: f64) -> bool {
        if sweep.abs() >= TAU {
            return true;
        }
        let on = if sweep >= 0.0 { (angle - from).rem_euclid(TAU) } else { (from - angle).rem_euclid(TAU) };
        // A hair's breadth more: an end counts as on the arc.
        on <= sweep.abs() + 1e-12 || TAU - on <= 1e-12
    }

    fn to_point(self, p: [f64; 2]) -> f64 {
        match self {
            Self::Line { from, to } => {
                let (d, q) = (minus(to, from), minus(p, from));
                let square = d[0] * d[0] + d[1] * d[1];
                let t =
                    if square > 0.0 { ((d[0] * q[0] + d[1] * q[1]) / square).clamp(0.0, 1.0) } else { 0.0 };
                long([q[0] - t * d[0], q[1] - t * d[1]])
            }
            Self::Arc { centre, radius, from, sweep } => {
                let q = minus(p, centre);
                if long(q) == 0.0 || Self::sweeps(from, sweep, q[1].atan2(q[0])) {
                    (long(q) - radius).abs()
                } else {
                    let [a, b] = self.ends();
                    long(minus(p, a)).min(long(minus(p, b)))
                }
            }
        }
    }

    /// How far two pieces lie apart: the least over ends, feet of perpendiculars and crossings.
    pub fn apart(&self, other: &Self) -> f64 {
        let ends = self.ends().map(|p| other.to_point(p)).into_iter();
        let ends = ends.chain(other.ends().map(|p| self.to_point(p)));
        let least = ends.fold(f64::INFINITY, f64::min);
        match (*self, *other) {
            (Self::Line { from: a, to: b }, Self::Line { from: c, to: d }) => {
                let round = |p: [f64; 2], q: [f64; 2], r: [f64; 2]| {
                    let (u, v) = (minus(q, p), minus(r, p));
                    u[0] * v[1] - u[1] * v[0]
                };
                let cross = round(a, b, c) * round(a, b, d) < 0.0 && round(c, d, a) * round(c, d, b) < 0.0;
                if cross { 0.0 } else { least }
            }
            (Self::Line { .. }, Self::Arc { .. }) => least.min(line_arc(self, other)),
            (Self::Arc { .. }, Self::Line { .. }) => least.min(line_arc(other, self)),
            (Self::Arc { .. }, Self::Arc { .. }) => least.min(arc_arc(self, other)),
        }
    }
}

/// The least of what meets square between a line and an arc, and of their crossings.
fn line_arc(line: &Piece, arc: &Piece) -> f64 {
    let (Piece::Line { from: a, to: b }, Piece::Arc { centre, radius, from, sweep }) = (*line, *arc) else {
        return f64::INFINITY;
    };
    let d = minus(b, a);
    let square = d[0] * d[0] + d[1] * d[1];
    if square == 0.0 {
        return f64::INFINITY;
    }
    let q = minus(centre, a);
    let t = (d[0] * q[0] + d[1] * q[1]) / square;
    let foot = [a[0] + t * d[0], a[1] + t * d[1]];
    let off = minus(foot, centre);
    let far = long(off);
    let mut least = f64::INFINITY;
    // Square to both, on the near side of the circle and on the far side.
    let normal = if far > 0.0 { off[1].atan2(off[0]) } else { d[0].atan2(-d[1]) };
    if (0.0..=1.0).contains(&t) {
        for angle in [normal, normal + TAU / 2.0] {
            if Piece::sweeps(from, sweep, angle) {
                least = least.min(long(minus(at(centre, radius, angle), foot)));
            }
        }
    }
    if far <= radius {
        let half = (radius * radius - far * far).sqrt() / square.sqrt();
        for s in [t - half, t + half] {
            let p = minus([a[0] + s * d[0], a[1] + s * d[1]], centre);
            if (0.0..=1.0).contains(&s) && Piece::sweeps(from, sweep, p[1].atan2(p[0])) {
                return 0.0;
            }
        }
    }
    least
}

/// The least along the line of centres of two arcs, and at their crossings.
fn arc_arc(one: &Piece, two: &Piece) -> f64 {
    let (
        Piece::Arc { centre: a, radius: r, from: f, sweep: s },
        Piece::Arc { centre: b, radius: q, from: g, sweep: w },
    ) = (*one, *two)
    else {
        return f64::INFINITY;
    };
    let d = minus(b, a);
    let far = long(d);
    let mut least = f64::INFINITY;
    if far < 1e-12 {
        // About one centre: where both are swept they keep their distance; ends tell the rest.
        return least;
    }
    let along = d[1].atan2(d[0]);
    for p in [along, along + TAU / 2.0] {
        for o in [along, along + TAU / 2.0] {
            if Piece::sweeps(f, s, p) && Piece::sweeps(g, w, o) {
                least = least.min(long(minus(at(a, r, p), at(b, q, o))));
            }
        }
    }
    if far <= r + q && far >= (r - q).abs() {
        let t = (far * far + r * r - q * q) / (2.0 * far);
        let half = (r * r - t * t).max(0.0).sqrt().atan2(t);
        for p in [along + half, along - half] {
            let cross = minus(at(a, r, p), b);
            if Piece::sweeps(f, s, p) && Piece::sweeps(g, w, cross[1].atan2(cross[0])) {
                return 0.0;
            }
        }
    }
    least
}

/// Whether a place lies within an outline that closes: pieces crossed by a ray, counted.
pub(crate) fn inside(pieces: &[Piece], p: [f64; 2]) -> bool {
    // The winding seen from the place: whole turns when inside, nought when outside.
    let mut turned = 0.0;
    for piece in pieces {
        let [a, b] = piece.ends();
        let angle = |q: [f64; 2]| (q[1] - p[1]).atan2(q[0] - p[0]);
        let bring = |d: f64| d - (d / TAU).round() * TAU;
        match *piece {
            Piece::Line { .. } => turned += bring(angle(b) - angle(a)),
            Piece::Arc { centre, radius, from, sweep } => {
                // In steps short enough that each is seen under less than half a turn.
                let steps = 64;
                let mut last = angle(a);
                for i in 1..=steps {
                    let next = angle(at(centre, radius, from + sweep * f64::from(i) / f64::from(steps)));
                    turned += bring(next - last);
                    last = next;
                }
            }
        }
    }
    (turned / TAU).round().abs() > 0.5
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn along(piece: &Piece, t: f64) -> [f64; 2] {
        match *piece {
            Piece::Line { from, to } => [from[0] + t * (to[0] - from[0]), from[1] + t * (to[1] - from[1])],
            Piece::Arc { centre, radius, from, sweep } => at(centre, radius, from + t * sweep),
        }
    }

    /// The least distance of a place on one piece from the other, by fine steps and then by
    /// ternary search about the best of them.
    fn by_search(a: &Piece, b: &Piece) -> f64 {
        let of = |t: f64| b.to_point(along(a, t.clamp(0.0, 1.0)));
        let steps = 2000;
        let best = (0..=steps).min_by(|&i, &j| of(f64::from(i) / 2e3).total_cmp(&of(f64::from(j) / 2e3)));
        let best = f64::from(best.unwrap()) / f64::from(steps);
        let (mut lo, mut hi) = (best - 1.0 / f64::from(steps), best + 1.0 / f64::from(steps));
        for _ in 0..80 {
            let (p, q) = (lo + (hi - lo) / 3.0, hi - (hi - lo) / 3.0);
            if of(p) < of(q) { hi = q } else { lo = p }
        }
        of(lo).min(of(best))
    }

    /// A place's distance from a piece is that of the nearest of many places along it.
    #[test]
    fn a_place_is_as_far_from_a_piece_as_from_its_nearest_place() {
        let arc = Piece::Arc { centre: [1.0, -0.5], radius: 2.0, from: 2.5, sweep: -3.0 };
        let line = Piece::Line { from: [-1.0, 2.0], to: [3.0, 1.0] };
        for piece in [arc, line] {
            for i in 0..60 {
                let p = at([0.5, 0.0], 0.1 * f64::from(i), f64::from(i));
                let near = (0..=4000).map(|k| long(minus(along(&piece, f64::from(k) / 4e3), p)));
                let near = near.fold(f64::INFINITY, f64::min);
                assert!((piece.to_point(p) - near).abs() < 1e-3 && piece.to_point(p) <= near + 1e-12);
            }
        }
    }

    fn piece() -> impl Strategy<Value = Piece> {
        let place = || [-5.0..5.0_f64, -5.0..5.0_f64];
        prop_oneof![
            (place(), place()).prop_map(|(from, to)| Piece::Line { from, to }),
            (place(), 0.2..4.0_f64, -4.0..4.0_f64, -6.2..6.2_f64)
                .prop_map(|(centre, radius, from, sweep)| Piece::Arc { centre, radius, from, sweep }),
        ]
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(200))]
        #[test]
        fn no_search_finds_two_places_nearer_or_a_nearer_answer_wrong(a in piece(), b in piece()) {
            let (told, found) = (a.apart(&b), by_search(&a, &b));
            prop_assert!(told <= found + 1e-12, "{told} {found}");
            prop_assert!(told >= found - 1e-9, "{told} {found}");
        }
    }

    #[test]
    fn a_place_within_a_half_disc_is_inside() {
        let half = [
            Piece::Arc { centre: [0.0, 0.0], radius: 2.0, from: 0.0, sweep: TAU / 2.0 },
            Piece::Line { from: [-2.0, 0.0], to: [2.0, 0.0] },
        ];
        assert!(inside(&half, [0.5, 1.0]) && !inside(&half, [0.5, -0.1]) && !inside(&half, [1.5, 1.9]));
    }
}
