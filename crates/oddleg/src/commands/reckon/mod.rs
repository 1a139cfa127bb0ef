//! `reckon`: one setting at a time, by the same functions that the sheets use.
//!
//! A new reckoner is one file here and one line in [`What`]. None of them does a
//! sum: each reads its sizes, asks `workshop::settings`, and hands on the figures.

mod arc;
mod balance;
mod boring;
mod chain_drilling;
mod change_wheels;
mod counterbore;
mod countersink;
mod curved_slot;
mod cutter;
mod dial;
mod discs;
mod dividing;
mod drilling;
mod eccentric;
mod filing_buttons;
mod flank;
mod flats;
mod force;
mod gear_arg;
mod groove;
mod hardening;
mod keyway;
mod knurl;
mod milling;
mod outside_thread;
mod over_pins;
mod over_rollers;
mod over_wires;
mod passes;
mod pitch_circle;
mod position;
mod protractor;
mod reading;
mod reaming;
mod rise;
mod round_outline;
mod rounded_end;
mod saw_off;
mod saw_plate;
mod screw_cutting;
mod setting_plug;
mod shoulders;
mod shrink_heat;
mod side;
mod sine_bar;
mod slitting;
mod speed;
mod split_clamp;
mod squaring;
mod starts;
mod stepped_curve;
mod stepped_profile;
mod supposed;
mod table_arg;
mod taper_pin;
mod taper_turning;
mod tapping;
mod time;
mod turning;
mod two_balls;
mod vice;
mod weight;

use clap::Subcommand;
use workshop::problem::{Outcome, Problem};

use super::bench_arg::BenchArg;
use super::shelf;
use crate::answer::{Answer, Detail};

/// Reckons one thing.
#[derive(clap::Args)]
#[command(after_help = "Example:
  oddleg reckon rounded-end --radius 11mm --other 7mm --centres 47mm --cutter 10mm --why")]
pub struct Reckon {
    /// Give the whole chain of reasons behind each figure
    #[arg(long, global = true, display_order = 800)]
    why: bool,
    #[command(subcommand)]
    what: What,
}

