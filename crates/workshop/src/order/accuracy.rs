//! Accuracy: what a held distance may be out by, and which ways of making its ends keep it.
//!
//! Two ends made in one stay of the work are out by what the machine and the tool are out
//! by at each. Where the work is taken up between them, the error of locating it is added
//! for both, unless the second is located from the first. All of it is added at its worst;
//! the root of the sum of squares, which is likelier, is told beside it by
//! [`super::charges`]. A hole that may be
//! made in several ways is judged in each, and ways that are too much out together are
//! never taken together, as long as some are not.

use super::deed::{Deed, Job, Lot, Makings};
use super::figures::{error, over, room};
use super::kept::HeldDistance;
use super::model::{Agreement, OpId};
use super::process::{datum_bore, way_of};
use super::work::{Deep, Located, Work};
use crate::drawing::{FeatureId, Finish, Kind};
use crate::measure::{Length, Toward};
use crate::problem::{Outcome, Problem};
use crate::tables::processes::{limit, locating, process};

/// One thing that a distance may be out by.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Share {
    pub of: String,
    pub error: Length,
    pub source: String,
}

impl Job<'_> {
    /// How far an end of a distance may stand from where it is put.
    fn end_within(&self, id: FeatureId) -> Length {
        let name = match self.part.feature(id).kind {
            Kind::Hole { finish: Finish::Bored, .. } => "bore",
            Kind::Slot { .. } | Kind::CurvedSlot { .. } => "mill a slot",
            Kind::Pocket { .. } => "mill a pocket",
            _ => "drill",
        };
        process(name).position.unwrap_or_default() + self.slides_within()
    }

    /// How far a drill walks off its line on its way down a stack, or through deep metal.
    fn wanders(&self, deed: &Deed) -> Length {
        match deed.work {
            Work::Drill { deep, .. } => match deed.lot {
                // What it has gone through before it comes to this part.
                Lot::Joint(which) => wander(self.part.drawing.together[which].over()),
                _ if !self.is_turned() => self.walks(deep.length()),
                _ => Length::ZERO,
            },
            _ => Length::ZERO,
        }
    }

    /// How far a drill walks off its line in so much metal, beyond what its own row allows for:
    /// one thickness of the part, and no more than a drill goes without walking.
    pub(super) fn walks(&self, metal: Length) -> Length {
        let own = self.part.thickness().min(limit("goes straight"));
        wander((metal - own).max(Length::ZERO))
    }

    /// The drill before truing and the size it is bored to, of a bore reamed to a size.
    pub(super) fn truing(&self, size: Length) -> Option<(Length, Length)> {
        let to = size - limit("truing cut");
        let boring = self.bench.boring.as_ref()?;
        let first = to - limit("truing room");
        (boring.least <= first && to <= boring.most && first.is_positive()).then_some((first, to))
    }

    /// Whether a bore can be trued before it is reamed.
    pub(super) fn may_true(&self, id: FeatureId) -> bool {
        let Kind::Hole { diameter, .. } = self.part.feature(id).kind else { return false };
        let (_, then) = self.hole_tools(diameter);
        let size = self.part.size(diameter);
        matches!(then, Some(super::work::Tool::Reamer(_)))
            && self.mills()
            && self.truing(size).is_some()
            && process("true by boring").reaches(size, self.part.thickness())
    }
}

/// How far a drill walks off its line in so much more metal.
fn wander(below: Length) -> Length {
    let wanders = limit("drill wander").scaled(below.ratio_to(Length::mm(100)));
    wanders.rounded(Length::microns(1), Toward::More).value
}

/// The deeds that put a feature where it stands, one for each lot and variant.
pub(super) fn placing(makings: &Makings, id: FeatureId) -> Vec<usize> {
    let nearest = |deed: &Deed| match deed.work {
        Work::Bore { .. } | Work::TrueHole { .. } => 0,
        Work::MillSlot { .. } | Work::MillPocket { .. } => 1,
        _ => 2,
    };
    let mut found: Vec<usize> = Vec::new();
    for (n, deed) in makings.deeds.iter().enumerate() {
        if deed.feature != Some(id) || deed.process().position.is_none() {
            continue;
        }
        // The two halves of a hole each stand where their own side puts them.
        let same = |&&mut m: &&mut usize| {
            let other: &Deed = &makings.deeds[m];
            let half = |deed: &Deed| match deed.work {
                Work::Drill { deep: Deep::To(_), .. } => {
                    deed.places.first().map(|&place| makings.places[place].holding.up)
                }
                _ => None,
            };
            (other.lot, other.choice) == (deed.lot, deed.choice) && half(other) == half(deed)
        };
        match found.iter_mut().find(same) {
            Some(known) if nearest(deed) < nearest(&makings.deeds[*known]) => *known = n,
            Some(_) => {}
            None => found.push(n),
        }
    }
    found
}

