//! Where clamps stand so that the cutter clears them: over which side, and which of them is
//! taken off for which cut.
//!
//! A strap comes in over a side of the work and bears a nose's width within it. A cut along that
//! side goes through the strap, so no clamp stays for everything: a few places are chosen such
//! that in every cut of the setup enough of them hold, and the sheet says which one is off.

use super::job::Setup;
use super::rows_rotary::{flank_between, outline_from_datum};
use super::sheet::{Row, Scene, SceneNote};
use super::words::SECOND_CLAMP;
use crate::drawing::{Face, FeatureId, Image, Kind};
use crate::geometry::{Arc, Outline, Point, Segment, closest};
use crate::measure::{Length, Toward};
use crate::order::work::{Step, Tool};
use crate::order::{Held, Located, Machine, Work};
use crate::settings::show::{mm, practice};
use crate::tables::processes::{holding, limit};
use crate::why::Figure;

/// A strap over a side of the work.
#[derive(Clone, Debug, PartialEq)]
pub struct Clamp {
    /// Where its nose bears, from the datum.
    pub nose: Point,
    /// The side that it comes in over.
    pub over: String,
    /// The middle line of the strap outside the work.
    strap: Segment,
    /// The rows in whose way it stands.
    pub off_for: Vec<usize>,
}

/// The clamps of a setup, and how many of them must hold in every cut.
#[derive(Clone, Debug, PartialEq)]
pub struct Clamps {
    /// The clamps, counted from one.
    pub clamps: Vec<Clamp>,
    /// How many hold in every cut.
    pub hold: usize,
}

/// More straps than anybody sets.
const MOST_CLAMPS: usize = 4;

/// How far a strap stands out beyond the side, to its stud: common practice.
const STRAP_OUT_MM: f64 = 25.0;

/// The shares of a side at which a strap is tried.
const TRIED: [f64; 5] = [0.5, 0.25, 0.75, 0.1, 0.9];

/// The clamps of a setup that lies in plan and is held down by them: none where it is held
/// otherwise, an empty list where no places will do.
pub fn clamps(setup: &Setup, steps: &[&Step]) -> Option<Clamps> {
    let hold = holds(setup)?;
    let cuts: Vec<(Vec<Segment>, f64)> = steps.iter().map(|step| roads(setup, step)).collect();
    let tried = candidates(setup, &cuts);
    let clamps = fewest(&tried, cuts.len(), hold).unwrap_or_default();
    Some(Clamps { clamps, hold })
}

/// As many places as are tried over one side, and in all: those that stand in the way of fewest
/// cuts.
const MOST_TRIED: [usize; 2] = [2, 24];

/// How many clamps must hold in every cut, where clamps do: a stub's screw is one hold of two.
fn holds(setup: &Setup) -> Option<usize> {
    if !setup.frame.in_plan() || setup.beside().len() > 1 {
        return None;
    }
    match (&setup.holding.held, setup.holding.machine) {
        (Held::ClampsMoved, Machine::Mill) | (Held::PlateTurned { .. }, Machine::RotaryTable) => Some(2),
        (Held::StubMandrel { .. }, Machine::RotaryTable) => Some(1),
        (Held::BoltOnPlate { .. }, Machine::Mill) => {
            let Located::TwoBores(_, second) = setup.holding.located else { return None };
            (setup.read(second).1 != Length::ZERO).then_some(2)
        }
        _ => None,
    }
}

