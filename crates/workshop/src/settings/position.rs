//! Readout positions from picked-up edges.
//!
//! Places come in from the part's left front corner, X to the right and Y away.
//! The person picks up one edge in X and one in Y with an edge finder; the
//! readout is preset for the finder's radius and every place is then a reading
//! from those edges, each from the datum and none from another place.

use super::show::{geometry, mm, positive, practice, set_mm};
use crate::measure::{Length, Rounded, Toward};
use crate::problem::Problem;
use crate::why::{Figure, Why};

/// The edge that X is read from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum XEdge {
    /// The left edge, approached from its left.
    Left,
    /// The right edge, approached from its right; readings to its left are negative.
    Right,
}

/// The edge that Y is read from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum YEdge {
    /// The edge nearest the person, approached from the front.
    Front,
    /// The edge farthest from the person; readings nearer are negative.
    Back,
}

/// How the work is picked up.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Pickup {
    /// The edge that X is read from.
    pub x_edge: XEdge,
    /// The edge that Y is read from.
    pub y_edge: YEdge,
    /// The size of the work along X, between its left and right edges.
    pub width: Length,
    /// The size of the work along Y, between its front and back edges.
    pub depth: Length,
    /// The diameter of the edge finder's tip.
    pub tip: Length,
    /// The smallest step of the readout.
    pub step: Length,
}

/// How the work lies on the table, against the drawing: first turned over, then turned.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Lie {
    /// Turned over left for right, as the other hand or the back of a plate lies.
    pub over: bool,
    /// Quarter turns anticlockwise, seen from above.
    pub quarters: u8,
}

impl Lie {
    /// A place as it lies, and the work's own width and depth: all from the left front
    /// corner of the work as it lies, exactly.
    pub fn lay(self, place: &Place, (width, depth): (Length, Length)) -> (Place, (Length, Length)) {
        let x = if self.over { width - place.x } else { place.x };
        let mut at = (x, place.y);
        let mut size = (width, depth);
        for _ in 0..self.quarters % 4 {
            // Anticlockwise the old front edge comes to the right.
            at = (size.1 - at.1, at.0);
            size = (size.1, size.0);
        }
        (Place { name: place.name.clone(), x: at.0, y: at.1 }, size)
    }
}

/// A named place on the part, from its left front corner.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Place {
    /// What is there: `pivot hole`.
    pub name: String,
    /// Exact distance from the left edge.
    pub x: Length,
    /// Exact distance from the front edge.
    pub y: Length,
}

/// A place as the readout will show it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Reading {
    /// The place asked for.
    pub place: Place,
    /// X on the readout, and what the rounding cost.
    pub x: Rounded,
    /// Y on the readout, and what the rounding cost.
    pub y: Rounded,
}

/// The presets, the checks and all readings of one pick-up.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Positions {
    /// How the work is picked up.
    pub pickup: Pickup,
    /// What to make X read with the finder touching its edge.
    pub x_preset: Length,
    /// What to make Y read with the finder touching its edge.
    pub y_preset: Length,
    /// What X should read at a touch on the opposite edge.
    pub x_check: Length,
    /// What Y should read at a touch on the opposite edge.
    pub y_check: Length,
    /// The places, in the order they were given.
    pub readings: Vec<Reading>,
}

/// Works out the readout positions of places on the part.
///
/// # Errors
///
/// A [`Problem`] when a size of the work, the tip or the step is not more than
/// nought.
pub fn positions(pickup: Pickup, places: &[Place]) -> Result<Positions, Problem> {
    positive(pickup.width, "width of the work")?;
    positive(pickup.depth, "depth of the work")?;
    positive(pickup.tip, "edge finder's tip")?;
    positive(pickup.step, "step of the readout")?;
    let x_sense = if pickup.x_edge == XEdge::Left { 1 } else { -1 };
    let y_sense = if pickup.y_edge == YEdge::Front { 1 } else { -1 };
    let (x_datum, y_datum) = pickup.datum();
    let reading = |place: &Place| Reading {
        place: place.clone(),
        x: (place.x - x_datum).rounded(pickup.step, Toward::Nearest),
        y: (place.y - y_datum).rounded(pickup.step, Toward::Nearest),
    };
    // A touch from outside stands half a tip before the edge, or beyond the far one.
    let half = pickup.tip.half();
    Ok(Positions {
        pickup,
        x_preset: -half * x_sense,
        y_preset: -half * y_sense,
        x_check: (pickup.width + half) * x_sense,
        y_check: (pickup.depth + half) * y_sense,
        readings: places.iter().map(reading).collect(),
    })
}

