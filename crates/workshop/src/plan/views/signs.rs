//! What a drawing shows that is no edge: centre lines, pitch circles, threads
//! (ISO 6410-1), flat faces and knurls (ISO 128-3).

use std::f64::consts::{FRAC_PI_2, PI};

use super::round::KNURL_RAD;
use super::shape::{Round, Shaped};
use super::sight::{Eye, Seen};
use super::solid::{HAIR_MM, Solid, Spot, raised};
use crate::drawing::{Axis, Body, FeatureId, Kind, Pattern, SectionSize};
use crate::geometry::{Point, Segment};
use crate::measure::Length;
use crate::plan::sheet::{Stroke, circle_line};

/// A spot as it is, or left for right.
pub(super) fn mirror(spot: Spot, mirrored: bool) -> Spot {
    if mirrored { [-spot[0], spot[1], spot[2]] } else { spot }
}

/// What is drawn on one view besides its edges.
pub(super) fn signs(shaped: &Shaped, solid: &Solid, eye: Eye, mirrored: bool) -> Vec<Seen> {
    let mut signs = Signs { shaped, solid, eye, mirrored, lines: Vec::new() };
    for round in &shaped.rounds {
        if round.thread.is_some() {
            signs.thread(round);
        }
        signs.centre(round);
        signs.conical_mouth(round);
    }
    for (id, _) in shaped.part.features() {
        signs.feature(id);
    }
    if matches!(shaped.part.drawing.body, Body::Turned { .. }) && eye.toward.0 != Axis::X {
        let ends = [shaped.least[0], shaped.most[0]];
        if ends[1] > ends[0] {
            signs.straight(None, Stroke::Centre, [ends[0], 0.0, 0.0], [ends[1], 0.0, 0.0]);
        }
    }
    signs.lines
}

struct Signs<'s, 'p> {
    shaped: &'s Shaped<'p>,
    /// The metal as it is seen, mirrored or not.
    solid: &'s Solid,
    eye: Eye,
    mirrored: bool,
    lines: Vec<Seen>,
}

impl Signs<'_, '_> {
    fn sees(&self, spot: Spot) -> Point {
        self.eye.sees(mirror(spot, self.mirrored))
    }

    fn straight(&mut self, of: Option<FeatureId>, stroke: Stroke, from: Spot, to: Spot) {
        let segment = Segment::line(self.sees(from), self.sees(to));
        if segment.length_mm() > HAIR_MM {
            self.lines.push(Seen { of, stroke, segment });
        }
    }

    /// A line square to the view's sides, where it runs in metal.
    fn in_metal(&mut self, of: Option<FeatureId>, stroke: Stroke, from: Spot, to: Spot) {
        for axis in [Axis::X, Axis::Y, Axis::Z] {
            let k = axis as usize;
            if (from[k] - to[k]).abs() < HAIR_MM {
                continue;
            }
            let (low, high) = (from[k].min(to[k]), from[k].max(to[k]));
            for [a, b] in self.shaped.solid.stretches(from, axis) {
                let (a, b) = (a.max(low), b.min(high));
                if b - a > HAIR_MM {
                    let mut ends = [from, from];
                    (ends[0][k], ends[1][k]) = (a, b);
                    self.straight(of, stroke, ends[0], ends[1]);
                }
            }
        }
    }

    /// True when a reader sees a spot of a face that looks out along an axis.
    fn open(&self, spot: Spot, axis: Axis, out: f64) -> bool {
        let (toward, sign) = self.eye.toward;
        let out = if axis == Axis::X && self.mirrored { -out } else { out };
        let mut spot = mirror(spot, self.mirrored);
        spot[axis as usize] += out * HAIR_MM;
        axis == toward && out == sign && self.solid.open(spot, toward, sign)
    }

