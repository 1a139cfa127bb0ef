//! Where the notes of a picture go, once its scale is chosen.
//!
//! Fixed things first (shapes, axes, datums, words), then straight dimensions in
//! rows outside them, then radii and angles, then balloons in what is left.

mod balloons;
mod leaders;

use std::f64::consts::PI;

use super::{Drawn, Note, Picture, Place, Scale, Side, View, Words};
use crate::callout;
use crate::dimension::{Along, Label, Straight};
use crate::hatch::hatch;
use crate::ink::{Bounds, Fill, Ink, Line, Mark, Path, Point, Shape};
use crate::placement::{Lines, Taken};

/// From the outline to the nearest dimension line, and from line to line
/// (common practice: 8 to 10 mm, then about 7).
const FIRST_ROW_MM: f64 = 9.0;
const ROW_PITCH_MM: f64 = 7.0;
/// Between two dimensions on one line.
const ROW_GAP_MM: f64 = 1.5;
/// How far a centre line runs past the circle.
const CENTRE_OVERRUN_MM: f64 = 2.5;
/// On paper, the radius under which a hole is small.
const SMALL_HOLE_MM: f64 = 2.0;
/// Coarse is enough for keeping clear of an arc.
const OBSTACLE_SAG_MM: f64 = 0.3;

/// The picture at a scale; nothing if it has no room. That is asked as soon as it
/// can be known: what comes later only adds to what is there.
pub(super) fn lay_out(picture: &Picture, scale: Scale, width_mm: f64, height_mm: f64) -> Option<Laid> {
    let view = View { scale };
    let mut page = Page {
        view,
        words: picture.words,
        ink: Ink::new(),
        shapes: 0,
        over: Ink::new(),
        taken: Taken::default(),
        edges: Lines::default(),
        work: Extent::default(),
        crowded: vec![],
    };
    let fits = |page: &Page| {
        page.ink.bounds().is_none_or(|b| b.width_mm() <= width_mm && b.height_mm() <= height_mm)
    };
    page.shapes(picture);
    page.fixed_notes(&picture.notes);
    page.straights(&picture.notes);
    if !fits(&page) {
        return None;
    }
    page.leaders(&picture.notes);
    if !fits(&page) || !page.balloons(&picture.notes, (width_mm, height_mm)) {
        return None;
    }
    page.ink.lay(page.over, 0.0, 0.0);
    Some(Laid { ink: page.ink, crowded: page.crowded })
}

/// The marks of a picture, and the notes for which there was no room.
pub(super) struct Laid {
    pub ink: Ink,
    pub crowded: Vec<usize>,
}

struct Page {
    view: View,
    words: Words,
    ink: Ink,
    /// How many marks draw the work itself.
    shapes: usize,
    /// Laid over everything else: the axes, which must not be lost among lines.
    over: Ink,
    taken: Taken,
    /// The visible edges of the work, which no words may cover where words stand clear.
    edges: Lines,
    /// Round everything that stands for the work, as far as it is drawn.
    work: Extent,
    crowded: Vec<usize>,
}

/// The box round the work, kept as marks are added.
#[derive(Default)]
struct Extent {
    /// How many marks it has seen.
    seen: usize,
    bounds: Option<Bounds>,
}

impl Extent {
    fn of(&mut self, ink: &Ink) -> Option<Bounds> {
        let new = ink.marks[self.seen..].iter().filter(|mark| is_work(mark)).map(Mark::bounds);
        self.bounds = self.bounds.into_iter().chain(new).reduce(Bounds::union);
        self.seen = ink.marks.len();
        self.bounds
    }
}

impl Page {
    fn shapes(&mut self, picture: &Picture) {
        let view = self.view;
        for (drawn, tag) in &picture.drawn {
            self.ink.tagged(tag.as_ref(), |ink| match drawn {
                Drawn::Path { path, line, fill } => ink.path(path.map(|p| view.at(p)), *line, *fill),
                Drawn::Circle { centre, radius_mm, line, fill } => {
                    let radius_mm = view.long(*radius_mm);
                    // An extra wide line would fill a small hole.
                    let line = match line {
                        Some(Line::Worked) if radius_mm < SMALL_HOLE_MM => Some(Line::Visible),
                        line => *line,
                    };
                    ink.circle(view.at(*centre), radius_mm, line, *fill);
                }
                Drawn::Hatch { paths, lean } => {
                    let paths: Vec<_> = paths.iter().map(|path| path.map(|p| view.at(p))).collect();
                    hatch(ink, &paths, *lean);
                }
                Drawn::CentreMark { centre, radius_mm } => {
                    let (at, arm) = (view.at(*centre), view.long(*radius_mm) + CENTRE_OVERRUN_MM);
                    ink.line(Line::Centre, at.moved(-arm, 0.0), at.moved(arm, 0.0));
                    ink.line(Line::Centre, at.moved(0.0, -arm), at.moved(0.0, arm));
                }
                Drawn::CentreLine { from, to } => {
                    let (from, to) = (view.at(*from), view.at(*to));
                    let rad = from.direction_rad(to);
                    ink.line(
                        Line::Centre,
                        from.polar(-CENTRE_OVERRUN_MM, rad),
                        to.polar(CENTRE_OVERRUN_MM, rad),
                    );
                }
            });
        }
        self.shapes = self.ink.marks.len();
        self.taken.lines.extend(self.ink.marks.iter().flat_map(edges));
        if self.words == Words::Clear {
            self.edges.extend(self.ink.marks.iter().filter(|mark| is_edge(mark)).flat_map(edges));
        }
    }

