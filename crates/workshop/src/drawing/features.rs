//! Reading each kind of feature.

use super::curved_slot;
use super::features_turned;
use super::keyway;
use super::open;
use super::patterns::{self, Spread};
use super::plates;
use super::reader::Reader;
use super::{
    Depth, DimensionId, Face, Feature, FeatureId, Finish, Kind, Measures, SectionSize, Sweep, ThreadId,
};
use crate::document::Sheet;
use crate::measure::{Angle, read_angle};
use crate::problem::Problem;

/// The kinds a file may name. Add a row here and an arm in [`read_feature`].
#[derive(Clone, Copy, PartialEq, Eq)]
enum Named {
    Boss,
    Hole,
    Tapped,
    ClampScrew,
    Slit,
    Step,
    Slot,
    CurvedSlot,
    Keyway,
    Counterbore,
    PitchCircle,
    Corner,
    TaperPin,
    Countersink,
    Pocket,
    Square,
    Flatted,
    Row,
    Section,
    Groove,
    Knurl,
    Flats,
    Chamfer,
    Recess,
}

const KINDS: &[(&str, Named)] = &[
    ("boss", Named::Boss),
    ("hole", Named::Hole),
    ("tapped hole", Named::Tapped),
    ("clamp screw", Named::ClampScrew),
    ("slit", Named::Slit),
    ("step", Named::Step),
    ("slot", Named::Slot),
    ("curved slot", Named::CurvedSlot),
    ("keyway", Named::Keyway),
    ("counterbore", Named::Counterbore),
    ("pitch circle", Named::PitchCircle),
    ("corner", Named::Corner),
    ("taper pin hole", Named::TaperPin),
    ("countersink", Named::Countersink),
    ("pocket", Named::Pocket),
    ("square hole", Named::Square),
    ("flatted hole", Named::Flatted),
    ("row", Named::Row),
    ("section", Named::Section),
    ("groove", Named::Groove),
    ("knurl", Named::Knurl),
    ("flats", Named::Flats),
    ("chamfer", Named::Chamfer),
    ("recess", Named::Recess),
];

pub(super) const FACES: [(&str, Face); 6] = [
    ("front", Face::Front),
    ("back", Face::Back),
    ("left", Face::Left),
    ("right", Face::Right),
    ("top", Face::Top),
    ("bottom", Face::Bottom),
];

/// How many further features a feature brings with it: the holes of a pitch circle
/// or a row.
pub(super) fn children(sheet: &Sheet) -> usize {
    let mut ignored = Vec::new();
    match sheet.text("kind", &mut ignored) {
        Some((kind, _)) if ["pitch circle", "row"].iter().any(|k| kind.trim().eq_ignore_ascii_case(k)) => {}
        _ => return 0,
    }
    let count = sheet.text("holes", &mut ignored).and_then(|(text, _)| text.parse::<u32>().ok());
    count.filter(|count| (2..=patterns::MOST_HOLES).contains(count)).map_or(0, |count| count as usize)
}

/// Reads one `[[feature]]`; a pitch circle brings its holes after it. Returns
/// nothing when it cannot be read; the faults say why.
pub(super) fn read_feature(reader: &mut Reader, sheet: &Sheet, id: FeatureId) -> Vec<Feature> {
    let name = reader.names[id.0].0.clone();
    let read = feature(reader, sheet, &name, id);
    match read {
        Some(features) => {
            sheet.finish(&mut reader.faults);
            features
        }
        None => {
            sheet.slips(&mut reader.faults);
            Vec::new()
        }
    }
}

