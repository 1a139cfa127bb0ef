//! Rows on the mill: steps, slots, edges and slits; holes by [`super::rows_hole`].

use super::cutting::{Cutting, Floor, cut_depths};
use super::job::Setup;
use super::rows_hole::{
    above, at_holes, bore_cuts, deep_figure, drill_depth, head_check, highest, hold_to_motor, hole_check,
    thread_check,
};
use super::rows_turned;
use super::sheet::Row;
use super::{rows_curved, rows_edges, rows_hollow, rows_keyway, rows_outline, rows_slot, rows_wide};
use crate::bench::Section;
use crate::drawing::{Body, DimensionId, Face, Form, Kind};
use crate::measure::{Length, Toward};
use crate::order::Work;
use crate::order::work::{Entry, SlotSides, Step, Tool};
use crate::problem::Problem;
use crate::settings::passes::{Cut, check_reach, greatest_bite};
use crate::settings::show::{geometry, mm, practice};
use crate::settings::slitting::slitting;
use crate::tables::materials::Operation;
use crate::tables::processes::stands_firm;
use crate::tables::surface::{Surface, UnderScale, black_flat};
use crate::why::{Figure, Why};

/// Fills a row on the mill.
pub fn fill(setup: &Setup, step: &Step, row: &mut Row) -> Result<(), Problem> {
    let spindle = &setup.job.bench.mill.speeds;
    let number = row.number;
    match &step.work {
        Work::Drill { diameter, deep } => {
            row.sets = at_holes(setup, number, step);
            row.speed = setup.speed(number, Operation::Drilling, *diameter, spindle);
            row.depth = drill_depth(setup, number, step, *diameter, *deep);
            hold_to_motor(setup, step, *diameter, (spindle, setup.job.bench.mill.power_at_cutter_w()), row);
        }
        Work::PlaneKeyway => rows_keyway::fill(setup, step, row),
        Work::ChainDrill { diameter, deep } => {
            row.sets = at_holes(setup, number, step);
            rows_wide::chain(setup, step, *diameter, *deep, row);
        }
        Work::Ream { diameter, deep } => {
            row.sets = at_holes(setup, number, step);
            row.speed = setup.speed(number, Operation::Reaming, *diameter, spindle);
            row.depth = vec![deep_figure(setup, number, step, *deep)];
            row.check = hole_check(setup, number, step);
        }
        Work::Bore { diameter, deep } => {
            row.sets = at_holes(setup, number, step);
            row.speed = head_speed(setup, number, *diameter);
            row.depth = bore_cuts(setup, number, step, *diameter)?;
            row.depth.push(deep_figure(setup, number, step, *deep));
            row.check = hole_check(setup, number, step);
        }
        Work::TrueHole { diameter, deep } => {
            row.sets = at_holes(setup, number, step);
            row.speed = head_speed(setup, number, *diameter);
            row.depth = bore_cuts(setup, number, step, *diameter)?;
            row.depth.push(deep_figure(setup, number, step, *deep));
        }
        Work::Tap { deep } => {
            row.sets = at_holes(setup, number, step);
            row.depth = vec![deep_figure(setup, number, step, *deep)];
            row.check = thread_check(setup, number, step);
        }
        Work::OpenClearance { diameter, deep } => {
            row.sets = at_holes(setup, number, step);
            row.speed = setup.speed(number, Operation::Drilling, *diameter, spindle);
            let why =
                practice("to the middle of the slit to come: the saw then takes the cone of the drill away");
            let shown = format!("{} below the {}", mm(deep.length() + above(setup, step)), highest(setup));
            row.depth = vec![Figure::new(setup.named(number, "depth"), shown, why)];
        }
        Work::Counterbore { diameter, depth } => {
            row.sets = at_holes(setup, number, step);
            row.speed = setup.speed(number, Operation::Milling, *diameter, spindle);
            row.depth =
                vec![setup.lower(number, "depth", *depth, practice("below the face the hole stands in"))];
            row.check = head_check(setup, number, step);
        }
        Work::Countersink { .. } | Work::TaperReam { .. } | Work::MillPocket { .. } => {
            rows_hollow::fill(setup, step, row)?;
        }
        Work::MillStep { leaves, entry } => mill_step(setup, step, (*leaves, *entry), row)?,
        Work::MillSlot { deep, sides: SlotSides::Stepped } => rows_curved::stepped(setup, step, *deep, row)?,
        Work::MillSlot { deep, sides } => rows_slot::fill(setup, step, *deep, *sides, row)?,
        Work::SquareEdges | Work::FaceToThickness => {
            if let Tool::EndMill(mill) = &step.tool {
                row.speed = setup.speed(number, Operation::Milling, mill.diameter, spindle);
                if step.work == Work::SquareEdges {
                    row.depth = rows_edges::square(setup, number, mill)?;
                }
                if let (Work::FaceToThickness, Some(off)) = (&step.work, spare_thickness(setup)) {
                    let cut = Cutting { mill, cut: Cut::Facing, depth: off, floor: Floor::Stays, size: None };
                    row.depth = cut_depths(setup, number, cut)?;
                    row.depth.extend(from_both(setup, number));
                }
            }
            row.check = Some(match step.work {
                Work::FaceToThickness => thickness_check(setup, number),
                _ => square_check(setup, number),
            });
        }
        Work::StepEnd | Work::MillFlanks { .. } | Work::MillSide { .. } | Work::StepArc { .. } => {
            rows_outline::fill(setup, step, row)?
        }
        Work::MillToSize => mill_to_size(setup, step, row)?,
        Work::FaceJoint => super::rows_parted::joint(setup, step, row),
        Work::MillFlats { .. } => rows_turned::mill_flats(setup, step, row)?,
        Work::Slit => slit(setup, step, row)?,
        _ => {}
    }
    Ok(())
}

