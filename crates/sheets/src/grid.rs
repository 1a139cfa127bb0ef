//! Figures to set, each under its name, side by side in columns.
//!
//! A number that is set on a dial is read at arm's length: never under 12 point,
//! and one under another so that their points line up. The words and units round
//! it are there to be read once, and smaller.

use std::collections::BTreeMap;

use workshop::why::Figure;

use crate::font::{Face, breakable, printable, wrap};
use crate::ink::{ASSUMED, Ink, Point, Tag, Text};
use crate::table::Cell;

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
pub(crate) const DIAL_PT: f64 = 12.0;
/// Words that are set on no dial and yet are the setting.
const TELLING_PT: f64 = 10.0;
/// Clear paper between two figures side by side.
pub(crate) const BETWEEN_MM: f64 = 1.8;

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

/// A figure to set, over as many bands as it takes.
pub(crate) fn dial(words: &str, width_mm: f64, tag: Option<&Tag>) -> Vec<Band> {
    dial_lines(words, width_mm)
        .iter()
        .map(|line| {
            let size_pt = tallest_pt(line);
            let height_mm = Text::leading_mm(size_pt);
            let mut ink = Ink::new();
            ink.tagged(tag, |ink| draw_line(ink, line, 0.0, height_mm - Face::Bold.descent_mm(size_pt)));
            Band { ink, height_mm }
        })
        .collect()
}

/// How one word of a figure is set.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Weight {
    /// A number, read at arm's length.
    Number,
    /// A word that stands for a number: `clockwise`.
    Telling,
    /// A unit or a word between numbers.
    Small,
}

impl Weight {
    fn face(self) -> Face {
        if self == Weight::Small { Face::Regular } else { Face::Bold }
    }

    fn size_pt(self) -> f64 {
        match self {
            Weight::Number => DIAL_PT,
            Weight::Telling => TELLING_PT,
            Weight::Small => LABEL_PT,
        }
    }

    fn width_mm(self, word: &str) -> f64 {
        self.face().width_mm(word, self.size_pt())
    }
}

/// The words of a figure, each with its weight. A short aside in brackets counts
/// as one word, so that degrees stay with their minutes.
pub(crate) fn weighed(words: &str) -> Vec<(&str, Weight)> {
    const SHORT_ASIDE: usize = 12;
    let number = |word: &str| word.chars().any(|c| c.is_ascii_digit());
    let small = if number(words) { Weight::Small } else { Weight::Telling };
    let mut weighed: Vec<(&str, Weight)> = Vec::new();
    let mut rest = words;
    while let Some(word) = breakable(rest).next() {
        let start = rest.find(word).expect("a word stands in the text it was taken from");
        let aside = rest[start..].strip_prefix('(').and_then(|inner| inner.find(')'));
        let aside = aside.map(|end| &rest[start..=start + 1 + end]);
        let aside = aside.filter(|aside| aside.len() > word.len() && aside.chars().count() <= SHORT_ASIDE);
        let word = aside.unwrap_or(word);
        weighed.push((word, if number(word) { Weight::Number } else { small }));
        rest = &rest[start + word.len()..];
    }
    weighed
}

/// One word in its place on a line.
struct Placed {
    left_mm: f64,
    word: String,
    weight: Weight,
}

fn dial_lines(words: &str, width_mm: f64) -> Vec<Vec<Placed>> {
    let space_mm = Face::Regular.width_mm(" ", LABEL_PT);
    let mut lines: Vec<Vec<Placed>> = vec![Vec::new()];
    let mut right_mm = 0.0;
    let words = weighed(words);
    for (k, (word, weight)) in words.iter().enumerate() {
        let weight = *weight;
        // A number and its unit go over to the next line together.
        let unit_mm = match words.get(k + 1) {
            Some((unit, Weight::Small))
                if weight == Weight::Number && (unit.starts_with("mm") || *unit == "in") =>
            {
                space_mm + Weight::Small.width_mm(unit)
            }
            _ => 0.0,
        };
        for (n, piece) in wrap(word, weight.face(), weight.size_pt(), width_mm).into_iter().enumerate() {
            let piece_mm = weight.width_mm(&piece);
            let kept_mm = if piece_mm + unit_mm <= width_mm { piece_mm + unit_mm } else { piece_mm };
            let line = lines.last().expect("there is always a line");
            let gap_mm = if line.is_empty() { 0.0 } else { space_mm };
            // A word too long for a whole line goes on below itself.
            if n > 0 || (!line.is_empty() && right_mm + gap_mm + kept_mm > width_mm) {
                lines.push(Vec::new());
                right_mm = 0.0;
            } else {
                right_mm += gap_mm;
            }
            let line = lines.last_mut().expect("there is always a line");
            line.push(Placed { left_mm: right_mm, word: piece, weight });
            right_mm += piece_mm;
        }
    }
    lines
}

