//! A whole outline on the rotary table, line by line and arc by arc: whatever chain it is.
//!
//! Each arc, outside or hollow, is turned with its own centre over the table's; each
//! straight side is laid along X by the table about the arc beside it. At an outside corner
//! the cutter runs on until it is clear; before an inside one it stops where it touches the
//! next piece. Every offset, reading and run keeps clear of the whole outline as it will be
//! set, not as it is on paper.

use std::f64::consts::PI;

use super::flank::{Beyond, Edge, Facing, FlankSetting, set_flank};
use super::rotary::{Arc, ArcSetting, RotaryTable, check_swing, set_arc};
use super::show::{geometry as by_geometry, mm, positive, practice, set_mm};
use crate::geometry::around::Named;
use crate::geometry::{self, Line, Outline, Point, Segment, milled};
use crate::measure::{Length, Rounded};
use crate::problem::Problem;
use crate::why::Figure;

/// How an outline is to be cut.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Asked {
    /// The diameter of the cutter.
    pub cutter: Length,
    /// The table.
    pub table: RotaryTable,
    /// The smallest step of the readout.
    pub step: Length,
    /// The gouge that the person can bear.
    pub gouge: Length,
    /// From the spindle to the column; none where nobody has said.
    pub column: Option<Length>,
}

/// One line or arc of the outline and how it is set.
#[derive(Clone, Debug, PartialEq)]
pub struct Piece {
    /// What it is called: the stop it goes round, or `one to another`.
    pub name: String,
    /// The place of the part that lies over the table's centre.
    pub centre: Point,
    /// How it is set, or why it cannot be.
    pub set: Result<Set, Problem>,
}

/// How a piece is set.
#[derive(Clone, Debug, PartialEq)]
pub enum Set {
    /// An arc: its setting, and the spindle's offset on whole steps.
    Arc(Box<ArcSetting>, Rounded),
    /// A straight side.
    Side(Box<FlankSetting>),
}

/// Works out every piece of an anticlockwise outline.
///
/// # Errors
///
/// A [`Problem`] when the cutter or the step is not more than nought. A piece that this
/// cutter cannot cut carries its own.
pub fn round_outline(named: &Named, asked: Asked) -> Result<Vec<Piece>, Problem> {
    positive(asked.cutter, "cutter diameter")?;
    positive(asked.step, "step of the readout")?;
    let pieces = named.outline.segments().iter().enumerate().map(|(n, segment)| {
        let centre = centre_for(&named.outline, n);
        let set = set(&named.outline, n, segment, centre, asked);
        Piece { name: named.names[n].clone(), centre, set }
    });
    Ok(pieces.collect())
}

/// The place that lies over the table's centre for a piece: of an arc its own centre, of a
/// side that of the arc beside it, else its own middle.
fn centre_for(outline: &Outline, piece: usize) -> Point {
    let segments = outline.segments();
    let count = segments.len();
    let near = [piece, (piece + count - 1) % count, (piece + 1) % count];
    let arc = near.into_iter().find_map(|n| match segments[n] {
        Segment::Arc(arc) => Some(arc.centre),
        Segment::Line(_) => None,
    });
    arc.unwrap_or_else(|| segments[piece].along(0.5))
}

fn set(outline: &Outline, n: usize, own: &Segment, centre: Point, asked: Asked) -> Result<Set, Problem> {
    let reach = asked.cutter.half();
    let road = milled::road(outline, n, reach.as_mm()).ok_or_else(|| {
        Problem::new(format!("a cutter of {} does not get in here", mm(asked.cutter)))
            .why("it would cut into the next piece of the outline, or is rounder than this hollow")
            .mend("use a smaller end mill, or file this piece")
    })?;
    let about = |segment: &Segment| segment.translated(Point::ORIGIN - centre);
    let rest: Vec<Segment> = outline.segments().iter().map(about).collect();
    if let Some(column) = asked.column {
        let far = rest.iter().map(farthest_mm).fold(0.0, f64::max);
        check_swing(Length::nearest(far), column)?;
    }
    match (own, about(&road.road)) {
        (Segment::Arc(arc), run) => {
            // What the cutter can reach of it: before an inside corner it stops short.
            let reached = match run {
                Segment::Arc(run) => {
                    geometry::Arc { start_rad: run.start_rad, sweep_rad: run.sweep_rad, ..*arc }
                }
                Segment::Line(_) => *arc,
            };
            let setting = set_arc(Arc::from(reached), asked.cutter, asked.table, asked.gouge)?;
            let offset = setting.offset_on(asked.step, &rest)?;
            Ok(Set::Arc(Box::new(setting), offset))
        }
        (Segment::Line(_), run) => {
            let edge = edge_under(run, reach);
            let setting = set_flank(edge, asked.cutter, Facing::Front, asked.table, asked.step, &rest)?;
            Ok(Set::Side(Box::new(setting)))
        }
    }
}

