//! Things made only to make the part: each with its sizes, its steps and its sheet.
//!
//! An [`Aid`] that the order of work asks for goes in, with the metric part and
//! the bench; an [`AidSheet`] comes out. Nothing here decides that an aid is
//! wanted: [`crate::order`] does.
//!
//! What a project wants only to put its parts together, a [`setting_plug`], a [`setting_block`] or a
//! [`drill_bush`], is
//! made to round things of its parts: [`crate::make_list`] asks.
//!
//! Begin with [`aid_sheet`]. One kind of aid stands in each of `stub_mandrel`,
//! `threaded_stub`, `bolt_on_plate`, `buttons`, `plain_buttons` and `marking_button`; the sizes of filing buttons
//! themselves are in [`crate::settings::filing_buttons`] and `plain_buttons`, since they replace a machine setting. What
//! is not in the rack is named on the sheet as something to buy.

mod bolt_on_plate;
mod bore;
mod buttons;
pub mod drill_bush;
mod locating;
mod marking_button;
mod own;
mod picture;
mod plain_buttons;
mod rack;
pub mod setting_block;
pub mod setting_plug;
pub mod shouldered_screw;
mod stub_mandrel;
mod threaded_stub;

use crate::bench::Bench;
use crate::drawing::{FeatureId, Kind, Part};
use crate::measure::{Length, Toward};
use crate::metric::MetricPart;
use crate::order::{Held, Holding, Machine, Pieces, work::Aid};
use crate::problem::Problem;
use crate::sheet::AidSheet;
use crate::why::Why;

/// The sheet of an aid, where it is not known which setups it is for: one piece
/// of the work is supposed to lie on it, which also serves a pair.
///
/// The part must have its metric sizes. Every figure bears a name that is its own
/// (`stub mandrel for the pivot bore: stub diameter`), and the scene's dimensions
/// name the same.
///
/// # Errors
///
/// A [`Problem`] when no aid of this kind can be made: no wall is left, the work
/// has no place in the plane of the drawing, or the machine is not owned.
pub fn aid_sheet(aid: &Aid, part: &Part, metric: &MetricPart, bench: &Bench) -> Result<AidSheet, Problem> {
    aid_sheet_for(aid, &[], part, metric, bench)
}

/// The sheet of an aid for the setups of an order of work: what lies on it, one
/// piece or a stuck pair, is taken from those that use it.
///
/// # Errors
///
/// Those of [`aid_sheet`].
pub fn aid_sheet_for(
    aid: &Aid,
    setups: &[Holding],
    part: &Part,
    metric: &MetricPart,
    bench: &Bench,
) -> Result<AidSheet, Problem> {
    let ask = Ask { part, metric, bench, load: load(aid, setups, part) };
    let made = match aid {
        Aid::StubMandrel { bore, on } => stub_mandrel::sheet(&ask, *bore, *on),
        Aid::BoltOnPlate { bores } => bolt_on_plate::sheet(&ask, bores),
        Aid::FilingButtons { boss, bore } => buttons::sheet(&ask, *boss, *bore),
        Aid::PlainButtons { round } => plain_buttons::sheet(&ask, *round),
        Aid::ThreadedStub { thread } => threaded_stub::sheet(&ask, *thread),
        Aid::MarkingButton { hole } => marking_button::sheet(&ask, *hole),
    };
    match made {
        Ok(sheet) => Ok(with_full_names(sheet)),
        // The outline says where it is itself.
        Err(fault) if fault.place().starts_with(&part.drawing.file) => Err(fault),
        Err(fault) => Err(fault.at(part.drawing.file.clone())),
    }
}

/// What an aid itself needs that has a sheet of its own: the studs and shouldered screws of a plate.
///
/// # Errors
///
/// Those of [`aid_sheet`].
pub fn needed_by(
    aid: &Aid,
    setups: &[Holding],
    part: &Part,
    metric: &MetricPart,
    bench: &Bench,
) -> Result<Vec<AidSheet>, Problem> {
    let Aid::BoltOnPlate { bores } = aid else { return Ok(Vec::new()) };
    let ask = Ask { part, metric, bench, load: load(aid, setups, part) };
    let made = bolt_on_plate::needed(&ask, bores);
    Ok(made.map_err(|fault| fault.at(part.drawing.file.clone()))?.into_iter().map(with_full_names).collect())
}

