//! Walls as functions of the sizes, in floating millimetres, with a bound on how
//! fast they change: what a [`Test`] needs to judge sizes known within spans.
//!
//! Moving a centre by some distance, or a radius, changes a wall by no more than
//! that. So a wall at the middle of the spans, less half of every span times how
//! strongly its size moves what it moves, is a wall for all sizes within them.

use std::sync::Arc;

use super::demands::simple;
use super::model::{Judgement, Linear, Span, Test, VariableId};
use crate::geometry::wall::{Shape, wall};
use crate::geometry::{Circle, Point, Segment};
use crate::measure::Length;

/// Walls nearer than this are equal: geometry hands on whole nanometres.
const SAME_MM: f64 = 1e-6;

/// A round end of something: its centre and radius as sums of sizes.
#[derive(Clone, Debug)]
pub struct Round {
    /// The centre.
    pub at: [Linear; 2],
    /// The radius.
    pub radius: Linear,
}

/// What is cut: a round, or the road between two of one radius.
#[derive(Clone, Debug)]
pub struct Cutout {
    /// One end.
    pub from: [Linear; 2],
    /// The other end; the same for a round hole.
    pub to: [Linear; 2],
    /// Half its width.
    pub radius: Linear,
}

/// What a cutout keeps a wall to.
#[derive(Clone, Debug)]
pub enum Other {
    /// Another cutout.
    Cutout(Box<Cutout>),
    /// The outside: the band round these.
    Band(Vec<Round>),
}

/// A sum over the sizes that a wall reads, in millimetres.
#[derive(Clone, Debug)]
struct Form {
    constant_mm: f64,
    terms: Vec<(usize, f64)>,
}

impl Form {
    fn of(sum: &Linear, on: &[VariableId]) -> Self {
        let term = |&(variable, times): &(VariableId, num_rational::Ratio<i128>)| {
            let place = on.iter().position(|&v| v == variable).expect("the list holds every size read");
            (place, *times.numer() as f64 / *times.denom() as f64)
        };
        Self { constant_mm: sum.constant.as_mm(), terms: sum.terms.iter().map(term).collect() }
    }

    fn at(&self, sizes_mm: &[f64]) -> f64 {
        self.terms.iter().fold(self.constant_mm, |sum, &(place, times)| sum + times * sizes_mm[place])
    }

    fn share(&self, place: usize) -> f64 {
        self.terms.iter().filter(|term| term.0 == place).map(|term| term.1).sum()
    }
}

#[derive(Clone, Debug)]
struct Centre {
    x: Form,
    y: Form,
}

impl Centre {
    fn of(at: &[Linear; 2], on: &[VariableId]) -> Self {
        Self { x: Form::of(&at[0], on), y: Form::of(&at[1], on) }
    }

    fn at(&self, sizes_mm: &[f64]) -> Point {
        Point::new(self.x.at(sizes_mm), self.y.at(sizes_mm))
    }

    fn share(&self, place: usize) -> f64 {
        self.x.share(place).hypot(self.y.share(place))
    }
}

#[derive(Clone, Debug)]
struct Cut {
    from: Centre,
    to: Centre,
    radius: Form,
}

#[derive(Clone, Debug)]
enum Against {
    Cut(Cut),
    Band(Vec<(Centre, Form)>),
}

/// One wall, ready to be reckoned for any sizes.
#[derive(Clone, Debug)]
pub struct Wall {
    /// The sizes it reads, in order.
    pub on: Vec<VariableId>,
    cut: Cut,
    against: Against,
    /// How strongly each size moves it, at most.
    strength: Vec<f64>,
}

impl Wall {
    /// The wall between a cutout and something else.
    pub fn new(cutout: &Cutout, other: &Other) -> Self {
        // A wall is the same wherever the two lie together: everything is measured
        // from the cutout's own place, so that sizes which move both drop out.
        let origin = cutout.from.clone();
        let from = |at: &[Linear; 2]| [0, 1].map(|axis| simple(&at[axis].clone().less(&origin[axis])));
        let moved = |cutout: &Cutout| Cutout {
            from: from(&cutout.from),
            to: from(&cutout.to),
            radius: simple(&cutout.radius),
        };
        let cutout = &moved(cutout);
        let other = &match other {
            Other::Cutout(other) => Other::Cutout(Box::new(moved(other))),
            Other::Band(rounds) => Other::Band(
                rounds.iter().map(|r| Round { at: from(&r.at), radius: simple(&r.radius) }).collect(),
            ),
        };
        let mut sums: Vec<&Linear> = cutout.sums();
        match other {
            Other::Cutout(other) => sums.extend(other.sums()),
            Other::Band(rounds) => {
                sums.extend(rounds.iter().flat_map(|r| [&r.at[0], &r.at[1], &r.radius]));
            }
        }
        let mut on: Vec<VariableId> = sums.iter().flat_map(|sum| sum.terms.iter().map(|t| t.0)).collect();
        on.sort_unstable();
        on.dedup();
        let cut = |cutout: &Cutout| Cut {
            from: Centre::of(&cutout.from, &on),
            to: Centre::of(&cutout.to, &on),
            radius: Form::of(&cutout.radius, &on),
        };
        let against = match other {
            Other::Cutout(other) => Against::Cut(cut(other)),
            Other::Band(rounds) => Against::Band(
                rounds.iter().map(|r| (Centre::of(&r.at, &on), Form::of(&r.radius, &on))).collect(),
            ),
        };
        let cut = cut(cutout);
        let strength = (0..on.len())
            .map(|place| {
                let of = |cut: &Cut| {
                    cut.from.share(place).max(cut.to.share(place)) + cut.radius.share(place).abs()
                };
                of(&cut)
                    + match &against {
                        Against::Cut(other) => of(other),
                        // The band moves no more than the round that moves most.
                        Against::Band(rounds) => rounds
                            .iter()
                            .map(|(centre, radius)| centre.share(place) + radius.share(place).abs())
                            .fold(0.0, f64::max),
                    }
            })
            .collect();
        Self { on, cut, against, strength }
    }

