//! Putting a mechanism together: every way it goes, and the one that is meant.
//!
//! The same links can often be assembled in several ways (a rod to the left or the right of
//! the line of centres). [`Model::modes`] finds them; [`Model::assemble`] picks one by a
//! rough drawn position, by which way round three points lie, or by its number.

use std::f64::consts::{PI, TAU};

use crate::build::crowded;
use crate::describe::{PointId, Side};
use crate::fault::Fault;
use crate::model::{Model, State};
use crate::plan::Way;
use crate::rows::{Pose, Row};

/// Which way of putting the mechanism together is meant.
#[derive(Clone, Debug, PartialEq)]
pub enum Assembly {
    /// The only one there is.
    Only,
    /// One of those found, counted from nought.
    Mode(usize),
    /// The one whose points lie nearest to these places, millimetres.
    Rough(Vec<(PointId, [f64; 2])>),
    /// The one where each three points go round to that side: left is against the clock.
    Sides(Vec<([PointId; 3], Side)>),
}

/// More ways than this are not looked for.
const MOST: usize = 256;
/// So many of the ways nearest to a rough position are kept while it is put together.
const NEAREST: usize = 24;
/// Two positions closer than this share of the reach are one.
const SAME: f64 = 1e-7;

impl Model {
    /// Every way the mechanism goes together at this angle of the drive: pairs of links by
    /// both sides, and what has no closed form from many fixed starts. At most 256.
    ///
    /// # Errors
    ///
    /// Where it does not go together at all: which links do not reach, and by how much.
    pub fn modes(&self, angle: f64) -> Result<Vec<State>, Fault> {
        self.modes_near(angle, &Assembly::Only)
    }

    fn modes_near(&self, angle: f64, how: &Assembly) -> Result<Vec<State>, Fault> {
        let rough: &[(PointId, [f64; 2])] = if let Assembly::Rough(points) = how { points } else { &[] };
        let mut states = vec![self.fresh(angle)];
        let mut known = vec![false; self.of.links.len()];
        known[0] = true;
        for k in 0..self.blocks.len() {
            self.blocks[k].links.iter().for_each(|&link| known[link] = true);
            let mut next: Vec<State> = Vec::new();
            for state in &states {
                match self.blocks[k].way {
                    Way::Spin { .. } => {
                        let mut state = state.clone();
                        if self.block(k, &mut state).is_ok() {
                            next.push(state);
                        }
                    }
                    Way::Newton | Way::Least => next.extend(self.tried_starts(k, state, rough)),
                    _ => {
                        for side in [1.0, -1.0] {
                            let mut state = state.clone();
                            state.sides[k] = side;
                            // Where both sides meet they are one.
                            if self.block(k, &mut state).is_ok()
                                && (side > 0.0 || state.room[k] > SAME * SAME)
                            {
                                next.push(state);
                            }
                        }
                    }
                }
            }
            if next.is_empty() {
                return Err(self.does_not_reach(k, states.swap_remove(0)));
            }
            // What is said of the links that stand by now leaves out what cannot be meant.
            match how {
                Assembly::Rough(_) => {
                    let far = |state: &State| self.away(state, rough, &known);
                    next.sort_by(|a, b| far(a).total_cmp(&far(b)));
                    next.truncate(NEAREST);
                }
                Assembly::Sides(sides) => {
                    next.retain(|state| self.on_sides(state, sides, &known));
                    if next.is_empty() {
                        return Err(self.no_such_sides(sides));
                    }
                }
                Assembly::Only | Assembly::Mode(_) => {}
            }
            next.truncate(MOST);
            states = next;
        }
        Ok(states)
    }

    /// How far points of known links lie from where they were drawn.
    fn away(&self, state: &State, rough: &[(PointId, [f64; 2])], known: &[bool]) -> f64 {
        let drawn = rough.iter().filter(|(p, _)| known[p.link.0]);
        let square = |&(p, at): &(PointId, [f64; 2])| {
            let q = self.place(state, p);
            (q[0] - at[0]).powi(2) + (q[1] - at[1]).powi(2)
        };
        drawn.map(square).sum::<f64>().sqrt()
    }

