//! Sizes of a mechanism: lengths and angles as typed, sizes of parts by name, and sums of
//! them, each a parameter that results can be asked about.

use mechanism::{Mechanism, ParamId, Size};

use crate::assembly::{Times, timed};
use crate::document::{meant, nearest_word};
use crate::drawing;
use crate::measure::{Length, Unit, read_angle, read_length};
use crate::problem::Problem;
use crate::stack::{Between, Held, Which, between, size_of};
use crate::why::Why;

/// What a size is measured in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// Millimetres.
    Length,
    /// Radians.
    Angle,
}

impl Kind {
    /// In what a value of it is shown.
    pub const fn shown(self) -> super::Shown {
        match self {
            Self::Length => super::Shown::Mm,
            Self::Angle => super::Shown::Degrees,
        }
    }
}

/// A parameter: where it comes from, and what it is as drawn and as it will be made.
#[derive(Clone, Debug)]
pub struct Known {
    /// What it is called.
    pub name: String,
    /// What it is measured in.
    pub kind: Kind,
    /// As drawn: millimetres or radians.
    pub drawn: f64,
    /// As it will be made; none where its part has no metric sizes yet.
    pub chosen: Option<f64>,
    /// How far it may go either way as it will be made, where that is known.
    pub room: Option<f64>,
    /// Whether it is made and measured already.
    pub measured: bool,
    /// The part and its size, where it is one of a part.
    pub of: Option<(usize, drawing::Size)>,
    /// Whether it follows from other sizes, and is none that anyone makes.
    pub settled: bool,
    /// As drawn, and on what that rests.
    pub why_drawn: Why,
    /// As it will be made, and on what that rests.
    pub why_chosen: Why,
}

/// Names and parameters of one mechanism.
pub(super) struct Sizes<'a> {
    pub parts: &'a [Held<'a>],
    pub unit: Option<Unit>,
    pub known: Vec<Known>,
    pub named: Vec<(String, Size, Kind)>,
}

