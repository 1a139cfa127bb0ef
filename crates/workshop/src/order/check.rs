//! The separate checker: replays a plan step by step against the model alone.
//!
//! It shares no code with the search, keeps its state in plain lists of yes and no,
//! and is meant to be read in one sitting. It cannot tell whether a plan is the
//! cheapest; it tells whether it is a plan and costs what it says.

mod pieces;

use super::model::{
    After, Agreement, FirstSetup, GroupId, Model, Need, OpId, Plan, Presence, Rule, Step, Tally, TokenId,
};

/// A rule broken by a step, and what broke it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Broken {
    /// Which step, from nought.
    pub step: usize,
    /// The operation whose rule it is.
    pub op: OpId,
    /// The rule.
    pub rule: Rule,
    /// The operation that took the token away, made it, or came too soon; `None` when
    /// nothing has made the token yet.
    pub culprit: Option<OpId>,
    /// In words, with the reasons.
    pub words: String,
}

/// What is wrong with a plan.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Fault {
    /// A step breaks a rule.
    Rule(Broken),
    /// The steps do not do what is to be done, or the figures are wrong; in words.
    Other(String),
}

impl std::fmt::Display for Fault {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Rule(broken) => write!(f, "step {}: {}", broken.step + 1, broken.words),
            Self::Other(words) => write!(f, "{words}"),
        }
    }
}

/// Checks a whole plan: every rule at every step, every operation and choice, the figures.
///
/// # Errors
///
/// Everything that is wrong with it, in the order of the steps.
pub fn check(model: &Model, plan: &Plan) -> Result<(), Vec<Fault>> {
    let mut faults = shape(model, &plan.steps);
    if faults.is_empty() {
        faults.extend(broken(model, &plan.steps).into_iter().map(Fault::Rule));
        faults.extend(undone(model, &plan.steps));
        faults.extend(pieces::every_piece(model, &plan.steps));
        let tally = tally(model, &plan.steps);
        if plan.tally != tally {
            faults
                .push(Fault::Other(format!("the plan counts {:?}, the steps come to {tally:?}", plan.tally)));
        }
        let score = tally.score(&model.weights());
        if plan.score != score {
            faults.push(Fault::Other(format!("the plan scores {}, the steps score {score}", plan.score)));
        }
        if let super::Proof::Within { bound } = plan.proof
            && bound > score
        {
            faults.push(Fault::Other(format!("the plan scores {score}, under its own bound of {bound}")));
        }
    }
    if faults.is_empty() { Ok(()) } else { Err(faults) }
}

/// Steps that name what does not exist or come twice.
fn shape(model: &Model, steps: &[Step]) -> Vec<Fault> {
    let mut faults = Vec::new();
    let mut done = model.start.done.clone();
    for (i, step) in steps.iter().enumerate() {
        let Some(op) = model.operations.get(step.op.0) else {
            faults.push(Fault::Other(format!("step {} is no operation of this model", i + 1)));
            continue;
        };
        if step.way >= op.ways.len() {
            faults.push(Fault::Other(format!("step {}: `{}` has no such way", i + 1, op.name)));
        }
        if done.contains(&step.op) {
            faults.push(Fault::Other(format!("step {}: `{}` is already done", i + 1, op.name)));
        }
        done.push(step.op);
    }
    faults
}

