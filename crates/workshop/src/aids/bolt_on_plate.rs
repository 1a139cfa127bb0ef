//! A bolt-on plate: thin work screwed down through its own holes.
//!
//! The plate is held, not the work: nothing stands in the cutter's way, and the
//! plate's edges carry the datum when the work has none left.

use crate::measure::Length;
use crate::problem::Problem;
use crate::settings::show::{mm, positive, practice};
use crate::tables::threads::Thread;
use crate::why::Figure;

/// A hole in the work that a screw may pass.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Hole {
    /// What it is: `pivot bore`.
    pub name: String,
    /// From the left edge of the work.
    pub x: Length,
    /// From the front edge of the work.
    pub y: Length,
    /// Its diameter at that stage of the work.
    pub diameter: Length,
}

/// The work to be bolted on.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Work {
    /// Its size along X.
    pub length: Length,
    /// Its size along Y.
    pub width: Length,
    /// The holes that may take screws.
    pub holes: Vec<Hole>,
}

/// A screw of the plate.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Screw {
    /// The hole it passes.
    pub hole: String,
    /// The thread tapped in the plate.
    pub thread: &'static Thread,
    /// From the plate's left edge.
    pub x: Length,
    /// From the plate's front edge.
    pub y: Length,
}

/// The sizes of a bolt-on plate.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Plate {
    /// Its size along X.
    pub length: Length,
    /// Its size along Y.
    pub width: Length,
    /// Its thickness.
    pub thickness: Thickness,
    /// What stands beyond the work on each side.
    pub margin: Length,
    /// The screws.
    pub screws: Vec<Screw>,
    least_thickness: Length,
}

/// The plate's thickness, owned or to buy.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Thickness {
    /// A flat in the rack.
    Owned(Length),
    /// At least this.
    Buy(Length),
}

