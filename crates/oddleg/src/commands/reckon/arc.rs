//! `reckon arc`.

use clap::ValueEnum;
use workshop::measure::read_angle;
use workshop::problem::Outcome;
use workshop::settings::rotary::{self, Metal, set_arc};

use super::one;
use super::rounded_end::gouge_borne;
use super::table_arg::TableArg;
use crate::answer::Answer;
use crate::args;

/// Asks how to cut one arc on the rotary table.
#[derive(clap::Args)]
#[command(after_help = "Example:
  oddleg reckon arc --radius 12mm --metal inside --start 90 --sweep 180 --cutter 10mm --ratio 90")]
pub struct Arc {
    /// Radius of the arc
    #[arg(long, value_name = "SIZE")]
    radius: String,
    /// On which side of the arc the metal stays
    #[arg(long, value_name = "SIDE")]
    metal: Stays,
    /// The direction of its first point from its centre, anticlockwise from X
    #[arg(long, value_name = "ANGLE", allow_hyphen_values = true)]
    start: String,
    /// How far it runs anticlockwise from there
    #[arg(long, value_name = "ANGLE")]
    sweep: String,
    /// Diameter of the cutter
    #[arg(long, value_name = "SIZE")]
    cutter: String,
    /// The deepest gouge into a flank that can be borne
    #[arg(long, value_name = "SIZE")]
    gouge: Option<String>,
    #[command(flatten)]
    pub(super) table: TableArg,
}

/// Where the metal stays.
#[derive(Clone, Copy, Debug, ValueEnum)]
pub enum Stays {
    /// Within the arc: a boss or a rounded end
    Inside,
    /// Beyond the arc: a hollow
    Outside,
}

impl Stays {
    /// The side as the settings name it.
    pub const fn metal(self) -> Metal {
        match self {
            Self::Inside => Metal::Inside,
            Self::Outside => Metal::Outside,
        }
    }
}

impl Arc {
    /// Reckons it.
    pub fn run(&self) -> Outcome<Answer> {
        let [radius, cutter] = args::sizes([("--radius", &self.radius), ("--cutter", &self.cutter)])?;
        let start = read_angle(&self.start).map_err(|fault| one(fault.at("--start")))?;
        let sweep = read_angle(&self.sweep).map_err(|fault| one(fault.at("--sweep")))?;
        let given = self.table.read()?.and(gouge_borne(self.gouge.as_deref())?);
        let arc = rotary::Arc { radius, metal: self.metal.metal(), start, sweep };
        let figures = given.reckon(|(table, gouge)| Ok(set_arc(arc, cutter, table, gouge)?.figures()));
        Ok(Answer::new(format!("arc of radius {radius}, cutter {cutter}")).figures("", figures.map_err(one)?))
    }
}
