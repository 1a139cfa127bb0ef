//! What a slot and a saw cut may become: the widths of end mills and saws.

use super::buy::Buy;
use super::choice::{MadeWith, Refused};
use super::holes::mill_to_buy;
use super::rules::{INSIDE_CORNER, REACH, SAWN, SLOT, SLOT_SIDES, SLOT_TWO_PASSES};
use super::way::{Job, Owner, Way, mill_name};
use super::weigh::{convenient, unround};
use crate::bench::EndMill;
use crate::drawing::{Depth, DimensionId, Kind, Role};
use crate::measure::Length;
use crate::settings::slitting;
use crate::tables::processes::process;

/// Widths that slitting saws are sold in, in tenths of a millimetre (common practice).
const SAW_WIDTHS: [i64; 13] = [2, 3, 4, 5, 6, 8, 10, 12, 16, 20, 25, 30, 40];

/// How much deeper than drawn the metric part's slit may become: its boss may grow.
const DEEPER_MM: i64 = 1;

/// The ways of a saw cut, and the saws that do not reach.
pub fn saw_cut(job: &Job, id: DimensionId, limit: Length) -> (Vec<Way>, Vec<Refused>) {
    let exact = job.dimension(id).written.length;
    let deep = depth_of_cut(job, id);
    let (mut ways, mut refused) = (Vec::new(), Vec::new());
    let mut have = Vec::new();
    for saw in job.bench.saws.iter().filter(|saw| saw.width.gap(exact) <= limit) {
        let reach = slitting::reach(saw);
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
            let deep = deep.unwrap_or_default() + Length::mm(DEEPER_MM);
            let Some(saw) = slitting::saw_to_buy(width, deep) else {
                refused.push(Refused {
                    value: width,
                    with: format!("saw {width}"),
                    reason: format!("no standard saw reaches {deep} deep: {}", REACH.because),
                });
                continue;
            };
            let buy = Buy::saw(&saw);
            ways.push(Way::new(width, MadeWith::Saw(saw), &SAWN).buying(false, || buy));
        }
    }
    (ways, refused)
}

/// How deep a slit goes, as drawn.
fn depth_of_cut(job: &Job, id: DimensionId) -> Option<Length> {
    let Owner::Feature(slit) = job.owner(id) else { return None };
    job.part.slit_depth(slit)
}

