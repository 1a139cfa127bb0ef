//! A mechanism made ready to be solved, and its positions.

use std::f64::consts::{PI, TAU};

use crate::closed::{TOUCH, circle_line, circles, normal_through};
use crate::describe::{LinkId, Mechanism, PointId};
use crate::fault::Fault;
use crate::linear::{lu, lu_sign, lu_solve};
use crate::plan::{Block, Hold, Way};
use crate::rows::{Pose, Pt, Row, Rows};
use crate::sized::{Sized, sized};

/// A mechanism made ready: its equations in the order they are solved, with its sizes.
#[derive(Clone, Debug)]
pub struct Model {
    pub(crate) of: Mechanism,
    pub(crate) params: Vec<f64>,
    pub(crate) rows: Rows,
    pub(crate) by: Sized<f64>,
    pub(crate) blocks: Vec<Block>,
    /// What each block's closed form takes of its links' own sizes, in the blocks' order.
    pub(crate) bars: Vec<[Bar; 2]>,
    /// A length that residuals are weighed by, millimetres.
    pub(crate) reach: f64,
    pub(crate) notes: Vec<String>,
}

/// Where every link stands at one angle of the drive.
#[derive(Clone, Debug)]
pub struct State {
    /// The drive: radians, or millimetres where a point is pushed.
    pub angle: f64,
    pub(crate) poses: Vec<Pose<f64>>,
    /// Which of two solutions each closed block is on: 1 or -1.
    pub(crate) sides: Vec<f64>,
    /// Each block's room: see [`crate::closed`]; for Newton's blocks its determinant's sign.
    pub(crate) room: Vec<f64>,
    before: Option<(f64, Vec<[f64; 3]>)>,
    work: Work,
}

impl State {
    /// The narrowest of all rooms: how far the closest pair of links is from being in line.
    pub(crate) fn least_room(&self) -> f64 {
        self.room.iter().fold(1.0_f64, |m, &r| m.min(r.abs()))
    }
}

#[derive(Clone, Debug, Default)]
struct Work {
    a: Vec<f64>,
    b: Vec<f64>,
    swap: Vec<usize>,
    column: Vec<usize>,
}

/// Why no position was found.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stuck {
    pub(crate) block: usize,
    /// How far short the links fall, as the square of a sine below nought; not a number
    /// where Newton's method came to nothing.
    pub(crate) room: f64,
}

/// The steps that Newton's method may take before it is said to have come to nothing.
const STEPS: usize = 24;

/// The way between two points of a link, in its own coordinates.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Bar {
    /// How long it is, millimetres.
    long: f64,
    /// Its direction, over its length squared.
    turn: [f64; 2],
}

/// What the closed forms take of their links, worked out once and not at every position.
pub(crate) fn bars(blocks: &[Block], by: &Sized<f64>) -> Vec<[Bar; 2]> {
    let bar = |p: usize, q: usize| {
        let (p, q) = (by.points[p], by.points[q]);
        let local = [q[0] - p[0], q[1] - p[1]];
        let square = local[0] * local[0] + local[1] * local[1];
        Bar { long: square.sqrt(), turn: [local[0] / square, local[1] / square] }
    };
    let none = Bar::default();
    let of = |block: &Block| match block.way {
        Way::Swing { pin, hold: Hold::OnLine { point, .. } | Hold::Apart { point, .. }, .. } => {
            [bar(pin, point), none]
        }
        Way::Dyad { a, b } => [bar(a.own, a.common), bar(b.own, b.common)],
        Way::Slide { a, .. } => [bar(a.own, a.common), none],
        _ => [none; 2],
    };
    blocks.iter().map(of).collect()
}

impl Model {
    /// The mechanism it was made from.
    pub fn mechanism(&self) -> &Mechanism {
        &self.of
    }

    /// The values of the parameters it is solved with.
    pub fn values(&self) -> &[f64] {
        &self.params
    }

    /// What the person should know of how it is held: equations to spare, say.
    pub fn notes(&self) -> &[String] {
        &self.notes
    }

