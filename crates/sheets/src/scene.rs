//! A scene of the plan as a picture: metal, stock and clamps, axes, balloons,
//! dimensions and notes, and under it whatever found no room on it.

mod remarks;
mod views;

use std::collections::{BTreeMap, BTreeSet};
use std::f64::consts::FRAC_PI_2;

use workshop::geometry::{Point, Segment};
use workshop::plan::sheet::{Scene, When};
use workshop::why::Figure;

use crate::ink::{End, Fill, Line, Path, Step, Turn};
use crate::picture::{Picture, Place, Placed, SCALES, Scale};
use remarks::{Remarks, letter};
pub use views::Screen;
pub(crate) use views::{Frame, overlay, views};

/// Finds a figure of the plan by its name.
pub(crate) type Find<'a> = &'a dyn Fn(&str) -> Option<&'a Figure>;

/// The picture may be drawn this much smaller for the sake of what is said on it:
/// one standard step, not two.
pub(crate) const SMALLER: f64 = 2.6;

/// With more numbers than this, a picture may well be too small for them alone.
const MANY: usize = 12;

/// What is shown at the place from which a scene's distances count.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Datum {
    /// The axes of a readout, which is set along them.
    Axes,
    /// The place alone.
    Place,
    /// Nothing: nobody sets anything by it.
    Hidden,
}

/// The paper a scene may take.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Room {
    pub width_mm: f64,
    pub height_mm: f64,
}

/// Sets a scene on paper of this size. Nothing it says is lost: a dimension or
/// note with no room beside its place gets a letter there, and its words stand
/// in a list under the picture. Where even that does not help, the picture takes
/// more height than it was given, up to `most_mm`.
pub(crate) fn picture(scene: &Scene, datum: Datum, room: Room, most_mm: f64, find: Find<'_>) -> Placed {
    let remarks = Remarks::of(scene, find);
    let mut heights_mm = vec![room.height_mm];
    heights_mm.extend([1.5, 2.0].map(|times| room.height_mm * times).into_iter().filter(|h| *h < most_mm));
    heights_mm.push(room.height_mm.max(most_mm));
    let fits = heights_mm
        .into_iter()
        .find_map(|height_mm| {
            set(scene, datum, &remarks, Room { height_mm, ..room }, remarks.len(), Shrink::OneStep)
        })
        .or_else(|| {
            let room = Room { height_mm: room.height_mm.max(most_mm), ..room };
            set(scene, datum, &remarks, room, remarks.len(), Shrink::AsNeeded)
        });
    fits.unwrap_or_else(|| {
        // Too large for any standard scale, or balloons past counting: as small
        // as it goes, and never left out.
        let all = (0..remarks.len()).collect();
        let (picture, _) = with_remarks(scene, datum, &remarks, &all);
        let list = remarks.list(&all, room.width_mm);
        let on_paper = |placed: &Placed| placed.width_mm <= room.width_mm && placed.height_mm <= most_mm;
        let placed = SCALES.into_iter().map(|scale| picture.set(scale)).find(on_paper);
        placed.unwrap_or_else(|| picture.set(SCALES[SCALES.len() - 1])).above(list)
    })
}

/// The scene with nothing said of it, where a picture of it with everything is so much smaller that
/// its lines cannot be told apart, or needs more height than it was given.
pub(crate) fn bare_if_clearer(scene: &Scene, room: Room, full: &Placed) -> Option<Placed> {
    /// From 1:2 to 1:5 is too much; from one to two, where sizes are said beside, is not.
    const MUCH_SMALLER: f64 = 2.2;
    let bare = shapes(scene).fit(room.width_mm, room.height_mm).ok()?;
    let smaller = full.scale.factor() * MUCH_SMALLER < bare.scale.factor();
    (smaller || full.height_mm > room.height_mm).then_some(bare)
}

