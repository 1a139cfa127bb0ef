//! A part file that is still being entered: what can be read of it is read.

use workshop::drawing::{Axis, Body, Drawing, FeatureId, Part, read_as_far, read_drawing, solve_as_far};
use workshop::measure::Length;

const HALF_ENTERED: &str = r#"
part = "Link"
unit = "inch"

[body]
kind = "rectangle"
width = "2"
height = "1"

[[feature]]
name = "pin bore"
kind = "hole"
diameter = "1/4"
place = ["1/2 from left edge", "1/2 from bottom edge"]

[[feature]]
name = "rod bore"
kind = "hole"
diameter = "3/1x"
place = ["1 right of pin bore", "level with pin bore"]

[[feature]]
name = "screw hole"
kind = "hole of some kind"
diameter = "1/8"
place = ["3/4 right of pin bore", "level with pin bore"]

[[feature]]
name = "head"
kind = "counterbore"
diameter = "1/4"
depth = "1/16"
over = "screw hole"

[[feature]]
name = "cut"
kind = "slit"
width = "1/32"
into = "rod bore"
toward = "right"

[[feature]]
name = "oil hole"
kind = "hole"
diameter = "1/16"
place = ["1/2 right of rod bore", "3/8 above pin bore"]

[[feature]]
name = "late hole"
kind = "hole"
diameter = "1/16"
place = ["1/4 right of screw hole", "3/8 above pin bore"]
"#;

fn names(drawing: &Drawing) -> Vec<&str> {
    drawing.features.iter().map(|feature| feature.name.as_str()).collect()
}

#[test]
fn what_cannot_be_read_hides_neither_the_rest_nor_its_own_fault() {
    let (drawing, faults) = read_as_far("link.toml", HALF_ENTERED);
    let drawing = drawing.unwrap();
    // The size of the rod bore cannot be read, and what is placed from it still is; the
    // kind of the screw hole cannot, so it is not there, and nor is what crosses it.
    assert_eq!(names(&drawing), ["pin bore", "rod bore", "cut", "oil hole", "late hole"]);
    assert_eq!(drawing.unknown(), ["rod bore: diameter", "body: thickness"]);
    let (solved, _) = solve_as_far(&drawing);
    let oil_hole = Part::as_drawn(&drawing, &solved).at(FeatureId(3), Axis::X).unwrap();
    assert_eq!(oil_hole, Length::inches(2, 1));
    assert_eq!(drawing.features[4].placing.len(), 1);
    assert!(matches!(drawing.body, Body::Rectangle { .. }), "the outline is known without the thickness");
    let strict = read_drawing("link.toml", HALF_ENTERED).unwrap_err();
    assert_eq!(faults, strict);
    let about = faults.iter().find(|fault| fault.what().contains("3/1x")).unwrap();
    assert_eq!(about.concerned(), ["rod bore"]);
}

#[test]
fn an_empty_part_is_a_drawing_of_nothing() {
    let (drawing, faults) = read_as_far("new.toml", "unit = \"mm\"\n");
    assert_eq!(drawing.unwrap().features.len(), 0);
    assert!(faults.len() >= 2, "{faults:?}");
    assert!(read_as_far("new.toml", "unit = [").0.is_none());
}

#[test]
fn a_whole_part_reads_the_same_either_way() {
    let whole = HALF_ENTERED
        .replace("3/1x", "3/16")
        .replace("hole of some kind", "hole")
        .replace("height = \"1\"", "height = \"1\"\nthickness = \"1/4\"");
    let strict = read_drawing("link.toml", &whole).unwrap();
    let (drawing, faults) = read_as_far("link.toml", &whole);
    assert_eq!(faults, []);
    assert_eq!(format!("{strict:?}"), format!("{:?}", drawing.unwrap()));
}
