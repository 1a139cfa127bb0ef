//! The drawing and the metric part laid over each other, differences magnified.
//!
//! Both are seen from the front, each from its own datum. Lines that correspond, by the
//! feature they belong to and where they run, are moved point for point: what is drawn,
//! and so many times what lies between it and what is made. A small round thing that would
//! vanish so keeps its own size and moves only. Lines that correspond to nothing stay
//! where they are. [`Overlay::apart`] names both.

use std::collections::BTreeMap;
use std::f64::consts::TAU;

use super::{Lettering, projections};
use crate::drawing::{Axis, Body, DimensionId, FeatureId, Kind, Measures, Part};
use crate::geometry::{Point, Segment};
use crate::measure::Length;
use crate::plan::sheet::{Moved, Overlay, Projection, Projections, Said, Saying, Stroke, ViewLine};

/// Magnifications to choose from: round numbers, largest first.
const TIMES: [u32; 10] = [1000, 500, 200, 100, 50, 20, 10, 5, 2, 1];

/// The greatest difference as shown, as a share of the part's size.
const SHOWN: f64 = 0.06;

/// What is left, at the least, of a radius that shrinks, as a share.
const LEFT: f64 = 0.3;

/// A round thing whose radius is a smaller share of the part's size than this does not
/// hold back the magnification of the rest.
const SMALL: f64 = 0.08;

/// Lines shorter than this share of the part's size may be scraps.
const SCRAP: f64 = 0.06;

/// So many lines of one thing can still be told apart.
const FEW: usize = 8;

/// An arc is drawn as chords no longer than this turn.
const STEP_RAD: f64 = 0.06;

/// Nothing smaller is told: half of what a sheet shows of a length.
fn noticed() -> Length {
    Length::mm_ratio(5, 10_000)
}

/// Lays the metric part over the part as drawn.
pub fn overlay(drawn: &Part, metric: &Part) -> Overlay {
    let mut views = [drawn, metric].map(|part| projections(part, Lettering::Metric).views.into_iter());
    let [Some(mut before), Some(mut after)] = views.each_mut().map(Iterator::next) else {
        return empty(drawn);
    };
    let reach_mm = farthest_mm(drawn, metric);
    for view in [&mut before, &mut after] {
        leave_out_scraps(view);
    }
    let (pairs, apart) = pairs(&before, &after, reach_mm + 0.01);
    let times = times(&before, &pairs);
    let mut lines: Vec<ViewLine> = Vec::new();
    for line in &before.lines {
        lines.push(ViewLine { of: line.of.clone(), stroke: Stroke::Before, segment: line.segment });
    }
    for pair in &pairs {
        lines.extend(pair.magnified(times));
    }
    let kept = pairs.iter().filter(|pair| pair.most_times() < f64::from(times)).map(|pair| pair.line);
    let mut names: Vec<String> =
        apart.iter().copied().chain(kept).map(|line| line.of.clone().unwrap_or("body".into())).collect();
    let apart: Vec<&ViewLine> = apart.into_iter().filter(|line| line.stroke == Stroke::Visible).collect();
    lines.extend(apart.iter().map(|line| (*line).clone()));
    let told = moved(drawn, metric);
    let says = told.iter().filter_map(|told| told.saying(&before, times)).collect();
    names.sort();
    names.dedup();
    let view = Projection {
        looking: before.looking,
        lines,
        says,
        anchors: Vec::new(),
        marks: Vec::new(),
        beneath: None,
    };
    Overlay {
        picture: Projections { part: drawn.drawing.name.clone(), views: vec![view] },
        times,
        moved: told.into_iter().map(|told| told.moved).collect(),
        apart: if times == 1 { Vec::new() } else { names },
    }
}

fn empty(part: &Part) -> Overlay {
    let picture = Projections { part: part.drawing.name.clone(), views: Vec::new() };
    Overlay { picture, times: 1, moved: Vec::new(), apart: Vec::new() }
}

