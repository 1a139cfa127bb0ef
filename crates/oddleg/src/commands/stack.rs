//! `stack`: sizes across parts that add up, their worst case, and how often they are good.

use std::path::PathBuf;

use web::Moved;
use workshop::linkage::{Strayed, contributions, strays};
use workshop::problem::{Outcome, Problem};
use workshop::stack::{Draws, Member, State, Told, Which, stacks};
use workshop::why::Figure;

use crate::answer::{Answer, Detail};
use crate::chosen::chosen;
use crate::moved::{SAMPLES, draws, held, moved};
use crate::project::{self, MECHANISM_FILE};

/// Adds up what stands across parts.
#[derive(clap::Args)]
#[command(after_help = "Examples:\n  oddleg stack engine\n  \
                  oddleg stack engine \"end float\" --why\n  \
                  oddleg stack engine \"end float\" --samples 100000")]
pub struct Stack {
    /// The folder of a project
    dir: PathBuf,
    /// One of its stacks, or words of its name; all of them where none is named
    name: Option<String>,
    /// Assemblies to draw
    #[arg(long, default_value_t = SAMPLES, value_name = "HOW MANY")]
    samples: u64,
    /// Which to draw: the same number draws the same assemblies
    #[arg(long, default_value_t = 1)]
    seed: u64,
    /// Tell the whole chain of reasons
    #[arg(long)]
    why: bool,
}

/// The most that are drawn: beyond it chance is no longer what matters.
const MOST_SAMPLES: u64 = 1_000_000_000;

impl Stack {
    /// Adds up every stack that is asked for.
    pub fn run(&self) -> Outcome<Answer> {
        if !self.dir.is_dir() {
            let named = self.dir.display().to_string();
            return Err(vec![
                Problem::new(format!("`{named}` is not the folder of a project"))
                    .at(named)
                    .why("a stack adds up sizes of several parts")
                    .mend("name the folder that `bench.toml` and `parts` stand in"),
            ]);
        }
        if !(1..=MOST_SAMPLES).contains(&self.samples) {
            return Err(vec![
                Problem::new(format!("{} is not how many assemblies can be drawn", self.samples))
                    .at("--samples")
                    .mend(format!("write a number from 1 to {MOST_SAMPLES}")),
            ]);
        }
        let assembly =
            project::files(&self.dir).and_then(|files| project::assembly_of(&files)).ok().flatten();
        let chosen = chosen(&self.dir)?;
        let held = held(&chosen);
        let draws = Draws { seed: self.seed, ..draws(self.samples) };
        let (told, mut problems) = stacks(&held, assembly.as_ref(), draws);
        let mut results = Vec::new();
        let file = self.dir.join(MECHANISM_FILE);
        if file.is_file() {
            let text = project::read_text(&file).map_err(|fault| vec![fault])?;
            let motion = moved(&text, &held);
            problems.extend(motion.problems);
            for Moved { machine, told, .. } in &motion.machines {
                let (strayed, faults) = strays(machine, told, &held, draws);
                results.extend(strayed);
                problems.extend(faults);
            }
        }
        problems.extend(chosen.problems);
        let wanted: Vec<&Told> = told.iter().filter(|told| self.wants(&told.name)).collect();
        let results: Vec<&Strayed> = results.iter().filter(|strayed| self.wants(&strayed.name)).collect();
        if wanted.is_empty() && results.is_empty() {
            problems.push(self.none(&told));
            return Err(problems);
        }
        let title = format!("what adds up in {}", self.dir.display());
        let answer = Answer::new(title).detail(Detail::asked(self.why));
        let answer = wanted.into_iter().fold(answer, shown);
        Ok(results.into_iter().fold(answer, strayed_shown).problems(problems))
    }

    fn wants(&self, told: &str) -> bool {
        let Some(name) = &self.name else { return true };
        let held = told.to_lowercase();
        name.to_lowercase().split_whitespace().all(|word| held.contains(word))
    }

    fn none(&self, told: &[Told]) -> Problem {
        let names: Vec<String> = told.iter().map(|told| format!("`{}`", told.name)).collect();
        match (&self.name, names.as_slice()) {
            (Some(name), [_, ..]) => Problem::new(format!("no stack is called `{name}`"))
                .at(self.dir.display().to_string())
                .mend(format!("name one of {}", names.join(", "))),
            _ => Problem::new("nothing is said that adds up")
                .at(self.dir.display().to_string())
                .mend("add a `[[stack]]` to `assembly.toml`, or a `[[chain]]` to a part file"),
        }
    }
}

const COLUMNS: &[&str] = &[
    "size or play",
    "times",
    "from mm",
    "to mm",
    "lies",
    "± of the worst case, mm",
    "of the worst",
    "of the spread",
];

fn shown(answer: Answer, told: &Told) -> Answer {
    let answer = answer.lines(
        format!("{} ({})", told.name, told.place),
        [vec![told.sum.clone()], told.open.iter().cloned().collect()].concat(),
    );
    told.states.iter().fold(answer, |answer, state| {
        let heading = format!("{}, {}", told.name, state.which.words());
        let answer = answer.figures(heading.clone(), state.figures.clone());
        let from = if state.which == Which::Drawn { "as drawn" } else { "as it will be made" };
        answer.table(format!("{}: who contributes, {from}", told.name), COLUMNS, rows(state))
    })
}

const RESULT_COLUMNS: &[&str] =
    &["size or play", "from", "to", "lies", "± of the worst case", "of the worst", "of the spread"];

/// How a result of a mechanism strays.
fn strayed_shown(answer: Answer, strayed: &Strayed) -> Answer {
    let words = strayed.which.words();
    let heading = format!("{}, {words}", strayed.name);
    let figures =
        strayed.figures.iter().map(|figure| Figure { name: figure.label().to_owned(), ..figure.clone() });
    let answer = answer.figures(heading.clone(), figures.collect());
    let answer = match strayed.exact.as_slice() {
        [] => answer,
        exact => answer.lines(format!("{heading}: taken as exact"), vec![exact.join(", ")]),
    };
    answer.table(format!("{heading}: who contributes"), RESULT_COLUMNS, contributions(strayed))
}

/// Sizes and plays, those that contribute most first.
fn rows(state: &State) -> Vec<Vec<String>> {
    let half: f64 = state.members.iter().map(|member| member.worst_mm).sum();
    let share = |of: f64| format!("{:.1} %", 100.0 * of);
    let row = |member: &Member| {
        vec![
            member.name.clone(),
            member.times.to_string(),
            member.lower.decimals(3),
            member.upper.decimals(3),
            member.lies.to_owned(),
            format!("{:.4}", member.worst_mm),
            share(if half > 0.0 { member.worst_mm / half } else { 0.0 }),
            share(member.share),
        ]
    };
    state.members.iter().map(row).collect()
}
