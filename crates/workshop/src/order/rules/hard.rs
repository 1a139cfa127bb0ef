//! What hardening asks for.

use super::{Before, Rule, overlap, rule};
use crate::order::work::Work;

/// The rules of hardening.
pub(super) const RULES: &[Rule] = &[
    rule(
        "cut before hardened",
        "no drill, tap, file or cutter takes hard steel: every hole, thread and mark comes first",
        Before(|_, _, a, b| {
            let hot = matches!(a.work, Work::Harden | Work::Temper | Work::Lap { .. });
            b.work == Work::Harden && !hot && overlap(a, b)
        }),
    ),
    rule(
        "temper at once",
        "steel left as hard as it was quenched cracks by itself: it is let down before it is cold",
        Before(|_, _, a, b| a.work == Work::Harden && b.work == Work::Temper && overlap(a, b)),
    ),
    rule(
        "one hardened piece, then the next",
        "a piece is let down before the next is hardened, so that none waits hard",
        Before(|_, _, a, b| a.work == Work::Temper && b.work == Work::Harden && a.lot < b.lot),
    ),
    rule(
        "lap last",
        "a lap takes hundredths: whatever still cuts, grips or heats the work comes before it",
        Before(|_, _, a, b| {
            matches!(b.work, Work::Lap { .. }) && !matches!(a.work, Work::Lap { .. }) && overlap(a, b)
        }),
    ),
    rule(
        "lap once tempered",
        "the quench moves what fits closely and leaves scale on it: the last hundredths come off hard steel",
        Before(|_, _, a, b| a.work == Work::Temper && matches!(b.work, Work::Lap { .. }) && overlap(a, b)),
    ),
];
