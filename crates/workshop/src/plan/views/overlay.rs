//! The drawing and the metric part laid over each other, differences magnified.
//!
//! Both are seen from every side on which something differs, each from its own datum.
//! Lines that correspond, by the feature they belong to and where they run, are moved
//! point for point: what is drawn, and so many times what lies between it and what is
//! made, as many in every view. A small round thing that would vanish so keeps its own
//! size and moves only. Lines that correspond to nothing stay where they are.
//! [`Overlay::apart`] names both.

mod pairs;
mod told;

use std::collections::BTreeMap;
use std::f64::consts::TAU;

use super::{Lettering, projections};
use crate::drawing::{Axis, FeatureId, Part};
use crate::geometry::Segment;
use crate::measure::Length;
use crate::plan::sheet::{Looking, Overlay, Projection, Projections, Saying, Stroke, ViewLine};
use pairs::{Pair, pairs};
use told::{Told, moved, shift};

/// Magnifications to choose from: round numbers, largest first.
const TIMES: [u32; 10] = [1000, 500, 200, 100, 50, 20, 10, 5, 2, 1];

/// The greatest difference as shown, as a share of the part's size.
const SHOWN: f64 = 0.06;

/// Lines shorter than this share of the part's size may be scraps.
const SCRAP: f64 = 0.06;

/// So many lines of one thing can still be told apart.
const FEW: usize = 8;

/// A thing is told of in the first view that shows this share of how far its lines move.
const PLAIN: f64 = 0.6;

/// Nothing smaller is told: half of what a sheet shows of a length.
fn noticed() -> Length {
    Length::mm_ratio(5, 10_000)
}

/// The views of a part in which another is laid over it.
pub fn beneath(drawn: &Part) -> Vec<Projection> {
    projections(drawn, Lettering::Metric).views
}

/// Lays the metric part over the part as drawn.
pub fn overlay(drawn: &Part, metric: &Part) -> Overlay {
    laid_over(drawn, beneath(drawn), metric)
}

/// The same where the views of the part as drawn are there already.
pub fn laid_over(drawn: &Part, before: Vec<Projection>, metric: &Part) -> Overlay {
    let mut after = projections(metric, Lettering::Metric).views;
    let same_side = |view: Projection| {
        let other = after.iter().position(|other| other.looking == view.looking)?;
        Some([view, after.swap_remove(other)])
    };
    let mut views: Vec<[Projection; 2]> = before.into_iter().filter_map(same_side).collect();
    views.iter_mut().flatten().for_each(leave_out_scraps);
    let reach_mm = farthest_mm(drawn, metric) + 0.01;
    let mut seen: Vec<Seen> = views.iter().map(|[before, after]| Seen::of(before, after, reach_mm)).collect();
    if seen.iter().any(Seen::differs) {
        seen.retain(Seen::differs);
    } else {
        seen.truncate(1);
    }
    let times = times(&seen);
    let told = moved(drawn, metric);
    let mut says = vec![Vec::new(); seen.len()];
    for told in &told {
        if let Some((view, saying)) = said(told, &seen, times) {
            says[view].push(saying);
        }
    }
    let mut names: Vec<String> = seen.iter().flat_map(|view| view.at_their_own_size(times)).collect();
    names.sort();
    names.dedup();
    let laid = |(view, says): (&Seen, _)| Projection {
        looking: view.before.looking,
        lines: view.lines(times),
        says,
        anchors: Vec::new(),
        marks: Vec::new(),
        beneath: None,
    };
    let views = seen.iter().zip(says).map(laid).collect();
    Overlay {
        picture: Projections { part: drawn.drawing.name.clone(), views },
        times,
        moved: told.into_iter().map(|told| told.moved).collect(),
        apart: if times == 1 { Vec::new() } else { names },
    }
}

/// One view of both.
struct Seen<'a> {
    before: &'a Projection,
    after: &'a Projection,
    pairs: Vec<Pair<'a>>,
    /// Lines of the part as made that correspond to none.
    apart: Vec<&'a ViewLine>,
}

impl<'a> Seen<'a> {
    fn of(before: &'a Projection, after: &'a Projection, reach_mm: f64) -> Self {
        let (pairs, mut apart) = pairs(before, after, reach_mm);
        // Beside the front view a hidden edge comes and goes with what lies before it.
        apart.retain(|line| line.stroke == Stroke::Visible || before.looking == Looking::Front);
        Self { before, after, pairs, apart }
    }

    /// Whether an edge is elsewhere on this side.
    fn differs(&self) -> bool {
        let least_mm = noticed().as_mm();
        !self.apart.is_empty() || self.pairs.iter().any(|pair| pair.greatest_mm() >= least_mm)
    }

    /// The longer of its width and height.
    fn size_mm(&self) -> f64 {
        self.before.bounds().map_or(0.0, |bounds| bounds.width_mm().max(bounds.height_mm()))
    }

    /// How far the lines of a feature move at the most; of the body where none is named.
    fn moves_mm(&self, of: Option<&str>) -> f64 {
        let own = self.pairs.iter().filter(|pair| pair.line.of.as_deref() == of);
        own.map(Pair::greatest_mm).fold(0.0, f64::max)
    }

