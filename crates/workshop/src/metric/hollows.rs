//! The walls of grooves and recesses of a turned part: to holes across and along it, to each
//! other, and to the shoulders and faces beside them.
//!
//! A groove or a recess is the same all round, so a wall to it shows in half a section through
//! the axis, where everything takes up a stretch along the axis and a stretch away from it.
//! What lies apart in one direction alone is a sum of sizes; what lies apart in both has its
//! wall from corner to corner.

use std::sync::Arc;

use super::demands::{Demands, add, fine, one, simple};
use super::gauge::{Gauge, place, sum_of};
use super::model::{Candidate, Demand, Judgement, Linear, Span, Test, VariableId};
use super::rules::{Rule, WALL_PLAIN, WALL_REAMED, WALL_TAPPED};
use super::spans::judged;
use super::spans::{SpanSum, away, read_by};
use crate::drawing::{Axis, Body, Depth, Face, FeatureId, Finish, Kind, Reference, WallEnd};
use crate::measure::Length;

/// A hair for what is rounded in reckoning.
const HAIR_MM: f64 = 1e-6;

/// How far something reaches, along the axis or away from it: a sum, and for a hole beside
/// the axis how far off its middle stands.
#[derive(Clone, Default)]
struct Reach {
    sum: Linear,
    beside: Option<[Linear; 2]>,
}

impl From<Linear> for Reach {
    fn from(sum: Linear) -> Self {
        Self { sum, beside: None }
    }
}

/// What is empty: a stretch along the axis and one away from it, each from and to; what has
/// no end goes on for ever.
struct Empty {
    name: String,
    /// What a file can name it as.
    end: WallEnd,
    /// Whether it is a groove or a recess.
    hollow: bool,
    along: [Option<Reach>; 2],
    away: [Option<Reach>; 2],
    /// What practice asks beside it.
    wall: (Length, &'static Rule),
}

/// One reach less another: how far two things lie apart in one direction.
#[derive(Clone)]
struct Gap {
    to: Reach,
    from: Reach,
}

impl Gap {
    fn reads(&self) -> Vec<&Linear> {
        [&self.to, &self.from]
            .into_iter()
            .flat_map(|reach| reach.beside.iter().flatten().chain([&reach.sum]))
            .collect()
    }

    /// The gap as a sum, where it is one.
    fn sum(&self) -> Option<Linear> {
        let plain = self.to.beside.is_none() && self.from.beside.is_none();
        plain.then(|| simple(&self.to.sum.clone().less(&self.from.sum)))
    }

    /// What it comes to for single sizes.
    fn at(&self, size: impl Fn(VariableId) -> Length + Copy) -> f64 {
        let reach_mm = |reach: &Reach| {
            let beside = reach
                .beside
                .as_ref()
                .map_or(0.0, |[y, z]| sum_of(y, size).as_mm().hypot(sum_of(z, size).as_mm()));
            beside + sum_of(&reach.sum, size).as_mm()
        };
        reach_mm(&self.to) - reach_mm(&self.from)
    }

    /// The least and the greatest it can come to.
    fn spanned(&self, on: &[VariableId]) -> impl Fn(&[Span]) -> (f64, f64) + Send + Sync + 'static {
        let read = |reach: &Reach| {
            let beside = reach.beside.as_ref().map(|both| both.each_ref().map(|sum| SpanSum::of(sum, on)));
            (SpanSum::of(&reach.sum, on), beside)
        };
        let (to, from) = (read(&self.to), read(&self.from));
        let span = |(sum, beside): &(SpanSum, Option<[SpanSum; 2]>), spans: &[Span]| {
            let (least, most) = sum.span_mm(spans);
            let [(near_y, far_y), (near_z, far_z)] = match beside {
                Some(both) => both.each_ref().map(|sum| away(sum.span_mm(spans))),
                None => [(0.0, 0.0); 2],
            };
            (least + near_y.hypot(near_z), most + far_y.hypot(far_z))
        };
        move |spans| {
            let (to, from) = (span(&to, spans), span(&from, spans));
            (to.0 - from.1, to.1 - from.0)
        }
    }
}

