//! Mechanisms of the kinds a small engine has, made up for the tests.
#![allow(dead_code, reason = "each test file uses some of them")]

pub mod generated;

use std::f64::consts::{FRAC_PI_2, PI};

use mechanism::{At, Drive, FRAME, Kind, Line, LinkId, Mechanism, PointId, Side};

/// Crank, coupler and rocker on a ground line along x.
pub struct FourBar {
    pub of: Mechanism,
    pub crank_pin: PointId,
    pub rocker_pin: PointId,
    pub rod_end: PointId,
    pub fixed: [PointId; 2],
    pub links: [LinkId; 3],
}

pub fn four_bar(crank: f64, coupler: f64, rocker: f64, ground: f64) -> FourBar {
    let mut m = Mechanism::new();
    let (a, b) = (m.param("crank", crank), m.param("coupler", coupler));
    let (c, d) = (m.param("rocker", rocker), m.param("ground", ground));
    let o = m.point(FRAME, "axle", At::xy(0.0, 0.0));
    let p = m.point(FRAME, "rocker shaft", At::xy(d, 0.0));
    let links = [m.link("crank"), m.link("coupler"), m.link("rocker")];
    let crank_eye = m.point(links[0], "eye", At::xy(0.0, 0.0));
    let crank_pin = m.point(links[0], "pin", At::xy(a, 0.0));
    let rod_start = m.point(links[1], "big end", At::xy(0.0, 0.0));
    let rod_end = m.point(links[1], "small end", At::xy(b, 0.0));
    let rocker_eye = m.point(links[2], "eye", At::xy(0.0, 0.0));
    let rocker_pin = m.point(links[2], "pin", At::xy(c, 0.0));
    m.pin("main bearing", o, crank_eye);
    m.pin("crankpin", crank_pin, rod_start);
    m.pin("rocker pin", rod_end, rocker_pin);
    m.pin("rocker bearing", p, rocker_eye);
    m.crank(links[0]);
    FourBar { of: m, crank_pin, rocker_pin, rod_end, fixed: [o, p], links }
}

/// Crank and rod, the small end on a line along x at a height.
pub struct SliderCrank {
    pub of: Mechanism,
    pub axle: PointId,
    pub crank_pin: PointId,
    pub small_end: PointId,
    pub big_end: PointId,
    pub links: [LinkId; 2],
}

pub fn slider_crank(crank: f64, rod: f64, offset: f64) -> SliderCrank {
    let mut m = Mechanism::new();
    let (r, l, h) = (m.param("crank", crank), m.param("rod", rod), m.param("offset", offset));
    let axle = m.point(FRAME, "axle", At::xy(0.0, 0.0));
    let bore = m.point(FRAME, "bore", At::xy(0.0, h));
    let links = [m.link("crank"), m.link("rod")];
    let eye = m.point(links[0], "eye", At::xy(0.0, 0.0));
    let crank_pin = m.point(links[0], "pin", At::xy(r, 0.0));
    let big_end = m.point(links[1], "big end", At::xy(0.0, 0.0));
    let small_end = m.point(links[1], "small end", At::xy(l, 0.0));
    m.pin("main bearing", axle, eye);
    m.pin("crankpin", crank_pin, big_end);
    m.slot("crosshead", small_end, Line::At(bore, 0.0.into()));
    m.crank(links[0]);
    SliderCrank { of: m, axle, crank_pin, small_end, big_end, links }
}

/// An engine: a piston and a valve on lines along x, and what its events are told by.
pub struct Engine {
    pub of: Mechanism,
    pub piston: PointId,
    pub valve: PointId,
    pub axle: PointId,
}

/// One cylinder, one eccentric with its angle of advance, a slide valve above the piston.
pub fn slide_valve(crank: f64, rod: f64, throw: f64, advance_deg: f64, valve_rod: f64) -> Engine {
    let mut made = slider_crank(crank, rod, 0.0);
    let m = &mut made.of;
    let e = m.param("eccentric throw", throw);
    let advance = m.param("angle of advance", advance_deg.to_radians());
    let l = m.param("eccentric rod", valve_rod);
    let sheave = m.point(made.links[0], "sheave", At::polar(e, mechanism::Size::from(advance) + FRAC_PI_2));
    let strap = m.link("eccentric rod");
    let big = m.point(strap, "strap", At::xy(0.0, 0.0));
    let valve = m.point(strap, "valve pin", At::xy(l, 0.0));
    m.pin("eccentric", sheave, big);
    m.slot("valve spindle", valve, Line::At(made.axle, 0.0.into()));
    Engine { piston: made.small_end, axle: made.axle, valve, of: made.of }
}

