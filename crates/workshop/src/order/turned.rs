//! What is done to a part turned from bar.
//!
//! One end is finished while it sticks out of the chuck, the work is parted off,
//! turned round and held by a section that is finished. Which end goes first is a
//! [`First`]; both are planned and the better kept. What is turned about an axis of its
//! own is held off centre, by the bar or by a section; what is milled comes last.

use super::deed::{Job, Lot, Makings};
use super::plates::add;
use super::turned_lathe::{at_the_parting, one_end};
use super::work::{Held, Holding, Located, Machine, Tool, Work};
use super::{turned_mill, work};
use crate::drawing::{Face, FeatureId, Kind, SectionEnd, SectionSize};
use crate::measure::Length;
use crate::problem::{Outcome, Problem};

/// Which end is finished first.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum First {
    /// The right end.
    Right,
    /// The left end.
    Left,
}

/// Least length a finished section is gripped by; common practice, from memory: a
/// collet or soft jaws close true on no less.
fn least_grip() -> Length {
    Length::mm(6)
}

/// Two diameters nearer than this that do not meet flush look like a slip of the pen.
fn nearly_flush() -> Length {
    Length::microns(250)
}

/// Everything that may be done to a turned part, and where.
pub(super) fn makings(job: &Job, first: First) -> Outcome<Makings> {
    let sections = job.part.sections();
    let fault = |fault: Problem| vec![fault.at(job.part.drawing.file.clone())];
    fits_the_lathe(job).map_err(fault)?;
    let mut makings = Makings::default();
    let (ends, near, far) = split(job, sections, first);
    one_end(job, &mut makings, ends[0], &near, &[None]);
    // A casting comes by itself: nothing is parted from a bar.
    if job.casting().is_none() {
        let bar = makings.place(job, Lot::Piece(0), chucked(job, ends[0], None));
        add(job, &mut makings, Work::PartOff, None, Lot::Piece(0), Tool::PartingTool, vec![bar]);
    }
    if let Some(casting) = job.casting().filter(|casting| casting.allowance.is_none()) {
        makings.assume(format!("{} is left on what is turned of the casting", casting.left_on()));
    }
    let grips = held_by(job, &mut makings, (&near, &far), ends[0]).ok_or_else(|| {
        fault(
            Problem::new(format!("after parting off, nothing of `{}` can be held true", job.part.drawing.name))
                .why("the other end is turned with the work held by a finished plain section at least 6 mm and its own diameter long")
                .mend("lengthen a section, or leave a chucking piece on the drawing and saw it off last"),
        )
    })?;
    thrown_within_the_grip(job, &far, &grips).map_err(fault)?;
    one_end(job, &mut makings, ends[1], &far, &grips);
    at_the_parting(job, &mut makings, ends, &near, &grips);
    turned_mill::all(job, &mut makings).map_err(fault)?;
    nearly_flush_tapers(job, &mut makings);
    super::harden::all(job, &mut makings);
    Ok(makings)
}

/// What the work is held by for its second end: any section that is long enough, or,
/// where little is done there, the longest that jaws close on at all.
fn held_by(
    job: &Job,
    makings: &mut Makings,
    (near, far): (&[FeatureId], &[FeatureId]),
    inside: Face,
) -> Option<Vec<Option<FeatureId>>> {
    let held = |id: &FeatureId| goes_in(job, *id, inside);
    let long: Vec<Option<FeatureId>> =
        near.iter().copied().filter(held).filter(|&id| grips(job, id)).map(Some).collect();
    if !long.is_empty() {
        return Some(long);
    }
    let out: Length = far.iter().map(|&id| job.part.section_length(id)).sum();
    let short = |id: &FeatureId| {
        let length = job.part.section_length(*id);
        runs_true(job, *id) && length >= least_grip() && length >= out
    };
    let on = near.iter().copied().filter(held).filter(short).max_by_key(|&id| job.part.section_length(id))?;
    makings.assume(format!(
        "{} gives the jaws only {} to hold for the other end: light cuts there",
        job.name(on),
        job.part.section_length(on)
    ));
    Some(vec![Some(on)])
}

/// Whether jaws still hold a section round when an eccentric section runs true: no jaw
/// passes the middle of the chuck.
pub(super) fn throws_in(job: &Job, section: FeatureId, on: FeatureId) -> bool {
    let Kind::Section { throw: Some(throw), .. } = job.part.feature(section).kind else { return true };
    job.part.cut_diameter(on).is_some_and(|gripped| gripped.half() > job.part.size(throw.offset))
}

