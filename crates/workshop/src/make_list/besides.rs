//! What is said of aids that serve more than one thing: on the list, and on their sheets.

use super::deeds::World;
use super::rows::join_words;
use super::shared::{User, uncapital};
use crate::assembly::TaskId;
use crate::problem::Problem;
use crate::sheet::AidSheet;

/// Whether one aid does for another.
pub(super) fn alike(world: &World, lead: TaskId, other: TaskId) -> bool {
    world.alike.get(&other) == Some(&lead)
}

/// The aids of the project for which one does too.
pub(super) fn others<'w>(world: &'w World, lead: TaskId) -> impl Iterator<Item = &'w str> {
    let of = world.alike.iter().filter(move |(_, own)| **own == lead);
    of.map(|(other, _)| world.task(*other).name.as_str())
}

/// The sheets of the project's own aids, each once, and why one has none.
pub(super) fn designed_sheets(world: &World) -> (Vec<AidSheet>, Vec<Problem>) {
    let (mut sheets, mut faults) = (Vec::new(), Vec::new());
    for (id, sheet) in &world.sheets {
        let made = !world.alike.contains_key(id) && !world.task(*id).kind.is_owned_aid();
        match sheet {
            Ok(sheet) if made => {
                let mut sheet = sheet.clone();
                sheet.own.besides =
                    others(world, *id).map(|other| format!("Also used as the {other}.")).collect();
                sheets.push(sheet);
            }
            Ok(_) => {}
            Err(fault) => faults.push(fault.clone()),
        }
    }
    (sheets, faults)
}

/// What the parts' own sheets of aids are told by the project: by the part's file and the aid's
/// name on its sheet.
pub(super) fn told(world: &World) -> Vec<(String, String, String)> {
    let mut told = Vec::new();
    let part = |user: &User| world.parts[user.part].drawing;
    for aid in &world.aids {
        let lead = &aid.users[0];
        let mut tell = |user: &User, words: String| {
            told.push((part(user).file.clone(), user.own_name.clone(), words));
        };
        for user in &aid.users[1..] {
            let (own, other) = (uncapital(&user.own_name), uncapital(&lead.own_name));
            tell(lead, format!("Also used as the {own} of {}.", part(user).name));
            tell(user, format!("Not made again: the {other} of {} does for it.", part(lead).name));
        }
        if aid.kept {
            for user in &aid.users {
                tell(
                    user,
                    format!("In the drawer already, as the bench file says: {}.", aid.sheet.own.kept_as),
                );
            }
        }
        if aid.count > aid.sheet.own.count {
            tell(lead, format!("Make {} of them.", aid.count));
        }
    }
    told
}

/// By which sheet an aid is made, and what else it is used for.
pub(super) fn serves(world: &World, n: usize) -> String {
    let aid = &world.aids[n];
    let lead = &aid.users[0];
    let name = |part: usize| world.parts[part].drawing.name.as_str();
    let mut words = format!("by its sheet with {}", name(lead.part));
    let mut told: Vec<String> = Vec::new();
    for user in &aid.users[1..] {
        let own = uncapital(&user.own_name);
        let used = if user.part == lead.part {
            format!("also used as the {own}")
        } else if own == uncapital(&lead.own_name) {
            format!("also used for {}", name(user.part))
        } else {
            format!("also used as the {own} of {}", name(user.part))
        };
        if !told.contains(&used) {
            told.push(used);
        }
    }
    for used in told {
        words = join_words(&words, &used);
    }
    words
}

/// The aids a part is made with, and by which sheet each of them is made.
pub(super) fn own_aids(world: &World, part: usize) -> String {
    let mut words = Vec::new();
    for aid in &world.aids {
        for user in aid.users.iter().filter(|user| user.part == part) {
            let lead = &aid.users[0];
            let own = uncapital(&user.own_name);
            if aid.kept {
                words.push(format!("{own}, from the drawer"));
            } else if lead == user {
                words.push(own);
            } else {
                words.push(format!("{own}: the {} does for it", aid.name));
            }
        }
    }
    if words.is_empty() { String::new() } else { format!("with the {}", words.join(", the ")) }
}
