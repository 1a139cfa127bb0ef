//! Geometrical tolerances: what is flat, square, parallel, or runs true, and within how much.
//!
//! The words are those of ISO 1101; the amount is the whole width of its zone, in millimetres
//! over all of the face or along all of the axis that is named, as a drawing has it in the frame.

use super::reader::Reader;
use super::{Axis, Body, Drawing, Face, Feature, FeatureId, Kind, Reference, SectionSize};
use crate::document::Sheet;
use crate::measure::{Written, read_length};
use crate::problem::Problem;

/// What a face or an axis has to keep.
#[derive(Clone, Debug, PartialEq)]
pub struct Geometrical {
    /// What kind of thing it keeps.
    pub keeps: Keeps,
    /// What is held to it.
    pub of: Element,
    /// What it is measured from; nothing for flatness.
    pub to: Option<Element>,
    /// The whole width of the zone that it lies in.
    pub within: Written,
    /// Line in the file.
    pub line: usize,
}

/// The kinds of geometrical tolerance; the words of ISO 1101.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Keeps {
    /// A face lies between two planes so far apart.
    Flatness,
    /// A face or axis at a right angle; ISO 1101 calls it perpendicularity.
    Squareness,
    /// A face or axis that runs alongside.
    Parallelism,
    /// Two axes that are one, within a circle so wide.
    Concentricity,
    /// What an indicator shows over one turn.
    RunOut,
}

/// A face or an axis of a part.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Element {
    /// A face, an edge, or an end of turned work.
    Face(Face),
    /// The axis of a hole or a section, or the floor of a step.
    Feature(FeatureId),
}

/// A surface to lie on, or a line to lie along; both by the axis of the drawing that is square
/// to the one and along the other.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Lies {
    /// A plane.
    Across(Axis),
    /// A line.
    Along(Axis),
}

impl Keeps {
    /// With the word that a file has for each; a second word means the same.
    const WORDS: [(&'static str, Self); 8] = [
        ("flatness", Self::Flatness),
        ("squareness", Self::Squareness),
        ("perpendicularity", Self::Squareness),
        ("parallelism", Self::Parallelism),
        ("concentricity", Self::Concentricity),
        ("coaxiality", Self::Concentricity),
        ("run-out", Self::RunOut),
        ("runout", Self::RunOut),
    ];

    /// The word for it.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Flatness => "flatness",
            Self::Squareness => "squareness",
            Self::Parallelism => "parallelism",
            Self::Concentricity => "concentricity",
            Self::RunOut => "run-out",
        }
    }

    /// As a sentence has it between what keeps it and what it is measured from.
    pub const fn is(self) -> &'static str {
        match self {
            Self::Flatness => "flat",
            Self::Squareness => "square to",
            Self::Parallelism => "parallel to",
            Self::Concentricity => "on one axis with",
            Self::RunOut => "running true to",
        }
    }
}

impl Element {
    /// Its name; turned work has ends where a plate has edges.
    pub fn word(self, drawing: &Drawing) -> String {
        match self {
            Self::Feature(id) => drawing.features[id.0].name.clone(),
            Self::Face(face) => face_word(face, Some(&drawing.body)),
        }
    }

    /// Its name as a sentence has it: `the back face`, `pivot bore`.
    pub fn called(self, drawing: &Drawing) -> String {
        match self {
            Self::Face(_) => format!("the {}", self.word(drawing)),
            Self::Feature(_) => self.word(drawing),
        }
    }

    /// How it lies; `None` for a feature that has neither a floor nor an axis to hold.
    pub fn lies(self, features: &[Feature]) -> Option<Lies> {
        match self {
            Self::Face(face) => Some(Lies::Across(face.axis())),
            Self::Feature(id) => lies(features.get(id.0)?),
        }
    }
}

fn face_word(face: Face, body: Option<&Body>) -> String {
    let kind = match face {
        Face::Front | Face::Back => "face",
        _ if matches!(body, Some(Body::Turned { .. })) => "end",
        _ => "edge",
    };
    format!("{} {kind}", face.word())
}

fn lies(feature: &Feature) -> Option<Lies> {
    match feature.kind {
        Kind::Hole { .. } | Kind::Tapped { .. } => Some(Lies::Along(feature.face.axis())),
        Kind::Section { size: SectionSize::Plain(_) | SectionSize::Taper { .. }, .. } => {
            Some(Lies::Along(Axis::X))
        }
        Kind::Step { .. } => Some(Lies::Across(feature.face.axis())),
        _ => None,
    }
}

