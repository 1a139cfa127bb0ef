//! What a bench without a mill asks for: punched centres, edges to hold by, holes to file in from.

use super::{Before, HoldingNeeds, Needs, Rule, is_drill, lines, of, rule, same_hole};
use crate::order::deed::Token;
use crate::order::work::{Located, Work};

/// The rules of what is marked out and done by hand.
pub(super) const RULES: &[Rule] = &[
    rule(
        "a punched centre to drill at",
        "a drill starts where the punch has marked the crossing of two scribed lines",
        HoldingNeeds(|job, place| match place.holding.located {
            Located::Punched => lines(job, place.lot),
            _ => Vec::new(),
        }),
    ),
    rule(
        "edges to hold by",
        "the drilling vice holds the blank by square edges, which the outline takes away",
        HoldingNeeds(|job, place| {
            if place.holding.held.in_vice()
                && place.holding.located == Located::Punched
                && job.casting().is_none()
            {
                of(job, place.lot, Token::Edges)
            } else {
                Vec::new()
            }
        }),
    ),
    rule(
        "the circle before its middle goes",
        "the circle that a hole is filed to is scribed from its centre, which the chain of holes takes away",
        Needs(|job, _, deed| {
            let filed = deed.feature.is_some_and(|id| job.filed_round(id));
            match deed.work {
                Work::ChainDrill { .. } if filed => lines(job, deed.lot),
                _ => Vec::new(),
            }
        }),
    ),
    rule(
        "drill, then file out",
        "a file, a saw or a chisel goes in through the drilled holes",
        Before(|_, _, a, b| same_hole(a, b) && is_drill(a) && matches!(b.work, Work::MillSlot { .. })),
    ),
];
