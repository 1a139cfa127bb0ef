//! What shows how work is turned that one bore alone centres: an edge of the blank while that is
//! there, then a side finished along an axis, and where neither is left a line scribed before.

use super::job::{Job, Setup};
use super::words::casting;
use crate::drawing::Body;
use crate::geometry::Segment;
use crate::order::work::{Machine, Step};
use crate::order::{Located, Work};
use crate::settings::show::practice;
use crate::why::{Figure, Why};

/// A side this near an axis lies along it: far below what an indicator shows.
const ALONG_MM: f64 = 1e-6;

/// What work on one bore is turned by.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Shown {
    /// The squared edge of the blank.
    Blank,
    /// The squared edge of a block that keeps it.
    Edge,
    /// A side finished in an earlier setup, along X or Y.
    Side {
        /// As the part file calls it.
        name: String,
        /// `X` or `Y`.
        along: &'static str,
    },
    /// A line scribed along X before the edges went.
    Scribed,
    /// The edges went before this order begins, so that none of its sheets asks for a line.
    ToScribe,
}

impl Shown {
    /// What lies along which axis: `the bottom edge of the blank along X`.
    pub fn words(&self) -> String {
        match self {
            Self::Blank => "the bottom edge of the blank along X".into(),
            Self::Edge => "the bottom edge along X".into(),
            Self::Side { name, along } => format!("the finished side {name} along {along}"),
            Self::Scribed => "the line scribed across its face along X".into(),
            Self::ToScribe => "the line left from what is done already, or scribed now, across its face along X through the middle of the bore".into(),
        }
    }

    /// What is run along it until it stands still.
    pub fn finder(&self) -> &'static str {
        match self {
            Self::Blank | Self::Edge | Self::Side { .. } => "an indicator",
            Self::Scribed | Self::ToScribe => "a point in the spindle",
        }
    }

    /// Why it is needed at all.
    pub fn why(&self) -> Why {
        practice(match self {
            Self::Blank => {
                "one bore does not show how the work is turned: the squared edge does, which nothing has cut yet"
            }
            Self::Edge => "one bore does not show how the work is turned: its squared edge does",
            Self::Side { .. } => {
                "one bore does not show how the work is turned, and the edges of the blank are cut away: a side finished from them does"
            }
            Self::Scribed => {
                "one bore does not show how the work is turned, and no straight edge of it is left that does: a line scribed before does, to what the eye can tell"
            }
            Self::ToScribe => {
                "one bore does not show how the work is turned, and its edges were cut away before this order begins: only a line shows it, to what the eye can tell"
            }
        })
    }
}

impl Setup<'_> {
    /// What shows how the work is turned; none where the holding says it by itself.
    pub fn shown_by(&self) -> Option<Shown> {
        let body = &self.job.part.drawing.body;
        // Between filing buttons it may lie as it will.
        if !matches!(self.holding.machine, Machine::Mill | Machine::RotaryTable) {
            return None;
        }
        let Located::Bore(_) = self.holding.located else { return None };
        if matches!(body, Body::Rectangle { .. }) && self.holding.machine == Machine::RotaryTable {
            return Some(if casting(self.job.part.drawing) { Shown::ToScribe } else { Shown::Edge });
        }
        if !matches!(body, Body::Bosses { .. } | Body::Outline { .. }) {
            return None;
        }
        let marked = casting(self.job.part.drawing);
        if !marked && !self.earlier().any(takes_edges) {
            return Some(Shown::Blank);
        }
        let side = self.earlier().find_map(|work| self.finished_side(work));
        let line = || if marked || !self.began_without_edges() { Shown::Scribed } else { Shown::ToScribe };
        Some(side.unwrap_or_else(line))
    }

    /// Whether what is said to be done already took the edges, and no line is marked out since.
    fn began_without_edges(&self) -> bool {
        let own = self.holding.pieces.hand();
        let order = self.job.order;
        let mut done = order.done.iter().filter(|done| own.meets(done.pieces.hand()));
        let marks = order.steps.iter().any(|step| step.work == Work::MarkOut && step.setup + 1 < self.number);
        done.any(|done| takes_edges(&done.work)) && !marks
    }

    /// What was done to this piece before this setup.
    fn earlier(&self) -> impl Iterator<Item = &Work> {
        let own = self.holding.pieces.hand();
        let order = self.job.order;
        let done = order.done.iter().filter(move |done| own.meets(done.pieces.hand())).map(|done| &done.work);
        let before = order.steps.iter().filter(|step| step.setup + 1 < self.number);
        done.chain(before.filter(move |step| own.meets(step.hand)).map(|step| &step.work))
    }

    /// The side that was milled along an axis.
    fn finished_side(&self, work: &Work) -> Option<Shown> {
        let Work::MillSide { piece } = *work else { return None };
        let named = self.part.pieces().ok()?;
        let Segment::Line(line) = named.outline.segments().get(piece)? else { return None };
        let (across, up) = (line.end.x_mm - line.start.x_mm, line.end.y_mm - line.start.y_mm);
        let along = match (across.abs() < ALONG_MM, up.abs() < ALONG_MM) {
            (false, true) => "X",
            (true, false) => "Y",
            _ => return None,
        };
        Some(Shown::Side { name: named.names.get(piece)?.clone(), along })
    }

    /// How work that is bolted down through one bore is turned on its bolt.
    pub fn turned_on_its_bolt(&self) -> Option<Figure> {
        let shown = self.shown_by()?;
        let why =
            practice(format!("turn it about the bore until {} run along it stands still", shown.finder()))
                .because(shown.why());
        Some(Figure::new(self.named(0, "the work turned so that it has"), shown.words(), why))
    }

    /// The line to scribe in this setup, for a later one to be set by: where the outline is marked
    /// out, or before the first cut that leaves no edge to scribe it from.
    pub fn to_scribe(&self, steps: &[&Step]) -> Option<String> {
        let marks = |step: &Step| step.work == Work::MarkOut;
        let here = if casting(self.job.part.drawing) {
            self.number == 1
        } else if self.job.order.steps.iter().any(marks) {
            steps.iter().any(|step| marks(step))
        } else {
            steps.iter().any(|step| takes_edges(&step.work)) && !self.earlier().any(takes_edges)
        };
        let later = |job: &Job| {
            let setups = (self.number..job.order.setups.len()).map(|index| Setup::new(job, index));
            setups.filter(|later| later.shown_by() == Some(Shown::Scribed)).map(|later| later.number).min()
        };
        let number = later(self.job).filter(|_| here)?;
        Some(format!(
            "Before anything is cut here, scribe a line along X right across the face through the middle of the bore: setup {number} is set by it."
        ))
    }
}

/// Whether the edges of the blank are gone afterwards; stepping an end leaves the rest of them, and
/// a file smooths what is cut already.
fn takes_edges(work: &Work) -> bool {
    matches!(
        work,
        Work::RoundEnd
            | Work::TurnArc { .. }
            | Work::StepArc { .. }
            | Work::MillSide { .. }
            | Work::MillFlanks { .. }
            | Work::FileEnd
            | Work::FileSide { .. }
            | Work::FileFlanks { .. }
            | Work::FileRound
            | Work::RoughOut { .. }
    )
}
