//! Distances that nothing owned measures over their plugs: between the near sides of the plugs,
//! where jaws get in there, else on the mill by its own slides.

use super::{Asked, Rows};
use crate::bench::Readout;
use crate::settings::measuring::over_pins::OverPins;
use crate::settings::measuring::reading::{Reads, proved, shown};
use crate::settings::show::{mm, practice};
use crate::tables::instruments::Across;
use crate::tables::processes::{Locating, locating};
use crate::why::Why;

/// What a distance to the middle of a hole begins at.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum From {
    /// An edge, which the finder touches.
    Edge,
    /// Another hole.
    Hole,
}

/// Writes the row of a distance that is too long for what measures over its plugs; says whether it did.
///
/// `asked` is what would be read over the plugs, `over` the readings over and between them.
pub(super) fn measured(rows: &mut Rows, asked: &Asked, over: OverPins, plugs: &str, from: From) -> bool {
    let taken = |rows: &Rows, across, size| rows.bench.owned.iter().any(|one| one.takes(across, size));
    if taken(rows, Across::Outside, over.over) {
        return false;
    }
    if from == From::Hole && taken(rows, Across::Inside, over.between) {
        let asked = Asked {
            limits: asked.limits.moved(over.between - over.over),
            across: Across::Inside,
            how: "between the near sides of two plugs".into(),
            what: asked.what.clone(),
            why: asked.why.clone(),
            size: asked.size,
        };
        rows.over(asked, over.between, plugs);
        return true;
    }
    by_slides(rows, asked, over, from)
}

/// On the mill: what the slide moves between both places.
fn by_slides(rows: &mut Rows, asked: &Asked, over: OverPins, from: From) -> bool {
    let bench = rows.job.bench;
    let mill = &bench.mill;
    if !bench.mills || bench.plain_instrument("indicator").is_none() || asked.size > mill.travel[0] {
        return false;
    }
    let (slides, shows) = match mill.readout {
        Readout::Digital { .. } => (locating("by readout"), "the readout of the mill"),
        Readout::Handwheels { .. } => (locating("by handwheel"), "the handwheel of the mill, wound one way"),
    };
    let clocked = locating("bore clocked");
    let other = match from {
        From::Edge => locating("edge finder"),
        From::Hole => clocked,
    };
    let step = mill.readout.step();
    let doubt = (slides.error + step) * 2 + clocked.error + other.error;
    let reads = Reads { step, doubt };
    let half = match from {
        From::Edge => "the finder on the edge and the bore clocked",
        From::Hole => "both bores clocked",
    };
    let limits = asked.limits.moved(asked.size - over.over);
    let (words, why) = shown(limits, reads);
    let told = proved(limits, reads).is_some();
    let each = |what: &str, row: &Locating| {
        Why::new(format!("{what}: {} either way", mm(row.error))).source(row.source.to_string())
    };
    let why = why
        .because(practice("what is too long for the gauges is measured where it was made, by clocking each place and reading the slide"))
        .because(each("the bore clocked", clocked))
        .because(each(if from == From::Edge { "the finder" } else { "the other bore clocked" }, other))
        .because(each(&format!("the slide at either end, and {} of it", mm(step)), slides))
        .because(asked.why.clone());
    let how = format!("laid along X, {half} by an indicator in the spindle; how far X moves between");
    let row = Asked { how, what: asked.what.clone(), why: asked.why.clone(), ..*asked };
    rows.push(&row, shows.to_owned(), words, why, told);
    true
}
