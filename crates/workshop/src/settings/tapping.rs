//! Tapping: the drill, the percent of thread it leaves, depths and clearance.

use std::fmt;

use super::left_hand;
use super::show::{mm, positive, practice};
use crate::measure::Length;
use crate::problem::Problem;
use crate::tables::clearance::{self, Class};
use crate::tables::drills::Drill;
use crate::tables::materials::Material;
use crate::tables::threads::{Percent, Thread};
use crate::why::{Figure, Why};

/// How deep a tapped hole goes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Depth {
    /// Right through metal of this thickness.
    Through(Length),
    /// Blind, with this much full thread.
    Blind(Length),
}

/// A drill, and the thread it would leave.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Candidate {
    /// The drill.
    pub drill: Drill,
    /// What it leaves, on the basis asked for.
    pub percent: Percent,
}

/// How a hole is drilled and tapped.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Tapping {
    /// The thread.
    pub thread: Thread,
    /// The percent asked for.
    pub aim: Percent,
    /// The hole that leaves exactly that.
    pub exact: Length,
    /// The drill to use.
    pub chosen: Candidate,
    /// The next drill either side that would also serve, if any.
    pub others: Vec<Candidate>,
    /// How deep to drill.
    pub drill_depth: Length,
    /// Full thread.
    pub thread_depth: Length,
    /// Full thread that gives the strength of the screw in this metal.
    pub full_strength: Length,
    /// What to watch for.
    pub cautions: Vec<Why>,
    depth: Depth,
    material: String,
    material_source: String,
}

/// Chooses the tapping drill nearest to a percent of thread among those owned.
///
/// A drill at or below the minor diameter breaks taps and is never offered.
///
/// # Errors
///
/// A [`Problem`] when the depth is not more than nought, the percent does not
/// suit the thread, no owned drill serves, or fewer than three threads hold.
pub fn tapping(
    thread: &Thread,
    aim: Percent,
    drills: &[Drill],
    depth: Depth,
    material: &Material,
) -> Result<Tapping, Problem> {
    let thread_depth = depth.of_thread();
    positive(thread_depth, "depth of thread")?;
    let exact = thread.drill_for(aim)?;
    let mut serving: Vec<Candidate> = Vec::new();
    for drill in drills.iter().filter(|d| thread.minor < d.diameter && d.diameter < thread.major) {
        let percent = thread.percent(drill.diameter, aim.basis)?;
        serving.push(Candidate { drill: drill.clone(), percent });
    }
    serving.sort_by_key(|c| (c.drill.diameter.gap(exact), c.drill.diameter));
    serving.dedup_by_key(|c| c.drill.diameter);
    let Some(chosen) = serving.first().cloned() else { return Err(no_drill(thread, exact)) };
    if thread_depth < thread.pitch * 3 {
        return Err(Problem::new(format!(
            "{} of thread is too little for {}",
            mm(thread_depth),
            thread.designation
        ))
        .why(format!("three full threads are the least that holds: {}", mm(thread.pitch * 3)))
        .mend("use a finer thread, thicker metal or a nut"));
    }
    let beyond = |side: fn(&Length, &Length) -> bool| {
        serving.iter().find(|c| side(&c.drill.diameter, &chosen.drill.diameter)).cloned()
    };
    let others = [beyond(Length::lt), beyond(Length::gt)].into_iter().flatten().collect();
    let full_strength = thread.major.scaled(material.tapping.engagement_diameters);
    let mut tapping = Tapping {
        thread: thread.clone(),
        aim,
        exact,
        chosen,
        others,
        drill_depth: depth.of_drill(thread),
        thread_depth,
        full_strength,
        cautions: Vec::new(),
        depth,
        material: material.name.clone(),
        material_source: material.tapping.source.to_string(),
    };
    tapping.cautions = tapping.find_cautions();
    Ok(tapping)
}

/// The share of the thread's depth to drill beyond it in a blind hole, in
/// hundredths: BS 1936.
fn blind_allowance(thread: &Thread) -> i64 {
    if thread.major < Length::mm(6) {
        25
    } else if thread.major <= Length::mm(12) {
        20
    } else {
        15
    }
}

fn no_drill(thread: &Thread, exact: Length) -> Problem {
    Problem::new(format!("no drill owned serves to tap {}", thread.designation))
        .why(format!(
            "the hole must lie between the minor diameter {} and the major {}",
            mm(thread.minor),
            mm(thread.major)
        ))
        .mend(format!("buy a drill near {}", mm(exact)))
}

