//! A turned part along its axis: its sections, and what is impossible about them.

use super::{Axis, Body, Face, FeatureId, Finish, Kind, Part};
use crate::measure::Length;
use crate::problem::Problem;

impl Part<'_> {
    /// What no lathe could make of one feature.
    pub(super) fn impossible_turned(&self, id: FeatureId) -> Option<Problem> {
        let feature = self.feature(id);
        let along = self.at(id, Axis::X)?;
        match &feature.kind {
            Kind::Section { .. } => {
                let end = self.section_end(id)?;
                (end <= along).then(|| {
                    Problem::new(format!("`{}` has a length of {}", feature.name, end - along))
                        .why("the sections before it take up more than the length over all")
                        .mend("check the lengths of the sections against the length over all")
                })
            }
            Kind::Hole { finish: Finish::Drilled | Finish::Reamed | Finish::Bored, .. }
            | Kind::Tapped { .. }
                if !matches!(feature.face, Face::Left | Face::Right) =>
            {
                let hole = self.cut_diameter(id)?;
                let section = self.section_at(along)?;
                let bar = self.cut_diameter(section)?;
                (hole >= bar).then(|| {
                    Problem::new(format!("`{}` is as large as the bar it crosses", feature.name))
                        .why(format!("{hole} across {bar}"))
                        .mend("check its diameter and its place along the part")
                })
            }
            Kind::Groove { diameter, .. } => {
                let bar = self.cut_diameter(self.section_at(along)?)?;
                (self.size(*diameter) >= bar).then(|| {
                    Problem::new(format!("`{}` is not below the diameter it is cut in", feature.name))
                        .mend("check its diameter and its place along the part")
                })
            }
            _ => None,
        }
    }

    /// The section of a turned part in which a place along it lies.
    pub fn section_at(&self, along: Length) -> Option<FeatureId> {
        let Body::Turned { sections, .. } = &self.drawing.body else { return None };
        sections.iter().copied().find(|&id| {
            matches!((self.along(id), self.section_end(id)), (Some(start), Some(end)) if start <= along && along <= end)
        })
    }

    /// Where a section of a turned part begins, before any mirroring.
    pub fn along(&self, id: FeatureId) -> Option<Length> {
        Some(self.value(self.solved.place(id, Axis::X)?))
    }

    /// Where a section of a turned part ends.
    pub fn section_end(&self, id: FeatureId) -> Option<Length> {
        let Body::Turned { sections, .. } = &self.drawing.body else { return None };
        let index = sections.iter().position(|&s| s == id)?;
        match sections.get(index + 1) {
            Some(&next) => self.along(next),
            None => self.solved.edge(super::Reference::RightEdge).map(|end| self.value(end)),
        }
    }
}

/// Across the corners of square or hexagon bar, from across its flats.
pub(super) fn across_corners(across: Length, sides: u32) -> Length {
    Length::nearest(across.as_mm() / (std::f64::consts::PI / f64::from(sides)).cos())
}
