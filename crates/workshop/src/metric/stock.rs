//! What thickness and the largest turned diameter may become: the stock.

use super::black;
use super::buy::Buy;
use super::choice::{MadeWith, Owned, Refused, StockChoice};
use super::demands::Demands;
use super::from_bar::is_disc_from_bar;
use super::model::Demand;
use super::rules::{BAR, BAR_LEFT, BAR_WIDTH, BLACK, FACED, FLAT, THIN_SHEET};
use super::way::{Job, Way, stock_name};
use super::weigh::{FACED_DOWN, convenient, limit, unround};
use crate::bench::{Section, Stock};
use crate::drawing::{
    Axis, Body, DimensionId, FeatureId, Form, GivenStock, Kind, Measures, Parted, SectionSize,
};
use crate::measure::Length;
use crate::problem::Problem;
use crate::tables::processes;
use crate::tables::surface::Surface;
use crate::why::Why;

/// Thicknesses that metric flats and plates are sold in, in tenths of a millimetre
/// (common practice).
const FLATS: [i64; 28] = [
    5, 8, 10, 12, 15, 16, 20, 25, 30, 40, 50, 60, 80, 100, 120, 150, 160, 180, 200, 220, 250, 300, 350, 400,
    450, 500, 600, 800,
];

/// Diameters that metric rounds are sold in, in millimetres (common practice).
const ROUNDS: [i64; 38] = [
    2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15, 16, 18, 20, 22, 25, 28, 30, 32, 35, 40, 45, 50, 55, 60,
    65, 70, 80, 90, 100, 110, 120, 130, 150, 200,
];

/// Square bar as it is sold, across its flats, in millimetres (common practice).
const SQUARES: [i64; 16] = [3, 4, 5, 6, 8, 10, 12, 14, 15, 16, 18, 20, 25, 30, 40, 50];

/// Hexagon bar as it is sold, across its flats, in millimetres (common practice).
const HEXAGONS: [i64; 20] = [4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 17, 19, 22, 24, 27, 30, 32, 36, 41];

/// The two sizes of square or hexagon bar nearest to one that are sold.
pub fn to_buy_near(sides: u32, exact: Length) -> Vec<Length> {
    let sold: &[i64] = if sides == 4 { &SQUARES } else { &HEXAGONS };
    let mut sold: Vec<Length> = sold.iter().map(|&mm| Length::mm(mm)).collect();
    sold.sort_by_key(|size| size.gap(exact));
    sold.truncate(2);
    sold
}

/// Stock of a material and section whose class is not known.
pub fn stock_of(material: &str, section: Section) -> Stock {
    Stock { material: material.to_owned(), section, class: None, surface: None }
}

/// Taken off the faces of a plate that is faced down from that stock, at least.
fn facing(job: &Job, stock: &Stock) -> Length {
    black::cleaning(job, stock, lesser_width(job))
}

/// The thickness of the bar or plate that the file names.
fn stated_thickness(job: &Job) -> Option<Length> {
    let stock = job.drawing.stock.as_ref()?;
    match stock.form {
        Form::Plate | Form::FlatBar | Form::SquareBar => stock.size.last().map(|size| size.length),
        Form::RoundBar | Form::Hexagon | Form::Casting => None,
    }
}

/// The bar that the file names for a turned part.
pub fn stated_bar<'a>(job: &'a Job) -> Option<(&'a GivenStock, Section)> {
    let stock = job.drawing.stock.as_ref()?;
    let size = stock.size.first()?.length;
    let section = match stock.form {
        Form::RoundBar => Section::Round { diameter: size },
        Form::Hexagon => Section::Hexagon { across: size },
        Form::SquareBar => Section::Flat { thickness: size, width: Some(size) },
        Form::Plate | Form::FlatBar | Form::Casting => return None,
    };
    Some((stock, section))
}

