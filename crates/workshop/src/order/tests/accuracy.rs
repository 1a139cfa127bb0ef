//! What held distances may be out by, against sums done by hand from the figures of the
//! table: edge finder 0.02, slides 0.005 and one count of 0.005, drill 0.03, boring 0.005.

use super::brute::cheapest;
use super::planned;
use super::shop::{boathouse, made};
use super::stand_in::{order, with_part};
use crate::bench::{Boring, Readout};
use crate::measure::Length;
use crate::order::deed::{Job, Scheme};
use crate::order::work::Located;
use crate::order::{OrderOfWork, Work, accuracy, build, plates};

/// Two blind holes from opposite faces, so that there are two holdings whatever is done.
fn opposite_holes(within: &str) -> String {
    let hole = |name: &str, face: &str, place: &str| {
        format!(
            "[[feature]]\nname = \"{name}\"\nkind = \"hole\"\nface = \"{face}\"\ndiameter = \"4\"\ndepth = \"3\"\nplace = [{place}]\n"
        )
    };
    format!(
        "part = \"Block\"\nunit = \"mm\"\n[body]\nkind = \"rectangle\"\nwidth = \"60\"\nheight = \"40\"\nthickness = \"10\"\n{}{}",
        hole("one", "front", "\"10 right of datum\", \"20 above datum\""),
        hole(
            "two",
            "back",
            &format!(
                "{{ is = \"30 right of one\", role = \"hold\", within = \"{within}\" }}, \"level with one\""
            )
        ),
    )
}

fn why_of(order: &OrderOfWork, text: &str) -> String {
    let step = order.steps.iter().find(|step| step.text.starts_with(text)).expect("the step is there");
    format!("{:?}", step.why)
}

/// Each end 0.03 + 0.005 + 0.005, each holding 0.02: two of both are 0.12.
#[test]
fn two_holdings_are_charged_with_both_their_errors() {
    let order = made(&opposite_holes("0.12"), &boathouse());
    let why = why_of(&order, "drill two");
    assert!(why.contains("out by 0.12 mm") && why.contains("another holding"), "{why}");
    let faults = super::stand_in::order(&opposite_holes("0.119"), &boathouse()).unwrap_err();
    let told = faults[0].to_string();
    assert!(told.contains("come to 0.12 mm at the least, 0.001 mm too much"), "{told}");
}

/// Handwheels of 2 mm in 100 divisions are set to 0.02 and shift by 0.01: twice
/// 0.03 + 0.03 and twice 0.02 are 0.16.
#[test]
fn the_machine_s_own_figures_count() {
    let mut bench = boathouse();
    bench.mill.readout =
        Readout::Handwheels { pitch: Length::mm(2), divisions: 100, backlash: Length::mm_ratio(1, 2) };
    assert!(order(&opposite_holes("0.159"), &bench).is_err());
    assert!(order(&opposite_holes("0.16"), &bench).is_ok());
}

/// Two reamed bores; what is between the braces stands after their distance.
fn two_bores(tolerance: &str) -> String {
    format!(
        "part = \"Block\"\nunit = \"mm\"\n[body]\nkind = \"rectangle\"\nwidth = \"60\"\nheight = \"40\"\nthickness = \"10\"\n\
         [[feature]]\nname = \"one\"\nkind = \"hole\"\nfinish = \"reamed\"\ndiameter = \"8\"\n\
         place = [\"10 right of datum\", \"20 above datum\"]\n\
         [[feature]]\nname = \"two\"\nkind = \"hole\"\nfinish = \"reamed\"\ndiameter = \"6\"\n\
         place = [{{ is = \"30 right of one\", role = \"hold\"{tolerance} }}, \"level with one\"]\n"
    )
}

fn trues(order: &OrderOfWork) -> usize {
    order.steps.iter().filter(|step| matches!(step.work, Work::TrueHole { .. })).count()
}

