//! Keyways in bores: walls, feed and order against sums done by hand, and what cannot be.

use workshop::bench::{Bench, read_bench};
use workshop::drawing::solid::{Beside, walls_in_space};
use workshop::drawing::{Drawing, FeatureId, Image, Part, read_drawing, solve};
use workshop::exchange::flat;
use workshop::geometry::Outline;
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

fn pulley(key: &str) -> String {
    format!(
        "part = \"Pulley\"\nunit = \"mm\"\nmaterial = \"mild steel\"\nusual_roles = true\n[body]\nkind = \"turned\"\n\
         [[feature]]\nname = \"rim\"\nkind = \"section\"\ndiameter = 40\nlength = 12\n\
         [[feature]]\nname = \"bore\"\nkind = \"hole\"\ndiameter = 10\nfinish = \"reamed\"\nface = \"right\"\n\
         [[feature]]\nname = \"key\"\nkind = \"keyway\"\n{key}\n"
    )
}

/// DIN 6885-1 for a shaft of 10 to 12: a key of 4 in a hub 1.8 deep.
const KEY: &str =
    "in = \"bore\"\nwidth = { is = 4, role = \"hold\" }\ndepth = { is = \"1.8\", role = \"hold\" }";

fn read(text: &str) -> Drawing {
    read_drawing("part.toml", text).unwrap_or_else(|faults| panic!("{}", told(&faults)))
}

fn planned(text: &str, bench: &Bench) -> Plan {
    plan(&read(text), bench).unwrap_or_else(|faults| panic!("{}", told(&faults)))
}

fn row<'p>(made: &'p Plan, what: &str) -> (usize, &'p Row) {
    let all: Vec<&str> = made.setups.iter().flat_map(|s| &s.rows).map(|r| r.what.as_str()).collect();
    let rows =
        made.setups.iter().enumerate().flat_map(|(n, setup)| setup.rows.iter().map(move |row| (n, row)));
    rows.into_iter().find(|(_, row)| row.what == what).unwrap_or_else(|| panic!("{what}: {all:?}"))
}

/// A bore of 12, its key of 4 with the floor 7.8 from the middle, in plan. By hand: of the circle π 6² = 113.097 the
/// strip of 4 takes 2 √(6² − 2²) + 6² asin(2/6) = 23.548 away from the middle outwards, and the keyway has 4 × 7.8 there.
#[test]
fn a_keyed_bore_is_exported_in_one_piece_for_either_hand() {
    let drawing = read(include_str!("parts/keyed-arm.toml"));
    let solved = solve(&drawing).unwrap();
    let drawn = Part::as_drawn(&drawing, &solved);
    // It lies 135° from the middle of the bore at the datum, its floor upwards and to the left.
    for (image, way) in [(Image::Drawn, -1.0), (Image::Mirrored, 1.0)] {
        let flat = flat(&drawn.seen(image)).unwrap();
        let holes = &flat.layers.iter().find(|layer| layer.name == "holes").unwrap().segments;
        let edge = Outline::new(holes[..4].to_vec()).unwrap();
        assert!((edge.area_mm2() - (113.0973 - 23.5479 + 31.2)).abs() < 1e-3, "{}", edge.area_mm2());
        let floor = 7.8 * 0.5_f64.sqrt();
        let middle = holes[2].along(0.5);
        assert!((middle.x_mm - way * floor).abs() < 1e-9 && (middle.y_mm - floor).abs() < 1e-9, "{middle:?}");
        assert!(flat.notes.is_empty(), "{:?}", flat.notes);
    }
}

/// By hand: the floor lies 5 + 1.8 from the axis, its corners √(6.8² + 2²) = 7.088, so that 20 − 7.088 are left.
#[test]
fn the_wall_agrees_with_a_sum_done_by_hand() {
    let drawing = read(&pulley(KEY));
    let solved = solve(&drawing).unwrap();
    let part = Part::as_drawn(&drawing, &solved);
    let key = FeatureId(2);
    assert_eq!(part.keyway_floor(key).unwrap().decimals(3), "6.800");
    let found = walls_in_space(&part);
    let wall = found
        .iter()
        .find(|wall| (wall.first, wall.second) == (key, Beside::Section(FeatureId(0))))
        .unwrap_or_else(|| panic!("{found:?}"));
    assert!((wall.thickness.as_mm() - (20.0 - 6.8_f64.hypot(2.0))).abs() < 1e-6, "{wall:?}");
}

