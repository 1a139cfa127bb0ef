//! A counterbore for a screw's head.

use super::show::{mm, positive, practice};
use crate::measure::Length;
use crate::problem::Problem;
use crate::why::Figure;

/// A head to be sunk, and the metal that it is sunk in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Head {
    /// Its diameter, as measured or from the screw's standard.
    pub diameter: Length,
    /// Its height.
    pub height: Length,
    /// How far it is to lie below the face.
    pub below: Length,
    /// The thickness of the metal.
    pub thickness: Length,
}

/// How the counterbore is cut.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Counterbore {
    /// The head asked for.
    pub head: Head,
    /// Its diameter: the head and its freedom.
    pub diameter: Length,
    /// Its depth from the face.
    pub depth: Length,
    /// The metal left under the head.
    pub floor: Length,
}

/// Works out a counterbore. `cutters` are the counterbores and end mills owned.
///
/// # Errors
///
/// A [`Problem`] when a size is not more than nought, no cutter owned clears the
/// head, or less than half the head's height is left under it.
pub fn counterbore(head: Head, cutters: &[Length]) -> Result<Counterbore, Problem> {
    positive(head.diameter, "diameter of the head")?;
    positive(head.height, "height of the head")?;
    positive(head.thickness, "thickness")?;
    let least = head.diameter + Length::mm_ratio(2, 10);
    let Some(diameter) = cutters.iter().copied().filter(|c| *c >= least).min() else {
        return Err(Problem::new(format!("no cutter owned clears a head of {}", mm(head.diameter)))
            .why("a head needs 0.2 mm of freedom on its diameter")
            .mend(format!("buy a counterbore or end mill of {} or a little over, or bore it", mm(least))));
    };
    let depth = head.height + head.below.max(Length::ZERO);
    let floor = head.thickness - depth;
    if floor < head.height.half() {
        return Err(Problem::new(format!(
            "a counterbore {} deep leaves {} under the head",
            mm(depth),
            mm(floor)
        ))
        .why(format!("half the head's height, {}, must carry it", mm(head.height.half())))
        .mend("use thicker metal, a lower head, or let the head stand out"));
    }
    Ok(Counterbore { head, diameter, depth, floor })
}

impl Counterbore {
    /// The rows of the sheet.
    pub fn figures(&self) -> Vec<Figure> {
        let width = practice(format!(
            "the smallest cutter owned that clears the head of {} by 0.2 mm",
            mm(self.head.diameter)
        ));
        let depth = practice(format!(
            "the head {} high, {} below the face",
            mm(self.head.height),
            mm(self.head.below)
        ));
        let floor = practice("at least half the head's height stays under it");
        vec![
            Figure::new("counterbore diameter", mm(self.diameter), width),
            Figure::new("counterbore depth", mm(self.depth), depth),
            Figure::new("metal under the head", mm(self.floor), floor),
        ]
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// ISO 4762: an M4 cap head is 7 in diameter and 4 high.
    #[test]
    fn a_cap_head_is_sunk_with_the_smallest_cutter_that_clears() {
        let head = Head {
            diameter: Length::mm(7),
            height: Length::mm(4),
            below: Length::mm_ratio(2, 10),
            thickness: Length::mm(8),
        };
        let mills = [6, 7, 8, 10].map(Length::mm);
        let found = counterbore(head, &mills).unwrap();
        assert_eq!((found.diameter, found.depth), (Length::mm(8), Length::mm_ratio(42, 10)));
        assert_eq!(found.floor, Length::mm_ratio(38, 10));
        assert!(counterbore(head, &mills[..2]).unwrap_err().remedy().unwrap().contains("7.2 mm"));
        assert!(counterbore(Head { thickness: Length::mm(6), ..head }, &mills).is_err());
    }
}
