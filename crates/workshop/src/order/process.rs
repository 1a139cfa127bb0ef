//! Which row of the tables of processes a work, a holding and a way of locating are.
//!
//! The figures stand in `tables/processes/`; here are only their names.

use super::deed::{Deed, Job, Place};
use super::work::{Aid, Held, Located, Machine, SlotSides, Steadied, Tool, Work};
use crate::bench::{Bench, Readout};
use crate::drawing::{FeatureId, Kind};
use crate::measure::Length;
use crate::tables::processes::{self, Locating, Process, locating, process};

impl Deed {
    /// Its row of the table of processes.
    pub(super) fn process(&self) -> &'static Process {
        match self.aids.iter().any(|aid| matches!(aid, Aid::PlainButtons { .. })) {
            true => process("file to buttons"),
            false => self.work.process_with(&self.tool),
        }
    }
}

impl Work {
    /// Its row of the table of processes, by hand where the tool is a hand tool.
    pub(super) fn process_with(&self, tool: &Tool) -> &'static Process {
        process(match (self, tool) {
            (Self::SquareEdges, Tool::File) => "file edges square",
            (Self::MillToSize, Tool::File) => "file to size",
            (Self::FaceToThickness, Tool::File) => "file to thickness",
            (Self::MillStep { .. } | Self::MillSlot { .. } | Self::MillPocket { .. }, Tool::File) => {
                "file out"
            }
            (Self::PlaneKeyway, Tool::File) => "file a hole",
            (Self::MillSlot { .. } | Self::MillPocket { .. }, Tool::Chisel) => "chisel out",
            (Self::Stick, Tool::Clamps) => "clamp together",
            (Self::Part, Tool::Screws) => "unscrew the stack",
            (Self::MillFlats { .. }, Tool::File) => "file a flat",
            (Self::Slit, Tool::HandSaw) => "saw a slit by hand",
            (Self::FaceEnd { .. }, Tool::File) => "rub an end flat",
            (Self::PartOff, Tool::HandSaw) => "saw off the bar",
            _ => return self.process(),
        })
    }

    /// Its row of the table of processes, by machine.
    pub fn process(&self) -> &'static Process {
        process(match self {
            Self::SquareEdges => "square edges",
            Self::FaceToThickness => "face to thickness",
            Self::MillToSize => "mill to size",
            Self::Stick => "stick",
            Self::ScrewTogether { .. } => "screw together",
            Self::Part => "part the pair",
            Self::SawCap => "saw a cap off",
            Self::FaceJoint => "face a joint",
            Self::BoltCap => "bolt a cap on",
            Self::Harden => "harden",
            Self::Temper => "temper",
            Self::Lap { hole: true, .. } => "lap a bore",
            Self::Lap { hole: false, .. } => "lap an outside",
            Self::Drill { .. } => "drill",
            Self::ChainDrill { .. } => "chain drill",
            Self::Ream { .. } => "ream",
            Self::Bore { .. } => "bore",
            Self::TrueHole { .. } => "true by boring",
            Self::Tap { .. } => "tap",
            Self::OpenClearance { .. } => "open to clearance",
            Self::Counterbore { .. } => "counterbore",
            Self::Countersink { .. } => "countersink",
            Self::TaperReam { .. } => "taper ream",
            Self::MillPocket { .. } => "mill a pocket",
            Self::FileHole => "file a hole",
            Self::FileHoleRound { .. } => "file a hole round",
            Self::Broach { .. } => "broach a square",
            Self::PlaneKeyway => "plane a keyway",
            Self::MillSide { .. } => "mill a side",
            Self::StepArc { .. } => "step an arc",
            Self::TurnArc { .. } => "turn an arc",
            Self::FileRidges { .. } => "file the ridges",
            Self::FileSide { .. } | Self::FileRound => "file a side",
            Self::MillStep { .. } => "mill a step",
            Self::MillSlot { sides: SlotSides::AsCut, .. } => "mill a slot",
            Self::MillSlot { sides: SlotSides::Finished, .. } => "mill a slot to size",
            Self::MillSlot { sides: SlotSides::Stepped, .. } => "step an arc",
            Self::RoundEnd => "round on the rotary table",
            Self::StepEnd => "step an end",
            Self::FileEnd => "file to buttons",
            Self::TurnDisc => "turn a disc",
            Self::MillFlanks { .. } => "mill a flank",
            Self::FileFlanks { .. } => "file a flank",
            Self::MarkOut => "mark out",
            Self::RoughOut { chain: true } => "chain drill",
            Self::RoughOut { chain: false } => "saw to a line",
            Self::Slit => "slit",
            Self::FaceEnd { .. } => "face an end",
            Self::CentreEnd { .. } => "centre an end",
            Self::OffsetCentre { .. } => "centre off the axis",
            Self::RoughSection { .. } => "rough a section",
            Self::TurnSection { .. } => "turn a section",
            Self::TurnTaper { .. } => "turn a taper",
            Self::Knurl => "knurl",
            Self::Chamfer { .. } => "chamfer",
            Self::Recess { .. } => "recess",
            Self::MillFlats { .. } => "mill a flat",
            Self::CutThread => "thread",
            Self::Groove { .. } => "groove",
            Self::PartOff => "part off",
            Self::Leave => "leave in place",
        })
    }

    /// Minutes at the work for one piece, however long the cut.
    pub(super) fn minutes(&self, tool: &Tool) -> u64 {
        let cuts = match self {
            Self::MillFlanks { joins } | Self::FileFlanks { joins } => joins.len() as u64,
            Self::MillFlats { count, .. } => u64::from(*count),
            _ => 1,
        };
        self.process_with(tool).minutes * cuts
    }
}