    /// The same mechanism with other values.
    ///
    /// # Errors
    ///
    /// Where a point given by two distances cannot lie, or a slot has no radius or direction.
    pub fn with(&self, params: &[f64]) -> Result<Self, Fault> {
        let mut other = self.clone();
        other.by = sized(&self.of, &self.rows, params)?;
        other.bars = bars(&other.blocks, &other.by);
        other.params = params.to_vec();
        Ok(other)
    }

    /// Where a point lies, millimetres.
    #[inline]
    pub fn place(&self, state: &State, point: PointId) -> [f64; 2] {
        state.poses[point.link.0].place(self.by.points[self.rows.at(point)])
    }

    /// Where a link stands.
    pub fn pose(&self, state: &State, link: LinkId) -> Pose<f64> {
        state.poses[link.0]
    }

    pub(crate) fn fresh(&self, angle: f64) -> State {
        let links = self.of.links.len();
        State {
            angle,
            poses: vec![Pose::new(0.0, 0.0, 0.0); links],
            sides: vec![1.0; self.blocks.len()],
            room: vec![1.0; self.blocks.len()],
            before: None,
            work: Work { column: vec![usize::MAX; links], ..Work::default() },
        }
    }

    /// Moves to another angle of the drive, on the same assembly. Small steps keep it;
    /// pairs of links keep it at any step.
    ///
    /// # Errors
    ///
    /// Where the links do not reach: the state is then not a position.
    pub fn go(&self, state: &mut State, angle: f64) -> Result<(), Stuck> {
        self.guess(state, angle);
        for k in 0..self.blocks.len() {
            self.block(k, state)?;
        }
        Ok(())
    }

    /// Sets the drive's angle and puts the links of Newton's blocks where they would be if
    /// they went on as they came.
    pub(crate) fn guess(&self, state: &mut State, angle: f64) {
        if self.blocks.iter().any(|b| matches!(b.way, Way::Newton | Way::Least)) {
            let now: Vec<[f64; 3]> = state.poses.iter().map(|p| [p.x, p.y, p.t]).collect();
            let step = angle - state.angle;
            if let Some((at, was)) = &state.before {
                let f = step / (state.angle - at);
                if f.is_finite() && f.abs() <= 2.0 {
                    for (pose, (n, w)) in state.poses.iter_mut().zip(now.iter().zip(was)).skip(1) {
                        *pose = Pose::new(
                            n[0] + f * (n[0] - w[0]),
                            n[1] + f * (n[1] - w[1]),
                            n[2] + f * (n[2] - w[2]),
                        );
                    }
                }
            }
            if step != 0.0 {
                state.before = Some((state.angle, now));
            }
        }
        state.angle = angle;
    }

    /// Forgets the way it came, as when sizes have changed.
    pub(crate) fn stand(state: &mut State) {
        state.before = None;
    }

    #[inline]
    fn known(&self, state: &State, p: Pt) -> [f64; 2] {
        state.poses[p.link].place(self.by.points[p.at])
    }

    /// The angle of a link by a row of angles.
    fn turned(&self, state: &State, turn: usize, link: usize) -> f64 {
        let Row::Turn { a, b, c, ratio, phase, drive } = self.rows.rows[turn] else {
            unreachable!("the plan puts only rows of angles here");
        };
        let (ratio, phase) = (self.by.sizes[ratio], self.by.sizes[phase]);
        let t = |l: usize| state.poses[l].t;
        if a == link {
            t(c) + ratio * (t(b) - t(c)) + phase + drive * state.angle
        } else {
            t(c) + (t(a) - t(c) - phase - drive * state.angle) / ratio
        }
    }

    /// Puts a link where its point `p` lies at `k`, the direction from `p` to `q` being `along`;
    /// `turn` is that direction in the link's own coordinates over its length squared.
    #[inline]
    fn lay(&self, state: &mut State, link: usize, p: usize, k: [f64; 2], turn: [f64; 2], along: [f64; 2]) {
        let c = along[0] * turn[0] + along[1] * turn[1];
        let s = along[1] * turn[0] - along[0] * turn[1];
        let was = state.poses[link].t;
        let t = s.atan2(c);
        let mut near = t - was;
        if near.abs() > PI {
            near -= (near / TAU).round() * TAU;
        }
        let [px, py] = self.by.points[p];
        state.poses[link] =
            Pose { x: k[0] - (c * px - s * py), y: k[1] - (s * px + c * py), t: was + near, c, s };
    }

