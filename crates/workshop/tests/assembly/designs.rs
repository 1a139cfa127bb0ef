//! Plugs and bushes that are sized from the parts they are made to.

use workshop::assembly::{read_assembly, resolve};
use workshop::bench::read_bench;
use workshop::drawing::{Drawing, read_drawing};
use workshop::linkage::{look_up, read_mechanisms};
use workshop::make_list::{Made, make_list};
use workshop::plan::{Plan, plan};
use workshop::problem::Outcome;
use workshop::sheet::MakeList;
use workshop::stack::Held;

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
    listed_with(said, None)
}

/// With a mechanism file besides.
fn listed_with(said: &str, mechanism: Option<&str>) -> Outcome<MakeList> {
    let parts = [plate("Jig", "bush hole", "10"), plate("Arm", "pivot hole", "5")];
    let bench = read_bench("bench.toml", BENCH).unwrap();
    let assembly = read_assembly("assembly.toml", said)?;
    let mut fitting = resolve(Some(&assembly), &parts.iter().collect::<Vec<_>>(), &[])?;
    let held: Vec<Held> = parts.iter().map(|drawing| Held { drawing, metric: None }).collect();
    look_up(&mut fitting, "mechanism.toml", mechanism, &held);
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

const BLOCK: &str = "[[aid]]\nname = \"crank block\"\ndesign = \"setting block\"\n\
                     under = [\"Jig: bush hole\", \"Arm: pivot hole\"]\nthrow = [\"12 mm\", \"engine: throw\"]\n\
                     angle = \"engine: 90° + advance\"\ncentre = \"40 mm\"\nseen_from = \"the crank's end\"\n\
                     [[join]]\nname = \"arm on the shaft\"\nparts = [\"Jig: bush hole\", \"Arm: pivot hole\"]\n\
                     how = \"pressed\"\nset_by = \"crank block\"\n";

/// A slide-valve engine: crank 12, eccentric 4 at 90° + advance before it.
const ENGINE: &str = "[[mechanism]]\nname = \"engine\"\n[mechanism.sizes]\n\"throw\" = \"4 mm\"\n\"advance\" = \"33°\"\n\
    [[mechanism.pivot]]\nname = \"shaft\"\n[[mechanism.line]]\nname = \"cylinder\"\nthrough = \"shaft\"\nat = \"0°\"\n\
    [[mechanism.crank]]\nname = \"crank\"\non = \"shaft\"\npoints = [{ name = \"pin\", out = \"12 mm\", at = \"0°\" }]\n\
    [[mechanism.eccentric]]\nname = \"sheave\"\non = \"crank\"\nthrow = \"throw\"\nat = \"90° + advance\"\n\
    [[mechanism.slider]]\nname = \"piston\"\nalong = \"cylinder\"\n[[mechanism.slider]]\nname = \"valve\"\nalong = \"cylinder\"\n\
    [[mechanism.link]]\nname = \"rod\"\nfrom = \"crank: pin\"\nto = \"piston: centre\"\nlength = \"50 mm\"\n\
    [[mechanism.link]]\nname = \"strap\"\nfrom = \"crank: sheave\"\nto = \"valve: centre\"\nlength = \"60 mm\"\n\
    [[mechanism.near]]\npoint = \"piston: centre\"\nat = [\"62 mm\", \"0 mm\"]\n\
    [[mechanism.near]]\npoint = \"valve: centre\"\nat = [\"60 mm\", \"0 mm\"]\n\
    [[mechanism.valve]]\nname = \"slide valve\"\npiston = \"piston\"\nvalve = \"valve\"\nlap = \"1.8 mm\"\nport = \"2 mm\"\n\
    [[mechanism.hold]]\nresult = \"cut-off, head end\"\nwithin = \"1 %\"\n";

/// The angle is that of the mechanism; a block as far out as its sheet lets it be moves the cut-off
/// by no more than the file allows, by the mechanism followed round anew.
#[test]
fn a_block_takes_its_angle_and_its_closeness_from_the_mechanism() {
    let list = listed_with(BLOCK, Some(ENGINE)).unwrap();
    let [sheet] = &list.aids[..] else { panic!("{:?}", list.unplanned) };
    let figure = sheet.sizes.iter().find(|figure| figure.name.ends_with("angle it sets")).unwrap();
    let out = figure.shown.strip_prefix("123° ± ").unwrap().strip_suffix('°').unwrap();
    let out: f64 = out.parse().unwrap();
    assert!(out > 0.05, "{out}");
    let why = format!("{:?}", figure.why);
    assert!(why.contains("advance is 33") && why.contains("cut-off, head end within 1 %"), "{why}");
    let (machines, _) = read_mechanisms("mechanism.toml", ENGINE, &[]);
    let cut_off = |advance: f64| {
        let machine = machines[0].with(&format!("advance = {advance}°")).unwrap();
        let told = machine.told().unwrap().remove(0);
        told.drawn.results.iter().find(|result| result.asked.name == "cut-off, head end").unwrap().value
    };
    for end in [33.0 - out, 33.0 + out] {
        assert!((cut_off(end) - cut_off(33.0)).abs() < 0.01, "{end}");
    }
    // The block's own part is planned, and comes before what it sets.
    assert!(!sheet.own.order.is_empty(), "{:?}", sheet.own.unplanned);
    let place = |what: &str| list.rows.iter().position(|row| row.what.contains(what)).unwrap();
    assert!(place("Arm") < place("Crank block") && place("Crank block") < place("arm on the shaft"));
}

#[test]
fn what_a_block_lacks_is_told_with_its_line() {
    for (from, to, wanted) in [
        (
            "under = [\"Jig: bush hole\", \"Arm: pivot hole\"]",
            "under = [\"Jig: bush hole\", \"Arm: pivot hole\", \"Arm: pivot hole\"]",
            "carries two rounds",
        ),
        (
            "throw = [\"12 mm\", \"engine: throw\"]",
            "throw = [\"12 mm\", \"4 mm\", \"5 mm\"]",
            "3 throws are given for 2 rounds",
        ),
        ("centre = \"40 mm\"\n", "", "`centre` is not given"),
        ("angle = \"engine: 90° + advance\"", "angle = \"steep\"", "steep"),
    ] {
        let faults = listed_with(&BLOCK.replace(from, to), Some(ENGINE)).unwrap_err();
        let told: Vec<String> = faults.iter().map(ToString::to_string).collect();
        assert!(
            told.iter().any(|fault| fault.contains(wanted) && fault.contains("line")),
            "{wanted}: {told:#?}"
        );
    }
    // What only turns up once parts and mechanism are known stands beside the list.
    for (from, to, wanted) in [
        ("90° + advance", "90° + advanse", "did you mean `advance`"),
        ("engine: throw", "engin: throw", "engine"),
        ("engine: 90° + advance", "engine: throw", "an angle is wanted"),
        ("centre = \"40 mm\"", "centre = \"1 mm\"", "centre = \""),
    ] {
        let list = listed_with(&BLOCK.replace(from, to), Some(ENGINE)).unwrap();
        let told: Vec<String> = list.unplanned.iter().map(ToString::to_string).collect();
        let named = told.iter().any(|fault| fault.contains(wanted) && fault.contains("assembly.toml"));
        assert!(named, "{wanted}: {told:#?}");
    }
}
