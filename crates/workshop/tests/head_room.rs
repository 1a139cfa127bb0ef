//! Hexagon heads inside curved outlines: where the drawing's head has room, the new one has it.

use workshop::bench::{Bench, read_bench};
use workshop::drawing::{Part, read_drawing, solve};
use workshop::geometry::Point;
use workshop::metric::metricate;

/// Across the flats, in millimetres: ISO 272:1982 as an encyclopaedia's page has it, and
/// 1.75 times the major diameter for British Association screws, as another has it.
const FLATS_MM: [(&str, f64); 6] =
    [("M3", 5.5), ("M4", 7.0), ("M5", 8.0), ("M6", 10.0), ("4 BA", 3.6 * 1.75), ("2 BA", 4.7 * 1.75)];

fn corner_mm(thread: &str) -> f64 {
    let (_, flats) = FLATS_MM.iter().find(|(name, _)| *name == thread).expect("a head of the test");
    flats / 3.0_f64.sqrt()
}

fn bench() -> Bench {
    let text = "drills = [\"1 mm to 13 mm by 0.1 mm\"]\ntaps = [\"M4\", \"M5\"]\n\
        [[stock]]\nmaterial = \"mild steel\"\nflat = [\"3 mm\", \"4 mm\", \"5 mm\", \"6 mm\", \"8 mm\"]\n";
    read_bench("bench.toml", text).unwrap_or_else(|faults| panic!("{faults:#?}"))
}

/// The room from the middle of the hole to the outline, drawn and chosen, with the new thread.
fn rooms_mm(body: &str, features: &str) -> (f64, f64, String) {
    let text = format!(
        "part = \"Plate\"\nunit = \"inch\"\nmaterial = \"mild steel\"\ngeneral_tolerance = \"coarse\"\n\
         [body]\n{body}thickness = \"1/8\"\n{features}"
    );
    let drawing = read_drawing("part.toml", &text).unwrap_or_else(|faults| panic!("{faults:#?}\n{text}"));
    let solved = solve(&drawing).unwrap();
    let metric =
        metricate(&drawing, &solved, &bench()).unwrap_or_else(|faults| panic!("{faults:#?}\n{text}"));
    let drawn = Part::as_drawn(&drawing, &solved);
    let made = drawn.with_sizes(metric.sizes.clone());
    let (hole, _) = drawn.features().find(|(_, feature)| feature.name == "bolt hole").unwrap();
    let room = |part: &Part| {
        let (x, y) = part.xy(hole).unwrap();
        part.outline().unwrap().distance_mm(Point::at(x, y))
    };
    (room(&drawn), room(&made), metric.threads[0].chosen.designation.clone())
}

fn bolt_hole(thread: &str, drill: &str, place: &str) -> String {
    format!(
        "[[feature]]\nname = \"bolt hole\"\nkind = \"hole\"\nclears = \"{thread}\"\ndiameter = \"{drill}\"\nplace = [{place}]\n"
    )
}

fn held(body: &str, features: &str, thread: &str) {
    let (drawn_mm, made_mm, new) = rooms_mm(body, features);
    assert!(drawn_mm >= corner_mm(thread), "the drawing's head has room: {drawn_mm}");
    assert!(drawn_mm < corner_mm(&new), "the new head would not have it: {drawn_mm} for {new}");
    assert!(made_mm >= corner_mm(&new) - 1e-6, "{made_mm} for {new}");
}

/// 4 BA gives way to M4, whose head reaches 4.04 mm instead of 3.64: from the rim of a disc
/// 3.77 and 3.97 mm away, and from the flank and the round of a boss.
#[test]
fn a_head_keeps_inside_a_curved_outline() {
    for across in [59, 60] {
        let hole = bolt_hole("4 BA", "No. 27", "\"20/64 right of centre\", \"level with centre\"");
        held(
            &format!("kind = \"disc\"\ndiameter = \"{across}/64\"\n"),
            &hole.replace("centre", "datum"),
            "4 BA",
        );
    }
    let bosses = "[[feature]]\nname = \"big\"\nkind = \"boss\"\nradius = \"3/8\"\nplace = \"datum\"\n\
        [[feature]]\nname = \"small\"\nkind = \"boss\"\nradius = \"10/64\"\nplace = [\"1 right of big\", \"level with big\"]\n\
        [[feature]]\nname = \"bore\"\nkind = \"hole\"\ndiameter = \"1/4\"\nplace = [\"concentric with big\"]\n";
    let hole = bolt_hole("4 BA", "No. 27", "\"concentric with small\"");
    held("kind = \"bosses\"\naround = [\"big\", \"small\"]\n", &format!("{bosses}{hole}"), "4 BA");
}
