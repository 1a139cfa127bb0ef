//! Square, parallel, flat: which faces and axes the drawing holds to each other, how far out each
//! way of making them may bring them, and what an order comes to.
//!
//! A face or an axis lies as the machine cuts it, and the work as it sits: on parallels, against
//! a jaw, in a chuck. What is cut in one stay of the work sits alike and is out by the machine
//! alone. Taken up again, the work sits anew, on what it sat on before or on another face, and
//! how those two lie to each other is added. All of it is added at its worst, over the length
//! that the drawing's zone goes along. What cannot be kept is let go and told.

mod charged;
mod sits;

pub(super) use charged::{Charge, charges};

use super::accuracy::{Share, placing, worst};
use super::coaxial;
use super::deed::{Deed, Job, Lot, Makings};
use super::figures::{error, room};
use super::model::{Agreement, OpId};
use super::work::{Lying, Machine, Work};
use crate::drawing::{Axis, Depth, Element, Face, FeatureId, Geometrical, Keeps, Kind, Lies};
use crate::measure::Length;
use crate::tables::processes::{Trueness, trueness};

/// A face or axis that is held to lie so.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Oriented {
    pub lies: Lying,
    /// Whether the order is held to it; let go where no order keeps it.
    pub bound: bool,
}

impl Oriented {
    /// Whether it is of what is cut for this feature, or measured from it.
    pub(super) fn concerns(&self, job: &Job, id: FeatureId) -> bool {
        [Some(self.lies.of), self.lies.to].into_iter().flatten().any(|end| match end {
            Element::Feature(own) => own == id || cut_for(job, own) == id,
            Element::Face(_) => false,
        })
    }
}

/// Everything that the drawing holds square, parallel or flat; what turns about one axis is
/// [`coaxial`]'s.
pub(super) fn demands(job: &Job) -> Vec<Oriented> {
    let drawing = job.part.drawing;
    let here = |said: &&Geometrical| {
        let face = [Some(said.of), said.to].iter().any(|end| matches!(end, Some(Element::Face(_))));
        said.keeps != Keeps::Concentricity && (face || said.keeps != Keeps::RunOut)
    };
    let of = |said: &Geometrical| Oriented {
        lies: Lying {
            keeps: said.keeps,
            of: said.of,
            to: said.to,
            room: said.within.length,
            over: over(job, said.of, said.to),
            said: format!("{} (line {})", said.words(drawing), said.line),
        },
        bound: true,
    };
    drawing.geometrical.iter().filter(here).map(of).collect()
}

/// The length that a zone goes along.
fn over(job: &Job, of: Element, to: Option<Element>) -> Length {
    let part = job.part;
    let wide = |axis: Axis| part.whole(axis);
    if job.is_turned() {
        return match of {
            Element::Face(face) => {
                let sections = part.sections_from(face);
                sections.first().and_then(|&id| part.cut_diameter(id)).unwrap_or_default()
            }
            Element::Feature(id) => match part.feature(id).kind {
                Kind::Hole { depth, .. } | Kind::Tapped { depth, .. } => part.end_depth(id, depth),
                _ => part.section_length(id),
            },
        };
    }
    match (of, of.lies(&part.drawing.features)) {
        (Element::Feature(id), Some(Lies::Along(_))) => match part.feature(id).kind {
            Kind::Hole { depth: Depth::To(depth), .. } | Kind::Tapped { depth: Depth::To(depth), .. } => {
                part.size(depth)
            }
            _ => {
                let across = part.chord(id).map(|(first, last)| last - first);
                across.unwrap_or_else(|| part.thickness_at(id))
            }
        },
        (_, Some(Lies::Across(normal))) => {
            let along = match to.and_then(|to| to.lies(&part.drawing.features)) {
                // Square to a face: as far as it stands up from it.
                Some(Lies::Across(other)) if other != normal => Some(other),
                _ => None,
            };
            let all = [Axis::X, Axis::Y, Axis::Z].into_iter().filter(|&axis| axis != normal);
            along.map_or_else(|| all.map(wide).max().unwrap_or_default(), wide)
        }
        _ => Length::ZERO,
    }
}

/// What is cut for a hole: the pattern that it is one of, or itself.
fn cut_for(job: &Job, id: FeatureId) -> FeatureId {
    let pattern =
        job.part.features().find(|(_, f)| f.kind.pattern().is_some_and(|holes| holes.contains(&id)));
    pattern.map_or(id, |(pattern, _)| pattern)
}

