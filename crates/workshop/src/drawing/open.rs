//! Slots that run out through the outside: the gap of a fork, a keyway open at one end,
//! a slot right across.

use super::features::FACES;
use super::reader::Reader;
use super::stating::plane;
use super::{Axis, Body, Depth, Face, FeatureId, Kind, Part};
use crate::document::Sheet;
use crate::geometry::wall::{Shape, wall};
use crate::geometry::{Outline, Point, Segment, crossings};
use crate::measure::{Angle, Length};
use crate::problem::Problem;

/// Slots that lie at less than 30° to each other run together and do not cross.
const CROSSING: f64 = 0.5;

/// How nearly a slot must run square to the side that it opens.
const SQUARE: f64 = 1.0 - 1e-12;

/// The sides through which a slot runs out; none where the file is at fault.
pub(super) fn read(
    reader: &mut Reader,
    sheet: &Sheet,
    name: &str,
    face: Face,
    along: Angle,
) -> Option<Vec<Face>> {
    let before = reader.faults.len();
    let mut open = Vec::new();
    for (text, line) in sheet.texts("open", &mut reader.faults) {
        let at = format!("line {line}, `open`");
        let Some(&(_, side)) = FACES.iter().find(|(word, _)| word.eq_ignore_ascii_case(text.trim())) else {
            let list = FACES.map(|(word, _)| format!("`{word}`")).join(", ");
            reader.faults.push(
                Problem::new(format!("`{text}` is not known for `open`"))
                    .at(at)
                    .why("a slot runs out through a side of the part")
                    .mend(format!("it may be {list}")),
            );
            continue;
        };
        if side.axis() == face.axis() || share(face, along, side).abs() < SQUARE {
            reader.faults.push(
                Problem::new(format!("{name} does not run toward the {}", side.word()))
                    .at(at)
                    .why(format!("cut from the {}, it runs along {along}", face.word()))
                    .mend("name a side that it runs square to, or turn it with `along`"),
            );
        } else if open.contains(&side) {
            reader.faults.push(
                Problem::new(format!("{name} is open at the {} twice", side.word()))
                    .at(at)
                    .why("a slot has two ends, at opposite sides")
                    .mend("name each side once"),
            );
        } else {
            open.push(side);
        }
    }
    (reader.faults.len() == before).then_some(open)
}

/// The direction of a slot that states none: toward the side that it runs out through.
pub(super) fn toward(sheet: &Sheet, face: Face) -> Angle {
    let [_, up] = plane(face);
    let texts = sheet.texts("open", &mut Vec::new());
    let side = texts.iter().find_map(|&(text, _)| {
        FACES.iter().find(|(word, _)| word.eq_ignore_ascii_case(text.trim())).map(|&(_, side)| side)
    });
    if side.is_some_and(|side| side.axis() == up) { Angle::degrees(90) } else { Angle::default() }
}

/// How far toward a side the direction of an angle in a face goes, as a share of its length.
fn share(face: Face, along: Angle, side: Face) -> f64 {
    let [across, _] = plane(face);
    let (sin, cos) = along.as_rad().sin_cos();
    let way = if side.axis() == across { cos } else { sin };
    if matches!(side, Face::Right | Face::Top | Face::Front) { way } else { -way }
}