pub fn thickness_check(setup: &Setup, number: usize) -> Figure {
    let whole = setup.part.thickness();
    let cast = setup.part.drawing.stock.as_ref().filter(|stock| stock.form == Form::Casting);
    let kept = cast.and_then(|cast| [Face::Front, Face::Back].into_iter().find(|&face| !cast.cuts(face)));
    let why = match kept {
        Some(kept) => practice(format!(
            "the {} stays as cast: packed level, the other is faced down to the thickness",
            kept.word()
        )),
        None if black(setup).is_some() => {
            let side = black(setup).map_or_else(String::new, |under| mm(under.side));
            practice(format!(
                "black: face both sides, {side} off the first at least, until no scale is left, turn it down on the parallels, and take the other to the thickness; the first cut goes under the scale, which blunts a cutter that rubs on it"
            ))
        }
        None => {
            practice("clean one face, turn it down on the parallels, and take the other to the thickness")
        }
    };
    let why = match setup.part.drawing.body {
        Body::Bosses { thickness, .. }
        | Body::Outline { thickness, .. }
        | Body::Rectangle { thickness, .. }
        | Body::Disc { thickness, .. } => why.because(setup.job.why_dimension(thickness)),
        Body::Turned { .. } => why,
    };
    Figure::new(setup.named(number, "thickness"), setup.checked(whole), why)
}

pub fn square_check(setup: &Setup, number: usize) -> Figure {
    let why = practice("everything located from these edges is only as square as they are");
    Figure::new(setup.named(number, "check"), "square, no light under the blade", why)
}

/// What comes off each face of black stock; nothing of bright.
fn black(setup: &Setup) -> Option<UnderScale> {
    let stock = &setup.job.metric.stock.as_ref()?.stock;
    let [left, right, bottom, top] = setup.part.edges();
    let wide = (right - left).min(top - bottom);
    match (stock.surface, stock.section) {
        (Some(Surface::Black), Section::Flat { thickness, width }) => {
            Some(black_flat(thickness, width.unwrap_or(wide)))
        }
        _ => None,
    }
}

/// What facing takes off the stock: of a casting off each face that is cut, of flat stock off both together.
fn spare_thickness(setup: &Setup) -> Option<Length> {
    if let Some(casting) = setup.part.drawing.stock.as_ref().filter(|stock| stock.form == Form::Casting) {
        let cut = [Face::Front, Face::Back].iter().any(|&face| casting.cuts(face));
        return Some(casting.left_on()).filter(|spare| cut && spare.is_positive());
    }
    match setup.job.metric.stock.as_ref()?.stock.section {
        Section::Flat { thickness, .. } => {
            Some(thickness - setup.part.thickness()).filter(|spare| spare.is_positive())
        }
        Section::Round { .. } | Section::Hexagon { .. } => None,
    }
}

/// How what comes off is shared by the two faces; nothing where only one of them is cut.
fn from_both(setup: &Setup, number: usize) -> Option<Figure> {
    let (label, words, why) =
        match setup.part.drawing.stock.as_ref().filter(|stock| stock.form == Form::Casting) {
            Some(casting) if [Face::Front, Face::Back].iter().all(|&face| casting.cuts(face)) => (
                "of each face",
                "turn it over, and the same again",
                "a casting has the same left on it at either side",
            ),
            Some(_) => return None,
            None => (
                "of both faces together",
                "clean this one, turn it over, the rest there",
                "two faces that are cut are true to each other",
            ),
        };
    Some(Figure::new(setup.named(number, label), words, practice(why)))
}

