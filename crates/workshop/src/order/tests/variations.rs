//! Other parts, other benches: what changes in the order, and what must not.

use super::brute::cheapest;
use super::planned;
use super::shop::{BRACKET, COVER, LEVER, SPINDLE, at, boathouse, in_turn, made};
use super::stand_in::{order, with_part};
use crate::bench::{Bench, Lathe};
use crate::drawing::Body;
use crate::measure::Length;
use crate::order::deed::{Job, Scheme};
use crate::order::work::{Aid, Held, Machine, OrderOfWork, Sure, Work};
use crate::order::{build, plates, turned};
use proptest::prelude::*;

/// A link with two bosses; what is between the braces is put in.
fn link(head: &str, bores: &[(&str, &str, &str)], more: &str) -> String {
    let mut text = format!(
        "part = \"Link\"\nunit = \"mm\"\nmaterial = \"mild steel\"\n{head}\n[body]\nkind = \"bosses\"\n\
         around = [\"big end\", \"small end\"]\nthickness = \"6\"\n\
         [[feature]]\nname = \"big end\"\nkind = \"boss\"\nradius = \"9\"\nplace = [\"datum\"]\n\
         [[feature]]\nname = \"small end\"\nkind = \"boss\"\nradius = \"6\"\n\
         place = [\"40 right of big end\", \"level with big end\"]\n"
    );
    for (name, diameter, boss) in bores {
        text += &format!(
            "[[feature]]\nname = \"{name}\"\nkind = \"hole\"\nfinish = \"reamed\"\ndiameter = \"{diameter}\"\n\
             place = [\"concentric with {boss}\"]\n"
        );
    }
    text + more
}

const BOTH: &[(&str, &str, &str)] = &[("big bore", "8", "big end"), ("small bore", "5", "small end")];

fn rounds(order: &OrderOfWork) -> Vec<&Work> {
    let round =
        |work: &&Work| matches!(work, Work::RoundEnd | Work::FileEnd | Work::StepEnd | Work::TurnDisc);
    order.steps.iter().map(|step| &step.work).filter(round).collect()
}

#[test]
fn without_a_rotary_table_ends_are_filed_to_buttons_and_the_reason_is_said() {
    let mut bench = boathouse();
    bench.rotary_table = None;
    let order = made(LEVER, &bench);
    assert!(rounds(&order).iter().all(|work| **work == Work::FileEnd));
    assert!(order.assumed.iter().any(|words| words.contains("no rotary table")), "{:?}", order.assumed);
    assert!(order.aids.iter().any(|aid| matches!(aid, Aid::FilingButtons { .. })));
    in_turn(&order, &["ream pivot bore", "file pivot boss", "saw clamp slit"]);
}

#[test]
fn a_lever_too_long_to_swing_is_filed_to_buttons() {
    let mut bench = boathouse();
    bench.mill.column = Length::mm(50);
    let order = made(&link("", BOTH, ""), &bench);
    assert!(rounds(&order).iter().all(|work| **work == Work::FileEnd));
    assert!(
        order.assumed.iter().any(|words| words.contains("the column is 50 mm away")),
        "{:?}",
        order.assumed
    );
}

#[test]
fn a_bore_too_small_for_a_stub_gets_buttons_and_the_other_end_keeps_the_table() {
    let mut bench = boathouse();
    let two = crate::bench::Reamer { diameter: Length::mm(2), class: "H7".into() };
    bench.reamers.insert(0, two);
    let text = link("", &[("big bore", "8", "big end"), ("small bore", "2", "small end")], "");
    let order = made(&text, &bench);
    assert!(rounds(&order).contains(&&Work::RoundEnd) && rounds(&order).contains(&&Work::FileEnd));
    assert!(
        order.assumed.iter().any(|words| words.contains("a stub of 2 mm would bend")),
        "{:?}",
        order.assumed
    );
}

#[test]
fn an_end_without_a_bore_is_stepped_while_there_are_edges() {
    let order = made(&link("", &BOTH[..1], ""), &boathouse());
    in_turn(
        &order,
        &["mill two edges", "round small end by stepped coordinates", "round big end on the rotary"],
    );
    in_turn(&order, &["round small end by stepped", "mill the flanks"]);
}

