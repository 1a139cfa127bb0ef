//! Reading the single entries of a part file: lengths, threads, places, words.

use std::collections::BTreeSet;

use super::place::find_reference;
use super::said::Said;
use super::{Dimension, DimensionId, FeatureId, Given, Measures, Reference, Role, ThreadCall, ThreadId};
use crate::document::{Content, Entry, Sheet, nearest_word};
use crate::measure::{Length, Unit, Written};
use crate::problem::Problem;
use crate::tables::{read_size, taper_pins, threads};

/// What has been read so far, and every fault met on the way.
#[derive(Default)]
pub(super) struct Reader {
    pub(super) unit: Option<Unit>,
    pub(super) faults: Vec<Problem>,
    /// Every feature's name and line, known before any place is read.
    pub(super) names: Vec<(String, usize)>,
    pub(super) dimensions: Vec<Dimension>,
    pub(super) threads: Vec<ThreadCall>,
    /// Path of the entry that is being read.
    pub(super) here: String,
    /// What a role counts as where a dimension gives none: supposed, unless the
    /// file says that the usual roles hold.
    pub(super) unsaid: Given,
    pub(super) assumed: Vec<String>,
    /// How much of the file must be there.
    pub(super) wanted: Wanted,
    /// The `[[feature]]` tables passed over, counted in the order of the file.
    pub(super) left_out: BTreeSet<usize>,
    /// Those that could not be read.
    pub(super) unread: BTreeSet<usize>,
}

/// How much of a file must be there for a drawing to come of it.
#[derive(Clone, Copy, Default, PartialEq, Eq)]
pub(super) enum Wanted {
    /// All of it.
    #[default]
    Whole,
    /// What has been entered so far.
    AsFar,
}

impl Reader {
    /// The feature of a name, or a problem at the line and key.
    pub(super) fn feature_named(&mut self, text: &str, line: usize, key: &str) -> Option<FeatureId> {
        match find_reference(text, &self.names) {
            Ok(Reference::Feature(id)) => Some(id),
            Ok(_) => {
                self.faults.push(
                    Problem::new(format!("`{text}` is not a feature"))
                        .at(format!("line {line}, `{key}`"))
                        .mend("name a hole or other feature of this part"),
                );
                None
            }
            Err(fault) => {
                self.faults.push(fault.at(format!("line {line}, `{key}`")));
                None
            }
        }
    }

    /// One word of a few; a problem when it is another, `None` when not there.
    pub(super) fn one_of<T: Copy>(&mut self, sheet: &Sheet, key: &str, words: &[(&str, T)]) -> Option<T> {
        let (text, line) = sheet.text(key, &mut self.faults)?;
        let found = words.iter().find(|(word, _)| word.eq_ignore_ascii_case(text.trim()));
        if found.is_none() {
            let list = words.iter().map(|(word, _)| format!("`{word}`")).collect::<Vec<_>>().join(", ");
            let mend = match nearest_word(text, words.iter().map(|&(word, _)| word)) {
                Some(near) => format!("did you mean `{near}`? it may be {list}"),
                None => format!("it may be {list}"),
            };
            self.faults.push(
                Problem::new(format!("`{text}` is not known for `{key}`"))
                    .at(format!("line {line}"))
                    .mend(mend),
            );
        }
        found.map(|&(_, value)| value)
    }

    /// A dimension that must be there.
    pub(super) fn need_dimension(
        &mut self,
        sheet: &Sheet,
        key: &str,
        name: &str,
        measures: Measures,
    ) -> Option<DimensionId> {
        if sheet.get(key).is_none() {
            self.faults.push(
                Problem::new(format!("{name} is missing"))
                    .at(sheet.place())
                    .why("the drawing must give it before anything can be cut")
                    .mend(format!("add `{key} = \"…\"` as the drawing has it")),
            );
            return self.stand_in(name, measures);
        }
        self.dimension(sheet, key, name, measures)
    }

    /// A dimension, where it is there: `"7/16"`, or `{ is = "7/16", role = "hold" }`.
    pub(super) fn dimension(
        &mut self,
        sheet: &Sheet,
        key: &str,
        name: &str,
        measures: Measures,
    ) -> Option<DimensionId> {
        let entry = sheet.get(key)?;
        let read = self.entered(entry, name, measures);
        read.or_else(|| self.stand_in(name, measures))
    }