impl Depth {
    /// Full thread.
    const fn of_thread(self) -> Length {
        match self {
            Self::Through(depth) | Self::Blind(depth) => depth,
        }
    }

    /// How deep the drill's full diameter goes.
    pub fn of_drill(self, thread: &Thread) -> Length {
        match self {
            Self::Through(depth) => depth,
            Self::Blind(depth) => depth + depth * blind_allowance(thread) / 100,
        }
    }
}

impl Tapping {
    fn find_cautions(&self) -> Vec<Why> {
        let mut cautions = Vec::new();
        let deep = self.chosen.percent.value > 70.into();
        if deep && self.thread.major < Length::mm(3) {
            cautions.push(practice("over 70 % of thread below 3 mm breaks taps: a larger drill is safer"));
        }
        if self.thread_depth > self.thread.major * 2 {
            cautions
                .push(practice("deeper than twice the diameter: clear the chips often, or relieve the hole"));
        }
        if self.thread_depth < self.full_strength {
            let short = format!(
                "the thread is {}; {} would be as strong as the screw in {}",
                mm(self.thread_depth),
                mm(self.full_strength),
                self.material
            );
            cautions.push(Why::new(short).source(self.material_source.clone()));
        }
        if self.thread_depth < self.thread.pitch * 5 {
            cautions
                .push(practice("fewer than five full threads hold: three are the least, five are better"));
        }
        cautions
    }

    /// The rows of the sheet, the cautions last.
    pub fn figures(&self) -> Vec<Figure> {
        let exact =
            Why::new(format!("{} of {} is a hole of {}", self.aim, self.thread.designation, mm(self.exact)))
                .source(self.thread.source.to_string());
        let nearest = practice("the drill owned nearest to the hole asked for").because(exact);
        let nearest = self.others.iter().fold(nearest, |why, other| {
            why.because(Why::new(format!("the next drill either way is {other}")))
        });
        let depth = match self.depth {
            Depth::Through(thickness) => practice(format!("right through {}", mm(thickness))),
            Depth::Blind(thread) => Why::new(format!(
                "{} of full thread and {} % more for the tap's lead and the chips",
                mm(thread),
                blind_allowance(&self.thread)
            ))
            .source("BS 1936"),
        };
        let strength =
            Why::new(format!("the length that breaks the screw before it strips {}", self.material))
                .source(self.material_source.clone());
        let mut figures = vec![
            Figure::new("tapping drill", self.chosen.to_string(), nearest),
            Figure::new("drill to", mm(self.drill_depth), depth.clone()),
            Figure::new("full thread to", mm(self.thread_depth), depth),
            Figure::new("full-strength engagement", mm(self.full_strength), strength),
        ];
        figures.extend(left_hand::tap(&self.thread));
        let caution =
            |(i, c): (usize, &Why)| Figure::new(format!("caution {}", i + 1), c.statement.clone(), c.clone());
        figures.extend(self.cautions.iter().enumerate().map(caution));
        figures
    }
}

impl fmt::Display for Candidate {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}, {}", self.drill.name, self.percent)
    }
}

