//! What holds a turned part: what each holding needs, what makes it and what spoils it.

use super::{HoldingNeeds, Makes, Rule, Spoils, faced, finishes, is_drill, rule, section_of, skins};
use crate::drawing::{Face, FeatureId, Kind};
use crate::order::all_over::roughs_for_later;
use crate::order::deed::{Deed, Job, Token};
use crate::order::pressed::hard_jaws;
use crate::order::throws;
use crate::order::turned::along_axis;
use crate::order::turned_held::{thin_over, wall_left};
use crate::order::work::{Held, Located, Steadied, Work};

const fn other(end: Face) -> Face {
    match end {
        Face::Left => Face::Right,
        _ => Face::Left,
    }
}

const fn centred(end: Face) -> Token {
    match end {
        Face::Left => Token::CentredLeft,
        _ => Token::CentredRight,
    }
}

/// The bore along the axis that a hole across it comes into.
fn crossed(job: &Job, deed: &Deed) -> Vec<FeatureId> {
    let across = |id: &FeatureId| !matches!(job.part.feature(*id).face, Face::Left | Face::Right);
    let cuts = is_drill(deed) || matches!(deed.work, Work::MillSlot { .. });
    let Some(hole) = deed.feature.filter(across).filter(|_| cuts) else { return Vec::new() };
    let Some(section) = section_of(job, hole) else { return Vec::new() };
    let round = job.part.cut_diameter(section).unwrap_or_default().half();
    let deep = match deed.work {
        Work::Drill { deep, .. } | Work::MillSlot { deep, .. } => deep.length(),
        _ => return Vec::new(),
    };
    let met = |id: &FeatureId| {
        along_axis(job, *id)
            && matches!(job.part.feature(*id).kind, Kind::Hole { .. })
            && job.part.cut_diameter(*id).is_some_and(|bore| deep > round - bore.half())
    };
    job.part.features().map(|(id, _)| id).filter(met).collect()
}