/// Two eccentrics, a curved link hung from a lifting arm, a die block on the valve spindle.
/// `lift` is the angle of the lifting arm.
pub struct LinkMotion {
    pub engine: Engine,
    pub lift: mechanism::ParamId,
    pub die_joint: mechanism::JointId,
    pub rough: Vec<(PointId, [f64; 2])>,
}

pub fn link_motion(open: bool, lift_rad: f64) -> LinkMotion {
    let mut made = slider_crank(20.0, 80.0, 0.0);
    let crank = made.links[0];
    let m = &mut made.of;
    let e = m.param("eccentric throw", 6.0);
    let advance = m.param("angle of advance", 18.0_f64.to_radians());
    let l = m.param("eccentric rods", 90.0);
    let half = m.param("half the link", 12.0);
    let radius = m.param("link radius", 90.0);
    let hang = m.param("hanger", 40.0);
    let arm = m.param("lifting arm", 30.0);
    let lift = m.param("lift", lift_rad);
    let ahead = mechanism::Size::from(advance) + FRAC_PI_2;
    let fore = m.point(crank, "fore sheave", At::polar(e, ahead.clone()));
    let back = m.point(crank, "back sheave", At::polar(e, -ahead));
    let link = m.link("link");
    let top = m.point(link, "top pin", At::xy(0.0, half));
    let foot = m.point(link, "foot pin", At::xy(0.0, -mechanism::Size::from(half)));
    let saddle = m.point(link, "saddle", At::xy(0.0, 0.0));
    let centre = m.point(link, "slot centre", At::xy(-mechanism::Size::from(radius), 0.0));
    let rods = [m.link("fore rod"), m.link("back rod")];
    // Open or crossed as seen with both sheaves towards the link, the crank away from it.
    let ends = if open { [foot, top] } else { [top, foot] };
    let mut rough = Vec::new();
    for ((rod, sheave), end) in rods.into_iter().zip([fore, back]).zip(ends) {
        let big = m.point(rod, "strap", At::xy(0.0, 0.0));
        let small = m.point(rod, "end", At::xy(l, 0.0));
        m.pin("eccentric", sheave, big);
        m.pin("rod end", small, end);
        rough.push((small, [88.0, if end == top { 12.0 } else { -12.0 }]));
        rough.push((big, [0.0, if sheave == fore { 6.0 } else { -6.0 }]));
    }
    let shaft = m.point(FRAME, "weigh shaft", At::xy(58.0, 40.0));
    let lifting = m.link("lifting arm");
    let eye = m.point(lifting, "eye", At::xy(0.0, 0.0));
    let tip = m.point(lifting, "tip", At::xy(arm, 0.0));
    m.pin("weigh shaft", shaft, eye);
    m.joint("reach rod", Kind::Keep { link: lifting, on: FRAME, angle: lift.into() });
    let hanger = m.link("hanger");
    let (upper, lower) =
        (m.point(hanger, "upper", At::xy(0.0, 0.0)), m.point(hanger, "lower", At::xy(hang, 0.0)));
    m.pin("hanger top", tip, upper);
    m.pin("saddle pin", lower, saddle);
    let spindle = m.link("valve spindle");
    let die = m.point(spindle, "die", At::xy(0.0, 0.0));
    m.slot("spindle guide", die, Line::At(made.axle, 0.0.into()));
    m.joint("spindle guide end", Kind::Keep { link: spindle, on: FRAME, angle: 0.0.into() });
    let die_joint = m.joint("die block", Kind::Arc { point: die, centre, radius: radius.into() });
    rough.push((saddle, [88.0, 0.0]));
    rough.push((die, [88.0, 0.0]));
    rough.push((top, [88.0, 12.0]));
    rough.push((foot, [88.0, -12.0]));
    rough.push((made.small_end, [100.0, 0.0]));
    rough.push((centre, [-2.0, 0.0]));
    let engine = Engine { piston: made.small_end, valve: die, axle: made.axle, of: made.of };
    LinkMotion { engine, lift, die_joint, rough }
}

