//! The pieces of the page Metric: the rows, the answer, what to buy, drawn whole from
//! the answer for the drafts; and the picture.

use std::collections::BTreeMap;
use std::sync::{Arc, Mutex, PoisonError};

use askama::Template;
use sheets::Screen;
use workshop::desk::choices::{self, Moved, Of, Row, Wish};
use workshop::drawing::{Given, Part, Sizes};
use workshop::edit::{Change, Value};
use workshop::metric::{
    Against, Broken, Edit, MetricPart, Other, Standoff, WayOut, Weight, weights, worth_telling,
};
use workshop::plan::views::{Lettering, overlay, projections};
use workshop::problem::Problem;
use workshop::why::{Why, quoted};

use super::super::{path_segment, rendered};
use crate::{Chosen, Drafts, Metric, Piece};

/// What of the answer is wanted on the page.
#[derive(Clone, Debug)]
pub struct Wanted {
    /// The row that is open, by the place of its entry; empty for none.
    row: String,
    /// How wide the picture may be.
    pub screen: Screen,
    /// What the picture shows.
    pub shows: Shows,
}

/// What the picture shows.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Shows {
    /// The metric part in its views.
    Part,
    /// The metric part laid over the drawing, differences magnified.
    Overlay,
}

impl Default for Wanted {
    fn default() -> Self {
        Self { row: String::new(), screen: Screen::Middle, shows: Shows::Part }
    }
}

impl Wanted {
    /// What the page says that it has open, and how it wants the picture.
    pub fn of(state: &BTreeMap<String, String>) -> Self {
        let word = |key: &str| state.get(key).map(String::as_str).unwrap_or_default();
        // Narrower than any phone nothing could be read; wider than any desk is a slip.
        let wide_mm = word("wide_mm").parse::<f64>().unwrap_or(Screen::Middle.width_mm());
        let screen = Screen::Pane(wide_mm.clamp(70.0, 400.0) as u16);
        let shows = if word("overlay") == "true" { Shows::Overlay } else { Shows::Part };
        Self { row: word("row").to_owned(), screen, shows }
    }
}

/// Every piece, under the name of its element.
pub struct Pieces {
    pub rows: String,
    pub answer: String,
    pub buy: String,
}

/// Draws every piece; `before` is the answer before the last change.
pub fn pieces(
    drafts: &Drafts,
    answer: &Metric,
    before: Option<(&Drafts, &Metric)>,
    wanted: &Wanted,
) -> Pieces {
    let drawing = &answer.own.piece.drawing;
    let metric = answer.own.metric.as_ref().ok();
    let rows = choices::rows(&drafts.part, drawing, metric);
    let moved = before.map(|(drafts, before)| {
        let was = choices::rows(&drafts.part, &before.own.piece.drawing, before.own.metric.as_ref().ok());
        choices::moved(&was, &rows)
    });
    let elsewhere = before.map(|(_, before)| elsewhere(before, answer)).unwrap_or_default();
    let kept = choices::kept(drawing);
    let faults = answer.own.metric.as_ref().err().map(Vec::as_slice).unwrap_or_default();
    let wishes = choices::wishes(&rows, metric, &answer.bench);
    let others =
        answer.others.iter().map(|other| (other.piece.drawing.name.as_str(), other.metric.as_ref().ok()));
    let others: Vec<(&str, Option<&MetricPart>)> = others.collect();
    Pieces {
        rows: rendered(&RowsPiece::of(&rows, moved.as_ref(), kept, faults, &wanted.row)),
        answer: rendered(&AnswerPiece {
            kept,
            faults: faults.iter().map(|fault| FaultPiece::of(fault, &answer.standoffs)).collect(),
            proven: metric.map(|metric| metric.proven.as_str()).unwrap_or_default(),
            moved: moved.as_ref(),
            elsewhere,
            assumed: metric
                .map(|metric| metric.assumed.iter().map(|words| quoted(words)).collect())
                .unwrap_or_default(),
        }),
        buy: rendered(&BuyPiece::of(&wishes, metric, &others)),
    }
}

/// What moved on another part.
struct Elsewhere {
    part: String,
    /// Its page.
    address: String,
    moved: Vec<Moved>,
    /// Why there are no sizes for it any more.
    fault: Option<String>,
}

/// The other parts whose sizes a change moved. Their files are the same before and after.
fn elsewhere(before: &Metric, after: &Metric) -> Vec<Elsewhere> {
    let was: BTreeMap<&str, &Chosen> =
        before.others.iter().map(|other| (other.piece.file.as_str(), other)).collect();
    let differs = |now: &Chosen| {
        let was = was.get(now.piece.file.as_str())?;
        let (old, new) = (was.metric.as_ref().ok(), now.metric.as_ref().ok());
        let fault = now.metric.as_ref().err().filter(|_| old.is_some());
        let fault = fault.and_then(|faults| faults.first()).map(|fault| fault.what().to_owned());
        let moved = match (old, new) {
            (Some(_), Some(_)) => choices::moved_elsewhere(&now.piece.drawing, old, new),
            _ => Vec::new(),
        };
        let part = now.piece.drawing.name.clone();
        let address = format!("/parts/{}/metric", path_segment(&now.piece.file));
        (fault.is_some() || !moved.is_empty()).then_some(Elsewhere { part, address, moved, fault })
    };
    after.others.iter().filter_map(differs).collect()
}

