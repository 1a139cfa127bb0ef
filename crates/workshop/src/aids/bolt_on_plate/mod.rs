//! A bolt-on plate: thin work screwed down flat through its own bores.
//!
//! The plate is held, not the work, so nothing stands in the cutter's way; one
//! edge is milled parallel to the line of the bores and carries their direction
//! when the work has no straight edge left. Hollow studs place the work, screws
//! through them hold it.
//!
//! The plate's axes: the first bore is the origin, X runs to the second, the
//! milled edge lies below.

mod sheet;
mod stud;
mod stud_own;
mod stud_sheet;

pub(super) use sheet::{needed, sheet};
pub use stud::{Second, Stud};

use super::bore::{Bore, bore};
use super::rack::{Piece, flat};
use super::{Ask, down_to_half_mm};
use crate::drawing::{Body, Depth, Face, FeatureId, Kind};
use crate::geometry::{Outline, Point};
use crate::measure::{Length, Toward};
use crate::problem::Problem;

/// The sizes of a bolt-on plate.
#[derive(Clone, Debug, PartialEq)]
pub struct Plate {
    /// The studs, the one positions are taken from first.
    pub studs: Vec<Stud>,
    /// From the milled edge to the line of centres.
    pub edge: Length,
    /// From the first bore to the plate's left end.
    pub left: Length,
    /// From the first bore to the plate's right end.
    pub right: Length,
    /// From the line of centres to the plate's top edge.
    pub top: Length,
    /// The flat it is cut from.
    pub flat: Piece,
    /// The widest drill that breaks through the work into it.
    pub drill: Option<Length>,
    /// The finished outside of the work, in the plate's axes.
    work: Outline,
}

/// What the work stands out beyond the plate: the cutter runs there.
fn overhang() -> Length {
    Length::mm(1)
}

/// What the vice's jaws hold below the work.
fn jaw_hold() -> Length {
    Length::mm(15)
}

/// The least plate that does not bow when it is held: common practice.
fn stiff(length: Length) -> Length {
    Length::mm(6).max(length / 12)
}

/// A bore in the plate's axes.
struct Placed {
    bore: Bore,
    x: Length,
    y: Length,
}

fn plate(ask: &Ask, ids: &[FeatureId]) -> Result<Plate, Problem> {
    let placed = placed(ask, ids)?;
    let work = in_plate_axes(ask, &placed)?;
    let [left, right, top] = extent(ask, &placed, &work);
    let below = Length::nearest(-work.bounds().least.y_mm);
    let edge = (below + jaw_hold()).rounded(Length::mm(5), Toward::More).value;
    let studs = placed
        .into_iter()
        .enumerate()
        .map(|(at, placed)| stud::stud(ask, placed, at))
        .collect::<Result<Vec<_>, _>>()?;
    let thick = studs.iter().map(Stud::least_thickness).max().unwrap_or_default();
    let (drill, broken) = breakthrough(ask, ids);
    let thick = thick.max(stiff(left + right)).max(broken);
    // A millimetre on every edge is milled off.
    let flat = flat(ask.bench, thick, edge + top + Length::mm(2));
    Ok(Plate { studs, edge, left, right, top, flat, work, drill })
}

/// The widest drill that breaks through the work into the plate, and the least plate that keeps
/// it off the vice: its point of three tenths of its diameter and 1 mm beyond the work, and 2 mm
/// of plate below that. The bores themselves are made before the plate is.
///
/// Source: a point of 118° is 0.3 diameters long (DIN 1414 drills, elementary geometry); the
/// margins are common practice.
fn breakthrough(ask: &Ask, ids: &[FeatureId]) -> (Option<Length>, Length) {
    let part = ask.part;
    let through = part
        .features()
        .filter(|(id, feature)| !ids.contains(id) && matches!(feature.face, Face::Front | Face::Back));
    let drilled = through.filter_map(|(_, feature)| match feature.kind {
        Kind::Hole { diameter, depth: Depth::Through, .. } => Some(part.size(diameter)),
        Kind::Tapped { thread, depth: Depth::Through } => Some(part.thread(thread).major),
        _ => None,
    });
    let widest = drilled.max();
    let least = widest.map_or(Length::ZERO, |drill| drill * 3 / 10 + Length::mm(3));
    (widest, least)
}

