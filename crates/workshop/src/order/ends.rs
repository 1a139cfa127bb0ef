//! The outline of a plate: rounded ends and straight flanks.
//!
//! A boss may be rounded on the rotary table where its bore takes a stub, or two other bores a
//! plate that brings its centre over the table's, and the blank swings clear of the column; filed
//! to buttons in its bore; or milled by stepped coordinates, the ridges filed off; without a bore it
//! may be filed to plain discs stuck to its faces, where its radius is held nearer than else it
//! comes; where neither a bore nor a long enough cutter serves, it
//! may be filed to a scribed line. Whatever of it this bench can do is offered, and the
//! search takes what makes the whole order cheapest. Hand work is not had for nothing: each
//! end is a holding of its own, and its minutes go with the metal.

use super::deed::{Deed, Job, Lot, Makings};
use super::offers::{offer, pair_or_each};
use super::places::{from_edges, from_plate, holding, least_bore, plate_swung, plate_turned};
use super::plates::deed;
use super::work::{Aid, Held, Holding, Located, Machine, Tool, Work};
use crate::drawing::{Body, Face, FeatureId, Image, Kind};
use crate::geometry::Segment;
use crate::measure::{Length, Toward};
use crate::problem::Outcome;
use crate::settings::plain_buttons;
use crate::tables::processes::{limit, process};

/// How a boss may be rounded.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Rounding {
    Table {
        bore: FeatureId,
    },
    /// On the table with the plate, its own centre over the table's.
    Plate {
        about: (Length, Length),
    },
    Buttons {
        bore: FeatureId,
    },
    /// To plain discs stuck to both faces, where there is no bore.
    Discs,
    Steps,
    /// By hand to a scribed line, where nothing else serves.
    Line,
}

/// Adds what forms the outline.
pub(super) fn outline(job: &Job, makings: &mut Makings) -> Outcome<()> {
    if !job.cuts_outline() {
        return Ok(());
    }
    match &job.part.drawing.body {
        Body::Bosses { around, .. } => {
            for &boss in around {
                end(job, makings, boss);
            }
            let next = around.iter().cycle().skip(1);
            let pairs: Vec<_> = around.iter().copied().zip(next.copied()).collect();
            if around.len() > 1 {
                flanks(job, makings, &pairs);
            }
            Ok(())
        }
        Body::Disc { .. } => super::discs::disc(job, makings),
        Body::Outline { around, .. } => super::around::outline(job, makings, around),
        Body::Rectangle { .. } | Body::Turned { .. } => Ok(()),
    }
}

