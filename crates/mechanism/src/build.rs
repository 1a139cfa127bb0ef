//! Making a mechanism ready, and saying what is wrong with it where it cannot be.

use crate::describe::{At, Drive, FRAME, Kind, Line, LinkId, Mechanism, PointId, Size};
use crate::fault::Fault;
use crate::linear::Qr;
use crate::model::{Model, bars};
use crate::plan::{Arm, Hold, Shares, Way, blocks};
use crate::rows::{Pose, Rows};
use crate::sized::{Sized, sized};

/// An arm shorter than this is no arm: its ends are one point, millimetres.
const NO_ARM: f64 = 1e-9;

impl Model {
    /// Makes a mechanism ready to be solved.
    ///
    /// # Errors
    ///
    /// Every fault found: a name that points nowhere, a number that is none, a part that is
    /// free or held too often.
    pub fn new(of: &Mechanism) -> Result<Self, Vec<Fault>> {
        let faults = said_badly(of);
        if !faults.is_empty() {
            return Err(faults);
        }
        let rows = Rows::of(of);
        let params = of.values();
        let by = sized(of, &rows, &params).map_err(|fault| vec![fault])?;
        let shares = Shares::of(&rows, of.links.len());
        let names = |links: Vec<usize>| links.iter().map(|&l| of.links[l].name.clone()).collect::<Vec<_>>();
        let mut faults = Vec::new();
        let (wanting, spare) = (shares.wanting(), shares.spare.len());
        if wanting > 0 {
            let ways = if wanting == 1 { "one way".into() } else { format!("{wanting} ways") };
            faults.push(Fault::new(
                format!("the mechanism can move {ways} more than its drive moves it"),
                names(shares.loose(&rows)),
                format!(
                    "{} moving links have {} freedoms, their joints and the drive hold {}",
                    of.links.len() - 1,
                    3 * (of.links.len() - 1),
                    rows.rows.len() - spare
                ),
                "join the links named to something else, give them a guide, or hold an angle",
            ));
        }
        if spare > 0 && wanting > 0 {
            faults.push(crowded(names(shares.crowded(&rows)), spare));
        }
        if !faults.is_empty() {
            return Err(faults);
        }
        let mut notes = Vec::new();
        if spare > 0 {
            notes.push(format!(
                "{} held {spare} more than needed: it moves only while their sizes agree",
                list(&names(shares.crowded(&rows)))
            ));
        }
        let mut found = blocks(&rows, &shares);
        for block in &mut found {
            if !has_arms(&block.way, &by) {
                block.way = Way::Newton;
            }
        }
        let reach = reach(of, &rows, &by);
        let bars = bars(&found, &by);
        let model = Self { of: of.clone(), params, rows, by, blocks: found, bars, reach, notes };
        model.never_settled().map_or(Ok(model), |fault| Err(vec![fault]))
    }

    /// Rows and how they change with every link but the frame, lengths and angles brought to
    /// one scale, by rows.
    fn scaled(&self, poses: &[Pose<f64>]) -> Qr {
        let cols = 3 * (self.of.links.len() - 1);
        let m = self.rows.rows.len();
        let mut a = vec![0.0; m * cols];
        for (i, row) in self.rows.rows.iter().enumerate() {
            let weight = if row.is_angle() { self.reach } else { 1.0 };
            row.partials(&self.by, poses, |link, by| {
                if link > 0 {
                    let at = i * cols + 3 * (link - 1);
                    a[at] += weight * by[0];
                    a[at + 1] += weight * by[1];
                    a[at + 2] += weight * by[2] / self.reach;
                }
            });
        }
        Qr::of(a, m, cols)
    }

