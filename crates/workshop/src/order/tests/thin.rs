//! What gives once metal beside it is gone is made before that.

use super::brute::cheapest;
use super::planned;
use super::shop::{at, boathouse, in_turn, listed, made};
use super::stand_in::with_part;
use crate::order::deed::{Job, Scheme};
use crate::order::{build, plates};

/// A pocket whose top wall is as thick as is said, 8 mm deep in 12, with side holes.
fn walled(high: &str, vent: &str) -> String {
    format!(
        "part = \"Body\"\nunit = \"mm\"\n[body]\nkind = \"rectangle\"\nwidth = \"60\"\nheight = \"40\"\nthickness = \"12\"\n\
         [[feature]]\nname = \"well\"\nkind = \"pocket\"\nwidth = \"40\"\nheight = \"20\"\ncorner = \"3\"\ndepth = \"8\"\n\
         place = [\"30 right of datum\", \"{high} above datum\"]\n\
         [[feature]]\nname = \"vent\"\nkind = \"tapped hole\"\nface = \"top\"\nthread = \"M3\"\ndepth = \"1\"\n\
         place = [\"30 right of datum\", \"{vent} in front of back face\"]\n\
         [[feature]]\nname = \"plug\"\nkind = \"hole\"\nface = \"right\"\ndiameter = \"3\"\ndepth = \"4\"\n\
         place = [\"{high} above datum\", \"8 in front of back face\"]\n"
    )
}

/// How many of a part's operations stand where they do for a reason that begins so.
fn because(text: &str, words: &str) -> Vec<String> {
    let bench = boathouse();
    with_part(text, &bench, |part, metric| {
        let job = Job { part, metric, bench: &bench, scheme: Scheme::ALONE };
        let (model, _) = build::model(&job, &plates::makings(&job).expect("it can be made"));
        let mut found: Vec<String> = Vec::new();
        for op in &model.operations {
            let after = op.after.iter().filter_map(|after| match after {
                crate::order::After::Operation(early, because) if because.contains(words) => {
                    Some(format!("{}, then {}", model.name(*early), op.name))
                }
                _ => None,
            });
            let needs = op.needs.iter().filter(|need| need.because.contains(words)).map(|_| op.name.clone());
            found.extend(after.chain(needs));
        }
        found
    })
}

/// The wall is 1.5 mm from 28.5 on, 2.5 from 27.5; below the floor of the pocket, at 4 mm,
/// the metal stays.
#[test]
fn holes_through_a_wall_that_a_pocket_leaves_thin_come_before_it() {
    let order = made(&walled("28.5", "8"), &boathouse());
    in_turn(&order, &["drill vent", "mill well"]);
    in_turn(&order, &["tap vent", "mill well"]);
    let thin = |high: &str, vent: &str| because(&walled(high, vent), "the wall that a pocket leaves thin");
    let found = thin("28.5", "8");
    assert_eq!(found.len(), 2, "{found:?}");
    assert!(found.iter().all(|words| words.contains("vent") && words.ends_with("mill well")), "{found:?}");
    assert_eq!((thin("27.5", "8").len(), thin("28.5", "2").len()), (0, 0));
    // Partly beside the pocket is beside it: 2.4 and 1.5 reach from its floor.
    assert_eq!(thin("28.5", "2.6").len(), 2);
}

/// A slot that leaves a millimetre, with a hole in it from behind.
#[test]
fn what_goes_through_the_floor_of_a_slot_is_made_in_the_whole_metal() {
    let text = |depth: u32, aside: u32| {
        format!(
            "part = \"Rail\"\nunit = \"mm\"\n[body]\nkind = \"rectangle\"\nwidth = \"80\"\nheight = \"40\"\nthickness = \"12\"\n\
             [[feature]]\nname = \"track\"\nkind = \"slot\"\nwidth = \"6\"\ncentres = \"30\"\nalong = \"0 deg\"\ndepth = \"{depth}\"\nplace = [\"40 right of datum\", \"20 above datum\"]\n\
             [[feature]]\nname = \"drain\"\nkind = \"hole\"\nface = \"back\"\ndiameter = \"3\"\nplace = [\"30 right of datum\", \"{} above datum\"]\n",
            20 + aside
        )
    };
    in_turn(&made(&text(11, 0), &boathouse()), &["drill drain", "mill track"]);
    let thin = |depth, aside| because(&text(depth, aside), "a thin floor or web").len();
    assert_eq!((thin(11, 0), thin(9, 0), thin(11, 8)), (1, 0, 0));
}

