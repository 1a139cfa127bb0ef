//! Black stock: what has to come off before anything of it is a face of the part.

use super::rules::BLACK;
use super::way::Job;
use crate::bench::{Section, Stock};
use crate::measure::Length;
use crate::tables::surface::{Surface, UnderScale, black_flat, black_round};
use crate::why::Why;

/// Taken off the faces of a bright plate that is faced down, where nothing else is said:
/// common practice.
fn faced_off() -> Length {
    Length::microns(500)
}

/// Whether stock in the rack may be what the part is made from: its material, and black or
/// bright as the file says, where both say it.
pub fn suits(job: &Job, stock: &Stock) -> bool {
    let apart = job.drawing.surface().zip(stock.surface).is_some_and(|(said, has)| said != has);
    stock.material == job.material.name && !apart
}

/// Whether stock is black: as the rack says, else as the part's file says of it.
pub fn is_black(job: &Job, stock: &Stock) -> bool {
    stock.surface.or_else(|| job.drawing.surface()) == Some(Surface::Black)
}

/// Whether nobody says if stock is black or bright, so that it is supposed bright.
pub fn unsaid(job: &Job, stock: &Stock) -> bool {
    stock.surface.or_else(|| job.drawing.surface()).is_none() && stock.class.is_none()
}

/// What comes off each side of black stock, at least; nothing of bright. A flat without a width
/// is as wide as the part.
pub fn scale(job: &Job, stock: &Stock, wide: Length) -> Option<UnderScale> {
    is_black(job, stock).then(|| match stock.section {
        Section::Flat { thickness, width } => black_flat(thickness, width.unwrap_or(wide)),
        Section::Round { diameter } => black_round(diameter),
        Section::Hexagon { across } => black_flat(across, across),
    })
}

/// What comes off a measure of stock between two of its faces, at least: as the part's file
/// says, else both sides' scale of black stock, else half a millimetre.
pub fn cleaning(job: &Job, stock: &Stock, wide: Length) -> Length {
    let said = job.drawing.stock.as_ref().and_then(|stock| stock.allowance.as_ref());
    match (said, scale(job, stock, wide)) {
        (Some(said), _) => said.length,
        (None, Some(scale)) => scale.side * 2,
        (None, None) => faced_off(),
    }
}

/// The largest round that comes sound out of a bar, of a round bar or across the flats.
pub fn sound(job: &Job, stock: &Stock, across: Length) -> Length {
    let said = job.drawing.stock.as_ref().and_then(|stock| stock.allowance.as_ref());
    match (said, scale(job, stock, across)) {
        (Some(said), Some(_)) => across - said.length,
        (None, Some(scale)) => across - scale.side * 2,
        (_, None) => across,
    }
}

/// Why so much comes off: said, published or supposed.
pub fn why_cleaning(job: &Job, stock: &Stock, wide: Length) -> Why {
    let off = cleaning(job, stock, wide);
    let said = job.drawing.stock.as_ref().and_then(|stock| stock.allowance.as_ref());
    match (said, scale(job, stock, wide)) {
        (Some(said), _) => Why::new(format!("{} at least to clean up", said.length)).source("the drawing"),
        (None, Some(scale)) => {
            Why::new(format!("black: {} off either side at least, to be under the scale", scale.side))
                .source(scale.source.to_string())
                .because(Why::new(BLACK.because).source(BLACK.source))
        }
        (None, None) if unsaid(job, stock) => {
            Why::assumed(format!("supposed bright: {off} at least cleans up a face"))
                .source("common practice")
        }
        (None, None) => {
            Why::assumed(format!("{off} at least is supposed to clean up a face")).source("common practice")
        }
    }
}
