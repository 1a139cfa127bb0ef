//! What is measured at the bench: filing has no slides to set, but sizes to come to.

use super::job::Setup;
use super::rows_outline::why_piece;
use super::rows_wide;
use super::sheet::Row;
use crate::drawing::{Axis, Body, FeatureId, Kind, SectionSize};
use crate::geometry::Segment;
use crate::measure::Length;
use crate::order::work::{Step, Tool};
use crate::order::{self, Located, Work};
use crate::settings::chain_drilling::{self, Chain};
use crate::settings::hardening::{let_down, quenched, try_hard};
use crate::settings::show::{geometry, mm, practice};
use crate::settings::squaring;
use crate::tables::hardening;
use crate::tables::materials::Operation;
use crate::tables::processes::limit;
use crate::why::{Figure, Why};

/// Fills a row at the bench.
pub fn fill(setup: &Setup, step: &Step, row: &mut Row) {
    if super::rows_filed::fill(setup, step, row) {
        return;
    }
    match step.work {
        Work::FileSide { piece } => return file_side(setup, row, piece),
        Work::FileRidges { piece } => return file_ridges(setup, step, row, piece),
        Work::Stick | Work::ScrewTogether { .. } => {
            row.sets = super::pieces::sets(setup, row.number, &step.work);
            return;
        }
        Work::MarkOut => return mark_out(setup, row),
        Work::SawCap | Work::FaceJoint | Work::BoltCap | Work::Tap { .. } => {
            return super::rows_parted::fill(setup, step, row);
        }
        Work::Harden | Work::Temper => return heat(setup, step, row),
        Work::RoughOut { chain } => return rough_out(setup, step, row, chain),
        _ => {}
    }
    let Some(id) = step.feature else { return };
    match step.work {
        Work::PlaneKeyway => super::rows_keyway::fill(setup, step, row),
        Work::FileHole => file_hole(setup, id, row),
        Work::FileHoleRound { diameter, .. } => rows_wide::file(setup, id, diameter, row),
        Work::Broach { across } => broach(setup, id, across, row),
        Work::Lap { hole, .. } => lap(setup, id, hole, row),
        _ => {}
    }
}

/// The ridges of stepped coordinates, filed until a gauge of the radius shows no light.
fn file_ridges(setup: &Setup, step: &Step, row: &mut Row, piece: Option<usize>) {
    let part = &setup.part;
    let of_boss = || match part.feature(step.feature?).kind {
        Kind::Boss { radius } => Some((part.size(radius), vec![setup.job.why_dimension(radius)])),
        _ => None,
    };
    let of_piece = |piece: usize| match part.pieces().ok()?.outline.segments().get(piece)? {
        Segment::Arc(arc) => Some((Length::nearest(arc.radius_mm), why_piece(setup, piece))),
        Segment::Line(_) => None,
    };
    let straight = |piece: usize| {
        let named = part.pieces().ok()?;
        matches!(named.outline.segments().get(piece)?, Segment::Line(_)).then_some(piece)
    };
    if let Some(piece) = piece.and_then(straight) {
        let rule = practice(
            "file along the ridges until they are just gone, and try a straight edge against the light",
        );
        let why = why_piece(setup, piece).into_iter().fold(rule, Why::because);
        row.check =
            Some(Figure::new(setup.named(row.number, "check"), "straight, no light under the edge", why));
        return;
    }
    let Some((radius, why)) = piece.map_or_else(of_boss, of_piece) else { return };
    let gauge = practice(
        "file along the ridges until they are just gone, and try a gauge of the radius against the light",
    );
    let why = why.into_iter().fold(gauge, Why::because);
    row.check = Some(Figure::new(setup.named(row.number, "radius"), mm(radius), why));
}

