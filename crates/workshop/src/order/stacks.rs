//! How many pieces are stuck together, and what lies side by side: the ways of going about
//! several of one part, and their names.
//!
//! Stacks are as equal as may be, so that of seven pieces in stacks of three the others have
//! two. Of every number of stacks the height is offered that stands firm, goes under the head,
//! and that some tool still reaches through; the search finds what each costs, and the
//! cheapest is taken.

use super::deed::{Beside, Job, Scheme};
use super::uses::Uses;
use super::work::{Chosen, Holding, Joined, Machine, OrderOfWork, Priced, Sure};
use super::{beside, screwed, turned};
use crate::bench::Bench;
use crate::drawing::{Body, Depth, Face, Form, Kind, Part};
use crate::measure::Length;
use crate::metric::MetricPart;
use crate::tables::processes::limit;

/// The ways of going about a part, and how often the order is gone through.
pub(super) fn schemes(
    part: &Part,
    metric: &MetricPart,
    bench: &Bench,
) -> (Vec<(Scheme, Option<turned::First>)>, u32) {
    let (hands, make) = (part.drawing.hands.len(), part.drawing.make);
    if matches!(part.drawing.body, Body::Turned { .. }) {
        // All of them through one setting of the chuck, then all through the next.
        let all = make * hands.max(1) as u32;
        let times = all.div_ceil(MOST_AT_ONCE).max(1);
        let scheme = Scheme::apart(all.div_ceil(times).max(1));
        return (turned::ways(part).into_iter().map(|first| (scheme, Some(first))).collect(), times);
    }
    // Of very many not all go through at once.
    let most = if hands == 2 { MOST_AT_ONCE / 2 } else { MOST_AT_ONCE };
    let times = make.div_ceil(most).max(1);
    let make = make.div_ceil(times).max(1);
    let plain = if hands == 2 { Scheme::hands(make) } else { Scheme::apart(make) };
    // What is parted goes through by itself.
    if part.drawing.parted.is_some() {
        return (vec![(plain, None)], times);
    }
    // Castings have no flat faces to stick together.
    let flat = part.drawing.stock.as_ref().is_none_or(|stock| stock.form != Form::Casting);
    let job = Job { part, metric, bench, scheme: plain };
    (ways(&job, plain, flat).into_iter().map(|scheme| (scheme, None)).collect(), times)
}

/// So many pieces go through the order at once; where there are more, it is gone through again.
const MOST_AT_ONCE: u32 = 24;

/// The ways of going about several pieces of one part that are worth a plan: in stacks, side by
/// side, and one after another. What lies side by side may lie in turn too, so it comes first. Screwed stacks
/// are only among them where the person speaks of such: else the one is planned that stands beside the best.
fn ways(job: &Job, plain: Scheme, flat: bool) -> Vec<Scheme> {
    if plain.pieces() == 1 {
        return vec![plain];
    }
    let heights = if flat { heights(job, plain) } else { Vec::new() };
    let stuck: Vec<Scheme> = heights.into_iter().map(|high| plain.stuck(high)).collect();
    let screwed: Vec<Scheme> = match screwed::asked_for(job) {
        true => stuck.iter().filter_map(|&scheme| screwed::instead_of(&Job { scheme, ..*job })).collect(),
        false => Vec::new(),
    };
    let all = stuck.into_iter().chain([plain]).chain(screwed);
    let both = all.flat_map(|scheme| [scheme.side_by_side(), scheme]);
    both.filter(|&scheme| scheme.beside == Beside::InTurn || beside::any(&Job { scheme, ..*job })).collect()
}

/// Which way was taken of going about several pieces, and which others there are.
pub(super) fn chosen(taken: Scheme, every: &[Scheme], setups: &[Holding]) -> Option<Chosen> {
    if every.iter().all(|scheme| *scheme == taken) || taken.pieces() < 2 {
        return None;
    }
    let taken = as_used(taken, setups);
    let others = every.iter().filter(|&&scheme| scheme != taken).map(|&scheme| name(scheme, every));
    Some(Chosen {
        name: question(taken).into(),
        taken: name(taken, every),
        others: others.collect(),
        out: Vec::new(),
    })
}

/// A way whose order has nothing side by side is the one after another.
fn as_used(scheme: Scheme, setups: &[Holding]) -> Scheme {
    let beside = setups.iter().any(|holding| holding.pieces.beside() > 1);
    if beside { scheme } else { Scheme { beside: Beside::InTurn, ..scheme } }
}

/// What the other ways would add to an order, each with its name; where it was not planned, why.
pub(super) fn priced(
    taken: Scheme,
    costs: &[(Scheme, Option<(Uses, Sure)>)],
    order: &OrderOfWork,
) -> Vec<Priced> {
    let every: Vec<Scheme> = costs.iter().map(|(scheme, _)| *scheme).collect();
    let used = as_used(taken, &order.setups);
    let others = costs.iter().filter(|(scheme, _)| *scheme != taken && *scheme != used);
    let priced = others.map(|(scheme, cost)| Priced {
        name: question(*scheme).into(),
        way: name(*scheme, &every),
        comes_to: match cost {
            Some((uses, sure)) => comes_to(uses, *sure, &order.uses),
            None if scheme.beside == Beside::SideBySide => "would take more setups".into(),
            None => "would take as often as there are pieces what one takes, which is more".into(),
        },
    });
    priced.collect()
}

