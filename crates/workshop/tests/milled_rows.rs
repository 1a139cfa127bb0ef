//! What a row on the mill says of how it is cut: sideways bites, both faces, speeds of the head.

use workshop::bench::{Bench, read_bench};
use workshop::drawing::read_drawing;
use workshop::plan::{Plan, plan};
use workshop::problem::Problem;
use workshop::sheet::Row;

fn told(faults: &[Problem]) -> String {
    faults.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n")
}

fn bench(more: &str) -> Bench {
    let text = format!(
        "drills = [\"1 mm to 13 mm by 0.1 mm\"]\n[mill]\nspeeds = [200, 500, 750, 1200, 2400]\nreadout_step = \"0.01 mm\"\n\
         [boring_head]\nleast = \"10 mm\"\nmost = \"60 mm\"\n\
         [[end_mill]]\ndiameter = \"5 mm\"\nflute = \"15 mm\"\nteeth = 4\n\
         [[end_mill]]\ndiameter = \"16 mm\"\nflute = \"32 mm\"\nteeth = 4\n{more}"
    );
    read_bench("bench.toml", &text).unwrap_or_else(|faults| panic!("{}", told(&faults)))
}

fn planned(material: &str, features: &str, bench: &Bench) -> Plan {
    let text = format!(
        "part = \"Block\"\nunit = \"mm\"\nmaterial = \"{material}\"\ngeneral_tolerance = \"coarse\"\n\
         [body]\nkind = \"rectangle\"\nwidth = 50\nheight = 40\nthickness = 12\ndatum = \"centre\"\n{features}"
    );
    let drawing = read_drawing("part.toml", &text).unwrap_or_else(|faults| panic!("{}", told(&faults)));
    plan(&drawing, bench).unwrap_or_else(|faults| panic!("{}", told(&faults)))
}

fn row<'p>(made: &'p Plan, what: &str) -> &'p Row {
    let rows = made.setups.iter().flat_map(|setup| &setup.rows);
    let all: Vec<&str> = made.setups.iter().flat_map(|s| &s.rows).map(|r| r.what.as_str()).collect();
    rows.into_iter().find(|row| row.what.contains(what)).unwrap_or_else(|| panic!("{what}: {all:?}"))
}

fn shown(row: &Row, label: &str) -> Option<String> {
    row.depth.iter().find(|figure| figure.label() == label).map(|figure| figure.shown.clone())
}

const FLAT: &str = "[[stock]]\nmaterial = \"mild steel\"\nflat = [\"14 mm\"]\nwidth = \"60 mm\"\n";

/// By hand: a cutter of 16 mm takes a quarter of itself sideways, 4 mm; a ledge of 10 wants more
/// than one such cut, a ledge of 3 does not.
#[test]
fn a_wide_ledge_says_how_much_is_taken_sideways() {
    for (from, at_a_time) in [("10", Some("4 mm at most")), ("3", None)] {
        let step = format!(
            "[[feature]]\nname = \"ledge\"\nkind = \"step\"\nface = \"front\"\nleaves = 6\nside = \"top\"\nplace = [\"{from} from top edge\"]\n"
        );
        let made = planned("mild steel", &step, &bench(""));
        let shown = shown(row(&made, "mill ledge"), "Y, at a time");
        assert_eq!(shown.as_deref(), at_a_time, "{from}");
    }
}

/// 14 mm flat for a part of 12: what comes off is not all to be taken from the face that is up.
#[test]
fn what_is_faced_off_is_shared_by_both_faces() {
    let made = planned("mild steel", "", &bench(FLAT));
    let faced = shown(row(&made, "face to 12 mm"), "of both faces together");
    assert!(faced.is_some_and(|words| words.contains("turn it over")));
}

/// Aluminium would bear 90 m/min, 1430 turns at 20 mm: no boring head does.
#[test]
fn a_boring_head_turns_no_faster_than_it_should() {
    let hole = "[[feature]]\nname = \"seat\"\nkind = \"hole\"\ndiameter = 20\nfinish = \"bored\"\nplace = [\"datum\"]\n";
    let made = planned("aluminium", hole, &bench(""));
    let speed = row(&made, "bore seat").speed.as_ref().expect("a speed");
    assert_eq!(speed.shown, "750 rev/min");
}

