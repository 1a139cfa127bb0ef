//! Whether there is any order at all, whatever it costs.

use std::collections::HashMap;
use std::hash::BuildHasherDefault;

use super::compile::{Book, CompiledWay, Stand, places};
use super::model::Model;
use super::node::View;
use super::search::{At, Mix, State, state};

/// Whether any order at all keeps the rules, cost aside; `None` past the limit.
pub(super) fn feasible(model: &Model, limit: usize) -> Option<bool> {
    let book = Book::new(model);
    let mut seen: HashMap<(State, At), (), BuildHasherDefault<Mix>> = HashMap::default();
    let mut stack = vec![book.start()];
    while let Some(mut moment) = stack.pop() {
        let Some(view) = View::of(&book, &moment) else { continue };
        moment.tokens &= view.looked_at;
        moment.marks &= view.looked_at_marks;
        moment.here &= moment.marks;
        // Where the work stands matters only to what has to stay there.
        moment.stand = moment.stand.filter(|_| moment.here != 0).map(|stand| Stand { fit: 0, ..stand });
        (moment.aids, moment.spent) = (0, 0);
        if view.finished {
            return Some(true);
        }
        if seen.insert((state(&moment), (moment.stand, moment.here)), ()).is_some() {
            continue;
        }
        if seen.len() > limit {
            return None;
        }
        let mut ready: Vec<(usize, CompiledWay)> = Vec::new();
        for i in places(view.viable).filter(|&i| view.ready(&book, moment.tokens, i)) {
            let op = &book.ops[i];
            let stays = |way: &CompiledWay| moment.stand.is_none_or(|stand| stand.setup == way.stand.setup);
            let held: Vec<CompiledWay> =
                op.ways.iter().filter(|way| book.holds(&moment, i, way)).copied().collect();
            if let Some(way) = held.iter().find(|way| stays(way) && view.harmless(&book, i)) {
                ready = vec![(i, *way)];
                break;
            }
            // Ways that leave nothing to agree with differ only in ending a stay.
            let plain = op.kin_ops == 0 && moment.here == 0;
            ready.extend(held.into_iter().take(if plain { 1 } else { usize::MAX }).map(|way| (i, way)));
        }
        stack.extend(ready.into_iter().rev().map(|(i, way)| book.after(&moment, i, &way)));
    }
    Some(false)
}
