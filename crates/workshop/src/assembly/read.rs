//! Reading `assembly.toml`.

use super::how::{doing_named, heat_named, how_named, place_named};
use super::{Apart, Assembly, Design, Have, Kind, Said, SaidTask};
use crate::document::{Content, Sheet, read_document};
use crate::problem::{Outcome, Problem};

/// Reads a whole assembly file. No name of a part is looked up yet.
///
/// # Errors
///
/// Every fault of the file, each with its line.
pub fn read_assembly(file: &str, text: &str) -> Outcome<Assembly> {
    let at_file = |fault: Problem| fault.at(file.to_owned());
    let sheet = read_document(text).map_err(|fault| vec![at_file(fault)])?;
    let mut reader = Reader { faults: Vec::new() };
    let mut assembly = Assembly { file: file.to_owned(), ..Assembly::default() };
    for piece in sheet.tables("piece", &mut reader.faults) {
        let name = reader.name(piece, "Crankshaft");
        let what = reader.words(piece, "what");
        piece.finish(&mut reader.faults);
        assembly.pieces.extend(name.map(|name| (name, what)));
    }
    type Read = fn(&mut Reader, &Sheet) -> Option<SaidTask>;
    let kinds: [(&str, Read); 4] =
        [("aid", Reader::aid), ("join", Reader::join), ("work", Reader::work), ("heat", Reader::heat)];
    for (key, read) in kinds {
        for table in sheet.tables(key, &mut reader.faults) {
            let task = read(&mut reader, table);
            table.finish(&mut reader.faults);
            assembly.tasks.extend(task);
        }
    }
    for table in sheet.tables("stack", &mut reader.faults) {
        let stack = reader.stack(table);
        table.finish(&mut reader.faults);
        assembly.stacks.extend(stack);
    }
    for table in sheet.tables("together", &mut reader.faults) {
        let together = reader.together(table);
        table.finish(&mut reader.faults);
        assembly.together.extend(together);
    }
    sheet.finish(&mut reader.faults);
    if reader.faults.is_empty() {
        Ok(assembly)
    } else {
        Err(reader.faults.into_iter().map(at_file).collect())
    }
}

pub(super) struct Reader {
    pub(super) faults: Vec<Problem>,
}

impl Reader {
    fn join(&mut self, table: &Sheet) -> Option<SaidTask> {
        let name = self.name(table, "pin in the web");
        let how = self.word(table, "how", "pressed", how_named);
        let apart = self.flag(table, "comes_apart");
        let members = self.list(table, "parts");
        if table.get("parts").is_none() || members.len() == 1 {
            self.faults.push(
                Problem::new("a join needs at least two parts")
                    .at(table.place())
                    .mend("add a line such as `parts = [\"Crank pin: press end\", \"Crank web: pin bore\"]`"),
            );
        }
        let closes = self.list(table, "closes");
        let how = how?;
        let apart = match apart {
            None => how.apart,
            Some(true) => Apart::Comes,
            Some(false) => Apart::Stays,
        };
        let task = SaidTask { members, closes, ..SaidTask::new(name?, Kind::Join { how, apart }) };
        Some(self.rest(table, task))
    }

    fn work(&mut self, table: &Sheet) -> Option<SaidTask> {
        let name = self.name(table, "finish the bush");
        let doing = self.word(table, "do", "ream", doing_named);
        let members = self.needed(table, "to", "[\"Pump bracket: pump bore\"]");
        let task = SaidTask { members, ..SaidTask::new(name?, Kind::Work(doing?)) };
        Some(self.rest(table, task))
    }

    fn heat(&mut self, table: &Sheet) -> Option<SaidTask> {
        let name = self.name(table, "harden the crank pin");
        let heat = self.word(table, "do", "harden and temper", heat_named);
        let members = self.needed(table, "parts", "[\"Crank pin\"]");
        let task = SaidTask { members, ..SaidTask::new(name?, Kind::Heat(heat?)) };
        Some(self.rest(table, task))
    }

