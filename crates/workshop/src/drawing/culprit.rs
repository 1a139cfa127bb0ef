//! Which statement of a disagreement is likely to be the wrong one, and what it
//! should read.
//!
//! For each member the value that would make the rest agree is reckoned. A member
//! that one ordinary slip turns into that value is likelier than one that needs a
//! figure out of nowhere, and likelier still when the whole drawing then agrees: a
//! dimension that other checks bear out is not the wrong one.

use super::agree::{Needed, needed};
use super::circuit::{Disagreement, disagreements};
use super::rows::{EDGES, Node, Row, last_place, unknown};
use super::settled::settle_curves;
use super::slip::{Slip, readings, shown};
use super::solve::stated;
use super::system::{System, row_of, take};
use super::{DimensionId, Drawing, FeatureId, Reference, Says};
use crate::measure::{Length, Unit, Written};
use crate::problem::Problem;

/// Something that would mend a disagreement.
#[derive(Clone, Debug)]
struct Repair {
    source: usize,
    mend: Mend,
    slip: Slip,
    /// Disagreements that are left when it is done.
    left: usize,
    /// How unlikely it is.
    cost: i64,
}

#[derive(Clone, Debug)]
enum Mend {
    /// The dimension reads otherwise.
    Size { dimension: DimensionId, reads: Written },
    /// The other way along the same axis.
    Turned,
    /// From another place.
    From(Reference),
}

/// The disagreements of a drawing as problems, each with its likeliest mending.
pub(super) fn told(system: &System, found: &[Disagreement]) -> Vec<Problem> {
    gathered(system, found).into_iter().map(|group| tell(system, &group, found.len())).collect()
}

/// Disagreements that have a statement in common, together: one slip may be behind all.
fn gathered<'a>(system: &System, found: &'a [Disagreement]) -> Vec<Vec<&'a Disagreement>> {
    let shares = |a: &Disagreement, b: &Disagreement| {
        a.sources.iter().any(|at| b.sources.contains(at) && system.sources[*at].dimension.is_some())
    };
    let mut groups: Vec<Vec<&Disagreement>> = Vec::new();
    for one in found {
        let (met, rest): (Vec<_>, Vec<_>) =
            groups.into_iter().partition(|group| group.iter().any(|other| shares(one, other)));
        groups = rest;
        let mut whole: Vec<&Disagreement> = met.into_iter().flatten().collect();
        whole.push(one);
        groups.push(whole);
    }
    groups
}

/// How many statements disagree in a drawing, for telling a mending from a worsening.
fn quarrels_left(drawing: &Drawing) -> usize {
    let system = stated(drawing);
    let settled = settle_curves(&system);
    system.clashes.len() + settled.quarrels.len() + settled.faults.len() + system.faults.len()
}

fn tell(system: &System, group: &[&Disagreement], all: usize) -> Problem {
    let drawing = system.drawing;
    let shown = group.iter().min_by_key(|one| one.sources.len()).expect("a group has a member");
    let needs = needs(system, shown);
    let least = needs.iter().map(|need| need.change.abs()).min();
    let amount = super::circuit::amount(system, shown, least);
    let inches = match drawing.unit {
        Some(Unit::Inch) => format!(" ({:.4} in)", amount.as_inches()),
        _ => String::new(),
    };
    let what = if shown.difference.is_some() {
        format!("the drawing disagrees with itself by {amount}{inches}")
    } else {
        let names: Vec<String> =
            placed(system, shown).iter().map(|id| format!("`{}`", drawing.features[id.0].name)).collect();
        format!(
            "the distances that place {} cannot meet: they are out by {} mm{inches}",
            names.join(" and "),
            amount.decimals(4)
        )
    };
    let statements: Vec<String> = shown.sources.iter().map(|&at| system.words(at)).collect();
    let mut why = format!("these cannot all be true: {}", statements.join("; "));
    if group.len() > 1 {
        why.push_str("; some of them stand in other disagreements too");
    }
    let repairs = repairs(system, group, &needs, all);
    let mut lines: Vec<String> =
        shown.sources.iter().filter_map(|&at| system.sources[at].line).map(|l| l.to_string()).collect();
    lines.dedup();
    let problem = Problem::new(what)
        .at(format!("lines {}", lines.join(", ")))
        .at(drawing.file.clone())
        .why(why)
        .mend(advice(system, &repairs));
    let mut concerned: Vec<String> = Vec::new();
    for repair in repairs.iter().take(1) {
        concerned.extend(names(system, repair.source));
    }
    for &source in &shown.sources {
        concerned.extend(names(system, source));
    }
    concerned.into_iter().fold(problem, Problem::concerns)
}

/// The dimension of a statement and the feature it places, by name.
fn names(system: &System, source: usize) -> Vec<String> {
    let source = &system.sources[source];
    let dimension = source.dimension.map(|id| system.drawing.dimensions[id.0].name.clone());
    let feature = source.statement.map(|(id, _)| system.drawing.features[id.0].name.clone());
    dimension.into_iter().chain(feature).collect()
}

