//! The metric parts of a project as a page changes them: one part and the bench as
//! drafts, the other parts as their files have them.
//!
//! All are chosen together, because a mate ties sizes of several and a tool that is
//! bought once serves all. What was read and searched is kept from one question to
//! the next, by its whole content, so that the answer never depends on it.

use std::collections::BTreeMap;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use web::{Chosen, Metric, Piece};
use workshop::bench::{Bench, empty_bench, read_bench};
use workshop::drawing::read_drawing;
use workshop::metric::{self, Memory, MetricPart};
use workshop::plan::{Plan, plan_of, possible};
use workshop::problem::Outcome;

/// What is kept between two questions.
#[derive(Default)]
pub struct Choosing(Mutex<Kept>);

#[derive(Default)]
struct Kept {
    memory: Memory,
    /// By the name of the file: its text, and what it says.
    read: BTreeMap<String, (String, Outcome<Arc<Piece>>)>,
    /// The latest answers for a whole project, the latest last.
    latest: Vec<Whole>,
}

/// Everything that an answer rests on.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Asked {
    /// The text of the bench; empty where there is none.
    pub bench: String,
    /// The text of every part by the name of its file.
    pub texts: BTreeMap<String, String>,
}

/// A project with its sizes, chosen as one.
struct Whole {
    asked: Asked,
    bench: Bench,
    /// The parts that can be read, each with its sizes or why it has none.
    parts: BTreeMap<String, (Arc<Piece>, Outcome<MetricPart>)>,
    /// Those that somebody asked for so far, and those worked out all the way.
    metric: BTreeMap<String, Arc<Metric>>,
    plans: BTreeMap<String, Outcome<Plan>>,
}

/// How many answers are kept: what was before a change and what is after it, and a
/// few steps back.
const LATEST: usize = 6;

impl Choosing {
    /// Chooses for a part and a bench as drafts, among other parts by the names and
    /// texts of their files.
    ///
    /// # Errors
    ///
    /// Every fault of the two drafts. Another part that cannot be read is left out.
    pub fn metric(&self, part: &str, asked: Asked) -> Outcome<Arc<Metric>> {
        let mut kept = self.kept();
        let at = kept.whole(part, asked)?;
        let Kept { latest, memory, .. } = &mut *kept;
        let whole = &mut latest[at];
        if let Some(metric) = whole.metric.get(part) {
            return Ok(Arc::clone(metric));
        }
        let chosen = |(piece, metric): &(Arc<Piece>, Outcome<MetricPart>)| Chosen {
            piece: Arc::clone(piece),
            metric: metric.clone(),
        };
        let own = chosen(&whole.parts[part]);
        let others = whole.parts.iter().filter(|(name, _)| *name != part).map(|(_, one)| chosen(one));
        let standoffs = match own.metric {
            Ok(_) => Vec::new(),
            Err(_) => {
                let pieces: Vec<metric::Piece> =
                    whole.parts.values().map(|(piece, _)| metric_piece(piece)).collect();
                let which = whole.parts.keys().position(|name| name == part).unwrap_or_default();
                metric::standoffs_among(&pieces, which, &whole.bench, memory)
            }
        };
        let answer =
            Arc::new(Metric { standoffs, others: others.collect(), own, bench: whole.bench.clone() });
        whole.metric.insert(part.to_owned(), Arc::clone(&answer));
        Ok(answer)
    }

    /// Works a part out all the way, by the sizes that are chosen for the whole project.
    ///
    /// # Errors
    ///
    /// Every fault of the part and of the bench.
    pub fn plan(&self, part: &str, asked: Asked) -> Outcome<Plan> {
        let mut kept = self.kept();
        let at = kept.whole(part, asked)?;
        let whole = &mut kept.latest[at];
        if let Some(plan) = whole.plans.get(part) {
            return plan.clone();
        }
        let (piece, metric) = &whole.parts[part];
        let plan =
            metric.clone().and_then(|metric| plan_of(&piece.drawing, &piece.solved, &metric, &whole.bench));
        whole.plans.insert(part.to_owned(), plan.clone());
        plan
    }

    /// What is kept is whole whatever happened to whoever held it.
    fn kept(&self) -> MutexGuard<'_, Kept> {
        self.0.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

impl Kept {
    /// The project as it is asked about, of which one part must be sound; where it is
    /// among the latest.
    fn whole(&mut self, part: &str, asked: Asked) -> Outcome<usize> {
        let own = asked.texts.get(part).map_or("", String::as_str).to_owned();
        let own = self.piece(part, &own);
        if let Some(at) = self.latest.iter().position(|whole| whole.asked == asked) {
            let again = self.latest.remove(at);
            self.latest.push(again);
            return own.map(|_| self.latest.len() - 1);
        }
        let bench = if asked.bench.trim().is_empty() {
            Ok(empty_bench())
        } else {
            read_bench("bench.toml", &asked.bench)
        };
        let bench = match (own, bench) {
            (Ok(_), Ok(bench)) => bench,
            (own, bench) => return Err([own.err(), bench.err()].into_iter().flatten().flatten().collect()),
        };
        let texts = asked.texts.iter();
        let pieces: Vec<(String, Arc<Piece>)> =
            texts.filter_map(|(name, text)| Some((name.clone(), self.piece(name, text).ok()?))).collect();
        let wanted: Vec<metric::Piece> = pieces
            .iter()
            .map(|(_, piece)| metric::Piece { drawing: &piece.drawing, solved: &piece.solved })
            .collect();
        let metric = metric::together(&wanted, &bench, &mut self.memory);
        let parts = pieces.into_iter().zip(metric).map(|((name, piece), metric)| (name, (piece, metric)));
        let parts = parts.collect();
        if self.latest.len() == LATEST {
            self.latest.remove(0);
        }
        let (metric, plans) = (BTreeMap::new(), BTreeMap::new());
        self.latest.push(Whole { asked, bench, parts, metric, plans });
        Ok(self.latest.len() - 1)
    }

    /// A part with its places, read again only when its text is another.
    fn piece(&mut self, name: &str, text: &str) -> Outcome<Arc<Piece>> {
        if let Some((known, piece)) = self.read.get(name)
            && known == text
        {
            return piece.clone();
        }
        let piece = read(name, text).map(Arc::new);
        self.read.insert(name.to_owned(), (text.to_owned(), piece.clone()));
        piece
    }
}

fn metric_piece(piece: &Piece) -> metric::Piece<'_> {
    metric::Piece { drawing: &piece.drawing, solved: &piece.solved }
}

fn read(name: &str, text: &str) -> Outcome<Piece> {
    let drawing = read_drawing(&format!("{name}.toml"), text)?;
    let solved = possible(&drawing)?;
    Ok(Piece { file: name.to_owned(), drawing, solved })
}
