//! What holds the work, where, and what it is positioned from.

use crate::drawing::{Face, FeatureId, Hand, Image};
use crate::measure::Length;

/// One holding of the work.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Holding {
    /// The machine it stands on.
    pub machine: Machine,
    /// What lies in it.
    pub pieces: Pieces,
    /// The face towards the spindle, or of a turned part the end that is worked; a face
    /// of the part as it lies, so already changed for the other hand.
    pub up: Face,
    /// What holds it.
    pub held: Held,
    /// What it is positioned from.
    pub located: Located,
    /// Whether the part lies as drawn or mirrored.
    pub image: Image,
    /// What steadies long work that stands out of what holds it.
    pub steadied: Steadied,
}

/// What steadies work that stands out of what holds it.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Steadied {
    /// Nothing: it stands firm.
    #[default]
    Not,
    /// The tailstock's centre, once the end is centred.
    Tailstock,
    /// The tailstock's centre, and a steady that travels behind the tool.
    Travelling,
    /// The fixed steady, on a finished section.
    Fixed {
        /// The section its fingers run on.
        on: FeatureId,
    },
}

/// A machine, or the bench.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Machine {
    /// The mill with its table square.
    Mill,
    /// The rotary table on the mill.
    RotaryTable,
    /// The lathe.
    Lathe,
    /// The drill press.
    DrillPress,
    /// The bench and its vice.
    BenchVice,
}

/// What lies in a holding.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Pieces {
    /// The only piece there is.
    Single,
    /// The only piece of one of two opposite hands.
    One(Hand),
    /// Pieces stuck together: opposite hands by turns back to back and front to front, the
    /// drawn hand's front outside; those of one hand front to back.
    Stack(Lots),
    /// Each of several alike by itself, with the stops left as they are.
    Each(Lots),
    /// Both hands in one holding, by turns side by side, the first as it is drawn.
    Both(Lots),
    /// One piece of each of several parts, laid on each other.
    Joint {
        /// How they come to it.
        lots: Lots,
        /// By its place in [`crate::drawing::Drawing::together`].
        which: usize,
    },
}

/// How several pieces come to one holding.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Lots {
    /// How many pieces go through it.
    pub pieces: u32,
    /// How many of them the tallest stack has; one where none are stuck together.
    pub high: u32,
    /// How many stacks, or pieces by themselves, lie side by side at a time.
    pub beside: u32,
    /// From each to the next beside it.
    pub gap: Length,
    /// Which hand they are, where it is one of two and both go through by themselves.
    pub hand: Hand,
    /// What holds the pieces of a stack together.
    pub joined: Joined,
}

/// What holds the pieces of a stack together.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub enum Joined {
    /// Adhesive.
    #[default]
    Stuck,
    /// Clamps, and then screws through holes of their own.
    Screwed,
}

impl Holding {
    /// Whether jaws, stops and centres stay as they are set from one turned piece to the next: it is
    /// set up once for all of them, however often it is filled.
    pub const fn stays_set(&self) -> bool {
        let kept = matches!(
            self.held,
            Held::Chuck { .. }
                | Held::Collet { .. }
                | Held::SoftJaws { .. }
                | Held::SplitBush { .. }
                | Held::SawnLength
                | Held::Centres
                | Held::OffsetCentres { .. }
                | Held::Mandrel { .. }
                | Held::Inside { .. }
                | Held::Screwed { .. }
        );
        kept && matches!(self.machine, Machine::Lathe)
    }
}

impl Lots {
    /// How many stacks there are, or pieces by themselves.
    pub const fn stacks(self) -> u32 {
        self.pieces.div_ceil(self.high)
    }

    /// How often the holding is filled.
    pub const fn fills(self) -> u32 {
        self.stacks().div_ceil(self.beside)
    }

    /// How many pieces the lowest stack has: stacks are as equal as may be.
    pub const fn lowest(self) -> u32 {
        self.pieces / self.stacks()
    }

    /// How many of the stacks are the tallest.
    pub const fn tallest(self) -> u32 {
        match self.pieces % self.stacks() {
            0 => self.stacks(),
            some => some,
        }
    }
}

impl Pieces {
    /// How they come to the holding, where there are several.
    pub const fn lots(self) -> Option<Lots> {
        match self {
            Self::Single | Self::One(_) => None,
            Self::Stack(lots) | Self::Each(lots) | Self::Both(lots) | Self::Joint { lots, .. } => Some(lots),
        }
    }

    /// How many thicknesses lie one on the other.
    pub const fn high(self) -> u32 {
        match self.lots() {
            Some(lots) => lots.high,
            None => 1,
        }
    }