impl<'a> Sizes<'a> {
    pub fn new(parts: &'a [Held<'a>], unit: Option<Unit>) -> Self {
        Self { parts, unit, known: Vec::new(), named: Vec::new() }
    }

    /// Gives a sum a name.
    pub fn name(&mut self, name: &str, size: Size, kind: Kind) {
        self.named.push((name.trim().to_owned(), size, kind));
    }

    /// The named size, where there is one.
    pub fn find(&self, name: &str) -> Option<&(String, Size, Kind)> {
        self.named.iter().find(|(known, ..)| known.eq_ignore_ascii_case(name.trim()))
    }

    /// Reads a size of the kind that is wanted; `label` names what is new in it.
    pub fn read(
        &mut self,
        m: &mut Mechanism,
        text: &str,
        label: &str,
        wanted: Kind,
    ) -> Result<Size, Problem> {
        let (size, kind) = self.any(m, text, label)?;
        match kind {
            Some(kind) if kind != wanted => {
                let (is, mend) = match wanted {
                    Kind::Length => ("an angle, and a length is wanted", "write a length such as `22.5 mm`"),
                    Kind::Angle => ("a length, and an angle is wanted", "write an angle such as `32°`"),
                };
                Err(Problem::new(format!("`{}` is {is}", text.trim())).mend(mend))
            }
            _ => Ok(size),
        }
    }

    /// Reads a length whose plain numbers are no sizes that anyone asks about.
    pub fn plain(&mut self, m: &mut Mechanism, text: &str) -> Result<Size, Problem> {
        // A sum takes what is typed in it for a plain number.
        match self.any(m, &format!("{} + 0", text.trim()), "")? {
            (_, Some(Kind::Angle)) => {
                Err(Problem::new(format!("`{}` is an angle, and a length is wanted", text.trim()))
                    .mend("write a length such as `22.5 mm`"))
            }
            (size, _) => Ok(size),
        }
    }

    /// Reads a size of either kind; plain nought has none.
    pub fn any(
        &mut self,
        m: &mut Mechanism,
        text: &str,
        label: &str,
    ) -> Result<(Size, Option<Kind>), Problem> {
        let mut sum = Size::default();
        let mut kind = None;
        let terms = terms(text);
        let several = terms.len() > 1;
        for (sign, term) in terms {
            // What is typed beside a name in a sum is a plain number: `90° + advance`.
            let label = (!several).then_some(label);
            let (size, of) = self.term(m, term, label)?;
            if let (Some(before), Some(now)) = (kind, of)
                && before != now
            {
                return Err(Problem::new(format!("`{}` adds a length and an angle", text.trim()))
                    .mend("check the names in it: each must be of one kind"));
            }
            kind = kind.or(of);
            sum = sum + size * sign;
        }
        Ok((sum, kind))
    }

    fn term(
        &mut self,
        m: &mut Mechanism,
        text: &str,
        label: Option<&str>,
    ) -> Result<(Size, Option<Kind>), Problem> {
        let (negative, text) = match text.strip_prefix('-') {
            Some(rest) => (-1.0, rest.trim()),
            None => (1.0, text),
        };
        if let Some((_, size, kind)) = self.find(text) {
            return Ok((size.clone() * negative, Some(*kind)));
        }
        let (times, name) = timed(text)?;
        let times = negative * as_number(times);
        if let Some((_, size, kind)) = self.find(name) {
            return Ok((size.clone() * times, Some(*kind)));
        }
        if name.contains(':') {
            return Ok((self.of_part(m, name)? * times, Some(Kind::Length)));
        }
        if name.trim().trim_start_matches(['0', '.']).is_empty() && !name.trim().is_empty() {
            return Ok((Size::default(), None));
        }
        let (value, kind) = self.literal(name)?;
        let Some(label) = label.filter(|_| value != 0.0) else {
            return Ok((Size::from(value) * times, Some(kind)));
        };
        let param = self.literal_param(m, label, value, kind, name);
        Ok((Size::from(param) * times, Some(kind)))
    }

    fn literal(&self, text: &str) -> Result<(f64, Kind), Problem> {
        if text.contains('°') || text.trim_end().ends_with("deg") {
            return read_angle(text).map(|angle| (angle.as_rad(), Kind::Angle));
        }
        let wordy = text.chars().next().is_none_or(|c| !c.is_ascii_digit() && c != '.');
        if wordy {
            let names = self.named.iter().map(|(name, ..)| name.as_str());
            return Err(Problem::new(format!("no size is called `{}`", text.trim())).mend(meant(
                nearest_word(text, names),
                "name it in `[mechanism.sizes]`, write a size of a part as `PART: SIZE`, or a length or an angle",
            )));
        }
        read_length(text, self.unit).map(|written| (written.length.as_mm(), Kind::Length)).map_err(|fault| {
            let bare = self.unit.is_none() && read_length(text, Some(Unit::Mm)).is_ok();
            if bare {
                let text = text.trim();
                Problem::new(format!("`{text}` has no unit")).mend(format!(
                    "write `{text} mm`, `{text} in` or `{text}°`, or give the mechanism a `unit`"
                ))
            } else {
                fault
            }
        })
    }

    fn literal_param(
        &mut self,
        m: &mut Mechanism,
        label: &str,
        value: f64,
        kind: Kind,
        text: &str,
    ) -> ParamId {
        let why = Why::new(format!("`{}` in the mechanism file", text.trim())).source("the mechanism file");
        self.alike(m, (label, kind), value, why)
    }

    /// A size of no part, which is made as it is drawn.
    pub(super) fn alike(
        &mut self,
        m: &mut Mechanism,
        (label, kind): (&str, Kind),
        value: f64,
        why: Why,
    ) -> ParamId {
        self.known.push(Known {
            name: label.to_owned(),
            kind,
            drawn: value,
            chosen: Some(value),
            room: None,
            measured: false,
            of: None,
            settled: false,
            why_drawn: why.clone(),
            why_chosen: why,
        });
        m.param(label, value)
    }

    /// A size of a part, or the distance between two features of one.
    fn of_part(&mut self, m: &mut Mechanism, text: &str) -> Result<Size, Problem> {
        let (part, name) = text.split_once(':').map_or((text, ""), |(a, b)| (a.trim(), b.trim()));
        let of = match size_of(self.parts, part, name) {
            Ok(of) => of,
            Err(fault) => {
                let named = |held: &Held| held.drawing.name.eq_ignore_ascii_case(part);
                return match self.parts.iter().position(named).filter(|_| super::between::is_between(name)) {
                    Some(at) => self.across(m, at, name),
                    None => Err(fault),
                };
            }
        };
        let label = format!("{}: {name}", self.parts[of.0].drawing.name);
        Ok(self.dimension(m, of, label).into())
    }

    /// The parameter of a size of a part, made when it is first asked for.
    pub(super) fn dimension(
        &mut self,
        m: &mut Mechanism,
        of: (usize, drawing::Size),
        label: String,
    ) -> ParamId {
        let (held, size) = (&self.parts[of.0], of.1);
        if let Some(known) = self.known.iter().position(|known| known.of == Some(of)) {
            return ParamId(known);
        }
        let drawn = between(held, size, Which::Drawn);
        let chosen = between(held, size, Which::Chosen);
        let why = |found: &Option<Between>| {
            found.as_ref().map_or_else(
                || Why::new(format!("{} has no metric sizes yet", held.drawing.name)),
                |between| between.why.clone().because(between.room.clone()),
            )
        };
        let value = held.drawn_value(size);
        self.known.push(Known {
            name: label.clone(),
            kind: Kind::Length,
            drawn: value.as_mm(),
            chosen: chosen.as_ref().map(|between| between.aim.as_mm()),
            room: chosen.as_ref().map(|between| (between.upper - between.lower).as_mm() / 2.0),
            measured: match size {
                drawing::Size::Length(id) => held.drawing.dimensions[id.0].made.is_some(),
                drawing::Size::Thread(_) => false,
            },
            of: Some(of),
            settled: false,
            why_drawn: why(&drawn),
            why_chosen: why(&chosen),
        });
        m.param(label, value.as_mm())
    }
}

impl Held<'_> {
    fn drawn_value(&self, size: drawing::Size) -> Length {
        self.drawing.drawn(size)
    }
}

/// The terms of a sum with their signs: `rod - crank throw`, `90° + advance`.
fn terms(text: &str) -> Vec<(f64, &str)> {
    let mut terms = Vec::new();
    let (mut sign, mut rest) = (1.0, text.trim());
    loop {
        let next = [(" + ", 1.0), (" - ", -1.0), (" less ", -1.0), (" − ", -1.0)]
            .into_iter()
            .filter_map(|(mark, sign)| rest.find(mark).map(|at| (at, mark.len(), sign)))
            .min_by_key(|found| found.0);
        match next {
            Some((at, long, then)) => {
                terms.push((sign, rest[..at].trim()));
                (sign, rest) = (then, &rest[at + long..]);
            }
            None => {
                terms.push((sign, rest.trim()));
                return terms;
            }
        }
    }
}

fn as_number(times: Times) -> f64 {
    *times.numer() as f64 / *times.denom() as f64
}
