//! Parts turned from bar: read, placed, doubted, made metric, ordered and set.

mod balanced;
mod discs;
mod mouths;
mod proud;
mod refused;
mod set;
mod starts;
mod threads;
mod thrown;
mod wheels;

use proptest::prelude::*;
use workshop::bench::{Bench, read_bench};
use workshop::drawing::{Axis, Drawing, Part, SectionEnd, read_drawing, solve};
use workshop::measure::Length;
use workshop::metric::metricate;
use workshop::order::{Held, Work, order_of_work};
use workshop::plan::sheet::Row;
use workshop::plan::{Plan, plan};
use workshop::problem::Problem;

const KNOB: &str = include_str!("../parts/knurled-knob.toml");
const SHEAVE: &str = include_str!("../parts/eccentric-sheave.toml");
const CRANK: &str = include_str!("../parts/turned-crank.toml");
const UNION: &str = include_str!("../parts/union.toml");
const GLAND: &str = include_str!("../parts/gland.toml");
const FLYWHEEL: &str = include_str!("../parts/flywheel.toml");
const SPINDLE: &str = include_str!("../parts/flatted-spindle.toml");
const PLUG: &str = include_str!("../parts/square-plug.toml");

fn bench(name: &str) -> Bench {
    let text = std::fs::read_to_string(format!("tests/benches/{name}.toml")).unwrap();
    read_bench(name, &text).unwrap_or_else(|faults| panic!("{faults:?}"))
}

fn told(faults: &[Problem]) -> String {
    faults.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n")
}

fn read(text: &str) -> Drawing {
    read_drawing("part.toml", text).unwrap_or_else(|faults| panic!("{}", told(&faults)))
}

fn planned(text: &str, on: &str) -> Plan {
    plan(&read(text), &bench(on)).unwrap_or_else(|faults| panic!("{}", told(&faults)))
}

fn row<'a>(plan: &'a Plan, start: &str) -> &'a Row {
    let mut rows = plan.setups.iter().flat_map(|setup| &setup.rows);
    rows.find(|row| row.what.starts_with(start)).unwrap_or_else(|| panic!("no row `{start}`"))
}

fn shown<'a>(row: &'a Row, label: &str) -> &'a str {
    let mut all = row.sets.iter().chain(&row.depth).chain(&row.check);
    &all.find(|figure| figure.label() == label).unwrap_or_else(|| panic!("{}: no {label}", row.what)).shown
}

fn chosen<'a>(plan: &'a Plan, name: &str) -> &'a str {
    let mut changes = plan.cover.changes.iter();
    &changes.find(|change| change.name == name).unwrap_or_else(|| panic!("no {name}")).chosen
}

/// Two sections of 12 and 20, in millimetres, and one feature more.
fn stub(section: &str, more: &str) -> String {
    format!(
        "part = \"Stub\"\nunit = \"mm\"\nmaterial = \"mild steel\"\n[body]\nkind = \"turned\"\n\
         [[feature]]\nname = \"thin\"\nkind = \"section\"\ndiameter = \"12\"\nlength = \"20\"\n\
         [[feature]]\nname = \"thick\"\nkind = \"section\"\n{section}\nlength = \"30\"\n\
         [[feature]]\nname = \"extra\"\n{more}\n"
    )
}

const ROUND: &str = "diameter = \"20\"";
const PIN: &str = "kind = \"hole\"\ndiameter = \"3\"\nplace = [\"5 right of left end\"]";

/// The centre lines of a round are its axis: what is cut across it on one of them lies where it
/// would with nothing said, and its edges are no place to measure from.
#[test]
fn the_centre_lines_of_a_turned_part_are_its_axis() {
    let cut = |face: &str, more: &str| {
        let slot = format!(
            "kind = \"slot\"\nface = \"{face}\"\nwidth = \"4\"\ncentres = \"10\"\ndepth = \"2\"\n\
             place = [\"25 from left end\"{more}]"
        );
        let drawing = read(&stub(ROUND, &slot));
        let solved = solve(&drawing).map_err(|faults| told(&faults))?;
        let part = Part::as_drawn(&drawing, &solved);
        let (extra, _) = part.features().find(|(_, feature)| feature.name == "extra").unwrap();
        Ok::<_, String>([Axis::X, Axis::Y, Axis::Z].map(|axis| part.at(extra, axis)))
    };
    for (face, word) in [("front", "on the horizontal centre line"), ("top", "mid thickness")] {
        assert_eq!(cut(face, &format!(", \"{word}\"")), cut(face, ""), "{word}");
        assert!(cut(face, "").is_ok());
    }
    let fault = cut("front", ", \"2 from bottom edge\"").unwrap_err();
    assert!(fault.contains("lies on its axis") && fault.contains("above datum"), "{fault}");
    assert!(cut("front", ", \"1 above datum\"").is_ok());
}

