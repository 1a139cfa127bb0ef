//! Reading the statements of place of a feature.

use super::phrase::{LineWords, Phrase, Words, read_phrase};
use super::place::{Round, Side, Target, Through, find_reference};
use super::reader::Reader;
use super::said::Said;
use super::{Axis, DimensionId, Measures, Reference, Says, Statement};
use crate::document::{Content, Sheet};
use crate::problem::Problem;

impl Reader {
    /// The statements of place of a feature.
    pub(super) fn placing(&mut self, sheet: &Sheet, name: &str) -> Vec<Statement> {
        let Some(entry) = sheet.get("place") else { return Vec::new() };
        let items: Vec<&crate::document::Entry> = match &entry.value {
            Content::List(items) => items.iter().collect(),
            _ => vec![entry],
        };
        let mut statements = Vec::new();
        for item in items {
            self.here.clone_from(&item.at);
            let (text, line, said) = match &item.value {
                Content::Table(table) => {
                    let Some((text, line)) = table.need("is", "1/2 above pivot bore", &mut self.faults)
                    else {
                        continue;
                    };
                    let (text, said) = (text.to_owned(), self.said(table));
                    table.finish(&mut self.faults);
                    (text, line, said)
                }
                _ => match item.as_text() {
                    Ok(text) => (text.to_owned(), item.line, Said::default()),
                    Err(fault) => {
                        self.faults.push(fault);
                        continue;
                    }
                },
            };
            let before = (self.dimensions.len(), self.faults.len());
            let settled = said.settled();
            let all = self.statement(&text, line, name, said);
            if let Some((key, line)) =
                settled.filter(|_| before == (self.dimensions.len(), self.faults.len()))
            {
                self.faults.push(
                    Problem::new(format!("`{text}` gives no size, so `{key}` says nothing there"))
                        .at(format!("line {line}, `{key}`"))
                        .mend("write it beside the statement that has the length"),
                );
            }
            for says in all {
                statements.push(Statement { text: text.clone(), line, says });
            }
        }
        statements
    }

    /// What one statement says; a touch on two things says two.
    fn statement(&mut self, text: &str, line: usize, name: &str, said: Said) -> Vec<Says> {
        let names = self.names.clone();
        let known = |name: &str| find_reference(name, &names).is_ok();
        match read_phrase(text, &known) {
            Ok(phrase) => {
                let wording = Wording { text, line, name, said, names: &names };
                self.says(phrase, &wording).unwrap_or_default()
            }
            Err(fault) => {
                self.faults.push(fault.at(format!("line {line}, {name}")));
                Vec::new()
            }
        }
    }

