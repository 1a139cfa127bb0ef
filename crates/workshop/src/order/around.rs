//! An outline of corners, round ends and arcs: which piece is cut how.
//!
//! Round ends and the flanks between two of them are cut as on any lever
//! ([`super::ends`]). Of the rest, sides along the drawing's axes are milled by
//! coordinates, sides that slant milled with the plate swung where bores hold one, and
//! small roundings filed to a gauge. An arc, hollow or not, may be cut on the rotary table
//! about its bore, or on a plate with its own centre over the table's, and a side is then laid
//! along X there too; or it, or a side that nothing turns, is stepped by coordinates and smoothed with a file, or filed; the search chooses. A piece
//! no cutter gets into is filed to a line.

mod ruled_out;

use super::deed::{Deed, Job, Lot, Makings};
use super::ends::{FILED_TO_DISCS, between_discs, end, flanks, no_turning, on_table, turns_about};
use super::offers::offer;
use super::places::{at_bench, from_edges, from_plate, plate_swung, plate_turned};
use super::plates::deed;
use super::work::{Aid, Held, Holding, Located, Machine, Tool, Work};
use crate::bench::EndMill;
use crate::drawing::{Around, Face, FeatureId, Kind};
use crate::geometry::around::Named;
use crate::geometry::milled::road;
use crate::geometry::{Arc, Segment};
use crate::measure::Length;
use crate::problem::Outcome;
use crate::settings::cutter::stiffer;
use crate::tables::processes::{limit, process};

/// The least radius of a rounding that is worth stepping on the mill; below it a file
/// and a radius gauge are quicker.
fn stepped_from_mm() -> f64 {
    limit("stepped radius").as_mm()
}

/// Straight sides this near an axis lie along it: far below what a square shows.
const ALONG_RAD: f64 = 1e-9;

/// How a piece is brought out.
#[derive(Clone, Debug, PartialEq)]
enum How {
    /// With a round end, or between two.
    Elsewhere,
    /// Along X or Y.
    Mill(EndMill),
    /// Along X once the plate is swung.
    Swing(EndMill),
    /// On the rotary table.
    Turn(EndMill, Seat),
    /// An arc by stepped coordinates.
    Step(EndMill),
    /// A slanting side by stepped coordinates.
    StepSide(EndMill),
    /// By hand.
    File,
    /// By hand to plain discs stuck to both faces.
    Discs,
    /// The cutter of the two sides beside it leaves it so.
    LeftByCutter,
}

/// How work lies on the rotary table.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Seat {
    /// On a stub in a bore.
    Stub(FeatureId),
    /// On a plate, a place of the drawing over the table's centre.
    Plate((Length, Length)),
}

/// More centres of one outline than anybody brings over the table's one after another: common
/// practice, from memory.
const MOST_CENTRES: usize = 4;

/// As many places on the rotary table as sides are offered, beside the mill's own table.
const MOST_SEATS: usize = 3;

impl Seat {
    /// As a holding; none where it cannot be.
    fn holding(self, job: &Job, lot: Lot) -> Option<Holding> {
        match self {
            Self::Stub(bore) => Some(on_table(job, lot, bore)),
            Self::Plate(about) => plate_turned(job, lot, about).ok(),
        }
    }
}

/// Adds what cuts the outline.
pub(super) fn outline(job: &Job, makings: &mut Makings, around: &[Around]) -> Outcome<()> {
    let named = job.part.pieces().map_err(|fault| vec![fault.at(job.part.drawing.file.clone())])?;
    let bosses: Vec<Option<FeatureId>> = around.iter().map(|item| boss(job, item)).collect();
    for &id in bosses.iter().flatten() {
        end(job, makings, id);
    }
    let next = |n: usize| bosses[(n + 1) % bosses.len()];
    let pairs = (0..bosses.len()).filter_map(|n| Some((bosses[n]?, next(n)?))).filter(|(a, b)| a != b);
    flanks(job, makings, &pairs.collect::<Vec<_>>());
    let bosses: Vec<FeatureId> = bosses.into_iter().flatten().collect();
    let (ways, out) = ways(job, makings, &named, &bosses);
    let seats = seats(job, &ways, &bosses);
    for (piece, ways) in ways.iter().enumerate() {
        if ways.iter().all(|way| way.words().is_none()) {
            continue;
        }
        let out = out[piece].clone();
        let feature = corner(job, &named.names[piece]);
        let words: Vec<&str> = ways.iter().filter_map(How::words).collect();
        let long = Length::nearest(named.outline.segments()[piece].length_mm());
        offer(job, makings, &named.names[piece], &words, out, |makings, way, lot| {
            ways[way].deeds(job, makings, (piece, feature, long), (lot, &seats))
        });
    }
    Ok(())
}

