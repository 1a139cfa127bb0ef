//! What a hole, a pocket or what stands in one asks for: which tool follows which, and what waits
//! for the metal round it.

use super::{Before, Needs, Rule, goes_first, is_drill, is_for, of, overlap, rule, same_hole, thin};
use crate::drawing::Kind;
use crate::order::deed::{Deed, Token};
use crate::order::parted;
use crate::order::work::{Deep, Work};

/// The rules of holes, in plates and in turned parts.
pub(super) const RULES: &[Rule] = &[
    rule(
        "drill, then finish",
        "a reamer or boring tool only brings a drilled hole to size",
        Before(|_, _, a, b| {
            same_hole(a, b)
                && is_drill(a)
                && matches!(b.work, Work::Ream { .. } | Work::Bore { .. } | Work::TrueHole { .. })
        }),
    ),
    rule(
        "true, then ream",
        "the reamer follows the hole that the boring tool has brought to its place",
        Before(|_, _, a, b| {
            same_hole(a, b) && matches!((&a.work, &b.work), (Work::TrueHole { .. }, Work::Ream { .. }))
        }),
    ),
    rule(
        "drill, then tap",
        "a tap follows its own tapping drill",
        Before(|_, _, a, b| same_hole(a, b) && is_drill(a) && matches!(b.work, Work::Tap { .. })),
    ),
    rule(
        "drill, then open",
        "the clearance drill follows the tapping hole and so stays in line with it",
        Before(|_, _, a, b| same_hole(a, b) && is_drill(a) && matches!(b.work, Work::OpenClearance { .. })),
    ),
    rule(
        "open, then tap",
        "the clearance half steers the tap straight into the other half",
        Before(|_, _, a, b| {
            same_hole(a, b) && matches!((&a.work, &b.work), (Work::OpenClearance { .. }, Work::Tap { .. }))
        }),
    ),
    rule(
        "small drill, then large",
        "each drill of a stepped hole follows the smaller one",
        Before(|_, _, a, b| {
            let size = |deed: &Deed| match deed.work {
                Work::Drill { diameter, .. } => Some(diameter),
                _ => None,
            };
            same_hole(a, b) && matches!((size(a), size(b)), (Some(one), Some(two)) if one < two)
        }),
    ),
    rule(
        "drill, then ream the taper",
        "the taper reamer only opens what the stepped drills have left it",
        Before(|_, _, a, b| same_hole(a, b) && is_drill(a) && matches!(b.work, Work::TaperReam { .. })),
    ),
    rule(
        "bore, then pin",
        "the pin is drilled and reamed through boss and shaft together, the shaft in its finished bore",
        Before(|job, _, a, b| {
            let bore = b.feature.and_then(|id| job.part.pins(id));
            bore.is_some_and(|bore| a.feature == Some(bore)) && overlap(a, b)
        }),
    ),
    rule(
        "hole, then countersink",
        "the hole steers its countersink and keeps it from chattering",
        Before(|job, _, a, b| {
            let over = b.feature.map(|id| &job.part.feature(id).kind);
            matches!(over, Some(Kind::Countersink { over, .. }) if is_for(job, a, *over) || a.feature == Some(*over))
                && is_drill(a)
                && overlap(a, b)
        }),
    ),
    rule(
        "bore, then keyway",
        "a keyway is measured from the wall of its bore, and a drill, reamer or boring tool catches in one that is there",
        Before(|job, _, a, b| {
            let into = b.feature.map(|id| &job.part.feature(id).kind);
            b.work == Work::PlaneKeyway
                && matches!(into, Some(Kind::Keyway { into, .. }) if a.feature == Some(*into))
                && overlap(a, b)
        }),
    ),
    rule(
        "drill a way in",
        "the cutter goes down in a drilled hole: an end mill does not cut in its middle",
        Before(|job, _, a, b| {
            let stands = || a.feature.is_some_and(|hole| thin::drilled_before(job, hole, b));
            is_drill(a)
                && matches!(b.work, Work::MillPocket { .. })
                && (same_hole(a, b) || stands() && overlap(a, b))
        }),
    ),
    rule(
        "drill, then file",
        "the file or the broach goes in through a drilled hole",
        Before(|_, _, a, b| {
            same_hole(a, b)
                && is_drill(a)
                && matches!(b.work, Work::FileHole | Work::FileHoleRound { .. } | Work::Broach { .. })
        }),
    ),
    rule(
        "pocket, then its holes",
        "what stands in the floor of a pocket is placed and drilled from that floor",
        Before(|job, _, a, b| {
            let pocket = || b.feature.and_then(|id| job.part.in_pocket(job.part.hole_of(id)));
            let drilled = || is_drill(b) && b.feature.is_some_and(|id| thin::drilled_before(job, id, a));
            matches!(a.work, Work::MillPocket { .. })
                && pocket().is_some_and(|(pocket, _)| a.feature == Some(pocket))
                && !drilled()
                && !thin::through_thin(job, b, a)
                && overlap(a, b)
        }),
    ),
    rule(
        "step, then what stands in it",
        "what is cut in the floor of a step begins there, and its tool need not reach past metal that is gone",
        Before(|job, _, a, b| {
            let over = a.feature.zip(b.feature).is_some_and(|(step, id)| job.part.over_floor(step, id));
            matches!(a.work, Work::MillStep { .. }) && over && !thin::through_thin(job, b, a) && overlap(a, b)
        }),
    ),
    rule(
        "through, then thin",
        "a thin floor or web gives under a drill and a cutter: what goes through it is made in the whole metal",
        Before(|job, _, a, b| thin::through_thin(job, a, b) && overlap(a, b)),
    ),
    rule(
        "through the wall, then the pocket",
        "the wall that a pocket leaves thin gives under a drill from the side, and bulges under a tap",
        Before(|job, _, a, b| thin::through_thin_wall(job, a, b) && overlap(a, b)),
    ),
    rule(
        "milled beside a slit",
        "metal that a slit has cut free on one side springs under the cutter",
        Needs(|job, _, deed| {
            let mut bores = thin::beside_slits(job, deed);
            bores.extend(thin::stepped_slits(job, deed));
            bores.sort();
            bores.dedup();
            bores.into_iter().flat_map(|bore| of(job, deed.lot, |piece| Token::Solid(bore, piece))).collect()
        }),
    ),
    rule(
        "one half, then the other",
        "the second half of a deep hole is drilled into the first, which goes past the middle",
        Before(|_, _, a, b| {
            let deep = |deed: &Deed| match deed.work {
                Work::Drill { deep: Deep::To(deep), .. } => Some(deep),
                _ => None,
            };
            let halves = same_hole(a, b) && a.choice == b.choice && a.places != b.places;
            halves && matches!((deep(a), deep(b)), (Some(one), Some(other)) if one > other)
        }),
    ),
    rule(
        "hole, then counterbore",
        "the hole shows where its counterbore goes and takes the metal from the middle",
        Before(|job, _, a, b| {
            let over = b.feature.map(|id| &job.part.feature(id).kind);
            matches!(over, Some(Kind::Counterbore { over, .. }) if is_for(job, a, *over))
                && is_drill(a)
                && overlap(a, b)
        }),
    ),
    rule(
        "in order of size",
        "of tools of one kind the smaller goes first, as they stand in the rack, so that none is left out",
        Before(|job, _, a, b| {
            // What stands in a pocket or a step waits for it, whatever its size; bolts of a cap are drilled before it comes off.
            let waits = |deed: &Deed| {
                deed.feature.is_some_and(|id| {
                    job.part.in_pocket(job.part.hole_of(id)).is_some() || job.part.is_over_floor(id)
                })
            };
            let together = |a: &Deed, b: &Deed| {
                waits(a) == waits(b) && parted::for_a_bolt(job, a) == parted::for_a_bolt(job, b)
            };
            a.lot == b.lot && a.places == b.places && goes_first(a, b) && together(a, b)
        }),
    ),
];
