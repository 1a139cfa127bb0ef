//! How parts lie on each other whose holes are made in one setup: told to each once the sizes
//! of all are chosen.

use super::frame::{Blank, Frame};
use super::job::Setup;
use crate::assembly::{Fitting, Together};
use crate::drawing::{
    Body, Corner, Depth, Drawing, Face, FeatureId, Form, Hand, Joint, Kind, Laid, Part, Solved, Source,
};
use crate::measure::Length;
use crate::metric::MetricPart;
use crate::order::{Holding, Located, OrderOfWork};
use crate::problem::Problem;
use crate::settings::show::{geometry, mm};
use crate::why::{Figure, capital};

/// A part of the project with its sizes.
#[derive(Clone, Copy)]
pub struct Sized<'a> {
    /// What its file says.
    pub drawing: &'a Drawing,
    /// Its places.
    pub solved: &'a Solved,
    /// Its sizes.
    pub metric: &'a MetricPart,
}

/// How the parts of a project lie with each other.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Lying {
    /// Of each part, what is made while it lies with others, and how it lies then.
    pub joints: Vec<Vec<Joint>>,
    /// What the project says of it and cannot be: each part then has those holes made by itself.
    pub unlaid: Vec<Problem>,
    /// Holes of two parts that go over the same things of a third, and could be made in one setup.
    pub proposed: Vec<String>,
}

/// Which holes of each part are made while it lies with others, and how it lies then. The parts
/// are those among which the fitting was resolved, in the same order; none where one has no sizes.
/// Holes have to come over each other within 0.01 mm.
pub fn lay_together(fitting: &Fitting, parts: &[Option<Sized>]) -> Lying {
    let mut lying = Lying { joints: vec![Vec::new(); parts.len()], ..Lying::default() };
    for together in &fitting.together {
        let sized = together.parts.iter().map(|(part, _)| parts.get(*part).copied().flatten());
        let Some(sized) = sized.collect::<Option<Vec<Sized>>>() else { continue };
        match laid(together, &sized) {
            Ok(all) => {
                for ((part, _), joint) in together.parts.iter().zip(all) {
                    lying.joints[*part].push(joint);
                }
            }
            Err(fault) => lying.unlaid.push(fault.at(together.said.clone())),
        }
    }
    let said = |part: usize, holes: &[FeatureId]| {
        let of = fitting.together.iter().flat_map(|together| &together.parts);
        of.filter(|(own, _)| *own == part).any(|(_, known)| known.iter().any(|id| holes.contains(id)))
    };
    for (one, first) in parts.iter().enumerate() {
        for (other, second) in parts.iter().enumerate().skip(one + 1) {
            let (Some(first), Some(second)) = (first, second) else { continue };
            let (mine, its): (Vec<_>, Vec<_>) = in_common(first.drawing, second.drawing).into_iter().unzip();
            let known = said(one, &mine) || said(other, &its);
            let comes_over = || {
                let together = Together {
                    name: String::new(),
                    parts: vec![(one, mine.clone()), (other, its.clone())],
                    because: None,
                    said: String::new(),
                };
                laid(&together, &[*first, *second]).is_ok()
            };
            if mine.len() > 1 && !known && comes_over() {
                lying.proposed.push(proposal([first.drawing, second.drawing], [&mine, &its]));
            }
        }
    }
    lying
}

/// Far below what any fit of a shed asks for: sums of chosen sizes that differ by more differ on purpose.
fn same_place() -> Length {
    Length::microns(10)
}

/// What is made while a part lies with others, and in which of its setups.
pub fn setups(drawing: &Drawing, order: &OrderOfWork) -> Vec<(String, usize)> {
    let joint =
        |(n, holding): (usize, &Holding)| Some((drawing.together[holding.pieces.joint()?].name.clone(), n));
    order.setups.iter().enumerate().filter_map(joint).collect()
}

/// A part as it lies, in its own axes.
struct Lies<'a> {
    part: Part<'a>,
    up: Face,
    edges: [Length; 4],
    datum: (Length, Length),
    holes: Vec<(Length, Length)>,
}

impl<'a> Lies<'a> {
    fn with(sized: &Sized<'a>, holes: &[FeatureId], up: Face) -> Self {
        let part = Part::as_drawn(sized.drawing, sized.solved).with_sizes(sized.metric.sizes.clone());
        let frame = Frame::of(up);
        let edges = frame.extent(&Blank::of(&part), (Length::ZERO, part.thickness()));
        let [x0, x1, y0, y1] = edges;
        let sides = datum_edges(&part.drawing.body).map(|face| frame.side(face));
        let x = if sides.iter().any(|side| side.0 > 0) { x1 } else { x0 };
        let y = if sides.iter().any(|side| side.1 > 0) { y1 } else { y0 };
        let holes = holes.iter().map(|&id| frame.feature(&part, id)).collect();
        Self { part, up, edges, datum: (x, y), holes }
    }

