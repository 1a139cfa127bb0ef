//! Stacks that are screwed together through holes of their own, held against figures reckoned by hand
//! from what the standards print of screws, and against the order with adhesive.

use super::planned;
use super::shop::{at, boathouse, in_turn, made};
use super::stand_in::{order, with_part};
use crate::measure::Length;
use crate::order::deed::{Job, Scheme};
use crate::order::work::{Joined, OrderOfWork, Pieces, Work};
use crate::order::{answer, build, check, screwed};

/// Two ends with a bore each, 6 mm thick; the small end's radius and how far apart they are.
fn link(head: &str, small: &str, apart: &str, more: &str) -> String {
    format!(
        "part = \"Link\"\nunit = \"mm\"\nmaterial = \"mild steel\"\n{head}\n[body]\nkind = \"bosses\"\n\
         around = [\"big end\", \"small end\"]\nthickness = \"6\"\n\
         [[feature]]\nname = \"big end\"\nkind = \"boss\"\nradius = \"9\"\nplace = [\"datum\"]\n\
         [[feature]]\nname = \"small end\"\nkind = \"boss\"\nradius = \"{small}\"\n\
         place = [\"{apart} right of big end\", \"level with big end\"]\n\
         [[feature]]\nname = \"big bore\"\nkind = \"hole\"\nfinish = \"reamed\"\ndiameter = \"8\"\n\
         place = [\"concentric with big end\"]\n\
         [[feature]]\nname = \"small bore\"\nkind = \"hole\"\nfinish = \"reamed\"\ndiameter = \"5\"\n\
         place = [\"concentric with small end\"]\n{more}"
    )
}

/// Each screw of a stack so high as thread, length, and length in the lower stacks.
fn screws(text: &str, scheme: Scheme) -> Option<Vec<(String, f64, Option<f64>)>> {
    let bench = boathouse();
    with_part(text, &bench, |part, metric| {
        let found = screwed::screws(&Job { part, metric, bench: &bench, scheme: scheme.screwed() })?;
        let said = |screw: &screwed::Screw| {
            (screw.thread.designation.clone(), screw.long.as_mm(), screw.long_in_lower.map(Length::as_mm))
        };
        Some(found.iter().map(said).collect())
    })
}

/// ISO 273, fine: M6 passes 6.4 and M8 only 8.4; M4 passes 4.3 and M5 only 5.3. Two of 6 mm, the nuts of
/// ISO 4032 (5.2 and 3.2) and two threads (of 1 and of 0.7) are 19.2 and 16.6: ISO 888 has 20 for both.
/// Three are 25.2 and 22.6, sold as 30 and 25.
#[test]
fn screws_are_as_thick_as_the_holes_pass_and_as_long_as_the_stack_asks() {
    let text = link("make = 5", "6", "40", "");
    let both = |long: [f64; 2], lower: [Option<f64>; 2]| {
        Some(vec![("M6".to_owned(), long[0], lower[0]), ("M4".to_owned(), long[1], lower[1])])
    };
    assert_eq!(screws(&text, Scheme::apart(2).stuck(2)), both([20.0, 20.0], [None, None]));
    // Of five one stack has three and one two.
    assert_eq!(screws(&text, Scheme::apart(5).stuck(3)), both([30.0, 25.0], [Some(20.0), Some(20.0)]));
    assert_eq!(screws(&text, Scheme::apart(2)), None, "one piece by itself needs none");
}

/// Across the corners a nut of M4 is 7 / cos 30°, 8.08: half of it and a millimetre are 5.04. The nut of M6
/// is 11.55 across: nearer than twice that the two screws are as good as one.
#[test]
fn heads_and_nuts_stay_clear_of_the_cutter_and_of_each_other() {
    let stack = Scheme::apart(2).stuck(2);
    let there =
        |small: &str, apart: &str, more: &str| screws(&link("make = 2", small, apart, more), stack).is_some();
    assert!(there("5.05", "40", ""));
    assert!(!there("5.03", "40", ""), "the cutter would meet the nut");
    assert!(there("6", "23.1", ""));
    assert!(!there("6", "23", ""), "too near each other");
    // 2 mm across, beside the big end: its own half and 6.77 from the middle of the bore.
    let beside = |at: &str| {
        let text = "[[feature]]\nname = \"oil hole\"\nkind = \"hole\"\ndiameter = \"2\"\n";
        format!("{text}place = [\"{at} right of big end\", \"level with big end\"]\n")
    };
    assert!(there("6", "40", &beside("7.8")));
    assert!(!there("6", "40", &beside("7.7")), "a nut would stand over the oil hole");
}

