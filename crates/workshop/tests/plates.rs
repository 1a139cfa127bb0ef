//! Plates and blocks: what their features read as, what is refused, and the sizes and
//! settings they come to, held against figures reckoned by other means.

use workshop::bench::{Bench, read_bench};
use workshop::drawing::{Part, read_drawing, solve};
use workshop::geometry::Segment;
use workshop::measure::Length;
use workshop::plan::{Plan, plan};
use workshop::problem::Problem;

fn everything() -> Bench {
    read_bench("bench.toml", include_str!("benches/everything.toml")).expect("the trial bench reads")
}

fn planned(text: &str) -> Plan {
    made(text).unwrap_or_else(|faults| panic!("{text}\n{}", told(&faults)))
}

fn made(text: &str) -> Result<Plan, Vec<Problem>> {
    plan(&read_drawing("part.toml", text)?, &everything())
}

fn told(faults: &[Problem]) -> String {
    faults.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n")
}

/// A block of 60 by 40 by 12 with one more thing in it.
fn block(more: &str) -> String {
    format!(
        "part = \"Block\"\nunit = \"mm\"\nmaterial = \"brass\"\nusual_roles = true\n[body]\nkind = \"rectangle\"\n\
         width = \"60\"\nheight = \"40\"\nthickness = \"12\"\ndatum = \"bottom left\"\n[[feature]]\nname = \"thing\"\n{more}\n"
    )
}

const MIDDLE: &str = "place = [\"30 right of datum\", \"20 above datum\"]";

/// What is shown under a label in the first row whose words begin so.
fn shown(plan: &Plan, row: &str, label: &str) -> String {
    let rows = plan.setups.iter().flat_map(|setup| &setup.rows);
    let row = rows.into_iter().find(|r| r.what.starts_with(row)).unwrap_or_else(|| panic!("no row `{row}`"));
    let figures = row.sets.iter().chain(&row.depth).chain(&row.check);
    let figure = figures.into_iter().find(|figure| figure.label() == label);
    figure.unwrap_or_else(|| panic!("no `{label}` in {row:?}")).shown.clone()
}

#[test]
fn what_a_feature_needs_and_has_not_is_asked_for_by_name() {
    for (thing, wanted) in [
        ("kind = \"taper pin hole\"", "pin is missing"),
        ("kind = \"taper pin hole\"\npin = \"2\"", "may be an inch pin or a metric one"),
        ("kind = \"taper pin hole\"\npin = \"7 mm\"", "there is no taper pin"),
        ("kind = \"countersink\"\nover = \"thing\"", "diameter is missing"),
        ("kind = \"countersink\"\ndiameter = \"6\"\nover = \"nothing\"", "nothing is called"),
        ("kind = \"countersink\"\ndiameter = \"6\"\nover = \"thing\"\nangle = \"5°\"", "has a cone of 5°"),
        ("kind = \"pocket\"\nwidth = \"9\"\nheight = \"9\"", "corner radius is missing"),
        (
            "kind = \"pocket\"\nwidth = \"9\"\nheight = \"9\"\ncorner = \"2\"\nalong = \"x\"",
            "cannot read `x` as an angle",
        ),
        ("kind = \"square hole\"", "across is missing"),
        ("kind = \"flatted hole\"\ndiameter = \"6\"\nacross = \"5\"", "`toward` is not given"),
        ("kind = \"row\"\nspacing = \"5\"\ndiameter = \"2\"", "`holes` is not given"),
        ("kind = \"row\"\nholes = 1\nspacing = \"5\"\ndiameter = \"2\"", "thing has 1 holes"),
        ("kind = \"row\"\nholes = 3\ndiameter = \"2\"", "spacing is missing"),
        (
            "kind = \"step\"\nface = \"top\"\nside = \"bottom\"\nleaves = \"30\"",
            "at the bottom of its own face",
        ),
        ("kind = \"corner\"\nradius = \"-2\"", "is not more than nought"),
        ("kind = \"slot\"\nwidth = \"6\"", "between centres is missing"),
        ("kind = \"slot\"\nwidth = \"6\"\nopen = []", "between centres is missing"),
        ("kind = \"slot\"\nwidth = \"6\"\nopen = \"north\"", "`north` is not known for `open`"),
        ("kind = \"slot\"\nwidth = \"6\"\nopen = \"front\"", "does not run toward the front"),
        ("kind = \"slot\"\nwidth = \"6\"\nopen = \"top\"", "does not run toward the top"),
        ("kind = \"slot\"\nwidth = \"6\"\nopen = [\"left\", \"left\"]", "open at the left twice"),
        (
            "kind = \"slot\"\nwidth = \"6\"\nopen = \"right\"\nalong = \"30°\"",
            "does not run toward the right",
        ),
    ] {
        let faults = read_drawing("part.toml", &block(&format!("{thing}\n{MIDDLE}"))).unwrap_err();
        assert!(faults.iter().any(|fault| fault.what().contains(wanted)), "{thing}: {}", told(&faults));
        assert!(faults.iter().all(|fault| fault.remedy().is_some()), "{}", told(&faults));
    }
}

