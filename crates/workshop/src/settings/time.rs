//! How long a cut takes: the tool's travel at its feed, and beside it what the order of work counts.
//!
//! The two differ on purpose. A hobby job is spent in setting, measuring and winding back, so the
//! order counts an estimate for each kind of work (`tables/processes/cuts.csv`) and not the travel.

use super::show::{geometry, mm, positive, positive_number};
use crate::measure::Length;
use crate::problem::Problem;
use crate::tables::processes::{Holding, Process};
use crate::why::{Figure, Why};

/// More passes than anybody takes.
const MOST_PASSES: u32 = 10_000;

/// A cut, at a feed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Run {
    /// The length of the work that is cut.
    pub length: Length,
    /// What the tool travels beside it in each pass: from clear of the work to clear of it again.
    pub overrun: Length,
    /// The feed, in millimetres a minute.
    pub feed_mm_per_min: f64,
    /// How many times it goes along.
    pub passes: u32,
}

/// How long it takes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Time {
    /// What was asked.
    pub run: Run,
    /// Minutes for one pass.
    pub pass_min: f64,
    /// Minutes for all of them.
    pub cut_min: f64,
}

/// What the order of work counts for a step.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Counted {
    /// The kind of work.
    pub process: &'static Process,
    /// How thick the metal is, of what is done by hand.
    pub thick: Option<Length>,
    /// How the work is held, where that is asked as well.
    pub held: Option<(&'static str, &'static Holding)>,
}

/// Works out how long a cut takes.
///
/// # Errors
///
/// A [`Problem`] when a size or the feed is not more than nought, or nobody takes so many passes.
pub fn time(run: Run) -> Result<Time, Problem> {
    positive(run.length, "length of the cut")?;
    positive_number(run.feed_mm_per_min, "feed in millimetres a minute")?;
    if run.overrun < Length::ZERO {
        return Err(Problem::new(format!("an overrun of {}", mm(run.overrun)))
            .why("it is what the tool travels beyond the work")
            .mend("give nought where it stops against a shoulder"));
    }
    if !(1..=MOST_PASSES).contains(&run.passes) {
        return Err(Problem::new(format!("{} passes", run.passes))
            .why(format!("a cut has one at least and {MOST_PASSES} at most"))
            .mend("give how many times the tool goes along"));
    }
    let pass_min = (run.length + run.overrun).as_mm() / run.feed_mm_per_min;
    Ok(Time { run, pass_min, cut_min: pass_min * f64::from(run.passes) })
}

impl Time {
    /// How long one pass and the whole cut take.
    pub fn figures(&self) -> Vec<Figure> {
        let Run { length, overrun, feed_mm_per_min, passes } = self.run;
        let pass = geometry(format!(
            "{} and {} beyond it, at {feed_mm_per_min:.0} mm a minute",
            mm(length),
            mm(overrun)
        ));
        let all = geometry(match passes {
            1 => "one pass".to_owned(),
            passes => format!("{passes} passes; winding back between them is not in it"),
        });
        vec![
            Figure::new("one pass", said(self.pass_min), pass),
            Figure::new("time at the cut", said(self.cut_min), all),
        ]
    }

    /// The same beside what the order of work counts for it, and what that leaves for all else.
    ///
    /// # Errors
    ///
    /// A [`Problem`] when the work is counted by its area and nobody said how thick the metal is.
    pub fn beside(&self, counted: Counted) -> Result<Vec<Figure>, Problem> {
        let process = counted.process;
        let by = |more: u64, each: &str| (more > 0).then(|| format!("{more} for each {each}"));
        let minutes = match counted.thick {
            Some(thick) => process.minutes_by_hand(self.run.length, thick),
            None if process.minutes_per_cm2 > 0 => {
                return Err(Problem::new(format!("how long it takes to {} goes by the area", process.name))
                    .why(format!(
                        "{} minutes are counted for each square centimetre",
                        process.minutes_per_cm2
                    ))
                    .mend("say how thick the metal is"));
            }
            None => process.minutes_for(self.run.length),
        };
        let parts: Vec<String> = [
            Some(format!("{} minutes for each piece, with measuring", process.minutes)),
            by(process.minutes_per_100_mm, "100 mm of cut"),
            by(process.minutes_per_cm2, "square centimetre"),
        ]
        .into_iter()
        .flatten()
        .collect();
        let estimate = Why::assumed(format!(
            "to {} the order counts {}: an estimate, whatever the feed",
            process.name,
            parts.join(" and ")
        ))
        .source(process.source.to_string());
        let mut figures = vec![Figure::new("the order counts", format!("{minutes} min"), estimate.clone())];
        let left = minutes as f64 - self.cut_min;
        figures.push(if left >= 0.0 {
            let why = geometry("what the order counts, less the time at the cut").because(estimate);
            Figure::new("left for setting and measuring", said(left), why)
        } else {
            let why = geometry("the cut alone takes longer than the order counts: plan more for this step")
                .because(estimate);
            Figure::new("longer than the order counts", said(-left), why)
        });
        if let Some((name, held)) = counted.held {
            let why = Why::assumed(format!("to set up {name}: once for all that is done in that holding"))
                .source(held.source.to_string());
            figures.push(Figure::new("setting it up", format!("{} min", held.minutes), why));
        }
        Ok(figures)
    }
}

