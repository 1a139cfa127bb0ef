//! When no order keeps all rules: a least set of them that cannot all hold.

use super::feasible::feasible;
use super::model::{After, Model, OpId, Rule};
use super::search::Effort;
use std::collections::BTreeSet;

/// Rules in conflict.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Conflict {
    /// With these rules alone no order exists. When `least` holds, leaving out any
    /// one of them lets one exist (as far as these rules go).
    pub core: Vec<Rule>,
    /// False when the search for a smaller set stopped at its limit.
    pub least: bool,
}

impl Model {
    /// The tokens that something must not meet: losing one can help, and is no rule that
    /// could be left out but a way past one.
    fn in_the_way(&self) -> BTreeSet<super::TokenId> {
        self.operations.iter().flat_map(|op| &op.needs_absent).map(|need| need.token).collect()
    }

    /// Every rule that could be left out.
    pub fn rules(&self) -> Vec<Rule> {
        let (mut rules, in_the_way) = (Vec::new(), self.in_the_way());
        for (s, setup) in self.setups.iter().enumerate() {
            rules.extend((0..setup.needs.len()).map(|n| Rule::SetupNeeds(super::SetupId(s), n)));
        }
        for (i, op) in self.operations.iter().enumerate() {
            rules.extend((0..op.needs.len()).map(|n| Rule::Needs(OpId(i), n)));
            rules.extend((0..op.needs_absent.len()).map(|n| Rule::NeedsAbsent(OpId(i), n)));
            let spoils = (0..op.spoils.len()).filter(|&n| !in_the_way.contains(&op.spoils[n].token));
            rules.extend(spoils.map(|n| Rule::Spoils(OpId(i), n)));
            rules.extend((0..op.after.len()).map(|n| Rule::After(OpId(i), n)));
        }
        rules.extend((0..self.agreements.len()).map(Rule::Agrees));
        rules
    }

    /// The model with these rules only; operations, ways and choices stay.
    #[must_use]
    pub fn with_only(&self, rules: &[Rule]) -> Self {
        let (mut model, in_the_way) = (self.clone(), self.in_the_way());
        for (s, setup) in model.setups.iter_mut().enumerate() {
            keep(&mut setup.needs, |n| rules.contains(&Rule::SetupNeeds(super::SetupId(s), n)));
        }
        for (i, op) in model.operations.iter_mut().enumerate() {
            keep(&mut op.needs, |n| rules.contains(&Rule::Needs(OpId(i), n)));
            keep(&mut op.needs_absent, |n| rules.contains(&Rule::NeedsAbsent(OpId(i), n)));
            let helps: Vec<bool> = op.spoils.iter().map(|spoil| in_the_way.contains(&spoil.token)).collect();
            keep(&mut op.spoils, |n| helps[n] || rules.contains(&Rule::Spoils(OpId(i), n)));
            keep(&mut op.after, |n| rules.contains(&Rule::After(OpId(i), n)));
        }
        keep(&mut model.agreements, |n| rules.contains(&Rule::Agrees(n)));
        model
    }

    /// A rule in words, with its reason.
    pub fn sentence(&self, rule: Rule) -> String {
        let token = |t: super::TokenId| &self.tokens[t.0].name;
        match rule {
            Rule::SetupNeeds(s, n) => {
                let (setup, need) = (&self.setups[s.0], &self.setups[s.0].needs[n]);
                format!("setup `{}` needs {}, because {}", setup.name, token(need.token), need.because)
            }
            Rule::Needs(op, n) => {
                let need = &self.operations[op.0].needs[n];
                format!("`{}` needs {}, because {}", self.name(op), token(need.token), need.because)
            }
            Rule::NeedsAbsent(op, n) => {
                let need = &self.operations[op.0].needs_absent[n];
                let (name, token) = (self.name(op), token(need.token));
                format!("`{name}` must not meet {token}, because {}", need.because)
            }
            Rule::Spoils(op, n) => {
                let spoil = &self.operations[op.0].spoils[n];
                format!("`{}` takes away {}, because {}", self.name(op), token(spoil.token), spoil.because)
            }
            Rule::After(op, n) => match &self.operations[op.0].after[n] {
                After::Operation(before, because) => {
                    format!("`{}` comes after `{}`, because {because}", self.name(op), self.name(*before))
                }
                After::Group(group, because) => {
                    let group = &self.groups[group.0].name;
                    format!("`{}` comes after {group} is settled, because {because}", self.name(op))
                }
            },
            Rule::Agrees(n) => {
                let agreement = &self.agreements[n];
                let [a, b] = agreement.ops.map(|op| self.name(op));
                format!("`{a}` and `{b}` have to agree, because {}", agreement.because)
            }
        }
    }
}

fn keep<T>(list: &mut Vec<T>, stays: impl Fn(usize) -> bool) {
    let mut place = 0;
    list.retain(|_| {
        place += 1;
        stays(place - 1)
    });
}

/// A least set of rules in conflict in a model that is known to be impossible.
///
/// Stretches of rules are left out for good when no order exists without them either,
/// long stretches first, since most rules of a model have no part in the conflict. In
/// the end single rules are tried over and over until none can go. Once over would
/// not do: a spoiling can also help, by clearing what is in somebody's way, so fewer
/// rules do not always leave more room.
pub(super) fn conflict(model: &Model, effort: Effort) -> Conflict {
    let mut core = model.rules();
    let mut stretch = core.len().next_power_of_two();
    loop {
        let (was, mut least, mut from) = (core.len(), true, 0);
        while from < core.len() {
            let to = (from + stretch).min(core.len());
            let rest: Vec<Rule> = [&core[..from], &core[to..]].concat();
            match feasible(&model.with_only(&rest), effort.states) {
                Some(false) => core = rest,
                found => {
                    least &= found.is_some();
                    from = to;
                }
            }
        }
        if stretch > 1 {
            stretch /= 2;
        } else if core.len() == was {
            return Conflict { core, least };
        }
    }
}
