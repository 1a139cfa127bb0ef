//! The pieces of the page Order: the cards of the setups, and what is asked of the order.

use askama::Template;
use workshop::drawing::{Asked, Stated};
use workshop::edit::{Change, Value};
use workshop::order::{Chosen, May, OrderOfWork};
use workshop::plan::Plan;
use workshop::plan::sheet::{OrderLine, SetupSheet, Trap};
use workshop::problem::Problem;
use workshop::why::quoted;

use super::super::why::{Link, chain};
use super::super::{Head, rendered};

/// Every piece, under the name of its element.
pub struct Pieces {
    pub cards: String,
    pub asked: String,
}

/// What of it is wanted.
#[derive(Default)]
pub struct Wanted {
    /// The step that is open, by its call; empty for none.
    pub step: String,
}

/// Draws every piece.
pub fn pieces(head: &Head, asked: &Asked, planned: Result<&Plan, &Vec<Problem>>, wanted: &Wanted) -> Pieces {
    let plan = planned.ok();
    let order = plan.map(|plan| &plan.order);
    Pieces {
        cards: match planned {
            Ok(plan) => cards(head, plan, wanted),
            Err(faults) => rendered(&FaultsPiece { faults }),
        },
        asked: rendered(&AskedPiece {
            uses: order.map(|order| order.uses.words()).unwrap_or_default(),
            added: order
                .and_then(|order| Some(order.uses.more_than(&order.free?).words()))
                .unwrap_or_default(),
            proof: order.map(|order| order.proof.sentence.as_str()).unwrap_or_default(),
            wishes: asked.wanted.iter().enumerate().map(|(n, stated)| wish(stated, n, order)).collect(),
            done: asked.done.iter().map(|stated| said(stated, "order/done", String::new())).collect(),
            follows: order.map(follows).unwrap_or_default(),
            choices: order.map(choices).unwrap_or_default(),
            left: plan.map(|plan| plan.cover.left.as_slice()).unwrap_or_default(),
            traps: plan.map(|plan| plan.cover.traps.as_slice()).unwrap_or_default(),
            assumed: order
                .map(|order| order.assumed.iter().map(|words| quoted(words)).collect())
                .unwrap_or_default(),
        }),
    }
}

fn sent(changes: &[Change]) -> String {
    serde_json::to_string(changes).expect("a change is plain data")
}

fn include(at: &str, words: &str) -> Change {
    Change::Include { at: at.into(), item: Value::text(words) }
}

fn exclude(at: &str, words: &str) -> Change {
    Change::Exclude { at: at.into(), item: Value::text(words) }
}

/// The changes that want one step before another: the wish, in the place of its opposite.
fn before(first: &str, then: &str) -> String {
    let wish = |a: &str, b: &str| format!("{a} before {b}");
    sent(&[exclude("order/wanted", &wish(then, first)), include("order/wanted", &wish(first, then))])
}

#[derive(Template)]
#[template(path = "order/faults.html")]
struct FaultsPiece<'a> {
    faults: &'a [Problem],
}

#[derive(Template)]
#[template(path = "order/asked.html")]
struct AskedPiece<'a> {
    uses: String,
    added: String,
    proof: &'a str,
    wishes: Vec<Said>,
    done: Vec<Said>,
    follows: Vec<String>,
    choices: Vec<ChoicePiece<'a>>,
    left: &'a [String],
    traps: &'a [Trap],
    /// What the order supposes, and where it may fall short.
    assumed: Vec<String>,
}

/// One statement of the file, and how to take it back.
struct Said {
    text: String,
    line: usize,
    cost: String,
    back: String,
}

fn said(stated: &Stated, at: &str, cost: String) -> Said {
    Said { text: stated.text.clone(), line: stated.line, cost, back: sent(&[exclude(at, &stated.text)]) }
}

fn wish(stated: &Stated, n: usize, order: Option<&OrderOfWork>) -> Said {
    let cost = order.and_then(|order| order.wishes.get(n)?.cost);
    said(stated, "order/wanted", cost.map(|cost| format!("adds {}", cost.words())).unwrap_or_default())
}

/// What is taken as done because something else is.
fn follows(order: &OrderOfWork) -> Vec<String> {
    order.done.iter().map(|done| done.text.clone()).collect()
}

struct ChoicePiece<'a> {
    choice: &'a Chosen,
    /// Each as the file says it, in short, the changes that want it, and what it comes to.
    others: Vec<(&'a str, &'a str, String, String)>,
}

fn choices(order: &OrderOfWork) -> Vec<ChoicePiece<'_>> {
    order.choices.iter().zip(order.prices()).map(|(chosen, prices)| choice(chosen, prices)).collect()
}

fn choice(choice: &Chosen, prices: Vec<Option<String>>) -> ChoicePiece<'_> {
    let others = choice.others.iter().zip(prices).map(|(other, price)| {
        let short = other.strip_prefix(&format!("{}: ", choice.name)).unwrap_or(other);
        (other.as_str(), short, sent(&[include("order/wanted", other)]), price.unwrap_or_default())
    });
    ChoicePiece { choice, others: others.collect() }
}

