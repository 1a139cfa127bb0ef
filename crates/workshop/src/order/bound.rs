//! What the rest of the work must cost at least.
//!
//! Each kind of change is bounded by itself and the bounds are added: the cost is a
//! sum over kinds, so a sum of lower bounds is a lower bound.

use super::compile::{Bits, Book, KINDS, places};
use super::model::{FirstSetup, MOST};
use super::node::{Moment, View};

impl Book {
    /// A charge that no plan through this moment can go below.
    pub(super) fn bound(&self, moment: &Moment, view: &View, scratch: &mut Scratch) -> u64 {
        let w = &self.weights;
        let standing = |kind| {
            moment.stand.map(|stand| match kind {
                0 => usize::from(stand.setup),
                1 => usize::from(stand.fit),
                _ => usize::from(self.setup_machine[usize::from(stand.setup)]),
            })
        };
        let mut changes = [0; KINDS];
        for (kind, weight) in [(0, w.setup), (1, w.tool_change), (2, w.machine_change)] {
            if weight == 0 {
                continue;
            }
            let visits = self.visits(kind, standing(kind), view, scratch);
            // The first visit of all is not a change, unless it is a setup that counts.
            let uncharged = moment.stand.is_none() && !(kind == 0 && w.first == FirstSetup::Counted);
            changes[kind] = if uncharged { visits.saturating_sub(1) } else { visits };
        }
        let [mut setups, mut tools, machines] = changes;
        if w.setup > 0 && w.tool_change > 0 {
            let both = self.setups_and_tools(moment, view);
            if w.setup < w.tool_change {
                setups = setups.max(both.saturating_sub(tools)); // more setups are the cheaper way
            }
            tools = tools.max(both.saturating_sub(setups));
        }
        moment.spent
            + w.setup * setups
            + w.tool_change * tools
            + w.machine_change * machines
            + self.aids_and_minutes(moment, view)
    }

    /// How many setups and tool changes there must be at least, counted together.
    ///
    /// Every new stand (a tool in a setup) is entered by a change of setup, of tool, or
    /// of both; by both wherever the setup has no tool in common with another one.
    fn setups_and_tools(&self, moment: &Moment, view: &View) -> u64 {
        if self.stands.len() > MOST {
            return 0;
        }
        let here = moment.stand.map_or(0, |stand| self.stand_bit(stand));
        let mut counted = here;
        let mut stands = 0;
        let mut wide: Vec<Bits> = Vec::new();
        for i in places(view.required) {
            let at = self.ops[i].stands;
            if at.is_power_of_two() {
                stands += u64::from(at & counted == 0);
                counted |= at;
            } else {
                wide.push(at);
            }
        }
        wide.sort_by_key(|at| (at.count_ones(), *at));
        for at in wide {
            if at & counted == 0 {
                stands += 1;
                counted |= at;
            }
        }
        // Tools in one setup only, as far as what may still be done goes.
        let still = places(view.viable).fold(here, |all, i| all | self.ops[i].stands);
        let (mut once, mut twice) = (0, 0);
        for stand in places(still).map(|s| self.stands[s]) {
            let fit: Bits = 1 << stand.fit;
            twice |= once & fit;
            once |= fit;
        }
        let shares = places(still).map(|s| self.stands[s]).filter(|s| twice >> s.fit & 1 == 1);
        let sharing = shares.fold(0, |all: Bits, s| all | 1 << s.setup);
        let here = moment.stand.map_or(0, |stand| 1 << stand.setup);
        let sure = places(view.required).map(|i| self.ops[i].at[0]).filter(|at| at.is_power_of_two());
        let apart = sure.fold(0, |all: Bits, at| all | at) & !sharing & !here;
        let all = stands + u64::from(apart.count_ones());
        match moment.stand {
            Some(_) => all,
            // The first tool is no change, and the first setup may be free.
            None => all.saturating_sub(1 + u64::from(self.weights.first != FirstSetup::Counted)),
        }
    }