/// Drilled, two ends are out by twice 0.04; one of them bored leaves 0.04 + 0.015, both
/// twice 0.015.
#[test]
fn bores_are_trued_as_far_as_their_distance_asks_and_the_bench_allows() {
    let mut bench = boathouse();
    bench.boring = Some(Boring { least: Length::mm(4), most: Length::mm(50) });
    let count = |within: &str| trues(&made(&two_bores(&format!(", within = \"{within}\"")), &bench));
    assert_eq!(
        (count("0.08"), count("0.079"), count("0.055"), count("0.054"), count("0.03")),
        (0, 1, 1, 2, 2)
    );
    assert_eq!(trues(&made(&two_bores(""), &bench)), 0, "nothing is asked");
    // Beyond that nothing helps: it is drilled, and how much is missing is told.
    let order = made(&two_bores(", within = \"0.029\""), &bench);
    assert_eq!(trues(&order), 0);
    assert!(
        order.assumed.iter().any(|words| words.contains("0.051 mm more than its tolerance")),
        "{:?}",
        order.assumed
    );
    // Without a boring head the same is told where it would have helped.
    bench.boring = None;
    let order = made(&two_bores(", within = \"0.03\""), &bench);
    assert!(order.assumed.iter().any(|words| words.contains("0.08 mm at the worst")), "{:?}", order.assumed);
}

/// A hole on a lever may be placed from the bore it is held to: 0.04 for the hole, and for
/// the dowel 0.005 and half the clearance of H7/h6 at 8 mm, 0.012 (ISO 286-2). From the
/// edges a second time it would be 0.12.
#[test]
fn a_bore_that_is_the_other_end_locates_nearer_than_the_edges() {
    let lever = |within: &str| {
        format!(
            "part = \"Link\"\nunit = \"mm\"\nmaterial = \"mild steel\"\n[body]\nkind = \"bosses\"\n\
             around = [\"big end\", \"small end\"]\nthickness = \"6\"\n\
             [[feature]]\nname = \"big end\"\nkind = \"boss\"\nradius = \"9\"\nplace = [\"datum\"]\n\
             [[feature]]\nname = \"small end\"\nkind = \"boss\"\nradius = \"6\"\nplace = [\"40 right of big end\", \"level with big end\"]\n\
             [[feature]]\nname = \"big bore\"\nkind = \"hole\"\nfinish = \"reamed\"\ndiameter = \"8\"\nplace = [\"concentric with big end\"]\n\
             [[feature]]\nname = \"small bore\"\nkind = \"hole\"\nfinish = \"reamed\"\ndiameter = \"5\"\nplace = [\"concentric with small end\"]\n\
             [[feature]]\nname = \"pin hole\"\nkind = \"hole\"\ndiameter = \"2\"\n\
             place = [{{ is = \"15 right of big bore\", role = \"hold\", within = \"{within}\" }}, \"level with big bore\"]\n"
        )
    };
    let from_bores = |within: &str| {
        let bench = boathouse();
        with_part(&lever(within), &bench, |part, metric| {
            let job = Job { part, metric, bench: &bench, scheme: Scheme::ALONE };
            let makings = plates::makings(&job).expect("it can be made");
            let agreements = accuracy::agreements(&job, &makings);
            let pin = makings.deeds.iter().position(|deed| deed.text.starts_with("drill pin hole")).unwrap();
            let agreement =
                agreements.iter().find(|a| a.ops.iter().any(|op| op.0 == pin)).expect("it is held");
            let side = usize::from(agreement.ops[1].0 == pin);
            let located = |way: usize| makings.places[makings.deeds[pin].places[way]].holding.located;
            let mut apart: Vec<bool> = agreement
                .apart
                .iter()
                .map(|pair| matches!(located(pair[side]), Located::TwoBores(..)))
                .collect();
            apart.dedup();
            apart
        })
    };
    assert_eq!(from_bores("0.056"), Vec::<bool>::new());
    assert_eq!(from_bores("0.057"), vec![true]);
    assert_eq!(from_bores("0.119"), vec![true]);
}

/// What is done binds nothing, and is to be measured: the other end is out by its own 0.04
/// and the 0.02 of finding the edges again, which leaves 0.04 of a tenth for the measuring
/// and is 0.01 too much for five hundredths.
#[test]
fn an_end_that_is_done_is_measured_and_what_it_binds_is_said() {
    let told = |within: &str| {
        let text = opposite_holes(within) + "[order]\ndone = [\"drill one\"]\n";
        let order = made(&text, &boathouse());
        assert!(why_of(&order, "drill two").contains("set from its other end as measured"));
        let told = order.assumed.iter().find(|words| words.contains("measure where it came out"));
        told.expect("it is to be measured").clone()
    };
    let wide = told("0.1");
    assert!(wide.contains("`drill one 4 mm` is done") && wide.contains("before `drill two 4 mm`"), "{wide}");
    assert!(wide.contains("leaves 0.04 mm of the 0.1 mm"), "{wide}");
    let narrow = told("0.05");
    assert!(narrow.contains("0.01 mm more than the tolerance leaves"), "{narrow}");
}

