//! What the rest of the work must cost at least.
//!
//! Each kind of change is bounded by itself and the bounds are added: the cost is a
//! sum over kinds, so a sum of lower bounds is a lower bound. What setups and machines
//! must cost is known better still from planning by setups alone (`coarse.rs`).

use super::compile::{Bits, Book, FIT, KINDS, MACHINE, SETUP, STAND, places};
use super::model::{FirstSetup, MOST};
use super::node::{Moment, View};

/// How often something new must be entered at least, and what that costs.
#[derive(Clone, Copy, Default)]
struct Visits {
    count: u64,
    charge: u64,
}

impl Book {
    /// A charge that no plan through this moment can go below. `setting` is what setups,
    /// setting up and machines will still cost at least, by [`super::coarse`].
    pub(super) fn bound(&self, moment: &Moment, view: &View, setting: u64, scratch: &mut Scratch) -> u64 {
        let w = &self.weights;
        let mut changing = 0;
        if w.tool_change > 0 {
            let tools = self.visits(FIT, moment, view, scratch).count;
            // The first tool is no change.
            let tools = if moment.stand.is_none() { tools.saturating_sub(1) } else { tools };
            let both = self.setups_and_tools(moment, view, scratch);
            // So many more setups, with as few tool changes as they leave: none of it can be
            // bettered by yet another setup, unless setups are the cheaper.
            let least = |setups: u64| {
                let tools = tools.max(both.saturating_sub(setups));
                (setting.max(w.setup * setups), tools)
            };
            let weighed = |(setting, tools): (u64, u64)| setting + w.tool_change * tools;
            let best = match setting.checked_div(w.setup) {
                Some(setups) if w.setup >= w.tool_change => {
                    weighed(least(setups)).min(weighed(least(setups + 1)))
                }
                _ => setting + w.tool_change * tools,
            };
            changing = best - setting;
        }
        moment.spent + setting + changing + self.aids_and_minutes(moment, view)
    }

    /// What setups, setting up and machines must cost at least, from visits.
    pub(super) fn setting(&self, moment: &Moment, view: &View, scratch: &mut Scratch) -> u64 {
        let w = &self.weights;
        let setups = self.visits(SETUP, moment, view, scratch);
        let machines = match w.machine_change {
            0 => 0,
            weight => {
                let count = self.visits(MACHINE, moment, view, scratch).count;
                weight * if moment.stand.is_none() { count.saturating_sub(1) } else { count }
            }
        };
        setups.charge + machines
    }

    /// What entering one of a kind is charged. The first setup, where it is free, still takes
    /// its minutes; what it saves is taken off by whoever adds up.
    fn price(&self, kind: usize, key: usize) -> u64 {
        match kind {
            SETUP => self.weights.setup * self.setup_count[key] + self.setup_minutes[key],
            _ => 1,
        }
    }