/// By hand from the sheets: 3/16 in is 4.7625 mm and is held; 3/8 in bar becomes 10;
/// 7/16 in across flats 11; 1/32 in knurl 0.8; cone and stem meet flush as drawn, and
/// the cone keeps its 6.34°.
#[test]
fn turned_sizes_follow_what_makes_them() {
    let sheave = planned(SHEAVE, "everything");
    assert_eq!(chosen(&sheave, "sheave: offset"), "≈4.763 mm");
    assert_eq!(shown(row(&sheave, "turn sheave"), "check"), "⌀ 32 mm");
    let union = planned(UNION, "everything");
    assert_eq!(chosen(&union, "hexagon: across flats"), "10 mm");
    let material = union.figure("cover: material").unwrap();
    assert!(material.shown.contains("hexagon 10 mm across flats (to buy)"), "{}", material.shown);
    assert_eq!(chosen(&planned(SPINDLE, "everything"), "spanner flats: across"), "11 mm");
    let knob = planned(KNOB, "everything");
    assert_eq!(chosen(&knob, "head knurl: pitch"), "0.8 mm");
    assert_eq!(chosen(&knob, "cone: tapers to"), chosen(&knob, "stem: diameter"));
    let mm = |name: &str| chosen(&knob, name).trim_end_matches(" mm").parse::<f64>().unwrap();
    let slope = (mm("cone: diameter") - mm("cone: tapers to")) / 2.0 / mm("cone: length");
    let drawn = (0.625_f64 - 0.375) / 2.0 / 1.125;
    assert!((slope.atan() - drawn.atan()).to_degrees().abs() < 0.25, "{}", slope.atan().to_degrees());
    // Held and flush whatever the bench owns.
    for on in ["inch-drills", "no-rotary"] {
        let knob = planned(KNOB, on);
        assert_eq!(chosen(&knob, "cone: tapers to"), chosen(&knob, "stem: diameter"), "{on}");
        assert_eq!(chosen(&planned(SHEAVE, on), "sheave: offset"), "≈4.763 mm", "{on}");
    }
}

/// Bar in the rack is taken before bar to buy.
#[test]
fn hexagon_bar_in_the_rack_is_used() {
    let rack = "[[stock]]\nmaterial = \"brass\"\nhexagon = [\"9.6 mm\", \"3/8 in\"]\n";
    let everything = std::fs::read_to_string("tests/benches/everything.toml").unwrap();
    let bench = read_bench("bench.toml", &format!("{everything}\n{rack}")).unwrap();
    let made = plan(&read(UNION), &bench).unwrap();
    assert!(made.figure("cover: material").unwrap().shown.contains("hexagon"), "{made:?}");
    let across = chosen(&made, "hexagon: across flats");
    assert!(["9.6 mm", "≈9.525 mm", "9.525 mm"].contains(&across), "{across}");
}

/// The knob by hand: half of 16 less 9.5, over 28.5, is the tangent of 6° 30′; over 25 mm
/// that is 2.85; a diamond knurl of 0.8 on 19 starts from 18.46 (DIN 82).
#[test]
fn a_knob_is_knurled_then_thinned_then_tapered() {
    let made = planned(KNOB, "everything");
    let cone = row(&made, "turn cone");
    assert_eq!(shown(cone, "top slide from the axis"), "6.506° (6° 30′)");
    assert_eq!(shown(cone, "indicator along the taper"), "2.85 mm over 25 mm");
    assert_eq!(shown(row(&made, "turn head"), "check"), "⌀ 18.46 mm, before the knurl");
    assert_eq!(shown(row(&made, "knurl head knurl"), "over the ridges"), "⌀ 19 mm, about");
    let order: Vec<&str> = made.setups.iter().flat_map(|s| &s.rows).map(|r| r.what.as_str()).collect();
    let at = |start: &str| {
        order.iter().position(|what| what.starts_with(start)).unwrap_or_else(|| panic!("{start}"))
    };
    assert!(at("knurl head knurl") < at("turn stem") && at("turn stem") < at("turn cone"), "{order:?}");
    assert!(at("groove undercut") < at("thread screw") && at("thread screw") < at("part off"), "{order:?}");
    // The edge at the parting is taken off from the other end.
    assert!(at("part off") < at("chamfer head edge"), "{order:?}");
}

