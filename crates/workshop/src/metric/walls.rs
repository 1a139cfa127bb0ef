//! The metal left between features and to the outside, as demands on the sizes.
//!
//! Which walls there are is what [`crate::drawing::Part::walls`] finds on the
//! drawing. Two round holes are compared by exact squares, a hole and a straight
//! edge by an exact sum, the rest by [`super::reckon`].

use std::sync::Arc;

use num_rational::Ratio;

use super::demands::{Demands, add, fine, simple};
use super::gauge::Gauge;
use super::model::{ConstraintId, Demand, Judgement, Linear, Span, VariableId};
use super::reckon::{Cutout, Other, Wall};
use super::rules::{
    Rule, SECTION_KEPT, WALL_AS_DRAWN, WALL_HOLES, WALL_PLAIN, WALL_REAMED, WALL_SAID, WALL_SCREW,
    WALL_TAPPED, WALL_THINNED,
};
use super::spans::above;
use crate::drawing::{Face, FeatureId, Finish, Kind, NamedWall, Reference, WallEnd};
use crate::measure::Length;
use crate::tables::materials::Kind as MetalKind;

/// Screw centre to edge, in hole diameters, doubled: steel, then soft metal and
/// cast iron (common practice).
const EDGE_HALVES: (i64, i64) = (3, 4);

/// A wall with what it must be.
pub struct Kept {
    /// Between what.
    pub name: String,
    /// On the drawing.
    pub drawn: Length,
    /// At least.
    pub least: Length,
    /// Why so much.
    pub rule: &'static Rule,
    /// What it stands between, where the file could say its least.
    pub of: Option<Between>,
}

/// What a wall stands between.
pub type Between = (FeatureId, WallEnd);

/// What is known of a round hole before any of its walls is reckoned.
struct Far {
    /// How far its edge goes from where it is drawn, at the most.
    goes_mm: f64,
    /// The greatest wall that a rule could ask between it and another hole: [`Demands::wanted`].
    asked_mm: f64,
}

impl Far {
    /// True when a wall as drawn is so thick that nothing chosen could make it too thin.
    fn never_reaches(&self, other: &Self, drawn: Length) -> bool {
        /// What rounding may come to.
        const SLACK_MM: f64 = 1e-3;
        let least_mm = drawn.as_mm() - self.goes_mm - other.goes_mm;
        least_mm > self.asked_mm.max(other.asked_mm) + SLACK_MM
    }
}

