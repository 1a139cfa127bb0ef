//! One size taken otherwise, and everything else chosen afresh around it: what moves
//! with it, in this part and in those that hang on it, and what it costs.

use std::collections::BTreeSet;

use super::choice::MetricPart;
use super::memory::Memory;
use super::together::{Piece, together};
use crate::bench::Bench;
use crate::document::{meant, nearest_word};
use crate::drawing::Drawing;
use crate::problem::{Outcome, Problem};
use crate::tables::{read_size, threads};

/// What follows when one size is taken otherwise.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Follows {
    /// The size that was asked for, and what it is then.
    pub wanted: Moved,
    /// What else becomes another size, part by part in the order of the drawings.
    pub moves: Vec<Moved>,
    /// What has to be bought that was not before.
    pub buys: Vec<String>,
    /// What need not be bought any more.
    pub saves: Vec<String>,
    /// How far all parts together are then from what they were: proven, or not.
    pub proven: Vec<String>,
    /// Parts that could not be made before either, and are left out.
    pub left_out: Vec<String>,
}

/// A size that is another than it was.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Moved {
    /// The part.
    pub part: String,
    /// The dimension or thread.
    pub name: String,
    /// What it was chosen to be.
    pub from: String,
    /// What it becomes.
    pub to: String,
    /// What it is then made with.
    pub with: String,
}

/// Chooses everything afresh with one size or thread of a piece taken as `size` says: a
/// length as on a drawing, or the name of a thread.
///
/// # Errors
///
/// A name or size that is not known, or why the size cannot be had, with the ways out.
pub fn instead(
    pieces: &[Piece],
    which: usize,
    name: &str,
    size: &str,
    bench: &Bench,
    memory: &mut Memory,
) -> Outcome<Follows> {
    let mut drawing = pieces[which].drawing.clone();
    pinned(&mut drawing, name, size).map_err(|fault| vec![fault.at(drawing.file.clone())])?;
    let mut pieces = pieces.to_vec();
    let before: Vec<Outcome<MetricPart>> = together(&pieces, bench, memory);
    let drawn = pieces[which].drawing;
    pieces[which].drawing = &drawing;
    let after = together(&pieces, bench, memory);
    let mut follows = Follows {
        wanted: Moved {
            part: drawn.name.clone(),
            name: name.to_owned(),
            from: String::new(),
            to: String::new(),
            with: String::new(),
        },
        moves: Vec::new(),
        buys: Vec::new(),
        saves: Vec::new(),
        proven: Vec::new(),
        left_out: Vec::new(),
    };
    let (mut had, mut has) = (BTreeSet::new(), BTreeSet::new());
    let mut faults = Vec::new();
    for (at, (before, after)) in before.into_iter().zip(after).enumerate() {
        let after = match (before.is_ok() || at == which, after) {
            (_, Ok(after)) => after,
            // What could not be made before either is no fault of this size.
            (false, Err(faults)) => {
                let what = faults.first().map_or("", Problem::what);
                follows.left_out.push(format!("{}: {what}", pieces[at].drawing.name));
                continue;
            }
            (true, Err(more)) => {
                faults.extend(more);
                continue;
            }
        };
        has.extend(after.purchases.iter().map(|buy| buy.what.clone()));
        if let Ok(before) = &before {
            had.extend(before.purchases.iter().map(|buy| buy.what.clone()));
        }
        let mine = at == which;
        for moved in moved(pieces[at].drawing, before.as_ref().ok(), &after, mine.then_some(name)) {
            if mine && moved.name == name { follows.wanted = moved } else { follows.moves.push(moved) }
        }
        if !follows.proven.contains(&after.proven) {
            follows.proven.push(after.proven);
        }
    }
    if !faults.is_empty() {
        return Err(faults);
    }
    follows.buys = has.difference(&had).cloned().collect();
    follows.saves = had.difference(&has).cloned().collect();
    Ok(follows)
}