#[test]
fn what_no_workshop_could_make_is_refused_with_a_way_out() {
    for (thing, wanted) in [
        (
            "kind = \"pocket\"\nwidth = \"9\"\nheight = \"9\"\ncorner = \"5\"",
            "the corners of `thing` do not fit",
        ),
        ("kind = \"pocket\"\nwidth = \"70\"\nheight = \"9\"\ncorner = \"2\"", "breaks out of the part"),
        ("kind = \"pocket\"\nwidth = \"9\"\nheight = \"9\"\ncorner = \"2\"\ndepth = \"12\"", "goes 12 mm"),
        (
            "kind = \"pocket\"\nwidth = \"20\"\nheight = \"12\"\ncorner = \"3\"\nalong = \"30°\"",
            "no way is known to make",
        ),
        ("kind = \"square hole\"\nacross = \"8\"\ndepth = \"5\"", "no way is known to make"),
        ("kind = \"flatted hole\"\ndiameter = \"8\"\nacross = \"8\"\ntoward = \"0°\"", "has no flat"),
        ("kind = \"flatted hole\"\ndiameter = \"8\"\nacross = \"4\"\ntoward = \"0°\"", "has no flat"),
        ("kind = \"corner\"", "no way is known to make"),
        (
            "kind = \"slot\"\nface = \"top\"\nwidth = \"13\"\ncentres = \"20\"\ndepth = \"3\"\nplace = [\"30 right of datum\", \"mid thickness\"]#",
            "runs out of the face",
        ),
        ("kind = \"step\"\nface = \"right\"\nside = \"top\"\nleaves = \"60\"", "leaves 60 mm"),
        (
            "kind = \"slot\"\nwidth = \"6\"\ncentres = \"29\"\nopen = \"right\"",
            "is 29 mm long and does not reach the right",
        ),
        ("kind = \"slot\"\nwidth = \"40\"\nopen = \"right\"", "breaks out of the part"),
        (
            "kind = \"slot\"\nwidth = \"6\"\nopen = \"right\"\nplace = [\"61 right of datum\", \"20 above datum\"]#",
            "begins 1 mm beyond the right",
        ),
        (
            "kind = \"slot\"\nwidth = \"6\"\nopen = \"right\"\nplace = [\"2 right of datum\", \"20 above datum\"]#",
            "breaks out of the part by 1",
        ),
    ] {
        let faults =
            made(&block(&format!("{thing}\n{MIDDLE}").replace(&format!("#\n{MIDDLE}"), ""))).unwrap_err();
        assert!(faults[0].what().contains(wanted), "{thing}: {}", told(&faults));
        assert!(faults.iter().all(|fault| fault.remedy().is_some()), "{}", told(&faults));
    }
}

/// A slot that breaks out says how to say that it is meant.
#[test]
fn a_slot_that_breaks_out_is_told_how_to_be_open() {
    let edge = "place = [\"30 right of datum\", \"mid thickness\"]";
    for (face, along, centres, place, side) in [
        ("front", 0, 62, MIDDLE, "right"),
        ("back", 90, 40, MIDDLE, "top"),
        ("top", 0, 62, edge, "right"),
        ("top", 90, 10, edge, "front"),
    ] {
        let text = block(&format!(
            "kind = \"slot\"\nface = \"{face}\"\nwidth = \"5\"\ncentres = \"{centres}\"\nalong = \"{along}°\"\ndepth = \"3\"\n{place}"
        ));
        let faults = made(&text).unwrap_err();
        let mend = faults[0].remedy().unwrap_or_default();
        assert!(mend.contains(&format!("`open = \"{side}\"`")), "{face} {along}: {}", told(&faults));
    }
}

