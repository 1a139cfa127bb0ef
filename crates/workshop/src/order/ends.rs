//! The outline of a plate: rounded ends, discs and straight flanks.
//!
//! A boss is rounded on the rotary table where its bore takes a stub and the blank
//! swings clear of the column; else filed to buttons in its bore; else, with no bore,
//! milled by stepped coordinates while there are edges to work from.

use super::deed::{Job, Lot, Makings};
use super::places::{holding, plate_swung};
use super::plates::{add, deed};
use super::work::{Aid, Held, Holding, Located, Machine, Tool, Work};
use crate::drawing::{Body, Face, FeatureId, Kind};
use crate::measure::{Length, Toward};
use crate::problem::{Outcome, Problem};
use crate::tables::processes::limit;

/// How a boss is rounded.
enum Rounding {
    Table { bore: FeatureId },
    Buttons { bore: FeatureId, because: String },
    Steps { because: String },
}

/// Adds what forms the outline.
pub(super) fn outline(job: &Job, makings: &mut Makings) -> Outcome<()> {
    if !job.cuts_outline() {
        return Ok(());
    }
    match &job.part.drawing.body {
        Body::Bosses { around, .. } => {
            for &boss in around {
                end(job, makings, boss);
            }
            let next = around.iter().cycle().skip(1);
            let pairs: Vec<_> = around.iter().copied().zip(next.copied()).collect();
            if around.len() > 1 {
                flanks(job, makings, &pairs);
            }
            Ok(())
        }
        Body::Disc { .. } => disc(job, makings),
        Body::Outline { around, .. } => super::around::outline(job, makings, around),
        Body::Rectangle { .. } | Body::Turned { .. } => Ok(()),
    }
}

/// Both pieces at once where a cutter covers both, or each by itself, the whole outline
/// alike so that it blends; the search chooses.
pub(super) fn pair_or_each(job: &Job, makings: &mut Makings) -> Vec<(Lot, Option<(usize, usize)>)> {
    let each = job.singles();
    if !job.scheme.sticks() || !job.mill_covers(job.metal(Lot::Pair)) {
        return each.into_iter().map(|lot| (lot, None)).collect();
    }
    let choice = makings.choice("the outline");
    let alone = each.into_iter().map(|lot| (lot, Some((choice, 1))));
    std::iter::once((Lot::Pair, Some((choice, 0)))).chain(alone).collect()
}

pub(super) fn end(job: &Job, makings: &mut Makings, boss: FeatureId) {
    let rounding = rounding(job, boss);
    let lots = pair_or_each(job, makings);
    match &rounding {
        Rounding::Table { .. } => {}
        Rounding::Buttons { because, .. } => {
            makings.assume(format!("{} is filed to buttons: {because}", job.name(boss)));
        }
        Rounding::Steps { because } => {
            makings.assume(format!("{} is rounded by stepped coordinates: {because}", job.name(boss)));
        }
    }
    for (lot, choice) in lots {
        let mill = Tool::EndMill(job.mill_along(job.metal(lot), makings));
        let (work, tool, place, aid) = match rounding {
            Rounding::Table { bore } => {
                let place = makings.place(job, lot, on_table(job, lot, bore));
                let aid = Aid::StubMandrel { bore, on: Machine::RotaryTable };
                (Work::RoundEnd, mill, place, Some(aid))
            }
            Rounding::Buttons { bore, .. } => {
                let place = makings.place(job, lot, buttons(job, lot));
                (Work::FileEnd, Tool::File, place, Some(Aid::FilingButtons { boss, bore }))
            }
            Rounding::Steps { .. } => {
                let place = makings.place(job, lot, super::places::from_edges(job, lot, Face::Front));
                (Work::StepEnd, mill, place, None)
            }
        };
        let mut deed = deed(job, work, Some(boss), lot, tool, vec![place]);
        deed.aids.extend(aid);
        deed.choice = choice;
        makings.deeds.push(deed);
    }
}

fn rounding(job: &Job, boss: FeatureId) -> Rounding {
    let place = job.part.xy(boss).unwrap_or_default();
    let Some((bore, diameter)) = job.bore_on_axis(place) else {
        return Rounding::Steps { because: "it has no bore right through for a stub or buttons".into() };
    };
    match no_turning(job, bore, diameter) {
        None => Rounding::Table { bore },
        Some(because) => Rounding::Buttons { bore, because },
    }
}

/// Why work cannot turn about a bore on the rotary table; `None` when it can.
pub(super) fn no_turning(job: &Job, bore: FeatureId, diameter: Length) -> Option<String> {
    if job.bench.rotary_table.is_none() {
        return Some("there is no rotary table".into());
    }
    if !Job::takes_a_stub(diameter) {
        return Some(format!("a stub of {diameter} would bend under the cut"));
    }
    let swing = farthest(job, job.part.xy(bore).unwrap_or_default());
    let column = job.bench.mill.column;
    (swing > column).then(|| {
        format!("turning about {} the blank reaches {swing}, and the column is {column} away", job.name(bore))
    })
}

/// From a place to the corner of the blank that swings widest, and a clamp beyond it.
fn farthest(job: &Job, (x, y): (Length, Length)) -> Length {
    let [left, right, bottom, top] = job.part.edges();
    let across = (x - left).max(right - x) + limit("blank margin");
    let up = (y - bottom).max(top - y) + limit("blank margin");
    Length::nearest(across.as_mm().hypot(up.as_mm())) + limit("clamp room")
}

