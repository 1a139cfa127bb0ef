//! What the pictures of all aids share.

use crate::geometry::Point;
use crate::sheet::{Runs, SceneDimension, SceneNote};

/// A dimension that shows a figure.
pub(super) fn dimension(
    from: (f64, f64),
    to: (f64, f64),
    runs: Runs,
    text: String,
    figure: &str,
) -> SceneDimension {
    SceneDimension {
        from: Point::new(from.0, from.1),
        to: Point::new(to.0, to.1),
        runs,
        text,
        figure: Some(figure.to_owned()),
    }
}

/// Words that show a figure.
pub(super) fn note(at: (f64, f64), text: String, figure: &str) -> SceneNote {
    SceneNote { at: Point::new(at.0, at.1), text, figure: Some(figure.to_owned()) }
}
