//! Black and bright stock: what is chosen, what comes off, and what is said of it. The
//! allowances are held against the published tables beside `tables/surface.rs`; here are
//! their consequences, reckoned by hand.

use workshop::bench::read_bench;
use workshop::drawing::read_drawing;
use workshop::plan::{Plan, plan};
use workshop::problem::Problem;

const BENCH: &str = include_str!("benches/everything.toml");

fn told(faults: &[Problem]) -> String {
    faults.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n")
}

/// The trial bench with no other steel than what is given.
fn rack(stock: &str) -> String {
    let (head, _) = BENCH.split_once("[[stock]]").unwrap_or((BENCH, ""));
    format!("{head}\n{stock}")
}

fn bar(form: &str, surface: &str) -> String {
    format!("[[stock]]\nmaterial = \"mild steel\"\n{form}\n{surface}\n")
}

fn plate(stock: &str) -> String {
    format!(
        "part = \"Pad\"\nunit = \"mm\"\nmaterial = \"mild steel\"\nusual_roles = true\n[body]\nkind = \"rectangle\"\n\
         width = \"60\"\nheight = \"40\"\nthickness = \"10\"\ndatum = \"bottom left\"\n{stock}\n\
         [[feature]]\nname = \"hole\"\nkind = \"hole\"\ndiameter = \"6\"\nplace = [\"30 right of datum\", \"20 above datum\"]\n"
    )
}

fn roller(stock: &str) -> String {
    format!(
        "part = \"Roller\"\nunit = \"mm\"\nmaterial = \"mild steel\"\nusual_roles = true\n[body]\nkind = \"turned\"\n{stock}\n\
         [[feature]]\nname = \"thin\"\nkind = \"section\"\ndiameter = \"12\"\nlength = \"20\"\n\
         [[feature]]\nname = \"thick\"\nkind = \"section\"\ndiameter = \"25\"\nlength = \"30\"\n"
    )
}

fn read_plan(text: &str, bench: &str) -> Plan {
    let drawing = read_drawing("part.toml", text).unwrap_or_else(|faults| panic!("{}", told(&faults)));
    let bench = read_bench("bench.toml", bench).unwrap_or_else(|faults| panic!("{}", told(&faults)));
    plan(&drawing, &bench).unwrap_or_else(|faults| panic!("{}", told(&faults)))
}

/// A plate or a roller on a bench, with what the cover says of its material.
fn material(text: &str, bench: &str) -> String {
    read_plan(text, bench).cover.material.shown
}

/// Every figure of the rows whose words begin so, as `label: shown because`.
fn figures(plan: &Plan, start: &str) -> String {
    let rows = plan.setups.iter().flat_map(|setup| &setup.rows).filter(|row| row.what.starts_with(start));
    let figures = rows.flat_map(|row| row.sets.iter().chain(&row.depth).chain(&row.check));
    figures.map(|f| format!("{}: {} {}\n", f.label(), f.shown, f.why.statement)).collect()
}

/// A 10 mm plate, 40 wide: bright 10 mm flat stays as it comes. Black flat up to 1/2 in thick
/// and 2 in wide loses 0.030 in, 0.762 mm, a side: from 11.4 mm there would be 9.876 left,
/// from 12 mm 10.476, and the thickness would be faced to.
#[test]
fn a_black_flat_is_never_the_thickness_as_it_comes() {
    let owned = "flat = [\"10 mm\", \"11.4 mm\", \"12 mm\"]";
    let bright = rack(&bar(owned, ""));
    assert_eq!(material(&plate(""), &bright), "mild steel, plate 10 mm");
    let black = rack(&bar(owned, "surface = \"black\""));
    let said = plate("[stock]\nform = \"plate\"\nsize = \"12\"\nsurface = \"black\"");
    let made = read_plan(&said, &black);
    assert!(
        made.cover.material.shown.starts_with("mild steel, black plate 12 mm,"),
        "{}",
        made.cover.material.shown
    );
    let faced = figures(&made, "face to 10 mm thick");
    assert!(faced.contains("face both sides, 0.762 mm off the first"), "{faced}");
    // Where only the rack is black, it is never the thickness itself.
    let of_rack = read_plan(&plate(""), &black);
    assert!(!of_rack.cover.material.shown.contains("black plate 10 mm"), "{}", of_rack.cover.material.shown);
}

