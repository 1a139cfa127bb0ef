//! When no choice serves all parts of a project: which of them cannot be made, and what
//! stands between two that cannot go together.

use std::collections::{BTreeMap, BTreeSet};
use std::ops::Range;

use super::clash::Core;
use super::impasse;
use super::memory::Memory;
use super::model::{ConstraintId, Cost};
use super::project::{Clash, Project};
use super::search::{Outcome as Found, Proof, Solved as Chosen, solve_with};
use super::stitch::Stitched;
use crate::problem::Problem;

impl Project<'_> {
    /// Demands that cannot all hold: thins walls where that may help, else leaves out the
    /// part whose own they are, or the parts between which they stand.
    pub(super) fn part_clash(&mut self, going: &[usize], all: &Stitched, core: &Core, memory: &mut Memory) {
        let mut within: BTreeSet<usize> = BTreeSet::new();
        for id in &core.demands {
            for variable in all.model.constraints[id.0].demand.variables() {
                let at = all.part_of(variable);
                within.insert(going[at]);
                within.extend(self.ties.real(going[at], variable.0 - all.begins[at]).map(|real| real.part));
            }
        }
        // An earlier clash may have left one of them out: then all is tied anew first.
        if within.iter().any(|part| !self.going.contains_key(part)) {
            return;
        }
        let fault = self.between(going, all, &core.demands);
        let mut alone = false;
        for &part in &within {
            alone |= self.cannot_alone(part, memory);
        }
        if alone {
            return;
        }
        let names: Vec<String> =
            core.demands.iter().map(|id| all.model.constraints[id.0].name.clone()).collect();
        let mut thinner = false;
        for &part in &within {
            match self.making(part).thin(names.iter()) {
                Ok(thinned) => thinner |= thinned,
                Err(faults) => {
                    thinner = true;
                    self.leave(part, faults);
                }
            }
        }
        if !thinner {
            let first = within.first().copied();
            let around = self.ties.clusters(going.iter().copied()).into_iter();
            let around = around.into_iter().find(|cluster| first.is_some_and(|part| cluster.contains(&part)));
            self.clashes.push(Clash {
                between: within.iter().copied().collect(),
                around: around.unwrap_or_default(),
            });
            for part in within {
                let file = self.pieces[part].drawing.file.clone();
                self.leave(part, vec![fault.clone().at(file)]);
            }
        }
    }

    /// Whether a part cannot hold its demands by itself; then some of its walls are
    /// thinned, or it is left out. Its ties are to be stated anew after that.
    fn cannot_alone(&mut self, part: usize, memory: &mut Memory) -> bool {
        let going = self.going.get_mut(&part).expect("only parts that go are asked for");
        let making = &mut going.making;
        if making.untie() {
            going.tied = None;
            if let Err(faults) = making.demand() {
                self.leave(part, faults);
                return true;
            }
        }
        let faults = match solve_with(&making.model, memory) {
            Ok(Found::Infeasible { core, .. }) => {
                let names: Vec<String> =
                    core.iter().map(|id| making.model.constraints[id.0].name.clone()).collect();
                match making.thin(names.iter()) {
                    Ok(true) => return true,
                    Ok(false) => vec![impasse::clash(&making.job, &making.model, &core)],
                    Err(faults) => faults,
                }
            }
            Ok(Found::GaveUp { nodes, .. }) => vec![impasse::gave_up(&making.job, nodes)],
            Err(fault) => vec![fault.at(making.job.drawing.file.clone())],
            Ok(Found::Solved(_)) => return false,
        };
        self.leave(part, faults);
        true
    }

    /// Demands of several parts that cannot all hold.
    fn between(&self, some: &[usize], stitched: &Stitched, core: &[ConstraintId]) -> Problem {
        let because: Vec<&str> =
            core.iter().map(|id| stitched.model.constraints[id.0].because.as_str()).collect();
        let read = core.iter().flat_map(|id| stitched.model.constraints[id.0].demand.variables());
        let mut sizes: BTreeSet<(usize, usize)> = BTreeSet::new();
        for variable in read {
            let at = stitched.part_of(variable);
            let (part, own) = (some[at], variable.0 - stitched.begins[at]);
            // What stands in for a size is told of as the size that it is.
            let real = self.ties.real(part, own).map(|real| (real.part, real.size.0));
            sizes.insert(real.unwrap_or((part, own)));
        }
        let told = |&(part, own): &(usize, usize)| {
            let making = &self.going[&part].making;
            let variable = &making.model.variables[own];
            let values = || variable.candidates.iter().map(|candidate| candidate.value);
            let (least, most) = (values().min().unwrap_or_default(), values().max().unwrap_or_default());
            let name = format!("`{}` of {}", variable.name, making.job.drawing.name);
            let range = if least == most { format!("{least}") } else { format!("{least} to {most}") };
            (format!("{name} may be {range}"), name)
        };
        let (ranges, names): (Vec<String>, Vec<String>) = sizes.iter().map(told).unzip();
        Problem::new(format!("no metric sizes for {} go together", names.join(", ")))
            .why(format!("these cannot all hold: {}; {}", because.join("; "), ranges.join(", ")))
            .mend("allow one of these sizes more with `within`, give another fit, or add a tool near them to the bench")
    }

    /// Where the search of the whole came to nothing: what the parts that hang together
    /// choose for themselves; nothing when some of them cannot.
    pub(super) fn cluster_by_cluster(&mut self, all: &Stitched, memory: &mut Memory) -> Option<Chosen> {
        let own: BTreeMap<usize, Range<usize>> = self.going.keys().copied().zip(all.parts()).collect();
        let mut choice = vec![0; all.model.variables.len()];
        let (mut least, mut nodes, mut all_found) = (0, 0, true);
        for cluster in self.ties.clusters(self.going.keys().copied()) {
            let few = self.stitched(&cluster);
            match solve_with(&few.model, memory) {
                Ok(Found::Solved(found)) => {
                    let bound = match found.proof {
                        Proof::Optimal => found.cost,
                        Proof::Within { bound } => bound,
                    };
                    least = bound.buy.max(least);
                    nodes += found.nodes;
                    for (part, its) in cluster.iter().zip(few.parts()) {
                        choice[own[part].clone()].copy_from_slice(&found.choice[its]);
                    }
                }
                other => {
                    all_found = false;
                    let nodes = if let Ok(Found::GaveUp { nodes, .. }) = other { nodes } else { 0 };
                    let mut alone = false;
                    for &part in &cluster {
                        alone |= self.cannot_alone(part, memory);
                    }
                    if !alone {
                        for part in cluster {
                            let fault = impasse::gave_up(&self.going[&part].making.job, nodes);
                            self.leave(part, vec![fault]);
                        }
                    }
                }
            }
        }
        // Whatever is bought in all, it is no less than what the dearest cluster buys alone.
        let proof = Proof::Within { bound: Cost { buy: least, ..Cost::default() } };
        all_found.then(|| Chosen { cost: all.model.cost(&choice), choice, proof, nodes })
    }
}
