//! Cutting an outside thread in the lathe: its depth, and passes that grow lighter.

use super::lathe::why_dial;
use super::show::{as_set, geometry, mm, positive, practice};
use crate::bench::DialReads;
use crate::measure::{Length, Rounded, Toward};
use crate::problem::Problem;
use crate::settings::position::rounding;
use crate::tables::threads::{Form, Thread};
use crate::why::{Figure, Why};

/// The most passes that anyone takes for one thread.
const MOST_PASSES: u32 = 60;

/// A thread to be cut.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Cut {
    /// The thread.
    pub thread: &'static Thread,
    /// What it is turned to before its thread.
    pub blank: Length,
    /// The first pass, square to the axis.
    pub first: Length,
    /// A division of the cross-slide's dial, as it is marked.
    pub step: Length,
    /// What that dial shows.
    pub dial: DialReads,
}

/// The passes of a thread.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ScrewCutting {
    /// What was asked.
    pub cut: Cut,
    /// From crest to root, square to the axis.
    pub depth: Length,
    /// From the blank to the root: where it is turned under size the tool goes in so much less.
    pub from_blank: Length,
    /// What the dial shows after each pass, from a touch on the blank.
    pub passes: Vec<Rounded>,
}

/// Depth of an outside thread of a pitch of one, in hundred-thousandths.
///
/// Metric and unified: 17/24 of the height of the sharp triangle, 0.61343 (ISO 724,
/// minor diameter of the screw at its root). Whitworth 0.64033 (BS 84), British
/// Association 0.6 (BS 93).
const fn depth_of(form: Form) -> i128 {
    match form {
        Form::Metric60 | Form::Unified60 => 61_343,
        Form::Whitworth55 => 64_033,
        Form::Ba47 => 60_000,
    }
}

/// The core of a screw: its diameter at the root of the thread.
pub fn root(thread: &Thread) -> Length {
    thread.major - thread.pitch.scaled(num_rational::Ratio::new(depth_of(thread.form()) * 2, 100_000))
}

/// Works out the passes: each takes as much metal as the first, so that the tool, which
/// cuts along more of its edge each time, never takes more.
///
/// # Errors
///
/// A [`Problem`] when a size is not more than nought, the first pass takes it all, or
/// there would be too many passes.
pub fn screw_cutting(cut: Cut) -> Result<ScrewCutting, Problem> {
    positive(cut.first, "first pass")?;
    positive(cut.step, "step of the dial")?;
    let depth = cut.thread.pitch.scaled(num_rational::Ratio::new(depth_of(cut.thread.form()), 100_000));
    let from_blank = (cut.blank - root(cut.thread)).half();
    if cut.blank > cut.thread.major || !from_blank.is_positive() {
        return Err(Problem::new(format!("{} on a blank of {}", cut.thread.designation, mm(cut.blank)))
            .why(format!(
                "it lies between the {} of its root and its {} over all",
                mm(root(cut.thread)),
                mm(cut.thread.major)
            ))
            .mend("turn the blank to the thread’s size, or a tenth of its pitch under it"));
    }
    if cut.first >= from_blank {
        return Err(Problem::new(format!("a first pass of {} takes the whole thread", mm(cut.first)))
            .why(format!("{} is {} deep from its blank", cut.thread.designation, mm(from_blank)))
            .mend("take a lighter first pass"));
    }
    // The metal taken so far grows with the square of the depth.
    let count = (from_blank.as_mm() / cut.first.as_mm()).powi(2).ceil();
    if count > f64::from(MOST_PASSES) {
        return Err(Problem::new(format!("a first pass of {} leaves {count} of them", mm(cut.first)))
            .why(format!("nobody takes more than {MOST_PASSES} for one thread"))
            .mend("take a deeper first pass"));
    }
    let count = count as u32;
    let at = |n: u32| Length::nearest(from_blank.as_mm() * (f64::from(n) / f64::from(count)).sqrt());
    let passes = (1..=count)
        .map(|n| if n == count { from_blank } else { at(n) })
        .map(|deep| cut.dial.shows(deep).rounded(cut.step, Toward::Nearest))
        .collect();
    Ok(ScrewCutting { cut, depth, from_blank, passes })
}

