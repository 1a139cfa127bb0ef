//! Aids of the project that have sizes of their own: plugs and bushes made to its parts.

use super::deeds::World;
use crate::aids::drill_bush::Bush;
use crate::aids::setting_plug::{Against, Plug};
use crate::aids::with_full_names;
use crate::assembly::{self, Design, Member, Task, Thing};
use crate::plan::Round;
use crate::problem::Problem;
use crate::sheet::AidSheet;

/// Their sheets in the order of the file, and why one has none.
pub(super) fn sheets(world: &World) -> (Vec<AidSheet>, Vec<Problem>) {
    let (mut sheets, mut faults): (Vec<AidSheet>, Vec<Problem>) = (Vec::new(), Vec::new());
    for task in world.fitting.tasks.iter().filter(|task| !task.kind.is_owned_aid()) {
        let Some(design) = &task.design else { continue };
        match sheet(world, task, design) {
            Ok(sheet) => sheets.push(with_full_names(sheet)),
            Err(fault) => faults.push(fault),
        }
    }
    (sheets, faults)
}

fn sheet(world: &World, task: &Task, design: &Design) -> Result<AidSheet, Problem> {
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
            Plug { name, pin: across(pin)?, against, distance: *distance, said }.sheet()
        }
        Design::Bush { seat, guides } => {
            let drill = round(world, task, guides)?.drill;
            Bush { name, seat: across(seat)?, guides: (world.member(guides), drill), said }.sheet()
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
