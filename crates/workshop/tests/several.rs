//! One, two, three and six of every trial part, on every bench: every piece gets every cut, what
//! lies side by side goes in the vice and is read from one nought, and making several together
//! never takes more than making them one by one.

#[allow(dead_code)]
#[path = "road/parts.rs"]
mod parts;

use std::collections::BTreeMap;

use parts::{BENCHES, PARTS};
use workshop::bench::{Bench, read_bench};
use workshop::drawing::{Body, Drawing, read_drawing};
use workshop::measure::Length;
use workshop::order::{Held, Holding, OrderOfWork, Pieces, Work};
use workshop::plan::{Plan, plan};

const WANTED: [u32; 4] = [1, 2, 3, 6];

/// What orders are judged by, setups first.
fn uses(order: &OrderOfWork) -> [u64; 4] {
    let uses = order.uses;
    [uses.setups, uses.tool_changes, uses.aids, uses.minutes]
}

/// Every part that is no turned one on a bench, with so many wanted.
fn planned(file: &str, bench: &Bench, each: &mut dyn FnMut(&str, u32, &Drawing, &Plan)) {
    for (part, text) in PARTS {
        let drawing = read_drawing(part, text).unwrap_or_else(|faults| panic!("{part}: {faults:?}"));
        if matches!(drawing.body, Body::Turned { .. }) {
            continue;
        }
        let mut known: Option<bool> = None;
        for make in WANTED {
            let drawing = Drawing { make, ..drawing.clone() };

            let found = plan(&drawing, bench);

            // How many are wanted decides nothing about whether it can be made.
            assert_eq!(
                *known.get_or_insert(found.is_ok()),
                found.is_ok(),
                "{part} on {file}, {make} of them"
            );
            if let Ok(plan) = found {
                each(part, make, &drawing, &plan);
            }
        }
    }
}

/// How often each thing is done, counted by pieces: each hand by itself, or all of them.
fn done_to(order: &OrderOfWork) -> BTreeMap<String, u32> {
    let mut counted: BTreeMap<String, u32> = BTreeMap::new();
    for step in &order.steps {
        let bare = step.text.replace(" (right hand)", "").replace(" (left hand)", "");
        *counted.entry(bare).or_default() += order.pieces_at(step);
    }
    counted
}

fn check_rows(told: &str, holding: &Holding, plan: &Plan, at: usize, bench: &Bench, cuts: &mut usize) {
    let Some(lots) = holding.pieces.lots().filter(|lots| lots.beside > 1) else { return };
    let sheet = &plan.setups[at];
    let clear = bench.edge_finder + Length::mm(2);
    let step_mm = bench.mill.readout.step().as_mm();
    assert!(lots.gap >= clear, "{told}: the finder does not go in between");
    let value = |shown: &str| shown.trim_end_matches(" mm").replace('−', "-").parse::<f64>().ok();
    for row in &sheet.rows {
        let own = row.sets.iter().find(|figure| figure.label() == "X");
        let Some(own) = own.and_then(|figure| value(&figure.shown)) else { continue };
        for piece in 2..=lots.beside {
            let label = format!("X, piece {piece}");
            let other = row.sets.iter().find(|figure| figure.label() == label);
            if let Some(other) = other.and_then(|figure| value(&figure.shown)) {
                // Whole millimetres from datum to datum, or to the next step that the finder is set to;
                // each of the two is rounded by half a step. Further than the gap.
                let apart = other - own;
                let alike = !matches!(holding.pieces, Pieces::Both(_));
                let off = (apart - apart.round()).abs();
                assert!(!alike || off < 2.0 * step_mm + 0.001, "{told}: {own} and {other}");
                assert!(apart > lots.gap.as_mm(), "{told}: {own} and {other}");
                *cuts += 1;
            } else if !matches!(holding.pieces, Pieces::Both(_)) {
                panic!("{told}: {} says nothing of piece {piece}", row.what);
            }
        }
    }
    // The picture has as many marks of the first row's number as pieces are cut by it.
    let cut_by = if matches!(holding.pieces, Pieces::Both(_)) { lots.beside / 2 } else { lots.beside };
    let marks = sheet.scene.marks.iter().filter(|mark| mark.number == 1).count();
    assert_eq!(marks % cut_by as usize, 0, "{told}: {marks} marks");
    if matches!(holding.held, Held::ViceOnParallels | Held::ViceOnEdge) {
        let reads = |segments: &[workshop::geometry::Segment]| {
            let ends = segments.iter().flat_map(|s| [s.start().x_mm, s.end().x_mm]);
            ends.fold((f64::MAX, f64::MIN), |(low, high), x| (low.min(x), high.max(x)))
        };
        let (low, high) = reads(&sheet.scene.outline);
        // Each gap was made a whole number of millimetres, to the next step.
        let spare = f64::from(lots.beside - 1) * (1.0 + step_mm);
        assert!(high - low <= bench.mill.vice_width().as_mm() + spare, "{told}: {low} to {high} in the jaws");
    }
}

