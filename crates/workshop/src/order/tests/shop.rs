//! The order of work of real parts.

use super::stand_in::order;
use crate::bench::{Bench, read_bench};
use crate::order::OrderOfWork;

pub(super) const LEVER: &str = include_str!("../../../../../examples/kittiwake/parts/valve-lever.toml");
pub(super) const COVER: &str = include_str!("../../../../../examples/kittiwake/parts/gear-cover.toml");
pub(super) const BRACKET: &str = include_str!("../../../../../examples/kittiwake/parts/pump-bracket.toml");
pub(super) const SPINDLE: &str = include_str!("../../../../../examples/kittiwake/parts/valve-spindle.toml");

pub(super) fn boathouse() -> Bench {
    read_bench("bench.toml", include_str!("../../../../../examples/kittiwake/bench.toml")).expect("it reads")
}

pub(super) fn made(text: &str, bench: &Bench) -> OrderOfWork {
    order(text, bench).unwrap_or_else(|faults| {
        panic!("{}", faults.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n"))
    })
}

/// The order as a sheet would list it.
pub(super) fn listed(order: &OrderOfWork) -> String {
    let mut lines = Vec::new();
    let mut last = usize::MAX;
    for step in &order.steps {
        if step.setup != last {
            last = step.setup;
            lines.push(format!("{:?}", order.setups[last]));
        }
        lines.push(format!("  {}", step.text));
    }
    lines.join("\n")
}

/// Where the first step that begins so stands.
pub(super) fn at(order: &OrderOfWork, text: &str) -> usize {
    let found = order.steps.iter().position(|step| step.text.starts_with(text));
    found.unwrap_or_else(|| panic!("no step `{text}` in\n{}", listed(order)))
}

/// Each precedes the next, wherever the rest stands.
pub(super) fn in_turn(order: &OrderOfWork, texts: &[&str]) {
    for pair in texts.windows(2) {
        assert!(at(order, pair[0]) < at(order, pair[1]), "{pair:?} in\n{}", listed(order));
    }
}

#[test]
fn the_lever_keeps_its_locators_until_they_have_served() {
    let order = made(LEVER, &boathouse());
    in_turn(
        &order,
        &["stick", "mill two edges", "drill pivot bore", "ream pivot bore", "round pivot boss", "part"],
    );
    in_turn(&order, &["ream rod bore", "round rod boss", "part", "mill arm step"]);
    for hand in ["right", "left"] {
        let of = |text: &str| format!("{text} ({hand} hand)");
        let texts = [
            "drill clamp screw 2.5 mm",
            "open clamp screw to 3.3 mm as far as the slit",
            "tap clamp screw M3",
            "saw clamp slit",
        ]
        .map(of);
        in_turn(&order, &texts.each_ref().map(String::as_str));
    }
}

#[test]
fn the_other_examples_are_made_from_their_locators() {
    let bench = boathouse();
    in_turn(
        &made(COVER, &bench),
        &["mill two edges", "drill shaft bore", "tap oil hole", "round the outside"],
    );
    in_turn(
        &made(BRACKET, &bench),
        &["mill two edges", "mill the other two", "drill pump bore", "ream pump bore"],
    );
    in_turn(
        &made(SPINDLE, &bench),
        &["face the right end", "turn tail", "part off", "turn guide", "drill cotter hole"],
    );
}
