//! Reading what only a turned part has: sections, grooves, knurls, flats, chamfers.

use super::features::{angle, need_feature};
use super::reader::Reader;
use super::{Face, Feature, Kind, Measures, Pattern, SectionEnd, SectionSize, Throw};
use crate::document::Sheet;
use crate::problem::Problem;

/// A length of a turned part.
pub(super) fn section(reader: &mut Reader, sheet: &Sheet, name: &str) -> Option<Kind> {
    let size = section_size(reader, sheet, name);
    let length = reader.dimension(sheet, "length", &format!("{name}: length"), Measures::Along);
    let throw = throw(reader, sheet, name)?;
    let size = size?;
    if throw.is_some() && matches!(size, SectionSize::AsBar { .. }) {
        reader.faults.push(
            Problem::new(format!("{name} is bar left as it comes, and has an offset"))
                .at(sheet.place())
                .why("what is not turned lies on the axis of the bar")
                .mend("take `offset` out, or give the section a `diameter` that is turned"),
        );
        return None;
    }
    Some(Kind::Section { size, length, throw })
}

/// What a section is across: one of a diameter, a thread, or bar left as it comes.
fn section_size(reader: &mut Reader, sheet: &Sheet, name: &str) -> Option<SectionSize> {
    let titled = |what: &str| format!("{name}: {what}");
    let given: Vec<&str> = ["diameter", "thread", "square", "hexagon"]
        .into_iter()
        .filter(|key| sheet.get(key).is_some())
        .collect();
    if let [first, second, ..] = given[..] {
        reader.faults.push(
            Problem::new(format!("{name} has both `{first}` and `{second}`"))
                .at(sheet.place())
                .why("a section has one size along its whole length")
                .mend("keep the one the drawing has, or make two sections of it"),
        );
        return None;
    }
    let bar = |reader: &mut Reader, key: &str, sides| {
        let across = reader.dimension(sheet, key, &titled("across flats"), Measures::AcrossBar)?;
        Some(SectionSize::AsBar { across, sides })
    };
    let size = match given.first() {
        Some(&"thread") => SectionSize::Threaded(reader.thread(sheet, "thread", &titled("thread"))?),
        Some(&"square") => bar(reader, "square", 4)?,
        Some(&"hexagon") => bar(reader, "hexagon", 6)?,
        _ => {
            let left = reader.need_dimension(sheet, "diameter", &titled("diameter"), Measures::Turned)?;
            match reader.dimension(sheet, "tapers_to", &titled("tapers to"), Measures::Turned) {
                Some(right) => return taper(reader, sheet, name, left, right),
                None if sheet.get("tapers_to").is_some() => return None,
                None => SectionSize::Plain(left),
            }
        }
    };
    if sheet.get("tapers_to").is_some() {
        reader.faults.push(
            Problem::new(format!("{name} tapers from nothing"))
                .at(sheet.place())
                .why("`tapers_to` is the diameter at the right end; the one at the left end is not there")
                .mend("write the diameter at the left end as `diameter`"),
        );
        return None;
    }
    Some(size)
}

fn taper(
    reader: &mut Reader,
    sheet: &Sheet,
    name: &str,
    left: super::DimensionId,
    right: super::DimensionId,
) -> Option<SectionSize> {
    let ends = [left, right].map(|id| reader.dimensions[id.0].written.length);
    if ends[0] == ends[1] {
        reader.faults.push(
            Problem::new(format!("{name} tapers to the diameter it has already"))
                .at(sheet.place())
                .mend("check both diameters, or take `tapers_to` out for a plain section"),
        );
        return None;
    }
    Some(SectionSize::Taper { left, right })
}

/// The axis of an eccentric section. Nothing inside when it runs true; nothing at all
/// when what is there cannot be read.
fn throw(reader: &mut Reader, sheet: &Sheet, name: &str) -> Option<Option<Throw>> {
    match reader.dimension(sheet, "offset", &format!("{name}: offset"), Measures::Throw) {
        Some(offset) => Some(Some(Throw { offset, at: angle(reader, sheet, "offset_at", "90°")? })),
        None if sheet.get("offset").is_some() => None,
        None if sheet.get("offset_at").is_some() => {
            reader.faults.push(
                Problem::new(format!("{name} says which way it is offset, and not how far"))
                    .at(sheet.place())
                    .mend("add `offset = \"…\"`, from the axis of the part to that of the section"),
            );
            None
        }
        None => Some(None),
    }
}

