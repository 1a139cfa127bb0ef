//! Prints made-up mechanisms with their positions and derivatives, or times them.
//!
//! `mechanism_positions COUNT` prints one line of JSON for each mechanism: its description
//! in numbers and sums of parameters, and at some angles of the drive every link's pose with
//! its first and second rates, and how each pose changes with each parameter of the smaller
//! ones. `mechanism_positions --time NAME COUNT` prints how many positions a second are
//! solved of `four-bar`, `gear` or a number of links. `--crosshead CRANK ROD OFFSET ANGLE`
//! prints where a crosshead stands and how that changes with the three sizes.

#[path = "../tests/made/mod.rs"]
mod made;

use std::f64::consts::TAU;
use std::fmt::Write;
use std::time::Instant;

use made::generated::generated;
use mechanism::{Assembly, At, Drive, FRAME, Kind, Line, LinkId, Measure, Mechanism, Model, Moment, PointId};
use mechanism::{Reading, Size, State, Turn};

fn main() {
    let words: Vec<String> = std::env::args().skip(1).collect();
    match words.iter().map(String::as_str).collect::<Vec<_>>()[..] {
        ["--time", name, count] => timed(name, count.parse().expect("a number of positions")),
        ["--crosshead", r, l, h, a] => {
            crosshead([r, l, h, a].map(|word| word.parse().expect("a number")));
        }
        [count] => (0..count.parse().expect("a number of mechanisms")).for_each(one),
        _ => eprintln!("mechanism_positions COUNT | --time NAME COUNT | --crosshead CRANK ROD OFFSET ANGLE"),
    }
}

fn crosshead([r, l, h, a]: [f64; 4]) {
    let made = made::slider_crank(r, l, h);
    let model = Model::new(&made.of).expect("it is whole");
    let rough = vec![(made.small_end, [r * a.cos() + l, h])];
    let state = model.assemble(a, &Assembly::Rough(rough)).expect("it goes together");
    let turn = model.turn(&state, mechanism::Span::TURN);
    let along = Measure::Along(made.small_end, Line::At(made.axle, 0.0.into()));
    let reading = Reading::Value(along, Moment::At(a.into()));
    let read = turn.judge().and_then(|judge| judge.read(&reading)).expect("it is there");
    println!("{{\"value\":{:?},\"by\":{:?}}}", read.value, read.by);
}

/// A mechanism by name, at the start of its turn.
fn named(name: &str) -> (Model, State) {
    match name {
        "four-bar" => {
            let made = made::four_bar(20.0, 70.0, 50.0, 80.0);
            let model = Model::new(&made.of).expect("it is whole");
            let state = model.modes(0.0).expect("it goes together").swap_remove(0);
            (model, state)
        }
        "gear" => {
            let gear = made::link_motion(true, 0.2);
            let model = Model::new(&gear.engine.of).expect("it is whole");
            let state = model.assemble(0.0, &Assembly::Rough(gear.rough)).expect("it goes together");
            (model, state)
        }
        links => {
            let made = generated(7, links.parse().expect("a name or a number of links"));
            (Model::new(&made.of).expect("it is whole"), made.start)
        }
    }
}

fn timed(name: &str, count: usize) {
    let (model, mut state) = named(name);
    let start = state.angle;
    let mut sum = 0.0;
    // The best of short bursts: other work on the machine slows some of them.
    let burst = count.clamp(1, 20_000);
    let mut best = f64::INFINITY;
    for _ in 0..count.div_ceil(burst) {
        let began = Instant::now();
        for i in 0..burst {
            model.go(&mut state, start + TAU * (i % 720) as f64 / 720.0).expect("it goes round");
            sum += model.pose(&state, LinkId(model.mechanism().links.len() - 1)).t;
        }
        best = best.min(began.elapsed().as_secs_f64());
    }
    assert!(model.error(&state) < 1e-9 && sum.is_finite());
    println!("{{\"name\":\"{name}\",\"per_second\":{:.0}}}", burst as f64 / best);
}

