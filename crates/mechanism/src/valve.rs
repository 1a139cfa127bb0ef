//! What a slide or piston valve does: admission, cut-off, release, compression, lead.
//!
//! Both ends of the cylinder are told apart as in the trade: the head end, and the crank end
//! where the rod comes out. A valve with outside admission that stands to the crank side of
//! its mid position opens the head end's port; one with inside admission the other way.
//! Source of the definitions: any steam text since the 1850s (Bourne, A Catechism of the
//! Steam Engine); events are found on the solved mechanism, not by a diagram.

use crate::describe::Size;
use crate::fault::Fault;
use crate::measure::Measure;
use crate::reading::{Moment, Reading};
use crate::turn::Turn;

/// Which edge of the valve lets steam in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Admission {
    /// Past the outer edges: a common slide valve.
    Outside,
    /// Past the inner edges: most piston valves.
    Inside,
}

/// One end of a cylinder.
#[derive(Clone, Debug, PartialEq)]
pub struct PortEnd {
    /// Steam lap: what the valve overlaps the port's steam edge in mid position, millimetres.
    pub lap: Size,
    /// Exhaust lap likewise; below nought for exhaust clearance.
    pub exhaust_lap: Size,
    /// The port's width, millimetres.
    pub port: Size,
}

/// A piston and the valve that serves it.
#[derive(Clone, Debug, PartialEq)]
pub struct Valve {
    /// The piston's place, growing from the crank end towards the head end, millimetres.
    pub piston: Measure,
    /// The valve's place, growing from the crank end towards the head end, millimetres.
    pub place: Measure,
    /// The valve's place in mid position, where both laps are whole.
    pub mid: Size,
    /// Which edge admits.
    pub admission: Admission,
    /// The head end and the crank end.
    pub ends: [PortEnd; 2],
}

/// One event, with what it is read from, so that it can be asked how it depends on sizes.
#[derive(Clone, Debug, PartialEq)]
pub struct Timed {
    /// The drive from this end's dead centre on to the event, radians from 0 to a turn.
    pub angle: f64,
    /// The piston's way from this end's dead centre, as a share of the stroke.
    pub share: f64,
    /// Whether the piston comes back towards this end.
    pub returning: bool,
    /// When it is.
    pub moment: Moment,
    /// What reads the angle.
    pub angle_by: Reading,
    /// What reads the share.
    pub share_by: Reading,
}

/// What happens at one end over a turn.
#[derive(Clone, Debug, PartialEq)]
pub struct EndEvents {
    /// Steam begins to enter.
    pub admission: Option<Timed>,
    /// Steam ceases to enter.
    pub cut_off: Option<Timed>,
    /// Exhaust begins.
    pub release: Option<Timed>,
    /// Exhaust is shut in.
    pub compression: Option<Timed>,
    /// How far the port is open to steam at this end's dead centre, millimetres.
    pub lead: (f64, Reading),
    /// How far it opens to steam at most, millimetres; below nought where it never does. No
    /// more than the port's width lets through: see `past_port`.
    pub opening: (f64, Reading),
    /// How far the valve goes beyond the whole port, millimetres; below nought where the port
    /// is never wholly open.
    pub past_port: f64,
    /// How far the port opens to exhaust at most, millimetres.
    pub exhaust: (f64, Reading),
    /// What the person should know: a port that never opens, or opens twice.
    pub notes: Vec<String>,
}

/// What a valve does at both ends.
#[derive(Clone, Debug, PartialEq)]
pub struct ValveEvents {
    /// The drive's angle with the piston at the head end.
    pub head_centre: f64,
    /// The drive's angle with the piston at the crank end.
    pub crank_centre: f64,
    /// The piston's stroke, millimetres.
    pub stroke: (f64, Reading),
    /// The valve's travel, millimetres.
    pub travel: (f64, Reading),
    /// The head end and the crank end.
    pub ends: [EndEvents; 2],
}

/// The names of the ends as they are told.
pub const END_NAMES: [&str; 2] = ["head end", "crank end"];

impl Valve {
    /// How far the valve has moved from its mid position in the direction that opens an end to
    /// steam: 0 is the head end, 1 the crank end.
    pub fn towards(&self, end: usize) -> Measure {
        let outside = matches!(self.admission, Admission::Outside);
        let sign = if outside == (end == 0) { -1.0 } else { 1.0 };
        Measure::Sum(vec![(self.place.clone(), sign)], self.mid.clone() * -sign)
    }

    /// The dead centre at an end.
    pub fn centre(&self, end: usize) -> Moment {
        if end == 0 { Moment::Most(self.piston.clone()) } else { Moment::Least(self.piston.clone()) }
    }

    /// The lead at an end, as a result to be read.
    pub fn lead(&self, end: usize) -> Reading {
        let open = Reading::Value(self.towards(end), self.centre(end));
        Reading::Sum(vec![(open, 1.0), (Reading::Size(self.ends[end].lap.clone()), -1.0)])
    }

    /// The piston's share of its stroke from an end at a moment, as a result to be read.
    pub fn share(&self, end: usize, moment: Moment) -> Reading {
        let far = Reading::Value(self.piston.clone(), moment);
        let from = Reading::Value(self.piston.clone(), self.centre(end));
        let sign = if end == 0 { -1.0 } else { 1.0 };
        let way = Reading::Sum(vec![(far, sign), (from, -sign)]);
        Reading::Ratio(Box::new(way), Box::new(Reading::stroke(&self.piston)))
    }
}

