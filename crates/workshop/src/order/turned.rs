//! What is done to a part turned from bar.
//!
//! One end is finished while it sticks out of the chuck, the work is parted off,
//! turned round and held by a section that is finished. Which end goes first is a
//! [`First`]; both are planned and the better kept. What is turned about an axis of its
//! own is held off centre, by the bar or by a section; what is milled comes last.

use super::deed::{Job, Lot, Makings, Place};
use super::places::opposite;
use super::plates::add;
use super::roughing::demanding;
use super::turned_held::{self, Grips};
use super::turned_lathe::{CentreHoles, at_the_parting, one_end};
use super::work::{Held, Tool, Work};
use super::{all_over, cast_rim, coaxial, screwed_on, thin_disc, throws, turned_mill, work};
use crate::drawing::{Face, Feature, FeatureId, Finish, GivenStock, Kind, SectionEnd, SectionSize, Turning};
use crate::measure::Length;
use crate::problem::{Outcome, Problem};
use crate::tables::processes::{limit, overhang};

/// Which end is finished first, and whether a bore right through is cut from there too,
/// whichever end the drawing shows it in: in one holding with what is turned there.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum First {
    /// The right end.
    Right,
    /// The left end.
    Left,
    /// The right end, with every bore right through.
    RightBored,
    /// The left end, with every bore right through.
    LeftBored,
}

impl First {
    /// The end.
    pub(super) const fn end(self) -> Face {
        match self {
            Self::Right | Self::RightBored => Face::Right,
            Self::Left | Self::LeftBored => Face::Left,
        }
    }

    const fn bored(self) -> bool {
        matches!(self, Self::RightBored | Self::LeftBored)
    }
}

/// The ways of going about a turned part: either end first; and where something has to run
/// true to a bore, it is reamed or bored, or nothing else holds the work, with the bore cut from
/// that end.
pub(super) fn ways(part: &crate::drawing::Part) -> Vec<First> {
    // Turned in one holding, it stands out of the chuck by its right end.
    if part.drawing.turned != Turning::Anyhow {
        return vec![First::Right];
    }
    let mut ways = vec![First::Right, First::Left];
    let no_grip = part.sections().iter().all(|&id| part.section_length(id) < Length::mm(6));
    for (first, bored) in [(First::Right, First::RightBored), (First::Left, First::LeftBored)] {
        let fits = |id, f: &Feature| {
            let with_the_rest = is_finished(f) && !fits_beyond(part, first.end());
            no_grip || with_the_rest || part.drawing.mates.iter().any(|mate| mate.with == id)
        };
        if part.features().any(|(id, f)| goes_through(part, id) && f.face != first.end() && fits(id, f)) {
            ways.push(bored);
        }
    }
    ways
}

/// Whether a section beyond the widest one, which is turned with the other end, fits something or is
/// held closely: a bore stays with it then.
fn fits_beyond(part: &crate::drawing::Part, end: Face) -> bool {
    let size = |id: &FeatureId| part.reach_of(*id).unwrap_or_default();
    let sections = part.sections();
    let most = sections.iter().map(size).max().unwrap_or_default();
    let widest = |id: &FeatureId| size(id) == most;
    let beyond = match end {
        Face::Right => &sections[..sections.iter().position(widest).unwrap_or(0)],
        _ => &sections[sections.iter().rposition(widest).map_or(0, |at| at + 1)..],
    };
    beyond.iter().any(|&id| demanding(part, id))
}

/// A hole in an end that is reamed or bored.
pub(super) fn is_finished(feature: &Feature) -> bool {
    matches!(feature.kind, Kind::Hole { finish: Finish::Reamed | Finish::Bored, .. })
        && matches!(feature.face, Face::Left | Face::Right)
}

/// A plain hole right through along the axis: it may be cut from either end.
pub(super) fn goes_through(part: &crate::drawing::Part, id: FeatureId) -> bool {
    use crate::drawing::Depth;
    let feature = part.feature(id);
    // A counterbore is bored afterwards from its own end; a countersink is cut while the drill's place is known.
    let seated = part.features().any(|(_, f)| matches!(f.kind, Kind::Countersink { over, .. } if over == id));
    matches!(feature.kind, Kind::Hole { depth: Depth::Through, .. })
        && matches!(feature.face, Face::Left | Face::Right)
        && !part.off_axis(id)
        && !seated
}

/// The end that something along the axis is cut from.
pub(super) fn entered(job: &Job, id: FeatureId, first: First) -> Face {
    let bore = spot(job, id);
    let from_first =
        first.bored() && goes_through(job.part, bore) && job.drilled_from_both_sides(id).is_none();
    if from_first { first.end() } else { job.part.feature(id).face }
}

