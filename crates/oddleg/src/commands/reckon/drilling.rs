//! `reckon drilling`.

use workshop::bench::Tailstock;
use workshop::measure::{Length, Unit};
use workshop::problem::{Outcome, Problem};
use workshop::settings::drilling::{Asked, Drilled, drilling};
use workshop::settings::pecking::pecking;
use workshop::settings::tailstock::wound;
use workshop::tables::drills;
use workshop::tables::materials::{self, Material, Operation};
use workshop::why::{Figure, Why};

use super::one;
use super::speed::Spindle;
use crate::answer::Answer;
use crate::args;

/// Asks how a hole is drilled: speed, feed, torque, and whether the motor stands it.
#[derive(clap::Args)]
#[command(after_help = "Examples:
  oddleg reckon drilling brass --drill 6mm --deep 40mm --turn 2.5mm --marks 50 --speeds 190,320,560,900
  oddleg reckon drilling \"mild steel\" --drill 13mm --follows 6mm --power 260 --speeds 90,180,340,600,1000")]
pub struct Drilling {
    /// The material
    material: String,
    /// Diameter of the drill
    #[arg(long, value_name = "SIZE")]
    drill: String,
    /// Diameter of the hole that it follows; in solid metal where left out
    #[arg(long, value_name = "SIZE")]
    follows: Option<String>,
    /// What the motor gives at the drill, in watts
    #[arg(long, value_name = "WATTS")]
    power: Option<f64>,
    /// How deep its full diameter goes: where it comes out to be cleared, and its point
    #[arg(long, value_name = "SIZE")]
    deep: Option<String>,
    /// How far a turn of the tailstock's handwheel sends it
    #[arg(long, value_name = "SIZE", requires = "deep")]
    turn: Option<String>,
    /// The divisions on that handwheel; quarter turns are counted where it has none
    #[arg(long, value_name = "N", requires = "turn")]
    marks: Option<u32>,
    #[command(flatten)]
    pub(super) spindle: Spindle,
}

impl Drilling {
    /// Reckons it.
    pub fn run(&self) -> Outcome<Answer> {
        let material = materials::find(&self.material).map_err(one)?;
        let diameter = args::size("--drill", &self.drill).map_err(one)?;
        let follows = self.follows.as_deref().map(|text| args::size("--follows", text));
        let follows: Option<Length> = follows.transpose().map_err(one)?;
        let (speeds, supposed) = self.spindle.speeds(Operation::Drilling)?;
        let follows = follows.unwrap_or_default();
        let asked = Asked { diameter, follows, material, speeds: &speeds, power_w: self.power };
        let found = drilling(asked).map_err(one)?;
        let mut figures = found.figures(material);
        figures.extend(self.depth(diameter, material, &found)?);
        if let Some(why) = supposed {
            let supposed = |figure: &mut Figure| figure.why.because.push(Why::clone(&why));
            figures.iter_mut().filter(|figure| !rests_on_none(&figure.name)).for_each(supposed);
        }
        Ok(Answer::new(format!("drill {diameter} in {}", material.name)).figures("", figures))
    }

    /// How deep it goes, told by the handwheel where there is one.
    fn depth(&self, diameter: Length, material: &Material, found: &Drilled) -> Outcome<Vec<Figure>> {
        let size = |argument, text: &Option<String>| {
            let read = text.as_deref().map(|text| args::size(argument, text)).transpose().map_err(one)?;
            match read {
                Some(size) if !size.is_positive() => Err(one(Problem::new(format!("it is {size}"))
                    .at(argument)
                    .why("it must be more than nought")
                    .mend("give it as it is drawn or marked"))),
                read => Ok(read),
            }
        };
        let Some(deep) = size("--deep", &self.deep)? else { return Ok(Vec::new()) };
        let pecking = pecking(diameter, deep, material);
        let point = drills::point(diameter);
        let why = Why::new(format!("the point of 118° is {point} long: 0.3 of {diameter}"))
            .source("elementary geometry");
        let mut figures = vec![Figure::new("to the tip", (deep + point).to_string(), why)];
        figures.extend(pecking.as_ref().map(|pecking| pecking.figure(Unit::Mm)));
        if let Some(pitch) = size("--turn", &self.turn)? {
            if self.marks == Some(0) {
                return Err(one(Problem::new("a dial without divisions")
                    .at("--marks")
                    .why("it must have one at least")
                    .mend("leave `--marks` out where there is no dial")));
            }
            let tailstock = Tailstock { pitch, divisions: self.marks };
            figures.extend(wound(&tailstock, (diameter, deep), pecking.as_ref(), Some(found)));
        }
        Ok(figures)
    }
}

/// Whether a figure is the same whatever the spindle's speeds are.
fn rests_on_none(name: &str) -> bool {
    [
        "torque",
        "to the tip",
        "out to clear",
        "tailstock, from the tip touching",
        "out to clear, by the handwheel",
    ]
    .contains(&name)
}
