//! What a valid plan is, and what it costs.
//!
//! Operations are done one after another. An operation may be done when every
//! token it needs, and every token its setup needs, exists; when every token it
//! must not meet is gone; and when nothing that has to come after it has been
//! done. Two operations whose places have to agree are done in one stay of the work in
//! a setup, or in ways that agree without. Doing an operation takes away what it spoils, then gives what it makes. At the end
//! every operation outside a choice is done once, and of every choice exactly one
//! variant is wholly done and nothing else of it.
//!
//! Everything is plain data with public fields; [`Model::faults`] finds what does
//! not hang together before any search begins.

macro_rules! id {
    ($(#[$doc:meta])* $name:ident) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub struct $name(pub usize);
    };
}
id!(/// A token, by its place in [`Model::tokens`].
    TokenId);
id!(/// A setup, by its place in [`Model::setups`].
    SetupId);
id!(/// A machine, by its place in [`Model::machines`].
    MachineId);
id!(/// A tool, by its place in [`Model::tools`].
    ToolId);
id!(/// An aid, by its place in [`Model::aids`].
    AidId);
id!(/// An either-or choice, by its place in [`Model::groups`].
    GroupId);
id!(/// An operation, by its place in [`Model::operations`].
    OpId);

/// Whether a token exists before any work is done.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Presence {
    /// It is there at the start: the sawn edge, the metal to clamp.
    Present,
    /// Some operation has to make it first.
    Absent,
}

/// Something that exists or does not at a moment: a locator, "the pair is stuck together".
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Token {
    /// In words that fit "there is no …": `square top edge`.
    pub name: String,
    /// Whether it exists before any work.
    pub at_start: Presence,
}

/// One holding of the work: machine, way up, held by, located from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Setup {
    /// As the sheet heads it.
    pub name: String,
    /// The machine it stands on.
    pub machine: MachineId,
    /// What must exist to hold and locate the work so.
    pub needs: Vec<Need>,
    /// Minutes each time the work is set up so.
    pub minutes: u64,
    /// How many setups each time counts for: two when two pieces alike go through it one
    /// after the other; none where the work is only laid down and nothing is set.
    pub count: u64,
    /// What is set for it.
    pub sets: Sets,
}

/// What is set where several pieces go through a setup one after another.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sets {
    /// Each time it is filled anew.
    EachTime,
    /// Once: jaws and stops stay as they are.
    Once,
    /// Nothing: the work is laid down and no more.
    Nothing,
}

impl Sets {
    /// How many setups a setup counts for that is filled so often.
    pub const fn count(self, fills: u64) -> u64 {
        match self {
            Self::EachTime => fills,
            Self::Once => 1,
            Self::Nothing => 0,
        }
    }
}

/// A tool as it goes in a spindle, tool post or hand.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Tool {
    /// As the sheet lists it.
    pub name: String,
}

/// A thing made only to make the part; charged once however often it is used.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Aid {
    /// As the sheet lists it.
    pub name: String,
}

/// A token that must exist (or must not), with the reason.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Need {
    /// The token.
    pub token: TokenId,
    /// Why, to follow "because".
    pub because: String,
}

/// A token that an operation takes away, with the reason.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Spoil {
    /// The token.
    pub token: TokenId,
    /// Why, to follow "because".
    pub because: String,
}

/// What an operation has to come after.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum After {
    /// One operation. Void when that operation belongs to a variant not chosen.
    Operation(OpId, String),
    /// Whatever variant of the choice is chosen, all of it.
    Group(GroupId, String),
}

/// One of the interchangeable ways to do an operation: same effect, different place or tool.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Way {
    /// The holding it is done in.
    pub setup: SetupId,
    /// The tool it is done with.
    pub tool: ToolId,
    /// Minutes at the work (or the charge of a published instance).
    pub minutes: u64,
}

/// Which variant of which choice an operation belongs to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Choice {
    /// The choice.
    pub group: GroupId,
    /// The variant, by its place in [`Group::variants`].
    pub variant: usize,
}

/// An either-or choice. A variant may have several operations, or none.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Group {
    /// What is chosen: `how the small end is rounded`.
    pub name: String,
    /// The variants by name: `rotary table`, `filing buttons`.
    pub variants: Vec<String>,
}

