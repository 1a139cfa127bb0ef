//! What rows that cut an outline are set to where little room is left for rounding, and what they say of it.

use workshop::bench::{Bench, read_bench};
use workshop::drawing::read_drawing;
use workshop::order::Work;
use workshop::plan::{Plan, plan};
use workshop::problem::Problem;
use workshop::sheet::Row;

fn told(faults: &[Problem]) -> String {
    faults.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n")
}

/// A bench with one quarter-inch cutter, its readout in hundredths.
fn bench(more: &str) -> Bench {
    let text = format!(
        "drills = [\"1 mm to 13 mm by 0.1 mm\"]\nreamers = [\"6 mm H7\", \"12 mm H7\"]\n[mill]\nreadout_step = \"0.01 mm\"\n\
         [[end_mill]]\ndiameter = \"1/4 in\"\nflute = \"20 mm\"\n{more}"
    );
    read_bench("bench.toml", &text).unwrap_or_else(|faults| panic!("{}", told(&faults)))
}

fn planned(material: &str, rest: &str, bench: &Bench) -> Plan {
    let text = format!(
        "part = \"Plate\"\nunit = \"mm\"\nmaterial = \"{material}\"\ngeneral_tolerance = \"coarse\"\n{rest}"
    );
    let drawing = read_drawing("part.toml", &text).unwrap_or_else(|faults| panic!("{}", told(&faults)));
    plan(&drawing, bench).unwrap_or_else(|faults| panic!("{}", told(&faults)))
}

fn row<'p>(made: &'p Plan, what: &str) -> &'p Row {
    let rows = made.setups.iter().flat_map(|setup| &setup.rows);
    let all: Vec<&str> = rows.clone().map(|row| row.what.as_str()).collect();
    rows.clone().find(|row| row.what.contains(what)).unwrap_or_else(|| panic!("{what}: {all:?}"))
}

fn set(row: &Row, label: &str) -> Option<String> {
    row.sets.iter().find(|figure| figure.label() == label).map(|figure| figure.shown.clone())
}

/// Corners, and two reamed holes.
fn corners(at: &[(f64, f64)], holes: [(f64, f64); 2]) -> String {
    let names: Vec<String> = (1..=at.len()).map(|n| format!("\"c{n}\"")).collect();
    let mut text = format!("[body]\nkind = \"outline\"\naround = [{}]\nthickness = 6\n", names.join(", "));
    for (n, (x, y)) in (1..).zip(at) {
        let place = format!("[\"{x} right of datum\", \"{y} above datum\"]");
        text += &format!("[[feature]]\nname = \"c{n}\"\nkind = \"corner\"\nplace = {place}\n");
    }
    for (n, (x, y)) in (1..).zip(holes) {
        let place = format!("[\"{x} right of datum\", \"{y} above datum\"]");
        text += &format!(
            "[[feature]]\nname = \"hole {n}\"\nkind = \"hole\"\ndiameter = 6\nfinish = \"reamed\"\nplace = {place}\n"
        );
    }
    text
}

/// Between a level side and one that rises 3 in 4 a cutter of 6.35 mm stands 3.175 from both 9.525 beyond the corner.
/// On hundredths its level is 3.18 above, and there it must stop (3.175 + 0.8 × 3.18)/0.6 = 9.532 off.
#[test]
fn a_side_that_ends_in_a_narrow_corner_is_milled_and_ends_sooner() {
    let at = [(0.0, 0.0), (60.0, 0.0), (60.0, 20.0), (20.0, 20.0), (50.0, 42.5), (0.0, 42.5)];
    let made = planned("brass", &corners(&at, [(10.0, 10.0), (10.0, 35.0)]), &bench(""));
    let cut = row(&made, "mill c3 to c4");
    // Counted from the squared edges of the blank, 2 mm outside the part.
    let number = |label: &str| {
        let shown = set(cut, label).unwrap_or_else(|| panic!("{label}: {:?}", cut.sets));
        shown.trim_end_matches(" mm").parse::<f64>().unwrap()
    };
    let (level, stop) = (number("Y"), number("X stop"));
    let (x0, y0) = (number("X start") - 60.0 - 3.18, level - 23.18);
    assert!((y0 - y0.round()).abs() < 1e-9 && (x0 - x0.round()).abs() < 0.02, "{x0}, {y0}");
    let off = stop - x0.round() - 20.0;
    assert!((9.5316..9.56).contains(&off), "{off}");
}

