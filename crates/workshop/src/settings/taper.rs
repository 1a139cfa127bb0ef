//! Turning a taper: the top slide's angle, or the tailstock set over, and how to
//! check either with an indicator.

use super::show::{both_angles, geometry, mm, positive, practice};
use crate::measure::{Angle, Length};
use crate::problem::Problem;
use crate::why::Figure;

/// A cone between two diameters.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Cone {
    /// The larger diameter.
    pub large: Length,
    /// The smaller.
    pub small: Length,
    /// Along the axis from one to the other.
    pub length: Length,
}

/// How a cone is set.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Taper {
    /// The cone asked for.
    pub cone: Cone,
    /// Between the axis and the side: what the top slide is swung by.
    pub half_angle: Angle,
    /// Along the side: what the top slide travels.
    pub side: Length,
    /// How far along the check is made.
    pub check_over: Length,
    /// What an indicator on the finished side reads over that length.
    pub check: Length,
}

/// Works out the top slide's setting for a cone.
///
/// # Errors
///
/// A [`Problem`] when a size is not more than nought or the ends are alike.
pub fn taper(cone: Cone) -> Result<Taper, Problem> {
    check_cone(cone)?;
    let rise = (cone.large - cone.small).half();
    let (rise_mm, long_mm) = (rise.as_mm(), cone.length.as_mm());
    // The longest round length that the cone has room for.
    let check_over = [100, 50, 25, 20, 10, 5, 2, 1]
        .map(Length::mm)
        .into_iter()
        .find(|&over| over <= cone.length)
        .unwrap_or(cone.length);
    Ok(Taper {
        cone,
        half_angle: Angle::nearest_rad(rise_mm.atan2(long_mm)),
        side: Length::nearest(rise_mm.hypot(long_mm)),
        check_over,
        check: rise.scaled(check_over.ratio_to(cone.length)),
    })
}

/// How far the tailstock is set over for a cone on work of this length between centres.
///
/// # Errors
///
/// A [`Problem`] when a size is not more than nought, the ends are alike, or the work
/// is shorter than its own cone.
pub fn set_over(cone: Cone, work: Length) -> Result<Length, Problem> {
    check_cone(cone)?;
    positive(work, "length between centres")?;
    if work < cone.length {
        return Err(Problem::new(format!("the work is {work} long, and the taper on it {}", cone.length))
            .why("the set-over is for the whole length between the centres")
            .mend("give the length of the work over all, from centre to centre"));
    }
    Ok((cone.large - cone.small).half().scaled(work.ratio_to(cone.length)))
}

/// The set-over as a row of the sheet.
///
/// # Errors
///
/// As [`set_over`].
pub fn set_over_figure(cone: Cone, work: Length) -> Result<Figure, Problem> {
    let why = geometry(format!(
        "half the difference of the diameters over {} of taper, for all {} between the centres",
        mm(cone.length),
        mm(work)
    ))
    .because(practice(
        "towards you for a taper that is small at the tailstock; turn a test length parallel again afterwards",
    ));
    Ok(Figure::new("or set the tailstock over", mm(set_over(cone, work)?), why))
}

fn check_cone(cone: Cone) -> Result<(), Problem> {
    for (size, name) in
        [(cone.large, "large diameter"), (cone.small, "small diameter"), (cone.length, "length of the taper")]
    {
        positive(size, name)?;
    }
    if cone.large <= cone.small {
        return Err(Problem::new(format!("{} does not taper to {}", mm(cone.large), mm(cone.small)))
            .why("the large end must be larger than the small end")
            .mend("check both diameters"));
    }
    Ok(())
}

/// How far an ordinary indicator reads, less what it is set in by: common practice.
const READS: Length = Length::mm(8);

impl Taper {
    /// What an indicator on the finished side shows.
    pub fn indicator(&self) -> Figure {
        let check = geometry(format!(
            "half the difference of the diameters over {} of the {}",
            mm(self.check_over),
            mm(self.cone.length)
        ))
        .because(practice(
            "the carriage moves an indicator along the finished taper; on the first cuts the same reading shows the error",
        ));
        let shown = format!("{} mm over {}", self.check.decimals(2), mm(self.check_over));
        Figure::new("indicator along the taper", shown, check)
    }

    /// How far the top slide is wound to set it before any cut, and what an indicator that it
    /// carries then shows on a parallel bar: its travel times the sine of the angle. None where
    /// the angle is too steep for an indicator.
    pub fn wound(&self) -> Option<(Length, Length)> {
        let sine = self.half_angle.as_rad().sin();
        let shows = |over: Length| Length::nearest(over.as_mm() * sine);
        let over = [50, 40, 30, 20, 10, 5].map(Length::mm).into_iter().find(|&over| shows(over) <= READS)?;
        Some((over, shows(over)))
    }

