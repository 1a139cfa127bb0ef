//! The wall finder: the least metal between every two cuts, and to the outside.

use super::super::{Face, FeatureId, Image, Kind, Part};
use super::meeting::{Meeting, meeting, on_one_axis};
use super::outside::Shape;
use super::{Beside, Cut, Shaped, Surface};
use crate::geometry::solid::{Convex, Gap, Span, Spot, Toward, apart, between};
use crate::measure::Length;
use crate::problem::Problem;

/// When a wall is called thin (common practice).
pub const THIN: &str =
    "less than 1 mm, or than a quarter of the narrower hole or slot beside it (common practice)";

/// The wall below which any is thin.
const LEAST: Length = Length::mm(1);

/// Walls to a round and to the flank it runs into that differ by less are one.
const ONE_WALL: Length = Length::from_ratio(num_rational::Ratio::new_raw(1, 1_000_000));

/// The share of the narrower hole that a wall keeps.
const SHARE: f64 = 0.25;

/// How to mend what breaks out or through.
const BOTH: &str = "check the places, the depths and the sizes of both; if they are meant to meet, place one at the axis of the other";

/// How much of the way across a wall must be metal for it to be one.
const METAL: f64 = 0.99;

/// How far the ends of the way across a wall are moved towards the middles of what it
/// stands between before it is looked at, in millimetres, so that it does not run
/// along a face.
const INTO_MM: f64 = 1e-6;

/// What is clear by so much more than is asked is not measured, in millimetres.
const SURELY_MM: f64 = 1e-6;

/// Where else along a hole a wall is looked at, in shares of its length.
const ALONG: [f64; 5] = [0.5, 0.25, 0.75, 0.02, 0.98];

/// A wall in three dimensions.
#[derive(Clone, Debug, PartialEq)]
pub struct SpaceWall {
    /// The first feature.
    pub first: FeatureId,
    /// What the wall stands between it and.
    pub second: Beside,
    /// Least thickness; negative: how deep one breaks into the other.
    pub thickness: Length,
    /// Where it is thinnest: on the first, and on the second, in the axes of the part.
    pub at: [[Length; 3]; 2],
    /// Below this it is thin.
    pub thin_below: Length,
    /// What there is of it.
    pub standing: Standing,
}

/// What there is of a wall.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Standing {
    /// Metal.
    Whole,
    /// Only the point of a drill comes through.
    Pricked,
    /// Nothing: one breaks into the other.
    Broken,
}

impl SpaceWall {
    /// Whether common practice calls it thin.
    pub fn is_thin(&self) -> bool {
        self.thickness < self.thin_below
    }

    /// `2.1 mm between `oil hole` and `rod bore`, at X 3, Y 4.5, Z 2`.
    pub fn words(&self, part: &Part) -> String {
        let first = &part.feature(self.first).name;
        let second = self.second.words(part);
        let by = self.thickness.abs().decimals(2);
        let [on, _] = self.at;
        let [x, y, z] = on.map(|length| length.decimals(2));
        let at = format!("at X {x}, Y {y}, Z {z}");
        match (self.standing, self.second) {
            (Standing::Whole, _) => format!("{by} mm between `{first}` and {second}, {at}"),
            (Standing::Pricked, _) => {
                format!("the point of the drill of `{first}` comes {by} mm through {second}, {at}")
            }
            (Standing::Broken, Beside::Feature(_)) => {
                format!("`{first}` breaks into {second} by {by} mm, {at}")
            }
            (Standing::Broken, _) => format!("`{first}` breaks out of {second} by {by} mm, {at}"),
        }
    }
}

/// Every wall of a part, the thinnest first.
///
/// Left out are features that meet on purpose: a counterbore and its hole, a slit and
/// its bore, a clamp screw and its slit, what the drawing makes concentric, a hole
/// that points at the axis of another, a hole in the floor of a step or a pocket. So
/// is a pair with something else cut between.
pub fn walls_in_space(part: &Part) -> Vec<SpaceWall> {
    found(part, &Shaped::new(part), |_, _| f64::INFINITY)
}

