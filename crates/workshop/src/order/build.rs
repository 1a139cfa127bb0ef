//! From deeds, places and rules to the exact model.

use std::collections::BTreeMap;

use super::deed::{Deed, Job, Lot, Makings, Token};
use super::model::{
    After, AidId, Choice, GroupId, MachineId, Model, Need, OpId, Operation, Presence, Sets, Setup, SetupId,
    Spoil, TokenId, ToolId, Way,
};
use super::rules::{self, Says};
use super::work::{Aid, Held, Joined, Machine, Pieces, Tool};
use crate::tables::processes::holding;

/// The model of some makings, and what each of its tokens is. Operation `n` is deed
/// `n`, setup `n` is place `n`.
pub(super) fn model(job: &Job, makings: &Makings) -> (Model, Vec<Token>) {
    let mut model = Model::default();
    let tokens = tokens(job, makings, &mut model);
    setups(job, makings, &tokens, &mut model);
    for (name, variants) in &makings.choices {
        let variants: Vec<&str> = variants.iter().map(String::as_str).collect();
        model.group(name.clone(), &variants);
    }
    let mut tools: Vec<&Tool> = Vec::new();
    let mut aids: Vec<&Aid> = Vec::new();
    for deed in &makings.deeds {
        let tool = ToolId(place_of(&mut tools, &deed.tool));
        let aids: Vec<AidId> = deed.aids.iter().map(|aid| AidId(aid_of(job, &mut aids, aid))).collect();
        let ways =
            deed.places.iter().map(|&p| Way { setup: SetupId(p), tool, minutes: deed.minutes }).collect();
        let name = name(job, deed);
        let mut operation = Operation { text: name.clone(), name, ways, aids, ..Operation::default() };
        operation.does = deed.text.clone();
        operation.pieces = job.numbers(deed.lot);
        operation.choice = deed.choice.map(|(group, variant)| Choice { group: GroupId(group), variant });
        for rule in rules::all() {
            match rule.says {
                Says::Before(before) => {
                    let earlier =
                        makings.deeds.iter().enumerate().filter(|(_, a)| before(job, makings, a, deed));
                    operation
                        .after
                        .extend(earlier.map(|(n, _)| After::Operation(OpId(n), rule.because.into())));
                }
                Says::Needs(needs) => {
                    let needed = needs(job, makings, deed);
                    operation.needs.extend(needed.iter().map(|t| Need::new(tokens[t], rule.because)));
                }
                Says::Makes(makes) => {
                    let made = makes(job, makings, deed);
                    operation.makes.extend(made.iter().filter_map(|t| tokens.get(t)));
                }
                Says::Spoils(spoils) => {
                    let lost = spoils(job, makings, deed);
                    let known = lost.iter().filter_map(|t| tokens.get(t));
                    operation.spoils.extend(known.map(|&t| Spoil::new(t, rule.because)));
                }
                Says::HoldingNeeds(_) => {}
            }
        }
        model.operation(operation);
    }
    model.agreements = super::accuracy::agreements(job, makings);
    let mut out = super::accuracy::too_far_out(job, makings);
    out.extend(super::oriented::too_far_out(job, makings));
    if !out.is_empty() {
        let never = model.token("way to make it near enough so", Presence::Absent);
        for (op, because) in out {
            model.operations[op].needs.push(Need::new(never, because));
        }
    }
    model.agreements.extend(super::coaxial::agreements(job, makings));
    model.agreements.extend(super::oriented::agreements(job, makings));
    model.agreements.extend(super::joints::agreements(makings));
    for tool in tools {
        model.tool(tool.words());
    }
    for aid in aids {
        model.aids.push(super::model::Aid { name: aid_name(job, aid) });
    }
    model.pieces = job.scheme.pieces() as usize;
    model.fills = makings.places.iter().map(|place| job.fills(place)).collect();
    (model, tokens.into_keys().collect())
}

