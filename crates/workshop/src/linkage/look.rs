//! What a page draws of a mechanism: positions over a turn and curves, all reckoned here.

use mechanism::{FRAME, Measure, PointId};

use super::Machine;
use super::run::Run;

/// Positions drawn over a turn.
const FRAMES: usize = 120;

/// A mechanism to be drawn and moved.
#[derive(Clone, Debug)]
pub struct Look {
    /// The crank's angle at each position, degrees.
    pub angles: Vec<f64>,
    /// Each link: its name and the numbers of its points.
    pub links: Vec<(String, Vec<usize>)>,
    /// Where each point stands at each position, millimetres.
    pub places: Vec<Vec<[f64; 2]>>,
    /// The names of the points.
    pub points: Vec<String>,
    /// Those that stand still.
    pub fixed: Vec<usize>,
    /// Centres of curved slots, which may lie far from their links.
    pub centres: Vec<usize>,
    /// Those that slide.
    pub sliding: Vec<usize>,
    /// Curves over the crank's angle.
    pub curves: Vec<Curve>,
}

/// A curve over the crank's angle.
#[derive(Clone, Debug)]
pub struct Curve {
    /// What is shown: `crosshead`.
    pub name: String,
    /// Of which kind: displacement, velocity or opening, with its unit.
    pub kind: &'static str,
    /// Degrees and value.
    pub along: Trace,
}

/// Degrees and values.
pub type Trace = Vec<[f64; 2]>;

/// What is drawn of one way round.
pub fn look(machine: &Machine, run: &Run) -> Look {
    let turn = &run.turn;
    let steps = turn.states.len();
    let degrees =
        |angle: f64| if turn.closed { angle.to_degrees().rem_euclid(360.0) } else { angle.to_degrees() };
    let mut shown: Vec<usize> = (0..FRAMES).map(|n| n * (steps - 1) / FRAMES).collect();
    shown.sort_by(|&a, &b| degrees(turn.states[a].angle).total_cmp(&degrees(turn.states[b].angle)));
    let mut points: Vec<PointId> = Vec::new();
    let mut links = Vec::new();
    for (at, link) in machine.of.links.iter().enumerate() {
        let own: Vec<usize> = (0..link.points.len())
            .map(|point| {
                points.push(PointId { link: mechanism::LinkId(at), point });
                points.len() - 1
            })
            .collect();
        if at != FRAME.0 {
            links.push((link.name.clone(), own));
        }
    }
    let places = shown
        .iter()
        .map(|&at| points.iter().map(|&point| turn.model.place(&turn.states[at], point)).collect())
        .collect();
    let of = |point: PointId| points.iter().position(|other| *other == point);
    let mut curves = Vec::new();
    for (name, point, line) in &machine.sliders {
        let along = turn.curve(&Measure::Along(*point, line.clone()));
        let trace = |value: fn(&mechanism::Reckoned) -> f64| -> Trace {
            in_order(along.iter().map(|one| [degrees(one.angle), value(one)]).collect())
        };
        curves.push(Curve { name: name.clone(), kind: "displacement, mm", along: trace(|one| one.value) });
        curves.push(Curve {
            name: name.clone(),
            kind: "velocity, mm per degree",
            along: trace(|one| one.first.to_radians()),
        });
    }
    for said in &machine.valves {
        for (end, name) in ["head end", "crank end"].into_iter().enumerate() {
            let valve = &said.valve;
            let lap = valve.ends[end].lap.value(&run.values);
            let port = valve.ends[end].port.value(&run.values);
            let along = turn.curve(&valve.towards(end));
            // The port lets no more through than its width.
            let open =
                along.iter().map(|one| [degrees(one.angle), (one.value - lap).clamp(0.0, port.max(0.0))]);
            curves.push(Curve {
                name: format!("{}, {name}", said.name),
                kind: "opening to steam, mm",
                along: in_order(open.collect()),
            });
        }
    }
    Look {
        angles: shown.iter().map(|&at| degrees(turn.states[at].angle)).collect(),
        places,
        fixed: points.iter().enumerate().filter(|(_, p)| p.link == FRAME).map(|(at, _)| at).collect(),
        centres: machine
            .of
            .joints
            .iter()
            .filter_map(|joint| match &joint.kind {
                mechanism::Kind::Arc { centre, .. } => of(*centre),
                _ => None,
            })
            .collect(),
        sliding: machine.sliders.iter().filter_map(|(_, point, _)| of(*point)).collect(),
        points: points.iter().map(|&point| machine.of.point_name(point)).collect(),
        links,
        curves,
    }
}

/// By the crank's angle, wherever the turn began.
fn in_order(mut along: Trace) -> Trace {
    along.sort_by(|a, b| a[0].total_cmp(&b[0]));
    along
}
