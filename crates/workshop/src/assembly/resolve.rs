//! From the words of the file to tasks that know each other.

use super::how::SOFTENS_C;
use super::names::Names;
use super::{
    Assembly, Cool, Fitting, Kind, Member, Said, SaidTask, SetBy, Source, Task, TaskId, Thing, mates,
};
use crate::document::{meant, nearest_word};
use crate::drawing::{Drawing, Source as Made};
use crate::problem::{Outcome, Problem};

/// Finds every part, feature and task that is named, and adds what the part files say of
/// mates and screwed threads.
///
/// `drawings` are the parts that can be read, `unread` the names of files that cannot.
///
/// # Errors
///
/// Every name that leads nowhere, with the nearest; names given twice; what cannot be
/// left for assembly.
pub fn resolve(said: Option<&Assembly>, drawings: &[&Drawing], unread: &[String]) -> Outcome<Fitting> {
    let nothing = Assembly::default();
    let assembly = said.unwrap_or(&nothing);
    let names =
        Names { drawings, pieces: assembly.pieces.iter().map(|(n, _)| n.text.as_str()).collect(), unread };
    let mut resolver = Resolver { assembly, names, faults: Vec::new() };
    resolver.twice();
    let mut tasks: Vec<Task> = assembly.tasks.iter().map(|task| resolver.task(task)).collect();
    for (n, task) in assembly.tasks.iter().enumerate() {
        for later in resolver.tasks(&task.before) {
            if !tasks[later.0].after.contains(&TaskId(n)) {
                tasks[later.0].after.push(TaskId(n));
            }
        }
    }
    resolver.left(&tasks);
    resolver.hard(&tasks);
    let together = resolver.together(&tasks);
    if !resolver.faults.is_empty() {
        let file = &assembly.file;
        return Err(resolver.faults.into_iter().map(|fault| fault.at(file.clone())).collect());
    }
    let pieces = assembly.pieces.iter().map(|(name, what)| (name.text.clone(), what.clone())).collect();
    let mut fitting = Fitting {
        file: said.map(|said| said.file.clone()),
        pieces,
        tasks,
        together,
        unlaid: Vec::new(),
        proposed: Vec::new(),
        assumed: Vec::new(),
    };
    mates::add(&mut fitting, drawings);
    Ok(fitting)
}

pub(super) struct Resolver<'a> {
    pub(super) assembly: &'a Assembly,
    pub(super) names: Names<'a>,
    pub(super) faults: Vec<Problem>,
}

pub(super) fn at(fault: Problem, said: &Said) -> Problem {
    fault.at(format!("line {}, `{}`", said.line, said.key))
}

