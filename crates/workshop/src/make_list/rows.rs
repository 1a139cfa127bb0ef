//! The make list in words: each row with its reasons, and what goes with the list.

use super::besides::{alike, designed_sheets, others, own_aids, serves, told};
use super::deeds::{Deed, Fact, World};
use super::rules::{Demand, Wants};
use super::shrunk;
use super::stages::Stage;
use super::traps;
use crate::assembly::{Kind, SetBy, Task, TaskId};
use crate::drawing::{Drawing, Source};
use crate::problem::Problem;
use crate::sheet::{MakeKind, MakeList, MakeRow, Ready, ReadyState, Tie, Trap};
use crate::why::{Why, capital, quoted};

/// The whole list.
pub(super) fn list(world: &World, stages: &[Stage]) -> MakeList {
    let order: Vec<(&Stage, Deed)> =
        stages.iter().flat_map(|stage| stage.order().map(move |deed| (stage, deed))).collect();
    let rows: Vec<MakeRow> =
        order.iter().enumerate().map(|(n, &(stage, deed))| row(world, stage, deed, n + 1)).collect();
    let left = world.parts.iter().flat_map(|made| {
        made.drawing.left.iter().map(|left| format!("{}: {}", made.drawing.name, left.words(made.drawing)))
    });
    let (aids, unsized_aids) = designed_sheets(world);
    MakeList {
        aids,
        proposed: world.fitting.proposed.iter().map(|words| quoted(words)).collect(),
        minutes: rows.iter().map(|row| row.minutes).sum(),
        ready: ready(world),
        traps: stages.iter().flat_map(|stage| traps::traps(world, stage)).map(quoted_trap).collect(),
        left: left.collect(),
        assumed: assumed(world).iter().map(|words| quoted(words)).collect(),
        cautions: cautions(world),
        proofs: proofs(world, stages),
        unplanned: unplanned(world)
            .into_iter()
            .chain(unsized_aids)
            .chain(world.fitting.unlaid.clone())
            .collect(),
        ties: ties(world, &order),
        told: told(world),
        rows,
    }
}

/// Which rows have to stand before which.
fn ties(world: &World, order: &[(&Stage, Deed)]) -> Vec<Tie> {
    let place = |wanted: Deed| order.iter().position(|&(_, deed)| deed == wanted);
    let mut ties: Vec<Tie> = Vec::new();
    for demand in &world.demands {
        let Some(then) = place(demand.of) else { continue };
        let firsts: Vec<usize> = match demand.wants {
            Wants::Comes(first) => place(first).into_iter().collect(),
            // The last deed before it that brought the fact about.
            Wants::Has(fact) => {
                let makes = |&n: &usize| world.makes(order[n].1).contains(&fact);
                (0..then).rev().find(makes).into_iter().collect()
            }
            // What brings it about waits for it.
            Wants::Not(fact) => {
                let late = (then + 1..order.len()).find(|&n| world.makes(order[n].1).contains(&fact));
                ties.extend(late.map(|late| tie(then, late, demand)));
                Vec::new()
            }
        };
        ties.extend(firsts.into_iter().map(|first| tie(first, then, demand)));
    }
    ties
}

fn tie(first: usize, then: usize, demand: &Demand) -> Tie {
    let why = Why::new(quoted(&demand.because)).source(source(demand));
    Tie { first: first + 1, then: then + 1, why }
}

/// The rule of a demand, and where its statement stands.
fn source(demand: &Demand) -> String {
    match &demand.said {
        Some(said) => format!("{}: {} ({said})", demand.source, demand.rule),
        None => format!("{}: {}", demand.source, demand.rule),
    }
}

