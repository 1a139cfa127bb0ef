//! What is impossible about a part, whatever workshop it is made in.

use super::{Axis, Body, Depth, Face, FeatureId, Kind, Part};
use crate::measure::Length;
use crate::problem::Problem;

impl Part<'_> {
    /// What no workshop could make: a hole that breaks out, a wall of nothing, a
    /// step that takes everything, arcs that cannot meet.
    pub fn impossible(&self) -> Vec<Problem> {
        let mut faults = Vec::new();
        let place = |fault: Problem, id: FeatureId| {
            let feature = self.feature(id);
            fault
                .at(format!("line {}, `{}`", feature.line, feature.name))
                .at(self.drawing.file.clone())
                .concerns(feature.name.clone())
        };
        if let Some(fault) = self.cannot_move() {
            return vec![fault.clone()];
        }
        let turned = matches!(self.drawing.body, Body::Turned { .. });
        if !turned && let Err(fault) = self.outline() {
            return vec![fault];
        }
        for found in self.walls() {
            if found.thickness.is_positive() {
                continue;
            }
            let first = &self.feature(found.first).name;
            // Edges that cross each other have no one amount, and edges that touch none at all.
            let by = match found.thickness.abs() {
                none if none == Length::ZERO => String::new(),
                by => format!(" by {} mm", by.decimals(3)),
            };
            let problem = match found.second {
                None => Problem::new(format!("`{first}` breaks out of the part{by}")).mend(
                    self.mend_break_out(found.first, "check its place and the size of the part around it"),
                ),
                Some(second) => {
                    Problem::new(format!("`{first}` breaks into `{}`{by}", self.feature(second).name))
                        .mend("check both places; if they are meant to meet, make one part of the other")
                }
            };
            let problem = place(problem.why("the metal between them would be nothing or less"), found.first);
            faults.push(match found.second {
                Some(second) => problem.concerns(self.feature(second).name.clone()),
                None => problem,
            });
        }
        for (id, feature) in self.features() {
            if let Some(fault) = self.impossible_depth(id) {
                faults.push(place(fault, id));
            }
            if let Some(fault) = self.impossible_open(id) {
                faults.push(place(fault, id));
            }
            if let Some(fault) = self.impossible_keyway(id) {
                faults.push(place(fault, id));
            }
            if let Some(fault) = self.impossible_curved(id) {
                faults.push(place(fault, id));
            }
            if let Some(fault) = self.impossible_hollow(id) {
                faults.push(place(fault, id));
            }
            let of_the_lathe = if turned { self.impossible_turned(id) } else { self.not_turned(id) };
            if let Some(fault) = of_the_lathe {
                faults.push(place(fault, id));
            }
            if let Kind::Slit { width, into, .. } = &feature.kind
                && self.cut_diameter(*into).is_some_and(|bore| self.size(*width) >= bore)
            {
                let fault = Problem::new(format!("`{}` is as wide as the bore it opens", feature.name))
                    .mend("check its width");
                faults.push(place(fault, id));
            }
        }
        // What only shows in three dimensions, of features that are not at fault already.
        // How deep metal is overlapped takes long to find, and a lathe part that is wrong
        // along its axis has been told so.
        let in_space =
            if turned && !faults.is_empty() { Vec::new() } else { super::solid::broken_in_space(self) };
        for fault in in_space {
            let known = |name: &String| faults.iter().any(|known: &Problem| known.concerned().contains(name));
            if !fault.concerned().iter().any(known) {
                faults.push(fault);
            }
        }
        faults
    }

    /// A depth that leaves nothing, or something in an edge that runs out of a face.
    fn impossible_depth(&self, id: FeatureId) -> Option<Problem> {
        let feature = self.feature(id);
        let too_deep = |what: &str, deep: Length, whole: Length| {
            (deep >= whole).then(|| {
                Problem::new(format!("`{}` {what} {deep}, and there are only {whole} there", feature.name))
                    .mend("check the depth, or leave it out for a hole right through")
            })
        };
        let turned = matches!(self.drawing.body, Body::Turned { .. });
        let in_plan = matches!(feature.face, Face::Front | Face::Back);
        let deep = match feature.kind.depth() {
            Some(Depth::To(d)) => Some(self.size(d)),
            _ => None,
        };
        match &feature.kind {
            Kind::Step { leaves, .. } => {
                too_deep("leaves", self.size(*leaves), self.whole(feature.face.axis()))
            }
            Kind::Counterbore { depth, over, .. } => {
                too_deep("goes", self.size(*depth), self.metal_at(self.hole_of(*over)))
            }
            Kind::Countersink { diameter, over, .. } => {
                let hole = self.cut_diameter(self.hole_of(*over))?;
                if self.size(*diameter) <= hole {
                    return Some(
                        Problem::new(format!("`{}` is no wider than the hole under it", feature.name))
                            .why(format!("{} over a hole of {hole}", self.size(*diameter)))
                            .mend("check its diameter"),
                    );
                }
                too_deep("goes", self.sunk(id)?, self.metal_at(self.hole_of(*over)))
            }
            kind if (kind.depth().is_some() || matches!(kind, Kind::ClampScrew { .. })) && !turned => {
                if in_plan {
                    return deep.and_then(|deep| too_deep("goes", deep, self.thickness_at(id)));
                }
                let z = self.at(id, Axis::Z)?;
                let reach = self.half_in_thickness(id)?;
                let open = [Face::Back, Face::Front].map(|face| self.open_toward(id, face));
                let wall = match open {
                    [true, true] => self.thickness_at(id),
                    [true, false] => self.thickness_at(id) - z - reach,
                    [false, true] => z - reach,
                    [false, false] => (z - reach).min(self.thickness_at(id) - z - reach),
                };
                if !wall.is_positive() {
                    return Some(
                        Problem::new(format!("`{}` runs out of the face by {}", feature.name, wall.abs()))
                            .mend(self.mend_break_out(
                                id,
                                "check how far it is from the back face, and the thickness there",
                            )),
                    );
                }
                deep.and_then(|deep| too_deep("goes", deep, self.metal_at(id)))
            }
            _ => None,
        }
    }

    /// A pocket whose corners do not fit, a flat that leaves no hole or is none.
    fn impossible_hollow(&self, id: FeatureId) -> Option<Problem> {
        let feature = self.feature(id);
        match feature.kind {
            Kind::Pocket { width, height, corner, .. } => {
                let least = self.size(width).min(self.size(height));
                (self.size(corner) * 2 > least).then(|| {
                    Problem::new(format!("the corners of `{}` do not fit in it", feature.name))
                        .why(format!("two radii of {} are more than {least}", self.size(corner)))
                        .mend("check its corner radius, its width and its height")
                })
            }
            Kind::Flatted { diameter, across, .. } => {
                let (whole, across) = (self.size(diameter), self.size(across));
                (across >= whole || across * 2 <= whole).then(|| {
                    Problem::new(format!("`{}` has no flat that could be filed", feature.name))
                        .why(format!(
                            "from the flat to the far side is {across}; that must be less than the round, {whole}, \
                             and more than half of it"
                        ))
                        .mend("check its diameter, and `across`: from the flat to the far side")
                })
            }
            _ => None,
        }
    }
}
