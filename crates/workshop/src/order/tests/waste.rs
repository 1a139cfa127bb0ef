//! What goes before an outline: scribed lines, and large waste taken off.

use super::shop::{LEVER, at, boathouse, in_turn, made};
use crate::bench::{Bench, EndMill};
use crate::measure::Length;
use crate::order::{Held, OrderOfWork, Pieces, Work};

/// Three bosses with reamed bores in their middles; `far` is the size of the triangle.
fn plate(far: u32, around: &str, more: &str) -> String {
    let mut text = format!(
        "part = \"Plate\"\nunit = \"mm\"\nmaterial = \"mild steel\"\n[body]\nkind = \"outline\"\naround = [{around}]\nthickness = \"6\"\n"
    );
    for (name, x, y) in [("one", 0, 0), ("two", far, 0), ("three", 0, far)] {
        let place = match (x, y) {
            (0, 0) => "\"datum\"".to_owned(),
            (x, 0) => format!("\"{x} right of one\", \"level with one\""),
            (_, y) => format!("\"plumb with one\", \"{y} above one\""),
        };
        text += &format!(
            "[[feature]]\nname = \"{name}\"\nkind = \"boss\"\nradius = \"8\"\nplace = [{place}]\n\
             [[feature]]\nname = \"{name} bore\"\nkind = \"hole\"\nfinish = \"reamed\"\ndiameter = \"6\"\nplace = [\"concentric with {name}\"]\n"
        );
    }
    text + more
}

const STRAIGHT: &str = "\"one\", \"two\", \"three\"";
const BENT: &str = "\"one\", \"two\", \"heel\", \"three\"";
const HEEL: &str = "[[feature]]\nname = \"heel\"\nkind = \"corner\"\nradius = \"6\"\nplace = [\"9 right of one\", \"9 above one\"]\n";

/// A bench whose column lets a hundred millimetres swing.
fn wide() -> Bench {
    let mut bench = boathouse();
    bench.mill.column = Length::mm(400);
    bench.end_mills.push(EndMill::new(Length::mm(20), Length::mm(40), 4));
    bench
}

fn rough(order: &OrderOfWork) -> Vec<bool> {
    let found = order.steps.iter().filter_map(|step| match step.work {
        Work::RoughOut { chain } => Some(chain),
        _ => None,
    });
    found.collect()
}

/// Of the triangle of 100 mm, blank 122 by 122 (14,884 mm²): the metal is 5,000 in the middle,
/// 8 wide along 341 mm of sides and a circle of 8, 7,932 in all, so the waste is 18 mm wide
/// along the 391 mm round it. Of one of 25 mm it is 2,209 less 1,196 along 136: 7.5.
#[test]
fn wide_waste_is_sawn_off_and_narrow_waste_is_milled() {
    let order = made(&plate(100, STRAIGHT, ""), &wide());
    assert_eq!(rough(&order), vec![false]);
    in_turn(&order, &["mill two edges", "mark out", "saw the waste off", "round one on the rotary table"]);
    assert!(at(&order, "ream one bore") < at(&order, "saw the waste off"), "its edges are gone then");
    assert_eq!(rough(&made(&plate(25, STRAIGHT, ""), &wide())), Vec::<bool>::new());
    assert_eq!(rough(&made(LEVER, &boathouse())), Vec::<bool>::new());
}

/// A saw does not go round an inside corner: there a chain of holes does.
#[test]
fn waste_in_a_hollow_is_chain_drilled() {
    let order = made(&plate(100, BENT, HEEL), &wide());
    assert_eq!(rough(&order), vec![true]);
    in_turn(&order, &["mark out", "chain drill round the outline", "round two on the rotary table"]);
}

/// Without its bores the same is filed to lines, which are scribed while the edges are there,
/// flat on the bench.
#[test]
fn lines_are_scribed_before_the_edges_go() {
    let text = "part = \"Latch\"\nunit = \"mm\"\n[body]\nkind = \"bosses\"\naround = [\"big\", \"small\"]\nthickness = \"6\"\n\
                [[feature]]\nname = \"big\"\nkind = \"boss\"\nradius = \"9\"\nplace = [\"datum\"]\n\
                [[feature]]\nname = \"small\"\nkind = \"boss\"\nradius = \"6\"\nplace = [\"40 right of big\", \"level with big\"]\n";
    let order = made(text, &boathouse());
    in_turn(&order, &["mill two edges", "mark out", "file the flanks"]);
    let setup = order.steps[at(&order, "mark out")].setup;
    assert_eq!(order.setups[setup].held, Held::Bench);
}