impl Part<'_> {
    /// The sides, as drawn, through which a slot runs out at its two ends: the end against
    /// its direction first.
    pub fn slot_opens(&self, id: FeatureId) -> [Option<Face>; 2] {
        let mut ends = [None; 2];
        let feature = self.feature(id);
        if let Kind::Slot { along, open, .. } = &feature.kind {
            for &side in open {
                ends[usize::from(share(feature.face, *along, side) > 0.0)] = Some(side);
            }
        }
        ends
    }

    /// From the place of a slot, along its direction, to the centres of its two ends in
    /// millimetres. Where it is open it goes so far beyond the outside.
    pub fn slot_span_mm(&self, id: FeatureId, beyond_mm: f64) -> Option<[f64; 2]> {
        let Kind::Slot { centres, .. } = self.feature(id).kind else { return None };
        let opens = self.slot_opens(id);
        if opens == [None; 2] {
            let half_mm = self.size(centres?).half().as_mm();
            return Some([-half_mm, half_mm]);
        }
        let out_mm = |side: Option<Face>| match side {
            None => Some(0.0),
            Some(side) => Some(self.to_outside(id, side)?.as_mm() + beyond_mm),
        };
        Some([-out_mm(opens[0])?, out_mm(opens[1])?])
    }

    /// Whether two slots of one face lie across each other, as those in the back of a slide valve
    /// do: the middle line of each runs through that of the other, and neither grazes it.
    pub(super) fn slots_cross(&self, a: FeatureId, b: FeatureId) -> bool {
        let line = |id: FeatureId| {
            let feature = self.feature(id);
            let Kind::Slot { along, .. } = feature.kind else { return None };
            let [first, second] = plane(feature.face);
            let at = [self.at(id, first)?.as_mm(), self.at(id, second)?.as_mm()];
            let mirrored = self.image == super::Image::Mirrored && first == Axis::X;
            let (sin, cos) = along.as_rad().sin_cos();
            Some((feature.face, at, [if mirrored { -cos } else { cos }, sin], self.slot_span_mm(id, 0.0)?))
        };
        let (Some((face, p, d, own)), Some((other, q, e, theirs))) = (line(a), line(b)) else { return false };
        let square = d[0] * e[1] - d[1] * e[0];
        if a == b || face != other || square.abs() < CROSSING {
            return false;
        }
        let apart = [q[0] - p[0], q[1] - p[1]];
        let within = |along: f64, span: [f64; 2]| span[0] <= along && along <= span[1];
        within((apart[0] * e[1] - apart[1] * e[0]) / square, own)
            && within((apart[0] * d[1] - apart[1] * d[0]) / square, theirs)
    }

    /// From the place of a feature to the furthest that the part reaches toward a side.
    fn to_outside(&self, id: FeatureId, side: Face) -> Option<Length> {
        let at = self.at(id, side.axis())?;
        let [left, right, bottom, top] = self.edges();
        Some(match self.side(side) {
            Face::Left => at - left,
            Face::Right => right - at,
            Face::Bottom => at - bottom,
            Face::Top => top - at,
            Face::Back => at,
            Face::Front => self.thickness() - at,
        })
    }

    /// The edge of an open slot between the ends of its middle line: no line across an open end.
    pub fn slot_edge(&self, id: FeatureId, [from, to]: [Point; 2]) -> Vec<Segment> {
        use std::f64::consts::{FRAC_PI_2, PI};
        let radius_mm = self.cut_diameter(id).unwrap_or_default().half().as_mm();
        let along = from.direction_rad(to);
        let side =
            |turn: f64| Segment::line(from.polar(radius_mm, along + turn), to.polar(radius_mm, along + turn));
        let mut lines = vec![side(FRAC_PI_2), side(-FRAC_PI_2)];
        let [first, last] = self.slot_opens(id);
        if first.is_none() {
            lines.push(Segment::arc(from, radius_mm, along + FRAC_PI_2, PI));
        }
        if last.is_none() {
            lines.push(Segment::arc(to, radius_mm, along - FRAC_PI_2, PI));
        }
        lines
    }

    /// The wall from a cut in plan to the outside; of an open slot, to what it does not run
    /// out through, if there is such.
    pub(super) fn wall_to_outside_mm(&self, id: FeatureId, shape: &Shape, outline: &Outline) -> Option<f64> {
        let (Shape::Slot { centre_line, radius_mm }, true) = (shape, self.slot_opens(id) != [None; 2]) else {
            return Some(wall(shape, &Shape::Outline(outline.clone())).thickness_mm);
        };
        let (from, to) = (centre_line.start(), centre_line.end());
        let ends = self.slot_opens(id).into_iter().zip([from, to]);
        if ends.into_iter().any(|(open, end)| open.is_none() && !outline.contains(end)) {
            // Beyond the side it is open at: said there.
            return self.impossible_open(id).is_none().then_some(-radius_mm);
        }
        // What lies across its way is its mouth.
        let along = from.direction_rad(to);
        let way = Segment::line(from.polar(-1.0, along), to.polar(1.0, along));
        let beside = outline.segments().iter().filter(|side| crossings(side, &way).is_empty());
        beside
            .map(|side| wall(shape, &Shape::Slot { centre_line: *side, radius_mm: 0.0 }).thickness_mm)
            .reduce(f64::min)
    }

    /// True when a hole crosses the gap of a fork on purpose: square to the walls of the gap,
    /// and through both of its cheeks.
    pub(super) fn crosses_gap(&self, slot: FeatureId, hole: FeatureId) -> bool {
        let Some(open) = self.slot_opens(slot).into_iter().flatten().next() else { return false };
        let (face, enters) = (self.feature(slot).face, self.feature(hole).face);
        let (along, across) = (open.axis(), enters.axis());
        if across == face.axis() || across == along {
            return false;
        }
        let within = |slot_at: Length, hole_at: Length| {
            let Some([from_mm, to_mm]) = self.slot_span_mm(slot, 0.0) else { return false };
            let positive = share(face, self.slot_along(slot), open) > 0.0;
            let toward = matches!(self.side(open), Face::Right | Face::Top | Face::Front) == positive;
            let off_mm = (hole_at - slot_at).as_mm() * if toward { 1.0 } else { -1.0 };
            from_mm <= off_mm && off_mm <= to_mm
        };
        let (Some(slot_at), Some(hole_at)) = (self.at(slot, along), self.at(hole, along)) else {
            return false;
        };
        let past_both = match self.feature(hole).kind.depth() {
            Some(Depth::Through) => true,
            Some(Depth::To(deep)) => {
                let half = self.cut_diameter(slot).unwrap_or_default().half();
                self.to_outside(slot, enters).is_some_and(|wall| self.size(deep) >= wall + half)
            }
            None => false,
        };
        past_both && within(slot_at, hole_at)
    }

    fn slot_along(&self, id: FeatureId) -> Angle {
        match self.feature(id).kind {
            Kind::Slot { along, .. } => along,
            _ => Angle::default(),
        }
    }

    /// The side that a slot breaks out of which is not said to be open there.
    pub(super) fn runs_out(&self, id: FeatureId) -> Option<Face> {
        let feature = self.feature(id);
        let (Kind::Slot { along, .. }, false) = (&feature.kind, self.is_turned()) else { return None };
        if self.slot_opens(id) != [None; 2] {
            return None;
        }
        let [_, half_mm] = self.slot_span_mm(id, 0.0)?;
        let reach_mm = half_mm + self.cut_diameter(id)?.half().as_mm();
        let sides = [Face::Right, Face::Left, Face::Top, Face::Bottom, Face::Front, Face::Back];
        sides.into_iter().find(|&side| {
            side.axis() != feature.face.axis()
                && share(feature.face, *along, side).abs() >= SQUARE
                && self.to_outside(id, side).is_some_and(|out| out.as_mm() < reach_mm)
        })
    }

    /// How to mend a break-out: of a slot, by saying that it is meant.
    pub(super) fn mend_break_out(&self, id: FeatureId, otherwise: &str) -> String {
        match self.runs_out(id) {
            Some(side) => format!(
                "where it is meant to run out write `open = \"{}\"` and place it by the centre of its closed \
                 end; else {otherwise}",
                side.word()
            ),
            None => otherwise.to_owned(),
        }
    }

    fn is_turned(&self) -> bool {
        matches!(self.drawing.body, Body::Turned { .. })
    }

    /// An open slot that does not reach the outside, or begins beyond it.
    pub(super) fn impossible_open(&self, id: FeatureId) -> Option<Problem> {
        let feature = self.feature(id);
        let Kind::Slot { centres, .. } = feature.kind else { return None };
        let opens = self.slot_opens(id);
        let side = opens.into_iter().flatten().next()?;
        if self.is_turned() {
            return Some(
                Problem::new(format!("`{}` cannot be open on a turned part", feature.name))
                    .why("`open` names a flat side of a plate or block")
                    .mend("leave `open` out, and give `centres` long enough to run out of the round"),
            );
        }
        let mut needed = Length::ZERO;
        for side in opens.into_iter().flatten() {
            let out = self.to_outside(id, side)?;
            if !out.is_positive() {
                return Some(
                    Problem::new(format!(
                        "`{}` begins {} beyond the {}",
                        feature.name,
                        out.abs(),
                        side.word()
                    ))
                    .why("it is placed by the centre of its closed end, or by a point of its middle line")
                    .mend("check its place, and the side that it is open at"),
                );
            }
            needed += out;
        }
        let given = self.size(centres?);
        (given < needed).then(|| {
            Problem::new(format!("`{}` is {given} long and does not reach the {}", feature.name, side.word()))
                .why(format!("from its closed end, or from side to side, there are {needed}"))
                .mend("leave `centres` out: an open slot runs to the outside")
        })
    }

    /// Whether a feature is open toward a face.
    pub(super) fn open_toward(&self, id: FeatureId, face: Face) -> bool {
        self.slot_opens(id).contains(&Some(face))
    }

    /// The axis along which an open slot runs.
    pub fn open_axis(&self, id: FeatureId) -> Option<Axis> {
        self.slot_opens(id).into_iter().flatten().next().map(Face::axis)
    }
}
