//! Filing buttons: hardened guides for rounding an end by hand.

use super::show::{mm, positive, practice};
use crate::measure::Length;
use crate::problem::Problem;
use crate::why::Figure;

/// How the end is finished after filing.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Finish {
    /// As filed.
    Filed,
    /// Polished: the buttons are made a little smaller, for the file marks to go.
    Polished,
}

/// The boss to be rounded.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Boss {
    /// Its finished diameter.
    pub diameter: Length,
    /// The bore that the buttons are clamped through.
    pub bore: Length,
    /// Its thickness.
    pub thickness: Length,
    /// How it is finished.
    pub finish: Finish,
}

/// A pair of buttons, turned to these sizes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Buttons {
    /// The boss they guide.
    pub boss: Boss,
    /// Their outside diameter.
    pub outside: Length,
    /// The spigot that fits the bore.
    pub spigot: Length,
    /// How long the spigot is: two must not meet in the bore.
    pub spigot_length: Length,
    /// How thick the rim that guides the file is.
    pub rim: Length,
    /// The greatest clamp screw that passes the spigot.
    pub clamp_hole: Length,
}

/// Works out a pair of buttons.
///
/// # Errors
///
/// A [`Problem`] when a size is not more than nought or under a millimetre of
/// button would stand round the bore.
pub fn filing_buttons(boss: Boss) -> Result<Buttons, Problem> {
    for (size, name) in [
        (boss.diameter, "diameter of the boss"),
        (boss.bore, "bore"),
        (boss.thickness, "thickness of the boss"),
    ] {
        positive(size, name)?;
    }
    let outside = match boss.finish {
        Finish::Filed => boss.diameter,
        Finish::Polished => boss.diameter - Length::mm_ratio(5, 100),
    };
    let wall = (outside - boss.bore).half();
    if wall < Length::mm(1) {
        return Err(Problem::new(format!(
            "a filing button of {} on a {} bore has a rim of {}",
            mm(outside),
            mm(boss.bore),
            mm(wall)
        ))
        .why("under 1 mm the rim cracks in hardening or chips under the file")
        .mend("round the end on the rotary table, or use a plain button on a bush in the bore"));
    }
    Ok(Buttons {
        boss,
        outside,
        spigot: boss.bore - Length::mm_ratio(2, 100),
        spigot_length: boss.thickness * 2 / 5,
        rim: Length::mm(4),
        clamp_hole: boss.bore.half(),
    })
}

impl Buttons {
    /// The rows of the sheet.
    pub fn figures(&self) -> Vec<Figure> {
        let outside = match self.boss.finish {
            Finish::Filed => practice("the finished boss: file until the file only touches the buttons"),
            Finish::Polished => {
                practice("the finished boss less 0.05 mm, which polishing takes off the file marks")
            }
        };
        let row = |name: &str, size: Length, why: &str| Figure::new(name, mm(size), practice(why));
        vec![
            Figure::new("button outside diameter", mm(self.outside), outside),
            row("button spigot", self.spigot, "0.02 mm under the bore: it slides in and does not shake"),
            row(
                "button spigot length",
                self.spigot_length,
                "two fifths of the boss, so the pair do not meet in the bore",
            ),
            row("button rim", self.rim, "wide enough to steady a file; one button free to turn spares it"),
            row("button clamp hole", self.clamp_hole, "half the bore, so that the spigot keeps its strength"),
        ]
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn boss() -> Boss {
        Boss {
            diameter: Length::mm(12),
            bore: Length::mm(6),
            thickness: Length::mm(5),
            finish: Finish::Filed,
        }
    }

    #[test]
    fn buttons_follow_the_boss() {
        let found = filing_buttons(boss()).unwrap();
        assert_eq!((found.outside, found.spigot), (Length::mm(12), Length::mm_ratio(598, 100)));
        assert!(found.spigot_length * 2 < boss().thickness);
        let polished = filing_buttons(Boss { finish: Finish::Polished, ..boss() }).unwrap();
        assert_eq!(polished.outside, Length::mm_ratio(1195, 100));
        assert_eq!(polished.figures().len(), 5);
    }

    #[test]
    fn a_rim_under_a_millimetre_is_refused() {
        let fault = filing_buttons(Boss { bore: Length::mm_ratio(101, 10), ..boss() }).unwrap_err();
        assert!(fault.what().contains("0.95 mm"), "{fault}");
        assert!(filing_buttons(Boss { bore: Length::mm(10), ..boss() }).is_ok());
    }
}
