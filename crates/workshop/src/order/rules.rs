//! What must come before what, and why: one list, each row with its reason.
//!
//! A row says either that one deed comes before another, or which [`Token`] a deed or
//! a holding needs, makes or takes away. `because` is printed on the sheet, so it is
//! written for the person at the machine. A new rule is one row here and one case in
//! the test.

mod by_hand;
mod hard;
mod held;
mod holes;
mod parted;
mod plates;
mod screwed;
pub(super) mod thin;
mod turned;

use super::all_over::is_later;
use super::deed::{Deed, Flat, Job, Lot, Makings, Place, Token};
use super::roughing::roughs;
use super::work::{Pieces, Tool, Work};
use crate::drawing::{Face, FeatureId, Kind};

/// One rule of the trade.
pub(super) struct Rule {
    /// Its name, printed beside its source.
    pub name: &'static str,
    /// The reason, to follow "because".
    pub because: &'static str,
    /// Where it comes from.
    pub source: &'static str,
    pub says: Says,
}

type OfDeed = fn(&Job, &Makings, &Deed) -> Vec<Token>;

/// What a rule says.
pub(super) enum Says {
    /// The first deed comes before the second.
    Before(fn(&Job, &Makings, &Deed, &Deed) -> bool),
    /// A deed needs these.
    Needs(OfDeed),
    /// A holding needs these.
    HoldingNeeds(fn(&Job, &Place) -> Vec<Token>),
    /// A deed leaves these behind.
    Makes(OfDeed),
    /// A deed takes these away.
    Spoils(OfDeed),
}

use Says::{Before, HoldingNeeds, Makes, Needs, Spoils};

const PRACTICE: &str = "common practice";

const fn rule(name: &'static str, because: &'static str, says: Says) -> Rule {
    Rule { name, because, source: PRACTICE, says }
}

/// Every rule the order of work knows: of holes, of plates and their stacks, of turned parts, of what holds those, then of hardening.
pub(super) fn all() -> impl Iterator<Item = &'static Rule> {
    holes::RULES
        .iter()
        .chain(plates::RULES)
        .chain(parted::RULES)
        .chain(screwed::RULES)
        .chain(by_hand::RULES)
        .chain(turned::RULES)
        .chain(held::RULES)
        .chain(hard::RULES)
}

/// Where a printed reason comes from, and which row it is.
pub(super) fn source(because: &str) -> String {
    let row = all().find(|rule| rule.because == because);
    row.map_or(PRACTICE.to_owned(), |rule| format!("{}: {}", rule.source, rule.name))
}

/// One token for each piece of a lot.
fn of(job: &Job, lot: Lot, token: impl Fn(usize) -> Token) -> Vec<Token> {
    job.pieces_of(lot).into_iter().map(token).collect()
}

/// The lines that are scribed on a lot: of a stack of more than two on its outer faces alone, where they
/// serve the stack and no piece of it afterwards.
pub(super) fn lines(job: &Job, lot: Lot) -> Vec<Token> {
    if lot == Lot::Stack && job.scheme.high > 2 {
        vec![Token::LinesOfStack]
    } else {
        of(job, lot, Token::Lines)
    }
}

fn is_drill(deed: &Deed) -> bool {
    matches!(deed.work, Work::Drill { .. } | Work::ChainDrill { .. })
}

/// Whether two deeds are done with tools of one kind, the first with the smaller.
fn goes_first(a: &Deed, b: &Deed) -> bool {
    let size = |deed: &Deed| match (&deed.tool, &deed.work) {
        (Tool::Drill(drill), Work::Drill { .. }) => Some((0, drill.diameter)),
        (Tool::Reamer(reamer), _) => Some((1, reamer.diameter)),
        (Tool::Tap(thread), _) => Some((2, thread.major)),
        _ => None,
    };
    match (size(a), size(b)) {
        (Some((kind, one)), Some((same, two))) if kind == same => (one, a.feature) < (two, b.feature),
        _ => false,
    }
}

/// Whether two deeds cut the same metal.
fn overlap(a: &Deed, b: &Deed) -> bool {
    a.lot.meets(b.lot)
}

fn same_hole(a: &Deed, b: &Deed) -> bool {
    a.feature.is_some() && a.feature == b.feature && overlap(a, b)
}

/// Whether a deed is for a feature, or for the pitch circle or row it stands in.
pub(super) fn is_for(job: &Job, deed: &Deed, id: FeatureId) -> bool {
    deed.feature.is_some_and(|own| {
        own == id || job.part.feature(own).kind.pattern().is_some_and(|holes| holes.contains(&id))
    })
}