impl Demands<'_> {
    /// Demands every wall that the drawing has.
    pub fn walls(&mut self) {
        let far: Vec<Option<Far>> = self.job.part.features().map(|(id, _)| self.far(id)).collect();
        for found in self.job.part.walls() {
            let ends = found.second.map(|second| [found.first, second].map(|id| far[id.0].as_ref()));
            let said = found.second.and_then(|second| self.said((found.first, WallEnd::Feature(second))));
            match ends {
                Some([Some(one), Some(other)])
                    if said.is_none() && one.never_reaches(other, found.thickness) => {}
                _ => self.wall(found),
            }
        }
    }

    /// How far a round hole of the plan can go, and what wall it may be asked at the most.
    fn far(&self, id: FeatureId) -> Option<Far> {
        let cutout = self.cutout(id).filter(Cutout::is_round)?;
        let goes_mm = |&(variable, times): &(VariableId, Ratio<i128>)| {
            let (span, drawn) = (self.spans[variable.0], self.drawn[variable.0]);
            let goes = (span.most - drawn).max(drawn - span.least);
            (*times.numer() as f64 / *times.denom() as f64).abs() * goes.as_mm()
        };
        let sums = [&cutout.from[0], &cutout.from[1], &cutout.radius];
        let goes_mm = sums.into_iter().flat_map(|sum| &sum.terms).map(goes_mm).sum();
        let half_across_mm = self.job.part.cut_diameter(id)?.half().as_mm();
        Some(Far { goes_mm, asked_mm: half_across_mm.max(1.0) })
    }

    /// Demands one wall.
    pub fn wall(&mut self, found: &NamedWall) {
        let Some(first) = self.cutout(found.first) else { return };
        match found.second {
            Some(second) => {
                let Some(other) = self.cutout(second) else { return };
                self.between(found, &first, other);
            }
            None => self.outwards(found, &first),
        }
    }

    fn between(&mut self, found: &NamedWall, first: &Cutout, other: Cutout) {
        let wall = Wall::new(first, &Other::Cutout(Box::new(other.clone())));
        let kept = self.kept(found, Length::nearest(wall.at(|v| self.drawn[v.0])));
        if self.stands_anyway(&wall, kept.least) {
            return;
        }
        let exact = first.is_round()
            && other.is_round()
            && !fine(&[&first.from[0], &first.from[1], &other.from[0], &other.from[1]]);
        if exact {
            let mut reach = add(first.radius.clone(), &other.radius, Ratio::from_integer(1));
            reach.constant += kept.least;
            let [along, across] =
                [0, 1].map(|axis| simple(&first.from[axis].clone().less(&other.from[axis])));
            self.state(&kept, Demand::Apart { along, across, reach: simple(&reach) });
        } else {
            self.state_reckoned(&kept, wall);
        }
    }

    fn outwards(&mut self, found: &NamedWall, cutout: &Cutout) {
        let opens = self.job.part.slot_opens(found.first);
        if self.band().is_some() && opens != [None; 2] {
            // Round a band only the closed end is held: the rest runs out.
            let closed = match opens {
                [None, _] => &cutout.from,
                [_, None] => &cutout.to,
                [Some(_), Some(_)] => return,
            };
            let end = Cutout { from: closed.clone(), to: closed.clone(), radius: cutout.radius.clone() };
            return self.held_from_outside(found, &end);
        }
        self.held_from_outside(found, cutout);
    }

    fn held_from_outside(&mut self, found: &NamedWall, cutout: &Cutout) {
        if let Some(rounds) = self.band() {
            let centre = rounds.first().map(|round| round.at.clone());
            // A hole concentric with a disc, or with holes round it, is a plain sum.
            if let ([round], Some(centre)) = (&rounds[..], centre)
                && cutout.is_round()
                && let Some(out) = far_from(&cutout.from, &centre)
            {
                let sum =
                    simple(&add(round.radius.clone(), &out, Ratio::from_integer(-1)).less(&cutout.radius));
                let kept = self.kept(found, self.as_drawn(&sum));
                self.state(&kept, Demand::at_least(sum, kept.least));
                return;
            }
            let wall = Wall::new(cutout, &Other::Band(rounds));
            let kept = self.kept(found, Length::nearest(wall.at(|v| self.drawn[v.0])));
            if !self.stands_anyway(&wall, kept.least) {
                self.state_reckoned(&kept, wall);
            }
            return;
        }
        let edges = [
            (Reference::LeftEdge, Face::Left, 1),
            (Reference::RightEdge, Face::Right, -1),
            (Reference::BottomEdge, Face::Bottom, 1),
            (Reference::TopEdge, Face::Top, -1),
        ];
        let opens = self.job.part.slot_opens(found.first);
        for (edge, side, sign) in edges {
            if opens.contains(&Some(side)) {
                continue;
            }
            let Some(line) = self.job.solved.edge(edge).map(|line| self.sum(line)) else { continue };
            let mut ends = vec![&cutout.from];
            if !cutout.is_round() {
                ends.push(&cutout.to);
            }
            for end in ends {
                let away = end[side.axis() as usize].clone().less(&line);
                let sum = simple(&scaled(&away, Ratio::from_integer(sign)).less(&cutout.radius));
                let name = format!("wall from {} to the {}", self.name(found.first), edge_word(edge));
                let of = (found.first, WallEnd::Face(side));
                let kept = self.kept_as(name, of, found, self.as_drawn(&sum));
                let least = kept.least;
                if fine(&[&sum]) {
                    let gauge = Gauge::of_sum(sum.clone(), least);
                    let id = self.state(&kept, above(sum, least));
                    self.model.measure(id, gauge);
                } else {
                    self.state(&kept, Demand::at_least(sum, least));
                }
            }
        }
    }

    /// True when a wall holds whatever is chosen: then it need not be stated.
    fn stands_anyway(&self, wall: &Wall, least: Length) -> bool {
        let spans: Vec<Span> = wall.on.iter().map(|v| self.spans[v.0]).collect();
        wall.judge(&spans, least.as_mm()) == Judgement::Holds
    }

    /// States a wall, with how it is measured where the demand itself says that.
    pub(super) fn state(&mut self, kept: &Kept, demand: Demand) -> ConstraintId {
        if std::ptr::eq(kept.rule, &WALL_AS_DRAWN) && thinned(kept.drawn) < kept.least {
            self.may_thin.insert(kept.name.clone());
        }
        if let Some(of) = kept.of {
            self.between.insert(kept.name.clone(), of);
        }
        let because = format!(
            "the {} is {} on the drawing and must be {} at least: {}",
            kept.name, kept.drawn, kept.least, kept.rule.because
        );
        let gauge = Gauge::apart(&demand, kept.least);
        let id = self.model.demand(kept.name.clone(), because, demand);
        if let Some(gauge) = gauge {
            self.model.measure(id, gauge);
        }
        id
    }

    /// States a wall that is reckoned, and measures it the same way.
    pub(super) fn state_reckoned(&mut self, kept: &Kept, wall: Wall) {
        let (wall, least) = (Arc::new(wall), kept.least);
        let id = self.state(kept, Demand::Test(Wall::at_least(&wall, least)));
        let gauge = Gauge::at_least(wall.on.clone(), least, move |sizes| {
            let sizes_mm: Vec<f64> = sizes.iter().map(|size| size.value.as_mm()).collect();
            Length::nearest(wall.thickness_mm(&sizes_mm))
        });
        self.model.measure(id, gauge);
    }

    /// What a wall must be: what practice asks, or what the drawing has where that
    /// is less.
    pub fn kept(&self, found: &NamedWall, drawn: Length) -> Kept {
        let other = found.second.map_or("the outside", |second| self.name(second));
        let of = (found.first, found.second.map_or(WallEnd::Outside, WallEnd::Feature));
        self.kept_as(format!("wall between {} and {other}", self.name(found.first)), of, found, drawn)
    }

    fn kept_as(&self, name: String, of: Between, found: &NamedWall, drawn: Length) -> Kept {
        self.kept_of(name, Some(of), self.wanted(found.first, found.second), drawn)
    }

    pub(super) fn kept_of(
        &self,
        name: String,
        of: Option<Between>,
        wanted: (Length, &'static Rule),
        drawn: Length,
    ) -> Kept {
        let (wanted, rule) = wanted;
        if let Some(least) = of.and_then(|of| self.said(of)) {
            return Kept { name, drawn, least, rule: &WALL_SAID, of };
        }
        let (least, rule) = match drawn < wanted {
            true if self.thinned.contains(&name) => (thinned(drawn), &WALL_THINNED),
            true => (drawn, &WALL_AS_DRAWN),
            false => (wanted, rule),
        };
        Kept { name, drawn, least, rule, of }
    }

    /// What the file says of a wall.
    pub(super) fn said(&self, (first, second): Between) -> Option<Length> {
        let walls = self.job.drawing.walls.iter().filter(|wall| wall.is_of(first, second));
        walls.map(|wall| wall.least.length).min()
    }

    /// The greatest wall that any rule asks between two things, reckoned with the
    /// sizes as drawn.
    pub(super) fn wanted(&self, first: FeatureId, second: Option<FeatureId>) -> (Length, &'static Rule) {
        let mut wanted = (Length::mm(1), &WALL_PLAIN);
        let mut ask = |wall: Length, rule: &'static Rule| {
            if wall > wanted.0 {
                wanted = (wall, rule);
            }
        };
        let round = |id: FeatureId| {
            let cut = self.job.part.cut_diameter(id).unwrap_or_default();
            let slotted = matches!(
                self.job.feature(id).kind,
                Kind::Slot { .. } | Kind::CurvedSlot { .. } | Kind::Keyway { .. } | Kind::Slit { .. }
            );
            (!slotted).then_some(cut)
        };
        for id in std::iter::once(first).chain(second) {
            let Some(across) = round(id) else { continue };
            match self.job.feature(id).kind {
                Kind::Hole { finish: Finish::Reamed | Finish::Bored, .. } => ask(across / 4, &WALL_REAMED),
                Kind::Tapped { .. } => ask(across.half(), &WALL_TAPPED),
                Kind::Hole { clears: Some(_), .. } if second.is_none() => {
                    let material = self.job.material;
                    let soft = !matches!(material.kind, MetalKind::Steel | MetalKind::Stainless)
                        && (material.kind != MetalKind::CopperAlloy || material.name == "brass");
                    let halves = if soft { EDGE_HALVES.1 } else { EDGE_HALVES.0 };
                    ask(across * (halves - 1) / 2, &WALL_SCREW);
                }
                _ => {}
            }
        }
        if let Some(second) = second
            && let (Some(a), Some(b)) = (round(first), round(second))
        {
            ask(a.min(b).half(), &WALL_HOLES);
        }
        wanted
    }
}

