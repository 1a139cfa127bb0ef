//! Marks on paper: the display list that every backend writes.
//!
//! A mark is a path, a circle or a line of text, in millimetres from the top
//! left corner of the page with y running down. It says what it is (a hidden
//! edge, a dimension line), and the class decides width and dashes, so that the
//! meaning survives a black and white printer.

mod bounds;
mod line;
mod path;

pub use bounds::{Bounds, Point};
pub use line::{Fill, Line, Tone};
pub(crate) use path::Sweep;
pub use path::{End, Path, Step, Turn};

use workshop::why::Figure;

use crate::font::{Face, POINT_MM, printable};

/// The width of a page: A4, upright (ISO 216).
pub const PAGE_WIDTH_MM: f64 = 210.0;
/// The height of a page: A4, upright (ISO 216).
pub const PAGE_HEIGHT_MM: f64 = 297.0;

/// The whole of a page.
pub const PAGE: Bounds = Bounds::new(0.0, 0.0, PAGE_WIDTH_MM, PAGE_HEIGHT_MM);

/// What a mark stands for, so that a page on a screen can answer a click.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Tag {
    /// The name by which the reason can be asked for; none has no reason.
    pub why: Option<String>,
    /// The feature of the part that it belongs to, where it belongs to one.
    pub feature: Option<String>,
    /// A sentence shown while the pointer rests on the mark.
    pub hover: String,
}

impl Tag {
    /// Something with a reason, and a sentence about it.
    pub fn new(why: impl Into<String>, hover: impl Into<String>) -> Self {
        Self { why: Some(why.into()), feature: None, hover: hover.into() }
    }

    /// A feature of the part, by name.
    pub fn feature(name: impl Into<String>) -> Self {
        let name = name.into();
        Self { why: None, hover: name.clone(), feature: Some(name) }
    }

    /// The name and the first sentence of a figure.
    pub fn of(figure: &Figure) -> Self {
        Self::new(&figure.name, &figure.why.statement)
    }
}

/// The sign after a figure that rests on something nobody said.
pub const ASSUMED: &str = "*";

/// What the sign means, for the foot of whatever shows it.
pub const ASSUMED_MEANS: &str = "* supposed, because nobody said";

/// A figure as it is printed: marked if it rests on something supposed.
pub fn shown(figure: &Figure) -> String {
    let mark = if figure.assumed() { ASSUMED } else { "" };
    format!("{}{mark}", signed(&figure.shown))
}

/// Words with a true minus sign before each negative number: a hyphen is easily
/// missed at arm's length.
pub fn signed(words: &str) -> String {
    let mut signed = String::with_capacity(words.len());
    let mut before = ' ';
    let mut letters = words.chars().peekable();
    while let Some(letter) = letters.next() {
        let number = letters.peek().is_some_and(char::is_ascii_digit);
        let alone = before.is_whitespace() || before == '(';
        signed.push(if letter == '-' && number && alone { '−' } else { letter });
        before = letter;
    }
    signed
}

/// One mark on the page.
#[derive(Clone, Debug, PartialEq)]
pub struct Mark {
    /// What is drawn.
    pub shape: Shape,
    /// What it stands for, where it can be asked about.
    pub tag: Option<Tag>,
}

/// The shapes that paper takes.
#[derive(Clone, Debug, PartialEq)]
pub enum Shape {
    /// Straight lines and arcs, open or closed.
    Path {
        /// Where it runs.
        path: Path<Point>,
        /// How its edge is drawn, if it is.
        line: Option<Line>,
        /// What lies inside it.
        fill: Fill,
    },
    /// A whole circle.
    Circle {
        /// Its centre.
        centre: Point,
        /// Its radius.
        radius_mm: f64,
        /// How its edge is drawn, if it is.
        line: Option<Line>,
        /// What lies inside it.
        fill: Fill,
    },
    /// One line of text.
    Text(Text),
}

/// Where a line of text stands about its point.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Anchor {
    /// It begins at the point.
    #[default]
    Start,
    /// It is centred on the point.
    Middle,
    /// It ends at the point.
    End,
}

/// One line of text, standing on a base line.
#[derive(Clone, Debug, PartialEq)]
pub struct Text {
    /// The words, already made printable.
    pub words: String,
    /// A point on the base line.
    pub at: Point,
    /// Which part of the text stands at the point.
    pub anchor: Anchor,
    /// The size in points.
    pub size_pt: f64,
    /// The weight.
    pub face: Face,
    /// How strongly it is inked.
    pub tone: Tone,
    /// How far it is turned anticlockwise about its point, in radians.
    pub turn_rad: f64,
}

