//! Whether every piece gets every operation, and lies where it is done.

use std::collections::BTreeMap;

use super::Fault;
use crate::order::model::{Model, Step};

/// Pieces that are left out, done twice over, or cut where they do not lie. Says nothing of a
/// model that counts no pieces.
pub(super) fn every_piece(model: &Model, steps: &[Step]) -> Vec<Fault> {
    if model.pieces == 0 {
        return Vec::new();
    }
    let mut faults = Vec::new();
    let mut say = |words: String| faults.push(Fault::Other(words));
    for (setup, fills) in model.setups.iter().zip(&model.fills) {
        let mut lies = vec![0; model.pieces];
        fills.iter().flatten().for_each(|&piece| count(&mut lies, piece));
        // What stays set is set up once, however often it is filled.
        if setup.sets.count(fills.len() as u64) != setup.count {
            say(format!("`{}` counts {} times and is filled {}", setup.name, setup.count, fills.len()));
        }
        if fills.iter().any(Vec::is_empty) || lies.iter().any(|&times| times > 1) {
            say(format!("`{}` is filled with nothing, or with one piece twice", setup.name));
        }
    }
    if model.fills.len() != model.setups.len() {
        say("what lies in each setup is not said of every setup".into());
        return faults;
    }
    for step in steps {
        let op = &model.operations[step.op.0];
        let setup = op.ways[step.way].setup;
        let there: Vec<usize> = model.fills[setup.0].iter().flatten().copied().collect();
        for piece in op.pieces.iter().filter(|piece| !there.contains(piece)) {
            let name = &model.setups[setup.0].name;
            say(format!(
                "`{}` is to be done to piece {} in `{name}`, where it does not lie",
                op.name,
                piece + 1
            ));
        }
    }
    // What is done to one piece is done to each of the others as often.
    let mut done: BTreeMap<&str, Vec<usize>> = BTreeMap::new();
    for op in model.start.done.iter().copied().chain(steps.iter().map(|step| step.op)) {
        let op = &model.operations[op.0];
        let times = done.entry(&op.does).or_insert_with(|| vec![0; model.pieces]);
        op.pieces.iter().for_each(|&piece| count(times, piece));
    }
    for (does, times) in done {
        let most = times.iter().copied().max().unwrap_or(0);
        for (piece, _) in times.iter().enumerate().filter(|(_, own)| **own < most || most == 0) {
            say(format!("`{does}` is done to other pieces, and not to piece {}", piece + 1));
        }
    }
    faults
}

/// A piece that is no piece of the model counts nowhere.
fn count(times: &mut [usize], piece: usize) {
    if let Some(own) = times.get_mut(piece) {
        *own += 1;
    }
}