/// No cutter of 7 mm is owned: one of 5 goes along either side, 1 mm off the middle.
#[test]
fn a_slot_that_no_cutter_is_as_wide_as_is_opened_on_both_sides() {
    let slot = "[[feature]]\nname = \"guide\"\nkind = \"slot\"\nwidth = { is = \"7\", within = \"0.05\" }\ncentres = 20\ndepth = 4\nplace = [\"datum\"]\n";
    let made = planned("brass", slot, &bench(""));
    let milled = row(&made, "mill guide");
    assert!(milled.tool.contains("5 mm"), "{}", milled.tool);
    let sides: Vec<_> = milled.sets.iter().filter(|figure| figure.label().contains("side")).collect();
    assert!(!sides.is_empty(), "{:?}", milled.sets);
}

/// A cutter of the very size that is too short is no reason to allow more.
#[test]
fn no_more_is_asked_for_than_would_help() {
    let text = "part = \"Block\"\nunit = \"mm\"\nmaterial = \"brass\"\n[body]\nkind = \"rectangle\"\nwidth = 90\nheight = 80\n\
                thickness = 70\ndatum = \"centre\"\n[[feature]]\nname = \"way\"\nkind = \"slot\"\nwidth = \"5\"\ncentres = 20\nplace = [\"datum\"]\n";
    let drawing = read_drawing("part.toml", text).unwrap_or_else(|faults| panic!("{}", told(&faults)));
    let faults = told(&plan(&drawing, &bench("")).expect_err("no cutter of 5 mm reaches 70 deep"));
    assert!(faults.contains("must reach as deep as the cut"), "{faults}");
    assert!(!faults.contains("0.000"), "{faults}");
}

/// By hand: 40 and 2 for the saw stand 42 high, 30 of them in jaws of 30; on its end 52. Between
/// shallow jaws of 10 a quarter of 52 is more than there is.
#[test]
fn squaring_says_what_the_jaws_grip() {
    let squared = |jaws: &str, material: &str, stock: &str| {
        let bench = bench(stock);
        let jaws = workshop::measure::Length::mm(jaws.parse().unwrap());
        let mill = workshop::bench::Mill { jaws: Some(jaws), ..bench.mill.clone() };
        let made = planned(material, "", &Bench { mill, ..bench });
        row(&made, "two edges square").clone()
    };
    let bright = squared("30", "mild steel", FLAT);
    assert_eq!(shown(&bright, "the longer edge up").as_deref(), Some("30 mm in the jaws, 12 mm out"));
    assert_eq!(shown(&bright, "standing on its end").as_deref(), Some("30 mm in the jaws, 22 mm out"));
    assert!(shown(&bright, "against the moving jaw").unwrap().starts_with("its own face"));
    let black = squared("30", "black mild steel", &format!("{FLAT}surface = \"black\"\n"));
    assert!(shown(&black, "against the moving jaw").unwrap().starts_with("a soft round rod"));
    let shallow = squared("10", "mild steel", FLAT);
    assert!(shallow.depth.iter().any(|figure| figure.label().ends_with("mind")), "{:?}", shallow.depth);
}

fn step(face: &str, leaves: u32, side: &str, place: &str) -> String {
    format!(
        "[[feature]]\nname = \"leg\"\nkind = \"step\"\nface = \"{face}\"\nleaves = {leaves}\nside = \"{side}\"\nplace = [\"{place}\"]\n"
    )
}

/// 35 mm down from the top is too much for flutes of 32, and from the left it is 10: cut with the left up,
/// the cutter of 16 stands its radius beyond what is left of the height, 5 + 8 from the bottom.
#[test]
fn a_step_too_deep_from_its_face_is_cut_in_from_its_side() {
    let made = planned("mild steel", &step("top", 5, "left", "10 from left edge"), &bench(""));
    let cut = row(&made, "mill leg in from its side, down to 40 mm");
    let setup = made.setups.iter().find(|s| s.rows.iter().any(|r| r.what == cut.what)).expect("its setup");
    assert!(setup.title.contains("left edge up"), "{}", setup.title);
    assert_eq!(cut.sets[0].shown, "13.00 mm", "{:?}", cut.sets);
    assert!(shown(cut, "passes").is_some_and(|passes| passes.ends_with("10.00 mm")));
    assert_eq!(cut.check.as_ref().map(|check| check.shown.as_str()), Some("40 mm"));
}

