//! How near shapes on moving links come over a turn, proven by the crate `mechanism`.

use mechanism::clearance::Clearance;
use mechanism::outline::{Outline, Piece};
use mechanism::{PointId, Turn};

use super::run::Run;
use super::shapes::{Form, Outside, Shape};
use super::{Machine, Shown, Told, problem};
use crate::geometry::Segment;
use crate::problem::Problem;

/// Distances are found to within this, millimetres.
const CLOSE: f64 = 0.005;
/// Two features of a part that lie by more than this as far apart as the points they are laid on
/// are told of, millimetres.
const LAID: f64 = 0.05;

/// How near two shapes come.
#[derive(Clone, Debug)]
pub struct Cleared {
    /// Their names.
    pub between: [String; 2],
    /// As drawn.
    pub drawn: Clearance,
    /// As it will be made, where that is known.
    pub made: Option<Clearance>,
    /// How far apart they must stay, where that is said: millimetres.
    pub least: Option<f64>,
    /// What is wrong or doubtful, in words.
    pub notes: Vec<String>,
}

impl Cleared {
    /// `1.204 mm at 43.1°`, `touch at 12°`.
    pub fn words(clearance: &Clearance) -> String {
        let at = Shown::Degrees.text(clearance.at.rem_euclid(std::f64::consts::TAU));
        if clearance.least <= 0.0 {
            format!("touch at {at}")
        } else {
            format!("{} at {at}", Shown::Mm.text(clearance.least))
        }
    }
}

impl Machine {
    /// How near those shapes come in a setting that the file wants to clear each other.
    ///
    /// # Errors
    ///
    /// A shape that comes to nothing, such as a bar without width.
    pub fn clearances(&self, told: &Told) -> Result<Vec<Cleared>, Problem> {
        let mut all = Vec::new();
        for clear in &self.clears {
            let shapes = clear.between.map(|at| &self.shapes[at]);
            let mut notes = Vec::new();
            let mut one = |run: &Run, made: bool| {
                let outlines = shapes.map(|shape| outline(shape, &run.turn, &run.values, made, &mut notes));
                let [a, b] = &outlines;
                let found = run.turn.clearance(a, b, CLOSE);
                found.map_err(|fault| self.at(problem(fault).at(format!("line {}", clear.line))))
            };
            let drawn = one(&told.drawn, false)?;
            let made = told.made.as_ref().map(|run| one(run, true)).transpose()?;
            let least = clear.least.as_ref().map(|least| least.value(&told.drawn.values));
            let last = made.as_ref().unwrap_or(&drawn);
            let names = shapes.map(|shape| shape.name.clone());
            if let Some(wanted) = least
                && last.least < wanted
            {
                notes.push(format!(
                    "{} and {} {}, and {} is wanted",
                    names[0],
                    names[1],
                    Cleared::words(last),
                    Shown::Mm.text(wanted)
                ));
            }
            if !last.unproven.is_empty() || last.proven < last.least - 2.0 * CLOSE {
                notes.push(format!(
                    "{} and {}: proven to stay {} apart only; beyond that the distance was looked at from place to place",
                    names[0],
                    names[1],
                    Shown::Mm.text(last.proven)
                ));
            }
            all.push(Cleared { between: names, drawn, made, least, notes });
        }
        Ok(all)
    }
}

