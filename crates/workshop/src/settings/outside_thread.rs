//! An outside thread in the lathe: by a die in the tailstock holder, with a tool, or roughed with a
//! tool and finished with the die; and what is set for it.
//!
//! [`way`] says which. The passes of the tool are those of [`super::screw_cutting`], its gear that
//! of [`super::change_wheels`].

use num_rational::Ratio;

use super::change_wheels::{GEAR_MAY_TAKE, Gear, Wanted, change_wheels};
use super::left_hand;
use super::lubricant::lubricant;
use super::screw_cutting::root;
use super::show::{geometry, mm, number, practice};
use super::speed;
use crate::bench::{Bench, Lathe};
use crate::measure::{Length, Toward};
use crate::problem::Problem;
use crate::tables::materials::{Kind, Material, Operation};
use crate::tables::threads::{Form, Hand, Thread};
use crate::why::{Figure, Why};

/// The coarsest pitch that a die cuts out of the solid without tearing, the work slipping in its
/// chuck, or the die going crooked: common practice.
const BY_DIE_ALONE: Length = Length::from_ratio(Ratio::new_raw(15, 10));

/// The share of the depth that a tool takes before a die finishes a coarse thread: common practice.
const ROUGHED: Ratio<i128> = Ratio::new_raw(3, 4);

/// How long drawing the tool out by hand takes, in seconds: common practice.
const DRAWN_OUT_S: f64 = 1.0;

/// The speed of a spindle that is pulled round.
const BY_HAND: &str = "by hand";

/// Turns of thread that a tool or a die leaves part cut before a shoulder: common practice.
pub const RUN_OUT_TURNS: i64 = 2;

/// What the thread ends in, on the side away from the end of the work.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum RunsOut {
    /// Past the end of the section, over something no thicker than its root.
    Free,
    /// A groove across so much, so wide.
    Groove {
        /// Across its bottom.
        diameter: Length,
        /// From side to side.
        width: Length,
    },
    /// A shoulder without a groove.
    Shoulder,
}

/// How it is cut.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Way {
    /// A die in the tailstock holder, out of the solid.
    Die,
    /// A tool to so much of its depth, then the die.
    RoughedThenDie(Length),
    /// A tool, to the last.
    Tool,
}

/// A thread to be cut on the outside.
#[derive(Clone, Copy, Debug)]
pub struct Asked<'a> {
    /// The thread.
    pub thread: &'static Thread,
    /// What it is cut in.
    pub material: &'a Material,
    /// The way it is cut, by [`way`] or as the work asks.
    pub way: Way,
    /// What it ends in.
    pub runs_out: RunsOut,
    /// The spindle's speeds, in turns a minute.
    pub speeds: &'a [u32],
}

/// What a section is turned to before its thread: a tenth of the pitch under its size, so that the
/// crests are not torn up. With metric threads that lies within what ISO 965 gives 6g.
pub fn blank(thread: &Thread) -> Length {
    (thread.major - thread.pitch / 10).rounded(Length::microns(10), Toward::Nearest).value
}

/// Why it is turned under its size.
pub fn why_blank(thread: &Thread) -> Why {
    practice(format!(
        "turned {} under {}, a tenth of the pitch: metal swells up into the crests as the thread is cut, and a die tears what is full size",
        mm(thread.major - blank(thread)),
        mm(thread.major)
    ))
}

/// What there is to gear a lathe with for a thread; none where the bench file says nothing of it.
pub fn gear<'l>(lathe: &'l Lathe, thread: &Thread) -> Option<Gear<'l>> {
    if lathe.gearbox.is_empty() && lathe.change_wheels.len() < 2 {
        return None;
    }
    // What the gearbox gives needs no leadscrew; for the half nut its own pitch is then taken.
    let leadscrew = lathe.leadscrew.unwrap_or(thread.lead());
    Some(Gear { leadscrew, wheels: &lathe.change_wheels, gearbox: &lathe.gearbox })
}

/// Whether the wheels or the gearbox of a lathe cut a thread's lead near enough.
pub fn geared(lathe: &Lathe, thread: &Thread) -> bool {
    let Some(gear) = gear(lathe, thread) else { return false };
    let wanted = Wanted::of(thread, thread.major);
    change_wheels(gear, wanted).is_ok_and(|gearing| gearing.takes() <= GEAR_MAY_TAKE)
}