/// The same on less paper, if no more than a few words leave the picture for the
/// list.
pub(crate) fn smaller_picture(scene: &Scene, datum: Datum, room: Room, find: Find<'_>) -> Option<Placed> {
    const A_FEW: usize = 5;
    let remarks = Remarks::of(scene, find);
    let most = remarks.too_long(room.width_mm).len() + A_FEW;
    // Among very many numbers the work must be seen as well as it can be.
    let shrink = if scene.marks.len() > MANY { Shrink::Not } else { Shrink::OneStep };
    set(scene, datum, &remarks, room, most, shrink)
}

/// How much smaller a picture may be for the sake of what is said on it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Shrink {
    /// Not at all.
    Not,
    /// By one standard step: smaller ones are not so much as tried.
    OneStep,
    /// As much as it takes.
    AsNeeded,
}

/// The scene with at most so many remarks in the list; nothing if that is not enough.
fn set(
    scene: &Scene,
    datum: Datum,
    remarks: &Remarks,
    room: Room,
    most_listed: usize,
    shrink: Shrink,
) -> Option<Placed> {
    let Room { width_mm, height_mm } = room;
    let mut listed = remarks.too_long(width_mm);
    // How large the work could be drawn if nothing were said of it.
    let bare = shapes(scene).fit(width_mm, height_mm).ok()?.scale;
    let least = match shrink {
        Shrink::Not => bare.factor(),
        Shrink::OneStep => bare.factor() / SMALLER,
        Shrink::AsNeeded => 0.0,
    };
    // How large its numbers let it be: asked once many of them have failed with the rest, since
    // what fails for them alone fails whatever is listed.
    let mut largest: Option<Scale> = None;
    let mut smaller: Option<Placed> = None;
    while listed.len() <= most_listed {
        let list = remarks.list(&listed, width_mm);
        let (picture, keys) = with_remarks(scene, datum, remarks, &listed);
        let all_listed = listed.len() == remarks.len();
        match picture.fit_within(largest.unwrap_or(bare), least, width_mm, height_mm - list.height_mm) {
            Ok(placed) if !placed.crowded.is_empty() => {
                listed.extend(placed.crowded.iter().filter_map(|n| keys[*n]));
            }
            Ok(placed) => {
                let small = placed.scale.factor() * SMALLER < bare.factor();
                let placed = placed.above(list);
                if !small {
                    return Some(placed);
                }
                smaller.get_or_insert(placed);
                if all_listed {
                    break;
                }
                listed.extend(remarks.shed(&listed));
            }
            Err(_) if all_listed => break,
            Err(_) => {
                if scene.marks.len() > MANY && largest.is_none() {
                    largest = Some(numbered(scene).fit_within(bare, least, width_mm, height_mm).ok()?.scale);
                }
                listed.extend(remarks.shed(&listed));
            }
        }
    }
    smaller
}

/// The picture with what is said of it, and which remark each note came from.
fn with_remarks(
    scene: &Scene,
    datum: Datum,
    remarks: &Remarks,
    listed: &BTreeSet<usize>,
) -> (Picture, Vec<Option<usize>>) {
    let mut picture = shapes(scene);
    match datum {
        Datum::Axes => drop(picture.axes(place(scene.datum), 0.0, FRAC_PI_2)),
        Datum::Place => drop(picture.zero(place(scene.datum))),
        Datum::Hidden => {}
    }
    number(scene, &mut picture);
    for (n, group) in remarks.lettered(listed).iter().enumerate() {
        let (at, rim_mm, tag) = remarks.place(group);
        picture.balloon_round(at, rim_mm, letter(n), tag);
    }
    let mut keys = vec![None; picture.said()];
    for n in (0..remarks.len()).filter(|n| !listed.contains(n)) {
        remarks.say(n, &mut picture);
        keys.resize(picture.said(), Some(n));
    }
    (picture, keys)
}

/// The work with the numbers of its rows and nothing else said of it.
fn numbered(scene: &Scene) -> Picture {
    let mut picture = shapes(scene);
    number(scene, &mut picture);
    picture
}