fn feature(reader: &mut Reader, sheet: &Sheet, name: &str, id: FeatureId) -> Option<Vec<Feature>> {
    if sheet.get("kind").is_none() {
        sheet.need("kind", "hole", &mut reader.faults);
        return None;
    }
    let kind = reader.one_of(sheet, "kind", KINDS)?;
    let face = reader.one_of(sheet, "face", &FACES).unwrap_or(Face::Front);
    let placing = reader.placing(sheet, name);
    let titled = |what: &str| format!("{name}: {what}");
    let one = |kind| {
        Some(vec![Feature {
            name: name.to_owned(),
            line: sheet.line(),
            face,
            kind,
            placing: placing.clone(),
        }])
    };
    match kind {
        Named::Boss => {
            let radius = reader.need_dimension(sheet, "radius", &titled("radius"), Measures::Radius)?;
            one(Kind::Boss { radius })
        }
        Named::Hole | Named::Tapped => one(hole(reader, sheet, name, kind == Named::Tapped)?),
        Named::ClampScrew => {
            let thread = need_thread(reader, sheet, "thread", &titled("thread"))?;
            let clearance = reader.need_dimension(
                sheet,
                "clearance",
                &titled("clearance"),
                Measures::Hole(Finish::Drilled),
            )?;
            let across = need_feature(reader, sheet, "across")?;
            if matches!(face, Face::Front | Face::Back) {
                reader.faults.push(
                    Problem::new(format!("{name} does not say which edge it enters"))
                        .at(sheet.place())
                        .why("a screw across a slit goes in from an edge, square to the slit")
                        .mend("add `face = \"top\"`, `\"bottom\"`, `\"left\"` or `\"right\"`"),
                );
                return None;
            }
            one(Kind::ClampScrew { thread, clearance, across })
        }
        Named::Slit => {
            let width = reader.need_dimension(sheet, "width", &titled("width"), Measures::SawWidth)?;
            let into = need_feature(reader, sheet, "into")?;
            sheet.need("toward", "left", &mut reader.faults)?;
            let toward = reader.one_of(sheet, "toward", &FACES[2..])?;
            one(Kind::Slit { width, into, toward })
        }
        Named::Step => {
            let leaves = reader.need_dimension(sheet, "leaves", &titled("leaves"), Measures::Web)?;
            sheet.need("side", "right", &mut reader.faults)?;
            let side = reader.one_of(sheet, "side", &FACES)?;
            if side.axis() == face.axis() {
                reader.faults.push(
                    Problem::new(format!("{name} is cut away at the {} of its own face", side.word()))
                        .at(sheet.place())
                        .why(format!("a step cut from the {} runs out at an edge of that face", face.word()))
                        .mend("name a side beside the face, such as `side = \"right\"`"),
                );
                return None;
            }
            one(Kind::Step { leaves, side })
        }
        Named::Slot => {
            let width = reader.need_dimension(sheet, "width", &titled("width"), Measures::SlotWidth)?;
            let centres = match sheet.get("open") {
                Some(_) => reader.dimension(sheet, "centres", &titled("between centres"), Measures::Position),
                None => {
                    let titled = titled("between centres");
                    Some(reader.need_dimension(sheet, "centres", &titled, Measures::Position)?)
                }
            };
            let along = match sheet.get("along") {
                Some(_) => angle(reader, sheet, "along", "0°")?,
                None => open::toward(sheet, face),
            };
            let depth = depth(reader, sheet, name)?;
            let open = open::read(reader, sheet, name, face, along)?;
            if centres.is_none() && open.is_empty() {
                // An empty list: as without.
                reader.need_dimension(sheet, "centres", &titled("between centres"), Measures::Position)?;
                return None;
            }
            one(Kind::Slot { width, centres, along, depth, open })
        }
        Named::Keyway => one(keyway::read(reader, sheet, name)?),
        Named::CurvedSlot => one(curved_slot::read(reader, sheet, name, face)?),
        Named::Counterbore => {
            let diameter =
                reader.need_dimension(sheet, "diameter", &titled("diameter"), Measures::Counterbore)?;
            let deep = reader.need_dimension(sheet, "depth", &titled("depth"), Measures::Depth)?;
            let over = need_feature(reader, sheet, "over")?;
            one(Kind::Counterbore { diameter, depth: deep, over })
        }
        Named::PitchCircle | Named::Row => {
            let pattern = if kind == Named::Row { Spread::Row } else { Spread::Circle };
            patterns::read(reader, sheet, pattern, id, face, placing)
        }
        Named::Corner => one(plates::corner(reader, sheet, name)?),
        Named::TaperPin => one(plates::taper_pin(reader, sheet, name)?),
        Named::Countersink => one(plates::countersink(reader, sheet, name)?),
        Named::Pocket => one(plates::pocket(reader, sheet, name)?),
        Named::Square => one(plates::square(reader, sheet, name)?),
        Named::Flatted => one(plates::flatted(reader, sheet, name)?),
        Named::Section => one(features_turned::section(reader, sheet, name)?),
        Named::Groove => one(features_turned::groove(reader, sheet, name)?),
        Named::Knurl => one(features_turned::knurl(reader, sheet, name)?),
        Named::Flats => one(features_turned::flats(reader, sheet, name)?),
        Named::Chamfer => one(features_turned::chamfer(reader, sheet, name)?),
        Named::Recess => one(features_turned::recess(reader, sheet, name, face)?),
    }
}

/// A plain or a tapped hole: also what stands on a pitch circle.
pub(super) fn hole(reader: &mut Reader, sheet: &Sheet, name: &str, tapped: bool) -> Option<Kind> {
    let titled = |what: &str| format!("{name}: {what}");
    if tapped {
        let thread = need_thread(reader, sheet, "thread", &titled("thread"))?;
        return Some(Kind::Tapped { thread, depth: depth(reader, sheet, name)? });
    }
    let finishes = [("drilled", Finish::Drilled), ("reamed", Finish::Reamed), ("bored", Finish::Bored)];
    let finish = match reader.one_of(sheet, "finish", &finishes) {
        Some(finish) => finish,
        None if sheet.get("finish").is_some() => return None,
        None => Finish::Drilled,
    };
    let diameter = reader.need_dimension(sheet, "diameter", &titled("diameter"), Measures::Hole(finish))?;
    let depth = depth(reader, sheet, name)?;
    let clears = reader.thread(sheet, "clears", &titled("screw through it"));
    if clears.is_none() && sheet.get("clears").is_some() {
        return None;
    }
    Some(Kind::Hole { diameter, finish, depth, clears })
}

