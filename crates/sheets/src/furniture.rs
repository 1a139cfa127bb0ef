//! What stands on every page: the frame, the heading and the title block.

use crate::callout::ring_of;
use crate::font::{Face, printable};
use crate::ink::{Bounds, End, Fill, Ink, Line, PAGE_HEIGHT_MM, PAGE_WIDTH_MM, Path, Point, Text, Turn};

/// The frame: 20 mm on the left for the file's rings, 10 mm elsewhere (ISO 5457).
pub const FRAME: Bounds = Bounds::new(20.0, 10.0, PAGE_WIDTH_MM - 30.0, PAGE_HEIGHT_MM - 20.0);
const TITLE_BLOCK_MM: f64 = 17.0;
/// The height of the heading of a sheet.
pub const HEADING_MM: f64 = 14.0;
const INSET_MM: f64 = 4.0;

/// The part of the page that is free for the work.
pub const BODY: Bounds = Bounds::new(
    FRAME.left_mm + INSET_MM,
    FRAME.top_mm + HEADING_MM + 1.0,
    FRAME.right_mm - FRAME.left_mm - 2.0 * INSET_MM,
    FRAME.bottom_mm - FRAME.top_mm - HEADING_MM - TITLE_BLOCK_MM - LEGEND_MM - 3.0,
);
/// A line under the work, for the meaning of signs used on the page.
const LEGEND_MM: f64 = 4.0;

/// What the title block says.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Title {
    /// The project the part belongs to.
    pub project: String,
    /// The part.
    pub part: String,
    /// Which of a pair, or empty: `right hand`.
    pub hand: String,
    /// What it is made of.
    pub material: String,
}

/// The place of a page among its fellows.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Leaf {
    /// Counting from 1.
    pub page: usize,
    /// How many there are.
    pub of: usize,
}

/// The words at the head of a page.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Heading<'a> {
    /// The number of the setup, in a ring, where there is one.
    pub ring: Option<&'a str>,
    /// What the page is.
    pub words: &'a str,
}

/// Draws the frame, the heading and the title block.
///
/// `scale` is that of the pictures on the page, or empty.
pub fn draw(ink: &mut Ink, heading: Heading<'_>, title: &Title, scale: &str, leaf: Leaf) {
    ink.rectangle(FRAME, Some(Line::Frame), Fill::None);
    heading_band(ink, heading, FRAME.top_mm);
    title_block(ink, title, scale, leaf);
}

/// Says under the work what the sign of a supposed figure means.
pub fn legend(ink: &mut Ink, words: &str) {
    let at = Point::mm(BODY.left_mm, BODY.bottom_mm + LEGEND_MM);
    ink.text(Text::new(words, SMALL_PT, at));
}

/// Draws the heading of a sheet and the line under it, from `top_mm` down.
pub fn heading_band(ink: &mut Ink, heading: Heading<'_>, top_mm: f64) {
    const SIZE_PT: f64 = 15.0;
    const RING_RADIUS_MM: f64 = 4.7;
    const RING_PT: f64 = 18.0;
    let foot_mm = top_mm + HEADING_MM - 3.0;
    let mut left_mm = FRAME.left_mm + INSET_MM;
    if let Some(number) = heading.ring {
        let centre = Point::mm(left_mm + RING_RADIUS_MM, top_mm + RING_RADIUS_MM + 0.9);
        ring_of(ink, centre, RING_RADIUS_MM, RING_PT, number);
        left_mm += 2.0 * RING_RADIUS_MM + 3.0;
    }
    let room_mm = FRAME.right_mm - INSET_MM - left_mm;
    let (words, size_pt) = fitted(heading.words, Face::Bold, SIZE_PT, room_mm);
    ink.text(Text::new(&words, size_pt, Point::mm(left_mm, foot_mm - 2.6)).face(Face::Bold));
    ink.line(
        Line::Visible,
        Point::mm(FRAME.left_mm + INSET_MM, foot_mm),
        Point::mm(FRAME.right_mm - INSET_MM, foot_mm),
    );
}

fn title_block(ink: &mut Ink, title: &Title, scale: &str, leaf: Leaf) {
    const MARK_MM: f64 = 16.0;
    const UPPER_MM: f64 = 10.0;
    let block =
        Bounds::new(FRAME.left_mm, FRAME.bottom_mm - TITLE_BLOCK_MM, FRAME.width_mm(), TITLE_BLOCK_MM);
    let top_mm = block.top_mm;
    ink.line(Line::Frame, Point::mm(block.left_mm, top_mm), Point::mm(block.right_mm, top_mm));
    mark(ink, Point::mm(block.left_mm + 3.5, top_mm + 2.2), TITLE_BLOCK_MM - 4.4);

    let page = format!("{} of {}", leaf.page, leaf.of);
    let mut left_mm = block.left_mm + MARK_MM;
    for (name, value, width_mm, face) in [
        ("part", title.part.as_str(), 56.0, Face::Bold),
        ("hand", &title.hand, 56.0, Face::Bold),
        ("scale", scale, 24.0, Face::Regular),
        ("sheet", &page, block.width_mm() - MARK_MM - 136.0, Face::Bold),
    ] {
        let cell = Bounds::new(left_mm, top_mm, width_mm, UPPER_MM);
        left_rule(ink, cell);
        ink.text(Text::new(name, SMALL_PT, Point::mm(left_mm + CELL_PAD_MM, top_mm + 3.6)));
        value_on_one_line(ink, value, face, 12.0, cell);
        left_mm += width_mm;
    }

    let lower_top_mm = top_mm + UPPER_MM;
    ink.line(
        Line::Dimension,
        Point::mm(block.left_mm + MARK_MM, lower_top_mm),
        Point::mm(block.right_mm, lower_top_mm),
    );
    let material = Bounds::new(block.left_mm + MARK_MM, lower_top_mm, 80.0, block.bottom_mm - lower_top_mm);
    left_rule(ink, material);
    value_on_one_line(ink, &title.material, Face::Regular, SMALL_PT, material);
    const UNIT: &str = "dimensions in mm";
    let unit_mm = Face::Regular.width_mm(UNIT, SMALL_PT) + 2.0 * CELL_PAD_MM;
    let unit = Bounds::new(block.right_mm - unit_mm, lower_top_mm, unit_mm, material.height_mm());
    let project = Bounds { left_mm: material.right_mm, right_mm: unit.left_mm, ..material };
    left_rule(ink, project);
    value_on_one_line(ink, &title.project, Face::Regular, SMALL_PT, project);
    value_on_one_line(ink, UNIT, Face::Regular, SMALL_PT, unit);
}

