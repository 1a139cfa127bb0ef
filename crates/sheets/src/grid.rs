//! Figures to set, each under its name, side by side in columns.
//!
//! What is set on a dial is read at arm's length: never under 12 point, and one
//! under another so that their points line up.

use std::collections::BTreeMap;

use workshop::why::Figure;

use crate::font::{Face, wrap};
use crate::ink::{ASSUMED, Anchor, Ink, Point, Tag, Text};
use crate::table::{Cell, Ground};

/// A figure to set and what it is called.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Setting {
    /// What it is called on this sheet: `X`, `table angle`.
    pub label: String,
    /// The figure.
    pub cell: Cell,
}

impl Setting {
    /// A figure under the last part of its name.
    pub fn of(figure: &Figure) -> Self {
        Self { label: figure.label().to_owned(), cell: Cell::figure(figure) }
    }
}

/// The lettering of names and of words to read.
pub(crate) const LABEL_PT: f64 = 9.0;
const DIAL_PT: f64 = 12.0;
/// Clear paper between two figures side by side.
const BETWEEN_MM: f64 = 2.5;

/// A strip of lettering that stays together on one page, drawn from its own top
/// left corner.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct Band {
    pub ink: Ink,
    pub height_mm: f64,
}

/// Words over as many bands as they take.
pub(crate) fn words(words: &str, face: Face, size_pt: f64, width_mm: f64, tag: Option<&Tag>) -> Vec<Band> {
    if words.is_empty() {
        return Vec::new();
    }
    let height_mm = Text::leading_mm(size_pt);
    wrap(words, face, size_pt, width_mm)
        .iter()
        .map(|line| {
            let mut ink = Ink::new();
            let at = Point::mm(0.0, height_mm - face.descent_mm(size_pt));
            ink.tagged(tag, |ink| ink.text(Text::new(line, size_pt, at).face(face)));
            Band { ink, height_mm }
        })
        .collect()
}

/// Columns for figures.
#[derive(Clone, Debug)]
pub(crate) struct Grid<'a> {
    width_mm: f64,
    columns: usize,
    /// The widest plain figure under each name, so that all of that name end in one place.
    widest_mm: BTreeMap<&'a str, f64>,
}

impl<'a> Grid<'a> {
    /// Columns no narrower than `least_mm` that hold these figures, and all
    /// others laid out together with them.
    pub fn new(width_mm: f64, least_mm: f64, all: impl IntoIterator<Item = &'a Setting>) -> Self {
        let columns = (width_mm / least_mm).floor().max(1.0) as usize;
        let column_mm = width_mm / columns as f64 - BETWEEN_MM;
        let mut widest_mm: BTreeMap<&str, f64> = BTreeMap::new();
        for setting in all {
            let natural_mm = plain_mm(&setting.cell);
            if natural_mm <= column_mm {
                let widest = widest_mm.entry(&setting.label).or_default();
                *widest = widest.max(natural_mm);
            }
        }
        Self { width_mm, columns, widest_mm }
    }

    fn across_mm(&self, columns: usize) -> f64 {
        self.width_mm * columns as f64 / self.columns as f64 - BETWEEN_MM
    }

    /// How many columns a figure takes.
    fn needs(&self, setting: &Setting) -> usize {
        let value_mm = Face::Bold.width_mm(&setting.cell.words, DIAL_PT);
        // A name may take two lines before it takes another column.
        let label_mm = Face::Regular.width_mm(&setting.label, LABEL_PT) / 1.7;
        (1..self.columns).find(|n| value_mm.max(label_mm) <= self.across_mm(*n)).unwrap_or(self.columns)
    }

    /// Lays figures out, X always in the first column and Y in the second.
    pub fn lay_out(&self, settings: &[Setting]) -> Vec<Band> {
        let mut lines: Vec<Vec<(usize, usize, &Setting)>> = Vec::new();
        let mut next = self.columns;
        for setting in settings {
            let needs = self.needs(setting);
            let place = match setting.label.as_str() {
                "X" => 0,
                "Y" if self.columns > 1 && needs < self.columns => 1,
                _ => next,
            };
            if lines.is_empty() || place < next || place + needs > self.columns {
                lines.push(Vec::new());
                next = if place + needs > self.columns { 0 } else { place };
            } else {
                next = place;
            }
            lines.last_mut().expect("a line was just begun").push((next, needs, setting));
            next += needs;
        }
        let mut above: BTreeMap<usize, &str> = BTreeMap::new();
        let mut bands = Vec::new();
        for line in lines {
            // A name need not be repeated under itself.
            let labelled = line.iter().any(|(at, _, setting)| above.get(at) != Some(&setting.label.as_str()));
            bands.extend(self.line(&line, labelled));
            above = line.iter().map(|(at, _, setting)| (*at, setting.label.as_str())).collect();
        }
        bands
    }

