//! How warm the outer of two parts is made for the join that shrinks it on.

use super::deeds::World;
use crate::assembly::{Member, Task, Thing};
use crate::drawing::{FeatureId, Kind, Mate};
use crate::measure::Length;
use crate::metric::clearance_asked;
use crate::plan::Round;
use crate::problem::Problem;
use crate::settings::show::mm;
use crate::settings::shrink::{ROOM_C, Shrink, shrink, usual_play};
use crate::tables::{expansion, materials};
use crate::why::{Figure, Why};

/// What is told of the heat for one join.
pub(super) struct Heat {
    /// The part that is warmed.
    ring: String,
    /// What it is brought to and tried with, or why that cannot be.
    told: Result<Vec<Figure>, Problem>,
    /// What it rests on.
    because: Why,
}

/// The heat for a join; none where nothing is shrunk, or its bore has no metric size.
pub(super) fn heat(world: &World, task: &Task) -> Option<Heat> {
    task.how().filter(|how| how.word == "shrunk")?;
    let (part, bore, fit) = bore(world, task)?;
    let drawing = world.parts[part].drawing;
    let word = fit.unwrap_or("shrink");
    let (tightest, _) = clearance_asked(word, bore.diameter)?;
    let over = Length::ZERO - tightest;
    if !over.is_positive() {
        return None;
    }
    let material = materials::find(drawing.material.as_deref()?).ok()?;
    let told = expansion::of(&material.name).and_then(|ring| {
        let asked = Shrink { ring, bore: bore.diameter, over, play: usual_play(), room_c: ROOM_C };
        Ok(shrink(asked)?.figures())
    });
    let words = format!(
        "the tightest that a {} fit of {} lets it be, {}: measure both and reckon it again by `oddleg reckon shrink-heat`",
        word.trim_end_matches(" fit"),
        mm(bore.diameter),
        mm(over)
    );
    let because = if fit.is_some() { Why::new(words) } else { Why::assumed(words) };
    Some(Heat { ring: drawing.name.clone(), told, because })
}

impl Heat {
    /// As the row of the list tells it.
    pub(super) fn words(&self) -> String {
        match &self.told {
            Ok(figures) => {
                let shown = |name: &str| {
                    figures
                        .iter()
                        .find(|figure| figure.name == name)
                        .map_or("", |figure| figure.shown.as_str())
                };
                format!(
                    "heat {} to {}, until {} goes into its bore",
                    self.ring,
                    shown("heat to"),
                    shown("goes into the hot bore")
                )
            }
            Err(fault) => format!("no heat is told: {}", fault.what()),
        }
    }

    /// The reasons.
    pub(super) fn whys(&self) -> Vec<Why> {
        match &self.told {
            Ok(figures) => {
                let reason = |figure: &Figure| {
                    Why::new(format!("{}: {}", figure.name, figure.shown)).because(figure.why.clone())
                };
                let mut whys: Vec<Why> = figures.iter().map(reason).collect();
                if let Some(heat) = whys.first_mut() {
                    heat.because.push(self.because.clone());
                }
                whys
            }
            Err(fault) => {
                let said = Why::new(format!("no heat is told: {}", fault.what()));
                let said = fault.reason().into_iter().fold(said, |said, why| said.because(Why::new(why)));
                let said = fault.remedy().into_iter().fold(said, |said, mend| said.because(Why::new(mend)));
                vec![said.because(self.because.clone())]
            }
        }
    }
}

/// The bore that is warmed: its part, its size, and the fit that a part file gives it.
fn bore<'a>(world: &World<'a>, task: &Task) -> Option<(usize, Round, Option<&'a str>)> {
    let parts: Vec<usize> = task.members.iter().filter_map(part_of).collect();
    let said = parts.iter().flat_map(|&part| {
        let mates = world.parts[part].drawing.mates.iter();
        mates.filter_map(move |mate| Some((part, mate, other(world, mate, &parts_of(task))?)))
    });
    let ends = said.flat_map(|(part, mate, end)| {
        let fit = Some(mate.fit.as_str());
        [(part, mate.with, fit), (end.0, end.1, fit)]
    });
    let named = task.members.iter().filter_map(|member| Some((part_of(member)?, member.feature?, None)));
    ends.chain(named).find_map(|(part, feature, fit)| {
        let hole = matches!(world.parts[part].drawing.features[feature.0].kind, Kind::Hole { .. });
        let rounds = &world.parts[part].plan.filter(|_| hole)?.rounds;
        Some((part, *rounds.iter().find(|round| round.feature == feature)?, fit))
    })
}

fn parts_of(task: &Task) -> Vec<usize> {
    task.members.iter().filter_map(part_of).collect()
}

fn part_of(member: &Member) -> Option<usize> {
    match member.thing {
        Thing::Part(part) => Some(part),
        _ => None,
    }
}

/// The feature of another member that a mate meets.
fn other(world: &World, mate: &Mate, parts: &[usize]) -> Option<(usize, FeatureId)> {
    let partner = mate.partner.as_ref()?;
    let named = |part: &&usize| world.parts[**part].drawing.name.eq_ignore_ascii_case(&partner.part);
    let part = *parts.iter().find(named)?;
    Some((part, partner.find(&world.parts[part].drawing.features)?))
}