/// One operation.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Operation {
    /// Short, in the imperative: `slit the big boss`.
    pub name: String,
    /// The line on the sheet.
    pub text: String,
    /// The interchangeable ways; at least one.
    pub ways: Vec<Way>,
    /// What must exist.
    pub needs: Vec<Need>,
    /// What must not exist.
    pub needs_absent: Vec<Need>,
    /// What exists afterwards. A token both spoiled and made exists afterwards.
    pub makes: Vec<TokenId>,
    /// What no longer exists afterwards.
    pub spoils: Vec<Spoil>,
    /// What it has to come after.
    pub after: Vec<After>,
    /// The aids it uses.
    pub aids: Vec<AidId>,
    /// The variant it belongs to; `None` when it is always done.
    pub choice: Option<Choice>,
    /// What it does, whichever pieces it does it to.
    pub does: String,
    /// The pieces it does it to, by number; none where the model counts no pieces.
    pub pieces: Vec<usize>,
}

/// Where the work stands when planning begins.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Start {
    /// Operations already done, in the order they were done.
    pub done: Vec<OpId>,
    /// The setup and tool that stand ready, if any.
    pub standing: Option<(SetupId, ToolId)>,
}

/// Whether the first setup is charged like any other.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FirstSetup {
    /// It counts: somebody has to set it up.
    Counted,
    /// It does not, as in the published sequencing instances.
    Free,
}

/// How a plan is judged.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum Charges {
    /// Fewest setups; then tool changes; then aids to make; then minutes.
    #[default]
    InTurn,
    /// A weighted sum, as in the published sequencing instances.
    Weighted(Weights),
}

/// What each thing counted in a [`Tally`] weighs; minutes weigh 1.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Weights {
    /// A step on another machine than the step before.
    pub machine_change: u64,
    /// A step in another setup than the step before.
    pub setup: u64,
    /// A step with another tool, or on another machine, than the step before.
    pub tool_change: u64,
    /// An aid to be made.
    pub aid: u64,
    /// Whether the first setup is charged.
    pub first: FirstSetup,
}

/// What a plan uses. The first tool is not a change.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub struct Tally {
    /// Times the work moves to another machine.
    pub machine_changes: u64,
    /// Times the work is set up, by [`Setup::count`] (the first is left out under
    /// [`FirstSetup::Free`]).
    pub setups: u64,
    /// Times the tool or machine changes.
    pub tool_changes: u64,
    /// Aids to be made, those used by operations already done left out.
    pub aids: u64,
    /// Minutes at the work and setting up.
    pub minutes: u64,
}

impl Tally {
    /// The sum that is made least.
    pub fn score(&self, weights: &Weights) -> u64 {
        self.machine_changes * weights.machine_change
            + self.setups * weights.setup
            + self.tool_changes * weights.tool_change
            + self.aids * weights.aid
            + self.minutes
    }
}

/// One step: an operation, and which of its ways.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Step {
    /// The operation.
    pub op: OpId,
    /// The way, by its place in [`Operation::ways`].
    pub way: usize,
}

/// Two operations whose places on the work have to agree.
///
/// Where both are done, they are done while the work stays as it is set up, if that is
/// near enough, or in two ways that agree though the work is taken up between them. What
/// was done before planning began binds nothing: where it came out can be measured.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Agreement {
    /// The two.
    pub ops: [OpId; 2],
    /// Whether they agree when no other setup comes between them.
    pub in_one: bool,
    /// The ways of the one and of the other that agree whatever comes between them.
    pub apart: Vec<[usize; 2]>,
    /// Why, to follow "because".
    pub because: String,
}

/// How sure it is that no plan costs less.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Proof {
    /// No plan costs less.
    #[default]
    Optimal,
    /// The search stopped at its limit: no plan scores less than `bound`.
    Within {
        /// A score that no plan can beat.
        bound: u64,
    },
}

/// An order of work, as a certificate for [`super::check()`].
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Plan {
    /// What remains to be done, in order.
    pub steps: Vec<Step>,
    /// What it uses.
    pub tally: Tally,
    /// The tally weighed by the model's charges.
    pub score: u64,
    /// How sure it is that nothing is cheaper.
    pub proof: Proof,
    /// How many states the search kept.
    pub states: usize,
}