/// The steps, in turn, of an order that is asked to use screws.
#[test]
fn the_screws_go_in_while_clamps_hold_and_before_anything_is_cut_round() {
    let text = link("make = 2", "6", "40", "[order]\nwanted = [\"screwed together\"]\n");
    let order = made(&text, &boathouse());
    in_turn(
        &order,
        &[
            "clamp the two blanks together",
            "mill two edges square",
            "ream big bore",
            "screw the pair together through big bore and small bore",
            "round big end",
            "unscrew the pair",
        ],
    );
    in_turn(&order, &["ream small bore", "screw the pair", "round small end"]);
    in_turn(&order, &["screw the pair", "mill the flanks"]);
    assert!(order.steps.iter().all(|step| !step.text.contains("stick") && !step.text.contains("part the")));
    let joined = order.setups.iter().filter_map(|setup| setup.pieces.lots()).map(|lots| lots.joined);
    assert!(joined.into_iter().any(|joined| joined == Joined::Screwed));
}

/// What the screws are said to add is what the order with them has more, and it is never less than nothing.
#[test]
fn the_price_of_screws_is_that_of_their_own_order() {
    let mut priced = 0;
    for (make, name) in [(2, "screwed together"), (3, "screwed together by three")] {
        let text = link(&format!("make = {make}"), "6", "40", "");
        let order = made(&text, &boathouse());
        let sticks = |order: &OrderOfWork| order.setups.iter().any(|setup| setup.pieces.is_stack());
        if !sticks(&order) {
            continue;
        }
        let pieces = order.choices.first().expect("there are several ways");
        let price = order.price(pieces, name).unwrap_or_else(|| panic!("{name} in {:?}", order.of_ways));
        let asked = made(&format!("{text}[order]\nwanted = [\"{name}\"]\n"), &boathouse());
        assert_eq!(price, format!("would add {}", asked.uses.more_than(&order.uses).words()));
        assert!(asked.uses > order.uses, "{:?} and {:?}", asked.uses, order.uses);
        priced += 1;
    }
    assert!(priced > 0);
}

/// Whoever will have no adhesive gets the better of screws and pieces by themselves; whoever will have none of
/// both gets the pieces by themselves.
#[test]
fn without_adhesive_the_stack_is_screwed_or_there_is_none() {
    let wanted = |words: &str| {
        made(&link("make = 2", "6", "40", &format!("[order]\nwanted = [{words}]\n")), &boathouse())
    };
    let no_glue = wanted("\"not stuck together\"");
    let never = wanted("\"never stuck together\"");
    let screwed = wanted("\"screwed together\"");
    assert_eq!(no_glue.uses, screwed.uses.min(never.uses));
    let stack =
        |order: &OrderOfWork| order.setups.iter().any(|setup| matches!(setup.pieces, Pieces::Stack(_)));
    assert!(!stack(&never) && stack(&screwed));
}

/// A part whose holes take no screws cannot be asked to have them.
#[test]
fn screws_that_no_hole_takes_are_told() {
    let text = link("make = 2", "5", "40", "[order]\nwanted = [\"screwed together\"]\n");
    let faults = order(&text, &boathouse()).expect_err("the small end has no room for a nut");
    assert!(faults.iter().any(|fault| fault.to_string().contains("screwed together")), "{faults:?}");
}

