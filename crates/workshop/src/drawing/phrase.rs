//! Reading the words of a statement of place.
//!
//! A [`Phrase`] is a statement whose words are read but whose lengths and names
//! are not: [`super::reader`] looks those up.

use super::Axis;
use super::place::{Course, Round, Side, Touch};
use crate::measure::{Angle, read_angle};
use crate::problem::Problem;

/// The words for a line, split at its two places.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct LineWords<'a> {
    pub(super) from: &'a str,
    pub(super) to: &'a str,
}

/// Words for a thing or for a line.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Words<'a> {
    Thing(&'a str),
    Line(LineWords<'a>),
}

/// A statement whose words are read but whose names are not yet looked up.
#[derive(Debug, PartialEq, Eq)]
pub(super) enum Phrase<'a> {
    Datum,
    Along { length: &'a str, side: Side, from: &'a str },
    From { length: &'a str, from: &'a str, angle: Option<Angle> },
    About { length: &'a str, from: &'a str, round: Round, angle: Option<Angle> },
    Toward { length: &'a str, from: &'a str, course: Course, other: &'a str },
    AtLine { length: &'a str, from: &'a str, angle: Angle, line: LineWords<'a> },
    FromLine { length: &'a str, line: LineWords<'a>, side: Option<Side> },
    Bearing { from: &'a str, angle: Angle },
    OnLine(LineWords<'a>),
    SquareTo { line: LineWords<'a>, at: &'a str },
    ParallelTo { line: LineWords<'a>, at: &'a str },
    Tangent { to: Vec<Words<'a>>, touch: Touch },
    Clear { length: &'a str, of: Words<'a>, touch: Touch },
    Equidistant(Vec<&'a str>),
    AsFar { from: &'a str, as_: &'a str },
    OnPitchCircle { of: &'a str, angle: Option<Angle> },
    Same { axis: Axis, of: &'a str },
    Concentric(&'a str),
    Midway(&'a str, &'a str),
    Opposite { other: &'a str, about: &'a str },
    MiddleOf(Axis),
    Symmetrical { with: &'a str, across: Axis },
    Mirrored { with: &'a str, line: LineWords<'a> },
    Spaced { between: [&'a str; 2], place: u32, of: u32 },
    Beside { side: Side, of: Words<'a> },
    Farthest(Side),
}

/// Reads the words of a statement. Where a name itself holds a word such as
/// `and` or `to`, `known` says at which of several the sentence parts.
pub(super) fn read_phrase<'a>(text: &'a str, known: &dyn Fn(&str) -> bool) -> Result<Phrase<'a>, Problem> {
    let text = text.trim();
    let reader = PhraseReader { known };
    match reader.whole(text).or_else(|| reader.begun(text)).or_else(|| reader.measured(text)) {
        Some(read) => read,
        None => Err(unknown_words(text)),
    }
}

/// `None` where the words are of another kind, a problem where they are of this
/// kind and cannot be read.
type Read<'a> = Option<Result<Phrase<'a>, Problem>>;

struct PhraseReader<'k> {
    known: &'k dyn Fn(&str) -> bool,
}

impl PhraseReader<'_> {
    /// Statements that are always the same words.
    fn whole<'a>(&self, text: &'a str) -> Read<'a> {
        let fixed = match text {
            "datum" | "at datum" | "at the datum" => Phrase::Datum,
            "on the vertical centre line" => Phrase::MiddleOf(Axis::X),
            "on the horizontal centre line" => Phrase::MiddleOf(Axis::Y),
            "mid thickness" => Phrase::MiddleOf(Axis::Z),
            _ => Phrase::Farthest(Side::ALL.into_iter().find(|side| side.farthest() == text)?),
        };
        Some(Ok(fixed))
    }

    /// Statements that begin with a word of their own.
    fn begun<'a>(&self, text: &'a str) -> Read<'a> {
        for (start, axis) in [("level with ", Axis::Y), ("plumb with ", Axis::X), ("as deep as ", Axis::Z)] {
            if let Some(of) = text.strip_prefix(start) {
                return Some(Ok(Phrase::Same { axis, of }));
            }
        }
        if let Some(of) = text.strip_prefix("concentric with ") {
            return Some(Ok(Phrase::Concentric(of)));
        }
        if let Some(rest) = text.strip_prefix("midway between ") {
            return self.pair(rest, " and ").map(|(one, other)| Ok(Phrase::Midway(one, other)));
        }
        if let Some(rest) = text.strip_prefix("symmetrical with ") {
            return self.symmetrical(rest).map(Ok);
        }
        if let Some(rest) = text.strip_prefix("opposite ") {
            return self.pair(rest, " about ").map(|(other, about)| Ok(Phrase::Opposite { other, about }));
        }
        if let Some(rest) = text.strip_prefix("equally spaced between ") {
            return self.spaced(rest).map(Ok);
        }
        if let Some(rest) = text.strip_prefix("on the line ") {
            return self.line(rest).map(|line| Ok(Phrase::OnLine(line)));
        }
        for (start, square) in [("square to the line ", true), ("parallel to the line ", false)] {
            if let Some(rest) = text.strip_prefix(start) {
                let (line, at) = self.pair(rest, " through ")?;
                let line = self.line(line)?;
                return Some(Ok(if square {
                    Phrase::SquareTo { line, at }
                } else {
                    Phrase::ParallelTo { line, at }
                }));
            }
        }
        if let Some(rest) = text.strip_prefix("on the pitch circle of ") {
            return Some(self.at_angle(rest).map(|(of, angle)| Phrase::OnPitchCircle { of, angle }));
        }
        for (start, round) in [("on a radius of ", Round::Radius), ("on a circle of ", Round::Diameter)] {
            if let Some(rest) = text.strip_prefix(start) {
                let (length, rest) = rest.split_once(" about ")?;
                let read = self.at_angle(rest);
                return Some(read.map(|(from, angle)| Phrase::About { length, from, round, angle }));
            }
        }
        if let Some(rest) = text.strip_prefix("equidistant from ") {
            return self.several(rest).map(|all| Ok(Phrase::Equidistant(all)));
        }
        if let Some(rest) = text.strip_prefix("as far from ") {
            let (from, as_) = self.pair(rest.strip_suffix(" is")?, " as ")?;
            return Some(Ok(Phrase::AsFar { from, as_ }));
        }
        if let Some(rest) = text.strip_prefix("tangent to ") {
            return self.tangent(rest).map(Ok);
        }
        if let Some(rest) = text.strip_prefix("at ") {
            let (angle, from) = rest.split_once(" from ")?;
            return Some(heading(angle).map(|angle| Phrase::Bearing { from, angle }));
        }
        let bare = text.strip_prefix("to the ").unwrap_or(text);
        Side::ALL.into_iter().find_map(|side| {
            let rest = bare.strip_prefix(side.words())?.strip_prefix(' ')?;
            Some(Ok(Phrase::Beside { side, of: self.words(rest)? }))
        })
    }

    /// Statements that begin with a length.
    fn measured<'a>(&self, text: &'a str) -> Read<'a> {
        if let Some((length, rest)) = text.split_once(" clear ") {
            let (touch, rest) = match rest.split_once(' ')? {
                ("of", rest) => (Touch::Unsaid, rest),
                ("outside", rest) => (Touch::Outside, rest.strip_prefix("of ").unwrap_or(rest)),
                ("inside", rest) => (Touch::Inside, rest.strip_prefix("of ").unwrap_or(rest)),
                _ => return None,
            };
            return Some(Ok(Phrase::Clear { length, of: self.words(rest)?, touch }));
        }
        let first = Side::ALL
            .into_iter()
            .filter_map(|side| text.find(&format!(" {} ", side.words())).map(|at| (at, side)))
            .min_by_key(|&(at, _)| at);
        let from = text.find(" from ");
        if let Some(at) = from
            && first.is_none_or(|(first, _)| at < first)
        {
            let (length, rest) = (&text[..at], &text[at + " from ".len()..]);
            return self.from(length, rest);
        }
        let (at, side) = first?;
        let (length, rest) = (&text[..at], &text[at + side.words().len() + 2..]);
        Some(Ok(match self.words(rest)? {
            Words::Thing(from) => Phrase::Along { length, side, from },
            Words::Line(line) => Phrase::FromLine { length, line, side: Some(side) },
        }))
    }

    /// What follows `… from`.
    fn from<'a>(&self, length: &'a str, rest: &'a str) -> Read<'a> {
        let length = length.strip_prefix("radius ").unwrap_or(length);
        let length = length.strip_suffix(" radius").unwrap_or(length);
        if !(self.known)(rest) {
            for (word, course) in
                [(" toward ", Course::Toward), (" towards ", Course::Toward), (" away from ", Course::Away)]
            {
                if let Some((from, other)) = self.pair(rest, word) {
                    return Some(Ok(Phrase::Toward { length, from, course, other }));
                }
            }
            if let Some((before, line)) = rest.split_once(" to the line ")
                && let Some((from, angle)) = before.rsplit_once(" at ")
            {
                let line = self.line(line)?;
                return Some(heading(angle).map(|angle| Phrase::AtLine { length, from, angle, line }));
            }
        }
        if let Words::Line(line) = self.words(rest)? {
            return Some(Ok(Phrase::FromLine { length, line, side: None }));
        }
        Some(self.at_angle(rest).map(|(from, angle)| Phrase::From { length, from, angle }))
    }

    fn symmetrical<'a>(&self, rest: &'a str) -> Option<Phrase<'a>> {
        for (line, across) in
            [(" about the vertical centre line", Axis::X), (" about the horizontal centre line", Axis::Y)]
        {
            if let Some(with) = rest.strip_suffix(line) {
                return Some(Phrase::Symmetrical { with, across });
            }
        }
        let (with, line) = rest.split_once(" about the line ")?;
        Some(Phrase::Mirrored { with, line: self.line(line)? })
    }

    /// `A and B, 2nd of 3`.
    fn spaced<'a>(&self, rest: &'a str) -> Option<Phrase<'a>> {
        let (names, count) = rest.rsplit_once(',')?;
        let (one, other) = self.pair(names, " and ")?;
        let (place, of) = count.trim().split_once(" of ")?;
        let place = place.trim_end_matches(|c: char| c.is_ascii_alphabetic()).parse().ok()?;
        Some(Phrase::Spaced { between: [one, other], place, of: of.trim().parse().ok()? })
    }

    fn tangent<'a>(&self, rest: &'a str) -> Option<Phrase<'a>> {
        let (touch, rest) = if let Some(rest) = rest.strip_prefix("the inside of ") {
            (Touch::Inside, rest)
        } else if let Some(rest) = rest.strip_prefix("the outside of ") {
            (Touch::Outside, rest)
        } else {
            (Touch::Unsaid, rest)
        };
        let one = self.words(rest)?;
        let to = match self.pair(rest, " and ") {
            Some((a, b)) if one == Words::Thing(rest) && !(self.known)(rest) => {
                vec![self.words(a)?, self.words(b)?]
            }
            _ => vec![one],
        };
        Some(Phrase::Tangent { to, touch })
    }

    /// A thing, or a line where the words say so.
    fn words<'a>(&self, text: &'a str) -> Option<Words<'a>> {
        let bare = text.strip_prefix("the ").unwrap_or(text);
        match bare.strip_prefix("line ") {
            Some(rest) if !(self.known)(bare) => self.line(rest).map(Words::Line),
            _ => Some(Words::Thing(text)),
        }
    }

    /// `from A to B`, as it follows `the line`.
    fn line<'a>(&self, text: &'a str) -> Option<LineWords<'a>> {
        let (from, to) = match text.strip_prefix("through ") {
            Some(rest) => self.pair(rest, " and ")?,
            None => self.pair(text.strip_prefix("from ")?, " to ")?,
        };
        Some(LineWords { from, to })
    }

    /// Two names with a word between, parted where both are known.
    fn pair<'a>(&self, text: &'a str, word: &str) -> Option<(&'a str, &'a str)> {
        let parted = || text.match_indices(word).map(|(at, _)| (&text[..at], &text[at + word.len()..]));
        parted().find(|(a, b)| (self.known)(a) && (self.known)(b)).or_else(|| parted().next())
    }

    /// `A and B`, or `A, B and C`.
    fn several<'a>(&self, text: &'a str) -> Option<Vec<&'a str>> {
        let (before, last) = self.pair(text, " and ")?;
        let mut all: Vec<&str> =
            if (self.known)(before) { vec![before] } else { before.split(',').map(str::trim).collect() };
        all.push(last);
        Some(all)
    }

    /// A name, and the angle after ` at ` where there is one.
    fn at_angle<'a>(&self, text: &'a str) -> Result<(&'a str, Option<Angle>), Problem> {
        match text.rsplit_once(" at ") {
            Some((from, angle)) if !(self.known)(text) => Ok((from, Some(heading(angle)?))),
            _ => Ok((text, None)),
        }
    }
}

