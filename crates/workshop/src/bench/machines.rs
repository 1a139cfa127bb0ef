//! Milling machine, lathe and rotary table.

use crate::measure::{Angle, Length, Toward};
use crate::tables::processes::limit;

/// A manual milling machine.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Mill {
    /// Spindle speeds in turns a minute, least first.
    pub speeds: Vec<u32>,
    /// The digital readout, or the handwheels where there is none.
    pub readout: Readout,
    /// Travel along x, y and z.
    pub travel: [Length; 3],
    /// From the spindle's centre to the column: what a turning part must clear.
    pub column: Length,
    /// The dial that depths are set by, where no readout shows them and the bench says.
    pub depth_dial: Option<DepthDial>,
    /// How wide the jaws of its vice are, where the bench says so.
    pub vice: Option<Length>,
    /// How deep they are, where the bench says so.
    pub jaws: Option<Length>,
    /// What its motor gives, in watts, where the bench says so.
    pub motor_w: Option<u32>,
}

/// What reaches the cutter of what the motor gives; belts, gears and bearings take the rest:
/// common practice.
const AT_THE_CUTTER: f64 = 0.75;

impl Mill {
    /// What the motor gives at the cutter, in watts, where the bench says how strong it is.
    pub fn power_at_cutter_w(&self) -> Option<f64> {
        self.motor_w.map(|watts| f64::from(watts) * AT_THE_CUTTER)
    }

    /// How wide the jaws of its vice are: as the bench says, or as those of a small mill are
    /// supposed to be.
    pub fn vice_width(&self) -> Length {
        self.vice.unwrap_or_else(|| limit("vice jaws"))
    }

    /// How deep the jaws of its vice are: as the bench says, or as those of a small mill are
    /// supposed to be.
    pub fn vice_depth(&self) -> Length {
        self.jaws.unwrap_or_else(|| limit("jaw depth"))
    }
}

/// The dial that sets how deep a mill cuts: of its knee, head or quill.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct DepthDial {
    /// What it moves: `knee`, `head` or `quill`.
    pub moves: String,
    /// Advance for one turn.
    pub pitch: Length,
    /// Marks round the dial.
    pub divisions: u32,
}

impl DepthDial {
    /// One division.
    pub fn division(&self) -> Length {
        self.pitch / i64::from(self.divisions)
    }

    /// Whole turns and divisions to a depth counted from touching, to the nearest division.
    pub fn counted(&self, depth: Length) -> (i128, i128) {
        let steps = depth.rounded(self.division(), Toward::Nearest).value.ratio_to(self.division());
        let (whole, turn) = (steps.to_integer(), i128::from(self.divisions));
        (whole / turn, whole % turn)
    }
}

/// A drill press: a spindle in a quill over a plain table. Nothing on it moves the work by a
/// measured amount, so a hole stands where its centre was punched.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct DrillPress {
    /// Spindle speeds in turns a minute, least first.
    pub speeds: Vec<u32>,
    /// How far the quill comes down.
    pub travel: Length,
    /// From the spindle's centre to the column.
    pub throat: Length,
}

/// How positions are read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Readout {
    /// A digital readout with the smallest step it shows.
    Digital {
        /// One count.
        step: Length,
    },
    /// Handwheels only.
    Handwheels {
        /// Advance for one turn.
        pitch: Length,
        /// Marks round the dial.
        divisions: u32,
        /// Slack between turning forwards and back.
        backlash: Length,
    },
}

impl Mill {
    /// The least that a depth is set by.
    pub fn depth_step(&self) -> Length {
        self.depth_dial.as_ref().map_or_else(|| self.readout.step(), DepthDial::division)
    }
}

impl Readout {
    /// The smallest step that can be set.
    pub fn step(&self) -> Length {
        match self {
            Self::Digital { step } => *step,
            Self::Handwheels { pitch, divisions, .. } => *pitch / i64::from(*divisions),
        }
    }
}

/// A rotary table turned by a worm.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RotaryTable {
    /// Turns of the handle for one turn of the table.
    pub ratio: u32,
    /// The smallest mark on its rim and dial together.
    pub reads: Angle,
    /// Across its plain centre hole or the stub that fits it.
    pub bore: Length,
    /// Which way its scale runs, where anybody has said.
    pub grows: Option<Grows>,
}

/// Which turn of a rotary table makes its reading larger, seen from above.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Grows {
    /// Turning the table clockwise.
    Clockwise,
    /// Turning the table anticlockwise.
    Anticlockwise,
}

/// What a lathe's cross-slide dial shows.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum DialReads {
    /// The change in diameter.
    Diameter,
    /// The movement of the tool.
    Radius,
}

impl DialReads {
    /// What the dial shows once the tool has gone in so far.
    pub fn shows(self, inwards: Length) -> Length {
        match self {
            Self::Diameter => inwards * 2,
            Self::Radius => inwards,
        }
    }
}

/// A lathe.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Lathe {
    /// Spindle speeds in turns a minute, least first.
    pub speeds: Vec<u32>,
    /// Largest diameter over the bed.
    pub swing: Length,
    /// Longest work between centres.
    pub between_centres: Length,
    /// What the cross-slide dial shows.
    pub dial: DialReads,
    /// The smallest step that can be set.
    pub step: Length,
    /// The pitch of the leadscrew, where the file says.
    pub leadscrew: Option<Length>,
    /// Teeth of every change wheel; one that is there twice stands twice.
    pub change_wheels: Vec<u32>,
    /// Pitches that the gearbox gives.
    pub gearbox: Vec<Length>,
    /// How far the top slide travels, where the file says.
    pub top_slide: Option<Length>,
    /// How far the tailstock goes over, where the file says.
    pub set_over: Option<Length>,
    /// The handwheel of the tailstock, where the file says.
    pub tailstock: Option<Tailstock>,
    /// What its motor gives, in watts, where the bench says so.
    pub motor_w: Option<u32>,
}

impl Lathe {
    /// What the motor gives at the work, in watts, where the bench says how strong it is.
    pub fn power_at_work_w(&self) -> Option<f64> {
        self.motor_w.map(|watts| f64::from(watts) * AT_THE_CUTTER)
    }
}

/// The handwheel that sends the barrel of the tailstock out.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Tailstock {
    /// Advance for one turn.
    pub pitch: Length,
    /// Marks round its dial; none where it has no dial.
    pub divisions: Option<u32>,
}

impl Tailstock {
    /// What it is counted in: a division, or a quarter of a turn where there is no dial.
    pub fn step(&self) -> Length {
        self.pitch / self.divisions.map_or(4, i64::from)
    }

    /// Whole turns and steps to a depth, to the nearest step.
    pub fn counted(&self, depth: Length) -> (i128, i128) {
        let steps = depth.rounded(self.step(), Toward::Nearest).value.ratio_to(self.step()).to_integer();
        let turn = self.divisions.map_or(4, i128::from);
        (steps / turn, steps % turn)
    }
}
