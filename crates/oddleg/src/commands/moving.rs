//! What `motion` tells beyond strokes and events: sizes for several wishes, shapes that clear each
//! other, results at their worst, tolerances held against what a mechanism needs.

use workshop::linkage::{Cleared, Closest, Designed, Machine, Shown, Told, loosened, spared};
use workshop::problem::Problem;
use workshop::stack::Held;

use crate::answer::Answer;

/// What several wishes came to.
pub(super) fn wishes(answer: Answer, name: &str, found: &Designed) -> Answer {
    let rows = found.wishes.iter().map(|(result, want, is, off, met)| {
        vec![
            result.clone(),
            want.clone(),
            is.clone(),
            off.clone(),
            if *met { "yes" } else { "no" }.to_owned(),
        ]
    });
    answer
        .table(
            format!("{name}: what is wished"),
            &["result", "wished", "comes to", "off by", "near enough"],
            rows.collect(),
        )
        .table(
            format!("{name}: by these sizes"),
            &["size", "was", "is", "may be"],
            found.sizes.iter().map(|row| row.to_vec()).collect(),
        )
        .lines(format!("{name}: of what is wished"), found.notes.clone())
}

/// Arms from one pin of a link to the next: what a return arm is made to.
pub(super) fn arms(answer: Answer, machine: &Machine, title: &str, told: &Told) -> Answer {
    let run = told.made.as_ref().unwrap_or(&told.drawn);
    let rows = machine.arms(run).into_iter().map(|arm| {
        let [link, first, second] = arm.names;
        vec![
            format!("{link}: {first} to {second}"),
            Shown::Mm.text(arm.length),
            Shown::Degrees.text(arm.angle),
            Shown::Degrees.text(arm.apart),
        ]
    });
    let columns = &["from pin to pin", "long", "at the first, to its centre", "at the centre"];
    answer.table(format!("{title}: arms"), columns, rows.collect())
}

/// How near shapes come.
pub(super) fn clear(mut answer: Answer, machine: &Machine, title: &str, told: &Told) -> Answer {
    let cleared = match machine.clearances(told) {
        Ok(cleared) => cleared,
        Err(fault) => return answer.problems(vec![fault]),
    };
    let rows = cleared.iter().map(|one| {
        vec![
            one.between.join(" and "),
            Cleared::words(&one.drawn),
            one.made.as_ref().map_or_else(|| "not chosen yet".to_owned(), Cleared::words),
            one.least.map_or_else(String::new, |least| format!("{least:.3} mm")),
        ]
    });
    answer = answer.table(
        format!("{title}: how near they come"),
        &["shapes", "as drawn", "as it will be made", "at least wanted"],
        rows.collect(),
    );
    answer.lines(format!("{title}: of what clears"), cleared.into_iter().flat_map(|one| one.notes).collect())
}

/// Every result with all sizes at their worst.
pub(super) fn worst(answer: Answer, machine: &Machine, title: &str, told: &Told) -> Answer {
    let (all, exact) = machine.at_worst(told);
    let rows = all.iter().map(|one| {
        let [least, most] = match &one.ends {
            Ok(ends) => ends.map(|value| one.shown.text(value)),
            Err(why) => [format!("none: {why}"), String::new()],
        };
        vec![one.name.clone(), one.shown.text(one.value), least, most]
    });
    let exact = if exact.is_empty() {
        Vec::new()
    } else {
        vec![format!("taken as exact, since nothing says how far they may go: {}", exact.join(", "))]
    };
    answer
        .table(
            format!("{title}: with every size at its worst"),
            &["result", "is", "least", "most"],
            rows.collect(),
        )
        .lines(format!("{title}: of the worst"), exact)
}

/// Tolerances that are looser, or much closer, than the mechanism needs.
pub(super) fn tolerances(
    answer: Answer,
    machine: &Machine,
    close: Option<&Closest>,
    parts: &[Held],
) -> Answer {
    answer.lines(format!("{}: cautions", machine.name), loosened(machine, parts)).lines(
        format!("{}: closer than it needs", machine.name),
        close.map_or_else(Vec::new, |close| spared(machine, close, parts)),
    )
}

/// What several wishes come to, from the command or else from the file.
pub(super) fn wished(machine: &Machine, want: &[String], by: &[String]) -> Result<Option<Designed>, Problem> {
    if want.is_empty() && (machine.wants.is_empty() || machine.frees.is_empty()) {
        return Ok(None);
    }
    let (want, by) = if want.is_empty() { (&machine.wants[..], &machine.frees[..]) } else { (want, by) };
    machine.designed(want, by).map(Some)
}