    /// The top slide set by an indicator over its own travel.
    fn by_travel(&self) -> Option<Figure> {
        let (over, shows) = self.wound()?;
        let why = geometry(format!("{} times the sine of {}", mm(over), both_angles(self.half_angle))).because(
            practice(
                "before any cut: a parallel bar that runs true in the chuck or between centres, the indicator in the tool post on its side at centre height; wind the top slide one way by its own dial, and tap it round until this is shown",
            ),
        );
        let shown = format!("{} mm over {}", shows.decimals(2), mm(over));
        Some(Figure::new("or indicator on a parallel bar, top slide wound", shown, why))
    }

    /// The rows of the sheet.
    pub fn figures(&self) -> Vec<Figure> {
        let half = mm((self.cone.large - self.cone.small).half());
        let tan = geometry(format!(
            "its tangent is half the difference of the diameters, {half}, over the length, {}",
            mm(self.cone.length)
        ));
        let set = practice(
            "the scale gives it nearly; swing the slide until the indicator reads as below, for a scale of whole degrees is too coarse",
        )
        .because(tan.clone());
        let travel = geometry("along the side of the cone").because(practice(
            "wind the tool from clear of one end to clear of the other with the top slide alone, the carriage locked",
        ));
        let mut figures = vec![Figure::new("top slide from the axis", both_angles(self.half_angle), set)];
        figures.extend(self.by_travel());
        figures.push(self.indicator());
        figures.push(Figure::new("top slide travel", format!("{} mm", self.side.decimals(1)), travel));
        figures
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::measure::read_angle;
    use proptest::prelude::*;

    fn cone(large: Length, small: Length, length: Length) -> Cone {
        Cone { large, small, length }
    }

    /// Included angles as ISO 1119 prints them for its series of tapers.
    #[test]
    fn angles_agree_with_the_printed_series() {
        for (over, printed) in [
            (3, "18° 55' 28.7\""),
            (5, "11° 25' 16.3\""),
            (10, "5° 43' 29.3\""),
            (20, "2° 51' 51.1\""),
            (50, "1° 8' 45.2\""),
        ] {
            let one_in = cone(Length::mm(20), Length::mm(19), Length::mm(over));
            let twice = taper(one_in).unwrap().half_angle.as_degrees() * 2.0;
            let printed = read_angle(printed).unwrap().as_degrees();
            assert!((twice - printed).abs() < 0.1 / 3600.0, "1 in {over}: {twice} against {printed}");
        }
    }

    /// A United States Navy manual's example: 3 in to 2 in on work 12 in long, 1/2 in;
    /// an inch to the foot on 6 in, 1/4 in.
    #[test]
    fn set_over_agrees_with_the_manual() {
        let inch = |n| Length::inches(n, 1);
        assert_eq!(set_over(cone(inch(3), inch(2), inch(12)), inch(12)), Ok(Length::inches(1, 2)));
        assert_eq!(set_over(cone(inch(2), Length::inches(3, 2), inch(6)), inch(6)), Ok(Length::inches(1, 4)));
        assert!(set_over(cone(inch(3), inch(2), inch(12)), inch(11)).is_err());
    }

    /// The table of a sine bar of 100: 5.234 for 3°, 50 for 30°; half of each over 50 of travel,
    /// and over as much as an indicator reads.
    #[test]
    fn the_top_slide_wound_shows_its_sine() {
        let half = |deg: f64| {
            let rise = Length::nearest(1000.0 * deg.to_radians().tan());
            cone(Length::mm(9000), Length::mm(9000) - rise * 2, Length::mm(1000))
        };
        let (over, shows) = taper(half(3.0)).unwrap().wound().unwrap();
        assert_eq!(over, Length::mm(50));
        assert!((shows.as_mm() - 5.2336 / 2.0).abs() < 1e-3, "{shows}");
        let (over, shows) = taper(half(30.0)).unwrap().wound().unwrap();
        assert_eq!(over, Length::mm(10));
        assert!((shows.as_mm() - 5.0).abs() < 1e-4, "{shows}");
    }

    #[test]
    fn ends_alike_or_backwards_are_refused() {
        for (large, small) in [(10, 10), (9, 10), (10, 0)] {
            assert!(taper(cone(Length::mm(large), Length::mm(small), Length::mm(20))).is_err());
        }
        assert!(taper(cone(Length::mm(10), Length::mm(8), Length::ZERO)).is_err());
    }

    proptest! {
        /// The side and the angle give both diameters back.
        #[test]
        fn the_side_ends_at_the_other_diameter(small in 10i64..300, more in 1i64..200, long in 5i64..800) {
            let tenths = |n: i64| Length::microns(n * 100);
            let asked = cone(tenths(small + more), tenths(small), tenths(long));
            let set = taper(asked).unwrap();
            let back_mm = set.side.as_mm() * set.half_angle.as_rad().sin() * 2.0;
            prop_assert!((back_mm - tenths(more).as_mm()).abs() < 1e-5);
            prop_assert!((set.side.as_mm() * set.half_angle.as_rad().cos() - tenths(long).as_mm()).abs() < 1e-5);
            let slope_mm = set.half_angle.as_rad().tan() * set.check_over.as_mm();
            prop_assert!((slope_mm - set.check.as_mm()).abs() < 1e-5);
        }
    }
}