    /// A fault where some link stays free wherever the links stand.
    fn never_settled(&self) -> Option<Fault> {
        let mut poses = vec![Pose::new(0.0, 0.0, 0.0)];
        for l in 1..self.of.links.len() {
            let u = |by: f64| (l as f64 * by).fract() - 0.5;
            let (x, y) = (self.reach * u(0.754_877_666), self.reach * u(0.569_840_29));
            poses.push(Pose::new(x, y, 6.0 * u(0.618_033_989)));
        }
        self.free(&poses).map(|names| {
            Fault::new(
                "a part of the mechanism stays free while another is held twice",
                names,
                "two of its joints hold the same thing, so they do not hold what is left free",
                "join the links named in another way: a guide in another direction, say, or an angle",
            )
        })
    }

    /// The links that can move while the drive stands, where there are any.
    pub(crate) fn free(&self, poses: &[Pose<f64>]) -> Option<Vec<String>> {
        let qr = self.scaled(poses);
        let (cols, rank) = (3 * (self.of.links.len() - 1), qr.rank(1e-10));
        if rank == cols {
            return None;
        }
        let moved = |l: &usize| {
            qr.kernel(rank).iter().any(|way| {
                let most = way.iter().fold(0.0_f64, |m, v| m.max(v.abs()));
                way[3 * l..3 * l + 3].iter().any(|v| v.abs() > 1e-6 * most)
            })
        };
        let links = (0..self.of.links.len() - 1).filter(moved);
        Some(links.map(|l| self.of.links[l + 1].name.clone()).collect())
    }
}

pub(crate) fn crowded(names: Vec<String>, spare: usize) -> Fault {
    Fault::new(
        "some links are held more often than they can move",
        names,
        format!("{spare} of the things their joints hold do not agree with the others as they move"),
        "take a joint away, or let a pin slide in a slot; links side by side need sizes that agree",
    )
}

pub(crate) fn list(names: &[String]) -> String {
    match names {
        [] => "nothing is".into(),
        [one] => format!("{one} is"),
        [first @ .., last] => format!("{} and {last} are", first.join(", ")),
    }
}

fn reach(of: &Mechanism, rows: &Rows, by: &Sized<f64>) -> f64 {
    let mut most = 0.0_f64;
    for (l, link) in of.links.iter().enumerate() {
        let at = |point| by.points[rows.at(PointId { link: LinkId(l), point })];
        for p in 0..link.points.len() {
            for q in 0..p {
                let (a, b) = (at(p), at(q));
                most = most.max((a[0] - b[0]).hypot(a[1] - b[1]));
            }
        }
    }
    if most > 0.0 { most } else { 1.0 }
}

fn has_arms(way: &Way, by: &Sized<f64>) -> bool {
    let apart = |p: usize, q: usize| {
        let (a, b) = (by.points[p], by.points[q]);
        (a[0] - b[0]).hypot(a[1] - b[1]) > NO_ARM
    };
    let arm = |arm: &Arm| apart(arm.own, arm.common);
    match way {
        Way::Swing { pin, hold: Hold::OnLine { point, .. } | Hold::Apart { point, .. }, .. } => {
            apart(*pin, *point)
        }
        Way::Dyad { a, b } => arm(a) && arm(b),
        Way::Slide { a, .. } => arm(a),
        _ => true,
    }
}

/// Faults of the description itself: whatever points nowhere or is not a number.
fn said_badly(of: &Mechanism) -> Vec<Fault> {
    let mut see = Seen { of, faults: Vec::new() };
    for param in &of.params {
        if !param.value.is_finite() {
            see.fault(format!("{} is not a number", param.name), &param.name, "give its value");
        }
    }
    for (l, link) in of.links.iter().enumerate() {
        for (p, point) in link.points.iter().enumerate() {
            let here = format!("{} of {}", point.name, link.name);
            let earlier = |from: PointId| from.link.0 == l && from.point < p;
            let (froms, sizes) = match &point.at {
                At::Square { from, x, y } => (from.iter().copied().collect(), [x, y]),
                At::Polar { from, length, angle } => (from.iter().copied().collect(), [length, angle]),
                At::Reach { a, b, from_a, from_b, .. } => (vec![*a, *b], [from_a, from_b]),
            };
            sizes.into_iter().for_each(|size| see.size(size, &here));
            if !froms.into_iter().all(earlier) {
                see.fault(
                    format!("{here} is measured from a point that is not there yet"),
                    &here,
                    "measure it from a point of the same link that is given before it",
                );
            }
        }
    }
    for joint in &of.joints {
        see.joint(&joint.name, &joint.kind);
    }
    match &of.drive {
        None => see.fault("nothing drives the mechanism".into(), "drive", "say which link is the crank"),
        Some(Drive::Turn { link, on, zero, .. }) => {
            see.size(zero, "drive");
            if see.link(*link, "drive") && see.link(*on, "drive") && (*link == FRAME || link == on) {
                see.fault("the drive turns the frame".into(), "drive", "say which moving link it turns");
            }
        }
        Some(Drive::Slide { point, line, zero }) => {
            see.size(zero, "drive");
            see.line(*point, line, "drive");
        }
    }
    see.faults
}

