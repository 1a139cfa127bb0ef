//! Three views of a part after ISO 128, in the third angle.
//!
//! A part goes in, as far as it is known; what comes out is every line and every
//! dimension of three views, each under the name of its feature. A feature that
//! has no place or size yet is not drawn, and nothing else is held up by it.

use super::edges::edges;
use super::enclosed::Enclosed;
use super::shape::Shaped;
use super::sight::{Eye, Seen, each_once, seen};
use super::{Lettering, Letters, held, signs, sizes};
use crate::drawing::{Body, Face, FeatureId, Image, Kind, Part};
use crate::geometry::Point;
use crate::plan::sheet::{Looking, Projection, Projections, ViewLine};

/// The views of a part with its dimensions.
///
/// From the front always; from above or below and from the right or left, whichever
/// of the two more features are cut from. A turned part has its end view, and the
/// view from above only where that shows something else than the front view.
pub fn projections(part: &Part, lettering: Lettering) -> Projections {
    let shaped = Shaped::of(part);
    let mirrored = part.image == Image::Mirrored;
    let solid = if mirrored { shaped.solid.mirrored() } else { shaped.solid.clone() };
    let enclosed = Enclosed::of(&solid);
    let edges = edges(&solid, &enclosed);
    let see = |looking: Looking| {
        let eye = Eye::of(looking);
        let mut lines = seen(&solid, &edges, &enclosed, eye);
        lines.extend(signs::signs(&shaped, &solid, eye, mirrored));
        (looking, each_once(lines))
    };
    let [front, upright, beside] = lookings(part);
    let turned = matches!(part.drawing.body, Body::Turned { .. });
    let mut views = vec![see(front)];
    let above = see(upright);
    if !turned || !alike(&views[0].1, &above.1) {
        views.push(above);
    }
    views.push(see(beside));
    let shown: Vec<Looking> = views.iter().map(|(looking, _)| *looking).collect();
    let letters = Letters { part, lettering };
    let mut said = sizes::sizes(&shaped, &letters, &shown, mirrored);
    for (looking, frames) in held::held(&shaped, &letters, &views, mirrored) {
        said.entry(looking).or_default().extend(frames);
    }
    let name = |id: FeatureId| part.feature(id).name.clone();
    let views = views
        .into_iter()
        .map(|(looking, lines)| {
            let anchors = anchors(&shaped, &lines, Eye::of(looking), mirrored);
            Projection {
                looking,
                anchors: anchors.into_iter().map(|(id, at)| (name(id), at)).collect(),
                lines: lines
                    .into_iter()
                    .map(|line| ViewLine {
                        of: line.of.map(name),
                        stroke: line.stroke,
                        segment: line.segment,
                    })
                    .collect(),
                says: said.remove(&looking).unwrap_or_default(),
                marks: Vec::new(),
                beneath: None,
            }
        })
        .collect();
    Projections { part: part.drawing.name.clone(), views }
}

/// The three sides from which a part is drawn: those that more is cut from.
fn lookings(part: &Part) -> [Looking; 3] {
    let cut_from = |face: Face| {
        let cuts = |(_, f): &(FeatureId, &crate::drawing::Feature)| {
            f.face == face && !matches!(f.kind, Kind::Section { .. } | Kind::PitchCircle { .. })
        };
        part.features().filter(cuts).count()
    };
    let (right, left) = (part.side(Face::Right), part.side(Face::Left));
    [
        Looking::Front,
        if cut_from(Face::Bottom) > cut_from(Face::Top) { Looking::Below } else { Looking::Above },
        if cut_from(left) > cut_from(right) { Looking::Left } else { Looking::Right },
    ]
}

/// True when two views show the same lines.
fn alike(one: &[Seen], other: &[Seen]) -> bool {
    const SAME_MM: f64 = 0.01;
    let same = |a: Point, b: Point| a.distance_mm(b) < SAME_MM;
    let found = |a: &Seen| {
        other.iter().any(|b| {
            a.stroke == b.stroke
                && (a.segment.length_mm() - b.segment.length_mm()).abs() < SAME_MM
                && (same(a.segment.start(), b.segment.start()) || same(a.segment.start(), b.segment.end()))
        })
    };
    one.len() == other.len() && one.iter().all(found)
}

/// Where each feature of a view can be pointed at: its middle where it is seen
/// round, or the middle of one of its lines.
fn anchors(shaped: &Shaped, lines: &[Seen], eye: Eye, mirrored: bool) -> Vec<(FeatureId, Point)> {
    let mut anchors: Vec<(FeatureId, Point)> = Vec::new();
    for round in shaped.rounds.iter().filter(|round| round.axis == eye.toward.0) {
        let middle = super::solid::raised(round.centre, round.axis, round.ends_mm[0]);
        anchors.push((round.of, eye.sees(signs::mirror(middle, mirrored))));
    }
    let mut longest: Vec<&Seen> = lines.iter().filter(|line| line.of.is_some()).collect();
    longest.sort_by(|a, b| {
        (a.stroke, -a.segment.length_mm()).partial_cmp(&(b.stroke, -b.segment.length_mm())).expect("finite")
    });
    for line in longest {
        if let Some(id) = line.of {
            anchors.push((id, line.segment.along(0.5)));
        }
    }
    let mut first: Vec<(FeatureId, Point)> = Vec::new();
    for (id, at) in anchors {
        if !first.iter().any(|(known, _)| *known == id) {
            first.push((id, at));
        }
    }
    first.sort_by_key(|(id, _)| *id);
    first
}