/// What takes the work off its bar: a parting tool goes only so far into the metal, and digs in where the
/// bar stands far out of the chuck.
pub(super) fn parts_off(job: &Job, first: First, near: &[FeatureId]) -> Tool {
    // Beside a pin that is off centre the tool goes in by the throw more.
    let pin = near.iter().find(|&&id| throws::carries_the_rest(job, id, first.end()));
    let thrown = pin.map(|&id| throws::throw_of(job, id)).unwrap_or_default();
    let bore = job.part.features().filter(|&(id, _)| {
        along_axis(job, id) && goes_through(job.part, id) && entered(job, id, first) == first.end()
    });
    let bore = bore.filter_map(|(id, _)| job.part.cut_diameter(id)).min().unwrap_or_default();
    let metal = (job.part.bar_needed() - bore).half() + thrown;
    let far_out = job.part.thickness() > job.part.bar_needed().scaled(overhang("the tailstock"));
    if metal > limit("parting reach") || far_out { Tool::HandSaw } else { Tool::PartingTool }
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
    let offset = throws::between_offset_centres(job, first);
    if offset.is_empty() {
        throws::off_centre_at_all(job).map_err(fault)?;
    }
    let mut makings = Makings {
        coaxial: coaxial::demands(job),
        oriented: super::oriented::demands(job),
        ..Makings::default()
    };
    let demands = makings.coaxial.clone();
    let (ends, mut near, mut far) = split(job, sections, first.end());
    if job.casting().is_some() && far.is_empty() && turned_held::true_bore(job).is_some() {
        cast_rim::rim_by_its_bore(job, first).map_err(fault)?;
        far = std::mem::take(&mut near);
    }
    cast_rim::little_for_the_jaws(job, &mut makings, &far);
    cast_rim::rim_in_steps(job, &mut makings, first, (&mut near, &mut far));
    let mut bar = Grips::bar();
    if job.part.drawing.turned == Turning::WhereItStays {
        return Ok(where_it_stays(job, makings, first, &near, &bar));
    }
    let second = turned_held::second(job, &mut makings, first, (&near, &far), &demands);
    let bushed = |grips: &Grips| matches!(grips.on[..], [Held::SplitBush { .. }]);
    let loose = second.as_ref().map_or(true, bushed);
    let by_hand = loose && offset.is_empty() && thin_disc::only_faced(job, first, (&near, &far));
    if by_hand {
        thin_disc::told(job, &mut makings, first);
    }
    let mut grips = match second {
        _ if by_hand => Grips { on: vec![Held::Bench], ..Grips::default() },
        // Between centres nothing is gripped.
        Err(_) if !offset.is_empty() => Grips::default(),
        found => found.map_err(fault)?,
    };
    super::overhang::close_in(job, ends[1], &mut grips);
    turned_held::beside(job, &makings, first, (&near, &far), [&mut bar, &mut grips]);
    if offset.is_empty() && !by_hand {
        bar.later = all_over::later(job, first, (&near, &far), &bar);
    }
    if offset.is_empty() {
        throws::thrown_within_the_grip(job, &far, &grips.on).map_err(fault)?;
    } else {
        throws::offer_centres(job, &mut makings, &offset, [&mut bar, &mut grips]);
    }
    let centres = CentreHoles::of(job, &mut makings, first.end(), [(&near, &bar), (&far, &grips)]);
    one_end(job, &mut makings, (ends[0], first), &near, &bar, &centres);
    // A casting comes by itself: nothing is parted from a bar.
    if job.casting().is_none() {
        // In whichever way the bar was steadied last; beside a pin by the bar, set over as it is.
        let pin = near.iter().any(|&id| throws::carries_the_rest(job, id, first.end()));
        let on_bar = |place: &Place| {
            let held = &place.holding.held;
            *held == bar.on[0] || pin && held.set_over().is_some() && held.grips().is_none() && held.in_jaws()
        };
        let places = (0..makings.places.len()).filter(|&n| on_bar(&makings.places[n])).collect();
        add(job, &mut makings, Work::PartOff, None, Lot::Piece(0), parts_off(job, first, &near), places);
    }
    if let Some(casting) = job.casting().filter(|casting| casting.allowance.is_none()) {
        makings.assume(format!("{} is left on what is turned of the casting", casting.left_on()));
    }
    one_end(job, &mut makings, (ends[1], first), &far, &grips, &centres);
    // What is rubbed flat has its edge broken beside the parting tool, while the bar holds it.
    let (last, held) = if by_hand { (ends[0], &bar) } else { (ends[1], &grips) };
    at_the_parting(job, &mut makings, [ends[0], last], &near, held, &centres);
    turned_mill::all(job, &mut makings).map_err(fault)?;
    nearly_flush_tapers(job, &mut makings);
    super::harden::all(job, &mut makings);
    Ok(makings)
}

