//! A part begun from an outline that another program has drawn.

use super::{Which, cards_of, fill};
use crate::edit::change;
use crate::exchange::{Asked, FileUnit, import};
use crate::measure::Unit;
use crate::problem::{Outcome, Problem};

/// Reads the outline and holes of a DXF or an SVG file into a draft that has no
/// features yet; what was said of the part already stays. Answers the draft and
/// what is told of the reading.
///
/// # Errors
///
/// A [`Problem`] when the draft has features, and every fault of the file.
pub fn outlined(
    text: &str,
    file: &str,
    bytes: &[u8],
    unit: Option<FileUnit>,
) -> Outcome<(String, Vec<String>)> {
    let cards = cards_of(text);
    if cards.iter().any(|card| matches!(card.which, Which::Feature(_))) {
        return Err(vec![
            Problem::new("the part has features already")
                .why("an outline that is read begins a part; it would take the place of what is there")
                .mend("begin a new part and read the outline there"),
        ]);
    }
    let said = |key: &str| {
        let fields =
            cards.iter().filter(|card| matches!(card.which, Which::Part)).flat_map(|card| &card.fields);
        fields.filter(|field| field.ask.key == key).map(|field| field.text.clone()).next().unwrap_or_default()
    };
    let mut asked = Asked::usual(said("part"));
    asked.unit = unit;
    asked.write_in = match said("unit").as_str() {
        "inch" => Some(Unit::Inch),
        "mm" => Some(Unit::Mm),
        _ => None,
    };
    let read = import(file, bytes, &asked)?;
    let mut made = read.text;
    let kept = cards.iter().filter(|card| matches!(card.which, Which::Part | Which::Body | Which::Stock));
    for field in kept.flat_map(|card| &card.fields) {
        let outside = matches!(field.ask.key, "kind" | "width" | "height" | "diameter" | "datum" | "around");
        let known = matches!(field.ask.key, "part" | "unit") || (field.at.starts_with("body/") && outside);
        if !known && !field.text.is_empty() {
            let keep = fill(&made, &field.at, &field.text).map_err(|fault| vec![fault])?;
            made = change(&made, &keep).map_err(|fault| vec![fault])?;
        }
    }
    let told = read.report.sections().into_iter().flat_map(|(heading, lines)| {
        lines
            .into_iter()
            .map(move |line| if heading == "questions" { format!("question: {line}") } else { line })
    });
    Ok((made, told.collect()))
}
