//! The cutting list: what is sawn from what, of one part or of a whole project.

use super::Plan;
use super::blanks::section_words;
use super::sheet::{AidSheet, CuttingGroup, CuttingList, CuttingRow, SawnBlank};
use crate::bench::{Bench, RackPiece, Section, Stock};
use crate::measure::Length;
use crate::settings::cutting::bars::{Sawing, saw};
use crate::settings::cutting::plates::{Plates, lay};
use crate::settings::cutting::weight::{said, weigh};
use crate::settings::show::{geometry, mm};
use crate::tables::materials;
use crate::why::{Figure, Why};

/// What a saw for blanks takes away, where the bench file does not say; common practice.
const SAW_CUT: Length = Length::mm(2);

/// How long bar is sold, where none is in the rack; common practice.
const NEW_BAR: Length = Length::mm(1000);

/// The cutting list of parts, each with its plan and the aids it needs, and of other aids.
pub fn cutting_list<'p>(
    plans: impl IntoIterator<Item = &'p Plan>,
    aids: impl IntoIterator<Item = &'p AidSheet>,
    bench: &Bench,
) -> CuttingList {
    let mut list = CuttingList::default();
    let mut blanks: Vec<(&str, &SawnBlank)> = Vec::new();
    let mut wanted: Vec<&AidSheet> = Vec::new();
    for plan in plans {
        match &plan.blank {
            Some(blank) => blanks.push((&plan.part, blank)),
            None => list.besides.push(format!("{}: nothing is sawn, {}", plan.part, plan.cover.blank.shown)),
        }
        wanted.extend(&plan.aids);
    }
    wanted.extend(aids);
    let mut kept: Vec<&str> = Vec::new();
    for aid in wanted {
        // One and the same serves every part; one from the drawer is made already.
        let as_kept = aid.own.kept_as.as_str();
        if bench.keeps(as_kept) || !as_kept.is_empty() && kept.contains(&as_kept) {
            continue;
        }
        kept.push(as_kept);
        match &aid.own.blank {
            Some(blank) => blanks.push((&aid.name, blank)),
            None => list
                .besides
                .push(format!("{}: from {}, to the sizes of its own sheet", aid.name, aid.material)),
        }
    }
    let saw_cut = bench.saw_cut.unwrap_or(SAW_CUT);
    if bench.saw_cut.is_none() && !blanks.is_empty() {
        list.supposed.push(format!("the saw takes {} away", mm(SAW_CUT)));
    }
    let mut grams = 0.0;
    while let Some(stock) = blanks.first().map(|(_, blank)| blank.stock.clone()) {
        let (own, others) = blanks.into_iter().partition(|(_, blank)| alike(&blank.stock, &stock));
        blanks = others;
        let group = group(&own, &stock, bench, saw_cut, &mut list.supposed, &mut grams);
        list.groups.push(group);
    }
    if grams > 0.0 {
        let why = geometry("every blank's own weight, added up; the cuts of the saw are not in it");
        list.weight = Some(Figure::new("cutting list: weight of all blanks", said(grams), why));
    }
    list
}

/// Whether two are sawn from the same bars.
fn alike(one: &Stock, other: &Stock) -> bool {
    one.material == other.material && one.section == other.section && one.surface == other.surface
}

fn group(
    own: &[(&str, &SawnBlank)],
    stock: &Stock,
    bench: &Bench,
    saw_cut: Length,
    supposed: &mut Vec<String>,
    grams: &mut f64,
) -> CuttingGroup {
    let mut rows = Vec::new();
    for (part, blank) in own {
        let name = |label: &str| format!("cutting list, {part}: {label}");
        let shown = match blank.width {
            Some(width) => format!("{} × {}", mm(blank.length), mm(width)),
            None => mm(blank.length),
        };
        let weighed = materials::find(&stock.material)
            .and_then(|material| weigh(material, piece(stock, blank), blank.length, Length::ZERO));
        let weight = match weighed {
            Ok(weighed) => {
                *grams += weighed.grams * f64::from(blank.count);
                let figure = weighed.figures().remove(0);
                Figure { name: name("weight of one"), ..figure }
            }
            Err(fault) => Figure::new(name("weight of one"), "not known", Why::new(fault.what())),
        };
        let size = Figure::new(name("saw off"), shown, blank.why.clone());
        rows.push(CuttingRow { part: (*part).to_owned(), count: blank.count, size, weight });
    }
    let rack: Vec<&RackPiece> = bench.pieces.iter().filter(|piece| alike(&piece.stock, stock)).collect();
    let (from, proof) = from_rack(own, stock, &rack, saw_cut, supposed);
    CuttingGroup { metal: format!("{}, {}", stock.material, section_words(stock)), rows, from, proof }
}