    fn fixed_notes(&mut self, notes: &[Note]) {
        for note in notes {
            match note {
                Note::Axes { zero, x_rad, y_rad } => {
                    let boxes = callout::axes(&mut self.over, self.view.at(*zero), *x_rad, *y_rad);
                    self.taken.boxes.extend(boxes);
                }
                Note::Zero { at } => {
                    let taken = callout::zero_disc(&mut self.over, self.view.at(*at));
                    self.taken.boxes.push(taken);
                }
                Note::Datum { at, outwards_rad, letter } => {
                    let taken = callout::datum(&mut self.ink, self.view.at(*at), *outwards_rad, letter);
                    self.taken.boxes.push(taken);
                }
                Note::Words { at, words } => {
                    let taken = callout::note(&mut self.ink, self.view.at(*at), words);
                    self.taken.boxes.push(taken);
                }
                _ => {}
            }
        }
    }

    /// Straight dimensions, in rows outside the picture, shortest nearest.
    fn straights(&mut self, notes: &[Note]) {
        let view = self.view;
        let Some(body) = self.work.of(&self.ink) else { return };
        for side in [Side::Above, Side::Below, Side::Left, Side::Right] {
            let group = notes.iter().filter_map(|note| match note {
                Note::Straight { from, to, side: on, label } if *on == side => Some(Straight {
                    from: view.at(*from),
                    to: view.at(*to),
                    along: if matches!(side, Side::Above | Side::Below) {
                        Along::Horizontal
                    } else {
                        Along::Vertical
                    },
                    label,
                }),
                _ => None,
            });
            let headwards = if matches!(side, Side::Above | Side::Left) { 1.0 } else { -1.0 };
            self.rows(group.collect(), headwards, body);
        }
        for (n, note) in notes.iter().enumerate() {
            if let Note::Aligned { from, to, away_from, label } = note {
                self.aligned(n, *from, *to, *away_from, label);
            }
        }
    }

