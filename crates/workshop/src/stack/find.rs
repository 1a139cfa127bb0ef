//! The sums that files ask for, with every name in them found.

use crate::assembly::{Assembly, Lie, OwnSize, PinLies, Said, SaidPlay, SaidStack, Times};
use crate::document::{meant, nearest_word};
use crate::drawing::{Chain, Drawing, LinkTo, Size};
use crate::measure::Length;
use crate::problem::{Outcome, Problem};

use super::Held;

/// A sum with every name found.
pub(super) struct Sum {
    pub name: String,
    pub place: String,
    pub words: String,
    pub terms: Vec<Term>,
    pub plays: Vec<Pin>,
    pub least: Option<Length>,
    pub most: Option<Length>,
}

/// A size, how many times it counts, and what the sum says of it.
pub(super) struct Term {
    pub text: String,
    pub what: What,
    pub times: Times,
    pub within: Option<Length>,
    pub lies: Option<Lie>,
}

/// What a term is.
#[derive(Clone, Copy, PartialEq)]
pub(super) enum What {
    /// A size of a part.
    Of(usize, Size),
    /// A length that no part has.
    Own(Length),
}

/// A pin in a bore, both terms of the sum.
pub(super) struct Pin {
    pub name: String,
    pub pin: usize,
    pub bore: usize,
    pub times: Times,
    pub lies: PinLies,
}

/// Every sum that the files ask for, and what is wrong with the rest.
pub(super) fn asked(parts: &[Held], said: Option<&Assembly>) -> (Vec<Sum>, Vec<Problem>) {
    let (mut sums, mut faults) = (Vec::new(), Vec::new());
    let mut keep = |sum: Outcome<Sum>| match sum {
        Ok(sum) => sums.push(sum),
        Err(more) => faults.extend(more),
    };
    if let Some(assembly) = said {
        for stack in &assembly.stacks {
            keep(
                from_stack(parts, stack).map_err(|faults| {
                    faults.into_iter().map(|fault| fault.at(assembly.file.clone())).collect()
                }),
            );
        }
    }
    for (at, part) in parts.iter().enumerate() {
        // Those that stand in no line hold only what is made in one go to one size.
        for chain in part.drawing.chains.iter().filter(|chain| chain.line > 0) {
            keep(from_chain(parts, at, chain));
        }
    }
    (sums, faults)
}

fn from_chain(parts: &[Held], own: usize, chain: &Chain) -> Outcome<Sum> {
    let drawing = parts[own].drawing;
    let mut faults = Vec::new();
    let mut terms = Vec::new();
    for link in &chain.links {
        let what = match &link.to {
            LinkTo::Own(size) => Ok(What::Of(own, *size)),
            LinkTo::Other { part, name } => of(parts, part, name),
        };
        match what {
            Ok(what) => terms.push(Term {
                text: link.text.clone(),
                what,
                times: Times::from_integer(link.times),
                within: None,
                lies: None,
            }),
            Err(fault) => faults.push(chain.at(drawing, link.line, fault)),
        }
    }
    if !faults.is_empty() {
        return Err(faults);
    }
    Ok(Sum {
        name: chain.name.clone(),
        place: format!("{}, line {}", drawing.file, chain.line),
        words: chain.sum(),
        terms,
        plays: Vec::new(),
        least: chain.least.as_ref().map(|written| written.length),
        most: chain.most.as_ref().map(|written| written.length),
    })
}

fn from_stack(parts: &[Held], stack: &SaidStack) -> Outcome<Sum> {
    let mut finder = Finder { parts, stack, terms: Vec::new(), faults: Vec::new() };
    for (said, times) in &stack.terms {
        finder.add(said, said.text.clone(), *times);
    }
    let plays = stack.plays.iter().filter_map(|play| finder.pin(play)).collect();
    let known: Vec<String> = finder.terms.iter().map(|term| term.text.to_lowercase()).collect();
    for own in &stack.own {
        if !known.contains(&own.name.text.to_lowercase()) {
            finder.faults.push(at(
                Problem::new(format!("`{}` is no size of this stack", own.name.text))
                    .mend("name it in `adds` or `less` too, in the same words"),
                &own.name,
            ));
        }
    }
    if !finder.faults.is_empty() {
        return Err(finder.faults);
    }
    let sign = |(said, times): &(Said, Times)| {
        let many = times.reduced();
        let size = if many < Times::from_integer(0) { -many } else { many };
        let word = if many < Times::from_integer(0) { "less " } else { "" };
        match size == Times::from_integer(1) {
            true => format!("{word}`{}`", said.text),
            false => format!("{word}{size} × `{}`", said.text),
        }
    };
    Ok(Sum {
        name: stack.name.text.clone(),
        place: format!("assembly.toml, line {}", stack.name.line),
        words: stack.terms.iter().map(sign).collect::<Vec<_>>().join(", "),
        plays,
        terms: finder.terms,
        least: stack.least.as_ref().map(|written| written.length),
        most: stack.most.as_ref().map(|written| written.length),
    })
}