/// An open slot of 6 by a cutter of 6: it starts clear of the outside by 3 and 1, and
/// stops at its closed end; a hole right across both cheeks may cross it, one that stops
/// in the gap or beside its end may not.
#[test]
fn an_open_slot_runs_in_from_its_side() {
    let slot = |open: &str, along: i32, more: &str| {
        block(&format!(
            "kind = \"slot\"\nwidth = \"6\"\nopen = {open}\nalong = \"{along}°\"\n{MIDDLE}\n{more}"
        ))
    };
    for (open, along, start, stop) in [
        ("\"right\"", 0, ["64.000 mm", "20.000 mm"], ["30.000 mm", "20.000 mm"]),
        ("\"right\"", 180, ["64.000 mm", "20.000 mm"], ["30.000 mm", "20.000 mm"]),
        ("\"left\"", 0, ["-4.000 mm", "20.000 mm"], ["30.000 mm", "20.000 mm"]),
        ("\"top\"", 90, ["30.000 mm", "44.000 mm"], ["30.000 mm", "20.000 mm"]),
        ("[\"right\", \"left\"]", 0, ["-4.000 mm", "20.000 mm"], ["64.000 mm", "20.000 mm"]),
    ] {
        let found = planned(&slot(open, along, ""));
        let at = |end: &str| ["X", "Y"].map(|axis| shown(&found, "mill thing", &format!("{axis} {end}")));
        assert_eq!((at("start"), at("stop")), (start.map(String::from), stop.map(String::from)), "{open}");
        let rows = || found.setups.iter().flat_map(|setup| &setup.rows);
        assert!(!rows().any(|row| row.what.starts_with("drill thing")), "{open}: no way in is drilled");
    }
    // Right across the part it is placed across alone; with one open end its other is asked for.
    let across = |open: &str| slot(open, 0, "").replace(MIDDLE, "place = [\"20 above datum\"]");
    let found = planned(&across("[\"left\", \"right\"]"));
    assert_eq!(shown(&found, "mill thing", "X stop"), "64.000 mm");
    assert!(
        told(&made(&across("\"right\"")).unwrap_err()).contains("how far to the right or left `thing` is")
    );
    let hole = |x: i32, depth: &str| {
        slot(
            "\"right\"",
            0,
            &format!(
                "[[feature]]\nname = \"pin\"\nkind = \"hole\"\nface = \"top\"\ndiameter = \"4\"\n{depth}place = [\"{x} right of datum\", \"mid thickness\"]"
            ),
        )
    };
    planned(&hole(50, ""));
    planned(&hole(50, "depth = \"35\"\n"));
    for refused in [hole(50, "depth = \"20\"\n"), hole(27, "")] {
        let faults = made(&refused).unwrap_err();
        assert!(told(&faults).contains("breaks into"), "{}", told(&faults));
    }
}

/// The outside of a rod is cut after its notch: the cutter starts clear of the blank, which
/// stands 2 mm and the odd millimetre out beyond 58.5 at its right.
#[test]
fn an_open_slot_starts_clear_of_a_blank_that_is_not_cut_to_shape_yet() {
    let found = planned(
        "part = \"Rod\"\nunit = \"mm\"\nmaterial = \"brass\"\nusual_roles = true\n[body]\nkind = \"bosses\"\n\
         around = [\"big\", \"small\"]\nthickness = \"6\"\n\
         [[feature]]\nname = \"big\"\nkind = \"boss\"\nradius = \"11\"\nplace = [\"at datum\"]\n\
         [[feature]]\nname = \"small\"\nkind = \"boss\"\nradius = \"8.5\"\n\
         place = [\"50 right of datum\", \"level with big\"]\n\
         [[feature]]\nname = \"bore\"\nkind = \"hole\"\ndiameter = \"10\"\nfinish = \"reamed\"\n\
         place = [\"concentric with big\"]\n\
         [[feature]]\nname = \"notch\"\nkind = \"slot\"\nwidth = \"6\"\nopen = \"right\"\n\
         place = [\"44 right of datum\", \"level with big\"]\n",
    );
    let at = |label| shown(&found, "mill notch", label).trim_end_matches(" mm").parse::<f64>().unwrap();
    // From the stop at 44 to the blank's end at 61, the cutter's 3 and 1.
    assert!((at("X start") - at("X stop") - 21.0).abs() < 1e-9, "{} {}", at("X start"), at("X stop"));
}

