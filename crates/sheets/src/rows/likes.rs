//! The same few figures said of several like things, `flank 1` and `flank 2` or
//! `hole 1` to `hole 6`: a small table under the row, with each name said once.

use crate::font::{Face, breakable, wrap};
use crate::grid::{BETWEEN_MM, Band, DIAL_PT, LABEL_PT, Setting, dial, first_number_mm, natural_mm};
use crate::ink::{Point, Text};

/// Like things, and what is set for each of them.
pub(crate) struct Likes<'s> {
    /// `flank 1`, `flank 2`.
    pub things: Vec<&'s str>,
    /// `turn the table to`, `X, start`: the same for every thing.
    pub asked: Vec<&'s str>,
    /// Of each thing, in that order.
    pub settings: Vec<Vec<&'s Setting>>,
}

impl<'s> Likes<'s> {
    /// The like things among some figures, and the figures that are of none;
    /// nothing unless there are at least two of which the same is said.
    pub fn among(settings: &'s [Setting]) -> Option<(Self, Vec<Setting>)> {
        let mut likes = Self { things: Vec::new(), asked: Vec::new(), settings: Vec::new() };
        let mut asked: Vec<Vec<&str>> = Vec::new();
        let mut rest = Vec::new();
        for setting in settings {
            let Some((thing, ask)) = parted(&setting.label) else {
                rest.push(setting.clone());
                continue;
            };
            let n = likes.things.iter().position(|known| *known == thing).unwrap_or_else(|| {
                likes.things.push(thing);
                likes.settings.push(Vec::new());
                asked.push(Vec::new());
                asked.len() - 1
            });
            likes.settings[n].push(setting);
            asked[n].push(ask);
        }
        if likes.things.len() < 2 || asked.iter().any(|other| *other != asked[0]) {
            return None;
        }
        likes.asked = asked.swap_remove(0);
        Some((likes, rest))
    }

    /// One line a thing or one column a thing, whichever is less tall; nothing if
    /// a figure is too long for either.
    pub fn lay_out(&self, width_mm: f64) -> Option<Vec<Band>> {
        let lines = Chart { across: &self.asked, down: &self.things, at: &|a, d| self.settings[d][a] };
        let columns = Chart { across: &self.things, down: &self.asked, at: &|a, d| self.settings[a][d] };
        let height_mm = |bands: &Vec<Band>| bands.iter().map(|band| band.height_mm).sum::<f64>();
        let ways = [lines.lay_out(width_mm), columns.lay_out(width_mm)];
        ways.into_iter().flatten().reduce(|a, b| if height_mm(&b) < height_mm(&a) { b } else { a })
    }
}

/// A name as the thing it is of and what is asked of it.
fn parted(label: &str) -> Option<(&str, &str)> {
    let counted = |words: &str| {
        words.rsplit_once(' ').is_some_and(|(_, n)| !n.is_empty() && n.bytes().all(|b| b.is_ascii_digit()))
    };
    let (before, after) = label.split_once(", ")?;
    match (counted(before), counted(after)) {
        (true, _) => Some((before, after)),
        (false, true) => Some((after, before)),
        (false, false) => None,
    }
}

/// Figures under headings, with a name before each line.
struct Chart<'a> {
    across: &'a [&'a str],
    down: &'a [&'a str],
    /// The figure in a column of a line.
    at: &'a dyn Fn(usize, usize) -> &'a Setting,
}

