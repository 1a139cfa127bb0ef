//! Filing buttons for a rounding that has no bore: plain discs as large as the rounding, one
//! on each face, set to its scribed circle or flush with the two sides that it joins.

use super::show::{mm, practice};
use crate::measure::Length;
use crate::problem::Problem;
use crate::why::Figure;

/// What shows where the discs lie.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Lie {
    /// A small hole in the middle, over the punched centre of a rounded end.
    OverItsCentre,
    /// Flush with both sides of a corner, by a straight edge.
    FlushWithBothSides,
}

/// A pair of discs, turned to these sizes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Discs {
    /// Their outside diameter.
    pub outside: Length,
    /// How thick they are.
    pub thick: Length,
    /// The hole that their centre is seen through, where they lie by it.
    pub sight: Option<Length>,
    /// What they lie by.
    pub lie: Lie,
}

/// The smallest disc that can be set and filed against; common practice.
fn smallest() -> Length {
    Length::mm(6)
}

/// Works out a pair of discs for a rounding of this diameter.
///
/// # Errors
///
/// A [`Problem`] when it is under 6 mm.
pub fn plain_buttons(diameter: Length, lie: Lie) -> Result<Discs, Problem> {
    if diameter < smallest() {
        return Err(Problem::new(format!(
            "a button of {} is too small to set and to file against",
            mm(diameter)
        ))
        .why(format!(
            "a disc under {} is lost under the file, and hides nothing of its width",
            mm(smallest())
        ))
        .mend("file the rounding to a radius gauge"));
    }
    let sight = (lie == Lie::OverItsCentre).then(|| Length::mm(2));
    Ok(Discs { outside: diameter, thick: Length::mm(6), sight, lie })
}

/// Whether a rounding of this diameter may be filed to plain discs.
pub fn serves(diameter: Length) -> bool {
    diameter >= smallest()
}

impl Discs {
    /// The rows of the sheet.
    pub fn figures(&self) -> Vec<Figure> {
        let mut rows = vec![
            Figure::new(
                "button outside diameter",
                mm(self.outside),
                practice("the finished rounding: file until the file only touches the buttons"),
            ),
            Figure::new(
                "button thickness",
                mm(self.thick),
                practice("wide enough to steady a file, and for jaws to hold while the second side is faced"),
            ),
        ];
        rows.extend(self.sight.map(|hole| {
            Figure::new(
                "sight hole",
                mm(hole),
                practice("the punched centre is seen in the middle of it, as nearly as the eye tells: a tenth or two"),
            )
        }));
        rows
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn discs_are_as_large_as_the_rounding_and_none_is_too_small_to_hold() {
        let end = plain_buttons(Length::mm(12), Lie::OverItsCentre).expect("it serves");
        assert_eq!((end.outside, end.sight), (Length::mm(12), Some(Length::mm(2))));
        assert_eq!(end.figures().len(), 3);
        let corner = plain_buttons(Length::mm(6), Lie::FlushWithBothSides).expect("it serves");
        assert_eq!((corner.sight, corner.figures().len()), (None, 2));
        let fault = plain_buttons(Length::microns(5999), Lie::FlushWithBothSides).unwrap_err();
        assert!(fault.to_string().contains("radius gauge"), "{fault}");
        assert!(serves(Length::mm(6)) && !serves(Length::microns(5999)));
    }
}
