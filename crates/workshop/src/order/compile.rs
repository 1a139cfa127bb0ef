//! A model in bits: what the search needs to know of each operation, worked out once.

use super::agree::Marks;
use super::model::{After, MOST, Model, OpId, Presence, Weights};

/// A set of operations, tokens, setups… by place.
pub(super) type Bits = u128;

/// The places in a set, least first.
pub(super) fn places(mut bits: Bits) -> impl Iterator<Item = usize> {
    std::iter::from_fn(move || {
        (bits != 0).then(|| {
            let place = bits.trailing_zeros() as usize;
            bits &= bits - 1;
            place
        })
    })
}

/// What the change charges look at: where the work is held, and what is in which spindle.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug)]
pub(super) struct Stand {
    pub setup: u8,
    /// A tool on a machine: two steps share it exactly when neither differs.
    pub fit: u8,
}

impl Stand {
    /// The setup, whatever the tool.
    pub(super) const fn with_any_tool(self) -> Self {
        Self { fit: 0, ..self }
    }
}

/// Where a way stands, and what it costs beside changes.
#[derive(Clone, Copy, Debug)]
pub(super) struct CompiledWay {
    pub stand: Stand,
    pub minutes: u64,
    /// Its place in the model's list.
    pub way: usize,
    /// What doing it so leaves to agree with: one mark or none.
    pub mark: Bits,
    /// The marks it agrees with though the work was taken up since.
    pub apart: Bits,
    /// The marks it agrees with, the work not taken up since.
    pub in_one: Bits,
}

/// One operation in bits.
#[derive(Clone)]
pub(super) struct Compiled {
    pub ways: Vec<CompiledWay>,
    pub needs: Bits,
    pub absent: Bits,
    pub makes: Bits,
    pub spoils: Bits,
    pub aids: Bits,
    /// Operations that cannot be done once this one has been.
    pub earlier: Bits,
    /// Needs shared by every way, with those of its setups.
    pub hard_needs: Bits,
    /// Needs of any way, with those of its setups.
    pub any_needs: Bits,
    /// Operations of the other variants of its choice.
    pub rivals: Bits,
    /// The marks of operations that it has to agree with, and those operations.
    pub kin: Bits,
    pub kin_ops: Bits,
    /// The setups, fits, machines and stands of its ways; stands by place in
    /// [`Book::stands`], none where there are more than [`MOST`].
    pub at: [Bits; KINDS],
    pub least_minutes: u64,
    /// Operations that come before this one in every plan that holds both.
    pub before: Bits,
    /// Of those, the ones not already implied by another that every plan holds.
    pub just_before: Bits,
}

/// What a change can be of.
pub(super) const KINDS: usize = 4;
/// Of the setup.
pub(super) const SETUP: usize = 0;
/// Of the fit: a tool on a machine.
pub(super) const FIT: usize = 1;
/// Of the machine.
pub(super) const MACHINE: usize = 2;
/// Of the stand: of setup, fit or both.
pub(super) const STAND: usize = 3;

/// The model in bits.
#[derive(Clone)]
pub(super) struct Book {
    pub ops: Vec<Compiled>,
    /// For each choice, the operations of each variant.
    pub groups: Vec<Vec<Bits>>,
    /// Operations outside every choice.
    pub mandatory: Bits,
    /// Who makes each token.
    pub makers: Vec<Bits>,
    pub setup_needs: Vec<Bits>,
    pub setup_minutes: Vec<u64>,
    pub setup_count: Vec<u64>,
    pub setup_machine: Vec<u8>,
    pub weights: Weights,
    /// Every stand there may be; beyond [`MOST`] of them, sets of stands mean nothing.
    pub stands: Vec<Stand>,
    /// Those stands whose setup counts for none.
    pub uncounted: Bits,
    /// The operations in an order that keeps every `before`.
    pub order: Vec<usize>,
    /// The tokens that are there before anything is done.
    pub at_start: Bits,
    pub start_done: Bits,
    pub start_tokens: Bits,
    pub start_aids: Bits,
    pub standing: Option<Stand>,
}

