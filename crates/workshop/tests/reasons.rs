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
    let check = example_figure("valve spindle", "setup 2, 5: check").shown;
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

const PLATE: &str = "part = \"Plate\"\nunit = \"mm\"\nmaterial = \"mild steel\"\n\
    [body]\nkind = \"rectangle\"\nwidth = \"60\"\nheight = \"40\"\nthickness = \"8\"\ndatum = \"bottom left\"\n\
    [[feature]]\nname = \"way\"\nkind = \"slot\"\nwidth = \"8\"\ncentres = \"20\"\ndepth = \"5\"\n\
    place = [\"30 from left edge\", \"20 from bottom edge\"]\n";

const WHEELS: &str = "handwheel_pitch = \"2.5 mm\"\nhandwheel_divisions = 125\nbacklash = \"0.2 mm\"\n";

/// The rows of the plate on the ideal shop, with this said of the readout of its mill, and more of it.
fn plate_figures(readout: &str, more: &str) -> Vec<Figure> {
    let text = include_str!("benches/everything.toml");
    let start = text.find("[mill]\n").unwrap() + 7;
    let own: String = text[start..]
        .lines()
        .filter(|line| !line.starts_with("readout_step"))
        .fold(String::new(), |all, line| all + line + "\n");
    let text = format!("{}{readout}{more}{own}", &text[..start]);
    let bench = read_bench("bench.toml", &text).unwrap_or_else(|faults| panic!("{faults:?}"));
    plan(&read_drawing("plate", PLATE).unwrap(), &bench).unwrap().figures
}

/// Every pass is counted on a dial of 2 mm and 100 divisions, each deeper than the one before and the
/// last as deep as the row says; how many rows there are.
fn passes_on_the_dial(figures: &[Figure]) -> usize {
    let numbers = |text: &str| -> Vec<f64> {
        text.split(|c: char| !c.is_ascii_digit() && c != '.').filter_map(|word| word.parse().ok()).collect()
    };
    let mut counted = 0;
    for (n, figure) in figures.iter().enumerate().filter(|(_, figure)| figure.label() == "knee dial") {
        // `3, to 1 mm deep`, or `0.4 mm in one pass`.
        let said = numbers(figures[n - 1].shown.split(" in ").next().unwrap());
        let (count, deep) = if said.len() == 2 { (said[0] as usize, said[1]) } else { (1, said[0]) };
        let turned = figure.shown.split("; ").map(|one| {
            let found = numbers(one);
            let (turns, divisions) =
                if one.contains("turn") { (found[0], found[1]) } else { (0.0, found[0]) };
            2.0 * turns + 0.02 * divisions
        });
        let turned: Vec<f64> = turned.collect();
        assert_eq!(turned.len(), count, "{} and {}", figures[n - 1].shown, figure.shown);
        assert!(turned.windows(2).all(|pair| pair[0] < pair[1]), "{turned:?}");
        assert!((turned[count - 1] - deep).abs() < 0.0101, "{turned:?} {deep}");
        assert!(says(&figure.why, "wind the knee up"));
        counted += 1;
    }
    counted
}

#[test]
fn depths_that_no_readout_shows_are_counted_on_the_dial_that_sets_them() {
    let dial = "depth_by = \"knee\"\ndepth_pitch = \"2 mm\"\ndepth_divisions = 100\n";
    // A readout of X and Y has nothing to say of depths.
    for readout in [WHEELS, "readout_step = \"0.005 mm\"\n"] {
        assert!(passes_on_the_dial(&plate_figures(readout, dial)) > 1);
        assert_eq!(passes_on_the_dial(&plate_figures(readout, "")), 0);
    }
    for (bad, told) in
        [("depth_by = \"belt\"\ndepth_pitch = \"2 mm\"\n", "knee"), ("depth_divisions = 80\n", "depth_pitch")]
    {
        let text = format!("[mill]\n{bad}");
        let faults = read_bench("bench.toml", &text).unwrap_err();
        assert!(faults.iter().any(|fault| fault.to_string().contains(told)), "{faults:?}");
    }
}

/// A blank of 60 × 40 is sawn 62 × 42: a millimetre a side, the longer edge first, and the other
/// two from what is then over.
#[test]
fn edges_are_squared_from_the_longest_with_what_the_saw_left() {
    let figures = plate_figures(WHEELS, "");
    let named = |label: &str| {
        let found = figures.iter().find(|figure| figure.label().starts_with(label));
        found.unwrap_or_else(|| panic!("{label}"))
    };
    let first = named("first edge");
    assert!(first.label().ends_with("60 mm") && first.shown.starts_with("1 mm off"), "{first:?}");
    assert!(named("second edge").label().contains("standing"));
    assert!(named("over the blank").shown.starts_with("61 mm long, 41 mm high"));
}
