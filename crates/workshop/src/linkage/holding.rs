//! Roles that follow from a mechanism: sizes of parts that its results hang on are held as
//! closely as these are asked for.

use super::{Machine, closest, read_mechanisms};
use crate::drawing::{Dimension, Drawing, Given, Role, Size};
use crate::measure::Length;
use crate::metric::limit;
use crate::stack::Held;

/// Holds the sizes of these parts on which a mechanism depends: those whose own file says
/// neither a role nor a tolerance, and which would else be free to go further. How many were
/// held comes out. What is wrong with the mechanisms is told where they are asked for.
pub fn hold_sizes(drawings: &mut [Drawing], file: &str, text: &str) -> usize {
    let mut held: Vec<(usize, usize, Length, String)> = Vec::new();
    {
        let parts: Vec<Held> = drawings.iter().map(|drawing| Held { drawing, metric: None }).collect();
        let (machines, _) = read_mechanisms(file, text, &parts);
        // Where no size may be held, what the mechanism asks of them need not be found.
        let asks = |machine: &&Machine| {
            let mut sizes = machine.known.iter().filter_map(|known| known.of);
            !machine.holds.is_empty()
                && sizes.any(|(part, size)| match size {
                    Size::Length(id) => may_be_held(&drawings[part].dimensions[id.0]),
                    Size::Thread(_) => false,
                })
        };
        for machine in machines.iter().filter(asks) {
            let Ok(told) = machine.told() else { continue };
            let Ok(Some(close)) = closest(machine, &told, &parts) else { continue };
            for room in close.rooms {
                let known = &machine.known[room.param];
                let Some((part, Size::Length(id))) = known.of else { continue };
                // Down to a whole thousandth: more would be past what is allowed.
                let thousandths = (room.worst * 1000.0).floor();
                if !(1.0..1e6).contains(&thousandths) {
                    continue;
                }
                let within = Length::microns(thousandths as i64);
                let hold = machine.holds.iter().find(|hold| hold.result.eq_ignore_ascii_case(&room.bound_by));
                let asked = hold.map_or_else(String::new, |hold| format!(" within {}", hold.text));
                let by = format!("so that {}{asked} of the mechanism `{}`", room.bound_by, machine.name);
                held.push((part, id.0, within, by));
            }
        }
    }
    let mut count = 0;
    for (part, id, within, by) in held {
        let drawing = &mut drawings[part];
        let general = drawing.general_tolerance;
        let dimension = &mut drawing.dimensions[id];
        if !may_be_held(dimension) || limit(dimension, general).0 <= within {
            continue;
        }
        dimension.role = (Role::Hold, Given::Said);
        dimension.within = Some(within);
        dimension.held_by = Some(by);
        count += 1;
    }
    count
}

/// True when nobody has said how closely a size is held; what follows a tool or a mate goes on
/// following it.
fn may_be_held(dimension: &Dimension) -> bool {
    let said = dimension.held_by.is_none() && (dimension.within.is_some() || dimension.own_role);
    !said && dimension.role.0 != Role::Suit
}