/// The features that the curves of a disagreement place.
fn placed(system: &System, one: &Disagreement) -> Vec<FeatureId> {
    let mut ids: Vec<FeatureId> = Vec::new();
    for curve in system.curves.iter().filter(|curve| one.sources.contains(&curve.source)) {
        if let Some((id, _)) = system.sources[curve.source].statement
            && !ids.contains(&id)
        {
            ids.push(id);
        }
    }
    ids
}

/// What each dimension of a disagreement would have to be.
fn needs(system: &System, one: &Disagreement) -> Vec<Needed> {
    let Some(difference) = &one.difference else {
        return one
            .sources
            .iter()
            .flat_map(|&source| needed(system, &one.sources, source, &one.near))
            .collect();
    };
    let amount = system.drawn(difference);
    one.sources
        .iter()
        .flat_map(|&source| {
            let own = system.sources[source].dimension;
            // A wall or a touch counts the sizes of what it lies between, too.
            let others = system.stated.iter().filter(move |stated| stated.source == source);
            let mut ids: Vec<DimensionId> =
                own.into_iter().chain(others.flat_map(|s| s.value.terms.keys().copied())).collect();
            ids.sort_unstable();
            ids.dedup();
            ids.into_iter().map(move |dimension| (source, dimension))
        })
        .filter_map(|(source, dimension)| {
            let times = difference.terms.get(&dimension)?;
            let change = -amount.scaled(num_rational::Ratio::from_integer(1) / *times);
            Some(Needed { source, dimension, change })
        })
        .collect()
}

/// Every mending that was found, the likeliest first.
fn repairs(system: &System, group: &[&Disagreement], needs: &[Needed], all: usize) -> Vec<Repair> {
    let mut found = Vec::new();
    for need in needs {
        found.extend(sizes(system, need));
    }
    // One slip behind several disagreements may be in a statement that this one shares
    // with the others, or in one that only they have.
    for other in group.iter().filter(|_| group.len() > 1) {
        for need in self::needs(system, other) {
            found.extend(sizes(system, &need));
        }
    }
    for &source in group.iter().flat_map(|one| &one.sources) {
        found.extend(turned(system, source));
        found.extend(elsewhere(system, source));
    }
    let mut tried: Vec<Repair> = Vec::new();
    for mut repair in found {
        let Some(mended) = mended(system, &repair) else { continue };
        repair.left = quarrels_left(&mended);
        if repair.left < all || (repair.slip == Slip::Other && repair.left <= all) {
            let same = |other: &Repair| other.source == repair.source && other.slip == repair.slip;
            if !tried.iter().any(same) {
                tried.push(repair);
            }
        }
    }
    let known = tried.iter().any(|repair| repair.slip != Slip::Other);
    tried.retain(|repair| !known || repair.slip != Slip::Other);
    tried.sort_by_key(|repair| (repair.left, repair.cost, repair.source));
    tried
}

/// What a dimension may have been, where one slip gives what it would have to be.
fn sizes(system: &System, need: &Needed) -> Vec<Repair> {
    let drawing = system.drawing;
    let written = &drawing.dimensions[need.dimension.0].written;
    let wanted = written.length + need.change;
    let size = |reads: Written, slip: Slip| {
        let twice = drawing
            .dimensions
            .iter()
            .enumerate()
            .any(|(at, other)| at != need.dimension.0 && other.written.length == reads.length);
        let cost = slip.cost() + roughness(&reads) - if twice { 3 } else { 0 };
        let mend = Mend::Size { dimension: need.dimension, reads };
        Repair { source: need.source, mend, slip, left: 0, cost }
    };
    // Curves are only solved as nearly as a search goes, and decimals are rounded.
    let near = last_place(written) * 4 + Length::mm_ratio(1, 200);
    let mut read = readings(written, drawing.unit);
    read.retain(|(reading, _)| reading.length.gap(wanted) <= near);
    read.sort_by_key(|(reading, _)| reading.length.gap(wanted));
    let mut found: Vec<Repair> = read.into_iter().map(|(reading, slip)| size(reading, slip)).collect();
    if found.is_empty() && wanted.is_positive() {
        let reads = Written { text: shown(wanted, written.unit), length: wanted, unit: written.unit };
        let mut other = size(reads, Slip::Other);
        // Of figures out of nowhere the nearest is the likeliest.
        other.cost += (need.change.abs().as_mm() * 10.0).min(1000.0) as i64;
        found.push(other);
    }
    found
}

/// How odd a figure is for a drawing, in tenths: fine fractions and many decimals.
fn roughness(written: &Written) -> i64 {
    match written.unit {
        Unit::Inch => match written.length.as_inch_fraction() {
            Some(text) if text.ends_with("/64") => 3,
            Some(text) if text.ends_with("/32") => 1,
            Some(_) => 0,
            None => 4,
        },
        Unit::Mm => (0..=4)
            .find(|&places| written.length.shown(places).starts_with(|c: char| c != '≈'))
            .map_or(6, |places| i64::from(places) * 2),
    }
}

