//! `order`: what to make and fit in which order, and the order of each part, setup by setup.

use std::path::PathBuf;

use workshop::plan::sheet::Cover;
use workshop::problem::Outcome;
use workshop::sheet::{MakeList, ReadyState};

use crate::answer::Answer;
use crate::chosen::plans;

/// Plans the order of work.
#[derive(clap::Args)]
#[command(after_help = "Example:\n  oddleg order engine")]
pub struct Order {
    /// The folder of a project, or a part file
    path: PathBuf,
}

impl Order {
    /// Plans every part.
    pub fn run(&self) -> Outcome<Answer> {
        let planned = plans(&self.path)?;
        let answer = Answer::new(format!("order of work for {}", self.path.display()))
            .lines("other parts of the project", planned.besides);
        let answer = planned.make_list.iter().fold(answer, make_list);
        let parts = planned.plans.iter();
        Ok(parts
            .fold(answer, |answer, (file, plan)| part(answer, &file.display().to_string(), &plan.cover))
            .problems(planned.problems))
    }
}

/// What stands at the head of the columns of a make list.
const COLUMNS: &[&str] = &["no.", "what", "where", "with", "min", "why here"];

fn make_list(answer: Answer, list: &MakeList) -> Answer {
    let rows = list.rows.iter().map(|row| {
        let cells = [&row.number.to_string(), &row.what, &row.place, &row.with, &row.minutes.to_string()];
        cells.into_iter().cloned().chain([row.reason()]).collect()
    });
    let ready = list.ready.iter().map(|ready| match ready.state {
        ReadyState::Buy => format!("{} (to buy)", ready.what),
        ReadyState::Owned | ReadyState::Make => ready.what.clone(),
    });
    let traps = list.traps.iter().map(|trap| format!("{}: {}", trap.early, trap.lost));
    let unplanned = list.unplanned.iter().map(|problem| problem.what().to_owned());
    answer
        .lines("make list: have ready", ready.collect())
        .table(format!("make list: about {} min in all", list.minutes), COLUMNS, rows.collect())
        .lines("make list: not to be done early, and what would be lost", traps.collect())
        .lines("make list: left for assembly", list.left.clone())
        .lines("make list: not planned yet", unplanned.collect())
        .lines("make list: cautions", list.cautions.clone())
        .lines("make list: how sure", list.proofs.clone())
        .lines("make list: assumed", list.assumed.clone())
}

fn part(answer: Answer, file: &str, cover: &Cover) -> Answer {
    let name = &cover.part;
    let mut answer = answer.lines(format!("{name} ({file})"), vec![cover.wanted.clone()]);
    for line in &cover.order {
        let heading = format!("{name}: setup {}, about {} min: {}", line.setup, line.minutes, line.title);
        answer = answer.lines(heading, line.steps.clone());
    }
    let traps = cover.traps.iter().map(|trap| format!("{}: {}", trap.early, trap.lost));
    answer
        .lines(format!("{name}: not to be done early, and what would be lost"), traps.collect())
        .lines(format!("{name}: left for assembly"), cover.left.clone())
        .lines(format!("{name}: cautions"), cover.cautions.clone())
        .lines(format!("{name}: how sure"), cover.proofs.clone())
        .lines(format!("{name}: assumed"), cover.assumed.clone())
}
