//! What is milled or drilled on a turned part once it is off the lathe: across its
//! axis, beside it in an end, and flats.

use super::chains::{Reach, cuts, cuts_by_hand, minutes_by_hand};
use super::deed::{Job, Lot, Makings};
use super::plates::add;
use super::turned::{along_axis, is_bar, metal, spot};
use super::turned_held::holdable;
use super::work::{Deep, Held, Holding, Located, Machine, Tool, Work};
use crate::bench::{EndMill, There, WorkHolder};
use crate::drawing::{Depth, Face, FeatureId, Kind, SectionEnd, SectionSize};
use crate::measure::{Length, Toward};
use crate::problem::Problem;

/// Everything that is milled, or drilled off the axis.
///
/// # Errors
///
/// A [`Problem`] for flats that leave nothing to hold the work by.
pub(super) fn all(job: &Job, makings: &mut Makings) -> Result<(), Problem> {
    across(job, makings);
    in_ends(job, makings)?;
    for (id, feature) in job.part.features() {
        if let Kind::Flats { .. } = feature.kind {
            flats(job, makings, id)?;
        }
    }
    Ok(())
}

fn on_mill(job: &Job, up: Face, held: Held, end: Face) -> Holding {
    Holding {
        machine: if job.mills() { Machine::Mill } else { job.drills_on() },
        pieces: job.pieces(Lot::Piece(0)),
        up,
        held,
        located: Located::EndAndAxis(end),
        image: job.part.image,
        steadied: Default::default(),
    }
}

/// How deep a cut goes from the face it enters.
fn deep(job: &Job, id: FeatureId, reach: Reach) -> Deep {
    match reach {
        Reach::Through => metal(job, id),
        Reach::To(depth) => Deep::To(depth),
    }
}

/// What crosses the axis, in a vee block once the section it is in is turned.
fn across(job: &Job, makings: &mut Makings) {
    let lies_on = |id: &&FeatureId| {
        let plain = matches!(
            job.part.feature(**id).kind,
            Kind::Section { size: SectionSize::Plain(_), throw: None, .. }
        );
        plain || is_bar(job, **id)
    };
    let sections = job.part.sections();
    let longest = sections.iter().filter(lies_on).max_by_key(|&&id| job.part.section_length(id));
    let Some(&on) = longest else { return };
    let circles = job.in_patterns();
    for (id, feature) in job.part.features() {
        let crosses = matches!(
            feature.kind,
            Kind::Hole { .. }
                | Kind::Tapped { .. }
                | Kind::Slot { .. }
                | Kind::Row { .. }
                | Kind::TaperPin { .. }
        );
        if !crosses || matches!(feature.face, Face::Left | Face::Right) || circles.contains(&id) {
            continue;
        }
        let nearer = nearer_end(job, id);
        let farther = if nearer == Face::Right { Face::Left } else { Face::Right };
        let places = [nearer, farther].map(|end| {
            let vee = on_mill(job, feature.face, Held::VeeBlock { on }, end);
            makings.place(job, Lot::Piece(0), vee)
        });
        each(job, makings, id, &places);
    }
}

/// Adds the cuts of one feature at some places.
fn each(job: &Job, makings: &mut Makings, id: FeatureId, places: &[usize]) {
    // Without a mill a slot is drilled and filed or chiselled out, or the order says why not.
    let by_hand = !job.mills() && matches!(job.part.feature(id).kind, Kind::Slot { .. });
    let all = if by_hand { cuts_by_hand(job, makings, id) } else { cuts(job, makings, id) };
    for cut in all {
        let work = cut.work(deep(job, id, cut.reach));
        let at_bench = matches!(cut.tool, Tool::File | Tool::Chisel);
        let at = if at_bench { vec![in_bench_vice(job, makings, id)] } else { places.to_vec() };
        let mut deed = super::plates::deed(job, work, Some(id), Lot::Piece(0), cut.tool.clone(), at);
        if at_bench {
            deed.minutes = minutes_by_hand(job, &deed);
        }
        deed.minutes *= cut.times();
        makings.deeds.push(deed);
    }
}