/// The pairs of deeds that place the two ends of a distance in one piece of work; of the holes
/// of one pattern, the deed that places them all.
pub(super) fn pairs(job: &Job, makings: &Makings, distance: &HeldDistance) -> Vec<[usize; 2]> {
    let Some(second) = distance.ends.1 else { return Vec::new() };
    if second == distance.ends.0 {
        return placing(makings, second).into_iter().map(|n| [n, n]).collect();
    }
    let (firsts, seconds) = (placing(makings, distance.ends.0), placing(makings, second));
    let all = firsts.iter().flat_map(|&a| seconds.iter().map(move |&b| [a, b]));
    all.filter(|&[a, b]| {
        let (one, other) = (&makings.deeds[a], &makings.deeds[b]);
        let together = match (one.choice, other.choice) {
            (Some((choice, variant)), Some((same, another))) => choice != same || variant == another,
            _ => true,
        };
        let others = job.pieces_of(other.lot);
        a != b && together && job.pieces_of(one.lot).iter().any(|piece| others.contains(piece))
    })
    .collect()
}

/// What one end may be out by, made in a place: as the slides and the tool make it, or as it
/// was marked out. A drill that goes through a whole stack walks off on its way to the last
/// piece; what it does in the thickness of one piece is in its own row.
pub(super) fn end_share(job: &Job, makings: &Makings, deed: &Deed, place: usize) -> Share {
    let walks = job.wanders(deed);
    let through = match walks.is_positive() {
        true => format!(", and {walks} on its way through {}", depth_of(deed)),
        false => String::new(),
    };
    if let Some(by_eye) = super::by_eye::share(deed, &makings.places[place].holding) {
        return Share { of: by_eye.of + &through, error: by_eye.error + walks, ..by_eye };
    }
    let row = deed.process();
    let wanders = row.position.unwrap_or_default();
    Share {
        of: format!("`{}`: slides {} and {} {wanders}{through}", deed.text, job.slides_within(), row.name),
        error: wanders + job.slides_within() + walks,
        source: row.source.to_string(),
    }
}

/// How deep a drilled deed goes.
fn depth_of(deed: &Deed) -> Length {
    match deed.work {
        Work::Drill { deep, .. } => deep.length(),
        _ => Length::ZERO,
    }
}

pub(super) fn locating_share(job: &Job, located: Located) -> Share {
    let words = match located {
        Located::Edges(..) => "edges found".to_owned(),
        Located::Bore(bore) => format!("centred on {}", job.name(bore)),
        Located::TwoBores(bore, _) => format!("held by dowels in {}", job.name(bore)),
        Located::Marked(id) => format!("set to the marked centre of {}", job.name(id)),
        Located::Punched => "each set to its own centre".to_owned(),
        _ => "set to a line".to_owned(),
    };
    let error = job.located_within(located);
    Share { of: words, error, source: way_of(located).source.to_string() }
}

/// What a distance may be out by when its ends are made in these places, the work taken
/// up between them or not.
pub(super) fn shares(
    job: &Job,
    makings: &Makings,
    [a, b]: [usize; 2],
    places: [usize; 2],
    one_stay: bool,
) -> Vec<Share> {
    let deeds = [&makings.deeds[a], &makings.deeds[b]];
    let ends = [0, 1].map(|end| end_share(job, makings, deeds[end], places[end]));
    if one_stay {
        return ends.into();
    }
    let located = places.map(|place| makings.places[place].holding.located);
    let datums = located.map(datum_bore);
    for (from, to) in [(0, 1), (1, 0)] {
        // Located from the other end itself: where that one stands does not matter.
        if datums[to].is_some() && datums[to] == deeds[from].feature {
            return vec![locating_share(job, located[to]), ends[to].clone()];
        }
    }
    let mut all: Vec<Share> = ends.into();
    all.extend(located.map(|located| locating_share(job, located)));
    // A bore that only one of them is located from has a place of its own to be out by.
    if datums[0] != datums[1] {
        for datum in datums.into_iter().flatten() {
            let edges = locating("edge finder");
            all.push(Share {
                of: format!("{} itself", job.name(datum)),
                error: job.end_within(datum) + edges.error,
                source: edges.source.to_string(),
            });
        }
    }
    all
}

