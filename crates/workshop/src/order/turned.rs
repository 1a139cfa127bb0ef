//! What is done to a part turned from bar.
//!
//! One end is finished while it sticks out of the chuck, the work is parted off,
//! turned round and held by a section that is finished. Which end goes first is a
//! [`First`]; both are planned and the better kept.

use super::chains::{Reach, cuts};
use super::deed::{Job, Lot, Makings};
use super::plates::add;
use super::work::{Deep, Held, Holding, Located, Machine, Tool, Work};
use crate::bench::Stock;
use crate::drawing::{Body, Face, FeatureId, Kind, SectionSize};
use crate::measure::Length;
use crate::metric::MadeWith;
use crate::problem::{Outcome, Problem};

/// Which end is finished first.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum First {
    /// The right end.
    Right,
    /// The left end.
    Left,
}

/// Stick-out over this many diameters is steadied by the tailstock; common practice.
const STEADIED_FROM: i64 = 5;
/// Least length a finished section is gripped by; common practice, from memory: a
/// collet or soft jaws close true on no less.
fn least_grip() -> Length {
    Length::mm(6)
}

/// Everything that may be done to a turned part, and where.
pub(super) fn makings(job: &Job, first: First) -> Outcome<Makings> {
    let Body::Turned { sections, .. } = &job.part.drawing.body else { return Ok(Makings::default()) };
    let fault = |fault: Problem| vec![fault.at(job.part.drawing.file.clone())];
    let Some(lathe) = &job.bench.lathe else {
        return Err(fault(
            Problem::new(format!("`{}` is turned, and there is no lathe", job.part.drawing.name))
                .why("its sections are round and coaxial: nothing else on the bench makes them so")
                .mend("add a `[lathe]` to the bench file"),
        ));
    };
    if let Some(fault) = no_way(job) {
        return Err(vec![fault]);
    }
    let long = job.part.thickness();
    if long > lathe.between_centres {
        return Err(fault(
            Problem::new(format!("`{}` is too long for the lathe", job.part.drawing.name))
                .why(format!("it is {long} long, and the lathe takes {} between centres", lathe.between_centres))
                .mend("correct `between_centres` in the bench file, use a longer lathe, or make it of two parts"),
        ));
    }
    let mut makings = Makings::default();
    let (ends, near, far) = split(job, sections, first);
    let place = makings.place(job, Lot::Piece(0), chucked(job, ends[0], None));
    one_end(job, &mut makings, ends[0], &near, &[place]);
    add(job, &mut makings, Work::PartOff, None, Lot::Piece(0), Tool::PartingTool, vec![place]);
    let grips: Vec<FeatureId> = near.iter().copied().filter(|&id| grips(job, id)).collect();
    if grips.is_empty() {
        return Err(fault(
            Problem::new(format!("after parting off, nothing of `{}` can be held true", job.part.drawing.name))
                .why("the other end is turned with the work held by a finished plain section at least 6 mm and its own diameter long")
                .mend("lengthen a section, or leave a chucking piece on the drawing and saw it off last"),
        ));
    }
    let places: Vec<usize> =
        grips.iter().map(|&id| makings.place(job, Lot::Piece(0), chucked(job, ends[1], Some(id)))).collect();
    one_end(job, &mut makings, ends[1], &far, &places);
    cross_holes(job, &mut makings);
    Ok(makings)
}

/// The first feature that no order of work can be given for.
fn no_way(job: &Job) -> Option<Problem> {
    let (_, feature) = job.part.features().find(|(_, f)| {
        matches!(
            f.kind,
            Kind::Knurl { .. }
                | Kind::Flats { .. }
                | Kind::Chamfer { .. }
                | Kind::Recess { .. }
                | Kind::Section { size: SectionSize::Taper { .. } | SectionSize::AsBar { .. }, .. }
                | Kind::Section { throw: Some(_), .. }
        )
    })?;
    let fault = Problem::new(format!("no order of work is known for `{}`", feature.name))
        .at(format!("line {}", feature.line))
        .at(job.part.drawing.file.clone());
    Some(fault.mend("leave it out of the part file and plan its cut by hand"))
}

