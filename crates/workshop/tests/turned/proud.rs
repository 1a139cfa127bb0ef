//! Recesses round a boss that stands proud of its rim: their depth counts from the shoulder behind it.

use super::*;
use std::f64::consts::PI;
use workshop::drawing::solid::weigh;

/// A wheel hollow on both sides, its boss 3 and 4 proud of a rim of 120 by 24.
const WHEEL: &str = r#"
part = "Hollow wheel"
unit = "mm"
material = "cast iron"
[body]
kind = "turned"
[[feature]]
name = "back boss"
kind = "section"
diameter = "30"
length = "3"
[[feature]]
name = "rim"
kind = "section"
diameter = "120"
length = "24"
[[feature]]
name = "front boss"
kind = "section"
diameter = "30"
length = "4"
[[feature]]
name = "bore"
kind = "hole"
face = "right"
diameter = "10"
finish = "reamed"
[[feature]]
name = "back hollow"
kind = "recess"
face = "left"
diameter = "100"
hub = "30"
depth = "6"
[[feature]]
name = "front hollow"
kind = "recess"
face = "right"
diameter = "100"
hub = "30"
depth = "7"
"#;

/// π/4 (120² × 24 + 30² × 7 − (100² − 30²) × 13 − 10² × 31) is what is left, whichever way it is found.
#[test]
fn what_is_left_of_a_hollow_wheel_is_its_volume() {
    let drawing = read(WHEEL);
    let solved = solve(&drawing).unwrap_or_else(|faults| panic!("{}", told(&faults)));
    let part = Part::as_drawn(&drawing, &solved);
    let left_mm3 = PI / 4.0
        * (120.0_f64.powi(2) * 24.0 + 900.0 * 7.0 - (100.0_f64.powi(2) - 900.0) * 13.0 - 100.0 * 31.0);
    let weight = weigh(&part).unwrap();
    assert!((weight.part.mm3 / left_mm3 - 1.0).abs() < 1e-4, "{} and {left_mm3}", weight.part.mm3);
}

/// The web that is left is 11; floors are told from the end that the carriage is set by.
#[test]
fn a_hollow_wheel_is_turned_from_both_ends() {
    let made = planned(WHEEL, "everything");
    for (start, depth) in [
        ("recess back hollow", "from the shoulder behind back boss: its floor 9 mm from the end"),
        ("recess front hollow", "from the shoulder behind front boss: its floor 11 mm from the end"),
    ] {
        let told = shown(row(&made, start), "depth");
        assert!(told.contains(depth), "{told}");
    }
    // The bosses are turned before the hollow round them is cut.
    let what: Vec<&str> = made.setups.iter().flat_map(|s| &s.rows).map(|r| r.what.as_str()).collect();
    let at = |start: &str| what.iter().position(|w| w.starts_with(start)).unwrap();
    assert!(at("turn front boss") < at("recess front hollow"), "{what:?}");
}

/// A boss as wide as its hub stays flush with it in whatever size it is made.
#[test]
fn hub_and_boss_stay_one_round() {
    let odd = WHEEL.replace("unit = \"mm\"", "unit = \"inch\"");
    let sizes = [
        ("\"30\"", "\"1 7/32\""),
        ("\"120\"", "\"4 3/4\""),
        ("\"100\"", "\"3 29/32\""),
        ("\"24\"", "\"15/16\""),
        ("\"10\"", "\"3/8\""),
        ("\"3\"", "\"1/8\""),
        ("\"4\"", "\"5/32\""),
        ("\"6\"", "\"1/4\""),
        ("\"7\"", "\"9/32\""),
    ];
    let odd = sizes.iter().fold(odd, |text, (mm, inch)| text.replace(mm, inch));
    let made = planned(&odd, "everything");
    let flush = |boss: &str, hub: &str| {
        assert_eq!(chosen(&made, &format!("{boss}: diameter")), chosen(&made, &format!("{hub}: hub")));
    };
    flush("front boss", "front hollow");
    flush("back boss", "back hollow");
}

