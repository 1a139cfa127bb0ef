//! A drawing with a size for every dimension: as drawn, or metric.

use std::sync::Arc;

use super::again::{Moved, moved};
use super::reckoned::Reckoned;
use super::{Axis, Body, DimensionId, Drawing, Face, Feature, FeatureId, Kind, Linear, Solved, ThreadId};
use crate::measure::Length;
use crate::problem::Problem;
use crate::tables::threads::Thread;

/// A length for every dimension and a thread for every thread of a drawing.
#[derive(Clone, Debug, PartialEq)]
pub struct Sizes {
    /// One for each of [`Drawing::dimensions`].
    pub lengths: Vec<Length>,
    /// One for each of [`Drawing::threads`].
    pub threads: Vec<&'static Thread>,
}

impl Sizes {
    /// The sizes on the drawing.
    pub fn as_drawn(drawing: &Drawing) -> Self {
        Self {
            lengths: drawing.dimensions.iter().map(|d| d.written.length).collect(),
            threads: drawing.threads.iter().map(|t| t.thread).collect(),
        }
    }
}

/// Which of a pair of mirror images is meant.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Image {
    /// As drawn.
    Drawn,
    /// Left for right.
    Mirrored,
}

/// A drawing, its solved places, and a size for every dimension.
#[derive(Clone, Debug)]
pub struct Part<'a> {
    /// The drawing it is made from.
    pub drawing: &'a Drawing,
    /// Its places as sums of dimensions.
    pub solved: &'a Solved,
    /// The sizes it has; a part with others is made by [`Part::with_sizes`].
    pub sizes: Sizes,
    /// As drawn, or mirrored left for right.
    pub image: Image,
    /// Curved places solved for its own sizes.
    pub(super) moved: Arc<Moved>,
    /// What somebody has asked of it already.
    pub(super) reckoned: Arc<Reckoned>,
}

impl<'a> Part<'a> {
    /// The part exactly as drawn.
    pub fn as_drawn(drawing: &'a Drawing, solved: &'a Solved) -> Self {
        let sizes = Sizes::as_drawn(drawing);
        Self { drawing, solved, sizes, image: Image::Drawn, moved: Arc::default(), reckoned: Arc::default() }
    }

    /// The same part with other sizes; what curves place is solved again for them.
    #[must_use]
    pub fn with_sizes(&self, sizes: Sizes) -> Self {
        let moved = Arc::new(moved(self.drawing, self.solved, &sizes.lengths));
        Self { sizes, moved, reckoned: Arc::default(), ..self.clone() }
    }

    /// Why curves cannot be solved for these sizes, where they cannot.
    pub fn cannot_move(&self) -> Option<&Problem> {
        self.moved.fault.as_ref()
    }

    /// Its mirror image, left for right.
    #[must_use]
    pub fn mirrored(&self) -> Self {
        let image = match self.image {
            Image::Drawn => Image::Mirrored,
            Image::Mirrored => Image::Drawn,
        };
        self.seen(image)
    }

    /// The same part, as drawn or as its image.
    #[must_use]
    pub fn seen(&self, image: Image) -> Self {
        Self { image, reckoned: Arc::default(), ..self.clone() }
    }

