//! `sheets`: the printed sheets of every part, written to a folder.

use std::fs;
use std::io;
use std::path::{Path, PathBuf};

use workshop::plan::Plan;
use workshop::problem::{Outcome, Problem};

use crate::answer::Answer;
use crate::chosen::plans;

/// Writes the sheets.
#[derive(clap::Args)]
#[command(
    after_help = "Examples:\n  oddleg sheets engine -o sheets\n  oddleg sheets engine/parts/latch-arm.toml -o sheets"
)]
pub struct Sheets {
    /// The folder of a project, or a part file
    path: PathBuf,
    /// The folder to write to; it is made where it is not there
    #[arg(short, long, value_name = "DIR")]
    output: PathBuf,
}

impl Sheets {
    /// Writes an HTML, a PDF and one SVG a page for every part.
    pub fn run(&self) -> Outcome<Answer> {
        let planned = plans(&self.path)?;
        fs::create_dir_all(&self.output).map_err(|fault| vec![unwritable(&self.output, &fault)])?;
        let mut answer = Answer::new(format!("sheets written to {}", self.output.display()))
            .lines("other parts of the project", planned.besides);
        for (file, plan) in &planned.plans {
            let written = self.write(&stem(file), plan)?;
            answer = answer.lines(plan.part.clone(), written);
        }
        if let Some(list) = &planned.make_list {
            let project = project_name(&self.path);
            let mut files = vec![
                ("make-list.html".to_owned(), sheets::make_list_html(list, &project).into_bytes()),
                ("make-list.pdf".to_owned(), sheets::make_list_pdf(list, &project)?),
            ];
            let pages = sheets::make_list_svgs(list, &project).into_iter();
            files.extend(pages.map(|(page, svg)| (format!("make-list-{page}.svg"), svg.into_bytes())));
            answer = answer.lines("make list", self.put_all(files)?);
        }
        Ok(answer.problems(planned.problems))
    }

    /// Writes the sheets of one part; gives back the names of the files.
    fn write(&self, stem: &str, plan: &Plan) -> Outcome<Vec<String>> {
        let pages = sheets::page_inks(plan);
        let mut files = vec![
            (format!("{stem}.html"), sheets::print_html(plan)?.into_bytes()),
            (format!("{stem}.pdf"), sheets::pages_pdf(plan, &pages)?),
        ];
        let svgs = sheets::page_svgs(&pages).into_iter();
        files.extend(svgs.map(|(page, svg)| (format!("{stem}-{page}.svg"), svg.into_bytes())));
        self.put_all(files)
    }

    /// Writes files by their names; gives back where they stand.
    fn put_all(&self, files: Vec<(String, Vec<u8>)>) -> Outcome<Vec<String>> {
        for (name, bytes) in &files {
            let file = self.output.join(name);
            put(&file, bytes).map_err(|fault| vec![unwritable(&file, &fault)])?;
        }
        Ok(files.into_iter().map(|(name, _)| self.output.join(name).display().to_string()).collect())
    }
}

/// Writes a file whole or not at all: beside its place first, then into it.
fn put(file: &Path, bytes: &[u8]) -> io::Result<()> {
    let mut beside = file.as_os_str().to_owned();
    beside.push(".new");
    let beside = PathBuf::from(beside);
    fs::write(&beside, bytes)?;
    fs::rename(&beside, file).inspect_err(|_| {
        // The half-way file is of no use to anybody; the first fault is the one to report.
        let _ = fs::remove_file(&beside);
    })
}

/// What the project is called: the name of its folder.
fn project_name(path: &Path) -> String {
    let whole = path.canonicalize().unwrap_or_else(|_| path.to_owned());
    whole.file_name().map_or_else(|| "project".into(), |name| name.to_string_lossy().into_owned())
}

/// The name of a part file without its folder and ending.
pub(super) fn stem(file: &Path) -> String {
    file.file_stem().map_or_else(|| "part".into(), |stem| stem.to_string_lossy().into_owned())
}

fn unwritable(path: &Path, fault: &io::Error) -> Problem {
    let named = path.display().to_string();
    Problem::new(format!("cannot write `{named}`"))
        .at(named)
        .why(fault.to_string())
        .mend("name a folder that you may write to, with `-o`")
}