/// Whether a deed cuts away the square edges of the blank.
fn outlines(makings: &Makings, deed: &Deed) -> bool {
    match deed.work {
        Work::RoundEnd
        | Work::TurnArc { .. }
        | Work::FileEnd
        | Work::TurnDisc
        | Work::MillFlanks { .. }
        | Work::FileFlanks { .. }
        | Work::FileSide { .. }
        | Work::FileRound
        | Work::FileRidges { .. }
        | Work::RoughOut { .. } => true,
        // Picked up from those edges once, it is finished before anything else is begun.
        Work::MillSide { .. } | Work::StepArc { .. } => !from_edges(makings, deed),
        _ => false,
    }
}

/// Whether a deed forms a piece of an outline of corners and arcs.
fn is_piece(deed: &Deed) -> bool {
    matches!(
        deed.work,
        Work::MillSide { .. } | Work::StepArc { .. } | Work::TurnArc { .. } | Work::FileSide { .. }
    )
}

/// Whether a deed may be done from square edges.
fn from_edges(makings: &Makings, deed: &Deed) -> bool {
    let located = deed.places.iter().map(|&place| makings.places[place].holding.located);
    located.into_iter().any(|located| matches!(located, super::work::Located::Edges(..)))
}

/// Whether a deed brings a bore to its size.
pub(super) fn finishes(job: &Job, deed: &Deed, bore: FeatureId) -> bool {
    let Kind::Hole { diameter, .. } = job.part.feature(bore).kind else { return false };
    match deed.work {
        Work::Ream { .. } | Work::Bore { .. } | Work::FileHoleRound { .. } => true,
        Work::Drill { diameter: drilled, .. } => {
            let (last, then) = job.hole_tools(diameter);
            then.is_none()
                && drilled == last.diameter
                && !super::chains::is_half(job, deed.feature, &deed.work)
        }
        _ => false,
    }
}

/// The bore that a deed slits.
fn slit_into(job: &Job, deed: &Deed) -> Option<FeatureId> {
    match deed.feature.map(|id| &job.part.feature(id).kind) {
        Some(Kind::Slit { into, .. }) => Some(*into),
        _ => None,
    }
}

/// The faces that a holding's work lies on: of stacks of odd and even height one of each.
fn underside(job: &Job, place: &Place) -> Vec<Token> {
    let front_up = place.holding.up == Face::Front;
    let own = |piece| Token::Flat(if front_up { Flat::Back } else { Flat::Front }, piece);
    let Pieces::Stack(lots) = place.holding.pieces else {
        return job.pieces_of(place.lot).into_iter().map(own).collect();
    };
    if !job.scheme.both_hands() {
        return vec![own(0)];
    }
    // Opposite hands lie back to back by turns: below an even stack is the other hand's front.
    let mut all = Vec::new();
    for high in [lots.high, lots.lowest()] {
        let token = match high % 2 {
            0 => Token::Flat(Flat::Front, usize::from(front_up)),
            _ => own(usize::from(!front_up)),
        };
        if !all.contains(&token) {
            all.push(token);
        }
    }
    all
}

const fn faced(end: Face) -> Token {
    match end {
        Face::Right => Token::FacedRight,
        _ => Token::FacedLeft,
    }
}

/// The end that is worked, of a deed on a part that turns in the lathe.
fn end_of(makings: &Makings, deed: &Deed) -> Option<Face> {
    let holding = &makings.places[*deed.places.first()?].holding;
    holding.held.turns().then_some(holding.up)
}

fn same_end(makings: &Makings, a: &Deed, b: &Deed) -> bool {
    end_of(makings, a) == end_of(makings, b) && !put_off(makings, a, b)
}

/// Whether the first of two deeds is put off to a third holding, in which the other is never done.
fn put_off(makings: &Makings, a: &Deed, b: &Deed) -> bool {
    is_later(makings, a) && !a.places.iter().any(|place| b.places.contains(place))
}

/// The section that something on a turned part stands in.
fn section_of(job: &Job, id: FeatureId) -> Option<FeatureId> {
    job.part.section_of(id)
}

/// Whether a deed takes metal off round a section.
const fn skins(deed: &Deed) -> bool {
    turns(deed) || roughs(deed)
}

/// Whether a deed brings a section to its size.
const fn turns(deed: &Deed) -> bool {
    matches!(deed.work, Work::TurnSection { .. } | Work::TurnTaper { .. })
}