pub(super) fn depth(reader: &mut Reader, sheet: &Sheet, name: &str) -> Option<Depth> {
    match reader.dimension(sheet, "depth", &format!("{name}: depth"), Measures::Depth) {
        Some(depth) => Some(Depth::To(depth)),
        None if sheet.get("depth").is_some() => None,
        None => Some(Depth::Through),
    }
}

/// An angle, or nought where the drawing does not give one.
pub(super) fn angle(reader: &mut Reader, sheet: &Sheet, key: &str, such_as: &str) -> Option<Angle> {
    let Some((text, line)) = sheet.text(key, &mut reader.faults) else {
        return match sheet.get(key) {
            None => Some(Angle::default()),
            Some(_) => None,
        };
    };
    match read_angle(text) {
        Ok(angle) => Some(angle),
        Err(fault) => {
            reader.faults.push(fault.at(format!("line {line}, `{key}`, such as `{such_as}`")));
            None
        }
    }
}

fn need_thread(reader: &mut Reader, sheet: &Sheet, key: &str, name: &str) -> Option<ThreadId> {
    if sheet.get(key).is_none() {
        sheet.need(key, "7 BA", &mut reader.faults);
        return reader.stand_in_thread(name);
    }
    reader.thread(sheet, key, name)
}

pub(super) fn need_feature(reader: &mut Reader, sheet: &Sheet, key: &str) -> Option<FeatureId> {
    let (text, line) = sheet.need(key, "pivot bore", &mut reader.faults)?;
    let text = text.to_owned();
    reader.feature_named(&text, line, key)
}

/// The dimensions that give a feature its size, for showing beside it.
impl Kind {
    /// Every dimension of the feature's size, not of its place.
    pub fn sizes(&self) -> Vec<DimensionId> {
        let deep = |depth: &Depth| match depth {
            Depth::Through => None,
            Depth::To(id) => Some(*id),
        };
        match self {
            Self::Boss { radius } => vec![*radius],
            Self::Hole { diameter, depth, .. } => std::iter::once(*diameter).chain(deep(depth)).collect(),
            Self::Tapped { depth, .. } => deep(depth).into_iter().collect(),
            Self::ClampScrew { clearance, .. } => vec![*clearance],
            Self::Slit { width, .. } => vec![*width],
            Self::Step { leaves, .. } => vec![*leaves],
            Self::Slot { width, centres, depth, .. } => {
                std::iter::once(*width).chain(*centres).chain(deep(depth)).collect()
            }
            Self::CurvedSlot { width, radius, reach, depth } => {
                let centres = match reach {
                    Sweep::Between { .. } => None,
                    Sweep::Across { centres, .. } => Some(*centres),
                };
                [*width, *radius].into_iter().chain(centres).chain(deep(depth)).collect()
            }
            Self::Counterbore { diameter, depth, .. } => vec![*diameter, *depth],
            Self::Keyway { width, depth, .. } => vec![*width, *depth],
            Self::Corner { radius } => radius.iter().copied().collect(),
            Self::TaperPin { pin, depth } => std::iter::once(*pin).chain(deep(depth)).collect(),
            Self::Countersink { diameter, .. } => vec![*diameter],
            Self::Pocket { width, height, corner, depth, .. } => {
                [*width, *height, *corner].into_iter().chain(deep(depth)).collect()
            }
            Self::Square { across, depth, .. } => std::iter::once(*across).chain(deep(depth)).collect(),
            Self::Flatted { diameter, across, depth, .. } => {
                [*diameter, *across].into_iter().chain(deep(depth)).collect()
            }
            Self::Row { spacing, .. } => vec![*spacing],
            Self::PitchCircle { diameter, .. } => vec![*diameter],
            Self::Section { size, length, throw } => {
                let across = match size {
                    SectionSize::Plain(id) | SectionSize::AsBar { across: id, .. } => vec![*id],
                    SectionSize::Taper { left, right } => vec![*left, *right],
                    SectionSize::Threaded(_) => Vec::new(),
                };
                across.into_iter().chain(*length).chain(throw.map(|throw| throw.offset)).collect()
            }
            Self::Groove { diameter, width } => vec![*diameter, *width],
            Self::Knurl { pitch, .. } => vec![*pitch],
            Self::Flats { across, length, .. } => vec![*across, *length],
            Self::Chamfer { size, .. } => vec![*size],
            Self::Recess { diameter, hub, depth } => {
                std::iter::once(*diameter).chain(*hub).chain([*depth]).collect()
            }
        }
    }
}
