//! Hardening and tempering by heat and colour: to what heat, how long, in what, and how far it is let down.
//!
//! The figures are those of [`crate::tables::hardening`]; here they are fitted to a thickness.

use super::show::{mm, positive, practice};
use crate::measure::Length;
use crate::problem::Problem;
use crate::tables::hardening::{Hardening, Temper};
use crate::why::{Figure, Why};

/// Soaking is counted for each of these that the thickest section begins: as suppliers state it.
const EACH: Length = Length::mm(6);

/// Nothing thicker is hardened at a hobby hearth or in a small muffle: common practice.
const THICKEST: Length = Length::mm(100);

/// Hardens a steel: to what heat, how long at it, and what it is quenched in.
///
/// # Errors
///
/// A [`Problem`] when the thickness is not more than nought, or more than a hearth brings to heat.
pub fn quench(steel: &Hardening, thickest: Length) -> Result<Vec<Figure>, Problem> {
    positive(thickest, "thickest section")?;
    if thickest > THICKEST {
        return Err(Problem::new(format!("a section of {} to harden", mm(thickest)))
            .why(format!("no hearth of a hobby workshop brings more than {} to an even heat", mm(THICKEST)))
            .mend("have it hardened by trade, or check the thickness and its unit"));
    }
    Ok(quenched(steel, thickest))
}

/// The same of work whose thickness is known to be sensible.
pub(crate) fn quenched(steel: &Hardening, thickest: Length) -> Vec<Figure> {
    let from = |words: String| Why::new(words).source(steel.source.to_string());
    let heat = format!("{} to {} °C, {} in a dim light", steel.low_c, steel.high_c, steel.glows);
    let why_heat =
        format!("{}, heated right through: past the heat at which a magnet lets go", steel.material);
    vec![
        Figure::new("heat to", heat, from(why_heat)),
        Figure::new(
            "at heat",
            format!("{} minutes", soak_minutes(steel, thickest)),
            from(format!("{} minutes for each {} begun of {}", steel.soak_minutes, mm(EACH), mm(thickest))),
        ),
        Figure::new(
            "quench in",
            steel.quench.clone(),
            from("straight down, stirred: what goes in aslant bends".into()),
        ),
    ]
}

/// Minutes at heat: so many for each 6 mm that the thickest section begins.
fn soak_minutes(steel: &Hardening, thickest: Length) -> i128 {
    thickest.ratio_to(EACH).ceil().to_integer().max(1) * i128::from(steel.soak_minutes)
}

/// How hard work is told from soft.
pub fn try_hard() -> Figure {
    Figure::new("check", "a file skates on it", practice("a file bites where it is still soft"))
}

/// Lets hardened steel down: to what heat and colour, and what then.
pub fn let_down(temper: &Temper) -> Vec<Figure> {
    let why = Why::new("at once, before it is cold: hard steel left as quenched cracks")
        .source(temper.source.to_string())
        .because(practice(format!("{} suits {}", temper.colour, temper.suits)));
    vec![
        Figure::new("let down to", format!("{} °C, {}", temper.heat_c, temper.colour), why),
        Figure::new(
            "then",
            "quench, or let it cool",
            practice("at its colour, on a face rubbed bright, the heat has done its work"),
        ),
    ]
}

/// Both in one sentence, for the sheet of an aid.
pub(crate) fn in_words(steel: &Hardening, thickest: Length, temper: &Temper) -> String {
    format!(
        "{}, {} to {} °C, {} minutes at heat; quench upright in {} and stir; temper at once to {}, {} °C",
        steel.glows,
        steel.low_c,
        steel.high_c,
        soak_minutes(steel, thickest),
        steel.quench,
        temper.colour,
        temper.heat_c
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tables::hardening::{of, temper};

    /// Five minutes for each 6 mm begun, counted on the fingers: 1 mm is one of them, 6 mm still one, 6.1 mm two.
    #[test]
    fn soaking_counts_every_six_millimetres_begun() {
        let steel = of("silver steel").unwrap();
        for (tenths, minutes) in [(10, 5), (60, 5), (61, 10), (120, 10), (250, 25), (1000, 85)] {
            let found = quench(steel, Length::mm_ratio(tenths, 10)).unwrap();
            assert_eq!(found[1].shown, format!("{minutes} minutes"), "{tenths}");
        }
    }

    #[test]
    fn what_no_hearth_heats_is_refused() {
        let steel = of("gauge plate").unwrap();
        assert!(quench(steel, Length::ZERO).is_err() && quench(steel, Length::mm(-3)).is_err());
        assert!(quench(steel, Length::mm(101)).unwrap_err().remedy().is_some_and(|m| m.contains("trade")));
    }

    #[test]
    fn a_sentence_says_what_the_rows_say() {
        let (steel, straw) = (of("silver steel").unwrap(), temper("straw").unwrap());
        let words = in_words(steel, Length::mm(4), straw);
        for part in ["cherry red", "770 to 780 °C", "5 minutes", "water or brine", "straw, 230 °C"] {
            assert!(words.contains(part), "{words}");
        }
        assert!(let_down(straw)[0].shown.contains("230 °C, straw"));
    }
}
