//! What is said of a holding because several pieces go through it: turned ones one after another,
//! blanks face to face between the jaws, stacks that screws hold.

use super::blanks;
use super::job::Setup;
use crate::drawing::{Body, FeatureId};
use crate::measure::Length;
use crate::order::work::{Lots, Screw};
use crate::order::{Held, Joined, Located, Machine, Pieces, Work};
use crate::settings::show::{mm, practice};
use crate::tables::heads::{cap_head, nut};
use crate::why::{Figure, Why};

/// What to do for each of several turned pieces; none of a single one, nor at the bench.
pub fn turned(setup: &Setup) -> Option<String> {
    let Pieces::Each(lots) = setup.holding.pieces else { return None };
    let turned = matches!(setup.part.drawing.body, Body::Turned { .. });
    if !turned || lots.pieces < 2 || setup.holding.machine == Machine::BenchVice {
        return None;
    }
    let each = format!("For each of the {} pieces", lots.pieces);
    let on_bar = matches!(setup.holding.held, Held::Chuck { on: None } | Held::Collet { on: None });
    let said = if blanks::one_bar(setup.job) == Some(setup.number - 1) {
        format!(
            "{each}: the bar drawn out, or its next length put in, as far as the first time, up to a stop in the tailstock, and every row; it comes off the bar before the next is begun. All are made so far before any goes on."
        )
    } else if on_bar {
        format!("{each}, on a length of bar of its own: as far out as the first, and every row.")
    } else if setup.holding.stays_set() {
        format!(
            "{each}: in as far as the first, against the same stop or shoulder, and every row; what is set for the first stays set."
        )
    } else {
        format!("{each}: set anew as said here, and every row.")
    };
    Some(said)
}

/// How blanks are squared several at a time, face to face between the jaws.
pub fn face_to_face(lots: Lots) -> String {
    format!(
        "{} at a time face to face between the jaws, each tapped down and tried with the square by itself before the vice is tight: squared as one.",
        lots.high
    )
}

/// What clamps, and then screws, mean for a holding of stacks that are not stuck.
pub fn screwed(setup: &Setup) -> Option<String> {
    let Pieces::Stack(Lots { joined: Joined::Screwed, .. }) = setup.holding.pieces else { return None };
    let steps = &setup.job.order.steps;
    let (at, screws) = steps.iter().find_map(|step| match &step.work {
        Work::ScrewTogether { screws } => Some((step.setup, screws)),
        _ => None,
    })?;
    let here = setup.number - 1;
    if setup.holding.held == Held::Bench {
        return None;
    }
    if here < at {
        return Some(
            "The clamps stay on until the screws are tight; where one is in the way of a cut, move it while the others and the vice hold."
                .into(),
        );
    }
    let tallest = |height: fn(&Screw) -> Length| screws.iter().map(height).max().unwrap_or_default();
    let heads = tallest(|screw| cap_head(screw.thread).map_or(screw.thread.major, |head| head.height));
    let ends = tallest(|screw| screw.long);
    let mut said = format!(
        "The screws' heads stand {} below the stack: packing or parallels thicker than that, clear of the heads",
        mm(heads)
    );
    if setup.holding.machine != Machine::BenchVice {
        said += &format!(
            "; their ends stand up to {} above it, so the cutter is at least {} out of its holder",
            mm(ends - setup.stack_height()),
            mm(ends)
        );
    }
    let taken: Vec<&str> = screws
        .iter()
        .filter(|screw| goes_through(setup, screw.hole))
        .map(|screw| setup.part.feature(screw.hole).name.as_str())
        .collect();
    said += &match taken.as_slice() {
        [] => ".".to_owned(),
        [one] => {
            format!(". What holds it through {one} takes the place of that screw, while the other holds.")
        }
        _ => format!(
            ". What holds it through {} takes the place of the screws, one after the other, so that one always holds.",
            taken.join(" and ")
        ),
    };
    Some(said)
}

/// Whether a stub, a bolt of the plate or a button goes through a hole.
pub fn goes_through(setup: &Setup, hole: FeatureId) -> bool {
    match &setup.holding.held {
        Held::BoltOnPlate { bores }
        | Held::PlateOnEdge { bores }
        | Held::PlateSwung { bores }
        | Held::PlateTurned { bores, .. } => bores.contains(&hole),
        Held::StubMandrel { bore } => *bore == hole,
        Held::FilingButtons => setup.holding.located == Located::Bore(hole),
        _ => false,
    }
}

/// What is set where a stack is clamped, screwed and taken apart.
pub fn sets(setup: &Setup, number: usize, work: &Work) -> Vec<Figure> {
    let Pieces::Stack(lots) = setup.holding.pieces else { return Vec::new() };
    if lots.joined != Joined::Screwed {
        return Vec::new();
    }
    match work {
        Work::Stick => vec![Figure::new(
            setup.named(number, "clamps"),
            match super::clamps::stack::first_placed(setup) {
                Some((later, sides)) => format!("one over {sides}, placed as setup {later} says"),
                None => "2 or more, on edges that are not being cut, clear of every hole".to_owned(),
            },
            practice("the faces clean and free of burrs, two edges of all flush against a square"),
        )],
        Work::ScrewTogether { screws } => {
            screws.iter().map(|screw| figure(setup, number, lots, screw)).collect()
        }
        _ => Vec::new(),
    }
}

fn figure(setup: &Setup, number: usize, lots: Lots, screw: &Screw) -> Figure {
    let name = &setup.part.feature(screw.hole).name;
    let size = screw.thread.designation.as_str();
    let lower = screw.long_in_lower.filter(|long| *long != screw.long);
    let lower =
        lower.map_or(String::new(), |long| format!("; × {} in a stack of {}", mm(long), lots.lowest()));
    let high = nut(screw.thread).map_or(screw.thread.major, |nut| nut.height);
    let why = Why::new(format!(
        "the next length sold over {} of metal, {} of nut and two threads",
        mm(setup.stack_height()),
        mm(high)
    ));
    let why = match nut(screw.thread) {
        Some(nut) => why.source(nut.source.to_string()),
        None => why,
    };
    let why = why.because(practice(format!(
        "{size} is the largest coarse thread that passes the hole; its head and nut stay clear of the outline and of whatever else is cut in the stack"
    )));
    Figure::new(
        setup.named(number, &format!("through {name}")),
        format!("cap screw {size} × {} from below, nut on top{lower}", mm(screw.long)),
        why,
    )
}

impl Setup<'_> {
    /// How high the tallest stack stands.
    pub fn stack_height(&self) -> Length {
        self.part.thickness() * i64::from(self.holding.pieces.high())
    }
}