fn bits(ids: impl Iterator<Item = usize>) -> Bits {
    ids.fold(0, |all, id| all | 1 << id)
}

impl Book {
    /// Sets the model out in bits. The model must be free of [`Model::faults`].
    pub(super) fn new(model: &Model) -> Self {
        let count = model.operations.len();
        let setup_needs: Vec<Bits> =
            model.setups.iter().map(|s| bits(s.needs.iter().map(|n| n.token.0))).collect();
        let groups: Vec<Vec<Bits>> = (0..model.groups.len())
            .map(|g| {
                let of = |v| {
                    let mine = |&i: &usize| {
                        model.operations[i].choice.is_some_and(|c| c.group.0 == g && c.variant == v)
                    };
                    bits((0..count).filter(mine))
                };
                (0..model.groups[g].variants.len()).map(of).collect()
            })
            .collect();
        let fit = |setup: usize, tool: usize| {
            (model.setups[setup].machine.0 * model.tools.len() + tool) as u8 // under MOST, by `faults`
        };
        let marks = Marks::of(model);
        let ops: Vec<Compiled> = (0..count)
            .map(|i| {
                let op = &model.operations[i];
                let mut ways: Vec<CompiledWay> = Vec::new();
                for (way, w) in op.ways.iter().enumerate() {
                    let stand = Stand { setup: w.setup.0 as u8, fit: fit(w.setup.0, w.tool.0) };
                    let [mark, apart, in_one] = marks.of_way(i, way);
                    let this = CompiledWay { stand, minutes: w.minutes, way, mark, apart, in_one };
                    let agrees = |x: &CompiledWay| [x.mark, x.apart, x.in_one] == [mark, apart, in_one];
                    match ways.iter_mut().find(|x| x.stand == stand && agrees(x)) {
                        Some(same) if same.minutes <= w.minutes => {}
                        Some(same) => *same = this,
                        None => ways.push(this),
                    }
                }
                let needs = bits(op.needs.iter().map(|n| n.token.0));
                let holds = || op.ways.iter().map(|w| setup_needs[w.setup.0]);
                let earlier = op.after.iter().fold(0, |all, after| {
                    all | match after {
                        After::Operation(OpId(before), _) => 1 << before,
                        After::Group(group, _) => groups[group.0].iter().fold(0, |a, v| a | v),
                    }
                });
                let rivals = op.choice.map_or(0, |c| {
                    let others = groups[c.group.0].iter().enumerate().filter(|&(v, _)| v != c.variant);
                    others.fold(0, |all, (_, v)| all | v)
                });
                Compiled {
                    needs,
                    absent: bits(op.needs_absent.iter().map(|n| n.token.0)),
                    makes: bits(op.makes.iter().map(|t| t.0)),
                    spoils: bits(op.spoils.iter().map(|s| s.token.0)),
                    aids: bits(op.aids.iter().map(|a| a.0)),
                    earlier,
                    hard_needs: needs | holds().fold(Bits::MAX, |all, n| all & n),
                    any_needs: needs | holds().fold(0, |all, n| all | n),
                    rivals,
                    kin: marks.kin[i],
                    kin_ops: marks.kin_ops[i],
                    at: [
                        bits(ways.iter().map(|w| usize::from(w.stand.setup))),
                        bits(ways.iter().map(|w| usize::from(w.stand.fit))),
                        bits(op.ways.iter().map(|w| model.setups[w.setup.0].machine.0)),
                        0,
                    ],
                    least_minutes: ways.iter().map(|w| w.minutes).min().unwrap_or(0),
                    ways,
                    before: 0,
                    just_before: 0,
                }
            })
            .collect();
        let chosen = groups.iter().flatten().fold(0, |all, v| all | v);
        let makers = (0..model.tokens.len())
            .map(|t| bits((0..count).filter(|&i| ops[i].makes >> t & 1 == 1)))
            .collect();
        let mut book = Self {
            mandatory: bits(0..count) & !chosen,
            groups,
            makers,
            setup_minutes: model.setups.iter().map(|s| s.minutes).collect(),
            setup_count: model.setups.iter().map(|s| s.count).collect(),
            setup_machine: model.setups.iter().map(|s| s.machine.0 as u8).collect(),
            setup_needs,
            weights: model.weights(),
            stands: Vec::new(),
            uncounted: 0,
            order: Vec::new(),
            start_done: bits(model.start.done.iter().map(|op| op.0)),
            at_start: 0,
            start_tokens: 0,
            start_aids: 0,
            standing: model.start.standing.map(|(s, t)| Stand { setup: s.0 as u8, fit: fit(s.0, t.0) }),
            ops,
        };
        book.list_stands();
        let present = |&t: &usize| model.tokens[t].at_start == Presence::Present;
        let tokens = bits((0..model.tokens.len()).filter(present));
        book.at_start = tokens;
        book.find_before();
        book.start_tokens = tokens;
        for OpId(op) in &model.start.done {
            book.start_tokens = book.ops[*op].leaves(book.start_tokens);
            book.start_aids |= book.ops[*op].aids;
        }
        book
    }

