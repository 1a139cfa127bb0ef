//! What holds a turned part in the lathe: bar, chuck, collet, soft jaws, four-jaw,
//! centres, mandrel, faceplate; and what steadies it.
//!
//! What is offered here is only what would serve; the search chooses. More than the plain
//! chuck or collet is offered where something asks for it: two surfaces that have to run
//! true to each other and are cut at two ends, or a wall too thin for jaws.

use super::all_over::Later;
use super::coaxial::{self, Coaxial};
use super::deed::{Job, Lot, Makings};
use super::oriented;
use super::places::opposite;
use super::screwed_on;
use super::thin_disc;
use super::turned::{First, is_bar};
use super::work::{Held, Holding, Located, Machine, Steadied};
use crate::bench::{There, WorkHolder};
use crate::drawing::{Depth, Face, FeatureId, Finish, Kind, SectionSize};
use crate::measure::Length;
use crate::problem::Problem;
use crate::tables::processes::{self, limit, overhang};

/// What may hold the work while one end is worked.
#[derive(Clone, Debug, Default)]
pub(super) struct Grips {
    /// For all that is done there.
    pub on: Vec<Held>,
    /// Beside those, for facing and centring: the length sawn from the bar, by its outside.
    pub sawn: bool,
    /// Beside those, for what goes round the outside.
    pub centres: bool,
    /// Beside those, a mandrel, for the sections that are the better for it.
    pub mandrel: Option<(Held, Vec<FeatureId>)>,
    /// Beside those, a mandrel in a bore that the end has to lie square to.
    pub faced_on: Option<Held>,
    /// What is only roughed here, and in what it is finished.
    pub later: Option<Later>,
    /// Beside those, the axes of sections that may be turned between offset centres.
    pub offset: Vec<FeatureId>,
}

impl Grips {
    /// The bar, or the casting as it comes.
    pub(super) fn bar() -> Self {
        Self { on: vec![Held::Chuck { on: None }], ..Self::default() }
    }
}

/// What holds the work for its second end.
///
/// # Errors
///
/// A [`Problem`] when nothing does.
pub(super) fn second(
    job: &Job,
    makings: &mut Makings,
    first: First,
    (near, far): (&[FeatureId], &[FeatureId]),
    demands: &[Coaxial],
) -> Result<Grips, Problem> {
    let split: Vec<&Coaxial> = demands.iter().filter(|demand| apart(job, first, near, demand)).collect();
    let mut on = Vec::new();
    for section in held_by(job, makings, (near, far), first.end()).unwrap_or_default() {
        let base = by(job, Some(section));
        let tips = oriented::tips_too_far(&makings.oriented, coaxial::row(job, &base));
        let worse = tips || split.iter().any(|demand| demand.room < coaxial::off(job, &base));
        let thin = wall_left(job, section).is_some();
        for better in [Held::SoftJaws { on: section }, Held::Clocked { on: section }] {
            // Four jaws press a thin wall out of round as three do.
            let serves = (worse && coaxial::off(job, &better) < coaxial::off(job, &base))
                || (thin && matches!(better, Held::SoftJaws { .. }));
            if serves && there(job, &better) {
                on.push(better);
            }
        }
        on.insert(0, base);
    }
    // Nothing to grip, or nothing that hard jaws would not press out of round.
    let closes = |held: &Held| match held {
        Held::Chuck { on: Some(on) } | Held::Clocked { on } => wall_left(job, *on).is_none(),
        _ => true,
    };
    let loose = !on.iter().any(closes);
    if let Some(bore) = finished_bore(job, first).filter(|_| loose) {
        on.extend(screwed_on::from_within(job, bore));
        on.push(mandrel(job, bore));
        // Clamps bear on the shoulder round what is turned, and have nothing long turned beyond them.
        let long = job.part.length_of(far);
        let round = |&id: &FeatureId| job.part.cut_diameter(id);
        let across = job.part.sections().iter().filter_map(round).max().unwrap_or_default();
        let shoulder = near.iter().filter_map(round).max() == Some(across);
        let flat =
            !far.is_empty() && shoulder && long * 2 <= across && across >= limit("clamped on the faceplate");
        if flat && there(job, &Held::Faceplate { bore }) {
            on.push(Held::Faceplate { bore });
        }
    }
    let to_thread = |held: &Held| {
        held.screwed_by().is_some_and(|thread| split.iter().any(|demand| demand.features.contains(&thread)))
    };
    let threads = screwed_on::by_thread(job, first.end());
    on.extend(threads.into_iter().filter(|held| loose || to_thread(held)));
    if on.is_empty() {
        on.extend(thin_disc::in_a_seat(job, makings, first, (near, far)));
    }
    if on.is_empty() {
        on.extend(in_a_split_bush(job, near, first.end()));
    }
    if on.is_empty() {
        return Err(nothing_holds(job));
    }
    Ok(Grips { on, ..Grips::default() })
}