/// The fastest that a boring head is turned, in turns a minute, whatever the metal would bear:
/// its tool stands out to one side and nothing balances it (common practice).
const HEAD_AT_MOST: u32 = 800;

/// The spindle speed for a cut with the boring head.
fn head_speed(setup: &Setup, number: usize, diameter: Length) -> Option<Figure> {
    let all = &setup.job.bench.mill.speeds;
    let found = setup.speed(number, Operation::Turning, diameter, all)?;
    let slow: Vec<u32> = all.iter().copied().filter(|&speed| speed <= HEAD_AT_MOST).collect();
    let held = setup.speed(number, Operation::Turning, diameter, &slow).unwrap_or_else(|| found.clone());
    if held.shown == found.shown {
        return Some(found);
    }
    let why =
        practice(format!("a boring head is out of balance: no more than {HEAD_AT_MOST} turns a minute"));
    Some(Figure { why: why.because(held.why), ..held })
}

/// A step: up to the shoulder with the side of the cutter; cut in from its side, up to its floor.
fn mill_step(
    setup: &Setup,
    step: &Step,
    (leaves, entry): (Length, Entry),
    row: &mut Row,
) -> Result<(), Problem> {
    let (Some(id), Tool::EndMill(mill)) = (step.feature, &step.tool) else { return Ok(()) };
    let Kind::Step { side, leaves: dimension } = setup.part.feature(id).kind else { return Ok(()) };
    let Some(cut) = setup.part.step_from(id, setup.frame.up()) else { return Ok(()) };
    let (why_floor, why_wall) = match (setup.job.why_dimension(dimension), setup.why_place(id, side.axis())) {
        (drawn, placed) if entry == Entry::Face => (drawn, placed),
        (drawn, placed) => (placed, drawn),
    };
    let number = row.number;
    row.speed = setup.speed(number, Operation::Milling, mill.diameter, &setup.job.bench.mill.speeds);
    let (sx, sy) = setup.frame.side(cut.open);
    let shoulder = setup.read(id);
    let reach = mill.diameter.half();
    let [x0, x1, y0, y1] = setup.extent();
    let (low, high) = (setup.off_datum((x0, y0)), setup.off_datum((x1, y1)));
    let why_shoulder =
        geometry(format!("the cutter's radius {} beyond the shoulder", mm(reach))).because(why_wall);
    let clear = practice(format!("one radius of the cutter, {}, past the work", mm(reach)));
    let (at, far, from, to, along, across) = if sx != 0 {
        let far = if sx > 0 { high.0 + reach } else { low.0 - reach };
        (shoulder.0 + reach * sx, far, low.1 - reach, high.1 + reach, "X", "Y")
    } else {
        let far = if sy > 0 { high.1 + reach } else { low.1 - reach };
        (shoulder.1 + reach * sy, far, low.0 - reach, high.0 + reach, "Y", "X")
    };
    let away = if sx + sy > 0 { Toward::More } else { Toward::Less };
    row.sets = vec![
        setup.slide_toward(number, &format!("{along} at the shoulder"), at, away, why_shoulder),
        setup.slide(number, &format!("{along} from"), far, clear.clone()),
        setup.slide(number, &format!("{across} from"), from, clear.clone()),
        setup.slide(number, &format!("{across} to"), to, clear),
    ];
    let off = cut.deep + setup.above_round(id);
    let cut =
        Cutting { mill, cut: Cut::SideRoughing, depth: off, floor: Floor::Stays, size: Some(dimension) };
    row.depth = cut_depths(setup, number, cut)?;
    let bite = greatest_bite(Cut::SideRoughing, mill.diameter, setup.job.material);
    if (far - at).abs() > bite.radial {
        let label = setup.named(number, &format!("{along}, at a time"));
        row.depth.push(Figure::new(
            label,
            format!("{} at most", setup.moved(bite.radial, Toward::Less)),
            bite.why,
        ));
    }
    check_reach(off, mill.flute, mill.flute)?;
    let why = Why::new("measured with the face below still on its parallels").because(why_floor);
    row.check = Some(Figure::new(setup.named(number, "leaves"), setup.checked(leaves), why));
    Ok(())
}

/// How far past the work a cutter starts, beyond its radius (common practice).
pub const CLEAR: Length = Length::mm(1);

