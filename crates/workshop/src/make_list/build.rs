//! From deeds and demands to the exact model, one stage at a time.

use std::collections::{BTreeMap, BTreeSet};

use super::deeds::{Deed, Fact, World};
use super::rules::{Demand, Wants};
use crate::assembly::Place;
use crate::order::{
    After, Choice, MachineId, Model, Need, OpId, Operation, Presence, Rule, Sets, Setup, SetupId, Spoil,
    TokenId, Way,
};

/// The model of some deeds, and which of its rules comes from which demand.
pub(super) struct Built<'w> {
    pub model: Model,
    /// Operation `n` is deed `n`.
    pub deeds: Vec<Deed>,
    pub demands: BTreeMap<Rule, &'w Demand>,
}

/// The model of some deeds of the project, others being done before.
pub(super) fn built<'w>(world: &'w World, deeds: &[Deed], done: &BTreeSet<Deed>) -> Built<'w> {
    let deeds = deeds.to_vec();
    let mut model = Model::default();
    // One machine: a place is a setup, so that carrying the work counts and nothing else does.
    let shed: MachineId = model.machine("shed");
    for place in Place::ALL {
        let name = place.word().to_owned();
        model.setup(Setup {
            name,
            machine: shed,
            needs: Vec::new(),
            minutes: 0,
            count: 1,
            sets: Sets::EachTime,
        });
    }
    let here: BTreeMap<Deed, OpId> = deeds.iter().enumerate().map(|(n, &deed)| (deed, OpId(n))).collect();
    let tokens = tokens(world, &here, done, &mut model);
    let mut kits: Vec<String> = Vec::new();
    let mut demands = BTreeMap::new();
    for (n, &deed) in deeds.iter().enumerate() {
        let (place, kit, minutes) = world.work(deed);
        let setup = SetupId(Place::ALL.iter().position(|p| *p == place).expect("every place is listed"));
        let tool = kits.iter().position(|k| *k == kit).unwrap_or_else(|| {
            kits.push(kit);
            kits.len() - 1
        });
        let name = world.name(deed);
        let ways = vec![Way { setup, tool: crate::order::ToolId(tool), minutes }];
        let mut operation = Operation { text: name.clone(), name, ways, ..Operation::default() };
        operation.makes = world.makes(deed).iter().filter_map(|fact| tokens.get(fact).copied()).collect();
        if let Deed::Apart(id) = deed
            && let Some(&token) = tokens.get(&Fact::Together(id))
        {
            operation.spoils.push(Spoil { token, because: "it is taken apart".into() });
        }
        for demand in world.demands.iter().filter(|demand| demand.of == deed) {
            let rule = match demand.wants {
                Wants::Has(fact) => {
                    let Some(&token) = tokens.get(&fact) else { continue };
                    operation.needs.push(Need::new(token, demand.because.clone()));
                    Rule::Needs(OpId(n), operation.needs.len() - 1)
                }
                Wants::Not(fact) => {
                    let Some(&token) = tokens.get(&fact) else { continue };
                    operation.needs_absent.push(Need::new(token, demand.because.clone()));
                    Rule::NeedsAbsent(OpId(n), operation.needs_absent.len() - 1)
                }
                Wants::Comes(first) => {
                    let Some(&first) = here.get(&first) else { continue };
                    operation.after.push(After::Operation(first, demand.because.clone()));
                    Rule::After(OpId(n), operation.after.len() - 1)
                }
            };
            demands.insert(rule, demand);
        }
        model.operation(operation);
    }
    if kits.len() > crate::order::model::MOST {
        // So many different things to set up are not told apart.
        model.operations.iter_mut().for_each(|op| op.ways[0].tool = crate::order::ToolId(0));
        kits.truncate(1);
    }
    kits.into_iter().for_each(|kit| {
        model.tool(kit);
    });
    choices(world, &here, &mut model);
    Built { model, deeds, demands }
}

/// A token for each fact that a deed of this stage asks about.
fn tokens(
    world: &World,
    here: &BTreeMap<Deed, OpId>,
    done: &BTreeSet<Deed>,
    model: &mut Model,
) -> BTreeMap<Fact, TokenId> {
    let asked = world.demands.iter().filter(|demand| here.contains_key(&demand.of));
    let facts: BTreeSet<Fact> = asked
        .filter_map(|demand| match demand.wants {
            Wants::Has(fact) | Wants::Not(fact) => Some(fact),
            Wants::Comes(_) => None,
        })
        .collect();
    let already: BTreeSet<Fact> = done.iter().flat_map(|&deed| world.makes(deed)).collect();
    let add = |fact: Fact| {
        let at_start = if already.contains(&fact) { Presence::Present } else { Presence::Absent };
        (fact, model.token(world.fact(fact), at_start))
    };
    facts.into_iter().map(add).collect()
}

/// Whether a join stays together once it is, or is taken apart and put together again.
fn choices(world: &World, here: &BTreeMap<Deed, OpId>, model: &mut Model) {
    for &id in &world.dismantled {
        let (Some(&apart), Some(&again)) = (here.get(&Deed::Apart(id)), here.get(&Deed::Again(id))) else {
            continue;
        };
        let name = format!("whether `{}` is taken apart again", world.task(id).name);
        let group = model.group(name, &["it stays together", "it is taken apart and put together again"]);
        for op in [apart, again] {
            model.operations[op.0].choice = Some(Choice { group, variant: 1 });
        }
    }
}
