//! Rows of a slot on the mill: in its own width, or with a narrower cutter along its sides.

use std::f64::consts::FRAC_PI_2;

use super::cutting::{Cutting, Floor, cut_depths};
use super::in_floor::{sunk, tell_passes};
use super::job::Setup;
use super::rows_mill::CLEAR;
use super::sheet::Row;
use crate::bench::EndMill;
use crate::drawing::{DimensionId, Kind};
use crate::geometry::clear::{settled, stands_clear};
use crate::geometry::{Arc, Point, Segment};
use crate::measure::Length;
use crate::order::Work;
use crate::order::work::{Deep, SlotSides, Step, Tool};
use crate::problem::Problem;
use crate::settings::passes::Cut;
use crate::settings::show::{geometry, mm, practice};
use crate::tables::materials::Operation;
use crate::why::{Figure, Why};

/// What the rounds of a slot's ends may keep without a word: a touch of the file.
const NOTHING_MM: f64 = 0.02;

/// One way of the cutter: what it is called, and which side it goes along, the left being 1.
type Pass = (&'static str, i64);

/// Fills a row that mills a slot.
///
/// # Errors
///
/// A [`Problem`] when there is nothing to cut.
pub fn fill(setup: &Setup, step: &Step, deep: Deep, sides: SlotSides, row: &mut Row) -> Result<(), Problem> {
    let (Some(id), Tool::EndMill(mill)) = (step.feature, &step.tool) else { return Ok(()) };
    let Kind::Slot { width, centres, .. } = setup.part.feature(id).kind else { return Ok(()) };
    let clear = mill.diameter.half() + CLEAR;
    let Some(mut ends) = setup.slot_ends(id, clear) else { return Ok(()) };
    let mut opens = setup.part.slot_opens(id);
    if opens[0].is_none() {
        // In from the open end.
        opens.reverse();
        if opens[0].is_some() {
            ends.reverse();
        }
    }
    let number = row.number;
    row.speed = setup.speed(number, Operation::Milling, mill.diameter, &setup.job.bench.mill.speeds);
    let spare = (setup.part.size(width) - mill.diameter).half();
    let along = ends[0].direction_rad(ends[1]);
    let whys = opens.map(|open| match (open, setup.part.open_axis(id), centres) {
        (Some(side), ..) => practice(format!(
            "clear of the {} of the {} by the cutter's radius {} and {}: the slot runs out there",
            setup.part.side(side).word(),
            if setup.blank_beyond(setup.part.side(side)).is_positive() { "blank" } else { "work" },
            mm(mill.diameter.half()),
            mm(CLEAR)
        )),
        (None, Some(axis), _) => {
            geometry("the centre of the slot's closed end").because(setup.why_place(id, axis))
        }
        (None, None, Some(centres)) => {
            geometry("the centres of the slot's round ends").because(setup.job.why_dimension(centres))
        }
        (None, None, None) => geometry("the centres of the slot's round ends"),
    });
    let (slide_step, reach_mm) = (setup.job.bench.mill.readout.step(), mill.diameter.half().as_mm());
    let open = opens.map(|open| open.is_some());
    let walls = slot_walls(ends, open, setup.part.size(width).half().as_mm());
    for &(called, side) in passes(spare, open, sides) {
        // Down the middle a narrower cutter goes on into the rounds of the closed ends; along a side
        // it goes so that it is fed against its turning.
        let beyond = if side == 0 { spare.as_mm() } else { 0.0 };
        let over = |at: Point, closed: bool, way: f64| if closed { at.polar(beyond, way) } else { at };
        let mut way = [
            (over(ends[0], !open[0], along + 2.0 * FRAC_PI_2), &whys[0]),
            (over(ends[1], !open[1], along), &whys[1]),
        ];
        if side < 0 {
            way.reverse();
        }
        for ((end, why), word) in way.into_iter().zip(["start", "stop"]) {
            let at = end.polar(spare.as_mm() * side as f64, along + FRAC_PI_2);
            // A cutter narrower than the slot keeps clear of its sides and ends; one of its
            // own width has to go down its middle, as near as the slides can be set.
            let found = match spare.is_positive() {
                false => None,
                true => settled(at, slide_step, |at| stands_clear(&walls, at, reach_mm)),
            };
            let (x, y) = found.unwrap_or((Length::nearest(at.x_mm), Length::nearest(at.y_mm)));
            let why = match (side, spare.is_positive()) {
                (0, false) => why.clone(),
                (0, true) => {
                    geometry(format!("at a closed end {} farther, half of width less cutter", mm(spare)))
                        .because(why.clone())
                }
                _ => geometry(format!("{} to the side, half of width less cutter", mm(spare)))
                    .because(practice("the side on the cutter's left, so that it is fed against its turning"))
                    .because(why.clone()),
            };
            for (axis, value) in [("X", x), ("Y", y)] {
                let label = format!("{axis} {word}{called}");
                row.sets.push(setup.slide(number, &label, value, why.clone()));
            }
        }
    }
    down(setup, step, (mill, deep), width, row)?;
    row.depth.extend(setup.place_all(number, left_to_do(spare, reach_mm, open, sides)));
    Ok(())
}

/// The depths a slot of a width is cut in, and what its width should gauge.
///
/// # Errors
///
/// A [`Problem`] when there is nothing to cut.
pub fn down(
    setup: &Setup,
    step: &Step,
    (mill, deep): (&EndMill, Deep),
    width: DimensionId,
    row: &mut Row,
) -> Result<(), Problem> {
    let floor = if matches!(deep, Deep::Through(_)) { Floor::None } else { Floor::Stays };
    let sunk = sunk(setup, step);
    let more = sunk.as_ref().map_or(Length::ZERO, |sunk| sunk.more(setup, deep));
    let above = step.feature.map_or(Length::ZERO, |id| setup.above_round(id));
    let depth = deep.length() + above + more;
    row.depth =
        cut_depths(setup, row.number, Cutting { mill, cut: Cut::Slot, depth, floor, size: Some(width) })?;
    tell_passes(setup, sunk, row);
    if step.feature.is_some_and(|id| setup.part.slot_opens(id) == [None, None]) {
        let stepped = matches!(step.work, Work::MillSlot { sides: SlotSides::Stepped, .. });
        row.depth.extend(setup.place_all(row.number, going_down(mill, stepped).into_iter().collect()));
    }
    let check =
        Why::new("gauge it with a drill shank or slip of that size").because(setup.job.why_dimension(width));
    let gauged = setup.checked(setup.part.size(width));
    row.check = Some(Figure::new(setup.named(row.number, "width"), gauged, check));
    Ok(())
}

/// How a cutter that may not cut in its middle gets into the metal of a slot closed at both ends.
fn going_down(mill: &EndMill, stepped: bool) -> Option<Figure> {
    if mill.goes_straight_down() {
        return None;
    }
    let shown = match stepped {
        true => "drill the first place out before, narrower than the slot",
        false => "on a slope along the slot, 1 mm in 20 mm at most, to and fro",
    };
    let why = practice(format!(
        "a cutter of {} teeth does not cut in its middle unless its maker says so; a slot drill, of two teeth or three, goes \
         straight down",
        mill.teeth
    ));
    Some(Figure::new("going down", shown, why))
}

/// The ways of the cutter: one where it fills the slot; along both sides where it does not, and down
/// the middle first where that clears a closed end, or leaves both sides alike to be finished.
fn passes(spare: Length, open: [bool; 2], sides: SlotSides) -> &'static [Pass] {
    const ALL: &[Pass] = &[(", middle", 0), (", side 1", 1), (", side 2", -1)];
    if !spare.is_positive() {
        return &[("", 0)];
    }
    let middle = sides == SlotSides::Finished || open != [true, true];
    if middle { ALL } else { &ALL[1..] }
}