/// How a thread that a die can be brought to is cut on a bench.
pub fn way(bench: &Bench, thread: &Thread) -> Way {
    let coarse = thread.pitch > BY_DIE_ALONE;
    let die = bench.has_die(thread);
    if die && (!coarse || thread.starts > 1) {
        return Way::Die;
    }
    // No die for it is sold.
    if thread.starts > 1 {
        return Way::Tool;
    }
    match (die, bench.lathe.as_ref().is_some_and(|lathe| geared(lathe, thread))) {
        (true, true) => Way::RoughedThenDie(depth(thread).scaled(ROUGHED)),
        (false, true) => Way::Tool,
        (_, false) => Way::Die,
    }
}

/// Whether a bench cuts a thread on the outside with what it has.
pub fn cuts(bench: &Bench, thread: &Thread) -> bool {
    bench.has_die(thread) || way(bench, thread) == Way::Tool
}

fn depth(thread: &Thread) -> Length {
    (thread.major - root(thread)).half()
}

/// What the tool is ground to.
pub const fn tool_angle(form: Form) -> &'static str {
    match form {
        Form::Metric60 | Form::Unified60 => "60°",
        Form::Whitworth55 => "55°",
        Form::Ba47 => "47.5°",
    }
}

impl Asked<'_> {
    /// Why it is cut so.
    fn why_way(&self) -> Why {
        let pitch = mm(self.thread.pitch);
        match self.way {
            Way::Die if self.thread.pitch <= BY_DIE_ALONE => practice(format!(
                "a die cuts pitches up to {} out of the solid; this is {pitch}",
                mm(BY_DIE_ALONE)
            )),
            Way::Die => practice(format!(
                "{pitch} is coarse for a die out of the solid, and the bench file shows no gear that cuts it: open the die as far as it goes, and take it in three cuts or more"
            )),
            Way::RoughedThenDie(_) => practice(format!(
                "{pitch} is coarse for a die out of the solid: a tool takes most of it and makes it run true, the die sizes it"
            )),
            Way::Tool if self.thread.starts > 1 => {
                practice("cut with a tool to the last: no die of several starts is there")
            }
            Way::Tool => {
                practice("cut with a tool to the last: no die is there, or none can be brought to it")
            }
        }
    }

    /// What is set, in the order it is wanted: the speed first.
    ///
    /// # Errors
    ///
    /// A [`Problem`] when the lathe has no speeds.
    pub fn figures(&self) -> Result<Vec<Figure>, Problem> {
        let mut figures = vec![match self.way {
            Way::Die => self.die_speed(),
            Way::Tool => self.tool_speed()?,
            Way::RoughedThenDie(_) => {
                let with_tool = self.tool_speed()?;
                let shown = match with_tool.shown.as_str() {
                    BY_HAND => with_tool.shown,
                    turning => format!("{turning} with the tool, {BY_HAND} with the die"),
                };
                Figure { shown, why: with_tool.why.because(self.die_speed().why), ..with_tool }
            }
        }];
        figures.push(self.how());
        figures.extend(left_hand::outside(self.thread, self.way));
        let lead =
            geometry(format!("the root of {} is {} across", self.thread.designation, mm(root(self.thread))));
        let start = match self.way {
            Way::Tool => "the first turn is not left as a thin edge",
            _ => "the die finds its middle and starts square",
        };
        figures.push(Figure::new(
            "lead",
            format!(
                "the end off at 45°, to ⌀ {}",
                mm(root(self.thread).rounded(Length::microns(100), Toward::Less).value)
            ),
            practice(start).because(lead),
        ));
        figures.push(self.run_out());
        figures.push(lubricant(self.material));
        Ok(figures)
    }

    fn how(&self) -> Figure {
        let breaks = match self.material.kind {
            Kind::Iron | Kind::CopperAlloy | Kind::Laminate => "",
            _ => "half a turn back after each; ",
        };
        let die = format!(
            "numbered side first, opened by its middle screw; {breaks}then closed, and run over again until the nut runs"
        );
        let set = practice(
            "the holder slides on a bar in the tailstock, which keeps the die square and lets it draw itself on: without one, press a die stock on square with the flat end of the tailstock's barrel",
        );
        match self.way {
            Way::Die => Figure::new("die", die, self.why_way().because(set)),
            Way::RoughedThenDie(to) => Figure::new(
                "die",
                format!(
                    "the tool {} deep, then the die: {die}",
                    mm(to.rounded(Length::microns(10), Toward::Nearest).value)
                ),
                self.why_way()
                    .because(geometry(format!("three quarters of {} deep", mm(depth(self.thread)))))
                    .because(set),
            ),
            Way::Tool => Figure::new(
                "tool",
                format!(
                    "ground to {}, square to the axis by its gauge, at centre height",
                    tool_angle(self.thread.form())
                ),
                self.why_way(),
            ),
        }
    }

    fn run_out(&self) -> Figure {
        if self.thread.hand == Hand::Left && self.way != Way::Die {
            return left_hand::begins(self.thread, self.runs_out);
        }
        let turns = self.thread.lead() * RUN_OUT_TURNS;
        let (shown, why) = match self.runs_out {
            RunsOut::Free => (
                "over the far side of the section".to_owned(),
                practice("nothing stands above its root there"),
            ),
            RunsOut::Groove { diameter, width } => {
                let high = diameter > root(self.thread);
                let narrow = width < turns;
                let shown = match (high, narrow) {
                    (true, _) => format!(
                        "into the groove; but its bottom, ⌀ {}, stands above the root, ⌀ {}: the last turns scrape it",
                        mm(diameter),
                        mm(root(self.thread))
                    ),
                    (false, true) => format!(
                        "into the groove of {}, which is narrow: less than {RUN_OUT_TURNS} turns",
                        mm(width)
                    ),
                    (false, false) => format!("into the groove of {}", mm(width)),
                };
                let why = practice(format!(
                    "a groove lets it run up to the shoulder: no higher than the root, and {RUN_OUT_TURNS} turns wide, {}",
                    mm(turns)
                ));
                (shown, why)
            }
            RunsOut::Shoulder if self.way == Way::Tool => (
                format!("drawn out {} before the shoulder, always at the same line of the dial", mm(turns)),
                practice(format!("without a groove {RUN_OUT_TURNS} turns are left for drawing it out")),
            ),
            RunsOut::Shoulder => (
                format!(
                    "{} part cut at the shoulder; turn the die round for the last turns to come nearer",
                    mm(turns)
                ),
                practice("the lead of a die is longer on its numbered side"),
            ),
        };
        Figure::new("run-out", shown, why)
    }

    fn die_speed(&self) -> Figure {
        let lowest = self.speeds.iter().copied().filter(|&speed| speed > 0).min();
        let m_per_min =
            |speed: u32| self.thread.major.as_mm() * std::f64::consts::PI * f64::from(speed) / 1000.0;
        let slow = lowest.filter(|&speed| {
            let lets_go = self.runs_out == RunsOut::Free && self.thread.hand == Hand::Right;
            lets_go && m_per_min(speed) <= DIE_M_PER_MIN
        });
        let hand = practice(
            "the spindle pulled round by its chuck or belt, out of gear: a die stops where it should, and is felt as it cuts",
        );
        match slow {
            Some(speed) => Figure::new(
                "spindle speed",
                format!("{BY_HAND}, or {speed} rev/min"),
                hand.because(practice(format!(
                    "at its lowest speed it cuts at {} m/min, slow enough to let go of the holder where the thread ends",
                    number(m_per_min(speed), 1)
                ))),
            ),
            None => Figure::new("spindle speed", BY_HAND, hand),
        }
    }

    /// A quarter of the turning speed, and slow enough to draw the tool out.
    fn tool_speed(&self) -> Result<Figure, Problem> {
        let published = self.material.speed(Operation::Turning);
        let aim = f64::from(published.low_m_per_min + published.high_m_per_min) / 2.0;
        let chosen = speed::choose(aim / 4.0, self.thread.major, self.speeds)?;
        let why = practice("a quarter of the turning speed, for the tool is fine and the hand must follow")
            .because(
                Why::new(format!(
                    "turning {}: {} to {} m/min",
                    self.material.name, published.low_m_per_min, published.high_m_per_min
                ))
                .source(published.source.to_string()),
            );
        let room = match self.runs_out {
            // A left-hand one runs off the end: nothing has to be drawn out in time.
            _ if self.thread.hand == Hand::Left => return Ok(chosen.figures(why).remove(0)),
            RunsOut::Free => return Ok(chosen.figures(why).remove(0)),
            RunsOut::Groove { width, .. } => width,
            RunsOut::Shoulder => self.thread.lead() * RUN_OUT_TURNS,
        };
        let most = room.ratio_to(self.thread.lead());
        let most = *most.numer() as f64 / *most.denom() as f64 * 60.0 / DRAWN_OUT_S;
        let drawn = practice(format!(
            "the tool crosses the {} of its run-out in a second at {} rev/min: faster nobody draws it out",
            mm(room),
            number(most, 0)
        ));
        let slow = self
            .speeds
            .iter()
            .copied()
            .filter(|&s| s > 0 && f64::from(s) <= most && s <= chosen.rev_per_min)
            .max();
        Ok(match slow {
            Some(speed) => {
                let slow = speed::choose(aim / 4.0, self.thread.major, &[speed])?;
                slow.figures(drawn.because(why)).remove(0)
            }
            None => Figure::new("spindle speed", BY_HAND, drawn.because(why)),
        })
    }
}

