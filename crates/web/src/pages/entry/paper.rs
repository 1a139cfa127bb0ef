//! The piece of the entry page on which the person's own paper sheet is laid.

use askama::Template;
use workshop::desk::Look;
use workshop::desk::Paper;
use workshop::desk::asks::{FEATURES, On};
use workshop::plan::sheet::Beneath;
use workshop::scan::extent;

use super::super::path_segment;

/// The sheet, its known dimensions and what was found on it.
#[derive(Template)]
#[template(path = "entry/paper.html")]
pub struct PaperPiece<'a> {
    /// The sheet, where the file names one.
    paper: Option<&'a Paper>,
    /// Where its image is fetched from.
    address: String,
    /// Pixels from side to side and from top to bottom; nought where the image cannot be read.
    size: (usize, usize),
    /// Images that the project keeps.
    images: Vec<String>,
    /// What can be found on it: features and edges.
    things: Vec<String>,
    /// Kinds of feature that can be placed by pointing.
    kinds: Vec<&'static str>,
}

/// Edges that a sheet shows.
const EDGES: [&str; 4] = ["left edge", "right edge", "top edge", "bottom edge"];

impl<'a> PaperPiece<'a> {
    /// The piece for a draft; `size` is the image's, where it can be read.
    pub fn of(look: &'a Look, images: Vec<String>, size: Option<(usize, usize)>) -> Self {
        let paper = look.paper.as_ref();
        let on = if look.turned { On::Turned } else { On::Plate };
        let placed = |row: &&workshop::desk::asks::FeatureAsk| {
            row.place.is_some() && (row.on == on || row.on == On::Either)
        };
        let things = look.placeable.iter().cloned().chain(EDGES.map(str::to_owned));
        Self {
            address: paper.map(|paper| image(&paper.image)).unwrap_or_default(),
            size: size.unwrap_or_default(),
            images,
            things: things.collect(),
            kinds: FEATURES.iter().filter(placed).map(|row| row.kind).collect(),
            paper,
        }
    }

    /// Tenths of a pixel, as the overlay takes them.
    fn px(&self, number: &f64) -> String {
        format!("{number:.1}")
    }
}

/// Where an image is fetched from.
fn image(name: &str) -> String {
    format!("/images/{}", path_segment(name))
}

/// The sheet as it lies beneath the front view; none where it does not lie yet.
pub fn beneath(look: &Look, size: Option<(usize, usize)>) -> Option<Beneath> {
    let paper = look.paper.as_ref()?;
    let (laid, (width, height)) = (&paper.beneath.as_ref()?.laid, size?);
    let (least, most) = extent(width, height, laid);
    let map = laid.numbers().map(|number| number.to_string()).join(",");
    Some(Beneath { address: format!("{}/squared?map={map}", image(&paper.image)), least, most })
}
