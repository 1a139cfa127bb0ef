//! What a round hole may become: the sizes of drills, reamers and boring tools.

use super::buy::Buy;
use super::choice::{MadeWith, Refused};
use super::rules::{BORED, CHAIN_DRILLED, CLEARANCE, COUNTERBORED, DRILLED, REAMED};
use super::shelf::Shelved;
use super::way::{Job, Owner, Way, reamer_name};
use super::weigh::{convenient, unround};
use crate::bench::{EndMill, Reamer, There, WorkHolder};
use crate::drawing::{Depth, DimensionId, Face, FeatureId, Finish, Kind, ThreadId};
use crate::measure::Length;
use crate::settings::reaming::left_by_the_drill;
use crate::tables::clearance;
use crate::tables::drills::Drill;
use crate::tables::processes;
use crate::tables::threads::Thread;
use crate::why::Why;

/// The class that a bored hole is taken to, and that a reamer to buy makes.
pub const USUAL_CLASS: &str = "H7";

/// The class that a drilled hole is taken to come out in (common practice).
pub const DRILLED_CLASS: &str = "H11";

/// The smallest hole that a boring tool in the lathe gets into (common practice).
const LATHE_BORES_FROM_MM: i64 = 6;

/// How many sizes to buy are offered beside those owned.
const TO_BUY: usize = 8;

/// How many owned drills are offered for a plain hole.
const OWNED: usize = 16;

/// How many clearance holes are offered, nearest the drawing first.
const CLEARANCES: usize = 60;

/// The finest thread room a clearance hole leaves where ISO 273 has no row, and
/// the freest, as shares of the major diameter (common practice).
const UNLISTED_CLEARANCE: [(i128, i128); 2] = [(105, 100), (120, 100)];

/// The ways of a drilled hole.
pub fn drilled(job: &Job, exact: Length, limit: Length) -> Vec<Way> {
    let near: Vec<Shelved> = job.shelf.between(exact - limit, exact + limit).collect();
    let mut ways = Vec::new();
    for (owned, most) in [(true, OWNED), (false, TO_BUY)] {
        let mut drills: Vec<&Shelved> = near.iter().filter(|drill| drill.owned == owned).collect();
        drills.sort_by_cached_key(|drill| drill.drill.diameter.gap(exact));
        ways.extend(drills.into_iter().take(most).map(|shelved| with_drill(shelved.drill, shelved.owned)));
    }
    ways
}

/// A hole as its drill leaves it.
pub fn with_drill(drill: &Drill, owned: bool) -> Way {
    Way::new(drill.diameter, MadeWith::Drill(drill.clone()), &DRILLED)
        .class(DRILLED_CLASS)
        .buying(owned, || Buy::drill(drill))
}

/// The ways of a reamed hole.
pub fn reamed(job: &Job, exact: Length, limit: Length, fixed_shaft: bool) -> (Vec<Way>, Vec<Refused>) {
    let (mut ways, mut refused) = (Vec::new(), Vec::new());
    let mut offer = |reamer: Reamer, owned: bool| match pilot_for_reamer(job, reamer.diameter) {
        Some((pilot, pilot_owned)) => {
            let (tool, drill) = (Buy::reamer(&reamer), Buy::drill(&pilot));
            let leaves =
                Why::new(format!("{} leaves {} to ream", drill.name, reamer.diameter - pilot.diameter));
            ways.push(
                Way::new(reamer.diameter, MadeWith::Reamer { reamer: reamer.clone(), pilot }, &REAMED)
                    .class(reamer.class)
                    .note(leaves.source(REAMED.source))
                    .buying(owned, || tool)
                    .buying(pilot_owned, || drill),
            );
        }
        None => refused.push(Refused {
            value: reamer.diameter,
            with: reamer_name(&reamer),
            reason: "no standard drill leaves it its allowance".into(),
        }),
    };
    let near = |size: Length| size.gap(exact) <= limit;
    for reamer in job.bench.reamers.iter().filter(|r| near(r.diameter)) {
        offer(reamer.clone(), true);
    }
    let mut sizes: Vec<Length> =
        convenient(exact, limit).into_iter().filter(|&size| unround(size) <= 1).collect();
    if fixed_shaft && !sizes.contains(&exact) {
        sizes.push(exact);
    }
    sizes.retain(|&size| !job.bench.reamers.iter().any(|r| r.diameter == size && r.class == USUAL_CLASS));
    for diameter in sizes {
        offer(Reamer { diameter, class: USUAL_CLASS.into() }, false);
    }
    ways.extend(bored(job, exact, limit, false));
    (ways, refused)
}

/// The drill before a reamer, and whether it is owned. Where none leaves what a light alloy
/// would rather have, one that leaves what other metal has does.
fn pilot_for_reamer(job: &Job, size: Length) -> Option<(Drill, bool)> {
    let leaving = |light: bool| {
        let (least, most) = left_by_the_drill(size, light);
        largest(job, size - most, size - least)
    };
    let pilot = leaving(job.material.is_light()).or_else(|| leaving(false))?;
    Some((pilot.drill.clone(), pilot.owned))
}