#[test]
fn a_link_with_no_bore_at_all_is_stepped_and_filed_to_a_line() {
    let order = made(&link("", &[], ""), &boathouse());
    in_turn(&order, &["mill two edges", "round big end by stepped", "file the flanks"]);
}

#[test]
fn a_turned_part_without_a_lathe_is_a_problem_with_a_remedy() {
    let mut bench = boathouse();
    bench.lathe = None;
    let faults = order(SPINDLE, &bench).unwrap_err();
    assert!(faults[0].what().contains("there is no lathe"), "{}", faults[0]);
    assert!(faults[0].remedy().is_some_and(|mend| mend.contains("[lathe]")));
}

/// 400 mm of work in a lathe that takes 350.
#[test]
fn a_turned_part_longer_than_the_lathe_is_a_problem_with_a_remedy() {
    let rod = |long: u32| {
        format!(
            "part = \"Rod\"\nunit = \"mm\"\nmaterial = \"brass\"\n[body]\nkind = \"turned\"\nlength = \"{long}\"\n\
             [[feature]]\nname = \"shank\"\nkind = \"section\"\ndiameter = \"10\"\nlength = \"25\"\n\
             [[feature]]\nname = \"head\"\nkind = \"section\"\ndiameter = \"16\"\n\
             [[feature]]\nname = \"way\"\nkind = \"hole\"\nface = \"right\"\ndiameter = \"5\"\n"
        )
    };
    let faults = order(&rod(400), &boathouse()).unwrap_err();
    assert!(faults[0].what().contains("too long for the lathe"), "{}", faults[0]);
    assert!(faults[0].remedy().is_some_and(|mend| mend.contains("between_centres")));
    // 60 mm are twelve diameters of the drill, 45 are nine.
    let long_drill = |long| made(&rod(long), &boathouse()).assumed.iter().any(|a| a.contains("way goes"));
    assert!(long_drill(60) && !long_drill(45));
}

#[test]
fn a_disc_without_a_bore_is_turned_between_pads_or_is_a_problem_with_a_remedy() {
    let text = "part = \"Disc\"\nunit = \"mm\"\n[body]\nkind = \"disc\"\ndiameter = \"40\"\nthickness = \"6\"\n\
                [[feature]]\nname = \"pin hole\"\nkind = \"hole\"\ndiameter = \"3\"\nplace = [\"8 right of datum\", \"level with datum\"]\n";
    let turned = made(text, &boathouse());
    in_turn(&turned, &["mill two edges", "drill pin hole", "turn the outside"]);
    assert_eq!(turned.setups[turned.steps[at(&turned, "turn the outside")].setup].held, Held::PressurePads);
    // 40 and 3 more on each side: 65.1 across the corners, and 10 all round for what sticks out.
    let small =
        Bench { lathe: boathouse().lathe.map(|l| Lathe { swing: Length::mm(80), ..l }), ..boathouse() };
    for bench in [small, Bench { lathe: None, ..boathouse() }] {
        // A thin one is filed to its circle, which is scribed while the edges are there.
        let filed = made(text, &bench);
        in_turn(&filed, &["mill two edges", "mark out", "file the outside"]);
        assert!(filed.assumed.iter().any(|words| words.contains("filed round to a scribed circle")));
        let thick = text.replace("thickness = \"6\"", "thickness = \"8\"");
        let faults = order(&thick, &bench).unwrap_err();
        assert!(faults[0].reason().unwrap().contains("86 mm across"), "{}", faults[0]);
        let mend = faults[0].remedy().unwrap();
        assert!(mend.contains("lathe that swings 86 mm") && mend.contains("tooling hole"), "{mend}");
    }
}

#[test]
fn a_disc_is_turned_on_a_mandrel_where_there_is_no_rotary_table() {
    let mut bench = boathouse();
    bench.rotary_table = None;
    let order = made(COVER, &bench);
    let setup = &order.setups[order.steps[at(&order, "turn the outside")].setup];
    assert_eq!(setup.machine, Machine::Lathe);
    assert!(matches!(setup.held, Held::StubMandrel { .. }));
}