/// A die under power may go no faster: common practice.
const DIE_M_PER_MIN: f64 = 3.0;

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::read_bench;
    use crate::tables::{materials, threads};

    fn bench(text: &str) -> Bench {
        read_bench("bench", text).unwrap()
    }

    fn asked(name: &str, way: Way, runs_out: RunsOut, speeds: &'static [u32]) -> Vec<Figure> {
        let thread = threads::find(name).unwrap();
        let material = materials::find("mild steel").unwrap();
        Asked { thread, material, way, runs_out, speeds }.figures().unwrap()
    }

    fn shown<'a>(figures: &'a [Figure], name: &str) -> &'a str {
        &figures.iter().find(|figure| figure.name == name).unwrap().shown
    }

    /// ISO 965-1, tolerance 6g of the screw's major diameter, upper and lower deviation in
    /// micrometres (from memory).
    #[test]
    fn what_is_turned_lies_within_6g() {
        for (name, es, td) in [
            ("M3", -20, 106),
            ("M5", -24, 150),
            ("M6", -26, 180),
            ("M8", -28, 212),
            ("M10", -32, 236),
            ("M16", -38, 280),
            ("M20", -42, 335),
        ] {
            let thread = threads::find(name).unwrap();
            let under = blank(thread) - thread.major;
            assert!(under <= Length::microns(es) && under >= Length::microns(es - td), "{name}: {under}");
        }
    }

    #[test]
    fn the_way_goes_by_pitch_and_by_what_is_owned() {
        let wheels = "leadscrew = \"3 mm\"\nchange_wheels = [20, 25, 30, 35, 40, 40, 45, 50, 60]\n";
        for (dies, lathe, name, expected) in [
            ("taps = [\"M6\", \"M16\"]", wheels, "M6", "die"),
            ("taps = [\"M6\", \"M16\"]", wheels, "M16", "roughed"),
            ("taps = [\"M6\", \"M16\"]", "", "M16", "die"),
            ("taps = [\"M6\", \"M16\"]\ndies = [\"M6\"]", wheels, "M16", "tool"),
            ("taps = [\"M6\"]\ndies = []", wheels, "M6", "tool"),
            ("taps = []", "", "M6", "die"),
            // No train of these cuts 26 to the inch near enough.
            ("taps = []", "leadscrew = \"3 mm\"\nchange_wheels = [40, 60]", "1/4 BSF", "die"),
        ] {
            let found = way(&bench(&format!("{dies}\n[lathe]\n{lathe}")), threads::find(name).unwrap());
            let called = match found {
                Way::Die => "die",
                Way::RoughedThenDie(_) => "roughed",
                Way::Tool => "tool",
            };
            assert_eq!(called, expected, "{dies} {lathe} {name}");
        }
    }

    /// Two turns a second at 120 rev/min: a groove of two pitches is crossed in one second.
    #[test]
    fn the_tool_is_drawn_out_in_a_second() {
        let groove = |mm: i64| RunsOut::Groove { diameter: Length::mm(13), width: Length::mm(mm) };
        let with = |runs_out, speeds| asked("M16", Way::Tool, runs_out, speeds)[0].shown.clone();
        assert_eq!(with(groove(4), &[60, 120, 180]), "120 rev/min");
        assert_eq!(with(groove(4), &[130, 180]), "by hand");
        assert_eq!(with(RunsOut::Free, &[60, 120, 180]), "120 rev/min");
        assert_eq!(with(RunsOut::Shoulder, &[60, 110, 180]), "110 rev/min");
    }

    #[test]
    fn a_groove_that_stands_in_the_way_is_told() {
        let groove =
            |diameter, width| RunsOut::Groove { diameter: Length::mm(diameter), width: Length::mm(width) };
        let run = |runs_out| shown(&asked("M12", Way::Die, runs_out, &[60]), "run-out").to_owned();
        assert_eq!(run(groove(9, 4)), "into the groove of 4 mm");
        assert!(run(groove(11, 4)).contains("above the root") && run(groove(9, 2)).contains("narrow"));
        assert!(shown(&asked("M12", Way::Die, RunsOut::Free, &[60]), "spindle speed").contains("60"));
        assert_eq!(shown(&asked("M12", Way::Die, RunsOut::Shoulder, &[60]), "spindle speed"), "by hand");
    }
}
