//! A pair of filing buttons: guides as large as the finished boss, clamped through its bore.

use super::Ask;
use super::bore::bore;
use super::own::Turned;
use super::picture::{dimension, note};
use super::rack::{HARD, hard_or_soft, largest_tap};
use crate::drawing::{FeatureId, Kind};
use crate::geometry::{Point, Segment};
use crate::measure::{Length, Toward};
use crate::problem::Problem;
use crate::settings::filing_buttons::{Boss, Buttons, Finish, filing_buttons};
use crate::settings::show::{mm, practice};
use crate::sheet::{AidSheet, Own, Runs, Scene, Serves, blank_scene, box_lines};
use crate::tables::clearance::{self, Class};
use crate::tables::threads::Thread;
use crate::why::{Figure, Why};

/// The buttons' sheet.
pub(super) fn sheet(ask: &Ask, boss: FeatureId, through: FeatureId) -> Result<AidSheet, Problem> {
    let bore = bore(ask, through)?;
    let feature = ask.part.feature(boss);
    let Kind::Boss { radius } = feature.kind else {
        return Err(Problem::new(format!("`{}` is a {}, no boss", feature.name, feature.kind.word()))
            .mend("plan filing buttons for a rounded end"));
    };
    let made = filing_buttons(Boss {
        diameter: ask.part.size(radius) * 2,
        bore: bore.limits.least(),
        thickness: bore.thickness * ask.load.pieces,
        finish: Finish::Filed,
    })
    .map_err(|fault| fault.at(format!("`{}`", feature.name)))?;
    let least_bar = made.outside + Length::mm_ratio(1, 2);
    let bar = hard_or_soft(ask.bench, least_bar);
    let hardened = bar.material == HARD;
    let screw = largest_tap(ask.bench, |thread| clears(thread).is_some_and(|hole| hole <= made.clamp_hole))
        .and_then(|thread| Some((thread, clears(thread)?)));
    // Two of them with 3 mm for parting each, and 25 mm in the chuck.
    let long = ((made.rim + made.spigot_length + Length::mm(3)) * 2 + Length::mm(25))
        .rounded(Length::mm(1), Toward::More)
        .value;
    let material = bar.words("round bar", &format!("{} long for the pair", mm(long)));
    let mut sizes = vec![Figure::new("bar", material.clone(), bar.why("bar"))];
    sizes.extend(
        made.figures().into_iter().filter(|f| screw.is_none() || f.name != "button clamp hole").map(
            |mut figure| {
                figure.why = figure.why.because(bore.why.clone());
                figure
            },
        ),
    );
    if let Some((thread, hole)) = screw {
        sizes.push(Figure::new(
            "clamp hole",
            mm(hole),
            practice(format!(
                "{} passes it, the largest whose hole is within half the bore",
                thread.designation
            ))
            .because(Why::new("medium series").source("ISO 273")),
        ));
    }
    sizes.push(Figure::new(
        "wall beside the bore",
        mm((made.outside - bore.size).half()),
        practice("1 mm at least, or the rim cracks in hardening or chips under the file"),
    ));
    Ok(AidSheet {
        serves: if hardened { serves(&made, screw) } else { Serves::default() },
        name: format!("Filing buttons for the {}", feature.name),
        purpose: format!(
            "Guide the file round the {}: one on each side, clamped through the {}.",
            feature.name, bore.name
        ),
        material,
        sizes,
        steps: steps(&made, &bore.name, screw, hardened),
        scene: scene(&made, screw.map(|(_, hole)| hole)),
        cautions: cautions(screw.is_none(), hardened),
        own: Own {
            count: 2,
            kept_as: if hardened { kept_as(&made, screw) } else { String::new() },
            file: Some(file(&made, screw.map(|(_, hole)| hole), &bar.material, hardened)),
            ..Own::default()
        },
    })
}

