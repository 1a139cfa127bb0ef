//! The outside of a part as surfaces, each with the name a person gives it.

use super::super::{Body, Face, FeatureId, Kind, Part};
use super::Cut;
use crate::geometry::solid::{Convex, Frame, Gap, Piece, Plan, Prism, Spot, Swept, Toward, between};
use crate::geometry::{Arc, Line, Point, Segment};

/// What a wall stands between a feature and.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Beside {
    /// Another feature.
    Feature(FeatureId),
    /// A flat face, or a straight edge in plan.
    Face(Face),
    /// The round end of a boss.
    Boss(FeatureId),
    /// A straight flank, or another stretch of the outline.
    Outline,
    /// The outside of a turned section.
    Section(FeatureId),
    /// The face of a shoulder, of the section that stands out.
    Shoulder(FeatureId),
}

impl Beside {
    /// What a person calls it.
    pub fn words(self, part: &Part) -> String {
        let name = |id: FeatureId| &part.feature(id).name;
        let turned = matches!(part.drawing.body, Body::Turned { .. });
        match self {
            Self::Feature(id) => format!("`{}`", name(id)),
            Self::Face(face @ (Face::Front | Face::Back)) => format!("the {} face", face.word()),
            Self::Face(face) if turned => format!("the {} end", face.word()),
            Self::Face(face) => format!("the {} edge", face.word()),
            Self::Boss(id) => format!("the outside of `{}`", name(id)),
            Self::Outline => "the outline".to_owned(),
            Self::Section(id) => format!("the outside of `{}`", name(id)),
            Self::Shoulder(id) => format!("the shoulder of `{}`", name(id)),
        }
    }
}

/// A piece of the outside.
#[derive(Clone, Debug)]
pub struct Surface {
    /// What a person calls it.
    pub beside: Beside,
    /// Its shape.
    pub shape: Shape,
}

/// The shape of a piece of the outside.
#[derive(Clone, Debug)]
pub enum Shape {
    /// A flat face without end, that looks this way, so far out.
    Plane {
        /// Out of the metal.
        out: Spot,
        /// How far out it stands, in millimetres.
        at_mm: f64,
    },
    /// A flat piece that looks this way.
    Flat {
        /// Out of the metal.
        out: Spot,
        /// The piece.
        face: Convex,
    },
    /// A round or tapered outside.
    Swept(Swept),
    /// The ring of a shoulder, that looks this way.
    Ring {
        /// Out of the metal.
        out: Spot,
        /// The ring.
        ring: Swept,
    },
    /// The hollow in front of a concave arc.
    Air(Convex),
}

/// A face within 60° of square to the way a cut opens is where it opens.
const MOUTH: f64 = 0.5;

impl Surface {
    /// A cut is at least so far from the whole of it, in millimetres: found at once, and
    /// nought where that takes a measurement.
    pub(super) fn clear_mm(&self, cut: &Cut) -> f64 {
        let solids = cut.within.iter().chain(&cut.tip);
        let clear = |solid: &Convex| match &self.shape {
            Shape::Swept(swept) | Shape::Ring { ring: swept, .. } => swept.clear_mm(solid),
            // From the plane that the face lies in.
            Shape::Flat { out, face } => (face.furthest(*out) - solid.furthest(*out)).dot(*out),
            Shape::Plane { .. } | Shape::Air(_) => 0.0,
        };
        solids.map(clear).reduce(f64::min).unwrap_or_default()
    }

    /// The least distance from a cut that opens these ways; none where the cut opens
    /// through this surface.
    pub(super) fn gap(&self, solid: &Convex, opens: &[Spot]) -> Option<Gap> {
        let opened = |out: Spot| opens.iter().any(|way| way.dot(out) >= MOUTH);
        match &self.shape {
            Shape::Plane { out, at_mm } => {
                if opened(*out) {
                    return None;
                }
                let near = solid.furthest(*out);
                let apart_mm = at_mm - near.dot(*out);
                Some(Gap { apart_mm, on_first: near, on_second: near + out.times(apart_mm) })
            }
            Shape::Flat { out, face } => {
                (!opened(*out)).then(|| between(solid, face)).filter(|gap| is_behind(gap, *out))
            }
            Shape::Ring { out, ring } => {
                if opened(*out) {
                    return None;
                }
                ring.gap(solid, Toward::All).filter(|gap| is_behind(gap, *out))
            }
            Shape::Swept(swept) => {
                let axis = swept.frame.w;
                let across: Vec<Spot> =
                    opens.iter().copied().filter(|way| way.cross(axis).norm_mm() > 1e-9).collect();
                let toward = match across[..] {
                    [] => Toward::All,
                    [way] => Toward::AwayFrom(way),
                    [way, other] if (way + other).norm_mm() < 1e-9 => Toward::Beside(way),
                    _ => return None,
                };
                swept.gap(solid, toward).filter(|gap| is_beside(gap, swept))
            }
            Shape::Air(hollow) => {
                let found = between(solid, hollow);
                let from_the_side = opens.iter().any(|way| way.z_mm.abs() < MOUTH);
                (found.apart_mm > 0.0 || !from_the_side).then_some(found)
            }
        }
    }
}