impl Geometrical {
    /// In words, for a sheet: `pivot bore: squareness to the back face within 0.02 mm`.
    pub fn words(&self, drawing: &Drawing) -> String {
        let to = self.to.map_or(String::new(), |to| format!(" to {}", to.called(drawing)));
        format!("{}: {}{to} within {}", self.of.word(drawing), self.keeps.word(), self.within.length)
    }
}

const SUCH_AS: &str = "name a face such as `back face`, an edge of a rectangle, an end of turned work, a hole, a section, or a step for its floor";

impl Reader {
    /// Every `[[geometry]]` of a file.
    pub(super) fn geometrical(
        &mut self,
        sheet: &Sheet,
        body: Option<&Body>,
        features: &[Feature],
    ) -> Vec<Geometrical> {
        let mut all = Vec::new();
        for table in sheet.tables("geometry", &mut self.faults) {
            let before = self.faults.len();
            if table.get("keeps").is_none() {
                table.need("keeps", "squareness", &mut self.faults);
            }
            let keeps = self.one_of(table, "keeps", &Keeps::WORDS);
            let named = |reader: &mut Self, key: &str, must: bool, such_as: &str| {
                let found = match must {
                    true => table.need(key, such_as, &mut reader.faults),
                    false => table.text(key, &mut reader.faults),
                };
                let (text, line) = found.map(|(text, line)| (text.to_owned(), line))?;
                reader.element(&text, (line, key), body, features)
            };
            let of = named(self, "of", true, "pivot bore");
            let flat = keeps == Some(Keeps::Flatness);
            let to = named(self, "to", !flat, "back face");
            let within = table.need("within", "0.02 mm", &mut self.faults);
            let within = within.map(|(text, line)| (text.to_owned(), line));
            table.finish(&mut self.faults);
            let within = within.and_then(|(text, line)| self.zone(&text, line));
            let (Some(keeps), Some(of), Some(within)) = (keeps, of, within) else { continue };
            if self.faults.len() > before {
                continue;
            }
            let one = Geometrical { keeps, of, to, within, line: table.line() };
            match unsound(&one, body, features, &self.names) {
                Some(fault) => self.faults.push(fault.at(table.place())),
                None => all.push(one),
            }
        }
        all
    }

    fn zone(&mut self, text: &str, line: usize) -> Option<Written> {
        let fault = match read_length(text, self.unit) {
            Ok(written) if written.length.is_positive() => return Some(written),
            Ok(_) => Problem::new(format!("nothing is made within `{text}`"))
                .why("the zone has a width, and a face or axis lies somewhere in it")
                .mend("write the whole width of the zone, as the drawing has it: `0.02 mm`"),
            Err(fault) => fault,
        };
        self.faults.push(fault.at(format!("line {line}, `within`")));
        None
    }

    fn element(
        &mut self,
        text: &str,
        (line, key): (usize, &str),
        body: Option<&Body>,
        features: &[Feature],
    ) -> Option<Element> {
        let bare = text.trim().trim_start_matches("the ");
        let face = match super::place::find_reference(bare, &self.names) {
            Ok(Reference::Feature(id)) => {
                // One that could not be read has been told where it stands.
                let feature = features.get(id.0)?;
                if lies(feature).is_some() {
                    return Some(Element::Feature(id));
                }
                let fault = Problem::new(format!("`{bare}` has no face or axis that could be held so"))
                    .why(format!("it is a {}", feature.kind.word()))
                    .mend(SUCH_AS);
                self.faults.push(fault.at(format!("line {line}, `{key}`")));
                return None;
            }
            Ok(Reference::LeftEdge) => Face::Left,
            Ok(Reference::RightEdge) => Face::Right,
            Ok(Reference::TopEdge) => Face::Top,
            Ok(Reference::BottomEdge) => Face::Bottom,
            Ok(Reference::BackFace) => Face::Back,
            Ok(Reference::FrontFace) => Face::Front,
            Ok(Reference::Datum) => {
                let fault = Problem::new("the datum is a point, and nothing is square or true to it");
                self.faults.push(fault.at(format!("line {line}, `{key}`")).mend(SUCH_AS));
                return None;
            }
            Err(fault) => {
                self.faults.push(fault.at(format!("line {line}, `{key}`")));
                return None;
            }
        };
        let there = match body {
            Some(Body::Turned { .. }) => face.axis() == Axis::X,
            Some(Body::Rectangle { .. }) | None => true,
            Some(_) => face.axis() == Axis::Z,
        };
        if !there {
            let fault = Problem::new(format!("this part has no flat {bare}"))
                .why("only what is flat, or has an axis, can be square, parallel or true")
                .mend(SUCH_AS);
            self.faults.push(fault.at(format!("line {line}, `{key}`")));
            return None;
        }
        Some(Element::Face(face))
    }
}

