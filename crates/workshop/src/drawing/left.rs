//! What is not done in a part's own order, because it is done in assembly.

use super::{Depth, Drawing, Feature, FeatureId, Finish, Kind};
use crate::problem::Problem;

/// A feature that is left, whole or in part, until the part is with others.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Left {
    /// The feature.
    pub feature: FeatureId,
    /// How much of it is left.
    pub share: Share,
    /// What is done in assembly, and when: `drill and taper ream: pin the arm to its spindle`.
    pub until: String,
    /// Where that is said: `assembly.toml, line 14`.
    pub said: String,
}

/// How much of a feature is left for assembly.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Share {
    /// Its finish alone: it is drilled in the part's own order.
    Finish,
    /// All of it.
    Whole,
}

impl Left {
    /// As the part's sheet says it under the heading `Left for assembly`.
    pub fn words(&self, drawing: &Drawing) -> String {
        let name = &drawing.features[self.feature.0].name;
        let already = match self.share {
            Share::Finish => "drilled here and finished in assembly",
            Share::Whole => "nothing of it is cut here",
        };
        format!("{name}: {} ({already}; {})", self.until, self.said)
    }
}

impl Drawing {
    /// How much of a feature is left for assembly; `None` when it is all done in the part's own
    /// order.
    pub fn left(&self, feature: FeatureId) -> Option<Share> {
        self.left.iter().filter(|left| left.feature == feature).map(|left| left.share).max()
    }

    /// The features that are left when one is: with it what stands over it.
    pub fn left_with(&self, feature: FeatureId) -> Vec<FeatureId> {
        let over = self.features.iter().enumerate().filter(|(_, other)| match other.kind {
            Kind::Counterbore { over, .. } | Kind::Countersink { over, .. } => over == feature,
            _ => false,
        });
        std::iter::once(feature).chain(over.map(|(n, _)| FeatureId(n))).collect()
    }

    /// Whether so much of a feature can be left for assembly.
    ///
    /// # Errors
    ///
    /// Why it cannot: the part's own order hangs on it, or nothing of it is left to finish.
    pub fn may_be_left(&self, id: FeatureId, share: Share) -> Result<(), Problem> {
        let feature = &self.features[id.0];
        let name = &feature.name;
        if let Some(pattern) = self.pattern_of(id) {
            return Err(Problem::new(format!("`{name}` is one hole of `{}`", pattern.name))
                .why("the holes of a pattern are drilled in one go")
                .mend(format!("name `{}: {}`", self.name, pattern.name)));
        }
        let can = match feature.kind {
            Kind::Hole { .. } | Kind::Tapped { .. } | Kind::TaperPin { .. } => true,
            Kind::Counterbore { .. }
            | Kind::Countersink { .. }
            | Kind::Slot { .. }
            | Kind::CurvedSlot { .. }
            | Kind::Keyway { .. }
            | Kind::Pocket { .. }
            | Kind::Square { .. }
            | Kind::Flatted { .. }
            | Kind::Groove { .. }
            | Kind::Flats { .. }
            | Kind::Row { .. }
            | Kind::PitchCircle { .. } => share == Share::Whole,
            _ => false,
        };
        if !can {
            return Err(Problem::new(format!(
                "`{name}`, a {}, cannot be left for assembly",
                feature.kind.word()
            ))
            .why("what can be left are holes, and what is cut into a finished outside")
            .mend("name a hole of it, or take it out here and finish it after its own sheets by eye"));
        }
        if share == Share::Finish
            && matches!(
                feature.kind,
                Kind::Hole { finish: Finish::Drilled, depth: Depth::Through | Depth::To(_), .. }
            )
        {
            return Err(Problem::new(format!("nothing of `{name}` is left to finish"))
                .why("its part file says that it is drilled and no more")
                .mend(
                    "add `finish = \"reamed\"` or `\"bored\"` to it there, or write `do = \"drill\"` here",
                ));
        }
        Ok(())
    }

    /// The pattern that a hole belongs to.
    fn pattern_of(&self, id: FeatureId) -> Option<&Feature> {
        self.features.iter().find(|f| f.kind.pattern().is_some_and(|holes| holes.contains(&id)))
    }
}