    fn aid(&mut self, table: &Sheet) -> Option<SaidTask> {
        let name = self.name(table, "setting plate");
        let have = if self.flag(table, "have") == Some(true) { Have::Owned } else { Have::ToMake };
        let what = self.words(table, "what");
        let members = self.list(table, "uses");
        let design = self.design(table);
        let mut members = members;
        let made_to = design.iter().flat_map(Design::made_to);
        members.extend(made_to.cloned());
        let mut told: Vec<String> = Vec::new();
        members.retain(|said| {
            let new = !told.contains(&said.text);
            told.push(said.text.clone());
            new
        });
        let mut task = SaidTask { members, design, ..SaidTask::new(name?, Kind::Aid { have, what }) };
        if matches!(task.design, Some(Design::Block(_))) {
            task.place = super::Place::Mill;
        }
        Some(self.rest(table, task))
    }

    /// What every kind of task may say.
    fn rest(&mut self, table: &Sheet, task: SaidTask) -> SaidTask {
        let joins = matches!(task.kind, Kind::Join { .. });
        let works = matches!(task.kind, Kind::Work(_));
        let heats = matches!(task.kind, Kind::Heat(_));
        let mut task = SaidTask {
            after: self.list(table, "after"),
            before: self.list(table, "before"),
            because: self.words(table, "because"),
            minutes: self.minutes(table),
            ..task
        };
        if joins || works {
            task.within = self.list(table, "in");
            task.set_by = self.list(table, "set_by").into_iter().next();
            task.sets = self.words(table, "sets");
            if let (Some(sets), None) = (&task.sets, &task.set_by) {
                self.faults.push(
                    Problem::new(format!("it is not said what sets {sets}"))
                        .at(table.place())
                        .mend("add a line such as `set_by = \"setting plate\"`, or take `sets` out"),
                );
            }
        }
        if joins || heats {
            task.cool = self.list(table, "keep_cool");
        }
        if table.get("at").is_some()
            && let Some(place) = self.word(table, "at", "bench", place_named)
        {
            task.place = place;
        }
        task
    }

    pub(super) fn name(&mut self, table: &Sheet, such_as: &str) -> Option<Said> {
        let (text, line) = table.need("name", such_as, &mut self.faults)?;
        let text = text.trim().to_owned();
        if text.is_empty() || text.contains(':') {
            self.faults.push(
                Problem::new(format!("`{text}` cannot be a name"))
                    .at(format!("line {line}, `name`"))
                    .why("a name is a few words, and what stands after a colon is a feature")
                    .mend(format!("write one such as `{such_as}`")),
            );
            return None;
        }
        Some(Said { text, line, key: "name" })
    }

    /// A word that must be one of a list.
    pub(super) fn word<T>(
        &mut self,
        table: &Sheet,
        key: &'static str,
        such_as: &str,
        named: fn(&str) -> Result<T, Problem>,
    ) -> Option<T> {
        let (text, line) = table.need(key, such_as, &mut self.faults)?;
        named(text.trim()).map_err(|fault| self.faults.push(fault.at(format!("line {line}, `{key}`")))).ok()
    }

    pub(super) fn words(&mut self, table: &Sheet, key: &str) -> Option<String> {
        table.text(key, &mut self.faults).map(|(text, _)| text.trim().to_owned()).filter(|t| !t.is_empty())
    }

    pub(super) fn list(&mut self, table: &Sheet, key: &'static str) -> Vec<Said> {
        let texts = table.texts(key, &mut self.faults);
        texts.into_iter().map(|(text, line)| Said { text: text.trim().to_owned(), line, key }).collect()
    }

    pub(super) fn needed(&mut self, table: &Sheet, key: &'static str, such_as: &str) -> Vec<Said> {
        let list = self.list(table, key);
        if list.is_empty() {
            self.faults.push(
                Problem::new(format!("`{key}` is not given"))
                    .at(table.place())
                    .mend(format!("add a line such as `{key} = {such_as}`")),
            );
        }
        list
    }

    fn flag(&mut self, table: &Sheet, key: &str) -> Option<bool> {
        match &table.get(key)?.value {
            Content::Flag(flag) => Some(*flag),
            _ => {
                table.flag(key, &mut self.faults);
                None
            }
        }
    }

    fn minutes(&mut self, table: &Sheet) -> Option<u64> {
        table.count("minutes", &mut self.faults).map(u64::from)
    }
}
