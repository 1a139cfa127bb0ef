//! The rows of work that is moved along: where it is set first, how far it is moved, what the readout or
//! the dials are set to then, what to check.

use super::super::job::Setup;
use super::super::rows::{self, Keyed};
use super::super::sheet::Row;
use super::super::travel::Reach;
use super::{Counted, Found, From, Parted, Stretch, Unit, across, lines};
use crate::bench::Readout;
use crate::drawing::FeatureId;
use crate::measure::{Length, Toward};
use crate::order::Located;
use crate::order::work::Step;
use crate::problem::Problem;
use crate::settings::show::{geometry, mm, practice};
use crate::tables::processes::holding;
use crate::why::{Figure, Why};

impl Counted {
    /// Why a reading is what it is after the work was moved along.
    pub fn why(&self) -> Why {
        practice(format!(
            "the work is moved along before this and picked up again from {}, whose own place is kept: what lies across it may be out by {} more",
            self.name,
            mm(self.adds)
        ))
    }
}

/// The rows of the stretches, with what is between them.
///
/// # Errors
///
/// A [`Problem`] when a setting cannot be reached on this bench.
pub(super) fn rows(
    setup: &Setup,
    steps: &[&Step],
    units: &[Unit],
    stretches: &[Stretch],
) -> Result<Parted, Problem> {
    setup.slid.borrow_mut().clear();
    let spans: Vec<Reach> = stretches.iter().map(|stretch| span(setup, units, stretch)).collect();
    let mut parted = Parted {
        keyed: Vec::new(),
        starts: Vec::new(),
        numbers: vec![Vec::new(); steps.len()],
        notes: Vec::new(),
        first: if stretches[0].units.is_empty() { Vec::new() } else { middle(setup, 0, &spans) },
        minutes: 0,
    };
    let held = if setup.holding.held.in_vice() { "vice on parallels" } else { "clamps on the table" };
    parted.minutes = holding(held).minutes * (stretches.len() as u64 - 1);
    let mut next = 1;
    let mut counts: Vec<Option<Counted>> = Vec::new();
    for (n, stretch) in stretches.iter().enumerate() {
        let counted = match &stretch.found {
            Some(found) => {
                let moved = Moved {
                    setup,
                    found,
                    number: next,
                    n,
                    spans: &spans,
                    stretches,
                    units,
                    steps,
                    counts: &counts,
                };
                let at = moved.set_at();
                parted.keyed.push(Keyed {
                    row: moved.row(),
                    at: found.hole().into_iter().collect(),
                    work: None,
                });
                parted.starts.push((next, [found.at; 2]));
                next += 1;
                Some(Counted { name: found.name.clone(), at, adds: found.adds() })
            }
            None => None,
        };
        let mut own = lines(steps, units, &stretch.units, next);
        for line in &mut own {
            line.counted.clone_from(&counted);
            let step = steps.iter().position(|step| std::ptr::eq(*step, line.step));
            parted.numbers[step.expect("a line is of a step")].push(line.number);
        }
        counts.push(counted);
        next += own.len();
        parted.keyed.extend(rows::rows(setup, &own)?);
    }
    parted.notes = notes(setup, &spans);
    parted.notes.extend(across::told(setup, units, stretches));
    Ok(parted)
}

/// The least and the most that a stretch sets, with its pick-up.
fn span(setup: &Setup, units: &[Unit], stretch: &Stretch) -> Reach {
    let start = stretch.found.as_ref().map_or_else(|| setup.finder_reach(), |found| [found.at; 2]);
    stretch.units.iter().fold(start, |mut reach, &n| {
        for axis in [0, 1] {
            if let Some([low, high]) = units[n].span[axis] {
                reach[0][axis] = reach[0][axis].min(low);
                reach[1][axis] = reach[1][axis].max(high);
            }
        }
        reach
    })
}

/// Half-way along a stretch, to a whole millimetre where there is room for that.
fn mid(setup: &Setup, span: &Reach, axis: usize) -> Length {
    let (low, high) = (span[0][axis], span[1][axis]);
    let spare = setup.job.bench.mill.travel[axis] - (high - low);
    let step = if spare >= Length::mm(1) { Length::mm(1) } else { Length::microns(10) };
    (low + high).half().rounded(step, Toward::Nearest).value
}

/// The axes along which the work is moved at all.
fn moved_along(setup: &Setup, spans: &[Reach]) -> Vec<usize> {
    let beyond = |&axis: &usize| {
        let low = spans.iter().map(|span| span[0][axis]).min().unwrap_or_default();
        let high = spans.iter().map(|span| span[1][axis]).max().unwrap_or_default();
        high - low > setup.job.bench.mill.travel[axis]
    };
    (0..2).filter(beyond).collect()
}

