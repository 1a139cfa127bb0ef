//! Balloons: the numbers of all that is done at one place, on one leader.

use super::{BALLOON_RADIUS_MM, KEY_PT, Target, ring};
use crate::dimension::arrow;
use crate::font::Face;
use crate::ink::{Bounds, End, Fill, Ink, Line, Path, Point, Tag, Text, Turn};

/// More than these side by side are wider than most holes lie apart.
const MOST_ABREAST: usize = 4;
/// From so many on, numbers that follow one another are said as `3–6`.
const RUN: usize = 3;
/// Between the figures of a run and the ends of its ring.
const PAD_MM: f64 = 0.9;

/// A number or letter, and what it answers to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Item<'a> {
    /// What stands in its ring.
    pub key: &'a str,
    /// What it stands for, where it can be asked about.
    pub tag: Option<&'a Tag>,
}

/// Rings that touch, in one row or a few, and one leader from the nearest of them: numbers
/// that belong together may share a leader (ISO 6433).
#[derive(Clone, Debug, PartialEq)]
pub struct Balloon<'a> {
    rings: Vec<Ring<'a>>,
    spread: Spread,
}

#[derive(Clone, Debug, PartialEq)]
struct Ring<'a> {
    words: String,
    tag: Option<&'a Tag>,
    /// Its middle, from that of the balloon.
    at: Point,
    /// Half of what lies between its round ends; nothing for a circle.
    half_mm: f64,
}

/// How far the middles of the round ends of a balloon lie from its own: nothing for a ring alone.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Spread {
    /// The outermost to either side.
    half_across_mm: f64,
    /// The uppermost and lowest.
    half_down_mm: f64,
    /// The ends of the first row and of the last, from which a leader may begin.
    ends: [Point; 4],
}

impl<'a> Balloon<'a> {
    /// The balloon of some numbers, least first, and of letters after them.
    pub fn of(mut items: Vec<Item<'a>>) -> Self {
        let number = |item: &Item| item.key.parse::<u32>().ok();
        items.sort_by_key(|item| number(item).unwrap_or(u32::MAX));
        items.dedup();
        let follows = |a: &Item, b: &Item| {
            a.tag == b.tag && number(a).is_some_and(|a| number(b).is_some_and(|b| b == a + 1))
        };
        let mut rings = Vec::new();
        for run in items.chunk_by(follows) {
            if let ([first, .., last], true) = (run, run.len() >= RUN) {
                rings.push(Ring::new(format!("{}–{}", first.key, last.key), first.tag));
            } else {
                rings.extend(run.iter().map(|item| Ring::new(item.key.to_owned(), item.tag)));
            }
        }
        let rows = rings.len().div_ceil(MOST_ABREAST).max(1);
        let abreast = rings.len().div_ceil(rows).max(1);
        let mut spread = Spread { half_down_mm: (rows - 1) as f64 * BALLOON_RADIUS_MM, ..Spread::default() };
        for (row, rings) in rings.chunks_mut(abreast).enumerate() {
            let long_mm: f64 = rings.iter().map(Ring::long_mm).sum();
            let end_mm = long_mm / 2.0 - BALLOON_RADIUS_MM;
            let down_mm = 2.0 * BALLOON_RADIUS_MM * row as f64 - spread.half_down_mm;
            let mut left_mm = -long_mm / 2.0;
            for ring in rings {
                ring.at = Point::mm(left_mm + ring.long_mm() / 2.0, down_mm);
                left_mm += ring.long_mm();
            }
            let ends = [Point::mm(-end_mm, down_mm), Point::mm(end_mm, down_mm)];
            if row == 0 {
                spread.ends[..2].copy_from_slice(&ends);
            }
            spread.ends[2..].copy_from_slice(&ends);
            spread.half_across_mm = spread.half_across_mm.max(end_mm);
        }
        Self { rings, spread }
    }

    /// The paper that it needs.
    pub fn spread(&self) -> Spread {
        self.spread
    }