/// With no rotary table the work is turned in a block with as many sides.
#[test]
fn without_a_rotary_table_flats_are_turned_in_a_collet_block() {
    let made = planned(PLUG, "no-rotary");
    assert!(made.setups.iter().any(|s| s.held.contains("In a hexagon collet block")), "{made:?}");
    assert!(made.cover.assumed.iter().any(|s| s.contains("no rotary table")), "{:?}", made.cover.assumed);
    let made = planned(SPINDLE, "no-rotary");
    assert!(made.setups.iter().any(|s| s.held.contains("In a square collet block")));
    // On the table every flat has its angle.
    let six = planned(PLUG, "everything");
    assert_eq!(shown(row(&six, "mill six flats"), "flat 3 at"), "120° 00′");
}

/// Nothing is held by a section that is cut on in that holding, or by one not yet there.
#[test]
fn what_holds_the_work_is_finished_and_whole() {
    let mut holdings = 0;
    for text in [KNOB, SHEAVE, CRANK, UNION, GLAND, FLYWHEEL, SPINDLE, PLUG] {
        for on in ["everything", "no-rotary", "inch-drills"] {
            let (drawing, bench) = (read(text), bench(on));
            let solved = solve(&drawing).unwrap();
            let metric = metricate(&drawing, &solved, &bench).unwrap();
            let part = Part::as_drawn(&drawing, &solved).with_sizes(metric.sizes.clone());
            let order = order_of_work(&part, &metric, &bench).unwrap();
            for (index, holding) in order.setups.iter().enumerate() {
                let gripped = match holding.held {
                    Held::Chuck { on } | Held::Collet { on } | Held::FourJaw { on, .. } => on,
                    Held::Upright { on }
                    | Held::Indexed { on }
                    | Held::ColletBlock { on, .. }
                    | Held::VeeBlock { on } => Some(on),
                    _ => None,
                };
                let Some(section) = gripped else { continue };
                holdings += 1;
                assert!(!part.is_eccentric(section), "{}: {holding:?}", drawing.name);
                let turned = |s: &workshop::order::work::Step| {
                    s.feature == Some(section) && matches!(s.work, Work::TurnSection { .. })
                };
                assert!(
                    !order.steps.iter().any(|s| turned(s) && s.setup >= index),
                    "{}: held by {} before it is turned",
                    drawing.name,
                    part.feature(section).name
                );
            }
        }
    }
    assert!(holdings > 40, "{holdings}");
}

/// Stud holes in the end of a gland stand on their circle, seen from above the end: by
/// the cosine of 45°, and once each way.
#[test]
fn holes_in_an_end_stand_on_their_circle_round_the_axis() {
    let made = planned(GLAND, "everything");
    let studs = row(&made, "drill studs");
    let mm = |label: &str| shown(studs, label).trim_end_matches(" mm").parse::<f64>().unwrap();
    let radius_mm =
        chosen(&made, "studs: pitch circle").trim_end_matches(" mm").parse::<f64>().unwrap() / 2.0;
    for n in 1..=4 {
        let (x, y) = (mm(&format!("X, hole {n}")), mm(&format!("Y, hole {n}")));
        assert!((x.hypot(y) - radius_mm).abs() < 0.01, "{x} {y}");
        assert!((x.abs() - y.abs()).abs() < 0.006);
    }
    // Through the flange alone, 4.75 thick.
    assert!(shown(studs, "depth").starts_with("through: 5."), "{}", shown(studs, "depth"));
    assert!(made.setups.iter().any(|s| s.title.contains("right end up")));
}

