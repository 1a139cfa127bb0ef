//! Everything known about a job while its sheets are written, and one setup of it.

use std::borrow::Cow;
use std::cell::RefCell;

use super::again::Counted;
use super::frame::{Blank, Frame, as_it_lies};
use super::slides::Slid;
use crate::bench::Bench;
use crate::drawing::{Axis, Body, DimensionId, Face, FeatureId, Image, Kind, Linear, Part};
use crate::geometry::{Point, Segment, milled};
use crate::measure::{Angle, Length};
use crate::metric::MetricPart;
use crate::order::{Held, Holding, Located, Machine, OrderOfWork};
use crate::problem::Problem;
use crate::settings::show::{geometry, mm, practice};
use crate::settings::speed;
use crate::tables::materials::{Material, Operation};
use crate::why::{Figure, Why};

/// What every sheet of a part is written from.
pub struct Job<'a> {
    /// What is owned.
    pub bench: &'a Bench,
    /// The metric part, as drawn.
    pub part: &'a Part<'a>,
    /// What became of every dimension.
    pub metric: &'a MetricPart,
    /// What is done, in order.
    pub order: &'a OrderOfWork,
    /// What it is made of.
    pub material: &'static Material,
}

/// One holding while its sheet is written.
pub struct Setup<'a> {
    /// The job it belongs to.
    pub job: &'a Job<'a>,
    /// Counted from one.
    pub number: usize,
    /// What holds what, as this piece lies.
    pub holding: Cow<'a, Holding>,
    /// Which of the pieces that lie side by side it is, from nought.
    pub place: usize,
    /// How far along X its datum lies from that of the first.
    pub shift: Length,
    /// The piece as it lies: drawn or mirrored.
    pub part: Part<'a>,
    /// Its blank.
    pub blank: Blank,
    /// Which of its directions is X and which Y.
    pub frame: Frame,
    /// The direction that lies along X where two bores are lined up, in radians.
    turned_rad: f64,
    /// Every position that its rows set so far.
    pub slid: RefCell<Vec<Slid>>,
    /// What handwheels count from, where the work has been moved along.
    pub counted: Option<Counted>,
}

impl<'a> Setup<'a> {
    /// The setup at a place of the order of work.
    pub fn new(job: &'a Job<'a>, index: usize) -> Self {
        Self::of(job, index, Cow::Borrowed(&job.order.setups[index]))
    }

    /// The setup with the piece lying in it otherwise.
    pub fn lying(job: &'a Job<'a>, index: usize, holding: Holding) -> Self {
        Self::of(job, index, Cow::Owned(holding))
    }

    fn of(job: &'a Job<'a>, index: usize, holding: Cow<'a, Holding>) -> Self {
        let part = as_it_lies(job.part, holding.image);
        let frame = Frame::of(holding.up);
        let blank = Blank::of(&part);
        let turned_rad = match holding.located {
            Located::TwoBores(first, second) => {
                let at = |id| {
                    let (x, y) = frame.feature(&part, id);
                    Point::at(x, y)
                };
                let along = at(first).direction_rad(at(second));
                // The rotary table's nought has the second bore to the right. Everywhere
                // else the work lies along its own axes: a shoulder is cut along them.
                if holding.machine == Machine::RotaryTable { along } else { 0.0 }
            }
            _ => 0.0,
        };
        Self {
            job,
            number: index + 1,
            holding,
            place: 0,
            shift: Length::ZERO,
            part,
            blank,
            frame,
            turned_rad,
            slid: RefCell::default(),
            counted: None,
        }
    }

    /// The range of z that the work fills where it lies on edge.
    pub fn thickness(&self) -> (Length, Length) {
        (Length::ZERO, self.part.thickness())
    }

    /// Least and greatest X and Y of the work as it lies.
    pub fn extent(&self) -> [Length; 4] {
        self.frame.extent(&self.blank, self.thickness())
    }

    /// Where X and Y read nought, before any datum is set.
    pub fn origin(&self) -> (Length, Length) {
        let (x, y) = self.own_origin();
        (x - self.shift, y)
    }