/// The walls that are thin or broken: as [`walls_in_space`], and quicker.
pub fn thin_walls(part: &Part) -> Vec<SpaceWall> {
    found(part, &Shaped::new(part), |cut, other| {
        thin_below(cut.width_mm, other.cut().and_then(|other| other.width_mm)).as_mm()
    })
}

/// The walls that are thinner than what is asked of each, or broken: as
/// [`walls_in_space`], and quicker.
pub fn walls_nearer(part: &Part, asked: impl Fn(FeatureId, Beside) -> Length) -> Vec<SpaceWall> {
    found(part, &Shaped::new(part), |cut, other| asked(cut.feature, other.beside()).as_mm())
}

/// How far apart a feature and what stands beside it are, whether or not there is metal
/// between them; less than nought where they overlap. None where the one opens through
/// the other, or where there is no such pair.
pub fn apart_in_space(part: &Part, first: FeatureId, beside: Beside) -> Option<f64> {
    let second = match beside {
        Beside::Feature(second) => Some(second),
        _ => None,
    };
    let shaped = Shaped::with(part, |id| id == first || Some(id) == second);
    let cut = shaped.of(first)?;
    let gap = match second {
        Some(second) => between_cuts(cut, shaped.of(second)?).map(|(gap, _)| gap),
        None => {
            let surfaces = shaped.outside.iter().filter(|surface| surface.beside == beside);
            surfaces.filter_map(|surface| to_surface(cut, surface)).map(|(gap, _)| gap).reduce(Gap::lesser)
        }
    };
    gap.map(|gap| gap.apart_mm)
}

/// Pairs of features that meet because of where they lie, though no statement of the drawing
/// holds them together: a hole that points at the axis of another.
pub fn meet_by_place(part: &Part) -> Vec<(FeatureId, FeatureId)> {
    let shaped = Shaped::new(part);
    let drawn = &part.seen(Image::Drawn);
    let boxes: Vec<[Spot; 2]> = shaped.cuts.iter().map(around).collect();
    let mut pairs = Vec::new();
    for (index, cut) in shaped.cuts.iter().enumerate() {
        for (other, other_box) in shaped.cuts[index + 1..].iter().zip(&boxes[index + 1..]) {
            if boxes_apart_mm(&boxes[index], other_box) <= 0.0 && on_one_axis(drawn, cut, other) {
                pairs.push((cut.feature, other.feature));
            }
        }
    }
    pairs
}

/// How deep one of two features breaks into the other, where it may not.
pub fn broken_between(part: &Part, first: FeatureId, second: FeatureId) -> Option<SpaceWall> {
    let shaped = Shaped::with(part, |id| id == first || id == second);
    let both = |cut: &Cut, other: Across| match other.cut() {
        Some(other) if [cut.feature, other.feature].iter().all(|id| [first, second].contains(id)) => {
            f64::INFINITY
        }
        _ => f64::NEG_INFINITY,
    };
    found(part, &shaped, both).into_iter().find(|wall| wall.standing == Standing::Broken)
}

/// What a wall may stand between a cut and.
enum Across<'a> {
    Surface(Beside),
    Cut(&'a Cut),
}

impl<'a> Across<'a> {
    fn cut(&self) -> Option<&'a Cut> {
        match self {
            Self::Cut(cut) => Some(cut),
            Self::Surface(_) => None,
        }
    }

    fn beside(&self) -> Beside {
        match self {
            Self::Cut(cut) => Beside::Feature(cut.feature),
            Self::Surface(beside) => *beside,
        }
    }
}

/// What breaks out of the part or into something it may not meet, as faults.
pub fn broken_in_space(part: &Part) -> Vec<Problem> {
    // Only what is as near as nothing need be measured.
    let broken = walls_nearer(part, |_, _| Length::microns(1)).into_iter();
    broken
        .filter(|wall| wall.standing == Standing::Broken)
        .map(|wall| {
            let first = part.feature(wall.first);
            let problem = Problem::new(wall.words(part))
                .at(format!("line {}, `{}`", first.line, first.name))
                .at(part.drawing.file.clone())
                .why("the metal between them would be nothing or less")
                .mend(match wall.second {
                    Beside::Feature(_) => BOTH.to_owned(),
                    _ => part.mend_break_out(wall.first, BOTH),
                })
                .concerns(first.name.clone());
            match wall.second {
                Beside::Feature(id) => problem.concerns(part.feature(id).name.clone()),
                _ => problem,
            }
        })
        .collect()
}

