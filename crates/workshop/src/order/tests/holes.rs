//! The ways of a round hole, against sums done by hand from the tables: drill 0.03 in place and
//! 0.05 in size, boring 0.005 and 0.01, slides 0.01 in all, edge finder 0.02, a drill's walk 1 in
//! 1000 past 25 mm.

use super::brute::cheapest;
use super::planned;
use super::shop::{boathouse, made};
use super::stand_in::with_part;
use crate::bench::{Bench, Boring};
use crate::measure::Length;
use crate::order::deed::{Job, Scheme};
use crate::order::{OrderOfWork, Work, build, plates};

fn block(thickness: &str, features: &str) -> String {
    format!(
        "part = \"Block\"\nunit = \"mm\"\nmaterial = \"mild steel\"\n[body]\nkind = \"rectangle\"\nwidth = \"120\"\n\
         height = \"80\"\nthickness = \"{thickness}\"\n{features}"
    )
}

fn hole(diameter: &str, more: &str) -> String {
    format!(
        "[[feature]]\nname = \"eye\"\nkind = \"hole\"\ndiameter = {diameter}\n{more}place = [\"60 right of datum\", \"40 above datum\"]\n"
    )
}

fn heads(least: i64, most: i64) -> Bench {
    Bench { boring: Some(Boring { least: Length::mm(least), most: Length::mm(most) }), ..boathouse() }
}

/// What is done to the hole, in order, in a word each.
fn done(order: &OrderOfWork) -> Vec<String> {
    let own = order.steps.iter().filter(|step| step.text.contains(" eye"));
    own.map(|step| step.text.split(" eye").next().unwrap_or_default().to_owned()).collect()
}

fn ways(text: &str, bench: &Bench) -> Vec<String> {
    done(&made(text, bench))
}

/// The web of a drill is an eighth to a sixth of its diameter (handbooks, from memory): the pilot
/// is at least as wide, and small drills need none.
#[test]
fn a_large_drill_follows_a_pilot_wider_than_its_web() {
    let order = made(&block("10", &hole("\"13\"", "")), &boathouse());
    assert_eq!(done(&order), ["pilot", "drill"]);
    let pilot = order.steps.iter().find_map(|step| match step.work {
        Work::Drill { diameter, .. } => Some(diameter),
        _ => None,
    });
    let pilot = pilot.expect("it is drilled");
    assert!(pilot * 6 >= Length::mm(13) && pilot * 2 < Length::mm(13), "{pilot}");
    assert_eq!(ways(&block("10", &hole("\"10\"", "")), &boathouse()), ["drill"]);
}

/// Two plain holes in one holding are out by twice 0.04; one bored leaves 0.04 and 0.015.
#[test]
fn a_plain_hole_is_bored_where_its_place_asks_for_it_and_a_head_reaches() {
    let pair = |within: &str| {
        block(
            "10",
            &format!(
                "{}[[feature]]\nname = \"other\"\nkind = \"hole\"\ndiameter = \"5\"\n\
                 place = [{{ is = \"30 right of eye\", within = \"{within}\" }}, \"level with eye\"]\n",
                hole("\"8\"", "")
            ),
        )
    };
    let bored = |within: &str, bench: &Bench| {
        let order = made(&pair(within), bench);
        order.steps.iter().filter(|step| matches!(step.work, Work::Bore { .. })).count()
    };
    let bench = heads(4, 50);
    let found = ["0.08", "0.079", "0.055", "0.054", "0.03"].map(|within| bored(within, &bench));
    assert_eq!(found, [0, 1, 1, 2, 2]);
    assert_eq!(bored("0.03", &heads(10, 50)), 0, "no head goes into 8 mm");
    let deep = pair("0.03").replace("thickness = \"10\"", "thickness = \"40\"");
    assert_eq!(made(&deep, &bench).steps.iter().filter(|s| matches!(s.work, Work::Bore { .. })).count(), 0);
}

/// Drilled it comes out within 0.05, reamed or bored within 0.01.
#[test]
fn a_plain_hole_is_reamed_or_bored_where_its_size_asks_for_it() {
    let sized = |within: &str| block("10", &hole(&format!("{{ is = \"8\", within = \"{within}\" }}"), ""));
    let mut bench = heads(4, 50);
    assert_eq!(ways(&sized("0.05"), &bench), ["drill"]);
    let order = made(&sized("0.04"), &bench);
    assert!(["ream", "bore"].contains(&done(&order)[1].as_str()), "{:?}", done(&order));
    let told = |order: &OrderOfWork, words: &str| order.assumed.iter().any(|told| told.contains(words));
    bench.reamers.clear();
    assert_eq!(ways(&sized("0.04"), &bench), ["drill", "bore"]);
    bench.boring = None;
    let order = made(&sized("0.04"), &bench);
    assert_eq!(done(&order), ["drill"]);
    assert!(told(&order, "it may be out by 0.05 mm, 0.01 mm too much"), "{:?}", order.assumed);
    // With a reamer alone, why it is not simply drilled is told.
    let order = made(&sized("0.04"), &boathouse());
    assert_eq!(done(&order), ["drill", "ream"]);
    assert!(told(&order, "drilled it comes out within 0.05 mm at the best"), "{:?}", order.assumed);
}