    /// Aids and minutes still to pay. Minutes of an open choice are those of its
    /// quickest variant; aids of open choices may be shared, so only the choice that
    /// needs most is counted.
    fn aids_and_minutes(&self, moment: &Moment, view: &View) -> u64 {
        let (mut aids, mut minutes) = (0, 0);
        for i in places(view.required) {
            aids |= self.ops[i].aids;
            minutes += self.ops[i].least_minutes;
        }
        aids &= !moment.aids;
        let mut most = 0;
        for &g in &view.open {
            let (mut fewest, mut quickest) = (u32::MAX, u64::MAX);
            for &variant in self.groups[g].iter().filter(|&&v| v & !view.viable == 0) {
                let own = places(variant).fold(0, |all, i| all | self.ops[i].aids);
                fewest = fewest.min((own & !moment.aids & !aids).count_ones());
                quickest = quickest.min(places(variant).map(|i| self.ops[i].least_minutes).sum());
            }
            most = most.max(fewest);
            minutes += quickest;
        }
        self.weights.aid * u64::from(aids.count_ones() + most) + minutes
    }

    /// How many times at least something new has to be set up (or put in a spindle, or
    /// moved to): visits to one setup cannot serve another, so visits that different
    /// setups need by themselves are added.
    ///
    /// An operation that can be done in one setup only needs a visit to it; two such
    /// need two visits when something that cannot be done there must come between.
    /// Along each chain of operations that must follow one another the visits are
    /// counted, and for each setup the longest count stands. Then operations with
    /// several setups are added when none of these is counted yet.
    fn visits(&self, kind: usize, here: Option<usize>, view: &View, scratch: &mut Scratch) -> u64 {
        let singles = places(view.required)
            .map(|i| self.ops[i].at[kind])
            .filter(|at| at.is_power_of_two())
            .fold(0, |all, at| all | at);
        let keys: Vec<usize> = places(singles | here.map_or(0, |k| 1 << k)).collect();
        scratch.fit(self.ops.len(), keys.len());
        let mut most = [0_u8; 128];
        // 2v - 1 while visit v may still last, 2v once something must have ended it.
        for &i in self.order.iter().filter(|&&i| view.required >> i & 1 == 1) {
            let at = self.ops[i].at[kind];
            let row = i * scratch.keys;
            for (k, &key) in keys.iter().enumerate() {
                scratch.at[row + k] = u8::from(here == Some(key));
            }
            for earlier in places(self.ops[i].just_before & view.required) {
                for k in 0..keys.len() {
                    let so_far = scratch.at[earlier * scratch.keys + k];
                    scratch.at[row + k] = scratch.at[row + k].max(so_far);
                }
            }
            for (k, &key) in keys.iter().enumerate() {
                let so_far = scratch.at[row + k];
                let lasts = so_far % 2 == 1;
                let starts = at == 1 << key && !lasts;
                let ends = at >> key & 1 == 0 && lasts;
                let now = so_far + u8::from(starts || ends);
                scratch.at[row + k] = now;
                most[k] = most[k].max(now);
            }
        }
        let mut sum = 0;
        let mut counted: Bits = here.map_or(0, |key| 1 << key);
        for (k, &key) in keys.iter().enumerate() {
            let visits = u64::from(most[k].div_ceil(2));
            sum += visits - u64::from(here == Some(key) && visits > 0);
            counted |= 1 << key;
        }
        // Narrow needs first: they leave most room for others.
        let mut wide: Vec<Bits> = places(view.required).map(|i| self.ops[i].at[kind]).collect();
        wide.extend(view.open.iter().filter_map(|&g| self.least_of_choice(kind, g, view)));
        wide.retain(|at| at & counted == 0);
        wide.sort_by_key(|at| (at.count_ones(), *at));
        for at in wide {
            if at & counted == 0 {
                sum += 1;
                counted |= at;
            }
        }
        sum
    }

    /// Where an open choice will surely have to go: to one of these. `None` when a
    /// variant has nothing to do.
    fn least_of_choice(&self, kind: usize, group: usize, view: &View) -> Option<Bits> {
        let viable = self.groups[group].iter().filter(|&&v| v & !view.viable == 0);
        viable
            .map(|&v| places(v).map(|i| self.ops[i].at[kind]).min_by_key(|at| at.count_ones()))
            .try_fold(0, |all, at| Some(all | at?))
    }
}

/// Room for the counts of one bound, kept from call to call.
#[derive(Default)]
pub(super) struct Scratch {
    at: Vec<u8>,
    keys: usize,
}

impl Scratch {
    fn fit(&mut self, ops: usize, keys: usize) {
        self.keys = keys;
        if self.at.len() < ops * keys {
            self.at.resize(ops * keys, 0);
        }
    }
}

const _: () = assert!(KINDS == 3);
