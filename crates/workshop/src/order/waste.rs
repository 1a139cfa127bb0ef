//! Before an outline is cut: its lines scribed while there are edges, and large waste taken
//! off, by sawing or by chain drilling.

use super::deed::{Deed, Job, Lot, Makings};
use super::offers::{THE_OUTLINE, pair_or_each};
use super::places::{at_bench, from_edges};
use super::plates::deed;
use super::work::{Held, Holding, Located, Machine, Tool, Work};
use crate::drawing::{Body, Face};
use crate::geometry::{Outline, Segment};
use crate::measure::Length;
use crate::tables::drills::Drill;
use crate::tables::processes::limit;

/// Whether a deed takes part in forming the outline: it cuts it, or saws it out.
pub(super) fn forms_outline(deed: &Deed) -> bool {
    cuts_outline(deed) || matches!(deed.work, Work::RoughOut { .. })
}

/// Adds the deeds that go before the outline's own, once those are listed.
pub(super) fn before_outline(job: &Job, makings: &mut Makings) {
    rough_out(job, makings);
    super::punched::offer(job, makings);
    mark_out(job, makings);
}

/// Whether a deed is done to scribed lines.
pub(super) fn to_a_line(deed: &Deed) -> bool {
    let cut_by_hand = match deed.work {
        Work::MillStep { .. } | Work::MillSlot { .. } | Work::MillPocket { .. } => {
            matches!(deed.tool, Tool::File | Tool::Chisel)
        }
        Work::Slit => deed.tool == Tool::HandSaw,
        _ => false,
    };
    cut_by_hand
        || matches!(
            deed.work,
            Work::FileFlanks { .. }
                | Work::FileSide { .. }
                | Work::FileRound
                | Work::FileHoleRound { .. }
                | Work::RoughOut { .. }
        )
}

/// Whether a deed waits for what is marked out: lines to work to, or a punched centre.
pub(super) fn wants_marks(makings: &Makings, deed: &Deed) -> bool {
    let punched = |&place: &usize| makings.places[place].holding.located == Located::Punched;
    to_a_line(deed) || !deed.places.is_empty() && deed.places.iter().all(punched)
}

/// Whether a deed cuts the outline to size.
pub(super) fn cuts_outline(deed: &Deed) -> bool {
    matches!(
        deed.work,
        Work::RoundEnd
            | Work::StepEnd
            | Work::FileEnd
            | Work::MillFlanks { .. }
            | Work::FileFlanks { .. }
            | Work::MillSide { .. }
            | Work::StepArc { .. }
            | Work::TurnArc { .. }
            | Work::FileSide { .. }
            | Work::FileRound
            | Work::FileRidges { .. }
    )
}

/// Large waste, where the outline is then cut from bores: a saw spoils the edges.
fn rough_out(job: &Job, makings: &mut Makings) {
    if job.casting().is_some() || !matches!(job.part.drawing.body, Body::Bosses { .. } | Body::Outline { .. })
    {
        return;
    }
    let Ok(outline) = job.part.outline() else { return };
    let outline = outline.anticlockwise();
    let wide = waste_mm(job, &outline);
    // Nobody files away what a saw takes in a tenth of the time.
    if job.mills() && wide <= limit("wide waste").as_mm() {
        return;
    }
    // What may as well be cut otherwise waits for no edges.
    let from_edges = |deed: &Deed| {
        let located = deed.places.iter().map(|&place| makings.places[place].holding.located);
        let only = deed.choice.is_none_or(|(choice, _)| makings.choices[choice].0 == THE_OUTLINE);
        only && located.into_iter().any(|located| matches!(located, Located::Edges(..)))
    };
    let cut = || makings.deeds.iter().filter(|deed| cuts_outline(deed));
    if cut().next().is_none() || cut().any(from_edges) {
        return;
    }
    let (tool, chain) = match (hollow(&outline), chain_drill(job)) {
        (true, Some(drill)) => (Tool::Drill(drill), true),
        _ => (Tool::HandSaw, false),
    };
    makings.assume(format!(
        "the waste round the outline is {wide:.0} mm wide on the whole: it is {} before the outline is cut",
        if chain { "chain drilled and broken away" } else { "sawn off" }
    ));
    let length = Length::nearest(outline.length_mm());
    for (lot, choice) in pair_or_each(job, makings) {
        let place = at_bench(job, makings, lot);
        let mut rough = deed(job, Work::RoughOut { chain }, None, lot, tool.clone(), vec![place]);
        rough.minutes = rough.work.process().minutes_for(length) * job.turns(lot);
        rough.choice = choice;
        makings.deeds.push(rough);
    }
}

