//! What a person says of the order of work: heeded, priced, or told why it cannot be.

use workshop::bench::{Bench, read_bench};
use workshop::drawing::{Part, read_drawing, solve};
use workshop::edit::{Change, Value, change};
use workshop::metric::metricate;
use workshop::order::{May, OrderOfWork, order_of_work};
use workshop::problem::{Outcome, Problem};

const LEVER: &str = include_str!("../../../examples/kittiwake/parts/valve-lever.toml");
const SPINDLE: &str = include_str!("../../../examples/kittiwake/parts/valve-spindle.toml");

fn boathouse() -> Bench {
    read_bench("bench.toml", include_str!("../../../examples/kittiwake/bench.toml")).expect("the bench reads")
}

fn ordered(text: &str) -> Outcome<OrderOfWork> {
    let (bench, drawing) = (boathouse(), read_drawing("part.toml", text)?);
    let solved = solve(&drawing)?;
    let metric = metricate(&drawing, &solved, &bench)?;
    let part = Part::as_drawn(&drawing, &solved).with_sizes(metric.sizes.clone());
    order_of_work(&part, &metric, &bench)
}

fn good(text: &str) -> OrderOfWork {
    ordered(text).unwrap_or_else(|faults| panic!("{}", told(&faults)))
}

fn told(faults: &[Problem]) -> String {
    faults.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n")
}

/// A flat with three holes of three sizes in a row.
fn strap(more: &str) -> String {
    let hole = |name: &str, size: &str, x: u32| {
        format!(
            "[[feature]]\nname = \"{name}\"\nkind = \"hole\"\ndiameter = \"{size}\"\n\
             place = [\"{x} right of datum\", \"10 above datum\"]\n"
        )
    };
    let holes =
        [hole("head", "3", 10), hole("waist", "4", 30), hole("foot", "5", 50), hole("eye", "2.5", 40)];
    format!(
        "part = \"Strap\"\nunit = \"mm\"\n[body]\nkind = \"rectangle\"\nwidth = \"60\"\nheight = \"20\"\n\
         thickness = \"4\"\ndatum = \"bottom left\"\n{}{more}",
        holes.concat()
    )
}

/// Where a step stands.
fn at(order: &OrderOfWork, call: &str) -> usize {
    let found = order.steps.iter().position(|step| step.call == call);
    found.unwrap_or_else(|| {
        panic!("no `{call}` in {:?}", order.steps.iter().map(|s| &s.call).collect::<Vec<_>>())
    })
}

fn line_of(text: &str, words: &str) -> usize {
    1 + text.lines().position(|line| line.contains(words)).expect("the words stand in the text")
}

#[test]
fn an_operation_is_called_by_its_work_and_feature_whatever_its_size() {
    let order = good(LEVER);
    for step in &order.steps {
        let sized = step.call.chars().any(|c| c.is_ascii_digit());
        assert!(!sized, "{}", step.call);
    }
    let mut calls: Vec<&str> = order.steps.iter().map(|step| step.call.as_str()).collect();
    calls.sort_unstable();
    calls.dedup();
    assert_eq!(calls.len(), order.steps.len(), "each has a call of its own");
    assert!(at(&order, "open clamp screw (left hand)") > at(&order, "drill clamp screw (left hand)"));
}

#[test]
fn what_is_done_is_left_out_and_what_it_took_is_done_too() {
    let all = good(&strap(""));
    let text = strap("[order]\ndone = [\"mill the other two edges to size\", \"drill waist\"]\n");
    let rest = good(&text);
    assert!(rest.done.iter().any(|done| done.call == "mill two edges square"));
    assert!(rest.done.iter().all(|done| !done.call.contains("head")));
    assert_eq!(rest.steps.len() + rest.done.len(), all.steps.len());
    assert!(rest.steps.iter().all(|step| step.call != "drill waist"));
    // With whose metal it is: a pair that was reamed as one was drilled, and stuck.
    let lever = good(&format!("{LEVER}\n[order]\ndone = [\"ream pivot bore (the pair)\"]\n"));
    let done: Vec<&str> = lever.done.iter().map(|done| done.call.as_str()).collect();
    for call in [
        "stick the two blanks together (the pair)",
        "drill pivot bore (the pair)",
        "ream pivot bore (the pair)",
    ] {
        assert!(done.contains(&call), "{call} in {done:?}");
    }
    assert!(!done.contains(&"drill rod bore (the pair)"), "{done:?}");
}

#[test]
fn the_line_of_a_sheet_names_its_operation_even_with_another_size() {
    let text = strap("[order]\ndone = [\"Drill waist 4.1 mm\"]\n");
    assert_eq!(good(&text).done[0].call, "drill waist");
}

