//! Saying where a feature is, in the words of the drawing.
//!
//! `27/32 right of pivot boss`, `level with pivot boss`, `3/8 from left edge`,
//! `1 1/16 from crank bore at 32° 30'`, `midway between A and B`, `datum`.

use super::FeatureId;
use crate::document::nearest_word;
use crate::measure::{Angle, read_angle};
use crate::problem::Problem;

/// One of the three directions of the drawing.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Axis {
    /// To the right.
    X,
    /// Up the sheet.
    Y,
    /// Towards the reader.
    Z,
}

/// Something a position is measured from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Reference {
    /// Another feature's centre.
    Feature(FeatureId),
    /// x least on the outside.
    LeftEdge,
    /// x greatest.
    RightEdge,
    /// y greatest.
    TopEdge,
    /// y least.
    BottomEdge,
    /// z = 0.
    BackFace,
    /// z greatest.
    FrontFace,
    /// The datum point itself.
    Datum,
}

/// A statement of place; lengths are indices into the dimensions.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Statement {
    /// As written in the file.
    pub text: String,
    /// Line in the file.
    pub line: usize,
    /// What it says.
    pub says: Says,
}

/// What a statement of place says.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Says {
    /// At the datum.
    Datum,
    /// A distance along one axis from a reference.
    Along {
        /// The axis.
        axis: Axis,
        /// True towards less x, y or z.
        negative: bool,
        /// Which dimension.
        dimension: super::DimensionId,
        /// From what.
        from: Reference,
    },
    /// A distance in a direction from a reference.
    Polar {
        /// Which dimension.
        dimension: super::DimensionId,
        /// From what.
        from: Reference,
        /// Direction from the x axis.
        angle: Angle,
    },
    /// The same coordinate as a reference.
    Same {
        /// On which axis.
        axis: Axis,
        /// As what.
        as_: Reference,
    },
    /// Both coordinates of a reference.
    Concentric(Reference),
    /// Half-way between two references on every axis that both have.
    Midway(Reference, Reference),
    /// The mirror image of another feature in a centre line of the outside.
    Symmetrical {
        /// The other feature.
        with: Reference,
        /// The axis that the centre line stands square to.
        across: Axis,
    },
    /// As far beyond `about` as another feature is before it.
    Opposite {
        /// The other feature.
        other: Reference,
        /// The middle.
        about: Reference,
    },
}