/// The largest lettering on a line: one without a number needs less height.
fn tallest_pt(line: &[Placed]) -> f64 {
    line.iter().map(|placed| placed.weight.size_pt()).fold(LABEL_PT, f64::max)
}

fn draw_line(ink: &mut Ink, line: &[Placed], left_mm: f64, base_mm: f64) {
    for Placed { left_mm: along_mm, word, weight } in line {
        let at = Point::mm(left_mm + along_mm, base_mm);
        ink.text(Text::new(word, weight.size_pt(), at).face(weight.face()));
    }
}

/// How long a figure is on one line.
pub(crate) fn natural_mm(words: &str) -> f64 {
    let space_mm = Face::Regular.width_mm(" ", LABEL_PT);
    let (words_mm, count) = weighed(words)
        .into_iter()
        .map(|(word, weight)| weight.width_mm(&printable(word)))
        .fold((0.0, 0), |(sum, count), width| (sum + width, count + 1));
    words_mm + space_mm * f64::from((count - 1).max(0))
}

/// The number a figure begins with, without the sign that it was supposed, if
/// it begins with one.
pub(crate) fn first_number_mm(words: &str) -> Option<f64> {
    let (first, weight) = *weighed(words).first()?;
    (weight == Weight::Number).then(|| weight.width_mm(first.trim_end_matches(ASSUMED)))
}

/// Columns for figures.
#[derive(Clone, Debug)]
pub(crate) struct Grid<'a> {
    width_mm: f64,
    columns: usize,
    /// How many lines a figure may take before it takes another column.
    most_lines: usize,
    /// The widest number under each name, so that all of that name end in one place.
    widest_mm: BTreeMap<&'a str, f64>,
}

/// A figure with the column it begins in and how many it takes.
type Stood<'s> = (usize, usize, &'s Setting);

