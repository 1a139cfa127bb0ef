//! Cutting force, deflection and power of a milling cutter.
//!
//! Good to about 40 %: enough to compare cuts and to refuse a bad one. The force
//! follows the specific cutting force of the material (Kienzle, `kc = kc1.1 ·
//! h^-mc`) at the mean chip; the cutter bends as a cantilever loaded at its tip,
//! its fluted part as stiff as a bar of 0.8 of its diameter.

use std::f64::consts::PI;

use super::show::{geometry, mm, number, positive, practice};
use crate::bench::EndMill;
use crate::measure::Length;
use crate::problem::Problem;
use crate::tables::materials::Material;
use crate::why::{Figure, Why};

/// What a cutter or bar is made of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ToolMaterial {
    /// High-speed steel.
    HighSpeedSteel,
    /// Solid carbide.
    Carbide,
}

/// An end mill as it stands in the spindle.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Mill {
    /// Over the teeth.
    pub diameter: Length,
    /// Teeth.
    pub teeth: u32,
    /// Length of the fluted part.
    pub flute_length: Length,
    /// Length out of the collet; at least the flutes.
    pub stick_out: Length,
    /// Diameter of the shank.
    pub shank: Length,
    /// What it is made of.
    pub material: ToolMaterial,
}

/// What the cutter is asked to take.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Load {
    /// Depth along the axis.
    pub axial: Length,
    /// Width square to the axis, at most the diameter.
    pub radial: Length,
    /// Feed a tooth.
    pub per_tooth: Length,
    /// Turns a minute.
    pub rev_per_min: u32,
}

/// What the cut does to the cutter and the motor.
#[derive(Clone, Debug, PartialEq)]
pub struct Effort {
    /// Mean chip thickness in millimetres.
    pub mean_chip_mm: f64,
    /// Specific cutting force at that chip, in N/mm².
    pub kc_n_per_mm2: f64,
    /// Tangential force of all teeth in the cut, in newtons.
    pub force_n: f64,
    /// How far the tip bends away.
    pub deflection: Length,
    /// Power at the cutter, in watts.
    pub power_w: f64,
    cutter: Mill,
    because: Why,
}

/// A fluted cutter bends like a bar of this share of its diameter: Kops and Vo,
/// CIRP Annals 1990, for two and four flutes.
const FLUTED_SHARE: f64 = 0.8;

/// Works out the effort of a cut.
///
/// # Errors
///
/// A [`Problem`] when a size is not more than nought, the cut is wider than the
/// cutter, the cutter sticks out less than its flutes, or it would snap.
pub fn effort(mill: Mill, load: Load, material: &Material) -> Result<Effort, Problem> {
    for (size, name) in [
        (mill.diameter, "diameter of the cutter"),
        (mill.flute_length, "length of the flutes"),
        (mill.stick_out, "stick-out"),
        (mill.shank, "diameter of the shank"),
        (load.axial, "depth of cut"),
        (load.radial, "width of cut"),
        (load.per_tooth, "feed a tooth"),
    ] {
        positive(size, name)?;
    }
    if mill.teeth == 0 || mill.stick_out < mill.flute_length {
        return Err(Problem::new("the cutter has no teeth, or sticks out less than its flutes")
            .mend("give its teeth, and the length out of the collet"));
    }
    if load.radial > mill.diameter {
        return Err(Problem::new(format!("a cut {} wide is wider than the cutter", mm(load.radial)))
            .why(format!("the cutter is {}", mm(mill.diameter)))
            .mend("take it in two widths, or use a larger cutter"));
    }
    let d = mill.diameter.as_mm();
    let (ap, ae, fz) = (load.axial.as_mm(), load.radial.as_mm(), load.per_tooth.as_mm());
    let engaged_rad = (1.0 - 2.0 * ae / d).acos();
    let mean_chip_mm = 2.0 * fz * ae / (d * engaged_rad);
    let force = &material.cutting_force;
    let kc_n_per_mm2 = f64::from(force.kc11_n_per_mm2) * mean_chip_mm.powf(-force.mc);
    let teeth_in_cut = (f64::from(mill.teeth) * engaged_rad / (2.0 * PI)).max(1.0);
    let force_n = kc_n_per_mm2 * ap * mean_chip_mm * teeth_in_cut;
    let feed_mm_per_min = fz * f64::from(mill.teeth) * f64::from(load.rev_per_min);
    // N/mm² × mm³/min is N mm a minute; 60 seconds and 1000 mm make watts of it.
    let power_w = kc_n_per_mm2 * ap * ae * feed_mm_per_min / 60_000.0;
    let because =
        Why::new(format!("specific cutting force of {}", material.name)).source(force.source.to_string());
    let bend_mm = mill.deflection_mm(force_n);
    if bend_mm >= mill.diameter.as_mm() {
        return Err(Problem::new("the cutter would snap")
            .why(format!("a load of {} N would bend it by more than its own diameter", number(force_n, 0)))
            .mend("take a lighter cut, or a shorter or thicker cutter"));
    }
    let deflection = Length::nearest(bend_mm);
    Ok(Effort { mean_chip_mm, kc_n_per_mm2, force_n, deflection, power_w, cutter: mill, because })
}