    fn on_sides(&self, state: &State, sides: &[([PointId; 3], Side)], known: &[bool]) -> bool {
        sides.iter().filter(|(p, _)| p.iter().all(|p| known[p.link.0])).all(|(points, side)| {
            let [a, b, c] = points.map(|p| self.place(state, p));
            let round = (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]);
            round * side.sign() > 0.0
        })
    }

    fn no_such_sides(&self, sides: &[([PointId; 3], Side)]) -> Fault {
        Fault::new(
            "no way of putting it together has its points to those sides",
            sides.iter().flat_map(|(p, _)| p.map(|p| self.of.point_name(p))).collect(),
            "of the ways that were found none is so",
            "turn a side round, or give a rough position",
        )
    }

    fn does_not_reach(&self, k: usize, mut state: State) -> Fault {
        let angle = state.angle;
        let short = if self.blocks[k].links.is_empty() {
            self.error(&state) * self.reach
        } else {
            self.relax(k, &mut state, 100) * self.reach
        };
        let at = self.drive_words(angle);
        let way = if matches!(self.blocks[k].way, Way::Newton | Way::Least) {
            "from every start that was tried, the nearest leaves"
        } else {
            "the nearest they come leaves"
        };
        Fault::new(
            format!("the links do not meet with the drive at {at}"),
            self.names(k),
            format!("{way} about {short:.3} mm between points that should meet"),
            "mend a length, or put it together at another angle of the drive",
        )
    }

    /// An angle of the drive in words.
    pub(crate) fn drive_words(&self, angle: f64) -> String {
        match self.of.drive {
            Some(crate::Drive::Slide { .. }) => format!("{angle:.4} mm"),
            _ => format!("{:.4}°", angle.to_degrees()),
        }
    }

    /// Solutions of a block from many fixed starts, each once.
    fn tried_starts(&self, k: usize, state: &State, rough: &[(PointId, [f64; 2])]) -> Vec<State> {
        let links = self.blocks[k].links.clone();
        let meant = links.iter().any(|&l| rough.iter().any(|(p, _)| p.link.0 == l));
        let starts = if meant { 12 } else { (40 * links.len()).min(320) };
        let mut found: Vec<State> = Vec::new();
        for i in 0..starts {
            let mut one = state.clone();
            for (j, &link) in links.iter().enumerate() {
                let drawn = if meant { self.drawn(link, rough, i, j) } else { None };
                one.poses[link] = drawn.unwrap_or_else(|| self.start(link, &one, i, j));
            }
            Self::stand(&mut one);
            self.relax(k, &mut one, 60);
            if self.block(k, &mut one).is_err() || self.error_of(k, &one) > 1e-9 {
                continue;
            }
            for &link in &links {
                let p = one.poses[link];
                if !self.geared(link) {
                    one.poses[link].t = p.t - (p.t / TAU).round() * TAU;
                }
            }
            let same = |other: &State| {
                links.iter().all(|&l| {
                    let (p, q) = (one.poses[l], other.poses[l]);
                    (p.x - q.x).hypot(p.y - q.y) < SAME * self.reach && (p.c - q.c).hypot(p.s - q.s) < SAME
                })
            };
            if !found.iter().any(same) {
                found.push(one);
            }
            if found.len() >= MOST {
                break;
            }
        }
        found
    }

    fn geared(&self, link: usize) -> bool {
        self.rows.rows.iter().any(|row| matches!(row, Row::Turn { .. }) && row.links().contains(&link))
    }

    fn error_of(&self, k: usize, state: &State) -> f64 {
        let rows = self.blocks[k].rows.iter().map(|&row| &self.rows.rows[row]);
        rows.fold(0.0_f64, |most, row| {
            let r = row.residual(&self.by, &state.poses, state.angle).abs();
            most.max(if row.is_angle() { r } else { r / self.reach })
        })
    }

    /// A place to start from: angles and places spread evenly over all that are possible, the
    /// same in every run (an additive recurrence, so that no two starts line up).
    fn start(&self, link: usize, state: &State, i: usize, j: usize) -> Pose<f64> {
        let u = |n: usize| {
            // Square roots of primes are independent of one another over the whole numbers.
            const ROOTS: [f64; 9] = [
                0.414_213_562_4,
                0.732_050_807_6,
                0.236_067_977_5,
                0.645_751_311_1,
                0.316_624_790_4,
                0.605_551_275_5,
                0.123_105_625_6,
                0.358_898_943_5,
                0.795_831_523_3,
            ];
            ((i + 1) as f64 * ROOTS[(3 * j + n) % 9] + 0.37 * (j + n) as f64).fract()
        };
        let t = TAU * u(0) - PI;
        let pinned = self.rows.rows.iter().find_map(|row| match *row {
            Row::Pin { a, b, axis: 0 } if a.link == link && b.link == 0 => Some((a.at, b)),
            Row::Pin { a, b, axis: 0 } if b.link == link && a.link == 0 => Some((b.at, a)),
            _ => None,
        });
        let mut pose = Pose::new(0.0, 0.0, t);
        let to = match pinned {
            Some((own, to)) => {
                let (at, arm) =
                    (state.poses[to.link].place(self.by.points[to.at]), pose.turned(self.by.points[own]));
                [at[0] - arm[0], at[1] - arm[1]]
            }
            None => {
                let middle = self.middle();
                [middle[0] + 2.0 * self.reach * (u(1) - 0.5), middle[1] + 2.0 * self.reach * (u(2) - 0.5)]
            }
        };
        (pose.x, pose.y) = (to[0], to[1]);
        pose
    }

    fn middle(&self) -> [f64; 2] {
        let n = self.of.links[0].points.len();
        let sum = self.by.points[..n].iter().fold([0.0; 2], |s, p| [s[0] + p[0], s[1] + p[1]]);
        let one = 1.0 / n.max(1) as f64;
        [sum[0] * one, sum[1] * one]
    }

    /// Where a link was drawn, a little turned for later starts; none where too little is said.
    fn drawn(&self, link: usize, rough: &[(PointId, [f64; 2])], i: usize, j: usize) -> Option<Pose<f64>> {
        let own: Vec<[[f64; 2]; 2]> = rough
            .iter()
            .filter(|(p, _)| p.link.0 == link)
            .map(|&(p, at)| [self.by.points[self.rows.at(p)], at])
            .collect();
        let one = 1.0 / own.len() as f64;
        let mean = |pick: fn(&[[f64; 2]; 2]) -> [f64; 2]| {
            own.iter().map(pick).fold([0.0; 2], |s, p| [s[0] + p[0] * one, s[1] + p[1] * one])
        };
        let (from, to) = (mean(|p| p[0]), mean(|p| p[1]));
        let (mut c, mut s) = (0.0, 0.0);
        for [p, q] in &own {
            let (p, q) = ([p[0] - from[0], p[1] - from[1]], [q[0] - to[0], q[1] - to[1]]);
            c += p[0] * q[0] + p[1] * q[1];
            s += p[0] * q[1] - p[1] * q[0];
        }
        let little = if i == 0 { 0.0 } else { 0.6 * ((i * (j + 2)) as f64 * 0.618_034).fract() - 0.3 };
        let t = match own.len() {
            0 => return None,
            1 => TAU * ((i + 1) as f64 * 0.618_034 + 0.31 * j as f64).fract(),
            _ => s.atan2(c) + little,
        };
        let mut pose = Pose::new(0.0, 0.0, t);
        let arm = pose.turned(from);
        (pose.x, pose.y) = (to[0] - arm[0], to[1] - arm[1]);
        Some(pose)
    }

    /// Puts the mechanism together as meant.
    ///
    /// # Errors
    ///
    /// Where it does not go together, where several ways fit what was said, or where links
    /// are held so that nothing moves.
    pub fn assemble(&self, angle: f64, how: &Assembly) -> Result<State, Fault> {
        if !angle.is_finite() {
            return Err(Fault::new(
                "the drive stands at no number",
                vec!["drive".into()],
                "an angle is needed to put the mechanism together",
                "give the angle of the drive",
            ));
        }
        self.names_points(how)?;
        let mut found = self.modes_near(angle, how)?;
        let number = match how {
            Assembly::Only if found.len() == 1 => 0,
            Assembly::Only => return Err(self.several(angle, found.len())),
            Assembly::Mode(n) if *n < found.len() => *n,
            Assembly::Mode(n) => {
                return Err(Fault::new(
                    format!("there is no way {n} of putting it together"),
                    vec!["assembly".into()],
                    format!("{} were found, counted from 0", found.len()),
                    "give a smaller number, or a rough position",
                ));
            }
            Assembly::Rough(points) => {
                let known = vec![true; self.of.links.len()];
                let away = |state: &State| self.away(state, points, &known);
                let mut by: Vec<(f64, usize)> =
                    found.iter().map(away).enumerate().map(|(i, far)| (far, i)).collect();
                by.sort_by(|a, b| a.0.total_cmp(&b.0));
                if by.len() > 1 && by[1].0 - by[0].0 < 1e-6 * self.reach {
                    return Err(
                        self.several(angle, by.iter().filter(|b| b.0 - by[0].0 < 1e-6 * self.reach).count())
                    );
                }
                by[0].1
            }
            Assembly::Sides(_) if found.len() == 1 => 0,
            Assembly::Sides(_) => return Err(self.several(angle, found.len())),
        };
        let state = found.swap_remove(number);
        if let Some(k) = state.room.iter().position(|room| room.abs() < SAME * SAME) {
            return Err(Fault::new(
                format!("links lie in line with the drive at {}", self.drive_words(angle)),
                self.names(k),
                "from there they could go on to either side, so the way that is meant cannot be told",
                "say how it stands at another angle of the drive",
            ));
        }
        self.moves(&state)?;
        Ok(state)
    }

    /// A fault where a rough position names a point that is not there, or a place that is none.
    fn names_points(&self, how: &Assembly) -> Result<(), Fault> {
        let points: Vec<PointId> = match how {
            Assembly::Rough(rough) => rough.iter().map(|(p, _)| *p).collect(),
            Assembly::Sides(sides) => sides.iter().flat_map(|(p, _)| *p).collect(),
            Assembly::Only | Assembly::Mode(_) => Vec::new(),
        };
        let there = |p: &PointId| self.of.links.get(p.link.0).is_some_and(|l| p.point < l.points.len());
        let numbers = match how {
            Assembly::Rough(rough) => rough.iter().all(|(_, at)| at[0].is_finite() && at[1].is_finite()),
            _ => true,
        };
        if numbers && points.iter().all(there) {
            return Ok(());
        }
        Err(Fault::new(
            "the rough position speaks of a point that is not there, or of no place",
            vec!["assembly".into()],
            "without it the way that is meant cannot be told",
            "name points of the mechanism, and give both their coordinates",
        ))
    }

    fn several(&self, angle: f64, ways: usize) -> Fault {
        let places = self.blocks.iter().enumerate();
        let open = places.filter(|(_, b)| !matches!(b.way, Way::Spin { .. }));
        Fault::new(
            format!("it can be put together in {ways} ways with the drive at {}", self.drive_words(angle)),
            open.flat_map(|(k, _)| self.names(k)).collect(),
            "what is said of its position fits them all",
            "give rough places of a few points, or the side to which three points go round",
        )
    }

    /// A fault where links that are held too often stop it from moving.
    fn moves(&self, state: &State) -> Result<(), Fault> {
        let Some(k) = self.blocks.iter().position(|b| matches!(b.way, Way::Least)) else { return Ok(()) };
        let step =
            if matches!(self.of.drive, Some(crate::Drive::Slide { .. })) { 0.01 * self.reach } else { 0.01 };
        let mut moved = state.clone();
        let mut back = state.clone();
        let goes = |s: &mut State, by: f64| {
            self.go(s, state.angle + by).is_ok() && self.go(s, state.angle + 2.0 * by).is_ok()
        };
        if goes(&mut moved, step) || goes(&mut back, -step) {
            return Ok(());
        }
        let needed = 3 * self.blocks[k].links.len();
        Err(crowded(self.names(k), self.blocks[k].rows.len() - needed))
    }
}
