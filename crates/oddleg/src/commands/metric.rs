//! `metric`: the metric part, each choice with what it was chosen over.

use std::path::PathBuf;

use workshop::drawing::{Drawing, Part, Solved, solve};
use workshop::metric::{MetricPart, Other, metricate, worth_telling};
use workshop::plan::{changes, sheet::Change};
use workshop::problem::Outcome;
use workshop::why::Figure;

use crate::answer::{Answer, Detail};
use crate::project;

/// Chooses the metric part.
#[derive(clap::Args)]
#[command(
    after_help = "Examples:\n  oddleg metric engine\n  oddleg metric engine/parts/latch-arm.toml --why"
)]
pub struct Metric {
    /// The folder of a project, or a part file
    path: PathBuf,
    /// Give the whole chain of reasons behind each size, and all that was refused
    #[arg(long)]
    why: bool,
}

/// How many of the sizes refused for a dimension are listed, unless all are asked for.
const REFUSED_LISTED: usize = 2;

impl Metric {
    /// Chooses a size for every dimension of every part.
    pub fn run(&self) -> Outcome<Answer> {
        let project = project::open(&self.path)?;
        let mut answer = Answer::new(format!("metric parts of {}", self.path.display()))
            .detail(Detail::asked(self.why))
            .lines("assumed of the bench", project.bench.assumed.clone());
        let mut faults = Vec::new();
        for drawing in &project.parts {
            match possible(drawing).and_then(|solved| metricate(drawing, &solved, &project.bench)) {
                Ok(metric) => answer = self.part(answer, drawing, &metric),
                Err(more) => faults.extend(more),
            }
        }
        if faults.is_empty() { Ok(answer) } else { Err(faults) }
    }

    fn part(&self, answer: Answer, drawing: &Drawing, metric: &MetricPart) -> Answer {
        let name = &drawing.name;
        let changes = changes(drawing, metric);
        let bought = metric.purchases.iter().map(|buy| vec![buy.what.clone(), buy.because.clone()]);
        let reasons = if self.why { changes.iter().map(reason).collect() } else { Vec::new() };
        answer
            .table(format!("{name} ({})", drawing.file), COLUMNS, changes.iter().map(row).collect())
            .table(
                format!("{name}: refused, the nearest to the drawing first"),
                &["dimension", "not", "because"],
                changes.iter().flat_map(|change| self.refused(change)).collect(),
            )
            .table(format!("{name}: to buy"), &["what", "for"], bought.collect())
            .figures(format!("{name}: reasons"), reasons)
            .lines(format!("{name}: how sure"), vec![metric.proven.clone()])
            .lines(format!("{name}: assumed"), metric.assumed.clone())
    }

    /// The nearest sizes that were not chosen, or all of them.
    fn refused(&self, change: &Change) -> Vec<Vec<String>> {
        let row = |other: &Other| vec![change.name.clone(), other.what(), other.reason()];
        let whole = |other: &Other| vec![change.name.clone(), other.what(), other.reason_in_full()];
        if self.why {
            change.refused.iter().map(whole).collect()
        } else {
            worth_telling(&change.refused).take(REFUSED_LISTED).map(row).collect()
        }
    }
}

/// What is told of every dimension: millimetres to 0.001, inches to 0.0001.
const COLUMNS: &[&str] =
    &["dimension", "drawn", "exact mm", "make", "moved mm", "as drawn", "may move", "with", "role"];

/// A drawing that solves, and that a workshop could make as drawn.
pub fn possible(drawing: &Drawing) -> Outcome<Solved> {
    let solved = solve(drawing)?;
    let faults = Part::as_drawn(drawing, &solved).wrong();
    if faults.is_empty() { Ok(solved) } else { Err(faults) }
}

fn row(change: &Change) -> Vec<String> {
    let Change { name, written, exact, chosen, difference, difference_drawn, made_with, role, limit, .. } =
        change;
    [name, written, exact, chosen, difference, difference_drawn, limit, made_with, role]
        .map(Clone::clone)
        .to_vec()
}

fn reason(change: &Change) -> Figure {
    Figure::new(&change.name, &change.chosen, change.why.clone())
}
