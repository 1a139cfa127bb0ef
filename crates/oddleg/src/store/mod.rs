//! Keeping a project safely: every file is at any moment whole, old or new, and
//! what it said before can be had back.
//!
//! A [`Store`] is a project folder that may not exist yet; it is made with the
//! first save. Nothing outside the folder is ever written: a name is a plain
//! name, and a link that leads out is refused. Saving goes through one lock, also
//! between two programs, so that no save is lost between reading and writing.
//! Begin with [`Store::save`].

mod earlier;
mod images;
pub mod write;

use std::fs;
use std::path::{Path, PathBuf};

use web::{Earlier, MOST_TEXT_BYTES, Paper, Saving, Text};
use workshop::edit::{Merged, merge};
use workshop::problem::Problem;

use crate::project::{BENCH_FILE, MECHANISM_FILE, PARTS_FOLDER, read_text};

/// A project folder.
#[derive(Clone, Debug)]
pub struct Store {
    folder: PathBuf,
}

impl Store {
    /// The project in a folder, which need not exist yet.
    pub fn of(folder: impl Into<PathBuf>) -> Self {
        Self { folder: folder.into() }
    }

    /// The text of a file as it stands; nothing where there is none.
    pub fn text(&self, paper: &Paper) -> Result<Option<Text>, Problem> {
        let file = self.file(paper)?;
        if file.symlink_metadata().is_err() {
            return Ok(None);
        }
        self.inside(&file)?;
        read_text(&file).map(|text| Some(stamped(text)))
    }

    /// The stamp of a file as it stands.
    pub fn stamp(&self, paper: &Paper) -> Option<String> {
        self.text(paper).ok().flatten().map(|text| text.stamp)
    }

    /// Saves a text made from `base`; brings it together with what the file has
    /// become meanwhile, or keeps both.
    pub fn save(&self, paper: &Paper, base: &str, text: &str) -> Result<Saving, Problem> {
        bounded(text)?;
        let _lock = self.lock()?;
        let Some(there) = self.text(paper)? else {
            self.write(paper, text)?;
            return Ok(Saving::Saved(stamped(text.to_owned())));
        };
        if there.text == base || there.text == text {
            self.replace(paper, &there.text, text)?;
            return Ok(Saving::Saved(stamped(text.to_owned())));
        }
        match merge(base, text, &there.text) {
            Merged::Both(both) if both.len() <= MOST_TEXT_BYTES => {
                self.replace(paper, &there.text, &both)?;
                let both = stamped(both);
                Ok(if both.text == text { Saving::Saved(both) } else { Saving::Merged(both) })
            }
            Merged::Both(both) => self.conflict(paper, text, there, both),
            Merged::Conflict { marked } => self.conflict(paper, text, there, marked),
        }
    }

    fn conflict(&self, paper: &Paper, mine: &str, theirs: Text, marked: String) -> Result<Saving, Problem> {
        self.keep(paper, mine)?;
        Ok(Saving::Conflict { theirs, marked })
    }

    /// Makes a file that is not there yet.
    pub fn create(&self, paper: &Paper, text: &str) -> Result<Text, Problem> {
        bounded(text)?;
        let _lock = self.lock()?;
        let file = self.file(paper)?;
        if file.symlink_metadata().is_ok() {
            return Err(there_already(&file));
        }
        self.write(paper, text)?;
        Ok(stamped(text.to_owned()))
    }

    /// Takes a part away; it stays among the earlier states.
    pub fn remove(&self, part: &str) -> Result<(), Problem> {
        let _lock = self.lock()?;
        let paper = Paper::Part(part.to_owned());
        let there = self.text(&paper)?.ok_or_else(|| no_part(part))?;
        self.keep(&paper, &there.text)?;
        let file = self.file(&paper)?;
        fs::remove_file(&file).map_err(|fault| write::not_written(&file, &fault))?;
        write::settle(file.parent().unwrap_or(&self.folder));
        Ok(())
    }

