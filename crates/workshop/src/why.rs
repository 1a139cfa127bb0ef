//! The chain of reasons behind a number.
//!
//! Every figure a person may set, cut or buy by is a [`Figure`]: what it is
//! called, how it is shown, and a [`Why`] that leads back through the decision
//! and the rule to the dimension as drawn.

/// One statement, where it comes from, and what it rests on.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Why {
    /// A sentence for the person at the machine.
    pub statement: String,
    /// The published source, or `common practice`, or `from memory`.
    pub source: Option<String>,
    /// True when the tool supposed this and nobody said so.
    pub assumed: bool,
    /// What this statement rests on, most telling first.
    pub because: Vec<Why>,
}

impl Why {
    /// States a reason.
    pub fn new(statement: impl Into<String>) -> Self {
        Self { statement: statement.into(), source: None, assumed: false, because: Vec::new() }
    }

    /// States something the tool supposed because nobody said.
    pub fn assumed(statement: impl Into<String>) -> Self {
        Self { assumed: true, ..Self::new(statement) }
    }

    /// Names where the rule or value was published.
    #[must_use]
    pub fn source(mut self, source: impl Into<String>) -> Self {
        self.source = Some(source.into());
        self
    }

    /// Adds one thing this rests on.
    #[must_use]
    pub fn because(mut self, reason: Why) -> Self {
        self.because.push(reason);
        self
    }

    /// The same with every name as [`quoted`] sets it.
    #[must_use]
    pub fn quoted(self) -> Self {
        Self {
            statement: quoted(&self.statement),
            because: self.because.into_iter().map(Self::quoted).collect(),
            ..self
        }
    }

    /// True when this or anything it rests on was supposed.
    pub fn rests_on_assumption(&self) -> bool {
        self.assumed || self.because.iter().any(Why::rests_on_assumption)
    }
}

/// A sentence with its first letter as a capital.
pub fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map(|first| first.to_uppercase().chain(letters).collect()).unwrap_or_default()
}

/// Names in quotation marks, as a printed sheet sets them, where messages have backticks.
pub fn quoted(text: &str) -> String {
    let mut open = false;
    let mark = |letter: char| {
        if letter != '`' {
            return letter;
        }
        open = !open;
        if open { '“' } else { '”' }
    };
    text.chars().map(mark).collect()
}

/// A number as it stands on a sheet, with its reasons.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Figure {
    /// What it is, in words a person would ask for: `offset from the table centre`.
    pub name: String,
    /// The number with its unit, rounded as it will be set: `19.00 mm`.
    pub shown: String,
    /// Where it comes from.
    pub why: Why,
}

impl Figure {
    /// A figure with its reason.
    pub fn new(name: impl Into<String>, shown: impl Into<String>, why: Why) -> Self {
        Self { name: name.into(), shown: shown.into(), why }
    }

    /// What stands before the number on a sheet: the name after its last `: `.
    pub fn label(&self) -> &str {
        self.name.rsplit_once(": ").map_or(&self.name, |(_, label)| label)
    }

    /// True when the figure rests on anything that was supposed: it prints marked.
    pub fn assumed(&self) -> bool {
        self.why.rests_on_assumption()
    }
}