/// Every token that anything needs. What no deed makes is there from the start.
fn tokens(job: &Job, makings: &Makings, model: &mut Model) -> BTreeMap<Token, TokenId> {
    let (mut needed, mut made) = (Vec::new(), Vec::new());
    for rule in rules::all() {
        match rule.says {
            Says::Needs(needs) => needed.extend(makings.deeds.iter().flat_map(|d| needs(job, makings, d))),
            Says::HoldingNeeds(needs) => needed.extend(makings.places.iter().flat_map(|p| needs(job, p))),
            Says::Makes(makes) => made.extend(makings.deeds.iter().flat_map(|d| makes(job, makings, d))),
            Says::Before(_) | Says::Spoils(_) => {}
        }
    }
    needed.sort();
    needed.dedup();
    let add = |token: Token| {
        // A bore that is finished in assembly never comes in this order.
        let left = matches!(token, Token::Bore(bore, _) if job.part.drawing.left(bore).is_some());
        let presence = if left || made.contains(&token) { Presence::Absent } else { Presence::Present };
        (token, model.token(token_name(job, token), presence))
    };
    needed.into_iter().map(add).collect()
}

fn setups(job: &Job, makings: &Makings, tokens: &BTreeMap<Token, TokenId>, model: &mut Model) {
    // What is in the spindle stays there when the rotary table is put on the mill, but the
    // table is centred under it: as much as a change of tool, and charged as one.
    let machine = |machine: Machine| match machine {
        Machine::Mill => "mill",
        Machine::RotaryTable => "rotary table",
        Machine::Lathe => "lathe",
        Machine::DrillPress => "drill press",
        Machine::BenchVice => "bench",
    };
    for place in &makings.places {
        let name = machine(place.holding.machine);
        let known = model.machines.iter().position(|m| m == name).map(MachineId);
        let machine = known.unwrap_or_else(|| model.machine(name));
        let mut needs = Vec::new();
        for rule in rules::all() {
            if let Says::HoldingNeeds(of) = rule.says {
                needs.extend(of(job, place).iter().map(|t| Need::new(tokens[t], rule.because)));
            }
        }
        // Those alike are each clocked and clamped, but against the same stop.
        let pieces = place.holding.pieces;
        let fills = pieces.lots().map_or(1, |lots| u64::from(lots.fills()));
        // Only turned work is put in up to a stop that stays: then one setting does for all.
        let sets = match place.holding.held {
            Held::Bench => Sets::Nothing,
            _ if job.is_turned() && place.holding.stays_set() && job.casting().is_none() => Sets::Once,
            _ => Sets::EachTime,
        };
        let times = if sets == Sets::Once { 1 } else { fills };
        // Of blanks that are gripped face to face each is put in and tried by itself.
        let stacks = pieces.lots().map_or(0, |lots| match pieces {
            Pieces::Each(_) => u64::from(lots.pieces),
            _ => u64::from(lots.stacks()),
        });
        let (more, beside) = match sets == Sets::Once {
            true => (fills - 1, holding("the next one put in").minutes),
            false => (stacks.saturating_sub(fills), holding("one more beside it").minutes),
        };
        let joint = pieces.joint().map(|which| &job.part.drawing.together[which]);
        let minutes = match joint {
            // Its time counts with the part that lies on top.
            Some(joint) if joint.above > 0 => 0,
            Some(_) => (place.minutes() + holding("laid on another part").minutes) * times,
            None => place.minutes() * times + beside * more,
        };
        let name = place.title.clone();
        let count = sets.count(fills);
        model.setup(Setup { name, machine, needs, minutes, count, sets });
    }
}

fn place_of<'a, T: PartialEq>(list: &mut Vec<&'a T>, item: &'a T) -> usize {
    list.iter().position(|known| *known == item).unwrap_or_else(|| {
        list.push(item);
        list.len() - 1
    })
}

fn aid_of<'a>(job: &Job, list: &mut Vec<&'a Aid>, item: &'a Aid) -> usize {
    list.iter().position(|known| serves(job, known, item)).unwrap_or_else(|| {
        list.push(item);
        list.len() - 1
    })
}

/// Whether one aid does for another: a stub fits every bore of its size.
pub(super) fn serves(job: &Job, one: &Aid, other: &Aid) -> bool {
    match (one, other) {
        (Aid::StubMandrel { bore: a, on }, Aid::StubMandrel { bore: b, on: same }) => {
            on == same && (a == b || job.bore_size(*a).is_some_and(|size| job.bore_size(*b) == Some(size)))
        }
        _ => one == other,
    }
}