/// A square hole that a broach is pressed through.
fn broach(setup: &Setup, id: FeatureId, across: Length, row: &mut Row) {
    let Kind::Square { across: said, .. } = setup.part.feature(id).kind else { return };
    let steps = &setup.job.order.steps;
    let drilled = steps.iter().find_map(|step| match step.work {
        Work::Drill { diameter, .. } if step.feature == Some(id) => Some(diameter),
        _ => None,
    });
    let Some(drilled) = drilled else { return };
    let number = row.number;
    row.sets = setup.place_all(number, squaring::broaching(across, drilled));
    let why = practice(
        "try the shaft itself; the sides lie as the broach was turned, so clock it by a square first",
    )
    .because(setup.job.why_dimension(said));
    row.check = Some(Figure::new(setup.named(number, "across, both ways"), mm(across), why));
}

/// A hole that is filed to the lines scribed round its marking button.
fn file_hole(setup: &Setup, id: FeatureId, row: &mut Row) {
    let number = row.number;
    match setup.part.feature(id).kind {
        Kind::Square { across, .. } => {
            let size = setup.part.size(across);
            row.sets = setup.place_all(number, squaring::witness_lines(size));
            if let Some(lines) = row.sets.first_mut() {
                lines.why = lines.why.clone().because(setup.job.why_dimension(across));
            }
            let why = practice(
                "files with safe edges; try the marking button, all ways round, then the shaft itself",
            )
            .because(setup.job.why_dimension(across));
            row.check = Some(Figure::new(setup.named(number, "across, both ways"), mm(size), why));
        }
        Kind::Flatted { diameter, across, .. } => {
            let (whole, left) = (setup.part.size(diameter), setup.part.size(across));
            let scribed = practice("scribe round the marking button on both faces: half of the line is left");
            row.sets = vec![
                Figure::new(
                    setup.named(number, "scribe the round"),
                    format!("⌀ {}", mm(whole)),
                    scribed.clone().because(setup.job.why_dimension(diameter)),
                ),
                Figure::new(
                    setup.named(number, "flat from the middle of the round"),
                    mm(left - whole.half()),
                    geometry(format!("{} less half of {}", mm(left), mm(whole)))
                        .because(setup.job.why_dimension(across)),
                ),
            ];
            let why =
                practice("a half-round file for the round, a flat one for the flat; try the shaft itself")
                    .because(setup.job.why_dimension(across));
            row.check =
                Some(Figure::new(setup.named(number, "from the flat to the far side"), mm(left), why));
        }
        _ => {}
    }
}

/// What is left on a section for lapping it.
pub fn left_for_lapping(setup: &Setup, section: FeatureId) -> Option<Length> {
    order::left_for_lapping(&setup.part, section, order::across_the_bar(&setup.part, setup.job.metric))
}

/// What is left in a hole that is bored here and lapped afterwards.
pub fn left_in_hole(setup: &Setup, hole: FeatureId) -> Option<Length> {
    let mut steps = setup.job.order.steps.iter().filter(|step| step.feature == Some(hole));
    let lapped = steps.clone().any(|step| matches!(step.work, Work::Lap { hole: true, .. }));
    let bored = steps.any(|step| matches!(step.work, Work::Bore { .. }));
    (lapped && bored).then(|| order::lapped_off(&setup.part))
}

/// Why so much: as the part file says, or supposed.
pub fn why_left(setup: &Setup, left: Length) -> Why {
    let because = if setup.part.drawing.harden.is_some() {
        "the quench moves what fits closely and leaves scale on it: what is cut to size is too far afterwards"
    } else {
        "a lap takes out the ridges of the tool and what taper there is, and needs no more than that to do it"
    };
    match setup.part.drawing.lapping {
        Some(_) => practice(format!("{} is left for lapping, as the part file says: {because}", mm(left))),
        None => {
            Why::assumed(format!("{} is left for lapping: {because}", mm(left))).source("common practice")
        }
    }
}