    fn between(&self, p: usize, q: usize) -> [f64; 2] {
        let (p, q) = (self.by.points[p], self.by.points[q]);
        [q[0] - p[0], q[1] - p[1]]
    }

    /// Solves one block from those before it.
    pub(crate) fn block(&self, k: usize, state: &mut State) -> Result<(), Stuck> {
        let block = &self.blocks[k];
        let side = state.sides[k];
        let [bar, other] = self.bars[k];
        let minus = |a: [f64; 2], b: [f64; 2]| [a[0] - b[0], a[1] - b[1]];
        let room = match block.way {
            Way::Spin { pin, to, turn } => {
                let link = block.links[0];
                let at = self.known(state, to);
                let t = self.turned(state, turn, link);
                let mut pose = Pose::new(0.0, 0.0, t);
                let arm = pose.turned(self.by.points[pin]);
                (pose.x, pose.y) = (at[0] - arm[0], at[1] - arm[1]);
                state.poses[link] = pose;
                return Ok(());
            }
            Way::Swing { pin, to, ref hold } => {
                let link = block.links[0];
                let at = self.known(state, to);
                match *hold {
                    Hold::OnLine { o, d, .. } => {
                        let u = state.poses[o.link].turned(self.by.dirs[d]);
                        let hit = circle_line(at, bar.long, self.known(state, o), u, side);
                        self.lay(state, link, pin, at, bar.turn, minus(hit.at, at));
                        hit.room
                    }
                    Hold::Apart { from, r, .. } => {
                        let centre = self.known(state, from);
                        let hit = circles(at, bar.long, centre, self.by.sizes[r], side);
                        self.lay(state, link, pin, at, bar.turn, minus(hit.at, at));
                        hit.room
                    }
                    Hold::Through { o, d, point } => {
                        let [ux, uy] = self.by.dirs[d];
                        let n = [-uy, ux];
                        let off = self.between(pin, o);
                        let h = off[0] * n[0] + off[1] * n[1];
                        let hit = normal_through(minus(self.known(state, point), at), h, side);
                        self.lay(state, link, pin, at, n, hit.at);
                        hit.room
                    }
                }
            }
            Way::Dyad { a, b } => {
                let (k1, k2) = (self.known(state, a.known), self.known(state, b.known));
                let hit = circles(k1, bar.long, k2, other.long, side);
                self.lay(state, a.link, a.own, k1, bar.turn, minus(hit.at, k1));
                self.lay(state, b.link, b.own, k2, other.turn, minus(hit.at, k2));
                hit.room
            }
            Way::Slide { a, b, common, turn, slot } => {
                let t = self.turned(state, turn, b);
                let mut pose = Pose::new(0.0, 0.0, t);
                let Row::Slot { p, o, d } = self.rows.rows[slot] else {
                    unreachable!("the plan puts only slots here");
                };
                // The line on which the common point lies, the slider's angle being known.
                let (u, through) = if p.link == b {
                    let arm = pose.turned(self.between(p.at, common));
                    let known = self.known(state, o);
                    (state.poses[o.link].turned(self.by.dirs[d]), [known[0] + arm[0], known[1] + arm[1]])
                } else {
                    let arm = pose.turned(self.between(o.at, common));
                    let known = self.known(state, p);
                    (pose.turned(self.by.dirs[d]), [known[0] + arm[0], known[1] + arm[1]])
                };
                let k1 = self.known(state, a.known);
                let hit = circle_line(k1, bar.long, through, u, side);
                self.lay(state, a.link, a.own, k1, bar.turn, minus(hit.at, k1));
                let arm = pose.turned(self.by.points[common]);
                (pose.x, pose.y) = (hit.at[0] - arm[0], hit.at[1] - arm[1]);
                state.poses[b] = pose;
                hit.room
            }
            Way::Newton => return self.newton(k, state),
            Way::Least => return self.least(k, state),
        };
        state.room[k] = room;
        if room >= -TOUCH { Ok(()) } else { Err(Stuck { block: k, room }) }
    }

