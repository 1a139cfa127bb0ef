//! Walls in three dimensions, weight, and both hands of whole parts.

use workshop::drawing::solid::{
    Beside, Standing, Turn, same_in_both_hands, thin_walls, walls_in_space, weigh,
};
use workshop::drawing::{Drawing, Part, Solved, hands, read_drawing, solve};

fn read(text: &str) -> (Drawing, Solved) {
    let drawing = read_drawing("part.toml", text).unwrap_or_else(|faults| panic!("{faults:?}"));
    let solved = solve(&drawing).unwrap_or_else(|faults| panic!("{faults:?}"));
    (drawing, solved)
}

const BLOCK: &str = "part = \"Block\"\nunit = \"mm\"\nmaterial = \"brass\"\n\
    [body]\nkind = \"rectangle\"\nwidth = 60\nheight = 40\nthickness = 20\ndatum = \"centre\"\n";

fn block(features: &str) -> (Drawing, Solved) {
    read(&format!("{BLOCK}{features}"))
}

/// The wall between two features, by name; the second may be a face in words.
fn wall(part: &Part, first: &str, second: &str) -> Option<(f64, Standing)> {
    walls_in_space(part).into_iter().find_map(|wall| {
        let name = match wall.second {
            Beside::Feature(id) => part.feature(id).name.clone(),
            other => other.words(part),
        };
        let own = &part.feature(wall.first).name;
        let here = (own == first && name == second) || (own == second && name == first);
        here.then(|| (wall.thickness.as_mm(), wall.standing))
    })
}

fn is(found: Option<(f64, Standing)>, wanted_mm: f64) {
    let (mm, _) = found.expect("there is such a wall");
    assert!((mm - wanted_mm).abs() < 1e-6, "{mm}, not {wanted_mm}");
}

#[test]
fn walls_in_depth_agree_with_sums_done_by_hand() {
    let (drawing, solved) = block(
        "[[feature]]\nname = \"passage\"\nkind = \"hole\"\nface = \"left\"\ndiameter = 6\nplace = [\"mid thickness\", \"on the horizontal centre line\"]\n\
         [[feature]]\nname = \"stud\"\nkind = \"tapped hole\"\nface = \"front\"\nthread = \"M6\"\ndepth = 5\nplace = [\"10 right of datum\", \"12 above datum\"]\n\
         [[feature]]\nname = \"pit\"\nkind = \"hole\"\nface = \"front\"\ndiameter = 4\nfinish = \"bored\"\ndepth = 6.5\nplace = [\"10 left of datum\", \"level with datum\"]\n\
         [[feature]]\nname = \"screw\"\nkind = \"hole\"\nface = \"back\"\ndiameter = 5\nplace = [\"20 left of datum\", \"12 above datum\"]\n\
         [[feature]]\nname = \"head\"\nkind = \"counterbore\"\nface = \"back\"\ndiameter = 10\ndepth = 4\nover = \"screw\"\n\
         [[feature]]\nname = \"way\"\nkind = \"slot\"\nface = \"front\"\nwidth = 4\ncentres = 8\ndepth = 3\nplace = [\"20 left of datum\", \"2 below datum\"]\n",
    );
    let part = Part::as_drawn(&drawing, &solved);
    // The pit's floor is 6.5 down, at 13.5; the passage's top is at 13.
    is(wall(&part, "passage", "pit"), 0.5);
    // The thread's crests, at 12 up and 3 in radius, against the passage of radius 3:
    // its full depth ends at 15, the passage's axis is at 10: 9 across and 5 up.
    let stud = (81.0_f64 + 25.0).sqrt() - 3.0;
    let (found, _) = wall(&part, "passage", "stud").unwrap();
    assert!(found < stud && found > 5.9, "{found}");
    is(wall(&part, "head", "the left edge"), 5.0);
    // Counterbore from the back to z = 4, the slot's floor at 17; across 14 − 5 − 2.
    is(wall(&part, "head", "way"), (169.0_f64 + 49.0).sqrt());
    // The slot's floor over the passage.
    is(wall(&part, "passage", "way"), 4.0);
    // A counterbore and its hole are one; the screw passes the slot at 14 − 2.5 − 2.
    assert_eq!(wall(&part, "screw", "head"), None);
    is(wall(&part, "screw", "way"), 9.5);
    let thin = thin_walls(&part);
    assert!(thin.iter().any(|w| w.words(&part).starts_with("0.50 mm between `")), "{thin:?}");
    assert!(part.impossible().iter().all(|fault| !fault.what().contains("pit")), "thin is no fault");
}

