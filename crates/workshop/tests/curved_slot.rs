//! Slots round an arc: read, held against sums by hand, ordered, set, and told where they cannot be.

use workshop::bench::{Bench, read_bench};
use workshop::drawing::solid::weigh;
use workshop::drawing::{Drawing, FeatureId, Kind, Part, hands, read_drawing, solve};
use workshop::order::Machine;
use workshop::plan::{Plan, plan};
use workshop::problem::Problem;
use workshop::sheet::Row;

const BENCH: &str = include_str!("../../../examples/kittiwake/bench.toml");

fn told(faults: &[Problem]) -> String {
    faults.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n")
}

fn bench(text: &str) -> Bench {
    read_bench("bench.toml", text).unwrap_or_else(|faults| panic!("{}", told(&faults)))
}

/// The bench of the examples without its rotary table.
fn no_table() -> Bench {
    let (before, after) = BENCH.split_once("[rotary_table]").expect("it has one");
    bench(&format!("{before}{}", &after[after.find("\n[").expect("more follows")..]))
}

fn quadrant(slot: &str) -> String {
    format!(
        "part = \"Quadrant\"\nunit = \"mm\"\nmaterial = \"mild steel\"\nusual_roles = true\ngeneral_tolerance = \"medium\"\n\
         [body]\nkind = \"rectangle\"\nwidth = 90\nheight = 60\nthickness = 6\ndatum = \"bottom left\"\n\
         [[feature]]\nname = \"pivot\"\nkind = \"hole\"\ndiameter = 10\nfinish = \"reamed\"\n\
         place = [\"20 from left edge\", \"30 from bottom edge\"]\n\
         [[feature]]\nname = \"way\"\nkind = \"curved slot\"\nwidth = 8\nradius = 50\n{slot}\nplace = \"concentric with pivot\"\n"
    )
}

const CHORD: &str = "middle = \"0°\"\ncentres = 36";

fn read(text: &str) -> Drawing {
    read_drawing("part.toml", text).unwrap_or_else(|faults| panic!("{}", told(&faults)))
}

/// What is wrong with a drawing, read or solved.
fn wrong(text: &str) -> String {
    match read_drawing("part.toml", text) {
        Err(faults) => told(&faults),
        Ok(drawing) => {
            let solved = solve(&drawing).unwrap_or_else(|faults| panic!("{}", told(&faults)));
            told(&Part::as_drawn(&drawing, &solved).wrong())
        }
    }
}

fn row<'p>(made: &'p Plan, what: &str) -> &'p Row {
    let all: Vec<&str> = made.setups.iter().flat_map(|s| &s.rows).map(|r| r.what.as_str()).collect();
    let mut rows = made.setups.iter().flat_map(|setup| &setup.rows);
    rows.find(|row| row.what.contains(what)).unwrap_or_else(|| panic!("{what}: {all:?}"))
}

fn set(row: &Row, label: &str) -> String {
    let found = row.sets.iter().find(|figure| figure.label() == label);
    found.unwrap_or_else(|| panic!("{label}: {:?}", row.sets)).shown.clone()
}

/// By hand: half of 36 on a radius of 50 is the sine of 21.1002°; the middle of each end lies 18 above and below
/// the pivot's height, so that 60 − 48 − 4 are left to the top; what goes is 50 × 0.736534 × 8 + 16π by 6.
#[test]
fn walls_and_volume_agree_with_sums_done_by_hand() {
    let drawing = read(&quadrant(CHORD));
    let solved = solve(&drawing).unwrap();
    let part = Part::as_drawn(&drawing, &solved);
    let way = FeatureId(1);
    let arc = part.curved_arc(way).unwrap();
    assert!((arc.sweep_rad - 2.0 * (0.36_f64).asin()).abs() < 1e-9);
    let wall = part.wall(way, None).unwrap();
    assert_eq!(wall.decimals(6), "8.000000");
    let taken = 50.0 * arc.sweep_rad * 8.0 + std::f64::consts::PI * 16.0;
    let whole = (90.0 * 60.0 - std::f64::consts::PI * 25.0 - taken) * 6.0;
    let weighed = weigh(&part).unwrap().part;
    assert!((weighed.mm3 - whole).abs() < 1.0, "{} is not {whole}", weighed.mm3);
}

/// Both ways of saying how far it goes come to one slot.
#[test]
fn directions_and_a_chord_say_the_same() {
    let half = (0.36_f64).asin().to_degrees();
    let arcs = [CHORD.to_owned(), format!("from = \"{:.9}°\"\nto = \"{half:.9}°\"", -half)].map(|slot| {
        let drawing = read(&quadrant(&slot));
        let solved = solve(&drawing).unwrap();
        Part::as_drawn(&drawing, &solved).curved_arc(FeatureId(1)).unwrap()
    });
    assert!((arcs[0].start_rad - arcs[1].start_rad.sin().atan2(arcs[1].start_rad.cos())).abs() < 1e-8);
    assert!((arcs[0].sweep_rad - arcs[1].sweep_rad).abs() < 1e-8);
}

