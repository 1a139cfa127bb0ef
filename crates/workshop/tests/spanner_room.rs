//! Room for the spanners that turn hexagon heads: where that of the drawing's own screw has
//! room, the new one's has it; where only the head had room nothing is asked, and it is said.

use proptest::prelude::*;
use workshop::bench::{Bench, read_bench};
use workshop::drawing::{Axis, Drawing, Part, Solved, read_drawing, solve};
use workshop::metric::{Memory, MetricPart, Piece, metricate, standoffs};
use workshop::problem::Outcome;

/// Across the flats, in millimetres: ISO 272:1982 as an encyclopaedia's page has it, and
/// 1.75 times the major diameter for British Association screws, as another has it.
const FLATS_MM: [(&str, f64); 8] = [
    ("M2.5", 5.0),
    ("M3", 5.5),
    ("M4", 7.0),
    ("M5", 8.0),
    ("M6", 10.0),
    ("6 BA", 2.8 * 1.75),
    ("4 BA", 3.6 * 1.75),
    ("2 BA", 4.7 * 1.75),
];

fn flats_mm(thread: &str) -> f64 {
    FLATS_MM.iter().find(|(name, _)| *name == thread).unwrap_or_else(|| panic!("no head of {thread}")).1
}

fn corner_mm(thread: &str) -> f64 {
    flats_mm(thread) / 3.0_f64.sqrt()
}

/// From the axis to a wall: GOST 13682-80 as a design office's page prints it, 8 mm at 8 across
/// the flats and 10 at 10; below 8 in proportion.
fn spanner_mm(thread: &str) -> f64 {
    flats_mm(thread)
}

fn bench() -> Bench {
    let text = "drills = [\"1 mm to 13 mm by 0.1 mm\"]\ntaps = [\"M2.5\", \"M3\", \"M4\", \"M5\"]\n\
        [[stock]]\nmaterial = \"mild steel\"\nflat = [\"3 mm\", \"4 mm\", \"5 mm\", \"6 mm\", \"8 mm\"]\n";
    read_bench("bench.toml", text).unwrap_or_else(|faults| panic!("{faults:#?}"))
}

fn plate(features: &str) -> (Drawing, Solved) {
    let text = format!(
        "part = \"Plate\"\nunit = \"inch\"\nmaterial = \"mild steel\"\ngeneral_tolerance = \"coarse\"\n\
         [body]\nkind = \"rectangle\"\nwidth = \"3\"\nheight = \"2\"\nthickness = \"1/4\"\n\
         datum = \"bottom left\"\n{features}"
    );
    let drawing = read_drawing("part.toml", &text).unwrap_or_else(|faults| panic!("{faults:#?}\n{text}"));
    let solved = solve(&drawing).unwrap_or_else(|faults| panic!("{faults:#?}\n{text}"));
    (drawing, solved)
}

fn bolt_hole(name: &str, thread: &str, place: &str) -> String {
    let drill = match thread {
        "6 BA" => "1/8",
        "4 BA" => "No. 27",
        _ => "No. 11",
    };
    format!(
        "[[feature]]\nname = \"{name}\"\nkind = \"hole\"\nclears = \"{thread}\"\ndiameter = \"{drill}\"\nplace = [{place}]\n"
    )
}

/// A size that the mechanism depends on to the micron.
fn held(size: &str) -> String {
    format!("{{ is = \"{size}\", role = \"hold\", within = \"0.0004 mm\" }}")
}

/// Two screws so far apart in a plate.
fn pair(first: &str, second: &str, apart: &str) -> String {
    bolt_hole("p", first, "\"1 from left edge\", \"1 from bottom edge\"")
        + &bolt_hole("q", second, &format!("{apart}, \"level with p\""))
}

/// Two like screws in a row, so far apart.
fn row(apart: &str) -> String {
    bolt_hole("r", "6 BA", "\"1 from left edge\", \"1 from bottom edge\"")
        .replace("kind = \"hole\"", &format!("kind = \"row\"\nholes = 2\nspacing = {apart}"))
}

fn made(features: &str) -> Outcome<MetricPart> {
    let (drawing, solved) = plate(features);
    metricate(&drawing, &solved, &bench())
}

fn chosen(part: &MetricPart) -> &str {
    &part.threads[0].chosen.designation
}

fn refusals(part: &MetricPart) -> String {
    part.threads.iter().flat_map(|thread| &thread.refused).map(|other| other.reason() + "\n").collect()
}

