//! What must hold between the sizes of the metric part: walls in
//! [`super::walls`], everything that is a plain sum here.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use num_rational::Ratio;

use super::gauge::{Gauge, Reading};
use super::model::{Candidate, Demand, Linear, Model, Span, Variable, VariableId};
use super::rules::{
    FIT, FIT_TO_SHAFT, Rule, SECTION_KEPT, SECTION_SHARE, SHOULDER, TWICE_GIVEN, WALL_AS_DRAWN, WALL_PLAIN,
    WALL_SAID,
};
use super::walls::Between;
use super::way::{Cut, Job, ThreadWays, Ways};
use super::{holes, mates};
use crate::drawing::{
    self, Axis, Body, Depth, DimensionId, Face, FeatureId, Kind, Measures, SectionSize, ThreadId, WallEnd,
};
use crate::measure::Length;
use crate::problem::Problem;

/// A wall, floor or shoulder that practice asks for where the drawing has it.
pub(super) const WALL_MM: i64 = 1;

/// A shoulder that is seen and felt.
pub(super) fn shoulder() -> Length {
    Length::microns(500)
}

/// The demands as they are gathered.
pub struct Demands<'a> {
    /// What is being metricated.
    pub job: &'a Job<'a>,
    /// The ways of every dimension.
    pub ways: &'a [Ways],
    /// The ways of every thread.
    pub threads: &'a [ThreadWays],
    /// Where they go.
    pub model: &'a mut Model,
    /// Sizes as drawn, one for each variable.
    pub drawn: Vec<Length>,
    /// The least and greatest candidate of each variable.
    pub spans: Vec<Span>,
    /// Walls, by name, that keep only most of what they have: nothing else fits.
    pub thinned: &'a BTreeSet<String>,
    /// Walls, by name, that are kept as drawn and could be thinned.
    pub may_thin: BTreeSet<String>,
    /// What walls stand between, by name.
    pub between: BTreeMap<String, Between>,
}

impl<'a> Demands<'a> {
    /// No demands yet on a model's variables.
    pub fn new(
        job: &'a Job<'a>,
        ways: &'a [Ways],
        threads: &'a [ThreadWays],
        model: &'a mut Model,
        thinned: &'a BTreeSet<String>,
    ) -> Self {
        let drawn = model.variables.iter().map(|variable| variable.drawn).collect();
        let span = |variable: &Variable| {
            let values = variable.candidates.iter().map(|candidate| candidate.value);
            Span { least: values.clone().min().unwrap_or_default(), most: values.max().unwrap_or_default() }
        };
        let spans = model.variables.iter().map(span).collect();
        let (may_thin, between) = (BTreeSet::new(), BTreeMap::new());
        Self { job, ways, threads, model, drawn, spans, thinned, may_thin, between }
    }

    /// The variable of a dimension.
    pub fn size(&self, id: DimensionId) -> VariableId {
        VariableId(id.0)
    }

    /// The variable of a thread: its major diameter.
    pub fn major(&self, id: ThreadId) -> VariableId {
        VariableId(self.job.drawing.dimensions.len() + id.0)
    }

    /// A sum of the drawing as a sum of the model.
    pub fn sum(&self, sum: &drawing::Linear) -> Linear {
        Linear {
            terms: sum.terms.iter().map(|(&id, &times)| (self.size(id), times)).collect(),
            constant: sum.constant,
        }
    }

    /// A sum for the sizes as drawn.
    pub fn as_drawn(&self, sum: &Linear) -> Length {
        sum.constant + sum.terms.iter().map(|&(v, times)| self.drawn[v.0].scaled(times)).sum()
    }

    /// What a feature is called.
    pub fn name(&self, id: FeatureId) -> &str {
        &self.job.feature(id).name
    }

    /// Demands what a rule asks, or what the drawing has where that is less.
    pub fn keep(&mut self, name: String, rule: &'static Rule, wanted: Length, sum: Linear) {
        let drawn = self.as_drawn(&sum);
        let sum = simple(&sum);
        let (least, rule) = if drawn < wanted { (drawn, &WALL_AS_DRAWN) } else { (wanted, rule) };
        let because =
            format!("{name} is {drawn} on the drawing and must be {least} at least: {}", rule.because);
        self.model.demand(name, because, Demand::at_least(sum, least));
    }

