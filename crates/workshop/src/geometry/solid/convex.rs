//! Convex solids: the metal that one cutter takes away.

use super::{Frame, Motion, Plan, Span, Spot};
use crate::geometry::Point;

/// A convex solid.
#[derive(Clone, Debug, PartialEq)]
pub enum Convex {
    /// Round about an axis: a cylinder, a cone, or between them.
    Round(Round),
    /// The same all along its axis: a slot, a pocket, a box.
    Prism(Prism),
}

/// Everything between two discs square to the line through their centres.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Round {
    /// Centre of one end.
    pub from: Spot,
    /// Centre of the other end, elsewhere.
    pub to: Spot,
    /// Radius at the one end, not negative.
    pub from_radius_mm: f64,
    /// Radius at the other end, not negative.
    pub to_radius_mm: f64,
}

/// A plan carried square to its plane.
#[derive(Clone, Debug, PartialEq)]
pub struct Prism {
    /// Its plane, and the direction it is carried.
    pub frame: Frame,
    /// Its shape in the plane.
    pub plan: Plan,
    /// From how far along the third direction.
    pub from_mm: f64,
    /// To how far: beyond `from_mm`, or the same for a flat face.
    pub to_mm: f64,
}

impl Convex {
    /// A cylinder between two places.
    pub const fn cylinder(from: Spot, to: Spot, radius_mm: f64) -> Self {
        Self::cone(from, to, radius_mm, radius_mm)
    }

    /// A cone, or part of one, between two places.
    pub const fn cone(from: Spot, to: Spot, from_radius_mm: f64, to_radius_mm: f64) -> Self {
        Self::Round(Round { from, to, from_radius_mm, to_radius_mm })
    }

    /// A straight line.
    pub const fn line(from: Spot, to: Spot) -> Self {
        Self::cylinder(from, to, 0.0)
    }

    /// A box with its sides along the axes of the drawing.
    pub fn cuboid(least: Spot, most: Spot) -> Self {
        let corners = vec![
            Point::new(least.x_mm, least.y_mm),
            Point::new(most.x_mm, least.y_mm),
            Point::new(most.x_mm, most.y_mm),
            Point::new(least.x_mm, most.y_mm),
        ];
        let plan = Plan::Rounded { corners, radius_mm: 0.0 };
        Self::Prism(Prism { frame: Frame::DRAWING, plan, from_mm: least.z_mm, to_mm: most.z_mm })
    }

    /// The place furthest in a direction, of any length but nought.
    pub fn furthest(&self, way: Spot) -> Spot {
        match self {
            Self::Round(round) => round.furthest(way),
            Self::Prism(prism) => prism.furthest(way),
        }
    }

    /// How far it reaches in a direction of length one.
    pub fn reach_mm(&self, way: Spot) -> f64 {
        self.furthest(way).dot(way)
    }

    /// The least and the greatest x, y and z.
    pub fn bounds(&self) -> [Spot; 2] {
        let end = |sign: f64| {
            Spot::new(
                self.furthest(Spot::X.times(sign)).x_mm,
                self.furthest(Spot::Y.times(sign)).y_mm,
                self.furthest(Spot::Z.times(sign)).z_mm,
            )
        };
        [end(-1.0), end(1.0)]
    }

    /// Where a line through `start` along `way` lies inside.
    pub fn span(&self, start: Spot, way: Spot) -> Option<Span> {
        match self {
            Self::Round(round) => round.span(start, way),
            Self::Prism(prism) => {
                let [u, v, w] = prism.frame.shares(start - prism.frame.origin);
                let [du, dv, dw] = prism.frame.shares(way);
                let thick = Span::where_between(w, dw, prism.from_mm, prism.to_mm)?;
                prism.plan.span(Point::new(u, v), Point::new(du, dv))?.shared(thick)
            }
        }
    }

    /// Carried along with a motion.
    #[must_use]
    pub fn moved(&self, motion: &Motion) -> Self {
        match self {
            Self::Round(round) => {
                Self::Round(Round { from: motion.place(round.from), to: motion.place(round.to), ..*round })
            }
            Self::Prism(prism) => Self::Prism(Prism { frame: motion.frame(&prism.frame), ..prism.clone() }),
        }
    }