/// The longest of the sections that serve.
pub(super) fn longest(
    job: &Job,
    sections: &[FeatureId],
    serves: impl Fn(FeatureId) -> bool,
) -> Option<FeatureId> {
    let found = sections.iter().copied().filter(|&id| serves(id));
    found.max_by_key(|&id| job.part.section_length(id))
}

/// A knurled section of those that are finished: a ring bored to it and slit lets jaws close on it.
fn in_a_split_bush(job: &Job, near: &[FeatureId], inside: Face) -> Option<Held> {
    let least = processes::holding("split bush").least_grip;
    let on = longest(job, near, |id| {
        let long = job.part.section_length(id) >= least;
        long && knurled(job, id) && runs_true(job, id) && goes_in(job, id, inside)
    })?;
    Some(Held::SplitBush { on }).filter(|held| there(job, held))
}

/// What else serves at both ends: centres where two outsides have to be true or a long taper
/// wants the tailstock set over, and nothing is cut along the axis; a mandrel where an outside has to be true to a bore.
pub(super) fn beside(
    job: &Job,
    makings: &Makings,
    first: First,
    (near, far): (&[FeatureId], &[FeatureId]),
    grips: [&mut Grips; 2],
) {
    let split = makings.coaxial.iter().filter(|demand| apart(job, first, near, demand));
    let is_section = |id: &FeatureId| matches!(job.part.feature(*id).kind, Kind::Section { .. });
    let outsides = split.clone().any(|demand| demand.features.iter().all(is_section));
    let centres = (outsides || super::tapers::any(job)) && super::tapers::may_hang(job, first);
    let [one, two] = grips;
    one.centres = centres;
    two.centres = centres;
    two.sawn = centres;
    let Some(bore) = true_bore(job) else { return };
    let held = mandrel(job, bore);
    if two.on.contains(&held) {
        return;
    }
    for (own, sections, end) in [(one, near, first.end()), (two, far, opposite(first.end()))] {
        if end != first.end() && oriented::end_to_bore(&makings.oriented, end, bore) {
            own.faced_on = Some(held.clone());
        }
        let better = |&&id: &&FeatureId| {
            let of = |demand: &Coaxial| demand.features.contains(&id) && demand.features.contains(&bore);
            !job.part.is_eccentric(id) && (split.clone().any(of) || thin_over(job, id, bore))
        };
        let sections: Vec<FeatureId> = sections.iter().filter(better).copied().collect();
        if !sections.is_empty() {
            own.mandrel = Some((held.clone(), sections));
        }
    }
}

/// Whether two surfaces are cut from two ends.
fn apart(job: &Job, first: First, near: &[FeatureId], demand: &Coaxial) -> bool {
    let at_first = |id: FeatureId| match job.part.feature(id).kind {
        Kind::Section { .. } => near.contains(&id),
        _ => super::turned::entered(job, id, first) == first.end(),
    };
    at_first(demand.features[0]) != at_first(demand.features[1])
}

/// Whether the bench has what a holding takes, or may be supposed to.
pub(super) fn there(job: &Job, held: &Held) -> bool {
    holders(held).into_iter().all(|holder| job.bench.has(holder) != There::No)
}