/// What another way comes to, beside the one that was taken.
pub(super) fn comes_to(uses: &Uses, sure: Sure, taken: &Uses) -> String {
    let more = uses.more_than(taken).words();
    match sure {
        Sure::Optimal => format!("would add {more}"),
        Sure::Within => format!("would add {more} in the best order found"),
    }
}

/// How tall stacks may be, the tallest first.
fn heights(job: &Job, plain: Scheme) -> Vec<u32> {
    let pieces = plain.pieces();
    let mut heights: Vec<u32> = (1..pieces).map(|stacks| pieces.div_ceil(stacks)).collect();
    heights.dedup();
    heights.retain(|&high| serves(job, high));
    heights
}

/// Whether a stack stands no taller than it is wide, goes under the head with a drill as long
/// as it is high above it, and some tool reaches through it.
fn serves(job: &Job, high: u32) -> bool {
    let part = job.part;
    let metal = part.thickness() * i64::from(high);
    let [left, right, bottom, top] = part.edges();
    let margin = limit("blank margin") * 2;
    let narrow = (right - left).min(top - bottom) + margin;
    let firm = high == 2 || metal <= narrow;
    firm && metal * 2 <= job.bench.mill.travel[2] && (job.mill_covers(metal) || drilled(job, metal))
}

/// Whether some hole right through is drilled through so much metal.
fn drilled(job: &Job, metal: Length) -> bool {
    let part = job.part;
    part.features().any(|(_, feature)| {
        let bit = match feature.kind {
            Kind::Hole { diameter, depth: Depth::Through, .. } => job.hole_tools(diameter).0,
            Kind::Tapped { thread, depth: Depth::Through } => job.tapping_drill(thread),
            _ => return false,
        };
        let flat = matches!(feature.face, Face::Front | Face::Back);
        flat && job.reaches_into(&super::work::Tool::Drill(bit), metal)
    })
}

/// What a way of going about several pieces is called among others, as the part file says it.
fn name(scheme: Scheme, every: &[Scheme]) -> String {
    let same = |one: &&Scheme| (one.high, one.joined) == (scheme.high, scheme.joined);
    let how = if scheme.joined == Joined::Screwed { SCREWED } else { STUCK };
    let stuck = match scheme.high {
        1 => NEVER.to_owned(),
        2 if scheme.pieces() == 2 => how.into(),
        high => format!("{how} by {}", number(high)),
    };
    match scheme.beside {
        Beside::SideBySide => format!("{stuck}, side by side"),
        Beside::InTurn if every.iter().filter(same).count() > 1 => format!("{stuck}, one after another"),
        Beside::InTurn => stuck,
    }
}

/// What the choice between them is called.
pub(super) fn question(scheme: Scheme) -> &'static str {
    if scheme.pieces() == 2 { "the two pieces" } else { "the pieces" }
}

/// Whether words name ways of going about several pieces.
pub(super) fn is_name(words: &str) -> bool {
    parts(words).iter().all(|part| {
        matches!(*part, STUCK | SCREWED | NEVER | "side by side" | "one after another")
            || held_by(part).is_some()
    })
}

/// Whether words of which [`is_name`] holds name this way.
pub(super) fn fits(scheme: Scheme, words: &str) -> bool {
    parts(words).iter().all(|part| match *part {
        STUCK => scheme.sticks() && scheme.joined == Joined::Stuck,
        SCREWED => scheme.sticks() && scheme.joined == Joined::Screwed,
        NEVER => !scheme.sticks(),
        "side by side" => scheme.beside == Beside::SideBySide,
        "one after another" => scheme.beside == Beside::InTurn,
        part => held_by(part) == Some((scheme.joined, scheme.high)),
    })
}

pub(super) const STUCK: &str = "stuck together";
const SCREWED: &str = "screwed together";
const NEVER: &str = "never stuck together";

fn parts(words: &str) -> Vec<&str> {
    let bare = words.split_once(": ").map_or(words, |(_, rest)| rest);
    bare.split(", ").collect()
}

fn held_by(words: &str) -> Option<(Joined, u32)> {
    let ways = [(STUCK, Joined::Stuck), (SCREWED, Joined::Screwed)];
    let (joined, rest) = ways.iter().find_map(|(how, joined)| Some((*joined, words.strip_prefix(how)?)))?;
    let high = rest.strip_prefix(" by ")?;
    (2..=MOST_NAMED).find(|&n| number(n) == high || n.to_string() == high).map(|high| (joined, high))
}

/// More pieces than this are in no stack.
const MOST_NAMED: u32 = 100;

fn number(n: u32) -> String {
    let words = ["two", "three", "four", "five", "six"];
    n.checked_sub(2).and_then(|at| words.get(at as usize)).map_or(n.to_string(), |&word| word.into())
}

/// What an order supposes of the vice where pieces lie side by side in it.
pub(super) fn supposed(job: &Job, holding: &Holding) -> Option<String> {
    let beside = holding.pieces.beside() > 1 && holding.machine == Machine::Mill;
    let stated = job.bench.mill.vice.is_some();
    (holding.held.in_vice() && beside && !stated).then(|| {
        format!("the jaws of the mill's vice are {} wide (`vice_width`)", job.bench.mill.vice_width())
    })
}
