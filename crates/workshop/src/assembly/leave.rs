//! Telling each part what of it is left for assembly.

use super::{Fitting, Thing};
use crate::drawing::{Drawing, Left, Share};

/// Notes in each drawing what is done to it in assembly, so that its own order leaves it alone.
/// The drawings are those the fitting was found among, in the same order.
pub fn leave(fitting: &Fitting, drawings: &mut [Drawing]) {
    drawings.iter_mut().for_each(|drawing| drawing.left.clear());
    super::together::alike(fitting, drawings);
    for task in &fitting.tasks {
        let Some((word, share)) = task.cuts() else { continue };
        let tapered = task.how().is_some() && task.tapered(|part| &drawings[part]);
        let word = if tapered { "drill and taper ream together" } else { word };
        for member in &task.members {
            let (Thing::Part(part), Some(feature)) = (member.thing, member.feature) else { continue };
            let Some(drawing) = drawings.get_mut(part) else { continue };
            let features = match share {
                Share::Whole => drawing.left_with(feature),
                Share::Finish => vec![feature],
            };
            for feature in features {
                drawing.left.push(Left {
                    feature,
                    share,
                    until: format!("{word}: {}", task.name),
                    said: task.said.place.clone(),
                });
            }
        }
    }
}