/// What is brought to size once it is hard.
fn lap(setup: &Setup, id: FeatureId, hole: bool, row: &mut Row) {
    let number = row.number;
    let (Kind::Hole { diameter: size, .. } | Kind::Section { size: SectionSize::Plain(size), .. }) =
        setup.part.feature(id).kind
    else {
        return;
    };
    let way = if hole {
        "a lap that just enters, charged and run slowly, moved from end to end without stopping; a new one as it opens"
    } else {
        "a ring closed a little at a time, run slowly, moved from end to end without stopping"
    };
    let hardened = setup.part.drawing.harden.is_some();
    let mut cut = setup.job.order.steps.iter().filter(|step| step.feature == Some(id));
    let reamed = hole && cut.any(|step| matches!(step.work, Work::Ream { .. }));
    let side = if hole { "under size" } else { "over size" };
    let (left, why) = match left_for_lapping(setup, id).or_else(|| left_in_hole(setup, id)) {
        _ if reamed => (
            "as its reamer leaves it".to_owned(),
            practice(
                "a reamer leaves no less than its size: the quench mostly closes the hole by a few hundredths, which are \
                 lapped out with the scale; where it comes out wide, its shaft is made to it",
            ),
        ),
        Some(left) => (format!("{} {side}", mm(left)), why_left(setup, left)),
        None => (
            format!("0.05 to 0.1 mm {side}"),
            practice(if hardened {
                "hardening moves it by so much and leaves scale on it: what is cut to size is too far afterwards"
            } else {
                "a lap takes out the ridges of the tool: what is cut to size is too far afterwards"
            }),
        ),
    };
    let (before, to_size) =
        if hardened { ("left before hardening", "to size, hard") } else { ("left by cutting", "to size") };
    row.sets = vec![Figure::new(setup.named(number, before), left, why)];
    row.check = Some(Figure::new(
        setup.named(number, to_size),
        mm(setup.part.size(size)),
        practice(format!("{way}; every grain washed off before it is tried"))
            .because(setup.job.why_dimension(size)),
    ));
}

/// To what heat, how long, and in what.
fn heat(setup: &Setup, step: &Step, row: &mut Row) {
    let Ok(steel) = hardening::of(&setup.job.material.name) else { return };
    let Some(temper) = setup.part.drawing.harden else { return };
    let number = row.number;
    if step.work == Work::Temper {
        row.sets = setup.place_all(number, let_down(temper));
        return;
    }
    let thickest = match setup.part.drawing.body {
        Body::Turned { .. } => setup.part.bar_needed(),
        _ => setup.part.thickness(),
    };
    row.sets = setup.place_all(number, quenched(steel, thickest));
    row.check = setup.place_all(number, vec![try_hard()]).pop();
}

/// Whether a hole is begun at a punched centre, or filed to a circle about one.
fn punched(setup: &Setup, id: FeatureId) -> bool {
    let order = setup.job.order;
    let own = |of: FeatureId| {
        of == id || setup.part.feature(of).kind.pattern().is_some_and(|holes| holes.contains(&id))
    };
    !setup.job.bench.mills
        || order.steps.iter().any(|step| {
            let punched = order.setups[step.setup].located == Located::Punched;
            step.feature.is_some_and(own) && (punched || matches!(step.work, Work::FileHoleRound { .. }))
        })
}

