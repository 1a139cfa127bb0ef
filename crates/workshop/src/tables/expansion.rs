//! How far metals grow when they are warmed, and what they are not to be warmed beyond.

use std::sync::LazyLock;

use num_rational::Ratio;

use super::rows::{Row, rows};
use super::source::Source;
use crate::problem::Problem;

/// How one metal grows.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Expansion {
    /// The metal, as the materials table names it.
    pub material: String,
    /// Of its length, for each degree: millionths.
    pub per_k_millionths: Ratio<i128>,
    /// Warmer than this and it is spoilt, °C; from memory in every row.
    pub at_most_c: u32,
    /// What spoils it: `drawn brass goes soft`.
    pub because: String,
    /// Where the coefficient is published.
    pub source: Source,
}

impl Expansion {
    /// Of its length, for each degree.
    pub fn per_k(&self) -> f64 {
        *self.per_k_millionths.numer() as f64 / *self.per_k_millionths.denom() as f64 * 1e-6
    }
}

/// How a metal grows, by the name that the materials table gives it.
///
/// # Errors
///
/// A [`Problem`], without its place, when no figure is known.
pub fn of(material: &str) -> Result<&'static Expansion, Problem> {
    all().iter().find(|row| row.material == material).ok_or_else(|| {
        let known: Vec<&str> = all().iter().map(|row| row.material.as_str()).collect();
        Problem::new(format!("how far {material} grows when it is warmed is not known here"))
            .why(format!("figures are known for {}", known.join(", ")))
            .mend("name one of these, or press it on cold")
    })
}

/// Every metal.
fn all() -> &'static [Expansion] {
    static ALL: LazyLock<Vec<Expansion>> = LazyLock::new(|| {
        let read = |row: &Row| Expansion {
            material: row.text("material").to_owned(),
            per_k_millionths: row.number("per_k_millionths"),
            at_most_c: row.whole("at_most_c"),
            because: row.text("because").to_owned(),
            source: row.source(),
        };
        rows!("materials/expansion.csv").iter().map(read).collect()
    });
    &ALL
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tables::materials;

    /// A public chart of another maker's, metals at room temperature: mild steel 11.7, cast iron 10.5
    /// to 11.4, brass 18.4 to 20.5, bronze 17.5 to 18, aluminium alloys 21.5 to 23.8, copper 16.5 to 18.5.
    #[test]
    fn metals_grow_as_another_chart_has_them() {
        for (metal, low, high) in [
            ("mild steel", 11.0, 12.5),
            ("silver steel", 10.0, 12.0),
            ("grey cast iron", 10.5, 11.4),
            ("brass", 18.4, 20.5),
            ("gunmetal", 17.5, 18.5),
            ("aluminium alloy", 21.5, 23.8),
            ("copper", 16.5, 18.5),
            ("stainless 303", 16.0, 17.5),
        ] {
            let millionths = of(metal).unwrap().per_k() * 1e6;
            assert!((low..=high).contains(&millionths), "{metal}: {millionths}");
        }
    }

    /// Every metal of the materials table has its row, and nothing else has.
    #[test]
    fn metals_have_a_row_and_plastics_none() {
        use materials::Kind;
        for material in materials::all() {
            let metal = !matches!(material.kind, Kind::Plastic | Kind::Laminate);
            assert_eq!(of(&material.name).is_ok(), metal, "{}", material.name);
        }
        assert!(all().iter().all(|row| materials::all().iter().any(|known| known.name == row.material)));
        let fault = of("acetal").unwrap_err();
        assert!(fault.reason().is_some() && fault.remedy().is_some(), "{fault}");
    }
}