/// The walls that are nearer than wanted, in millimetres.
fn found(part: &Part, shaped: &Shaped, wanted_mm: impl Fn(&Cut, Across) -> f64) -> Vec<SpaceWall> {
    let drawn = &part.seen(Image::Drawn);
    let boxes: Vec<[Spot; 2]> = shaped.cuts.iter().map(around).collect();
    let mut walls = Vec::new();
    for (index, cut) in shaped.cuts.iter().enumerate() {
        let below = thin_below(cut.width_mm, None);
        let mut outside: Vec<SpaceWall> = Vec::new();
        for surface in
            shaped.outside.iter().filter(|_| !is_slit(drawn, cut) && !drawn.slot_across_end(cut.feature))
        {
            // A hole on the shoulder behind a boss has air between itself and the boss.
            if matches!(surface.beside, Beside::Section(id) if drawn.begins_below(cut.feature, id)) {
                continue;
            }
            let nearer_mm = wanted_mm(cut, Across::Surface(surface.beside));
            if surface.clear_mm(cut) >= nearer_mm + SURELY_MM {
                continue;
            }
            let Some((gap, standing)) = to_surface(cut, surface) else { continue };
            if gap.apart_mm >= nearer_mm {
                continue;
            }
            let gap = match standing {
                Standing::Whole => shaped.of_metal(gap, cut, cut),
                Standing::Pricked | Standing::Broken => Some(gap),
            };
            let Some(gap) = gap else { continue };
            let wall = SpaceWall::new(cut.feature, surface.beside, &gap, below, standing);
            match outside.iter_mut().find(|known| known.second == wall.second) {
                Some(known) if known.thickness <= wall.thickness => {}
                Some(known) => *known = wall,
                None => outside.push(wall),
            }
        }
        // Where a round runs into a flank one wall is found twice: the named one is kept.
        let named: Vec<Length> = outside
            .iter()
            .filter(|wall| matches!(wall.second, Beside::Boss(_)))
            .map(|wall| wall.thickness)
            .collect();
        outside.retain(|wall| {
            wall.second != Beside::Outline || !named.iter().any(|known| known.gap(wall.thickness) < ONE_WALL)
        });
        walls.extend(outside);
        for (other, other_box) in shaped.cuts[index + 1..].iter().zip(&boxes[index + 1..]) {
            let below = thin_below(cut.width_mm, other.width_mm);
            let nearer_mm = wanted_mm(cut, Across::Cut(other));
            if boxes_apart_mm(&boxes[index], other_box) >= nearer_mm {
                continue;
            }
            let may = meeting(drawn, cut, other);
            // How deep they lie in each other plays no part where they may meet, and takes
            // long to find.
            if may == Meeting::Belong || (may == Meeting::May && meet(cut, other)) {
                continue;
            }
            let Some((gap, standing)) = between_cuts(cut, other) else { continue };
            if gap.apart_mm >= nearer_mm {
                continue;
            }
            let kept = match standing {
                Standing::Whole => shaped.of_metal(gap, cut, other),
                Standing::Pricked | Standing::Broken => (may == Meeting::MayNot).then_some(gap),
            };
            if let Some(gap) = kept {
                let beside = Beside::Feature(other.feature);
                walls.push(SpaceWall::new(cut.feature, beside, &gap, below, standing));
            }
        }
    }
    if part.image == Image::Mirrored {
        walls.iter_mut().for_each(SpaceWall::mirror);
    }
    walls.sort_by_key(|wall| (wall.thickness, wall.first, wall.second));
    walls
}