/// Every eccentric section of the second end can be set true by some section.
fn thrown_within_the_grip(job: &Job, far: &[FeatureId], on: &[Option<FeatureId>]) -> Result<(), Problem> {
    let stuck = |&&id: &&FeatureId| !on.iter().flatten().any(|&on| throws_in(job, id, on));
    match far.iter().find(stuck) {
        None => Ok(()),
        Some(&id) => Err(Problem::new(format!("`{}` cannot be set true in the chuck", job.name(id)))
            .at(format!("line {}", job.part.feature(id).line))
            .why("its throw is more than half of every section that could be gripped: a jaw would have to pass the middle of the chuck")
            .mend("turn it between offset centres, or leave a thicker chucking piece on the drawing")),
    }
}

/// Whether the lathe is there, long enough, and swings what turns in it.
fn fits_the_lathe(job: &Job) -> Result<(), Problem> {
    let name = &job.part.drawing.name;
    let Some(lathe) = &job.bench.lathe else {
        return Err(Problem::new(format!("`{name}` is turned, and there is no lathe"))
            .why("its sections are round and coaxial: nothing else on the bench makes them so")
            .mend("add a `[lathe]` to the bench file"));
    };
    let long = job.part.thickness();
    if long > lathe.between_centres {
        return Err(Problem::new(format!("`{name}` is too long for the lathe"))
            .why(format!("it is {long} long, and the lathe takes {} between centres", lathe.between_centres))
            .mend(
                "correct `between_centres` in the bench file, use a longer lathe, or make it of two parts",
            ));
    }
    // Held off centre, the bar swings wider by twice the throw.
    let throw = |&id: &FeatureId| match job.part.feature(id).kind {
        Kind::Section { throw: Some(throw), .. } => job.part.size(throw.offset),
        _ => Length::ZERO,
    };
    let thrown = job.part.sections().iter().map(throw).max().unwrap_or_default();
    let swings = job.part.bar_needed() + thrown * 2;
    if swings > lathe.swing {
        return Err(Problem::new(format!("`{name}` is too large for the lathe"))
            .why(format!("turning, it takes {swings}, and the lathe swings {}", lathe.swing))
            .mend("correct `swing` in the bench file, or use a larger lathe"));
    }
    Ok(())
}

/// The ends in order, the sections turned at the first, and those at the second. The
/// largest section goes with the first end, since the bar behind it is parted there.
fn split(job: &Job, sections: &[FeatureId], first: First) -> ([Face; 2], Vec<FeatureId>, Vec<FeatureId>) {
    let size = |id: &FeatureId| job.part.reach_of(*id).unwrap_or_default();
    let most = sections.iter().map(size).max().unwrap_or_default();
    match first {
        First::Right => {
            let at = sections.iter().position(|id| size(id) == most).unwrap_or(0);
            ([Face::Right, Face::Left], sections[at..].to_vec(), sections[..at].to_vec())
        }
        First::Left => {
            let at = sections.iter().rposition(|id| size(id) == most).unwrap_or(0);
            ([Face::Left, Face::Right], sections[..=at].to_vec(), sections[at + 1..].to_vec())
        }
    }
}

/// Held for turning, by the bar or by a section; in a collet where one fits.
pub(super) fn chucked(job: &Job, end: Face, on: Option<FeatureId>) -> Holding {
    let round = on.filter(|&id| !is_bar(job, id));
    let collet =
        round.and_then(|id| job.part.cut_diameter(id)).is_some_and(|d| job.bench.collets.contains(&d));
    let held = if collet { Held::Collet { on } } else { Held::Chuck { on } };
    in_lathe(job, end, held)
}

/// Held off centre, so that a section's own axis runs true.
pub(super) fn off_centre(job: &Job, end: Face, on: Option<FeatureId>, section: FeatureId) -> Holding {
    // Sections on one axis share a holding: it is named for the first of them.
    let same = |id: &&FeatureId| job.part.section_axis(**id) == job.part.section_axis(section);
    let first = job.part.sections().iter().find(same).copied().unwrap_or(section);
    in_lathe(job, end, Held::FourJaw { on, section: first })
}

fn in_lathe(job: &Job, end: Face, held: Held) -> Holding {
    Holding {
        machine: Machine::Lathe,
        pieces: job.pieces(Lot::Piece(0)),
        up: end,
        held,
        located: Located::EndAndAxis(end),
        image: job.part.image,
    }
}

/// True for a length of square or hexagon bar left as it comes.
pub(super) fn is_bar(job: &Job, id: FeatureId) -> bool {
    matches!(job.part.feature(id).kind, Kind::Section { size: SectionSize::AsBar { .. }, .. })
}

