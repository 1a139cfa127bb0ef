//! The lengths and threads of a sheet, what may become of them, and what they
//! have to agree with.

use super::{DimensionId, Feature, FeatureId, Finish, ThreadId};
use crate::measure::{Length, Written};
use crate::tables::threads::Thread;

/// What a length on the sheet measures: it decides where its metric sizes come from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Measures {
    /// From one thing to another.
    Position,
    /// Radius of a boss or corner.
    Radius,
    /// Diameter of a hole.
    Hole(Finish),
    /// Thickness of the stock.
    Thickness,
    /// Thickness left by a step.
    Web,
    /// Outside width or height.
    Outside,
    /// Width of a slot.
    SlotWidth,
    /// Width of a saw cut.
    SawWidth,
    /// Depth of a blind hole or counterbore.
    Depth,
    /// Across a counterbore.
    Counterbore,
    /// Across a countersink at its face.
    Countersink,
    /// Width or height of a pocket.
    Inside,
    /// Radius of an inside corner: that of a cutter.
    InsideCorner,
    /// Across a square or flatted hole, filed to suit.
    Filed,
    /// The diameter that names a taper pin.
    TaperPin,
    /// Diameter of a turned section or groove bottom.
    Turned,
    /// Length along a turned part.
    Along,
    /// From the axis of a turned part to that of an eccentric section.
    Throw,
    /// From ridge to ridge of a knurl.
    KnurlPitch,
    /// From flat to flat, where a spanner goes.
    AcrossFlats,
    /// Across the flats of square or hexagon bar left as it comes.
    AcrossBar,
    /// Size of a chamfer.
    Chamfer,
    /// A shaft, pin or rod that belongs to a mate.
    Shaft,
}

impl Measures {
    /// What may become of it when the file does not say: sizes that a tool or the rack makes
    /// follow it, the rest may move. Common practice, shown as assumed.
    pub const fn usual_role(self) -> Role {
        match self {
            Self::Hole(_)
            | Self::SlotWidth
            | Self::SawWidth
            | Self::Thickness
            | Self::Counterbore
            | Self::Countersink
            | Self::InsideCorner
            | Self::Filed
            | Self::TaperPin
            | Self::Shaft
            | Self::KnurlPitch
            | Self::AcrossFlats
            | Self::AcrossBar => Role::Suit,
            // The stroke of whatever an eccentric drives is twice its throw.
            Self::Throw => Role::Hold,
            Self::Position
            | Self::Radius
            | Self::Outside
            | Self::Inside
            | Self::Web
            | Self::Depth
            | Self::Turned
            | Self::Along
            | Self::Chamfer => Role::Free,
        }
    }
}

/// What may become of a dimension.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Role {
    /// The mechanism depends on it: exact within its tolerance.
    Hold,
    /// It follows a mate, a tool or the stock.
    Suit,
    /// It may move.
    Free,
}

impl Role {
    /// The word for it.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Hold => "hold",
            Self::Suit => "suit",
            Self::Free => "free",
        }
    }
}

/// Whether something was said or supposed.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Given {
    /// The file says so.
    Said,
    /// The tool supposes it, and every sheet that shows it says so.
    #[default]
    Assumed,
}

/// One length on the sheet.
#[derive(Clone, Debug, PartialEq)]
pub struct Dimension {
    /// `rod boss: radius`, or `rod boss: right of pivot boss`.
    pub name: String,
    /// As written, and exactly.
    pub written: Written,
    /// Line in the file.
    pub line: usize,
    /// Path of its entry in the file, for changing it: `feature/3/diameter`.
    pub at: String,
    /// What it measures.
    pub measures: Measures,
    /// What may become of it, and whether that was said.
    pub role: (Role, Given),
    /// Whether its own entry says its role, and not the part for all of them.
    pub own_role: bool,
    /// How far it may go from the drawing, where the file says.
    pub within: Option<Length>,
    /// Why it is held so, where that is not said in its own file but follows from what a mechanism does.
    pub held_by: Option<String>,
    /// The caution that its own file lets it go further than a mechanism of the project leaves it.
    pub loose: Option<String>,
    /// The size that a person has chosen for it: that and no other.
    pub pin: Option<Length>,
    /// What it measures, where it is cut already.
    pub made: Option<Length>,
}

/// One thread on the sheet.
#[derive(Clone, Debug, PartialEq)]
pub struct ThreadCall {
    /// The feature it belongs to and what it is there: `clamp screw: thread`.
    pub name: String,
    /// As written.
    pub text: String,
    /// The published thread of that name.
    pub thread: &'static Thread,
    /// Line in the file.
    pub line: usize,
    /// Path of its entry in the file, for changing it: `feature/3/thread`.
    pub at: String,
    /// What may become of it, and whether that was said.
    pub role: (Role, Given),
    /// Whole percent of its tensile stress area that the person lets it keep at least; else the usual share.
    pub keeps: Option<u32>,
    /// The thread that a person has chosen for it: that and no other.
    pub pin: Option<&'static Thread>,
    /// The thread it has, where it is cut already.
    pub made: Option<&'static Thread>,
}

/// Sizes of the part that stay equal whatever becomes of them.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Equal {
    /// Two or more.
    pub dimensions: Vec<DimensionId>,
    /// Line in the file.
    pub line: usize,
}

/// A relation to another part: a shaft in one of this part's holes, or on it.
#[derive(Clone, Debug, PartialEq)]
pub struct Mate {
    /// What the other part is called.
    pub name: String,
    /// The hole or turned section it meets.
    pub with: FeatureId,
    /// Its size there.
    pub size: DimensionId,
    /// The fit: an ISO 286 pair such as `H7/g6`, or a plain word such as `running`.
    pub fit: String,
    /// What the shaft is made from, where it follows the rack.
    pub made_from: Option<String>,
    /// Whether the other part is already made or bought and cannot follow.
    pub fixed: bool,
    /// The part of the project that it is, where the file says.
    pub partner: Option<Partner>,
    /// Line in the file.
    pub line: usize,
}

/// A feature of another part of the project.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Partner {
    /// What the other part is called.
    pub part: String,
    /// Its feature.
    pub feature: String,
    /// Which hole of a pattern here goes with it, counted from nought: where that feature is a pattern too, its
    /// hole of that number is meant.
    pub nth: Option<usize>,
    /// Line in the file.
    pub line: usize,
}

impl Partner {
    /// The feature that is meant among those of the other part.
    pub fn find(&self, features: &[Feature]) -> Option<FeatureId> {
        let named = |feature: &Feature| feature.name.eq_ignore_ascii_case(&self.feature);
        let id = FeatureId(features.iter().position(named)?);
        match (self.nth, features[id.0].kind.pattern()) {
            (Some(nth), Some(holes)) => holes.get(nth).copied(),
            _ => Some(id),
        }
    }
}

/// A thread of this part that screws into or on to another part.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Screwed {
    /// The tapped hole, threaded section or hole that a screw passes.
    pub feature: FeatureId,
    /// Its thread.
    pub thread: ThreadId,
    /// What it screws into or on to.
    pub partner: Partner,
}
