//! Rows of what is filed and sawn where there is no mill: edges, faces, steps, slots, slits, rounds.

use super::job::Setup;
use super::rows_curved;
use super::rows_mill::{square_check, thickness_check};
use super::sheet::Row;
use crate::drawing::{Body, Depth, FeatureId, Kind};
use crate::measure::Length;
use crate::order::Work;
use crate::order::work::{Step, Tool};
use crate::settings::show::{mm, practice};
use crate::why::{Figure, Why};

/// Fills a row that is done by hand; whether it was one.
pub fn fill(setup: &Setup, step: &Step, row: &mut Row) -> bool {
    let number = row.number;
    let named = |label: &str| setup.named(number, label);
    match (&step.work, step.feature) {
        (Work::SquareEdges, _) => row.check = Some(square_check(setup, number)),
        (Work::FaceToThickness, _) => row.check = Some(thickness_check(setup, number)),
        (Work::MillToSize, _) => row.check = to_size(setup, number),
        (Work::FaceEnd { .. }, _) => {
            let why = practice(
                "a micrometer or a caliper over it at four places; they may differ by a few hundredths",
            );
            row.check = Some(Figure::new(named("length over all"), mm(setup.part.thickness()), why));
        }
        (Work::FileRound, id) => file_round(setup, id, row),
        (Work::MillStep { leaves, .. }, Some(id)) => {
            let Kind::Step { side, leaves: said } = setup.part.feature(id).kind else { return true };
            let from = setup.part.step_from(id, setup.part.side(side)).map_or(Length::ZERO, |cut| cut.deep);
            let why = practice(
                "scribed round all three sides; saw a millimetre clear of the lines and file to them",
            )
            .because(setup.why_place(id, side.axis()));
            row.sets =
                vec![Figure::new(named(&format!("shoulder from the {} edge", side.word())), mm(from), why)];
            let why = practice("a caliper over it, and a square in the corner")
                .because(setup.job.why_dimension(said));
            row.check = Some(Figure::new(named("leaves"), mm(*leaves), why));
        }
        (Work::MillSlot { .. }, Some(id)) => {
            let (Kind::Slot { width, .. } | Kind::CurvedSlot { width, .. }) = setup.part.feature(id).kind
            else {
                return true;
            };
            if let Some((shown, why)) = rows_curved::lines(setup, id) {
                row.sets.push(Figure::new(named("lines"), shown, why));
            }
            let why = |words| practice(words).because(setup.job.why_dimension(width));
            if let Some(ends) = setup.slot_ends(id, Length::ZERO) {
                for (end, word) in ends.into_iter().zip(["from", "to"]) {
                    let at = setup.scribed((Length::nearest(end.x_mm), Length::nearest(end.y_mm)));
                    let why = why("the centres of its ends; its sides lie half the width to either side");
                    row.sets.push(Figure::new(named(&format!("line {word}")), at, why));
                }
            }
            row.depth = setup.place_all(number, floor(setup, step, id));
            let shown = mm(setup.part.size(width));
            row.check = Some(Figure::new(
                named("width"),
                shown,
                why("tried with what goes in it, or a piece of stock that thick"),
            ));
        }
        (Work::MillPocket { .. }, Some(id)) => {
            let Kind::Pocket { width, height, .. } = setup.part.feature(id).kind else { return true };
            let why =
                practice("half of the scribed line left, the corners last, with a file that has a safe edge")
                    .because(setup.job.why_dimension(width))
                    .because(setup.job.why_dimension(height));
            row.sets = vec![Figure::new(
                named("middle"),
                setup.scribed(setup.read(id)),
                super::rows_press::why_scribed(setup, id),
            )];
            row.depth = setup.place_all(number, floor(setup, step, id));
            let shown = format!("{} × {}", mm(setup.part.size(width)), mm(setup.part.size(height)));
            row.check = Some(Figure::new(named("size"), shown, why));
        }
        (Work::Slit, Some(id)) => {
            let Kind::Slit { into, width, .. } = setup.part.feature(id).kind else { return true };
            let why =
                practice("a line scribed through the middle of the bore, on both faces and over the edge")
                    .because(setup.job.why_dimension(width));
            row.sets = vec![Figure::new(named("line through"), setup.scribed(setup.read(into)), why)];
            let why = practice("a blade as thick as the slit is wide, or two side by side in one frame");
            row.check = Some(Figure::new(named("width"), mm(setup.part.size(width)), why));
        }
        (Work::MillFlats { across, count }, Some(id)) => {
            let Kind::Flats { across: said, length, .. } = setup.part.feature(id).kind else { return true };
            let why = practice("scribed round the section").because(setup.job.why_dimension(length));
            row.sets = vec![Figure::new(named("as long as"), mm(setup.part.size(length)), why)];
            let how = if *count > 1 {
                "opposite sides measured in turn, a square or an angle gauge from one to the next"
            } else {
                "measured to the far side of the round"
            };
            let why = practice(how).because(setup.job.why_dimension(said));
            row.check = Some(Figure::new(named("across"), mm(*across), why));
        }
        _ => return false,
    }
    true
}

