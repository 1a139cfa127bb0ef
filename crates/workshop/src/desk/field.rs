//! One field of a form: what stands in it, what that comes to, what is wrong with it.

use super::asks::{Ask, Need, Takes};
use super::said::Said;
use crate::document::{Content, Entry, Sheet};
use crate::measure::{Length, Unit, Written, read_angle, read_length};
use crate::problem::Problem;
use crate::tables::{fits, materials, read_size, taper_pins, threads};

/// A field as it stands in a draft.
#[derive(Clone, Debug, PartialEq)]
pub struct Field {
    /// Its path in the file: `feature/3/diameter`.
    pub at: String,
    /// What is asked for.
    pub ask: Ask,
    /// What stands there, as typed; empty when nothing does.
    pub text: String,
    /// Of a field that takes several, each of them.
    pub items: Vec<Item>,
    /// What it comes to, in words beside it.
    pub exact: Option<Exact>,
    /// What stands beside it, where anything may.
    pub says: Option<Said>,
    /// The words that it may hold, where they are few or known.
    pub choices: Vec<String>,
    /// What is wrong with what stands there.
    pub problem: Option<Problem>,
}

/// One of the things in a field that takes several.
#[derive(Clone, Debug, PartialEq)]
pub struct Item {
    /// Its path in the file.
    pub at: String,
    /// As typed.
    pub text: String,
    /// What it comes to.
    pub exact: Option<Exact>,
    /// What stands beside it, where anything may.
    pub says: Option<Said>,
    /// What is wrong with it.
    pub problem: Option<Problem>,
}

/// What a text comes to.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Exact {
    /// A length: exact millimetres and inches, and the unit it is written in.
    Length {
        /// Millimetres, to the thousandth; `≈` before it where that is not all.
        mm: String,
        /// Inches, to the ten-thousandth, likewise.
        inch: String,
        /// What it is written in.
        typed: Unit,
    },
    /// Something else, in words: a thread with its sizes.
    Words(String),
}

impl Exact {
    /// A length in both units.
    pub fn of(length: Length, typed: Unit) -> Self {
        let inches = length.scaled(Length::mm(1).ratio_to(Unit::Inch.one()));
        Self::Length { mm: length.shown(3), inch: inches.shown(4), typed }
    }
}

/// What every field of one draft is read with.
pub(super) struct Context<'a> {
    /// Unit of bare numbers.
    pub unit: Option<Unit>,
    /// Every feature's name and kind.
    pub features: &'a [(String, String)],
    /// Every dimension's name.
    pub dimensions: &'a [String],
}

