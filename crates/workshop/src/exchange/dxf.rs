//! Reading a drawing-exchange file (DXF, as text): the published format, from
//! release 12 on.
//!
//! The text is pairs of lines, a group code and a value ([`pairs`]); a pair of
//! code nought begins a record ([`record`]). Every line, arc, circle, ellipse,
//! polyline and spline of the model becomes a [`Stroke`](super::stroke::Stroke),
//! blocks taken apart ([`entity`]).

mod entity;
mod pairs;
mod record;

use std::collections::BTreeMap;

use super::affine::Affine;
use super::drawn::{Drawn, Stated};
use super::unit::FileUnit;
use crate::geometry::Point;
use crate::problem::Problem;
use entity::Frame;
use record::{Record, records};

/// A block: where its own origin is, and what stands in it.
struct Block<'a> {
    base: Point,
    records: Vec<Record<'a>>,
}

/// The blocks of a file, by their names in capitals.
type Blocks<'a> = BTreeMap<String, Block<'a>>;

/// Reads the bytes of a DXF file.
///
/// # Errors
///
/// A [`Problem`] with the line when it is no such file, breaks off, or holds
/// what cannot be.
pub(super) fn read(bytes: &[u8]) -> Result<Drawn, Problem> {
    if bytes.contains(&0) {
        return Err(Problem::new("the DXF file is not text")
            .why("it is the binary form of the format, or no DXF file at all")
            .mend("save it again as a text DXF"));
    }
    // Only names can hold other letters than those of ASCII, and only layers' are shown.
    let text = String::from_utf8_lossy(bytes);
    let pairs = pairs::pairs(&text)?;
    let mut drawn = Drawn::new();
    let mut blocks = Blocks::new();
    let mut entities = Vec::new();
    let mut met_any = false;
    for section in record::sections(&pairs)? {
        met_any = true;
        match section.name {
            "HEADER" => drawn.stated = stated(&section),
            "TABLES" => layers(&section, &mut drawn)?,
            "BLOCKS" => blocks = read_blocks(&section)?,
            "ENTITIES" => entities = records(section.pairs),
            _ => {}
        }
    }
    if !met_any {
        return Err(Problem::new("this is not a DXF file")
            .why("it has no section in it")
            .mend("name a DXF or an SVG file"));
    }
    let frame = Frame { to_sheet: Affine::SAME, layer: None, depth: 0 };
    entity::all(&entities, frame, &blocks, &mut drawn)?;
    Ok(drawn)
}

/// What the header says of the unit.
fn stated(section: &record::Section<'_>) -> Stated {
    let variable = |name: &str| {
        let at = section.pairs.iter().position(|pair| pair.code == 9 && pair.value == name)?;
        section.pairs.get(at + 1)?.value.parse::<i64>().ok()
    };
    let system = match variable("$MEASUREMENT") {
        Some(0) => ", though `$MEASUREMENT` hints at inches",
        Some(1) => ", though `$MEASUREMENT` hints at millimetres",
        _ => "",
    };
    match variable("$INSUNITS") {
        None => Stated::nothing(format!("its header has no `$INSUNITS`{system}")),
        Some(0) => Stated::nothing(format!("its `$INSUNITS` is 0, which means none{system}")),
        Some(code) => match FileUnit::of_dxf(code) {
            Some(unit) => Stated::Unit { unit, each_mm: unit.each_mm(), how: "`$INSUNITS`".into() },
            None => Stated::nothing(format!("its `$INSUNITS` is {code}, no unit of a workshop")),
        },
    }
}

/// The names of the layers, and which are switched off or frozen.
fn layers(section: &record::Section<'_>, drawn: &mut Drawn) -> Result<(), Problem> {
    for record in records(section.pairs).iter().filter(|record| record.kind == "LAYER") {
        let Some(name) = record.text(2) else { continue };
        let off = record.number(62)?.is_some_and(|colour| colour < 0.0);
        let frozen = record.flags(70)? & 1 != 0;
        let layer = drawn.layer(name);
        drawn.layers[layer].shown = !off && !frozen;
    }
    Ok(())
}

fn read_blocks<'a>(section: &record::Section<'a>) -> Result<Blocks<'a>, Problem> {
    let mut blocks = Blocks::new();
    let mut open: Option<(String, Block<'a>)> = None;
    for record in records(section.pairs) {
        match (record.kind, &mut open) {
            ("BLOCK", _) => {
                let name = record.text(2).unwrap_or_default().to_uppercase();
                let base = record.point(10)?.unwrap_or_default();
                open = Some((name, Block { base, records: Vec::new() }));
            }
            ("ENDBLK", _) => blocks.extend(open.take()),
            (_, Some((_, block))) => block.records.push(record),
            (_, None) => {}
        }
    }
    Ok(blocks)
}