/// Where the middle of a cutter or drill goes in a step, and its radius.
fn roads(setup: &Setup, step: &Step) -> (Vec<Segment>, f64) {
    let reach = match &step.tool {
        Tool::EndMill(mill) => mill.diameter.half(),
        tool => tool.diameter().unwrap_or_default().half(),
    };
    let reach_mm = reach.as_mm();
    let outside = |segment: &Segment| beside(segment, reach_mm);
    let all = match (&step.work, step.feature) {
        (&(Work::MillSide { piece } | Work::StepArc { piece } | Work::TurnArc { piece }), _) => {
            setup.road(piece, reach * 2).into_iter().collect()
        }
        (Work::RoundEnd | Work::StepEnd, boss) => {
            let centre = boss.map(|id| {
                let (x, y) = setup.read(id);
                Point::at(x, y)
            });
            let arcs = outline_from_datum(setup).unwrap_or_default();
            let own = |segment: &&Segment| match (segment, centre) {
                (Segment::Arc(arc), Some(centre)) => arc.centre.distance_mm(centre) < 1e-3,
                (Segment::Arc(_), None) => true,
                (Segment::Line(_), _) => false,
            };
            arcs.iter().filter(own).map(outside).collect()
        }
        (Work::MillFlanks { joins }, _) => {
            let (x, y) = setup.origin();
            let line = |&join| flank_between(setup, Point::at(x, y), setup.turned_rad(), join).ok();
            joins.iter().filter_map(line).map(|line| outside(&Segment::Line(line))).collect()
        }
        (_, Some(id)) => {
            let place = |id: FeatureId| {
                let (x, y) = setup.read(id);
                Segment::line(Point::at(x, y), Point::at(x, y))
            };
            super::rows::holes_of(setup, id).into_iter().map(place).collect()
        }
        _ => Vec::new(),
    };
    (all, reach_mm)
}

/// A line or arc of the outline, its metal on the left, as far outside as a cutter's middle.
fn beside(segment: &Segment, reach_mm: f64) -> Segment {
    match segment {
        Segment::Line(line) => {
            let out = line.direction_rad() - std::f64::consts::FRAC_PI_2;
            Segment::line(line.start.polar(reach_mm, out), line.end.polar(reach_mm, out))
        }
        Segment::Arc(arc) => {
            let radius_mm = (arc.radius_mm + reach_mm * arc.sweep_rad.signum()).max(0.0);
            Segment::Arc(Arc { radius_mm, ..*arc })
        }
    }
}

/// Half of what a strap is wide.
fn half_strap_mm() -> f64 {
    limit("clamp strap").half().as_mm()
}

/// Every place that is tried, with the rows in whose way it stands.
fn candidates(setup: &Setup, cuts: &[(Vec<Segment>, f64)]) -> Vec<Clamp> {
    let Ok(segments) = outline_from_datum(setup) else { return Vec::new() };
    let Ok(outline) = Outline::new(segments.clone()) else { return Vec::new() };
    let names = setup.part.pieces().map(|named| named.names).unwrap_or_default();
    let flipped = (setup.part.image == Image::Mirrored) != (setup.frame.up() == Face::Back);
    let nose_mm = holding("clamps on the table").least_grip.as_mm();
    let half_mm = half_strap_mm();
    let clear_mm = limit("clear of the next").as_mm();
    let centre = Point::ORIGIN;
    let turns = setup.holding.machine == Machine::RotaryTable;
    let column_mm = setup.job.bench.mill.column.as_mm();
    let pinned = pinned(setup);
    let mut all = Vec::new();
    for (n, segment) in segments.iter().enumerate() {
        let mut own = Vec::new();
        let drawn = if flipped { segments.len() - 1 - n } else { n };
        let over = names.get(drawn).cloned().unwrap_or_else(|| "the outline".into());
        for share in TRIED {
            let at = segment.along(share);
            let near = [share - 1e-4, share + 1e-4].map(|t| segment.along(t));
            let out = near[0].direction_rad(near[1]) - std::f64::consts::FRAC_PI_2;
            // Rounded at its end, a strap reaches half its width farther in.
            let strap = Segment::line(at.polar(half_mm - nose_mm, out), at.polar(STRAP_OUT_MM, out));
            let nose = at.polar(-nose_mm / 2.0, out);
            let whole = outline.contains(at.polar(-nose_mm, out));
            let swings = !turns || strap.end().distance_mm(centre) + half_mm < column_mm;
            let free = pinned
                .iter()
                .all(|(bore, r)| strap.nearest(*bore).distance_mm(*bore) > r + half_mm + clear_mm);
            if !(whole && swings && free) {
                continue;
            }
            let meets = |(roads, reach_mm): &(Vec<Segment>, f64)| {
                roads.iter().any(|road| closest(road, &strap).distance_mm() < reach_mm + half_mm + clear_mm)
            };
            let off_for =
                cuts.iter().enumerate().filter(|(_, cut)| meets(cut)).map(|(row, _)| row + 1).collect();
            own.push(Clamp { nose, over: over.clone(), strap, off_for });
        }
        own.sort_by_key(|clamp| clamp.off_for.len());
        own.truncate(MOST_TRIED[0]);
        all.extend(own);
    }
    all.sort_by_key(|clamp| clamp.off_for.len());
    all.truncate(MOST_TRIED[1]);
    all
}

