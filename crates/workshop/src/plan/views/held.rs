//! What a face or an axis has to keep, as ISO 1101 draws it: a frame with the sign, the width of
//! its zone and the letter of its datum, and the datum itself in a frame on a triangle (ISO 5459).

use std::collections::BTreeMap;

use super::Letters;
use super::shape::{Round, Shaped};
use super::sight::{Eye, Seen};
use super::signs::mirror;
use super::solid::{HAIR_MM, Spot, raised};
use crate::drawing::{Axis, Element, Face, FeatureId, Keeps, Kind};
use crate::geometry::{Bounds, Point, Segment};
use crate::measure::Unit;
use crate::plan::sheet::{Looking, Said, Saying, Stroke};

/// Letters of datums: those that are easily taken for figures or for an axis are left out.
const DATUMS: [char; 22] = [
    'A', 'B', 'C', 'D', 'E', 'F', 'G', 'H', 'J', 'K', 'L', 'M', 'N', 'P', 'R', 'S', 'T', 'U', 'V', 'W', 'Y',
    'Z',
];

/// A line this near the level of a face lies in it.
const IN_FACE_MM: f64 = 1e-3;

/// The part and its views, in which an element is looked for.
#[derive(Clone, Copy)]
struct Views<'a> {
    shaped: &'a Shaped<'a>,
    all: &'a [(Looking, Vec<Seen>)],
    mirrored: bool,
}

/// Where something is shown in a view: a place, how far round it is, and the way out of the metal.
struct Shown {
    looking: Looking,
    at: Point,
    rim_mm: f64,
    out_rad: f64,
}

/// The frames and datums of each view.
pub(super) fn held(
    shaped: &Shaped,
    letters: &Letters,
    views: &[(Looking, Vec<Seen>)],
    mirrored: bool,
) -> BTreeMap<Looking, Vec<Saying>> {
    let looked_at = Views { shaped, all: views, mirrored };
    let drawing = letters.part.drawing;
    let mut said: BTreeMap<Looking, Vec<Saying>> = BTreeMap::new();
    let mut datums: Vec<Element> = Vec::new();
    for one in &drawing.geometrical {
        datums.extend(one.to.filter(|to| !datums.contains(to)));
    }
    let feature = |element: Element| match element {
        Element::Feature(id) => Some(drawing.features[id.0].name.clone()),
        Element::Face(_) => None,
    };
    for one in &drawing.geometrical {
        let letter = one.to.and_then(|to| letter(&datums, to));
        let zone = match letters.lettering {
            super::Lettering::AsWritten if one.within.unit != Unit::Mm => one.within.text.clone(),
            _ => one.within.length.shown(3),
        };
        // Of one axis to another the zone is round.
        let zone = if one.keeps == Keeps::Concentricity { format!("⌀{zone}") } else { zone };
        if let Some(at) = looked_at.shown(one.of, 0.35) {
            said.entry(at.looking).or_default().push(Saying {
                of: feature(one.of),
                figure: None,
                text: zone,
                shape: Said::Held { at: at.at, rim_mm: at.rim_mm, keeps: one.keeps, to: letter },
            });
        }
    }
    for &element in &datums {
        if let (Some(at), Some(letter)) = (looked_at.shown(element, 0.65), letter(&datums, element)) {
            said.entry(at.looking).or_default().push(Saying {
                of: feature(element),
                figure: None,
                text: letter.to_string(),
                shape: Said::Datum { at: at.at.polar(at.rim_mm, at.out_rad), out_rad: at.out_rad },
            });
        }
    }
    said
}

fn letter(datums: &[Element], element: Element) -> Option<char> {
    let place = datums.iter().position(|&datum| datum == element)?;
    DATUMS.get(place).copied()
}

