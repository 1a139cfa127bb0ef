//! `reckon shrink-heat`.

use workshop::assembly::how::how_named;
use workshop::problem::Outcome;
use workshop::settings::shrink::{ROOM_C, Shrink, shrink, usual_play};
use workshop::tables::{expansion, materials};

use super::one;
use super::supposed::Given;
use crate::answer::Answer;
use crate::args;

/// Asks how warm a ring is made to go over its shaft.
#[derive(clap::Args)]
#[command(after_help = "Example:
  oddleg reckon shrink-heat \"mild steel\" --bore 20mm --over 0.03mm --play 0.02mm")]
pub struct ShrinkHeat {
    /// The metal of the ring or collar
    material: String,
    /// Its bore, cold
    #[arg(long, value_name = "SIZE")]
    bore: String,
    /// How much the shaft is larger
    #[arg(long, value_name = "SIZE")]
    over: String,
    /// The room there is to be when it goes on
    #[arg(long, value_name = "SIZE")]
    play: Option<String>,
    /// The warmth of the shop in °C
    #[arg(long, value_name = "C")]
    room: Option<u32>,
}

impl ShrinkHeat {
    /// Reckons it.
    pub fn run(&self) -> Outcome<Answer> {
        let material = materials::find(&self.material).map_err(one)?;
        let ring = expansion::of(&material.name).map_err(one)?;
        let [bore, over] = args::sizes([("--bore", &self.bore), ("--over", &self.over)])?;
        let play = match &self.play {
            Some(play) => Given::said(args::size("--play", play).map_err(one)?),
            None => {
                let usual = usual_play();
                Given::supposing(usual, usual * 4, format!("a play of {usual}: say yours with `--play`"))
            }
        };
        let room = match self.room {
            Some(room) => Given::said(room),
            None => Given::supposing(
                ROOM_C,
                ROOM_C + 10,
                format!("a shop at {ROOM_C} °C: say yours with `--room`"),
            ),
        };
        let figures = play
            .and(room)
            .reckon(|(play, room_c)| Ok(shrink(Shrink { ring, bore, over, play, room_c })?.figures()));
        let care = how_named("shrunk").map_err(one)?.caution;
        Ok(Answer::new(format!("{} with a bore of {bore}, over a shaft {over} larger", ring.material))
            .figures("", figures.map_err(one)?)
            .lines("take care", vec![care.to_owned()]))
    }
}