/// Stock that the file names and that cannot hold the part.
pub fn too_small(job: &Job) -> Option<Problem> {
    let stock = job.drawing.stock.as_ref()?;
    let (width, thick) = match (stock.form, &stock.size[..]) {
        (Form::Plate, [thick]) => (None, thick.length),
        (Form::FlatBar, [width, thick]) => (Some(width.length), thick.length),
        (Form::SquareBar, [side]) => (Some(side.length), side.length),
        (Form::RoundBar, [across]) => return thinner_than_its_disc(job, stock, across.length),
        _ => return None,
    };
    let whole = job.dimension(job.plate_thickness()?).written.length;
    let wide = lesser_width(job);
    let (what, asked, has) = if thick < whole {
        ("thick", whole, thick)
    } else if width.is_some_and(|width| width.max(thick) < wide) {
        ("wide", wide, width.unwrap_or_default())
    } else {
        return None;
    };
    Some(
        Problem::new(format!("the part does not come out of {}", stock.words()))
            .at(format!("line {}, `stock`", stock.line))
            .at(job.drawing.file.clone())
            .why(format!("it is {asked} {what}, and the stock only {has}"))
            .mend("check the size of the stock against the drawing"),
    )
}

/// A round bar that the file names for a disc that is wider.
fn thinner_than_its_disc(job: &Job, stock: &GivenStock, across: Length) -> Option<Problem> {
    let Body::Disc { diameter, .. } = job.drawing.body else { return None };
    let asked = job.dimension(diameter).written.length;
    (across < asked).then(|| {
        Problem::new(format!("the part does not come out of {}", stock.words()))
            .at(format!("line {}, `stock`", stock.line))
            .at(job.drawing.file.clone())
            .why(format!("it is {asked} across, and the bar only {across}"))
            .mend("check the size of the stock against the drawing")
    })
}

/// A flat of the part's material, to buy.
fn flat(job: &Job, thickness: Length) -> Stock {
    Stock {
        material: job.material.name.clone(),
        section: Section::Flat { thickness, width: None },
        class: None,
        surface: job.drawing.surface(),
    }
}

/// The part's lesser width as drawn: what a flat must be wide.
fn lesser_width(job: &Job) -> Length {
    let [left, right, bottom, top] = match job.drawing.body {
        Body::Disc { diameter, .. } => {
            let d = job.dimension(diameter).written.length;
            [Length::ZERO, d, Length::ZERO, d]
        }
        _ => job.part.edges(),
    };
    let [across, up] = parting(job).map_or([Length::ZERO; 2], |[across, up]| [across, up]);
    (right - left + across).min(top - bottom + up)
}

/// What parting a block takes of its width and of its height.
fn parting(job: &Job) -> Option<[Length; 2]> {
    let parted = job.drawing.parted.as_ref()?;
    let lost = Parted::lost();
    Some(if parted.cap.axis() == Axis::X { [lost, Length::ZERO] } else { [Length::ZERO, lost] })
}

/// The lesser side of a rectangle, whose edges may stay as the bar comes.
fn lesser_side(job: &Job) -> Option<DimensionId> {
    let Body::Rectangle { width, height, .. } = job.drawing.body else { return None };
    let of = |id: DimensionId| job.dimension(id).written.length;
    let side = if of(width) < of(height) { width } else { height };
    // What is parted across its lesser side is wider before than it will be.
    let parted_there = parting(job).is_some_and(|[across, up]| match side == width {
        true => across.is_positive(),
        false => up.is_positive(),
    });
    (!parted_there).then_some(side)
}

/// Whether a bar is as wide as the part on the drawing, or leaves enough to clean up.
fn wide_enough(job: &Job, stock: &Stock, width: Length) -> bool {
    let wide = lesser_width(job);
    let as_it_comes = width == wide && lesser_side(job).is_some() && !black::is_black(job, stock);
    width >= wide + facing(job, stock) || as_it_comes
}

/// Whether a rectangle may become just as wide as a bar.
fn may_be_as_wide(job: &Job, stock: &Stock, width: Length) -> bool {
    !black::is_black(job, stock)
        && lesser_side(job).is_some_and(|side| {
            let (limit, _) = limit(job.dimension(side), job.drawing.general_tolerance);
            width.gap(job.dimension(side).written.length) <= limit
        })
}

/// What is supposed of a rolled or drawn face that is not cut.
fn faces_stay() -> Why {
    Why::assumed(
        "its faces are supposed clean and flat: bright or ground; black bar wants a face cut off either side",
    )
    .source("common practice")
}

/// What a plate is faced down from, and by how much at least.
fn faced_from(job: &Job, stock: &Stock) -> Why {
    let why = black::why_cleaning(job, stock, lesser_width(job));
    Why { statement: format!("faced down from {}: {}", stock_name(stock), why.statement), ..why }
}

