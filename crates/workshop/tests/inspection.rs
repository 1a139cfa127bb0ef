//! The inspection sheet and the cutting list: every size once, readings that prove it, and
//! what is sawn from what.

use std::collections::BTreeSet;

use workshop::bench::{Bench, read_bench};
use workshop::drawing::{Measures, read_drawing};
use workshop::plan::{Plan, cutting_list, plan};
use workshop::sheet::InspectionRow;

const TURNED: &str = "part = \"Stub\"\nunit = \"mm\"\nmaterial = \"mild steel\"\n[body]\nkind = \"turned\"\n\
    [[feature]]\nname = \"thin\"\nkind = \"section\"\ndiameter = \"12\"\nlength = \"20\"\n\
    [[feature]]\nname = \"neck\"\nkind = \"section\"\nthread = \"M8\"\nlength = \"16\"\n\
    [[feature]]\nname = \"thick\"\nkind = \"section\"\ndiameter = \"18\"\nlength = \"30\"\n";

const PLATE: &str = "part = \"Plate\"\nunit = \"mm\"\nmaterial = \"mild steel\"\n\
    [body]\nkind = \"rectangle\"\nwidth = \"60\"\nheight = \"40\"\nthickness = \"8\"\ndatum = \"bottom left\"\n\
    [[feature]]\nname = \"bore\"\nkind = \"hole\"\nfinish = \"reamed\"\ndiameter = \"10\"\n\
    place = [\"20 from left edge\", \"15 from bottom edge\"]\n\
    [[feature]]\nname = \"eye\"\nkind = \"hole\"\ndiameter = \"5\"\n\
    place = [\"25 right of bore\", \"10 above bore\"]\n";

const RACK: &str = "[[stock]]\nmaterial = \"mild steel\"\nround = [\"20 mm\"]\npieces = [\"90 mm\", \"400 mm\"]\n\
    [[stock]]\nmaterial = \"mild steel\"\nflat = [\"8 mm\"]\nwidth = \"100 mm\"\npieces = [\"150 mm x 100 mm\"]\n";

const INSTRUMENTS: &str = "instruments = [\"caliper to 150 mm by 0.02 mm\", \"micrometer 0 to 25 mm by 0.001 mm\", \
    \"bore gauge 6 to 35 mm by 0.001 mm\", \"plug pins 4.9 mm to 5.1 mm by 0.1 mm\", \"thread wires 0.7 mm, 0.8 mm\"]\n";

/// The ideal shop with something before its headings, under `[lathe]`, and at its end.
fn bench(head: &str, lathe: &str, tail: &str) -> Bench {
    let text = std::fs::read_to_string("tests/benches/everything.toml").unwrap();
    let text = text.replace("[lathe]\n", &format!("[lathe]\n{lathe}"));
    read_bench("bench.toml", &format!("{head}{text}{tail}")).unwrap_or_else(|faults| panic!("{faults:?}"))
}

fn planned(text: &str, bench: &Bench) -> Plan {
    let drawing = read_drawing("part.toml", text).unwrap_or_else(|faults| panic!("{faults:?}"));
    plan(&drawing, bench).unwrap_or_else(|faults| panic!("{faults:?}"))
}

fn row<'a>(plan: &'a Plan, what: &str) -> &'a InspectionRow {
    let names: Vec<&str> = plan.inspection.rows.iter().map(|row| row.what.as_str()).collect();
    plan.inspection.rows.iter().find(|row| row.what == what).unwrap_or_else(|| panic!("{what} of {names:?}"))
}

#[test]
fn every_size_is_measured_once_or_said_not_to_be() {
    let bench = bench(INSTRUMENTS, "", "");
    for file in std::fs::read_dir("tests/parts").unwrap() {
        let path = file.unwrap().path();
        let text = std::fs::read_to_string(&path).unwrap();
        let drawing = read_drawing("part.toml", &text).unwrap();
        let Ok(plan) = plan(&drawing, &bench) else { continue };
        let rows = &plan.inspection.rows;
        let names: BTreeSet<&str> = rows.iter().map(|row| row.what.as_str()).collect();
        assert_eq!(names.len(), rows.len(), "{}: {names:?}", path.display());
        assert!(rows.iter().enumerate().all(|(n, row)| row.number == n + 1), "{}", path.display());
        for dimension in &drawing.dimensions {
            let elsewhere = matches!(dimension.measures, Measures::Position | Measures::Shaft);
            let there = names.contains(dimension.name.as_str());
            assert!(there || elsewhere, "{}: {} of {names:?}", path.display(), dimension.name);
        }
        for row in rows {
            assert!(!row.reading.shown.is_empty() && !row.how.is_empty(), "{}: {row:?}", path.display());
            assert!(plan.figure(&row.reading.name).is_ok(), "{}: {}", path.display(), row.what);
        }
    }
}

/// ISO 286: H7 at 10 mm goes from 10.000 to 10.015. A bore gauge out by 0.010 and half its
/// thousandth leaves nothing; a caliper tells 60 ± 0.3 of ISO 2768 medium to 0.03 at either end.
#[test]
fn readings_keep_the_instruments_doubt_from_the_limits() {
    let plan = planned(PLATE, &bench(INSTRUMENTS, "", ""));
    let bore = row(&plan, "bore: diameter");
    assert!(!bore.told && bore.reading.shown.starts_with("cannot be told"), "{bore:?}");
    assert!(bore.how.contains("reamer"), "{}", bore.how);
    assert_eq!(row(&plan, "body: width").reading.shown, "59.74 to 60.26 mm");
    // Two pins that part the limits of a drilled hole, ± 0.1 of the same table.
    let eye = row(&plan, "eye: diameter");
    assert_eq!((eye.reading.shown.as_str(), eye.told), ("4.9 mm goes in, 5.1 mm does not", true));
}