    /// How many lie side by side at a time.
    pub const fn beside(self) -> u32 {
        match self.lots() {
            Some(lots) => lots.beside,
            None => 1,
        }
    }

    /// What says that the part lies in it with others, by its place in the drawing.
    pub const fn joint(self) -> Option<usize> {
        match self {
            Self::Joint { which, .. } => Some(which),
            _ => None,
        }
    }

    /// Whether pieces lie in it stuck together.
    pub const fn is_stack(self) -> bool {
        matches!(self, Self::Stack(_))
    }

    /// How many pieces go through the holding.
    pub const fn count(self) -> u32 {
        match self.lots() {
            Some(lots) => lots.pieces,
            None => 1,
        }
    }

    /// The hand that lies in it, where it is one of two.
    pub const fn hand(self) -> Hand {
        match self {
            Self::One(hand) => hand,
            Self::Each(lots) => lots.hand,
            Self::Single | Self::Stack(_) | Self::Both(_) | Self::Joint { .. } => Hand::Neither,
        }
    }
}

/// What holds the work.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Held {
    /// Flat on parallels in the mill's vice.
    ViceOnParallels,
    /// On edge in the mill's vice.
    ViceOnEdge,
    /// Clamped flat on packing, the clamps moved out of the cutter's way one at a time.
    ClampsMoved,
    /// Bolted and dowelled flat to a plate through its own bores.
    BoltOnPlate {
        /// The bores, the one positions are taken from first.
        bores: Vec<FeatureId>,
    },
    /// Bolted to the same plate, whose edge is in the vice.
    PlateOnEdge {
        /// The bores, the one positions are taken from first.
        bores: Vec<FeatureId>,
    },
    /// Bolted to the same plate, swung until a flank lies along X.
    PlateSwung {
        /// The bores, the one positions are taken from first.
        bores: Vec<FeatureId>,
    },
    /// Bolted to the same plate, which is clamped on the rotary table with a place of the
    /// drawing over the table's centre.
    PlateTurned {
        /// The bores, the one positions are taken from first.
        bores: Vec<FeatureId>,
        /// What lies over the table's centre, X and Y of the part as drawn.
        about: (Length, Length),
        /// What has its centre there.
        over: String,
    },
    /// On a stub through a finished bore.
    StubMandrel {
        /// The bore.
        bore: FeatureId,
    },
    /// Pressed by the tailstock between two pads, one of them in the lathe's chuck: a
    /// disc with no bore.
    PressurePads,
    /// In the chuck: the bar, or a finished section.
    Chuck {
        /// The section; `None` for the bar.
        on: Option<FeatureId>,
    },
    /// In a collet: the bar, or a finished section.
    Collet {
        /// The section; `None` for the bar.
        on: Option<FeatureId>,
    },
    /// In soft jaws that are bored in place to a finished section.
    SoftJaws {
        /// The section.
        on: FeatureId,
    },
    /// In the chuck by a knurled section, a ring bored to it and sawn through along one side between it and
    /// the jaws.
    SplitBush {
        /// The section.
        on: FeatureId,
    },
    /// In the four-jaw chuck, a finished section clocked true.
    Clocked {
        /// The section.
        on: FeatureId,
    },
    /// A length of bar off its bar, in the chuck by its own outside: its ends are faced and
    /// centred, and nothing else has to run true.
    SawnLength,
    /// Between centres, driven from the end that is not worked.
    Centres,
    /// Between a pair of centre holes drilled off the axis, so that a section's own axis runs true.
    OffsetCentres {
        /// The first of the sections that then run true.
        section: FeatureId,
    },
    /// On end, the whole bar in a vee in the vice: its end is centred off its axis.
    WholeBar,
    /// On a mandrel through a finished bore.
    Mandrel {
        /// The bore.
        bore: FeatureId,
        /// Whether the bench has the mandrel; else a stub is turned to the bore in place.
        owned: bool,
    },
    /// In the chuck from within, its jaws opened in a finished bore.
    Inside {
        /// The bore.
        bore: FeatureId,
    },
    /// Screwed by a thread of its own on a stub turned in place, its end or shoulder against it.
    Screwed {
        /// The tapped hole, or the threaded section.
        thread: FeatureId,
    },
    /// Clamped to the faceplate by its faced end, a finished bore clocked true.
    Faceplate {
        /// The bore.
        bore: FeatureId,
    },
    /// A plate clamped flat to the faceplate, the punched centre of one of its holes running true.
    PlateOnFaceplate {
        /// The hole that is bored.
        hole: FeatureId,
    },
    /// Off centre in the four-jaw chuck, so that a section's own axis runs true.
    FourJaw {
        /// What the jaws grip; `None` for the bar.
        on: Option<FeatureId>,
        /// The first of the sections that then run true.
        section: FeatureId,
    },
    /// Off centre in the three-jaw chuck by packing under one jaw, likewise.
    Packed {
        /// What the jaws grip; `None` for the bar.
        on: Option<FeatureId>,
        /// The first of the sections that then run true.
        section: FeatureId,
    },
    /// On end in a chuck that stands on the mill's table.
    Upright {
        /// The section that is gripped.
        on: FeatureId,
    },
    /// Along X in a chuck on the rotary table, which stands on its edge.
    Indexed {
        /// The section that is gripped.
        on: FeatureId,
    },
    /// Along X in the chuck of a dividing head.
    DividingHead {
        /// The section that is gripped.
        on: FeatureId,
    },
    /// In a square or hexagon collet block in the mill's vice.
    ColletBlock {
        /// The section that is gripped.
        on: FeatureId,
        /// How many flats are wanted: the block has as many sides, or four.
        sides: u32,
    },
    /// In a vee block on the mill, lying on a section; by the flats of bar left as it comes.
    VeeBlock {
        /// The section.
        on: FeatureId,
    },
    /// Between filing buttons in the bench vice.
    FilingButtons,
    /// In the bench vice.
    BenchVice,
    /// Flat on the bench.
    Bench,
}

