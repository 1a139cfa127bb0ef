//! A moment in the work, and what can still follow from it.

use super::compile::{Bits, Book, CompiledWay, FIT, SETUP, Stand, places};

/// A moment: what is done, what exists, where the work stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Moment {
    pub done: Bits,
    /// Only those of [`View::looked_at`].
    pub tokens: Bits,
    pub aids: Bits,
    pub stand: Option<Stand>,
    /// What is done that something in [`View::looked_at_marks`] has to agree with.
    pub marks: Bits,
    /// Of those, the ones made since the work was last set up.
    pub here: Bits,
    /// The charges so far.
    pub spent: u64,
}

/// What can still follow from a moment.
pub(super) struct View {
    /// Operations that may still be done.
    pub viable: Bits,
    /// Operations that must still be done.
    pub required: Bits,
    /// Choices not yet settled, by place.
    pub open: Vec<usize>,
    /// Nothing need follow.
    pub finished: bool,
    /// The tokens that an operation still undone looks at. Moments that differ in others
    /// are the same moment. Operations that tokens alone have ruled out count too: with
    /// their token forgotten they would seem to be possible again.
    pub looked_at: Bits,
    /// The marks that an operation still undone has to agree with.
    pub looked_at_marks: Bits,
    /// Of the viable operations: what at least one, and at least two, of them touch.
    one: Touch,
    two: Touch,
}

/// Tokens touched by operations still to come.
#[derive(Clone, Copy, Default)]
struct Touch {
    needs: Bits,
    absent: Bits,
    makes: Bits,
    loses: Bits,
}

impl View {
    /// Looks ahead from a moment; `None` when no plan goes through it.
    pub(super) fn of(book: &Book, moment: &Moment) -> Option<Self> {
        let (done, tokens) = (moment.done, moment.tokens);
        let everything = if book.ops.len() == 128 { Bits::MAX } else { (1 << book.ops.len()) - 1 };
        let mut viable = everything & !done;
        for x in places(done) {
            viable &= !(book.ops[x].earlier | book.ops[x].rivals);
        }
        let undone = viable;
        for i in places(undone).filter(|&i| book.ops[i].kin & moment.marks != 0) {
            if !book.ops[i].ways.iter().any(|way| book.agrees(moment, i, way)) {
                viable &= !(1 << i);
            }
        }
        loop {
            let was = viable;
            let (mut makes, mut loses) = (0, 0);
            for i in places(viable) {
                makes |= book.ops[i].makes;
                loses |= book.ops[i].loses();
            }
            let (ever, always) = (tokens | makes, tokens & !loses);
            for i in places(viable) {
                let op = &book.ops[i];
                if op.hard_needs & !ever != 0 || op.absent & always != 0 {
                    viable &= !(1 << i);
                }
            }
            for variant in book.groups.iter().flatten() {
                if variant & !done & !viable != 0 {
                    viable &= !variant;
                }
            }
            if viable == was {
                break;
            }
        }
        let mut view = Self {
            viable,
            required: book.mandatory & !done,
            open: Vec::new(),
            finished: false,
            looked_at: places(undone).fold(0, |all, i| all | book.ops[i].any_needs | book.ops[i].absent),
            looked_at_marks: places(undone).fold(0, |all, i| all | book.ops[i].kin),
            one: Touch::default(),
            two: Touch::default(),
        };
        let mut settled = true;
        for (g, variants) in book.groups.iter().enumerate() {
            if let Some(&started) = variants.iter().find(|&&v| v & done != 0) {
                view.required |= started & !done;
                continue;
            }
            let mut left = variants.iter().filter(|&&v| v & !viable == 0);
            let first = *left.next()?;
            if left.next().is_some() {
                view.open.push(g);
                settled &= variants.contains(&0);
            } else {
                view.required |= first;
            }
        }
        if view.required & !viable != 0 {
            return None;
        }
        view.finished = settled && view.required == 0;
        for i in places(viable) {
            let op = &book.ops[i];
            let (one, two) = (&mut view.one, &mut view.two);
            for (one, two, mine) in [
                (&mut one.needs, &mut two.needs, op.any_needs),
                (&mut one.absent, &mut two.absent, op.absent),
                (&mut one.makes, &mut two.makes, op.makes),
                (&mut one.loses, &mut two.loses, op.loses()),
            ] {
                *two |= *one & mine;
                *one |= mine;
            }
        }
        Some(view)
    }

    /// Whether an operation's own needs are met now, its setup aside.
    pub(super) fn ready(&self, book: &Book, tokens: Bits, i: usize) -> bool {
        let op = &book.ops[i];
        op.needs & !tokens == 0
            && op.absent & tokens == 0
            && (op.earlier | op.before) & self.required & !(1 << i) == 0
    }

