//! Drawings with one planted fault each: every one is found, and the dimension that
//! was copied wrongly is named first.
//!
//! The base drawings carry the redundancy of ordinary sheets: a chain along the part
//! and positions from an edge, an overall length and the lengths it is made of, a
//! diagonal beside two sides.

mod from_text;

use workshop::drawing::{Part, solve_as_far};
use workshop::problem::Problem;

use from_text::{drawing as read, shown};

/// A plate in inches: a chain of holes and their places from the edges.
const COVER: &str = r#"
part = "cover"
unit = "inch"
[body]
kind = "rectangle"
width = "3 1/2"
height = "2 1/4"
thickness = "1/4"
datum = "bottom left"
[[feature]]
name = "A"
kind = "hole"
diameter = "5/32"
place = ["7/16 from left edge", "3/8 from bottom edge", "3 1/16 from right edge"]
[[feature]]
name = "B"
kind = "hole"
diameter = "5/32"
place = ["27/32 right of A", "level with A", "1 9/32 from left edge"]
[[feature]]
name = "C"
kind = "hole"
diameter = "5/32"
place = ["1 13/32 right of B", "level with A", "13/16 from right edge", "2 1/4 right of A"]
[[feature]]
name = "D"
kind = "hole"
diameter = "3/8"
place = ["plumb with B", "1 3/16 above B", "11/16 from top edge", "1 9/16 from bottom edge"]
[[feature]]
name = "E"
kind = "hole"
diameter = "1/4"
place = ["15/16 right of D", "level with D", "1 9/32 from right edge"]
[[mate]]
name = "dowel"
in = "E"
size = "1/4"
fit = "sliding"
"#;

/// A bracket in decimal inches, with a diagonal.
const BRACKET: &str = r#"
part = "bracket"
unit = "inch"
[body]
kind = "rectangle"
width = "2.875"
height = "1.625"
thickness = "0.188"
datum = "bottom left"
[[feature]]
name = "pivot"
kind = "hole"
diameter = "0.312"
place = ["0.438 from left edge", "0.469 from bottom edge", "2.437 from right edge", "1.156 from top edge"]
[[feature]]
name = "stop"
kind = "hole"
diameter = "0.125"
place = ["0.875 right of pivot", "0.656 above pivot", "1.0937 from pivot", "1.313 from left edge"]
[[feature]]
name = "anchor"
kind = "hole"
diameter = "0.157"
place = ["1.484 right of pivot", "level with pivot", "0.609 right of stop", "0.953 from right edge"]
"#;

/// A spindle: lengths of sections, over all, and grooves from both ends.
const SPINDLE: &str = r#"
part = "spindle"
unit = "mm"
[body]
kind = "turned"
length = "86.5"
[[feature]]
name = "nut end"
kind = "section"
diameter = "6"
length = "14.5"
[[feature]]
name = "journal"
kind = "section"
diameter = "8"
length = "31"
[[feature]]
name = "collar"
kind = "section"
diameter = "14"
length = "4.5"
[[feature]]
name = "tail"
kind = "section"
diameter = "10"
length = "36.5"
[[feature]]
name = "cotter hole"
kind = "hole"
diameter = "2"
place = ["9.5 left of right end", "77 right of nut end"]
[[feature]]
name = "oil hole"
kind = "hole"
diameter = "1.5"
place = ["17.25 right of journal", "31.75 right of left end", "54.75 left of right end"]
[[feature]]
name = "pin hole"
kind = "hole"
diameter = "2"
place = ["2.25 right of collar", "47.75 right of left end", "2.25 left of tail"]
"#;

/// A bell crank: three bosses by the distances between them, and by a third.
const CRANK: &str = r#"
part = "bell crank"
unit = "mm"
[body]
kind = "bosses"
around = ["pivot", "long end", "short end"]
thickness = "8"
[[feature]]
name = "pivot"
kind = "boss"
radius = "9"
place = "datum"
[[feature]]
name = "long end"
kind = "boss"
radius = "7"
place = ["52 right of pivot", "level with pivot"]
[[feature]]
name = "short end"
kind = "boss"
radius = "6"
place = ["30 from pivot", "46 from long end", "above pivot", "14.3077 right of pivot"]
[[feature]]
name = "pivot bore"
kind = "hole"
diameter = "8"
place = "concentric with pivot"
[[feature]]
name = "long bore"
kind = "hole"
diameter = "5"
place = "concentric with long end"
[[feature]]
name = "spring hole"
kind = "hole"
diameter = "2.5"
place = ["24 from pivot toward long end", "28 from long end"]
[[mate]]
name = "pivot pin"
in = "pivot bore"
size = "8"
fit = "running"
"#;

