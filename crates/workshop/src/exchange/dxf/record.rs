//! Sections, and the records in them.

use super::pairs::{Pair, clipped};
use crate::geometry::Point;
use crate::problem::Problem;

/// A section by its name, with the pairs between its ends.
pub(super) struct Section<'a> {
    pub name: &'a str,
    pub pairs: &'a [Pair<'a>],
}

/// The sections of a file.
pub(super) fn sections<'a>(pairs: &'a [Pair<'a>]) -> Result<Vec<Section<'a>>, Problem> {
    let mut sections = Vec::new();
    let mut open: Option<(&'a str, usize)> = None;
    for (at, pair) in pairs.iter().enumerate() {
        match (pair.code, pair.value, open) {
            (0, "SECTION", None) => {
                let name = pairs.get(at + 1).filter(|next| next.code == 2).map_or("", |next| next.value);
                open = Some((name, (at + 2).min(pairs.len())));
            }
            (0, "ENDSEC", Some((name, from))) => {
                sections.push(Section { name, pairs: pairs.get(from..at).unwrap_or_default() });
                open = None;
            }
            (0, "SECTION" | "EOF", Some((name, _))) => {
                return Err(Problem::new(format!("the section `{}` has no end", clipped(name)))
                    .at(format!("line {}", pair.line))
                    .why("`ENDSEC` should close it: part of the file is missing")
                    .mend("fetch or save it again, whole"));
            }
            _ => {}
        }
    }
    Ok(sections)
}

/// One record: its kind and its pairs.
#[derive(Clone, Copy)]
pub(super) struct Record<'a> {
    pub kind: &'a str,
    line: usize,
    pub pairs: &'a [Pair<'a>],
}

/// The first code of what other programs add to a record for themselves.
const EXTENDED: i32 = 1000;

/// Takes a section apart.
pub(super) fn records<'a>(pairs: &'a [Pair<'a>]) -> Vec<Record<'a>> {
    let mut starts: Vec<usize> = (0..pairs.len()).filter(|&at| pairs[at].code == 0).collect();
    starts.push(pairs.len());
    starts
        .windows(2)
        .map(|ends| {
            let all = &pairs[ends[0] + 1..ends[1]];
            let own = all.iter().position(|pair| pair.code >= EXTENDED).unwrap_or(all.len());
            Record { kind: pairs[ends[0]].value, line: pairs[ends[0]].line, pairs: &all[..own] }
        })
        .collect()
}

impl Record<'_> {
    /// The first value of a code.
    pub fn text(&self, code: i32) -> Option<&str> {
        self.pairs.iter().find(|pair| pair.code == code).map(|pair| pair.value)
    }

    /// The first number of a code.
    pub fn number(&self, code: i32) -> Result<Option<f64>, Problem> {
        self.pairs.iter().find(|pair| pair.code == code).map(|pair| self.read(pair)).transpose()
    }

    /// A number that must be there.
    pub fn need(&self, code: i32) -> Result<f64, Problem> {
        self.number(code)?.ok_or_else(|| {
            self.place(
                Problem::new(format!("the `{}` has no value of group {code}", self.kind))
                    .mend("save the file again from the program that drew it"),
            )
        })
    }

    /// Whole flags; nought where there are none.
    pub fn flags(&self, code: i32) -> Result<u32, Problem> {
        Ok(self.number(code)?.unwrap_or(0.0).clamp(0.0, 65_535.0) as u32)
    }

    /// The point whose X has this code.
    pub fn point(&self, code: i32) -> Result<Option<Point>, Problem> {
        match (self.number(code)?, self.number(code + 10)?) {
            (Some(x), Some(y)) => Ok(Some(Point::new(x, y))),
            _ => Ok(None),
        }
    }

    /// A point that must be there.
    pub fn need_point(&self, code: i32) -> Result<Point, Problem> {
        Ok(Point::new(self.need(code)?, self.need(code + 10)?))
    }

    /// Every number of a code, in order.
    pub fn numbers(&self, code: i32) -> Result<Vec<f64>, Problem> {
        self.pairs.iter().filter(|pair| pair.code == code).map(|pair| self.read(pair)).collect()
    }

    /// A pair as a number.
    pub fn read(&self, pair: &Pair<'_>) -> Result<f64, Problem> {
        match pair.value.parse::<f64>() {
            Ok(number) if number.is_finite() => Ok(number),
            _ => Err(Problem::new(format!("cannot read `{}` as a number", clipped(pair.value)))
                .at(format!("line {}, `{}`", pair.line, clipped(self.kind)))
                .mend("save the file again from the program that drew it")),
        }
    }

    /// Adds where the record stands.
    pub fn place(&self, fault: Problem) -> Problem {
        fault.at(format!("line {}, `{}`", self.line, clipped(self.kind)))
    }
}
