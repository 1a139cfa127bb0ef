//! Aids of the project that have sizes of their own: plugs, bushes and screws made to its parts.

use std::collections::BTreeMap;

use super::deeds::World;
use crate::aids::drill_bush::Bush;
use crate::aids::setting_block::{self, Block, Rest};
use crate::aids::setting_plug::{Against, Plug};
use crate::aids::shouldered_screw::{self, Screw};
use crate::aids::with_full_names;
use crate::assembly::{
    self, Amount, Design, Fitting, Have, Kind, Member, Stands, Task, TaskId, Thing, Wanted,
};
use crate::bench::Bench;
use crate::measure::{Angle, Length};
use crate::plan::{Round, with_own_order};
use crate::problem::Problem;
use crate::sheet::{AidSheet, Serves};
use crate::tables::fits;
use crate::why::{Why, capital};

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
            let wanted = said_at(task, distance);
            let within = match distance.found().map_err(&wanted)?.within.clone() {
                Some((Amount::Length(within), why)) => Some((within, why)),
                _ => None,
            };
            let why = distance.found().map_err(&wanted)?.why.clone();
            let distance = distance.length().map_err(&wanted)?;
            Plug { name, pin: across(pin)?, against, distance, why, within, said }.sheet(bench)
        }
        Design::Block(block) => self::block(world, task, block, name)?.sheet(bench),
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

/// A block with everything it is made to looked up.
fn block(world: &World, task: &Task, block: &assembly::Block, name: String) -> Result<Block, Problem> {
    let rests = block.under.iter().zip(&block.throws).map(|(member, throw)| {
        let fault = said_at(task, throw);
        Ok(Rest {
            name: world.member(member),
            across: round(world, task, member)?.diameter,
            throw: throw.length().map_err(&fault)?,
            why: throw.found().map_err(&fault)?.why.clone(),
        })
    });
    let rests = rests.collect::<Result<Vec<_>, Problem>>()?;
    let stands = match &block.stands {
        Stands::Plate(centre) => {
            let fault = said_at(task, centre);
            let why = centre.found().map_err(&fault)?.why.clone();
            setting_block::Stands::Plate(centre.length().map_err(&fault)?, why)
        }
        Stands::Square(shaft) => {
            setting_block::Stands::Square(world.member(shaft), round(world, task, shaft)?.diameter)
        }
    };
    let fault = said_at(task, &block.angle);
    let angle = block.angle.found().map_err(&fault)?;
    let within = match &block.within {
        Some(own) => {
            let fault = said_at(task, own);
            Some((own.angle().map_err(&fault)?, own.found().map_err(&fault)?.why.clone()))
        }
        None => match &angle.within {
            Some((Amount::Angle(within), why)) => Some((*within, why.clone())),
            _ => None,
        },
    };
    Ok(Block {
        name,
        rests,
        angle: block.angle.angle().map_err(&fault)?,
        angle_why: angle.why.clone(),
        stands,
        within: within.filter(|(angle, _)| *angle > Angle::default()),
        seen_from: block.seen_from.clone(),
        said: task.said.place.clone(),
    })
}

/// What is wrong with something an aid is made to, with its line.
fn said_at(task: &Task, wanted: &Wanted) -> impl Fn(Problem) -> Problem {
    let file = task.said.place.split(',').next().unwrap_or_default().to_owned();
    let own = format!("line {}, `{}`", wanted.said.line, wanted.said.key);
    move |fault: Problem| {
        let fault = if fault.place().contains(&own) { fault } else { fault.at(own.clone()) };
        fault.at(file.clone())
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
