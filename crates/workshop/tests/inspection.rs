//! The inspection sheet and the cutting list: every size once, readings that prove it, and
//! what is sawn from what.

use std::collections::BTreeSet;

use workshop::bench::{Bench, read_bench};
use workshop::drawing::{Measures, read_drawing};
use workshop::plan::{Plan, cutting_list, plan};
use workshop::sheet::InspectionRow;
use workshop::why::Why;

const TURNED: &str = "part = \"Stub\"\nunit = \"mm\"\nmaterial = \"mild steel\"\n[body]\nkind = \"turned\"\n\
    [[feature]]\nname = \"thin\"\nkind = \"section\"\ndiameter = \"12\"\nlength = \"20\"\n\
    [[feature]]\nname = \"neck\"\nkind = \"section\"\nthread = \"M8\"\nlength = \"16\"\n\
    [[feature]]\nname = \"thick\"\nkind = \"section\"\ndiameter = \"18\"\nlength = \"30\"\n";

const PLATE: &str = "part = \"Plate\"\nunit = \"mm\"\ngeneral_tolerance = \"medium\"\nmaterial = \"mild steel\"\n\
    [body]\nkind = \"rectangle\"\nwidth = \"60\"\nheight = \"40\"\nthickness = \"8\"\ndatum = \"bottom left\"\n\
    [[feature]]\nname = \"bore\"\nkind = \"hole\"\nfinish = \"reamed\"\ndiameter = \"10\"\n\
    place = [\"20 from left edge\", \"15 from bottom edge\"]\n\
    [[feature]]\nname = \"eye\"\nkind = \"hole\"\ndiameter = \"5\"\n\
    place = [\"25 right of bore\", \"10 above bore\"]\n";

const RACK: &str = "[[stock]]\nmaterial = \"mild steel\"\nround = [\"20 mm\"]\npieces = [\"90 mm\", \"400 mm\"]\n\
    [[stock]]\nmaterial = \"mild steel\"\nflat = [\"8 mm\"]\nwidth = \"100 mm\"\npieces = [\"150 mm x 100 mm\"]\n";

const INSTRUMENTS: &str = "instruments = [\"caliper to 150 mm by 0.02 mm\", \"micrometer 0 to 25 mm by 0.001 mm\", \
    \"bore gauge 6 to 35 mm by 0.001 mm\", \"plug pins 4.9 mm to 5.1 mm by 0.1 mm\", \"thread wires 0.7 mm, 0.8 mm\", \"indicator\", \"square\"]\n";

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

/// Whether some words stand anywhere in a chain.
fn says(why: &Why, words: &str) -> bool {
    why.statement.contains(words) || why.because.iter().any(|reason| says(reason, words))
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
            let elsewhere = dimension.measures == Measures::Shaft;
            let there = names.contains(dimension.name.as_str());
            // What places a hole is measured with others, over a plug: some row rests on it.
            let rests = || rows.iter().any(|row| says(&row.size.why, &format!("{} is ", dimension.name)));
            let placed = dimension.measures == Measures::Position && rests();
            assert!(there || placed || elsewhere, "{}: {} of {names:?}", path.display(), dimension.name);
        }
        for row in rows {
            // What is not told says what would tell it.
            let would = row.reading.shown.contains("would") || row.how.contains("reamer");
            let tight = row.reading.shown == "cannot be told with this";
            assert!(row.told || would || tight, "{}: {}: {}", path.display(), row.what, row.reading.shown);
            assert!(!row.reading.shown.is_empty() && !row.how.is_empty(), "{}: {row:?}", path.display());
            assert!(plan.figure(&row.reading.name).is_ok(), "{}: {}", path.display(), row.what);
        }
    }
}

/// ISO 286: H7 at 10 mm goes from 10.000 to 10.015. A bore gauge out by 0.010 and half its
/// thousandth leaves nothing; a caliper tells 60 ± 0.3 of ISO 2768 medium to 0.02 at either end, its vernier and all.
#[test]
fn readings_keep_the_instruments_doubt_from_the_limits() {
    let plan = planned(PLATE, &bench(INSTRUMENTS, "", ""));
    let bore = row(&plan, "bore: diameter");
    assert!(!bore.told && bore.reading.shown.starts_with("cannot be told"), "{bore:?}");
    assert!(bore.how.contains("reamer"), "{}", bore.how);
    assert_eq!(row(&plan, "body: width").reading.shown, "59.72 to 60.28 mm");
    // Two pins that part the limits of a drilled hole, ± 0.1 of the same table.
    let eye = row(&plan, "eye: diameter");
    assert_eq!((eye.reading.shown.as_str(), eye.told), ("4.9 mm goes in, 5.1 mm does not", true));
}

