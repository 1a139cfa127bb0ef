//! How often a drill comes out of a deep hole, to bring its chips out and let oil in.
//!
//! Common practice: the flutes lift chips for about three diameters by themselves, four where they
//! come as crumbs, two where they stick; beyond that the drill comes right out every diameter. Those
//! diameters are counted up from the bottom, so that the last stretch is a whole one and no crumb.

use super::show::{as_set, mm, practice};
use crate::measure::{Length, Toward, Unit};
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
    let full = (diameter * diameters).rounded(fine, Toward::Less).value;
    let each = diameter.rounded(fine, Toward::Less).value;
    if !each.is_positive() || deep <= full {
        return None;
    }
    let times = (deep - full).ratio_to(each).ceil().to_integer();
    let first = (deep - each.scaled(times.into())).rounded(fine, Toward::More).value;
    Some(Pecking { first, each, times, diameters, material: material.name.clone() })
}

impl Pecking {
    /// The row of the sheet, for a drill fed by what is marked in millimetres or in inches.
    pub fn figure(&self, fed_in: Unit) -> Figure {
        let set = |length: Length| match fed_in {
            Unit::Mm => mm(length),
            Unit::Inch => as_set(length.rounded(Length::thou(5), Toward::Less).value, Length::thou(1)),
        };
        let shown = match self.times {
            1 => format!("at {}", set(self.first)),
            // The unit once: it is a narrow column.
            2 => {
                let first = set(self.first);
                let bare = first.rsplit_once(' ').map_or(first.as_str(), |(number, _)| number);
                format!("at {bare} and {}", set(self.first + self.each))
            }
            times => format!("at {}, then every {}: {times} times", set(self.first), set(self.each)),
        };
        let why = practice(format!(
            "{} diameters deep the flutes of a drill in {} are full; before that it comes right out, is brushed clean and oiled, and \
             again every diameter, counted up from the bottom",
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
        assert_eq!(deep.figure(Unit::Mm).shown, "at 15 mm, then every 5 mm: 5 times");
        assert_eq!(asked(5, 20, "brass"), None);
        assert_eq!(asked(5, 16, "copper").unwrap().figure(Unit::Mm).shown, "at 6 and 11 mm");
    }

    /// A drill of 2.6 mm was to come out at 7.8 mm of 7.9: for a tenth.
    #[test]
    fn no_crumb_is_left_for_the_last_stretch() {
        let found = pecking(Length::microns(2_600), Length::microns(7_900), find("mild steel").unwrap());
        assert_eq!(found.as_ref().unwrap().figure(Unit::Mm).shown, "at 5.3 mm");
        assert_eq!(found.unwrap().figure(Unit::Inch).shown, "at 0.205 in");
    }

    proptest! {
        /// No stretch between two clearings is longer than a diameter, nor the last less than half of one.
        #[test]
        fn no_stretch_is_longer_than_a_diameter(tenths in 10i64..200, deep in 10i64..2000) {
            let (wide, deep) = (Length::microns(tenths * 100), Length::microns(deep * 100));
            if let Some(found) = pecking(wide, deep, find("mild steel").unwrap()) {
                let depths = depths(&found);
                prop_assert!(depths[0] <= wide * 3 && depths[0] > wide);
                prop_assert!(deep - *depths.last().unwrap() >= wide.half());
                prop_assert!(depths.iter().chain([&deep]).zip(depths.iter().skip(1).chain([&deep])).all(|(a, b)| *b - *a <= wide));
            }
        }
    }
}