impl Held {
    /// The finished section of a turned part that something closes on.
    pub const fn grips(&self) -> Option<FeatureId> {
        match self {
            Self::Chuck { on } | Self::Collet { on } | Self::FourJaw { on, .. } | Self::Packed { on, .. } => {
                *on
            }
            Self::SoftJaws { on }
            | Self::Clocked { on }
            | Self::Upright { on }
            | Self::Indexed { on }
            | Self::DividingHead { on }
            | Self::ColletBlock { on, .. }
            | Self::VeeBlock { on } => Some(*on),
            _ => None,
        }
    }

    /// Whether it stands between the jaws of the machine's vice.
    pub const fn in_vice(&self) -> bool {
        matches!(self, Self::ViceOnParallels | Self::ViceOnEdge)
    }

    /// Whether the bar itself is in the chuck, true or off centre.
    pub const fn by_the_bar(&self) -> bool {
        self.in_jaws() && self.grips().is_none()
    }

    /// The finished bore of a turned part that it is held and runs true by.
    pub const fn through(&self) -> Option<FeatureId> {
        match self {
            Self::Mandrel { bore, .. } | Self::Inside { bore } | Self::Faceplate { bore } => Some(*bore),
            _ => None,
        }
    }

    /// The thread of a turned part that it is screwed on by.
    pub const fn screwed_by(&self) -> Option<FeatureId> {
        match self {
            Self::Screwed { thread } => Some(*thread),
            _ => None,
        }
    }

    /// What it is set over for: the first of the sections that run true off the work's own axis.
    pub const fn set_over(&self) -> Option<FeatureId> {
        match self {
            Self::FourJaw { section, .. }
            | Self::Packed { section, .. }
            | Self::OffsetCentres { section } => Some(*section),
            _ => None,
        }
    }

    /// Whether jaws or a collet in the lathe's spindle close on it.
    pub const fn in_jaws(&self) -> bool {
        matches!(
            self,
            Self::Chuck { .. }
                | Self::Collet { .. }
                | Self::SoftJaws { .. }
                | Self::Clocked { .. }
                | Self::FourJaw { .. }
                | Self::Packed { .. }
        )
    }

    /// Whether a turned part turns in the lathe so.
    pub const fn turns(&self) -> bool {
        self.in_jaws()
            || matches!(
                self,
                Self::SawnLength
                    | Self::Centres
                    | Self::OffsetCentres { .. }
                    | Self::Mandrel { .. }
                    | Self::Inside { .. }
                    | Self::SplitBush { .. }
                    | Self::Screwed { .. }
                    | Self::Faceplate { .. }
            )
    }
}

/// What the work is positioned from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Located {
    /// Two faces square to each other.
    Edges(Face, Face),
    /// One finished bore; of a disc nothing else is needed, else an edge is clocked along.
    Bore(FeatureId),
    /// Two finished bores: the first is the datum, the second gives the direction.
    TwoBores(FeatureId, FeatureId),
    /// The end that is worked and the axis of the bar.
    EndAndAxis(Face),
    /// The centre of a feature, marked out on a casting that has no face cut to work from.
    Marked(FeatureId),
    /// Nothing finished yet: by rule from the sawn blank.
    SawnBlank,
    /// Each hole's own centre, marked out and punched.
    Punched,
    /// A line scribed on the work.
    Line,
    /// Nothing: no position matters.
    Nothing,
}