impl Context<'_> {
    /// Fills a field from its table.
    pub fn field(&self, ask: Ask, table: &Sheet, at: String) -> Field {
        let mut field = Field {
            at: at.clone(),
            ask,
            text: String::new(),
            items: Vec::new(),
            exact: None,
            says: (ask.takes.has_a_role() && ask.takes != Takes::Place).then(Default::default),
            choices: self.choices(ask.takes),
            problem: None,
        };
        match table.get(ask.key) {
            None => {}
            Some(entry) if takes_several(ask.takes) => field.items = self.items(ask, entry, &at),
            Some(entry) => {
                let (text, says) = typed(entry);
                let several = matches!(ask.takes, Takes::Any(_) | Takes::Lengths);
                let come = if several { Self::each_comes_to } else { Self::comes_to };
                (field.exact, field.problem) = come(self, ask, &text);
                (field.text, field.says) = (text, field.says.map(|_| says));
            }
        }
        field
    }

    fn items(&self, ask: Ask, entry: &Entry, at: &str) -> Vec<Item> {
        let entries: Vec<&Entry> = match &entry.value {
            Content::List(items) => items.iter().collect(),
            _ => vec![entry],
        };
        entries
            .into_iter()
            .enumerate()
            .map(|(index, entry)| {
                let (text, says) = typed(entry);
                let (exact, problem) = self.comes_to(ask, &text);
                let at = format!("{at}/{index}");
                Item { at, text, exact, says: ask.takes.has_a_role().then_some(says), problem }
            })
            .collect()
    }

    /// What each of several in one field comes to, in words; the first fault of them.
    fn each_comes_to(&self, ask: Ask, text: &str) -> (Option<Exact>, Option<Problem>) {
        let parts = text.split(',').map(str::trim).filter(|part| !part.is_empty());
        let (exacts, problems): (Vec<_>, Vec<_>) = parts.map(|part| self.comes_to(ask, part)).unzip();
        let words = exacts.into_iter().flatten().map(|exact| match exact {
            Exact::Length { mm, .. } => format!("{mm} mm"),
            Exact::Words(words) => words,
        });
        let words: Vec<String> = words.collect();
        let exact = (!words.is_empty()).then(|| Exact::Words(words.join(", ")));
        (exact, problems.into_iter().flatten().next())
    }

    /// What a text in a field comes to, or what is wrong with it.
    fn comes_to(&self, ask: Ask, text: &str) -> (Option<Exact>, Option<Problem>) {
        let length = |read: Result<Written, Problem>| match read {
            Ok(written) => (Some(Exact::of(written.length, written.unit)), None),
            Err(problem) => (None, Some(problem)),
        };
        let words = |read: Result<String, Problem>| match read {
            Ok(words) => (Some(Exact::Words(words)), None),
            Err(problem) => (None, Some(problem)),
        };
        let must = |holds: Result<(), Problem>| (None, holds.err());
        match ask.takes {
            Takes::Size => length(read_size(text, self.unit)),
            Takes::Length | Takes::Lengths => length(read_length(text, self.unit)),
            Takes::Thread => words(threads::find(text).map(|thread| {
                let (major, pitch) = (thread.major.shown(3), thread.pitch.shown(3));
                format!("{}: ⌀ {major} mm, pitch {pitch} mm", thread.designation)
            })),
            Takes::Pin => words(taper_pins::find(text).map(|pin| {
                let end = match pin.taper {
                    taper_pins::Taper::OneIn50 => "small end",
                    taper_pins::Taper::OneIn48 => "large end",
                };
                format!("{end} {} mm, 1 in {}", pin.nominal.shown(3), pin.taper.run())
            })),
            Takes::Angle => match read_angle(text) {
                Ok(angle) => (Some(Exact::Words(format!("{}°", shown_degrees(angle.as_degrees())))), None),
                Err(problem) => (None, Some(problem)),
            },
            Takes::Count => must(match text.trim().parse::<u32>() {
                Ok(1..=1000) => Ok(()),
                _ => Err(Problem::new(format!("`{text}` is not a count")).mend("write a whole number")),
            }),
            Takes::Material => must(materials::find(text).map(drop)),
            Takes::Fit => must(fits::known(text)),
            Takes::One(_) | Takes::Any(_) | Takes::YesNo => must(self.among(ask, text)),
            Takes::Feature(_) | Takes::Dimensions => must(self.among(ask, text)),
            Takes::Words | Takes::Lines | Takes::Around(_) | Takes::Place => (None, None),
        }
    }

    fn among(&self, ask: Ask, text: &str) -> Result<(), Problem> {
        let known = self.choices(ask.takes);
        if known.iter().any(|word| word.eq_ignore_ascii_case(text.trim())) {
            return Ok(());
        }
        let mend = match known.len() {
            0 => "enter that first".to_owned(),
            1..=12 => format!("it may be {}", known.join(", ")),
            _ => "choose one of the list".to_owned(),
        };
        Err(Problem::new(format!("`{text}` is not known here")).mend(mend))
    }

    fn choices(&self, takes: Takes) -> Vec<String> {
        let all = |words: &[&str]| words.iter().map(|word| (*word).to_owned()).collect();
        match takes {
            Takes::One(words) | Takes::Any(words) => all(words),
            Takes::YesNo => all(&["false", "true"]),
            Takes::Feature(kinds) | Takes::Around(kinds) => {
                let fits = |kind: &str| kinds.is_empty() || kinds.contains(&kind);
                self.features.iter().filter(|(_, kind)| fits(kind)).map(|(name, _)| name.clone()).collect()
            }
            Takes::Dimensions => self.dimensions.to_vec(),
            Takes::Material => materials::all().iter().map(|material| material.name.clone()).collect(),
            Takes::Fit => fits::plain_words().into_iter().map(str::to_owned).collect(),
            _ => Vec::new(),
        }
    }
}

impl Field {
    /// Whether it is empty and must not be.
    pub fn is_wanting(&self) -> bool {
        self.ask.need == Need::Must && self.text.is_empty() && self.items.is_empty()
    }

    /// Whether what is wrong with it is what a problem says.
    pub(super) fn says_the_same(&self, problem: &Problem) -> bool {
        let own = self.problem.iter().chain(self.items.iter().filter_map(|item| item.problem.as_ref()));
        own.into_iter().any(|own| own.what() == problem.what())
    }

    /// Whether it takes several things, one after another.
    pub fn is_list(&self) -> bool {
        takes_several(self.ask.takes)
    }
}

const fn takes_several(takes: Takes) -> bool {
    matches!(takes, Takes::Around(_) | Takes::Place | Takes::Dimensions | Takes::Lines)
}

/// What stands in an entry as a person typed it, and beside it.
fn typed(entry: &Entry) -> (String, Said) {
    match &entry.value {
        Content::Text(text) => (text.clone(), Default::default()),
        Content::Flag(flag) => (flag.to_string(), Default::default()),
        Content::List(items) => {
            let words: Vec<String> = items.iter().map(|item| typed(item).0).collect();
            (words.join(", "), Default::default())
        }
        Content::Table(table) => {
            let of = |key: &str| table.get(key).map(|entry| typed(entry).0).unwrap_or_default();
            // An arc of an outline has its radius where a length has what it is.
            let text = if table.get("arc").is_some() {
                arc(&of("arc"), &of("bulge"), &of("greater"))
            } else {
                of("is")
            };
            (
                text,
                Said {
                    role: of("role"),
                    within: of("within"),
                    keeps: of("keeps"),
                    pin: of("pin"),
                    made: of("made"),
                },
            )
        }
    }
}

/// How an arc of an outline is shown on its row.
fn arc(radius: &str, bulge: &str, greater: &str) -> String {
    let greater = if greater == "true" { " greater" } else { "" };
    format!("arc {radius} {bulge}{greater}")
}

/// Degrees to the millionth, without needless noughts.
fn shown_degrees(degrees: f64) -> String {
    let text = format!("{degrees:.6}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}
