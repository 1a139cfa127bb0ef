//! Work that turns beside its own middle is balanced: by the moment that it has, reckoned here by hand.

use super::*;

fn balance(plan: &Plan) -> Option<&str> {
    let mut all = plan.setups.iter().flat_map(|setup| &setup.presets);
    all.find(|figure| figure.label() == "balance it with").map(|figure| figure.shown.as_str())
}

/// Across 60 by 40 by 10 of mild steel: 24 cm³ at 7.85 g are 188.4 g, 15 mm from the bore: 2826 g mm.
/// Three tenths of a swing of 180 are 54, and 2826 over 50 is 56.5.
#[test]
fn a_plate_on_the_faceplate_is_balanced() {
    let text = "part = \"Bearing plate\"\nunit = \"mm\"\nmaterial = \"mild steel\"\n[body]\nkind = \"rectangle\"\nwidth = \"60\"\n\
        height = \"40\"\nthickness = \"10\"\ndatum = \"bottom left\"\n[[feature]]\nname = \"bore\"\nkind = \"hole\"\n\
        diameter = \"22\"\nfinish = \"bored\"\nplace = [\"15 right of datum\", \"20 above datum\"]\n";
    let bench = "mill = \"none\"\n[drill_press]\nspeeds = [500, 1000]\n[lathe]\nswing = \"180 mm\"\nbetween_centres = \"350 mm\"\n";
    let bench = read_bench("bench.toml", bench).unwrap_or_else(|faults| panic!("{}", told(&faults)));
    let made = plan(&read(text), &bench).unwrap_or_else(|faults| panic!("{}", told(&faults)));
    assert_eq!(balance(&made), Some("2826 g mm: about 57 g at 50 mm, across from the heavy side"));
    // With its bore in the middle nothing is out of balance.
    let middle = text.replace("15 right", "30 right");
    let made = plan(&read(&middle), &bench).unwrap_or_else(|faults| panic!("{}", told(&faults)));
    assert!(made.setups.iter().any(|setup| setup.title.contains("faceplate")));
    assert_eq!(balance(&made), None);
}

/// Bar of 45 set over by 4.7625 has the moment of its length that is turned and held.
#[test]
fn a_bar_that_is_set_over_is_balanced() {
    let made = planned(SHEAVE, "everything");
    let long_mm = made.blank.as_ref().expect("it is sawn").length.as_mm();
    let moment = std::f64::consts::FRAC_PI_4 * 45.0 * 45.0 * long_mm * 7.85e-3 * 4.7625;
    let shown = balance(&made).expect("it is out of balance");
    let told: f64 = shown.split_once(' ').unwrap().0.parse().unwrap();
    assert!((told / moment - 1.0).abs() < 0.01, "{shown} and {moment}");
}