    /// The wall for given sizes, one for each of [`Wall::on`].
    pub fn thickness_mm(&self, sizes_mm: &[f64]) -> f64 {
        let (from, to) = (self.cut.from.at(sizes_mm), self.cut.to.at(sizes_mm));
        let radius_mm = self.cut.radius.at(sizes_mm);
        match &self.against {
            Against::Cut(other) => {
                let shape =
                    |cut: &Cut| shape(cut.from.at(sizes_mm), cut.to.at(sizes_mm), cut.radius.at(sizes_mm));
                wall(&shape(&self.cut), &shape(other)).thickness_mm
            }
            Against::Band(rounds) => {
                let rounds: Vec<(Point, f64)> = rounds
                    .iter()
                    .map(|(centre, radius)| (centre.at(sizes_mm), radius.at(sizes_mm)))
                    .collect();
                // Depth inside a convex band is least at an end of the road.
                depth_mm(&rounds, from).min(depth_mm(&rounds, to)) - radius_mm
            }
        }
    }

    /// The wall for the sizes a lookup gives.
    pub fn at(&self, size: impl Fn(VariableId) -> Length) -> f64 {
        let sizes_mm: Vec<f64> = self.on.iter().map(|&v| size(v).as_mm()).collect();
        self.thickness_mm(&sizes_mm)
    }

    /// Judges the wall against what it must be.
    pub fn judge(&self, spans: &[Span], least_mm: f64) -> Judgement {
        let mut middle = [0.0; 24];
        let mut long = Vec::new();
        let middle = if spans.len() <= middle.len() {
            &mut middle[..spans.len()]
        } else {
            long.resize(spans.len(), 0.0);
            &mut long[..]
        };
        let mut play_mm = 0.0;
        for (place, span) in spans.iter().enumerate() {
            let (least, most) = (span.least.as_mm(), span.most.as_mm());
            middle[place] = (least + most) / 2.0;
            play_mm += self.strength[place] * (most - least) / 2.0;
        }
        let spare_mm = self.thickness_mm(middle) - least_mm + SAME_MM;
        if spare_mm >= play_mm {
            Judgement::Holds
        } else if spare_mm < -play_mm {
            Judgement::Breaks
        } else {
            Judgement::Unsure
        }
    }

    /// As a demand that the wall is no less than a length.
    pub fn at_least(wall: &Arc<Self>, least: Length) -> Test {
        let (least_mm, wall) = (least.as_mm(), Arc::clone(wall));
        Test { on: wall.on.clone(), judge: Arc::new(move |spans| wall.judge(spans, least_mm)) }
    }
}

impl Cutout {
    /// True when it is round.
    pub fn is_round(&self) -> bool {
        self.from == self.to
    }

    fn sums(&self) -> Vec<&Linear> {
        vec![&self.from[0], &self.from[1], &self.to[0], &self.to[1], &self.radius]
    }
}

fn shape(from: Point, to: Point, radius_mm: f64) -> Shape {
    if from == to {
        Shape::Circle(Circle::new(from, radius_mm))
    } else {
        Shape::Slot { centre_line: Segment::line(from, to), radius_mm }
    }
}

/// How deep a point lies inside the band round some discs; negative outside.
///
/// The depth is the least, over all directions, of how far the band reaches that
/// way less how far the point lies that way. It is least square to a flank, or
/// straight from the centre of a disc through the point.
fn depth_mm(rounds: &[(Point, f64)], point: Point) -> f64 {
    let spare_mm = |normal: Point| {
        let reach =
            rounds.iter().map(|&(centre, radius)| centre.dot(normal) + radius).fold(f64::MIN, f64::max);
        reach - point.dot(normal)
    };
    let mut least_mm = f64::MAX;
    for (at, &(centre, radius)) in rounds.iter().enumerate() {
        let out = point - centre;
        let far = out.norm_mm();
        // From its very centre every direction is alike; the flanks see the rest.
        if far > SAME_MM {
            least_mm = least_mm.min(spare_mm(out.times(1.0 / far)));
        } else if rounds.len() == 1 {
            least_mm = least_mm.min(radius);
        } else {
            for &(other, _) in rounds.iter().filter(|r| r.0 != centre) {
                let away = centre - other;
                least_mm = least_mm.min(spare_mm(away.times(1.0 / away.norm_mm())));
            }
        }
        for &(other, other_radius) in &rounds[at + 1..] {
            let line = other - centre;
            let length = line.norm_mm();
            let cosine = (radius - other_radius) / length;
            if length > SAME_MM && cosine.abs() < 1.0 {
                let along = line.times(1.0 / length);
                let square = Point::new(-along.y_mm, along.x_mm).times((1.0 - cosine * cosine).sqrt());
                least_mm = least_mm.min(spare_mm(along.times(cosine) + square));
                least_mm = least_mm.min(spare_mm(along.times(cosine) - square));
            }
        }
    }
    least_mm
}
