//! The metric parts of a project as a page changes them: one part and the bench as
//! drafts, the other parts as their files have them.
//!
//! All are chosen together, because a mate ties sizes of several and a tool that is
//! bought once serves all. What was read and searched is kept from one question to
//! the next, by its whole content, so that the answer never depends on it.

use std::collections::BTreeMap;
use std::sync::{Arc, Mutex, PoisonError};

use web::{Chosen, Drafts, Metric, Piece};
use workshop::bench::{empty_bench, read_bench};
use workshop::drawing::{Part, read_drawing, solve};
use workshop::metric::{self, Memory};
use workshop::problem::Outcome;

/// What is kept between two questions.
#[derive(Default)]
pub struct Choosing(Mutex<Kept>);

#[derive(Default)]
struct Kept {
    memory: Memory,
    /// By the name of the file: its text, and what it says.
    read: BTreeMap<String, (String, Outcome<Arc<Piece>>)>,
    /// The latest answers, the latest last.
    latest: Vec<(Asked, Arc<Metric>)>,
}

/// Everything that an answer rests on.
#[derive(Clone, Debug, PartialEq, Eq)]
struct Asked {
    part: String,
    bench: String,
    /// The text of every part, the one asked about among them, by the name of its file.
    texts: BTreeMap<String, String>,
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
    pub fn metric(
        &self,
        part: &str,
        drafts: &Drafts,
        others: BTreeMap<String, String>,
    ) -> Outcome<Arc<Metric>> {
        let mut texts = others;
        texts.insert(part.to_owned(), drafts.part.clone());
        let asked = Asked { part: part.to_owned(), bench: drafts.bench.clone(), texts };
        // What is kept is whole whatever happened to whoever held it.
        let mut kept = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        kept.answer(asked)
    }
}

impl Kept {
    fn answer(&mut self, asked: Asked) -> Outcome<Arc<Metric>> {
        if let Some(at) = self.latest.iter().position(|(known, _)| *known == asked) {
            let again = self.latest.remove(at);
            let answer = Arc::clone(&again.1);
            self.latest.push(again);
            return Ok(answer);
        }
        let bench = if asked.bench.trim().is_empty() {
            Ok(empty_bench())
        } else {
            read_bench("bench.toml", &asked.bench)
        };
        let own = self.piece(&asked.part, &asked.texts[&asked.part]);
        let (own, bench) = match (own, bench) {
            (Ok(own), Ok(bench)) => (own, bench),
            (own, bench) => return Err([own.err(), bench.err()].into_iter().flatten().flatten().collect()),
        };
        let mut pieces = vec![own];
        for (name, text) in asked.texts.iter().filter(|(name, _)| **name != asked.part) {
            pieces.extend(self.piece(name, text));
        }
        let wanted: Vec<metric::Piece> = pieces
            .iter()
            .map(|piece| metric::Piece { drawing: &piece.drawing, solved: &piece.solved })
            .collect();
        let metric = metric::together(&wanted, &bench, &mut self.memory);
        let mut chosen =
            pieces.iter().zip(metric).map(|(piece, metric)| Chosen { piece: Arc::clone(piece), metric });
        let own = chosen.next().expect("the part asked about stands first");
        let others = chosen.collect();
        let standoffs = match own.metric {
            Ok(_) => Vec::new(),
            Err(_) => metric::standoffs(&wanted[0], &bench, &mut self.memory),
        };
        let answer = Arc::new(Metric { own, standoffs, others, bench });
        if self.latest.len() == LATEST {
            self.latest.remove(0);
        }
        self.latest.push((asked, Arc::clone(&answer)));
        Ok(answer)
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

fn read(name: &str, text: &str) -> Outcome<Piece> {
    let drawing = read_drawing(&format!("{name}.toml"), text)?;
    let solved = solve(&drawing)?;
    let faults = Part::as_drawn(&drawing, &solved).wrong();
    if faults.is_empty() { Ok(Piece { file: name.to_owned(), drawing, solved }) } else { Err(faults) }
}