/// Over a plug of 10 mm the bore's middle at 20 reads 25; ± 0.2 by ISO 2768 medium, less 0.03.
/// The eye hangs on two dimensions each way: 20 + 25 across, ± 0.2 each, over a plug of 5.
#[test]
fn places_are_read_over_plugs_and_their_errors_add_up() {
    let plan = planned(PLATE, &bench(INSTRUMENTS, "", ""));
    assert_eq!(row(&plan, "bore from the left edge").reading.shown, "24.84 to 25.16 mm");
    assert_eq!(row(&plan, "eye from the left edge").reading.shown, "47.14 to 47.86 mm");
    assert!(row(&plan, "eye from the left edge").with.contains("pin 5 mm"));
}

#[test]
fn where_no_instrument_is_listed_some_are_supposed_and_said() {
    let silent = planned(PLATE, &bench("", "", ""));
    assert!(silent.inspection.supposed.is_some());
    assert!(silent.inspection.rows.iter().all(|row| row.reading.assumed()));
    let none = planned(PLATE, &bench("instruments = [\"sine bar 100 mm\"]\n", "", ""));
    let width = row(&none, "body: width");
    assert_eq!((width.with.as_str(), width.told), ("nothing owned", false));
    assert!(width.reading.shown.contains("caliper would"), "{}", width.reading.shown);
}

/// M8: pitch diameter 7.188 (ISO 724), wires of 0.7: 7.188 + 3 × 0.7 - 0.866025 × 1.25 = 8.205.
#[test]
fn a_thread_is_measured_over_the_wires_that_are_owned() {
    let plan = planned(TURNED, &bench(INSTRUMENTS, "", ""));
    let thread = row(&plan, "neck: thread M8");
    assert!(thread.told && thread.how.contains("0.7 mm"), "{thread:?}");
    let most: f64 = thread.reading.shown.trim_end_matches(" mm").rsplit(' ').next().unwrap().parse().unwrap();
    assert!(most < 8.206 && most > 8.195, "{}", thread.reading.shown);
    let without = planned(TURNED, &bench("instruments = [\"caliper to 150 mm\"]\n", "", ""));
    assert!(!row(&without, "neck: thread M8").told);
}

/// The neck lies between two shoulders, so it is cut with a tool: from a leadscrew of 3 mm
/// the pitch of 1.25 wants 5 turns for 12, of these wheels 25 driving 60.
#[test]
fn a_thread_that_is_cut_is_geared_from_the_wheels_owned() {
    let lathe = "leadscrew = \"3 mm\"\nchange_wheels = [20, 25, 30, 40, 45, 60]\n";
    let plan = planned(TURNED, &bench("", lathe, ""));
    let sets = plan.setups.iter().flat_map(|setup| &setup.rows).flat_map(|row| &row.sets);
    let gear: Vec<_> = sets.filter(|figure| figure.label() == "gear").collect();
    assert_eq!(gear.len(), 1);
    assert!(gear[0].shown.starts_with("25 on the spindle's stud, 60 on the leadscrew"), "{}", gear[0].shown);
    let none = planned(TURNED, &bench("", "", ""));
    let mut figures = none.setups.iter().flat_map(|setup| &setup.rows).flat_map(|row| &row.sets);
    assert!(figures.all(|figure| figure.label() != "gear"));
}

#[test]
fn wheels_without_a_leadscrew_and_bad_pieces_are_refused() {
    for (text, told) in [
        ("[lathe]\nchange_wheels = [20, 30]\n", "leadscrew"),
        ("[lathe]\nleadscrew = \"3 mm\"\nchange_wheels = [2]\n", "change wheel"),
        ("instruments = [\"ruler-ish 5\"]\n", "instrument"),
        ("[[stock]]\nmaterial = \"brass\"\nround = [\"6 mm\"]\npieces = [\"0 mm\"]\n", "nought"),
    ] {
        let faults = read_bench("bench.toml", text).unwrap_err();
        let all: String = faults.iter().map(ToString::to_string).collect();
        assert!(all.contains(told) && all.contains("line"), "{text}: {all}");
    }
}

/// The stub is 66 long: 96 with what is held and faced, more than the piece of 90. The
/// plate of 60 × 40 is sawn 62 × 42 from the only plate.
#[test]
fn blanks_come_from_what_lies_in_the_rack() {
    let bench = bench("saw_cut = \"1.5 mm\"\n", "", RACK);
    let (stub, plate) = (planned(TURNED, &bench), planned(PLATE, &bench));
    let list = cutting_list([&stub, &plate, &plate], &bench);
    let all: Vec<String> = list.groups.iter().flat_map(|group| group.from.clone()).collect();
    let round = all.iter().find(|line| line.contains("Stub")).unwrap();
    assert_eq!(round, "from 400 mm in the rack: 96 mm for Stub; 302.5 mm left");
    let plates: Vec<&String> = all.iter().filter(|line| line.contains("Plate")).collect();
    assert_eq!(plates.len(), 1, "{all:?}");
    assert_eq!(plates[0].matches("62 mm × 42 mm").count() + plates[0].matches("42 mm × 62 mm").count(), 2);
    // A round of 20 mm weighs 2.47 kg a metre on a stockholder's page: 96 mm of it 237 g.
    let weights: Vec<&str> =
        list.groups.iter().flat_map(|group| &group.rows).map(|row| row.weight.shown.as_str()).collect();
    assert!(weights.contains(&"237 g"), "{weights:?}");
    assert!(list.supposed.is_empty(), "{:?}", list.supposed);
}
