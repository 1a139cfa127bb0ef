//! Published sequencing instances at their proven optima.
//!
//! The optima were proven by two independent exact methods on exactly the data in
//! `sequencing`; the first equals the published best.

use super::*;

#[path = "../../../tests/sequencing/mod.rs"]
mod sequencing;

#[track_caller]
fn costs(model: &Model, least: u64, changes: [u64; 3]) {
    let plan = planned(model);
    assert_eq!(plan.proof, Proof::Optimal);
    assert_eq!(plan.score, least);
    let tally = plan.tally;
    assert_eq!([tally.machine_changes, tally.tool_changes, tally.setups], changes);
}

#[test]
fn ma_zhang_nee_2000() {
    costs(&sequencing::ma_zhang_nee_2000(), 833, [0, 5, 2]);
}

#[test]
fn wang_zhang_fuh_2009() {
    costs(&sequencing::wang_zhang_fuh_2009(), 546, [0, 2, 2]);
}

#[test]
fn guo_2006() {
    costs(&sequencing::guo_2006(), 1028, [0, 4, 3]);
}

#[test]
fn li_mcmahon_2007() {
    // In twentieths: 644.5.
    costs(&sequencing::li_mcmahon_2007(), 12_890, [0, 5, 3]);
}