/// What a holding takes that a bench file lists.
pub(super) fn holders(held: &Held) -> Vec<WorkHolder> {
    match held {
        Held::SoftJaws { .. } => vec![WorkHolder::SoftJaws],
        Held::Clocked { .. } | Held::FourJaw { .. } => vec![WorkHolder::FourJaw],
        Held::Packed { .. } | Held::Inside { .. } | Held::SplitBush { .. } => vec![WorkHolder::ThreeJaw],
        Held::Centres | Held::OffsetCentres { .. } => vec![WorkHolder::Centres],
        Held::Faceplate { .. } => vec![WorkHolder::Faceplate],
        _ => Vec::new(),
    }
}

/// What steadying takes that a bench file lists.
pub(super) fn steadies(steadied: Steadied) -> Option<WorkHolder> {
    match steadied {
        Steadied::Travelling => Some(WorkHolder::TravellingSteady),
        Steadied::Fixed { .. } => Some(WorkHolder::FixedSteady),
        Steadied::Not | Steadied::Tailstock => None,
    }
}

/// What a holding rests on that the bench file neither has nor denies.
pub(super) fn supposed(job: &Job, holding: &Holding) -> Vec<String> {
    let all = holders(&holding.held).into_iter().chain(steadies(holding.steadied));
    all.filter(|&holder| job.bench.has(holder) == There::Supposed)
        .map(|holder| {
            format!(
                "`work_holding` of the bench does not say what the lathe has: supposed is {}",
                holder.words()
            )
        })
        .collect()
}

/// Why a holding is none of the plain ones, where the work itself asks for it.
pub(super) fn held_for(job: &Job, holding: &Holding) -> Vec<String> {
    let thin = holding.held.grips().and_then(|on| Some((on, wall_left(job, on)?)));
    match (&holding.held, thin) {
        (Held::SoftJaws { .. } | Held::Collet { .. }, Some((on, wall))) => vec![format!(
            "Held all round because {} of wall is left of {}: three hard jaws would press it out of round.",
            wall,
            job.name(on)
        )],
        (Held::Mandrel { bore, .. } | Held::Faceplate { bore }, _) => vec![format!(
            "Held by {} so that what is turned here runs true to it, and nothing presses on the outside.",
            job.name(*bore)
        )],
        (Held::Inside { bore }, _) => {
            vec![format!(
                "Held from within {}: nothing of the outside is long enough for jaws.",
                job.name(*bore)
            )]
        }
        (Held::SplitBush { on }, _) => vec![format!(
            "Held by {} in a split bush: nothing else of it is one for jaws, and they would crush its knurl.",
            job.name(*on)
        )],
        (Held::Screwed { thread }, _) => {
            vec![format!("Screwed on by {}: nothing else of it gives jaws a true hold.", job.name(*thread))]
        }
        _ => Vec::new(),
    }
}

fn mandrel(job: &Job, bore: FeatureId) -> Held {
    let size = job.part.cut_diameter(bore).unwrap_or_default();
    Held::Mandrel { bore, owned: job.bench.has_mandrel(size) }
}

/// The bore that a mandrel goes through: on the axis, right through, reamed or bored, and
/// as long as a stub needs.
pub(super) fn true_bore(job: &Job) -> Option<FeatureId> {
    let row = processes::holding("mandrel");
    let serves = |id: FeatureId, diameter: Length| {
        let long = job.part.end_depth(id, Depth::Through);
        // A stub thinner than a tenth of its length gives under the cut.
        let firm = diameter.scaled(overhang("the tailstock")) >= long;
        diameter >= processes::holding("stub").least_grip && long >= row.least_grip && firm
    };
    job.part.features().find_map(|(id, feature)| match feature.kind {
        Kind::Hole { diameter, finish: Finish::Reamed | Finish::Bored, depth: Depth::Through, .. }
            if matches!(feature.face, Face::Left | Face::Right)
                && !job.part.off_axis(id)
                && job.part.drawing.left(id).is_none()
                && job.drilled_from_both_sides(id).is_none()
                && serves(id, job.part.size(diameter)) =>
        {
            Some(id)
        }
        _ => None,
    })
}

