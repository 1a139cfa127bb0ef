//! Mechanisms made up by number: a crank and whatever is hung on it at random.

use std::f64::consts::TAU;

use mechanism::{
    Assembly, At, FRAME, Kind, Line, LinkId, Mechanism, Model, PointId, Size, Span, State, Turn,
};

/// A small generator of numbers, the same in every run (Steele, Lea, Flood 2014, SplitMix64).
pub struct Draw(pub u64);

impl Draw {
    pub fn unit(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        ((z ^ (z >> 31)) >> 11) as f64 / (1_u64 << 53) as f64
    }

    pub fn between(&mut self, from: f64, to: f64) -> f64 {
        from + (to - from) * self.unit()
    }

    pub fn below(&mut self, n: usize) -> usize {
        (self.unit() * n as f64) as usize
    }
}

/// A mechanism that goes round, and the whole turn of it.
pub struct Made {
    pub of: Mechanism,
    pub start: State,
    pub turn: Turn,
}

/// What is being put together: links with where they stand at the start.
struct Bench {
    m: Mechanism,
    rough: Vec<(PointId, [f64; 2])>,
    /// Points that move, to hang things on, with their places over the turn so far.
    ends: Vec<PointId>,
}

const START: f64 = 0.37;
const STEPS: usize = 40;

impl Bench {
    fn new(draw: &mut Draw) -> Self {
        let mut m = Mechanism::new();
        let r = m.param("crank", draw.between(8.0, 20.0));
        let axle = m.point(FRAME, "axle", At::xy(0.0, 0.0));
        let crank = m.link("crank");
        let eye = m.point(crank, "eye", At::xy(0.0, 0.0));
        let pin = m.point(crank, "pin", At::xy(r, 0.0));
        m.pin("bearing", axle, eye);
        m.crank(crank);
        Self { m, rough: Vec::new(), ends: vec![pin] }
    }

    fn turned(&self) -> Option<(State, Turn)> {
        let model = Model::new(&self.m).ok()?;
        let state = model.assemble(START, &Assembly::Rough(self.rough.clone())).ok()?;
        let turn = model.turn(&state, Span { long: TAU, steps: STEPS });
        (turn.closed && turn.events.is_empty()).then_some((state, turn))
    }

    fn places(&self, turn: &Turn, point: PointId) -> Vec<[f64; 2]> {
        turn.states.iter().map(|s| turn.model.place(s, point)).collect()
    }

    fn size(&mut self, name: &str, value: f64) -> Size {
        let name = format!("{name} {}", self.m.params.len());
        self.m.param(name, value).into()
    }

    fn rod(&mut self, name: &str, length: f64) -> (LinkId, PointId, PointId) {
        let l = self.size(name, length);
        let name = format!("{name} {}", self.m.links.len());
        let link = self.m.link(name);
        let a = self.m.point(link, "near", At::xy(0.0, 0.0));
        let b = self.m.point(link, "far", At::xy(l, 0.0));
        (link, a, b)
    }

    fn fixed(&mut self, at: [f64; 2]) -> PointId {
        let (x, y) = (self.size("x", at[0]), self.size("y", at[1]));
        let name = format!("fixed {}", self.m.links[0].points.len());
        self.m.point(FRAME, name, At::xy(x, y))
    }

    /// A rod and a rocker from a moving point to a new pivot, long enough for all its places.
    fn rocker(&mut self, draw: &mut Draw, turn: &Turn) {
        let end = self.ends[draw.below(self.ends.len())];
        let places = self.places(turn, end);
        let n = places.len() as f64;
        let mid = places.iter().fold([0.0; 2], |s, p| [s[0] + p[0] / n, s[1] + p[1] / n]);
        let round = places.iter().map(|p| (p[0] - mid[0]).hypot(p[1] - mid[1])).fold(0.0, f64::max);
        let (far, way) = (draw.between(1.6, 3.0) * round.max(6.0), draw.between(0.0, TAU));
        let pivot = [mid[0] + far * way.cos(), mid[1] + far * way.sin()];
        let gap = |p: &[f64; 2]| (p[0] - pivot[0]).hypot(p[1] - pivot[1]);
        let (least, most) = (
            places.iter().map(gap).fold(f64::INFINITY, f64::min),
            places.iter().map(gap).fold(0.0, f64::max),
        );
        let rocker = draw.between(0.6, 1.0) * most;
        let rod =
            (most * 1.12 - rocker).max(rocker - least * 0.85).max(0.3 * most) * draw.between(1.02, 1.15);
        let fixed = self.fixed(pivot);
        let (_, a, b) = self.rod("rod", rod);
        let (link, c, d) = self.rod("rocker", rocker);
        self.m.pin("rod end", end, a);
        self.m.pin("rocker pin", b, d);
        self.m.pin("rocker bearing", fixed, c);
        let p = places[0];
        let (x, y) = (pivot[0] - p[0], pivot[1] - p[1]);
        let gap = x.hypot(y);
        let along = (rod * rod - rocker * rocker + gap * gap) / (2.0 * gap);
        let off = (rod * rod - along * along).max(0.0).sqrt() * if draw.unit() < 0.5 { 1.0 } else { -1.0 };
        self.rough.push((b, [p[0] + (along * x - off * y) / gap, p[1] + (along * y + off * x) / gap]));
        let (u, v) = (draw.between(0.2, 1.2) * rocker, draw.between(-0.4, 0.4) * rocker);
        let (u, v) = (self.size("u", u), self.size("v", v));
        let free = self.m.point(link, "free", At::xy(u, v));
        self.ends.push(free);
    }

