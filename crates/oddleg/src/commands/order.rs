//! `order`: the order to make each part in, setup by setup.

use std::path::PathBuf;

use workshop::plan::sheet::Cover;
use workshop::problem::Outcome;

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
        let parts = planned.plans.iter();
        Ok(parts
            .fold(answer, |answer, (file, plan)| part(answer, &file.display().to_string(), &plan.cover))
            .problems(planned.problems))
    }
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
        .lines(format!("{name}: cautions"), cover.cautions.clone())
        .lines(format!("{name}: how sure"), cover.proofs.clone())
        .lines(format!("{name}: assumed"), cover.assumed.clone())
}