/// In the bench vice, measured from the nearer end.
fn in_bench_vice(job: &Job, makings: &mut Makings, id: FeatureId) -> usize {
    let line = on_mill(job, Face::Top, Held::BenchVice, nearer_end(job, id));
    makings.place(job, Lot::Piece(0), Holding { machine: Machine::BenchVice, ..line })
}

/// What stands beside the axis in an end, or runs across it: on end in a chuck on the
/// mill, read from the axis.
fn in_ends(job: &Job, makings: &mut Makings) -> Result<(), Problem> {
    let circles = job.in_patterns();
    for (id, feature) in job.part.features() {
        let end = feature.face;
        let cut = matches!(
            feature.kind,
            Kind::Hole { .. }
                | Kind::Tapped { .. }
                | Kind::Counterbore { .. }
                | Kind::Countersink { .. }
                | Kind::Slot { .. }
                | Kind::PitchCircle { .. }
        );
        let in_end = matches!(end, Face::Left | Face::Right);
        if !cut || !in_end || circles.contains(&id) || along_axis(job, spot(job, id)) {
            continue;
        }
        let standing = |up: Face| {
            let held = holdable(job, opposite(up)).into_iter();
            held.map(|on| on_mill(job, up, Held::Upright { on }, up)).collect::<Vec<Holding>>()
        };
        let mut upright = standing(end);
        // What goes right through may be drilled from the other end.
        if upright.is_empty() && drilled_through(job, id) {
            upright = standing(opposite(end));
        }
        if upright.is_empty() {
            upright.extend(on_the_steps(job, makings, end));
        }
        if upright.is_empty() {
            return Err(no_hold(job, id));
        }
        let places: Vec<usize> =
            upright.into_iter().map(|holding| makings.place(job, Lot::Piece(0), holding)).collect();
        each(job, makings, id, &places);
    }
    Ok(())
}

/// A disc too thin for jaws to hold by its length, lying on their steps or on parallels between them.
fn on_the_steps(job: &Job, makings: &mut Makings, up: Face) -> Option<Holding> {
    let on = super::thin_disc::lies_in_jaws(job, opposite(up), Length::ZERO)?;
    makings.assume(format!(
        "{} is too thin for jaws to hold by its {}: it lies on their steps, or on parallels clear of what is cut, light cuts",
        job.name(on),
        job.part.section_length(on)
    ));
    Some(on_mill(job, up, Held::Upright { on }, up))
}

/// A plain or tapped hole right through, or a pattern of such.
fn drilled_through(job: &Job, id: FeatureId) -> bool {
    matches!(
        job.part.feature(job.part.hole_of(id)).kind,
        Kind::Hole { depth: Depth::Through, .. } | Kind::Tapped { depth: Depth::Through, .. }
    )
}

fn no_hold(job: &Job, id: FeatureId) -> Problem {
    Problem::new(format!("`{}` leaves nothing to hold the work by", job.name(id)))
        .at(format!("line {}", job.part.feature(id).line))
        .why("it is cut with the work held by a plain section that runs true, 6 mm long at least (1.5 mm on the steps of the jaws)")
        .mend("lengthen a section, or leave a chucking piece on the drawing and saw it off last")
}

/// Whether the rest of a section holds the work while flats are milled on it: what lies
/// beyond that rest goes into the chuck.
fn rest_holds(job: &Job, section: FeatureId, flats: FeatureId, long: Length) -> bool {
    let part = job.part;
    let (Some(at), Some(from), Some(to), Some(reach)) =
        (part.along(flats), part.along(section), part.section_end(section), part.reach_of(section))
    else {
        return false;
    };
    let sections = part.sections();
    let own = sections.iter().position(|&s| s == section).unwrap_or_default();
    let thinner = |beyond: &[FeatureId]| beyond.iter().all(|&s| part.reach_of(s).is_some_and(|r| r <= reach));
    (at - from >= Length::mm(6) && thinner(&sections[..own]))
        || (to - (at + long) >= Length::mm(6) && thinner(&sections[own + 1..]))
}