impl Resolver<'_> {
    /// A name that stands for two things.
    fn twice(&mut self) {
        let own = self.assembly.tasks.iter().map(|task| &task.name);
        let own: Vec<&Said> = self.assembly.pieces.iter().map(|(name, _)| name).chain(own).collect();
        for (n, name) in own.iter().enumerate() {
            let part = self.names.drawings.iter().any(|part| part.name.eq_ignore_ascii_case(&name.text));
            let other = own[..n].iter().find(|other| other.text.eq_ignore_ascii_case(&name.text));
            let is = match (part, other) {
                (true, _) => "is the name of a part".to_owned(),
                (false, Some(other)) => format!("is named in line {} already", other.line),
                (false, None) => continue,
            };
            self.faults.push(at(
                Problem::new(format!("`{}` {is}", name.text))
                    .why("what comes before what is said by name")
                    .mend("give each a name of its own"),
                name,
            ));
        }
    }

    fn task(&mut self, said: &SaidTask) -> Task {
        let members = self.members(&said.members);
        for (member, text) in members.iter().zip(&said.members) {
            self.suits(said, member, text);
        }
        let mut joins = |list: &[Said], faulty: &str| -> Vec<TaskId> {
            let found = self.tasks(list);
            for (&id, text) in found.iter().zip(list) {
                if !matches!(self.assembly.tasks[id.0].kind, Kind::Join { .. }) {
                    let fault = Problem::new(format!("`{}` is not a join", text.text))
                        .why(faulty)
                        .mend("name a join, or say `after` instead");
                    self.faults.push(at(fault, text));
                }
            }
            found
        };
        let within = joins(&said.within, "only what is joined can be together");
        let set_by = said.set_by.as_ref().and_then(|text| self.set_by(text));
        let cool = said.cool.iter().filter_map(|text| self.cool(text)).collect();
        let closes = self.members(&said.closes);
        for (member, text) in closes.iter().zip(&said.closes) {
            if member.feature.is_none() && matches!(member.thing, Thing::Part(_)) {
                self.faults.push(at(
                    Problem::new(format!("`{}` does not say what of it is closed off", text.text))
                        .mend("write the part, a colon and its feature, such as `Crank web: oil hole`"),
                    text,
                ));
            }
        }
        Task {
            name: said.name.text.clone(),
            kind: said.kind.clone(),
            members,
            within,
            after: self.tasks(&said.after),
            set_by,
            sets: said.sets.clone(),
            closes,
            cool,
            because: said.because.clone(),
            design: said.design.as_ref().and_then(|design| self.design(design)),
            minutes: said.minutes,
            place: said.place,
            said: Source {
                place: format!("{}, line {}", self.assembly.file, said.name.line),
                supposed: false,
            },
        }
    }

    /// Whether a member is of the sort its task needs.
    fn suits(&mut self, said: &SaidTask, member: &Member, text: &Said) {
        let fault = match (&said.kind, member.thing, member.feature) {
            (Kind::Work(doing), Thing::Part(_), None) if doing.leaves.is_some() => {
                Problem::new(format!("`{}` does not say what of it to {}", text.text, doing.word))
                    .mend("write the part, a colon and its feature, such as `Pump bracket: pump bore`")
            }
            (Kind::Heat(heat), Thing::Part(_), Some(_)) => {
                Problem::new(format!("a part is not {} by the feature", past(heat.word)))
                    .mend("name the part alone; say what the heat is kept from with `keep_cool`")
            }
            (Kind::Heat(heat), Thing::Part(part), None)
                if self.names.drawings[part].source == Made::Bought =>
            {
                Problem::new(format!("`{}` is bought in: nothing is done to it", text.text))
                    .mend(format!("take `bought` out of its file, or leave out to {} it", heat.word))
            }
            _ => return,
        };
        self.faults.push(at(fault, text));
    }

    fn members(&mut self, list: &[Said]) -> Vec<Member> {
        let mut found = Vec::new();
        for text in list {
            match self.names.member(&text.text) {
                Ok(member) => found.push(member),
                Err(fault) => self.faults.push(at(fault, text)),
            }
        }
        found
    }

    /// Tasks by their names; those that are not found are reported.
    fn tasks(&mut self, list: &[Said]) -> Vec<TaskId> {
        let mut found = Vec::new();
        for text in list {
            match self.by_name(&text.text) {
                Some(id) if !found.contains(&id) => found.push(id),
                Some(_) => {}
                None => {
                    let fault = self.no_task(&text.text);
                    self.faults.push(at(fault, text));
                }
            }
        }
        found
    }

    fn by_name(&self, text: &str) -> Option<TaskId> {
        let found = self.assembly.tasks.iter().position(|task| task.name.text.eq_ignore_ascii_case(text));
        found.map(TaskId)
    }

    fn no_task(&self, text: &str) -> Problem {
        let problem = Problem::new(format!("there is no join, work, heat treatment or aid called `{text}`"));
        if self.names.member(text).is_ok() {
            return problem
                .why("it is a part or a piece: each is made before it is fitted, and need not be named here")
                .mend("take it out, or name what is done to it");
        }
        let names = self.assembly.tasks.iter().map(|task| task.name.text.as_str());
        problem.mend(meant(
            nearest_word(text, names),
            "add it as a `[[join]]`, `[[work]]`, `[[heat]]` or `[[aid]]` with that name",
        ))
    }

    fn set_by(&mut self, text: &Said) -> Option<SetBy> {
        if let Some(id) = self.by_name(&text.text) {
            if matches!(self.assembly.tasks[id.0].kind, Kind::Aid { .. }) {
                return Some(SetBy::Aid(id));
            }
            self.faults.push(at(
                Problem::new(format!("`{}` is not a thing to set by", text.text))
                    .why(format!("it is a {}", self.assembly.tasks[id.0].kind.word()))
                    .mend("name an `[[aid]]`, a part or a feature of one"),
                text,
            ));
            return None;
        }
        match self.names.member(&text.text) {
            Ok(member) => Some(SetBy::Part(member)),
            Err(fault) => {
                let aids = self.assembly.tasks.iter().filter(|task| matches!(task.kind, Kind::Aid { .. }));
                let fault = match nearest_word(&text.text, aids.map(|task| task.name.text.as_str())) {
                    Some(near) => fault.mend(format!("did you mean the aid `{near}`?")),
                    None if text.text.contains(':') => fault,
                    None => fault.mend(format!(
                        "add an `[[aid]]` named `{}` (with `have = true` where it is on the shelf), or name a part",
                        text.text
                    )),
                };
                self.faults.push(at(fault, text));
                None
            }
        }
    }

    fn cool(&mut self, text: &Said) -> Option<Cool> {
        if let Some(id) = self.by_name(&text.text) {
            return Some(Cool::Join(id));
        }
        match self.names.member(&text.text) {
            Ok(member) => Some(Cool::Thing(member.thing)),
            Err(fault) => {
                self.faults.push(at(fault, text));
                None
            }
        }
    }

    /// A part that its own order hardens is neither cut nor heated afterwards.
    fn hard(&mut self, tasks: &[Task]) {
        for (task, said) in tasks.iter().zip(&self.assembly.tasks) {
            let does = match (&task.kind, task.cuts(), task.heat_c()) {
                (Kind::Heat(heat), ..) if heat.hardens => "is hardened a second time",
                (_, Some(_), _) => "is cut in assembly",
                (_, _, Some(heat_c)) if heat_c > SOFTENS_C => "is heated in assembly",
                _ => continue,
            };
            for (member, text) in task.members.iter().zip(&said.members) {
                let Thing::Part(part) = member.thing else { continue };
                let drawing = self.names.drawings[part];
                if drawing.harden.is_none()
                    || drawing.source == Made::Bought
                    || task.cool.contains(&Cool::Thing(member.thing))
                {
                    continue;
                }
                let why = match task.cuts() {
                    Some((word, _)) => format!(
                        "its part file hardens it after its own last cut, and `{word}` cuts nothing that is hard"
                    ),
                    None => format!(
                        "its part file hardens it in its own order, and `{}` brings it to {} °C, which undoes that",
                        task.name,
                        task.heat_c().unwrap_or_default()
                    ),
                };
                let mend = format!(
                    "take `harden` out of {}, and add here a `[[heat]]` with `do = \"harden and temper\"` and \
                     `parts = [\"{}\"]`: it then comes after this{}",
                    drawing.file,
                    drawing.name,
                    if task.cuts().is_some() {
                        ""
                    } else {
                        "; or say with `keep_cool` that the heat is kept from it"
                    }
                );
                let what = format!("`{}` {does}, by `{}`, and hard by then", drawing.name, task.name);
                self.faults.push(at(Problem::new(what).why(why).mend(mend), text));
            }
        }
    }

    /// What is to be cut in assembly must be something that can be left for it.
    fn left(&mut self, tasks: &[Task]) {
        for (task, said) in tasks.iter().zip(&self.assembly.tasks) {
            let Some((_, share)) = task.cuts() else { continue };
            for text in &said.members {
                let Ok(Member { thing: Thing::Part(part), feature: Some(feature), .. }) =
                    self.names.member(&text.text)
                else {
                    continue;
                };
                let drawing = self.names.drawings[part];
                if drawing.source == Made::Made
                    && let Err(fault) = drawing.may_be_left(feature, share)
                {
                    self.faults.push(at(fault, text));
                }
            }
        }
    }
}

fn past(word: &str) -> String {
    format!("{}ed", word.trim_end_matches('e'))
}
