//! Whether a part is its own mirror image, turned some way: then both hands are one.
//!
//! A mirroring motion that carries every piece of the part onto a piece of the same
//! kind and size leaves the part as it is. The mirror image is then the part itself,
//! turned. The motions that could do it are few: those that carry one stretch of the
//! outline onto another, or one hole of a round part onto another. Each is tried on
//! every piece: two convex pieces are one when they reach equally far, to the
//! nanometre, in enough directions.

use std::f64::consts::{PI, TAU};

use super::super::{Body as Drawn, FeatureId, Finish, Image, Kind, Part, SectionSize};
use super::Shaped;
use crate::geometry::solid::{Convex, Motion, Piece, Spot};
use crate::geometry::{Outline, Point, SAME_POINT_MM};

/// How a part is turned to become its mirror image.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Turn {
    /// Not at all.
    AsItLies,
    /// Half round about a line across the sheet: top to bottom.
    AboutX,
    /// Half round about a line up the sheet: left to right.
    AboutY,
    /// Half round about a line out of the sheet.
    AboutZ,
    /// Another way, by this angle in all.
    Otherwise {
        /// The whole turn, in radians.
        rad: f64,
    },
}

impl Turn {
    /// What a person does.
    pub fn words(self) -> String {
        match self {
            Self::AsItLies => "as it lies".to_owned(),
            Self::AboutX => "turned over top to bottom".to_owned(),
            Self::AboutY => "turned over left to right".to_owned(),
            Self::AboutZ => "turned half round on the table".to_owned(),
            Self::Otherwise { rad } => format!("turned round by {:.1}°", rad.to_degrees()),
        }
    }

    fn of(turn: &Motion) -> Self {
        let [u, v, w] = turn.axes();
        let same = |a: Spot, b: Spot| a.distance_mm(b) < 1e-9;
        match () {
            () if same(u, Spot::X) && same(v, Spot::Y) => Self::AsItLies,
            () if same(u, Spot::X) && same(v, -Spot::Y) => Self::AboutX,
            () if same(u, -Spot::X) && same(v, Spot::Y) => Self::AboutY,
            () if same(u, -Spot::X) && same(v, -Spot::Y) => Self::AboutZ,
            () => {
                let cos = (u.x_mm + v.y_mm + w.z_mm - 1.0) / 2.0;
                Self::Otherwise { rad: cos.clamp(-1.0, 1.0).acos() }
            }
        }
    }
}

/// How a part is turned to become its mirror image left for right; none where no
/// turn does it, and the two hands are two parts.
pub fn same_in_both_hands(part: &Part) -> Option<Turn> {
    let part = &part.seen(Image::Drawn);
    let shaped = Shaped::new(part);
    let pieces = pieces(part, &shaped);
    let outline = match &part.drawing.body {
        Drawn::Bosses { .. } | Drawn::Outline { .. } => Some(part.outline().ok()?),
        _ => None,
    };
    // Places of bosses and corners that are only drawn round need no look of their own:
    // the outline carries them.
    let holds = |motion: &Motion| {
        outline.as_ref().is_none_or(|outline| keeps_outline(outline, motion)) && keeps(&pieces, motion)
    };
    let mut turns: Vec<Turn> = motions(part, &shaped, outline.as_ref(), &pieces)
        .into_iter()
        .filter(|motion| motion.sense() < 0.0 && holds(motion))
        .map(|motion| Turn::of(&Motion::mirror().after(&motion)))
        .collect();
    turns.sort_by_key(|turn| match turn {
        Turn::AsItLies => 0,
        Turn::AboutY => 1,
        Turn::AboutX => 2,
        Turn::AboutZ => 3,
        Turn::Otherwise { .. } => 4,
    });
    turns.first().copied()
}

/// A piece of the part, and what else tells it from others of its shape.
struct Tagged {
    tag: String,
    solid: Convex,
}

fn pieces(part: &Part, shaped: &Shaped) -> Vec<Tagged> {
    let mut pieces = Vec::new();
    for piece in &shaped.body.metal {
        let solid = match (piece, &part.drawing.body) {
            (Piece::Convex(convex), _) => convex.clone(),
            // A round plate has no seam, and a block may be stood on its side.
            (Piece::Extruded { .. }, Drawn::Disc { diameter, thickness }) => {
                let radius_mm = part.size(*diameter).half().as_mm();
                Convex::cylinder(Spot::ORIGIN, Spot::Z.times(part.size(*thickness).as_mm()), radius_mm)
            }
            (Piece::Extruded { .. }, Drawn::Rectangle { .. }) => {
                let [least, most] = shaped.bounds();
                Convex::cuboid(least, most)
            }
            _ => continue,
        };
        pieces.push(Tagged { tag: "metal".to_owned(), solid });
    }
    for (id, feature) in part.features() {
        let what = tag(part, id);
        if let Kind::Section { .. } = feature.kind {
            // What is turned alike but threaded or knurled is not alike.
            let Some((from, to)) = part.along(id).zip(part.section_end(id)) else { continue };
            let at = |mm: crate::measure::Length| Spot::X.times(mm.as_mm());
            pieces.push(Tagged { tag: what, solid: Convex::line(at(from), at(to)) });
            continue;
        }
        let Some(cut) = shaped.of(id) else { continue };
        for (index, solid) in cut.within.iter().chain(&cut.tip).enumerate() {
            // The clearance and the thread of a clamp screw are not alike.
            let tag = match feature.kind {
                Kind::ClampScrew { .. } => format!("{what} {index}"),
                _ => what.clone(),
            };
            pieces.push(Tagged { tag, solid: solid.clone() });
        }
        for side in &cut.hollow {
            let [(r0, w0), (r1, w1)] = side.ends_mm;
            let place = |mm: f64| side.frame.place(0.0, 0.0, mm);
            pieces.push(Tagged { tag: what.clone(), solid: Convex::cone(place(w0), place(w1), r0, r1) });
        }
    }
    pieces
}

