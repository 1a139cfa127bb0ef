//! What parting a block through a bore asks for.

use super::{Before, Makes, Needs, Rule, Spoils, rule};
use crate::order::parted;

/// The rules of blocks that are parted through a bore.
pub(super) const RULES: &[Rule] = &[
    rule(
        "bolts before the parting",
        "the holes of cap and base come over each other only when they are drilled through both while they are one",
        Needs(|job, _, deed| parted::needs_whole(job, deed)),
    ),
    rule(
        "bored with its cap on",
        "what is cut in both is cut with the cap bolted on: before, the saw would take its width out of the middle of it",
        Needs(|job, _, deed| parted::needs_bolted(job, deed)),
    ),
    rule(
        "the saw takes the cap off",
        "sawn off, cap and base are two pieces",
        Spoils(|job, _, deed| parted::spoils_whole(job, deed)),
    ),
    rule(
        "bolted on again",
        "the bolts make one of both again",
        Makes(|job, _, deed| parted::makes_bolted(job, deed)),
    ),
    rule(
        "square, part, face, bolt",
        "both halves are measured from edges that were squared while they were one, and meet on faces that are true",
        Before(|job, _, a, b| parted::in_turn(job, a, b)),
    ),
];