#[derive(Template)]
#[template(path = "order/cards.html")]
struct CardsPiece<'a> {
    head: &'a Head,
    cards: Vec<Card<'a>>,
    scale: String,
}

/// One setup.
struct Card<'a> {
    line: &'a OrderLine,
    sheet: &'a SetupSheet,
    svg: String,
    /// Whether the picture is of the metal, to the one scale of the page.
    staged: bool,
    steps: Vec<StepPiece<'a>>,
    /// The changes that say that all up to its end is done.
    done: String,
}

struct StepPiece<'a> {
    /// In the whole order, from one.
    number: usize,
    call: &'a str,
    text: &'a str,
    up: Option<String>,
    down: Option<String>,
    done_on: String,
    done_off: String,
    open: Option<Open>,
}

/// What is told of a step that is open.
struct Open {
    why: Vec<Link>,
    others: Vec<Other>,
}

/// Another step, and whether the open one may change places with it.
struct Other {
    number: usize,
    call: String,
    may: bool,
    words: Vec<String>,
}

/// The scales of pictures, in hundredths.
const PERCENTS: [u32; 7] = [200, 100, 50, 25, 20, 10, 5];
/// The widest and tallest picture, in millimetres of screen: a phone is no wider.
const ROOM_MM: f64 = 84.0;

fn cards(head: &Head, plan: &Plan, wanted: &Wanted) -> String {
    let order = &plan.order;
    let largest = plan.setups.iter().filter_map(|sheet| sheet.stage.as_ref()).map(|stage| {
        let [least, most] = stage.bounds();
        (most.x_mm - least.x_mm).max(most.y_mm - least.y_mm) + 4.0
    });
    let largest = largest.fold(0.0, f64::max);
    let percent = PERCENTS.into_iter().find(|&p| largest * f64::from(p) / 100.0 <= ROOM_MM).unwrap_or(5);
    let scale = match percent {
        p if p >= 100 => format!("{} : 1", p / 100),
        p => format!("1 : {}", 100 / p),
    };
    let lines = plan.cover.order.iter().zip(&plan.setups);
    let cards = lines.enumerate().map(|(index, (line, sheet))| {
        let so_far = order.steps.iter().filter(|step| step.setup <= index);
        let done: Vec<Change> = so_far.map(|step| include("order/done", &step.call)).collect();
        let steps = (0..order.steps.len()).filter(|&n| order.steps[n].setup == index);
        Card {
            line,
            sheet,
            svg: match &sheet.stage {
                Some(stage) => sheets::stage_svg(stage, sheet.number, percent),
                None => sheets::setup_svg(sheet),
            },
            staged: sheet.stage.is_some(),
            steps: steps.map(|n| step(order, n, wanted)).collect(),
            done: sent(&done),
        }
    });
    rendered(&CardsPiece { head, cards: cards.collect(), scale })
}

fn step<'a>(order: &'a OrderOfWork, n: usize, wanted: &Wanted) -> StepPiece<'a> {
    let here = &order.steps[n];
    let call = |n: usize| order.steps[n].call.as_str();
    let done = |make: fn(&str, &str) -> Change| sent(&[make("order/done", &here.call)]);
    StepPiece {
        number: n + 1,
        call: &here.call,
        text: &here.text,
        up: (n > 0).then(|| before(&here.call, call(n - 1))),
        down: (n + 1 < order.steps.len()).then(|| before(call(n + 1), &here.call)),
        done_on: done(include),
        done_off: done(exclude),
        open: (wanted.step == here.call).then(|| open(order, n)),
    }
}

fn open(order: &OrderOfWork, at: usize) -> Open {
    let why = chain(&order.why_here(at));
    let others = (0..order.steps.len()).filter(|&n| n != at).map(|n| {
        let (may, words) = told(order.may_change_places(at, n));
        Other { number: n + 1, call: order.steps[n].call.clone(), may, words }
    });
    Open { why, others: others.collect() }
}

/// Whether something may be, and what to say of it.
fn told(may: May) -> (bool, Vec<String>) {
    match may {
        May::Yes { cost, against } => {
            let mut words = vec![format!("it adds {}", cost.words())];
            words.extend(against.into_iter().map(|habit| format!("against a habit only: {habit}")));
            (true, words)
        }
        May::No(reasons) => (false, reasons),
    }
}

#[derive(Template)]
#[template(path = "order/targets.html")]
struct TargetsPiece {
    places: Vec<(usize, bool, String)>,
}

/// For a lifted step, every place it might be put down at: the number of steps before it.
pub fn targets(order: &OrderOfWork, call: &str) -> String {
    let Some(from) = order.steps.iter().position(|step| step.call == call) else { return String::new() };
    let places = (0..=order.steps.len()).filter(|&at| at != from && at != from + 1).map(|at| {
        let to = if at > from { at - 1 } else { at };
        let (may, words) = told(order.may_move(from, to));
        (at, may, words.into_iter().next().unwrap_or_default())
    });
    rendered(&TargetsPiece { places: places.collect() })
}
