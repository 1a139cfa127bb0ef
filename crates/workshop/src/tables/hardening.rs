//! Hardening and tempering: which steels harden right through, and what they are let down to.

use std::sync::LazyLock;

use super::rows::rows;
use super::source::Source;
use crate::problem::Problem;

/// How one steel is hardened.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Hardening {
    /// The steel, as the materials table names it.
    pub material: String,
    /// Heated to, at least, °C.
    pub low_c: u32,
    /// And at most.
    pub high_c: u32,
    /// How it glows then, seen in a dim light: `cherry red`.
    pub glows: String,
    /// What it is quenched in.
    pub quench: String,
    /// Minutes at heat for each 6 mm of the thickest section.
    pub soak_minutes: u32,
    /// Where it is published.
    pub source: Source,
}

/// What hardened steel is let down to.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Temper {
    /// The colour a bright face shows: `straw`.
    pub colour: String,
    /// Its temperature, °C.
    pub heat_c: u32,
    /// What it suits.
    pub suits: String,
    /// Where it is published.
    pub source: Source,
}

/// Every temper, the hardest first.
pub fn tempers() -> &'static [Temper] {
    static ALL: LazyLock<Vec<Temper>> = LazyLock::new(|| {
        let rows = rows!("hardening/tempers.csv");
        let read = |row: &super::rows::Row| Temper {
            colour: row.text("temper").to_owned(),
            heat_c: row.whole("heat_c"),
            suits: row.text("suits").to_owned(),
            source: row.source(),
        };
        rows.iter().map(read).collect()
    });
    &ALL
}

/// A temper by its colour.
///
/// # Errors
///
/// A [`Problem`] that lists the colours.
pub fn temper(colour: &str) -> Result<&'static Temper, Problem> {
    let wanted = colour.trim();
    tempers().iter().find(|temper| temper.colour.eq_ignore_ascii_case(wanted)).ok_or_else(|| {
        let known: Vec<String> =
            tempers().iter().map(|temper| format!("`{}` ({} °C)", temper.colour, temper.heat_c)).collect();
        Problem::new(format!("`{wanted}` is no colour that steel is let down to"))
            .why(format!("figures are known for {}, the hardest first", known.join(", ")))
            .mend("name one of these")
    })
}

/// How a steel is hardened, by the name that the materials table gives it.
///
/// # Errors
///
/// A [`Problem`], without its place, when it does not harden right through, or no figures for
/// it are known.
pub fn of(material: &str) -> Result<&'static Hardening, Problem> {
    static ALL: LazyLock<Vec<Hardening>> = LazyLock::new(|| {
        let rows = rows!("hardening/steels.csv");
        let read = |row: &super::rows::Row| Hardening {
            material: row.text("material").to_owned(),
            low_c: row.whole("low_c"),
            high_c: row.whole("high_c"),
            glows: row.text("glows").to_owned(),
            quench: row.text("quench").to_owned(),
            soak_minutes: row.whole("soak_minutes"),
            source: row.source(),
        };
        rows.iter().map(read).collect()
    });
    ALL.iter().find(|steel| steel.material == material).ok_or_else(|| {
        let known: Vec<String> = ALL.iter().map(|steel| format!("`{}`", steel.material)).collect();
        Problem::new(format!("{material} is not hardened by heating and quenching here"))
            .why(format!("figures are known for {}", known.join(" and ")))
            .mend("leave `harden` out, or make the part of one of these")
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_temper_is_found_by_its_colour() {
        assert_eq!(temper(" Straw ").unwrap().heat_c, 230);
        assert!(temper("mauve").unwrap_err().reason().is_some_and(|why| why.contains("`blue` (290 °C)")));
    }

    /// Letting down further makes softer, and all of it lies far below hardening.
    #[test]
    fn tempers_run_from_hard_to_soft_below_every_hardening_heat() {
        assert!(tempers().windows(2).all(|pair| pair[0].heat_c < pair[1].heat_c));
        for steel in ["silver steel", "gauge plate"] {
            let steel = of(steel).unwrap();
            assert!(steel.low_c < steel.high_c && tempers().iter().all(|t| t.heat_c * 2 < steel.low_c));
            assert!(crate::tables::materials::find(&steel.material).is_ok_and(|m| m.name == steel.material));
        }
        assert!(of("mild steel").unwrap_err().reason().is_some_and(|why| why.contains("silver steel")));
    }
}
