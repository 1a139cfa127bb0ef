//! Other sizes that no sum speaks against, looked at in space: a cut that would come too
//! near another in depth, out through the outline, or no longer meet one on its axis.
//!
//! Only what could be felt is measured: the walls that are near their least on the part as
//! chosen, and the cuts that meet where they happen to lie; and of the sizes those that
//! move them far enough.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use super::against::{Against, Broken, Demanded, Other};
use super::choice::MetricPart;
use super::demands::{Demands, simple};
use super::gauge::Reading;
use super::model::Demand;
use super::rules::ON_AXIS;
use super::space::UNNAMED;
use crate::drawing::solid::{Beside, apart_in_space, broken_between, meet_by_place, walls_nearer};
use crate::drawing::{Axis, Body, DimensionId, Face, FeatureId, NamedWall, Part, Sizes, ThreadId};
use crate::measure::Length;
use crate::tables::threads;

/// Walls with more than this to spare are not looked at: no size that is told of moves so far.
const NEAR: Length = Length::mm(1);

/// Walls nearer than this are equal: geometry hands on whole nanometres.
const SAME: Length = Length::from_ratio(num_rational::Ratio::new_raw(1, 1_000_000));

/// Something that another size could spoil.
pub struct Delicate {
    what: What,
    /// How much it has to spare; nothing where any move may spoil it.
    spare: Length,
    /// How far each size moves it at most, for each millimetre; `None` for all sizes.
    reads: Option<BTreeMap<DimensionId, f64>>,
    threads: BTreeSet<ThreadId>,
}

enum What {
    /// A wall in space.
    Space(FeatureId, Beside, Demanded, Length),
    /// A wall in plan that no sum states.
    Plan(FeatureId, Option<FeatureId>, Demanded, Length),
    /// Two cuts that meet where they happen to lie.
    Meet(FeatureId, FeatureId),
}

