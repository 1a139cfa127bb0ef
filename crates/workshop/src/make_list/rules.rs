//! What must come before what in a project, and why: one list.
//!
//! Each row turns what is said into [`Demand`]s on single deeds, with the reason that is
//! printed and, where doing the deed too early is a trap, what would be lost. A new rule is
//! one row here and one case in `tests/assembly/rules.rs`.

use super::deeds::{Deed, Fact, World};
use crate::assembly::how::SOFTENS_C;
use crate::assembly::{Cool, Kind, Member, SetBy, Task, TaskId, Thing};

/// One rule of fitting.
pub(super) struct Rule {
    /// Its name, printed beside its source.
    pub name: &'static str,
    /// Where it comes from.
    pub source: &'static str,
    /// What it says of a project.
    pub says: fn(&World, &'static Rule) -> Vec<Demand>,
}

/// What a rule asks of one deed.
#[derive(Clone, Debug)]
pub(super) struct Demand {
    pub of: Deed,
    pub wants: Wants,
    /// Why, to follow "because".
    pub because: String,
    /// What doing the deed too early, or another too late, would lose; `None` where nobody
    /// would fall into it.
    pub lost: Option<String>,
    /// The rule, and where its statement stands.
    pub rule: &'static str,
    pub source: &'static str,
    pub said: Option<String>,
}

/// What is asked.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Wants {
    /// That something is so.
    Has(Fact),
    /// That something is not so.
    Not(Fact),
    /// That another deed comes before.
    Comes(Deed),
}

const PRACTICE: &str = "common practice";
const SAID: &str = "the project's own statement";

const fn rule(
    name: &'static str,
    source: &'static str,
    says: fn(&World, &'static Rule) -> Vec<Demand>,
) -> Rule {
    Rule { name, source, says }
}

/// Every rule.
pub(super) const RULES: &[Rule] = &[
    rule("made before fitted", PRACTICE, made_first),
    rule("aid before its part", PRACTICE, own_aids),
    rule("laid together half made", SAID, laid_together),
    rule("what sets it comes first", PRACTICE, set_by),
    rule("together when worked on", SAID, together),
    rule("before because said", SAID, said),
    rule("got at before closed off", PRACTICE, closed_off),
    rule("finished before fitted", PRACTICE, finished_first),
    rule("hardened by itself", PRACTICE, by_itself),
    rule("no joint hotter than it holds", "melting ranges, from memory", lets_go),
    rule("hardened after the last great heat", "tempering colours, from memory", softens),
    rule("tempered after hardened", PRACTICE, tempered),
    rule("cut before hardened", PRACTICE, cut_soft),
];

/// A demand of a task's own deed.
fn ask(rule: &'static Rule, task: &Task, id: TaskId, wants: Wants, because: String) -> Demand {
    Demand {
        of: Deed::Task(id),
        wants,
        because,
        lost: None,
        rule: rule.name,
        source: rule.source,
        said: Some(task.said.place.clone()),
    }
}

fn trap(lost: impl Into<String>, demand: Demand) -> Demand {
    Demand { lost: Some(lost.into()), ..demand }
}

/// Says that the statement of another task is part of it.
fn with(other: &Task, demand: Demand) -> Demand {
    let said = demand.said.map(|own| {
        let file = own.split(", line").next().unwrap_or_default();
        let place = other.said.place.strip_prefix(file).map_or(other.said.place.as_str(), |rest| &rest[2..]);
        if own.ends_with(place) { own } else { format!("{own} and {place}") }
    });
    Demand { said, ..demand }
}

/// Everything a task takes hold of: its members and the part it is set by.
fn uses(task: &Task) -> impl Iterator<Item = Member> {
    let set_by = match task.set_by {
        Some(SetBy::Part(member)) => Some(member),
        _ => None,
    };
    task.members.iter().copied().chain(set_by)
}

fn made_first(world: &World, rule: &'static Rule) -> Vec<Demand> {
    let mut found = Vec::new();
    for (id, task) in wanted(world) {
        let mut parts: Vec<usize> = uses(task)
            .filter_map(|member| match member.thing {
                Thing::Part(part) if world.is_made(part) => Some(part),
                _ => None,
            })
            .collect();
        parts.sort_unstable();
        parts.dedup();
        for part in parts {
            let because = match task.kind {
                Kind::Aid { .. } => "it is made to it",
                Kind::Heat(_) => "only a finished part is heat treated",
                _ => "a part is made before it is fitted",
            };
            found.push(ask(rule, task, id, Wants::Has(Fact::Part(part)), because.into()));
        }
    }
    found
}

/// Tasks that are done: aids on the shelf are not.
fn wanted<'w>(world: &'w World) -> impl Iterator<Item = (TaskId, &'w Task)> {
    world.fitting.all().filter(|(_, task)| !task.kind.is_owned_aid())
}

