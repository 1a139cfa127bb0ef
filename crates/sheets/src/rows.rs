//! The operations of a setup: number, what to do with what, what to set, how
//! deep, what to check, and a box to tick.

use crate::callout::{BALLOON_RADIUS_MM, ring};
use crate::font::Face;
use crate::grid::{Band, Grid, LABEL_PT, Setting, axis, dial, natural_mm, words};
use crate::ink::{Bounds, Fill, Ink, Line, Point, Text};
use crate::table::{Ground, Spacing};

mod likes;

pub(crate) use likes::Likes;

/// One operation.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Operation {
    /// The number in the ring, the same on the picture.
    pub key: String,
    /// What to do.
    pub what: String,
    /// What with.
    pub tool: String,
    /// Spindle speed.
    pub speed: Option<Setting>,
    /// Where.
    pub sets: Vec<Setting>,
    /// How deep, in how many passes.
    pub depth: Vec<Setting>,
    /// What must then be true.
    pub check: Option<Setting>,
}

impl Operation {
    /// Every figure of it, in reading order.
    pub fn settings(&self) -> impl Iterator<Item = &Setting> {
        self.speed.iter().chain(&self.sets).chain(&self.depth).chain(&self.check)
    }
}

/// The operations of a setup, in order.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Rows(pub Vec<Operation>);

const KEY_MM: f64 = 9.0;
/// What the words may take.
const DO_MM: [f64; 2] = [43.0, 48.0];
/// What depths and passes may take, least first.
const DEPTHS_MM: &[f64] = &[28.0, 32.0, 36.0, 42.0, 50.0, 60.0, 68.0];
/// What checks may take; the less only where a sheet is set close.
const CHECK_MM: [f64; 2] = [21.0, 15.0];
const TICK_MM: f64 = 6.0;
/// How much of a page a row may take before it may be broken.
const KEPT_WHOLE: f64 = 0.4;
const PAD_MM: f64 = 1.4;
const CLOSE_PAD_MM: f64 = 0.8;
const GUTTER_MM: f64 = 2.0;
const LEAST_COLUMN_MM: f64 = 25.0;
/// What is set, where it is one figure to a line.
const LEAST_ALONE_MM: f64 = 22.0;

/// A figure that fills so many lines of its column is set under its row, across the paper, where that
/// saves as much as is worth leaving its place for.
const LONG_LINES: f64 = 1.6;
const WORTH_MM: f64 = 8.0;
/// The narrowest column of such figures.
const LEAST_LONG_MM: f64 = 45.0;

impl Rows {
    /// True when any figure in it rests on something supposed.
    pub fn supposes(&self) -> bool {
        self.0.iter().flat_map(Operation::settings).any(|s| s.cell.ground == Ground::Supposed)
    }

    /// The headings of the columns; one with nothing under it has none.
    pub(crate) fn headings(&self) -> [&'static str; 6] {
        let used = [
            false,
            true,
            self.0.iter().any(|o| !o.sets.is_empty()),
            self.0.iter().any(|o| !o.depth.is_empty()),
            self.0.iter().any(|o| o.check.is_some()),
            false,
        ];
        let mut headings = ["", "Operation, tool", "Set", "Depth, passes", "Check", ""];
        for (heading, used) in headings.iter_mut().zip(used) {
            if !used {
                *heading = "";
            }
        }
        headings
    }

    /// Sets the rows to a width. A row that would take much of a page of this
    /// height is broken into strips.
    pub(crate) fn lay_out(&self, width_mm: f64, page_mm: f64, spacing: Spacing) -> Laid {
        // What to do, what is set and how deep share the paper as takes least of it.
        let height_mm = |laid: &Laid| laid.strips.iter().map(|strip| strip.band.height_mm).sum::<f64>();
        let depths_mm = if self.0.iter().any(|o| !o.depth.is_empty()) { DEPTHS_MM } else { &[0.0] };
        // X and Y stand side by side wherever both are set.
        let beside = self.0.iter().flat_map(|o| &o.sets).any(|s| axis(&s.label) == Some('Y'));
        let least_mm = if beside { 2.0 * LEAST_COLUMN_MM } else { LEAST_ALONE_MM };
        let checks_mm: &[f64] = match spacing {
            Spacing::Usual => &CHECK_MM[..1],
            Spacing::Close => &CHECK_MM,
        };
        let shared = depths_mm.iter().flat_map(|depth_mm| DO_MM.map(|do_mm| [do_mm, *depth_mm]));
        let ways = shared
            .flat_map(|[do_mm, depth_mm]| checks_mm.iter().map(move |check_mm| [do_mm, depth_mm, *check_mm]));
        let leaves_room = |way: &[f64; 3]| self.spans(*way, width_mm)[2].1 >= least_mm;
        ways.enumerate()
            .filter(|(n, way)| *n == 0 || leaves_room(way))
            .map(|(_, way)| self.laid_with(way, width_mm, page_mm, spacing))
            .reduce(|a, b| if height_mm(&b) < height_mm(&a) - 0.01 { b } else { a })
            .expect("there is at least one way to share the paper")
    }

