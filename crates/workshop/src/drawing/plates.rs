//! Reading what is cut in plates and blocks besides plain holes, steps and slots.

use super::features::{angle, depth, need_feature};
use super::reader::Reader;
use super::{Kind, Measures};
use crate::document::Sheet;
use crate::measure::Angle;
use crate::problem::Problem;

/// A corner of the outline: sharp unless it has a radius.
pub(super) fn corner(reader: &mut Reader, sheet: &Sheet, name: &str) -> Option<Kind> {
    let radius = reader.dimension(sheet, "radius", &format!("{name}: radius"), Measures::Radius);
    if radius.is_none() && sheet.get("radius").is_some() {
        return None;
    }
    Some(Kind::Corner { radius })
}

/// A hole for a taper pin.
pub(super) fn taper_pin(reader: &mut Reader, sheet: &Sheet, name: &str) -> Option<Kind> {
    let pin = reader.need_dimension(sheet, "pin", &format!("{name}: pin"), Measures::TaperPin)?;
    Some(Kind::TaperPin { pin, depth: depth(reader, sheet, name)? })
}

/// A countersink; where the drawing gives no angle, 90° is supposed.
pub(super) fn countersink(reader: &mut Reader, sheet: &Sheet, name: &str) -> Option<Kind> {
    let title = format!("{name}: diameter");
    let diameter = reader.need_dimension(sheet, "diameter", &title, Measures::Countersink)?;
    let over = need_feature(reader, sheet, "over")?;
    if sheet.get("angle").is_none() {
        reader.assumed.push(format!("{name} is a cone of 90°"));
        return Some(Kind::Countersink { diameter, angle: Angle::degrees(90), over });
    }
    let whole = angle(reader, sheet, "angle", "90°")?;
    if whole < Angle::degrees(30) || whole > Angle::degrees(150) {
        reader.faults.push(
            Problem::new(format!("{name} has a cone of {whole}"))
                .at(sheet.place())
                .why("a countersink is named by the whole angle of its cone")
                .mend("write the angle as drawn, from 30° to 150°, such as `90°`"),
        );
        return None;
    }
    Some(Kind::Countersink { diameter, angle: whole, over })
}

/// A pocket.
pub(super) fn pocket(reader: &mut Reader, sheet: &Sheet, name: &str) -> Option<Kind> {
    let titled = |what: &str| format!("{name}: {what}");
    let width = reader.need_dimension(sheet, "width", &titled("width"), Measures::Inside);
    let height = reader.need_dimension(sheet, "height", &titled("height"), Measures::Inside);
    let corner = reader.need_dimension(sheet, "corner", &titled("corner radius"), Measures::InsideCorner);
    let along = angle(reader, sheet, "along", "0°")?;
    let depth = depth(reader, sheet, name)?;
    Some(Kind::Pocket { width: width?, height: height?, corner: corner?, depth, along })
}

/// A square hole.
pub(super) fn square(reader: &mut Reader, sheet: &Sheet, name: &str) -> Option<Kind> {
    let across = reader.need_dimension(sheet, "across", &format!("{name}: across"), Measures::Filed)?;
    let along = angle(reader, sheet, "along", "0°")?;
    Some(Kind::Square { across, depth: depth(reader, sheet, name)?, along })
}

/// A hole with a flat.
pub(super) fn flatted(reader: &mut Reader, sheet: &Sheet, name: &str) -> Option<Kind> {
    let titled = |what: &str| format!("{name}: {what}");
    let diameter = reader.need_dimension(sheet, "diameter", &titled("diameter"), Measures::Filed);
    let across = reader.need_dimension(sheet, "across", &titled("across"), Measures::Filed);
    sheet.need("toward", "90°", &mut reader.faults)?;
    let toward = angle(reader, sheet, "toward", "90°")?;
    let depth = depth(reader, sheet, name)?;
    Some(Kind::Flatted { diameter: diameter?, across: across?, depth, toward })
}
