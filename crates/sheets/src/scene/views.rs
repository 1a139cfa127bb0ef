//! The views of a part as one picture: in line with each other, at one scale, with
//! the sign of the third angle.

use std::collections::BTreeSet;

use workshop::geometry::{Point as Metal, Segment};
use workshop::plan::sheet::{Looking, Overlay, Projection, Projections, Stroke, ViewLine};

use super::remarks::{Remarks, letter};
use super::{chains, place};
use crate::dimension::FIGURE_PT;
use crate::ink::{Beneath, Bounds, Fill, Ink, Line, Path, Point, Tag, Text};
use crate::picture::{Picture, Placed, SCALES, Scale};

/// How wide a screen is, in millimetres of paper at the usual 96 dots to the inch.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Screen {
    /// A phone: 360 dots.
    Narrow,
    /// A small window: 800 dots.
    Middle,
    /// A whole screen: 1400 dots.
    Wide,
    /// A part of a page so many millimetres wide.
    Pane(u16),
}

impl Screen {
    /// How wide a picture for it is.
    pub const fn width_mm(self) -> f64 {
        match self {
            Self::Narrow => 84.0,
            Self::Middle => 190.0,
            Self::Wide => 300.0,
            Self::Pane(width_mm) => width_mm as f64,
        }
    }

    /// No higher than this with the list under it; a narrow screen is scrolled.
    const fn most_mm(self) -> f64 {
        match self {
            Self::Narrow | Self::Pane(..120) => f64::INFINITY,
            Self::Middle | Self::Wide | Self::Pane(_) => 420.0,
        }
    }

    /// The views alone no higher than this.
    const fn height_mm(self) -> f64 {
        match self {
            Self::Narrow => 260.0,
            Self::Middle => 220.0,
            Self::Wide => 200.0,
            Self::Pane(..120) => 260.0,
            Self::Pane(_) => 220.0,
        }
    }
}

/// What views may take, in millimetres of paper.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Frame {
    /// So wide.
    pub width_mm: f64,
    /// The views alone no higher than this.
    pub height_mm: f64,
    /// With the list under them no higher than this.
    pub most_mm: f64,
}

impl Screen {
    pub(crate) const fn frame(self) -> Frame {
        Frame { width_mm: self.width_mm(), height_mm: self.height_mm(), most_mm: self.most_mm() }
    }
}

/// What stands at the foot of the picture, beside the scale.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Foot {
    /// The sign of the third angle.
    ThirdAngle,
    /// Nothing else: the words are under the picture.
    Scale,
}

/// Between two views.
const GAP_MM: f64 = 9.0;
/// Under a view, to the words that say where it is seen from.
const CAPTION_MM: f64 = 5.0;
/// The size of those words.
const CAPTION_PT: f64 = 9.0;
/// What letters for everything cost, in doublings of the scale.
const LETTERED: f64 = 1.6;
/// The same where the lines are what is looked at.
const LETTERED_OVERLAY: f64 = 0.8;
/// What views out of line cost, in doublings of the scale.
const APART: f64 = 1.1;
/// The same where nothing is read from one view to the next.
const APART_OVERLAY: f64 = 0.4;

/// How views stand to each other.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Stand {
    /// Each on the side it is seen from, in line with the front view.
    Group,
    /// The view from the side under the rest, for want of width.
    Column,
}

/// Sets the views of a part for a screen. Nothing that is said is lost: what has
/// no room gets a letter, and its words stand in a list under the views.
///
/// Larger is better, letters are worse than words at their place, and views apart
/// are worse than views in line: the best of these together is taken.
pub(crate) fn views(projections: &Projections, screen: Screen) -> Placed {
    framed(projections, screen.frame(), Foot::ThirdAngle)
}

/// Sets the metric part laid over the drawing, with what moved at its place.
pub(crate) fn overlay(overlay: &Overlay, frame: Frame) -> Placed {
    framed(&overlay.picture, frame, Foot::Scale)
}

fn framed(projections: &Projections, frame: Frame, foot: Foot) -> Placed {
    let remarks = Remarks::of_views(projections);
    let mut best: Option<(f64, Placed)> = None;
    let roomy = |scale: &Scale| {
        [Stand::Group, Stand::Column].iter().any(|&s| fits(&bare_size_mm(projections, s, *scale), frame))
    };
    for scale in SCALES.into_iter().skip_while(|scale| !roomy(scale)) {
        let at_most = scale.factor().log2();
        if best.as_ref().is_some_and(|(score, _)| *score >= at_most) {
            break;
        }
        for stand in [Stand::Group, Stand::Column] {
            if !fits(&bare_size_mm(projections, stand, scale), frame) {
                continue;
            }
            let Some((share, placed)) = set(projections, &remarks, frame, foot, stand, scale) else {
                continue;
            };
            let (lettered, apart) = match foot {
                Foot::ThirdAngle => (LETTERED, APART),
                Foot::Scale => (LETTERED_OVERLAY, APART_OVERLAY),
            };
            let apart = if stand == Stand::Column { apart } else { 0.0 };
            let score = at_most - lettered * share - apart;
            if best.as_ref().is_none_or(|(least, _)| score > *least) {
                best = Some((score, placed));
            }
        }
    }
    best.map_or_else(
        || {
            // Larger than any standard scale can help: as small as it goes.
            let all: BTreeSet<usize> = (0..remarks.len()).collect();
            let smallest = SCALES[SCALES.len() - 1];
            lay(projections, &remarks, &all, smallest, Stand::Column, frame, foot).0
        },
        |(_, placed)| placed,
    )
}