    fn laid_with(&self, way: [f64; 3], width_mm: f64, page_mm: f64, spacing: Spacing) -> Laid {
        let spans = self.spans(way, width_mm);
        let heading = heading(&spans, self.headings());
        let tallest_mm = (page_mm - heading.height_mm) * KEPT_WHOLE;
        let all: Vec<&[Setting]> = self.0.iter().map(|o| o.sets.as_slice()).collect();
        let sets = Grid::new(spans[2].1, LEAST_COLUMN_MM, &all);
        let all: Vec<&[Setting]> = self.0.iter().map(|o| o.depth.as_slice()).collect();
        let depths = Grid::new(spans[3].1, LEAST_COLUMN_MM, &all);
        let pad_mm = match spacing {
            Spacing::Usual => PAD_MM,
            Spacing::Close => CLOSE_PAD_MM,
        };
        let paper = Paper { spans, pad_mm, tallest_mm, width_mm };
        let row = |operation: &Operation| {
            let with = |settings: &[Setting], under: Vec<Band>| {
                let stacks = vec![
                    what(operation, spans[1].1),
                    sets.lay_out(settings),
                    depths.lay_out(&operation.depth),
                    check(operation, spans[4].1),
                ];
                paper.strips(operation, stacks, under)
            };
            let beside = with(&operation.sets, Vec::new());
            let likes = Likes::among(&operation.sets);
            let under = likes.and_then(|(likes, rest)| Some(with(&rest, likes.lay_out(paper.under_mm())?)));
            let shorter = under.filter(|under| height_of_mm(under) < height_of_mm(&beside)).unwrap_or(beside);
            let wide = long_ones(&operation.sets, spans[2].1).map(|(rest, long)| {
                let grid = Grid::new(paper.under_mm(), LEAST_LONG_MM, &[&long]);
                with(&rest, grid.lay_out(&long))
            });
            let saves = |wide: &Vec<Band>| height_of_mm(wide) + WORTH_MM < height_of_mm(&shorter);
            wide.filter(saves).unwrap_or(shorter)
        };
        let strips = |operation: &Operation| {
            let goes_on = goes_on(operation, &paper);
            row(operation)
                .into_iter()
                .enumerate()
                .map(move |(n, band)| Strip { band, goes_on: (n > 0).then(|| goes_on.clone()) })
        };
        Laid { heading, strips: self.0.iter().flat_map(strips).collect() }
    }

    /// Left side and width of each column; a column with nothing in it gives its
    /// paper to what is set.
    fn spans(&self, [do_mm, depth_mm, check_mm]: [f64; 3], width_mm: f64) -> [(f64, f64); 6] {
        let check_mm = if self.0.iter().any(|o| o.check.is_some()) { check_mm } else { 0.0 };
        let rest_mm = width_mm - KEY_MM - do_mm - depth_mm - check_mm - TICK_MM;
        let mut left_mm = 0.0;
        [KEY_MM, do_mm, rest_mm, depth_mm, check_mm, TICK_MM].map(|wide_mm| {
            let span = (left_mm, (wide_mm - GUTTER_MM).max(0.0));
            left_mm += wide_mm;
            span
        })
    }
}

/// What is said in whole sentences, apart from the rest; nothing where none is too long for its column.
fn long_ones(sets: &[Setting], column_mm: f64) -> Option<(Vec<Setting>, Vec<Setting>)> {
    let is_long =
        |s: &Setting| axis(&s.label).is_none() && natural_mm(&s.cell.words) > LONG_LINES * column_mm;
    let (long, rest): (Vec<Setting>, Vec<Setting>) = sets.iter().cloned().partition(is_long);
    (!long.is_empty()).then_some((rest, long))
}

/// Rows set to a width.
#[derive(Clone, Debug)]
pub(crate) struct Laid {
    pub heading: Band,
    pub strips: Vec<Strip>,
}

/// A row, or what is left of it.
#[derive(Clone, Debug)]
pub(crate) struct Strip {
    pub band: Band,
    /// What stands before the rest of a row at the head of a page.
    pub goes_on: Option<Band>,
}

/// The number and the words of a row again, where it goes on over the page.
fn goes_on(operation: &Operation, paper: &Paper) -> Band {
    let height_mm = 2.0 * (BALLOON_RADIUS_MM + paper.pad_mm);
    let mut ink = Ink::new();
    ring(&mut ink, Point::mm(BALLOON_RADIUS_MM, paper.pad_mm + BALLOON_RADIUS_MM), &operation.key);
    let base_mm = height_mm / 2.0 + Text::leading_mm(LABEL_PT) / 2.0 - Face::Regular.descent_mm(LABEL_PT);
    let words = format!("{} (continued)", operation.what);
    ink.text(Text::new(&words, LABEL_PT, Point::mm(paper.spans[1].0, base_mm)).face(Face::Bold));
    Band { ink, height_mm }
}

