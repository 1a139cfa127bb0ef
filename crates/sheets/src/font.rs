//! The lettering: one open face in two weights, measured as it will print.
//!
//! B612 was drawn for instrument panels, to be read at arm's length in poor
//! light, which is what a sheet beside a mill needs. It lacks a few signs a
//! drawing uses; [`printable`] puts near ones in their place.

use std::borrow::Cow;
use std::ops::Range;
use std::sync::LazyLock;

/// One point of the printer's measure, in millimetres (1/72 in).
pub const POINT_MM: f64 = 25.4 / 72.0;

/// The name the face goes by in SVG and CSS.
pub const FAMILY: &str = "B612";

/// A weight of the sheet's one typeface.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub enum Face {
    /// For reading.
    #[default]
    Regular,
    /// For headings, and for what is set on a dial.
    Bold,
}

/// One character as the face draws it.
#[derive(Clone, Debug, PartialEq)]
pub struct Glyph {
    /// Which drawing in the font file; 0 is the empty box shown for a sign the face lacks.
    pub index: u16,
    /// The bytes of the text that it stands for.
    pub bytes: Range<usize>,
    /// How far the next glyph stands from this one, as a share of the size.
    pub advance_em: f64,
}

static REGULAR: &[u8] = include_bytes!("../fonts/B612-Regular.otf");
static BOLD: &[u8] = include_bytes!("../fonts/B612-Bold.otf");
static REGULAR_FACE: LazyLock<ttf_parser::Face<'static>> = LazyLock::new(|| parsed(REGULAR));
static BOLD_FACE: LazyLock<ttf_parser::Face<'static>> = LazyLock::new(|| parsed(BOLD));

/// Latin letters, figures and signs: the characters up to U+00FF.
static REGULAR_COMMON: LazyLock<Vec<(u16, f64)>> = LazyLock::new(|| common(&REGULAR_FACE));
static BOLD_COMMON: LazyLock<Vec<(u16, f64)>> = LazyLock::new(|| common(&BOLD_FACE));

fn common(face: &ttf_parser::Face<'_>) -> Vec<(u16, f64)> {
    ('\0'..='\u{ff}').map(|c| measured(face, c)).collect()
}

/// The glyph of a character and its advance as a share of the size.
fn measured(face: &ttf_parser::Face<'_>, c: char) -> (u16, f64) {
    let index = face.glyph_index(c).unwrap_or_default();
    let advance = face.glyph_hor_advance(index).unwrap_or(face.units_per_em());
    (index.0, f64::from(advance) / f64::from(face.units_per_em()))
}

fn parsed(file: &'static [u8]) -> ttf_parser::Face<'static> {
    ttf_parser::Face::parse(file, 0).expect("the embedded font is a valid font file")
}

impl Face {
    /// The OpenType file, for embedding in a document or serving to a browser.
    pub fn file(self) -> &'static [u8] {
        match self {
            Face::Regular => REGULAR,
            Face::Bold => BOLD,
        }
    }

    /// The weight as CSS counts it.
    pub fn css_weight(self) -> u16 {
        match self {
            Face::Regular => 400,
            Face::Bold => 700,
        }
    }

    /// The glyphs of a line of text, one a character, without kerning, so that
    /// every backend sets exactly the width that was measured.
    pub fn glyphs(self, text: &str) -> impl Iterator<Item = Glyph> + '_ {
        let common = self.common();
        text.char_indices().map(move |(start, c)| {
            let (index, advance_em) =
                common.get(c as usize).copied().unwrap_or_else(|| measured(self.tables(), c));
            Glyph { index, bytes: start..start + c.len_utf8(), advance_em }
        })
    }

    /// The width of a line of text set at `size_pt`.
    pub fn width_mm(self, text: &str, size_pt: f64) -> f64 {
        self.glyphs(text).map(|g| g.advance_em).sum::<f64>() * size_pt * POINT_MM
    }

    /// The height of a capital or a figure set at `size_pt`.
    pub fn cap_height_mm(self, size_pt: f64) -> f64 {
        let face = self.tables();
        let units = face.capital_height().unwrap_or(face.ascender());
        f64::from(units) / f64::from(face.units_per_em()) * size_pt * POINT_MM
    }

    /// How far a letter with a tail reaches below the line at `size_pt`.
    pub fn descent_mm(self, size_pt: f64) -> f64 {
        // The lowest ink of g, j, p, q, y and Q in this face, rather than the
        // deeper figure in the font's head, which leaves room for accents.
        const DEEPEST_TAIL_EM: f64 = 0.22;
        DEEPEST_TAIL_EM * size_pt * POINT_MM
    }

    /// True when the face has a drawing for this character.
    pub fn shows(self, c: char) -> bool {
        self.tables().glyph_index(c).is_some()
    }

    /// Which glyph each of the first characters has, and its advance: nearly all
    /// that is set, and looked up once.
    fn common(self) -> &'static [(u16, f64)] {
        match self {
            Face::Regular => &REGULAR_COMMON,
            Face::Bold => &BOLD_COMMON,
        }
    }

    fn tables(self) -> &'static ttf_parser::Face<'static> {
        match self {
            Face::Regular => &REGULAR_FACE,
            Face::Bold => &BOLD_FACE,
        }
    }
}

