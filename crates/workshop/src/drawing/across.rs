//! Whether the parts of a project agree where they meet.
//!
//! Each file says what it has typed; a mate and a screwed thread may name the
//! feature of another part that they meet. Both drawings then give one size
//! twice, and a slip of the pen in either shows.

use num_rational::Ratio;

use super::{Chain, Drawing, FeatureId, LinkTo, Mate, Partner, Screwed, Size};
use crate::document::{meant, nearest_word};
use crate::measure::{Length, Unit};
use crate::problem::Problem;

/// Every place where two parts that meet do not agree.
pub fn across(parts: &[Drawing]) -> Vec<Problem> {
    said_of(parts, |_| true)
}

/// The same, of what one part says or is said of it.
pub fn across_one(parts: &[Drawing], one: &Drawing) -> Vec<Problem> {
    said_of(parts, |names| names.iter().any(|name| one.name.eq_ignore_ascii_case(name)))
}

/// What does not agree, of statements that are wanted by the names of the parts they tie.
fn said_of(parts: &[Drawing], wanted: impl Fn(&[&str]) -> bool) -> Vec<Problem> {
    let mut faults = Vec::new();
    for part in parts {
        for mate in &part.mates {
            let Some(partner) = &mate.partner else { continue };
            if !wanted(&[&part.name, &partner.part]) {
                continue;
            }
            match find(parts, part, partner) {
                Ok((other, id)) => faults.extend(mated(part, mate, other, id)),
                Err(fault) => faults.push(fault.concerns(&part.features[mate.with.0].name)),
            }
        }
        for screwed in &part.screwed {
            if !wanted(&[&part.name, &screwed.partner.part]) {
                continue;
            }
            match find(parts, part, &screwed.partner) {
                Ok((other, id)) => faults.extend(same_thread(part, screwed, other, id)),
                Err(fault) => faults.push(fault.concerns(&part.features[screwed.feature.0].name)),
            }
        }
        for chain in part.chains.iter().filter(|chain| !chain.is_own()) {
            let others = chain.links.iter().filter_map(|link| match &link.to {
                LinkTo::Other { part, .. } => Some(part.as_str()),
                LinkTo::Own(_) => None,
            });
            if !wanted(&others.chain([part.name.as_str()]).collect::<Vec<_>>()) {
                continue;
            }
            match added_up(parts, part, chain) {
                Ok((left, hidden)) => faults.extend(chain.off(part, left, hidden)),
                Err(more) => faults.extend(more),
            }
        }
    }
    faults
}

/// What a chain comes to as drawn, and how much of it the rounding of decimals may hide.
fn added_up(parts: &[Drawing], from: &Drawing, chain: &Chain) -> Result<(Length, Length), Vec<Problem>> {
    let (mut left, mut hidden, mut faults) = (Length::ZERO, Length::ZERO, Vec::new());
    for link in &chain.links {
        let found = match &link.to {
            LinkTo::Own(size) => Ok((from, *size)),
            LinkTo::Other { part, name } => size_of(parts, part, name),
        };
        match found {
            Ok((part, size)) => {
                left += part.drawn(size).scaled(Ratio::from_integer(link.times));
                hidden += part.hidden(size).scaled(Ratio::from_integer(link.times.abs()));
            }
            Err(fault) => faults.push(chain.at(from, link.line, fault)),
        }
    }
    if faults.is_empty() { Ok((left, hidden)) } else { Err(faults) }
}

/// A size of another part, by name.
fn size_of<'a>(parts: &'a [Drawing], part: &str, name: &str) -> Result<(&'a Drawing, Size), Problem> {
    let Some(other) = parts.iter().find(|other| other.name.eq_ignore_ascii_case(part)) else {
        let near = nearest_word(part, parts.iter().map(|other| other.name.as_str()));
        return Err(Problem::new(format!("no part of the project is called `{part}`")).mend(meant(
            near,
            "name it as its own file does in `part = \"…\"`, or take the chain out until it is entered",
        )));
    };
    other.size_named(name).map(|size| (other, size)).ok_or_else(|| {
        let near = other.size_near(name);
        Problem::new(format!("{} has no size called `{name}`", other.name))
            .mend(meant(near, "name it as `oddleg metric` lists it, such as `journal: length`"))
    })
}

