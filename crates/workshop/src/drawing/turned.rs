//! A turned part along its axis: its sections, their own axes, and the bar that holds
//! them. What is impossible about them is in [`super::turned_faults`].

use num_rational::Ratio;

use super::{Axis, Body, Face, Feature, FeatureId, Kind, Part, SectionEnd, SectionSize};
use crate::measure::Length;

impl<'a> Part<'a> {
    /// The sections of a turned part from the left end; none of a plate.
    pub fn sections(&self) -> &'a [FeatureId] {
        match &self.drawing.body {
            Body::Turned { sections, .. } => sections,
            _ => &[],
        }
    }

    /// The section of a turned part in which a place along it lies.
    pub fn section_at(&self, along: Length) -> Option<FeatureId> {
        self.sections().iter().copied().find(|&id| {
            matches!((self.along(id), self.section_end(id)), (Some(start), Some(end)) if start <= along && along <= end)
        })
    }

    /// A section by which work is held, in words: clear of the flats that it has itself.
    pub fn held_round(&self, on: FeatureId) -> String {
        let own = |(id, feature): (FeatureId, &Feature)| {
            let flats = matches!(feature.kind, Kind::Flats { .. }) && self.section_of(id) == Some(on);
            flats.then(|| feature.name.clone())
        };
        let flats: Vec<String> = self.features().filter_map(own).collect();
        let name = &self.feature(on).name;
        if flats.is_empty() {
            name.clone()
        } else {
            format!("the round of {name} clear of {}", flats.join(" and "))
        }
    }

    /// The section that something is cut in, or belongs to: by the middle of its length.
    pub fn section_of(&self, id: FeatureId) -> Option<FeatureId> {
        match self.feature(id).kind {
            Kind::Section { .. } => Some(id),
            Kind::Knurl { over, .. } => Some(over),
            Kind::Chamfer { of, .. } => Some(of),
            Kind::Groove { width: long, .. } | Kind::Flats { length: long, .. } => {
                self.section_at(self.along(id)? + self.size(long).half())
            }
            _ => self.section_at(self.along(id)?),
        }
    }

    /// Where a section of a turned part begins, before any mirroring.
    pub fn along(&self, id: FeatureId) -> Option<Length> {
        Some(self.value(self.solved.place(id, Axis::X)?))
    }

    /// Where a section of a turned part ends.
    pub fn section_end(&self, id: FeatureId) -> Option<Length> {
        let sections = self.sections();
        let index = sections.iter().position(|&s| s == id)?;
        match sections.get(index + 1) {
            Some(&next) => self.along(next),
            None => self.solved.edge(super::Reference::RightEdge).map(|end| self.value(end)),
        }
    }

    /// How long a section is.
    pub fn section_length(&self, id: FeatureId) -> Length {
        match (self.along(id), self.section_end(id)) {
            (Some(start), Some(end)) => end - start,
            _ => Length::ZERO,
        }
    }

    /// How long sections are together.
    pub fn length_of(&self, sections: &[FeatureId]) -> Length {
        sections.iter().map(|&section| self.section_length(section)).sum()
    }

    /// The next section beyond one end of a section.
    pub fn neighbour(&self, id: FeatureId, end: SectionEnd) -> Option<FeatureId> {
        let sections = self.sections();
        let index = sections.iter().position(|&s| s == id)?;
        match end {
            SectionEnd::Left => index.checked_sub(1).map(|before| sections[before]),
            SectionEnd::Right => sections.get(index + 1).copied(),
        }
    }

    /// The diameter of a section at one of its ends; of bar left as it comes, across its
    /// corners.
    pub fn end_diameter(&self, id: FeatureId, end: SectionEnd) -> Option<Length> {
        match (&self.feature(id).kind, end) {
            (Kind::Section { size: SectionSize::Taper { left, .. }, .. }, SectionEnd::Left) => {
                Some(self.size(*left))
            }
            (Kind::Section { size: SectionSize::Taper { right, .. }, .. }, SectionEnd::Right) => {
                Some(self.size(*right))
            }
            _ => self.cut_diameter(id),
        }
    }

    /// The round that is there all the way across a section at a place along it: of a
    /// taper, its diameter there; of bar left as it comes, across its flats.
    pub fn diameter_at(&self, section: FeatureId, along: Length) -> Option<Length> {
        match self.feature(section).kind {
            Kind::Section { size: SectionSize::Taper { left, right }, .. } => {
                let (start, end) = (self.along(section)?, self.section_end(section)?);
                if end <= start {
                    return None;
                }
                let share = (along - start).ratio_to(end - start);
                let within = share.max(Ratio::from_integer(0)).min(Ratio::from_integer(1));
                Some(self.size(left) + (self.size(right) - self.size(left)).scaled(within))
            }
            Kind::Section { size: SectionSize::AsBar { across, .. }, .. } => Some(self.size(across)),
            _ => self.cut_diameter(section),
        }
    }

    /// How far the axes of two sections lie apart, to the nanometre.
    pub fn axes_apart(&self, one: FeatureId, other: FeatureId) -> Length {
        let [(y, z), (v, w)] = [one, other].map(|section| self.section_axis(section));
        Length::nearest((y - v).as_mm().hypot((z - w).as_mm()))
    }

    /// The groove that an end of a section runs into: across its bottom, and how wide.
    pub fn undercut(&self, section: FeatureId, end: SectionEnd) -> Option<(Length, Length)> {
        self.features().find_map(|(groove, feature)| {
            let Kind::Groove { diameter, width } = feature.kind else { return None };
            let (from, width) = (self.along(groove)?, self.size(width));
            let at_end = match end {
                SectionEnd::Left => Some(from) == self.along(section),
                SectionEnd::Right => Some(from + width) == self.section_end(section),
            };
            (at_end && self.section_of(groove) == Some(section)).then(|| (self.size(diameter), width))
        })
    }

    /// Where a section's own axis lies, up the sheet and towards the reader: noughts for
    /// one that runs true.
    pub fn section_axis(&self, section: FeatureId) -> (Length, Length) {
        match self.feature(section).kind {
            Kind::Section { throw: Some(throw), .. } => {
                let offset_mm = self.size(throw.offset).as_mm();
                let (sin, cos) = throw.at.as_rad().sin_cos();
                (Length::nearest(offset_mm * cos), Length::nearest(offset_mm * sin))
            }
            _ => (Length::ZERO, Length::ZERO),
        }
    }

    /// True when a section is turned about an axis of its own.
    pub fn is_eccentric(&self, section: FeatureId) -> bool {
        matches!(self.feature(section).kind, Kind::Section { throw: Some(_), .. })
    }

    /// From the axis of the part to the farthest point of a section.
    pub fn reach_of(&self, section: FeatureId) -> Option<Length> {
        let offset = match self.feature(section).kind {
            Kind::Section { throw: Some(throw), .. } => self.size(throw.offset),
            _ => Length::ZERO,
        };
        Some(self.cut_diameter(section)?.half() + offset)
    }

    /// The smallest round bar, running true, that holds every section.
    pub fn bar_needed(&self) -> Length {
        self.sections().iter().filter_map(|&id| self.reach_of(id)).max().unwrap_or_default() * 2
    }

    /// The square or hexagon bar that a turned part is made from, where it keeps its
    /// shape somewhere: across flats, and how many.
    pub fn bar_left(&self) -> Option<(Length, u32)> {
        self.sections().iter().find_map(|&id| match self.feature(id).kind {
            Kind::Section { size: SectionSize::AsBar { across, sides }, .. } => {
                Some((self.size(across), sides))
            }
            _ => None,
        })
    }

    /// True when something cut in an end stands beside the axis of the part.
    pub fn off_axis(&self, id: FeatureId) -> bool {
        [Axis::Y, Axis::Z].iter().any(|&axis| self.at(id, axis).is_some_and(|at| at != Length::ZERO))
    }

    /// From the axis of the part to a place in one of its ends.
    pub fn from_axis(&self, id: FeatureId) -> Length {
        let [y_mm, z_mm] = [Axis::Y, Axis::Z].map(|axis| self.at(id, axis).unwrap_or_default().as_mm());
        Length::nearest(y_mm.hypot(z_mm))
    }

    /// The sections from one end of a turned part inwards.
    pub fn sections_from(&self, end: Face) -> Vec<FeatureId> {
        let mut sections = self.sections().to_vec();
        if end == Face::Right {
            sections.reverse();
        }
        sections
    }

    /// Whether a slot in an end of a turned part runs right across it: both its ends stand
    /// outside the metal.
    pub fn slot_across_end(&self, id: FeatureId) -> bool {
        let feature = self.feature(id);
        let Kind::Slot { centres: Some(centres), along, .. } = feature.kind else { return false };
        let Some(&section) = self.sections_from(feature.face).first() else { return false };
        let Some(radius) =
            self.reach_of(section).filter(|_| matches!(feature.face, Face::Left | Face::Right))
        else {
            return false;
        };
        let [y_mm, z_mm] = [Axis::Y, Axis::Z].map(|axis| self.at(id, axis).unwrap_or_default().as_mm());
        let half_mm = self.size(centres).half().as_mm();
        let (sin, cos) = along.as_rad().sin_cos();
        [half_mm, -half_mm]
            .iter()
            .all(|&to_mm| (y_mm + to_mm * cos).hypot(z_mm + to_mm * sin) >= radius.as_mm())
    }

    /// Whether a cutter may run out past an end of some flats: the section ends there, and
    /// what follows is below them.
    pub fn flats_open(&self, id: FeatureId, end: SectionEnd) -> bool {
        let (Some(section), Kind::Flats { across, length, .. }) =
            (self.section_of(id), &self.feature(id).kind)
        else {
            return false;
        };
        let Some(start) = self.along(id) else { return false };
        let (at, edge, other) = match end {
            SectionEnd::Left => (start, self.along(section), SectionEnd::Right),
            SectionEnd::Right => (start + self.size(*length), self.section_end(section), SectionEnd::Left),
        };
        let next = self.neighbour(section, end).and_then(|next| self.end_diameter(next, other));
        edge == Some(at) && next.is_none_or(|beside| beside <= self.size(*across))
    }
}

/// Across the corners of square or hexagon bar, from across its flats.
pub fn across_corners(across: Length, sides: u32) -> Length {
    Length::nearest(across.as_mm() / (std::f64::consts::PI / f64::from(sides)).cos())
}
