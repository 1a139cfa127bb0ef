//! Signs that point at a place on a picture: numbered balloons, datums, axes.

mod balloon;

pub use balloon::{Balloon, Item, Spread};

use std::f64::consts::{FRAC_PI_2, PI};

use crate::dimension::arrow_head;
use crate::font::Face;
use crate::ink::{Bounds, End, Fill, Ink, Line, Path, Point, Tag, Text, Tone};

/// The radius of a balloon: room for two figures at nine point.
pub const BALLOON_RADIUS_MM: f64 = 3.4;
/// The size of the figure in a balloon or in a row's ring.
pub const KEY_PT: f64 = 9.0;

/// A number in a ring, to match a row of the table.
pub fn ring(ink: &mut Ink, centre: Point, key: &str) {
    ring_of(ink, centre, BALLOON_RADIUS_MM, KEY_PT, key);
}

/// A number in a ring of some other size.
pub fn ring_of(ink: &mut Ink, centre: Point, radius_mm: f64, size_pt: f64, key: &str) {
    ink.circle(centre, radius_mm, Some(Line::Dimension), Fill::Paper);
    let widest_mm = 2.0 * radius_mm - 0.8;
    let natural_mm = Face::Bold.width_mm(key, size_pt);
    let size_pt = size_pt * (widest_mm / natural_mm).min(1.0);
    ink.text(Text::new(key, size_pt, centre).face(Face::Bold).centred());
}

/// What a balloon numbers, on the page.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Target {
    /// The place, or the middle of a round feature.
    pub at: Point,
    /// The radius of a round feature, at whose edge the leader stops; 0 for a place.
    pub rim_mm: f64,
}

impl Target {
    /// Where the leader from a ring ends.
    pub fn touched_from(self, ring: Point) -> Point {
        let away_mm = self.at.distance_mm(ring);
        if self.rim_mm == 0.0 || away_mm == 0.0 {
            return self.at.moved(self.rim_mm, 0.0);
        }
        let share = self.rim_mm / away_mm;
        self.at.moved((ring.x_mm - self.at.x_mm) * share, (ring.y_mm - self.at.y_mm) * share)
    }
}

/// A letter beside what it names, with a leader where it stands further off.
#[derive(Clone, Copy, Debug)]
pub struct Key {
    /// The leader, if it has one.
    pub leader: Option<(Point, Point)>,
    /// Where the letter stands, centred.
    pub at: Point,
}

impl Key {
    /// Where it stands in a direction from its target, so far out, the letter so wide.
    pub fn new(target: Target, direction_rad: f64, reach_mm: f64, wide_mm: f64) -> Self {
        /// Nearer than this a letter needs no leader.
        const BESIDE_MM: f64 = 3.0;
        let rim = target.at.polar(target.rim_mm, direction_rad);
        let knee = rim.polar(reach_mm, direction_rad);
        let at = knee.polar((wide_mm / 2.0).max(1.4), direction_rad);
        Self { leader: (reach_mm > BESIDE_MM).then_some((rim, knee)), at }
    }

    /// The letter as text, centred on a place.
    pub fn text(key: &str, at: Point) -> Text {
        Text::new(key, KEY_PT, at).face(Face::Bold).centred()
    }

    /// Draws it.
    pub fn draw(&self, ink: &mut Ink, key: &str, tag: Option<&Tag>) {
        ink.tagged(tag, |ink| {
            if let Some((rim, knee)) = self.leader {
                ink.line(Line::Dimension, rim, knee);
            }
            ink.text(Self::text(key, self.at));
        });
    }
}

/// A datum: a filled triangle on the face and its letter in a frame (ISO 5459).
///
/// `outwards_rad` points out of the metal, anticlockwise on the page from the right.
pub fn datum(ink: &mut Ink, at: Point, outwards_rad: f64, letter: &str) -> Bounds {
    const TALL_MM: f64 = 3.0;
    const HALF_BASE_MM: f64 = 1.75;
    const STALK_MM: f64 = 4.0;
    const HALF_FRAME_MM: f64 = 3.0;
    let side = outwards_rad + FRAC_PI_2;
    let tip = at.polar(TALL_MM, outwards_rad);
    let triangle = Path::from(at.polar(HALF_BASE_MM, side))
        .to(at.polar(-HALF_BASE_MM, side))
        .to(tip)
        .ending(End::Closed);
    ink.path(triangle, None, Fill::Ink);
    // The frame is square, so its near side is further off on the slant.
    let to_side_mm = HALF_FRAME_MM / outwards_rad.cos().abs().max(outwards_rad.sin().abs());
    let middle = tip.polar(STALK_MM + to_side_mm, outwards_rad);
    ink.line(Line::Dimension, tip, tip.polar(STALK_MM, outwards_rad));
    let frame = Bounds::around([middle]).grown(HALF_FRAME_MM);
    ink.rectangle(frame, Some(Line::Dimension), Fill::Paper);
    ink.text(Text::new(letter, 10.0, middle).face(Face::Bold).centred());
    frame.union(Bounds::around([at]))
}