fn one(number: usize) {
    let links = [3, 4, 5, 7, 9, 12, 15, 20, 30, 50][number % 10];
    let made = generated(number as u64, links);
    let mut line = String::from("{");
    describe(&made.of, &mut line);
    line.push_str(",\"positions\":[");
    for i in 0..8 {
        let angle = made.start.angle + TAU * f64::from(i) / 8.0;
        let state = made.turn.at(angle).expect("it goes round");
        let motion = made.turn.model.motion(&state).expect("nothing is in line");
        let poses: Vec<_> = (0..made.of.links.len())
            .map(|l| {
                let p = made.turn.model.pose(&state, LinkId(l));
                [p.x, p.y, p.t]
            })
            .collect();
        let comma = if i > 0 { "," } else { "" };
        let _ = write!(
            line,
            "{comma}{{\"angle\":{:?},\"poses\":{poses:?},\"first\":{:?},\"second\":{:?}}}",
            state.angle, motion.first, motion.second
        );
    }
    line.push(']');
    if links <= 7 {
        by_params(&made.of, &made.turn, &mut line);
    }
    println!("{line}}}");
}

/// How the last link's last point and angle change with every parameter, at one angle.
fn by_params(of: &Mechanism, turn: &Turn, line: &mut String) {
    let link = LinkId(of.links.len() - 1);
    let point = PointId { link, point: of.links[link.0].points.len() - 1 };
    let axle = PointId { link: FRAME, point: 0 };
    let along = |way: f64| Measure::Along(point, Line::At(axle, way.into()));
    let angle = turn.states[0].angle + 1.0;
    let judge = turn.judge().expect("sizes are in order");
    let rows: Vec<_> = [along(0.0), along(TAU / 4.0), Measure::Turned(link, FRAME)]
        .into_iter()
        .map(|what| judge.read(&Reading::Value(what, Moment::At(angle.into()))).expect("it is there"))
        .collect();
    let (values, by): (Vec<f64>, Vec<Vec<f64>>) = rows.into_iter().map(|r| (r.value, r.by)).unzip();
    let at = turn.at(angle).expect("it goes round");
    let poses: Vec<_> = (0..of.links.len())
        .map(|l| {
            let p = turn.model.pose(&at, LinkId(l));
            [p.x, p.y, p.t]
        })
        .collect();
    let _ = write!(
        line,
        ",\"by\":{{\"angle\":{angle:?},\"link\":{},\"point\":{},\"values\":{values:?},\"by\":{by:?},\"poses\":{poses:?}}}",
        link.0, point.point
    );
}

fn size(size: &Size) -> String {
    let terms: Vec<_> = size.terms.iter().map(|(p, by)| format!("[{},{by:?}]", p.0)).collect();
    format!("{{\"terms\":[{}],\"plus\":{:?}}}", terms.join(","), size.plus)
}

fn point(p: PointId) -> String {
    format!("[{},{}]", p.link.0, p.point)
}

fn describe(of: &Mechanism, line: &mut String) {
    let points = |link: &mechanism::Link| {
        let all = link.points.iter().map(|p| match &p.at {
            At::Square { from: None, x, y } => format!("[{},{}]", size(x), size(y)),
            other => unreachable!("none of these is made: {other:?}"),
        });
        format!("[{}]", all.collect::<Vec<_>>().join(","))
    };
    let joints = of.joints.iter().map(|joint| match &joint.kind {
        Kind::Pin(a, b) => format!("{{\"pin\":[{},{}]}}", point(*a), point(*b)),
        Kind::Slot(p, Line::At(o, angle)) => {
            format!("{{\"slot\":[{},{}],\"angle\":{}}}", point(*p), point(*o), size(angle))
        }
        Kind::Arc { point: p, centre, radius } => {
            format!("{{\"arc\":[{},{}],\"radius\":{}}}", point(*p), point(*centre), size(radius))
        }
        Kind::Keep { link, on, angle } => {
            let one = size(&1.0.into());
            format!("{{\"turn\":[{},{},0],\"ratio\":{one},\"phase\":{}}}", link.0, on.0, size(angle))
        }
        Kind::Gear { link, by, carrier, ratio, phase } => format!(
            "{{\"turn\":[{},{},{}],\"ratio\":{},\"phase\":{}}}",
            link.0,
            by.0,
            carrier.0,
            size(ratio),
            size(phase)
        ),
        other => unreachable!("none of these is made: {other:?}"),
    });
    let Some(Drive::Turn { link, on, zero, way: _ }) = &of.drive else { unreachable!("all are turned") };
    let _ = write!(
        line,
        "\"params\":{:?},\"links\":[{}],\"joints\":[{}],\"drive\":{{\"link\":{},\"on\":{},\"zero\":{}}}",
        of.values(),
        of.links.iter().map(points).collect::<Vec<_>>().join(","),
        joints.collect::<Vec<_>>().join(","),
        link.0,
        on.0,
        size(zero)
    );
}
