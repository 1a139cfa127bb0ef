//! `open`: a project in the browser, served on this machine alone.

use std::path::PathBuf;
use std::sync::Arc;

use workshop::problem::{Outcome, Problem};

use crate::answer::Answer;
use crate::folder::Folder;
use crate::print::{self, Form};

/// Opens the web app.
#[derive(clap::Args)]
#[command(after_help = "Examples:\n  oddleg open engine\n  oddleg open engine --port 8080")]
pub struct Open {
    /// The folder of a project, or an empty or new one to start a project in
    #[arg(default_value = ".")]
    folder: PathBuf,
    /// The port to listen on; any free one where it is not given
    #[arg(long, default_value_t = 0)]
    port: u16,
}

impl Open {
    /// Says where, then serves the project until interrupted.
    pub fn run(&self, form: Form) -> Outcome<Answer> {
        // What is wrong with the folder is said here, before anything is served. One
        // that is empty or not there yet becomes a project with the first save.
        if self.folder.exists() && !self.folder.is_dir() {
            return Err(vec![
                Problem::new(format!("`{}` is not a folder", self.folder.display()))
                    .at(self.folder.display().to_string())
                    .why("a project is a folder with a bench and parts in it")
                    .mend("name its folder, or one that is not there yet to start a project in it"),
            ]);
        }
        let shop = Arc::new(Folder::of(&self.folder));
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