/// The clearance hole of a thread as a row of the sheet.
///
/// # Errors
///
/// A [`Problem`] when no list has the thread.
pub fn clearance_figure(thread: &Thread, class: Class) -> Result<Figure, Problem> {
    let hole = clearance::hole(thread, class)?;
    let fit = hole.class.map_or("customary", Class::name);
    let why = Why::new(format!("{fit} clearance for {}", thread.designation)).source(hole.source.to_string());
    Ok(Figure::new("clearance drill", mm(hole.diameter), why))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tables::threads::{self, Basis};
    use crate::tables::{drills, materials};
    use proptest::prelude::*;

    fn owned(names: &[&str]) -> Vec<Drill> {
        names.iter().map(|name| drills::find(name).unwrap().clone()).collect()
    }

    fn tap(
        name: &str,
        percent: i128,
        basis: Basis,
        drills: &[Drill],
        depth: Depth,
    ) -> Result<Tapping, Problem> {
        let steel = materials::find("mild steel").unwrap();
        tapping(threads::find(name).unwrap(), Percent::new(percent, basis), drills, depth, steel)
    }

    /// The classic confusion: M6 with a 5.0 drill is 92, 82 or 77 % on the three
    /// bases (ISO 68-1 heights 1.0825, 1.2269 and 1.2990 P).
    #[test]
    fn one_drill_has_a_percent_for_each_basis() {
        let rack = owned(&["4.8 mm", "5 mm", "5.2 mm"]);
        for (basis, percent) in
            [(Basis::InternalHeight, 92), (Basis::ExternalDepth, 82), (Basis::SharpVee, 77)]
        {
            let found = tap("M6", percent, basis, &rack, Depth::Through(Length::mm(6))).unwrap();
            assert_eq!(found.chosen.drill.name, "5 mm");
            assert_eq!(found.chosen.percent.value.round().to_integer(), percent);
            // 4.8 is below the minor diameter 4.917, so only the larger is offered.
            assert_eq!(found.others.len(), 1);
        }
    }

    #[test]
    fn a_blind_hole_is_drilled_deeper_than_its_thread() {
        let rack = owned(&["2.5 mm", "5 mm", "8.5 mm", "14 mm"]);
        for (name, thread, drill) in [("M3", 4, "5 mm"), ("M6", 10, "12 mm"), ("M16", 20, "23 mm")] {
            let found =
                tap(name, 75, Basis::InternalHeight, &rack, Depth::Blind(Length::mm(thread))).unwrap();
            assert_eq!(found.drill_depth.to_string(), drill, "{name}");
        }
    }

    #[test]
    fn the_sheet_names_its_basis_and_cautions() {
        let rack = owned(&["2 mm", "2.1 mm", "2.2 mm"]);
        let found = tap("7 BA", 80, Basis::FullDepth, &rack, Depth::Through(Length::mm(2))).unwrap();
        let rows: Vec<String> = found.figures().iter().map(|f| format!("{}: {}", f.name, f.shown)).collect();
        insta::assert_snapshot!(rows.join("\n"), @r"
        tapping drill: 2 mm, 87 % of full depth
        drill to: 2 mm
        full thread to: 2 mm
        full-strength engagement: 2.5 mm
        caution 1: over 70 % of thread below 3 mm breaks taps: a larger drill is safer
        caution 2: the thread is 2 mm; 2.5 mm would be as strong as the screw in mild steel
        caution 3: fewer than five full threads hold: three are the least, five are better
        ");
    }

    #[test]
    fn no_drill_or_too_little_metal_is_a_problem() {
        let through = Depth::Through(Length::mm(6));
        let none = tap("M6", 75, Basis::SharpVee, &owned(&["3 mm", "7 mm"]), through).unwrap_err();
        assert!(none.remedy().unwrap().contains("near"), "{none}");
        assert!(tap("M6", 75, Basis::SharpVee, &[], through).is_err());
        let thin = Depth::Through(Length::mm(2));
        assert!(tap("M6", 75, Basis::SharpVee, &owned(&["5 mm"]), thin).unwrap_err().reason().is_some());
        assert!(tap("7 BA", 75, Basis::SharpVee, &owned(&["2.1 mm"]), through).is_err(), "wrong basis");
        assert!(tap("M6", 75, Basis::SharpVee, &owned(&["5 mm"]), Depth::Blind(Length::ZERO)).is_err());
    }

    /// ISO 273:1979, medium series: M5 5.5.
    #[test]
    fn clearance_comes_from_the_standard() {
        let m5 = threads::find("M5").unwrap();
        assert_eq!(clearance_figure(m5, Class::Medium).unwrap().shown, "5.5 mm");
    }

    proptest! {
        /// Of the drills that serve, none owned is nearer.
        #[test]
        fn no_other_drill_owned_is_nearer(rack in prop::collection::vec(40i64..60, 1..8), percent in 50i128..85) {
            let rack: Vec<Drill> = rack.into_iter()
                .map(|t| Length::mm_ratio(t.into(), 10))
                .map(|d| drills::find(&d.to_string()).unwrap().clone())
                .collect();
            let Ok(found) = tap("M6", percent, Basis::SharpVee, &rack, Depth::Through(Length::mm(8))) else {
                prop_assert!(rack.iter().all(|d| d.diameter <= Length::microns(4918) || d.diameter >= Length::mm(6)));
                return Ok(());
            };
            for drill in rack.iter().filter(|d| d.diameter > Length::microns(4918) && d.diameter < Length::mm(6)) {
                prop_assert!(found.chosen.drill.diameter.gap(found.exact) <= drill.diameter.gap(found.exact));
            }
        }
    }
}