/// Flats: the work lying along X in something that turns it by equal parts.
fn flats(job: &Job, makings: &mut Makings, id: FeatureId) -> Result<(), Problem> {
    let Kind::Flats { across, count, length } = job.part.feature(id).kind else { return Ok(()) };
    let own = job.part.section_of(id);
    // The flats stand outside the chuck: their section is on the other side of what is held.
    let place = |section: FeatureId| job.part.sections().iter().position(|&s| s == section);
    let mut held: Vec<FeatureId> = Vec::new();
    for inside in [Face::Left, Face::Right] {
        for on in holdable(job, inside) {
            let outside = match (place(on), own.and_then(place)) {
                (Some(on), Some(own)) if inside == Face::Left => own > on,
                (Some(on), Some(own)) => own < on,
                _ => false,
            };
            let serves = outside || Some(on) == own && rest_holds(job, on, id, job.part.size(length));
            if serves && !held.contains(&on) {
                held.push(on);
            }
        }
    }
    if held.is_empty() {
        return Err(no_hold(job, id));
    }
    if !job.mills() {
        let place = in_bench_vice(job, makings, id);
        let work = Work::MillFlats { across: job.part.size(across), count };
        add(job, makings, work, Some(id), Lot::Piece(0), Tool::File, vec![place]);
        return Ok(());
    }
    let turns = job.bench.rotary_table.is_some();
    let divides = job.bench.has(WorkHolder::DividingHead) == There::Owned;
    if !turns && !divides {
        let block = if count == 6 { "hexagon" } else { "square" };
        makings.assume(format!(
            "the bench has no rotary table or dividing head: for {} the work is held in a {block} collet block, turned in the vice from side to side",
            job.name(id)
        ));
    }
    let nearer = nearer_end(job, id);
    let mut places = Vec::new();
    for on in held {
        let ways = match (turns, divides) {
            (true, true) => vec![Held::Indexed { on }, Held::DividingHead { on }],
            (true, false) => vec![Held::Indexed { on }],
            (false, true) => vec![Held::DividingHead { on }],
            (false, false) => vec![Held::ColletBlock { on, sides: count }],
        };
        for held in ways {
            places.push(makings.place(job, Lot::Piece(0), on_mill(job, Face::Top, held, nearer)));
        }
    }
    let mill = flats_mill(job, makings, id, job.part.size(length));
    let work = Work::MillFlats { across: job.part.size(across), count };
    add(job, makings, work, Some(id), Lot::Piece(0), Tool::EndMill(mill), places);
    Ok(())
}

/// The cutter for some flats: one no wider than they are long, unless it may run out
/// past an end of them.
fn flats_mill(job: &Job, makings: &mut Makings, id: FeatureId, long: Length) -> EndMill {
    let open = [SectionEnd::Left, SectionEnd::Right].iter().any(|&end| job.part.flats_open(id, end));
    if open {
        return job.mill_along(Length::ZERO, makings);
    }
    let owned = job.bench.end_mills.iter().rev().find(|mill| mill.diameter <= long);
    owned.cloned().unwrap_or_else(|| {
        let size = long.rounded(Length::mm(1), Toward::Less).value.max(Length::mm(1));
        makings.assume(format!("an end mill of {size} has to be bought"));
        EndMill::new(size, size * 2, 4)
    })
}

const fn opposite(end: Face) -> Face {
    match end {
        Face::Left => Face::Right,
        _ => Face::Left,
    }
}

fn nearer_end(job: &Job, id: FeatureId) -> Face {
    let at = job.part.along(id).unwrap_or_default();
    if at * 2 > job.part.thickness() { Face::Right } else { Face::Left }
}
