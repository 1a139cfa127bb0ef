//! The tools that an operation is done with.

use crate::bench::{EndMill, Reamer, Saw};
use crate::drawing::Pattern;
use crate::measure::{Angle, Length};
use crate::settings::show::{bought_as, mm};
use crate::tables::drills::Drill;
use crate::tables::taper_pins::TaperPin;
use crate::tables::threads::Thread;

/// What it is done with.
#[derive(Clone, Debug, PartialEq)]
pub enum Tool {
    /// A twist drill, after a centre drill.
    Drill(Drill),
    /// A reamer.
    Reamer(Reamer),
    /// A reamer for taper pins.
    TaperReamer(&'static TaperPin),
    /// A countersink of an angle.
    Countersink(Angle),
    /// A tap.
    Tap(&'static Thread),
    /// A die.
    Die(&'static Thread),
    /// An end mill or slot drill.
    EndMill(EndMill),
    /// A slitting saw.
    Saw(Saw),
    /// A counterbore with a pilot that follows the hole, across its cutting end.
    PilotedCounterbore(Length),
    /// The boring head, or a boring tool in the lathe.
    BoringTool,
    /// A knife tool in the lathe.
    LatheTool,
    /// A parting or grooving tool.
    PartingTool,
    /// Knurling wheels.
    KnurlingTool {
        /// From ridge to ridge.
        pitch: Length,
        /// How the ridges run.
        pattern: Pattern,
    },
    /// A centre drill.
    CentreDrill,
    /// Files.
    File,
    /// A cold chisel, and small bent files for a floor.
    Chisel,
    /// A square broach, from side to side.
    Broach(Length),
    /// A planing tool, ground to a width.
    PlaningTool(Length),
    /// A hacksaw or bandsaw.
    HandSaw,
    /// A scriber, with a square and rule or a height gauge.
    Scriber,
    /// Adhesive and clamps.
    Adhesive,
    /// Its own bolts, and a spanner.
    Bolts,
    /// Warmth and a blade.
    Warmth,
    /// Clamps alone, until screws hold.
    Clamps,
    /// Cap screws and nuts with their keys.
    Screws,
    /// A hearth or furnace, and what the work is quenched in.
    Hearth,
    /// A charged lap for a hole, or a ring for an outside, of about this diameter.
    Lap {
        /// Across what it laps.
        diameter: Length,
        /// Whether it is a hole.
        hole: bool,
    },
    /// The chuck or collet the work is in.
    Chuck,
}

impl Tool {
    /// Across the cutting end, for what turns.
    pub fn diameter(&self) -> Option<Length> {
        match self {
            Self::Drill(drill) => Some(drill.diameter),
            Self::Reamer(reamer) => Some(reamer.diameter),
            Self::EndMill(mill) => Some(mill.diameter),
            Self::PilotedCounterbore(diameter) => Some(*diameter),
            Self::Saw(saw) => Some(saw.diameter),
            Self::Tap(thread) | Self::Die(thread) => Some(thread.major),
            Self::TaperReamer(pin) => Some(pin.nominal),
            Self::Countersink(_)
            | Self::BoringTool
            | Self::LatheTool
            | Self::PartingTool
            | Self::KnurlingTool { .. }
            | Self::CentreDrill
            | Self::File
            | Self::Broach(_)
            | Self::PlaningTool(_)
            | Self::HandSaw
            | Self::Chisel
            | Self::Scriber
            | Self::Adhesive
            | Self::Warmth
            | Self::Bolts
            | Self::Clamps
            | Self::Screws
            | Self::Hearth
            | Self::Lap { .. }
            | Self::Chuck => None,
        }
    }

    /// What the sheets call it.
    pub fn words(&self) -> String {
        match self {
            Self::Drill(drill) => format!("drill {}", drill.name),
            Self::Reamer(reamer) => format!("reamer {} {}", bought_as(reamer.diameter), reamer.class),
            Self::TaperReamer(pin) => crate::metric::taper_reamer_name(pin),
            Self::Countersink(angle) => format!("countersink {angle}"),
            Self::Tap(thread) => format!("tap {}", thread.designation),
            Self::Die(thread) => format!("die {}", thread.designation),
            Self::EndMill(mill) => format!("end mill {}, {} teeth", bought_as(mill.diameter), mill.teeth),
            Self::Saw(saw) => format!("slitting saw {} × {}", bought_as(saw.diameter), bought_as(saw.width)),
            Self::PilotedCounterbore(diameter) => {
                format!("counterbore {} with a pilot", bought_as(*diameter))
            }
            Self::BoringTool => "boring tool".into(),
            Self::LatheTool => "knife tool".into(),
            Self::PartingTool => "parting tool".into(),
            Self::KnurlingTool { pitch, pattern: Pattern::Straight } => {
                format!("straight knurling wheels, {}", mm(*pitch))
            }
            Self::KnurlingTool { pitch, pattern: Pattern::Diamond } => {
                format!("diamond knurling wheels, {}", mm(*pitch))
            }
            Self::CentreDrill => "centre drill".into(),
            Self::File => "files".into(),
            Self::Broach(across) => format!("square broach {}", bought_as(*across)),
            Self::PlaningTool(width) => format!("planing tool ground {} wide", mm(*width)),
            Self::Chisel => "cold chisel, bent files".into(),
            Self::HandSaw => "hacksaw or bandsaw".into(),
            Self::Scriber => "scriber, square and rule".into(),
            Self::Adhesive => "adhesive, clamps".into(),
            Self::Bolts => "its bolts, a spanner".into(),
            Self::Warmth => "warmth, a thin blade".into(),
            Self::Clamps => "toolmaker's clamps".into(),
            Self::Screws => "cap screws, nuts, key and spanner".into(),
            Self::Lap { diameter, hole: true } => {
                format!("brass or copper lap for {diameter}, to be turned, with fine compound")
            }
            Self::Lap { diameter, hole: false } => {
                format!("split ring lap for {diameter}, to be bored, with fine compound")
            }
            Self::Chuck => "chuck or collet as it stands".into(),
            Self::Hearth => "hearth or furnace, tongs, quenching bath".into(),
        }
    }
}
