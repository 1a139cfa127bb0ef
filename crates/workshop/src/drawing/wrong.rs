//! What is wrong with a part as drawn, with the slip that would explain it; and what
//! is only odd.
//!
//! A hole outside the metal is impossible whatever was meant. Which figure is to
//! blame is asked as the checker of a drawing would: what single slip of copying,
//! undone, leaves nothing impossible?

use super::slip::{Slip, readings};
use super::solve::solve_faultless;
use super::{Axis, Body, DimensionId, Drawing, FeatureId, Kind, Measures, Part, Says, SectionSize};
use crate::abreast::abreast;
use crate::measure::{Length, Unit, Written};
use crate::problem::Problem;

/// Most drawings tried for one fault: beyond it the answer is a list of what to look at.
const MOST_TRIED: usize = 240;

/// Of so many faults the slip behind them is looked for; mending one often mends the rest.
const MOST_EXPLAINED: usize = 6;

/// And as few of them at least, of however many faults it is one.
const LEAST_TRIED: usize = 24;

impl Part<'_> {
    /// What no workshop could make, and shafts that cannot go into their holes, each
    /// with the slip that would explain it.
    pub fn wrong(&self) -> Vec<Problem> {
        let faults = self.impossible();
        let mates = self.mates_apart();
        if faults.is_empty() {
            return mates;
        }
        let count = faults.len();
        let explained = faults.into_iter().enumerate().map(|(at, fault)| match at < MOST_EXPLAINED {
            true => self.explained(fault, count),
            false => fault,
        });
        explained.chain(mates).collect()
    }

    /// A fault, with the likeliest slip behind it.
    fn explained(&self, fault: Problem, count: usize) -> Problem {
        // What concerns the outside as a whole is no one figure's fault.
        if fault.concerned().is_empty() {
            return fault;
        }
        let suspects = self.suspects(fault.concerned());
        if suspects.is_empty() {
            return fault;
        }
        let mended = self.mended(&suspects, count);
        let mend = fault.remedy().unwrap_or("check its place and its size").to_owned();
        match mended.as_slice() {
            [] => {
                let names: Vec<String> = suspects
                    .iter()
                    .take(4)
                    .map(|&id| format!("`{}`", self.drawing.dimensions[id.0].name))
                    .collect();
                fault.mend(format!("{mend}; it rests on {}", names.join(", ")))
            }
            [first, others @ ..] => {
                let or: Vec<String> = others.iter().take(2).map(|other| other.words(self.drawing)).collect();
                let or = if or.is_empty() { String::new() } else { format!("; or {}", or.join(", or ")) };
                let name = first.name(self.drawing);
                fault
                    .mend(format!("most likely {}{or}; {mend}", first.words(self.drawing)))
                    .concerns_first(name)
            }
        }
    }

    /// The dimensions behind the features of a fault, the nearest to them first.
    fn suspects(&self, concerned: &[String]) -> Vec<DimensionId> {
        let named = |name: &String| self.drawing.features.iter().position(|feature| &feature.name == name);
        let features: Vec<FeatureId> = concerned.iter().filter_map(named).map(FeatureId).collect();
        let mut suspects: Vec<DimensionId> = Vec::new();
        let mut suspect = |id: DimensionId| {
            if !suspects.contains(&id) {
                suspects.push(id);
            }
        };
        for &id in &features {
            let feature = self.feature(id);
            feature.placing.iter().filter_map(|s| s.says.dimension()).for_each(&mut suspect);
            feature.kind.sizes().into_iter().for_each(&mut suspect);
            for axis in [Axis::X, Axis::Y, Axis::Z] {
                let terms = self.solved.place(id, axis).map(|sum| sum.terms.keys().copied());
                terms.into_iter().flatten().for_each(&mut suspect);
            }
        }
        let outside: Vec<DimensionId> = match &self.drawing.body {
            Body::Rectangle { width, height, thickness, .. } => vec![*width, *height, *thickness],
            Body::Disc { diameter, thickness } => vec![*diameter, *thickness],
            Body::Bosses { thickness, .. } | Body::Outline { thickness, .. } => vec![*thickness],
            Body::Turned { length, .. } => length.iter().copied().collect(),
        };
        outside.into_iter().for_each(&mut suspect);
        suspects
    }

    /// Single slips that, undone, leave fewer faults: those of the likeliest kind only.
    fn mended(&self, suspects: &[DimensionId], count: usize) -> Vec<Undone> {
        let drawing = self.drawing;
        let mut all: Vec<(i64, Undone)> = Vec::new();
        for (order, &id) in suspects.iter().enumerate() {
            let written = &drawing.dimensions[id.0].written;
            let odd_unit = drawing.unit.is_some_and(|unit| unit != written.unit);
            for (reads, slip) in readings(written, drawing.unit) {
                let known = drawing.dimensions.iter().enumerate();
                let twice =
                    known.filter(|(at, _)| *at != id.0).any(|(_, d)| d.written.length == reads.length);
                // A unit that the sheet does not use, and a figure that it uses elsewhere.
                let bonus = if slip == Slip::Unit && odd_unit { 8 } else { 0 } + if twice { 4 } else { 0 };
                let fine = match (reads.unit, reads.length.as_inch_fraction()) {
                    (Unit::Inch, Some(text)) if text.ends_with("/64") => 3,
                    (Unit::Inch, None) => 3,
                    _ => 0,
                };
                all.push((slip.cost() + fine - bonus + order as i64, Undone::Size { id, reads, slip }));
            }
        }
        for (index, feature) in drawing.features.iter().enumerate() {
            for (at, statement) in feature.placing.iter().enumerate() {
                if let Says::Along { dimension, from, .. } = statement.says
                    && let Some(order) = suspects.iter().position(|&id| id == dimension)
                    && from.edge().is_none()
                {
                    all.push((Slip::Way.cost() + order as i64, Undone::Way { id: FeatureId(index), at }));
                }
            }
        }
        all.sort_by_key(|(cost, _)| *cost);
        let mut found: Vec<(usize, i64, Undone)> = Vec::new();
        // Of many faults together each is tried less: often one slip is behind them all.
        all.truncate((MOST_TRIED / count.max(1)).max(LEAST_TRIED));
        // A few at a time, so that two threads share them.
        'tried: for some in all.chunks(8) {
            let left = abreast(some, |(_, undone)| undone.faults_left(drawing));
            for ((cost, undone), left) in some.iter().zip(left) {
                // Once something explains it, only what is as likely is of interest.
                if found.iter().any(|(_, best, _)| *cost > best + 4) {
                    break 'tried;
                }
                if left < count {
                    found.push((left, *cost, undone.clone()));
                }
            }
        }
        found.sort_by_key(|(left, cost, _)| (*left, *cost));
        found.into_iter().map(|(_, _, undone)| undone).collect()
    }

    /// Shafts whose size on the drawing is nowhere near that of what they meet.
    fn mates_apart(&self) -> Vec<Problem> {
        let drawing = self.drawing;
        let mut faults = Vec::new();
        for mate in &drawing.mates {
            let met = match drawing.features[mate.with.0].kind {
                Kind::Hole { diameter, .. }
                | Kind::Flatted { diameter, .. }
                | Kind::Section { size: SectionSize::Plain(diameter), .. } => diameter,
                _ => continue,
            };
            let [hole, shaft] = [met, mate.size].map(|id| self.size(id));
            // An eighth is more than any fit or clearance asks for.
            let allowed = (hole.min(shaft) / 8).max(Length::mm_ratio(1, 2));
            if hole.gap(shaft) <= allowed {
                continue;
            }
            let near = |id: DimensionId, wanted: Length| {
                readings(&drawing.dimensions[id.0].written, drawing.unit)
                    .into_iter()
                    .find(|(reads, _)| reads.length == wanted)
                    .map(|(reads, slip)| Undone::Size { id, reads, slip })
            };
            let mut slips: Vec<Undone> = near(mate.size, hole).into_iter().chain(near(met, shaft)).collect();
            // A size that the sheet has elsewhere is the likelier of the two.
            let elsewhere = |undone: &Undone| match undone {
                Undone::Size { reads, .. } => {
                    let others = drawing.dimensions.iter().enumerate();
                    let mut others = others.filter(|(at, _)| ![met.0, mate.size.0].contains(at));
                    others.any(|(_, other)| other.written.length == reads.length)
                }
                Undone::Way { .. } => false,
            };
            slips.sort_by_key(|undone| undone.slip().cost() - if elsewhere(undone) { 4 } else { 0 });
            let names = [met, mate.size].map(|id| drawing.dimensions[id.0].name.clone());
            let likely = match slips.first() {
                Some(undone) => format!("most likely {}; ", undone.words(drawing)),
                None => String::new(),
            };
            let first = slips.first().map_or_else(|| names[1].clone(), |undone| undone.name(drawing));
            let problem = Problem::new(format!(
                "`{}` is {shaft} and `{}`, which it meets, is {hole}",
                mate.name, drawing.features[mate.with.0].name
            ))
            .at(format!("line {}, `{}`", mate.line, mate.name))
            .at(drawing.file.clone())
            .why("no fit allows so much between the two")
            .mend(format!("{likely}check both sizes against the drawing"))
            .concerns(first);
            faults.push(names.into_iter().fold(problem, Problem::concerns));
        }
        faults
    }

    /// What is possible and yet odd enough to look at again: a size in another unit
    /// than the rest, far from the rest as it stands and among them in the other.
    pub fn doubts(&self) -> Vec<Problem> {
        let drawing = self.drawing;
        let mut all: Vec<f64> =
            drawing.dimensions.iter().map(|d| d.written.length.as_mm()).filter(|mm| *mm > 0.0).collect();
        if all.len() < 5 {
            return Vec::new();
        }
        all.sort_by(f64::total_cmp);
        let middle = all[all.len() / 2];
        let mut doubts = Vec::new();
        for dimension in &drawing.dimensions {
            let mm = dimension.written.length.as_mm();
            // The arc of a side may be as flat as it likes.
            let arc = dimension.name.starts_with("body: arc ");
            if mm <= 0.0 || arc || dimension.measures == Measures::KnurlPitch {
                continue;
            }
            let other = match dimension.written.unit {
                Unit::Inch => mm / 25.4,
                Unit::Mm => mm * 25.4,
            };
            let far = |mm: f64| (mm / middle).ln().abs();
            let foreign = drawing.unit.is_some_and(|unit| unit != dimension.written.unit);
            // Twelve times off as it stands, or three times and in a unit that the rest has not.
            let odd = far(mm) > 12.0_f64.ln() || (foreign && far(mm) > 3.0_f64.ln());
            if odd && far(other) < 4.0_f64.ln() {
                doubts.push(
                    Problem::new(format!(
                        "`{}` is {} among sizes round {middle:.1} mm",
                        dimension.name, dimension.written.text
                    ))
                    .at(format!("line {}", dimension.line))
                    .at(drawing.file.clone())
                    .why("in the other unit it would be one of them")
                    .mend("check whether the drawing has it in inches or in millimetres")
                    .concerns(dimension.name.clone()),
                );
            }
        }
        doubts
    }
}