/// With distances to keep, no order of all there are is cheaper.
#[test]
fn no_order_that_keeps_its_distances_is_cheaper() {
    let bench = boathouse();
    let third = "[[feature]]\nname = \"three\"\nkind = \"hole\"\ndiameter = \"3\"\ndepth = \"4\"\nface = \"back\"\n\
                 place = [{ is = \"12 right of one\", role = \"hold\", within = \"0.13\" }, \"level with one\"]\n";
    for more in ["", third] {
        with_part(&(two_bores(", within = \"0.1\"") + more), &bench, |part, metric| {
            let job = Job { part, metric, bench: &bench, scheme: Scheme::ALONE };
            let makings = plates::makings(&job).expect("it can be made");
            let (model, _) = build::model(&job, &makings);
            assert!(!model.agreements.is_empty());
            assert_eq!(Some(planned(&model).score), cheapest(&model));
        });
    }
}

/// A hole of 3 mm through 40 mm: the drill reaches thirty, so it goes in from either side.
#[test]
fn a_hole_deeper_than_its_drill_is_drilled_from_both_sides() {
    let text = |height: u32| {
        format!(
            "part = \"Block\"\nunit = \"mm\"\n[body]\nkind = \"rectangle\"\nwidth = \"60\"\nheight = \"{height}\"\nthickness = \"10\"\n\
             [[feature]]\nname = \"way\"\nkind = \"hole\"\nface = \"top\"\ndiameter = \"3\"\nplace = [\"20 right of datum\", \"mid thickness\"]\n"
        )
    };
    let drills = |height: u32| {
        let order = made(&text(height), &boathouse());
        let of = order.steps.iter().filter(|step| matches!(step.work, Work::Drill { .. }));
        of.map(|step| order.setups[step.setup].up).collect::<Vec<_>>()
    };
    use crate::drawing::Face::{Bottom, Top};
    assert_eq!(drills(30), vec![Top]);
    assert_eq!(drills(40), vec![Top, Bottom]);
}

/// A sheet of 2 mm is clamped down: there is nothing for the jaws to hold.
#[test]
fn what_is_too_thin_for_the_jaws_is_clamped_to_the_table() {
    let held = |thick: &str| {
        let text = format!(
            "part = \"Sheet\"\nunit = \"mm\"\n[body]\nkind = \"rectangle\"\nwidth = \"60\"\nheight = \"40\"\nthickness = \"{thick}\"\n\
             [[feature]]\nname = \"hole\"\nkind = \"hole\"\ndiameter = \"3\"\nplace = [\"20 right of datum\", \"20 above datum\"]\n"
        );
        let mut bench = boathouse();
        bench.stock.clear(); // so that the thickness is as drawn
        let order = made(&text, &bench);
        let step = order.steps.iter().find(|step| step.text.starts_with("drill hole")).unwrap();
        order.setups[step.setup].held.clone()
    };
    assert_eq!(held("3"), crate::order::Held::ViceOnParallels);
    assert_eq!(held("2"), crate::order::Held::ClampsMoved);
}

/// A quarter of what stands on edge is gripped, by jaws 25 mm deep: 100 mm and no more.
#[test]
fn what_stands_too_tall_for_the_jaws_is_told() {
    let told = |height: u32| {
        let text = format!(
            "part = \"Bar\"\nunit = \"mm\"\n[body]\nkind = \"rectangle\"\nwidth = \"30\"\nheight = \"{height}\"\nthickness = \"12\"\n\
             [[feature]]\nname = \"hole\"\nkind = \"hole\"\nface = \"top\"\ndiameter = \"3\"\ndepth = \"8\"\nplace = [\"10 right of datum\", \"mid thickness\"]\n"
        );
        made(&text, &boathouse()).assumed.iter().any(|words| words.contains("angle plate"))
    };
    assert_eq!((told(100), told(101)), (false, true));
}
