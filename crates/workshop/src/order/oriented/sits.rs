//! What the work sits on in a holding, and how the faces of a blank lie to each other.

use super::{is_datum_edge, share, unknown};
use crate::drawing::{Axis, Element, Face, Lies};
use crate::measure::Length;
use crate::order::accuracy::Share;
use crate::order::deed::{Job, Makings};
use crate::order::kept::thickness_from_stock;
use crate::order::places::opposite;
use crate::order::work::{Held, Holding, Machine, Pieces, Work};
use crate::tables::processes::trueness;

/// How the work sits for one cut.
pub(super) struct Seat {
    /// The face that it takes its direction from.
    pub on: Face,
    /// The rows of the table that say how well it sits, and each in words.
    rows: Vec<(&'static str, String)>,
}

impl Seat {
    /// What sitting so may be out by.
    pub(super) fn shares(&self, job: &Job, over: Length) -> Vec<Share> {
        let across = sits_on(job, self.on);
        let of = |(row, words): &(&'static str, String)| {
            share(words.clone(), trueness(row).unwrap_or_else(unknown), over, across)
        };
        self.rows.iter().map(of).collect()
    }
}

/// How much of the work rests there, the way that it can tip.
fn sits_on(job: &Job, on: Face) -> Length {
    match on.axis() {
        Axis::Z => job.part.whole(Axis::X).min(job.part.whole(Axis::Y)),
        Axis::X => job.part.whole(Axis::Y),
        Axis::Y => job.part.whole(Axis::X),
    }
}

/// What the work sits on in a place, for a cut that has to lie so to something else.
pub(super) fn seat(job: &Job, makings: &Makings, place: usize, to: Element) -> Seat {
    let place = &makings.places[place];
    let Holding { up, ref held, machine, pieces, .. } = place.holding;
    let up = job.side(place.lot, up);
    let beneath = opposite(up);
    let named = |face: Face| Element::Face(face).called(job.part.drawing);
    // On edge the jaw settles how it stands to the large faces, and what is beneath it the rest.
    let level = match to.lies(&job.part.drawing.features) {
        Some(Lies::Across(axis) | Lies::Along(axis)) => axis == Axis::Z,
        None => false,
    };
    let edgewise = up.axis() != Axis::Z;
    let (on, row, words) = match (held, machine) {
        (_, Machine::DrillPress) => (beneath, "drilling vice", "sat in the drilling vice on"),
        (Held::ViceOnEdge | Held::BenchVice, _) if edgewise && level => {
            (Face::Back, "fixed jaw", "pressed to the fixed jaw by")
        }
        (Held::ClampsMoved, _) => (beneath, "clamped down", "clamped down on"),
        (Held::BoltOnPlate { .. } | Held::PlateSwung { .. } | Held::PlateTurned { .. }, _) => {
            (beneath, "clamped down", "bolted down on")
        }
        (Held::PlateOnEdge { .. }, _) => (Face::Back, "clamped down", "bolted to a plate by"),
        _ => (beneath, "parallels", "sat on parallels by"),
    };
    let mut rows = vec![(row, format!("{words} {}", named(on)))];
    match pieces {
        Pieces::Stack(_) => rows.push(("adhesive film", "the adhesive between the pieces".to_owned())),
        Pieces::Joint { .. } => rows.push(("laid on another part", "laid on the other part".to_owned())),
        _ => {}
    }
    Seat { on, rows }
}

/// What two faces of a blank may be out by to each other, over a length.
pub(super) fn faces(job: &Job, makings: &Makings, one: Face, other: Face, over: Length) -> Vec<Share> {
    if one == other {
        return Vec::new();
    }
    let mut all = Vec::new();
    let large = |face: Face| face.axis() == Axis::Z;
    match (large(one), large(other)) {
        (true, true) => all.extend(thickness(job, makings, over)),
        (false, false) => {
            let own = [one, other].map(|face| from_datum_edge(job, makings, face, over));
            all.extend(own.into_iter().flatten().flatten());
            if one.axis() != other.axis() {
                all.push(by(job, makings, &Work::SquareEdges, over, "two edges square"));
            }
        }
        (is_large, _) => {
            let (side, face) = if is_large { (other, one) } else { (one, other) };
            if job.mills() {
                let jaw = trueness("fixed jaw").unwrap_or_else(unknown);
                all.push(share(
                    "the edge milled with the back face to the fixed jaw".into(),
                    jaw,
                    over,
                    over,
                ));
            }
            let work = if is_datum_edge(job, side) { Work::SquareEdges } else { Work::MillToSize };
            all.push(by(job, makings, &work, over, "the edge"));
            if face == Face::Front {
                all.extend(thickness(job, makings, over));
            }
        }
    }
    all
}

/// How the two large faces lie to each other.
fn thickness(job: &Job, makings: &Makings, over: Length) -> Vec<Share> {
    let cast = [Face::Front, Face::Back].iter().any(|&face| !job.cuts(face));
    if cast {
        return vec![share("a face as it was cast".into(), unknown(), over, over)];
    }
    if thickness_from_stock(job) {
        let row = trueness("stock as it comes").unwrap_or_else(unknown);
        return vec![share("the faces as the stock has them".into(), row, over, over)];
    }
    let own = by(job, makings, &Work::FaceToThickness, over, "faced to thickness");
    let sits = trueness("parallels").unwrap_or_else(unknown);
    let sits = share("turned over on to the first face".into(), sits, over, sits_on(job, Face::Back));
    if job.mills() { vec![own, sits] } else { vec![own] }
}

/// How an edge lies to the one opposite that it was cut to size from; none for that one itself.
fn from_datum_edge(job: &Job, makings: &Makings, face: Face, over: Length) -> Option<Vec<Share>> {
    if is_datum_edge(job, face) {
        return None;
    }
    let mut all = vec![by(job, makings, &Work::MillToSize, over, "cut to size")];
    if job.mills() {
        let row = trueness("parallels").unwrap_or_else(unknown);
        all.push(share("sat on parallels by the edge opposite".into(), row, over, sits_on(job, face)));
    }
    Some(all)
}

/// What the work that gives a blank some of its faces is out by; as cast where nothing does.
fn by(job: &Job, makings: &Makings, work: &Work, over: Length, words: &str) -> Share {
    let made = makings.deeds.iter().find(|deed| deed.work == *work);
    let row = made.and_then(|deed| trueness(deed.process().name)).unwrap_or_else(unknown);
    let of =
        made.map_or_else(|| format!("{words}: not cut at all"), |deed| format!("`{}`: {words}", deed.text));
    share(of, row, over, job.part.whole(Axis::X).min(job.part.whole(Axis::Y)))
}