    /// The block's equations and how they change with its links, by rows, at where it stands.
    pub(crate) fn fill(&self, k: usize, state: &State, column: &[usize], a: &mut [f64], b: &mut [f64]) {
        let block = &self.blocks[k];
        let cols = 3 * block.links.len();
        a.fill(0.0);
        for (i, &row) in block.rows.iter().enumerate() {
            let row = &self.rows.rows[row];
            b[i] = row.residual(&self.by, &state.poses, state.angle);
            let line = &mut a[i * cols..(i + 1) * cols];
            row.partials(&self.by, &state.poses, |link, by| {
                let at = column[link];
                if at != usize::MAX {
                    line[at] += by[0];
                    line[at + 1] += by[1];
                    line[at + 2] += by[2];
                }
            });
        }
    }

    pub(crate) fn step(&self, k: usize, state: &mut State, by: &[f64], share: f64) {
        for (i, &link) in self.blocks[k].links.iter().enumerate() {
            let pose = state.poses[link];
            state.poses[link] = Pose::new(
                pose.x - share * by[3 * i],
                pose.y - share * by[3 * i + 1],
                pose.t - share * by[3 * i + 2],
            );
        }
    }

    fn newton(&self, k: usize, state: &mut State) -> Result<(), Stuck> {
        let block = &self.blocks[k];
        let n = 3 * block.links.len();
        let mut work = std::mem::take(&mut state.work);
        work.a.resize(n * n, 0.0);
        work.b.resize(n, 0.0);
        work.swap.resize(n, 0);
        work.column.fill(usize::MAX);
        block.links.iter().enumerate().for_each(|(i, &link)| work.column[link] = 3 * i);
        let mut answer = Err(Stuck { block: k, room: f64::NAN });
        let mut last = f64::INFINITY;
        for _ in 0..STEPS {
            self.fill(k, state, &work.column, &mut work.a, &mut work.b);
            if lu(&mut work.a, n, &mut work.swap).is_none() {
                break;
            }
            state.room[k] = lu_sign(&work.a, n, &work.swap);
            lu_solve(&work.a, n, &work.swap, &mut work.b);
            let size = self.size(&work.b);
            if !size.is_finite() {
                break;
            }
            let share = if size > 0.5 { 0.5 / size } else { 1.0 };
            self.step(k, state, &work.b, share);
            // Quadratic: from 1e-9 the next step would be below rounding.
            if size < 1e-9 || (size < 1e-6 && size >= last) {
                answer = Ok(());
                break;
            }
            last = size;
        }
        state.work = work;
        answer
    }

    /// The size of a step as a share of the mechanism's.
    pub(crate) fn size(&self, step: &[f64]) -> f64 {
        let one = 1.0 / self.reach;
        step.chunks_exact(3)
            .fold(0.0_f64, |m, s| m.max(s[0].abs() * one).max(s[1].abs() * one).max(s[2].abs()))
            + if step.iter().any(|v| v.is_nan()) { f64::NAN } else { 0.0 }
    }

    /// Least squares by damped Gauss-Newton steps; the equations must hold at the end.
    fn least(&self, k: usize, state: &mut State) -> Result<(), Stuck> {
        let stuck = Stuck { block: k, room: f64::NAN };
        if self.relax(k, state, 60) > 1e-9 {
            return Err(stuck);
        }
        Ok(())
    }

    /// How far the equations are from holding, as a share of the mechanism's reach.
    pub fn error(&self, state: &State) -> f64 {
        self.rows.rows.iter().fold(0.0_f64, |most, row| {
            let r = row.residual(&self.by, &state.poses, state.angle).abs();
            most.max(if row.is_angle() { r } else { r / self.reach })
        })
    }

    /// The names of a block's links.
    pub(crate) fn names(&self, block: usize) -> Vec<String> {
        self.blocks[block].links.iter().map(|&l| self.of.links[l].name.clone()).collect()
    }
}