/// One slip, undone.
#[derive(Clone, Debug)]
enum Undone {
    Size { id: DimensionId, reads: Written, slip: Slip },
    Way { id: FeatureId, at: usize },
}

impl Undone {
    const fn slip(&self) -> Slip {
        match self {
            Self::Size { slip, .. } => *slip,
            Self::Way { .. } => Slip::Way,
        }
    }

    /// How many faults the drawing has without the slip; as good as endless where it
    /// no longer solves.
    fn faults_left(&self, drawing: &Drawing) -> usize {
        let mut mended = drawing.clone();
        match self {
            Self::Size { id, reads, .. } => mended.dimensions[id.0].written = reads.clone(),
            Self::Way { id, at } => {
                if let Says::Along { negative, .. } = &mut mended.features[id.0].placing[*at].says {
                    *negative = !*negative;
                }
            }
        }
        let Some(solved) = solve_faultless(&mended) else { return usize::MAX };
        Part::as_drawn(&mended, &solved).impossible().len()
    }

    /// The dimension that it is in, by name.
    fn name(&self, drawing: &Drawing) -> String {
        match self {
            Self::Size { id, .. } => drawing.dimensions[id.0].name.clone(),
            Self::Way { id, at } => {
                let feature = &drawing.features[id.0];
                let id = feature.placing[*at].says.dimension();
                id.map_or_else(|| feature.name.clone(), |id| drawing.dimensions[id.0].name.clone())
            }
        }
    }

    fn words(&self, drawing: &Drawing) -> String {
        match self {
            Self::Size { id, reads, slip } => {
                let dimension = &drawing.dimensions[id.0];
                format!(
                    "`{}` reads `{}`, not `{}` ({})",
                    dimension.name,
                    reads.text,
                    dimension.written.text,
                    slip.words()
                )
            }
            Self::Way { id, at } => {
                format!("`{}` runs {}", drawing.features[id.0].placing[*at].text, Slip::Way.words())
            }
        }
    }
}
