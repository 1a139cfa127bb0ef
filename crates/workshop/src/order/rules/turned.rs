//! What a part turned from bar asks for.

use super::{Before, Makes, Needs, Rule, end_of, faced, is_drill, rule, same_end, section_of, skins, turns};
use crate::drawing::{Face, SectionEnd};
use crate::order::all_over::is_later;
use crate::order::deed::{Deed, Job, Makings};
use crate::order::roughing::{drilled_between, roughs};
use crate::order::throws;
use crate::order::turned_held::{thin_over, wall_left};
use crate::order::work::{Held, Work};

/// Whether a section is turned on a mandrel, which steadies it from within.
fn on_mandrel(makings: &Makings, deed: &Deed) -> bool {
    deed.places.iter().all(|&place| matches!(makings.places[place].holding.held, Held::Mandrel { .. }))
}

/// Whether a section is set over last, once what runs true is done.
fn set_over_last(job: &Job, makings: &Makings, deed: &Deed) -> bool {
    deed.feature.filter(|_| turns(deed)).is_some_and(|id| throws::asks_for_true_first(job, makings, deed, id))
}

/// Whether what is bored leaves the section that is turned a thin wall.
fn thins(job: &Job, turned: &Deed, bored: &Deed) -> bool {
    matches!((turned.feature, bored.feature), (Some(section), Some(hole)) if thin_over(job, section, hole))
}

