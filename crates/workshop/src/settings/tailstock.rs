//! Drilling from the tailstock in turns of its handwheel: how far, how fast, where the drill comes out.

use super::drilling::Drilled;
use super::pecking::Pecking;
use super::position::rounding;
use super::show::{geometry, mm, number, practice};
use crate::bench::Tailstock;
use crate::measure::{Length, Toward};
use crate::tables::drills;
use crate::why::{Figure, Why};

/// How the handwheel is wound for a hole whose full diameter goes so deep: to its end, where the drill comes out
/// to be cleared, and how fast.
pub fn wound(
    tailstock: &Tailstock,
    (diameter, deep): (Length, Length),
    pecking: Option<&Pecking>,
    drilled: Option<&Drilled>,
) -> Vec<Figure> {
    let cone = drills::point(diameter);
    let mut figures = vec![turns(tailstock, deep, cone)];
    if let Some(found) = pecking {
        let why = Why::new(format!("the first time at {}, then every {}", mm(found.first), mm(found.each)))
            .because(why_dial(tailstock));
        let words = match found.times {
            1 => format!("after {}", counted(tailstock, found.first + cone)),
            _ => format!(
                "after {}, then every {}",
                counted(tailstock, found.first + cone),
                counted(tailstock, found.each)
            ),
        };
        figures.push(Figure::new("out to clear, by the handwheel", words, why));
    }
    figures.extend(drilled.map(|found| seconds(tailstock, found)));
    figures
}

/// How long a turn of the handwheel takes.
fn seconds(tailstock: &Tailstock, found: &Drilled) -> Figure {
    let mm_per_min = found.feed.as_mm() * f64::from(found.speed.rev_per_min);
    let seconds = tailstock.pitch.as_mm() / mm_per_min * 60.0;
    let why = geometry(format!(
        "{} a turn of the spindle at {} rev/min, {} a turn of the handwheel",
        mm(found.feed),
        found.speed.rev_per_min,
        mm(tailstock.pitch)
    ))
    .because(practice("slower where the drill squeals or smokes, at once back where the chips stop"));
    let shown = format!("{} s", number(seconds.max(0.5), i32::from(seconds < 2.0) as usize));
    Figure::new("a turn of the handwheel in", shown, why)
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

#[cfg(test)]
mod tests {
    use super::*;

    /// By hand: a drill of 6 has a point of 1.80 (3 / tan 59°), so 20 deep is 21.80 from the touch: on a screw
    /// of 2.5 with 50 divisions 8 turns (20.00) and 36 of 0.05; without a dial 8 3/4 turns (21.875).
    #[test]
    fn turns_agree_with_a_sum_done_by_hand() {
        let by = |divisions| Tailstock { pitch: Length::microns(2_500), divisions };
        let shown =
            |divisions| wound(&by(divisions), (Length::mm(6), Length::mm(20)), None, None)[0].shown.clone();
        assert_eq!(shown(Some(50)), "8 turns and 36 divisions");
        assert_eq!(shown(None), "8 3/4 turns");
    }
}
