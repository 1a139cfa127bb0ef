//! What holds turned work, and what it comes to.

use super::held_parts::{BUSH, LONG, RIMMED, ROLLER, TUBE, WASHER};
use super::shop::{at, boathouse, listed, made};
use crate::bench::{Bench, WorkHolder};
use crate::order::{Held, OrderOfWork, Steadied, Work};

/// The boathouse with these and no others; `collets` as many.
fn with(holders: &[WorkHolder], collets: bool) -> Bench {
    let mut bench = boathouse();
    bench.work_holding = Some(holders.to_vec());
    if !collets {
        bench.collets.clear();
    }
    bench
}

fn held_at<'a>(order: &'a OrderOfWork, text: &str) -> &'a Held {
    &order.setups[order.steps[at(order, text)].setup].held
}

fn short(order: &OrderOfWork) -> Vec<&String> {
    order.assumed.iter().filter(|words| words.contains("out of true")).collect()
}

use WorkHolder::{Centres, FixedSteady, FourJaw, SoftJaws, ThreeJaw};

#[test]
fn two_journals_are_held_as_true_as_the_bench_allows() {
    // A scroll chuck alone: half of 0.1 is 0.05, and the journals let go 0.012: the order
    // stands and tells.
    let poor = made(ROLLER, &with(&[ThreeJaw], false));
    assert_eq!(poor.setups.len(), 2, "{}", listed(&poor));
    assert_eq!(short(&poor).len(), 1, "{:?}", poor.assumed);
    assert!(short(&poor)[0].contains("0.05 mm at the worst"), "{:?}", poor.assumed);
    // Each of these keeps it; what is quickest of what is there is taken.
    for (holders, expected) in [
        (&[ThreeJaw, FourJaw, SoftJaws, Centres][..], "Clocked"),
        (&[ThreeJaw, SoftJaws, Centres][..], "SoftJaws"),
        (&[ThreeJaw, Centres][..], "Centres"),
    ] {
        let order = made(ROLLER, &with(holders, false));
        assert!(short(&order).is_empty(), "{:?}", order.assumed);
        let one = format!("{:?}", held_at(&order, "turn left journal"));
        let other = format!("{:?}", held_at(&order, "turn right journal"));
        assert!(one.starts_with(expected) || other.starts_with(expected), "{expected}:\n{}", listed(&order));
    }
    let order = made(ROLLER, &with(&[ThreeJaw, FourJaw], false));
    let why = format!("{:?}", order.steps[at(&order, "turn left journal")].why);
    assert!(why.contains("held in the three-jaw chuck instead they could be out by 0.05 mm"), "{why}");
    // A collet of the journal's size is true enough by itself, and as quick as the chuck.
    let mut collet = with(&[ThreeJaw, FourJaw, SoftJaws, Centres], false);
    let part = ROLLER.replace("\"9\"", "\"8\"");
    collet.collets = vec![crate::measure::Length::mm(8)];
    let order = made(&part, &collet);
    assert!(short(&order).is_empty() && order.setups.len() == 2, "{}", listed(&order));
    assert!(order.setups.iter().any(|s| matches!(s.held, Held::Collet { .. })), "{}", listed(&order));
}

/// Between centres both ends are faced and centred before anything is turned there.
#[test]
fn between_centres_both_ends_are_centred_first() {
    let order = made(ROLLER, &with(&[ThreeJaw, Centres], false));
    let hung = order.setups.iter().position(|s| s.held == Held::Centres).expect("between centres");
    for text in ["face the left end", "face the right end", "centre the left end", "centre the right end"] {
        assert!(order.steps[at(&order, text)].setup < hung, "{text}:\n{}", listed(&order));
    }
    let free = made(&ROLLER.replace("sliding", "running"), &with(&[ThreeJaw, FourJaw], false));
    assert!(!free.steps.iter().any(|s| matches!(s.work, Work::CentreEnd { .. })), "{}", listed(&free));
}

