//! The ways of every dimension, by what it measures. Begin here to see where a
//! size may come from.

use super::choice::{MadeWith, Refused};
use super::from_bar::is_disc_from_bar;
use super::rules::{FILED, HELD, KEY_GOES_IN, KEY_KEPT, SET, TURNED};
use super::way::{Costs, Job, Owner, ThreadWays, Way, Ways};
use super::weigh::{STEPPED_ROUND, UNROUND, convenient, limit, unround};
use super::{cast, cutters, heads, holes, mates, pinned, pins, stock, turned};
use crate::abreast::small_abreast;
use crate::drawing::{DimensionId, Face, FeatureId, Kind, Mate, Measures, Role};
use crate::measure::Length;
use crate::tables::keys;
use crate::tables::threads::Thread;

/// The ways of every dimension, in the drawing's order. `screws` are the threads
/// each thread may become.
pub fn every_way(job: &Job, threads: &[ThreadWays]) -> Vec<Ways> {
    // Mates follow what they meet, except a section, which follows its bush.
    let own = |&id: &DimensionId| {
        let settled = |ways| pinned::settled(job, id, ways, |size| pinned::at(job, id, size, threads));
        (job.dimension(id).measures != Measures::Shaft).then(|| settled(of(job, id, threads)))
    };
    let ids: Vec<DimensionId> = (0..job.drawing.dimensions.len()).map(DimensionId).collect();
    let mut all: Vec<Option<Ways>> = small_abreast(&ids, own);
    for mate in &job.drawing.mates {
        let met = mates::met(job, mate);
        let (limit, limit_why) = limit(job.dimension(mate.size), job.drawing.general_tolerance);
        let holes = met.and_then(|id| all[id.0].as_ref()).map_or(&[][..], |ways| &ways.ways[..]);
        let (ways, ruled_out) = mates::ways(job, mate.size, mate, limit, holes);
        let turned = |id: &DimensionId| {
            let section = job.dimension(*id);
            section.measures == Measures::Turned && section.made.is_none()
        };
        if let Some(section) = met.filter(turned).and_then(|id| all[id.0].as_mut()) {
            for way in &ways {
                let have = |own: &Way| own.value == way.value && own.made == MadeWith::Lathe;
                if way.value.gap(job.dimension(mate.size).written.length) <= section.limit
                    && !section.ways.iter().any(have)
                {
                    section.ways.push(on_the_lathe(way.value));
                }
            }
        }
        let ways = Ways { ways, limit, limit_why, ruled_out, costs: Costs::Here };
        let ways = pinned::settled(job, mate.size, ways, |size| pinned::mate_at(job, mate, size));
        follow(job, mate, &mut all, threads);
        all[mate.size.0] = Some(ways);
    }
    all.into_iter().map(|ways| ways.expect("every shaft belongs to a mate")).collect()
}

/// Turned.
pub fn on_the_lathe(value: Length) -> Way {
    // Bar of the same size saves the cut.
    Way::new(value, MadeWith::Lathe, &TURNED).unround(unround(value) + 1)
}

/// The hole that a settled shaft goes into may be as large as the shaft, where anything
/// gives that size.
fn follow(job: &Job, mate: &Mate, all: &mut [Option<Ways>], threads: &[ThreadWays]) {
    let shaft = job.dimension(mate.size);
    let Some(size) = shaft.made.or(shaft.pin) else { return };
    let Some(hole) = mates::met(job, mate).filter(|_| mates::is_hole(job, mate)) else { return };
    let dimension = job.dimension(hole);
    if let Some(ways) = &mut all[hole.0]
        && dimension.made.or(dimension.pin).is_none()
        && size.gap(dimension.written.length) <= ways.limit
    {
        further(&mut ways.ways, pinned::at(job, hole, size, threads));
    }
}