/// It is planed where its bore is finished, after it, and measured from the far side of the bore: 10 + 1.8.
#[test]
fn it_is_planed_in_the_holding_of_its_bore() {
    let made = planned(&pulley(KEY), &bench(BENCH));
    let (setup, cut) = row(&made, "plane key");
    assert!(cut.tool.contains("4 mm wide"), "{}", cut.tool);
    let shown = |label: &str| cut.depth.iter().find(|figure| figure.label() == label).unwrap().shown.clone();
    assert!(shown("feed from first touch").contains("2.217"), "{}", shown("feed from first touch"));
    assert!(shown("each stroke").contains("about 45 strokes"), "{}", shown("each stroke"));
    assert!(cut.check.as_ref().unwrap().shown.contains("11.8"), "{:?}", cut.check);
    let names: Vec<&str> = made.setups[setup].rows.iter().map(|row| row.what.as_str()).collect();
    let at = |what: &str| names.iter().position(|name| name.starts_with(what)).unwrap();
    assert!(at("ream bore") < at("plane key"), "{names:?}");
}

#[test]
fn without_lathe_or_mill_it_is_filed() {
    let arm = "part = \"Arm\"\nunit = \"mm\"\nmaterial = \"mild steel\"\nusual_roles = true\n[body]\nkind = \"rectangle\"\nwidth = 40\nheight = 40\n\
         thickness = 10\ndatum = \"centre\"\n[[feature]]\nname = \"bore\"\nkind = \"hole\"\ndiameter = 10\nplace = \"datum\"\n\
         [[feature]]\nname = \"key\"\nkind = \"keyway\"\n";
    let hand = bench("mill = \"none\"\ndrills = [\"1 mm to 13 mm by 0.1 mm\"]\n");
    let made = planned(&format!("{arm}{KEY}"), &hand);
    assert!(row(&made, "file key").1.tool.contains("files"));
    // On the mill its middle line is told as the work lies.
    let made = planned(&format!("{arm}{KEY}\ntoward = \"120°\""), &bench(BENCH));
    let (_, cut) = row(&made, "plane key");
    let line = cut.sets.iter().find(|figure| figure.label() == "its middle line").unwrap();
    assert_eq!(line.shown, "at 120° 00′, anticlockwise from X");
}

#[test]
fn what_cannot_be_is_told() {
    for (key, words) in [
        ("in = \"rim\"\nwidth = 4\ndepth = 2", "no plain hole right through"),
        ("in = \"bore\"\nwidth = 10\ndepth = 2", "is as wide as its bore"),
        ("in = \"bore\"\nwidth = 4\ndepth = 20", "breaks"),
        ("width = 4\ndepth = 2", "`in` is not given"),
        ("in = \"bore\"\nwidth = 4", "depth is missing"),
    ] {
        let text = pulley(key);
        let found = match read_drawing("part.toml", &text) {
            Err(faults) => told(&faults),
            Ok(drawing) => {
                let solved = solve(&drawing).unwrap_or_else(|faults| panic!("{}", told(&faults)));
                told(&Part::as_drawn(&drawing, &solved).wrong())
            }
        };
        assert!(found.contains(words), "{key}: {found}");
    }
}

/// A key of 1/8 in is bought so: a keyway of 3.25 mm would leave it loose, and one of 1.5 mm in place of 1/16 in
/// would stand in its way.
#[test]
fn a_keyway_keeps_to_its_key() {
    let text = pulley("in = \"bore\"\nwidth = \"1/8 in\"\ndepth = \"1/16 in\"");
    let made = planned(&text, &bench(BENCH));
    let chosen = |name: &str| &made.cover.changes.iter().find(|change| change.name == name).unwrap().chosen;
    assert_eq!(chosen("key: width"), "3.175 mm");
    let depth: f64 = chosen("key: depth").trim_start_matches('≈').trim_end_matches(" mm").parse().unwrap();
    assert!((1.5875..1.8).contains(&depth), "{depth}");
    // One that is no key's width may move as any filed size does.
    let odd = planned(&pulley("in = \"bore\"\nwidth = \"0.13 in\"\ndepth = \"1/16 in\""), &bench(BENCH));
    assert!(
        odd.cover.changes.iter().any(|change| change.name == "key: width" && change.chosen != "3.302 mm")
    );
}
