//! A sloping side or a curve seen from the side, cut in steps across and down: a square-ended
//! or a round-nosed cutter goes along the work at each place, and a file takes the ridges off.
//!
//! X runs along the profile and depths are below the face the profile begins at. Every
//! place is rounded to the side that leaves metal.

use super::position::rounding;
use super::show::{geometry, mm, positive, practice, set_mm, within_reach};
use crate::measure::{Length, Rounded, Toward};
use crate::problem::Problem;
use crate::why::Figure;

/// The finished profile.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Profile {
    /// A straight slope: so much deeper over so much along.
    Slope {
        /// Along X.
        along: Length,
        /// How much deeper at the far end.
        deeper: Length,
    },
    /// A round back: a convex arc that leaves its crest level, the metal below it.
    Crest {
        /// Its radius.
        radius: Length,
        /// How far along X from the crest, at most the radius.
        along: Length,
    },
    /// A hollow whose lowest place is level: a concave arc, deepest at its far end.
    Hollow {
        /// Its radius.
        radius: Length,
        /// How far along X from its rim to its lowest place, at most the radius.
        along: Length,
    },
}

/// The end of the cutter.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Nose {
    /// Square: its corner cuts.
    Square,
    /// Round, of this radius: its ball cuts, and depths are to its lowest place.
    Round(Length),
}

/// A profile to be stepped.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Asked {
    /// The profile.
    pub profile: Profile,
    /// The end of the cutter.
    pub nose: Nose,
    /// The highest ridge that may be left for the file, square to the profile.
    pub ridge: Length,
    /// The smallest step of the readout or dial.
    pub step: Length,
}

/// One place of the cutter.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Place {
    /// Along X: of a square end the corner that cuts the profile, of a round one its middle.
    pub x: Rounded,
    /// Depth below the face that the profile begins at.
    pub z: Rounded,
}

/// The places that cut a profile.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Stepped {
    /// What was asked.
    pub asked: Asked,
    /// From the face into the depth.
    pub places: Vec<Place>,
    /// The highest ridge that is left, before rounding.
    pub ridge: Length,
}

/// More places than anyone will wind.
const MOST_PLACES: usize = 500;

/// Works out the places.
///
/// # Errors
///
/// A [`Problem`] when a size is not more than nought, an arc runs beyond its own radius, a
/// round nose does not fit a hollow, or the ridge asks for over 500 places.
pub fn stepped_profile(asked: Asked) -> Result<Stepped, Problem> {
    positive(asked.ridge, "ridge allowed")?;
    positive(asked.step, "step of the readout")?;
    let shape = Shape::of(asked.profile)?;
    if let Nose::Round(nose) = asked.nose {
        positive(nose, "radius of the nose")?;
        if shape.hollow_mm.is_some_and(|radius_mm| nose.as_mm() >= radius_mm) {
            return Err(Problem::new(format!("a nose of {} does not fit this hollow", mm(nose)))
                .why("it is as round as the hollow or rounder, so it would touch at its rim alone")
                .mend("use a smaller nose, or a square end"));
        }
    }
    for count in 1..=MOST_PLACES {
        let ridge_mm = highest_ridge_mm(&shape, asked.nose, count);
        // Halving by trying: a profile takes few places, and each try is cheap.
        if ridge_mm <= asked.ridge.as_mm() {
            let places = (0..=count).map(|n| place(&asked, &shape, n as f64 / count as f64)).collect();
            return Ok(Stepped { asked, places, ridge: Length::nearest(ridge_mm) });
        }
    }
    Err(Problem::new(format!("a ridge of {} needs over {MOST_PLACES} places", mm(asked.ridge)))
        .why("nobody winds so many")
        .mend("allow a higher ridge and file it off, or use a larger nose"))
}

/// A profile as a curve: where it is and which way is out of the metal.
struct Shape {
    at: Box<dyn Fn(f64) -> [f64; 2]>,
    out: Box<dyn Fn(f64) -> [f64; 2]>,
    hollow_mm: Option<f64>,
}

