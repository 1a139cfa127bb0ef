//! Where clamps stand so that the cutter clears them: over which side, and which of them is
//! taken off for which cut.
//!
//! A strap comes in over a side of the work and bears a nose's width within it. A cut along that
//! side goes through the strap, so no clamp stays for everything: a few places are chosen such
//! that in every cut of the setup enough of them hold, and the sheet says which one is off.

pub(super) mod roads;
pub(super) mod stack;

use super::job::Setup;
use super::rows_rotary::outline_from_datum;
use super::sheet::{Row, Scene, SceneNote};
use super::words::SECOND_CLAMP;
use crate::drawing::{Face, FeatureId, Image, Kind};
use crate::geometry::{Outline, Point, Segment, closest};
use crate::measure::{Length, Toward};
use crate::order::work::Step;
use crate::order::{Held, Located, Machine};
use crate::settings::show::{mm, practice};
use crate::tables::processes::{holding, limit};
use crate::why::Figure;
use roads::Cut;

/// A strap over a side of the work.
#[derive(Clone, Debug, PartialEq)]
pub struct Clamp {
    /// Where its nose bears, from the datum.
    pub nose: Point,
    /// The side that it comes in over.
    pub over: String,
    /// The middle line of the strap outside the work.
    strap: Segment,
    /// The piece it holds, of those that lie side by side, from nought.
    piece: usize,
    /// The cuts in whose way it stands, counted from nought.
    off_for: Vec<usize>,
}

/// The clamps of a setup, and how many of them must hold in every cut.
pub struct Clamps {
    /// The clamps, counted from one.
    clamps: Vec<Clamp>,
    /// How many hold each piece in every cut.
    hold: usize,
    cuts: Vec<Cut>,
}

/// More straps than anybody sets.
const MOST_CLAMPS: usize = 4;

/// How far a strap stands out beyond the side, to its stud: common practice.
const STRAP_OUT_MM: f64 = 25.0;

/// The shares of a side at which a strap is tried.
const TRIED: [f64; 5] = [0.5, 0.25, 0.75, 0.1, 0.9];

/// The clamps of a setup that lies in plan and is held down by them: none where it is held
/// otherwise, an empty list where no places will do. Pieces side by side have each their own.
/// `numbers` are the rows that each step has become, where the work is moved along.
pub fn clamps(setup: &Setup, steps: &[&Step], numbers: Option<&[Vec<usize>]>) -> Option<Clamps> {
    let cuts = || roads::numbered(setup, steps, numbers);
    let Some(hold) = holds(setup) else { return stack::clamps(setup, cuts) };
    let cuts = cuts();
    let pieces = setup.beside();
    let outlines: Vec<Option<Outline>> =
        pieces.iter().map(|piece| Outline::new(outline_from_datum(piece).ok()?).ok()).collect();
    let mut clamps: Vec<Clamp> = Vec::new();
    for (n, piece) in pieces.iter().enumerate() {
        let next = |m: usize| (m != n).then(|| outlines[m].as_ref()).flatten();
        let others: Vec<&Outline> = (0..pieces.len()).filter_map(next).collect();
        let tried = candidates(piece, outlines[n].as_ref(), &cuts, (&others, &clamps));
        match fewest(&tried, cuts.len(), hold) {
            Some(own) => clamps.extend(own),
            None => return Some(Clamps { clamps: Vec::new(), hold, cuts }),
        }
    }
    Some(Clamps { clamps, hold, cuts })
}

/// As many places as are tried over one side, and in all: those that stand in the way of fewest
/// cuts.
const MOST_TRIED: [usize; 2] = [3, 24];

/// How many clamps must hold in every cut, where clamps do: a stub's screw is one hold of two.
fn holds(setup: &Setup) -> Option<usize> {
    if !setup.frame.in_plan() {
        return None;
    }
    match (&setup.holding.held, setup.holding.machine) {
        (Held::ClampsMoved | Held::PlateSwung { .. }, Machine::Mill)
        | (Held::PlateTurned { .. }, Machine::RotaryTable) => Some(2),
        (Held::StubMandrel { .. }, Machine::RotaryTable) => Some(1),
        (Held::BoltOnPlate { .. }, Machine::Mill) => {
            let Located::TwoBores(_, second) = setup.holding.located else { return None };
            (setup.read(second).1 != Length::ZERO).then_some(2)
        }
        _ => None,
    }
}

/// Half of what a strap is wide.
fn half_strap_mm() -> f64 {
    limit("clamp strap").half().as_mm()
}