    /// Where the piece has its own datum.
    fn own_origin(&self) -> (Length, Length) {
        if let Some(top) = self.top() {
            return top.datum;
        }
        if let Some(about) = self.table_centre() {
            return about;
        }
        let [x0, x1, y0, y1] = self.extent();
        match self.holding.located {
            Located::Edges(a, b) => {
                let sides = [self.frame.side(a), self.frame.side(b)];
                let x = if sides.iter().any(|s| s.0 > 0) { x1 } else { x0 };
                let y = if sides.iter().any(|s| s.1 > 0) { y1 } else { y0 };
                (x, y)
            }
            Located::Bore(id) | Located::TwoBores(id, _) | Located::Marked(id) => {
                self.frame.feature(&self.part, id)
            }
            Located::EndAndAxis(end) => {
                let x = if end == Face::Right { self.part.thickness() } else { Length::ZERO };
                self.frame.place([x, Length::ZERO, Length::ZERO])
            }
            Located::SawnBlank | Located::Punched | Located::Line | Located::Nothing => (x0, y0),
        }
    }

    /// What lies over the rotary table's centre where the work is not held by a bore there.
    pub fn table_centre(&self) -> Option<(Length, Length)> {
        let Held::PlateTurned { about: (x, y), .. } = self.holding.held else { return None };
        let x = if self.part.image == Image::Mirrored { -x } else { x };
        Some(self.frame.place([x, y, Length::ZERO]))
    }

    /// A place as it is read from the datum, exactly where nothing is turned.
    pub fn off_datum(&self, at: (Length, Length)) -> (Length, Length) {
        let origin = self.origin();
        let (x, y) = (at.0 - origin.0, at.1 - origin.1);
        if self.turned_rad == 0.0 {
            return (x, y);
        }
        let turned = Point::at(x, y).rotated(-self.turned_rad);
        (Length::nearest(turned.x_mm), Length::nearest(turned.y_mm))
    }

    /// A feature as it is read from the datum.
    pub fn read(&self, id: FeatureId) -> (Length, Length) {
        self.off_datum(self.frame.feature(&self.part, id))
    }

    /// A direction in a feature's own face, as it lies on the machine.
    pub fn direction(&self, id: FeatureId, angle: Angle) -> Point {
        self.frame.way(self.part.way(id, angle)).rotated(-self.turned_rad)
    }

    /// How far a section's own axis lies from that of the part.
    pub fn throw_of(&self, section: FeatureId) -> Length {
        match self.part.feature(section).kind {
            Kind::Section { throw: Some(throw), .. } => self.part.size(throw.offset),
            _ => Length::ZERO,
        }
    }

    /// The centres of a slot's two ends from the datum; an open end so far beyond the outside.
    pub fn slot_ends(&self, id: FeatureId, beyond: Length) -> Option<[Point; 2]> {
        let Kind::Slot { along, .. } = self.part.feature(id).kind else { return None };
        let (x, y) = self.read(id);
        let way = self.direction(id, along);
        let [from_mm, to_mm] = self.part.slot_span_mm(id, beyond.as_mm())?;
        let [first, last] = self.part.slot_opens(id).map(|side| match side {
            Some(side) if beyond.is_positive() => self.blank_beyond(self.part.side(side)).as_mm(),
            _ => 0.0,
        });
        Some([from_mm - first, to_mm + last].map(|mm| Point::at(x, y) + way.times(mm)))
    }

    /// How far the blank stands out beyond a side that is not cut to size before the rest.
    pub fn blank_beyond(&self, side: Face) -> Length {
        if matches!(self.part.drawing.body, Body::Rectangle { .. }) {
            return Length::ZERO;
        }
        let [left, right, bottom, top] = self.part.edges();
        let beyond = match side {
            Face::Left => left - self.blank.left,
            Face::Right => self.blank.right - right,
            Face::Bottom => bottom - self.blank.bottom,
            Face::Top => self.blank.top - top,
            Face::Front | Face::Back => Length::ZERO,
        };
        beyond.max(Length::ZERO)
    }

    /// A point of the part in plan as it lies, from the datum, for pictures.
    pub fn seen(&self, point: Point) -> Point {
        let (x, y) = self.origin();
        (self.frame.point(point) - Point::at(x, y)).rotated(-self.turned_rad)
    }

    /// A piece of an outline of corners and arcs, or the road of a cutter along it, as it
    /// lies and from the datum, the metal on its left.
    pub fn laid(&self, segment: Segment) -> Segment {
        let mirrored = self.part.image == Image::Mirrored;
        let behind = self.frame.up() == Face::Back;
        let segment = if mirrored != behind { segment.mirrored().reversed() } else { segment };
        let (x, y) = self.origin();
        segment.translated(Point::at(-x, -y)).rotated(-self.turned_rad)
    }

