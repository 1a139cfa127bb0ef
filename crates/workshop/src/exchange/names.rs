//! What the features of an imported outline are called.

use super::cuts::Inner;
use super::recognise::{Stop, Turn};
use crate::geometry::{Bounds, Point};

/// A name for each corner and boss of an outline: by where it lies when there are
/// few enough for that to tell them apart, else by its number.
pub(super) fn corner_names(stops: &[Stop]) -> Vec<String> {
    let is_boss = |stop: &Stop| matches!(stop.turn, Turn::Boss(_));
    let all = stops.iter().fold(Bounds::of(stops[0].at), |bounds, stop| bounds.including(stop.at));
    let corners: Vec<&Stop> = stops.iter().filter(|stop| !is_boss(stop)).collect();
    let bosses: Vec<&Stop> = stops.iter().filter(|stop| is_boss(stop)).collect();
    let corner_words: Vec<String> = corners.iter().map(|stop| quarter(stop.at, all)).collect();
    let corners_told = corners.len() <= 4 && all_differ(&corner_words);
    let boss_words: Vec<&str> = match bosses[..] {
        [a, b] => sides(a.at, b.at).to_vec(),
        _ => Vec::new(),
    };
    let (mut corner, mut boss) = (0, 0);
    stops
        .iter()
        .map(|stop| match is_boss(stop) {
            true => {
                boss += 1;
                match (boss_words.get(boss - 1), bosses.len()) {
                    (Some(word), _) => format!("{word} boss"),
                    (None, 1) => "boss".to_owned(),
                    (None, _) => format!("boss {boss}"),
                }
            }
            false => {
                corner += 1;
                if corners_told {
                    format!("{} corner", corner_words[corner - 1])
                } else {
                    format!("corner {corner}")
                }
            }
        })
        .collect()
}

/// A name for each thing cut out: its kind, with a number where there are several.
pub(super) fn hole_names(inner: &[Inner]) -> Vec<String> {
    let word = |cut: &Inner| match cut {
        Inner::Hole(_) => "hole",
        Inner::Slot { .. } => "slot",
        Inner::CurvedSlot { .. } => "curved slot",
        Inner::Pocket { .. } => "pocket",
        Inner::Square { .. } => "square hole",
        Inner::Flatted { .. } => "flatted hole",
        Inner::Keyed { .. } => "keyed hole",
        Inner::Other { .. } => "opening",
    };
    (0..inner.len())
        .map(|index| {
            let own = word(&inner[index]);
            let count = inner.iter().filter(|cut| word(cut) == own).count();
            let number = inner[..=index].iter().filter(|cut| word(cut) == own).count();
            if count == 1 { own.to_owned() } else { format!("{own} {number}") }
        })
        .collect()
}

/// `no bosses`, `1 boss`, `3 bosses`.
pub(super) fn numbered(count: usize, one: &str, several: &str) -> String {
    match count {
        0 => format!("no {several}"),
        1 => format!("1 {one}"),
        count => format!("{count} {several}"),
    }
}

/// The quarter of some bounds that a point lies in.
fn quarter(at: Point, all: Bounds) -> String {
    let middle = (all.least + all.most).times(0.5);
    let up = if at.y_mm > middle.y_mm { "top" } else { "bottom" };
    let across = if at.x_mm > middle.x_mm { "right" } else { "left" };
    format!("{up} {across}")
}

fn sides(a: Point, b: Point) -> [&'static str; 2] {
    let way = b - a;
    let words = if way.x_mm.abs() >= way.y_mm.abs() { ["left", "right"] } else { ["bottom", "top"] };
    let forward = if way.x_mm.abs() >= way.y_mm.abs() { way.x_mm > 0.0 } else { way.y_mm > 0.0 };
    if forward { words } else { [words[1], words[0]] }
}

fn all_differ(words: &[String]) -> bool {
    words.iter().enumerate().all(|(i, word)| !words[..i].contains(word))
}
