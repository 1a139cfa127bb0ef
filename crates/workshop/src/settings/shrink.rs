//! A ring or collar that is warmed until it drops over its shaft.
//!
//! The bore has to grow by what the shaft is larger, and by a play that lets it slip on before it
//! has cooled; the shaft stays at the warmth of the shop.

use super::show::{geometry, mm, number, positive, practice};
use crate::measure::{Length, Toward};
use crate::problem::Problem;
use crate::tables::expansion::Expansion;
use crate::tables::processes::limit;
use crate::why::{Figure, Why};

/// Temperatures are told in steps of this: no oven of a workshop is set nearer.
const OVEN_STEP: f64 = 5.0;

/// The warmth of the shop, °C, at which both were measured: ISO 1.
pub const ROOM_C: u32 = 20;

/// What is shrunk on.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Shrink<'a> {
    /// The metal that is warmed.
    pub ring: &'a Expansion,
    /// Its bore, cold.
    pub bore: Length,
    /// By how much the shaft is larger than that.
    pub over: Length,
    /// How much room there is to be when it goes on.
    pub play: Length,
    /// The warmth of the shop, °C.
    pub room_c: u32,
}

/// How warm it has to be.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Warmed<'a> {
    /// What was asked.
    pub asked: Shrink<'a>,
    /// How many degrees above the shop, as reckoned.
    pub rise_k: f64,
    /// What the ring is brought to, °C, rounded up.
    pub heat_c: u32,
}

/// The play that lets a hot ring slip on: a row of the table of limits.
pub fn usual_play() -> Length {
    limit("shrink play")
}

/// The degrees by which a bore is warmed until it has grown by so much.
pub fn rise_k(bore: Length, by: Length, per_k: f64) -> f64 {
    by.as_mm() / (bore.as_mm() * per_k)
}

/// Works out how warm the ring has to be.
///
/// # Errors
///
/// A [`Problem`] when a size is not more than nought, or the heat would spoil the metal.
pub fn shrink(asked: Shrink) -> Result<Warmed, Problem> {
    positive(asked.bore, "bore")?;
    positive(asked.over, "interference")?;
    positive(asked.play, "play")?;
    if asked.over > asked.bore {
        return Err(Problem::new(format!(
            "a shaft {} larger than a bore of {}",
            mm(asked.over),
            mm(asked.bore)
        ))
        .why("the interference is the difference of the two, a thousandth of the bore or two")
        .mend("give how much the shaft is larger, not its diameter"));
    }
    let rise_k = rise_k(asked.bore, asked.over + asked.play, asked.ring.per_k());
    let heat = f64::from(asked.room_c) + rise_k;
    // A hair above a step is that step: the coefficients are known to three figures.
    let heat_c = ((heat - 1e-6) / OVEN_STEP).ceil() * OVEN_STEP;
    let ring = asked.ring;
    if heat_c > f64::from(ring.at_most_c) {
        return Err(Problem::new(format!("a ring of {} would have to be {heat_c} °C", ring.material))
            .why(format!(
                "its bore of {} has to grow by {}, and above {} °C {} (from memory)",
                mm(asked.bore),
                mm(asked.over + asked.play),
                ring.at_most_c,
                ring.because
            ))
            .mend("make the interference or the play less, cool the shaft as well, or press it on"));
    }
    Ok(Warmed { asked, rise_k, heat_c: heat_c as u32 })
}

