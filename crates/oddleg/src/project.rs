//! The project folder on disk: `bench.toml`, one file for each part in `parts/`, and
//! `assembly.toml`, which says how the parts go together.
//!
//! A path goes in, a [`Project`] comes out. A path to one part file does as well:
//! its bench stands beside it or in the folder above. Files are looked at before
//! they are opened, so that one which cannot be a part is never read whole.
//! Begin with [`open`].

use std::fs::{self, File};
use std::io::{self, Read};
use std::path::{Path, PathBuf};

use workshop::assembly::{Assembly, read_assembly};
use workshop::bench::{Bench, empty_bench, read_bench};
use workshop::drawing::{Drawing, read_drawing};
use workshop::problem::{Outcome, Problem};

/// The name of a bench file.
pub const BENCH_FILE: &str = "bench.toml";
/// The name of the file that says how the parts go together.
pub const ASSEMBLY_FILE: &str = "assembly.toml";
/// The name of the file of mechanisms.
pub const MECHANISM_FILE: &str = "mechanism.toml";
/// The name of the folder of parts.
pub const PARTS_FOLDER: &str = "parts";
/// The longest file that is read: as long as any file the reader takes.
const MOST_BYTES: u64 = 1_000_000;

/// A bench and the parts to be made on it.
#[derive(Debug)]
pub struct Project {
    /// What is owned.
    pub bench: Bench,
    /// The file that says so; none where there is no bench file.
    pub bench_file: Option<PathBuf>,
    /// The parts, by the names of their files.
    pub parts: Vec<Drawing>,
}

/// The files behind a path.
pub struct Files {
    /// What is owned; none where there is no bench file.
    pub bench: Option<PathBuf>,
    /// The parts that are asked for.
    pub parts: Vec<PathBuf>,
    /// Of one part file, the other parts of its project.
    pub beside: Vec<PathBuf>,
    /// How the parts go together; none where there is no such file.
    pub assembly: Option<PathBuf>,
    /// How they move; none where there is no such file.
    pub mechanism: Option<PathBuf>,
}

/// The files of the project at a path: its folder, or one part file of it.
///
/// # Errors
///
/// That there is no such path, or no part in the folder.
pub fn files(path: &Path) -> Outcome<Files> {
    let metadata = fs::metadata(path).map_err(|fault| vec![unreachable(path, &fault)])?;
    if metadata.is_dir() {
        return Ok(Files {
            bench: existing(path.join(BENCH_FILE)),
            parts: parts_in(path)?,
            beside: Vec::new(),
            assembly: existing(path.join(ASSEMBLY_FILE)),
            mechanism: existing(path.join(MECHANISM_FILE)),
        });
    }
    if is_bench(path) {
        return Ok(Files {
            bench: Some(path.to_owned()),
            parts: Vec::new(),
            beside: Vec::new(),
            assembly: None,
            mechanism: None,
        });
    }
    let beneath = |name: &str| folder_of(path).and_then(|folder| existing(folder.join(name)));
    let [assembly, mechanism] = [ASSEMBLY_FILE, MECHANISM_FILE].map(beneath);
    Ok(Files {
        bench: bench_for(path),
        parts: vec![path.to_owned()],
        beside: beside(path),
        assembly,
        mechanism,
    })
}

/// The other parts of the project that a part file belongs to: those in its folder,
/// where that is a folder of parts.
fn beside(part: &Path) -> Vec<PathBuf> {
    let whole = part.canonicalize().unwrap_or_else(|_| part.to_owned());
    let all = folder_of(part).and_then(|project| parts_in(&project).ok()).unwrap_or_default();
    all.into_iter().filter(|file| *file != whole).collect()
}

/// The folder of the project that a part file belongs to, where it stands in a folder of parts.
fn folder_of(part: &Path) -> Option<PathBuf> {
    let whole = part.canonicalize().unwrap_or_else(|_| part.to_owned());
    whole.parent().filter(|folder| folder.ends_with(PARTS_FOLDER))?.parent().map(Path::to_owned)
}

/// Reads what is said of how the parts go together, where anything is.
///
/// # Errors
///
/// Every fault of the file.
pub fn assembly_of(files: &Files) -> Outcome<Option<Assembly>> {
    let Some(file) = &files.assembly else { return Ok(None) };
    let text = read_text(file).map_err(|fault| vec![fault])?;
    // By its own name: an answer must not hang on where the project lies.
    read_assembly(ASSEMBLY_FILE, &text).map(Some)
}

/// Reads the bench among these files; one that owns nothing where there is none.
///
/// # Errors
///
/// Every fault of the bench file.
pub fn bench_of(files: &Files) -> Outcome<Bench> {
    files.bench.as_ref().map_or_else(|| Ok(empty_bench()), |file| read_bench_file(file))
}