/// The text as it can be set: no control characters, and a near sign in place
/// of one that the face lacks.
///
/// A letter of another script stays as it is: a browser has a face for it, and
/// the PDF shows an empty box rather than a wrong letter.
pub fn printable(text: &str) -> Cow<'_, str> {
    if text.chars().all(|c| stand_in(c).is_none()) {
        return Cow::Borrowed(text);
    }
    Cow::Owned(text.chars().map(|c| stand_in(c).unwrap_or(c)).collect())
}

/// What is set instead of a character that cannot be.
fn stand_in(c: char) -> Option<char> {
    match c {
        '\u{2300}' => Some('Ø'), // the diameter sign proper
        '\u{03bc}' => Some('µ'), // Greek mu for the micro sign
        '\u{2009}' | '\u{202f}' | '\u{00a0}' | '\t' | '\n' | '\r' => Some(' '),
        '\u{2011}' => Some('-'),
        '\u{fffe}' | '\u{ffff}' => Some('\u{fffd}'), // not allowed in XML
        // Marks that turn the direction of writing could disorder a row of figures.
        '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' => Some('\u{fffd}'),
        c if c.is_control() => Some('\u{fffd}'),
        _ => None,
    }
}

/// Breaks text into lines no wider than `width_mm`, between words where that is
/// possible and inside a word where it is not.
///
/// A line break in the text is kept. There is always at least one line, and no
/// line is empty of characters unless the text has nothing there; a width too
/// small for a single character still takes one a line.
pub fn wrap(text: &str, face: Face, size_pt: f64, width_mm: f64) -> Vec<String> {
    let mut lines = Vec::new();
    for paragraph in text.split('\n') {
        let mut line = String::new();
        let mut line_mm = 0.0;
        let space_mm = face.width_mm(" ", size_pt);
        for word in breakable(paragraph) {
            let word = printable(word);
            let word_mm = face.width_mm(&word, size_pt);
            if !line.is_empty() && line_mm + space_mm + word_mm <= width_mm {
                line.push(' ');
                line.push_str(&word);
                line_mm += space_mm + word_mm;
                continue;
            }
            if !line.is_empty() {
                lines.push(std::mem::take(&mut line));
            }
            line_mm = 0.0;
            for c in word.chars() {
                let c_mm = face.width_mm(c.encode_utf8(&mut [0; 4]), size_pt);
                if !line.is_empty() && line_mm + c_mm > width_mm {
                    lines.push(std::mem::take(&mut line));
                    line_mm = 0.0;
                }
                line.push(c);
                line_mm += c_mm;
            }
        }
        lines.push(line);
    }
    lines
}

/// The pieces of a text between which a line may break: words, but not at a
/// no-break space, which keeps `8 H7` and `0.02 mm` together.
pub(crate) fn breakable(text: &str) -> impl Iterator<Item = &str> {
    let breaks = |c: char| c.is_whitespace() && !matches!(c, '\u{a0}' | '\u{202f}' | '\u{2007}');
    text.split(breaks).filter(|word| !word.is_empty())
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn the_face_has_every_sign_a_sheet_uses() {
        for c in "0123456789Ø°±×−′″½¼¾⅛→≤≥µ√✓·–—“”’()[]+=/#&".chars() {
            assert!(Face::Regular.shows(c) && Face::Bold.shows(c), "{c} is missing");
        }
    }

    #[test]
    fn figures_are_all_one_width_so_columns_line_up() {
        for face in [Face::Regular, Face::Bold] {
            let nought = face.width_mm("0", 12.0);
            assert!((1..10).all(|d| face.width_mm(&d.to_string(), 12.0) == nought));
        }
    }

    #[test]
    fn twelve_point_figures_stand_as_tall_as_iso_3098_asks_of_3_mm_lettering() {
        // ISO 3098-1 sizes: 1.8, 2.5, 3.5, 5 … mm. Twelve point falls between 2.5 and 3.5.
        let tall = Face::Regular.cap_height_mm(12.0);
        assert!(tall > 2.5 && tall < 3.5, "{tall}");
    }

    #[test]
    fn control_and_direction_marks_are_not_let_through() {
        assert_eq!(printable("a\u{0}b\u{202e}c\u{2300}12"), "a\u{fffd}b\u{fffd}cØ12");
    }

    #[test]
    fn a_no_break_space_keeps_a_figure_with_its_unit() {
        let lines =
            wrap("pass 0.5\u{a0}mm deep", Face::Regular, 9.0, Face::Regular.width_mm("pass 0.5", 9.0));
        assert_eq!(lines, ["pass", "0.5 mm", "deep"]);
    }

    proptest! {
        /// Nothing is lost in wrapping and nothing sticks out.
        #[test]
        fn wrapped_lines_fit_and_keep_every_letter(text in "[ a-zA-Z0-9.Ø<>&]{0,200}", width in 4.0..80.0f64) {
            let lines = wrap(&text, Face::Regular, 9.0, width);
            for line in &lines {
                prop_assert!(
                    Face::Regular.width_mm(line, 9.0) <= width + 1e-9 || line.chars().count() == 1,
                    "{line:?} in {width}"
                );
            }
            let kept: String = lines.concat().split_whitespace().collect();
            let given: String = text.split_whitespace().collect();
            prop_assert_eq!(kept, given);
        }
    }
}