/// An angle or a slope; a slope runs to the right unless it says otherwise.
fn heading(text: &str) -> Result<Angle, Problem> {
    match text.strip_suffix(" to the left") {
        Some(slope) => Ok(Angle::degrees(180) - read_angle(slope)?),
        None => read_angle(text.strip_suffix(" to the right").unwrap_or(text)),
    }
}

fn unknown_words(text: &str) -> Problem {
    Problem::new(format!("cannot read the place `{text}`"))
        .why("it is none of the ways in which a drawing places a feature")
        .mend(
            "write such as `27/32 right of NAME`, `3/8 above NAME`, `5/16 from left edge`, `level with NAME`, \
             `plumb with NAME`, `1/2 from NAME at 30°`, `1/2 from NAME`, `1/2 from NAME toward NAME`, \
             `3/8 from the line from NAME to NAME`, `on the line from NAME to NAME`, `tangent to NAME`, \
             `3/16 clear of NAME`, `on the pitch circle of NAME at 30°`, `midway between NAME and NAME`, \
             `concentric with NAME`, `symmetrical with NAME about the vertical centre line`, \
             `on the vertical centre line`, `mid thickness`, `right of NAME` or `datum`",
        )
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> Phrase<'_> {
        let known = |name: &str| {
            ["A", "B", "C", "hub", "boss and lug", "pivot boss", "rod end", "left edge", "hole at end"]
                .contains(&name)
        };
        read_phrase(text, &known).unwrap_or_else(|fault| panic!("{fault}"))
    }

    const AB: LineWords<'static> = LineWords { from: "A", to: "B" };

    #[test]
    fn statements_read_as_a_drawing_says_them() {
        for (text, phrase) in [
            (
                "1 27/32 right of pivot boss",
                Phrase::Along { length: "1 27/32", side: Side::Right, from: "pivot boss" },
            ),
            ("7/16 from the left edge", Phrase::From { length: "7/16", from: "the left edge", angle: None }),
            (
                "1/2 from hub at 32° 30'",
                Phrase::From { length: "1/2", from: "hub", angle: Some(Angle::ratio(65, 2)) },
            ),
            (
                "1/2 radius from hub at 30°",
                Phrase::From { length: "1/2", from: "hub", angle: Some(Angle::degrees(30)) },
            ),
            ("1/2 from hole at end", Phrase::From { length: "1/2", from: "hole at end", angle: None }),
            (
                "symmetrical with A about the vertical centre line",
                Phrase::Symmetrical { with: "A", across: Axis::X },
            ),
            ("symmetrical with C about the line from A to B", Phrase::Mirrored { with: "C", line: AB }),
            ("level with A", Phrase::Same { axis: Axis::Y, of: "A" }),
            ("midway between A and B", Phrase::Midway("A", "B")),
            ("midway between boss and lug and B", Phrase::Midway("boss and lug", "B")),
            (
                "1/2 from A toward B",
                Phrase::Toward { length: "1/2", from: "A", course: Course::Toward, other: "B" },
            ),
            (
                "1/2 from A away from B",
                Phrase::Toward { length: "1/2", from: "A", course: Course::Away, other: "B" },
            ),
            (
                "1/2 from C at 30° to the line from A to B",
                Phrase::AtLine { length: "1/2", from: "C", angle: Angle::degrees(30), line: AB },
            ),
            ("3/8 from the line from A to B", Phrase::FromLine { length: "3/8", line: AB, side: None }),
            (
                "3/8 above the line through A and B",
                Phrase::FromLine { length: "3/8", line: AB, side: Some(Side::Above) },
            ),
            ("on the line from A to B", Phrase::OnLine(AB)),
            ("square to the line from A to B through C", Phrase::SquareTo { line: AB, at: "C" }),
            ("at 30° from A", Phrase::Bearing { from: "A", angle: Angle::degrees(30) }),
            (
                "tangent to A and B",
                Phrase::Tangent { to: vec![Words::Thing("A"), Words::Thing("B")], touch: Touch::Unsaid },
            ),
            (
                "tangent to the inside of boss and lug",
                Phrase::Tangent { to: vec![Words::Thing("boss and lug")], touch: Touch::Inside },
            ),
            (
                "3/16 clear of left edge",
                Phrase::Clear { length: "3/16", of: Words::Thing("left edge"), touch: Touch::Unsaid },
            ),
            (
                "3/16 clear inside A",
                Phrase::Clear { length: "3/16", of: Words::Thing("A"), touch: Touch::Inside },
            ),
            ("equidistant from A, B and C", Phrase::Equidistant(vec!["A", "B", "C"])),
            ("as far from A as B is", Phrase::AsFar { from: "A", as_: "B" }),
            (
                "on the pitch circle of A at 30°",
                Phrase::OnPitchCircle { of: "A", angle: Some(Angle::degrees(30)) },
            ),
            (
                "on a circle of 2 1/2 about A",
                Phrase::About { length: "2 1/2", from: "A", round: Round::Diameter, angle: None },
            ),
            (
                "equally spaced between A and B, 2nd of 3",
                Phrase::Spaced { between: ["A", "B"], place: 2, of: 3 },
            ),
            ("right of A", Phrase::Beside { side: Side::Right, of: Words::Thing("A") }),
            ("to the left of the line from A to B", Phrase::Beside { side: Side::Left, of: Words::Line(AB) }),
            ("the upper one", Phrase::Farthest(Side::Above)),
        ] {
            assert_eq!(read(text), phrase, "{text}");
        }
    }

    #[test]
    fn a_slope_is_its_angle_and_may_run_to_the_left() {
        let Phrase::Bearing { angle, .. } = read("at 1 in 12 to the left from A") else { panic!() };
        assert!((angle.as_rad().tan() + 1.0 / 12.0).abs() < 1e-13);
    }

    #[test]
    fn words_that_place_nothing_are_refused_with_the_ways_there_are() {
        for text in ["somewhere about there", "tangent", "1/2", "on the line A B", "equally spaced between A"]
        {
            assert!(read_phrase(text, &|_| false).unwrap_err().remedy().is_some(), "{text}");
        }
    }
}
