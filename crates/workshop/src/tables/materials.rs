//! What parts are made of, and how it cuts.
//!
//! Begin with [`find`]. Speeds are starting ranges for high-speed steel on a
//! hobby machine; specific cutting forces are good to 30 or 40 %.

use std::sync::LazyLock;

use num_rational::Ratio;

use super::near::{nearest, plain, quoted};
use super::rows::{Row, rows};
use super::source::Source;
use crate::problem::Problem;
use crate::why::{Figure, Why};

/// A material, with what is published of it.
#[derive(Clone, Debug, PartialEq)]
pub struct Material {
    /// What it is called here: `silver steel`.
    pub name: String,
    /// What else it is called: trade names and grades that cut alike.
    pub also: Vec<String>,
    /// Cutting speeds, one for each [`Operation`] in its order.
    speeds: Vec<Speed>,
    /// Specific cutting force.
    pub cutting_force: CuttingForce,
    /// Density.
    pub density: Density,
    /// How much thread to aim at.
    pub tapping: Tapping,
}

/// What the tool does.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Operation {
    /// Turning and boring in the lathe.
    Turning,
    /// Milling.
    Milling,
    /// Drilling.
    Drilling,
    /// Reaming in the machine.
    Reaming,
}

/// A range of cutting speeds for high-speed steel.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Speed {
    /// The operation.
    pub operation: Operation,
    /// Metres a minute, to begin with.
    pub low_m_per_min: u32,
    /// Metres a minute, on a rigid machine with coolant.
    pub high_m_per_min: u32,
    /// Where it is published.
    pub source: Source,
}

/// Specific cutting force: `kc = kc1.1 · h^-mc`, `h` the chip thickness in mm.
#[derive(Clone, Debug, PartialEq)]
pub struct CuttingForce {
    /// At a chip 1 mm thick and 1 mm wide.
    pub kc11_n_per_mm2: u32,
    /// How the force grows as the chip thins.
    pub mc: f64,
    /// Where it is published.
    pub source: Source,
}

/// Density.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Density {
    /// Kilograms in a cubic metre.
    pub kg_per_m3: u32,
    /// Where it is published.
    pub source: Source,
}

/// How much thread to aim at when tapping.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Tapping {
    /// Percent of thread, on [`super::threads::Form::workshop_basis`].
    pub percent_low: u32,
    /// Percent of thread, on [`super::threads::Form::workshop_basis`].
    pub percent_high: u32,
    /// Length of engagement for a full-strength thread, in thread diameters.
    pub engagement_diameters: Ratio<i128>,
    /// Where it is published.
    pub source: Source,
}

impl Operation {
    /// Every operation.
    pub const ALL: [Self; 4] = [Self::Turning, Self::Milling, Self::Drilling, Self::Reaming];

    /// `turning`, `milling`, `drilling`, `reaming`.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Turning => "turning",
            Self::Milling => "milling",
            Self::Drilling => "drilling",
            Self::Reaming => "reaming",
        }
    }
}

impl Material {
    /// The cutting speed for an operation.
    pub fn speed(&self, operation: Operation) -> &Speed {
        self.speeds.iter().find(|s| s.operation == operation).expect("loading gives every operation a speed")
    }

    /// The rows that a look-up shows.
    pub fn describe(&self) -> Vec<Figure> {
        let why = |what: &str, source: &Source| {
            Why::new(format!("{what} of {}", self.name)).source(source.to_string())
        };
        let range =
            |low: u32, high: u32| if low == high { low.to_string() } else { format!("{low} to {high}") };
        let mut figures: Vec<Figure> = self
            .speeds
            .iter()
            .map(|speed| {
                let name = format!("{} speed", speed.operation.name());
                let shown = format!("{} m/min", range(speed.low_m_per_min, speed.high_m_per_min));
                let reason =
                    why(&format!("{} speed, high-speed steel,", speed.operation.name()), &speed.source);
                Figure::new(name, shown, reason)
            })
            .collect();
        let (force, density, tapping) = (&self.cutting_force, &self.density, &self.tapping);
        figures.push(Figure::new(
            "specific cutting force",
            format!("kc1.1 {} N/mm², mc {}, within 40 %", force.kc11_n_per_mm2, force.mc),
            why("specific cutting force", &force.source),
        ));
        figures.push(Figure::new(
            "density",
            format!("{} kg/m³", density.kg_per_m3),
            why("density", &density.source),
        ));
        figures.push(Figure::new(
            "percent of thread to aim at",
            format!(
                "{} % of 3H/4, or of full depth for BA and Whitworth",
                range(tapping.percent_low, tapping.percent_high)
            ),
            why("tapping", &tapping.source),
        ));
        figures.push(Figure::new(
            "length of engagement",
            format!("{} × diameter", decimal(tapping.engagement_diameters)),
            why("length of engagement", &tapping.source),
        ));
        figures
    }
}