/// How near straps may lie to each other.
fn straps_apart_mm() -> f64 {
    half_strap_mm() * 2.0 + limit("clear of the next").as_mm()
}

/// Every place that is tried, with the cuts in whose way it stands: beside the other pieces and
/// the clamps that these have.
fn candidates(
    setup: &Setup,
    outline: Option<&Outline>,
    cuts: &[Cut],
    (others, taken): (&[&Outline], &[Clamp]),
) -> Vec<Clamp> {
    let Some(outline) = outline else { return Vec::new() };
    let segments = outline.segments();
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
        let named = names.get(drawn).cloned();
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
            let alone = others.iter().all(|other| {
                let clear = |side: &Segment| closest(side, &strap).distance_mm() > half_mm + clear_mm;
                !other.contains(strap.end()) && other.segments().iter().all(clear)
            });
            let apart = |clamp: &Clamp| closest(&clamp.strap, &strap).distance_mm() >= straps_apart_mm();
            if !(whole && swings && free && alone && taken.iter().all(apart)) {
                continue;
            }
            let meets = |cut: &Cut| {
                let near_mm = cut.reach_mm + half_mm + clear_mm;
                cut.roads.iter().any(|road| closest(road, &strap).distance_mm() < near_mm)
            };
            let off_for = cuts.iter().enumerate().filter(|(_, cut)| meets(cut)).map(|(n, _)| n).collect();
            let over = named.clone().unwrap_or_else(|| side_word(Point::ORIGIN.polar(1.0, out)).into());
            own.push(Clamp { nose, over, strap, piece: setup.place, off_for });
        }
        own.sort_by_key(|clamp| clamp.off_for.len());
        own.truncate(MOST_TRIED[0]);
        all.extend(own);
    }
    all.sort_by_key(|clamp| clamp.off_for.len());
    all.truncate(MOST_TRIED[1]);
    all
}

/// Which side of the work a direction leads out of.
fn side_word(out: Point) -> &'static str {
    match (out.x_mm.abs() > out.y_mm.abs(), out.x_mm > 0.0, out.y_mm > 0.0) {
        (true, true, _) => "the right-hand side",
        (true, false, _) => "the left-hand side",
        (false, _, true) => "the far side",
        (false, _, false) => "the near side",
    }
}

/// The heads of studs and stubs that stand in the work's own bores, and their radii: a washer is
/// twice as wide as its bore; and the nuts of screws that hold a stack.
fn pinned(setup: &Setup) -> Vec<(Point, f64)> {
    let bores: Vec<FeatureId> = match &setup.holding.held {
        Held::BoltOnPlate { bores } | Held::PlateSwung { bores } | Held::PlateTurned { bores, .. } => {
            bores.clone()
        }
        Held::StubMandrel { bore } => vec![*bore],
        _ => Vec::new(),
    };
    let nuts = stack::nuts(setup);
    let head = |id: FeatureId| {
        let Kind::Hole { diameter, .. } = setup.part.feature(id).kind else { return None };
        let (x, y) = setup.read(id);
        Some((Point::at(x, y), setup.part.size(diameter).as_mm()))
    };
    bores.into_iter().filter_map(head).chain(nuts).collect()
}

/// The fewest places of which so many hold in every cut; of several such sets the one whose
/// clamps stand farthest apart.
fn fewest(tried: &[Clamp], cuts: usize, hold: usize) -> Option<Vec<Clamp>> {
    enough(tried, cuts, hold, hold)
}

