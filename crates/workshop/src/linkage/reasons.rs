//! Every figure of a mechanism with its reason, by a name that it can be asked for; and what
//! is proven of the turn they were read from.

use super::asked::Shown;
use super::{Closest, Machine, Run, Told};
use crate::why::{Figure, Why};

/// The mechanism, and its setting where it has several.
pub fn title(machine: &Machine, told: &Told) -> String {
    match &told.setting {
        Some(setting) => format!("{}, {setting}", machine.name),
        None => machine.name.clone(),
    }
}

/// Every result and every tolerance that follows, named `engine: cut-off, head end` and
/// `engine: advance may depart by`.
pub fn reasons(machine: &Machine, told: &[Told], closest: Option<&Closest>) -> Vec<Figure> {
    let mut all = Vec::new();
    for one in told {
        let run = one.made.as_ref().unwrap_or(&one.drawn);
        for result in &run.results {
            let figure = machine.figure(result, one.made.is_some());
            let name = format!("{}: {}", title(machine, one), figure.name);
            let drawn = one.drawn.results.iter().find(|other| other.asked.name == result.asked.name);
            let why = match drawn.filter(|_| one.made.is_some()) {
                Some(drawn) => figure
                    .why
                    .because(Why::new(format!("as drawn it is {}", drawn.asked.shown.text(drawn.value)))),
                None => figure.why,
            };
            all.push(Figure::new(name, figure.shown, why));
        }
    }
    let rooms = closest.into_iter().flat_map(|closest| &closest.rooms);
    all.extend(rooms.map(|room| {
        let known = &machine.known[room.param];
        let say = |value: f64| known.kind.shown().size(value);
        let hold = machine.holds.iter().find(|hold| hold.result.eq_ignore_ascii_case(&room.bound_by));
        let asked = hold.map_or_else(String::new, |hold| format!(" within {}", hold.text));
        let mut why = Why::new(format!(
            "its share of what keeps {}{asked}, all sizes at their worst together; ± {} where their squares are \
             summed, as when they err independently",
            room.bound_by,
            say(room.likely)
        ))
        .because(Why::new(format!("asked for: {}{asked}", room.bound_by)).source("the mechanism file"));
        let results = told.iter().flat_map(|one| &one.drawn.results);
        let bound = results.into_iter().find(|result| result.asked.name == room.bound_by);
        let weighty = bound.and_then(|result| machine.weighty(result).into_iter().find(|(at, _)| *at == room.param));
        if let Some((_, words)) = weighty {
            why = why.because(Why::new(format!("{words} ({})", room.bound_by)).source("exact derivative"));
        }
        why = why.because(
            Why::new("shares grow with the size as the unit of standard tolerances: 0.45 ∛D + 0.001 D")
                .source("ISO 286-1"),
        );
        let name = format!("{}: {} may depart by", machine.name, known.name);
        Figure::new(name, format!("± {}", say(room.worst)), why.because(known.why_chosen.clone()))
    }));
    all
}

impl Machine {
    /// The same mechanism with every size as it will be made in place of the drawn one, to try
    /// others on; a size that is not chosen yet stays as drawn.
    pub fn as_made(&self) -> Self {
        let mut made = self.clone();
        for (param, known) in made.known.iter_mut().enumerate() {
            if let Some(chosen) = known.chosen {
                known.drawn = chosen;
                known.why_drawn = known.why_chosen.clone();
                made.of.params[param].value = chosen;
            }
        }
        made
    }
}

impl Run {
    /// What is proven of the turn: where it can lock or change over, and where what the
    /// results rest on can turn back.
    pub fn proof(&self) -> Vec<String> {
        let mut asked = Vec::new();
        for measure in self.results.iter().flat_map(|result| result.asked.reading.turning()) {
            if !asked.contains(&measure) {
                asked.push(measure);
            }
        }
        let proven = self.turn.proven(&asked);
        let degrees = |angle: f64| Shown::Degrees.text(angle);
        let span = |[from, to]: &[f64; 2]| format!("{} to {}", degrees(*from), degrees(*to));
        let mut lines = vec![match proven.in_line.as_slice() {
            [] => "nothing locks and no two ways part anywhere on the turn".to_owned(),
            some => {
                let spans = some.iter().map(span).collect::<Vec<_>>().join(", ");
                format!("nothing locks and no two ways part outside of {spans} of the crank")
            }
        }];
        let unseen: Vec<String> = proven.measures.iter().flat_map(|one| &one.unseen).map(span).collect();
        let more = proven.measures.iter().map(|one| one.more).fold(0.0, f64::max);
        lines.push(if unseen.is_empty() {
            format!(
                "what the results rest on turns back nowhere but where it was found to, each place known to {}; \
                 inside it goes no further than {more:.1e} mm or radian",
                degrees(mechanism::proven::NARROW)
            )
        } else {
            format!("something may turn back unseen at {} of the crank", unseen.join(", "))
        });
        lines.push(format!("{} stretches of the turn bounded, rounding outwards", proven.stretches));
        lines
    }
}