/// Works out a bolt-on plate. `flats` are the thicknesses owned, `taps` the taps.
///
/// # Errors
///
/// A [`Problem`] when a size is not more than nought or fewer than two holes
/// pass a screw that can be tapped: one screw alone lets the work turn.
pub fn bolt_on_plate(work: &Work, flats: &[Length], taps: &[&'static Thread]) -> Result<Plate, Problem> {
    positive(work.length, "length of the work")?;
    positive(work.width, "width of the work")?;
    let margin = margin();
    let screw = |hole: &Hole| {
        let thread =
            taps.iter().copied().filter(|t| t.major < hole.diameter).max_by_key(|t| (t.major, t.pitch))?;
        Some(Screw { hole: hole.name.clone(), thread, x: hole.x + margin, y: hole.y + margin })
    };
    let screws: Vec<Screw> = work.holes.iter().filter_map(screw).collect();
    if screws.len() < 2 {
        return Err(Problem::new("the work cannot be bolted to a plate through its own holes")
            .why(format!(
                "{} of its holes pass a screw that can be tapped here; one alone lets it turn",
                screws.len()
            ))
            .mend(
                "drill a second hole where the metal is cut away later, clamp the work, or stick it down",
            ));
    }
    let thickest = screws.iter().map(|s| s.thread.major).max().expect("two screws or more");
    // One and a half diameters of thread, and stiff enough not to bow when held.
    let least_thickness = (thickest * 3 / 2).max(work.length / 12).max(Length::mm(6));
    let thickness = flats
        .iter()
        .copied()
        .filter(|flat| *flat >= least_thickness)
        .min()
        .map_or(Thickness::Buy(least_thickness), Thickness::Owned);
    Ok(Plate {
        length: work.length + margin * 2,
        width: work.width + margin * 2,
        thickness,
        margin,
        screws,
        least_thickness,
    })
}

/// Room for the vice jaws or clamps beside the work, common practice.
fn margin() -> Length {
    Length::mm(10)
}

impl Plate {
    /// The sizes to make it to.
    pub fn figures(&self) -> Vec<Figure> {
        let beyond = practice(format!("the work and {} on each side for jaws or clamps", mm(self.margin)));
        let need = practice(format!(
            "at least {}: one and a half diameters of thread, a twelfth of the work's length, and 6 mm",
            mm(self.least_thickness)
        ));
        let thickness = match self.thickness {
            Thickness::Owned(size) => Figure::new(
                "plate thickness",
                mm(size),
                practice("the thinnest flat owned that serves").because(need),
            ),
            Thickness::Buy(size) => Figure::new(
                "plate thickness, to buy",
                mm(size),
                practice("no flat owned serves").because(need),
            ),
        };
        let mut figures = vec![
            Figure::new("plate length", mm(self.length), beyond.clone()),
            Figure::new("plate width", mm(self.width), beyond),
            thickness,
        ];
        for screw in &self.screws {
            let thread = practice(format!("the largest tap owned that passes the {}", screw.hole));
            let place = practice(format!("under the {}, from the plate's left and front edges", screw.hole));
            figures.push(Figure::new(
                format!("screw under the {}", screw.hole),
                screw.thread.designation.clone(),
                thread,
            ));
            figures.push(Figure::new(
                format!("place of the screw under the {}", screw.hole),
                format!("X {}, Y {}", mm(screw.x), mm(screw.y)),
                place,
            ));
        }
        figures
    }

    /// How to make it, in order.
    pub fn steps(&self) -> Vec<String> {
        vec![
            "Mill the left and front edges square to each other and mark them as the datum.".into(),
            "Skim the top true in the holding it will be used in.".into(),
            "Drill and tap the screw holes at their places, and take off the burrs.".into(),
            "Screw the work down through washers; see that no screw head stands in the cutter's way.".into(),
        ]
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tables::threads;

    fn taps() -> Vec<&'static Thread> {
        ["M3", "M4", "M5", "M6", "M6x0.75"].map(|name| threads::find(name).unwrap()).to_vec()
    }

    fn hole(name: &str, x: i64, diameter: i64) -> Hole {
        Hole { name: name.into(), x: Length::mm(x), y: Length::mm(9), diameter: Length::mm(diameter) }
    }

    fn work(holes: Vec<Hole>) -> Work {
        Work { length: Length::mm(60), width: Length::mm(18), holes }
    }

    #[test]
    fn screws_stand_under_the_work_and_the_plate_is_stiff() {
        let lever = work(vec![hole("pivot bore", 10, 8), hole("rod bore", 50, 5), hole("oil hole", 30, 1)]);
        let found = bolt_on_plate(&lever, &[3, 5, 8, 10, 12].map(Length::mm), &taps()).unwrap();
        let screws: Vec<String> =
            found.screws.iter().map(|s| format!("{} {} at {}", s.hole, s.thread.designation, s.x)).collect();
        assert_eq!(screws, ["pivot bore M6 at 20 mm", "rod bore M4 at 60 mm"]);
        // One and a half of M6 is 9.
        assert_eq!(found.thickness, Thickness::Owned(Length::mm(10)));
        assert_eq!((found.length, found.width), (Length::mm(80), Length::mm(38)));
        assert!(found.screws.iter().all(|s| s.y == Length::mm(19)));
        let long = Work { length: Length::mm(144), ..lever.clone() };
        let stiff = bolt_on_plate(&long, &[10, 12].map(Length::mm), &taps()).unwrap();
        assert_eq!(stiff.thickness, Thickness::Owned(Length::mm(12)), "a twelfth of 144");
        let none = bolt_on_plate(&lever, &[Length::mm(5)], &taps()).unwrap();
        assert_eq!(none.thickness, Thickness::Buy(Length::mm(9)));
        assert_eq!(none.figures()[2].name, "plate thickness, to buy");
    }

    #[test]
    fn one_screw_alone_is_refused() {
        let fault = bolt_on_plate(&work(vec![hole("pivot bore", 10, 8)]), &[], &taps()).unwrap_err();
        assert!(fault.reason().unwrap().starts_with("1 of its holes"), "{fault}");
        assert!(bolt_on_plate(&work(Vec::new()), &[], &taps()).is_err());
    }
}
