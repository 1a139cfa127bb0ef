//! Dimensions after ISO 129-1: extension lines, a dimension line with filled
//! arrows, and the figure above the line, read from the foot or the right.
//!
//! These draw in page millimetres and return the box of the figure, so that
//! nothing else is put on top of it. [`crate::picture`] decides where each line
//! runs.

use std::f64::consts::{FRAC_PI_2, PI, TAU};

use workshop::why::Figure;

use crate::font::Face;
use crate::held::Held;
use crate::ink::{Anchor, Bounds, End, Fill, Ink, Line, Path, Point, Tag, Text, shown};

/// The size of a figure on a dimension line.
pub const FIGURE_PT: f64 = 10.0;
/// An arrow head, ten narrow lines long (ISO 129-1 shows it filled and slim).
const ARROW_MM: f64 = 2.8;
const ARROW_HALF_WIDTH_MM: f64 = 0.5;
/// The gap between the outline and an extension line, and how far that line
/// runs on past the dimension line (ISO 129-1: eight narrow lines).
const GAP_MM: f64 = 1.0;
const OVERRUN_MM: f64 = 2.0;
/// Clear paper between the dimension line and the foot of its figure.
const ABOVE_MM: f64 = 0.8;
/// Clear paper each side of a figure between arrows.
const BESIDE_MM: f64 = 0.8;

/// Which way a straight dimension is measured.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Along {
    /// Across the page.
    Horizontal,
    /// Up the page.
    Vertical,
    /// Straight from one point to the other.
    Aligned,
}

/// The words of a dimension and what they stand for.
#[derive(Clone, Debug, PartialEq)]
pub struct Label {
    /// The figure as shown: `Ø8 H7`, `21.50`.
    pub words: String,
    /// Where its reason can be asked for.
    pub tag: Option<Tag>,
    /// What is drawn on a leader in place of the words.
    pub held: Option<Held>,
}

impl Label {
    /// A figure nobody need ask about.
    pub fn new(words: impl Into<String>) -> Self {
        Self { words: words.into(), tag: None, held: None }
    }

    /// A figure with its reason, marked if it rests on something supposed.
    pub fn figure(figure: &Figure) -> Self {
        Self::new(shown(figure)).tagged(Tag::of(figure))
    }

    /// The same, standing for something.
    #[must_use]
    pub fn tagged(mut self, tag: Tag) -> Self {
        self.tag = Some(tag);
        self
    }

    /// Its words on a base line, centred on a place.
    pub(crate) fn centred_at(&self, at: Point) -> Text {
        Text::new(&self.words, FIGURE_PT, at).anchor(Anchor::Middle)
    }

    /// A frame on a leader, with the words for it where there is no room.
    pub(crate) fn framed(words: impl Into<String>, held: Held) -> Self {
        Self { held: Some(held), ..Self::new(words) }
    }

    /// The box that it takes on a leader, its middle over a place.
    pub(crate) fn bounds_over(&self, at: Point) -> Bounds {
        match &self.held {
            Some(held) => held.bounds(at.moved(0.0, ABOVE_MM)),
            None => self.centred_at(at).bounds(),
        }
    }

    pub(crate) fn width_mm(&self) -> f64 {
        Text::new(&self.words, FIGURE_PT, Point::default()).width_mm()
    }
}

/// A straight dimension between two points.
#[derive(Clone, Debug, PartialEq)]
pub struct Straight<'a> {
    /// One end of what is measured.
    pub from: Point,
    /// The other end.
    pub to: Point,
    /// Which way it is measured.
    pub along: Along,
    /// Its figure.
    pub label: &'a Label,
}

/// The page turned so that a dimension line runs level: `s` along it in reading
/// direction, `h` square to it, towards the head of its figure.
#[derive(Clone, Copy, Debug)]
struct Frame {
    turn_rad: f64,
}

impl Frame {
    fn into(self, p: Point) -> (f64, f64) {
        let (sin, cos) = self.turn_rad.sin_cos();
        (p.x_mm * cos - p.y_mm * sin, -p.x_mm * sin - p.y_mm * cos)
    }

    fn back(self, s: f64, h: f64) -> Point {
        let (sin, cos) = self.turn_rad.sin_cos();
        Point::mm(s * cos - h * sin, -s * sin - h * cos)
    }
}

