//! Grooves and recesses of turned parts keep the walls beside them. The walls are sums in the
//! choice of sizes; here they are measured on the solids of the part, which share no code with
//! those sums.

use proptest::prelude::*;
use workshop::bench::{Bench, read_bench};
use workshop::drawing::solid::{Beside, apart_in_space};
use workshop::drawing::{Drawing, FeatureId, Kind, Part, read_drawing, solve};
use workshop::metric::{MetricPart, metricate};
use workshop::problem::Problem;

const BENCH: &str = include_str!("../../../examples/kittiwake/bench.toml");

fn bench() -> Bench {
    read_bench("bench.toml", BENCH).expect("the bench reads")
}

fn shown(faults: &[Problem]) -> String {
    faults.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n")
}

const TURNED: &str =
    "part = \"Ring\"\nunit = \"inch\"\nmaterial = \"mild steel\"\n[body]\nkind = \"turned\"\n";

/// Features by name, kind and what else they say.
fn text(features: &[(&str, &str, String)]) -> String {
    let one = |(name, kind, more): &(&str, &str, String)| {
        format!("[[feature]]\nname = \"{name}\"\nkind = \"{kind}\"\n{more}")
    };
    TURNED.to_owned() + &features.iter().map(one).collect::<String>()
}

fn section(diameter: u32, length: u32) -> String {
    format!("diameter = \"{diameter}/64\"\nlength = \"{length}/64\"\n")
}

/// Every wall beside a groove or a recess, with how thick it is on the drawing and on the
/// metric part.
fn walls_mm(drawing: &Drawing, metric: &MetricPart) -> Vec<(String, f64, f64)> {
    let solved = solve(drawing).expect("it solved before");
    let drawn = Part::as_drawn(drawing, &solved);
    let made = drawn.with_sizes(metric.sizes.clone());
    let hollow = |id: FeatureId| matches!(drawn.feature(id).kind, Kind::Groove { .. } | Kind::Recess { .. });
    let cut = |id: FeatureId| hollow(id) || matches!(drawn.feature(id).kind, Kind::Hole { .. });
    let features: Vec<FeatureId> = drawn.features().map(|(id, _)| id).collect();
    let cuts: Vec<FeatureId> = features.iter().copied().filter(|&id| cut(id)).collect();
    let pairs = cuts.iter().flat_map(|&a| cuts.iter().map(move |&b| (a, Beside::Feature(b))));
    let pairs = pairs.filter(|&(a, b)| matches!(b, Beside::Feature(b) if a < b && (hollow(a) || hollow(b))));
    let beside: Vec<(FeatureId, Beside)> = pairs.collect();
    let mut walls = Vec::new();
    for (first, second) in beside {
        let both = (apart_in_space(&drawn, first, second), apart_in_space(&made, first, second));
        if let (Some(drawn_mm), Some(made_mm)) = both {
            walls.push((
                format!("{} and {}", drawn.feature(first).name, second.words(&drawn)),
                drawn_mm,
                made_mm,
            ));
        }
    }
    walls
}

/// What stands apart on the drawing stays apart: by a millimetre, or as far as it did.
fn keep_their_walls(text: &str) -> Result<usize, String> {
    let drawing = read_drawing("part.toml", text).map_err(|faults| shown(&faults))?;
    let solved = solve(&drawing).map_err(|faults| shown(&faults))?;
    let Ok(metric) = metricate(&drawing, &solved, &bench()) else { return Ok(0) };
    let walls = walls_mm(&drawing, &metric);
    for (name, drawn_mm, made_mm) in &walls {
        if *drawn_mm > 1e-6 {
            let least_mm = drawn_mm.min(1.0) - 1e-5;
            assert!(*made_mm >= least_mm, "{name}: {drawn_mm} drawn, {made_mm} made\n{text}");
        }
    }
    Ok(walls.len())
}

/// A groove 1/16 wide near a shoulder, a cross hole and over a bore, all with little between.
#[test]
fn a_groove_keeps_off_a_bore_a_cross_hole_and_a_shoulder() {
    let found = keep_their_walls(&text(&[
        ("spigot", "section", section(24, 20)),
        ("body", "section", section(48, 40)),
        ("bore", "hole", "face = \"left\"\ndiameter = \"15/64\"\nfinish = \"drilled\"\n".to_owned()),
        (
            "oil hole",
            "hole",
            "face = \"top\"\ndiameter = \"1/8\"\nplace = [\"20/64 right of body\"]\n".to_owned(),
        ),
        (
            "groove",
            "groove",
            "diameter = \"20/64\"\nwidth = \"1/16\"\nplace = [\"10/64 right of body\"]\n".to_owned(),
        ),
    ]))
    .unwrap();
    assert_eq!(found, 2, "the groove beside the bore and beside the oil hole");
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(8))]
    /// Whatever the sizes of a groove, a bore, a cross hole and a recess round a hub.
    #[test]
    fn walls_of_hollows_are_kept(
        spigot in (16u32..30, 8u32..24), body in (40u32..72, 32u32..64), bore in (6u32..14, 4u32..40),
        groove in (15u32..38, 2u32..6, 1u32..20), cross in (4u32..12, 8u32..40), recess in (24u32..36, 2u32..16, 12u32..22),
    ) {
        let text = text(&[
            ("spigot", "section", section(spigot.0, spigot.1)),
            ("body", "section", section(body.0, body.1)),
            ("bore", "hole", format!("face = \"left\"\ndiameter = \"{}/64\"\nfinish = \"drilled\"\ndepth = \"{}/64\"\n", bore.0, bore.1)),
            ("cross", "hole", format!("face = \"top\"\ndiameter = \"{}/64\"\nplace = [\"{}/64 right of body\"]\n", cross.0, cross.1)),
            ("groove", "groove", format!("diameter = \"{}/64\"\nwidth = \"{}/64\"\nplace = [\"{}/64 right of body\"]\n", groove.0, groove.1, groove.2)),
            ("recess", "recess", format!("face = \"right\"\ndiameter = \"{}/64\"\ndepth = \"{}/64\"\nhub = \"{}/64\"\n", recess.0, recess.1, recess.2)),
        ]);
        // What cannot be drawn is no part.
        let found = keep_their_walls(&text);
        prop_assume!(found.is_ok());
    }
}
