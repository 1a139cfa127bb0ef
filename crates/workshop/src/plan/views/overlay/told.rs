//! What moved or changed its size, in words, and where that stands in a view.

use super::noticed;
use super::pairs::away;
use crate::drawing::{Axis, Body, DimensionId, FeatureId, Kind, Measures, Part};
use crate::geometry::Point;
use crate::measure::Length;
use crate::plan::sheet::{Looking, Moved, Projection, Said, Saying};

/// Something that moved, and what points at it.
pub(super) struct Told {
    pub moved: Moved,
    /// The feature; none for the body.
    pub of: Option<String>,
    /// The first of its dimensions that changed.
    figure: Option<String>,
    /// Where it stands as drawn, where it has a place of its own in the front view.
    at: Option<Point>,
    /// How far it moves across that.
    by: Point,
}

impl Told {
    /// What is said at its place in a view; nothing where it has none there.
    pub(super) fn saying(&self, before: &Projection, after: &Projection, times: u32) -> Option<Saying> {
        let in_front = self.at.filter(|_| before.looking == Looking::Front).map(|at| (at, at + self.by));
        let (was, is) = in_front.or_else(|| Some((self.anchor(before)?, self.anchor(after)?)))?;
        Some(Saying {
            of: None,
            figure: self.figure.clone(),
            text: format!("{}: {}", self.moved.name, self.moved.words),
            shape: Said::Note { at: away(was, is, times) },
        })
    }

    /// Where it can be pointed at: the body at the middle of its foot, seen from beside.
    fn anchor(&self, view: &Projection) -> Option<Point> {
        match &self.of {
            Some(name) => view.anchors.iter().find(|(known, _)| known == name).map(|(_, at)| *at),
            None if view.looking == Looking::Front => None,
            None => {
                let bounds = view.bounds()?;
                Some(Point::new((bounds.least.x_mm + bounds.most.x_mm) / 2.0, bounds.least.y_mm))
            }
        }
    }
}

/// What moved or changed, feature by feature; what belongs to the body last.
pub(super) fn moved(drawn: &Part, metric: &Part) -> Vec<Told> {
    let one_of_many = |id: FeatureId| {
        drawn.features().any(|(_, f)| f.kind.pattern().is_some_and(|holes| holes.contains(&id)))
    };
    let mut told = Vec::new();
    for (id, feature) in drawn.features().filter(|&(id, _)| !one_of_many(id)) {
        let mut words = Vec::new();
        let sizes = feature.kind.sizes();
        words.extend(sizes.iter().filter_map(|&size| grown(drawn, metric, size)));
        if let Some(thread) = feature.kind.thread() {
            let (was, is) = (drawn.thread(thread), metric.thread(thread));
            if was != is {
                words.push(format!("{} for {}", is.designation, was.designation));
            }
        }
        words.extend(moves(drawn, metric, id));
        if words.is_empty() {
            continue;
        }
        let figure = sizes.iter().find(|&&size| grown(drawn, metric, size).is_some());
        let turned = matches!(drawn.drawing.body, Body::Turned { .. });
        let [x, y] = [Axis::X, Axis::Y].map(|axis| shift(drawn, metric, id, axis));
        let flat = matches!(feature.kind, Kind::Boss { .. } | Kind::Hole { .. } | Kind::Tapped { .. });
        told.push(Told {
            moved: Moved { name: feature.name.clone(), words: words.join(", ") },
            of: Some(feature.name.clone()),
            figure: figure.map(|&size| drawn.drawing.dimensions[size.0].name.clone()),
            at: drawn
                .xy(id)
                .filter(|_| flat && !turned && feature.face.axis() == Axis::Z)
                .map(|(x, y)| Point::at(x, y)),
            by: Point::at(x, y),
        });
    }
    let body: Vec<DimensionId> = body_sizes(&drawn.drawing.body);
    let words: Vec<String> = body.iter().filter_map(|&size| grown(drawn, metric, size)).collect();
    if !words.is_empty() {
        let foot = |part: &Part| {
            let [left, right, bottom, top] = part.edges();
            Point::at((left + right).half(), bottom.min(top))
        };
        let square = matches!(drawn.drawing.body, Body::Rectangle { .. } | Body::Disc { .. });
        told.push(Told {
            moved: Moved { name: "body".into(), words: words.join(", ") },
            of: None,
            figure: body
                .iter()
                .find(|&&size| grown(drawn, metric, size).is_some())
                .map(|size| drawn.drawing.dimensions[size.0].name.clone()),
            at: square.then(|| foot(drawn)),
            by: foot(metric) - foot(drawn),
        });
    }
    told
}

/// The dimensions that belong to the body itself.
fn body_sizes(body: &Body) -> Vec<DimensionId> {
    use crate::drawing::Around;
    match body {
        Body::Bosses { thickness, .. } => vec![*thickness],
        Body::Outline { around, thickness } => {
            let arcs = around.iter().filter_map(|item| match item {
                Around::Arc { radius, .. } => Some(*radius),
                Around::At(_) => None,
            });
            arcs.chain([*thickness]).collect()
        }
        Body::Rectangle { width, height, thickness, .. } => vec![*width, *height, *thickness],
        Body::Disc { diameter, thickness } => vec![*diameter, *thickness],
        Body::Turned { length, .. } => length.iter().copied().collect(),
    }
}

/// `⌀ +0.063`: by how much a size is greater as made.
fn grown(drawn: &Part, metric: &Part, id: DimensionId) -> Option<String> {
    let by = metric.size(id) - drawn.size(id);
    if by.abs() < noticed() {
        return None;
    }
    let dimension = &drawn.drawing.dimensions[id.0];
    let what = match dimension.measures {
        Measures::Hole(_) | Measures::Turned | Measures::Counterbore | Measures::Countersink => "⌀",
        Measures::Radius | Measures::InsideCorner => "R",
        _ => dimension.name.rsplit(": ").next().unwrap_or_default(),
    };
    let sign = if by.is_positive() { '+' } else { '−' };
    Some(format!("{what} {sign}{}", by.abs().decimals(3)))
}

/// How far a feature lies from where it is drawn along an axis.
pub(super) fn shift(drawn: &Part, metric: &Part, id: FeatureId, axis: Axis) -> Length {
    match (drawn.at(id, axis), metric.at(id, axis)) {
        (Some(from), Some(to)) => to - from,
        _ => Length::ZERO,
    }
}

/// `0.031 right`, `0.008 down`: how far a feature stands from where it is drawn.
fn moves(drawn: &Part, metric: &Part, id: FeatureId) -> Vec<String> {
    let ways = [(Axis::X, "right", "left"), (Axis::Y, "up", "down"), (Axis::Z, "forwards", "back")];
    ways.into_iter()
        .filter_map(|(axis, more, less)| {
            let by = shift(drawn, metric, id, axis);
            let word = if by.is_positive() { more } else { less };
            (by.abs() >= noticed()).then(|| format!("{} {word}", by.abs().decimals(3)))
        })
        .collect()
}