    /// As drawn, and as made so many times as far from that.
    fn lines(&self, times: u32) -> Vec<ViewLine> {
        let grey =
            |line: &ViewLine| ViewLine { of: line.of.clone(), stroke: Stroke::Before, segment: line.segment };
        let drawn = self.before.lines.iter().map(grey);
        let made = self.pairs.iter().flat_map(|pair| pair.magnified(times));
        let apart = self.apart.iter().filter(|line| line.stroke == Stroke::Visible);
        drawn.chain(made).chain(apart.map(|line| (*line).clone())).collect()
    }

    /// What is not magnified, or not wholly.
    fn at_their_own_size(&self, times: u32) -> impl Iterator<Item = String> {
        let kept = self.pairs.iter().filter(move |pair| pair.most_times() < f64::from(times));
        let lines = self.apart.iter().copied().chain(kept.map(|pair| pair.line));
        lines.map(|line| line.of.clone().unwrap_or("body".into()))
    }
}

/// What is said of a thing, and in which view: the first that shows plainly how it moves,
/// or else the first that has a place for it.
fn said(told: &Told, seen: &[Seen], times: u32) -> Option<(usize, Saying)> {
    let moves_mm: Vec<f64> = seen.iter().map(|view| view.moves_mm(told.of.as_deref())).collect();
    let most_mm = moves_mm.iter().copied().fold(0.0, f64::max);
    let plain = (0..seen.len()).filter(|&view| moves_mm[view] >= PLAIN * most_mm);
    plain
        .chain(0..seen.len())
        .find_map(|view| Some((view, told.saying(seen[view].before, seen[view].after, times)?)))
}

/// Leaves out centre lines, and lines that nobody could tell one from another: the many
/// short ones of a curve in which two rounds meet, what is left of a hidden edge behind
/// others, and the crossed lines of a knurl. So are, beside the front view, the hidden
/// walls of what is cut from the front: they show nothing that the front view does not.
fn leave_out_scraps(view: &mut Projection) {
    let Some(bounds) = view.bounds() else { return };
    let least_mm = SCRAP * bounds.width_mm().max(bounds.height_mm());
    let looking = view.looking;
    let key = |line: &ViewLine| (line.of.clone(), line.stroke);
    let mut many: BTreeMap<_, [usize; 2]> = BTreeMap::new();
    for line in &view.lines {
        let [all, short] = many.entry(key(line)).or_default();
        *all += 1;
        *short += usize::from(is_scrap(line, least_mm));
    }
    view.lines.retain(|line| {
        let [all, short] = many[&key(line)];
        match line.stroke {
            Stroke::Centre => false,
            Stroke::Hidden => !is_scrap(line, least_mm) && !runs_back(looking, &line.segment),
            Stroke::Thin => all <= FEW,
            Stroke::Visible | Stroke::Before => short <= FEW || !is_scrap(line, least_mm),
        }
    });
}

/// Whether a line runs from the front face to the back as seen from beside.
fn runs_back(looking: Looking, segment: &Segment) -> bool {
    let along = segment.end() - segment.start();
    let across_mm = match looking {
        Looking::Front => return false,
        Looking::Above | Looking::Below => along.x_mm,
        Looking::Right | Looking::Left => along.y_mm,
    };
    matches!(segment, Segment::Line(_)) && across_mm.abs() < 1e-6
}

/// A round is none, however small it is.
fn is_scrap(line: &ViewLine, least_mm: f64) -> bool {
    let whole = matches!(line.segment, Segment::Arc(arc) if arc.sweep_rad.abs() > TAU - 1e-6);
    !whole && line.segment.length_mm() < least_mm
}

/// The largest round magnification that keeps every view legible.
fn times(seen: &[Seen]) -> u32 {
    let size_mm = seen.iter().map(Seen::size_mm).fold(0.0, f64::max);
    let pairs = || seen.iter().flat_map(|view| &view.pairs);
    let edges = pairs().filter(|pair| pair.line.stroke == Stroke::Visible);
    let greatest_mm = edges.map(Pair::greatest_mm).fold(0.0, f64::max);
    if greatest_mm < noticed().as_mm() {
        return 1;
    }
    let large = pairs().filter(|pair| pair.is_large(size_mm));
    let most = large.map(Pair::most_times).fold(SHOWN * size_mm / greatest_mm, f64::min);
    TIMES.into_iter().find(|&times| f64::from(times) <= most).unwrap_or(1)
}

/// How far anything at all can lie from where it is drawn.
fn farthest_mm(drawn: &Part, metric: &Part) -> f64 {
    let place_mm = |(id, _): (FeatureId, _)| {
        [Axis::X, Axis::Y, Axis::Z].into_iter().map(move |axis| shift(drawn, metric, id, axis).abs())
    };
    let places = drawn.features().flat_map(place_mm).max().unwrap_or_default();
    let lengths = drawn.sizes.lengths.iter().zip(&metric.sizes.lengths);
    let sizes = lengths.map(|(a, b)| a.gap(*b)).max().unwrap_or_default();
    let threads = drawn.sizes.threads.iter().zip(&metric.sizes.threads);
    let majors = threads.map(|(a, b)| a.major.gap(b.major)).max().unwrap_or_default();
    (places + sizes.max(majors)).as_mm()
}
