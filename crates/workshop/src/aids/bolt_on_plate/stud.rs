//! A hollow stud: half in the plate, half in the work, a screw down its middle.

use num_rational::Ratio;

use super::Placed;
use crate::aids::Ask;
use crate::aids::bore::Bore;
use crate::aids::locating::{SLIDES_IN, Shaft, shaft};
use crate::aids::own::Seat;
use crate::aids::rack::{Piece, largest_tap, round_bar};
use crate::aids::shouldered_screw::{Screw, Task, thread_below};
use crate::measure::{Length, Toward};
use crate::problem::Problem;
use crate::tables::clearance::{self, Class};
use crate::tables::drills::Drill;
use crate::tables::threads::Thread;
use crate::why::Why;

/// A stud of the plate.
#[derive(Clone, Debug, PartialEq)]
pub struct Stud {
    /// The bore it fits: `pivot bore`.
    pub bore: String,
    /// From the first bore along the line of centres.
    pub x: Length,
    /// Across the line of centres.
    pub y: Length,
    /// Its diameter, in the plate's hole and in the work's bore, both made alike.
    pub shaft: Shaft,
    /// What it does besides placing.
    pub second: Second,
    /// How deep it stands in the plate.
    pub seat: Length,
    /// How far it stands up into the work.
    pub stands: Length,
    /// The screw down its middle and the hole for it; none where it has no room.
    pub screw: Option<(&'static Thread, Length)>,
    /// Where it has no room: the thread of a shouldered screw that does instead of it.
    pub shouldered: Option<&'static Thread>,
    /// How far that screw's shoulder is turned below its fit.
    pub under: Length,
    /// The bar to turn it from.
    pub bar: Piece,
    /// Least and greatest washer.
    pub washer: (Length, Length),
    /// The drill before the plate's hole is finished, where the bore has one.
    pub pilot: Option<Drill>,
    /// Bored, where the bore is not reamed.
    pub(super) bored: bool,
    /// Where the bore's size comes from.
    pub(super) why: Why,
    /// The bore, for the words that name its fit.
    pub(super) of: BoreLimits,
}

/// What the figures of a stud still need of its bore.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct BoreLimits {
    pub size: Length,
    pub thickness: Length,
}

/// Which direction a stud places the work in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Second {
    /// Full round: it places the work along and across.
    Round,
    /// Eased on the two sides that face along the line of centres, which leaves a land this
    /// wide on the two others: it only gives the direction.
    Flats {
        /// The greatest width of the land.
        land: Length,
    },
    /// The plate's hole is spotted through the work, since no land would allow for
    /// the difference between two settings.
    Spotted,
}

/// How far the distance between two bores of the work and of the plate may
/// differ: each of the four holes lies within one step of where it was set.
pub(super) fn spacing_error(ask: &Ask) -> Length {
    ask.bench.mill.readout.step() * 4
}

/// The least land that is still a land.
fn least_land() -> Length {
    Length::mm_ratio(4, 10)
}

/// The greatest land of a stud with flats that still enters a bore displaced
/// along the line of centres.
///
/// Its outer corner lies at half the land plus the displacement from the bore's
/// centre, and on the stud's circle before: `w = ((D² − d²)/4 − e²) / e`, `D` the
/// least bore, `d` the greatest stud, `e` the displacement. Elementary geometry.
pub(super) fn greatest_land(bore: Length, stud: Length, displaced: Length) -> Length {
    let [bore, stud, displaced] = [bore, stud, displaced].map(Length::ratio);
    let land = ((bore * bore - stud * stud) / Ratio::from_integer(4) - displaced * displaced) / displaced;
    Length::from_ratio(land)
}

pub(super) fn stud(ask: &Ask, placed: Placed, at: usize) -> Result<Stud, Problem> {
    let Placed { bore, x, y } = placed;
    let thread = largest_tap(ask.bench, |thread| hole_within(bore.size, thread).is_some());
    let shouldered = match thread {
        Some(_) => None,
        None => thread_below(ask.bench, bore.size),
    };
    // A screw cannot be filed to one direction: it is turned free of what two centres may differ.
    let (shaft, second) = if at == 0 || shouldered.is_some() {
        (shaft(&bore, SLIDES_IN)?, Second::Round)
    } else {
        direction(ask, &bore)?
    };
    let under = if at == 0 || shouldered.is_none() { Length::ZERO } else { spacing_error(ask) * 2 };
    let thickness = bore.thickness * ask.load.pieces;
    let short = Length::mm_ratio(1, 2).min(thickness / 10);
    let ring = bore.size + Length::mm(2);
    Ok(Stud {
        x,
        y,
        shaft,
        second,
        // Three quarters of its diameter keeps it upright.
        seat: (bore.size * 3 / 4).max(Length::mm(4)).rounded(Length::mm_ratio(1, 2), Toward::More).value,
        stands: thickness - short,
        shouldered,
        under,
        screw: thread.and_then(|thread| Some((thread, hole_within(bore.size, thread)?))),
        bar: round_bar(ask.bench, bore.size + Length::mm_ratio(1, 2)),
        washer: (ring, super::down_to_half_mm(bore.round_it - Length::mm(1)).min(bore.size * 3).max(ring)),
        pilot: bore.pilot,
        bored: bore.bored,
        why: bore.why.clone(),
        of: BoreLimits { size: bore.size, thickness },
        bore: bore.name,
    })
}

