//! Sizes of several parts whose sum is asked for: `[[stack]]`.

use num_rational::Ratio;

use super::Said;
use super::read::Reader;
use crate::document::{Content, Sheet, meant, nearest_word};
use crate::measure::{Length, Unit, Written, read_length};
use crate::problem::Problem;

/// How many times something counts.
pub type Times = Ratio<i128>;

/// A sum as the file says it.
#[derive(Clone, Debug)]
pub struct SaidStack {
    /// What it is for.
    pub name: Said,
    /// What is added and taken off, each with how many times it counts.
    pub terms: Vec<(Said, Times)>,
    /// What must be left, at least.
    pub least: Option<Written>,
    /// What may be left, at most.
    pub most: Option<Written>,
    /// How sizes lie that say nothing of their own.
    pub lies: Option<Lie>,
    /// Sizes that say something of their own.
    pub own: Vec<OwnSize>,
    /// Pins in bores.
    pub plays: Vec<SaidPlay>,
}

/// What a stack says of one size.
#[derive(Clone, Debug)]
pub struct OwnSize {
    /// Its name.
    pub name: Said,
    /// What it is, where no part has it.
    pub is: Option<Written>,
    /// How far it may go either way, in this stack.
    pub within: Option<Written>,
    /// How it lies between its limits.
    pub lies: Option<Lie>,
}

/// A pin in a bore.
#[derive(Clone, Debug)]
pub struct SaidPlay {
    /// The pin.
    pub pin: Said,
    /// The bore.
    pub bore: Said,
    /// How much of its move counts.
    pub times: Times,
    /// Where it lies.
    pub lies: PinLies,
}

/// Where a pin lies in its bore.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum PinLies {
    /// Nobody has said: anywhere.
    #[default]
    Unsaid,
    /// Anywhere.
    Anywhere,
    /// On the side where the play adds.
    Adds,
    /// On the side where it takes off.
    TakesOff,
}

/// How a size lies between its limits.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Lie {
    /// Anywhere, each place as likely.
    Evenly,
    /// By the normal law, three deviations to either limit.
    Normally,
    /// Mostly near the middle.
    Middling,
    /// Mostly near the limit that leaves the most metal.
    MostMetal,
}

impl Lie {
    /// Every way, with its words in the file.
    pub const ALL: [(&'static str, Self); 4] = [
        ("evenly", Self::Evenly),
        ("normally", Self::Normally),
        ("near the middle", Self::Middling),
        ("near most metal", Self::MostMetal),
    ];

    /// Its words in the file.
    pub fn words(self) -> &'static str {
        Self::ALL.iter().find(|(_, lie)| *lie == self).map_or("evenly", |(words, _)| words)
    }

    pub(crate) fn named(text: &str) -> Result<Self, Problem> {
        one_of(text, &Self::ALL)
    }
}

const PINS: [(&str, PinLies); 3] =
    [("anywhere", PinLies::Anywhere), ("adds", PinLies::Adds), ("takes off", PinLies::TakesOff)];

fn one_of<T: Copy>(text: &str, known: &[(&str, T)]) -> Result<T, Problem> {
    let found = known.iter().find(|(words, _)| words.eq_ignore_ascii_case(text));
    found.map(|&(_, value)| value).ok_or_else(|| {
        let all = known.iter().map(|(words, _)| format!("`{words}`")).collect::<Vec<_>>().join(", ");
        let near = nearest_word(text, known.iter().map(|(words, _)| *words));
        let mend = meant(near, format!("write one of {all}"));
        Problem::new(format!("`{text}` does not say where it lies")).mend(mend)
    })
}

