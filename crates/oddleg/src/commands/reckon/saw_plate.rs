//! `reckon saw-plate`.

use workshop::measure::Length;
use workshop::problem::{Outcome, Problem};
use workshop::settings::cutting::plates::{Plates, lay};

use super::one;
use crate::answer::Answer;
use crate::args;

/// Asks which blanks are sawn from which plates.
#[derive(clap::Args)]
#[command(after_help = "Example:
  oddleg reckon saw-plate \"84mm x 40mm\" \"84mm x 40mm\" \"120mm x 30mm\" --plate \"200mm x 100mm\" --saw-cut 1.5mm")]
pub struct SawPlate {
    /// The blanks wanted, all of one thickness: length and width
    #[arg(required = true)]
    blank: Vec<String>,
    /// A plate that is there; may be given more than once
    #[arg(long, value_name = "SIZE", required = true)]
    plate: Vec<String>,
    /// What the saw takes away
    #[arg(long, value_name = "SIZE", default_value = "2 mm")]
    saw_cut: String,
}

impl SawPlate {
    /// Reckons it.
    pub fn run(&self) -> Outcome<Answer> {
        let blanks = args::all(self.blank.iter().map(|text| sides("BLANK", text)))?;
        let plates = args::all(self.plate.iter().map(|text| sides("--plate", text)))?;
        let saw_cut = args::size("--saw-cut", &self.saw_cut).map_err(one)?;
        let asked = Plates { blanks, plates, saw_cut };
        let found = lay(&asked).map_err(one)?;
        Ok(Answer::new(match asked.blanks.len() {
            1 => "1 blank to saw".to_owned(),
            many => format!("{many} blanks to saw"),
        })
        .figures("", found.figures(&asked, &[]))
        .lines("how sure", vec![found.proof()]))
    }
}

/// Both sides of a blank or plate: `84 mm x 40 mm`.
fn sides(argument: &str, text: &str) -> Result<[Length; 2], Problem> {
    let Some((long, wide)) = text.split_once(['x', '×']) else {
        return Err(Problem::new(format!("cannot read `{text}` as length and width"))
            .at(argument)
            .why("a blank or plate has two sides")
            .mend("write it as `84 mm x 40 mm`"));
    };
    Ok([args::size(argument, long.trim())?, args::size(argument, wide.trim())?])
}
