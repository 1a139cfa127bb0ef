//! `order`: what to make and fit in which order; the order of each part, setup by setup,
//! and what may stand elsewhere.

use std::path::PathBuf;

use workshop::order::{May, OrderOfWork};
use workshop::plan::{Plan, order_with, plan_of};
use workshop::problem::{Outcome, Problem};
use workshop::sheet::{MakeList, ReadyState};

use crate::answer::Answer;
use crate::chosen::{ChosenPart, chosen, plans};

/// Plans the order of work.
#[derive(clap::Args)]
#[command(after_help = "Examples:\n  oddleg order engine\n  \
                  oddleg order engine/parts/latch-arm.toml --move \"drill spring hole\" --before \"ream pivot bore\"\n  \
                  oddleg order engine/parts/latch-arm.toml --change \"tap nose hole\" --with \"drill nose hole\"")]
pub struct Order {
    /// The folder of a project, or a part file
    path: PathBuf,
    /// Ask whether this step may stand elsewhere: its line or its number in the order
    #[arg(long = "move", value_name = "STEP")]
    moved: Option<String>,
    /// … before this one
    #[arg(long, value_name = "STEP", requires = "moved", conflicts_with = "after")]
    before: Option<String>,
    /// … after this one
    #[arg(long, value_name = "STEP", requires = "moved")]
    after: Option<String>,
    /// Ask whether this step may change places with another
    #[arg(long, value_name = "STEP", requires = "with", conflicts_with = "moved")]
    change: Option<String>,
    /// … with this one
    #[arg(long, value_name = "STEP", requires = "change")]
    with: Option<String>,
}

impl Order {
    /// Plans every part, or answers a question about one.
    pub fn run(&self) -> Outcome<Answer> {
        if let (Some(one), Some(other)) = (&self.change, &self.with) {
            return self.ask(one, other, exchanged);
        }
        if let Some(step) = &self.moved {
            return match (&self.before, &self.after) {
                (Some(then), _) => {
                    self.ask(step, then, |asked, one, other| moved(asked, one, other, Side::Before))
                }
                (None, Some(early)) => {
                    self.ask(step, early, |asked, one, other| moved(asked, one, other, Side::After))
                }
                (None, None) => Err(vec![
                    Problem::new(format!("`{step}` is to move, and nothing says where to"))
                        .mend("add `--before STEP` or `--after STEP`"),
                ]),
            };
        }
        let planned = plans(&self.path)?;
        let answer = Answer::new(format!("order of work for {}", self.path.display()))
            .lines("other parts of the project", planned.besides);
        let answer = planned.make_list.iter().fold(answer, make_list);
        let parts = planned.plans.iter();
        // What the other ways come to is planned anew for each: for the part that is asked for.
        let alone = planned.plans.len() == 1;
        Ok(parts
            .fold(answer, |answer, (file, plan)| part(answer, &file.display().to_string(), plan, alone))
            .problems(planned.problems))
    }

    /// Finds the part whose order has both steps, and asks about them.
    fn ask(
        &self,
        one: &str,
        other: &str,
        ask: impl Fn(&Asked, usize, usize) -> Vec<String>,
    ) -> Outcome<Answer> {
        let chosen = chosen(&self.path)?;
        let mut problems = chosen.problems;
        for part in &chosen.parts {
            let plan = match plan_of(&part.drawing, &part.solved, &part.metric, &chosen.bench) {
                Ok(plan) => plan,
                Err(faults) => {
                    problems.extend(faults);
                    continue;
                }
            };
            match (plan.order.step_named(one), plan.order.step_named(other)) {
                (Ok(first), Ok(second)) => {
                    let asked = Asked { part, plan: &plan, bench: &chosen.bench };
                    let title = format!("{}: `{one}` and `{other}`", plan.part);
                    return Ok(Answer::new(title).lines("answer", ask(&asked, first, second)));
                }
                (first, second) => {
                    for (words, found) in [(one, first), (other, second)] {
                        let Err(near) = found else { continue };
                        problems.push(not_one(&plan, words, &near));
                    }
                }
            }
        }
        Err(problems)
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
        .lines("make list: could be made in one setup", list.proposed.clone())
        .lines("make list: not planned yet", unplanned.collect())
        .lines("make list: cautions", list.cautions.clone())
        .lines("make list: how sure", list.proofs.clone())
        .lines("make list: assumed", list.assumed.clone())
}

/// A part about which something is asked.
struct Asked<'a> {
    part: &'a ChosenPart,
    plan: &'a Plan,
    bench: &'a workshop::bench::Bench,
}

/// Which side of the other step.
#[derive(Clone, Copy)]
enum Side {
    Before,
    After,
}

fn not_one(plan: &Plan, words: &str, near: &[&str]) -> Problem {
    let asked = Problem::new(format!("no one step of {} is called `{words}`", plan.part));
    let offered: Vec<String> = match near {
        [] => plan.order.steps.iter().map(|step| format!("`{}`", step.call)).collect(),
        near => near.iter().map(|call| format!("`{call}`")).collect(),
    };
    asked.mend(format!("name one of {}", offered.join(", ")))
}