/// What is minded where the cutter does not fill the slot.
pub fn left_to_do(spare: Length, reach_mm: f64, open: [bool; 2], sides: SlotSides) -> Vec<Figure> {
    let mut figures = Vec::new();
    if sides == SlotSides::Finished && spare.is_positive() {
        figures.push(by_sides("the middle first, to its depth; then each side in one cut, the table pulled tight against the feed; measure before the second side is cut, and move it by what the width still asks"));
    }
    let left_mm = left_in_rounds_mm(spare.as_mm(), reach_mm);
    if open != [true, true] && left_mm > NOTHING_MM {
        let why =
            geometry("between the ways along the middle and along a side, half a right angle from both");
        let shown = format!("{} mm, for a round file", Length::nearest(left_mm).decimals(2));
        figures.push(Figure::new("left in the rounds of its ends", shown, why));
    }
    figures
}

/// How each side is brought to size by itself.
pub fn by_sides(shown: &str) -> Figure {
    let why = practice(
        "a cutter that fills its slot is pulled to one side and cuts wide; along one side at a time it cuts where it is set",
    );
    Figure::new("sides", shown, why)
}

/// What a narrower cutter leaves of the round end between its ways.
fn left_in_rounds_mm(spare_mm: f64, reach_mm: f64) -> f64 {
    let half_mm = spare_mm / std::f64::consts::SQRT_2;
    spare_mm + reach_mm - half_mm - (reach_mm * reach_mm - half_mm * half_mm).max(0.0).sqrt()
}