impl Pickup {
    /// Where the datum edges are, from the left front corner.
    fn datum(&self) -> (Length, Length) {
        let x = if self.x_edge == XEdge::Left { Length::ZERO } else { self.width };
        let y = if self.y_edge == YEdge::Front { Length::ZERO } else { self.depth };
        (x, y)
    }

    /// The words for both edges, X first.
    fn edge_words(&self) -> [&'static str; 2] {
        let x = if self.x_edge == XEdge::Left { "left" } else { "right" };
        let y = if self.y_edge == YEdge::Front { "front" } else { "back" };
        [x, y]
    }
}

impl Positions {
    /// The rows of the sheet: presets, checks, then each place.
    pub fn figures(&self) -> Vec<Figure> {
        let step = self.pickup.step;
        let mut figures = Vec::new();
        let edges = self.pickup.edge_words();
        for (axis, edge, preset, check, size) in [
            ("X", edges[0], self.x_preset, self.x_check, self.pickup.width),
            ("Y", edges[1], self.y_preset, self.y_check, self.pickup.depth),
        ] {
            let touch = practice(format!(
                "the finder touches the {edge} edge from outside, so the spindle stands half its tip, {}, off it",
                mm(self.pickup.tip.half())
            ));
            let far = practice(format!("the work is {} and the finder stands half its tip beyond", mm(size)));
            figures.push(Figure::new(
                format!("preset {axis} at the {edge} edge"),
                set_mm(preset, step),
                touch.clone(),
            ));
            figures.push(Figure::new(
                format!("check {axis} at the opposite edge"),
                set_mm(check, step),
                far.because(touch),
            ));
        }
        for reading in &self.readings {
            let [x_edge, y_edge] = edges;
            let place = &reading.place;
            figures.push(self.figure(&place.name, "X", reading.x, x_edge));
            figures.push(self.figure(&place.name, "Y", reading.y, y_edge));
        }
        figures
    }

    fn figure(&self, place: &str, axis: &str, reading: Rounded, edge: &str) -> Figure {
        let exact = reading.value - reading.loss;
        let why = geometry(format!("{} from the {edge} edge", mm(exact)))
            .because(rounding(reading, self.pickup.step))
            .because(practice("every place is read from the datum, so no rounding adds to another"));
        Figure::new(format!("{place}, {axis}"), set_mm(reading.value, self.pickup.step), why)
    }
}

