//! The metal left between two features.
//!
//! A feature in plan is a place, a line or an arc with a radius around it (a
//! hole, a slot, a curved slot), a bare line (an edge, a slit), or an outline
//! with the metal inside it. The wall between two is the least distance between
//! their edges; it is negative when they break into each other.

use super::{Approach, Circle, Line, Outline, Point, Segment, closest};

/// The plan of a feature, for measuring walls.
#[derive(Clone, Debug, PartialEq)]
pub enum Shape {
    /// A hole or a boss.
    Circle(Circle),
    /// A slot with round ends: the road of a cutter's centre, and its radius.
    Slot {
        /// From the centre of one end to the centre of the other, straight or curved.
        centre_line: Segment,
        /// Half the width, in millimetres.
        radius_mm: f64,
    },
    /// A straight edge, or the middle of a thin slit.
    Line(Line),
    /// The edge of the metal, which lies inside it.
    Outline(Outline),
    /// The edge of a pocket: the metal lies outside it.
    Hollow(Outline),
}

/// The thinnest place between two features.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Wall {
    /// The metal there in millimetres; negative when the two break into each other.
    pub thickness_mm: f64,
    /// The edge of the first feature there.
    pub on_first: Point,
    /// The edge of the second feature there.
    pub on_second: Point,
}

/// The thinnest of several walls, and the pair it lies between.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Thinnest {
    /// The places of the two in the list given, lower first.
    pub pair: (usize, usize),
    /// The wall between them.
    pub wall: Wall,
}

/// The wall between two features.
///
/// A feature outside an outline, or across its line, has a negative wall. Two
/// outlines are measured edge to edge, whichever side the metal is.
pub fn wall(first: &Shape, second: &Shape) -> Wall {
    match (Plan::of(first), Plan::of(second)) {
        (Plan::Edge(a), Plan::Edge(b)) => {
            let near = nearest(a.segments(), b.segments());
            Wall { thickness_mm: near.distance_mm(), on_first: near.on_first, on_second: near.on_second }
        }
        (Plan::Hollow(hollow), Plan::Edge(metal)) => within(hollow, metal),
        (Plan::Edge(metal), Plan::Hollow(hollow)) => turned_round(within(hollow, metal)),
        (Plan::Hollow(a), Plan::Hollow(b)) => apart(a, b),
        (Plan::Hollow(hollow), Plan::Round(spine, radius_mm)) => beside(hollow, spine, radius_mm),
        (Plan::Round(spine, radius_mm), Plan::Hollow(hollow)) => {
            turned_round(beside(hollow, spine, radius_mm))
        }
        (Plan::Edge(outline), Plan::Round(spine, radius_mm)) => from_outline(outline, spine, radius_mm),
        (Plan::Round(spine, radius_mm), Plan::Edge(outline)) => {
            turned_round(from_outline(outline, spine, radius_mm))
        }
        (Plan::Round(a, one_mm), Plan::Round(b, other_mm)) => {
            let near = approach(a, b);
            Wall {
                thickness_mm: near.distance_mm() - one_mm - other_mm,
                on_first: stepped(near.on_first, near.on_second, one_mm),
                on_second: stepped(near.on_second, near.on_first, other_mm),
            }
        }
    }
}

/// The thinnest wall among several features; none when there are fewer than two.
/// Of equal walls the pair that stands first in the list is given.
pub fn thinnest(shapes: &[Shape]) -> Option<Thinnest> {
    let mut found: Option<Thinnest> = None;
    for i in 0..shapes.len() {
        for j in i + 1..shapes.len() {
            let wall = wall(&shapes[i], &shapes[j]);
            if found.is_none_or(|best| wall.thickness_mm < best.wall.thickness_mm) {
                found = Some(Thinnest { pair: (i, j), wall });
            }
        }
    }
    found
}