    /// The same of a wall of which the file may say how thin it may be.
    fn keep_wall(&mut self, name: String, of: Between, sum: Linear) {
        let (drawn, wanted) = (self.as_drawn(&sum), Length::mm(WALL_MM));
        self.between.insert(name.clone(), of);
        let Some(least) = self.said(of) else { return self.keep(name, &WALL_PLAIN, wanted, sum) };
        let because =
            format!("{name} is {drawn} on the drawing and must be {least} at least: {}", WALL_SAID.because);
        self.model.demand(name, because, Demand::at_least(simple(&sum), least));
    }

    /// Everything but the walls.
    ///
    /// # Errors
    ///
    /// A [`Problem`] for a mate whose fit is not known.
    pub fn sums(&mut self) -> Result<(), Problem> {
        self.sections();
        self.strengths();
        self.bar_width();
        self.depths();
        self.turned();
        self.screws();
        self.screw_heads();
        self.head_room();
        self.checks();
        self.axes_that_meet();
        self.upright_sides();
        self.pins();
        self.casting();
        self.own_chains();
        self.mates()
    }

    /// Thicknesses and webs keep most of what they have.
    fn sections(&mut self) {
        for (at, dimension) in self.job.drawing.dimensions.iter().enumerate() {
            if matches!(dimension.measures, Measures::Thickness | Measures::Web) {
                let kept = dimension.written.length.scaled(Ratio::new(SECTION_KEPT.0, SECTION_KEPT.1));
                let sum = one(self.size(DimensionId(at)));
                self.keep(dimension.name.clone(), &SECTION_SHARE, kept, sum);
            }
        }
    }

    /// What stands on and under steps, blind holes, cross holes and counterbores.
    fn depths(&mut self) {
        let Some(thickness) = self.job.plate_thickness() else { return };
        for (id, feature) in self.job.part.features() {
            let name = feature.name.clone();
            match &feature.kind {
                Kind::Step { leaves, .. } => {
                    let Some(whole) = self.whole_size(feature.face, thickness) else { continue };
                    let sum = difference(self.size(whole), self.size(*leaves));
                    self.keep(format!("step of {name}"), &SHOULDER, shoulder(), sum);
                }
                Kind::Counterbore { diameter, over, .. } => {
                    if let Some(hole) = self.diameter(*over) {
                        let sum = one(self.size(*diameter)).less(&hole);
                        self.keep(format!("ledge of {name}"), &SHOULDER, shoulder() * 2, sum);
                    }
                }
                Kind::Slit { width, into, .. } => {
                    if let Some(bore) = self.diameter(*into) {
                        let sum = bore.less(&one(self.size(*width)));
                        self.keep(format!("bore beside {name}"), &SHOULDER, shoulder(), sum);
                    }
                }
                _ => {}
            }
            let stands_on = match feature.kind {
                Kind::Counterbore { over, .. } => over,
                _ => id,
            };
            let plan = matches!(feature.face, Face::Front | Face::Back);
            let deep = match feature.kind.depth() {
                Some(Depth::To(deep)) => Some(deep),
                _ => None,
            };
            for left in self.thicknesses(stands_on) {
                if plan && let Some(deep) = deep {
                    let sum = difference(self.size(left), self.size(deep));
                    let of = (
                        id,
                        WallEnd::Face(if feature.face == Face::Back { Face::Front } else { Face::Back }),
                    );
                    self.keep_wall(format!("floor under {name}"), of, sum);
                }
                if !plan && let (Some(z), Some(cut)) = (self.job.solved.place(id, Axis::Z), self.diameter(id))
                {
                    let z = self.sum(z);
                    let under = add(z.clone(), &cut, Ratio::new(-1, 2));
                    let over = add(one(self.size(left)).less(&z), &cut, Ratio::new(-1, 2));
                    // A slot that runs out through a face has no wall there.
                    let opens = self.job.part.slot_opens(id);
                    if !opens.contains(&Some(Face::Back)) {
                        self.keep_wall(format!("wall behind {name}"), (id, WallEnd::Face(Face::Back)), under);
                    }
                    if !opens.contains(&Some(Face::Front)) {
                        let of = (id, WallEnd::Face(Face::Front));
                        self.keep_wall(format!("wall in front of {name}"), of, over);
                    }
                }
            }
        }
    }

