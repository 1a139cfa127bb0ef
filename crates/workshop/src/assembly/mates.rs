//! Joins that the part files say already: mates with a partner, and threads that screw
//! together.

use super::how::how_named;
use super::{Fitting, Kind, Member, Source, Task, Thing, Which};
use crate::drawing::{Drawing, Feature, FeatureId, Partner};

/// Adds a join for each pair of features that fit or screw together, where the assembly
/// file joins the two parts in no way of its own.
pub(super) fn add(fitting: &mut Fitting, drawings: &[&Drawing]) {
    let mut known: Vec<[(usize, FeatureId); 2]> = Vec::new();
    for (part, drawing) in drawings.iter().enumerate() {
        let mates = drawing.mates.iter().filter_map(|mate| {
            Some((mate.with, mate.partner.as_ref()?, how_of(&mate.fit), Some(mate.fit.as_str())))
        });
        let screwed = drawing.screwed.iter().map(|s| (s.feature, &s.partner, "screwed", None));
        for (feature, partner, how, fit) in mates.chain(screwed) {
            let Some(mut other) = find(drawings, partner) else { continue };
            let mut feature = feature;
            // The holes of a pattern are screwed on as one.
            if partner.nth.is_some() {
                feature = pattern_of(drawing, feature);
                other.1 = pattern_of(drawings[other.0], other.1);
            }
            let mut pair = [(part, feature), other];
            pair.sort();
            if known.contains(&pair) || said(fitting, [part, other.0]) {
                continue;
            }
            known.push(pair);
            let task = join(drawings, (part, feature), other, how, fit);
            fitting.tasks.push(task);
        }
    }
}

fn find(drawings: &[&Drawing], partner: &Partner) -> Option<(usize, FeatureId)> {
    let part = drawings.iter().position(|d| d.name.eq_ignore_ascii_case(&partner.part))?;
    Some((part, partner.find(&drawings[part].features)?))
}

/// The pitch circle or row that a hole stands in, or itself.
fn pattern_of(drawing: &Drawing, hole: FeatureId) -> FeatureId {
    let holds = |feature: &Feature| feature.kind.pattern().is_some_and(|holes| holes.contains(&hole));
    drawing.features.iter().position(holds).map_or(hole, FeatureId)
}

/// Whether the file joins two parts itself.
fn said(fitting: &Fitting, parts: [usize; 2]) -> bool {
    fitting.tasks.iter().filter(|task| !task.said.supposed).any(|task| {
        let joins = matches!(task.kind, Kind::Join { .. });
        joins && parts.iter().all(|&p| task.members.iter().any(|m| m.thing == Thing::Part(p)))
    })
}

/// How a fit is put together: shafts of ISO 286 from `p` on are larger than an H hole.
fn how_of(fit: &str) -> &'static str {
    let word = fit.trim().trim_end_matches("fit").trim().to_ascii_lowercase();
    let tight = fit.split_once('/').is_some_and(|(_, shaft)| {
        shaft.trim().chars().next().is_some_and(|class| ('p'..='z').contains(&class))
    });
    match word.as_str() {
        "press" => "pressed",
        "shrink" => "shrunk",
        "adhesive" => "adhesive",
        _ if tight => "pressed",
        _ => "put together",
    }
}

fn join(
    drawings: &[&Drawing],
    own: (usize, FeatureId),
    other: (usize, FeatureId),
    how: &'static str,
    fit: Option<&str>,
) -> Task {
    let how = how_named(how).expect("a word of the list");
    let member =
        |(part, feature)| Member { thing: Thing::Part(part), which: Which::All, feature: Some(feature) };
    let drawing = drawings[own.0];
    let name = |(part, feature): (usize, FeatureId)| {
        let drawing = drawings[part];
        format!("{} ({})", drawing.name, drawing.features[feature.0].name)
    };
    let line = drawing.mates.iter().find(|m| fit.is_some() && m.with == own.1).map(|m| m.line);
    let line = line.unwrap_or(drawing.features[own.1.0].line);
    Task {
        name: format!("{} and {}", name(own), name(other)),
        kind: Kind::Join { how, apart: how.apart },
        members: vec![member(own), member(other)],
        within: Vec::new(),
        after: Vec::new(),
        set_by: None,
        sets: None,
        closes: Vec::new(),
        cool: Vec::new(),
        because: fit.map(|fit| format!("the part file gives them a {} fit", fit.trim_end_matches(" fit"))),
        design: None,
        minutes: None,
        place: how.place,
        said: Source { place: format!("{}, line {line}", drawing.file), supposed: true },
    }
}