pub(super) fn worst(shares: &[Share]) -> Length {
    shares.iter().map(|share| share.error).sum()
}

/// The pairs of places in which two deeds keep a distance, the work taken up between
/// them, by their places in the deeds' lists.
fn kept_apart(job: &Job, makings: &Makings, distance: &HeldDistance, [a, b]: [usize; 2]) -> Vec<[usize; 2]> {
    // Without a tolerance there is nothing that two holdings could be measured by.
    if !distance.said {
        return Vec::new();
    }
    let (firsts, seconds) = (&makings.deeds[a].places, &makings.deeds[b].places);
    let all = (0..firsts.len()).flat_map(|p| (0..seconds.len()).map(move |q| [p, q]));
    all.filter(|&[p, q]| {
        worst(&shares(job, makings, [a, b], [firsts[p], seconds[q]], false)) <= distance.room
    })
    .collect()
}

/// What two holdings come to at their best.
fn least_apart(job: &Job, makings: &Makings, [a, b]: [usize; 2]) -> Length {
    let (firsts, seconds) = (&makings.deeds[a].places, &makings.deeds[b].places);
    let all = firsts.iter().flat_map(|&p| seconds.iter().map(move |&q| [p, q]));
    all.map(|places| worst(&shares(job, makings, [a, b], places, false))).min().unwrap_or_default()
}

/// What two deeds come to in one stay of the work; none where they share no place.
fn in_one_stay(job: &Job, makings: &Makings, [a, b]: [usize; 2]) -> Option<Length> {
    let shared = makings.deeds[a].places.iter().find(|place| makings.deeds[b].places.contains(place))?;
    Some(worst(&shares(job, makings, [a, b], [*shared; 2], true)))
}

/// The least a distance may come to whichever way its ends are made.
fn least(job: &Job, makings: &Makings, pairs: &[[usize; 2]]) -> Length {
    let of = |&pair: &[usize; 2]| {
        let apart = least_apart(job, makings, pair);
        in_one_stay(job, makings, pair).map_or(apart, |one| one.min(apart))
    };
    pairs.iter().map(of).min().unwrap_or_default()
}

/// What a cut made in a place may be out by from what the work is located from there.
fn off_its_datum(job: &Job, makings: &Makings, deed: &Deed, place: usize) -> Length {
    let found = job.located_within(makings.places[place].holding.located);
    found + end_share(job, makings, deed, place).error
}

/// Whether a distance comes near enough whichever way and wherever its ends are made.
pub(super) fn always_kept(job: &Job, makings: &Makings, distance: &HeldDistance) -> bool {
    if distance.ends.1.is_some() {
        return pairs(job, makings, distance).into_iter().all(|[a, b]| {
            let ways = makings.deeds[a].places.len() * makings.deeds[b].places.len();
            kept_apart(job, makings, distance, [a, b]).len() == ways
        });
    }
    let edge = distance.edge.as_ref().map_or(Length::ZERO, |edge| edge.error);
    placing(makings, distance.ends.0).into_iter().all(|n| {
        let deed = &makings.deeds[n];
        let comes_to = |&p: &usize| off_its_datum(job, makings, deed, p) + edge;
        deed.places.iter().all(|p| comes_to(p) <= distance.room)
    })
}

