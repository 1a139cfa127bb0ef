//! Hardening and tempering a part by itself, after the last cut that needs soft metal.

use super::deed::{Job, Makings};
use super::plates::add;
use super::work::{Held, Holding, Located, Machine, Tool, Work};
use crate::drawing::Face;

/// Adds the two deeds for each piece of a part that is hardened.
pub(super) fn all(job: &Job, makings: &mut Makings) {
    if job.part.drawing.harden.is_none() {
        return;
    }
    for lot in job.singles() {
        let holding = Holding {
            machine: Machine::BenchVice,
            pieces: job.pieces(lot),
            up: Face::Front,
            held: Held::Bench,
            located: Located::Nothing,
            image: job.image(lot),
            steadied: Default::default(),
        };
        let place = makings.place(job, lot, holding);
        for work in [Work::Harden, Work::Temper] {
            add(job, makings, work, None, lot, Tool::Hearth, vec![place]);
        }
    }
}