    /// The other side of a thread: three quarters of a narrow circle seen along its
    /// axis, narrow lines seen from beside it.
    fn thread(&mut self, round: &Round) {
        let Some((radius_mm, long_mm)) = round.thread else { return };
        let of = Some(round.of);
        let inside = radius_mm > round.radius_mm;
        let [mouth, end] = round.ends_mm;
        let out = if end < mouth { 1.0 } else { -1.0 };
        if self.eye.toward.0 == round.axis {
            // A section of a screw ends at both its ends.
            let sides =
                if inside { vec![(mouth, out), (end, -out)] } else { vec![(mouth, -1.0), (end, 1.0)] };
            let seen = sides.iter().any(|&(at, out)| {
                let on_face = round.centre.polar(radius_mm, 2.5);
                self.open(raised(on_face, round.axis, at), round.axis, out)
            });
            if seen || inside {
                let centre = self.sees(raised(round.centre, round.axis, mouth));
                // Open at the upper right (ISO 6410-1).
                let segment = Segment::arc(centre, radius_mm, FRAC_PI_2 + 0.12, 1.5 * PI - 0.24);
                let stroke = if seen { Stroke::Thin } else { Stroke::Hidden };
                self.lines.push(Seen { of, stroke, segment });
            }
            return;
        }
        let stop = if inside { mouth - out * long_mm } else { end };
        let stroke = if inside { Stroke::Hidden } else { Stroke::Thin };
        let across = self.across(round.axis);
        let beside = |at: f64, side: f64, radius: f64| {
            let mut spot = raised(round.centre, round.axis, at);
            spot[across as usize] += side * radius;
            spot
        };
        for side in [1.0, -1.0] {
            self.in_metal(of, stroke, beside(mouth, side, radius_mm), beside(stop, side, radius_mm));
        }
        // Where the full thread ends.
        let (stroke, radius, ends) = if inside {
            (Stroke::Hidden, radius_mm, vec![stop])
        } else {
            (Stroke::Visible, round.radius_mm, vec![mouth, end])
        };
        for at in ends {
            let past = inside && (stop - end).abs() < HAIR_MM;
            if !past && inside {
                self.in_metal(of, stroke, beside(at, 1.0, radius), beside(at, -1.0, radius));
            } else if !past {
                self.straight(of, stroke, beside(at, 1.0, radius), beside(at, -1.0, radius));
            }
        }
    }

    /// The mouth of a conical hole, which on a round face no plane gives.
    fn conical_mouth(&mut self, round: &Round) {
        let kind = &self.shaped.part.feature(round.of).kind;
        let conical = matches!(kind, Kind::TaperPin { .. } | Kind::Countersink { .. });
        if !conical || self.eye.toward.0 != round.axis {
            return;
        }
        let [mouth, end] = round.ends_mm;
        let out = if end < mouth { 1.0 } else { -1.0 };
        let middle = raised(round.centre, round.axis, mouth);
        let stroke = if self.open(middle, round.axis, out) { Stroke::Visible } else { Stroke::Hidden };
        let segment = circle_line(self.sees(middle), round.radius_mm);
        self.lines.push(Seen { of: Some(round.of), stroke, segment });
    }

    /// The axis that lies across the view beside one that lies in it.
    fn across(&self, axis: Axis) -> Axis {
        if self.eye.right.0 == axis { self.eye.up.0 } else { self.eye.right.0 }
    }

    fn centre(&mut self, round: &Round) {
        let of = Some(round.of);
        let turned = matches!(self.shaped.part.drawing.body, Body::Turned { .. });
        let on_axis = turned && round.axis == Axis::X && round.centre.norm_mm() < HAIR_MM;
        let [mouth, end] = round.ends_mm;
        if self.eye.toward.0 != round.axis {
            if !on_axis {
                let [from, to] = [mouth, end].map(|at| raised(round.centre, round.axis, at));
                self.straight(of, Stroke::Centre, from, to);
            }
            return;
        }
        let middle = self.sees(raised(round.centre, round.axis, mouth));
        let reach = round.radius_mm.max(round.thread.map_or(0.0, |(radius, _)| radius));
        self.cross(of, middle, reach, self.leaning(round.of, middle));
    }

    /// Crossed centre lines.
    fn cross(&mut self, of: Option<FeatureId>, middle: Point, reach_mm: f64, lean_rad: f64) {
        for rad in [lean_rad, lean_rad + FRAC_PI_2] {
            let segment = Segment::line(middle.polar(reach_mm, rad + PI), middle.polar(reach_mm, rad));
            self.lines.push(Seen { of, stroke: Stroke::Centre, segment });
        }
    }

