//! Parts turned in one holding: what does not go with it.

use super::reader::Reader;
use super::{Body, Face, Feature, Kind, Turning};
use crate::document::Sheet;
use crate::problem::Problem;

impl Reader {
    /// What does not go with being turned in one holding.
    pub(super) fn turned_at_one_end(
        &mut self,
        sheet: &Sheet,
        turning: Turning,
        (body, features): (&Body, &[Feature]),
    ) {
        let Some(entry) = sheet.get("turned") else { return };
        let place = format!("line {}, `turned`", entry.line);
        if !matches!(body, Body::Turned { .. }) {
            let fault = Problem::new("a part that is not turned is turned in one holding")
                .why("`turned` says how the sections of a turned part are held")
                .mend("take it out, or write `kind = \"turned\"` in `[body]`");
            self.faults.push(fault.at(place.clone()));
        }
        if turning == Turning::WhereItStays && sheet.get("harden").is_some() {
            let fault = Problem::new("a part that stays in the chuck is hardened")
                .why("it would have to come out for the hearth, and go back no longer true")
                .mend("leave `harden` out, or write `turned = \"in one holding\"`");
            self.faults.push(fault.at(place.clone()));
        }
        for feature in features {
            if let Kind::Section { throw: Some(_), .. } = feature.kind {
                let fault =
                    Problem::new(format!("`{}` is off centre in a part turned in one holding", feature.name))
                        .why("it turns about an axis of its own: the work is moved for it")
                        .mend("take `turned` out");
                self.faults.push(fault.at(place.clone()));
            }
            if turning == Turning::WhereItStays
                && feature.face == Face::Left
                && !matches!(feature.kind, Kind::Section { .. })
            {
                let fault = Problem::new(format!("`{}` is in the end that stays in the chuck", feature.name))
                    .why("the part is used where it is turned, and its left end is never free")
                    .mend("put it in the right end, or write `turned = \"in one holding\"`");
                self.faults.push(fault.at(place.clone()));
            }
        }
    }
}