    /// A rod to a point on a line, of a slider that may not turn or of the rod itself.
    fn slider(&mut self, draw: &mut Draw, turn: &Turn) {
        let end = self.ends[draw.below(self.ends.len())];
        let places = self.places(turn, end);
        let way = draw.between(0.0, TAU);
        let n = places.len() as f64;
        let mid = places.iter().fold([0.0; 2], |s, p| [s[0] + p[0] / n, s[1] + p[1] / n]);
        let round = places.iter().map(|p| (p[0] - mid[0]).hypot(p[1] - mid[1])).fold(0.0, f64::max);
        let off = draw.between(-0.3, 0.3) * round;
        let through = [mid[0] - off * way.sin(), mid[1] + off * way.cos()];
        let fixed = self.fixed(through);
        let long = draw.between(1.8, 3.0) * round.max(5.0);
        let (_, a, b) = self.rod("rod", long);
        self.m.pin("rod end", end, a);
        let angle = self.size("line", way);
        if draw.unit() < 0.5 {
            self.m.slot("guide", b, Line::At(fixed, angle));
        } else {
            let name = format!("slider {}", self.m.links.len());
            let link = self.m.link(name);
            let pin = self.m.point(link, "pin", At::xy(0.0, 0.0));
            let (u, v) = (self.size("u", draw.between(2.0, 8.0)), self.size("v", draw.between(-4.0, 4.0)));
            let free = self.m.point(link, "free", At::xy(u, v));
            self.m.pin("gudgeon", b, pin);
            self.m.slot("guide", pin, Line::At(fixed, angle.clone()));
            self.m.joint("guide", Kind::Keep { link, on: FRAME, angle });
            self.ends.push(free);
        }
        let p = [places[0][0] - through[0], places[0][1] - through[1]];
        let across = p[1] * way.cos() - p[0] * way.sin();
        let along = p[0] * way.cos() + p[1] * way.sin() + (long * long - across * across).max(0.0).sqrt();
        self.rough.push((b, [through[0] + along * way.cos(), through[1] + along * way.sin()]));
    }

    /// A link hung on three rods, from a moving point and two fixed ones: no pair of links
    /// settles itself, so all four are solved at once.
    fn triad(&mut self, draw: &mut Draw, turn: &Turn) {
        let end = self.ends[draw.below(self.ends.len())];
        let places = self.places(turn, end);
        let round =
            places.iter().map(|p| (p[0] - places[0][0]).hypot(p[1] - places[0][1])).fold(0.0, f64::max);
        let big = 2.5 * round.max(8.0);
        let p = places[0];
        let way = draw.between(0.0, TAU);
        let at = |far: f64, turn: f64| [p[0] + far * (way + turn).cos(), p[1] + far * (way + turn).sin()];
        let corners = [at(big, 0.0), at(1.7 * big, 0.35), at(1.6 * big, -0.4)];
        let name = format!("plate {}", self.m.links.len());
        let plate = self.m.link(name);
        let mut own = Vec::new();
        for c in corners {
            let (u, v) = (self.size("u", c[0] - corners[0][0]), self.size("v", c[1] - corners[0][1]));
            let name = format!("hole {}", own.len());
            let hole = self.m.point(plate, name, At::xy(u, v));
            self.rough.push((hole, c));
            own.push(hole);
        }
        let (_, a, b) = self.rod("rod", big);
        self.m.pin("rod end", end, a);
        self.m.pin("plate pin", b, own[0]);
        self.rough.extend([(a, p), (b, corners[0])]);
        for (k, turn) in [(1, 1.3), (2, -1.2)] {
            let far = big * draw.between(0.9, 1.4);
            let way = way + turn;
            let post = [corners[k][0] + far * way.cos(), corners[k][1] + far * way.sin()];
            let fixed = self.fixed(post);
            let (_, a, b) = self.rod("swing", far);
            self.m.pin("post", fixed, a);
            self.m.pin("plate pin", b, own[k]);
            self.rough.extend([(a, post), (b, corners[k])]);
        }
    }

