//! `motion`: what a mechanism of the project does, as drawn and as it will be made.

use std::path::{Path, PathBuf};

use workshop::drawing::Drawing;
use workshop::linkage::{Kind, Machine, Run, Shown, Told, closest, read_mechanisms, title};
use workshop::problem::{Outcome, Problem};
use workshop::stack::Held;

use super::moving;
use crate::answer::{Answer, Detail};
use crate::chosen::{ChosenPart, chosen};
use crate::project::{self, MECHANISM_FILE};

/// Follows mechanisms round.
#[derive(clap::Args)]
#[command(after_help = "Examples:\n  oddleg motion engine\n  \
                  oddleg motion engine \"slide valve\" --why\n  \
                  oddleg motion engine \"slide valve\" --set \"lap = 3 mm\"\n  \
                  oddleg motion engine \"slide valve\" --want \"lead, head end = 0.3 mm\" --by advance")]
pub struct Motion {
    /// The folder of a project, or a file of mechanisms
    path: PathBuf,
    /// One of its mechanisms, or words of its name; all of them where none is named
    name: Option<String>,
    /// Try another value of a size: `advance = 35°`
    #[arg(long, value_name = "SIZE = VALUE")]
    set: Vec<String>,
    /// Find the size that gives a result: `cut-off, head end = 75 %`; several at once may be wished,
    /// each with how near counts: `lead, head end = 0.3 mm within 0.02 mm`
    #[arg(long, value_name = "RESULT = VALUE", requires = "by")]
    want: Vec<String>,
    /// … by this size, or several, each within its bounds: `advance from 20° to 45°`
    #[arg(long, value_name = "SIZE", requires = "want")]
    by: Vec<String>,
    /// Prove that nothing hides between the positions followed: no lock, no turning point
    #[arg(long)]
    prove: bool,
    /// Tell what results come to with every size at its worst
    #[arg(long)]
    worst: bool,
    /// Tell the whole chain of reasons
    #[arg(long)]
    why: bool,
}

impl Motion {
    /// Follows every mechanism that is asked for.
    pub fn run(&self) -> Outcome<Answer> {
        let file = if self.path.is_dir() { self.path.join(MECHANISM_FILE) } else { self.path.clone() };
        let text = project::read_text(&file).map_err(|fault| {
            vec![fault.why("the mechanisms of a project stand in a file of their own").mend(format!(
                "write `{MECHANISM_FILE}` beside `bench.toml`; its words are in docs/mechanism-file.md"
            ))]
        })?;
        let (parts, mut problems) = self.parts(&file)?;
        let held: Vec<Held> = parts
            .iter()
            .map(|(drawing, part)| Held { drawing, metric: part.as_ref().map(|p| &p.metric) })
            .collect();
        let shown = file.file_name().map_or_else(String::new, |name| name.to_string_lossy().into_owned());
        let (machines, faults) = read_mechanisms(&shown, &text, &held);
        problems.extend(faults);
        let wanted: Vec<&Machine> = machines.iter().filter(|machine| self.wants(machine)).collect();
        if wanted.is_empty() {
            if !machines.is_empty() {
                let names: Vec<String> =
                    machines.iter().map(|machine| format!("`{}`", machine.name)).collect();
                let asked = self.name.as_deref().unwrap_or_default();
                problems.push(
                    Problem::new(format!("no mechanism is called `{asked}`"))
                        .at(shown)
                        .mend(format!("name one of {}", names.join(", "))),
                );
            }
            return Err(problems);
        }
        let mut answer =
            Answer::new(format!("how it moves: {}", self.path.display())).detail(Detail::asked(self.why));
        let mut any = false;
        for machine in wanted {
            match self.one(machine, &held, answer.clone()) {
                Ok(more) => {
                    answer = more;
                    any = true;
                }
                Err(faults) => problems.extend(faults),
            }
        }
        if any { Ok(answer.problems(problems)) } else { Err(problems) }
    }

    fn wants(&self, machine: &Machine) -> bool {
        let Some(name) = &self.name else { return true };
        let held = machine.name.to_lowercase();
        name.to_lowercase().split_whitespace().all(|word| held.contains(word))
    }

