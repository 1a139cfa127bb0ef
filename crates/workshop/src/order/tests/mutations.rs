//! Certificates with one thing wrong in them: the checker refuses each, and no other.
//!
//! Whether a changed order still keeps the rules is found a second way: from the places
//! that operations have in it, and from what each token is at each of them.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;

use super::planned;
use super::rule_parts::{OVERHUNG, THROWN};
use super::shop::boathouse;
use super::stand_in::with_part;
use super::variations::feature;
use crate::order::deed::Job;
use crate::order::{After, Model, OpId, Plan, Presence, Step, answer, build, check};
use proptest::prelude::*;

/// Whether steps keep every rule of a model, by the places of the operations.
fn keeps(model: &Model, steps: &[Step]) -> bool {
    let place: BTreeMap<usize, usize> = steps.iter().enumerate().map(|(n, step)| (step.op.0, n)).collect();
    // What a token is before each step: as it was, until the last step that changed it.
    let there = |token: usize, before: usize| {
        let change = steps[..before].iter().rev().find_map(|step| {
            let op = &model.operations[step.op.0];
            let made = op.makes.iter().any(|t| t.0 == token);
            let lost = op.spoils.iter().any(|s| s.token.0 == token);
            (made || lost).then_some(made)
        });
        change.unwrap_or(model.tokens[token].at_start == Presence::Present)
    };
    steps.iter().enumerate().all(|(n, step)| {
        let op = &model.operations[step.op.0];
        let setup = &model.setups[op.ways[step.way].setup.0];
        let needs = setup.needs.iter().chain(&op.needs).all(|need| there(need.token.0, n));
        let clear = op.needs_absent.iter().all(|need| !there(need.token.0, n));
        let late = op.after.iter().all(|after| match after {
            After::Operation(OpId(early), _) => place.get(early).is_none_or(|&at| at < n),
            After::Group(group, _) => steps[n..]
                .iter()
                .all(|later| model.operations[later.op.0].choice.is_none_or(|choice| choice.group != *group)),
        });
        needs && clear && late
    }) && agree(model, steps)
}

/// Whether the operations that have to agree do: nothing stands between the two of them but
/// steps of the same holding, or their ways agree whatever does.
fn agree(model: &Model, steps: &[Step]) -> bool {
    let setup = |step: &Step| model.operations[step.op.0].ways[step.way].setup;
    model.agreements.iter().all(|agreement| {
        let at = agreement.ops.map(|op| steps.iter().position(|step| step.op == op));
        let [Some(one), Some(other)] = at else { return true };
        let between = &steps[one.min(other)..=one.max(other)];
        let stayed = between.iter().all(|step| setup(step) == setup(&steps[one]));
        (agreement.in_one && stayed) || agreement.apart.contains(&[steps[one].way, steps[other].way])
    })
}

/// What was found of the changed orders of one certificate.
#[derive(Default)]
struct Found {
    swaps_refused: usize,
    swaps_taken: usize,
}

/// Every change of a certificate that is one step wrong.
fn tried(model: &Model, plan: &Plan, found: &mut Found) {
    let refused = |steps: Vec<Step>, figures: bool| {
        let mut changed = Plan { steps, ..plan.clone() };
        if figures {
            // The figures are made to fit, so that only rules are asked about.
            changed.tally = check::tally(model, &changed.steps);
            changed.score = changed.tally.score(&model.weights());
            changed.proof = crate::order::Proof::Optimal;
        }
        check::check(model, &changed).is_err()
    };
    for n in 0..plan.steps.len().saturating_sub(1) {
        let mut steps = plan.steps.clone();
        steps.swap(n, n + 1);
        let keeps = keeps(model, &steps);
        let names = (model.name(plan.steps[n].op), model.name(plan.steps[n + 1].op));
        assert_eq!(refused(steps, true), !keeps, "{names:?} changed");
        if keeps { found.swaps_taken += 1 } else { found.swaps_refused += 1 }
    }
    for n in 0..plan.steps.len() {
        let name = model.name(plan.steps[n].op);
        let mut dropped = plan.steps.clone();
        dropped.remove(n);
        assert!(refused(dropped, true), "{name} dropped");
        let mut doubled = plan.steps.clone();
        doubled.insert(n, plan.steps[n]);
        assert!(refused(doubled, true), "{name} doubled");
        let ways = model.operations[plan.steps[n].op.0].ways.len();
        for way in (0..=ways).filter(|&way| way != plan.steps[n].way) {
            let mut other = plan.steps.clone();
            other[n].way = way;
            if way == ways {
                assert!(refused(other, false), "{name} in a way that it does not have");
                continue;
            }
            assert_eq!(refused(other.clone(), true), !keeps(model, &other), "{name} in another way");
            // With the figures of the way it had, it passes only where they are the same.
            if check::tally(model, &other) != plan.tally {
                assert!(refused(other, false), "{name} with the figures of another way");
            }
        }
    }
}

