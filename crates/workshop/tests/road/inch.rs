//! A shed in which everything is marked in inches: whatever is set, measured or laid out there is told so.

use workshop::bench::{Bench, read_bench};
use workshop::plan::{Plan, plan};
use workshop::sheet::Row;
use workshop::why::Figure;

use super::parts::{PARTS, drawing};

const SHED: &str = include_str!("../benches/inch-shed.toml");

/// Milled, turned, cast, round and filed, with every kind of row.
const TRIED: [&str; 24] = [
    "angle-bracket",
    "back-crank",
    "bearing-cap",
    "bell-crank",
    "bush",
    "cylinder-cover",
    "eccentric-sheave",
    "flatted-cam",
    "flatted-spindle",
    "fork",
    "gear-cover",
    "gland",
    "long-link",
    "pocket-plate",
    "pump-bracket",
    "rebated-block",
    "slit-down",
    "slotted-plate",
    "square-plug",
    "stepped-roller",
    "stop-lever",
    "turned-crank",
    "valve-lever",
    "valve-spindle",
];

/// What is neither set nor measured nor laid out: how near the gear for a metric thread comes.
const TOLD_ONLY: [&str; 5] = ["pitch cut", "error", "gear", "wheel", "simpler"];

fn shed(depths: bool) -> Bench {
    let lines = SHED.lines().filter(|line| depths || !line.starts_with("depth_"));
    let text: Vec<&str> = lines.collect();
    read_bench("bench.toml", &text.join("\n")).unwrap_or_else(|faults| panic!("{faults:?}"))
}

fn planned(name: &str, bench: &Bench) -> Option<Plan> {
    plan(&drawing(name), bench).ok()
}

fn figures(row: &Row) -> impl Iterator<Item = &Figure> {
    row.sets.iter().chain(&row.depth).chain(&row.check)
}

/// Whether a figure names a length in millimetres and none in inches or by a dial.
fn in_millimetres(figure: &Figure) -> bool {
    let shown = &figure.shown;
    let otherwise = [" in", "in)", "division", "turn"].iter().any(|mark| shown.contains(mark));
    shown.contains(" mm") && !otherwise && !TOLD_ONLY.iter().any(|label| figure.label().contains(label))
}

#[test]
fn whatever_is_set_or_measured_in_an_inch_shed_is_told_in_inches() {
    assert!(TRIED.iter().all(|name| PARTS.iter().any(|(part, _)| part == name)));
    let mut in_mm = Vec::new();
    let mut walked = 0;
    for depths in [true, false] {
        let bench = shed(depths);
        for name in TRIED {
            let Some(made) = planned(name, &bench) else { continue };
            walked += 1;
            for setup in &made.setups {
                let rows = setup
                    .rows
                    .iter()
                    .flat_map(|row| figures(row).map(move |figure| (row.what.as_str(), figure)));
                let once = setup.presets.iter().map(|figure| ("set once", figure));
                let told = rows.chain(once).filter(|(_, figure)| in_millimetres(figure));
                in_mm.extend(
                    told.map(|(what, figure)| {
                        format!("{name}, {what}: {}: {}", figure.label(), figure.shown)
                    }),
                );
            }
        }
    }
    assert!(walked >= 30, "{walked} have a plan");
    assert!(in_mm.is_empty(), "{} in millimetres:\n{}", in_mm.len(), in_mm.join("\n"));
}

/// Ten threads to the inch and a hundred divisions: a thousandth each. A side cut of 0.125 in at most is a
/// turn and 25; what is left of a pocket for the last cut, 0.2 mm or 7.87 thousandths, no less than 8.
#[test]
fn what_a_slide_moves_is_counted_on_its_handwheel() {
    let bench = shed(true);
    let told = |name: &str, label: &str| -> Vec<String> {
        let made = planned(name, &bench).expect("it has a plan");
        let rows = made.setups.iter().flat_map(|setup| &setup.rows);
        let found = rows.flat_map(figures).filter(|figure| figure.label().ends_with(label));
        found.map(|figure| figure.shown.clone()).collect()
    };
    assert!(told("pocket-plate", "rough to").contains(&"8 divisions inside these".to_owned()));
    let at_a_time = told("rebated-block", "at a time");
    assert!(
        !at_a_time.is_empty() && at_a_time.iter().all(|at| at == "1 turn and 25 divisions at most"),
        "{at_a_time:?}"
    );
    // Twenty threads to the inch and fifty divisions: as fine, and twice the turns.
    let twenty = SHED.replace("handwheel_pitch = \"0.1 in\"", "handwheel_pitch = \"1/20 in\"");
    let twenty = twenty.replace("handwheel_divisions = 100", "handwheel_divisions = 50");
    let twenty = read_bench("bench.toml", &twenty).expect("it reads");
    let made = planned("rebated-block", &twenty).expect("it has a plan");
    let all = made.setups.iter().flat_map(|setup| setup.rows.iter().flat_map(figures));
    assert!(all.into_iter().any(|figure| figure.shown == "2 turns and 25 divisions at most"));
    for name in TRIED {
        let Some(made) = planned(name, &bench) else { continue };
        let all = made
            .setups
            .iter()
            .flat_map(|setup| setup.presets.iter().chain(setup.rows.iter().flat_map(figures)));
        for figure in all {
            assert!(!figure.shown.contains(" 0 divisions"), "{name}: {}: {}", figure.label(), figure.shown);
        }
    }
}

/// Plate and bar are called as they were bought.
#[test]
fn inch_stock_is_called_in_inches() {
    let made = planned("bell-crank", &shed(true)).expect("it has a plan");
    assert!(made.cover.material.shown.contains("flat 2 in × 1/4 in"), "{}", made.cover.material.shown);
}
