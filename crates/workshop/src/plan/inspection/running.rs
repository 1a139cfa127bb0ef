//! What is square, and what runs true.

use super::{Asked, Rows};
use crate::drawing::{Body, Kind};
use crate::measure::Length;
use crate::settings::measuring::reading::Limits;
use crate::settings::show::{mm, practice};
use crate::tables::general_tolerance::{Class, squareness};
use crate::tables::instruments::Across;
use crate::why::Why;

/// What a true blade against the light shows, either way; common practice.
pub(super) fn light() -> Length {
    Length::microns(20)
}

pub(super) fn add(rows: &mut Rows) {
    edges(rows);
    shoulders(rows);
    true_running(rows);
}

/// The edges of a rectangle.
fn edges(rows: &mut Rows) {
    let Body::Rectangle { width, height, .. } = rows.job.part.drawing.body else { return };
    let sides = [width, height].map(|id| rows.job.part.size(id));
    let shorter = sides[0].min(sides[1]);
    square(
        rows,
        "body: edges square".into(),
        shorter,
        "a square over each corner, its stock on the longer edge",
    );
}

/// The shoulder of every step, to the face it is cut down from.
fn shoulders(rows: &mut Rows) {
    let part = rows.job.part;
    for (_, feature) in part.features() {
        let Kind::Step { leaves, .. } = feature.kind else { continue };
        let whole = if feature.face.axis() == crate::drawing::Axis::Z { part.thickness() } else { continue };
        let high = whole - part.size(leaves);
        if high.is_positive() {
            let what = format!("{}: shoulder square", feature.name);
            square(rows, what, high, "a square stood on the lower face against the shoulder");
        }
    }
}

/// How far two sides may be out over the shorter of them, by a square held to the light.
fn square(rows: &mut Rows, what: String, shorter: Length, how: &str) {
    let class = rows.job.part.drawing.general_tolerance.unwrap_or(Class::SUPPOSED);
    let Some((letter, within, source)) = squareness(class, shorter) else { return };
    // The letter is a choice of its own: nobody said it even where the class of sizes is.
    let why =
        Why::assumed(format!("class {letter} of squareness over {}", mm(shorter))).source(source.to_string());
    let asked = Asked {
        what,
        size: within,
        limits: Limits { least: Length::ZERO, greatest: within },
        why,
        across: Across::Outside,
        how: how.into(),
    };
    squared(rows, &asked);
}

/// A row that a square tells, with the leaf that must not go under its blade.
pub(super) fn squared(rows: &mut Rows, asked: &Asked) {
    let least = asked.size - light();
    let rule = practice(format!("light under a true blade shows {}", mm(light()))).because(asked.why.clone());
    let leaves = rows.job.bench.gauges("feeler gauges");
    let leaf = leaves.into_iter().filter(|leaf| *leaf <= least).max();
    match (rows.job.bench.plain_instrument("square"), leaf) {
        (Some(square), Some(leaf)) => {
            let words = format!("a leaf of {} does not go under the blade anywhere", mm(leaf));
            rows.push(asked, square.words(), words, rule, true);
        }
        (Some(square), None) => {
            let words = format!("no gap under the blade that would take {}", mm(least));
            rows.push(asked, square.words(), words, rule, true);
        }
        (None, _) => {
            let words = "cannot be told; a square would".to_owned();
            rows.push(asked, "nothing owned".into(), words, rule, false);
        }
    }
}

/// Surfaces of turned work that run true to each other.
fn true_running(rows: &mut Rows) {
    let job = rows.job;
    for pair in &job.order.true_running {
        let names = pair.features.map(|id| job.part.feature(id).name.clone());
        let bored = pair.features.map(|id| matches!(job.part.feature(id).kind, Kind::Hole { .. }));
        // Held by the one that an arbor or a collet takes, read on the other.
        let (by, on) = if bored[1] { (1, 0) } else { (0, 1) };
        let held = if bored[by] {
            format!("on a mandrel in {}", names[by])
        } else {
            format!("{} in a vee block or a collet", names[by])
        };
        let asked = Asked {
            what: format!("{} true to {}", names[on], names[by]),
            size: pair.room,
            limits: Limits { least: Length::ZERO, greatest: pair.room },
            why: Why::new(pair.because.clone()),
            across: Across::Outside,
            how: format!("{held}, an indicator on {} over one turn", names[on]),
        };
        let rule = practice("an indicator shows over one turn twice what the axes lie apart");
        rows.moves(&asked, pair.room * 2, rule);
    }
}