#[test]
fn a_wish_is_heeded_though_it_goes_against_a_habit_and_is_priced() {
    let free = good(&strap(""));
    assert!(at(&free, "drill head") < at(&free, "drill foot"), "the smaller goes first by habit");
    let text =
        strap("[order]\nwanted = [\"drill foot before drill head\", \"drill eye after drill waist\"]\n");
    let order = good(&text);
    assert!(at(&order, "drill foot") < at(&order, "drill head"));
    assert!(at(&order, "drill waist") < at(&order, "drill eye"));
    assert_eq!(order.wishes.len(), 2);
    assert!(
        order.wishes.iter().all(|wish| wish.cost.is_some_and(|cost| cost.setups == 0 && cost.minutes == 0))
    );
    assert_eq!(order.free, Some(free.uses));
}

/// What is wanted of both hands is wanted of each: neither waits for the other.
#[test]
fn a_wish_that_names_no_hand_holds_within_each() {
    let order = good(&format!(
        "{LEVER}\n[order]\nwanted = [\"never stuck together\", \"drill stop hole before drill rod bore\"]\n"
    ));
    for hand in ["right", "left"] {
        let place = |what: &str| at(&order, &format!("{what} ({hand} hand)"));
        assert!(place("drill stop hole") < place("drill rod bore"));
    }
}

/// A reamer before its drill cannot be had by making the two hands apart either.
#[test]
fn a_wish_is_not_got_round_by_doing_the_same_work_another_way() {
    let wish = "ream pivot bore (the pair) before drill pivot bore (the pair)";
    let faults =
        ordered(&format!("{LEVER}\n[order]\nwanted = [\"{wish}\"]\n")).expect_err("a reamer follows");
    let why = faults[0].reason().unwrap_or_default();
    assert!(why.contains("a reamer or boring tool only brings a drilled hole to size"), "{why}");
}

/// Two hands made apart go through holdings that a stuck pair goes through once.
#[test]
fn going_about_it_another_way_is_wished_for_and_costs_setups() {
    let stuck = good(LEVER);
    let taken = |order: &OrderOfWork| order.choices.iter().map(|c| c.taken.clone()).collect::<Vec<_>>();
    assert!(taken(&stuck).contains(&"stuck together".to_owned()));
    let order = good(&format!("{LEVER}\n[order]\nwanted = [\"never stuck together\"]\n"));
    assert!(order.steps.iter().all(|step| !step.text.starts_with("stick")));
    let cost = order.wishes[0].cost.expect("it is priced");
    assert_eq!(cost, order.uses.more_than(&stuck.uses));
    assert!(cost.setups > 0, "{cost:?}");
    for end in ["left", "right"] {
        let order = good(&format!("{SPINDLE}\n[order]\nwanted = [\"{end} end first\"]\n"));
        assert_eq!(order.steps[0].call, format!("face the {end} end"));
    }
}

#[test]
fn a_wish_that_cannot_be_names_its_line_the_rules_and_the_way_out() {
    let text = format!(
        "{LEVER}\n[order]\nwanted = [\n  \"saw clamp slit before drill clamp screw\",\n  \"drill stop hole before drill rod bore\",\n]\n"
    );
    let faults = ordered(&text).expect_err("a slit leaves nothing to drill from");
    let (why, mend) = (faults[0].reason().unwrap_or_default(), faults[0].remedy().unwrap_or_default());
    let line = line_of(&text, "saw clamp slit before");
    assert!(faults[0].place().contains(&format!("line {line}")), "{}", faults[0]);
    assert!(why.contains(&format!("(line {line})")) && why.contains("slit"), "{why}");
    assert!(!why.contains("stop hole"), "only what is in conflict is named: {why}");
    assert!(
        mend.contains("take back `saw clamp slit before drill clamp screw`") && mend.contains("setups"),
        "{mend}"
    );
    // What it says is true: without that wish there is an order.
    let without = text.replace("  \"saw clamp slit before drill clamp screw\",\n", "");
    let order = good(&without);
    assert!(mend.contains(&order.uses.words()), "{mend} / {}", order.uses.words());
}