const SMALL_PT: f64 = 9.0;
const CELL_PAD_MM: f64 = 1.5;

fn left_rule(ink: &mut Ink, cell: Bounds) {
    let top = Point::mm(cell.left_mm, cell.top_mm);
    ink.line(Line::Dimension, top, top.moved(0.0, cell.height_mm()));
}

fn value_on_one_line(ink: &mut Ink, value: &str, face: Face, size_pt: f64, cell: Bounds) {
    const ABOVE_FOOT_MM: f64 = 1.9;
    let (words, size_pt) = fitted(value, face, size_pt, cell.width_mm() - 2.0 * CELL_PAD_MM);
    let at = Point::mm(cell.left_mm + CELL_PAD_MM, cell.bottom_mm - ABOVE_FOOT_MM);
    ink.text(Text::new(&words, size_pt, at).face(face));
}

/// Words that must stay on one line: set smaller down to nine point, then cut
/// with an ellipsis. The whole of them stands in the HTML sheet.
pub fn fitted(words: &str, face: Face, size_pt: f64, room_mm: f64) -> (String, f64) {
    const LEAST_PT: f64 = 9.0;
    let words = printable(words);
    let natural_mm = face.width_mm(&words, size_pt);
    if natural_mm <= room_mm {
        return (words.into_owned(), size_pt);
    }
    let smaller_pt = (size_pt * room_mm / natural_mm * 2.0).floor() / 2.0;
    if smaller_pt >= LEAST_PT {
        return (words.into_owned(), smaller_pt);
    }
    let mut cut = String::new();
    let mut width_mm = face.width_mm("…", LEAST_PT);
    for c in words.chars() {
        width_mm += face.width_mm(c.encode_utf8(&mut [0; 4]), LEAST_PT);
        if width_mm > room_mm {
            break;
        }
        cut.push(c);
    }
    cut.push('…');
    (cut, LEAST_PT)
}

/// Our sign: an odd-leg caliper, one leg hooked to feel the edge and one
/// pointed to scribe, in a box of this height.
pub fn mark(ink: &mut Ink, corner: Point, height_mm: f64) {
    let unit_mm = height_mm / 12.6;
    let at = |x: f64, y: f64| corner.moved(x * unit_mm, y * unit_mm);
    let pivot = at(4.5, 1.6);
    // The scribing leg, straight to its point.
    let scriber =
        Path::from(at(3.9, 1.6)).to(at(7.2, 9.4)).to(at(8.4, 12.6)).to(at(8.1, 9.0)).to(at(5.1, 1.6));
    ink.path(scriber.ending(End::Closed), None, Fill::Ink);
    // The feeling leg, bowed, with its foot turned in.
    let knee = at(1.5, 9.6);
    let foot =
        Path::from(pivot).to(knee).arc(at(2.6, 9.9), at(2.6, 11.04), Turn::Anticlockwise).to(at(3.6, 11.04));
    ink.path(foot, Some(Line::Worked), Fill::None);
    ink.circle(pivot, 1.5 * unit_mm, Some(Line::Visible), Fill::Paper);
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_very_long_name_stays_in_the_title_block() {
        let title = Title {
            project: "P".repeat(300),
            part: "Valve lever <&> \"'".repeat(40),
            hand: "right".repeat(40),
            material: "mild steel ".repeat(40),
        };
        let mut ink = Ink::new();
        let heading = Heading { ring: Some("1000"), words: &"heading ".repeat(60) };
        draw(&mut ink, heading, &title, "1:10000", Leaf { page: 1000, of: 1000 });
        for mark in &ink.marks {
            assert!(FRAME.holds(mark.bounds()), "{mark:?}");
        }
    }

    #[test]
    fn words_are_set_smaller_before_they_are_cut() {
        let (words, size_pt) = fitted("Valve lever, left", Face::Bold, 12.0, 30.0);
        assert_eq!(words, "Valve lever, left");
        assert!((9.0..12.0).contains(&size_pt));
        assert!(fitted("Valve lever, left", Face::Bold, 12.0, 15.0).0.ends_with('…'));
    }
}