    /// How many setups and tool changes there must be at least, counted together.
    ///
    /// Every new stand (a tool in a setup) is entered by a change of setup, of tool, or
    /// of both; by both wherever the setup has no tool in common with another one. Stands in
    /// setups that count for none may be entered for nothing, and are left out.
    fn setups_and_tools(&self, moment: &Moment, view: &View, scratch: &mut Scratch) -> u64 {
        if self.stands.len() > MOST {
            return 0;
        }
        let here = moment.stand.map_or(0, |stand| 1 << self.stand_place(stand));
        let stands = self.visits(STAND, moment, view, scratch).count;
        // Tools in one setup only, as far as what may still be done goes.
        let still = places(view.viable).fold(here, |all, i| all | self.ops[i].at[STAND]);
        let (mut once, mut twice) = (0, 0);
        for stand in places(still).map(|s| self.stands[s]) {
            let fit: Bits = 1 << stand.fit;
            twice |= once & fit;
            once |= fit;
        }
        let shares = places(still).map(|s| self.stands[s]).filter(|s| twice >> s.fit & 1 == 1);
        let sharing = shares.fold(0, |all: Bits, s| all | 1 << s.setup);
        let here = moment.stand.map_or(0, |stand| 1 << stand.setup);
        let sure = places(view.required).map(|i| self.ops[i].at[SETUP]).filter(|at| at.is_power_of_two());
        let apart = sure.fold(0, |all: Bits, at| all | at) & !sharing & !here;
        let apart = places(apart).filter(|&setup| self.setup_counts(setup));
        let all = stands + apart.count() as u64;
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
    /// counted, and for each setup the longest count stands. Setups that would be visited
    /// once only can be put in a row: where each of a ring of them has something that must
    /// come before something in the next, one is visited again. Then operations with
    /// several setups are added when none of these is counted yet.
    fn visits(&self, kind: usize, moment: &Moment, view: &View, scratch: &mut Scratch) -> Visits {
        let here = moment.stand.map(|stand| match kind {
            SETUP => usize::from(stand.setup),
            FIT => usize::from(stand.fit),
            MACHINE => usize::from(self.setup_machine[usize::from(stand.setup)]),
            _ => self.stand_place(stand),
        });
        let singles = places(view.required)
            .map(|i| self.ops[i].at[kind])
            .filter(|at| at.is_power_of_two())
            .fold(0, |all, at| all | at);
        let start = singles | here.map_or(0, |k| 1 << k);
        let count = start.count_ones() as usize;
        let mut keys = [0_u8; 128];
        let mut row_of = [0_u8; 128];
        for (k, key) in places(start).enumerate() {
            (keys[k], row_of[key]) = (key as u8, k as u8);
        }
        let keys = &keys[..count];
        scratch.fit(self.ops.len(), count);
        let mut most = [0_u8; 128];
        if let Some(here) = here {
            most[usize::from(row_of[here])] = 1;
        }
        let followed = places(view.required).fold(0, |all, i| all | self.ops[i].just_before);
        // 2v - 1 while visit v may still last, 2v once something must have ended it.
        for &i in self.order.iter().filter(|&&i| view.required >> i & 1 == 1) {
            let at = self.ops[i].at[kind];
            let earlier = self.ops[i].just_before & view.required;
            if followed >> i & 1 == 0 {
                // Nothing follows: only a visit of its own tells.
                if at.is_power_of_two() {
                    let k = usize::from(row_of[at.trailing_zeros() as usize]);
                    let base = u8::from(here == Some(usize::from(keys[k])));
                    let so_far = places(earlier).map(|i| scratch.at[i * count + k]).fold(base, u8::max);
                    most[k] = most[k].max(so_far + u8::from(so_far % 2 == 0));
                }
                continue;
            }
            let (rows, row) = (&mut scratch.at, i * count);
            rows[row..row + count].fill(0);
            if let Some(here) = here {
                rows[row + usize::from(row_of[here])] = 1;
            }
            for earlier in places(earlier) {
                // Rows stand in any order, so one of the two is cut off first.
                let (low, high) = rows.split_at_mut(row.max(earlier * count));
                let (mine, theirs) = match row < earlier * count {
                    true => (&mut low[row..row + count], &high[..count]),
                    false => (&mut high[..count], &low[earlier * count..earlier * count + count]),
                };
                mine.iter_mut().zip(theirs).for_each(|(mine, theirs)| *mine = (*mine).max(*theirs));
            }
            let mine = &mut rows[row..row + count];
            let mut stays = [0_u8; 128];
            for key in places(at & start) {
                let k = usize::from(row_of[key]);
                stays[k] = mine[k] + u8::from(at.is_power_of_two() && mine[k] % 2 == 0);
            }
            mine.iter_mut().for_each(|so_far| *so_far += *so_far & 1);
            for key in places(at & start) {
                let k = usize::from(row_of[key]);
                mine[k] = stays[k];
            }
            most.iter_mut().zip(mine).for_each(|(most, mine)| *most = (*most).max(*mine));
        }
        let mut sum = Visits::default();
        let uncounted = if kind == STAND { self.uncounted } else { 0 };
        let mut counted: Bits = here.map_or(0, |key| 1 << key) | uncounted;
        let mut once: Bits = 0;
        for (k, key) in places(start).enumerate().filter(|(_, key)| uncounted >> key & 1 == 0) {
            let visits = u64::from(most[k].div_ceil(2));
            let new = visits - u64::from(here == Some(key) && visits > 0);
            sum.count += new;
            sum.charge += new * self.price(kind, key);
            counted |= 1 << key;
            if visits == 1 && here != Some(key) {
                once |= 1 << key;
            }
        }
        let rings = self.rings(kind, once, view);
        (sum.count, sum.charge) = (sum.count + rings.count, sum.charge + rings.charge);
        // Narrow needs first: they leave most room for others.
        let mut wide: Vec<Bits> = places(view.required).map(|i| self.ops[i].at[kind]).collect();
        wide.extend(view.open.iter().filter_map(|&g| self.least_of_choice(kind, g, view)));
        wide.retain(|at| at & counted == 0);
        wide.sort_by_key(|at| (at.count_ones(), *at));
        for at in wide {
            if at & counted == 0 {
                sum.count += 1;
                sum.charge += places(at).map(|key| self.price(kind, key)).min().unwrap_or(0);
                counted |= at;
            }
        }
        // The first setup may be free.
        if kind == SETUP && moment.stand.is_none() && self.weights.first != FirstSetup::Counted {
            sum.charge = sum.charge.saturating_sub(self.dearest_setup());
        }
        sum
    }

    /// The most that a first setup that is not charged can save.
    pub(super) fn dearest_setup(&self) -> u64 {
        self.weights.setup * self.setup_count.iter().max().unwrap_or(&0)
    }

    /// Rings among those visited once as yet, no two of which share one: in each, one has to
    /// be visited again.
    fn rings(&self, kind: usize, once: Bits, view: &View) -> Visits {
        let mut sum = Visits::default();
        if once.count_ones() < 2 {
            return sum;
        }
        // Of each key, those that must be visited before its visit ends.
        let mut before = [0 as Bits; 128];
        for j in places(view.required) {
            let at = self.ops[j].at[kind];
            if at.is_power_of_two() && at & once != 0 {
                let key = at.trailing_zeros() as usize;
                for i in places(self.ops[j].before & view.required) {
                    let other = self.ops[i].at[kind];
                    if other.is_power_of_two() && other != at {
                        before[key] |= other;
                    }
                }
            }
        }
        let mut left = once;
        while let Some(ring) = shortest_ring(&before, left) {
            sum.count += 1;
            sum.charge += places(ring).map(|key| self.price(kind, key)).min().unwrap_or(0);
            left &= !ring;
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

/// A shortest ring of keys, each before the next, among some; `None` when they can be put
/// in a row.
fn shortest_ring(before: &[Bits; 128], among: Bits) -> Option<Bits> {
    // Whoever has nobody before it, or comes before nobody, is in no ring.
    let mut left = among;
    loop {
        let into = places(left).filter(|&key| before[key] & left != 0).fold(0, |all, key| all | 1 << key);
        let out = places(left).fold(0, |all, key| all | before[key]);
        let kept = left & into & out;
        if kept == left {
            break;
        }
        left = kept;
    }
    let mut shortest: Option<Bits> = None;
    for from in places(left) {
        let most = shortest.map_or(u32::MAX, Bits::count_ones);
        if let Some(ring) = ring_through(before, left, from, most) {
            shortest = Some(ring);
            if ring.count_ones() == 2 {
                break;
            }
        }
    }
    shortest
}

/// A shortest ring through a key with fewer than `most` keys.
fn ring_through(before: &[Bits; 128], among: Bits, from: usize, most: u32) -> Option<Bits> {
    let mut layers: Vec<Bits> = vec![1 << from];
    let mut seen: Bits = 1 << from;
    while (layers.len() as u32) < most {
        let next = places(layers[layers.len() - 1]).fold(0, |all, key| all | before[key]) & among;
        if next >> from & 1 == 1 {
            // Back along the layers: each of the ring has the one after it before it.
            let mut last: Bits = 1 << from;
            let mut ring = last;
            for layer in layers[1..].iter().rev() {
                let one = places(*layer).find(|&key| before[key] & last != 0)?;
                last = 1 << one;
                ring |= last;
            }
            return Some(ring);
        }
        if next & !seen == 0 {
            return None;
        }
        layers.push(next & !seen);
        seen |= next;
    }
    None
}

/// Room for the counts of one bound, kept from call to call.
#[derive(Default)]
pub(super) struct Scratch {
    at: Vec<u8>,
}

impl Scratch {
    fn fit(&mut self, ops: usize, keys: usize) {
        if self.at.len() < ops * keys {
            self.at.resize(ops * keys, 0);
        }
    }
}

const _: () = assert!(KINDS == 4);
