//! The commands: one file each, holding its arguments, its help, what it does
//! and its tests.
//!
//! A new command is one file here and one line in [`Command`].

mod bench_arg;
mod check;
mod new;
mod reckon;
mod shelf;

use clap::Subcommand;
use workshop::problem::Outcome;

use crate::answer::Answer;

/// Every command, in the order that a person meets them.
#[derive(Subcommand)]
pub enum Command {
    /// Start a project: a folder with a bench and a first part to change
    New(new::New),
    /// Read a project or a part and say what is missing, disagreeing or impossible
    Check(check::Check),
    /// Look something up on the reference shelf
    #[command(subcommand)]
    Shelf(shelf::Shelf),
    /// Reckon one thing, without a project
    Reckon(Box<reckon::Reckon>),
}

impl Command {
    /// Does what was asked.
    ///
    /// # Errors
    ///
    /// Every [`Problem`](workshop::problem::Problem) that the person can mend.
    pub fn run(&self) -> Outcome<Answer> {
        match self {
            Self::New(command) => command.run(),
            Self::Check(command) => command.run(),
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
    crate::Cli::try_parse_from(words).unwrap_or_else(|fault| panic!("{fault}")).command.run()
}