/// A certificate in which the outline is cut before the screws are in, or holes are made after, is refused.
#[test]
fn the_checker_refuses_screws_that_come_too_late_or_too_early() {
    let bench = boathouse();
    with_part(&link("make = 2", "6", "40", ""), &bench, |part, metric| {
        let job = Job { part, metric, bench: &bench, scheme: Scheme::apart(2).stuck(2).screwed() };
        let makings = answer::makings(&job, None).expect("it can be made");
        let (model, _) = build::model(&job, &makings);
        let plan = planned(&model);
        let is_screw = |op: usize| matches!(makings.deeds[op].work, Work::ScrewTogether { .. });
        let at = plan.steps.iter().position(|step| is_screw(step.op.0)).expect("it is screwed");
        let mut refused = 0;
        for to in (0..plan.steps.len()).filter(|&to| to != at) {
            let mut moved = plan.clone();
            let step = moved.steps.remove(at);
            moved.steps.insert(to, step);
            let between = if to < at { &plan.steps[to..at] } else { &plan.steps[at + 1..=to] };
            let deeds = between.iter().map(|step| &makings.deeds[step.op.0]);
            let breaks = deeds.into_iter().any(|deed| match to < at {
                true => matches!(deed.work, Work::Ream { .. } | Work::Stick),
                false => matches!(deed.work, Work::RoundEnd | Work::MillFlanks { .. } | Work::Part),
            });
            if breaks {
                assert!(check::check(&model, &moved).is_err(), "moved from {at} to {to}");
                refused += 1;
            }
        }
        assert!(refused > 3, "{refused}");
    });
}

/// The pieces of a turned batch go through one setting of the chuck after the other: as many setups as for one, but
/// for those on the mill, where each is clamped anew; each has its own minutes, and the settings are shared.
#[test]
fn turned_pieces_share_what_is_set() {
    let one = made(super::shop::SPINDLE, &boathouse());
    let six = made(&super::shop::SPINDLE.replacen("unit =", "make = 6\nunit =", 1), &boathouse());
    assert_eq!((one.times, six.times), (1, 1));
    let lathe = |order: &OrderOfWork| {
        order.setups.iter().filter(|setup| setup.machine == crate::order::Machine::Lathe).count() as u64
    };
    let elsewhere = one.setups.len() as u64 - lathe(&one);
    assert_eq!(one.uses.setups, lathe(&one) + elsewhere);
    assert_eq!(six.uses.setups, lathe(&six) + 6 * elsewhere);
    assert!(six.setups.iter().all(|setup| setup.pieces.count() == 6));
    let cut = |order: &OrderOfWork| order.steps.iter().map(|step| step.minutes).sum::<u64>();
    assert_eq!(cut(&six), 6 * cut(&one));
    let set = |order: &OrderOfWork| order.setting_up.iter().sum::<u64>();
    assert!(set(&six) < 6 * set(&one), "{} and {}", set(&six), set(&one));
    // The second ends all want one tool, and so it stays in.
    in_turn(&six, &["face the left end", "turn guide", "part off", "turn tail", "drill cotter hole"]);
}

/// Blanks of 5 mm go sixteen at a time between jaws that open 80 mm, where they stand on end no higher than the jaws
/// hold; 120 mm stand too high, and each is squared by itself.
#[test]
fn blanks_are_squared_face_to_face() {
    let plate = |make: u32, width: u32| {
        format!(
            "part = \"plate\"\nunit = \"mm\"\nmaterial = \"mild steel\"\nmake = {make}\n[body]\nkind = \"rectangle\"\nwidth = \"{width}\"\nheight = \"40\"\nthickness = \"5\"\n[[feature]]\nname = \"dimple\"\nkind = \"hole\"\ndiameter = \"3\"\ndepth = \"2\"\nplace = [\"10 right of datum\", \"10 above datum\"]\n[order]\nwanted = [\"never stuck together\"]\n"
        )
    };
    let fills = |make: u32, width: u32| {
        let order = made(&plate(make, width), &boathouse());
        let squared = &order.setups[order.steps[at(&order, "mill two edges square")].setup];
        squared.pieces.lots().map(|lots| (lots.high, lots.fills()))
    };
    assert_eq!(fills(6, 60), Some((6, 1)));
    assert_eq!(fills(17, 60), Some((9, 2)), "as many each time");
    assert_eq!(fills(6, 120), Some((1, 6)));
}