#[test]
fn a_bore_drawn_from_the_flange_is_cut_with_the_barrel() {
    let order = made(BUSH, &with(&[ThreeJaw], false));
    assert_eq!(
        order.steps[at(&order, "ream bore")].setup,
        order.steps[at(&order, "turn barrel")].setup,
        "{}",
        listed(&order)
    );
    assert!(short(&order).is_empty(), "{:?}", order.assumed);
    let why = &order.steps[at(&order, "ream bore")].why;
    assert!(format!("{why:?}").contains("made in one holding"), "{why:?}");
}

/// A wall of 1.25 round 17.5 gives in jaws: it is bored while thick, or turned on a mandrel,
/// and no hard jaw closes on it afterwards.
#[test]
fn a_thin_wall_is_bored_while_it_is_thick_and_never_squeezed() {
    for holders in [&[ThreeJaw, FourJaw][..], &[ThreeJaw, FourJaw, SoftJaws]] {
        let order = made(TUBE, &with(holders, false));
        let (bored, turned) = (at(&order, "bore through bore"), at(&order, "turn barrel"));
        assert!(bored < turned, "{}", listed(&order));
        let gone = order.steps[bored].setup;
        for (n, setup) in order.setups.iter().enumerate().filter(|(n, _)| *n > gone) {
            let squeezed = matches!(
                setup.held,
                Held::Chuck { on: Some(_) } | Held::Clocked { .. } | Held::FourJaw { .. }
            );
            assert!(!squeezed, "setup {n}:\n{}", listed(&order));
        }
    }
}

#[test]
fn what_no_jaw_holds_goes_on_its_bore() {
    let order = made(WASHER, &boathouse());
    let second = order.setups.last().unwrap();
    assert!(second.held.through().is_some(), "{}", listed(&order));
    let mut own = boathouse();
    own.mandrels = vec![crate::measure::Length::mm(10)];
    let order = made(WASHER, &own);
    assert!(matches!(order.setups.last().unwrap().held, Held::Mandrel { owned: true, .. }));
    assert!(order.aids.is_empty(), "{:?}", order.aids);
    // Without a bore right through there is nothing to turn more by, and the problem says so.
    let blind = RIMMED.replace("finish = \"reamed\"", "depth = \"3\"");
    let faults = super::stand_in::order(&blind, &boathouse()).unwrap_err();
    assert!(faults[0].to_string().contains("finished bore"), "{}", faults[0]);
}

/// A plain disc has only its face left: a seat in soft jaws holds it for that, where there are such jaws and
/// it is thick enough to lie true in one; else it is rubbed flat, once it is off the bar and not before.
#[test]
fn a_thin_disc_lies_in_a_seat_or_is_rubbed_flat() {
    let solid = WASHER.rsplit_once("[[feature]]").unwrap().0;
    let order = made(solid, &boathouse());
    assert_eq!(order.setups.last().unwrap().held, Held::Bench, "{}", listed(&order));
    assert!(at(&order, "part off") < at(&order, "rub the left end flat"));
    let soft = with(&[ThreeJaw, SoftJaws], true);
    let order = made(solid, &soft);
    assert!(matches!(order.setups.last().unwrap().held, Held::SoftJaws { .. }), "{}", listed(&order));
    let thin = solid.replace("length = \"5\"", "length = \"1\"");
    assert_ne!(thin, solid);
    let order = made(&thin, &soft);
    assert_eq!(order.setups.last().unwrap().held, Held::Bench, "{}", listed(&order));
}

#[test]
fn long_work_is_steadied() {
    let order = made(LONG, &boathouse());
    let turned = order.steps[at(&order, "turn shank")].setup;
    assert_eq!(order.setups[turned].steadied, Steadied::Tailstock, "{}", listed(&order));
    assert!(at(&order, "centre the right end") < at(&order, "turn shank"));
    assert!(at(&order, "turn shank") < at(&order, "drill eye"));
    let bored = order.steps[at(&order, "recess seat")].setup;
    assert!(matches!(order.setups[bored].steadied, Steadied::Fixed { .. }), "{}", listed(&order));
    let none = made(LONG, &with(&[ThreeJaw, FourJaw], true));
    assert!(none.assumed.iter().any(|words| words.contains("no fixed steady")), "{:?}", none.assumed);
    let stout = made(&LONG.replace("\"80\"", "\"35\""), &boathouse());
    assert!(stout.setups.iter().all(|s| s.steadied == Steadied::Not), "{}", listed(&stout));
    let long = made(&LONG.replace("\"80\"", "\"150\""), &with(&[ThreeJaw, FixedSteady], true));
    assert!(long.assumed.iter().any(|words| words.contains("no travelling steady")), "{:?}", long.assumed);
}

