//! How often a drill comes out of a deep hole, to bring its chips out and let oil in.
//!
//! Common practice: the flutes lift chips for about three diameters by themselves, four where they
//! come as crumbs, two where they stick; beyond that the drill comes right out every diameter.

use super::show::{mm, practice};
use crate::measure::{Length, Toward};
use crate::tables::materials::{Kind, Material};
use crate::why::Figure;

/// Where a drill comes out of its hole on the way down.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Pecking {
    /// How deep it goes at first.
    pub first: Length,
    /// How much deeper each time after.
    pub each: Length,
    /// How many times it comes out before it is through or as deep as it goes.
    pub times: i128,
    diameters: i64,
    material: String,
}

/// How often a drill so wide comes out of a hole so deep; never, in a shallow one.
pub fn pecking(diameter: Length, deep: Length, material: &Material) -> Option<Pecking> {
    let diameters = match material.kind {
        Kind::Iron | Kind::CopperAlloy | Kind::Laminate => 4,
        Kind::Steel | Kind::Stainless | Kind::Plastic => 3,
        Kind::Copper | Kind::LightAlloy => 2,
    };
    let fine = if diameter < Length::mm(3) { Length::mm_ratio(1, 10) } else { Length::mm_ratio(1, 2) };
    let first = (diameter * diameters).rounded(fine, Toward::Less).value;
    let each = diameter.rounded(fine, Toward::Less).value;
    if !each.is_positive() || deep <= first {
        return None;
    }
    let times = (deep - first).ratio_to(each).ceil().to_integer();
    Some(Pecking { first, each, times, diameters, material: material.name.clone() })
}

impl Pecking {
    /// The row of the sheet.
    pub fn figure(&self) -> Figure {
        let shown = match self.times {
            1 => format!("at {}", mm(self.first)),
            2 => format!("at {} and {}", self.first.shown(1), mm(self.first + self.each)),
            times => format!("at {}, then every {}: {times} times", mm(self.first), mm(self.each)),
        };
        let why = practice(format!(
            "{} diameters deep the flutes of a drill in {} are full; from there it comes right out every diameter, is brushed clean and oiled",
            self.diameters, self.material
        ));
        Figure::new("out to clear", shown, why)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tables::materials::find;
    use proptest::prelude::*;

    /// The depths at which it comes out.
    fn depths(found: &Pecking) -> Vec<Length> {
        (0..found.times).map(|n| found.first + found.each.scaled(n.into())).collect()
    }

    fn asked(diameter: i64, deep: i64, material: &str) -> Option<Pecking> {
        pecking(Length::mm(diameter), Length::mm(deep), find(material).unwrap())
    }

    /// Handbooks on deep drilling count holes of more than three diameters as deep, from memory.
    #[test]
    fn a_hole_is_deep_beyond_three_diameters_of_steel() {
        assert_eq!(asked(5, 15, "mild steel"), None);
        let deep = asked(5, 40, "mild steel").unwrap();
        let mm: Vec<i64> = vec![15, 20, 25, 30, 35];
        assert_eq!(depths(&deep), mm.into_iter().map(Length::mm).collect::<Vec<_>>());
        assert_eq!(deep.figure().shown, "at 15 mm, then every 5 mm: 5 times");
        assert_eq!(asked(5, 20, "brass"), None);
        assert_eq!(asked(5, 16, "copper").unwrap().figure().shown, "at 10 and 15 mm");
    }

    proptest! {
        /// No stretch between two clearings is longer than a diameter, and none comes at the bottom.
        #[test]
        fn no_stretch_is_longer_than_a_diameter(tenths in 5i64..200, deep in 1i64..200) {
            let (wide, deep) = (Length::microns(tenths * 100), Length::mm(deep));
            if let Some(found) = pecking(wide, deep, find("mild steel").unwrap()) {
                let depths = depths(&found);
                prop_assert!(depths[0] <= wide * 3 && *depths.last().unwrap() < deep);
                prop_assert!(depths.iter().chain([&deep]).zip(depths.iter().skip(1).chain([&deep])).all(|(a, b)| *b - *a <= wide));
            }
        }
    }
}