/// What an open slot takes away: its straight part to the edge, and half a round; beside it
/// its walls stand, and none is found where it runs out.
#[test]
fn an_open_slot_takes_its_metal_away_up_to_the_edge() {
    use std::f64::consts::PI;
    use workshop::drawing::Face;
    use workshop::drawing::Image;
    use workshop::drawing::solid::{Beside, walls_in_space, weigh};
    let edge = "place = [\"30 right of datum\", \"mid thickness\"]";
    let end = "place = [\"20 above datum\", \"mid thickness\"]";
    for (face, along, open, deep, place, away, beside, wall_mm) in [
        ("front", 0, "\"right\"", 12, MIDDLE, 30.0 * 6.0 + PI * 4.5, Face::Top, 17.0),
        ("back", 90, "\"bottom\"", 5, MIDDLE, 20.0 * 6.0 + PI * 4.5, Face::Right, 27.0),
        ("front", 0, "[\"left\", \"right\"]", 5, MIDDLE, 60.0 * 6.0, Face::Bottom, 17.0),
        ("top", 0, "\"right\"", 5, edge, 30.0 * 6.0 + PI * 4.5, Face::Back, 3.0),
        ("top", 90, "\"front\"", 5, edge, 6.0 * 6.0 + PI * 4.5, Face::Back, 3.0),
        ("left", 90, "[\"front\", \"back\"]", 5, end, 12.0 * 6.0, Face::Top, 17.0),
    ] {
        let depth = if deep == 12 { String::new() } else { format!("depth = \"{deep}\"\n") };
        let text = block(&format!(
            "kind = \"slot\"\nface = \"{face}\"\nwidth = \"6\"\nopen = {open}\nalong = \"{along}°\"\n{depth}{place}"
        ));
        let drawing = read_drawing("part.toml", &text).unwrap();
        let solved = solve(&drawing).unwrap();
        let drawn = Part::as_drawn(&drawing, &solved);
        let wanted = 60.0 * 40.0 * 12.0 - away * f64::from(deep);
        for image in [Image::Drawn, Image::Mirrored] {
            let part = drawn.seen(image);
            assert!(part.impossible().is_empty(), "{face} {open}: {}", told(&part.impossible()));
            let found = weigh(&part).unwrap().part.mm3;
            assert!((found - wanted).abs() < 1e-3, "{face} {open}: {found}, {wanted}");
            let beside = Beside::Face(part.side(beside));
            let walls = walls_in_space(&part);
            let wall = walls.iter().find(|wall| wall.second == beside).unwrap_or_else(|| panic!("{walls:?}"));
            assert_eq!(wall.thickness, Length::nearest(wall_mm), "{face} {open}");
            let open = part.slot_opens(wall.first).into_iter().flatten();
            let out: Vec<Beside> = open.map(|side| Beside::Face(part.side(side))).collect();
            assert!(walls.iter().all(|wall| !out.contains(&wall.second)), "{walls:?}");
        }
    }
}

/// A pocket of 24 by 16 with a cutter of 6: its middle stays 3 inside each side.
#[test]
fn a_pocket_is_cut_inside_its_sides() {
    let text = block(&format!(
        "kind = \"pocket\"\nwidth = \"24\"\nheight = \"16\"\ncorner = \"3\"\ndepth = \"5\"\n{MIDDLE}"
    ));
    let found = planned(&text);
    let at = |label| shown(&found, "mill thing", label);
    assert_eq!([at("X least"), at("X greatest")], ["21.000 mm", "39.000 mm"]);
    assert_eq!([at("Y least"), at("Y greatest")], ["15.000 mm", "25.000 mm"]);
    assert!(at("passes").ends_with("5.000 mm"), "{}", at("passes"));
    // The way in for the cutter stops short of the floor with its point: 0.3 of 12.7 mm
    // and 0.2 mm leave 0.99 of the 5 mm.
    let entry = shown(&found, "drill thing", "depth");
    let deep: f64 = entry.split_whitespace().next().unwrap().trim_start_matches('≈').parse().unwrap();
    let drill: f64 = {
        let rows = found.setups.iter().flat_map(|setup| &setup.rows);
        let row = rows.into_iter().find(|row| row.what.starts_with("drill thing")).unwrap();
        row.what.split_whitespace().rev().nth(1).unwrap().parse().unwrap()
    };
    assert!(deep > 0.0 && deep + 0.3 * drill <= 4.8 + 1e-9, "{deep} deep with drill {drill}");
    // Turned by a right angle, width and height change places.
    let turned = planned(&text.replace("depth = \"5\"", "depth = \"5\"\nalong = \"90°\""));
    assert_eq!(shown(&turned, "mill thing", "X least"), "25.000 mm");
    assert_eq!(shown(&turned, "mill thing", "Y greatest"), "29.000 mm");
}

