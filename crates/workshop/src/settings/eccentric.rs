//! Turning about a second axis: the four-jaw chuck by an indicator, or packing under
//! one jaw of a three-jaw.

use super::show::{geometry, mm, positive, practice};
use crate::measure::Length;
use crate::problem::Problem;
use crate::why::Figure;

/// Work to be set off its axis.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Eccentric {
    /// From the axis the work has to the axis it is to turn about.
    pub throw: Length,
    /// Across the round that is gripped.
    pub gripped: Length,
}

/// How work is set off its axis.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SetOff {
    /// What was asked.
    pub asked: Eccentric,
    /// From least to greatest on an indicator over one turn of the gripped round.
    pub reading: Length,
    /// Packing under one jaw of three, for jaws that touch the work along a line.
    pub packing: Length,
    /// The same for jaws with broad flat faces.
    pub packing_broad: Length,
    /// How far the throw may be out with packing alone, whatever the jaws' faces.
    pub doubt: Length,
}

/// Works out the indicator's reading and the packing.
///
/// Packing under one jaw of a self-centring three-jaw: with jaws that touch along a
/// line, `3e/2 + √(r² - 3e²/4) - r`; with broad flat jaws, which touch where the work
/// is square to them, `3e/2`. Real jaws lie between.
///
/// # Errors
///
/// A [`Problem`] when a size is not more than nought, or the throw is so large that
/// the jaws would no longer hold the work.
pub fn eccentric(asked: Eccentric) -> Result<SetOff, Problem> {
    positive(asked.throw, "throw")?;
    positive(asked.gripped, "gripped diameter")?;
    let (throw_mm, radius_mm) = (asked.throw.as_mm(), asked.gripped.half().as_mm());
    // Beyond half the radius two jaws close past the middle of the work.
    if throw_mm > radius_mm / 2.0 {
        return Err(Problem::new(format!(
            "a throw of {} is too much for a chuck on {}",
            mm(asked.throw),
            mm(asked.gripped)
        ))
        .why("past a quarter of its diameter the jaws no longer hold the work between them")
        .mend("turn it between offset centres, or bolt it to the faceplate"));
    }
    let packing_mm = 1.5 * throw_mm + (radius_mm.powi(2) - 0.75 * throw_mm.powi(2)).sqrt() - radius_mm;
    let packing = Length::nearest(packing_mm);
    let packing_broad = asked.throw.scaled(num_rational::Ratio::new(3, 2));
    let doubt = (packing_broad - packing).scaled(num_rational::Ratio::new(2, 3));
    Ok(SetOff { asked, reading: asked.throw * 2, packing, packing_broad, doubt })
}

impl SetOff {
    /// The rows of the sheet.
    pub fn figures(&self) -> Vec<Figure> {
        let reading = geometry(format!(
            "a round set {} off its axis rises and falls by as much: twice that in all",
            mm(self.asked.throw)
        ))
        .because(practice(
            "in the four-jaw: slacken one jaw, tighten its opposite, and turn the chuck by hand under the indicator",
        ));
        let packing = geometry(format!(
            "for jaws that touch {} along a line; broad flat jaws ask {}",
            mm(self.asked.gripped),
            mm(self.packing_broad)
        ))
        .because(practice(format!(
            "under one jaw of a three-jaw, instead of the four-jaw: the jaws' faces leave the throw in doubt by {}, so the indicator still has the last word",
            mm(self.doubt)
        )));
        vec![
            Figure::new("indicator over one turn", mm(self.reading), reading),
            Figure::new(
                "or packing under one jaw of three",
                format!("about {} mm", self.packing.decimals(2)),
                packing,
            ),
        ]
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn set(throw: Length, gripped: Length) -> SetOff {
        eccentric(Eccentric { throw, gripped }).unwrap()
    }

    /// A published article's example, for the eccentrics of a traction engine: bar of
    /// radius 1.6875 in, throw 0.313 in, block 0.448 in.
    #[test]
    fn packing_agrees_with_a_published_example() {
        let found = set(Length::thou(313), Length::inches(27, 8));
        assert!((found.packing.as_inches() - 0.448).abs() < 0.0005, "{}", found.packing.as_inches());
        assert_eq!(found.reading, Length::thou(626));
    }

    #[test]
    fn a_throw_past_the_jaws_is_refused() {
        assert!(eccentric(Eccentric { throw: Length::mm(6), gripped: Length::mm(20) }).is_err());
        assert!(eccentric(Eccentric { throw: Length::mm(5), gripped: Length::mm(20) }).is_ok());
        assert!(eccentric(Eccentric { throw: Length::ZERO, gripped: Length::mm(20) }).is_err());
    }

    /// The centre of the circle through three points, from their perpendicular bisectors.
    fn centre_of([a, b, c]: [(f64, f64); 3]) -> (f64, f64) {
        let d = 2.0 * (a.0 * (b.1 - c.1) + b.0 * (c.1 - a.1) + c.0 * (a.1 - b.1));
        let sq = |p: (f64, f64)| p.0 * p.0 + p.1 * p.1;
        let x = (sq(a) * (b.1 - c.1) + sq(b) * (c.1 - a.1) + sq(c) * (a.1 - b.1)) / d;
        let y = (sq(a) * (c.0 - b.0) + sq(b) * (a.0 - c.0) + sq(c) * (b.0 - a.0)) / d;
        (x, y)
    }

    proptest! {
        /// Close three jaws on the bar, one of them packed, by halving until the circle
        /// through their points is the bar's: its centre is off by the throw asked for.
        #[test]
        fn three_points_of_jaws_put_the_bar_where_it_is_asked(throw in 1i64..40, radius in 80i64..400) {
            let (throw_mm, radius_mm) = (throw as f64 / 10.0, radius as f64 / 10.0);
            let found = set(Length::microns(throw * 100), Length::microns(radius * 200));
            let packing_mm = found.packing.as_mm();
            let points = |jaw_mm: f64| {
                [0.0_f64, 120.0, 240.0].map(|turn| {
                    let (sin, cos) = turn.to_radians().sin_cos();
                    let at = if turn == 0.0 { jaw_mm - packing_mm } else { jaw_mm };
                    (at * cos, at * sin)
                })
            };
            let (mut less, mut more) = (radius_mm / 2.0, radius_mm * 2.0);
            for _ in 0..80 {
                let jaw_mm = (less + more) / 2.0;
                let at = points(jaw_mm);
                let centre = centre_of(at);
                let through_mm = (at[0].0 - centre.0).hypot(at[0].1 - centre.1);
                if through_mm < radius_mm { less = jaw_mm } else { more = jaw_mm }
            }
            let centre = centre_of(points(less));
            prop_assert!((centre.0.hypot(centre.1) - throw_mm).abs() < 1e-4, "{centre:?} for {throw_mm}");
            // Broad jaws touch square: each plane lies the radius from the same centre.
            let broad_mm = found.packing_broad.as_mm();
            let jaw_mm = radius_mm + throw_mm / 2.0;
            prop_assert!((jaw_mm - broad_mm - (radius_mm - throw_mm)).abs() < 1e-9);
            prop_assert!(found.doubt >= Length::ZERO && found.packing <= found.packing_broad);
        }
    }
}
