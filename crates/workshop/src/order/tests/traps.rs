//! The traps of the trade in small, and what the planner says of them.

use super::*;

/// A lever end: the clamp hole is drilled square from the top edge, which slitting
/// takes away; the bore is reamed; the end is rounded on the table or with buttons.
struct Lever {
    model: Model,
    hole: OpId,
    slit: OpId,
    ream: OpId,
}

fn lever() -> Lever {
    let mut m = Model::default();
    let edge = m.token("square top edge", Presence::Present);
    let bore = m.token("reamed bore", Presence::Absent);
    let mill = m.machine("mill");
    let mut setup = |name: &str, needs| {
        m.setup(Setup {
            name: name.into(),
            machine: mill,
            needs,
            minutes: 10,
            count: 1,
            sets: Sets::EachTime,
        })
    };
    let vice = setup("in the vice", vec![]);
    let located = Need::new(bore, "the plug locates the work on the table");
    let table = setup("on the rotary table", vec![located]);
    let [drill, reamer, saw, cutter, file] =
        ["drill", "reamer", "slitting saw", "end mill", "file"].map(|t| m.tool(t));
    let buttons = m.aid("pair of filing buttons");
    let end = m.group("how the end is rounded", &["rotary table", "filing buttons"]);
    let way = |setup, tool, minutes| vec![Way { setup, tool, minutes }];
    let op = |name: &str, ways| Operation { name: name.into(), ways, ..Operation::default() };
    let hole = m.operation(Operation {
        needs: vec![Need::new(edge, "the hole is drilled square from it")],
        ..op("drill the clamp hole", way(vice, drill, 5))
    });
    let ream = m.operation(Operation { makes: vec![bore], ..op("ream the bore", way(vice, reamer, 8)) });
    let slit = m.operation(Operation {
        spoils: vec![Spoil::new(edge, "the slit runs through it")],
        after: vec![After::Operation(ream, "a reamer catches in a slit".into())],
        ..op("slit the boss", way(vice, saw, 12))
    });
    let chosen = |variant| Some(Choice { group: end, variant });
    m.operation(Operation { choice: chosen(0), ..op("round the end", way(table, cutter, 20)) });
    m.operation(Operation {
        needs: vec![Need::new(bore, "the buttons are pinned through it")],
        aids: vec![buttons],
        choice: chosen(1),
        ..op("file the end to buttons", way(vice, file, 40))
    });
    Lever { model: m, hole, slit, ream }
}

fn names(model: &Model, plan: &Plan) -> Vec<String> {
    plan.steps.iter().map(|s| model.name(s.op).to_owned()).collect()
}

#[test]
fn one_setup_with_buttons_beats_two_with_the_table() {
    let Lever { model, .. } = lever();
    let plan = planned(&model);
    insta::assert_snapshot!(names(&model, &plan).join("; "), @"drill the clamp hole; ream the bore; slit the boss; file the end to buttons");
    assert_eq!(plan.tally, Tally { machine_changes: 0, setups: 1, tool_changes: 3, aids: 1, minutes: 75 });
    assert_eq!(plan.proof, Proof::Optimal);
}

#[test]
fn slitting_first_would_lose_the_edge_and_says_why() {
    let Lever { model, hole, slit, .. } = lever();
    let plan = planned(&model);
    let lost = would_lose(&model, &plan, slit, hole);
    let rules: Vec<Rule> = lost.iter().map(|b| b.rule).collect();
    assert_eq!(rules, [Rule::Needs(hole, 0), Rule::After(slit, 0)]);
    assert!(lost.iter().all(|b| b.culprit == Some(slit)));
    assert_eq!(
        lost[0].words,
        "`drill the clamp hole`: there is no square top edge left: `slit the boss` has taken it away \
         (the slit runs through it); it matters because the hole is drilled square from it"
    );
}

#[test]
fn what_is_already_done_stays_done() {
    let Lever { mut model, hole, ream, .. } = lever();
    model.start.done = vec![ream, hole];
    let plan = planned(&model);
    assert!(plan.steps.iter().all(|s| s.op != hole && s.op != ream));
    assert_eq!(plan.steps.len(), 2);
}

#[test]
fn slit_too_soon_and_the_hole_has_nothing_to_be_drilled_from() {
    let Lever { mut model, ream, slit, .. } = lever();
    model.start.done = vec![ream, slit];
    let Outcome::Impossible(conflict) = plan(&model, Effort::default()).unwrap() else {
        panic!("the hole cannot be drilled any more");
    };
    let words: Vec<String> = conflict.core.iter().map(|&rule| model.sentence(rule)).collect();
    assert!(conflict.least);
    insta::assert_snapshot!(words.join("\n"), @r"
    `drill the clamp hole` needs square top edge, because the hole is drilled square from it
    `slit the boss` takes away square top edge, because the slit runs through it
    ");
}

#[test]
fn a_pin_against_the_rules_names_the_ring() {
    let Lever { mut model, slit, ream, .. } = lever();
    model.pin(slit, ream);
    let Outcome::Impossible(conflict) = plan(&model, Effort::default()).unwrap() else {
        panic!("each is to come before the other");
    };
    assert_eq!(conflict.core, [Rule::After(ream, 0), Rule::After(slit, 0)]);
}

#[test]
fn a_plan_with_wrong_figures_is_refused() {
    let Lever { model, .. } = lever();
    let good = planned(&model);
    let mut dearer = good.clone();
    dearer.tally.minutes += 1;
    let mut twice = good.clone();
    twice.steps.push(good.steps[0]);
    let mut short = good.clone();
    short.steps.pop();
    for bad in [dearer, twice, short] {
        assert!(check(&model, &bad).is_err());
    }
}

#[test]
fn a_model_that_does_not_hang_together_is_a_problem() {
    let Lever { mut model, .. } = lever();
    model.operations[0].ways.clear();
    model.operations[1].makes.push(TokenId(9));
    let faults = plan(&model, Effort::default()).unwrap_err();
    let words: Vec<&str> = faults.iter().map(crate::problem::Problem::what).collect();
    assert_eq!(words, ["there is no way to do it", "token 9 does not exist"]);
}
