//! What stacks ask for that screws hold instead of adhesive.

use super::{Before, Makes, Needs, Rule, is_for, rule};
use crate::order::deed::{Lot, Token};
use crate::order::screwed;
use crate::order::work::Work;

/// The rules of screwed stacks.
pub(super) const RULES: &[Rule] = &[
    rule(
        "holes for the screws",
        "the screws go through holes that are made in the stack as it lies",
        Needs(|_, _, deed| screwed::holes(deed).into_iter().map(Token::ScrewHole).collect()),
    ),
    rule(
        "a hole for a screw",
        "a hole made through the whole stack lets a screw through",
        Makes(|job, makings, deed| {
            let all = screwed::all_holes(makings).into_iter();
            all.filter(|&hole| screwed::makes(job, deed, hole)).map(Token::ScrewHole).collect()
        }),
    ),
    rule(
        "drilled while it is clamped",
        "once a screw fills its hole, nothing is done to that hole in the stack",
        Before(|job, _, a, b| {
            a.lot == Lot::Stack && screwed::holes(b).into_iter().any(|hole| is_for(job, a, hole))
        }),
    ),
    rule(
        "screwed while it is clamped",
        "the screws go in while clamps keep the pieces in line",
        Needs(
            |_, _, deed| {
                if matches!(deed.work, Work::ScrewTogether { .. }) { vec![Token::Stuck] } else { Vec::new() }
            },
        ),
    ),
    rule(
        "screws hold",
        "the screws press the pieces together once their nuts are tight",
        Makes(|_, _, deed| {
            if matches!(deed.work, Work::ScrewTogether { .. }) { vec![Token::Screwed] } else { Vec::new() }
        }),
    ),
    rule(
        "screw, then cut",
        "a cutter or file pushes pieces out of line that only clamps hold, and the clamps are in its way",
        Needs(|job, _, deed| if screwed::pushes(job, deed) { vec![Token::Screwed] } else { Vec::new() }),
    ),
];