/// What is left at least of a wall that may be thinned: nine tenths, and 1 mm
/// where the drawing has so much.
fn thinned(drawn: Length) -> Length {
    drawn.scaled(Ratio::new(SECTION_KEPT.0, SECTION_KEPT.1)).max(drawn.min(Length::mm(1)))
}

/// A sum times a number.
pub fn scaled(sum: &Linear, by: Ratio<i128>) -> Linear {
    add(Linear::default(), sum, by)
}

/// How far a place is from a centre, where that is a multiple of one size: a hole
/// on a pitch circle. Rounded up, so that a wall outside it is never overstated.
fn far_from(at: &[Linear; 2], centre: &[Linear; 2]) -> Option<Linear> {
    let way = [at[0].clone().less(&centre[0]), at[1].clone().less(&centre[1])];
    let mut share_mm = [0.0; 2];
    let mut only = None;
    for (axis, sum) in way.iter().enumerate() {
        if sum.constant != Length::ZERO {
            return None;
        }
        for &(variable, times) in &sum.terms {
            if *only.get_or_insert(variable) != variable {
                return None;
            }
            share_mm[axis] += *times.numer() as f64 / *times.denom() as f64;
        }
    }
    const PLACES: f64 = 1e6;
    let times = Ratio::new(((share_mm[0].hypot(share_mm[1]) * PLACES) - 1e-3).ceil() as i128, PLACES as i128);
    Some(only.map_or_else(Linear::default, |variable| Linear::default().plus(variable, times)))
}

fn edge_word(edge: Reference) -> &'static str {
    match edge {
        Reference::LeftEdge => "left edge",
        Reference::RightEdge => "right edge",
        Reference::BottomEdge => "bottom edge",
        _ => "top edge",
    }
}
