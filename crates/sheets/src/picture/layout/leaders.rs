//! Words on leaders, radii and angles: each where it costs least.

use std::f64::consts::PI;

use super::super::{Note, Words};
use super::{OBSTACLE_SAG_MM, Page, edges};
use crate::callout::{Key, Target};
use crate::dimension::{self, Label, Radial};
use crate::ink::{Bounds, Fill, Ink, Line, Point, Shape};

/// More than any other fault can come to: lettering over lettering.
const COVERED_WORD: f64 = 1e4;
/// What a millimetre of words beside the work costs against one of leader.
const BESIDE_COST: f64 = 0.5;

/// A note as it would stand: the box of its words and its lines.
struct Look {
    figure: Bounds,
    lines: Vec<(Point, Point)>,
}

/// The best place for a note so far.
struct Best {
    cost: f64,
    faults: f64,
    attempt: (f64, f64),
    figure: Bounds,
}

impl Page {
    /// Radii, diameters, angles and words with a leader: the nearest free place
    /// among a few.
    pub(super) fn leaders(&mut self, notes: &[Note]) {
        /// A leader to a place may come from anywhere, but not level or upright,
        /// where it would be taken for an edge (ISO 128-2).
        const FROM_RAD: [f64; 12] = [0.8, 2.34, -0.8, -2.34, 0.4, 2.74, -0.4, -2.74, 1.2, 1.94, -1.2, -1.94];
        const SWINGS_RAD: [f64; 9] = [0.0, 0.2, -0.2, 0.4, -0.4, 0.6, -0.6, 0.8, -0.8];
        const REACHES_MM: [f64; 8] = [6.0, 9.0, 13.0, 18.0, 24.0, 32.0, 42.0, 54.0];
        let view = self.view;
        for (n, note) in notes.iter().enumerate() {
            match note {
                Note::Leader { at, rim_mm, label } => {
                    let (at, rim_mm) = (view.at(*at), view.long(*rim_mm));
                    let tries = REACHES_MM
                        .iter()
                        .flat_map(|reach| FROM_RAD.iter().map(move |direction| (*reach, *direction)));
                    self.radial_from(n, tries, (at, rim_mm), 0.0, label);
                }
                Note::Key { at, rim_mm, key, tag } => {
                    const NEAR_MM: [f64; 8] = [0.6, 1.6, 3.2, 5.0, 8.0, 12.0, 17.0, 23.0];
                    let target = Target { at: view.at(*at), rim_mm: view.long(*rim_mm) };
                    let tries = NEAR_MM
                        .iter()
                        .flat_map(|near| (0..16).map(move |turn| (*near, f64::from(turn) * PI / 8.0 + 0.2)));
                    let letter = Key::text(key, Point::default()).bounds();
                    let stands = |(near, direction)| Key::new(target, direction, near, letter.width_mm());
                    let look = |attempt| {
                        let Key { leader, at } = stands(attempt);
                        Look { figure: letter.moved(at.x_mm, at.y_mm), lines: leader.into_iter().collect() }
                    };
                    let draw = |ink: &mut Ink, attempt| stands(attempt).draw(ink, key, tag.as_ref());
                    self.cheapest(n, tries, look, draw);
                }
                Note::Radial { centre, radius_mm, direction_rad, half_rad, label } => {
                    let (at, radius_mm) = (view.at(*centre), view.long(*radius_mm));
                    let tries = REACHES_MM.iter().flat_map(|reach| {
                        SWINGS_RAD
                            .iter()
                            .filter(|swing| swing.abs() <= *half_rad)
                            .map(move |swing| (*reach, *swing))
                    });
                    self.radial_from(n, tries, (at, radius_mm), *direction_rad, label);
                }
                Note::Angle { apex, from_rad, to_rad, label } => {
                    let at = view.at(*apex);
                    let least = if self.words == Words::Clear { 0 } else { 2 };
                    let tries = [11.0, 15.0, 20.0, 26.0, 34.0, 44.0, 56.0].map(|radius_mm| (radius_mm, 0.0));
                    let draw = |ink: &mut Ink, (radius_mm, _): (f64, f64)| {
                        dimension::angle(ink, at, radius_mm, *from_rad, *to_rad, label)
                    };
                    let look = |attempt| {
                        let mut ink = Ink::new();
                        let figure = draw(&mut ink, attempt);
                        Look { figure, lines: ink.marks.iter().flat_map(edges).collect() }
                    };
                    self.cheapest(n, tries.into_iter().skip(least), look, |ink, attempt| {
                        draw(ink, attempt);
                    });
                }
                _ => {}
            }
        }
    }

