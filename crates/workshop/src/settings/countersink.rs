//! A countersink: how far it goes on once it touches the edge of the hole.

use super::show::{geometry, mm, positive, practice};
use crate::measure::{Angle, Length};
use crate::problem::Problem;
use crate::why::{Figure, Why};

/// A conical mouth of a hole.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Countersink {
    /// Across at the face.
    pub diameter: Length,
    /// The hole below it.
    pub hole: Length,
    /// Of the whole cone.
    pub angle: Angle,
}

/// What the depth is called on a sheet.
pub const GOES_ON: &str = "goes on after it touches the edge of the hole";

/// Why it goes on so far.
pub fn why_goes_on(asked: Countersink) -> Why {
    geometry(format!(
        "half of {} less {}, over the tangent of half of {}",
        mm(asked.diameter),
        mm(asked.hole),
        asked.angle
    ))
}

/// How far a countersink goes on after it touches the edge of the hole.
///
/// # Errors
///
/// A [`Problem`] when it is no wider than the hole or its angle is no cone.
pub fn goes_on(asked: Countersink) -> Result<Length, Problem> {
    positive(asked.diameter, "countersink's diameter")?;
    positive(asked.hole, "hole's diameter")?;
    if asked.diameter <= asked.hole {
        return Err(Problem::new(format!(
            "a countersink {} across leaves nothing to cut",
            mm(asked.diameter)
        ))
        .why(format!("the hole is {} already", mm(asked.hole)))
        .mend("give its width at the face, more than the hole"));
    }
    if asked.angle <= Angle::degrees(0) || asked.angle >= Angle::degrees(180) {
        return Err(Problem::new(format!("an angle of {} is no cone", asked.angle))
            .why("the whole angle of a countersink is more than nought and less than 180°")
            .mend("give the angle of the whole cone, such as 90°"));
    }
    let deep_mm = (asked.diameter - asked.hole).as_mm() / 2.0 / (asked.angle.as_rad() / 2.0).tan();
    if deep_mm > 1e4 {
        return Err(Problem::new("the countersink goes deeper than any machine")
            .why("its cone is all but a cylinder")
            .mend("check the angle of the whole cone"));
    }
    Ok(Length::nearest(deep_mm))
}

/// The rows of a countersink by itself.
///
/// # Errors
///
/// As [`goes_on`].
pub fn figures(asked: Countersink) -> Result<Vec<Figure>, Problem> {
    let deep = goes_on(asked)?;
    Ok(vec![
        Figure::new(GOES_ON, mm(deep), why_goes_on(asked)),
        Figure::new(
            "across at the face",
            mm(asked.diameter),
            practice(
                "the cone's width at the face says when it is deep enough; as slow as a reamer, or it chatters",
            ),
        ),
    ])
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A cone of 90° goes on by half the difference; one of 60° by that times √3.
    #[test]
    fn a_right_angled_cone_goes_on_by_half_the_difference() {
        let asked = |angle| Countersink {
            diameter: Length::mm(8),
            hole: Length::mm(4),
            angle: Angle::degrees(angle),
        };
        assert_eq!(goes_on(asked(90)).unwrap(), Length::mm(2));
        assert_eq!(goes_on(asked(60)).unwrap().decimals(3), "3.464");
        assert!(goes_on(asked(180)).is_err());
        assert!(goes_on(Countersink { hole: Length::mm(8), ..asked(90) }).unwrap_err().reason().is_some());
    }
}
