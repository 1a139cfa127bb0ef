//! How a milled row is cut: depths, feed, and whether the cutter stands it.

use super::job::Setup;
use super::slides::{turned, why_depth_dial};
use crate::bench::{EndMill, Readout};
use crate::drawing::DimensionId;
use crate::measure::Length;
use crate::problem::Problem;
use crate::settings::milling::{Asked, Milled, milling};
use crate::settings::passes::{Cut, greatest_bite, passes};
use crate::settings::show::{each_mm, mm, practice, set_each};
use crate::tables::processes::limit;
use crate::why::{Figure, Why};

/// What is left on a floor for a light last pass: common practice.
const ON_FLOOR: Length = Length::from_ratio(num_rational::Ratio::new_raw(2, 10));

/// What is left on a side for a light last cut: common practice.
pub const ON_SIDE: Length = Length::from_ratio(num_rational::Ratio::new_raw(3, 10));

/// Whether a cut leaves a floor.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Floor {
    /// It does, and its depth matters.
    Stays,
    /// It goes right through.
    None,
}

/// A milled cut of the order of work.
#[derive(Clone, Copy, Debug)]
pub struct Cutting<'a> {
    /// The cutter.
    pub mill: &'a EndMill,
    /// How it meets the work.
    pub cut: Cut,
    /// The whole depth.
    pub depth: Length,
    /// Whether a floor stays below.
    pub floor: Floor,
    /// The size that is cut to, whose tolerance the cutter's bending is held against.
    pub size: Option<DimensionId>,
}

/// The depths of a cut, then its feed, and of a side how far the cutter bends.
///
/// A floor that stays gets a light finishing pass; what is cut right through has no floor, and its
/// last pass goes past the far face. Where the cutter does not stand the cut the depths are those of practice, and the row
/// says what to mind.
///
/// # Errors
///
/// A [`Problem`] when there is nothing to cut.
pub fn cut_depths(setup: &Setup, number: usize, cut: Cutting) -> Result<Vec<Figure>, Problem> {
    let Cutting { mill, depth: metal, .. } = cut;
    let past = past_the_face(&cut);
    let depth = metal + past;
    let bite = greatest_bite(cut.cut, mill.diameter, setup.job.material);
    let finish_floor =
        if cut.floor == Floor::Stays && depth > ON_FLOOR * 3 { ON_FLOOR } else { Length::ZERO };
    let step = setup.job.bench.mill.depth_step();
    let beside = cut.cut == Cut::SideRoughing;
    let finish_side = if beside { ON_SIDE } else { Length::ZERO };
    let asked = Asked {
        cut: cut.cut,
        mill,
        depth,
        // As much beside the cutter as it may take at once, and the last light cut.
        side: if beside { bite.radial + finish_side } else { Length::ZERO },
        finish_side,
        finish_floor,
        tolerance: cut.size.and_then(|id| setup.job.part.drawing.dimensions[id.0].within),
        material: setup.job.material,
        speeds: &setup.job.bench.mill.speeds,
        power_w: setup.job.bench.mill.power_at_cutter_w(),
        step,
    };
    let (found, more) = match milling(asked) {
        Ok(milled) => (milled.passes.clone(), told(setup, &milled, beside)),
        Err(fault) => {
            let greatest = bite.axial.unwrap_or(depth);
            let mind = mind(&fault, "take light cuts, and measure between them");
            (passes(depth, greatest, finish_floor, step)?, vec![mind])
        }
    };
    // A readout shows millimetres at a press; a handwheel what it is marked in.
    let shown = |depths: &[Length]| match setup.job.bench.mill.readout {
        Readout::Digital { .. } => each_mm(depths.iter().copied(), step),
        Readout::Handwheels { .. } => set_each(depths.iter().copied(), step),
    };
    let words = match found.depths.as_slice() {
        [only] => format!("{} in one pass", shown(&[only.value])),
        // The dial tells each; nothing shows these millimetres.
        many if setup.job.bench.mill.depth_dial.is_some() => {
            format!("{}, to {} deep", many.len(), setup.deep_words(depth))
        }
        many => shown(&many.iter().map(|depth| depth.value).collect::<Vec<_>>()),
    };
    let why =
        found.figures().into_iter().fold(why_so_deep(metal, past), |why, figure| why.because(figure.why));
    let mut figures = vec![Figure::new("passes", words, why.because(bite.why))];
    let mill = &setup.job.bench.mill;
    if let Some(dial) = &mill.depth_dial {
        let each: Vec<String> = found.depths.iter().map(|d| turned(dial, d.value)).collect();
        let label = format!("{} dial", dial.moves);
        figures.push(Figure::new(label, each.join("; "), why_depth_dial(dial)));
    }
    if cut.floor == Floor::None && !past.is_positive() {
        let why = practice("to go past the far face a cutter needs flutes longer than the metal is thick");
        figures.push(Figure::new("at the far face", "a skin may hang on: file it off", why));
    }
    figures.extend(more);
    Ok(setup.place_all(number, figures))
}

/// How far a cut right through goes beyond the far face: nothing where its flutes end before.
fn past_the_face(cut: &Cutting) -> Length {
    let past = limit("past the face");
    if cut.floor == Floor::None && cut.mill.flute >= cut.depth + past { past } else { Length::ZERO }
}

fn why_so_deep(metal: Length, past: Length) -> Why {
    if !past.is_positive() {
        return Why::new(format!("{} deep", mm(metal)));
    }
    let beyond =
        practice("no skin hangs on at the far face, nor where the metal is a little thicker than said");
    Why::new(format!("{} of metal, and {} past its far face", mm(metal), mm(past))).because(beyond)
}

/// What to mind where a setting could not be reckoned: what is wrong and why, and what to do
/// about it or, where it does not say, otherwise.
pub fn mind(fault: &Problem, otherwise: &str) -> Figure {
    let reason = fault.reason().map_or_else(String::new, |reason| format!(": {reason}"));
    let why = practice(fault.remedy().unwrap_or(otherwise));
    Figure::new("mind", format!("{}{reason}", fault.what()), why)
}

/// The feed; what the motor gives for it, where the bench says; of a side how far the cutter
/// bends in the last cut; what to mind.
fn told(setup: &Setup, milled: &Milled, beside: bool) -> Vec<Figure> {
    let mut figures = vec![milled.feed_figure(setup.job.material)];
    figures.extend(milled.power_figure());
    if beside {
        figures.push(milled.bend_figure());
    }
    figures.extend(milled.caution_figures());
    figures
}
