//! What a casting gives: sizes between faces that stay as cast are what they are, and
//! faces that are cut lie within its metal.

use std::collections::BTreeSet;
use std::sync::Arc;

use super::choice::MadeWith;
use super::demands::{Demands, fine, one, simple};
use super::gauge::{Gauge, Reading, place, sum_of};
use super::model::{Candidate, Demand, Judgement, Linear, Span, Test};
use super::rules::{CAST, FACED_CASTING, IN_THE_CASTING};
use super::spans::{SpanSum, away, read_by};
use super::way::{Job, Way};
use super::weigh::{convenient, unround};
use crate::drawing::{
    self, Around, Axis, Body, DimensionId, Face, FeatureId, Form, GivenStock, Kind, Reference, SectionSize,
};
use crate::measure::Length;

/// The ways of a size that the casting gives, or that is faced from it; none for a part
/// that is no casting, and for sizes it has no say in.
pub fn ways(job: &Job, id: DimensionId, limit: Length) -> Option<Vec<Way>> {
    let stock = job.drawing.stock.as_ref().filter(|stock| stock.form == Form::Casting)?;
    let exact = job.dimension(id).written.length;
    if stays(job, stock).contains(&id) {
        return Some(vec![Way::new(exact, MadeWith::Exact, &CAST)]);
    }
    if job.plate_thickness() != Some(id) {
        return None;
    }
    let faced = |value| Way::new(value, MadeWith::Setting, &FACED_CASTING).unround(unround(value));
    let mut ways: Vec<Way> = convenient(exact, limit).into_iter().map(faced).collect();
    if ways.is_empty() {
        ways.push(faced(exact));
    }
    Some(ways)
}

/// The sizes between faces that are not cut.
fn stays(job: &Job, stock: &GivenStock) -> BTreeSet<DimensionId> {
    let mut stays = BTreeSet::new();
    let uncut = |a: Face, b: Face| !stock.cuts(a) && !stock.cuts(b);
    if uncut(Face::Front, Face::Back) {
        stays.extend(job.plate_thickness());
    }
    let round = !stock.cuts_round();
    match &job.drawing.body {
        Body::Rectangle { width, height, .. } => {
            stays.extend(uncut(Face::Left, Face::Right).then_some(*width));
            stays.extend(uncut(Face::Top, Face::Bottom).then_some(*height));
        }
        Body::Disc { diameter, .. } => stays.extend(round.then_some(*diameter)),
        Body::Bosses { around, .. } if round => around.iter().for_each(|&id| stop(job, id, &mut stays)),
        Body::Outline { around, .. } if round => {
            for item in around {
                match *item {
                    Around::At(id) => stop(job, id, &mut stays),
                    Around::Arc { radius, .. } => {
                        stays.insert(radius);
                    }
                }
            }
        }
        Body::Turned { sections, .. } if !stock.turns() => {
            for &section in sections {
                rounds(&job.feature(section).kind, &mut stays);
            }
            for pair in shoulders(job, stock).windows(2) {
                let between = pair[1].clone().minus(&pair[0]);
                stays.extend(between.terms.keys().copied());
            }
        }
        Body::Bosses { .. } | Body::Outline { .. } | Body::Turned { .. } => {}
    }
    stays
}

/// The rounds of a section; a thread is cut on the casting.
fn rounds(kind: &Kind, stays: &mut BTreeSet<DimensionId>) {
    let Kind::Section { size, throw, .. } = kind else { return };
    match *size {
        SectionSize::Plain(diameter) => {
            stays.insert(diameter);
        }
        SectionSize::Taper { left, right } => stays.extend([left, right]),
        SectionSize::AsBar { across, .. } => {
            stays.insert(across);
        }
        SectionSize::Threaded(_) => {}
    }
    stays.extend(throw.map(|throw| throw.offset));
}

/// Where the faces square to the axis lie that stay as cast, from left to right.
fn shoulders(job: &Job, stock: &GivenStock) -> Vec<drawing::Linear> {
    let mut places = Vec::new();
    for (at, &section) in job.part.sections().iter().enumerate() {
        if at > 0 || !stock.faces_end(Face::Left) {
            places.extend(job.solved.place(section, Axis::X).cloned());
        }
    }
    if !stock.faces_end(Face::Right) {
        places.extend(job.solved.edge(Reference::RightEdge).cloned());
    }
    places
}

