//! The sheets of aids: for the examples, over sizes, and where none can be made.

use proptest::prelude::*;
use workshop::aids::{aid_sheet, aid_sheet_for};
use workshop::bench::{Bench, empty_bench, read_bench};
use workshop::drawing::{Drawing, FeatureId, Hand, Image, Kind, Part, Sizes, read_drawing, solve};
use workshop::measure::{Length, Toward};
use workshop::metric::{DimensionChoice, MadeWith, MetricPart, Owned, Proof};
use workshop::order::work::Aid;
use workshop::order::{Held, Holding, Joined, Located, Lots, Machine, Pieces};
use workshop::problem::Problem;
use workshop::sheet::{AidSheet, Runs};
use workshop::tables::drills;
use workshop::why::{Figure, Why};

const LEVER: &str = include_str!("../../../examples/kittiwake/parts/valve-lever.toml");
const COVER: &str = include_str!("../../../examples/kittiwake/parts/gear-cover.toml");
const BRACKET: &str = include_str!("../../../examples/kittiwake/parts/pump-bracket.toml");
const SPINDLE: &str = include_str!("../../../examples/kittiwake/parts/valve-spindle.toml");
const BENCH: &str = include_str!("../../../examples/kittiwake/bench.toml");

fn bench() -> Bench {
    read_bench("bench.toml", BENCH).unwrap()
}

fn feature(drawing: &Drawing, name: &str) -> FeatureId {
    FeatureId(drawing.features.iter().position(|f| f.name == name).expect("the part has the feature"))
}

/// Every size to the nearest half millimetre, every reamed bore with an H7 reamer.
fn metric(drawing: &Drawing) -> MetricPart {
    let half = Length::mm_ratio(1, 2);
    let rounded = |length: Length| length.rounded(half, Toward::Nearest).value.max(half);
    let reamed: Vec<usize> = drawing
        .features
        .iter()
        .filter_map(|f| match f.kind {
            Kind::Hole { diameter, finish: workshop::drawing::Finish::Reamed, .. } => Some(diameter.0),
            _ => None,
        })
        .collect();
    let dimensions = drawing.dimensions.iter().enumerate().map(|(at, dimension)| {
        let chosen = rounded(dimension.written.length);
        let made = if reamed.contains(&at) {
            MadeWith::Reamer {
                reamer: workshop::bench::Reamer { diameter: chosen, class: "H7".into() },
                pilot: drills::nearest(chosen - Length::mm_ratio(2, 10), drills::all()).unwrap().clone(),
            }
        } else {
            MadeWith::Setting
        };
        DimensionChoice {
            id: workshop::drawing::DimensionId(at),
            written: dimension.written.clone(),
            exact: dimension.written.length,
            chosen,
            made,
            owned: Owned::Owned,
            role: dimension.role.0,
            limit: half,
            why: Why::new(format!("`{}` on the drawing", dimension.written.text)),
            refused: Vec::new(),
        }
    });
    let dimensions: Vec<DimensionChoice> = dimensions.collect();
    MetricPart {
        sizes: Sizes {
            lengths: dimensions.iter().map(|d| d.chosen).collect(),
            threads: drawing.threads.iter().map(|t| t.thread).collect(),
        },
        dimensions,
        threads: Vec::new(),
        stock: None,
        purchases: Vec::new(),
        proof: Proof::Optimal,
        proven: String::new(),
        assumed: Vec::new(),
    }
}

/// The sheet of an aid for a drawing in half millimetres.
fn sheet(
    text: &str,
    bench: &Bench,
    setups: &[Holding],
    aid: impl Fn(&Drawing) -> Aid,
) -> Result<AidSheet, Problem> {
    let drawing = read_drawing("part.toml", text).unwrap();
    let solved = solve(&drawing).unwrap();
    let metric = metric(&drawing);
    let part = Part::as_drawn(&drawing, &solved).with_sizes(metric.sizes.clone());
    if setups.is_empty() {
        aid_sheet(&aid(&drawing), &part, &metric, bench)
    } else {
        aid_sheet_for(&aid(&drawing), setups, &part, &metric, bench)
    }
}