impl Rounding {
    const fn words(self) -> &'static str {
        match self {
            Self::Table { .. } | Self::Plate { .. } => "rounded on the rotary table",
            Self::Buttons { .. } => "filed to buttons",
            Self::Discs => FILED_TO_DISCS,
            Self::Steps => "rounded by stepped coordinates",
            Self::Line => "filed to a scribed line",
        }
    }

    /// How near the radius comes.
    fn size_within(self) -> Length {
        let row = match self {
            Self::Table { .. } => "round on the rotary table",
            Self::Plate { .. } => "turn an arc",
            Self::Buttons { .. } | Self::Discs => "file to buttons",
            Self::Steps => "step an end",
            Self::Line => "file a side",
        };
        process(row).size.unwrap_or_default()
    }

    /// What is done to a boss, so.
    fn deeds(self, job: &Job, makings: &mut Makings, boss: FeatureId, lot: Lot) -> Vec<Deed> {
        let mill = match self {
            Self::Table { .. } | Self::Plate { .. } | Self::Steps => {
                Tool::EndMill(job.mill_along(job.metal(lot), makings))
            }
            Self::Buttons { .. } | Self::Discs | Self::Line => Tool::File,
        };
        let by_hand = |work: &Work| {
            work.process().minutes_by_hand(round_of(job, boss), job.metal(lot)) * job.turns(lot)
        };
        match self {
            Self::Table { bore } => {
                let place = makings.place(job, lot, on_table(job, lot, bore));
                let mut round = deed(job, Work::RoundEnd, Some(boss), lot, mill, vec![place]);
                round.aids.push(Aid::StubMandrel { bore, on: Machine::RotaryTable });
                vec![round]
            }
            Self::Plate { about } => {
                let Ok(turned) = plate_turned(job, lot, about) else { return Vec::new() };
                let place = makings.place(job, lot, turned);
                vec![deed(job, Work::RoundEnd, Some(boss), lot, mill, vec![place])]
            }
            Self::Buttons { bore } => {
                let place = at_vice(job, lot, Held::FilingButtons, Located::Bore(bore));
                let place = makings.place(job, lot, place);
                let mut file = deed(job, Work::FileEnd, Some(boss), lot, Tool::File, vec![place]);
                file.minutes = by_hand(&file.work);
                file.aids.push(Aid::FilingButtons { boss, bore });
                vec![file]
            }
            Self::Discs => {
                let place = makings.place(job, lot, between_discs(job, lot, Located::Marked(boss)));
                let mut file = deed(job, Work::FileEnd, Some(boss), lot, Tool::File, vec![place]);
                file.minutes = by_hand(&file.work);
                file.aids.push(Aid::PlainButtons { round: boss });
                vec![file]
            }
            Self::Steps => {
                // One end can stand out of the jaws of a vice while the holes are drilled; of
                // more, the jaws are in the way of the cutter.
                let in_vice = from_edges(job, lot, Face::Front);
                let clamped = Holding { held: Held::ClampsMoved, ..in_vice.clone() };
                let mut places = vec![makings.place(job, lot, clamped)];
                if only_boreless(job, boss) {
                    places.insert(0, makings.place(job, lot, in_vice));
                }
                if let Some(plate) = from_plate(job, lot, Face::Front) {
                    places.push(makings.place(job, lot, plate));
                }
                let mut step = deed(job, Work::StepEnd, Some(boss), lot, mill, places);
                step.minutes = step.work.process().minutes_for(round_of(job, boss)) * job.turns(lot);
                // Turned in the vice over and over as it is filed: a holding for each bore that something goes into,
                // and one for all ends that have none.
                let place = match bore_of(job, boss) {
                    Some((bore, wide)) if wide >= least_bore() => {
                        let held = at_vice(job, lot, Held::BenchVice, Located::Bore(bore));
                        makings.place(job, lot, held)
                    }
                    _ => super::places::at_bench(job, makings, lot),
                };
                let work = Work::FileRidges { piece: None };
                let mut file = deed(job, work, Some(boss), lot, Tool::File, vec![place]);
                file.minutes = by_hand(&file.work);
                vec![step, file]
            }
            Self::Line => {
                let place = super::places::at_bench(job, makings, lot);
                let pieces = pieces_of(job, boss).into_iter().map(|piece| Work::FileSide { piece });
                let mut works: Vec<Work> = pieces.collect();
                if works.is_empty() {
                    works.push(Work::FileRound);
                }
                let filed = works.into_iter().map(|work| {
                    let minutes = by_hand(&work);
                    Deed { minutes, ..deed(job, work, Some(boss), lot, Tool::File, vec![place]) }
                });
                filed.collect()
            }
        }
    }
}

/// Offers every way to round a boss, and notes those that are out.
pub(super) fn end(job: &Job, makings: &mut Makings, boss: FeatureId) {
    let mut ways = Vec::new();
    let mut out: Vec<(&str, String)> = Vec::new();
    match turns_about(job, boss) {
        Ok(bore) => ways.push(Rounding::Table { bore }),
        Err(because) => match plate_turned(job, Lot::Piece(0), job.part.xy(boss).unwrap_or_default()) {
            // By one bore and an edge an end is as well stepped or filed.
            Ok(Holding { held: Held::PlateTurned { about, .. }, located: Located::TwoBores(..), .. }) => {
                ways.push(Rounding::Plate { about });
            }
            _ => out.push((Rounding::Table { bore: boss }.words(), because)),
        },
    }
    match bore_of(job, boss) {
        Some((bore, _)) => ways.push(Rounding::Buttons { bore }),
        None => out.push((Rounding::Buttons { bore: boss }.words(), NO_BORE.into())),
    }
    if job.mills() {
        ways.push(Rounding::Steps);
    } else {
        out.push((Rounding::Steps.words(), "there is no mill".into()));
    }
    // A cutter in two depths rings and leaves a shelf: with no bore to turn or file about
    // either, a scribed line and a file may be the quicker.
    let only_steps = ways == [Rounding::Steps];
    if !job.mills() || only_steps && !job.mill_covers(job.metal(Lot::Piece(0))) {
        ways.push(Rounding::Line);
    }
    // Made for this alone, they are worth their making where nothing else comes so near.
    let small = Rounding::Discs.size_within();
    let near = ways.iter().any(|way| way.size_within() <= small);
    if bore_of(job, boss).is_none() && !near && near_as(job, boss).is_some_and(|room| room >= small) {
        ways.push(Rounding::Discs);
    }
    out.extend(too_rough(job, boss, &mut ways));
    let words: Vec<&str> = ways.iter().map(|way| way.words()).collect();
    let name = job.name(boss).to_owned();
    offer(job, makings, &name, &words, out, |makings, way, lot| ways[way].deeds(job, makings, boss, lot));
}

