//! What must stay strong: rounds, tubes, arms and pins.
//!
//! A size may go a little under the drawing's; what counts is what that does to the
//! section. A round keeps a share of its bending modulus, and so more of its area; an arm
//! the same of thickness and width together, so that both do not give way at once.

use std::sync::Arc;

use super::demands::{Demands, one};
use super::mates;
use super::model::{Demand, Judgement, Span, Test, VariableId};
use super::rules::{ARM_STRENGTH, ROUND_STRENGTH, Rule, STRENGTH_KEPT};
use crate::drawing::{Axis, Body, DimensionId, Face, FeatureId, Kind, Measures, SectionSize};
use crate::measure::Length;

/// Which way a strength goes with a size.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Goes {
    /// Larger is stronger.
    Up,
    /// Larger is weaker.
    Down,
}

/// The strength of a section from its sizes in millimetres.
type Strength = fn(&[f64]) -> f64;

impl Demands<'_> {
    /// Everything that must stay strong.
    pub fn strengths(&mut self) {
        self.rounds();
        self.arms();
        self.pins_across();
    }

    /// Turned diameters, solid or bored through.
    fn rounds(&mut self) {
        for (at, dimension) in self.job.drawing.dimensions.iter().enumerate() {
            if dimension.measures != Measures::Turned {
                continue;
            }
            let id = DimensionId(at);
            match self.bore_through(id) {
                None => self.round(dimension.name.clone(), id),
                Some(bore) => {
                    let name = format!("strength of {}", dimension.name);
                    let on = [(self.size(id), Goes::Up), (self.size(bore), Goes::Down)];
                    self.strong(name, &ROUND_STRENGTH, &on, |s| tube_mm3(s[0], s[1]));
                }
            }
        }
    }

    /// A solid round keeps its bending modulus, which goes with its third power.
    fn round(&mut self, name: String, id: DimensionId) {
        let drawn = self.job.dimension(id).written.length;
        let kept = Length::nearest(drawn.as_mm() * STRENGTH_KEPT.cbrt());
        self.keep(name, &ROUND_STRENGTH, kept, one(self.size(id)));
    }

    /// The hole along the axis of a turned section that goes right through it.
    fn bore_through(&self, id: DimensionId) -> Option<DimensionId> {
        let Body::Turned { sections, .. } = &self.job.drawing.body else { return None };
        let owns =
            |kind: &Kind| matches!(*kind, Kind::Section { size: SectionSize::Plain(own), .. } if own == id);
        let section = sections.iter().copied().find(|&section| owns(&self.job.feature(section).kind))?;
        self.job.part.features().find_map(|(hole, feature)| {
            let Kind::Hole { diameter, depth, .. } = feature.kind else { return None };
            let ends = matches!(feature.face, Face::Left | Face::Right) && !self.job.part.off_axis(hole);
            let through = self.gone_through(feature.face, self.job.part.end_depth(hole, depth));
            (ends && through.contains(&section)).then_some(diameter)
        })
    }

    /// The bosses of an arm, each with the eye in it.
    fn arms(&mut self) {
        let Body::Bosses { around, .. } = &self.job.drawing.body else { return };
        for &boss in around {
            let Kind::Boss { radius } = self.job.feature(boss).kind else { continue };
            let name = self.name(boss).to_owned();
            for thickness in self.thicknesses(boss) {
                let (thick, half) = (self.size(thickness), self.size(radius));
                let whole = [(thick, Goes::Up), (half, Goes::Up)];
                let stated = format!("bending of {name} with {}", self.job.dimension(thickness).name);
                self.strong(stated, &ARM_STRENGTH, &whole, |s| s[0] * s[1] * s[1]);
                if let Some(eye) = self.eye(boss) {
                    let ring = [(thick, Goes::Up), (half, Goes::Up), (self.size(eye), Goes::Down)];
                    let stated =
                        format!("metal round the eye of {name} with {}", self.job.dimension(thickness).name);
                    self.strong(stated, &ARM_STRENGTH, &ring, |s| s[0] * (2.0 * s[1] - s[2]));
                }
            }
        }
    }

    /// The hole in the middle of a boss.
    fn eye(&self, boss: FeatureId) -> Option<DimensionId> {
        let place = |id: FeatureId| [Axis::X, Axis::Y].map(|axis| self.job.solved.place(id, axis));
        self.job.part.features().find_map(|(hole, feature)| match feature.kind {
            Kind::Hole { diameter, .. }
                if matches!(feature.face, Face::Front | Face::Back) && place(hole) == place(boss) =>
            {
                Some(diameter)
            }
            _ => None,
        })
    }

    /// Pins and shafts that go through a round hole of this part.
    fn pins_across(&mut self) {
        for mate in &self.job.drawing.mates {
            let round = matches!(self.job.feature(mate.with).kind, Kind::Hole { .. });
            if round && mates::is_hole(self.job, mate) && !mate.fixed {
                self.round(format!("strength of {}", mate.name), mate.size);
            }
        }
    }

    /// Demands that a strength keeps its share, unless it does whatever is chosen.
    fn strong(&mut self, name: String, rule: &'static Rule, on: &[(VariableId, Goes)], strength: Strength) {
        let drawn_mm: Vec<f64> = on.iter().map(|(variable, _)| self.drawn[variable.0].as_mm()).collect();
        let drawn = strength(&drawn_mm);
        if drawn <= 0.0 {
            return;
        }
        // A hair for what is rounded in reckoning.
        let least = drawn * STRENGTH_KEPT * (1.0 - 1e-9);
        let ways: Vec<Goes> = on.iter().map(|&(_, goes)| goes).collect();
        let judge = move |spans: &[Span]| {
            let at = |pick: fn(&Span) -> Length, other: fn(&Span) -> Length| {
                let sizes = spans.iter().zip(&ways).map(|(span, goes)| match goes {
                    Goes::Up => pick(span).as_mm(),
                    Goes::Down => other(span).as_mm(),
                });
                strength(&sizes.collect::<Vec<f64>>())
            };
            if at(|s| s.least, |s| s.most) >= least {
                Judgement::Holds
            } else if at(|s| s.most, |s| s.least) < least {
                Judgement::Breaks
            } else {
                Judgement::Unsure
            }
        };
        let spans: Vec<Span> = on.iter().map(|(variable, _)| self.spans[variable.0]).collect();
        if judge(&spans) == Judgement::Holds {
            return;
        }
        let on = on.iter().map(|&(variable, _)| variable).collect();
        let because = format!("the {name}: {}", rule.because);
        self.model.demand(name, because, Demand::Test(Test { on, judge: Arc::new(judge) }));
    }
}