/// Where the middle of the slide's travel has to lie for a stretch.
fn middle(setup: &Setup, n: usize, spans: &[Reach]) -> Vec<Figure> {
    let figure = |axis: usize| {
        let (word, travel) = (["X", "Y"][axis], setup.job.bench.mill.travel[axis]);
        let [low, high] = [spans[n][0][axis], spans[n][1][axis]];
        let why = geometry(format!(
            "what is set before the work is moved on goes from {} to {}, and the slide {}: {} to spare at either end",
            mm(low),
            mm(high),
            mm(travel),
            mm((travel - (high - low)).half())
        ));
        let shown = format!("about {word} {}", mm(mid(setup, &spans[n], axis)));
        Figure::new(setup.named(0, "set the work so that the middle of the travel lies at"), shown, why)
    };
    moved_along(setup, spans).into_iter().map(figure).collect()
}

/// How the work is moved, for the foot of the sheet.
fn notes(setup: &Setup, spans: &[Reach]) -> Vec<String> {
    let in_vice = setup.holding.held.in_vice();
    let how = if in_vice {
        "Moved along in the vice the work keeps to the fixed jaw, which must be clean and lie along X; tap it down on its parallels again each time."
    } else {
        "Before the work is clamped first, bolt a straight bar along it to the table, set along X by an indicator: moved along, the work keeps to that bar. The clamps go back to their places on the work."
    };
    let [x0, x1, y0, _] = setup.extent();
    let (left, right) = (setup.off_datum((x0, y0)).0, setup.off_datum((x1, y0)).0);
    let jaws = setup.job.bench.mill.vice_width();
    let out = spans.iter().map(|span| {
        let middle = mid(setup, span, 0);
        (middle - jaws.half() - left).max(right - middle - jaws.half())
    });
    let mut notes = vec![how.to_owned()];
    if let Some(out) = out.max().filter(|out| in_vice && *out > jaws) {
        notes.push(format!(
            "As it is moved up to {} of it stand out past the jaws: prop that end from the table before the vice is let go, so that it cannot tip.",
            mm(out.rounded(Length::mm(1), Toward::Nearest).value)
        ));
    }
    notes
}

/// One move and pick-up.
struct Moved<'a> {
    setup: &'a Setup<'a>,
    found: &'a Found,
    number: usize,
    n: usize,
    spans: &'a [Reach],
    stretches: &'a [Stretch],
    units: &'a [Unit],
    steps: &'a [&'a Step],
    /// What each stretch before it counts from.
    counts: &'a [Option<Counted>],
}