const NO_BORE: &str = "it has no bore right through for a stub or buttons";

/// Takes out the ways that come no nearer to a radius than its tolerance allows, as long as
/// one does.
fn too_rough(job: &Job, boss: FeatureId, ways: &mut Vec<Rounding>) -> Vec<(&'static str, String)> {
    let Kind::Boss { radius } = job.part.feature(boss).kind else { return Vec::new() };
    let drawn = &job.part.drawing.dimensions[radius.0];
    let Some(room) = job.room_of(radius) else { return Vec::new() };
    let rough = |way: &Rounding| way.size_within() > room;
    if ways.iter().all(rough) {
        return Vec::new();
    }
    let said = |way: &Rounding| {
        let because = format!(
            "`{}` is to be within {}, and {} it comes within {}",
            drawn.name,
            super::figures::room(room),
            way.words(),
            way.size_within()
        );
        (way.words(), because)
    };
    let out = ways.iter().filter(|way| rough(way)).map(said).collect();
    ways.retain(|way| !rough(way));
    out
}

/// How near the radius of a boss has to come, where plain discs of its size can be set and filed to.
fn near_as(job: &Job, boss: FeatureId) -> Option<Length> {
    let Kind::Boss { radius } = job.part.feature(boss).kind else { return None };
    job.room_of(radius).filter(|_| plain_buttons::serves(job.part.size(radius) * 2))
}

/// What is done to a rounding that is filed between plain discs, in words.
pub(super) const FILED_TO_DISCS: &str = "filed to plain buttons";

/// Between two discs stuck to its faces, in the vice.
pub(super) fn between_discs(job: &Job, lot: Lot, located: Located) -> Holding {
    at_vice(job, lot, Held::FilingButtons, located)
}

/// The bore right through in the middle of a boss, and its size.
fn bore_of(job: &Job, boss: FeatureId) -> Option<(FeatureId, Length)> {
    job.bore_on_axis(job.part.xy(boss).unwrap_or_default())
}

/// The bore about which a boss turns on the rotary table, or why it cannot.
pub(super) fn turns_about(job: &Job, boss: FeatureId) -> Result<FeatureId, String> {
    let (bore, diameter) = bore_of(job, boss).ok_or(NO_BORE)?;
    no_turning(job, bore, diameter).map_or(Ok(bore), Err)
}

/// Whether a boss is the one that has no bore.
fn only_boreless(job: &Job, boss: FeatureId) -> bool {
    let bosses = job.part.features().filter(|(_, f)| matches!(f.kind, Kind::Boss { .. }));
    let boreless = bosses.filter(|&(id, _)| bore_of(job, id).is_none());
    boreless.map(|(id, _)| id).eq([boss])
}

/// How far round a boss the outline goes.
fn round_of(job: &Job, boss: FeatureId) -> Length {
    let Some(circle) = job.part.boss(boss) else { return Length::ZERO };
    let arcs = job.part.outline().map(|outline| outline.segments().to_vec()).unwrap_or_default();
    let own = arcs.iter().filter_map(|piece| match piece {
        Segment::Arc(arc) if arc.centre.distance_mm(circle.centre) < SAME_CENTRE_MM => {
            Some(arc.radius_mm * arc.sweep_rad.abs())
        }
        _ => None,
    });
    Length::nearest(own.sum())
}

/// The arcs that go round a boss, by number, of a body whose outline has numbers.
fn pieces_of(job: &Job, boss: FeatureId) -> Vec<usize> {
    let Some((circle, named)) = job.part.boss(boss).zip(job.part.pieces().ok()) else { return Vec::new() };
    let image = job.part.image;
    let own = |segment: &Segment| match segment {
        Segment::Arc(arc) => {
            let centre = if image == Image::Mirrored { arc.centre.mirrored() } else { arc.centre };
            centre.distance_mm(circle.centre) < SAME_CENTRE_MM
        }
        Segment::Line(_) => false,
    };
    let segments = named.outline.segments();
    (0..segments.len()).filter(|&n| own(&segments[n])).collect()
}

