//! `export`: the metric part in plan, as a file for another program.

use std::path::PathBuf;

use sheets::flat::{flat_dxf, flat_svg};
use workshop::drawing::{Hand, Part};
use workshop::exchange::{Flat, flat};
use workshop::plan::possible;
use workshop::problem::{Outcome, Problem};

use super::sheets::stem;
use crate::answer::Answer;
use crate::chosen::chosen;
use crate::project;
use crate::store::write::whole;

/// Writes a part in plan.
#[derive(clap::Args)]
#[command(
    after_help = "Examples:\n  oddleg export engine/parts/latch-arm.toml --as dxf -o latch-arm.dxf\n  \
                        oddleg export engine/parts/latch-arm.toml --as svg --drawn -o latch-arm.svg"
)]
pub struct Export {
    /// The part file
    path: PathBuf,
    /// The kind of file: lines and arcs on layers, in millimetres
    #[arg(long = "as", value_name = "KIND")]
    kind: Kind,
    /// The sizes of the drawing, not the metric ones
    #[arg(long)]
    drawn: bool,
    /// The file to write; of a pair, each hand gets its word before the ending
    #[arg(short, long, value_name = "FILE")]
    output: PathBuf,
}

/// A kind of file.
#[derive(Clone, Copy, clap::ValueEnum)]
enum Kind {
    /// Drawing exchange, release 12
    Dxf,
    /// A picture of lines and arcs
    Svg,
}

impl Export {
    /// Writes one file for each hand.
    pub fn run(&self) -> Outcome<Answer> {
        let files = project::files(&self.path)?;
        let [file] = files.parts.as_slice() else {
            return Err(vec![
                Problem::new(format!("`{}` is not one part", self.path.display()))
                    .at(self.path.display().to_string())
                    .why(format!("it holds {}; each is written to a file of its own", files.parts.len()))
                    .mend("name the part file, such as `engine/parts/latch-arm.toml`"),
            ]);
        };
        let drawing = project::read_part(file)?;
        let solved = possible(&drawing)?;
        let drawn = Part::as_drawn(&drawing, &solved);
        let (part, besides) = if self.drawn {
            (drawn, Vec::new())
        } else {
            let chosen = chosen(&self.path)?;
            let sizes = chosen.parts.first().map(|part| part.metric.sizes.clone());
            (drawn.with_sizes(sizes.expect("the one part that was asked for has its sizes")), chosen.besides)
        };
        let mut answer =
            Answer::new(format!("{} in plan", drawing.name)).lines("other parts of the project", besides);
        for (index, &hand) in drawing.hands.iter().enumerate() {
            let part = if index == 0 { part.clone() } else { part.mirrored() };
            let flat = flat(&part)?;
            let file = self.file_of(hand);
            whole(&file, self.text(&flat).as_bytes()).map_err(|fault| vec![fault])?;
            let layers =
                flat.layers.iter().map(|layer| vec![layer.name.to_owned(), layer.segments.len().to_string()]);
            answer = answer
                .table(file.display().to_string(), &["layer", "lines and arcs"], layers.collect())
                .lines(format!("{}: notes", flat.title), flat.notes.clone());
        }
        Ok(answer)
    }

    fn text(&self, flat: &Flat) -> String {
        match self.kind {
            Kind::Dxf => flat_dxf(flat),
            Kind::Svg => flat_svg(flat),
        }
    }

    /// The file for one hand.
    fn file_of(&self, hand: Hand) -> PathBuf {
        if hand == Hand::Neither {
            return self.output.clone();
        }
        let ending = self.output.extension().map_or(String::new(), |e| format!(".{}", e.to_string_lossy()));
        let name = format!("{}-{}{ending}", stem(&self.output), hand.words().replace(' ', "-"));
        self.output.with_file_name(name)
    }
}

#[cfg(test)]
mod tests {
    use crate::commands::answer_to;

    #[test]
    fn each_hand_has_a_file_of_its_own_and_a_turned_part_has_none() {
        let folder = tempfile::tempdir().unwrap();
        let examples = concat!(env!("CARGO_MANIFEST_DIR"), "/../../examples/kittiwake/parts");
        let out = |name: &str| folder.path().join(name);
        let to = out("lever.dxf");
        let lever = format!("{examples}/valve-lever.toml");
        answer_to(&["export", &lever, "--as", "dxf", "-o", to.to_str().unwrap()]).unwrap();
        let [right, left] = ["lever-right-hand.dxf", "lever-left-hand.dxf"]
            .map(|name| std::fs::read_to_string(out(name)).unwrap());
        assert!(right != left && right.ends_with("EOF\n"));
        let spindle = format!("{examples}/valve-spindle.toml");
        let faults = answer_to(&["export", &spindle, "--as", "svg", "-o", to.to_str().unwrap()]).unwrap_err();
        assert!(faults[0].what().contains("turned"), "{faults:?}");
    }
}