pub(super) fn on_table(job: &Job, lot: Lot, bore: FeatureId) -> Holding {
    let steps_on =
        |face| job.part.features().any(|(_, f)| f.face == face && matches!(f.kind, Kind::Step { .. }));
    let up = if steps_on(Face::Back) && !steps_on(Face::Front) { Face::Back } else { Face::Front };
    let other = job.plate_bores().into_iter().find(|&b| b != bore);
    let round = matches!(job.part.drawing.body, Body::Disc { .. });
    let located = match other {
        Some(other) if !round => Located::TwoBores(bore, other),
        _ => Located::Bore(bore),
    };
    let held = Held::StubMandrel { bore };
    Holding { machine: Machine::RotaryTable, ..holding(job, lot, up, held, located) }
}

fn buttons(job: &Job, lot: Lot) -> Holding {
    let on_bench = holding(job, lot, Face::Front, Held::FilingButtons, Located::Nothing);
    Holding { machine: Machine::BenchVice, ..on_bench }
}

/// The straight flanks between neighbouring bosses: on the rotary table of either end,
/// on the plate swung to their angle, or filed to a line where no bore serves.
pub(super) fn flanks(job: &Job, makings: &mut Makings, pairs: &[(FeatureId, FeatureId)]) {
    let mut joins: Vec<Vec<(FeatureId, FeatureId)>> = Vec::new();
    for &(from, to) in pairs {
        // Both flanks of two bosses never gain by being apart.
        match joins.iter_mut().find(|j| j.contains(&(to, from))) {
            Some(known) => known.push((from, to)),
            None => joins.push(vec![(from, to)]),
        }
    }
    for joins in joins {
        let (from, to) = joins[0];
        for (lot, choice) in pair_or_each(job, makings) {
            let mut places = Vec::new();
            for boss in [from, to] {
                if let Rounding::Table { bore } = rounding(job, boss) {
                    places.push(makings.place(job, lot, on_table(job, lot, bore)));
                }
            }
            if places.is_empty()
                && let Some(swung) = plate_swung(job, lot)
            {
                places.push(makings.place(job, lot, swung));
            }
            let (work, tool) = if places.is_empty() {
                let line = holding(job, lot, Face::Front, Held::BenchVice, Located::Line);
                places.push(makings.place(job, lot, Holding { machine: Machine::BenchVice, ..line }));
                (Work::FileFlanks { joins: joins.clone() }, Tool::File)
            } else {
                let mill = job.mill_along(job.metal(lot), makings);
                (Work::MillFlanks { joins: joins.clone() }, Tool::EndMill(mill))
            };
            let mut deed = deed(job, work, None, lot, tool, places);
            deed.choice = choice;
            makings.deeds.push(deed);
        }
    }
}

/// A disc is rounded on the rotary table about its bore, turned on a mandrel in it, or,
/// with no bore, turned between pads.
fn disc(job: &Job, makings: &mut Makings) -> Outcome<()> {
    let middle = (Length::ZERO, Length::ZERO);
    let bore = job.bore_on_axis(middle).filter(|&(_, diameter)| Job::takes_a_stub(diameter));
    let blocked = match bore {
        None => "it has no bore of 3 mm or more, right through, in its middle".into(),
        Some((bore, diameter)) => match no_turning(job, bore, diameter) {
            None => {
                disc_on_table(job, makings, bore);
                return Ok(());
            }
            Some(because) => because,
        },
    };
    let reaches = (farthest(job, middle) * 2).rounded(Length::mm(1), Toward::More).value;
    let Some(lathe) = job.bench.lathe.as_ref().filter(|lathe| reaches <= lathe.swing) else {
        let mend = match bore {
            Some(_) => "add a rotary table or a larger lathe to the bench file".to_owned(),
            None => format!(
                "add a lathe that swings {reaches} to the bench file, or a hole of 3 mm or more in the middle of the disc, if only as a tooling hole to be plugged afterwards"
            ),
        };
        let why = format!("{blocked}, and no lathe swings its blank of {reaches} across the corners");
        let fault = Problem::new("the disc cannot be rounded on this bench").why(why).mend(mend);
        return Err(vec![fault.at(job.part.drawing.file.clone())]);
    };
    let swings = lathe.swing;
    let (held, located, how) = match bore {
        Some((bore, _)) => (Held::StubMandrel { bore }, Located::Bore(bore), "on a stub mandrel"),
        None => (Held::PressurePads, Located::Line, "between pressure pads"),
    };
    makings.assume(format!("the disc is turned {how} in the lathe, which swings {swings}: {blocked}"));
    if bore.is_none() {
        // From memory: a scriber held to a line shows about so much.
        makings
            .assume("the outside of the disc runs as true to its holes as a scribed circle, 0.2 mm".into());
    }
    for lot in if job.scheme.sticks() { vec![Lot::Pair] } else { job.singles() } {
        let turned =
            Holding { machine: Machine::Lathe, ..holding(job, lot, Face::Front, held.clone(), located) };
        let place = makings.place(job, lot, turned);
        add(job, makings, Work::TurnDisc, bore.map(|(id, _)| id), lot, Tool::LatheTool, vec![place]);
        if let (Some(deed), Some((bore, _))) = (makings.deeds.last_mut(), bore) {
            deed.aids.push(Aid::StubMandrel { bore, on: Machine::Lathe });
        }
    }
    Ok(())
}

fn disc_on_table(job: &Job, makings: &mut Makings, bore: FeatureId) {
    for (lot, choice) in pair_or_each(job, makings) {
        let place = makings.place(job, lot, on_table(job, lot, bore));
        let mill = Tool::EndMill(job.mill_along(job.metal(lot), makings));
        let mut deed = deed(job, Work::RoundEnd, Some(bore), lot, mill, vec![place]);
        deed.aids.push(Aid::StubMandrel { bore, on: Machine::RotaryTable });
        deed.choice = choice;
        makings.deeds.push(deed);
    }
}