fn box_spanners(part: &MetricPart) -> Vec<&String> {
    part.assumed.iter().filter(|line| line.contains("box spanner")).collect()
}

/// 6 BA takes 4.9 mm for its spanner and 2.829 to its neighbour's corners, 7.729 in all; M2.5
/// takes 7.887 and M3, which is nearer 6 BA, 8.675.
#[test]
fn the_next_thread_is_taken_where_the_spanner_fouls_a_neighbour() {
    for (apart, thread) in [("7.888", "M2.5"), ("8.3", "M2.5"), ("8.675", "M2.5"), ("8.676", "M3")] {
        let apart = held(&format!("{apart} mm"));
        let part = made(&row(&apart)).unwrap_or_else(|faults| panic!("{faults:#?}"));
        let sizes: Vec<String> = part.dimensions.iter().map(|size| size.chosen.to_string()).collect();
        assert_eq!(chosen(&part), thread, "{apart}: {sizes:?}");
        let fouls = thread != "M3";
        assert_eq!(
            refusals(&part).contains("room for the spanner of the head on r 1 beside the head on r 2"),
            fouls,
            "{apart}"
        );
        assert!(box_spanners(&part).is_empty(), "{apart}: {:?}", part.assumed);
    }
    let part = made(&row(&held("8.3 mm"))).unwrap_or_else(|faults| panic!("{faults:#?}"));
    assert!(refusals(&part).contains("would be 8.3 mm, must be 8.676 mm at least"), "{}", refusals(&part));
    let in_full: String = part.threads[0].refused.iter().map(|other| other.reason_in_full()).collect();
    assert!(in_full.contains("the ring or socket that turns a hexagon head"), "{in_full}");
}

/// Nothing metric has room where 6 BA just has it: the demand is named, and the screw may stay.
#[test]
fn a_clash_names_the_spanner_and_offers_the_old_screw() {
    for (apart, clashes) in [("7.728", false), ("7.730", true), ("7.886", true)] {
        let apart = held(&format!("{apart} mm right of p"));
        let (drawing, solved) = plate(&pair("6 BA", "6 BA", &apart));
        let piece = Piece { drawing: &drawing, solved: &solved };
        let sets = standoffs(&piece, &bench(), &mut Memory::new());
        assert_eq!(!sets.is_empty(), clashes, "{apart}");
        let ways: String = sets.iter().map(|set| format!("{:?}", set.ways_out)).collect();
        let said: String = sets.iter().flat_map(|set| &set.demands).map(|d| d.because.clone()).collect();
        assert_eq!(said.contains("the spanner of the head on p"), clashes, "{apart}: {said}");
        assert_eq!(ways.contains("keep the 6 BA screw"), clashes, "{apart}: {ways}");
    }
}

/// One thousandth nearer than 6 BA asks, a box spanner was meant: M3 is taken, and it is said.
#[test]
fn where_the_spanner_had_no_room_nothing_is_asked_and_it_is_said() {
    let apart = held("7.728 mm");
    let part = made(&row(&apart)).unwrap_or_else(|faults| panic!("{faults:#?}"));
    assert_eq!(chosen(&part), "M3");
    assert!(!refusals(&part).contains("spanner"), "{}", refusals(&part));
    let said = box_spanners(&part);
    assert_eq!(said.len(), 1, "{said:?}");
    assert!(said[0].contains("(M3)") && said[0].contains("beside the head on r 2"), "{said:?}");
    assert!(
        format!("{:?}", part.threads[0].why).contains("box spanner"),
        "asked why, the thread says it too"
    );
}