impl How {
    /// How near a radius comes so; none where another cut brings it out.
    fn size_within(&self) -> Option<Length> {
        let row = match self {
            Self::Elsewhere | Self::LeftByCutter => return None,
            Self::Mill(_) | Self::Swing(_) => "mill a side",
            Self::Turn(..) => "turn an arc",
            Self::Step(_) | Self::StepSide(_) => "step an arc",
            Self::File => "file a side",
            Self::Discs => "file to buttons",
        };
        process(row).size
    }

    /// In the words of a variant; none where another cut brings it out.
    fn words(&self) -> Option<&'static str> {
        match self {
            Self::Elsewhere | Self::LeftByCutter => None,
            Self::Mill(_) | Self::Swing(_) => Some("milled"),
            Self::Turn(..) => Some(TURNED),
            Self::Step(_) => Some(STEPPED),
            Self::StepSide(_) => Some("milled by stepped coordinates"),
            Self::File => Some(FILED),
            Self::Discs => Some(FILED_TO_DISCS),
        }
    }

    /// What is done to a piece so: its number, the corner it rounds, and how long it is.
    fn deeds(
        &self,
        job: &Job,
        makings: &mut Makings,
        (piece, feature, long): (usize, Option<FeatureId>, Length),
        (lot, seats): (Lot, &[Seat]),
    ) -> Vec<Deed> {
        let by_hand = |deed: Deed| Deed {
            minutes: deed.work.process().minutes_by_hand(long, job.metal(lot)) * job.turns(lot),
            ..deed
        };
        let cut =
            |work, mill: &EndMill, places| deed(job, work, feature, lot, Tool::EndMill(mill.clone()), places);
        // Laid along X there too, where the square edges are not what it is found from.
        let or_turned = |makings: &mut Makings, first: Holding| {
            let from_edges = matches!(first.located, Located::Edges(..));
            let mut places = vec![makings.place(job, lot, first)];
            let seats = seats.iter().filter(|_| !from_edges).filter_map(|seat| seat.holding(job, lot));
            places.extend(seats.map(|seat| makings.place(job, lot, seat)));
            places
        };
        match self {
            Self::Elsewhere | Self::LeftByCutter => Vec::new(),
            Self::Mill(mill) => {
                let places = or_turned(makings, flat(job, lot));
                vec![cut(Work::MillSide { piece }, mill, places)]
            }
            Self::Swing(mill) => {
                let Some(swung) = plate_swung(job, lot) else { return Vec::new() };
                let places = or_turned(makings, swung);
                vec![cut(Work::MillSide { piece }, mill, places)]
            }
            Self::Turn(mill, seat) => {
                let Some(holding) = seat.holding(job, lot) else { return Vec::new() };
                let place = makings.place(job, lot, holding);
                let mut turn = cut(Work::TurnArc { piece }, mill, vec![place]);
                if let Seat::Stub(bore) = *seat {
                    turn.aids.push(Aid::StubMandrel { bore, on: Machine::RotaryTable });
                }
                vec![turn]
            }
            Self::Step(mill) | Self::StepSide(mill) => {
                let place = makings.place(job, lot, flat(job, lot));
                let mut step = cut(Work::StepArc { piece }, mill, vec![place]);
                step.minutes = step.work.process().minutes_for(long) * job.turns(lot);
                let place = at_bench(job, makings, lot);
                let work = Work::FileRidges { piece: Some(piece) };
                vec![step, by_hand(deed(job, work, feature, lot, Tool::File, vec![place]))]
            }
            Self::Discs => {
                let place = makings.place(job, lot, between_discs(job, lot, Located::Line));
                let mut file = deed(job, Work::FileSide { piece }, feature, lot, Tool::File, vec![place]);
                file.aids.extend(feature.map(|round| Aid::PlainButtons { round }));
                file.text += " to the buttons";
                file.minutes = file.process().minutes_by_hand(long, job.metal(lot)) * job.turns(lot);
                vec![file]
            }
            Self::File => {
                let place = at_bench(job, makings, lot);
                vec![by_hand(deed(job, Work::FileSide { piece }, feature, lot, Tool::File, vec![place]))]
            }
        }
    }
}

