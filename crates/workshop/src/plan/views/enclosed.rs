//! Cuts that a plate has all round them: seen from beside the plate, metal hides whatever
//! of them is not in its faces, and nothing else need be asked. Nor does the plate's own
//! outline know of them.

use super::region::Region;
use super::solid::{Form, HAIR_MM, Piece, Solid, Spot, flat};
use crate::geometry::{Bounds, Point};

/// Which pieces of a solid belong together in a place of their own inside its one piece of
/// metal.
pub(super) struct Enclosed<'s> {
    plate: Option<&'s Piece>,
    /// For each piece, metal first: the number that it shares with those it runs into.
    places: Vec<Option<usize>>,
}

impl<'s> Enclosed<'s> {
    pub fn of(solid: &'s Solid) -> Self {
        let none = Self { plate: None, places: vec![None; solid.metal.len() + solid.cuts.len()] };
        let [plate] = &solid.metal[..] else { return none };
        let Form::Prism(region) = &plate.form else { return none };
        let mut places: Vec<usize> = (0..solid.cuts.len()).collect();
        for (n, cut) in solid.cuts.iter().enumerate() {
            for (m, other) in solid.cuts.iter().enumerate().skip(n + 1) {
                let (one, joined) = (places[n], places[m]);
                if one != joined && cut.near(other) {
                    places.iter_mut().filter(|place| **place == joined).for_each(|place| *place = one);
                }
            }
        }
        let inside: Vec<bool> = solid.cuts.iter().map(|cut| is_inside(cut, plate, region)).collect();
        let enclosed = |place: usize| {
            let own = places.iter().zip(&inside).filter(|(other, _)| **other == place);
            own.clone().all(|(_, inside)| *inside)
        };
        // The plate itself comes first.
        let cuts = places.iter().map(|&place| enclosed(place).then_some(place));
        Self { plate: Some(plate), places: std::iter::once(None).chain(cuts).collect() }
    }

    /// The place of a piece and the plate round it, where it is enclosed.
    pub fn place(&self, piece: usize) -> Option<(usize, &'s Piece)> {
        Some((self.places[piece]?, self.plate?))
    }

    /// True when a piece lies in a place, or round it.
    pub fn is_at(&self, piece: usize, place: usize) -> bool {
        piece == 0 || self.places[piece] == Some(place)
    }

    /// True when the sides of a piece are not changed by another, nor what is seen of them:
    /// one is the plate, and the other is enclosed by it.
    pub fn parts(&self, piece: usize, other: usize) -> bool {
        piece == 0 && self.plate.is_some() && self.places[other].is_some()
    }
}

/// True when a spot lies in one of the two faces of a plate.
pub(super) fn in_a_face(plate: &Piece, spot: Spot) -> bool {
    let height = spot[plate.axis as usize];
    [plate.from_mm, plate.to_mm].into_iter().any(|face| (height - face).abs() < HAIR_MM)
}

/// True when a cut lies within the outline of a plate, clear of it.
fn is_inside(cut: &Piece, plate: &Piece, region: &Region) -> bool {
    let (least, most) = (flat(cut.least, plate.axis), flat(cut.most, plate.axis));
    let clear = Point::new(CLEAR_MM, CLEAR_MM);
    let around = Bounds { least: least - clear, most: most + clear };
    let middle = (least + most).times(0.5);
    region.contains(middle) && !region.pieces.iter().any(|side| side.bounds().meets(around))
}