/// The rules of what holds a turned part.
pub(super) const RULES: &[Rule] = &[
    rule(
        "on the bar",
        "the bar is what the chuck holds",
        HoldingNeeds(|_, place| match &place.holding.held {
            held if held.by_the_bar() => vec![Token::OnBar],
            _ => Vec::new(),
        }),
    ),
    rule(
        "part off last",
        "once parted off, the work is out of the chuck",
        Spoils(|_, _, deed| if deed.work == Work::PartOff { vec![Token::OnBar] } else { Vec::new() }),
    ),
    rule(
        "off the bar",
        "the work is free to be turned round",
        Makes(|_, _, deed| if deed.work == Work::PartOff { vec![Token::OffBar] } else { Vec::new() }),
    ),
    rule(
        "part off before turning round",
        "the work can be turned round only when it is off the bar",
        HoldingNeeds(|_, place| match &place.holding.held {
            held if held.grips().is_some() || held.turns() && !held.by_the_bar() => vec![Token::OffBar],
            Held::Bench if matches!(place.holding.located, Located::EndAndAxis(_)) => vec![Token::OffBar],
            _ => Vec::new(),
        }),
    ),
    rule(
        "held by a finished section",
        "only a finished section, round and unmarked, holds the work true",
        HoldingNeeds(|_, place| place.holding.held.grips().map(Token::Section).into_iter().collect()),
    ),
    rule(
        "a turned section",
        "a section at its size can be held",
        Makes(|_, _, deed| match (&deed.work, deed.feature) {
            (Work::TurnSection { .. }, Some(section)) => vec![Token::Section(section)],
            // Finished later, it is held for the other end as it is roughed.
            (_, Some(section)) if roughs_for_later(deed) => vec![Token::Section(section)],
            _ => Vec::new(),
        }),
    ),
    rule(
        "a thread is no grip",
        "jaws bruise a thread",
        Spoils(|_, _, deed| match (&deed.work, deed.feature) {
            (Work::CutThread, Some(section)) => vec![Token::Section(section)],
            _ => Vec::new(),
        }),
    ),
    rule(
        "a knurl is no grip",
        "jaws crush a knurl, and it does not run true",
        Spoils(|job, _, deed| match (&deed.work, deed.feature.and_then(|id| section_of(job, id))) {
            (Work::Knurl, Some(section)) => vec![Token::Section(section)],
            _ => Vec::new(),
        }),
    ),
    rule(
        "flats are no round",
        "a section with flats no longer runs true in a chuck",
        Spoils(|job, _, deed| match (&deed.work, deed.feature.and_then(|id| section_of(job, id))) {
            (Work::MillFlats { .. }, Some(section)) => vec![Token::Section(section)],
            _ => Vec::new(),
        }),
    ),
    rule(
        "measure from a faced end",
        "a cross hole is placed from a faced end",
        HoldingNeeds(|_, place| match (&place.holding.held, place.holding.located) {
            (
                Held::VeeBlock { .. }
                | Held::Upright { .. }
                | Held::Indexed { .. }
                | Held::DividingHead { .. }
                | Held::ColletBlock { .. },
                Located::EndAndAxis(end),
            ) => vec![faced(end)],
            _ => Vec::new(),
        }),
    ),
    rule(
        "a bore to hold by",
        "a mandrel or an indicator goes into a bore that is finished and round, with no burr in it",
        HoldingNeeds(|_, place| {
            place.holding.held.through().map(|bore| Token::Bore(bore, 0)).into_iter().collect()
        }),
    ),
    rule(
        "a cross hole leaves a burr",
        "a mandrel is scored by the burr of a hole that comes into its bore",
        Spoils(|job, _, deed| crossed(job, deed).into_iter().map(|bore| Token::Bore(bore, 0)).collect()),
    ),
    rule(
        "a thread to hold by",
        "the work is screwed on its stub by a thread that is finished",
        HoldingNeeds(|_, place| place.holding.held.screwed_by().map(Token::Thread).into_iter().collect()),
    ),
    rule(
        "a finished thread",
        "full and clean, it draws the work against the stub",
        Makes(|_, _, deed| match (&deed.work, deed.feature) {
            (Work::Tap { .. } | Work::CutThread, Some(thread)) => vec![Token::Thread(thread)],
            _ => Vec::new(),
        }),
    ),
    rule(
        "flat on the faceplate",
        "the work lies against plate, jaws or stub by an end that is faced",
        HoldingNeeds(|_, place| match place.holding.held {
            Held::Faceplate { .. } | Held::Inside { .. } | Held::Screwed { .. } => {
                vec![faced(other(place.holding.up))]
            }
            _ => Vec::new(),
        }),
    ),
    rule(
        "two centre holes",
        "between centres the work hangs in a centre hole at either end",
        HoldingNeeds(|_, place| match place.holding.held {
            Held::Centres => vec![Token::CentredLeft, Token::CentredRight],
            _ => Vec::new(),
        }),
    ),
    rule(
        "two offset centre holes",
        "between offset centres the work hangs in a hole at either end, both as far from its axis",
        HoldingNeeds(|_, place| match place.holding.held {
            Held::OffsetCentres { section } => {
                vec![Token::OffCentredLeft(section), Token::OffCentredRight(section)]
            }
            _ => Vec::new(),
        }),
    ),
    rule(
        "centred while the bar is whole",
        "the bar stands in a vee by its own outside, on one faced end and with the other to drill",
        HoldingNeeds(|_, place| match place.holding.held {
            Held::WholeBar => vec![Token::OffBar, Token::Unturned, faced(place.holding.up)],
            _ => Vec::new(),
        }),
    ),
    rule(
        "the centre hole goes with its metal",
        "turned down past it, an end has no centre hole any more",
        Spoils(|job, _, deed| throws::holes_lost(job, deed)),
    ),
    rule(
        "a centre hole",
        "the centre runs in it",
        Makes(|_, _, deed| match deed.work {
            Work::OffsetCentre { end: Face::Left } => {
                deed.feature.map(Token::OffCentredLeft).into_iter().collect()
            }
            Work::OffsetCentre { .. } => deed.feature.map(Token::OffCentredRight).into_iter().collect(),
            Work::CentreEnd { end } => vec![centred(end)],
            _ => Vec::new(),
        }),
    ),
    rule(
        "held by the bar's own outside",
        "the jaws hold the sawn length by its whole bar",
        HoldingNeeds(|_, place| match place.holding.held {
            Held::SawnLength => vec![Token::Unturned],
            _ => Vec::new(),
        }),
    ),
    rule(
        "turned, it is bar no more",
        "jaws set to the bar would sit on a shoulder",
        Spoils(|_, _, deed| if skins(deed) { vec![Token::Unturned] } else { Vec::new() }),
    ),
    rule(
        "hard jaws want a thick wall",
        "three or four jaws press a thin wall out of round, and it springs back when they let go",
        HoldingNeeds(|job, place| {
            let section = place.holding.held.grips().filter(|_| hard_jaws(&place.holding.held));
            section.filter(|&id| wall_left(job, id).is_some()).map(Token::Stout).into_iter().collect()
        }),
    ),
    rule(
        "bored, the wall is thin",
        "hard jaws would press it out of round",
        Spoils(|job, _, deed| {
            let Some(hole) = deed.feature else { return Vec::new() };
            let done =
                finishes(job, deed, hole) || matches!(deed.work, Work::Recess { .. } | Work::Tap { .. });
            let thin = job.part.sections().iter().filter(|&&id| done && thin_over(job, id, hole));
            thin.map(|&id| Token::Stout(id)).collect()
        }),
    ),
    rule(
        "the steady runs on a turned section",
        "its fingers need a round that runs true",
        HoldingNeeds(|_, place| match place.holding.steadied {
            Steadied::Fixed { on } => vec![Token::Section(on)],
            _ => Vec::new(),
        }),
    ),
];