#[test]
fn of_wishes_in_a_ring_every_one_is_named_and_taking_any_back_helps() {
    let ring =
        ["drill head before drill waist", "drill waist before drill foot", "drill foot before drill head"];
    let list = |wishes: &[&str]| {
        let lines: Vec<String> = wishes.iter().map(|wish| format!("  \"{wish}\",\n")).collect();
        strap(&format!("[order]\nwanted = [\n{}]\n", lines.concat()))
    };
    let all = ["drill eye before drill head", ring[0], ring[1], ring[2]];
    let text = list(&all);
    let faults = ordered(&text).expect_err("each is to come before the next");
    let (why, mend) = (faults[0].reason().unwrap_or_default(), faults[0].remedy().unwrap_or_default());
    for wish in ring {
        let line = line_of(&text, wish);
        assert!(why.contains(&format!("`{wish}` is wanted (line {line})")), "{why}");
        assert!(mend.contains(&format!("take back `{wish}` (line {line})")), "{mend}");
        good(&list(&all.iter().copied().filter(|other| *other != wish).collect::<Vec<_>>()));
    }
    assert!(!why.contains("eye"), "{why}");
}

#[test]
fn done_too_soon_is_told_and_a_slip_of_the_pen_is_corrected() {
    let text = format!("{LEVER}\n[order]\ndone = [\"saw clamp slit (right hand)\"]\n");
    let faults = ordered(&text).expect_err("nothing is left to drill the clamp screw from");
    let why = faults[0].reason().unwrap_or_default();
    assert!(why.contains("`saw clamp slit (right hand)` is done"), "{why}");
    for (key, words, near) in [
        ("done", "drill pivt bore", "drill pivot bore"),
        ("wanted", "drill stop hole before reem pivot bore", "ream pivot bore"),
        ("wanted", "left end frist", "end"),
    ] {
        let text = format!("{LEVER}\n[order]\n{key} = [\"{words}\"]\n");
        let faults = ordered(&text).expect_err("nothing is called so");
        assert!(faults[0].place().contains(&format!("line {}", line_of(&text, words))), "{}", faults[0]);
        if near != "end" {
            assert!(faults[0].remedy().unwrap_or_default().contains(near), "{}", faults[0]);
        }
    }
}

#[test]
fn a_feature_that_is_renamed_is_renamed_in_what_is_asked() {
    let text = strap(
        "[order]\n# the foot is the datum of the next part\nwanted = [\"drill foot before drill head\"]\n",
    );
    let renamed =
        change(&text, &Change::Rename { from: "foot".into(), to: "heel end".into() }).expect("it has a name");
    assert!(renamed.contains("wanted = [\"drill heel end before drill head\"]"), "{renamed}");
    assert!(renamed.contains("# the foot is the datum"), "comments stay");
    good(&renamed);
    // A wish is put into a file that has none, and taken out again.
    let wish = Value::text("drill foot before drill head");
    let added = change(&strap(""), &Change::Include { at: "order/wanted".into(), item: wish.clone() })
        .expect("it is put in");
    assert_eq!(good(&added).wishes.len(), 1);
    let gone =
        change(&added, &Change::Exclude { at: "order/wanted".into(), item: wish }).expect("it is taken out");
    assert!(good(&gone).wishes.is_empty());
}

/// Of any two steps it is said whether they may change places, both ways alike; and no
/// step may go where the account of its room says that something is lost.
#[test]
fn for_any_two_steps_it_is_said_whether_they_may_change_places() {
    let order = good(LEVER);
    let last = order.steps.len();
    let (mut yes, mut no) = (0, 0);
    for one in 0..last {
        for other in one + 1..last {
            let said = order.may_change_places(one, other);
            assert_eq!(said, order.may_change_places(other, one));
            match said {
                May::Yes { .. } => yes += 1,
                May::No(reasons) => {
                    assert!(
                        !reasons.is_empty()
                            && reasons.iter().all(|words| {
                                ["`: ", "needs", "two holdings: "].iter().any(|told| words.contains(told))
                            }),
                        "{reasons:?}"
                    );
                    no += 1;
                }
            }
        }
        let room = order.room(one);
        assert!(room.earliest <= one && one <= room.latest);
        assert_eq!(room.not_earlier.is_empty(), room.earliest == 0);
        assert_eq!(room.not_later.is_empty(), room.latest + 1 == last);
    }
    assert!(yes > 10 && no > 100, "{yes} may, {no} may not");
    // A slit opens the bore that is reamed: never before, whatever else moves.
    let (ream, slit) = (at(&order, "ream pivot bore (the pair)"), at(&order, "saw clamp slit (right hand)"));
    assert!(matches!(order.may_change_places(ream, slit), May::No(_)));
    // Drills of two sizes in one holding may, against the habit of the rack alone.
    let drills = (at(&order, "drill rod bore (the pair)"), at(&order, "drill pivot bore (the pair)"));
    let May::Yes { cost, against } = order.may_change_places(drills.0, drills.1) else { panic!("they may") };
    assert!(cost.setups == 0 && against.iter().any(|words| words.contains("rack")), "{cost:?} {against:?}");
}
