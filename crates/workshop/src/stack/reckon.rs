//! A sum reckoned, as drawn or as it will be made.

use num_rational::Ratio;
use stacks::{Asked, Law, Lies, Play, Quantity, Spread, Stack, Trial};

use super::find::{Pin, Sum, Term, What};
use super::limits::law;
use super::{Between, Draws, Held, Told, Which, between, shown};
use crate::assembly::{Lie, PinLies, Times};
use crate::drawing::{FeatureId, Kind, SectionSize, Size};
use crate::measure::Length;
use crate::metric::clearance_asked;
use crate::problem::{Outcome, Problem};
use crate::why::{Figure, Why};

/// One state of a sum.
#[derive(Clone, Debug)]
pub struct State {
    /// Which sizes.
    pub which: Which,
    /// What adds up.
    pub members: Vec<Member>,
    /// The least and the most that can be left, exactly.
    pub worst: (Length, Length),
    /// Mean, deviation, contributions.
    pub spread: Spread,
    /// What came of many drawn.
    pub trial: Trial,
    /// Its figures, each with its reason.
    pub figures: Vec<Figure>,
}

/// A size of the sum, or the play of a pin.
#[derive(Clone, Debug)]
pub struct Member {
    /// What it is called.
    pub name: String,
    /// How many times it counts.
    pub times: Times,
    /// The least it may be.
    pub lower: Length,
    /// The most.
    pub upper: Length,
    /// How it lies between them, in words.
    pub lies: &'static str,
    /// What it adds to the worst case, either way, in mm.
    pub worst_mm: f64,
    /// Its share of the variance, from nought to one.
    pub share: f64,
    /// On what its limits rest.
    pub why: Why,
    /// What is supposed of how it lies between them.
    pub supposed: Option<Why>,
}

/// A sum as drawn, and as it will be made where every size of it is chosen.
pub(super) fn told(sum: &Sum, parts: &[Held], draws: Draws) -> Outcome<Told> {
    let at = |fault: Problem| vec![fault.at(format!("`{}`", sum.name)).at(sum.place.clone())];
    let drawn = state(sum, parts, Which::Drawn, draws).map_err(at)?;
    let open: Vec<&str> = sum
        .terms
        .iter()
        .filter(|term| matches!(term.what, What::Of(part, _) if parts[part].metric.is_none()))
        .map(|term| term.text.as_str())
        .collect();
    let mut states: Vec<State> = drawn.into_iter().collect();
    if open.is_empty() {
        states.extend(state(sum, parts, Which::Chosen, draws).map_err(at)?);
    }
    Ok(Told {
        name: sum.name.clone(),
        place: sum.place.clone(),
        sum: sum.words.clone(),
        least: sum.least,
        most: sum.most,
        states,
        open: (!open.is_empty()).then(|| format!("not chosen yet: {}", open.join(", "))),
    })
}

fn state(sum: &Sum, parts: &[Held], which: Which, draws: Draws) -> Result<Option<State>, Problem> {
    let mut build = Build { parts, which, stack: Stack::default(), exact: Vec::new(), members: Vec::new() };
    for term in &sum.terms {
        let Some(between) = build.limits(term) else { return Ok(None) };
        build.size(term, &between);
    }
    for pin in &sum.plays {
        build.play(sum, pin)?;
    }
    let Build { stack, exact, members, .. } = build;
    let fault = |fault: stacks::Fault| {
        let problem = Problem::new(format!("{}: {fault}", which.words()));
        match fault {
            stacks::Fault::NoRoom(..) => problem
                .why("a pin that is larger than its bore has no play")
                .mend("check both sizes and their limits, or take the play out where it is pressed in"),
            _ => problem.mend("check the sizes that it names"),
        }
    };
    let spread = stack.spread().map_err(fault)?;
    let asked = Asked {
        samples: draws.samples,
        seed: draws.seed,
        threads: draws.threads,
        least: sum.least.map(Length::as_mm),
        most: sum.most.map(Length::as_mm),
    };
    let trial = stack.tried(&asked).map_err(fault)?;
    let worst = (ends(&stack, &exact, false), ends(&stack, &exact, true));
    let members = contributing(members, &spread);
    let mut state = State { which, members, worst, spread, trial, figures: Vec::new() };
    state.figures = shown::figures(sum, &state, draws);
    Ok(Some(state))
}

