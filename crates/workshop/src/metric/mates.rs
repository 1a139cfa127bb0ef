//! What the other half of a fit may become, and which holes and shafts go together.

use super::buy::Buy;
use super::choice::{MadeWith, Refused};
use super::holes::{DRILLED_CLASS, reamed};
use super::rules::{BAR_AS_SUPPLIED, BAR_FITTED, MATE_FIXED, SHAFT_FITTED, SHAFT_TURNED};
use super::stock::{UNKNOWN_BAR_CLASS, rounds, standard_rounds};
use super::way::{Job, Way, stock_name};
use super::weigh::unround;
use crate::bench::{Section, Stock};
use crate::drawing::{DimensionId, Kind, Mate};
use crate::measure::Length;
use crate::problem::Problem;
use crate::tables::{fits, materials};
use crate::why::Why;

/// The most that is polished off a bar to ease it (common practice).
fn eased() -> Length {
    Length::microns(50)
}

/// The pairs that stand in for a plain word at sizes for which practice states
/// none (common practice).
const WORD_AS_PAIR: [(&str, &str); 4] =
    [("running", "H7/f7"), ("press", "H7/p6"), ("shrink", "H7/s6"), ("adhesive", "H7/f7")];

/// The ways of a mate's size; `holes` are those of the hole it meets.
pub fn ways(
    job: &Job,
    id: DimensionId,
    mate: &Mate,
    limit: Length,
    holes: &[Way],
) -> (Vec<Way>, Vec<Refused>) {
    let exact = job.dimension(id).written.length;
    // What meets a thread or a face follows nothing that is chosen here.
    if mate.fixed || met(job, mate).is_none() {
        let measured = Why::assumed(format!("`{}` is supposed to measure {exact}: measure it", mate.name));
        return (vec![Way::new(exact, MadeWith::Exact, &MATE_FIXED).note(measured)], Vec::new());
    }
    if !is_hole(job, mate) {
        return reamed(job, exact, limit, false);
    }
    let mut ways = Vec::new();
    if matches!(job.feature(mate.with).kind, Kind::Square { .. } | Kind::Flatted { .. }) {
        // Bar is round: the end of the shaft is brought to the hole.
        for hole in holes {
            let fitted = Way::new(hole.value, MadeWith::Setting, &SHAFT_FITTED).unround(hole.unround);
            if !ways.iter().any(|way: &Way| way.value == fitted.value) {
                ways.push(fitted);
            }
        }
        return (ways, Vec::new());
    }
    let material = mate.made_from.as_deref().and_then(|name| materials::find(name).ok());
    if let Some(material) = material {
        let owned = rounds(job, &material.name);
        for &(diameter, stock) in owned.iter().filter(|(d, _)| holes.iter().any(|hole| hole.value == *d)) {
            ways.extend(from_bar(diameter, stock, true));
        }
        for diameter in standard_rounds(exact, limit) {
            if !owned.iter().any(|&(have, _)| have == diameter) {
                let stock = Stock {
                    material: material.name.clone(),
                    section: Section::Round { diameter },
                    class: None,
                };
                ways.extend(from_bar(diameter, &stock, false));
            }
        }
    }
    let mut sizes: Vec<Length> = holes.iter().map(|hole| hole.value).collect();
    sizes.sort();
    sizes.dedup();
    for size in sizes {
        let way = Way::new(size, MadeWith::Lathe, &SHAFT_TURNED).unround(unround(size) + 2);
        ways.push(match material {
            Some(material) => turned_from(job, way, &material.name),
            None => way,
        });
    }
    (ways, Vec::new())
}

/// A turned shaft with the bar it takes, which may have to be bought.
fn turned_from(job: &Job, way: Way, material: &str) -> Way {
    let larger = |&(diameter, _): &(Length, &Stock)| diameter > way.value;
    if let Some((_, stock)) = rounds(job, material).into_iter().find(larger) {
        let from = Why::new(format!("turned from {}", stock_name(stock)));
        return way.note(from);
    }
    let standard = standard_rounds(way.value, way.value).into_iter().find(|&diameter| diameter > way.value);
    let diameter = standard.unwrap_or(way.value);
    let stock = Stock { material: material.to_owned(), section: Section::Round { diameter }, class: None };
    way.buying(false, || Buy::stock(&stock))
}

/// A bar as the shaft: as supplied, and eased to the hole.
fn from_bar(diameter: Length, stock: &Stock, owned: bool) -> [Way; 2] {
    let class = stock.class.clone().unwrap_or_else(|| UNKNOWN_BAR_CLASS.into());
    let supposed = match &stock.class {
        Some(class) => Why::new(format!("the bar is held to {class}")).source("the bench file"),
        None => Why::assumed(format!("the bar is supposed to be {class}")).source("common practice"),
    };
    let way = |rule, steps| {
        Way::new(diameter, MadeWith::Stock(stock.clone()), rule)
            .class(class.clone())
            .note(supposed.clone())
            .unround(steps)
            .buying(owned, || Buy::stock(stock))
    };
    [way(&BAR_AS_SUPPLIED, 0), way(&BAR_FITTED, 1)]
}