    fn line(&self, line: &[(usize, usize, &Setting)], labelled: bool) -> Vec<Band> {
        let label_leading_mm = Text::leading_mm(LABEL_PT);
        let labels: Vec<Vec<String>> = line
            .iter()
            .map(|(_, needs, s)| match labelled {
                true => wrap(&s.label, Face::Regular, LABEL_PT, self.across_mm(*needs)),
                false => Vec::new(),
            })
            .collect();
        let labels_mm = labels.iter().map(Vec::len).max().unwrap_or(0) as f64 * label_leading_mm;
        let mut head = Band { height_mm: labels_mm, ..Band::default() };
        let leading_mm = Text::leading_mm(DIAL_PT);
        let mut tails: Vec<Band> = Vec::new();
        for ((at, needs, setting), label) in line.iter().zip(&labels) {
            let left_mm = self.width_mm * *at as f64 / self.columns as f64;
            let room_mm = self.across_mm(*needs);
            let values = wrap(&setting.cell.words, Face::Bold, DIAL_PT, room_mm);
            while tails.len() < values.len() {
                tails.push(Band { height_mm: leading_mm, ..Band::default() });
            }
            let tag = setting.cell.tag.as_ref();
            head.ink.tagged(tag, |ink| {
                for (k, words) in label.iter().rev().enumerate() {
                    let base_mm =
                        labels_mm - Face::Regular.descent_mm(LABEL_PT) - label_leading_mm * k as f64;
                    ink.text(Text::new(words, LABEL_PT, Point::mm(left_mm, base_mm)));
                }
            });
            let base_mm = leading_mm - Face::Bold.descent_mm(DIAL_PT);
            let alone = values.len() == 1;
            for (value, band) in values.iter().zip(&mut tails) {
                band.ink.tagged(tag, |ink| {
                    let widest_mm = self.widest_mm.get(setting.label.as_str()).filter(|_| alone);
                    let end_mm = widest_mm.map(|widest| widest.max(plain_mm(&setting.cell)));
                    dial(ink, value, &setting.cell, left_mm, end_mm, base_mm);
                });
            }
        }
        // Names and the first line of their figures stay together.
        let mut bands = tails.into_iter();
        if let Some(first) = bands.next() {
            head.ink.lay(first.ink, 0.0, head.height_mm);
            head.height_mm += first.height_mm;
        }
        std::iter::once(head).chain(bands).collect()
    }
}

/// One line of a figure: its sign for something supposed hangs outside, so that
/// the figures still end in one place.
fn dial(ink: &mut Ink, value: &str, cell: &Cell, left_mm: f64, end_mm: Option<f64>, base_mm: f64) {
    let text = |words: &str, x_mm: f64| {
        Text::new(words, DIAL_PT, Point::mm(left_mm + x_mm, base_mm)).face(Face::Bold)
    };
    match (end_mm, plain(cell)) {
        (Some(end_mm), figure) if cell.words == value => {
            ink.text(text(figure, end_mm).anchor(Anchor::End));
            ink.text(text(&cell.words[figure.len()..], end_mm));
        }
        _ => ink.text(text(value, 0.0)),
    }
}

/// A figure without the sign that it was supposed.
fn plain(cell: &Cell) -> &str {
    match cell.ground {
        Ground::Supposed => cell.words.strip_suffix(ASSUMED).unwrap_or(&cell.words),
        Ground::Given => &cell.words,
    }
}

fn plain_mm(cell: &Cell) -> f64 {
    Face::Bold.width_mm(plain(cell), DIAL_PT)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::ink::Shape;
    use workshop::why::Why;

    fn setting(name: &str, shown: &str) -> Setting {
        Setting::of(&Figure::new(name, shown, Why::new("measured")))
    }

    fn texts(bands: &[Band]) -> Vec<(String, f64, f64)> {
        bands
            .iter()
            .flat_map(|band| &band.ink.marks)
            .filter_map(|mark| match &mark.shape {
                Shape::Text(text) => {
                    Some((text.words.clone(), mark.bounds().left_mm, mark.bounds().right_mm))
                }
                _ => None,
            })
            .collect()
    }

    #[test]
    fn figures_of_one_name_end_in_one_place_and_the_sign_hangs_outside() {
        let long = setting("setup 1, 1: X", "−34.925 mm");
        let mut short = setting("setup 1, 2: X", "0.000 mm");
        short.cell = Cell::figure(&Figure::new("setup 1, 2: X", "0.000 mm", Why::assumed("supposed")));
        let all = [long.clone(), short.clone()];
        let grid = Grid::new(60.0, 26.0, &all);
        let ends: Vec<f64> = [&long, &short]
            .into_iter()
            .map(|s| {
                let texts = texts(&grid.lay_out(std::slice::from_ref(s)));
                texts.iter().find(|(words, ..)| words.ends_with("mm")).unwrap().2
            })
            .collect();
        assert!((ends[0] - ends[1]).abs() < 1e-9, "{ends:?}");
    }

    #[test]
    fn x_is_always_first_and_a_name_is_not_repeated_under_itself() {
        let pairs: Vec<Setting> = (0..5)
            .flat_map(|n| [setting("a: X", &format!("{n}.5")), setting("a: Y", &format!("{n}.25"))])
            .collect();
        let bands = Grid::new(60.0, 26.0, &pairs).lay_out(&pairs);
        assert_eq!(bands.len(), 5);
        let words: Vec<String> = texts(&bands).into_iter().map(|(words, ..)| words).collect();
        assert_eq!(words.iter().filter(|w| *w == "X").count(), 1);
        assert_eq!(&words[..4], ["X", "Y", "0.5", "0.25"]);
    }

    #[test]
    fn a_figure_too_long_for_a_column_takes_more_and_then_wraps() {
        let long = [setting("a: b", "12 passes of 0.25 mm, the last of 0.10 mm, then two without a cut")];
        let bands = Grid::new(54.0, 26.0, &long).lay_out(&long);
        assert!(bands.len() > 1);
        assert!(texts(&bands).iter().all(|(_, _, right)| *right <= 54.0));
    }
}
