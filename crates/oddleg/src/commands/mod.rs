//! The commands: one file each, holding its arguments, its help, what it does
//! and its tests.
//!
//! A new command is one file here and one line in [`Command`].

mod bench_arg;
mod check;
mod earlier;
mod export;
mod import;
mod metric;
mod motion;
mod moving;
mod new;
mod open;
mod order;
mod reckon;
mod sheets;
mod shelf;
mod stack;
mod why;

use clap::Subcommand;
use workshop::problem::Outcome;

use crate::answer::Answer;
use crate::print::Form;

/// Every command, in the order that a person meets them.
#[derive(Subcommand)]
pub enum Command {
    /// Start a project: a folder with a bench and a first part to change
    New(new::New),
    /// Read a project or a part and say what is missing, disagreeing or impossible
    Check(check::Check),
    /// Read an outline from a DXF or SVG file into a new part file
    Import(Box<import::Import>),
    /// Choose the metric part: each size, what makes it, what was refused and why
    Metric(metric::Metric),
    /// Add up sizes across parts: worst case, spread, how often it is good, and who contributes
    Stack(stack::Stack),
    /// Follow the mechanisms of a project round: strokes, valve events, and what each size does to them
    Motion(motion::Motion),
    /// Plan the order of work, setup by setup, and what must not be done early
    Order(order::Order),
    /// Write the sheets of every part: SVG drawings, one HTML, one PDF and its numbers as CSV
    Sheets(sheets::Sheets),
    /// Write the metric part in plan as DXF or SVG, for another program
    Export(export::Export),
    /// Ask why a number is what it is
    Why(why::Why),
    /// Open a project in the browser, served on this machine alone
    Open(open::Open),
    /// List what a file said before, or have it back
    Earlier(earlier::Earlier),
    /// Look something up on the reference shelf
    #[command(subcommand)]
    Shelf(shelf::Shelf),
    /// Reckon one thing, without a project
    Reckon(Box<reckon::Reckon>),
}

impl Command {
    /// Does what was asked; `form` is for what is printed before the end.
    ///
    /// # Errors
    ///
    /// Every [`Problem`](workshop::problem::Problem) that the person can mend.
    pub fn run(&self, form: Form) -> Outcome<Answer> {
        match self {
            Self::New(command) => command.run(),
            Self::Check(command) => command.run(),
            Self::Import(command) => command.run(),
            Self::Metric(command) => command.run(),
            Self::Stack(command) => command.run(),
            Self::Motion(command) => command.run(),
            Self::Order(command) => command.run(),
            Self::Sheets(command) => command.run(),
            Self::Export(command) => command.run(),
            Self::Why(command) => command.run(),
            Self::Open(command) => command.run(form),
            Self::Earlier(command) => command.run(),
            Self::Shelf(command) => command.run(),
            Self::Reckon(command) => command.run(),
        }
    }
}

/// Reads a command line in tests as the program would, without `oddleg` before it.
#[cfg(test)]
pub(crate) fn answer_to(line: &[&str]) -> Outcome<Answer> {
    use clap::Parser;
    let words = std::iter::once("oddleg").chain(line.iter().copied());
    crate::Cli::try_parse_from(words).unwrap_or_else(|fault| panic!("{fault}")).command.run(Form::Text)
}

#[cfg(test)]
mod tests {
    use clap::{CommandFactory, Parser};
    use proptest::prelude::*;

    use crate::print::Form;

    /// The examples in the help of every reckoner and every shelf, as words.
    fn examples() -> Vec<Vec<String>> {
        let program = crate::Cli::command();
        let mut found = Vec::new();
        for name in ["reckon", "shelf"] {
            let group = program.find_subcommand(name).expect("the command is there");
            for command in group.get_subcommands() {
                let help = command.get_after_help().map(ToString::to_string).unwrap_or_default();
                let help = help.replace("\\\n", " ");
                let lines = help.lines().filter_map(|line| line.trim().strip_prefix("oddleg "));
                found.extend(lines.map(words));
            }
        }
        found
    }

    fn words(line: &str) -> Vec<String> {
        let mut parts = line.split('"').enumerate().flat_map(|(index, part)| match index % 2 {
            1 => vec![part],
            _ => part.split_whitespace().collect(),
        });
        std::iter::once("oddleg").chain(&mut parts).map(str::to_owned).collect()
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(400))]

        /// Whatever stands behind an argument, there is an answer or a problem
        /// with a remedy; nothing panics.
        #[test]
        fn any_value_gives_an_answer_or_a_problem_that_can_be_mended(
            which in any::<prop::sample::Index>(),
            spoiled in prop::collection::vec(
                (
                    any::<prop::sample::Index>(),
                    prop_oneof![
                        "-?[0-9]{1,9}(/[0-9]{1,9}|\\.[0-9]{1,9})?( ?mm| ?in|\"|°)?",
                        "(0|1|9{9}|0\\.0{8}1|1/9{9}) (mm|in)",
                        "[0-9]{1,10}",
                        "(No\\. ?[0-9]{1,2}|M[0-9]{1,2}|[0-9]{1,2} BA|[a-z]{1,8})",
                        "\\PC{0,12}",
                    ],
                ),
                1..4,
            ),
        ) {
            let examples = examples();
            let mut line = which.get(&examples).clone();
            for (place, text) in spoiled {
                // The program and the names of its commands stay.
                let at = 3 + place.index(line.len() - 3);
                if !line[at].starts_with("--") {
                    line[at] = text;
                }
            }
            if let Ok(cli) = crate::Cli::try_parse_from(&line)
                && let Err(faults) = cli.command.run(Form::Text)
            {
                prop_assert!(!faults.is_empty(), "{line:?}");
                for fault in faults {
                    prop_assert!(fault.remedy().is_some(), "{line:?}: {fault}");
                }
            }
        }
    }
}