fn own_aids(world: &World, rule: &'static Rule) -> Vec<Demand> {
    let mut found = Vec::new();
    for (n, aid) in world.aids.iter().enumerate().filter(|(_, aid)| !aid.kept) {
        let mut told: Vec<usize> = Vec::new();
        for user in &aid.users {
            if told.contains(&user.part) {
                continue;
            }
            told.push(user.part);
            let name = super::shared::uncapital(&user.own_name);
            found.push(Demand {
                of: world.first_deed(user.part),
                wants: Wants::Has(Fact::Aid(n)),
                because: format!("its own sheets work with it as the {name}"),
                lost: None,
                rule: rule.name,
                source: rule.source,
                said: None,
            });
        }
    }
    found
}

fn laid_together(world: &World, rule: &'static Rule) -> Vec<Demand> {
    let mut found = Vec::new();
    for part in (0..world.parts.len()).filter(|&part| !world.joints_of(part).is_empty()) {
        let (joints, stretches) = (world.joints_of(part), world.stretches(part));
        let name = &world.parts[part].drawing.name;
        let mut before: Option<(Fact, usize)> = None;
        for (n, (joint, _)) in joints.iter().enumerate() {
            let said = world.joined[*joint].said;
            let demand = |of, wants, because: String| Demand {
                of,
                wants,
                because,
                lost: None,
                rule: rule.name,
                source: rule.source,
                said: Some(said.said.clone()),
            };
            let after =
                |known: usize| format!("its own order has `{}` before", world.joined[known].said.name);
            let begun = !stretches[n].is_empty();
            if let Some((fact, known)) = before {
                let of = if begun { Deed::Begin(part, n) } else { Deed::Joint(*joint) };
                found.push(demand(of, Wants::Has(fact), after(known)));
            }
            if begun {
                let because = format!("{name} is brought so far by itself that it can be laid on the others");
                found.push(demand(Deed::Joint(*joint), Wants::Has(Fact::Begun(part, n)), because));
            }
            before = Some((Fact::Joined(*joint), *joint));
            if n + 1 == joints.len() {
                let because = match &said.because {
                    Some(because) => because.clone(),
                    None => format!("`{}` is made before {name} is gone on with", said.name),
                };
                let lost = format!("{name} no longer lies on the others as they all were");
                let last = demand(Deed::Part(part), Wants::Has(Fact::Joined(*joint)), because);
                found.push(trap(lost, last));
            }
        }
    }
    found
}

fn set_by(world: &World, rule: &'static Rule) -> Vec<Demand> {
    let mut found = Vec::new();
    for (id, task) in wanted(world) {
        let Some(SetBy::Aid(aid)) = task.set_by else { continue };
        let aid_task = world.task(aid);
        if aid_task.kind.is_owned_aid() {
            continue;
        }
        let sets = task.sets.as_deref().unwrap_or("it");
        let stays = match task.kind {
            Kind::Join { how, .. } if !task.kind.comes_apart() => {
                format!(", and once {} it cannot be moved", how.word)
            }
            _ => String::new(),
        };
        let because = format!("the {} sets {sets}{stays}", aid_task.name);
        let lost = format!("it leaves nothing to set {sets} by: {because}");
        found.push(trap(lost, with(aid_task, ask(rule, task, id, Wants::Has(Fact::Done(aid)), because))));
    }
    found
}

fn together(world: &World, rule: &'static Rule) -> Vec<Demand> {
    let mut found = Vec::new();
    for (id, task) in wanted(world) {
        for &join in &task.within {
            let because = format!("it is done with `{}` together", world.task(join).name);
            let lost = format!("the parts are not where they will be: {because}");
            let demand = ask(rule, task, id, Wants::Has(Fact::Together(join)), because);
            found.push(trap(lost, with(world.task(join), demand)));
        }
    }
    found
}

