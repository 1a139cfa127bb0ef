//! What is said of a scene: its dimensions and notes, on the picture or under it.

use std::collections::BTreeSet;
use std::f64::consts::PI;

use workshop::geometry::{Bounds, Point, Segment};
use workshop::plan::sheet::{Projections, Runs, Said, Scene, SceneDimension};

use super::{Find, place};
use crate::callout::{BALLOON_RADIUS_MM, ring};
use crate::dimension::Label;
use crate::font::Face;
use crate::grid::{self, Band, LABEL_PT};
use crate::held::Held;
use crate::ink::{ASSUMED, Ink, Point as Paper, Tag, signed};
use crate::picture::{Picture, Place, Side};

/// Words longer than this on a leader would sprawl over the picture.
const LONGEST_ON_A_LEADER_MM: f64 = 62.0;
/// A place in a dimension's row costs as much as this much of the work's size.
const ROW_SHARE: f64 = 0.04;

/// Everything said of a scene, dimensions first; or of all the views of a part.
pub(crate) struct Remarks {
    remarks: Vec<Remark>,
    /// The middle of the work in each view.
    middles: Vec<Place>,
}

struct Remark {
    /// Which view it belongs to.
    view: usize,
    kind: Kind,
    label: Label,
}

enum Kind {
    Straight { from: Place, to: Place, side: Side },
    Aligned { from: Place, to: Place },
    Radius { centre: Place, rim: Place, half_rad: f64 },
    Angle { apex: Place, from_rad: f64, to_rad: f64 },
    Rim { centre: Place, radius_mm: f64 },
    Leader { at: Place },
    Datum { at: Place, out_rad: f64 },
}

impl Remarks {
    /// Takes what a scene says, each dimension on the side it lies nearest to.
    pub fn of(scene: &Scene, find: Find<'_>) -> Self {
        let bounds = bounds(scene);
        let mut sides = Sides { bounds, taken: [0.0; 4] };
        let mut remarks: Vec<Remark> = Vec::new();
        for (n, dimension) in scene.dimensions.iter().enumerate() {
            // Two holes on one level have one height between them.
            if scene.dimensions[..n].iter().any(|earlier| same(earlier, dimension)) {
                continue;
            }
            remarks.push(Remark {
                view: 0,
                kind: kind(dimension, &mut sides),
                label: label(&dimension.text, dimension.figure.as_deref(), find),
            });
        }
        remarks.extend(scene.notes.iter().map(|note| Remark {
            view: 0,
            kind: Kind::Leader { at: place(note.at) },
            label: label(&note.text, note.figure.as_deref(), find),
        }));
        Self { remarks, middles: vec![middle(bounds)] }
    }

    /// Takes what the views of a part say: a dimension on the side of its view that
    /// it lies nearest to.
    pub fn of_views(projections: &Projections) -> Self {
        let mut all = Self { remarks: Vec::new(), middles: Vec::new() };
        for (view, projection) in projections.views.iter().enumerate() {
            let nothing = Bounds { least: Point::ORIGIN, most: Point::ORIGIN };
            let bounds = projection.bounds().unwrap_or(nothing);
            all.middles.push(middle(bounds));
            let mut sides = Sides { bounds, taken: [0.0; 4] };
            all.remarks.extend(projection.says.iter().map(|saying| {
                let kind = match saying.shape {
                    Said::Across { from, to } => straight(from, to, Runs::Across, &mut sides),
                    Said::Up { from, to } => straight(from, to, Runs::Up, &mut sides),
                    Said::Along { from, to } => Kind::Aligned { from: place(from), to: place(to) },
                    Said::Radius { centre, rim, half_rad } => {
                        Kind::Radius { centre: place(centre), rim: place(rim), half_rad }
                    }
                    Said::Angle { apex, from_rad, to_rad } => {
                        Kind::Angle { apex: place(apex), from_rad, to_rad }
                    }
                    Said::Rim { centre, radius_mm } => Kind::Rim { centre: place(centre), radius_mm },
                    Said::Note { at } => Kind::Leader { at: place(at) },
                    Said::Held { at, rim_mm, .. } => Kind::Rim { centre: place(at), radius_mm: rim_mm },
                    Said::Datum { at, out_rad } => Kind::Datum { at: place(at), out_rad },
                };
                let hover = saying.figure.clone().or(saying.of.clone());
                let label = match saying.shape {
                    Said::Held { keeps, to, .. } => {
                        let datum = to.map_or(String::new(), |letter| format!(" to {letter}"));
                        let zone = signed(&saying.text);
                        let words = format!("{} {zone}{datum}", keeps.word());
                        Label::framed(words, Held::new(keeps, &zone, to))
                    }
                    _ => Label::new(signed(&saying.text)),
                };
                let tag = Tag {
                    why: saying.figure.clone(),
                    feature: saying.of.clone(),
                    hover: hover.unwrap_or_else(|| saying.text.clone()),
                };
                Remark { view, kind, label: label.tagged(tag) }
            }));
        }
        all
    }

