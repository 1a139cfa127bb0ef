//! Which distances an order has to keep, and what asks for each: the drawing, what the holes
//! have to line up with, or the general tolerance that the part file declares.
//!
//! A distance between holes of the large faces is asked for outright where its role is `hold`: where nothing keeps it there is no order. The rest is kept as far as some order
//! does, and told where none can: distances to and between side faces, shoulders of steps,
//! holes that go over another part's pins or screws, and whatever the general tolerance
//! bounds.

use super::accuracy::Share;
use super::deed::{Job, Makings};
use super::figures::room;
use super::places::opposite;
use crate::drawing::{Body, Dimension, DimensionId, Face, FeatureId, Kind, Measures, Reference, Role, Says};
use crate::measure::Length;
use crate::metric::MadeWith;
use crate::tables::general_tolerance::general_tolerance;
use crate::tables::processes::process;

/// A distance that has to be kept, and what lies at its ends.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct HeldDistance {
    pub name: String,
    /// The dimension that states it; none where a mate asks for it.
    pub dimension: Option<DimensionId>,
    /// What stands at its ends; of a distance from an edge there is but one.
    pub ends: (FeatureId, Option<FeatureId>),
    /// What the edge it is measured from may be out by itself.
    pub edge: Option<Share>,
    /// What is left of its tolerance after the metric choice.
    pub room: Length,
    /// Whether a tolerance is given for it.
    pub said: bool,
    /// What asks for it, and where that stands; none where its own dimension does.
    pub asked: Option<(String, String)>,
    /// Whether what asks for it is supposed.
    pub supposed: bool,
    /// Whether it may be let go, and told, where no order keeps it.
    pub may_go: bool,
    /// Whether the order is held to it.
    pub bound: bool,
}

impl HeldDistance {
    /// In the words that a reason begins with.
    pub(super) fn words(&self) -> String {
        match &self.asked {
            None => format!("`{}` is held within {}", self.name, room(self.room)),
            Some((because, _)) => {
                format!("`{}` has to come within {} ({because})", self.name, room(self.room))
            }
        }
    }
}

/// The distances that the drawing asks for, and those that mates and screws do. What stands
/// on a boss is its bore.
pub(super) fn held(job: &Job) -> Vec<HeldDistance> {
    let mut all: Vec<HeldDistance> = stated(job)
        .into_iter()
        .filter_map(|stated| {
            let drawn = stated.drawn;
            let toleranced = drawn.within.is_some() && drawn.measures == Measures::Position;
            // Between large faces a held distance binds though no tolerance is given.
            let held = drawn.role.0 == Role::Hold && stated.flat && stated.other.is_some();
            if !held && !toleranced {
                return None;
            }
            let choice = &job.metric.dimensions[stated.dimension.0];
            let moved = choice.chosen.gap(drawn.written.length);
            let room = (drawn.within.unwrap_or(choice.limit) - moved).max(Length::ZERO);
            Some(stated.held(room, drawn.within.is_some(), None))
        })
        .collect();
    all.extend(super::lined_up::all(job));
    all
}

/// The distances that the general tolerance bounds, of those that nothing else does: those
/// that not every way of making their ends keeps.
pub(super) fn general(job: &Job, makings: &Makings) -> Vec<HeldDistance> {
    let Some(class) = job.part.drawing.general_tolerance else { return Vec::new() };
    let all = stated(job).into_iter().filter_map(|stated| {
        let drawn = stated.drawn;
        if drawn.within.is_some() || drawn.role.0 == Role::Hold || drawn.measures != Measures::Position {
            return None;
        }
        // What is free has a new nominal size: the tolerance is that of the size it is made to.
        let size = job.metric.dimensions[stated.dimension.0].chosen.abs();
        let row = general_tolerance(class, size).ok()?;
        let because = format!("the general tolerance, class {}, at {size}", class.name());
        Some(stated.held(row.plus_minus, true, Some((because, row.source.to_string()))))
    });
    all.filter(|distance| !super::accuracy::always_kept(job, makings, distance)).collect()
}

/// A distance that a dimension states between two things that are made.
struct Stated<'a> {
    drawn: &'a Dimension,
    dimension: DimensionId,
    end: FeatureId,
    other: Option<FeatureId>,
    edge: Option<Share>,
    /// Whether holes of the large faces stand at both ends, or at one and an edge.
    flat: bool,
}

impl Stated<'_> {
    fn held(self, room: Length, said: bool, asked: Option<(String, String)>) -> HeldDistance {
        HeldDistance {
            name: self.drawn.name.clone(),
            dimension: Some(self.dimension),
            ends: (self.end, self.other),
            edge: self.edge,
            room,
            said,
            supposed: false,
            may_go: asked.is_some() || !self.flat || self.drawn.role.0 != Role::Hold,
            asked,
            bound: true,
        }
    }
}

fn stated<'a>(job: &Job<'a>) -> Vec<Stated<'a>> {
    let mut all = Vec::new();
    for (id, feature) in job.part.features() {
        for statement in &feature.placing {
            let (dimension, from) = match statement.says {
                Says::Along { dimension, from, .. }
                | Says::Polar { dimension, from, .. }
                | Says::Toward { dimension, from, .. }
                | Says::AtLine { dimension, from, .. }
                | Says::Distance { dimension, from, .. } => (dimension, from),
                _ => continue,
            };
            let Some(end) = end_at(job, id) else { continue };
            let drawn = &job.part.drawing.dimensions[dimension.0];
            let (other, edge) = match from {
                Reference::Feature(from) => match end_at(job, from) {
                    Some(other) if other != end => (Some(other), None),
                    _ => continue,
                },
                from if edge_stays(job, from) => (None, edge_itself(job, from)),
                _ => continue,
            };
            let flat = flat(job, end) && other.is_none_or(|other| flat(job, other));
            all.push(Stated { drawn, dimension, end, other, edge, flat });
        }
    }
    all
}

