//! What a part file says of the paper sheet that lies beneath the picture.
//!
//! The image itself stays a file of the project; here are its name, the
//! dimensions that square and scale it, and where on it features were found.

use super::place::find_reference;
use super::reader::Reader;
use super::{FeatureId, Reference};
use crate::document::{Content, Sheet};
use crate::measure::{Written, read_length};
use crate::problem::Problem;

/// The paper sheet beneath a drawing.
#[derive(Clone, Debug, PartialEq)]
pub struct PaperSheet {
    /// Name of the image in the project's folder of sheets.
    pub image: String,
    /// Dimensions found on the image: they square and scale it.
    pub known: Vec<Known>,
    /// Features found on the image.
    pub spots: Vec<Spot>,
}

/// A place on the image: pixels to the right and down from its top left corner.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pixel {
    /// To the right.
    pub x_px: f64,
    /// Down.
    pub y_px: f64,
}

/// A dimension between two places on the image.
#[derive(Clone, Debug, PartialEq)]
pub struct Known {
    /// As typed.
    pub written: Written,
    /// Which way it runs on the drawing.
    pub way: Way,
    /// Its left or lower end.
    pub from: Pixel,
    /// Its right or upper end.
    pub to: Pixel,
    /// Line in the file.
    pub line: usize,
}

/// Which way a known dimension runs on the drawing.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Way {
    /// From left to right.
    Across,
    /// From below to above.
    Up,
    /// Straight from one end to the other, whatever the direction.
    Straight,
}

/// A feature or an edge, and where it was found on the image.
#[derive(Clone, Debug, PartialEq)]
pub struct Spot {
    /// What was found.
    pub of: Reference,
    /// Where.
    pub at: Pixel,
    /// Line in the file.
    pub line: usize,
}

impl PaperSheet {
    /// Where a feature or edge was found.
    pub fn spot(&self, of: Reference) -> Option<Pixel> {
        self.spots.iter().find(|spot| spot.of == of).map(|spot| spot.at)
    }

    /// Where a feature was found.
    pub fn spot_of(&self, feature: FeatureId) -> Option<Pixel> {
        self.spot(Reference::Feature(feature))
    }
}

/// The furthest pixel that an image can have.
const MOST_PX: f64 = 100_000.0;

impl Reader {
    /// The paper sheet, where the file names one.
    pub(super) fn paper_sheet(&mut self, sheet: &Sheet) -> Option<PaperSheet> {
        let entry = sheet.get("scan")?;
        let Content::Table(scan) = &entry.value else {
            self.faults.push(entry.fault("is not a heading", "write `[scan]` on a line of its own"));
            return None;
        };
        let image = scan.need("image", "sheet-7.png", &mut self.faults).map(|(t, l)| (t.to_owned(), l));
        let image = image.and_then(|(text, line)| {
            let plain =
                text.bytes().all(|b| b.is_ascii_alphanumeric() || matches!(b, b'-' | b'_' | b'.' | b' '));
            let ends = [".png", ".jpg", ".jpeg"].iter().any(|end| text.to_ascii_lowercase().ends_with(end));
            if plain && ends && !text.starts_with('.') {
                return Some(text);
            }
            self.faults.push(
                Problem::new(format!("`{text}` names no image"))
                    .at(format!("line {line}, `image`"))
                    .why("an image is a PNG or JPEG file in the project's folder `sheets`")
                    .mend("write its name alone, such as `sheet-7.png`"),
            );
            None
        });
        let said = |reader: &mut Self, key| -> Vec<(String, usize)> {
            let texts = scan.texts(key, &mut reader.faults);
            texts.into_iter().map(|(text, line)| (text.to_owned(), line)).collect()
        };
        let known = said(self, "known");
        let known = known.iter().filter_map(|(text, line)| self.known(text, *line)).collect();
        let mut spots: Vec<Spot> = Vec::new();
        for (text, line) in said(self, "spots") {
            let Some(spot) = self.spot(&text, line) else { continue };
            if spots.iter().any(|other| other.of == spot.of) {
                self.faults.push(
                    Problem::new("the same feature is spotted twice on the scan")
                        .at(format!("line {line}, `{text}`"))
                        .mend("keep the better of the two"),
                );
                continue;
            }
            spots.push(spot);
        }
        scan.finish(&mut self.faults);
        Some(PaperSheet { image: image?, known, spots })
    }

    /// `rod boss at 1120, 384`.
    fn spot(&mut self, text: &str, line: usize) -> Option<Spot> {
        let Some((of, at)) = text.rsplit_once(" at ") else {
            self.faults.push(
                Problem::new(format!("`{text}` is no spot on the scan"))
                    .at(format!("line {line}, `spots`"))
                    .mend("write a feature or an edge and where it is, such as `rod boss at 1120, 384`"),
            );
            return None;
        };
        let at = self.pixel(at, line, text);
        match find_reference(of, &self.names) {
            Ok(of) => Some(Spot { of, at: at?, line }),
            Err(fault) => {
                self.faults.push(fault.at(format!("line {line}, `spots`")));
                None
            }
        }
    }

    /// `1 27/32 across from 412, 380 to 1120, 384`.
    fn known(&mut self, text: &str, line: usize) -> Option<Known> {
        let place = format!("line {line}, `known`");
        let parts = text.split_once(" from ").and_then(|(head, ends)| Some((head, ends.split_once(" to ")?)));
        let Some((head, (from, to))) = parts else {
            self.faults.push(Problem::new(format!("`{text}` is no dimension on the scan")).at(place).mend(
                "write its length, `across` or `up`, and its two ends, such as \
                     `1 27/32 across from 412, 380 to 1120, 384`",
            ));
            return None;
        };
        let (length, way) = match head.trim().rsplit_once(' ') {
            Some((length, "across")) => (length, Way::Across),
            Some((length, "up")) => (length, Way::Up),
            _ => (head, Way::Straight),
        };
        let (from, to) = (self.pixel(from, line, text), self.pixel(to, line, text));
        let written = match read_length(length, self.unit) {
            Ok(written) if written.length.is_positive() => written,
            Ok(_) => {
                self.faults.push(
                    Problem::new(format!("`{length}` is not more than nought"))
                        .at(place)
                        .mend("swap the two ends, or write the dimension as drawn"),
                );
                return None;
            }
            Err(fault) => {
                self.faults.push(fault.at(place));
                return None;
            }
        };
        let (from, to) = (from?, to?);
        if (from.x_px - to.x_px).hypot(from.y_px - to.y_px) < 4.0 {
            self.faults.push(
                Problem::new(format!("both ends of `{length}` are at the same place on the scan"))
                    .at(place)
                    .mend("point to one end, then to the other"),
            );
            return None;
        }
        Some(Known { written, way, from, to, line })
    }

    /// `412, 380`: pixels to the right and down.
    fn pixel(&mut self, place: &str, line: usize, whole: &str) -> Option<Pixel> {
        let read = place.split_once(',').and_then(|(x, y)| {
            let number = |t: &str| t.trim().parse::<f64>().ok().filter(|n| (0.0..=MOST_PX).contains(n));
            Some(Pixel { x_px: number(x)?, y_px: number(y)? })
        });
        if read.is_none() {
            let fault = Problem::new(format!("`{}` is no place on the scan", place.trim()))
                .at(format!("line {line}, `{whole}`"))
                .mend("write pixels to the right and down from the top left corner, such as `412, 380`");
            self.faults.push(fault);
        }
        read
    }
}