/// How wide the waste of a sawn blank is, spread all round the outline.
fn waste_mm(job: &Job, outline: &Outline) -> f64 {
    let [left, right, bottom, top] = job.part.edges();
    let margin = limit("blank margin") * 2;
    let blank = (right - left + margin).as_mm() * (top - bottom + margin).as_mm();
    (blank - outline.area_mm2()) / outline.length_mm()
}

/// Whether a straight saw cut outside the line cannot follow it: it turns inwards somewhere.
fn hollow(outline: &Outline) -> bool {
    let segments = outline.segments();
    let way = |segment: &Segment| segment.end() - segment.start();
    (0..segments.len()).any(|n| match (&segments[n], &segments[(n + 1) % segments.len()]) {
        (Segment::Arc(arc), _) => arc.sweep_rad < 0.0,
        (one @ Segment::Line(_), other @ Segment::Line(_)) => {
            let (a, b) = (way(one), way(other));
            a.x_mm * b.y_mm - a.y_mm * b.x_mm < 0.0
        }
        _ => false,
    })
}

/// The drill that a chain is drilled with: about 6 mm parts metal quickly and breaks easily.
fn chain_drill(job: &Job) -> Option<Drill> {
    chain_drill_to(job, Length::mm(10))
}

/// The same, no wider than this.
pub(super) fn chain_drill_to(job: &Job, most: Length) -> Option<Drill> {
    let six = Length::mm(6);
    let most = most.min(Length::mm(10));
    let usual = job.bench.drills.iter().filter(|d| d.diameter >= Length::mm(3) && d.diameter <= most);
    usual.min_by_key(|drill| (drill.diameter.gap(six), drill.diameter)).cloned()
}

/// Lines to file and saw to, scribed from the square edges while they are there. Where
/// what is filed may as well be milled, nothing need be scribed.
fn mark_out(job: &Job, makings: &mut Makings) {
    let filed: Vec<&Deed> = makings.deeds.iter().filter(|deed| wants_marks(makings, deed)).collect();
    let sure = |deed: &&Deed| deed.choice.is_none_or(|(choice, _)| makings.choices[choice].0 == THE_OUTLINE);
    let marked = |lot| matches!(from_edges(job, lot, Face::Front).located, Located::Edges(..));
    if filed.is_empty() || !marked(filed[0].lot) {
        return;
    }
    let both = filed.iter().any(|deed| deed.lot == Lot::Stack);
    let lots: Vec<(Lot, Option<(usize, usize)>)> = if filed.iter().all(sure) {
        pair_or_each(job, makings)
    } else {
        let choice = makings.choices.len();
        let mut variants = vec![NOTHING_SCRIBED.to_owned(), "scribed on each piece".into()];
        let each = job.singles().into_iter().map(|lot| (lot, Some((choice, 1))));
        let mut lots: Vec<(Lot, Option<(usize, usize)>)> = each.collect();
        if both {
            variants.push("scribed on the pair".into());
            lots.push((Lot::Stack, Some((choice, 2))));
        }
        makings.choices.push(("the lines".into(), variants));
        lots
    };
    for (lot, choice) in lots {
        let edges = from_edges(job, lot, Face::Front);
        let bench = Holding { machine: Machine::BenchVice, held: Held::Bench, ..edges };
        let place = makings.place(job, lot, bench);
        let mut marking = deed(job, Work::MarkOut, None, lot, Tool::Scriber, vec![place]);
        marking.choice = choice;
        makings.deeds.push(marking);
    }
}

/// The variant of a choice that takes no step: what the rest needs decides it, not a wish.
pub(super) const NOTHING_SCRIBED: &str = "not needed";
