//! `reckon curved-slot`.

use workshop::measure::read_angle;
use workshop::problem::Outcome;
use workshop::settings::curved_slot::{CurvedSlot as Slot, set_curved_slot};

use super::one;
use super::table_arg::TableArg;
use crate::answer::Answer;
use crate::args;

/// Asks how to cut a slot round an arc on the rotary table.
#[derive(clap::Args)]
#[command(after_help = "Example:
  oddleg reckon curved-slot --radius 80mm --width 8mm --start -20 --sweep 40 --cutter 6mm --ratio 90")]
pub struct CurvedSlot {
    /// Radius along the middle of the slot
    #[arg(long, value_name = "SIZE")]
    radius: String,
    /// Width of the slot
    #[arg(long, value_name = "SIZE")]
    width: String,
    /// The direction of the middle of its first round end from the centre, anticlockwise from X
    #[arg(long, value_name = "ANGLE", allow_hyphen_values = true)]
    start: String,
    /// How far it runs anticlockwise from there to the middle of the other end
    #[arg(long, value_name = "ANGLE")]
    sweep: String,
    /// Diameter of the cutter, as wide as the slot or narrower
    #[arg(long, value_name = "SIZE")]
    cutter: String,
    #[command(flatten)]
    pub(super) table: TableArg,
}

impl CurvedSlot {
    /// Reckons it.
    pub fn run(&self) -> Outcome<Answer> {
        let [radius, width, cutter] =
            args::sizes([("--radius", &self.radius), ("--width", &self.width), ("--cutter", &self.cutter)])?;
        let start = read_angle(&self.start).map_err(|fault| one(fault.at("--start")))?;
        let sweep = read_angle(&self.sweep).map_err(|fault| one(fault.at("--sweep")))?;
        let slot = Slot { radius, width, start, sweep };
        let given = self.table.read()?;
        let figures = given.reckon(|table| Ok(set_curved_slot(slot, cutter, table)?.figures()));
        let title = format!("slot of {width} on a radius of {radius}, cutter {cutter}");
        Ok(Answer::new(title).figures("", figures.map_err(one)?))
    }
}