    /// Gives the file of a part another name, and its earlier states with it.
    pub fn rename(&self, part: &str, to: &str) -> Result<(), Problem> {
        let _lock = self.lock()?;
        let (from, to) = (Paper::Part(part.to_owned()), Paper::Part(to.to_owned()));
        let (old, new) = (self.file(&from)?, self.file(&to)?);
        let there = self.text(&from)?.ok_or_else(|| no_part(part))?;
        if new.symlink_metadata().is_ok() {
            return Err(there_already(&new));
        }
        // First the new, then away with the old: a part is never in neither.
        self.write(&to, &there.text)?;
        let old_states = self.earlier_folder(&from)?;
        let new_states = self.earlier_folder(&to)?;
        if old_states.is_dir() && !new_states.exists() {
            fs::rename(&old_states, &new_states).map_err(|fault| write::not_written(&new_states, &fault))?;
        }
        fs::remove_file(&old).map_err(|fault| write::not_written(&old, &fault))?;
        write::settle(old.parent().unwrap_or(&self.folder));
        Ok(())
    }

    /// Makes an earlier state the file again.
    pub fn restore(&self, paper: &Paper, number: u32) -> Result<Text, Problem> {
        let _lock = self.lock()?;
        let text = self.earlier_text(paper, number).ok_or_else(|| {
            Problem::new(format!("there is no earlier state {number}"))
                .mend("look at the list of earlier states again")
        })?;
        match self.text(paper)? {
            Some(there) => self.replace(paper, &there.text, &text)?,
            None => self.write(paper, &text)?,
        }
        Ok(stamped(text))
    }

    /// The earlier states of a file, the latest first.
    pub fn earlier(&self, paper: &Paper) -> Vec<Earlier> {
        self.earlier_folder(paper).map(|folder| earlier::listed(&folder)).unwrap_or_default()
    }

    /// The text of an earlier state.
    pub fn earlier_text(&self, paper: &Paper, number: u32) -> Option<String> {
        let file = earlier::state(&self.earlier_folder(paper).ok()?, number);
        self.inside(&file).ok()?;
        read_text(&file).ok()
    }

    /// Parts that were taken away and can be had back.
    pub fn removed(&self) -> Vec<String> {
        let names = earlier::parts(&self.folder);
        let gone = |name: &String| {
            let paper = Paper::Part(name.clone());
            self.file(&paper).is_ok_and(|file| !file.exists()) && !self.earlier(&paper).is_empty()
        };
        names.into_iter().filter(gone).collect()
    }

    /// Writes over a text that is kept first.
    fn replace(&self, paper: &Paper, old: &str, text: &str) -> Result<(), Problem> {
        if old == text {
            return Ok(());
        }
        self.keep(paper, old)?;
        self.write(paper, text)
    }

    fn write(&self, paper: &Paper, text: &str) -> Result<(), Problem> {
        let file = self.file(paper)?;
        let folder = file.parent().unwrap_or(&self.folder);
        fs::create_dir_all(folder).map_err(|fault| write::not_written(folder, &fault))?;
        self.inside(folder)?;
        // A link inside the project leads to the file that is meant.
        let file = if file.is_symlink() { self.inside(&file)? } else { file };
        write::whole(&file, text.as_bytes())
    }

    fn keep(&self, paper: &Paper, text: &str) -> Result<(), Problem> {
        let folder = self.earlier_folder(paper)?;
        fs::create_dir_all(&folder).map_err(|fault| write::not_written(&folder, &fault))?;
        self.inside(&folder)?;
        earlier::keep(&folder, text)
    }