/// What a rounding cost, in words.
pub(crate) fn rounding(rounded: Rounded, step: Length) -> Why {
    let statement = if rounded.loss == Length::ZERO {
        format!("a whole number of steps of {step}: nothing is lost")
    } else {
        format!("rounded to steps of {step}: {} mm off", rounded.loss.decimals(4))
    };
    geometry(statement)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    const PICKUP: Pickup = Pickup {
        x_edge: XEdge::Left,
        y_edge: YEdge::Back,
        width: Length::mm(60),
        depth: Length::mm(25),
        tip: Length::mm(10),
        step: Length::ZERO,
    };

    fn hole(x: Length, y: Length) -> Place {
        Place { name: "pivot hole".into(), x, y }
    }

    fn pickup() -> Pickup {
        Pickup { step: Length::microns(5), ..PICKUP }
    }

    /// The worked rule of any edge-finder leaflet: touching the left edge with a
    /// 10 mm tip the spindle is at −5; the touches on both outside edges differ by
    /// the width and the tip.
    #[test]
    fn presets_carry_half_the_tip_with_its_sign() {
        let found = positions(pickup(), &[]).unwrap();
        assert_eq!((found.x_preset, found.y_preset), (Length::mm(-5), Length::mm(5)));
        assert_eq!((found.x_check, found.y_check), (Length::mm(65), Length::mm(-30)));
        assert_eq!(found.x_check - found.x_preset, Length::mm(60 + 10));
    }

    #[test]
    fn a_fraction_is_rounded_once_and_says_what_it_lost() {
        let found = positions(pickup(), &[hole(Length::inches(27, 32), Length::mm(10))]).unwrap();
        let reading = &found.readings[0];
        assert_eq!((reading.x.value, reading.y.value), (Length::microns(21_430), Length::mm(-15)));
        assert_eq!(reading.x.loss, Length::mm_ratio(-125, 100_000));
        let rows: Vec<String> = found.figures().iter().map(|f| format!("{}: {}", f.name, f.shown)).collect();
        insta::assert_snapshot!(rows.join("\n"), @r"
        preset X at the left edge: -5.000 mm
        check X at the opposite edge: 65.000 mm
        preset Y at the back edge: 5.000 mm
        check Y at the opposite edge: -30.000 mm
        pivot hole, X: 21.430 mm
        pivot hole, Y: -15.000 mm
        ");
    }

    #[test]
    fn a_readout_without_a_step_is_refused() {
        assert!(positions(PICKUP, &[]).unwrap_err().what().contains("step of the readout"));
        assert!(positions(Pickup { width: Length::ZERO, ..pickup() }, &[]).is_err());
    }

    /// A plate of 60 by 25 with a hole at (10, 5): turned over it is 50 from the left; turned
    /// by a right angle anticlockwise the front edge is to the right, and it is 20 from the left.
    #[test]
    fn work_turned_over_or_round_is_read_from_its_corner_as_it_lies() {
        let size = (Length::mm(60), Length::mm(25));
        let lay = |over, quarters| {
            let (at, size) = Lie { over, quarters }.lay(&hole(Length::mm(10), Length::mm(5)), size);
            (at.x, at.y, size)
        };
        let mm = Length::mm;
        assert_eq!(lay(true, 0), (mm(50), mm(5), size));
        assert_eq!(lay(false, 1), (mm(20), mm(10), (mm(25), mm(60))));
        assert_eq!(lay(false, 2), (mm(50), mm(20), size));
        assert_eq!(lay(true, 3), (mm(5), mm(10), (mm(25), mm(60))));
    }

    proptest! {
        /// However it lies, the readings through the setup's own turning lead back to the
        /// feature's place, within half a step.
        #[test]
        fn readings_lead_back_to_the_place(x in 0i64..60_000, y in 0i64..25_000, over: bool, quarters in 0u8..4, right: bool, back: bool) {
            let (lie, place) = (Lie { over, quarters }, hole(Length::microns(x), Length::microns(y)));
            let (laid, (width, depth)) = lie.lay(&place, (Length::mm(60), Length::mm(25)));
            let x_edge = if right { XEdge::Right } else { XEdge::Left };
            let y_edge = if back { YEdge::Back } else { YEdge::Front };
            let pickup = Pickup { x_edge, y_edge, width, depth, ..pickup() };
            let reading = &positions(pickup, &[laid]).unwrap().readings[0];
            let mut at = [reading.x.value.as_mm(), reading.y.value.as_mm()];
            at[0] += if right { width.as_mm() } else { 0.0 };
            at[1] += if back { depth.as_mm() } else { 0.0 };
            // Back about the middle of the work: turned the other way, then turned over.
            let mut from_middle = [at[0] - width.as_mm() / 2.0, at[1] - depth.as_mm() / 2.0];
            for _ in 0..quarters {
                from_middle = [from_middle[1], -from_middle[0]];
            }
            let sign = if over { -1.0 } else { 1.0 };
            prop_assert!((sign * from_middle[0] + 30.0 - x as f64 / 1e3).abs() <= 0.0025 + 1e-9);
            prop_assert!((from_middle[1] + 12.5 - y as f64 / 1e3).abs() <= 0.0025 + 1e-9);
        }

        /// From whichever edges, two holes come out the same distance apart, but
        /// for the two roundings.
        #[test]
        fn centre_distances_do_not_depend_on_the_datum(ax in 0i64..60_000, bx in 0i64..60_000, y in 0i64..25_000) {
            let holes = [hole(Length::microns(ax), Length::microns(y)), hole(Length::microns(bx), Length::ZERO)];
            for x_edge in [XEdge::Left, XEdge::Right] {
                for y_edge in [YEdge::Front, YEdge::Back] {
                    let found = positions(Pickup { x_edge, y_edge, ..pickup() }, &holes).unwrap();
                    let [a, b] = &found.readings[..] else { panic!("two readings") };
                    prop_assert!((b.x.value - a.x.value).gap(Length::microns(bx - ax)) <= Length::microns(5));
                    prop_assert!((b.y.value - a.y.value).gap(Length::microns(-y)) <= Length::microns(5));
                }
            }
        }
    }
}
