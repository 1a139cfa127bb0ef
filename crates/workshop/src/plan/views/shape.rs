//! A part as metal: its body, and what each feature takes away.
//!
//! What has no place or no size yet is left out. Everything here is as drawn; a
//! mirrored part is mirrored at the end.

use std::f64::consts::{FRAC_PI_2, PI};

use super::region::Region;
use super::solid::{Form, Piece, Solid, plane};
use super::{hollow, round};
use crate::drawing::{Axis, Body, Depth, Face, FeatureId, Finish, Image, Kind, Part};
use crate::geometry::{Point, Segment, slot_edge};
use crate::measure::Length;

/// How far a cut runs on past the metal, so that no two faces lie on each other.
pub(super) const BEYOND_MM: f64 = 1.0;

/// The whole angle of a drill's point as drawings show it (ISO 128: 120°).
const DRILL_POINT_RAD: f64 = PI * 2.0 / 3.0;
/// How much deeper than its thread a blind tapped hole is drawn (ISO 6410-3: a
/// quarter of the length of thread, where no depth of hole is given).
const DRILLED_ON: f64 = 1.25;

/// A part, the room it takes, and what it is seen to be made of.
pub(super) struct Shaped<'a> {
    /// As drawn.
    pub part: Part<'a>,
    /// The metal, as drawn.
    pub solid: Solid,
    /// What is round: for centre lines, threads and notes.
    pub rounds: Vec<Round>,
    /// Least x, y and z of the body, and most.
    pub least: [f64; 3],
    /// The other corner.
    pub most: [f64; 3],
}

/// A round thing that stands along an axis.
#[derive(Clone, Debug)]
pub(super) struct Round {
    pub of: FeatureId,
    pub axis: Axis,
    /// In the plane square to the axis.
    pub centre: Point,
    pub radius_mm: f64,
    /// From the mouth to the far end, along the axis.
    pub ends_mm: [f64; 2],
    /// The radius of the other side of its thread, and how far that goes from the mouth.
    pub thread: Option<(f64, f64)>,
}

/// Where a feature is cut from: the height of its face and which way is out.
#[derive(Clone, Copy, Debug)]
pub(super) struct Mouth {
    pub axis: Axis,
    pub at_mm: f64,
    /// Towards more or less along the axis.
    pub out: f64,
}

impl Mouth {
    /// The height so deep in the metal.
    pub fn deep(self, mm: f64) -> f64 {
        self.at_mm - self.out * mm
    }

    /// From so deep to so deep (less than nought is out of the metal), the least first.
    pub fn span(self, from_mm: f64, to_mm: f64) -> [f64; 2] {
        let (a, b) = (self.deep(from_mm), self.deep(to_mm));
        [a.min(b), a.max(b)]
    }
}

impl<'a> Shaped<'a> {
    /// The metal of a part, as far as it is known.
    pub fn of(part: &Part<'a>) -> Self {
        let part = part.seen(Image::Drawn);
        let mut shaped =
            Self { part, solid: Solid::EMPTY, rounds: Vec::new(), least: [0.0; 3], most: [0.0; 3] };
        if matches!(shaped.part.drawing.body, Body::Turned { .. }) {
            round::sections(&mut shaped);
        } else {
            shaped.plate();
        }
        shaped.measure();
        for (id, _) in shaped.part.features() {
            shaped.cut(id);
        }
        shaped
    }

    fn plate(&mut self) {
        let thickness = self.part.thickness().as_mm();
        if thickness <= 0.0 {
            return;
        }
        let mut body = |of, region| {
            self.solid.metal.push(Piece::new(of, Axis::Z, [0.0, thickness], Form::Prism(region)));
        };
        match self.part.outline() {
            Ok(outline) => body(None, Region::new(outline.segments().iter().copied())),
            // Bosses that cannot be joined yet are still there.
            Err(_) => {
                for (id, _) in self.part.features() {
                    if let Some(boss) = self.part.boss(id) {
                        body(Some(id), Region::circle(boss.centre, boss.radius_mm));
                    }
                }
            }
        }
    }

    fn measure(&mut self) {
        let boxes = self.solid.metal.iter().map(|piece| (piece.least, piece.most));
        let all = boxes
            .reduce(|(a, b), (c, d)| ([0, 1, 2].map(|k| a[k].min(c[k])), [0, 1, 2].map(|k| b[k].max(d[k]))));
        (self.least, self.most) = all.unwrap_or_default();
    }