/// Everything that can be reckoned.
#[derive(Subcommand)]
enum What {
    /// Both rounded ends of a lever, on the rotary table
    RoundedEnd(rounded_end::RoundedEnd),
    /// Every line and arc of an outline, on the rotary table
    RoundOutline(round_outline::RoundOutline),
    /// One arc, on the rotary table
    Arc(arc::Arc),
    /// A slot round an arc, on the rotary table
    CurvedSlot(curved_slot::CurvedSlot),
    /// One straight edge, on the rotary table
    Flank(flank::Flank),
    /// One straight side, without turning the work: one run, or places in steps
    Side(side::Side),
    /// One arc, without a rotary table: places for the readout and the cusps left
    SteppedCurve(stepped_curve::SteppedCurve),
    /// A slope or curve seen from the side, in steps: places and the ridges left
    SteppedProfile(stepped_profile::SteppedProfile),
    /// Equal divisions: turns of the handle, holes in a circle
    Dividing(dividing::Dividing),
    /// Readout positions of places, from two picked-up edges
    Position(position::Position),
    /// Readout positions of holes on a circle
    PitchCircle(pitch_circle::PitchCircle),
    /// Turns and divisions of a handwheel
    Dial(dial::Dial),
    /// Spindle speed
    Speed(speed::Speed),
    /// Holes in a chain that part metal off
    ChainDrilling(chain_drilling::ChainDrilling),
    /// Which end mill to use: reach, corner, gap, stiffness
    Cutter(cutter::Cutter),
    /// A whole milled cut: speed, feed, depths, side cuts, force and bending
    Milling(milling::Milling),
    /// A drilled hole: speed, feed, torque and power
    Drilling(drilling::Drilling),
    /// How work sits in the vice: parallels, grip, what stands out of the jaws
    Vice(vice::Vice),
    /// A depth in equal passes
    Passes(passes::Passes),
    /// Minutes of a cut, and what the order of work counts for it
    Time(time::Time),
    /// Force, bending and power of a milling cutter
    Force(force::Force),
    /// Speed, feed and reach of a slitting saw
    Slitting(slitting::Slitting),
    /// The drill for a percent of thread, depths and cautions
    Tapping(tapping::Tapping),
    /// The drill before a reamer
    Reaming(reaming::Reaming),
    /// Drills and reaming for a taper pin
    TaperPin(taper_pin::TaperPin),
    /// A counterbore for a screw's head
    Counterbore(counterbore::Counterbore),
    /// A conical mouth of a hole
    Countersink(countersink::Countersink),
    /// A square hole: its drill, what is left for file or broach, the lines to scribe
    Squaring(squaring::Squaring),
    /// A keyway in a bore: feed of its planing tool, strokes, check, and the key
    Keyway(keyway::Keyway),
    /// The holes of a split clamp
    SplitClamp(split_clamp::SplitClamp),
    /// The cuts that bore a hole to size
    Boring(boring::Boring),
    /// The cuts that turn a diameter
    Turning(turning::Turning),
    /// Where the carriage stops for lengths that follow one another
    Shoulders(shoulders::Shoulders),
    /// How far the tool goes in for a groove
    Groove(groove::Groove),
    /// The top slide's angle for a taper, its check, and the set-over of the tailstock
    TaperTurning(taper_turning::TaperTurning),
    /// Setting work off its axis: the indicator's reading, or packing
    Eccentric(eccentric::Eccentric),
    /// The weight that balances work set off its axis
    Balance(balance::Balance),
    /// The blank before a knurl
    Knurl(knurl::Knurl),
    /// Hardening and tempering: heats, colours, time at heat, quench
    Hardening(hardening::Hardening),
    /// Flats milled on round work: depth, angles, width
    Flats(flats::Flats),
    /// A thread on the outside in the lathe: by die or with a tool, and what is set
    OutsideThread(outside_thread::OutsideThread),
    /// The passes of a thread cut in the lathe
    ScrewCutting(screw_cutting::ScrewCutting),
    /// The gear for a thread cut in the lathe, from the wheels that are there
    ChangeWheels(change_wheels::ChangeWheels),
    /// A thread of several starts: its lead, and what brings the work from one start to the next
    Starts(starts::Starts),
    /// What a thread measures over three wires
    OverWires(over_wires::OverWires),
    /// What is read over plain pins: from an edge, between holes, round a circle, in a dovetail or a vee
    OverPins(over_pins::OverPins),
    /// What an outside taper measures over two rollers
    OverRollers(over_rollers::OverRollers),
    /// The angle and mouth of a taper bore, from two balls
    TwoBalls(two_balls::TwoBalls),
    /// Two discs that hold a taper between straight-edges
    Discs(discs::Discs),
    /// The stack of blocks under a sine bar
    SineBar(sine_bar::SineBar),
    /// What an instrument must read to prove a size
    Reading(reading::Reading),
    /// What a protractor should read of an angle
    Protractor(protractor::Protractor),
    /// The rise of an arc over a chord, or the radius that it tells
    Rise(rise::Rise),
    /// Which pieces are sawn from which bars
    SawOff(saw_off::SawOff),
    /// Which blanks are sawn from which plates
    SawPlate(saw_plate::SawPlate),
    /// What a length of bar or plate weighs
    Weight(weight::Weight),
    /// Filing buttons for a rounded end
    FilingButtons(filing_buttons::FilingButtons),
    /// The plug that sets a pin at a distance by touch
    SettingPlug(setting_plug::SettingPlug),
    /// How warm a ring is made to slip over its shaft
    ShrinkHeat(shrink_heat::ShrinkHeat),
    /// The limits and clearances of a fit
    Fit(shelf::Fit),
}