/// A groove turned round a section.
pub(super) fn groove(reader: &mut Reader, sheet: &Sheet, name: &str) -> Option<Kind> {
    let titled = |what: &str| format!("{name}: {what}");
    let diameter = reader.need_dimension(sheet, "diameter", &titled("diameter"), Measures::Turned)?;
    let width = reader.need_dimension(sheet, "width", &titled("width"), Measures::Along)?;
    Some(Kind::Groove { diameter, width })
}

/// A knurl all over a section.
pub(super) fn knurl(reader: &mut Reader, sheet: &Sheet, name: &str) -> Option<Kind> {
    let over = need_feature(reader, sheet, "over")?;
    let pitch = reader.need_dimension(sheet, "pitch", &format!("{name}: pitch"), Measures::KnurlPitch)?;
    sheet.need("pattern", "diamond", &mut reader.faults)?;
    let patterns = [("straight", Pattern::Straight), ("diamond", Pattern::Diamond)];
    let pattern = reader.one_of(sheet, "pattern", &patterns)?;
    Some(Kind::Knurl { over, pitch, pattern })
}

/// Flats milled on a section.
pub(super) fn flats(reader: &mut Reader, sheet: &Sheet, name: &str) -> Option<Kind> {
    let titled = |what: &str| format!("{name}: {what}");
    let across = reader.need_dimension(sheet, "across", &titled("across"), Measures::AcrossFlats)?;
    sheet.need("count", "2", &mut reader.faults)?;
    let count = sheet.count("count", &mut reader.faults)?;
    if !matches!(count, 1 | 2 | 4 | 6) {
        reader.faults.push(
            Problem::new(format!("{name} has {count} flats"))
                .at(sheet.place())
                .why("flats are measured across, from one to its opposite")
                .mend("`count` is 1, 2, 4 or 6"),
        );
        return None;
    }
    let length = reader.need_dimension(sheet, "length", &titled("length"), Measures::Along)?;
    Some(Kind::Flats { across, count, length })
}

/// Metal turned out of an end.
pub(super) fn recess(reader: &mut Reader, sheet: &Sheet, name: &str, face: Face) -> Option<Kind> {
    let titled = |what: &str| format!("{name}: {what}");
    let diameter = reader.need_dimension(sheet, "diameter", &titled("diameter"), Measures::Turned)?;
    let hub = reader.dimension(sheet, "hub", &titled("hub"), Measures::Turned);
    if hub.is_none() && sheet.get("hub").is_some() {
        return None;
    }
    let depth = reader.need_dimension(sheet, "depth", &titled("depth"), Measures::Depth)?;
    if !matches!(face, Face::Left | Face::Right) {
        reader.faults.push(
            Problem::new(format!("{name} does not say which end it is turned in"))
                .at(sheet.place())
                .why("a recess is turned in an end of the part, round its axis")
                .mend("add `face = \"left\"` or `\"right\"`"),
        );
        return None;
    }
    Some(Kind::Recess { diameter, hub, depth })
}

/// A chamfer on one end of a section.
pub(super) fn chamfer(reader: &mut Reader, sheet: &Sheet, name: &str) -> Option<Kind> {
    let of = need_feature(reader, sheet, "of")?;
    sheet.need("end", "right", &mut reader.faults)?;
    let ends = [("left", SectionEnd::Left), ("right", SectionEnd::Right)];
    let end = reader.one_of(sheet, "end", &ends)?;
    let size = reader.need_dimension(sheet, "size", &format!("{name}: size"), Measures::Chamfer)?;
    Some(Kind::Chamfer { of, end, size })
}

/// What a feature that belongs to a section names must be one that can have it.
pub(super) fn check_sections(reader: &mut Reader, features: &[Feature]) {
    for feature in features {
        let (of, key, such) = match feature.kind {
            Kind::Knurl { over, .. } => (over, "over", "a plain section"),
            Kind::Chamfer { of, .. } => (of, "of", "a section"),
            _ => continue,
        };
        let fits = matches!(
            (&feature.kind, &features[of.0].kind),
            (Kind::Knurl { .. }, Kind::Section { size: SectionSize::Plain(_), .. })
                | (Kind::Chamfer { .. }, Kind::Section { .. })
        );
        if !fits {
            let other = &features[of.0];
            reader.faults.push(
                Problem::new(format!("`{}` is not {such}", other.name))
                    .at(format!("line {}, `{key}`", feature.line))
                    .why(format!("`{}` is a {}", feature.name, feature.kind.word()))
                    .mend("name a feature of kind `section`"),
            );
        }
    }
}