/// The largest owned drill between two sizes, or else the largest for sale.
fn largest<'a>(job: &'a Job, least: Length, most: Length) -> Option<Shelved<'a>> {
    let drills = job.shelf.between(least, most);
    drills.clone().rfind(|drill| drill.owned).or_else(|| drills.clone().next_back())
}

/// The ways of a bored hole: none without a tool that reaches the size.
pub fn bored(job: &Job, exact: Length, limit: Length, in_lathe: bool) -> Vec<Way> {
    let reaches = |size: Length| {
        let head = job.bench.boring.as_ref().is_some_and(|b| size >= b.least && size <= b.most);
        let least = Length::mm(LATHE_BORES_FROM_MM);
        head || (in_lathe
            && size >= least
            && job.bench.lathe.as_ref().is_some_and(|lathe| size < lathe.swing))
    };
    let mut sizes = convenient(exact, limit);
    sizes.retain(|&size| reaches(size));
    let mut ways = Vec::new();
    for size in sizes {
        let Some(pilot) = largest(job, Length::mm(1), size - Length::mm(1)) else { continue };
        ways.push(
            Way::new(size, MadeWith::Boring { pilot: pilot.drill.clone() }, &BORED)
                .class(USUAL_CLASS)
                .unround(unround(size) + 1)
                .buying(pilot.owned, || Buy::drill(pilot.drill)),
        );
    }
    ways
}

/// The ways of a plain hole that no drill owned makes: bored from the largest there is; or, where
/// no drill so wide is sold, or only a hand drill turns it, chain drilled, broken out and filed.
fn without_a_drill(job: &Job, id: DimensionId, limit: Length, sold: bool) -> Vec<Way> {
    let exact = job.dimension(id).written.length;
    let Owner::Feature(feature) = job.owner(id) else { return Vec::new() };
    let mut ways = bored(job, exact, limit, faceplate_takes(job, feature));
    for way in &mut ways {
        way.class = Some(DRILLED_CLASS.to_owned());
    }
    let kind = &job.feature(feature).kind;
    let one = kind.pattern().and_then(<[FeatureId]>::first).map_or(kind, |&first| &job.feature(first).kind);
    let flat = matches!(job.feature(feature).face, Face::Front | Face::Back);
    let through = matches!(one, Kind::Hole { depth: Depth::Through, .. });
    let by_hand =
        !job.bench.mills && job.bench.drill_press.is_none() && exact > processes::limit("widest drill");
    let files = flat && through && job.plate_thickness().is_some() && (!sold || by_hand);
    if ways.is_empty() && files && exact >= processes::limit("widest drill") {
        let filed = |size| Way::new(size, MadeWith::File, &CHAIN_DRILLED).unround(unround(size));
        ways.extend(convenient(exact, limit).into_iter().map(filed));
    }
    ways
}

/// Whether a hole that is to be reamed or bored, and that nothing makes so, would be filed to a circle if it were plain.
pub fn filed_if_plain(job: &Job, id: DimensionId, limit: Length) -> bool {
    let sold = !drilled(job, job.dimension(id).written.length, limit).is_empty();
    without_a_drill(job, id, limit, sold).iter().any(|way| way.made == MadeWith::File)
}

/// Whether a hole is bored in the lathe: it is turned work, or the plate swings on the faceplate.
fn faceplate_takes(job: &Job, id: FeatureId) -> bool {
    let Some(lathe) = &job.bench.lathe else { return false };
    if job.plate_thickness().is_none() {
        return true;
    }
    let flat = matches!(job.feature(id).face, Face::Front | Face::Back);
    let Some((x, y)) = job.part.xy(id).filter(|_| flat && job.feature(id).kind.pattern().is_none()) else {
        return false;
    };
    let [left, right, bottom, top] = job.part.edges();
    let margin = processes::limit("blank margin");
    let across = (x - left).max(right - x) + margin;
    let up = (y - bottom).max(top - y) + margin;
    let swings = (Length::nearest(across.as_mm().hypot(up.as_mm())) + processes::limit("clamp room")) * 2;
    job.bench.has(WorkHolder::Faceplate) != There::No && swings <= lathe.swing
}

/// The closest and the freest hole for a screw.
pub fn clearance_range(thread: &Thread) -> (Length, Length) {
    let mut listed = clearance::holes(thread).map(|hole| hole.diameter);
    match listed.next() {
        Some(first) => {
            let last = listed.last().unwrap_or(first);
            // One customary size: a drill either side of it still passes the screw.
            if first == last {
                (thread.major.max(first - Length::microns(100)), first + Length::microns(200))
            } else {
                (first, last)
            }
        }
        None => {
            let [close, free] = UNLISTED_CLEARANCE
                .map(|(top, over)| thread.major.scaled(num_rational::Ratio::new(top, over)));
            (close, free)
        }
    }
}