/// Round ends, corners, and the ends of every piece that is filed, from the square edges.
fn mark_out(setup: &Setup, row: &mut Row) {
    let number = row.number;
    let why = |id| {
        let rule =
            practice("scribed while the blank is square: from its left-hand and near edges as it lies");
        rule.because(setup.why_place(id, Axis::X)).because(setup.why_place(id, Axis::Y))
    };
    for (id, feature) in setup.part.features() {
        let at = || setup.scribed(setup.read(id));
        match feature.kind {
            Kind::Boss { radius } => {
                let shown = format!("R {} about {}", setup.laid_out(setup.part.size(radius)), at());
                let why = why(id).because(setup.job.why_dimension(radius));
                row.sets.push(Figure::new(setup.named(number, &feature.name), shown, why));
            }
            Kind::Corner { .. } => {
                row.sets.push(Figure::new(setup.named(number, &feature.name), at(), why(id)));
            }
            Kind::Slot { .. } | Kind::CurvedSlot { .. } | Kind::Pocket { .. }
                if feature.face == setup.holding.up && super::rows_filed::by_hand(setup, id) =>
            {
                let lines = super::rows_filed::lines(setup, id, &feature.name);
                row.sets.extend(setup.place_all(number, lines));
            }
            // Of holes in the edges their own rows say where they are punched.
            Kind::Hole { .. } | Kind::Tapped { .. }
                if feature.face == setup.holding.up && punched(setup, id) =>
            {
                let label = format!("{}, punched", feature.name);
                let (shown, why) = rows_wide::circle(setup, id, at());
                row.sets.push(Figure::new(setup.named(number, &label), shown, why));
            }
            _ => {}
        }
    }
    let Ok(named) = setup.part.pieces() else { return };
    for step in &setup.job.order.steps {
        let Work::FileSide { piece } = step.work else { continue };
        let Some(&segment) = named.outline.segments().get(piece) else { continue };
        let laid = setup.laid(segment);
        for (end, word) in [(laid.start(), "from"), (laid.end(), "to")] {
            let label = format!("{} {word}", named.names[piece]);
            let shown = setup.scribed((Length::nearest(end.x_mm), Length::nearest(end.y_mm)));
            let name = setup.named(number, &label);
            if row.sets.iter().any(|known| known.name == name) {
                continue;
            }
            let rule =
                practice("scribed while the blank is square: from its left-hand and near edges as it lies");
            let why = why_piece(setup, piece).into_iter().fold(rule, Why::because);
            row.sets.push(Figure::new(name, shown, why));
        }
    }
    let why = practice("a dot every few millimetres: half of each is left when the metal is right");
    row.check = Some(Figure::new(setup.named(number, "check"), "pop the lines lightly", why));
}

/// How far outside the line the waste is parted.
fn rough_out(setup: &Setup, step: &Step, row: &mut Row, chain: bool) {
    let number = row.number;
    let margin = limit("chain margin");
    match (chain, &step.tool, setup.part.outline()) {
        (true, Tool::Drill(drill), Ok(outline)) => {
            let chain = Chain { drill: drill.diameter, web: limit("chain web"), allowance: margin };
            let speeds = setup.job.bench.drilling_speeds();
            row.speed = speeds.and_then(|s| setup.speed(number, Operation::Drilling, drill.diameter, s));
            if let Ok(found) = chain_drilling::row(chain, Length::nearest(outline.length_mm())) {
                row.sets = setup.place_all(number, found.figures());
            }
        }
        _ => {
            let why = practice("a saw wanders: so much is left for the cutter to take");
            row.sets = vec![Figure::new(setup.named(number, "outside the line"), mm(margin), why)];
        }
    }
}

/// A piece of the outline that is filed to its scribed line, or its radius.
fn file_side(setup: &Setup, row: &mut Row, piece: usize) {
    let Ok(named) = setup.part.pieces() else { return };
    let Some(&segment) = named.outline.segments().get(piece) else { return };
    let number = row.number;
    let why = |words: &str| why_piece(setup, piece).into_iter().fold(practice(words), Why::because);
    if !setup.job.order.steps.iter().any(|step| step.work == Work::MarkOut) {
        let laid = setup.laid(segment);
        for (end, word) in [(laid.start(), "from"), (laid.end(), "to")] {
            let shown = setup.scribed((Length::nearest(end.x_mm), Length::nearest(end.y_mm)));
            let words = "scribed from the left-hand and near edges as it lies";
            row.sets.push(Figure::new(setup.named(number, &format!("scribe {word}")), shown, why(words)));
        }
    }
    row.check = Some(match segment {
        Segment::Arc(arc) => Figure::new(
            setup.named(number, "radius"),
            mm(Length::nearest(arc.radius_mm)),
            why("a radius gauge, no light under it"),
        ),
        Segment::Line(_) => Figure::new(
            setup.named(number, "check"),
            "straight, and half the scribed line left",
            why("a rule"),
        ),
    });
}
