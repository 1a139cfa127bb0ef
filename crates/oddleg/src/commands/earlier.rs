//! `earlier`: what a part or bench file said before, and having it back.

use std::path::{Path, PathBuf};

use web::Paper;
use workshop::problem::{Outcome, Problem};

use crate::answer::Answer;
use crate::project::{BENCH_FILE, PARTS_FOLDER};
use crate::store::Store;

/// Lists or restores the earlier states of a file.
#[derive(clap::Args)]
#[command(after_help = "Examples:\n  oddleg earlier engine/parts/latch-arm.toml\n  \
                        oddleg earlier engine/parts/latch-arm.toml --restore 3")]
pub struct Earlier {
    /// A part or bench file of a project; it may have been taken away
    file: PathBuf,
    /// The number of the state to make the file again; what stands there is kept
    #[arg(long, value_name = "NUMBER")]
    restore: Option<u32>,
}

impl Earlier {
    /// Lists the states, or restores one.
    pub fn run(&self) -> Outcome<Answer> {
        let (store, paper) = placed(&self.file).map_err(|fault| vec![fault])?;
        let name = self.file.display();
        match self.restore {
            Some(number) => {
                store.restore(&paper, number).map_err(|fault| vec![fault.at(name.to_string())])?;
                Ok(Answer::new(format!("{name} is as it was in state {number}")))
            }
            None => {
                let states = store.earlier(&paper);
                let row =
                    |state: web::Earlier| vec![state.number.to_string(), state.kept, state.lines.to_string()];
                let said = if states.is_empty() { "has no earlier states" } else { "has earlier states" };
                Ok(Answer::new(format!("{name} {said}")).table(
                    "kept when a save wrote over them",
                    &["state", "kept", "lines"],
                    states.into_iter().map(row).collect(),
                ))
            }
        }
    }
}

/// The project and the file in it that a path means.
fn placed(file: &Path) -> Result<(Store, Paper), Problem> {
    // The folder of a bare file name is the empty path: it is the one we stand in.
    let whole = std::path::absolute(file).unwrap_or_else(|_| file.to_owned());
    let folder = whole.parent().unwrap_or(Path::new("/"));
    if whole.file_name().is_some_and(|name| name == BENCH_FILE) {
        return Ok((Store::of(folder), Paper::Bench));
    }
    let stem = whole.file_stem().and_then(|stem| stem.to_str());
    let is_part = whole.extension().is_some_and(|ending| ending == "toml");
    match (stem, folder.file_name(), folder.parent()) {
        (Some(stem), Some(parts), Some(project)) if is_part && parts == PARTS_FOLDER => {
            Ok((Store::of(project), Paper::Part(stem.to_owned())))
        }
        _ => Err(Problem::new(format!("`{}` is no file of a project", file.display()))
            .why("earlier states are kept of `bench.toml` and of the files in `parts`")
            .mend("name such a file, such as `engine/parts/latch-arm.toml`")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::commands::answer_to;

    #[test]
    fn what_a_save_wrote_over_is_listed_and_had_back() {
        let folder = tempfile::tempdir().unwrap();
        let file = folder.path().join("parts").join("a.toml");
        let (store, paper) = placed(&file).unwrap();
        store.save(&paper, "", "a = 1\n").unwrap();
        store.save(&paper, "a = 1\n", "a = 2\n").unwrap();
        let name = file.to_str().unwrap();
        let listed = answer_to(&["earlier", name]).unwrap().to_string();
        assert!(listed.contains("just now"), "{listed}");
        answer_to(&["earlier", name, "--restore", "1"]).unwrap();
        assert_eq!(std::fs::read_to_string(&file).unwrap(), "a = 1\n");
        answer_to(&["earlier", name, "--restore", "2"]).unwrap();
        assert_eq!(std::fs::read_to_string(&file).unwrap(), "a = 2\n");
        for wrong in [&["earlier", name, "--restore", "99"][..], &["earlier", "elsewhere.toml"]] {
            assert!(answer_to(wrong).unwrap_err()[0].remedy().is_some(), "{wrong:?}");
        }
    }
}