impl Views<'_> {
    /// Where an element is shown best, so far along the line that it is seen as.
    fn shown(self, element: Element, along: f64) -> Option<Shown> {
        match element {
            Element::Face(face) => self.in_line(face, along),
            Element::Feature(id) => {
                let round = self.shaped.rounds.iter().find(|round| round.of == id);
                match round {
                    Some(round) if matches!(self.shaped.part.feature(id).kind, Kind::Section { .. }) => {
                        self.beside(round, along)
                    }
                    Some(round) => self.round_on(round),
                    None => self.by_a_line(id),
                }
            }
        }
    }

    /// A face on the line that is seen of it, in the view that shows most of that.
    fn in_line(self, face: Face, along: f64) -> Option<Shown> {
        let Self { shaped, all: views, mirrored } = self;
        let (axis, k) = (face.axis(), face.axis() as usize);
        let more = matches!(face, Face::Right | Face::Top | Face::Front);
        let level = if more { shaped.most[k] } else { shaped.least[k] };
        let spot = |off: f64| {
            let mut spot: Spot = [0, 1, 2].map(|i| f64::midpoint(shaped.least[i], shaped.most[i]));
            spot[k] = level + if more { off } else { -off };
            mirror(spot, mirrored)
        };
        let seen = |(looking, lines): &(Looking, Vec<Seen>)| {
            let eye = Eye::of(*looking);
            let (at, out) = (eye.sees(spot(0.0)), eye.sees(spot(1.0)) - eye.sees(spot(0.0)));
            let in_face = |point: Point| (point - at).dot(out).abs() < IN_FACE_MM;
            let lines = lines.iter().filter(|line| line.stroke == Stroke::Visible).map(|line| line.segment);
            let own = lines.filter(|segment| {
                matches!(segment, Segment::Line(_)) && in_face(segment.start()) && in_face(segment.end())
            });
            (*looking, own.collect::<Vec<_>>(), Point::ORIGIN.direction_rad(out))
        };
        let edge_on = views.iter().filter(|(looking, _)| Eye::of(*looking).toward.0 != axis).map(seen);
        let long_mm = |pieces: &[Segment]| pieces.iter().map(Segment::length_mm).sum::<f64>();
        let (looking, pieces, out_rad) = edge_on.max_by(|a, b| long_mm(&a.1).total_cmp(&long_mm(&b.1)))?;
        // From its end on the left, or at the foot, over all its pieces.
        let ends = pieces.iter().flat_map(|piece| [piece.start(), piece.end()]);
        let whole = ends
            .map(|end| Bounds { least: end, most: end })
            .reduce(|a, b| a.including(b.least).including(b.most))?;
        let wanted = whole.least + (whole.most - whole.least).times(along);
        let near = pieces.iter().map(|piece| piece.nearest(wanted));
        let at = near.min_by(|a, b| a.distance_mm(wanted).total_cmp(&b.distance_mm(wanted)))?;
        Some(Shown { looking, at, rim_mm: 0.0, out_rad })
    }

    /// A turned section on its outside, seen from the front: above for what it keeps, below as a datum.
    fn beside(self, round: &Round, along: f64) -> Option<Shown> {
        let (looking, _) = self.all.first()?;
        let eye = Eye::of(*looking);
        let up = if along < 0.5 { 1.0 } else { -1.0 };
        let mut spot =
            raised(round.centre, round.axis, round.ends_mm[0] * (1.0 - along) + round.ends_mm[1] * along);
        spot[Axis::Y as usize] += up * round.radius_mm;
        let at = eye.sees(mirror(spot, self.mirrored));
        Some(Shown { looking: *looking, at, rim_mm: 0.0, out_rad: up * std::f64::consts::FRAC_PI_2 })
    }

    /// A hole in the view that looks along it, its datum on the side away from the middle.
    fn round_on(self, round: &Round) -> Option<Shown> {
        let Self { shaped, all: views, mirrored } = self;
        let (looking, _) = views.iter().find(|(looking, _)| Eye::of(*looking).toward.0 == round.axis)?;
        let eye = Eye::of(*looking);
        let sees = |spot: Spot| eye.sees(mirror(spot, mirrored));
        let at = sees(raised(round.centre, round.axis, round.ends_mm[0]));
        let middle = sees([0, 1, 2].map(|i| f64::midpoint(shaped.least[i], shaped.most[i])));
        // Slanting, clear of the lines that dimension its middle; downwards where it lies in the middle.
        let away = at - middle;
        let side = |mm: f64, level: f64| if mm.abs() < HAIR_MM { level } else { mm.signum() };
        let out_rad = side(away.y_mm, -1.0).atan2(side(away.x_mm, -1.0));
        Some(Shown { looking: *looking, at, rim_mm: round.radius_mm, out_rad })
    }

    /// What is neither round nor a side of the body: on the longest line of its own.
    fn by_a_line(self, id: FeatureId) -> Option<Shown> {
        let own = self.all.iter().flat_map(|(looking, lines)| lines.iter().map(move |line| (*looking, line)));
        let own = own.filter(|(_, line)| line.of == Some(id) && line.stroke == Stroke::Visible);
        let (looking, line) =
            own.max_by(|a, b| a.1.segment.length_mm().total_cmp(&b.1.segment.length_mm()))?;
        let (from, to) = (line.segment.start(), line.segment.end());
        let out_rad = from.direction_rad(to) + std::f64::consts::FRAC_PI_2;
        Some(Shown { looking, at: line.segment.along(0.5), rim_mm: 0.0, out_rad })
    }
}