/// Where the arrows and the figure go for lack of room between the extension lines.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Room {
    /// Arrows and figure lie between them.
    Both,
    /// The figure lies between them, the arrows point in from outside.
    Figure,
    /// The figure stands beyond the right end, on the line drawn on.
    Neither,
}

impl Straight<'_> {
    fn frame(&self) -> Frame {
        let turn_rad = match self.along {
            Along::Horizontal => 0.0,
            Along::Vertical => FRAC_PI_2,
            Along::Aligned => {
                // Turned to be read from the foot or the right: never upside down.
                let turn = self.from.direction_rad(self.to);
                if turn > FRAC_PI_2 + 1e-9 {
                    turn - PI
                } else if turn <= -FRAC_PI_2 + 1e-9 {
                    turn + PI
                } else {
                    turn
                }
            }
        };
        Frame { turn_rad }
    }

    /// The two ends along the line, the lesser first.
    fn ends(&self) -> (f64, f64) {
        let frame = self.frame();
        let (a, b) = (frame.into(self.from).0, frame.into(self.to).0);
        (a.min(b), a.max(b))
    }

    fn room(&self) -> Room {
        let (low, high) = self.ends();
        let figure = self.label.width_mm() + 2.0 * BESIDE_MM;
        if high - low >= figure + 2.0 * ARROW_MM {
            Room::Both
        } else if high - low >= figure {
            Room::Figure
        } else {
            Room::Neither
        }
    }

    /// The stretch of its line that this dimension takes up, arrows and figure
    /// included: two dimensions on one line must not share any of it.
    pub fn stretch_mm(&self) -> (f64, f64) {
        let (low, high) = self.ends();
        match self.room() {
            Room::Both => (low, high),
            Room::Figure => (low - 2.0 * ARROW_MM, high + 2.0 * ARROW_MM),
            Room::Neither => {
                (low - 2.0 * ARROW_MM, high + 2.0 * ARROW_MM + self.label.width_mm() + 2.0 * BESIDE_MM)
            }
        }
    }

    /// The height, square to the line, of the point that lies furthest towards
    /// the head of the figure, and of the one furthest from it.
    pub fn heights_mm(&self) -> (f64, f64) {
        let frame = self.frame();
        let (a, b) = (frame.into(self.from).1, frame.into(self.to).1);
        (a.min(b), a.max(b))
    }

    /// The height of any point in the frame of this dimension, as
    /// [`Straight::heights_mm`] counts it.
    pub fn height_of_mm(&self, p: Point) -> f64 {
        self.frame().into(p).1
    }

    /// Draws it with its line at a height, and gives the box of its figure.
    pub fn draw(&self, ink: &mut Ink, height_mm: f64) -> Bounds {
        let frame = self.frame();
        let mut figure = Bounds::around([]);
        ink.tagged(self.label.tag.as_ref(), |ink| {
            for end in [self.from, self.to] {
                let (s, h) = frame.into(end);
                let outwards = (height_mm - h).signum();
                let (begin, stop) = (h + GAP_MM * outwards, height_mm + OVERRUN_MM * outwards);
                if (height_mm - h).abs() > GAP_MM {
                    ink.line(Line::Dimension, frame.back(s, begin), frame.back(s, stop));
                }
            }
            let (low, high) = self.ends();
            let room = self.room();
            let (line_low, line_high) = self.stretch_mm();
            ink.line(Line::Dimension, frame.back(line_low, height_mm), frame.back(line_high, height_mm));
            let (low_points, high_points) = match room {
                Room::Both => (PI, 0.0),
                Room::Figure | Room::Neither => (0.0, PI),
            };
            arrow(ink, frame.back(low, height_mm), frame.turn_rad + low_points);
            arrow(ink, frame.back(high, height_mm), frame.turn_rad + high_points);
            let middle = match room {
                Room::Both | Room::Figure => (low + high) / 2.0,
                Room::Neither => high + 2.0 * ARROW_MM + BESIDE_MM + self.label.width_mm() / 2.0,
            };
            let text = self.label.centred_at(frame.back(middle, height_mm + ABOVE_MM)).turned(frame.turn_rad);
            figure = text.bounds();
            ink.text(text);
        });
        figure
    }
}