/// Whether a section is one to grip the work by: plain, running true, and long enough.
pub(super) fn grips(job: &Job, id: FeatureId) -> bool {
    let diameter = job.part.cut_diameter(id).unwrap_or_default();
    // A large diameter is gripped by less than itself: 12 mm of jaw hold it.
    runs_true(job, id) && job.part.section_length(id) >= least_grip().max(diameter.min(Length::mm(12)))
}

/// Whether what lies beyond a section, on the side of an end, goes into the chuck that
/// grips it: nothing there is wider.
pub(super) fn goes_in(job: &Job, section: FeatureId, inside: Face) -> bool {
    let sections = job.part.sections();
    let at = sections.iter().position(|&s| s == section).unwrap_or_default();
    let beyond = if inside == Face::Left { &sections[..at] } else { &sections[at + 1..] };
    let own = job.part.reach_of(section);
    beyond.iter().all(|&s| job.part.reach_of(s) <= own)
}

/// The sections that a chuck or block on the mill takes the work by, an end inside it:
/// those long enough, or else the longest that jaws close on.
pub(super) fn holdable(job: &Job, inside: Face) -> Vec<FeatureId> {
    let held = |id: &FeatureId| goes_in(job, *id, inside);
    let sections: Vec<FeatureId> = job.part.sections().iter().copied().filter(held).collect();
    let long: Vec<FeatureId> = sections.iter().copied().filter(|&id| grips(job, id)).collect();
    if !long.is_empty() {
        return long;
    }
    let short = |id: &FeatureId| runs_true(job, *id) && job.part.section_length(*id) >= least_grip();
    let longest = sections.iter().copied().filter(short).max_by_key(|&id| job.part.section_length(id));
    longest.into_iter().collect()
}

/// A plain section, or bar left as it comes, on the axis of the part.
fn runs_true(job: &Job, id: FeatureId) -> bool {
    matches!(
        job.part.feature(id).kind,
        Kind::Section { size: SectionSize::Plain(_) | SectionSize::AsBar { .. }, throw: None, .. }
    )
}

/// Where every hole, slot or recess stands: a counterbore and a countersink over their
/// holes.
pub(super) fn spot(job: &Job, id: FeatureId) -> FeatureId {
    match job.part.feature(id).kind {
        Kind::Counterbore { over, .. } | Kind::Countersink { over, .. } => over,
        _ => id,
    }
}

/// What is cut along the axis from an end, in the lathe.
pub(super) fn axial(job: &Job, id: FeatureId, end: Face) -> bool {
    let feature = job.part.feature(id);
    let kind = matches!(
        feature.kind,
        Kind::Hole { .. }
            | Kind::Tapped { .. }
            | Kind::Counterbore { .. }
            | Kind::Countersink { .. }
            | Kind::Recess { .. }
    );
    feature.face == end && kind && !job.part.off_axis(spot(job, id)) && !job.in_patterns().contains(&id)
}

/// The metal a cut goes through in a turned part, from an end or across.
pub(super) fn metal(job: &Job, id: FeatureId) -> work::Deep {
    use crate::drawing::Depth;
    let one = match &job.part.feature(id).kind {
        kind if kind.pattern().is_some() => {
            kind.pattern().and_then(<[FeatureId]>::first).copied().unwrap_or(id)
        }
        _ => id,
    };
    let feature = job.part.feature(one);
    let through = if matches!(feature.face, Face::Left | Face::Right) {
        job.part.end_depth(one, Depth::Through)
    } else {
        let along = job.part.along(one).unwrap_or_default();
        job.part.section_at(along).and_then(|s| job.part.diameter_at(s, along)).unwrap_or_default()
    };
    work::Deep::Through(through)
}

/// Tapers that nearly meet what stands beside them.
fn nearly_flush_tapers(job: &Job, makings: &mut Makings) {
    for &id in job.part.sections() {
        let Kind::Section { size: SectionSize::Taper { .. }, .. } = job.part.feature(id).kind else {
            continue;
        };
        for end in [SectionEnd::Left, SectionEnd::Right] {
            let Some(next) = job.part.neighbour(id, end) else { continue };
            let other = if end == SectionEnd::Left { SectionEnd::Right } else { SectionEnd::Left };
            let sizes = (job.part.end_diameter(id, end), job.part.end_diameter(next, other));
            let (Some(own), Some(beside)) = sizes else { continue };
            let gap = own.gap(beside);
            if gap.is_positive() && gap < nearly_flush() {
                makings.assume(format!(
                    "{} ends at {own} beside {beside} of {}: the shoulder of {} between them is meant",
                    job.name(id),
                    job.name(next),
                    gap.half()
                ));
            }
        }
    }
}
