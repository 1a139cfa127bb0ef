//! Arms between two points of a link that turns about its centre: a return arm from one pin to the
//! next, by its length and its angle at the first pin.

use mechanism::PointId;

use super::Machine;
use super::run::Run;

/// Most points of a link between which arms are told: more are a plate, not a crank.
const MOST: usize = 4;

/// From one point of a link to another.
#[derive(Clone, Debug, PartialEq)]
pub struct Arm {
    /// The link, the first point and the second.
    pub names: [String; 3],
    /// From point to point, millimetres.
    pub length: f64,
    /// At the first point, from the line to the link's centre to the line to the second point, radians.
    pub angle: f64,
    /// At the centre, from the first point round to the second, radians; anticlockwise above nought.
    pub apart: f64,
}

impl Machine {
    /// The arms of every link with a centre and two points or more besides, with the sizes of a run.
    pub fn arms(&self, run: &Run) -> Vec<Arm> {
        let (model, state) = (&run.turn.model, &run.turn.states[0]);
        let mut all = Vec::new();
        for (n, link) in self.of.links.iter().enumerate().skip(1) {
            let at = |point: usize| model.place(state, PointId { link: mechanism::LinkId(n), point });
            let centred = link.points.first().is_some_and(|point| point.name == "centre");
            if !centred || !(3..=MOST + 1).contains(&link.points.len()) {
                continue;
            }
            let centre = at(0);
            let from = |p: [f64; 2], q: [f64; 2]| [q[0] - p[0], q[1] - p[1]];
            for first in 1..link.points.len() {
                for second in first + 1..link.points.len() {
                    let (a, b) = (at(first), at(second));
                    let (home, on) = (from(a, centre), from(a, b));
                    let (out, other) = (from(centre, a), from(centre, b));
                    let length = on[0].hypot(on[1]);
                    if length < 1e-9 || home[0].hypot(home[1]) < 1e-9 || other[0].hypot(other[1]) < 1e-9 {
                        continue;
                    }
                    let names = [&link.name, &link.points[first].name, &link.points[second].name];
                    all.push(Arm {
                        names: names.map(Clone::clone),
                        length,
                        angle: turned(home, on).abs(),
                        apart: turned(out, other),
                    });
                }
            }
        }
        all
    }
}

/// From one direction round to another, the shorter way.
fn turned(from: [f64; 2], to: [f64; 2]) -> f64 {
    (from[0] * to[1] - from[1] * to[0]).atan2(from[0] * to[0] + from[1] * to[1])
}
