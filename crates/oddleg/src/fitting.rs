//! How the parts of a project go together, for commands and pages alike.

use workshop::assembly::{Assembly, Fitting, leave, resolve, tie};
use workshop::drawing::{Drawing, Solved};
use workshop::plan::Plan;
use workshop::problem::{Outcome, Problem};

/// Finds everything that is said of fitting among the parts that can be read, and tells each part
/// what of it is left for assembly and what is made in one go with others. The drawings come with
/// their places, where they have any.
///
/// # Errors
///
/// Why the assembly file cannot be read, or every name in it that leads nowhere; nothing is then
/// left for assembly.
pub fn fitted(
    said: Outcome<Option<Assembly>>,
    drawings: &mut [Drawing],
    solved: &[Option<&Solved>],
    unread: &[String],
) -> Outcome<Fitting> {
    let said = said?;
    let parts: Vec<&Drawing> = drawings.iter().collect();
    let fitting = resolve(said.as_ref(), &parts, unread)?;
    leave(&fitting, drawings);
    tie(&fitting, drawings, solved);
    Ok(fitting)
}

/// Says on the cover of a part that its order knows nothing of assembly, where what is said of
/// that is faulty: nothing is taken for left to it that may be.
pub fn warn(plan: &mut Plan, faults: &[Problem]) {
    let Some(fault) = faults.first() else { return };
    let more = match faults.len() - 1 {
        0 => String::new(),
        more => format!(" (and {more} more)"),
    };
    plan.cover.cautions.insert(
        0,
        format!(
            "What is left for assembly is not known, and may be cut here by mistake: {}, {}{more}. Mend that first.",
            fault.place(),
            fault.what()
        ),
    );
}