impl Demands<'_> {
    /// The walls of every groove and recess; none of a plate.
    pub(super) fn hollows(&mut self) {
        let Body::Turned { sections, .. } = &self.job.drawing.body else { return };
        let mut all: Vec<Empty> = self.job.part.features().filter_map(|(id, _)| self.emptied(id)).collect();
        if !all.iter().any(|empty| empty.hollow) {
            return;
        }
        all.extend(sections.iter().filter_map(|&section| self.air_round(section)));
        all.extend(self.air_at_ends());
        for (at, first) in all.iter().enumerate() {
            for second in &all[at + 1..] {
                if first.hollow || second.hollow {
                    self.keep_apart(first, second);
                }
            }
        }
    }

    /// What a feature empties, where that can lie beside a groove or a recess.
    fn emptied(&self, id: FeatureId) -> Option<Empty> {
        let feature = self.job.feature(id);
        let plain = (Length::mm(1), &WALL_PLAIN);
        let of = |hollow, along, away, wall| {
            Some(Empty { name: feature.name.clone(), end: WallEnd::Feature(id), hollow, along, away, wall })
        };
        match feature.kind {
            Kind::Groove { diameter, width } => {
                let section = self.job.part.section_of(id)?;
                let start = self.sum(self.job.solved.place(id, Axis::X)?);
                let end = add(start.clone(), &one(self.size(width)), 1.into());
                let throw = self.off_centre(section);
                let bottom = self.half_less(&one(self.size(diameter)), throw.as_ref());
                let top = self.top_of(section, throw.as_ref())?;
                of(true, [start, end].map(|x| Some(x.into())), [bottom, top].map(|r| Some(r.into())), plain)
            }
            Kind::Recess { diameter, hub, depth } => {
                let inside = hub.map(|hub| self.half_less(&one(self.size(hub)), None).into());
                let outside = self.half_less(&one(self.size(diameter)), None).into();
                let along = self.stretch_in(feature.face, &self.recess_floor(id, depth))?;
                of(true, along, [inside, Some(outside)], plain)
            }
            Kind::Hole { depth, .. } | Kind::Tapped { depth, .. } | Kind::TaperPin { depth, .. } => {
                let cut = self.diameter(id)?;
                let half = self.half_less(&cut, None);
                let wall = self.wall_of_hole(id);
                if !matches!(feature.face, Face::Left | Face::Right) {
                    let middle = self.sum(self.job.solved.place(id, Axis::X)?);
                    let ends = [middle.clone().less(&half), add(middle, &half, 1.into())];
                    let bottom = match depth {
                        Depth::Through => None,
                        Depth::To(deep) => {
                            let section = self.job.part.section_of(id)?;
                            let top = self.top_of(section, None)?;
                            Some(top.less(&one(self.size(deep))).into())
                        }
                    };
                    return of(false, ends.map(|x| Some(x.into())), [bottom, None], wall);
                }
                let deep = match depth {
                    Depth::To(deep) => Some(one(self.size(deep))),
                    Depth::Through => None,
                };
                let along = match deep {
                    Some(deep) => self.stretch_in(feature.face, &deep)?,
                    None => [None, None],
                };
                let away = if self.job.part.off_axis(id) {
                    let place = |axis| self.job.solved.place(id, axis).map(|sum| self.sum(sum));
                    let beside =
                        Some([place(Axis::Y).unwrap_or_default(), place(Axis::Z).unwrap_or_default()]);
                    let inner = Reach { sum: Linear::default().less(&half), beside: beside.clone() };
                    [Some(inner), Some(Reach { sum: half, beside })]
                } else {
                    [None, Some(half.into())]
                };
                of(false, along, away, wall)
            }
            _ => None,
        }
    }

    /// The air round a section, beyond its own radius; none round a taper, which has many.
    fn air_round(&self, section: FeatureId) -> Option<Empty> {
        let [start, end] = self.section_ends(section)?;
        let throw = self.off_centre(section);
        let own = match self.job.feature(section).kind {
            Kind::Section { size: crate::drawing::SectionSize::Taper { .. }, .. } => return None,
            _ => self.diameter(section)?,
        };
        Some(Empty {
            name: format!("the round of {}", self.name(section)),
            end: WallEnd::Outside,
            hollow: false,
            along: [Some(start.into()), Some(end.into())],
            away: [Some(self.half_less(&own, throw.as_ref()).into()), None],
            wall: (Length::mm(1), &WALL_PLAIN),
        })
    }

    /// The air beyond both ends.
    fn air_at_ends(&self) -> Vec<Empty> {
        let end = |face: Face, name: &str, along| Empty {
            name: name.to_owned(),
            end: WallEnd::Face(face),
            hollow: false,
            along,
            away: [None, None],
            wall: (Length::mm(1), &WALL_PLAIN),
        };
        let left = self.job.solved.edge(Reference::LeftEdge).map(|x| self.sum(x)).unwrap_or_default();
        let mut ends = vec![end(Face::Left, "the left end", [None, Some(left.into())])];
        let right = self.job.solved.edge(Reference::RightEdge).map(|x| self.sum(x));
        ends.extend(right.map(|right| end(Face::Right, "the right end", [Some(right.into()), None])));
        ends
    }

    fn off_centre(&self, section: FeatureId) -> Option<Linear> {
        match self.job.feature(section).kind {
            Kind::Section { throw: Some(throw), .. } => Some(one(self.size(throw.offset))),
            _ => None,
        }
    }

    /// Half a diameter, less what its middle lies off the axis.
    fn half_less(&self, diameter: &Linear, throw: Option<&Linear>) -> Linear {
        let half = add(Linear::default(), diameter, num_rational::Ratio::new(1, 2));
        throw.iter().fold(half, |half, throw| half.less(throw))
    }

    /// The farthest that a section reaches from the axis; of a taper its thicker end.
    fn top_of(&self, section: FeatureId, throw: Option<&Linear>) -> Option<Linear> {
        let half = self.half_less(&self.diameter(section)?, None);
        Some(throw.iter().fold(half, |half, throw| add(half, throw, 1.into())))
    }

    /// The stretch from one end of the part to so deep.
    fn stretch_in(&self, face: Face, deep: &Linear) -> Option<[Option<Reach>; 2]> {
        Some(match face {
            Face::Right => {
                let end = self.sum(self.job.solved.edge(Reference::RightEdge)?);
                [Some(end.less(deep).into()), None]
            }
            _ => [None, Some(deep.clone().into())],
        })
    }

    fn wall_of_hole(&self, id: FeatureId) -> (Length, &'static Rule) {
        let across = self.job.part.cut_diameter(id).unwrap_or_default();
        let (wall, rule) = match self.job.feature(id).kind {
            Kind::Hole { finish: Finish::Reamed | Finish::Bored, .. } => (across / 4, &WALL_REAMED),
            Kind::Tapped { .. } => (across.half(), &WALL_TAPPED),
            _ => (Length::ZERO, &WALL_PLAIN),
        };
        if wall > Length::mm(1) { (wall, rule) } else { (Length::mm(1), &WALL_PLAIN) }
    }

    /// How two stretches lie apart on the drawing; none where they overlap.
    fn gap(&self, one: &[Option<Reach>; 2], other: &[Option<Reach>; 2]) -> Option<Gap> {
        let between = |low: &[Option<Reach>; 2], high: &[Option<Reach>; 2]| {
            let gap = Gap { to: high[0].clone()?, from: low[1].clone()? };
            (gap.at(|v| self.drawn[v.0]) > HAIR_MM).then_some(gap)
        };
        between(one, other).or_else(|| between(other, one))
    }

    fn keep_apart(&mut self, first: &Empty, second: &Empty) {
        let gaps: Vec<Gap> = [self.gap(&first.along, &second.along), self.gap(&first.away, &second.away)]
            .into_iter()
            .flatten()
            .collect();
        // What meets on the drawing is meant to.
        if gaps.is_empty() {
            return;
        }
        let drawn_mm = gaps.iter().map(|gap| gap.at(|v| self.drawn[v.0])).fold(0.0_f64, f64::hypot);
        let wall = if first.wall.0 >= second.wall.0 { first.wall } else { second.wall };
        let name = format!("wall between {} and {}", first.name, second.name);
        let of = match (first.end, second.end) {
            (WallEnd::Feature(one), other) | (other, WallEnd::Feature(one)) => Some((one, other)),
            _ => None,
        };
        let kept = self.kept_of(name, of, wall, Length::nearest(drawn_mm));
        let on = read_by(gaps.iter().flat_map(Gap::reads));
        let spans: Vec<Span> = on.iter().map(|v| self.spans[v.0]).collect();
        let judge = apart(&gaps, &on, kept.least);
        if on.is_empty() || judge(&spans) == Judgement::Holds {
            return;
        }
        if let [gap] = &gaps[..]
            && let Some(sum) = gap.sum()
        {
            let demand = if fine(&[&sum]) {
                judged(sum, kept.least.as_mm() - HAIR_MM, f64::INFINITY)
            } else {
                Demand::at_least(sum, kept.least)
            };
            self.state(&kept, demand);
            return;
        }
        let stated = self.state(&kept, Demand::Test(Test { on: on.clone(), judge: Arc::new(judge) }));
        let gauge = Gauge::at_least(on.clone(), kept.least, move |made: &[&Candidate]| {
            let each = gaps.iter().map(|gap| gap.at(|v| made[place(&on, v)].value).max(0.0));
            Length::nearest(each.fold(0.0, f64::hypot))
        });
        self.model.measure(stated, gauge);
    }
}

/// Judges a wall that is so far along and so far away from the axis.
fn apart(
    gaps: &[Gap],
    on: &[VariableId],
    least: Length,
) -> impl Fn(&[Span]) -> Judgement + Send + Sync + 'static {
    let least_mm = least.as_mm() - HAIR_MM;
    let reads: Vec<_> = gaps.iter().map(|gap| gap.spanned(on)).collect();
    move |spans: &[Span]| {
        let ends: Vec<(f64, f64)> = reads.iter().map(|read| read(spans)).collect();
        let far =
            |pick: fn(&(f64, f64)) -> f64| ends.iter().map(|end| pick(end).max(0.0)).fold(0.0, f64::hypot);
        if far(|end| end.0) >= least_mm {
            Judgement::Holds
        } else if far(|end| end.1) < least_mm {
            Judgement::Breaks
        } else {
            Judgement::Unsure
        }
    }
}
