//! `why`: the chain of reasons behind one number.

use std::path::PathBuf;

use workshop::plan::{Plan, cutting_list};
use workshop::problem::{Outcome, Problem};
use workshop::why::Figure;

use crate::answer::{Answer, Detail};
use crate::chosen::{chosen, plans_of};
use crate::moved;

/// Asks why.
#[derive(clap::Args)]
#[command(after_help = "Examples:\n  oddleg why engine/parts/latch-arm.toml \"pivot bore: diameter\"\n  \
                  oddleg why engine \"setup 4, 1: speed\"\n  \
                  oddleg why engine/parts/latch-arm.toml \"ream pivot bore\"")]
pub struct Why {
    /// The folder of a project, or a part file
    path: PathBuf,
    /// The number: its name on a sheet or in the list of dimensions, or words of it; or
    /// a step of the order of work; or a size of the cutting list; or a row of the make list, or one `before` another; or a
    /// figure of a stack or a result of a mechanism, such as `engine: lead, head end`
    name: String,
}

/// How many names are offered where several might be meant.
const MOST_OFFERED: usize = 12;

impl Why {
    /// Finds the number and tells its chain.
    pub fn run(&self) -> Outcome<Answer> {
        let chosen = chosen(&self.path)?;
        // Names of stacks and mechanisms are those of a whole project; they are known without
        // drawing anything.
        let besides = match self.path.is_dir() {
            true => moved::figures(&self.path, &chosen, 1),
            false => Vec::new(),
        };
        let wanted = self.name.trim().to_lowercase();
        let holds = |name: &str| wanted.split_whitespace().all(|word| name.to_lowercase().contains(word));
        let answered = |at: usize| {
            let mut figures = moved::figures(&self.path, &chosen, moved::SAMPLES);
            Answer::new(format!("why: {}", self.name))
                .detail(Detail::Chains)
                .figures("the project", vec![figures.swap_remove(at)])
        };
        if let Some(at) = besides.iter().position(|figure| figure.name.to_lowercase() == wanted) {
            return Ok(answered(at).problems(chosen.problems.clone()));
        }
        let near: Vec<usize> = (0..besides.len()).filter(|&at| holds(&besides[at].name)).collect();
        let planned = plans_of(&chosen)?;
        let plans: Vec<Plan> = planned.plans.into_iter().map(|(_, plan)| plan).collect();
        let mut answer = Answer::new(format!("why: {}", self.name))
            .detail(Detail::Chains)
            .lines("other parts of the project", planned.besides);
        let mut offered = Vec::new();
        let mut found = false;
        for plan in &plans {
            match plan.figure(&self.name) {
                Ok(figure) => {
                    found = true;
                    answer = answer.figures(plan.part.clone(), vec![figure.clone()]);
                }
                Err(near) if near.is_empty() => match plan.step(&self.name) {
                    Ok(figure) => {
                        found = true;
                        answer = answer.figures(plan.part.clone(), vec![figure]);
                    }
                    Err(near) => {
                        offered.extend(near.into_iter().map(|name| format!("{}: {name}", plan.part)));
                    }
                },
                Err(near) => offered.extend(near.into_iter().map(|name| format!("{}: {name}", plan.part))),
            }
        }
        if !found {
            let designed = planned.make_list.iter().flat_map(|list| &list.aids);
            let list = cutting_list(plans.iter(), designed, &planned.bench);
            let sawn = list.rows().flat_map(|row| [&row.size, &row.weight]).chain(&list.weight);
            let mut own: Vec<Figure> = sawn.filter(|figure| holds(&figure.name)).cloned().collect();
            if let Some(at) = own.iter().position(|figure| figure.name.to_lowercase() == wanted) {
                own = vec![own.swap_remove(at)];
            }
            match own.len() {
                0 => {}
                1 => {
                    found = true;
                    answer = answer.figures("Cutting list", own);
                }
                _ => offered.extend(own.into_iter().map(|figure| format!("Cutting list: {}", figure.name))),
            }
        }
        if let Some(list) = &planned.make_list
            && !found
        {
            let name = self.name.to_lowercase();
            let sizes = || list.aids.iter().flat_map(|aid| &aid.sizes);
            let mut own: Vec<Figure> = sizes().filter(|f| f.name.to_lowercase() == name).cloned().collect();
            if own.is_empty() {
                let holds =
                    |f: &&Figure| name.split_whitespace().all(|word| f.name.to_lowercase().contains(word));
                own = sizes().filter(holds).cloned().collect();
            }
            if own.len() > 1 {
                offered.extend(own.drain(..).map(|figure| format!("Make list: {}", figure.name)));
            }
            found = !own.is_empty();
            if found {
                answer = answer.figures("Make list", own);
            } else {
                match list.reason_for(&self.name) {
                    Ok(figure) => {
                        found = true;
                        answer = answer.figures("Make list", vec![figure]);
                    }
                    Err(near) => {
                        offered.extend(near.into_iter().map(|name| format!("Make list: {name}")));
                    }
                }
            }
        }
        if found {
            return Ok(answer.problems(planned.problems));
        }
        // Where a number of a part holds the same words, that is meant.
        if let [one] = near.as_slice()
            && offered.is_empty()
        {
            return Ok(answered(*one).problems(planned.problems));
        }
        offered.extend(near.into_iter().map(|at| format!("the project: {}", besides[at].name)));
        let mut problems = vec![self.not_found(&plans, offered)];
        problems.extend(planned.problems);
        Err(problems)
    }

    fn not_found(&self, plans: &[Plan], near: Vec<String>) -> Problem {
        let asked = Problem::new(format!("no one number is called `{}`", self.name))
            .at(self.path.display().to_string());
        if near.is_empty() {
            let some =
                plans.iter().flat_map(|plan| plan.figures.iter().take(3)).map(|f| format!("`{}`", f.name));
            let some = some.collect::<Vec<_>>().join(", ");
            return asked
                .why("no name on the sheets holds those words")
                .mend(format!("name a number as the sheets do, such as {some}"));
        }
        let count = near.len();
        let listed = near.into_iter().take(MOST_OFFERED).map(|name| format!("`{name}`")).collect::<Vec<_>>();
        asked
            .why(format!("{count} names hold those words"))
            .mend(format!("say more of the name; it may be {}", listed.join(", ")))
    }
}