/// Leaves out centre lines, and lines that nobody could tell one from another: the many
/// short ones of a curve in which two rounds meet, what is left of a hidden edge behind
/// others, and the crossed lines of a knurl.
fn leave_out_scraps(view: &mut Projection) {
    let Some(bounds) = view.bounds() else { return };
    let least_mm = SCRAP * bounds.width_mm().max(bounds.height_mm());
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
            Stroke::Hidden => !is_scrap(line, least_mm),
            Stroke::Thin => all <= FEW,
            Stroke::Visible | Stroke::Before => short <= FEW || !is_scrap(line, least_mm),
        }
    });
}

/// A round is none, however small it is.
fn is_scrap(line: &ViewLine, least_mm: f64) -> bool {
    let whole = matches!(line.segment, Segment::Arc(arc) if arc.sweep_rad.abs() > TAU - 1e-6);
    !whole && line.segment.length_mm() < least_mm
}

/// A line as drawn and as made.
struct Pair<'a> {
    line: &'a ViewLine,
    drawn: Segment,
    made: Segment,
}

impl Pair<'_> {
    /// Places along the line, on both.
    fn points(&self) -> impl Iterator<Item = (Point, Point)> + '_ {
        let steps = match self.drawn {
            Segment::Line(_) => 1,
            Segment::Arc(arc) => (arc.sweep_rad.abs() / STEP_RAD).ceil().max(1.0) as usize,
        };
        (0..=steps).map(move |n| {
            let at = n as f64 / steps as f64;
            (self.drawn.along(at), self.made.along(at))
        })
    }

    fn greatest_mm(&self) -> f64 {
        self.points().map(|(a, b)| a.distance_mm(b)).fold(0.0, f64::max)
    }

    /// As made, each point so many times as far from where it is drawn.
    fn magnified(&self, times: u32) -> Vec<ViewLine> {
        let moved = |(drawn, made)| match (self.drawn, self.made) {
            (Segment::Arc(was), Segment::Arc(is)) if self.most_times() < f64::from(times) => {
                made - is.centre + away(was.centre, is.centre, times)
            }
            _ => away(drawn, made, times),
        };
        let points: Vec<Point> = self.points().map(moved).collect();
        let line = |ends: &[Point]| ViewLine {
            of: self.line.of.clone(),
            stroke: self.line.stroke,
            segment: Segment::line(ends[0], ends[1]),
        };
        points.windows(2).filter(|ends| ends[0].distance_mm(ends[1]) > 0.0).map(line).collect()
    }

    /// How many times its difference may be magnified before it is lost: a whole round
    /// may not vanish.
    fn most_times(&self) -> f64 {
        let (Segment::Arc(was), Segment::Arc(is)) = (self.drawn, self.made) else { return f64::INFINITY };
        let shrinks_mm = was.radius_mm - is.radius_mm;
        let whole = was.sweep_rad.abs() > TAU - 1e-6;
        if whole && shrinks_mm > 1e-9 { (1.0 - LEFT) * was.radius_mm / shrinks_mm } else { f64::INFINITY }
    }

    /// Whether it is so large that it must show as it is.
    fn is_large(&self, size_mm: f64) -> bool {
        matches!(self.drawn, Segment::Arc(arc) if arc.radius_mm >= SMALL * size_mm)
    }
}

fn away(drawn: Point, made: Point, times: u32) -> Point {
    drawn + (made - drawn).times(f64::from(times))
}

