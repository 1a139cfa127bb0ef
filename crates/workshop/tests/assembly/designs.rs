//! Plugs and bushes that are sized from the parts they are made to.

use workshop::assembly::{read_assembly, resolve};
use workshop::bench::read_bench;
use workshop::drawing::{Drawing, read_drawing};
use workshop::make_list::{Made, make_list};
use workshop::plan::{Plan, plan};
use workshop::problem::Outcome;
use workshop::sheet::MakeList;

const BENCH: &str = include_str!("../../../../examples/kittiwake/bench.toml");

/// A plate with one hole in its middle.
fn plate(name: &str, hole: &str, diameter: &str) -> Drawing {
    let text = format!(
        "part = \"{name}\"\nunit = \"mm\"\nmaterial = \"mild steel\"\nusual_roles = true\n[body]\nkind = \"rectangle\"\n\
         width = \"60\"\nheight = \"40\"\nthickness = \"10\"\ndatum = \"bottom left\"\n[[feature]]\nname = \"{hole}\"\n\
         kind = \"hole\"\ndiameter = {{ is = \"{diameter}\", pin = \"{diameter} mm\" }}\n\
         place = [\"30 right of datum\", \"20 above datum\"]\n"
    );
    read_drawing(&format!("{}.toml", name.to_lowercase()), &text).unwrap()
}

fn listed(said: &str) -> Outcome<MakeList> {
    let parts = [plate("Jig", "bush hole", "10"), plate("Arm", "pivot hole", "5")];
    let bench = read_bench("bench.toml", BENCH).unwrap();
    let assembly = read_assembly("assembly.toml", said)?;
    let fitting = resolve(Some(&assembly), &parts.iter().collect::<Vec<_>>(), &[])?;
    let plans: Vec<Plan> = parts.iter().map(|part| plan(part, &bench).unwrap()).collect();
    let made =
        parts.iter().zip(&plans).map(|(drawing, plan)| Made { drawing, plan: Some(plan), fault: None });
    make_list(&made.collect::<Vec<_>>(), &fitting, &bench)
}

const BUSH: &str = "[[aid]]\nname = \"arm bush\"\ndesign = \"drill bush\"\nseat = \"Jig: bush hole\"\n\
                    guides = \"Arm: pivot hole\"\nat = \"lathe\"\n\
                    [[work]]\nname = \"drill the arm\"\ndo = \"drill\"\nto = [\"Arm: pivot hole\"]\nset_by = \"arm bush\"\n";

/// ISO 286-2: g6 of 10 mm -5 and -14 µm, F8 of 5 mm +10 and +28 µm.
#[test]
fn a_bush_is_made_to_its_hole_and_its_drill_before_the_work_it_sets() {
    let list = listed(BUSH).unwrap();
    let [sheet] = &list.aids[..] else { panic!("{:?}", list.unplanned) };
    let shown: Vec<&str> = sheet.sizes.iter().map(|figure| figure.shown.as_str()).collect();
    assert_eq!(&shown[..3], ["9.986 to 9.995 mm", "5.010 to 5.028 mm", "7.5 mm"]);
    assert!(sheet.sizes[0].name.starts_with("arm bush: "), "{}", sheet.sizes[0].name);
    let place = |what: &str| list.rows.iter().position(|row| row.what.contains(what)).unwrap();
    assert!(place("Jig") < place("Arm bush") && place("Arm bush") < place("drill the arm"));
}

/// Half of the hole's pin of 10 off 30.
#[test]
fn a_plug_is_sized_from_the_metric_part() {
    let said = "[[aid]]\nname = \"plug\"\ndesign = \"setting plug\"\nbetween = [\"Jig: bush hole\", \"flat\"]\ndistance = \"30 mm\"\n";
    let list = listed(said).unwrap();
    assert_eq!(list.aids[0].sizes[0].shown, "25 mm");
    // 2 x 30 - 10 about the middle of the arm's hole, bored 5 H7.
    let about = said.replace("\"flat\"", "\"centre of Arm: pivot hole\"");
    let sizes: Vec<String> = listed(&about).unwrap().aids[0].sizes.iter().map(|f| f.shown.clone()).collect();
    assert_eq!(&sizes[..2], ["50 mm", "5.000 to 5.012 mm"]);
    // Beside the arm's hole: 30 - 5 - 2.5.
    let beside = said.replace("\"flat\"", "\"Arm: pivot hole\"");
    assert_eq!(listed(&beside).unwrap().aids[0].sizes[0].shown, "22.5 mm");
    // No room: the list stands, and says which aid has no sheet and where it is named.
    let near = listed(&said.replace("30 mm", "5 mm")).unwrap();
    assert!(near.aids.is_empty() && near.rows.iter().any(|row| row.what == "Plug"));
    assert!(near.unplanned[0].to_string().contains("assembly.toml"), "{}", near.unplanned[0]);
}

#[test]
fn what_a_design_lacks_is_told_with_its_line() {
    for (from, to, wanted) in [
        ("drill bush", "drill pot", "`drill pot` is not an aid"),
        ("seat = \"Jig: bush hole\"\n", "", "`seat` is not given"),
        ("seat = \"Jig: bush hole\"", "seat = \"Jig\"", "does not say what of it"),
        ("Jig: bush hole", "Jig: bush hale", "did you mean `bush hole`"),
        (
            "design = \"drill bush\"",
            "design = \"setting plug\"\nbetween = [\"Jig: bush hole\"]\ndistance = \"3 mm\"",
            "a plug lies between two things",
        ),
        (
            "design = \"drill bush\"",
            "design = \"setting plug\"\nbetween = [\"Jig: bush hole\", \"flat\"]\ndistance = \"3\"",
            "`3` has no unit",
        ),
    ] {
        let faults = listed(&BUSH.replace(from, to)).unwrap_err();
        let told: Vec<String> = faults.iter().map(ToString::to_string).collect();
        let named = told.iter().any(|fault| fault.contains(wanted) && fault.contains("line"));
        assert!(named, "{wanted}: {told:#?}");
    }
}
