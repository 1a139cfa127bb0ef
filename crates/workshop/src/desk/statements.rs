//! Statements of place: the ways of saying one, and what each on a form comes to.

use super::{Card, Exact, Which};
use crate::drawing::Drawing;
use crate::problem::Problem;

/// A way of saying where something is: words with gaps to fill.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Way {
    /// The words it is chosen by.
    pub words: &'static str,
    /// The statement, with `LENGTH`, `ANGLE`, `NAME`, `OTHER` and `EDGE` for its gaps.
    pub shape: &'static str,
}

const fn way(words: &'static str, shape: &'static str) -> Way {
    Way { words, shape }
}

/// Every way that is offered for choosing; `tests/desk.rs` reads each of them.
pub const WAYS: &[Way] = &[
    way("right of", "LENGTH right of NAME"),
    way("left of", "LENGTH left of NAME"),
    way("above", "LENGTH above NAME"),
    way("below", "LENGTH below NAME"),
    way("from an edge", "LENGTH from EDGE"),
    way("level with", "level with NAME"),
    way("plumb with", "plumb with NAME"),
    way("from, at an angle", "LENGTH from NAME at ANGLE"),
    way("concentric with", "concentric with NAME"),
    way("midway between", "midway between NAME and OTHER"),
    way("opposite, about", "opposite NAME about OTHER"),
    way("symmetrical about the vertical", "symmetrical with NAME about the vertical centre line"),
    way("symmetrical about the horizontal", "symmetrical with NAME about the horizontal centre line"),
    way("on the vertical centre line", "on the vertical centre line"),
    way("on the horizontal centre line", "on the horizontal centre line"),
    way("at the datum", "datum"),
    way("from, any way round", "LENGTH from NAME"),
    way("from, toward", "LENGTH from NAME toward OTHER"),
    way("on the line between", "on the line from NAME to OTHER"),
    way("equally spaced between", "equally spaced between NAME and OTHER, 1 of 2"),
    way("on the pitch circle of", "on the pitch circle of NAME at ANGLE"),
    way("tangent to", "tangent to NAME"),
    way("clear of", "LENGTH clear of NAME"),
    way("on the right of", "right of NAME"),
    way("on the left of", "left of NAME"),
    way("somewhere above", "above NAME"),
    way("somewhere below", "below NAME"),
    way("in front of", "LENGTH in front of NAME"),
    way("behind", "LENGTH behind NAME"),
    way("as deep as", "as deep as NAME"),
    way("mid thickness", "mid thickness"),
];

/// The edges and faces that a statement may name.
pub const EDGES: &[&str] = &[
    "left edge",
    "right edge",
    "bottom edge",
    "top edge",
    "back face",
    "front face",
    "left end",
    "right end",
];

/// Puts beside each statement on the forms what it comes to, or what is wrong with it.
pub(super) fn judge(cards: &mut [Card], drawing: Option<&Drawing>, problems: &[Problem]) {
    for card in cards.iter_mut() {
        let Which::Feature(_) = card.which else { continue };
        let Some(field) = card.fields.iter_mut().find(|field| field.ask.key == "place") else { continue };
        let feature = drawing
            .and_then(|drawing| drawing.features.iter().find(|f| f.name.eq_ignore_ascii_case(&card.title)));
        let own: Vec<&Problem> = problems
            .iter()
            .filter(|problem| problem.concerned().iter().any(|name| name.eq_ignore_ascii_case(&card.title)))
            .collect();
        for item in &mut field.items {
            let read = feature.and_then(|f| f.placing.iter().find(|statement| statement.text == item.text));
            match (read, drawing) {
                (Some(statement), Some(drawing)) => {
                    item.exact = statement.says.dimension().map(|id| {
                        let written = &drawing.dimensions[id.0].written;
                        Exact::of(written.length, written.unit)
                    });
                }
                _ => item.problem = own.iter().find(|problem| about(problem, &item.text)).copied().cloned(),
            }
        }
    }
}

/// True when a problem quotes something of a statement.
fn about(problem: &Problem, statement: &str) -> bool {
    let mut quoted = problem.what().split('`').skip(1).step_by(2);
    quoted.any(|words| !words.is_empty() && statement.contains(words))
}
