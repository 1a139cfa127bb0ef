//! Every order of small assemblies, tried one after another.
//!
//! The independent witness: it knows the statements of an assembly and the trade's rules as
//! they are told in the documentation, and nothing of tokens, models or the search.

use std::collections::BTreeMap;

use super::draw::Draw;
use super::{discs, fitting};
use proptest::prelude::*;
use workshop::bench::empty_bench;
use workshop::make_list::{Made, make_list};
use workshop::sheet::{MakeKind, MakeList};

const PARTS: [&str; 3] = ["Web", "Pin", "Cover"];
const FEATURES: [(usize, &str); 5] =
    [(0, "bore"), (0, "pin bore"), (1, "eye"), (1, "cross hole"), (2, "screw hole")];

/// How parts are joined here: word, minutes, place, comes apart, heat, lets go.
type Way = (&'static str, u64, &'static str, bool, Option<u32>, Option<u32>);
const WAYS: [Way; 5] = [
    ("pressed", 10, "bench", false, None, Some(400)),
    ("screwed", 5, "bench", true, None, None),
    ("silver soldered", 40, "hearth", false, Some(680), Some(630)),
    ("adhesive", 15, "bench", false, None, Some(150)),
    ("brazed", 40, "hearth", false, Some(910), Some(875)),
];

#[derive(Clone, Debug, PartialEq)]
enum Is {
    Aid { at: &'static str },
    Join { way: usize },
    Ream,
    Harden,
}

#[derive(Clone, Debug)]
struct Task {
    is: Is,
    /// Parts, each with a feature or none.
    members: Vec<(usize, Option<usize>)>,
    within: Vec<usize>,
    after: Vec<usize>,
    set_by: Option<usize>,
    closes: Option<usize>,
}

impl Task {
    fn text(&self, n: usize) -> String {
        let member = |&(part, feature): &(usize, Option<usize>)| match feature {
            Some(f) => format!("\"{}: {}\"", PARTS[part], FEATURES[f].1),
            None => format!("\"{}\"", PARTS[part]),
        };
        let members = self.members.iter().map(member).collect::<Vec<_>>().join(", ");
        let (heading, kind) = match &self.is {
            Is::Aid { at } => ("aid", format!("uses = [{members}]\nat = \"{at}\"\n")),
            Is::Join { way } => ("join", format!("parts = [{members}]\nhow = \"{}\"\n", WAYS[*way].0)),
            Is::Ream => ("work", format!("to = [{members}]\ndo = \"ream\"\n")),
            Is::Harden => ("heat", format!("parts = [{members}]\ndo = \"harden\"\n")),
        };
        let list = |key: &str, tasks: &[usize]| match tasks {
            [] => String::new(),
            tasks => {
                let names: Vec<String> = tasks.iter().map(|t| format!("\"t{t}\"")).collect();
                format!("{key} = [{}]\n", names.join(", "))
            }
        };
        let mut text = format!("[[{heading}]]\nname = \"t{n}\"\n{kind}");
        text += &list("in", &self.within);
        text += &list("after", &self.after);
        text += &self.set_by.map_or(String::new(), |aid| format!("set_by = \"t{aid}\"\n"));
        if let Some(f) = self.closes {
            text += &format!("closes = [\"{}: {}\"]\n", PARTS[FEATURES[f].0], FEATURES[f].1);
        }
        text
    }

    fn way(&self) -> Option<&'static Way> {
        match self.is {
            Is::Join { way } => Some(&WAYS[way]),
            _ => None,
        }
    }

    fn shares_a_part(&self, other: &Self) -> bool {
        self.members.iter().any(|(p, _)| other.members.iter().any(|(q, _)| p == q))
    }

    fn touches(&self, feature: usize) -> bool {
        self.members.iter().any(|(_, f)| *f == Some(feature))
    }
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Act {
    Make(usize),
    Do(usize),
    Apart(usize),
    Again(usize),
}

/// A moment, told plainly.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
struct Shop {
    made: [bool; 3],
    done: Vec<bool>,
    together: Vec<bool>,
    undone: Vec<bool>,
    stands: Option<(&'static str, &'static str)>,
}

/// Changes of place, changes of what is set up there, minutes.
type Cost = (u64, u64, u64);

impl Shop {
    fn at_start(tasks: &[Task]) -> Self {
        let none = vec![false; tasks.len()];
        Self { made: [false; 3], done: none.clone(), together: none.clone(), undone: none, stands: None }
    }