/// The deeds that make a face or axis lie as it does.
pub(super) fn makers(job: &Job, makings: &Makings, element: Element) -> Vec<usize> {
    match element {
        Element::Feature(id)
            if job.is_turned() && matches!(job.part.feature(id).kind, Kind::Section { .. }) =>
        {
            coaxial::making(job, makings, id)
        }
        // A reamer follows its drill, in the lathe too.
        Element::Feature(id) => placing(makings, cut_for(job, id)),
        Element::Face(face) => {
            let makes = |deed: &&Deed| match deed.work {
                Work::FaceEnd { end } => end == face,
                Work::FaceToThickness => face.axis() == Axis::Z,
                Work::SquareEdges => is_datum_edge(job, face),
                Work::MillToSize => face.axis() != Axis::Z && !is_datum_edge(job, face),
                _ => false,
            };
            let all = makings.deeds.iter().enumerate();
            all.filter(|(_, deed)| makes(deed)).map(|(n, _)| n).collect()
        }
    }
}

fn is_datum_edge(job: &Job, face: Face) -> bool {
    let (side, end) = job.datum_edges();
    face.axis() != Axis::Z && [side, end].contains(&Some(face))
}

/// Whether where an element lies is chosen by the order: features, and the ends of turned work.
fn is_free(job: &Job, element: Element) -> bool {
    job.is_turned() || matches!(element, Element::Feature(_))
}

/// What a deed's own cut is out by in a place.
fn cut(makings: &Makings, deed: usize, place: usize, over: Length) -> Share {
    let (deed, holding) = (&makings.deeds[deed], &makings.places[place].holding);
    let by_hand = holding.machine == Machine::BenchVice && matches!(deed.work, Work::Drill { .. });
    let name = if by_hand { "drill by hand" } else { deed.process().name };
    let row = trueness(name).unwrap_or_else(unknown);
    share(format!("`{}`: {}", deed.text, row.what), row, over, Length::ZERO)
}

fn unknown() -> &'static Trueness {
    trueness("as cast").expect("the table has what is not cut at all")
}

fn share(of: String, row: &'static Trueness, over: Length, sits_on: Length) -> Share {
    Share { of, error: row.out(over, sits_on), source: row.source.to_string() }
}

/// What two things made by these deeds in these places may be out by to each other.
fn between(
    job: &Job,
    makings: &Makings,
    demand: &Oriented,
    ops: [usize; 2],
    places: [usize; 2],
    one_stay: bool,
) -> Vec<Share> {
    let cuts = [0, 1].map(|n| cut(makings, ops[n], places[n], demand.lies.over));
    if ops[0] == ops[1] {
        let [first, _] = cuts;
        return vec![first];
    }
    if one_stay {
        return cuts.into();
    }
    let mut all: Vec<Share> = cuts.into();
    if job.is_turned() {
        // Held by the one of them, the other is cut to it however it lies.
        let by = |n: usize| coaxial::runs_by(&makings.places[places[n]].holding.held);
        for (datum, own) in [(0, 1), (1, 0)] {
            if by(own).is_some() && by(own) == makings.deeds[ops[datum]].feature {
                all.swap_remove(datum);
                break;
            }
        }
        let sits = coaxial::shares_apart(job, makings, ops, places);
        let tilts = sits.into_iter().map(|sits| {
            let row = trueness(sits.row).unwrap_or_else(unknown);
            share(sits.of, row, demand.lies.over, Length::ZERO)
        });
        all.extend(tilts);
        return all;
    }
    let ends = [demand.lies.of, demand.lies.to.unwrap_or(demand.lies.of)];
    let seats = [0, 1].map(|n| sits::seat(job, makings, places[n], ends[1 - n]));
    for seat in &seats {
        all.extend(seat.shares(job, demand.lies.over));
    }
    all.extend(sits::faces(job, makings, seats[0].on, seats[1].on, demand.lies.over));
    all
}

/// What something made by a deed in a place may be out by to a face of the blank.
fn from_face(job: &Job, makings: &Makings, demand: &Oriented, face: Face, at: [usize; 2]) -> Vec<Share> {
    let [op, place] = at;
    let seat = sits::seat(job, makings, place, Element::Face(face));
    let mut all = vec![cut(makings, op, place, demand.lies.over)];
    all.extend(seat.shares(job, demand.lies.over));
    all.extend(sits::faces(job, makings, seat.on, face, demand.lies.over));
    all
}

/// What two faces of the blank are out by, or one is out of flat by; whatever the order.
fn of_the_blank(job: &Job, makings: &Makings, demand: &Oriented) -> Vec<Share> {
    match (demand.lies.of, demand.lies.to) {
        (Element::Face(of), Some(Element::Face(to))) => sits::faces(job, makings, of, to, demand.lies.over),
        (of, None) => vec![flat(job, makings, of, demand.lies.over)],
        _ => Vec::new(),
    }
}