/// Halves and wholes as people write them.
fn decimal(value: Ratio<i128>) -> String {
    if value.is_integer() {
        value.to_string()
    } else {
        format!("{:.1}", *value.numer() as f64 / *value.denom() as f64)
    }
}

/// Every material.
pub fn all() -> &'static [Material] {
    static ALL: LazyLock<Vec<Material>> = LazyLock::new(|| {
        let (speeds, forces) = (rows!("materials/speeds.csv"), rows!("materials/cutting_force.csv"));
        let (densities, tapping) = (rows!("materials/density.csv"), rows!("materials/tapping.csv"));
        rows!("materials/names.csv")
            .iter()
            .map(|row| {
                let name = row.text("name");
                let only = |rows| only(rows, name, row);
                let (force, density, tapping) = (only(&forces), only(&densities), only(&tapping));
                Material {
                    name: name.to_owned(),
                    also: row.text("also").split(';').map(str::to_owned).collect(),
                    speeds: Operation::ALL.map(|operation| speed(&speeds, name, operation, row)).into(),
                    cutting_force: CuttingForce {
                        kc11_n_per_mm2: force.whole("kc11_n_per_mm2"),
                        mc: force.text("mc").parse().unwrap_or_else(|_| force.bad("mc", "is no number")),
                        source: force.source(),
                    },
                    density: Density {
                        kg_per_m3: density.whole("density_kg_per_m3"),
                        source: density.source(),
                    },
                    tapping: Tapping {
                        percent_low: tapping.whole("percent_low"),
                        percent_high: tapping.whole("percent_high"),
                        engagement_diameters: tapping.number("engagement_diameters"),
                        source: tapping.source(),
                    },
                }
            })
            .collect()
    });
    &ALL
}

/// The one row for a material.
fn only<'a>(rows: &'a [Row], name: &str, named_by: &Row) -> &'a Row {
    rows.iter()
        .find(|row| row.text("material") == name)
        .unwrap_or_else(|| named_by.bad("name", "has no row in another file"))
}

/// The speed row for a material and an operation.
fn speed(rows: &[Row], name: &str, operation: Operation, named_by: &Row) -> Speed {
    rows.iter()
        .find(|row| row.text("material") == name && row.text("operation") == operation.name())
        .map(|row| Speed {
            operation,
            low_m_per_min: row.whole("low_m_per_min"),
            high_m_per_min: row.whole("high_m_per_min"),
            source: row.source(),
        })
        .unwrap_or_else(|| named_by.bad("name", "has no speed"))
}

