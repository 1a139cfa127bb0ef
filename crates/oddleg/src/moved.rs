//! Mechanisms and stacks of a project with everything that is told of them, for the commands
//! and pages that ask.

use std::num::NonZeroUsize;
use std::path::Path;

use web::{Motion, Moved};
use workshop::drawing::Drawing;
use workshop::linkage::{closest, read_mechanisms, reasons, strays};
use workshop::stack::{Draws, Held, stacks};
use workshop::why::{Figure, Why};

use crate::chosen::Chosen;
use crate::project::{self, MECHANISM_FILE};

/// Every part that can be read, with its sizes where it has them.
pub fn held(chosen: &Chosen) -> Vec<Held<'_>> {
    let drawings: Vec<&Drawing> = match &chosen.whole {
        Some((_, drawings)) => drawings.iter().collect(),
        None => chosen.parts.iter().map(|part| &part.drawing).collect(),
    };
    let one = |drawing| {
        let drawing: &Drawing = drawing;
        let own = chosen.parts.iter().find(|part| part.drawing.file == drawing.file);
        Held { drawing, metric: own.map(|part| &part.metric) }
    };
    drawings.into_iter().map(one).collect()
}

/// The mechanisms that a text describes, followed round.
pub fn moved(text: &str, held: &[Held]) -> Motion {
    let (machines, mut problems) = read_mechanisms(MECHANISM_FILE, text, held);
    let mut moved = Vec::new();
    for machine in machines {
        let told = match machine.told() {
            Ok(told) => told,
            Err(faults) => {
                problems.extend(faults);
                continue;
            }
        };
        let closest = closest(&machine, &told, held).unwrap_or_else(|fault| {
            problems.push(fault);
            None
        });
        moved.push(Moved { machine, told, closest });
    }
    Motion { machines: moved, problems }
}

/// As many as `oddleg stack` draws where nobody says, of the same seed: the figures agree.
pub fn draws(samples: u64) -> Draws {
    let threads = std::thread::available_parallelism().unwrap_or(NonZeroUsize::MIN);
    Draws { samples, seed: 1, threads }
}

/// Assemblies drawn where nobody says how many.
pub const SAMPLES: u64 = 1_000_000;

/// Every figure of the stacks and mechanisms of a project folder, by a name that it can be
/// asked for. What is wrong with them is told by `oddleg stack` and `oddleg motion`.
pub fn figures(folder: &Path, chosen: &Chosen, samples: u64) -> Vec<Figure> {
    let held = held(chosen);
    let assembly = project::files(folder).and_then(|files| project::assembly_of(&files)).ok().flatten();
    let mut all = Vec::new();
    let (told, _) = stacks(&held, assembly.as_ref(), draws(samples));
    for one in &told {
        for state in &one.states {
            let named = |name: &str| format!("{}, {}: {name}", one.name, state.which.words());
            all.extend(
                state.figures.iter().map(|figure| Figure { name: named(&figure.name), ..figure.clone() }),
            );
            all.extend(state.members.iter().map(|member| {
                let shown = format!("{} to {} mm", member.lower.decimals(3), member.upper.decimals(3));
                let lies = Why::new(format!("it lies {} between them", member.lies));
                let lies = member.supposed.iter().cloned().fold(lies, Why::because);
                let why = member.why.clone().because(lies);
                Figure::new(named(&format!("limits of {}", member.name)), shown, why)
            }));
        }
    }
    let Ok(text) = project::read_text(&folder.join(MECHANISM_FILE)) else { return all };
    for Moved { machine, told, closest } in &moved(&text, &held).machines {
        all.extend(reasons(machine, told, closest.as_ref()));
        for strayed in strays(machine, told, &held, draws(samples)).0 {
            let words = strayed.which.words();
            all.extend(strayed.figures.into_iter().map(|figure| match figure.name.rsplit_once(": ") {
                Some((of, what)) => Figure { name: format!("{of}, {words}: {what}"), ..figure },
                None => figure,
            }));
        }
    }
    all
}