/// What the part's file says goes before what the rack does not say, and what they say must
/// not differ: a bright part is not made from black flat, nor a black one from bright.
#[test]
fn what_the_part_and_the_rack_say_agree() {
    let form =
        |surface: &str| plate(&format!("[stock]\nform = \"plate\"\nsize = \"12\"\nsurface = \"{surface}\""));
    let one = |surface: &str| rack(&bar("flat = [\"12 mm\"]", &format!("surface = \"{surface}\"")));
    for (part, has) in [("black", "bright"), ("bright", "black")] {
        let shown = material(&form(part), &one(has));
        assert!(shown.contains(&format!("{part} plate")) && shown.contains("to buy"), "{shown}");
        let shown = material(&form(part), &one(part));
        assert!(shown.contains(&format!("{part} plate 12 mm, ")), "{shown}");
    }
    let by_name = plate("").replace("mild steel", "black mild steel");
    assert!(material(&by_name, &one("black")).contains("black plate 12 mm"));
}

/// 25 mm: bright bar of 25 holds it and stays. Of black bar 1.6 % a side comes off: 26 mm leaves
/// 25.168, 25 leaves 24.2 and 25.8 leaves 24.974.
#[test]
fn a_black_round_is_larger_than_the_part_by_its_scale() {
    let owned = "round = [\"25 mm\", \"25.8 mm\", \"26 mm\", \"30 mm\"]";
    assert_eq!(material(&roller(""), &rack(&bar(owned, ""))), "mild steel, round ⌀ 25 mm");
    let made = read_plan(&roller(""), &rack(&bar(owned, "surface = \"black\"")));
    assert_eq!(made.cover.material.shown, "mild steel, black round ⌀ 26 mm");
    let turned = figures(&made, "turn thick");
    assert!(turned.contains("under the scale: 0.416 mm"), "{turned}");
}

/// 25 mm does not come sound out of a black 25 mm bar, whatever the rack has: 24.2 does, and the
/// half millimetre of the coarse class does not reach so far.
#[test]
fn a_section_as_large_as_the_black_bar_is_told_why_it_cannot_be() {
    let stated = |surface| {
        let text = roller("[stock]\nform = \"round bar\"\nsize = \"25\"\nsurface = \"");
        text.replace("surface = \"", &format!("surface = \"{surface}\""))
    };
    let on = rack(&bar("round = [\"25 mm\"]", ""));
    assert!(material(&stated("bright"), &on).starts_with("mild steel, bright round ⌀ 25 mm"));
    let drawing =
        read_drawing("part.toml", &stated("black")).unwrap_or_else(|faults| panic!("{}", told(&faults)));
    let faults = plan(&drawing, &read_bench("bench.toml", &on).unwrap()).unwrap_err();
    assert!(told(&faults).contains("scale and the skin under it come off"), "{}", told(&faults));
    assert!(told(&faults).contains("so that it can be 24 mm"), "{}", told(&faults));
}

#[test]
fn what_cannot_be_black_is_refused_with_a_way_out() {
    for (text, wanted) in [
        (
            "[[stock]]\nmaterial = \"brass\"\nround = [\"6 mm\"]\nsurface = \"black\"",
            "brass does not come black",
        ),
        (
            "[[stock]]\nmaterial = \"mild steel\"\nround = [\"6 mm\"]\nclass = \"h8\"\nsurface = \"black\"",
            "held to no class",
        ),
        (
            "[[stock]]\nmaterial = \"mild steel\"\nround = [\"6 mm\"]\nsurface = \"rusty\"",
            "`rusty` is not known",
        ),
    ] {
        let faults = read_bench("bench.toml", &rack(text)).unwrap_err();
        assert!(faults.iter().any(|f| f.what().contains(wanted)), "{}", told(&faults));
        assert!(faults.iter().all(|f| f.remedy().is_some()), "{}", told(&faults));
    }
    for (text, wanted) in [
        (plate("[stock]\nform = \"casting\"\nsurface = \"black\""), "neither black nor bright"),
        (
            plate("[stock]\nform = \"plate\"\nsize = \"12\"\nsurface = \"black\"")
                .replace("mild steel", "brass"),
            "brass does not come black",
        ),
    ] {
        let faults = read_drawing("part.toml", &text).unwrap_err();
        assert!(faults.iter().any(|f| f.what().contains(wanted)), "{}", told(&faults));
    }
}