/// The zero of the readout: a quartered disc, with an arrow along each axis.
///
/// The arrows run the way the numbers grow; give the directions as the machine's
/// axes lie on the page. Returns the boxes of disc and letters.
pub fn axes(ink: &mut Ink, zero: Point, x_rad: f64, y_rad: f64) -> Vec<Bounds> {
    const ARM_MM: f64 = 14.0;
    const TO_LETTER_MM: f64 = 2.9;
    let mut boxes = Vec::new();
    // Extension lines and centre lines often run on from an axis, so its letter
    // stands beside it, on the side away from the other axis.
    let (x_beside_rad, y_beside_rad) = (y_rad + PI, x_rad + PI);
    for (direction_rad, beside_rad, letter) in [(x_rad, x_beside_rad, "X"), (y_rad, y_beside_rad, "Y")] {
        let tip = zero.polar(ARM_MM, direction_rad);
        ink.line(Line::Visible, zero, tip.polar(-1.0, direction_rad));
        arrow_head(ink, tip, direction_rad, 1.5);
        let text = Text::new(letter, 11.0, tip.polar(-1.0, direction_rad).polar(TO_LETTER_MM, beside_rad))
            .face(Face::Bold)
            .tone(Tone::Accent)
            .centred();
        boxes.push(text.bounds());
        ink.text(text);
    }
    boxes.push(zero_disc(ink, zero));
    boxes
}

/// The place from which distances count: a quartered disc.
pub fn zero_disc(ink: &mut Ink, zero: Point) -> Bounds {
    const DISC_MM: f64 = 1.7;
    ink.circle(zero, DISC_MM, Some(Line::Dimension), Fill::Paper);
    for start in [0.0, PI] {
        let (from, to) = (zero.polar(DISC_MM, start), zero.polar(DISC_MM, start + FRAC_PI_2));
        let quarter =
            Path::from(zero).to(from).arc(zero, to, crate::ink::Turn::Anticlockwise).ending(End::Closed);
        ink.path(quarter, None, Fill::Accent);
    }
    Bounds::around([zero]).grown(DISC_MM)
}

/// A warning triangle that stands on a base line at its left corner.
pub fn warning(ink: &mut Ink, corner: Point, height_mm: f64) {
    let half_base_mm = height_mm / 3.0_f64.sqrt();
    let triangle = Path::from(corner)
        .to(corner.moved(2.0 * half_base_mm, 0.0))
        .to(corner.moved(half_base_mm, -height_mm))
        .ending(End::Closed);
    ink.path(triangle, Some(Line::Visible), Fill::None);
    // The stroke and the stop of the mark inside it.
    let middle = corner.moved(half_base_mm, 0.0);
    let (top, foot) = (middle.moved(0.0, -height_mm * 0.68), middle.moved(0.0, -height_mm * 0.34));
    ink.line(Line::Worked, top, foot);
    ink.circle(middle.moved(0.0, -height_mm * 0.18), height_mm * 0.07, None, Fill::Accent);
}

/// A line of words beside a place, as a note on the drawing.
pub fn note(ink: &mut Ink, at: Point, words: &str) -> Bounds {
    let text = Text::new(words, 9.0, at).centred();
    let bounds = text.bounds();
    // Hatching and centre lines stop short of the words.
    ink.rectangle(bounds.grown(0.8), None, Fill::Paper);
    ink.text(text);
    bounds
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_long_key_is_set_smaller_rather_than_out_of_its_ring() {
        let mut ink = Ink::new();
        ring(&mut ink, Point::mm(10.0, 10.0), "1000");
        let ring_box = Bounds::around([Point::mm(10.0, 10.0)]).grown(BALLOON_RADIUS_MM);
        assert!(ring_box.holds(ink.bounds().unwrap()));
    }

    #[test]
    fn a_datum_stands_outside_the_face_it_names() {
        let mut ink = Ink::new();
        datum(&mut ink, Point::mm(20.0, 20.0), -FRAC_PI_2, "A");
        let bounds = ink.bounds().unwrap();
        assert!(bounds.top_mm >= 20.0 - 1e-9 && bounds.bottom_mm > 30.0, "{bounds:?}");
    }
}
