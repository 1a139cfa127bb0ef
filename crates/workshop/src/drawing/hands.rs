//! What flips and what does not when a part is made in the opposite hand.
//!
//! The other hand is the mirror image left for right. Every statement of the drawing
//! that says left or right, or counts an angle in the plane of the sheet, reads the
//! other way; threads stay as they are. Begin with [`hands`].

use super::solid::{Turn, same_in_both_hands};
use super::{Body, Corner, Face, Feature, Kind, Part, Says, SectionEnd, SectionSize, Sweep};
use crate::measure::Angle;
use crate::tables::threads::Hand;

/// Two opposite hands from one description.
#[derive(Clone, Debug, PartialEq)]
pub struct Hands {
    /// What reads the other way, in the order of the file.
    pub flips: Vec<Flip>,
    /// What stays, in a few sentences.
    pub stays: Vec<String>,
    /// How one is turned to be the other, where both are the same part.
    pub same: Option<Turn>,
}

/// Something that reads one way on the hand drawn and another on its opposite.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Flip {
    /// Of which feature; of the body where it is none.
    pub of: Option<String>,
    /// As the drawing has it.
    pub drawn: String,
    /// On the opposite hand.
    pub opposite: String,
}

impl Flip {
    /// `arm step: 19/32 right of pivot boss becomes 19/32 left of pivot boss`.
    pub fn words(&self) -> String {
        let of = self.of.as_deref().unwrap_or("body");
        format!("{of}: {} becomes {}", self.drawn, self.opposite)
    }
}

impl Hands {
    /// The sentence for parts that are the same in both hands.
    pub fn same_words(&self) -> Option<String> {
        let turn = self.same?;
        Some(match turn {
            Turn::AsItLies => "both hands are the same part: it is its own mirror image".to_owned(),
            turn => format!("both hands are the same part: {}, one is the other", turn.words()),
        })
    }
}

/// What flips and what stays on the opposite hand of a part.
pub fn hands(part: &Part) -> Hands {
    let drawing = part.drawing;
    let mut names: Vec<&str> = drawing.features.iter().map(|f| f.name.as_str()).collect();
    // Longer names first: `left bore two` before `left bore`.
    names.sort_by_key(|name| std::cmp::Reverse(name.len()));
    let mut flips = of_body(&drawing.body);
    let mut kept = 0;
    for feature in &drawing.features {
        let mut flip = |(drawn, opposite): (String, String)| {
            flips.push(Flip { of: Some(feature.name.clone()), drawn, opposite });
        };
        of_kind(feature).into_iter().for_each(&mut flip);
        for statement in &feature.placing {
            let opposite = match &statement.says {
                Says::Polar { angle, .. } | Says::OnPitchCircle { at: Some(angle), .. } => {
                    with_angle(&statement.text, *angle, &names)
                }
                Says::Bearing { angle, .. } => bearing(&statement.text, *angle, &names),
                Says::AtLine { angle, .. } => at_line(&statement.text, *angle, &names),
                _ => swapped(&statement.text, &names),
            };
            if opposite == statement.text {
                kept += 1;
            } else {
                flip((statement.text.clone(), opposite));
            }
        }
    }
    Hands { flips, stays: stays(part, kept), same: same_in_both_hands(part) }
}

fn stays(part: &Part, kept: usize) -> Vec<String> {
    let drawing = part.drawing;
    let mut stays =
        vec!["every size, and all that is cut from the front, back, top or bottom keeps its face".to_owned()];
    if !drawing.threads.is_empty() {
        for (hand, words) in [(Hand::Right, "right-hand"), (Hand::Left, "left-hand")] {
            let wound = drawing.threads.iter().filter(|call| call.thread.hand == hand);
            let names: Vec<&str> = wound.map(|call| call.name.as_str()).collect();
            if !names.is_empty() {
                stays.push(format!("threads do not flip: {words} on both hands ({})", names.join(", ")));
            }
        }
    }
    if kept > 0 {
        let statements = if kept == 1 {
            "1 statement of place reads".to_owned()
        } else {
            format!("{kept} statements of place read")
        };
        stays.push(format!("{statements} the same on both hands"));
    }
    stays
}

fn of_body(body: &Body) -> Vec<Flip> {
    let flip = |drawn: &str, opposite: &str| {
        vec![Flip { of: None, drawn: drawn.to_owned(), opposite: opposite.to_owned() }]
    };
    match body {
        Body::Rectangle { datum, .. } => match datum {
            Corner::BottomLeft => flip("datum bottom left", "datum bottom right"),
            Corner::BottomRight => flip("datum bottom right", "datum bottom left"),
            Corner::TopLeft => flip("datum top left", "datum top right"),
            Corner::TopRight => flip("datum top right", "datum top left"),
            Corner::Centre => Vec::new(),
        },
        Body::Bosses { around, .. } if around.len() > 2 => {
            flip("bosses named anticlockwise", "the same bosses clockwise")
        }
        Body::Outline { .. } => flip("outline named anticlockwise", "the same outline clockwise"),
        Body::Turned { sections, .. } if sections.len() > 1 => {
            flip("sections from the left end", "the same sections from the right end")
        }
        Body::Bosses { .. } | Body::Disc { .. } | Body::Turned { .. } => Vec::new(),
    }
}