fn row(world: &World, stage: &Stage, deed: Deed, number: usize) -> MakeRow {
    let (place, _, minutes) = world.work(deed);
    let (kind, what, with) = match deed {
        Deed::Begin(part, n) => {
            let drawing = world.parts[part].drawing;
            let last = world.stretches(part)[n].end;
            let with = match own_aids(world, part) {
                aids if aids.is_empty() => format!("setups up to {last}"),
                aids => join_words(&format!("setups up to {last}"), &aids),
            };
            (MakeKind::Part, format!("{}{}", capital(&world.name(deed)), off(drawing)), with)
        }
        Deed::Joint(n) => (MakeKind::Work, capital(&world.name(deed)), world.laid_together(n)),
        Deed::Part(part) if !world.joints_of(part).is_empty() => {
            let drawing = world.parts[part].drawing;
            let rest = world.stretches(part).pop().unwrap_or_default();
            let with = match rest.is_empty() {
                true => "parted and cleaned: nothing more is cut".to_owned(),
                false => format!("from setup {} on", rest.start + 1),
            };
            (MakeKind::Part, format!("{}{}", capital(&world.name(deed)), off(drawing)), with)
        }
        Deed::Part(part) => {
            let drawing = world.parts[part].drawing;
            (MakeKind::Part, format!("{}{}", drawing.name, off(drawing)), own_aids(world, part))
        }
        Deed::Aid(n) => {
            let aid = &world.aids[n];
            (MakeKind::Aid, capital(&aid.title()), serves(world, n))
        }
        Deed::Apart(id) => (MakeKind::Apart, capital(&world.name(deed)), members(world, world.task(id))),
        Deed::Again(id) => (MakeKind::Join, capital(&world.name(deed)), members(world, world.task(id))),
        Deed::Task(id) => task_row(world, id),
    };
    let part = match deed {
        Deed::Part(part) | Deed::Begin(part, _) => Some(world.parts[part].drawing.file.clone()),
        Deed::Joint(n) => Some(world.parts[world.joined[n].parts[0].0].drawing.file.clone()),
        _ => None,
    };
    let file = match deed {
        Deed::Aid(n) => world.aids[n].sheet.own.file.clone(),
        Deed::Task(id) => world
            .sheets
            .get(&id)
            .and_then(|sheet| sheet.as_ref().ok())
            .and_then(|sheet| sheet.own.file.clone()),
        _ => None,
    };
    MakeRow {
        number,
        kind,
        call: world.name(deed),
        what,
        with,
        place: place.word().into(),
        minutes,
        why: why(world, stage, deed).quoted(),
        part,
        file,
    }
}

fn task_row(world: &World, id: TaskId) -> (MakeKind, String, String) {
    let task = world.task(id);
    let name = capital(&world.name(Deed::Task(id)));
    match &task.kind {
        Kind::Join { .. } => {
            let heat = shrunk::heat(world, task).map(|heat| heat.words());
            let words = together(world, task);
            (MakeKind::Join, name, heat.into_iter().fold(words, |words, heat| join_words(&words, &heat)))
        }
        Kind::Work(_) => (MakeKind::Work, name, together(world, task)),
        Kind::Heat(_) => (MakeKind::Heat, name, together(world, task)),
        Kind::Aid { what, .. } => {
            let users: Vec<&str> = world
                .fitting
                .tasks
                .iter()
                .filter(
                    |user| matches!(user.set_by, Some(SetBy::Aid(aid)) if aid == id || alike(world, id, aid)),
                )
                .map(|user| user.name.as_str())
                .collect();
            let mut with = what.clone().unwrap_or_default();
            if !users.is_empty() {
                with = join_words(&with, &format!("for {}", users.join(", ")));
            }
            for other in others(world, id) {
                with = join_words(&with, &format!("also used as the {other}"));
            }
            if let Some(Ok(_)) = world.sheets.get(&id) {
                with = join_words(&with, "by its sheet with this list");
            }
            (MakeKind::Aid, capital(&task.name), with)
        }
    }
}

/// The members of a task, and what sets it.
fn together(world: &World, task: &Task) -> String {
    let set_by = match task.set_by {
        Some(SetBy::Aid(aid)) => Some(world.task(aid).name.clone()),
        Some(SetBy::Part(member)) => Some(world.member(&member)),
        None => None,
    };
    let words = members(world, task);
    match (set_by, &task.sets) {
        (Some(by), Some(sets)) => join_words(&words, &format!("{sets} set by {by}")),
        (Some(by), None) => join_words(&words, &format!("set by {by}")),
        (None, _) => words,
    }
}

fn members(world: &World, task: &Task) -> String {
    let names: Vec<String> = task.members.iter().map(|member| world.member(member)).collect();
    match names.as_slice() {
        [] => String::new(),
        [one] => one.clone(),
        [first @ .., last] => format!("{} and {last}", first.join(", ")),
    }
}

