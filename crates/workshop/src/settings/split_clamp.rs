//! A split boss pinched by a screw across the slit.
//!
//! The screw's hole is drilled at tapping size right through both ears while
//! they are still one; the near ear is opened to clearance, the far one tapped,
//! the bore finished, and the slit cut last of all.

use super::show::{mm, positive, practice};
use super::tapping::{Depth, Tapping, tapping};
use crate::measure::Length;
use crate::problem::Problem;
use crate::tables::clearance::{self, Class};
use crate::tables::drills::Drill;
use crate::tables::materials::Material;
use crate::tables::threads::{Percent, Thread};
use crate::why::{Figure, Why};

/// The boss and its screw, measured before the slit is cut.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Clamp {
    /// The screw.
    pub thread: Thread,
    /// Along the screw, from the face under its head to the far face.
    pub across: Length,
    /// From the face under the head to the middle of the slit.
    pub to_slit: Length,
    /// Width of the slit.
    pub slit: Length,
    /// From the screw's axis to the axis of the bore.
    pub screw_to_bore: Length,
    /// Diameter of the bore.
    pub bore: Length,
}

/// How the clamp is drilled.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ClampHoles {
    /// The clamp asked for.
    pub clamp: Clamp,
    /// The tapping of the far ear; its drill goes right through both.
    pub tapping: Tapping,
    /// The clearance hole in the near ear.
    pub clearance: Length,
    /// How deep to open it: to the middle of the slit to come.
    pub clearance_depth: Length,
    /// The metal between the clearance hole and the bore.
    pub wall: Length,
    clearance_why: Why,
}

/// The least metal between the screw and the bore, common practice.
fn least_wall() -> Length {
    Length::mm(1)
}

/// Works out the holes of a split clamp.
///
/// # Errors
///
/// A [`Problem`] when a size is not more than nought, the slit does not lie
/// within the boss, the screw leaves under a millimetre beside the bore, or the
/// far ear does not hold its thread.
pub fn clamp_holes(
    clamp: Clamp,
    aim: Percent,
    drills: &[Drill],
    material: &Material,
) -> Result<ClampHoles, Problem> {
    for (size, name) in [
        (clamp.across, "length across the ears"),
        (clamp.to_slit, "distance to the slit"),
        (clamp.slit, "width of the slit"),
        (clamp.bore, "bore"),
    ] {
        positive(size, name)?;
    }
    let far_ear = clamp.across - clamp.to_slit - clamp.slit.half();
    if !far_ear.is_positive() || clamp.to_slit <= clamp.slit.half() {
        return Err(Problem::new("the slit does not lie between the ears")
            .why(format!("it is at {} of {} across", mm(clamp.to_slit), mm(clamp.across)))
            .mend("check the distance to the slit and its width"));
    }
    let hole = clearance::hole(&clamp.thread, Class::Medium)?;
    let wall = clamp.screw_to_bore - clamp.bore.half() - hole.diameter.half();
    if wall < least_wall() {
        return Err(Problem::new(format!("the clamp screw leaves {} beside the bore", mm(wall)))
            .why(format!("at least {} must stand there", mm(least_wall())))
            .mend("move the screw outwards or use a smaller one"));
    }
    let tapping = tapping(&clamp.thread, aim, drills, Depth::Through(far_ear), material)?;
    let clearance_why = Why::new(format!("medium clearance for {}", clamp.thread.designation))
        .source(hole.source.to_string());
    Ok(ClampHoles {
        tapping,
        clearance: hole.diameter,
        clearance_depth: clamp.to_slit,
        wall,
        clearance_why,
        clamp,
    })
}

impl ClampHoles {
    /// The rows of the sheet, in the order they are drilled.
    pub fn figures(&self) -> Vec<Figure> {
        let through = practice("one drill through both ears, so the two halves of the hole are in line");
        let drill = Figure::new(
            "tapping drill through both ears",
            format!("{}, {} deep", self.tapping.chosen, mm(self.clamp.across)),
            through,
        );
        let near = practice("to the middle of the slit: the saw then takes the cone of the drill away");
        let mut figures = vec![
            drill,
            Figure::new("clearance drill, near ear", mm(self.clearance), self.clearance_why.clone()),
            Figure::new("clearance depth from under the head", mm(self.clearance_depth), near),
            Figure::new(
                "metal between screw and bore",
                mm(self.wall),
                practice(format!("at least {} beside the bore", mm(least_wall()))),
            ),
        ];
        figures.extend(
            self.tapping
                .figures()
                .into_iter()
                .skip(2)
                .map(|f| Figure { name: format!("far ear, {}", f.name), ..f }),
        );
        figures
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tables::threads::{self, Basis};
    use crate::tables::{drills, materials};

    fn clamp() -> Clamp {
        Clamp {
            thread: threads::find("M3").unwrap().clone(),
            across: Length::mm(14),
            to_slit: Length::mm(7),
            slit: Length::mm(1),
            screw_to_bore: Length::mm(8),
            bore: Length::mm(8),
        }
    }

    fn holes(clamp: Clamp) -> Result<ClampHoles, Problem> {
        let owned = [drills::find("2.5 mm").unwrap().clone()];
        clamp_holes(clamp, Percent::new(65, Basis::SharpVee), &owned, materials::find("mild steel").unwrap())
    }

    /// ISO 273 medium clearance for M3 is 3.4: the wall is 8 − 4 − 1.7.
    #[test]
    fn the_far_ear_is_tapped_and_the_near_one_cleared_to_the_slit() {
        let found = holes(clamp()).unwrap();
        assert_eq!((found.clearance_depth, found.wall), (Length::mm(7), Length::mm_ratio(23, 10)));
        assert_eq!(found.tapping.thread_depth, Length::mm_ratio(65, 10));
        assert_eq!(found.figures()[0].shown, "2.5 mm, 77 % of 3H/4, 14 mm deep");
    }

    #[test]
    fn a_screw_into_the_bore_or_a_slit_off_the_boss_is_refused() {
        let close = holes(Clamp { screw_to_bore: Length::mm(6), ..clamp() }).unwrap_err();
        assert!(close.what().contains("leaves 0.3 mm"), "{close}");
        assert!(holes(Clamp { to_slit: Length::mm(14), ..clamp() }).is_err());
        assert!(holes(Clamp { across: Length::mm(8), ..clamp() }).is_err(), "a far ear of half a millimetre");
    }
}
