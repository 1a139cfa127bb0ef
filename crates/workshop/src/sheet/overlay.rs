//! The drawing and the metric part laid over each other.

use super::projection::Projections;

/// Both in one view, each at its own datum, with every difference magnified.
#[derive(Clone, Debug, PartialEq)]
pub struct Overlay {
    /// The part as drawn in grey, the metric part in ink, and what moved at its place.
    pub picture: Projections,
    /// How many times every difference is magnified; once where nothing differs.
    pub times: u32,
    /// What moved or changed its size, in the order of the drawing.
    pub moved: Vec<Moved>,
    /// What is not magnified, or not wholly: its lines have no counterpart on the other, or
    /// would vanish.
    pub apart: Vec<String>,
}

/// Something that is elsewhere, or of another size, than on the drawing.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Moved {
    /// The feature, or `body`.
    pub name: String,
    /// By how much, in millimetres: `⌀ +0.063, 0.001 left`.
    pub words: String,
}

impl Overlay {
    /// `differences × 20`, and what could not be magnified.
    pub fn caption(&self) -> String {
        let mut words = match (self.moved.is_empty(), self.times) {
            (true, _) => "nothing differs from the drawing".to_owned(),
            (false, 1) => "grey as drawn, ink as made".to_owned(),
            (false, times) => format!("grey as drawn, ink as made: differences × {times}"),
        };
        if !self.apart.is_empty() {
            words += &format!("; at their own size: {}", self.apart.join(", "));
        }
        words
    }
}