/// How far out of flat something comes.
fn flat(job: &Job, makings: &Makings, of: Element, over: Length) -> Share {
    let made = makers(job, makings, of).first().map(|&n| &makings.deeds[n]);
    let cast = matches!(of, Element::Face(face) if !job.cuts(face));
    let name = match made {
        _ if cast => "as cast",
        Some(deed) => deed.process().name,
        None => "stock as it comes",
    };
    let row = trueness(name).unwrap_or_else(unknown);
    let error = row.flat(over).unwrap_or_else(|| row.out(over, Length::ZERO));
    let of = made.map_or_else(|| name.to_owned(), |deed| format!("`{}`: {name}", deed.text));
    Share { of, error, source: row.source.to_string() }
}

/// The pairs of deeds that make the two ends of a demand in one piece of work; of one that is
/// measured from a face of the blank, the deed and what the blank was squared by.
fn pairs(job: &Job, makings: &Makings, demand: &Oriented) -> Vec<[usize; 2]> {
    let Some(to) = demand.lies.to else { return Vec::new() };
    let both = |one: Vec<usize>, other: Vec<usize>| {
        let all = one.iter().flat_map(|&a| other.iter().map(move |&b| [a, b]));
        let together = |&[a, b]: &[usize; 2]| {
            let (one, other) = (&makings.deeds[a], &makings.deeds[b]);
            let way = match (one.choice, other.choice) {
                (Some((choice, variant)), Some((same, another))) => choice != same || variant == another,
                _ => true,
            };
            let others = job.pieces_of(other.lot);
            way && job.pieces_of(one.lot).iter().any(|piece| others.contains(piece))
        };
        all.filter(together).collect::<Vec<_>>()
    };
    both(makers(job, makings, demand.lies.of), makers(job, makings, to))
}

/// The end that the order chooses and the face of the blank, where it is measured so.
fn against_blank(job: &Job, demand: &Oriented) -> Option<(Element, Face)> {
    match (demand.lies.of, demand.lies.to?) {
        _ if job.is_turned() => None,
        (feature @ Element::Feature(_), Element::Face(face))
        | (Element::Face(face), feature @ Element::Feature(_)) => Some((feature, face)),
        _ => None,
    }
}

/// The deed that a blank gets its faces by, for what has to agree with them.
fn blank_deed(job: &Job, makings: &Makings, lot: Lot) -> Option<usize> {
    let pieces = job.pieces_of(lot);
    makings.deeds.iter().position(|deed| {
        matches!(deed.work, Work::SquareEdges | Work::FaceToThickness)
            && job.pieces_of(deed.lot).iter().any(|piece| pieces.contains(piece))
    })
}

/// What has to agree in a model whose operation `n` is deed `n`.
pub(super) fn agreements(job: &Job, makings: &Makings) -> Vec<Agreement> {
    let mut all = Vec::new();
    for demand in makings.oriented.iter().filter(|demand| demand.bound) {
        match against_blank(job, demand) {
            Some((feature, face)) => all.extend(to_the_blank(job, makings, demand, (feature, face))),
            None if is_free(job, demand.lies.of) => all.extend(to_each_other(job, makings, demand)),
            None => {}
        }
    }
    all
}

fn to_each_other(job: &Job, makings: &Makings, demand: &Oriented) -> Vec<Agreement> {
    let pairs = pairs(job, makings, demand);
    let comes_to = |pair, places, one| worst(&between(job, makings, demand, pair, places, one));
    let shared = |[a, b]: [usize; 2]| {
        let (firsts, seconds) = (&makings.deeds[a].places, &makings.deeds[b].places);
        firsts.iter().copied().find(|place| seconds.contains(place))
    };
    let in_one = |pair: [usize; 2]| shared(pair).map(|place| comes_to(pair, [place; 2], true));
    let every = |[a, b]: [usize; 2]| {
        let (firsts, seconds) = (&makings.deeds[a].places, &makings.deeds[b].places);
        let all = (0..firsts.len()).flat_map(move |p| (0..seconds.len()).map(move |q| [p, q]));
        all.map(|[p, q]| ([p, q], comes_to([a, b], [firsts[p], seconds[q]], false))).collect::<Vec<_>>()
    };
    let least = |&pair: &[usize; 2]| {
        let apart = every(pair).into_iter().map(|(_, out)| out).min();
        apart.into_iter().chain(in_one(pair)).min()
    };
    // Where nothing helps, it is told.
    let helps = pairs.iter().filter_map(least).any(|least| least <= demand.lies.room);
    if !helps {
        return Vec::new();
    }
    let mut all = Vec::new();
    for &pair in pairs.iter().filter(|[a, b]| a != b) {
        let (ways, together) = (every(pair), in_one(pair));
        let apart: Vec<[usize; 2]> =
            ways.iter().filter(|(_, out)| *out <= demand.lies.room).map(|(ways, _)| *ways).collect();
        if apart.len() == ways.len() {
            continue;
        }
        let in_one = together.is_some_and(|together| together <= demand.lies.room);
        let most = ways.iter().map(|(_, out)| *out).max().unwrap_or_default();
        let because = format!(
            "{} is asked for, and made apart, or otherwise, they may be out by {}",
            demand.lies.said,
            error(most)
        );
        all.push(Agreement { ops: pair.map(OpId), in_one, apart, because });
    }
    all
}

