//! What a sheet sets leads back to the drawing, and counts from what is there.

use workshop::bench::read_bench;
use workshop::drawing::read_drawing;
use workshop::plan::plan;
use workshop::why::{Figure, Why};

/// A figure of one of the examples on the boathouse bench, by the end of its name.
fn example_figure(part: &str, name: &str) -> Figure {
    let bench = read_bench("bench.toml", include_str!("../../../examples/kittiwake/bench.toml")).unwrap();
    let text = match part {
        "valve lever" => include_str!("../../../examples/kittiwake/parts/valve-lever.toml"),
        "valve spindle" => include_str!("../../../examples/kittiwake/parts/valve-spindle.toml"),
        _ => include_str!("../../../examples/kittiwake/parts/pump-bracket.toml"),
    };
    let plan = plan(&read_drawing(part, text).unwrap(), &bench).unwrap();
    let figure = plan.figures.iter().find(|figure| figure.name == name);
    figure.unwrap_or_else(|| panic!("{part} has no `{name}`")).clone()
}

/// True when a statement stands anywhere in a chain.
fn says(why: &Why, words: &str) -> bool {
    why.statement.contains(words) || why.because.iter().any(|reason| says(reason, words))
}

#[test]
fn what_is_set_leads_back_to_the_drawing() {
    for (part, name, drawn) in [
        ("valve lever", "setup 4, 1: offset from the table centre", "`7/16` on the drawing"),
        ("valve lever", "setup 3, 5: X", "`17/32` on the drawing"),
        ("valve lever", "setup 3, 5: X", "the drawing's datum itself reads 13 mm there"),
        ("valve lever", "setup 3, 5: depth", "`3/8` on the drawing"),
        ("valve lever", "setup 7, 3: depth", "`3/16` on the drawing"),
        ("pump bracket", "setup 4, 1: depth", "`1/2` on the drawing"),
        ("pump bracket", "setup 5, 1: Y", "the drawing's datum itself reads"),
    ] {
        let figure = example_figure(part, name);
        assert!(says(&figure.why, drawn), "{part}, {name}: {drawn} in {:#?}", figure.why);
    }
}

#[test]
fn behind_a_step_that_is_cut_depths_count_from_it() {
    // The step leaves 4.75 mm; a 1.7 mm drill's point of 118° is 0.51 mm long.
    assert_eq!(example_figure("valve lever", "setup 7, 2: depth").shown, "through: 5.3 mm from the step");
    assert_eq!(example_figure("valve lever", "setup 7, 3: depth").shown, "through 4.75 mm");
    // Before the step is cut the pair is whole there, 20 mm.
    assert_eq!(example_figure("valve lever", "setup 3, 5: depth").shown, "through: 20.7 mm from the face");
}

#[test]
fn a_turned_fit_is_gauged_against_its_hole() {
    let check = example_figure("valve spindle", "setup 2, 3: check").shown;
    assert!(
        check.starts_with("⌀ 6 mm, then ") && check.ends_with(" smaller than spindle guide bush"),
        "{check}"
    );
}

#[test]
fn parting_turns_at_half_the_speed_that_turning_has() {
    let revs = |name| -> u32 {
        let shown = example_figure("valve spindle", name).shown;
        shown.split(' ').next().unwrap().parse().unwrap()
    };
    assert!(revs("setup 1, 4: speed") * 2 <= revs("setup 1, 1: speed") + 100);
    assert_eq!(revs("setup 1, 4: speed"), 320);
}
