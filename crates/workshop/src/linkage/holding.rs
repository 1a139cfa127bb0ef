//! Roles that follow from a mechanism: sizes of parts that its results hang on are held as
//! closely as these are asked for.

use super::closest::closest_alone;
use super::looser::{Left, left, loose};
use super::{Machine, read_mechanisms};
use crate::drawing::{Dimension, Drawing, Given, Role};
use crate::measure::Length;
use crate::metric::limit;
use crate::stack::Held;

/// Holds the sizes of these parts on which a mechanism depends: those whose own file says
/// neither a role nor a tolerance, and which would else be free to go further. Those that the file
/// itself lets go further are told so ([`Dimension::loose`]). How many were held or told comes out. What is wrong with the mechanisms is told where they are asked for.
pub fn hold_sizes(drawings: &mut [Drawing], file: &str, text: &str) -> usize {
    let mut found: Vec<Left> = Vec::new();
    {
        let parts: Vec<Held> = drawings.iter().map(|drawing| Held { drawing, metric: None }).collect();
        let (machines, _) = read_mechanisms(file, text, &parts);
        let asks = |machine: &&Machine| {
            !machine.holds.is_empty() && machine.known.iter().any(|known| known.of.is_some())
        };
        for machine in machines.iter().filter(asks) {
            let close = closest_alone(machine, &parts);
            found.extend(close.iter().flat_map(|close| left(machine, close)));
        }
    }
    let mut count = 0;
    for left in found {
        let drawing = &mut drawings[left.part];
        let general = drawing.general_tolerance;
        let dimension = &mut drawing.dimensions[left.id];
        if may_be_held(dimension) {
            if left.within < Length::microns(1) || limit(dimension, general).0 <= left.within {
                continue;
            }
            dimension.role = (Role::Hold, Given::Said);
            dimension.within = Some(left.within);
            dimension.held_by = Some(format!("so that {}", left.by));
            dimension.loose = None;
            count += 1;
        } else if dimension.held_by.is_none()
            && let Some(told) = loose(drawing, &left)
        {
            drawing.dimensions[left.id].loose = Some(told);
            count += 1;
        }
    }
    count
}

/// True when nobody has said how closely a size is held; what follows a tool or a mate goes on
/// following it.
fn may_be_held(dimension: &Dimension) -> bool {
    let said = dimension.held_by.is_none() && (dimension.within.is_some() || dimension.own_role);
    !said && dimension.role.0 != Role::Suit
}