/// Every model that a part file leads to.
fn models(text: &str, each: &mut dyn FnMut(&Model)) {
    let bench = boathouse();
    with_part(text, &bench, |part, metric| {
        let schemes = answer::ways_about(part, metric, &bench);
        for (scheme, first) in schemes {
            let job = Job { part, metric, bench: &bench, scheme };
            let makings = answer::makings(&job, first);
            let Ok(makings) = makings else { continue };
            each(&build::model(&job, &makings).0);
        }
    });
}

#[test]
fn a_certificate_of_any_example_with_one_step_wrong_is_refused() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../examples/kittiwake/parts");
    let mut files: Vec<_> =
        fs::read_dir(folder).expect("there are examples").map(|f| f.unwrap().path()).collect();
    files.sort();
    let (mut found, mut certificates) = (Found::default(), 0);
    for file in files {
        let text = fs::read_to_string(&file).expect("an example is text");
        models(&text, &mut |model| {
            // What cannot be planned in one way has a plan in another.
            if let Ok(crate::order::Outcome::Planned(plan)) =
                crate::order::plan(model, crate::order::search::Effort { states: 50_000, beam: 1 })
            {
                tried(model, &plan, &mut found);
                certificates += 1;
            }
        });
    }
    assert!(certificates >= 16, "only {certificates} certificates");
    assert!(
        found.swaps_refused > 50 && found.swaps_taken > 20,
        "{} and {}",
        found.swaps_refused,
        found.swaps_taken
    );
}

/// Cranks with one step wrong; and a journal turned before its throw is refused by that rule.
#[test]
fn a_certificate_of_a_crank_with_its_journal_turned_first_is_refused() {
    let mut first = 0;
    for text in [THROWN, OVERHUNG] {
        models(text, &mut |model| {
            // What cannot be planned in one way has a plan in another.
            let effort = crate::order::search::Effort { states: 50_000, beam: 1 };
            let Ok(crate::order::Outcome::Planned(plan)) = crate::order::plan(model, effort) else { return };
            tried(model, &plan, &mut Found::default());
            let at = |start: &str| plan.steps.iter().position(|s| model.name(s.op).starts_with(start));
            let (Some(pin), Some(journal)) = (at("turn crank pin"), at("turn right journal")) else { return };
            let mut steps = plan.steps.clone();
            let early = steps.remove(journal);
            steps.insert(pin, early);
            let broken = check::check(model, &Plan { steps, ..plan.clone() }).unwrap_err();
            let said = format!("{broken:?}");
            assert!(said.contains("turned thin first"), "{said}");
            first += 1;
        });
    }
    assert!(first >= 2, "{first}");
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(12))]

    #[test]
    fn a_certificate_of_any_plate_with_one_step_wrong_is_refused(
        features in prop::collection::vec((0usize..7, 5i32..95, 5i32..55), 1..8),
        head in prop::sample::select(vec!["", "make = 2", "hands = [\"right\", \"left\"]"]),
    ) {
        let mut text = format!(
            "part = \"plate\"\nunit = \"mm\"\n{head}\n[body]\nkind = \"rectangle\"\nwidth = \"100\"\nheight = \"60\"\nthickness = \"8\"\n"
        );
        for (n, &f) in features.iter().enumerate() {
            text += &feature(n, f);
        }
        models(&text, &mut |model| tried(model, &planned(model), &mut Found::default()));
    }
}

