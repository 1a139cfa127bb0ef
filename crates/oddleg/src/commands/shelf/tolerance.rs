//! `shelf tolerance`.

use workshop::problem::Outcome;
use workshop::tables::general_tolerance::{Class, general_tolerance};

use crate::answer::Answer;
use crate::args;

/// Asks what a size without its own tolerance may be out by.
#[derive(clap::Args)]
#[command(after_help = "Example:\n  oddleg shelf tolerance 46mm")]
pub struct Tolerance {
    /// The size with its unit: `46mm`, `1 27/32 in`
    size: String,
}

impl Tolerance {
    /// Looks it up in every class.
    pub fn run(&self) -> Outcome<Answer> {
        let size = args::size("SIZE", &self.size).map_err(|fault| vec![fault])?;
        // Fine stops short of the others: a class without a row is left out, unless all are.
        let (found, missing): (Vec<_>, Vec<_>) =
            Class::ALL.map(|class| general_tolerance(class, size)).into_iter().partition(Result::is_ok);
        if found.is_empty() {
            return Err(missing.into_iter().filter_map(Result::err).collect());
        }
        let figures = found.into_iter().flatten().flat_map(|tolerance| {
            tolerance.describe().into_iter().map(move |figure| workshop::why::Figure {
                name: format!("{}, {}", figure.name, tolerance.class.name()),
                ..figure
            })
        });
        Ok(Answer::new(format!("general tolerance of {size}")).figures("", figures.collect()))
    }
}