#[test]
fn what_is_wrong_with_a_hollow_is_said() {
    let refused = |text: &str| {
        let drawing = read(text);
        told(
            &solve(&drawing)
                .map(|_| ())
                .and_then(|()| plan(&drawing, &bench("everything")).map(|_| ()))
                .unwrap_err(),
        )
    };
    // Without its hub the recess would be cut in the boss.
    let no_hub = WHEEL.replace("hub = \"30\"\ndepth = \"7\"", "depth = \"7\"");
    let words = refused(&no_hub);
    assert!(words.contains("`front hollow` leaves no rim in `front boss`"), "{words}");
    assert!(words.contains("say so with `hub`"), "{words}");
    // 3 and 12 of 31 from one end, 4 and 13 from the other: nothing is left between them.
    let deep = WHEEL.replace("depth = \"6\"", "depth = \"12\"").replace("depth = \"7\"", "depth = \"12\"");
    assert!(refused(&deep).contains("leaves no web"), "{}", refused(&deep));
}

/// Of the metal at its place a hole through the web passes only that: 24 − 6 − 7.
#[test]
fn a_hole_in_the_web_goes_through_the_web() {
    let holes = "[[feature]]\nname = \"spokes\"\nkind = \"pitch circle\"\nface = \"right\"\nholes = 4\n\
                 pitch_circle = \"65\"\ndiameter = \"8\"\n";
    let drawing = read(&format!("{WHEEL}{holes}"));
    let solved = solve(&drawing).unwrap_or_else(|faults| panic!("{}", told(&faults)));
    let part = Part::as_drawn(&drawing, &solved);
    let (first, _) = part.features().find(|(_, f)| f.name == "spokes 1").unwrap();
    assert_eq!(part.end_depth(first, workshop::drawing::Depth::Through), Length::mm(11));
    assert_eq!(part.end_start(first).0, Length::mm(11));
}

/// One rim alone is where the jaws hold the casting: it is turned by its bore, and not in those jaws.
#[test]
fn a_cast_rim_is_turned_by_its_bore() {
    let plain = "part = \"Rim\"\nunit = \"mm\"\nmaterial = \"cast iron\"\n[stock]\nform = \"casting\"\nallowance = \"2\"\n\
        [body]\nkind = \"turned\"\n\
        [[feature]]\nname = \"rim\"\nkind = \"section\"\ndiameter = \"100\"\nlength = \"20\"\n\
        [[feature]]\nname = \"eye\"\nkind = \"hole\"\nface = \"right\"\ndiameter = \"12\"\nfinish = \"reamed\"\n";
    let made = planned(plain, "everything");
    let turned =
        made.setups.iter().position(|s| s.rows.iter().any(|r| r.what.starts_with("turn rim"))).unwrap();
    let bored =
        made.setups.iter().position(|s| s.rows.iter().any(|r| r.what.starts_with("ream eye"))).unwrap();
    assert!(bored < turned, "{:?}", made.setups.iter().map(|s| &s.title).collect::<Vec<_>>());
    assert!(made.setups[turned].title.contains("eye"), "{}", made.setups[turned].title);
}

/// What fits over a wide section is bored in the lathe: no reamer is sold so wide.
#[test]
fn a_tyre_is_bored_to_its_wheel() {
    let wheel = "part = \"Wheel centre\"\nunit = \"mm\"\nmaterial = \"cast iron\"\n[body]\nkind = \"turned\"\n\
        [[feature]]\nname = \"boss\"\nkind = \"section\"\ndiameter = \"30\"\nlength = \"4\"\n\
        [[feature]]\nname = \"rim\"\nkind = \"section\"\ndiameter = \"92\"\nlength = \"14\"\n\
        [[mate]]\nname = \"tyre\"\nin = \"rim\"\nsize = \"92\"\nfit = \"shrink\"\n";
    let made = planned(wheel, "everything");
    assert!(chosen(&made, "tyre: size").contains("mm"), "{:?}", made.cover.changes);
}