/// One rule of a model, for saying which one is broken or in conflict.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Rule {
    /// [`Setup::needs`], by place.
    SetupNeeds(SetupId, usize),
    /// [`Operation::needs`], by place.
    Needs(OpId, usize),
    /// [`Operation::needs_absent`], by place.
    NeedsAbsent(OpId, usize),
    /// [`Operation::spoils`], by place.
    Spoils(OpId, usize),
    /// [`Operation::after`], by place.
    After(OpId, usize),
    /// [`Model::agreements`], by place.
    Agrees(usize),
}

/// The whole question: what is to be done, with what, under which rules.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Model {
    /// The tokens.
    pub tokens: Vec<Token>,
    /// The machines, by name.
    pub machines: Vec<String>,
    /// The setups.
    pub setups: Vec<Setup>,
    /// The tools.
    pub tools: Vec<Tool>,
    /// The aids.
    pub aids: Vec<Aid>,
    /// The choices.
    pub groups: Vec<Group>,
    /// The operations. Where the cost does not care, they keep this order.
    pub operations: Vec<Operation>,
    /// The operations whose places have to agree.
    pub agreements: Vec<Agreement>,
    /// Where the work stands.
    pub start: Start,
    /// How a plan is judged.
    pub charges: Charges,
    /// How many pieces go through the work; nought where none are counted.
    pub pieces: usize,
    /// Of each setup, by place, the pieces that lie in it each time it is filled.
    pub fills: Vec<Vec<Vec<usize>>>,
}

/// The most of each kind a model may hold: sets of them are kept in 128 bits.
pub const MOST: usize = 128;
/// The most minutes one line may carry: about two months, far past any hobby part.
pub const MOST_MINUTES: u64 = 100_000;

impl Need {
    /// A need and its reason.
    pub fn new(token: TokenId, because: impl Into<String>) -> Self {
        Self { token, because: because.into() }
    }
}

impl Spoil {
    /// A loss and its reason.
    pub fn new(token: TokenId, because: impl Into<String>) -> Self {
        Self { token, because: because.into() }
    }
}

/// Adds to the end of a list and names the place.
fn put<T, I>(list: &mut Vec<T>, item: T, id: fn(usize) -> I) -> I {
    list.push(item);
    id(list.len() - 1)
}

impl Model {
    /// Adds a token.
    pub fn token(&mut self, name: impl Into<String>, at_start: Presence) -> TokenId {
        put(&mut self.tokens, Token { name: name.into(), at_start }, TokenId)
    }

    /// Adds a machine.
    pub fn machine(&mut self, name: impl Into<String>) -> MachineId {
        put(&mut self.machines, name.into(), MachineId)
    }

    /// Adds a setup.
    pub fn setup(&mut self, setup: Setup) -> SetupId {
        put(&mut self.setups, setup, SetupId)
    }

    /// Adds a tool.
    pub fn tool(&mut self, name: impl Into<String>) -> ToolId {
        put(&mut self.tools, Tool { name: name.into() }, ToolId)
    }

    /// Adds an aid.
    pub fn aid(&mut self, name: impl Into<String>) -> AidId {
        put(&mut self.aids, Aid { name: name.into() }, AidId)
    }

    /// Adds a choice with its variants by name.
    pub fn group(&mut self, name: impl Into<String>, variants: &[&str]) -> GroupId {
        let variants = variants.iter().map(|&v| v.to_owned()).collect();
        put(&mut self.groups, Group { name: name.into(), variants }, GroupId)
    }

    /// Adds an operation.
    pub fn operation(&mut self, operation: Operation) -> OpId {
        put(&mut self.operations, operation, OpId)
    }

    /// Pins one operation before another, because the person said so.
    pub fn pin(&mut self, first: OpId, then: OpId) {
        self.operations[then.0].after.push(After::Operation(first, "you asked for it".into()));
    }

    /// The operation's name, for sentences.
    pub fn name(&self, op: OpId) -> &str {
        &self.operations[op.0].name
    }
}
