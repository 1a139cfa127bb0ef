//! What parts are made of, and how it cuts.
//!
//! Begin with [`find`]. Speeds are starting ranges for high-speed steel on a
//! hobby machine; specific cutting forces are good to 30 or 40 %.

mod find;

pub use find::find;

use std::sync::LazyLock;

use num_rational::Ratio;

use crate::tables::rows::{Row, rows};
use crate::tables::source::Source;
use crate::why::{Figure, Why};

/// A material, with what is published of it.
#[derive(Clone, Debug, PartialEq)]
pub struct Material {
    /// What it is called here: `silver steel`.
    pub name: String,
    /// What it is treated as.
    pub kind: Kind,
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

/// What a material is treated as, beyond its own figures.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Kind {
    /// Carbon and alloy steels.
    Steel,
    /// Stainless steels.
    Stainless,
    /// Cast iron.
    Iron,
    /// Brass, bronze and gunmetal.
    CopperAlloy,
    /// Copper by itself, which drags.
    Copper,
    /// Aluminium and its like.
    LightAlloy,
    /// Plastics that soften with heat.
    Plastic,
    /// Cloth or paper in resin.
    Laminate,
}

impl Kind {
    /// As the table writes it.
    fn read(row: &Row) -> Self {
        match row.text("kind") {
            "steel" => Self::Steel,
            "stainless" => Self::Stainless,
            "iron" => Self::Iron,
            "copper alloy" => Self::CopperAlloy,
            "copper" => Self::Copper,
            "light alloy" => Self::LightAlloy,
            "plastic" => Self::Plastic,
            "laminate" => Self::Laminate,
            _ => row.bad("kind", "is no kind"),
        }
    }
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
    /// Percent of thread, on [`crate::tables::threads::Form::workshop_basis`].
    pub percent_low: u32,
    /// Percent of thread, on [`crate::tables::threads::Form::workshop_basis`].
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
    /// Whether it is a light alloy, which a reamer is left more of.
    pub fn is_light(&self) -> bool {
        self.kind == Kind::LightAlloy
    }

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
                    kind: Kind::read(row),
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

#[cfg(test)]
mod tests;