/// The rules of turned parts.
pub(super) const RULES: &[Rule] = &[
    rule(
        "face the end first",
        "every length at an end is measured from its face",
        Needs(|_, makings, deed| match end_of(makings, deed) {
            Some(end) if !matches!(deed.work, Work::FaceEnd { .. }) => vec![faced(end)],
            _ => Vec::new(),
        }),
    ),
    rule(
        "it stays where it is turned",
        "taken out and put back it runs true no more: everything is done before it is used, in the one holding",
        Before(|_, _, a, b| a.work != Work::Leave && b.work == Work::Leave),
    ),
    rule(
        "a faced end",
        "lengths are measured from it",
        Makes(|_, _, deed| match deed.work {
            Work::FaceEnd { end } => vec![faced(end)],
            _ => Vec::new(),
        }),
    ),
    rule(
        "centre before turning",
        "slender work is steadied by the tailstock while it is turned",
        Before(|_, makings, a, b| {
            // Off centre, no tailstock is brought up.
            let off_centre = |deed: &Deed| {
                let first = deed.places.first().map(|&place| &makings.places[place].holding.held);
                first.is_some_and(|held| held.set_over().is_some())
            };
            matches!(a.work, Work::CentreEnd { .. })
                && same_end(makings, a, b)
                && !off_centre(b)
                && matches!(
                    b.work,
                    Work::RoughSection { .. }
                        | Work::TurnSection { .. }
                        | Work::TurnTaper { .. }
                        | Work::Knurl
                        | Work::Chamfer { .. }
                        | Work::Groove { .. }
                        | Work::CutThread
                )
        }),
    ),
    rule(
        "thick before thin",
        "the bar stays stiff when the thickest section is turned first",
        Before(|job, makings, a, b| match (&a.work, &b.work) {
            (Work::RoughSection { diameter: thick, .. }, Work::RoughSection { diameter: thin, .. }) => {
                thick > thin && same_end(makings, a, b)
            }
            (Work::TurnSection { diameter: thick }, Work::TurnSection { diameter: thin }) => {
                // About two axes there is no thick and thin: the setups decide.
                let axis = |deed: &Deed| deed.feature.map(|id| job.part.section_axis(id));
                // What is bored thin is left thick until then, and a mandrel steadies it.
                let late = a.feature.is_some_and(|id| wall_left(job, id).is_some())
                    || on_mandrel(makings, a)
                    || on_mandrel(makings, b);
                thick > thin && same_end(makings, a, b) && axis(a) == axis(b) && !late
            }
            _ => false,
        }),
    ),
    rule(
        "rough, then finish",
        "metal that comes off lets go what stress was in the bar: what is finished before all roughing is done does not stay true",
        Before(|_, makings, a, b| roughs(a) && turns(b) && same_end(makings, a, b)),
    ),
    rule(
        "rough both ends, then finish",
        "what comes off one end lets the other move: what fits closely is finished when nothing heavy is cut any more",
        Before(|_, makings, a, b| {
            let far = end_of(makings, a).is_some() && !same_end(makings, a, b);
            skins(a) && turns(b) && far && is_later(makings, b)
        }),
    ),
    rule(
        "drill between roughing and finishing",
        "a wide hole heats the work and frees what stress is left: the outside is finished after it",
        Before(|job, makings, a, b| {
            is_drill(a) && turns(b) && same_end(makings, a, b) && drilled_between(job, makings, a, b)
        }),
    ),
    rule(
        "true, then off centre",
        "set over last, the throw is set from a finished section by the indicator, and no chuck that grips the bar again adds to it",
        Before(|job, makings, a, b| {
            let cuts = turns(a)
                || is_drill(a)
                || matches!(a.work, Work::Bore { .. } | Work::Ream { .. } | Work::Recess { .. });
            let eccentric = turns(a) && a.feature.is_some_and(|id| job.part.is_eccentric(id));
            cuts && !eccentric
                && set_over_last(job, makings, b)
                && same_end(makings, a, b)
                && end_of(makings, a).is_some()
        }),
    ),
    rule(
        "throws while the bar is stiff",
        "turned thin first, the journals would have to carry a cut that knocks round off centre: between its webs a throw is turned out of the whole bar, and its gap packed for what comes after",
        Before(|job, _, a, b| {
            let (Some(throw), Some(thin)) = (a.feature, b.feature) else { return false };
            turns(a)
                && turns(b)
                && throws::cranked(job, throw)
                && !job.part.is_eccentric(thin)
                && job.part.cut_diameter(thin) < throws::thinner_web(job, throw)
        }),
    ),
    rule(
        "the pin by the bar last",
        "once it is turned, all that stands beyond it hangs by the pin alone",
        Before(|job, makings, a, b| {
            let (Some(end), Some(pin)) = (end_of(makings, b), b.feature) else { return false };
            let cuts = skins(a)
                || is_drill(a)
                || matches!(
                    a.work,
                    Work::FaceEnd { .. }
                        | Work::Knurl
                        | Work::CutThread
                        | Work::Groove { .. }
                        | Work::Bore { .. }
                        | Work::Ream { .. }
                        | Work::Tap { .. }
                        | Work::Recess { .. }
                );
            turns(b)
                && cuts
                && same_end(makings, a, b)
                && throws::carries_the_rest(job, pin, end)
                && a.feature.and_then(|id| section_of(job, id)) != Some(pin)
        }),
    ),
    rule(
        "straight before taper",
        "the top slide is swung for the taper once everything that wants it square is done",
        Before(|_, makings, a, b| {
            matches!(a.work, Work::TurnSection { .. })
                && matches!(b.work, Work::TurnTaper { .. })
                && same_end(makings, a, b)
        }),
    ),
    rule(
        "turn before knurling",
        "the wheels roll a blank that is turned to its size",
        Before(|job, _, a, b| {
            turns(a) && b.work == Work::Knurl && b.feature.and_then(|id| section_of(job, id)) == a.feature
        }),
    ),
    rule(
        "knurl while stiff",
        "the wheels press hard: what is thinner or hollow comes after",
        Before(|job, makings, a, b| {
            let blank = a.feature.and_then(|id| job.part.cut_diameter(section_of(job, id)?));
            let thinner = match b.work {
                Work::TurnSection { diameter } => {
                    let own = a.feature.and_then(|id| section_of(job, id));
                    // A throw is out before what is true is thin enough to knurl.
                    let throw = b.feature.is_some_and(|id| throws::cranked(job, id));
                    b.feature != own && !throw && blank.is_some_and(|blank| diameter < blank)
                }
                Work::TurnTaper { .. } | Work::Recess { .. } => true,
                _ => is_drill(b) && end_of(makings, b).is_some(),
            };
            a.work == Work::Knurl && thinner && same_end(makings, a, b)
        }),
    ),
    rule(
        "chamfer last",
        "an edge is taken off when both its sides are there, and takes the burr of a knurl with it",
        Before(|job, makings, a, b| {
            let own = b.feature.and_then(|id| section_of(job, id));
            let beside = |id| {
                let next = |end| own.and_then(|own| job.part.neighbour(own, end));
                own == Some(id) || [SectionEnd::Left, SectionEnd::Right].iter().any(|&e| next(e) == Some(id))
            };
            let first = turns(a) || a.work == Work::Knurl;
            matches!(b.work, Work::Chamfer { .. })
                && first
                && a.feature.and_then(|id| section_of(job, id)).is_some_and(beside)
                && same_end(makings, a, b)
        }),
    ),
    rule(
        "chamfer before threading",
        "a die starts square on a chamfer",
        Before(|job, _, a, b| {
            matches!(a.work, Work::Chamfer { .. })
                && b.work == Work::CutThread
                && a.feature.and_then(|id| section_of(job, id)) == b.feature
        }),
    ),
    rule(
        "turn before threading",
        "a die follows a diameter that is turned to size",
        Before(|_, _, a, b| {
            a.feature == b.feature && matches!(a.work, Work::TurnSection { .. }) && b.work == Work::CutThread
        }),
    ),
    rule(
        "turn before grooving",
        "a groove is measured down from a finished diameter",
        Before(|job, _, a, b| {
            turns(a)
                && matches!(b.work, Work::Groove { .. })
                && b.feature.and_then(|id| section_of(job, id)) == a.feature
        }),
    ),
    rule(
        "necks last",
        "beyond a deep groove the work hangs by what is left in it: all that is turned or drilled true comes before",
        Before(|job, makings, a, b| {
            let (Work::Groove { diameter, .. }, Some(own)) =
                (&b.work, b.feature.and_then(|id| section_of(job, id)))
            else {
                return false;
            };
            let deep = job.part.cut_diameter(own).is_some_and(|across| *diameter * 3 < across * 2);
            let cuts = skins(a) || is_drill(a) || a.work == Work::Knurl;
            let true_running = a.feature.is_some_and(|id| !job.part.is_eccentric(id));
            deep && cuts
                && true_running
                && !job.part.is_eccentric(own)
                && same_end(makings, a, b)
                && end_of(makings, a).is_some()
        }),
    ),
    rule(
        "groove before threading",
        "the die runs out into the groove",
        Before(|job, _, a, b| {
            matches!(a.work, Work::Groove { .. })
                && b.work == Work::CutThread
                && a.feature.and_then(|id| section_of(job, id)) == b.feature
        }),
    ),
    rule(
        "outside before the hole",
        "turned over a hole, a thin wall gives way under the tool",
        Before(|job, makings, a, b| {
            let finishing = turns(a) && !thins(job, a, b) && !drilled_between(job, makings, b, a);
            (finishing || roughs(a))
                && (is_drill(b) || matches!(b.work, Work::Recess { .. }))
                && end_of(makings, b).is_some()
                && same_end(makings, a, b)
                && !on_mandrel(makings, a)
                && !set_over_last(job, makings, a)
        }),
    ),
    rule(
        "bore while the wall is thick",
        "what would be left so thin gives under a boring tool: the metal round it comes off last, in light cuts",
        Before(|job, makings, a, b| {
            let bores = is_drill(a)
                || matches!(
                    a.work,
                    Work::Bore { .. } | Work::Ream { .. } | Work::Tap { .. } | Work::Recess { .. }
                );
            bores && turns(b) && same_end(makings, a, b) && end_of(makings, a).is_some() && thins(job, b, a)
        }),
    ),
    rule(
        "centre before drilling",
        "the tailstock's centre has done its work before a drill takes its hole away",
        Before(|_, makings, a, b| {
            matches!(a.work, Work::CentreEnd { .. }) && is_drill(b) && same_end(makings, a, b)
        }),
    ),
    rule(
        "turn before flats",
        "flats are measured from a round that is finished, thread and all",
        Before(|job, _, a, b| {
            matches!(b.work, Work::MillFlats { .. })
                && (turns(a) || a.work == Work::CutThread)
                && a.feature.is_some()
                && b.feature.and_then(|id| section_of(job, id)) == a.feature
        }),
    ),
    rule(
        "turn before what stands in the end",
        "an interrupted cut over holes or slots knocks their edges",
        Before(|_, makings, a, b| {
            let upright = b.places.first().map(|&place| &makings.places[place].holding);
            let end = upright.filter(|holding| matches!(holding.held, Held::Upright { .. })).map(|h| h.up);
            (turns(a) || matches!(a.work, Work::Recess { .. })) && end.is_some() && end_of(makings, a) == end
        }),
    ),
    rule(
        "turn before the cross hole",
        "a drill starts true across a finished diameter, and the turning tool does not knock in its mouth",
        Before(|job, _, a, b| {
            let crosses =
                b.feature.is_some_and(|id| !matches!(job.part.feature(id).face, Face::Left | Face::Right));
            turns(a)
                && (is_drill(b) || matches!(b.work, Work::MillSlot { .. }))
                && crosses
                && b.feature.and_then(|id| section_of(job, id)) == a.feature
        }),
    ),
];