/// How far the end of a plain round bar bends under a load at its tip, in
/// millimetres: `F L³ / (3 E I)`, `I = π d⁴ / 64`.
pub fn cantilever_mm(force_n: f64, length: Length, diameter: Length, material: ToolMaterial) -> f64 {
    force_n * length.as_mm().powi(3) / (3.0 * material.modulus_n_per_mm2() * inertia_mm4(diameter.as_mm()))
}

fn inertia_mm4(diameter_mm: f64) -> f64 {
    PI * diameter_mm.powi(4) / 64.0
}

impl ToolMaterial {
    /// Young's modulus in N/mm², the middle of what handbooks give.
    const fn modulus_n_per_mm2(self) -> f64 {
        match self {
            Self::HighSpeedSteel => 205_000.0,
            Self::Carbide => 575_000.0,
        }
    }
}

/// An end mill of the bench, of high-speed steel, as it stands in its collet.
impl From<&EndMill> for Mill {
    fn from(owned: &EndMill) -> Self {
        Self {
            diameter: owned.diameter,
            teeth: owned.teeth,
            flute_length: owned.flute,
            stick_out: owned.stands_out(),
            shank: owned.shank_across(),
            material: ToolMaterial::HighSpeedSteel,
        }
    }
}

impl Mill {
    /// How far its end bends under a load there, in millimetres: a cantilever of two diameters.
    pub fn deflection_mm(&self, force_n: f64) -> f64 {
        let (flutes, whole) = (self.flute_length.as_mm(), self.stick_out.as_mm());
        let fluted = inertia_mm4(FLUTED_SHARE * self.diameter.as_mm());
        let shank = inertia_mm4(self.shank.as_mm());
        let bend = flutes.powi(3) / fluted + (whole.powi(3) - flutes.powi(3)) / shank;
        force_n / (3.0 * self.material.modulus_n_per_mm2()) * bend
    }
}

impl Effort {
    /// True when the cutter bends less than half a tolerance of the size it cuts.
    pub fn holds(&self, tolerance: Length) -> bool {
        self.deflection * 2 < tolerance
    }