#[test]
fn only_unintended_meetings_are_faults() {
    let cross = |place: &str| {
        format!(
            "[[feature]]\nname = \"bore\"\nkind = \"hole\"\ndiameter = 10\nplace = [\"datum\"]\n\
             [[feature]]\nname = \"oil\"\nkind = \"hole\"\nface = \"top\"\ndiameter = 3\ndepth = 18\nplace = [{place}]\n"
        )
    };
    let (aimed, aimed_places) = block(&cross("\"plumb with bore\", \"mid thickness\""));
    assert!(Part::as_drawn(&aimed, &aimed_places).impossible().is_empty());
    let (beside, beside_places) = block(&cross("\"4 right of datum\", \"mid thickness\""));
    let faults = Part::as_drawn(&beside, &beside_places).impossible();
    assert_eq!(faults.len(), 1, "{faults:?}");
    assert!(faults[0].what().contains("breaks into"), "{faults:?}");
    // In plan two blind holes from opposite faces overlap; in space there is metal.
    let (apart, apart_places) = block(
        "[[feature]]\nname = \"one\"\nkind = \"hole\"\nfinish = \"bored\"\ndiameter = 8\ndepth = 8\nplace = [\"datum\"]\n\
         [[feature]]\nname = \"other\"\nkind = \"hole\"\nface = \"back\"\nfinish = \"bored\"\ndiameter = 8\ndepth = 9\nplace = [\"1 right of datum\", \"level with one\"]\n",
    );
    let part = Part::as_drawn(&apart, &apart_places);
    assert!(part.impossible().is_empty(), "{:?}", part.impossible());
    is(wall(&part, "one", "other"), 3.0);
}

#[test]
fn the_point_of_a_drill_is_told_from_the_hole() {
    let (drawing, solved) = block(
        "[[feature]]\nname = \"deep\"\nkind = \"hole\"\ndiameter = 8\ndepth = 19\nplace = [\"datum\"]\n",
    );
    let part = Part::as_drawn(&drawing, &solved);
    let (mm, standing) = wall(&part, "deep", "the back face").unwrap();
    // 4 / tan 59° is 2.4034: the point comes 1.4034 through.
    assert_eq!(standing, Standing::Pricked);
    assert!((mm + 1.403_442).abs() < 1e-5, "{mm}");
    assert!(part.impossible().is_empty());
}

#[test]
fn turned_parts_have_walls_to_shoulders_ends_and_grooves() {
    let (drawing, solved) = read(
        "part = \"Bush\"\nunit = \"mm\"\nmaterial = \"brass\"\n[body]\nkind = \"turned\"\n\
         [[feature]]\nname = \"flange\"\nkind = \"section\"\ndiameter = 30\nlength = 6\n\
         [[feature]]\nname = \"body\"\nkind = \"section\"\ndiameter = 16\nlength = 20\n\
         [[feature]]\nname = \"bore\"\nkind = \"hole\"\nface = \"left\"\ndiameter = 8\nfinish = \"bored\"\nplace = []\n\
         [[feature]]\nname = \"groove\"\nkind = \"groove\"\ndiameter = 13\nwidth = 2\nplace = [\"10 right of left end\"]\n\
         [[feature]]\nname = \"lock\"\nkind = \"hole\"\nface = \"top\"\ndiameter = 3\ndepth = 4\nplace = [\"18 right of left end\"]\n",
    );
    let part = Part::as_drawn(&drawing, &solved);
    is(wall(&part, "bore", "the outside of `body`"), 4.0);
    is(wall(&part, "bore", "groove"), 2.5);
    is(wall(&part, "groove", "lock"), 4.5);
    is(wall(&part, "lock", "the right end"), 6.5);
    is(wall(&part, "groove", "the shoulder of `flange`"), 4.0);
    for (a, b) in walls_in_space(&part).iter().zip(walls_in_space(&part.mirrored())) {
        assert_eq!(a.thickness, b.thickness);
        assert_eq!(a.at[0][0], -b.at[0][0]);
    }
}