/// Operations and choices that the steps leave undone or do twice over.
fn undone(model: &Model, steps: &[Step]) -> Vec<Fault> {
    let done = |op: OpId| model.start.done.contains(&op) || steps.iter().any(|s| s.op == op);
    let ops = || (0..model.operations.len()).map(OpId);
    let mut faults = Vec::new();
    for op in ops().filter(|&op| model.operations[op.0].choice.is_none() && !done(op)) {
        faults.push(Fault::Other(format!("`{}` is never done", model.name(op))));
    }
    for (g, group) in model.groups.iter().enumerate() {
        let of = |v: usize| {
            let is = move |c: super::Choice| c.group == GroupId(g) && c.variant == v;
            ops().filter(move |op| model.operations[op.0].choice.is_some_and(is))
        };
        let whole = (0..group.variants.len()).filter(|&v| of(v).all(done));
        let none_but = |v: usize| (0..group.variants.len()).all(|u| u == v || !of(u).any(done));
        if whole.filter(|&v| none_but(v)).count() == 0 {
            let variants = group.variants.join("`, `");
            faults.push(Fault::Other(format!(
                "{}: exactly one of `{variants}` must be wholly done and nothing of the others",
                group.name
            )));
        }
    }
    faults
}

/// What each token is at a moment, and who made it so.
struct Tokens<'a> {
    model: &'a Model,
    exists: Vec<bool>,
    last: Vec<Option<OpId>>,
}

impl<'a> Tokens<'a> {
    fn at_start(model: &'a Model) -> Self {
        let exists = model.tokens.iter().map(|t| t.at_start == Presence::Present).collect();
        let mut tokens = Self { model, exists, last: vec![None; model.tokens.len()] };
        for &op in &model.start.done {
            tokens.pass(op);
        }
        tokens
    }

    /// The operation has its effect.
    fn pass(&mut self, op: OpId) {
        let TokenChange { spoils, makes } = TokenChange::of(self.model, op);
        for t in spoils {
            if self.exists[t.0] {
                self.last[t.0] = Some(op);
            }
            self.exists[t.0] = false;
        }
        for t in makes {
            if !self.exists[t.0] {
                self.last[t.0] = Some(op);
            }
            self.exists[t.0] = true;
        }
    }

    /// Says what is wrong when a token is not as it must be.
    fn judge(&self, need: &Need, must: Presence, who: &str) -> Option<(Option<OpId>, String)> {
        let TokenId(t) = need.token;
        if self.exists[t] == (must == Presence::Present) {
            return None;
        }
        let (token, culprit) = (&self.model.tokens[t].name, self.last[t]);
        let story = match (must, culprit) {
            (Presence::Present, Some(op)) => {
                let spoils = &self.model.operations[op.0].spoils;
                let because = spoils.iter().find(|s| s.token == need.token).map_or("", |s| &s.because);
                format!("there is no {token} left: `{}` has taken it away ({because})", self.model.name(op))
            }
            (Presence::Present, None) => format!("there is no {token} yet"),
            (Presence::Absent, Some(op)) => {
                format!("there is {token} in the way: `{}` has made it", self.model.name(op))
            }
            (Presence::Absent, None) => format!("there is still {token} in the way"),
        };
        Some((culprit, format!("{who}: {story}; it matters because {}", need.because)))
    }
}

/// What an operation does to tokens.
struct TokenChange {
    spoils: Vec<TokenId>,
    makes: Vec<TokenId>,
}

impl TokenChange {
    fn of(model: &Model, op: OpId) -> Self {
        let op = &model.operations[op.0];
        let makes = op.makes.clone();
        let spoils = op.spoils.iter().map(|s| s.token).filter(|t| !makes.contains(t)).collect();
        Self { spoils, makes }
    }
}

