//! What a plate is made from, and how it is held.

use super::*;

/// A casting's cast faces are neither worked from nor changed.
#[test]
fn what_stays_as_cast_keeps_its_size_and_locates_nothing() {
    let text = |machined: &str| {
        block(&format!("kind = \"hole\"\ndiameter = \"6\"\n{MIDDLE}"))
            .replace("unit = \"mm\"", "unit = \"inch\"")
            .replace("\"60\"", "\"2 3/8\"")
            .replace("\"40\"", "\"1 5/8\"")
            .replace("\"12\"", "\"15/32\"")
            .replace("\"6\"", "\"1/4\"")
            .replace("30 right", "1 right")
            .replace("20 above", "3/4 above")
            .replace(
                "[[feature]]",
                &format!(
                    "[stock]\nform = \"casting\"\nallowance = \"1/16\"\nmachined = [{machined}]\n[[feature]]"
                ),
            )
    };
    let size = |plan: &Plan, name: &str| {
        plan.cover.changes.iter().find(|change| change.name == name).unwrap().chosen.clone()
    };
    let rough = planned(&text(""));
    let supposed = |plan: &Plan| plan.cover.assumed.iter().any(|words| words.contains("stay as cast"));
    assert!(supposed(&rough), "{:?}", rough.cover.assumed);
    for (name, drawn) in
        [("body: width", "60.325"), ("body: height", "41.275"), ("body: thickness", "11.906")]
    {
        assert!(size(&rough, name).contains(drawn), "{name}: {}", size(&rough, name));
    }
    assert_eq!(rough.setups.len(), 1, "a hole is drilled and nothing else is done");
    assert!(rough.setups[0].located.contains("marked out on the casting"), "{}", rough.setups[0].located);
    let squared = planned(&text("\"left\", \"bottom\", \"front\""));
    assert!(
        squared
            .setups
            .iter()
            .any(|setup| setup.rows[0].what == "mill the left and bottom edges of the casting")
    );
    assert!(!supposed(&squared), "{:?}", squared.cover.assumed);
    assert!(size(&squared, "body: thickness").ends_with("12 mm"), "{}", size(&squared, "body: thickness"));
    // One face of 1/16 in.
    let passes = shown(&squared, "face to", "passes");
    let last: f64 = passes.trim_end_matches(" mm").rsplit(' ').next().unwrap().parse().unwrap();
    assert!((last - 1.5875).abs() <= 0.005, "{passes}");
    let part = text("\"left\"")
        .replace(
            "kind = \"rectangle\"\nwidth = \"2 3/8\"\nheight = \"1 5/8\"",
            "kind = \"disc\"\ndiameter = \"3\"",
        )
        .replace("datum = \"bottom left\"\n", "");
    assert!(
        told(&read_drawing("part.toml", &part).unwrap_err())
            .contains("only some sides of the casting are cut")
    );
}

/// A hole of the far edge has no mark on the edge that is up.
#[test]
fn the_mark_worked_from_is_of_something_cut_from_the_face_that_is_up() {
    let edge = |face: &str, at: &str| {
        format!(
            "kind = \"hole\"\nface = \"{face}\"\ndiameter = \"4\"\ndepth = \"8\"\nplace = [\"{at} right of datum\", \"mid thickness\"]"
        )
    };
    let other = format!("[[feature]]\nname = \"other\"\n{}\n", edge("bottom", "40"));
    let text =
        block(&edge("top", "20")).replace("[[feature]]", "[stock]\nform = \"casting\"\n[[feature]]") + &other;
    let plan = planned(&text);
    for (up, wanted) in
        [("top edge up", "from the centre of thing,"), ("bottom edge up", "from the centre of other,")]
    {
        let setup = plan.setups.iter().find(|setup| setup.title.contains(up)).expect(up);
        assert!(setup.located.to_lowercase().starts_with(wanted), "{up}: {}", setup.located);
    }
}

#[test]
fn stock_is_read_and_questioned() {
    let text = |stock: &str| {
        block(&format!("kind = \"hole\"\ndiameter = \"6\"\n{MIDDLE}"))
            .replace("[[feature]]", &format!("[stock]\n{stock}\n[[feature]]"))
    };
    for (stock, wanted) in [
        ("size = \"50\"", "`form` is not given"),
        ("form = \"tube\"", "is not known for `form`"),
        ("form = \"flat bar\"\nsize = \"50\"", "is not given by 1 sizes"),
        ("form = \"casting\"\nsize = \"50\"", "is not given by 1 sizes"),
        ("form = \"plate\"\nsize = \"nought\"", "cannot read"),
        ("form = \"plate\"\nsize = \"0\"", "is no size of stock"),
        ("form = \"plate\"\nsize = \"12\"\nmachined = [\"front\"]", "says nothing about a plate"),
        ("form = \"casting\"\nmachined = [\"inside\"]", "is no face"),
        ("form = \"casting\"\nmachine = [\"front\"]", "machine"),
    ] {
        let faults = read_drawing("part.toml", &text(stock)).unwrap_err();
        assert!(told(&faults).contains(wanted), "{stock}: {}", told(&faults));
    }
    let thin = made(&text("form = \"flat bar\"\nsize = [\"50\", \"10\"]")).unwrap_err();
    assert!(told(&thin).contains("12 mm thick, and the stock only 10 mm"), "{}", told(&thin));
    let narrow = made(&text("form = \"flat bar\"\nsize = [\"30\", \"12\"]")).unwrap_err();
    assert!(told(&narrow).contains("40 mm wide, and the stock only 30 mm"), "{}", told(&narrow));
    // As thick as the part: its faces need no cut. Thicker: both are cleaned up.
    let as_it_is = planned(&text("form = \"flat bar\"\nsize = [\"50\", \"12\"]"));
    let faced = planned(&text("form = \"flat bar\"\nsize = [\"50\", \"15\"]"));
    let faces = |plan: &Plan| {
        plan.setups.iter().flat_map(|s| &s.rows).filter(|row| row.what.starts_with("face to")).count()
    };
    assert_eq!((faces(&as_it_is), faces(&faced)), (0, 1));
    assert!(
        faced.cover.material.shown.ends_with("from flat bar 50 × 15 mm"),
        "{}",
        faced.cover.material.shown
    );
}