/// What each contributes, the greatest first; the clearance of a fit counts with its play.
fn contributing(mut members: Vec<Member>, spread: &Spread) -> Vec<Member> {
    for member in &mut members {
        let own = spread.contributions.iter().filter(|one| one.name == member.name);
        (member.worst_mm, member.share) = own.fold((0.0, 0.0), |(w, s), one| (w + one.worst, s + one.share));
    }
    members.sort_by(|a, b| b.worst_mm.total_cmp(&a.worst_mm));
    members
}

struct Build<'a> {
    parts: &'a [Held<'a>],
    which: Which,
    stack: Stack,
    /// Lower and upper limit and times of each quantity, exactly.
    exact: Vec<(Length, Length, Times)>,
    members: Vec<Member>,
}

impl Build<'_> {
    fn limits(&self, term: &Term) -> Option<Between> {
        let mut found = match term.what {
            What::Of(part, size) => between(&self.parts[part], size, self.which)?,
            What::Own(length) => {
                let why = Why::new(format!("{length}, as the stack says")).source("the assembly file");
                let room = Why::assumed("taken as exact: no `within` is said for it");
                Between { aim: length, lower: length, upper: length, why, room, most_metal: None }
            }
        };
        if let Some(room) = term.within
            && (found.lower != found.upper || matches!(term.what, What::Own(_)))
        {
            (found.lower, found.upper) = (found.aim - room, found.aim + room);
            found.room = Why::new(format!("within {room}, as the stack says")).source("the assembly file");
        }
        Some(found)
    }

    fn size(&mut self, term: &Term, found: &Between) {
        let (law, lies) = law(term.lies.unwrap_or(Lie::Evenly), found.most_metal);
        let still = found.lower == found.upper;
        let supposed = (term.lies.is_none() && !still).then(|| {
            Why::assumed("anywhere between its limits, each place as likely: nothing is said of how it lies")
        });
        self.push(&term.text, found.lower, found.upper, term.times, law);
        if term.times != Ratio::from_integer(0) {
            self.members.push(Member {
                name: term.text.clone(),
                times: term.times,
                lower: found.lower,
                upper: found.upper,
                lies: if still { "as it is" } else { lies },
                worst_mm: 0.0,
                share: 0.0,
                why: found.why.clone().because(found.room.clone()),
                supposed,
            });
        }
    }

    fn push(&mut self, name: &str, lower: Length, upper: Length, times: Times, law: Law) -> usize {
        let (low, high) = (lower.as_mm(), upper.as_mm());
        self.stack.quantities.push(Quantity { name: name.to_owned(), lower: low, upper: high, law });
        self.stack.factors.push(ratio(times));
        self.exact.push((lower, upper, times));
        self.exact.len() - 1
    }

    fn play(&mut self, sum: &Sum, pin: &Pin) -> Result<(), Problem> {
        let fitted = self.fitted(&sum.terms[pin.pin], &sum.terms[pin.bore]);
        let (bore, shaft) = match &fitted {
            // The fit says the clearance: the last hundredths are taken off against the hole.
            Some((least, most, _)) => {
                let clear = self.push(&pin.name, *least, *most, Ratio::from_integer(0), Law::Even);
                let none = self.push("none", Length::ZERO, Length::ZERO, Ratio::from_integer(0), Law::Even);
                (clear, none)
            }
            None => (pin.bore, pin.pin),
        };
        let (lies, factor, words) = match pin.lies {
            PinLies::Unsaid | PinLies::Anywhere => (Lies::Anywhere, ratio(pin.times), "anywhere in its bore"),
            PinLies::Adds => (Lies::Loaded, ratio(pin.times), "on the side that adds"),
            PinLies::TakesOff => (Lies::Loaded, -ratio(pin.times), "on the side that takes off"),
        };
        let (bore_size, shaft_size) = (self.exact[bore], self.exact[shaft]);
        let (least, most) = (bore_size.0 - shaft_size.1, bore_size.1 - shaft_size.0);
        if least < Length::ZERO {
            return Err(Problem::new(format!(
                "the {} may be less than nothing: the pin is up to {} larger, {}",
                pin.name,
                -least,
                self.which.words()
            ))
            .why("a pin that is larger than its bore has no play")
            .mend("give both a closer tolerance or a mate with a fit, or take the play out where it is pressed in"));
        }
        let own = match fitted {
            Some((.., why)) => why,
            None => Why::new(format!("the bore less the pin: {least} to {most}")),
        };
        let why = Why::new(format!("half of the clearance {least} to {most} to either side")).because(own);
        let supposed = (pin.lies == PinLies::Unsaid)
            .then(|| Why::assumed("the pin lies anywhere in its bore, each place as likely"));
        self.stack.plays.push(Play { name: pin.name.clone(), factor, bore, pin: shaft, lies });
        self.members.push(Member {
            name: pin.name.clone(),
            times: pin.times,
            lower: least.half(),
            upper: most.half(),
            lies: words,
            worst_mm: 0.0,
            share: 0.0,
            why,
            supposed,
        });
        Ok(())
    }

    /// The clearance that the fit of a mate asks for, unless the sum says another room itself.
    fn fitted(&self, pin: &Term, bore: &Term) -> Option<(Length, Length, Why)> {
        if pin.within.is_some() || bore.within.is_some() {
            return None;
        }
        let (What::Of(one, a), What::Of(other, b)) = (pin.what, bore.what) else { return None };
        fit_between(self.parts, self.which, (one, a), (other, b))
    }
}

