//! The frame of a geometrical tolerance (ISO 1101): its sign, the width of its zone, the letter
//! of its datum. The signs are drawn of lines, so that they look the same in any lettering.

use workshop::drawing::Keeps;

use crate::ink::{Bounds, End, Fill, Ink, Line, Path, Point, Text};

/// The frame is twice as high as its lettering (ISO 1101).
const HIGH_MM: f64 = 6.0;
/// Clear paper on both sides of a cell's words.
const BESIDE_MM: f64 = 1.4;
/// The size of its lettering.
const CELL_PT: f64 = 10.0;

/// What stands in the cells of a frame.
#[derive(Clone, Debug, PartialEq)]
pub struct Held {
    /// What is kept.
    pub keeps: Keeps,
    /// The width of the zone, then the letter of the datum.
    pub cells: Vec<String>,
}

impl Held {
    /// A zone, and the datum that it is kept to.
    pub fn new(keeps: Keeps, zone: &str, to: Option<char>) -> Self {
        let cells = std::iter::once(zone.to_owned()).chain(to.map(String::from)).collect();
        Self { keeps, cells }
    }

    fn widths_mm(&self) -> impl Iterator<Item = f64> + '_ {
        let words = |cell: &String| Text::new(cell, CELL_PT, Point::default()).width_mm() + 2.0 * BESIDE_MM;
        std::iter::once(HIGH_MM).chain(self.cells.iter().map(move |cell| words(cell).max(HIGH_MM)))
    }

    /// Its box, standing on a place with its middle.
    pub fn bounds(&self, at: Point) -> Bounds {
        let wide_mm: f64 = self.widths_mm().sum();
        Bounds::new(at.x_mm - wide_mm / 2.0, at.y_mm - HIGH_MM, wide_mm, HIGH_MM)
    }

    /// Draws it standing on a place with its middle.
    pub fn draw(&self, ink: &mut Ink, at: Point) {
        let all = self.bounds(at);
        ink.rectangle(all, Some(Line::Dimension), Fill::Paper);
        let mut left_mm = all.left_mm;
        let middle_mm = all.top_mm + HIGH_MM / 2.0;
        for (n, wide_mm) in self.widths_mm().enumerate() {
            let middle = Point::mm(left_mm + wide_mm / 2.0, middle_mm);
            if n > 0 {
                ink.line(Line::Dimension, Point::mm(left_mm, all.top_mm), Point::mm(left_mm, all.bottom_mm));
                ink.text(Text::new(&self.cells[n - 1], CELL_PT, middle).centred());
            } else {
                sign(ink, self.keeps, middle);
            }
            left_mm += wide_mm;
        }
    }
}

/// The sign of ISO 1101 about a place.
fn sign(ink: &mut Ink, keeps: Keeps, at: Point) {
    let mut line = |from: (f64, f64), to: (f64, f64)| {
        ink.line(Line::Visible, at.moved(from.0, from.1), at.moved(to.0, to.1));
    };
    match keeps {
        Keeps::Flatness => {
            let corners = [(-2.0, 1.1), (1.0, 1.1), (2.0, -1.1), (-1.0, -1.1)];
            let [a, b, c, d] = corners.map(|(x, y)| at.moved(x, y));
            ink.path(Path::from(a).to(b).to(c).to(d).ending(End::Closed), Some(Line::Visible), Fill::None);
        }
        Keeps::Squareness => {
            line((-1.9, 1.5), (1.9, 1.5));
            line((0.0, 1.5), (0.0, -1.7));
        }
        Keeps::Parallelism => {
            line((-1.5, 1.6), (0.0, -1.6));
            line((0.0, 1.6), (1.5, -1.6));
        }
        Keeps::Concentricity => {
            ink.circle(at, 0.9, Some(Line::Visible), Fill::None);
            ink.circle(at, 1.8, Some(Line::Visible), Fill::None);
        }
        Keeps::RunOut => {
            ink.line(Line::Visible, at.moved(-1.3, 1.8), at.moved(0.5, -0.7));
            let head = Path::from(at.moved(1.3, -1.8)).to(at.moved(0.9, -0.2)).to(at.moved(-0.2, -1.0));
            ink.path(head.ending(End::Closed), None, Fill::Ink);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::ink::{Mark, Shape};

    /// Every sign stands clear of its cell's edges, and every word of the others, at the
    /// proportions of ISO 1101: the sign in a square cell, the frame twice as high as its letters.
    #[test]
    fn signs_and_words_stand_within_their_cells() {
        for keeps in
            [Keeps::Flatness, Keeps::Squareness, Keeps::Parallelism, Keeps::Concentricity, Keeps::RunOut]
        {
            let held = Held::new(keeps, "0.02", (keeps != Keeps::Flatness).then_some('A'));
            let mut ink = Ink::new();
            held.draw(&mut ink, Point::mm(50.0, 50.0));
            let all = held.bounds(Point::mm(50.0, 50.0));
            let marks: Vec<Bounds> = ink.marks.iter().skip(1).map(Mark::bounds).collect();
            assert!(marks.iter().all(|mark| all.grown(0.2).holds(*mark)), "{keeps:?}: {marks:?}");
            let own = Bounds::new(all.left_mm, all.top_mm, HIGH_MM, HIGH_MM);
            let within = marks.iter().filter(|mark| own.grown(-0.8).holds(**mark)).count();
            assert!(within >= 1, "{keeps:?}: no sign in {own:?}: {marks:?}");
            let texts = ink.marks.iter().filter(|mark| matches!(mark.shape, Shape::Text(_))).count();
            assert_eq!(texts, held.cells.len());
            assert_eq!(all.height_mm(), HIGH_MM);
        }
    }
}
