//! `metric`: the metric part, each choice with what it was chosen over.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use workshop::drawing::Drawing;
use workshop::metric::{
    Memory, MetricPart, Moved, Other, Piece, Proof, Standing, ToBuy, unused, worth_telling,
};
use workshop::plan::{changes, possible, sheet::Change};
use workshop::problem::{Outcome, Problem};
use workshop::why::Figure;

use crate::answer::{Answer, Detail};
use crate::chosen::{ChosenPart, chosen};
use crate::project;

/// Chooses the metric part.
#[derive(clap::Args)]
#[command(
    after_help = "Examples:\n  oddleg metric engine\n  oddleg metric engine/parts/latch-arm.toml --why\n  \
                  oddleg metric engine --instead \"pivot bore: diameter=6.5 mm\""
)]
pub struct Metric {
    /// The folder of a project, or a part file
    path: PathBuf,
    /// Give the whole chain of reasons behind each size, and all that was refused
    #[arg(long)]
    why: bool,
    /// Say what follows when one size is taken otherwise and the rest chosen afresh:
    /// "rod bore: diameter=4.8 mm"
    #[arg(long, value_name = "SIZE")]
    instead: Option<String>,
}

/// How many of the sizes refused for a dimension are listed, unless all are asked for.
const REFUSED_LISTED: usize = 2;

impl Metric {
    /// Chooses a size for every dimension of every part, all parts of the project together.
    pub fn run(&self) -> Outcome<Answer> {
        if let Some(wish) = &self.instead {
            return instead(&self.path, wish);
        }
        let chosen = chosen(&self.path)?;
        let mut answer = Answer::new(format!("metric parts of {}", self.path.display()))
            .detail(Detail::asked(self.why))
            .lines("assumed of the bench", chosen.bench.assumed.clone())
            .lines("other parts of the project", chosen.besides.clone());
        for ChosenPart { drawing, metric, .. } in &chosen.parts {
            answer = self.part(answer, drawing, metric);
        }
        if chosen.parts.len() > 1 {
            answer = answer
                .table("to buy in all", &["what", "for"], in_all(&chosen.parts))
                .lines("how sure in all", vec![sure_in_all(&chosen.parts)]);
        }
        // One part alone does not tell what the others have use for.
        if self.path.is_dir() {
            let parts: Vec<&MetricPart> = chosen.parts.iter().map(|part| &part.metric).collect();
            let open: Vec<&str> = chosen.open.iter().map(String::as_str).collect();
            answer = answer.lines("would be bought", unused(&chosen.bench, &parts, &open));
        }
        Ok(answer.problems(chosen.problems))
    }

    fn part(&self, answer: Answer, drawing: &Drawing, metric: &MetricPart) -> Answer {
        let name = &drawing.name;
        let changes = changes(drawing, metric);
        let bought = metric.purchases.iter().map(to_buy);
        let reasons = if self.why { changes.iter().map(reason).collect() } else { Vec::new() };
        answer
            .table(format!("{name} ({})", drawing.file), COLUMNS, changes.iter().map(row).collect())
            .table(
                format!("{name}: refused, the nearest to the drawing first"),
                &["dimension", "not", "because"],
                changes.iter().flat_map(|change| self.refused(change)).collect(),
            )
            .table(format!("{name}: to buy"), &["what", "for"], bought.collect())
            .figures(format!("{name}: reasons"), reasons)
            .lines(format!("{name}: how sure"), vec![metric.proven.clone()])
            .lines(format!("{name}: assumed"), metric.assumed.clone())
    }

    /// The nearest sizes that were not chosen, or all of them.
    fn refused(&self, change: &Change) -> Vec<Vec<String>> {
        let row = |other: &Other| vec![change.name.clone(), other.what(), other.reason()];
        let whole = |other: &Other| vec![change.name.clone(), other.what(), other.reason_in_full()];
        if self.why {
            change.refused.iter().map(whole).collect()
        } else {
            worth_telling(&change.refused).take(REFUSED_LISTED).map(row).collect()
        }
    }
}

/// A thing to buy and what needs it; one that would be bought anyhow says so.
fn to_buy(buy: &ToBuy) -> Vec<String> {
    let because = match buy.standing {
        Standing::Needed => buy.because.clone(),
        Standing::Ticked => format!("{} (ticked: it costs nothing in the choice)", buy.because),
    };
    vec![buy.what.clone(), because]
}

