//! What is done in assembly is not done in the part's own order, and its sheet says so.

use workshop::assembly::{leave, read_assembly, resolve};
use workshop::bench::read_bench;
use workshop::drawing::{Drawing, read_drawing};
use workshop::plan::{Plan, plan};
use workshop::problem::Outcome;

const BENCH: &str = include_str!("../../../../examples/kittiwake/bench.toml");

/// A plate with two locating holes, a bore, and a countersunk hole.
const PLATE: &str = r#"
part = "Plate"
unit = "mm"
material = "mild steel"
usual_roles = true
general_tolerance = "coarse"
[body]
kind = "rectangle"
width = "60"
height = "30"
thickness = "8"
datum = "bottom left"
[[feature]]
name = "bore"
kind = "hole"
diameter = "10"
finish = "reamed"
place = ["15 from left edge", "on the horizontal centre line"]
[[feature]]
name = "pin hole"
kind = "hole"
diameter = "4"
finish = "reamed"
place = ["15 from right edge", "on the horizontal centre line"]
[[feature]]
name = "screw hole"
kind = "hole"
diameter = "4.2"
place = ["on the vertical centre line", "8 from top edge"]
[[feature]]
name = "head"
kind = "countersink"
diameter = "8"
angle = "90°"
over = "screw hole"
[[feature]]
name = "tapped"
kind = "tapped hole"
thread = "M4"
place = ["on the vertical centre line", "8 from bottom edge"]
"#;

fn plate() -> Drawing {
    read_drawing("plate.toml", PLATE).unwrap()
}

/// The plate's own plan with so much left for assembly.
fn planned(work: &str) -> Outcome<Plan> {
    let mut parts = [plate(), super::disc("Post", &["eye"])];
    let said = read_assembly("assembly.toml", work)?;
    let fitting = resolve(Some(&said), &parts.iter().collect::<Vec<_>>(), &[])?;
    leave(&fitting, &mut parts);
    plan(&parts[0], &read_bench("bench.toml", BENCH).unwrap())
}

fn steps(plan: &Plan) -> Vec<&str> {
    plan.cover.order.iter().flat_map(|line| &line.steps).map(String::as_str).collect()
}

#[test]
fn a_bore_finished_in_assembly_is_drilled_and_not_reamed() {
    let alone = plan(&plate(), &read_bench("bench.toml", BENCH).unwrap()).unwrap();
    assert!(steps(&alone).iter().any(|step| step.contains("ream bore")), "{:#?}", steps(&alone));
    assert!(alone.cover.left.is_empty());
    let left = planned("[[work]]\nname = \"line ream\"\ndo = \"ream\"\nto = [\"Plate: bore\"]\n").unwrap();
    let steps = steps(&left);
    assert!(steps.iter().any(|step| step.contains("drill bore")), "{steps:#?}");
    assert!(!steps.iter().any(|step| step.contains("ream bore")), "{steps:#?}");
    assert_eq!(
        left.cover.left,
        ["Bore: ream: line ream (drilled here and finished in assembly; assembly.toml, line 2)."]
    );
}

#[test]
fn a_hole_drilled_through_both_in_assembly_is_left_with_what_stands_over_it() {
    let left = planned(
        "[[join]]\nname = \"pinned\"\nparts = [\"Plate: pin hole\", \"Post\"]\nhow = \"pinned\"\n\
         [[work]]\nname = \"screw\"\ndo = \"drill\"\nto = [\"Plate: screw hole\", \"Plate: tapped\"]\n",
    )
    .unwrap();
    let steps = steps(&left);
    for gone in ["pin hole", "screw hole", "head", "tapped"] {
        assert!(!steps.iter().any(|step| step.contains(gone)), "{gone}: {steps:#?}");
    }
    assert!(steps.iter().any(|step| step.contains("ream bore")));
    assert_eq!(left.cover.left.len(), 4, "{:#?}", left.cover.left);
    assert!(left.cover.left[0].contains("nothing of it is cut here"), "{:#?}", left.cover.left);
}

#[test]
fn a_thread_is_left_with_its_tapping_hole_drilled() {
    let left = planned("[[work]]\nname = \"tap\"\ndo = \"tap\"\nto = [\"Plate: tapped\"]\n").unwrap();
    let steps = steps(&left);
    assert!(steps.iter().any(|step| step.contains("tapped") && step.contains("drill")), "{steps:#?}");
    assert!(!steps.iter().any(|step| step.starts_with("tap ")), "{steps:#?}");
}

#[test]
fn a_bore_that_is_left_is_not_taken_for_a_locator() {
    // The ends of the arm are rounded about its bores; without them there is nothing to hold it by.
    let arm = r#"
part = "Arm"
unit = "mm"
material = "mild steel"
usual_roles = true
general_tolerance = "coarse"
[body]
kind = "bosses"
around = ["left boss", "right boss"]
thickness = "8"
[[feature]]
name = "left boss"
kind = "boss"
radius = "10"
place = ["datum"]
[[feature]]
name = "right boss"
kind = "boss"
radius = "8"
place = ["40 right of left boss", "level with left boss"]
[[feature]]
name = "left bore"
kind = "hole"
diameter = "8"
finish = "reamed"
place = ["concentric with left boss"]
[[feature]]
name = "right bore"
kind = "hole"
diameter = "6"
finish = "reamed"
place = ["concentric with right boss"]
"#;
    let bench = read_bench("bench.toml", BENCH).unwrap();
    let mut parts = [read_drawing("arm.toml", arm).unwrap()];
    assert!(plan(&parts[0], &bench).is_ok());
    let work =
        "[[work]]\nname = \"ream both\"\ndo = \"ream\"\nto = [\"Arm: left bore\", \"Arm: right bore\"]\n";
    let fitting = resolve(Some(&read_assembly("assembly.toml", work).unwrap()), &[&parts[0]], &[]).unwrap();
    leave(&fitting, &mut parts);
    let told = plan(&parts[0], &bench).unwrap_err()[0].to_string();
    for words in ["needs finished right bore", "do not leave left bore (assembly.toml, line 2)"] {
        assert!(told.contains(words), "{words}: {told}");
    }
}
