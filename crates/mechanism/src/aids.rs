//! Blocks, plugs and packing that set a crank without measuring an angle.
//!
//! Plain geometry of circles that touch; lengths in millimetres, angles in radians. Each
//! follows from the figure it describes; where the trade prints the rule, it is named.

/// The height of a block under a pin so that its crank stands at an angle above the level.
///
/// `centre` is the height of the axle's centre above the plate. The pin rests on the block.
/// At a quarter turn from level the block no longer sets the angle: see [`block_error`].
pub fn block_height(centre: f64, throw: f64, pin_diameter: f64, angle: f64) -> f64 {
    centre + throw * angle.sin() - 0.5 * pin_diameter
}

/// How far the crank turns for one millimetre of a block's height: infinite when plumb.
pub fn block_error(throw: f64, angle: f64) -> f64 {
    1.0 / (throw * angle.cos()).abs()
}

/// How far apart two coupled pins lie for an error of the angle between their cranks: what
/// the rods' bushes must give.
pub fn quartering_mismatch(throw: f64, error: f64) -> f64 {
    2.0 * throw * (0.5 * error.abs()).sin()
}

/// The least clearance on diameter, the same in both bushes of a coupling rod, that lets
/// wheels turn whose axles, throws and quartering err by so much.
///
/// The rod gives as much in length as one bush's clearance, at either end half; the axles'
/// error adds to what throws and quartering do at right angles to each other.
pub fn coupling_clearance(centres_error: f64, throws_gap: f64, throw: f64, angle_error: f64) -> f64 {
    centres_error.abs() + throws_gap.hypot(quartering_mismatch(throw, angle_error))
}

/// The diameter of a plug on an axle's centre that a pin touches when it stands on the wanted
/// circle of throw `e`: twice the throw less the pin. None where the pin covers the centre.
///
/// Published example: throw 0.875 in, pin 0.25 in, plug 1.5 in (a constructor's notes for a
/// return crank).
pub fn setting_plug(throw: f64, pin_diameter: f64) -> Option<f64> {
    let plug = 2.0 * throw - pin_diameter;
    (plug > 0.0).then_some(plug)
}

/// The throw that a plug and a pin touching it give: what [`setting_plug`] turns round.
pub fn plugged_throw(plug_diameter: f64, pin_diameter: f64) -> f64 {
    0.5 * (plug_diameter + pin_diameter)
}

/// Packing between a square and the shaft so that a pin that touches the square too stands
/// at an angle from the level; below nought the packing goes between square and pin.
///
/// The square stands plumb, outside the pin on its own side of the shaft.
pub fn square_packing(throw: f64, pin_diameter: f64, shaft_diameter: f64, angle: f64) -> f64 {
    throw * angle.cos() + 0.5 * (pin_diameter - shaft_diameter)
}

/// A return arm: from the crank pin to a second pin on a circle about the axle.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ReturnArm {
    /// From pin to pin.
    pub length: f64,
    /// At the crank pin, between the crank and the arm.
    pub angle: f64,
}

/// The return arm that puts its pin on a circle of radius `circle`, `apart` round from the
/// crank: cosine and sine rules. At a quarter turn the length is the root of the sum of the
/// squares and the tangent of the angle circle over throw.
pub fn return_arm(throw: f64, circle: f64, apart: f64) -> ReturnArm {
    let (x, y) = (throw - circle * apart.cos(), circle * apart.sin());
    ReturnArm { length: x.hypot(y), angle: y.abs().atan2(x) }
}

/// A combination lever's arms for outside admission: from the radius-rod pin to the valve pin,
/// as a share of that from the radius-rod pin to the union pin: lap and lead over the throw.
///
/// Over the valve's extreme of lap and lead the lever gives the crosshead's half stroke
/// reduced in this ratio (any text on the gear; from memory).
pub fn combination_share(lap: f64, lead: f64, throw: f64) -> f64 {
    (lap + lead) / throw
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::f64::consts::FRAC_PI_2;

    #[test]
    fn the_plug_is_that_of_the_published_example() {
        let plug = setting_plug(0.875 * 25.4, 0.25 * 25.4).unwrap();
        assert!((plug - 1.5 * 25.4).abs() < 1e-12);
        assert!((plugged_throw(plug, 6.35) - 0.875 * 25.4).abs() < 1e-12);
        assert_eq!(setting_plug(3.0, 6.0), None);
    }

    /// R = 16, a quarter of a degree: 0.070 mm (trade notes).
    #[test]
    fn a_quarter_of_a_degree_at_16_is_seven_hundredths() {
        assert!((quartering_mismatch(16.0, 0.25_f64.to_radians()) - 0.070).abs() < 5e-4);
        let need = coupling_clearance(0.02, 0.03, 16.0, 0.25_f64.to_radians());
        assert!((need - (0.02 + 0.03_f64.hypot(0.069_813))).abs() < 1e-6);
    }

    /// Level, plumb and at 45° the block is seen without any formula.
    #[test]
    fn blocks_and_packing_touch_what_they_should() {
        assert_eq!(block_height(50.0, 16.0, 6.0, 0.0), 47.0);
        assert!((block_height(50.0, 16.0, 6.0, FRAC_PI_2) - 63.0).abs() < 1e-12);
        assert!((block_height(50.0, 16.0, 6.0, -FRAC_PI_2) - 31.0).abs() < 1e-12);
        let (h, step) = (block_height(50.0, 16.0, 6.0, 0.7), 1e-6);
        let turned = (block_height(50.0, 16.0, 6.0, 0.7 + step) - h) / step;
        assert!((block_error(16.0, 0.7) - 1.0 / turned).abs() < 1e-6);
        // The pin's far side at 16 + 3 from the axle, the shaft's at 5.
        assert_eq!(square_packing(16.0, 6.0, 10.0, 0.0), 14.0);
        assert!((square_packing(16.0, 6.0, 10.0, FRAC_PI_2) + 2.0).abs() < 1e-12);
    }

    #[test]
    fn a_return_arm_closes_its_triangle() {
        let arm = return_arm(20.0, 8.0, FRAC_PI_2);
        assert!((arm.length - 464_f64.sqrt()).abs() < 1e-12 && (arm.angle.tan() - 0.4).abs() < 1e-12);
        let arm = return_arm(20.0, 8.0, 1.9);
        // The pin found by going out along the crank and back along the arm.
        let (x, y) = (20.0 - arm.length * arm.angle.cos(), arm.length * arm.angle.sin());
        assert!((x.hypot(y) - 8.0).abs() < 1e-12 && (y.atan2(x) - 1.9).abs() < 1e-12);
    }
}
