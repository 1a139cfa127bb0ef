//! Plain filing buttons: a pair of discs for a rounding that has no bore to clamp them through,
//! stuck to both faces.

use super::Ask;
use super::buttons::{hole_lines, measured};
use super::own::Turned;
use super::rack::{HARD, Piece, hard_or_soft};
use crate::drawing::{FeatureId, Kind};
use crate::geometry::Point;
use crate::measure::{Length, Toward};
use crate::problem::Problem;
use crate::settings::hardening::in_words;
use crate::settings::plain_buttons::{Discs, Lie, plain_buttons};
use crate::settings::show::mm;
use crate::sheet::{AidSheet, Own, Scene, Serves, blank_scene, box_lines};
use crate::tables::hardening;
use crate::why::Figure;

/// The discs' sheet.
pub(super) fn sheet(ask: &Ask, round: FeatureId) -> Result<AidSheet, Problem> {
    let feature = ask.part.feature(round);
    let (radius, lie) = match feature.kind {
        Kind::Boss { radius } => (radius, Lie::OverItsCentre),
        Kind::Corner { radius: Some(radius) } => (radius, Lie::FlushWithBothSides),
        _ => {
            return Err(Problem::new(format!(
                "`{}` is a {}, and is not rounded",
                feature.name,
                feature.kind.word()
            ))
            .mend("plan filing buttons for a rounded end or corner"));
        }
    };
    let made = plain_buttons(ask.part.size(radius) * 2, lie)
        .map_err(|fault| fault.at(format!("`{}`", feature.name)))?;
    let bar = hard_or_soft(ask.bench, made.outside + Length::mm_ratio(1, 2));
    let hardened = bar.material == HARD;
    // Two of them with 3 mm for parting each, and 25 mm in the chuck.
    let long = (made.thick + Length::mm(3)) * 2 + Length::mm(25);
    let material = bar.words(
        "round bar",
        &format!("{} long for the pair", mm(long.rounded(Length::mm(1), Toward::More).value)),
    );
    let mut sizes = vec![Figure::new("bar", material.clone(), bar.why("bar"))];
    let why = ask.metric.dimensions.get(radius.0).map(|choice| choice.why.clone());
    sizes.extend(made.figures().into_iter().map(|figure| match &why {
        Some(own) => Figure { why: figure.why.because(own.clone()), ..figure },
        None => figure,
    }));
    let metal = ask.part.thickness() * ask.load.pieces;
    Ok(AidSheet {
        name: format!("Plain filing buttons for the {}", feature.name),
        purpose: format!(
            "Guide the file round the {}, which has no bore: one stuck to each face.",
            feature.name
        ),
        material,
        sizes,
        steps: steps(&made, &feature.name, hardened),
        scene: scene(&made, metal),
        cautions: cautions(hardened),
        serves: if hardened { serves(&made) } else { Serves::default() },
        own: Own {
            count: 2,
            kept_as: if hardened {
                format!("plain filing buttons {}", mm(made.outside))
            } else {
                String::new()
            },
            file: Some(file(&made, &bar, hardened)),
            ..Own::default()
        },
    })
}

/// Hardened discs serve any rounding alike; soft ones are worn out by one.
fn serves(made: &Discs) -> Serves {
    let lie = made.sight.map_or("no hole".to_owned(), |hole| format!("hole {}", mm(hole)));
    Serves { same: vec!["plain filing buttons".into(), mm(made.outside), lie], ..Serves::default() }
}

fn file(made: &Discs, bar: &Piece, hardened: bool) -> String {
    let part = Turned::new("Plain filing button", &bar.material, 2, hardened).section(
        "rim",
        made.outside,
        made.thick,
    );
    match made.sight {
        Some(hole) => part.through("sight hole", hole, "drilled"),
        None => part,
    }
    .file()
}

fn steps(made: &Discs, name: &str, hardened: bool) -> Vec<String> {
    let mut steps = vec![format!("Turn the bar to {} for the whole of the first button.", mm(made.outside))];
    steps.extend(made.sight.map(|hole| format!("Drill {} through, in the same holding.", mm(hole))));
    steps.push(format!("Part off {} thick. Make the second like it.", mm(made.thick)));
    steps.push(match hardened {
        true => format!("Harden both: {}.", hardening_words(made.thick)),
        false => {
            "Leave them soft: they serve for one job, and a file that skates is the sign to stop.".into()
        }
    });
    steps.push(match made.lie {
        Lie::OverItsCentre => format!(
            "Mark and punch the centre of the {name} on both faces; stick a button to each, its hole over the punch mark, with adhesive that warmth lets go."
        ),
        Lie::FlushWithBothSides => format!(
            "Finish both sides of the {name} first; stick a button to each face flush with both sides by a straight edge, with adhesive that warmth lets go."
        ),
    });
    steps.push("Hold the sandwich in the vice across the buttons, and file until the file only touches them; warm them off.".into());
    steps
}

/// How a button of silver steel is hardened: let down to straw, as gauges and cutters are.
fn hardening_words(thick: Length) -> String {
    let (steel, straw) = (hardening::of(HARD), hardening::temper("straw"));
    let (Ok(steel), Ok(straw)) = (steel, straw) else { return "as its maker's sheet says".into() };
    in_words(steel, thick, straw)
}

fn cautions(hardened: bool) -> Vec<String> {
    let mut cautions = vec![
        "The vice holds the sandwich across the buttons: stuck alone they slide under the file. Keep fingers from the edge."
            .to_owned(),
    ];
    if hardened {
        cautions.push(
            "Hardening: dry tongs and a face shield; water spits, and hard untempered steel can shatter."
                .into(),
        );
    }
    cautions
}

/// Both discs in section on the work; the work in phantom lines.
fn scene(made: &Discs, metal: Length) -> Scene {
    let mut scene = blank_scene("in section, on the work", Point::ORIGIN, "middle of the rounding");
    let [outside, thick, half] = [made.outside.half(), made.thick, metal.half()].map(Length::as_mm);
    for side in [1.0, -1.0] {
        let (near, far) = (side * half, side * (half + thick));
        scene.outline.extend(box_lines(near.min(far), -outside, near.max(far), outside));
        scene.hidden.extend(hole_lines(made.sight, near, far));
    }
    scene.around.extend(box_lines(-half, -outside, half, outside));
    measured(&mut scene, metal, made.outside, (made.thick, "button thickness"));
    scene
}
