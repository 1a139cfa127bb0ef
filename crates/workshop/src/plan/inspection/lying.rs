//! What has to lie square, parallel or flat: how it is tried with what is owned.

use super::running::{light, squared};
use super::{Asked, Rows};
use crate::drawing::{Body, Element, Keeps, Lies};
use crate::measure::Length;
use crate::order::Lying;
use crate::settings::measuring::reading::Limits;
use crate::settings::show::{mm, practice};
use crate::tables::instruments::Across;
use crate::why::Why;

pub(super) fn add(rows: &mut Rows) {
    let job = rows.job;
    for lying in &job.order.lying {
        let drawing = job.part.drawing;
        let word = |element: Element| element.called(drawing);
        let asked = |how: String| Asked {
            what: match lying.to {
                Some(to) => format!("{}: {} to {}", lying.of.word(drawing), lying.keeps.word(), word(to)),
                None => format!("{}: {}", lying.of.word(drawing), lying.keeps.word()),
            },
            size: lying.room,
            limits: Limits { least: Length::ZERO, greatest: lying.room },
            why: Why::new(lying.said.clone()).source("the drawing"),
            across: Across::Outside,
            how,
        };
        let flat = |element: Element| matches!(element.lies(&drawing.features), Some(Lies::Across(_)));
        match (lying.keeps, lying.to) {
            (Keeps::Flatness, _) | (_, None) => {
                moves(rows, &asked(level(lying, &word)), lying, lying.over);
            }
            (_, Some(_)) if matches!(drawing.body, Body::Turned { .. }) => {
                moves(rows, &asked(turned(lying, &word, &flat)), lying, lying.over);
            }
            (Keeps::Squareness, Some(to)) if flat(lying.of) && flat(to) && a_square_tells(rows, lying) => {
                let how = format!("a square stood on {}, its blade along {}", word(to), word(lying.of));
                squared(rows, &asked(how));
            }
            (_, Some(to)) => {
                let how = on_the_plate(lying, to, &word, &flat);
                moves(rows, &asked(how), lying, tried_over(lying, &flat));
            }
        }
    }
}

/// Whether a square tells it: light under its blade shows well before the zone is full, or
/// there is nothing finer.
fn a_square_tells(rows: &Rows, lying: &Lying) -> bool {
    let finer = rows.job.bench.plain_instrument("indicator").is_some();
    lying.room > light() && (lying.room > light() * 2 || !finer)
}

/// The least that a plug stands out, so that an indicator shows what there is to show.
fn plug_stands_out() -> Length {
    Length::mm(50)
}

/// The length that something is tried over: a plug stands out farther than a short hole is long.
fn tried_over(lying: &Lying, flat: &dyn Fn(Element) -> bool) -> Length {
    if flat(lying.of) { lying.over } else { lying.over.max(plug_stands_out()) }
}

/// What an indicator shows over so much: the zone's own width, and more where it goes farther.
fn moves(rows: &mut Rows, asked: &Asked, lying: &Lying, over: Length) {
    if !lying.over.is_positive() {
        return;
    }
    let most = lying.room.scaled(over.ratio_to(lying.over));
    let (words, rule) = match over == lying.over {
        true => (
            format!("the zone's {}", mm(lying.room)),
            format!("an indicator that goes over all of it, {}, shows the whole width of the zone", mm(over)),
        ),
        false => (
            format!("{} over {}", mm(most), mm(over)),
            format!(
                "what is out by {} over {} is out by as much more over {}",
                mm(lying.room),
                mm(lying.over),
                mm(over)
            ),
        ),
    };
    rows.moves_within(asked, most, words, practice(rule));
}

/// A face by itself, on a surface plate.
fn level(lying: &Lying, word: &dyn Fn(Element) -> String) -> String {
    format!(
        "on three packings on a surface plate, {} brought level above each; an indicator on its stand over all of it",
        word(lying.of)
    )
}

/// Two things of a plate or block, on a surface plate.
fn on_the_plate(
    lying: &Lying,
    to: Element,
    word: &dyn Fn(Element) -> String,
    flat: &dyn Fn(Element) -> bool,
) -> String {
    let (of, over) = (word(lying.of), mm(tried_over(lying, flat)));
    let plug = |name: &str| format!("a plug without shake in {name}, standing out {over}");
    match (lying.keeps, flat(lying.of), flat(to)) {
        (Keeps::Parallelism, true, true) => {
            format!("{} on a surface plate, an indicator on its stand over {of}", word(to))
        }
        (Keeps::Parallelism, false, true) => {
            format!("{} on a surface plate, {}; an indicator over both ends of it", word(to), plug(&of))
        }
        (Keeps::Parallelism, true, false) => {
            format!("{}, on two equal packings on a surface plate; an indicator over {of}", plug(&word(to)))
        }
        (Keeps::Parallelism, false, false) => format!(
            "{} on two equal packings on a surface plate, and {}; an indicator over both ends of that, and again turned a quarter",
            plug(&word(to)),
            plug(&of)
        ),
        (_, true, true) => {
            format!(
                "{} clamped to an angle plate on a surface plate, an indicator on its stand over {of}",
                word(to)
            )
        }
        (_, false, true) => format!(
            "{} clamped to an angle plate on a surface plate, {}; an indicator over both ends of it, and again turned a quarter",
            word(to),
            plug(&of)
        ),
        (_, true, false) => format!(
            "{} upright in a vee block or set to a square on a surface plate; an indicator over {of}",
            plug(&word(to))
        ),
        (_, false, false) => format!(
            "{} set upright to a square on a surface plate, and {}; an indicator over both ends of that",
            plug(&word(to)),
            plug(&of)
        ),
    }
}

/// Two things of turned work.
fn turned(lying: &Lying, word: &dyn Fn(Element) -> String, flat: &dyn Fn(Element) -> bool) -> String {
    let of = word(lying.of);
    match lying.to {
        Some(to) if flat(to) && flat(lying.of) => {
            format!("{} on a surface plate, an indicator on its stand over {of}", word(to))
        }
        Some(to) if flat(to) => {
            format!(
                "stood on {} on a surface plate, an indicator up and down {of}, a quarter turn apart",
                word(to)
            )
        }
        Some(to) if flat(lying.of) => format!(
            "turned in a vee block or on a mandrel by {}, against a stop; an indicator near the rim of {of} over one turn",
            word(to)
        ),
        Some(to) => format!(
            "{} in two vee blocks or between centres, an indicator along {of}, and again turned a quarter",
            word(to)
        ),
        None => of,
    }
}