/// How often something counts, and its name: `2 × flange: length`, `1/2 x throw`.
///
/// # Errors
///
/// A [`Problem`] when what stands before `×` is no number.
pub fn timed(text: &str) -> Result<(Times, &str), Problem> {
    let text = text.trim();
    let ends = |c: char| c.is_ascii_digit() || c == '.' || c == '/';
    let digits = text.len() - text.trim_start_matches(ends).len();
    let rest = text[digits..].trim_start();
    let name = rest.strip_prefix('×').or_else(|| rest.strip_prefix("x ")).or_else(|| rest.strip_prefix("X "));
    match name {
        Some(name) if digits > 0 => Ok((times(&text[..digits])?, name.trim())),
        _ => Ok((Times::from_integer(1), text)),
    }
}

/// A plain number: `2`, `1/2`, `0.375`.
fn times(text: &str) -> Result<Times, Problem> {
    let whole = |text: &str| -> Option<i128> {
        (!text.is_empty() && text.len() <= 9 && text.bytes().all(|b| b.is_ascii_digit()))
            .then(|| text.parse().ok())?
    };
    let read = || -> Option<Times> {
        if !text.bytes().any(|b| b.is_ascii_digit()) {
            return None;
        }
        if let Some((top, under)) = text.split_once('/') {
            let under = whole(under).filter(|&n| n > 0)?;
            return Some(Times::new(whole(top)?, under));
        }
        let (before, after) = text.split_once('.').unwrap_or((text, ""));
        let before = if before.is_empty() { Some(0) } else { whole(before) }?;
        let after = if after.is_empty() { (0, 1) } else { (whole(after)?, 10i128.pow(after.len() as u32)) };
        Some(Times::from_integer(before) + Times::new(after.0, after.1))
    };
    read().ok_or_else(|| {
        Problem::new(format!("`{text}` is not how many times something counts"))
            .mend("write a number such as `2`, `1/2` or `0.375` before `×`")
    })
}

impl Reader {
    pub(super) fn stack(&mut self, table: &Sheet) -> Option<SaidStack> {
        let name = self.name(table, "room at the back of the piston");
        let mut terms: Vec<(Said, Times)> = Vec::new();
        for (key, sign) in [("adds", 1), ("less", -1)] {
            for said in self.list(table, key) {
                match timed(&said.text) {
                    Ok((times, text)) => {
                        let said = Said { text: text.to_owned(), ..said };
                        terms.push((said, times * Times::from_integer(sign)));
                    }
                    Err(fault) => self.faults.push(fault.at(format!("line {}, `{key}`", said.line))),
                }
            }
        }
        let [least, most] = ["least", "most"].map(|key| self.length(table, key));
        let lies = self.lie(table);
        let own = self.below(table, "size", Self::own_size);
        let plays = self.below(table, "play", Self::play);
        if terms.is_empty() && plays.is_empty() && name.is_some() {
            self.faults.push(
                Problem::new("the stack adds nothing up")
                    .at(table.place())
                    .mend("name sizes: `adds = [\"Frame: spacing\"]`, `less = [\"Crank: web: thickness\"]`"),
            );
        }
        if let (Some(low), Some(high)) = (&least, &most)
            && low.length > high.length
        {
            self.faults.push(
                Problem::new(format!("`least` {} is more than `most` {}", low.text, high.text))
                    .at(table.place())
                    .mend("change them over, or check both"),
            );
        }
        Some(SaidStack { name: name?, terms, least, most, lies, own, plays })
    }

    /// Tables in a list behind a key.
    fn below<T>(&mut self, table: &Sheet, key: &str, read: fn(&mut Self, &Sheet) -> Option<T>) -> Vec<T> {
        let mut all = Vec::new();
        let Some(entry) = table.get(key) else { return all };
        let items: Vec<&crate::document::Entry> = match &entry.value {
            Content::List(items) => items.iter().collect(),
            _ => vec![entry],
        };
        for item in items {
            let Content::Table(below) = &item.value else {
                let mend = match key {
                    "size" => "write `{ name = \"washer\", is = \"1 mm\", within = \"0.05 mm\" }`",
                    _ => "write `{ pin = \"Crank pin: journal\", bore = \"Rod: big end\" }`",
                };
                self.faults.push(item.fault("says too little", mend));
                continue;
            };
            all.extend(read(self, below));
            below.finish(&mut self.faults);
        }
        all
    }

