//! Which tool does a thing, and how far it reaches.

use super::deed::{Job, Lot, Makings};
use super::work::{SlotSides, Tool};
use crate::bench::{EndMill, Reamer, Saw};
use crate::drawing::{DimensionId, FeatureId, ThreadId};
use crate::measure::Length;
use crate::metric::MadeWith;
use crate::settings::cutter::stiffest;
use crate::settings::slitting;
use crate::tables::drills::{self, Drill, DrillSeries};
use crate::tables::end_mills::long_series;
use crate::tables::processes::{limit, process};
use crate::tables::{Source, Standing};

impl Job<'_> {
    /// The drill that opens a hole, and what brings it to size after that.
    pub(super) fn hole_tools(&self, diameter: DimensionId) -> (Drill, Option<Tool>) {
        let size = self.part.size(diameter);
        match &self.metric.dimensions[diameter.0].made {
            MadeWith::Drill(drill) => (drill.clone(), None),
            MadeWith::Reamer { reamer, pilot } => (pilot.clone(), Some(Tool::Reamer(reamer.clone()))),
            MadeWith::Boring { pilot } => (pilot.clone(), Some(Tool::BoringTool)),
            MadeWith::File => {
                let usual = || drill_of(Length::mm(4));
                (self.ring_drill(size).unwrap_or_else(usual), Some(Tool::File))
            }
            MadeWith::EndMill(_)
            | MadeWith::Saw(_)
            | MadeWith::Stock(_)
            | MadeWith::Setting
            | MadeWith::TaperReamer(_)
            | MadeWith::Lathe
            | MadeWith::Exact => self.tools_as_finished(diameter, size),
        }
    }

    /// For a hole kept as drawn: its drill, or a drill below it and what finishes it.
    fn tools_as_finished(&self, diameter: DimensionId, size: Length) -> (Drill, Option<Tool>) {
        use crate::drawing::{Finish, Measures};
        match self.part.drawing.dimensions[diameter.0].measures {
            Measures::Hole(Finish::Reamed) => (
                drill_below(size, Length::microns(200)),
                Some(Tool::Reamer(Reamer { diameter: size, class: "H7".into() })),
            ),
            Measures::Hole(Finish::Bored) => {
                (drill_below(size, Length::microns(500)), Some(Tool::BoringTool))
            }
            _ => (drill_of(size), None),
        }
    }

    /// The drill of a ring of holes inside a large one: as wide as leaves a middle to drop out.
    pub(super) fn ring_drill(&self, size: Length) -> Option<Drill> {
        let most = size.half() - limit("chain margin") * 2 - Length::mm_ratio(1, 2);
        super::waste::chain_drill_to(self, most)
    }

    /// The drill before a tap: the one chosen, or for a thread kept as drawn the nearest
    /// above its minor diameter.
    pub(super) fn tapping_drill(&self, thread: ThreadId) -> Drill {
        self.metric.threads[thread.0].tapping_drill.clone().unwrap_or_else(|| {
            let minor = self.part.thread(thread).minor;
            drills::all().iter().find(|d| d.diameter >= minor).cloned().unwrap_or_else(|| drill_of(minor))
        })
    }

    /// The cutter that is plunged for a counterbore: as wide as it, owned or not.
    pub(super) fn counterbore_mill(&self, width: DimensionId, makings: &mut Makings) -> EndMill {
        if let MadeWith::EndMill(mill) = &self.metric.dimensions[width.0].made {
            return mill.clone();
        }
        let size = self.part.size(width);
        match self.bench.end_mills.iter().find(|mill| mill.diameter == size) {
            Some(mill) => mill.clone(),
            None => self.mill_to_buy(size, makings),
        }
    }

    fn mill_to_buy(&self, size: Length, makings: &mut Makings) -> EndMill {
        makings.assume(format!("an end mill of {size} has to be bought"));
        EndMill::new(size, size * 2, 4)
    }

    /// The cutter for a slot: the one chosen, else one of that size or below.
    pub(super) fn mill_for(&self, width: DimensionId, makings: &mut Makings) -> EndMill {
        if let MadeWith::EndMill(mill) = &self.metric.dimensions[width.0].made {
            return mill.clone();
        }
        let size = self.part.size(width);
        let owned = self.bench.end_mills.iter().rev().find(|mill| mill.diameter <= size);
        owned.cloned().unwrap_or_else(|| self.mill_to_buy(size, makings))
    }

    /// Whether each side of a slot is brought to size by itself: where its width is held nearer than
    /// one cut comes, and the cutter is narrower.
    pub(super) fn slot_sides(&self, width: DimensionId, mill: &EndMill) -> SlotSides {
        let near = process("mill a slot").size;
        let close = self.room_of(width).zip(near).is_some_and(|(room, near)| room < near);
        if close && mill.diameter < self.part.size(width) { SlotSides::Finished } else { SlotSides::AsCut }
    }

    /// The cutter that goes round inside corners: the one chosen; else of those owned that fit
    /// them and reach so deep the one that bends least, or the widest where none reaches.
    pub(super) fn mill_round(&self, corner: DimensionId, deep: Length, makings: &mut Makings) -> EndMill {
        if let MadeWith::EndMill(mill) = &self.metric.dimensions[corner.0].made {
            return mill.clone();
        }
        let size = self.part.size(corner) * 2;
        let fits = || self.bench.end_mills.iter().filter(|mill| mill.diameter <= size);
        let reaches = stiffest(fits().filter(|mill| mill.flute >= deep));
        if reaches.is_none()
            && let Some(mill) = self.long_mill(deep, size, makings)
        {
            return mill;
        }
        let found = reaches.or_else(|| fits().max_by_key(|mill| mill.diameter)).cloned();
        found.unwrap_or_else(|| self.mill_to_buy(size, makings))
    }

    /// A cutter of the long series, to be bought, for a hollow so deep that no wider one goes into: the widest
    /// that reaches and that the spindle is known to hold; none where none does.
    fn long_mill(&self, deep: Length, across: Length, makings: &mut Makings) -> Option<EndMill> {
        let widest = self.bench.end_mills.iter().map(|mill| mill.diameter).max()?.min(across);
        let mill = long_series().iter().rfind(|mill| mill.flute >= deep && mill.diameter <= widest)?;
        makings.assume(format!(
            "an end mill of {} with flutes {} long (long series) has to be bought: none owned that goes into {across} reaches {deep} deep",
            mill.diameter, mill.flute
        ));
        Some(EndMill::new(mill.diameter, mill.flute, mill.teeth))
    }

    /// The cutter for edges this thick: of those whose flutes cover them the one that bends least.
    pub(super) fn mill_along(&self, thick: Length, makings: &mut Makings) -> EndMill {
        let mills = &self.bench.end_mills;
        if let Some(mill) = stiffest(mills.iter().rev().filter(|mill| mill.flute >= thick)) {
            return mill.clone();
        }
        if let Some(mill) = mills.iter().max_by_key(|mill| (mill.flute, mill.diameter)) {
            makings.assume(format!(
                "no end mill has flutes as long as the work is thick ({thick}): the {} one takes the edge in two depths",
                mill.diameter
            ));
            return mill.clone();
        }
        makings.assume("a 10 mm end mill with 22 mm flutes has to be bought: the bench has none".into());
        EndMill::new(Length::mm(10), Length::mm(22), 4)
    }

    /// The cutter for a step so deep: of those owned whose flutes reach the one that bends least; else one
    /// of the long series, to be bought: the widest that the spindle is known to hold, or the smallest that reaches.
    pub(super) fn mill_down(&self, step: FeatureId, deep: Length, makings: &mut Makings) -> EndMill {
        if self.mill_covers(deep) {
            return self.mill_along(deep, makings);
        }
        let widest = self.bench.end_mills.iter().map(|mill| mill.diameter).max().unwrap_or_default();
        let mut reach = long_series().iter().filter(|mill| mill.flute >= deep);
        let held = reach.clone().rfind(|mill| mill.diameter <= widest);
        let Some(mill) = held.or_else(|| reach.next()) else {
            return self.mill_along(Length::ZERO, makings);
        };
        makings.assume(format!(
            "an end mill of {} with flutes {} long (long series) has to be bought for {}, which is {deep} deep",
            mill.diameter,
            mill.flute,
            self.name(step)
        ));
        EndMill::new(mill.diameter, mill.flute, mill.teeth)
    }

    /// Whether some cutter owned covers an edge this thick; where there is no mill, a file does.
    pub(super) fn mill_covers(&self, thick: Length) -> bool {
        !self.mills() || self.bench.end_mills.iter().any(|mill| mill.flute >= thick)
    }

    /// The saw for a slit.
    pub(super) fn saw(&self, slit: FeatureId, width: DimensionId, makings: &mut Makings) -> Saw {
        if let MadeWith::Saw(saw) = &self.metric.dimensions[width.0].made {
            return saw.clone();
        }
        let size = self.part.size(width);
        let deep = self.part.slit_depth(slit).unwrap_or_default();
        let owned = self.bench.saws.iter().find(|saw| saw.width == size && slitting::reach(saw) >= deep);
        owned.cloned().unwrap_or_else(|| {
            makings.assume(format!("a slitting saw {size} wide has to be bought"));
            // Where none reaches, the row of the slit refuses the largest.
            slitting::saw_to_buy(size, deep).unwrap_or(slitting::largest_saw(size))
        })
    }

    /// Whether a tool reaches through what a lot holds.
    pub(super) fn reaches(&self, tool: &Tool, lot: Lot) -> bool {
        self.reaches_into(tool, self.metal(lot))
    }

    /// Whether a tool reaches through so much metal.
    pub(super) fn reaches_into(&self, tool: &Tool, metal: Length) -> bool {
        match tool {
            Tool::Drill(drill) => process("drill").reaches(drill.diameter, metal),
            Tool::Tap(thread) => process("tap").reaches(thread.major, metal),
            Tool::Reamer(reamer) => process("ream").reaches(reamer.diameter, metal),
            // The taper of one piece is not that of the next.
            Tool::TaperReamer(_) => false,
            Tool::Broach(across) => process("broach a square").reaches(*across, metal),
            Tool::EndMill(mill) => metal <= mill.flute,
            _ => true,
        }
    }

    /// Whether a boring tool reaches through what a lot holds.
    pub(super) fn bores_through(&self, diameter: Length, lot: Lot) -> bool {
        process("bore").reaches(diameter, self.metal(lot))
    }
}

/// A drill of a size that is in no list has the size for its name.
fn drill_of(diameter: Length) -> Drill {
    drills::all().iter().find(|d| d.diameter == diameter).cloned().unwrap_or_else(|| Drill {
        name: diameter.to_string(),
        diameter,
        series: DrillSeries::Metric,
        source: Source { published: "the size on the drawing".into(), standing: Standing::CommonPractice },
    })
}

/// The largest drill that leaves an allowance.
fn drill_below(size: Length, allowance: Length) -> Drill {
    let below = drills::all().iter().rev().find(|d| d.diameter + allowance <= size);
    below.cloned().unwrap_or_else(|| drill_of(size - allowance))
}