    /// The size of the body square to a face: its thickness, or a rectangle's own sides.
    fn whole_size(&self, face: Face, thickness: DimensionId) -> Option<DimensionId> {
        match (face.axis(), &self.job.drawing.body) {
            (Axis::Z, _) => Some(thickness),
            (Axis::X, Body::Rectangle { width, .. }) => Some(*width),
            (Axis::Y, Body::Rectangle { height, .. }) => Some(*height),
            _ => None,
        }
    }

    /// The thicknesses of the plate where a feature stands: its own, and that left
    /// by every step it lies beyond.
    pub fn thicknesses(&self, id: FeatureId) -> Vec<DimensionId> {
        let steps = self.job.part.features().filter_map(|(step, feature)| match feature.kind {
            Kind::Step { leaves, .. } if self.job.part.beyond(step, id) => Some(leaves),
            _ => None,
        });
        self.job.plate_thickness().into_iter().chain(steps).collect()
    }

    /// The diameter that a feature cuts, or a section has.
    pub fn diameter(&self, id: FeatureId) -> Option<Linear> {
        let of = |variable| Some(one(variable));
        match self.job.feature(id).kind {
            Kind::Hole { diameter, .. }
            | Kind::Counterbore { diameter, .. }
            | Kind::Groove { diameter, .. }
            | Kind::Section { size: SectionSize::Plain(diameter), .. } => of(self.size(diameter)),
            // The hole a screw passes is larger than the screw beyond the slit.
            Kind::ClampScrew { clearance, .. } => of(self.size(clearance)),
            Kind::Tapped { thread, .. } | Kind::Section { size: SectionSize::Threaded(thread), .. } => {
                of(self.major(thread))
            }
            Kind::Slot { width, .. }
            | Kind::CurvedSlot { width, .. }
            | Kind::Keyway { width, .. }
            | Kind::Slit { width, .. } => of(self.size(width)),
            // The thicker end is what the bar must hold.
            Kind::Section { size: SectionSize::Taper { left, right }, .. } => {
                let sizes = [left, right].map(|id| self.job.dimension(id).written.length);
                of(self.size(if sizes[0] > sizes[1] { left } else { right }))
            }
            Kind::Section { size: SectionSize::AsBar { across, .. }, .. } => of(self.size(across)),
            // The named end of a pin is within a fraction of a millimetre of its hole.
            Kind::TaperPin { pin, .. } => of(self.size(pin)),
            Kind::Countersink { diameter, .. } | Kind::Flatted { diameter, .. } => of(self.size(diameter)),
            Kind::Square { across, .. } => of(self.size(across)),
            Kind::Pocket { .. }
            | Kind::Boss { .. }
            | Kind::Corner { .. }
            | Kind::Step { .. }
            | Kind::PitchCircle { .. }
            | Kind::Row { .. }
            | Kind::Knurl { .. }
            | Kind::Flats { .. }
            | Kind::Chamfer { .. }
            | Kind::Recess { .. } => None,
        }
    }

    /// Clearance holes pass their screws; threads have enough turns.
    fn screws(&mut self) {
        for at in 0..self.job.drawing.dimensions.len() {
            let id = DimensionId(at);
            let Some(thread) = holes::screw_through(self.job, id) else { continue };
            let allowed = self.threads[thread.0]
                .ways
                .iter()
                .map(|screw| {
                    let (close, free) = holes::clearance_range(screw.thread);
                    self.ways[at].ways.iter().map(|hole| hole.value >= close && hole.value <= free).collect()
                })
                .collect();
            let (a, b) = (self.major(thread), self.size(id));
            let (hole, call) = (&self.job.dimension(id).name, &self.job.drawing.threads[thread.0].name);
            let because =
                format!("`{hole}` must pass the screw of `{call}`, closely to freely after ISO 273");
            let id =
                self.model.demand(format!("{hole} and {call}"), because, Demand::Pairs { a, b, allowed });
            let screws: Vec<_> = self.threads[thread.0].ways.iter().map(|way| way.thread).collect();
            let read = move |made: &[&Candidate]| {
                let (close, free) = holes::clearance_range(screws[made[0].label]);
                Some(Reading { what: "a hole of", is: made[1].value, least: Some(close), most: Some(free) })
            };
            self.model.measure(id, Gauge { on: vec![a, b], read: Arc::new(read) });
        }
        for at in 0..self.threads.len() {
            let Cut::Inside(feature) = self.job.cut(ThreadId(at)) else { continue };
            for length in self.lengths_of(feature) {
                self.thread_length(ThreadId(at), length);
            }
        }
    }

