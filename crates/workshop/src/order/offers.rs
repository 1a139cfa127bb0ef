//! Offering several ways of doing something, the search to choose.

use super::deed::{Deed, Job, Lot, Makings, Refused, Token};

/// Both pieces at once where a cutter covers both, or each by itself, the whole outline
/// alike so that it blends; the search chooses.
pub(super) fn pair_or_each(job: &Job, makings: &mut Makings) -> Vec<(Lot, Option<(usize, usize)>)> {
    let each = job.singles();
    if !job.scheme.sticks() || !job.mill_covers(job.metal(Lot::Pair)) {
        return each.into_iter().map(|lot| (lot, None)).collect();
    }
    let choice = makings.choice(THE_OUTLINE);
    let alone = each.into_iter().map(|lot| (lot, Some((choice, 1))));
    std::iter::once((Lot::Pair, Some((choice, 0)))).chain(alone).collect()
}

/// Offers one or several ways of cutting a part of the outline: the deeds of each are made
/// for both pieces at once where a cutter covers both, and for each by itself. `out` are
/// the ways that are ruled out, each with its reason.
pub(super) fn offer(
    job: &Job,
    makings: &mut Makings,
    name: &str,
    ways: &[&str],
    out: Vec<(&str, String)>,
    mut deeds: impl FnMut(&mut Makings, usize, Lot) -> Vec<Deed>,
) {
    if let [only] = ways {
        for (_, because) in &out {
            makings.assume(format!("{name} is {only}: {because}"));
        }
        for (lot, choice) in pair_or_each(job, makings) {
            let made = deeds(makings, 0, lot);
            makings.deeds.extend(made.into_iter().map(|deed| Deed { choice, ..deed }));
        }
        return;
    }
    let both = job.scheme.sticks() && job.mill_covers(job.metal(Lot::Pair));
    let kinds: Vec<(Vec<Lot>, &str)> = if both {
        makings.blends = true;
        vec![(vec![Lot::Pair], BOTH), (job.singles(), EACH)]
    } else {
        vec![(job.singles(), "")]
    };
    let choice = makings.choices.len();
    let variants = kinds.iter().flat_map(|(_, kind)| ways.iter().map(move |way| format!("{way}{kind}")));
    makings.choices.push((name.to_owned(), variants.collect()));
    let refused = out.into_iter().map(|(way, because)| Refused { choice, way: way.to_owned(), because });
    makings.refused.extend(refused);
    for (variant, (lots, way)) in
        kinds.iter().flat_map(|(lots, _)| (0..ways.len()).map(move |way| (lots, way))).enumerate()
    {
        for &lot in lots {
            let made = deeds(makings, way, lot);
            makings
                .deeds
                .extend(made.into_iter().map(|deed| Deed { choice: Some((choice, variant)), ..deed }));
        }
    }
}

/// The choice whether the outline is cut on the pair or on each piece.
pub(super) const THE_OUTLINE: &str = "the outline";
/// The choice whether holes that go through both pieces are made in the pair.
pub(super) const THROUGH_BOTH: &str = "what goes through both pieces";

/// Of a deed that is one of several to be done alike to the pair or to each piece: what it
/// needs untouched, and what it touches.
pub(super) fn whose(makings: &Makings, deed: &Deed) -> Option<(Token, Token)> {
    if makings.blends && super::waste::forms_outline(deed) {
        let both = (Token::OutlineOfPair, Token::OutlineOfEach);
        return Some(if deed.lot == Lot::Pair { both } else { (both.1, both.0) });
    }
    let (choice, variant) = deed.choice?;
    let (name, variants) = &makings.choices[choice];
    let alike = !makings.aligns.is_empty() && (makings.aligns.contains(&choice) || name == THROUGH_BOTH);
    let pair = variants[variant].ends_with(BOTH.trim_start_matches(", "));
    let both = (Token::HolesOfPair, Token::HolesOfEach);
    alike.then_some(if pair { both } else { (both.1, both.0) })
}

/// How a variant ends that is done to both pieces at once.
pub(super) const BOTH: &str = ", both at once";
/// How a variant ends that is done to each piece by itself.
pub(super) const EACH: &str = ", each piece by itself";

/// A variant without whose metal it is.
pub(super) fn bare(variant: &str) -> &str {
    variant.strip_suffix(BOTH).or_else(|| variant.strip_suffix(EACH)).unwrap_or(variant)
}

/// Whether two variants are done to the same metal.
pub(super) fn same_metal(one: &str, other: &str) -> bool {
    [BOTH, EACH].iter().all(|kind| one.ends_with(kind) == other.ends_with(kind))
}