fn heading(spans: &[(f64, f64); 6], headings: [&str; 6]) -> Band {
    let height_mm = Text::leading_mm(LABEL_PT) + PAD_MM;
    let mut ink = Ink::new();
    for ((left_mm, width_mm), words) in spans.iter().zip(headings) {
        if *width_mm > 0.0 {
            let at = Point::mm(*left_mm, height_mm - PAD_MM - 0.4);
            ink.text(Text::new(words, LABEL_PT, at).face(Face::Bold));
        }
    }
    let (left_mm, width_mm) = spans[5];
    ink.line(Line::Visible, Point::mm(0.0, height_mm), Point::mm(left_mm + width_mm + GUTTER_MM, height_mm));
    Band { ink, height_mm }
}

/// What to do, with what, how fast.
fn what(operation: &Operation, width_mm: f64) -> Vec<Band> {
    // A size stays with its unit.
    let whole = |words: &str| words.replace(" mm", "\u{a0}mm");
    let mut bands = words(&whole(&operation.what), Face::Bold, 10.0, width_mm, None);
    bands.extend(words(&whole(&operation.tool), Face::Regular, LABEL_PT, width_mm, None));
    if let Some(speed) = &operation.speed {
        bands.extend(dial(&speed.cell.words, width_mm, speed.cell.tag.as_ref()));
    }
    bands
}

fn check(operation: &Operation, width_mm: f64) -> Vec<Band> {
    let Some(check) = &operation.check else { return Vec::new() };
    words(&check.cell.words, Face::Regular, LABEL_PT, width_mm, check.cell.tag.as_ref())
}

fn height_of_mm(bands: &[Band]) -> f64 {
    bands.iter().map(|band| band.height_mm).sum()
}

/// The paper on which a row is set.
struct Paper {
    /// Left side and width of each column.
    spans: [(f64, f64); 6],
    pad_mm: f64,
    /// How tall a strip may be.
    tallest_mm: f64,
    width_mm: f64,
}

impl Paper {
    /// How wide what stands under a row may be: from the words to the box.
    fn under_mm(&self) -> f64 {
        self.spans[5].0 - self.spans[1].0
    }

    /// Breaks a row into strips no taller than they may be, nearly always one.
    fn strips(&self, operation: &Operation, mut stacks: Vec<Vec<Band>>, under: Vec<Band>) -> Vec<Band> {
        let Self { spans, pad_mm, tallest_mm, width_mm } = *self;
        let mut strips: Vec<Band> = Vec::new();
        while strips.is_empty() || !stacks.iter().all(Vec::is_empty) {
            let first = strips.is_empty();
            let mut ink = Ink::new();
            let mut height_mm = if first { 2.0 * BALLOON_RADIUS_MM } else { 0.0 };
            for (stack, (left_mm, _)) in stacks.iter_mut().zip(&spans[1..]) {
                let mut down_mm = 0.0;
                let fits = stack
                    .iter()
                    .scan(2.0 * pad_mm, |down, band| {
                        *down += band.height_mm;
                        Some(*down)
                    })
                    .take_while(|down| *down <= tallest_mm)
                    .count();
                let later = stack.split_off(fits.max(1).min(stack.len()));
                for band in std::mem::replace(stack, later) {
                    ink.lay(band.ink, *left_mm, pad_mm + down_mm);
                    down_mm += band.height_mm;
                }
                height_mm = f64::max(height_mm, down_mm);
            }
            height_mm += 2.0 * pad_mm;
            if first {
                ring(&mut ink, Point::mm(BALLOON_RADIUS_MM, pad_mm + BALLOON_RADIUS_MM), &operation.key);
                const BOX_MM: f64 = 4.0;
                let tick = Bounds::new(width_mm - BOX_MM, pad_mm + 1.0, BOX_MM, BOX_MM);
                ink.rectangle(tick, Some(Line::Dimension), Fill::None);
            }
            strips.push(Band { ink, height_mm });
        }
        for band in under {
            let last = strips.last_mut().expect("a row has a strip");
            if last.height_mm + band.height_mm > tallest_mm {
                strips.push(Band { height_mm: pad_mm, ..Band::default() });
            }
            let last = strips.last_mut().expect("a row has a strip");
            last.ink.lay(band.ink, spans[1].0, last.height_mm - pad_mm);
            last.height_mm += band.height_mm;
        }
        let last = strips.last_mut().expect("a row has a strip");
        let foot = Point::mm(0.0, last.height_mm);
        last.ink.line(Line::Rule, foot, foot.moved(width_mm, 0.0));
        strips
    }
}
