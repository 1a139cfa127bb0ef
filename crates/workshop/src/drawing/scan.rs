//! What a part file says of the paper sheet that lies beneath the picture.
//!
//! The image itself stays a file of the project; here are its name, the
//! dimensions that square and scale it, and where on it features were found.

use super::place::find_reference;
use super::reader::Reader;
use super::{FeatureId, Reference};
use crate::document::{Content, Entry, Sheet};
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

/// The words for the ways, as the file has them.
const WAYS: [(&str, Way); 3] = [("across", Way::Across), ("up", Way::Up), ("straight", Way::Straight)];

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
        let mut known = Vec::new();
        for item in items(scan.get("known")) {
            let Content::Table(table) = &item.value else {
                self.faults.push(item.fault("is not a dimension", KNOWN));
                continue;
            };
            known.extend(self.known(table));
            table.finish(&mut self.faults);
        }
        let mut spots: Vec<Spot> = Vec::new();
        for item in items(scan.get("spots")) {
            let Content::Table(table) = &item.value else {
                self.faults
                    .push(item.fault("is not a spot", "write `{ of = \"rod boss\", at = \"1120, 384\" }`"));
                continue;
            };
            let of = table.need("of", "rod boss", &mut self.faults).map(|(t, l)| (t.to_owned(), l));
            let of = of.and_then(|(text, line)| self.spotted(&text, line));
            let at = self.pixel(table, "at");
            table.finish(&mut self.faults);
            if let (Some(of), Some(at)) = (of, at) {
                if spots.iter().any(|spot| spot.of == of) {
                    self.faults.push(
                        Problem::new("the same feature is spotted twice on the scan")
                            .at(table.place())
                            .mend("keep the better of the two"),
                    );
                    continue;
                }
                spots.push(Spot { of, at, line: table.line() });
            }
        }
        scan.finish(&mut self.faults);
        Some(PaperSheet { image: image?, known, spots })
    }

    /// What a spot names; one that names a feature left out is left out with it.
    fn spotted(&mut self, text: &str, line: usize) -> Option<Reference> {
        match find_reference(text, &self.names) {
            Ok(found) => Some(found),
            Err(fault) => {
                self.faults.push(fault.at(format!("line {line}, `of`")));
                None
            }
        }
    }

    fn known(&mut self, table: &Sheet) -> Option<Known> {
        let unit = self.unit;
        let is = table.need("is", "1 27/32", &mut self.faults).map(|(t, l)| (t.to_owned(), l));
        let way = match table.get("runs") {
            None => Some(Way::Straight),
            Some(_) => self.one_of(table, "runs", &WAYS),
        };
        let (from, to) = (self.pixel(table, "from"), self.pixel(table, "to"));
        let (text, line) = is?;
        let written = match read_length(&text, unit) {
            Ok(written) if written.length.is_positive() => written,
            Ok(_) => {
                self.faults.push(
                    Problem::new(format!("`{text}` is not more than nought"))
                        .at(format!("line {line}, `is`"))
                        .mend("swap the two ends, or write the dimension as drawn"),
                );
                return None;
            }
            Err(fault) => {
                self.faults.push(fault.at(format!("line {line}, `is`")));
                return None;
            }
        };
        let (way, from, to) = (way?, from?, to?);
        if (from.x_px - to.x_px).hypot(from.y_px - to.y_px) < 4.0 {
            self.faults.push(
                Problem::new(format!("both ends of `{text}` are at the same place on the scan"))
                    .at(format!("line {line}"))
                    .mend("point to one end, then to the other"),
            );
            return None;
        }
        Some(Known { written, way, from, to, line })
    }

    fn pixel(&mut self, table: &Sheet, key: &str) -> Option<Pixel> {
        let (text, line) = table.need(key, "412, 380", &mut self.faults)?;
        let read = text.split_once(',').and_then(|(x, y)| {
            let number = |t: &str| t.trim().parse::<f64>().ok().filter(|n| (0.0..=MOST_PX).contains(n));
            Some(Pixel { x_px: number(x)?, y_px: number(y)? })
        });
        if read.is_none() {
            let fault = Problem::new(format!("`{text}` is no place on the scan"))
                .at(format!("line {line}, `{key}`"))
                .mend("write pixels to the right and down from the top left corner, such as `412, 380`");
            self.faults.push(fault);
        }
        read
    }
}

const KNOWN: &str =
    "write `{ is = \"1 27/32\", runs = \"across\", from = \"412, 380\", to = \"1120, 384\" }`";

fn items(entry: Option<&Entry>) -> Vec<&Entry> {
    match entry.map(|entry| (&entry.value, entry)) {
        None => Vec::new(),
        Some((Content::List(items), _)) => items.iter().collect(),
        Some((_, entry)) => vec![entry],
    }
}
