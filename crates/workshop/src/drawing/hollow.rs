//! What is hollowed out of a plate besides round holes and slots: pockets, square and
//! flatted holes, holes for taper pins; and directions in the faces they are cut from.

use std::f64::consts::TAU;
use std::sync::OnceLock;

use super::stating::plane;
use super::{Axis, Body, Depth, Face, FeatureId, Kind, Part};
use crate::geometry::{Outline, Point, Segment, tangents};
use crate::measure::{Angle, Length};
use crate::tables::taper_pins::{self, Taper};

/// A pocket with a floor, where the part has it.
#[derive(Debug)]
pub(super) struct BlindPocket {
    id: FeatureId,
    face: Face,
    at: Point,
    /// From its middle to a corner.
    corner_mm: f64,
    deep: Length,
    /// Its edge, once something stands near it.
    edge: OnceLock<Option<Outline>>,
}

impl Part<'_> {
    /// The holes that belong to a pitch circle or a row.
    pub fn in_patterns(&self) -> impl Iterator<Item = FeatureId> + '_ {
        self.features().filter_map(|(_, feature)| feature.kind.pattern()).flatten().copied()
    }

    /// The edge of a pocket, or of a square or flatted hole, seen in plan; none for one
    /// that is cut from an edge.
    pub fn edge_within(&self, id: FeatureId) -> Option<Outline> {
        matches!(self.feature(id).face, Face::Front | Face::Back).then(|| self.edge_in_face(id)).flatten()
    }

    /// The edge of a pocket, or of a square or flatted hole, in the plane of the face it is cut from.
    pub fn edge_in_face(&self, id: FeatureId) -> Option<Outline> {
        let feature = self.feature(id);
        let plane = plane(feature.face);
        let at = {
            let [across, up] = plane.map(|axis| self.solved.place(id, axis));
            Point::at(self.value(across?), self.value(up?))
        };
        let drawn = match feature.kind {
            Kind::Pocket { width, height, corner, along, .. } => {
                rectangle(self.size(width), self.size(height), self.size(corner), along)?
            }
            Kind::Square { across, along, .. } => {
                rectangle(self.size(across), self.size(across), Length::ZERO, along)?
            }
            Kind::Flatted { diameter, across, toward, .. } => {
                let radius_mm = self.size(diameter).half().as_mm();
                let flat_mm = self.size(across).as_mm() - radius_mm;
                if flat_mm >= radius_mm || flat_mm <= -radius_mm {
                    return None;
                }
                let half_rad = (flat_mm / radius_mm).acos();
                let (first, last) = (toward.as_rad() + half_rad, toward.as_rad() - half_rad);
                let corner = |rad: f64| Point::ORIGIN.polar(radius_mm, rad);
                let round = Segment::arc(Point::ORIGIN, radius_mm, first, TAU - 2.0 * half_rad);
                Outline::new(vec![round, Segment::line(corner(last), corner(first))]).ok()?
            }
            _ => return None,
        };
        let drawn = drawn.translated(at);
        let mirrored = self.image == super::Image::Mirrored && plane[0] == Axis::X;
        Some(if mirrored { drawn.mirrored() } else { drawn })
    }

    /// The large and the small end of a hole for a taper pin: where it enters, and as
    /// deep as it goes.
    pub fn pin_ends(&self, id: FeatureId) -> Option<(Length, Length)> {
        let Kind::TaperPin { pin, depth } = self.feature(id).kind else { return None };
        let named = self.size(pin);
        let deep = match depth {
            Depth::To(depth) => self.size(depth),
            Depth::Through => self.through(id)?,
        };
        let taper = taper_pins::of_nominal(named).map_or(Taper::OneIn50, |pin| pin.taper);
        let fall = deep / taper.run();
        Some(match taper {
            Taper::OneIn48 => (named, named - fall),
            Taper::OneIn50 => (named + fall, named),
        })
    }

    /// The metal that a hole right through passes, of a plate at the place where it
    /// stands, of a turned part across its section or along it all.
    pub fn through(&self, id: FeatureId) -> Option<Length> {
        let feature = self.feature(id);
        match (&self.drawing.body, feature.face) {
            (Body::Turned { .. }, Face::Left | Face::Right) => Some(self.thickness()),
            (Body::Turned { .. }, _) => self.cut_diameter(self.section_at(self.along(id)?)?),
            (_, Face::Front | Face::Back) => Some(self.thickness_at(id)),
            _ => self.chord(id).map(|(first, last)| last - first),
        }
    }

    /// A direction in the plane of a feature's face, as the part lies: shares of x, y and z.
    pub fn way(&self, id: FeatureId, angle: Angle) -> [f64; 3] {
        let [across, up] = plane(self.feature(id).face);
        let mut way = [0.0; 3];
        way[across as usize] = angle.as_rad().cos();
        way[up as usize] = angle.as_rad().sin();
        if self.image == super::Image::Mirrored {
            way[Axis::X as usize] = -way[Axis::X as usize];
        }
        way
    }

    /// The bore that a hole for a taper pin passes, if it passes one: pin and shaft are
    /// fitted there together.
    pub fn pins(&self, id: FeatureId) -> Option<FeatureId> {
        let feature = self.feature(id);
        if !matches!(feature.kind, Kind::TaperPin { .. }) {
            return None;
        }
        let axis = feature.face.axis();
        let crosses = |(other, bore): (FeatureId, &super::Feature)| {
            if !matches!(bore.kind, Kind::Hole { .. } | Kind::Square { .. } | Kind::Flatted { .. }) {
                return None;
            }
            let along = bore.face.axis();
            if other == id || along == axis {
                return None;
            }
            // The one direction that is neither the pin's nor the bore's.
            let beside = [Axis::X, Axis::Y, Axis::Z].into_iter().find(|&a| a != axis && a != along)?;
            let apart = self.at(id, beside)?.gap(self.at(other, beside)?);
            (apart < self.cut_diameter(other)?.half()).then_some(other)
        };
        self.features().find_map(crosses)
    }

    /// The hole itself, or the first of a pitch circle or row.
    pub fn hole_of(&self, id: FeatureId) -> FeatureId {
        self.feature(id).kind.pattern().and_then(|holes| holes.first()).copied().unwrap_or(id)
    }

    /// How deep a countersink goes below its face: its cone, from its mouth to the hole's.
    pub fn sunk(&self, id: FeatureId) -> Option<Length> {
        let Kind::Countersink { diameter, angle, over } = self.feature(id).kind else { return None };
        let side = (self.size(diameter) - self.cut_diameter(self.hole_of(over))?).half();
        Some(Length::nearest(side.as_mm() / (angle.as_rad() / 2.0).tan()))
    }

    /// The blind pocket in whose floor a feature stands, and how deep that floor lies.
    pub fn in_pocket(&self, id: FeatureId) -> Option<(FeatureId, Length)> {
        self.in_pocket_of(id, self.feature(id).face)
    }

    /// The blind pocket of the other face in whose floor what goes right through comes out, and how deep it is.
    pub fn out_in_pocket(&self, id: FeatureId) -> Option<(FeatureId, Length)> {
        let through = self.feature(id).kind.depth() == Some(Depth::Through);
        self.in_pocket_of(id, self.feature(id).face.opposite()).filter(|_| through)
    }

    /// Where a feature stands in the plane of a face.
    pub fn in_plane(&self, id: FeatureId, face: Face) -> Option<Point> {
        let [across, up] = plane(face).map(|axis| self.at(id, axis));
        Some(Point::at(across?, up?))
    }

    /// Every pocket that has a floor.
    fn blind_pockets(&self) -> Vec<BlindPocket> {
        let found = |(id, feature): (FeatureId, &super::Feature)| {
            let Kind::Pocket { depth: Depth::To(deep), width, height, .. } = feature.kind else {
                return None;
            };
            let at = self.in_plane(id, feature.face)?;
            let corner_mm = self.size(width).half().as_mm().hypot(self.size(height).half().as_mm());
            let deep = self.size(deep);
            Some(BlindPocket { id, face: feature.face, at, corner_mm, deep, edge: OnceLock::new() })
        };
        self.features().filter_map(found).collect()
    }

    /// The blind pocket in a face in whose floor a feature stands, and how deep it is.
    fn in_pocket_of(&self, id: FeatureId, face: Face) -> Option<(FeatureId, Length)> {
        let pockets = self.reckoned.pockets.get_or_init(|| self.blind_pockets());
        if !pockets.iter().any(|pocket| pocket.face == face) {
            return None;
        }
        let at = self.in_plane(id, face)?;
        // The named end of a pin: its hole is no wider than depends on where it stands.
        let across = match self.feature(id).kind {
            Kind::TaperPin { pin, .. } => self.size(pin),
            _ => self.cut_diameter(id)?,
        };
        let reach_mm = across.half().as_mm();
        let holds = |pocket: &&BlindPocket| {
            // Most stand clear of it, whichever way it lies.
            if pocket.id == id || pocket.face != face || pocket.at.distance_mm(at) > pocket.corner_mm {
                return false;
            }
            let edge = pocket.edge.get_or_init(|| self.edge_in_face(pocket.id));
            edge.as_ref().is_some_and(|edge| edge.contains(at) && edge.distance_mm(at) >= reach_mm)
        };
        pockets.iter().find(holds).map(|pocket| (pocket.id, pocket.deep))
    }

    /// How far a feature on an edge reaches either way from its middle, out of the sheet.
    pub(super) fn half_in_thickness(&self, id: FeatureId) -> Option<Length> {
        let tilted = |along: Angle, half_mm: f64, side_mm: f64| {
            let (sin, cos) = along.as_rad().sin_cos();
            Length::nearest(half_mm * sin.abs() + side_mm * cos.abs())
        };
        Some(match self.feature(id).kind {
            // An open end is none that could run out of a face.
            Kind::Slot { width, centres, along, .. } => {
                let long = centres.filter(|_| self.open_axis(id).is_none()).map(|centres| self.size(centres));
                let reach = long.unwrap_or_default().half().as_mm() * along.as_rad().sin().abs();
                Length::nearest(reach) + self.size(width).half()
            }
            Kind::Pocket { width, height, along, .. } => {
                tilted(along, self.size(width).half().as_mm(), self.size(height).half().as_mm())
            }
            Kind::Square { across, along, .. } => {
                tilted(along, self.size(across).half().as_mm(), self.size(across).half().as_mm())
            }
            _ => self.cut_diameter(id)?.half(),
        })
    }

    /// Greatest extent of the part along an axis.
    pub fn whole(&self, axis: Axis) -> Length {
        let [left, right, bottom, top] = self.edges();
        match axis {
            Axis::X => right - left,
            Axis::Y => top - bottom,
            Axis::Z => self.thickness(),
        }
    }

    /// Where the face that a step leaves lies, along the axis of the face it is cut from.
    pub fn level_of(&self, step: FeatureId) -> Option<Length> {
        let feature = self.feature(step);
        let Kind::Step { leaves, .. } = feature.kind else { return None };
        let leaves = self.size(leaves);
        let [left, right, bottom, top] = self.edges();
        Some(match self.side(feature.face) {
            Face::Front => leaves,
            Face::Back => self.thickness() - leaves,
            Face::Right => left + leaves,
            Face::Left => right - leaves,
            Face::Top => bottom + leaves,
            Face::Bottom => top - leaves,
        })
    }
}

/// A rectangle about the origin, its corners rounded, turned.
fn rectangle(width: Length, height: Length, corner: Length, along: Angle) -> Option<Outline> {
    let made = tangents::rectangle(width, height, corner).ok()?;
    let middle = Point::at(-width.half(), -height.half());
    Some(made.translated(middle).rotated(along.as_rad()))
}