    /// A radius or words with a leader, each try so far out and so much from a direction.
    fn radial_from(
        &mut self,
        n: usize,
        tries: impl Iterator<Item = (f64, f64)>,
        (centre, radius_mm): (Point, f64),
        from_rad: f64,
        label: &Label,
    ) {
        let words = label.bounds_over(Point::default());
        let stands = |(reach, swing): (f64, f64)| {
            Radial::new(centre, radius_mm, from_rad + swing, reach, words.width_mm())
        };
        let look = |attempt| {
            let stands = stands(attempt);
            let at = stands.figure_at();
            Look { figure: words.moved(at.x_mm, at.y_mm), lines: stands.lines().to_vec() }
        };
        self.cheapest(n, tries, look, |ink, attempt| stands(attempt).draw(ink, label));
    }

    /// Draws a note where it costs least, each try so far out and so much swung.
    fn cheapest(
        &mut self,
        n: usize,
        tries: impl Iterator<Item = (f64, f64)>,
        look: impl Fn((f64, f64)) -> Look,
        draw: impl Fn(&mut Ink, (f64, f64)),
    ) {
        let clear = self.words == Words::Clear;
        let body = if clear { self.work.of(&self.ink) } else { None };
        let body = body.unwrap_or(Bounds::new(0.0, 0.0, 0.0, 0.0));
        let mut best: Option<Best> = None;
        for attempt in tries {
            let least = best.as_ref().map_or(f64::INFINITY, |best| best.cost);
            // Each thing that counts only adds: what already costs as much is looked into no further.
            let too_dear = |so_far: f64| so_far > least + 1e-6;
            let (far_mm, swing_rad) = attempt;
            let swung = if clear { 0.0 } else { swing_rad.abs() * 5.0 };
            if too_dear(far_mm + swung) {
                continue;
            }
            let Look { figure, lines } = look(attempt);
            let room = figure.grown(0.5);
            let beside = (body.left_mm - figure.left_mm).max(figure.right_mm - body.right_mm).max(0.0);
            let near = far_mm + if clear { beside * BESIDE_COST } else { swung };
            let covered = self.taken.boxes.iter().filter(|b| b.overlap_mm2(room) > 0.0).count() as f64;
            if too_dear(near + covered * COVERED_WORD) {
                continue;
            }
            let crossed = self.crossed(&lines) as f64;
            let over_edges = clear && self.over_edges(figure);
            let faults = covered + if clear { crossed + f64::from(over_edges) } else { 0.0 };
            let words = faults * COVERED_WORD + if clear { 0.0 } else { crossed * 300.0 };
            let per_mm = if clear { 2.0 } else { 4.0 };
            let mut cost = near + words;
            for (from, to) in self.taken.lines.near(room) {
                cost += room.length_within_mm(from, to) * per_mm;
                if too_dear(cost) {
                    break;
                }
            }
            if cost < least {
                best = Some(Best { cost, faults, attempt, figure });
            }
        }
        let Some(Best { faults, attempt, figure, .. }) = best else { return };
        if faults > 0.0 {
            self.crowded.push(n);
            return;
        }
        if clear {
            self.ink.rectangle(figure.grown(0.3), None, Fill::Paper);
        } else if self.hatched(figure) {
            self.ink.rectangle(figure.grown(0.6), None, Fill::Paper);
        }
        let mut ink = Ink::new();
        draw(&mut ink, attempt);
        self.taken.lines.extend(ink.marks.iter().flat_map(edges));
        self.taken.boxes.push(figure);
        self.ink.lay(ink, 0.0, 0.0);
    }

    /// How many figures the lines of a leader cross.
    fn crossed(&self, lines: &[(Point, Point)]) -> usize {
        let all = Bounds::around(lines.iter().flat_map(|&(from, to)| [from, to]));
        // Nearly every figure is well clear of all of it.
        let apart = |b: &Bounds| {
            b.right_mm < all.left_mm
                || b.left_mm > all.right_mm
                || b.bottom_mm < all.top_mm
                || b.top_mm > all.bottom_mm
        };
        let crossed =
            |b: &&Bounds| !apart(b) && lines.iter().any(|&(from, to)| b.length_within_mm(from, to) > 0.0);
        self.taken.boxes.iter().filter(crossed).count()
    }

    /// True when hatching runs through a box: it must stop short of lettering
    /// (ISO 128-3).
    fn hatched(&self, figure: Bounds) -> bool {
        self.ink.marks.iter().any(|mark| match &mark.shape {
            Shape::Path { path, line: Some(Line::Hatch), .. } => path
                .flattened(OBSTACLE_SAG_MM)
                .windows(2)
                .any(|ends| figure.length_within_mm(ends[0], ends[1]) > 0.0),
            _ => false,
        })
    }
}
