//! The inspection sheet: for every size of the drawing how it is measured with what is owned,
//! what the reading should be, and what cannot be told with it.
//!
//! Begin with [`inspection`]. [`limits`] says between what a size must lie, [`places`] how far
//! holes and slots are from edges and from each other, [`turned`] where they lie in turned work,
//! [`far`] those that are too long for that, [`angled`] slanting sides, [`walls`] pockets from the edges, [`shaped`] threads, tapers and
//! circles, [`running`] what is square and what runs true, [`lying`] what the drawing holds square,
//! parallel or flat.

mod angled;
mod far;
mod limits;
mod lying;
mod otherwise;
mod places;
mod running;
mod shaped;
mod turned;
mod walls;

use super::job::Job;
use super::sheet::{Inspection, InspectionRow};
use crate::bench::{Instrument, Section};
use crate::drawing::{Axis, Depth, DimensionId, FeatureId, Finish, Measures, Part};
use crate::measure::{Angle, Length, Toward};
use crate::metric::MadeWith;
use crate::settings::measuring::protractor::{self, Protractor};
use crate::settings::measuring::reading::{Limits, Reads, proved, shown, with};
use crate::settings::show::{as_set, geometry, mm, practice};
use crate::tables::general_tolerance::Class;
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
    turned::add(&mut rows);
    walls::add(&mut rows);
    shaped::add(&mut rows);
    angled::add(&mut rows);
    running::add(&mut rows);
    lying::add(&mut rows);
    let mut supposed = Vec::new();
    if rows.bench.supposed {
        supposed.push(
            "the bench file lists no instruments: a caliper to 150 mm, a micrometer to 25 mm, an indicator and a square are supposed"
                .to_owned(),
        );
    }
    if limits::supposed(job) {
        supposed.push(format!(
            "where neither the drawing nor the part file gives a tolerance, the {} class of ISO 2768-1 is taken, as it is for choosing the metric sizes",
            Class::SUPPOSED.name()
        ));
    }
    let rows = rows.rows.into_iter().enumerate();
    let numbered = rows.map(|(at, row)| InspectionRow { number: at + 1, ..row });
    Inspection { rows: numbered.collect(), supposed }
}

/// What there is to measure with.
struct Instruments {
    owned: Vec<Instrument>,
    supposed: bool,
}

/// Which of the instruments come at something.
type Among = fn(&Instrument) -> bool;

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
        self.best_among(|_| true, across, length, limits)
    }

    fn best_among(
        &self,
        among: Among,
        across: Across,
        length: Length,
        limits: Limits,
    ) -> Option<Reading<'_>> {
        let mut best: Option<Reading> = None;
        for instrument in self.owned.iter().filter(|one| among(one)) {
            let Some((reads, why)) = with(instrument, across, length) else { continue };
            let fine = reads.doubt * 10 <= limits.width();
            if fine || best.as_ref().is_none_or(|known| reads.doubt < known.reads.doubt) {
                best = Some(Reading { instrument, reads, why });
            }
            if fine {
                break;
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
        let reads = Reads { step, doubt: error.either_way + kind.shows(step).adds(step).either_way };
        let room = asked.across != Across::Inside || kind.inside_from.is_none_or(|least| asked.size >= least);
        room && proved(asked.limits, reads).is_some()
    };
    if let Some(kind) = instruments::all().iter().find(|kind| tells(kind, kind.usual_step)) {
        return format!("; {} {} would", article(&kind.name), kind.name);
    }
    let fine = Length::microns(1);
    match instruments::all().iter().find(|kind| kind.usual_step < Length::microns(20) && tells(kind, fine)) {
        Some(kind) => format!("; {} {} that shows {} would", article(&kind.name), kind.name, mm(fine)),
        None => String::new(),
    }
}

/// `an` before a vowel, else `a`.
fn article(name: &str) -> &'static str {
    if name.starts_with(['a', 'e', 'i', 'o', 'u']) { "an" } else { "a" }
}