impl Place {
    /// Minutes to set it up, an estimate; aids that only some ways need are in it, so that
    /// of two equal orders the one that needs no aid is preferred.
    pub(super) fn minutes(&self) -> u64 {
        let held = match (&self.holding.held, self.holding.machine) {
            (_, Machine::DrillPress) => "drill press",
            (_, Machine::BenchVice) if self.holding.located == Located::Punched => "hand drill",
            (Held::PlateOnFaceplate { .. }, _) => "faceplate by a punched centre",
            (Held::ViceOnParallels, _) => "vice on parallels",
            (Held::ViceOnEdge, _) => "vice on edge",
            (Held::BoltOnPlate { .. } | Held::PlateOnEdge { .. } | Held::PlateSwung { .. }, _) => "plate",
            (Held::PlateTurned { .. }, _) => "plate on the rotary table",
            (Held::StubMandrel { .. }, Machine::RotaryTable) => "stub on the rotary table",
            (Held::StubMandrel { .. }, _) => "stub",
            (Held::PressurePads, _) => "pads",
            (Held::ClampsMoved, _) => "clamps on the table",
            (Held::Upright { .. }, _) => "on end in a chuck",
            (Held::VeeBlock { .. }, _) => "vee block",
            (Held::ColletBlock { .. }, _) => "collet block",
            (Held::FourJaw { .. }, _) => "four-jaw",
            (Held::Packed { .. }, _) => "packed three-jaw",
            (Held::Indexed { .. }, _) => "indexed",
            (Held::DividingHead { .. }, _) => "dividing head",
            (Held::Chuck { .. } | Held::Collet { .. }, _) => "chuck",
            (Held::SoftJaws { .. }, _) => "soft jaws",
            (Held::SplitBush { .. }, _) => "split bush",
            (Held::Clocked { .. }, _) => "four-jaw clocked",
            (Held::SawnLength, _) => "sawn length",
            (Held::Centres | Held::OffsetCentres { .. }, _) => "between centres",
            (Held::WholeBar, _) => "on end by the whole bar",
            (Held::Mandrel { owned: true, .. }, _) => "mandrel",
            (Held::Mandrel { owned: false, .. }, _) => "stub in place",
            (Held::Inside { .. }, _) => "jaws opened inside",
            (Held::Screwed { .. }, _) => "threaded stub",
            (Held::Faceplate { .. }, _) => "faceplate",
            (Held::FilingButtons, _) => "filing buttons",
            (Held::BenchVice | Held::Bench, _) => "bench",
        };
        let steadied = match self.holding.steadied {
            Steadied::Not | Steadied::Tailstock => 0,
            Steadied::Travelling | Steadied::Fixed { .. } => processes::holding("fixed steady").minutes,
        };
        processes::holding(held).minutes + steadied
    }
}

/// The row of a way of locating.
pub(super) fn way_of(located: Located) -> &'static Locating {
    locating(match located {
        Located::Edges(..) => "edge finder",
        Located::Bore(_) => "bore on a stub",
        Located::TwoBores(..) => "two dowels",
        Located::Marked(_) => "marked centre",
        Located::Line => "scribed line",
        Located::SawnBlank => "sawn blank",
        Located::EndAndAxis(_) => "end and axis",
        // What a punched centre is out by belongs to each hole, not to the holding.
        Located::Nothing | Located::Punched => "free",
    })
}

/// The bore that positions are taken from.
pub(super) const fn datum_bore(located: Located) -> Option<FeatureId> {
    match located {
        Located::Bore(bore) | Located::TwoBores(bore, _) => Some(bore),
        _ => None,
    }
}

impl Job<'_> {
    /// How far off a way of locating may be, either way.
    pub(super) fn located_within(&self, located: Located) -> Length {
        let size = datum_bore(located).map_or(Length::ZERO, |bore| match self.part.feature(bore).kind {
            Kind::Hole { diameter, .. } => self.part.size(diameter),
            _ => Length::ZERO,
        });
        way_of(located).at(size)
    }

    /// How far the slides of the mill may be from what they show: the bench's own step,
    /// and what they shift as they are locked. Slack is taken up one way and costs nothing.
    pub(super) fn slides_within(&self) -> Length {
        slides_within(self.bench)
    }
}

/// The same of a bench.
pub(crate) fn slides_within(bench: &Bench) -> Length {
    let readout = &bench.mill.readout;
    let read = match readout {
        Readout::Digital { .. } => "by readout",
        Readout::Handwheels { .. } => "by handwheel",
    };
    readout.step() + locating(read).error
}
