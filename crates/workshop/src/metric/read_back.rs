//! The solved model read back as the metric part, with the reason for each choice.

use std::collections::BTreeMap;

use super::buy::Buy;
use super::choice::{
    DimensionChoice, Engagement, MadeWith, MetricPart, Owned, StockChoice, ThreadChoice, ToBuy,
};
use super::explain::Explained;
use super::model::{THING, VariableId};
use super::rules::{ALREADY_MADE, CORE, PINNED, SHORT_THREAD};
use super::sure::how_sure;
use super::way::{Cut, Job, ThreadWays, Ways, made_words};
use super::{engagement, others, screws, stock};
use crate::abreast::small_abreast;
use crate::drawing::{DimensionId, Given, Part, Role, Sizes, ThreadId};
use crate::measure::Length;
use crate::why::Why;

/// The metric part, made as it was chosen.
pub fn metric_part(
    job: &Job,
    ways: &[Ways],
    threads: &[ThreadWays],
    explained: &Explained,
    made: &Part,
    supposed: Option<String>,
) -> MetricPart {
    let sizes = made.sizes.clone();
    let ids: Vec<DimensionId> = (0..ways.len()).map(DimensionId).collect();
    let dimensions: Vec<DimensionChoice> =
        small_abreast(&ids, |&id| dimension(job, id, &ways[id.0], explained));
    let threads: Vec<ThreadChoice> =
        (0..threads.len()).map(|at| thread(job, ThreadId(at), &threads[at], explained, &sizes)).collect();
    let made_with: Vec<MadeWith> = dimensions.iter().map(|choice| choice.made.clone()).collect();
    let stock = stock::chosen(job, &made_with, &sizes.lengths, greatest(made));
    let purchases = purchases(job, explained, stock.as_ref());
    let mut assumed = job.drawing.assumed.clone();
    assumed.extend(supposed);
    let roles = job.drawing.dimensions.iter().filter(|d| d.role.1 == Given::Assumed).count();
    if roles > 0 {
        assumed.push(format!("what may become of {roles} dimensions: sizes that a tool or the rack makes follow it, the rest may move"));
    }
    let open = |held: bool| {
        let dimensions = job.drawing.dimensions.iter();
        dimensions.filter(|d| d.within.is_none() && (d.role.0 == Role::Hold) == held).count()
    };
    if open(false) > 0 && job.drawing.general_tolerance.is_none() {
        let count = open(false);
        assumed.push(format!(
            "how far {count} dimensions may depart: the drawing gives no tolerance, so ISO 2768-1 coarse"
        ));
    }
    if open(true) > 0 {
        let count = open(true);
        assumed.push(format!(
            "how closely {count} dimensions are held: the drawing gives no tolerance, so 0.02 mm"
        ));
    }
    let proof = explained.solved.proof;
    let proven = how_sure(proof, explained.solved.cost);
    MetricPart { sizes, dimensions, threads, stock, purchases, proof, proven, assumed }
}

/// The smallest bar that holds a turned part, with a little to clean up where an
/// eccentric reaches farthest.
fn greatest(part: &Part) -> Length {
    let needed = part.bar_needed();
    let eccentric =
        part.sections().iter().any(|&id| part.is_eccentric(id) && part.reach_of(id) == Some(needed.half()));
    if eccentric { needed + Length::mm(1) } else { needed }
}

fn owned(buys: &[Buy]) -> Owned {
    if buys.is_empty() { Owned::Owned } else { Owned::Buy }
}

fn names(buys: &[Buy]) -> String {
    buys.iter().map(|buy| buy.name.as_str()).collect::<Vec<_>>().join(", ")
}

fn dimension(job: &Job, id: DimensionId, ways: &Ways, explained: &Explained) -> DimensionChoice {
    let dimension = job.dimension(id);
    let variable = VariableId(explained.part.start + id.0);
    let way = &ways.ways[explained.chosen(variable)];
    let exact = dimension.written.length;
    let off = way.value - exact;
    let mut written =
        Why::new(format!("`{}` on the drawing (line {}) is {exact}", dimension.written.text, dimension.line))
            .source("the drawing");
    if dimension.role.1 == Given::Assumed {
        let role = match dimension.role.0 {
            Role::Hold => "the mechanism depends on it",
            Role::Suit => "it follows a tool, the rack or a mate",
            Role::Free => "it may move",
        };
        written =
            written.because(Why::assumed(format!("its role is supposed: {role}")).source("common practice"));
    }
    let by = if off == Length::ZERO {
        "as drawn".to_owned()
    } else {
        format!("{} mm from the drawing", signed(off))
    };
    let how = if way.rule == &ALREADY_MADE {
        "already made".to_owned()
    } else {
        format!("by {}", made_words(&way.made))
    };
    let mut why = Why::new(format!("{} {how}, {by}", way.value))
        .because(written)
        .because(Why::new(way.rule.because).source(way.rule.source))
        .because(ways.limit_why.clone());
    if let Some(pin) = dimension.pin.filter(|_| way.rule != &PINNED) {
        why = why.because(Why::new(format!("pinned to {pin}: {}", PINNED.because)).source(PINNED.source));
    }
    if let Some(note) = &way.note {
        why = why.because(note.clone());
    }
    if !way.buys.is_empty() {
        why = why.because(Why::new(format!("to buy: {}", names(&way.buys))));
    }
    let refused = others::of_dimension(explained, variable, ways, exact);
    DimensionChoice {
        id,
        written: dimension.written.clone(),
        exact,
        chosen: way.value,
        made: way.made.clone(),
        owned: owned(&way.buys),
        role: dimension.role.0,
        limit: ways.limit,
        why,
        refused,
    }
}