    fn rows(&mut self, mut group: Vec<Straight<'_>>, headwards: f64, body: Bounds) {
        let span = |s: &Straight<'_>| {
            let (low, high) = s.stretch_mm();
            high - low
        };
        group.sort_by(|a, b| span(a).total_cmp(&span(b)));
        // Which row each takes: the first whose line is free there, and above
        // any shorter one that it spans, so that extension lines do not cross.
        let mut rows: Vec<(usize, (f64, f64))> = Vec::new();
        for straight in &group {
            let (low, high) = straight.stretch_mm();
            let row = rows
                .iter()
                .filter(|(_, (a, b))| low < b + ROW_GAP_MM && *a < high + ROW_GAP_MM)
                .map(|(row, _)| row + 1)
                .max()
                .unwrap_or(0);
            rows.push((row, (low, high)));
        }
        let corners = |b: Bounds| [Point::mm(b.left_mm, b.top_mm), Point::mm(b.right_mm, b.bottom_mm)];
        let Some(first) = group.first() else { return };
        let outermost = |b: Bounds| {
            corners(b)
                .map(|p| headwards * first.height_of_mm(p))
                .into_iter()
                .fold(f64::NEG_INFINITY, f64::max)
        };
        let edge_mm = outermost(body);
        // A datum or a letter that stands out where the lines would run moves
        // them all outwards.
        let standing_out = self
            .taken
            .boxes
            .iter()
            .map(|b| outermost(*b) - edge_mm)
            .filter(|out| *out > 0.0)
            .fold(0.0, f64::max);
        let first_mm = edge_mm + FIRST_ROW_MM.max(standing_out + ROW_PITCH_MM);
        // Outer rows first, so that the clear paper under an inner figure breaks
        // the extension lines that pass it.
        for n in (0..group.len()).rev() {
            let height_mm = first_mm + ROW_PITCH_MM * rows[n].0 as f64;
            self.figure(&group[n], headwards * height_mm);
        }
    }

    fn aligned(&mut self, n: usize, from: Place, to: Place, away_from: Place, label: &Label) {
        let view = self.view;
        let straight = Straight { from: view.at(from), to: view.at(to), along: Along::Aligned, label };
        let (low, high) = straight.heights_mm();
        let outwards = if straight.height_of_mm(view.at(away_from)) > high { -1.0 } else { 1.0 };
        let row = |side: f64, n: i32| {
            let edge_mm = if side > 0.0 { high } else { low };
            edge_mm + side * (FIRST_ROW_MM + ROW_PITCH_MM * f64::from(n))
        };
        let clear = self.words == Words::Clear;
        let sides = if clear { vec![outwards, -outwards] } else { vec![outwards] };
        let heights: Vec<f64> =
            sides.into_iter().flat_map(|side| (0..8).map(move |n| row(side, n))).collect();
        let found = heights.into_iter().find(|&height_mm| {
            let mut ink = Ink::new();
            let figure = straight.draw(&mut ink, height_mm);
            let free = self.taken.boxes.iter().all(|b| b.overlap_mm2(figure) == 0.0);
            let own: Vec<_> = ink.marks.iter().flat_map(edges).collect();
            let across = |b: &Bounds| own.iter().any(|&(from, to)| b.length_within_mm(from, to) > 0.0);
            free && !(clear && (self.over_edges(figure) || self.taken.boxes.iter().any(across)))
        });
        match found {
            Some(height_mm) => self.figure(&straight, height_mm),
            None => self.crowded.push(n),
        }
    }

    /// True when words would cover a visible edge of the work.
    fn over_edges(&self, figure: Bounds) -> bool {
        self.edges.near(figure).any(|(from, to)| figure.length_within_mm(from, to) > 0.0)
    }

    fn figure(&mut self, straight: &Straight<'_>, height_mm: f64) {
        let mut drawn = Ink::new();
        let figure = straight.draw(&mut drawn, height_mm);
        if straight.along == Along::Aligned {
            let turned = drawn.marks.iter().find_map(|mark| match &mark.shape {
                Shape::Text(text) => Some(text.corners()),
                _ => None,
            });
            if let Some([a, b, c, d]) = turned {
                let patch = Path::from(a).to(b).to(c).to(d).ending(crate::ink::End::Closed);
                self.ink.path(patch, None, Fill::Paper);
            }
        } else {
            self.ink.rectangle(figure.grown(-0.05), None, Fill::Paper);
        }
        self.taken.lines.extend(drawn.marks.iter().flat_map(edges));
        self.ink.lay(drawn, 0.0, 0.0);
        self.taken.boxes.push(figure);
    }
}

/// True for a visible edge of the work.
fn is_edge(mark: &Mark) -> bool {
    matches!(
        mark.shape,
        Shape::Path { line: Some(Line::Visible), .. } | Shape::Circle { line: Some(Line::Visible), .. }
    )
}

/// True for the shapes of the work, round which dimensions stand; stock and
/// clamps count, centre lines do not.
fn is_work(mark: &Mark) -> bool {
    match &mark.shape {
        Shape::Path { line, .. } | Shape::Circle { line, .. } => {
            !matches!(line, Some(Line::Centre | Line::Hatch))
        }
        Shape::Text(_) => false,
    }
}

/// The straight pieces of a mark, for keeping clear of it.
fn edges(mark: &Mark) -> Vec<(Point, Point)> {
    let points = match &mark.shape {
        // Hatching and tints are a ground to stand on, not lines to keep clear of.
        Shape::Path { line: None | Some(Line::Hatch), .. }
        | Shape::Circle { line: None, .. }
        | Shape::Text(_) => {
            return Vec::new();
        }
        Shape::Path { path, .. } => path.flattened(OBSTACLE_SAG_MM),
        Shape::Circle { centre, radius_mm, .. } => crate::ink::Path::from(centre.polar(*radius_mm, 0.0))
            .arc(*centre, centre.polar(*radius_mm, PI), crate::ink::Turn::Anticlockwise)
            .arc(*centre, centre.polar(*radius_mm, 0.0), crate::ink::Turn::Anticlockwise)
            .flattened(OBSTACLE_SAG_MM),
    };
    points.windows(2).map(|pair| (pair[0], pair[1])).collect()
}