/// The ways of a clearance hole: whatever passes any of the screws it may get.
pub fn clearance(job: &Job, exact: Length, screws: &[&'static Thread]) -> Vec<Way> {
    let mut screws = screws.to_vec();
    screws.dedup();
    let mut ranges: Vec<(Length, Length)> = screws.iter().map(|screw| clearance_range(screw)).collect();
    ranges.sort();
    ranges.dedup();
    let listed: Vec<Length> =
        screws.iter().flat_map(|screw| clearance::holes(screw).map(|hole| hole.diameter)).collect();
    let Some(least) = ranges.iter().map(|range| range.0).min() else { return Vec::new() };
    let most = ranges.iter().map(|range| range.1).max().unwrap_or(least);
    let suits = |size: Length| ranges.iter().any(|&(close, free)| size >= close && size <= free);
    let mut ways: Vec<(Length, Way)> = Vec::new();
    for shelved in job.shelf.between(least, most).filter(|drill| suits(drill.drill.diameter)) {
        let size = shelved.drill.diameter;
        let known = listed.contains(&size);
        if shelved.owned || known {
            let mut way = with_drill(shelved.drill, shelved.owned).unround(u32::from(!known));
            way.rule = &CLEARANCE;
            ways.push((size.gap(exact), way));
        }
    }
    ways.sort_by_key(|way| way.0);
    ways.truncate(CLEARANCES);
    ways.into_iter().map(|(_, way)| way).collect()
}

/// The ways of a counterbore.
pub fn counterbore(job: &Job, exact: Length, limit: Length) -> Vec<Way> {
    let near = |size: Length| size.gap(exact) <= limit;
    let owned = job.bench.end_mills.iter().filter(|mill| near(mill.diameter));
    let mut ways: Vec<Way> =
        owned.map(|mill| Way::new(mill.diameter, MadeWith::EndMill(mill.clone()), &COUNTERBORED)).collect();
    let have = |size: Length| job.bench.end_mills.iter().any(|mill| mill.diameter == size);
    for size in convenient(exact, limit).into_iter().filter(|&size| unround(size) <= 1 && !have(size)) {
        let way = Way::new(size, MadeWith::EndMill(standard_mill(size)), &COUNTERBORED);
        ways.push(way.buying(false, || Buy::mill(size)));
    }
    ways
}

/// An end mill to buy, with the flutes that a standard one has (common practice:
/// twice the diameter, 8 mm at least).
pub fn standard_mill(diameter: Length) -> EndMill {
    EndMill::new(diameter, (diameter * 2).max(Length::mm(8)), 4)
}

/// An end mill to buy that cuts so deep: a standard one, else one of the long series, with
/// flutes of four times its diameter (common practice). None reaches deeper.
pub fn mill_to_buy(diameter: Length, deep: Length) -> Option<EndMill> {
    let standard = standard_mill(diameter);
    let long = EndMill { flute: diameter * 4, ..standard.clone() };
    [standard, long].into_iter().find(|mill| mill.flute >= deep)
}

/// The screw that a hole must pass, if it is there for one.
pub fn screw_through(job: &Job, id: DimensionId) -> Option<ThreadId> {
    let Owner::Feature(feature) = job.owner(id) else { return None };
    match job.feature(feature).kind {
        Kind::Hole { diameter, clears, .. } if diameter == id => clears,
        Kind::ClampScrew { thread, clearance, .. } if clearance == id => Some(thread),
        _ => None,
    }
}

/// The ways of a plain hole by its finish.
pub fn by_finish(job: &Job, id: DimensionId, finish: Finish, limit: Length) -> (Vec<Way>, Vec<Refused>) {
    let exact = job.dimension(id).written.length;
    let mate = match job.owner(id) {
        Owner::Feature(feature) => job.mate_of(feature),
        _ => None,
    };
    match finish {
        Finish::Drilled => {
            let mut ways = drilled(job, exact, limit);
            if ways.iter().all(|way| !way.buys.is_empty()) {
                ways.extend(without_a_drill(job, id, limit, !ways.is_empty()));
            }
            (ways, Vec::new())
        }
        Finish::Reamed => {
            let (mut ways, refused) = reamed(job, exact, limit, mate.is_some_and(|mate| mate.fixed));
            // So wide nobody buys a reamer for it who has a faceplate.
            let wide =
                exact > processes::limit("widest drill") && ways.iter().all(|way| !way.buys.is_empty());
            if let Owner::Feature(feature) = job.owner(id)
                && wide
                && faceplate_takes(job, feature)
            {
                ways.extend(bored(job, exact, limit, true));
            }
            (ways, refused)
        }
        Finish::Bored => {
            let mut ways = bored(job, exact, limit, true);
            let (reamed, refused) = reamed(job, exact, limit, mate.is_some_and(|mate| mate.fixed));
            ways.extend(reamed.into_iter().filter(|way| matches!(way.made, MadeWith::Reamer { .. })));
            (ways, refused)
        }
    }
}