    /// Nothing said of the views of a part.
    pub fn none(projections: &Projections) -> Self {
        let middles = vec![Place::default(); projections.views.len()];
        Self { remarks: Vec::new(), middles }
    }

    /// Which view one belongs to.
    pub fn view(&self, n: usize) -> usize {
        self.remarks[n].view
    }

    /// How many there are.
    pub fn len(&self) -> usize {
        self.remarks.len()
    }

    /// Those whose words belong in the list whatever room there is on a picture so wide.
    pub fn too_long(&self, width_mm: f64) -> BTreeSet<usize> {
        let longest_mm = LONGEST_ON_A_LEADER_MM.min(width_mm / 2.0);
        (0..self.len()).filter(|n| self.remarks[*n].label.width_mm() > longest_mm).collect()
    }

    /// What is said of the features of views on which so much is said that a table
    /// tells it better.
    pub fn for_a_table(&self) -> BTreeSet<usize> {
        /// More than this on one view cannot be told apart.
        const MOST: usize = 36;
        let on = |view: usize| self.remarks.iter().filter(|remark| remark.view == view).count();
        let full: Vec<bool> = (0..self.middles.len()).map(|view| on(view) > MOST).collect();
        (0..self.len()).filter(|&n| full[self.remarks[n].view] && self.feature(n).is_some()).collect()
    }

    /// Words on leaders and radii, which may stand far out beside the work.
    pub fn on_leaders(&self) -> BTreeSet<usize> {
        let leads = |n: &usize| {
            matches!(
                self.remarks[*n].kind,
                Kind::Leader { .. } | Kind::Rim { .. } | Kind::Radius { .. } | Kind::Angle { .. }
            )
        };
        (0..self.len()).filter(leads).collect()
    }

    fn feature(&self, n: usize) -> Option<&str> {
        self.remarks[n].label.tag.as_ref()?.feature.as_deref()
    }

    /// The listed ones as they share letters: what is said of one feature in one view
    /// stands under one letter.
    pub fn lettered(&self, listed: &BTreeSet<usize>) -> Vec<Vec<usize>> {
        let mut groups: Vec<Vec<usize>> = Vec::new();
        for &n in listed {
            let own = groups.iter_mut().find(|group| {
                let first = group[0];
                self.feature(n).is_some()
                    && self.feature(first) == self.feature(n)
                    && self.view(first) == self.view(n)
            });
            match own {
                Some(group) => group.push(n),
                None => groups.push(vec![n]),
            }
        }
        groups
    }

    /// Some of those still on the picture, to be taken off it: from the end, since
    /// what matters most is said first.
    pub fn shed(&self, listed: &BTreeSet<usize>) -> Vec<usize> {
        let on_it: Vec<usize> = (0..self.len()).filter(|n| !listed.contains(n)).collect();
        on_it[on_it.len() - on_it.len().div_ceil(4)..].to_vec()
    }