impl<'a> Grid<'a> {
    /// Columns no narrower than `least_mm`, alike for all these groups of figures,
    /// in the way in which they take least paper together.
    pub fn new(width_mm: f64, least_mm: f64, groups: &[&'a [Setting]]) -> Self {
        let columns = (width_mm / least_mm).floor().max(1.0) as usize;
        let mut widest_mm: BTreeMap<&str, f64> = BTreeMap::new();
        for setting in groups.iter().copied().flatten() {
            if let Some(number_mm) = first_number_mm(&setting.cell.words) {
                let widest = widest_mm.entry(&setting.label).or_default();
                *widest = widest.max(number_mm);
            }
        }
        let open = Self { width_mm, columns, most_lines: 1, widest_mm };
        let close = Self { most_lines: 2, ..open.clone() };
        let height_mm = |grid: &Self| -> f64 {
            groups.iter().flat_map(|group| grid.lay_out(group)).map(|band| band.height_mm).sum()
        };
        if height_mm(&close) < height_mm(&open) - 0.01 { close } else { open }
    }

    fn across_mm(&self, columns: usize) -> f64 {
        (self.width_mm * columns as f64 / self.columns as f64 - BETWEEN_MM).max(1.0)
    }

    /// How far a figure moves right for its number to end under the others.
    fn indent_mm(&self, setting: &Setting) -> f64 {
        let widest_mm = self.widest_mm.get(setting.label.as_str());
        match (widest_mm, first_number_mm(&setting.cell.words)) {
            (Some(widest_mm), Some(number_mm)) => widest_mm - number_mm,
            _ => 0.0,
        }
    }

    /// How many columns a figure takes: the fewest in which no number is broken
    /// and the figure takes no more lines than it may, its name no more than one
    /// over that.
    fn needs(&self, setting: &Setting) -> usize {
        let fits = |columns: &usize| {
            let room_mm = self.across_mm(*columns);
            let whole =
                weighed(&setting.cell.words).iter().all(|(word, weight)| weight.width_mm(word) <= room_mm);
            let names = wrap(&setting.label, Face::Regular, LABEL_PT, room_mm).len();
            whole
                && names <= self.most_lines + 1
                && dial_lines(&setting.cell.words, room_mm).len() <= self.most_lines
        };
        (1..self.columns).find(fits).unwrap_or(self.columns)
    }

    /// Lays figures out, X at the beginning of a line and Y beside it.
    pub fn lay_out(&self, settings: &[Setting]) -> Vec<Band> {
        let mut lines: Vec<Vec<Stood<'_>>> = Vec::new();
        let mut next = self.columns;
        for setting in settings {
            let needs = self.needs(setting);
            let starts = axis(&setting.label) == Some('X') || next + needs > self.columns;
            if starts {
                lines.push(Vec::new());
                next = 0;
            }
            lines.last_mut().expect("the first figure begins a line").push((next, needs, setting));
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

    fn line(&self, line: &[Stood<'_>], labelled: bool) -> Vec<Band> {
        let label_leading_mm = Text::leading_mm(LABEL_PT);
        let labels: Vec<Vec<String>> = line
            .iter()
            .map(|(_, needs, s)| match labelled && !s.label.is_empty() {
                true => wrap(&s.label, Face::Regular, LABEL_PT, self.across_mm(*needs)),
                false => Vec::new(),
            })
            .collect();
        let labels_mm = labels.iter().map(Vec::len).max().unwrap_or(0) as f64 * label_leading_mm;
        let mut head = Band { height_mm: labels_mm, ..Band::default() };
        let set: Vec<Vec<Vec<Placed>>> = line
            .iter()
            .map(|(_, needs, setting)| dial_lines(&setting.cell.words, self.across_mm(*needs)))
            .collect();
        let deepest = set.iter().map(Vec::len).max().unwrap_or(0);
        let sizes_pt: Vec<f64> = (0..deepest)
            .map(|n| {
                set.iter().filter_map(|lines| lines.get(n)).map(|l| tallest_pt(l)).fold(LABEL_PT, f64::max)
            })
            .collect();
        let leading_mm = |size_pt: &f64| Text::leading_mm(*size_pt);
        let mut tails: Vec<Band> = sizes_pt
            .iter()
            .map(|size_pt| Band { height_mm: leading_mm(size_pt), ..Band::default() })
            .collect();
        for (((at, needs, setting), label), lines) in line.iter().zip(&labels).zip(&set) {
            let left_mm = self.width_mm * *at as f64 / self.columns as f64;
            let tag = setting.cell.tag.as_ref();
            head.ink.tagged(tag, |ink| {
                for (k, words) in label.iter().rev().enumerate() {
                    let base_mm =
                        labels_mm - Face::Regular.descent_mm(LABEL_PT) - label_leading_mm * k as f64;
                    ink.text(Text::new(words, LABEL_PT, Point::mm(left_mm, base_mm)));
                }
            });
            let (room_mm, indent_mm) = (self.across_mm(*needs), self.indent_mm(setting));
            let fits = natural_mm(&setting.cell.words) + indent_mm <= room_mm;
            let left_mm = if fits { left_mm + indent_mm } else { left_mm };
            for ((line, band), size_pt) in lines.iter().zip(&mut tails).zip(&sizes_pt) {
                let base_mm = leading_mm(size_pt) - Face::Bold.descent_mm(*size_pt);
                band.ink.tagged(tag, |ink| draw_line(ink, line, left_mm, base_mm));
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

/// Which axis of the machine a figure is set on: `X`, or `Y, hole 2`.
pub(crate) fn axis(label: &str) -> Option<char> {
    let mut letters = label.chars();
    let axis = letters.next().filter(|c| matches!(c, 'X' | 'Y'))?;
    match letters.next() {
        None | Some(',' | ' ') => Some(axis),
        Some(_) => None,
    }
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
        let supposed = Figure::new("setup 1, 2: X", "0.000", Why::assumed("supposed"));
        let short = Setting::of(&supposed);
        let sign_mm = Face::Bold.width_mm(ASSUMED, DIAL_PT);
        let all = [long.clone(), short.clone()];
        let grid = Grid::new(60.0, 26.0, &[&all]);
        let ends: Vec<f64> = [&long, &short]
            .into_iter()
            .map(|s| {
                let texts = texts(&grid.lay_out(std::slice::from_ref(s)));
                texts.iter().find(|(words, ..)| words.contains(".")).unwrap().2
            })
            .collect();
        assert!((ends[0] + sign_mm - ends[1]).abs() < 1e-9, "{ends:?}");
    }

    #[test]
    fn x_is_always_first_and_a_name_is_not_repeated_under_itself() {
        let pairs: Vec<Setting> = (0..5)
            .flat_map(|n| [setting("a: X", &format!("{n}.5")), setting("a: Y", &format!("{n}.25"))])
            .collect();
        let bands = Grid::new(60.0, 26.0, &[&pairs]).lay_out(&pairs);
        assert_eq!(bands.len(), 5);
        let words: Vec<String> = texts(&bands).into_iter().map(|(words, ..)| words).collect();
        assert_eq!(words.iter().filter(|w| *w == "X").count(), 1);
        assert_eq!(&words[..4], ["X", "Y", "0.5", "0.25"]);
    }

    #[test]
    fn a_figure_too_long_for_a_column_takes_more_and_then_wraps() {
        let long = [setting("a: b", "12 passes of 0.25 mm, the last of 0.10 mm, then two without a cut")];
        let bands = Grid::new(54.0, 26.0, &[&long]).lay_out(&long);
        assert!(bands.len() > 1);
        assert!(texts(&bands).iter().all(|(_, _, right)| *right <= 54.0));
    }
}
