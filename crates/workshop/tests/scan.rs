//! A paper sheet beneath a drawing: read from the part file, laid, and every
//! dimension held against it.

use workshop::desk::look;
use workshop::drawing::{Pixel, read_drawing, solve_as_far};
use workshop::edit::{Change, change};
use workshop::geometry::Point;
use workshop::scan::{Judged, Laid, judge};

/// Where a scan, turned and stretched a little, shows a place given in inches.
fn seen(x_in: f64, y_in: f64) -> Pixel {
    let (x, y) = (x_in * 25.4 * 1.006, y_in * 25.4);
    let (s, c) = 0.03_f64.sin_cos();
    Pixel { x_px: 300.0 + 9.0 * (c * x - s * y), y_px: 800.0 - 9.0 * (s * x + c * y) }
}

fn spot(of: &str, x_in: f64, y_in: f64) -> String {
    let at = seen(x_in, y_in);
    format!("  \"{of} at {:.1}, {:.1}\",\n", at.x_px, at.y_px)
}

fn known(is: &str, runs: &str, from: (f64, f64), to: (f64, f64)) -> String {
    let (from, to) = (seen(from.0, from.1), seen(to.0, to.1));
    format!("  \"{is} {runs} from {:.1}, {:.1} to {:.1}, {:.1}\",\n", from.x_px, from.y_px, to.x_px, to.y_px)
}

/// A plate drawn with A at 1/2, 1/2; B 1 13/32 right of A and 5/16 above it; C
/// 3/4 from B at 60°; `typed` is what was typed for B and C.
fn plate(b_right: &str, b_above: &str, c: &str, height: &str) -> String {
    let (bx, by) = (0.5 + 45.0 / 32.0, 0.5 + 5.0 / 16.0);
    let (cx, cy) = (bx + 0.75 * 60_f64.to_radians().cos(), by + 0.75 * 60_f64.to_radians().sin());
    format!(
        "part = \"Plate\"\nunit = \"inch\"\n[body]\nkind = \"rectangle\"\nwidth = \"3\"\nheight = \"2\"\n\
         thickness = \"1/8\"\ndatum = \"bottom left\"\n[scan]\nimage = \"sheet-3.png\"\nknown = [\n{}{}{}]\nspots = [\n{}{}{}{}]\n\
         [[feature]]\nname = \"A\"\nkind = \"hole\"\ndiameter = \"1/4\"\n\
         place = [\"1/2 from left edge\", \"1/2 from bottom edge\"]\n\
         [[feature]]\nname = \"B\"\nkind = \"hole\"\ndiameter = \"1/4\"\nplace = [\"{b_right}\", \"{b_above}\"]\n\
         [[feature]]\nname = \"C\"\nkind = \"hole\"\ndiameter = \"1/4\"\nplace = [\"{c}\"]\n",
        known("3", "across", (0.0, 0.0), (3.0, 0.0)),
        known(height, "up", (0.0, 0.0), (0.0, 2.0)),
        known("3", "across", (0.0, 2.0), (3.0, 2.0)),
        spot("A", 0.5, 0.5),
        spot("B", bx, by),
        spot("C", cx, cy),
        spot("left edge", 0.0, 1.0),
    )
}

fn judged(text: &str) -> Judged {
    let drawing = read_drawing("plate.toml", text).unwrap_or_else(|faults| panic!("{faults:#?}"));
    let (solved, _) = solve_as_far(&drawing);
    judge(&drawing, &solved, drawing.scan.as_ref().unwrap()).unwrap_or_else(|faults| panic!("{faults:#?}"))
}

const RIGHT: &str = "1 13/32 right of A";
const ABOVE: &str = "5/16 above A";
const AT: &str = "3/4 from B at 60°";

#[test]
fn a_sheet_typed_without_a_slip_is_borne_out() {
    let judged = judged(&plate(RIGHT, ABOVE, AT, "2"));
    assert!(judged.doubts.is_empty() && judged.problems.is_empty(), "{:#?}", judged.doubts);
    // A from the left edge, B from A both ways, C from B.
    assert_eq!(judged.agreeing.len(), 4);
    // The sheet lies on the drawing: its corner at the datum, to the stretch of the paper.
    let corner = judged.laid.place(seen(0.0, 0.0));
    assert!(corner.distance_mm(Point::ORIGIN) < 0.1, "{corner:?}");
}