impl SpaceWall {
    fn new(first: FeatureId, second: Beside, gap: &Gap, thin_below: Length, standing: Standing) -> Self {
        let place = |at: Spot| [at.x_mm, at.y_mm, at.z_mm].map(Length::nearest);
        Self {
            first,
            second,
            thickness: Length::nearest(gap.apart_mm),
            at: [place(gap.on_first), place(gap.on_second)],
            thin_below,
            standing,
        }
    }

    fn mirror(&mut self) {
        self.at.iter_mut().for_each(|at| at[0] = -at[0]);
        self.second = match self.second {
            Beside::Face(Face::Left) => Beside::Face(Face::Right),
            Beside::Face(Face::Right) => Beside::Face(Face::Left),
            other => other,
        };
    }
}

/// Below what a wall beside something so wide is thin.
fn thin_below(width_mm: Option<f64>, other_mm: Option<f64>) -> Length {
    let narrower = width_mm.into_iter().chain(other_mm).fold(f64::INFINITY, f64::min);
    if narrower.is_finite() { LEAST.max(Length::nearest(narrower * SHARE)) } else { LEAST }
}

/// A saw cut runs out of the part wherever it comes near the outside.
fn is_slit(part: &Part, cut: &Cut) -> bool {
    matches!(part.feature(cut.feature).kind, Kind::Slit { .. })
}

/// How a cut and the point below it stand to something.
fn with_tip(body: Option<Gap>, tip: Option<Gap>) -> Option<(Gap, Standing)> {
    let standing = |gap: &Gap, less| if gap.apart_mm > 0.0 { Standing::Whole } else { less };
    match (body, tip) {
        (Some(body), Some(tip)) if body.apart_mm > 0.0 && tip.apart_mm < body.apart_mm => {
            Some((tip, standing(&tip, Standing::Pricked)))
        }
        (Some(body), _) => Some((body, standing(&body, Standing::Broken))),
        (None, _) => None,
    }
}

fn to_surface(cut: &Cut, surface: &Surface) -> Option<(Gap, Standing)> {
    if cut.within.is_empty() {
        return beside_ring(cut, surface).map(|gap| (gap, Standing::Whole));
    }
    let of = |solid| surface.gap(solid, &cut.opens);
    with_tip(cut.within.iter().filter_map(of).reduce(Gap::lesser), cut.tip.as_ref().and_then(of))
}

/// The lip between a groove and the end of its section, where metal ends there.
fn beside_ring(cut: &Cut, surface: &Surface) -> Option<Gap> {
    let lines = cut.hollow.iter().map(|side| side.line(0.0));
    match &surface.shape {
        Shape::Plane { .. } => lines.filter_map(|line| surface.gap(&line, &[])).reduce(Gap::lesser),
        Shape::Ring { ring, .. } => {
            let shoulder = ring.line(0.0);
            lines.map(|line| between(&line, &shoulder)).reduce(Gap::lesser).filter(|gap| gap.apart_mm > 0.0)
        }
        Shape::Flat { .. } | Shape::Swept(_) | Shape::Air(_) => None,
    }
}

/// Whether two cuts plainly share room: what is drilled or milled, points of drills apart.
fn meet(a: &Cut, b: &Cut) -> bool {
    let plain = a.hollow.is_empty() && b.hollow.is_empty();
    plain && a.within.iter().any(|one| b.within.iter().any(|other| apart(one, other).is_none()))
}

