//! What must hold between the sizes of a turned part: lengths, shoulders, tapers, and
//! what is cut in its sections and ends.

use num_rational::Ratio;

use super::black::sound;
use super::demands::{Demands, WALL_MM, add, one, shoulder};
use super::model::{Demand, Linear};
use super::rules::{
    BLACK, FLUSH, IN_THE_BAR, Rule, SECTION_KEPT, SECTION_SHARE, SHOULDER, TAPER_KEPT, THREAD_ON, UNDERCUT,
    WALL_BUSH, WALL_PLAIN,
};
use super::stock::{stated_bar, stock_of};
use crate::bench::Stock;
use crate::drawing::{
    Axis, Body, Depth, DimensionId, Face, FeatureId, Finish, Kind, Reference, SectionEnd, SectionSize,
};
use crate::measure::Length;
use crate::settings::screw_cutting::root;

/// The tangent of a quarter of a degree: how far a taper may go from its angle, either
/// way on each side (common practice: what a top slide is set to without a gauge).
const TAPER_SLACK: (i128, i128) = (436, 100_000);

/// The wall of a bush, in thousandths of a millimetre (common practice).
const WALL_OF_A_BUSH: i64 = 800;

/// A thread nearer to the section beside it than this, in thousandths of a millimetre, is cut on that section
/// (common practice): 5 BA on a rod of 1/8 in.
const CUT_ON_MICRONS: i64 = 100;

const HALF: (i128, i128) = (1, 2);

fn half(sum: &Linear) -> Linear {
    times(sum, Ratio::new(HALF.0, HALF.1))
}

fn times(sum: &Linear, by: Ratio<i128>) -> Linear {
    add(Linear::default(), sum, by)
}