impl Demands<'_> {
    /// A rectangle from bar that is not wide enough to cut is just as wide as the bar.
    pub fn bar_width(&mut self) {
        let (Some(thickness), Some(side)) = (self.job.plate_thickness(), lesser_side(self.job)) else {
            return;
        };
        let fits = |way: &Way, wide: Length| match &way.made {
            MadeWith::Stock(stock @ Stock { section: Section::Flat { width: Some(bar), .. }, .. }) => {
                wide == *bar || wide + facing(self.job, stock) <= *bar
            }
            _ => true,
        };
        let sides = &self.ways[side.0].ways;
        let allowed: Vec<Vec<bool>> = self.ways[thickness.0]
            .ways
            .iter()
            .map(|way| sides.iter().map(|side| fits(way, side.value)).collect())
            .collect();
        if allowed.iter().flatten().all(|&fits| fits) {
            return;
        }
        let (a, b) = (self.size(thickness), self.size(side));
        let name = format!("{} and the bar", self.job.dimension(side).name);
        self.model.demand(name, BAR_WIDTH.because, Demand::Pairs { a, b, allowed });
    }
}

/// Owned flats of the part's material with their thickness, thinnest first.
pub fn flats<'a>(job: &'a Job) -> Vec<(Length, Option<Length>, &'a Stock)> {
    let mut flats: Vec<_> = job
        .bench
        .stock
        .iter()
        .filter(|stock| black::suits(job, stock))
        .filter_map(|stock| match stock.section {
            Section::Flat { thickness, width } => Some((thickness, width, stock)),
            Section::Round { .. } | Section::Hexagon { .. } => None,
        })
        .collect();
    flats.sort_by_key(|&(thickness, ..)| thickness);
    flats
}

/// The thinnest flat that leaves enough to face down to a size, and whether it is owned: the
/// rack's before what is sold.
fn thick_enough(
    job: &Job,
    owned: &[(Length, Option<Length>, &Stock)],
    size: Length,
) -> Option<(Stock, bool)> {
    let enough = |thickness: Length, stock: &Stock| thickness >= size + facing(job, stock);
    let from = owned.iter().find(|&&(thickness, width, stock)| {
        enough(thickness, stock) && width.is_none_or(|width| wide_enough(job, stock, width))
    });
    if let Some(&(_, _, stock)) = from {
        return Some((stock.clone(), true));
    }
    let sold = FLATS.iter().map(|&tenths| flat(job, Length::microns(tenths * 100)));
    let sold = sold.into_iter().find(|stock| match stock.section {
        Section::Flat { thickness, .. } => enough(thickness, stock),
        Section::Round { .. } | Section::Hexagon { .. } => false,
    });
    Some((sold?, false))
}