fn at(fault: Problem, said: &Said) -> Problem {
    fault.at(format!("line {}, `{}`", said.line, said.key))
}

struct Finder<'a> {
    parts: &'a [Held<'a>],
    stack: &'a SaidStack,
    terms: Vec<Term>,
    faults: Vec<Problem>,
}

impl Finder<'_> {
    /// Adds so many times of a size; one that is there already counts so much more.
    fn add(&mut self, said: &Said, text: String, times: Times) -> Option<usize> {
        if let Some(known) = self.terms.iter().position(|term| term.text.eq_ignore_ascii_case(&text)) {
            self.terms[known].times += times;
            return Some(known);
        }
        let own: Option<&OwnSize> =
            self.stack.own.iter().find(|own| own.name.text.eq_ignore_ascii_case(&text));
        let what = match own.and_then(|own| own.is.as_ref()) {
            Some(written) => What::Own(written.length),
            None => match self.size(&text) {
                Ok(what) => what,
                Err(fault) => {
                    self.faults.push(at(fault, said));
                    return None;
                }
            },
        };
        let within = own.and_then(|own| own.within.as_ref()).map(|written| written.length);
        let lies = own.and_then(|own| own.lies).or(self.stack.lies);
        self.terms.push(Term { text, what, times, within, lies });
        Some(self.terms.len() - 1)
    }

    /// `Crank web: thickness`; `Bush, 2nd: flange: length` for one of several alike.
    fn size(&self, text: &str) -> Result<What, Problem> {
        let Some((part, name)) = text.split_once(':') else {
            return Err(Problem::new(format!("`{text}` does not say of which part"))
                .mend("write `PART: SIZE`, or say what it is: `size = [{ name = \"…\", is = \"1 mm\" }]`"));
        };
        of(self.parts, alike(part.trim()), name.trim())
    }

    fn pin(&mut self, play: &SaidPlay) -> Option<Pin> {
        let [pin, bore] = [&play.pin, &play.bore].map(|said| {
            let whole = self.diameter(&said.text);
            self.add(said, whole, Times::from_integer(0))
        });
        let name = format!("play of {} in {}", play.pin.text, play.bore.text);
        let same = self.stack.plays.iter().take_while(|other| !std::ptr::eq(*other, play));
        let same = same.filter(|other| other.pin.text == play.pin.text && other.bore.text == play.bore.text);
        let name = match same.count() {
            0 => name,
            before => format!("{name}, time {}", before + 1),
        };
        Some(Pin { name, pin: pin?, bore: bore?, times: play.times, lies: play.lies })
    }

    /// A round by its feature alone means its diameter.
    fn diameter(&self, text: &str) -> String {
        let whole = format!("{text}: diameter");
        let stated = self.stack.own.iter().any(|own| own.name.text.eq_ignore_ascii_case(text));
        if !stated && self.size(text).is_err() && self.size(&whole).is_ok() { whole } else { text.to_owned() }
    }
}

/// The part's name without `, 2nd` or `, left hand`.
fn alike(part: &str) -> &str {
    let Some((name, which)) = part.rsplit_once(',') else { return part };
    let which = which.trim();
    let digits = which.trim_end_matches(|c: char| c.is_ascii_alphabetic());
    let counted = !digits.is_empty() && digits.bytes().all(|b| b.is_ascii_digit());
    if counted || which.ends_with("hand") { name.trim() } else { part }
}

fn of(parts: &[Held], part: &str, name: &str) -> Result<What, Problem> {
    size_of(parts, part, name).map(|(at, size)| What::Of(at, size))
}

/// A size of a part by both their names: which of the parts, and which of its sizes.
///
/// # Errors
///
/// A [`Problem`] saying which of the two names leads nowhere, and the one likely meant.
pub fn size_of(parts: &[Held], part: &str, name: &str) -> Result<(usize, Size), Problem> {
    let named = |drawing: &Drawing| drawing.name.eq_ignore_ascii_case(part);
    let Some(at) = parts.iter().position(|held| named(held.drawing)) else {
        let near = nearest_word(part, parts.iter().map(|held| held.drawing.name.as_str()));
        return Err(Problem::new(format!("the project has no part called `{part}` that can be read"))
            .mend(meant(near, "name it as its own file does in `part = \"…\"`")));
    };
    let drawing = parts[at].drawing;
    drawing.size_named(name).map(|size| (at, size)).ok_or_else(|| {
        Problem::new(format!("`{}` has no size called `{name}`", drawing.name)).mend(meant(
            drawing.size_near(name),
            "name it as `oddleg metric` lists it, such as `journal: length`",
        ))
    })
}
