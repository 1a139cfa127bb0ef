//! A turned part as solids: its sections, and what is turned or milled in them.

use std::f64::consts::TAU;

use super::super::{Body, Face, FeatureId, Kind, Part, SectionEnd, SectionSize};
use super::cuts::Floor;
use super::outside::Shape;
use super::{BEYOND_MM, Beside, Cut, Surface, taken};
use crate::geometry::Point;
use crate::geometry::solid::{Convex, Frame, Piece, Plan, Prism, Ring, Spot, Swept};

/// A section: where it stands, and its radius or size at both ends.
struct Section {
    id: FeatureId,
    from_mm: f64,
    to_mm: f64,
    frame: Frame,
    /// Radius of the metal at its two ends; of bar as it comes, half across the flats.
    metal_mm: [f64; 2],
    /// Radius from which walls are measured.
    wall_mm: [f64; 2],
    sides: Option<u32>,
}

/// The frame about the axis of a turned part: up the sheet, towards the reader, along.
const ALONG: Frame = Frame { origin: Spot::ORIGIN, u: Spot::Y, v: Spot::Z, w: Spot::X };

/// The metal and the outside of a turned part.
pub(super) fn bar(part: &Part) -> (Vec<Piece>, Vec<Surface>) {
    let sections = sections(part);
    let metal = sections.iter().flat_map(|section| section.metal(part)).collect();
    let mut outside: Vec<Surface> = sections.iter().flat_map(Section::outside).collect();
    if let (Some(first), Some(last)) = (sections.first(), sections.last()) {
        outside.push(end(first.from_mm, -Spot::X, Face::Left));
        outside.push(end(last.to_mm, Spot::X, Face::Right));
    }
    for pair in sections.windows(2) {
        outside.extend(shoulder(&pair[0], &pair[1]));
    }
    (metal, outside)
}

fn sections(part: &Part) -> Vec<Section> {
    let Body::Turned { sections, .. } = &part.drawing.body else { return Vec::new() };
    sections.iter().filter_map(|&id| section(part, id)).collect()
}

fn section(part: &Part, id: FeatureId) -> Option<Section> {
    let Kind::Section { size, throw, .. } = part.feature(id).kind else { return None };
    let (from_mm, to_mm) = (part.along(id)?.as_mm(), part.section_end(id)?.as_mm());
    let half = |id| part.size(id).half().as_mm();
    let (metal_mm, wall_mm, sides) = match size {
        SectionSize::Plain(diameter) => ([half(diameter); 2], [half(diameter); 2], None),
        SectionSize::Threaded(thread) => {
            let thread = part.thread(thread);
            let [pitch, minor] = [thread.pitch_diameter, thread.minor].map(|d| d.half().as_mm());
            ([pitch; 2], [minor; 2], None)
        }
        SectionSize::Taper { left, right } => ([half(left), half(right)], [half(left), half(right)], None),
        SectionSize::AsBar { across, sides } => ([half(across); 2], [half(across); 2], Some(sides)),
    };
    let origin = throw.map_or(Spot::ORIGIN, |throw| {
        let (sin, cos) = throw.at.as_rad().sin_cos();
        Spot::new(0.0, cos, sin).times(part.size(throw.offset).as_mm())
    });
    (to_mm > from_mm).then_some(Section {
        id,
        from_mm,
        to_mm,
        frame: Frame { origin, ..ALONG },
        metal_mm,
        wall_mm,
        sides,
    })
}

impl Section {
    fn metal(&self, part: &Part) -> Vec<Piece> {
        if let Some(sides) = self.sides {
            let plan = regular(sides, self.metal_mm[0]);
            let (from_mm, to_mm) = (self.from_mm, self.to_mm);
            return vec![Piece::Convex(Convex::Prism(Prism { frame: self.frame, plan, from_mm, to_mm }))];
        }
        // Radius at each change along it: the ends, and where chamfers begin.
        let mut stations = vec![(self.from_mm, self.metal_mm[0]), (self.to_mm, self.metal_mm[1])];
        for (_, feature) in part.features() {
            let Kind::Chamfer { of, end, size } = feature.kind else { continue };
            let size = part.size(size).as_mm();
            if of != self.id || size >= self.to_mm - self.from_mm {
                continue;
            }
            match end {
                SectionEnd::Left => {
                    stations[0].1 -= size;
                    stations.push((self.from_mm + size, self.metal_mm[0]));
                }
                SectionEnd::Right => {
                    stations[1].1 -= size;
                    stations.push((self.to_mm - size, self.metal_mm[1]));
                }
            }
        }
        stations.sort_by(|a, b| a.0.total_cmp(&b.0));
        let piece = |pair: &[(f64, f64)]| {
            let place = |mm: f64| self.frame.place(0.0, 0.0, mm);
            let radius = |mm: f64| mm.max(0.0);
            let (from, to) = (place(pair[0].0), place(pair[1].0));
            Piece::Convex(Convex::cone(from, to, radius(pair[0].1), radius(pair[1].1)))
        };
        stations.windows(2).filter(|pair| pair[0].0 < pair[1].0).map(piece).collect()
    }