fn fits((width_mm, height_mm): &(f64, f64), frame: Frame) -> bool {
    *width_mm <= frame.width_mm && *height_mm <= frame.height_mm
}

/// What the views take with nothing said of them.
fn bare_size_mm(projections: &Projections, stand: Stand, scale: Scale) -> (f64, f64) {
    let factor = scale.factor();
    let size = |looking: &[Looking]| {
        let views = projections.views.iter().filter(|view| looking.contains(&view.looking));
        let bounds = views.filter_map(Projection::bounds);
        bounds
            .map(|b| (b.width_mm() * factor, b.height_mm() * factor))
            .reduce(|a, b| (a.0.max(b.0), a.1.max(b.1)))
    };
    let front = size(&[Looking::Front]).unwrap_or_default();
    let upright = size(&[Looking::Above, Looking::Below]);
    let beside = size(&[Looking::Right, Looking::Left]);
    let spaced = |mm: Option<f64>| mm.map_or(0.0, |mm| mm + GAP_MM);
    let (mut width, mut height) = (front.0, front.1 + CAPTION_MM + spaced(upright.map(|s| s.1 + CAPTION_MM)));
    match stand {
        Stand::Group => width += spaced(beside.map(|s| s.0)),
        Stand::Column => {
            width = width.max(beside.map_or(0.0, |s| s.0));
            height += spaced(beside.map(|s| s.1 + CAPTION_MM));
        }
    }
    (width, height)
}

/// The views at a scale with as much said on them as has room, and the share of it
/// that is listed for want of room.
fn set(
    projections: &Projections,
    remarks: &Remarks,
    frame: Frame,
    foot: Foot,
    stand: Stand,
    scale: Scale,
) -> Option<(f64, Placed)> {
    let mut listed = remarks.too_long(frame.width_mm);
    listed.extend(remarks.for_a_table());
    let from_the_start = listed.len();
    let everything: BTreeSet<usize> = (0..remarks.len()).collect();
    // As it comes; without the words on leaders, which reach far out; with letters alone.
    for more in [BTreeSet::new(), remarks.on_leaders(), everything] {
        listed.extend(more);
        loop {
            let (placed, crowded) = lay(projections, remarks, &listed, scale, stand, frame, foot);
            if placed.width_mm > frame.width_mm || placed.height_mm > frame.most_mm {
                break;
            }
            let Room::Wanted(crowded) = crowded else { break };
            if crowded.is_empty() {
                let share = (listed.len() - from_the_start) as f64 / remarks.len().max(1) as f64;
                return Some((share, placed));
            }
            listed.extend(crowded);
        }
    }
    None
}

/// The views at a scale, some of what is said in the list; and what found no room.
fn lay(
    projections: &Projections,
    remarks: &Remarks,
    listed: &BTreeSet<usize>,
    scale: Scale,
    stand: Stand,
    frame: Frame,
    foot: Foot,
) -> (Placed, Room) {
    let mut crowded = Vec::new();
    let mut lost = false;
    let mut laid: Vec<(Looking, Ink)> = Vec::new();
    for (n, view) in projections.views.iter().enumerate() {
        let (picture, keys) = picture(n, view, remarks, listed);
        let (mut ink, found) = picture.unplaced(scale);
        lost |= found.iter().any(|note| keys[*note].is_none());
        crowded.extend(found.into_iter().filter_map(|note| keys[note]));
        if let Some(paper) = &view.beneath {
            let corner = |at: Metal| Point::mm(at.x_mm * scale.factor(), -at.y_mm * scale.factor());
            let bounds = Bounds::around([corner(paper.least), corner(paper.most)]);
            ink.beneath.push(Beneath { address: paper.address.clone(), bounds });
        }
        if foot == Foot::ThirdAngle || projections.views.len() > 1 {
            caption(&mut ink, view, stand);
        }
        laid.push((view.looking, ink));
    }
    let ink = grouped(laid, stand);
    let list = remarks.list(listed, frame.width_mm);
    let mut placed = Placed::of(ink, scale);
    match foot {
        Foot::ThirdAngle => sign(&mut placed, stand),
        Foot::Scale => {}
    }
    if list.height_mm > 0.0 {
        placed = placed.above(list);
    }
    (placed, if lost { Room::Lost } else { Room::Wanted(crowded) })
}

