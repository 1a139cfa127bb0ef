//! What to saw off for a part.

use super::frame::Blank;
use super::job::Job;
use super::sheet::SawnBlank;
use super::words;
use crate::bench::{Section, Stock};
use crate::drawing::{Axis, Body, Form, Parted};
use crate::measure::{Length, Toward};
use crate::order::Work;
use crate::settings::show::{bought_as, mm, practice};
use crate::tables::processes::limit;

/// What parting a block takes of its width and of its height.
pub(super) fn parting(job: &Job) -> [Length; 2] {
    match &job.part.drawing.parted {
        Some(parted) if parted.cap.axis() == Axis::X => [Parted::lost(), Length::ZERO],
        Some(_) => [Length::ZERO, Parted::lost()],
        None => [Length::ZERO; 2],
    }
}

/// How many pieces are wanted of both hands together.
pub(super) fn pieces(job: &Job) -> u32 {
    job.part.drawing.make * u32::try_from(job.part.drawing.hands.len()).unwrap_or(1).max(1)
}

/// What is held, faced and parted off beyond the length of turned work; common practice.
const GRIP: Length = Length::mm(30);

/// A millimetre on each side for the saw, cleaned off when the edges are milled.
pub(super) const SAWN: Length = Length::mm(2);

/// The blank of a part and what it comes from; none of a casting, and none where neither the
/// choice nor the drawing says what it is sawn from.
pub(super) fn sawn(job: &Job) -> Option<SawnBlank> {
    let drawing = job.part.drawing;
    if words::casting(drawing) {
        return None;
    }
    let stock = match &job.metric.stock {
        Some(choice) => choice.stock.clone(),
        None => given(job)?,
    };
    let turned = matches!(drawing.body, Body::Turned { .. });
    let count = pieces(job);
    if turned || !matches!(stock.section, Section::Flat { .. }) {
        let length = (job.part.thickness() + GRIP).rounded(Length::mm(1), Toward::More).value;
        let why = practice("the length over all, and 30 mm to hold, face and part off");
        return Some(SawnBlank { stock, count, length, width: None, why });
    }
    let blank = Blank::of(job.part);
    let [across, up] = parting(job);
    let sides = [blank.width() + SAWN + across, blank.height() + SAWN + up];
    let why = practice("a millimetre a side for squaring what the saw leaves");
    let why = match (across + up).is_positive() {
        true => why.because(practice(format!(
            "{} more for parting it: the saw's cut of {} and {} off each face of the joint",
            mm(across + up),
            mm(limit("saw cut")),
            mm(limit("joint face"))
        ))),
        false => why,
    };
    let why = why.because(practice("round work keeps at least 2 mm of margin inside its squared edges"));
    let [long, short] = [sides[0].max(sides[1]), sides[0].min(sides[1])];
    // Bar that is just as wide as the part is only sawn to length.
    let as_bar = |width: Length| width < short && width + SAWN >= short;
    match stock.section {
        Section::Flat { width: Some(width), .. } if as_bar(width) => {
            Some(SawnBlank { stock, count, length: long, width: Some(width), why })
        }
        _ => Some(SawnBlank { stock, count, length: long, width: Some(short), why }),
    }
}

/// What each piece takes beyond its length where several come off one stick: the parting tool, and
/// a millimetre to face; common practice.
const PARTED: Length = Length::mm(4);

/// The stick that all pieces of turned work come off, what the chuck holds counted once; none of a
/// single piece, and none where each begins as a sawn length of its own.
pub(super) fn stick(job: &Job) -> Option<Length> {
    let count = pieces(job);
    let long = (job.part.thickness() + PARTED) * i64::from(count) + GRIP;
    (count > 1 && one_bar(job).is_some()).then(|| long.rounded(Length::mm(1), Toward::More).value)
}

/// The setup in which turned pieces are made and parted off one bar, by its place in the order: what is done on
/// the bar is all done there, before anything else. None where each piece has a length of its own.
pub(super) fn one_bar(job: &Job) -> Option<usize> {
    let order = job.order;
    let mut bars = (0..order.setups.len()).filter(|&at| order.setups[at].held.by_the_bar());
    let (first, none) = (bars.next(), bars.next());
    let parted = order.steps.iter().any(|step| step.work == Work::PartOff && step.setup == 0);
    first.filter(|&at| at == 0 && none.is_none() && parted && !words::casting(job.part.drawing))
}

/// The stock that the drawing names.
fn given(job: &Job) -> Option<Stock> {
    let given = job.part.drawing.stock.as_ref()?;
    let size = |at: usize| given.size.get(at).map(|size| size.length);
    let section = match given.form {
        Form::RoundBar => Section::Round { diameter: size(0)? },
        Form::Hexagon => Section::Hexagon { across: size(0)? },
        Form::SquareBar => Section::Flat { thickness: size(0)?, width: size(0) },
        Form::FlatBar => Section::Flat { thickness: size(1)?, width: size(0) },
        Form::Plate => Section::Flat { thickness: size(0)?, width: None },
        Form::Casting => return None,
    };
    Some(Stock { material: job.material.name.clone(), section, class: None, surface: None })
}

/// `round ⌀ 12 mm`, `flat 50 mm × 10 mm`, `plate 6 mm`.
pub(super) fn section_words(stock: &Stock) -> String {
    let section = match stock.section {
        Section::Flat { thickness, width: Some(width) } if width == thickness => {
            format!("square {}", bought_as(thickness))
        }
        Section::Flat { thickness, width: Some(width) } => {
            format!("flat {} × {}", bought_as(width), bought_as(thickness))
        }
        Section::Flat { thickness, width: None } => format!("plate {}", bought_as(thickness)),
        Section::Round { diameter } => format!("round ⌀ {}", bought_as(diameter)),
        Section::Hexagon { across } => format!("hexagon {} across flats", bought_as(across)),
    };
    let surface = stock.surface.map_or(String::new(), |surface| format!("{} ", surface.word()));
    format!("{surface}{section}")
}