/// ISO 2339: a 4 mm pin is 4 mm at the small end and tapers 1:50, so 4.24 mm after 12 mm.
/// ASME B18.8.2: a No. 4 pin is 0.250 in at the large end and tapers 1:48: 6.35 mm, and
/// 6.1 mm after 12 mm.
#[test]
fn a_hole_for_a_taper_pin_has_the_ends_of_its_pin() {
    let hole = |pin: &str| planned(&block(&format!("kind = \"taper pin hole\"\npin = {pin}\n{MIDDLE}")));
    assert_eq!(shown(&hole("\"4 mm\""), "ream thing", "large end"), "4.24 mm");
    let kept = hole("{ is = \"No. 4\", role = \"hold\" }");
    assert_eq!(shown(&kept, "ream thing", "large end"), "6.35 mm");
    let drawing =
        read_drawing("part.toml", &block(&format!("kind = \"taper pin hole\"\npin = \"No. 4\"\n{MIDDLE}")));
    let drawing = drawing.unwrap();
    let solved = solve(&drawing).unwrap();
    let (large, small) = Part::as_drawn(&drawing, &solved).pin_ends(workshop::drawing::FeatureId(0)).unwrap();
    assert_eq!((large, small), (Length::microns(6350), Length::microns(6100)));
    // Unless it is held, the inch pin gives way to the metric one nearest where it goes in:
    // 6 mm is 6.24 there, 5 mm 5.24.
    assert_eq!(shown(&hole("\"No. 4\""), "ream thing", "large end"), "6.24 mm");
    // The drills never reach the finished hole: where each stops it is narrower.
    let rows =
        kept.setups.iter().flat_map(|setup| &setup.rows).filter(|row| row.what.starts_with("drill thing"));
    for row in rows.skip(1) {
        let numbers = |text: &str| -> Vec<f64> {
            text.split(|c: char| !c.is_ascii_digit() && c != '.')
                .filter_map(|word| word.parse().ok())
                .collect()
        };
        let name = row.what.trim_start_matches("drill thing ");
        let drill = workshop::tables::drills::find(name).unwrap().diameter.as_mm();
        let deep = numbers(&row.depth[0].shown)[0];
        assert!(drill < 6.35 - deep / 48.0, "{} {}", row.what, row.depth[0].shown);
    }
}

/// Over a hole of 6 mm a cone of 90° and 10 mm across is 2 mm deep; one of 60° as much
/// more as 1/tan 30° is, 3.464 mm.
#[test]
fn a_countersink_goes_as_deep_as_its_cone() {
    let text = |angle: &str| {
        block(&format!(
            "kind = \"hole\"\ndiameter = {{ is = \"6\", role = \"hold\" }}\n{MIDDLE}\n[[feature]]\nname = \"sunk\"\nkind = \"countersink\"\n\
             over = \"thing\"\ndiameter = {{ is = \"10\", role = \"hold\" }}\n{angle}"
        ))
    };
    let goes = |angle: &str| {
        shown(&planned(&text(angle)), "countersink sunk", "goes on after it touches the edge of the hole")
    };
    assert_eq!(goes("angle = \"90°\""), "2.000 mm");
    let sixty: f64 = goes("angle = \"60°\"").trim_end_matches(" mm").parse().unwrap();
    assert!((sixty - 3.464).abs() <= 0.0025 + 1e-9, "{sixty}");
    // No angle on the drawing: 90° is supposed, and the cover says so.
    let supposed = planned(&text(""));
    assert!(supposed.cover.assumed.iter().any(|said| said == "sunk is a cone of 90°"));
    let narrow = text("").replace("\"10\"", "\"5\"");
    assert!(told(&made(&narrow).unwrap_err()).contains("no wider than the hole"));
}

/// Of 8 mm with a flat at 7 mm: the drill of at most 6.9 mm stands 0.5 mm away from the
/// flat, and the flat lies 3 mm from the middle.
#[test]
fn a_flatted_hole_is_drilled_between_its_flat_and_its_far_side() {
    let found = planned(&block(&format!(
        "kind = \"flatted hole\"\ndiameter = \"8\"\nacross = \"7\"\ntoward = \"90°\"\n{MIDDLE}"
    )));
    assert_eq!(shown(&found, "drill thing", "Y"), "19.500 mm");
    assert_eq!(shown(&found, "drill thing", "X"), "30.000 mm");
    assert_eq!(shown(&found, "file thing", "flat from the middle of the round"), "3 mm");
    // Diagonal of a square of 9 mm: 12.728 mm.
    let square = planned(&block(&format!("kind = \"square hole\"\nacross = \"9\"\n{MIDDLE}")));
    assert_eq!(shown(&square, "file thing", "corner to corner"), "≈12.728 mm");
}