/// From an edge 0.02 and 0.04; through 50 mm of metal 10 thick the drill walks 0.04 beyond that,
/// half way, 26 mm, 0.016.
#[test]
fn a_deep_hole_is_drilled_from_both_sides_where_its_walk_is_too_much() {
    let deep = |within: &str| {
        let across = "part = \"Block\"\nunit = \"mm\"\nmaterial = \"mild steel\"\n[body]\nkind = \"rectangle\"\n\
                      width = \"120\"\nheight = \"50\"\nthickness = \"10\"\n";
        format!(
            "{across}[[feature]]\nname = \"eye\"\nkind = \"hole\"\nface = \"top\"\ndiameter = \"5\"\n\
             place = [{{ is = \"60 from left edge\", within = \"{within}\" }}, \"mid thickness\"]\n"
        )
    };
    let bench = boathouse();
    assert_eq!(ways(&deep("0.1"), &bench), ["drill"]);
    assert_eq!(ways(&deep("0.099"), &bench), ["drill", "drill"]);
    assert_eq!(ways(&deep("0.076"), &bench), ["drill", "drill"]);
    let order = made(&deep("0.07"), &bench);
    assert!(order.assumed.iter().any(|told| told.contains("at the worst")), "{:?}", order.assumed);
}

/// From 13 mm a hole of 60 takes some fifty cuts; of 30 it is simply bored.
#[test]
fn a_wide_bore_is_chain_drilled_first() {
    let bench = heads(6, 90);
    let bored =
        |size: &str| ways(&block("10", &hole(&format!("\"{size}\""), "finish = \"bored\"\n")), &bench);
    assert_eq!(bored("60"), ["chain drill", "bore"]);
    assert_eq!(bored("30").last().map(String::as_str), Some("bore"));
    assert!(!bored("30").contains(&"chain drill".to_owned()));
}

/// A mill without a boring head that reaches bores nothing: the lathe does, by the faceplate.
#[test]
fn a_bore_beyond_the_head_goes_on_the_faceplate() {
    use crate::order::Held;
    let text = block("10", &hole("\"22\"", "finish = \"bored\"\n"));
    let held = |bench: &Bench| {
        let order = made(&text, bench);
        let boring = order.steps.iter().find(|step| matches!(step.work, Work::Bore { .. })).unwrap();
        matches!(order.setups[boring.setup].held, Held::PlateOnFaceplate { .. })
    };
    assert!(!held(&heads(6, 90)));
    assert!(held(&Bench { boring: None, ..boathouse() }));
    assert!(held(&heads(6, 20)));
}

/// With all ways open, no order of all there are is cheaper.
#[test]
fn no_order_of_several_ways_is_cheaper() {
    let bench = heads(4, 90);
    let texts = [
        block("10", &hole("{ is = \"8\", within = \"0.02\" }", "")),
        block("10", &hole("\"60\"", "finish = \"bored\"\n")),
    ];
    for text in texts {
        with_part(&text, &bench, |part, metric| {
            let job = Job { part, metric, bench: &bench, scheme: Scheme::ALONE };
            let makings = plates::makings(&job).expect("it can be made");
            let (model, _) = build::model(&job, &makings);
            assert!(!model.groups.is_empty(), "there is something to choose");
            assert_eq!(Some(planned(&model).score), cheapest(&model));
        });
    }
}

/// A window 30 mm deep with corners of 5: the widest cutter owned that goes in, 10 mm, has flutes of 22; one of the long
/// series (ISO 1641-1) has 45.
#[test]
fn a_window_deeper_than_any_flutes_owned_asks_for_a_longer_cutter() {
    let text = block(
        "30",
        "holds_pressure = true\n[[feature]]\nname = \"eye\"\nkind = \"pocket\"\nwidth = \"40\"\nheight = \"30\"\ncorner = \"5\"\n\
         place = [\"60 right of datum\", \"40 above datum\"]\n",
    )
    .replace("holds_pressure = true\n", "")
    .replacen("unit", "holds_pressure = true\nunit", 1);
    let order = made(&text, &boathouse());
    let said = order.assumed.join("\n");
    assert!(
        said.contains("an end mill of 10 mm with flutes 45 mm long (long series) has to be bought"),
        "{said}"
    );
}