/// What does not hang together in one statement.
fn unsound(
    one: &Geometrical,
    body: Option<&Body>,
    features: &[Feature],
    names: &[(String, usize)],
) -> Option<Problem> {
    let word = |element: Element| match element {
        Element::Feature(id) => names[id.0].0.clone(),
        Element::Face(face) => format!("the {}", face_word(face, body)),
    };
    let keeps = one.keeps.word();
    let of = one.of.lies(features)?;
    let Some(to) = one.to else {
        let flat = matches!(of, Lies::Across(_));
        return (!flat).then(|| {
            Problem::new(format!("{} has no flat face", word(one.of)))
                .why("flatness is of a face; a hole and a section have an axis")
                .mend("name a face, an edge or a step, or ask for squareness or parallelism of the axis")
        });
    };
    if one.keeps == Keeps::Flatness {
        return Some(
            Problem::new("flatness is measured from nothing else")
                .why("a face is flat by itself, however it stands to others")
                .mend("take `to` out, or ask for parallelism"),
        );
    }
    if to == one.of {
        return Some(
            Problem::new(format!("{} is measured from itself", word(to)))
                .mend("name in `to` what the drawing's datum letter stands at"),
        );
    }
    let other = to.lies(features)?;
    let drawn = match (of, other) {
        (Lies::Across(a), Lies::Across(b)) | (Lies::Along(a), Lies::Along(b)) => a != b,
        (Lies::Across(a), Lies::Along(b)) | (Lies::Along(a), Lies::Across(b)) => a == b,
    };
    match one.keeps {
        Keeps::Squareness if !drawn => Some(
            Problem::new(format!("{} is not square to {} on the drawing", word(one.of), word(to)))
                .why("as they are drawn they run alongside each other")
                .mend("ask for `parallelism`, or name another face or axis"),
        ),
        Keeps::Parallelism if drawn => Some(
            Problem::new(format!("{} is not parallel to {} on the drawing", word(one.of), word(to)))
                .why("as they are drawn they are square to each other")
                .mend("ask for `squareness`, or name another face or axis"),
        ),
        Keeps::Concentricity | Keeps::RunOut => true_running(one, to, body, features, &word, keeps),
        _ => None,
    }
}

/// What does not hang together where two things run true.
fn true_running(
    one: &Geometrical,
    to: Element,
    body: Option<&Body>,
    features: &[Feature],
    word: &dyn Fn(Element) -> String,
    keeps: &str,
) -> Option<Problem> {
    if !matches!(body, None | Some(Body::Turned { .. })) {
        return Some(
            Problem::new(format!("{keeps} is asked of a part that is not turned"))
                .why("on a plate nothing turns about one axis while it is cut")
                .mend("hold the place of the hole `within` its tolerance, or ask for squareness"),
        );
    }
    let axis = |element: Element| match element {
        Element::Face(_) => false,
        Element::Feature(id) => match features[id.0].kind {
            Kind::Section { throw, .. } => throw.is_none(),
            _ => matches!(features[id.0].face, Face::Left | Face::Right) && features[id.0].placing.is_empty(),
        },
    };
    let end = matches!(one.of, Element::Face(_)) && one.keeps == Keeps::RunOut;
    let off = [(one.of, end), (to, false)].into_iter().find(|&(element, fine)| !fine && !axis(element))?.0;
    Some(
        Problem::new(format!("{} is not on the axis of the part", word(off)))
            .why(format!("{keeps} is between rounds that turn about one axis"))
            .mend("name sections and holes on the axis; of an end ask for `run-out` or `squareness`, of an offset section for `parallelism`"),
    )
}