/// The ways of a slot's width, and the end mills that do not reach.
pub fn slot(job: &Job, id: DimensionId, role: Role, limit: Length) -> (Vec<Way>, Vec<Refused>) {
    let exact = job.dimension(id).written.length;
    let deep = slot_depth(job, id);
    let near = |size: Length| size.gap(exact) <= limit;
    let (mut ways, mut refused) = (Vec::new(), Vec::new());
    let reaching: Vec<_> = job.bench.end_mills.iter().filter(|mill| mill.flute >= deep).collect();
    let sided = by_its_sides(exact, limit, &reaching);
    if !sided.is_empty() {
        return (sided, refused);
    }
    for mill in job.bench.end_mills.iter().filter(|mill| near(mill.diameter)) {
        if mill.flute >= deep {
            ways.push(Way::new(mill.diameter, MadeWith::EndMill(mill.clone()), &SLOT));
        } else {
            refused.push(Refused {
                value: mill.diameter,
                with: mill_name(mill.diameter),
                reason: format!(
                    "its flutes are {} long, and the slot is {deep} deep: {}",
                    mill.flute, REACH.because
                ),
            });
        }
    }
    let have = |size: Length| reaching.iter().any(|mill| mill.diameter == size);
    for size in convenient(exact, limit).into_iter().filter(|&size| unround(size) <= 1 && !have(size)) {
        let Some(mill) = mill_to_buy(size, deep) else {
            refused.push(out_of_reach(size, size, deep));
            continue;
        };
        let buy = Buy::reaching(&mill);
        ways.push(Way::new(size, MadeWith::EndMill(mill), &SLOT).buying(false, || buy));
    }
    // A slot that no cutter owned is as wide as is opened on both sides with a smaller one.
    let owned = ways.iter().any(|way| way.buys.is_empty());
    if role == Role::Free || !owned {
        let exactly = (!owned).then_some(exact);
        let sizes = convenient(exact, limit);
        let exactly = exactly.filter(|exact| !sizes.contains(exact));
        for size in sizes.into_iter().chain(exactly) {
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

/// The ways of a slot that is held nearer than one cut comes: with the widest cutter owned that is
/// narrower and reaches; none where the slot is not held so, or nothing owned is narrower.
fn by_its_sides(exact: Length, limit: Length, reaching: &[&EndMill]) -> Vec<Way> {
    if process("mill a slot").size.is_none_or(|near| limit >= near) {
        return Vec::new();
    }
    // A side takes a clean cut, and no more than a quarter of the cutter.
    let least = Length::microns(200);
    let serves = |mill: &&&EndMill| mill.diameter + least <= exact && mill.diameter * 3 >= exact * 2;
    let Some(mill) = reaching.iter().filter(serves).max_by_key(|mill| mill.diameter) else {
        return Vec::new();
    };
    let sizes = convenient(exact, limit);
    let exactly = (!sizes.contains(&exact)).then_some(exact);
    let way = |size| Way::new(size, MadeWith::EndMill((*mill).clone()), &SLOT_SIDES).unround(unround(size));
    sizes.into_iter().chain(exactly).map(way).collect()
}

/// An end mill that no maker has with flutes long enough.
fn out_of_reach(value: Length, across: Length, deep: Length) -> Refused {
    Refused {
        value,
        with: mill_name(across),
        reason: format!("none has flutes that reach {deep} deep: {}", REACH.because),
    }
}

/// How deep a slot is, as drawn.
fn slot_depth(job: &Job, id: DimensionId) -> Length {
    let Owner::Feature(slot) = job.owner(id) else { return Length::ZERO };
    match job.feature(slot).kind {
        Kind::Slot { depth: Depth::To(depth), .. } | Kind::CurvedSlot { depth: Depth::To(depth), .. } => {
            job.dimension(depth).written.length
        }
        _ => job.part.through(slot).unwrap_or_else(|| job.part.thickness()),
    }
}

/// The ways of an inside corner's radius: half the width of an end mill.
pub fn inside_corner(job: &Job, id: DimensionId, limit: Length) -> (Vec<Way>, Vec<Refused>) {
    let exact = job.dimension(id).written.length;
    let deep = recess_depth(job, id);
    let near = |radius: Length| radius.gap(exact) <= limit;
    let (mut ways, mut refused) = (Vec::new(), Vec::new());
    for mill in job.bench.end_mills.iter().filter(|mill| near(mill.diameter.half())) {
        if mill.flute >= deep {
            ways.push(Way::new(mill.diameter.half(), MadeWith::EndMill(mill.clone()), &INSIDE_CORNER));
        } else {
            refused.push(Refused {
                value: mill.diameter.half(),
                with: mill_name(mill.diameter),
                reason: format!(
                    "its flutes are {} long, and the pocket is {deep} deep: {}",
                    mill.flute, REACH.because
                ),
            });
        }
    }
    let have = |size: Length| ways.iter().any(|way| way.value * 2 == size);
    let sizes: Vec<Length> = convenient(exact * 2, limit * 2)
        .into_iter()
        .filter(|&size| unround(size) <= 1 && !have(size))
        .collect();
    for size in sizes {
        let Some(mill) = mill_to_buy(size, deep) else {
            refused.push(out_of_reach(size.half(), size, deep));
            continue;
        };
        let buy = Buy::reaching(&mill);
        ways.push(Way::new(size.half(), MadeWith::EndMill(mill), &INSIDE_CORNER).buying(false, || buy));
    }
    (ways, refused)
}

/// How deep a pocket is, as drawn; of a corner of the outline, the thickness.
fn recess_depth(job: &Job, id: DimensionId) -> Length {
    let Owner::Feature(pocket) = job.owner(id) else { return Length::ZERO };
    match job.feature(pocket).kind {
        Kind::Pocket { depth: Depth::To(depth), .. } => job.dimension(depth).written.length,
        Kind::Corner { .. } => job.part.thickness(),
        _ => job.part.through(pocket).unwrap_or_else(|| job.part.thickness()),
    }
}