    /// Says one on the picture.
    pub fn say(&self, n: usize, picture: &mut Picture) {
        let Remark { kind, label, view } = &self.remarks[n];
        let label = label.clone();
        match *kind {
            Kind::Straight { from, to, side } => picture.dimension(from, to, side, label),
            Kind::Aligned { from, to } => picture.dimension_aligned(from, to, self.middles[*view], label),
            Kind::Radius { centre, rim, half_rad } => {
                let (dx, dy) = (rim.x_mm - centre.x_mm, rim.y_mm - centre.y_mm);
                picture.radial_within(centre, dx.hypot(dy), dy.atan2(dx), half_rad, label)
            }
            Kind::Angle { apex, from_rad, to_rad } => picture.angle(apex, from_rad, to_rad, label),
            Kind::Rim { centre, radius_mm } => picture.round_note(centre, radius_mm, label),
            Kind::Leader { at } => picture.leader(at, label),
            Kind::Datum { at, out_rad } => picture.datum(at, out_rad, label.words),
        };
    }

    /// Where the letter of some that share one stands, the radius at which its leader
    /// stops, and what it answers to.
    pub fn place(&self, group: &[usize]) -> (Place, f64, Option<Tag>) {
        let told = |&n: &usize| match self.remarks[n].kind {
            Kind::Rim { centre, radius_mm } => (0, centre, radius_mm),
            Kind::Leader { at } | Kind::Datum { at, .. } => (1, at, 0.0),
            Kind::Radius { rim: at, .. } | Kind::Angle { apex: at, .. } => (2, at, 0.0),
            Kind::Straight { to, .. } | Kind::Aligned { to, .. } => (3, to, 0.0),
        };
        let (_, at, rim_mm) = group.iter().map(told).min_by_key(|told| told.0).unwrap_or_default();
        (at, rim_mm, group.first().and_then(|&n| self.remarks[n].label.tag.clone()))
    }

    /// The words of some that share a letter.
    fn words(&self, group: &[usize]) -> String {
        let words = |&n: &usize| {
            let Remark { label, kind, .. } = &self.remarks[n];
            match kind {
                Kind::Straight { side: Side::Above | Side::Below, .. } => format!("{} across", label.words),
                Kind::Straight { .. } => format!("{} up", label.words),
                Kind::Datum { .. } => format!("datum {}", label.words),
                _ => label.words.clone(),
            }
        };
        let said = group.iter().map(words).collect::<Vec<_>>().join(", ");
        match group.first().and_then(|&n| self.feature(n)) {
            Some(feature) => format!("{feature}: {said}"),
            None => said,
        }
    }

    /// The list under the picture: a letter in a ring and the words, over as many
    /// columns as have room.
    pub fn list(&self, listed: &BTreeSet<usize>, width_mm: f64) -> Band {
        const COLUMN_MM: f64 = 75.0;
        const INDENT_MM: f64 = 2.0 * BALLOON_RADIUS_MM + 2.0;
        const BETWEEN_MM: f64 = 0.8;
        let columns = (width_mm / COLUMN_MM).floor().clamp(1.0, 4.0);
        let column_mm = width_mm / columns;
        let mut list = Band::default();
        let groups = self.lettered(listed);
        let letters: Vec<(usize, &Vec<usize>)> = groups.iter().enumerate().collect();
        for line in letters.chunks(columns as usize) {
            let mut height_mm = 2.0 * BALLOON_RADIUS_MM;
            for (column, (n, group)) in line.iter().enumerate() {
                let left_mm = column_mm * column as f64;
                let words = self.words(group);
                let tag = self.place(group).2;
                let mut entry = Ink::new();
                let mut down_mm = 1.2;
                let room_mm = column_mm - INDENT_MM - 2.0;
                for band in grid::words(&words, Face::Regular, LABEL_PT, room_mm, tag.as_ref()) {
                    entry.lay(band.ink, INDENT_MM, down_mm);
                    down_mm += band.height_mm;
                }
                ring(&mut entry, Paper::mm(BALLOON_RADIUS_MM, BALLOON_RADIUS_MM), &letter(*n));
                list.ink.lay(entry, left_mm, list.height_mm);
                height_mm = height_mm.max(down_mm);
            }
            list.height_mm += height_mm + BETWEEN_MM;
        }
        list
    }
}

/// `a` to `z`, then `aa` and so on.
pub(super) fn letter(n: usize) -> String {
    let last = char::from(b'a' + (n % 26) as u8);
    if n < 26 { last.to_string() } else { format!("{}{last}", letter(n / 26 - 1)) }
}