    /// A feature by its number.
    pub fn feature(&self, id: FeatureId) -> &'a Feature {
        &self.drawing.features[id.0]
    }

    /// Every feature with its number.
    pub fn features(&self) -> impl Iterator<Item = (FeatureId, &'a Feature)> + use<'a> {
        self.drawing.features.iter().enumerate().map(|(i, f)| (FeatureId(i), f))
    }

    /// The size of a dimension.
    pub fn size(&self, id: DimensionId) -> Length {
        self.sizes.lengths[id.0]
    }

    /// The thread in force.
    pub fn thread(&self, id: ThreadId) -> &'static Thread {
        self.sizes.threads[id.0]
    }

    /// A sum of dimensions with this part's sizes.
    pub fn value(&self, linear: &Linear) -> Length {
        linear.value(&self.sizes.lengths)
    }

    /// A coordinate of a feature, mirrored where the part is; `None` where the
    /// feature has no place on that axis.
    pub fn at(&self, id: FeatureId, axis: Axis) -> Option<Length> {
        if axis != Axis::Z && matches!(self.feature(id).kind, Kind::CurvedSlot { .. }) {
            let middle = self.curved_middle(id)?;
            return Some(Length::nearest(if axis == Axis::X { middle.x_mm } else { middle.y_mm }));
        }
        self.placed_at(id, axis)
    }

    /// Where its statements place a feature along an axis: of a curved slot the centre of its arc,
    /// of all else where it is.
    pub fn placed_at(&self, id: FeatureId, axis: Axis) -> Option<Length> {
        let value = self.reckoned.place(self, id, axis)?;
        Some(if axis == Axis::X && self.image == Image::Mirrored { -value } else { value })
    }

    /// A face or side of the drawing as it is on this part.
    pub fn side(&self, face: Face) -> Face {
        match (self.image, face) {
            (Image::Mirrored, Face::Left) => Face::Right,
            (Image::Mirrored, Face::Right) => Face::Left,
            _ => face,
        }
    }

    /// Greatest thickness of a plate; the length of a turned part.
    pub fn thickness(&self) -> Length {
        match &self.drawing.body {
            Body::Bosses { thickness, .. }
            | Body::Outline { thickness, .. }
            | Body::Rectangle { thickness, .. }
            | Body::Disc { thickness, .. } => self.size(*thickness),
            Body::Turned { .. } => {
                self.solved.edge(super::Reference::RightEdge).map(|end| self.value(end)).unwrap_or_default()
            }
        }
    }

    /// Thickness of a plate where a feature stands: what is left by every step
    /// whose shoulder the feature lies beyond.
    pub fn thickness_at(&self, id: FeatureId) -> Length {
        let mut thickness = self.thickness();
        for (step, feature) in self.features() {
            if let Kind::Step { leaves, .. } = feature.kind
                && self.beyond(step, id)
            {
                thickness = thickness.min(self.size(leaves));
            }
            if let Some(left) = self.rebated(step, id) {
                thickness = thickness.min(left);
            }
        }
        if self.feature(id).face.axis() == Axis::Z {
            let pockets = [self.in_pocket(id), self.out_in_pocket(id)];
            for (_, deep) in pockets.into_iter().flatten() {
                thickness -= deep;
            }
        }
        thickness
    }

    /// The thickness that a step cut from an edge leaves where a feature stands: a
    /// rebate, whose shoulder lies in the thickness.
    fn rebated(&self, step: FeatureId, id: FeatureId) -> Option<Length> {
        let feature = self.feature(step);
        let Kind::Step { side, .. } = feature.kind else { return None };
        if matches!(feature.face, Face::Front | Face::Back) || side.axis() != Axis::Z {
            return None;
        }
        let face = self.side(feature.face);
        let (level, at) = (self.level_of(step)?, self.at(id, face.axis())?);
        let beyond = match face {
            Face::Right | Face::Top => at > level,
            _ => at < level,
        };
        let shoulder = self.at(step, Axis::Z)?;
        beyond.then(|| if side == Face::Front { shoulder } else { self.thickness() - shoulder })
    }

    /// True when a feature's centre lies on the cut-away side of a step in the thickness.
    pub fn beyond(&self, step: FeatureId, id: FeatureId) -> bool {
        let Kind::Step { side, .. } = self.feature(step).kind else { return false };
        if !matches!(self.feature(step).face, Face::Front | Face::Back) {
            return false;
        }
        let side = self.side(side);
        let axis = side.axis();
        match (self.at(step, axis), self.at(id, axis)) {
            (Some(shoulder), Some(at)) => match side {
                Face::Right | Face::Top | Face::Front => at > shoulder,
                Face::Left | Face::Bottom | Face::Back => at < shoulder,
            },
            _ => false,
        }
    }

    /// The place of a plate feature in the plane of the drawing.
    pub fn xy(&self, id: FeatureId) -> Option<(Length, Length)> {
        Some((self.at(id, Axis::X)?, self.at(id, Axis::Y)?))
    }
}