struct Seen<'a> {
    of: &'a Mechanism,
    faults: Vec<Fault>,
}

impl Seen<'_> {
    fn fault(&mut self, what: String, place: &str, mend: &str) {
        let why = "without it the mechanism is not described";
        self.faults.push(Fault::new(what, vec![place.to_owned()], why, mend));
    }

    fn size(&mut self, size: &Size, here: &str) {
        let known = |&(p, by): &(crate::ParamId, f64)| p.0 < self.of.params.len() && by.is_finite();
        if !size.plus.is_finite() || !size.terms.iter().all(known) {
            self.fault(format!("a size of {here} is not a number"), here, "give its value");
        }
    }

    fn link(&mut self, link: LinkId, here: &str) -> bool {
        let there = link.0 < self.of.links.len();
        if !there {
            self.fault(
                format!("{here} names a link that is not there"),
                here,
                "name a link of the mechanism",
            );
        }
        there
    }

    fn point(&mut self, point: PointId, here: &str) -> bool {
        let there = self.of.links.get(point.link.0).is_some_and(|l| point.point < l.points.len());
        if !there {
            self.fault(format!("{here} names a point that is not there"), here, "name a point of a link");
        }
        there
    }

    fn apart(&mut self, a: LinkId, b: LinkId, here: &str) {
        if a == b {
            self.fault(
                format!("{here} joins a link to itself"),
                here,
                "join points or lines of two different links",
            );
        }
    }

    fn line(&mut self, point: PointId, line: &Line, here: &str) {
        let mut there = self.point(point, here) & self.point(line.origin(), here);
        match line {
            Line::At(_, angle) => self.size(angle, here),
            Line::Between(a, b) => {
                there &= self.point(*b, here);
                if there && a.link != b.link {
                    self.fault(
                        format!("the line of {here} runs between two links"),
                        here,
                        "give two points of one link",
                    );
                }
            }
        }
        if there {
            self.apart(point.link, line.origin().link, here);
        }
    }

    fn joint(&mut self, name: &str, kind: &Kind) {
        match kind {
            Kind::Pin(a, b) => {
                if self.point(*a, name) & self.point(*b, name) {
                    self.apart(a.link, b.link, name);
                }
            }
            Kind::Slot(point, line) => self.line(*point, line, name),
            Kind::Arc { point, centre, radius } => {
                self.size(radius, name);
                if self.point(*point, name) & self.point(*centre, name) {
                    self.apart(point.link, centre.link, name);
                }
            }
            Kind::Keep { link, on, angle } => {
                self.size(angle, name);
                if self.link(*link, name) & self.link(*on, name) {
                    self.apart(*link, *on, name);
                }
            }
            Kind::Gear { link, by, carrier, ratio, phase } => {
                self.size(ratio, name);
                self.size(phase, name);
                if self.link(*link, name) & self.link(*by, name) & self.link(*carrier, name) {
                    self.apart(*link, *by, name);
                    if ratio.value(&self.of.values()) == 0.0 {
                        self.fault(
                            format!("{name} has a ratio of nought"),
                            name,
                            "give the turns for one turn",
                        );
                    }
                }
            }
        }
    }
}
