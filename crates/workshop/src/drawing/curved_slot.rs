//! Slots round an arc: the curved slot of an expansion link or a quadrant.

use std::f64::consts::{PI, TAU};

use super::features::{angle, depth};
use super::reader::Reader;
use super::{Axis, Face, FeatureId, Image, Kind, Measures, Part, Sweep};
use crate::document::Sheet;
use crate::geometry::{Arc, Outline, Point, Segment, slot_edge};
use crate::measure::Length;
use crate::problem::Problem;

/// Reads one: its width, the radius along its middle, and how far it goes.
pub(super) fn read(reader: &mut Reader, sheet: &Sheet, name: &str, face: Face) -> Option<Kind> {
    let titled = |what: &str| format!("{name}: {what}");
    let width = reader.need_dimension(sheet, "width", &titled("width"), Measures::SlotWidth);
    let radius = reader.need_dimension(sheet, "radius", &titled("radius"), Measures::Position);
    let reach = sweep(reader, sheet, name);
    let depth = depth(reader, sheet, name)?;
    if !matches!(face, Face::Front | Face::Back) {
        reader.faults.push(
            Problem::new(format!("{name} is cut from the {}", face.word()))
                .at(sheet.place())
                .why("a curved slot is cut in a large face: the front or the back of the part")
                .mend(
                    "turn the drawing so that the slot is seen from the front, or leave `face` out; a round part with \
                     such a slot in its end is entered with `kind = \"disc\"` in `[body]`",
                ),
        );
        return None;
    }
    Some(Kind::CurvedSlot { width: width?, radius: radius?, reach: reach?, depth })
}

/// How far it goes: between two directions, or to either side of its middle.
fn sweep(reader: &mut Reader, sheet: &Sheet, name: &str) -> Option<Sweep> {
    let has = |key: &str| sheet.get(key).is_some();
    let (between, across) = ([has("from"), has("to")], [has("middle"), has("centres")]);
    if between == [true, true] && across == [false, false] {
        let (from, to) = (angle(reader, sheet, "from", "-20°")?, angle(reader, sheet, "to", "20°")?);
        return Some(Sweep::Between { from, to });
    }
    if across == [true, true] && between == [false, false] {
        let title = format!("{name}: between centres");
        let centres = reader.need_dimension(sheet, "centres", &title, Measures::Position)?;
        return Some(Sweep::Across { middle: angle(reader, sheet, "middle", "90°")?, centres });
    }
    // Asked for, so that a key that is there counts as known.
    for key in ["from", "to", "middle"].into_iter().filter(|key| has(key)) {
        angle(reader, sheet, key, "20°")?;
    }
    reader.faults.push(
        Problem::new(format!("nothing settles from where to where {name} goes"))
            .at(sheet.place())
            .why(
                "seen from the centre of its arc it goes anticlockwise between two directions, or as far to either \
                 side of one; the drawing gives one or the other",
            )
            .mend(
                "give `from = \"-20°\"` and `to = \"20°\"`, the directions of the middles of its round ends; or \
                 `middle = \"0°\"` and `centres = \"1 1/2\"`, straight from the one to the other",
            ),
    );
    None
}

impl Part<'_> {
    /// The middle line of a curved slot as the part lies, anticlockwise from the centre of one round
    /// end to that of the other; none of what is no such slot, or whose ends lie farther apart
    /// than its circle is wide.
    pub fn curved_arc(&self, id: FeatureId) -> Option<Arc> {
        let Kind::CurvedSlot { radius, reach, .. } = self.feature(id).kind else { return None };
        let (x, y) = (self.placed_at(id, Axis::X)?, self.placed_at(id, Axis::Y)?);
        let radius_mm = self.size(radius).as_mm();
        let (start_rad, sweep_rad) = match reach {
            Sweep::Between { from, to } => (from.as_rad(), (to - from).within_turn().as_rad()),
            Sweep::Across { middle, centres } => {
                let half_rad = (self.size(centres).half().as_mm() / radius_mm).asin();
                (middle.as_rad() - half_rad, 2.0 * half_rad)
            }
        };
        if !sweep_rad.is_finite() || sweep_rad <= 0.0 {
            return None;
        }
        let start_rad = match self.image {
            Image::Drawn => start_rad,
            Image::Mirrored => PI - start_rad - sweep_rad,
        };
        Some(Arc { centre: Point::at(x, y), radius_mm, start_rad, sweep_rad })
    }

    /// The edge of a curved slot in plan, as the part lies.
    pub fn curved_edge(&self, id: FeatureId) -> Option<Outline> {
        let half_mm = self.cut_diameter(id)?.half().as_mm();
        Outline::new(slot_edge(&Segment::Arc(self.curved_arc(id)?), half_mm)).ok()
    }

    /// Half-way along the middle line of a curved slot.
    pub(super) fn curved_middle(&self, id: FeatureId) -> Option<Point> {
        self.curved_arc(id).map(|arc| Segment::Arc(arc).along(0.5))
    }

    /// A curved slot that no arc has, or that runs into itself.
    pub(super) fn impossible_curved(&self, id: FeatureId) -> Option<Problem> {
        let feature = self.feature(id);
        let Kind::CurvedSlot { width, radius, reach, .. } = feature.kind else { return None };
        let (wide, round) = (self.size(width), self.size(radius));
        let fault = |what: &str| Problem::new(format!("`{}` {what}", feature.name));
        if wide.half() >= round {
            return Some(
                fault("is wider than its arc leaves room for")
                    .why(format!(
                        "half its width, {}, reaches the centre of a radius of {round}",
                        wide.half()
                    ))
                    .mend("check its width, and the radius along its middle"),
            );
        }
        if let Sweep::Across { centres, .. } = reach
            && self.size(centres) >= round * 2
        {
            return Some(
                fault("has ends farther apart than its circle is wide")
                    .why(format!("{} between them, on a circle of {}", self.size(centres), round * 2))
                    .mend("check `centres`, straight from the centre of one round end to the other, and `radius`"),
            );
        }
        let Some(arc) = self.curved_arc(id) else {
            return Some(
                fault("goes nowhere: both its ends lie in one direction")
                    .why("it goes anticlockwise from `from` to `to`")
                    .mend("check both directions; for a ring right round turn a recess instead"),
            );
        };
        // The gap between its round ends, straight across.
        let apart_mm = 2.0 * arc.radius_mm * ((TAU - arc.sweep_rad) / 2.0).sin();
        (arc.sweep_rad > PI && apart_mm <= wide.as_mm()).then(|| {
            fault("runs into itself")
                .why(format!(
                    "the centres of its ends are {} apart the other way round, and it is {wide} wide",
                    Length::nearest(apart_mm.max(0.0))
                ))
                .mend("check `from` and `to`: it goes anticlockwise from the first to the second")
        })
    }
}