/// The section of the blank itself: a piece of plate is as wide as it is sawn.
fn piece(stock: &Stock, blank: &SawnBlank) -> Section {
    match (stock.section, blank.width) {
        (Section::Flat { thickness, .. }, Some(width)) => Section::Flat { thickness, width: Some(width) },
        (section, _) => section,
    }
}

/// Each piece by its part, so often as it is wanted.
fn each<'a>(own: &[(&'a str, &'a SawnBlank)]) -> Vec<(&'a str, &'a SawnBlank)> {
    own.iter().flat_map(|one| std::iter::repeat_n(*one, one.1.count as usize)).collect()
}

/// Said once, where the bench file is silent.
const UNSAID: &str =
    "where the bench file gives no `pieces` of a bar or plate, only what is needed in all is told";

fn note(supposed: &mut Vec<String>, words: &str) {
    if !supposed.iter().any(|known| known == words) {
        supposed.push(words.to_owned());
    }
}

/// Which from which.
fn from_rack(
    own: &[(&str, &SawnBlank)],
    stock: &Stock,
    rack: &[&RackPiece],
    saw_cut: Length,
    supposed: &mut Vec<String>,
) -> (Vec<String>, String) {
    let pieces = each(own);
    if rack.iter().any(|piece| piece.width.is_some()) {
        return plates(&pieces, rack, saw_cut);
    }
    // A flat is sawn across, so what is sawn of it is as long as its longer side; of a flat
    // narrower than a blank's shorter side nothing comes.
    if let Section::Flat { width: None, .. } = stock.section {
        let area: f64 =
            pieces.iter().map(|(_, b)| b.length.as_mm() * b.width.unwrap_or(b.length).as_mm()).sum();
        note(supposed, UNSAID);
        return (vec![format!("{:.0} cm² of plate in all", (area / 100.0).ceil())], String::new());
    }
    let lengths: Vec<Length> = pieces.iter().map(|(_, blank)| blank.length).collect();
    if rack.is_empty() {
        let all = lengths.iter().copied().sum::<Length>() + saw_cut * (lengths.len() as i64 - 1);
        let words = format!("{} of bar in all, the saw's cuts between", mm(all));
        note(supposed, UNSAID);
        return (vec![words], String::new());
    }
    let new = format!("bar is bought {} long", mm(NEW_BAR));
    let bars = rack.iter().map(|piece| piece.length).collect();
    let found = saw(&Sawing { pieces: lengths, bars, new_bar: NEW_BAR, saw_cut });
    match found {
        Ok(found) => {
            if found.bars.iter().any(|bar| bar.bar.is_none()) {
                note(supposed, &new);
            }
            let words = |bar: &crate::settings::cutting::bars::FromBar| {
                let which = if bar.bar.is_some() { "in the rack" } else { "to buy" };
                let list: Vec<String> = bar
                    .pieces
                    .iter()
                    .map(|&n| format!("{} for {}", mm(pieces[n].1.length), pieces[n].0))
                    .collect();
                format!("from {} {which}: {}; {} left", mm(bar.length), list.join(", "), mm(bar.left))
            };
            (found.bars.iter().map(words).collect(), found.proof())
        }
        Err(fault) => (Vec::new(), fault.what().to_owned()),
    }
}

fn plates(pieces: &[(&str, &SawnBlank)], rack: &[&RackPiece], saw_cut: Length) -> (Vec<String>, String) {
    let sizes: Vec<[Length; 2]> =
        rack.iter().map(|piece| [piece.length, piece.width.unwrap_or(piece.length)]).collect();
    let blanks = pieces.iter().map(|(_, b)| [b.length, b.width.unwrap_or(b.length)]).collect();
    let asked = Plates { blanks, plates: sizes, saw_cut };
    match lay(&asked) {
        Ok(found) => {
            let names: Vec<&str> = pieces.iter().map(|(name, _)| *name).collect();
            let rows = found.figures(&asked, &names).into_iter();
            (rows.map(|row| format!("{}: {}", row.name, row.shown)).collect(), found.proof())
        }
        Err(fault) => (Vec::new(), fault.what().to_owned()),
    }
}