impl Text {
    /// Text that begins at a point, in the regular weight, upright.
    pub fn new(words: &str, size_pt: f64, at: Point) -> Self {
        Self {
            words: printable(words).into_owned(),
            at,
            anchor: Anchor::Start,
            size_pt,
            face: Face::Regular,
            tone: Tone::Ink,
            turn_rad: 0.0,
        }
    }

    /// The same, standing about its point in another way.
    #[must_use]
    pub fn anchor(mut self, anchor: Anchor) -> Self {
        self.anchor = anchor;
        self
    }

    /// The same in another weight.
    #[must_use]
    pub fn face(mut self, face: Face) -> Self {
        self.face = face;
        self
    }

    /// The same in another tone.
    #[must_use]
    pub fn tone(mut self, tone: Tone) -> Self {
        self.tone = tone;
        self
    }

    /// The same, turned anticlockwise by `turn_rad`.
    #[must_use]
    pub fn turned(mut self, turn_rad: f64) -> Self {
        self.turn_rad = turn_rad;
        self
    }

    /// The same, moved so that its capitals are centred in height on its point.
    #[must_use]
    pub fn centred(mut self) -> Self {
        let down_mm = self.face.cap_height_mm(self.size_pt) / 2.0;
        self.at.x_mm += down_mm * self.turn_rad.sin();
        self.at.y_mm += down_mm * self.turn_rad.cos();
        self.anchor = Anchor::Middle;
        self
    }

    /// How long the line of text is.
    pub fn width_mm(&self) -> f64 {
        self.face.width_mm(&self.words, self.size_pt)
    }

    /// The box that holds the text, from capitals to tails.
    pub fn bounds(&self) -> Bounds {
        Bounds::around(self.corners())
    }

    /// The corners of the box round the text, turned with it, in order.
    pub fn corners(&self) -> [Point; 4] {
        let width = self.width_mm();
        let left = match self.anchor {
            Anchor::Start => 0.0,
            Anchor::Middle => -width / 2.0,
            Anchor::End => -width,
        };
        let above = -self.face.cap_height_mm(self.size_pt);
        let below = self.face.descent_mm(self.size_pt);
        let (sin, cos) = self.turn_rad.sin_cos();
        let corner =
            |x: f64, y: f64| Point::mm(self.at.x_mm + x * cos + y * sin, self.at.y_mm - x * sin + y * cos);
        [(left, above), (left + width, above), (left + width, below), (left, below)]
            .map(|(x, y)| corner(x, y))
    }

    /// The distance between base lines that suits this size.
    pub fn leading_mm(size_pt: f64) -> f64 {
        size_pt * POINT_MM * 1.25
    }
}

impl Mark {
    /// The box that holds the mark, without the width of its line.
    pub fn bounds(&self) -> Bounds {
        match &self.shape {
            Shape::Path { path, .. } => path.bounds(),
            Shape::Circle { centre, radius_mm, .. } => Bounds::around([*centre]).grown(*radius_mm),
            Shape::Text(text) => text.bounds(),
        }
    }

    fn shift(&mut self, dx_mm: f64, dy_mm: f64) {
        match &mut self.shape {
            Shape::Path { path, .. } => *path = path.map(|p| p.moved(dx_mm, dy_mm)),
            Shape::Circle { centre, .. } => *centre = centre.moved(dx_mm, dy_mm),
            Shape::Text(text) => text.at = text.at.moved(dx_mm, dy_mm),
        }
    }
}

/// A list of marks, in the order in which they are laid down.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Ink {
    /// The marks; a later one covers an earlier.
    pub marks: Vec<Mark>,
    /// Images beneath all marks, for a screen: they take no room and are not printed.
    pub beneath: Vec<Beneath>,
}

/// An image beneath the marks.
#[derive(Clone, Debug, PartialEq)]
pub struct Beneath {
    /// Where it is fetched from.
    pub address: String,
    /// The corners it is stretched between.
    pub bounds: Bounds,
}

impl Ink {
    /// Clean paper.
    pub fn new() -> Self {
        Self::default()
    }

    /// Draws a straight line.
    pub fn line(&mut self, line: Line, from: Point, to: Point) {
        self.path(Path::from(from).to(to), Some(line), Fill::None);
    }

    /// Draws a path, its edge and its inside.
    pub fn path(&mut self, path: Path<Point>, line: Option<Line>, fill: Fill) {
        self.push(Shape::Path { path, line, fill });
    }