/// A shape as it is measured: an edge, or a spine with a radius around it.
enum Plan<'a> {
    Edge(&'a Outline),
    Hollow(&'a Outline),
    Round(Spine, f64),
}

/// What a feature is once its radius is taken off.
#[derive(Clone, Copy)]
enum Spine {
    Place(Point),
    Road(Segment),
}

impl<'a> Plan<'a> {
    fn of(shape: &'a Shape) -> Self {
        match shape {
            Shape::Circle(circle) => Self::Round(Spine::Place(circle.centre), circle.radius_mm),
            Shape::Slot { centre_line, radius_mm } => Self::Round(Spine::Road(*centre_line), *radius_mm),
            Shape::Line(line) => Self::Round(Spine::Road(Segment::Line(*line)), 0.0),
            Shape::Outline(outline) => Self::Edge(outline),
            Shape::Hollow(outline) => Self::Hollow(outline),
        }
    }
}

/// The wall from the edge of the metal to a feature cut in it.
fn from_outline(outline: &Outline, spine: Spine, radius_mm: f64) -> Wall {
    let near = match spine {
        Spine::Place(place) => Approach { on_first: outline.nearest(place), on_second: place },
        Spine::Road(road) => nearest(outline.segments(), &[road]),
    };
    let apart_mm = near.distance_mm();
    if outline.contains(near.on_second) {
        return Wall {
            thickness_mm: apart_mm - radius_mm,
            on_first: near.on_first,
            on_second: stepped(near.on_second, near.on_first, radius_mm),
        };
    }
    // Wholly outside: as bad as the distance its far edge would have to come in.
    Wall { thickness_mm: -apart_mm - radius_mm, on_first: near.on_first, on_second: near.on_second }
}

/// A wall seen from the other side.
fn turned_round(wall: Wall) -> Wall {
    Wall { on_first: wall.on_second, on_second: wall.on_first, ..wall }
}

/// The wall from a pocket to the edge of the metal it is cut in.
fn within(hollow: &Outline, metal: &Outline) -> Wall {
    let near = nearest(hollow.segments(), metal.segments());
    let inside = metal.contains(hollow.segments()[0].start());
    let thickness_mm = if inside { near.distance_mm() } else { -near.distance_mm() };
    Wall { thickness_mm, on_first: near.on_first, on_second: near.on_second }
}

/// The wall between two pockets; less than nought when one lies within the other.
fn apart(one: &Outline, other: &Outline) -> Wall {
    let near = nearest(one.segments(), other.segments());
    let start = |outline: &Outline| outline.segments()[0].start();
    let within = one.contains(start(other)) || other.contains(start(one));
    let thickness_mm = if within { -near.distance_mm() } else { near.distance_mm() };
    Wall { thickness_mm, on_first: near.on_first, on_second: near.on_second }
}

/// The wall from a pocket to a feature beside it.
fn beside(hollow: &Outline, spine: Spine, radius_mm: f64) -> Wall {
    let near = match spine {
        Spine::Place(place) => Approach { on_first: hollow.nearest(place), on_second: place },
        Spine::Road(road) => nearest(hollow.segments(), &[road]),
    };
    let apart_mm = near.distance_mm();
    if hollow.contains(near.on_second) {
        return Wall {
            thickness_mm: -apart_mm - radius_mm,
            on_first: near.on_first,
            on_second: near.on_second,
        };
    }
    Wall {
        thickness_mm: apart_mm - radius_mm,
        on_first: near.on_first,
        on_second: stepped(near.on_second, near.on_first, radius_mm),
    }
}

fn approach(first: Spine, second: Spine) -> Approach {
    match (first, second) {
        (Spine::Place(a), Spine::Place(b)) => Approach { on_first: a, on_second: b },
        (Spine::Place(a), Spine::Road(b)) => Approach { on_first: a, on_second: b.nearest(a) },
        (Spine::Road(a), Spine::Place(b)) => Approach { on_first: a.nearest(b), on_second: b },
        (Spine::Road(a), Spine::Road(b)) => closest(&a, &b),
    }
}

/// The nearest places of two lists of segments.
fn nearest(first: &[Segment], second: &[Segment]) -> Approach {
    first
        .iter()
        .flat_map(|a| second.iter().map(move |b| closest(a, b)))
        .min_by(|x, y| x.distance_mm().total_cmp(&y.distance_mm()))
        .expect("an outline has at least one segment")
}

/// The place `step_mm` from `from` on the way to `to`; `from` where they are one.
fn stepped(from: Point, to: Point, step_mm: f64) -> Point {
    let apart_mm = from.distance_mm(to);
    if apart_mm == 0.0 { from } else { from + (to - from).times(step_mm / apart_mm) }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::tangents;
    use crate::measure::Length;
    use proptest::prelude::*;

    fn hole(x: f64, y: f64, diameter: f64) -> Shape {
        Shape::Circle(Circle::new(Point::new(x, y), diameter / 2.0))
    }

    fn slot(a: (f64, f64), b: (f64, f64), width: f64) -> Shape {
        let centre_line = Segment::line(Point::new(a.0, a.1), Point::new(b.0, b.1));
        Shape::Slot { centre_line, radius_mm: width / 2.0 }
    }

    fn plate() -> Shape {
        Shape::Outline(tangents::rectangle(Length::mm(60), Length::mm(40), Length::mm(5)).unwrap())
    }

    fn is(first: &Shape, second: &Shape, thickness_mm: f64) {
        for (a, b) in [(first, second), (second, first)] {
            let found = wall(a, b);
            assert!((found.thickness_mm - thickness_mm).abs() < 1e-9, "{found:?}, not {thickness_mm}");
            if thickness_mm > 0.0 {
                assert!((found.on_first.distance_mm(found.on_second) - thickness_mm).abs() < 1e-9);
            }
        }
    }

    #[test]
    fn walls_agree_with_sums_done_by_hand() {
        // Centres 13 apart (5, 12), radii 3 and 4.
        is(&hole(0.0, 0.0, 6.0), &hole(5.0, 12.0, 8.0), 6.0);
        // They break into each other by one.
        is(&hole(0.0, 0.0, 6.0), &hole(6.0, 0.0, 8.0), -1.0);
        let edge = Shape::Line(Line::new(Point::new(-10.0, 5.0), Point::new(10.0, 5.0)));
        is(&hole(0.0, 0.0, 6.0), &edge, 2.0);
        // Past the end of the line, the corner counts: 3, 4, 5.
        is(&hole(13.0, 1.0, 2.0), &edge, 4.0);
        is(&slot((0.0, 0.0), (20.0, 0.0), 6.0), &hole(10.0, 9.0, 4.0), 4.0);
        is(&slot((0.0, 0.0), (20.0, 0.0), 6.0), &hole(23.0, 4.0, 2.0), 1.0);
        is(&slot((0.0, 0.0), (20.0, 0.0), 6.0), &slot((5.0, 8.0), (5.0, 30.0), 4.0), 3.0);
        is(&slot((10.0, 10.0), (30.0, 10.0), 6.0), &plate(), 7.0);
        is(&hole(30.0, 20.0, 10.0), &plate(), 15.0);
    }

    #[test]
    fn a_rounded_corner_leaves_less_than_its_square_one() {
        // Centre 8 from both edges, corner radius 5: 3√2 from the corner's centre.
        let found = wall(&plate(), &hole(8.0, 8.0, 2.0));
        assert!((found.thickness_mm - 7.0).abs() < 1e-9);
        let near_corner = wall(&plate(), &hole(2.0, 2.0, 1.0));
        assert!((near_corner.thickness_mm - (5.0 - 3.0 * 2.0_f64.sqrt() - 0.5)).abs() < 1e-9);
    }

    #[test]
    fn a_hole_off_the_part_has_a_negative_wall() {
        is(&plate(), &hole(70.0, 20.0, 6.0), -13.0);
        is(&plate(), &hole(59.0, 20.0, 6.0), -2.0);
        is(&plate(), &slot((50.0, 20.0), (70.0, 20.0), 6.0), -3.0);
    }

    #[test]
    fn the_thinnest_of_several_names_its_pair() {
        let shapes = [plate(), hole(10.0, 20.0, 6.0), hole(20.0, 20.0, 6.0), hole(50.0, 20.0, 6.0)];
        let found = thinnest(&shapes).unwrap();
        assert_eq!(found.pair, (1, 2));
        assert!((found.wall.thickness_mm - 4.0).abs() < 1e-9);
        assert_eq!(thinnest(&shapes[..1]), None);
    }

    proptest! {
        /// A hole in a curved slot's plate: the wall is what the nearest of many
        /// round cutters along the slot leaves.
        #[test]
        fn a_curved_slot_is_a_row_of_holes(x in -30.0..30.0f64, y in -30.0..30.0f64, sweep in 0.2..5.0f64) {
            let centre_line = Segment::arc(Point::ORIGIN, 15.0, 0.3, sweep);
            let slot = Shape::Slot { centre_line, radius_mm: 2.0 };
            let hole = hole(x, y, 3.0);
            let least = (0..=2000)
                .map(|k| centre_line.along(f64::from(k) / 2000.0))
                .map(|p| wall(&Shape::Circle(Circle::new(p, 2.0)), &hole).thickness_mm)
                .fold(f64::INFINITY, f64::min);
            prop_assert!((wall(&slot, &hole).thickness_mm - least).abs() < 0.02);
        }
    }
}
