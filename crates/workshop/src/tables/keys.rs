//! Parallel keys as they are sold, and the shafts they are for.

use std::sync::LazyLock;

use super::Source;
use super::rows::rows;
use crate::measure::Length;

/// A key of a standard section.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Key {
    /// As the trade writes it: `4 mm`, `1/8 in`.
    pub name: String,
    /// Across, which its keyway is too.
    pub width: Length,
    /// From its floor to its top.
    pub height: Length,
    /// How deep the keyway of the hub is at its middle, where the table says.
    pub hub: Option<Length>,
    /// The shafts it is for: over the first, up to the second.
    pub shaft: [Length; 2],
    /// Where the row was published.
    pub source: Source,
}

/// Every key, metric ones first.
pub fn all() -> &'static [Key] {
    static ALL: LazyLock<Vec<Key>> = LazyLock::new(|| {
        let rows = rows!("keys/keys.csv");
        let key = |row: &super::rows::Row| Key {
            name: row.text("key").to_owned(),
            width: row.length("key"),
            height: row.length("height"),
            hub: row.length_if_any("hub"),
            shaft: [row.length("over"), row.length("up_to")],
            source: row.source(),
        };
        rows.iter().map(key).collect()
    });
    &ALL
}

/// The key that is exactly so wide.
pub fn of_width(width: Length) -> Option<&'static Key> {
    all().iter().find(|key| key.width == width)
}

/// The metric key for a shaft of a diameter.
pub fn for_shaft(diameter: Length) -> Option<&'static Key> {
    let fits = |key: &&Key| key.hub.is_some() && diameter > key.shaft[0] && diameter <= key.shaft[1];
    all().iter().find(fits)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A sheet of keyways that prints the hub from the far side of the bore, d + t2, for each bore, and
    /// a gear maker's catalogue: (bore, key, d + t2).
    #[test]
    fn hubs_agree_with_printed_sheets() {
        const PRINTED: [(i64, i64, i64); 12] = [
            (8, 2, 9_000),
            (9, 3, 10_400),
            (10, 3, 11_400),
            (11, 4, 12_800),
            (12, 4, 13_800),
            (13, 5, 15_300),
            (17, 5, 19_300),
            (18, 6, 20_800),
            (40, 12, 43_300),
            (48, 14, 51_800),
            (60, 18, 64_400),
            (90, 25, 95_400),
        ];
        for (bore, wide, across) in PRINTED {
            let key = for_shaft(Length::mm(bore)).unwrap();
            assert_eq!(key.width, Length::mm(wide), "bore {bore}");
            assert_eq!(Length::mm(bore) + key.hub.unwrap(), Length::microns(across), "bore {bore}");
        }
        assert_eq!(for_shaft(Length::mm(5)), None);
    }

    #[test]
    fn a_wider_shaft_never_has_a_narrower_key() {
        for run in all().windows(2).filter(|pair| pair[0].hub.is_some() == pair[1].hub.is_some()) {
            assert!(run[0].width < run[1].width && run[0].shaft[1] <= run[1].shaft[1], "{}", run[1].name);
        }
        assert_eq!(of_width(Length::inches(1, 8)).unwrap().name, "1/8 in");
        assert_eq!(of_width(Length::microns(3_200)), None);
    }
}