/// The same with at least so many.
fn enough(tried: &[Clamp], cuts: usize, hold: usize, least: usize) -> Option<Vec<Clamp>> {
    let from =
        |one: &Clamp| tried.iter().map(|other| closest(&one.strap, &other.strap).distance_mm()).collect();
    let apart = Apart { mm: tried.iter().map(from).collect(), least_mm: straps_apart_mm() };
    for count in least..=MOST_CLAMPS {
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
        let held = |cut: usize| picked.iter().filter(|&&n| !tried[n].off_for.contains(&cut)).count();
        if (0..cuts).all(|cut| held(cut) >= hold) && best.as_ref().is_none_or(|(known, _)| spread_mm > *known)
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

impl Cut {
    /// How the sheet names it.
    fn words(&self) -> String {
        match &self.part {
            Some(part) => format!("{} ({part})", self.row),
            None => self.row.to_string(),
        }
    }
}

impl Clamps {
    /// Where each stands, once for the setup.
    pub fn presets(&self, setup: &Setup) -> Vec<Figure> {
        let strap = limit("clamp strap");
        let nose = holding("clamps on the table").least_grip;
        let swung = matches!(setup.holding.held, Held::PlateSwung { .. });
        let several = self.clamps.iter().any(|clamp| clamp.piece > 0);
        let figure = |(n, clamp): (usize, &Clamp)| {
            let [x, y] = [clamp.nose.x_mm, clamp.nose.y_mm]
                .map(|at| Length::nearest(at).rounded(Length::mm(1), Toward::Nearest).value);
            let rows: Vec<String> = clamp.off_for.iter().map(|&cut| self.cuts[cut].words()).collect();
            let clear = match rows.len() {
                0 => "it is clear of every cut here".to_owned(),
                1 => format!("in the way of row {} alone", rows[0]),
                _ => format!("in the way of rows {}", rows.join(", ")),
            };
            let mut why = practice(format!(
                "{clear}: a strap {} wide that bears {} in from the edge, laid against the road of every cutter, its radius and {} besides",
                mm(strap),
                mm(nose),
                mm(limit("clear of the next"))
            ));
            if swung {
                why = why.because(practice(
                    "plate and work are clamped anew after every swing; the places are those of the work before it is swung, and two of the clamps hold in every cut",
                ));
            }
            let before = if swung { " before any swing" } else { "" };
            let piece = if several { format!(", piece {}", clamp.piece + 1) } else { String::new() };
            let shown = format!(
                "nose at X {}, Y {}{before}, in over {}{piece}",
                setup.about(x),
                setup.about(y),
                clamp.over
            );
            Figure::new(setup.named(0, &format!("clamp {}", n + 1)), shown, why)
        };
        self.clamps.iter().enumerate().map(figure).collect()
    }

    /// Which clamps are off in each row, and in each flank of one.
    pub fn mark(&self, setup: &Setup, rows: &mut [Row]) {
        for row in rows {
            let own: Vec<(&Cut, Vec<String>)> = (0..)
                .zip(&self.cuts)
                .filter(|(_, cut)| cut.row == row.number)
                .map(|(n, cut)| {
                    let off = (1..).zip(&self.clamps).filter(|(_, clamp)| clamp.off_for.contains(&n));
                    (cut, off.map(|(clamp, _): (usize, _)| clamp.to_string()).collect())
                })
                .collect();
            let alike = own.windows(2).all(|pair| pair[0].1 == pair[1].1);
            let told = if alike { own.get(..1).unwrap_or_default() } else { &own };
            for (cut, off) in told.iter().filter(|(_, off)| !off.is_empty()) {
                let why = practice(
                    "tighten the others first, then take it off; put it back before the next is taken off",
                );
                let word = if off.len() == 1 { "clamp" } else { "clamps" };
                let shown = format!("{word} {} off, the rest tight", off.join(" and "));
                let label = match &cut.part {
                    Some(part) if !alike => format!("{part}, clamps"),
                    _ => "clamps".into(),
                };
                row.sets.push(Figure::new(setup.named(row.number, &label), shown, why));
            }
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
        Clamp { nose: strap.start(), over: "side".into(), strap, piece: 0, off_for: off_for.to_vec() }
    }

    /// Four cuts of which each takes one clamp off: with two that have to hold three are needed,
    /// and of those that do the ones farthest apart are taken; straps never overlap.
    #[test]
    fn so_many_hold_in_every_cut_and_they_stand_far_apart() {
        let tried = [
            clamp(0.0, &[0]),
            clamp(5.0, &[0]),
            clamp(60.0, &[1]),
            clamp(90.0, &[2]),
            clamp(120.0, &[3]),
            clamp(130.0, &[0, 1, 2, 3]),
        ];
        let found = fewest(&tried, 4, 2).unwrap();
        let at: Vec<f64> = found.iter().map(|clamp| clamp.nose.x_mm).collect();
        assert_eq!(at, [0.0, 60.0, 120.0]);
        for cut in 0..4 {
            assert!(found.iter().filter(|clamp| !clamp.off_for.contains(&cut)).count() >= 2);
        }
        assert_eq!(fewest(&tried, 4, 1).unwrap().len(), 2);
        // One that would have to be off for all is no clamp, and too near ones are one.
        assert!(fewest(&tried[4..], 4, 2).is_none());
        assert!(fewest(&tried[..2], 2, 2).is_none());
    }
}