    fn own_size(&mut self, table: &Sheet) -> Option<OwnSize> {
        let (text, line) = table.need("name", "washer", &mut self.faults)?;
        let name = Said { text: text.trim().to_owned(), line, key: "name" };
        let [is, within] = ["is", "within"].map(|key| self.length(table, key));
        if let Some(room) = within.as_ref().filter(|room| room.length < Length::ZERO) {
            self.faults.push(
                Problem::new(format!("`{}` is less than nought", room.text))
                    .at(table.place())
                    .mend("write how far it may go either way, such as `0.05 mm`"),
            );
        }
        Some(OwnSize { name, is, within, lies: self.lie(table) })
    }

    fn play(&mut self, table: &Sheet) -> Option<SaidPlay> {
        let [pin, bore] = [("pin", "Crank pin: journal"), ("bore", "Rod: big end")].map(|(key, such)| {
            let (text, line) = table.need(key, such, &mut self.faults)?;
            Some(Said { text: text.trim().to_owned(), line, key })
        });
        let counted = table.text("times", &mut self.faults).map(|(text, line)| (text.to_owned(), line));
        let times = match counted {
            None => Times::from_integer(1),
            Some((text, line)) => match times(text.trim()) {
                Ok(times) => times,
                Err(fault) => {
                    self.faults.push(fault.at(format!("line {line}, `times`")));
                    return None;
                }
            },
        };
        let lies = table.text("lies", &mut self.faults).map(|(text, line)| (text.trim().to_owned(), line));
        let lies = lies.and_then(|(text, line)| self.known(one_of(&text, &PINS), line)).unwrap_or_default();
        Some(SaidPlay { pin: pin?, bore: bore?, times, lies })
    }

    fn lie(&mut self, table: &Sheet) -> Option<Lie> {
        let said = table.text("lies", &mut self.faults).map(|(text, line)| (text.trim().to_owned(), line));
        said.and_then(|(text, line)| self.known(Lie::named(&text), line))
    }

    fn known<T>(&mut self, read: Result<T, Problem>, line: usize) -> Option<T> {
        read.map_err(|fault| self.faults.push(fault.at(format!("line {line}, `lies`")))).ok()
    }

    fn length(&mut self, table: &Sheet, key: &str) -> Option<Written> {
        let (text, line) = table.text(key, &mut self.faults)?;
        let fault = match read_length(text, None) {
            Ok(written) => return Some(written),
            Err(_) if read_length(text, Some(Unit::Mm)).is_ok() => {
                let text = text.trim();
                Problem::new(format!("`{text}` has no unit"))
                    .why("an assembly joins drawings in inches and in millimetres")
                    .mend(format!("write `{text} mm` or `{text} in`"))
            }
            Err(fault) => fault,
        };
        self.faults.push(fault.at(format!("line {line}, `{key}`")));
        None
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn how_many_times_stands_before_the_name() {
        let half = Times::new(1, 2);
        for (text, times, name) in [
            ("2 × Bush: flange: length", Times::from_integer(2), "Bush: flange: length"),
            ("1/2 x Crank: throw", half, "Crank: throw"),
            ("0.5×Crank: throw", half, "Crank: throw"),
            ("Crank: throw", Times::from_integer(1), "Crank: throw"),
            ("4 jaw plate: width", Times::from_integer(1), "4 jaw plate: width"),
        ] {
            assert_eq!(timed(text).unwrap(), (times, name), "{text}");
        }
        for wrong in ["1/0 × a", "1/2/3 × a", "1.2.3 × a", "/ × a", "9999999999 × a", ". × a"] {
            assert!(timed(wrong).is_err(), "{wrong}");
        }
    }
}
