//! Surfaces made by a straight line turned about an axis: the outside of a boss, a
//! turned diameter, a taper, the face of a shoulder.

use std::f64::consts::TAU;

use super::{Convex, Frame, Gap, Spot, between};
use crate::geometry::{Arc, Point, within_turn};

/// A straight line turned about an axis, all round or part of the way.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Swept {
    /// Its third direction is the axis; angles are from its first towards its second.
    pub frame: Frame,
    /// The two ends of the line: radius, and how far along the axis, in millimetres.
    pub ends_mm: [(f64, f64); 2],
    /// Where the surface begins, in radians.
    pub start_rad: f64,
    /// How far it goes round, in radians: not negative.
    pub sweep_rad: f64,
}

/// Which part of a surface is looked at.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Toward {
    /// All of it.
    All,
    /// Where it does not face back out of a mouth that opens this way.
    AwayFrom(Spot),
    /// Only where it faces square to a direction: beside a hole right through.
    Beside(Spot),
}

/// Places at which a surface is first looked at.
const LOOKS: usize = 48;

/// From how many of the best of them the search goes on.
const FINER: usize = 3;

/// Narrowing of a golden-section search, enough for 1e-9 of a turn.
const NARROWINGS: usize = 42;

impl Swept {
    /// All round an axis.
    pub const fn round(frame: Frame, ends_mm: [(f64, f64); 2]) -> Self {
        Self { frame, ends_mm, start_rad: 0.0, sweep_rad: TAU }
    }

    /// The line at an angle.
    pub fn line(&self, rad: f64) -> Convex {
        let (sin, cos) = rad.sin_cos();
        let [from, to] =
            self.ends_mm.map(|(radius, along)| self.frame.place(radius * cos, radius * sin, along));
        Convex::line(from, to)
    }

    /// The least distance from a solid to the part of the surface that is looked at;
    /// none where no part of it is.
    pub fn gap(&self, solid: &Convex, toward: Toward) -> Option<Gap> {
        let look = |rad: f64| between(solid, &self.line(rad));
        let Some((start_rad, sweep_rad)) = self.seen(toward) else {
            return self.beside(toward).into_iter().map(look).reduce(Gap::lesser);
        };
        if let Some(angles) = self.parallel(solid) {
            let seen = |rad: &f64| within_turn(rad - start_rad) <= sweep_rad;
            let ends = [start_rad, start_rad + sweep_rad];
            return angles.into_iter().filter(seen).chain(ends).map(look).reduce(Gap::lesser);
        }
        let step = sweep_rad / LOOKS as f64;
        let mut looks: Vec<(f64, Gap)> =
            (0..=LOOKS).map(|i| start_rad + step * i as f64).map(|rad| (rad, look(rad))).collect();
        looks.sort_by(|p, q| p.1.apart_mm.total_cmp(&q.1.apart_mm));
        let mut best = looks.first()?.1;
        for &(rad, _) in looks.iter().take(FINER) {
            let low = (rad - step).max(start_rad);
            let high = (rad + step).min(start_rad + sweep_rad);
            best = best.lesser(golden(&look, low, high));
        }
        Some(best)
    }

    /// A solid is at least so far from every part of the surface, in millimetres: found
    /// at once, from the ring in which the solid lies about the axis.
    pub fn clear_mm(&self, solid: &Convex) -> f64 {
        let [least, most] = solid.bounds();
        let (mut low, mut high) = ([f64::INFINITY; 3], [f64::NEG_INFINITY; 3]);
        for x_mm in [least.x_mm, most.x_mm] {
            for y_mm in [least.y_mm, most.y_mm] {
                for z_mm in [least.z_mm, most.z_mm] {
                    let at = self.frame.shares(Spot::new(x_mm, y_mm, z_mm) - self.frame.origin);
                    for axis in 0..3 {
                        low[axis] = low[axis].min(at[axis]);
                        high[axis] = high[axis].max(at[axis]);
                    }
                }
            }
        }
        let near = |axis: usize| low[axis].max(-high[axis]).max(0.0);
        let far = |axis: usize| high[axis].max(-low[axis]);
        let from_mm = near(0).hypot(near(1));
        let mut to_mm = far(0).hypot(far(1));
        if let Convex::Round(round) = solid {
            let out = |at: Spot, radius_mm: f64| {
                let [u, v, _] = self.frame.shares(at - self.frame.origin);
                u.hypot(v) + radius_mm
            };
            let ends = out(round.from, round.from_radius_mm).max(out(round.to, round.to_radius_mm));
            to_mm = to_mm.min(ends);
        }
        let [(r0, w0), (r1, w1)] = self.ends_mm;
        let across_mm = (r0.min(r1) - to_mm).max(from_mm - r0.max(r1)).max(0.0);
        let along_mm = (w0.min(w1) - high[2]).max(low[2] - w0.max(w1)).max(0.0);
        across_mm.hypot(along_mm)
    }