    /// The direction of a hole's centre lines: towards the middle of its pitch circle.
    fn leaning(&self, id: FeatureId, middle: Point) -> f64 {
        let circle = self.shaped.part.features().find_map(|(circle, feature)| match &feature.kind {
            Kind::PitchCircle { holes, .. } if holes.contains(&id) => Some(circle),
            _ => None,
        });
        let round = circle.and_then(|circle| self.shaped.centre(circle)).map(|centre| {
            let axis = self.eye.toward.0;
            self.sees(raised(centre, axis, 0.0))
        });
        round.map_or(0.0, |centre| centre.direction_rad(middle))
    }

    fn feature(&mut self, id: FeatureId) {
        let part = &self.shaped.part;
        let feature = part.feature(id);
        let of = Some(id);
        let seen_flat = self.eye.toward.0 == feature.face.axis();
        match &feature.kind {
            Kind::PitchCircle { diameter, .. } if seen_flat => {
                let Some(centre) = self.shaped.centre(id) else { return };
                let middle = self.sees(raised(centre, feature.face.axis(), 0.0));
                let segment = circle_line(middle, self.shaped.mm(*diameter) / 2.0);
                self.lines.push(Seen { of, stroke: Stroke::Centre, segment });
                self.cross(of, middle, 1.0, 0.0);
            }
            Kind::Boss { .. } if self.eye.toward.0 == Axis::Z => {
                if let Some(boss) = part.boss(id) {
                    let middle = self.sees(raised(boss.centre, Axis::Z, 0.0));
                    self.cross(of, middle, boss.radius_mm, 0.0);
                }
            }
            Kind::Slot { width, along, .. } if seen_flat => {
                let (Some(centre), Some([from, to])) = (self.shaped.centre(id), part.slot_span_mm(id, 0.0))
                else {
                    return;
                };
                let radius = self.shaped.mm(*width) / 2.0;
                let axis = feature.face.axis();
                let place = |out: f64, beside: f64| {
                    let at = centre.polar(out, along.as_rad()).polar(beside, along.as_rad() + FRAC_PI_2);
                    raised(at, axis, 0.0)
                };
                self.straight(of, Stroke::Centre, place(from - radius, 0.0), place(to + radius, 0.0));
                let closed = [from, to].into_iter().zip(part.slot_opens(id));
                for (end, _) in closed.filter(|(_, open)| open.is_none()) {
                    self.straight(of, Stroke::Centre, place(end, -radius), place(end, radius));
                }
            }
            Kind::CurvedSlot { .. } if seen_flat => {
                let Some(arc) = part.curved_arc(id) else { return };
                let drawn = Segment::Arc(arc);
                let line = if self.mirrored { drawn.mirrored() } else { drawn };
                let segment = self.eye.sees_plan(&line);
                self.lines.push(Seen { of, stroke: Stroke::Centre, segment });
                for (end, rad) in [(arc.start(), arc.start_rad), (arc.end(), arc.end_rad())] {
                    let half = part.cut_diameter(id).unwrap_or_default().half().as_mm();
                    let place = |mm: f64| raised(end.polar(mm, rad), Axis::Z, 0.0);
                    self.straight(of, Stroke::Centre, place(-half), place(half));
                }
            }
            Kind::Row { holes, .. } if seen_flat => {
                let ends =
                    [holes.first(), holes.last()].map(|hole| hole.and_then(|&id| self.shaped.centre(id)));
                if let [Some(from), Some(to)] = ends {
                    let axis = feature.face.axis();
                    self.straight(of, Stroke::Centre, raised(from, axis, 0.0), raised(to, axis, 0.0));
                }
            }
            Kind::Flats { across, count, length } => {
                let Some(from) = part.along(id).map(Length::as_mm) else { return };
                let to = from + self.shaped.mm(*length);
                let middle = (from + to) / 2.0;
                let Some(radius) = super::round::radius_at(self.shaped, middle) else { return };
                let across = self.shaped.mm(*across);
                let off = if *count == 1 { across - radius } else { across / 2.0 };
                let half = match count {
                    1 | 2 => (radius * radius - off * off).max(0.0).sqrt(),
                    4 => off.min((radius * radius - off * off).max(0.0).sqrt()),
                    _ => off * (PI / 6.0).tan(),
                };
                let shown = (0..*count).any(|n| self.faces_us(f64::from(n) / f64::from(*count)));
                self.diagonals(of, shown, [from, to], half);
            }
            Kind::Section { size: SectionSize::AsBar { across, sides: 4 }, .. } => {
                let (Some(from), Some(to)) = (part.along(id), part.section_end(id)) else { return };
                self.diagonals(of, true, [from.as_mm(), to.as_mm()], self.shaped.mm(*across) / 2.0);
            }
            Kind::Knurl { over, pitch, pattern } => self.knurl(id, *over, self.shaped.mm(*pitch), *pattern),
            _ => {}
        }
    }