    /// How far the holes of another lie from these at the worst, the first over the first.
    fn apart(&self, other: &Self) -> Length {
        let (dx, dy) = self.step(other);
        let off = |(mine, its): (&(Length, Length), &(Length, Length))| {
            (its.0 + dx - mine.0).abs().max((its.1 + dy - mine.1).abs())
        };
        self.holes.iter().zip(&other.holes).map(off).max().unwrap_or_default()
    }

    /// From the other's axes to these.
    fn step(&self, other: &Self) -> (Length, Length) {
        let (mine, its) = (self.holes[0], other.holes[0]);
        (mine.0 - its.0, mine.1 - its.1)
    }

    /// The other in these axes.
    fn told_of(&self, other: &Self) -> Laid {
        let (dx, dy) = self.step(other);
        let [x0, x1, y0, y1] = other.edges;
        Laid {
            part: other.part.drawing.name.clone(),
            thick: other.part.thickness(),
            edges: [x0 + dx, x1 + dx, y0 + dy, y1 + dy],
            datum: (other.datum.0 + dx, other.datum.1 + dy),
        }
    }
}

/// The two edges that positions are taken from, as [`crate::order`] has it for what is no casting.
fn datum_edges(body: &Body) -> [Face; 2] {
    match body {
        Body::Rectangle { datum: Corner::BottomRight, .. } => [Face::Right, Face::Bottom],
        Body::Rectangle { datum: Corner::TopLeft, .. } => [Face::Left, Face::Top],
        Body::Rectangle { datum: Corner::TopRight, .. } => [Face::Right, Face::Top],
        _ => [Face::Left, Face::Bottom],
    }
}

fn laid(together: &Together, sized: &[Sized]) -> Result<Vec<Joint>, Problem> {
    let holes = |n: usize| together.parts[n].1.as_slice();
    let first = &sized[0].drawing.features[holes(0)[0].0];
    let mut all = vec![Lies::with(&sized[0], holes(0), first.face)];
    for (n, one) in sized.iter().enumerate().skip(1) {
        let ways = [Face::Front, Face::Back].map(|up| Lies::with(one, holes(n), up));
        let own = one.drawing.features[holes(n)[0].0].face;
        // As it is drawn where that does as well.
        let found = ways.into_iter().min_by_key(|way| (all[0].apart(way), way.up != own));
        let found = found.expect("there are two ways");
        let apart = all[0].apart(&found);
        if apart > same_place() {
            return Err(unlike(together, sized, n, apart));
        }
        all.push(found);
    }
    let joint = |(n, own): (usize, &Lies)| Joint {
        name: together.name.clone(),
        features: holes(n).to_vec(),
        up: own.up,
        above: n,
        others: all
            .iter()
            .enumerate()
            .filter(|(m, _)| *m != n)
            .map(|(_, other)| own.told_of(other))
            .collect(),
        said: together.said.clone(),
    };
    Ok(all.iter().enumerate().map(joint).collect())
}

fn unlike(together: &Together, sized: &[Sized], n: usize, apart: Length) -> Problem {
    let (one, other) = (&sized[0].drawing.name, &sized[n].drawing.name);
    Problem::new(format!("`{}` cannot be made in one setup", together.name))
        .why(format!(
            "with the first hole of {other} under the first of {one}, others are {} apart, whichever way up it lies",
            mm(apart)
        ))
        .mend(
            "hold the distances between these holes in both part files, or pin them to one size; until then each part \
             has its holes made by itself",
        )
}

/// How parts are held together, as an instruction.
pub fn held(joint: &Joint) -> String {
    match joint.top() {
        Some(top) => format!(
            "{} in one setup for all: the sheet of {} for “{}” says how they are held, and what is set there is set once.",
            capital(&joint.words()),
            top.part,
            joint.name
        ),
        None => format!(
            "{}, clean and free of burrs where they meet, each set by its edges as below and stuck with adhesive or \
             double-sided tape, or bolted through holes that all have; then held as one.",
            capital(&joint.words())
        ),
    }
}

/// What to do before they are parted.
pub fn note(joint: &Joint) -> String {
    format!(
        "“{}”: every hole goes through all that lie together before they are parted; mark which belong to each other and \
         which way they lay ({}).",
        joint.name, joint.said
    )
}

