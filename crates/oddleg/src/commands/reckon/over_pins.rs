//! `reckon over-pins`.

use workshop::measure::{Length, read_angle};
use workshop::problem::{Outcome, Problem};
use workshop::settings::measuring::over_pins::{
    between_holes, dovetail, from_edge, in_vee, round_circle, vee_figure,
};

use super::one;
use crate::answer::Answer;
use crate::args;

/// Asks what is read over plain pins or plugs.
#[derive(clap::Args)]
#[command(after_help = "Examples:
  oddleg reckon over-pins --edge \"27/32 in\" --pin 6mm
  oddleg reckon over-pins --centres 47.625mm --pin 8mm --other 5mm
  oddleg reckon over-pins --circle 60mm --holes 5 --pin 4mm
  oddleg reckon over-pins --dovetail 25mm --angle 60 --pin 4mm
  oddleg reckon over-pins --vee 12mm --angle 45 --pin 8mm")]
#[group(required = true, multiple = true)]
pub struct OverPins {
    /// From an edge to the middle of a hole with a pin in it
    #[arg(long, value_name = "SIZE", conflicts_with_all = ["centres", "circle", "dovetail", "vee"])]
    edge: Option<String>,
    /// From the middle of one hole to that of another
    #[arg(long, value_name = "SIZE", conflicts_with_all = ["circle", "dovetail", "vee"])]
    centres: Option<String>,
    /// Across a circle of equally spaced holes
    #[arg(long, value_name = "SIZE", requires = "holes", conflicts_with_all = ["dovetail", "vee"])]
    circle: Option<String>,
    /// How many holes are on the circle
    #[arg(long, value_name = "COUNT")]
    holes: Option<u32>,
    /// Across the sharp corners of a dovetail: at the foot of a slide, the bottom of a slot
    #[arg(long, value_name = "SIZE", requires = "angle", conflicts_with = "vee")]
    dovetail: Option<String>,
    /// The height to the sharp bottom of a vee
    #[arg(long, value_name = "SIZE", requires = "angle")]
    vee: Option<String>,
    /// Of a dovetail between flank and flat; of a vee between a side and the upright
    #[arg(long, value_name = "ANGLE")]
    angle: Option<String>,
    /// Across the pin, or each of the pins
    #[arg(long, value_name = "SIZE")]
    pin: String,
    /// Across the other pin, where it is another size
    #[arg(long, value_name = "SIZE", requires = "centres")]
    other: Option<String>,
}

impl OverPins {
    /// Reckons it.
    pub fn run(&self) -> Outcome<Answer> {
        let size = |argument: &str, text: &str| args::size(argument, text).map_err(one);
        let pin = size("--pin", &self.pin)?;
        let angle = || {
            let text = self.angle.as_deref().unwrap_or_default();
            read_angle(text).map_err(|fault| one(fault.at("--angle")))
        };
        let (title, figures) = if let Some(text) = &self.edge {
            let distance = size("--edge", text)?;
            let found = from_edge(distance, pin).map_err(one)?;
            (format!("{distance} from an edge, over a pin"), found.figures("from the edge"))
        } else if let Some(text) = &self.centres {
            let centres = size("--centres", text)?;
            let other: Length = match &self.other {
                Some(text) => size("--other", text)?,
                None => pin,
            };
            let found = between_holes(centres, [pin, other]).map_err(one)?;
            (format!("{centres} between centres"), found.figures("from middle to middle"))
        } else if let (Some(text), Some(holes)) = (&self.circle, self.holes) {
            let circle = size("--circle", text)?;
            let found = round_circle(holes, circle, pin).map_err(one)?;
            (format!("{holes} holes on {circle}"), found.figures("between the two farthest apart"))
        } else if let Some(text) = &self.dovetail {
            let across = size("--dovetail", text)?;
            let found = dovetail(across, pin, angle()?).map_err(one)?;
            let words = "across the sharp corners; over for a slide, between for a slot: and or less what the pins add,";
            (format!("dovetail {across} across"), found.figures(words))
        } else if let Some(text) = &self.vee {
            let bottom = size("--vee", text)?;
            let side = angle()?;
            let over = in_vee(bottom, pin, [side, side]).map_err(one)?;
            ("a pin in a vee".to_owned(), vec![vee_figure(over, pin)])
        } else {
            let fault = Problem::new("nothing says what is measured over the pins")
                .mend("add `--edge`, `--centres`, `--circle`, `--dovetail` or `--vee` with its size");
            return Err(vec![fault]);
        };
        Ok(Answer::new(title).figures("", figures))
    }
}