    /// A wheel on a fixed axle geared to the crank, and a die block in a curved slot of a rocker
    /// moved by a pin of it.
    fn geared(&mut self, draw: &mut Draw) {
        let at = [draw.between(25.0, 40.0), draw.between(-30.0, 30.0)];
        let fixed = self.fixed(at);
        let crank = LinkId(1);
        let ratio = self.size("ratio", [-1.0, -2.0, 2.0][draw.below(3)]);
        let phase = self.size("phase", draw.between(-3.0, 3.0));
        let name = format!("wheel {}", self.m.links.len());
        let wheel = self.m.link(name);
        let eye = self.m.point(wheel, "eye", At::xy(0.0, 0.0));
        let r = self.size("throw", draw.between(3.0, 7.0));
        let pin = self.m.point(wheel, "pin", At::xy(r, 0.0));
        self.m.pin("wheel bearing", fixed, eye);
        self.m.joint("gear", Kind::Gear { link: wheel, by: crank, carrier: FRAME, ratio, phase });
        self.ends.push(pin);
    }

    /// A lever about a fixed pivot whose straight slot is driven by a moving pin.
    fn lever(&mut self, draw: &mut Draw, turn: &Turn) {
        let end = self.ends[draw.below(self.ends.len())];
        let places = self.places(turn, end);
        let n = places.len() as f64;
        let mid = places.iter().fold([0.0; 2], |s, p| [s[0] + p[0] / n, s[1] + p[1] / n]);
        let round = places.iter().map(|p| (p[0] - mid[0]).hypot(p[1] - mid[1])).fold(0.0, f64::max);
        let (far, way) = (draw.between(1.7, 3.0) * round.max(6.0), draw.between(0.0, TAU));
        let pivot = [mid[0] + far * way.cos(), mid[1] + far * way.sin()];
        let fixed = self.fixed(pivot);
        let h = self.size("set off", draw.between(-0.3, 0.3) * round);
        let name = format!("lever {}", self.m.links.len());
        let link = self.m.link(name);
        let eye = self.m.point(link, "eye", At::xy(0.0, 0.0));
        let slot = self.m.point(link, "slot", At::xy(0.0, h));
        let (u, v) = (self.size("u", draw.between(0.4, 1.0) * far), self.size("v", draw.between(-5.0, 5.0)));
        let free = self.m.point(link, "free", At::xy(u, v));
        self.m.pin("lever bearing", fixed, eye);
        self.m.slot("lever slot", end, Line::At(slot, 0.0.into()));
        self.rough.push((slot, [pivot[0] + 0.1, pivot[1]]));
        // One of both ways round: the free end towards the pin.
        let p = places[0];
        let gap = (p[0] - pivot[0]).hypot(p[1] - pivot[1]);
        let reach = 0.7 * far / gap;
        self.rough.push((free, [pivot[0] + reach * (p[0] - pivot[0]), pivot[1] + reach * (p[1] - pivot[1])]));
        self.ends.push(free);
    }
}

/// The mechanism of a number: up to so many links, all of whose additions go round.
pub fn generated(number: u64, links: usize) -> Made {
    let mut draw = Draw(number.wrapping_mul(0x2545_F491_4F6C_DD1D).wrapping_add(17));
    let mut bench = Bench::new(&mut draw);
    let (mut start, mut turn) = bench.turned().expect("a crank goes round");
    let mut geared = false;
    for _ in 0..400 {
        if bench.m.links.len() > links {
            break;
        }
        let kept = (bench.m.clone(), bench.rough.clone(), bench.ends.clone());
        match draw.below(10) {
            0..=3 => bench.rocker(&mut draw, &turn),
            4..=5 => bench.slider(&mut draw, &turn),
            6..=7 => bench.triad(&mut draw, &turn),
            8 => bench.lever(&mut draw, &turn),
            // Two wheels against each other may never come round together.
            _ if !geared => bench.geared(&mut draw),
            _ => continue,
        }
        let well = bench.turned().filter(|(_, turn)| {
            bench.m.links.len() <= links + 1 && turn.transmission().iter().all(|t| t.least > 0.2)
        });
        match well {
            Some((s, t)) => {
                geared |= bench.m.joints.iter().any(|j| matches!(j.kind, Kind::Gear { .. }));
                (start, turn) = (s, t);
            }
            None => (bench.m, bench.rough, bench.ends) = kept,
        }
    }
    Made { of: bench.m, start, turn }
}