/// The ways of one dimension.
pub fn of(job: &Job, id: DimensionId, threads: &[ThreadWays]) -> Ways {
    let dimension = job.dimension(id);
    let (exact, role) = (dimension.written.length, dimension.role.0);
    let (mut limit, limit_why) = limit(dimension, job.drawing.general_tolerance);
    if let Some(ways) = cast::ways(job, id, limit) {
        return Ways { ways, limit, limit_why, ruled_out: Vec::new(), costs: Costs::Here };
    }
    let plain = |ways: Vec<Way>| (ways, Vec::<Refused>::new());
    let measures = match dimension.measures {
        // Parted off its bar, a disc is as thick as anything is long.
        Measures::Thickness if is_disc_from_bar(job) => Measures::Along,
        Measures::Outside if is_disc_from_bar(job) => Measures::Turned,
        measures => measures,
    };
    let (mut ways, ruled_out) = match measures {
        Measures::Hole(finish) => match holes::screw_through(job, id) {
            Some(thread) if role != Role::Hold => {
                let screws: Vec<&'static Thread> = threads[thread.0].ways.iter().map(|w| w.thread).collect();
                let ways = holes::clearance(job, exact, &screws);
                limit = furthest(&ways, exact, limit);
                plain(ways)
            }
            _ => holes::by_finish(job, id, finish, limit),
        },
        Measures::SawWidth | Measures::SlotWidth | Measures::InsideCorner if !job.bench.mills => {
            plain(filed(exact, limit, role))
        }
        Measures::SawWidth => cutters::saw_cut(job, id, limit),
        Measures::SlotWidth => cutters::slot(job, id, role, limit),
        Measures::Counterbore if bored_on_the_axis(job, id) => {
            plain(convenient(exact, limit).into_iter().map(on_the_lathe).collect())
        }
        Measures::Counterbore => {
            let mut ways = holes::counterbore(job, exact, limit);
            if role != Role::Hold {
                further(&mut ways, heads::wide_enough(job, id, limit, threads));
                limit = furthest(&ways, exact, limit);
            }
            if !job.bench.mills {
                // A counterbore with a pilot is listed with the tools of the order.
                for way in &mut ways {
                    (way.made, way.buys) = (MadeWith::Setting, Vec::new());
                }
            }
            plain(ways)
        }
        Measures::Thickness => stock::thickness(job, id, limit),
        Measures::Turned => {
            let mut ways: Vec<Way> = convenient(exact, limit).into_iter().map(on_the_lathe).collect();
            match job.owner(id) {
                Owner::Feature(section) => ways.extend(stock::bars(job, section, limit)),
                Owner::Body => ways.extend(stock::rounds_near(job, exact, limit)),
                Owner::Place | Owner::Mate => {}
            }
            plain(ways)
        }
        Measures::TaperPin => {
            let ways = pins::ways(job, id);
            limit = limit.max(pins::furthest(&ways, exact));
            plain(ways)
        }
        Measures::Filed if keyed(job, id).is_some() && keys::of_width(exact).is_some() => {
            plain(vec![Way::new(exact, MadeWith::File, &KEY_KEPT)])
        }
        Measures::Filed => plain(filed(exact, limit, role)),
        Measures::Depth if role != Role::Hold && keyed(job, id).is_some() => {
            let deeper = convenient(exact, limit).into_iter().filter(|&value| value >= exact);
            plain(
                deeper
                    .map(|value| Way::new(value, MadeWith::Setting, &KEY_GOES_IN).unround(unround(value)))
                    .collect(),
            )
        }
        Measures::InsideCorner => cutters::inside_corner(job, id, limit),
        Measures::Radius if role != Role::Hold && job.bench.mills && job.hollow_corner(id) => {
            // Cut by its own cutter where one is near; stepped round with a smaller one else.
            let (mut ways, refused) = cutters::inside_corner(job, id, limit);
            ways.extend(convenient(exact, limit).into_iter().map(|value| {
                let mut stepped = Way::new(value, MadeWith::Setting, &SET).unround(unround(value));
                stepped.extra = STEPPED_ROUND;
                stepped
            }));
            (ways, refused)
        }
        Measures::KnurlPitch => {
            let ways = turned::knurl_pitch(exact);
            limit = furthest(&ways, exact, limit);
            plain(ways)
        }
        Measures::AcrossFlats => plain(turned::across_flats(job, id, limit)),
        Measures::AcrossBar => {
            let ways = turned::bar_left(job, id, limit);
            limit = furthest(&ways, exact, limit);
            plain(ways)
        }
        Measures::Position
        | Measures::Radius
        | Measures::Web
        | Measures::Outside
        | Measures::Inside
        | Measures::Countersink
        | Measures::Depth
        | Measures::Along
        | Measures::Throw
        | Measures::Chamfer
        | Measures::Shaft => {
            let rule = if role == Role::Hold { &HELD } else { &SET };
            let set = |value| Way::new(value, MadeWith::Setting, rule).unround(unround(value));
            let mut ways: Vec<Way> = convenient(exact, limit).into_iter().map(set).collect();
            if role != Role::Hold && measures == Measures::Depth {
                further(&mut ways, heads::deep_enough(job, id, limit, threads));
                limit = furthest(&ways, exact, limit);
            }
            plain(ways)
        }
    };
    // What is set on a machine can be set to any size at all, round or not.
    let made = match measures {
        Measures::Turned => Some(MadeWith::Lathe),
        Measures::Filed => Some(MadeWith::File),
        Measures::SawWidth | Measures::SlotWidth | Measures::InsideCorner if !job.bench.mills => {
            Some(MadeWith::File)
        }
        Measures::Position
        | Measures::Radius
        | Measures::Web
        | Measures::Outside
        | Measures::Inside
        | Measures::Countersink
        | Measures::Depth
        | Measures::Along
        | Measures::Throw
        | Measures::AcrossFlats
        | Measures::Chamfer => Some(MadeWith::Setting),
        _ => None,
    };
    if let Some(made) = made
        && (role == Role::Hold || ways.is_empty() || in_check(job, id))
        && !ways.iter().any(|way| way.value == exact)
    {
        let rule = if role == Role::Hold { &HELD } else { &SET };
        ways.push(Way::new(exact, made, rule).unround(UNROUND));
    }
    Ways { ways, limit, limit_why, ruled_out, costs: Costs::Here }
}