/// True when a wall reaches a flat face from the metal behind it.
fn is_behind(gap: &Gap, out: Spot) -> bool {
    gap.apart_mm <= 0.0 || (gap.on_first - gap.on_second).dot(out) < 0.0
}

/// True when a wall reaches a round outside square to it: what lies beyond its end is
/// nearer to a shoulder or an end face, or stands in another section.
fn is_beside(gap: &Gap, swept: &Swept) -> bool {
    const SLANT: f64 = 0.1;
    let Some(way) = (gap.on_first - gap.on_second).unit().filter(|_| gap.apart_mm > 0.0) else {
        return true;
    };
    let [u, v, _] = swept.frame.shares(gap.on_second - swept.frame.origin);
    let (sin, cos) = v.atan2(u).sin_cos();
    let [(r0, w0), (r1, w1)] = swept.ends_mm;
    let out = swept.frame.u.times(cos) + swept.frame.v.times(sin);
    let ruling = (out.times(r1 - r0) + swept.frame.w.times(w1 - w0)).unit();
    ruling.is_none_or(|ruling| ruling.dot(way).abs() <= SLANT)
}

/// The metal and the outside of a plate.
pub(super) fn plate(part: &Part) -> (Vec<Piece>, Vec<Surface>) {
    let Ok(outline) = part.outline() else { return (Vec::new(), Vec::new()) };
    let outline = outline.anticlockwise();
    let high_mm = part.thickness().as_mm();
    let mut outside = vec![
        Surface { beside: Beside::Face(Face::Front), shape: Shape::Plane { out: Spot::Z, at_mm: high_mm } },
        Surface { beside: Beside::Face(Face::Back), shape: Shape::Plane { out: -Spot::Z, at_mm: 0.0 } },
    ];
    let rectangle = matches!(part.drawing.body, Body::Rectangle { .. });
    for segment in outline.segments() {
        outside.push(match segment {
            Segment::Line(line) => upright(line, high_mm, rectangle),
            Segment::Arc(arc) if arc.sweep_rad < 0.0 => {
                Surface { beside: Beside::Outline, shape: Shape::Air(hollow(arc, high_mm)) }
            }
            Segment::Arc(arc) => {
                let beside = boss_at(part, arc).map_or(Beside::Outline, Beside::Boss);
                Surface { beside, shape: Shape::Swept(Swept::over(arc, 0.0, high_mm)) }
            }
        });
    }
    (vec![Piece::Extruded { outline, low_mm: 0.0, high_mm }], outside)
}

/// The face over a straight piece of the outline.
fn upright(line: &Line, high_mm: f64, rectangle: bool) -> Surface {
    let along = (line.end - line.start).times(1.0 / line.length_mm());
    // The metal is to the left of an anticlockwise outline.
    let out = Spot::new(along.y_mm, -along.x_mm, 0.0);
    let frame = Frame {
        origin: Spot::new(line.start.x_mm, line.start.y_mm, 0.0),
        u: Spot::new(along.x_mm, along.y_mm, 0.0),
        v: Spot::Z,
        w: out,
    };
    let corners = [(0.0, 0.0), (line.length_mm(), 0.0), (line.length_mm(), high_mm), (0.0, high_mm)];
    let plan = Plan::Rounded { corners: corners.map(|(x, y)| Point::new(x, y)).to_vec(), radius_mm: 0.0 };
    let face = Convex::Prism(Prism { frame, plan, from_mm: 0.0, to_mm: 0.0 });
    let named = [Face::Left, Face::Right, Face::Top, Face::Bottom]
        .into_iter()
        .find(|&face| super::cuts::outward(face).dot(out) > 1.0 - 1e-9);
    let beside = named.filter(|_| rectangle).map_or(Beside::Outline, Beside::Face);
    Surface { beside, shape: Shape::Flat { out, face } }
}

/// The air between a concave arc and the line through its ends.
fn hollow(arc: &Arc, high_mm: f64) -> Convex {
    let middle = Point::ORIGIN.polar(1.0, arc.start_rad + arc.sweep_rad / 2.0);
    let u = Spot::new(-middle.x_mm, -middle.y_mm, 0.0);
    let frame = Frame {
        origin: Spot::new(arc.centre.x_mm, arc.centre.y_mm, 0.0),
        u,
        v: Spot::Z.cross(u),
        w: Spot::Z,
    };
    let flat_mm = -arc.radius_mm * (arc.sweep_rad.abs() / 2.0).cos();
    let plan = Plan::Flatted { radius_mm: arc.radius_mm, flat_mm };
    Convex::Prism(Prism { frame, plan, from_mm: 0.0, to_mm: high_mm })
}

/// The boss whose round an arc is.
fn boss_at(part: &Part, arc: &Arc) -> Option<FeatureId> {
    part.features().find_map(|(id, feature)| {
        let Kind::Boss { radius } = feature.kind else { return None };
        let (x, y) = part.xy(id)?;
        let near = Point::at(x, y).distance_mm(arc.centre) < 1e-5;
        (near && (part.size(radius).as_mm() - arc.radius_mm).abs() < 1e-5).then_some(id)
    })
}
