//! Holes beside the axis in the end of turned work: past a boss, in the floor of a recess,
//! and what is held for them; short work in a collet, and wide work off its bar.

use workshop::bench::{Bench, read_bench};
use workshop::drawing::{Part, read_drawing, solve};
use workshop::measure::Length;
use workshop::plan::{Plan, plan};
use workshop::problem::Problem;

fn told(faults: &[Problem]) -> String {
    faults.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n")
}

fn everything() -> Bench {
    let text = std::fs::read_to_string("tests/benches/everything.toml").unwrap();
    read_bench("everything", &text).unwrap_or_else(|faults| panic!("{}", told(&faults)))
}

fn part(features: &str) -> String {
    format!(
        "part = \"Cover\"\nunit = \"mm\"\nmaterial = \"brass\"\ngeneral_tolerance = \"coarse\"\n[body]\nkind = \"turned\"\n{features}"
    )
}

fn tried(features: &str, bench: &Bench) -> Result<Plan, String> {
    let drawing = read_drawing("part.toml", &part(features)).map_err(|faults| told(&faults))?;
    plan(&drawing, bench).map_err(|faults| told(&faults))
}

fn section(name: &str, diameter: &str, length: &str) -> String {
    format!(
        "[[feature]]\nname = \"{name}\"\nkind = \"section\"\ndiameter = \"{diameter}\"\nlength = \"{length}\"\n"
    )
}

fn circle(face: &str, across: &str) -> String {
    format!(
        "[[feature]]\nname = \"bolts\"\nkind = \"pitch circle\"\nface = \"{face}\"\nholes = 6\npitch_circle = \"{across}\"\ndiameter = \"3\"\n"
    )
}

/// A spigot, a flange and a boss: the bolt circle stands clear of both ends.
fn cover(face: &str, across: &str) -> String {
    [
        section("spigot", "28", "2.5"),
        section("flange", "45", "4"),
        section("boss", "16", "11"),
        circle(face, across),
    ]
    .concat()
}

fn depths(made: &Plan, what: &str) -> Vec<String> {
    let rows = made.setups.iter().flat_map(|setup| &setup.rows).filter(|row| row.what.contains(what));
    rows.flat_map(|row| row.depth.iter().map(|figure| figure.shown.clone())).collect()
}

/// By hand: the flange is 4 thick whatever stands beside the hole, and the point of a 3 mm drill
/// is 0.9 long: 4.9 from the shoulder, whichever side it is drilled from.
#[test]
fn a_bolt_circle_begins_on_the_flange_behind_a_boss() {
    for face in ["left", "right"] {
        let made = tried(&cover(face, "36"), &everything()).unwrap_or_else(|fault| panic!("{face}: {fault}"));
        assert_eq!(depths(&made, "drill bolts"), ["through: 4.9 mm from the shoulder"], "{face}");
    }
}

/// A hole that would cut into the boss, or miss the metal, is a fault still.
#[test]
fn a_hole_that_touches_the_boss_is_a_fault() {
    for (across, words) in
        [("18", "breaks out of `boss`"), ("30", "comes out along the side of `spigot`"), ("60", "breaks out")]
    {
        let fault = tried(&cover("right", across), &everything()).expect_err(across);
        assert!(fault.contains(words), "{across}: {fault}");
    }
}

/// By hand: a rim 22 long with a dish 7 deep in both sides leaves a web of 8.
#[test]
fn a_hole_in_a_web_goes_through_the_web() {
    let dish = |name: &str, face: &str| {
        format!(
            "[[feature]]\nname = \"{name}\"\nkind = \"recess\"\nface = \"{face}\"\ndiameter = \"60\"\nhub = \"20\"\ndepth = \"7\"\n"
        )
    };
    let wheel = [
        section("rim", "80", "22"),
        dish("front dish", "right"),
        dish("back dish", "left"),
        circle("right", "40"),
    ];
    let made = tried(&wheel.concat(), &everything()).unwrap_or_else(|fault| panic!("{fault}"));
    assert_eq!(depths(&made, "drill bolts"), ["through: 8.9 mm from the floor of the recess"]);
    let drawing = read_drawing("part.toml", &part(&wheel.concat())).unwrap();
    let solved = solve(&drawing).unwrap();
    let drawn = Part::as_drawn(&drawing, &solved);
    let (hole, _) = drawn.features().find(|(_, feature)| feature.name == "bolts 1").unwrap();
    assert_eq!(drawn.end_depth(hole, workshop::drawing::Depth::Through), Length::mm(8));
    assert_eq!(drawn.end_start(hole).0, Length::mm(7));
}