/// Over a plug of 10 mm the bore's middle at 20 reads 25; ± 0.2 by ISO 2768 medium, less 0.02.
/// The eye hangs on two dimensions each way: 20 + 25 across, ± 0.2 each, over a plug of 5.
#[test]
fn places_are_read_over_plugs_and_their_errors_add_up() {
    let plan = planned(PLATE, &bench(INSTRUMENTS, "", ""));
    assert_eq!(row(&plan, "bore from the left edge").reading.shown, "24.82 to 25.18 mm");
    assert_eq!(row(&plan, "eye from the left edge").reading.shown, "47.12 to 47.88 mm");
    assert!(row(&plan, "eye from the left edge").with.contains("pin 5 mm"));
}

#[test]
fn where_no_instrument_is_listed_some_are_supposed_and_said() {
    let silent = planned(PLATE, &bench("", "", ""));
    assert!(silent.inspection.supposed.iter().any(|words| words.contains("caliper")));
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
    let list = cutting_list([&stub, &plate, &plate], [], &bench);
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

/// Coarse of ISO 2768-1 at 60 mm is 0.8: supposed where nothing is said, as for the metric sizes.
#[test]
fn one_general_tolerance_is_supposed_throughout() {
    let plan = planned(&PLATE.replace("general_tolerance = \"medium\"\n", ""), &bench(INSTRUMENTS, "", ""));
    let width = row(&plan, "body: width");
    assert_eq!(width.reading.shown, "59.22 to 60.78 mm");
    assert!(width.reading.assumed());
    assert!(plan.inspection.supposed.iter().any(|words| words.contains("coarse")));
    let said = planned(PLATE, &bench(INSTRUMENTS, "", ""));
    assert!(said.inspection.supposed.is_empty(), "{:?}", said.inspection.supposed);
}

/// By hand: a slot of 6 with centres 20 apart, its middle 30 from the left, has its first end at
/// 20; over a plug of 6 in it 23. A pocket of 12 with its middle at 40 leaves a wall of 34. Over
/// a plug of 10 in the bore, a round of 12 reads 17.
#[test]
fn slots_pockets_and_rounds_are_read_by_what_is_at_hand() {
    let hollow = PLATE.to_owned()
        + "[[feature]]\nname = \"way\"\nkind = \"slot\"\nwidth = \"6\"\ncentres = \"20\"\ndepth = \"4\"\n\
           place = [\"30 from left edge\", \"33 from bottom edge\"]\n\
           [[feature]]\nname = \"box\"\nkind = \"pocket\"\nwidth = \"12\"\nheight = \"10\"\ncorner = \"3\"\ndepth = \"3\"\n\
           place = [\"40 from left edge\", \"10 from bottom edge\"]\n";
    let plan = planned(&hollow, &bench(INSTRUMENTS, "", ""));
    let middle = |what: &str| {
        let shown = &row(&plan, what).reading.shown;
        let ends: Vec<f64> = shown.split(' ').filter_map(|word| word.parse().ok()).collect();
        (ends[0] + ends[1]) / 2.0
    };
    assert!((middle("way, first end from the left edge") - 23.0).abs() < 0.011);
    assert!((middle("way, other end from the left edge") - 43.0).abs() < 0.011);
    assert!((middle("box, near side from the left edge") - 34.0).abs() < 0.011);
    // ISO 2768-2 K, 40 mm: 0.4; less 0.02 that light under a blade shows.
    assert!(row(&plan, "body: edges square").reading.shown.contains("0.38"));

    let lever = "part = \"Lever\"\nunit = \"mm\"\nmaterial = \"mild steel\"\ngeneral_tolerance = \"medium\"\n\
        [body]\nkind = \"bosses\"\naround = [\"a\", \"b\"]\nthickness = \"8\"\n\
        [[feature]]\nname = \"a\"\nkind = \"boss\"\nradius = \"12\"\nplace = \"datum\"\n\
        [[feature]]\nname = \"b\"\nkind = \"boss\"\nradius = \"8\"\nplace = [\"40 right of a\", \"level with a\"]\n\
        [[feature]]\nname = \"bore\"\nkind = \"hole\"\nfinish = \"reamed\"\ndiameter = \"10\"\nplace = \"concentric with a\"\n";
    let plan = planned(lever, &bench(INSTRUMENTS, "", ""));
    let round = row(&plan, "a: radius");
    assert!(round.told && round.how.contains("plug in bore"), "{round:?}");
    assert!(round.reading.shown.starts_with("16.8"), "{}", round.reading.shown);
    assert!(row(&plan, "b: radius").reading.shown.contains("radius gauge of 8 mm would"));
}

/// A keyway 3.5 deep in a round of 18 leaves 14.5; a hole of 5 across, 30 from the left end, reads
/// 32.5 over its plug; two rounds that fit something run true to each other.
#[test]
fn turned_work_is_read_over_its_round() {
    let part = TURNED.replace("material", "general_tolerance = \"medium\"\nmaterial")
        + "[[feature]]\nname = \"pin hole\"\nkind = \"hole\"\nface = \"top\"\ndiameter = \"5\"\n\
           place = [\"10 from left end\"]\n\
           [[feature]]\nname = \"keyway\"\nkind = \"slot\"\nface = \"front\"\nwidth = \"5\"\ncentres = \"12\"\ndepth = \"3.5\"\n\
           place = [\"50 from left end\"]\n\
           [[mate]]\nname = \"collar\"\nin = \"thin\"\nsize = \"12\"\nfit = \"sliding\"\n\
           [[mate]]\nname = \"ring\"\nin = \"thick\"\nsize = \"18\"\nfit = \"sliding\"\n";
    let plan = planned(&part, &bench(INSTRUMENTS, "", ""));
    let key = row(&plan, "keyway: depth");
    assert!(key.reading.shown.starts_with("14.4") && key.how.contains("far side"), "{key:?}");
    let hole = row(&plan, "pin hole from the left end");
    assert!(hole.reading.shown.starts_with("12.3"), "{hole:?}");
    let names: Vec<&str> = plan.inspection.rows.iter().map(|row| row.what.as_str()).collect();
    let true_running = plan.inspection.rows.iter().find(|row| row.what.contains(" true to "));
    let true_running = true_running.unwrap_or_else(|| panic!("{names:?}"));
    assert!(true_running.reading.shown.starts_with("moves ") && true_running.told, "{true_running:?}");
}

/// An indicator and a square are owned only where the bench lists them, once it lists anything.
#[test]
fn what_is_not_owned_is_told_with_what_would_do() {
    let few = "instruments = [\"digital caliper to 150 mm by 0.01 mm\"]\n";
    let plan = planned(PLATE, &bench(few, "", ""));
    assert!(row(&plan, "body: edges square").reading.shown.contains("a square would"));
    // Limits of 0.02 and a jump of the last digit, 0.01.
    assert_eq!(row(&plan, "body: width").reading.shown, "59.73 to 60.27 mm");
    assert!(row(&plan, "body: width").with.starts_with("digital caliper"));
}

/// Whatever a part's aids are made from is sawn too, once for all parts that they serve.
#[test]
fn aids_stand_on_the_cutting_list_once() {
    let bench = read_bench("bench.toml", include_str!("../../../examples/kittiwake/bench.toml")).unwrap();
    let lever = planned(include_str!("../../../examples/kittiwake/parts/valve-lever.toml"), &bench);
    assert!(!lever.aids.is_empty());
    let list = cutting_list([&lever, &lever], [], &bench);
    let rows: Vec<&str> =
        list.groups.iter().flat_map(|group| &group.rows).map(|row| row.part.as_str()).collect();
    for aid in &lever.aids {
        let sawn = rows.iter().filter(|row| **row == aid.name).count();
        let told = list.besides.iter().filter(|words| words.starts_with(&aid.name)).count();
        let kept = bench.keeps(&aid.own.kept_as);
        assert!(kept || sawn + told >= 1, "{} of {rows:?}, {:?}", aid.name, list.besides);
        assert!(aid.own.kept_as.is_empty() || sawn <= 1, "{} stands {sawn} times", aid.name);
    }
    assert!(rows.len() > 2, "{rows:?}");
}

/// A knob 20 over its knurl of 0.8, its end of 12 chamfered by 0.5: ten pitches are 8, and the rim
/// of the face is 12 - 2 × 0.5 = 11, each within ten and two times what general tolerances let
/// 0.8 and 0.5 be out (ISO 2768-1, ± 0.1 medium up to 3 mm).
#[test]
fn a_knurl_and_a_chamfer_are_measured_where_a_caliper_comes_at_them() {
    let knob = "part = \"Knob\"\nunit = \"mm\"\ngeneral_tolerance = \"medium\"\nmaterial = \"mild steel\"\n[body]\nkind = \"turned\"\n\
        [[feature]]\nname = \"head\"\nkind = \"section\"\ndiameter = \"20\"\nlength = \"10\"\n\
        [[feature]]\nname = \"spigot\"\nkind = \"section\"\ndiameter = \"12\"\nlength = \"16\"\n\
        [[feature]]\nname = \"grip\"\nkind = \"knurl\"\nover = \"head\"\npattern = \"straight\"\npitch = \"0.8\"\n\
        [[feature]]\nname = \"edge\"\nkind = \"chamfer\"\nof = \"spigot\"\nend = \"right\"\nsize = \"0.5\"\n";
    let plan = planned(knob, &bench(INSTRUMENTS, "", ""));
    for (what, middle, width) in [("grip: pitch", 8.0, 2.0), ("edge: size", 11.0, 0.4)] {
        let row = row(&plan, what);
        assert!(row.told && row.with.contains("caliper"), "{row:?}");
        let numbers: Vec<f64> = row.reading.shown.split(' ').filter_map(|word| word.parse().ok()).collect();
        let [least, greatest] = [numbers[0], numbers[1]];
        assert!(((least + greatest) / 2.0 - middle).abs() < 0.05, "{row:?}");
        assert!(greatest - least < width && greatest - least > width * 0.6, "{row:?}");
    }
    // Asked by its name the reading answers, and the size beside it where that is said.
    let asked = |name: &str| plan.figure(name).map(|figure| figure.name.clone());
    assert_eq!(asked("inspection grip pitch"), Ok("inspection, grip: pitch: reading".to_owned()));
    assert_eq!(asked("inspection grip pitch size"), Ok("inspection, grip: pitch: size".to_owned()));
    let without = planned(knob, &bench("instruments = [\"micrometer 0 to 25 mm by 0.01 mm\"]\n", "", ""));
    assert!(!row(&without, "grip: pitch").told && !row(&without, "edge: size").told);
}

/// A side 20 along and 30 up is 56° 18.6′ from the bottom; over 36 mm the coarse class lets it be a
/// degree out, and a vernier of 5′ takes that off either end. A cone of 12 on 12 is 45°; half a
/// millimetre and three tenths across make it 57′.
#[test]
fn slants_and_steep_tapers_are_read_by_the_protractor_that_is_owned() {
    let corner = |name: &str, x: i32, y: i32| {
        format!(
            "[[feature]]\nname = \"{name}\"\nkind = \"corner\"\nplace = [\"{x} right of datum\", \"{y} above datum\"]\n"
        )
    };
    let wedge = format!(
        "part = \"Wedge\"\nunit = \"mm\"\nmaterial = \"mild steel\"\n[body]\nkind = \"outline\"\naround = [\"a\", \"b\", \"c\", \"d\"]\nthickness = \"5\"\n{}{}{}{}",
        corner("a", 0, 0),
        corner("b", 60, 0),
        corner("c", 40, 30),
        corner("d", 0, 30)
    );
    let with = |more: &str| bench(&INSTRUMENTS.replace("\"square\"]", &format!("\"square\"{more}]")), "", "");
    let angle = |plan: &Plan, what: &str| {
        let row = row(plan, what);
        (row.size.shown.clone(), row.reading.shown.clone(), row.told)
    };
    let vernier = with(", \"vernier protractor by 5'\"");
    let read = angle(&planned(&wedge, &vernier), "b to c: angle");
    assert_eq!(read, ("56° 19′".into(), "55° 25′ to 57° 10′".into(), true));
    let without = planned(&wedge, &with(""));
    assert!(without.inspection.rows.iter().all(|row| !row.what.ends_with(": angle")));
    let plain = planned(&wedge, &with(", \"protractor\""));
    assert_eq!(angle(&plain, "b to c: angle").1, "56° 00′ to 56° 30′");
    let cone = "part = \"Cone\"\nunit = \"mm\"\nmaterial = \"mild steel\"\n[body]\nkind = \"turned\"\n\
        [[feature]]\nname = \"flare\"\nkind = \"section\"\ndiameter = \"30\"\ntapers_to = \"6\"\nlength = \"12\"\n\
        [[feature]]\nname = \"stem\"\nkind = \"section\"\ndiameter = \"6\"\nlength = \"20\"\n";
    let read = angle(&planned(cone, &vernier), "flare: taper");
    assert_eq!(read, ("45° 00′".into(), "44° 10′ to 45° 50′".into(), true));
    assert!(angle(&planned(cone, &with("")), "flare: taper").1.ends_with("mm"));
}

/// A caliper to 150 mm over plugs of 8 in bores 146 apart would have to open 154: between them are 138.
/// Bores 160 apart are clocked on the mill: by hand, slides 0.005 and a step of 0.001 at either end and
/// 0.01 for each bore make 0.032.
#[test]
fn what_is_too_long_for_the_caliper_is_told_otherwise() {
    let lever = |apart: u32| {
        let boss = |name: &str, place: &str| {
            format!(
                "[[feature]]\nname = \"{name} boss\"\nkind = \"boss\"\nradius = 10\nplace = {place}\n\
                     [[feature]]\nname = \"{name}\"\nkind = \"hole\"\nfinish = \"reamed\"\ndiameter = 8\nplace = [\"concentric with {name} boss\"]\n"
            )
        };
        let far = format!(
            "[{{ is = \"{apart} right of near boss\", within = \"0.1\" }}, \"level with near boss\"]"
        );
        format!(
            "part = \"Rod\"\nunit = \"mm\"\nmaterial = \"mild steel\"\n[body]\nkind = \"bosses\"\naround = [\"near boss\", \"far boss\"]\nthickness = 8\n{}{}",
            boss("near", "[\"datum\"]"),
            boss("far", &far)
        )
    };
    let head = "instruments = [\"caliper to 150 mm by 0.02 mm\", \"indicator\"]\n";
    let made = planned(&lever(146), &bench(head, "", ""));
    let between = row(&made, "far to near");
    assert_eq!((between.how.as_str(), between.told), ("between the near sides of two plugs", true));
    assert!(between.reading.shown.starts_with("137.9"), "{}", between.reading.shown);
    let made = planned(&lever(160), &bench(head, "", ""));
    let by_slides = row(&made, "far to near");
    assert_eq!(by_slides.with, "the readout of the mill");
    assert_eq!(by_slides.reading.shown, "159.932 to 160.068 mm");
    // Without an indicator nobody clocks a bore.
    let made = planned(&lever(160), &bench("instruments = [\"caliper to 150 mm by 0.02 mm\"]\n", "", ""));
    assert!(!row(&made, "far to near").told);
}

/// A bore of 10 reamed to H7 (ISO 286-2) is 10.000 to 10.015: 0.3937 to 0.3943 in.
#[test]
fn checks_are_told_in_inches_too_where_what_measures_is_in_inches() {
    let check = |head: &str| {
        let made = planned(PLATE, &bench(head, "", ""));
        let mut rows = made.setups.iter().flat_map(|setup| &setup.rows);
        let row = rows.find(|row| row.what.contains("ream bore") || row.what.contains("bore bore")).unwrap();
        row.check.as_ref().unwrap().shown.clone()
    };
    assert_eq!(
        check("instruments = [\"micrometer 0 to 1 in by 0.001 in\"]\n"),
        "10.000 to 10.015 (0.3937 to 0.3943 in)"
    );
    assert_eq!(check("instruments = [\"micrometer 0 to 25 mm by 0.01 mm\"]\n"), "10.000 to 10.015");
}
