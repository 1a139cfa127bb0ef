//! What a slot and a saw cut may become: the widths of end mills and saws.

use super::choice::{MadeWith, Refused};
use super::holes::standard_mill;
use super::rules::{REACH, SAWN, SLOT, SLOT_TWO_PASSES};
use super::way::{Job, Owner, Way};
use super::weigh::{convenient, unround};
use crate::bench::Saw;
use crate::drawing::{Depth, DimensionId, Face, Kind, Role};
use crate::measure::Length;

/// Widths that slitting saws are sold in, in tenths of a millimetre (common practice).
const SAW_WIDTHS: [i64; 13] = [2, 3, 4, 5, 6, 8, 10, 12, 16, 20, 25, 30, 40];

/// A saw to buy is taken to be this large, on a collar so large (common practice).
const STANDARD_SAW_MM: (i64, i64) = (63, 25);

/// Left between the collar and the work.
const COLLAR_ROOM_MM: i64 = 1;

/// The ways of a saw cut, and the saws that do not reach.
pub fn saw_cut(job: &Job, id: DimensionId, limit: Length) -> (Vec<Way>, Vec<Refused>) {
    let exact = job.dimension(id).written.length;
    let deep = depth_of_cut(job, id);
    let (mut ways, mut refused) = (Vec::new(), Vec::new());
    let mut have = Vec::new();
    for saw in job.bench.saws.iter().filter(|saw| saw.width.gap(exact) <= limit) {
        let reach = (saw.diameter - saw.collar).half() - Length::mm(COLLAR_ROOM_MM);
        if deep.is_some_and(|deep| deep > reach) {
            refused.push(Refused {
                value: saw.width,
                with: format!("saw {}", saw.width),
                reason: format!(
                    "it reaches {reach} deep, and the cut is {} deep: {}",
                    deep.unwrap_or_default(),
                    REACH.because
                ),
            });
        } else {
            have.push(saw.width);
            ways.push(Way::new(saw.width, MadeWith::Saw(saw.clone()), &SAWN));
        }
    }
    for width in SAW_WIDTHS.map(|tenths| Length::microns(tenths * 100)) {
        if width.gap(exact) <= limit && !have.contains(&width) {
            let (diameter, collar) = (Length::mm(STANDARD_SAW_MM.0), Length::mm(STANDARD_SAW_MM.1));
            let saw = Saw { diameter, width, collar, teeth: 64 };
            ways.push(Way::new(width, MadeWith::Saw(saw), &SAWN).buying(false, || format!("saw {width}")));
        }
    }
    (ways, refused)
}

/// From the outside to the middle of the bore that a slit opens, as drawn.
fn depth_of_cut(job: &Job, id: DimensionId) -> Option<Length> {
    let Owner::Feature(slit) = job.owner(id) else { return None };
    let Kind::Slit { into, toward, .. } = job.feature(slit).kind else { return None };
    let (x, y) = job.part.xy(into)?;
    let [left, right, bottom, top] = job.part.edges();
    Some(match toward {
        Face::Left => x - left,
        Face::Right => right - x,
        Face::Bottom => y - bottom,
        Face::Top | Face::Front | Face::Back => top - y,
    })
}

/// The ways of a slot's width, and the end mills that do not reach.
pub fn slot(job: &Job, id: DimensionId, role: Role, limit: Length) -> (Vec<Way>, Vec<Refused>) {
    let exact = job.dimension(id).written.length;
    let deep = slot_depth(job, id);
    let near = |size: Length| size.gap(exact) <= limit;
    let (mut ways, mut refused) = (Vec::new(), Vec::new());
    let reaching: Vec<_> = job.bench.end_mills.iter().filter(|mill| mill.flute >= deep).collect();
    for mill in job.bench.end_mills.iter().filter(|mill| near(mill.diameter)) {
        if mill.flute >= deep {
            ways.push(Way::new(mill.diameter, MadeWith::EndMill(mill.clone()), &SLOT));
        } else {
            refused.push(Refused {
                value: mill.diameter,
                with: format!("end mill {}", mill.diameter),
                reason: format!(
                    "its flutes are {} long, and the slot is {deep} deep: {}",
                    mill.flute, REACH.because
                ),
            });
        }
    }
    let have = |size: Length| reaching.iter().any(|mill| mill.diameter == size);
    for size in convenient(exact, limit).into_iter().filter(|&size| unround(size) <= 1 && !have(size)) {
        let way = Way::new(size, MadeWith::EndMill(standard_mill(size)), &SLOT);
        ways.push(way.buying(false, || format!("end mill {size}")));
    }
    if role == Role::Free {
        for size in convenient(exact, limit) {
            // Two passes beside each other overlap when the mill is over half the width.
            let mill = reaching.iter().rfind(|mill| mill.diameter < size && mill.diameter * 2 > size);
            if let Some(&mill) = mill {
                ways.push(
                    Way::new(size, MadeWith::EndMill(mill.clone()), &SLOT_TWO_PASSES)
                        .unround(unround(size) + 1),
                );
            }
        }
    }
    (ways, refused)
}

/// How deep a slot is, as drawn.
fn slot_depth(job: &Job, id: DimensionId) -> Length {
    let Owner::Feature(slot) = job.owner(id) else { return Length::ZERO };
    match job.feature(slot).kind {
        Kind::Slot { depth: Depth::To(depth), .. } => job.dimension(depth).written.length,
        _ => job.part.thickness_at(slot),
    }
}
