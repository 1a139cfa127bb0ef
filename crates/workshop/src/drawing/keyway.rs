//! Keyways in bores: a straight groove right along a bore's wall, for the key of its shaft.

use super::features::{angle, need_feature};
use super::reader::Reader;
use super::{FeatureId, Image, Kind, Measures, Part};
use crate::document::Sheet;
use crate::geometry::{Outline, Point, Segment};
use crate::measure::Length;
use crate::problem::Problem;

/// Reads one: its width, how deep below the bore's wall, and which way it lies from the bore's middle.
pub(super) fn read(reader: &mut Reader, sheet: &Sheet, name: &str) -> Option<Kind> {
    let titled = |what: &str| format!("{name}: {what}");
    let width = reader.need_dimension(sheet, "width", &titled("width"), Measures::Filed);
    let depth = reader.need_dimension(sheet, "depth", &titled("depth"), Measures::Depth);
    let into = need_feature(reader, sheet, "in")?;
    let toward = angle(reader, sheet, "toward", "90°")?;
    Some(Kind::Keyway { width: width?, depth: depth?, into, toward })
}

impl Part<'_> {
    /// From the middle of its bore to the floor of a keyway.
    pub fn keyway_floor(&self, id: FeatureId) -> Option<Length> {
        let Kind::Keyway { depth, into, .. } = self.feature(id).kind else { return None };
        Some(self.cut_diameter(into)?.half() + self.size(depth))
    }

    /// Its corners about the middle of its bore, the way it lies being the first direction.
    pub(super) fn keyway_corners(&self, id: FeatureId) -> Option<[Point; 4]> {
        let Kind::Keyway { width, .. } = self.feature(id).kind else { return None };
        let (half_mm, floor_mm) = (self.size(width).half().as_mm(), self.keyway_floor(id)?.as_mm());
        let corners = [(0.0, -half_mm), (floor_mm, -half_mm), (floor_mm, half_mm), (0.0, half_mm)];
        Some(corners.map(|(x, y)| Point::new(x, y)))
    }

    /// Its edge about the middle of its bore, in the plane of its face, as drawn: from the middle to its floor.
    pub fn keyway_about_bore(&self, id: FeatureId) -> Option<Outline> {
        let Kind::Keyway { toward, .. } = self.feature(id).kind else { return None };
        let corners = self.keyway_corners(id)?.map(|corner| corner.rotated(toward.as_rad()));
        Outline::new((0..4).map(|n| Segment::line(corners[n], corners[(n + 1) % 4])).collect()).ok()
    }

    /// Its edge in plan as the part lies, of a bore from the front or back.
    pub(super) fn keyway_edge(&self, id: FeatureId) -> Option<Outline> {
        let Kind::Keyway { into, .. } = self.feature(id).kind else { return None };
        let drawn = self.seen(Image::Drawn);
        let (x, y) = drawn.xy(into)?;
        let edge = self.keyway_about_bore(id)?.translated(Point::at(x, y));
        Some(if self.image == Image::Mirrored { edge.mirrored() } else { edge })
    }

    /// A keyway in something that is no plain bore right through, or wider than it.
    pub(super) fn impossible_keyway(&self, id: FeatureId) -> Option<Problem> {
        let feature = self.feature(id);
        let Kind::Keyway { width, into, .. } = feature.kind else { return None };
        let bore = self.feature(into);
        let through = matches!(bore.kind, Kind::Hole { depth: super::Depth::Through, .. });
        if !through {
            return Some(
                Problem::new(format!(
                    "`{}` is in `{}`, which is no plain hole right through",
                    feature.name, bore.name
                ))
                .why("its tool goes in at one end of a bore and comes out at the other")
                .mend("name a `hole` without `depth` in `in`"),
            );
        }
        let (wide, across) = (self.size(width), self.cut_diameter(into)?);
        (wide >= across).then(|| {
            Problem::new(format!("`{}` is as wide as its bore", feature.name))
                .why(format!("{wide} in a bore of {across}"))
                .mend("check its width, and the diameter of the bore")
        })
    }
}
