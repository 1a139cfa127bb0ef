//! Sizes that follow others all the way to the sheet: heads of screws, thin walls.

use super::parts::{BENCHES, bench, drawing};
use super::sheet::Road;
use workshop::drawing::read_drawing;
use workshop::measure::read_length;
use workshop::plan::{Plan, plan};

/// The plan of a drawing that is written out here.
fn planned(text: &str, on: &str) -> Plan {
    let drawing = read_drawing("part.toml", text).unwrap_or_else(|faults| panic!("{faults:?}"));
    plan(&drawing, &bench(on)).unwrap_or_else(|faults| panic!("{on}: {faults:?}"))
}

fn mm(plan: &Plan, name: &str) -> f64 {
    let change = plan.cover.changes.iter().find(|c| c.name == name);
    let chosen = &change.unwrap_or_else(|| panic!("no {name}")).chosen;
    read_length(chosen.trim_start_matches('≈'), None)
        .unwrap_or_else(|fault| panic!("{name}: {fault}"))
        .length
        .as_mm()
}

/// A strip with a screw through it and a counterbore over the hole.
fn sunk(thick: &str, counterbore: &str, wide: &str, screw: &str) -> String {
    format!(
        "part = \"Strip\"\nunit = \"inch\"\nmaterial = \"brass\"\n[body]\nkind = \"rectangle\"\n\
         width = \"2\"\nheight = \"{wide}\"\nthickness = \"{thick}\"\ndatum = \"bottom left\"\n\
         [[feature]]\nname = \"fixing\"\nkind = \"hole\"\ndiameter = \"No. 27\"\nclears = {screw}\n\
         place = [\"1 from left edge\", \"on the horizontal centre line\"]\n\
         [[feature]]\nname = \"sunk\"\nkind = \"counterbore\"\nover = \"fixing\"\n{counterbore}\n"
    )
}

const SUNK: &str = "diameter = \"1/4\"\ndepth = \"1/8\"";

/// ISO 4762: the head of M4 is 7 across, 7.22 knurled, and 4 high; that of a 4 BA
/// screw sank in 6.35 by 3.175.
#[test]
fn a_counterbore_takes_the_head_of_the_metric_screw() {
    for (on, _) in BENCHES {
        let cap = Road::walk("bearing-cap", on).unwrap().plan;
        assert_eq!(cap.figure("left fixing: screw through it").unwrap().shown, "M4");
        for side in ["left", "right"] {
            let (across, deep) =
                (mm(&cap, &format!("{side} head: diameter")), mm(&cap, &format!("{side} head: depth")));
            assert!((7.22..=9.22).contains(&across) && (4.0..4.5).contains(&deep), "{on}: {across} × {deep}");
        }
        // What is plunged is as wide as what it leaves.
        let sunk = cap.setups.iter().flat_map(|s| &s.rows).find(|r| r.what.starts_with("counterbore left"));
        let (row, across) = (sunk.unwrap(), mm(&cap, "left head: diameter"));
        assert!(row.tool.contains(&format!("end mill {across} mm")), "{on}: {} {}", row.what, row.tool);
    }
}

/// In thin metal the head stands out, and the sheet says by how much.
#[test]
fn a_head_that_cannot_sink_is_said_to_stand_out() {
    let plan = planned(&sunk("3/16", SUNK, "1", "\"4 BA\""), "everything");
    let rows: Vec<_> = plan.setups.iter().flat_map(|s| &s.rows).collect();
    let check = rows.iter().find(|r| r.what.starts_with("counterbore")).unwrap().check.as_ref().unwrap();
    let proud = 4.0 - mm(&plan, "sunk: depth");
    assert!(proud > 0.5 && check.shown.contains(&format!("stands {proud} mm out")), "{}", check.shown);
}

/// A head that needs more metal than there is beside it is refused, with what to do:
/// 6.03 mm from the middle of a hole of 3.2 mm, 7.25 mm would leave 0.8 mm.
#[test]
fn a_head_too_wide_for_its_place_is_refused_with_a_way_out() {
    let beside = "[[feature]]\nname = \"steam way\"\nkind = \"hole\"\ndiameter = \"1/8\"\n\
                  place = [{ is = \"0.2375 right of fixing\", role = \"hold\" }, \"level with fixing\"]\n";
    let text = sunk("3/8", SUNK, "1", "\"4 BA\"") + beside;
    let drawing = read_drawing("part.toml", &text).unwrap();
    let told = plan(&drawing, &bench("everything")).unwrap_err()[0].to_string();
    assert!(told.contains("must take the head") && told.contains("keep the 4 BA screw"), "{told}");
    // The remedy works: with its own screw kept, the strip can be made.
    planned(&text.replace("\"4 BA\"", "{ is = \"4 BA\", role = \"hold\" }"), "everything");
}

/// A screw that stays, or a counterbore that is held, keeps the drawing's size.
#[test]
fn a_counterbore_that_is_held_stays() {
    let held = "diameter = { is = \"6.5 mm\", role = \"hold\" }\ndepth = { is = \"1/8\", role = \"hold\" }";
    let plan = planned(&sunk("3/8", held, "1", "\"4 BA\""), "everything");
    assert!((mm(&plan, "sunk: diameter") - 6.5).abs() <= 0.02);
    let own = planned(&sunk("3/8", SUNK, "1", "{ is = \"4 BA\", role = \"hold\" }"), "everything");
    assert!(mm(&own, "sunk: diameter") < 7.0);
}

/// The larger metric screw of the low clamp finds its place on every bench: walls of
/// 2.1 mm keep nine tenths, and the cover says so.
#[test]
fn a_thin_wall_beside_a_larger_screw_keeps_most_of_its_metal() {
    for (on, _) in BENCHES {
        let drawing = drawing("low-clamp");
        let plan = plan(&drawing, &bench(on)).unwrap_or_else(|faults| panic!("{on}: {faults:?}"));
        let at = mm(&plan, "pinch screw: right of head");
        let (hole, bore) =
            (mm(&plan, "pinch screw: clearance") / 2.0, mm(&plan, "head bore: diameter") / 2.0);
        let wall = at - hole - bore;
        let drawn = (11.0 / 32.0 - 3.0 / 16.0) * 25.4 - 0.147 * 25.4 / 2.0;
        assert!(wall >= 0.9 * drawn - 1e-6, "{on}: {wall} of {drawn}");
        let said = plan.cover.assumed.iter().any(|a| a.contains("head bore and pinch screw: no sizes keep"));
        assert!(said || wall >= drawn - 1e-6, "{on}: {wall} of {drawn} and nothing said");
    }
}

/// A bench marked in inches that does not say what sets depths has them in inches all the same.
#[test]
fn depths_on_a_bench_in_inches_are_told_in_inches() {
    let made = planned(&sunk("3/8", SUNK, "1", "\"4 BA\""), "inch-handwheels");
    let rows = made.setups.iter().flat_map(|setup| &setup.rows);
    let drilled: Vec<&str> = rows
        .filter(|row| row.what.starts_with("drill"))
        .flat_map(|row| &row.depth)
        .filter(|figure| figure.label() == "depth")
        .map(|figure| figure.shown.as_str())
        .collect();
    assert!(!drilled.is_empty() && drilled.iter().all(|depth| depth.contains(" in from")), "{drilled:?}");
}
