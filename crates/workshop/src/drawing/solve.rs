//! Solving the placing statements into coordinates, exactly.
//!
//! Every statement is a linear equation between coordinates whose right-hand
//! side is a sum of dimensions. Elimination over ratios gives each coordinate as
//! a [`Linear`]; an equation that adds nothing new is a check, and says either
//! that the drawing agrees with itself or by how much it does not.

use std::collections::BTreeMap;

use num_rational::Ratio;

use super::place::Says;
use super::rows::{EDGES, Node, Row, Unknown, add, cosine, last_place, scale, sine, subtract, unknown};
use super::{Axis, Body, Corner, Drawing, Face, FeatureId, Kind, Linear, Reference};
use crate::measure::{Angle, Length, Unit};
use crate::problem::Problem;

/// The places of every feature, as sums of dimensions.
#[derive(Clone, Debug)]
pub struct Solved {
    /// x, y and z of each feature, where the drawing settles them.
    places: Vec<[Option<Linear>; 3]>,
    edges: BTreeMap<Reference, Linear>,
    /// Dimensions that say again what others say, and agree.
    pub checks: Vec<Check>,
}

/// A dimension given twice: the sum that must stay at nought.
#[derive(Clone, Debug)]
pub struct Check {
    /// The statements that together say it, as written.
    pub statements: Vec<String>,
    /// What must come to nought, within `slack`.
    pub difference: Linear,
    /// What the rounding of the drawing's own decimals allows.
    pub slack: Length,
}

impl Solved {
    /// A coordinate of a feature, or `None` where the feature has none there.
    pub fn place(&self, feature: FeatureId, axis: Axis) -> Option<&Linear> {
        self.places[feature.0][axis as usize].as_ref()
    }

    /// The coordinate of an edge or face.
    pub fn edge(&self, edge: Reference) -> Option<&Linear> {
        self.edges.get(&edge)
    }
}

/// Solves a drawing.
///
/// # Errors
///
/// One [`Problem`] for every feature that the drawing does not place and for
/// every set of statements that disagree, with the amount.
pub fn solve(drawing: &Drawing) -> Result<Solved, Vec<Problem>> {
    let (solved, faults) = solve_as_far(drawing);
    if faults.is_empty() { Ok(solved) } else { Err(faults) }
}

/// Solves a drawing as far as it goes: every place that it settles, and every
/// fault that keeps it from settling the rest. For a drawing still being entered.
pub fn solve_as_far(drawing: &Drawing) -> (Solved, Vec<Problem>) {
    let mut system =
        System { drawing, rows: Vec::new(), sources: Vec::new(), checks: Vec::new(), faults: Vec::new() };
    system.body();
    for index in 0..drawing.features.len() {
        system.feature(FeatureId(index));
    }
    system.equalities();
    let mut faults = std::mem::take(&mut system.faults);
    let places: Vec<[Option<Linear>; 3]> = (0..drawing.features.len())
        .map(|i| {
            [Axis::X, Axis::Y, Axis::Z].map(|axis| system.value(unknown(Node::Feature(FeatureId(i)), axis)))
        })
        .collect();
    for (index, feature) in drawing.features.iter().enumerate() {
        for axis in needed_axes(drawing, FeatureId(index)) {
            if places[index][axis as usize].is_none() {
                faults.push(missing(drawing, feature, axis));
            }
        }
    }
    let edges = EDGES
        .into_iter()
        .filter_map(|edge| {
            let (axis, _) = edge.edge().expect("the list holds edges only");
            Some((edge, system.value(unknown(Node::Edge(edge), axis))?))
        })
        .collect::<BTreeMap<_, _>>();
    if let Body::Turned { .. } = drawing.body
        && !edges.contains_key(&Reference::RightEdge)
        && faults.is_empty()
    {
        faults.push(
            Problem::new("nothing says how long the part is")
                .at(drawing.file.clone())
                .mend("give the length of each section, or the length over all in `[body]`"),
        );
    }
    (Solved { places, edges, checks: system.checks }, faults)
}