fn said(world: &World, rule: &'static Rule) -> Vec<Demand> {
    let mut found = Vec::new();
    for (id, task) in wanted(world) {
        for &first in &task.after {
            if world.task(first).kind.is_owned_aid() {
                continue;
            }
            let because = match &task.because {
                Some(because) => because.clone(),
                None => format!("it is to come after `{}`, as the project says", world.task(first).name),
            };
            let demand =
                with(world.task(first), ask(rule, task, id, Wants::Comes(Deed::Task(first)), because));
            found.push(match &task.because {
                Some(because) => trap(because.clone(), demand),
                None => demand,
            });
        }
    }
    found
}

fn closed_off(world: &World, rule: &'static Rule) -> Vec<Demand> {
    let mut found = Vec::new();
    for (join, closing) in world.fitting.all() {
        for closed in &closing.closes {
            for (id, task) in wanted(world).filter(|(id, _)| *id != join) {
                let hits = |m: &Member| {
                    if closed.feature.is_some() { m.meets_at(closed) } else { m.meets(closed) }
                };
                if !uses(task).any(|member| hits(&member)) {
                    continue;
                }
                let what = world.member(closed);
                let because = format!("`{}` closes off {what}", closing.name);
                let lost = format!("{what} cannot be got at any more");
                let demand = ask(rule, task, id, Wants::Not(Fact::Together(join)), because);
                found.push(trap(lost, with(closing, demand)));
            }
        }
    }
    found
}

fn finished_first(world: &World, rule: &'static Rule) -> Vec<Demand> {
    let mut found = Vec::new();
    for (by, finishing) in world.fitting.all() {
        let Some((word, _)) = finishing.cuts() else { continue };
        let before = before_it(world, by);
        for (id, task) in wanted(world).filter(|(id, _)| *id != by && !before.contains(id)) {
            let finished = finishing.members.iter().filter(|m| m.feature.is_some());
            for member in finished.filter(|m| uses(task).any(|own| own.meets_at(m))) {
                let what = world.member(member);
                let because = format!("`{}` finishes {what} first ({word})", finishing.name);
                let lost = format!("{what} is not to size yet");
                found.push(trap(
                    lost,
                    with(finishing, ask(rule, task, id, Wants::Has(Fact::Done(by)), because)),
                ));
            }
        }
    }
    found
}

/// The joins that a task is done in, theirs too, and the aids they are set by: they take
/// hold of what it has yet to finish.
fn before_it(world: &World, id: TaskId) -> Vec<TaskId> {
    let mut before = vec![id];
    let mut at = 0;
    while let Some(&id) = before.get(at) {
        at += 1;
        let task = world.task(id);
        let aid = match task.set_by {
            Some(SetBy::Aid(aid)) => Some(aid),
            _ => None,
        };
        for &more in task.within.iter().chain(&aid) {
            if !before.contains(&more) {
                before.push(more);
            }
        }
    }
    before
}

/// A thing that both take hold of and that the heat of the first is not kept from.
fn heated(world: &World, hot: &Task, other: TaskId) -> Option<Thing> {
    let task = world.task(other);
    if hot.cool.contains(&Cool::Join(other)) {
        return None;
    }
    let warm = hot.members.iter().filter(|m| !hot.cool.contains(&Cool::Thing(m.thing)));
    warm.filter(|m| task.members.iter().any(|own| own.meets(m))).map(|m| m.thing).next()
}

fn by_itself(world: &World, rule: &'static Rule) -> Vec<Demand> {
    let mut found = Vec::new();
    for (id, task) in wanted(world) {
        let Kind::Heat(heat) = task.kind else { continue };
        for (join, joined) in world.fitting.all() {
            let Some(how) = joined.how() else { continue };
            // What lets go has a rule of its own, and brazing is meant to be heated.
            if !heat.hardens || how.lets_go_c.is_some() {
                continue;
            }
            let Some(thing) = heated(world, task, join) else { continue };
            let because =
                format!("what is fitted to {} would be scaled and quenched with it", world.thing(thing));
            let lost = because.clone();
            found.push(trap(
                lost,
                with(joined, ask(rule, task, id, Wants::Not(Fact::Together(join)), because)),
            ));
        }
    }
    found
}

