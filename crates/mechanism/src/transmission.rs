//! How well links drive one another: the angle between a rod and what it pushes.
//!
//! At 90° a rod pushes square; near 0° it only pulls on its pins. Warning below 40° (and,
//! what is the same, above 140°) is common practice.

use std::f64::consts::{FRAC_PI_2, PI};

use crate::measure::Measure;
use crate::plan::{Hold, Way};
use crate::reading::{Moment, Reading};
use crate::rows::Row;
use crate::turn::Turn;

/// Below this a rod drives badly: 40°, common practice.
pub const POOR: f64 = 40.0 * std::f64::consts::PI / 180.0;

/// The least transmission angle of a pair of links, or of a link and its guide.
#[derive(Clone, Debug, PartialEq)]
pub struct Transmission {
    /// The links that meet.
    pub links: Vec<String>,
    /// What kind of meeting it is.
    pub between: Meeting,
    /// The least angle from being in line, radians up to a right angle.
    pub least: f64,
    /// The drive's angle there.
    pub at: f64,
    /// Whether it is poorer than common practice lets pass.
    pub poor: bool,
    /// What reads the least angle, so that it can be asked how it depends on sizes.
    pub by: Reading,
}

/// What a transmission angle is taken between.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Meeting {
    /// Two links at the pin they have in common.
    Links,
    /// A link and the square to the line it pushes along.
    Guide,
}

impl Turn {
    /// The least transmission angle of every pair of links that is solved as one. Links
    /// that hang together in more than pairs have none of their own: ask for the
    /// [`crate::Measure::Corner`] at their pins.
    pub fn transmission(&self) -> Vec<Transmission> {
        let mut all = Vec::new();
        for (k, block) in self.model.blocks.iter().enumerate() {
            let Some((between, angle)) = self.model.meeting(&block.way) else { continue };
            let room = |i: usize| self.states[i].room[k];
            let least = (0..self.states.len()).min_by(|&a, &b| room(a).total_cmp(&room(b)));
            let Some(i) = least else { continue };
            let (mut at, mut least) = (self.states[i].angle, room(i));
            let before = if i > 0 {
                self.states[i - 1].angle
            } else if self.closed {
                at - (self.states[1].angle - at)
            } else {
                at
            };
            let after = self.states.get(i + 1).map_or(at, |s| s.angle);
            // Twice thirty golden sections bring half a degree down to rounding.
            let (mut lo, mut hi) = (before, after);
            for _ in 0..60 {
                let (p, q) = (lo + 0.382 * (hi - lo), lo + 0.618 * (hi - lo));
                let of = |angle: f64| self.at(angle).map_or(f64::INFINITY, |s| s.room[k]);
                let (rp, rq) = (of(p), of(q));
                if rp.min(rq) < least {
                    (at, least) = if rp < rq { (p, rp) } else { (q, rq) };
                }
                if rp < rq { hi = q } else { lo = p }
            }
            let least = least.clamp(0.0, 1.0).sqrt().asin();
            let at = self.within(at);
            // An angle at a pin, or from the line, is told from in line or from square.
            let Some(now) = self.at(at).map(|state| self.model.measure(&state, &angle)) else { continue };
            let there = Reading::Value(angle.clone(), Moment::Turns { what: angle, near: at });
            let (sign, plus) = match (between, now > FRAC_PI_2) {
                (Meeting::Links, false) => (1.0, 0.0),
                (Meeting::Links, true) => (-1.0, PI),
                (Meeting::Guide, false) => (-1.0, FRAC_PI_2),
                (Meeting::Guide, true) => (1.0, -FRAC_PI_2),
            };
            let by = Reading::Sum(vec![(there, sign), (Reading::Size(plus.into()), 1.0)]);
            all.push(Transmission { links: self.model.names(k), between, least, at, poor: least < POOR, by });
        }
        all
    }
}

impl crate::Model {
    /// The angle that a pair's transmission is told from: between its links, or from a line.
    fn meeting(&self, way: &Way) -> Option<(Meeting, Measure)> {
        let point = |at: usize| self.rows.point(at);
        let line = |d: usize| self.rows.dirs[d].clone();
        Some(match way {
            Way::Spin { .. } | Way::Newton | Way::Least => return None,
            Way::Dyad { a, b } => {
                (Meeting::Links, Measure::Corner(point(a.own), point(a.common), point(b.own)))
            }
            Way::Swing { pin, hold: Hold::Apart { point: p, from, .. }, .. } => {
                (Meeting::Links, Measure::Corner(point(*pin), point(*p), point(from.at)))
            }
            Way::Swing { pin, hold: Hold::OnLine { point: p, d, .. }, .. } => {
                (Meeting::Guide, Measure::Slant(point(*pin), point(*p), line(*d)))
            }
            Way::Swing { pin, hold: Hold::Through { d, point: p, .. }, .. } => {
                (Meeting::Guide, Measure::Slant(point(*pin), point(p.at), line(*d)))
            }
            Way::Slide { a, slot, .. } => {
                let Row::Slot { d, .. } = self.rows.rows[*slot] else { return None };
                (Meeting::Guide, Measure::Slant(point(a.own), point(a.common), line(d)))
            }
        })
    }
}