    /// Draws its rings, its middle at a place.
    pub fn draw(&self, ink: &mut Ink, centre: Point) {
        for one in &self.rings {
            let at = centre.moved(one.at.x_mm, one.at.y_mm);
            ink.tagged(one.tag, |ink| one.draw(ink, at));
        }
    }

    /// Draws its leader: with an arrow on the edge of a round feature, a dot on a place inside
    /// an outline (ISO 128-2, leader lines).
    pub fn draw_leader(&self, ink: &mut Ink, target: Target, centre: Point) {
        const DOT_MM: f64 = 0.6;
        let from = self.spread.nearest_end(centre, target.at);
        let tag = self.rings.first().and_then(|ring| ring.tag);
        ink.tagged(tag, |ink| {
            let end = target.touched_from(from);
            let direction_rad = from.direction_rad(end);
            if from.distance_mm(end) > BALLOON_RADIUS_MM {
                ink.line(Line::Dimension, from.polar(BALLOON_RADIUS_MM, direction_rad), end);
            }
            if target.rim_mm > 0.0 {
                arrow(ink, end, direction_rad);
            } else {
                ink.circle(end, DOT_MM, None, Fill::Ink);
            }
        });
    }
}

impl<'a> Ring<'a> {
    fn new(words: String, tag: Option<&'a Tag>) -> Self {
        let run_mm =
            if words.contains('–') { Face::Bold.width_mm(&words, KEY_PT) + 2.0 * PAD_MM } else { 0.0 };
        let half_mm = (run_mm / 2.0 - BALLOON_RADIUS_MM).max(0.0);
        Self { words, tag, at: Point::default(), half_mm }
    }

    fn long_mm(&self) -> f64 {
        2.0 * (BALLOON_RADIUS_MM + self.half_mm)
    }

    fn draw(&self, ink: &mut Ink, at: Point) {
        if self.half_mm == 0.0 {
            return ring(ink, at, &self.words);
        }
        let (left, right) = (at.moved(-self.half_mm, 0.0), at.moved(self.half_mm, 0.0));
        let over = |end: Point| end.moved(0.0, -BALLOON_RADIUS_MM);
        let under = |end: Point| end.moved(0.0, BALLOON_RADIUS_MM);
        let edge = Path::from(over(left))
            .to(over(right))
            .arc(right, under(right), Turn::Clockwise)
            .to(under(left))
            .arc(left, over(left), Turn::Clockwise)
            .ending(End::Closed);
        ink.path(edge, Some(Line::Dimension), Fill::Paper);
        ink.text(Text::new(&self.words, KEY_PT, at).face(Face::Bold).centred());
    }
}

impl Spread {
    /// The box round the middles of the rings, that of the balloon at a place.
    pub fn core(&self, centre: Point) -> Bounds {
        let (across, down) = (self.half_across_mm, self.half_down_mm);
        Bounds::new(centre.x_mm - across, centre.y_mm - down, 2.0 * across, 2.0 * down)
    }

    /// Where the leader to a place begins: the middle of the round end nearest to it.
    pub fn nearest_end(&self, centre: Point, place: Point) -> Point {
        if self.half_across_mm == 0.0 && self.half_down_mm == 0.0 {
            return centre;
        }
        let ends = self.ends.map(|end| centre.moved(end.x_mm, end.y_mm));
        ends.into_iter()
            .min_by(|a, b| a.distance_mm(place).total_cmp(&b.distance_mm(place)))
            .unwrap_or(centre)
    }

