//! Whether a model hangs together, and what its charges weigh.

use super::model::{After, Charges, FirstSetup, MOST, MOST_MINUTES, Model, Weights};
use crate::problem::Problem;

impl Model {
    /// Everything that does not hang together; empty when the model can be planned.
    pub fn faults(&self) -> Vec<Problem> {
        let mut faults = self.too_many();
        for setup in &self.setups {
            let mut at = Finder { faults: &mut faults, place: format!("setup `{}`", setup.name) };
            at.within("machine", setup.machine.0, self.machines.len());
            at.minutes(setup.minutes);
            if setup.count > MOST as u64 {
                at.say("it counts as too many setups", "no more pieces go through one than a plan holds");
            }
            for need in &setup.needs {
                at.within("token", need.token.0, self.tokens.len());
            }
        }
        for (i, op) in self.operations.iter().enumerate() {
            let mut at = Finder { faults: &mut faults, place: format!("operation `{}`", op.name) };
            if op.ways.is_empty() {
                at.say("there is no way to do it", "no machine, setup and tool was given for it");
            }
            for way in &op.ways {
                at.within("setup", way.setup.0, self.setups.len());
                at.within("tool", way.tool.0, self.tools.len());
                at.minutes(way.minutes);
            }
            let tokens = op.needs.iter().chain(&op.needs_absent).map(|n| n.token);
            for token in tokens.chain(op.makes.iter().copied()).chain(op.spoils.iter().map(|s| s.token)) {
                at.within("token", token.0, self.tokens.len());
            }
            for after in &op.after {
                match after {
                    After::Operation(before, _) => {
                        at.within("operation", before.0, self.operations.len());
                    }
                    After::Group(group, _) => at.within("choice", group.0, self.groups.len()),
                }
                let own = op.choice.map(|c| c.group);
                match after {
                    After::Operation(before, _) if before.0 == i => {
                        at.say("it is to come after itself", "an operation is done once");
                    }
                    After::Group(group, _) if own == Some(*group) => {
                        at.say("it is to come after its own choice", "it is part of that choice");
                    }
                    _ => {}
                }
            }
            for aid in &op.aids {
                at.within("aid", aid.0, self.aids.len());
            }
            if let Some(choice) = op.choice {
                at.within("choice", choice.group.0, self.groups.len());
                if let Some(group) = self.groups.get(choice.group.0) {
                    at.within("variant", choice.variant, group.variants.len());
                }
            }
        }
        for group in self.groups.iter().filter(|g| g.variants.is_empty()) {
            Finder { faults: &mut faults, place: format!("choice `{}`", group.name) }
                .say("there is nothing to choose", "no variant was given");
        }
        self.agreement_faults(&mut faults);
        self.start_faults(&mut faults);
        faults
    }

    fn agreement_faults(&self, faults: &mut Vec<Problem>) {
        let sound = faults.len();
        for (n, agreement) in self.agreements.iter().enumerate() {
            let mut at = Finder { faults, place: format!("agreement {n}") };
            let [one, other] = agreement.ops;
            for op in [one, other] {
                at.within("operation", op.0, self.operations.len());
            }
            if one == other {
                at.say("an operation has to agree with itself", "it always does");
            }
            for (op, side) in [(one, 0), (other, 1)] {
                let ways = self.operations.get(op.0).map_or(0, |op| op.ways.len());
                for pair in &agreement.apart {
                    at.within("way", pair[side], ways);
                }
            }
        }
        if faults.len() == sound && super::agree::count(self) > MOST {
            faults.push(
                Problem::new("too many places have to agree for one order of work")
                    .why(format!("the planner holds up to {MOST} of them"))
                    .mend("plan the work in two stages, the second from where the first ends"),
            );
        }
    }

    fn too_many(&self) -> Vec<Problem> {
        let counts = [
            ("operations", self.operations.len()),
            ("tokens", self.tokens.len()),
            ("machines", self.machines.len()),
            ("setups", self.setups.len()),
            ("aids", self.aids.len()),
            ("tools, each counted once for every machine", self.tools.len() * self.machines.len()),
        ];
        let over = counts.into_iter().filter(|&(_, count)| count > MOST);
        over.map(|(what, count)| {
            Problem::new(format!("{count} {what} are too many for one order of work"))
                .why(format!("the planner holds up to {MOST} of each"))
                .mend("plan the work in two stages, the second from where the first ends")
        })
        .collect()
    }

    fn start_faults(&self, faults: &mut Vec<Problem>) {
        let mut at = Finder { faults, place: "the work already done".into() };
        for (i, op) in self.start.done.iter().enumerate() {
            at.within("operation", op.0, self.operations.len());
            let Some(this) = self.operations.get(op.0) else { continue };
            for earlier in &self.start.done[..i] {
                let Some(other) = self.operations.get(earlier.0) else { continue };
                if earlier == op {
                    at.say(&format!("`{}` is listed twice", this.name), "an operation is done once");
                } else if let (Some(a), Some(b)) = (this.choice, other.choice)
                    && a.group == b.group
                    && a.variant != b.variant
                {
                    at.say(
                        &format!("both `{}` and `{}` are listed", other.name, this.name),
                        "they belong to different variants of one choice",
                    );
                }
            }
        }
        if let Some((setup, tool)) = self.start.standing {
            at.within("setup", setup.0, self.setups.len());
            at.within("tool", tool.0, self.tools.len());
        }
        if let Charges::Weighted(w) = self.charges {
            let most = [w.machine_change, w.setup, w.tool_change, w.aid].into_iter().max().unwrap_or(0);
            if most > 1 << 40 {
                Finder { faults, place: "the charges".into() }
                    .say("a charge is too great", "sums of charges are kept in 64 bits");
            }
        }
    }

    /// The charges as weights.
    ///
    /// Charges in turn are a weighted sum too: each weight is one more than all
    /// that the lesser kinds together can come to, so none of them can outweigh it.
    pub fn weights(&self) -> Weights {
        if let Charges::Weighted(weights) = self.charges {
            return weights;
        }
        let steps = self.operations.len() as u64;
        let slowest_setup = self.setups.iter().map(|s| s.minutes).max().unwrap_or(0);
        let slowest = self.operations.iter().map(|o| o.ways.iter().map(|w| w.minutes).max().unwrap_or(0));
        let aid = slowest.sum::<u64>() + steps * slowest_setup + 1;
        let tool_change = aid * (self.aids.len() as u64 + 1);
        let setup = tool_change * (steps + 1);
        Weights { machine_change: 0, setup, tool_change, aid, first: FirstSetup::Counted }
    }
}

/// Gathers faults found at one place.
struct Finder<'a> {
    faults: &'a mut Vec<Problem>,
    place: String,
}

impl Finder<'_> {
    fn say(&mut self, what: &str, why: &str) {
        let mend = "mend the operation list; every id must come from the same model";
        self.faults.push(Problem::new(what).why(why).mend(mend).at(self.place.clone()));
    }

    fn within(&mut self, what: &str, id: usize, count: usize) {
        if id >= count {
            self.say(&format!("{what} {id} does not exist"), &format!("the model has {count}"));
        }
    }

    fn minutes(&mut self, minutes: u64) {
        if minutes > MOST_MINUTES {
            self.say(&format!("{minutes} minutes is too long"), &format!("the most is {MOST_MINUTES}"));
        }
    }
}
