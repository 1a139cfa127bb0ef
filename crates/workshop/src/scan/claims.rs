//! What a drawing claims of places that were found on the paper, and what the
//! paper shows of each.

use super::fit::Laid;
use crate::drawing::{
    Axis, Body, Course, DimensionId, Drawing, Face, FeatureId, Kind, PaperSheet, Reference, Round, Says,
};
use crate::geometry::Point;

/// One dimension between places that were found.
pub(super) struct Claim<'a> {
    pub(super) dimension: DimensionId,
    /// The feature it belongs to, or `body`.
    pub(super) owner: &'a str,
    /// The words that claim it.
    pub(super) said: &'a str,
    /// The length on the paper; less than nought where it runs the other way.
    pub(super) seen_mm: f64,
    /// How far the typed place is from the one on the paper.
    pub(super) missed_mm: f64,
    /// The direction on the paper, where the drawing gives one.
    pub(super) seen_rad: Option<f64>,
}

/// Every dimension of which both ends were found.
pub(super) fn claims<'a>(drawing: &'a Drawing, sheet: &PaperSheet, laid: &Laid) -> Vec<Claim<'a>> {
    let paper = On { drawing, sheet, laid };
    let mut found = paper.outside();
    for (index, feature) in drawing.features.iter().enumerate() {
        if paper.seen(FeatureId(index)).is_some() {
            for statement in &feature.placing {
                found.extend(paper.placed(FeatureId(index), &feature.name, &statement.text, &statement.says));
            }
        }
        found.extend(paper.pattern(FeatureId(index)));
    }
    found
}

struct On<'a, 'b> {
    drawing: &'a Drawing,
    sheet: &'b PaperSheet,
    laid: &'b Laid,
}

impl<'a> On<'a, '_> {
    /// Where a feature was found, if it stands as the front view shows it.
    fn seen(&self, id: FeatureId) -> Option<Point> {
        let turned = matches!(self.drawing.body, Body::Turned { .. });
        let fronted = matches!(self.drawing.features[id.0].face, Face::Front | Face::Back);
        if turned || fronted { self.place(Reference::Feature(id)) } else { None }
    }

    fn place(&self, of: Reference) -> Option<Point> {
        self.sheet.spot(of).map(|pixel| self.laid.place(pixel))
    }

    fn typed_mm(&self, dimension: DimensionId) -> f64 {
        self.drawing.dimensions[dimension.0].written.length.as_mm()
    }

    /// A length alone.
    fn length(&self, dimension: DimensionId, owner: &'a str, said: &'a str, seen_mm: f64) -> Claim<'a> {
        let missed_mm = (seen_mm - self.typed_mm(dimension)).abs();
        Claim { dimension, owner, said, seen_mm, missed_mm, seen_rad: None }
    }

    /// A length in a direction: the way on the paper against the way as typed.
    fn way(
        &self,
        dimension: DimensionId,
        owner: &'a str,
        said: &'a str,
        seen: Point,
        typed_rad: f64,
    ) -> Claim<'a> {
        let typed = Point::ORIGIN.polar(self.typed_mm(dimension), typed_rad);
        Claim {
            dimension,
            owner,
            said,
            seen_mm: seen.norm_mm(),
            missed_mm: typed.distance_mm(seen),
            seen_rad: Some(Point::ORIGIN.direction_rad(seen)),
        }
    }

    fn placed(&self, id: FeatureId, owner: &'a str, said: &'a str, says: &Says) -> Option<Claim<'a>> {
        let own = self.seen(id)?;
        let from = |of: &Reference| match of {
            Reference::Feature(id) => self.seen(*id),
            other => self.place(*other),
        };
        Some(match says {
            Says::Along { axis, negative, dimension, from: of } => {
                let of = from(of)?;
                let way = match axis {
                    Axis::X => own.x_mm - of.x_mm,
                    Axis::Y => own.y_mm - of.y_mm,
                    Axis::Z => return None,
                };
                self.length(*dimension, owner, said, if *negative { -way } else { way })
            }
            Says::Polar { dimension, from: of, angle } => {
                self.way(*dimension, owner, said, own - from(of)?, angle.as_rad())
            }
            Says::Distance { dimension, from: of, round } => {
                let far_mm = from(of)?.distance_mm(own);
                let seen_mm = if *round == Round::Diameter { 2.0 * far_mm } else { far_mm };
                self.length(*dimension, owner, said, seen_mm)
            }
            Says::Toward { dimension, from: of, course, other } => {
                let (start, end) = (from(of)?, from(other)?);
                let turn = if *course == Course::Away { std::f64::consts::PI } else { 0.0 };
                self.way(*dimension, owner, said, own - start, start.direction_rad(end) + turn)
            }
            Says::AtLine { dimension, from: of, angle, line } => {
                let line_rad = from(&line.from)?.direction_rad(from(&line.to)?);
                self.way(*dimension, owner, said, own - from(of)?, line_rad + angle.as_rad())
            }
            Says::FromLine { dimension, line, .. } => {
                let (start, end) = (from(&line.from)?, from(&line.to)?);
                let long_mm = start.distance_mm(end);
                let beside_mm = (end - start).cross(own - start).abs() / long_mm;
                if long_mm <= 0.0 {
                    return None;
                }
                self.length(*dimension, owner, said, beside_mm)
            }
            _ => return None,
        })
    }

    /// The width and height of the outside, where its edges were found.
    fn outside(&self) -> Vec<Claim<'a>> {
        let Body::Rectangle { width, height, .. } = &self.drawing.body else { return Vec::new() };
        let between =
            |near, far, axis: fn(Point) -> f64| Some(axis(self.place(far)?) - axis(self.place(near)?));
        let across = between(Reference::LeftEdge, Reference::RightEdge, |p| p.x_mm);
        let up = between(Reference::BottomEdge, Reference::TopEdge, |p| p.y_mm);
        let text = |id: &DimensionId| self.drawing.dimensions[id.0].written.text.as_str();
        [(width, across), (height, up)]
            .into_iter()
            .filter_map(|(id, seen_mm)| Some(self.length(*id, "body", text(id), seen_mm?)))
            .collect()
    }

    /// The size of a pattern, by those of its holes that were found. One that is
    /// wrong shows at every hole, and is claimed by the furthest alone.
    fn pattern(&self, id: FeatureId) -> Option<Claim<'a>> {
        let feature = &self.drawing.features[id.0];
        let spots = |holes: &[FeatureId]| -> Vec<(usize, Point)> {
            let seen = holes.iter().enumerate();
            seen.filter_map(|(n, &hole)| Some((n, self.seen(hole)?))).collect()
        };
        let (dimension, seen_mm) = match &feature.kind {
            Kind::PitchCircle { diameter, holes, .. } => {
                let centre = self.seen(id)?;
                let (_, hole) = spots(holes).into_iter().next()?;
                (*diameter, 2.0 * centre.distance_mm(hole))
            }
            Kind::Row { spacing, holes, .. } => {
                let spots = spots(holes);
                let ((first, start), (last, end)) = (*spots.first()?, *spots.last()?);
                if first == last {
                    return None;
                }
                (*spacing, start.distance_mm(end) / (last - first) as f64)
            }
            _ => return None,
        };
        let said = &self.drawing.dimensions[dimension.0].written.text;
        Some(self.length(dimension, &feature.name, said, seen_mm))
    }
}