/// The bores along the line from the first to the second.
fn placed(ask: &Ask, ids: &[FeatureId]) -> Result<Vec<Placed>, Problem> {
    let bores = ids.iter().map(|id| bore(ask, *id)).collect::<Result<Vec<_>, _>>()?;
    let Some(first) = bores.first() else {
        return Err(Problem::new("a bolt-on plate without a bore to bolt through")
            .why("the work would have nothing to be placed or held by")
            .mend("hold the work in the vice, or drill a hole where metal is cut away later"));
    };
    let origin = first.xy;
    let toward =
        bores.get(1).map_or((Length::mm(1), Length::ZERO), |b| (b.xy.0 - origin.0, b.xy.1 - origin.1));
    if toward == (Length::ZERO, Length::ZERO) {
        return Err(Problem::new(format!("{} and {} are concentric", first.name, bores[1].name))
            .why("two studs on one centre give no direction")
            .mend("plan the work from another bore"));
    }
    Ok(bores
        .into_iter()
        .map(|bore| {
            let (x, y) = along(toward, (bore.xy.0 - origin.0, bore.xy.1 - origin.1));
            Placed { bore, x, y }
        })
        .collect())
}

/// A place along and across a direction: exact where that is one of the axes.
fn along(toward: (Length, Length), place: (Length, Length)) -> (Length, Length) {
    let (dx, dy) = toward;
    let (x, y) = place;
    if dy == Length::ZERO {
        return if dx.is_positive() { (x, y) } else { (-x, -y) };
    }
    if dx == Length::ZERO {
        return if dy.is_positive() { (y, -x) } else { (-y, x) };
    }
    let turned = Point::at(x, y).rotated(-Point::ORIGIN.direction_rad(Point::at(dx, dy)));
    (Length::nearest(turned.x_mm), Length::nearest(turned.y_mm))
}

/// The work's outside in the plate's axes.
fn in_plate_axes(ask: &Ask, placed: &[Placed]) -> Result<Outline, Problem> {
    let first = &placed[0].bore;
    let origin = Point::at(first.xy.0, first.xy.1);
    let turn = placed.get(1).map_or(0.0, |p| origin.direction_rad(Point::at(p.bore.xy.0, p.bore.xy.1)));
    Ok(ask.part.outline()?.translated(Point::ORIGIN - origin).rotated(-turn))
}

/// How far the plate reaches left, right and up from the first bore, so that the
/// work stands out beyond it.
fn extent(ask: &Ask, placed: &[Placed], work: &Outline) -> [Length; 3] {
    let level = placed
        .get(1)
        .is_none_or(|p| p.bore.xy.0 == placed[0].bore.xy.0 || p.bore.xy.1 == placed[0].bore.xy.1);
    let [left, right, top] = if matches!(ask.part.drawing.body, Body::Rectangle { .. }) && level {
        let bounds = work.bounds();
        [-bounds.least.x_mm, bounds.most.x_mm, bounds.most.y_mm]
            .map(|edge| Length::nearest(edge) - overhang())
    } else {
        // Within the metal round each bore, so that no corner stands out under a
        // round end, and never less than 2 mm beside the hole.
        let reach =
            |p: &Placed| (p.bore.round_it.half() - overhang()).max(p.bore.size.half() + Length::mm(2));
        let most = |side: &dyn Fn(&Placed) -> Length| placed.iter().map(side).max().unwrap_or_default();
        let highest = most(&|p| p.y + p.bore.size.half() + Length::mm(2));
        let lowest_top = placed.iter().map(|p| p.y + reach(p)).min().unwrap_or_default();
        [most(&|p| reach(p) - p.x), most(&|p| p.x + reach(p)), lowest_top.max(highest)]
    };
    [down_to_half_mm(left), down_to_half_mm(right), down_to_half_mm(top)]
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A 3-4-5 triangle: the second bore lies 5 along, and its own axes turn with it.
    #[test]
    fn places_turn_into_the_line_of_centres() {
        let mm = |x, y| (Length::mm(x), Length::mm(y));
        assert_eq!(along(mm(3, 4), mm(3, 4)), mm(5, 0));
        assert_eq!(along(mm(3, 4), mm(-4, 3)), mm(0, 5));
        for toward in [mm(7, 0), mm(-7, 0), mm(0, 7), mm(0, -7)] {
            assert_eq!(along(toward, toward), mm(7, 0));
        }
        assert_eq!(along(mm(0, 7), mm(2, 0)), mm(0, -2));
        assert_eq!(along(mm(-7, 0), mm(2, 3)), mm(-2, -3));
    }
}
