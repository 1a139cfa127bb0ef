//! A stub mandrel: a shouldered stub that carries the work by its finished bore.
//!
//! Body, shoulder and stub are turned at one holding, so that they run true
//! together. A screw and washer in the stub's end pull the work against the
//! shoulder; where the bore is too small for a screw, a clamp does.

mod scene;
mod sheet;

pub(super) use sheet::sheet;

use super::bore::Bore;
use super::locating::{SLIDES_IN, Shaft, shaft};
use super::rack::{Piece, largest_round_bar, largest_tap, round_bar};
use super::{Ask, down_to_half_mm};
use crate::bench::Section;
use crate::measure::{Length, Toward};
use crate::order::Machine;
use crate::problem::Problem;
use crate::settings::show::mm;
use crate::tables::fits::{self, Limits};
use crate::tables::threads::Thread;

/// The sizes of a stub mandrel.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct StubMandrel {
    /// The stub, in the work's bore.
    pub stub: Shaft,
    /// Length of the stub: a little under the work's thickness.
    pub stub_length: Length,
    /// How deep the corner at the shoulder is undercut.
    pub undercut: Length,
    /// Diameter of the shoulder that the work lies against.
    pub shoulder: Length,
    /// The greatest diameter that the cutter's path leaves round the bore.
    pub clear_of_cutter: Length,
    /// What holds the body.
    pub body: Body,
    /// The bar to turn it from.
    pub bar: Piece,
    /// What keeps the work on.
    pub grip: Grip,
}

/// What holds the mandrel.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Body {
    /// A chuck: the bar stays in it until the work is done.
    Chuck {
        /// Held in the jaws.
        held: Length,
        /// From the jaws to the shoulder.
        out: Length,
    },
    /// The bore of the rotary table, with a flange on the table's top.
    Table {
        /// Limits of the part that goes into the table.
        spigot: Box<Limits>,
        /// Its length.
        length: Length,
        /// Diameter of the flange.
        flange: Length,
        /// Thickness of the flange.
        thick: Length,
        /// From the table's top to the shoulder: also the packing under the work's far end.
        height: Length,
        /// The tap in its lower end, for the stud that pulls it down.
        draw: Option<&'static Thread>,
    },
}

/// What keeps the work on the stub.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Grip {
    /// A screw in the stub's end and a washer.
    Screw {
        /// Its thread.
        thread: &'static Thread,
        /// Full thread.
        deep: Length,
        /// Least and greatest diameter of the washer.
        washer: (Length, Length),
    },
    /// The bore is too small for a screw: the stub is plain.
    Clamp,
}

/// Room between a cutter and what must not be touched, on each side.
fn cutter_room() -> Length {
    Length::mm_ratio(1, 2)
}

/// The least ring that work lies against, on each side.
fn least_ring() -> Length {
    Length::mm(1)
}

fn stub_mandrel(ask: &Ask, bore: &Bore, on: Machine) -> Result<StubMandrel, Problem> {
    let clear = bore.round_it - cutter_room() * 2;
    let least_shoulder = bore.size + least_ring() * 2;
    // A round size where there is room for one.
    let clear_of_cutter =
        Some(down_to_half_mm(clear)).filter(|&round| round >= least_shoulder).unwrap_or(clear);
    if clear_of_cutter < least_shoulder {
        return Err(Problem::new(format!("no shoulder fits under the work at the {}", bore.name))
            .why(format!(
                "the metal round it is {} across; less {} for the cutter and {} of bore, under {} is left on \
                 each side",
                mm(bore.round_it),
                mm(cutter_room() * 2),
                mm(bore.size),
                mm(least_ring())
            ))
            .mend("round the end before the bore is opened to size, or file it against buttons"));
    }
    // Twice the bore steadies the work; the rack may have less.
    let wanted = clear_of_cutter.min((bore.size * 2).max(bore.size + Length::mm(6)));
    let thickness = bore.thickness * ask.load.pieces;
    // Half a millimetre of slack, a tenth of thin work: the washer must bear on the work.
    let short = Length::mm_ratio(1, 2).min(thickness / 10);
    let (body, shoulder, bar) = if on == Machine::RotaryTable {
        let (body, least_bar) = table_body(ask, wanted)?;
        (body, wanted, round_bar(ask.bench, least_bar))
    } else {
        let owned = largest_round_bar(ask.bench, least_shoulder).map_or(wanted, |bar| bar.min(wanted));
        let bar = round_bar(ask.bench, owned);
        let held = (bar.size * 3 / 2).max(Length::mm(20)).rounded(Length::mm(1), Toward::More).value;
        (Body::Chuck { held, out: Length::mm(8) }, owned, bar)
    };
    let thread = largest_tap(ask.bench, |thread| wall_left(bore.size, thread) >= least_wall(thread));
    let grip = match thread {
        None => Grip::Clamp,
        Some(thread) => Grip::Screw {
            thread,
            deep: thread.major * 2,
            washer: (least_shoulder, clear_of_cutter.min(bore.size * 3)),
        },
    };
    Ok(StubMandrel {
        stub: shaft(bore, SLIDES_IN)?,
        stub_length: thickness - short,
        // A thin stub would break there.
        undercut: if bore.size < Length::mm(4) { Length::mm_ratio(1, 10) } else { Length::mm_ratio(2, 10) },
        shoulder,
        clear_of_cutter,
        body,
        bar,
        grip,
    })
}

/// Metal between a thread and the outside of the stub.
fn wall_left(stub: Length, thread: &Thread) -> Length {
    (stub - thread.major).half()
}

/// Half the screw's diameter, and a millimetre: common practice for a tapped hole.
fn least_wall(thread: &Thread) -> Length {
    thread.major.half().max(Length::mm(1))
}

/// The body for the rotary table, and the least bar it needs.
fn table_body(ask: &Ask, shoulder: Length) -> Result<(Body, Length), Problem> {
    let Some(table) = &ask.bench.rotary_table else {
        return Err(Problem::new("the mandrel is for a rotary table, and none is on the bench")
            .mend("add `[rotary_table]` with its bore to the bench file"));
    };
    let spigot = fits::limits(SLIDES_IN, table.bore)?;
    // Three millimetres of seat on each side of the table's bore.
    let flange = shoulder.max(table.bore + Length::mm(6));
    let height = packing(ask);
    let body = Body::Table {
        length: table.bore.min(Length::mm(25)),
        draw: largest_tap(ask.bench, |thread| {
            thread.major <= Length::mm(8) && wall_left(table.bore, thread) >= least_wall(thread)
        }),
        spigot: Box::new(spigot),
        flange,
        // Jaws take it up again by the flange, for its lower end.
        thick: Length::mm(6),
        height,
    };
    Ok((body, flange + Length::mm(1)))
}

/// The thinnest flat owned that lifts the work clear of the table's top: 10 mm at
/// least, for the flange, the cutter's overrun and room to see. 10 mm where none is owned.
fn packing(ask: &Ask) -> Length {
    let flats = ask.bench.stock.iter().filter_map(|stock| match stock.section {
        Section::Flat { thickness, .. } if thickness >= Length::mm(10) => Some(thickness),
        _ => None,
    });
    flats.min().unwrap_or(Length::mm(10))
}
