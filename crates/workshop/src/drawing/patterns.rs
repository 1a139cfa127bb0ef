//! Reading holes that come several at a time: on a pitch circle, or in a row.

use super::features::{angle, hole};
use super::reader::Reader;
use super::{Face, Feature, FeatureId, Kind, Measures, Statement};
use crate::document::Sheet;
use crate::problem::Problem;

/// Most holes on one pitch circle or in one row.
pub(super) const MOST_HOLES: u32 = 200;

/// How the holes stand to each other.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Spread {
    /// Equally spaced round a circle.
    Circle,
    /// Equally spaced along a line.
    Row,
}

impl Spread {
    const fn word(self) -> &'static str {
        match self {
            Self::Circle => "pitch circle",
            Self::Row => "row",
        }
    }
}

/// Reads a pattern, with its holes after it.
pub(super) fn read(
    reader: &mut Reader,
    sheet: &Sheet,
    pattern: Spread,
    id: FeatureId,
    face: Face,
    placing: Vec<Statement>,
) -> Option<Vec<Feature>> {
    let name = reader.names[id.0].0.clone();
    sheet.need("holes", "6", &mut reader.faults)?;
    let count = sheet.count("holes", &mut reader.faults)?;
    if !(2..=MOST_HOLES).contains(&count) {
        reader.faults.push(Problem::new(format!("{name} has {count} holes")).at(sheet.place()).mend(
            format!("a {} has from 2 to {MOST_HOLES} holes; place a single hole by itself", pattern.word()),
        ));
        return None;
    }
    let holes: Vec<FeatureId> = (1..=count as usize).map(|n| FeatureId(id.0 + n)).collect();
    let kind = match pattern {
        Spread::Circle => {
            let title = format!("{name}: pitch circle");
            let diameter = reader.need_dimension(sheet, "pitch_circle", &title, Measures::Position)?;
            let first = angle(reader, sheet, "first", "0°")?;
            Kind::PitchCircle { diameter, holes: holes.clone(), first }
        }
        Spread::Row => {
            let title = format!("{name}: spacing");
            let spacing = reader.need_dimension(sheet, "spacing", &title, Measures::Position)?;
            let along = angle(reader, sheet, "along", "0°")?;
            Kind::Row { spacing, holes: holes.clone(), along }
        }
    };
    let tapped = sheet.get("thread").is_some();
    let each = hole(reader, sheet, &name, tapped)?;
    let line = sheet.line();
    let mut features = vec![Feature { name, line, face, kind, placing }];
    for hole in holes {
        let name = reader.names[hole.0].0.clone();
        features.push(Feature { name, line, face, kind: each.clone(), placing: Vec::new() });
    }
    Some(features)
}