/// The other part and its feature, by name.
fn find<'a>(
    parts: &'a [Drawing],
    from: &Drawing,
    partner: &Partner,
) -> Result<(&'a Drawing, FeatureId), Problem> {
    let unknown = |what: String, near: Option<&str>, else_: &str| {
        Problem::new(what)
            .at(format!("line {}, `with`", partner.line))
            .at(from.file.clone())
            .mend(meant(near, else_))
    };
    let Some(part) = parts.iter().find(|part| part.name.eq_ignore_ascii_case(&partner.part)) else {
        return Err(unknown(
            format!("no part of the project is called `{}`", partner.part),
            nearest_word(&partner.part, parts.iter().map(|part| part.name.as_str())),
            "name it as its own file does in `part = \"…\"`, or take `with` out until it is entered",
        ));
    };
    let names = || part.features.iter().map(|feature| feature.name.as_str());
    match (partner.find(&part.features), names().any(|name| name.eq_ignore_ascii_case(&partner.feature))) {
        (Some(id), _) => Ok((part, id)),
        (None, true) => Err(unknown(
            format!("`{}` of {} has fewer holes than what is screwed to it", partner.feature, part.name),
            None,
            "check how many each has, or name the holes singly: the first is that name with ` 1` behind it",
        )),
        (None, false) => Err(unknown(
            format!("{} has no feature called `{}`", part.name, partner.feature),
            nearest_word(&partner.feature, names()),
            "name one of its features",
        )),
    }
}

/// A shaft and its hole: the size that one file gives the mate against the size
/// of the feature it is.
fn mated(part: &Drawing, mate: &Mate, other: &Drawing, id: FeatureId) -> Option<Problem> {
    let feature = &other.features[id.0];
    let here = format!("`{}`: {}", mate.name, part.dimensions[mate.size.0].written.text);
    let place = |problem: Problem| {
        problem
            .at(format!("line {}, `{}`", mate.line, mate.name))
            .at(part.file.clone())
            .concerns(&part.features[mate.with.0].name)
            .concerns(&part.dimensions[mate.size.0].name)
    };
    let Some(&size) = feature.kind.sizes().first() else {
        return Some(place(
            Problem::new(format!("{}: {} has no size for a mate", other.name, feature.name))
                .why("a mate is a shaft in a hole, or a square in a square hole")
                .mend("name the hole, section or flats that it meets; for threads use `[[screwed]]`"),
        ));
    };
    let there = &other.dimensions[size.0];
    let apart = part.dimensions[mate.size.0].written.length.gap(there.written.length);
    if apart > Length::ZERO {
        return Some(place(
            Problem::new(format!("two parts disagree by {} where they meet", amount(part, apart)))
                .why(format!("{here} here, and {} for {} of {}", there.written.text, feature.name, other.name))
                .mend("check both against their drawings; the nominal size is one, the fit makes the difference"),
        ));
    }
    // Where the other part names this one in turn, the fit is one fit.
    let back = other.mates.iter().find(|back| {
        back.with == id
            && back.partner.as_ref().is_some_and(|partner| {
                partner.part.eq_ignore_ascii_case(&part.name)
                    && partner.feature.eq_ignore_ascii_case(&part.features[mate.with.0].name)
            })
    });
    back.filter(|back| !back.fit.eq_ignore_ascii_case(&mate.fit)).map(|back| {
        place(
            Problem::new(format!("two parts do not agree how closely `{}` fits", mate.name))
                .why(format!("{} here, and {} for {} of {}", mate.fit, back.fit, feature.name, other.name))
                .mend("give both the same fit"),
        )
    })
}

fn same_thread(part: &Drawing, screwed: &Screwed, other: &Drawing, id: FeatureId) -> Option<Problem> {
    let own = &part.threads[screwed.thread.0];
    let feature = &other.features[id.0];
    let place = |problem: Problem| {
        problem
            .at(format!("line {}, `with`", screwed.partner.line))
            .at(part.file.clone())
            .concerns(&part.features[screwed.feature.0].name)
            .concerns(&own.name)
    };
    let Some(thread) = feature.kind.screwed() else {
        return Some(place(
            Problem::new(format!("{}: {} has no thread", other.name, feature.name))
                .mend("name the tapped hole, threaded section or hole with `clears` that it screws into, on to or through"),
        ));
    };
    let there = &other.threads[thread.0];
    (own.thread.designation != there.thread.designation).then(|| {
        place(
            Problem::new("two parts that screw together have different threads")
                .why(format!("{} here, and {} for {} of {}", own.text, there.text, feature.name, other.name))
                .mend("check both against their drawings"),
        )
    })
}

fn amount(part: &Drawing, length: Length) -> String {
    match part.unit {
        Some(Unit::Inch) => format!("{length} ({:.4} in)", length.as_inches()),
        _ => length.to_string(),
    }
}