/// The ways of a plate's thickness, and the flats that are too narrow.
pub fn thickness(job: &Job, id: DimensionId, limit: Length) -> (Vec<Way>, Vec<Refused>) {
    let exact = job.dimension(id).written.length;
    let wide = lesser_width(job);
    let (mut ways, mut refused) = (Vec::new(), Vec::new());
    let owned = flats(job);
    let covers =
        |stock: &Stock, width: Option<Length>| width.is_none_or(|width| wide_enough(job, stock, width));
    // Stock that is thicker than the part on the drawing is cleaned up all over.
    let cleaned_up = stated_thickness(job).is_some_and(|stated| stated > exact);
    let limit_of_flat = if cleaned_up { -limit } else { limit };
    for &(thickness, width, stock) in
        owned.iter().filter(|(thickness, ..)| thickness.gap(exact) <= limit_of_flat)
    {
        if black::is_black(job, stock) {
            refused.push(Refused { value: thickness, with: stock_name(stock), reason: BLACK.because.into() });
        } else if covers(stock, width) || width.is_some_and(|width| may_be_as_wide(job, stock, width)) {
            let way = Way::new(thickness, MadeWith::Stock(stock.clone()), &FLAT);
            ways.push(if black::unsaid(job, stock) { way.note(faces_stay()) } else { way });
        } else {
            refused.push(Refused {
                value: thickness,
                with: stock_name(stock),
                reason: format!(
                    "it is {} wide, and the part takes {wide}: {}",
                    width.unwrap_or_default(),
                    BAR_WIDTH.because
                ),
            });
        }
    }
    let standard: Vec<Length> = FLATS.iter().map(|&tenths| Length::microns(tenths * 100)).collect();
    let black = job.drawing.surface() == Some(Surface::Black);
    for &thickness in standard.iter().filter(|size| size.gap(exact) <= limit_of_flat && !black) {
        if !ways.iter().any(|way| way.value == thickness) {
            let stock = flat(job, thickness);
            let buy = Buy::stock(&stock);
            ways.push(Way::new(thickness, MadeWith::Stock(stock), &FLAT).buying(false, || buy));
        }
    }
    let thinnest = processes::holding("vice on parallels").least_grip;
    let as_it_comes = !ways.is_empty();
    // Told once, by what lies farthest off: what else is refused stands before it.
    let mut too_thin = None;
    for size in convenient(exact, limit) {
        let Some((stock, have)) = thick_enough(job, &owned, size) else { continue };
        if as_it_comes && size < thinnest {
            let with = format!("faced from {}", stock_name(&stock));
            too_thin = Some(Refused { value: size, with, reason: THIN_SHEET.because.into() });
            continue;
        }
        let mut way = Way::new(size, MadeWith::Setting, &FACED)
            .unround(unround(size))
            .note(faced_from(job, &stock))
            .buying(have, || Buy::stock(&stock));
        way.extra = FACED_DOWN;
        ways.push(way);
    }
    refused.extend(too_thin);
    (ways, refused)
}

/// The bars a section of a turned part could be without a cut: only the largest can.
pub fn bars(job: &Job, section: FeatureId, limit: Length) -> Vec<Way> {
    let Body::Turned { sections, .. } = &job.drawing.body else { return Vec::new() };
    // Only what runs true, plain and smooth, is bar as it comes.
    let plain =
        matches!(job.feature(section).kind, Kind::Section { size: SectionSize::Plain(_), throw: None, .. });
    let knurled =
        job.part.features().any(|(_, f)| matches!(f.kind, Kind::Knurl { over, .. } if over == section));
    let cast = job.drawing.stock.as_ref().is_some_and(|stock| stock.form == Form::Casting);
    if !plain || knurled || cast || job.part.bar_left().is_some() {
        return Vec::new();
    }
    let size = |id: &FeatureId| job.part.reach_of(*id).unwrap_or_default() * 2;
    let own = size(&section);
    if sections.iter().filter(|&&id| id != section).any(|id| size(id) >= own) {
        return Vec::new();
    }
    rounds_near(job, own, limit)
}

/// The bars of a size, for what is turned from one and left as it comes.
pub fn rounds_near(job: &Job, own: Length, limit: Length) -> Vec<Way> {
    let stated = stated_bar(job).map(|(_, section)| section);
    rounds(job, &job.material.name)
        .into_iter()
        .filter(|(_, stock)| stated.is_none_or(|stated| stated == stock.section))
        .filter(|(diameter, stock)| diameter.gap(own) <= limit && !black::is_black(job, stock))
        .map(|(diameter, stock)| {
            let class = stock.class.clone().unwrap_or_else(|| UNKNOWN_BAR_CLASS.into());
            Way::new(diameter, MadeWith::Stock(stock.clone()), &BAR).class(class)
        })
        .collect()
}

/// Class supposed of a bar whose class is not known: bright drawn bar (common practice).
pub const UNKNOWN_BAR_CLASS: &str = "h9";

/// Owned rounds of a material with their diameter, smallest first.
pub fn rounds<'a>(job: &'a Job, material: &str) -> Vec<(Length, &'a Stock)> {
    let mut rounds: Vec<(Length, &Stock)> = job
        .bench
        .stock
        .iter()
        .filter(|stock| stock.material == material)
        .filter(|stock| material != job.material.name || black::suits(job, stock))
        .filter_map(|stock| match stock.section {
            Section::Round { diameter } => Some((diameter, stock)),
            Section::Flat { .. } | Section::Hexagon { .. } => None,
        })
        .collect();
    rounds.sort_by_key(|&(diameter, _)| diameter);
    rounds
}

