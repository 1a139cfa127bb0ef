//! The inspection sheet: for every size of the drawing how it is measured with what is owned,
//! what the reading should be, and what cannot be told with it.
//!
//! Begin with [`inspection`]. [`limits`] says between what a size must lie, [`places`] how far
//! holes are from edges and from each other, [`shaped`] threads, tapers and circles.

mod limits;
mod places;
mod shaped;

use super::job::Job;
use super::sheet::{Inspection, InspectionRow};
use crate::bench::{Instrument, Section};
use crate::drawing::{DimensionId, Finish, Measures};
use crate::measure::Length;
use crate::metric::MadeWith;
use crate::settings::measuring::reading::{Limits, Reads, proved, shown};
use crate::settings::show::{mm, practice};
use crate::tables::instruments::{self, Across, InstrumentKind};
use crate::why::{Figure, Why};

/// Writes the inspection sheet.
pub(super) fn inspection(job: &Job) -> Inspection {
    let bench = Instruments::of(job);
    let mut rows = Rows { job, bench, rows: Vec::new() };
    for (at, dimension) in job.part.drawing.dimensions.iter().enumerate() {
        rows.size(DimensionId(at), dimension.measures);
    }
    places::add(&mut rows);
    shaped::add(&mut rows);
    let supposed = rows.bench.supposed.then(|| {
        "the bench file lists no instruments: a caliper to 150 mm and a micrometer to 25 mm are supposed"
            .into()
    });
    let rows = rows.rows.into_iter().enumerate();
    let numbered = rows.map(|(at, row)| InspectionRow { number: at + 1, ..row });
    Inspection { rows: numbered.collect(), supposed }
}

/// What there is to measure with.
struct Instruments {
    owned: Vec<Instrument>,
    supposed: bool,
}

/// An instrument as it reads one length.
struct Reading<'a> {
    instrument: &'a Instrument,
    reads: Reads,
    why: Why,
}

impl Instruments {
    fn of(job: &Job) -> Self {
        let (owned, supposed) = job.bench.to_measure_with();
        Self { owned, supposed }
    }

    /// The instrument for a length: the first of the bench that is out by a tenth of the limits'
    /// width at most, else the one that is out least.
    fn best(&self, across: Across, length: Length, limits: Limits) -> Option<Reading<'_>> {
        let mut best: Option<Reading> = None;
        for instrument in self.owned.iter().filter(|one| one.takes(across, length)) {
            let Some(error) = instrument.kind.error(across, length, instrument.step) else { continue };
            let doubt = error.either_way + instrument.step.half();
            let why = Why::new(format!(
                "{}: out by {} at most, and by half of the {} that it shows",
                instrument.words(),
                mm(error.either_way),
                mm(instrument.step)
            ))
            .source(error.source.to_string());
            let reading = Reading { instrument, reads: Reads { step: instrument.step, doubt }, why };
            if doubt * 10 <= limits.width() {
                return Some(reading);
            }
            if best.as_ref().is_none_or(|known| reading.reads.doubt < known.reads.doubt) {
                best = Some(reading);
            }
        }
        best
    }
}

/// What is to be measured: its name, size, limits and how to come at it.
struct Asked {
    what: String,
    size: Length,
    limits: Limits,
    why: Why,
    across: Across,
    how: String,
}

/// An instrument that would tell a size, in the step it usually shows or in thousandths.
fn would_tell(asked: &Asked) -> String {
    let tells = |kind: &InstrumentKind, step: Length| {
        let Some(error) = kind.error(asked.across, asked.size, step) else { return false };
        let reads = Reads { step, doubt: error.either_way + step.half() };
        let room = asked.across != Across::Inside || kind.inside_from.is_none_or(|least| asked.size >= least);
        room && proved(asked.limits, reads).is_some()
    };
    if let Some(kind) = instruments::all().iter().find(|kind| tells(kind, kind.usual_step)) {
        return format!("; a {} would", kind.name);
    }
    let fine = Length::microns(1);
    match instruments::all().iter().find(|kind| kind.usual_step < Length::microns(20) && tells(kind, fine)) {
        Some(kind) => format!("; a {} that shows {} would", kind.name, mm(fine)),
        None => String::new(),
    }
}

/// The rows as they are written.
struct Rows<'a> {
    job: &'a Job<'a>,
    bench: Instruments,
    rows: Vec<InspectionRow>,
}

