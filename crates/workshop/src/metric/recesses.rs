//! What a recess in an end of a turned part asks for: its rim, its web, and a hub that is flush with the boss in it.

use super::demands::{Demands, WALL_MM, add, one, shoulder};
use super::model::Linear;
use super::rules::{SHOULDER, WALL_PLAIN};
use crate::drawing::{Axis, DimensionId, Face, FeatureId, Kind, SectionEnd};
use crate::measure::Length;

impl Demands<'_> {
    pub(super) fn recess(
        &mut self,
        id: FeatureId,
        diameter: DimensionId,
        hub: Option<DimensionId>,
        depth: DimensionId,
    ) {
        let feature = self.job.feature(id);
        let (name, outer) = (feature.name.clone(), one(self.size(diameter)));
        let wall = Length::mm(WALL_MM) * 2;
        let deep = self.job.dimension(depth).written.length;
        let bosses = self.job.part.within_hub(id);
        let start = self.job.part.recess_start(id);
        for section in self.gone_through(feature.face, start + deep).split_off(bosses.len()) {
            for end in [SectionEnd::Left, SectionEnd::Right] {
                let Some(rim) = self.end_size(section, end).map(|bar| bar.less(&outer)) else { continue };
                let side = if end == SectionEnd::Left { "left" } else { "right" };
                let name = format!("rim round {name} at the {side} of {}", self.name(section));
                self.keep(name, &WALL_PLAIN, wall, rim);
            }
        }
        if let Some(hub) = hub {
            let width = outer.clone().less(&one(self.size(hub)));
            self.keep(format!("width of {name}"), &SHOULDER, shoulder() * 2, width);
            self.flush_with_the_hub(&bosses, hub, &name);
        }
        // The web that is left between this recess and one from the other end.
        let others: Vec<(FeatureId, DimensionId)> = self
            .job
            .part
            .features()
            .filter_map(|(other, f)| match f.kind {
                Kind::Recess { depth, .. } if f.face != feature.face => Some((other, depth)),
                _ => None,
            })
            .collect();
        let Some(whole) = self.length_over_all() else { return };
        let web = whole.less(&self.recess_floor(id, depth));
        if others.is_empty() {
            self.keep(format!("web behind {name}"), &WALL_PLAIN, Length::mm(WALL_MM), web.clone());
        }
        for (other, depth) in others {
            let both = web.clone().less(&self.recess_floor(other, depth));
            let name = format!("web between {name} and {}", self.job.dimension(depth).name);
            self.keep(name, &WALL_PLAIN, Length::mm(WALL_MM), both);
        }
    }

    /// A boss that stands within a hub goes on doing so; one as wide as its hub stays so.
    fn flush_with_the_hub(&mut self, bosses: &[FeatureId], hub: DimensionId, recess: &str) {
        for &boss in bosses {
            let Some(round) = self.diameter(boss) else { continue };
            let beside = one(self.size(hub)).less(&round);
            let name = format!("hub of {recess} round {}", self.name(boss));
            if self.as_drawn(&beside) == Length::ZERO {
                let back = round.less(&one(self.size(hub)));
                self.keep(format!("{name} flush with it"), &SHOULDER, Length::ZERO, back);
            }
            self.keep(name, &SHOULDER, Length::ZERO, beside);
        }
    }

    /// From the end down to the floor of a recess.
    pub(super) fn recess_floor(&self, recess: FeatureId, depth: DimensionId) -> Linear {
        let begins = self.recess_begins(recess).unwrap_or_default();
        add(begins, &one(self.size(depth)), 1.into())
    }

    /// From the end down to where a recess begins; nothing where that is the end.
    fn recess_begins(&self, recess: FeatureId) -> Option<Linear> {
        let part = &self.job.part;
        let boss = *part.within_hub(recess).last()?;
        let place = |id| self.job.solved.place(id, Axis::X).map(|place| self.sum(place));
        match part.feature(recess).face {
            Face::Right => Some(self.length_over_all()?.less(&place(boss)?)),
            _ => place(part.neighbour(boss, SectionEnd::Right)?),
        }
    }
}