/// A flywheel: both recesses, the bore before the work is turned round, the set screw.
#[test]
fn a_flywheel_is_turned_from_both_ends_and_drilled_for_its_screw() {
    let made = planned(FLYWHEEL, "everything");
    let what: Vec<&str> = made.setups.iter().flat_map(|s| &s.rows).map(|r| r.what.as_str()).collect();
    for start in [
        "turn rim",
        "recess front recess",
        "recess back recess",
        "ream bore",
        "tap set screw",
        "chamfer rim edge",
    ] {
        assert!(what.iter().any(|w| w.starts_with(start)), "{start}: {what:?}");
    }
    assert_eq!(shown(row(&made, "recess front recess"), "leave the hub at"), "⌀ 19 mm");
    let small = |swing: &str| {
        let mut bench = bench("everything");
        bench.lathe.as_mut().unwrap().swing = workshop::measure::read_length(swing, None).unwrap().length;
        plan(&read(FLYWHEEL), &bench)
    };
    assert!(small("80 mm").is_ok());
    assert!(told(&small("70 mm").unwrap_err()).contains("too large for the lathe"));
}

/// A casting is held by itself, cut by what is left on it, and never parted from a bar.
#[test]
fn a_flywheel_casting_is_turned_without_a_bar() {
    let cast =
        |machined: &str| format!("{FLYWHEEL}[stock]\nform = \"casting\"\nallowance = \"1/16\"\n{machined}");
    let made = planned(&cast(""), "everything");
    let what: Vec<&str> = made.setups.iter().flat_map(|s| &s.rows).map(|r| r.what.as_str()).collect();
    assert!(!what.contains(&"part off"), "{what:?}");
    assert!(made.setups[0].held.starts_with("The casting in the four-jaw chuck"), "{}", made.setups[0].held);
    // 76 and twice 1.5875: the first cut leaves less than 79.175.
    let cut = shown(row(&made, "turn rim"), "cut 1");
    assert!(
        cut.contains("diameter ≈77.") || cut.contains("diameter 77.") || cut.contains("diameter ≈78."),
        "{cut}"
    );
    // A rim that stays as cast keeps its size and is not turned.
    let made = planned(&cast("machined = [\"left\", \"right\"]\n"), "everything");
    assert_eq!(chosen(&made, "rim: diameter"), "76.2 mm");
    assert!(!made.setups.iter().flat_map(|s| &s.rows).any(|r| r.what.starts_with("turn rim")));
}

/// Stock that the file names is the bar, and nothing grows out of it.
#[test]
fn stated_bar_is_what_a_part_is_turned_from() {
    let stated = |form: &str, size: &str| format!("{CRANK}[stock]\nform = \"{form}\"\nsize = [\"{size}\"]\n");
    let made = planned(&stated("round bar", "34"), "everything");
    assert!(made.figure("cover: material").unwrap().shown.contains("round ⌀ 34 mm"), "{made:?}");
    let made = planned(&stated("hexagon bar", "36"), "everything");
    assert!(made.figure("cover: material").unwrap().shown.contains("hexagon 36 mm"));
    for (form, size) in [("round bar", "31"), ("hexagon bar", "31"), ("square bar", "30")] {
        let faults = plan(&read(&stated(form, size)), &bench("everything")).unwrap_err();
        assert!(told(&faults).contains("does not come out of the bar"), "{form}: {}", told(&faults));
    }
    let union = format!("{UNION}[stock]\nform = \"hexagon bar\"\nsize = [\"3/8\"]\n");
    assert_eq!(chosen(&planned(&union, "everything"), "hexagon: across flats"), "9.525 mm");
    let wrong = union.replace("[\"3/8\"]", "[\"7/16\"]");
    assert!(
        told(&plan(&read(&wrong), &bench("everything")).unwrap_err())
            .contains("is not the bar that it is made from")
    );
}

/// The front view has the sheave up by its throw: 15.875 and 4.7625 above the axis, and a
/// cone has its own four corners.
#[test]
fn the_profile_is_drawn_as_it_is() {
    let tops = |text: &str| {
        let drawing = read(text);
        let solved = solve(&drawing).unwrap();
        let part = Part::as_drawn(&drawing, &solved);
        let scene =
            workshop::plan::views::views(&part, workshop::plan::views::Lettering::AsWritten).remove(0);
        let ends = scene.outline.iter().flat_map(|line| [line.start(), line.end()]).collect::<Vec<_>>();
        move |x_mm: f64, y_mm: f64| {
            ends.iter().any(|p| (p.x_mm - x_mm).abs() < 1e-6 && (p.y_mm - y_mm).abs() < 1e-6)
        }
    };
    let has = tops(SHEAVE);
    let (left, top) = (5.0 / 16.0 * 25.4, (0.625 + 0.1875) * 25.4);
    assert!(has(left, top) && has(left, (0.1875 - 0.625) * 25.4));
    let has = tops(KNOB);
    let cone = 3.0 / 8.0 * 25.4;
    assert!(has(cone, 5.0 / 16.0 * 25.4) && has(cone + 1.125 * 25.4, 3.0 / 16.0 * 25.4));
    // The chamfer of 1/32 at the left of the head.
    assert!(has(0.0, (3.0 / 8.0 - 1.0 / 32.0) * 25.4) && has(25.4 / 32.0, 3.0 / 8.0 * 25.4));
}