/// What a layout has no room for.
enum Room {
    /// A letter itself: nothing can be done at this scale.
    Lost,
    /// These, which can be listed; none when all is well.
    Wanted(Vec<usize>),
}

/// One view with what is said of it, and which remark each note came from.
fn picture(
    n: usize,
    view: &Projection,
    remarks: &Remarks,
    listed: &BTreeSet<usize>,
) -> (Picture, Vec<Option<usize>>) {
    let mut picture = Picture::clear();
    draw(view, &mut picture);
    for mark in &view.marks {
        picture.balloon_round(place(mark.at), 0.0, mark.number.to_string(), Some(Tag::feature(&mark.of)));
    }
    /// More rings than this crowd each other off a view.
    const MOST_RINGS: usize = 12;
    let groups = remarks.lettered(listed);
    let own = groups.iter().filter(|group| remarks.view(group[0]) == n).count();
    for (number, group) in groups.iter().enumerate().filter(|(_, group)| remarks.view(group[0]) == n) {
        let (at, rim_mm, tag) = remarks.place(group);
        if own > MOST_RINGS {
            picture.key(at, rim_mm, letter(number), tag);
        } else {
            picture.balloon_round(at, rim_mm, letter(number), tag);
        }
    }
    // What is listed already cannot be listed for want of room: a smaller scale must do.
    let mut keys = vec![None; picture.said()];
    for remark in (0..remarks.len()).filter(|r| !listed.contains(r) && remarks.view(*r) == n) {
        remarks.say(remark, &mut picture);
        keys.resize(picture.said(), Some(remark));
    }
    (picture, keys)
}

/// The lines of a view: narrow ones first, so that edges lie over them.
fn draw(view: &Projection, picture: &mut Picture) {
    let tag = |line: &ViewLine| line.of.as_ref().map(Tag::feature);
    for stroke in [Stroke::Before, Stroke::Centre, Stroke::Thin, Stroke::Hidden, Stroke::Visible] {
        let line = match stroke {
            Stroke::Visible => Line::Visible,
            Stroke::Hidden => Line::Hidden,
            Stroke::Centre => Line::Centre,
            Stroke::Thin => Line::Dimension,
            Stroke::Before => Line::Before,
        };
        let mut lines: Vec<&ViewLine> = view.lines.iter().filter(|l| l.stroke == stroke).collect();
        lines.sort_by_key(|line| &line.of);
        for own in lines.chunk_by(|a, b| a.of == b.of) {
            let named = |picture: &mut Picture| {
                if let Some(tag) = tag(own[0]) {
                    picture.named(tag);
                }
            };
            let (axes, edges): (Vec<&ViewLine>, Vec<&ViewLine>) = own
                .iter()
                .copied()
                .partition(|l| stroke == Stroke::Centre && matches!(l.segment, Segment::Line(_)));
            for axis in axes {
                picture.centre_line(place(axis.segment.start()), place(axis.segment.end()));
                named(picture);
            }
            let segments: Vec<_> = edges.iter().map(|l| l.segment).collect();
            for path in chains(&end_to_end(segments)) {
                picture.path(path, Some(line), Fill::None);
                named(picture);
            }
        }
    }
}

/// Segments in the order in which they follow one another, turned where need be, so
/// that dashes run on from one to the next.
fn end_to_end(mut segments: Vec<Segment>) -> Vec<Segment> {
    /// Ends nearer than this are one point: far below what paper shows.
    const SAME_POINT_MM: f64 = 1e-3;
    let same = |a: Metal, b: Metal| a.distance_mm(b) < SAME_POINT_MM;
    let mut chain: Vec<Segment> = Vec::with_capacity(segments.len());
    while !segments.is_empty() {
        let next = chain.last().map(Segment::end).and_then(|end| {
            segments.iter().position(|s| same(s.start(), end) || same(s.end(), end)).map(|n| (n, end))
        });
        match next {
            Some((n, end)) => {
                let segment = segments.swap_remove(n);
                chain.push(if same(segment.start(), end) { segment } else { segment.reversed() });
            }
            // Begin at a loose end, where there is one.
            None => {
                let loose = |p: Metal, own: usize| {
                    !segments
                        .iter()
                        .enumerate()
                        .any(|(m, s)| m != own && (same(s.start(), p) || same(s.end(), p)))
                };
                let begins = (0..segments.len()).find_map(|n| {
                    let (start, end) = (segments[n].start(), segments[n].end());
                    if loose(start, n) { Some((n, false)) } else { loose(end, n).then_some((n, true)) }
                });
                let (n, turn) = begins.unwrap_or((0, false));
                let segment = segments.swap_remove(n);
                chain.push(if turn { segment.reversed() } else { segment });
            }
        }
    }
    chain
}