/// A stub that is used in the holding it is turned in: everything from its free end, and then it
/// is left there.
fn where_it_stays(
    job: &Job,
    mut makings: Makings,
    first: First,
    sections: &[FeatureId],
    bar: &Grips,
) -> Makings {
    let centres = CentreHoles::of(job, &mut makings, first.end(), [(sections, bar), (&[], bar)]);
    one_end(job, &mut makings, (first.end(), first), sections, bar, &centres);
    let on_bar = |place: &Place| place.holding.held == bar.on[0];
    let places = (0..makings.places.len()).filter(|&n| on_bar(&makings.places[n])).collect();
    add(job, &mut makings, Work::Leave, None, Lot::Piece(0), Tool::Chuck, places);
    makings
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
    // A casting comes with what is left on it to be turned.
    let left_on = job.casting().filter(|casting| casting.turns()).map_or(Length::ZERO, GivenStock::left_on);
    let swings = job.part.bar_needed() + (thrown + left_on) * 2;
    if swings > lathe.swing {
        return Err(Problem::new(format!("`{name}` is too large for the lathe"))
            .why(format!("turning, it takes {swings}, and the lathe swings {}", lathe.swing))
            .mend(if thrown.is_positive() {
                "correct `swing` in the bench file, use a larger lathe, or make what is off centre by itself and fix it to \
                 its shaft: then nothing swings wider than it is"
            } else {
                "correct `swing` in the bench file, or use a larger lathe"
            }));
    }
    Ok(())
}

/// The ends in order, the sections turned at the first, and those at the second. The
/// largest section goes with the first end, since the bar behind it is parted there; so does the
/// pin of an overhung crank that only the bar can be set over for.
fn split(job: &Job, sections: &[FeatureId], first: Face) -> ([Face; 2], Vec<FeatureId>, Vec<FeatureId>) {
    if job.part.drawing.turned != Turning::Anyhow {
        return ([Face::Right, Face::Left], sections.to_vec(), Vec::new());
    }
    // A thread as wide as the rod it is cut on goes with its own end, where a die comes on.
    let plain =
        |id| !matches!(job.part.feature(id).kind, Kind::Section { size: SectionSize::Threaded(_), .. });
    let size = |id: &FeatureId| (job.part.reach_of(*id).unwrap_or_default(), plain(*id));
    let most = sections.iter().map(size).max().unwrap_or_default();
    // A throw between webs is turned out of the whole bar, with the end that is worked first.
    let webs = throws::webs_between(job).filter(|_| job.casting().is_none());
    let (ends, near, far) = match first {
        Face::Right => {
            let at = sections.iter().position(|id| size(id) == most).unwrap_or(0);
            let at = webs.map_or(at, |(web, _)| web.min(at));
            let at = at
                + usize::from(turned_round(job, sections[at], (&sections[at + 1..], &sections[..at]), first));
            ([Face::Right, Face::Left], &sections[at..], &sections[..at])
        }
        _ => {
            let at = sections.iter().rposition(|id| size(id) == most).unwrap_or(0);
            let at = webs.map_or(at, |(_, web)| web.max(at)) + 1;
            let at = at
                - usize::from(turned_round(
                    job,
                    sections[at - 1],
                    (&sections[..at - 1], &sections[at..]),
                    first,
                ));
            ([Face::Left, Face::Right], &sections[..at], &sections[at..])
        }
    };
    if throws::pin_from_the_bar(job, near, far, first) {
        return (ends, sections.to_vec(), Vec::new());
    }
    // Of a casting the jaws hold the far side: that section is turned once the work is turned round.
    if job.casting().is_some() && far.is_empty() && near.len() > 1 {
        let (held, turned) = match first {
            Face::Right => near.split_at(1),
            _ => {
                let (turned, held) = near.split_at(near.len() - 1);
                (held, turned)
            }
        };
        return (ends, turned.to_vec(), held.to_vec());
    }
    (ends, near.to_vec(), far.to_vec())
}