    fn entered(&mut self, entry: &Entry, name: &str, measures: Measures) -> Option<DimensionId> {
        self.here.clone_from(&entry.at);
        match &entry.value {
            Content::Table(table) => {
                let (text, line) = table.need("is", "7/16", &mut self.faults)?;
                let (text, said) = (text.to_owned(), self.said(table));
                table.finish(&mut self.faults);
                self.measured(&text, line, name, measures, said)
            }
            _ => match entry.as_text() {
                Ok(text) => self.measured(text, entry.line, name, measures, Said::default()),
                Err(fault) => {
                    self.faults.push(fault);
                    None
                }
            },
        }
    }

    /// Reads and keeps one length.
    pub(super) fn measured(
        &mut self,
        text: &str,
        line: usize,
        name: &str,
        measures: Measures,
        said: Said,
    ) -> Option<DimensionId> {
        let written = match read_measured(text, measures, self.unit) {
            Ok(written) => written,
            Err(fault) => {
                self.faults.push(fault.at(format!("line {line}, {name}")));
                return None;
            }
        };
        let may_be_nought = measures == Measures::Position;
        if written.length < Length::ZERO || (written.length == Length::ZERO && !may_be_nought) {
            self.faults.push(
                Problem::new(format!("`{text}` is not more than nought"))
                    .at(format!("line {line}, {name}"))
                    .mend(if may_be_nought {
                        "say the other direction instead"
                    } else {
                        "write the size as drawn"
                    }),
            );
            return None;
        }
        if written.length > Length::mm(10_000) {
            self.faults.push(
                Problem::new(format!("`{text}` is more than ten metres"))
                    .at(format!("line {line}, {name}"))
                    .mend("check the number and its unit"),
            );
            return None;
        }
        let role = match said.role {
            Some(role) => (role, Given::Said),
            None => (measures.usual_role(), self.unsaid),
        };
        let (pin, made) = self.fixed_size(&said, name, measures, written.length);
        let (name, at, within) = (name.to_owned(), self.here.clone(), said.within);
        let (own_role, held_by) = (said.role.is_some(), None);
        self.dimensions.push(Dimension {
            name,
            written,
            line,
            at,
            measures,
            role,
            own_role,
            within,
            held_by,
            loose: None,
            pin,
            made,
        });
        Some(DimensionId(self.dimensions.len() - 1))
    }

    /// A thread by its published name.
    pub(super) fn thread(&mut self, sheet: &Sheet, key: &str, name: &str) -> Option<ThreadId> {
        let entry = sheet.get(key)?;
        let (text, line, said, keeps) = match &entry.value {
            Content::Table(table) => {
                let (text, line) = table.need("is", "7 BA", &mut self.faults)?;
                let (text, said, keeps) = (text.to_owned(), self.said(table), self.keeps(table));
                table.finish(&mut self.faults);
                (text, line, said, keeps)
            }
            _ => (sheet.text(key, &mut self.faults)?.0.to_owned(), entry.line, Said::default(), None),
        };
        match threads::find(&text) {
            Ok(thread) => {
                let role = said.role.map_or((Role::Suit, self.unsaid), |role| (role, Given::Said));
                let (pin, made) = self.fixed_thread(&said, name, thread);
                let (name, at) = (name.to_owned(), entry.at.clone());
                self.threads.push(ThreadCall { name, text, thread, line, at, role, keeps, pin, made });
                Some(ThreadId(self.threads.len() - 1))
            }
            Err(fault) => {
                self.faults.push(fault.at(format!("line {line}, {name}")));
                self.stand_in_thread(name)
            }
        }
    }
}

/// A length as it reads where it measures such a thing: `No. 2` is a taper pin there,
/// and a drill anywhere else.
pub(super) fn read_measured(text: &str, measures: Measures, unit: Option<Unit>) -> Result<Written, Problem> {
    if measures == Measures::TaperPin { taper_pins::read_nominal(text) } else { read_size(text, unit) }
}