/// Every rule the steps break. Goes on after a break as if the step had been done, so
/// that all that follows from it is heard. The steps must name what exists.
pub(super) fn broken(model: &Model, steps: &[Step]) -> Vec<Broken> {
    let mut found = Vec::new();
    let mut tokens = Tokens::at_start(model);
    let mut done = model.start.done.clone();
    let (mut stays, mut stay, mut stands) = (Vec::new(), 0, None);
    for (i, step) in steps.iter().enumerate() {
        let op = &model.operations[step.op.0];
        if stands != Some(op.ways[step.way].setup) {
            (stay, stands) = (stay + 1, Some(op.ways[step.way].setup));
        }
        let mut say = |rule, (culprit, words)| {
            found.push(Broken { step: i, op: step.op, rule, culprit, words });
        };
        let who = format!("`{}`", op.name);
        let setup_id = op.ways[step.way].setup;
        let setup = &model.setups[setup_id.0];
        for (n, need) in setup.needs.iter().enumerate() {
            let who = format!("`{}` in setup `{}`", op.name, setup.name);
            if let Some(fault) = tokens.judge(need, Presence::Present, &who) {
                say(Rule::SetupNeeds(setup_id, n), fault);
            }
        }
        for (n, need) in op.needs.iter().enumerate() {
            if let Some(fault) = tokens.judge(need, Presence::Present, &who) {
                say(Rule::Needs(step.op, n), fault);
            }
        }
        for (n, need) in op.needs_absent.iter().enumerate() {
            if let Some(fault) = tokens.judge(need, Presence::Absent, &who) {
                say(Rule::NeedsAbsent(step.op, n), fault);
            }
        }
        // An operation with something done before it that it should have preceded.
        for &late in &done {
            for (n, after) in model.operations[late.0].after.iter().enumerate() {
                let (meant, because) = match after {
                    After::Operation(before, because) => (*before == step.op, because),
                    After::Group(group, because) => (op.choice.is_some_and(|c| c.group == *group), because),
                };
                if meant {
                    let words = format!(
                        "{who} comes too late: `{}` is already done and was to come after it, because {because}",
                        model.name(late)
                    );
                    say(Rule::After(late, n), (Some(late), words));
                }
            }
        }
        for (n, agreement) in model.agreements.iter().enumerate() {
            if let Some(other) = disagrees(agreement, *step, stay, &stays) {
                let other_name = model.name(other);
                let words = format!(
                    "{who} and `{other_name}` would be done in two holdings, and {}",
                    agreement.because
                );
                say(Rule::Agrees(n), (Some(other), words));
            }
        }
        tokens.pass(step.op);
        done.push(step.op);
        stays.push((*step, stay));
    }
    found
}

/// The operation, done before, that a step does not agree with.
fn disagrees(agreement: &Agreement, step: Step, stay: usize, before: &[(Step, usize)]) -> Option<OpId> {
    let [first, second] = agreement.ops;
    let other = if step.op == first {
        second
    } else if step.op == second {
        first
    } else {
        return None;
    };
    let (done, its_stay) = before.iter().find(|(done, _)| done.op == other)?;
    let pair = if step.op == first { [step.way, done.way] } else { [done.way, step.way] };
    let agrees = agreement.apart.contains(&pair) || (agreement.in_one && *its_stay == stay);
    (!agrees).then_some(other)
}

/// What the steps use. The steps must name what exists.
pub(super) fn tally(model: &Model, steps: &[Step]) -> Tally {
    let mut tally = Tally::default();
    let mut aids: Vec<_> = model.start.done.iter().flat_map(|op| &model.operations[op.0].aids).collect();
    let mut stands = model.start.standing;
    for step in steps {
        let op = &model.operations[step.op.0];
        let way = op.ways[step.way];
        let machine = |setup: super::SetupId| model.setups[setup.0].machine;
        let other_machine = stands.is_some_and(|(setup, _)| machine(setup) != machine(way.setup));
        let other_tool = stands.is_some_and(|(_, tool)| tool != way.tool);
        if other_machine {
            tally.machine_changes += 1;
        }
        if other_tool || other_machine {
            tally.tool_changes += 1;
        }
        if stands.is_none_or(|(setup, _)| setup != way.setup) {
            tally.minutes += model.setups[way.setup.0].minutes;
            if stands.is_some() || model.weights().first == FirstSetup::Counted {
                tally.setups += model.setups[way.setup.0].count;
            }
        }
        for aid in &op.aids {
            if !aids.contains(&aid) {
                aids.push(aid);
                tally.aids += 1;
            }
        }
        tally.minutes += way.minutes;
        stands = Some((way.setup, way.tool));
    }
    tally
}