/// The lines of both views that correspond, and those of the part as made that
/// correspond to none. Ends that lie farther apart than `reach_mm` are not the same.
fn pairs<'a>(
    before: &'a Projection,
    after: &'a Projection,
    reach_mm: f64,
) -> (Vec<Pair<'a>>, Vec<&'a ViewLine>) {
    let mut groups: BTreeMap<(Option<&str>, Stroke), [Vec<&ViewLine>; 2]> = BTreeMap::new();
    for (side, view) in [before, after].into_iter().enumerate() {
        for line in &view.lines {
            groups.entry((line.of.as_deref(), line.stroke)).or_default()[side].push(line);
        }
    }
    let (mut pairs, mut apart) = (Vec::new(), Vec::new());
    for [drawn, made] in groups.into_values() {
        let mut near: Vec<(f64, usize, usize, Segment)> = Vec::new();
        for (at, line) in drawn.iter().enumerate() {
            for (other, candidate) in made.iter().enumerate() {
                for segment in [candidate.segment, candidate.segment.reversed()] {
                    if let Some(off_mm) = ends_apart_mm(&line.segment, &segment).filter(|&mm| mm <= reach_mm)
                    {
                        near.push((off_mm, at, other, segment));
                    }
                }
            }
        }
        near.sort_by(|a, b| a.0.total_cmp(&b.0).then((a.1, a.2).cmp(&(b.1, b.2))));
        let (mut taken, mut used) = (vec![false; drawn.len()], vec![false; made.len()]);
        for (_, at, other, segment) in near {
            if !taken[at] && !used[other] {
                (taken[at], used[other]) = (true, true);
                pairs.push(Pair { line: made[other], drawn: drawn[at].segment, made: segment });
            }
        }
        apart.extend(made.into_iter().zip(used).filter(|(_, used)| !used).map(|(line, _)| line));
    }
    (pairs, apart)
}

/// The farther of the two ends of two lines of one kind, or of the middles of two arcs.
fn ends_apart_mm(a: &Segment, b: &Segment) -> Option<f64> {
    let turned = |a: f64, b: f64| a.signum() == b.signum();
    let middles_mm = match (a, b) {
        (Segment::Line(_), Segment::Line(_)) => 0.0,
        (Segment::Arc(one), Segment::Arc(other)) if turned(one.sweep_rad, other.sweep_rad) => {
            a.along(0.5).distance_mm(b.along(0.5))
        }
        _ => return None,
    };
    let ends_mm = a.start().distance_mm(b.start()).max(a.end().distance_mm(b.end()));
    Some(ends_mm.max(middles_mm))
}

