//! Choosing an end mill for a cut: it must reach, fit the corner and fit the gap, and of those
//! that do it bends least.

use super::force::Mill;
use super::show::{geometry, mm, number, positive, practice};
use crate::bench::EndMill;
use crate::measure::Length;
use crate::problem::Problem;
use crate::why::{Figure, Why};

/// What the cut asks of the cutter.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Asked {
    /// The metal in contact with its flutes.
    pub depth: Length,
    /// The smallest inside corner in plan, where there is one.
    pub corner_radius: Option<Length>,
    /// The narrowest place that it must pass, where there is one: a slot's width.
    pub gap: Option<Length>,
}

/// Why a cutter will not do.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Refusal {
    /// Its flutes are shorter than the cut is deep.
    TooShort,
    /// It would leave a larger corner.
    CornerTooLarge,
    /// It does not pass the narrowest place.
    GapTooNarrow,
    /// It would do, and a stiffer one does too.
    LessStiff,
}

/// The cutter to use, and the others with what speaks against them.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CutterChoice {
    /// The cutter.
    pub chosen: EndMill,
    /// The rest, in the order they were given.
    pub refused: Vec<(EndMill, Refusal)>,
    asked: Asked,
}

/// The end mill that bends least under a load at its end, as it stands in its collet; of two
/// alike the first.
pub fn stiffest<'a>(mills: impl IntoIterator<Item = &'a EndMill>) -> Option<&'a EndMill> {
    mills.into_iter().min_by(|one, other| stiffer(one, other))
}

/// The one that bends less first, for sorting.
pub fn stiffer(one: &EndMill, other: &EndMill) -> std::cmp::Ordering {
    bends_mm(one).total_cmp(&bends_mm(other))
}

/// How far an end mill bends for each newton, in millimetres; one of no size bends for ever.
fn bends_mm(mill: &EndMill) -> f64 {
    let bends = Mill::from(mill).deflection_mm(1.0);
    if bends.is_finite() { bends } else { f64::INFINITY }
}

/// Chooses the end mill that bends least of those that serve. Stiffness goes with the fourth
/// power of the diameter and falls with the third of the length out of the collet, so the
/// thickest is not always the stiffest.
///
/// # Errors
///
/// A [`Problem`] when the depth is not more than nought or none owned serves,
/// saying what comes nearest to serving.
pub fn choose(owned: &[EndMill], asked: Asked) -> Result<CutterChoice, Problem> {
    positive(asked.depth, "depth of cut")?;
    let serves = |mill: &&EndMill| asked.refuses(mill).is_none();
    let Some(chosen) = stiffest(owned.iter().filter(serves)).cloned() else {
        return Err(asked.none_serves(owned));
    };
    let refused = owned
        .iter()
        .filter(|mill| **mill != chosen)
        .map(|mill| (mill.clone(), asked.refuses(mill).unwrap_or(Refusal::LessStiff)))
        .collect();
    Ok(CutterChoice { chosen, refused, asked })
}

impl Asked {
    /// What speaks against a cutter, if anything.
    fn refuses(&self, mill: &EndMill) -> Option<Refusal> {
        if mill.flute < self.depth {
            Some(Refusal::TooShort)
        } else if self.corner_radius.is_some_and(|corner| mill.diameter.half() > corner) {
            Some(Refusal::CornerTooLarge)
        } else if self.gap.is_some_and(|gap| mill.diameter > gap) {
            Some(Refusal::GapTooNarrow)
        } else {
            None
        }
    }

    /// The largest diameter that corner and gap allow.
    fn widest(&self) -> Option<Length> {
        self.corner_radius.map(|corner| corner * 2).into_iter().chain(self.gap).min()
    }

    fn none_serves(&self, owned: &[EndMill]) -> Problem {
        let size = self.widest().map_or(String::new(), |widest| format!(" at most {} across", mm(widest)));
        let why = match owned
            .iter()
            .filter(|m| self.refuses(m) == Some(Refusal::TooShort))
            .map(|m| m.flute)
            .max()
        {
            Some(longest) => format!("the longest flutes owned that might are {}", mm(longest)),
            None if owned.is_empty() => "no end mill is on the bench file".to_owned(),
            None => "every end mill owned is too large".to_owned(),
        };
        Problem::new(format!("no end mill owned cuts {} deep here", mm(self.depth))).why(why).mend(format!(
            "buy an end mill{size} with flutes of {} or more, or cut from both sides",
            mm(self.depth)
        ))
    }
}

impl Refusal {
    /// The words for the sheet.
    pub const fn reason(self) -> &'static str {
        match self {
            Self::TooShort => "its flutes are shorter than the cut is deep",
            Self::CornerTooLarge => "it would leave too large a corner",
            Self::GapTooNarrow => "it does not pass the narrowest place",
            Self::LessStiff => "a stiffer cutter serves too",
        }
    }
}