fn mandrel(bore: &'static str, on: Machine) -> impl Fn(&Drawing) -> Aid {
    move |drawing| Aid::StubMandrel { bore: feature(drawing, bore), on }
}

fn plate(bores: &'static [&'static str]) -> impl Fn(&Drawing) -> Aid {
    move |drawing| Aid::BoltOnPlate { bores: bores.iter().map(|name| feature(drawing, name)).collect() }
}

fn buttons(boss: &'static str, bore: &'static str) -> impl Fn(&Drawing) -> Aid {
    move |drawing| Aid::FilingButtons { boss: feature(drawing, boss), bore: feature(drawing, bore) }
}

/// A figure's name without the aid's.
fn short(figure: &Figure) -> &str {
    figure.name.split_once(": ").expect("the aid's name stands before the figure's").1
}

fn figure<'a>(sheet: &'a AidSheet, name: &str) -> &'a Figure {
    sheet.sizes.iter().find(|f| short(f) == name).unwrap_or_else(|| panic!("{}", text(sheet)))
}

/// A lever with two bosses of these diameters and bores, 60 apart.
fn lever(boss_um: i64, bore_um: i64) -> String {
    format!(
        r#"part = "Lever"
unit = "mm"
[body]
kind = "bosses"
around = ["big", "small"]
thickness = "6"
[[feature]]
name = "big"
kind = "boss"
radius = "{}"
place = ["datum"]
[[feature]]
name = "small"
kind = "boss"
radius = "{}"
place = ["60 right of big", "level with big"]
[[feature]]
name = "bore"
kind = "hole"
diameter = "{}"
finish = "reamed"
place = ["concentric with big"]
[[feature]]
name = "far bore"
kind = "hole"
diameter = "{}"
finish = "reamed"
place = ["concentric with small"]
"#,
        boss_um as f64 / 2000.0,
        boss_um as f64 / 2000.0,
        bore_um as f64 / 1000.0,
        bore_um as f64 / 1000.0
    )
}

/// The sheet as a person reads it.
fn text(sheet: &AidSheet) -> String {
    let mut lines = vec![sheet.name.clone(), sheet.purpose.clone(), format!("From: {}", sheet.material)];
    lines.extend(
        sheet
            .sizes
            .iter()
            .map(|f| format!("  {}{}: {}", short(f), if f.assumed() { " *" } else { "" }, f.shown)),
    );
    lines.extend(sheet.steps.iter().enumerate().map(|(at, step)| format!("{}. {step}", at + 1)));
    lines.extend(sheet.cautions.iter().map(|caution| format!("! {caution}")));
    lines.join("\n")
}

/// Thousandths of `9 mm`, or of a bare `9`.
fn um(shown: &str) -> i64 {
    let number = shown.trim_end_matches(" mm");
    (number.parse::<f64>().unwrap_or_else(|_| panic!("`{shown}`")) * 1000.0).round() as i64
}

/// Least and greatest of `7.986 to 7.995 mm` or `7 mm to 13 mm across`, in thousandths.
fn limits_um(shown: &str) -> (i64, i64) {
    let (least, greatest) = shown.trim_end_matches(" across").split_once(" to ").unwrap();
    (um(least), um(greatest))
}

/// ISO 286-2 as typed from the printed tables, in thousandths: up to this size,
/// H7 upper, g6 upper, g6 lower.
const PRINTED: [(i64, i64, i64, i64); 5] = [
    (3_000, 10, -2, -8),
    (6_000, 12, -4, -12),
    (10_000, 15, -5, -14),
    (18_000, 18, -6, -17),
    (30_000, 21, -7, -20),
];

/// Two stuck together.
const PAIR: Pieces = Pieces::Stack(Lots {
    pieces: 2,
    high: 2,
    beside: 1,
    gap: Length::ZERO,
    hand: Hand::Neither,
    joined: Joined::Stuck,
});