/// Reads the project at a path: its folder, or one part file of it.
///
/// # Errors
///
/// Every fault of the bench and of all parts.
pub fn open(path: &Path) -> Outcome<Project> {
    let Files { bench: bench_file, parts: part_files, .. } = files(path)?;
    let mut faults = Vec::new();
    let mut kept = |fault: Vec<Problem>| faults.extend(fault);
    let bench = match &bench_file {
        Some(file) => read_bench_file(file).map_err(&mut kept).ok(),
        None => Some(empty_bench()),
    };
    let mut parts = Vec::new();
    for file in &part_files {
        match read_part(file) {
            Ok(part) => parts.push(part),
            Err(more) => kept(more),
        }
    }
    match bench {
        Some(bench) if faults.is_empty() => Ok(Project { bench, bench_file, parts }),
        _ => Err(faults),
    }
}

/// Reads the bench at a path: its own file, or the folder of a project.
///
/// # Errors
///
/// Every fault of the bench, or that there is none.
pub fn read_bench_at(path: &Path) -> Outcome<Bench> {
    if path.is_dir() { read_bench_file(&path.join(BENCH_FILE)) } else { read_bench_file(path) }
}

/// Reads one text file.
///
/// # Errors
///
/// One [`Problem`] when there is no such file, it is not a file of text, or it
/// is far too long to be a part or a bench.
pub fn read_text(path: &Path) -> Result<String, Problem> {
    let named = path.display().to_string();
    let metadata = fs::metadata(path).map_err(|fault| unreachable(path, &fault))?;
    if metadata.is_dir() {
        return Err(Problem::new(format!("`{named}` is a folder"))
            .at(named)
            .why("a file is wanted here")
            .mend("name the TOML file in it"));
    }
    if !metadata.is_file() {
        return Err(Problem::new(format!("`{named}` is not a file"))
            .at(named)
            .why("it is a device or a pipe, and may never end")
            .mend("name a TOML file"));
    }
    if metadata.len() > MOST_BYTES {
        return Err(too_long(&named, metadata.len()));
    }
    let mut bytes = Vec::new();
    // One byte more than is taken shows a file that grew since it was looked at.
    File::open(path)
        .and_then(|file| file.take(MOST_BYTES + 1).read_to_end(&mut bytes))
        .map_err(|fault| unreachable(path, &fault))?;
    if bytes.len() as u64 > MOST_BYTES {
        return Err(too_long(&named, bytes.len() as u64));
    }
    String::from_utf8(bytes).map_err(|fault| {
        let good = fault.utf8_error().valid_up_to();
        let line = fault.as_bytes()[..good].iter().filter(|&&byte| byte == b'\n').count() + 1;
        Problem::new(format!("`{named}` is not text"))
            .at(format!("line {line}"))
            .at(named)
            .why("it holds bytes that are no text in UTF-8")
            .mend("name the TOML file of the part, or save it again as UTF-8")
    })
}

fn read_bench_file(file: &Path) -> Outcome<Bench> {
    let text = read_text(file).map_err(|fault| vec![fault])?;
    read_bench(&file.display().to_string(), &text)
}

/// Reads one part file.
///
/// # Errors
///
/// Every fault of the file.
pub fn read_part(file: &Path) -> Outcome<Drawing> {
    let text = read_text(file).map_err(|fault| vec![fault])?;
    read_drawing(&file.display().to_string(), &text)
}

/// The part files of a project folder, by name.
///
/// # Errors
///
/// One [`Problem`] when the folder has none.
pub fn parts_in(folder: &Path) -> Outcome<Vec<PathBuf>> {
    let parts = folder.join(PARTS_FOLDER);
    let none = |why: String| {
        let fault = Problem::new(format!("`{}` has no parts", folder.display()))
            .at(folder.display().to_string())
            .why(why)
            .mend("name the folder of a project, or make one with `oddleg new DIR`");
        Err(vec![fault])
    };
    if !parts.is_dir() {
        return none(format!("there is no folder `{PARTS_FOLDER}` in it"));
    }
    let entries = fs::read_dir(&parts).map_err(|fault| vec![unreachable(&parts, &fault)])?;
    let mut files = entries
        .map(|entry| entry.map(|entry| entry.path()))
        .collect::<io::Result<Vec<PathBuf>>>()
        .map_err(|fault| vec![unreachable(&parts, &fault)])?;
    files.retain(|file| file.extension().is_some_and(|ending| ending == "toml"));
    files.sort();
    if files.is_empty() { none(format!("there is no TOML file in `{}`", parts.display())) } else { Ok(files) }
}

/// The bench that goes with a part file: beside it, or in the folder above.
fn bench_for(part: &Path) -> Option<PathBuf> {
    let beside = part.parent()?;
    let above = match beside.file_name() {
        // Faults name the file without going down and up again.
        Some(_) if !beside.is_symlink() => beside.parent().map_or_else(PathBuf::new, Path::to_owned),
        // The folder of a bare file name is the empty path, and has no parent to ask for.
        _ if beside.as_os_str().is_empty() => PathBuf::from(".."),
        _ => beside.join(".."),
    };
    existing(beside.join(BENCH_FILE)).or_else(|| existing(above.join(BENCH_FILE)))
}