/// Two statements beside each other; the first may be empty.
pub(super) fn join_words(one: &str, other: &str) -> String {
    if one.is_empty() { other.to_owned() } else { format!("{one}; {other}") }
}

/// `, 2 off`.
fn off(drawing: &Drawing) -> String {
    match drawing.make as usize * drawing.hands.len().max(1) {
        1 => String::new(),
        pieces => format!(", {pieces} off"),
    }
}

/// Why a deed stands where it does: what it needs, what it must come after, what hangs on it.
fn why(world: &World, stage: &Stage, deed: Deed) -> Why {
    let mut why = Why::new(capital(&world.name(deed)));
    if let Deed::Task(id) = deed {
        let task = world.task(id);
        if let Some(because) = &task.because {
            why = why.because(Why::new(because.clone()).source(task.said.place.clone()));
        }
        if let Some(heat) = shrunk::heat(world, task) {
            why = heat.whys().into_iter().fold(why, Why::because);
        }
        if task.said.supposed {
            why = why.because(Why::assumed("it is put together because the part files say they fit"));
        }
    }
    let mut told: Vec<String> = Vec::new();
    let mut tell = |statement: String, demand: &Demand| {
        if told.contains(&statement) {
            return None;
        }
        told.push(statement.clone());
        Some(Why::new(statement).source(source(demand)))
    };
    let of = |wanted: Deed| world.demands.iter().filter(move |demand| demand.of == wanted);
    for demand in of(deed) {
        let first = match demand.wants {
            Wants::Has(fact) => match fact {
                Fact::Part(_) => continue, // plain from the list itself
                fact => format!("it waits {}", world.until(fact)),
            },
            Wants::Not(fact) => format!("it is done while {}", world.without(fact)),
            Wants::Comes(first) => format!("it comes after `{}`", world.name(first)),
        };
        if let Some(reason) = tell(format!("{first}: {}", demand.because), demand) {
            why = why.because(reason);
        }
    }
    // What hangs on it, so that an aid or a part is not thought to be in no hurry.
    for fact in world.makes(deed) {
        let waiting = world.demands.iter().filter(|demand| demand.wants == Wants::Has(fact));
        let mut names: Vec<String> = waiting.map(|demand| format!("`{}`", world.name(demand.of))).collect();
        names.dedup();
        if let [first, ..] = names.as_slice() {
            let words = match names.len() - 1 {
                0 => format!("{first} waits for it"),
                more => format!("{first} and {more} more wait for it"),
            };
            why = why.because(Why::new(words));
            break;
        }
    }
    if why.because.is_empty() {
        why = after_parts(world, deed).into_iter().fold(why, Why::because);
    }
    if why.because.is_empty() {
        let (place, kit, _) = world.work(deed);
        let proven = if stage.proven() { "no order" } else { "no order that was found" };
        why = why.because(Why::new(format!(
            "nothing ties it: it stands where {proven} carries less from place to place ({}, {kit})",
            place.word()
        )));
    }
    why
}

/// That a deed waits for parts and for nothing else.
fn after_parts(world: &World, deed: Deed) -> Option<Why> {
    let parts = world.demands.iter().filter_map(|demand| match demand.wants {
        Wants::Has(Fact::Part(part)) if demand.of == deed => Some((part, demand)),
        _ => None,
    });
    let parts: Vec<(usize, &Demand)> = parts.collect();
    let (_, first) = parts.first()?;
    let names: Vec<&str> = parts.iter().map(|(part, _)| world.parts[*part].drawing.name.as_str()).collect();
    Some(Why::new(format!("it waits for {}: {}", names.join(", "), first.because)).source(source(first)))
}

