//! Rolling a knurl: the blank it starts from, and how many ridges go round.

use num_rational::Ratio;

use super::show::{geometry, mm, positive, practice};
use crate::drawing::Pattern;
use crate::measure::{Length, Toward};
use crate::problem::Problem;
use crate::why::{Figure, Why};

/// Pitches that knurling wheels are made in, in tenths of a millimetre: DIN 403, with
/// the knurls of DIN 82.
pub const PITCHES: [i64; 6] = [5, 6, 8, 10, 12, 16];

/// A knurl to be rolled.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Knurl {
    /// Over the ridges.
    pub finished: Length,
    /// From one ridge to the next.
    pub pitch: Length,
    /// How the ridges run.
    pub pattern: Pattern,
}

/// How a knurl is rolled.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Rolling {
    /// The knurl asked for.
    pub knurl: Knurl,
    /// Turned to this before rolling.
    pub blank: Length,
    /// Ridges round that blank, as a whole number.
    pub ridges: u32,
}

/// The share of the pitch by which a knurl grows its blank: DIN 82:1973 for wheels
/// of 90°, straight grooves and crossed grooves with raised points.
const fn growth(pattern: Pattern) -> (i128, i128) {
    match pattern {
        Pattern::Straight => (50, 100),
        Pattern::Diamond => (67, 100),
    }
}

/// Works out the blank before a knurl.
///
/// # Errors
///
/// A [`Problem`] when a size is not more than nought or nothing would be left.
pub fn knurl(knurl: Knurl) -> Result<Rolling, Problem> {
    positive(knurl.finished, "diameter over the knurl")?;
    positive(knurl.pitch, "pitch of the knurl")?;
    let (top, over) = growth(knurl.pattern);
    let blank = (knurl.finished - knurl.pitch.scaled(Ratio::new(top, over)))
        .rounded(Length::microns(10), Toward::Nearest)
        .value;
    let ridges = blank.as_mm() * std::f64::consts::PI / knurl.pitch.as_mm();
    if ridges < 12.0 {
        return Err(Problem::new(format!(
            "a knurl of {} pitch does not go round {}",
            mm(knurl.pitch),
            mm(knurl.finished)
        ))
        .why("fewer than a dozen ridges are flutes")
        .mend("take a finer knurl"));
    }
    Ok(Rolling { knurl, blank, ridges: ridges.round() as u32 })
}

impl Rolling {
    /// Why the blank is smaller than what is wanted over the ridges.
    pub fn why_blank(&self) -> Why {
        let (top, over) = growth(self.knurl.pattern);
        let share = format!("0.{:02}", top * 100 / over);
        Why::new(format!(
            "the wheels raise the metal: a blank of {} comes out at {}, {share} of the pitch of {} more",
            mm(self.blank),
            mm(self.knurl.finished),
            mm(self.knurl.pitch)
        ))
        .source("DIN 82:1973, for wheels of 90°")
    }

    /// The rows of the sheet.
    pub fn figures(&self) -> Vec<Figure> {
        let ridges = geometry(format!(
            "the way round {} in pitches of {}, to the nearest whole ridge",
            mm(self.blank),
            mm(self.knurl.pitch)
        ))
        .because(practice(
            "try the wheels lightly through one turn: where the ridges double, take a few hundredths off and try again",
        ));
        let over = practice("calliper over the ridges, oiled, the pressure raised until they come to points");
        vec![
            Figure::new("blank before the knurl", format!("⌀ {}", mm(self.blank)), self.why_blank()),
            Figure::new("ridges", self.ridges.to_string(), ridges),
            Figure::new(
                "over the ridges",
                format!("⌀ {}, about", mm(self.knurl.finished)),
                over.because(self.why_blank()),
            ),
        ]
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// DIN 82:1973 as printed: d2 = d1 - 0.5 t for RAA, d1 - 0.67 t for RGE.
    #[test]
    fn blanks_agree_with_the_standard() {
        for (finished, pitch, straight, diamond) in
            [(20_000, 800, 19_600, 19_460), (12_000, 1000, 11_500, 11_330), (30_000, 1600, 29_200, 28_930)]
        {
            let blank = |pattern| {
                let asked =
                    Knurl { finished: Length::microns(finished), pitch: Length::microns(pitch), pattern };
                knurl(asked).unwrap().blank
            };
            assert_eq!(blank(Pattern::Straight), Length::microns(straight));
            assert_eq!(blank(Pattern::Diamond), Length::microns(diamond));
        }
    }

    /// A wheel of 40 ridges rolled once round a blank makes as many: the blank is then
    /// 40 pitches round, by a string laid on it.
    #[test]
    fn ridges_are_counted_round_the_blank() {
        let pitch = Length::mm(1);
        let blank_mm = 40.0 / std::f64::consts::PI;
        let finished = Length::nearest(blank_mm + 0.5);
        assert_eq!(knurl(Knurl { finished, pitch, pattern: Pattern::Straight }).unwrap().ridges, 40);
        assert!(knurl(Knurl { finished: Length::mm(3), pitch, pattern: Pattern::Diamond }).is_err());
        assert!(knurl(Knurl { finished, pitch: Length::ZERO, pattern: Pattern::Diamond }).is_err());
    }
}
