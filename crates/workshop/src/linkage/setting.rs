//! What setting aids of the project take from its parts and mechanisms: a throw, an angle, and how
//! far that may be out before a result departs by more than the mechanism file allows.

use mechanism::Size;

use super::closest::closest_alone;
use super::size::Sizes;
use super::{Closest, Kind, Machine, read_mechanisms};
use crate::assembly::{Amount, Fitting, Found, Sort, Wanted};
use crate::measure::{Angle, Length};
use crate::problem::Problem;
use crate::stack::Held;
use crate::why::Why;

/// Finds every length and angle that the aids of a project name by a size of a part, `PART: SIZE`,
/// or of a mechanism, `MECHANISM: SIZE` or a sum of its sizes. The sizes are those that the parts
/// will have; what is not found says so where the aid is made.
///
/// `text` is that of the mechanism file, where there is one.
pub fn look_up(fitting: &mut Fitting, file: &str, text: Option<&str>, parts: &[Held]) {
    let open = |wanted: &Wanted| wanted.is.is_err();
    let designs = || fitting.tasks.iter().filter_map(|task| task.design.clone());
    if !designs().any(|mut design| design.wanted_mut().iter().any(|wanted| open(wanted))) {
        return;
    }
    let machines = text.map_or_else(Vec::new, |text| read_mechanisms(file, text, parts).0);
    let mut rooms: Vec<Option<Option<Closest>>> = vec![None; machines.len()];
    for task in &mut fitting.tasks {
        let Some(design) = &mut task.design else { continue };
        for wanted in design.wanted_mut().into_iter().filter(|wanted| open(wanted)) {
            let place = format!("line {}, `{}`", wanted.said.line, wanted.said.key);
            let found = found(wanted, &machines, &mut rooms, parts);
            wanted.is = found.map(Box::new).map_err(|fault| Box::new(fault.at(place)));
        }
    }
}

fn found(
    wanted: &Wanted,
    machines: &[Machine],
    rooms: &mut [Option<Option<Closest>>],
    parts: &[Held],
) -> Result<Found, Problem> {
    let text = wanted.said.text.as_str();
    let kind = match wanted.sort {
        Sort::Length => Kind::Length,
        Sort::Angle => Kind::Angle,
    };
    let named = text.split_once(':').and_then(|(name, rest)| {
        let at = machines.iter().position(|machine| machine.name.eq_ignore_ascii_case(name.trim()))?;
        Some((at, rest.trim()))
    });
    let Some((at, sum)) = named else {
        // No mechanism of that name: a size of a part.
        let mut of = mechanism::Mechanism::new();
        let mut sizes = Sizes::new(parts, None);
        let size = sizes.read(&mut of, text, text, kind).map_err(|fault| {
            let names: Vec<String> =
                machines.iter().map(|machine| format!("`{}: …`", machine.name)).collect();
            if names.is_empty() {
                fault
            } else {
                fault.mend(format!("name a size of a part, or write {}", names.join(" or ")))
            }
        })?;
        let why = reason(text, &sizes, &size);
        return Ok(Found { amount: amount(kind, value(&sizes, &of.values(), &size)), why, within: None });
    };
    let machine = &machines[at];
    let (size, sizes, values) = machine.sum(sum, kind, parts).map_err(|fault| machine.at(fault))?;
    let close = rooms[at].get_or_insert_with(|| closest_alone(machine, parts));
    let why = Why::new(format!("{sum} of the mechanism `{}`", machine.name))
        .source("the mechanism file")
        .because(reason(sum, &sizes, &size));
    let within = close.as_ref().and_then(|close| allowed(machine, close, &size, kind));
    Ok(Found { amount: amount(kind, value(&sizes, &values, &size)), why, within })
}

/// How far a sum may be out with every size of it at its worst: their own shares added up.
fn allowed(machine: &Machine, close: &Closest, size: &Size, kind: Kind) -> Option<(Amount, Why)> {
    let (mut out, mut by) = (0.0, Vec::new());
    for room in &close.rooms {
        let times: f64 = size.terms.iter().filter(|(param, _)| param.0 == room.param).map(|(_, by)| by).sum();
        if times != 0.0 {
            out += (times * room.worst).abs();
            by.push(format!("{} so far that {} keeps", machine.known[room.param].name, room.bound_by));
        }
    }
    if out <= 0.0 {
        return None;
    }
    let why = Why::new(format!("it may be out by as much as leaves {}", by.join(", ")))
        .source("the mechanism, solved all the way round, by its exact derivatives")
        .because(Why::new(close.asked.join("; ")).source("the mechanism file"));
    Some((amount(kind, out), why))
}

impl Machine {
    /// A sum of sizes in the words of the mechanism file, with the names it uses and the values of
    /// its parameters as described.
    ///
    /// # Errors
    ///
    /// A name that leads nowhere, with the nearest; an angle where a length is wanted.
    pub(super) fn sum<'a>(
        &self,
        text: &str,
        kind: Kind,
        parts: &'a [Held<'a>],
    ) -> Result<(Size, Sizes<'a>, Vec<f64>), Problem> {
        let mut of = self.of.clone();
        let mut sizes =
            Sizes { parts, unit: self.unit, known: self.known.clone(), named: self.named.clone() };
        let own =
            sizes.known.iter().position(|known| known.kind == kind && known.name.eq_ignore_ascii_case(text));
        let size = match own {
            Some(param) => Size::from(mechanism::ParamId(param)),
            None => sizes.read(&mut of, text, text, kind)?,
        };
        let values = of.values();
        Ok((size, sizes, values))
    }
}

/// As it will be made where that is chosen, else as drawn.
fn value(sizes: &Sizes, drawn: &[f64], size: &Size) -> f64 {
    let made: Vec<f64> = drawn
        .iter()
        .enumerate()
        .map(|(at, value)| sizes.known.get(at).and_then(|known| known.chosen).unwrap_or(*value))
        .collect();
    size.value(&made)
}

fn amount(kind: Kind, value: f64) -> Amount {
    match kind {
        Kind::Length => Amount::Length(Length::nearest(value)),
        Kind::Angle => Amount::Angle(Angle::nearest_rad(value)),
    }
}

/// What the terms of a sum rest on.
fn reason(text: &str, sizes: &Sizes, size: &Size) -> Why {
    let terms = size.terms.iter().filter_map(|(param, _)| sizes.known.get(param.0));
    terms.fold(Why::new(format!("`{text}`")), |why, known| {
        let shown = known.kind.shown().text(known.chosen.unwrap_or(known.drawn));
        let own = if known.chosen.is_some() { &known.why_chosen } else { &known.why_drawn };
        why.because(Why { because: vec![own.clone()], ..Why::new(format!("{} is {shown}", known.name)) })
    })
}
