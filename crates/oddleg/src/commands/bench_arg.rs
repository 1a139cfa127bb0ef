//! `--bench`: the bench that a reckoning goes by, where one is given.

use std::path::PathBuf;

use workshop::bench::Bench;
use workshop::problem::{Outcome, Problem};
use workshop::tables::drills::{self, Drill};

use crate::project;

/// Whose machines and tools are meant.
#[derive(clap::Args)]
pub struct BenchArg {
    /// The bench to go by: its file, or the folder of a project
    #[arg(long, value_name = "PATH")]
    bench: Option<PathBuf>,
}

impl BenchArg {
    /// The bench that was named, or nothing.
    pub fn read(&self) -> Outcome<Option<Bench>> {
        self.bench.as_deref().map(project::read_bench_at).transpose()
    }

    /// The drills to choose from: those owned, or every drill that is sold.
    pub fn drills(&self) -> Outcome<Drills> {
        Ok(match self.read()? {
            Some(bench) => Drills { said: format!("the drills of {}", bench.name), drills: bench.drills },
            None => {
                let said = "every drill that is sold: name your bench with `--bench` to choose from yours";
                Drills { said: said.to_owned(), drills: drills::all().to_vec() }
            }
        })
    }

    /// What the bench file leaves out, so that what is reckoned by it rests on a
    /// supposition.
    pub fn assumed(&self) -> Outcome<Vec<String>> {
        Ok(self.read()?.map_or_else(Vec::new, |bench| bench.assumed))
    }

    /// Adds where the bench is to a fault that lies in its drills: one that goes
    /// away when `reckon` has every drill that is sold.
    pub fn blamed<T>(
        &self,
        fault: Problem,
        reckon: impl FnOnce(&[Drill]) -> Result<T, Problem>,
    ) -> Vec<Problem> {
        vec![match &self.bench {
            Some(bench) if reckon(drills::all()).is_ok() => fault.at(bench.display().to_string()),
            _ => fault,
        }]
    }
}

/// Drills to choose from.
pub struct Drills {
    /// Whose they are, for the answer to say.
    pub said: String,
    /// Every one.
    pub drills: Vec<Drill>,
}
