//! `new`: a folder with a bench and a first part, both full of notes.

use std::fs::{self, OpenOptions};
use std::io::{self, Write};
use std::path::{Path, PathBuf};

use workshop::problem::{Outcome, Problem};

use crate::answer::Answer;

/// Starts a project.
#[derive(clap::Args)]
#[command(after_help = "Example:\n  oddleg new engine")]
pub struct New {
    /// The folder to make, or an existing one without a project in it
    dir: PathBuf,
}

/// What a new project holds: each file by its place in the folder, and its text.
const FILES: [(&str, &str); 2] = [
    ("bench.toml", include_str!("../../templates/new/bench.toml")),
    ("parts/latch-arm.toml", include_str!("../../templates/new/parts/latch-arm.toml")),
];

impl New {
    /// Writes the files. Nothing that exists is written over.
    pub fn run(&self) -> Outcome<Answer> {
        let files = FILES.map(|(place, text)| (self.dir.join(place), text));
        let in_the_way: Vec<Problem> = files
            .iter()
            .filter(|(file, _)| file.symlink_metadata().is_ok())
            .map(|(f, _)| exists(f))
            .collect();
        if !in_the_way.is_empty() {
            return Err(in_the_way);
        }
        for (file, text) in &files {
            write_new(file, text).map_err(|fault| vec![fault])?;
        }
        let dir = self.dir.display();
        Ok(Answer::new(format!("a new project in {dir}"))
            .lines("written", files.iter().map(|(file, _)| file.display().to_string()).collect())
            .lines(
                "next",
                vec![
                    "put what you own into bench.toml".to_owned(),
                    "type your drawing beside the example in parts, as it reads".to_owned(),
                    format!("oddleg check {dir}"),
                ],
            ))
    }
}

/// Writes a file that must not exist yet, and the folders that lead to it.
fn write_new(file: &Path, text: &str) -> Result<(), Problem> {
    if let Some(folder) = file.parent() {
        fs::create_dir_all(folder).map_err(|fault| not_written(file, &fault))?;
    }
    let made = OpenOptions::new().write(true).create_new(true).open(file);
    let mut made = made.map_err(|fault| match fault.kind() {
        io::ErrorKind::AlreadyExists => exists(file),
        _ => not_written(file, &fault),
    })?;
    made.write_all(text.as_bytes()).map_err(|fault| not_written(file, &fault))
}

fn exists(file: &Path) -> Problem {
    Problem::new(format!("`{}` is there already", file.display()))
        .at(file.display().to_string())
        .why("a new project writes over nothing")
        .mend("name another folder, or move that file away first")
}

fn not_written(file: &Path, fault: &io::Error) -> Problem {
    Problem::new(format!("cannot write `{}`", file.display()))
        .at(file.display().to_string())
        .why(fault.to_string())
        .mend("name a folder that you may write in")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::commands::answer_to;

    #[test]
    fn a_new_project_passes_its_own_check_with_nothing_supposed_of_the_bench() {
        let folder = tempfile::tempdir().unwrap();
        let dir = folder.path().join("engine");
        let dir = dir.to_str().unwrap();
        answer_to(&["new", dir]).unwrap();
        let project = crate::project::open(Path::new(dir)).unwrap();
        assert_eq!((project.parts.len(), project.bench.assumed), (1, Vec::new()));
        answer_to(&["check", dir]).unwrap();
    }

    #[test]
    fn nothing_is_written_over_and_nothing_is_half_written() {
        let folder = tempfile::tempdir().unwrap();
        let bench = folder.path().join("bench.toml");
        fs::write(&bench, "name = \"mine\"\n").unwrap();
        let faults = answer_to(&["new", folder.path().to_str().unwrap()]).unwrap_err();
        assert!(faults[0].what().contains("is there already"), "{}", faults[0]);
        assert_eq!(fs::read_to_string(&bench).unwrap(), "name = \"mine\"\n");
        assert!(!folder.path().join("parts").exists());
    }
}
