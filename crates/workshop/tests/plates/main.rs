//! Plates and blocks: what their features read as, what is refused, and the sizes and
//! settings they come to, held against figures reckoned by other means.

mod held;
mod outlines;
mod slots;

use workshop::bench::{Bench, read_bench};
use workshop::drawing::{Part, read_drawing, solve};
use workshop::geometry::Segment;
use workshop::measure::Length;
use workshop::metric::metricate;
use workshop::plan::sheet::{SetupSheet, When};
use workshop::plan::{Plan, plan};
use workshop::problem::Problem;

fn everything() -> Bench {
    read_bench("bench.toml", include_str!("../benches/everything.toml")).expect("the trial bench reads")
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
        ("kind = \"slot\"\nwidth = \"6\"\nopen = \"top\"\nalong = \"0°\"", "does not run toward the top"),
        ("kind = \"slot\"\nwidth = \"6\"\nopen = [\"top\", \"left\"]", "does not run toward the left"),
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
    let arm = include_str!("../parts/squared-arm.toml");
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