/// Twenty-five millimetres thick, with no bore in its small end and no cutter as long as
/// that: the end may be filed to a line that is scribed before the edges go. At 10 mm
/// cutters reach, and nobody is sent to the file.
#[test]
fn an_end_that_nothing_else_rounds_may_be_filed_to_a_line() {
    let text = |thick: u32| {
        format!(
            "part = \"Latch\"\nunit = \"mm\"\n[body]\nkind = \"outline\"\naround = [\"big\", \"small\"]\nthickness = \"{thick}\"\n\
             [[feature]]\nname = \"big\"\nkind = \"boss\"\nradius = \"12\"\nplace = [\"datum\"]\n\
             [[feature]]\nname = \"small\"\nkind = \"boss\"\nradius = \"8\"\nplace = [\"40 right of big\", \"level with big\"]\n\
             [[feature]]\nname = \"big bore\"\nkind = \"hole\"\nfinish = \"reamed\"\ndiameter = \"8\"\nplace = [\"concentric with big\"]\n"
        )
    };
    let mut bench = boathouse();
    bench.stock.clear();
    bench.end_mills.retain(|mill| mill.flute < Length::mm(25));
    let offered = |thick: u32| {
        let order = made(&text(thick), &bench);
        let of = order.choices.iter().filter(|chosen| chosen.name == "small");
        let words: Vec<String> = of.flat_map(|chosen| chosen.others.clone()).collect();
        words.iter().any(|other| other == "small: filed to a scribed line")
    };
    assert_eq!((offered(25), offered(10)), (true, false));
    let order = made(&(text(25) + "[order]\nwanted = [\"small: filed to a scribed line\"]\n"), &bench);
    in_turn(&order, &["mill two edges", "mark out", "file small"]);
    assert!(order.steps.iter().any(|step| matches!(step.work, Work::FileSide { .. })));
}

/// A pair that has an oil hole in its edge is parted for it before its outline is filed: no line is scribed on
/// the pair once it is two.
#[test]
fn a_pair_is_marked_out_as_a_pair_only_while_it_is_one() {
    let mut text = "part = \"Link\"\nunit = \"mm\"\nmaterial = \"gauge plate\"\nhands = [\"right\", \"left\"]\n[body]\nkind = \"outline\"\n\
        around = [\"a\", \"b\", { arc = 76, bulge = \"out\" }, \"c\", \"d\", { arc = 60, bulge = \"in\" }]\nthickness = 5\n"
        .to_owned();
    for (name, x, y) in [("a", 0, 0), ("b", 16, 0), ("c", 16, 50), ("d", 0, 50)] {
        text += &format!(
            "[[feature]]\nname = \"{name}\"\nkind = \"corner\"\nradius = 1.5\nplace = [\"{x} right of datum\", \"{y} above datum\"]\n"
        );
    }
    for (name, y) in [("upper", 44), ("lower", 6)] {
        text += &format!(
            "[[feature]]\nname = \"{name}\"\nkind = \"hole\"\ndiameter = 4\nfinish = \"reamed\"\nplace = [\"9 right of datum\", \"{y} above datum\"]\n"
        );
    }
    text += "[[feature]]\nname = \"oil\"\nkind = \"hole\"\nface = \"top\"\ndiameter = 1.6\ndepth = 3\nplace = [\"mid thickness\", \"9 right of datum\"]\n";
    let order = made(&text, &boathouse());
    let of_pair =
        |step: &crate::order::work::Step| matches!(order.setups[step.setup].pieces, Pieces::Stack(_));
    let marked = order.steps.iter().position(|step| step.work == Work::MarkOut && of_pair(step));
    let parted = order.steps.iter().position(|step| step.work == Work::Part);
    assert!(order.steps.iter().any(|step| step.work == Work::MarkOut));
    assert!(
        marked.is_none_or(|marked| parted.is_some_and(|parted| marked < parted)),
        "{marked:?} {parted:?}"
    );
}

/// The ends of a handle without bores are stepped round from its square edges, which that cuts away: all that is
/// found from them, holes and lines, is there before.
#[test]
fn ends_are_stepped_round_after_all_that_is_found_from_the_edges() {
    let mut text = "part = \"Handle\"\nunit = \"mm\"\nmaterial = \"brass\"\n[body]\nkind = \"bosses\"\naround = [\"hub\", \"tip\"]\nthickness = 6\n".to_owned();
    for (name, what, place) in [
        ("hub", "kind = \"boss\"\nradius = 9", "datum"),
        ("tip", "kind = \"boss\"\nradius = 5", "45 right of hub\", \"level with hub"),
        ("square", "kind = \"square hole\"\nacross = 8", "concentric with hub"),
        ("knob", "kind = \"tapped hole\"\nthread = \"M4\"", "concentric with tip"),
    ] {
        text += &format!("[[feature]]\nname = \"{name}\"\n{what}\nplace = [\"{place}\"]\n");
    }
    let order = made(&text, &boathouse());
    for found_from_edges in ["drill square", "drill knob", "mark out"] {
        in_turn(&order, &[found_from_edges, "round hub by stepped coordinates"]);
        in_turn(&order, &[found_from_edges, "round tip by stepped coordinates"]);
    }
}