/// What a piece is besides its shape: its kind, thread and finish.
fn tag(part: &Part, id: FeatureId) -> String {
    let feature = part.feature(id);
    let thread = match &feature.kind {
        Kind::Tapped { thread, .. }
        | Kind::ClampScrew { thread, .. }
        | Kind::Section { size: SectionSize::Threaded(thread), .. } => Some(part.thread(*thread)),
        _ => None,
    };
    let finish = match feature.kind {
        Kind::Hole { finish: Finish::Drilled, .. } => "drilled",
        Kind::Hole { finish: Finish::Reamed, .. } => "reamed",
        Kind::Hole { finish: Finish::Bored, .. } => "bored",
        _ => "",
    };
    let knurl = part.features().find_map(|(_, other)| match other.kind {
        Kind::Knurl { over, pattern, pitch } if over == id => {
            Some(format!("{pattern:?} {}", part.size(pitch)))
        }
        _ => None,
    });
    let thread = thread.map_or("", |thread| &thread.designation);
    format!("{} {thread} {finish} {}", feature.kind.word(), knurl.unwrap_or_default())
}

/// Directions in which two solids are compared: enough to tell any two of the kinds
/// there are apart, and in no plane or pattern.
fn looks() -> impl Iterator<Item = Spot> {
    // Along a spiral round the sphere, by the golden angle.
    const COUNT: u32 = 24;
    (0..COUNT).map(|i| {
        let z = 1.0 - (2.0 * f64::from(i) + 1.0) / f64::from(COUNT);
        let rad = f64::from(i) * 2.399_963_229_728_653 + 0.137;
        let wide = (1.0 - z * z).sqrt();
        Spot::new(wide * rad.cos(), wide * rad.sin(), z)
    })
}

/// True when the motion carries the pieces onto the pieces.
fn keeps(pieces: &[Tagged], motion: &Motion) -> bool {
    let mut left: Vec<&Tagged> = pieces.iter().collect();
    pieces.iter().all(|piece| {
        let moved = piece.solid.moved(motion);
        let found = left.iter().position(|other| {
            other.tag == piece.tag
                && looks().all(|way| (other.solid.reach_mm(way) - moved.reach_mm(way)).abs() <= SAME_POINT_MM)
        });
        found.map(|index| left.swap_remove(index)).is_some()
    })
}

/// True when the motion carries an outline onto itself.
fn keeps_outline(outline: &Outline, motion: &Motion) -> bool {
    let stretches: Vec<[Spot; 3]> = outline
        .segments()
        .iter()
        .map(|s| [s.start(), s.along(0.5), s.end()].map(|at| Spot::new(at.x_mm, at.y_mm, 0.0)))
        .collect();
    // Turned over, it lies in another plane; only the plan is looked at.
    let flat = |at: Spot| Spot { z_mm: 0.0, ..at };
    let near = |a: Spot, b: Spot| a.distance_mm(b) <= 10.0 * SAME_POINT_MM;
    stretches.iter().all(|stretch| {
        let [a, b, c] = stretch.map(|at| flat(motion.place(at)));
        stretches
            .iter()
            .any(|[p, q, r]| near(b, *q) && ((near(a, *p) && near(c, *r)) || (near(a, *r) && near(c, *p))))
    })
}

/// The motions that could carry the part onto itself.
fn motions(part: &Part, shaped: &Shaped, outline: Option<&Outline>, pieces: &[Tagged]) -> Vec<Motion> {
    let [least, most] = shaped.bounds();
    let middle = least.midway(most);
    match (&part.drawing.body, outline) {
        (_, Some(outline)) => of_outline(outline, middle),
        (Drawn::Rectangle { .. }, _) => of_block(middle),
        (Drawn::Disc { .. }, _) => {
            of_round(pieces, Spot { x_mm: 0.0, y_mm: 0.0, ..middle }, [Spot::X, Spot::Y, Spot::Z])
        }
        (Drawn::Turned { .. }, _) => {
            of_round(pieces, Spot { y_mm: 0.0, z_mm: 0.0, ..middle }, [Spot::Y, Spot::Z, Spot::X])
        }
        _ => Vec::new(),
    }
}

