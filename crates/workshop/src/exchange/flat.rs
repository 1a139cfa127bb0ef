//! A part as lines and arcs on named layers, for writing as DXF or SVG.

use std::collections::BTreeMap;

use crate::drawing::{Body, Depth, Face, FeatureId, Image, Kind, Part};
use crate::geometry::wall::Shape;
use crate::geometry::{Bounds, Circle, Point, Segment, slot_edge};
use crate::problem::{Outcome, Problem};

/// A part in plan, in millimetres from its datum, X to the right and Y up.
#[derive(Clone, Debug, PartialEq)]
pub struct Flat {
    /// What the part is called, and its hand where there are two.
    pub title: String,
    /// The layers, the outline first.
    pub layers: Vec<FlatLayer>,
    /// What a flat drawing cannot show, and what should be known of the rest.
    pub notes: Vec<String>,
    /// The smallest upright rectangle around the outline.
    pub bounds: Bounds,
}

/// What stands on one layer.
#[derive(Clone, Debug, PartialEq)]
pub struct FlatLayer {
    /// A plain word of letters and hyphens, as the oldest form of DXF allows.
    pub name: &'static str,
    /// Lines and arcs, and full circles as arcs of one turn.
    pub segments: Vec<Segment>,
}

/// The layer of the outside.
const OUTLINE: &str = "outline";

/// A plate as lines and arcs, with the sizes and the hand it has.
///
/// # Errors
///
/// A [`Problem`] for a turned part, which has no outline in plan, and for an outline
/// that cannot be drawn.
pub fn flat(part: &Part<'_>) -> Outcome<Flat> {
    let drawing = part.drawing;
    if matches!(drawing.body, Body::Turned { .. }) {
        return Err(vec![
            Problem::new(format!("`{}` is turned: it has no outline in plan", drawing.name))
                .at(drawing.file.clone())
                .why("a flat drawing shows a part cut from plate")
                .mend("name a part whose `[body]` is not `turned`"),
        ]);
    }
    let outline = part.outline().map_err(|fault| vec![fault])?;
    let mut cut: BTreeMap<&'static str, Vec<Segment>> = BTreeMap::new();
    let mut notes = Vec::new();
    for (id, feature) in part.features() {
        match on_layer(part, id) {
            Some(layer) => match part.plan_shape(id) {
                Some(Shape::Slot { centre_line, .. }) if part.open_axis(id).is_some() => {
                    let edge = part.slot_edge(id, [centre_line.start(), centre_line.end()]);
                    cut.entry(layer).or_default().extend(edge);
                }
                Some(shape) => {
                    let edge = keyed(part, id).unwrap_or_else(|| drawn(&shape));
                    cut.entry(layer).or_default().extend(edge);
                }
                None => notes.push(format!("{}: not drawn, it has no place in plan", feature.name)),
            },
            None => notes.extend(left_out(part, id)),
        }
    }
    if cut.contains_key("tapped-holes") {
        notes.push("tapped-holes are drawn at the thread's major diameter".into());
    }
    if cut.contains_key("taper-pin-holes") {
        notes.push("taper-pin-holes are drawn at their large end".into());
    }
    if cut.contains_key("slits") {
        notes.push("slits are drawn as their centre line".into());
    }
    let mut layers = vec![FlatLayer { name: OUTLINE, segments: outline.segments().to_vec() }];
    layers.extend(cut.into_iter().map(|(name, segments)| FlatLayer { name, segments }));
    let hand = match (drawing.hands.as_slice(), part.image) {
        ([first, ..], Image::Drawn) => first.words(),
        ([_, second, ..], Image::Mirrored) => second.words(),
        _ => "",
    };
    let title = if hand.is_empty() { drawing.name.clone() } else { format!("{}, {hand}", drawing.name) };
    Ok(Flat { title, layers, notes, bounds: outline.bounds() })
}

