//! A mate's size is a size of the part that it is.

use std::collections::BTreeMap;

use super::{At, Found, MORE_WAYS, Mated, Parts, Tie, Ties, feature};
use crate::drawing::{DimensionId, Measures};
use crate::measure::Length;
use crate::metric::choice::MadeWith;
use crate::metric::making::{Making, Moves};
use crate::metric::mates::{self, Half};
use crate::metric::model::{Demand, VariableId};
use crate::metric::rules::SHAFT_FITTED;
use crate::metric::stitch::Stitched;
use crate::metric::way::{Costs, Way, Ways};
use crate::metric::weigh::unround;
use crate::metric::{pinned, ways};
use crate::why::Why;

impl Ties {
    pub(super) fn mates<'p, 'a: 'p>(
        &mut self,
        part: usize,
        making: &Making,
        find: &impl Fn(&str) -> Found<'p, 'a>,
        supposed: &mut Vec<String>,
    ) {
        let job = &making.job;
        for mate in &job.drawing.mates {
            // What is there already follows nothing.
            if mate.fixed || job.dimension(mate.size).made.is_some() {
                continue;
            }
            let (Some(partner), Some((met, own))) =
                (&mate.partner, mates::meets(&job.feature(mate.with).kind))
            else {
                continue;
            };
            let found = feature(partner, find).and_then(|(other, kind)| match mates::meets(kind) {
                Some((is, half)) if half != own => Ok((At { part: other, size: is }, half)),
                _ => Err(format!("{} of {} is not its other half", partner.feature, partner.part)),
            });
            match found {
                Ok((is, half)) => self.ties.push(Tie::Mate(Mated {
                    stand_in: At { part, size: mate.size },
                    met,
                    is,
                    half,
                    name: mate.name.clone(),
                })),
                Err(why) => supposed.push(format!("the size of `{}` follows by itself: {why}", mate.name)),
            }
        }
    }
}

impl Mated {
    /// The further ways of the sizes of one part that it opens.
    pub(super) fn further(&self, parts: &Parts, part: usize, sizes: &mut BTreeMap<usize, Ways>) {
        let making = parts[&part];
        let (is, met) = (self.is, At { part: self.stand_in.part, size: self.met });
        for (own, other) in [(is, met), (met, is)] {
            if own.part != part {
                continue;
            }
            let shaft = (own == is) == (self.half == Half::Shaft);
            let partner = parts[&other.part].own_ways(other.size);
            let so_far = sizes.get(&own.size.0).unwrap_or_else(|| making.own_ways(own.size));
            let mut more = more_ways(making, own.size, so_far, partner, shaft);
            // What is settled of the other half is open to this one.
            let there = parts[&other.part].job.dimension(other.size);
            let here = parts[&self.stand_in.part].job.dimension(self.stand_in.size);
            let only = partner.ways.first().filter(|_| partner.ways.len() == 1).map(|way| way.value);
            let settled = there.pin.into_iter().chain(only).chain(here.pin.filter(|_| own == is));
            for size in settled {
                ways::further(&mut more, exactly(making, own.size, so_far, size));
            }
            if !more.is_empty() {
                let mut ways = so_far.clone();
                ways.ways.extend(more);
                sizes.insert(own.size.0, ways);
            }
        }
    }

    /// One size for both.
    pub(super) fn demand(&self, parts: &Parts, begins: &BTreeMap<usize, usize>, stitched: &mut Stitched) {
        let name = |part: usize| &parts[&part].job.drawing.name;
        let Self { stand_in, is, name: mate, .. } = self;
        let [a, b] = [*stand_in, *is].map(|at| VariableId(begins[&at.part] + at.size.0));
        let real = &parts[&is.part].job.dimension(is.size).name;
        let because = format!(
            "`{mate}` of {} is `{real}` of {}, one size for both",
            name(stand_in.part),
            name(is.part)
        );
        let count = stitched.model.variables[a.0].candidates.len();
        let allowed = (0..count).map(|row| (0..count).map(|column| row == column).collect()).collect();
        let stated = format!("{mate} of {}", name(stand_in.part));
        stitched.model.demand(stated, because, Demand::Pairs { a, b, allowed });
    }
}

/// The ways of a real size as those of what stands in for it: they cost nothing here.
pub(super) fn real(making: &Making, size: DimensionId) -> Ways {
    let (job, its) = (&making.job, &making.ways[size.0]);
    let with =
        format!("it is `{}` of {}, chosen together with it", job.dimension(size).name, job.drawing.name);
    let way = |way: &Way| {
        let mut way = Way { buys: Vec::new(), unround: 0, extra: 0, ..way.clone() };
        let both = Why::new(with.clone());
        way.note = Some(match way.note.take() {
            Some(note) => both.because(note),
            None => both,
        });
        way
    };
    Ways {
        ways: its.ways.iter().map(way).collect(),
        limit: its.limit,
        limit_why: its.limit_why.clone(),
        ruled_out: Vec::new(),
        costs: Costs::Elsewhere,
    }
}

/// Sizes that a shaft may have because of its hole: it is turned to any of them.
fn more_ways(making: &Making, id: DimensionId, own: &Ways, partner: &Ways, shaft: bool) -> Vec<Way> {
    let dimension = making.job.dimension(id);
    let made = match dimension.measures {
        _ if !shaft || stays(making, id) => return Vec::new(),
        Measures::Turned => MadeWith::Lathe,
        Measures::AcrossFlats => MadeWith::Setting,
        _ => return Vec::new(),
    };
    let drawn = dimension.written.length;
    let mut sizes: Vec<Length> = partner.ways.iter().map(|way| way.value).collect();
    sizes.sort_by_key(|size| (size.gap(drawn), *size));
    sizes.dedup();
    let new = |size: &Length| {
        let has = own.ways.iter().any(|way| way.value == *size && way.made == made);
        !has && size.gap(drawn) <= own.limit
    };
    let turned = |size| match made {
        MadeWith::Lathe => ways::on_the_lathe(size),
        _ => Way::new(size, made.clone(), &SHAFT_FITTED).unround(unround(size) + 3),
    };
    sizes.into_iter().filter(new).take(MORE_WAYS).map(turned).collect()
}

/// The ways of one exact size, where the part has none and may depart so far.
fn exactly(making: &Making, id: DimensionId, own: &Ways, size: Length) -> Vec<Way> {
    let job = &making.job;
    let far = size.gap(job.dimension(id).written.length) > own.limit;
    if far || stays(making, id) || own.ways.iter().any(|way| way.value == size) {
        return Vec::new();
    }
    pinned::at(job, id, size, &making.threads)
}

/// Whether a size is there already.
fn stays(making: &Making, id: DimensionId) -> bool {
    making.moves == Moves::Never || making.job.dimension(id).made.is_some()
}
