//! Lengths and angles as a person would type them into a part file.

use super::report::Rounded;
use crate::measure::{Angle, Length, Unit};

/// How near a length must come to a step to be that step, in the part's unit.
const NEAT: f64 = 1e-6;
/// What moves by no more than this, in millimetres, has not moved.
const UNMOVED_MM: f64 = 1e-7;

/// Writes lengths, and keeps what rounding did to each.
pub(super) struct Words {
    pub unit: Unit,
    /// Decimals of a millimetre for what is not neat; one more of an inch.
    pub places: u32,
    pub rounded: Vec<Rounded>,
}

impl Words {
    /// The text for a length that has a name.
    pub fn length(&mut self, name: &str, mm: f64) -> String {
        let (text, written_mm) = shown(mm, self.unit, self.places);
        let moved_mm = written_mm - mm;
        if moved_mm.abs() > UNMOVED_MM {
            self.rounded.push(Rounded { name: name.to_owned(), written: text.clone(), moved_mm });
        }
        text
    }

    /// The text for a direction; `reach_mm` is how far from its centre it counts.
    pub fn angle(&mut self, name: &str, rad: f64, reach_mm: f64) -> String {
        let exact = Angle::nearest_rad(rad);
        let shown = exact.decimals(if exact.decimals(2) == exact.decimals(6).replace("0000°", "°") {
            2
        } else {
            4
        });
        let number = shown.trim_end_matches('°');
        let number =
            if number.contains('.') { number.trim_end_matches('0').trim_end_matches('.') } else { number };
        let written: f64 = number.parse().unwrap_or_default();
        let moved_mm = (written.to_radians() - rad) * reach_mm;
        let text = format!("{number}°");
        if moved_mm.abs() > UNMOVED_MM {
            self.rounded.push(Rounded { name: name.to_owned(), written: text.clone(), moved_mm });
        }
        text
    }
}

/// True for a length on a step that drawings of this unit use.
pub(super) fn is_neat(mm: f64, unit: Unit) -> bool {
    let step_mm = match unit {
        Unit::Inch => 25.4 / 64.0,
        Unit::Mm => 0.01,
    };
    (mm / step_mm - (mm / step_mm).round()).abs() * step_mm <= NEAT * unit.one().as_mm()
}

/// A length in the unit of the part, exactly where it lies on a step that drawings
/// use, and what was written in millimetres.
fn shown(mm: f64, unit: Unit, places: u32) -> (String, f64) {
    let neat_mm = NEAT * unit.one().as_mm();
    let on = |step: Length| {
        let count = (mm / step.as_mm()).round();
        let length = step * count as i64;
        ((length.as_mm() - mm).abs() <= neat_mm).then_some(length)
    };
    let (sixty_fourth, thou, hundredth) = (Length::inches(1, 64), Length::thou(1), Length::mm_ratio(1, 100));
    let fraction = |length: Length| (length.as_inch_fraction().expect("whole sixty-fourths"), length.as_mm());
    let metric = |length: Length| (length.shown(2), length.as_mm());
    match unit {
        Unit::Inch => on(sixty_fourth)
            .map(fraction)
            .or_else(|| on(thou).map(|length| (inches(length, 3), length.as_mm())))
            .or_else(|| on(hundredth).map(metric).map(|(text, mm)| (format!("{text} mm"), mm)))
            .unwrap_or_else(|| {
                let (scale, places) = (10_f64.powi(places as i32 + 1), places + 1);
                let count = (mm / 25.4 * scale).round();
                let length = Length::inches(count as i128, scale as i128);
                (inches(length, places), length.as_mm())
            }),
        Unit::Mm => on(hundredth)
            .map(metric)
            .or_else(|| on(sixty_fourth).map(fraction).map(|(text, mm)| (format!("{text} in"), mm)))
            .unwrap_or_else(|| {
                let scale = 10_f64.powi(places as i32);
                let length = Length::mm_ratio((mm * scale).round() as i128, scale as i128);
                (length.shown(places), length.as_mm())
            }),
    }
}

/// Decimal inches without their last noughts.
fn inches(length: Length, places: u32) -> String {
    let scale = 10_i128.pow(places);
    let count = (length.ratio_to(Length::inches(1, 1)) * scale).round().to_integer();
    Length::mm_ratio(count, scale).shown(places)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::measure::read_length;
    use proptest::prelude::*;

    #[test]
    fn what_lies_on_a_step_is_written_as_that_step() {
        for (mm, unit, text) in [
            (46.83125, Unit::Inch, "1 27/32"),
            (11.1252, Unit::Inch, "0.438"),
            (11.1, Unit::Inch, "11.1 mm"),
            (3.241_592_65, Unit::Inch, "0.1276"),
            (46.83, Unit::Mm, "46.83"),
            (21.43125, Unit::Mm, "27/32 in"),
            (3.241_592_65, Unit::Mm, "3.242"),
            (7.0, Unit::Mm, "7"),
            (0.0, Unit::Mm, "0"),
        ] {
            assert_eq!(shown(mm, unit, 3).0, text, "{mm}");
        }
        // Just on, and just off, the 1e-6 of an inch that the last digit of a file leaves.
        assert_eq!(shown(25.4 * 0.843_750_9, Unit::Inch, 3).0, "27/32");
        assert_eq!(shown(25.4 * 0.843_752, Unit::Inch, 5).0, "0.843752");
    }

    #[test]
    fn what_moves_is_kept_with_its_amount() {
        let mut words = Words { unit: Unit::Mm, places: 3, rounded: Vec::new() };
        assert_eq!(words.length("hole 1: diameter", 5.0), "5");
        assert_eq!(words.length("hole 2: diameter", 5.000_4), "5");
        assert_eq!(words.angle("slot: along", 30_f64.to_radians(), 10.0), "30°");
        assert_eq!(words.angle("slot: along", 32.5_f64.to_radians(), 10.0), "32.5°");
        assert_eq!(words.rounded.len(), 1);
        assert!((words.rounded[0].moved_mm + 4e-4).abs() < 1e-9, "{:?}", words.rounded);
    }

    proptest! {
        /// Read back, every length is where the writer says it is, and moved by
        /// half a step at most, or by what a neat step may be missed.
        #[test]
        fn what_is_written_reads_back(mm in 0.0..900.0f64, inch: bool, places in 3u32..6) {
            let unit = if inch { Unit::Inch } else { Unit::Mm };
            let (text, written_mm) = shown(mm, unit, places);
            let read = read_length(&text, Some(unit)).unwrap().length;
            prop_assert!((read.as_mm() - written_mm).abs() < 1e-9, "{text}");
            let most_mm = (0.51 * 25.4 * 10_f64.powi(-(places as i32) - 1)).max(1.01 * NEAT * 25.4);
            prop_assert!((written_mm - mm).abs() <= most_mm, "{text}");
        }
    }
}