/// A ledge on the top edge, its hole drilled from there, and how deep the drill goes.
#[test]
fn what_goes_through_a_thin_ledge_of_an_edge_is_made_before_it() {
    let text = |leaves: &str| {
        format!(
            "part = \"Ledge\"\nunit = \"mm\"\n[body]\nkind = \"rectangle\"\nwidth = \"60\"\nheight = \"30\"\nthickness = \"20\"\n\
             [[feature]]\nname = \"ledge\"\nkind = \"step\"\nface = \"top\"\nleaves = \"{leaves}\"\nside = \"right\"\nplace = [\"40 right of datum\"]\n\
             [[feature]]\nname = \"drain\"\nkind = \"hole\"\nface = \"top\"\ndiameter = \"6\"\nfinish = \"reamed\"\n\
             place = [\"50 right of datum\", \"mid thickness\"]\n"
        )
    };
    in_turn(&made(&text("1.5"), &boathouse()), &["drill drain", "ream drain", "mill ledge"]);
    in_turn(&made(&text("2.5"), &boathouse()), &["mill ledge", "drill drain", "ream drain"]);
}

/// A well whose floor is a millimetre, and a drain in it: 6 mm lets the cutter of its corners in, 3 mm does not.
#[test]
fn a_cutter_goes_down_in_a_hole_that_is_there_before_the_pocket() {
    let text = |drain: u32, deep: u32| {
        format!(
            "part = \"Tray\"\nunit = \"mm\"\n[body]\nkind = \"rectangle\"\nwidth = \"60\"\nheight = \"40\"\nthickness = \"12\"\n\
             [[feature]]\nname = \"well\"\nkind = \"pocket\"\nwidth = \"40\"\nheight = \"20\"\ncorner = \"3\"\ndepth = \"{deep}\"\n\
             place = [\"30 right of datum\", \"20 above datum\"]\n\
             [[feature]]\nname = \"drain\"\nkind = \"hole\"\ndiameter = \"{drain}\"\nplace = [\"40 right of datum\", \"20 above datum\"]\n"
        )
    };
    let listing = |drain, deep| listed(&made(&text(drain, deep), &boathouse()));
    in_turn(&made(&text(6, 11), &boathouse()), &["drill drain", "mill well"]);
    assert!(!listing(6, 11).contains("drill well"), "{}", listing(6, 11));
    assert!(listing(3, 11).contains("drill well"), "{}", listing(3, 11));
    // In a floor that stands firm the hole goes first only where it lets the cutter in.
    in_turn(&made(&text(6, 6), &boathouse()), &["drill drain", "mill well"]);
    assert!(!listing(6, 6).contains("drill well"), "{}", listing(6, 6));
    in_turn(&made(&text(3, 6), &boathouse()), &["drill well", "mill well", "drill drain"]);
    assert_eq!(
        because(&text(6, 11), "an end mill does not cut in its middle"),
        ["drill drain 6 mm, then mill well"]
    );
}