impl Moved<'_> {
    /// Where the slides stand at what is picked up: a hole where it was cut, to a count of the readout
    /// or a division of the dial, from what was counted from then.
    fn set_at(&self) -> [Length; 2] {
        let readout = &self.setup.job.bench.mill.readout;
        let Some(hole) = self.found.hole() else { return self.found.at };
        let counted = self.cut_in(hole).and_then(|stretch| self.counts.get(stretch)?.as_ref());
        let from = match (readout, counted) {
            (Readout::Handwheels { .. }, Some(counted)) => counted.at,
            _ => [Length::ZERO; 2],
        };
        [0, 1].map(|axis| {
            from[axis] + (self.found.at[axis] - from[axis]).rounded(readout.step(), Toward::Nearest).value
        })
    }

    /// The last stretch in which a hole was cut.
    fn cut_in(&self, hole: FeatureId) -> Option<usize> {
        let cuts = |&n: &usize| {
            let unit = &self.units[n];
            let holes = self.steps[unit.step].feature.map(|id| rows::holes_of(self.setup, id));
            let cut = holes.unwrap_or_default();
            unit.hole.map_or(cut.len() == 1 && cut[0] == hole, |nth| cut.get(nth) == Some(&hole))
        };
        self.stretches[..self.n].iter().rposition(|stretch| stretch.units.iter().any(cuts))
    }

    fn row(&self) -> Row {
        let setup = self.setup;
        let tool = match self.found.from {
            From::Clocked(_) => "indicator in the spindle".to_owned(),
            From::Plugged(hole) => {
                let across = setup.part.cut_diameter(hole).unwrap_or_default();
                format!("plug {} that the finger pushes in, indicator in the spindle", mm(across))
            }
            From::Edges => format!("edge finder, tip {}", mm(setup.job.bench.edge_finder)),
        };
        let begins = self.begins();
        let mut sets = if begins { Vec::new() } else { self.moves() };
        sets.extend(self.presets());
        sets.push(self.adds());
        Row {
            number: self.number,
            what: match begins {
                true => format!(
                    "pick the work up from {}: from the datum the slide does not reach",
                    self.found.name
                ),
                false => format!("move the work along and pick it up again from {}", self.found.name),
            },
            tool,
            speed: None,
            sets,
            depth: Vec::new(),
            check: self.check(),
        }
    }

    /// Whether nothing is done before it.
    fn begins(&self) -> bool {
        self.stretches[..self.n].iter().all(|stretch| stretch.units.is_empty())
    }

    /// How far to which side.
    fn moves(&self) -> Vec<Figure> {
        let figure = |axis: usize| {
            let (from, to) =
                (mid(self.setup, &self.spans[self.n - 1], axis), mid(self.setup, &self.spans[self.n], axis));
            let by = to - from;
            let way = [["left", "right"], ["near side", "far side"]][axis][usize::from(by < Length::ZERO)];
            let (word, travel) = (["X", "Y"][axis], self.setup.job.bench.mill.travel[axis]);
            let [low, high] = [self.spans[self.n][0][axis], self.spans[self.n][1][axis]];
            let why = geometry(format!(
                "the middle of the slide's travel comes from {word} {} to {word} {}: what is set from here on goes from {} to {}, and the slide {}, {} to spare at either end",
                mm(from),
                mm(to),
                mm(low),
                mm(high),
                mm(travel),
                mm((travel - (high - low)).half())
            ));
            let shown = format!("about {}", mm(by.abs()));
            Figure::new(self.setup.named(self.number, &format!("to the {way} by")), shown, why)
        };
        moved_along(self.setup, self.spans).into_iter().map(figure).collect()
    }

    /// What the readout or the dials are set to.
    fn presets(&self) -> Vec<Figure> {
        let setup = self.setup;
        let why = match self.found.from {
            From::Edges => practice(format!(
                "the finder touches from outside, half its tip, {}, beyond the edge; where the work measures otherwise than drawn, take what it measures",
                mm(setup.job.bench.edge_finder.half())
            )),
            _ => practice(
                "an indicator true in it puts the spindle over its centre, which keeps the place it was cut at",
            ),
        };
        let at = self.set_at();
        [0, 1]
            .map(|axis| {
                let label = format!("{} {}", ["X", "Y"][axis], self.found.over[axis]);
                let figure = setup.slide(self.number, &label, at[axis], why.clone());
                match setup.job.bench.mill.readout {
                    Readout::Digital { .. } => figure,
                    Readout::Handwheels { .. } => Figure::new(
                        figure.name,
                        "dial to nought: from here on it counts from there",
                        figure.why.because(geometry(format!(
                            "it stands {} from the first nought, and every place after it is counted from that less",
                            mm(at[axis])
                        ))),
                    ),
                }
            })
            .to_vec()
    }

    /// What it costs in accuracy.
    fn adds(&self) -> Figure {
        let why = practice(format!(
            "finding {} again may be out by {}, and it may stand {} from its place itself",
            self.found.name,
            mm(self.found.located),
            mm(self.found.own)
        ))
        .because(
            Why::new("what that way of finding work is out by")
                .source(self.found.from.way().source.to_string()),
        );
        let shown = format!("{} at the worst", mm(self.found.adds()));
        Figure::new(self.setup.named(self.number, "adds to what lies across it"), shown, why)
    }

    /// Something else that is finished and within reach, or an edge that still stands as it did.
    fn check(&self) -> Option<Figure> {
        let setup = self.setup;
        let [low, high] = self.spans[self.n];
        let within = |at: [Length; 2]| {
            (0..2).all(|axis| {
                high[axis].max(at[axis]) - low[axis].min(at[axis]) <= setup.job.bench.mill.travel[axis]
            })
        };
        let others = super::parting::finished(setup, self.steps, self.units, &self.stretches[..self.n]);
        let far = |found: &Found| {
            let [x, y] = [0, 1].map(|axis| (found.at[axis] - self.found.at[axis]).as_mm());
            x.hypot(y)
        };
        let other = others
            .into_iter()
            .filter(|other| other.hole().is_some() && other.hole() != self.found.hole() && within(other.at))
            .max_by(|a, b| far(a).total_cmp(&far(b)));
        // Handwheels count from what is picked up, a readout from the first datum.
        let from = match setup.job.bench.mill.readout {
            Readout::Digital { .. } => [Length::ZERO; 2],
            Readout::Handwheels { .. } => self.set_at(),
        };
        if let Some(other) = other {
            let places: Vec<String> = [0, 1]
                .map(|axis| format!("{} {}", ["X", "Y"][axis], setup.reads(other.at[axis] - from[axis])))
                .into();
            let room = other.located + other.own + self.found.adds();
            let why = practice(format!(
                "both are finished and found by an indicator: they stand as far apart as they were cut, within {}",
                mm(room)
            ));
            let shown = format!("{} at {}, within {}", other.name, places.join(", "), mm(room));
            return Some(Figure::new(setup.named(self.number, "check"), shown, why));
        }
        let Located::Edges(..) = setup.holding.located else { return None };
        if self.found.from == From::Edges {
            return None;
        }
        let tip = setup.finder_reach();
        let axis = (0..2).find(|axis| !moved_along(setup, self.spans).contains(axis))?;
        let touch = tip[0][axis] + tip[1][axis];
        let why = practice(
            "the work was not moved that way: a touch on the edge that it is read from must read as before",
        );
        let shown = format!("{} at its edge reads {}", ["X", "Y"][axis], setup.reads(touch - from[axis]));
        Some(Figure::new(setup.named(self.number, "check"), shown, why))
    }
}
