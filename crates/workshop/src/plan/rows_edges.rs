//! Squaring the edges of a blank: which first, against what, and how much comes off each.

use super::blanks::SAWN;
use super::cutting::{Cutting, Floor, cut_depths};
use super::job::Setup;
use super::words;
use crate::bench::EndMill;
use crate::measure::Length;
use crate::problem::Problem;
use crate::settings::passes::Cut;
use crate::settings::show::{mm, practice};
use crate::tables::processes::stands_firm;
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
    let first = practice(
        "the broad faces between the jaws on a parallel, a round bar under the moving jaw: the longest edge is the surest to square the rest from",
    )
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
            format!("{} off, until it is clean", mm(off)),
            first,
        ),
        Figure::new(
            setup.named(number, &format!("second edge, {how}, of {}", mm(short))),
            format!("{} off, until it is clean", mm(off)),
            rule.because(left),
        ),
    ];
    figures.extend(faced(setup, number, mill, off)?);
    Ok(figures)
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