#[test]
fn every_piece_of_any_number_gets_every_cut_and_several_cost_no_more_than_one_by_one() {
    // On both cores: every other bench on each.
    let [even, odd] = std::thread::scope(|scope| {
        [0, 1].map(|first| scope.spawn(move || counted(first))).map(|half| half.join().unwrap())
    });
    let [plans, stacked, beside, cuts] = [0, 1, 2, 3].map(|at| even[at] + odd[at]);
    assert!(plans > 150 && stacked > 20 && beside > 20 && cuts > 40, "{plans} {stacked} {beside} {cuts}");
}

/// Plans, stacks, rows side by side and cuts read from one nought, on every other bench.
fn counted(first: usize) -> [usize; 4] {
    let (mut plans, mut stacked, mut beside, mut cuts) = (0, 0, 0, 0);
    for (file, text) in BENCHES.iter().skip(first).step_by(2) {
        let bench = read_bench(file, text).unwrap_or_else(|faults| panic!("{file}: {faults:?}"));
        let mut one: Option<[u64; 4]> = None;
        planned(file, &bench, &mut |part, make, drawing, plan| {
            let told = format!("{make} of {part} on {file}");
            let order = &plan.order;
            let all = make * drawing.hands.len() as u32;
            plans += 1;
            assert_eq!(order.times, 1, "{told}");
            for (what, pieces) in done_to(order) {
                assert_eq!(pieces % all, 0, "{told}: {what} is done to {pieces}");
            }
            for (at, holding) in order.setups.iter().enumerate() {
                stacked += usize::from(holding.pieces.high() > 2);
                beside += usize::from(holding.pieces.beside() > 1);
                check_rows(&told, holding, plan, at, &bench, &mut cuts);
            }
            for step in order.steps.iter().filter(|step| step.work == Work::Slit) {
                // The arbor of the saw would meet the next piece.
                assert_eq!(order.setups[step.setup].pieces.beside(), 1, "{told}: {}", step.text);
            }
            let parted = order.steps.iter().filter(|step| step.work == Work::Part).count();
            let stuck = order.steps.iter().filter(|step| step.work == Work::Stick).count();
            assert_eq!(parted, stuck, "{told}");
            let own = uses(order);
            match (make, one) {
                (1, _) => one = Some(own),
                (_, Some([setups, ..])) => {
                    assert!(own[0] <= setups * u64::from(make), "{told}: {own:?} against {setups}");
                }
                _ => {}
            }
        });
    }
    [plans, stacked, beside, cuts]
}

/// The touch on a further piece is a whole number of divisions, so that it is set where its rows suppose
/// it; and where both hands lie there, which of them it is stands beside it and in what lies there.
#[test]
fn a_further_piece_is_touched_at_a_whole_division_and_named_with_its_hand() {
    let walk = |part: &str, text: &str, bench: &Bench| {
        plan(&Drawing { make: 2, ..read_drawing(part, text).unwrap() }, bench).unwrap()
    };
    let (file, text) = BENCHES.iter().find(|(bench, _)| *bench == "inch-handwheels").unwrap();
    let bench = read_bench(file, text).unwrap();
    let mut touched = 0;
    for part in ["flatted-cam", "fork", "cast-block", "valve-chest-block"] {
        let (_, text) = PARTS.iter().find(|(name, _)| *name == part).unwrap();
        for sheet in &walk(part, text, &bench).setups {
            for figure in sheet.presets.iter().filter(|figure| figure.label().contains("edge of piece")) {
                let why = format!("{:?}", figure.why);
                assert!(!why.contains("rounded"), "{part}: {why}");
                touched += 1;
            }
        }
    }
    assert!(touched > 3, "{touched}");
    let plan = walk("curved-link", include_str!("parts/curved-link.toml"), &bench);
    let both = plan.setups.iter().find(|sheet| sheet.hands.contains("by turns")).unwrap();
    assert!(both.hands.starts_with("the right hand and the left hand by turns"), "{}", both.hands);
    let labels: Vec<&str> = both.presets.iter().map(|figure| figure.label()).collect();
    assert!(labels.contains(&"X touching the right edge of piece 2, the left hand"), "{labels:?}");
}
