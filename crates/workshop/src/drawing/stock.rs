//! What a part is made from, as the drawing or the person says.

use super::reader::Reader;
use super::{Body, Drawing, Face};
use crate::document::{Content, Sheet};
use crate::measure::{Length, Unit, Written, read_length};
use crate::problem::Problem;
use crate::tables::hardening::{self, Temper};
use crate::tables::materials;
use crate::tables::surface::Surface;

/// The shape that stock is supplied in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Form {
    /// Sheet or plate, by its thickness.
    Plate,
    /// Flat bar, by width and thickness.
    FlatBar,
    /// Square bar, from side to side.
    SquareBar,
    /// Round bar, by its diameter.
    RoundBar,
    /// Hexagon bar, from flat to flat.
    Hexagon,
    /// A casting, near the shape of the part.
    Casting,
}

impl Form {
    const ALL: [(&'static str, Self); 6] = [
        ("plate", Self::Plate),
        ("flat bar", Self::FlatBar),
        ("square bar", Self::SquareBar),
        ("round bar", Self::RoundBar),
        ("hexagon bar", Self::Hexagon),
        ("casting", Self::Casting),
    ];

    /// The word for it.
    pub fn word(self) -> &'static str {
        Self::ALL.iter().find(|(_, form)| *form == self).map_or("", |(word, _)| word)
    }

    /// What its sizes are, in the order they are written.
    const fn sizes(self) -> &'static [&'static str] {
        match self {
            Self::Plate => &["thickness"],
            Self::FlatBar => &["width", "thickness"],
            Self::SquareBar => &["side"],
            Self::RoundBar => &["diameter"],
            Self::Hexagon => &["width across flats"],
            Self::Casting => &[],
        }
    }
}

/// Stock that the file names.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct GivenStock {
    /// Its form.
    pub form: Form,
    /// Its sizes: of a flat bar width and thickness, of the others one, of a casting none.
    pub size: Vec<Written>,
    /// Black or bright, where the file says.
    pub surface: Option<Surface>,
    /// What is left on a face to be cut, where the file says.
    pub allowance: Option<Written>,
    /// Of a casting, the faces that are cut; the others stay as cast.
    pub machined: Vec<Face>,
    /// Line in the file.
    pub line: usize,
}

impl GivenStock {
    /// Whether a face is cut: of a casting only those that are named, of bar all.
    pub fn cuts(&self, face: Face) -> bool {
        self.form != Form::Casting || self.machined.contains(&face)
    }

    /// What is left on a face of a casting that is cut: as the file says, else 1.5 mm,
    /// which is supposed.
    pub fn left_on(&self) -> Length {
        self.allowance.as_ref().map_or(Length::mm_ratio(3, 2), |written| written.length)
    }

    /// Whether it is a casting of which no face at all is cut: of plates and blocks one that names none.
    pub fn stays_as_cast(&self, body: &Body) -> bool {
        self.form == Form::Casting && self.machined.is_empty() && !matches!(body, Body::Turned { .. })
    }

    /// Whether some of the sides are cut and some are not.
    pub fn cuts_in_part(&self) -> bool {
        SIDES.into_iter().any(|side| self.cuts(side)) && !self.cuts_round()
    }

    /// Whether the sides of the part are cut all round.
    pub fn cuts_round(&self) -> bool {
        SIDES.into_iter().all(|side| self.cuts(side))
    }

    /// Whether the rounds of a turned part are turned: of a casting that names no faces at
    /// all, everything is.
    pub fn turns(&self) -> bool {
        self.machined.is_empty() || (self.cuts(Face::Top) && self.cuts(Face::Bottom))
    }

    /// Whether an end of a turned part is faced.
    pub fn faces_end(&self, end: Face) -> bool {
        self.machined.is_empty() || self.cuts(end)
    }

    /// `flat bar 1 × 1/4 in`, `casting`.
    pub fn words(&self) -> String {
        let mut words = self.surface.map_or(String::new(), |surface| format!("{} ", surface.word()));
        words += self.form.word();
        for (place, size) in self.size.iter().enumerate() {
            words += if place == 0 { " " } else { " × " };
            words += &size.text;
        }
        if let Some(last) = self.size.last()
            && last.text.ends_with(|c: char| c.is_ascii_digit())
        {
            words += " ";
            words += last.unit.symbol();
        }
        words
    }
}

impl Drawing {
    /// Whether the file says that its stock is black or bright: under `[stock]`, else by the
    /// name of the material, as in `black mild steel`.
    pub fn surface(&self) -> Option<Surface> {
        let said = self.stock.as_ref().and_then(|stock| stock.surface);
        said.or_else(|| self.material.as_deref().and_then(Surface::in_name))
    }
}

const FACES: [(&str, Face); 6] = [
    ("front", Face::Front),
    ("back", Face::Back),
    ("left", Face::Left),
    ("right", Face::Right),
    ("top", Face::Top),
    ("bottom", Face::Bottom),
];

/// The four sides of a plate or block.
const SIDES: [Face; 4] = [Face::Left, Face::Right, Face::Bottom, Face::Top];

