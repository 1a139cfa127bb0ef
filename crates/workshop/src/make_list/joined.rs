//! Parts whose holes are made in one setup: each is made as far as that, all lie in it together,
//! and each is gone on with.

use std::ops::Range;

use super::deeds::{Deed, World};
use crate::assembly::Together;

/// What is made in one setup of several parts.
pub(super) struct Joined<'a> {
    pub said: &'a Together,
    /// The parts, the one on top first, each with the place of that setup in its own order.
    pub parts: Vec<(usize, usize)>,
}

/// Those of the project whose parts are all planned so.
pub(super) fn joined<'a>(world: &World<'a>) -> Vec<Joined<'a>> {
    let mut found = Vec::new();
    for said in &world.fitting.together {
        let place = |(part, _): &(usize, Vec<_>)| {
            let plan = world.parts[*part].plan?;
            let (_, setup) = plan.together.iter().find(|(name, _)| *name == said.name)?;
            Some((*part, *setup))
        };
        if let Some(parts) = said.parts.iter().map(place).collect() {
            found.push(Joined { said, parts });
        }
    }
    found
}

impl World<'_> {
    /// What a part has made while it lies with others, with its setup, in the part's own order.
    pub fn joints_of(&self, part: usize) -> Vec<(usize, usize)> {
        let own = |(n, joined): (usize, &Joined)| {
            joined.parts.iter().find(|(of, _)| *of == part).map(|(_, setup)| (n, *setup))
        };
        let mut all: Vec<(usize, usize)> = self.joined.iter().enumerate().filter_map(own).collect();
        all.sort_by_key(|(_, setup)| *setup);
        all
    }

    /// The setups of a part before each time it lies with others, and those after the last.
    pub fn stretches(&self, part: usize) -> Vec<Range<usize>> {
        let setups = self.parts[part].plan.map_or(0, |plan| plan.order.setups.len());
        let mut begin = 0;
        let mut all = Vec::new();
        for (_, setup) in self.joints_of(part) {
            all.push(begin..setup);
            begin = setup + 1;
        }
        all.push(begin..setups);
        all
    }

    /// The first thing that is done to a part.
    pub fn first_deed(&self, part: usize) -> Deed {
        match (self.joints_of(part).first(), self.stretches(part).first()) {
            (Some(_), Some(first)) if !first.is_empty() => Deed::Begin(part, 0),
            (Some((joint, _)), _) => Deed::Joint(*joint),
            _ => Deed::Part(part),
        }
    }

    /// Everything that is done to parts that lie together, in an order that may be kept.
    pub fn joint_deeds(&self) -> Vec<Deed> {
        let mut deeds: Vec<Deed> = (0..self.joined.len()).map(Deed::Joint).collect();
        let parts = (0..self.parts.len()).filter(|&part| !self.joints_of(part).is_empty());
        for part in parts {
            let more = self.stretches(part).len() - 1;
            let begun = (1..more).filter(|&n| !self.stretches(part)[n].is_empty());
            deeds.extend(begun.map(|n| Deed::Begin(part, n)));
            deeds.push(Deed::Part(part));
        }
        deeds
    }

    /// Minutes of some of a part's setups.
    pub fn minutes_of(&self, part: usize, setups: Range<usize>) -> u64 {
        let Some(plan) = self.parts[part].plan else { return 0 };
        let lines = plan.cover.order.iter().filter(|line| setups.contains(&(line.setup - 1)));
        let each: u64 = lines.map(|line| line.minutes + plan.order.setting_up[line.setup - 1]).sum();
        each * u64::from(plan.order.times)
    }

    /// `Front frame (bearing and pump hole) and Back frame (bearing and pump hole)`.
    pub fn laid_together(&self, joint: usize) -> String {
        let part = |(part, holes): &(usize, Vec<crate::drawing::FeatureId>)| {
            let drawing = self.parts[*part].drawing;
            let names: Vec<&str> = holes.iter().map(|id| drawing.features[id.0].name.as_str()).collect();
            format!("{} ({})", drawing.name, names.join(", "))
        };
        let parts: Vec<String> = self.joined[joint].said.parts.iter().map(part).collect();
        let (top, setup) = self.joined[joint].parts[0];
        format!(
            "{}, laid on each other: setup {} on the sheets of {}",
            parts.join(" and "),
            setup + 1,
            self.parts[top].drawing.name
        )
    }
}