/// A shape with the sizes of a run, in its link's own directions.
fn outline(shape: &Shape, turn: &Turn, values: &[f64], made: bool, notes: &mut Vec<String>) -> Outline {
    let local = |point: PointId| {
        let state = &turn.states[0];
        let (pose, place) = (turn.model.pose(state, point.link), turn.model.place(state, point));
        let (dx, dy) = (place[0] - pose.x, place[1] - pose.y);
        [pose.c * dx + pose.s * dy, pose.c * dy - pose.s * dx]
    };
    let name = shape.name.clone();
    match &shape.form {
        Form::Bar { ends, width } => {
            Outline::bar(shape.link, name, local(ends[0]), local(ends[1]), width.value(values))
        }
        Form::Corners(corners) => {
            let at: Vec<[f64; 2]> = corners.iter().map(|[x, y]| [x.value(values), y.value(values)]).collect();
            let closed = at.len() > 2;
            let count = if closed { at.len() } else { at.len() - 1 };
            let pieces = (0..count).map(|n| Piece::Line { from: at[n], to: at[(n + 1) % at.len()] });
            Outline { link: shape.link, name, pieces: pieces.collect(), fat: 0.0, solid: closed }
        }
        Form::Part { outsides, points, over, .. } => {
            let outside = outsides[usize::from(made)].as_ref().or(outsides[0].as_ref());
            let points = points.map(local);
            let pieces = outside.map_or_else(Vec::new, |outside| {
                let off = long(outside.places) - long(points);
                if off.abs() > LAID {
                    notes.push(format!(
                        "{name}: its two features lie {} as far apart as the points they are laid on; it is laid on the first",
                        Shown::Mm.change(off)
                    ));
                }
                laid(outside, points, *over)
            });
            notes.dedup();
            Outline { link: shape.link, name, pieces, fat: 0.0, solid: true }
        }
    }
}

fn long([a, b]: [[f64; 2]; 2]) -> f64 {
    (b[0] - a[0]).hypot(b[1] - a[1])
}

/// Its lines and arcs with the first place on the first point and turned towards the second.
fn laid(outside: &Outside, points: [[f64; 2]; 2], over: bool) -> Vec<Piece> {
    let flip = if over { -1.0 } else { 1.0 };
    let seen = |p: [f64; 2]| [flip * p[0], p[1]];
    let [a, b] = outside.places.map(seen);
    let toward = |from: [f64; 2], to: [f64; 2]| (to[1] - from[1]).atan2(to[0] - from[0]);
    let turn = toward(points[0], points[1]) - toward(a, b);
    let (s, c) = turn.sin_cos();
    let moved = |x: f64, y: f64| {
        let [x, y] = seen([x, y]);
        let (dx, dy) = (x - a[0], y - a[1]);
        [points[0][0] + c * dx - s * dy, points[0][1] + s * dx + c * dy]
    };
    let piece = |segment: &Segment| match segment {
        Segment::Line(line) => Piece::Line {
            from: moved(line.start.x_mm, line.start.y_mm),
            to: moved(line.end.x_mm, line.end.y_mm),
        },
        Segment::Arc(arc) => {
            let from = if over { std::f64::consts::PI - arc.start_rad } else { arc.start_rad };
            Piece::Arc {
                centre: moved(arc.centre.x_mm, arc.centre.y_mm),
                radius: arc.radius_mm,
                from: from + turn,
                sweep: flip * arc.sweep_rad,
            }
        }
    };
    outside.segments.iter().map(piece).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::Point;

    /// A quarter arc and its chord laid on a link: ends and middle come to where a drawing has them,
    /// turned over or not.
    #[test]
    fn a_part_lies_where_its_features_say() {
        let arc = Segment::arc(Point::new(0.0, 0.0), 10.0, 0.0, std::f64::consts::FRAC_PI_2);
        let outside = Outside { segments: vec![arc], places: [[0.0, 0.0], [10.0, 0.0]] };
        let end = |over: bool| match laid(&outside, [[5.0, 5.0], [5.0, 15.0]], over)[0] {
            Piece::Arc { centre, radius, from, sweep } => {
                let at = from + sweep;
                [centre[0] + radius * at.cos(), centre[1] + radius * at.sin()]
            }
            Piece::Line { .. } => panic!("an arc stays one"),
        };
        // The features' line points up the link; the arc ends on its left, or its right turned over.
        for (over, x) in [(false, -5.0), (true, 15.0)] {
            let [ex, ey] = end(over);
            assert!((ex - x).abs() < 1e-9 && (ey - 5.0).abs() < 1e-9, "{over}: {ex} {ey}");
        }
    }
}
