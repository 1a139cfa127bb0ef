//! What the other ways of doing something would cost, or break.
//!
//! Each is asked of the planner anew, all else being free; so it is worked out when a
//! person asks and not before.

use super::model::{Choice, GroupId, Need, OpId, Presence};
use super::offers::{bare, same_metal};
use super::search::{self, Effort, Outcome};
use super::uses::Uses;
use super::work::{Chosen, OrderOfWork, Priced};
use crate::abreast::abreast;
use crate::why::Why;

/// States looked at for each of the other ways: past so many its cost is not told.
const EFFORT: Effort = Effort { states: 20_000, beam: 1 };

/// How many of the rules that rule a way out are told.
const MOST_REASONS: usize = 3;

impl OrderOfWork {
    /// The ways in which a step, counted from nought, might have been done otherwise: what
    /// each would add to the whole order, or what it would break, and those that the bench
    /// or the part rules out. Nothing where there is no other way.
    pub fn other_ways(&self, at: usize) -> Vec<Why> {
        let (model, plan) = self.planned_from();
        let Some(step) = plan.steps.get(at) else { return Vec::new() };
        let several = self.setups[self.steps[at].setup].pieces.lots().is_some();
        let of_pieces = self.of_ways.iter().filter(|_| several);
        let about: Vec<Why> = of_pieces
            .map(|priced| {
                let Priced { name, way, comes_to } = priced;
                Why::new(format!("{name} {way} {comes_to}")).source("planned anew")
            })
            .collect();
        let Some(taken) = model.operations[step.op.0].choice else { return about };
        let group = &model.groups[taken.group.0];
        let mine = &group.variants[taken.variant];
        let rivals = (0..group.variants.len()).filter(|&v| v != taken.variant);
        let rivals = rivals.filter(|&v| same_metal(mine, &group.variants[v]));
        let weighed = rivals.map(|variant| {
            let words = format!("{} {}", group.name, group.variants[variant]);
            let comes_to = self.weighed(Choice { variant, ..taken });
            Why::new(format!("{words} {comes_to}")).source("planned anew")
        });
        let out =
            self.choices.iter().filter(|chosen| chosen.name == group.name).flat_map(|chosen| &chosen.out);
        let out = out.map(|(way, because)| Why::new(format!("it is not {way}: {because}")));
        let mut all: Vec<Why> = weighed.chain(out).collect();
        if !all.is_empty() {
            all.insert(
                0,
                Why::new(format!(
                    "{} {}: of all ways the cheapest order has this one",
                    group.name,
                    bare(mine)
                )),
            );
        }
        all.extend(about);
        all
    }

    /// What each of the other ways of each choice would come to, in their order, as a sentence goes
    /// on after it: `would add 1 setup more`. Nothing where there is no such way.
    pub fn prices(&self) -> Vec<Vec<Option<String>>> {
        let all: Vec<(&Chosen, &str)> = self
            .choices
            .iter()
            .flat_map(|chosen| chosen.others.iter().map(move |other| (chosen, other.as_str())))
            .collect();
        let mut priced = abreast(&all, |&(chosen, other)| self.price(chosen, other)).into_iter();
        self.choices.iter().map(|chosen| priced.by_ref().take(chosen.others.len()).collect()).collect()
    }

    pub(super) fn price(&self, chosen: &Chosen, other: &str) -> Option<String> {
        let known = self.of_ways.iter().find(|priced| priced.name == chosen.name && priced.way == other);
        if let Some(priced) = known {
            return Some(priced.comes_to.clone());
        }
        let (model, _) = self.planned_from();
        let short = other.strip_prefix(&format!("{}: ", chosen.name))?;
        let (group, of) = model.groups.iter().enumerate().find(|(_, group)| group.name == chosen.name)?;
        let variant = of.variants.iter().position(|variant| variant == short)?;
        Some(self.weighed(Choice { group: GroupId(group), variant }))
    }

    /// What one variant of a choice would come to.
    fn weighed(&self, rather: Choice) -> String {
        let mut model = self.planned_from().0.clone();
        let never = model.token("leave to do it otherwise", Presence::Absent);
        for op in &mut model.operations {
            if op.choice.is_some_and(|own| own.group == rather.group && own.variant != rather.variant) {
                op.needs.push(Need::new(never, "it is asked what the other way costs"));
            }
        }
        match search::plan(&model, EFFORT) {
            Ok(Outcome::Planned(plan)) => {
                let uses = Uses::of(&model, &plan.steps, &plan.tally);
                format!("would add {}", uses.more_than(&self.uses).words())
            }
            Ok(Outcome::Impossible(conflict)) => {
                let told = conflict.core.iter().filter(|rule| !speaks_of(&model, rule, never));
                let told: Vec<String> = told.take(MOST_REASONS).map(|&rule| model.sentence(rule)).collect();
                match told.is_empty() {
                    true => "goes with no order of the rest".into(),
                    false => format!("cannot be: {}", told.join("; ")),
                }
            }
            Ok(Outcome::Undecided { .. }) | Err(_) => {
                "has a cost that was not found within the limit of the search".into()
            }
        }
    }
}

/// Whether a rule is only the question itself.
fn speaks_of(model: &super::Model, rule: &super::Rule, never: super::TokenId) -> bool {
    match *rule {
        super::Rule::Needs(OpId(op), n) => model.operations[op].needs[n].token == never,
        _ => false,
    }
}
