//! Holes of several parts that are made in one setup, the parts laid on each other.
//!
//! Here is only what the file says and the drawings allow: whose holes, in which order from the
//! top, and that they are alike. How the parts lie is told once their sizes are chosen.

use num_integer::Integer;
use num_rational::Ratio;

use super::read::Reader;
use super::resolve::{Resolver, at};
use super::{Fitting, Member, Said, SaidTogether, Task, Thing, Together, Which};
use crate::document::Sheet;
use crate::drawing::{
    Axis, Body, Chain, Depth, DimensionId, Drawing, Face, FeatureId, Finish, Form, Hand, Kind, Linear, Link,
    LinkTo, Size, Sizes, Solved, Source,
};
use crate::measure::{Length, read_length};
use crate::problem::Problem;

impl Reader {
    pub(super) fn together(&mut self, table: &Sheet) -> Option<SaidTogether> {
        let name = self.name(table, "bearing holes of the frames");
        let holes = self.needed(table, "holes", "[\"Front frame: bearing\", \"Back frame: bearing\"]");
        let because = self.words(table, "because");
        Some(SaidTogether { name: name?, holes, because })
    }
}

impl Resolver<'_> {
    /// Every statement of holes made together whose holes are there and go with each other.
    pub(super) fn together(&mut self, tasks: &[Task]) -> Vec<Together> {
        let assembly = self.assembly;
        let mut found: Vec<Together> = Vec::new();
        for (n, said) in assembly.together.iter().enumerate() {
            let before = self.faults.len();
            let tasks = assembly.tasks.iter().map(|task| &task.name);
            let earlier = assembly.together[..n].iter().map(|other| &other.name).chain(tasks);
            if let Some(other) = { earlier }.find(|other| other.text.eq_ignore_ascii_case(&said.name.text)) {
                let fault =
                    Problem::new(format!("`{}` is named in line {} already", said.name.text, other.line))
                        .why("what comes before what is said by name")
                        .mend("give each a name of its own");
                self.faults.push(at(fault, &said.name));
            }
            let mut parts: Vec<(usize, Vec<FeatureId>)> = Vec::new();
            for text in &said.holes {
                match self.hole(text) {
                    Ok((part, hole)) => match parts.iter_mut().find(|(known, _)| *known == part) {
                        Some((_, holes)) => holes.push(hole),
                        None => parts.push((part, vec![hole])),
                    },
                    Err(fault) => self.faults.push(at(fault, text)),
                }
            }
            if self.faults.len() > before {
                continue;
            }
            let place = format!("{}, line {}", assembly.file, said.name.line);
            match self.go_together(&parts, &found, said) {
                Ok(()) => found.push(Together {
                    name: said.name.text.clone(),
                    parts,
                    because: said.because.clone(),
                    said: place,
                }),
                Err(fault) => self.faults.push(at(fault, &said.holes[0])),
            }
        }
        let left: Vec<(&Task, Member)> = tasks
            .iter()
            .filter(|task| task.cuts().is_some())
            .flat_map(|task| task.members.iter().map(move |member| (task, *member)))
            .collect();
        for (together, said) in found.iter().zip(&assembly.together) {
            for (part, holes) in &together.parts {
                let twice = left.iter().find(|(_, member)| {
                    member.thing == Thing::Part(*part) && member.feature.is_some_and(|id| holes.contains(&id))
                });
                if let Some((task, _)) = twice {
                    let fault = Problem::new(format!(
                        "a hole of `{}` is made by `{}` already",
                        self.names.drawings[*part].name, task.name
                    ))
                    .why("what is left for assembly is not there before it, and is made there")
                    .mend("take it out of one of the two");
                    self.faults.push(at(fault, &said.name));
                }
            }
        }
        found
    }

    /// A hole that can be made with others beneath it.
    fn hole(&self, text: &Said) -> Result<(usize, FeatureId), Problem> {
        let such = "write the part, a colon and its hole, such as `Front frame: bearing`";
        let member = self.names.member(&text.text)?;
        let (Thing::Part(part), Some(id)) = (member.thing, member.feature) else {
            return Err(Problem::new(format!("`{}` names no hole", text.text)).mend(such));
        };
        let drawing = self.names.drawings[part];
        let cannot =
            |why: String| Problem::new(format!("`{}` is not made together with others", text.text)).why(why);
        if member.which != Which::All {
            return Err(cannot("what is said goes for every piece of a part".into()).mend(such));
        }
        if drawing.source == Source::Bought {
            return Err(cannot(format!("{} is bought in", drawing.name))
                .mend("take `bought` out of its file, or leave it out here"));
        }
        if matches!(drawing.body, Body::Turned { .. }) {
            return Err(cannot("only plates and blocks lie flat on each other".into())
                .mend("drill it in assembly, with a `[[work]]`"));
        }
        if drawing.stock.as_ref().is_some_and(|stock| stock.form == Form::Casting) {
            return Err(cannot("a casting does not lie flat on another part before it is cut".into())
                .mend("drill it in assembly, with a `[[work]]`"));
        }
        if drawing.hands != [Hand::Neither] {
            return Err(cannot(format!("{} is made in two hands", drawing.name))
                .mend("give the other hand a part file of its own, or leave it out here"));
        }
        let feature = &drawing.features[id.0];
        let flat = matches!(feature.face, Face::Front | Face::Back);
        match feature.kind {
            Kind::Hole { depth: Depth::Through, .. } if flat && !in_pattern(drawing, id) => Ok((part, id)),
            Kind::Hole { .. } if in_pattern(drawing, id) => {
                Err(cannot("the holes of a pattern are drilled in one go".into())
                    .mend("draw it as a hole by itself"))
            }
            Kind::Hole { .. } => Err(cannot("it does not go right through from a flat face".into())
                .mend("leave it out: each part has it made by itself")),
            _ => Err(cannot(format!("it is a {}", feature.kind.word()))
                .mend("name plain holes; what is tapped is spotted through its mate in assembly")),
        }
    }

    /// Whether the holes of several parts can be made in one go.
    fn go_together(
        &self,
        parts: &[(usize, Vec<FeatureId>)],
        known: &[Together],
        said: &SaidTogether,
    ) -> Result<(), Problem> {
        let name = &said.name.text;
        let drawing = |part: usize| self.names.drawings[part];
        let [(first, own), others @ ..] = parts else { return Ok(()) };
        if others.is_empty() {
            return Err(Problem::new(format!("`{name}` names holes of one part alone"))
                .why("several pieces of one part are stuck together by themselves: see `make` in its file")
                .mend("name the holes of the other parts too"));
        }
        for (part, holes) in parts {
            if (1..holes.len()).any(|n| holes[..n].contains(&holes[n])) {
                return Err(Problem::new(format!("`{name}` names a hole of {} twice", drawing(*part).name))
                    .mend("name each hole once"));
            }
            let twice = known.iter().find(|other| {
                other.parts.iter().any(|(p, theirs)| p == part && theirs.iter().any(|id| holes.contains(id)))
            });
            if let Some(other) = twice {
                return Err(Problem::new(format!(
                    "a hole of {} is made by `{}` already",
                    drawing(*part).name,
                    other.name
                ))
                .mend("take it out of one of the two"));
            }
        }
        for (part, holes) in others {
            if holes.len() != own.len() {
                return Err(Problem::new(format!(
                    "`{name}` names {} of {} and {} of {}",
                    count(own.len()),
                    drawing(*first).name,
                    count(holes.len()),
                    drawing(*part).name
                ))
                .why("the first hole of each part comes over the first of every other, and so on")
                .mend("name as many of each, in the same order"));
            }
            if drawing(*part).make != drawing(*first).make {
                return Err(Problem::new(format!(
                    "{} of {} and {} of {} cannot be made together",
                    drawing(*first).make,
                    drawing(*first).name,
                    drawing(*part).make,
                    drawing(*part).name
                ))
                .why("one of each lies in the setup each time")
                .mend("make as many of the one as of the other"));
            }
            for (mine, its) in own.iter().zip(holes) {
                let (one, other) = (hole(drawing(*first), *mine), hole(drawing(*part), *its));
                let size = |drawing: &Drawing, id: DimensionId| drawing.dimensions[id.0].written.clone();
                let (a, b) = (size(drawing(*first), one.0), size(drawing(*part), other.0));
                if a.length != b.length || one.1 != other.1 {
                    let word = |drawing: &Drawing, id: FeatureId| {
                        format!("{} of {}", drawing.features[id.0].name, drawing.name)
                    };
                    return Err(Problem::new(format!(
                        "{} and {} are not one hole",
                        word(drawing(*first), *mine),
                        word(drawing(*part), *its)
                    ))
                    .why(format!(
                        "the one is {} {}, the other {} {}",
                        a.text,
                        finish(one.1),
                        b.text,
                        finish(other.1)
                    ))
                    .mend("mend one of the drawings, or the order in which the holes are named"));
                }
            }
        }
        Ok(())
    }
}