/// Whether two steps may change places.
fn exchanged(asked: &Asked, one: usize, other: usize) -> Vec<String> {
    let order = &asked.plan.order;
    let names = (&order.steps[one].call, &order.steps[other].call);
    match order.may_change_places(one, other) {
        May::Yes { cost, against } => {
            let mut lines =
                vec![format!("`{}` and `{}` may change places; it adds {}", names.0, names.1, cost.words())];
            lines.extend(against.into_iter().map(|words| format!("it goes against a habit only: {words}")));
            lines
        }
        May::No(reasons) => {
            let mut lines = vec![format!("`{}` and `{}` may not change places:", names.0, names.1)];
            lines.extend(reasons);
            lines
        }
    }
}

/// Whether a step may stand on a side of another: by itself, or with others beside it.
fn moved(asked: &Asked, step: usize, other: usize, side: Side) -> Vec<String> {
    let order = &asked.plan.order;
    let (mine, its) = (&order.steps[step].call, &order.steps[other].call);
    let (to, wish, word) = match side {
        Side::Before => {
            (if step < other { other.max(1) - 1 } else { other }, format!("{mine} before {its}"), "before")
        }
        Side::After => {
            (if step < other { other } else { other + 1 }, format!("{its} before {mine}"), "after")
        }
    };
    let stands = match side {
        Side::Before => step < other,
        Side::After => step > other,
    };
    if stands {
        return vec![format!("`{mine}` stands {word} `{its}` already")];
    }
    let mut lines = Vec::new();
    let alone = match order.may_move(step, to) {
        May::Yes { cost, against } => {
            lines.push(format!(
                "`{mine}` may stand {word} `{its}`, all else as it is; it adds {}",
                cost.words()
            ));
            lines.extend(against.into_iter().map(|words| format!("it goes against a habit only: {words}")));
            true
        }
        May::No(reasons) => {
            lines.push(format!("`{mine}` may not be moved {word} `{its}` by itself:"));
            lines.extend(reasons);
            false
        }
    };
    let ChosenPart { drawing, solved, metric } = asked.part;
    match order_with(drawing, solved, metric, asked.bench, &wish) {
        Ok(best) => {
            let cost = best.uses.more_than(&order.uses).words();
            lines.push(match alone {
                true => format!("planned anew around it, it adds {cost}"),
                false => format!("it may when others move with it: planned anew around it, it adds {cost}"),
            });
            lines.push(format!(
                "to have it so, write `{wish}` into `wanted` of `[order]` in {}",
                drawing.file
            ));
            if !alone {
                lines.extend(listed(&best));
            }
        }
        Err(faults) => {
            lines.push(format!("there is no order with `{mine}` {word} `{its}`"));
            lines.extend(faults.iter().filter_map(|fault| fault.reason().map(str::to_owned)));
        }
    }
    lines
}

/// Steps as they then stand.
fn listed(order: &OrderOfWork) -> Vec<String> {
    order.steps.iter().enumerate().map(|(n, step)| format!("{}  {}", n + 1, step.text)).collect()
}

fn part(answer: Answer, file: &str, plan: &Plan, alone: bool) -> Answer {
    let (cover, order) = (&plan.cover, &plan.order);
    let name = &cover.part;
    let mut answer = answer.lines(format!("{name} ({file})"), vec![cover.wanted.clone()]);
    let done = order.done.iter().map(|done| done.text.clone());
    answer = answer.lines(format!("{name}: done already"), done.collect());
    for line in &cover.order {
        let heading = format!("{name}: setup {}, about {} min: {}", line.setup, line.minutes, line.title);
        answer = answer.lines(heading, line.steps.clone());
    }
    let wishes = order.wishes.iter().map(|wish| match &wish.cost {
        Some(cost) => format!("line {}, {}: it adds {}", wish.line, wish.text, cost.words()),
        None => format!("line {}, {}", wish.line, wish.text),
    });
    let together =
        order.free.map(|free| format!("all that is wanted adds {}", order.uses.more_than(&free).words()));
    let traps = cover.traps.iter().map(|trap| format!("{}: {}", trap.early, trap.lost));
    let prices = if alone { order.prices() } else { Vec::new() };
    let rather = order.choices.iter().zip(prices).flat_map(|(chosen, prices)| {
        chosen.others.iter().zip(prices).filter_map(|(other, price)| {
            let short = other.strip_prefix(&format!("{}: ", chosen.name)).unwrap_or(other);
            Some(format!("{}: {}; {short} {}", chosen.name, chosen.taken, price?))
        })
    });
    answer
        .lines(format!("{name}: other ways, and what they come to"), rather.collect())
        .lines(format!("{name}: wanted"), wishes.chain(together).collect())
        .lines(format!("{name}: not to be done early, and what would be lost"), traps.collect())
        .lines(format!("{name}: left for assembly"), cover.left.clone())
        .lines(format!("{name}: cautions"), cover.cautions.clone())
        .lines(format!("{name}: how sure"), cover.proofs.clone())
        .lines(format!("{name}: assumed"), cover.assumed.clone())
}