    /// Lists every stand, and of each operation where it may stand.
    fn list_stands(&mut self) {
        let of_ways = self.ops.iter().flat_map(|op| &op.ways).map(|way| way.stand);
        self.stands = of_ways.chain(self.standing).collect();
        self.stands.sort();
        self.stands.dedup();
        if self.stands.len() <= MOST {
            let counts = |place: &usize| self.setup_counts(usize::from(self.stands[*place].setup));
            self.uncounted = bits((0..self.stands.len()).filter(|place| !counts(place)));
            for i in 0..self.ops.len() {
                let at = bits(self.ops[i].ways.iter().map(|way| self.stand_place(way.stand)));
                self.ops[i].at[STAND] = at;
            }
        }
    }

    /// Whether entering a setup counts as setting up.
    pub(super) fn setup_counts(&self, setup: usize) -> bool {
        self.setup_count[setup] > 0
    }

    /// The place of a stand in the list.
    pub(super) fn stand_place(&self, stand: Stand) -> usize {
        self.stands.binary_search(&stand).expect("every stand is listed")
    }

    /// The same work where only setups and machines cost anything: whatever can be done in a
    /// setup is done with one tool, in no time, without aids. No plan of the work itself
    /// spends less on setups, setting up and machines than the best plan of this.
    pub(super) fn by_setups(&self) -> Self {
        let mut coarse = self.clone();
        (coarse.weights.tool_change, coarse.weights.aid, coarse.start_aids) = (0, 0, 0);
        coarse.standing = self.standing.map(Stand::with_any_tool);
        for op in &mut coarse.ops {
            (op.aids, op.least_minutes, op.at[FIT]) = (0, 0, 1);
            for way in &mut op.ways {
                (way.stand, way.minutes) = (way.stand.with_any_tool(), 0);
            }
            op.ways = one_of_each(&op.ways);
        }
        coarse.list_stands();
        coarse
    }

    /// Leaves an operation only some of its ways.
    pub(super) fn keep_ways(&mut self, i: usize, keep: impl Fn(&CompiledWay) -> bool) {
        self.ops[i].ways.retain(keep);
        self.sum_up_ways(i);
        self.list_stands();
    }

    /// Sums up all ways anew, and what comes before what.
    pub(super) fn summed_up(&mut self) {
        for i in 0..self.ops.len() {
            self.sum_up_ways(i);
        }
        self.list_stands();
        self.find_before();
    }