    /// The road of a cutter along a piece of such an outline, from the datum.
    pub fn road(&self, piece: usize, cutter: Length) -> Result<Segment, Problem> {
        let named = self.part.pieces()?;
        let found = milled::road(&named.outline, piece, cutter.half().as_mm());
        let name = named.names.get(piece).map_or("the outline", String::as_str);
        let found = found.ok_or_else(|| {
            Problem::new(format!("a cutter of {} does not get in at {name}", mm(cutter)))
                .why("it would cut into the next piece of the outline")
                .mend("add a smaller end mill to the bench file, or a larger radius to the drawing")
        })?;
        Ok(self.laid(found.road))
    }

    /// How far the picture is turned so that two bores lie along X, in radians.
    pub fn turned_rad(&self) -> f64 {
        self.turned_rad
    }

    /// A name that no other figure of the plan has.
    pub fn named(&self, row: usize, label: &str) -> String {
        if row == 0 {
            format!("setup {}: {label}", self.number)
        } else {
            format!("setup {}, {row}: {label}", self.number)
        }
    }

    /// Gives figures of a reckoner their place on the sheet.
    pub fn place_all(&self, row: usize, figures: Vec<Figure>) -> Vec<Figure> {
        figures.into_iter().map(|figure| Figure { name: self.named(row, &figure.name), ..figure }).collect()
    }

    /// Why the drawing's datum reads what it reads from where this setup counts.
    pub(super) fn why_datum(&self, reads: Length) -> Why {
        let statement = format!("the drawing's datum itself reads {} there", mm(reads));
        let sawn = matches!(self.holding.located, Located::Edges(..)) && self.frame.in_plan();
        if let Some(top) = self.top() {
            geometry(format!("{statement}, as it lies under {}", top.part))
        } else if sawn && !matches!(self.part.drawing.body, Body::Rectangle { .. }) {
            practice(format!(
                "{statement}: the squared edges of the blank lie whole millimetres from it, 2 mm at least outside the part"
            ))
        } else {
            geometry(statement)
        }
    }

    /// The axes of the part that lie along X and Y.
    pub(super) fn frame_axes(&self) -> (Axis, Axis) {
        match self.frame.up() {
            Face::Front | Face::Back => (Axis::X, Axis::Y),
            Face::Top | Face::Bottom => (Axis::X, Axis::Z),
            Face::Left | Face::Right => (Axis::Y, Axis::Z),
        }
    }

    /// The chain from a coordinate back to the dimensions that make it.
    pub fn why_place(&self, id: FeatureId, axis: Axis) -> Why {
        let feature = self.part.feature(id);
        let word = match axis {
            Axis::X => "across",
            Axis::Y => "up",
            Axis::Z => "out from the back",
        };
        let at = self.part.at(id, axis).unwrap_or_default();
        let why = Why::new(format!("{} lies {} {word} from the drawing's datum", feature.name, mm(at)));
        match self.part.solved.place(id, axis) {
            Some(sum) => self.job.why_sum(sum).into_iter().fold(why, Why::because),
            None => why,
        }
    }

    /// What the datum is, in words.
    pub fn datum_words(&self) -> String {
        if let Some(top) = self.top() {
            return format!("the edges of {}", top.part);
        }
        if let Held::PlateTurned { over, .. } = &self.holding.held {
            return format!("the centre of {over}");
        }
        match self.holding.located {
            Located::Edges(a, b) => format!("the {} and {} edges", self.edge_word(a), self.edge_word(b)),
            Located::Bore(a) | Located::TwoBores(a, _) if !self.frame.in_plan() => {
                format!("{} and the plate's face", self.job.part.feature(a).name)
            }
            Located::Bore(id) => self.job.part.feature(id).name.clone(),
            // Swung for each flank, the second bore lies where the row says.
            Located::TwoBores(id, _) if matches!(self.holding.held, Held::PlateSwung { .. }) => {
                self.job.part.feature(id).name.clone()
            }
            Located::TwoBores(a, b) => {
                let [first, second] = [a, b].map(|id| &self.job.part.feature(id).name);
                let (x, y) = self.read(b);
                match (y == Length::ZERO || self.turned_rad != 0.0, x.is_positive()) {
                    (true, true) => format!("{first}, with {second} level along X to the right"),
                    (true, false) => format!("{first}, with {second} level along X to the left"),
                    (false, _) => format!("{first}, with {second} turned to its own place"),
                }
            }
            Located::EndAndAxis(face) => format!("the {} end and the axis", face.word()),
            Located::Marked(id) => format!("the marked centre of {}", self.job.part.feature(id).name),
            Located::SawnBlank => "the sawn blank".into(),
            Located::Punched => "the left-hand and near edges".into(),
            Located::Line => "the scribed line".into(),
            Located::Nothing => "nothing".into(),
        }
    }