/// Whether the widest section is better turned from the other end: a taper falls away towards it, so that
/// from here the tool would go in between work and bar, or all beyond it lies on its own axis off the
/// part's, set over once for both. Something of the rest has to hold the work then.
fn turned_round(
    job: &Job,
    widest: FeatureId,
    (rest, far): (&[FeatureId], &[FeatureId]),
    first: Face,
) -> bool {
    let part = job.part;
    let beyond = SectionEnd::toward(first).other();
    let falls = part.end_diameter(widest, beyond) < part.end_diameter(widest, beyond.other());
    let same = |&id: &FeatureId| part.is_eccentric(id) && throws::same_axis(job, id, widest);
    let thrown = part.is_eccentric(widest) && !far.is_empty() && far.iter().all(same);
    let out = part.section_length(widest) + part.length_of(far);
    let held = |&id: &FeatureId| {
        turned_held::goes_in(job, id, first)
            && (turned_held::grips(job, id) || falls && turned_held::grips_lightly(job, id, out))
            && (falls || throws::throws_in(job, widest, Some(id)))
    };
    let screwed = || falls && !rest.is_empty() && !screwed_on::by_thread(job, first).is_empty();
    job.casting().is_none() && (falls || thrown) && (rest.iter().any(held) || screwed())
}

/// True for a length of square or hexagon bar left as it comes.
pub(super) fn is_bar(job: &Job, id: FeatureId) -> bool {
    matches!(job.part.feature(id).kind, Kind::Section { size: SectionSize::AsBar { .. }, .. })
}

/// Where every hole, slot or recess stands: a counterbore and a countersink over their
/// holes.
pub(super) fn spot(job: &Job, id: FeatureId) -> FeatureId {
    match job.part.feature(id).kind {
        Kind::Counterbore { over, .. } | Kind::Countersink { over, .. } => over,
        Kind::Keyway { into, .. } => into,
        _ => id,
    }
}

/// What is cut along the axis from an end, in the lathe.
pub(super) fn axial(job: &Job, id: FeatureId, end: Face, first: First) -> bool {
    along_axis(job, id) && entered(job, id, first) == end
}

/// What is cut along the axis, from whichever end.
pub(super) fn along_axis(job: &Job, id: FeatureId) -> bool {
    let feature = job.part.feature(id);
    let kind = matches!(
        feature.kind,
        Kind::Hole { .. }
            | Kind::Tapped { .. }
            | Kind::Counterbore { .. }
            | Kind::Countersink { .. }
            | Kind::Keyway { .. }
            | Kind::Recess { .. }
    );
    let end = matches!(feature.face, Face::Left | Face::Right);
    end && kind && !job.part.off_axis(spot(job, id)) && !job.in_patterns().contains(&id)
}

/// The metal a cut goes through in a turned part, from an end or across.
pub(super) fn metal(job: &Job, id: FeatureId) -> work::Deep {
    use crate::drawing::Depth;
    let one = job.part.hole_of(id);
    let feature = job.part.feature(one);
    let through = if matches!(feature.face, Face::Left | Face::Right) {
        job.part.end_depth(one, Depth::Through) - opened_behind(job, one)
    } else {
        let along = job.part.along(one).unwrap_or_default();
        job.part.section_at(along).and_then(|s| job.part.diameter_at(s, along)).unwrap_or_default()
    };
    work::Deep::Through(through)
}

/// How deep the part is opened along its axis from the other end, wider than a hole on the axis that goes
/// through: the hole ends there.
fn opened_behind(job: &Job, hole: FeatureId) -> Length {
    use crate::drawing::Depth;
    let part = job.part;
    let end = opposite(part.feature(hole).face);
    let deep = |(id, feature): (FeatureId, &Feature)| {
        let (across, deep) = match feature.kind {
            Kind::Hole { depth: Depth::To(deep), .. } | Kind::Tapped { depth: Depth::To(deep), .. } => {
                (part.cut_diameter(id)?, deep)
            }
            Kind::Recess { hub: None, diameter, depth } => (part.size(diameter), depth),
            _ => return None,
        };
        let opens = feature.face == end && along_axis(job, id) && part.cut_diameter(hole)? < across;
        opens.then(|| part.size(deep))
    };
    if part.off_axis(hole) {
        return Length::ZERO;
    }
    part.features().filter_map(deep).max().unwrap_or_default()
}

/// Tapers that nearly meet what stands beside them.
fn nearly_flush_tapers(job: &Job, makings: &mut Makings) {
    for &id in job.part.sections() {
        let Kind::Section { size: SectionSize::Taper { .. }, .. } = job.part.feature(id).kind else {
            continue;
        };
        for end in [SectionEnd::Left, SectionEnd::Right] {
            let Some(next) = job.part.neighbour(id, end) else { continue };
            let sizes = (job.part.end_diameter(id, end), job.part.end_diameter(next, end.other()));
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