    /// Whether doing a ready operation now can close nothing off.
    ///
    /// It must be done in every plan from here, and doing it earlier than some
    /// other viable operation must not hurt that one. Take any plan from here
    /// and move the operation to the front. Between the front and its old place:
    /// a token it makes is there earlier, which hurts only who must not meet it; a
    /// token it takes away is gone earlier, which hurts only who needs it. From its
    /// old place on, a token it makes may now be missing only if another operation
    /// took it away in between (excluded when anyone needs it), and a token it takes
    /// away may now be back only if another made it in between (excluded when anyone
    /// must not meet it). An operation that would have to come before it is either
    /// required, and then it is not ready, or must no longer be viable. What still has to
    /// agree with it might not, were it done elsewhere: there must be no such operation.
    pub(super) fn harmless(&self, book: &Book, i: usize) -> bool {
        let op = &book.ops[i];
        let others = |one: Bits, two: Bits, mine: Bits| two | one & !mine;
        let needs = others(self.one.needs, self.two.needs, op.any_needs);
        let absent = others(self.one.absent, self.two.absent, op.absent);
        let makes = others(self.one.makes, self.two.makes, op.makes);
        let loses = others(self.one.loses, self.two.loses, op.loses());
        self.required >> i & 1 == 1
            && op.earlier & self.viable == 0
            && op.kin_ops & self.viable == 0
            && op.makes & absent == 0
            && op.makes & loses & needs == 0
            && op.loses() & needs == 0
            && op.loses() & makes & absent == 0
    }
}

impl Book {
    /// The moment planning begins.
    pub(super) fn start(&self) -> Moment {
        Moment {
            done: self.start_done,
            tokens: self.start_tokens,
            aids: self.start_aids,
            stand: self.standing,
            marks: 0,
            here: 0,
            spent: 0,
        }
    }

    /// The charge for changing from one stand to another.
    pub(super) fn change(&self, from: Option<Stand>, to: Stand) -> u64 {
        let w = &self.weights;
        let setting = self.setup_minutes[usize::from(to.setup)];
        let setup = w.setup * self.setup_count[usize::from(to.setup)];
        let Some(from) = from else {
            let first = if w.first == super::model::FirstSetup::Counted { setup } else { 0 };
            return first + setting;
        };
        let machine = |s: Stand| self.setup_machine[usize::from(s.setup)];
        let mut charge = 0;
        if machine(from) != machine(to) {
            charge += w.machine_change;
        }
        if from.setup != to.setup {
            charge += setup + setting;
        }
        if from.fit != to.fit {
            charge += w.tool_change;
        }
        charge
    }

    /// The moment after an operation done in one of its ways.
    pub(super) fn after(&self, moment: &Moment, i: usize, way: &CompiledWay) -> Moment {
        let op = &self.ops[i];
        let new_aids = (op.aids & !moment.aids).count_ones();
        let stays = moment.stand.is_some_and(|stand| stand.setup == way.stand.setup);
        Moment {
            done: moment.done | 1 << i,
            tokens: op.leaves(moment.tokens),
            aids: moment.aids | op.aids,
            stand: Some(way.stand),
            marks: moment.marks | way.mark,
            here: if stays { moment.here | way.mark } else { way.mark },
            spent: moment.spent
                + self.change(moment.stand, way.stand)
                + u64::from(new_aids) * self.weights.aid
                + way.minutes,
        }
    }

    /// Whether the setup of a way can be made now, and the way agrees with what is done.
    pub(super) fn holds(&self, moment: &Moment, i: usize, way: &CompiledWay) -> bool {
        self.is_held(moment, way) && self.agrees(moment, i, way)
    }

    /// Whether the setup of a way can be made now.
    pub(super) fn is_held(&self, moment: &Moment, way: &CompiledWay) -> bool {
        self.setup_needs[usize::from(way.stand.setup)] & !moment.tokens == 0
    }

    /// Whether an operation done so agrees with all that is done.
    fn agrees(&self, moment: &Moment, i: usize, way: &CompiledWay) -> bool {
        let left = moment.marks & self.ops[i].kin & !way.apart;
        let stays = moment.stand.is_some_and(|stand| stand.setup == way.stand.setup);
        left == 0 || (stays && left & !(moment.here & way.in_one) == 0)
    }

    /// An operation that is free now: harmless, and done here, with what is in the
    /// spindle, as quickly as anywhere.
    ///
    /// It is done at once, and nothing else is tried. Proof: by [`View::harmless`] any
    /// plan from here stays valid with the operation moved to the front. There it
    /// costs no change, no more minutes than in its old place, and its aids are paid in
    /// any case. At its old place the change from the step before it to the step after
    /// it costs no more than the two changes by way of it, since a change is charged
    /// by difference alone. So the moved plan costs no more. It comes in between no two
    /// operations that have to stay together, for it stands where the work stands; and
    /// where it is taken out, two stays may become one, which loosens only.
    ///
    /// What is free stays free when another such operation is done: there are only fewer
    /// left that it might hurt. So one look ahead serves for several of them.
    fn free(&self, view: &View, moment: &Moment, stand: Stand, i: usize) -> Option<CompiledWay> {
        let op = &self.ops[i];
        let quick = |w: &&CompiledWay| w.stand == stand && w.minutes == op.least_minutes;
        let way = op.ways.iter().filter(quick).find(|way| self.holds(moment, i, way))?;
        (view.ready(self, moment.tokens, i) && view.harmless(self, i)).then_some(*way)
    }

