//! A disc: rounded about its bore on the rotary table or in the lathe, or turned between
//! pads where it has none; where there is neither a thin one is filed to its circle and a thick
//! one stepped round its bore.

use super::deed::Lot;
use super::deed::{Job, Makings};
use super::ends::{farthest, no_turning, on_table};
use super::offers::pair_or_each;
use super::places::{from_edges, from_plate, holding};
use super::plates::{add, deed};
use super::work::{Aid, Held, Holding, Located, Machine, Tool, Work};
use crate::drawing::{Face, FeatureId};
use crate::measure::{Length, Toward};
use crate::problem::{Outcome, Problem};
use crate::tables::processes::limit;

/// A disc is rounded on the rotary table about its bore, turned on a mandrel in it, or,
/// with no bore, turned between pads; where nothing turns it, it is stepped round its bore.
pub(super) fn disc(job: &Job, makings: &mut Makings) -> Outcome<()> {
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
        // No thicker than a file is kept square by eye; without a mill nothing else is left.
        if !job.mills() || job.part.thickness() <= limit("filed round") {
            let lathe = format!("{blocked}, and no lathe swings its blank of {reaches} across the corners");
            super::by_eye::file_disc(job, makings, if job.mills() { &lathe } else { &blocked });
            return Ok(());
        }
        let why = format!("{blocked}, and no lathe swings its blank of {reaches} across the corners");
        if let Some((bore, _)) = bore {
            step_disc(job, makings, bore, &why);
            return Ok(());
        }
        let mend = format!(
            "add a lathe that swings {reaches} to the bench file, or a hole of 3 mm or more in the middle of the disc, if only as a tooling hole to be plugged afterwards"
        );
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
    for lot in if job.scheme.sticks() { vec![Lot::Stack] } else { job.singles() } {
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

/// Where nothing turns it: by stepped coordinates all round its bore, the ridges filed off.
fn step_disc(job: &Job, makings: &mut Makings, bore: FeatureId, because: &str) {
    makings.assume(format!("the disc is rounded by stepped coordinates and a file: {because}"));
    let [left, right, ..] = job.part.edges();
    let round = Length::nearest((right - left).as_mm() * std::f64::consts::PI);
    for lot in if job.scheme.sticks() { vec![Lot::Stack] } else { job.singles() } {
        let flat = from_plate(job, lot, Face::Front)
            .unwrap_or_else(|| Holding { held: Held::ClampsMoved, ..from_edges(job, lot, Face::Front) });
        let place = makings.place(job, lot, flat);
        let mill = Tool::EndMill(job.mill_along(job.metal(lot), makings));
        let mut step = deed(job, Work::StepEnd, Some(bore), lot, mill, vec![place]);
        step.minutes = step.process().minutes_for(round) * job.turns(lot);
        let vice = Held::BenchVice;
        let vice = Holding {
            machine: Machine::BenchVice,
            ..holding(job, lot, Face::Front, vice, Located::Bore(bore))
        };
        let place = makings.place(job, lot, vice);
        let work = Work::FileRidges { piece: None };
        let mut file = deed(job, work, Some(bore), lot, Tool::File, vec![place]);
        file.minutes = file.process().minutes_by_hand(round, job.metal(lot)) * job.turns(lot);
        makings.deeds.extend([step, file]);
    }
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