/// A shoulder is a wall to what stands at its foot and none to what stands above it; and a
/// spanner may overhang the edge of the plate.
#[test]
fn a_spanner_keeps_from_a_shoulder_that_rises_and_overhangs_one_that_falls() {
    let step = |side: &str| {
        format!(
            "[[feature]]\nname = \"shoulder\"\nkind = \"step\"\nside = \"{side}\"\nleaves = \"1/8\"\nplace = [\"1 1/2 from left edge\"]\n"
        )
    };
    // M3 takes 5.5 mm, M2.5 5 and 6 BA 4.9.
    for (side, away, thread, said) in [
        ("right", "5.499", "M2.5", false),
        ("right", "5.501", "M3", false),
        ("right", "4.899", "M3", true),
        ("left", "5.499", "M3", false),
    ] {
        let place = held(&format!("{away} mm right of shoulder"));
        let hole = bolt_hole("p", "6 BA", &format!("{place}, \"1 from bottom edge\""));
        let part = made(&(step(side) + &hole)).unwrap_or_else(|faults| panic!("{side} {away}: {faults:#?}"));
        assert_eq!(chosen(&part), thread, "{side} {away}: {}", refusals(&part));
        assert_eq!(refusals(&part).contains("spanner"), thread == "M2.5", "{side} {away}");
        assert_eq!(box_spanners(&part).len(), usize::from(said), "{side} {away}: {:?}", part.assumed);
    }
    let place = held("5.2 mm from left edge");
    let part = made(&bolt_hole("p", "6 BA", &format!("{place}, \"1 from bottom edge\"")))
        .unwrap_or_else(|faults| panic!("{faults:#?}"));
    assert_eq!(chosen(&part), "M3", "it overhangs the edge: {}", refusals(&part));
}

/// The wall of a pocket stands round the head on its floor.
#[test]
fn a_spanner_keeps_from_the_wall_of_a_pocket() {
    for (high, thread, said) in [("10.4", "M2.5", false), ("11.2", "M3", false), ("9.7", "M3", true)] {
        let size = |is: &str| format!("{{ is = \"{is} mm\", role = \"hold\", within = \"0.0004 mm\" }}");
        let pocket = format!(
            "[[feature]]\nname = \"pocket\"\nkind = \"pocket\"\nwidth = \"1\"\nheight = {}\ncorner = \"1/8\"\n\
             depth = \"1/8\"\nplace = [\"1 1/2 from left edge\", \"1 from bottom edge\"]\n",
            size(high)
        );
        let hole = bolt_hole("p", "6 BA", "\"concentric with pocket\"");
        let part = made(&(pocket + &hole)).unwrap_or_else(|faults| panic!("{high}: {faults:#?}"));
        assert_eq!(chosen(&part), thread, "{high}: {}", refusals(&part));
        assert_eq!(box_spanners(&part).len(), usize::from(said), "{high}: {:?}", part.assumed);
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]
    /// Whatever two screws and however far apart: a spanner that has room on the drawing has it
    /// on the part, and one that has none is nowhere asked for.
    #[test]
    fn spanners_keep_the_room_that_they_have(
        first in prop::sample::select(vec!["6 BA", "4 BA", "2 BA"]),
        second in prop::sample::select(vec!["6 BA", "4 BA", "2 BA"]),
        hundredths in 24u32..60, level in any::<bool>(),
    ) {
        let along = if level { "right of p\", \"level with p" } else { "right of p\", \"1/8 above p" };
        let features = bolt_hole("p", first, "\"1 from left edge\", \"1 from bottom edge\"")
            + &bolt_hole("q", second, &format!("\"0.{hundredths} {along}\""));
        let (drawing, solved) = plate(&features);
        let part = metricate(&drawing, &solved, &bench());
        prop_assume!(part.is_ok());
        let part = part.unwrap();
        let drawn = Part::as_drawn(&drawing, &solved);
        let apart = |part: &Part| {
            let at = |name: &str, axis| {
                let (id, _) = part.features().find(|(_, feature)| feature.name == name).unwrap();
                part.at(id, axis).unwrap().as_mm()
            };
            [Axis::X, Axis::Y].map(|axis| at("q", axis) - at("p", axis)).iter().fold(0.0, |a: f64, b| a.hypot(*b))
        };
        let (drawn_mm, made_mm) = (apart(&drawn), apart(&drawn.with_sizes(part.sizes.clone())));
        let new = |at: usize| part.threads[at].chosen.designation.as_str();
        let said = refusals(&part);
        for (of, beside, [old, its], [now, becomes]) in [
            ("p", "q", [first, second], [new(0), new(1)]),
            ("q", "p", [second, first], [new(1), new(0)]),
        ] {
            let had = drawn_mm >= spanner_mm(old) + corner_mm(its);
            let has = made_mm >= spanner_mm(now) + corner_mm(becomes) - 1e-6;
            let asked = said.contains(&format!("the spanner of the head on {of} beside the head on {beside}"));
            prop_assert!(has || !had, "{old} {now} beside {its} {becomes}: {drawn_mm} {made_mm}");
            prop_assert!(had || !asked, "{old} beside {its} had none at {drawn_mm}: {said}");
        }
    }
}