/// `3 min 20 s`, rounded up to five seconds.
fn said(minutes: f64) -> String {
    let seconds = ((minutes * 60.0 - 1e-6) / 5.0).ceil().max(0.0) as u64 * 5;
    match (seconds / 60, seconds % 60) {
        (0, seconds) => format!("{seconds} s"),
        (minutes, 0) => format!("{minutes} min"),
        (minutes, seconds) => format!("{minutes} min {seconds} s"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tables::processes::{holding, process};

    fn run(length: Length, overrun: Length, feed_mm_per_min: f64, passes: u32) -> Time {
        time(Run { length, overrun, feed_mm_per_min, passes }).unwrap()
    }

    /// Worked examples of public courses: turning 150 mm at 0.5 mm a turn and 400 turns a minute takes
    /// 0.75 min; 250 mm at 0.61 and 152.9 takes 2.68 min; drilling 25 mm at 0.25 and 318.31 takes 0.314 min.
    #[test]
    fn cuts_take_as_long_as_the_courses_have_it() {
        for (length, feed, speed, minutes) in
            [(150, 0.5, 400.0, 0.75), (250, 0.61, 152.9, 2.68), (25, 0.25, 318.31, 0.314)]
        {
            let found = run(Length::mm(length), Length::ZERO, feed * speed, 1).cut_min;
            assert!((found - minutes).abs() < 0.005, "{length}: {found}");
        }
    }

    /// By hand: 100 mm and 10 beyond at 55 mm a minute is two minutes; three of them are six.
    #[test]
    fn each_pass_has_its_overrun() {
        let found = run(Length::mm(100), Length::mm(10), 55.0, 3);
        let shown: Vec<String> = found.figures().into_iter().map(|figure| figure.shown).collect();
        assert_eq!(shown, ["2 min", "6 min"]);
        assert_eq!([said(0.75), said(2.68), said(0.01)], ["45 s", "2 min 45 s", "5 s"]);
    }

    #[test]
    fn what_the_order_counts_stands_beside_it_as_assumed() {
        let found = run(Length::mm(60), Length::mm(10), 70.0, 2);
        let held = Some(("vice on parallels", holding("vice on parallels")));
        let counted = Counted { process: process("mill a side"), thick: None, held };
        let figures = found.beside(counted).unwrap();
        let shown: Vec<&str> = figures.iter().map(|figure| figure.shown.as_str()).collect();
        assert_eq!(shown, ["6 min", "4 min", "10 min"]);
        assert!(figures.iter().all(|figure| figure.why.rests_on_assumption()));
        let slow = run(Length::mm(60), Length::mm(10), 7.0, 2).beside(counted).unwrap();
        assert_eq!(
            (slow[1].name.as_str(), slow[1].shown.as_str()),
            ("longer than the order counts", "14 min")
        );
        // 8 min for each square centimetre, and 5: 40 × 10 mm are 4 of them.
        let filed = Counted { process: process("file a side"), thick: Some(Length::mm(10)), held: None };
        assert_eq!(run(Length::mm(40), Length::ZERO, 100.0, 1).beside(filed).unwrap()[0].shown, "37 min");
        let unsaid = Counted { thick: None, ..filed };
        assert!(found.beside(unsaid).unwrap_err().remedy().is_some());
    }

    #[test]
    fn a_cut_that_is_none_is_refused() {
        let good = Run { length: Length::mm(60), overrun: Length::ZERO, feed_mm_per_min: 70.0, passes: 1 };
        for wrong in [
            Run { length: Length::ZERO, ..good },
            Run { overrun: Length::mm(-1), ..good },
            Run { feed_mm_per_min: f64::NAN, ..good },
            Run { feed_mm_per_min: 0.0, ..good },
            Run { passes: 0, ..good },
        ] {
            let fault = time(wrong).unwrap_err();
            assert!(fault.reason().is_some() && fault.remedy().is_some(), "{fault}");
        }
    }
}