/// The largest round magnification that keeps the picture legible.
fn times(before: &Projection, pairs: &[Pair]) -> u32 {
    let Some(bounds) = before.bounds() else { return 1 };
    let seen = pairs.iter().filter(|pair| pair.line.stroke == Stroke::Visible);
    let greatest_mm = seen.map(Pair::greatest_mm).fold(0.0, f64::max);
    if greatest_mm < noticed().as_mm() {
        return 1;
    }
    let size_mm = bounds.width_mm().max(bounds.height_mm());
    let large = pairs.iter().filter(|pair| pair.is_large(size_mm));
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

fn shift(drawn: &Part, metric: &Part, id: FeatureId, axis: Axis) -> Length {
    match (drawn.at(id, axis), metric.at(id, axis)) {
        (Some(from), Some(to)) => to - from,
        _ => Length::ZERO,
    }
}

/// Something that moved, and what points at it.
struct Told {
    moved: Moved,
    /// The first of its dimensions that changed.
    figure: Option<String>,
    /// Where it stands as drawn, where it has a place of its own in the view.
    at: Option<Point>,
    /// How far it moves across the view.
    by: Point,
}

impl Told {
    /// What is said at its place.
    fn saying(&self, before: &Projection, times: u32) -> Option<Saying> {
        let anchor = || {
            let known = before.anchors.iter().find(|(name, _)| *name == self.moved.name);
            known.map(|(_, at)| *at)
        };
        let at = self.at.or_else(anchor)?;
        Some(Saying {
            of: None,
            figure: self.figure.clone(),
            text: format!("{}: {}", self.moved.name, self.moved.words),
            shape: Said::Note { at: away(at, at + self.by, times) },
        })
    }
}

/// What moved or changed, feature by feature; what belongs to the body last.
fn moved(drawn: &Part, metric: &Part) -> Vec<Told> {
    let one_of_many = |id: FeatureId| {
        drawn.features().any(|(_, f)| f.kind.pattern().is_some_and(|holes| holes.contains(&id)))
    };
    let mut told = Vec::new();
    for (id, feature) in drawn.features().filter(|&(id, _)| !one_of_many(id)) {
        let mut words = Vec::new();
        let sizes = feature.kind.sizes();
        words.extend(sizes.iter().filter_map(|&size| grown(drawn, metric, size)));
        if let Some(thread) = feature.kind.thread() {
            let (was, is) = (drawn.thread(thread), metric.thread(thread));
            if was != is {
                words.push(format!("{} for {}", is.designation, was.designation));
            }
        }
        words.extend(moves(drawn, metric, id));
        if words.is_empty() {
            continue;
        }
        let figure = sizes.iter().find(|&&size| grown(drawn, metric, size).is_some());
        let turned = matches!(drawn.drawing.body, Body::Turned { .. });
        let [x, y] = [Axis::X, Axis::Y].map(|axis| shift(drawn, metric, id, axis));
        let flat = matches!(feature.kind, Kind::Boss { .. } | Kind::Hole { .. } | Kind::Tapped { .. });
        told.push(Told {
            moved: Moved { name: feature.name.clone(), words: words.join(", ") },
            figure: figure.map(|&size| drawn.drawing.dimensions[size.0].name.clone()),
            at: drawn
                .xy(id)
                .filter(|_| flat && !turned && feature.face.axis() == Axis::Z)
                .map(|(x, y)| Point::at(x, y)),
            by: Point::at(x, y),
        });
    }
    let body: Vec<DimensionId> = body_sizes(&drawn.drawing.body);
    let words: Vec<String> = body.iter().filter_map(|&size| grown(drawn, metric, size)).collect();
    if !words.is_empty() {
        let foot = |part: &Part| {
            let [left, right, bottom, top] = part.edges();
            Point::at((left + right).half(), bottom.min(top))
        };
        let square = matches!(drawn.drawing.body, Body::Rectangle { .. } | Body::Disc { .. });
        told.push(Told {
            moved: Moved { name: "body".into(), words: words.join(", ") },
            figure: body
                .iter()
                .find(|&&size| grown(drawn, metric, size).is_some())
                .map(|size| drawn.drawing.dimensions[size.0].name.clone()),
            at: square.then(|| foot(drawn)),
            by: foot(metric) - foot(drawn),
        });
    }
    told
}

/// The dimensions that belong to the body itself.
fn body_sizes(body: &Body) -> Vec<DimensionId> {
    use crate::drawing::Around;
    match body {
        Body::Bosses { thickness, .. } => vec![*thickness],
        Body::Outline { around, thickness } => {
            let arcs = around.iter().filter_map(|item| match item {
                Around::Arc { radius, .. } => Some(*radius),
                Around::At(_) => None,
            });
            arcs.chain([*thickness]).collect()
        }
        Body::Rectangle { width, height, thickness, .. } => vec![*width, *height, *thickness],
        Body::Disc { diameter, thickness } => vec![*diameter, *thickness],
        Body::Turned { length, .. } => length.iter().copied().collect(),
    }
}

/// `⌀ +0.063`: by how much a size is greater as made.
fn grown(drawn: &Part, metric: &Part, id: DimensionId) -> Option<String> {
    let by = metric.size(id) - drawn.size(id);
    if by.abs() < noticed() {
        return None;
    }
    let dimension = &drawn.drawing.dimensions[id.0];
    let what = match dimension.measures {
        Measures::Hole(_) | Measures::Turned | Measures::Counterbore | Measures::Countersink => "⌀",
        Measures::Radius | Measures::InsideCorner => "R",
        _ => dimension.name.rsplit(": ").next().unwrap_or_default(),
    };
    let sign = if by.is_positive() { '+' } else { '−' };
    Some(format!("{what} {sign}{}", by.abs().decimals(3)))
}

/// `0.031 right`, `0.008 down`: how far a feature stands from where it is drawn.
fn moves(drawn: &Part, metric: &Part, id: FeatureId) -> Vec<String> {
    let ways = [(Axis::X, "right", "left"), (Axis::Y, "up", "down"), (Axis::Z, "forwards", "back")];
    ways.into_iter()
        .filter_map(|(axis, more, less)| {
            let by = shift(drawn, metric, id, axis);
            let word = if by.is_positive() { more } else { less };
            (by.abs() >= noticed()).then(|| format!("{} {word}", by.abs().decimals(3)))
        })
        .collect()
}