fn thread(job: &Job, id: ThreadId, ways: &ThreadWays, explained: &Explained, sizes: &Sizes) -> ThreadChoice {
    let call = &job.drawing.threads[id.0];
    let variable = VariableId(explained.part.start + job.drawing.dimensions.len() + id.0);
    let way = &ways.ways[explained.chosen(variable)];
    let (drawn, chosen) = (call.thread, way.thread);
    let percent = way
        .drill
        .as_ref()
        .and_then(|drill| chosen.percent(drill.diameter, chosen.form().workshop_basis()).ok());
    let written = Why::new(format!(
        "`{}` on the drawing (line {}): {} over the crests, pitch {}",
        call.text,
        call.line,
        drawn.major,
        drawn.pitch_shown()
    ))
    .source(drawn.source.to_string());
    let core = (screws::core_share(chosen, drawn) * 100).round();
    let mut why = Why::new(format!("{} in the place of {}", chosen.designation, drawn.designation))
        .because(written)
        .because(Why::new(way.rule.because).source(way.rule.source))
        .because(
            Why::new(format!(
                "{}: its stress area, {:.2} mm², is {core} % of that of {}",
                chosen.designation,
                chosen.stress_area_mm2(),
                drawn.designation
            ))
            .source(CORE.source),
        );
    if let (Some(drill), Some(percent)) = (&way.drill, &percent) {
        let long = match job.cut(id) {
            Cut::Inside(feature) => engagement::available(job, &job.part.sizes, feature),
            Cut::Outside(_) | Cut::Elsewhere => None,
        };
        let (low, high) = screws::aim(job, chosen, long);
        why = why.because(
            Why::new(format!(
                "tapping {} leaves {percent}; {low} to {high} % is the aim in {}",
                super::way::drill_name(drill),
                job.material.name
            ))
            .source(job.material.tapping.source.to_string()),
        );
        if screws::is_short(chosen, long) {
            why = why.because(Why::new(SHORT_THREAD.because).source(SHORT_THREAD.source));
        }
    }
    let engagement = match job.cut(id) {
        Cut::Inside(feature) => engagement::available(job, sizes, feature).map(|available| Engagement {
            available,
            wanted: chosen.major.scaled(job.material.tapping.engagement_diameters),
        }),
        Cut::Outside(_) | Cut::Elsewhere => None,
    };
    if let Some(engagement) = engagement.filter(|e| e.available < e.wanted) {
        let turns = engagement.available.ratio_to(chosen.pitch).floor();
        why = why.because(
            Why::new(format!(
                "short: {} of thread, {turns} turns, where a full-strength thread in {} takes {}",
                engagement.available, job.material.name, engagement.wanted
            ))
            .source(job.material.tapping.source.to_string()),
        );
    }
    if !way.buys.is_empty() {
        why = why.because(Why::new(format!("to buy: {}", names(&way.buys))));
    }
    let refused = others::of_thread(explained, variable, ways, drawn);
    ThreadChoice {
        id,
        written: call.text.clone(),
        chosen,
        tapping_drill: way.drill.clone(),
        percent,
        engagement,
        owned: owned(&way.buys),
        why,
        refused,
    }
}

/// Everything bought, each once, with what needs it.
fn purchases(job: &Job, explained: &Explained, stock: Option<&StockChoice>) -> Vec<ToBuy> {
    let mut needed: BTreeMap<&str, (u32, Vec<&str>)> = BTreeMap::new();
    for at in explained.part.clone() {
        let variable = &explained.model.variables[at];
        for purchase in &variable.candidates[explained.chosen(VariableId(at))].buys {
            let bought = &explained.model.purchases[purchase.0];
            let (points, for_what) = needed.entry(&bought.name).or_default();
            *points = bought.points;
            for_what.push(&variable.name);
        }
    }
    let mut list: Vec<ToBuy> = needed
        .into_iter()
        .map(|(what, (points, for_what))| ToBuy {
            // What would be bought anyway has no points, and so no price.
            price: points.checked_sub(THING as u32),
            ..ToBuy::new(job.bench, what.to_owned(), for_what.join(", "))
        })
        .collect();
    if let Some(choice) = stock.filter(|choice| choice.owned == Owned::Buy) {
        let what = super::way::stock_name(&choice.stock);
        if !list.iter().any(|buy| buy.what == what) {
            list.push(ToBuy::new(job.bench, what, "the body of the part".into()));
        }
    }
    list
}

fn signed(length: Length) -> String {
    let sign = if length.is_positive() { "+" } else { "-" };
    let shown = length.abs().shown(4);
    match shown.strip_prefix('≈') {
        Some(about) => format!("≈{sign}{about}"),
        None => format!("{sign}{shown}"),
    }
}