/// The sides of a slot, and the rounds of its closed ends.
fn slot_walls(ends: [Point; 2], open: [bool; 2], half_mm: f64) -> Vec<Segment> {
    let quarter = FRAC_PI_2;
    let along = ends[0].direction_rad(ends[1]);
    let side = |rad: f64| Segment::line(ends[0].polar(half_mm, rad), ends[1].polar(half_mm, rad));
    let mut walls = vec![side(along + quarter), side(along - quarter)];
    for ((centre, open), back) in ends.into_iter().zip(open).zip([quarter, -quarter]) {
        if !open {
            let start_rad = along + back;
            walls.push(Segment::Arc(Arc { centre, radius_mm: half_mm, start_rad, sweep_rad: 2.0 * quarter }));
        }
    }
    walls
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By hand: a cutter of 6 in a slot of 8 has 1 to spare. At 45° its edge, from 1 along the middle,
    /// stands 0.7071 + (9 - 0.5)^½ = 3.6226 from the centre of the round of 4.
    #[test]
    fn what_stays_in_the_rounds_is_told() {
        let open = [false, false];
        assert!((left_in_rounds_mm(1.0, 3.0) - 0.3774).abs() < 1e-4);
        let one = Length::mm(1);
        assert_eq!(left_to_do(one, 3.0, open, SlotSides::AsCut)[0].shown, "0.38 mm, for a round file");
        assert!(left_to_do(one, 3.0, [true, true], SlotSides::AsCut).is_empty());
        assert!(left_to_do(Length::ZERO, 4.0, open, SlotSides::AsCut).is_empty());
    }

    #[test]
    fn only_what_cuts_in_its_middle_goes_straight_down() {
        let mill = |teeth| EndMill::new(Length::mm(6), Length::mm(13), teeth);
        assert!([2, 3].iter().all(|&teeth| going_down(&mill(teeth), false).is_none()));
        assert!(going_down(&mill(4), false).unwrap().shown.contains("slope"));
        assert!(going_down(&mill(4), true).unwrap().shown.contains("drill"));
    }

    #[test]
    fn a_slot_is_cleared_down_its_middle_before_its_sides() {
        let count = |spare, open, sides| passes(Length::mm(spare), open, sides).len();
        assert_eq!(count(0, [false, false], SlotSides::AsCut), 1);
        assert_eq!(count(1, [true, true], SlotSides::AsCut), 2);
        assert_eq!(count(1, [true, true], SlotSides::Finished), 3);
        assert_eq!(count(1, [true, false], SlotSides::AsCut), 3);
    }
}