/// The side itself under the road of the cutter's middle that keeps clear at both of its ends.
pub fn edge_under(run: Segment, reach: Length) -> Edge {
    let (start, end) = (run.start(), run.end());
    let inwards = start.direction_rad(end) + PI / 2.0;
    let side = Line::new(start.polar(reach.as_mm(), inwards), end.polar(reach.as_mm(), inwards));
    Edge { line: side, before: Beyond::Blend, after: Beyond::Blend }
}

/// How far a piece reaches from the table's centre.
fn farthest_mm(piece: &Segment) -> f64 {
    (0..=16).map(|n| piece.along(f64::from(n) / 16.0).norm_mm()).fold(0.0, f64::max)
}

impl Piece {
    /// The rows of the sheet, each under the name of its piece, the `number`-th.
    pub fn figures(&self, number: usize, step: Length) -> Vec<Figure> {
        let named =
            |figure: Figure| Figure { name: format!("{number}, {}: {}", self.name, figure.name), ..figure };
        let over = practice("a plug in the bore there, or the point punched, is clocked true to the table");
        let (x, y) = (Length::nearest(self.centre.x_mm), Length::nearest(self.centre.y_mm));
        let place = Figure::new("over the table's centre", format!("X {}, Y {}", mm(x), mm(y)), over);
        let mut figures = vec![place];
        match &self.set {
            Err(fault) => {
                let why = practice(fault.reason().unwrap_or("it does not go"))
                    .because(practice(fault.remedy().unwrap_or("use another cutter")));
                figures.push(Figure::new("not on this table", fault.what(), why));
            }
            Ok(Set::Arc(setting, offset)) => figures.extend(setting.figures().into_iter().map(|figure| {
                if figure.name != "offset from the table centre" {
                    return figure;
                }
                let why = figure.why.because(super::position::rounding(*offset, step));
                Figure { shown: set_mm(offset.value, step), why, ..figure }
            })),
            Ok(Set::Side(setting)) => {
                figures.extend(setting.figures());
                let why =
                    by_geometry("the table reads to whole divisions, and the side lies as it will be set");
                let out = mm(setting.out_of_parallel);
                figures.push(Figure::new("out of parallel, end to end", out, why));
            }
        }
        figures.into_iter().map(named).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::Circle;
    use crate::geometry::around::{Side, Stop, Turn, around};
    use crate::measure::Angle;
    use crate::settings::rotary::{Grows, Metal};
    use proptest::prelude::*;

    const TABLE: RotaryTable =
        RotaryTable { worm_ratio: 72, division: Angle::degrees(1), grows: Some(Grows::Clockwise) };

    fn asked(cutter: i64, table: RotaryTable) -> Asked {
        let step = Length::microns(10);
        Asked { cutter: Length::mm(cutter), table, step, gouge: Length::microns(20), column: None }
    }

    fn stop(name: &str, turn: Turn) -> (Stop, Side) {
        (Stop { name: name.into(), turn }, Side::Line)
    }

    fn corner(name: &str, x: f64, y: f64, radius_mm: f64) -> (Stop, Side) {
        stop(name, Turn::Corner { at: Point::new(x, y), radius_mm })
    }

    /// An angle bracket 40 by 40, 15 wide, with a fillet of 6 in its inside corner and a
    /// rounding of 5 outside.
    fn bracket() -> Named {
        around(&[
            corner("heel", 0.0, 0.0, 5.0),
            corner("toe", 40.0, 0.0, 0.0),
            corner("top of toe", 40.0, 15.0, 0.0),
            corner("crook", 15.0, 15.0, 6.0),
            corner("right of head", 15.0, 40.0, 0.0),
            corner("head", 0.0, 40.0, 0.0),
        ])
        .unwrap()
    }

    #[test]
    fn a_fillet_is_turned_from_within_and_a_rounding_from_without() {
        let pieces = round_outline(&bracket(), asked(8, TABLE)).unwrap();
        let arc = |name: &str| match pieces.iter().find(|p| p.name == name).map(|p| &p.set) {
            Some(Ok(Set::Arc(setting, offset))) => (setting.clone(), *offset),
            other => panic!("{name}: {other:?}"),
        };
        let (crook, offset) = arc("crook");
        assert_eq!((crook.arc.metal, offset.value), (Metal::Outside, Length::mm(2)));
        let (heel, offset) = arc("heel");
        assert_eq!((heel.arc.metal, offset.value), (Metal::Inside, Length::mm(9)));
        assert!(pieces.iter().all(|piece| piece.set.is_ok()));
        // Too large for the fillet: that one alone is told, with what would help.
        let large = round_outline(&bracket(), asked(16, TABLE)).unwrap();
        let out: Vec<&str> = large.iter().filter(|p| p.set.is_err()).map(|p| p.name.as_str()).collect();
        assert_eq!(out, ["crook"]);
        let told = large.iter().find(|p| p.name == "crook").unwrap().figures(1, Length::microns(10));
        assert!(told.iter().any(|f| f.name.contains("not on this table")), "{told:?}");
    }

    #[test]
    fn work_that_fouls_the_column_is_told_for_each_centre() {
        let short = Asked { column: Some(Length::mm(33)), ..asked(8, TABLE) };
        let pieces = round_outline(&bracket(), short).unwrap();
        // About the heel the far corners are 36.4 off; about the crook none is over 30.
        assert!(pieces.iter().find(|p| p.name == "heel").unwrap().set.is_err());
        assert!(pieces.iter().find(|p| p.name == "crook").unwrap().set.is_ok());
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(48))]

