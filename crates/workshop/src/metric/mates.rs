//! What the other half of a fit may become, and which holes and shafts go together.

use std::sync::Arc;

use super::buy::Buy;
use super::choice::{MadeWith, Refused};
use super::gauge::{Gauge, Reading};
use super::holes::{DRILLED_CLASS, bored, reamed};
use super::model::{Candidate, VariableId};
use super::rules::{BAR_AS_SUPPLIED, BAR_FITTED, MATE_FIXED, SHAFT_FITTED, SHAFT_TURNED};
use super::stock::{UNKNOWN_BAR_CLASS, rounds, standard_rounds};
use super::way::{Job, Way, stock_name};
use super::weigh::unround;
use crate::bench::{Section, Stock};
use crate::drawing::{DimensionId, Drawing, Kind, Mate, SectionSize};
use crate::measure::Length;
use crate::problem::Problem;
use crate::tables::surface::{Surface, black_round};
use crate::tables::{fits, materials, processes};
use crate::why::Why;

/// The most that is polished off a bar to ease it (common practice).
fn eased() -> Length {
    Length::microns(50)
}

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
    if !is_hole(job, mate)
        && !matches!(job.feature(mate.with).kind, Kind::Section { size: SectionSize::Plain(_), .. })
    {
        // Round a square there is a square hole, filed to it.
        let mut filed: Vec<Way> = Vec::new();
        for shaft in holes {
            if !filed.iter().any(|way| way.value == shaft.value) {
                filed.push(Way::new(shaft.value, MadeWith::File, &SHAFT_FITTED).unround(shaft.unround));
            }
        }
        return (filed, Vec::new());
    }
    if !is_hole(job, mate) {
        let (mut ways, refused) = reamed(job, exact, limit, false);
        // So wide, what fits over it is bored in the lathe.
        if exact > processes::limit("widest drill") && ways.iter().all(|way| !way.buys.is_empty()) {
            ways.retain(|way| !matches!(way.made, MadeWith::Boring { .. }));
            ways.extend(bored(job, exact, limit, true));
        }
        return (ways, refused);
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
        for &(diameter, stock) in owned.iter().filter(|(d, stock)| {
            stock.surface != Some(Surface::Black) && holes.iter().any(|hole| hole.value == *d)
        }) {
            ways.extend(from_bar(diameter, stock, true));
        }
        for diameter in standard_rounds(exact, limit) {
            if !owned.iter().any(|&(have, _)| have == diameter) {
                let stock = Stock {
                    material: material.name.clone(),
                    section: Section::Round { diameter },
                    class: None,
                    surface: None,
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
    let larger = |&(diameter, stock): &(Length, &Stock)| match stock.surface {
        Some(Surface::Black) => diameter - black_round(diameter).side * 2 >= way.value,
        _ => diameter > way.value,
    };
    if let Some((_, stock)) = rounds(job, material).into_iter().find(larger) {
        let from = Why::new(format!("turned from {}", stock_name(stock)));
        return way.note(from);
    }
    let standard = standard_rounds(way.value, way.value).into_iter().find(|&diameter| diameter > way.value);
    let diameter = standard.unwrap_or(way.value);
    let stock = Stock {
        material: material.to_owned(),
        section: Section::Round { diameter },
        class: None,
        surface: None,
    };
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

/// One half of a fit.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Half {
    /// What is gone into.
    Hole,
    /// What goes in.
    Shaft,
}

/// The size of a feature that meets its other half, and which half it is itself.
pub fn meets(kind: &Kind) -> Option<(DimensionId, Half)> {
    match *kind {
        Kind::Hole { diameter, .. }
        | Kind::Counterbore { diameter, .. }
        | Kind::Slot { width: diameter, .. }
        | Kind::CurvedSlot { width: diameter, .. }
        | Kind::Keyway { width: diameter, .. }
        | Kind::Square { across: diameter, .. }
        | Kind::Flatted { diameter, .. } => Some((diameter, Half::Hole)),
        Kind::Section { size: SectionSize::Plain(diameter), .. } => Some((diameter, Half::Shaft)),
        // A single flat is measured to the far side of the round, which meets the hole.
        Kind::Flats { across, count: 2 | 4, .. } => Some((across, Half::Shaft)),
        Kind::Section { size: SectionSize::AsBar { across, sides: 4 }, .. } => Some((across, Half::Shaft)),
        _ => None,
    }
}

/// The size of this part that a mate meets.
pub fn met(job: &Job, mate: &Mate) -> Option<DimensionId> {
    met_on(job.drawing, mate)
}

/// The same of a drawing.
pub fn met_on(drawing: &Drawing, mate: &Mate) -> Option<DimensionId> {
    meets(&drawing.features[mate.with.0].kind).map(|(size, _)| size)
}

/// True when a mate goes into a hole of this part; otherwise it goes round a section.
pub fn is_hole(job: &Job, mate: &Mate) -> bool {
    meets(&job.feature(mate.with).kind).is_some_and(|(_, half)| half == Half::Hole)
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

impl Asks {
    /// The least and the greatest clearance at a size.
    pub fn clearance(&self, size: Length) -> Option<(Length, Length)> {
        match self {
            Self::Classes { hole, shaft } => {
                let fit = fits::fit(&format!("{hole}/{shaft}"), size).ok()?;
                Some((fit.least_clearance(), fit.greatest_clearance()))
            }
            Self::Word(word) => {
                fits::plain_fit(word, size).ok().map(|fit| (fit.least_clearance, fit.greatest_clearance))
            }
        }
    }

    /// True for a fit whose hole is not of an H class: it was drawn for shafting as it comes.
    pub fn is_to_the_shaft(&self) -> bool {
        matches!(self, Self::Classes { hole, .. } if !hole.starts_with('H'))
    }

    /// The same in words, with what it rests on.
    pub fn words(&self, size: Length) -> Option<String> {
        let (least, greatest) = self.clearance(size)?;
        let source = match self {
            Self::Classes { hole, .. } => fits::limits(hole, size).ok()?.source,
            Self::Word(word) => fits::plain_fit(word, size).ok()?.source,
        };
        let um = |length: Length| length.decimals(3);
        Some(if greatest.is_positive() || least == greatest {
            format!("{} to {} mm of clearance ({source})", um(least), um(greatest))
        } else {
            format!("{} to {} mm of interference ({source})", um(-greatest), um(-least))
        })
    }
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
    fits::plain_fit(text, size).map(|fit| Asks::Word(fit.word))
}

/// True when the hole and the shaft give the fit at the worst of their limits, or
/// one of them is made to the other as measured.
pub fn go_together(asks: &Asks, hole: &Way, shaft: &Way) -> bool {
    let same = hole.value == shaft.value;
    let turned = matches!(shaft.made, MadeWith::Lathe | MadeWith::Setting);
    let bored = matches!(hole.made, MadeWith::Boring { .. } | MadeWith::File);
    let filed = hole.made == MadeWith::File;
    let exact = |way: &Way| matches!(way.made, MadeWith::Exact);
    let by_class = match asks {
        Asks::Classes { hole: wanted, shaft: made } => {
            let is = |way: &Way, wanted: &str| {
                way.class.as_deref().is_some_and(|class| within(class, wanted, way.value))
            };
            let shaft_is = turned || exact(shaft) || shaft.rule == &BAR_FITTED || is(shaft, made);
            (bored || exact(hole) || is(hole, wanted)) && shaft_is
                || turned && asks.is_to_the_shaft() && as_close(hole, wanted)
        }
        // What is turned, filed or bored to the other as measured gives any fit.
        Asks::Word(_) => turned || filed || (bored && exact(shaft)),
    };
    if same && by_class {
        return true;
    }
    if turned || filed || (bored && exact(shaft)) {
        return false;
    }
    let asked = asks.clearance(hole.value);
    let (Some((least, greatest)), Some(hole_limits), Some(shaft_limits)) =
        (asked, limits(hole), limits(shaft))
    else {
        return same && matches!(asks, Asks::Word(_));
    };
    let tightest = hole_limits.0 - shaft_limits.1;
    let loosest = hole_limits.1 - shaft_limits.0;
    if shaft.rule == &BAR_FITTED {
        same && tightest <= greatest && loosest >= least - eased()
    } else {
        tightest >= least && loosest <= greatest
    }
}

/// True when a hole comes out at least as closely as a class that begins elsewhere asks:
/// a fit to the shaft, such as F8/h8, is had from a reamed hole and a shaft turned to it.
fn as_close(hole: &Way, wanted: &str) -> bool {
    let width = |class: &str| fits::limits(class, hole.value).ok().map(|limits| limits.upper - limits.lower);
    let has = hole.class.as_deref().and_then(width);
    has.zip(width(wanted)).is_some_and(|(has, asks)| has <= asks)
}

/// How far a fit is from what it asks: the clearance at the worst of the limits of
/// hole and shaft, on the side that misses.
pub fn gauge([hole, shaft]: [VariableId; 2], fit: &str, holes: &[Way], shafts: &[Way]) -> Gauge {
    let made = |ways: &[Way]| ways.iter().map(limits).collect::<Vec<_>>();
    let (holes, shafts, fit) = (made(holes), made(shafts), fit.to_owned());
    let read = move |made: &[&Candidate]| {
        let (hole, shaft) = (holes[made[0].label]?, shafts[made[1].label]?);
        let (least, greatest) = clearance_asked(&fit, made[0].value)?;
        let (tightest, loosest) = (hole.0 - shaft.1, hole.1 - shaft.0);
        let is = if tightest < least { tightest } else { loosest };
        (is < least || is > greatest).then_some(Reading {
            what: "a clearance of",
            is,
            least: Some(least),
            most: Some(greatest),
        })
    };
    Gauge { on: vec![hole, shaft], read: Arc::new(read) }
}

/// The least and the greatest clearance that a fit asks for at a size; less than nought
/// where the shaft is the larger. `None` where nothing states it.
pub fn clearance_asked(fit: &str, size: Length) -> Option<(Length, Length)> {
    read_fit(fit, size).ok()?.clearance(size)
}

/// True when one class lies wholly inside another.
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::Reamer;
    use crate::metric::rules::REAMED;
    use crate::tables::drills;

    fn reamed_to(size: Length, class: &str) -> Way {
        let pilot = drills::find("7.8 mm").expect("a standard drill").clone();
        let reamer = Reamer { diameter: size, class: class.into() };
        Way::new(size, MadeWith::Reamer { reamer, pilot }, &REAMED).class(class)
    }

    fn bar(size: Length, class: &str) -> Way {
        let stock = Stock {
            material: "silver steel".into(),
            section: Section::Round { diameter: size },
            class: None,
            surface: None,
        };
        Way::new(size, MadeWith::Stock(stock), &BAR_AS_SUPPLIED).class(class)
    }

    fn turned(size: Length) -> Way {
        Way::new(size, MadeWith::Lathe, &SHAFT_TURNED)
    }

    /// Every hole class with every shaft class at sizes in every row: they go together
    /// exactly where each lies in its own class, or all four pairs of extreme sizes have a
    /// clearance that the fit allows.
    #[test]
    fn bars_and_reamers_are_judged_at_the_four_corners_of_their_limits() {
        let (mut good, mut bad) = (0, 0);
        for size in [2, 5, 8, 14, 25, 40, 60, 75, 90, 110].map(Length::mm) {
            for asked in ["H7/f7", "H7/h6", "H7/p6", "H7/s6", "F8/h8", "H9/e9", "G7/h6", "running", "press"] {
                let asks = read_fit(asked, size).unwrap();
                let (least, most) = asks.clearance(size).unwrap();
                for hole in ["H6", "H7", "H8", "F8", "G7", "P7"] {
                    for shaft in ["f7", "g6", "h6", "h9", "p6", "s6", "m6"] {
                        let ends = |class: &str| {
                            let limits = fits::limits(class, size).unwrap();
                            [limits.least(), limits.greatest()]
                        };
                        let inside = |class: &str, wanted: &str| {
                            let [wanted, own] = [wanted, class].map(ends);
                            own[0] >= wanted[0] && own[1] <= wanted[1]
                        };
                        let corners = ends(hole).into_iter().flat_map(|h| ends(shaft).map(|s| h - s));
                        let wanted = corners.clone().all(|clear| clear >= least && clear <= most)
                            || asked
                                .split_once('/')
                                .is_some_and(|(h, s)| inside(hole, h) && inside(shaft, s));
                        let found = go_together(&asks, &reamed_to(size, hole), &bar(size, shaft));
                        assert_eq!(found, wanted, "{asked} from {hole} and {shaft} at {size}");
                        if found { good += 1 } else { bad += 1 }
                    }
                }
            }
        }
        assert!(good > 100 && bad > 1000, "{good} {bad}");
    }

    /// A hole of the wrong size goes with a bar that leaves the clearance asked, and what
    /// is turned follows its own hole alone.
    #[test]
    fn unlike_sizes_are_judged_by_their_clearance() {
        let asks = read_fit("running", Length::mm(8)).unwrap();
        let hole = reamed_to(Length::mm(8), "H6"); // 8.000 to 8.009
        assert!(go_together(&asks, &hole, &bar(Length::microns(7985), "h5"))); // 7.979 to 7.985
        assert!(!go_together(&asks, &hole, &bar(Length::mm(8), "h5")));
        assert!(go_together(&asks, &hole, &turned(Length::mm(8))));
        assert!(!go_together(&asks, &hole, &turned(Length::microns(7985))));
    }

    /// Retaining compound wants a gap: neither a close bar nor a drilled hole has it.
    #[test]
    fn an_adhesive_joint_keeps_its_gap_within_both_limits() {
        let asks = read_fit("adhesive", Length::mm(10)).unwrap();
        let reamed = reamed_to(Length::mm(10), "H7"); // to 10.015
        let with = |class: &str| go_together(&asks, &reamed, &bar(Length::mm(10), class));
        assert!(!with("h6")); // 0 to 0.024: too close at worst
        assert!(!with("f7")); // 0.013 at the closest
        assert!(!with("e8")); // 0.025 to 0.062: too wide at worst
        let drilled = reamed_to(Length::mm(10), "H11"); // to 10.09
        assert!(!go_together(&asks, &drilled, &bar(Length::mm(10), "f7")));
        assert!(go_together(&asks, &reamed, &turned(Length::mm(10))));
    }

    /// F8/h8 at 8 mm clears by 13 to 57: so does a reamed H7 hole with a shaft turned to
    /// it, but a hole drilled to H11 is not as close as F8.
    #[test]
    fn a_fit_to_the_shaft_is_had_from_a_reamed_hole() {
        let size = Length::mm(8);
        let asks = read_fit("F8/h8", size).unwrap();
        assert_eq!(asks.clearance(size), Some((Length::microns(13), Length::microns(57))));
        assert!(go_together(&asks, &reamed_to(size, "H7"), &turned(size)));
        assert!(!go_together(&asks, &reamed_to(size, "H11"), &turned(size)));
        assert!(!go_together(&asks, &reamed_to(size, "H7"), &bar(size, "h8")));
        assert!(go_together(&asks, &reamed_to(size, "F8"), &bar(size, "h8")));
        // Asked of the hole, a drilled one is none, whatever the shaft is turned to.
        let to_hole = read_fit("H7/f7", size).unwrap();
        assert!(!go_together(&to_hole, &reamed_to(size, "H11"), &turned(size)));
    }
}