/// The two other edges of a rectangle, standing, one side at a time: the height above the
/// parallels counts.
fn mill_to_size(setup: &Setup, step: &Step, row: &mut Row) -> Result<(), Problem> {
    let Tool::EndMill(mill) = &step.tool else { return Ok(()) };
    row.speed = setup.speed(row.number, Operation::Milling, mill.diameter, &setup.job.bench.mill.speeds);
    let Body::Rectangle { width, height, .. } = setup.part.drawing.body else { return Ok(()) };
    let rule = practice(
        "measured over the squared edge that stands on the parallels; the last cut takes what the micrometer still wants",
    );
    let [across, up] = super::blanks::parting(setup.job);
    let [height, width] = [(height, up), (width, across)].map(|(id, more)| (id, setup.part.size(id) + more));
    let firm = stands_firm(setup.job.bench.mill.vice_depth());
    let stands = |(_, size): (DimensionId, Length)| size <= firm;
    let tall = practice(format!(
        "over {} the work would stand too high: it lies flat in the vice, the end past the jaws, and the side of the cutter squares it",
        mm(firm)
    ));
    let cut = |a: Face, b: Face| {
        setup.part.drawing.stock.as_ref().is_none_or(|stock| stock.cuts(a) && stock.cuts(b))
    };
    let sides = [
        ("height", "side", height, cut(Face::Top, Face::Bottom)),
        ("length", "end", width, cut(Face::Left, Face::Right)),
    ];
    row.depth = sides
        .into_iter()
        .filter(|(.., cut)| *cut)
        .map(|(what, squared, (id, size), _)| {
            let upright = stands((id, size));
            let label = if upright {
                format!("{what}, squared {squared} down")
            } else {
                format!("{what}, lying flat, by the cutter's side")
            };
            let rule = if upright { &rule } else { &tall };
            let why = rule.clone().because(setup.job.why_dimension(id));
            let why = match size == setup.part.size(id) {
                true => why,
                false => why.because(practice(format!(
                    "{} more than it will be: parting takes so much out of it",
                    mm(size - setup.part.size(id))
                ))),
            };
            Figure::new(setup.named(row.number, &label), setup.checked(size), why)
        })
        .collect();
    row.depth.extend(rows_edges::other_edges(setup, row.number, mill, [width.1, height.1])?);
    Ok(())
}

/// A slit: the saw's middle plane on the bore's centre, run in until it opens it.
fn slit(setup: &Setup, step: &Step, row: &mut Row) -> Result<(), Problem> {
    let (Some(id), Tool::Saw(saw)) = (step.feature, &step.tool) else { return Ok(()) };
    let Kind::Slit { into, toward, width } = setup.part.feature(id).kind else { return Ok(()) };
    let number = row.number;
    let Some((x, y)) = setup.part.xy(into) else { return Ok(()) };
    let [left, right, bottom, top] = setup.part.round_of(id);
    let depth = setup.part.slit_depth(id).unwrap_or_default();
    let material = setup.job.material;
    // Steel and iron slowly; the soft metals two to three times as fast.
    let soft = material.cutting_force.kc11_n_per_mm2 < 1000;
    let aim = if soft { 50.0 } else { 18.0 };
    let found = slitting(saw, depth, aim, Length::microns(10), &setup.job.bench.mill.speeds)?;
    let why = practice(if soft {
        "slitting soft metal: 40 to 60 m/min"
    } else {
        "slitting steel and iron: 15 to 20 m/min"
    });
    row.speed = setup.place_all(number, found.speed.figures(why)).into_iter().next();
    let (rx, ry) = setup.read(into);
    let (across, plane) = match toward.axis() {
        crate::drawing::Axis::X => ("Y", ry),
        _ => ("X", rx),
    };
    let level = practice("the middle of the saw's width on the centre of the bore")
        .because(setup.job.why_dimension(width));
    if setup.frame.in_plan() {
        row.sets.push(setup.slide(number, &format!("{across} at the middle of the saw"), plane, level));
    } else {
        let words = format!("level with the centre of {}", setup.part.feature(into).name);
        row.sets.push(Figure::new(setup.named(number, "middle of the saw"), words, level));
        let down = match setup.frame.up() {
            Face::Left => x - left,
            Face::Right => right - x,
            Face::Bottom => y - bottom,
            _ => top - y,
        };
        let lower = geometry(format!(
            "touch the saw's lower side on the {}; from there the middle of its width, {}, goes down to the bore's centre",
            highest(setup),
            mm(saw.width)
        ))
        .because(setup.job.why_dimension(width));
        let to = down + setup.above_round(id) + saw.width.half();
        let label = format!("saw's lower side below the {}", highest(setup));
        row.sets.push(setup.slide(number, &label, to, lower));
    }
    let deep = geometry("from the outside of the boss to the centre of the bore")
        .because(setup.job.why_dimension(width));
    row.depth.push(setup.lower(number, "depth", depth, deep));
    // That the saw reaches has been seen to.
    row.depth.extend(setup.place_all(number, found.feed_figures()));
    row.check = setup.place_all(number, vec![found.width_figure()]).pop();
    Ok(())
}