/// What follows when one size is taken otherwise, in the part of a path and in the
/// others of its project.
fn instead(path: &Path, wish: &str) -> Outcome<Answer> {
    let Some((name, size)) = wish.rsplit_once('=').map(|(name, size)| (name.trim(), size.trim())) else {
        let fault = Problem::new(format!("`{wish}` does not say which size is to be what"))
            .mend("write the dimension, `=` and the size: `--instead \"rod bore: diameter=4.8 mm\"`");
        return Err(vec![fault]);
    };
    // A part is answered with the rest of its project, as far as that can be read.
    let files = project::files(path)?;
    let bench = project::bench_of(&files)?;
    let (mut parts, mut asked, mut faults, mut left_out) = (Vec::new(), 0, Vec::new(), Vec::new());
    for (file, own) in
        files.parts.iter().map(|file| (file, true)).chain(files.beside.iter().map(|file| (file, false)))
    {
        let read = project::read_part(file).and_then(|drawing| {
            let solved = possible(&drawing)?;
            Ok((drawing, solved))
        });
        match read {
            Ok(part) => {
                parts.push(part);
                asked += usize::from(own);
            }
            Err(more) => {
                let what = more.first().map_or("", Problem::what);
                left_out.push(format!("{}: {what}", file.display()));
                faults.extend(own.then_some(more).into_iter().flatten());
            }
        }
    }
    let pieces: Vec<Piece> = parts.iter().map(|(drawing, solved)| Piece { drawing, solved }).collect();
    let has = |drawing: &Drawing| {
        drawing.dimensions.iter().any(|d| d.name == name) || drawing.threads.iter().any(|t| t.name == name)
    };
    // Those asked for were read first.
    let own: Vec<usize> = (0..asked).collect();
    if !faults.is_empty() && !own.iter().any(|&at| has(pieces[at].drawing)) {
        return Err(faults);
    }
    let mut with = own.iter().copied().filter(|&at| has(pieces[at].drawing));
    let which = match (with.next(), with.next()) {
        (Some(first), Some(second)) => {
            let names = [first, second].map(|at| pieces[at].drawing.file.as_str()).join(" and ");
            return Err(vec![
                Problem::new(format!("several parts have a `{name}`"))
                    .at(names)
                    .mend("name the file of the part"),
            ]);
        }
        (found, _) => found.or(own.first().copied()).unwrap_or_default(),
    };
    let follows = workshop::metric::instead(&pieces, which, name, size, &bench, &mut Memory::new())?;
    left_out.extend(follows.left_out.iter().cloned());
    let Moved { part, from, to, .. } = &follows.wanted;
    let moves = follows.moves.iter().map(|moved| {
        let Moved { part, name, from, to, with } = moved;
        [part, name, from, to, with].map(Clone::clone).to_vec()
    });
    Ok(Answer::new(format!("{name} of {part}: {to} instead of {from}"))
        .lines("in short", vec![follows.to_string()])
        .lines("left out, and answered without", left_out)
        .table("what else moves", &["part", "dimension", "was", "becomes", "with"], moves.collect())
        .lines("to buy besides", follows.buys.clone())
        .lines("not to buy any more", follows.saves.clone())
        .lines("how sure", follows.proven.clone()))
}

/// What is told of every dimension: millimetres to 0.001, inches to 0.0001.
const COLUMNS: &[&str] =
    &["dimension", "drawn", "exact mm", "make", "moved mm", "as drawn", "may move", "with", "role"];

/// Everything to buy, each once, with the parts that need it.
fn in_all(parts: &[ChosenPart]) -> Vec<Vec<String>> {
    let mut needed: BTreeMap<&str, Vec<&str>> = BTreeMap::new();
    for ChosenPart { drawing, metric, .. } in parts {
        for buy in &metric.purchases {
            needed.entry(&buy.what).or_default().push(&drawing.name);
        }
    }
    needed.into_iter().map(|(what, parts)| vec![what.to_owned(), parts.join(", ")]).collect()
}

/// Whether the choice for all parts together is known to be the best.
fn sure_in_all(parts: &[ChosenPart]) -> String {
    let open: Vec<&str> = parts
        .iter()
        .filter(|part| part.metric.proof != Proof::Optimal)
        .map(|part| part.drawing.name.as_str())
        .collect();
    if open.is_empty() {
        "proven: no other choice for all these parts together is better".into()
    } else {
        format!("not proven best: {}", open.join(", "))
    }
}

fn row(change: &Change) -> Vec<String> {
    let Change { name, written, exact, chosen, difference, difference_drawn, made_with, role, limit, .. } =
        change;
    [name, written, exact, chosen, difference, difference_drawn, limit, made_with, role]
        .map(Clone::clone)
        .to_vec()
}

fn reason(change: &Change) -> Figure {
    Figure::new(&change.name, &change.chosen, change.why.clone())
}
