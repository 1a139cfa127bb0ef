//! The program: commands, the project folder on disk, printing.
//!
//! Arguments and files go in, an [`Answer`](answer::Answer) comes out and is
//! printed as text or as JSON; or `Problem`s are, with exit status 1. Nothing
//! is reckoned here: every number comes from `workshop`. Begin with
//! [`commands`], one file for each.

mod answer;
mod args;
mod choosing;
mod chosen;
mod commands;
mod fitting;
mod folder;
mod moved;
mod print;
mod project;
mod store;

use std::process::ExitCode;

use clap::Parser;

/// Plans and sheets are many small pieces of words and numbers: this hands them out quicker.
#[global_allocator]
static MEMORY: mimalloc::MiMalloc = mimalloc::MiMalloc;

/// The command line as a whole.
#[derive(Parser)]
#[command(
    name = "oddleg",
    version,
    about = "From somebody else's drawing to a good part on the machines you own.",
    after_help = "Example:\n  oddleg new engine\n  oddleg check engine",
    term_width = 120
)]
struct Cli {
    /// Print the same content as JSON, for another program
    #[arg(long, global = true, display_order = 900)]
    json: bool,
    #[command(subcommand)]
    command: commands::Command,
}

fn main() -> ExitCode {
    let cli = Cli::parse();
    let form = if cli.json { print::Form::Json } else { print::Form::Text };
    match cli.command.run(form) {
        Ok(answer) => print::answer(&answer, form),
        Err(faults) => print::problems(&faults, form),
    }
}
