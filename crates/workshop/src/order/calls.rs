//! What operations are called where the name has to last: in the part file.
//!
//! A sheet says `drill pivot bore 7.8 mm (right hand)`. The size goes with the tools
//! that are chosen, and its number with the order; what stays is the work, the feature
//! and whose metal it is: `drill pivot bore (right hand)`. That is a step's *call*.

use super::deed::{Deed, Job, Lot, Makings};
use super::work::Work;

/// The calls of all deeds, one for each, none twice.
pub(super) fn calls(job: &Job, makings: &Makings) -> Vec<String> {
    let parts: Vec<(String, String)> =
        makings.deeds.iter().map(|deed| (call(job, deed), whose(job, deed))).collect();
    // Steps of one hole drilled again and again are told apart by which it is.
    let called = |(n, part): (usize, &(String, String))| {
        let (plain, whose) = part;
        match parts[..n].iter().filter(|earlier| *earlier == part).count() {
            0 => format!("{plain}{whose}"),
            before => format!("{plain}, time {}{whose}", before + 1),
        }
    };
    parts.iter().enumerate().map(called).collect()
}

/// The deeds that words name: a call, with or without whose metal it is; the line of a
/// sheet, whatever its sizes; or a feature, for all that is done for it.
pub(super) fn named(job: &Job, makings: &Makings, calls: &[String], words: &str) -> Vec<usize> {
    let wanted = folded(words);
    let every = || 0..makings.deeds.len();
    let tries: [&dyn Fn(usize) -> bool; 4] = [
        &|n| folded(&calls[n]) == wanted,
        &|n| folded(calls[n].split(" (").next().unwrap_or_default()) == wanted,
        &|n| {
            let deed = &makings.deeds[n];
            let line = super::build::name(job, deed);
            like(&folded(&line), &wanted) || like(&folded(&deed.text), &wanted)
        },
        &|n| makings.deeds[n].feature.is_some_and(|id| folded(job.name(id)) == wanted),
    ];
    tries
        .iter()
        .map(|holds| every().filter(|&n| holds(n)).collect())
        .find(|found: &Vec<usize>| !found.is_empty())
        .unwrap_or_default()
}

/// Small letters, one space between words, no quotes.
pub(super) fn folded(words: &str) -> String {
    words.replace(['`', '"'], "").split_whitespace().collect::<Vec<_>>().join(" ").to_lowercase()
}

/// Whether two lines say the same but for sizes.
fn like(line: &str, wanted: &str) -> bool {
    let sized = |word: &str| word.chars().any(|c| c.is_ascii_digit());
    let (line, wanted): (Vec<&str>, Vec<&str>) = (line.split(' ').collect(), wanted.split(' ').collect());
    line.len() == wanted.len() && line.iter().zip(wanted).all(|(a, b)| *a == b || (sized(a) && sized(b)))
}

/// An operation without its sizes and without whose metal it is.
fn call(job: &Job, deed: &Deed) -> String {
    let text = &deed.text;
    let whole = match deed.work {
        Work::FaceToThickness => return "face to thickness".into(),
        Work::MillSide { .. }
        | Work::StepArc { .. }
        | Work::TurnArc { .. }
        | Work::FileSide { .. }
        | Work::FileRidges { .. }
        | Work::MillFlanks { .. }
        | Work::FileFlanks { .. } => true,
        _ => false,
    };
    let name = deed.feature.map_or("", |id| job.name(id));
    match text.find(name).filter(|_| !whole && !name.is_empty()) {
        Some(at) => {
            let (to_name, after) = text.split_at(at + name.len());
            format!("{to_name}{}", without_sizes(after))
        }
        None => text.clone(),
    }
}

/// Words up to the first size, and up to the word that leads to it.
fn without_sizes(after: &str) -> String {
    const LEADING: &[&str] = &["down", "to", "from", "for", "the", "No.", "letter"];
    let words: Vec<&str> = after.split_whitespace().collect();
    let size = words.iter().position(|word| word.chars().any(|c| c.is_ascii_digit()) || *word == "letter");
    let mut kept = &words[..size.unwrap_or(words.len())];
    if size.is_some() {
        while let Some((last, rest)) = kept.split_last()
            && LEADING.contains(last)
        {
            kept = rest;
        }
    }
    let kept = kept.iter().map(|word| format!(" {word}")).collect::<String>();
    kept.trim_end_matches(',').to_owned()
}

/// Whose metal it is, where that has to be said.
fn whose(job: &Job, deed: &Deed) -> String {
    let scheme = job.scheme;
    match deed.lot {
        Lot::Stack if scheme.high == 2 => " (the pair)".into(),
        Lot::Stack => " (the stack)".into(),
        Lot::Piece(piece) if scheme.both_hands() => {
            job.part.drawing.hands.get(piece).map_or(String::new(), |hand| format!(" ({})", hand.words()))
        }
        Lot::Piece(_) if scheme.sticks() => " (each piece)".into(),
        Lot::Piece(_) | Lot::Both | Lot::Joint(_) => String::new(),
    }
}
