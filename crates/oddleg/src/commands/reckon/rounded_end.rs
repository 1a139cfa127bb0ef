//! `reckon rounded-end`.

use workshop::measure::Length;
use workshop::problem::Outcome;
use workshop::settings::rounded_end::{Lever, rounded_ends};

use super::one;
use super::supposed::Given;
use super::table_arg::TableArg;
use crate::answer::Answer;
use crate::args;

/// Asks how to round both ends of a lever.
#[derive(clap::Args)]
#[command(after_help = "Example:
  oddleg reckon rounded-end --radius 7/16in --other 9/32in --centres \"1 27/32 in\" --cutter 10mm --ratio 72")]
pub struct RoundedEnd {
    /// Radius of the end cut first
    #[arg(long, value_name = "SIZE")]
    radius: String,
    /// Radius of the other end
    #[arg(long, value_name = "SIZE")]
    other: String,
    /// From centre to centre
    #[arg(long, value_name = "SIZE")]
    centres: String,
    /// Diameter of the cutter
    #[arg(long, value_name = "SIZE")]
    cutter: String,
    /// The deepest gouge into a flank that can be borne
    #[arg(long, value_name = "SIZE")]
    gouge: Option<String>,
    #[command(flatten)]
    pub(super) table: TableArg,
}

/// The gouge that is supposed to be borne: it files away unseen.
const USUAL_GOUGE: &str = "0.02 mm";

impl RoundedEnd {
    /// Reckons it.
    pub fn run(&self) -> Outcome<Answer> {
        let [radius, other, centres, cutter] = args::sizes([
            ("--radius", &self.radius),
            ("--other", &self.other),
            ("--centres", &self.centres),
            ("--cutter", &self.cutter),
        ])?;
        let given = self.table.read()?.and(gouge_borne(self.gouge.as_deref())?);
        let lever = Lever { radius, other, centres };
        let figures = given.reckon(|(table, gouge)| Ok(rounded_ends(lever, cutter, table, gouge)?.figures()));
        Ok(Answer::new(format!("rounded ends {radius} and {other}, {centres} apart, cutter {cutter}"))
            .figures("", figures.map_err(one)?))
    }
}

/// The gouge that can be borne: as said behind `--gouge`, or the usual one.
pub fn gouge_borne(said: Option<&str>) -> Outcome<Given<Length>> {
    let gouge = args::size("--gouge", said.unwrap_or(USUAL_GOUGE)).map_err(one)?;
    let statement = format!("a gouge of {USUAL_GOUGE} can be borne: say yours with `--gouge`");
    Ok(match said {
        Some(_) => Given::said(gouge),
        None => Given::supposing(gouge, Length::mm(1), statement),
    })
}
