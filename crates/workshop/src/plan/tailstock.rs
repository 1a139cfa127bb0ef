//! Drilling from the tailstock told in turns of its handwheel: how far, how fast, where the drill
//! comes out.

use super::job::Setup;
use super::rows_hole::{drilled, hole_before};
use super::sheet::Row;
use crate::bench::Tailstock;
use crate::measure::{Length, Toward};
use crate::order::work::{Deep, Step};
use crate::settings::drilling::{Asked, drilling};
use crate::settings::pecking::pecking;
use crate::settings::position::rounding;
use crate::settings::show::{geometry, mm, number, practice};
use crate::tables::drills;
use crate::why::{Figure, Why};

/// Adds the turns of the tailstock's handwheel to a row that drills, where the bench file says how
/// far a turn goes.
pub fn fill(setup: &Setup, step: &Step, diameter: Length, deep: Deep, row: &mut Row) {
    let Some(lathe) = &setup.job.bench.lathe else { return };
    let Some(tailstock) = lathe.tailstock else { return };
    let whole = drilled(setup, step, deep);
    let cone = drills::point(diameter);
    let mut figures = vec![turns(&tailstock, whole, cone)];
    if let Some(found) = pecking(diameter, whole, setup.job.material) {
        let why = Why::new(format!("the first time at {}, then every {}", mm(found.first), mm(found.each)))
            .because(why_dial(&tailstock));
        let words = match found.times {
            1 => format!("after {}", counted(&tailstock, found.first + cone)),
            _ => format!(
                "after {}, then every {}",
                counted(&tailstock, found.first + cone),
                counted(&tailstock, found.each)
            ),
        };
        figures.push(Figure::new("out to clear, by the handwheel", words, why));
    }
    let asked = Asked {
        diameter,
        follows: hole_before(setup, step, diameter).unwrap_or_default(),
        material: setup.job.material,
        speeds: &lathe.speeds,
        power_w: lathe.power_at_work_w(),
    };
    if let Ok(found) = drilling(asked) {
        let mm_per_min = found.feed.as_mm() * f64::from(found.speed.rev_per_min);
        let seconds = tailstock.pitch.as_mm() / mm_per_min * 60.0;
        let why = geometry(format!(
            "{} a turn of the spindle at {} rev/min, {} a turn of the handwheel",
            mm(found.feed),
            found.speed.rev_per_min,
            mm(tailstock.pitch)
        ))
        .because(practice("slower where the drill squeals or smokes, at once back where the chips stop"));
        figures.push(Figure::new(
            "a turn of the handwheel in",
            format!("{} s", number(seconds.max(0.5), i32::from(seconds < 2.0) as usize)),
            why,
        ));
    }
    row.depth.extend(setup.place_all(row.number, figures));
}

/// How far it is wound from where the tip of the drill touches.
fn turns(tailstock: &Tailstock, deep: Length, cone: Length) -> Figure {
    let to = deep + cone;
    let set = to.rounded(tailstock.step(), Toward::Nearest);
    let why =
        geometry(format!("{} and the point of 118°, {}, from where the tip touches", mm(deep), mm(cone)))
            .because(why_dial(tailstock))
            .because(rounding(set, tailstock.step()));
    Figure::new("tailstock, from the tip touching", counted(tailstock, to), why)
}

fn why_dial(tailstock: &Tailstock) -> Why {
    let said = format!("a turn of the tailstock's handwheel is {}", mm(tailstock.pitch));
    match tailstock.divisions {
        Some(divisions) => {
            geometry(format!("{said}, one of its {divisions} divisions {}", mm(tailstock.step())))
        }
        None => geometry(format!("{said}; it has no dial, so quarter turns are counted")),
    }
}

/// Turns and divisions, or turns and quarters, as a person counts them.
fn counted(tailstock: &Tailstock, depth: Length) -> String {
    let (turns, steps) = tailstock.counted(depth);
    let several = |count: i128, one: &str| format!("{count} {one}{}", if count == 1 { "" } else { "s" });
    if tailstock.divisions.is_some() {
        return match (turns, steps) {
            (0, _) => several(steps, "division"),
            (_, 0) => several(turns, "turn"),
            _ => format!("{} and {}", several(turns, "turn"), several(steps, "division")),
        };
    }
    let quarters = ["", "1/4", "1/2", "3/4"][steps.clamp(0, 3) as usize];
    match (turns, steps) {
        (_, 0) => several(turns, "turn"),
        (0, _) => format!("{quarters} turn"),
        _ => format!("{turns} {quarters} turns"),
    }
}