fn label(text: &str, figure: Option<&str>, find: Find<'_>) -> Label {
    let text = signed(text);
    let Some(name) = figure else { return Label::new(text) };
    match find(name) {
        Some(figure) => {
            let mark = if figure.assumed() { ASSUMED } else { "" };
            Label::new(format!("{text}{mark}")).tagged(Tag::of(figure))
        }
        None => Label::new(text).tagged(Tag::new(name, name)),
    }
}

/// True when two dimensions say the same of the same stretch.
fn same(a: &SceneDimension, b: &SceneDimension) -> bool {
    /// Far below what can be seen on paper.
    const SAME_MM: f64 = 1e-4;
    let near = |a: f64, b: f64| (a - b).abs() < SAME_MM;
    let stretch = match a.runs {
        Runs::Across => near(a.from.x_mm, b.from.x_mm) && near(a.to.x_mm, b.to.x_mm),
        Runs::Up => near(a.from.y_mm, b.from.y_mm) && near(a.to.y_mm, b.to.y_mm),
        Runs::Along | Runs::Radius => {
            a.from.distance_mm(b.from) < SAME_MM && a.to.distance_mm(b.to) < SAME_MM
        }
    };
    // `36.00` and `36.000` are one size, rounded for two rows.
    let size = |text: &str| text.parse::<f64>().ok();
    let text = a.text == b.text || (size(&a.text).is_some() && size(&a.text) == size(&b.text));
    a.runs == b.runs && text && stretch
}

fn middle(bounds: Bounds) -> Place {
    Place::mm((bounds.least.x_mm + bounds.most.x_mm) / 2.0, (bounds.least.y_mm + bounds.most.y_mm) / 2.0)
}

fn kind(dimension: &SceneDimension, sides: &mut Sides) -> Kind {
    straight(dimension.from, dimension.to, dimension.runs, sides)
}

fn straight(from: Point, to: Point, runs: Runs, sides: &mut Sides) -> Kind {
    let (from, to) = (place(from), place(to));
    match runs {
        Runs::Across => {
            Kind::Straight { from, to, side: sides.nearest([Side::Below, Side::Above], from, to) }
        }
        Runs::Up => Kind::Straight { from, to, side: sides.nearest([Side::Left, Side::Right], from, to) },
        Runs::Along => Kind::Aligned { from, to },
        Runs::Radius => Kind::Radius { centre: from, rim: to, half_rad: PI },
    }
}

/// How many dimensions stand on each side of the work so far.
struct Sides {
    bounds: Bounds,
    taken: [f64; 4],
}

impl Sides {
    /// The side from which extension lines are shortest, unless it is already
    /// much fuller than the one across.
    fn nearest(&mut self, sides: [Side; 2], from: Place, to: Place) -> Side {
        let Bounds { least, most } = self.bounds;
        let away = |side: Side| match side {
            Side::Below => (from.y_mm + to.y_mm) / 2.0 - least.y_mm,
            Side::Above => most.y_mm - (from.y_mm + to.y_mm) / 2.0,
            Side::Left => (from.x_mm + to.x_mm) / 2.0 - least.x_mm,
            Side::Right => most.x_mm - (from.x_mm + to.x_mm) / 2.0,
        };
        let size_mm = self.bounds.width_mm().max(self.bounds.height_mm());
        let cost = |side: Side| away(side) + ROW_SHARE * size_mm * self.taken[side as usize];
        let side = if cost(sides[1]) < cost(sides[0]) { sides[1] } else { sides[0] };
        self.taken[side as usize] += 1.0;
        side
    }
}

/// The box of the work and of what is round it.
fn bounds(scene: &Scene) -> Bounds {
    let boxes = scene.outline.iter().chain(&scene.to_come).chain(&scene.around).map(Segment::bounds);
    let nothing = Bounds { least: scene.datum, most: scene.datum };
    let join = |a: Bounds, b: Bounds| a.including(b.least).including(b.most);
    let holes = scene.holes.iter().map(|hole| {
        let radius = Point::new(hole.diameter_mm / 2.0, hole.diameter_mm / 2.0);
        Bounds { least: hole.centre - radius, most: hole.centre + radius }
    });
    boxes.chain(holes).reduce(join).unwrap_or(nothing)
}