/// Such a bore that is finished while the work is on its bar.
pub(super) fn finished_bore(job: &Job, first: First) -> Option<FeatureId> {
    true_bore(job).filter(|&bore| super::turned::entered(job, bore, first) == first.end())
}

/// The wall that the holes along the axis leave of a section, where jaws would press it
/// out of round: thinner than a tenth of its diameter and than metal that gives.
pub(super) fn wall_left(job: &Job, section: FeatureId) -> Option<Length> {
    let hollows = job.part.features().map(|(id, _)| id);
    hollows.filter_map(|id| thin_wall(job, section, id)).min()
}

/// Whether a hole leaves a section so thin.
pub(super) fn thin_over(job: &Job, section: FeatureId, hole: FeatureId) -> bool {
    thin_wall(job, section, hole).is_some()
}

fn thin_wall(job: &Job, section: FeatureId, hole: FeatureId) -> Option<Length> {
    let part = job.part;
    if part.is_eccentric(section) || knurled(job, section) || !runs_in(job, section, hole)? {
        return None;
    }
    let hollow = match part.feature(hole).kind {
        Kind::Recess { diameter, .. } => part.size(diameter),
        _ => part.cut_diameter(hole)?,
    };
    let across = part.cut_diameter(section)?;
    let wall = (across - hollow).half();
    let thin = wall < limit("thin wall") && wall * 10 < across;
    (thin && wall.is_positive()).then_some(wall)
}

/// Whether a hole takes more than half the width out of a section.
pub(super) fn hollowed(job: &Job, section: FeatureId, hole: FeatureId) -> bool {
    let wide = job.part.cut_diameter(hole).zip(job.part.cut_diameter(section));
    wide.is_some_and(|(hole, section)| hole * 2 > section) && runs_in(job, section, hole) == Some(true)
}

/// Whether a hole along the axis comes into a section; none of what has no depth there.
fn runs_in(job: &Job, section: FeatureId, hole: FeatureId) -> Option<bool> {
    let part = job.part;
    let feature = part.feature(hole);
    if !super::turned::along_axis(job, hole) {
        return None;
    }
    let deep = match feature.kind {
        Kind::Hole { depth, .. } | Kind::Tapped { depth, .. } => part.end_depth(hole, depth),
        Kind::Counterbore { depth, .. } => part.size(depth),
        Kind::Recess { .. } => part.recess_floor(hole),
        _ => return None,
    };
    let begins = part.recess_start(hole);
    let (from, to) = match feature.face {
        Face::Left => (begins, deep),
        _ => (part.thickness() - deep, part.thickness() - begins),
    };
    let (start, end) = (part.along(section)?, part.section_end(section)?);
    Some(start < to && from < end)
}

fn knurled(job: &Job, section: FeatureId) -> bool {
    job.part.features().any(|(_, f)| matches!(f.kind, Kind::Knurl { over, .. } if over == section))
}

fn nothing_holds(job: &Job) -> Problem {
    Problem::new(format!("after parting off, nothing of `{}` can be held true", job.part.drawing.name))
        .why("the other end is turned with the work held by a finished plain section at least 6 mm and its own diameter long (3 mm in a collet of its size; 1.5 mm in a seat of soft jaws), through a finished bore, or screwed on a stub by a thread at its end; where nothing but the face is left, it is rubbed flat by hand")
        .mend("lengthen a section, ream or bore a hole right through, or leave a chucking piece on the drawing and saw it off last")
}

/// Held for turning, by the bar or by a section; in a collet where one fits.
pub(super) fn by(job: &Job, on: Option<FeatureId>) -> Held {
    let round = on.filter(|&id| !is_bar(job, id));
    let fits = round.and_then(|id| job.part.cut_diameter(id)).is_some_and(|d| job.bench.collets.contains(&d));
    let only_four =
        job.bench.has(WorkHolder::ThreeJaw) == There::No && job.bench.has(WorkHolder::FourJaw) != There::No;
    match on {
        Some(_) if fits => Held::Collet { on },
        Some(on) if only_four => Held::Clocked { on },
        _ => Held::Chuck { on },
    }
}

