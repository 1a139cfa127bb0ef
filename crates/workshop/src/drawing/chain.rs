//! Sizes that must add up, in one part or across several: what stands between the
//! cheeks of a frame, and how much room is left there.

use num_rational::Ratio;

use super::reader::Reader;
use super::rows::last_place;
use super::system::System;
use super::{DimensionId, Drawing, ThreadId};
use crate::document::{Sheet, meant, nearest_word};
use crate::measure::{Length, Written, read_length};
use crate::problem::Problem;

/// Sizes that are added up, others taken off, and what must be left.
#[derive(Clone, Debug, PartialEq)]
pub struct Chain {
    /// What it is for: `end float`.
    pub name: String,
    /// What is added, and what is taken off.
    pub links: Vec<Link>,
    /// What must be left, at least.
    pub least: Option<Written>,
    /// What may be left, at most.
    pub most: Option<Written>,
    /// Line in the file.
    pub line: usize,
}

/// One size in a chain.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Link {
    /// As the file names it.
    pub text: String,
    /// Which size it is.
    pub to: LinkTo,
    /// How many times it counts; less than nought where it is taken off.
    pub times: i128,
    /// Line in the file.
    pub line: usize,
}

/// A size by its name.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum LinkTo {
    /// Of the part whose file it stands in.
    Own(Size),
    /// Of another part of the project.
    Other {
        /// What the other part is called.
        part: String,
        /// What its size is called.
        name: String,
    },
}

/// A length, or the diameter of a thread over its crests.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Size {
    /// A dimension.
    Length(DimensionId),
    /// A thread.
    Thread(ThreadId),
}

impl Drawing {
    /// A size by its name, as the list of dimensions shows it.
    pub fn size_named(&self, name: &str) -> Option<Size> {
        named(name, self.names())
    }

    /// A size as drawn.
    pub fn drawn(&self, size: Size) -> Length {
        match size {
            Size::Length(id) => self.dimensions[id.0].written.length,
            Size::Thread(id) => self.threads[id.0].thread.major,
        }
    }

    /// What the rounding of its own decimals may hide in a size as drawn.
    pub fn hidden(&self, size: Size) -> Length {
        match size {
            Size::Length(id) => last_place(&self.dimensions[id.0].written),
            Size::Thread(_) => Length::ZERO,
        }
    }

    /// The name among the part's sizes that comes nearest to one.
    pub fn size_near(&self, name: &str) -> Option<&str> {
        nearest_word(name, self.names().map(|(_, known)| known))
    }

    fn names(&self) -> impl Iterator<Item = (Size, &str)> {
        let lengths = self.dimensions.iter().enumerate();
        let threads = self.threads.iter().enumerate();
        lengths
            .map(|(at, dimension)| (Size::Length(DimensionId(at)), dimension.name.as_str()))
            .chain(threads.map(|(at, call)| (Size::Thread(ThreadId(at)), call.name.as_str())))
    }
}

fn named<'a>(name: &str, mut names: impl Iterator<Item = (Size, &'a str)>) -> Option<Size> {
    names.find(|(_, known)| known.eq_ignore_ascii_case(name.trim())).map(|(size, _)| size)
}

impl Chain {
    /// Whether every size of it is of the part whose file it stands in.
    pub fn is_own(&self) -> bool {
        self.links.iter().all(|link| matches!(link.to, LinkTo::Own(_)))
    }

    /// What is wrong with what is left on the drawings, where that is too little or too
    /// much by more than the rounding of their decimals may hide.
    pub fn off(&self, drawing: &Drawing, left: Length, hidden: Length) -> Option<Problem> {
        let few = self.least.as_ref().map(|least| (least, least.length - left, "too small"));
        let many = self.most.as_ref().map(|most| (most, left - most.length, "too large"));
        let (bound, by, word) = few.into_iter().chain(many).find(|(_, by, _)| *by > hidden)?;
        let ask = if word == "too small" { "at least" } else { "at most" };
        Some(
            self.at(
                drawing,
                self.line,
                Problem::new(format!("`{}` is {word} by {by}", self.name))
                    .why(format!(
                        "as drawn {} comes to {left}, and it is to be {ask} {}",
                        self.sum(),
                        bound.text
                    ))
                    .mend("check the sizes against their drawings, or what is to be left"),
            ),
        )
    }

    /// A problem with its place in this chain.
    pub fn at(&self, drawing: &Drawing, line: usize, problem: Problem) -> Problem {
        let own = self.links.iter().filter_map(|link| match link.to {
            LinkTo::Own(Size::Length(id)) => Some(&drawing.dimensions[id.0].name),
            LinkTo::Own(Size::Thread(id)) => Some(&drawing.threads[id.0].name),
            LinkTo::Other { .. } => None,
        });
        let placed = problem.at(format!("line {line}, `{}`", self.name)).at(drawing.file.clone());
        own.fold(placed, |problem, name| problem.concerns(name.clone()))
    }

    /// The sum in words: `Frame: spacing less journal: length`.
    pub fn sum(&self) -> String {
        let mut words = String::new();
        for link in &self.links {
            let times = match link.times.abs() {
                1 => String::new(),
                times => format!("{times} × "),
            };
            let sign = match (words.is_empty(), link.times < 0) {
                (true, false) => "",
                (false, false) => " and ",
                (_, true) => " less ",
            };
            words += &format!("{sign}{times}`{}`", link.text);
        }
        words.trim_start().to_owned()
    }
}