/// What flips of a feature itself: its face, its sides and its angles.
fn of_kind(feature: &Feature) -> Vec<(String, String)> {
    let mut found = Vec::new();
    let mut sides = |what: &str, face: Face| {
        let other = opposite(face);
        if other != face {
            found.push((format!("{what} {}", face.word()), format!("{what} {}", other.word())));
        }
    };
    match feature.kind {
        Kind::Boss { .. }
        | Kind::Corner { .. }
        | Kind::Section { .. }
        | Kind::Groove { .. }
        | Kind::Slit { .. }
        | Kind::Knurl { .. }
        | Kind::Chamfer { .. } => {}
        _ => sides("face", feature.face),
    }
    match feature.kind {
        Kind::Step { side, .. } => sides("side", side),
        Kind::Slit { toward, .. } => sides("toward", toward),
        Kind::Slot { ref open, .. } if open.len() == 1 => sides("open", open[0]),
        _ => {}
    }
    // Angles are counted from x on these faces only; on an end they stay in its plane.
    let counted = matches!(feature.face, Face::Front | Face::Back | Face::Top | Face::Bottom);
    let mut angle = |what: &str, drawn: Angle, repeats: i64| {
        let turned = mirrored(drawn);
        let whole = Angle::degrees(repeats).exact();
        let same = ((turned - drawn).exact() / whole).is_integer();
        if counted && !same {
            found.push((format!("{what} {drawn}"), format!("{what} {turned}")));
        }
    };
    match feature.kind {
        Kind::PitchCircle { first, .. } => {
            angle("first hole at", first, 360);
            found.push(("holes counted anticlockwise".to_owned(), "holes counted clockwise".to_owned()));
        }
        Kind::Row { along, .. } => angle("row along", along, 360),
        Kind::Slot { along, .. } | Kind::Pocket { along, .. } => angle("along", along, 180),
        Kind::CurvedSlot { reach: Sweep::Between { from, to }, .. } => {
            found.push((
                format!("from {from} to {to}"),
                format!("from {} to {}", mirrored(to), mirrored(from)),
            ));
        }
        Kind::CurvedSlot { reach: Sweep::Across { middle, .. }, .. } => angle("middle", middle, 360),
        Kind::Square { along, .. } => angle("along", along, 90),
        Kind::Flatted { toward, .. } => angle("flat toward", toward, 360),
        Kind::Keyway { toward, .. } => angle("toward", toward, 360),
        Kind::Groove { .. } | Kind::Flats { .. } => {
            found.push(("placed by its left side".to_owned(), "placed by its right side".to_owned()));
        }
        Kind::Chamfer { end, .. } => {
            let word = |end| if end == SectionEnd::Left { "left" } else { "right" };
            found.push((format!("{} end", word(end)), format!("{} end", word(end.other()))));
        }
        Kind::Section { size: SectionSize::Taper { .. }, .. } => {
            found.push(("tapers from left to right".to_owned(), "tapers from right to left".to_owned()));
        }
        _ => {}
    }
    found
}

const fn opposite(face: Face) -> Face {
    match face {
        Face::Left => Face::Right,
        Face::Right => Face::Left,
        other => other,
    }
}

/// A direction counted from x, seen in the mirror.
fn mirrored(angle: Angle) -> Angle {
    (Angle::degrees(180) - angle).within_turn()
}

/// A statement with its left and right changed over, and its angle mirrored.
fn with_angle(text: &str, angle: Angle, names: &[&str]) -> String {
    let Some((before, _)) = text.rsplit_once(" at ") else { return swapped(text, names) };
    format!("{} at {}", swapped(before, names), mirrored(angle))
}

/// `at 30° from NAME` with its angle mirrored.
fn bearing(text: &str, angle: Angle, names: &[&str]) -> String {
    let Some((_, from)) = text.split_once(" from ") else { return swapped(text, names) };
    format!("at {} from {}", mirrored(angle), swapped(from, names))
}

/// A statement of an angle to a line: anticlockwise from it becomes clockwise.
fn at_line(text: &str, angle: Angle, names: &[&str]) -> String {
    let Some((place, line)) = text.rsplit_once(" to the line ") else { return swapped(text, names) };
    let Some((before, _)) = place.rsplit_once(" at ") else { return swapped(text, names) };
    let turned = (-angle).within_turn();
    format!("{} at {turned} to the line {}", swapped(before, names), swapped(line, names))
}

/// A statement with left and right changed over, but not within a name.
fn swapped(text: &str, names: &[&str]) -> String {
    let mut left = text;
    let mut out = String::new();
    'words: while let Some(first) = left.chars().next() {
        let begins = out.chars().next_back().is_none_or(|c| !c.is_alphanumeric());
        let whole = |word: &str| {
            left.strip_prefix(word)
                .filter(|rest| begins && rest.chars().next().is_none_or(|c| !c.is_alphanumeric()))
        };
        for name in names {
            if let Some(rest) = whole(name) {
                out.push_str(name);
                left = rest;
                continue 'words;
            }
        }
        for (word, other) in [("left", "right"), ("right", "left")] {
            if let Some(rest) = whole(word) {
                out.push_str(other);
                left = rest;
                continue 'words;
            }
        }
        out.push(first);
        left = &left[first.len_utf8()..];
    }
    out
}