/// Least length a finished section is gripped by, where it is thin; common practice, from
/// memory: jaws close true on no less. A collet of its size closes all round it, and does.
fn least_grip(job: &Job, id: FeatureId) -> Length {
    let collet = job.part.cut_diameter(id).is_some_and(|diameter| job.bench.collets.contains(&diameter));
    processes::limit(if collet { "collet grip" } else { "jaw grip" })
}

/// What the work is held by for its second end: any section that is long enough, or,
/// where little is done there, the longest that jaws close on at all.
fn held_by(
    job: &Job,
    makings: &mut Makings,
    (near, far): (&[FeatureId], &[FeatureId]),
    inside: Face,
) -> Option<Vec<FeatureId>> {
    // Jaws crush a knurl, which is rolled while the work is on its bar.
    let held = |id: &FeatureId| goes_in(job, *id, inside) && !knurled(job, *id) && stiff(job, *id);
    let long: Vec<FeatureId> = near.iter().copied().filter(held).filter(|&id| grips(job, id)).collect();
    // By a web no cut is driven through the throws, as it is by a journal beyond them.
    let edge = if inside == Face::Left { near.last() } else { near.first() };
    let true_only = !far.is_empty() && !far.iter().any(|&id| job.part.is_eccentric(id));
    let web = edge.copied().filter(|_| true_only);
    let closed = web.and_then(|web| Some((web, super::throws::gripped_by_a_web(job, web, far, inside)?)));
    if let Some((web, closed)) = closed {
        let across = job.part.cut_diameter(web).unwrap_or_default();
        if super::throws::held_lightly(closed, across) {
            makings.assume(format!(
                "{} gives the jaws only {closed} to hold for the other end: face and centre it lightly, and turn nothing without \
                 the tailstock's centre",
                job.name(web)
            ));
        }
        return Some(vec![web]);
    }
    if !long.is_empty() {
        return Some(long);
    }
    let out = job.part.length_of(far);
    let on = longest(job, near, |id| held(&id) && grips_lightly(job, id, out))?;
    makings.assume(format!(
        "{} gives the jaws only {} to hold for the other end: light cuts there",
        job.name(on),
        job.part.section_length(on)
    ));
    Some(vec![on])
}

/// Whether a section carries what stands out of the jaws that close on it: as thin as a stub that bends, nothing
/// much wider.
fn stiff(job: &Job, id: FeatureId) -> bool {
    let own = job.part.cut_diameter(id).unwrap_or_default();
    own >= processes::holding("stub").least_grip || job.part.bar_needed() < own * 3
}

pub(super) fn in_lathe(job: &Job, end: Face, held: Held) -> Holding {
    Holding {
        machine: Machine::Lathe,
        pieces: job.pieces(Lot::Piece(0)),
        up: end,
        held,
        located: Located::EndAndAxis(end),
        image: job.part.image,
        steadied: Steadied::Not,
    }
}

/// Whether a section is one to grip the work by: plain, running true, and long enough.
pub(super) fn grips(job: &Job, id: FeatureId) -> bool {
    let diameter = job.part.cut_diameter(id).unwrap_or_default();
    // A large diameter is gripped by less than itself: 12 mm of jaw hold it.
    runs_true(job, id) && job.part.section_length(id) >= least_grip(job, id).max(diameter.min(Length::mm(12)))
}

/// Whether a section holds the work for light cuts where so much stands out of it.
pub(super) fn grips_lightly(job: &Job, id: FeatureId, out: Length) -> bool {
    let length = job.part.section_length(id);
    runs_true(job, id) && length >= least_grip(job, id) && length >= out
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
    let short = |id| runs_true(job, id) && job.part.section_length(id) >= least_grip(job, id);
    longest(job, &sections, short).into_iter().collect()
}

/// A plain section, or bar left as it comes, on the axis of the part.
pub(super) fn runs_true(job: &Job, id: FeatureId) -> bool {
    matches!(
        job.part.feature(id).kind,
        Kind::Section { size: SectionSize::Plain(_) | SectionSize::AsBar { .. }, throw: None, .. }
    )
}
