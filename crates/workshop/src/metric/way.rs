//! One way in which a size can come out, and the job all ways belong to.

use super::buy::Buy;
use super::choice::{MadeWith, Refused};
use super::rules::Rule;
use super::shelf::Shelf;
use crate::bench::{Bench, Reamer, Saw, Stock};
use crate::drawing::{
    Around, Body, Dimension, DimensionId, Drawing, Feature, FeatureId, Kind, Mate, Part, SectionSize, Size,
    Solved, ThreadId,
};
use crate::measure::Length;
use crate::tables::drills::Drill;
use crate::tables::materials::Material;
use crate::tables::surface::Surface;
use crate::tables::taper_pins::TaperPin;
use crate::tables::threads::Thread;
use crate::why::Why;

/// One size a dimension may take, and what makes it.
#[derive(Clone, Debug, PartialEq)]
pub struct Way {
    /// The size.
    pub value: Length,
    /// What brings it out.
    pub made: MadeWith,
    /// What would have to be bought.
    pub buys: Vec<Buy>,
    /// The rule that offers it.
    pub rule: &'static Rule,
    /// What else there is to say of it.
    pub note: Option<Why>,
    /// The class of ISO 286 that it comes out to, where it has one.
    pub class: Option<String>,
    /// Steps of unroundness.
    pub unround: u32,
    /// Departure beyond the distance from the drawing.
    pub extra: u64,
}

impl Way {
    /// A way that needs nothing bought.
    pub fn new(value: Length, made: MadeWith, rule: &'static Rule) -> Self {
        Self { value, made, buys: Vec::new(), rule, note: None, class: None, unround: 0, extra: 0 }
    }

    /// With something to buy, unless it is owned.
    #[must_use]
    pub fn buying(mut self, owned: bool, what: impl FnOnce() -> Buy) -> Self {
        if !owned {
            self.buys.push(what());
        }
        self
    }

    /// Made to a class.
    #[must_use]
    pub fn class(mut self, class: impl Into<String>) -> Self {
        self.class = Some(class.into());
        self
    }

    /// So unround.
    #[must_use]
    pub fn unround(mut self, steps: u32) -> Self {
        self.unround = steps;
        self
    }

    /// With a remark.
    #[must_use]
    pub fn note(mut self, note: Why) -> Self {
        self.note = Some(note);
        self
    }
}

/// Every way one dimension may come out.
#[derive(Clone, Debug, PartialEq)]
pub struct Ways {
    /// The ways.
    pub ways: Vec<Way>,
    /// Greatest departure either way.
    pub limit: Length,
    /// What that rests on.
    pub limit_why: Why,
    /// What was ruled out before any choosing.
    pub ruled_out: Vec<Refused>,
    /// Whether this dimension pays for them.
    pub costs: Costs,
}

/// Where what a way costs is counted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Costs {
    /// With the dimension.
    Here,
    /// With the real size that the dimension stands in for, in another part.
    Elsewhere,
}

/// One thread a thread of the drawing may become, with its drill.
#[derive(Clone, Debug, PartialEq)]
pub struct ThreadWay {
    /// The thread.
    pub thread: &'static Thread,
    /// The tapping drill, for a thread in a hole.
    pub drill: Option<Drill>,
    /// What would have to be bought.
    pub buys: Vec<Buy>,
    /// The rule that offers it.
    pub rule: &'static Rule,
    /// How far the percent of thread lies outside the aim.
    pub outside_aim: u32,
}

/// Every thread one thread may become.
#[derive(Clone, Debug, PartialEq)]
pub struct ThreadWays {
    /// The ways.
    pub ways: Vec<ThreadWay>,
    /// What was ruled out before any choosing.
    pub ruled_out: Vec<Refused>,
}

/// What is being metricated, with what.
pub struct Job<'a> {
    /// The drawing.
    pub drawing: &'a Drawing,
    /// Its places.
    pub solved: &'a Solved,
    /// What is owned.
    pub bench: &'a Bench,
    /// The part as drawn.
    pub part: Part<'a>,
    /// Drills owned and for sale.
    pub shelf: &'a Shelf<'a>,
    /// What it is made of.
    pub material: &'static Material,
}

/// What a dimension is a size of.
#[derive(Clone, Copy, Debug)]
pub enum Owner {
    /// The body.
    Body,
    /// A feature's own size.
    Feature(FeatureId),
    /// A place.
    Place,
    /// A mate.
    Mate,
}

/// What a thread is cut in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Cut {
    /// The hole of a feature.
    Inside(FeatureId),
    /// The outside of a turned section.
    Outside(FeatureId),
    /// Another part: the screw passes through a hole of this one.
    Elsewhere,
}

