//! The views of a part as one picture: in line with each other, at one scale, with
//! the sign of the third angle.

mod stand;

use std::collections::BTreeSet;

use workshop::geometry::{Point as Metal, Segment};
use workshop::plan::sheet::{Overlay, Projection, Projections, Stroke, ViewLine};

use super::remarks::{Remarks, letter};
use super::{SMALLER, chains, place};
use crate::ink::{Beneath, Bounds, Fill, Ink, Line, Point, Tag};
use crate::picture::{Picture, Placed, SCALES, Scale};
use stand::{Bare, Stand, caption, grouped, sign};

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

/// What letters for everything cost, in doublings of the scale.
const LETTERED: f64 = 1.6;
/// The same where the lines are what is looked at.
const LETTERED_OVERLAY: f64 = 0.8;
/// What it costs that some letter is left off for want of room, in doublings of the scale:
/// its words are found in the list by the name of their feature alone.
const LEFT_OFF: f64 = 0.8;
/// What views out of line cost, in doublings of the scale.
const APART: f64 = 1.1;
/// The same where nothing is read from one view to the next.
const APART_OVERLAY: f64 = 0.4;

/// Sets the views of a part for a screen. Nothing that is said is lost: what has
/// no room gets a letter, and its words stand in a list under the views.
///
/// Larger is better, letters are worse than words at their place, and views apart
/// are worse than views in line: the best of these together is taken.
pub(crate) fn views(projections: &Projections, screen: Screen) -> Placed {
    framed(projections, screen.frame(), Foot::ThirdAngle)
}

/// Sets the metric part laid over the drawing, with what moved at its place; where that is
/// too much for the frame, the lines alone.
pub(crate) fn overlay(overlay: &Overlay, frame: Frame) -> Placed {
    framed(&overlay.picture, frame, Foot::Scale)
}

fn framed(projections: &Projections, frame: Frame, foot: Foot) -> Placed {
    let remarks = Remarks::of_views(projections);
    let mut best: Option<(f64, Placed)> = None;
    let bare = Bare::of(projections);
    let largest = roomy(bare, frame).next().map_or(1.0, |(scale, _)| scale.factor());
    for scale in SCALES {
        // What moved is in the table beside it: its words are not worth lines too small to read.
        if foot == Foot::Scale && scale.factor() * SMALLER < largest {
            break;
        }
        let at_most = scale.factor().log2();
        if best.as_ref().is_some_and(|(score, _)| *score >= at_most) {
            break;
        }
        let mut drawn = Drawn::new(projections, bare, &remarks, scale);
        for stand in [Stand::Group, Stand::Column] {
            if !fits(&bare.size_mm(stand, scale), frame) {
                continue;
            }
            let Some(Set { listed, left_off, placed }) = set(&mut drawn, frame, foot, stand) else {
                continue;
            };
            let (lettered, apart) = match foot {
                Foot::ThirdAngle => (LETTERED, APART),
                Foot::Scale => (LETTERED_OVERLAY, APART_OVERLAY),
            };
            let apart = if stand == Stand::Column { apart } else { 0.0 };
            let off = if left_off > 0.0 { LEFT_OFF + lettered * left_off } else { 0.0 };
            let score = at_most - lettered * listed - apart - off;
            if best.as_ref().is_none_or(|(least, _)| score > *least) {
                best = Some((score, placed));
            }
        }
    }
    best.map_or_else(
        || match foot {
            Foot::ThirdAngle => with_all_listed(projections, &remarks, frame),
            Foot::Scale => lines_alone(projections, frame),
        },
        |(_, placed)| placed,
    )
}

/// Standard scales, largest first, each with the ways in which the bare views fit a frame;
/// the smallest scale of all where none does.
fn roomy(bare: Bare, frame: Frame) -> impl Iterator<Item = (Scale, Stand)> {
    let smallest = SCALES[SCALES.len() - 1];
    let each = SCALES.into_iter().flat_map(|scale| [(scale, Stand::Group), (scale, Stand::Column)]);
    each.filter(move |(scale, stand)| fits(&bare.size_mm(*stand, *scale), frame))
        .chain([(smallest, Stand::Column)])
}

/// The views as large as they go with everything in a list under them, however long.
fn with_all_listed(projections: &Projections, remarks: &Remarks, frame: Frame) -> Placed {
    let all: BTreeSet<usize> = (0..remarks.len()).collect();
    let bare = Bare::of(projections);
    let mut laid = roomy(bare, frame).map(|(scale, stand)| {
        lay(&mut Drawn::new(projections, bare, remarks, scale), &all, stand, frame, Foot::ThirdAngle).0
    });
    let on_paper = |placed: &Placed| placed.width_mm <= frame.width_mm;
    let first = laid.next().expect("there is always the smallest scale");
    if on_paper(&first) { first } else { laid.find(on_paper).unwrap_or(first) }
}

/// The lines with nothing said of them, as large as they go.
fn lines_alone(projections: &Projections, frame: Frame) -> Placed {
    let nothing = Remarks::none(projections);
    let bare = Bare::of(projections);
    let mut laid = roomy(bare, frame).map(|(scale, stand)| {
        let mut drawn = Drawn::new(projections, bare, &nothing, scale);
        lay(&mut drawn, &BTreeSet::new(), stand, frame, Foot::Scale).0
    });
    let on_paper = |placed: &Placed| fits(&(placed.width_mm, placed.height_mm), frame);
    let first = laid.next().expect("there is always the smallest scale");
    if on_paper(&first) { first } else { laid.find(on_paper).unwrap_or(first) }
}