    /// Which side of the work as it lies a face is on.
    fn edge_word(&self, face: Face) -> &'static str {
        match self.frame.side(face) {
            (1, _) => "right-hand",
            (-1, _) => "left-hand",
            (_, 1) => "far",
            (_, -1) => "near",
            _ => face.word(),
        }
    }

    /// How far the top of the work, as it stands in the vice, is above the round that a
    /// feature enters: nothing where the outline is cut already, or has straight sides.
    pub fn above_round(&self, id: FeatureId) -> Length {
        let round =
            matches!(self.part.drawing.body, Body::Bosses { .. } | Body::Outline { .. } | Body::Disc { .. });
        if !round || self.frame.in_plan() || !matches!(self.holding.located, Located::Edges(..)) {
            return Length::ZERO;
        }
        if self.floor_below(id).is_some() {
            return Length::ZERO;
        }
        let [left, right, bottom, top] = self.part.round_of(id);
        match self.frame.up() {
            Face::Left => left - self.blank.left,
            Face::Right => self.blank.right - right,
            Face::Bottom => bottom - self.blank.bottom,
            _ => self.blank.top - top,
        }
    }

    /// The step, cut before it, from whose floor or shoulder the depth of what is cut in the edge
    /// that is up counts.
    pub fn floor_below(&self, id: FeatureId) -> Option<FeatureId> {
        let up = Some(self.frame.up()).filter(|_| !self.frame.in_plan())?;
        self.part.floor_toward(self.part.hole_of(id), up).map(|(step, _)| step)
    }

    /// How far below the top of the round a hole across a plate meets it: nothing on its
    /// middle, nor in a straight edge, nor in the floor of a step.
    pub fn below_top(&self, id: FeatureId) -> Length {
        let (Some((first, last)), false) = (self.part.chord(id), self.frame.in_plan()) else {
            return Length::ZERO;
        };
        if self.floor_below(id).is_some() {
            return Length::ZERO;
        }
        let [left, right, bottom, top] = self.part.round_of(id);
        let below = match self.frame.up() {
            Face::Left => first - left,
            Face::Right => right - last,
            Face::Bottom => first - bottom,
            _ => top - last,
        };
        below.max(Length::ZERO)
    }

    /// The speeds of the machine that the work is on; none by hand.
    pub fn spindle(&self) -> &[u32] {
        let bench = self.job.bench;
        let speeds = match self.holding.machine {
            Machine::Mill | Machine::RotaryTable => Some(&bench.mill.speeds),
            Machine::Lathe => bench.lathe.as_ref().map(|lathe| &lathe.speeds),
            Machine::DrillPress => bench.drill_press.as_ref().map(|press| &press.speeds),
            Machine::BenchVice => None,
        };
        speeds.map_or(&[], Vec::as_slice)
    }

    /// Half the speed that a diameter is turned at, why so: the speed for twice that diameter.
    pub fn half_speed(&self, row: usize, diameter: Length, why: Why) -> Option<Figure> {
        let figure = self.speed(row, Operation::Turning, diameter * 2, self.spindle())?;
        Some(Figure { why: why.because(figure.why), ..figure })
    }

    /// The spindle speed for a cut.
    pub fn speed(
        &self,
        row: usize,
        operation: Operation,
        diameter: Length,
        spindle: &[u32],
    ) -> Option<Figure> {
        let published = self.job.material.speed(operation);
        let aim = f64::from(published.low_m_per_min + published.high_m_per_min) / 2.0;
        let why = Why::new(format!(
            "{} {}: {} to {} m/min with high-speed steel",
            operation.name(),
            self.job.material.name,
            published.low_m_per_min,
            published.high_m_per_min
        ))
        .source(published.source.to_string());
        let chosen = speed::choose(aim, diameter, spindle).ok()?;
        let figure = chosen.figures(why).into_iter().next()?;
        Some(Figure { name: self.named(row, "speed"), ..figure })
    }
}

impl Job<'_> {
    /// The reasons behind every dimension of a sum, those that count most first.
    pub fn why_sum(&self, sum: &Linear) -> Vec<Why> {
        sum.terms.keys().map(|&id| self.why_dimension(id)).collect()
    }

    /// The reason behind one dimension.
    pub fn why_dimension(&self, id: DimensionId) -> Why {
        let dimension = &self.part.drawing.dimensions[id.0];
        let choice = &self.metric.dimensions[id.0];
        Why::new(format!("{} is {}", dimension.name, mm(choice.chosen))).because(choice.why.clone())
    }
}