impl<'a> Setup<'a> {
    /// What says that the part lies in the setup with others.
    pub fn joint(&self) -> Option<&'a Joint> {
        self.holding.pieces.joint().map(|which| &self.job.part.drawing.together[which])
    }

    /// The part whose edges are picked up, where it is another that lies on top.
    pub fn top(&self) -> Option<&'a Laid> {
        let edges = matches!(self.holding.located, Located::Edges(..));
        self.joint().filter(|_| edges).and_then(Joint::top)
    }

    /// Where the edges of all that lie beneath come, in the axes of the setup; of a part that lies
    /// beneath, its own.
    pub fn laid_presets(&self) -> Vec<Figure> {
        let Some(joint) = self.joint() else { return Vec::new() };
        let (ox, oy) = self.origin();
        // Of its blank only the edges that are squared are worth setting.
        let squared = match self.holding.located {
            Located::Edges(a, b) => [a, b].map(|face| self.frame.side(face)),
            _ => [(0, 0); 2],
        };
        let [x0, x1, y0, y1] = self.extent();
        let x = if squared.iter().any(|side| side.0 > 0) { x1 } else { x0 };
        let y = if squared.iter().any(|side| side.1 > 0) { y1 } else { y0 };
        let own = (self.part.drawing.name.as_str(), self.extent(), (x, y));
        let lies: Vec<(&str, [Length; 4], (Length, Length))> = match self.top() {
            Some(_) => vec![own],
            None => {
                joint.others.iter().map(|other| (other.part.as_str(), other.edges, other.datum)).collect()
            }
        };
        let mut figures = Vec::new();
        for (name, [x0, _, y0, _], (x, y)) in lies {
            let across = if x == x0 { "left" } else { "right" };
            let along = if y == y0 { "near" } else { "far" };
            for (axis, side, at) in [("X", across, x - ox), ("Y", along, y - oy)] {
                let why = geometry(format!(
                    "with the first hole of each over that of the others, the {side} edge of {name} comes there, from the \
                     edges that are picked up"
                ));
                let label = format!("{axis} of the {side} edge of {name}");
                figures.push(Figure::new(self.named(0, &label), mm(at), why));
            }
        }
        figures
    }
}

/// Holes of two parts that go over the same things, both plain and right through, and brought out
/// alike.
fn in_common(one: &Drawing, other: &Drawing) -> Vec<(FeatureId, FeatureId)> {
    let lies = |drawing: &Drawing| {
        let cast = drawing.stock.as_ref().is_some_and(|stock| stock.form == Form::Casting);
        let plate = !matches!(drawing.body, Body::Turned { .. });
        plate && !cast && drawing.source == Source::Made && drawing.hands == [Hand::Neither]
    };
    if !lies(one) || !lies(other) || one.make != other.make {
        return Vec::new();
    }
    let hole = |drawing: &Drawing, id: FeatureId| {
        let feature = &drawing.features[id.0];
        let flat = matches!(feature.face, Face::Front | Face::Back) && drawing.left(id).is_none();
        match feature.kind {
            Kind::Hole { diameter, finish, depth: Depth::Through, .. } if flat => {
                Some((drawing.dimensions[diameter.0].written.length, finish))
            }
            _ => None,
        }
    };
    let over = |drawing: &Drawing| -> Vec<(FeatureId, String)> {
        let mates = drawing.mates.iter().filter_map(|mate| Some((mate.with, mate.partner.as_ref()?)));
        let screwed = drawing.screwed.iter().map(|screwed| (screwed.feature, &screwed.partner));
        mates
            .chain(screwed)
            .map(|(id, of)| (id, format!("{}: {} {:?}", of.part, of.feature, of.nth).to_lowercase()))
            .collect()
    };
    let theirs = over(other);
    let mut found: Vec<(FeatureId, FeatureId)> = Vec::new();
    for (mine, goes_over) in over(one) {
        let same = theirs.iter().find(|(its, what)| {
            let alike = hole(one, mine).is_some() && hole(one, mine) == hole(other, *its);
            *what == goes_over && alike && !found.iter().any(|(a, b)| *a == mine || b == its)
        });
        found.extend(same.map(|(its, _)| (mine, *its)));
    }
    found
}

fn proposal(parts: [&Drawing; 2], holes: [&[FeatureId]; 2]) -> String {
    let names: Vec<String> = parts
        .iter()
        .zip(holes)
        .flat_map(|(part, holes)| {
            holes.iter().map(|id| format!("\"{}: {}\"", part.name, part.features[id.0].name))
        })
        .collect();
    format!(
        "{} and {} have {} holes over the same things: made in one setup, the parts laid on each other, they agree \
         whatever the slides are out by. To have it so, write into the assembly file `[[together]]` with a `name` and `holes = [{}]`.",
        parts[0].name,
        parts[1].name,
        holes[0].len(),
        names.join(", ")
    )
}