impl Warmed<'_> {
    /// How much room there is when it goes on, at the heat told.
    pub fn room(&self) -> Length {
        let grown = self.asked.bore.as_mm()
            * self.asked.ring.per_k()
            * (f64::from(self.heat_c) - f64::from(self.asked.room_c));
        Length::nearest(grown) - self.asked.over
    }

    /// What goes into the hot bore when it is hot enough: as wide as the shaft with its play.
    pub fn gauge(&self) -> Length {
        (self.asked.bore + self.asked.over + self.asked.play)
            .rounded(Length::mm_ratio(1, 100), Toward::More)
            .value
    }

    /// What is set and tried.
    pub fn figures(&self) -> Vec<Figure> {
        let Shrink { ring, bore, over, play, room_c } = self.asked;
        let grows = Why::new(format!(
            "{} grows by {} millionths for each degree",
            ring.material,
            number(ring.per_k() * 1e6, 1)
        ))
        .source(ring.source.to_string());
        let heat = geometry(format!(
            "a bore of {} has to grow by {}, which is {:.0} degrees above the shop's {room_c} °C; rounded up to what an \
             oven is set by",
            mm(bore),
            mm(over + play),
            self.rise_k
        ))
        .because(Why::new(format!("the shaft is {} larger, and {} lets it slip on", mm(over), mm(play))))
        .because(grows);
        let tried = practice(
            "when a pin or plug of this size goes into the hot bore the shaft will: try it before the ring leaves the heat",
        );
        let room =
            geometry("what the bore has grown, less what the shaft is larger; it is gone within seconds");
        let not_above = Why::new(format!(
            "above it {}; work that was hardened stays under the heat it was let down at",
            ring.because
        ))
        .source("from memory");
        vec![
            Figure::new("heat to", format!("{} °C", self.heat_c), heat),
            Figure::new("goes into the hot bore", mm(self.gauge()), tried),
            Figure::new(
                "play when hot",
                mm(self.room().rounded(Length::microns(1), Toward::Less).value),
                room,
            ),
            Figure::new("not above", format!("{} °C", ring.at_most_c), not_above),
        ]
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tables::expansion;
    use proptest::prelude::*;

    fn ring(metal: &str, bore: Length, over: Length, play: Length) -> Result<Warmed<'static>, Problem> {
        shrink(Shrink { ring: expansion::of(metal).unwrap(), bore, over, play, room_c: ROOM_C })
    }

    /// A school book's worked example (NCERT Physics XI, example 10.2): an iron ring of 5.231 m goes on a
    /// rim of 5.243 m, both measured at 27 °C; with 12 millionths a degree it is heated to 218 °C.
    #[test]
    fn a_tyre_is_heated_as_the_book_has_it() {
        let rise = rise_k(Length::mm(5231), Length::mm(12), 12e-6);
        assert_eq!((27.0 + rise).round(), 218.0);
    }

    /// By hand: (0.03 + 0.02) / (20 × 11.7e-6) is 213.7, so 233.7 and thus 235 °C; there the bore is
    /// 20 × 11.7e-6 × 215 = 0.0503 wider, and 0.0203 is left.
    #[test]
    fn a_collar_of_mild_steel() {
        let warmed = ring("mild steel", Length::mm(20), Length::microns(30), Length::microns(20)).unwrap();
        assert_eq!(warmed.heat_c, 235);
        let shown: Vec<String> = warmed.figures().into_iter().map(|figure| figure.shown).collect();
        assert_eq!(shown, ["235 °C", "20.05 mm", "0.02 mm", "400 °C"]);
    }

    #[test]
    fn what_the_heat_would_spoil_is_refused() {
        let thick =
            ring("aluminium alloy", Length::mm(8), Length::microns(14), Length::microns(20)).unwrap_err();
        assert!(thick.to_string().contains("205 °C") && thick.to_string().contains("150 °C"), "{thick}");
        for (bore, over, play) in [(0, 30, 20), (20_000, 0, 20), (20_000, 30, 0), (20_000, 20_030, 20)] {
            let [bore, over, play] = [bore, over, play].map(Length::microns);
            let fault = ring("mild steel", bore, over, play).unwrap_err();
            assert!(fault.reason().is_some() && fault.remedy().is_some(), "{fault}");
        }
    }

    proptest! {
        /// Whatever is told, the ring goes on with at least the play that was named, and five degrees
        /// less would not do.
        #[test]
        fn the_play_named_is_there(bore in 5_000i64..200_000, over in 1i64..80, play in 5i64..60) {
            let [bore, over, play] = [bore, over, play].map(Length::microns);
            if let Ok(warmed) = ring("brass", bore, over, play) {
                prop_assert!(warmed.room() >= play - Length::microns(1));
                let cooler = 20.5e-6 * bore.as_mm() * (f64::from(warmed.heat_c) - 5.0 - 20.0);
                prop_assert!(cooler < (over + play).as_mm());
            }
        }
    }
}