/// Puts the aid's name before each figure's, also where the picture names it: a
/// plan may have two mandrels, and a person asks for a figure by its name.
pub(crate) fn with_full_names(mut sheet: AidSheet) -> AidSheet {
    let mut letters = sheet.name.chars();
    let aid: String = letters.next().into_iter().flat_map(char::to_lowercase).chain(letters).collect();
    let full = |name: &mut String| *name = format!("{aid}: {name}");
    sheet.sizes.iter_mut().for_each(|figure| full(&mut figure.name));
    sheet.scene.dimensions.iter_mut().filter_map(|d| d.figure.as_mut()).for_each(full);
    sheet.scene.notes.iter_mut().filter_map(|n| n.figure.as_mut()).for_each(full);
    sheet
}

/// Everything that an aid may ask about.
struct Ask<'a, 'p> {
    part: &'a Part<'p>,
    metric: &'a MetricPart,
    bench: &'a Bench,
    load: Load,
}

/// How many pieces lie on the aid, and how that is known.
struct Load {
    pieces: i64,
    why: Why,
}

/// What lies on an aid in the setups that use it. Where a pair and a single piece
/// take turns on it, the single piece decides: nothing may stand proud of it.
fn load(aid: &Aid, setups: &[Holding], part: &Part) -> Load {
    let on_it: Vec<Pieces> = setups.iter().filter(|s| uses(s, aid, part)).map(|s| s.pieces).collect();
    if on_it.is_empty() {
        let why = Why::assumed("one piece is supposed to lie on it; a pair only needs a longer screw");
        return Load { pieces: 1, why };
    }
    // A lower stack would let the screw stand proud: the lowest decides, as a single piece does.
    let stacks = on_it.iter().all(|pieces| pieces.is_stack());
    let lowest = on_it.iter().filter_map(|pieces| pieces.lots()).map(|lots| lots.lowest()).min();
    match lowest.filter(|_| stacks) {
        Some(2) => return Load { pieces: 2, why: Why::new("the pair lies on it stuck together") },
        Some(high @ 3..) => {
            let why = Why::new(format!("{high} at least lie on it stuck together"));
            return Load { pieces: i64::from(high), why };
        }
        _ => {}
    }
    Load { pieces: 1, why: Why::new("one piece lies on it") }
}

/// True when a setup stands on an aid. A stub serves every bore of its size.
fn uses(setup: &Holding, aid: &Aid, part: &Part) -> bool {
    let size = |bore: FeatureId| match part.feature(bore).kind {
        Kind::Hole { diameter, .. } => Some(part.size(diameter)),
        _ => None,
    };
    let same = |a: &[FeatureId], b: &[FeatureId]| a.len() == b.len() && a.iter().all(|id| b.contains(id));
    match (aid, &setup.held) {
        (Aid::StubMandrel { bore, on: Machine::Lathe }, Held::Mandrel { bore: held, owned: false }) => {
            bore == held
        }
        (Aid::StubMandrel { bore, on }, Held::StubMandrel { bore: held }) => {
            (bore == held || size(*bore).is_some_and(|own| size(*held) == Some(own)))
                && (*on == Machine::RotaryTable) == (setup.machine == Machine::RotaryTable)
        }
        (
            Aid::BoltOnPlate { bores },
            Held::BoltOnPlate { bores: held }
            | Held::PlateOnEdge { bores: held }
            | Held::PlateSwung { bores: held }
            | Held::PlateTurned { bores: held, .. },
        ) => same(bores, held),
        (Aid::ThreadedStub { thread }, Held::Screwed { thread: held }) => thread == held,
        (Aid::FilingButtons { .. } | Aid::PlainButtons { .. }, Held::FilingButtons) => true,
        _ => false,
    }
}

/// A length rounded down to what anyone can measure with a rule.
fn down_to_half_mm(length: Length) -> Length {
    length.rounded(Length::mm_ratio(1, 2), Toward::Less).value
}