impl<'a> Job<'a> {
    /// A dimension.
    pub fn dimension(&self, id: DimensionId) -> &'a Dimension {
        &self.drawing.dimensions[id.0]
    }

    /// Whether a size is only asked about: its pin stands in no file.
    pub fn is_asked(&self, size: Size) -> bool {
        self.drawing.tried == Some(size)
    }

    /// A feature.
    pub fn feature(&self, id: FeatureId) -> &'a Feature {
        &self.drawing.features[id.0]
    }

    /// What a dimension belongs to; of holes that share a size, the first.
    pub fn owner(&self, id: DimensionId) -> Owner {
        if self.drawing.mates.iter().any(|mate| mate.size == id) {
            return Owner::Mate;
        }
        if let Some((feature, _)) = self.part.features().find(|(_, f)| f.kind.sizes().contains(&id)) {
            return Owner::Feature(feature);
        }
        let body = match self.drawing.body {
            Body::Bosses { thickness, .. } => vec![thickness],
            Body::Outline { ref around, thickness } => around
                .iter()
                .filter_map(|item| match item {
                    Around::Arc { radius, .. } => Some(*radius),
                    Around::At(_) => None,
                })
                .chain([thickness])
                .collect(),
            Body::Rectangle { width, height, thickness, .. } => vec![width, height, thickness],
            Body::Disc { diameter, thickness } => vec![diameter, thickness],
            Body::Turned { length, .. } => length.into_iter().collect(),
        };
        if body.contains(&id) { Owner::Body } else { Owner::Place }
    }

    /// The mate that meets a feature.
    pub fn mate_of(&self, id: FeatureId) -> Option<&'a Mate> {
        self.drawing.mates.iter().find(|mate| mate.with == id)
    }

    /// What a thread is cut in.
    pub fn cut(&self, id: ThreadId) -> Cut {
        for (at, feature) in self.part.features() {
            match feature.kind {
                Kind::Tapped { thread, .. } | Kind::ClampScrew { thread, .. } if thread == id => {
                    return Cut::Inside(at);
                }
                Kind::Section { size: SectionSize::Threaded(thread), .. } if thread == id => {
                    return Cut::Outside(at);
                }
                _ => {}
            }
        }
        Cut::Elsewhere
    }

    /// Whether a dimension is the radius of a corner that the outline turns into.
    pub fn hollow_corner(&self, id: DimensionId) -> bool {
        let Owner::Feature(corner) = self.owner(id) else { return false };
        let feature = self.feature(corner);
        if !matches!(feature.kind, Kind::Corner { .. }) {
            return false;
        }
        let Ok(named) = self.part.pieces() else { return false };
        let rounds = named.names.iter().zip(named.outline.segments());
        rounds.into_iter().any(|(name, segment)| match segment {
            crate::geometry::Segment::Arc(arc) => *name == feature.name && arc.sweep_rad < 0.0,
            crate::geometry::Segment::Line(_) => false,
        })
    }

    /// The thickness of a plate; none for a turned part.
    pub fn plate_thickness(&self) -> Option<DimensionId> {
        match self.drawing.body {
            Body::Bosses { thickness, .. }
            | Body::Outline { thickness, .. }
            | Body::Rectangle { thickness, .. }
            | Body::Disc { thickness, .. } => Some(thickness),
            Body::Turned { .. } => None,
        }
    }
}

/// How a tool or bar is called in a list of what to buy, or in a sentence.
pub fn drill_name(drill: &Drill) -> String {
    format!("drill {}", drill.name)
}

/// See [`drill_name`].
pub fn reamer_name(reamer: &Reamer) -> String {
    let size = match reamer.diameter.as_inch_fraction() {
        Some(inches) => format!("{inches} in"),
        None => reamer.diameter.to_string(),
    };
    format!("reamer {size} {}", reamer.class)
}

/// See [`drill_name`].
pub fn taper_reamer_name(pin: &TaperPin) -> String {
    format!("taper pin reamer {}, 1 in {}", pin.name, pin.taper.run())
}

/// See [`drill_name`].
pub fn mill_name(diameter: Length) -> String {
    format!("end mill {diameter}")
}

/// See [`drill_name`].
pub fn saw_name(saw: &Saw) -> String {
    format!("saw {} × {}", saw.diameter, saw.width)
}

/// See [`drill_name`]: a tap, or the die for a thread on the outside.
pub fn thread_tool_name(thread: &Thread, cut: Cut) -> String {
    let tool = if matches!(cut, Cut::Outside(_)) { "die" } else { "tap" };
    format!("{tool} {}", thread.designation)
}

/// See [`drill_name`].
pub fn stock_name(stock: &Stock) -> String {
    // What is not said to be black is bought bright.
    let black = if stock.surface == Some(Surface::Black) { "black " } else { "" };
    let name = match stock.section {
        crate::bench::Section::Flat { thickness, width } if width == Some(thickness) => {
            format!("square {thickness} {}", stock.material)
        }
        crate::bench::Section::Flat { thickness, .. } => format!("flat {thickness} {}", stock.material),
        crate::bench::Section::Round { diameter } => format!("round {diameter} {}", stock.material),
        crate::bench::Section::Hexagon { across } => format!("hexagon {across} {}", stock.material),
    };
    format!("{black}{name}")
}

/// What makes a size, in words.
pub fn made_words(made: &MadeWith) -> String {
    match made {
        MadeWith::Drill(drill) => drill_name(drill),
        MadeWith::Reamer { reamer, pilot } => format!("{} after {}", reamer_name(reamer), drill_name(pilot)),
        MadeWith::Boring { pilot } => format!("boring tool after {}", drill_name(pilot)),
        MadeWith::EndMill(mill) => mill_name(mill.diameter),
        MadeWith::Saw(saw) => format!("saw {}", saw.width),
        MadeWith::Stock(stock) => stock_name(stock),
        MadeWith::Setting => "setting the machine".into(),
        MadeWith::Lathe => "turning".into(),
        MadeWith::TaperReamer(pin) => taper_reamer_name(pin),
        MadeWith::File => "files".into(),
        MadeWith::Exact => "nothing: it is there already".into(),
    }
}
