//! Cuts that a plate has all round them: seen from beside the plate, metal hides whatever
//! of them is not in its faces, and nothing else need be asked.

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