impl Rows<'_> {
    /// A row for one dimension of the drawing, where it is one that is measured by itself.
    fn size(&mut self, id: DimensionId, measures: Measures) {
        let dimension = &self.job.part.drawing.dimensions[id.0];
        let size = self.job.part.size(id);
        let (limits, why) = limits::of(self.job, id);
        let asked = |across, how: &str| Asked {
            what: dimension.name.clone(),
            size,
            limits,
            why: why.clone(),
            across,
            how: how.to_owned(),
        };
        match measures {
            Measures::Hole(finish) => self.hole(id, asked(Across::Inside, "across the hole"), finish),
            Measures::Thickness | Measures::Outside | Measures::Web => {
                self.measured(asked(Across::Outside, "across the outside"));
            }
            Measures::Turned => self.measured(asked(Across::Outside, "across, at three places along it")),
            Measures::AcrossFlats | Measures::AcrossBar => {
                self.measured(asked(Across::Outside, "across the flats"));
            }
            Measures::SlotWidth | Measures::Inside | Measures::Filed | Measures::Counterbore => {
                self.measured(asked(Across::Inside, "between the sides"));
            }
            Measures::Depth => self.measured(asked(Across::Depth, "from the face down")),
            Measures::Along => self.measured(asked(Across::Depth, "along, from the face it is counted from")),
            Measures::Position if !places::is_hole(self.job, id) => {
                self.measured(asked(Across::Depth, "from what the drawing counts it from"));
            }
            Measures::Throw => self.throw(asked(Across::Outside, "over one turn in the chuck or on centres")),
            Measures::Radius => self.radius(asked(Across::Outside, "held to the round against the light")),
            Measures::Countersink => self.by_tool(asked(Across::Inside, ""), "a screw's head lies flush"),
            Measures::SawWidth => self.by_tool(asked(Across::Inside, ""), "the saw itself is the gauge"),
            Measures::InsideCorner => {
                self.by_tool(asked(Across::Inside, ""), "the cutter itself is the gauge")
            }
            Measures::KnurlPitch => self.by_tool(asked(Across::Outside, ""), "the wheels make it"),
            Measures::Chamfer => self.by_tool(asked(Across::Outside, ""), "the tool's travel makes it"),
            Measures::TaperPin => {
                self.by_tool(asked(Across::Inside, ""), "the pin itself: how far it stands out by thumb");
            }
            // Another part's own size, and places that are measured over plugs.
            Measures::Shaft | Measures::Position => {}
        }
    }

    /// A row with an instrument.
    fn measured(&mut self, asked: Asked) {
        let row = match self.bench.best(asked.across, asked.size, asked.limits) {
            Some(reading) => {
                let (words, why) = shown(asked.limits, reading.reads);
                let told = proved(asked.limits, reading.reads).is_some();
                let words = if told { words } else { format!("{words}{}", would_tell(&asked)) };
                let why = why.because(asked.why.clone()).because(reading.why);
                (reading.instrument.words(), words, why, told)
            }
            None => {
                let what = match asked.across {
                    Across::Outside => "outside",
                    Across::Inside => "inside",
                    Across::Depth => "depth",
                };
                let why = Why::new(format!("nothing owned measures {} {what}", mm(asked.size)));
                let words = format!("cannot be told{}", would_tell(&asked));
                ("nothing owned".into(), words, why.because(asked.why.clone()), false)
            }
        };
        let (with, words, why, told) = row;
        self.push(&asked, with, words, why, told);
    }

    fn push(&mut self, asked: &Asked, with: String, words: String, why: Why, told: bool) {
        let name = |label: &str| format!("inspection, {}: {label}", asked.what);
        let why = if self.bench.supposed {
            why.because(Why::assumed("what there is to measure with is supposed"))
        } else {
            why
        };
        self.rows.push(InspectionRow {
            number: 0,
            what: asked.what.clone(),
            size: Figure::new(name("size"), mm(asked.size), asked.why.clone()),
            how: asked.how.clone(),
            with,
            reading: Figure::new(name("reading"), words, why),
            told,
        });
    }

    /// A hole: between plug pins where they part its limits, by an instrument, or by its drill.
    fn hole(&mut self, id: DimensionId, asked: Asked, finish: Finish) {
        let pins = self.job.bench.gauges("plug pins");
        let goes = pins.iter().copied().filter(|pin| *pin <= asked.limits.least).max();
        let stays_out = pins.iter().copied().filter(|pin| *pin >= asked.limits.greatest).min();
        let near = |pin: Length| pin.gap(asked.size) <= asked.limits.width() + Length::microns(150);
        if let (Some(go), Some(stay)) = (goes.filter(|pin| near(*pin)), stays_out.filter(|pin| near(*pin))) {
            let parts = go == asked.limits.least && stay == asked.limits.greatest;
            let words = format!("{} goes in, {} does not", mm(go), mm(stay));
            let tells = if parts { "" } else { ": it lies between them, which is wider than its limits" };
            let why = practice(format!("plain pins, clean and dry{tells}")).because(asked.why.clone());
            // Only an instrument that tells the limits themselves is better.
            let reading = self.bench.best(asked.across, asked.size, asked.limits);
            if parts || reading.is_none_or(|reading| proved(asked.limits, reading.reads).is_none()) {
                self.push(&asked, "plug pins".into(), words, why, parts);
                return;
            }
        }
        let proves = |reading: Reading| proved(asked.limits, reading.reads).is_some();
        let reamed = matches!(self.job.metric.dimensions[id.0].made, MadeWith::Reamer { .. });
        if reamed && !self.bench.best(asked.across, asked.size, asked.limits).is_some_and(proves) {
            let how = format!(
                "its reamer makes it: its own pin, or a plug turned to {}, goes in without shake",
                mm(asked.size)
            );
            self.measured(Asked { how, ..asked });
            return;
        }
        let drilled =
            finish == Finish::Drilled && matches!(self.job.metric.dimensions[id.0].made, MadeWith::Drill(_));
        if drilled && self.bench.best(asked.across, asked.size, asked.limits).is_none() {
            self.by_tool(asked, "the drill's own shank goes in");
            return;
        }
        self.measured(asked);
    }

    /// What an indicator shows over a turn: twice the throw.
    fn throw(&mut self, asked: Asked) {
        // An indicator of hundredths, which is out by two of them over its travel; DIN 878.
        let reads = Reads { step: Length::microns(10), doubt: Length::microns(20) };
        let twice = Limits { least: asked.limits.least * 2, greatest: asked.limits.greatest * 2 };
        let (words, why) = shown(twice, reads);
        let why = why
            .because(practice("a round off its axis rises and falls by twice its throw over one turn"))
            .because(
                Why::new("an indicator of 0.01 mm is out by 0.02 mm at most").source("DIN 878, from memory"),
            )
            .because(asked.why.clone());
        let told = proved(twice, reads).is_some();
        self.push(&asked, "indicator".into(), words, why, told);
    }

    /// A radius by its gauge.
    fn radius(&mut self, asked: Asked) {
        let owned = self.job.bench.gauges("radius gauges").into_iter();
        let fits = owned.filter(|gauge| (asked.limits.least..=asked.limits.greatest).contains(gauge));
        match fits.min_by_key(|gauge| gauge.gap(asked.size)) {
            Some(gauge) => {
                let words = format!("gauge {} shows no light", mm(gauge));
                let why =
                    practice("light under the ends: the work is too large; under the middle: too small");
                let why = why.because(asked.why.clone());
                self.push(&asked, "radius gauges".into(), words, why, true);
            }
            None => {
                let asked = Asked { how: String::new(), ..asked };
                self.by_tool(asked, "a button or template turned to it, held against the light");
            }
        }
    }

    /// A size that nothing owned measures, and that its tool or its mate tells.
    fn by_tool(&mut self, asked: Asked, how: &str) {
        let why = practice(format!("not measured: {how}")).because(asked.why.clone());
        let asked = Asked { how: how.to_owned(), ..asked };
        self.push(&asked, "–".into(), "not measured".into(), why, false);
    }

    /// A plug of a size: a pin that is owned, drawn rod of that size, or one turned to fit.
    fn plug(&self, size: Length) -> String {
        if self.job.bench.gauges("plug pins").contains(&size) {
            return format!("pin {}", mm(size));
        }
        let rod = self
            .job
            .bench
            .stock
            .iter()
            .find(|stock| stock.class.is_some() && stock.section == Section::Round { diameter: size });
        match rod {
            Some(stock) => format!("{} of {}", mm(size), stock.material),
            None => format!("plug turned to fit, {}", mm(size)),
        }
    }
}