    /// One writer at a time, also between programs; given back when dropped, and
    /// by the system when the program is killed.
    fn lock(&self) -> Result<fs::File, Problem> {
        let folder = self.folder.join(earlier::FOLDER);
        fs::create_dir_all(&folder).map_err(|fault| write::not_written(&folder, &fault))?;
        self.inside(&folder)?;
        let name = folder.join(".lock");
        let lock = fs::OpenOptions::new().create(true).truncate(false).write(true).open(&name);
        let lock = lock.and_then(|lock| lock.lock().map(|()| lock));
        lock.map_err(|fault| write::not_written(&name, &fault))
    }

    fn earlier_folder(&self, paper: &Paper) -> Result<PathBuf, Problem> {
        let folder = self.folder.join(earlier::FOLDER);
        Ok(match paper {
            Paper::Bench => folder.join("bench"),
            Paper::Mechanism => folder.join("mechanism"),
            Paper::Part(part) => folder.join(PARTS_FOLDER).join(plain_name(part)?),
        })
    }

    fn file(&self, paper: &Paper) -> Result<PathBuf, Problem> {
        Ok(match paper {
            Paper::Bench => self.folder.join(BENCH_FILE),
            Paper::Mechanism => self.folder.join(MECHANISM_FILE),
            Paper::Part(part) => self.folder.join(PARTS_FOLDER).join(format!("{}.toml", plain_name(part)?)),
        })
    }

    /// Where a path really leads, if that is inside the folder.
    fn inside(&self, path: &Path) -> Result<PathBuf, Problem> {
        let real = |path: &Path| path.canonicalize().map_err(|fault| write::not_written(path, &fault));
        let (root, real) = (real(&self.folder)?, real(path)?);
        if real.starts_with(&root) {
            Ok(real)
        } else {
            Err(Problem::new(format!("`{}` leads out of the project", path.display()))
                .why("it is a link to somewhere else, where nothing may be changed")
                .mend("put the file itself into the folder"))
        }
    }
}

/// A name that is only a name: no way up, down or to anywhere hidden.
pub fn plain_name(name: &str) -> Result<&str, Problem> {
    let plain = |c: char| c.is_alphanumeric() || matches!(c, '-' | '_' | ' ' | '.');
    let ends = |c: Option<char>| c.is_some_and(char::is_alphanumeric);
    let reserved = ["con", "prn", "aux", "nul"].iter().any(|word| name.eq_ignore_ascii_case(word));
    if name.len() <= 80
        && name.chars().all(plain)
        && ends(name.chars().next())
        && name.chars().next_back().is_some_and(|c| c.is_alphanumeric() || c == '-' || c == '_')
        && !name.contains("..")
        && !reserved
    {
        Ok(name)
    } else {
        let shown: String = name.chars().filter(|c| !c.is_control()).take(40).collect();
        Err(Problem::new(format!("`{shown}` cannot be the name of a file"))
            .why(
                "it must begin with a letter or a figure and hold only letters, figures, spaces, `-` and `_`",
            )
            .mend("choose a name such as `valve-lever`"))
    }
}

/// A text with its stamp: the same text always has the same.
fn stamped(text: String) -> Text {
    // FNV-1a: it need only tell one state of a file from the next.
    let hash = text.bytes().fold(0xcbf2_9ce4_8422_2325_u64, |hash, byte| {
        (hash ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3)
    });
    Text { stamp: format!("{hash:016x}-{}", text.len()), text }
}

fn bounded(text: &str) -> Result<(), Problem> {
    if text.len() <= MOST_TEXT_BYTES {
        return Ok(());
    }
    Err(Problem::new("the text is longer than 1 MB")
        .why("a part or a bench is a few pages of text")
        .mend("take something out, or make two parts of it"))
}

fn there_already(file: &Path) -> Problem {
    let name = file.file_name().unwrap_or_default().to_string_lossy();
    Problem::new(format!("`{name}` is there already"))
        .why("nothing is written over")
        .mend("choose another name")
}

fn no_part(part: &str) -> Problem {
    Problem::new(format!("the project has no part in a file called `{part}.toml`"))
        .mend("open the list of parts again")
}