#[test]
fn a_feature_that_no_rule_makes_is_a_problem_and_never_left_out() {
    let slit = "[[feature]]\nname = \"saw cut\"\nkind = \"slit\"\nwidth = \"1/32\"\ninto = \"cotter hole\"\ntoward = \"left\"\n";
    let faults = order_faults(&format!("{SPINDLE}{slit}"));
    assert!(faults[0].what().contains("no way is known to make `saw cut`"), "{}", faults[0]);
}

#[test]
fn two_alike_are_stuck_together_and_three_are_made_one_by_one() {
    let two = made(&link("make = 2", BOTH, ""), &boathouse());
    assert_eq!(two.times, 1);
    in_turn(&two, &["stick", "ream big bore", "round big end", "part"]);
    assert!(two.steps.iter().all(|step| two.setups[step.setup].pieces.is_stack()));
    let three = made(&link("make = 3", BOTH, ""), &boathouse());
    assert_eq!(three.times, 1);
    assert!(three.setups.iter().all(|setup| setup.pieces.count() == 3));
}

#[test]
fn a_blind_hole_is_drilled_in_each_hand_after_parting() {
    let blind = "[[feature]]\nname = \"oil cup\"\nkind = \"hole\"\ndiameter = \"3\"\ndepth = \"2.5\"\n\
                 place = [\"20 right of big end\", \"level with big end\"]\n";
    let text = link("hands = [\"right\", \"left\"]", BOTH, blind);
    let order = made(&text, &boathouse());
    in_turn(&order, &["part", "drill oil cup 3 mm (right hand)", "drill oil cup 3 mm (left hand)"]);
    assert!(
        order
            .steps
            .iter()
            .all(|step| !step.text.starts_with("ream") || order.setups[step.setup].pieces.is_stack())
    );
}

#[test]
fn no_plan_of_a_small_part_is_beaten_by_any_order() {
    for (text, scheme) in [(COVER, Scheme::ALONE), (BRACKET, Scheme::ALONE), (SPINDLE, Scheme::ALONE)] {
        with_part(text, &boathouse(), |part, metric| {
            let job = Job { part, metric, bench: &boathouse(), scheme };
            let makings = match part.drawing.body {
                Body::Turned { .. } => turned::makings(&job, turned::First::Left),
                _ => plates::makings(&job),
            };
            let (model, _) = build::model(&job, &makings.expect("it can be made"));
            assert!(model.operations.len() <= 12);
            assert_eq!(Some(planned(&model).score), cheapest(&model), "{}", part.drawing.name);
        });
    }
}

#[test]
fn one_more_cutting_tool_never_adds_a_setup() {
    for text in [LEVER, COVER, BRACKET, SPINDLE] {
        let few = boathouse();
        let before = made(text, &few).setups.len();
        let mut long = boathouse();
        long.end_mills.push(crate::bench::EndMill::new(Length::mm(20), Length::mm(60), 4));
        let mut drilled = boathouse();
        drilled.drills = crate::tables::drills::all().to_vec();
        for bench in [long, drilled] {
            assert!(made(text, &bench).setups.len() <= before);
        }
    }
}

#[test]
fn the_ends_of_a_held_distance_are_drilled_in_one_holding() {
    let order = made(LEVER, &boathouse());
    let setup = |text| order.steps[at(&order, text)].setup;
    assert_eq!(setup("drill pivot bore"), setup("drill rod bore"));
    // From opposite faces they cannot be: that is a problem, not a worse part.
    let blind = |name: &str, face: &str, place: &str| {
        format!(
            "[[feature]]\nname = \"{name}\"\nkind = \"hole\"\nface = \"{face}\"\ndiameter = \"4\"\ndepth = \"3\"\nplace = [{place}]\n"
        )
    };
    let text = format!(
        "part = \"Block\"\nunit = \"mm\"\n[body]\nkind = \"rectangle\"\nwidth = \"60\"\nheight = \"40\"\nthickness = \"10\"\n{}{}",
        blind("one", "front", "\"10 right of datum\", \"20 above datum\""),
        blind(
            "two",
            "back",
            "{ is = \"30 right of one\", role = \"hold\", within = \"0.02\" }, \"level with one\""
        ),
    );
    let faults = order_faults(&text);
    assert!(faults[0].what().contains("one and two cannot be drilled in one holding"), "{}", faults[0]);
}