/// From where a depth of a plate is measured: the face, or the floor that it begins on.
fn from_where(part: &Part, depth: DimensionId) -> String {
    let own = part.features().find(|(_, feature)| feature.kind.depth() == Some(Depth::To(depth)));
    let floor = own.and_then(|(id, feature)| part.begins_on(id, part.side(feature.face)));
    match floor {
        Some((floor, _)) => format!("from the floor of {} down", part.feature(floor).name),
        None => "from the face down".into(),
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
            Measures::Depth => match (places::keyed_bore(self.job, id), turned::floor(self.job, id)) {
                (Some(bore), _) => self.less(
                    bore,
                    asked(Across::Inside, "from the far side of the bore to the floor, less the bore"),
                ),
                (None, Some(floor)) => turned::over_floor(self, floor, asked(Across::Outside, "")),
                (None, None) => self.measured(asked(Across::Depth, &from_where(self.job.part, id))),
            },
            Measures::Along => self.measured(asked(Across::Depth, "along, from the face it is counted from")),
            Measures::Position => {
                if let Some(width) = places::slot_of(self.job, id) {
                    self.less(width, asked(Across::Inside, "from round end to round end, less its width"));
                } else if let Some(of) = places::arc_of(self.job, id) {
                    places::arc(self, asked(Across::Outside, ""), of);
                } else if !places::elsewhere(self.job, id) {
                    self.measured(asked(Across::Depth, "from what the drawing counts it from"));
                }
            }
            Measures::Throw => self.throw(asked(Across::Outside, "over one turn in the chuck or on centres")),
            Measures::Radius => {
                self.radius(id, asked(Across::Outside, "held to the round against the light"))
            }
            Measures::Countersink => {
                let asked = asked(
                    Across::Inside,
                    "across its mouth by the points of the jaws; a screw's head lies flush",
                );
                match self.bench.best(asked.across, asked.size, asked.limits) {
                    Some(_) => self.measured(asked),
                    None => self.by_tool(
                        asked,
                        "a screw's head lies flush",
                        "a caliper's points across its mouth",
                    ),
                }
            }
            Measures::SawWidth => self.leaf(asked(Across::Inside, "a leaf pushed in without force")),
            Measures::InsideCorner => {
                let asked = asked(Across::Inside, "held in the corner against the light");
                self.gauged(asked, "the cutter itself is the gauge");
            }
            Measures::KnurlPitch => turned::ridges(self, asked(Across::Outside, "")),
            Measures::Chamfer => turned::rim(self, id, asked(Across::Outside, "")),
            Measures::TaperPin => shaped::pin_hole(self, id, asked(Across::Inside, "")),
            // Another part's own size.
            Measures::Shaft => {}
        }
    }

    /// A row with an instrument.
    fn measured(&mut self, asked: Asked) {
        self.measured_among(|_| true, asked);
    }

    fn measured_among(&mut self, among: Among, asked: Asked) {
        let row = match self.bench.best_among(among, asked.across, asked.size, asked.limits) {
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
            let mut words = format!("{} goes in, {} does not", mm(go), mm(stay));
            if !parts {
                words += &format!(
                    "; pins of {} and {} would tell",
                    mm(asked.limits.least),
                    mm(asked.limits.greatest)
                );
            }
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
            let would = format!("a plug pin of {} or a small hole gauge", mm(asked.size));
            self.by_tool(asked, "the drill's own shank goes in", &would);
            return;
        }
        self.measured(asked);
    }

    /// What an indicator shows over a turn: twice the throw.
    fn throw(&mut self, asked: Asked) {
        let twice = Limits { least: asked.limits.least * 2, greatest: asked.limits.greatest * 2 };
        let why = practice("a round off its axis rises and falls by twice its throw over one turn");
        self.indicated(asked, twice, why);
    }

    /// How much an indicator may move at most.
    fn moves(&mut self, asked: &Asked, most: Length, rule: Why) {
        self.moves_within(asked, most, format!("twice {}", mm(asked.size)), rule);
    }

    /// The same, with where the most comes from in words.
    fn moves_within(&mut self, asked: &Asked, most: Length, from: String, rule: Why) {
        let Some(indicator) = self.job.bench.plain_instrument("indicator") else {
            let why = Why::new("no indicator is owned").because(rule).because(asked.why.clone());
            self.push(asked, "nothing owned".into(), "cannot be told; an indicator would".into(), why, false);
            return;
        };
        // Over so short a travel it is out by a division and what reading it adds.
        let doubt = indicator.step + indicator.adds().either_way;
        let least = (most - doubt).rounded(indicator.step, Toward::Less).value;
        let why = Why::new(format!(
            "{from} less {}, which the indicator may be out over so little: a division, and {}",
            mm(doubt),
            indicator.adds().told
        ))
        .source("common practice")
        .because(rule)
        .because(asked.why.clone());
        let told = least >= Length::ZERO;
        let words = match told {
            true => format!("moves {} at most", as_set(least, indicator.step)),
            false => format!("cannot be told; an indicator of {} would", mm(Length::microns(1))),
        };
        self.push(asked, indicator.words(), words, why, told);
    }

    /// What an indicator has to show, where one is owned.
    fn indicated(&mut self, asked: Asked, limits: Limits, rule: Why) {
        let Some(indicator) = self.job.bench.plain_instrument("indicator") else {
            let why = Why::new("no indicator is owned").because(rule).because(asked.why.clone());
            self.push(
                &asked,
                "nothing owned".into(),
                "cannot be told; an indicator would".into(),
                why,
                false,
            );
            return;
        };
        let doubt = Length::microns(15) + indicator.adds().either_way;
        let (words, why) = shown(limits, Reads { step: indicator.step, doubt });
        let why = why
            .because(rule)
            .because(
                Why::new(format!(
                    "an indicator is out by {} over its travel, and {}",
                    mm(Length::microns(15)),
                    indicator.adds().told
                ))
                .source("DIN 878, from memory"),
            )
            .because(asked.why.clone());
        let told = proved(limits, Reads { step: indicator.step, doubt }).is_some();
        self.push(&asked, indicator.words(), words, why, told);
    }
}