fn between_cuts(a: &Cut, b: &Cut) -> Option<(Gap, Standing)> {
    if !a.hollow.is_empty() && !b.hollow.is_empty() {
        // Both turned about the part's own axis: the same in every half-plane through it.
        let lines =
            a.hollow.iter().flat_map(|p| b.hollow.iter().map(|q| between(&p.line(0.0), &q.line(0.0))));
        return with_tip(lines.reduce(Gap::lesser), None);
    }
    if !a.hollow.is_empty() {
        return between_cuts(b, a).map(|(gap, standing)| (gap.turned(), standing));
    }
    let to_b = |solid| {
        if b.hollow.is_empty() {
            b.within.iter().map(|other| between(solid, other)).reduce(Gap::lesser)
        } else {
            b.hollow.iter().filter_map(|side| side.gap(solid, Toward::All)).reduce(Gap::lesser)
        }
    };
    let body = a.within.iter().filter_map(to_b).reduce(Gap::lesser);
    let own_tip = a.tip.as_ref().and_then(to_b);
    let other_tip =
        b.tip.as_ref().and_then(|tip| a.within.iter().map(|solid| between(solid, tip)).reduce(Gap::lesser));
    let tips = a.tip.as_ref().zip(b.tip.as_ref()).map(|(p, q)| between(p, q));
    with_tip(body, [own_tip, other_tip, tips].into_iter().flatten().reduce(Gap::lesser))
}

impl Shaped {
    /// The gap, where the way across it is metal; or where it is just as wide and is
    /// metal, further along the axis of the first.
    fn of_metal(&self, gap: Gap, first: &Cut, second: &Cut) -> Option<Gap> {
        if self.is_metal(&gap, first, second) {
            return Some(gap);
        }
        let (_, way) = first.axis?;
        let [from, to] = first.within.first()?.middle();
        let touches = |cut: &Cut, at: Spot| {
            let place = Convex::line(at, at);
            cut.within.iter().any(|solid| between(solid, &place).apart_mm <= 1e-6)
        };
        ALONG.into_iter().find_map(|share| {
            let along = (from + (to - from).times(share) - gap.on_first).dot(way);
            let moved = |at: Spot| at + way.times(along);
            let moved = Gap { on_first: moved(gap.on_first), on_second: moved(gap.on_second), ..gap };
            let there = touches(first, moved.on_first)
                && (std::ptr::eq(first, second) || touches(second, moved.on_second));
            (there && self.is_metal(&moved, first, second)).then_some(moved)
        })
    }

    /// Whether the way across a gap is metal.
    fn is_metal(&self, gap: &Gap, first: &Cut, second: &Cut) -> bool {
        let into = |at: Spot, cut: &Cut| {
            let middle = cut.within.first().map(|solid| solid.middle());
            let [from, to] = middle.unwrap_or_else(|| self.bounds());
            (from.midway(to) - at).unit().map_or(at, |way| at + way.times(INTO_MM))
        };
        let (from, to) = (into(gap.on_first, first), into(gap.on_second, second));
        let whole = Span { from: 0.0, to: 1.0 };
        let spans = self.uncut_by_saw.metal(from, to - from);
        let metal: f64 =
            spans.iter().filter_map(|span| span.shared(whole)).map(|span| span.to - span.from).sum();
        metal >= METAL
    }
}

/// The box around a cut.
fn around(cut: &Cut) -> [Spot; 2] {
    let join = |pick: fn(f64, f64) -> f64, a: Spot, b: Spot| {
        Spot::new(pick(a.x_mm, b.x_mm), pick(a.y_mm, b.y_mm), pick(a.z_mm, b.z_mm))
    };
    let solids = cut.within.iter().chain(&cut.tip).map(|solid| solid.bounds());
    // What is hollow is never passed over.
    let everywhere = [-f64::INFINITY, f64::INFINITY].map(|mm| Spot::new(mm, mm, mm));
    if !cut.hollow.is_empty() {
        return everywhere;
    }
    solids.reduce(|[a, b], [c, d]| [join(f64::min, a, c), join(f64::max, b, d)]).unwrap_or(everywhere)
}

fn boxes_apart_mm(a: &[Spot; 2], b: &[Spot; 2]) -> f64 {
    let apart =
        |low_a: f64, high_a: f64, low_b: f64, high_b: f64| (low_b - high_a).max(low_a - high_b).max(0.0);
    Spot::new(
        apart(a[0].x_mm, a[1].x_mm, b[0].x_mm, b[1].x_mm),
        apart(a[0].y_mm, a[1].y_mm, b[0].y_mm, b[1].y_mm),
        apart(a[0].z_mm, a[1].z_mm, b[0].z_mm, b[1].z_mm),
    )
    .norm_mm()
}
