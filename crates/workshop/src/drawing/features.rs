//! Reading each kind of feature.

use super::features_turned;
use super::reader::Reader;
use super::{Depth, DimensionId, Face, Feature, FeatureId, Finish, Kind, Measures, SectionSize, ThreadId};
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
    Counterbore,
    PitchCircle,
    Section,
    Groove,
    Knurl,
    Flats,
    Chamfer,
    Recess,
}

const KINDS: [(&str, Named); 15] = [
    ("boss", Named::Boss),
    ("hole", Named::Hole),
    ("tapped hole", Named::Tapped),
    ("clamp screw", Named::ClampScrew),
    ("slit", Named::Slit),
    ("step", Named::Step),
    ("slot", Named::Slot),
    ("counterbore", Named::Counterbore),
    ("pitch circle", Named::PitchCircle),
    ("section", Named::Section),
    ("groove", Named::Groove),
    ("knurl", Named::Knurl),
    ("flats", Named::Flats),
    ("chamfer", Named::Chamfer),
    ("recess", Named::Recess),
];

const FACES: [(&str, Face); 6] = [
    ("front", Face::Front),
    ("back", Face::Back),
    ("left", Face::Left),
    ("right", Face::Right),
    ("top", Face::Top),
    ("bottom", Face::Bottom),
];

/// Most holes on one pitch circle.
const MOST_HOLES: u32 = 200;

/// How many further features a feature brings with it: the holes of a pitch circle.
pub(super) fn children(sheet: &Sheet) -> usize {
    let mut ignored = Vec::new();
    match sheet.text("kind", &mut ignored) {
        Some((kind, _)) if kind.trim().eq_ignore_ascii_case("pitch circle") => {}
        _ => return 0,
    }
    let count = sheet.text("holes", &mut ignored).and_then(|(text, _)| text.parse::<u32>().ok());
    count.filter(|count| (2..=MOST_HOLES).contains(count)).map_or(0, |count| count as usize)
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
    let kind = reader.one_of(sheet, "kind", &KINDS)?;
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
            let side = reader.one_of(sheet, "side", &FACES[2..])?;
            one(Kind::Step { leaves, side })
        }
        Named::Slot => {
            let width = reader.need_dimension(sheet, "width", &titled("width"), Measures::SlotWidth)?;
            let centres =
                reader.need_dimension(sheet, "centres", &titled("between centres"), Measures::Position)?;
            let along = angle(reader, sheet, "along", "0°")?;
            let depth = depth(reader, sheet, name)?;
            one(Kind::Slot { width, centres, along, depth })
        }
        Named::Counterbore => {
            let diameter =
                reader.need_dimension(sheet, "diameter", &titled("diameter"), Measures::Counterbore)?;
            let deep = reader.need_dimension(sheet, "depth", &titled("depth"), Measures::Depth)?;
            let over = need_feature(reader, sheet, "over")?;
            one(Kind::Counterbore { diameter, depth: deep, over })
        }
        Named::PitchCircle => pitch_circle(reader, sheet, name, id, face, placing),
        Named::Section => one(features_turned::section(reader, sheet, name)?),
        Named::Groove => one(features_turned::groove(reader, sheet, name)?),
        Named::Knurl => one(features_turned::knurl(reader, sheet, name)?),
        Named::Flats => one(features_turned::flats(reader, sheet, name)?),
        Named::Chamfer => one(features_turned::chamfer(reader, sheet, name)?),
        Named::Recess => one(features_turned::recess(reader, sheet, name, face)?),
    }
}

/// A plain or a tapped hole: also what stands on a pitch circle.
fn hole(reader: &mut Reader, sheet: &Sheet, name: &str, tapped: bool) -> Option<Kind> {
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

fn pitch_circle(
    reader: &mut Reader,
    sheet: &Sheet,
    name: &str,
    id: FeatureId,
    face: Face,
    placing: Vec<super::Statement>,
) -> Option<Vec<Feature>> {
    sheet.need("holes", "6", &mut reader.faults)?;
    let count = sheet.count("holes", &mut reader.faults)?;
    if !(2..=MOST_HOLES).contains(&count) {
        reader.faults.push(
            Problem::new(format!("{name} has {count} holes")).at(sheet.place()).mend(format!(
                "a pitch circle has from 2 to {MOST_HOLES} holes; place a single hole by itself"
            )),
        );
        return None;
    }
    let across =
        reader.need_dimension(sheet, "pitch_circle", &format!("{name}: pitch circle"), Measures::Position)?;
    let first = angle(reader, sheet, "first", "0°")?;
    let tapped = sheet.get("thread").is_some();
    let kind = hole(reader, sheet, name, tapped)?;
    let holes: Vec<FeatureId> = (1..=count as usize).map(|n| FeatureId(id.0 + n)).collect();
    let mut features = vec![Feature {
        name: name.to_owned(),
        line: sheet.line(),
        face,
        kind: Kind::PitchCircle { diameter: across, holes: holes.clone(), first },
        placing,
    }];
    for hole in holes {
        let name = reader.names[hole.0].0.clone();
        features.push(Feature { name, line: sheet.line(), face, kind: kind.clone(), placing: Vec::new() });
    }
    Some(features)
}

fn depth(reader: &mut Reader, sheet: &Sheet, name: &str) -> Option<Depth> {
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
        return None;
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
                [*width, *centres].into_iter().chain(deep(depth)).collect()
            }
            Self::Counterbore { diameter, depth, .. } => vec![*diameter, *depth],
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
