//! The ways of a round hole that is drilled on the mill: the plainest, and those that come
//! nearer to its place or its size. The search chooses; what cannot keep the size is out.

use super::holes::{bore, both_sides, chain_drill, drilled, ream};
use super::{Cut, Reach, deed_of, hollow, reach, through, through_both};
use crate::drawing::{Depth, DimensionId, FeatureId, Kind};
use crate::measure::Length;
use crate::metric::material;
use crate::order::by_eye;
use crate::order::deed::{Job, Lot, Makings, Refused};
use crate::order::offers;
use crate::order::work::{Deep, Tool, Work};
use crate::settings::reaming::left_by_the_drill;
use crate::tables::processes::{limit, process};

/// One way of making a hole.
pub(super) struct Way {
    words: &'static str,
    cuts: Vec<Cut>,
}

/// What is left of the ways of a hole.
pub(super) enum Kept {
    /// One, which needs no choosing.
    Only(Vec<Cut>),
    /// Several, and those that are out, each with its reason.
    Several(Vec<Way>, Vec<(&'static str, String)>),
}

/// A hole, or all holes of a pattern, as the ways of it see it.
struct Hole {
    id: FeatureId,
    times: u64,
    diameter: DimensionId,
    size: Length,
    deep: Reach,
    metal: Length,
}

/// The ways of a hole beside the plainest, without those that miss its size.
pub(super) fn kept(job: &Job, makings: &mut Makings, id: FeatureId, plainest: Vec<Cut>) -> Kept {
    let Some(hole) = Hole::of(job, id).filter(|_| job.mills()) else { return Kept::Only(plainest) };
    let (_, then) = job.hole_tools(hole.diameter);
    let words = match &then {
        Some(Tool::Reamer(_)) => "drilled and reamed",
        Some(Tool::BoringTool) => "drilled and bored",
        Some(_) => "chain drilled and filed",
        None if job.drilled_from_both_sides(id).is_some() => BOTH_SIDES,
        None => "drilled",
    };
    let mut ways = vec![Way { words, cuts: plainest }];
    ways.extend(hole.others(job, makings, then.as_ref()));
    let Some(room) = job.room_of(hole.diameter) else { return settle(ways, Vec::new()) };
    let error = |way: &Way| way.size_within().unwrap_or_default();
    if ways.iter().all(|way| error(way) > room) {
        return settle(ways, Vec::new());
    }
    let name = &job.part.drawing.dimensions[hole.diameter.0].name;
    let misses = |way: &Way| {
        format!(
            "`{name}` is to be within {room}, and {} it comes out within {} at the best",
            way.words,
            error(way)
        )
    };
    let (far, near): (Vec<Way>, Vec<Way>) = ways.into_iter().partition(|way| error(way) > room);
    let out: Vec<(&str, String)> = far.iter().map(|way| (way.words, misses(way))).collect();
    if let [only] = near.as_slice()
        && let Some(because) = offers::reasons(out.iter().map(|(_, because)| because.as_str()))
    {
        makings.assume(format!("{} is {}: {because}", job.name(id), only.words));
    }
    settle(near, out)
}

fn settle(mut ways: Vec<Way>, out: Vec<(&'static str, String)>) -> Kept {
    match ways.len() {
        1 => Kept::Only(ways.remove(0).cuts),
        _ => Kept::Several(ways, out),
    }
}

const BOTH_SIDES: &str = "drilled from both sides";

impl Hole {
    fn of(job: &Job, id: FeatureId) -> Option<Self> {
        let one = job.part.hole_of(id);
        let Kind::Hole { diameter, depth, .. } = job.part.feature(one).kind else { return None };
        if by_eye::bored_in_lathe(job, one) {
            return None;
        }
        let deep = reach(job, depth);
        let metal = match deep {
            Reach::To(depth) => depth,
            Reach::Through => through(job, one, Lot::Piece(0)),
        };
        let times = job.part.feature(id).kind.pattern().map_or(1, |holes| holes.len() as u64);
        Some(Self { id, times, diameter, size: job.part.size(diameter), deep, metal })
    }

    /// Whether a distance with a tolerance ends at it, or its axis has to lie square or parallel.
    fn is_asked(&self, job: &Job, makings: &Makings) -> bool {
        makings.oriented.iter().any(|demand| demand.concerns(job, self.id))
            || makings
                .held
                .iter()
                .any(|held| held.said && (held.ends.0 == self.id || held.ends.1 == Some(self.id)))
    }

    fn cut(&self, work: fn(Length, Deep) -> Work, size: Length, tool: Tool) -> Cut {
        Cut { feature: self.id, work, size, reach: self.deep, tool, times: self.times, from: None }
    }

    fn drilled(&self, job: &Job, bit: crate::tables::drills::Drill) -> Vec<Cut> {
        let cuts = drilled(job, job.part.hole_of(self.id), bit, self.deep).into_iter();
        cuts.map(|cut| Cut { feature: self.id, times: self.times, ..cut }).collect()
    }

    /// The ways beside the plainest, which ends with this tool or with the drill.
    fn others(&self, job: &Job, makings: &Makings, then: Option<&Tool>) -> Vec<Way> {
        let asked = self.is_asked(job, makings);
        let drill_size = process("drill").size.unwrap_or_default();
        let tight = job.room_of(self.diameter).is_some_and(|room| room < drill_size);
        let way = |words, cuts: Option<Vec<Cut>>| cuts.map(|cuts| Way { words, cuts });
        let found = match then {
            Some(Tool::Reamer(reamer)) if asked => {
                let reamer = Tool::Reamer(reamer.clone());
                vec![way("drilled, brought to its place by boring and reamed", self.trued(job, reamer))]
            }
            Some(Tool::BoringTool) => vec![way("chain drilled and bored", self.chained(job))],
            None => vec![
                way("drilled and reamed", self.reamed(job).filter(|_| tight)),
                way("drilled and bored", self.bored(job).filter(|_| tight || asked)),
                way(BOTH_SIDES, self.halved(job).filter(|_| asked)),
            ],
            _ => Vec::new(),
        };
        found.into_iter().flatten().collect()
    }

    /// Drilled small, brought to its place with a boring tool, and reamed to size.
    fn trued(&self, job: &Job, reamer: Tool) -> Option<Vec<Cut>> {
        let (pilot, _) = job.hole_tools(self.diameter);
        let (small, to) = job.truing(self.size).filter(|_| job.may_true(job.part.hole_of(self.id)))?;
        let mut all = self.drilled(job, hollow::below(job, small).unwrap_or(pilot));
        all.push(self.cut(|diameter, deep| Work::TrueHole { diameter, deep }, to, Tool::BoringTool));
        all.push(self.cut(ream, self.size, reamer));
        Some(all)
    }

    /// Drilled small and bored to size; none where the boring head does not reach.
    fn bored(&self, job: &Job) -> Option<Vec<Cut>> {
        let head = job.bench.boring.as_ref()?;
        let first = hollow::below(job, self.size - limit("truing room"))?;
        let fits = head.least <= first.diameter && self.size <= head.most;
        if !fits || !process("bore").reaches(self.size, self.metal) {
            return None;
        }
        let mut all = self.drilled(job, first);
        all.push(self.cut(bore, self.size, Tool::BoringTool));
        Some(all)
    }

    /// Drilled and reamed, with a reamer that is owned and a drill that leaves it its allowance.
    fn reamed(&self, job: &Job) -> Option<Vec<Cut>> {
        let reamer = job.bench.reamers.iter().find(|reamer| reamer.diameter == self.size)?.clone();
        let tool = Tool::Reamer(reamer);
        if !job.reaches_into(&tool, self.metal) {
            return None;
        }
        let light = material(job.part.drawing).is_ok_and(|(material, _)| material.is_light());
        let (least, most) = left_by_the_drill(self.size, light);
        let first =
            hollow::below(job, self.size - least).filter(|drill| drill.diameter >= self.size - most)?;
        let mut all = self.drilled(job, first);
        all.push(self.cut(ream, self.size, tool));
        Some(all)
    }

    /// Half way from either side, where one drill would walk off on its way through.
    fn halved(&self, job: &Job) -> Option<Vec<Cut>> {
        let (bit, metal) = job.drilled_through(self.id)?;
        let half = metal.half() + limit("past the middle");
        let walks = job.walks(metal) > limit("walk worth turning over");
        let one_way = job.drilled_from_both_sides(self.id).is_none();
        let gains = walks && one_way && process("drill").reaches(bit.diameter, half);
        gains.then(|| both_sides(job, self.id, bit, metal))
    }

    /// A ring of holes, the middle broken out, and the rest bored: where boring away all that the
    /// largest drill leaves would be long.
    fn chained(&self, job: &Job) -> Option<Vec<Cut>> {
        let (first, _) = job.hole_tools(self.diameter);
        let ring = Tool::Drill(job.ring_drill(self.size)?);
        let wide = self.size - first.diameter > limit("chained above");
        (wide && self.deep == Reach::Through && job.reaches_into(&ring, self.metal)).then(|| {
            vec![self.cut(chain_drill, self.size, ring), self.cut(bore, self.size, Tool::BoringTool)]
        })
    }
}

impl Way {
    /// How near its size comes.
    fn size_within(&self) -> Option<Length> {
        let last = self.cuts.last()?;
        let work = last.work(Deep::Through(Length::ZERO));
        work.process_with(&last.tool).size
    }
}

/// Offers several ways of one hole, each for the pair or stack where it goes through it, and for
/// each piece.
pub(super) fn either(
    job: &Job,
    makings: &mut Makings,
    id: FeatureId,
    ways: Vec<Way>,
    out: Vec<(&'static str, String)>,
) {
    let boths: Vec<Vec<bool>> = ways.iter().map(|way| through_both(job, &way.cuts)).collect();
    let paired = boths.iter().flatten().any(|&both| both);
    let kinds: &[(bool, &str)] =
        if paired { &[(true, job.suffix()), (false, offers::EACH)] } else { &[(false, "")] };
    let choice = makings.choices.len();
    let mut variants = Vec::new();
    for &(as_pair, kind) in kinds {
        for (way, both) in ways.iter().zip(&boths) {
            if as_pair && !both.contains(&true) {
                continue;
            }
            for (cut, &both) in way.cuts.iter().zip(both) {
                let lots = if as_pair && both { vec![Lot::Stack] } else { job.singles() };
                for lot in lots {
                    let mut deed = deed_of(job, makings, cut, lot);
                    deed.choice = Some((choice, variants.len()));
                    makings.deeds.push(deed);
                }
            }
            variants.push(format!("{}{kind}", way.words));
        }
    }
    makings.choices.push((job.name(id).to_owned(), variants));
    let refused = out.into_iter().map(|(way, because)| Refused { choice, way: way.to_owned(), because });
    makings.refused.extend(refused);
    if paired {
        makings.aligns.push(choice);
    }
}

/// Whether a hole goes right through, so that a cut to a depth in it is a half of it.
pub(in crate::order) fn is_half(job: &Job, id: Option<FeatureId>, work: &Work) -> bool {
    let through =
        |id: FeatureId| matches!(job.part.feature(id).kind, Kind::Hole { depth: Depth::Through, .. });
    matches!(work, Work::Drill { deep: Deep::To(_), .. }) && id.is_some_and(through)
}