impl Reader {
    /// Reads `[stock]`, where it is there.
    pub(super) fn stock(&mut self, sheet: &Sheet) -> Option<GivenStock> {
        let entry = sheet.get("stock")?;
        let Content::Table(stock) = &entry.value else {
            self.faults.push(entry.fault("is not a heading", "write `[stock]` on a line of its own"));
            return None;
        };
        if stock.get("form").is_none() {
            stock.need("form", "flat bar", &mut self.faults);
        }
        let form = self.one_of(stock, "form", &Form::ALL);
        let size = self.lengths(stock, "size");
        let surface = self.one_of(stock, "surface", &Surface::ALL);
        let allowance = self.lengths(stock, "allowance").into_iter().next();
        let mut machined = Vec::new();
        for (text, line) in stock.texts("machined", &mut self.faults) {
            match FACES.iter().find(|(word, _)| word.eq_ignore_ascii_case(text.trim())) {
                Some(&(_, face)) => machined.push(face),
                None if text.trim().eq_ignore_ascii_case("edges") => machined.extend(SIDES),
                None => self.faults.push(
                    Problem::new(format!("`{text}` is no face"))
                        .at(format!("line {line}, `machined`"))
                        .mend("name `front`, `back`, `left`, `right`, `top`, `bottom`, or `edges` for all four sides"),
                ),
            }
        }
        stock.finish(&mut self.faults);
        let form = form?;
        let wanted = form.sizes();
        if size.len() != wanted.len() && self.faults.is_empty() {
            let such_as = match form {
                Form::Casting => "leave `size` out: a casting has the shape of the part".to_owned(),
                Form::FlatBar => "write `size = [\"1\", \"1/4\"]`, width and thickness".to_owned(),
                _ => format!("write its {} alone: `size = \"1/2\"`", wanted[0]),
            };
            self.faults.push(
                Problem::new(format!("a {} is not given by {} sizes", form.word(), size.len()))
                    .at(stock.place())
                    .mend(such_as),
            );
        }
        if form != Form::Casting && !machined.is_empty() {
            self.faults.push(
                Problem::new(format!("`machined` says nothing about a {}", form.word()))
                    .at(stock.place())
                    .why("it names the faces of a casting that are cut; the others stay as cast")
                    .mend("leave it out, or write `form = \"casting\"`"),
            );
        }
        if form == Form::Casting && surface.is_some() {
            self.faults.push(
                Problem::new("a casting is neither black nor bright")
                    .at(stock.place())
                    .why("`surface` is said of rolled and drawn bar and plate")
                    .mend("leave it out, and write what is left on each cut face as `allowance`"),
            );
        }
        Some(GivenStock { form, size, surface, allowance, machined, line: stock.line() })
    }

    /// What is left on the diameter of turned work for lapping it: once it is hard, or soft.
    pub(super) fn lapping(&mut self, sheet: &Sheet) -> Option<Length> {
        let left = self.lengths(sheet, "lapping").into_iter().next()?.length;
        let fault = |what: String, why: &str, mend: &str| {
            Problem::new(what).at(format!("{}, `lapping`", sheet.place())).why(why).mend(mend)
        };
        let fault = if left > Length::mm_ratio(1, 2) {
            fault(
                format!("{left} is too much to lap off"),
                "a lap takes hundredths: what stands farther over is ground, or turned nearer before",
                "write what is left on the diameter, such as `0.05 mm`",
            )
        } else {
            return Some(left);
        };
        self.faults.push(fault);
        None
    }

    /// What the part is hardened and let down to; only a steel that hardens right through is.
    pub(super) fn harden(&mut self, sheet: &Sheet, material: Option<&str>) -> Option<&'static Temper> {
        let words: Vec<(&str, &'static Temper)> =
            hardening::tempers().iter().map(|temper| (temper.colour.as_str(), temper)).collect();
        let temper = self.one_of(sheet, "harden", &words)?;
        let place = |fault: Problem| match sheet.get("harden") {
            Some(entry) => fault.at(format!("line {}, `harden`", entry.line)),
            None => fault,
        };
        let fault = match material.map(materials::find) {
            None => Some(
                Problem::new("a part that is hardened has no material")
                    .why("mild steel, which is supposed, does not harden right through")
                    .mend("write `material = \"silver steel\"`, or leave `harden` out"),
            ),
            Some(Ok(material)) => hardening::of(&material.name).err(),
            Some(Err(_)) => None,
        };
        self.faults.extend(fault.map(place));
        Some(temper)
    }

    /// One length or a list of them, each more than nought.
    fn lengths(&mut self, sheet: &Sheet, key: &str) -> Vec<Written> {
        let unit: Option<Unit> = self.unit;
        let texts: Vec<(String, usize)> = sheet
            .texts(key, &mut self.faults)
            .into_iter()
            .map(|(text, line)| (text.to_owned(), line))
            .collect();
        let mut lengths = Vec::new();
        for (text, line) in texts {
            match read_length(&text, unit) {
                Ok(written) if written.length.is_positive() && written.length <= Length::mm(10_000) => {
                    lengths.push(written);
                }
                Ok(_) => self.faults.push(
                    Problem::new(format!("`{text}` is no size of stock"))
                        .at(format!("line {line}, `{key}`"))
                        .mend("write the size as the stock is sold, such as `1/4`"),
                ),
                Err(fault) => self.faults.push(fault.at(format!("line {line}, `{key}`"))),
            }
        }
        lengths
    }
}