/// A radius or a diameter: a leader from outside, in line with the centre, its
/// arrow on the arc and its figure on a level shoulder.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Radial {
    touch: Point,
    knee: Point,
    /// The far end of the shoulder.
    end: Point,
    direction_rad: f64,
}

impl Radial {
    /// Where it runs for a figure so wide.
    ///
    /// `direction_rad` is where on the arc the arrow stands, anticlockwise on the
    /// page from the right; `reach_mm` is how far outside the arc the shoulder begins.
    pub fn new(centre: Point, radius_mm: f64, direction_rad: f64, reach_mm: f64, figure_mm: f64) -> Self {
        let touch = centre.polar(radius_mm, direction_rad);
        let knee = centre.polar(radius_mm + reach_mm, direction_rad);
        let to_the_right = if direction_rad.cos() >= -1e-9 { 1.0 } else { -1.0 };
        let end = knee.moved(to_the_right * (figure_mm + 2.0 * BESIDE_MM), 0.0);
        Self { touch, knee, end, direction_rad }
    }

    /// The lines it is drawn with.
    pub fn lines(&self) -> [(Point, Point); 2] {
        [(self.touch, self.knee), (self.knee, self.end)]
    }

    /// Where its figure stands, centred.
    pub fn figure_at(&self) -> Point {
        Point::mm((self.knee.x_mm + self.end.x_mm) / 2.0, self.knee.y_mm - ABOVE_MM)
    }

    /// Draws it with its figure.
    pub fn draw(&self, ink: &mut Ink, label: &Label) {
        ink.tagged(label.tag.as_ref(), |ink| {
            ink.line(Line::Dimension, self.touch, self.knee);
            arrow(ink, self.touch, self.direction_rad + PI);
            ink.line(Line::Dimension, self.knee, self.end);
            match &label.held {
                // It stands on the line itself.
                Some(held) => held.draw(ink, self.figure_at().moved(0.0, ABOVE_MM)),
                None => ink.text(label.centred_at(self.figure_at())),
            }
        });
    }
}

/// An angle at a point, from one direction anticlockwise to another, its figure
/// level in a gap outside the dimension arc.
pub fn angle(
    ink: &mut Ink,
    apex: Point,
    radius_mm: f64,
    from_rad: f64,
    to_rad: f64,
    label: &Label,
) -> Bounds {
    let mut figure = Bounds::around([]);
    let sweep_rad = (to_rad - from_rad).rem_euclid(TAU);
    ink.tagged(label.tag.as_ref(), |ink| {
        for direction in [from_rad, to_rad] {
            ink.line(Line::Dimension, apex, apex.polar(radius_mm + OVERRUN_MM, direction));
        }
        // The chord of an arrow leans by half the angle it covers.
        let arrow_rad = ARROW_MM / radius_mm;
        if sweep_rad > 2.5 * arrow_rad {
            ink.arc(Line::Dimension, apex, radius_mm, from_rad, sweep_rad);
            arrow(ink, apex.polar(radius_mm, from_rad), from_rad - FRAC_PI_2 + arrow_rad / 2.0);
            arrow(ink, apex.polar(radius_mm, to_rad), to_rad + FRAC_PI_2 - arrow_rad / 2.0);
        } else {
            let tail_rad = 2.0 * arrow_rad;
            ink.arc(Line::Dimension, apex, radius_mm, from_rad - tail_rad, sweep_rad + 2.0 * tail_rad);
            arrow(ink, apex.polar(radius_mm, from_rad), from_rad + FRAC_PI_2 - arrow_rad / 2.0);
            arrow(ink, apex.polar(radius_mm, to_rad), to_rad - FRAC_PI_2 + arrow_rad / 2.0);
        }
        let middle_rad = from_rad + sweep_rad / 2.0;
        // Far enough out that the level figure clears the arc at any angle.
        let half_width = label.width_mm() / 2.0 + BESIDE_MM;
        let half_height = Face::Regular.cap_height_mm(FIGURE_PT) / 2.0 + BESIDE_MM;
        let out_mm = OVERRUN_MM + half_width * middle_rad.cos().abs() + half_height * middle_rad.sin().abs();
        let text = Text::new(&label.words, FIGURE_PT, apex.polar(radius_mm + out_mm, middle_rad)).centred();
        figure = text.bounds();
        ink.text(text);
    });
    figure
}

