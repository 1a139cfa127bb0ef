//! Saying where a feature is, in the words of the drawing.
//!
//! `27/32 right of pivot boss`, `level with pivot boss`, `3/8 from left edge`,
//! `1 1/16 from crank bore at 32° 30'`, `midway between A and B`, `datum`.
//! [`super::phrase`] reads the words; here is what they come to.

use super::FeatureId;
use crate::document::{meant, nearest_word};
use crate::measure::Angle;
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

/// The straight line through two places: features, or the datum.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Through {
    /// The first place.
    pub from: Reference,
    /// The second.
    pub to: Reference,
}

/// Something that a place is measured from, touches or lies beside.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Target {
    /// A feature, an edge, a face or the datum.
    Thing(Reference),
    /// The line through two of them.
    Line(Through),
}

/// A side of the sheet.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Side {
    /// x greater.
    Right,
    /// x less.
    Left,
    /// y greater.
    Above,
    /// y less.
    Below,
    /// z greater.
    InFront,
    /// z less.
    Behind,
}

/// Which side of a round thing another round thing lies on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Touch {
    /// The words do not say.
    Unsaid,
    /// Outside it.
    Outside,
    /// Within it, or around it.
    Inside,
}

/// Which way along a line.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Course {
    /// Towards the other place.
    Toward,
    /// Away from it.
    Away,
}

/// What a distance round a place is given by.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Round {
    /// The distance itself: a radius.
    Radius,
    /// Twice the distance: a circle of that diameter.
    Diameter,
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
    /// A distance from a reference, in any direction.
    Distance {
        /// Which dimension.
        dimension: super::DimensionId,
        /// From what.
        from: Reference,
        /// Whether it is a radius or a diameter.
        round: Round,
    },
    /// A distance from one place along the way to another.
    Toward {
        /// Which dimension.
        dimension: super::DimensionId,
        /// From what.
        from: Reference,
        /// Towards the other place or away from it.
        course: Course,
        /// The other place.
        other: Reference,
    },
    /// A distance from a place, at an angle to a line.
    AtLine {
        /// Which dimension.
        dimension: super::DimensionId,
        /// From what.
        from: Reference,
        /// Anticlockwise from the way of the line.
        angle: Angle,
        /// The line.
        line: Through,
    },
    /// In a direction from a place, at no stated distance.
    Bearing {
        /// From what.
        from: Reference,
        /// Direction from the x axis.
        angle: Angle,
    },
    /// A square distance from a line.
    FromLine {
        /// Which dimension.
        dimension: super::DimensionId,
        /// The line.
        line: Through,
        /// On which side of it, where that is said.
        side: Option<Side>,
    },
    /// Somewhere on a line.
    OnLine(Through),
    /// On the line through a place that stands square to another line.
    SquareTo {
        /// The other line.
        line: Through,
        /// The place.
        at: Reference,
    },
    /// On the line through a place that runs along another line.
    ParallelTo {
        /// The other line.
        line: Through,
        /// The place.
        at: Reference,
    },
    /// Its round edge touches something.
    Tangent {
        /// What it touches.
        to: Target,
        /// From which side.
        touch: Touch,
    },
    /// So much metal between its round edge and something.
    Clear {
        /// Which dimension.
        dimension: super::DimensionId,
        /// From what.
        of: Target,
        /// On which side of it.
        touch: Touch,
    },
    /// As far from one place as from another.
    Equidistant(Reference, Reference),
    /// As far from one place as another is.
    AsFar {
        /// From what.
        from: Reference,
        /// As what.
        as_: Reference,
    },
    /// On the pitch circle of another feature.
    OnPitchCircle {
        /// The feature that has the pitch circle.
        of: FeatureId,
        /// Direction from its centre, where that is said.
        at: Option<Angle>,
    },
    /// The mirror image of another feature in a line.
    Mirrored {
        /// The other feature.
        with: Reference,
        /// The line.
        line: Through,
    },
    /// One of several that divide the way between two places equally.
    Spaced {
        /// The two places.
        between: [Reference; 2],
        /// Which it is, counted from the first place.
        place: u32,
        /// How many there are.
        of: u32,
    },
    /// Only which side of something it lies on: picks between mirror images.
    Beside {
        /// The side.
        side: Side,
        /// Of what.
        of: Target,
    },
    /// The one farthest to a side of those that fit all else.
    Farthest(Side),
}