    fn sum_up_ways(&mut self, i: usize) {
        let op = &mut self.ops[i];
        let ways = &op.ways;
        op.at[SETUP] = bits(ways.iter().map(|w| usize::from(w.stand.setup)));
        op.at[FIT] = bits(ways.iter().map(|w| usize::from(w.stand.fit)));
        op.at[MACHINE] =
            bits(ways.iter().map(|w| usize::from(self.setup_machine[usize::from(w.stand.setup)])));
        op.least_minutes = ways.iter().map(|w| w.minutes).min().unwrap_or(0);
    }

    /// Works out which operations always come before which, from `after` and from
    /// tokens that can come or go in one way only.
    ///
    /// All of it speaks of whole plans from the very start; work already done may
    /// have broken a rule, so only pairs still undone are ever looked at.
    fn find_before(&mut self) {
        let count = self.ops.len();
        let mut before: Vec<Bits> = self.ops.iter().map(|op| op.earlier).collect();
        let spoilers: Vec<Bits> = (0..self.makers.len())
            .map(|t| bits((0..count).filter(|&i| self.ops[i].loses() >> t & 1 == 1)))
            .collect();
        loop {
            let mut next = before.clone();
            for i in 0..count {
                let op = &self.ops[i];
                for t in places(op.hard_needs & !self.at_start) {
                    if self.makers[t].is_power_of_two() {
                        next[i] |= self.makers[t];
                    }
                }
                for t in places(op.absent & self.at_start) {
                    if spoilers[t].is_power_of_two() {
                        next[i] |= spoilers[t];
                    }
                }
                // What it takes away for good, others must have used before.
                for t in places(op.loses()) {
                    if self.makers[t] & !before[i] == 0 {
                        next[i] |= bits((0..count).filter(|&u| self.ops[u].hard_needs >> t & 1 == 1));
                    }
                }
                // What it gives for good, others that must not meet it come before.
                for t in places(op.makes) {
                    if spoilers[t] & !before[i] == 0 {
                        next[i] |= bits((0..count).filter(|&u| self.ops[u].absent >> t & 1 == 1));
                    }
                }
                // Through an operation that is still to come in every plan.
                for m in places(next[i] & self.mandatory & !self.start_done) {
                    next[i] |= before[m];
                }
                next[i] &= !(1 << i);
            }
            if next == before {
                break;
            }
            before = next;
        }
        self.order = linear(&before);
        // Operations in a ring keep only what stands earlier in the order: whoever counts
        // along chains may then rely on the order even inside a variant no plan holds.
        let mut passed: Bits = 0;
        for &i in &self.order {
            before[i] &= passed;
            passed |= 1 << i;
        }
        let always = self.mandatory & !self.start_done;
        for (op, mine) in self.ops.iter_mut().zip(&before) {
            op.before = *mine;
            op.just_before = places(mine & always).fold(*mine, |left, m| left & !before[m]);
        }
    }
}

/// The first of all ways that stand and agree alike.
fn one_of_each(ways: &[CompiledWay]) -> Vec<CompiledWay> {
    let like = |w: &CompiledWay| (w.stand, w.mark, w.apart, w.in_one);
    let mut kept: Vec<CompiledWay> = Vec::new();
    for way in ways {
        if !kept.iter().any(|w| like(w) == like(way)) {
            kept.push(*way);
        }
    }
    kept
}

impl Compiled {
    /// What is gone afterwards.
    pub(super) fn loses(&self) -> Bits {
        self.spoils & !self.makes
    }

    /// The tokens after it, from the tokens before it.
    pub(super) fn leaves(&self, tokens: Bits) -> Bits {
        tokens & !self.spoils | self.makes
    }
}

/// An order that keeps every pair; operations in a ring come last, for no plan holds them.
fn linear(before: &[Bits]) -> Vec<usize> {
    let count = before.len();
    let (mut order, mut left) = (Vec::with_capacity(count), bits(0..count));
    while let Some(next) = places(left).find(|&i| before[i] & left == 0) {
        order.push(next);
        left &= !(1 << next);
    }
    order.extend(places(left));
    order
}

const _: () = assert!(MOST <= Bits::BITS as usize && MOST <= u8::MAX as usize);