/// Has holes that are made in one go brought out to one size.
pub(super) fn alike(fitting: &Fitting, drawings: &mut [Drawing]) {
    for together in &fitting.together {
        let [(first, own), others @ ..] = together.parts.as_slice() else { continue };
        for (part, holes) in others {
            for (mine, its) in own.iter().zip(holes) {
                let name =
                    |drawing: &Drawing, id: FeatureId| drawing.dimensions[hole(drawing, id).0.0].name.clone();
                let size = hole(&drawings[*first], *mine).0;
                let link = |text: String, to, times| Link { text, to, times, line: 0 };
                let (other, its) = (drawings[*part].name.clone(), name(&drawings[*part], *its));
                let chain = Chain {
                    name: format!(
                        "{}: {} less that of {other}",
                        together.name,
                        name(&drawings[*first], *mine)
                    ),
                    links: vec![
                        link(name(&drawings[*first], *mine), LinkTo::Own(Size::Length(size)), 1),
                        link(format!("{other}: {its}"), LinkTo::Other { part: other.clone(), name: its }, -1),
                    ],
                    least: read_length("0 mm", None).ok(),
                    most: read_length("0 mm", None).ok(),
                    line: 0,
                };
                let chains = &mut drawings[*first].chains;
                if !chains.contains(&chain) {
                    chains.push(chain);
                }
            }
        }
    }
}