impl Side {
    /// Every side, in the order in which they are offered.
    pub const ALL: [Self; 6] =
        [Self::Above, Self::Below, Self::Right, Self::Left, Self::InFront, Self::Behind];

    /// The axis along which it is told.
    pub const fn axis(self) -> Axis {
        match self {
            Self::Right | Self::Left => Axis::X,
            Self::Above | Self::Below => Axis::Y,
            Self::InFront | Self::Behind => Axis::Z,
        }
    }

    /// True on the side where the coordinate is less.
    pub const fn is_less(self) -> bool {
        matches!(self, Self::Left | Self::Below | Self::Behind)
    }

    /// The words between it and what it is a side of.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Right => "right of",
            Self::Left => "left of",
            Self::Above => "above",
            Self::Below => "below",
            Self::InFront => "in front of",
            Self::Behind => "behind",
        }
    }

    /// What the farthest to this side is called among several.
    pub const fn farthest(self) -> &'static str {
        match self {
            Self::Right => "the right-hand one",
            Self::Left => "the left-hand one",
            Self::Above => "the upper one",
            Self::Below => "the lower one",
            Self::InFront => "the front one",
            Self::Behind => "the back one",
        }
    }
}

impl Says {
    /// The dimension that a statement gives, where it gives one.
    pub const fn dimension(&self) -> Option<super::DimensionId> {
        match self {
            Self::Along { dimension, .. }
            | Self::Polar { dimension, .. }
            | Self::Distance { dimension, .. }
            | Self::Toward { dimension, .. }
            | Self::AtLine { dimension, .. }
            | Self::FromLine { dimension, .. }
            | Self::Clear { dimension, .. } => Some(*dimension),
            _ => None,
        }
    }
}

impl Says {
    /// Everything that a statement measures from or names.
    pub fn references(&self) -> Vec<Reference> {
        let thing = |target: &Target| match target {
            Target::Thing(thing) => vec![*thing],
            Target::Line(line) => vec![line.from, line.to],
        };
        match self {
            Self::Datum | Self::Farthest(_) => Vec::new(),
            Self::Along { from, .. }
            | Self::Polar { from, .. }
            | Self::Distance { from, .. }
            | Self::Bearing { from, .. } => vec![*from],
            Self::Same { as_, .. } => vec![*as_],
            Self::Concentric(of) => vec![*of],
            Self::Midway(a, b) | Self::Equidistant(a, b) | Self::Spaced { between: [a, b], .. } => {
                vec![*a, *b]
            }
            Self::Symmetrical { with, .. } => vec![*with],
            Self::Opposite { other, about } => vec![*other, *about],
            Self::Toward { from, other, .. } => vec![*from, *other],
            Self::AtLine { from, line, .. } => vec![*from, line.from, line.to],
            Self::FromLine { line, .. } | Self::OnLine(line) => vec![line.from, line.to],
            Self::SquareTo { line, at } | Self::ParallelTo { line, at } => vec![line.from, line.to, *at],
            Self::Tangent { to, .. } => thing(to),
            Self::Clear { of, .. } | Self::Beside { of, .. } => thing(of),
            Self::AsFar { from, as_ } => vec![*from, *as_],
            Self::OnPitchCircle { of, .. } => vec![Reference::Feature(*of)],
            Self::Mirrored { with, line } => vec![*with, line.from, line.to],
        }
    }
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
    Err(Problem::new(format!("nothing is called `{bare}`")).mend(meant(
        nearest_word(bare, known),
        "name a feature of this part, or an edge such as `left edge`",
    )))
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
    fn a_name_that_nothing_has_is_answered_with_the_nearest() {
        let features = [("pivot boss".to_owned(), 3)];
        let problem = find_reference("pivto boss", &features).unwrap_err();
        assert_eq!(problem.remedy(), Some("did you mean `pivot boss`?"));
    }
}