/// The axes on which a feature must be placed.
pub(super) fn needed_axes(drawing: &Drawing, id: FeatureId) -> Vec<Axis> {
    let feature = &drawing.features[id.0];
    match &feature.kind {
        Kind::Slit { .. }
        | Kind::Counterbore { .. }
        | Kind::Countersink { .. }
        | Kind::Knurl { .. }
        | Kind::Chamfer { .. }
        | Kind::Recess { .. } => Vec::new(),
        Kind::Step { side, .. } => vec![side.axis()],
        Kind::Section { .. } | Kind::Groove { .. } | Kind::Flats { .. } => vec![Axis::X],
        Kind::Boss { .. } | Kind::Corner { .. } => vec![Axis::X, Axis::Y],
        Kind::Hole { .. }
        | Kind::Tapped { .. }
        | Kind::ClampScrew { .. }
        | Kind::Slot { .. }
        | Kind::TaperPin { .. }
        | Kind::Pocket { .. }
        | Kind::Square { .. }
        | Kind::Flatted { .. }
        | Kind::Row { .. }
        | Kind::PitchCircle { .. } => {
            [Axis::X, Axis::Y, Axis::Z].into_iter().filter(|&axis| axis != feature.face.axis()).collect()
        }
    }
}

fn missing(drawing: &Drawing, feature: &super::Feature, axis: Axis) -> Problem {
    let (how_far, such_as) = match axis {
        Axis::X => ("to the right or left", "`… right of NAME` or `plumb with NAME`"),
        Axis::Y => ("up or down the sheet", "`… above NAME` or `level with NAME`"),
        Axis::Z => ("from the back or front face", "`… in front of back face` or `mid thickness`"),
    };
    Problem::new(format!("nothing says how far {how_far} `{}` is", feature.name))
        .at(format!("line {}, `{}`", feature.line, feature.name))
        .at(drawing.file.clone())
        .why("the drawing leaves it out, or chains it from something that is itself not placed")
        .mend(format!("find it on the drawing and add to `place`: {such_as}"))
        .concerns(feature.name.clone())
}

struct Source {
    text: String,
    line: Option<usize>,
    feature: Option<FeatureId>,
}

struct System<'a> {
    drawing: &'a Drawing,
    rows: Vec<Row>,
    sources: Vec<Source>,
    checks: Vec<Check>,
    faults: Vec<Problem>,
}