/// The clearance that the fit of a mate asks for, where a mate ties a pin and a bore and
/// neither is made and measured already.
pub(crate) fn fit_between(
    parts: &[Held],
    which: Which,
    (one, a): (usize, Size),
    (other, b): (usize, Size),
) -> Option<(Length, Length, Why)> {
    let made = |part: usize, size: Size| match size {
        Size::Length(id) => parts[part].drawing.dimensions[id.0].made.is_some(),
        Size::Thread(_) => true,
    };
    if which == Which::Chosen && (made(one, a) || made(other, b)) {
        return None;
    }
    let (pin_at, bore_at) = (feature_of(parts[one], a)?, feature_of(parts[other], b)?);
    let ties = |from: usize, own: FeatureId, to: usize, its: FeatureId| {
        let far = &parts[to].drawing;
        parts[from].drawing.mates.iter().find(|mate| {
            mate.with == own
                && mate.partner.as_ref().is_some_and(|partner| {
                    partner.part.eq_ignore_ascii_case(&far.name)
                        && far.features[its.0].name.eq_ignore_ascii_case(&partner.feature)
                })
        })
    };
    let mate = ties(one, pin_at, other, bore_at).or_else(|| ties(other, bore_at, one, pin_at))?;
    let size = between(&parts[other], b, which)?.aim;
    let (least, most) = clearance_asked(&mate.fit, size)?;
    let why = Why::new(format!("a {} fit at {size}: {least} to {most} on the diameter", mate.fit))
        .source("the fit of the mate");
    Some((least, most, why))
}

/// The feature whose diameter a size is.
fn feature_of(held: Held, size: Size) -> Option<FeatureId> {
    let Size::Length(id) = size else { return None };
    let is = |kind: &Kind| match kind {
        Kind::Hole { diameter, .. } => *diameter == id,
        Kind::Section { size: SectionSize::Plain(diameter), .. } => *diameter == id,
        _ => false,
    };
    held.drawing.features.iter().position(|feature| is(&feature.kind)).map(FeatureId)
}

/// The most or the least that a sum comes to, exactly: plays that lie anywhere go to the
/// side that is worse.
fn ends(stack: &Stack, exact: &[(Length, Length, Times)], most: bool) -> Length {
    let mut times: Vec<Times> = exact.iter().map(|&(.., times)| times).collect();
    let half = Ratio::new(1, 2);
    for play in &stack.plays {
        // Factors came from ratios of small whole numbers.
        let factor = Ratio::approximate_float(play.factor).unwrap_or_default();
        let size = if factor < Ratio::from_integer(0) { -factor } else { factor };
        let counts = match play.lies {
            Lies::Loaded => factor,
            Lies::Anywhere if most => size,
            Lies::Anywhere => -size,
        };
        times[play.bore] += counts * half;
        times[play.pin] -= counts * half;
    }
    let end = |(&(lower, upper, _), times): (&(Length, Length, Times), Times)| {
        let up = (times > Ratio::from_integer(0)) == most;
        (if up { upper } else { lower }).scaled(times)
    };
    exact.iter().zip(times).map(end).sum()
}

fn ratio(times: Times) -> f64 {
    *times.numer() as f64 / *times.denom() as f64
}
