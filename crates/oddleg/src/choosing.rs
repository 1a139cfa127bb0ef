//! The metric parts of a project as a page changes them: one part and the bench as
//! drafts, the other parts as their files have them.
//!
//! All are chosen together, because a mate ties sizes of several and a tool that is
//! bought once serves all. What was read and searched is kept from one question to
//! the next, by its whole content, so that the answer never depends on it.

use std::collections::BTreeMap;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use web::{Chosen, Metric, Motion, Piece};
use workshop::assembly::{Fitting, read_assembly};
use workshop::bench::{Bench, empty_bench, read_bench};
use workshop::drawing::{Drawing, Solved, read_drawing};
use workshop::linkage::{hold_sizes, look_up};
use workshop::make_list::{Made, make_list, told};
use workshop::metric::{self, Memory, MetricPart};
use workshop::plan::{Lying, Plan, Sized, lay_together, plan_of, possible};
use workshop::problem::{Outcome, Problem};
use workshop::sheet::{MakeList, tell};
use workshop::stack::Held;

use crate::fitting;
use crate::moved::moved;
use crate::project::{ASSEMBLY_FILE, MECHANISM_FILE};

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
    /// The text that says how the parts go together; none where there is no such file, and why it
    /// cannot be read where there is one.
    pub assembly: Result<Option<String>, Problem>,
    /// The text that says how the parts move; none where there is no such file or it cannot be read.
    pub mechanism: Option<String>,
    /// The text of every part by the name of its file.
    pub texts: BTreeMap<String, String>,
}

/// A project with its sizes, chosen as one.
struct Whole {
    asked: Asked,
    bench: Bench,
    /// The parts that can be read, each with its sizes or why it has none.
    parts: BTreeMap<String, (Arc<Piece>, Outcome<MetricPart>)>,
    /// How the parts go together, in the order of `parts`.
    fitting: Outcome<Fitting>,
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
        let at = kept.whole(Some(part), asked)?;
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
        let at = kept.whole(Some(part), asked)?;
        kept.latest[at].plan(part).clone()
    }

    /// Works a part out all the way, and tells the sheets of its aids what the other parts use them
    /// for.
    ///
    /// # Errors
    ///
    /// Every fault of the part and of the bench.
    pub fn plan_among(&self, part: &str, asked: Asked) -> Outcome<Plan> {
        let mut kept = self.kept();
        let at = kept.whole(Some(part), asked)?;
        let whole = &mut kept.latest[at];
        let mut plan = whole.plan(part).clone()?;
        if plan.aids.is_empty() {
            return Ok(plan);
        }
        whole.plan_all();
        let nothing = Fitting::default();
        let told = told(&whole.made(), whole.fitting.as_ref().unwrap_or(&nothing), &whole.bench);
        tell(&told, &whole.parts[part].0.drawing.file, &mut plan.aids);
        Ok(plan)
    }

    /// What to make and fit in which order; `None` for one part alone of which nothing is said.
    ///
    /// # Errors
    ///
    /// Every fault of what is said of fitting, or what of it cannot all hold.
    pub fn make_list(&self, asked: Asked) -> Outcome<Option<MakeList>> {
        if asked.texts.len() < 2 && asked.assembly == Ok(None) {
            return Ok(None);
        }
        let mut kept = self.kept();
        let at = kept.whole(None, asked)?;
        let whole = &mut kept.latest[at];
        whole.plan_all();
        let fitting = whole.fitting.clone()?;
        make_list(&whole.made(), &fitting, &whole.bench).map(Some)
    }

    /// How the mechanisms move that a text describes, with the sizes of the whole project.
    ///
    /// # Errors
    ///
    /// Every fault of the bench.
    pub fn motion(&self, asked: Asked) -> Outcome<Motion> {
        let Some(text) = asked.mechanism.clone() else { return Ok(Motion::default()) };
        let mut kept = self.kept();
        let at = kept.whole(None, asked)?;
        let parts = kept.latest[at].parts.values();
        let held: Vec<Held> = parts
            .map(|(piece, metric)| Held { drawing: &piece.drawing, metric: metric.as_ref().ok() })
            .collect();
        Ok(moved(&text, &held))
    }

    /// What is wrong with what is said of fitting.
    pub fn unfitted(&self, asked: Asked) -> Vec<Problem> {
        let mut kept = self.kept();
        match kept.whole(None, asked) {
            Ok(at) => kept.latest[at].fitting.as_ref().err().cloned().unwrap_or_default(),
            // A faulty bench is told where it is asked for.
            Err(_) => Vec::new(),
        }
    }

    /// What is kept is whole whatever happened to whoever held it.
    fn kept(&self) -> MutexGuard<'_, Kept> {
        self.0.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

impl Whole {
    /// Plans every part.
    fn plan_all(&mut self) {
        let names: Vec<String> = self.parts.keys().cloned().collect();
        for name in &names {
            self.plan(name);
        }
    }

    /// Every part with its plan, or why it has none.
    fn made(&self) -> Vec<Made<'_>> {
        self.parts
            .iter()
            .map(|(name, (piece, _))| {
                let plan = self.plans.get(name).map(Result::as_ref);
                let fault = plan.and_then(Result::err).and_then(|faults| faults.first());
                Made { drawing: &piece.drawing, plan: plan.and_then(Result::ok), fault }
            })
            .collect()
    }

    /// The plan of one of its parts.
    fn plan(&mut self, part: &str) -> &Outcome<Plan> {
        let (piece, metric) = &self.parts[part];
        let (bench, fitting) = (&self.bench, &self.fitting);
        self.plans.entry(part.to_owned()).or_insert_with(|| {
            let metric = metric.clone()?;
            let mut plan = plan_of(&piece.drawing, &piece.solved, &metric, bench)?;
            fitting::warn(&mut plan, fitting.as_ref().err().map_or(&[], Vec::as_slice));
            Ok(plan)
        })
    }
}

