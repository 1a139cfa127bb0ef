//! How far turned work stands out of what holds it, and what steadies it.
//!
//! A cut at the tip bends the work where the lever on it is longest for its thickness: each section
//! that stands out is asked how far its inner side lies from the end, in its own diameters. A thin
//! end on a thick body is stiff by this, a neck behind a thick end is not.

use num_rational::Ratio;

use super::blanks;
use super::coaxial;
use super::deed::{Job, Makings};
use super::turned_held::Grips;
use super::work::{Held, Steadied};
use crate::bench::{There, WorkHolder};
use crate::drawing::{Face, FeatureId, Kind, SectionEnd, SectionSize};
use crate::measure::Length;
use crate::tables::processes::{self, limit, overhang};

/// Where work that stands out is weakest.
struct Weakest {
    on: FeatureId,
    /// From its inner side to the end that is worked.
    out: Length,
    across: Length,
}

impl Weakest {
    fn diameters(&self) -> Ratio<i128> {
        self.out.ratio_to(self.across)
    }

    fn over(&self, steadied_by: &str) -> bool {
        self.diameters() > overhang(steadied_by)
    }
}

/// Where the sections that stand out, from left to right, are weakest for a cut at an end.
fn weakest(job: &Job, end: Face, sections: &[FeatureId]) -> Option<Weakest> {
    let inner = SectionEnd::toward(end).other();
    let of = |n: usize| {
        let on = sections[n];
        let outwards = if end == Face::Left { &sections[..=n] } else { &sections[n..] };
        let out = job.part.length_of(outwards);
        let across = job.part.end_diameter(on, inner).or_else(|| job.part.cut_diameter(on))?;
        across.is_positive().then_some(Weakest { on, out, across })
    };
    (0..sections.len()).filter_map(of).max_by_key(Weakest::diameters)
}

/// Whether what stands out at an end springs as its skin comes off. What is too thin to be steadied is
/// finished as it is roughed, from the tip on.
pub(super) fn slender(job: &Job, end: Face, sections: &[FeatureId]) -> bool {
    thin_tip(job, end).is_none()
        && weakest(job, end, sections).is_some_and(|weak| weak.over("roughing first"))
}

/// The outermost section of an end, and how wide it ends, where that is too thin for a centre hole.
fn thin_tip(job: &Job, end: Face) -> Option<(FeatureId, Length)> {
    let sections = job.part.sections();
    let tip = *if end == Face::Left { sections.first() } else { sections.last() }?;
    let across = job.part.end_diameter(tip, SectionEnd::toward(end))?;
    (across < limit("centred end")).then_some((tip, across))
}

/// Of the sections of one end, from left to right, those that have to stand out of the bar's chuck: what
/// is left as the bar comes stays inside as far as nothing is cut into it.
fn out_of_the_bar<'a>(job: &Job, end: Face, sections: &'a [FeatureId]) -> &'a [FeatureId] {
    let cut = |id: &FeatureId| !blanks::untouched(job, *id);
    match end {
        Face::Left => &sections[..sections.iter().rposition(cut).map_or(0, |at| at + 1)],
        _ => &sections[sections.iter().position(cut).unwrap_or(sections.len())..],
    }
}

/// What steadies the bar while an end of it is turned.
pub(super) fn bar_steadied(job: &Job, makings: &mut Makings, end: Face, sections: &[FeatureId]) -> Steadied {
    let out = out_of_the_bar(job, end, sections);
    steadied(job, makings, end, weakest(job, end, out))
}

/// What steadies work that is turned round, by the grip from which most of it stands out.
pub(super) fn round_steadied(
    job: &Job,
    makings: &mut Makings,
    (end, sections): (Face, &[FeatureId]),
    grips: &Grips,
) -> Steadied {
    if sections.iter().all(|&id| blanks::untouched(job, id)) {
        return Steadied::Not;
    }
    let worst = grips.on.iter().filter_map(|held| weakest_beyond(job, end, held));
    let worst = worst.max_by_key(Weakest::diameters);
    steadied(job, makings, end, worst)
}

/// Where what stands out of the jaws that close on a section is weakest.
fn weakest_beyond(job: &Job, end: Face, held: &Held) -> Option<Weakest> {
    let on = held.grips().filter(|_| held.in_jaws())?;
    let sections = job.part.sections();
    let at = sections.iter().position(|&id| id == on)?;
    weakest(job, end, if end == Face::Left { &sections[..at] } else { &sections[at + 1..] })
}

/// Leaves out the grips from which more stands out than the chuck alone carries, where one that
/// runs as true carries it.
pub(super) fn close_in(job: &Job, end: Face, grips: &mut Grips) {
    let firm = |held: &Held| weakest_beyond(job, end, held).is_none_or(|weak| !weak.over("the chuck alone"));
    let as_bar = |held: &Held| held.grips().is_some_and(|on| blanks::untouched(job, on));
    let as_true = |held: &Held, than: &Held| {
        coaxial::off(job, held) <= coaxial::off(job, than) && as_bar(held) <= as_bar(than)
    };
    let all = grips.on.clone();
    grips.on.retain(|held| firm(held) || !all.iter().any(|other| firm(other) && as_true(other, held)));
}

fn steadied(job: &Job, makings: &mut Makings, end: Face, weakest: Option<Weakest>) -> Steadied {
    let Some(weak) = weakest.filter(|weak| weak.over("the chuck alone")) else { return Steadied::Not };
    if let Some((tip, across)) = thin_tip(job, end) {
        makings.assume(format!(
            "{} ends {across} across, too thin for a centre hole: bring that end to size from the tip on in short lengths \
             with a sharp tool, the metal behind them still thick",
            job.name(tip)
        ));
        return Steadied::Not;
    }
    if !weak.over("the tailstock") {
        return Steadied::Tailstock;
    }
    if job.bench.has(WorkHolder::TravellingSteady) != There::No {
        return Steadied::Travelling;
    }
    makings.assume(format!(
        "{} stands out by {} of {}, more than {} times that, and no travelling steady is there: light cuts with a sharp tool, and measure along it",
        weak.out,
        job.name(weak.on),
        weak.across,
        overhang("the tailstock")
    ));
    Steadied::Tailstock
}

/// Where the fixed steady runs while something is bored in an end that stands far out: the
/// outermost plain section there that is long enough for its fingers.
pub(super) fn steady_on(job: &Job, end: Face, sections: &[FeatureId]) -> Option<FeatureId> {
    if job.bench.has(WorkHolder::FixedSteady) == There::No {
        return None;
    }
    let least = processes::holding("fixed steady").least_grip;
    let plain = |id: &FeatureId| {
        matches!(job.part.feature(*id).kind, Kind::Section { size: SectionSize::Plain(_), throw: None, .. })
            && job.part.section_length(*id) >= least
    };
    let mut all = sections.iter().copied().filter(plain);
    if end == Face::Left { all.next() } else { all.next_back() }
}