fn lets_go(world: &World, rule: &'static Rule) -> Vec<Demand> {
    let mut found = Vec::new();
    for (id, task) in wanted(world) {
        let Some(heat_c) = task.heat_c() else { continue };
        for (join, joined) in world.fitting.all().filter(|(join, _)| *join != id) {
            let Some(how) = joined.how() else { continue };
            let Some(limit_c) = how.lets_go_c.filter(|limit| *limit < heat_c) else { continue };
            // Several joints of one solder are made in one heat, or with the next lower melting.
            if task.how() == Some(how) || heated(world, task, join).is_none() {
                continue;
            }
            let because = format!(
                "a joint that is {} lets go above {limit_c} °C, and this brings it to about {heat_c} °C",
                how.word
            );
            let lost = format!("`{}` would let go", joined.name);
            let demand = ask(rule, task, id, Wants::Not(Fact::Together(join)), because);
            found.push(trap(lost, with(joined, demand)));
        }
    }
    found
}

fn softens(world: &World, rule: &'static Rule) -> Vec<Demand> {
    let mut found = Vec::new();
    for (hardening, task) in hardenings(world) {
        for (hot, other) in wanted(world).filter(|(id, _)| *id != hardening) {
            let Some(heat_c) = other.heat_c().filter(|heat| *heat > SOFTENS_C) else { continue };
            if matches!(other.kind, Kind::Heat(heat) if heat.hardens) {
                continue;
            }
            let Some(thing) = heated(world, other, hardening) else { continue };
            let because = format!(
                "`{}` brings {} to about {heat_c} °C, which draws its hardness",
                other.name,
                world.thing(thing)
            );
            let lost = format!("{} would be soft again", world.thing(thing));
            let demand = ask(rule, task, hardening, Wants::Comes(Deed::Task(hot)), because);
            found.push(trap(lost, with(other, demand)));
        }
    }
    found
}

fn tempered(world: &World, rule: &'static Rule) -> Vec<Demand> {
    let mut found = Vec::new();
    for (hardening, hard) in hardenings(world) {
        for (id, task) in wanted(world) {
            let Kind::Heat(heat) = task.kind else { continue };
            let meets = task.members.iter().any(|m| hard.members.iter().any(|own| own.meets(m)));
            if meets && !heat.hardens && heat.heat_c <= SOFTENS_C {
                let because = "what is not hard yet cannot be tempered".to_owned();
                let wants = Wants::Comes(Deed::Task(hardening));
                found.push(trap(because.clone(), with(hard, ask(rule, task, id, wants, because))));
            }
        }
    }
    found
}

fn cut_soft(world: &World, rule: &'static Rule) -> Vec<Demand> {
    let mut found = Vec::new();
    for (hardening, hard) in hardenings(world) {
        for (cut, task) in wanted(world).filter(|(_, task)| task.cuts().is_some()) {
            let shared = task.members.iter().find(|m| hard.members.iter().any(|own| own.meets(m)));
            let Some(member) = shared else { continue };
            let thing = world.thing(member.thing);
            let because = format!("no drill or reamer of this bench cuts {thing} once it is hard");
            let wants = Wants::Comes(Deed::Task(cut));
            found.push(trap(because.clone(), with(task, ask(rule, hard, hardening, wants, because))));
        }
    }
    found
}

fn hardenings<'w>(world: &'w World) -> impl Iterator<Item = (TaskId, &'w Task)> {
    wanted(world).filter(|(_, task)| matches!(task.kind, Kind::Heat(heat) if heat.hardens))
}

/// What taking a join apart asks, of those that may have to be.
pub(super) fn taken_apart(world: &World) -> Vec<Demand> {
    const RULE: &Rule = &rule("undone in the order it was done", PRACTICE, |_, _| Vec::new());
    let mut found = Vec::new();
    for &id in &world.dismantled {
        let task = world.task(id);
        let mut add = |of, wants, because: String| {
            found.push(Demand { of, ..ask(RULE, task, id, wants, because) });
        };
        let only = "only what is together can be taken apart".to_owned();
        add(Deed::Apart(id), Wants::Has(Fact::Together(id)), only);
        add(Deed::Again(id), Wants::Comes(Deed::Apart(id)), "it has to come apart first".into());
        for (other, on) in world.fitting.all() {
            if on.how().is_some() && on.within.contains(&id) {
                let because = format!("`{}` was done with it together and holds it", on.name);
                add(Deed::Apart(id), Wants::Not(Fact::Together(other)), because);
            }
        }
    }
    found
}