/// More than any spot that is looked at lies beside an edge.
const CLEAR_MM: f64 = 0.01;

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::super::edges::edges;
    use super::super::sight::{Eye, Seen, seen};
    use super::*;
    use crate::drawing::{Axis, FeatureId};
    use crate::plan::sheet::Looking;

    /// A plate whose outline has a corner let in, and cuts of all sorts wherever they fall.
    fn plate(cuts: &[(u8, f64, f64, f64, f64)]) -> Solid {
        const THICK_MM: f64 = 8.0;
        let corners = [(0.0, 0.0), (60.0, 0.0), (60.0, 25.0), (40.0, 25.0), (40.0, 40.0), (0.0, 40.0)];
        let corners = corners.map(|(x, y)| Point::new(x, y));
        let metal = vec![Piece::new(None, Axis::Z, [0.0, THICK_MM], Form::Prism(Region::corners(&corners)))];
        let cut = |(n, &(kind, x, y, half, deep)): (usize, &(u8, f64, f64, f64, f64))| {
            let (of, at, reach) = (Some(FeatureId(n)), Point::new(x, y), Point::new(half, half * 0.7));
            match kind {
                0 => Piece::new(of, Axis::Z, [-1.0, 9.0], Form::Prism(Region::circle(at, half))),
                1 => Piece::new(of, Axis::Z, [deep, 9.0], Form::Prism(Region::circle(at, half))),
                2 => Piece::new(
                    of,
                    Axis::Z,
                    [deep, 9.0],
                    Form::Prism(Region::rectangle(at - reach, at + reach)),
                ),
                3 => {
                    let cone = Form::Cone { centre: at, from_radius_mm: half / 2.0, to_radius_mm: half };
                    Piece::new(of, Axis::Z, [deep, THICK_MM], cone)
                }
                _ => {
                    let across = Region::circle(Point::new(x, THICK_MM / 2.0), half.min(3.0));
                    Piece::new(of, Axis::Y, [-1.0, y], Form::Prism(across))
                }
            }
        };
        let mut apart: Vec<Piece> = Vec::new();
        for piece in cuts.iter().enumerate().map(cut) {
            // Holes that break into each other are followed by samples, not to the last digit.
            let breaks_in = |other: &Piece| other.axis == piece.axis && other.near(&piece);
            if !apart.iter().any(breaks_in) {
                apart.push(piece);
            }
        }
        let counterbored =
            apart.iter().find(|piece| piece.axis == Axis::Z && piece.from_mm < 0.0).map(|bore| {
                let wide = Point::new(0.5, 0.5);
                let (least, most) = (flat(bore.least, Axis::Z) - wide, flat(bore.most, Axis::Z) + wide);
                Piece::new(
                    Some(FeatureId(99)),
                    Axis::Z,
                    [6.0, 9.0],
                    Form::Prism(Region::rectangle(least, most)),
                )
            });
        apart.extend(counterbored);
        Solid { metal, cuts: apart }
    }

    /// Where a line is asked about plays into its last digits.
    fn is_same(one: &Seen, other: &Seen) -> bool {
        const SAME_MM: f64 = 2e-3;
        let ends = |line: &Seen| [line.segment.start(), line.segment.end(), line.segment.along(0.5)];
        let near = ends(one).into_iter().zip(ends(other)).all(|(a, b)| a.distance_mm(b) < SAME_MM);
        near && (one.of, one.stroke) == (other.of, other.stroke)
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(60))]

        /// Every line is seen as it is where nothing is taken for enclosed.
        #[test]
        fn what_is_enclosed_looks_as_if_all_were_asked(
            cuts in prop::collection::vec((0u8..5, 1.0..58.0, 1.0..38.0, 0.7..6.0, 1.0..7.0), 1..7),
        ) {
            let solid = plate(&cuts);
            let enclosed = Enclosed::of(&solid);
            let nothing = Enclosed { plate: None, places: vec![None; 1 + solid.cuts.len()] };
            for looking in [Looking::Front, Looking::Above, Looking::Below, Looking::Right, Looking::Left] {
                let eye = Eye::of(looking);
                let [short, whole] =
                    [&enclosed, &nothing].map(|how| seen(&solid, &edges(&solid, how), how, eye));
                let has = |all: &[Seen], line: &Seen| all.iter().any(|other| is_same(other, line));
                let more = short.iter().filter(|line| !has(&whole, line));
                let lacking = whole.iter().filter(|line| !has(&short, line));
                let apart: Vec<&Seen> = more.chain(lacking).collect();
                prop_assert!(apart.is_empty(), "{:?}: {:#?}", looking, apart);
            }
        }
    }
}
