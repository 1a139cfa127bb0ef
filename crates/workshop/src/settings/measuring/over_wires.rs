//! A thread measured over three wires.

use crate::measure::Length;
use crate::problem::Problem;
use crate::settings::show::{geometry, mm, positive, practice};
use crate::tables::threads::Thread;
use crate::why::{Figure, Why};

/// A thread and the wires to measure it with.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct OverWires {
    /// The thread.
    pub thread: &'static Thread,
    /// Across each wire.
    pub wire: Length,
    /// The reading at the basic pitch diameter.
    pub over: Length,
    /// The wire that touches at the pitch diameter itself.
    pub best: Length,
    /// The thinnest wire that stands out of the thread.
    pub least: Length,
    /// The thickest that still touches the flanks below the crest.
    pub greatest: Length,
}

/// The wires that a thread can be measured with: least, best and greatest.
///
/// The best touches at the pitch diameter, `P / (2 cos a)` with `a` half the thread's
/// angle; the least is flush with the crests and the greatest touches at them.
pub fn wires(thread: &Thread) -> [Length; 3] {
    let half_rad = thread.form().half_angle_rad();
    let (pitch_mm, crest_mm) = (thread.pitch.as_mm(), (thread.major - thread.pitch_diameter).as_mm());
    let (sin, cos) = half_rad.sin_cos();
    let best_mm = pitch_mm / (2.0 * cos);
    let least_mm = (crest_mm + pitch_mm / (2.0 * half_rad.tan())) / (1.0 + 1.0 / sin);
    let greatest_mm = best_mm + crest_mm * sin / cos.powi(2);
    [least_mm, best_mm, greatest_mm].map(Length::nearest)
}

/// Works out the reading over three wires.
///
/// `E + W (1 + 1/sin a) - P / (2 tan a)`: the small correction for the thread's slope,
/// `W/2 tan² s cos a / tan a` (NBS Handbook H28, from memory), is left out of single threads, where it
/// is a thousandth of a millimetre or two, and added to those of several starts.
///
/// # Errors
///
/// A [`Problem`] when the wire is not more than nought, sinks into the thread, or rides on
/// its crests.
pub fn over_wires(thread: &'static Thread, wire: Length) -> Result<OverWires, Problem> {
    positive(wire, "wire")?;
    let [least, best, greatest] = wires(thread);
    if wire < least || wire > greatest {
        let how = if wire < least { "sinks below the crests" } else { "rides on the crests" };
        return Err(Problem::new(format!("a wire of {} {how} of {}", mm(wire), thread.designation))
            .why(format!("it takes wires from {} to {} mm", least.decimals(3), greatest.decimals(3)))
            .mend(format!("use wires near {} mm, all three alike", best.decimals(3))));
    }
    let half_rad = thread.form().half_angle_rad();
    let slope = thread.lead().as_mm() / (thread.pitch_diameter.as_mm() * std::f64::consts::PI);
    let leans_mm = match thread.starts {
        1 => 0.0,
        _ => wire.as_mm() / 2.0 * slope.powi(2) * half_rad.cos() / half_rad.tan(),
    };
    let more_mm = leans_mm + wire.as_mm() * (1.0 + 1.0 / half_rad.sin())
        - thread.pitch.as_mm() / (2.0 * half_rad.tan());
    let over = thread.pitch_diameter + Length::nearest(more_mm);
    Ok(OverWires { thread, wire, over, best, least, greatest })
}