/// 35 down and 40 across: no cutter owned reaches either way. ISO 1641-1 has 16 mm with flutes of 63.
#[test]
fn where_no_cutter_reaches_a_long_one_is_to_be_bought() {
    let made = planned("mild steel", &step("top", 5, "left", "10 from right edge"), &bench(""));
    assert!(row(&made, "mill leg down to 5 mm").depth.iter().any(|figure| figure.label() == "passes"));
    let bought = |words: &String| words.contains("end mill of 16 mm with flutes 63 mm long");
    assert!(made.order.assumed.iter().any(bought), "{:?}", made.order.assumed);
}

/// A step from the top that is open to the front, and a hole in the front: one setting does both.
#[test]
fn a_step_is_cut_from_the_side_that_is_up_anyway() {
    let hole = "[[feature]]\nname = \"pin\"\nkind = \"hole\"\ndiameter = 5\nplace = [\"datum\"]\n";
    let leg = step("top", 30, "front", "4 in front of back face");
    let made = planned("mild steel", &format!("{leg}{hole}"), &bench(""));
    let cut = row(&made, "mill leg in from its side, down to 4 mm");
    let together = made.setups.iter().find(|s| s.rows.iter().any(|r| r.what == cut.what)).expect("its setup");
    assert!(together.rows.iter().any(|row| row.what.contains("drill pin")), "{}", together.title);
    let either = made.order.choices.iter().find(|choice| choice.name == "leg").expect("a choice");
    assert_eq!(either.others, ["leg: down from its face"]);
}

/// A way held to two hundredths: a cutter of its own width, pulled aside, would cut it wide. By hand:
/// 6 wide with a cutter of 5 leaves half a millimetre to either side of the middle, and the rounds of
/// its ends begin 10 from the centre; down the middle the cutter goes on by that half.
#[test]
fn a_slot_held_closely_is_finished_side_by_side() {
    let six = "[[end_mill]]\ndiameter = \"6 mm\"\nflute = \"15 mm\"\nteeth = 4\n";
    let slot = |width: &str| {
        format!(
            "[[feature]]\nname = \"way\"\nkind = \"slot\"\nwidth = {width}\ncentres = 20\ndepth = 4\nplace = [\"datum\"]\n"
        )
    };
    let held = planned("brass", &slot("{ is = \"6\", within = \"0.02\" }"), &bench(six));
    let cut = row(&held, "mill way");
    assert!(cut.tool.contains("5 mm"), "{}", cut.tool);
    let set = |label: &str| {
        let found = cut.sets.iter().find(|figure| figure.label() == label);
        found.unwrap_or_else(|| panic!("{label}: {:?}", cut.sets)).shown.clone()
    };
    assert_eq!([set("X start, middle"), set("X stop, middle")], ["14.50 mm", "35.50 mm"]);
    // Each side from the end from which it lies on the cutter's left.
    assert_eq!([set("X start, side 1"), set("Y start, side 1")], ["15.00 mm", "20.50 mm"]);
    assert_eq!([set("X start, side 2"), set("Y start, side 2")], ["35.00 mm", "19.50 mm"]);
    assert!(shown(cut, "sides").is_some_and(|words| words.contains("measure before the second side")));
    let loose = planned("brass", &slot("\"6\""), &bench(six));
    let cut = row(&loose, "mill way");
    assert!(cut.tool.contains("6 mm") && cut.sets.len() == 4, "{cut:?}");
}

