//! Black and bright: how bar and plate come from the mill, and what has to come off.

use std::sync::LazyLock;

use num_rational::Ratio;

use super::rows::rows;
use super::source::{Source, Standing};
use crate::measure::Length;
use crate::problem::Problem;

/// The surface of bar or plate as it comes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Surface {
    /// Hot rolled, with its scale: no face of it is a face of a part.
    Black,
    /// Drawn, ground or clean rolled: true to size, and may stay as it is.
    Bright,
}

impl Surface {
    /// Both, by the word of the trade.
    pub const ALL: [(&'static str, Self); 2] = [("black", Self::Black), ("bright", Self::Bright)];

    /// The word for it.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Black => "black",
            Self::Bright => "bright",
        }
    }

    /// Black or bright, where a material's own name says it: `black mild steel`, `BMS`.
    pub fn in_name(material: &str) -> Option<Self> {
        let name = material.trim().to_lowercase();
        match name.split_whitespace().next()? {
            "black" => Some(Self::Black),
            "bright" | "bms" => Some(Self::Bright),
            _ => None,
        }
    }

    /// What is wrong with a surface on a material, by the name the materials table gives it.
    ///
    /// # Errors
    ///
    /// A [`Problem`], without its place, when the material is not sold so.
    pub fn suits(self, material: &str) -> Result<(), Problem> {
        if self == Self::Bright || ["steel", "stainless"].iter().any(|kind| material.contains(kind)) {
            return Ok(());
        }
        Err(Problem::new(format!("{material} does not come black"))
            .why("black is hot rolled steel with its scale on")
            .mend("leave `surface` out, or correct the material"))
    }
}

/// What has to come off a side of black metal.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct UnderScale {
    /// Off each side, at least.
    pub side: Length,
    /// Where it is published.
    pub source: Source,
}

/// What comes off each face of a black flat of that thickness and width, at least; of what is
/// thicker or wider than the published table, as much as of its last line.
pub fn black_flat(thickness: Length, width: Length) -> UnderScale {
    static ROWS: LazyLock<Vec<(Length, Length, UnderScale)>> = LazyLock::new(|| {
        let rows = rows!("surface/black_flats.csv");
        let read = |row: &super::rows::Row| {
            let under = UnderScale { side: row.length("side_in"), source: row.source() };
            (row.length("thick_in"), row.length("wide_in"), under)
        };
        rows.iter().map(read).collect()
    });
    // The wider measure is the width, whichever way round they were given.
    let (thin, wide) = (thickness.min(width), thickness.max(width));
    let band = ROWS.iter().map(|(t, ..)| *t).find(|t| *t >= thin).unwrap_or(ROWS[ROWS.len() - 1].0);
    let of_band = || ROWS.iter().filter(|(t, ..)| *t == band);
    let found = of_band().find(|(_, w, _)| *w >= wide).or_else(|| of_band().next_back());
    found.map_or_else(|| ROWS[ROWS.len() - 1].2.clone(), |(_, _, under)| under.clone())
}

/// What comes off a black round, on each side, at least: 1.6 % of its diameter.
pub fn black_round(diameter: Length) -> UnderScale {
    let source = Source {
        published: "a bar merchant's published rule for cleaning up hot rolled rounds".into(),
        standing: Standing::Published,
    };
    UnderScale { side: diameter.scaled(Ratio::new(16, 1000)), source }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn inch(text: &str) -> Length {
        crate::measure::read_length(text, Some(crate::measure::Unit::Inch)).unwrap().length
    }

    /// The published lines, at their edges and just beyond them.
    #[test]
    fn flats_lose_what_the_published_table_says() {
        for (thick, wide, thou) in [
            ("1/2", "1/2", 25),
            ("1/4", "2", 30),
            ("0.51", "1", 45),
            ("1", "1", 45),
            ("1.01", "2", 65),
            ("2", "3", 65),
            ("3", "3", 85),
            ("2", "1 1/4", 65),
            ("1/2", "14", 60),
            ("8", "12", 190),
        ] {
            assert_eq!(black_flat(inch(thick), inch(wide)).side, Length::thou(thou), "{thick} × {wide}");
        }
    }

    /// The merchant's own example: 6 in finished wants 6.25 in, by its formula 6 / 0.968.
    #[test]
    fn a_round_comes_down_by_the_published_share() {
        let cleans = |bar: Length| bar - black_round(bar).side * 2;
        assert!(cleans(inch("6 1/4")) >= inch("6"));
        assert!(cleans(inch("6 1/8")) < inch("6"));
        assert_eq!(cleans(Length::mm(100)), Length::microns(96_800));
    }

    #[test]
    fn the_name_of_a_material_may_say_it() {
        for (name, surface) in [
            ("black mild steel", Some(Surface::Black)),
            ("Bright mild steel", Some(Surface::Bright)),
            ("BMS", Some(Surface::Bright)),
            ("mild steel", None),
            ("", None),
        ] {
            assert_eq!(Surface::in_name(name), surface, "{name}");
        }
    }

    #[test]
    fn only_steel_comes_black() {
        assert!(Surface::Black.suits("mild steel").is_ok());
        assert!(Surface::Black.suits("brass").unwrap_err().what().contains("brass"));
        assert!(Surface::Bright.suits("brass").is_ok());
    }
}