/// Has the distances between holes that are made in one go chosen as one, where they are drawn alike
/// and are sums of dimensions. The places are those of the drawings, in the same order.
pub fn tie(fitting: &Fitting, drawings: &mut [Drawing], solved: &[Option<&Solved>]) {
    for together in &fitting.together {
        let [(first, own), others @ ..] = together.parts.as_slice() else { continue };
        for (part, holes) in others {
            let places = |n: usize| solved.get(n).copied().flatten();
            let (Some(mine), Some(its)) = (places(*first), places(*part)) else { continue };
            for axis in [Axis::X, Axis::Y] {
                let sums = |solved: &Solved, holes: &[FeatureId]| -> Option<Vec<Linear>> {
                    let at = |id: FeatureId| solved.place(id, axis).cloned();
                    let datum = at(holes[0])?;
                    holes[1..].iter().map(|&id| Some(at(id)?.minus(&datum))).collect()
                };
                let (Some(mine), Some(its)) = (sums(mine, own), sums(its, holes)) else { continue };
                let drawn = |n: usize, sum: &Linear| sum.value(&Sizes::as_drawn(&drawings[n]).lengths);
                // Turned over left for right, what lies to the right comes to the left.
                let ways: &[i128] = if axis == Axis::X { &[1, -1] } else { &[1] };
                let alike = |way: &&i128| {
                    mine.iter()
                        .zip(&its)
                        .all(|(a, b)| drawn(*first, a) == drawn(*part, b).scaled(Ratio::from_integer(**way)))
                };
                let Some(way) = ways.iter().find(alike).copied() else { continue };
                for (n, (a, b)) in mine.iter().zip(&its).enumerate() {
                    let name = format!("{}: hole {} on the {} axis", together.name, n + 2, axis_word(axis));
                    let chain = chain(name, [(*first, a, 1), (*part, b, -way)], drawings);
                    let chains = &mut drawings[*first].chains;
                    chains.extend(chain.filter(|chain| !chains.contains(chain)));
                }
            }
        }
    }
}

const fn axis_word(axis: Axis) -> &'static str {
    match axis {
        Axis::X => "X",
        Axis::Y => "Y",
        Axis::Z => "Z",
    }
}

/// Sums of two parts, each so many times, that come to nought together; none where there is no
/// dimension in either.
fn chain(name: String, sums: [(usize, &Linear, i128); 2], drawings: &[Drawing]) -> Option<Chain> {
    let terms = || sums.iter().flat_map(|(_, sum, _)| sum.terms.values());
    if sums.iter().any(|(_, sum, _)| sum.constant != Length::ZERO) || terms().next().is_none() {
        return None;
    }
    // What lies on a centre line counts half a width: then all counts twice.
    let whole = terms().fold(1, |whole: i128, times| whole.lcm(times.denom()));
    let own = sums[0].0;
    let links = sums.iter().flat_map(|&(part, sum, times)| {
        sum.terms.iter().map(move |(id, own_times)| {
            let name = drawings[part].dimensions[id.0].name.clone();
            let to = match part == own {
                true => LinkTo::Own(Size::Length(*id)),
                false => LinkTo::Other { part: drawings[part].name.clone(), name: name.clone() },
            };
            let text = if part == own { name } else { format!("{}: {name}", drawings[part].name) };
            Link { text, to, times: (own_times * whole).to_integer() * times, line: 0 }
        })
    });
    let nought = || read_length("0 mm", None).ok();
    Some(Chain { name, links: links.collect(), least: nought(), most: nought(), line: 0 })
}

/// Across a hole, and how it is brought out.
fn hole(drawing: &Drawing, id: FeatureId) -> (DimensionId, Finish) {
    match drawing.features[id.0].kind {
        Kind::Hole { diameter, finish, .. } => (diameter, finish),
        _ => unreachable!("only holes are made together"),
    }
}

fn in_pattern(drawing: &Drawing, id: FeatureId) -> bool {
    drawing.features.iter().any(|f| f.kind.pattern().is_some_and(|holes| holes.contains(&id)))
}

const fn finish(finish: Finish) -> &'static str {
    match finish {
        Finish::Drilled => "drilled",
        Finish::Reamed => "reamed",
        Finish::Bored => "bored",
    }
}

fn count(holes: usize) -> String {
    if holes == 1 { "1 hole".into() } else { format!("{holes} holes") }
}