/// Numbers the places of each row. Of very many alike, such as the holes of a sieve, some are
/// enough, spread evenly from the first on.
fn number(scene: &Scene, picture: &mut Picture) {
    /// So many places of one row are all numbered.
    const ALL: usize = 12;
    /// Of more than that, about so many.
    const SOME: usize = 8;
    let mut counts: BTreeMap<usize, usize> = BTreeMap::new();
    for mark in &scene.marks {
        *counts.entry(mark.number).or_default() += 1;
    }
    let mut met: BTreeMap<usize, usize> = BTreeMap::new();
    for mark in &scene.marks {
        let of = counts[&mark.number];
        let every = if of > ALL { of.div_ceil(SOME) } else { 1 };
        let own = met.entry(mark.number).or_default();
        if own.is_multiple_of(every) {
            picture.balloon_round(place(mark.at), rim_mm(scene, mark.at), mark.number.to_string(), None);
        }
        *own += 1;
    }
}

/// The radius at whose edge the leader to a numbered place stops.
fn rim_mm(scene: &Scene, at: Point) -> f64 {
    /// Far below what can be seen on paper.
    const SAME_PLACE_MM: f64 = 0.01;
    scene
        .holes
        .iter()
        .filter(|hole| hole.centre.distance_mm(at) < SAME_PLACE_MM)
        .map(|hole| hole.diameter_mm / 2.0)
        .fold(0.0, f64::max)
}

/// The work, the stock round it and what holds it, with nothing said of them.
fn shapes(scene: &Scene) -> Picture {
    let mut picture = Picture::new();
    for path in chains(&scene.around) {
        picture.path(path, Some(Line::Phantom), Fill::None);
    }
    for path in chains(&scene.outline) {
        let fill = if path.end == End::Closed { Fill::Tint } else { Fill::None };
        picture.path(path, Some(Line::Visible), fill);
    }
    for (segments, line) in [
        (&scene.to_come, Line::Dimension),
        (&scene.hidden, Line::Hidden),
        (&scene.centre_lines, Line::Centre),
    ] {
        for path in chains(segments) {
            picture.path(path, Some(line), Fill::None);
        }
    }
    // Large ones first, so that a counterbore does not cover its own hole.
    let mut holes: Vec<_> = scene.holes.iter().collect();
    holes.sort_by(|a, b| b.diameter_mm.total_cmp(&a.diameter_mm));
    for hole in holes {
        let (line, fill) = match hole.when {
            When::Before => (Line::Visible, Fill::Paper),
            When::Now => (Line::Worked, Fill::Paper),
            When::Later => (Line::Dimension, Fill::None),
        };
        let (centre, radius_mm) = (place(hole.centre), hole.diameter_mm / 2.0);
        picture.circle(centre, radius_mm, Some(line), fill).centre_mark(centre, radius_mm);
    }
    picture
}

fn place(point: Point) -> Place {
    Place::mm(point.x_mm, point.y_mm)
}

/// Segments joined end to end where they follow one another; a chain that comes
/// back to its start is closed.
fn chains(segments: &[Segment]) -> Vec<Path<Place>> {
    /// Ends nearer than this are one point: far below what paper shows.
    const SAME_POINT_MM: f64 = 1e-4;
    let mut chains: Vec<(Path<Place>, Point)> = Vec::new();
    for segment in segments {
        let joined = chains.last().is_some_and(|(_, end)| end.distance_mm(segment.start()) < SAME_POINT_MM);
        if !joined {
            chains.push((Path::from(place(segment.start())), segment.start()));
        }
        let (path, end) = chains.last_mut().expect("a chain was just begun");
        let to = place(segment.end());
        path.steps.push(match segment {
            Segment::Line(_) => Step::To(to),
            Segment::Arc(arc) => {
                let turn = if arc.sweep_rad < 0.0 { Turn::Clockwise } else { Turn::Anticlockwise };
                Step::Arc { centre: place(arc.centre), to, turn }
            }
        });
        *end = segment.end();
    }
    let closed = |(path, end): (Path<Place>, Point)| {
        let back = (path.start.x_mm - end.x_mm).hypot(path.start.y_mm - end.y_mm) < SAME_POINT_MM;
        path.ending(if back { End::Closed } else { End::Open })
    };
    chains.into_iter().map(closed).collect()
}