    /// Does all that is free. Ends with the view from where it stops, or `None` when no
    /// plan goes through here. Tells each step to `each`.
    pub(super) fn settle(&self, moment: &mut Moment, mut each: impl FnMut(usize, usize)) -> Option<View> {
        loop {
            let mut view = View::of(self, moment)?;
            moment.tokens &= view.looked_at;
            moment.marks &= view.looked_at_marks;
            moment.here &= moment.marks;
            let Some(stand) = moment.stand else { return Some(view) };
            let before = moment.done;
            for i in places(view.required) {
                if let Some(way) = self.free(&view, moment, stand, i) {
                    each(i, way.way);
                    *moment = self.after(moment, i, &way);
                    view.required &= !(1 << i);
                }
            }
            if moment.done == before {
                return Some(view);
            }
        }
    }

    /// The steps worth trying from a settled moment, in a fixed order.
    ///
    /// They are gathered by where they stand. Once the change to a stand is paid, an
    /// operation that is free there goes first, by the proof at [`Book::free`], so it is
    /// the only one tried at that stand.
    pub(super) fn steps(&self, moment: &Moment, view: &View) -> Vec<(usize, CompiledWay)> {
        let mut steps: Vec<(usize, CompiledWay)> = Vec::new();
        for i in places(view.viable).filter(|&i| view.ready(self, moment.tokens, i)) {
            let ways = self.ops[i].ways.iter().filter(|way| self.holds(moment, i, way));
            steps.extend(ways.map(|way| (i, *way)));
        }
        steps.sort_by_key(|(i, way)| (way.stand, *i));
        let calm = places(view.required)
            .filter(|&i| view.ready(self, moment.tokens, i) && view.harmless(self, i))
            .fold(0, |all: Bits, i| all | 1 << i);
        if let Some(last) = self.last_visit(moment, view, &steps, calm) {
            return vec![last];
        }
        let mut kept: Vec<(usize, CompiledWay)> = Vec::new();
        for at_one_stand in steps.chunk_by(|a, b| a.1.stand == b.1.stand) {
            let free = |(i, way): &&(usize, CompiledWay)| {
                calm >> i & 1 == 1 && way.minutes == self.ops[*i].least_minutes
            };
            match at_one_stand.iter().find(free) {
                Some(free) => kept.push(*free),
                None => kept.extend(at_one_stand),
            }
        }
        kept
    }

    /// A step to somewhere that can be done with for good at once, from somewhere that is done
    /// with: nothing else is tried then.
    ///
    /// It must be gone to in every plan from here, and all that can ever be done there must be
    /// harmless and quickest there, so that it may all be moved to the front. Where the tool
    /// changes within the setup: as nothing is left for the present tool, every plan changes
    /// it next anyway, so going by way of the other one adds a single change; where the other
    /// one was used, one change at least is saved. Where only setups cost anything, the same
    /// holds of them, as long as the machine stays.
    fn last_visit(
        &self,
        moment: &Moment,
        view: &View,
        steps: &[(usize, CompiledWay)],
        calm: Bits,
    ) -> Option<(usize, CompiledWay)> {
        let here = moment.stand?;
        let machine = |stand: Stand| self.setup_machine[usize::from(stand.setup)];
        let by_setup = self.weights.tool_change == 0;
        let key = |stand: Stand| usize::from(if by_setup { stand.setup } else { stand.fit });
        let kind = if by_setup { SETUP } else { FIT };
        let users = |stand| places(view.viable).filter(move |&i| self.ops[i].at[kind] >> key(stand) & 1 == 1);
        if users(here).next().is_some() {
            return None;
        }
        let near = |stand: Stand| {
            if by_setup { machine(stand) == machine(here) } else { stand.setup == here.setup }
        };
        steps.chunk_by(|a, b| a.1.stand == b.1.stand).find_map(|there| {
            let stand = there[0].1.stand;
            let last = |i: usize| {
                let quickest =
                    |(op, way): &(usize, CompiledWay)| *op == i && way.minutes == self.ops[i].least_minutes;
                calm >> i & 1 == 1 && there.iter().any(quickest)
            };
            let must = users(stand).any(|i| self.ops[i].at[kind].is_power_of_two());
            let quickest = |(i, way): &&(usize, CompiledWay)| way.minutes == self.ops[*i].least_minutes;
            (near(stand) && must && users(stand).all(last)).then(|| there.iter().find(quickest).copied())?
        })
    }
}