/// Whether a slot or pocket is cut by hand.
pub fn by_hand(setup: &Setup, id: FeatureId) -> bool {
    let steps = &setup.job.order.steps;
    steps.iter().any(|step| step.feature == Some(id) && matches!(step.tool, Tool::File | Tool::Chisel))
}

/// The lines that a slot or a pocket is cut to by hand, where they are scribed.
pub fn lines(setup: &Setup, id: FeatureId, name: &str) -> Vec<Figure> {
    match setup.part.feature(id).kind {
        Kind::Slot { width, .. } => {
            let Some([from, to]) = setup.slot_ends(id, Length::ZERO) else { return Vec::new() };
            let [from, to] =
                [from, to].map(|end| setup.scribed((Length::nearest(end.x_mm), Length::nearest(end.y_mm))));
            let why = practice("a centre line, and a line half the width to either side of it")
                .because(setup.job.why_dimension(width));
            vec![Figure::new(
                name,
                format!("{} wide, from {from} to {to}", setup.laid_out(setup.part.size(width))),
                why,
            )]
        }
        Kind::CurvedSlot { .. } => {
            let line = rows_curved::lines(setup, id);
            line.map(|(shown, why)| Figure::new(name, shown, why)).into_iter().collect()
        }
        Kind::Pocket { width, height, .. } => {
            let why = super::rows_press::why_scribed(setup, id)
                .because(setup.job.why_dimension(width))
                .because(setup.job.why_dimension(height));
            let size = [width, height].map(|side| setup.laid_out(setup.part.size(side))).join(" × ");
            vec![Figure::new(name, format!("{size} about {}", setup.scribed(setup.read(id))), why)]
        }
        _ => Vec::new(),
    }
}

/// How deep the floor lies of what is chiselled out; nothing of what goes right through.
fn floor(setup: &Setup, step: &Step, id: FeatureId) -> Vec<Figure> {
    let (Some(Depth::To(depth)), Tool::Chisel) = (setup.part.feature(id).kind.depth(), &step.tool) else {
        return Vec::new();
    };
    let why = practice(
        "chisel the webs away in thin cuts from the ends toward the middle, then scrape and file the floor; rub a flat piece with blue on it to find what stands high, and try the depth at every corner",
    )
    .because(setup.job.why_dimension(depth));
    vec![Figure::new("depth of the floor", mm(setup.part.size(depth)), why)]
}

/// Width and height of a rectangle.
fn to_size(setup: &Setup, number: usize) -> Option<Figure> {
    let Body::Rectangle { width, height, .. } = setup.part.drawing.body else { return None };
    let [across, up] = super::blanks::parting(setup.job);
    let sides = [setup.part.size(width) + across, setup.part.size(height) + up];
    let shown = sides.map(|side| setup.checked(side)).join(" × ");
    let why = practice("a line scribed from the square edges; measured at both ends of each side")
        .because(setup.job.why_dimension(width))
        .because(setup.job.why_dimension(height));
    Some(Figure::new(setup.named(number, "size"), shown, why))
}

/// A boss or disc that is filed round.
fn file_round(setup: &Setup, boss: Option<FeatureId>, row: &mut Row) {
    let number = row.number;
    let whole = |why: Why, radius: Length, at: (Length, Length)| {
        let shown = format!("R {} about {}", setup.laid_out(radius), setup.scribed(at));
        Figure::new(setup.named(number, "circle"), shown, why)
    };
    let rule = practice("scribed with dividers from the punched centre, on both faces");
    let radius = match (boss.map(|id| (id, &setup.part.feature(id).kind)), &setup.part.drawing.body) {
        (Some((id, &Kind::Boss { radius })), _) => {
            let size = setup.part.size(radius);
            row.sets = vec![whole(rule.because(setup.job.why_dimension(radius)), size, setup.read(id))];
            size
        }
        (_, &Body::Disc { diameter, .. }) => {
            let size = setup.part.size(diameter).half();
            let middle = setup.off_datum(setup.frame.place([Length::ZERO; 3]));
            row.sets = vec![whole(rule.because(setup.job.why_dimension(diameter)), size, middle)];
            size
        }
        _ => return,
    };
    let why = practice("half the scribed line left; a radius gauge, or a caliper over it all ways round");
    row.check = Some(Figure::new(setup.named(number, "radius"), mm(radius), why));
}
