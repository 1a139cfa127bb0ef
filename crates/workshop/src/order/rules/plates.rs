//! What a plate or block asks for: locators, outlines, slits, pairs.

use super::{
    Before, HoldingNeeds, Makes, Needs, Rule, Spoils, finishes, from_edges, is_drill, is_piece, lines, of,
    outlines, overlap, rule, slit_into, underside,
};
use crate::drawing::{Face, FeatureId, Kind};
use crate::order::deed::{Beside, Deed, Flat, Lot, Token};
use crate::order::work::{Held, Located, Machine, Work};
use crate::order::{offers, waste};

/// The rules of plates.
pub(super) const RULES: &[Rule] = &[
    rule(
        "face, then stick",
        "only pieces of one thickness, face to face, lie flat",
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
            // Side by side both are cut in one holding, the first hand first at every tool.
            let beside = job.scheme.beside == Beside::SideBySide;
            matches!((a.lot, b.lot), (Lot::Piece(0), Lot::Piece(1)))
                && job.singles().len() == 2
                && ![a, b].iter().any(|d| d.work == Work::FaceToThickness)
                && (!beside || (&a.work, a.feature) == (&b.work, b.feature))
        }),
    ),
    rule(
        "round in order",
        "the outline is gone round anticlockwise, so that every cut runs against the feed and begins where the last one ended",
        Before(|_, _, a, b| {
            let piece = |deed: &Deed| match deed.work {
                Work::MillSide { piece }
                | Work::StepArc { piece }
                | Work::TurnArc { piece }
                | Work::FileSide { piece } => Some(piece),
                _ => None,
            };
            let same = a.lot == b.lot && a.places == b.places;
            same && matches!((piece(a), piece(b)), (Some(one), Some(two)) if one < two)
        }),
    ),
    rule(
        "everything square, then the outline",
        "once the outline is cut there is no square edge left to work from",
        Before(|_, makings, a, b| {
            let square = from_edges(makings, a) && !matches!(a.work, Work::Slit | Work::StepEnd);
            (is_piece(b) || b.work == Work::StepEnd) && square && !is_piece(a) && overlap(a, b)
        }),
    ),
    rule(
        "rough, then cut the outline",
        "what is sawn or broken off need not be milled away, and the cutter leaves the true line",
        Before(|_, _, a, b| {
            matches!(a.work, Work::RoughOut { .. }) && waste::cuts_outline(b) && overlap(a, b)
        }),
    ),
    rule(
        "a line to work to",
        "it is sawn or filed to scribed lines",
        Needs(
            |job, _, deed| {
                if waste::to_a_line(deed) && !job.is_turned() { lines(job, deed.lot) } else { Vec::new() }
            },
        ),
    ),
    rule(
        "scribed lines",
        "lines are scribed from square edges",
        Makes(|job, _, deed| if deed.work == Work::MarkOut { lines(job, deed.lot) } else { Vec::new() }),
    ),
    rule(
        "step, then file the ridges",
        "the file only takes off the ridges that the cutter leaves",
        Before(|_, _, a, b| {
            let (Work::StepArc { .. } | Work::StepEnd, Work::FileRidges { piece }) = (&a.work, &b.work)
            else {
                return false;
            };
            let same = match a.work {
                Work::StepArc { piece: stepped } => *piece == Some(stepped),
                _ => piece.is_none() && a.feature == b.feature,
            };
            same && overlap(a, b)
        }),
    ),
    rule(
        "the pair or each piece",
        "what blends or lines up is cut on the stack all of it, or all of it on each piece",
        Needs(|_, makings, deed| offers::whose(makings, deed).map(|(own, _)| own).into_iter().collect()),
    ),
    rule(
        "begun on the one or the other",
        "what is begun on the stack is not gone on with on a piece, nor the other way about",
        Spoils(|_, makings, deed| offers::whose(makings, deed).map(|(_, other)| other).into_iter().collect()),
    ),
    rule(
        "mill, then file",
        "a rounding is filed to blend with the sides that are milled",
        Before(|_, _, a, b| {
            matches!(
                a.work,
                Work::MillSide { .. }
                    | Work::StepArc { .. }
                    | Work::TurnArc { .. }
                    | Work::RoundEnd
                    | Work::StepEnd
            ) && matches!(b.work, Work::FileSide { .. } | Work::FileRound)
                && overlap(a, b)
        }),
    ),
    rule(
        "ends, then the line between",
        "flanks are filed to a line drawn tangent to the rounded ends",
        Before(|job, _, a, b| {
            let to_a_line = matches!(a.work, Work::FileSide { .. } | Work::FileRound)
                && a.feature.is_some_and(|id| matches!(job.part.feature(id).kind, Kind::Boss { .. }));
            (to_a_line || matches!(a.work, Work::RoundEnd | Work::FileEnd | Work::StepEnd))
                && matches!(b.work, Work::FileFlanks { .. })
                && overlap(a, b)
        }),
    ),
    rule(
        "stuck together",
        "all are cut at once only while they are one piece",
        HoldingNeeds(|_, place| {
            // On the bench it is stuck and parted, and marked out from its edges meanwhile.
            let whole =
                place.holding.held != Held::Bench || matches!(place.holding.located, Located::Edges(..));
            if place.lot == Lot::Stack && whole { vec![Token::Stuck] } else { Vec::new() }
        }),
    ),
    rule(
        "stick",
        "adhesive holds the stack",
        Makes(|_, _, deed| if deed.work == Work::Stick { vec![Token::Stuck] } else { Vec::new() }),
    ),
    rule(
        "nothing to part",
        "only what is stuck can be parted",
        Needs(|_, _, deed| if deed.work == Work::Part { vec![Token::Stuck] } else { Vec::new() }),
    ),
    rule(
        "part",
        "what is parted cannot be put back in line",
        Spoils(
            |_, _, deed| {
                if deed.work == Work::Part { vec![Token::Stuck, Token::Screwed] } else { Vec::new() }
            },
        ),
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
            let piece = place.lot != Lot::Stack && place.holding.located != Located::SawnBlank;
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
        "scribed from the edges",
        "the circle that a disc is turned to is scribed from square edges",
        HoldingNeeds(|job, place| {
            if place.holding.held == Held::PressurePads {
                of(job, place.lot, Token::Edges)
            } else {
                Vec::new()
            }
        }),
    ),
    rule(
        "squared edges",
        "two edges are square to each other",
        Makes(|job, makings, deed| {
            let sized = makings.deeds.iter().any(|other| other.work == Work::MillToSize);
            let makes = if sized { deed.work == Work::MillToSize } else { deed.work == Work::SquareEdges };
            if makes { of(job, deed.lot, Token::Edges) } else { Vec::new() }
        }),
    ),
    rule(
        "the outline takes the edges",
        "cutting the outline takes away the square edges that the vice and the edge finder use",
        Spoils(
            |job, makings, deed| {
                if outlines(makings, deed) { of(job, deed.lot, Token::Edges) } else { Vec::new() }
            },
        ),
    ),
    rule(
        "a bore to work from",
        "the work is centred and held by a finished bore, round and closed",
        HoldingNeeds(|job, place| {
            let mut bores: Vec<FeatureId> = match &place.holding.held {
                Held::BoltOnPlate { bores }
                | Held::PlateOnEdge { bores }
                | Held::PlateSwung { bores }
                | Held::PlateTurned { bores, .. } => bores.clone(),
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
            if place.holding.machine == Machine::RotaryTable { underside(job, place) } else { Vec::new() }
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
            let finishing =
                matches!(deed.work, Work::Ream { .. } | Work::Bore { .. } | Work::TrueHole { .. });
            let bore = deed.feature.filter(|_| is_drill(deed) || finishing);
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
        Needs(|job, makings, deed| {
            let bosses = match &deed.work {
                Work::MillFlanks { joins } | Work::FileFlanks { joins } => {
                    joins.iter().flat_map(|&(a, b)| [a, b]).collect()
                }
                _ if outlines(makings, deed) || deed.work == Work::StepEnd => {
                    deed.feature.into_iter().collect()
                }
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
];