fn fits((width_mm, height_mm): &(f64, f64), frame: Frame) -> bool {
    *width_mm <= frame.width_mm && *height_mm <= frame.height_mm
}

/// The views at a scale with as much said on them as has room.
struct Set {
    /// The share of what is said that is listed for want of room.
    listed: f64,
    /// The share of what is said whose letters are left off.
    left_off: f64,
    placed: Placed,
}

fn set(drawn: &mut Drawn<'_>, frame: Frame, foot: Foot, stand: Stand) -> Option<Set> {
    let remarks = drawn.remarks;
    let mut listed = remarks.too_long(frame.width_mm);
    listed.extend(remarks.for_a_table());
    let from_the_start = listed.len();
    let share = |some: usize| some as f64 / remarks.len().max(1) as f64;
    let everything: BTreeSet<usize> = (0..remarks.len()).collect();
    // As it comes; without the words on leaders, which reach far out; with letters alone.
    let mut tried = None;
    for more in [BTreeSet::new(), remarks.on_leaders(), everything] {
        listed.extend(more);
        if tried == Some(listed.len()) {
            continue;
        }
        loop {
            tried = Some(listed.len());
            // A list that leaves no room for the front view need not be laid out under it.
            if remarks.list(&listed, frame.width_mm).height_mm
                > frame.most_mm - drawn.bare.least_mm(drawn.scale)
            {
                break;
            }
            let (placed, crowded) = lay(drawn, &listed, stand, frame, foot);
            if placed.width_mm > frame.width_mm || placed.height_mm > frame.most_mm {
                break;
            }
            let left_off = match crowded {
                Room::Wanted(crowded) if !crowded.is_empty() => {
                    listed.extend(crowded);
                    continue;
                }
                Room::Wanted(_) => 0.0,
                // Nothing more can be listed, so this is as clear as it gets.
                Room::Lost(letters) if listed.len() == remarks.len() => share(letters),
                Room::Lost(_) => break,
            };
            return Some(Set { listed: share(listed.len() - from_the_start), left_off, placed });
        }
    }
    None
}

/// The views at one scale, each drawn once for what is said on it, however they stand
/// to each other.
struct Drawn<'a> {
    projections: &'a Projections,
    bare: Bare,
    remarks: &'a Remarks,
    scale: Scale,
    done: Vec<(BTreeSet<usize>, Inks)>,
}

/// Every view with what is said of it.
#[derive(Clone)]
struct Inks {
    views: Vec<Ink>,
    /// What found no room and can be listed.
    crowded: Vec<usize>,
    /// How many letters found none.
    lost: usize,
}

impl<'a> Drawn<'a> {
    fn new(projections: &'a Projections, bare: Bare, remarks: &'a Remarks, scale: Scale) -> Self {
        Self { projections, bare, remarks, scale, done: Vec::new() }
    }

    fn with(&mut self, listed: &BTreeSet<usize>) -> Inks {
        if let Some((_, inks)) = self.done.iter().find(|(own, _)| own == listed) {
            return inks.clone();
        }
        let inks = self.draw(listed);
        self.done.push((listed.clone(), inks.clone()));
        inks
    }

    fn draw(&self, listed: &BTreeSet<usize>) -> Inks {
        let mut inks = Inks { views: Vec::new(), crowded: Vec::new(), lost: 0 };
        for (n, view) in self.projections.views.iter().enumerate() {
            let (picture, keys) = picture(n, view, self.remarks, listed);
            let (mut ink, found) = picture.unplaced(self.scale);
            inks.lost += found.iter().filter(|note| keys[**note].is_none()).count();
            inks.crowded.extend(found.into_iter().filter_map(|note| keys[note]));
            if let Some(paper) = &view.beneath {
                let factor = self.scale.factor();
                let corner = |at: Metal| Point::mm(at.x_mm * factor, -at.y_mm * factor);
                let bounds = Bounds::around([corner(paper.least), corner(paper.most)]);
                ink.beneath.push(Beneath { address: paper.address.clone(), bounds });
            }
            inks.views.push(ink);
        }
        inks
    }
}

/// The views as they stand to each other, some of what is said in the list; and what found
/// no room.
fn lay(
    drawn: &mut Drawn<'_>,
    listed: &BTreeSet<usize>,
    stand: Stand,
    frame: Frame,
    foot: Foot,
) -> (Placed, Room) {
    let Inks { views, crowded, lost } = drawn.with(listed);
    let projections = drawn.projections;
    let laid = projections.views.iter().zip(views).map(|(view, mut ink)| {
        if foot == Foot::ThirdAngle || projections.views.len() > 1 {
            caption(&mut ink, view, stand);
        }
        (view.looking, ink)
    });
    let ink = grouped(laid, stand);
    let list = drawn.remarks.list(listed, frame.width_mm);
    let mut placed = Placed::of(ink, drawn.scale);
    match foot {
        Foot::ThirdAngle => sign(&mut placed, stand),
        Foot::Scale => {}
    }
    if list.height_mm > 0.0 {
        placed = placed.above(list);
    }
    (placed, if lost > 0 { Room::Lost(lost) } else { Room::Wanted(crowded) })
}

/// What a layout has no room for.
enum Room {
    /// So many letters themselves, which can only be left off.
    Lost(usize),
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