    /// A size in millimetres.
    pub fn mm(&self, id: crate::drawing::DimensionId) -> f64 {
        self.part.size(id).as_mm()
    }

    fn place(&self, id: FeatureId, axis: Axis) -> Option<f64> {
        self.part.at(id, axis).map(Length::as_mm)
    }

    /// Where a feature is in the plane of its face.
    pub fn centre(&self, id: FeatureId) -> Option<Point> {
        let [u, v] = plane(self.part.feature(id).face.axis());
        Some(Point::new(self.place(id, u)?, self.place(id, v)?))
    }

    /// The face a feature is cut from, where the feature stands: lower beyond the
    /// shoulder of a step, and on the round of a turned part.
    pub fn mouth(&self, id: FeatureId) -> Mouth {
        let face = self.part.feature(id).face;
        let axis = face.axis();
        let out = if matches!(face, Face::Front | Face::Right | Face::Top) { 1.0 } else { -1.0 };
        let k = axis as usize;
        let mut at_mm = if out > 0.0 { self.most[k] } else { self.least[k] };
        let whole = self.most[k] - self.least[k];
        for (step, feature) in self.part.features() {
            if let Kind::Step { leaves, .. } = feature.kind
                && step != id
                && feature.face == face
                && self.part.beyond(step, id)
            {
                let down = at_mm - out * (whole - self.mm(leaves));
                at_mm = if out > 0.0 { at_mm.min(down) } else { at_mm.max(down) };
            }
        }
        if let Some((_, deep)) = self.part.in_pocket(id) {
            at_mm -= out * deep.as_mm();
        }
        if matches!(self.part.drawing.body, Body::Turned { .. })
            && matches!(face, Face::Left | Face::Right)
            && matches!(self.part.feature(id).kind, Kind::Hole { .. } | Kind::Tapped { .. })
        {
            at_mm -= out * self.part.end_start(id).0.as_mm();
        }
        at_mm -= out * self.part.recess_start(id).as_mm();
        if matches!(self.part.drawing.body, Body::Turned { .. })
            && axis != Axis::X
            && let Some(radius) = self.place(id, Axis::X).and_then(|x| round::radius_at(self, x))
        {
            at_mm = out * radius;
        }
        Mouth { axis, at_mm, out }
    }

    /// How deep something goes from its mouth: none where it goes right through.
    pub fn depth_mm(&self, depth: Depth) -> Option<f64> {
        match depth {
            Depth::To(id) => Some(self.mm(id)),
            Depth::Through => None,
        }
    }

    /// From outside the metal to so deep, or right through.
    pub(super) fn span(&self, mouth: Mouth, deep_mm: Option<f64>) -> [f64; 2] {
        let k = mouth.axis as usize;
        let through = self.most[k] - self.least[k] + BEYOND_MM;
        // A face that lies under others is reached from outside all of them.
        let above = if mouth.out > 0.0 { self.most[k] - mouth.at_mm } else { mouth.at_mm - self.least[k] };
        mouth.span(-above.max(0.0) - BEYOND_MM, deep_mm.unwrap_or(through))
    }

    pub(super) fn take(&mut self, of: FeatureId, axis: Axis, ends_mm: [f64; 2], form: Form) {
        let sound = ends_mm.iter().all(|mm| mm.is_finite()) && ends_mm[1] - ends_mm[0] > 1e-6;
        if sound {
            self.solid.cuts.push(Piece::new(Some(of), axis, ends_mm, form));
        }
    }