/// What is milled in the floor of a deep step is not reached with the jaws above that floor: of 40 mm, 30 must
/// stand out of jaws that hold 25, and what is left is too little.
#[test]
fn a_slot_in_a_deep_floor_wants_that_floor_above_the_jaws() {
    let slot = "[[feature]]\nname = \"bolt\"\nkind = \"slot\"\nface = \"top\"\nwidth = 5\ncentres = 4\nalong = \"0°\"\nplace = [\"8 from left edge\", \"mid thickness\"]\n";
    let made =
        planned("brass", &format!("{}{slot}", step("top", 10, "left", "16 from left edge")), &bench(""));
    let milled = row(&made, "mill bolt");
    let setup = made.setups.iter().find(|s| s.rows.iter().any(|r| r.what == milled.what)).expect("its setup");
    let mind =
        setup.presets.iter().find(|figure| figure.label() == "mind").map(|figure| figure.shown.as_str());
    assert!(mind.is_some_and(|words| words.contains("angle plate")), "{:?}", setup.presets);
}

/// A trial part on a bench, both from their files.
fn trial(part: &str, bench: &str) -> (Bench, Plan) {
    let bench = read_bench("bench.toml", bench).unwrap_or_else(|faults| panic!("{}", told(&faults)));
    let drawing = read_drawing("part.toml", part).unwrap_or_else(|faults| panic!("{}", told(&faults)));
    let made = plan(&drawing, &bench).unwrap_or_else(|faults| panic!("{}", told(&faults)));
    (bench, made)
}

/// The cutter that takes a step down goes over all of it and a radius past the work on three sides: a
/// strap anywhere there would be cut, not only one over the place that the step is drawn at.
#[test]
fn no_clamp_stands_in_the_way_of_a_step() {
    let (_, made) =
        trial(include_str!("parts/back-crank.toml"), include_str!("../../../examples/kittiwake/bench.toml"));
    let mut noses = 0;
    for sheet in &made.setups {
        for row in sheet.rows.iter().filter(|row| row.what.starts_with("mill back step down")) {
            let at = |label: &str| {
                let figure = row.sets.iter().find(|figure| figure.label() == label).unwrap();
                figure.shown.trim_end_matches(" mm").parse::<f64>().unwrap()
            };
            // Half the strap, 10 mm, with the cutter's radius, 8 mm; a nose bears 10 mm in.
            let (x0, x1) =
                (at("X from").min(at("X at the shoulder")), at("X from").max(at("X at the shoulder")));
            let (y0, y1) = (at("Y from").min(at("Y to")), at("Y from").max(at("Y to")));
            assert!(!row.sets.iter().any(|figure| figure.label() == "clamps"), "{row:?}");
            for clamp in sheet.presets.iter().filter(|figure| figure.label().starts_with("clamp ")) {
                let place = clamp.shown.trim_start_matches("nose at X ").split(" mm, Y ").collect::<Vec<_>>();
                let (x, y) = (place[0], place[1].split(' ').next().unwrap());
                let (x, y): (f64, f64) = (x.parse().unwrap(), y.parse().unwrap());
                let clear = |at: f64, low: f64, high: f64| at < low - 8.0 || at > high + 8.0;
                assert!(clear(x, x0, x1) || clear(y, y0, y1), "{}: {}", row.what, clamp.shown);
                noses += 1;
            }
        }
    }
    assert!(noses >= 4, "{noses}");
}

/// A countersink or a taper reamer turns at a speed of the machine that it is in.
#[test]
fn what_is_sunk_on_the_drill_press_turns_at_its_speeds() {
    let mut seen = 0;
    for part in [include_str!("parts/pocket-plate.toml"), include_str!("parts/flatted-cam.toml")] {
        let (bench, made) = trial(part, include_str!("benches/drill-press.toml"));
        let speeds = &bench.drill_press.as_ref().unwrap().speeds;
        for row in made.setups.iter().flat_map(|sheet| &sheet.rows) {
            let sunk = row.tool.starts_with("countersink") || row.what.contains("taper pin");
            let Some(speed) = row.speed.as_ref().filter(|_| sunk) else { continue };
            let turns: u32 = speed.shown.trim_end_matches(" rev/min").parse().unwrap();
            assert!(speeds.contains(&turns), "{}: {turns}", row.what);
            seen += 1;
        }
    }
    assert!(seen >= 2, "{seen}");
}