impl Chart<'_> {
    fn lay_out(&self, width_mm: f64) -> Option<Vec<Band>> {
        /// Figures stand no further apart than they can be read across.
        const WIDEST_MM: f64 = 36.0;
        let names_mm = longest_mm(self.down.iter().copied()) + 2.0 * BETWEEN_MM;
        let all =
            || (0..self.across.len()).flat_map(|a| (0..self.down.len()).map(move |d| (a, (self.at)(a, d))));
        let words_mm = longest_mm(self.across.iter().copied().flat_map(breakable));
        let number_mm = |s: &Setting| first_number_mm(&s.cell.words);
        // The widest number of each column, under which the others end.
        let widest_mm: Vec<f64> = (0..self.across.len())
            .map(|a| (0..self.down.len()).filter_map(|d| number_mm((self.at)(a, d))).fold(0.0, f64::max))
            .collect();
        let indent_mm = |a: usize, s: &Setting| number_mm(s).map_or(0.0, |own_mm| widest_mm[a] - own_mm);
        let needs_mm =
            all().map(|(a, s)| indent_mm(a, s) + natural_mm(&s.cell.words)).fold(words_mm, f64::max)
                + BETWEEN_MM;
        let most = ((width_mm - names_mm) / needs_mm).floor().max(0.0) as usize;
        if most == 0 {
            return None;
        }
        // Alike on every tier, rather than one left over on the last.
        let tiers = self.across.len().div_ceil(most);
        let columns = self.across.len().div_ceil(tiers);
        let column_mm = ((width_mm - names_mm) / columns as f64).min(WIDEST_MM.max(needs_mm));
        let mut bands = Vec::new();
        for start in (0..self.across.len()).step_by(columns) {
            let tier = start..(start + columns).min(self.across.len());
            let left_mm = |a: usize| names_mm + column_mm * (a - start) as f64;
            let mut head = Band::default();
            let headings: Vec<Vec<String>> = tier
                .clone()
                .map(|a| wrap(self.across[a], Face::Regular, LABEL_PT, column_mm - BETWEEN_MM))
                .collect();
            let leading_mm = Text::leading_mm(LABEL_PT);
            let deepest = headings.iter().map(Vec::len).max().unwrap_or(0) as f64;
            head.height_mm = deepest * leading_mm;
            let foot_mm = head.height_mm - Face::Regular.descent_mm(LABEL_PT);
            for (a, lines) in tier.clone().zip(&headings) {
                for (k, words) in lines.iter().rev().enumerate() {
                    let at = Point::mm(left_mm(a), foot_mm - leading_mm * k as f64);
                    head.ink.text(Text::new(words, LABEL_PT, at));
                }
            }
            for (d, name) in self.down.iter().enumerate() {
                let mut line = Band::default();
                for a in tier.clone() {
                    let setting = (self.at)(a, d);
                    let room_mm = needs_mm.max(column_mm);
                    for band in dial(&setting.cell.words, room_mm, setting.cell.tag.as_ref()) {
                        line.ink.lay(band.ink, left_mm(a) + indent_mm(a, setting), 0.0);
                        line.height_mm = line.height_mm.max(band.height_mm);
                    }
                }
                // On the base line of the figures.
                let base_mm = line.height_mm - Face::Bold.descent_mm(DIAL_PT);
                line.ink.text(Text::new(name, LABEL_PT, Point::mm(0.0, base_mm)));
                if d == 0 {
                    // The headings and the first line stay together.
                    head.ink.lay(line.ink, 0.0, head.height_mm);
                    head.height_mm += line.height_mm;
                } else {
                    bands.push(std::mem::replace(&mut head, line));
                }
            }
            bands.push(head);
        }
        Some(bands)
    }
}

fn longest_mm<'w>(words: impl Iterator<Item = &'w str>) -> f64 {
    words.map(|word| Face::Regular.width_mm(word, LABEL_PT)).fold(0.0, f64::max)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::ink::Shape;
    use workshop::why::{Figure, Why};

    fn settings(labels: &[&str]) -> Vec<Setting> {
        let figure = |label: &&str| Figure::new(format!("setup 1, 2: {label}"), "−46.655 mm", Why::new("x"));
        labels.iter().map(|label| Setting::of(&figure(label))).collect()
    }

    #[test]
    fn every_name_stands_once_and_every_figure_inside_the_width() {
        let six: Vec<String> =
            (1..=6).flat_map(|n| ["X", "Y"].map(|axis| format!("{axis}, hole {n}"))).collect();
        let settings = settings(&six.iter().map(String::as_str).collect::<Vec<_>>());
        let (likes, rest) = Likes::among(&settings).unwrap();
        assert!(rest.is_empty());
        for width_mm in [60.0, 100.0, 150.0] {
            let bands = likes.lay_out(width_mm).unwrap();
            let texts: Vec<_> = bands
                .iter()
                .flat_map(|band| &band.ink.marks)
                .filter_map(|mark| match &mark.shape {
                    Shape::Text(text) => Some((text.words.as_str(), mark.bounds().right_mm)),
                    _ => None,
                })
                .collect();
            for n in 1..=6 {
                let name = format!("hole {n}");
                assert_eq!(texts.iter().filter(|(words, _)| *words == name).count(), 1, "{width_mm} {name}");
            }
            assert_eq!(texts.iter().filter(|(words, _)| *words == "−46.655").count(), 12);
            assert!(texts.iter().all(|(_, right_mm)| *right_mm <= width_mm), "{width_mm}");
        }
        assert!(likes.lay_out(20.0).is_none(), "a figure does not fit beside its name");
    }

    #[test]
    fn only_things_of_which_the_same_is_said_are_alike() {
        assert!(Likes::among(&settings(&["X", "Y"])).is_none());
        assert!(Likes::among(&settings(&["X, hole 1", "Y, hole 1"])).is_none(), "one thing");
        assert!(
            Likes::among(&settings(&["X, hole 1", "Y, hole 1", "X, hole 2"])).is_none(),
            "one lacks its Y"
        );
        let settings = settings(&["tool", "flank 1, start", "flank 2, start"]);
        let (likes, rest) = Likes::among(&settings).unwrap();
        assert_eq!((likes.things, likes.asked), (vec!["flank 1", "flank 2"], vec!["start"]));
        assert_eq!(rest[0].label, "tool");
    }
}