/// A plate of 12 in jaws of 25 (supposed): a slot 5 deep that runs out of the far side must keep
/// 1 mm above them, so 6 stand out and 6 are gripped, on parallels of 25 + 6 - 12. The same slot
/// along the jaws asks for no more than the 1 mm.
#[test]
fn work_in_the_vice_stands_out_as_far_as_cuts_run_out_over_the_jaws() {
    let slot = |way: &str| {
        let slot = format!("kind = \"slot\"\nwidth = \"6\"\ndepth = \"5\"\nalong = \"{way}\"");
        let open = if way == "90°" { "[\"bottom\", \"top\"]" } else { "[\"left\", \"right\"]" };
        planned(&block(&format!("{slot}\nopen = {open}\n{MIDDLE}")))
    };
    let told = |plan: &Plan, label: &str| {
        let cut = |setup: &&workshop::plan::sheet::SetupSheet| {
            setup.rows.iter().any(|row| row.what.contains("thing"))
        };
        let setup = plan.setups.iter().find(cut).expect("the slot is cut somewhere");
        let figure = setup.presets.iter().find(|figure| figure.label() == label);
        let figure = figure.unwrap_or_else(|| panic!("no `{label}` in {:?}", setup.presets));
        assert!(figure.assumed(), "the jaws are supposed: {figure:?}");
        figure.shown.clone()
    };
    let over = slot("90°");
    assert_eq!(told(&over, "parallels"), "19 mm to 22 mm high");
    assert_eq!(told(&over, "in the jaws"), "6 mm on 19 mm");
    let along = slot("0°");
    assert_eq!(told(&along, "parallels"), "14 mm to 22 mm high");
    assert_eq!(told(&along, "stands out of the jaws"), "1 mm on 14 mm");
}

/// A lever of two bosses swung flank by flank on a mill without a rotary table: of the clamps
/// that the sheet names, two at least stay on for each flank, and those lie over the other side
/// of the line of its bores.
#[test]
fn a_swung_plate_keeps_two_clamps_for_each_flank() {
    let boss = |name: &str, radius: u32, bore: u32, x: u32| {
        format!(
            "[[feature]]\nname = \"{name}\"\nkind = \"boss\"\nradius = \"{radius}\"\nplace = [\"{x} right of datum\", \"level with datum\"]\n\
             [[feature]]\nname = \"{name} bore\"\nkind = \"hole\"\ndiameter = \"{bore}\"\nplace = [\"concentric with {name}\"]\n"
        )
    };
    let text = format!(
        "part = \"Rocker\"\nunit = \"mm\"\nmaterial = \"mild steel\"\n[body]\nkind = \"bosses\"\naround = [\"big\", \"small\"]\nthickness = \"6\"\n{}{}",
        boss("big", 14, 10, 0).replace("0 right of datum\", \"level with datum", "datum"),
        boss("small", 8, 6, 62)
    );
    let bench = read_bench("bench.toml", include_str!("../benches/no-rotary.toml")).expect("the bench reads");
    let plan = plan(&read_drawing("part.toml", &text).expect("it reads"), &bench).expect("it can be made");
    let flanks =
        |setup: &&workshop::plan::sheet::SetupSheet| setup.rows.iter().any(|row| row.what.contains("flanks"));
    let setup = plan.setups.iter().find(flanks).expect("the flanks are milled");
    let clamps: Vec<(usize, f64)> = (1..)
        .zip(setup.presets.iter().filter(|figure| figure.label().starts_with("clamp ")))
        .map(|(n, figure)| {
            let y =
                figure.shown.split("Y ").nth(1).and_then(|rest| rest.split(' ').next()).expect("its place");
            (n, y.parse().expect("a number"))
        })
        .collect();
    assert!(clamps.len() >= 3, "{:?}\n{:?}", setup.presets, setup.notes);
    let row = setup.rows.iter().find(|row| row.what.contains("flanks")).expect("its row");
    for (n, side) in [(1, 1.0), (2, -1.0)] {
        let off = row.sets.iter().find(|figure| figure.label() == format!("flank {n}, clamps"));
        let off = off.map(|figure| figure.shown.clone()).unwrap_or_default();
        let stay: Vec<f64> = clamps
            .iter()
            .filter(|(clamp, _)| !off.contains(&format!(" {clamp} ")))
            .map(|(_, y)| *y)
            .collect();
        assert!(stay.len() >= 2, "flank {n}: {off} of {clamps:?}");
        assert!(stay.iter().all(|y| y * side > -1.0), "flank {n}: {off} of {clamps:?}");
    }
}
