//! Squaring the edges of a blank: which first, against what, and how much comes off each.

use super::blanks::SAWN;
use super::cutting::{Cutting, Floor, cut_depths, mind};
use super::gripped::why_jaws;
use super::job::Setup;
use super::words;
use crate::bench::EndMill;
use crate::measure::Length;
use crate::problem::Problem;
use crate::settings::passes::Cut;
use crate::settings::show::{mm, practice};
use crate::settings::vice::{Asked, gripped};
use crate::tables::processes::stands_firm;
use crate::tables::surface::Surface;
use crate::why::Figure;

/// What comes off each edge: half of what was left for it when it was sawn.
fn off_each() -> Length {
    SAWN.half()
}

/// The first two edges: the longer between the jaws, then an end square to it.
///
/// # Errors
///
/// As [`cut_depths`].
pub fn square(setup: &Setup, number: usize, mill: &EndMill) -> Result<Vec<Figure>, Problem> {
    if words::casting(setup.part.drawing) {
        return Ok(Vec::new());
    }
    let sides = [setup.blank.width(), setup.blank.height()];
    let [long, short] = [sides[0].max(sides[1]), sides[0].min(sides[1])];
    let off = off_each();
    let left = practice(format!("the saw left {} a side; what is clean sooner is enough", mm(off)));
    let first =
        practice("the broad faces between the jaws: the longest edge is the surest to square the rest from")
            .because(left.clone());
    let firm = stands_firm(setup.job.bench.mill.vice_depth());
    let (how, rule) = if long <= firm {
        (
            "standing",
            practice(
                "on end, a square on the first edge and the parallels, and the vice closed on the broad faces; try it again when it is tight",
            ),
        )
    } else {
        (
            "lying flat",
            practice(format!(
                "over {} it would stand too high: on its broad face, the first edge against the fixed jaw clocked true, the end past the jaws, cut by the cutter's side",
                mm(firm)
            )),
        )
    };
    let mut figures = vec![
        Figure::new(
            setup.named(number, &format!("first edge, the longer of {}", mm(long))),
            format!("{} off, until it is clean", setup.deep_words(off)),
            first,
        ),
        Figure::new(
            setup.named(number, &format!("second edge, {how}, of {}", mm(short))),
            format!("{} off, until it is clean", setup.deep_words(off)),
            rule.because(left),
        ),
    ];
    figures.extend(grips(setup, number, [short + SAWN, long + SAWN], long <= firm));
    figures.extend(faced(setup, number, mill, off)?);
    Ok(figures)
}

/// How the jaws grip the blank while its first two edges are cut, as high as it stands for each.
fn grips(setup: &Setup, number: usize, [low, high]: [Length; 2], stands: bool) -> Vec<Figure> {
    let sits = |label: &str, height: Length| {
        let asked = Asked {
            height,
            cut: off_each(),
            drill: Length::ZERO,
            jaws: setup.job.bench.mill.vice_depth(),
            on_edge: true,
        };
        match gripped(asked) {
            Ok(found) => {
                let on = found.lowest;
                let shown = match on == Length::ZERO {
                    true => format!(
                        "{} in the jaws, {} out",
                        setup.about(found.grips(on)),
                        setup.about(found.stands_out(on))
                    ),
                    false => format!(
                        "{} in the jaws, {} out, on parallels {} high",
                        setup.about(found.grips(on)),
                        setup.about(found.stands_out(on)),
                        setup.laid_out(on)
                    ),
                };
                let why = found.figures(&why_jaws(setup));
                let why = why.into_iter().last().map_or_else(|| why_jaws(setup), |figure| figure.why);
                Figure::new(label, shown, why)
            }
            Err(fault) => {
                Figure { name: format!("{label}: mind"), ..mind(&fault, "clamp it to an angle plate") }
            }
        }
    };
    let mut figures = vec![sits("the longer edge up", low)];
    if stands {
        figures.push(sits("standing on its end", high));
    }
    let rough =
        setup.job.metric.stock.as_ref().is_some_and(|stock| stock.stock.surface == Some(Surface::Black));
    let (rod, why) = if rough {
        (
            "a soft round rod along the middle of what it grips",
            "black faces are not parallel: without the rod the work leans away from the fixed jaw as the vice is tightened",
        )
    } else {
        (
            "its own face, wiped clean; a soft round rod along the middle where the bar is not parallel",
            "bright faces bear all over; a rod bears in one line, so that the work lies against the fixed jaw",
        )
    };
    figures.push(Figure::new("against the moving jaw", rod, practice(why)));
    setup.place_all(number, figures)
}

/// The other two edges of a rectangle: what is over when the first two are clean.
///
/// # Errors
///
/// As [`cut_depths`].
pub fn other_edges(
    setup: &Setup,
    number: usize,
    mill: &EndMill,
    sides: [Length; 2],
) -> Result<Vec<Figure>, Problem> {
    if words::casting(setup.part.drawing) {
        return Ok(Vec::new());
    }
    let off = off_each();
    let [width, height] = sides.map(|size| mm(size + off));
    let why = practice(format!(
        "the saw left {} a side, and the first two edges took theirs: measure what there is, and take the difference",
        mm(off)
    ));
    let mut figures = vec![Figure::new(
        setup.named(number, "over the blank before, about"),
        format!("{width} long, {height} high"),
        why,
    )];
    figures.extend(faced(setup, number, mill, off)?);
    Ok(figures)
}

/// The passes for what comes off an edge.
fn faced(setup: &Setup, number: usize, mill: &EndMill, off: Length) -> Result<Vec<Figure>, Problem> {
    let cut = Cutting { mill, cut: Cut::Facing, depth: off, floor: Floor::Stays, size: None };
    cut_depths(setup, number, cut)
}
