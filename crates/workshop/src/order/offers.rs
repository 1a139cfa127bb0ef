//! Offering several ways of doing something, the search to choose.

use super::deed::{Deed, Job, Lot, Makings, Refused, Token};

/// A whole stack at once where a cutter covers it, or each by itself, the whole outline
/// alike so that it blends; the search chooses.
pub(super) fn pair_or_each(job: &Job, makings: &mut Makings) -> Vec<(Lot, Option<(usize, usize)>)> {
    let each = job.singles();
    if !job.scheme.sticks() || !job.mill_covers(job.metal(Lot::Stack)) {
        return each.into_iter().map(|lot| (lot, None)).collect();
    }
    let choice = makings.choice(job, THE_OUTLINE);
    let alone = each.into_iter().map(|lot| (lot, Some((choice, 1))));
    std::iter::once((Lot::Stack, Some((choice, 0)))).chain(alone).collect()
}

/// Offers one or several ways of cutting a part of the outline: the deeds of each are made
/// for a whole stack at once where a cutter covers it, and for each piece by itself. `out` are
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
        if let Some(because) = reasons(out.iter().map(|(_, because)| because.as_str())) {
            makings.assume(format!("{name} is {only}: {because}"));
        }
        for (lot, choice) in pair_or_each(job, makings) {
            let made = deeds(makings, 0, lot);
            makings.deeds.extend(made.into_iter().map(|deed| Deed { choice, ..deed }));
        }
        return;
    }
    let both = job.scheme.sticks() && job.mill_covers(job.metal(Lot::Stack));
    let kinds: Vec<(Vec<Lot>, &str)> = if both {
        makings.blends = true;
        vec![(vec![Lot::Stack], job.suffix()), (job.singles(), EACH)]
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

/// Several reasons as one, each said once; none of none.
pub(super) fn reasons<'a>(all: impl Iterator<Item = &'a str>) -> Option<String> {
    let mut said: Vec<&str> = Vec::new();
    for because in all {
        if !said.contains(&because) {
            said.push(because);
        }
    }
    (!said.is_empty()).then(|| said.join("; "))
}

/// The choice whether the outline is cut on the pair or on each piece.
pub(super) const THE_OUTLINE: &str = "the outline";
/// The choice whether holes that go through a whole stack are made in it, of two and of more.
const THROUGH: [&str; 2] = ["what goes through both pieces", "what goes through all pieces"];

impl Job<'_> {
    /// What the choice is called whether holes that go through a whole stack are made in it.
    pub(super) fn through_all(&self) -> &'static str {
        THROUGH[usize::from(self.scheme.high > 2)]
    }

    /// What is done to a whole stack at once, in words.
    pub(super) fn at_once(&self) -> &'static str {
        self.suffix().trim_start_matches(", ")
    }

    /// How a variant ends that is done to a whole stack at once.
    pub(super) fn suffix(&self) -> &'static str {
        if self.scheme.high > 2 { ALL } else { BOTH }
    }
}

/// Of a deed that is one of several to be done alike to a stack or to each piece: what it
/// needs untouched, and what it touches.
pub(super) fn whose(makings: &Makings, deed: &Deed) -> Option<(Token, Token)> {
    if makings.blends && super::waste::forms_outline(deed) {
        let both = (Token::OutlineOfPair, Token::OutlineOfEach);
        return Some(if deed.lot == Lot::Stack { both } else { (both.1, both.0) });
    }
    let (choice, variant) = deed.choice?;
    let (name, variants) = &makings.choices[choice];
    let alike =
        !makings.aligns.is_empty() && (makings.aligns.contains(&choice) || THROUGH.contains(&name.as_str()));
    let pair = !variants[variant].ends_with(EACH.trim_start_matches(", "));
    let both = (Token::HolesOfPair, Token::HolesOfEach);
    alike.then_some(if pair { both } else { (both.1, both.0) })
}

/// How a variant ends that is done to both pieces of a pair at once.
const BOTH: &str = ", both at once";
/// How a variant ends that is done to a whole stack of more than two at once.
const ALL: &str = ", the whole stack at once";
/// How a variant ends that is done to each piece by itself.
pub(super) const EACH: &str = ", each piece by itself";

/// A variant without whose metal it is.
pub(super) fn bare(variant: &str) -> &str {
    [BOTH, ALL, EACH].iter().find_map(|kind| variant.strip_suffix(kind)).unwrap_or(variant)
}

/// Whether two variants are done to the same metal.
pub(super) fn same_metal(one: &str, other: &str) -> bool {
    [BOTH, ALL, EACH].iter().all(|kind| one.ends_with(kind) == other.ends_with(kind))
}

#[cfg(test)]
mod tests {
    use super::reasons;

    #[test]
    fn reasons_are_said_together_and_each_once() {
        assert_eq!(reasons(["no mill", "no disc", "no mill"].into_iter()), Some("no mill; no disc".into()));
        assert_eq!(reasons(std::iter::empty()), None);
    }
}