    /// The middle of a balloon that lies on from a place in a direction, its nearest end there.
    pub fn on_from(&self, place: Point, way: Point) -> Point {
        let along = |end: &Point| end.x_mm * way.x_mm + end.y_mm * way.y_mm;
        let end = self.ends.into_iter().min_by(|a, b| along(a).total_cmp(&along(b))).unwrap_or_default();
        place.moved(-end.x_mm, -end.y_mm)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::ink::Shape;
    use crate::svg::{Dress, write};

    fn balloon(keys: &[&'static str]) -> Balloon<'static> {
        Balloon::of(keys.iter().map(|key| Item { key, tag: None }).collect())
    }

    fn words(balloon: &Balloon) -> Vec<String> {
        balloon.rings.iter().map(|ring| ring.words.clone()).collect()
    }

    #[test]
    fn a_balloon_is_a_ring_a_leader_and_an_arrow_on_the_edge() {
        let mut ink = Ink::new();
        let hole = Target { at: Point::mm(10.0, 10.0), rim_mm: 4.0 };
        balloon(&["7"]).draw_leader(&mut ink, hole, Point::mm(30.0, 10.0));
        balloon(&["7"]).draw(&mut ink, Point::mm(30.0, 10.0));
        insta::assert_snapshot!(write(&ink, Bounds::new(0.0, 0.0, 40.0, 20.0), Dress::Inline), @r#"
        <svg xmlns="http://www.w3.org/2000/svg" class="ink" width="40mm" height="20mm" viewBox="0 0 40 20">
        <path class="dimension" d="M26.6 10L14 10"/>
        <path class="fill-ink" d="M14 10L16.8 10.5L16.8 9.5Z"/>
        <circle class="dimension fill-paper" cx="30" cy="10" r="3.4"/>
        <text class="bold" x="30" y="11.191" font-size="3.175" text-anchor="middle" textLength="2.064" lengthAdjust="spacingAndGlyphs">7</text>
        </svg>
        "#);
    }

    #[test]
    fn numbers_that_follow_one_another_are_said_as_a_run_and_letters_come_last() {
        assert_eq!(words(&balloon(&["b", "6", "3", "4", "5", "9"])), ["3–6", "9", "b"]);
        assert_eq!(words(&balloon(&["2", "1", "4"])), ["1", "2", "4"]);
        assert_eq!(words(&balloon(&["8", "8"])), ["8"]);
    }

    #[test]
    fn numbers_that_answer_to_different_things_stay_apart() {
        let [a, b] = ["bore", "slot"].map(Tag::feature);
        let items = [("1", &a), ("2", &b), ("3", &a)].map(|(key, tag)| Item { key, tag: Some(tag) });
        let balloon = Balloon::of(items.to_vec());
        assert_eq!(words(&balloon), ["1", "2", "3"]);
        let mut ink = Ink::new();
        balloon.draw(&mut ink, Point::default());
        for mark in &ink.marks {
            let Shape::Text(text) = &mark.shape else { continue };
            assert_eq!(mark.tag.as_ref(), Some(if text.words == "2" { &b } else { &a }));
        }
    }

    /// However many there are, what is drawn fills the box that was asked for, rings touch
    /// and do not overlap, and a leader begins in one of them.
    #[test]
    fn rings_touch_and_fill_their_box() {
        for many in 1..=13 {
            let keys: Vec<String> = (1..=many).map(|n| (n * n + n).to_string()).collect();
            let balloon = Balloon::of(keys.iter().map(|key| Item { key, tag: None }).collect());
            let mut ink = Ink::new();
            balloon.draw(&mut ink, Point::mm(50.0, 50.0));
            let room = balloon.spread().core(Point::mm(50.0, 50.0)).grown(BALLOON_RADIUS_MM);
            assert!(room.holds(ink.bounds().unwrap()), "{many}");
            assert!((room.width_mm() - ink.bounds().unwrap().width_mm()).abs() < 1e-6, "{many}");
            assert!(room.width_mm() < 2.0 * BALLOON_RADIUS_MM * MOST_ABREAST as f64 + 1e-6, "{many}");
            for (n, a) in balloon.rings.iter().enumerate() {
                for b in &balloon.rings[n + 1..] {
                    assert!(a.at.distance_mm(b.at) > 2.0 * BALLOON_RADIUS_MM - 1e-9, "{many}");
                }
            }
            for end in balloon.spread().ends {
                assert!(balloon.rings.iter().any(|ring| ring.at.distance_mm(end) < 1e-9), "{many}");
            }
        }
    }
}