/// Hardened buttons serve any boss and bore alike; soft ones are worn out by one.
fn serves(made: &Buttons, screw: Option<(&'static Thread, Length)>) -> Serves {
    let screw = screw.map_or("a clamp".to_owned(), |(thread, _)| thread.designation.clone());
    Serves {
        same: vec![
            "filing buttons".into(),
            mm(made.outside),
            format!("spigot {}", mm(made.spigot)),
            format!("held by {screw}"),
        ],
        at_most: vec![("spigot length".into(), made.spigot_length)],
    }
}

fn kept_as(made: &Buttons, screw: Option<(&'static Thread, Length)>) -> String {
    let screw = screw.map_or(String::new(), |(thread, _)| format!(", {}", thread.designation));
    format!(
        "filing buttons {}, spigot {} and {} long{screw}",
        mm(made.outside),
        mm(made.spigot),
        mm(made.spigot_length)
    )
}

fn file(made: &Buttons, hole: Option<Length>, material: &str, hardened: bool) -> String {
    let part = Turned::new("Filing button", material, 2, hardened)
        .section("rim", made.outside, made.rim)
        .section("spigot", made.spigot, made.spigot_length);
    match hole {
        Some(hole) => part.through("clamp hole", hole, "drilled"),
        None => part,
    }
    .file()
}

fn clears(thread: &Thread) -> Option<Length> {
    clearance::hole(thread, Class::Medium).ok().map(|hole| hole.diameter)
}

fn steps(
    made: &Buttons,
    bore: &str,
    screw: Option<(&'static Thread, Length)>,
    hardened: bool,
) -> Vec<String> {
    let mut steps = vec![
        format!("Turn the bar to {} for the whole of the first button.", mm(made.outside)),
        format!(
            "In the same holding turn the spigot {} for {}, square to the rim.",
            mm(made.spigot),
            mm(made.spigot_length)
        ),
    ];
    if let Some((_, hole)) = screw {
        steps.push(format!("Drill {} through, in the same holding.", mm(hole)));
    }
    steps.push(format!("Part off with the rim {} thick. Make the second like it.", mm(made.rim)));
    if hardened {
        steps.push(
            "Harden both: cherry red, 770 to 780 °C, quench upright in water and stir; temper at once to straw, \
             230 °C."
                .into(),
        );
    } else {
        steps.push(
            "Leave them soft: they serve for one job, and a file that skates is the sign to stop.".into(),
        );
    }
    steps.push(match screw {
        Some((thread, _)) => format!(
            "Put one in each side of the {bore} and clamp them with an {} bolt, one tight and one free to turn.",
            thread.designation
        ),
        None => format!("Put one in each side of the {bore} and hold the sandwich in the vice."),
    });
    steps.push("File until the file only touches the buttons.".into());
    steps
}

fn cautions(no_screw: bool, hardened: bool) -> Vec<String> {
    let mut cautions =
        vec!["Clamp the sandwich, not the button alone; keep fingers from the edge.".to_owned()];
    if no_screw {
        cautions.push("The bore is too small for a bolt that is owned: nothing but the vice keeps the buttons together.".into());
    }
    if hardened {
        cautions.push(
            "Hardening: dry tongs and a face shield; water spits, and hard untempered steel can shatter."
                .into(),
        );
    }
    cautions
}

/// Both buttons in section, as they stand in the boss; the boss in phantom lines.
fn scene(made: &Buttons, hole: Option<Length>) -> Scene {
    let mut scene = blank_scene("in section, in the boss", Point::ORIGIN, "middle of the boss");
    let [outside, spigot, bore] = [made.outside, made.spigot, made.boss.bore].map(|d| d.half().as_mm());
    let [thick, rim, long] = [made.boss.thickness.half(), made.rim, made.spigot_length].map(Length::as_mm);
    for side in [1.0, -1.0] {
        let (near, far, end) = (side * thick, side * (thick + rim), side * (thick - long));
        scene.outline.extend(box_lines(near.min(far), -outside, near.max(far), outside));
        scene.outline.extend(box_lines(near.min(end), -spigot, near.max(end), spigot));
        scene.hidden.extend(hole_lines(hole, end, far));
        scene.around.extend(box_lines(
            -thick,
            (side * bore).min(side * outside),
            thick,
            (side * bore).max(side * outside),
        ));
    }
    measured(&mut scene, made.boss.thickness, made.outside, (made.rim, "button rim"));
    scene.dimensions.push(dimension(
        (thick - long, -outside),
        (thick, -outside),
        Runs::Across,
        mm(made.spigot_length),
        "button spigot length",
    ));
    scene.notes.push(note((thick - long / 2.0, spigot), format!("⌀ {}", mm(made.spigot)), "button spigot"));
    scene
}

/// A hole through a button, from one end to the other along its axis.
pub(super) fn hole_lines(hole: Option<Length>, from: f64, to: f64) -> Vec<Segment> {
    let radius = hole.map(|across| across.half().as_mm());
    let edges = radius.into_iter().flat_map(|radius| [radius, -radius]);
    edges.map(|y| Segment::line(Point::new(from, y), Point::new(to, y))).collect()
}

/// The axis of two buttons on either face of some metal, and across and along one of them.
pub(super) fn measured(
    scene: &mut Scene,
    metal: Length,
    outside: Length,
    (along, name): (Length, &'static str),
) {
    let [half, radius, long] = [metal.half(), outside.half(), along].map(Length::as_mm);
    let left = -half - long;
    scene.centre_lines.push(Segment::line(Point::new(left - 3.0, 0.0), Point::new(3.0 - left, 0.0)));
    scene.dimensions.push(dimension(
        (left, -radius),
        (left, radius),
        Runs::Up,
        mm(outside),
        "button outside diameter",
    ));
    scene.dimensions.push(dimension((left, -radius), (-half, -radius), Runs::Across, mm(along), name));
}