impl ScrewCutting {
    /// The rows of the sheet.
    pub fn figures(&self) -> Vec<Figure> {
        let thread = self.cut.thread;
        let source = match thread.form() {
            Form::Metric60 | Form::Unified60 => "ISO 724",
            Form::Whitworth55 => "BS 84",
            Form::Ba47 => "BS 93",
        };
        let why_depth =
            Why::new(format!("0.{:05} of the pitch, {}", depth_of(thread.form()), mm(thread.pitch)))
                .source(source);
        let why_blank = geometry(format!(
            "from a touch on the blank of {}: {} to the root of {}",
            mm(self.cut.blank),
            mm(self.from_blank),
            mm(root(thread))
        ));
        let last = self.passes.len() - 1;
        let mut figures = vec![Figure::new("depth of thread", mm(self.depth), why_depth.clone())];
        figures.extend(self.passes.iter().enumerate().map(|(n, pass)| {
            let rule = if n == last {
                practice("the last: try the nut, or measure over wires, before it and after it")
            } else {
                geometry(
                    "as much metal each time: the depth grows with the square root of the number of passes",
                )
            };
            let why = rule
                .because(rounding(*pass, self.cut.step))
                .because(why_dial(self.cut.dial))
                .because(why_blank.clone())
                .because(why_depth.clone());
            Figure::new(format!("pass {}", n + 1), format!("dial {}", as_set(pass.value, self.cut.step)), why)
        }));
        figures
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tables::threads::find;

    fn passes(thread: &str, first: i64) -> ScrewCutting {
        let thread = find(thread).unwrap();
        screw_cutting(Cut {
            thread,
            blank: thread.major,
            first: Length::microns(first),
            step: Length::microns(10),
            dial: DialReads::Radius,
        })
        .unwrap()
    }

    /// Root depths as published: M10, minor diameter of the screw 8.160, so 0.92 deep;
    /// M16, 13.546; 1/2 Whitworth, core 0.3932 in; 2 BA, core 3.73 mm.
    #[test]
    fn depths_agree_with_printed_cores() {
        let core_mm = |name: &str| {
            let thread = find(name).unwrap();
            thread.major.as_mm() - 2.0 * passes(name, 200).depth.as_mm()
        };
        for (name, printed_mm, within_mm) in [
            ("M10", 8.160, 0.001),
            ("M16", 13.546, 0.001),
            ("1/2 BSW", 0.3932 * 25.4, 0.005),
            ("2 BA", 3.73, 0.005),
        ] {
            assert!((core_mm(name) - printed_mm).abs() < within_mm, "{name}: {}", core_mm(name));
        }
    }

    /// The area of a triangle grows with the square of its height: every pass takes as
    /// much as the first, within what rounding to the dial does.
    #[test]
    fn every_pass_takes_as_much_metal() {
        let cut = passes("M12", 300);
        let squares: Vec<f64> = cut.passes.iter().map(|p| (p.value - p.loss).as_mm().powi(2)).collect();
        let each = squares[squares.len() - 1] / squares.len() as f64;
        for (n, pair) in squares.windows(2).enumerate() {
            assert!((pair[1] - pair[0] - each).abs() < 1e-5, "pass {}", n + 2);
        }
        assert!(squares[0].sqrt() <= 0.3 && cut.passes.len() == 13, "{}", cut.passes.len());
    }

    /// A blank turned under size, then so far in by the dial, leaves the printed core: with the whole depth
    /// from a touch on it M10 came to 8.01.
    #[test]
    fn the_last_pass_leaves_the_printed_core() {
        for (name, blank_um, printed_mm) in
            [("M10", 9_850, 8.160), ("M16", 15_800, 13.546), ("M6", 5_900, 4.773)]
        {
            let cut = Cut { blank: Length::microns(blank_um), ..passes(name, 200).cut };
            let last = *screw_cutting(cut).unwrap().passes.last().unwrap();
            let core_mm = cut.blank.as_mm() - 2.0 * (last.value - last.loss).as_mm();
            assert!((core_mm - printed_mm).abs() < 0.001, "{name}: {core_mm}");
        }
        let thick = Cut { blank: Length::mm(11), ..passes("M10", 200).cut };
        assert!(screw_cutting(thick).is_err());
    }

    /// 0.92 deep for M10: a dial of the diameter shows twice that.
    #[test]
    fn a_dial_of_the_diameter_shows_twice_the_depth() {
        let cut = Cut { dial: DialReads::Diameter, ..passes("M10", 200).cut };
        let last = *screw_cutting(cut).unwrap().passes.last().unwrap();
        assert_eq!(last.value, Length::mm_ratio(184, 100));
    }

    #[test]
    fn a_first_pass_too_deep_or_too_light_is_refused() {
        let thread = find("M6").unwrap();
        let ask = |first| {
            screw_cutting(Cut {
                thread,
                blank: thread.major,
                first,
                step: Length::microns(10),
                dial: DialReads::Radius,
            })
        };
        assert!(ask(Length::mm(1)).is_err());
        assert!(ask(Length::microns(20)).unwrap_err().what().contains("leaves"));
        assert!(ask(Length::ZERO).is_err());
    }
}