    /// The parts of the project that a file of mechanisms belongs to, each with its sizes
    /// where it has them.
    #[allow(clippy::type_complexity, reason = "a drawing, and its sizes where there are any")]
    fn parts(&self, file: &Path) -> Outcome<(Vec<(Drawing, Option<ChosenPart>)>, Vec<Problem>)> {
        let folder = match file.parent() {
            Some(folder) if !folder.as_os_str().is_empty() => folder,
            _ => Path::new("."),
        };
        if !folder.join(project::PARTS_FOLDER).is_dir() {
            return Ok((Vec::new(), Vec::new()));
        }
        let chosen = chosen(folder)?;
        let drawings: Vec<Drawing> = match chosen.whole {
            Some((_, drawings)) => drawings,
            None => chosen.parts.iter().map(|part| part.drawing.clone()).collect(),
        };
        let mut sized = chosen.parts;
        let found = drawings.into_iter().map(|drawing| {
            let at = sized.iter().position(|part| part.drawing.file == drawing.file);
            (drawing, at.map(|at| sized.swap_remove(at)))
        });
        Ok((found.collect(), chosen.problems))
    }

    fn one(&self, machine: &Machine, held: &[Held], answer: Answer) -> Outcome<Answer> {
        let mut machine = machine.clone();
        for set in &self.set {
            machine = machine.with(set).map_err(|fault| vec![fault.at("--set")])?;
        }
        let mut answer = answer;
        match (self.want.as_slice(), self.by.as_slice()) {
            ([want], [by]) if !by.contains(" from ") && !want.contains(" within ") => {
                let (found, value) = machine.wanted(want, by).map_err(|fault| vec![fault.at("--want")])?;
                answer =
                    answer.lines(format!("{}: found", machine.name), vec![format!("{want}: {by} = {value}")]);
                machine = found;
            }
            (want, by) => {
                let at = if want.is_empty() { "`want` and `free` of the mechanism file" } else { "--want" };
                let found = moving::wished(&machine, want, by).map_err(|fault| vec![fault.at(at)])?;
                if let Some(found) = found {
                    answer = moving::wishes(answer, &machine.name, &found);
                    // What the file only wishes for is not what its parts have.
                    if !want.is_empty() {
                        machine = found.machine;
                    }
                }
            }
        }
        let told = machine.told()?;
        for (n, one) in told.iter().enumerate() {
            let title = title(&machine, one);
            answer = setting(answer, &machine, &title, one, n == 0, self.why);
            if self.prove {
                let run = one.made.as_ref().unwrap_or(&one.drawn);
                answer = answer.lines(format!("{title}: proven"), run.proof());
            }
            if n == 0 {
                answer = moving::arms(answer, &machine, &title, one);
            }
            answer = moving::clear(answer, &machine, &title, one);
            if self.worst {
                answer = moving::worst(answer, &machine, &title, one);
            }
        }
        match closest(&machine, &told, held) {
            Ok(Some(close)) => {
                answer = moving::tolerances(answer, &machine, Some(&close), held);
                let known = |param: usize| &machine.known[param];
                let say = |param: usize, room: f64| match known(param).kind {
                    Kind::Length => format!("± {room:.4} mm"),
                    Kind::Angle => format!("± {:.3}°", room.to_degrees()),
                };
                let rows = close.rooms.iter().map(|room| {
                    let name = known(room.param).name.clone();
                    vec![
                        name,
                        say(room.param, room.worst),
                        say(room.param, room.likely),
                        room.bound_by.clone(),
                    ]
                });
                let heading =
                    format!("{}: what sizes may depart by, so that {}", machine.name, close.asked.join("; "));
                answer = answer
                    .table(heading, &["size", "all at their worst", "squares summed", "bounded by"], rows.collect())
                    .lines(
                        format!("{}: how these are found", machine.name),
                        vec![
                        "the widest shares that keep every result; what one leaves free is shared out again".into(),
                            "a share grows with its size as the unit of ISO 286-1: 0.45 ∛D + 0.001 D"
                                .into(),
                        ],
                    );
            }
            Ok(None) => {}
            Err(fault) => answer = answer.problems(vec![fault]),
        }
        Ok(answer)
    }
}