#[test]
fn a_brass_block_weighs_what_it_weighs() {
    let (drawing, solved) = block(
        "[[feature]]\nname = \"bore\"\nkind = \"hole\"\nfinish = \"bored\"\ndiameter = 20\nplace = [\"datum\"]\n",
    );
    let weight = weigh(&Part::as_drawn(&drawing, &solved)).unwrap();
    let wanted = 60.0 * 40.0 * 20.0 - std::f64::consts::PI * 100.0 * 20.0;
    assert!((weight.part.mm3 - wanted).abs() < 1e-3, "{weight:?}");
    // Brass at 8500 kg/m³: the density tables' row.
    assert!((weight.grams() - wanted * 8.5e-3).abs() < 1e-3);
    assert_eq!(weight.blank_mm3, Some(48_000.0));
}

/// How one hand becomes the other, worked out by eye for each.
#[test]
fn parts_that_are_the_same_in_both_hands_say_so() {
    let hole = |name: &str, x: &str, y: &str, more: &str| {
        format!("[[feature]]\nname = \"{name}\"\nkind = \"hole\"\ndiameter = 5\n{more}place = [{x}, {y}]\n")
    };
    let (right, left) = ("\"20 right of datum\"", "\"20 left of datum\"");
    let (level, up) = ("\"level with datum\"", "\"9 above datum\"");
    let blind = "depth = 6\nfinish = \"bored\"\n";
    let cases = [
        // Alike left and right.
        (format!("{}{}", hole("a", right, up, blind), hole("b", left, up, blind)), Some(Turn::AsItLies)),
        // One hole through, off the middle: turned over left to right.
        (hole("a", right, up, ""), Some(Turn::AboutY)),
        // One blind hole on the horizontal centre line: turned half round.
        (hole("a", right, level, blind), Some(Turn::AboutZ)),
        // One blind hole off both: two parts.
        (hole("a", right, up, blind), None),
        // Two blind holes, one from each face, across the middle from each other: turned
        // about a line across the sheet it is itself again, and never its mirror image.
        (
            format!(
                "{}{}",
                hole("a", right, up, blind),
                hole("b", right, "\"9 below datum\"", &format!("face = \"back\"\n{blind}"))
            ),
            None,
        ),
    ];
    for (index, (features, wanted)) in cases.iter().enumerate() {
        let (drawing, solved) = block(features);
        assert_eq!(same_in_both_hands(&Part::as_drawn(&drawing, &solved)), *wanted, "case {index}");
    }
}

#[test]
fn the_report_of_hands_swaps_words_but_not_names() {
    let text = format!(
        "{}hands = [\"right\", \"left\"]\n{}\
         [[feature]]\nname = \"left bore\"\nkind = \"hole\"\ndiameter = 5\nplace = [\"20 left of datum\", \"level with datum\"]\n\
         [[feature]]\nname = \"peg\"\nkind = \"tapped hole\"\nface = \"right\"\nthread = \"M4\"\ndepth = 8\nplace = [\"as deep as pin\", \"level with left bore\"]\n\
         [[feature]]\nname = \"pin\"\nkind = \"hole\"\nface = \"top\"\ndiameter = 3\nplace = [\"12 right of left bore\", \"mid thickness\"]\n\
         [[feature]]\nname = \"lug\"\nkind = \"hole\"\ndiameter = 2\nplace = [\"at 30° from left bore\", \"9 above left bore\"]\n\
         [[feature]]\nname = \"spot\"\nkind = \"hole\"\ndiameter = 2\nplace = [\"8 from left bore at 30°\"]\n",
        BLOCK.split_once("[body]").unwrap().0,
        BLOCK.split_once("[body]").map(|(_, rest)| format!("[body]{rest}")).unwrap(),
    );
    let (drawing, solved) = read(&text);
    let report = hands(&Part::as_drawn(&drawing, &solved));
    let words: Vec<String> = report.flips.iter().map(workshop::drawing::Flip::words).collect();
    for wanted in [
        "left bore: 20 left of datum becomes 20 right of datum",
        "peg: face right becomes face left",
        "pin: 12 right of left bore becomes 12 left of left bore",
        "lug: at 30° from left bore becomes at 150° from left bore",
        "spot: 8 from left bore at 30° becomes 8 from left bore at 150°",
    ] {
        assert!(words.iter().any(|w| w == wanted), "{wanted} is not among {words:#?}");
    }
    assert_eq!(words.len(), 5, "{words:#?}");
    assert!(report.stays.iter().any(|s| s.contains("threads do not flip")));
    // Everything goes through or lies at mid thickness.
    assert_eq!(report.same, Some(Turn::AboutY));
}