fn boss(job: &Job, item: &Around) -> Option<FeatureId> {
    match item {
        Around::At(id) => matches!(job.part.feature(*id).kind, Kind::Boss { .. }).then_some(*id),
        Around::Arc { .. } => None,
    }
}

/// Bolted through its bores, or clamped down where there are none.
fn flat(job: &Job, lot: Lot) -> Holding {
    from_plate(job, lot, Face::Front)
        .unwrap_or_else(|| Holding { held: Held::ClampsMoved, ..from_edges(job, lot, Face::Front) })
}

/// The corner that a piece rounds.
fn corner(job: &Job, name: &str) -> Option<FeatureId> {
    let corner = |f: &crate::drawing::Feature| f.name == name && matches!(f.kind, Kind::Corner { .. });
    job.part.features().find(|(_, f)| corner(f)).map(|(id, _)| id)
}

/// Ways that are out, each with the reason.
type Out = Vec<(&'static str, String)>;

/// The ways each piece may be cut, one at least, and those that are out.
fn ways(job: &Job, makings: &mut Makings, named: &Named, bosses: &[FeatureId]) -> (Vec<Vec<How>>, Vec<Out>) {
    let segments = named.outline.segments();
    let elsewhere: Vec<bool> = named
        .names
        .iter()
        .zip(segments)
        .map(|(name, piece)| is_elsewhere(job, name, piece, bosses))
        .collect();
    let swings = plate_swung(job, Lot::Piece(0)).is_some();
    let milled = |piece: usize| {
        job.mills()
            && match segments[piece] {
                Segment::Line(_) => true,
                Segment::Arc(arc) => arc.sweep_rad < 0.0 || arc.radius_mm >= stepped_from_mm(),
            }
    };
    let wanted: Vec<usize> = (0..segments.len()).filter(|&n| !elsewhere[n] && milled(n)).collect();
    let mills = mills(job, makings);
    let fits =
        |mill: &EndMill, piece: usize| road(&named.outline, piece, mill.diameter.half().as_mm()).is_some();
    // One cutter for the whole outline where one gets in everywhere.
    let all_round = mills.iter().find(|mill| wanted.iter().all(|&piece| fits(mill, piece)));
    let centres = centres(job, segments, &elsewhere);
    let mut out: Vec<Out> = vec![Vec::new(); segments.len()];
    let mut way = |piece: usize| -> Vec<How> {
        if elsewhere[piece] {
            return vec![How::Elsewhere];
        }
        let mill = all_round.or_else(|| mills.iter().find(|mill| fits(mill, piece)));
        match (segments[piece], mill.filter(|_| milled(piece)).cloned()) {
            (Segment::Line(line), Some(mill)) if along_axis(line.direction_rad()) => vec![How::Mill(mill)],
            (Segment::Line(_), Some(mill)) if swings => vec![How::Swing(mill)],
            (Segment::Line(_), Some(mill)) => vec![How::StepSide(mill), How::File],
            (Segment::Line(_), None) => vec![How::File],
            (Segment::Arc(arc), mill) => {
                let turns = |mill: &&EndMill| fits(mill, piece) && goes_round(mill, arc);
                let own = mill.iter().chain(&mills).find(turns).cloned();
                let turn = match turned(job, arc, &centres) {
                    Ok(seat) => own.map(|mill| How::Turn(mill, seat)),
                    Err(because) => {
                        out[piece].extend(because.map(|because| (TURNED, because)));
                        None
                    }
                };
                let mut ways: Vec<How> =
                    turn.into_iter().chain(mill.map(How::Step)).chain([How::File]).collect();
                let corner = corner(job, &named.names[piece]);
                out[piece].extend(ruled_out::too_rough(job, corner, segments[piece], &mut ways));
                out[piece].extend(ruled_out::by_hand_or_not(job, segments[piece], &mut ways));
                ways
            }
        }
    };
    let mut ways: Vec<Vec<How>> = (0..segments.len()).map(&mut way).collect();
    left_by_cutter(segments, &mut ways);
    for (piece, ways) in ways.iter().enumerate() {
        // What is filed because the rest is out says so with its reason.
        let alone = ways.len() == 1 && out[piece].is_empty();
        for how in ways.iter().filter(|how| alone || **how != How::File) {
            say(job, makings, named, piece, how);
        }
    }
    (ways, out)
}

/// What turning an arc is called.
const TURNED: &str = "rounded on the rotary table";
/// What filing it is called.
const FILED: &str = "filed to a line";
/// What stepping it is called.
const STEPPED: &str = "rounded by stepped coordinates";

/// Whether a cutter goes round an arc: in a hollow of its own radius it only stands.
fn goes_round(mill: &EndMill, arc: Arc) -> bool {
    arc.sweep_rad > 0.0 || mill.diameter.half().as_mm() < arc.radius_mm - 1e-3
}

/// The centres that a plate brings over the table's: of the arcs that are longest round, the
/// centres of bored round ends left out.
fn centres(job: &Job, segments: &[Segment], elsewhere: &[bool]) -> Vec<(Length, Length)> {
    let mut found: Vec<((Length, Length), f64)> = Vec::new();
    for (segment, _) in segments.iter().zip(elsewhere).filter(|(_, elsewhere)| !**elsewhere) {
        let Segment::Arc(arc) = segment else { continue };
        if arc.sweep_rad > 0.0 && arc.radius_mm < stepped_from_mm() || stub(job, *arc).is_ok() {
            continue;
        }
        let centre = centre_of(*arc);
        let long_mm = segment.length_mm();
        match found.iter_mut().find(|(known, _)| *known == centre) {
            Some((_, all_mm)) => *all_mm += long_mm,
            None => found.push((centre, long_mm)),
        }
    }
    found.sort_by(|a, b| b.1.total_cmp(&a.1).then(a.0.cmp(&b.0)));
    found.truncate(MOST_CENTRES);
    found.into_iter().map(|(centre, _)| centre).collect()
}

/// The centre of an arc to the nanometre: arcs about one centre have one.
fn centre_of(arc: Arc) -> (Length, Length) {
    (Length::nearest(arc.centre.x_mm), Length::nearest(arc.centre.y_mm))
}

/// Where sides may be laid along X on the rotary table: wherever arcs or round ends are turned.
fn seats(job: &Job, ways: &[Vec<How>], bosses: &[FeatureId]) -> Vec<Seat> {
    let own = ways.iter().flatten().filter_map(|how| match how {
        How::Turn(_, seat) => Some(*seat),
        _ => None,
    });
    let ends = bosses.iter().filter_map(|&boss| Some(Seat::Stub(turns_about(job, boss).ok()?)));
    let mut seats: Vec<Seat> = Vec::new();
    for seat in own.chain(ends) {
        if !seats.contains(&seat) && seats.len() < MOST_SEATS {
            seats.push(seat);
        }
    }
    seats
}

/// What a person would ask about a piece, on the cover.
fn say(job: &Job, makings: &mut Makings, named: &Named, piece: usize, how: &How) {
    if !job.mills() {
        return; // all of it is filed, and the cover says so once
    }
    let name = &named.names[piece];
    if let How::Mill(mill) | How::Step(mill) | How::StepSide(mill) | How::Swing(mill) | How::Turn(mill, _) =
        how
    {
        let found = road(&named.outline, piece, mill.diameter.half().as_mm());
        if found.is_some_and(|found| found.short_mm.iter().any(|&short| short > 0.0)) {
            makings.assume(format!(
                "the inside corner at the end of {name} comes out round, as the {} cutter leaves it: file it sharp",
                mill.diameter
            ));
        }
    }
    match (how, named.outline.segments()[piece]) {
        (How::File, Segment::Line(_)) => {
            makings.assume(format!("{name} is filed to a line: no cutter gets in"))
        }
        (How::File, Segment::Arc(arc)) if arc.radius_mm >= stepped_from_mm() || arc.sweep_rad < 0.0 => {
            makings.assume(format!("{name} is filed to a gauge: no cutter on the bench gets in"));
        }
        _ => {}
    }
}

/// End mills that cover the metal, the one that bends least first; the longest where none does.
fn mills(job: &Job, makings: &mut Makings) -> Vec<EndMill> {
    let pair = job.scheme.sticks() && job.mill_covers(job.metal(Lot::Stack));
    let deep = job.metal(if pair { Lot::Stack } else { Lot::Piece(0) });
    let mut mills: Vec<EndMill> =
        job.bench.end_mills.iter().filter(|mill| mill.flute >= deep).cloned().collect();
    mills.sort_by(stiffer);
    if mills.is_empty() && job.mills() {
        mills.push(job.mill_along(deep, makings));
    }
    mills
}

/// Whether a piece belongs to a round end, or to the straight flank between two.
fn is_elsewhere(job: &Job, name: &str, piece: &Segment, bosses: &[FeatureId]) -> bool {
    let own = |name: &str| bosses.iter().any(|&id| job.name(id) == name);
    let flank = |a: &FeatureId| name.strip_prefix(job.name(*a))?.strip_prefix(" to ");
    let straight = matches!(piece, Segment::Line(_));
    own(name) || (straight && bosses.iter().filter_map(flank).any(own))
}

fn along_axis(rad: f64) -> bool {
    rad.sin().abs() < ALONG_RAD || rad.cos().abs() < ALONG_RAD
}

/// How an arc lies on the rotary table; else why it cannot be cut there, where that is worth
/// saying.
fn turned(job: &Job, arc: Arc, centres: &[(Length, Length)]) -> Result<Seat, Option<String>> {
    if arc.sweep_rad > 0.0 && arc.radius_mm < stepped_from_mm() {
        return Err(None);
    }
    let because = match stub(job, arc) {
        Ok(bore) => return Ok(Seat::Stub(bore)),
        Err(because) => because,
    };
    let centre = centre_of(arc);
    match plate_turned(job, Lot::Piece(0), centre) {
        Ok(_) if centres.contains(&centre) => Ok(Seat::Plate(centre)),
        Ok(_) => {
            Err(Some(format!("{MOST_CENTRES} longer arcs are offered there, each about its own centre")))
        }
        // Where there is no table nobody asks, unless a bore would have done.
        Err(_) if because.is_some() => Err(because),
        Err(because) => Err(job.bench.rotary_table.as_ref().filter(|_| job.mills()).map(|_| because)),
    }
}

/// The bore about which an arc is turned on a stub.
fn stub(job: &Job, arc: Arc) -> Result<FeatureId, Option<String>> {
    let (bore, diameter) = job.bore_on_axis(centre_of(arc)).filter(|_| arc.sweep_rad > 0.0).ok_or(None)?;
    no_turning(job, bore, diameter).map_or(Ok(bore), |because| Err(Some(because)))
}

/// A hollow of the cutter's own radius between two sides that the same cutter mills
/// needs no cut of its own.
fn left_by_cutter(segments: &[Segment], ways: &mut [Vec<How>]) {
    let count = ways.len();
    for piece in 0..count {
        let Segment::Arc(arc) = segments[piece] else { continue };
        let own = ways[piece].iter().find_map(|how| match how {
            How::Step(mill) => Some(mill.clone()),
            _ => None,
        });
        let Some(mill) = own else { continue };
        let same = arc.sweep_rad < 0.0 && (arc.radius_mm - mill.diameter.half().as_mm()).abs() < 1e-6;
        let beside = |n: usize| matches!(&ways[n][..], [How::Mill(other)] if *other == mill);
        if same && beside((piece + count - 1) % count) && beside((piece + 1) % count) {
            ways[piece] = vec![How::LeftByCutter];
        }
    }
}