impl Demands<'_> {
    /// Holes that point at the axis of another go on doing so: no wall says it, and beside
    /// the axis one would break into the other.
    pub fn axes_that_meet(&mut self) {
        let part = &self.job.part;
        if matches!(self.job.drawing.body, Body::Turned { .. }) {
            return;
        }
        let mut kept = Vec::new();
        let round: Vec<FeatureId> =
            part.features().filter(|(id, _)| part.cut_diameter(*id).is_some()).map(|(id, _)| id).collect();
        for (at, &first) in round.iter().enumerate() {
            for &second in &round[at + 1..] {
                let along = [first, second].map(|id| self.job.feature(id).face.axis());
                for axis in [Axis::X, Axis::Y, Axis::Z].into_iter().filter(|axis| !along.contains(axis)) {
                    let [Some(one), Some(other)] =
                        [first, second].map(|id| self.job.solved.place(id, axis).map(|sum| self.sum(sum)))
                    else {
                        continue;
                    };
                    let apart = simple(&one.less(&other));
                    if !apart.terms.is_empty() && self.as_drawn(&apart) == Length::ZERO {
                        kept.push((first, second, apart));
                    }
                }
            }
        }
        if kept.is_empty() {
            return;
        }
        let meeting = meet_by_place(part);
        for (first, second, apart) in kept {
            if !meeting.contains(&(first, second)) && !meeting.contains(&(second, first)) {
                continue;
            }
            let (one, other) = (self.name(first), self.name(second));
            let name = format!("axes of {one} and {other}");
            let because =
                format!("{one} and {other} lie on one axis, or their axes cross: {}", ON_AXIS.because);
            self.model.demand(name, because, Demand::equal(apart, Length::ZERO));
        }
    }

    /// Looks in space at every other size of a part against which nothing else speaks, for what
    /// is [`Demands::delicate`] of it as chosen.
    pub fn look_in_depth(&self, part: &mut MetricPart, delicate: &[Delicate]) {
        if delicate.is_empty() {
            return;
        }
        for choice in &mut part.dimensions {
            let (id, chosen) = (choice.id, choice.chosen);
            for other in choice.refused.iter_mut().filter(|other| costs(other) && other.value != chosen) {
                let moves_mm = other.value.gap(chosen).as_mm();
                let felt = |one: &&Delicate| {
                    let strength = one.reads.as_ref().map_or(Some(UNNAMED), |reads| reads.get(&id).copied());
                    strength.is_some_and(|strength| one.spare.as_mm() < strength * moves_mm)
                };
                let mut sizes = part.sizes.clone();
                sizes.lengths[id.0] = other.value;
                self.spoilt(delicate.iter().filter(felt), &sizes, other);
            }
        }
        for choice in &mut part.threads {
            let (id, chosen) = (choice.id, choice.chosen);
            for other in choice.refused.iter_mut().filter(|other| costs(other)) {
                let Ok(thread) = threads::find(&other.pin) else { continue };
                let moves = thread.major.gap(chosen.major);
                let felt = |one: &&Delicate| one.threads.contains(&id) && one.spare < moves;
                let mut sizes = part.sizes.clone();
                sizes.threads[id.0] = thread;
                self.spoilt(delicate.iter().filter(felt), &sizes, other);
            }
        }
    }

    /// Says against a size what it spoils.
    fn spoilt<'d>(&self, felt: impl Iterator<Item = &'d Delicate>, sizes: &Sizes, other: &mut Other) {
        let mut broken = Vec::new();
        let mut made = None;
        for one in felt {
            let part = made.get_or_insert_with(|| self.job.part.with_sizes(sizes.clone()));
            let short = |demanded: &Demanded, is: Length, least: Length| Broken {
                demand: Arc::new(demanded.clone()),
                reading: Some(Reading { what: "", is, least: Some(least), most: None }),
            };
            match &one.what {
                What::Space(first, beside, demanded, least) => {
                    let is = apart_in_space(part, *first, *beside).map(Length::nearest);
                    broken.extend(is.filter(|is| *is + SAME < *least).map(|is| short(demanded, is, *least)));
                }
                What::Plan(first, second, demanded, least) => {
                    let is = part.wall(*first, *second);
                    broken.extend(is.filter(|is| *is + SAME < *least).map(|is| short(demanded, is, *least)));
                }
                What::Meet(first, second) => {
                    let wall = broken_between(part, *first, *second);
                    broken.extend(wall.map(|wall| Broken {
                        demand: Arc::new(Demanded {
                            name: format!("place of {} at {}", self.name(*first), self.name(*second)),
                            because: format!(
                                "{}: as chosen they meet on their axes, and then no longer",
                                wall.words(part)
                            ),
                        }),
                        reading: None,
                    }));
                }
            }
        }
        if !broken.is_empty() {
            other.against = Against::Breaks(broken);
        }
    }

    /// All that some other size could spoil.
    pub fn delicate(&self, part: &Part, stated: &BTreeSet<&str>) -> Vec<Delicate> {
        let mut found = Vec::new();
        let near = walls_nearer(part, |first, beside| {
            let hollow = self.is_hollow(first) || matches!(beside, Beside::Feature(id) if self.is_hollow(id));
            if hollow { Length::ZERO } else { self.asked_in_space(first, beside) + NEAR }
        });
        for wall in near {
            let (first, beside) = (wall.first, wall.second);
            let Some(drawn_mm) = apart_in_space(&self.job.part, first, beside) else { continue };
            let kept = self.kept_in_space(first, beside, Length::nearest(drawn_mm));
            let other = match beside {
                Beside::Feature(second) => {
                    Some(format!("wall between {} and {}", self.name(second), self.name(first)))
                }
                // Walls to the edges go by the names of these.
                Beside::Face(Face::Left | Face::Right | Face::Top | Face::Bottom) => {
                    Some(format!("wall from {} to {}", self.name(first), beside.words(&self.job.part)))
                }
                _ => None,
            };
            let known = stated.contains(kept.name.as_str())
                || other.is_some_and(|name| stated.contains(name.as_str()));
            let flat = self.is_flat(first) && !matches!(beside, Beside::Feature(id) if !self.is_flat(id));
            if drawn_mm <= 0.0 || (known && (flat || stated.contains(in_depth(&kept.name).as_str()))) {
                continue;
            }
            let mut reads = super::space::Reads::default();
            self.read_both(first, beside, &mut reads);
            let named = !matches!(beside, Beside::Outline);
            let demanded = Demanded { name: kept.name, because: kept.rule.because.to_owned() };
            found.push(Delicate {
                spare: wall.thickness - kept.least,
                reads: named.then_some(reads.dimensions),
                threads: reads.threads,
                what: What::Space(first, beside, demanded, kept.least),
            });
        }
        let drawn = self.job.part.walls();
        for wall in part.walls().iter().filter(|wall| !self.is_stated(wall)) {
            let same = |other: &&NamedWall| (other.first, other.second) == (wall.first, wall.second);
            let as_drawn = drawn.iter().filter(same).map(|wall| wall.thickness).min();
            let kept = self.kept(wall, as_drawn.unwrap_or(Length::mm(1)));
            let spare = wall.thickness - kept.least;
            if stated.contains(kept.name.as_str()) || spare >= NEAR {
                continue;
            }
            let (dimensions, threads) = self.read_by(wall);
            let demanded = Demanded { name: kept.name, because: kept.rule.because.to_owned() };
            found.push(Delicate {
                what: What::Plan(wall.first, wall.second, demanded, kept.least),
                spare,
                reads: Some(dimensions.into_iter().map(|id| (id, UNNAMED)).collect()),
                threads: threads.into_iter().collect(),
            });
        }
        for (first, second) in meet_by_place(part) {
            let mut reads = super::space::Reads::default();
            self.read_both(first, Beside::Feature(second), &mut reads);
            found.push(Delicate {
                what: What::Meet(first, second),
                spare: Length::ZERO,
                reads: Some(reads.dimensions),
                threads: reads.threads,
            });
        }
        found
    }

    /// Whether a feature is cut square to the plan.
    fn is_flat(&self, id: FeatureId) -> bool {
        matches!(self.job.feature(id).face, Face::Front | Face::Back)
    }
}

fn costs(other: &Other) -> bool {
    matches!(other.against, Against::Costs(_))
}

fn in_depth(name: &str) -> String {
    format!("{name} in depth")
}