/// What is cut cannot be taken otherwise.
fn already(name: &str, made: &str, wanted: &str) -> Problem {
    Problem::new(format!("`{name}` cannot be {wanted}: it is already made {made}"))
        .why("the part file says `made`, and what is cut stays as it is")
        .mend("ask for another size of the part, or take `made` out where it is not cut yet")
}

/// Takes a size or a thread as said.
fn pinned(drawing: &mut Drawing, name: &str, size: &str) -> Result<(), Problem> {
    let unit = drawing.unit;
    drawing.tried = drawing.size_named(name);
    if let Some(dimension) = drawing.dimensions.iter_mut().find(|dimension| dimension.name == name) {
        let place = |fault: Problem| fault.at(format!("`{name}`"));
        let wanted = read_size(size, unit).map_err(place)?.length;
        if let Some(made) = dimension.made.filter(|&made| made != wanted) {
            return Err(already(name, &made.to_string(), &wanted.to_string()));
        }
        dimension.pin = Some(wanted);
        return Ok(());
    }
    if let Some(call) = drawing.threads.iter_mut().find(|call| call.name == name) {
        let wanted = threads::find(size).map_err(|fault| fault.at(format!("`{name}`")))?;
        if let Some(made) = call.made.filter(|&made| made != wanted) {
            return Err(already(name, &made.designation, &wanted.designation));
        }
        call.thread.winds_as(wanted).map_err(|fault| fault.at(format!("`{name}`")))?;
        call.pin = Some(wanted);
        return Ok(());
    }
    let names = drawing.dimensions.iter().map(|dimension| dimension.name.as_str());
    let names = names.chain(drawing.threads.iter().map(|call| call.name.as_str()));
    Err(Problem::new(format!("`{name}` is no dimension of {}", drawing.name)).mend(meant(
        nearest_word(name, names),
        "name it as `oddleg metric` lists it, such as `rod bore: diameter`",
    )))
}

/// The sizes and threads that differ, and the one of a name even where it does not.
fn moved(
    drawing: &Drawing,
    before: Option<&MetricPart>,
    after: &MetricPart,
    always: Option<&str>,
) -> Vec<Moved> {
    let told = |name: &String, from: Option<String>, to: String, with: String| {
        let differs = from.as_ref() != Some(&to);
        (differs || always == Some(name)).then(|| Moved {
            part: drawing.name.clone(),
            name: name.clone(),
            from: from.unwrap_or_else(|| "nothing".into()),
            to,
            with,
        })
    };
    let mut found = Vec::new();
    for (at, choice) in after.dimensions.iter().enumerate() {
        let from = before.map(|part| format!("{} mm", part.dimensions[at].chosen.shown(3)));
        let to = format!("{} mm", choice.chosen.shown(3));
        found.extend(told(&drawing.dimensions[at].name, from, to, super::way::made_words(&choice.made)));
    }
    for (at, choice) in after.threads.iter().enumerate() {
        let from = before.map(|part| part.threads[at].chosen.designation.clone());
        let with = choice.tapping_drill.as_ref().map(super::way::drill_name).unwrap_or_default();
        found.extend(told(&drawing.threads[at].name, from, choice.chosen.designation.clone(), with));
    }
    found
}

impl std::fmt::Display for Follows {
    /// `can be had with reamer 4.5 mm H7 after drill 4.4 mm, if ...` in one sentence.
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let Moved { name, to, with, .. } = &self.wanted;
        write!(f, "`{name}` can be {to}, with {with}")?;
        let mut needs: Vec<String> = self
            .moves
            .iter()
            .map(|moved| match moved.part == self.wanted.part {
                true => format!("`{}` becomes {}", moved.name, moved.to),
                false => format!("`{}` of {} becomes {}", moved.name, moved.part, moved.to),
            })
            .collect();
        if !self.buys.is_empty() {
            needs.push(format!("{} is bought", self.buys.join(", ")));
        }
        match needs.is_empty() {
            true => write!(f, "; nothing else moves")?,
            false => write!(f, ", if {}", needs.join(" and "))?,
        }
        if !self.saves.is_empty() {
            write!(f, "; {} need not be bought then", self.saves.join(", "))?;
        }
        Ok(())
    }
}