    fn finished(&self, tasks: &[Task]) -> bool {
        let all = |list: &[bool]| list.iter().all(|x| *x);
        let joined =
            tasks.iter().zip(&self.together).all(|(task, together)| task.way().is_none() || *together);
        all(&self.made) && all(&self.done) && joined
    }

    /// Whether a task may be done now; for putting together again what was said of the first
    /// time in `after` is over and done with.
    fn allows(&self, tasks: &[Task], t: usize, again: bool) -> bool {
        let task = &tasks[t];
        let whole = |list: &[usize], there: &[bool]| list.iter().all(|&i| there[i]);
        let others = || tasks.iter().enumerate().filter(|(k, _)| *k != t);
        let joined = || others().filter(|(k, other)| other.way().is_some() && self.together[*k]);
        let hardens = |other: &Task| other.is == Is::Harden && other.shares_a_part(task);
        task.members.iter().all(|(part, _)| self.made[*part])
            && task.set_by.is_none_or(|aid| self.done[aid])
            && whole(&task.within, &self.together)
            && (again || whole(&task.after, &self.done))
            // Closed off.
            && joined().all(|(_, other)| other.closes.is_none_or(|f| !task.touches(f)))
            // To be reamed in assembly before anything else takes hold of it.
            && others().filter(|(_, w)| w.is == Is::Ream).all(|(w, ream)| {
                let (_, feature) = ream.members[0];
                let before = takes_hold_before(tasks, w).contains(&t);
                before || !task.touches(feature.expect("a work names a feature")) || self.done[w]
            })
            // Heat, and what it undoes.
            && (task.is != Is::Harden
                || joined().all(|(_, other)| {
                    !other.shares_a_part(task) || other.way().is_some_and(|way| way.5 > Some(780))
                }))
            && task.way().and_then(|way| way.4).is_none_or(|heat| {
                joined().all(|(_, other)| {
                    !other.shares_a_part(task)
                        || other.is == task.is
                        || other.way().is_some_and(|way| way.5.is_none_or(|limit| limit >= heat))
                }) && others().all(|(k, other)| !hardens(other) || !self.done[k])
            })
            && (task.is != Is::Ream || others().all(|(k, other)| !hardens(other) || !self.done[k]))
    }