/// The ends in order, the sections turned at the first, and those at the second. The
/// largest section goes with the first end, since the bar behind it is parted there.
fn split(job: &Job, sections: &[FeatureId], first: First) -> ([Face; 2], Vec<FeatureId>, Vec<FeatureId>) {
    let size = |id: &FeatureId| job.part.cut_diameter(*id).unwrap_or_default();
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
fn chucked(job: &Job, end: Face, on: Option<FeatureId>) -> Holding {
    let collet = on.and_then(|id| job.part.cut_diameter(id)).is_some_and(|d| job.bench.collets.contains(&d));
    let held = if collet { Held::Collet { on } } else { Held::Chuck { on } };
    Holding {
        machine: Machine::Lathe,
        pieces: job.pieces(Lot::Piece(0)),
        up: end,
        held,
        located: Located::EndAndAxis(end),
        image: job.part.image,
    }
}

/// Whether a section is one to grip the work by: plain, and long enough.
fn grips(job: &Job, id: FeatureId) -> bool {
    let plain = matches!(job.part.feature(id).kind, Kind::Section { size: SectionSize::Plain(_), .. });
    let diameter = job.part.cut_diameter(id).unwrap_or_default();
    // A large diameter is gripped by less than itself: 12 mm of jaw hold it.
    plain && length(job, id) >= least_grip().max(diameter.min(Length::mm(12)))
}

fn length(job: &Job, id: FeatureId) -> Length {
    match (job.part.along(id), job.part.section_end(id)) {
        (Some(start), Some(end)) => end - start,
        _ => Length::ZERO,
    }
}

/// All that is done at one end: face, centre, drill, turn, groove, thread.
fn one_end(job: &Job, makings: &mut Makings, end: Face, sections: &[FeatureId], places: &[usize]) {
    let lot = Lot::Piece(0);
    let to = |makings: &mut Makings, work, feature, tool| {
        add(job, makings, work, feature, lot, tool, places.to_vec());
    };
    to(makings, Work::FaceEnd { end }, None, Tool::LatheTool);
    let axial: Vec<FeatureId> = job
        .part
        .features()
        .filter(|(_, f)| {
            f.face == end
                && matches!(f.kind, Kind::Hole { .. } | Kind::Tapped { .. } | Kind::Counterbore { .. })
        })
        .map(|(id, _)| id)
        .collect();
    let out: Length = sections.iter().map(|&id| length(job, id)).sum();
    let thinnest = sections.iter().filter_map(|&id| job.part.cut_diameter(id)).min();
    if axial.is_empty() && thinnest.is_some_and(|thin| out > thin * STEADIED_FROM) {
        to(makings, Work::CentreEnd { end }, None, Tool::CentreDrill);
    }
    // The thickest first: the bar stays stiff while it is cut back.
    let mut order: Vec<FeatureId> = sections.to_vec();
    order.sort_by_key(|&id| std::cmp::Reverse(job.part.cut_diameter(id)));
    for id in order {
        let Kind::Section { size, .. } = job.part.feature(id).kind else { continue };
        match size {
            SectionSize::Plain(diameter) => {
                let bright = matches!(job.metric.dimensions[diameter.0].made, MadeWith::Stock(Stock { .. }));
                if !bright {
                    let work = Work::TurnSection { diameter: job.part.size(diameter) };
                    to(makings, work, Some(id), Tool::LatheTool);
                }
            }
            SectionSize::Threaded(thread) => {
                let thread = job.part.thread(thread);
                let work = Work::TurnSection { diameter: thread.major };
                to(makings, work, Some(id), Tool::LatheTool);
                to(makings, Work::CutThread, Some(id), Tool::Die(thread));
            }
            SectionSize::Taper { .. } | SectionSize::AsBar { .. } => {}
        }
    }
    for (id, feature) in job.part.features() {
        if let Kind::Groove { diameter, width } = feature.kind
            && job
                .part
                .along(id)
                .and_then(|at| job.part.section_at(at))
                .is_some_and(|s| sections.contains(&s))
        {
            let work = Work::Groove { diameter: job.part.size(diameter), width: job.part.size(width) };
            to(makings, work, Some(id), Tool::PartingTool);
        }
    }
    for id in axial {
        for cut in cuts(job, makings, id) {
            let deep = match cut.reach {
                Reach::Through => Deep::Through(job.part.thickness()),
                Reach::To(depth) => Deep::To(depth),
            };
            if !job.reaches_into(&cut.tool, deep.length()) {
                makings.assume(format!(
                    "{} goes {} deep, more than a usual {} does: a long one, cleared often, and from both ends where it goes through",
                    job.name(id),
                    deep.length(),
                    if matches!(cut.tool, Tool::Reamer(_)) { "reamer" } else { "drill" }
                ));
            }
            to(makings, cut.work(deep), Some(id), cut.tool.clone());
        }
    }
}

/// What crosses the axis, in a vee block once the section it is in is turned.
fn cross_holes(job: &Job, makings: &mut Makings) {
    let Body::Turned { sections, .. } = &job.part.drawing.body else { return };
    let plain = |id: &&FeatureId| {
        matches!(job.part.feature(**id).kind, Kind::Section { size: SectionSize::Plain(_), .. })
    };
    let Some(&on) = sections.iter().filter(plain).max_by_key(|&&id| length(job, id)) else { return };
    let in_rows = job.in_patterns();
    for (id, feature) in job.part.features() {
        let crosses = matches!(
            feature.kind,
            Kind::Hole { .. }
                | Kind::Tapped { .. }
                | Kind::Slot { .. }
                | Kind::TaperPin { .. }
                | Kind::Row { .. }
        );
        if !crosses || in_rows.contains(&id) || matches!(feature.face, Face::Left | Face::Right) {
            continue;
        }
        let vee = |end| Holding {
            machine: Machine::Mill,
            pieces: job.pieces(Lot::Piece(0)),
            up: feature.face,
            held: Held::VeeBlock { on },
            located: Located::EndAndAxis(end),
            image: job.part.image,
        };
        let nearer = nearer_end(job, id);
        let farther = if nearer == Face::Right { Face::Left } else { Face::Right };
        let places = [nearer, farther].map(|end| makings.place(job, Lot::Piece(0), vee(end)));
        let bar = job.part.along(id).and_then(|at| job.part.section_at(at));
        let thick = bar.and_then(|s| job.part.cut_diameter(s)).unwrap_or_default();
        for cut in cuts(job, makings, id) {
            let deep = match cut.reach {
                Reach::Through => Deep::Through(thick),
                Reach::To(depth) => Deep::To(depth),
            };
            add(job, makings, cut.work(deep), Some(id), Lot::Piece(0), cut.tool.clone(), places.to_vec());
        }
    }
}

fn nearer_end(job: &Job, id: FeatureId) -> Face {
    let at = job.part.along(id).unwrap_or_default();
    if at * 2 > job.part.thickness() { Face::Right } else { Face::Left }
}