        /// Any lever of three bosses and any table: the cutter, laid as it will be set, goes
        /// round the table's centre or along X and never into the outline.
        #[test]
        fn no_piece_of_any_chain_is_cut_into(
            r in prop::array::uniform3(3.0..10.0f64), far in 30.0..60.0f64, up in 25.0..60.0f64,
            cutter in 4i64..12, per_degree in 1i64..61, anticlockwise: bool,
        ) {
            let places = [(0.0, 0.0), (far, -4.0), (far / 2.0, up)];
            let round = |n: usize| {
                let (x, y) = places[n];
                stop(["one", "two", "three"][n], Turn::Round(Circle::new(Point::new(x, y), r[n])))
            };
            let named = around(&[round(0), round(1), round(2)]).unwrap();
            let grows = if anticlockwise { Grows::Anticlockwise } else { Grows::Clockwise };
            let table = RotaryTable { worm_ratio: 90, division: Angle::ratio(1, per_degree.into()), grows: Some(grows) };
            for piece in round_outline(&named, asked(cutter, table)).unwrap() {
                let reach_mm = cutter as f64 / 2.0;
                let places: Vec<Point> = match piece.set.unwrap() {
                    Set::Arc(setting, offset) => {
                        let road = setting.road(offset.value);
                        (0..=64).map(|n| piece.centre + road.along(f64::from(n) / 64.0)).collect()
                    }
                    Set::Side(setting) => {
                        let turned = setting.reading_set.as_rad() * if anticlockwise { -1.0 } else { 1.0 };
                        let at = |x: Length| piece.centre + Point::at(x, setting.y.value).rotated(turned);
                        let (from, to) = (at(setting.x_from.value), at(setting.x_to.value));
                        (0..=64).map(|n| Segment::line(from, to).along(f64::from(n) / 64.0)).collect()
                    }
                };
                for at in places {
                    prop_assert!(!named.outline.contains(at));
                    prop_assert!(named.outline.distance_mm(at) > reach_mm - 1e-6, "{}", piece.name);
                    prop_assert!(named.outline.distance_mm(at) < reach_mm + 1.0, "{}", piece.name);
                }
            }
        }
    }
}
