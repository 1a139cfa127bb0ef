//! What is done to a plate or block: blanks, holes, steps, slots and slits.
//!
//! The outline is [`super::ends`]. Everything here offers every sensible place for
//! a deed and leaves it to the rules and the search which is used.

use super::deed::{Deed, Job, Lot, Makings};
use super::words;
use super::work::{Held, Holding, Joined, Located, Lots, Machine, Pieces, Tool, Work};
use super::{chains, ends};
use crate::bench::Stock;
use crate::drawing::{Body, Face, FeatureId};
use crate::measure::Length;
use crate::metric::MadeWith;
use crate::problem::Outcome;
use crate::tables::processes::{limit, stands_firm};

/// Everything that may be done to a plate, and where.
pub(super) fn makings(job: &Job) -> Outcome<Makings> {
    super::joints::reached(job)?;
    let mut makings = Makings::default();
    blanks(job, &mut makings);
    makings.held = super::kept::held(job);
    makings.oriented = super::oriented::demands(job);
    let in_patterns = job.in_patterns();
    for (id, _) in job.part.features().filter(|(id, _)| !in_patterns.contains(id)) {
        chains::chain(job, &mut makings, id);
    }
    ends::outline(job, &mut makings)?;
    super::parted::deeds(job, &mut makings)?;
    super::screwed::screw(job, &mut makings);
    super::waste::before_outline(job, &mut makings);
    super::harden::all(job, &mut makings);
    let general = super::kept::general(job, &makings);
    makings.held.extend(general);
    Ok(makings)
}

/// From sawn blank to something that can be located.
fn blanks(job: &Job, makings: &mut Makings) {
    let thickness = match &job.part.drawing.body {
        Body::Bosses { thickness, .. }
        | Body::Outline { thickness, .. }
        | Body::Rectangle { thickness, .. }
        | Body::Disc { thickness, .. } => *thickness,
        Body::Turned { .. } => return,
    };
    if job.part.drawing.stock.as_ref().is_some_and(|stock| stock.stays_as_cast(&job.part.drawing.body)) {
        makings.assume(
            "no face of the casting is named in `machined`: all of them stay as cast, whatever is left on them".into(),
        );
    }
    let from_stock =
        matches!(job.metric.dimensions[thickness.0].made, MadeWith::Stock(Stock { .. }) | MadeWith::Exact);
    if !from_stock {
        if let Some(casting) = job.casting()
            && casting.allowance.is_none()
        {
            makings.assume(format!("{} is left on each face of the casting that is cut", casting.left_on()));
        }
        for lot in job.singles() {
            if !job.mills() {
                super::by_eye::faces(job, makings, lot);
                continue;
            }
            let place = makings.place(job, lot, facing(job, lot));
            let mill = job.mill_along(Length::ZERO, makings);
            add(job, makings, Work::FaceToThickness, None, lot, Tool::EndMill(mill), vec![place]);
        }
    }
    if job.scheme.sticks() {
        let place = super::screwed::on_bench(job, makings);
        let [together, apart] = match job.scheme.joined {
            Joined::Stuck => [Tool::Adhesive, Tool::Warmth],
            Joined::Screwed => [Tool::Clamps, Tool::Screws],
        };
        add(job, makings, Work::Stick, None, Lot::Stack, together, vec![place]);
        add(job, makings, Work::Part, None, Lot::Stack, apart, vec![place]);
    }
    let lots = match job.scheme.sticks() {
        true => vec![Lot::Stack],
        false if job.squares_both() => vec![Lot::Both],
        false => job.singles(),
    };
    let (first, then) = job.cast_edges();
    if job.casting().is_some() && first.is_empty() {
        return;
    }
    for lot in lots {
        let sized = matches!(job.part.drawing.body, Body::Rectangle { .. }) && !then.is_empty();
        if !job.mills() {
            super::by_eye::squares(job, makings, lot, sized);
            continue;
        }
        let place = makings.place(job, lot, squaring(job, lot));
        let mill = Tool::EndMill(job.mill_along(job.metal(lot), makings));
        let fills = makings.places[place].holding.pieces.lots().map_or(1, |lots| u64::from(lots.fills()));
        for work in [Some(Work::SquareEdges), sized.then_some(Work::MillToSize)].into_iter().flatten() {
            // What is gripped together is cut as one.
            let minutes = work.minutes(&mill) * fills;
            let squared = deed(job, work, None, lot, mill.clone(), vec![place]);
            makings.deeds.push(Deed { minutes, ..squared });
        }
    }
}

fn facing(job: &Job, lot: Lot) -> Holding {
    Holding {
        machine: Machine::Mill,
        pieces: job.pieces(lot),
        up: Face::Front,
        held: Held::ViceOnParallels,
        located: Located::SawnBlank,
        image: job.image(lot),
        steadied: Default::default(),
    }
}

impl Job<'_> {
    /// Whether the blanks of both hands, alike until the first cut is made in one, are squared face to face.
    pub(super) fn squares_both(&self) -> bool {
        let gripped = self.face_to_face(Lot::Both).is_some_and(|lots| lots.high > 1);
        self.scheme.both_hands() && !self.scheme.sticks() && self.mills() && gripped
    }

    /// How many blanks go face to face between the jaws, where they stand on end for it and are not stuck:
    /// as many as its jaws open for. What lies flat for its end goes by itself.
    fn face_to_face(&self, lot: Lot) -> Option<Lots> {
        let [left, right, bottom, top] = self.part.edges();
        let stands = (right - left).max(top - bottom) + limit("blank margin") * 2
            <= stands_firm(self.bench.mill.vice_depth());
        let (Pieces::Each(lots) | Pieces::Both(lots)) = self.pieces(lot) else { return None };
        let open = limit("vice opening").as_mm() / self.part.thickness().as_mm();
        let fills = (lots.pieces as f64 / open.floor().max(1.0)).ceil().max(1.0) as u32;
        (stands && self.casting().is_none()).then(|| Lots { high: lots.pieces.div_ceil(fills), ..lots })
    }
}

/// On edge in the vice; of several by themselves as many face to face as go, squared as one.
fn squaring(job: &Job, lot: Lot) -> Holding {
    let pieces = match (job.pieces(lot), job.face_to_face(lot)) {
        (Pieces::Each(_), Some(lots)) => Pieces::Each(lots),
        (Pieces::Both(_), Some(lots)) => Pieces::Both(lots),
        (pieces, _) => pieces,
    };
    Holding {
        machine: Machine::Mill,
        pieces,
        up: Face::Bottom,
        held: Held::ViceOnEdge,
        located: Located::SawnBlank,
        image: job.image(lot),
        steadied: Default::default(),
    }
}

/// Adds a deed that is always done.
pub(super) fn add(
    job: &Job,
    makings: &mut Makings,
    work: Work,
    feature: Option<FeatureId>,
    lot: Lot,
    tool: Tool,
    places: Vec<usize>,
) {
    let deed = deed(job, work, feature, lot, tool, places);
    makings.deeds.push(deed);
}

pub(super) fn deed(
    job: &Job,
    work: Work,
    feature: Option<FeatureId>,
    lot: Lot,
    tool: Tool,
    places: Vec<usize>,
) -> Deed {
    let text = words::text(job, &work, feature, &tool);
    let spent = work.minutes(&tool) * job.turns(lot);
    Deed { work, feature, lot, tool, minutes: spent, text, places, aids: Vec::new(), choice: None }
}