    /// Draws a box.
    pub fn rectangle(&mut self, bounds: Bounds, line: Option<Line>, fill: Fill) {
        self.path(bounds.path(), line, fill);
    }

    /// Draws a circle.
    pub fn circle(&mut self, centre: Point, radius_mm: f64, line: Option<Line>, fill: Fill) {
        self.push(Shape::Circle { centre, radius_mm, line, fill });
    }

    /// Draws part of a circle, anticlockwise on the page from `from_rad` through
    /// `sweep_rad` (clockwise when negative), angles from the right hand.
    pub fn arc(&mut self, line: Line, centre: Point, radius_mm: f64, from_rad: f64, sweep_rad: f64) {
        let start = centre.polar(radius_mm, from_rad);
        let turn = if sweep_rad < 0.0 { Turn::Clockwise } else { Turn::Anticlockwise };
        let path = Path::from(start).arc(centre, centre.polar(radius_mm, from_rad + sweep_rad), turn);
        self.path(path, Some(line), Fill::None);
    }

    /// Sets a line of text.
    pub fn text(&mut self, text: Text) {
        if !text.words.is_empty() {
            self.push(Shape::Text(text));
        }
    }

    /// Adds the marks that `draw` makes, all standing for `tag`.
    pub fn tagged(&mut self, tag: Option<&Tag>, draw: impl FnOnce(&mut Ink)) {
        let first = self.marks.len();
        draw(self);
        for mark in &mut self.marks[first..] {
            if mark.tag.is_none() {
                mark.tag = tag.cloned();
            }
        }
    }

    /// Lays other marks over these, moved right and down.
    pub fn lay(&mut self, mut over: Ink, dx_mm: f64, dy_mm: f64) {
        for mark in &mut over.marks {
            mark.shift(dx_mm, dy_mm);
        }
        self.marks.append(&mut over.marks);
        self.beneath.extend(over.beneath.into_iter().map(|image| {
            let bounds = image.bounds.moved(dx_mm, dy_mm);
            Beneath { bounds, ..image }
        }));
    }

    /// The box that holds every mark, if there is one.
    pub fn bounds(&self) -> Option<Bounds> {
        self.marks.iter().map(Mark::bounds).reduce(Bounds::union)
    }

    fn push(&mut self, shape: Shape) {
        self.marks.push(Mark { shape, tag: None });
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::f64::consts::{FRAC_PI_2, PI};

    #[test]
    fn only_a_sign_before_a_number_becomes_a_minus() {
        for (words, said) in [
            ("-5.000 mm", "−5.000 mm"),
            ("from -3 to -1", "from −3 to −1"),
            ("(-0.5)", "(−0.5)"),
            ("right-hand, H7-8, 10-12", "right-hand, H7-8, 10-12"),
            ("- none", "- none"),
        ] {
            assert_eq!(signed(words), said);
        }
    }

    #[test]
    fn text_turned_a_quarter_reads_upwards_and_its_box_turns_with_it() {
        let flat = Text::new("12.34", 10.0, Point::mm(50.0, 50.0));
        let tall = flat.clone().turned(FRAC_PI_2);
        let (flat_box, tall_box) = (flat.bounds(), tall.bounds());
        assert!((flat_box.width_mm() - tall_box.height_mm()).abs() < 1e-9);
        assert!(tall_box.top_mm < 45.0 && tall_box.right_mm < 51.0);
    }

    #[test]
    fn an_arc_over_the_top_is_bounded_by_its_crown() {
        let mut ink = Ink::new();
        ink.arc(Line::Visible, Point::mm(10.0, 10.0), 5.0, 0.0, PI);
        let bounds = ink.bounds().unwrap();
        assert!((bounds.top_mm - 5.0).abs() < 1e-9, "{bounds:?}");
        assert!((bounds.bottom_mm - 10.0).abs() < 1e-9, "{bounds:?}");
    }

    #[test]
    fn a_tag_covers_what_is_drawn_inside_it_and_nothing_else() {
        let tag = Tag::new("bore", "reamed");
        let mut ink = Ink::new();
        ink.line(Line::Visible, Point::mm(0.0, 0.0), Point::mm(1.0, 0.0));
        ink.tagged(Some(&tag), |ink| ink.circle(Point::mm(0.0, 0.0), 1.0, None, Fill::Ink));
        assert_eq!(ink.marks.iter().map(|m| m.tag.is_some()).collect::<Vec<_>>(), [false, true]);
    }
}