/// An operation's name, with whose it is.
pub(super) fn name(job: &Job, deed: &Deed) -> String {
    match deed.lot {
        Lot::Piece(_) if job.scheme.both_hands() => format!("{} ({})", deed.text, piece(job, deed.lot)),
        _ => deed.text.clone(),
    }
}

/// Whose metal it is, in words.
fn piece(job: &Job, lot: Lot) -> &'static str {
    job.pieces(lot).hand().words()
}

fn token_name(job: &Job, token: Token) -> String {
    let of = |piece: usize| match piece_words(job, piece) {
        "" => String::new(),
        hand => format!(" of the {hand}"),
    };
    match token {
        Token::Edges(p) => format!("pair of square edges{}", of(p)),
        Token::OutlineOfPair => "outline untouched on either piece by itself".into(),
        Token::OutlineOfEach => format!("outline untouched on {}", job.stack_words()),
        Token::HolesOfPair => "set of holes untouched in either piece by itself".into(),
        Token::HolesOfEach => format!("set of holes untouched in {}", job.stack_words()),
        Token::Whole(p) => format!("block in one piece{}", of(p)),
        Token::Bolted(p) => format!("bolted cap{}", of(p)),
        Token::Lines(p) => format!("scribed outline{}", of(p)),
        Token::LinesOfStack => "outline scribed on the stack".into(),
        Token::Bore(bore, p) => format!("finished {}{}", job.name(bore), of(p)),
        Token::Solid(bore, p) => format!("{} still in solid metal{}", job.name(bore), of(p)),
        Token::Flat(super::deed::Flat::Front, p) => format!("flat front face{}", of(p)),
        Token::Flat(super::deed::Flat::Back, p) => format!("flat back face{}", of(p)),
        Token::Stuck if job.scheme.joined == Joined::Screwed => {
            format!("{} clamped or screwed together", job.stack_words().trim_start_matches("the "))
        }
        Token::Screwed => {
            format!("{} screwed together", job.stack_words().trim_start_matches("the "))
        }
        Token::ScrewHole(hole) => format!("{} right through {}", job.name(hole), job.stack_words()),
        Token::Stuck if job.scheme.high > 2 => "stack stuck together".into(),
        Token::Stuck => "pair stuck together".into(),
        Token::Apart => "piece by itself".into(),
        Token::OnBar => "bar".into(),
        Token::OffBar => "piece off its bar".into(),
        Token::Section(section) => format!("finished {}", job.name(section)),
        Token::Thread(thread) => format!("finished thread of {}", job.name(thread)),
        Token::CentredLeft => "centre hole in the left end".into(),
        Token::CentredRight => "centre hole in the right end".into(),
        Token::OffCentredLeft(section) => format!("centre hole in the left end for {}", job.name(section)),
        Token::OffCentredRight(section) => format!("centre hole in the right end for {}", job.name(section)),
        Token::Unturned => "length of bar not yet turned".into(),
        Token::Stout(section) => format!("thick wall round {}", job.name(section)),
        Token::FacedLeft => "faced left end".into(),
        Token::FacedRight => "faced right end".into(),
    }
}

fn piece_words(job: &Job, piece_number: usize) -> &'static str {
    if job.scheme.both_hands() { piece(job, Lot::Piece(piece_number)) } else { "" }
}

fn aid_name(job: &Job, aid: &Aid) -> String {
    match aid {
        Aid::StubMandrel { bore, .. } => format!("stub mandrel for {}", job.name(*bore)),
        Aid::BoltOnPlate { .. } => "bolt-on plate".into(),
        Aid::FilingButtons { boss, .. } => format!("filing buttons for {}", job.name(*boss)),
        Aid::PlainButtons { round } => format!("plain filing buttons for {}", job.name(*round)),
        Aid::ThreadedStub { thread } => format!("threaded stub for {}", job.name(*thread)),
        Aid::MarkingButton { hole } => format!("marking button for {}", job.name(*hole)),
    }
}
