//! Holes right through turned work that goes on behind its finished end.

use super::job::Setup;
use crate::drawing::{Body, Face, Form};
use crate::measure::Length;
use crate::order::work::Step;
use crate::order::{Machine, Work};
use crate::settings::show::{mm, practice};
use crate::tables::processes::limit;
use crate::why::Why;

/// How far what goes right through has to go beyond the finished end, where the metal goes on there: into
/// the bar that is parted off later, or through what is still to be faced.
pub fn past_the_end(setup: &Setup, step: &Step) -> Option<(Length, Why)> {
    let order = setup.job.order;
    let turned = matches!(setup.part.drawing.body, Body::Turned { .. });
    let across = matches!(setup.holding.up, Face::Left | Face::Right);
    if setup.holding.machine != Machine::Lathe || !turned || !across {
        return None;
    }
    let far = setup.holding.up.opposite();
    let ends = |work: &Work| matches!(work, Work::FaceEnd { end } if *end == far) || *work == Work::PartOff;
    let here = order.steps.iter().position(|s| std::ptr::eq(s, step))?;
    let (before, after) = order.steps.split_at(here);
    if before.iter().any(|s| ends(&s.work)) || order.done.iter().any(|done| ends(&done.work)) {
        return None;
    }
    after.iter().any(|s| ends(&s.work)).then(|| match setup.part.drawing.stock.as_ref() {
        Some(cast) if cast.form == Form::Casting => {
            let why = practice(format!("the {} end is not faced yet: {} are left on it", far.word(), mm(cast.left_on())));
            (cast.left_on(), why)
        }
        _ => {
            let more = limit("past the end");
            let why = practice(format!(
                "the metal goes on behind the {} end: full size {} beyond it, where the end is cut off and faced, and for the lead of a \
                 reamer or tap",
                far.word(),
                mm(more)
            ));
            (more, why)
        }
    })
}