/// Four holes, 12 mm apart at 30°: 10.392 along and 6 up each.
#[test]
fn a_row_is_drilled_by_coordinates() {
    let found = planned(&block(
        "kind = \"row\"\nholes = 4\nspacing = \"12\"\nalong = \"30°\"\ndiameter = \"3\"\nplace = [\"10 right of datum\", \"8 above datum\"]",
    ));
    for (hole, x, y) in [(1, 10.0, 8.0), (2, 20.392, 14.0), (3, 30.785, 20.0), (4, 41.177, 26.0)] {
        let at = |axis: &str| -> f64 {
            shown(&found, "drill thing", &format!("{axis}, hole {hole}"))
                .trim_end_matches(" mm")
                .parse()
                .unwrap()
        };
        assert!(
            (at("X") - x).abs() < 0.003 && (at("Y") - y).abs() < 0.003,
            "{hole}: {} {}",
            at("X"),
            at("Y")
        );
    }
}

/// A step from the top that leaves 30 of 40 takes 10 off; its shoulder lies 5 mm from the
/// back, which with the top up and the back away is 5 mm towards the person.
#[test]
fn a_step_from_an_edge_is_measured_from_the_opposite_edge() {
    let found = planned(&block(
        "kind = \"step\"\nface = \"top\"\nside = \"front\"\nleaves = \"30\"\nplace = [\"5 in front of back face\"]",
    ));
    let passes = shown(&found, "mill thing", "passes");
    assert!(passes.ends_with("10.000 mm") || passes.starts_with("10.000 mm"), "{passes}");
    assert_eq!(shown(&found, "mill thing", "leaves"), "30 mm");
    let rows = found.setups.iter().flat_map(|setup| &setup.rows);
    let row = rows.into_iter().find(|row| row.what.starts_with("mill thing")).unwrap();
    let cutter: f64 = row.tool.split_whitespace().nth(2).unwrap().parse().unwrap();
    let at: f64 = shown(&found, "mill thing", "Y at the shoulder").trim_end_matches(" mm").parse().unwrap();
    assert!((at + 5.0 + cutter / 2.0).abs() < 0.003, "{at} with a cutter of {cutter}");
}

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

/// An outline of 40 by 30 with corners of 5 and an inside one of 4 at a bite of 15 by 10:
/// the area is that of the corners, less r²(1 − π/4) at an outside corner and as much more
/// at an inside one.
#[test]
fn an_outline_has_the_area_and_length_of_its_corners() {
    let corner = |name: &str, x: i32, y: i32, r: i32| {
        let radius = if r > 0 { format!("radius = \"{r}\"\n") } else { String::new() };
        format!(
            "[[feature]]\nname = \"{name}\"\nkind = \"corner\"\n{radius}place = [\"{x} right of datum\", \"{y} above datum\"]\n"
        )
    };
    let stops = [
        ("a", 0, 0, 5),
        ("b", 40, 0, 5),
        ("c", 40, 20, 5),
        ("d", 25, 20, 4),
        ("e", 25, 30, 0),
        ("f", 0, 30, 5),
    ];
    let mut text = String::from(
        "part = \"L\"\nunit = \"mm\"\n[body]\nkind = \"outline\"\naround = [\"a\", \"b\", \"c\", \"d\", \"e\", \"f\"]\nthickness = \"5\"\n",
    );
    for (name, x, y, r) in stops {
        text += &corner(name, x, y, r);
    }
    let drawing = read_drawing("part.toml", &text).unwrap_or_else(|faults| panic!("{}", told(&faults)));
    let solved = solve(&drawing).unwrap();
    let outline = Part::as_drawn(&drawing, &solved).outline().unwrap();
    let corner = 1.0 - std::f64::consts::FRAC_PI_4;
    let area = 40.0 * 30.0 - 15.0 * 10.0 - 4.0 * 25.0 * corner + 16.0 * corner;
    assert!((outline.area_mm2() - area).abs() < 1e-9, "{} {area}", outline.area_mm2());
    let length = 140.0 - (4.0 * 5.0 + 4.0) * (2.0 - std::f64::consts::FRAC_PI_2);
    assert!((outline.length_mm() - length).abs() < 1e-9, "{} {length}", outline.length_mm());
    // Every rounding runs on from its side and into the next without a kink.
    let heading = |segment: &Segment, share: f64| {
        let (a, b) = (segment.along(share - 1e-6), segment.along(share + 1e-6));
        a.direction_rad(b)
    };
    let segments = outline.segments();
    for (n, arc) in segments.iter().enumerate().filter(|(_, s)| matches!(s, Segment::Arc(_))) {
        let (before, after) =
            (&segments[(n + segments.len() - 1) % segments.len()], &segments[(n + 1) % segments.len()]);
        for (one, other) in
            [(heading(before, 1.0), heading(arc, 0.0)), (heading(arc, 1.0), heading(after, 0.0))]
        {
            assert!((one - other).sin().abs() < 1e-5, "a kink beside piece {n}");
        }
    }
    // An arc of 25 out of the side of 40 adds a segment of half-angle asin 0.8.
    let bulged = text
        .replace("around = [\"a\", \"b\"", "around = [\"a\", { arc = \"25\", bulge = \"out\" }, \"b\"")
        .replace("radius = \"5\"\n", "");
    let drawing = read_drawing("part.toml", &bulged).unwrap();
    let solved = solve(&drawing).unwrap();
    let outline = Part::as_drawn(&drawing, &solved).outline().unwrap();
    let half = 0.8_f64.asin();
    let segment = 25.0 * 25.0 * (half - half.sin() * half.cos());
    let area = 40.0 * 30.0 - 15.0 * 10.0 + 16.0 * corner + segment;
    assert!((outline.area_mm2() - area).abs() < 1e-9, "{} {area}", outline.area_mm2());
}