/// A hole of 5 mm, 40 mm deep, from a tailstock of 2.5 mm a turn: its point is 1.5 mm long, so the
/// wheel goes 16.6 turns; the flutes are full at three diameters and then at every one.
#[test]
fn a_deep_hole_is_drilled_by_the_handwheel_of_the_tailstock() {
    let text = "part = \"Sleeve\"\nunit = \"mm\"\nmaterial = \"mild steel\"\n[body]\nkind = \"turned\"\n\
        [[feature]]\nname = \"outside\"\nkind = \"section\"\ndiameter = \"16\"\nlength = \"50\"\n\
        [[feature]]\nname = \"bore\"\nkind = \"hole\"\nface = \"right\"\ndiameter = \"5\"\ndepth = \"40\"\n";
    let drilled = |lathe: &str| {
        let bench = format!(
            "drills = [\"5 mm\"]\n[lathe]\nspeeds = [60, 320, 900]\n{lathe}\n[[stock]]\nmaterial = \"mild steel\"\nround = [\"16 mm\"]\n"
        );
        row(&plan(&read(text), &read_bench("bench.toml", &bench).unwrap()).unwrap(), "drill bore").clone()
    };
    let plain = drilled("");
    assert_eq!(shown(&plain, "out to clear"), "at 15 mm, then every 5 mm: 5 times");
    let dial = drilled("tailstock_pitch = \"2.5 mm\"\ntailstock_divisions = 50\npower = \"250 W\"");
    assert_eq!(shown(&dial, "tailstock, from the tip touching"), "16 turns and 30 divisions");
    assert_eq!(
        shown(&dial, "out to clear, by the handwheel"),
        "after 6 turns and 30 divisions, then every 2 turns"
    );
    assert!(shown(&dial, "power at the drill").ends_with("of 188 W"), "{:?}", dial.depth);
    let quarters = drilled("tailstock_pitch = \"0.1 in\"");
    assert_eq!(shown(&quarters, "tailstock, from the tip touching"), "16 1/4 turns");
    // 0.07 mm a turn at 900: 63 mm a minute, so 2.54 mm in 2.4 s.
    assert_eq!(shown(&quarters, "a turn of the handwheel in"), "2 s");
    let weak = drilled("power = \"20 W\"");
    assert!(weak.speed.unwrap().shown != plain.speed.unwrap().shown);
}

/// A hole drilled from the back: with that up the left end lies to the right, in the picture as in the numbers.
#[test]
fn work_with_its_back_up_is_drawn_as_it_lies() {
    let made = |face: &str| {
        planned(
            &stub(
                ROUND,
                &format!(
                    "kind = \"hole\"\nface = \"{face}\"\ndiameter = \"3\"\ndepth = \"4\"\nplace = [\"5 right of left end\"]"
                ),
            ),
            "everything",
        )
    };
    for face in ["front", "back", "top", "bottom"] {
        let made = made(face);
        let sheet =
            made.setups.iter().find(|s| s.rows.iter().any(|r| r.what.starts_with("drill extra"))).unwrap();
        let (index, row) =
            sheet.rows.iter().enumerate().find(|(_, r)| r.what.starts_with("drill extra")).unwrap();
        let x: f64 = shown(row, "X").trim_end_matches(" mm").replace('\u{2212}', "-").parse().unwrap();
        let mark = sheet.scene.marks.iter().find(|mark| mark.number == index + 1).unwrap();
        assert!((mark.at.x_mm - x).abs() < 1e-6, "{face}: drawn at {}, set to {x}", mark.at.x_mm);
        let ends = sheet.scene.outline.iter().flat_map(|line| [line.start().x_mm, line.end().x_mm]);
        assert!(ends.clone().fold(f64::MAX, f64::min) < x && x < ends.fold(f64::MIN, f64::max), "{face}");
    }
}