fn faults(features: &str) -> Vec<String> {
    let text = format!("{BLOCK}{features}");
    let Ok(drawing) = read_drawing("part.toml", &text) else { panic!("{text}") };
    let solved = solve(&drawing).unwrap();
    Part::as_drawn(&drawing, &solved).impossible().iter().map(|fault| fault.what().to_owned()).collect()
}

fn slot(name: &str, face: &str, rest: &str) -> String {
    format!(
        "[[feature]]\nname = \"{name}\"\nkind = \"slot\"\nface = \"{face}\"\nwidth = 6\ndepth = 8\n{rest}\n"
    )
}

/// The two slots in the back of a slide valve, one for the spindle and one for its nut, cross on
/// purpose; two that run side by side and overlap do not.
#[test]
fn slots_that_cross_are_meant_to() {
    let across = "open = [\"left\", \"right\"]\nplace = [\"level with datum\"]";
    let up = "open = [\"top\", \"bottom\"]\nalong = \"90°\"\nplace = [\"plumb with datum\"]";
    assert_eq!(faults(&(slot("spindle slot", "back", across) + &slot("nut slot", "back", up))), [""; 0]);
    let beside = "open = [\"left\", \"right\"]\nplace = [\"4 above datum\"]";
    let found = faults(&(slot("spindle slot", "back", across) + &slot("second slot", "back", beside)));
    assert!(found.iter().any(|what| what.contains("breaks into")), "{found:?}");
    // A closed slot whose end only grazes the side of another.
    let short = "centres = 10\nalong = \"90°\"\nplace = [\"plumb with datum\", \"10 above datum\"]";
    let found = faults(&(slot("spindle slot", "back", across) + &slot("key", "back", short)));
    assert!(found.iter().any(|what| what.contains("breaks into")), "{found:?}");
}

/// A hole through the upright of an angle plate comes out of the shoulder of the step that left it;
/// one that runs along the shoulder and cuts into it is a slip.
#[test]
fn a_hole_square_to_a_shoulder_comes_out_of_it() {
    let step = "[[feature]]\nname = \"inside\"\nkind = \"step\"\nface = \"top\"\nleaves = 10\nside = \"right\"\nplace = [\"12 from left edge\"]\n";
    let hole = |face: &str, place: &str| {
        format!(
            "{step}[[feature]]\nname = \"bolt\"\nkind = \"hole\"\nface = \"{face}\"\ndiameter = 6\nplace = [{place}]\n"
        )
    };
    assert_eq!(faults(&hole("left", "\"25 from bottom edge\", \"mid thickness\"")), [""; 0]);
    let found = faults(&hole("front", "\"25 from bottom edge\", \"11 from left edge\""));
    assert!(!found.is_empty());
}

/// Waterways of a pump are drilled from its edges until they meet, and a thread goes into the mouth of one of
/// them; two holes that pass each other a little off, and one hole that is drawn twice, are slips.
#[test]
fn passages_whose_axes_cross_are_meant_to_meet() {
    let hole = |name: &str, face: &str, size: &str, place: &str| {
        format!(
            "[[feature]]\nname = \"{name}\"\nkind = \"hole\"\nface = \"{face}\"\ndiameter = {size}\nplace = [{place}]\n"
        )
    };
    let up = hole("up", "top", "3", "\"15 from left edge\", \"mid thickness\"");
    let along = |at: &str| {
        hole("along", "left", "6", &format!("\"20 from bottom edge\", \"{at} in front of back face\""))
    };
    let middle = |off: u32| format!("{}", 10 + off);
    assert_eq!(faults(&(up.clone() + &along(&middle(0)))), [""; 0]);
    let found = faults(&(up.clone() + &along(&middle(1))));
    assert!(found.iter().any(|what| what.contains("breaks into")), "{found:?}");
    let mouth = |size: &str| {
        hole("mouth", "top", size, "\"15 from left edge\", \"mid thickness\"")
            .replace("\nplace", "\ndepth = 5\nplace")
    };
    assert_eq!(faults(&(up.clone() + &mouth("5"))), [""; 0]);
    let found = faults(&(up + &mouth("3")));
    assert!(found.iter().any(|what| what.contains("breaks into")), "{found:?}");
}