/// Whether a counterbore stands over a hole on the axis of turned work: it is bored there, to any size.
fn bored_on_the_axis(job: &Job, id: DimensionId) -> bool {
    let Owner::Feature(mouth) = job.owner(id) else { return false };
    let Kind::Counterbore { over, .. } = job.feature(mouth).kind else { return false };
    let hole = matches!(job.feature(over).kind, Kind::Hole { .. } | Kind::Tapped { .. });
    let on_axis = match job.feature(mouth).face {
        Face::Left | Face::Right => job.plate_thickness().is_none() && !job.part.off_axis(over),
        Face::Front | Face::Back => {
            is_disc_from_bar(job) && job.part.xy(over) == Some((Length::ZERO, Length::ZERO))
        }
        Face::Top | Face::Bottom => false,
    };
    let a_screw_head = matches!(job.feature(over).kind, Kind::Hole { clears: Some(_), .. });
    hole && on_axis && !a_screw_head
}

/// The keyway whose width or depth this is.
fn keyed(job: &Job, id: DimensionId) -> Option<FeatureId> {
    let Owner::Feature(feature) = job.owner(id) else { return None };
    matches!(job.feature(feature).kind, Kind::Keyway { .. }).then_some(feature)
}

/// Sizes that are filed.
fn filed(exact: Length, limit: Length, role: Role) -> Vec<Way> {
    let rule = if role == Role::Hold { &HELD } else { &FILED };
    let way = |value| Way::new(value, MadeWith::File, rule).unround(unround(value));
    convenient(exact, limit).into_iter().map(way).collect()
}

/// Adds ways of sizes that are not there yet.
pub fn further(ways: &mut Vec<Way>, more: Vec<Way>) {
    for way in more {
        if !ways.iter().any(|own| own.value == way.value && own.made == way.made) {
            ways.push(way);
        }
    }
}

/// How far the ways of a size that follows its screw go from the drawing.
fn furthest(ways: &[Way], exact: Length, limit: Length) -> Length {
    ways.iter().map(|way| way.value.gap(exact)).max().unwrap_or(limit).max(limit)
}

/// True when the drawing gives a place twice and this dimension has part in it:
/// its exact size must then be open, or the two might never agree.
fn in_check(job: &Job, id: DimensionId) -> bool {
    job.solved.checks.iter().any(|check| check.difference.terms.contains_key(&id))
}

/// The limit that departures are counted against: what it is by itself, even
/// where a hole may go further to follow its screw.
pub fn counted_limit(job: &Job, id: DimensionId) -> Length {
    limit(job.dimension(id), job.drawing.general_tolerance).0
}