#[derive(Template)]
#[template(path = "metric/rows.html")]
struct RowsPiece<'a> {
    rows: Vec<RowPiece<'a>>,
    kept: Option<&'static str>,
}

struct RowPiece<'a> {
    row: &'a Row,
    /// Whether it is unfolded.
    open: bool,
    /// Whether the Tab key comes to it.
    first: bool,
    /// What it was before the last change.
    was: Option<&'a str>,
    /// Whether the demands that cannot all hold are about it.
    clashes: bool,
    /// The chain of reasons, each with how deep it lies.
    why: Vec<(usize, &'a Why)>,
}

impl<'a> RowsPiece<'a> {
    fn said<'t>(&self, text: &'t str) -> Vec<(bool, &'t str)> {
        names_apart(text)
    }

    fn of(
        rows: &'a [Row],
        moved: Option<&'a BTreeMap<String, Moved>>,
        kept: Option<&'static str>,
        faults: &[Problem],
        open: &str,
    ) -> Self {
        let reached = rows.iter().position(|row| row.at == open).unwrap_or(0);
        let piece = |(index, row): (usize, &'a Row)| {
            let moved = moved.and_then(|moved| moved.get(&row.at));
            let is_open = row.at == open;
            let mut why = Vec::new();
            if let Some(became) = row.became.as_ref().filter(|_| is_open) {
                chain(&became.why, 0, &mut why);
            }
            let was = moved.map(|moved| moved.was.as_deref().unwrap_or("nothing"));
            let clashes = faults.iter().any(|fault| fault.concerned().contains(&row.name));
            RowPiece { row, open: is_open, first: index == reached, was, clashes, why }
        };
        Self { rows: rows.iter().enumerate().map(piece).collect(), kept }
    }
}

/// Words of a problem or a reason, the names in them by themselves: what stands between
/// two backticks.
fn names_apart(text: &str) -> Vec<(bool, &str)> {
    if text.matches('`').count() % 2 == 1 {
        return vec![(false, text)];
    }
    text.split('`').enumerate().map(|(at, words)| (at % 2 == 1, words)).collect()
}

fn chain<'a>(why: &'a Why, depth: usize, into: &mut Vec<(usize, &'a Why)>) {
    into.push((depth, why));
    for reason in &why.because {
        chain(reason, depth + 1, into);
    }
}

impl RowPiece<'_> {
    fn is_length(&self) -> bool {
        self.row.of == Of::Length
    }

    /// The other sizes: the few worth telling of unasked, then the rest.
    fn others(&self) -> (Vec<&Other>, Vec<&Other>) {
        let all = self.row.became.as_ref().map(|became| became.others.as_slice()).unwrap_or_default();
        let few: Vec<&Other> = worth_telling(all).collect();
        let rest = all.iter().filter(|other| !few.iter().any(|told| std::ptr::eq(*told, *other)));
        (few.clone(), rest.collect())
    }

    /// Whether it has a size, and another one than before.
    fn is_moved(&self) -> bool {
        self.was.is_some() && self.row.became.is_some()
    }

    /// What stands against another size, but for the row's own pin: that it is not what
    /// is pinned goes without saying.
    fn reason(&self, other: &Other) -> String {
        let pin = format!("pin of `{}`", self.row.name);
        match &other.against {
            Against::Breaks(broken) if broken.iter().any(|broken| broken.demand.name.starts_with(&pin)) => {
                let rest = broken.iter().filter(|broken| !broken.demand.name.starts_with(&pin)).cloned();
                let rest: Vec<Broken> = rest.collect();
                if rest.is_empty() {
                    "in the place of the pin".into()
                } else {
                    Against::Breaks(rest).to_string()
                }
            }
            _ => other.reason(),
        }
    }

    /// Whether a size may be pinned: one that nothing makes is not offered.
    fn may_be_had(&self, other: &Other) -> bool {
        !matches!(other.against, Against::RuledOut(_))
    }

    fn supposed(&self) -> bool {
        self.row.role.1 == Given::Assumed
    }

    /// The change that pins a size.
    fn pin(&self, to: &str) -> String {
        json(&[Change::Set { at: format!("{}/pin", self.row.at), to: Value::text(to) }])
    }

    /// The change that takes a pin back.
    fn unpin(&self) -> String {
        json(&[Change::Clear { at: format!("{}/pin", self.row.at) }])
    }
}

#[derive(Template)]
#[template(path = "metric/answer.html")]
struct AnswerPiece<'a> {
    kept: Option<&'static str>,
    faults: Vec<FaultPiece<'a>>,
    proven: &'a str,
    /// What moved of this part; nothing when nothing was changed yet.
    moved: Option<&'a BTreeMap<String, Moved>>,
    elsewhere: Vec<Elsewhere>,
    assumed: Vec<String>,
}