/// The layer for a feature cut from the front or the back; none for the rest.
fn on_layer(part: &Part<'_>, id: FeatureId) -> Option<&'static str> {
    let feature = part.feature(id);
    let behind = match feature.face {
        Face::Front => false,
        Face::Back => true,
        Face::Left | Face::Right | Face::Top | Face::Bottom => return None,
    };
    let by_depth = |depth: &Depth, through, front, back| match depth {
        Depth::Through => through,
        Depth::To(_) if behind => back,
        Depth::To(_) => front,
    };
    Some(match &feature.kind {
        Kind::Hole { depth, .. } => by_depth(depth, "holes", "blind-holes", "blind-holes-from-behind"),
        Kind::Tapped { .. } => "tapped-holes",
        Kind::Counterbore { .. } => "counterbores",
        Kind::Slot { depth, .. } | Kind::CurvedSlot { depth, .. } => {
            by_depth(depth, "slots", "blind-slots", "blind-slots-from-behind")
        }
        Kind::Pocket { depth, .. } => by_depth(depth, "openings", "pockets", "pockets-from-behind"),
        Kind::Square { .. } => "square-holes",
        Kind::Flatted { .. } => "flatted-holes",
        Kind::TaperPin { .. } => "taper-pin-holes",
        Kind::Countersink { .. } => "countersinks",
        Kind::Slit { .. } => "slits",
        _ => return None,
    })
}

/// What is said of a feature that no flat drawing shows; nothing of those that only
/// shape the outline or place others.
fn left_out(part: &Part<'_>, id: FeatureId) -> Option<String> {
    let feature = part.feature(id);
    match feature.kind {
        Kind::Boss { .. } | Kind::Corner { .. } | Kind::PitchCircle { .. } | Kind::Row { .. } => None,
        Kind::Keyway { into, .. } if keyed(part, into).is_some() => None,
        Kind::Keyway { .. } => Some(format!("{}: not drawn, it is planed along its bore", feature.name)),
        Kind::Step { .. } => Some(format!("{}: not drawn, it changes the thickness", feature.name)),
        _ => Some(format!("{}: not drawn, it is cut from the {}", feature.name, feature.face.word())),
    }
}

/// The edge of a bore with the keyway in it; none of a bore without, or with several.
fn keyed(part: &Part<'_>, bore: FeatureId) -> Option<Vec<Segment>> {
    let mut keyways = part.features().filter_map(|(id, feature)| match feature.kind {
        Kind::Keyway { into, width, toward, .. } if into == bore => Some((id, width, toward)),
        _ => None,
    });
    let ((id, width, toward), None) = (keyways.next()?, keyways.next()) else { return None };
    let Some(Shape::Circle(Circle { centre, radius_mm })) = part.plan_shape(bore) else { return None };
    let (half_mm, floor_mm) = (part.size(width).half().as_mm(), part.keyway_floor(id)?.as_mm());
    let toward_rad = match part.image {
        Image::Drawn => toward.as_rad(),
        Image::Mirrored => std::f64::consts::PI - toward.as_rad(),
    };
    let reach_rad = (half_mm / radius_mm).asin();
    let round =
        Segment::arc(centre, radius_mm, toward_rad + reach_rad, std::f64::consts::TAU - 2.0 * reach_rad);
    let corner = |across_mm: f64| centre + Point::new(floor_mm, across_mm).rotated(toward_rad);
    let (one, other) = (corner(-half_mm), corner(half_mm));
    Some(vec![
        round,
        Segment::line(round.end(), one),
        Segment::line(one, other),
        Segment::line(other, round.start()),
    ])
}

/// The edge of what a shape cuts away.
fn drawn(shape: &Shape) -> Vec<Segment> {
    let turn = std::f64::consts::TAU;
    match shape {
        Shape::Circle(Circle { centre, radius_mm }) => vec![Segment::arc(*centre, *radius_mm, 0.0, turn)],
        Shape::Slot { centre_line, radius_mm } => slot_edge(centre_line, *radius_mm),
        Shape::Line(line) => vec![Segment::Line(*line)],
        Shape::Outline(outline) | Shape::Hollow(outline) => outline.segments().to_vec(),
    }
}