#[test]
fn an_outline_that_cannot_be_drawn_says_where() {
    let text = |around: &str, radius: &str| {
        let mut text = format!(
            "part = \"Wedge\"\nunit = \"mm\"\n[body]\nkind = \"outline\"\naround = [{around}]\nthickness = \"5\"\n"
        );
        for (name, kind, x, y) in [
            ("a", "corner", 0, 0),
            ("b", "corner", 40, 0),
            ("c", "corner", 40, 20),
            ("d", "corner", 0, 20),
            ("n", "boss", 10, 10),
            ("h", "hole", 5, 5),
        ] {
            let size = match kind {
                "corner" => radius,
                "boss" => "radius = \"4\"",
                _ => "diameter = \"3\"",
            };
            text += &format!(
                "[[feature]]\nname = \"{name}\"\nkind = \"{kind}\"\n{size}\nplace = [\"{x} right of datum\", \"{y} above datum\"]\n"
            );
        }
        text
    };
    let all = "\"a\", \"b\", \"c\", \"d\"";
    for (around, wanted) in [
        ("\"a\", \"b\"", "goes round too little"),
        ("", "goes round too little"),
        ("\"a\", \"h\", \"c\"", "neither a corner nor a boss"),
        ("\"a\", \"b\", \"a\", \"c\"", "goes round `a` twice"),
        ("\"a\", \"b\", { arc = \"20\", bulge = \"out\" }, \"n\"", "does not stand between two corners"),
        ("\"a\", { arc = \"20\", bulge = \"up\" }, \"b\", \"c\"", "is not known for `bulge`"),
        ("\"a\", { arc = \"20\" }, \"b\", \"c\"", "`bulge` is not given"),
        ("\"a\", { bulge = \"in\" }, \"b\", \"c\"", "is missing"),
        ("\"a\", 7, \"b\", \"c\"", "nothing is called `7`"),
    ] {
        let faults = read_drawing("part.toml", &text(around, "")).unwrap_err();
        assert!(told(&faults).contains(wanted), "{around}: {}", told(&faults));
    }
    for (around, radius, wanted) in [
        ("\"d\", \"c\", \"b\", \"a\"", "", "runs clockwise"),
        ("\"a\", \"c\", \"b\", \"d\"", "", "crosses itself: a to c meets b to d"),
        ("\"a\", \"b\", { arc = \"9\", bulge = \"out\" }, \"c\", \"d\"", "", "does not reach from b to c"),
        (all, "radius = \"11\"", "run into each other"),
        (all, "radius = \"30\"", "does not fit at"),
    ] {
        let drawing = read_drawing("part.toml", &text(around, radius)).unwrap();
        let solved = solve(&drawing).unwrap();
        let fault = Part::as_drawn(&drawing, &solved).outline().unwrap_err();
        assert!(fault.to_string().contains(wanted), "{around}: {fault}");
        assert!(fault.remedy().is_some(), "{fault}");
    }
}