fn order_faults(text: &str) -> Vec<crate::problem::Problem> {
    order(text, &boathouse()).expect_err("it cannot be made so")
}

/// A hole of some kind somewhere on a plate 100 by 60.
pub(super) fn feature(n: usize, (kind, x, y): (usize, i32, i32)) -> String {
    let place = format!("place = [\"{x} right of datum\", \"{y} above datum\"]");
    let edge = format!("place = [\"{x} right of datum\", \"mid thickness\"]");
    let what = match kind {
        0 => format!("kind = \"hole\"\ndiameter = \"3.3\"\n{place}"),
        1 => format!("kind = \"hole\"\nfinish = \"reamed\"\ndiameter = \"6\"\n{place}"),
        2 => format!("kind = \"tapped hole\"\nthread = \"M4\"\n{place}"),
        3 => format!("kind = \"hole\"\nface = \"back\"\ndiameter = \"4\"\ndepth = \"3\"\n{place}"),
        4 => format!("kind = \"slot\"\nwidth = \"6\"\ncentres = \"8\"\n{place}"),
        5 => format!("kind = \"tapped hole\"\nface = \"top\"\nthread = \"M3\"\ndepth = \"6\"\n{edge}"),
        _ => format!(
            "kind = \"hole\"\nface = \"left\"\ndiameter = \"2.5\"\ndepth = \"5\"\nplace = [\"{y} above datum\", \"mid thickness\"]"
        ),
    };
    format!("[[feature]]\nname = \"f{n}\"\n{what}\n")
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    /// Whatever stands on a plate, each feature is made once in each piece, first drilled
    /// and then finished, and the order is proven. The checker has passed every one.
    #[test]
    fn every_feature_of_any_plate_is_made_once_in_every_piece(
        features in prop::collection::vec((0usize..7, 5i32..95, 5i32..55), 1..8),
        head in prop::sample::select(vec!["", "make = 2", "make = 3", "hands = [\"right\", \"left\"]"]),
    ) {
        let mut text = format!(
            "part = \"plate\"\nunit = \"mm\"\n{head}\n[body]\nkind = \"rectangle\"\nwidth = \"100\"\nheight = \"60\"\nthickness = \"8\"\n"
        );
        for (n, &f) in features.iter().enumerate() {
            text += &feature(n, f);
        }
        let order = made(&text, &boathouse());
        prop_assert_eq!(order.proof.sure, Sure::Optimal);
        for (n, &(kind, ..)) in features.iter().enumerate() {
            let of = |order: &OrderOfWork| -> Vec<(u32, bool)> {
                let mine = order.steps.iter().filter(|s| s.feature.is_some_and(|id| id.0 == n));
                mine.map(|s| (order.pieces_at(s), matches!(s.work, Work::Drill { .. } | Work::MillSlot { .. }))).collect()
            };
            let steps = of(&order);
            let finishing = matches!(kind, 1 | 2 | 5);
            for (first, count) in [(true, 1), (false, usize::from(finishing))] {
                let pieces: usize = steps.iter().filter(|s| s.1 == first).map(|s| s.0 as usize).sum();
                let wanted = match head {
                    "" => 1,
                    "make = 3" => 3,
                    _ => 2,
                };
                prop_assert_eq!(pieces, wanted * count, "f{} in {:?}", n, steps);
            }
            prop_assert!(steps[0].1, "drilled first");
        }
    }
}

/// A part as large as any: its order is found and proven, and its setups are the fewest
/// there can be: one to square it, one for what goes in at the top, and one with the back
/// up for the blind holes there and everything that goes right through.
#[test]
fn thirty_features_are_ordered_with_proof() {
    let mut text = String::from(
        "part = \"plate\"\nunit = \"mm\"\n[body]\nkind = \"rectangle\"\nwidth = \"200\"\nheight = \"100\"\nthickness = \"12\"\n",
    );
    for n in 0..30 {
        let kind = [0, 1, 2, 3, 4, 5][n % 6];
        text += &feature(n, (kind, 6 * n as i32 + 8, 10 + 15 * (n as i32 % 6)));
    }
    let order = made(&text, &boathouse());
    assert_eq!(order.proof.sure, Sure::Optimal);
    assert_eq!(order.setups.len(), 3);
}