    /// What the drawing gives twice still agrees.
    fn checks(&mut self) {
        for check in &self.job.solved.checks {
            let sum = self.sum(&check.difference);
            let name = format!("agreement of {}", check.statements.join(" with "));
            let because = TWICE_GIVEN.because;
            let demand = if fine(&[&sum]) {
                super::spans::within_slack(sum, check.slack)
            } else {
                Demand::Between { sum, least: Some(-check.slack), most: Some(check.slack) }
            };
            self.model.demand(name, because, demand);
        }
    }

    /// Holes and shafts that go together.
    fn mates(&mut self) -> Result<(), Problem> {
        for mate in &self.job.drawing.mates {
            let Some(met) = mates::met(self.job, mate) else { continue };
            let size = self.job.dimension(mate.size).written.length;
            let place = |fault: Problem| fault.at(format!("line {}, `{}`", mate.line, mate.name));
            let asks = mates::read_fit(&mate.fit, size).map_err(place)?;
            let (hole, shaft) =
                if mates::is_hole(self.job, mate) { (met, mate.size) } else { (mate.size, met) };
            let shafts = &self.ways[shaft.0].ways;
            let allowed = self.ways[hole.0]
                .ways
                .iter()
                .map(|hole| shafts.iter().map(|shaft| mates::go_together(&asks, hole, shaft)).collect())
                .collect();
            let gauge =
                mates::gauge([self.size(hole), self.size(shaft)], &mate.fit, &self.ways[hole.0].ways, shafts);
            let name = format!("fit of {}", mate.name);
            let asked = asks.words(size).map_or_else(String::new, |words| format!(", {words}"));
            let rule = if asks.is_to_the_shaft() { &FIT_TO_SHAFT } else { &FIT };
            let because = format!("`{}` is to be {} there{asked}: {}", mate.name, mate.fit, rule.because);
            let (a, b) = (self.size(hole), self.size(shaft));
            let id = self.model.demand(name, because, Demand::Pairs { a, b, allowed });
            self.model.measure(id, gauge);
        }
        Ok(())
    }
}

/// One size.
pub fn one(variable: VariableId) -> Linear {
    Linear::default().plus(variable, Ratio::from_integer(1))
}

fn difference(more: VariableId, less: VariableId) -> Linear {
    one(more).less(&one(less))
}

/// A sum and so many times another.
pub fn add(mut sum: Linear, other: &Linear, times: Ratio<i128>) -> Linear {
    sum.terms.extend(other.terms.iter().map(|&(variable, count)| (variable, count * times)));
    sum.constant += other.constant.scaled(times);
    sum
}

/// A sum with each size named once, and none that cancels.
pub fn simple(sum: &Linear) -> Linear {
    let mut terms: BTreeMap<VariableId, Ratio<i128>> = BTreeMap::new();
    for &(variable, times) in &sum.terms {
        *terms.entry(variable).or_default() += times;
    }
    terms.retain(|_, times| *times != Ratio::from_integer(0));
    Linear { terms: terms.into_iter().collect(), constant: sum.constant }
}

/// True when some factor is a cosine held to many places: sums of it are too fine
/// to be compared exactly, and are judged to the nanometre.
pub fn fine(sums: &[&Linear]) -> bool {
    sums.iter().flat_map(|sum| &sum.terms).any(|(_, times)| *times.denom() > 1000)
}