/// A reamed hole of 1/4 in, 1.27 mm from a slanting side: 30.48 − 0.6 × 19.05 − 0.8 × 18.256
/// − 3.175. Round numbers alone would thin that wall.
#[test]
fn a_wall_to_a_slanting_side_is_kept() {
    let text = "part = \"Gusset\"\nunit = \"inch\"\nmaterial = \"mild steel\"\n[body]\nkind = \"outline\"\naround = [\"a\", \"b\", \"c\"]\n\
        thickness = \"1/8\"\n[[feature]]\nname = \"a\"\nkind = \"corner\"\nplace = [\"datum\"]\n[[feature]]\nname = \"b\"\nkind = \"corner\"\n\
        place = [\"2 right of a\", \"level with a\"]\n[[feature]]\nname = \"c\"\nkind = \"corner\"\nplace = [\"plumb with a\", \"1 1/2 above a\"]\n\
        [[feature]]\nname = \"bore\"\nkind = \"hole\"\ndiameter = \"1/4\"\nfinish = \"reamed\"\nplace = [\"3/4 right of a\", \"23/32 above a\"]\n";
    let drawing = read_drawing("part.toml", text).unwrap();
    let solved = solve(&drawing).unwrap();
    let drawn = Part::as_drawn(&drawing, &solved);
    let wall = |part: &Part| part.walls()[0].thickness.as_mm();
    assert!((wall(&drawn) - 1.27).abs() < 1e-3, "{}", wall(&drawn));
    let metric = workshop::metric::metricate(&drawing, &solved, &everything()).unwrap();
    let made = drawn.with_sizes(metric.sizes.clone());
    assert!(wall(&made) >= 1.27 - 1e-3, "{} with {:?}", wall(&made), metric.sizes.lengths);
}

/// A window right through is chain drilled inside its line first: the end holes stand half
/// a drill and half a millimetre from the sides, the others at even distances that leave
/// 0.2 to 0.5 mm of metal between them.
#[test]
fn a_window_is_chain_drilled_before_it_is_milled() {
    let found = planned(&block(&format!(
        "kind = \"pocket\"\nwidth = \"44\"\nheight = \"30\"\ncorner = \"3\"\n{MIDDLE}"
    )));
    let rows = found.setups.iter().flat_map(|setup| &setup.rows);
    let row = rows.into_iter().find(|row| row.what.starts_with("mill thing")).unwrap();
    for (side, long) in [("width", 44.0), ("height", 30.0)] {
        let at = |what: &str| {
            let wanted = format!(" along the {side}, {what}");
            let figure = row.sets.iter().find(|figure| figure.label().ends_with(&wanted)).unwrap();
            let drill =
                figure.label().trim_start_matches("first chain drill ").split(" along").next().unwrap();
            let drill = workshop::tables::drills::find(drill).unwrap().diameter.as_mm();
            let number: f64 =
                figure.shown.trim_start_matches('≈').split(' ').next().unwrap().parse().unwrap();
            (drill, number)
        };
        let ((drill, pitch), (_, holes)) = (at("pitch of the holes"), at("holes"));
        assert!((0.2..=0.5 + 1e-9).contains(&(pitch - drill)), "{side}: {pitch} with {drill}");
        assert!((pitch * (holes - 1.0) + drill + 1.0 - long).abs() < 0.01, "{side}: {holes} of {pitch}");
    }
}

/// The square on the shaft follows the square in the arm, also where the fit is a pair.
#[test]
fn a_squared_shaft_follows_its_hole() {
    let arm = include_str!("parts/squared-arm.toml");
    for fit in ["sliding", "H7/g6", "press"] {
        let found = planned(&arm.replace("\"sliding\"", &format!("\"{fit}\"")));
        let size = |name: &str| {
            found.cover.changes.iter().find(|change| change.name == name).unwrap().chosen.clone()
        };
        assert_eq!(size("shaft square: across"), "8 mm", "{fit}");
        assert_eq!(size("governor shaft: size"), "8 mm", "{fit}");
    }
    let pinned = planned(arm);
    let rows = pinned.setups.iter().flat_map(|setup| &setup.rows);
    let words: Vec<&str> = rows.map(|row| row.what.as_str()).collect();
    assert!(
        words.iter().any(|what| what.contains("the governor shaft in place in shaft square")),
        "{words:?}"
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
    let bench = read_bench("bench.toml", include_str!("benches/no-rotary.toml")).expect("the bench reads");
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