/// What must be there before anything is begun.
fn ready(world: &World) -> Vec<Ready> {
    let bought = world.parts.iter().filter(|made| made.drawing.source == Source::Bought);
    let mut ready: Vec<Ready> = bought
        .map(|made| Ready {
            what: format!("{}{}, bought in", made.drawing.name, off(made.drawing)),
            state: ReadyState::Buy,
        })
        .collect();
    ready.extend(world.fitting.pieces.iter().map(|(name, what)| {
        let what = what.as_ref().map_or(name.clone(), |what| format!("{name}: {what}"));
        Ready { what, state: ReadyState::Owned }
    }));
    for task in world.fitting.tasks.iter().filter(|task| task.kind.is_owned_aid()) {
        let what = match &task.kind {
            Kind::Aid { what: Some(what), .. } if task.design.is_some() => format!("{}, {what}", task.name),
            _ => task.name.clone(),
        };
        ready.push(Ready { what, state: ReadyState::Owned });
    }
    for aid in world.aids.iter().filter(|aid| aid.kept) {
        let what = format!("{}, in the drawer as “{}”", aid.title(), aid.sheet.own.kept_as);
        ready.push(Ready { what, state: ReadyState::Owned });
    }
    ready
}

fn assumed(world: &World) -> Vec<String> {
    let mut assumed = world.fitting.assumed.clone();
    for task in &world.fitting.tasks {
        let Kind::Join { how, .. } = task.kind else { continue };
        if task.said.supposed {
            assumed.push(format!(
                "{} are {} ({}): nothing more is said of how they go together",
                members(world, task),
                how.word,
                task.said.place
            ));
        } else if !task.kind.comes_apart() && task.set_by.is_none() {
            assumed.push(format!(
                "`{}` needs nothing to set it: nobody said what does ({})",
                task.name, task.said.place
            ));
        }
    }
    if !world.fitting.tasks.is_empty() || world.parts.len() > 1 {
        assumed.push("minutes are estimates from memory, and the same for parts of every size".into());
    }
    assumed
}

fn cautions(world: &World) -> Vec<String> {
    let mut cautions: Vec<String> = Vec::new();
    for task in &world.fitting.tasks {
        let Some(how) = task.how() else { continue };
        if !how.caution.is_empty() && !cautions.iter().any(|c| c == how.caution) {
            cautions.push(how.caution.into());
        }
    }
    let solders = |word: &str| {
        world.fitting.tasks.iter().filter(|task| task.how().is_some_and(|how| how.word == word)).count()
    };
    if solders("silver soldered") > 1 {
        cautions.push(
            "Make joints of one part in one heat, or each with a solder that melts lower than the one before.".into(),
        );
    }
    cautions
}

fn proofs(world: &World, stages: &[Stage]) -> Vec<String> {
    const FEWEST: &str = "has fewer changes of place; of those with as few, none has fewer changes of what is set up \
                          there, then minutes. A separate check went through every step.";
    let proven = stages.iter().filter(|stage| stage.proven()).count();
    let mut proofs = match (stages, proven) {
        ([], _) => return vec!["There is nothing to make and nothing to fit.".into()],
        ([_], 1) => vec![format!("No order of the whole project that keeps these rules {FEWEST}")],
        ([_], _) => vec![
            "The search stopped at its limit: this order of the whole project keeps every rule, but a better one may \
             exist. A separate check went through every step."
                .into(),
        ],
        (stages, proven) => vec![format!(
            "The project was planned in {} stages, one after another; of {proven} of them it is proven that, taken \
             alone, no order {FEWEST} That no order across the stages is better is not proven.",
            stages.len()
        )],
    };
    let spared: usize = world.aids.iter().map(|aid| aid.users.len() - 1).sum();
    if spared > 0 {
        proofs.push(format!(
            "{} aids serve where the parts' own sheets ask for {}: an aid is taken for another where all that must be \
             the same is the same, and its stub is no longer and at least half as long.",
            world.aids.len(),
            world.aids.len() + spared
        ));
    }
    proofs
}

/// Parts that have no order of their own yet.
fn unplanned(world: &World) -> Vec<Problem> {
    let missing = world.parts.iter().enumerate();
    missing
        .filter(|(part, made)| world.is_made(*part) && made.plan.is_none())
        .map(|(_, made)| {
            let problem = Problem::new(format!("{} has no order of work of its own yet", made.drawing.name))
                .at(made.drawing.file.clone())
                .mend("mend what is wrong with it; until then the list takes it as one step without aids");
            match made.fault {
                Some(fault) => problem.why(fault.what()),
                None => problem,
            }
        })
        .collect()
}

fn quoted_trap(trap: Trap) -> Trap {
    Trap { early: quoted(&trap.early), lost: quoted(&trap.lost) }
}
