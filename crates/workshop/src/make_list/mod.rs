//! The make list of a project: which part and which aid is made when, what is fitted to what
//! in which order, and what must not be done early.
//!
//! The parts, each with its own plan where it has one, and the [`Fitting`] of the project go
//! in through [`make_list`]; a [`MakeList`] comes out, or the statements that cannot all hold.
//! On the way:
//!
//! 1. `shared` finds which aids of several parts are one and the same.
//! 2. `rules` is the one list of what must come before what, and why: each rule turns the
//!    statements of the project into `rules::Demand`s.
//! 3. `stages` cuts the project where it is too large to be planned as one.
//! 4. `build` turns deeds and demands into the exact model of [`crate::order`], whose search
//!    plans it and whose checker replays it. Fewest changes of place come first, then of what
//!    is set up there, then minutes.
//! 5. `designed` sizes the plugs, bushes and screws that the project says what they are made to,
//!    and finds which of them are one and the same, or in the drawer already.
//! 6. `joined` parts a part's making where its holes are made with others in one setup.
//! 7. `shrunk` reckons how warm a ring is for the join that shrinks it on.
//! 8. `rows`, `traps` and `clash` say it in words.

mod besides;
mod build;
mod clash;
mod deeds;
mod designed;
mod joined;
mod rows;
mod rules;
mod shared;
mod shrunk;
mod stages;
mod traps;

use crate::assembly::Fitting;
use crate::bench::Bench;
use crate::drawing::Drawing;
use crate::plan::Plan;
use crate::problem::{Outcome, Problem};
use crate::sheet::MakeList;

use deeds::World;

/// A part of the project, with its own plan where it has one.
#[derive(Clone, Copy)]
pub struct Made<'a> {
    /// What its file says.
    pub drawing: &'a Drawing,
    /// Its own order of work.
    pub plan: Option<&'a Plan>,
    /// Why it has none, where that is so.
    pub fault: Option<&'a Problem>,
}

/// How long the search goes on before it settles for a bound.
const EFFORT: crate::order::Effort = crate::order::Effort { states: 60_000, beam: 4 };

/// What the sheets of the parts' own aids are told by the whole project, as [`MakeList::told`] has
/// it, without working the list out.
pub fn told(parts: &[Made], fitting: &Fitting, bench: &Bench) -> Vec<(String, String, String)> {
    besides::told(&World::bare(parts, fitting, bench))
}

/// Works out the make list of a project on a bench, which says what aids are in the drawer and
/// what those of the project are made from. The parts are those among which the fitting was
/// resolved, in the same order.
///
/// # Errors
///
/// The statements that cannot all hold, with their lines; that an assembly is too large.
///
/// # Panics
///
/// Never on any input: only if the planner's own certificate fails the separate checker,
/// which is a fault in this program.
pub fn make_list(parts: &[Made], fitting: &Fitting, bench: &Bench) -> Outcome<MakeList> {
    let sheets = designed::sheets(&World::bare(parts, fitting, bench), bench);
    let fitting = designed::with_kept(fitting, &sheets, bench);
    let world = World::of(parts, &fitting, bench, sheets);
    let stages = stages::planned(&world).map_err(|fault| vec![fault])?;
    Ok(rows::list(&world, &stages))
}
