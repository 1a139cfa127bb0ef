//! `reckon stepped-profile`.

use clap::ValueEnum;
use workshop::problem::{Outcome, Problem};
use workshop::settings::stepped_profile::{Asked, Nose, Profile, stepped_profile};

use super::one;
use super::supposed::readout_step;
use crate::answer::Answer;
use crate::args;

/// Asks for the steps that cut a slope or a curve seen from the side.
#[derive(clap::Args)]
#[command(after_help = "Example:
  oddleg reckon stepped-profile crest --radius 20mm --along 6mm --ridge 0.05mm --step 0.01mm
  oddleg reckon stepped-profile slope --along 12mm --deeper 9mm --nose 3mm --ridge 0.05mm --step 0.01mm")]
pub struct SteppedProfile {
    /// What is cut
    profile: Kind,
    /// How far it runs along X: from its upper end, its crest, or its rim
    #[arg(long, value_name = "SIZE")]
    along: String,
    /// Of a slope: how much deeper its far end is
    #[arg(long, value_name = "SIZE")]
    deeper: Option<String>,
    /// Of a crest or a hollow: its radius
    #[arg(long, value_name = "SIZE")]
    radius: Option<String>,
    /// Radius of a round-nosed cutter; square-ended where left out
    #[arg(long, value_name = "SIZE")]
    nose: Option<String>,
    /// The highest ridge that may be left to file
    #[arg(long, value_name = "SIZE")]
    ridge: String,
    /// The smallest step of the readout or dial
    #[arg(long, value_name = "SIZE")]
    step: Option<String>,
}

/// A profile.
#[derive(Clone, Copy, Debug, ValueEnum)]
enum Kind {
    /// A straight slope
    Slope,
    /// A round back, level at its crest
    Crest,
    /// A hollow, level at its lowest place
    Hollow,
}

impl SteppedProfile {
    /// Reckons them.
    pub fn run(&self) -> Outcome<Answer> {
        let [along, ridge] = args::sizes([("--along", &self.along), ("--ridge", &self.ridge)])?;
        let needed = |argument: &'static str, text: &Option<String>| match text {
            Some(text) => args::size(argument, text),
            None => Err(Problem::new(format!("`{argument}` is not given"))
                .at(argument)
                .why("this profile cannot be drawn without it")
                .mend(format!("add `{argument} SIZE`"))),
        };
        let profile = match self.profile {
            Kind::Slope => Profile::Slope { along, deeper: needed("--deeper", &self.deeper).map_err(one)? },
            Kind::Crest => Profile::Crest { along, radius: needed("--radius", &self.radius).map_err(one)? },
            Kind::Hollow => Profile::Hollow { along, radius: needed("--radius", &self.radius).map_err(one)? },
        };
        let nose = self.nose.as_deref().map(|text| args::size("--nose", text)).transpose().map_err(one)?;
        let nose = nose.map_or(Nose::Square, Nose::Round);
        let given = readout_step(self.step.as_deref())?;
        let figures =
            given.reckon(|step| Ok(stepped_profile(Asked { profile, nose, ridge, step })?.figures()));
        Ok(Answer::new(format!("profile {along} long in steps")).figures("", figures.map_err(one)?))
    }
}