/// The same statement the other way along its axis.
fn turned(system: &System, source: usize) -> Option<Repair> {
    let (id, at) = system.sources[source].statement?;
    let Says::Along { from, .. } = system.drawing.features[id.0].placing[at].says else { return None };
    // What is measured from an edge can only run inwards.
    let inwards = from.edge().is_some() && system.drawing.features[id.0].placing[at].text.contains(" from ");
    (!inwards).then(|| Repair {
        source,
        mend: Mend::Turned,
        slip: Slip::Way,
        left: 0,
        cost: Slip::Way.cost(),
    })
}

/// The same distance from another place, where that would come out: the other
/// statements say where the feature lies, and so what it was measured from.
fn elsewhere(system: &System, source: usize) -> Vec<Repair> {
    let Some((id, at)) = system.sources[source].statement else { return Vec::new() };
    let Says::Along { axis, negative, from, dimension } = system.drawing.features[id.0].placing[at].says
    else {
        return Vec::new();
    };
    let mut rows: Vec<Row> = Vec::new();
    for stated in system.stated.iter().filter(|stated| stated.source != source) {
        take(&mut rows, row_of(stated));
    }
    let drawn = |node: Node| -> Option<Length> {
        let unknown = unknown(node, axis);
        let row = rows.iter().find(|row| row.pivot == unknown && row.coefficients.len() == 1)?;
        Some(system.drawn(&row.value))
    };
    let Some(own) = drawn(Node::Feature(id)) else { return Vec::new() };
    let written = &system.drawing.dimensions[dimension.0].written;
    let wanted = if negative { own + written.length } else { own - written.length };
    let near = last_place(written) * 4;
    let features = (0..system.drawing.features.len()).map(FeatureId).filter(|&other| other != id);
    let edges = EDGES.into_iter().filter(|edge| edge.edge().is_some_and(|(on, _)| on == axis));
    let places = features.map(|id| (Reference::Feature(id), Node::Feature(id)));
    places
        .chain(edges.map(|edge| (edge, Node::Edge(edge))))
        .filter(|&(other, node)| other != from && drawn(node).is_some_and(|at| at.gap(wanted) <= near))
        .map(|(other, _)| other)
        .chain((from != Reference::Datum && wanted.abs() <= near).then_some(Reference::Datum))
        .take(2)
        .map(|other| Repair {
            source,
            mend: Mend::From(other),
            slip: Slip::From,
            left: 0,
            cost: Slip::From.cost(),
        })
        .collect()
}

/// The drawing with a repair made.
fn mended(system: &System, repair: &Repair) -> Option<Drawing> {
    let mut drawing = system.drawing.clone();
    if let Mend::Size { dimension, reads } = &repair.mend {
        drawing.dimensions[dimension.0].written = reads.clone();
        return Some(drawing);
    }
    let (id, at) = system.sources[repair.source].statement?;
    let Says::Along { negative, from, .. } = &mut drawing.features[id.0].placing[at].says else {
        return None;
    };
    match repair.mend {
        Mend::Turned => *negative = !*negative,
        Mend::From(other) => *from = other,
        Mend::Size { .. } => {}
    }
    Some(drawing)
}

/// The likeliest mending in words, and what else it might be.
fn advice(system: &System, repairs: &[Repair]) -> String {
    const OTHERS: usize = 2;
    let always = "check each against the drawing; if the drawing itself is wrong, keep the ones that matter \
                  and take one out";
    let Some(best) = repairs.first().filter(|best| best.slip != Slip::Other) else {
        let could: Vec<String> = repairs.iter().take(OTHERS + 1).map(|r| words(system, r)).collect();
        return if could.is_empty() {
            always.to_owned()
        } else {
            format!("{always}; they would agree if {}", could.join(", or if "))
        };
    };
    let others: Vec<String> = repairs[1..]
        .iter()
        .filter(|other| other.left == best.left)
        .take(OTHERS)
        .map(|other| words(system, other))
        .collect();
    let or = if others.is_empty() { String::new() } else { format!("; or {}", others.join(", or ")) };
    let then = if best.left == 0 { ", and then all agree" } else { "" };
    format!("most likely {}{then}{or}; otherwise {always}", words(system, best))
}

/// What a repair changes: `stop hole: right of pivot boss` should read `1 5/16`.
fn words(system: &System, repair: &Repair) -> String {
    let drawing = system.drawing;
    let source = &system.sources[repair.source];
    match &repair.mend {
        Mend::Size { dimension, reads } => {
            let dimension = &drawing.dimensions[dimension.0];
            let slip = match repair.slip {
                Slip::Other => String::new(),
                slip => format!(" ({})", slip.words()),
            };
            format!("`{}` reads `{}`, not `{}`{slip}", dimension.name, reads.text, dimension.written.text)
        }
        Mend::Turned => format!("`{}` runs {}", source.text, repair.slip.words()),
        Mend::From(other) => {
            let name = other.word(&|id| drawing.features[id.0].name.clone());
            format!("`{}` is measured from `{name}` instead", source.text)
        }
    }
}

/// The disagreements of a system, found and told.
pub(super) fn problems(system: &System, quarrels: &[super::settled::Quarrel]) -> Vec<Problem> {
    let found = disagreements(system, quarrels);
    told(system, &found)
}
