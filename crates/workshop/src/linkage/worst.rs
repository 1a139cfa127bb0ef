//! Results with every size at its worst at once, the corners solved anew.

use super::{Machine, Told};
use crate::linkage::Shown;

/// A result and how far it goes.
#[derive(Clone, Debug)]
pub struct AtWorst {
    /// What it is.
    pub name: String,
    /// In what it is shown.
    pub shown: Shown,
    /// As it will be made where that is known, else as drawn.
    pub value: f64,
    /// The least and the most with every size at its worst; or why that cannot be read.
    pub ends: Result<[f64; 2], String>,
}

impl Machine {
    /// What every result of a setting may come out at, with every size as far from its own as it may
    /// be at once, each to the side that does most; and the sizes of which nobody says how far they
    /// may go, which are taken as exact.
    pub fn at_worst(&self, told: &Told) -> (Vec<AtWorst>, Vec<String>) {
        let run = told.made.as_ref().unwrap_or(&told.drawn);
        let nut = |at: usize| self.valves.iter().any(|valve| valve.set.is_some_and(|param| param.0 == at));
        let matters = |at: usize| run.results.iter().any(|result| result.by[at] != 0.0);
        let within: Vec<f64> = self.known.iter().map(|known| known.room.unwrap_or(0.0)).collect();
        let exact = self
            .known
            .iter()
            .enumerate()
            .filter(|(at, known)| known.room.is_none() && !nut(*at) && !known.settled && matters(*at));
        let exact = exact.map(|(_, known)| known.name.clone()).collect();
        let all = run.results.iter().map(|result| {
            let ends = run.turn.at_worst(&result.asked.reading, &within);
            let ends = ends.map_err(|fault| format!("{}: {}", fault.what, fault.why)).map(|[less, more]| {
                let ends = [result.value + less, result.value + more];
                [ends[0].min(ends[1]), ends[0].max(ends[1])]
            });
            AtWorst { name: result.asked.name.clone(), shown: result.asked.shown, value: result.value, ends }
        });
        (all.collect(), exact)
    }
}
