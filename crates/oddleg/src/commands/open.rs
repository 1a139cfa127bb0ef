//! `open`: a project in the browser, served on this machine alone.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use workshop::plan::{Plan, plan};
use workshop::problem::{Outcome, Problem};

use crate::answer::Answer;
use crate::print::{self, Form};
use crate::project;

/// Opens the web app.
#[derive(clap::Args)]
#[command(after_help = "Examples:\n  oddleg open engine\n  oddleg open engine --port 8080")]
pub struct Open {
    /// The folder of a project
    #[arg(default_value = ".")]
    folder: PathBuf,
    /// The port to listen on; any free one where it is not given
    #[arg(long, default_value_t = 0)]
    port: u16,
}

impl Open {
    /// Says where, then serves the project until interrupted.
    pub fn run(&self, form: Form) -> Outcome<Answer> {
        // What is wrong with the folder is said here, before anything is served.
        project::parts_in(&self.folder)?;
        let shop = Arc::new(Folder(self.folder.clone()));
        web::serve(shop, self.port, |address| {
            let answer = Answer::new(format!("serving {} on this machine alone", self.folder.display()))
                .lines("open in a browser; Ctrl-C stops it", vec![format!("http://{address}/")]);
            // Nobody reads the address when standard output is closed; serving goes on.
            print::answer(&answer, form);
        })
        .map_err(|fault| {
            vec![
                Problem::new(format!("cannot listen on port {}", self.port))
                    .why(fault.to_string())
                    .mend("name another with `--port`, or leave it out for any free one"),
            ]
        })?;
        Ok(Answer::new("stopped"))
    }
}

/// A project folder, read afresh for every page: a file saved is a page changed.
struct Folder(PathBuf);

impl web::Shop for Folder {
    fn name(&self) -> String {
        let whole = self.0.canonicalize().unwrap_or_else(|_| self.0.clone());
        whole.file_name().map_or_else(|| "project".into(), |name| name.to_string_lossy().into_owned())
    }

    fn parts(&self) -> Vec<String> {
        let files = project::parts_in(&self.0).unwrap_or_default();
        files.iter().filter_map(|file| stem(file)).collect()
    }

    fn plan(&self, part: &str) -> Option<Result<Plan, Vec<Problem>>> {
        // Only a name that the folder lists leads to a file: no address leads out of it.
        let files = project::parts_in(&self.0).ok()?;
        let file = files.into_iter().find(|file| stem(file).as_deref() == Some(part))?;
        Some(
            project::bench_in(&self.0)
                .and_then(|bench| project::read_part(&file).and_then(|drawing| plan(&drawing, &bench))),
        )
    }
}

/// The name of a part file without its folder and ending.
fn stem(file: &Path) -> Option<String> {
    Some(file.file_stem()?.to_str()?.to_owned())
}