impl Demands<'_> {
    /// Everything of a turned part; nothing of a plate.
    pub(super) fn turned(&mut self) {
        let Body::Turned { sections, .. } = &self.job.drawing.body else { return };
        for &section in sections {
            self.section(section);
        }
        for (id, _) in self.job.part.features() {
            self.cut_in_turned(id);
        }
        self.hollows();
    }

    /// Where a section begins and where it ends.
    pub(super) fn section_ends(&self, id: FeatureId) -> Option<[Linear; 2]> {
        let start = self.sum(self.job.solved.place(id, Axis::X)?);
        let end = match self.job.part.neighbour(id, SectionEnd::Right) {
            Some(next) => self.job.solved.place(next, Axis::X)?,
            None => self.job.solved.edge(Reference::RightEdge)?,
        };
        Some([start, self.sum(end)])
    }

    /// The diameter that a section has at one end; of bar left as it comes, across flats.
    pub(super) fn end_size(&self, id: FeatureId, end: SectionEnd) -> Option<Linear> {
        match (&self.job.feature(id).kind, end) {
            (Kind::Section { size: SectionSize::Taper { left, .. }, .. }, SectionEnd::Left) => {
                Some(one(self.size(*left)))
            }
            (Kind::Section { size: SectionSize::Taper { right, .. }, .. }, SectionEnd::Right) => {
                Some(one(self.size(*right)))
            }
            _ => self.diameter(id),
        }
    }

    fn throw(&self, id: FeatureId) -> Option<DimensionId> {
        match self.job.feature(id).kind {
            Kind::Section { throw: Some(throw), .. } => Some(throw.offset),
            _ => None,
        }
    }

    fn section(&mut self, id: FeatureId) {
        let name = self.name(id).to_owned();
        let ends = self.section_ends(id);
        let long = ends.map(|[start, end]| end.less(&start));
        if let Some(long) = &long {
            let kept = self.as_drawn(long).scaled(Ratio::new(SECTION_KEPT.0, SECTION_KEPT.1));
            self.keep(format!("length of {name}"), &SECTION_SHARE, kept, long.clone());
        }
        if let (Kind::Section { size: SectionSize::Taper { left, right }, .. }, Some(long)) =
            (&self.job.feature(id).kind, &long)
        {
            let rise = one(self.size(*left)).less(&one(self.size(*right)));
            self.taper_kept(&name, rise, long);
        }
        if let Some(next) = self.job.part.neighbour(id, SectionEnd::Right) {
            self.between_sections(id, next);
        }
        if let Some((stock, own)) = stated_bar(self.job).map(|(stock, _)| stock).zip(self.diameter(id))
            && let Some(size) = stock.size.first()
        {
            let bar = stated_bar(self.job).map(|(_, section)| Stock {
                surface: self.job.drawing.surface(),
                ..stock_of(&self.job.material.name, section)
            });
            let sound = bar.map_or(size.length, |bar| sound(self.job, &bar, size.length));
            let whole = Linear { terms: Vec::new(), constant: sound };
            let mut spare = whole.less(&own);
            if let Some(throw) = self.throw(id) {
                spare = add(spare, &one(self.size(throw)), Ratio::from_integer(-2));
            }
            let because = if sound < size.length { BLACK.because } else { IN_THE_BAR.because };
            self.at_least(format!("{name} in the stock"), because, spare);
        }
        let bar = self.job.part.sections().iter().copied().find(|&other| {
            matches!(self.job.feature(other).kind, Kind::Section { size: SectionSize::AsBar { .. }, .. })
        });
        if let Some(bar) = bar.filter(|&bar| bar != id)
            && let (Some(across), Some(own)) = (self.diameter(bar), self.diameter(id))
        {
            let mut spare = across.less(&own);
            if let Some(throw) = self.throw(id) {
                spare = add(spare, &one(self.size(throw)), Ratio::from_integer(-2));
            }
            self.at_least(format!("{name} in the bar"), IN_THE_BAR.because, spare);
        }
    }

    /// A sum that may come to nothing and not to less.
    fn at_least(&mut self, name: String, because: &'static str, sum: Linear) {
        let sum = super::demands::simple(&sum);
        if !sum.terms.is_empty() {
            self.model.demand(name, because, Demand::at_least(sum, Length::ZERO));
        }
    }

    fn taper_kept(&mut self, name: &str, rise: Linear, long: &Linear) {
        let drawn = self.as_drawn(long);
        if !drawn.is_positive() {
            return;
        }
        let rate = self.as_drawn(&rise).ratio_to(drawn);
        let sum = super::demands::simple(&add(rise, long, -rate));
        let slack = drawn.scaled(Ratio::new(TAPER_SLACK.0 * 2, TAPER_SLACK.1));
        let demand = Demand::Between { sum, least: Some(-slack), most: Some(slack) };
        self.model.demand(format!("angle of {name}"), TAPER_KEPT.because, demand);
    }

    /// A shoulder between two sections, or none where they meet flush.
    fn between_sections(&mut self, id: FeatureId, next: FeatureId) {
        let [name, other] = [id, next].map(|id| self.name(id).to_owned());
        let (Some(mut larger), Some(mut smaller)) =
            (self.end_size(id, SectionEnd::Right), self.end_size(next, SectionEnd::Left))
        else {
            return;
        };
        let throws = [self.throw(id), self.throw(next)];
        if let [Some(throw), None] | [None, Some(throw)] = throws {
            // The circles must share some metal.
            let shared = half(&add(larger, &smaller, Ratio::from_integer(1))).less(&one(self.size(throw)));
            let wall = Length::mm(WALL_MM);
            self.keep(format!("metal between {name} and {other}"), &WALL_PLAIN, wall, shared);
            return;
        }
        if throws != [None, None] {
            return;
        }
        let threaded = [id, next].map(|id| self.is_threaded(id));
        if threaded[0] != threaded[1] {
            let (thread, beside) = if threaded[0] { (&larger, &smaller) } else { (&smaller, &larger) };
            let proud = thread.clone().less(beside);
            let drawn = self.as_drawn(&proud);
            if drawn.abs() <= Length::microns(CUT_ON_MICRONS) {
                let most = Some(drawn.max(Length::ZERO));
                let demand = Demand::Between { sum: proud, least: None, most };
                let (thread, beside) = if threaded[0] { (name, other) } else { (other, name) };
                self.model.demand(format!("{thread} above {beside}"), THREAD_ON.because, demand);
                return;
            }
        }
        if self.as_drawn(&larger) < self.as_drawn(&smaller) {
            std::mem::swap(&mut larger, &mut smaller);
        }
        let high = larger.less(&smaller);
        let tapers = [id, next].iter().any(|&id| {
            matches!(self.job.feature(id).kind, Kind::Section { size: SectionSize::Taper { .. }, .. })
        });
        if self.as_drawn(&high).is_positive() {
            self.keep(format!("shoulder between {name} and {other}"), &SHOULDER, shoulder(), high);
        } else if tapers {
            let demand = Demand::Between { sum: high, least: Some(Length::ZERO), most: Some(Length::ZERO) };
            self.model.demand(format!("{name} flush with {other}"), FLUSH.because, demand);
        }
    }

    fn is_threaded(&self, id: FeatureId) -> bool {
        matches!(self.job.feature(id).kind, Kind::Section { size: SectionSize::Threaded(_), .. })
    }

    fn cut_in_turned(&mut self, id: FeatureId) {
        let feature = self.job.feature(id);
        match feature.kind {
            Kind::Groove { diameter, width } => {
                self.within_its_section(id, width);
                if let Some(bar) = self.round_of(id) {
                    let deep = bar.less(&one(self.size(diameter)));
                    self.keep(format!("depth of {}", feature.name), &SHOULDER, shoulder(), deep);
                }
                self.below_the_thread(id, diameter);
            }
            Kind::Flats { across, length, .. } => {
                self.within_its_section(id, length);
                if let Some(bar) = self.round_of(id) {
                    let off = bar.less(&one(self.size(across)));
                    self.keep(format!("depth of {}", feature.name), &SHOULDER, shoulder(), off);
                }
            }
            Kind::Chamfer { of, end, size } => {
                let Some(own) = self.end_size(of, end) else { return };
                let beside = match (self.job.part.neighbour(of, end), end) {
                    (Some(next), SectionEnd::Left) => self.end_size(next, SectionEnd::Right),
                    (Some(next), SectionEnd::Right) => self.end_size(next, SectionEnd::Left),
                    (None, _) => Some(Linear::default()),
                };
                let Some(beside) = beside else { return };
                let left = half(&own.less(&beside)).less(&one(self.size(size)));
                self.at_least(format!("edge beside {}", feature.name), SHOULDER.because, left);
            }
            Kind::Recess { diameter, hub, depth } => self.recess(id, diameter, hub, depth),
            Kind::Hole { depth, .. } | Kind::Tapped { depth, .. } => match feature.face {
                Face::Left | Face::Right => self.end_hole(id, depth),
                _ => self.cross_hole(id),
            },
            Kind::Slot { centres: Some(centres), depth: Depth::To(depth), .. }
                if matches!(feature.face, Face::Left | Face::Right) =>
            {
                self.end_slot(id, centres, depth);
            }
            Kind::PitchCircle { diameter, ref holes, .. } => self.end_circle(id, diameter, holes),
            _ => {}
        }
    }

    /// An undercut stays below the root of the thread that runs out in it, where the drawing
    /// has it so.
    fn below_the_thread(&mut self, groove: FeatureId, diameter: DimensionId) {
        let section = self.job.part.section_of(groove).map(|section| &self.job.feature(section).kind);
        let Some(&Kind::Section { size: SectionSize::Threaded(thread), .. }) = section else { return };
        let drawn = self.job.drawing.threads[thread.0].thread;
        if self.job.dimension(diameter).written.length > root(drawn) {
            return;
        }
        let roots: Vec<Length> = self.threads[thread.0].ways.iter().map(|way| root(way.thread)).collect();
        let allowed = self.ways[diameter.0]
            .ways
            .iter()
            .map(|way| roots.iter().map(|&root| way.value <= root).collect())
            .collect();
        let (a, b) = (self.size(diameter), self.major(thread));
        let name = format!("{} below its thread", self.name(groove));
        self.model.demand(name, UNDERCUT.because, Demand::Pairs { a, b, allowed });
    }

    /// The diameter of the round that something is cut in; none on a taper, which has many.
    fn round_of(&self, id: FeatureId) -> Option<Linear> {
        let section = self.job.part.section_of(id)?;
        match self.job.feature(section).kind {
            Kind::Section { size: SectionSize::Taper { .. }, .. } => None,
            _ => self.diameter(section),
        }
    }

    /// A groove or flats stay in their own section.
    fn within_its_section(&mut self, id: FeatureId, long: DimensionId) {
        let name = self.name(id).to_owned();
        let Some([start, end]) = self.job.part.section_of(id).and_then(|s| self.section_ends(s)) else {
            return;
        };
        let Some(at) = self.job.solved.place(id, Axis::X).map(|place| self.sum(place)) else { return };
        let after = end.less(&at).less(&one(self.size(long)));
        self.at_least(format!("start of {name}"), SHOULDER.because, at.less(&start));
        self.at_least(format!("end of {name}"), SHOULDER.because, after);
    }

    fn cross_hole(&mut self, id: FeatureId) {
        let name = self.name(id).to_owned();
        let along = self.job.solved.place(id, Axis::X).map(|place| self.sum(place));
        let (Some(along), Some(cut), Some(bar)) = (along, self.diameter(id), self.round_of(id)) else {
            return;
        };
        let wall = Length::mm(WALL_MM);
        let beside = bar.less(&cut);
        self.keep(format!("metal beside {name}"), &WALL_PLAIN, wall * 2, beside);
        if let Some([start, end]) = self.job.part.section_of(id).and_then(|s| self.section_ends(s)) {
            let minus_half = Ratio::new(-1, 2);
            let left = add(along.clone().less(&start), &cut, minus_half);
            let right = add(end.less(&along), &cut, minus_half);
            self.keep(format!("metal left of {name}"), &WALL_PLAIN, wall, left);
            self.keep(format!("metal right of {name}"), &WALL_PLAIN, wall, right);
        }
    }

    /// The sections that a cut so deep from an end goes through.
    pub(super) fn gone_through(&self, face: Face, deep: Length) -> Vec<FeatureId> {
        let mut gone = Length::ZERO;
        let ahead = self.job.part.sections_from(face).into_iter();
        ahead
            .take_while(|&section| {
                let reached = gone < deep;
                gone += self.job.part.section_length(section);
                reached
            })
            .collect()
    }

    pub(super) fn length_over_all(&self) -> Option<Linear> {
        self.job.solved.edge(Reference::RightEdge).map(|end| self.sum(end))
    }

    fn end_hole(&mut self, id: FeatureId, depth: Depth) {
        let feature = self.job.feature(id);
        let Some(cut) = self.diameter(id) else { return };
        if let (Depth::To(deep), Some(whole)) = (depth, self.length_over_all()) {
            let floor = whole.less(&one(self.size(deep)));
            let name = format!("metal behind {}", feature.name);
            self.keep(name, &WALL_PLAIN, Length::mm(WALL_MM), floor);
        }
        if self.job.part.off_axis(id) {
            return;
        }
        for section in self.gone_through(feature.face, self.job.part.end_depth(id, depth)) {
            for end in [SectionEnd::Left, SectionEnd::Right] {
                let Some(mut around) = self.end_size(section, end).map(|bar| bar.less(&cut)) else {
                    continue;
                };
                if let Some(throw) = self.throw(section) {
                    around = add(around, &one(self.size(throw)), Ratio::from_integer(-2));
                }
                let side = if end == SectionEnd::Left { "left" } else { "right" };
                let name = format!("metal round {} at the {side} of {}", feature.name, self.name(section));
                let (wall, rule) = self.wall_round(id);
                self.keep(name, rule, wall * 2, around);
            }
        }
    }

    /// What practice asks round a hole along the axis.
    fn wall_round(&self, id: FeatureId) -> (Length, &'static Rule) {
        let bearing = ["brass", "bronze", "gunmetal"].iter().any(|m| self.job.material.name.contains(m));
        match self.job.feature(id).kind {
            Kind::Hole { finish: Finish::Reamed | Finish::Bored, .. } if bearing => {
                (Length::microns(WALL_OF_A_BUSH), &WALL_BUSH)
            }
            _ => (Length::mm(WALL_MM), &WALL_PLAIN),
        }
    }

    /// A slot that runs right across an end goes on doing so, and leaves a floor.
    fn end_slot(&mut self, id: FeatureId, centres: DimensionId, depth: DimensionId) {
        let name = self.name(id).to_owned();
        if let Some(whole) = self.length_over_all() {
            let floor = whole.less(&one(self.size(depth)));
            self.keep(format!("metal behind {name}"), &WALL_PLAIN, Length::mm(WALL_MM), floor);
        }
        let part = &self.job.part;
        if !part.slot_across_end(id) || part.off_axis(id) {
            return;
        }
        let outer = part.sections_from(self.job.feature(id).face).first().copied();
        // Square and hexagon bar reaches out to its corners.
        let corners = outer.map(|section| match self.job.feature(section).kind {
            Kind::Section { size: SectionSize::AsBar { sides: 4, .. }, .. } => Ratio::new(1415, 1000),
            Kind::Section { size: SectionSize::AsBar { .. }, .. } => Ratio::new(1155, 1000),
            _ => Ratio::from_integer(1),
        });
        if let Some((across, corners)) = outer.and_then(|section| self.diameter(section)).zip(corners) {
            let over = one(self.size(centres)).less(&times(&across, corners));
            self.at_least(format!("{name} right across"), SHOULDER.because, over);
        }
    }

    /// Holes round the axis in an end: metal outside them, and inside to the bore.
    fn end_circle(&mut self, id: FeatureId, across: DimensionId, holes: &[FeatureId]) {
        let face = self.job.feature(id).face;
        let Some(&first) = holes.first() else { return };
        if !matches!(face, Face::Left | Face::Right) || self.job.part.off_axis(id) {
            return;
        }
        let (Some(cut), circle) = (self.diameter(first), one(self.size(across))) else { return };
        let name = self.name(id).to_owned();
        let wall = Length::mm(WALL_MM) * 2;
        let all = self.job.part.sections_from(face);
        let below = self.job.part.sections_below(first);
        // A boss or a spigot that the holes stand clear of stays clear of them.
        for &boss in &all[..all.len() - below.len()] {
            if let Some(round) = self.diameter(boss) {
                let beside = circle.clone().less(&cut).less(&round);
                self.keep(format!("{name} beside {}", self.name(boss)), &SHOULDER, Length::ZERO, beside);
            }
        }
        if let Some(&outer) = below.first()
            && let Some(rim) = self.end_size(outer, SectionEnd::toward(face))
        {
            let outside = rim.less(&circle).less(&cut);
            self.keep(format!("rim outside {name}"), &WALL_PLAIN, wall, outside);
        }
        let bores: Vec<FeatureId> = self
            .job
            .part
            .features()
            .filter(|(bore, f)| {
                matches!(f.face, Face::Left | Face::Right)
                    && matches!(f.kind, Kind::Hole { .. } | Kind::Tapped { .. })
                    && !self.job.part.off_axis(*bore)
            })
            .map(|(bore, _)| bore)
            .collect();
        for bore in bores {
            let Some(own) = self.diameter(bore) else { continue };
            let between = circle.clone().less(&cut).less(&own);
            if self.as_drawn(&between).is_positive() {
                let name = format!("metal between {name} and {}", self.name(bore));
                self.keep(name, &WALL_PLAIN, wall, between);
            }
        }
    }
}