/// A return arm on the crank, a swinging curved link, a radius rod lifted by an arm, and a
/// lever that adds the crosshead's motion.
pub fn radial_gear(lift_rad: f64) -> LinkMotion {
    let mut m = Mechanism::new();
    let r = m.param("crank", 20.0);
    let e = m.param("return pin circle", 8.0);
    let lead_angle = m.param("return angle", FRAC_PI_2);
    let rod = m.param("rod", 110.0);
    let ecc = m.param("eccentric rod", 78.0);
    let foot = m.param("link foot arm", 24.0);
    let radius = m.param("radius rod", 70.0);
    let up = m.param("lever top to valve pin", 4.0);
    let down = m.param("valve pin to union pin", 40.0);
    let union = m.param("union rod", 38.0);
    let drop = m.param("drop arm", -12.0);
    let arm = m.param("lifting arm", 20.0);
    let hang = m.param("hanger", 22.0);
    let lift = m.param("lift", lift_rad);
    let axle = m.point(FRAME, "axle", At::xy(0.0, 0.0));
    let crank = m.link("crank");
    let eye = m.point(crank, "eye", At::xy(0.0, 0.0));
    let pin = m.point(crank, "pin", At::xy(r, 0.0));
    let back = m.point(crank, "return pin", At::polar(e, lead_angle));
    m.pin("main bearing", axle, eye);
    m.crank(crank);
    let main = m.link("rod");
    let (big, small) =
        (m.point(main, "big end", At::xy(0.0, 0.0)), m.point(main, "small end", At::xy(rod, 0.0)));
    m.pin("crankpin", pin, big);
    let head = m.link("crosshead");
    let gudgeon = m.point(head, "gudgeon", At::xy(0.0, 0.0));
    let dropped = m.point(head, "drop arm pin", At::xy(0.0, mechanism::Size::from(drop)));
    m.pin("gudgeon", small, gudgeon);
    m.slot("slide bars", gudgeon, Line::At(axle, 0.0.into()));
    m.joint("slide bars", Kind::Keep { link: head, on: FRAME, angle: 0.0.into() });
    let trunnion = m.point(FRAME, "trunnion", At::xy(78.0, 32.0));
    let link = m.link("link");
    let middle = m.point(link, "trunnion", At::xy(0.0, 0.0));
    let toe = m.point(link, "foot", At::xy(0.0, -mechanism::Size::from(foot)));
    let centre = m.point(link, "slot centre", At::xy(radius, 0.0));
    m.pin("trunnion", trunnion, middle);
    let strap = m.link("eccentric rod");
    let (e0, e1) = (m.point(strap, "back", At::xy(0.0, 0.0)), m.point(strap, "front", At::xy(ecc, 0.0)));
    m.pin("return pin", back, e0);
    m.pin("foot pin", e1, toe);
    let rr = m.link("radius rod");
    let die = m.point(rr, "die", At::xy(0.0, 0.0));
    let front = m.point(rr, "front", At::xy(radius, 0.0));
    let tail = m.point(rr, "lift pin", At::xy(mechanism::Size::from(radius) * 0.2, 0.0));
    let die_joint = m.joint("die block", Kind::Arc { point: die, centre, radius: radius.into() });
    let lever = m.link("combination lever");
    let top = m.point(lever, "top", At::xy(0.0, up));
    let valve = m.point(lever, "valve pin", At::xy(0.0, 0.0));
    let low = m.point(lever, "union pin", At::xy(0.0, -mechanism::Size::from(down)));
    m.pin("radius rod pin", front, top);
    let height = m.point(FRAME, "valve line", At::xy(0.0, 28.0));
    m.slot("valve spindle", valve, Line::At(height, 0.0.into()));
    let ur = m.link("union rod");
    let (u0, u1) = (m.point(ur, "back", At::xy(0.0, 0.0)), m.point(ur, "front", At::xy(union, 0.0)));
    m.pin("drop arm pin", dropped, u0);
    m.pin("union pin", u1, low);
    let shaft = m.point(FRAME, "weigh shaft", At::xy(72.0, 54.0));
    let lifting = m.link("lifting arm");
    let (l0, l1) = (m.point(lifting, "eye", At::xy(0.0, 0.0)), m.point(lifting, "tip", At::xy(arm, 0.0)));
    m.pin("weigh shaft", shaft, l0);
    m.joint("reach rod", Kind::Keep { link: lifting, on: FRAME, angle: lift.into() });
    let hanger = m.link("hanger");
    let (h0, h1) = (m.point(hanger, "upper", At::xy(0.0, 0.0)), m.point(hanger, "lower", At::xy(hang, 0.0)));
    m.pin("hanger top", l1, h0);
    m.pin("lift pin", h1, tail);
    let rough = vec![
        (small, [130.0, 0.0]),
        (e1, [78.0, 8.0]),
        (toe, [78.0, 8.0]),
        (middle, [78.0, 32.0]),
        (die, [78.0, 32.0]),
        (front, [148.0, 32.0]),
        (tail, [92.0, 32.0]),
        (top, [148.0, 32.0]),
        (valve, [148.0, 28.0]),
        (low, [150.0, -12.0]),
        (u0, [130.0, -12.0]),
        (u1, [150.0, -12.0]),
        (h0, [92.0, 54.0]),
        (h1, [92.0, 32.0]),
    ];
    LinkMotion { engine: Engine { of: m, piston: small, valve, axle }, lift, die_joint, rough }
}

