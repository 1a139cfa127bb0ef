//! The weight that balances work whose middle lies beside the axis it turns about.

use super::show::{geometry, mm, positive, practice};
use crate::measure::{Length, Toward};
use crate::problem::Problem;
use crate::tables::processes::limit;
use crate::why::{Figure, Why};

/// A body out of balance: how heavy, and how far its middle lies from the axis it turns about.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Heavy {
    /// What it weighs.
    pub grams: f64,
    /// From its middle to the axis, in millimetres.
    pub off_mm: f64,
    /// What the lathe swings, across.
    pub swing: Length,
}

/// The weight to bolt on across from it; nothing where that is too little to shake a lathe.
///
/// # Errors
///
/// A [`Problem`] when it weighs nothing, or the lathe swings nothing.
pub fn balance(heavy: Heavy) -> Result<Option<Figure>, Problem> {
    positive(heavy.swing, "swing of the lathe")?;
    if !(heavy.grams.is_finite() && heavy.grams > 0.0 && heavy.off_mm.is_finite() && heavy.off_mm >= 0.0) {
        return Err(Problem::new(format!("work of {} g, {} mm off the axis", heavy.grams, heavy.off_mm))
            .why("it weighs more than nothing, and its middle lies no less than nothing from the axis")
            .mend("give both as weighed and measured"));
    }
    let moment = heavy.grams * heavy.off_mm;
    // Near the rim of plate or chuck, which is smaller than what the lathe swings.
    let out = (heavy.swing * 3 / 10).rounded(Length::mm(5), Toward::Less).value.max(Length::mm(5));
    let weight = moment / out.as_mm();
    if weight < limit("balanced from").as_mm() {
        return Ok(None);
    }
    let supposed = Why::assumed(format!(
        "a weight bolted on at {}, three tenths of what the lathe swings: elsewhere it has the same moment",
        mm(out)
    ))
    .source("common practice");
    let tried = practice(
        "with the belt off, turned by hand and let go, it stays wherever it stops: clamps and chuck have their part in it",
    );
    let why = geometry(format!("{:.0} g × {:.1} mm = {moment:.0} g mm", heavy.grams, heavy.off_mm))
        .because(supposed)
        .because(tried);
    let shown = format!("{moment:.0} g mm: about {weight:.0} g at {}, across from the heavy side", mm(out));
    Ok(Some(Figure::new("balance it with", shown, why)))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By hand: 769 g set over by 3 mm is 2307 g mm; a lathe that swings 180 bears the weight at 50: 46 g.
    #[test]
    fn the_moments_are_equal() {
        let heavy = Heavy { grams: 769.0, off_mm: 3.0, swing: Length::mm(180) };
        let shown = balance(heavy).unwrap().unwrap().shown;
        assert_eq!(shown, "2307 g mm: about 46 g at 50 mm, across from the heavy side");
        assert_eq!(balance(Heavy { off_mm: 0.5, ..heavy }).unwrap(), None);
        for bad in [f64::NAN, -1.0, 0.0] {
            assert!(balance(Heavy { grams: bad, ..heavy }).is_err());
        }
    }
}