/// The bending modulus of a tube, but for the factor π/32.
fn tube_mm3(outside_mm: f64, bore_mm: f64) -> f64 {
    (outside_mm.powi(4) - bore_mm.powi(4)) / outside_mm
}

#[cfg(test)]
mod tests {
    use super::*;

    /// π (D⁴ − d⁴) / 32 D with D 20 and d 10: 736.3 mm³ in handbooks' tables of sections.
    #[test]
    fn a_tube_has_the_modulus_of_the_handbook() {
        let modulus = tube_mm3(20.0, 10.0) * std::f64::consts::PI / 32.0;
        assert!((modulus - 736.31).abs() < 0.01, "{modulus}");
        assert_eq!(tube_mm3(20.0, 0.0), 8000.0);
    }

    /// A thicker tube never breaks, a wider bore never mends: what the judge rests on.
    #[test]
    fn a_tube_grows_with_its_outside_and_shrinks_with_its_bore() {
        for outside in 5..60 {
            for bore in 0..outside {
                let own = tube_mm3(f64::from(outside), f64::from(bore));
                assert!(tube_mm3(f64::from(outside) + 0.1, f64::from(bore)) > own);
                assert!(tube_mm3(f64::from(outside), f64::from(bore) + 0.1) < own);
            }
        }
    }
}