impl Shape {
    fn of(profile: Profile) -> Result<Self, Problem> {
        let arc = |radius: Length, along: Length| {
            positive(radius, "radius")?;
            positive(along, "length along X")?;
            if along > radius {
                return Err(Problem::new(format!(
                    "an arc of {} does not run {} along",
                    mm(radius),
                    mm(along)
                ))
                .why("from its crest to where it stands upright it runs along by its radius")
                .mend("give at most the radius"));
            }
            Ok((radius.as_mm(), (along.as_mm() / radius.as_mm()).asin()))
        };
        Ok(match profile {
            Profile::Slope { along, deeper } => {
                positive(along, "length along X")?;
                within_reach(deeper, "depth of the slope")?;
                if deeper < Length::ZERO {
                    return Err(Problem::new("the slope goes up")
                        .why("depths are counted downwards")
                        .mend("begin at its upper end"));
                }
                let (x, z) = (along.as_mm(), deeper.as_mm());
                let long = x.hypot(z);
                let out = [z / long, -x / long];
                Self { at: Box::new(move |t| [x * t, z * t]), out: Box::new(move |_| out), hollow_mm: None }
            }
            Profile::Crest { radius, along } => {
                let (r, sweep) = arc(radius, along)?;
                let turned = move |t: f64| (sweep * t).sin_cos();
                Self {
                    at: Box::new(move |t| {
                        let half = (sweep * t / 2.0).sin();
                        [r * turned(t).0, 2.0 * r * half * half]
                    }),
                    out: Box::new(move |t| [turned(t).0, -turned(t).1]),
                    hollow_mm: None,
                }
            }
            Profile::Hollow { radius, along } => {
                let (r, sweep) = arc(radius, along)?;
                let deep = r * (1.0 - sweep.cos());
                // From the rim down to the lowest place, towards +X.
                let turned = move |t: f64| (sweep * (1.0 - t)).sin_cos();
                let far = along.as_mm();
                Self {
                    at: Box::new(move |t| [far - r * turned(t).0, deep - r * (1.0 - turned(t).1)]),
                    out: Box::new(move |t| [turned(t).0, -turned(t).1]),
                    hollow_mm: Some(r),
                }
            }
        })
    }
}

/// The lowest place of the cutter where it touches the profile, exactly: X of its corner or
/// its middle, and its depth.
fn touching(shape: &Shape, nose: Nose, t: f64) -> [f64; 2] {
    let [x, z] = (shape.at)(t);
    match nose {
        Nose::Square => [x, z],
        Nose::Round(nose) => {
            let (out, r) = ((shape.out)(t), nose.as_mm());
            [x + r * out[0], z + r * out[1] + r]
        }
    }
}

/// The highest ridge between neighbours, square to the profile.
fn highest_ridge_mm(shape: &Shape, nose: Nose, count: usize) -> f64 {
    let pair = |n: usize| {
        let ts = [n, n + 1].map(|n| n as f64 / count as f64);
        let [one, other] = ts.map(|t| touching(shape, nose, t));
        let middle = (ts[0] + ts[1]) / 2.0;
        match nose {
            // The corner of metal that stands between one step and the next.
            Nose::Square => {
                let corner = [other[0], one[1]];
                let (at, out) = ((shape.at)(middle), (shape.out)(middle));
                let over = (corner[0] - at[0]) * out[0] + (corner[1] - at[1]) * out[1];
                over.abs()
            }
            // Where the two rounds cross.
            Nose::Round(nose) => {
                let r = nose.as_mm();
                let apart = (other[0] - one[0]).hypot(other[1] - one[1]);
                if apart >= 2.0 * r {
                    return f64::INFINITY;
                }
                let (at, out) = ((shape.at)(middle), (shape.out)(middle));
                let centre = [(one[0] + other[0]) / 2.0, (one[1] + other[1]) / 2.0 - r];
                let high = (centre[0] - at[0]) * out[0] + (centre[1] - at[1]) * out[1];
                high - (r * r - apart * apart / 4.0).sqrt()
            }
        }
    };
    (0..count).map(pair).fold(0.0, f64::max)
}

/// A place on whole steps: less deep and farther out of the metal, never nearer.
fn place(asked: &Asked, shape: &Shape, t: f64) -> Place {
    let [x, z] = touching(shape, asked.nose, t).map(Length::nearest);
    // The metal lies towards −X and down: out of it is +X and up.
    Place { x: x.rounded(asked.step, Toward::More), z: z.rounded(asked.step, Toward::Less) }
}