impl Turn {
    /// Every event of a valve at both ends.
    ///
    /// # Errors
    ///
    /// Where the mechanism does not go round, or the piston stands still.
    pub fn valve_events(&self, valve: &Valve) -> Result<ValveEvents, Fault> {
        if !self.closed {
            return Err(Fault::new(
                "a valve's events need a whole turn",
                vec!["valve".into()],
                "the mechanism does not come back to where it began after one turn",
                "mend the lengths so that the crank can go round, or follow it for more turns",
            ));
        }
        let told = |reading: Reading| Ok::<_, Fault>((self.value(&reading)?, reading));
        let stroke = told(Reading::stroke(&valve.piston))?;
        if stroke.0 < 1e-9 {
            return Err(Fault::new(
                "the piston does not move",
                vec!["valve".into()],
                "what was named as the piston stands still as the drive turns",
                "name the point that moves with the piston",
            ));
        }
        Ok(ValveEvents {
            head_centre: self.when(&valve.centre(0))?,
            crank_centre: self.when(&valve.centre(1))?,
            travel: told(Reading::stroke(&valve.place))?,
            stroke,
            ends: [self.end_events(valve, 0)?, self.end_events(valve, 1)?],
        })
    }

    fn end_events(&self, valve: &Valve, end: usize) -> Result<EndEvents, Fault> {
        let params = &self.model.params;
        let own = &valve.ends[end];
        let open = valve.towards(end);
        let mut notes = Vec::new();
        let most = Moment::Most(open.clone());
        let least = Moment::Least(open.clone());
        let (peak, trough) = (self.when(&most)?, self.when(&least)?);
        let steam = self.gates(&open, &own.lap, peak, true);
        let out = self.gates(&open, &(-own.exhaust_lap.clone()), trough, false);
        let told = |reading: Reading| Ok::<_, Fault>((self.value(&reading)?, reading));
        let opening = Reading::Sum(vec![
            (Reading::Value(open.clone(), most), 1.0),
            (Reading::Size(own.lap.clone()), -1.0),
        ]);
        let exhaust = Reading::Sum(vec![
            (Reading::Value(open.clone(), least), -1.0),
            (Reading::Size(own.exhaust_lap.clone()), -1.0),
        ]);
        let (opening, exhaust) = (told(opening)?, told(exhaust)?);
        let name = END_NAMES[end];
        if steam.is_none() {
            notes.push(if opening.0 > 0.0 {
                format!("the {name}'s port never shuts to steam")
            } else {
                format!("the {name}'s port never opens to steam: {:.3} mm are wanting", -opening.0)
            });
        }
        if out.is_none() {
            notes.push(if exhaust.0 > 0.0 {
                format!("the {name}'s port never shuts to exhaust")
            } else {
                format!("the {name}'s port never opens to exhaust: {:.3} mm are wanting", -exhaust.0)
            });
        }
        for (level, what) in [(own.lap.clone(), "steam"), (-own.exhaust_lap.clone(), "exhaust")] {
            let times = self.crossings(&open, level.value(params)).len() / 2;
            if times > 1 {
                notes.push(format!("the {name}'s port opens to {what} {times} times in a turn"));
            }
        }
        let timed = |pair: &Option<[Moment; 2]>, which: usize| {
            pair.as_ref().map(|pair| self.timed(valve, end, pair[which].clone())).transpose()
        };
        Ok(EndEvents {
            admission: timed(&steam, 0)?,
            cut_off: timed(&steam, 1)?,
            release: timed(&out, 0)?,
            compression: timed(&out, 1)?,
            lead: told(valve.lead(end))?,
            past_port: opening.0 - own.port.value(params),
            opening,
            exhaust,
            notes,
        })
    }

    /// Opening and shutting about an extreme of the valve: beyond the level there.
    fn gates(&self, open: &Measure, level: &Size, about: f64, above: bool) -> Option<[Moment; 2]> {
        let all = self.crossings(open, level.value(&self.model.params));
        let long = self.long();
        let before = all.iter().filter(|c| c.rising == above);
        let before = before.min_by(|a, b| {
            (about - a.angle).rem_euclid(long).total_cmp(&(about - b.angle).rem_euclid(long))
        })?;
        let after = all.iter().filter(|c| c.rising != above);
        let after = after.min_by(|a, b| {
            (a.angle - about).rem_euclid(long).total_cmp(&(b.angle - about).rem_euclid(long))
        })?;
        let moment = |rising: bool, near: f64| Moment::Passes {
            what: open.clone(),
            level: level.clone(),
            rising,
            near,
        };
        Some([moment(above, before.angle), moment(!above, after.angle)])
    }

    fn timed(&self, valve: &Valve, end: usize, moment: Moment) -> Result<Timed, Fault> {
        let angle_by = Reading::Since(valve.centre(end), moment.clone());
        let share_by = valve.share(end, moment.clone());
        let rate = self.value(&Reading::Rate(valve.piston.clone(), moment.clone()))?;
        Ok(Timed {
            angle: self.value(&angle_by)?,
            share: self.value(&share_by)?,
            returning: (rate > 0.0) == (end == 0),
            moment,
            angle_by,
            share_by,
        })
    }
}