/// No rotary table, and a lathe that does not swing it: a disc of 60 by 10 is stepped round its bore.
#[test]
fn a_thick_disc_that_nothing_turns_is_stepped_round_its_bore() {
    let disc = "[body]\nkind = \"disc\"\ndiameter = 60\nthickness = 10\n[[feature]]\nname = \"bore\"\nkind = \"hole\"\n\
                diameter = 12\nfinish = \"reamed\"\nplace = [\"datum\"]\n";
    let lathe = "[lathe]\nswing = \"50 mm\"\n";
    let made = planned("brass", disc, &bench(lathe));
    assert!(made.order.steps.iter().any(|step| step.work == Work::StepEnd), "{:?}", made.order.steps);
    let cut = row(&made, "round the outside by stepped coordinates");
    row(&made, "file the ridges off the outside");
    // All round at 30 + 3.175, nothing nearer; the first straight to the right of the bore.
    let places: Vec<f64> = cut
        .sets
        .iter()
        .filter(|figure| figure.label().starts_with("place "))
        .map(|figure| figure.shown.trim_end_matches(" mm").parse().unwrap())
        .collect();
    assert!(places.len() > 40, "{}", places.len());
    for place in places.chunks(2) {
        let from = place[0].hypot(place[1]);
        assert!((33.175 - 1e-6..33.2).contains(&from), "{place:?}");
    }
}

/// For 17 mm a light alloy would have 0.3 to 0.45 mm left, and no drill of BS 328 leaves that: 16.75 leaves a quarter,
/// as other metal has it.
#[test]
fn a_reamed_hole_in_a_light_alloy_takes_the_drill_that_there_is() {
    let plate = "[body]\nkind = \"rectangle\"\nwidth = 60\nheight = 60\nthickness = 8\ndatum = \"centre\"\n[[feature]]\n\
                 name = \"bore\"\nkind = \"hole\"\ndiameter = 17\nfinish = \"reamed\"\nplace = [\"datum\"]\n";
    let owned = "[[stock]]\nmaterial = \"aluminium\"\nflat = [\"8 mm\"]\nwidth = \"60 mm\"\n";
    let made = planned("aluminium", plate, &bench(owned));
    row(&made, "ream bore 17 mm");
    row(&made, "drill bore 16.75 mm");
}

/// A slot of 10 by a cutter of 6.35 leaves 1.825 to each side of its middle: on hundredths of a millimetre at 30 that
/// is 31.82 outwards and 28.18 inwards, each 0.005 short of its wall.
#[test]
fn the_sides_of_a_curved_slot_are_left_standing_by_what_the_slide_cannot_show() {
    let plate = "[body]\nkind = \"rectangle\"\nwidth = 90\nheight = 80\nthickness = 8\ndatum = \"centre\"\n[[feature]]\n\
                 name = \"pivot\"\nkind = \"hole\"\ndiameter = 12\nfinish = \"reamed\"\nplace = [\"datum\"]\n[[feature]]\n\
                 name = \"way\"\nkind = \"curved slot\"\nwidth = { is = \"10\", pin = \"10 mm\" }\nradius = 30\nfrom = \"20°\"\nto = \"70°\"\n\
                 place = \"concentric with pivot\"\n";
    let table = "[rotary_table]\nratio = 90\nreads = \"1'\"\nbore = \"12 mm\"\n";
    let made = planned("brass", plate, &bench(table));
    let cut = row(&made, "mill way on the rotary table");
    let at = |side: &str| set(cut, &format!("offset from the table centre, {side}"));
    assert_eq!(at("middle").as_deref(), Some("30.00 mm"));
    assert_eq!(at("outer side").as_deref(), Some("31.82 mm"));
    assert_eq!(at("inner side").as_deref(), Some("28.18 mm"));
}

/// A table that reads to 5′ lays the flank of two bosses of 10 and 6, 50 apart, at the nearest 5′ of asin(4/50) =
/// 4° 35.32′: 0.32′ over √(50² − 4²) = 49.84 mm is 0.005 mm, and not worth a word. One that reads to 30′ lays it
/// at 4° 30′: 5.32′ over that is 0.077 mm.
#[test]
fn a_flank_that_the_table_lays_askew_says_so() {
    let lever = "[body]\nkind = \"bosses\"\naround = [\"big\", \"small\"]\nthickness = 6\n\
                 [[feature]]\nname = \"big\"\nkind = \"boss\"\nradius = 10\nplace = [\"datum\"]\n\
                 [[feature]]\nname = \"small\"\nkind = \"boss\"\nradius = 6\nplace = [\"50 right of big\", \"level with big\"]\n\
                 [[feature]]\nname = \"big bore\"\nkind = \"hole\"\ndiameter = 6\nfinish = \"reamed\"\nplace = [\"concentric with big\"]\n\
                 [[feature]]\nname = \"small bore\"\nkind = \"hole\"\ndiameter = 6\nfinish = \"reamed\"\nplace = [\"concentric with small\"]\n";
    let askew = |reads: &str| {
        let table = format!("[rotary_table]\nratio = 90\nreads = \"{reads}\"\nbore = \"12 mm\"\n");
        let made = planned("mild steel", lever, &bench(&table));
        set(row(&made, "mill the flanks"), "flank 1, out of parallel, end to end")
    };
    assert_eq!(askew("5'"), None);
    assert_eq!(askew("30'").as_deref(), Some("0.077 mm"));
}