/// What is cut where a feature's place is realised: itself, or the bore on its axis.
pub(super) fn end_at(job: &Job, id: FeatureId) -> Option<FeatureId> {
    let feature = job.part.feature(id);
    match feature.kind {
        Kind::Hole { .. }
        | Kind::Tapped { .. }
        | Kind::Slot { .. }
        | Kind::CurvedSlot { .. }
        | Kind::TaperPin { .. }
        | Kind::Pocket { .. }
        | Kind::Square { .. }
        | Kind::Flatted { .. }
        | Kind::ClampScrew { .. }
        | Kind::Step { .. } => (!job.in_patterns().contains(&id)).then_some(id),
        Kind::PitchCircle { .. } | Kind::Row { .. } => Some(id),
        Kind::Boss { .. } => job.part.xy(id).and_then(|place| job.bore_on_axis(place)).map(|(bore, _)| bore),
        _ => None,
    }
}

/// Whether something is a hole of the large faces.
fn flat(job: &Job, id: FeatureId) -> bool {
    let feature = job.part.feature(id);
    matches!(feature.face, Face::Front | Face::Back)
        && !matches!(feature.kind, Kind::Step { .. } | Kind::ClampScrew { .. })
}

const fn face_of(from: Reference) -> Option<Face> {
    Some(match from {
        Reference::LeftEdge => Face::Left,
        Reference::RightEdge => Face::Right,
        Reference::TopEdge => Face::Top,
        Reference::BottomEdge => Face::Bottom,
        Reference::BackFace => Face::Back,
        Reference::FrontFace => Face::Front,
        Reference::Datum | Reference::Feature(_) => return None,
    })
}

/// Whether what is measured from is still there when all is done: the large faces of any
/// plate, the edges of a rectangle alone.
fn edge_stays(job: &Job, from: Reference) -> bool {
    match (&job.part.drawing.body, from) {
        (Body::Turned { .. }, _) => false,
        (_, Reference::BackFace | Reference::FrontFace) | (Body::Rectangle { .. }, _) => true,
        _ => false,
    }
}

/// What an edge or face is out by that is not worked from: it lies as far from the one
/// opposite as that was cut near its size.
fn edge_itself(job: &Job, from: Reference) -> Option<Share> {
    let face = face_of(from)?;
    let (side, end) = job.datum_edges();
    let back = job.cuts(Face::Back).then_some(Face::Back);
    let worked_from = [side, end, back];
    if worked_from.contains(&Some(face)) || !worked_from.contains(&Some(opposite(face))) {
        return None;
    }
    let row = match &job.part.drawing.body {
        Body::Rectangle { .. } if !matches!(face, Face::Front | Face::Back) => {
            process(if job.mills() { "mill to size" } else { "file to size" })
        }
        // Bought to its thickness, it is as near as the mill that rolled it.
        _ if thickness_from_stock(job) => return None,
        _ => process(if job.mills() { "face to thickness" } else { "file to thickness" }),
    };
    let error = row.size.unwrap_or_default();
    let of = format!("the {} itself: {}", said_of(face), row.name);
    Some(Share { of, error, source: row.source.to_string() })
}

fn said_of(face: Face) -> String {
    let word = face.word();
    if matches!(face, Face::Front | Face::Back) { format!("{word} face") } else { format!("{word} edge") }
}

/// Whether a plate is bought to its thickness.
pub(super) fn thickness_from_stock(job: &Job) -> bool {
    let thickness = match &job.part.drawing.body {
        Body::Bosses { thickness, .. }
        | Body::Outline { thickness, .. }
        | Body::Rectangle { thickness, .. }
        | Body::Disc { thickness, .. } => *thickness,
        Body::Turned { .. } => return false,
    };
    matches!(job.metric.dimensions[thickness.0].made, MadeWith::Stock(_) | MadeWith::Exact)
}

/// Whether an order is held to anything that may be let go.
pub(super) fn may_go(makings: &Makings) -> bool {
    let oriented = makings.oriented.iter().any(|demand| demand.bound);
    oriented
        || !makings.coaxial.is_empty()
        || makings.held.iter().any(|distance| distance.may_go && distance.bound)
}

/// Lets go of every distance that may be; whether there was one.
pub(super) fn let_all_go(makings: &mut Makings) -> bool {
    for demand in &mut makings.oriented {
        demand.bound = false;
    }
    let goes = makings.held.iter_mut().filter(|distance| distance.may_go);
    goes.map(|distance| distance.bound = false).count() > 0
}

/// Of so many distances that may go each is tried by itself; past it all are let go.
const MOST_TRIED: usize = 12;

/// Lets go of what no order keeps, as `possible` tells: what runs true is kept before
/// distances, and of either what stands earlier in its list.
pub(super) fn let_go(makings: &mut Makings, mut possible: impl FnMut(&Makings) -> bool) {
    let_all_go(makings);
    for demand in &mut makings.coaxial {
        demand.bound = false;
    }
    for n in 0..makings.coaxial.len() {
        makings.coaxial[n].bound = true;
        makings.coaxial[n].bound = possible(makings);
    }
    for n in 0..makings.oriented.len().min(MOST_TRIED) {
        makings.oriented[n].bound = true;
        makings.oriented[n].bound = possible(makings);
    }
    let go: Vec<usize> = (0..makings.held.len()).filter(|&n| makings.held[n].may_go).collect();
    for n in go.into_iter().take(MOST_TRIED) {
        makings.held[n].bound = true;
        makings.held[n].bound = possible(makings);
    }
}
