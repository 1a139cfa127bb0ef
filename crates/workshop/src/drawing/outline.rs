//! An outline that goes round corners, bosses and arcs: reading it, and laying it out.

use super::place::find_reference;
use super::reader::Reader;
use super::{ArcShare, Around, Axis, Body, Bulge, Feature, FeatureId, Kind, Measures, Part, Reference};
use crate::document::{Content, Entry, Sheet};
use crate::geometry::around::{self, Side, Stop, Turn};
use crate::geometry::{Bounds, Circle, Outline, Point, Segment};
use crate::measure::Length;
use crate::problem::Problem;

impl Reader {
    /// What an outline goes round.
    pub(super) fn around(&mut self, body: &Sheet, features: &[Feature]) -> Vec<Around> {
        let Some(entry) = body.get("around") else {
            body.need("around", "first corner", &mut self.faults);
            return Vec::new();
        };
        let items: Vec<&Entry> = match &entry.value {
            Content::List(items) => items.iter().collect(),
            _ => vec![entry],
        };
        let mut around = Vec::new();
        for item in items {
            let found = match &item.value {
                Content::Table(arc) => self.arc(arc, around.len()),
                _ => self.stop(item, features),
            };
            around.extend(found);
        }
        let stops: Vec<FeatureId> = around
            .iter()
            .filter_map(|item| match item {
                Around::At(id) => Some(*id),
                Around::Arc { .. } => None,
            })
            .collect();
        for (place, id) in stops.iter().enumerate() {
            if stops[..place].contains(id) {
                self.faults.push(
                    Problem::new(format!("the outline goes round `{}` twice", features[id.0].name))
                        .at(body.place())
                        .mend("name each corner and boss once, anticlockwise"),
                );
            }
        }
        if self.faults.is_empty() {
            self.faults.extend(out_of_place(&around, features).map(|fault| fault.at(body.place())));
        }
        around
    }

    fn stop(&mut self, item: &Entry, features: &[Feature]) -> Option<Around> {
        let text = match item.as_text() {
            Ok(text) => text,
            Err(fault) => {
                self.faults.push(fault);
                return None;
            }
        };
        let place = format!("line {}, `around`", item.line);
        match find_reference(text, &self.names) {
            Ok(Reference::Feature(id))
                if matches!(features[id.0].kind, Kind::Boss { .. } | Kind::Corner { .. }) =>
            {
                Some(Around::At(id))
            }
            Ok(_) => {
                self.faults.push(
                    Problem::new(format!("`{text}` is neither a corner nor a boss"))
                        .at(place)
                        .mend("name the corners and round ends that the outline goes round, anticlockwise"),
                );
                None
            }
            Err(fault) => {
                self.faults.push(fault.at(place));
                None
            }
        }
    }

    /// `{ arc = "1 1/2", bulge = "out" }`.
    fn arc(&mut self, sheet: &Sheet, place: usize) -> Option<Around> {
        let title = format!("body: arc {}", place + 1);
        let radius = self.need_dimension(sheet, "arc", &title, Measures::Radius);
        if sheet.get("bulge").is_none() {
            sheet.need("bulge", "out", &mut self.faults);
        }
        let bulge = self.one_of(sheet, "bulge", &[("out", Bulge::Out), ("in", Bulge::In)]);
        let share =
            if sheet.flag("greater", &mut self.faults) { ArcShare::Greater } else { ArcShare::Lesser };
        sheet.finish(&mut self.faults);
        Some(Around::Arc { radius: radius?, bulge: bulge?, share })
    }
}

/// Arcs that lie beside each other, and outlines of too little.
fn out_of_place(around: &[Around], features: &[Feature]) -> Option<Problem> {
    let corner = |item: &Around| match item {
        Around::At(id) => matches!(features[id.0].kind, Kind::Corner { .. }),
        Around::Arc { .. } => false,
    };
    let arc = |item: &Around| matches!(item, Around::Arc { .. });
    let count = around.len();
    if (0..count).any(|place| arc(&around[place]) && arc(&around[(place + 1) % count])) {
        return Some(
            Problem::new("two arcs of the outline lie side by side")
                .why("an arc goes from one corner or boss to the next")
                .mend("name a corner or a boss between them"),
        );
    }
    let stops = around.iter().filter(|item| !arc(item)).count();
    let round = around.iter().any(|item| arc(item) || !corner(item));
    (stops < 2 || (stops < 3 && !round)).then(|| {
        Problem::new("the outline goes round too little to enclose anything").mend(
            "name three corners or more, or two with an arc or a boss: `around = [\"corner a\", \"corner b\", \"nose\"]`",
        )
    })
}