#[test]
fn each_slip_of_the_pen_is_flagged_at_its_dimension() {
    for (right, above, at, name, mended) in [
        ("1 3/32 right of A", ABOVE, AT, "B: right of A", "`1 13/32` (a digit left out)"),
        ("1 13/32 left of A", ABOVE, AT, "B: right of A", "the opposite direction"),
        ("1 31/32 right of A", ABOVE, AT, "B: right of A", "`1 13/32` (two digits swapped)"),
        ("1 13/32 mm right of A", ABOVE, AT, "B: right of A", "`1 13/32 in` (inches"),
        (RIGHT, "3/16 above A", AT, "B: above A", "`5/16` (one digit wrong)"),
        (RIGHT, "5/16 below A", AT, "B: above A", "the opposite direction"),
        (RIGHT, ABOVE, "3/4 from B at 6°", "C: from B", "check the angle"),
        (RIGHT, ABOVE, "3/4 from B at 240°", "C: from B", "check the angle"),
        (RIGHT, ABOVE, "1/4 from B at 60°", "C: from B", "`3/4` (one digit wrong)"),
    ] {
        let judged = judged(&plate(right, above, at, "2"));
        let concerned: Vec<_> = judged.doubts.iter().map(|d| d.problem.concerned().to_vec()).collect();
        let name = name.replace("right", if right.contains("left") { "left" } else { "right" });
        let name = name.replace("above", if above.contains("below") { "below" } else { "above" });
        assert_eq!(concerned.len(), 1, "{right}, {above}, {at}: {concerned:?}");
        assert!(concerned[0].contains(&name), "{name}: {concerned:?}");
        let mend = judged.doubts[0].problem.remedy().unwrap_or_default();
        assert!(mend.contains(mended), "{right}, {above}, {at}: {mend}");
    }
}

#[test]
fn a_slip_in_what_squares_the_sheet_is_flagged_too() {
    // 2 typed as 2 3/4: the sheet would be stretched by more than a third.
    let text = plate(RIGHT, ABOVE, AT, "2 3/4");
    let drawing = read_drawing("plate.toml", &text).unwrap();
    let (solved, _) = solve_as_far(&drawing);
    let said = match judge(&drawing, &solved, drawing.scan.as_ref().unwrap()) {
        Ok(judged) => judged.problems,
        Err(problems) => problems,
    };
    assert!(said.iter().any(|p| p.what().contains("2 3/4")), "{said:#?}");
}

#[test]
fn what_cannot_be_a_sheet_is_refused_with_its_line() {
    let base = plate(RIGHT, ABOVE, AT, "2");
    for (from, to, what) in [
        ("sheet-3.png", "../../secret.png", "names no image"),
        ("sheet-3.png", "sheet-3.exe", "names no image"),
        ("up from", "sideways from", "cannot read `2 sideways`"),
        ("C at", "D at", "nothing is called `D`"),
        ("C at", "B at", "spotted twice"),
        ("C at", "C near", "is no spot"),
        ("A at ", "A at -", "no place on the scan"),
        ("3 across", "three across", "cannot read `three`"),
        ("3 across", "0 across", "not more than nought"),
        ("across from", "across", "is no dimension"),
    ] {
        let text = base.replace(from, to);
        assert_ne!(text, base);
        let faults = read_drawing("plate.toml", &text).unwrap_err();
        assert!(
            faults.iter().any(|f| f.what().contains(what) && f.place().contains("line")),
            "{what}: {faults:#?}"
        );
    }
}

#[test]
fn the_entry_page_shows_how_the_paper_lies_and_marks_what_it_doubts() {
    let shown = look("plate.toml", &plate(RIGHT, ABOVE, AT, "2"));
    let paper = shown.paper.expect("the part has a sheet");
    let beneath = paper.beneath.expect("it is laid");
    assert_eq!((paper.known.len(), paper.spots.len()), (3, 4));
    assert_eq!((beneath.agreeing, beneath.doubted, shown.troubles.len()), (4, 0, 0));
    assert!(beneath.words.starts_with("squared and scaled; 0.6 % longer one way"), "{}", beneath.words);
    let same = Laid::of_numbers(beneath.laid.numbers()).expect("numbers of a map are a map");
    assert_eq!(same.place(seen(1.0, 1.0)), beneath.laid.place(seen(1.0, 1.0)));

    let shown = look("plate.toml", &plate("1 3/32 right of A", ABOVE, AT, "2"));
    let [trouble] = shown.troubles.as_slice() else { panic!("{:#?}", shown.troubles) };
    assert_eq!(shown.cards[trouble.cards[0]].title, "B");
    assert_eq!(trouble.at.as_deref(), Some("feature/1/place/0"));
}

#[test]
fn a_spot_follows_its_feature_to_another_name() {
    let text = plate(RIGHT, ABOVE, AT, "2");
    let renamed = change(&text, &Change::Rename { from: "B".into(), to: "oil hole".into() }).unwrap();
    let drawing = read_drawing("plate.toml", &renamed).unwrap();
    assert_eq!(drawing.scan.unwrap().spots.len(), 4);
    assert!(renamed.contains("\"oil hole at "), "{renamed}");
}