/// How the parts go together; each is told what of it is left for assembly.
fn fitted(
    assembly: &Result<Option<String>, Problem>,
    pieces: &mut [(String, Arc<Piece>)],
    unread: &[String],
) -> Outcome<Fitting> {
    let said = match assembly {
        Ok(text) => text.as_deref().map(|text| read_assembly(ASSEMBLY_FILE, text)).transpose(),
        Err(fault) => Err(vec![fault.clone()]),
    };
    let mut told: Vec<Drawing> = pieces.iter().map(|(_, piece)| piece.drawing.clone()).collect();
    let solved: Vec<Option<&Solved>> = pieces.iter().map(|(_, piece)| Some(&piece.solved)).collect();
    let fitting = fitting::fitted(said, &mut told, &solved, unread)?;
    redrawn(pieces, told);
    Ok(fitting)
}

/// Holds the sizes that a mechanism of the project depends on.
fn hold(text: &str, pieces: &mut [(String, Arc<Piece>)]) {
    let mut drawings: Vec<Drawing> = pieces.iter().map(|(_, piece)| piece.drawing.clone()).collect();
    if hold_sizes(&mut drawings, MECHANISM_FILE, text) > 0 {
        redrawn(pieces, drawings);
    }
}

/// Takes these drawings, of the same solved places: a part that did not change stays what it was.
fn redrawn(pieces: &mut [(String, Arc<Piece>)], drawings: Vec<Drawing>) {
    for ((_, piece), drawing) in pieces.iter_mut().zip(drawings) {
        if drawing != piece.drawing {
            let (file, solved) = (piece.file.clone(), piece.solved.clone());
            *piece = Arc::new(Piece { file, drawing, solved });
        }
    }
}

impl Kept {
    /// The project as it is asked about, of which one part may have to be sound; where it is
    /// among the latest.
    fn whole(&mut self, part: Option<&str>, asked: Asked) -> Outcome<usize> {
        let own = part.map_or(Ok(()), |part| {
            let own = asked.texts.get(part).map_or("", String::as_str).to_owned();
            self.piece(part, &own).map(|_| ())
        });
        if let Some(at) = self.latest.iter().position(|whole| whole.asked == asked) {
            let again = self.latest.remove(at);
            self.latest.push(again);
            return own.map(|()| self.latest.len() - 1);
        }
        let bench = if asked.bench.trim().is_empty() {
            Ok(empty_bench())
        } else {
            read_bench("bench.toml", &asked.bench)
        };
        let bench = match (own, bench) {
            (Ok(()), Ok(bench)) => bench,
            (own, bench) => return Err([own.err(), bench.err()].into_iter().flatten().flatten().collect()),
        };
        let texts = asked.texts.iter();
        let (mut pieces, mut unread) = (Vec::new(), Vec::new());
        for (name, text) in texts {
            match self.piece(name, text) {
                Ok(piece) => pieces.push((name.clone(), piece)),
                Err(_) => unread.push(format!("{name}.toml")),
            }
        }
        let fitting = fitted(&asked.assembly, &mut pieces, &unread);
        if let Some(text) = &asked.mechanism {
            hold(text, &mut pieces);
        }
        let wanted: Vec<metric::Piece> = pieces
            .iter()
            .map(|(_, piece)| metric::Piece { drawing: &piece.drawing, solved: &piece.solved })
            .collect();
        let metric = metric::together(&wanted, &bench, &mut self.memory);
        let sized: Vec<Option<Sized>> = pieces
            .iter()
            .zip(&metric)
            .map(|((_, piece), metric)| {
                let metric = metric.as_ref().ok()?;
                Some(Sized { drawing: &piece.drawing, solved: &piece.solved, metric })
            })
            .collect();
        let nothing = Fitting::default();
        let Lying { joints, unlaid, proposed } = lay_together(fitting.as_ref().unwrap_or(&nothing), &sized);
        let mut told: Vec<Drawing> = pieces.iter().map(|(_, piece)| piece.drawing.clone()).collect();
        told.iter_mut().zip(joints).for_each(|(drawing, joints)| drawing.together = joints);
        redrawn(&mut pieces, told);
        let mut fitting = fitting.map(|fitting| Fitting { unlaid, proposed, ..fitting });
        let parts = pieces.into_iter().zip(metric).map(|((name, piece), metric)| (name, (piece, metric)));
        let parts: BTreeMap<String, (Arc<Piece>, Outcome<MetricPart>)> = parts.collect();
        if let Ok(fitting) = &mut fitting {
            let held: Vec<Held> = parts
                .values()
                .map(|(piece, metric)| Held { drawing: &piece.drawing, metric: metric.as_ref().ok() })
                .collect();
            look_up(fitting, MECHANISM_FILE, asked.mechanism.as_deref(), &held);
        }
        if self.latest.len() == LATEST {
            self.latest.remove(0);
        }
        let (metric, plans) = (BTreeMap::new(), BTreeMap::new());
        self.latest.push(Whole { asked, bench, parts, fitting, metric, plans });
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