impl OverWires {
    /// The rows of the sheet.
    pub fn figures(&self) -> Vec<Figure> {
        let thread = self.thread;
        let sizes = Why::new(format!(
            "{}: pitch {}, pitch diameter {}",
            thread.designation,
            mm(thread.pitch),
            mm(thread.pitch_diameter)
        ))
        .source(thread.source.to_string());
        let over = geometry(format!(
            "the basic pitch diameter, and the wires of {} as they lie between the flanks",
            mm(self.wire)
        ))
        .because(sizes.clone())
        .because(practice("a nut wants it a little less than basic: less by what the fit allows"));
        let touch = geometry("touches the flanks at the pitch diameter, where an error of angle does least")
            .because(sizes.clone());
        let range = geometry("from flush with the crests to touching at them").because(sizes);
        vec![
            Figure::new("over the wires", format!("{} mm", self.over.decimals(3)), over),
            Figure::new("best wire", format!("{} mm", self.best.decimals(3)), touch),
            Figure::new(
                "wires that will do",
                format!("{} to {} mm", self.least.decimals(3), self.greatest.decimals(3)),
                range,
            ),
        ]
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tables::threads::find;

    /// Two workshop pages with the same example: 7/16 in, 14 to the inch, wires of 0.045 in,
    /// 0.464 in over them by `M = D + 3 W - 1.5155 / N`.
    #[test]
    fn the_reading_agrees_with_a_printed_example() {
        let found = over_wires(find("7/16-14 UNC").unwrap(), Length::thou(45)).unwrap();
        assert!((found.over.as_inches() - 0.464_25).abs() < 6e-4, "{}", found.over);
    }

    /// Wires lie askew in a steep thread and ride higher.
    #[test]
    fn wires_ride_higher_in_a_steep_thread() {
        let [one, three] = ["M12x1", "M12x1 3 starts"]
            .map(|name| over_wires(find(name).unwrap(), Length::microns(577)).unwrap().over);
        let higher_mm = (three - one).as_mm();
        // tan s = 3 / (π 11.350) = 0.0841; 0.2885 × 0.00708 × 1.5.
        assert!((higher_mm - 0.003_06).abs() < 5e-5, "{higher_mm}");
    }

    /// Three-wire constants for 60° threads of pitch one, as handbooks print them: best
    /// 0.577350, greatest 1.010363, least 0.505182 (from memory); Whitworth best 0.563691.
    #[test]
    fn wires_agree_with_the_printed_constants() {
        let of = |name: &str| {
            let thread = find(name).unwrap();
            wires(thread).map(|wire| wire.as_mm() / thread.pitch.as_mm())
        };
        for (found, printed) in of("M10").into_iter().zip([0.505_182, 0.577_350, 1.010_363]) {
            assert!((found - printed).abs() < 2e-4, "{found} against {printed}");
        }
        assert!((of("1/2 BSW")[1] - 0.563_691).abs() < 1e-5);
    }

    /// The wire touches the flank: checked from the thread's own profile, drawn as a line.
    #[test]
    fn a_wire_touches_the_flank() {
        for name in ["M6", "4 BA", "1/4 BSF", "1/4-20 UNC"] {
            let thread = find(name).unwrap();
            for wire in wires(thread) {
                let Ok(found) = over_wires(thread, wire) else { continue };
                let radius_mm = wire.as_mm() / 2.0;
                let centre_mm = found.over.as_mm() / 2.0 - radius_mm;
                // The flank crosses the pitch line a quarter pitch from the groove's middle.
                let half_rad = thread.form().half_angle_rad();
                let below_mm = centre_mm - thread.pitch_diameter.as_mm() / 2.0;
                let away_mm = (thread.pitch.as_mm() / 4.0) * half_rad.cos() + below_mm * half_rad.sin();
                assert!((away_mm - radius_mm).abs() < 1e-5, "{name}: {away_mm} against {radius_mm}");
            }
        }
    }

    #[test]
    fn a_wire_too_thin_or_too_thick_is_refused() {
        let thread = find("M6").unwrap();
        assert!(over_wires(thread, Length::microns(300)).unwrap_err().what().contains("sinks"));
        assert!(over_wires(thread, Length::mm(2)).unwrap_err().what().contains("rides"));
        assert!(over_wires(thread, Length::ZERO).is_err());
    }
}