    /// The rows of the sheet.
    pub fn figures(&self) -> Vec<Figure> {
        let force = practice(format!(
            "specific force {} N/mm² at a mean chip of {} mm; take it as good to 40 %",
            number(self.kc_n_per_mm2, 0),
            number(self.mean_chip_mm, 4)
        ))
        .because(self.because.clone());
        let bend = geometry(format!(
            "a cantilever {} long under {} N at its tip",
            mm(self.cutter.stick_out),
            number(self.force_n, 0)
        ))
        .because(
            Why::new("the flutes are as stiff as a bar of 0.8 of the diameter")
                .source("Kops and Vo, CIRP Annals 1990"),
        )
        .because(force.clone());
        vec![
            Figure::new("cutting force", format!("{} N", number(self.force_n, 0)), force.clone()),
            Figure::new("deflection of the cutter", format!("{} mm", self.deflection.decimals(3)), bend),
            Figure::new("power at the cutter", format!("{} W", number(self.power_w, 0)), force),
        ]
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tables::materials;

    fn mill() -> Mill {
        Mill {
            diameter: Length::mm(10),
            teeth: 4,
            flute_length: Length::mm(22),
            stick_out: Length::mm(30),
            shank: Length::mm(10),
            material: ToolMaterial::HighSpeedSteel,
        }
    }

    fn load(radial: Length) -> Load {
        Load { axial: Length::mm(5), radial, per_tooth: Length::microns(30), rev_per_min: 800 }
    }

    /// A mini-mill design course prints 0.6 N a micrometre for a 4 mm carbide
    /// cutter 16 mm long, E 600 GPa, core 0.575 of the diameter. Ours takes E 575.
    #[test]
    fn a_bar_is_as_stiff_as_the_printed_one() {
        let bar = Length::mm_ratio(23, 10);
        let bend = cantilever_mm(1.0, Length::mm(16), bar, ToolMaterial::Carbide);
        let stiffness_n_per_um = 1.0 / bend / 1000.0 * 600.0 / 575.0;
        assert!((stiffness_n_per_um - 0.6).abs() < 0.02, "{stiffness_n_per_um}");
    }

    /// A cutter maker's training page: overhang doubled, eight times the
    /// deflection (0.2 mm becomes 1.6).
    #[test]
    fn twice_the_stick_out_bends_eight_times() {
        let bend = |l| cantilever_mm(50.0, Length::mm(l), Length::mm(8), ToolMaterial::HighSpeedSteel);
        assert!((bend(40) / bend(20) - 1.6 / 0.2).abs() < 1e-9);
    }

    /// The mean chip, against the average of `fz sin` over the arc of contact.
    #[test]
    fn the_mean_chip_is_the_average_over_the_arc() {
        let steel = materials::find("mild steel").unwrap();
        for tenths in [5, 20, 50, 99] {
            let found = effort(mill(), load(Length::mm_ratio(tenths, 10)), steel).unwrap();
            let engaged = (1.0 - 2.0 * tenths as f64 / 100.0).acos();
            let n = 20_000;
            let sum: f64 = (0..n).map(|i| 0.03 * (engaged * (f64::from(i) + 0.5) / f64::from(n)).sin()).sum();
            assert!((found.mean_chip_mm - sum / f64::from(n)).abs() < 1e-7);
        }
    }

    /// Worked by hand, side cut and full slot, mild steel 1350 N/mm² and 0.21:
    /// arc acos(0.6) and π, mean chip 0.01294 and 0.01910, kc 3364 and 3100, one
    /// tooth and two in the cut.
    #[test]
    fn a_side_cut_and_a_slot_agree_with_sums_done_by_hand() {
        let steel = materials::find("mild steel").unwrap();
        for (radial, force_n, bend_mm, power_w) in [(2, 217.6, 0.0305, 53.8), (10, 592.0, 0.0830, 248.0)] {
            let found = effort(mill(), load(Length::mm(radial)), steel).unwrap();
            assert!((found.force_n / force_n - 1.0).abs() < 1e-3, "{found:?}");
            assert!((found.deflection.as_mm() / bend_mm - 1.0).abs() < 2e-3, "{found:?}");
            assert!((found.power_w / power_w - 1.0).abs() < 1e-3, "{found:?}");
        }
    }

    #[test]
    fn brass_is_lighter_work_than_steel_and_a_wide_cut_is_refused() {
        let force =
            |name: &str| effort(mill(), load(Length::mm(2)), materials::find(name).unwrap()).unwrap().force_n;
        assert!(force("brass") < 0.8 * force("mild steel"));
        let steel = materials::find("mild steel").unwrap();
        assert!(effort(mill(), load(Length::mm(11)), steel).unwrap_err().what().contains("wider"));
        assert!(effort(Mill { teeth: 0, ..mill() }, load(Length::mm(1)), steel).is_err());
        let thin = Mill { diameter: Length::mm(1), shank: Length::mm(1), ..mill() };
        assert!(effort(thin, load(Length::mm(1)), steel).unwrap_err().what().contains("snap"));
        let light = effort(mill(), load(Length::mm_ratio(2, 10)), steel).unwrap();
        assert!(light.holds(Length::mm_ratio(1, 10)) && !light.holds(Length::ZERO));
    }
}