/// The material of that name, whatever its case, hyphens and spaces.
///
/// # Errors
///
/// A [`Problem`] that lists the near names.
pub fn find(text: &str) -> Result<&'static Material, Problem> {
    let asked = plain(text);
    let called = |material: &&Material| {
        plain(&material.name) == asked || material.also.iter().any(|name| plain(name) == asked)
    };
    all().iter().find(called).ok_or_else(|| {
        let names = all().iter().flat_map(|m| std::iter::once(&m.name).chain(&m.also));
        let near = nearest(text, names.map(String::as_str)).join(", ");
        let known: Vec<&str> = all().iter().map(|m| m.name.as_str()).collect();
        Problem::new(format!("no material is known as {}", quoted(text)))
            .why(format!("the nearest names are {near}"))
            .mend(format!("choose the one that cuts most like it: {}", known.join(", ")))
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tables::source::Standing;

    /// Handbook drilling speeds for high-speed steel as a reamer maker reprints
    /// them, and the Mechanical Engineer's Data Handbook for the copper alloys:
    /// top of each range, m/min. They are for production machines with coolant, so
    /// the range here lies below, but not so low that the figure must be a slip.
    #[test]
    fn drilling_speeds_lie_below_the_handbook() {
        for (name, handbook_m_per_min) in [
            ("free-cutting mild steel", 39.6),
            ("mild steel", 30.5),
            ("silver steel", 25.9),
            ("gauge plate", 13.7),
            ("stainless 303", 25.9),
            ("stainless 304", 16.8),
            ("grey cast iron", 30.5),
            ("brass", 60.0),
            ("phosphor bronze", 13.0),
            ("aluminium alloy", 121.9),
        ] {
            let speed = f64::from(find(name).unwrap().speed(Operation::Drilling).high_m_per_min);
            assert!(speed <= handbook_m_per_min && speed >= 0.4 * handbook_m_per_min, "{name} {speed}");
        }
    }

    /// Practice: ream at a third to two thirds of the drilling speed.
    #[test]
    fn reaming_is_about_half_of_drilling() {
        for material in all() {
            let middle = |operation| {
                let speed = material.speed(operation);
                assert!(speed.low_m_per_min > 0 && speed.low_m_per_min <= speed.high_m_per_min);
                f64::from(speed.low_m_per_min + speed.high_m_per_min) / 2.0
            };
            let share = middle(Operation::Reaming) / middle(Operation::Drilling);
            assert!((1.0 / 3.0..=2.0 / 3.0).contains(&share), "{} {share}", material.name);
            assert!(middle(Operation::Milling) <= middle(Operation::Turning), "{}", material.name);
        }
    }

    /// Mechanical Engineer's Data Handbook section 5.7, turning force constant K,
    /// N/mm²: another kind of figure, so within a factor of two.
    #[test]
    fn cutting_forces_agree_with_a_second_list() {
        for (name, k) in [
            ("aluminium alloy", 700.0),
            ("brass", 1250.0),
            ("grey cast iron", 900.0),
            ("mild steel", 1200.0),
            ("silver steel", 3000.0),
        ] {
            let ratio = f64::from(find(name).unwrap().cutting_force.kc11_n_per_mm2) / k;
            assert!((0.5..=2.0).contains(&ratio), "{name} {ratio}");
        }
        assert!(all().iter().all(|m| (0.14..=0.28).contains(&m.cutting_force.mc)));
    }

    /// Ranges of two public density tables, kg/m³.
    #[test]
    fn densities_lie_within_the_published_ranges() {
        for (name, low, high) in [
            ("mild steel", 7850, 7850),
            ("silver steel", 7800, 7850),
            ("stainless 303", 7480, 8000),
            ("grey cast iron", 6800, 7800),
            ("brass", 8430, 8730),
            ("gunmetal", 7400, 8900),
            ("phosphor bronze", 8780, 8920),
            ("aluminium alloy", 2700, 2800),
        ] {
            assert!((low..=high).contains(&find(name).unwrap().density.kg_per_m3), "{name}");
        }
    }

    /// Published tapping guidance: harder and tougher takes less thread, and soft
    /// metal a longer engagement.
    #[test]
    fn tapping_aims_agree_with_the_guidance() {
        for (name, low, high, halves) in [
            ("mild steel", 60, 65, 2),
            ("silver steel", 50, 50, 2),
            ("grey cast iron", 70, 75, 3),
            ("aluminium alloy", 65, 65, 4),
        ] {
            let tapping = &find(name).unwrap().tapping;
            assert_eq!((tapping.percent_low, tapping.percent_high), (low, high), "{name}");
            assert_eq!(tapping.engagement_diameters, Ratio::new(halves, 2), "{name}");
        }
    }

    #[test]
    fn every_name_means_one_material() {
        let mut seen = std::collections::BTreeSet::new();
        for material in all() {
            for name in std::iter::once(&material.name).chain(&material.also) {
                assert!(seen.insert(plain(name)), "{name} stands twice");
                for text in [name.clone(), name.to_uppercase(), name.replace(['-', ' '], "")] {
                    assert_eq!(find(&text).unwrap(), material, "{text}");
                }
            }
        }
    }

    /// Steel, stainless and bronze are each several materials that cut differently.
    #[test]
    fn a_loose_name_is_refused_with_the_near_ones() {
        assert!(find("bras").unwrap_err().reason().unwrap().contains("nearest names are brass"));
        for text in ["steel", "stainless", "bronze", "unobtainium", ""] {
            assert!(find(text).unwrap_err().remedy().unwrap().contains("silver steel"), "{text}");
        }
    }

    #[test]
    fn a_material_describes_itself_with_its_sources() {
        let lines: Vec<String> = find("silver steel")
            .unwrap()
            .describe()
            .iter()
            .map(|f| format!("{}: {} [{}]", f.name, f.shown, f.why.source.as_deref().unwrap_or("")))
            .collect();
        insta::assert_snapshot!(lines.join("\n"), @r"
        turning speed: 12 to 18 m/min [common practice for hobby machines]
        milling speed: 12 to 18 m/min [common practice for hobby machines]
        drilling speed: 12 m/min [common practice for hobby machines]
        reaming speed: 5 to 6 m/min [common practice for hobby machines]
        specific cutting force: kc1.1 1700 N/mm², mc 0.24, within 40 % [VDI 3323 material groups, tool catalogue, group 4, the nearest group]
        density: 7830 kg/m³ [density tables, carbon tool steel 7800 to 7850, from memory]
        percent of thread to aim at: 50 % of 3H/4, or of full depth for BA and Whitworth [published tapping guidance]
        length of engagement: 1 × diameter [published tapping guidance]
        ");
        assert_eq!(find("silver steel").unwrap().density.source.standing, Standing::FromMemory);
    }
}