impl CutterChoice {
    /// The row of the sheet, the cutters refused among its reasons.
    pub fn figures(&self) -> Vec<Figure> {
        let mut needs = format!("the cut is {} deep", mm(self.asked.depth));
        if let Some(widest) = self.asked.widest() {
            needs.push_str(&format!(" and takes a cutter of at most {}", mm(widest)));
        }
        let (out, shank) = (self.chosen.stands_out(), self.chosen.shank_across());
        let stands = format!("{} out of the collet on a shank of {}", mm(out), mm(shank));
        let stands = match self.chosen.stick_out.and(self.chosen.shank) {
            Some(_) => geometry(stands),
            None => Why::assumed(format!("it is taken to stand {stands}")),
        };
        let bends = number(bends_mm(&self.chosen) * 100.0, 4);
        let why =
            practice(format!("of those that serve it bends least: {bends} mm for each 100 N at its end"))
                .because(stands)
                .because(Why::new(needs));
        let why = self.refused.iter().fold(why, |why, (mill, refusal)| {
            why.because(Why::new(format!("not the {} end mill: {}", mm(mill.diameter), refusal.reason())))
        });
        let shown = format!("{} end mill, flutes {}", mm(self.chosen.diameter), mm(self.chosen.flute));
        vec![Figure::new("cutter", shown, why)]
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn mill(diameter: i64, flute: i64) -> EndMill {
        EndMill::new(Length::mm(diameter), Length::mm(flute), 4)
    }

    fn asked(depth: i64, corner_radius: Option<i64>, gap: Option<i64>) -> Asked {
        Asked {
            depth: Length::mm(depth),
            corner_radius: corner_radius.map(Length::mm),
            gap: gap.map(Length::mm),
        }
    }

    #[test]
    fn the_stiffest_that_reaches_and_fits_is_taken() {
        let rack = [mill(3, 8), mill(6, 13), mill(10, 22), mill(10, 45), mill(16, 32)];
        for (ask, diameter, flute) in [
            (asked(5, None, None), 16, 32),
            (asked(5, Some(5), None), 10, 22),
            (asked(30, Some(5), None), 10, 45),
            (asked(5, Some(5), Some(7)), 6, 13),
        ] {
            assert_eq!(choose(&rack, ask).unwrap().chosen, mill(diameter, flute), "{ask:?}");
        }
        let refused = choose(&rack, asked(10, Some(5), None)).unwrap().refused;
        let reasons: Vec<Refusal> = refused.into_iter().map(|(_, reason)| reason).collect();
        assert_eq!(
            reasons,
            [Refusal::TooShort, Refusal::LessStiff, Refusal::LessStiff, Refusal::CornerTooLarge]
        );
    }

    #[test]
    fn where_none_serves_it_says_what_to_buy() {
        let fault = choose(&[mill(3, 8), mill(10, 22)], asked(12, Some(2), None)).unwrap_err();
        assert_eq!(fault.reason(), Some("the longest flutes owned that might are 8 mm"));
        assert!(fault.remedy().unwrap().contains("at most 4 mm across with flutes of 12 mm"), "{fault}");
        assert!(choose(&[], asked(12, None, None)).unwrap_err().reason().unwrap().contains("no end mill"));
        assert!(choose(&[mill(3, 8)], asked(0, None, None)).is_err());
    }

    /// A cantilever bends as the cube of its length and the fourth power of its diameter: 12 mm
    /// with flutes of 60 bends some 4 times as far as 10 mm with flutes of 22.
    #[test]
    fn a_long_thick_cutter_is_not_the_stiffest() {
        let rack = [mill(10, 22), mill(12, 60)];
        assert_eq!(choose(&rack, asked(15, None, None)).unwrap().chosen, mill(10, 22));
        assert_eq!(choose(&rack, asked(40, None, None)).unwrap().chosen, mill(12, 60));
        // Short in its collet, as the bench file may say, the thick one is.
        let short = EndMill { stick_out: Some(Length::mm(20)), ..mill(12, 18) };
        assert_eq!(choose(&[mill(10, 22), short.clone()], asked(15, None, None)).unwrap().chosen, short);
    }

    proptest! {
        /// Adding a cutter to the rack never makes the choice bend more.
        #[test]
        fn more_cutters_never_make_it_worse(
            rack in prop::collection::vec((1i64..20, 1i64..60), 1..8), more in (1i64..20, 1i64..60), depth in 1i64..30,
        ) {
            let mut rack: Vec<EndMill> = rack.into_iter().map(|(d, f)| mill(d, f)).collect();
            let before = choose(&rack, asked(depth, Some(6), None));
            rack.push(mill(more.0, more.1));
            let after = choose(&rack, asked(depth, Some(6), None));
            if let Ok(before) = before {
                prop_assert!(bends_mm(&after.unwrap().chosen) <= bends_mm(&before.chosen));
            }
        }
    }
}
