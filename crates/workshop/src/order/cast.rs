//! Castings: which faces are cut, and what can be worked from.
//!
//! A face that stays as cast is no locator: it is rough, and slanted for the pattern to
//! draw. Until a face or a bore is cut, the work is set to marked-out centres.

use super::deed::Job;
use crate::drawing::{Axis, Body, Corner, Face, FeatureId, Form, GivenStock};

const SIDES: [Face; 4] = [Face::Left, Face::Right, Face::Bottom, Face::Top];

impl Job<'_> {
    /// The casting that the part is made from.
    pub(super) fn casting(&self) -> Option<&GivenStock> {
        self.part.drawing.stock.as_ref().filter(|stock| stock.form == Form::Casting)
    }

    /// Whether the outline is cut, or stays as cast.
    pub(super) fn cuts_outline(&self) -> bool {
        self.casting().is_none_or(GivenStock::cuts_round)
    }

    /// Whether a face is cut.
    pub(super) fn cuts(&self, face: Face) -> bool {
        self.casting().is_none_or(|casting| casting.cuts(face))
    }

    /// The side and the end that positions are taken from: those at the datum, of a
    /// casting others where they alone are cut.
    pub(super) fn datum_edges(&self) -> (Option<Face>, Option<Face>) {
        let (side, end) = match &self.part.drawing.body {
            Body::Rectangle { datum, .. } => match datum {
                Corner::BottomLeft | Corner::Centre => (Face::Left, Face::Bottom),
                Corner::BottomRight => (Face::Right, Face::Bottom),
                Corner::TopLeft => (Face::Left, Face::Top),
                Corner::TopRight => (Face::Right, Face::Top),
            },
            _ => (Face::Left, Face::Bottom),
        };
        // Edges that are not there before the outline is cut round are none to work from.
        let squared = self.casting().is_none() || matches!(self.part.drawing.body, Body::Rectangle { .. });
        let first = |face: Face| {
            let other = super::places::opposite(face);
            [face, other].into_iter().find(|&face| squared && self.cuts(face))
        };
        (first(side), first(end))
    }

    /// The edges of a casting that are cut first, and those cut to size from them.
    pub(super) fn cast_edges(&self) -> (Vec<Face>, Vec<Face>) {
        let (side, end) = self.datum_edges();
        let first: Vec<Face> = side.into_iter().chain(end).collect();
        let then = SIDES.into_iter().filter(|&face| self.cuts(face) && !first.contains(&face)).collect();
        (first, then)
    }

    /// What is marked out to work from when no edges are cut: the first thing that is
    /// placed square to a face, best one that is cut from it.
    pub(super) fn marked(&self, face: Face) -> Option<FeatureId> {
        let in_face = [Axis::X, Axis::Y, Axis::Z].into_iter().filter(|&axis| axis != face.axis());
        let axes: Vec<Axis> = in_face.collect();
        let placed = |id: FeatureId| axes.iter().all(|&axis| self.part.at(id, axis).is_some());
        let hole = |f: &crate::drawing::Feature| f.kind.depth().is_some() || f.kind.pattern().is_some();
        let features = || self.part.features().filter(|(_, f)| f.face.axis() == face.axis());
        let here = features().find(|(id, f)| f.face == face && hole(f) && placed(*id));
        let through = || features().find(|(id, f)| hole(f) && placed(*id));
        let marked = here.or_else(through).or_else(|| features().find(|(id, _)| placed(*id)));
        marked.map(|(id, _)| id)
    }
}