/// The clearance hole of a thread, where it leaves a stud enough wall: a quarter
/// of the hole and 1 mm at least.
fn hole_within(stud: Length, thread: &Thread) -> Option<Length> {
    let hole = clearance::hole(thread, Class::Medium).ok()?.diameter;
    ((stud - hole).half() >= (hole / 4).max(Length::mm(1))).then_some(hole)
}

/// The stud that only gives the direction: the closest class whose land is wide
/// enough to last.
fn direction(ask: &Ask, bore: &Bore) -> Result<(Shaft, Second), Problem> {
    let displaced = spacing_error(ask);
    for class in [SLIDES_IN, "f7", "e8"] {
        let found = shaft(bore, class)?;
        let land = greatest_land(found.fit.hole.least(), found.fit.shaft.greatest(), displaced)
            .rounded(Length::mm_ratio(1, 10), Toward::Less)
            .value;
        if land >= bore.size {
            return Ok((found, Second::Round));
        }
        if land >= least_land() {
            return Ok((found, Second::Flats { land }));
        }
    }
    Ok((shaft(bore, SLIDES_IN)?, Second::Spotted))
}

impl Stud {
    /// The least plate that it stands in: its seat, the lead of the reamer below it,
    /// and one and a half diameters of thread.
    pub(super) fn least_thickness(&self) -> Length {
        let thread = self.thread().map_or(Length::ZERO, |thread| self.engagement(thread));
        self.seat + reamer_lead() + thread
    }

    /// Its hole in the plate: made with the tool that makes the bore.
    pub(super) fn seat_hole(&self) -> Seat {
        let finish = if self.bored { "bored" } else { "reamed" };
        Seat { diameter: self.of.size, deep: self.seat, finish }
    }

    /// The thread in the plate below it.
    pub(super) fn thread(&self) -> Option<&'static Thread> {
        self.screw.map(|(thread, _)| thread).or(self.shouldered)
    }

    /// The shouldered screw that does instead of it.
    pub(super) fn shouldered_screw(&self, said: &str) -> Option<Screw> {
        self.shouldered.map(|thread| Screw {
            name: format!("Shouldered screw for the {}", self.bore),
            hole: (format!("the {}", self.bore), self.of.size),
            limits: self.shaft.fit.hole.clone(),
            under: self.under,
            thick: self.of.thickness,
            task: Task::Holds { seat: self.seat },
            into: "the plate".into(),
            thread: Some(thread),
            widest: Some(self.washer.1),
            count: 1,
            why: self.why.clone(),
            said: said.to_owned(),
        })
    }

    /// Full thread below the stud.
    pub(super) fn engagement(&self, thread: &Thread) -> Length {
        thread.major * 3 / 2
    }

    /// All of it.
    pub(super) fn length(&self) -> Length {
        self.seat + self.stands
    }
}

/// What a reamer's tapered end goes deeper than its full size.
pub(super) fn reamer_lead() -> Length {
    Length::mm(2)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        /// Walked round point by point, a stud with that land lies inside the bore
        /// when it is displaced; a land a tenth wider does not.
        #[test]
        fn a_stud_with_flats_enters_a_displaced_bore(
            size in 2_000i64..30_000,
            free in 2i64..60,
            displaced in 4i64..100,
        ) {
            let (bore, stud) = (Length::microns(size), Length::microns(size - free));
            let land = greatest_land(bore, stud, Length::microns(displaced));
            prop_assume!(land.is_positive() && land < stud);
            let (radius, e) = (stud.half().as_mm(), displaced as f64 / 1000.0);
            let outermost = |land_mm: f64| {
                let half_rad = (land_mm / 2.0 / radius).asin();
                (-500i32..=500)
                    .map(|k| half_rad * f64::from(k) / 500.0)
                    .map(|rad| (radius * rad.sin() + e).hypot(radius * rad.cos()))
                    .fold(0.0, f64::max)
            };
            let room = bore.half().as_mm();
            prop_assert!(outermost(land.as_mm()) <= room + 1e-9);
            let wider = land.as_mm() * 1.1;
            prop_assume!(wider < radius);
            prop_assert!(outermost(wider) > room);
        }
    }
}