impl Demands<'_> {
    /// What is cut from a casting lies within it, with a clean cut left on each face.
    pub(super) fn casting(&mut self) {
        let stock = self.job.drawing.stock.as_ref().filter(|stock| stock.form == Form::Casting);
        let Some(stock) = stock else { return };
        let spare = stock.left_on() - stock.left_on().min(clean_cut());
        let cut = |faces: [Face; 2]| faces.into_iter().filter(|&face| stock.cuts(face)).count() as i64;
        let size = |demands: &mut Self, id: DimensionId, faces: i64| {
            let name = demands.job.dimension(id).name.clone();
            demands.within_casting(name, one(demands.size(id)), spare * faces);
        };
        if let Some(thickness) = self.job.plate_thickness() {
            size(self, thickness, cut([Face::Front, Face::Back]));
        }
        match &self.job.drawing.body {
            Body::Rectangle { width, height, .. } => {
                size(self, *width, cut([Face::Left, Face::Right]));
                size(self, *height, cut([Face::Bottom, Face::Top]));
            }
            Body::Disc { diameter, .. } if stock.cuts_round() => size(self, *diameter, 2),
            Body::Bosses { around, .. } if stock.cuts_round() => {
                around.iter().for_each(|&id| self.stop_within(id, spare));
            }
            Body::Outline { around, .. } if stock.cuts_round() => {
                for item in around {
                    if let Around::At(id) = *item {
                        self.stop_within(id, spare);
                    }
                }
            }
            Body::Turned { sections, .. } if stock.turns() => {
                for &section in sections {
                    let mut sizes = BTreeSet::new();
                    rounds(&self.job.feature(section).kind, &mut sizes);
                    sizes.into_iter().for_each(|id| size(self, id, 2));
                }
                self.ends_within(stock, spare);
            }
            Body::Turned { .. } => self.ends_within(stock, spare),
            Body::Disc { .. } | Body::Bosses { .. } | Body::Outline { .. } => {}
        }
    }

    /// A boss or corner of an outline that is cut all round may not leave the casting: its
    /// round lies within the drawing's, grown by what is spare. Then all that is drawn from
    /// round to round does.
    fn stop_within(&mut self, id: FeatureId, spare: Length) {
        let places =
            [Axis::X, Axis::Y].map(|axis| self.job.solved.place(id, axis).map(|place| self.sum(place)));
        let [Some(x), Some(y)] = places else { return };
        let radius = match self.job.feature(id).kind {
            Kind::Boss { radius } => one(self.size(radius)),
            _ => Linear::default(),
        };
        let from_drawn = |sum: Linear| {
            let drawn = Linear::fixed(self.as_drawn(&sum));
            simple(&sum.less(&drawn))
        };
        let sums = [x, y, radius].map(from_drawn);
        let on = read_by(&sums);
        if on.is_empty() {
            return;
        }
        let [x, y, grown] = sums.each_ref().map(|sum| SpanSum::of(sum, &on));
        // A hair for what is rounded in reckoning.
        let most_mm = spare.as_mm() + 1e-9;
        let judge = move |spans: &[Span]| {
            let [(near_x, far_x), (near_y, far_y)] = [&x, &y].map(|sum| away(sum.span_mm(spans)));
            let (least, most) = grown.span_mm(spans);
            if far_x.hypot(far_y) + most <= most_mm {
                Judgement::Holds
            } else if near_x.hypot(near_y) + least > most_mm {
                Judgement::Breaks
            } else {
                Judgement::Unsure
            }
        };
        let spans: Vec<Span> = on.iter().map(|variable| self.spans[variable.0]).collect();
        if judge(&spans) == Judgement::Holds {
            return;
        }
        let what = format!("outline at {}", self.name(id));
        let because = format!("{what}: {}", IN_THE_CASTING.because);
        let name = format!("metal of the casting at {what}");
        let listed = on.clone();
        let test = Test { on: on.clone(), judge: Arc::new(judge) };
        let stated = self.model.demand(name, because, Demand::Test(test));
        let read = move |made: &[&Candidate]| {
            let [x, y, grown] = sums.each_ref().map(|sum| sum_of(sum, |v| made[place(&on, v)].value));
            let is = Length::nearest(x.as_mm().hypot(y.as_mm())) + grown;
            Some(Reading { what: "outside the drawing by", is, least: None, most: Some(spare) })
        };
        self.model.measure(stated, Gauge { on: listed, read: Arc::new(read) });
    }

    /// The length of a turned casting, as far as its ends are faced.
    fn ends_within(&mut self, stock: &GivenStock, spare: Length) {
        let faced = [Face::Left, Face::Right].into_iter().filter(|&end| stock.faces_end(end)).count() as i64;
        let Some(end) = self.job.solved.edge(Reference::RightEdge) else { return };
        let whole = self.sum(end);
        self.within_casting("length over all".into(), whole, spare * faced);
    }

    fn within_casting(&mut self, what: String, sum: Linear, spare: Length) {
        let sum = simple(&sum);
        let most = self.as_drawn(&sum) + spare;
        let greatest_mm: f64 = sum
            .terms
            .iter()
            .map(|&(v, times)| {
                let times = *times.numer() as f64 / *times.denom() as f64;
                let span = self.spans[v.0];
                (span.least.as_mm() * times).max(span.most.as_mm() * times)
            })
            .sum::<f64>()
            + sum.constant.as_mm();
        if sum.terms.is_empty() || greatest_mm <= most.as_mm() {
            return;
        }
        let because = format!("{what}: {}", IN_THE_CASTING.because);
        let demand = if fine(&[&sum]) {
            super::spans::judged(sum, f64::NEG_INFINITY, most.as_mm() + 1e-6)
        } else {
            Demand::Between { sum, least: None, most: Some(most) }
        };
        self.model.demand(format!("metal of the casting at {what}"), because, demand);
    }
}

/// Taken off a cut face of a casting at least, to get under its skin (common practice).
fn clean_cut() -> Length {
    Length::microns(500)
}

/// The size and place of a boss or corner of the outline.
fn stop(job: &Job, id: FeatureId, stays: &mut BTreeSet<DimensionId>) {
    if let Kind::Boss { .. } | Kind::Corner { .. } = job.feature(id).kind {
        stays.extend(job.feature(id).kind.sizes());
    }
    for axis in [Axis::X, Axis::Y] {
        let place = job.solved.place(id, axis);
        stays.extend(place.into_iter().flat_map(|sum| sum.terms.keys().copied()));
    }
}
