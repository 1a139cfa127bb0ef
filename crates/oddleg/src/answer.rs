//! What a command found out: one value, written as text or as JSON.
//!
//! Both writings walk the same sections, so neither can say what the other does
//! not. An [`Answer`] holds finished text and [`Figure`]s; nothing is worked out
//! here. Begin with [`Answer`].

use std::fmt;

use serde_json::{Map, Value, json};
use workshop::problem::Problem;
use workshop::why::{Figure, Why};

/// What a command found out.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Answer {
    /// What was asked, in a few words.
    pub title: String,
    /// How much is said of where each figure comes from.
    pub detail: Detail,
    /// What was found, in the order it is printed.
    pub sections: Vec<Section>,
    /// What could not be answered beside it.
    pub problems: Vec<Problem>,
}

/// How much is said of where a figure comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Detail {
    /// The source alone.
    Sources,
    /// The whole chain of reasons.
    Chains,
}

impl Detail {
    /// Chains when the person asked why.
    pub const fn asked(why: bool) -> Self {
        if why { Self::Chains } else { Self::Sources }
    }
}

/// Some findings under one heading.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Section {
    /// The heading; empty for the first section of a short answer.
    pub heading: String,
    /// The findings.
    pub content: Content,
}

/// What stands in a section.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Content {
    /// Numbers with their reasons.
    Figures(Vec<Figure>),
    /// A table.
    Table {
        /// The heads of its columns.
        columns: &'static [&'static str],
        /// A cell for each column.
        rows: Vec<Vec<String>>,
    },
    /// Plain statements.
    Lines(Vec<String>),
}

impl Answer {
    /// An answer with no findings yet.
    pub fn new(title: impl Into<String>) -> Self {
        Self { title: title.into(), detail: Detail::Sources, sections: Vec::new(), problems: Vec::new() }
    }

    /// Says how much is told of where each figure comes from.
    #[must_use]
    pub fn detail(mut self, detail: Detail) -> Self {
        self.detail = detail;
        self
    }

    /// Adds what could not be answered.
    #[must_use]
    pub fn problems(mut self, problems: Vec<Problem>) -> Self {
        self.problems.extend(problems);
        self
    }

    /// Adds figures; nothing when there are none.
    #[must_use]
    pub fn figures(self, heading: impl Into<String>, figures: Vec<Figure>) -> Self {
        let empty = figures.is_empty();
        self.section(heading, Content::Figures(figures), empty)
    }

    /// Adds a table; nothing when it has no rows.
    #[must_use]
    pub fn table(
        self,
        heading: impl Into<String>,
        columns: &'static [&'static str],
        rows: Vec<Vec<String>>,
    ) -> Self {
        let empty = rows.is_empty();
        self.section(heading, Content::Table { columns, rows }, empty)
    }

    /// Adds statements; nothing when there are none.
    #[must_use]
    pub fn lines(self, heading: impl Into<String>, lines: Vec<String>) -> Self {
        let empty = lines.is_empty();
        self.section(heading, Content::Lines(lines), empty)
    }

    fn section(mut self, heading: impl Into<String>, content: Content, empty: bool) -> Self {
        if !empty {
            self.sections.push(Section { heading: heading.into(), content });
        }
        self
    }

    /// The answer for another program.
    pub fn json(&self) -> Value {
        let sections: Vec<Value> = self.sections.iter().map(|section| section.json(self.detail)).collect();
        let mut answer = json!({ "title": self.title, "sections": sections, "assumed": self.assumed() });
        if !self.problems.is_empty() {
            answer["problems"] = self.problems.iter().map(problem_json).collect();
        }
        answer
    }

    /// Everything supposed that any figure rests on, each once.
    fn assumed(&self) -> Vec<&str> {
        let mut said = Vec::new();
        for section in &self.sections {
            if let Content::Figures(figures) = &section.content {
                figures.iter().for_each(|figure| gather_assumed(&figure.why, &mut said));
            }
        }
        said
    }
}

impl Section {
    fn json(&self, detail: Detail) -> Value {
        let (kind, content): (&str, Value) = match &self.content {
            Content::Figures(figures) => {
                ("figures", figures.iter().map(|figure| figure_json(figure, detail)).collect())
            }
            Content::Table { columns, rows } => {
                let row = |cells: &Vec<String>| -> Value {
                    let cells = columns.iter().zip(cells);
                    cells.map(|(&name, cell)| (name.to_owned(), json!(cell))).collect::<Map<_, _>>().into()
                };
                ("rows", rows.iter().map(row).collect())
            }
            Content::Lines(lines) => ("lines", json!(lines)),
        };
        json!({ "heading": self.heading, kind: content })
    }
}

/// The four lines of a problem, and what it is about by name.
pub fn problem_json(fault: &Problem) -> Value {
    json!({
        "what": fault.what(),
        "where": fault.place(),
        "why": fault.reason(),
        "mend": fault.remedy(),
        "about": fault.concerned(),
    })
}

