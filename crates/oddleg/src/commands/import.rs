//! `import`: an outline from a DXF or SVG file, as a new part file.

use std::fs::File;
use std::io::Read;
use std::path::{Path, PathBuf};

use workshop::exchange::{Asked, Datum, FileUnit, Layers, import};
use workshop::measure::{Length, Unit};
use workshop::problem::{Outcome, Problem};

use crate::answer::Answer;
use crate::args::size;
use crate::project::unreachable;
use crate::store::write::whole;

/// Reads an outline.
#[derive(clap::Args)]
#[command(after_help = "Examples:\n  oddleg export engine/parts/latch-arm.toml --as dxf -o arm.dxf\n  \
                        oddleg import arm.dxf --thickness 6mm -o engine/parts/arm.toml\n  \
                        oddleg import arm.dxf --without holes --datum centre -o engine/parts/blank.toml")]
pub struct Import {
    /// The DXF or SVG file
    file: PathBuf,
    /// The part file to write; one that is there is never written over
    #[arg(short, long, value_name = "FILE")]
    output: PathBuf,
    /// The unit of the file's numbers, where it says none or says it wrongly: mm, in, cm, px
    #[arg(long)]
    unit: Option<String>,
    /// Write the part in mm or in; without this, in the unit of the file
    #[arg(long, value_name = "UNIT")]
    write_in: Option<String>,
    /// A layer that holds the outline; say it again for each
    #[arg(long, value_name = "NAME", conflicts_with = "without")]
    layer: Vec<String>,
    /// A layer to leave out; say it again for each
    #[arg(long, value_name = "NAME")]
    without: Vec<String>,
    /// How thick the part is, with its unit
    #[arg(long, value_name = "SIZE")]
    thickness: Option<String>,
    /// What the part is called; without this, as the part file is
    #[arg(long)]
    name: Option<String>,
    /// Where places are from: "bottom left" and the like, centre, origin, "hole 1"
    #[arg(long, value_name = "PLACE", default_value = "bottom left")]
    datum: String,
    /// Which outline, where the file has several: 1 is the largest
    #[arg(long, value_name = "NUMBER")]
    outline: Option<usize>,
    /// How far lines and arcs may lie from curves
    #[arg(long, value_name = "SIZE", default_value = "0.01mm")]
    curve: String,
    /// How far apart two ends may lie and still be joined
    #[arg(long, value_name = "SIZE", default_value = "0.02mm")]
    join: String,
}

/// The most bytes that are read: more than any part takes.
const MOST_BYTES: u64 = 20_000_000;

impl Import {
    /// Reads the file and writes the part.
    pub fn run(&self) -> Outcome<Answer> {
        let asked = self.asked()?;
        let one = |fault: Problem| vec![fault];
        if self.output.symlink_metadata().is_ok() {
            let named = self.output.display().to_string();
            return Err(one(Problem::new(format!("`{named}` is there already"))
                .at(named)
                .why("an import writes over nothing")
                .mend("name another file, or move that one away first")));
        }
        let bytes = read_bytes(&self.file).map_err(one)?;
        let read = import(&self.file.display().to_string(), &bytes, &asked)?;
        whole(&self.output, read.text.as_bytes()).map_err(one)?;
        let title = format!("{} read from {}", asked.name, self.file.display());
        let answer = read
            .report
            .sections()
            .into_iter()
            .fold(Answer::new(title), |answer, (heading, lines)| answer.lines(heading, lines));
        let next = format!("oddleg check {}", self.output.display());
        Ok(answer.lines("written", vec![self.output.display().to_string()]).lines("next", vec![next]))
    }