    fn does(&self, tasks: &[Task], act: Act) -> Option<(Self, Cost)> {
        let mut next = self.clone();
        let (place, kit, minutes) = match act {
            Act::Make(part) => {
                if std::mem::replace(&mut next.made[part], true) {
                    return None;
                }
                ("bench", "brass", 0)
            }
            Act::Do(t) => {
                if self.done[t] || !self.allows(tasks, t, false) {
                    return None;
                }
                next.done[t] = true;
                next.together[t] = tasks[t].way().is_some();
                match &tasks[t].is {
                    Is::Aid { at } => (*at, "aids", 30),
                    Is::Join { way } => (WAYS[*way].2, WAYS[*way].0, WAYS[*way].1),
                    Is::Ream => ("drilling machine", "ream", 10),
                    Is::Harden => ("hearth", "harden", 30),
                }
            }
            Act::Apart(t) => {
                let held = tasks.iter().zip(&self.together).any(|(k, on)| *on && k.within.contains(&t));
                let comes = tasks[t].way().is_some_and(|way| way.3);
                if !comes || !hung_on(tasks, t) || !self.together[t] || self.undone[t] || held {
                    return None;
                }
                (next.together[t], next.undone[t]) = (false, true);
                ("bench", "taking apart", 5)
            }
            Act::Again(t) => {
                if !self.undone[t] || self.together[t] || !self.allows(tasks, t, true) {
                    return None;
                }
                next.together[t] = true;
                ("bench", "putting together", 5)
            }
        };
        next.stands = Some((place, kit));
        let moved = u64::from(self.stands.is_none_or(|(at, _)| at != place));
        let changed = u64::from(self.stands.is_some_and(|(_, with)| with != kit));
        Some((next, (moved, changed, minutes)))
    }
}

/// Whether anything hangs on a join, or on one that it is done in: nobody puts together early, to
/// take it apart again, what nothing needs together yet.
fn hung_on(tasks: &[Task], t: usize) -> bool {
    let named = |k: &Task| k.within.contains(&t) || k.after.contains(&t);
    tasks.iter().any(named) || tasks[t].within.iter().any(|&under| hung_on(tasks, under))
}

/// The joins a work is done in, theirs too, and the aids they are set by.
fn takes_hold_before(tasks: &[Task], t: usize) -> Vec<usize> {
    let mut found = vec![t];
    let mut at = 0;
    while at < found.len() {
        let task = &tasks[found[at]];
        let more: Vec<usize> = task.within.iter().copied().chain(task.set_by).collect();
        found.extend(more.into_iter().filter(|m| !found.contains(m)).collect::<Vec<_>>());
        at += 1;
    }
    found
}

fn acts(tasks: &[Task]) -> Vec<Act> {
    let of = |act: fn(usize) -> Act| (0..tasks.len()).map(act);
    (0..3).map(Act::Make).chain(of(Act::Do)).chain(of(Act::Apart)).chain(of(Act::Again)).collect()
}

fn plus(a: Cost, b: Cost) -> Cost {
    (a.0 + b.0, a.1 + b.1, a.2 + b.2)
}

/// The least cost of all orders, or `None` when there is none. Every order is walked; where two
/// have come to the same moment the dearer goes no further.
fn cheapest(tasks: &[Task]) -> Option<Cost> {
    let acts = acts(tasks);
    let mut least: BTreeMap<Shop, Cost> = BTreeMap::from([(Shop::at_start(tasks), (0, 0, 0))]);
    let mut found: Option<Cost> = None;
    // Each act goes forward, so moments with as many acts behind them make one layer.
    while !least.is_empty() {
        let mut next: BTreeMap<Shop, Cost> = BTreeMap::new();
        for (shop, spent) in &least {
            if shop.finished(tasks) && found.is_none_or(|best| *spent < best) {
                found = Some(*spent);
            }
            for &act in &acts {
                let Some((after, cost)) = shop.does(tasks, act) else { continue };
                let cost = plus(*spent, cost);
                let known = next.entry(after).or_insert(cost);
                *known = cost.min(*known);
            }
        }
        least = next;
    }
    found
}

/// What the list costs when it is replayed, or the row that may not be done.
fn replayed(tasks: &[Task], list: &MakeList) -> Result<Cost, String> {
    let (mut shop, mut spent) = (Shop::at_start(tasks), (0, 0, 0));
    for row in &list.rows {
        let task = || {
            let name = row.what.rsplit(' ').next().unwrap().to_lowercase();
            name.trim_start_matches('t').parse::<usize>().unwrap()
        };
        let act = match row.kind {
            MakeKind::Part => {
                Act::Make(PARTS.iter().position(|part| row.what.starts_with(part)).expect("a part"))
            }
            MakeKind::Apart => Act::Apart(task()),
            MakeKind::Join if row.what.starts_with("Put together again") => Act::Again(task()),
            MakeKind::Aid | MakeKind::Join | MakeKind::Work | MakeKind::Heat => Act::Do(task()),
        };
        let (after, cost) = shop.does(tasks, act).ok_or_else(|| format!("{row:?} may not be done"))?;
        (shop, spent) = (after, plus(spent, cost));
    }
    if shop.finished(tasks) { Ok(spent) } else { Err("something is left undone".into()) }
}

fn any_tasks(draw: &mut Draw<'_>, most: usize) -> Vec<Task> {
    let mut tasks: Vec<Task> = Vec::new();
    let plain =
        |is, members| Task { is, members, within: Vec::new(), after: Vec::new(), set_by: None, closes: None };
    for _ in 0..draw.below(3) {
        let at = ["lathe", "mill"][draw.below(2)];
        let feature = draw.below(5);
        let uses = if draw.one_in(2) { vec![(FEATURES[feature].0, Some(feature))] } else { vec![] };
        tasks.push(plain(Is::Aid { at }, uses));
    }
    let aids = tasks.len();
    for _ in 0..1 + draw.below(3) {
        let one = draw.below(3);
        let other = (one + 1 + draw.below(2)) % 3;
        let mut member = |part: usize| {
            let own: Vec<usize> = (0..5).filter(|&f| FEATURES[f].0 == part).collect();
            (part, draw.one_in(2).then(|| own[draw.below(own.len())]))
        };
        let members = vec![member(one), member(other)];
        let mut task = plain(Is::Join { way: draw.below(5) }, members);
        if aids > 0 && draw.one_in(2) {
            task.set_by = Some(draw.below(aids));
        }
        if draw.one_in(2) {
            task.closes = Some(draw.below(5));
        }
        if tasks.len() > aids && draw.one_in(3) {
            task.within.push(aids + draw.below(tasks.len() - aids));
        }
        tasks.push(task);
    }
    let joins = tasks.len() - aids;
    if draw.one_in(2) {
        let feature = draw.below(5);
        let mut task = plain(Is::Ream, vec![(FEATURES[feature].0, Some(feature))]);
        if draw.one_in(2) {
            task.within.push(aids + draw.below(joins));
        }
        tasks.push(task);
    }
    if draw.one_in(2) {
        tasks.push(plain(Is::Harden, vec![(draw.below(3), None)]));
    }
    tasks.truncate(most);
    let count = tasks.len();
    for (t, task) in tasks.iter_mut().enumerate() {
        if draw.one_in(4) {
            let first = draw.below(count);
            if first != t {
                task.after.push(first);
            }
        }
    }
    tasks
}

fn agrees(tasks: &[Task]) -> Result<(), TestCaseError> {
    let parts = discs();
    let text: String = tasks.iter().enumerate().map(|(n, task)| task.text(n)).collect();
    let said = if text.is_empty() { "# nothing is said\n".to_owned() } else { text.clone() };
    let fitting = fitting(&said, &parts).map_err(|f| TestCaseError::fail(format!("{text}\n{f:#?}")))?;
    let made: Vec<Made> = parts.iter().map(|drawing| Made { drawing, plan: None, fault: None }).collect();
    match (make_list(&made, &fitting, &empty_bench()), cheapest(tasks)) {
        (Ok(list), Some(least)) => {
            let spent =
                replayed(tasks, &list).map_err(|why| TestCaseError::fail(format!("{text}\n{why}")))?;
            prop_assert_eq!(spent, least, "{}", text);
            prop_assert!(list.proofs[0].starts_with("No order of the whole project"), "{:?}", list.proofs);
        }
        (Err(faults), None) => {
            // What is told to clash does so by itself, all other tasks left out.
            let told = faults[0].to_string();
            let cited = |n: usize| {
                let line = text.lines().position(|line| line == format!("name = \"t{n}\"")).unwrap() + 1;
                [")", " and", ";"].iter().any(|end| told.contains(&format!("line {line}{end}")))
            };
            let kept: Vec<usize> = (0..tasks.len()).filter(|&n| cited(n)).collect();
            prop_assert!(!kept.is_empty(), "{}", told);
            let only = |list: &[usize]| -> Vec<usize> {
                list.iter().filter_map(|t| kept.iter().position(|k| k == t)).collect()
            };
            let alone: Vec<Task> = kept
                .iter()
                .map(|&n| Task {
                    within: only(&tasks[n].within),
                    after: only(&tasks[n].after),
                    set_by: tasks[n].set_by.and_then(|aid| kept.iter().position(|k| *k == aid)),
                    ..tasks[n].clone()
                })
                .collect();
            prop_assert_eq!(cheapest(&alone), None, "{}\n{}", text, told);
        }
        (list, least) => prop_assert!(false, "{text}\n{list:#?}\nagainst {least:?}"),
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 250, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn no_order_of_a_small_assembly_is_better(bytes in prop::collection::vec(any::<u8>(), 80)) {
        agrees(&any_tasks(&mut Draw(bytes.iter()), 6))?;
    }
}