/// A hot-air engine's displacer: a rod from the crank turns a bell crank, whose other arm
/// moves the displacer through a short link.
pub fn displacer() -> Engine {
    let mut made = slider_crank(12.0, 50.0, 0.0);
    let m = &mut made.of;
    let second = m.point(made.links[0], "displacer pin", At::polar(12.0, FRAC_PI_2));
    let arm = [m.param("bell arm in", 22.0), m.param("bell arm out", 26.0)];
    let reach = m.param("displacer rod", 44.0);
    let drag = m.param("drag link", 32.0);
    let spread = m.param("bell angle", 1.7);
    let shaft = m.point(FRAME, "bell shaft", At::xy(38.0, -24.0));
    let bell = m.link("bell crank");
    let eye = m.point(bell, "eye", At::xy(0.0, 0.0));
    let inner = m.point(bell, "in", At::xy(arm[0], 0.0));
    let outer = m.point(bell, "out", At::polar(arm[1], -mechanism::Size::from(spread)));
    m.pin("bell shaft", shaft, eye);
    let rod = m.link("displacer rod");
    let (r0, r1) = (m.point(rod, "back", At::xy(0.0, 0.0)), m.point(rod, "front", At::xy(reach, 0.0)));
    m.pin("displacer pin", second, r0);
    m.pin("bell in", r1, inner);
    let dragged = m.link("drag link");
    let (d0, d1) =
        (m.point(dragged, "back", At::xy(0.0, 0.0)), m.point(dragged, "displacer", At::xy(drag, 0.0)));
    m.pin("bell out", outer, d0);
    let line = m.point(FRAME, "displacer line", At::xy(0.0, -20.0));
    m.slot("displacer", d1, Line::At(line, 0.0.into()));
    Engine { piston: made.small_end, valve: d1, axle: made.axle, of: made.of }
}

/// An eccentric rocks a lever whose pin lifts a valve through a slot across its stem.
pub fn drop_valve() -> Engine {
    let mut m = Mechanism::new();
    let e = m.param("eccentric throw", 7.0);
    let rod = m.param("rod", 60.0);
    let arm = [m.param("lever in", 25.0), m.param("lever out", 30.0)];
    let axle = m.point(FRAME, "axle", At::xy(0.0, 0.0));
    let shaft = m.point(FRAME, "lever shaft", At::xy(30.0, 55.0));
    let stem = m.point(FRAME, "stem", At::xy(59.0, 0.0));
    let shaft_link = m.link("shaft");
    let eye = m.point(shaft_link, "eye", At::xy(0.0, 0.0));
    let sheave = m.point(shaft_link, "sheave", At::xy(e, 0.0));
    m.pin("bearing", axle, eye);
    m.drive = Some(Drive::Turn { link: shaft_link, on: FRAME, zero: (0.25 * PI).into(), way: Side::Right });
    let strap = m.link("rod");
    let (r0, r1) = (m.point(strap, "strap", At::xy(0.0, 0.0)), m.point(strap, "end", At::xy(rod, 0.0)));
    m.pin("eccentric", sheave, r0);
    let lever = m.link("lever");
    let mid = m.point(lever, "eye", At::xy(0.0, 0.0));
    let inner = m.point(lever, "in", At::xy(-mechanism::Size::from(arm[0]), 0.0));
    let outer = m.point(lever, "out", At::xy(arm[1], 0.0));
    m.pin("lever shaft", shaft, mid);
    m.pin("rod end", r1, inner);
    let valve = m.link("valve");
    let seat = m.point(valve, "yoke", At::xy(0.0, 0.0));
    m.slot("stem guide", seat, Line::At(stem, FRAC_PI_2.into()));
    m.joint("stem guide length", Kind::Keep { link: valve, on: FRAME, angle: 0.0.into() });
    m.slot("yoke", outer, Line::At(seat, 0.0.into()));
    Engine { of: m, piston: r1, valve: seat, axle }
}
