//! Drilling and reaming for a taper pin.
//!
//! The hole is reamed until the pin stands out a little by thumb, and driven the
//! rest. Stepped drills save the reamer: each goes as deep as leaves it metal.

use super::show::{geometry, mm, positive, practice};
use crate::measure::Length;
use crate::problem::Problem;
use crate::tables::drills::Drill;
use crate::tables::taper_pins::TaperPin;
use crate::why::{Figure, Why};

/// A pin through a boss or shaft.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Pinning {
    /// The pin.
    pub pin: TaperPin,
    /// Its length.
    pub length: Length,
    /// The thickness that it passes through.
    pub through: Length,
    /// How far its large end stands out when home.
    pub proud: Length,
}

/// One drill of the steps.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Step {
    /// The drill.
    pub drill: Drill,
    /// How deep from the entry; the first goes right through.
    pub depth: Length,
}

/// How the hole is made.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TaperHole {
    /// What was asked for.
    pub pinning: Pinning,
    /// The pin's small end.
    pub small_end: Length,
    /// The pin's large end.
    pub large_end: Length,
    /// The finished hole where the pin goes in.
    pub entry: Length,
    /// The finished hole where the pin comes out.
    pub exit: Length,
    /// Drills, the smallest first and right through.
    pub steps: Vec<Step>,
    /// How far the reamer goes on after it first touches, at the mouth of the widest drill.
    pub ream_on: Length,
}

/// What the reamer must find on the diameter, common practice.
fn reaming_allowance() -> Length {
    Length::mm_ratio(4, 100)
}

/// The most drills worth changing, common practice.
const MOST_STEPS: usize = 3;

/// In its own diameters: twice what the longest of the standard are (ISO 2339: 20 to 25, from memory).
const LONGEST: i64 = 50;

/// Works out the drills and the reaming for a taper pin.
///
/// # Errors
///
/// A [`Problem`] when a length is not more than nought, the pin is too short to
/// pass through, or no drill owned is small enough for the exit.
pub fn taper_hole(pinning: Pinning, drills: &[Drill]) -> Result<TaperHole, Problem> {
    positive(pinning.through, "thickness the pin passes through")?;
    let small_end = pinning.pin.small_end(pinning.length)?;
    let large_end = pinning.pin.large_end(pinning.length)?;
    if pinning.proud < Length::ZERO || pinning.length < pinning.through + pinning.proud {
        return Err(Problem::new(format!(
            "a pin {} long does not pass through {}",
            mm(pinning.length),
            mm(pinning.through)
        ))
        .why(format!("its large end stands out {}", mm(pinning.proud)))
        .mend("choose a longer pin, or let it stand out less"));
    }
    if pinning.length > pinning.pin.nominal * LONGEST {
        return Err(Problem::new(format!("a pin of {} {} long", pinning.pin.name, mm(pinning.length)))
            .why(format!("no taper pin is longer than about {LONGEST} times its diameter"))
            .mend("check its length, or take a thicker one"));
    }
    let entry = pinning.diameter_from_large_end(large_end, pinning.proud);
    let exit = pinning.diameter_from_large_end(large_end, pinning.proud + pinning.through);
    let allowed = |drill: &&Drill| drill.diameter + reaming_allowance() <= entry;
    let mut fitting: Vec<&Drill> = drills.iter().filter(allowed).collect();
    fitting.sort_by_key(|drill| drill.diameter);
    let Some(pilot) = fitting.iter().rposition(|d| d.diameter + reaming_allowance() <= exit) else {
        return Err(Problem::new("no drill owned is small enough for the taper pin")
            .why(format!(
                "the hole comes out at {} and the reamer needs {} to cut",
                mm(exit),
                mm(reaming_allowance())
            ))
            .mend(format!("buy a drill of {} or a little under", mm(exit - reaming_allowance()))));
    };
    let run = pinning.pin.taper.run();
    // A larger drill may go in to where the finished hole is its size and the allowance.
    let depth = |drill: &Drill| (entry - drill.diameter - reaming_allowance()) * run;
    let mut steps = vec![Step { drill: fitting[pilot].clone(), depth: pinning.through }];
    let larger: Vec<&Drill> =
        fitting[pilot + 1..].iter().copied().filter(|d| depth(d).is_positive()).collect();
    for drill in evenly(&larger, MOST_STEPS - 1) {
        steps.push(Step { drill: drill.clone(), depth: depth(drill) });
    }
    // The reamer first touches the mouth of the widest step.
    let widest = steps.last().map_or(small_end, |step| step.drill.diameter);
    Ok(TaperHole { ream_on: (entry - widest) * run, pinning, small_end, large_end, entry, exit, steps })
}

/// At most `count` of a list, spread along it.
fn evenly<'a>(drills: &[&'a Drill], count: usize) -> Vec<&'a Drill> {
    if drills.len() <= count {
        return drills.to_vec();
    }
    (1..=count).map(|i| drills[i * drills.len() / (count + 1)]).collect()
}

impl Pinning {
    /// The diameter of the pin a distance from its large end.
    fn diameter_from_large_end(&self, large_end: Length, distance: Length) -> Length {
        large_end - distance / self.pin.taper.run()
    }
}

