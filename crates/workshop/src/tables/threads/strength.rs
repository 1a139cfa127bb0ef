//! How much metal of a thread carries: the screw in tension, and both threads when they
//! strip.
//!
//! Everything is reckoned at the basic sizes of the thread and the hole as it is drilled.
//! The published figures take the worst limits of a tolerance class; that is the same sum
//! with other sizes, and how the tests hold it against them.

use super::{Form, Thread};
use crate::measure::Length;

/// 3^½ / 2: the height of the sharp 60° triangle on a pitch of 1 (ISO 68-1).
const H60: f64 = 0.866_025_403_784_438_6;

/// The areas that shear when a thread strips.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stripping {
    /// Of the screw's thread, along the wall of the tapped hole.
    pub screw_mm2: f64,
    /// Of the tapped thread, along the crests of the screw.
    pub hole_mm2: f64,
}

impl Thread {
    /// The core of the screw: ISO 898-1 takes it a sixth of the sharp triangle below the
    /// basic minor diameter of 60° threads; where roots are rounded by the form itself,
    /// as of BA and Whitworth, it is that diameter.
    fn core(&self) -> Length {
        match self.form() {
            Form::Metric60 | Form::Unified60 => self.minor - Length::nearest(self.pitch.as_mm() * H60 / 6.0),
            Form::Whitworth55 | Form::Ba47 => self.minor,
        }
    }

    /// Across the round bar that would carry as much as the screw: midway between pitch
    /// diameter and core (ISO 898-1).
    pub fn stress_diameter(&self) -> Length {
        (self.pitch_diameter + self.core()) / 2
    }

    /// The tensile stress area of the screw: that of its stress diameter (ISO 898-1).
    pub fn stress_area_mm2(&self) -> f64 {
        self.stress_diameter().as_mm().powi(2) * std::f64::consts::FRAC_PI_4
    }

    /// The areas that strip over a length of thread in a hole drilled so.
    ///
    /// # Source
    ///
    /// FED-STD-H28/2, the geometry of shear areas, with the flank angle of the form.
    pub fn strips(&self, long: Length, hole: Length) -> Stripping {
        let (hole, pitch_diameter) = (hole.max(self.core()).as_mm(), self.pitch_diameter.as_mm());
        let of = |across_mm, thicker_mm| {
            shear_area_mm2(long.as_mm(), self.pitch.as_mm(), across_mm, thicker_mm, self.form())
        };
        let major = self.major.as_mm();
        Stripping { screw_mm2: of(hole, pitch_diameter - hole), hole_mm2: of(major, major - pitch_diameter) }
    }
}

/// The area of a thread cut along a cylinder: its ridges are half a pitch thick at the pitch
/// diameter, and thicker by the slope of both flanks where the cylinder lies `beyond_mm`
/// (on the diameter) nearer their roots.
fn shear_area_mm2(long_mm: f64, pitch_mm: f64, across_mm: f64, beyond_mm: f64, form: Form) -> f64 {
    let half_angle: f64 = match form {
        Form::Metric60 | Form::Unified60 => 30.0,
        Form::Whitworth55 => 27.5,
        Form::Ba47 => 23.75,
    };
    let ridge_mm = pitch_mm / 2.0 + half_angle.to_radians().tan() * beyond_mm;
    std::f64::consts::PI * across_mm * long_mm / pitch_mm * ridge_mm
}

#[cfg(test)]
mod tests {
    use super::super::find;
    use super::*;

    /// ISO 898-1, nominal stress areas as a fastener maker's page prints them (coarse), and
    /// from memory of the standard's table of fine threads.
    #[test]
    fn stress_areas_agree_with_the_printed_table() {
        const PRINTED: &[(&str, f64)] = &[
            ("M3", 5.03),
            ("M3.5", 6.78),
            ("M4", 8.78),
            ("M5", 14.2),
            ("M6", 20.1),
            ("M7", 28.9),
            ("M8", 36.6),
            ("M10", 58.0),
            ("M12", 84.3),
            ("M14", 115.0),
            ("M16", 157.0),
            ("M18", 192.0),
            ("M20", 245.0),
            ("M22", 303.0),
            ("M24", 353.0),
            ("M8x1", 39.2),
            ("M10x1", 64.5),
            ("M12x1.5", 88.1),
        ];
        for &(name, area) in PRINTED {
            let found = find(name).unwrap().stress_area_mm2();
            // Half the last figure printed, and what half a thousandth on the diameters is.
            let figure: f64 = if area < 10.0 {
                0.01
            } else if area < 100.0 {
                0.1
            } else {
                1.0
            };
            let within = figure / 2.0 + 0.001 * area.sqrt();
            assert!((found - area).abs() <= within, "{name}: {found}, printed {area}");
        }
    }

    /// A public table after Bickford, with limits of 6H and 6g over one diameter of thread:
    /// thread, pitch, hole greatest and pitch diameter of the screw least, screw's crest
    /// least and pitch diameter of the hole greatest; areas of screw and of hole.
    #[test]
    fn stripping_areas_agree_with_the_published_ones() {
        const PRINTED: &[(f64, f64, [f64; 4], [f64; 2])] = &[
            (6.0, 1.0, [5.153, 5.212, 5.794, 5.500], [51.875, 73.145]),
            (8.0, 1.25, [6.912, 7.042, 7.760, 7.348], [97.290, 134.63]),
            (10.0, 1.5, [8.676, 8.862, 9.732, 9.206], [155.80, 214.77]),
        ];
        for &(long, pitch, [hole, screw_pitch, crest, hole_pitch], [screw_area, hole_area]) in PRINTED {
            let screw = shear_area_mm2(long, pitch, hole, screw_pitch - hole, Form::Metric60);
            let tapped = shear_area_mm2(long, pitch, crest, crest - hole_pitch, Form::Metric60);
            assert!((screw / screw_area - 1.0).abs() < 2e-4, "M{long}: {screw}, printed {screw_area}");
            assert!((tapped / hole_area - 1.0).abs() < 2e-4, "M{long}: {tapped}, printed {hole_area}");
        }
    }

    /// With its own sizes every thread gives a little more than at the worst limits, in
    /// proportion to its length; a larger hole leaves the screw's thread less to shear.
    #[test]
    fn areas_grow_with_the_length_and_shrink_with_the_hole() {
        let six = find("M6").unwrap().strips(Length::mm(6), Length::mm(5));
        assert!(six.screw_mm2 > 51.875 && six.screw_mm2 < 70.0, "{six:?}");
        assert!(six.hole_mm2 > 73.145 && six.hole_mm2 < 100.0, "{six:?}");
        for thread in super::super::all() {
            let holes = [thread.minor, (thread.minor + thread.major) / 2];
            let [tight, free] = holes.map(|hole| thread.strips(thread.major, hole));
            assert!(free.screw_mm2 < tight.screw_mm2, "{}", thread.designation);
            assert!(free.hole_mm2 == tight.hole_mm2, "{}", thread.designation);
            let twice = thread.strips(thread.major * 2, holes[0]);
            assert!((twice.screw_mm2 / tight.screw_mm2 - 2.0).abs() < 1e-9, "{}", thread.designation);
            // The ridge never fills more than the pitch.
            let whole = std::f64::consts::PI * thread.major.as_mm().powi(2);
            assert!(tight.hole_mm2 < whole && tight.screw_mm2 < whole, "{}", thread.designation);
        }
    }
}