/// A pocket of the top edge, 12 mm deep, a hole of 3 mm through its floor and a thread in it: 28 mm are within the
/// reach of the drill, the whole 40 are not. What enters the pocket is no wider than the drill of the stud beside it.
#[test]
fn what_stands_in_a_pocket_of_an_edge_waits_for_it() {
    let text = |beside: &str| {
        format!(
            "part = \"Guide\"\nunit = \"mm\"\n[body]\nkind = \"rectangle\"\nwidth = \"60\"\nheight = \"40\"\nthickness = \"24\"\n\
             [[feature]]\nname = \"window\"\nkind = \"pocket\"\nface = \"top\"\nwidth = \"30\"\nheight = \"14\"\ncorner = \"3\"\n\
             depth = \"12\"\nplace = [\"30 right of datum\", \"mid thickness\"]\n\
             [[feature]]\nname = \"vent\"\nkind = \"hole\"\nface = \"top\"\ndiameter = \"3\"\nplace = [\"30 right of datum\", \"mid thickness\"]\n\
             [[feature]]\nname = \"stud\"\nkind = \"tapped hole\"\nface = \"top\"\nthread = \"M4\"\ndepth = \"8\"\nplace = [\"22 right of datum\", \"mid thickness\"]\n{beside}"
        )
    };
    let order = made(&text(""), &boathouse());
    in_turn(&order, &["drill window", "mill window", "drill vent"]);
    in_turn(&order, &["mill window", "drill stud", "tap stud"]);
    assert!(!listed(&order).contains("half way"), "{}", listed(&order));
    let beside = "[[feature]]\nname = \"post\"\nkind = \"hole\"\nface = \"top\"\ndiameter = \"9\"\ndepth = \"10\"\nplace = [\"6 right of datum\", \"mid thickness\"]\n";
    let alike = listed(&made(&text(beside), &boathouse()));
    assert!(alike.contains("drill window 9 mm") && alike.contains("drill post 9 mm"), "{alike}");
}

/// A bore 10 mm from the right edge of a strip: its slit is 10 mm long. The top and bottom
/// edges lie 8 mm from it, or 15.
fn strip(high: u32) -> String {
    let corner = |name: &str, x: u32, y: u32| {
        format!(
            "[[feature]]\nname = \"{name}\"\nkind = \"corner\"\nplace = [\"{x} right of datum\", \"{y} above datum\"]\n"
        )
    };
    format!(
        "part = \"Clip\"\nunit = \"mm\"\nmaterial = \"mild steel\"\n[body]\nkind = \"outline\"\naround = [\"a\", \"b\", \"c\", \"d\"]\nthickness = \"6\"\n{}{}{}{}\
         [[feature]]\nname = \"bore\"\nkind = \"hole\"\nfinish = \"reamed\"\ndiameter = \"6\"\nplace = [\"40 right of datum\", \"{} above datum\"]\n\
         [[feature]]\nname = \"pin\"\nkind = \"hole\"\nfinish = \"reamed\"\ndiameter = \"6\"\nplace = [\"15 right of datum\", \"{} above datum\"]\n\
         [[feature]]\nname = \"split\"\nkind = \"slit\"\nwidth = \"1\"\ninto = \"bore\"\ntoward = \"right\"\n",
        corner("a", 0, 0),
        corner("b", 50, 0),
        corner("c", 50, high),
        corner("d", 0, high),
        high / 2,
        high / 2
    )
}

#[test]
fn edges_beside_a_slit_are_milled_before_it() {
    let order = made(&strip(16), &boathouse());
    let slit = at(&order, "saw split");
    let milled: Vec<usize> =
        (0..order.steps.len()).filter(|&n| order.steps[n].text.starts_with("mill")).collect();
    assert!(milled.len() >= 4 && milled.iter().all(|&n| n < slit), "{}", listed(&order));
    let beside = |high| because(&strip(high), "springs under the cutter").len();
    assert_eq!((beside(16), beside(30)), (3, 1));
}

/// Together with all other rules, no order of all there are is cheaper.
#[test]
fn no_order_that_spares_thin_metal_is_cheaper() {
    let bench = boathouse();
    for text in [walled("28.5", "8"), walled("27.5", "8")] {
        with_part(&text, &bench, |part, metric| {
            let job = Job { part, metric, bench: &bench, scheme: Scheme::ALONE };
            let (model, _) = build::model(&job, &plates::makings(&job).expect("it can be made"));
            assert_eq!(Some(planned(&model).score), cheapest(&model));
        });
    }
}