/// A file that is there, whether it can be read or not: a link that leads nowhere is told of.
fn existing(file: PathBuf) -> Option<PathBuf> {
    fs::symlink_metadata(&file).is_ok().then_some(file)
}

fn is_bench(path: &Path) -> bool {
    path.file_name().is_some_and(|name| name == BENCH_FILE)
}

/// A file or folder that cannot be got at.
pub fn unreachable(path: &Path, fault: &io::Error) -> Problem {
    let named = path.display().to_string();
    match fault.kind() {
        io::ErrorKind::NotFound => Problem::new(format!("there is no `{named}`"))
            .at(named)
            .why("no file or folder has that name")
            .mend("check the path, or make a project with `oddleg new DIR`"),
        io::ErrorKind::PermissionDenied => Problem::new(format!("`{named}` may not be read"))
            .at(named)
            .why("the system does not let you")
            .mend("ask its owner, or copy it where you may read it"),
        _ => Problem::new(format!("cannot read `{named}`"))
            .at(named)
            .why(fault.to_string())
            .mend("check that the path leads to a file or a folder"),
    }
}

fn too_long(named: &str, bytes: u64) -> Problem {
    Problem::new(format!("`{named}` is {} MB long", bytes / 1_000_000))
        .at(named)
        .why("a part or a bench is a few pages of text; this is something else, and was not read")
        .mend("name the TOML file of the part")
}

#[cfg(test)]
mod tests {
    use super::*;

    const DISC: &str = "part = \"Disc\"\nunit = \"mm\"\nmaterial = \"brass\"\n[body]\nkind = \"disc\"\n\
                        diameter = \"40\"\nthickness = \"4\"\n[[feature]]\nname = \"bore\"\nkind = \"hole\"\n\
                        diameter = \"6\"\nplace = [\"datum\"]\n";

    fn written(files: &[(&str, &str)]) -> tempfile::TempDir {
        let folder = tempfile::tempdir().unwrap();
        for (name, text) in files {
            let file = folder.path().join(name);
            fs::create_dir_all(file.parent().unwrap()).unwrap();
            fs::write(file, text).unwrap();
        }
        folder
    }

    #[test]
    fn the_bench_of_a_part_stands_beside_it_or_above_and_the_nearer_counts() {
        let bench = |name| format!("name = \"{name}\"\n");
        for (files, found) in [
            (vec![("parts/disc.toml", DISC.to_owned())], "no bench given"),
            (vec![("parts/disc.toml", DISC.to_owned()), ("bench.toml", bench("above"))], "above"),
            (vec![("parts/disc.toml", DISC.to_owned()), ("parts/bench.toml", bench("beside"))], "beside"),
            (
                vec![
                    ("parts/disc.toml", DISC.to_owned()),
                    ("bench.toml", bench("above")),
                    ("parts/bench.toml", bench("beside")),
                ],
                "beside",
            ),
        ] {
            let files: Vec<(&str, &str)> = files.iter().map(|(name, text)| (*name, text.as_str())).collect();
            let folder = written(&files);
            let project = open(&folder.path().join("parts/disc.toml")).unwrap();
            assert_eq!((project.bench.name.as_str(), project.parts.len()), (found, 1), "{files:?}");
        }
    }

    /// A fault in the bench above was told at `parts/../bench.toml`.
    #[test]
    fn the_bench_above_is_named_without_going_down_and_up() {
        let folder = written(&[("parts/disc.toml", DISC), ("bench.toml", "drils = []\n")]);
        let faults = open(&folder.path().join("parts/disc.toml")).unwrap_err();
        let place = faults[0].place();
        assert!(place.contains("bench.toml") && !place.contains(".."), "{place}");
    }

    #[test]
    fn a_project_without_a_bench_says_that_nothing_is_owned() {
        let project = open(written(&[("parts/disc.toml", DISC)]).path()).unwrap();
        assert_eq!(project.bench_file, None);
        assert!(project.bench.assumed[0].contains("no tool or bar is owned"), "{:?}", project.bench.assumed);
    }

    #[test]
    fn parts_come_by_name_and_only_toml_files_are_parts() {
        let second = DISC.replace("Disc", "Second");
        let files = [("parts/b.toml", second.as_str()), ("parts/a.toml", DISC), ("parts/notes.txt", "x")];
        let project = open(written(&files).path()).unwrap();
        let names: Vec<&str> = project.parts.iter().map(|part| part.name.as_str()).collect();
        assert_eq!(names, ["Disc", "Second"]);
    }

    #[test]
    fn the_faults_of_every_file_are_said_at_once() {
        let (bad, worse) = (DISC.replace("\"40\"", "\"4o\""), DISC.replace("\"6\"", "\"\""));
        let files = [
            ("bench.toml", "drils = []\n"),
            ("parts/a.toml", bad.as_str()),
            ("parts/b.toml", worse.as_str()),
        ];
        let faults = open(written(&files).path()).unwrap_err();
        for file in ["bench.toml", "a.toml", "b.toml"] {
            assert!(faults.iter().any(|fault| fault.place().contains(file)), "{file}: {faults:#?}");
        }
    }
}
