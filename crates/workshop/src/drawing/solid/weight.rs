//! Volume and weight.

use super::super::{Body, Form, Part};
use super::Shaped;
use crate::geometry::solid::{Volume, volume};
use crate::problem::Problem;
use crate::tables::materials;
use crate::why::{Figure, Why};

/// What a part weighs, and the blank it comes from.
#[derive(Clone, Debug, PartialEq)]
pub struct Weight {
    /// The finished part.
    pub part: Volume,
    /// The blank, in cubic millimetres; none for a casting, whose shape nobody gives.
    pub blank_mm3: Option<f64>,
    /// Grams in a cubic centimetre.
    g_per_cm3: f64,
    why_density: Why,
    why_blank: Why,
}

/// The volume of a part and of its blank, weighed in its material; in mild steel,
/// which is then supposed, where the drawing names none.
///
/// # Errors
///
/// A [`Problem`] where no table has the material.
pub fn weigh(part: &Part) -> Result<Weight, Problem> {
    let named = part.drawing.material.as_deref();
    let material = materials::find(named.unwrap_or("mild steel"))?;
    let shaped = Shaped::new(part);
    let (blank_mm3, why_blank) = blank(part, &shaped);
    let density = &material.density;
    let why = Why::new(format!("the density of {}: {} kg/m³", material.name, density.kg_per_m3))
        .source(density.source.to_string());
    let supposed = Why::assumed("the drawing names no material: mild steel");
    Ok(Weight {
        part: volume(&shaped.body, shaped.outer),
        blank_mm3,
        g_per_cm3: f64::from(density.kg_per_m3) / 1000.0,
        why_density: if named.is_some() { why } else { why.because(supposed) },
        why_blank,
    })
}

/// The blank: the stock that the drawing gives, or the least that holds the part.
fn blank(part: &Part, shaped: &Shaped) -> (Option<f64>, Why) {
    let [least, most] = shaped.bounds();
    let size = most - least;
    let stock = part.drawing.stock.as_ref();
    let allowance_mm = stock.and_then(|s| s.allowance.as_ref()).map_or(0.0, |a| a.length.as_mm());
    let given: Vec<f64> = stock.map_or(Vec::new(), |s| s.size.iter().map(|w| w.length.as_mm()).collect());
    let form = stock.map(|s| s.form);
    if form == Some(Form::Casting) {
        return (None, Why::new("a casting has the shape of its pattern"));
    }
    let quarter_turn = std::f64::consts::FRAC_PI_4;
    let hexagon = 3.0_f64.sqrt() / 2.0;
    let long = |mm: f64| mm + 2.0 * allowance_mm;
    let said = Why::new("the stock that the drawing gives, as long as the part and its allowance");
    match (&part.drawing.body, form, given.as_slice()) {
        (Body::Turned { .. }, Some(Form::RoundBar), &[d]) => {
            (Some(quarter_turn * d * d * long(size.x_mm)), said)
        }
        (Body::Turned { .. }, Some(Form::Hexagon), &[d]) => (Some(hexagon * d * d * long(size.x_mm)), said),
        (Body::Turned { .. }, Some(Form::SquareBar), &[d]) => (Some(d * d * long(size.x_mm)), said),
        (Body::Turned { .. }, ..) => {
            let widest = size.y_mm.max(size.z_mm);
            let bar = quarter_turn * widest * widest * long(size.x_mm);
            (Some(bar), Why::new("round bar of the largest diameter, as long as the part"))
        }
        (_, Some(Form::FlatBar), &[wide, thick]) => {
            // The bar's width lies across the shorter way of the plate.
            (Some(wide * thick * long(size.x_mm.max(size.y_mm))), said)
        }
        (_, Some(Form::SquareBar), &[side]) => (Some(side * side * long(size.x_mm.max(size.y_mm))), said),
        (_, Some(Form::Plate), &[thick]) => (Some(thick * long(size.x_mm) * long(size.y_mm)), said),
        (_, Some(Form::RoundBar), &[d]) => (Some(quarter_turn * d * d * long(size.z_mm)), said),
        _ => {
            let block = long(size.x_mm) * long(size.y_mm) * size.z_mm;
            (Some(block), Why::new("the least block that holds the part"))
        }
    }
}

impl Weight {
    /// Grams of the finished part.
    pub fn grams(&self) -> f64 {
        self.part.mm3 / 1000.0 * self.g_per_cm3
    }

    /// Volume and weight, of the part and of its blank.
    pub fn figures(&self) -> Vec<Figure> {
        let summed = Why::new(format!(
            "the volume is summed from plane sections, out by no more than {} mm³; half of a thread's profile is metal, and a drilled blind hole ends in a point of 118°",
            few(self.part.error_mm3.max(0.001))
        ))
        .source("geometry");
        let weighed =
            |what: Why| Why::new("volume times density").because(self.why_density.clone()).because(what);
        let mut figures = vec![
            Figure::new("volume", format!("{} cm³", few(self.part.mm3 / 1000.0)), summed.clone()),
            Figure::new("weight", grams(self.grams()), weighed(summed)),
        ];
        if let Some(blank) = self.blank_mm3 {
            figures.push(Figure::new(
                "volume of the blank",
                format!("{} cm³", few(blank / 1000.0)),
                self.why_blank.clone(),
            ));
            figures.push(Figure::new(
                "weight of the blank",
                grams(blank / 1000.0 * self.g_per_cm3),
                weighed(self.why_blank.clone()),
            ));
        }
        figures
    }
}

/// A weight in grams, or kilograms from one up.
fn grams(g: f64) -> String {
    if g >= 1000.0 { format!("{} kg", few(g / 1000.0)) } else { format!("{} g", few(g)) }
}

/// Four figures.
fn few(value: f64) -> String {
    let places = if value <= 0.0 { 3 } else { (3 - value.log10().floor() as i32).clamp(0, 6) };
    format!("{value:.*}", places as usize)
}