#[test]
fn the_other_hand_curves_the_other_way() {
    let drawing = read(&quadrant("from = \"10°\"\nto = \"40°\""));
    let solved = solve(&drawing).unwrap();
    let part = Part::as_drawn(&drawing, &solved);
    let flips: Vec<String> = hands(&part).flips.iter().map(|flip| flip.words()).collect();
    assert!(flips.iter().any(|words| words == "way: from 10° to 40° becomes from 140° to 170°"), "{flips:?}");
    let (own, other) =
        (part.curved_arc(FeatureId(1)).unwrap(), part.mirrored().curved_arc(FeatureId(1)).unwrap());
    assert!(own.start().distance_mm(other.end().mirrored()) < 1e-9);
    assert!(own.end().distance_mm(other.start().mirrored()) < 1e-9);
}

/// The table turns about the pivot with the bottom edge along X, the spindle stands at the radius.
#[test]
fn it_is_milled_on_the_rotary_table_about_its_centre() {
    let drawing = read(&quadrant("from = \"-15°\"\nto = \"30°\""));
    let made = plan(&drawing, &bench(BENCH)).unwrap_or_else(|faults| panic!("{}", told(&faults)));
    let step = made.order.steps.iter().find(|step| step.text == "mill way on the rotary table").unwrap();
    assert_eq!(made.order.setups[step.setup].machine, Machine::RotaryTable);
    let cut = row(&made, "mill way on the rotary table");
    assert_eq!(set(cut, "offset from the table centre"), "50.000 mm");
    assert_eq!([set(cut, "start at"), set(cut, "stop at")], ["345° 00′", "30° 00′"]);
    let presets = made.setups.iter().flat_map(|setup| &setup.presets);
    assert!(presets.into_iter().any(|figure| figure.shown == "0° with the bottom edge along X"));
}

/// Without a table it is stepped, every place at its radius to within what the slides round.
#[test]
fn without_a_table_it_is_stepped() {
    let made = plan(&read(&quadrant(CHORD)), &no_table()).unwrap();
    let cut = row(&made, "mill way by stepped coordinates");
    let number =
        |label: String| set(cut, &label).replace('−', "-").trim_end_matches(" mm").parse::<f64>().unwrap();
    let places = cut.sets.iter().filter(|figure| figure.label().ends_with(", X")).count();
    assert!(places > 10);
    for n in 1..=places {
        let (x, y) = (number(format!("place {n}, X")), number(format!("place {n}, Y")));
        let out = (x - 20.0).hypot(y - 30.0);
        assert!((out - 50.0).abs() < 0.015, "place {n} lies {out} from the pivot");
    }
}

#[test]
fn by_hand_it_is_drilled_out_and_filed_to_two_arcs() {
    let made =
        plan(&read(&quadrant(CHORD)), &bench("mill = \"none\"\ndrills = [\"1 mm to 13 mm by 0.1 mm\"]\n"))
            .unwrap();
    let filed = row(&made, "file out way");
    assert_eq!(
        set(filed, "lines"),
        "R 46 mm and R 54 mm about 20 mm along, 30 mm up, from 66.65 mm along, 12 mm up to 66.65 mm along, 48 mm up"
    );
}

#[test]
fn what_cannot_be_is_told_with_how_to_mend_it() {
    for (slot, words) in [
        ("from = \"0°\"", "nothing settles from where to where way goes"),
        ("from = \"0°\"\ncentres = 20", "nothing settles from where to where way goes"),
        ("middle = \"0°\"\ncentres = 120", "ends farther apart than its circle is wide"),
        ("from = \"30°\"\nto = \"30°\"", "goes nowhere"),
        ("from = \"5°\"\nto = \"-2°\"", "runs into itself"),
        ("from = \"-60°\"\nto = \"60°\"", "breaks out of the part"),
        ("from = \"0°\"\nto = \"20°\"\nface = \"top\"", "is cut from the top"),
        ("from = \"0°\"\nto = \"20°\"\ndepth = 7", "goes 7 mm, and there are only 6 mm there"),
    ] {
        let found = wrong(&quadrant(slot));
        assert!(found.contains(words), "{slot}: {found}");
    }
    let turned = "part = \"Hub\"\nunit = \"mm\"\nmaterial = \"brass\"\n[body]\nkind = \"turned\"\n\
         [[feature]]\nname = \"rim\"\nkind = \"section\"\ndiameter = 60\nlength = 10\n\
         [[feature]]\nname = \"way\"\nkind = \"curved slot\"\nwidth = 5\nradius = 20\nfrom = \"0°\"\nto = \"50°\"\ndepth = 3\nface = \"right\"\n";
    assert!(wrong(turned).contains("`kind = \"disc\"`"));
    let kinds =
        read(&quadrant(CHORD)).features.iter().filter(|f| matches!(f.kind, Kind::CurvedSlot { .. })).count();
    assert_eq!(kinds, 1);
}