/// True when a mate goes into a hole of this part; otherwise it goes round a section.
pub fn is_hole(job: &Job, mate: &Mate) -> bool {
    matches!(
        job.feature(mate.with).kind,
        Kind::Hole { .. }
            | Kind::Counterbore { .. }
            | Kind::Slot { .. }
            | Kind::Square { .. }
            | Kind::Flatted { .. }
    )
}

/// The size of this part that a mate meets.
pub fn met(job: &Job, mate: &Mate) -> Option<DimensionId> {
    use crate::drawing::SectionSize;
    match job.feature(mate.with).kind {
        Kind::Hole { diameter, .. }
        | Kind::Counterbore { diameter, .. }
        | Kind::Slot { width: diameter, .. }
        | Kind::Square { across: diameter, .. }
        | Kind::Flatted { diameter, .. }
        | Kind::Section { size: SectionSize::Plain(diameter), .. } => Some(diameter),
        _ => None,
    }
}

/// What a fit asks of the clearance.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Asks {
    /// Both halves are made to a class.
    Classes {
        /// The hole's.
        hole: String,
        /// The shaft's.
        shaft: String,
    },
    /// The clearance lies in a range that depends on the size.
    Word(String),
}

/// Reads a fit.
///
/// # Errors
///
/// A [`Problem`] that says which fits are known.
pub fn read_fit(text: &str, size: Length) -> Result<Asks, Problem> {
    if text.contains('/') {
        let fit = fits::fit(text, size)?;
        return Ok(Asks::Classes { hole: fit.hole.class, shaft: fit.shaft.class });
    }
    match fits::plain_fit(text, size) {
        Ok(fit) => Ok(Asks::Word(fit.word)),
        Err(fault) => match WORD_AS_PAIR.iter().find(|(word, _)| word.eq_ignore_ascii_case(text.trim())) {
            Some((word, _)) => Ok(Asks::Word((*word).into())),
            None => Err(fault),
        },
    }
}

/// True when the hole and the shaft give the fit at the worst of their limits, or
/// one of them is made to the other as measured.
pub fn go_together(asks: &Asks, hole: &Way, shaft: &Way) -> bool {
    let same = hole.value == shaft.value;
    let turned = matches!(shaft.made, MadeWith::Lathe | MadeWith::Setting);
    let bored = matches!(hole.made, MadeWith::Boring { .. } | MadeWith::File);
    match asks {
        Asks::Classes { hole: wanted, shaft: made } => {
            let hole_is =
                bored || matches!(hole.made, MadeWith::Exact) || hole.class.as_ref() == Some(wanted);
            let shaft_is = turned
                || matches!(shaft.made, MadeWith::Exact)
                || shaft.rule == &BAR_FITTED
                || shaft.class.as_deref().is_some_and(|class| within(class, made, shaft.value));
            same && hole_is && shaft_is
        }
        Asks::Word(word) => {
            // What is turned or bored to the other as measured gives any fit.
            if turned || (bored && matches!(shaft.made, MadeWith::Exact)) {
                return same;
            }
            let Some((least, greatest)) = clearance(word, shaft.value) else { return same };
            let (Some(hole_limits), Some(shaft_limits)) = (limits(hole), limits(shaft)) else { return same };
            let tightest = hole_limits.0 - shaft_limits.1;
            let loosest = hole_limits.1 - shaft_limits.0;
            if shaft.rule == &BAR_FITTED {
                same && tightest <= greatest && loosest >= least - eased()
            } else {
                tightest >= least && loosest <= greatest
            }
        }
    }
}

/// The least and the greatest clearance that a fit asks for at a size; less than nought
/// where the shaft is the larger. `None` where nothing states it.
pub fn clearance_asked(fit: &str, size: Length) -> Option<(Length, Length)> {
    match read_fit(fit, size).ok()? {
        Asks::Classes { .. } => {
            let fit = fits::fit(fit, size).ok()?;
            Some((fit.least_clearance(), fit.greatest_clearance()))
        }
        Asks::Word(word) => clearance(&word, size),
    }
}

/// The range of clearance behind a word, where practice states one.
fn clearance(word: &str, size: Length) -> Option<(Length, Length)> {
    if let Ok(fit) = fits::plain_fit(word, size) {
        return Some((fit.least_clearance, fit.greatest_clearance));
    }
    let (_, pair) = WORD_AS_PAIR.iter().find(|(known, _)| *known == word)?;
    let fit = fits::fit(pair, size).ok()?;
    Some((fit.least_clearance(), fit.greatest_clearance()))
}

/// True when one shaft class lies wholly inside another.
fn within(class: &str, wanted: &str, size: Length) -> bool {
    match (fits::limits(class, size), fits::limits(wanted, size)) {
        (Ok(has), Ok(asks)) => has.lower >= asks.lower && has.upper <= asks.upper,
        _ => false,
    }
}

/// The least and the greatest a way comes out to.
fn limits(way: &Way) -> Option<(Length, Length)> {
    if way.made == MadeWith::Exact {
        return Some((way.value, way.value));
    }
    let class = way.class.as_deref().unwrap_or(DRILLED_CLASS);
    fits::limits(class, way.value).ok().map(|limits| (limits.least(), limits.greatest()))
}