impl TaperHole {
    /// The rows of the sheet, in working order.
    pub fn figures(&self) -> Vec<Figure> {
        let run = self.pinning.pin.taper.run();
        let pin = Why::new(format!(
            "{} taper pin, 1 in {run}, {} long",
            self.pinning.pin.name,
            mm(self.pinning.length)
        ))
        .source(self.pinning.pin.source.to_string());
        let from_pin = |what: &str| {
            geometry(format!("the diameter falls 1 in {run} of length: {what}")).because(pin.clone())
        };
        let mut figures = vec![
            Figure::new("small end of the pin", mm(self.small_end), from_pin("at the small end")),
            Figure::new("large end of the pin", mm(self.large_end), from_pin("at the large end")),
            Figure::new(
                "finished hole, entry",
                mm(self.entry),
                from_pin(&format!("{} from the large end", mm(self.pinning.proud))),
            ),
            Figure::new("finished hole, exit", mm(self.exit), from_pin("after the thickness")),
        ];
        for (i, step) in self.steps.iter().enumerate() {
            let why =
                practice(format!("leaves the reamer at least {} on the diameter", mm(reaming_allowance())))
                    .because(from_pin("where the drill stops"));
            let deep = if i == 0 { "right through".to_owned() } else { format!("{} deep", mm(step.depth)) };
            figures.push(Figure::new(
                format!("drill {}", i + 1),
                format!("{}, {deep}", step.drill.name),
                why,
            ));
        }
        let ream = geometry(format!(
            "the reamer first touches the mouth of the widest drill and must open it to {}: {run} times the difference",
            mm(self.entry)
        ))
        .because(practice("ream both parts together, try the pin often; if it stands out too far by some amount, ream that much deeper"));
        figures.push(Figure::new("reamer goes on after it first touches", mm(self.ream_on), ream));
        figures
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tables::{drills, taper_pins};

    fn pinning(name: &str, length: Length, through: Length) -> Pinning {
        Pinning { pin: taper_pins::find(name).unwrap().clone(), length, through, proud: Length::ZERO }
    }

    /// A pin maker's rule, large end less length × 0.02083: a No. 3 pin 2 in long
    /// is 0.1773 in at its small end. TM 9-254 Table 3-1 drills near that size.
    #[test]
    fn an_inch_pin_has_the_printed_small_end() {
        let two = Length::inches(2, 1);
        let found = taper_hole(pinning("No. 3", two, two), drills::all()).unwrap();
        assert!((found.small_end.as_inches() - 0.17734).abs() < 1e-4);
        assert_eq!(found.exit, found.small_end);
        let pilot_in = found.steps[0].drill.diameter.as_inches();
        assert!((0.170..0.1774).contains(&pilot_in), "{pilot_in}");
    }

    /// ISO 2339: a 2 mm pin (small end) 1 in 50; 20 long it is 2.4 at the large end.
    #[test]
    fn a_metric_pin_is_stepped_and_reamed() {
        let metric: Vec<Drill> = ["1.9 mm", "2 mm", "2.1 mm", "2.2 mm", "2.3 mm"]
            .map(|n| drills::find(n).unwrap().clone())
            .to_vec();
        let found = taper_hole(pinning("2 mm", Length::mm(20), Length::mm(15)), &metric).unwrap();
        assert_eq!((found.entry, found.exit), (Length::mm_ratio(24, 10), Length::mm_ratio(21, 10)));
        let steps: Vec<String> =
            found.steps.iter().map(|s| format!("{} {}", s.drill.name, s.depth)).collect();
        assert_eq!(steps, ["2 mm 15 mm", "2.2 mm 8 mm", "2.3 mm 3 mm"].map(String::from));
        assert_eq!(found.ream_on, Length::mm(5));
    }

    /// Standing out 1 mm, the same pin fills the hole from 2.38 to 2.08.
    #[test]
    fn a_pin_that_stands_out_needs_a_smaller_hole() {
        let proud = Pinning { proud: Length::mm(1), ..pinning("2 mm", Length::mm(20), Length::mm(15)) };
        let found = taper_hole(proud, drills::all()).unwrap();
        assert_eq!((found.entry, found.exit), (Length::mm_ratio(238, 100), Length::mm_ratio(208, 100)));
    }

    /// No step cuts into the finished taper: at the bottom of each the hole is
    /// still larger by the allowance.
    #[test]
    fn no_drill_reaches_the_finished_hole() {
        for pin in ["1 mm", "1.5 mm", "3 mm", "No. 0", "No. 2/0"] {
            let through = Length::mm(12);
            let found = taper_hole(pinning(pin, Length::mm(16), through), drills::all()).unwrap();
            for step in &found.steps {
                let hole = found.entry - step.depth.min(through) / found.pinning.pin.taper.run();
                assert!(step.drill.diameter + reaming_allowance() <= hole, "{pin}: {step:?}");
            }
        }
    }

    #[test]
    fn a_short_pin_or_no_small_drill_is_a_problem() {
        let short = pinning("2 mm", Length::mm(10), Length::mm(15));
        assert!(taper_hole(short, drills::all()).unwrap_err().what().contains("does not pass"));
        let big = [drills::find("2.3 mm").unwrap().clone()];
        let fault = taper_hole(pinning("2 mm", Length::mm(20), Length::mm(15)), &big).unwrap_err();
        assert!(fault.remedy().unwrap().contains("2.06 mm"), "{fault}");
    }
}