fn setting(answer: Answer, machine: &Machine, title: &str, told: &Told, first: bool, why: bool) -> Answer {
    let value = |run: Option<&Run>, name: &str| {
        let found = run.and_then(|run| run.results.iter().find(|result| result.asked.name == name));
        found.map_or_else(|| "none".to_owned(), |result| result.asked.shown.text(result.value))
    };
    let mut rows = Vec::new();
    for result in &told.drawn.results {
        let name = &result.asked.name;
        let most = machine.weighty(result).into_iter().next();
        let most =
            most.map_or_else(String::new, |(at, words)| format!("{}: {words}", machine.known[at].name));
        let mut row =
            vec![name.clone(), value(Some(&told.drawn), name), value(told.made.as_ref(), name), most];
        if told.measured.is_some() {
            row.insert(2, value(told.measured.as_ref(), name));
        }
        rows.push(row);
    }
    let columns: &'static [&'static str] = match told.measured {
        Some(_) => {
            &["result", "as drawn", "as drawn, with what is measured", "as it will be made", "hangs on most"]
        }
        None => &["result", "as drawn", "as it will be made", "hangs on most"],
    };
    let run = told.made.as_ref().unwrap_or(&told.drawn);
    let sizes = machine.known.iter().enumerate().map(|(at, known)| {
        let say = |value: f64| match known.kind {
            Kind::Length => Shown::Mm.text(value),
            Kind::Angle => Shown::Degrees.text(value),
        };
        let made = told.made.as_ref().map_or_else(|| "not chosen yet".into(), |run| say(run.values[at]));
        vec![known.name.clone(), say(told.drawn.values[at]), made]
    });
    let sizes: Vec<Vec<String>> = sizes.collect();
    let reasons = |result| machine.figure(result, told.made.is_some());
    let figures = if why { run.results.iter().map(reasons).collect() } else { Vec::new() };
    let mut notes = run.notes.clone();
    notes.extend(told.open.iter().cloned());
    let settled: Vec<Vec<String>> = if first { sizes } else { Vec::new() };
    answer
        .table(title, columns, rows)
        .figures(format!("{title}: on what each rests"), figures)
        .table(format!("{title}: sizes"), &["size", "as drawn", "as it will be made"], settled)
        .lines(format!("{title}: to know"), notes)
}

#[cfg(test)]
mod tests {
    use std::fs;
    use std::path::Path;

    use crate::commands::answer_to;

    /// Every example goes together, goes round and says something; none has a problem.
    #[test]
    fn every_example_goes_round() {
        let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../examples/mechanisms");
        let mut seen = 0;
        for entry in fs::read_dir(folder).expect("the examples are there") {
            let path = entry.expect("the folder can be read").path();
            let answer = answer_to(&["motion", &path.display().to_string()])
                .unwrap_or_else(|f| panic!("{path:?}: {f:#?}"));
            assert!(answer.problems.is_empty() && answer.sections.len() >= 2, "{path:?}");
            seen += 1;
        }
        assert_eq!(seen, 7);
    }

    /// Two wishes by two sizes, and the corners of the tolerances; the sections stand in the answer.
    #[test]
    fn several_wishes_and_the_worst_are_told() {
        let example =
            Path::new(env!("CARGO_MANIFEST_DIR")).join("../../examples/mechanisms/slide-valve-engine.toml");
        let example = example.display().to_string();
        let asked = [
            "motion",
            &example,
            "--want",
            "lead, head end = 0.3 mm",
            "--want",
            "cut-off, head end = 80 %",
            "--by",
            "advance",
            "--by",
            "lap from 1 mm to 4 mm",
            "--worst",
        ];
        let answer = answer_to(&asked).unwrap();
        let headings: Vec<&str> = answer.sections.iter().map(|section| section.heading.as_str()).collect();
        for wanted in ["what is wished", "by these sizes", "with every size at its worst", "arms"] {
            assert!(headings.iter().any(|heading| heading.contains(wanted)), "{wanted}: {headings:?}");
        }
    }

    #[test]
    fn what_is_asked_wrongly_is_told() {
        let example = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../examples/mechanisms/four-bar.toml");
        let example = example.display().to_string();
        for (more, word) in [
            (["--set", "rocer = 70 mm"], "did you mean `rocker`"),
            (["--set", "rocker"], "rocker"),
            (["--set", "rocker = 9 mm"], "mend"),
            (["crank", "--why"], "four-bar"),
        ] {
            let faults = answer_to(&["motion", &example, more[0], more[1]]).expect_err(more[1]);
            assert!(faults.iter().any(|fault| fault.to_string().contains(word)), "{more:?}: {faults:#?}");
        }
    }
}