fn base(name: &str) -> String {
    match name {
        "cover" => COVER.to_owned(),
        "bracket" => BRACKET.to_owned(),
        "spindle" => SPINDLE.to_owned(),
        "crank" => CRANK.to_owned(),
        other => panic!("no base {other}"),
    }
}

/// Everything that is said of a drawing: what blocks it, and what is only odd.
fn said(text: &str) -> Vec<Problem> {
    let drawing = read(text);
    let (solved, mut faults) = solve_as_far(&drawing);
    if faults.is_empty() {
        let part = Part::as_drawn(&drawing, &solved);
        faults.extend(part.wrong());
        faults.extend(part.doubts());
    }
    faults
}

/// The base, what the sheet says, what was typed, and the dimension or feature that
/// must be named first.
#[rustfmt::skip]
const PLANTED: &[(&str, &str, &str, &str, &str)] = &[
    // One digit wrong.
    ("cover", "digit", "27/32 right of A", "23/32 right of A", "B: right of A"),
    ("cover", "digit", "7/16 from left", "9/16 from left", "A: from left edge"),
    ("cover", "digit", "1 3/16 above B", "1 5/16 above B", "D: above B"),
    ("cover", "digit", "2 1/4 right of A", "2 3/4 right of A", "C: right of A"),
    ("cover", "digit", "1 9/32 from right", "2 9/32 from right", "E: from right edge"),
    ("bracket", "digit", "0.438 from left", "0.488 from left", "pivot: from left edge"),
    ("bracket", "digit", "0.875 right", "0.815 right", "stop: right of pivot"),
    ("bracket", "digit", "0.656 above", "0.666 above", "stop: above pivot"),
    ("bracket", "digit", "1.0937 from pivot", "1.6937 from pivot", "stop: from pivot"),
    ("bracket", "digit", "1.484 right", "1.464 right", "anchor: right of pivot"),
    ("spindle", "digit", "length = \"31\"", "length = \"37\"", "journal: length"),
    ("spindle", "digit", "length = \"36.5\"", "length = \"36.2\"", "tail: length"),
    ("spindle", "digit", "9.5 left of", "9.8 left of", "cotter hole: left of right edge"),
    ("spindle", "digit", "31.75 right", "37.75 right", "oil hole: right of left edge"),
    ("crank", "digit", "46 from long end", "49 from long end", "short end: from long end"),
    ("crank", "digit", "30 from pivot", "80 from pivot", "short end: from pivot"),
    ("crank", "digit", "24 from pivot", "27 from pivot", "spring hole: from pivot"),
    // A digit missing, or one too many.
    ("cover", "missing", "1 13/32 right of B", "1 3/32 right of B", "C: right of B"),
    ("cover", "missing", "13/16 from right", "3/16 from right", "C: from right edge"),
    ("cover", "missing", "15/16 right of D", "5/16 right of D", "E: right of D"),
    ("cover", "missing", "1 9/32 from left", "9/32 from left", "B: from left edge"),
    ("cover", "missing", "11/16 from top", "1/16 from top", "D: from top edge"),
    ("bracket", "missing", "2.437 from right", "2.37 from right", "pivot: from right edge"),
    ("spindle", "missing", "17.25 right", "7.25 right", "oil hole: right of journal"),
    ("spindle", "missing", "length = \"86.5\"", "length = \"8.5\"", "body: length"),
    ("spindle", "missing", "54.75 left", "5.75 left", "oil hole: left of right edge"),
    ("crank", "missing", "52 right", "2 right", "long end: right of pivot"),
    ("cover", "extra", "7/16 from left", "17/16 from left", "A: from left edge"),
    ("bracket", "extra", "0.609 right of stop", "0.6609 right of stop", "anchor: right of stop"),
    ("spindle", "extra", "77 right", "777 right", "cotter hole: right of nut end"),
    // Two digits swapped.
    ("bracket", "swapped", "0.438 from left", "0.483 from left", "pivot: from left edge"),
    ("bracket", "swapped", "1.156 from top", "1.516 from top", "pivot: from top edge"),
    ("bracket", "swapped", "1.313 from left", "1.331 from left", "stop: from left edge"),
    ("bracket", "swapped", "0.953 from right", "0.935 from right", "anchor: from right edge"),
    ("spindle", "swapped", "length = \"14.5\"", "length = \"41.5\"", "nut end: length"),
    ("spindle", "swapped", "length = \"36.5\"", "length = \"63.5\"", "tail: length"),
    ("crank", "swapped", "46 from long end", "64 from long end", "short end: from long end"),
    ("cover", "swapped", "1 13/32 right of B", "1 31/32 right of B", "C: right of B"),
    // The way swapped.
    ("cover", "way", "27/32 right of A", "27/32 left of A", "B: left of A"),
    ("cover", "way", "1 3/16 above B", "1 3/16 below B", "D: below B"),
    ("cover", "way", "15/16 right of D", "15/16 left of D", "E: left of D"),
    ("bracket", "way", "0.656 above pivot", "0.656 below pivot", "stop: below pivot"),
    ("bracket", "way", "0.609 right of stop", "0.609 left of stop", "anchor: left of stop"),
    ("spindle", "way", "9.5 left of right", "9.5 right of right", "cotter hole: right of right edge"),
    ("spindle", "way", "17.25 right of journal", "17.25 left of journal", "oil hole: left of journal"),
    // An inch read as a millimetre, and the other way.
    ("cover", "unit", "27/32 right of A", "27/32 mm right of A", "B: right of A"),
    ("cover", "unit", "13/16 from right", "13/16 mm from right", "C: from right edge"),
    ("bracket", "unit", "0.875 right", "0.875 mm right", "stop: right of pivot"),
    ("bracket", "unit", "height = \"1.625\"", "height = \"1.625 mm\"", "body: height"),
    ("spindle", "unit", "9.5 left of", "9.5 in left of", "cotter hole: left of right edge"),
    ("spindle", "unit", "length = \"31\"", "length = \"31 in\"", "journal: length"),
    ("crank", "unit", "30 from pivot", "30 in from pivot", "short end: from pivot"),
    ("crank", "unit", "diameter = \"8\"", "diameter = \"8 in\"", "pivot bore: diameter"),
    // The point in the wrong place.
    ("bracket", "point", "0.438 from left", "4.38 from left", "pivot: from left edge"),
    ("bracket", "point", "0.656 above", "0.0656 above", "stop: above pivot"),
    ("spindle", "point", "17.25 right", "172.5 right", "oil hole: right of journal"),
    ("spindle", "point", "length = \"4.5\"", "length = \"45\"", "collar: length"),
    // Measured from the wrong place.
    ("cover", "reference", "27/32 right of A", "27/32 right of C", "B: right of C"),
    ("cover", "reference", "1 3/16 above B", "1 3/16 above E", "D: above E"),
    ("bracket", "reference", "0.609 right of stop", "0.609 right of pivot", "anchor: right of pivot"),
    ("spindle", "reference", "17.25 right of journal", "17.25 right of collar", "oil hole: right of collar"),
    ("spindle", "reference", "31.75 right of left end", "31.75 right of journal", "oil hole: right of journal"),
    // A radius for a diameter, and the other way.
    ("crank", "radius", "diameter = \"8\"", "diameter = \"4\"", "pivot bore: diameter"),
    ("crank", "radius", "size = \"8\"", "size = \"16\"", "pivot pin: size"),
    ("cover", "radius", "size = \"1/4\"", "size = \"1/8\"", "dowel: size"),
    ("cover", "radius", "diameter = \"1/4\"", "diameter = \"1/2\"", "E: diameter"),
    // Left out.
    ("cover", "left out", "place = [\"15/16 right of D\", \"level with D\", \"1 9/32 from right edge\"]", "place = [\"level with D\"]", "E"),
    ("cover", "left out", "\"15/16 right of D\", \"level with D\", ", "\"15/16 right of D\", ", "E"),
    ("bracket", "left out", "\"level with pivot\", ", "", "anchor"),
    ("crank", "left out", "\"46 from long end\", \"above pivot\", \"14.3077 right of pivot\"", "\"above pivot\"", "short end"),
    ("spindle", "left out", "place = [\"9.5 left of right end\", \"77 right of nut end\"]", "place = []", "cotter hole"),
];

#[test]
fn the_bases_are_in_order_and_check_themselves() {
    for name in ["cover", "bracket", "spindle", "crank"] {
        let text = base(name);
        let faults = said(&text);
        assert!(faults.is_empty(), "{name}: {}", shown(&faults));
        assert!(solve_as_far(&read(&text)).0.checks.len() >= 2, "{name}");
    }
}

#[test]
fn every_planted_fault_is_found_and_the_right_dimension_is_named_first() {
    assert!(PLANTED.len() >= 60);
    let mut wrong = Vec::new();
    for (name, kind, sheet, typed, culprit) in PLANTED {
        let text = base(name);
        assert_eq!(text.matches(sheet).count(), 1, "{name}: {sheet}");
        let faults = said(&text.replacen(sheet, typed, 1));
        let first = faults.first().and_then(|fault| fault.concerned().first());
        if first.map(String::as_str) != Some(*culprit) {
            wrong.push(format!("{name} {kind}: {sheet} as {typed}\n{}", shown(&faults)));
        }
    }
    assert!(wrong.is_empty(), "{} of {} not named:\n{}", wrong.len(), PLANTED.len(), wrong.join("\n\n"));
}