/// A block in both hands, squared face to face, with steps that may be cut from either of their sides.
#[test]
fn a_certificate_of_stepped_blocks_with_one_step_wrong_is_refused() {
    let mut text = "part = \"Stop\"\nunit = \"mm\"\nhands = [\"right\", \"left\"]\n[body]\nkind = \"rectangle\"\nwidth = 34\nheight = 24\nthickness = 12\n".to_owned();
    for (name, face, leaves, side, place) in [
        ("ledge", "front", 8, "right", "26 from left edge"),
        ("heel", "top", 18, "front", "5 in front of back face"),
        ("toe", "left", 28, "back", "7 in front of back face"),
    ] {
        text += &format!(
            "[[feature]]\nname = \"{name}\"\nkind = \"step\"\nface = \"{face}\"\nleaves = {leaves}\nside = \"{side}\"\nplace = [\"{place}\"]\n"
        );
    }
    text += "[[feature]]\nname = \"eye\"\nkind = \"hole\"\ndiameter = 4\nplace = [\"14 right of datum\", \"9 above datum\"]\n";
    let (mut found, mut either) = (Found::default(), 0);
    models(&text, &mut |model| {
        let effort = crate::order::search::Effort { states: 50_000, beam: 1 };
        let Ok(crate::order::Outcome::Planned(plan)) = crate::order::plan(model, effort) else { return };
        either += model
            .groups
            .iter()
            .filter(|group| group.variants.iter().any(|way| way.contains("its side")))
            .count();
        tried(model, &plan, &mut found);
    });
    assert!(
        either > 0 && found.swaps_refused > 5 && found.swaps_taken > 5,
        "{either}, {}",
        found.swaps_refused
    );
}

/// Six of a part with one step wrong in its pieces: each is refused.
#[test]
fn a_certificate_that_leaves_a_piece_out_is_refused() {
    let mut tried = 0;
    for (head, count) in [("make = 6", 6), ("hands = [\"right\", \"left\"]\nmake = 2", 4), ("make = 7", 7)] {
        models(&small_plate(head), &mut |model| {
            let plan = planned(model);
            assert_eq!(model.pieces, count);
            assert!(check::check(model, &plan).is_ok());
            let refused = |change: &dyn Fn(&mut Model), what: &str| {
                let mut other = model.clone();
                change(&mut other);
                assert!(check::check(&other, &plan).is_err(), "{head}: {what}");
            };
            for step in &plan.steps {
                let op = step.op.0;
                let mine = model.operations[op].pieces.clone();
                for (at, &piece) in mine.iter().enumerate() {
                    refused(&|m| m.operations[op].pieces.retain(|one| *one != piece), "a piece dropped");
                    refused(&|m| m.operations[op].pieces[at] = (piece + 1) % count, "a piece for another");
                    tried += 2;
                }
                refused(&|m| m.operations[op].pieces.clear(), "nothing is cut");
                let setup = model.operations[op].ways[step.way].setup.0;
                refused(&|m| drop(m.fills[setup].pop()), "a filling left out");
                refused(&|m| m.fills[setup][0].retain(|one| *one != mine[0]), "one that lies in no filling");
                refused(&|m| m.fills[setup][0].push(mine[0]), "a piece that lies in two");
                refused(&|m| m.setups[setup].count += 1, "counted once too often");
            }
        });
    }
    assert!(tried > 200, "{tried}");
}

fn small_plate(head: &str) -> String {
    let mut text = format!(
        "part = \"plate\"\nunit = \"mm\"\n{head}\n[body]\nkind = \"rectangle\"\nwidth = \"30\"\nheight = \"24\"\nthickness = \"4\"\n"
    );
    for (n, (what, at)) in
        [("", "8"), ("depth = \"2\"", "15"), ("finish = \"reamed\"", "22")].iter().enumerate()
    {
        text += &format!(
            "[[feature]]\nname = \"f{n}\"\nkind = \"hole\"\ndiameter = \"4\"\n{what}\nplace = [\"{at} right of datum\", \"12 above datum\"]\n"
        );
    }
    text
}