impl System<'_> {
    /// The value of an unknown, once its row holds nothing else.
    fn value(&self, unknown: Unknown) -> Option<Linear> {
        let row = self.rows.iter().find(|row| row.pivot == unknown)?;
        (row.coefficients.len() == 1).then(|| row.value.clone())
    }

    /// Adds `sum of terms = value`, said by the newest source.
    fn equation(&mut self, terms: &[(Unknown, i128)], value: Linear) {
        let mut row = Row {
            pivot: 0,
            coefficients: BTreeMap::new(),
            value,
            from: BTreeMap::from([(self.sources.len() - 1, Ratio::from_integer(1))]),
        };
        for &(unknown, count) in terms {
            add(&mut row.coefficients, unknown, Ratio::from_integer(count));
        }
        for known in &self.rows {
            if let Some(&count) = row.coefficients.get(&known.pivot) {
                subtract(&mut row, known, count);
            }
        }
        let Some((&pivot, &count)) = row.coefficients.iter().next() else {
            self.check(row);
            return;
        };
        scale(&mut row, Ratio::from_integer(1) / count);
        row.pivot = pivot;
        for known in &mut self.rows {
            if let Some(&count) = known.coefficients.get(&pivot) {
                subtract(known, &row, count);
            }
        }
        self.rows.push(row);
    }

    /// An equation that adds nothing: the drawing says something twice.
    fn check(&mut self, row: Row) {
        let drawn: Vec<Length> = self.drawing.dimensions.iter().map(|d| d.written.length).collect();
        let amount = row.value.value(&drawn);
        let slack: Length = row
            .value
            .terms
            .iter()
            .map(|(id, &count)| last_place(&self.drawing.dimensions[id.0].written).scaled(count).abs())
            .sum::<Length>()
            // Cosines are held to a millionth of a micron.
            + Length::mm_ratio(1, 1_000_000);
        let said: Vec<&Source> =
            row.from.keys().map(|&i| &self.sources[i]).filter(|s| !s.text.is_empty()).collect();
        let statements: Vec<String> = said
            .iter()
            .map(|s| match s.feature {
                Some(id) => format!("{}: {}", self.drawing.features[id.0].name, s.text),
                None => s.text.clone(),
            })
            .collect();
        if amount.abs() <= slack {
            self.checks.push(Check { statements, difference: row.value, slack });
            return;
        }
        let lines: Vec<String> = said.iter().filter_map(|s| s.line).map(|l| l.to_string()).collect();
        let inches = if self.drawing.unit == Some(Unit::Inch) {
            format!(" ({:.4} in)", amount.abs().as_inches())
        } else {
            String::new()
        };
        let concerned: Vec<String> = said
            .iter()
            .filter_map(|s| s.feature)
            .map(|id| self.drawing.features[id.0].name.clone())
            .collect();
        let problem =
            Problem::new(format!("the drawing disagrees with itself by {}{inches}", amount.abs()))
                .at(format!("lines {}", lines.join(", ")))
                .at(self.drawing.file.clone())
                .why(format!("these cannot all be true: {}", statements.join("; ")))
                .mend("check each against the drawing for a slip; if the drawing itself is wrong, keep the ones that matter and take one out");
        self.faults.push(concerned.into_iter().fold(problem, Problem::concerns));
    }

    /// Sizes that the file holds equal: each against the first.
    fn equalities(&mut self) {
        let drawing = self.drawing;
        for equal in &drawing.equal {
            let Some((&first, rest)) = equal.dimensions.split_first() else { continue };
            for &other in rest {
                let names = [first, other].map(|id| drawing.dimensions[id.0].name.clone());
                let [a, b] = [first, other].map(|id| drawing.dimensions[id.0].written.length);
                if a != b {
                    self.faults.push(
                        Problem::new(format!("`{}` and `{}` differ by {}", names[0], names[1], a.gap(b)))
                            .at(format!("line {}, `equal`", equal.line))
                            .at(drawing.file.clone())
                            .why("the file says that they are equal, and the drawing gives them different sizes")
                            .mend("check both against the drawing, or take one out of `equal`")
                            .concerns(names[0].clone())
                            .concerns(names[1].clone()),
                    );
                    continue;
                }
                let difference = Linear::dimension(first).minus(&Linear::dimension(other));
                let statements = vec![format!("{} stays equal to {}", names[0], names[1])];
                self.checks.push(Check { statements, difference, slack: Length::ZERO });
            }
        }
    }

    fn say(&mut self, text: impl Into<String>, line: Option<usize>, feature: Option<FeatureId>) {
        self.sources.push(Source { text: text.into(), line, feature });
    }

    fn body(&mut self) {
        let edge = |reference: Reference| {
            let (axis, _) = reference.edge().expect("called with edges only");
            unknown(Node::Edge(reference), axis)
        };
        let (left, right) = (edge(Reference::LeftEdge), edge(Reference::RightEdge));
        let (bottom, top) = (edge(Reference::BottomEdge), edge(Reference::TopEdge));
        let (back, front) = (edge(Reference::BackFace), edge(Reference::FrontFace));
        let half = Ratio::new(1, 2);
        let span = |system: &mut Self, near, far, id: super::DimensionId| {
            let dimension = &system.drawing.dimensions[id.0];
            let (text, line) = (format!("{} {}", dimension.name, dimension.written.text), dimension.line);
            system.say(text, Some(line), None);
            system.equation(&[(far, 1), (near, -1)], Linear::dimension(id));
        };
        let zero = |system: &mut Self, at: &[(Unknown, i128)]| {
            system.say("", None, None);
            system.equation(at, Linear::default());
        };
        let drawing = self.drawing;
        match &drawing.body {
            Body::Bosses { thickness, .. } | Body::Outline { thickness, .. } => {
                zero(self, &[(back, 1)]);
                span(self, back, front, *thickness);
            }
            Body::Rectangle { width, height, thickness, datum } => {
                let (x, y): (&[_], &[_]) = match datum {
                    Corner::BottomLeft => (&[(left, 1)], &[(bottom, 1)]),
                    Corner::BottomRight => (&[(right, 1)], &[(bottom, 1)]),
                    Corner::TopLeft => (&[(left, 1)], &[(top, 1)]),
                    Corner::TopRight => (&[(right, 1)], &[(top, 1)]),
                    Corner::Centre => (&[(left, 1), (right, 1)], &[(bottom, 1), (top, 1)]),
                };
                zero(self, x);
                zero(self, y);
                zero(self, &[(back, 1)]);
                span(self, left, right, *width);
                span(self, bottom, top, *height);
                span(self, back, front, *thickness);
            }
            Body::Disc { diameter, thickness } => {
                let radius = Linear::dimension(*diameter).times(half);
                for (at, side) in [(left, -1), (right, 1), (bottom, -1), (top, 1)] {
                    self.say("", None, None);
                    self.equation(&[(at, 1)], radius.times(Ratio::from_integer(side)));
                }
                zero(self, &[(back, 1)]);
                span(self, back, front, *thickness);
            }
            Body::Turned { sections, length } => {
                zero(self, &[(left, 1)]);
                let start = |id: FeatureId| unknown(Node::Feature(id), Axis::X);
                if let Some(&first) = sections.first() {
                    zero(self, &[(start(first), 1)]);
                }
                for (index, &section) in sections.iter().enumerate() {
                    let end = sections.get(index + 1).map_or(right, |&next| start(next));
                    if let Kind::Section { length: Some(id), .. } = drawing.features[section.0].kind {
                        span(self, start(section), end, id);
                    }
                }
                if let Some(length) = length {
                    span(self, left, right, *length);
                }
            }
        }
    }

    fn feature(&mut self, id: FeatureId) {
        let drawing = self.drawing;
        let feature = &drawing.features[id.0];
        let turned = matches!(drawing.body, Body::Turned { .. });
        let axes = needed_axes(drawing, id);
        let own = |axis| unknown(Node::Feature(id), axis);
        for statement in &feature.placing {
            self.say(statement.text.clone(), Some(statement.line), Some(id));
            self.statement(id, &axes, &statement.says);
        }
        if turned && !matches!(feature.kind, Kind::Section { .. }) {
            // What is cut on a turned part lies on its axis unless it is placed off it.
            for axis in [Axis::Y, Axis::Z] {
                if axes.contains(&axis) && !placed_on(feature, axis) {
                    self.say("", None, None);
                    self.equation(&[(own(axis), 1)], Linear::default());
                }
            }
        }
        if let Kind::Row { spacing, holes, along } = &feature.kind {
            for (index, &hole) in holes.iter().enumerate() {
                let from_first = Linear::dimension(*spacing).times(Ratio::from_integer(index as i128));
                let [across, up] = plane(feature.face);
                for (axis, share) in [(across, cosine(*along)), (up, sine(*along))] {
                    self.say("", None, None);
                    let from = unknown(Node::Feature(id), axis);
                    let hole = unknown(Node::Feature(hole), axis);
                    self.equation(&[(hole, 1), (from, -1)], from_first.times(share));
                }
            }
        }
        if let Kind::PitchCircle { diameter, holes, first } = &feature.kind {
            for (index, &hole) in holes.iter().enumerate() {
                let angle = *first + Angle::ratio(360 * index as i128, holes.len() as i128);
                let spoke = Linear::dimension(*diameter).times(Ratio::new(1, 2));
                let [across, up] = plane(feature.face);
                for (axis, share) in [(across, cosine(angle)), (up, sine(angle))] {
                    self.say("", None, None);
                    let from = unknown(Node::Feature(id), axis);
                    self.equation(&[(unknown(Node::Feature(hole), axis), 1), (from, -1)], spoke.times(share));
                }
            }
        }
    }

    /// Adds the equations of one statement.
    fn statement(&mut self, id: FeatureId, axes: &[Axis], says: &Says) {
        let own = |axis| unknown(Node::Feature(id), axis);
        let one = Ratio::from_integer(1);
        match says {
            Says::Datum => {
                for &axis in axes {
                    self.equation(&[(own(axis), 1)], Linear::default());
                }
            }
            Says::Along { axis, negative, dimension, from } => {
                let sign = if *negative { -one } else { one };
                self.relate(id, *axis, &[(*from, -1)], 1, Linear::dimension(*dimension).times(sign));
            }
            Says::Polar { dimension, from, angle } => {
                let [across, up] = plane(self.drawing.features[id.0].face);
                for (axis, share) in [(across, cosine(*angle)), (up, sine(*angle))] {
                    self.relate(id, axis, &[(*from, -1)], 1, Linear::dimension(*dimension).times(share));
                }
            }
            Says::Same { axis, as_ } => self.relate(id, *axis, &[(*as_, -1)], 1, Linear::default()),
            Says::Concentric(of) => {
                for &axis in axes {
                    self.relate(id, axis, &[(*of, -1)], 1, Linear::default());
                }
            }
            Says::Midway(a, b) => {
                let along: Vec<Axis> = match (a.edge(), b.edge()) {
                    (Some((axis, _)), _) | (_, Some((axis, _))) => vec![axis],
                    _ => axes.to_vec(),
                };
                for axis in along {
                    self.relate(id, axis, &[(*a, -1), (*b, -1)], 2, Linear::default());
                }
            }
            Says::Symmetrical { with, across } => {
                let (near, far) = match across {
                    Axis::X => (Reference::LeftEdge, Reference::RightEdge),
                    Axis::Y => (Reference::BottomEdge, Reference::TopEdge),
                    Axis::Z => (Reference::BackFace, Reference::FrontFace),
                };
                for &axis in axes {
                    if axis == *across {
                        self.relate(id, axis, &[(*with, 1), (near, -1), (far, -1)], 1, Linear::default());
                    } else {
                        self.relate(id, axis, &[(*with, -1)], 1, Linear::default());
                    }
                }
            }
            Says::Opposite { other, about } => {
                let along: Vec<Axis> = match about.edge() {
                    Some((axis, _)) => vec![axis],
                    None => axes.to_vec(),
                };
                for axis in along {
                    self.relate(id, axis, &[(*other, 1), (*about, -2)], 1, Linear::default());
                }
            }
        }
    }

    /// `count × own + sum of others = value` on one axis; a fault when a
    /// reference has no coordinate there.
    fn relate(
        &mut self,
        id: FeatureId,
        axis: Axis,
        others: &[(Reference, i128)],
        count: i128,
        value: Linear,
    ) {
        let mut terms = vec![(unknown(Node::Feature(id), axis), count)];
        for &(reference, times) in others {
            match reference {
                Reference::Datum => {}
                Reference::Feature(other) => terms.push((unknown(Node::Feature(other), axis), times)),
                edge => {
                    let straight = match self.drawing.body {
                        Body::Bosses { .. } | Body::Outline { .. } => axis == Axis::Z,
                        Body::Turned { .. } => axis == Axis::X,
                        Body::Rectangle { .. } | Body::Disc { .. } => true,
                    };
                    if edge.edge().is_some_and(|(on, _)| on == axis) && straight {
                        terms.push((unknown(Node::Edge(edge), axis), times));
                    } else {
                        self.no_such_edge(id, edge);
                        return;
                    }
                }
            }
        }
        self.equation(&terms, value);
    }

    fn no_such_edge(&mut self, id: FeatureId, edge: Reference) {
        let source = self.sources.last().expect("every equation has its source");
        let feature = &self.drawing.features[id.0];
        self.faults.push(
            Problem::new(format!(
                "`{}` cannot be measured from the {}",
                source.text,
                edge.word(&|_| String::new())
            ))
            .at(format!("line {}, `{}`", source.line.unwrap_or(feature.line), feature.name))
            .at(self.drawing.file.clone())
            .why("this part has no straight edge there in that direction")
            .mend("measure it from a feature, such as a boss, or in the edge's own direction")
            .concerns(feature.name.clone()),
        );
    }
}

/// The two axes of a face, across and up as one looks at it.
pub(super) const fn plane(face: Face) -> [Axis; 2] {
    match face {
        Face::Front | Face::Back => [Axis::X, Axis::Y],
        Face::Left | Face::Right => [Axis::Y, Axis::Z],
        Face::Top | Face::Bottom => [Axis::X, Axis::Z],
    }
}

fn placed_on(feature: &super::Feature, axis: Axis) -> bool {
    feature.placing.iter().any(|statement| match &statement.says {
        Says::Along { axis: on, .. } | Says::Same { axis: on, .. } => *on == axis,
        Says::Polar { .. } | Says::Datum | Says::Concentric(_) | Says::Symmetrical { .. } => true,
        Says::Midway(a, b) => a.edge().or(b.edge()).is_none_or(|(on, _)| on == axis),
        Says::Opposite { about, .. } => about.edge().is_none_or(|(on, _)| on == axis),
    })
}
