//! `shelf thread`.

use workshop::problem::Problem;
use workshop::tables::drills;
use workshop::tables::threads::{self, Form};

use crate::answer::Answer;

/// Asks for a thread.
#[derive(clap::Args)]
#[command(after_help = "Example:\n  oddleg shelf thread 7 BA")]
pub struct Thread {
    /// Its name: `M3`, `M8x1`, `7 BA`, `1/4 BSW`, `3/16 x 40 ME`, `5-40 UNC`
    #[arg(required = true)]
    name: Vec<String>,
}

/// The share of thread between which a drill is worth listing, in percent.
const LISTED_PERCENT: std::ops::RangeInclusive<i64> = 50..=100;

impl Thread {
    /// Looks it up.
    pub fn run(&self) -> Result<Answer, Problem> {
        let thread = threads::find(&self.name.join(" "))?;
        let form = thread.form();
        let workshop_basis = form.workshop_basis();
        let mut rows = Vec::new();
        for drill in drills::all() {
            let percent = thread.percent(drill.diameter, workshop_basis)?.value.round().to_integer();
            if !LISTED_PERCENT.contains(&(percent as i64)) {
                continue;
            }
            let mut row = vec![drill.name.clone(), drill.diameter.shown(3)];
            for &basis in form.bases() {
                row.push(thread.percent(drill.diameter, basis)?.value.round().to_string());
            }
            rows.push(row);
        }
        let columns: &[&str] = match form {
            Form::Metric60 | Form::Unified60 => {
                &["drill", "mm", "% of internal height 5H/8", "% of external depth 17H/24", "% of 3H/4"]
            }
            Form::Whitworth55 | Form::Ba47 => &["drill", "mm", "% of full depth"],
        };
        Ok(Answer::new(format!("{}, {}", thread.designation, thread.series.name()))
            .figures("", thread.describe())
            .table("every drill that leaves 50 to 100 % of thread", columns, rows))
    }
}