    /// True when a flat so many turns round from the top looks at the reader or away.
    fn faces_us(&self, turns: f64) -> bool {
        let quarters = turns * 4.0;
        let whole = (quarters - quarters.round()).abs() < 1e-9;
        whole && (quarters.round() as i64).rem_euclid(2) == i64::from(self.eye.toward.0 == Axis::Z)
    }

    /// The crossed narrow lines of a flat face on a round part.
    fn diagonals(&mut self, of: Option<FeatureId>, shown: bool, ends: [f64; 2], half_mm: f64) {
        if !shown || self.eye.toward.0 == Axis::X || half_mm <= 0.0 {
            return;
        }
        let across = self.across(Axis::X) as usize;
        for side in [1.0, -1.0] {
            let corner = |x: f64, side: f64| {
                let mut spot = [x, 0.0, 0.0];
                spot[across] = side * half_mm;
                spot
            };
            self.straight(of, Stroke::Thin, corner(ends[0], side), corner(ends[1], -side));
        }
    }

    /// Ridges over the seen side of a section, set out as far apart as they are.
    fn knurl(&mut self, id: FeatureId, over: FeatureId, pitch_mm: f64, pattern: Pattern) {
        /// More lines than this would be a smudge.
        const MOST: f64 = 24.0;
        let part = &self.shaped.part;
        let (Some(from), Some(to)) = (part.along(over), part.section_end(over)) else { return };
        let Some(radius) = part.cut_diameter(over).map(|d| d.half().as_mm()) else { return };
        if self.eye.toward.0 == Axis::X || pitch_mm <= 0.0 || radius <= 0.0 {
            return;
        }
        let (from, to) = (from.as_mm(), to.as_mm());
        let across = self.across(Axis::X) as usize;
        let spot = |x: f64, y: f64| {
            let mut spot = [x, 0.0, 0.0];
            spot[across] = y;
            spot
        };
        let mut lines = Vec::new();
        match pattern {
            Pattern::Straight => {
                let step = pitch_mm.max(2.0 * radius / MOST);
                let mut y = -radius + step / 2.0;
                while y < radius {
                    lines.push((spot(from, y), spot(to, y)));
                    y += step;
                }
            }
            Pattern::Diamond => {
                let (long, tall) = (to - from, 2.0 * radius);
                let lean = tall * KNURL_RAD.tan();
                let step = (pitch_mm / KNURL_RAD.cos()).max((long + lean) / MOST);
                let mut x = -lean + step / 2.0;
                while x < long {
                    // From foot to head, cut off at the ends of the section.
                    let (low, high) = (x.max(0.0), (x + lean).min(long));
                    let up = |at: f64| -radius + tall * (at - x) / lean;
                    if high > low {
                        lines.push((spot(from + low, up(low)), spot(from + high, up(high))));
                        lines.push((spot(from + low, -up(low)), spot(from + high, -up(high))));
                    }
                    x += step;
                }
            }
        }
        for (a, b) in lines {
            self.straight(Some(id), Stroke::Thin, a, b);
        }
    }
}