/// What the bench file does not say is supposed, and told where an order rests on it.
#[test]
fn what_is_supposed_to_hold_the_work_is_told() {
    let mut silent = with(&[], false);
    silent.work_holding = None;
    let order = made(ROLLER, &silent);
    assert!(order.assumed.iter().any(|words| words.contains("work_holding")), "{:?}", order.assumed);
    let said = made(ROLLER, &with(&[ThreeJaw, FourJaw], false));
    assert!(!said.assumed.iter().any(|words| words.contains("work_holding")), "{:?}", said.assumed);
}

/// Six flats: with a worm of 40 the handle makes 6 turns and two thirds of one, 10 holes
/// in 15, for each; books on dividing heads give the same.
#[test]
fn flats_are_divided_on_a_head_where_one_is_owned() {
    let part = super::shop::SPINDLE.replace("[[mate]]", "[[feature]]\nname = \"spanner way\"\nkind = \"flats\"\nacross = \"3/8\"\ncount = 6\nlength = \"1/8\"\nplace = [\"0 right of collar\"]\n\n[[mate]]");
    let mut bench = with(&[ThreeJaw, FourJaw, WorkHolder::DividingHead], true);
    bench.rotary_table = None;
    let order = made(&part, &bench);
    assert!(matches!(held_at(&order, "mill spanner way"), Held::DividingHead { .. }), "{}", listed(&order));
    bench.work_holding = Some(vec![ThreeJaw, FourJaw]);
    let order = made(&part, &bench);
    assert!(matches!(held_at(&order, "mill spanner way"), Held::ColletBlock { .. }), "{}", listed(&order));
}

/// A quarter of what is gripped is as far as packing goes: half the radius, past which two jaws
/// close beyond the middle.
#[test]
fn what_is_off_centre_is_set_over_by_four_jaws_or_by_packing_as_far_as_that_goes() {
    let part = |throw: &str| {
        ROLLER.replace("diameter = \"14\"", &format!("diameter = \"14\"\noffset = \"{throw}\""))
    };
    let over = |holders: &[WorkHolder]| {
        let order = made(&part("1"), &with(holders, true));
        order.setups.iter().find(|setup| setup.held.set_over().is_some()).unwrap().held.clone()
    };
    assert!(matches!(over(&[ThreeJaw, FourJaw]), Held::FourJaw { .. }));
    assert!(matches!(over(&[ThreeJaw]), Held::Packed { .. }));
    let refused = |throw: &str, holders: &[WorkHolder]| {
        super::stand_in::order(&part(throw), &with(holders, true)).unwrap_err()[0].to_string()
    };
    let far = refused("12", &[ThreeJaw]);
    assert!(far.contains("four-jaw chuck") && far.contains("from a bar of 48 mm or more"), "{far}");
    // Between offset centres it goes as far as the bar leaves room for their holes: 0.02 to find the
    // axis, 0.01 for the slides and 0.01 for the drill at either end, 0.005 between the centres.
    let hung = made(&part("8"), &with(&[ThreeJaw, Centres], true));
    let turned = at(&hung, "turn body");
    assert!(matches!(held_at(&hung, "turn body"), Held::OffsetCentres { .. }), "{}", listed(&hung));
    for end in ["left", "right"] {
        let drilled = at(&hung, &format!("centre the {end} end for body"));
        assert!(drilled < turned && turned < at(&hung, &format!("turn {end} journal")), "{}", listed(&hung));
    }
    let why = format!("{:?}", hung.steps[turned].why);
    assert!(why.contains("comes within 0.045 mm"), "{why}");
    let none = refused("1", &[Centres]);
    assert!(none.contains("or by packing under one jaw of three"), "{none}");
}
