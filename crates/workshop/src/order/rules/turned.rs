//! What a part turned from bar asks for.

use super::{
    Before, HoldingNeeds, Makes, Needs, Rule, Spoils, end_of, faced, is_drill, rule, same_end, section_of,
};
use crate::drawing::Face;
use crate::order::deed::Token;
use crate::order::work::{Held, Located, Work};

/// The rules of turned parts.
pub(super) const RULES: &[Rule] = &[
    rule(
        "face the end first",
        "every length at an end is measured from its face",
        Needs(|_, makings, deed| match end_of(makings, deed) {
            Some(end) if !matches!(deed.work, Work::FaceEnd { .. }) => vec![faced(end)],
            _ => Vec::new(),
        }),
    ),
    rule(
        "a faced end",
        "lengths are measured from it",
        Makes(|_, _, deed| match deed.work {
            Work::FaceEnd { end } => vec![faced(end)],
            _ => Vec::new(),
        }),
    ),
    rule(
        "centre before turning",
        "slender work is steadied by the tailstock while it is turned",
        Before(|_, makings, a, b| {
            matches!(a.work, Work::CentreEnd { .. })
                && same_end(makings, a, b)
                && matches!(b.work, Work::TurnSection { .. } | Work::Groove { .. } | Work::CutThread)
        }),
    ),
    rule(
        "thick before thin",
        "the bar stays stiff when the thickest section is turned first",
        Before(|_, makings, a, b| match (&a.work, &b.work) {
            (Work::TurnSection { diameter: thick }, Work::TurnSection { diameter: thin }) => {
                thick > thin && same_end(makings, a, b)
            }
            _ => false,
        }),
    ),
    rule(
        "turn before threading",
        "a die follows a diameter that is turned to size",
        Before(|_, _, a, b| {
            a.feature == b.feature && matches!(a.work, Work::TurnSection { .. }) && b.work == Work::CutThread
        }),
    ),
    rule(
        "turn before grooving",
        "a groove is measured down from a finished diameter",
        Before(|job, _, a, b| {
            matches!(a.work, Work::TurnSection { .. })
                && matches!(b.work, Work::Groove { .. })
                && b.feature.and_then(|id| section_of(job, id)) == a.feature
        }),
    ),
    rule(
        "groove before threading",
        "the die runs out into the groove",
        Before(|job, _, a, b| {
            matches!(a.work, Work::Groove { .. })
                && b.work == Work::CutThread
                && a.feature.and_then(|id| section_of(job, id)) == b.feature
        }),
    ),
    rule(
        "outside before the hole",
        "turned over a hole, a thin wall gives way under the tool",
        Before(|_, makings, a, b| {
            matches!(a.work, Work::TurnSection { .. })
                && is_drill(b)
                && end_of(makings, b).is_some()
                && same_end(makings, a, b)
        }),
    ),
    rule(
        "on the bar",
        "the bar is what the chuck holds",
        HoldingNeeds(|_, place| match place.holding.held {
            Held::Chuck { on: None } | Held::Collet { on: None } => vec![Token::OnBar],
            _ => Vec::new(),
        }),
    ),
    rule(
        "part off last",
        "once parted off, the work is out of the chuck",
        Spoils(|_, _, deed| if deed.work == Work::PartOff { vec![Token::OnBar] } else { Vec::new() }),
    ),
    rule(
        "off the bar",
        "the work is free to be turned round",
        Makes(|_, _, deed| if deed.work == Work::PartOff { vec![Token::OffBar] } else { Vec::new() }),
    ),
    rule(
        "part off before turning round",
        "the work can be turned round only when it is off the bar",
        HoldingNeeds(|_, place| match place.holding.held {
            Held::Chuck { on: Some(_) } | Held::Collet { on: Some(_) } | Held::VeeBlock { .. } => {
                vec![Token::OffBar]
            }
            _ => Vec::new(),
        }),
    ),
    rule(
        "held by a finished section",
        "only a finished section, round and unmarked, holds the work true",
        HoldingNeeds(|_, place| match place.holding.held {
            Held::Chuck { on: Some(section) }
            | Held::Collet { on: Some(section) }
            | Held::VeeBlock { on: section } => vec![Token::Section(section)],
            _ => Vec::new(),
        }),
    ),
    rule(
        "a turned section",
        "a section at its size can be held",
        Makes(|_, _, deed| match (&deed.work, deed.feature) {
            (Work::TurnSection { .. }, Some(section)) => vec![Token::Section(section)],
            _ => Vec::new(),
        }),
    ),
    rule(
        "a thread is no grip",
        "jaws bruise a thread",
        Spoils(|_, _, deed| match (&deed.work, deed.feature) {
            (Work::CutThread, Some(section)) => vec![Token::Section(section)],
            _ => Vec::new(),
        }),
    ),
    rule(
        "turn before the cross hole",
        "a drill starts true across a finished diameter, and the turning tool does not knock in its mouth",
        Before(|job, _, a, b| {
            let crosses =
                b.feature.is_some_and(|id| !matches!(job.part.feature(id).face, Face::Left | Face::Right));
            matches!(a.work, Work::TurnSection { .. })
                && is_drill(b)
                && crosses
                && b.feature.and_then(|id| section_of(job, id)) == a.feature
        }),
    ),
    rule(
        "measure from a faced end",
        "a cross hole is placed from a faced end",
        HoldingNeeds(|_, place| match (&place.holding.held, place.holding.located) {
            (Held::VeeBlock { .. }, Located::EndAndAxis(end)) => vec![faced(end)],
            _ => Vec::new(),
        }),
    ),
];