    fn cut(&mut self, id: FeatureId) {
        let part = self.part.clone();
        let feature = part.feature(id);
        match &feature.kind {
            Kind::Hole { diameter, finish, depth, .. } => {
                let (diameter, depth) = (self.mm(*diameter), self.depth_mm(*depth));
                self.bore(id, diameter, depth, *finish != Finish::Bored);
            }
            Kind::Tapped { thread, depth } => {
                let thread = part.thread(*thread);
                let (minor, major) = (thread.minor.as_mm(), thread.major.as_mm());
                let deep = self.depth_mm(*depth);
                let first = self.rounds.len();
                self.bore(id, minor, deep.map(|mm| mm * DRILLED_ON), true);
                if let Some(round) = self.rounds.get_mut(first) {
                    let [mouth, end] = round.ends_mm;
                    round.thread = Some((major / 2.0, deep.unwrap_or((end - mouth).abs())));
                }
            }
            Kind::ClampScrew { thread, clearance, across } => {
                self.clamp_screw(id, part.thread(*thread), *clearance, *across);
            }
            Kind::Slit { width, into, toward } => self.slit(id, self.mm(*width), *into, *toward),
            Kind::Step { leaves, side } => self.step(id, self.mm(*leaves), *side),
            Kind::Slot { width, along, depth, .. } => {
                let Some(centre) = self.centre(id) else { return };
                let radius = self.mm(*width) / 2.0;
                let Some([from, to]) = part.slot_span_mm(id, BEYOND_MM) else { return };
                let ends = [from, to].map(|mm| centre.polar(mm, along.as_rad()));
                let region = if to > from {
                    Region::new(slot_edge(&Segment::line(ends[0], ends[1]), radius))
                } else {
                    Region::circle(centre, radius)
                };
                let mouth = self.mouth(id);
                let span = self.span(mouth, self.depth_mm(*depth));
                self.take(id, mouth.axis, span, Form::Prism(region));
            }
            Kind::Keyway { into, .. } => {
                let (Some(edge), Some(at)) = (part.keyway_about_bore(id), self.centre(*into)) else { return };
                let edge = edge.translated(at);
                let mouth = self.mouth(*into);
                let span = self.span(mouth, None);
                self.take(id, mouth.axis, span, Form::Prism(Region::new(edge.segments().to_vec())));
            }
            Kind::CurvedSlot { depth, .. } => {
                let Some(edge) = part.curved_edge(id) else { return };
                let mouth = self.mouth(id);
                let span = self.span(mouth, self.depth_mm(*depth));
                self.take(id, mouth.axis, span, Form::Prism(Region::new(edge.segments().to_vec())));
            }
            Kind::Counterbore { diameter, depth, over } => {
                let (radius, deep) = (self.mm(*diameter) / 2.0, self.mm(*depth));
                for hole in part.feature(*over).kind.pattern().unwrap_or(&[*over]) {
                    self.counterbore(id, *hole, radius, deep);
                }
            }
            _ => hollow::cut(self, id),
        }
    }

    fn counterbore(&mut self, id: FeatureId, over: FeatureId, radius: f64, deep: f64) {
        let Some(centre) = self.centre(over) else { return };
        let mouth = self.mouth(over);
        let span = self.span(mouth, Some(deep));
        self.take(id, mouth.axis, span, Form::Prism(Region::circle(centre, radius)));
        self.rounds.push(Round {
            of: id,
            axis: mouth.axis,
            centre,
            radius_mm: radius,
            ends_mm: [mouth.at_mm, mouth.deep(deep)],
            thread: None,
        });
    }

    /// A round hole, with the drill's point at the bottom of a blind one.
    fn bore(&mut self, id: FeatureId, diameter_mm: f64, deep_mm: Option<f64>, pointed: bool) {
        let Some(centre) = self.centre(id) else { return };
        let (mouth, radius) = (self.mouth(id), diameter_mm / 2.0);
        if radius <= 0.0 {
            return;
        }
        let span = self.span(mouth, deep_mm);
        self.take(id, mouth.axis, span, Form::Prism(Region::circle(centre, radius)));
        let k = mouth.axis as usize;
        let far = if mouth.out > 0.0 { self.least[k] } else { self.most[k] };
        let mut end = deep_mm.map_or(far, |mm| mouth.deep(mm));
        if let Some(deep) = deep_mm
            && pointed
        {
            let point = radius / (DRILL_POINT_RAD / 2.0).tan();
            let (ends, radii) = (mouth.span(deep, deep + point), [radius, 0.0]);
            let [from_radius_mm, to_radius_mm] = if mouth.out > 0.0 { [radii[1], radii[0]] } else { radii };
            self.take(id, mouth.axis, ends, Form::Cone { centre, from_radius_mm, to_radius_mm });
            end = mouth.deep(deep + point);
        }
        self.rounds.push(Round {
            of: id,
            axis: mouth.axis,
            centre,
            radius_mm: radius,
            ends_mm: [mouth.at_mm, end],
            thread: None,
        });
    }