/// A statement whose words are read but whose names are not yet looked up.
#[derive(Debug, PartialEq, Eq)]
pub(super) enum Phrase<'a> {
    Datum,
    Along { length: &'a str, word: &'static str, axis: Axis, negative: bool, from: &'a str },
    From { length: &'a str, from: &'a str, angle: Option<Angle> },
    Same { axis: Axis, of: &'a str },
    Concentric(&'a str),
    Midway(&'a str, &'a str),
    Opposite { other: &'a str, about: &'a str },
    MiddleOf(Axis),
    Symmetrical { with: &'a str, across: Axis },
}

/// The words between a length and what it is measured from.
const DIRECTIONS: [(&str, Axis, bool); 6] = [
    (" right of ", Axis::X, false),
    (" left of ", Axis::X, true),
    (" above ", Axis::Y, false),
    (" below ", Axis::Y, true),
    (" in front of ", Axis::Z, false),
    (" behind ", Axis::Z, true),
];

/// Reads the words of a statement.
pub(super) fn read_phrase(text: &str) -> Result<Phrase<'_>, Problem> {
    let text = text.trim();
    match text {
        "datum" | "at datum" | "at the datum" => return Ok(Phrase::Datum),
        "on the vertical centre line" => return Ok(Phrase::MiddleOf(Axis::X)),
        "on the horizontal centre line" => return Ok(Phrase::MiddleOf(Axis::Y)),
        "mid thickness" => return Ok(Phrase::MiddleOf(Axis::Z)),
        _ => {}
    }
    for (start, axis) in [("level with ", Axis::Y), ("plumb with ", Axis::X), ("as deep as ", Axis::Z)] {
        if let Some(of) = text.strip_prefix(start) {
            return Ok(Phrase::Same { axis, of });
        }
    }
    if let Some(of) = text.strip_prefix("concentric with ") {
        return Ok(Phrase::Concentric(of));
    }
    if let Some((one, other)) = text.strip_prefix("midway between ").and_then(|rest| rest.split_once(" and "))
    {
        return Ok(Phrase::Midway(one, other));
    }
    if let Some(rest) = text.strip_prefix("symmetrical with ") {
        for (line, across) in
            [(" about the vertical centre line", Axis::X), (" about the horizontal centre line", Axis::Y)]
        {
            if let Some(with) = rest.strip_suffix(line) {
                return Ok(Phrase::Symmetrical { with, across });
            }
        }
    }
    if let Some((other, about)) = text.strip_prefix("opposite ").and_then(|rest| rest.split_once(" about ")) {
        return Ok(Phrase::Opposite { other, about });
    }
    let first = DIRECTIONS
        .iter()
        .filter_map(|&(word, axis, negative)| text.find(word).map(|at| (at, word, axis, negative)))
        .min_by_key(|&(at, ..)| at);
    let from = text.find(" from ");
    if let Some(at) = from
        && first.is_none_or(|(first, ..)| at < first)
    {
        let (length, rest) = (&text[..at], &text[at + " from ".len()..]);
        return match rest.rsplit_once(" at ") {
            Some((from, angle)) => Ok(Phrase::From { length, from, angle: Some(read_angle(angle)?) }),
            None => Ok(Phrase::From { length, from: rest, angle: None }),
        };
    }
    if let Some((at, word, axis, negative)) = first {
        let (length, from) = (&text[..at], &text[at + word.len()..]);
        return Ok(Phrase::Along { length, word: word.trim(), axis, negative, from });
    }
    Err(Problem::new(format!("cannot read the place `{text}`"))
        .why("it is none of the ways in which a drawing places a feature")
        .mend(
            "write such as `27/32 right of NAME`, `3/8 above NAME`, `5/16 from left edge`, `level with NAME`, \
             `plumb with NAME`, `1/2 from NAME at 30°`, `midway between NAME and NAME`, `concentric with NAME`, \
             `symmetrical with NAME about the vertical centre line`, \
             `on the vertical centre line`, `mid thickness` or `datum`",
        ))
}

/// Finds what a name in a statement stands for.
pub(super) fn find_reference(name: &str, features: &[(String, usize)]) -> Result<Reference, Problem> {
    let bare = name.trim();
    let bare = bare.strip_prefix("the ").unwrap_or(bare);
    if let Some(index) = features.iter().position(|(feature, _)| feature.eq_ignore_ascii_case(bare)) {
        return Ok(Reference::Feature(FeatureId(index)));
    }
    const FIXED: [(&str, Reference); 9] = [
        ("left edge", Reference::LeftEdge),
        ("left end", Reference::LeftEdge),
        ("right edge", Reference::RightEdge),
        ("right end", Reference::RightEdge),
        ("top edge", Reference::TopEdge),
        ("bottom edge", Reference::BottomEdge),
        ("back face", Reference::BackFace),
        ("front face", Reference::FrontFace),
        ("datum", Reference::Datum),
    ];
    if let Some(&(_, found)) = FIXED.iter().find(|(word, _)| word.eq_ignore_ascii_case(bare)) {
        return Ok(found);
    }
    let known =
        features.iter().map(|(feature, _)| feature.as_str()).chain(FIXED.iter().map(|&(word, _)| word));
    let problem = Problem::new(format!("nothing is called `{bare}`"));
    Err(match nearest_word(bare, known) {
        Some(near) => problem.mend(format!("did you mean `{near}`?")),
        None => problem.mend("name a feature of this part, or an edge such as `left edge`"),
    })
}

impl Reference {
    /// The word for a reference that is no feature.
    pub fn word(self, names: &dyn Fn(FeatureId) -> String) -> String {
        match self {
            Self::Feature(id) => names(id),
            Self::LeftEdge => "left edge".into(),
            Self::RightEdge => "right edge".into(),
            Self::TopEdge => "top edge".into(),
            Self::BottomEdge => "bottom edge".into(),
            Self::BackFace => "back face".into(),
            Self::FrontFace => "front face".into(),
            Self::Datum => "datum".into(),
        }
    }

    /// The axis on which an edge or face is known, and whether the part lies on
    /// its positive side.
    pub(super) const fn edge(self) -> Option<(Axis, bool)> {
        match self {
            Self::LeftEdge => Some((Axis::X, true)),
            Self::RightEdge => Some((Axis::X, false)),
            Self::BottomEdge => Some((Axis::Y, true)),
            Self::TopEdge => Some((Axis::Y, false)),
            Self::BackFace => Some((Axis::Z, true)),
            Self::FrontFace => Some((Axis::Z, false)),
            Self::Feature(_) | Self::Datum => None,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn statements_read_as_a_drawing_says_them() {
        assert_eq!(
            read_phrase("1 27/32 right of pivot boss").unwrap(),
            Phrase::Along {
                length: "1 27/32",
                word: "right of",
                axis: Axis::X,
                negative: false,
                from: "pivot boss"
            }
        );
        assert_eq!(
            read_phrase("7/16 from the left edge").unwrap(),
            Phrase::From { length: "7/16", from: "the left edge", angle: None }
        );
        assert_eq!(
            read_phrase("1/2 from hub at 32° 30'").unwrap(),
            Phrase::From { length: "1/2", from: "hub", angle: Some(Angle::ratio(65, 2)) }
        );
        assert_eq!(
            read_phrase("symmetrical with A about the vertical centre line").unwrap(),
            Phrase::Symmetrical { with: "A", across: Axis::X }
        );
        assert_eq!(read_phrase("level with A").unwrap(), Phrase::Same { axis: Axis::Y, of: "A" });
        assert_eq!(read_phrase("midway between A and B").unwrap(), Phrase::Midway("A", "B"));
        assert!(read_phrase("somewhere about there").unwrap_err().remedy().is_some());
    }

    #[test]
    fn a_name_that_nothing_has_is_answered_with_the_nearest() {
        let features = [("pivot boss".to_owned(), 3)];
        let problem = find_reference("pivto boss", &features).unwrap_err();
        assert_eq!(problem.remedy(), Some("did you mean `pivot boss`?"));
    }
}