/// Every way of standing a block that keeps its directions.
fn of_block(middle: Spot) -> Vec<Motion> {
    let ways = [Spot::X, -Spot::X, Spot::Y, -Spot::Y, Spot::Z, -Spot::Z];
    let mut motions = Vec::new();
    for u in ways {
        for v in ways.into_iter().filter(|v| v.dot(u) == 0.0) {
            for w in [u.cross(v), v.cross(u)] {
                motions.push(Motion::about(middle, u, v, w));
            }
        }
    }
    motions
}

/// Those that carry the longest stretch of an outline onto one as long, turned over
/// where that keeps its sense, in its plane where it is mirrored.
fn of_outline(outline: &Outline, middle: Spot) -> Vec<Motion> {
    let segments = outline.segments();
    let longest = segments
        .iter()
        .max_by(|a, b| a.length_mm().total_cmp(&b.length_mm()))
        .expect("an outline has segments");
    let mut motions = Vec::new();
    for other in segments {
        if (other.length_mm() - longest.length_mm()).abs() > 10.0 * SAME_POINT_MM {
            continue;
        }
        let (from, to) = (longest.start(), longest.end());
        for (a, b, mirrored) in [(other.start(), other.end(), false), (other.end(), other.start(), true)] {
            let (was, is) = (from.direction_rad(to), a.direction_rad(b));
            // The image of x: the direction that lay along the chord now lies along the other.
            let rad = if mirrored { is + was } else { is - was };
            let u = Point::ORIGIN.polar(1.0, rad);
            let v = Point::ORIGIN.polar(1.0, if mirrored { rad - PI / 2.0 } else { rad + PI / 2.0 });
            let space = |p: Point| Spot::new(p.x_mm, p.y_mm, 0.0);
            let w = if mirrored { Spot::Z } else { -Spot::Z };
            let about = Motion::about(middle, space(u), space(v), w);
            // Turned so about the middle, then shifted until the two starts are one.
            let landed = about.place(Spot::new(from.x_mm, from.y_mm, middle.z_mm));
            motions.push(about.shifted(Spot::new(a.x_mm - landed.x_mm, a.y_mm - landed.y_mm, 0.0)));
        }
    }
    motions
}

/// Those that keep an axis and carry one hole beside it onto another as far out.
fn of_round(pieces: &[Tagged], middle: Spot, [u, v, w]: [Spot; 3]) -> Vec<Motion> {
    // Where each piece stands round the axis, or how its sides lie where it is on it.
    let stands = |piece: &Tagged| -> Option<(f64, f64)> {
        let [from, to] = piece.solid.middle();
        let off = from.midway(to) - middle;
        let at = Point::new(off.dot(u), off.dot(v));
        if at.norm_mm() > SAME_POINT_MM {
            return Some((Point::ORIGIN.direction_rad(at), at.norm_mm()));
        }
        let along = match &piece.solid {
            Convex::Prism(prism) => [prism.frame.u, prism.frame.w],
            Convex::Round(round) => [round.axis()?, round.axis()?],
        };
        let flat =
            along.into_iter().map(|way| Point::new(way.dot(u), way.dot(v))).find(|p| p.norm_mm() > 0.5)?;
        Some((Point::ORIGIN.direction_rad(flat), 0.0))
    };
    let found: Vec<(&Tagged, f64, f64)> =
        pieces.iter().filter_map(|piece| stands(piece).map(|(rad, out)| (piece, rad, out))).collect();
    let mut angles: Vec<(f64, f64)> = Vec::new();
    match found.first() {
        None => angles.push((0.0, 0.0)),
        Some((first, rad, out)) => {
            let like = |piece: &&Tagged, far: f64| piece.tag == first.tag && (far - out).abs() < 1e-3;
            for (_, other, _) in found.iter().filter(|(piece, _, far)| like(piece, *far)) {
                // A piece on the axis may also lie the other way round, or a quarter round.
                let quarters = if *out > 0.0 { 1 } else { 4 };
                angles.extend((0..quarters).map(|q| (*rad, other + f64::from(q) * TAU / 4.0)));
            }
        }
    }
    let mut motions = Vec::new();
    for (from, to) in angles {
        let at = |rad: f64| u.times(rad.cos()) + v.times(rad.sin());
        let frame = |images: [Spot; 3]| {
            // The images of u, v and w, as the images of the drawing's axes.
            let image = |axis: Spot| {
                images[0].times(axis.dot(u)) + images[1].times(axis.dot(v)) + images[2].times(axis.dot(w))
            };
            Motion::about(middle, image(Spot::X), image(Spot::Y), image(Spot::Z))
        };
        let turn = to - from;
        motions.push(frame([at(turn), at(turn + TAU / 4.0), -w]));
        let mirror = to + from;
        motions.push(frame([at(mirror), at(mirror - TAU / 4.0), w]));
    }
    motions
}