/// The heads of studs and stubs that stand in the work's own bores, and their radii: a washer is
/// twice as wide as its bore.
fn pinned(setup: &Setup) -> Vec<(Point, f64)> {
    let bores: Vec<FeatureId> = match &setup.holding.held {
        Held::BoltOnPlate { bores } | Held::PlateTurned { bores, .. } => bores.clone(),
        Held::StubMandrel { bore } => vec![*bore],
        _ => Vec::new(),
    };
    let head = |id: FeatureId| {
        let Kind::Hole { diameter, .. } = setup.part.feature(id).kind else { return None };
        let (x, y) = setup.read(id);
        Some((Point::at(x, y), setup.part.size(diameter).as_mm()))
    };
    bores.into_iter().filter_map(head).collect()
}

/// The fewest places of which so many hold in every cut; of several such sets the one whose
/// clamps stand farthest apart.
fn fewest(tried: &[Clamp], cuts: usize, hold: usize) -> Option<Vec<Clamp>> {
    let least_mm = half_strap_mm() * 2.0 + limit("clear of the next").as_mm();
    let from =
        |one: &Clamp| tried.iter().map(|other| closest(&one.strap, &other.strap).distance_mm()).collect();
    let apart = Apart { mm: tried.iter().map(from).collect(), least_mm };
    for count in hold..=MOST_CLAMPS {
        let mut best: Option<(f64, Vec<usize>)> = None;
        search(tried, (cuts, hold, count), (0, f64::INFINITY), &apart, &mut Vec::new(), &mut best);
        if let Some((_, found)) = best {
            return Some(found.into_iter().map(|n| tried[n].clone()).collect());
        }
    }
    None
}

/// How far straps lie from each other, and how far they must.
struct Apart {
    mm: Vec<Vec<f64>>,
    least_mm: f64,
}

/// Tries every set of so many places, in order.
fn search(
    tried: &[Clamp],
    (cuts, hold, count): (usize, usize, usize),
    (from, spread_mm): (usize, f64),
    apart: &Apart,
    picked: &mut Vec<usize>,
    best: &mut Option<(f64, Vec<usize>)>,
) {
    if picked.len() == count {
        let held = |row: usize| picked.iter().filter(|&&n| !tried[n].off_for.contains(&row)).count();
        if (1..=cuts).all(|row| held(row) >= hold)
            && best.as_ref().is_none_or(|(known, _)| spread_mm > *known)
        {
            *best = Some((spread_mm, picked.clone()));
        }
        return;
    }
    for n in from..tried.len() {
        let spread_mm = picked.iter().map(|&m| apart.mm[m][n]).fold(spread_mm, f64::min);
        if spread_mm < apart.least_mm || best.as_ref().is_some_and(|(known, _)| spread_mm <= *known) {
            continue;
        }
        picked.push(n);
        search(tried, (cuts, hold, count), (n + 1, spread_mm), apart, picked, best);
        picked.pop();
    }
}

impl Clamps {
    /// Where each stands, once for the setup.
    pub fn presets(&self, setup: &Setup) -> Vec<Figure> {
        let strap = limit("clamp strap");
        let nose = holding("clamps on the table").least_grip;
        let figure = |(n, clamp): (usize, &Clamp)| {
            let [x, y] = [clamp.nose.x_mm, clamp.nose.y_mm]
                .map(|at| Length::nearest(at).rounded(Length::mm(1), Toward::Nearest).value);
            let rows: Vec<String> = clamp.off_for.iter().map(usize::to_string).collect();
            let clear = match rows.len() {
                0 => "it is clear of every cut here".to_owned(),
                1 => format!("in the way of row {} alone", rows[0]),
                _ => format!("in the way of rows {}", rows.join(", ")),
            };
            let why = practice(format!(
                "{clear}: a strap {} wide that bears {} in from the edge, laid against the road of every cutter, its radius and {} besides",
                mm(strap),
                mm(nose),
                mm(limit("clear of the next"))
            ));
            let shown = format!("nose at X {}, Y {}, in over {}", mm(x), mm(y), clamp.over);
            Figure::new(setup.named(0, &format!("clamp {}", n + 1)), shown, why)
        };
        self.clamps.iter().enumerate().map(figure).collect()
    }