/// What has to agree in a model whose operation `n` is deed `n`.
pub(super) fn agreements(job: &Job, makings: &Makings) -> Vec<Agreement> {
    let mut all = Vec::new();
    for distance in makings.held.iter().filter(|distance| distance.bound) {
        let pairs = pairs(job, makings, distance);
        // Where nothing helps, the ends are made together and what is short is told.
        let helps = distance.said && least(job, makings, &pairs) <= distance.room;
        for &[a, b] in &pairs {
            let apart = kept_apart(job, makings, distance, [a, b]);
            let ways = makings.deeds[a].places.len() * makings.deeds[b].places.len();
            if apart.len() == ways {
                continue;
            }
            let together = in_one_stay(job, makings, [a, b]);
            if distance.may_go && together.is_none() && apart.is_empty() {
                continue; // no order keeps it: it is told
            }
            let in_one = !helps || together.is_none_or(|together| together <= distance.room);
            let least = least_apart(job, makings, [a, b]);
            let asks = distance.words();
            let because = match together.filter(|_| !in_one) {
                None => format!(
                    "{asks}, and each new holding adds its own locating error to it: two come to {} at the least",
                    error(least)
                ),
                Some(together) => {
                    format!(
                        "{asks}, and made so its ends come to {} at the least",
                        error(together.min(least))
                    )
                }
            };
            all.push(Agreement { ops: [OpId(a), OpId(b)], in_one, apart, because });
        }
    }
    all
}

/// Deeds that put an end too far from the edge it is measured from, where another way of
/// making it does not; each with the reason.
pub(super) fn too_far_out(job: &Job, makings: &Makings) -> Vec<(usize, String)> {
    let mut out = Vec::new();
    let from_edge = |held: &&HeldDistance| held.bound && held.said && held.ends.1.is_none();
    for distance in makings.held.iter().filter(from_edge) {
        let ends = placing(makings, distance.ends.0);
        let comes_to = |n: usize| {
            let deed = &makings.deeds[n];
            let found = deed.places.iter().map(|&p| off_its_datum(job, makings, deed, p));
            let edge = distance.edge.as_ref().map_or(Length::ZERO, |edge| edge.error);
            found.min().unwrap_or_default() + edge
        };
        if ends.iter().all(|&n| comes_to(n) > distance.room) {
            continue;
        }
        let asks = distance.words();
        let far = ends.iter().filter(|&&n| comes_to(n) > distance.room);
        out.extend(far.map(|&n| (n, format!("{asks}, and made so it comes to {}", error(comes_to(n))))));
    }
    out
}

/// Whether each held distance can be kept at all. One with an end that is done already
/// is set from where that end came out.
///
/// # Errors
///
/// The distances whose ends can be made neither in one holding nor near enough in two,
/// with by how much, and what would help.
pub(super) fn can_be_kept(job: &Job, makings: &Makings, done: &[OpId]) -> Outcome<()> {
    let mut faults = Vec::new();
    for distance in makings.held.iter().filter(|distance| !distance.may_go) {
        let Some(dimension) = distance.dimension else { continue };
        let pairs = pairs(job, makings, distance);
        let shares_place = |&[a, b]: &[usize; 2]| {
            makings.deeds[a].places.iter().any(|place| makings.deeds[b].places.contains(place))
        };
        let kept = |pair: &[usize; 2]| {
            pair.iter().any(|&op| done.contains(&OpId(op)))
                || shares_place(pair)
                || !kept_apart(job, makings, distance, *pair).is_empty()
        };
        if pairs.is_empty() || pairs.iter().any(kept) {
            continue;
        }
        let least = pairs.iter().map(|&pair| least_apart(job, makings, pair)).min().unwrap_or_default();
        let (over, least, room) = (over(least, distance.room), error(least), room(distance.room));
        let drawn = &job.part.drawing.dimensions[dimension.0];
        let mut ends: Vec<FeatureId> = std::iter::once(distance.ends.0).chain(distance.ends.1).collect();
        ends.sort();
        let names: Vec<&str> = ends.into_iter().map(|id| job.name(id)).collect();
        faults.push(
            Problem::new(format!("{} cannot be drilled in one holding", names.join(" and ")))
                .at(format!("line {}", drawn.line))
                .at(job.part.drawing.file.clone())
                .concerns(drawn.name.clone())
                .why(format!(
                    "the distance between them is to be held within {room}, and each new holding adds its own locating error to it: two come to {least} at the least, {over} too much"
                ))
                .mend(format!(
                    "let both be cut from the same face right through, allow {least} (`within`), have both bored, or call the distance `free`"
                )),
        );
    }
    if faults.is_empty() { Ok(()) } else { Err(faults) }
}
