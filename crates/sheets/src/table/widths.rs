//! How the columns of a table share the width of the page.

use super::{Column, Look, Set, Table};
use crate::callout::BALLOON_RADIUS_MM;
use crate::font::{Face, breakable};
use crate::table::layout::{HEADING_FACE, HEADING_PT, PAD_MM};

/// Sums of glyph widths in another order may differ in the last place; without
/// this a word could miss its own column by nothing.
const ROUNDING_MM: f64 = 1e-6;

/// What a column would like.
struct Wish {
    /// Its longest word.
    least_mm: f64,
    /// Its longest line, unbroken.
    natural_mm: f64,
}

/// Shares the width out: every column gets its longest word if it can, then what
/// is left goes to those whose lines are longest.
pub(super) fn share(table: &Table, width_mm: f64) -> Vec<f64> {
    let wishes: Vec<Wish> =
        table.columns().iter().enumerate().map(|(n, column)| wish(table, n, column)).collect();
    let least_mm: f64 = wishes.iter().map(|w| w.least_mm).sum();
    let natural_mm: f64 = wishes.iter().map(|w| w.natural_mm).sum();
    if least_mm >= width_mm {
        return level(&wishes, width_mm);
    }
    if natural_mm > width_mm {
        let share = (width_mm - least_mm) / (natural_mm - least_mm);
        return wishes.iter().map(|w| w.least_mm + (w.natural_mm - w.least_mm) * share).collect();
    }
    // Air goes to the columns of words; figures stay close together.
    let of_words = |column: &Column| column.set == Set::Left;
    let takers = table.columns().iter().filter(|c| of_words(c)).count();
    let air_mm = width_mm - natural_mm;
    wishes
        .iter()
        .zip(table.columns())
        .map(|(wish, column)| {
            wish.natural_mm
                + match (takers, of_words(column)) {
                    (0, _) => air_mm / wishes.len() as f64,
                    (_, true) => air_mm / takers as f64,
                    (_, false) => 0.0,
                }
        })
        .collect()
}

fn wish(table: &Table, n: usize, column: &Column) -> Wish {
    let size_pt = column.used.size_pt();
    let mut least_mm = longest_word_mm(&column.heading, HEADING_FACE, HEADING_PT);
    let mut natural_mm = HEADING_FACE.width_mm(&column.heading, HEADING_PT);
    for cell in table.rows().iter().map(|row| &row[n]) {
        let (word_mm, line_mm) = if cell.look == Look::Ring {
            (2.0 * BALLOON_RADIUS_MM, 2.0 * BALLOON_RADIUS_MM)
        } else {
            let face = cell.face(column.used);
            let lines = cell.words.split('\n').map(|line| face.width_mm(line, size_pt));
            (longest_word_mm(&cell.words, face, size_pt), lines.fold(0.0, f64::max))
        };
        least_mm = least_mm.max(word_mm);
        natural_mm = natural_mm.max(line_mm);
    }
    let around_mm = 2.0 * PAD_MM + ROUNDING_MM;
    Wish { least_mm: least_mm + around_mm, natural_mm: natural_mm.max(least_mm) + around_mm }
}

/// When not even the longest words fit, the widest columns give way first, down
/// to one level, and words break.
fn level(wishes: &[Wish], width_mm: f64) -> Vec<f64> {
    let mut sorted: Vec<f64> = wishes.iter().map(|w| w.least_mm).collect();
    sorted.sort_by(f64::total_cmp);
    let mut left_mm = width_mm;
    let mut level_mm = f64::INFINITY;
    for (n, wish_mm) in sorted.iter().enumerate() {
        let even_mm = left_mm / (sorted.len() - n) as f64;
        if *wish_mm >= even_mm {
            level_mm = even_mm;
            break;
        }
        left_mm -= wish_mm;
    }
    wishes.iter().map(|w| w.least_mm.min(level_mm)).collect()
}

fn longest_word_mm(words: &str, face: Face, size_pt: f64) -> f64 {
    breakable(words).map(|word| face.width_mm(word, size_pt)).fold(0.0, f64::max)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::table::Cell;

    #[test]
    fn one_endless_word_does_not_starve_the_figures() {
        let mut table = Table::new(vec![Column::words("Do"), Column::dial("X")]);
        table.row(vec![Cell::words("w".repeat(500)), Cell::words("123.456")]);
        let widths = share(&table, 100.0);
        assert!((widths.iter().sum::<f64>() - 100.0).abs() < 1e-6);
        assert!(widths[1] > Face::Bold.width_mm("123.456", 12.0));
    }

    #[test]
    fn spare_paper_goes_to_the_words() {
        let mut table = Table::new(vec![Column::words("Do"), Column::dial("X")]);
        table.row(vec![Cell::words("drill"), Cell::words("1.5")]);
        let widths = share(&table, 150.0);
        assert!(widths[0] > 130.0 && (widths.iter().sum::<f64>() - 150.0).abs() < 1e-6, "{widths:?}");
    }
}