impl System<'_> {
    /// Chains of this part's own sizes, as drawn. Those across parts are looked at where
    /// the parts are.
    pub(super) fn chains(&mut self) {
        let drawing = self.drawing;
        for chain in drawing.chains.iter().filter(|chain| chain.is_own()) {
            let (mut left, mut hidden) = (Length::ZERO, Length::ZERO);
            for link in &chain.links {
                let LinkTo::Own(size) = link.to else { continue };
                left += drawing.drawn(size).scaled(Ratio::from_integer(link.times));
                hidden += drawing.hidden(size).scaled(Ratio::from_integer(link.times.abs()));
            }
            self.faults.extend(chain.off(drawing, left, hidden));
        }
    }
}

impl Reader {
    /// Chains of sizes; `own` is what this part is called.
    pub(super) fn chains(&mut self, sheet: &Sheet, own: Option<&str>) -> Vec<Chain> {
        let mut chains = Vec::new();
        for table in sheet.tables("chain", &mut self.faults) {
            let before = self.faults.len();
            let name = table.need("name", "end float", &mut self.faults).map(|(text, _)| text.to_owned());
            let mut links: Vec<Link> = Vec::new();
            for (key, sign) in [("adds", 1), ("less", -1)] {
                let texts: Vec<(String, usize)> =
                    table.texts(key, &mut self.faults).into_iter().map(|(t, l)| (t.to_owned(), l)).collect();
                for (text, line) in texts {
                    let (times, text) = counted(&text);
                    let Some(to) = self.link(text, line, key, own) else { continue };
                    match links.iter_mut().find(|link| link.to == to) {
                        Some(known) => known.times += sign * times,
                        None => links.push(Link { text: text.to_owned(), to, times: sign * times, line }),
                    }
                }
            }
            links.retain(|link| link.times != 0);
            let [least, most] = ["least", "most"].map(|key| self.bound(table, key));
            table.finish(&mut self.faults);
            let said = |reader: &mut Self, fault: Problem| {
                reader.faults.push(fault.at(table.place()));
            };
            if self.faults.len() == before {
                let empty =
                    least.as_ref().zip(most.as_ref()).filter(|(least, most)| least.length > most.length);
                if links.is_empty() {
                    let none = Problem::new("the chain adds nothing up").mend(
                        "name the sizes: `adds = [\"Frame: spacing\"]`, `less = [\"journal: length\"]`",
                    );
                    said(self, none);
                } else if least.is_none() && most.is_none() {
                    let open = Problem::new("the chain does not say what must be left")
                        .mend("add `least = \"…\"`, `most = \"…\"` or both; equal ones mean exactly that");
                    said(self, open);
                } else if let Some((least, most)) = empty {
                    let (least, most) = (&least.text, &most.text);
                    said(
                        self,
                        Problem::new(format!("`least` {least} is more than `most` {most}"))
                            .mend("change them over, or check both"),
                    );
                }
            }
            if let (Some(name), true) = (name, self.faults.len() == before) {
                chains.push(Chain { name, links, least, most, line: table.line() });
            }
        }
        chains
    }

    fn bound(&mut self, table: &Sheet, key: &str) -> Option<Written> {
        let (text, line) = table.text(key, &mut self.faults).map(|(text, line)| (text.to_owned(), line))?;
        match read_length(&text, self.unit) {
            Ok(written) => Some(written),
            Err(fault) => {
                self.faults.push(fault.at(format!("line {line}, `{key}`")));
                None
            }
        }
    }

    /// What a name in a chain means: a size of this part, or one of another part.
    fn link(&mut self, text: &str, line: usize, key: &str, own: Option<&str>) -> Option<LinkTo> {
        let lengths = self.dimensions.iter().enumerate();
        let threads = self.threads.iter().enumerate();
        let names: Vec<(Size, &str)> = lengths
            .map(|(at, dimension)| (Size::Length(DimensionId(at)), dimension.name.as_str()))
            .chain(threads.map(|(at, call)| (Size::Thread(ThreadId(at)), call.name.as_str())))
            .collect();
        let find = |text: &str| named(text, names.iter().copied());
        if let Some(size) = find(text) {
            return Some(LinkTo::Own(size));
        }
        let (part, name) = match text.split_once(':') {
            Some((part, name)) => (part.trim(), name.trim()),
            None => ("", text.trim()),
        };
        let here = own.is_some_and(|own| own.eq_ignore_ascii_case(part));
        if here && let Some(size) = find(name) {
            return Some(LinkTo::Own(size));
        }
        let of_this_part =
            here || part.is_empty() || self.names.iter().any(|(known, _)| known.eq_ignore_ascii_case(part));
        if !of_this_part {
            return Some(LinkTo::Other { part: part.to_owned(), name: name.to_owned() });
        }
        let asked = if here { name } else { text };
        let near = nearest_word(asked, names.iter().map(|&(_, known)| known));
        self.faults.push(
            Problem::new(format!("no size of this part is called `{asked}`"))
                .at(format!("line {line}, `{key}`"))
                .mend(meant(
                    near,
                    "name it as `oddleg metric` lists it, such as `journal: length`; a size of another part \
                     as `PART: SIZE`",
                )),
        );
        None
    }
}

/// How often a size counts, and its name: `2 × flange: length`.
fn counted(text: &str) -> (i128, &str) {
    let text = text.trim();
    let digits = text.len() - text.trim_start_matches(|c: char| c.is_ascii_digit()).len();
    let rest = text[digits..].trim_start();
    let sign = rest.strip_prefix('×').or_else(|| rest.strip_prefix("x ")).or_else(|| rest.strip_prefix("X "));
    match (text[..digits].parse::<u16>(), sign) {
        (Ok(times), Some(name)) if times > 0 => (times.into(), name.trim()),
        _ => (1, text),
    }
}