/// A tail of 4 by 5 mm is too short for hard jaws, and a collet of its size closes on it.
#[test]
fn a_short_tail_is_held_in_a_collet_of_its_size() {
    let nipple = [
        section("tail", "4", "5"),
        section("collar", "6", "3"),
        "[[feature]]\nname = \"way\"\nkind = \"hole\"\nface = \"right\"\ndiameter = \"2\"\ndepth = \"4\"\n"
            .into(),
    ]
    .concat();
    let mut bench = everything();
    bench.collets = vec![Length::mm(4)];
    let made = tried(&nipple, &bench).unwrap_or_else(|fault| panic!("{fault}"));
    assert!(made.setups.iter().any(|setup| setup.title.contains("in a collet by tail")));
    bench.collets.clear();
    let fault = tried(&nipple, &bench).expect_err("hard jaws would not hold it");
    assert!(fault.contains("3 mm in a collet of its size"), "{fault}");
}

/// A parting tool does not go 40 mm into a bar: it is sawn off, at no spindle speed.
#[test]
fn a_wide_bar_is_sawn_and_not_parted() {
    for (diameter, sawn) in [("80", true), ("30", false)] {
        let made =
            tried(&section("rim", diameter, "22"), &everything()).unwrap_or_else(|fault| panic!("{fault}"));
        let rows: Vec<_> = made.setups.iter().flat_map(|setup| &setup.rows).collect();
        let saw = rows.iter().find(|row| row.what.contains("saw off the bar"));
        assert_eq!(saw.is_some(), sawn, "{diameter}");
        assert_eq!(rows.iter().any(|row| row.what.contains("part off")), !sawn, "{diameter}");
        assert!(saw.is_none_or(|row| row.speed.is_none() && !row.sets.is_empty()));
    }
}

/// What is said of a vice stands only where a vice is.
#[test]
fn no_vice_is_spoken_of_where_a_chuck_holds() {
    let made = tried(&cover("right", "36"), &everything()).unwrap_or_else(|fault| panic!("{fault}"));
    let drilled = made.setups.iter().find(|setup| setup.title.contains("on end")).expect("the bolt holes");
    assert!(drilled.cautions.iter().any(|words| words.contains("Pull on the work")));
    assert!(!drilled.cautions.iter().any(|words| words.contains("vice")), "{:?}", drilled.cautions);
}

/// Common practice: what runs true to a bore is turned in the holding the bore is finished in,
/// whichever end the drawing shows the bore from, where that costs nothing.
#[test]
fn a_bore_is_finished_where_the_outside_is_turned() {
    for (face, sections) in [
        ("right", [section("spigot", "28", "7"), section("flange", "42", "4")]),
        ("left", [section("spigot", "28", "7"), section("flange", "42", "4")]),
        ("right", [section("flange", "42", "10"), section("boss", "19", "8")]),
        ("left", [section("flange", "42", "10"), section("boss", "19", "8")]),
    ] {
        let bore = format!(
            "[[feature]]\nname = \"bore\"\nkind = \"hole\"\nface = \"{face}\"\ndiameter = \"12\"\nfinish = \"bored\"\n"
        );
        let text = [sections.concat(), bore].concat();
        let made = tried(&text, &everything()).unwrap_or_else(|fault| panic!("{fault}"));
        let at = |what: &str| {
            made.order.steps.iter().rfind(|step| step.text.contains(what)).map(|step| step.setup)
        };
        let (bored, turned) = (at("bore 12"), at("turn flange"));
        assert!(bored.is_some() && bored == turned, "{text}: {bored:?} {turned:?}");
    }
}