impl Part<'_> {
    /// What an outline goes round, with the sizes of this part, as drawn and never
    /// mirrored; none for another body, or where something is not placed.
    fn stops(&self) -> Option<Vec<(Stop, Side)>> {
        let Body::Outline { around, .. } = &self.drawing.body else { return None };
        // An arc that stands first leaves the corner that stands last.
        let first = around.iter().position(|item| matches!(item, Around::At(_)))?;
        let mut stops: Vec<(Stop, Side)> = Vec::new();
        for item in around[first..].iter().chain(&around[..first]) {
            match *item {
                Around::At(id) => {
                    let [x, y] = [Axis::X, Axis::Y].map(|axis| self.solved.place(id, axis));
                    let at = Point::at(self.value(x?), self.value(y?));
                    let feature = self.feature(id);
                    let turn = match feature.kind {
                        Kind::Boss { radius } => Turn::Round(Circle::new(at, self.size(radius).as_mm())),
                        Kind::Corner { radius } => {
                            Turn::Corner { at, radius_mm: radius.map_or(0.0, |id| self.size(id).as_mm()) }
                        }
                        _ => return None,
                    };
                    stops.push((Stop { name: feature.name.clone(), turn }, Side::Line));
                }
                Around::Arc { radius, bulge, share } => {
                    let side = Side::Arc {
                        radius_mm: self.size(radius).as_mm(),
                        out: bulge == Bulge::Out,
                        greater: share == ArcShare::Greater,
                    };
                    stops.last_mut()?.1 = side;
                }
            }
        }
        Some(stops)
    }

    /// The outline of a part whose body is one, as drawn and never mirrored, with what
    /// each of its lines and arcs belongs to.
    ///
    /// # Errors
    ///
    /// A [`Problem`] for another body, or an outline that cannot be drawn.
    pub fn pieces(&self) -> Result<around::Named, Problem> {
        let stops = self.stops().ok_or_else(|| {
            Problem::new("the outline cannot be drawn").mend("place everything that it goes round")
        })?;
        around::around(&stops)
    }

    /// What has its centre at a place of the drawing: a boss, or a line or arc of the outline.
    pub fn centred_at(&self, at: (Length, Length)) -> String {
        let drawn = self.seen(super::Image::Drawn);
        let near = |x_mm: f64, y_mm: f64| Point::at(at.0, at.1).distance_mm(Point::new(x_mm, y_mm)) < 1e-3;
        let boss = self.features().find(|&(id, feature)| {
            let place = drawn.xy(id).unwrap_or_default();
            matches!(feature.kind, Kind::Boss { .. }) && near(place.0.as_mm(), place.1.as_mm())
        });
        if let Some((_, boss)) = boss {
            return boss.name.clone();
        }
        let slot = self
            .features()
            .find(|&(id, _)| drawn.curved_arc(id).is_some_and(|arc| near(arc.centre.x_mm, arc.centre.y_mm)));
        if let Some((_, slot)) = slot {
            return format!("{}’s arc", slot.name);
        }
        let Ok(named) = self.pieces() else { return "the outline".into() };
        let own =
            named.outline.segments().iter().position(
                |piece| matches!(piece, Segment::Arc(arc) if near(arc.centre.x_mm, arc.centre.y_mm)),
            );
        own.map_or_else(|| "the outline".into(), |n| named.names[n].clone())
    }

    /// The same as it lies.
    pub(super) fn drawn_around(&self) -> Result<Outline, Problem> {
        let drawn = self.pieces().map_err(|fault| fault.at("`around`"))?.outline;
        Ok(match self.image {
            super::Image::Drawn => drawn,
            super::Image::Mirrored => drawn.mirrored(),
        })
    }

    /// Its extremes as it lies; none where it cannot be drawn.
    pub(super) fn bounds_around(&self) -> Option<Bounds> {
        let drawn = around::bounds(&self.stops()?).ok()?;
        Some(match self.image {
            super::Image::Drawn => drawn,
            super::Image::Mirrored => Bounds {
                least: Point::new(-drawn.most.x_mm, drawn.least.y_mm),
                most: Point::new(-drawn.least.x_mm, drawn.most.y_mm),
            },
        })
    }
}
