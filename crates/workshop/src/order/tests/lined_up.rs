//! What screws, mates and distances along a line ask of an order, against sums done by hand:
//! a drilled end is out by 0.04, and each new holding by 0.02 more (see `kept`). ISO 273:1979
//! fine passes M3 through 3.2, M2.5 through 2.7; a mate of 8 mm H7/e8 clears by 0.025 at the
//! least (ISO 286-2).

use super::by_hand::pressed;
use super::shop::{boathouse, made};
use crate::order::OrderOfWork;

fn block(features: &str) -> String {
    format!(
        "part = \"Block\"\nunit = \"mm\"\n[body]\nkind = \"rectangle\"\nwidth = \"60\"\nheight = \"40\"\nthickness = \"10\"\n{features}"
    )
}

fn feature(name: &str, more: &str, place: &str) -> String {
    format!("[[feature]]\nname = \"{name}\"\n{more}\nplace = [{place}]\n")
}

fn told<'a>(order: &'a OrderOfWork, words: &str) -> Vec<&'a String> {
    order.assumed.iter().filter(|told| told.contains(words)).collect()
}

/// Two tapped holes, the second from a face, with what screws into them.
fn tapped(thread: &str, face: &str, with: [&str; 2]) -> String {
    let one = |name: &str, face: &str, place: &str| {
        let more = format!("kind = \"tapped hole\"\nface = \"{face}\"\nthread = \"{thread}\"\ndepth = \"4\"");
        feature(name, &more, place)
    };
    let screws = |name: &str, with: &str| format!("[[screwed]]\nin = \"{name}\"\nwith = \"{with}\"\n");
    block(
        &(one("left", "front", "\"10 right of datum\", \"20 above datum\"")
            + &one("right", face, "\"40 right of left\", \"level with left\"")
            + &screws("left", with[0])
            + &screws("right", with[1])),
    )
}

/// M3 through 3.2: 0.2 of clearance, half of it the cover's. From one face the two holes are
/// out by 0.08, from two by 0.12.
#[test]
fn tapped_holes_line_up_with_the_holes_that_their_screws_pass() {
    let cover = ["Cover: first", "Cover: second"];
    let near = made(&tapped("M3", "front", cover), &boathouse());
    assert!(told(&near, "at the worst").is_empty(), "{:?}", near.assumed);
    let step = near.steps.iter().find(|step| step.text.starts_with("drill right")).unwrap();
    let why = format!("{:?}", step.why);
    assert!(why.contains("has to come within 0.1 mm") && why.contains("supposed: a close hole"), "{why}");
    let far = made(&tapped("M3", "back", cover), &boathouse());
    assert_eq!(
        told(&far, "out by 0.12 mm at the worst, 0.02 mm more than 0.1 mm").len(),
        1,
        "{:?}",
        far.assumed
    );
    // Two studs need not hold one thing.
    let studs = made(&tapped("M3", "back", ["Stud: foot"; 2]), &boathouse());
    assert!(told(&studs, "at the worst").is_empty(), "{:?}", studs.assumed);
}

/// Six holes at punched centres: each out by 0.15, 0.1 and 0.03, and 0.1 is there.
#[test]
fn the_holes_of_one_pattern_are_charged_among_themselves() {
    let pattern = feature(
        "bolts",
        "kind = \"pitch circle\"\nholes = 4\npitch_circle = \"24\"\ndiameter = \"3.2\"\nclears = \"M3\"",
        "\"30 right of datum\", \"20 above datum\"",
    );
    let text = block(&(pattern + "[[screwed]]\nin = \"bolts 1\"\nwith = \"Case: bolts 1\"\n"));
    let order = made(&text, &pressed());
    let short = told(&order, "the holes of bolts");
    assert_eq!(short.len(), 1, "{:?}", order.assumed);
    assert!(short[0].contains("out by 0.56 mm") && short[0].contains("clamped together"), "{short:?}");
    assert!(told(&made(&text, &boathouse()), "the holes of bolts").is_empty());
}

/// One shaft of 8 e8 through two H7 holes from both sides has all of 0.025 to spare, whether
/// the mates say that it is one or it only can be; two of another name have nothing to do
/// with each other, and two dowels of one name have half of 0.025 for this part.
#[test]
fn mates_that_name_no_part_are_asked_by_what_they_are_called() {
    let two = |face: &str, place: &str, names: [&str; 2]| {
        let one = |name: &str, face: &str, place: &str| {
            let more = format!(
                "kind = \"hole\"\nface = \"{face}\"\ndiameter = \"8\"\nfinish = \"reamed\"\ndepth = \"4\""
            );
            feature(name, &more, place)
        };
        let mate = |own: &str, name: &str| {
            format!("[[mate]]\nname = \"{name}\"\nin = \"{own}\"\nsize = \"8\"\nfit = \"H7/e8\"\n")
        };
        let text = block(
            &(one("near", "front", "\"20 right of datum\", \"20 above datum\"")
                + &one("far", face, place)
                + &mate("near", names[0])
                + &mate("far", names[1])),
        );
        let mut bench = boathouse();
        bench.boring = None;
        made(&text, &bench)
    };
    let axle = two("back", "\"concentric with near\"", ["axle", "Axle"]);
    assert_eq!(told(&axle, "0.12 mm at the worst, 0.095 mm more").len(), 1, "{:?}", axle.assumed);
    assert_eq!(told(&axle, "one axle goes through both").len(), 1, "{:?}", axle.assumed);
    let other = two("back", "\"concentric with near\"", ["axle", "stud"]);
    assert_eq!(told(&other, "one shaft is supposed to go through both").len(), 1, "{:?}", other.assumed);
    let beside = "\"25 right of near\", \"level with near\"";
    let dowels = two("front", beside, ["dowels", "dowels"]);
    assert_eq!(
        told(&dowels, "0.08 mm at the worst, 0.068 mm more than 0.012 mm").len(),
        1,
        "{:?}",
        dowels.assumed
    );
    assert!(told(&two("front", beside, ["axle", "stud"]), "at the worst").is_empty());
}

/// From a place towards another, and at an angle to a line: from two faces 0.12.
#[test]
fn distances_along_a_line_are_charged_as_any_other() {
    let hole = |name: &str, face: &str, place: &str| {
        feature(name, &format!("kind = \"hole\"\nface = \"{face}\"\ndiameter = \"4\"\ndepth = \"3\""), place)
    };
    let text = |says: &str, within: &str| {
        block(
            &(hole("one", "front", "\"10 right of datum\", \"10 above datum\"")
                + &hole("two", "front", "\"40 right of datum\", \"20 above datum\"")
                + &hole("third", "back", &format!("{{ is = \"{says}\", within = \"{within}\" }}"))),
        )
    };
    for says in ["12 from one toward two", "12 from one at 30° to the line from one to two"] {
        assert!(told(&made(&text(says, "0.12"), &boathouse()), "at the worst").is_empty());
        let short = made(&text(says, "0.119"), &boathouse());
        assert_eq!(
            told(&short, "out by 0.12 mm at the worst, 0.001 mm more").len(),
            1,
            "{:?}",
            short.assumed
        );
    }
}
