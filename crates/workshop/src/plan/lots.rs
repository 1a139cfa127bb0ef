//! Which pieces lie in a setup, in words.

use crate::drawing::Drawing;
use crate::order::work::{Holding, Lots};
use crate::order::{Joined, Pieces};

/// Which pieces lie in the setup.
pub fn pieces(drawing: &Drawing, holding: &Holding) -> String {
    match holding.pieces {
        Pieces::Single => String::new(),
        Pieces::One(hand) => hand.words().into(),
        Pieces::Stack(lots) => stacks(lots, opposite(drawing)) + &beside(lots, "stacks "),
        Pieces::Each(lots) => {
            let of = match lots.hand.words() {
                "" => String::new(),
                hand => format!(" of the {hand}"),
            };
            match (lots.pieces, lots.beside) {
                (all, 1) if lots.high == all => format!("all {all}{of}, face to face"),
                (all, 1) if lots.high > 1 => {
                    format!("{all}{of}, {} face to face at a time: {} times", lots.high, lots.fills())
                }
                (2, 1) => format!("each of the two{of}, one after the other"),
                (2, _) => format!("the two{of}, side by side"),
                (all, 1) => format!("each of {all}{of}, one after another"),
                (all, n) if n == all => format!("all {all}{of}, side by side"),
                (all, _) => format!("{all}{of}{}", beside(lots, "")),
            }
        }
        Pieces::Both(lots) if lots.fills() == 1 && lots.pieces == 2 => {
            let [first, other] = hands(drawing);
            let lie = if lots.high > 1 { "face to face" } else { "side by side" };
            format!("the {first} and the {other}, {lie}")
        }
        Pieces::Both(lots) if lots.high > 1 => {
            format!("both hands, {} face to face at a time: {} times", lots.high, lots.fills())
        }
        Pieces::Both(lots) => {
            let [first, other] = hands(drawing);
            format!("the {first} and the {other} by turns{}", beside(lots, ""))
        }
        Pieces::Joint { lots, which } => {
            let words = drawing.together[which].words();
            match lots.pieces {
                1 => words,
                all => format!("each of {all}, {words}"),
            }
        }
    }
}

/// Both hands in words, the drawn one first.
fn hands(drawing: &Drawing) -> [&'static str; 2] {
    [0, 1].map(|n| drawing.hands.get(n).map_or("", |hand| hand.words()))
}

/// `the pair, stuck back to back`, `6 in stacks of 3, stuck front to back`.
fn stacks(lots: Lots, opposite: bool) -> String {
    let held = if lots.joined == Joined::Screwed { "clamped or screwed" } else { "stuck" };
    let how = match (opposite, lots.high) {
        (true, 2) => format!("{held} back to back"),
        (true, _) => format!("the hands by turns, {held} back to back and front to front"),
        (false, _) => format!("{held} front to back"),
    };
    let (all, high, number) = (lots.pieces, lots.high, lots.stacks());
    match (number, lots.lowest() == high) {
        (1, _) if high == 2 => format!("the pair, {how}"),
        (1, _) => format!("all {all}, {how}"),
        (_, true) if high == 2 => format!("{all} in pairs, {how}: each of {number} pairs"),
        (_, true) => format!("{all} in stacks of {high}, {how}: each of {number} stacks"),
        (_, false) => {
            let (tall, low) = (lots.tallest(), number - lots.tallest());
            let of = |stacks: u32, high: u32| match (stacks, high) {
                (1, 1) => "one piece by itself".to_owned(),
                (n, 1) => format!("{n} pieces by themselves"),
                (1, high) => format!("1 stack of {high}"),
                (n, high) => format!("{n} stacks of {high}"),
            };
            format!("{all} in {} and {}, {how}", of(tall, high), of(low, lots.lowest()))
        }
    }
}

/// `, 2 side by side at a time: 3 times`.
fn beside(lots: Lots, what: &str) -> String {
    match (lots.beside, lots.fills()) {
        (1, _) => String::new(),
        (n, 1) => format!(", {n} {what}side by side"),
        (n, fills) => format!(", {n} {what}side by side at a time: {fills} times"),
    }
}

/// True when the two wanted are mirror images.
fn opposite(drawing: &Drawing) -> bool {
    drawing.hands.len() == 2
}
