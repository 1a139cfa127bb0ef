//! Where a hole in an end of a turned part enters the metal, and where it leaves it.
//!
//! A hole beside the axis may stand clear of a boss or a spigot at that end, as the bolt holes
//! of a cover do: it then begins on the shoulder behind. One in the floor of a recess begins there.
//! A recess round a boss that stands proud of its rim begins on the shoulder behind that boss too.

use super::{Depth, Face, FeatureId, Kind, Part, SectionEnd};
use crate::measure::Length;

/// What a hole in an end begins on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum EndStart {
    /// The end itself.
    End,
    /// The shoulder of a section, past those at the end.
    Shoulder(FeatureId),
    /// The floor of a recess.
    Floor(FeatureId),
}

impl Part<'_> {
    /// The sections from the end that a hole is cut in, less those that it stands clear of.
    ///
    /// All of them for a hole on the axis, and for one that is clear of every section, so that
    /// a fault names the first.
    pub fn sections_below(&self, id: FeatureId) -> Vec<FeatureId> {
        self.sections_below_from(id, self.feature(id).face)
    }

    fn sections_below_from(&self, id: FeatureId, end: Face) -> Vec<FeatureId> {
        let all = self.sections_from(end);
        let Some(hole) = self.cut_diameter(id).filter(|_| self.off_axis(id)) else { return all };
        let clear = all.iter().take_while(|&&section| self.clear_of(section, id, hole)).count();
        if clear == all.len() { all } else { all[clear..].to_vec() }
    }

    /// Whether a hole or a recess in an end begins below a section that it stands clear of.
    pub fn begins_below(&self, id: FeatureId, section: FeatureId) -> bool {
        self.within_hub(id).contains(&section)
            || matches!(self.feature(id).face, Face::Left | Face::Right)
                && self.sections().contains(&section)
                && !self.sections_below(id).contains(&section)
    }

    /// Whether a hole along the part lies wholly beside a section.
    fn clear_of(&self, section: FeatureId, id: FeatureId, hole: Length) -> bool {
        let widest = [SectionEnd::Left, SectionEnd::Right]
            .iter()
            .filter_map(|&end| self.end_diameter(section, end))
            .max()
            .unwrap_or_default();
        self.from_axis_of(section, id) >= (widest + hole).half()
    }

    /// From the axis of a section to a hole in an end.
    pub fn from_axis_of(&self, section: FeatureId, id: FeatureId) -> Length {
        let [y_mm, z_mm] =
            [super::Axis::Y, super::Axis::Z].map(|axis| self.at(id, axis).unwrap_or_default().as_mm());
        let axis = self.section_axis(section);
        Length::nearest((axis.0.as_mm() - y_mm).hypot(axis.1.as_mm() - z_mm))
    }

    /// How far below the end a hole enters the metal, and what it begins on there.
    pub fn end_start(&self, id: FeatureId) -> (Length, EndStart) {
        self.end_start_from(id, self.feature(id).face)
    }

    /// The same of a hole right through that is drilled from either end.
    pub fn end_start_from(&self, id: FeatureId, face: Face) -> (Length, EndStart) {
        let below = self.sections_below_from(id, face);
        let passed = self.length_above(face, &below);
        let shoulder = below.first().filter(|_| passed.is_positive());
        let shoulder = shoulder.map_or(EndStart::End, |&section| EndStart::Shoulder(section));
        match self.recess_over(id, face) {
            Some((recess, deep)) if deep > passed => (deep, EndStart::Floor(recess)),
            _ => (passed, shoulder),
        }
    }

    /// How long the part is from an end to the first of the sections below.
    fn length_above(&self, end: Face, below: &[FeatureId]) -> Length {
        let all = self.sections_from(end);
        self.length_of(&all[..all.len() - below.len()])
    }

    /// The sections at the end of a recess that stand within its hub: a boss proud of the rim.
    pub fn within_hub(&self, recess: FeatureId) -> Vec<FeatureId> {
        let feature = self.feature(recess);
        let Kind::Recess { hub: Some(hub), .. } = feature.kind else { return Vec::new() };
        let hub = self.size(hub);
        let all = self.sections_from(feature.face);
        let within = |&&id: &&FeatureId| self.reach_of(id).is_some_and(|reach| reach * 2 <= hub);
        let bosses = all.iter().take_while(within).count();
        if bosses == all.len() { Vec::new() } else { all[..bosses].to_vec() }
    }

    /// How far below the end a recess begins: on the shoulder behind what stands within its hub.
    pub fn recess_start(&self, recess: FeatureId) -> Length {
        self.length_of(&self.within_hub(recess))
    }

    /// From the end down to the floor of a recess.
    pub fn recess_floor(&self, recess: FeatureId) -> Length {
        match self.feature(recess).kind {
            Kind::Recess { depth, .. } => self.recess_start(recess) + self.size(depth),
            _ => Length::ZERO,
        }
    }

    /// The recess of an end that a hole beside the axis lies in, and how far its floor is from that end.
    fn recess_over(&self, id: FeatureId, face: Face) -> Option<(FeatureId, Length)> {
        let hole = self.cut_diameter(id).filter(|_| self.off_axis(id))?;
        let from_axis = self.from_axis(id);
        self.features().find_map(|(recess, feature)| {
            let Kind::Recess { diameter, hub, .. } = feature.kind else { return None };
            let inside = from_axis + hole.half() <= self.size(diameter).half();
            let outside = hub.is_none_or(|hub| from_axis - hole.half() >= self.size(hub).half());
            (feature.face == face && inside && outside).then(|| (recess, self.recess_floor(recess)))
        })
    }

    /// How much metal a hole from an end goes through: what it says, or as far as the
    /// metal reaches at its place once every recess is cut.
    pub fn end_depth(&self, id: FeatureId, depth: Depth) -> Length {
        if let Depth::To(deep) = depth {
            return self.size(deep);
        }
        if !self.off_axis(id) {
            return self.thickness();
        }
        let from_axis = self.from_axis(id);
        let below = self.sections_below(id);
        let solid: Vec<FeatureId> = below
            .iter()
            .copied()
            .take_while(|&s| self.reach_of(s).is_some_and(|reach| reach > from_axis))
            .collect();
        let long = self.length_of(&solid);
        let face = self.feature(id).face;
        let (start, _) = self.end_start(id);
        let passed = self.length_above(face, &below);
        let other = if face == Face::Left { Face::Right } else { Face::Left };
        // Past the metal it is clear of a boss at the other end already.
        let clear = self.length_of(&below[solid.len()..]);
        let floor = self.recess_over(id, other).map_or(Length::ZERO, |(_, deep)| deep);
        let behind = (floor - clear).max(Length::ZERO);
        (long - (start - passed) - behind).max(Length::ZERO)
    }
}