    /// Which clamps are off in each row.
    pub fn mark(&self, setup: &Setup, rows: &mut [Row]) {
        for row in rows {
            let off: Vec<String> = (1..)
                .zip(&self.clamps)
                .filter(|(_, clamp)| clamp.off_for.contains(&row.number))
                .map(|(n, _)| n.to_string())
                .collect();
            if off.is_empty() || self.clamps.is_empty() {
                continue;
            }
            let why = practice(
                "tighten the others first, then take it off; put it back before the next is taken off",
            );
            let word = if off.len() == 1 { "clamp" } else { "clamps" };
            let shown = format!("{word} {} off, the rest tight", off.join(" and "));
            row.sets.push(Figure::new(setup.named(row.number, "clamps"), shown, why));
        }
    }

    /// What holds the work where no places will do: in the words of its holding where these ask
    /// for a second clamp, in a note where not.
    pub fn without(&self, held: &mut String, notes: &mut Vec<String>) {
        if !self.clamps.is_empty() {
            return;
        }
        let stuck = "stick or tape the work down too, and cut lightly.";
        match held.strip_suffix(SECOND_CLAMP) {
            Some(stub) => *held = format!("{stub}. No place for a clamp clears every cut: {stuck}"),
            None => notes
                .push(format!("No place clears every cut for clamps of which {} hold: {stuck}", self.hold)),
        }
    }

    /// Draws the straps.
    pub fn draw(&self, scene: &mut Scene) {
        let half_mm = half_strap_mm();
        for (n, clamp) in (1..).zip(&self.clamps) {
            let (from, to) = (clamp.nose, clamp.strap.end());
            let along = from.direction_rad(to);
            let from = clamp.strap.start().polar(-half_mm, along);
            let [left, right] = [1.0, -1.0].map(|side| along + side * std::f64::consts::FRAC_PI_2);
            let corners = [
                from.polar(half_mm, left),
                from.polar(half_mm, right),
                to.polar(half_mm, right),
                to.polar(half_mm, left),
            ];
            scene.around.extend((0..4).map(|i| Segment::line(corners[i], corners[(i + 1) % 4])));
            let figure = None;
            scene.notes.push(SceneNote { at: clamp.nose, text: format!("clamp {n}"), figure });
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn clamp(x: f64, off_for: &[usize]) -> Clamp {
        let strap = Segment::line(Point::new(x, 0.0), Point::new(x, 25.0));
        Clamp { nose: strap.start(), over: "side".into(), strap, off_for: off_for.to_vec() }
    }

    /// Four cuts of which each takes one clamp off: with two that have to hold three are needed,
    /// and of those that do the ones farthest apart are taken; straps never overlap.
    #[test]
    fn so_many_hold_in_every_cut_and_they_stand_far_apart() {
        let tried = [
            clamp(0.0, &[1]),
            clamp(5.0, &[1]),
            clamp(60.0, &[2]),
            clamp(90.0, &[3]),
            clamp(120.0, &[4]),
            clamp(130.0, &[1, 2, 3, 4]),
        ];
        let found = fewest(&tried, 4, 2).unwrap();
        let at: Vec<f64> = found.iter().map(|clamp| clamp.nose.x_mm).collect();
        assert_eq!(at, [0.0, 60.0, 120.0]);
        for row in 1..=4 {
            assert!(found.iter().filter(|clamp| !clamp.off_for.contains(&row)).count() >= 2);
        }
        assert_eq!(fewest(&tried, 4, 1).unwrap().len(), 2);
        // One that would have to be off for all is no clamp, and too near ones are one.
        assert!(fewest(&tried[4..], 4, 2).is_none());
        assert!(fewest(&tried[..2], 2, 2).is_none());
    }
}