fn figure_json(figure: &Figure, detail: Detail) -> Value {
    let mut value = json!({ "name": figure.name, "shown": figure.shown, "assumed": figure.assumed() });
    match detail {
        Detail::Sources => value["source"] = json!(source_of(&figure.why)),
        Detail::Chains => value["why"] = why_json(&figure.why),
    }
    value
}

fn why_json(why: &Why) -> Value {
    json!({
        "statement": why.statement,
        "source": why.source,
        "assumed": why.assumed,
        "because": why.because.iter().map(why_json).collect::<Vec<_>>(),
    })
}

/// The source of a figure: its own, or the first that it rests on.
fn source_of(why: &Why) -> Option<&str> {
    why.source.as_deref().or_else(|| why.because.iter().find_map(source_of))
}

fn gather_assumed<'a>(why: &'a Why, said: &mut Vec<&'a str>) {
    if why.assumed && !said.contains(&why.statement.as_str()) {
        said.push(&why.statement);
    }
    why.because.iter().for_each(|reason| gather_assumed(reason, said));
}

impl fmt::Display for Answer {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        writeln!(f, "{}", self.title)?;
        let mut sources = Footnotes::default();
        for section in &self.sections {
            writeln!(f)?;
            if !section.heading.is_empty() {
                writeln!(f, "{}", section.heading)?;
            }
            match (&section.content, self.detail) {
                (Content::Figures(figures), Detail::Sources) => {
                    let rows: Vec<Vec<String>> = figures.iter().map(|figure| sources.row(figure)).collect();
                    columns(f, &rows)?;
                }
                (Content::Figures(figures), Detail::Chains) => {
                    for figure in figures {
                        writeln!(f, "  {}: {}", figure.name, figure.shown)?;
                        chain(f, &figure.why, 2)?;
                    }
                }
                (Content::Table { columns: heads, rows }, _) => {
                    let heads = heads.iter().map(|&head| head.to_owned()).collect();
                    let all: Vec<Vec<String>> = std::iter::once(heads).chain(rows.iter().cloned()).collect();
                    columns(f, &all)?;
                }
                (Content::Lines(lines), _) => {
                    for line in lines {
                        writeln!(f, "  {line}")?;
                    }
                }
            }
        }
        let assumed = self.assumed();
        if !assumed.is_empty() {
            writeln!(f, "\nassumed")?;
        }
        assumed.iter().try_for_each(|statement| writeln!(f, "  {statement}"))?;
        sources.fmt(f)
    }
}

/// Where figures come from, each source said once and pointed to by its number.
#[derive(Default)]
struct Footnotes<'a> {
    sources: Vec<&'a str>,
}

impl<'a> Footnotes<'a> {
    /// The cells of a figure: its name, how it is shown, and what to know of it.
    fn row(&mut self, figure: &'a Figure) -> Vec<String> {
        let mut marks = Vec::new();
        if let Some(source) = source_of(&figure.why) {
            let number = self.sources.iter().position(|known| *known == source).unwrap_or_else(|| {
                self.sources.push(source);
                self.sources.len() - 1
            });
            marks.push(format!("[{}]", number + 1));
            if source.ends_with("from memory") {
                marks.push("from memory".to_owned());
            }
        }
        if figure.assumed() {
            marks.push("assumed".to_owned());
        }
        vec![figure.name.clone(), figure.shown.clone(), marks.join(" ")]
    }
}

impl fmt::Display for Footnotes<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if !self.sources.is_empty() {
            writeln!(f, "\nsources")?;
        }
        for (index, source) in self.sources.iter().enumerate() {
            writeln!(f, "  [{}] {source}", index + 1)?;
        }
        Ok(())
    }
}

/// A reason and what it rests on, a step further in for each.
fn chain(f: &mut fmt::Formatter<'_>, why: &Why, depth: usize) -> fmt::Result {
    let indent = "  ".repeat(depth);
    let assumed = if why.assumed { " (assumed)" } else { "" };
    let source = why.source.as_ref().map_or(String::new(), |source| format!(" [{source}]"));
    writeln!(f, "{indent}{}{source}{assumed}", why.statement)?;
    why.because.iter().try_for_each(|reason| chain(f, reason, depth + 1))
}

/// Rows with their cells one under another, two spaces between columns.
fn columns(f: &mut fmt::Formatter<'_>, rows: &[Vec<String>]) -> fmt::Result {
    let count = rows.iter().map(Vec::len).max().unwrap_or(0);
    let width = |column: usize| {
        rows.iter().filter_map(|row| row.get(column)).map(|cell| cell.chars().count()).max().unwrap_or(0)
    };
    let widths: Vec<usize> = (0..count).map(width).collect();
    for row in rows {
        let cells = row.iter().zip(&widths).map(|(cell, width)| format!("{cell:width$}"));
        let line = cells.collect::<Vec<_>>().join("  ");
        writeln!(f, "  {}", line.trim_end())?;
    }
    Ok(())
}