    fn outside(&self) -> Vec<Surface> {
        let beside = Beside::Section(self.id);
        let Some(sides) = self.sides else {
            let ends_mm = [(self.wall_mm[0], self.from_mm), (self.wall_mm[1], self.to_mm)];
            return vec![Surface { beside, shape: Shape::Swept(Swept::round(self.frame, ends_mm)) }];
        };
        let flat = |index: u32| {
            let rad = TAU * f64::from(index) / f64::from(sides);
            let out = self.frame.u.times(rad.cos()) + self.frame.v.times(rad.sin());
            let half = self.wall_mm[0] * (TAU / 2.0 / f64::from(sides)).tan();
            let frame = Frame {
                origin: self.frame.origin + out.times(self.wall_mm[0]),
                u: Spot::X,
                v: out.cross(Spot::X),
                w: out,
            };
            let corners =
                [(self.from_mm, -half), (self.to_mm, -half), (self.to_mm, half), (self.from_mm, half)];
            let corners = corners.map(|(x, y)| Point::new(x, y)).to_vec();
            let plan = Plan::Rounded { corners, radius_mm: 0.0 };
            let face = Convex::Prism(Prism { frame, plan, from_mm: 0.0, to_mm: 0.0 });
            Surface { beside, shape: Shape::Flat { out, face } }
        };
        (0..sides).map(flat).collect()
    }

    /// True when its outside is round about the axis of the part.
    fn plain(&self) -> bool {
        self.sides.is_none() && self.frame.origin == Spot::ORIGIN
    }
}

/// A regular plan with a flat at the top, from half across its flats.
fn regular(sides: u32, half_mm: f64) -> Plan {
    let corner_mm = half_mm / (TAU / 2.0 / f64::from(sides)).cos();
    let corner = |i: u32| Point::ORIGIN.polar(corner_mm, TAU * (f64::from(i) + 0.5) / f64::from(sides));
    Plan::Rounded { corners: (0..sides).map(corner).collect(), radius_mm: 0.0 }
}

fn end(at_mm: f64, out: Spot, face: Face) -> Surface {
    Surface { beside: Beside::Face(face), shape: Shape::Plane { out, at_mm: out.x_mm * at_mm } }
}

/// The ring between two sections of different size that lie on the part's own axis.
fn shoulder(left: &Section, right: &Section) -> Option<Surface> {
    if !left.plain() || !right.plain() {
        return None;
    }
    let (a, b) = (left.wall_mm[1], right.wall_mm[0]);
    let (id, out) = if a > b { (left.id, Spot::X) } else { (right.id, -Spot::X) };
    let ring = Swept::round(ALONG, [(a.min(b), left.to_mm), (a.max(b), left.to_mm)]);
    (a != b).then_some(Surface { beside: Beside::Shoulder(id), shape: Shape::Ring { out, ring } })
}

