//! The list of what became of every dimension.

use num_rational::Ratio;

use super::sheet::Change;
use crate::drawing::{Drawing, Given, Kind, Pressure, Role, Source};
use crate::measure::{Length, Unit};
use crate::metric::{DimensionChoice, MadeWith, MetricPart, Owned, ThreadChoice};
use crate::settings::show::{bought_as, mm};
use crate::why::Figure;

/// Every dimension, then every thread, in the order of the drawing.
pub fn changes(drawing: &Drawing, metric: &MetricPart) -> Vec<Change> {
    let dimensions = metric.dimensions.iter().map(|choice| dimension(drawing, choice));
    dimensions.chain(metric.threads.iter().map(|choice| thread(drawing, choice))).collect()
}

/// The same as figures to be asked about.
pub fn figures(changes: &[Change]) -> impl Iterator<Item = Figure> + '_ {
    changes.iter().map(|change| Figure::new(change.name.clone(), change.chosen.clone(), change.why.clone()))
}

fn dimension(drawing: &Drawing, choice: &DimensionChoice) -> Change {
    let drawn = &drawing.dimensions[choice.id.0];
    Change {
        name: drawn.name.clone(),
        written: with_unit(&choice.written.text, choice.written.unit.symbol()),
        exact: choice.exact.shown(4),
        chosen: mm(choice.chosen),
        difference: difference(choice.chosen - choice.exact),
        difference_drawn: in_unit(choice.chosen - choice.exact, choice.written.unit),
        limit: mm(choice.limit),
        made_with: match drawn.made {
            Some(_) => "already made".into(),
            None => owned(made_words(&choice.made), choice.owned),
        },
        role: role(drawing, drawn.role, drawn.pin.is_some()),
        why: choice.why.clone(),
        refused: choice.refused.clone(),
    }
}

fn thread(drawing: &Drawing, choice: &ThreadChoice) -> Change {
    let drawn = &drawing.threads[choice.id.0];
    let passes = drawing
        .features
        .iter()
        .any(|feature| matches!(feature.kind, Kind::Hole { clears: Some(screw), .. } if screw == choice.id));
    let made = match (&choice.tapping_drill, &choice.percent) {
        _ if passes => "a screw through it".into(),
        (Some(drill), Some(percent)) => format!("tap after drill {}: {percent}", drill.name),
        _ => "die".into(),
    };
    Change {
        name: drawn.name.clone(),
        written: choice.written.clone(),
        exact: drawn.thread.major.shown(4),
        chosen: choice.chosen.designation.clone(),
        difference: difference(choice.chosen.major - drawn.thread.major),
        difference_drawn: in_unit(choice.chosen.major - drawn.thread.major, drawing.unit.unwrap_or(Unit::Mm)),
        limit: String::new(),
        made_with: match drawn.made {
            Some(_) => "already made".into(),
            None if drawing.source == Source::Bought => "as bought".into(),
            None if passes => made,
            None => owned(made, choice.owned),
        },
        role: role(drawing, drawn.role, drawn.pin.is_some()),
        why: choice.why.clone(),
        refused: choice.refused.clone(),
    }
}

/// The unit after a bare number; names of drills carry none.
pub(crate) fn with_unit(text: &str, unit: &str) -> String {
    let bare = text.chars().all(|c| c.is_ascii_digit() || " ./-".contains(c));
    if bare { format!("{text} {unit}") } else { text.to_owned() }
}

fn role(drawing: &Drawing, (role, given): (Role, Given), pinned: bool) -> String {
    if drawing.pressure == Pressure::Holds {
        return "kept: holds pressure".into();
    }
    if drawing.source == Source::Bought {
        return "kept: bought in".into();
    }
    let role = match given {
        Given::Said => role.word().into(),
        Given::Assumed => format!("{} (assumed)", role.word()),
    };
    if pinned { format!("{role}, pinned") } else { role }
}

fn owned(words: String, owned: Owned) -> String {
    match owned {
        Owned::Owned => words,
        Owned::Buy => format!("{words} (to buy)"),
    }
}

/// Millimetres to three decimals with their sign, and nothing where nothing moved.
fn difference(by: Length) -> String {
    signed(by, 3)
}

/// The same in the unit of the drawing: inches to four decimals, so that thousandths
/// are read off; nothing where the drawing is in millimetres.
fn in_unit(by: Length, unit: Unit) -> String {
    match unit {
        Unit::Mm => String::new(),
        // 25.4 mm to the inch: 5/127 of a millimetre number is the inch number.
        Unit::Inch => match signed(by.scaled(Ratio::new(5, 127)), 4) {
            moved if moved.is_empty() => moved,
            moved => format!("{moved} in"),
        },
    }
}

/// A number rounded half away from nought, with its sign; of one that rounds to nought
/// only that it is under the last place.
fn signed(by: Length, places: u32) -> String {
    if by == Length::ZERO {
        return String::new();
    }
    let shown = by.abs().decimals(places);
    let sign = if by < Length::ZERO { "−" } else { "+" };
    if shown.bytes().all(|digit| b"0.".contains(&digit)) {
        return format!("under {}1", &shown[..shown.len() - 1]);
    }
    format!("{sign}{shown}")
}

fn made_words(made: &MadeWith) -> String {
    match made {
        MadeWith::Drill(drill) => format!("drill {}", drill.name),
        MadeWith::Reamer { reamer, pilot } => {
            format!("reamer {} {} after drill {}", bought_as(reamer.diameter), reamer.class, pilot.name)
        }
        MadeWith::Boring { pilot } => format!("boring tool after drill {}", pilot.name),
        MadeWith::EndMill(mill) => format!("end mill {}", bought_as(mill.diameter)),
        MadeWith::Saw(saw) => format!("saw {} wide", bought_as(saw.width)),
        MadeWith::Stock(stock) => match stock.section {
            crate::bench::Section::Flat { thickness, width } if width == Some(thickness) => {
                format!("{} square", bought_as(thickness))
            }
            crate::bench::Section::Flat { thickness, .. } => format!("{} flat", bought_as(thickness)),
            crate::bench::Section::Round { diameter } => format!("{} round", bought_as(diameter)),
            crate::bench::Section::Hexagon { across } => format!("{} hexagon", bought_as(across)),
        },
        MadeWith::Setting => "set on the machine".into(),
        MadeWith::Lathe => "turned".into(),
        MadeWith::TaperReamer(pin) => crate::metric::taper_reamer_name(pin),
        MadeWith::File => "filed".into(),
        MadeWith::Exact => "as drawn".into(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Divided out by hand: 5 mm less 3/16 in is 0.2375 mm, and 0.2375 / 25.4 is
    /// 0.009350 in; −0.00125 mm is −0.0000492 in.
    #[test]
    fn differences_are_rounded_as_told_in_both_units() {
        let up = Length::mm(5) - Length::inches(3, 16);
        assert_eq!((difference(up), in_unit(up, Unit::Inch)), ("+0.238".into(), "+0.0094 in".into()));
        let down = Length::mm_ratio(4683, 100) - Length::inches(59, 32);
        assert_eq!(
            (difference(down), in_unit(down, Unit::Inch)),
            ("−0.001".into(), "under 0.0001 in".into())
        );
        assert_eq!(in_unit(-Length::thou(14), Unit::Inch), "−0.0140 in");
        assert_eq!(
            (difference(Length::ZERO), in_unit(Length::ZERO, Unit::Inch)),
            (String::new(), String::new())
        );
        assert_eq!(difference(Length::mm_ratio(4, 10_000)), "under 0.001");
        assert_eq!(in_unit(up, Unit::Mm), "");
    }
}