    fn asked(&self) -> Outcome<Asked> {
        let mut faults = Vec::new();
        let mut keep = |fault: Problem| faults.push(fault);
        let unit = self.unit.as_deref().map(FileUnit::read).transpose().map_err(&mut keep);
        let write_in = self.write_in.as_deref().map(written_in).transpose().map_err(&mut keep);
        let datum = Datum::read(&self.datum).map_err(&mut keep);
        let mut length =
            |argument: &str, text: &str| size(argument, text).map_err(&mut keep).unwrap_or(Length::ZERO);
        let (curves_within, join_within) = (length("--curve", &self.curve), length("--join", &self.join));
        if let Some(text) = &self.thickness {
            length("--thickness", text);
        }
        match (unit, write_in, datum) {
            (Ok(unit), Ok(write_in), Ok(datum)) if faults.is_empty() => Ok(Asked {
                name: self.name.clone().unwrap_or_else(|| called(&self.output)),
                unit,
                write_in,
                layers: match (self.layer.as_slice(), self.without.as_slice()) {
                    ([], []) => Layers::Shown,
                    ([], without) => Layers::Without(without.to_vec()),
                    (only, _) => Layers::Only(only.to_vec()),
                },
                outline: self.outline,
                thickness: self.thickness.clone(),
                datum,
                curves_within,
                join_within,
            }),
            _ => Err(faults),
        }
    }
}

fn written_in(text: &str) -> Result<Unit, Problem> {
    match FileUnit::read(text)? {
        FileUnit::Mm => Ok(Unit::Mm),
        FileUnit::Inch => Ok(Unit::Inch),
        _ => Err(Problem::new(format!("a part is not written in `{text}`")).mend("write `mm` or `in`")),
    }
}

/// What a part is called by its file: `valve-lever.toml` is a `Valve lever`.
fn called(file: &Path) -> String {
    let stem = super::sheets::stem(file).replace(['-', '_'], " ");
    let mut letters = stem.chars();
    letters.next().map_or(stem.clone(), |first| first.to_uppercase().chain(letters).collect())
}

/// Reads a file of a size that can be a part.
fn read_bytes(path: &Path) -> Result<Vec<u8>, Problem> {
    let named = path.display().to_string();
    let metadata = path.metadata().map_err(|fault| unreachable(path, &fault))?;
    if !metadata.is_file() {
        return Err(Problem::new(format!("`{named}` is not a file"))
            .at(named)
            .why("it is a folder, a device or a pipe")
            .mend("name a DXF or an SVG file"));
    }
    let mut bytes = Vec::new();
    // One byte more than is taken shows a file that is too long.
    File::open(path)
        .and_then(|file| file.take(MOST_BYTES + 1).read_to_end(&mut bytes))
        .map_err(|fault| unreachable(path, &fault))?;
    Ok(bytes)
}

#[cfg(test)]
mod tests {
    use crate::commands::answer_to;

    const SQUARE: &str =
        "<svg width=\"30mm\" height=\"30mm\" viewBox=\"0 0 30 30\"><rect width=\"30\" height=\"20\"/></svg>";

    #[test]
    fn a_file_is_written_once_and_never_over_another() {
        let folder = tempfile::tempdir().unwrap();
        let (from, to) = (folder.path().join("plate.svg"), folder.path().join("base-plate.toml"));
        std::fs::write(&from, SQUARE).unwrap();
        let line = ["import", from.to_str().unwrap(), "--thickness", "2mm", "-o", to.to_str().unwrap()];
        answer_to(&line).unwrap();
        let text = std::fs::read_to_string(&to).unwrap();
        assert!(text.contains("part = \"Base plate\"") && text.contains("width = \"30\""), "{text}");
        let faults = answer_to(&line).unwrap_err();
        assert!(faults[0].what().contains("there already"), "{faults:?}");
    }

    #[test]
    fn every_wrong_argument_is_named_at_once() {
        let line = [
            "import",
            "a.dxf",
            "-o",
            "a.toml",
            "--unit",
            "furlong",
            "--datum",
            "left",
            "--join",
            "1",
            "--thickness",
            "2",
        ];
        let faults = answer_to(&line).unwrap_err();
        for said in ["furlong", "`left` is not a datum", "`1` has no unit", "`2` has no unit"] {
            assert!(faults.iter().any(|fault| fault.what().contains(said)), "{said}: {faults:#?}");
        }
    }
}