    fn says(&mut self, phrase: Phrase, wording: &Wording) -> Option<Vec<Says>> {
        let one = match phrase {
            Phrase::Datum => Says::Datum,
            Phrase::Along { length, side, from } => {
                let from = self.reference(from, wording)?;
                let dimension = self.placed(length, side.words(), Target::Thing(from), wording)?;
                Says::Along { axis: side.axis(), negative: side.is_less(), dimension, from }
            }
            Phrase::From { length, from, angle } => {
                let from = self.reference(from, wording)?;
                match (angle, from.edge()) {
                    (Some(angle), None) => {
                        let dimension = self.placed(length, "from", Target::Thing(from), wording)?;
                        Says::Polar { dimension, from, angle }
                    }
                    (None, Some((axis, inward_is_more))) => {
                        let dimension = self.placed(length, "from", Target::Thing(from), wording)?;
                        Says::Along { axis, negative: !inward_is_more, dimension, from }
                    }
                    (None, None) => {
                        let dimension = self.distance(length, "from", Target::Thing(from), wording)?;
                        Says::Distance { dimension, from, round: Round::Radius }
                    }
                    (Some(_), Some(_)) => {
                        return self.no_direction(wording);
                    }
                }
            }
            Phrase::About { length, from, round, angle } => {
                let from = self.place_named(from, wording)?;
                let word = match round {
                    Round::Radius => "radius about",
                    Round::Diameter => "circle about",
                };
                let dimension = self.distance(length, word, Target::Thing(from), wording)?;
                let distance = Says::Distance { dimension, from, round };
                match angle {
                    None => distance,
                    Some(angle) => return Some(vec![distance, Says::Bearing { from, angle }]),
                }
            }
            Phrase::Toward { length, from, course, other } => {
                let (from, other) = (self.place_named(from, wording)?, self.place_named(other, wording)?);
                let dimension = self.placed(length, "from", Target::Thing(from), wording)?;
                Says::Toward { dimension, from, course, other }
            }
            Phrase::AtLine { length, from, angle, line } => {
                let (from, line) = (self.place_named(from, wording)?, self.line(line, wording)?);
                let dimension = self.placed(length, "from", Target::Thing(from), wording)?;
                Says::AtLine { dimension, from, angle, line }
            }
            Phrase::FromLine { length, line, side } => {
                let line = self.line(line, wording)?;
                let word = side.map_or("from", Side::words);
                let dimension = self.placed(length, word, Target::Line(line), wording)?;
                Says::FromLine { dimension, line, side }
            }
            Phrase::Bearing { from, angle } => {
                Says::Bearing { from: self.place_named(from, wording)?, angle }
            }
            Phrase::OnLine(line) => Says::OnLine(self.line(line, wording)?),
            Phrase::SquareTo { line, at } => {
                Says::SquareTo { line: self.line(line, wording)?, at: self.place_named(at, wording)? }
            }
            Phrase::ParallelTo { line, at } => {
                Says::ParallelTo { line: self.line(line, wording)?, at: self.place_named(at, wording)? }
            }
            Phrase::Tangent { to, touch } => {
                let touches =
                    to.into_iter().map(|to| Some(Says::Tangent { to: self.target(to, wording)?, touch }));
                return touches.collect();
            }
            Phrase::Clear { length, of, touch } => {
                let of = self.target(of, wording)?;
                let dimension = self.placed(length, "clear of", of, wording)?;
                Says::Clear { dimension, of, touch }
            }
            Phrase::Equidistant(from) => {
                let places: Option<Vec<Reference>> =
                    from.into_iter().map(|name| self.place_named(name, wording)).collect();
                return Some(places?.windows(2).map(|two| Says::Equidistant(two[0], two[1])).collect());
            }
            Phrase::AsFar { from, as_ } => {
                Says::AsFar { from: self.place_named(from, wording)?, as_: self.place_named(as_, wording)? }
            }
            Phrase::OnPitchCircle { of, angle } => {
                let Reference::Feature(of) = self.reference(of, wording)? else {
                    return self.no_pitch_circle(of, wording);
                };
                Says::OnPitchCircle { of, at: angle }
            }
            Phrase::Same { axis, of } => Says::Same { axis, as_: self.reference(of, wording)? },
            Phrase::Concentric(of) => Says::Concentric(self.reference(of, wording)?),
            Phrase::Midway(one, other) => {
                Says::Midway(self.reference(one, wording)?, self.reference(other, wording)?)
            }
            Phrase::Symmetrical { with, across } => {
                Says::Symmetrical { with: self.reference(with, wording)?, across }
            }
            Phrase::Mirrored { with, line } => {
                Says::Mirrored { with: self.place_named(with, wording)?, line: self.line(line, wording)? }
            }
            Phrase::Spaced { between: [one, other], place, of } => {
                if !(1..=of).contains(&place) || of > MOST_SPACED {
                    return self.refuse(
                        Problem::new(format!("`{}` counts wrongly", wording.text))
                            .why(format!("there is no number {place} of {of}"))
                            .mend("count the features between the two, such as `2nd of 3`"),
                        wording,
                    );
                }
                let between = [self.reference(one, wording)?, self.reference(other, wording)?];
                Says::Spaced { between, place, of }
            }
            Phrase::Beside { side, of } => Says::Beside { side, of: self.target(of, wording)? },
            Phrase::Farthest(side) => Says::Farthest(side),
            Phrase::Opposite { other, about } => Says::Opposite {
                other: self.reference(other, wording)?,
                about: self.reference(about, wording)?,
            },
            Phrase::MiddleOf(Axis::X) => Says::Midway(Reference::LeftEdge, Reference::RightEdge),
            Phrase::MiddleOf(Axis::Y) => Says::Midway(Reference::BottomEdge, Reference::TopEdge),
            Phrase::MiddleOf(Axis::Z) => Says::Midway(Reference::BackFace, Reference::FrontFace),
        };
        Some(vec![one])
    }

