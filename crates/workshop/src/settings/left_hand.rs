//! What is done otherwise for a left-hand thread: by tap, by die, with a tool.

use super::outside_thread::{RUN_OUT_TURNS, RunsOut, Way};
use super::screw_cutting::root;
use super::show::{mm, practice};
use crate::tables::threads::{Hand, Thread};
use crate::why::Figure;

const WITH_TOOL: &str = "the leadscrew reversed by the tumbler, or with one idler more or fewer; the spindle \
                         turns as ever, the tool goes from the inner end towards the tailstock";
const WITH_DIE: &str = "turn the die anticlockwise, seen from the tailstock";

/// Which way a tap is turned; nothing for a right-hand one.
pub fn tap(thread: &Thread) -> Option<Figure> {
    let why = practice("a left-hand thread goes in anticlockwise, and has a tap of its own");
    let shown = "anticlockwise to cut, clockwise to break the chip: a left-hand tap";
    is_left(thread).then(|| Figure::new("turn", shown, why))
}

/// Which way a thread on the outside is cut; nothing for a right-hand one.
pub fn outside(thread: &Thread, way: Way) -> Option<Figure> {
    let shown = match way {
        Way::Die => WITH_DIE.to_owned(),
        Way::Tool => WITH_TOOL.to_owned(),
        Way::RoughedThenDie(_) => format!("{WITH_TOOL}; then {WITH_DIE}"),
    };
    let why = practice(
        "a left-hand thread goes on anticlockwise: its die is one of its own, and a tool must move away from the headstock as the work comes down on it",
    );
    is_left(thread).then(|| Figure::new("left-handed", shown, why))
}

/// Where the tool of a left-hand thread begins: at the end that a right-hand one runs out in.
pub fn begins(thread: &Thread, within: RunsOut) -> Figure {
    let core = root(thread);
    let shown = match within {
        RunsOut::Free => "over the far side of the section; it runs off the end".to_owned(),
        RunsOut::Groove { diameter, width } if diameter > core => format!(
            "in the groove of {}; but its bottom, ⌀ {}, stands above the root, ⌀ {}: turn it down first, if the part may have it so",
            mm(width),
            mm(diameter),
            mm(core)
        ),
        RunsOut::Groove { width, .. } => format!("in the groove of {}; it runs off the end", mm(width)),
        RunsOut::Shoulder => format!(
            "in a groove that is cut first at the shoulder, ⌀ {} and {} wide, if the part may have one; else by a left-hand die alone",
            mm(core),
            mm(thread.lead() * RUN_OUT_TURNS)
        ),
    };
    let why = practice("it is cut from within outwards, and nothing feeds a tool in while it moves along");
    Figure::new("begins", shown, why)
}

fn is_left(thread: &Thread) -> bool {
    thread.hand == Hand::Left
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::measure::Length;
    use crate::tables::threads::find;

    #[test]
    fn nothing_is_said_of_a_right_hand_thread() {
        let right = find("M6").unwrap();
        assert!(tap(right).is_none() && outside(right, Way::Die).is_none());
        let left = find("M6-LH").unwrap();
        assert!(tap(left).unwrap().shown.starts_with("anticlockwise to cut"));
        assert!(outside(left, Way::Die).unwrap().shown.contains("anticlockwise"));
        assert!(outside(left, Way::Tool).unwrap().shown.contains("towards the tailstock"));
    }

    /// ISO 724: the root of an M12 screw is 12 - 2 × 0.61343 × 1.75 = 9.853 across.
    #[test]
    fn a_tool_begins_in_a_groove_no_higher_than_the_root() {
        let m12 = find("M12 LH").unwrap();
        let groove =
            |tenths: i64| RunsOut::Groove { diameter: Length::microns(tenths * 100), width: Length::mm(4) };
        assert_eq!(begins(m12, groove(98)).shown, "in the groove of 4 mm; it runs off the end");
        assert!(
            begins(m12, groove(99)).shown.contains("stands above the root, ⌀ ≈9.853 mm"),
            "{:?}",
            begins(m12, groove(99))
        );
        assert!(begins(m12, RunsOut::Shoulder).shown.contains("cut first at the shoulder"));
    }
}