impl Reckon {
    /// Reckons it.
    pub fn run(&self) -> Outcome<Answer> {
        let answer = match &self.what {
            What::RoundedEnd(asked) => asked.run(),
            What::RoundOutline(asked) => asked.run(),
            What::Arc(asked) => asked.run(),
            What::CurvedSlot(asked) => asked.run(),
            What::Flank(asked) => asked.run(),
            What::Side(asked) => asked.run(),
            What::SteppedCurve(asked) => asked.run(),
            What::SteppedProfile(asked) => asked.run(),
            What::Cutter(asked) => asked.run(),
            What::Milling(asked) => asked.run(),
            What::Drilling(asked) => asked.run(),
            What::Vice(asked) => asked.run(),
            What::Countersink(asked) => asked.run(),
            What::Squaring(asked) => asked.run(),
            What::Keyway(asked) => asked.run(),
            What::Dividing(asked) => asked.run(),
            What::Position(asked) => asked.run(),
            What::PitchCircle(asked) => asked.run(),
            What::Dial(asked) => asked.run(),
            What::Speed(asked) => asked.run(),
            What::ChainDrilling(asked) => asked.run(),
            What::Passes(asked) => asked.run(),
            What::Time(asked) => asked.run(),
            What::Force(asked) => asked.run(),
            What::Slitting(asked) => asked.run(),
            What::Tapping(asked) => asked.run(),
            What::Reaming(asked) => asked.run(),
            What::TaperPin(asked) => asked.run(),
            What::Counterbore(asked) => asked.run(),
            What::SplitClamp(asked) => asked.run(),
            What::Boring(asked) => asked.run(),
            What::Turning(asked) => asked.run(),
            What::Groove(asked) => asked.run(),
            What::Shoulders(asked) => asked.run(),
            What::TaperTurning(asked) => asked.run(),
            What::Eccentric(asked) => asked.run(),
            What::Balance(asked) => asked.run(),
            What::Knurl(asked) => asked.run(),
            What::Hardening(asked) => asked.run(),
            What::Flats(asked) => asked.run(),
            What::OutsideThread(asked) => asked.run(),
            What::ScrewCutting(asked) => asked.run(),
            What::ChangeWheels(asked) => asked.run(),
            What::Starts(asked) => asked.run(),
            What::OverWires(asked) => asked.run(),
            What::OverPins(asked) => asked.run(),
            What::OverRollers(asked) => asked.run(),
            What::TwoBalls(asked) => asked.run(),
            What::Discs(asked) => asked.run(),
            What::SineBar(asked) => asked.run(),
            What::Protractor(asked) => asked.run(),
            What::Reading(asked) => asked.run(),
            What::Rise(asked) => asked.run(),
            What::SawOff(asked) => asked.run(),
            What::SawPlate(asked) => asked.run(),
            What::Weight(asked) => asked.run(),
            What::FilingButtons(asked) => asked.run(),
            What::SettingPlug(asked) => asked.run(),
            What::ShrinkHeat(asked) => asked.run(),
            What::Fit(asked) => asked.run().map_err(one),
        };
        let assumed = self.what.bench().map_or(Ok(Vec::new()), BenchArg::assumed);
        Ok(answer?.detail(Detail::asked(self.why)).lines("assumed of the bench", assumed?))
    }
}

impl What {
    /// The bench that it goes by, where it goes by one.
    fn bench(&self) -> Option<&BenchArg> {
        match self {
            Self::RoundedEnd(asked) => Some(&asked.table.bench),
            Self::RoundOutline(asked) => Some(&asked.table.bench),
            Self::Arc(asked) => Some(&asked.table.bench),
            Self::CurvedSlot(asked) => Some(&asked.table.bench),
            Self::Flank(asked) => Some(&asked.table.bench),
            Self::Position(asked) => Some(&asked.bench),
            Self::Speed(asked) => Some(&asked.spindle.bench),
            Self::Slitting(asked) => Some(&asked.spindle.bench),
            Self::Cutter(asked) => Some(&asked.bench),
            Self::Milling(asked) => Some(&asked.spindle.bench),
            Self::Drilling(asked) => Some(&asked.spindle.bench),
            Self::OutsideThread(asked) => Some(&asked.spindle.bench),
            Self::Vice(asked) => Some(&asked.bench),
            // Drills are owned or not: nothing is supposed of them.
            _ => None,
        }
    }
}

/// One problem, where several could be.
fn one(fault: Problem) -> Vec<Problem> {
    vec![fault]
}
