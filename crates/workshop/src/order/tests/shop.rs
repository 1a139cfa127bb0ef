//! The order of work of real parts.

use super::stand_in::order;
use crate::bench::{Bench, read_bench};
use crate::order::{OrderOfWork, Pieces};

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

/// What lies in a holding, in few words.
fn whose(pieces: Pieces) -> String {
    match pieces {
        Pieces::Stack(lots) if (lots.pieces, lots.high, lots.beside) == (2, 2, 1) => "Pair".into(),
        Pieces::Stack(lots) => format!("{} by {}, {} beside", lots.pieces, lots.high, lots.beside),
        Pieces::Each(lots) => format!("Each of {}, {} beside", lots.pieces, lots.beside),
        Pieces::Both(lots) => format!("Both hands, {} beside", lots.beside),
        other => format!("{other:?}"),
    }
}

/// The order as a sheet would list it.
pub(super) fn listed(order: &OrderOfWork) -> String {
    let mut lines = Vec::new();
    for (n, setup) in order.setups.iter().enumerate() {
        lines.push(format!("{:?}, {}, {:?} up", setup.machine, whose(setup.pieces), setup.up));
        lines
            .extend(order.steps.iter().filter(|step| step.setup == n).map(|step| format!("  {}", step.text)));
    }
    lines.join("\n")
}

#[test]
fn the_order_of_the_lever() {
    insta::assert_snapshot!(listed(&made(LEVER, &boathouse())), @r"
    BenchVice, Pair, Front up
      stick the two blanks together
    Mill, Pair, Bottom up
      mill two edges square
    Mill, Pair, Front up
      drill rod bore 4.9 mm
      drill pivot bore 7.8 mm
      ream rod bore 5 mm
      ream pivot bore 8 mm
      drill stop hole 2.3 mm
    RotaryTable, Pair, Front up
      round pivot boss on the rotary table
      mill the flanks of pivot boss and rod boss
    RotaryTable, Pair, Front up
      round rod boss on the rotary table
    BenchVice, Pair, Front up
      part the pair and clean it
    Mill, One(Right), Front up
      mill arm step down to 4.8 mm (right hand)
      drill spring anchor 1.6 mm (right hand)
      tap spring anchor M2 (right hand)
    Mill, One(Right), Top up
      drill clamp screw 2.5 mm (right hand)
      open clamp screw to 3.3 mm as far as the slit (right hand)
      tap clamp screw M3 (right hand)
      saw clamp slit (right hand)
    Mill, One(Left), Front up
      mill arm step down to 4.8 mm (left hand)
      drill spring anchor 1.6 mm (left hand)
      tap spring anchor M2 (left hand)
    Mill, One(Left), Top up
      drill clamp screw 2.5 mm (left hand)
      open clamp screw to 3.3 mm as far as the slit (left hand)
      tap clamp screw M3 (left hand)
      saw clamp slit (left hand)
    ");
}

#[test]
fn the_order_of_the_cover() {
    insta::assert_snapshot!(listed(&made(COVER, &boathouse())), @r"
    Mill, Single, Bottom up
      mill two edges square
    Mill, Single, Front up
      drill shaft bore 9.8 mm
      ream shaft bore 10 mm
      drill oil hole 2 mm
      drill cover hole 3.3 mm
      tap oil hole M2.5
    RotaryTable, Single, Front up
      round the outside on the rotary table
    ");
}

#[test]
fn the_order_of_the_bracket() {
    insta::assert_snapshot!(listed(&made(BRACKET, &boathouse())), @r"
    Mill, Single, Bottom up
      mill two edges square
      mill the other two edges to size
    Mill, Single, Front up
      drill pump bore 9.8 mm
      ream pump bore 10 mm
      mill strap slot
    Mill, Single, Top up
      drill lock screw 3.3 mm
      tap lock screw M4
    Mill, Single, Bottom up
      drill cross hole 4 mm
    ");
}

#[test]
fn the_order_of_the_spindle() {
    insta::assert_snapshot!(listed(&made(SPINDLE, &boathouse())), @r"
    Lathe, Single, Right up
      face the right end
      turn collar 11.1 mm
      turn tail 7.9 mm
      part off
    Lathe, Single, Left up
      face the left end
      centre the left end
      turn guide 6.4 mm
      turn nut end 4.92 mm
      thread nut end M5
    Mill, Single, Front up
      drill cotter hole 1.6 mm
    ");
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