/// Says under a view where it is seen from.
fn caption(ink: &mut Ink, view: &Projection, stand: Stand) {
    let Some(bounds) = ink.bounds() else { return };
    // The front view in line with the others needs no words.
    if stand == Stand::Group && view.looking == Looking::Front {
        return;
    }
    let at = Point::mm(bounds.centre().x_mm, bounds.bottom_mm + CAPTION_MM);
    ink.text(Text::new(view.looking.words(), CAPTION_PT, at).anchor(crate::ink::Anchor::Middle));
}

/// Puts the views where they belong: they share the zero of the model, so those in
/// line need moving one way only.
fn grouped(laid: Vec<(Looking, Ink)>, stand: Stand) -> Ink {
    let mut group = Ink::new();
    let mut taken: Option<Bounds> = None;
    let mut set = |ink: Ink, dx_mm: f64, dy_mm: f64, taken: &mut Option<Bounds>| {
        let bounds = ink.bounds().map(|b| moved(b, dx_mm, dy_mm));
        group.lay(ink, dx_mm, dy_mm);
        *taken = match (*taken, bounds) {
            (Some(a), Some(b)) => Some(a.union(b)),
            (a, b) => a.or(b),
        };
    };
    for (looking, ink) in laid {
        let (Some(own), Some(all)) = (ink.bounds(), taken) else {
            set(ink, 0.0, 0.0, &mut taken);
            continue;
        };
        let under = all.bottom_mm + GAP_MM - own.top_mm;
        let (dx, dy) = match (looking, stand) {
            (Looking::Above, _) => (0.0, all.top_mm - GAP_MM - own.bottom_mm),
            (Looking::Below, _) => (0.0, under),
            (Looking::Left, Stand::Group) => (all.left_mm - GAP_MM - own.right_mm, 0.0),
            (_, Stand::Group) => (all.right_mm + GAP_MM - own.left_mm, 0.0),
            (_, Stand::Column) => (all.centre().x_mm - own.centre().x_mm, under),
        };
        set(ink, dx, dy, &mut taken);
    }
    group
}

fn moved(b: Bounds, dx_mm: f64, dy_mm: f64) -> Bounds {
    Bounds::new(b.left_mm + dx_mm, b.top_mm + dy_mm, b.width_mm(), b.height_mm())
}

/// The sign of the third angle (ISO 5456-2) and the scale, under the views at the
/// right.
fn sign(placed: &mut Placed, stand: Stand) {
    const SMALL_MM: f64 = 1.5;
    const LARGE_MM: f64 = 3.0;
    const LONG_MM: f64 = 6.0;
    const ACROSS_MM: f64 = 3.0 * LARGE_MM + LONG_MM + 4.0;
    let words = match stand {
        Stand::Group => format!("third angle, {}", placed.scale),
        Stand::Column => format!("third angle, the side view apart, {}", placed.scale),
    };
    let words = Text::new(&words, FIGURE_PT - 1.0, Point::default());
    let width = placed.width_mm.max(words.width_mm() + ACROSS_MM + 4.0);
    let middle = Point::mm(width - ACROSS_MM + LARGE_MM + 1.0, placed.height_mm + LARGE_MM + 3.0);
    let mut ink = Ink::new();
    for radius in [SMALL_MM, LARGE_MM] {
        ink.circle(middle, radius, Some(Line::Visible), Fill::None);
    }
    let (near, far) = (middle.moved(LARGE_MM + 3.0, 0.0), middle.moved(LARGE_MM + 3.0 + LONG_MM, 0.0));
    let frustum = Path::from(near.moved(0.0, -SMALL_MM))
        .to(far.moved(0.0, -LARGE_MM))
        .to(far.moved(0.0, LARGE_MM))
        .to(near.moved(0.0, SMALL_MM))
        .ending(crate::ink::End::Closed);
    ink.path(frustum, Some(Line::Visible), Fill::None);
    ink.line(Line::Centre, middle.moved(-LARGE_MM - 1.5, 0.0), far.moved(1.5, 0.0));
    ink.line(Line::Centre, middle.moved(0.0, -LARGE_MM - 1.5), middle.moved(0.0, LARGE_MM + 1.5));
    let at = middle.moved(-LARGE_MM - 3.5, 1.2);
    ink.text(Text { at, ..words }.anchor(crate::ink::Anchor::End));
    placed.ink.lay(ink, 0.0, 0.0);
    placed.width_mm = width;
    placed.height_mm += 2.0 * LARGE_MM + 6.0;
}
