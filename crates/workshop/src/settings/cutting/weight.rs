//! What a length of bar or plate weighs.

use std::f64::consts::PI;

use crate::bench::Section;
use crate::measure::Length;
use crate::problem::Problem;
use crate::settings::show::{geometry, mm, number, positive};
use crate::tables::materials::Material;
use crate::why::{Figure, Why};

/// Metal to be weighed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Weighed {
    /// What it is.
    pub material: &'static Material,
    /// Its section.
    pub section: Section,
    /// How long.
    pub length: Length,
    /// Grams, nothing taken off.
    pub grams: f64,
}

/// The area of a section in square millimetres; `width` is that of a piece of plate whose
/// section says none.
pub fn area_mm2(section: Section, width: Length) -> f64 {
    match section {
        Section::Round { diameter } => PI / 4.0 * diameter.as_mm().powi(2),
        Section::Hexagon { across } => 3_f64.sqrt() / 2.0 * across.as_mm().powi(2),
        Section::Flat { thickness, width: own } => thickness.as_mm() * own.unwrap_or(width).as_mm(),
    }
}

/// Weighs a length of bar, or a piece of plate of a width.
///
/// # Errors
///
/// A [`Problem`] when a size is not more than nought, or a plate has no width.
pub fn weigh(
    material: &'static Material,
    section: Section,
    length: Length,
    width: Length,
) -> Result<Weighed, Problem> {
    positive(length, "length")?;
    match section {
        Section::Round { diameter } => positive(diameter, "diameter")?,
        Section::Hexagon { across } => positive(across, "width across the flats")?,
        Section::Flat { thickness, width: own } => {
            positive(thickness, "thickness")?;
            positive(own.unwrap_or(width), "width")?;
        }
    }
    let cm3 = area_mm2(section, width) * length.as_mm() / 1000.0;
    let grams = cm3 * f64::from(material.density.kg_per_m3) / 1000.0;
    Ok(Weighed { material, section, length, grams })
}

/// Grams as a person says them: `85 g`, `1.24 kg`.
pub fn said(grams: f64) -> String {
    if grams < 999.5 {
        format!("{} g", number(grams, usize::from(grams < 9.95)))
    } else {
        format!("{} kg", number(grams / 1000.0, 2))
    }
}

impl Weighed {
    /// The row.
    pub fn figures(&self) -> Vec<Figure> {
        let density = &self.material.density;
        let why = geometry(format!("the area of the section times {}, times the density", mm(self.length)))
            .because(
                Why::new(format!("{}: {} kg/m³", self.material.name, density.kg_per_m3))
                    .source(density.source.to_string()),
            );
        vec![Figure::new("weight", said(self.grams), why)]
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tables::materials;

    /// A steel stockholder's page: round mild steel of 10, 20, 40, 60 and 80 mm weighs 0.62,
    /// 2.47, 9.86, 22.2 and 39.4 kg a metre.
    #[test]
    fn rounds_agree_with_the_stockholder() {
        let steel = materials::find("mild steel").unwrap();
        for (mm, printed_kg, within_kg) in
            [(10, 0.62, 0.005), (20, 2.47, 0.005), (40, 9.86, 0.006), (60, 22.2, 0.05), (80, 39.4, 0.07)]
        {
            let section = Section::Round { diameter: Length::mm(mm) };
            let kg = weigh(steel, section, Length::mm(1000), Length::ZERO).unwrap().grams / 1000.0;
            assert!((kg - printed_kg).abs() <= within_kg, "{mm}: {kg}");
        }
    }

    /// A hexagon is six triangles; a flat is a box.
    #[test]
    fn other_sections_by_their_triangles_and_boxes() {
        let steel = materials::find("mild steel").unwrap();
        let hexagon = Section::Hexagon { across: Length::mm(10) };
        let triangle = 5.0 * (10.0 / 3_f64.sqrt()) / 2.0;
        assert!((area_mm2(hexagon, Length::ZERO) - 6.0 * triangle).abs() < 1e-9);
        let flat = Section::Flat { thickness: Length::mm(10), width: None };
        let box_grams = weigh(steel, flat, Length::mm(100), Length::mm(50)).unwrap().grams;
        assert!((box_grams - 392.5).abs() < 1e-6);
        assert!(weigh(steel, flat, Length::mm(100), Length::ZERO).is_err());
        assert_eq!((said(1240.0), said(85.4), said(2.34)), ("1.24 kg".into(), "85 g".into(), "2.3 g".into()));
    }
}