impl Stepped {
    /// The rows of the sheet.
    pub fn figures(&self) -> Vec<Figure> {
        let step = self.asked.step;
        let ridge = match self.asked.nose {
            Nose::Square => {
                geometry("the corner that stands between one step and the next, square to the profile")
            }
            Nose::Round(nose) => geometry(format!("where neighbouring rounds of {} cross", mm(nose))),
        }
        .because(practice(format!("at most {} may be left for the file", mm(self.asked.ridge))));
        let mut figures = vec![
            Figure::new("ridge left for the file", format!("{} mm", self.ridge.decimals(3)), ridge.clone()),
            Figure::new("places", self.places.len().to_string(), ridge),
        ];
        for (n, place) in self.places.iter().enumerate() {
            for (name, at) in [("X", place.x), ("depth", place.z)] {
                let why = practice("rounded to the side that leaves metal").because(rounding(at, step));
                figures.push(Figure::new(format!("place {}, {name}", n + 1), set_mm(at.value, step), why));
            }
        }
        figures
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn asked(profile: Profile, nose: Nose, ridge: i64) -> Asked {
        Asked { profile, nose, ridge: Length::microns(ridge), step: Length::microns(5) }
    }

    /// A square end down a slope of 45°: steps of dx leave dx sin 45° (elementary geometry).
    /// 10 along and down with 0.1 allowed is 71 steps of 0.1408, each leaving 0.0996.
    #[test]
    fn a_square_end_leaves_the_corners_of_stairs() {
        let slope = Profile::Slope { along: Length::mm(10), deeper: Length::mm(10) };
        let found = stepped_profile(asked(slope, Nose::Square, 100)).unwrap();
        assert_eq!(found.places.len(), 72);
        assert_eq!(found.ridge.decimals(4), "0.0996");
    }

    /// A round nose along a straight wall: r − √(r² − p²/4), which is p² / 8 r for small
    /// steps (the usual rule for scallops): 0.05 with a nose of 3 is steps of 1.09 mm.
    #[test]
    fn a_round_nose_leaves_scallops() {
        let slope = Profile::Slope { along: Length::mm(12), deeper: Length::mm(9) };
        let found = stepped_profile(asked(slope, Nose::Round(Length::mm(3)), 50)).unwrap();
        let pitch = 15.0 / (found.places.len() as f64 - 1.0);
        assert!((found.ridge.as_mm() - (3.0 - (9.0 - pitch * pitch / 4.0).sqrt())).abs() < 1e-6);
        assert_eq!(found.places.len(), 15);
    }

    /// z = R − √(R² − x²) from the crest: 20 − √(400 − 36) is 0.9212.
    #[test]
    fn a_crest_falls_as_its_circle() {
        let crest = Profile::Crest { radius: Length::mm(20), along: Length::mm(6) };
        let found = stepped_profile(asked(crest, Nose::Square, 50)).unwrap();
        let last = found.places.last().unwrap();
        assert_eq!((last.x.value, last.z.value), (Length::mm(6), Length::microns(920)));
    }

    #[test]
    fn what_cannot_be_stepped_says_why() {
        let crest = Profile::Crest { radius: Length::mm(5), along: Length::mm(6) };
        assert!(stepped_profile(asked(crest, Nose::Square, 50)).unwrap_err().reason().is_some());
        let hollow = Profile::Hollow { radius: Length::mm(5), along: Length::mm(4) };
        assert!(stepped_profile(asked(hollow, Nose::Round(Length::mm(5)), 50)).is_err());
        let long = Profile::Slope { along: Length::mm(900), deeper: Length::mm(900) };
        assert!(stepped_profile(asked(long, Nose::Square, 10)).unwrap_err().what().contains("over 500"));
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(48))]

        /// The cutter laid at every place, drawn as it is, never comes into the finished
        /// metal, whose surface is walked in a thousand steps.
        #[test]
        fn no_place_cuts_into_the_profile(
            kind in 0u8..3, size in 5.0..30.0f64, share in 0.1..1.0f64, nose in 0.5..4.0f64, round: bool, ridge in 20i64..200,
        ) {
            let (radius, along) = (Length::nearest(size), Length::nearest(size * share));
            let profile = match kind {
                0 => Profile::Slope { along: radius, deeper: along },
                1 => Profile::Crest { radius, along },
                _ => Profile::Hollow { radius, along },
            };
            let nose = if round { Nose::Round(Length::nearest(nose)) } else { Nose::Square };
            let Ok(found) = stepped_profile(asked(profile, nose, ridge)) else { return Ok(()) };
            let shape = Shape::of(profile).unwrap();
            for place in &found.places {
                let (x, z) = (place.x.value.as_mm(), place.z.value.as_mm());
                for n in 0..=1000 {
                    let [sx, sz] = (shape.at)(f64::from(n) / 1000.0);
                    match nose {
                        // Its corner: everything to the right of it and above is cut.
                        Nose::Square => prop_assert!(!(sx > x + 1e-6 && sz < z - 1e-6), "{place:?} {sx} {sz}"),
                        Nose::Round(r) => {
                            let apart = (sx - x).hypot(sz - (z - r.as_mm()));
                            prop_assert!(apart > r.as_mm() - 1e-6, "{place:?} {sx} {sz}");
                        }
                    }
                }
            }
        }
    }
}