/// A filled arrow head with its point here; its direction is anticlockwise on the
/// page from the right.
pub fn arrow(ink: &mut Ink, point: Point, direction_rad: f64) {
    arrow_head(ink, point, direction_rad, 1.0);
}

/// An arrow head so many times the usual size.
pub(crate) fn arrow_head(ink: &mut Ink, point: Point, direction_rad: f64, times: f64) {
    let heel = point.polar(-ARROW_MM * times, direction_rad);
    let side = direction_rad + FRAC_PI_2;
    let head = Path::from(point)
        .to(heel.polar(ARROW_HALF_WIDTH_MM * times, side))
        .to(heel.polar(-ARROW_HALF_WIDTH_MM * times, side))
        .ending(End::Closed);
    ink.path(head, None, Fill::Ink);
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::svg::{Dress, write};
    use proptest::prelude::*;

    #[test]
    fn a_level_dimension_with_room_keeps_everything_inside() {
        let label = Label::new("24");
        let straight = Straight {
            from: Point::mm(10.0, 30.0),
            to: Point::mm(34.0, 30.0),
            along: Along::Horizontal,
            label: &label,
        };
        let mut ink = Ink::new();
        straight.draw(&mut ink, -40.0);
        insta::assert_snapshot!(write(&ink, Bounds::new(0.0, 0.0, 50.0, 50.0), Dress::Inline), @r#"
        <svg xmlns="http://www.w3.org/2000/svg" class="ink" width="50mm" height="50mm" viewBox="0 0 50 50">
        <path class="dimension" d="M10 31L10 42"/>
        <path class="dimension" d="M34 31L34 42"/>
        <path class="dimension" d="M10 40L34 40"/>
        <path class="fill-ink" d="M10 40L12.8 40.5L12.8 39.5Z"/>
        <path class="fill-ink" d="M34 40L31.2 39.5L31.2 40.5Z"/>
        <text x="22" y="39.2" font-size="3.528" text-anchor="middle" textLength="4.586" lengthAdjust="spacingAndGlyphs">24</text>
        </svg>
        "#);
    }

    #[test]
    fn a_figure_too_wide_for_its_span_stands_beyond_the_right_end() {
        let label = Label::new("1.234");
        let narrow = |width: f64| Straight {
            from: Point::mm(10.0, 30.0),
            to: Point::mm(10.0 + width, 30.0),
            along: Along::Horizontal,
            label: &label,
        };
        let figure = narrow(3.0).draw(&mut Ink::new(), -40.0);
        assert!(figure.left_mm > 13.0 + ARROW_MM);
        let figure = narrow(30.0).draw(&mut Ink::new(), -40.0);
        assert!((figure.centre().x_mm - 25.0).abs() < 1e-9);
    }

    #[test]
    fn an_upright_dimension_reads_from_the_right_with_its_figure_on_the_left() {
        let label = Label::new("40");
        let upright = Straight {
            from: Point::mm(30.0, 50.0),
            to: Point::mm(30.0, 10.0),
            along: Along::Vertical,
            label: &label,
        };
        // A line 8 mm to the left of the edge: heights grow leftwards.
        let height = upright.heights_mm().1 + 8.0;
        let figure = upright.draw(&mut Ink::new(), height);
        assert!(figure.right_mm <= 22.0 && figure.height_mm() > figure.width_mm(), "{figure:?}");
    }

    proptest! {
        /// The figure lies within the stretch that the dimension says it takes,
        /// and never upside down, whichever way its points lie.
        #[test]
        fn a_figure_lies_in_its_stretch(
            x in -60.0..60.0f64, y in -60.0..60.0f64, words in "[0-9]{1,8}", height in -90.0..90.0f64,
        ) {
            let label = Label::new(words);
            let to = Point::mm(100.0 + x, 100.0 + y);
            let straight = Straight { from: Point::mm(100.0, 100.0), to, along: Along::Aligned, label: &label };
            let turn = straight.frame().turn_rad;
            prop_assert!(turn > -FRAC_PI_2 && turn <= FRAC_PI_2 + 1e-8, "{}", turn);
            let figure = straight.draw(&mut Ink::new(), height).centre();
            let s = straight.frame().into(figure).0;
            let (low, high) = straight.stretch_mm();
            let half = label.width_mm() / 2.0;
            prop_assert!(s - half >= low - 1e-6 && s + half <= high + 1e-6);
        }
    }
}
