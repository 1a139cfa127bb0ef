//! Places that no sum of dimensions gives, and what is asked where several fit.

mod from_text;

use workshop::drawing::{Axis, Drawing, FeatureId, Part, Sizes, solve, solve_as_far};
use workshop::measure::Length;
use workshop::metric::metricate;
use workshop::plan::plan;

use from_text::{bench, faultless, shown};

const PLATE: &str = "part = \"plate\"\nunit = \"mm\"\n[body]\nkind = \"rectangle\"\nwidth = \"120\"\nheight = \"80\"\n\
                     thickness = \"6\"\ndatum = \"bottom left\"\n";

fn hole(name: &str, diameter: &str, place: &[&str]) -> String {
    let place: Vec<String> = place.iter().map(|p| format!("\"{p}\"")).collect();
    format!(
        "[[feature]]\nname = \"{name}\"\nkind = \"hole\"\ndiameter = \"{diameter}\"\nplace = [{}]\n",
        place.join(", ")
    )
}

fn drawing(features: &[String]) -> Drawing {
    from_text::drawing(&format!("{PLATE}{}", features.concat()))
}

fn at(drawing: &Drawing, name: &str) -> (f64, f64) {
    let solved = faultless(solve(drawing), name);
    let part = Part::as_drawn(drawing, &solved);
    let id = FeatureId(drawing.features.iter().position(|f| f.name == name).unwrap());
    let (x, y) = (part.at(id, Axis::X).unwrap(), part.at(id, Axis::Y).unwrap());
    (x.as_mm(), y.as_mm())
}

/// A at (20, 20), B at (70, 20): everything below is worked by hand from them.
fn with_pair(third: &str, place: &[&str]) -> Drawing {
    drawing(&[
        hole("A", "8", &["20 from left edge", "20 from bottom edge"]),
        hole("B", "6", &["50 right of A", "level with A"]),
        hole("C", "4", &["45 right of A", "30 above A"]),
        hole(third, "4", place),
    ])
}

#[test]
fn every_curved_statement_places_where_the_hand_sum_puts_it() {
    let half = 0.5_f64.sqrt();
    for (place, x, y) in [
        (&["30 from A", "40 from B", "above A"][..], 38.0, 44.0),
        (&["30 from A", "40 from B", "below A"], 38.0, -4.0),
        (&["30 from A", "40 from B", "the upper one"], 38.0, 44.0),
        (&["30 from A", "40 from B", "above the line from A to B"], 38.0, 44.0),
        (&["13 from A", "5 above A", "right of A"], 32.0, 25.0),
        (&["13 from A", "5 above A", "the left-hand one"], 8.0, 25.0),
        (&["15 from A toward B"], 35.0, 20.0),
        (&["15 from A away from B"], 5.0, 20.0),
        (&["10 from B at 90° to the line from A to B"], 70.0, 30.0),
        (&["12 above the line from A to B", "plumb with B"], 70.0, 32.0),
        (&["on the line from A to B", "25 from A", "right of A"], 45.0, 20.0),
        (&["on the line from A to C", "30 right of A"], 50.0, 40.0),
        (&["at 45° from A", "20 from A"], 20.0 + 20.0 * half, 20.0 + 20.0 * half),
        (&["at 90° from A", "20 from A"], 20.0, 40.0),
        (&["equidistant from A and B", "30 above A"], 45.0, 50.0),
        // Circle through A (20,20), B (70,20), C (65,50): centre from the bisectors.
        (&["equidistant from A, B and C"], 45.0, 20.0 + (45.0 * 45.0 + 900.0 - 45.0 * 50.0) / 60.0),
        (&["as far from A as B is", "50 above A", "plumb with A"], 20.0, 70.0),
        (&["tangent to the outside of A", "level with A", "right of A"], 26.0, 20.0),
        (&["tangent to the inside of A", "level with A", "right of A"], 22.0, 20.0),
        (&["3 clear of A", "level with A", "right of A"], 29.0, 20.0),
        (&["3 clear of A and", ""][..0], f64::NAN, 0.0),
        (&["3 clear of left edge", "tangent to bottom edge"], 5.0, 2.0),
        (&["symmetrical with C about the line from A to B"], 65.0, -10.0),
        (&["equally spaced between A and B, 2nd of 4"], 40.0, 20.0),
        (&["square to the line from A to C through B", "10 above B"], 70.0 - 20.0 / 3.0, 30.0),
        (&["parallel to the line from A to C through B", "9 right of B"], 79.0, 26.0),
        (&["on a circle of 40 about A at 0°"], 40.0, 20.0),
        (&["on a radius of 20 about A at 90°"], 20.0, 40.0),
        (&["at 1 in 4 from A", "40 right of A"], 60.0, 30.0),
    ] {
        if place.is_empty() {
            continue;
        }
        let drawing = with_pair("D", place);
        let (found_x, found_y) = at(&drawing, "D");
        let off = (found_x - x).abs().max((found_y - y).abs());
        assert!(off < 1e-11, "{place:?}: {found_x}, {found_y} for {x}, {y}");
    }
}