    /// Clearance as far as the slit, thread beyond it.
    fn clamp_screw(
        &mut self,
        id: FeatureId,
        thread: &crate::tables::threads::Thread,
        clearance: crate::drawing::DimensionId,
        across: FeatureId,
    ) {
        let Some(centre) = self.centre(id) else { return };
        let mouth = self.mouth(id);
        let Kind::Slit { width, into, .. } = self.part.feature(across).kind else { return };
        let Some(slit) = self.place(into, mouth.axis) else { return };
        let half = self.mm(width) / 2.0;
        let (wide, minor) = (self.mm(clearance) / 2.0, thread.minor.as_mm() / 2.0);
        let to_slit = (mouth.at_mm - slit) * mouth.out - half;
        let mut whole = self.span(mouth, None);
        let clear = self.span(mouth, Some(to_slit + half));
        self.take(id, mouth.axis, clear, Form::Prism(Region::circle(centre, wide)));
        if mouth.out > 0.0 {
            whole[1] = slit
        } else {
            whole[0] = slit
        }
        self.take(id, mouth.axis, whole, Form::Prism(Region::circle(centre, minor)));
        let k = mouth.axis as usize;
        let far = if mouth.out > 0.0 { self.least[k] } else { self.most[k] };
        let mut round = Round {
            of: id,
            axis: mouth.axis,
            centre,
            radius_mm: wide,
            ends_mm: [mouth.at_mm, far],
            thread: None,
        };
        self.rounds.push(round.clone());
        round.radius_mm = minor;
        round.ends_mm = [far, slit - mouth.out * half];
        round.thread = Some((thread.major.as_mm() / 2.0, (far - round.ends_mm[1]).abs()));
        self.rounds.push(round);
    }

    /// A saw cut from the middle of its bore to the outside, right through.
    fn slit(&mut self, id: FeatureId, width_mm: f64, into: FeatureId, toward: Face) {
        let axis = self.part.feature(into).face.axis();
        let Some(centre) = self.centre(into) else { return };
        let [u, _] = plane(axis);
        if toward.axis() == axis {
            return;
        }
        let level = toward.axis() == u;
        let out = if matches!(toward, Face::Front | Face::Right | Face::Top) { 1.0 } else { -1.0 };
        let k = toward.axis() as usize;
        let edge = if out > 0.0 { self.most[k] + BEYOND_MM } else { self.least[k] - BEYOND_MM };
        let from = if level { centre.x_mm } else { centre.y_mm };
        let (low, high, half) = (from.min(edge), from.max(edge), width_mm / 2.0);
        let (least, most) = if level {
            (Point::new(low, centre.y_mm - half), Point::new(high, centre.y_mm + half))
        } else {
            (Point::new(centre.x_mm - half, low), Point::new(centre.x_mm + half, high))
        };
        let ends = [self.least[axis as usize] - BEYOND_MM, self.most[axis as usize] + BEYOND_MM];
        self.take(id, axis, ends, Form::Prism(Region::rectangle(least, most)));
    }

    /// Everything on one side of a shoulder, down to what is left.
    fn step(&mut self, id: FeatureId, leaves_mm: f64, side: Face) {
        let face = self.part.feature(id).face;
        let (axis, out) =
            (face.axis(), if matches!(face, Face::Front | Face::Right | Face::Top) { 1.0 } else { -1.0 });
        let (Some(shoulder), k) = (self.place(id, side.axis()), axis as usize) else { return };
        if side.axis() == axis {
            return;
        }
        let ends = if out > 0.0 {
            [self.least[k] + leaves_mm, self.most[k] + BEYOND_MM]
        } else {
            [self.least[k] - BEYOND_MM, self.most[k] - leaves_mm]
        };
        let [u, v] = plane(axis);
        let mut least = Point::new(self.least[u as usize] - BEYOND_MM, self.least[v as usize] - BEYOND_MM);
        let mut most = Point::new(self.most[u as usize] + BEYOND_MM, self.most[v as usize] + BEYOND_MM);
        match (side, side.axis() == u) {
            (Face::Right | Face::Top | Face::Front, true) => least.x_mm = shoulder,
            (Face::Right | Face::Top | Face::Front, false) => least.y_mm = shoulder,
            (_, true) => most.x_mm = shoulder,
            (_, false) => most.y_mm = shoulder,
        }
        if most.x_mm > least.x_mm && most.y_mm > least.y_mm {
            self.take(id, axis, ends, Form::Prism(Region::rectangle(least, most)));
        }
    }
}

/// The corners of a rectangle turned about its middle.
pub(super) fn turned_box(centre: Point, width_mm: f64, height_mm: f64, along_rad: f64) -> [Point; 4] {
    [(-0.5, -0.5), (0.5, -0.5), (0.5, 0.5), (-0.5, 0.5)].map(|(across, up)| {
        centre.polar(width_mm * across, along_rad).polar(height_mm * up, along_rad + FRAC_PI_2)
    })
}