    fn refuse<T>(&mut self, fault: Problem, wording: &Wording) -> Option<T> {
        self.faults.push(
            fault.at(format!("line {}, {}", wording.line, wording.name)).concerns(wording.name.to_owned()),
        );
        None
    }

    fn no_direction<T>(&mut self, wording: &Wording) -> Option<T> {
        self.refuse(
            Problem::new(format!("`{}` does not say in which direction", wording.text)).mend(
                "say `right of`, `left of`, `above` or `below`, or give the angle: `1/2 from NAME at 30°`",
            ),
            wording,
        )
    }

    fn no_pitch_circle<T>(&mut self, of: &str, wording: &Wording) -> Option<T> {
        self.refuse(
            Problem::new(format!("`{of}` has no pitch circle"))
                .mend("name a feature of the kind `pitch circle`, or write `on a circle of … about NAME`"),
            wording,
        )
    }

    /// What a name stands for, other than the feature itself.
    fn reference(&mut self, of: &str, wording: &Wording) -> Option<Reference> {
        match find_reference(of, wording.names) {
            Ok(Reference::Feature(id)) if wording.names[id.0].0.eq_ignore_ascii_case(wording.name) => self
                .refuse(
                    Problem::new(format!("`{}` places {} from itself", wording.text, wording.name))
                        .mend("name what it is measured from"),
                    wording,
                ),
            Ok(found) => Some(found),
            Err(fault) => self.refuse(fault, wording),
        }
    }

    /// A name that must stand for a single place: a feature or the datum.
    fn place_named(&mut self, of: &str, wording: &Wording) -> Option<Reference> {
        let found = self.reference(of, wording)?;
        if found.edge().is_none() {
            return Some(found);
        }
        self.refuse(
            Problem::new(format!("`{}` needs a place, and `{of}` is an edge", wording.text))
                .mend("name a feature or the datum there; from an edge write `3/8 from left edge`"),
            wording,
        )
    }

    fn line(&mut self, words: LineWords, wording: &Wording) -> Option<Through> {
        let (from, to) = (self.place_named(words.from, wording)?, self.place_named(words.to, wording)?);
        if from != to {
            return Some(Through { from, to });
        }
        self.refuse(
            Problem::new(format!("`{}` draws a line from a place to itself", wording.text))
                .mend("name two places that the line passes through"),
            wording,
        )
    }

    fn target(&mut self, words: Words, wording: &Wording) -> Option<Target> {
        Some(match words {
            Words::Thing(name) => Target::Thing(self.reference(name, wording)?),
            Words::Line(line) => Target::Line(self.line(line, wording)?),
        })
    }

    /// A dimension of place, named after what it is measured from.
    fn placed(&mut self, length: &str, word: &str, from: Target, wording: &Wording) -> Option<DimensionId> {
        let name = |reference: Reference| reference.word(&|id| wording.names[id.0].0.clone());
        let from = match from {
            Target::Thing(from) => name(from),
            Target::Line(line) => format!("the line from {} to {}", name(line.from), name(line.to)),
        };
        let title = format!("{}: {word} {from}", wording.name);
        self.measured(length, wording.line, &title, Measures::Position, wording.said.clone())
    }

    /// A distance in any direction: one of nought would be no direction at all.
    fn distance(&mut self, length: &str, word: &str, from: Target, wording: &Wording) -> Option<DimensionId> {
        let id = self.placed(length, word, from, wording)?;
        if self.dimensions[id.0].written.length.is_positive() {
            return Some(id);
        }
        self.refuse(
            Problem::new(format!("`{}` is no distance", wording.text))
                .mend("write `concentric with NAME` for the same place"),
            wording,
        )
    }
}

/// Most features that one pair of places is divided for.
const MOST_SPACED: u32 = 200;

/// A statement as it stands in the file, for what is said about it.
struct Wording<'a> {
    text: &'a str,
    line: usize,
    /// The feature it places.
    name: &'a str,
    said: Said,
    names: &'a [(String, usize)],
}