#[test]
fn mirror_images_are_asked_about_with_the_words_that_pick_each() {
    let drawing = with_pair("D", &["30 from A", "40 from B"]);
    let (solved, faults) = solve_as_far(&drawing);
    assert_eq!(faults.len(), 1, "{}", shown(&faults));
    insta::assert_snapshot!(faults[0], @"
    `D` may lie in 2 places: which is meant?
      where: part.toml, line 24, `D`
      why:   what the drawing says holds at each: (1) 38.000 mm right and 4.000 mm below the datum; (2) 38.000 mm right and 44.000 mm above the datum
      mend:  look at the drawing and add to `place` `below A` for (1); `above A` for (2)
    ");
    assert_eq!(faults[0].concerned(), ["D"]);
    assert!(solved.place(FeatureId(3), Axis::X).is_some(), "both lie on one upright line");
    assert!(solved.place(FeatureId(3), Axis::Y).is_none(), "never guessed");
    // Each set of words offered picks one.
    for word in ["above A", "below A"] {
        at(&with_pair("D", &["30 from A", "40 from B", word]), "D");
    }
}

#[test]
fn a_third_distance_picks_between_mirror_images_and_is_kept_as_a_check() {
    // From (38, 44): to C (65, 50) is the root of 27² + 6².
    let drawing = with_pair("D", &["30 from A", "40 from B", "27.6586 from C"]);
    let solved = solve(&drawing).unwrap_or_else(|faults| panic!("{}", shown(&faults)));
    assert_eq!(at(&drawing, "D").1.round(), 44.0);
    assert_eq!(solved.checks.len(), 1);
    assert!(solved.checks[0].statements.iter().any(|s| s.contains("27.6586 from C")));
}

#[test]
fn two_holes_that_hang_on_each_other_are_solved_together() {
    let drawing = drawing(&[
        hole("A", "8", &["20 from left edge", "20 from bottom edge"]),
        hole("B", "6", &["50 right of A", "level with A"]),
        hole("D", "4", &["30 from A", "45 from E", "above A"]),
        hole("E", "4", &["28 from B", "52 from D away from A"][..1]),
        hole("F", "4", &["20 from D", "20 from E", "the upper one"]),
    ]);
    let (_, faults) = solve_as_far(&drawing);
    assert!(faults.iter().any(|f| f.what().contains("one dimension is missing")), "{}", shown(&faults));
}

/// Only the statements that disagree, by how much, and the likeliest slip.
#[test]
fn distances_that_cannot_meet_say_by_how_much_and_which_is_likely_wrong() {
    for (place, what, said, unsaid, mend) in [
        // 30 + 18 is 2 short of 50; 32 would just reach.
        (
            &["30 from A", "18 from B"][..],
            "cannot meet: they are out by 2.0000 mm",
            &["B: 50 right of A", "D: 30 from A", "D: 18 from B"][..],
            "level with A",
            "`D: from A` reads `32`, not `30`",
        ),
        // From (38, 44), where 30 and 40 meet, C is the root of 27² + 6² away.
        (
            &["30 from A", "40 from B", "35 from C", "above A"],
            "out by 7.3414 mm",
            &["35 from C", "30 from A", "40 from B", "45 right of A"],
            "from left edge",
            "`D: from C` reads `27.6586`, not `35`",
        ),
        (
            &["30 from A", "40 from B", "25 right of A", "above A"],
            "out by 7.0000 mm",
            &["30 from A", "40 from B", "25 right of A", "B: level with A"],
            "from left edge",
            "one digit wrong",
        ),
        (&["45 from A", "60 above A"], "out by 15.0000 mm", &["45 from A", "60 above A"], "B:", "reads `60`"),
    ] {
        let (_, faults) = solve_as_far(&with_pair("D", place));
        assert_eq!(faults.len(), 1, "{}", shown(&faults));
        let (why, remedy) = (faults[0].reason().unwrap(), faults[0].remedy().unwrap());
        assert!(faults[0].what().contains(what), "{}", faults[0]);
        assert!(said.iter().all(|said| why.contains(said)), "{}", faults[0]);
        assert!(!why.contains(unsaid) && remedy.contains(mend), "{}", faults[0]);
    }
}

/// Two holes that only together are placed: the intended place is among those found.
#[test]
fn holes_that_hang_on_each_other_are_solved_together() {
    let made = |words: &[&str]| {
        let g: Vec<&str> =
            ["25.0789 from B", "on the line from F to H"].iter().chain(words).copied().collect();
        drawing(&[
            hole("B", "2", &["158.697 right of datum", "143.974 above datum"]),
            hole("C", "2", &["73.18 right of datum", "139.298 above datum"]),
            hole("F", "2", &["92.979 right of datum", "122.209 above datum"]),
            hole("G", "2", &g),
            hole("H", "2", &["15.2568 from G", "86.1565 from C"]),
        ])
    };
    let (x, y) = at(&made(&["below B", "left of B"]), "G");
    assert!((x - 142.928).abs() < 0.01 && (y - 124.474).abs() < 0.01, "{x} {y}");
}

/// A link whose short arm is placed by two distances: the whole road, and on the
/// metric part the distances are again exactly what their sizes say.
#[test]
fn a_part_with_curved_places_goes_the_whole_road_and_is_solved_again_for_its_sizes() {
    let text = r#"
part = "bell crank"
unit = "inch"
material = "mild steel"
usual_roles = true
general_tolerance = "coarse"
[body]
kind = "bosses"
around = ["pivot", "long end", "short end"]
thickness = "1/4"
[[feature]]
name = "pivot"
kind = "boss"
radius = "3/8"
place = "datum"
[[feature]]
name = "long end"
kind = "boss"
radius = "5/16"
place = ["2 1/16 right of pivot", "level with pivot"]
[[feature]]
name = "short end"
kind = "boss"
radius = "9/32"
place = ["1 3/16 from pivot", "1 13/16 from long end", "above pivot"]
[[feature]]
name = "pivot bore"
kind = "hole"
diameter = "1/4"
finish = "reamed"
place = "concentric with pivot"
[[feature]]
name = "long bore"
kind = "hole"
diameter = "3/16"
place = "concentric with long end"
[[feature]]
name = "short bore"
kind = "hole"
diameter = "3/16"
place = "concentric with short end"
[[feature]]
name = "spring hole"
kind = "hole"
diameter = "No. 43"
place = ["5/8 from pivot toward short end"]
"#;
    let (drawing, bench) = (from_text::drawing(text), bench());
    let plan = faultless(plan(&drawing, &bench), text);
    assert!(!plan.setups.is_empty());
    let solved = solve(&drawing).unwrap();
    let metric = faultless(metricate(&drawing, &solved, &bench), text);
    let part = Part::as_drawn(&drawing, &solved).with_sizes(metric.sizes.clone());
    assert!(part.cannot_move().is_none() && part.impossible().is_empty());
    let place = |name: &str| {
        let id = FeatureId(drawing.features.iter().position(|f| f.name == name).unwrap());
        (part.at(id, Axis::X).unwrap().as_mm(), part.at(id, Axis::Y).unwrap().as_mm())
    };
    let size = |name: &str| {
        let at = drawing.dimensions.iter().position(|d| d.name == name).unwrap();
        metric.sizes.lengths[at].as_mm()
    };
    let apart = |a: (f64, f64), b: (f64, f64)| (a.0 - b.0).hypot(a.1 - b.1);
    let (pivot, long, short) = (place("pivot"), place("long end"), place("short end"));
    assert!((apart(short, pivot) - size("short end: from pivot")).abs() < 1e-11);
    assert!((apart(short, long) - size("short end: from long end")).abs() < 1e-11);
    assert!(short.1 > 0.0, "on the side on which it is drawn");
    assert!((apart(place("spring hole"), pivot) - size("spring hole: from pivot")).abs() < 1e-11);
    // The sizes did move, so this is not the drawing over again.
    assert!(metric.sizes.lengths.iter().zip(&drawing.dimensions).any(|(a, d)| *a != d.written.length));
}

/// Slopes against small steps: a place re-solved for sizes a little larger moves as
/// its touching sum says.
#[test]
fn touching_sums_move_as_the_part_does() {
    let drawing = with_pair("D", &["30 from A", "40 from B", "above A"]);
    let solved = solve(&drawing).unwrap();
    let drawn = Part::as_drawn(&drawing, &solved);
    let step = Length::mm_ratio(1, 1000);
    for at in 0..drawing.dimensions.len() {
        let mut sizes = Sizes::as_drawn(&drawing);
        sizes.lengths[at] += step;
        let moved = drawn.with_sizes(sizes.clone());
        for axis in [Axis::X, Axis::Y] {
            let said = solved.place(FeatureId(3), axis).unwrap().value(&sizes.lengths).as_mm();
            let seen = moved.at(FeatureId(3), axis).unwrap().as_mm();
            // What is left is of the second order: a millionth over some millimetres.
            assert!((said - seen).abs() < 1e-6, "{}: {said} and {seen}", drawing.dimensions[at].name);
        }
    }
}