impl AnswerPiece<'_> {
    fn said<'t>(&self, text: &'t str) -> Vec<(bool, &'t str)> {
        names_apart(text)
    }
}

/// A fault, and the demands behind it with their ways out, where they are known.
struct FaultPiece<'a> {
    fault: &'a Problem,
    standoff: Option<&'a Standoff>,
}

impl<'a> FaultPiece<'a> {
    fn of(fault: &'a Problem, standoffs: &'a [Standoff]) -> Self {
        Self { fault, standoff: standoffs.iter().find(|standoff| standoff.about == fault.concerned()) }
    }

    /// The changes that let something go.
    fn lets_go(&self, way: &WayOut) -> String {
        let sent = |edit: &Edit| match edit {
            Edit::Part(change) => serde_json::json!(change),
            Edit::Bench(change) => serde_json::json!({ "bench": change }),
            // Not on this page: no button is drawn for it.
            Edit::Other { .. } => serde_json::Value::Null,
        };
        serde_json::Value::Array(way.edits.iter().map(sent).collect()).to_string()
    }
}

#[derive(Template)]
#[template(path = "metric/buy.html")]
struct BuyPiece<'a> {
    /// Whether there is no choice that could need anything.
    unknown: bool,
    /// Needed or ticked.
    needed: Vec<&'a Wish>,
    /// What would bring a size nearer the drawing.
    nearer: Vec<&'a Wish>,
    /// What would make other sizes, and bring nothing.
    idle: Vec<&'a Wish>,
    weights: Vec<Weight>,
    /// The other parts of the project, with their sizes where they have them.
    others: &'a [(&'a str, Option<&'a MetricPart>)],
}

impl<'a> BuyPiece<'a> {
    fn of(
        wishes: &'a [Wish],
        metric: Option<&MetricPart>,
        others: &'a [(&'a str, Option<&'a MetricPart>)],
    ) -> Self {
        let (telling, idle): (Vec<&Wish>, Vec<&Wish>) = wishes.iter().partition(|wish| wish.tells());
        let listed = |wish: &&Wish| !wish.used.is_empty() || wish.ticked.is_some();
        let (needed, nearer) = telling.into_iter().partition(listed);
        Self { unknown: metric.is_none(), needed, nearer, idle, weights: weights(), others }
    }

    /// What the rest of the project has of something that this part has no use for.
    fn elsewhere(&self, wish: &Wish) -> String {
        choices::elsewhere(wish, self.others, self.unknown)
    }

    fn on(&self, wish: &Wish) -> String {
        bench(Change::Include { at: "would_buy".into(), item: Value::text(&wish.what) })
    }

    fn off(&self, wish: &Wish) -> String {
        let what = wish.ticked.as_ref().unwrap_or(&wish.what);
        bench(Change::Exclude { at: "would_buy".into(), item: Value::text(what) })
    }
}

fn json(changes: &[Change]) -> String {
    serde_json::to_string(changes).expect("changes are words and numbers")
}

fn bench(change: Change) -> String {
    serde_json::json!([{ "bench": change }]).to_string()
}

/// The pictures drawn last, so that one is not drawn anew when a row is opened or a
/// change is taken back.
#[derive(Default)]
pub struct Drawn(Mutex<Vec<(Pictured, String)>>);

/// Everything that a picture shows.
struct Pictured {
    /// The part as read: held, so that no other can have its place in memory.
    piece: Arc<Piece>,
    sizes: Option<Sizes>,
    screen: Screen,
    shows: Shows,
}

/// How many pictures are kept.
const PICTURES: usize = 8;

impl Drawn {
    /// The metric part with its sizes; as drawn where there is none.
    pub fn picture(&self, own: &Chosen, wanted: &Wanted) -> String {
        let Wanted { screen, shows, .. } = *wanted;
        let sizes = own.metric.as_ref().ok().map(|metric| metric.sizes.clone());
        let mut kept = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        let same = |of: &Pictured| {
            Arc::ptr_eq(&of.piece, &own.piece) && (&of.sizes, of.screen, of.shows) == (&sizes, screen, shows)
        };
        if let Some((_, svg)) = kept.iter().find(|(of, _)| same(of)) {
            return svg.clone();
        }
        let part = Part::as_drawn(&own.piece.drawing, &own.piece.solved);
        let svg = match (&sizes, shows) {
            (Some(sizes), Shows::Part) => {
                sheets::views_svg(&projections(&part.with_sizes(sizes.clone()), Lettering::Metric), screen)
            }
            (Some(sizes), Shows::Overlay) => {
                let overlay = overlay(&part, &part.with_sizes(sizes.clone()));
                let caption = sheets::svg::escape(&overlay.caption());
                format!("{}<p class=\"caption\">{caption}</p>", sheets::overlay_svg(&overlay, screen))
            }
            (None, _) => sheets::views_svg(&projections(&part, Lettering::AsWritten), screen),
        };
        if kept.len() == PICTURES {
            kept.remove(0);
        }
        kept.push((Pictured { piece: Arc::clone(&own.piece), sizes, screen, shows }, svg.clone()));
        svg
    }
}