fn holding(machine: Machine, held: Held, pieces: Pieces) -> Holding {
    let up = workshop::drawing::Face::Front;
    Holding {
        machine,
        pieces,
        up,
        held,
        located: Located::Line,
        image: Image::Drawn,
        steadied: Default::default(),
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    /// Whatever the bore and the boss, the stub goes in at worst and is no looser
    /// than H7/g6; the washer bears on work and clears the cutter; the wall round
    /// the screw is half of it and 1 mm, and no larger tap would leave that.
    #[test]
    fn a_mandrel_always_fits_holds_and_clears(bore in 2i64..48, ring in 4i64..20, lathe in any::<bool>()) {
        // A boss of whole millimetres: its radius is then one of half millimetres.
        let (bore, boss) = (bore * 500, (bore / 2 + ring) * 1_000);
        let on = if lathe { Machine::Lathe } else { Machine::RotaryTable };
        let mut bench = bench();
        // Small enough for half its diameter to be under a millimetre.
        bench.taps.push(workshop::tables::threads::find("M1.6").unwrap());
        let made = sheet(&lever(boss, bore), &bench, &[], mandrel("bore", on)).unwrap();
        let (least, greatest) = limits_um(&figure(&made, "stub diameter").shown);
        let row = PRINTED.iter().find(|row| bore <= row.0).unwrap();
        prop_assert!(greatest < bore, "{greatest} in {bore}");
        prop_assert!(bore + row.1 - least <= row.1 - row.3, "loose by {}", bore + row.1 - least);
        prop_assert_eq!((least, greatest), (bore + row.3, bore + row.2));
        let shoulder = um(&figure(&made, "shoulder diameter").shown);
        prop_assert!(shoulder >= bore + 2_000 && shoulder <= boss - 1_000, "{shoulder}");
        let length = um(&figure(&made, "stub length").shown);
        prop_assert!((5_000..6_000).contains(&length));
        let screw = &figure(&made, "retaining screw").shown;
        let serves = |major: Length| {
            let wall = (Length::microns(bore) - major).half();
            wall >= Length::mm(1) && wall >= major.half()
        };
        let largest = bench.taps.iter().map(|t| t.major).filter(|major| serves(*major)).max();
        match largest {
            None => prop_assert_eq!(screw.as_str(), "none"),
            Some(major) => {
                let name = screw.split(':').next().unwrap();
                prop_assert_eq!(workshop::tables::threads::find(name).unwrap().major, major);
                let (small, large) = limits_um(&figure(&made, "washer").shown);
                prop_assert!(bore + 2_000 <= small && small <= large && large <= boss - 1_000);
            }
        }
    }

    /// The plate is the same whichever way the drawing lies, its edge is a round
    /// distance from the centres, and the jaws have something to hold below the work.
    #[test]
    fn a_plate_follows_the_line_of_centres(bore in 6i64..24, ring in 6i64..15) {
        let (bore, boss) = (bore * 500, (bore / 2 + ring) * 1_000);
        let level = lever(boss, bore);
        let aid = plate(&["bore", "far bore"]);
        let made = sheet(&level, &bench(), &[], &aid).unwrap();
        for turned in ["plumb with big\", \"60 above big", "plumb with big\", \"60 below big", "level with big\", \"60 left of big"] {
            let text = level.replace("60 right of big\", \"level with big", turned);
            prop_assert_eq!(&sheet(&text, &bench(), &[], &aid).unwrap().sizes, &made.sizes, "{}", turned);
        }
        let edge = um(&figure(&made, "milled edge to line of centres").shown);
        prop_assert_eq!(edge % 5_000, 0);
        prop_assert!(edge - boss / 2 >= 15_000 && edge - boss / 2 < 20_000);
        let (length, width) = (um(&figure(&made, "plate length").shown), um(&figure(&made, "plate width").shown));
        prop_assert!(length <= 60_000 + boss - 2_000 && width - edge <= boss / 2 - 1_000);
        let thick = um(&figure(&made, "plate thickness").shown);
        for name in ["bore", "far bore"] {
            // Where no screw goes through a stud, one with a shoulder does instead: its sheet is its own.
            if made.sizes.iter().any(|f| short(f) == format!("{name}: shouldered screw")) {
                prop_assert!(bore < 5_000, "a stud of {bore} has room for M2");
                continue;
            }
            let (_, greatest) = limits_um(&figure(&made, &format!("{name}: stud diameter")).shown);
            prop_assert!(greatest < bore);
            let long = um(&figure(&made, &format!("{name}: stud length")).shown);
            prop_assert!(long < thick + 6_000, "{long}");
        }
    }
}

#[test]
fn the_lever_on_its_two_bores() {
    let made = |bore| sheet(LEVER, &bench(), &[], mandrel(bore, Machine::RotaryTable)).unwrap();
    let rows = |sheet: &AidSheet| {
        ["stub diameter", "retaining screw", "washer"].map(|name| figure(sheet, name).shown.clone())
    };
    assert_eq!(
        rows(&made("pivot bore")),
        ["7.986 to 7.995 mm", "M4: drill 3.4 mm, 10 mm deep; full thread 8 mm", "10 mm to 21 mm across"]
    );
    // The arm step leaves 5 mm at the rod bore: half of that counts, not the blank.
    assert_eq!(figure(&made("rod bore"), "stub length").shown, "4.5 mm");
    assert_eq!(rows(&made("rod bore"))[1], "M2.5: drill 2.1 mm, 6.25 mm deep; full thread 5 mm");
    // The bench has no bar over 20 mm, and the table's bore alone takes that.
    assert!(made("rod bore").material.starts_with("to buy: free-cutting mild steel round bar, 27 mm"));
}

/// Whether one piece or a pair lies on the stub is read from the setups; what is
/// supposed says so.
#[test]
fn the_stub_is_as_long_as_what_lies_on_it() {
    let drawing = read_drawing("lever.toml", LEVER).unwrap();
    let bore = feature(&drawing, "pivot bore");
    let on = |pieces| holding(Machine::RotaryTable, Held::StubMandrel { bore }, pieces);
    let length = |setups: &[Holding]| {
        let made = sheet(LEVER, &bench(), setups, mandrel("pivot bore", Machine::RotaryTable)).unwrap();
        let found = figure(&made, "stub length");
        (found.shown.clone(), found.assumed())
    };
    assert_eq!(length(&[on(PAIR)]), ("18.5 mm".to_owned(), false));
    assert_eq!(length(&[on(PAIR), on(Pieces::One(Hand::Left))]), ("9 mm".to_owned(), false));
    assert_eq!(length(&[]), ("9 mm".to_owned(), true));
    // A setup on the lathe says nothing of the table's mandrel.
    let elsewhere = holding(Machine::Lathe, Held::StubMandrel { bore }, PAIR);
    assert_eq!(length(&[elsewhere]), ("9 mm".to_owned(), true));
}

#[test]
fn every_number_has_a_source_and_every_dimension_a_figure() {
    let aids: [Result<AidSheet, Problem>; 5] = [
        sheet(LEVER, &bench(), &[], mandrel("pivot bore", Machine::RotaryTable)),
        sheet(COVER, &bench(), &[], mandrel("shaft bore", Machine::Lathe)),
        sheet(LEVER, &bench(), &[], plate(&["pivot bore", "rod bore"])),
        sheet(LEVER, &bench(), &[], buttons("pivot boss", "pivot bore")),
        sheet(LEVER, &empty_bench(), &[], plate(&["pivot bore", "rod bore"])),
    ];
    for made in aids.map(Result::unwrap) {
        let sourced = |why: &Why| why.source.is_some() || why.assumed;
        for found in &made.sizes {
            assert!(sourced(&found.why), "{}: {}", made.name, found.name);
            assert_eq!(made.sizes.iter().filter(|f| f.name == found.name).count(), 1, "{}", found.name);
        }
        let shown =
            made.scene.dimensions.iter().map(|d| &d.figure).chain(made.scene.notes.iter().map(|n| &n.figure));
        for name in shown.flatten() {
            assert!(made.sizes.iter().any(|f| f.name == *name), "{name}");
        }
        // The picture is to scale: what stands on a dimension is what it spans.
        for drawn in &made.scene.dimensions {
            let span_mm = match drawn.runs {
                Runs::Across => drawn.to.x_mm - drawn.from.x_mm,
                Runs::Up => drawn.to.y_mm - drawn.from.y_mm,
                Runs::Along | Runs::Radius => drawn.from.distance_mm(drawn.to),
            };
            let said_mm = um(&drawn.text) as f64 / 1000.0;
            assert!((span_mm.abs() - said_mm).abs() < 0.006, "{}: {drawn:?}", made.name);
        }
        assert!(!made.scene.dimensions.is_empty());
        assert!(!made.scene.outline.is_empty() && !made.steps.is_empty());
    }
}

/// Every bore of every example, with the sizes the metric part really has: a sheet
/// or a fault with its mend, never a panic.
#[test]
fn every_bore_of_the_examples_has_its_aids() {
    let bench = bench();
    let mut made = 0;
    for text in [LEVER, COVER, BRACKET, SPINDLE] {
        let drawing = read_drawing("part.toml", text).unwrap();
        let solved = solve(&drawing).unwrap();
        let metric = workshop::metric::metricate(&drawing, &solved, &bench).unwrap();
        let drawn = Part::as_drawn(&drawing, &solved).with_sizes(metric.sizes.clone());
        let holes: Vec<FeatureId> =
            drawn.features().filter(|(_, f)| matches!(f.kind, Kind::Hole { .. })).map(|(id, _)| id).collect();
        for part in [drawn.clone(), drawn.mirrored()] {
            for &bore in &holes {
                let on = [Machine::RotaryTable, Machine::Lathe].map(|on| Aid::StubMandrel { bore, on });
                let pairs = holes.iter().map(|other| Aid::BoltOnPlate { bores: vec![bore, *other] });
                for aid in on.into_iter().chain(pairs) {
                    match aid_sheet(&aid, &part, &metric, &bench) {
                        Ok(sheet) => made += usize::from(!sheet.sizes.is_empty()),
                        Err(fault) => assert!(fault.remedy().is_some(), "{fault}"),
                    }
                }
            }
        }
    }
    assert!(made > 40, "{made}");
}

/// An empty rack stops nothing: the sheet says what to buy, and the sizes stand.
#[test]
fn what_is_not_in_the_rack_is_bought() {
    let mut bare = bench();
    bare.stock.clear();
    for aid in [
        sheet(LEVER, &bare, &[], mandrel("rod bore", Machine::Lathe)),
        sheet(LEVER, &bare, &[], plate(&["pivot bore", "rod bore"])),
        sheet(LEVER, &bare, &[], buttons("rod boss", "rod bore")),
    ] {
        let made = aid.unwrap();
        assert!(made.material.starts_with("to buy: "), "{}", made.material);
    }
    // Soft buttons serve where silver steel of that size is not owned.
    let soft = sheet(LEVER, &bench(), &[], buttons("rod boss", "rod bore")).unwrap();
    assert!(soft.material.starts_with("16 mm mild steel"), "{}", soft.material);
    assert!(soft.steps.iter().all(|step| !step.starts_with("Harden")));
}

#[test]
fn a_bore_of_a_millimetre_and_a_half_takes_no_screw() {
    let small = lever(8_000, 1_500);
    for on in [Machine::Lathe, Machine::RotaryTable] {
        let made = sheet(&small, &bench(), &[], mandrel("bore", on)).unwrap();
        assert_eq!(figure(&made, "retaining screw").shown, "none");
        assert!(made.cautions.iter().any(|c| c.starts_with("A stub of 1.5 mm has no room for a screw")));
    }
    let made = sheet(&small, &bench(), &[], plate(&["bore", "far bore"])).unwrap();
    assert_eq!(figure(&made, "bore: screw").shown, "none");
    let made = sheet(&small, &bench(), &[], buttons("big", "bore")).unwrap();
    assert!(made.sizes.iter().all(|f| short(f) != "clamp hole"));
}

#[test]
fn what_cannot_be_made_is_refused_with_its_mend() {
    let refused = |made: Result<AidSheet, Problem>| made.unwrap_err();
    let mut no_table = bench();
    no_table.rotary_table = None;
    let thin = lever(8_000, 6_000);
    let blind = lever(8_000, 4_000).replacen("finish =", "depth = \"3\"\nfinish =", 1);
    let faults = [
        (refused(sheet(LEVER, &no_table, &[], mandrel("rod bore", Machine::RotaryTable))), "rotary table"),
        (refused(sheet(&thin, &bench(), &[], mandrel("bore", Machine::Lathe))), "no shoulder fits"),
        (refused(sheet(&lever(8_000, 6_500), &bench(), &[], buttons("big", "bore"))), "rim of 0.75 mm"),
        (refused(sheet(&blind, &bench(), &[], mandrel("bore", Machine::Lathe))), "does not run through"),
        (refused(sheet(LEVER, &bench(), &[], plate(&[]))), "without a bore"),
        (refused(sheet(LEVER, &bench(), &[], plate(&["rod bore", "rod bore"]))), "concentric"),
        (refused(sheet(LEVER, &bench(), &[], mandrel("arm step", Machine::Lathe))), "is a step"),
    ];
    for (fault, says) in faults {
        assert!(fault.what().contains(says), "{fault}");
        assert!(fault.remedy().is_some() && !fault.place().is_empty(), "{fault}");
    }
}

#[test]
fn the_plate_of_the_lever() {
    let made = sheet(LEVER, &bench(), &[], plate(&["pivot bore", "rod bore"])).unwrap();
    insta::assert_snapshot!(text(&made), @r"
    Bolt-on plate for the pivot bore and the rod bore
    Holds the work flat by its own bores, flat in the vice or by its milled edge, with nothing in the cutter’s way.
    From: 16 mm mild steel flat, 65 mm by 38 mm, from the rack
      plate thickness: 16 mm
      plate length: 63 mm
      plate width: 36 mm
      milled edge to line of centres: 30 mm
      left end to first bore: 10 mm
      pivot bore: place of the hole: X 0.000 mm, Y 0.000 mm
      pivot bore: hole in the plate: ⌀ 8 mm, 6 mm deep at full size
      pivot bore: stud diameter: 7.986 to 7.995 mm
      pivot bore: stud length *: 15 mm
      pivot bore: screw: M4: drill 3.4 mm, 6 mm deep; full thread 6 mm
      pivot bore: washer: 10 mm to 21 mm across
      rod bore: place of the hole: X 47.000 mm, Y 0.000 mm
      rod bore: hole in the plate: ⌀ 5 mm, 4 mm deep at full size
      rod bore: stud diameter: 4.988 to 4.996 mm
      rod bore: stud length *: 8.5 mm
      rod bore: land left on two sides: 0.4 mm at most
      rod bore: screw: M2.5: drill 2.1 mm, 3.75 mm deep; full thread 3.75 mm
      rod bore: washer: 7 mm to 13 mm across
    1. Saw the blank 65 mm by 38 mm from the flat, and take off the burrs.
    2. Mill one long edge straight and mark it: it is the datum. Mill the others to 63 mm by 36 mm.
    3. Lay the plate flat on parallels, the marked edge to the fixed jaw. Pick up that edge and the left end: the first centre lies 30 mm from the edge and 10 mm from the end. Set both axes to nought there.
    4. At X 0.000 mm, Y 0.000 mm: centre, drill 3.4 mm right through, open to 7.8 mm for 8 mm, and finish 8 mm with the tool that makes the pivot bore, 6 mm deep at full size. Open it from below with 4.5 mm for 2 mm, which leaves 6 mm to tap. Tap the rest M4.
    5. At X 47.000 mm, Y 0.000 mm: centre, drill 2.1 mm right through, open to 4.8 mm for 6 mm, and finish 5 mm with the tool that makes the rod bore, 4 mm deep at full size. Open it from below with 2.9 mm for 6.25 mm, which leaves 3.75 mm to tap. Tap the rest M2.5.
    6. Make the hollow stud for the pivot bore by its own sheet.
    7. Make the hollow stud for the rod bore by its own sheet.
    8. Lay the work on the studs and scribe round it: file the plate’s top corners back to 1 mm inside the line.
    9. Put the work on the studs; washers and screws pull it down flat: M4 in the pivot bore, M2.5 in the rod bore. A cigarette paper under it is held all round.
    ! Below the work the plate goes on to the jaws: along that side let the cutter run no more than 0.5 mm into the plate, and see that it clears the vice (15 mm of plate are in the jaws).
    ! The plate may be cut, the studs and screws may not: check the cutter’s path against every screw head before starting.
    ! The limits are 0.009 mm apart and one mark of the cross-slide is 0.02 mm: leave the last 0.02 mm for a fine file and emery, and measure with a micrometer.
    ");
}