    /// Directions square to its flat faces or along its axis: where another solid is
    /// most likely to come out of it soonest.
    pub(super) fn ways(&self) -> Vec<Spot> {
        match self {
            Self::Round(round) => round.axis().into_iter().collect(),
            Self::Prism(prism) => {
                let mut ways = vec![prism.frame.u, prism.frame.v, prism.frame.w];
                let corners = prism.plan.corners();
                for (i, &a) in corners.iter().enumerate() {
                    let along = corners[(i + 1) % corners.len()] - a;
                    let out = prism.frame.u.times(along.y_mm) + prism.frame.v.times(-along.x_mm);
                    ways.extend(out.unit());
                }
                ways
            }
        }
    }

    /// The line through its middle, end to end.
    pub fn middle(&self) -> [Spot; 2] {
        match self {
            Self::Round(round) => [round.from, round.to],
            Self::Prism(prism) => {
                let corners = prism.plan.corners();
                let centre = corners.iter().fold(Point::ORIGIN, |sum, &corner| sum + corner);
                let centre = centre.times(1.0 / corners.len() as f64);
                [prism.from_mm, prism.to_mm].map(|w| prism.frame.place(centre.x_mm, centre.y_mm, w))
            }
        }
    }
}

impl Round {
    /// The direction from one end to the other; none where they are one place.
    pub fn axis(&self) -> Option<Spot> {
        (self.to - self.from).unit()
    }

    fn furthest(&self, way: Spot) -> Spot {
        let Some(axis) = self.axis() else { return self.from };
        let along = way.dot(axis);
        let across = way - axis.times(along);
        let norm = across.norm_mm();
        // Straight along the axis any place of the end will do: its centre.
        let out = if norm <= 1e-14 * way.norm_mm() { Spot::ORIGIN } else { across.times(1.0 / norm) };
        let one = self.from + out.times(self.from_radius_mm);
        let other = self.to + out.times(self.to_radius_mm);
        if one.dot(way) >= other.dot(way) { one } else { other }
    }

    fn span(&self, start: Spot, way: Spot) -> Option<Span> {
        let axis = self.axis()?;
        let length = self.from.distance_mm(self.to);
        let from = start - self.from;
        let (w, dw) = (from.dot(axis), way.dot(axis));
        let thick = Span::where_between(w, dw, 0.0, length)?;
        let (across, step) = (from - axis.times(w), way - axis.times(dw));
        let slope = (self.to_radius_mm - self.from_radius_mm) / length;
        let radius = self.from_radius_mm + slope * w;
        let a = step.dot(step) - slope * slope * dw * dw;
        let b = 2.0 * (across.dot(step) - slope * dw * radius);
        let c = across.dot(across) - radius * radius;
        if slope * dw == 0.0 {
            return Span::where_not_above(a, b, c)?.shared(thick);
        }
        // Between the ends the line is inside for one stretch at most; it begins and
        // ends at a face or where it crosses the cone or its other half.
        let mut marks = vec![thick.from, thick.to];
        if a == 0.0 {
            marks.extend((b != 0.0).then(|| -c / b));
        } else {
            let under = b * b - 4.0 * a * c;
            if under > 0.0 {
                let far = -0.5 * (b + under.sqrt().copysign(b));
                marks.extend([far / a, if far == 0.0 { 0.0 } else { c / far }]);
            }
        }
        marks.retain(|mark| (thick.from..=thick.to).contains(mark));
        marks.sort_by(f64::total_cmp);
        let inside = |t: f64| a * t * t + b * t + c <= 0.0;
        marks
            .windows(2)
            .filter(|pair| pair[0] < pair[1] && inside((pair[0] + pair[1]) / 2.0))
            .filter_map(|pair| Span::new(pair[0], pair[1]))
            .reduce(Span::hull)
    }
}

impl Prism {
    fn furthest(&self, way: Spot) -> Spot {
        let [u, v, w] = self.frame.shares(way);
        let at = self.plan.furthest(Point::new(u, v));
        self.frame.place(at.x_mm, at.y_mm, if w >= 0.0 { self.to_mm } else { self.from_mm })
    }
}
