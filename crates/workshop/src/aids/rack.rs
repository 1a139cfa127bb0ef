//! What an aid is made from and screwed with: the rack and the taps.

use crate::bench::{Bench, Section};
use crate::measure::{Length, Toward};
use crate::metric::Owned;
use crate::settings::show::{mm, practice};
use crate::settings::tapping::{self, Depth};
use crate::tables::threads::{Percent, Thread};
use crate::tables::{drills, materials};
use crate::why::Why;

/// Steels for things that carry work, most willing first.
const STEELS: [&str; 3] = ["free-cutting mild steel", "mild steel", "silver steel"];

/// Metals for a plate, most willing first.
const PLATES: [&str; 4] = ["mild steel", "free-cutting mild steel", "aluminium alloy", "gauge plate"];

/// A piece of stock for an aid.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Piece {
    /// As the materials table names it.
    pub material: String,
    /// Across a round bar; the thickness of a flat.
    pub size: Length,
    /// In the rack, or to buy.
    pub owned: Owned,
    /// The least that would serve.
    pub least: Length,
}

impl Piece {
    /// Why this piece.
    pub(super) fn why(&self, of: &str) -> Why {
        match self.owned {
            Owned::Owned => {
                practice(format!("the smallest {of} in the rack that is {} or more", mm(self.least)))
            }
            Owned::Buy => practice(format!("no {of} in the rack is {} or more", mm(self.least))),
        }
    }

    /// `12 mm mild steel, from the rack`, or what to buy.
    pub(super) fn words(&self, of: &str, long: &str) -> String {
        match self.owned {
            Owned::Owned => format!("{} {} {of}, {long}, from the rack", mm(self.size), self.material),
            Owned::Buy => format!("to buy: {} {of}, {} or more, {long}", self.material, mm(self.size)),
        }
    }
}

/// The smallest round steel bar that is at least so large.
pub(super) fn round_bar(bench: &Bench, least: Length) -> Piece {
    round_of(bench, &STEELS, least)
}

/// The smallest round bar of those materials that is at least so large.
pub(super) fn round_of(bench: &Bench, materials: &[&str], least: Length) -> Piece {
    let owned = rank(bench, materials, |section| match section {
        Section::Round { diameter } if *diameter >= least => Some(*diameter),
        _ => None,
    });
    owned.unwrap_or_else(|| to_buy(materials[0], least)).with_least(least)
}

/// The steel that aids are hardened of.
pub(super) const HARD: &str = "silver steel";

/// A round bar to harden, or a soft one where only that is in the rack.
pub(super) fn hard_or_soft(bench: &Bench, least: Length) -> Piece {
    let hard = round_of(bench, &[HARD], least);
    let soft = round_of(bench, &["mild steel", "free-cutting mild steel"], least);
    if hard.owned == Owned::Buy && soft.owned == Owned::Owned { soft } else { hard }
}

/// The largest round steel bar owned that is at least so large.
pub(super) fn largest_round_bar(bench: &Bench, least: Length) -> Option<Length> {
    bench
        .stock
        .iter()
        .filter(|stock| STEELS.contains(&stock.material.as_str()))
        .filter_map(|stock| match stock.section {
            Section::Round { diameter } if diameter >= least => Some(diameter),
            _ => None,
        })
        .max()
}

/// The thinnest flat that is at least so thick and so wide.
pub(super) fn flat(bench: &Bench, thick: Length, wide: Length) -> Piece {
    let owned = rank(bench, &PLATES, |section| match section {
        Section::Flat { thickness, width } if *thickness >= thick && width.is_none_or(|w| w >= wide) => {
            Some(*thickness)
        }
        _ => None,
    });
    owned.unwrap_or_else(|| to_buy(PLATES[0], thick)).with_least(thick)
}

/// The smallest piece that serves; of one size, the most willing material.
fn rank(bench: &Bench, materials: &[&str], serves: impl Fn(&Section) -> Option<Length>) -> Option<Piece> {
    bench
        .stock
        .iter()
        .filter_map(|stock| {
            let liked = materials.iter().position(|name| *name == stock.material)?;
            Some((serves(&stock.section)?, liked, &stock.material))
        })
        .min()
        .map(|(size, _, material)| Piece {
            material: material.clone(),
            size,
            owned: Owned::Owned,
            least: size,
        })
}

/// The next whole millimetre, which merchants are likelier to have.
fn to_buy(material: &str, least: Length) -> Piece {
    let size = least.rounded(Length::mm(1), Toward::More).value;
    Piece { material: material.to_owned(), size, owned: Owned::Buy, least }
}

impl Piece {
    fn with_least(self, least: Length) -> Self {
        Self { least, ..self }
    }
}

/// The largest tap owned that passes a test; of one diameter, the coarsest.
pub(super) fn largest_tap(bench: &Bench, fits: impl Fn(&Thread) -> bool) -> Option<&'static Thread> {
    bench.taps.iter().copied().filter(|thread| fits(thread)).max_by_key(|t| (t.major, t.pitch))
}

/// How a hole is tapped: the drill, how deep it goes, how deep the thread is full.
pub(super) struct Tapped {
    /// `M4: drill 3.4 mm, 9.6 mm deep; full thread 8 mm`.
    pub shown: String,
    /// Where that comes from.
    pub why: Why,
    /// The drill alone: `3.4 mm`.
    pub drill: String,
}

/// The drill and the depths for a thread.
pub(super) fn tapped(bench: &Bench, thread: &Thread, deep: Depth, material: &str) -> Tapped {
    let metal = materials::find(material)
        .unwrap_or_else(|_| materials::find("mild steel").expect("the materials table has mild steel"));
    let middle = (metal.tapping.percent_low + metal.tapping.percent_high) / 2;
    let aim = Percent::new(i128::from(middle), thread.form().workshop_basis());
    let full = match deep {
        Depth::Through(length) | Depth::Blind(length) => length,
    };
    let aim_why = Why::new(format!("{aim} in {}", metal.name)).source(metal.tapping.source.to_string());
    match tapping::tapping(thread, aim, &bench.drills, deep, metal) {
        Ok(found) => {
            let drill = found.chosen.drill.name.clone();
            Tapped {
                shown: format!(
                    "{}: drill {drill}, {} deep; full thread {}",
                    thread.designation,
                    mm(found.drill_depth),
                    mm(full)
                ),
                why: practice(format!("the drill owned that leaves nearest to {aim}")).because(aim_why),
                drill,
            }
        }
        Err(fault) => {
            let nearest = thread
                .drill_for(aim)
                .ok()
                .and_then(|exact| drills::nearest(exact, drills::all()))
                .map_or_else(|| "tapping drill".to_owned(), |drill| drill.name.clone());
            Tapped {
                shown: format!("{}: drill {nearest} (to buy); full thread {}", thread.designation, mm(full)),
                why: practice(fault.what().to_owned()).because(aim_why),
                drill: format!("{nearest} (to buy)"),
            }
        }
    }
}