/// Rounds to buy near a size.
pub fn standard_rounds(exact: Length, limit: Length) -> Vec<Length> {
    ROUNDS.iter().map(|&mm| Length::mm(mm)).filter(|size| size.gap(exact) <= limit).collect()
}

/// What the body is cut from, once its sizes are known.
///
/// Black or bright is told of it where the rack or the part's file says so.
pub fn chosen(job: &Job, made: &[MadeWith], sizes: &[Length], greatest: Length) -> Option<StockChoice> {
    let mut choice = body(job, made, sizes, greatest)?;
    choice.stock.surface = choice.stock.surface.or_else(|| job.drawing.surface());
    Some(choice)
}

fn body(job: &Job, made: &[MadeWith], sizes: &[Length], greatest: Length) -> Option<StockChoice> {
    if job.drawing.stock.as_ref().is_some_and(|stock| stock.form == Form::Casting) {
        return None;
    }
    if let (Body::Disc { diameter, .. }, true) = (&job.drawing.body, is_disc_from_bar(job)) {
        return bar(job, sizes[diameter.0]);
    }
    let Some(thickness) = job.plate_thickness() else {
        return bar_as_it_comes(job, made).or_else(|| bar(job, greatest));
    };
    let size = sizes[thickness.0];
    let in_rack = |stock: &Stock| job.bench.stock.contains(stock);
    let (stock, why) = match &made[thickness.0] {
        MadeWith::Stock(stock) => {
            (stock.clone(), Why::new(format!("{} thick as the part is", size)).source(FLAT.source))
        }
        _ => {
            let (stock, _) = thick_enough(job, &flats(job), size)?;
            let why =
                Why::new(format!("the thinnest that leaves {} to face down to {size}", facing(job, &stock)))
                    .source(FACED.source);
            let why = if black::is_black(job, &stock) {
                why.because(black::why_cleaning(job, &stock, lesser_width(job)))
            } else {
                why
            };
            (stock, why)
        }
    };
    let owned = if in_rack(&stock) { Owned::Owned } else { Owned::Buy };
    Some(StockChoice { stock, owned, why })
}

/// Square or hexagon bar that the part keeps the shape of.
fn bar_as_it_comes(job: &Job, made: &[MadeWith]) -> Option<StockChoice> {
    let at = job.drawing.dimensions.iter().position(|d| d.measures == Measures::AcrossBar)?;
    let MadeWith::Stock(stock) = &made[at] else { return None };
    let owned = if job.bench.stock.contains(stock) { Owned::Owned } else { Owned::Buy };
    let why = Why::new("part of it is left as the bar comes").source(BAR_LEFT.source);
    Some(StockChoice { stock: stock.clone(), owned, why })
}

/// The bar for a turned part: what the file names, else the smallest that holds it.
fn bar(job: &Job, greatest: Length) -> Option<StockChoice> {
    if let Some((stated, section)) = stated_bar(job) {
        let rack = || job.bench.stock.iter().filter(|stock| black::suits(job, stock));
        let have = rack().find(|stock| stock.section == section);
        let owned = if have.is_some() { Owned::Owned } else { Owned::Buy };
        let stock = have.cloned().unwrap_or_else(|| stock_of(&job.material.name, section));
        return Some(StockChoice { stock, owned, why: Why::new(stated.words()).source("the drawing") });
    }
    let holds = |stock: &Stock| match stock.section {
        Section::Round { diameter } => black::sound(job, stock, diameter) >= greatest,
        Section::Flat { .. } | Section::Hexagon { .. } => false,
    };
    let why = |stock: &Stock| {
        let why = Why::new(format!("the smallest bar that holds the largest diameter, {greatest}"))
            .source(BAR.source);
        if black::is_black(job, stock) { why.because(black::why_cleaning(job, stock, greatest)) } else { why }
    };
    if let Some((_, stock)) = rounds(job, &job.material.name).into_iter().find(|(_, stock)| holds(stock)) {
        return Some(StockChoice { stock: stock.clone(), owned: Owned::Owned, why: why(stock) });
    }
    let sold = |&mm: &i64| Stock {
        surface: job.drawing.surface(),
        ..stock_of(&job.material.name, Section::Round { diameter: Length::mm(mm) })
    };
    let stock = ROUNDS.iter().map(sold).find(holds)?;
    Some(StockChoice { owned: Owned::Buy, why: why(&stock), stock })
}
