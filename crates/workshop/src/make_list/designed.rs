//! Aids of the project that have sizes of their own: plugs, bushes and screws made to its parts.

use std::collections::BTreeMap;

use super::deeds::World;
use crate::aids::drill_bush::Bush;
use crate::aids::setting_plug::{Against, Plug};
use crate::aids::shouldered_screw::{self, Screw};
use crate::aids::with_full_names;
use crate::assembly::{self, Design, Fitting, Have, Kind, Member, Task, TaskId, Thing};
use crate::bench::Bench;
use crate::measure::Length;
use crate::plan::{Round, with_own_order};
use crate::problem::Problem;
use crate::sheet::{AidSheet, Serves};
use crate::tables::fits;
use crate::why::Why;

/// The sheet of each aid that the file says what it is made to, and why one has none.
pub(super) type Sheets = BTreeMap<TaskId, Result<AidSheet, Problem>>;

/// Their sheets.
pub(super) fn sheets(world: &World, bench: &Bench) -> Sheets {
    let wanted = world.fitting.all().filter(|(_, task)| !task.kind.is_owned_aid());
    let designed = wanted.filter_map(|(id, task)| Some((id, task, task.design.as_ref()?)));
    let sheet = |task: &Task, design: &Design| {
        let sheet = with_full_names(sheet(world, task, design, bench)?);
        Ok(with_own_order(sheet, bench))
    };
    designed.map(|(id, task, design)| (id, sheet(task, design))).collect()
}

/// The fitting with the aids that are in the drawer taken for owned.
pub(super) fn with_kept(fitting: &Fitting, sheets: &Sheets, bench: &Bench) -> Fitting {
    let mut fitting = fitting.clone();
    for (id, sheet) in sheets {
        let Ok(sheet) = sheet else { continue };
        if let Kind::Aid { have, what } = &mut fitting.tasks[id.0].kind
            && bench.keeps(&sheet.own.kept_as)
        {
            *have = Have::Owned;
            *what = Some(format!("in the drawer as “{}”", sheet.own.kept_as));
        }
    }
    fitting
}

/// The aids for which another one does: the same sizes, asked for by another name. Nothing is said
/// of when either is made.
pub(super) fn alike(fitting: &Fitting, sheets: &Sheets) -> BTreeMap<TaskId, TaskId> {
    let free = |id: &TaskId| {
        let said_of = fitting.tasks.iter().any(|task| task.after.contains(id));
        fitting.task(*id).after.is_empty() && !said_of && !fitting.task(*id).kind.is_owned_aid()
    };
    let found: Vec<(TaskId, &AidSheet)> = sheets
        .iter()
        .filter_map(|(id, sheet)| Some((*id, sheet.as_ref().ok()?)))
        .filter(|(id, _)| free(id))
        .collect();
    let mut alike: BTreeMap<TaskId, TaskId> = BTreeMap::new();
    for (n, (id, sheet)) in found.iter().enumerate() {
        let lead = found[..n].iter().find(|(lead, own)| {
            !alike.contains_key(lead) && own.own.count == sheet.own.count && same(&own.serves, &sheet.serves)
        });
        if let Some((lead, _)) = lead {
            alike.insert(*id, *lead);
        }
    }
    alike
}

/// Whether two aids are the same to the last size.
fn same(one: &Serves, other: &Serves) -> bool {
    !one.same.is_empty() && one == other
}

fn sheet(world: &World, task: &Task, design: &Design, bench: &Bench) -> Result<AidSheet, Problem> {
    let (name, said) = (capital(&task.name), task.said.place.clone());
    let across = |member: &Member| {
        let round = round(world, task, member)?;
        Ok((world.member(member), round.diameter))
    };
    match design {
        Design::Plug { pin, against, distance } => {
            let against = match against {
                assembly::Against::Flat => Against::Flat,
                assembly::Against::Round(of) => {
                    let (name, size) = across(of)?;
                    Against::Round(name, size)
                }
                assembly::Against::Middle(of) => {
                    let (name, size) = across(of)?;
                    Against::Middle(name, size)
                }
            };
            Plug { name, pin: across(pin)?, against, distance: *distance, said }.sheet(bench)
        }
        Design::Bush { seat, guides } => {
            let drill = round(world, task, guides)?.drill;
            Bush { name, seat: across(seat)?, guides: (world.member(guides), drill), said }.sheet(bench)
        }
        Design::Screw { through, into } => {
            let (hole, tapped) = (round(world, task, through)?, round(world, task, into)?);
            Screw {
                name,
                hole: (world.member(through), hole.diameter),
                limits: fits::limits(hole.class, hole.diameter)?,
                under: Length::ZERO,
                thick: hole.long,
                task: shouldered_screw::Task::Pivots { play: shouldered_screw::play() },
                into: world.member(into),
                thread: tapped.thread,
                widest: None,
                count: 1,
                why: Why::assumed(format!(
                    "{} is supposed to be {}: measure it before turning",
                    world.member(through),
                    hole.class
                )),
                said,
            }
            .sheet(bench)
        }
    }
}

/// A round feature as its part's own plan has it.
fn round(world: &World, task: &Task, member: &Member) -> Result<Round, Problem> {
    let found = match (member.thing, member.feature) {
        (Thing::Part(part), Some(feature)) => world.parts[part]
            .plan
            .and_then(|plan| plan.rounds.iter().find(|round| round.feature == feature).copied()),
        _ => None,
    };
    found.ok_or_else(|| {
        Problem::new(format!("{} has no sheet yet", capital(&task.name)))
            .at(task.said.place.clone())
            .why(format!("the metric size of {} is not known", world.member(member)))
            .mend("mend what is wrong with that part; of a bought part give the size in `what`")
    })
}

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map(|first| first.to_uppercase().chain(letters).collect()).unwrap_or_default()
}