/// What a groove, flats or a recess cut.
pub(super) fn cut(part: &Part, id: FeatureId) -> Option<Cut> {
    let half = |id| part.size(id).half().as_mm();
    match part.feature(id).kind {
        Kind::Groove { diameter, width } => {
            let from_mm = part.along(id)?.as_mm();
            let (to_mm, inner_mm) = (from_mm + part.size(width).as_mm(), half(diameter));
            let middle = super::super::Part::section_at(part, part.along(id)?)
                .and_then(|section| part.cut_diameter(section))
                .map_or(inner_mm, |bar| bar.half().as_mm());
            let wall = |ends_mm| Swept::round(ALONG, ends_mm);
            let side = |mm: f64| wall([(inner_mm, mm), (middle.max(inner_mm), mm)]);
            Some(Cut {
                feature: id,
                within: Vec::new(),
                tip: None,
                hollow: vec![wall([(inner_mm, from_mm), (inner_mm, to_mm)]), side(from_mm), side(to_mm)],
                removed: vec![Piece::Ring(Ring {
                    frame: ALONG,
                    inner_mm,
                    outer_mm: f64::INFINITY,
                    from_mm,
                    to_mm,
                })],
                opens: Vec::new(),
                axis: None,
                width_mm: None,
                floor: Floor::None,
            })
        }
        Kind::Recess { diameter, hub, depth } => {
            let right = part.feature(id).face == Face::Right;
            let inward = if right { -1.0 } else { 1.0 };
            let end_mm = if right { part.thickness().as_mm() } else { 0.0 };
            let end_mm = end_mm + inward * part.recess_start(id).as_mm();
            let deep_mm = part.size(depth).as_mm();
            let (floor_mm, out_mm) = (end_mm + inward * deep_mm, end_mm - inward * BEYOND_MM);
            let outer_mm = half(diameter);
            let inner_mm = hub.map_or(0.0, half);
            let solid =
                |from: f64, to: f64| Convex::cylinder(Spot::X.times(from), Spot::X.times(to), outer_mm);
            let wall = |ends_mm| Swept::round(ALONG, ends_mm);
            let hollow = match hub {
                None => Vec::new(),
                Some(_) => vec![
                    wall([(inner_mm, end_mm), (inner_mm, floor_mm)]),
                    wall([(outer_mm, end_mm), (outer_mm, floor_mm)]),
                    wall([(inner_mm, floor_mm), (outer_mm, floor_mm)]),
                ],
            };
            let removed = match hub {
                None => taken(vec![solid(out_mm, floor_mm)]),
                Some(_) => vec![Piece::Ring(Ring {
                    frame: ALONG,
                    inner_mm,
                    outer_mm,
                    from_mm: floor_mm.min(out_mm),
                    to_mm: floor_mm.max(out_mm),
                })],
            };
            Some(Cut {
                feature: id,
                within: vec![solid(end_mm, floor_mm)],
                tip: None,
                hollow,
                removed,
                opens: vec![Spot::X.times(-inward)],
                axis: None,
                width_mm: None,
                floor: Floor::Open,
            })
        }
        Kind::Flats { across, count, length } => flats(part, id, across, count, length),
        _ => None,
    }
}

/// Flats equally spaced round a section, the first at the top.
fn flats(
    part: &Part,
    id: FeatureId,
    across: super::super::DimensionId,
    count: u32,
    length: super::super::DimensionId,
) -> Option<Cut> {
    let along = part.along(id)?;
    let radius_mm = part.cut_diameter(part.section_at(along)?)?.half().as_mm();
    let across_mm = part.size(across).as_mm();
    let flat_mm = if count == 1 { across_mm - radius_mm } else { across_mm / 2.0 };
    let (from_mm, to_mm) = (along.as_mm(), along.as_mm() + part.size(length).as_mm());
    if flat_mm >= radius_mm || count == 0 {
        return None;
    }
    let (mut within, mut removed, mut opens) = (Vec::new(), Vec::new(), Vec::new());
    for index in 0..count {
        let rad = TAU * f64::from(index) / f64::from(count);
        let out = ALONG.u.times(rad.cos()) + ALONG.v.times(rad.sin());
        let frame = Frame { origin: Spot::ORIGIN, u: out, v: Spot::X.cross(out), w: Spot::X };
        let slab = |far_mm: f64, half_mm: f64| {
            let corners = [(flat_mm, -half_mm), (far_mm, -half_mm), (far_mm, half_mm), (flat_mm, half_mm)];
            let plan =
                Plan::Rounded { corners: corners.map(|(x, y)| Point::new(x, y)).to_vec(), radius_mm: 0.0 };
            Convex::Prism(Prism { frame, plan, from_mm, to_mm })
        };
        let half_mm = (radius_mm * radius_mm - flat_mm * flat_mm).max(0.0).sqrt();
        within.push(slab(radius_mm, half_mm));
        removed.push(slab(radius_mm + BEYOND_MM, radius_mm + BEYOND_MM));
        opens.push(out);
    }
    opens.extend([Spot::X, -Spot::X]);
    Some(Cut {
        feature: id,
        within,
        tip: None,
        hollow: Vec::new(),
        removed: taken(removed),
        opens,
        axis: None,
        width_mm: None,
        floor: Floor::Open,
    })
}