    /// The stretch of angles that is looked at; none where it is single lines.
    fn seen(&self, toward: Toward) -> Option<(f64, f64)> {
        match toward {
            Toward::All => Some((self.start_rad, self.sweep_rad)),
            Toward::Beside(way) => self.across(way).is_none().then_some((self.start_rad, self.sweep_rad)),
            Toward::AwayFrom(way) => {
                let Some(rad) = self.across(way) else { return Some((self.start_rad, self.sweep_rad)) };
                // The half turn on the far side, and what of it the surface has.
                let far = rad + TAU / 4.0;
                if self.sweep_rad >= TAU - 1e-9 {
                    return Some((far, TAU / 2.0));
                }
                let (a, b) = (self.start_rad, self.start_rad + self.sweep_rad);
                let low = far + TAU * ((a - far) / TAU).floor();
                [low, low + TAU].into_iter().find_map(|low| {
                    let (from, to) = (low.max(a), (low + TAU / 2.0).min(b));
                    (from <= to).then_some((from, to - from))
                })
            }
        }
    }

    /// The lines that face square to a direction.
    fn beside(&self, toward: Toward) -> Vec<f64> {
        let Toward::Beside(way) = toward else { return Vec::new() };
        let Some(rad) = self.across(way) else { return Vec::new() };
        [rad + TAU / 4.0, rad - TAU / 4.0]
            .into_iter()
            .filter(|&rad| within_turn(rad - self.start_rad) <= self.sweep_rad)
            .collect()
    }

    /// The angle of a direction round the axis; none where it runs along the axis.
    fn across(&self, way: Spot) -> Option<f64> {
        let [u, v, _] = self.frame.shares(way);
        let point = Point::new(u, v);
        (point.norm_mm() > 1e-9).then(|| Point::ORIGIN.direction_rad(point))
    }

    /// The only angles at which a solid that lies along the axis can be nearest: those
    /// of the corners of its plan. None where it does not lie along the axis, or the
    /// surface is not a plain cylinder.
    fn parallel(&self, solid: &Convex) -> Option<Vec<f64>> {
        let along = |way: Spot| way.cross(self.frame.w).norm_mm() < 1e-12;
        let angle = |place: Spot| {
            let [u, v, _] = self.frame.shares(place - self.frame.origin);
            Point::ORIGIN.direction_rad(Point::new(u, v))
        };
        if self.ends_mm[0].0 != self.ends_mm[1].0 {
            return None;
        }
        match solid {
            Convex::Round(round) => along(round.axis()?).then(|| vec![angle(round.from)]),
            Convex::Prism(prism) => match &prism.plan {
                super::Plan::Rounded { corners, .. } if along(prism.frame.w) => {
                    Some(corners.iter().map(|at| angle(prism.frame.place(at.x_mm, at.y_mm, 0.0))).collect())
                }
                _ => None,
            },
        }
    }
}

/// An arc of an outline carried from one height to another.
impl Swept {
    /// The surface over an arc of an outline in the plane of the drawing.
    pub fn over(arc: &Arc, low_mm: f64, high_mm: f64) -> Self {
        let origin = Spot::new(arc.centre.x_mm, arc.centre.y_mm, 0.0);
        let start_rad = if arc.sweep_rad < 0.0 { arc.end_rad() } else { arc.start_rad };
        Self {
            frame: Frame { origin, ..Frame::DRAWING },
            ends_mm: [(arc.radius_mm, low_mm), (arc.radius_mm, high_mm)],
            start_rad,
            sweep_rad: arc.sweep_rad.abs(),
        }
    }
}

/// The least of something with one valley.
fn golden(look: &impl Fn(f64) -> Gap, mut low: f64, mut high: f64) -> Gap {
    const SHARE: f64 = 0.618_033_988_749_894_8;
    let (mut a, mut b) = (high - SHARE * (high - low), low + SHARE * (high - low));
    let (mut at_a, mut at_b) = (look(a), look(b));
    for _ in 0..NARROWINGS {
        if at_a.apart_mm <= at_b.apart_mm {
            (high, b, at_b) = (b, a, at_a);
            a = high - SHARE * (high - low);
            at_a = look(a);
        } else {
            (low, a, at_a) = (a, b, at_b);
            b = low + SHARE * (high - low);
            at_b = look(b);
        }
    }
    at_a.lesser(at_b)
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::geometry::solid::Frame;

    fn spot(reach_mm: f64) -> impl Strategy<Value = Spot> {
        prop::array::uniform3(-reach_mm..reach_mm).prop_map(|[x, y, z]| Spot::new(x, y, z))
    }

    proptest! {
        /// What is told at once never passes what measuring finds.
        #[test]
        fn nothing_is_nearer_than_it_is_said_to_be_clear(
            from in spot(20.0), way in spot(8.0), radii in prop::array::uniform2(0.1..4.0),
            ends in prop::array::uniform2((1.0..15.0, -6.0..6.0)), along_x in any::<bool>(), boxed in any::<bool>(),
        ) {
            prop_assume!(way.norm_mm() > 0.1);
            let turned = Frame { origin: Spot::ORIGIN, u: Spot::Y, v: Spot::Z, w: Spot::X };
            let frame = if along_x { turned } else { Frame::DRAWING };
            let swept = Swept::round(frame, ends);
            let most = from + Spot::new(way.x_mm.abs(), way.y_mm.abs(), way.z_mm.abs());
            let solid = match boxed {
                true => Convex::cuboid(from, most),
                false => Convex::cone(from, from + way, radii[0], radii[1]),
            };
            let found_mm = swept.gap(&solid, Toward::All).expect("it goes all round").apart_mm;
            prop_assert!(swept.clear_mm(&solid) <= found_mm.max(0.0) + 1e-9, "{found_mm}");
        }
    }
}