/// Centres this near are one: far below what anybody measures.
const SAME_CENTRE_MM: f64 = 1e-3;

fn at_vice(job: &Job, lot: Lot, held: Held, located: Located) -> Holding {
    let at_bench = holding(job, lot, Face::Front, held, located);
    Holding { machine: Machine::BenchVice, ..at_bench }
}

/// Why work cannot turn about a bore on the rotary table; `None` when it can.
pub(super) fn no_turning(job: &Job, bore: FeatureId, diameter: Length) -> Option<String> {
    if job.bench.rotary_table.is_none() || !job.mills() {
        return Some("there is no rotary table".into());
    }
    if !Job::takes_a_stub(diameter) {
        return Some(format!("a stub of {diameter} would bend under the cut"));
    }
    let swing = farthest(job, job.part.xy(bore).unwrap_or_default());
    let column = job.bench.mill.column;
    (swing > column).then(|| {
        let swing = swing.rounded(Length::microns(100), Toward::More).value;
        format!("turning about {} the blank reaches {swing}, and the column is {column} away", job.name(bore))
    })
}

/// From a place to the corner of the blank that swings widest, and a clamp beyond it.
pub(super) fn farthest(job: &Job, (x, y): (Length, Length)) -> Length {
    let [left, right, bottom, top] = job.part.edges();
    let across = (x - left).max(right - x) + limit("blank margin");
    let up = (y - bottom).max(top - y) + limit("blank margin");
    Length::nearest(across.as_mm().hypot(up.as_mm())) + limit("clamp room")
}

pub(super) fn on_table(job: &Job, lot: Lot, bore: FeatureId) -> Holding {
    let steps_on =
        |face| job.part.features().any(|(_, f)| f.face == face && matches!(f.kind, Kind::Step { .. }));
    let up = if steps_on(Face::Back) && !steps_on(Face::Front) { Face::Back } else { Face::Front };
    let other = job.plate_bores().into_iter().find(|&b| b != bore);
    let round = matches!(job.part.drawing.body, Body::Disc { .. });
    let located = match other {
        Some(other) if !round => Located::TwoBores(bore, other),
        _ => Located::Bore(bore),
    };
    let held = Held::StubMandrel { bore };
    Holding { machine: Machine::RotaryTable, ..holding(job, lot, up, held, located) }
}

/// The straight flanks between neighbouring bosses: on the rotary table about either end,
/// on the plate swung to their angle, whichever comes cheaper; or filed to a line where no
/// bore serves.
pub(super) fn flanks(job: &Job, makings: &mut Makings, pairs: &[(FeatureId, FeatureId)]) {
    let mut joins: Vec<Vec<(FeatureId, FeatureId)>> = Vec::new();
    for &(from, to) in pairs {
        // Both flanks of two bosses never gain by being apart.
        match joins.iter_mut().find(|j| j.contains(&(to, from))) {
            Some(known) => known.push((from, to)),
            None => joins.push(vec![(from, to)]),
        }
    }
    for joins in joins {
        let (from, to) = joins[0];
        for (lot, choice) in pair_or_each(job, makings) {
            let mut places = Vec::new();
            for boss in [from, to] {
                let turned = match turns_about(job, boss) {
                    Ok(bore) => Ok(on_table(job, lot, bore)),
                    Err(_) => plate_turned(job, lot, job.part.xy(boss).unwrap_or_default()),
                };
                places.extend(turned.into_iter().map(|turned| makings.place(job, lot, turned)));
            }
            if let Some(swung) = plate_swung(job, lot) {
                places.push(makings.place(job, lot, swung));
            }
            let (work, tool) = if places.is_empty() {
                let line = holding(job, lot, Face::Front, Held::BenchVice, Located::Line);
                places.push(makings.place(job, lot, Holding { machine: Machine::BenchVice, ..line }));
                (Work::FileFlanks { joins: joins.clone() }, Tool::File)
            } else {
                let mill = job.mill_along(job.metal(lot), makings);
                (Work::MillFlanks { joins: joins.clone() }, Tool::EndMill(mill))
            };
            let mut deed = deed(job, work, None, lot, tool, places);
            deed.choice = choice;
            makings.deeds.push(deed);
        }
    }
}
