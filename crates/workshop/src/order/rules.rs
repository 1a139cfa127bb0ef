//! What must come before what, and why: one list, each row with its reason.
//!
//! A row says either that one deed comes before another, or which [`Token`] a deed or
//! a holding needs, makes or takes away. `because` is printed on the sheet, so it is
//! written for the person at the machine. A new rule is one row here and one case in
//! the test.

use super::deed::{Deed, Flat, Job, Lot, Makings, Place, Token};
use super::work::{Held, Located, Machine, Work};
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

/// Every rule the order of work knows.
pub(super) const RULES: &[Rule] = &[
    rule(
        "drill, then finish",
        "a reamer or boring tool only brings a drilled hole to size",
        Before(|_, _, a, b| {
            same_hole(a, b) && is_drill(a) && matches!(b.work, Work::Ream { .. } | Work::Bore { .. })
        }),
    ),
    rule(
        "drill, then tap",
        "a tap follows its own tapping drill",
        Before(|_, _, a, b| same_hole(a, b) && is_drill(a) && matches!(b.work, Work::Tap { .. })),
    ),
    rule(
        "drill, then open",
        "the clearance drill follows the tapping hole and so stays in line with it",
        Before(|_, _, a, b| same_hole(a, b) && is_drill(a) && matches!(b.work, Work::OpenClearance { .. })),
    ),
    rule(
        "open, then tap",
        "the clearance half steers the tap straight into the other half",
        Before(|_, _, a, b| {
            same_hole(a, b) && matches!((&a.work, &b.work), (Work::OpenClearance { .. }, Work::Tap { .. }))
        }),
    ),
    rule(
        "hole, then counterbore",
        "the hole shows where its counterbore goes and takes the metal from the middle",
        Before(|job, _, a, b| {
            let over = b.feature.map(|id| &job.part.feature(id).kind);
            matches!(over, Some(Kind::Counterbore { over, .. }) if is_for(job, a, *over))
                && is_drill(a)
                && overlap(a, b)
        }),
    ),
    rule(
        "face, then stick",
        "only a pair of one thickness, face to face, lies flat",
        Before(|_, _, a, b| matches!((&a.work, &b.work), (Work::FaceToThickness, Work::Stick))),
    ),
    rule(
        "face, then square",
        "edges are squared from a face that is true",
        Before(|_, _, a, b| {
            matches!((&a.work, &b.work), (Work::FaceToThickness, Work::SquareEdges)) && overlap(a, b)
        }),
    ),
    rule(
        "square, then size",
        "width and height are measured from the edges that are squared first",
        Before(|_, _, a, b| {
            matches!((&a.work, &b.work), (Work::SquareEdges, Work::MillToSize)) && overlap(a, b)
        }),
    ),
    rule(
        "one hand, then the other",
        "the numbers flip between the hands: one is finished before the other is begun",
        Before(|job, _, a, b| {
            matches!((a.lot, b.lot), (Lot::Piece(0), Lot::Piece(1)))
                && job.singles().len() == 2
                && ![a, b].iter().any(|d| d.work == Work::FaceToThickness)
        }),
    ),
    rule(
        "stuck together",
        "both are cut at once only while they are one piece",
        HoldingNeeds(|_, place| {
            if place.lot == Lot::Pair && place.holding.held != Held::Bench {
                vec![Token::Stuck]
            } else {
                Vec::new()
            }
        }),
    ),
    rule(
        "stick",
        "adhesive holds the pair",
        Makes(|_, _, deed| if deed.work == Work::Stick { vec![Token::Stuck] } else { Vec::new() }),
    ),
    rule(
        "nothing to part",
        "only what is stuck can be parted",
        Needs(|_, _, deed| if deed.work == Work::Part { vec![Token::Stuck] } else { Vec::new() }),
    ),
    rule(
        "part",
        "a parted pair cannot be put back in line",
        Spoils(|_, _, deed| if deed.work == Work::Part { vec![Token::Stuck] } else { Vec::new() }),
    ),
    rule(
        "parted",
        "the pieces are free",
        Makes(|_, _, deed| if deed.work == Work::Part { vec![Token::Apart] } else { Vec::new() }),
    ),
    rule(
        "one by one",
        "a piece is held by itself only when it is not stuck to the other",
        HoldingNeeds(|_, place| {
            let piece = matches!(place.lot, Lot::Piece(_)) && place.holding.located != Located::SawnBlank;
            if piece { vec![Token::Apart] } else { Vec::new() }
        }),
    ),
    rule(
        "edges to work from",
        "positions are read from square edges that bear in the vice",
        HoldingNeeds(|job, place| match place.holding.located {
            Located::Edges(..) => of(job, place.lot, Token::Edges),
            _ => Vec::new(),
        }),
    ),
    rule(
        "squared edges",
        "two edges are square to each other",
        Makes(|job, _, deed| {
            let sized = matches!(job.part.drawing.body, crate::drawing::Body::Rectangle { .. });
            let makes = if sized { deed.work == Work::MillToSize } else { deed.work == Work::SquareEdges };
            if makes { of(job, deed.lot, Token::Edges) } else { Vec::new() }
        }),
    ),
    rule(
        "the outline takes the edges",
        "cutting the outline takes away the square edges that the vice and the edge finder use",
        Spoils(|job, _, deed| if outlines(deed) { of(job, deed.lot, Token::Edges) } else { Vec::new() }),
    ),
    rule(
        "a bore to work from",
        "the work is centred and held by a finished bore, round and closed",
        HoldingNeeds(|job, place| {
            let mut bores: Vec<FeatureId> = match &place.holding.held {
                Held::BoltOnPlate { bores } | Held::PlateOnEdge { bores } | Held::PlateSwung { bores } => {
                    bores.clone()
                }
                Held::StubMandrel { bore } => vec![*bore],
                _ => Vec::new(),
            };
            match place.holding.located {
                Located::Bore(a) => bores.push(a),
                Located::TwoBores(a, b) => bores.extend([a, b]),
                _ => {}
            }
            bores.sort();
            bores.dedup();
            bores.into_iter().flat_map(|bore| of(job, place.lot, |piece| Token::Bore(bore, piece))).collect()
        }),
    ),
    rule(
        "buttons turn in a bore",
        "filing buttons sit in the finished bore",
        Needs(|job, _, deed| {
            let boss = deed.feature.filter(|_| deed.work == Work::FileEnd);
            let bore = boss.and_then(|id| job.part.xy(id)).and_then(|place| job.bore_on_axis(place));
            bore.map(|(bore, _)| of(job, deed.lot, |piece| Token::Bore(bore, piece))).unwrap_or_default()
        }),
    ),
    rule(
        "a finished bore",
        "a bore at its size locates",
        Makes(|job, _, deed| match deed.feature {
            Some(bore) if finishes(job, deed, bore) => of(job, deed.lot, |piece| Token::Bore(bore, piece)),
            _ => Vec::new(),
        }),
    ),
    rule(
        "flat on the table",
        "the work lies flat on the rotary table only while its underside is whole",
        HoldingNeeds(|job, place| {
            if place.holding.machine == Machine::RotaryTable {
                vec![underside(job, place)]
            } else {
                Vec::new()
            }
        }),
    ),
    rule(
        "a step takes the flat",
        "a stepped face rocks when the work is laid on it",
        Spoils(|job, _, deed| {
            let step = deed.feature.filter(|_| matches!(deed.work, Work::MillStep { .. }));
            match step.map(|id| job.part.feature(id).face) {
                Some(Face::Front) => of(job, deed.lot, |piece| Token::Flat(Flat::Front, piece)),
                Some(Face::Back) => of(job, deed.lot, |piece| Token::Flat(Flat::Back, piece)),
                _ => Vec::new(),
            }
        }),
    ),
    rule(
        "a slit opens its bore",
        "a slit bore springs and fits no stub or dowel any more",
        Spoils(|job, _, deed| {
            slit_into(job, deed)
                .map(|bore| of(job, deed.lot, |piece| Token::Bore(bore, piece)))
                .unwrap_or_default()
        }),
    ),
    rule(
        "a slit weakens its boss",
        "nothing solid is left on either side of the slit",
        Spoils(|job, _, deed| {
            slit_into(job, deed)
                .map(|bore| of(job, deed.lot, |piece| Token::Solid(bore, piece)))
                .unwrap_or_default()
        }),
    ),
    rule(
        "finish the bore before the slit",
        "a drill, reamer or boring tool catches in a slit and leaves the bore out of round",
        Needs(|job, _, deed| {
            let bore = deed
                .feature
                .filter(|_| is_drill(deed) || matches!(deed.work, Work::Ream { .. } | Work::Bore { .. }));
            bore.map(|bore| of(job, deed.lot, |piece| Token::Solid(bore, piece))).unwrap_or_default()
        }),
    ),
    rule(
        "clamp screw before the slit",
        "across a slit a drill runs off and a tap binds: the hole is made square in solid metal",
        Needs(|job, _, deed| {
            let Some(Kind::ClampScrew { across, .. }) = deed.feature.map(|id| &job.part.feature(id).kind)
            else {
                return Vec::new();
            };
            match job.part.feature(*across).kind {
                Kind::Slit { into, .. } => of(job, deed.lot, |piece| Token::Solid(into, piece)),
                _ => Vec::new(),
            }
        }),
    ),
    rule(
        "outline before the slit",
        "a slit boss springs away from the cutter",
        Needs(|job, _, deed| {
            let bosses = match &deed.work {
                Work::MillFlanks { joins } | Work::FileFlanks { joins } => {
                    joins.iter().flat_map(|&(a, b)| [a, b]).collect()
                }
                _ if outlines(deed) || deed.work == Work::StepEnd => deed.feature.into_iter().collect(),
                _ => Vec::new(),
            };
            let mut bores: Vec<FeatureId> = bosses
                .into_iter()
                .filter_map(|boss| job.bore_on_axis(job.part.xy(boss)?))
                .map(|(bore, _)| bore)
                .collect();
            bores.sort();
            bores.dedup();
            bores.into_iter().flat_map(|bore| of(job, deed.lot, |piece| Token::Solid(bore, piece))).collect()
        }),
    ),
    rule(
        "face the end first",
        "every length at an end is measured from its face",
        Needs(|_, makings, deed| match end_of(makings, deed) {
            Some(end) if !matches!(deed.work, Work::FaceEnd { .. }) => vec![faced(end)],
            _ => Vec::new(),
        }),
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
            matches!(a.work, Work::CentreEnd { .. })
                && same_end(makings, a, b)
                && matches!(b.work, Work::TurnSection { .. } | Work::Groove { .. } | Work::CutThread)
        }),
    ),
    rule(
        "thick before thin",
        "the bar stays stiff when the thickest section is turned first",
        Before(|_, makings, a, b| match (&a.work, &b.work) {
            (Work::TurnSection { diameter: thick }, Work::TurnSection { diameter: thin }) => {
                thick > thin && same_end(makings, a, b)
            }
            _ => false,
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
            matches!(a.work, Work::TurnSection { .. })
                && matches!(b.work, Work::Groove { .. })
                && b.feature.and_then(|id| section_of(job, id)) == a.feature
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
        Before(|_, makings, a, b| {
            matches!(a.work, Work::TurnSection { .. })
                && is_drill(b)
                && end_of(makings, b).is_some()
                && same_end(makings, a, b)
        }),
    ),
    rule(
        "on the bar",
        "the bar is what the chuck holds",
        HoldingNeeds(|_, place| match place.holding.held {
            Held::Chuck { on: None } | Held::Collet { on: None } => vec![Token::OnBar],
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
        HoldingNeeds(|_, place| match place.holding.held {
            Held::Chuck { on: Some(_) } | Held::Collet { on: Some(_) } | Held::VeeBlock { .. } => {
                vec![Token::OffBar]
            }
            _ => Vec::new(),
        }),
    ),
    rule(
        "held by a finished section",
        "only a finished section, round and unmarked, holds the work true",
        HoldingNeeds(|_, place| match place.holding.held {
            Held::Chuck { on: Some(section) }
            | Held::Collet { on: Some(section) }
            | Held::VeeBlock { on: section } => vec![Token::Section(section)],
            _ => Vec::new(),
        }),
    ),
    rule(
        "a turned section",
        "a section at its size can be held",
        Makes(|_, _, deed| match (&deed.work, deed.feature) {
            (Work::TurnSection { .. }, Some(section)) => vec![Token::Section(section)],
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
        "turn before the cross hole",
        "a drill starts true across a finished diameter, and the turning tool does not knock in its mouth",
        Before(|job, _, a, b| {
            let crosses =
                b.feature.is_some_and(|id| !matches!(job.part.feature(id).face, Face::Left | Face::Right));
            matches!(a.work, Work::TurnSection { .. })
                && is_drill(b)
                && crosses
                && b.feature.and_then(|id| section_of(job, id)) == a.feature
        }),
    ),
    rule(
        "measure from a faced end",
        "a cross hole is placed from a faced end",
        HoldingNeeds(|_, place| match (&place.holding.held, place.holding.located) {
            (Held::VeeBlock { .. }, Located::EndAndAxis(end)) => vec![faced(end)],
            _ => Vec::new(),
        }),
    ),
];

/// Where a printed reason comes from, and which row it is.
pub(super) fn source(because: &str) -> String {
    let row = RULES.iter().find(|rule| rule.because == because);
    row.map_or(PRACTICE.to_owned(), |rule| format!("{}: {}", rule.source, rule.name))
}

/// One token for each piece of a lot.
fn of(job: &Job, lot: Lot, token: impl Fn(usize) -> Token) -> Vec<Token> {
    job.pieces_of(lot).into_iter().map(token).collect()
}

fn is_drill(deed: &Deed) -> bool {
    matches!(deed.work, Work::Drill { .. })
}

/// Whether two deeds cut the same metal.
fn overlap(a: &Deed, b: &Deed) -> bool {
    a.lot == b.lot || a.lot == Lot::Pair || b.lot == Lot::Pair
}

fn same_hole(a: &Deed, b: &Deed) -> bool {
    a.feature.is_some() && a.feature == b.feature && overlap(a, b)
}

/// Whether a deed is for a feature, or for the pitch circle it stands on.
fn is_for(job: &Job, deed: &Deed, id: FeatureId) -> bool {
    deed.feature.is_some_and(|own| {
        own == id
            || matches!(&job.part.feature(own).kind, Kind::PitchCircle { holes, .. } if holes.contains(&id))
    })
}

/// Whether a deed cuts away the square edges of the blank.
fn outlines(deed: &Deed) -> bool {
    matches!(
        deed.work,
        Work::RoundEnd | Work::FileEnd | Work::TurnDisc | Work::MillFlanks { .. } | Work::FileFlanks { .. }
    )
}

/// Whether a deed brings a bore to its size.
fn finishes(job: &Job, deed: &Deed, bore: FeatureId) -> bool {
    let Kind::Hole { diameter, .. } = job.part.feature(bore).kind else { return false };
    match deed.work {
        Work::Ream { .. } | Work::Bore { .. } => true,
        Work::Drill { .. } => job.hole_tools(diameter).1.is_none(),
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

/// The face that a holding's work lies on.
fn underside(job: &Job, place: &Place) -> Token {
    let front_up = place.holding.up == Face::Front;
    match (place.lot, job.pieces_of(place.lot).len()) {
        // Opposite hands lie back to back: below is the other hand's front.
        (Lot::Pair, 2) => Token::Flat(Flat::Front, usize::from(front_up)),
        (lot, _) => {
            let piece = job.pieces_of(lot)[0];
            Token::Flat(if front_up { Flat::Back } else { Flat::Front }, piece)
        }
    }
}

const fn faced(end: Face) -> Token {
    match end {
        Face::Right => Token::FacedRight,
        _ => Token::FacedLeft,
    }
}

/// The end that is worked, of a deed in the lathe's chuck.
fn end_of(makings: &Makings, deed: &Deed) -> Option<Face> {
    let holding = &makings.places[*deed.places.first()?].holding;
    matches!(holding.held, Held::Chuck { .. } | Held::Collet { .. }).then_some(holding.up)
}

fn same_end(makings: &Makings, a: &Deed, b: &Deed) -> bool {
    end_of(makings, a) == end_of(makings, b)
}

/// The section that something on a turned part stands in.
fn section_of(job: &Job, id: FeatureId) -> Option<FeatureId> {
    job.part.along(id).and_then(|at| job.part.section_at(at))
}