fn to_the_blank(
    job: &Job,
    makings: &Makings,
    demand: &Oriented,
    (feature, face): (Element, Face),
) -> Vec<Agreement> {
    let made = makers(job, makings, feature);
    let comes_to = |op: usize, place: usize| worst(&from_face(job, makings, demand, face, [op, place]));
    let ways = |&op: &usize| {
        let places = makings.deeds[op].places.iter();
        places.map(|&place| comes_to(op, place)).collect::<Vec<_>>()
    };
    if !made.iter().flat_map(ways).any(|out| out <= demand.lies.room) {
        return Vec::new();
    }
    let mut all = Vec::new();
    for op in &made {
        let outs = ways(op);
        // One that is never near enough is out by itself.
        if outs.iter().all(|out| *out > demand.lies.room) {
            continue;
        }
        let Some(blank) = blank_deed(job, makings, makings.deeds[*op].lot) else { continue };
        if outs.iter().all(|out| *out <= demand.lies.room) {
            continue;
        }
        let near = (0..outs.len()).filter(|&way| outs[way] <= demand.lies.room);
        let apart = near.flat_map(|way| (0..makings.deeds[blank].places.len()).map(move |q| [way, q]));
        let because = format!(
            "{} is asked for, and made so it may be out by {}",
            demand.lies.said,
            error(outs.iter().copied().max().unwrap_or_default())
        );
        all.push(Agreement { ops: [OpId(*op), OpId(blank)], in_one: false, apart: apart.collect(), because });
    }
    all
}

/// Deeds that bring something too far out of what it is held to, whatever they are done in,
/// where another way of making it does not; each with the reason.
pub(super) fn too_far_out(job: &Job, makings: &Makings) -> Vec<(usize, String)> {
    let mut out = Vec::new();
    for demand in makings.oriented.iter().filter(|demand| demand.bound) {
        let Some((feature, face)) = against_blank(job, demand) else { continue };
        let least = |op: usize| {
            let places = makings.deeds[op].places.iter();
            let comes_to = |&place: &usize| worst(&from_face(job, makings, demand, face, [op, place]));
            places.map(comes_to).min().unwrap_or_default()
        };
        let all: Vec<(usize, Length)> =
            makers(job, makings, feature).into_iter().map(|op| (op, least(op))).collect();
        if all.iter().any(|&(_, least)| least <= demand.lies.room) {
            let far = all.into_iter().filter(|&(_, least)| least > demand.lies.room);
            let because = |least| {
                format!("{} is asked for, and made so it may be out by {}", demand.lies.said, error(least))
            };
            out.extend(far.map(|(op, least)| (op, because(least))));
        }
    }
    out
}

/// Whether a holding in the lathe tips the work farther than something asked of it lets it.
pub(super) fn tips_too_far(demands: &[Oriented], row: Option<&'static str>) -> bool {
    let Some(row) = row.and_then(trueness) else { return false };
    demands.iter().any(|demand| row.out(demand.lies.over, Length::ZERO) > demand.lies.room)
}

/// Whether an end of turned work has to lie square or true to a bore: then a mandrel in it serves.
pub(super) fn end_to_bore(demands: &[Oriented], end: Face, bore: FeatureId) -> bool {
    let ends = |demand: &Oriented| {
        let both = [Some(demand.lies.of), demand.lies.to];
        both.contains(&Some(Element::Face(end))) && both.contains(&Some(Element::Feature(bore)))
    };
    demands.iter().any(ends)
}

/// Its room in words.
fn room_words(demand: &Oriented) -> String {
    format!("{} (room {})", demand.lies.said, room(demand.lies.room))
}
