//! `sheets`: the printed sheets of every part, written to a folder.

use std::fs;
use std::io;
use std::path::{Path, PathBuf};

use workshop::abreast::abreast;
use workshop::plan::{Plan, cutting_list};
use workshop::problem::{Outcome, Problem};
use workshop::sheet::AidSheet;

use crate::answer::Answer;
use crate::chosen::{Planned, plans};

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
    /// Writes an HTML, a PDF, one SVG a page and the numbers as CSV for every part, the part files
    /// of its aids, and the lists of the project.
    pub fn run(&self) -> Outcome<Answer> {
        let planned = plans(&self.path)?;
        fs::create_dir_all(&self.output).map_err(|fault| vec![unwritable(&self.output, &fault)])?;
        let mut answer = Answer::new(format!("sheets written to {}", self.output.display()))
            .lines("other parts of the project", planned.besides.clone());
        let project = project_name(&self.path);
        // So many at a time: the sheets of a part are some megabytes before they are written.
        for some in planned.plans.chunks(16) {
            let laid_out = abreast(some, |(file, plan)| lay_out(&stem(file), plan));
            for ((_, plan), files) in some.iter().zip(laid_out) {
                answer = answer.lines(plan.part.clone(), self.put_all(files?)?);
            }
        }
        if self.path.is_dir() {
            answer = answer.lines("cutting list", self.cutting(&planned, &project)?);
        }
        if let Some(list) = &planned.make_list {
            let mut files = vec![
                ("make-list.html".to_owned(), sheets::make_list_html(list, &project).into_bytes()),
                ("make-list.csv".to_owned(), sheets::csv::make_list(list).into_bytes()),
                ("make-list.pdf".to_owned(), sheets::make_list_pdf(list, &project)?),
            ];
            let pages = sheets::make_list_svgs(list, &project).into_iter();
            files.extend(pages.map(|(page, svg)| (format!("make-list-{page}.svg"), svg.into_bytes())));
            files.extend(part_files("make-list", &list.aids));
            answer = answer.lines("make list", self.put_all(files)?);
        }
        Ok(answer.problems(planned.problems))
    }

    /// Writes the cutting list of a project.
    fn cutting(&self, planned: &Planned, project: &str) -> Outcome<Vec<String>> {
        let designed = planned.make_list.iter().flat_map(|list| &list.aids);
        let list = cutting_list(planned.plans.iter().map(|(_, plan)| plan), designed, &planned.bench);
        let mut files = vec![
            ("cutting-list.html".to_owned(), sheets::cutting_list_html(&list, project).into_bytes()),
            ("cutting-list.pdf".to_owned(), sheets::cutting_list_pdf(&list, project)?),
            ("cutting-list.csv".to_owned(), sheets::csv::cutting_list(&list).into_bytes()),
        ];
        let pages = sheets::cutting_list_svgs(&list, project).into_iter();
        files.extend(pages.map(|(page, svg)| (format!("cutting-list-{page}.svg"), svg.into_bytes())));
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

/// The sheets of one part as files.
fn lay_out(stem: &str, plan: &Plan) -> Outcome<Vec<(String, Vec<u8>)>> {
    let pages = sheets::page_inks(plan);
    let mut files = vec![
        (format!("{stem}.html"), sheets::print_html(plan)?.into_bytes()),
        (format!("{stem}.pdf"), sheets::pages_pdf(plan, &pages)?),
        (format!("{stem}.csv"), sheets::csv::plan(plan).into_bytes()),
        (format!("{stem}-inspection.csv"), sheets::csv::inspection(plan).into_bytes()),
    ];
    let svgs = sheets::page_svgs(&pages).into_iter();
    files.extend(svgs.map(|(page, svg)| (format!("{stem}-{page}.svg"), svg.into_bytes())));
    files.extend(part_files(stem, &plan.aids));
    Ok(files)
}

/// The part file of each aid that is made as parts are, named after whose sheets it is among.
fn part_files(stem: &str, aids: &[AidSheet]) -> Vec<(String, Vec<u8>)> {
    let mut files: Vec<(String, Vec<u8>)> = Vec::new();
    for aid in aids {
        let Some(file) = &aid.own.file else { continue };
        let plain = format!("{stem}-{}", in_a_name(&aid.name));
        let taken = |name: &str| files.iter().any(|(known, _)| known == name);
        // Two aids may go by one name.
        let name = std::iter::once(format!("{plain}.toml"))
            .chain((2..).map(|n| format!("{plain}-{n}.toml")))
            .find(|name| !taken(name))
            .expect("there is no end of numbers");
        files.push((name, file.clone().into_bytes()));
    }
    files
}

/// Words as they stand in the name of a file: small letters and figures, a stroke between words.
fn in_a_name(words: &str) -> String {
    let plain: String =
        words.to_lowercase().chars().map(|c| if c.is_alphanumeric() { c } else { ' ' }).collect();
    plain.split_whitespace().collect::<Vec<_>>().join("-")
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
