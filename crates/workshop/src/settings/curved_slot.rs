//! A slot round an arc, cut on the rotary table with the centre of its arc over the table's.
//!
//! A cutter as wide as the slot goes once along its middle, at the radius of its middle line. A
//! narrower one clears the middle first, on into both round ends, and then goes along either side, each
//! turned so that the cutter meets the work. Directions and readings are those of [`super::rotary`].

use super::rotary::{Arc, ArcSetting, Metal, RotaryTable, set_arc};
use super::show::{geometry, mm, positive, practice};
use crate::measure::{Angle, Length};
use crate::problem::Problem;
use crate::why::{Figure, Why};

/// A curved slot in the part's own directions.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct CurvedSlot {
    /// Of its middle line.
    pub radius: Length,
    /// Across.
    pub width: Length,
    /// The direction of the middle of its first round end from the centre of the arc.
    pub start: Angle,
    /// How far it runs anticlockwise from there to the middle of the other.
    pub sweep: Angle,
}

/// One way of the cutter round the table's centre.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Pass {
    /// What it is called; nothing where it is the only one.
    pub called: &'static str,
    /// The spindle's distance from the table's centre.
    pub offset: Length,
    /// Readings, and the way to turn.
    pub setting: ArcSetting,
    /// Why the offset is what it is.
    why: String,
}

/// How a curved slot is set and cut.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Setting {
    /// The ways of the cutter, in order.
    pub passes: Vec<Pass>,
    /// How far the narrower cutter goes to either side; nought where it fills the slot.
    pub spare: Length,
    /// How far each end may come out short, since the table is set on whole divisions within the slot.
    pub short: Length,
}

/// Works out how to cut a curved slot with a cutter no wider than it.
///
/// # Errors
///
/// A [`Problem`] when a size is not more than nought, the slot reaches the centre of its arc, its sweep is
/// a turn or more, the cutter is wider than it, or no division of the table lies within it.
pub fn set_curved_slot(slot: CurvedSlot, cutter: Length, table: RotaryTable) -> Result<Setting, Problem> {
    positive(slot.radius, "radius")?;
    positive(slot.width, "width")?;
    positive(cutter, "cutter diameter")?;
    if slot.width.half() >= slot.radius {
        return Err(Problem::new(format!(
            "a slot {} wide has no radius of {}",
            mm(slot.width),
            mm(slot.radius)
        ))
        .why("half its width reaches the centre of its arc")
        .mend("give the radius along the middle of the slot"));
    }
    if cutter > slot.width {
        return Err(Problem::new(format!(
            "a {} cutter does not go into a slot of {}",
            mm(cutter),
            mm(slot.width)
        ))
        .mend("use a cutter as wide as the slot, or a narrower one"));
    }
    // Down the middle and along both sides it clears three of its own widths.
    if slot.width > cutter * 3 {
        return Err(Problem::new(format!(
            "a {} cutter leaves metal standing in a slot of {}",
            mm(cutter),
            mm(slot.width)
        ))
        .why("along its middle and both sides it clears three times its own width")
        .mend("use a wider cutter"));
    }
    if slot.sweep <= Angle::degrees(0) || slot.sweep >= Angle::degrees(360) {
        return Err(Problem::new(format!("a slot of {} cannot be cut", slot.sweep))
            .mend("give the angle from the middle of one round end to that of the other, less than 360°"));
    }
    let spare = (slot.width - cutter).half();
    let round = |radius: Length, metal: Metal, beyond: Angle| {
        let (start, sweep) = (slot.start - beyond, slot.sweep + beyond + beyond);
        set_arc(Arc { radius, metal, start, sweep }, cutter, table, Length::ZERO)
    };
    // Down the middle the cutter touches the round of each end: so far beyond its centre, straight.
    let beyond_rad = 2.0 * (spare.as_mm() / (2.0 * slot.radius.as_mm())).asin();
    let middle = Pass {
        called: if spare.is_positive() { ", middle" } else { "" },
        offset: slot.radius,
        // As round a boss that its inner wall would be.
        setting: round(slot.radius - cutter.half(), Metal::Inside, Angle::nearest_rad(beyond_rad))?,
        why: "the radius along the middle of the slot".into(),
    };
    let mut passes = vec![middle];
    if spare.is_positive() {
        for (called, metal, wall, sign, word) in [
            (", outer side", Metal::Outside, slot.radius + slot.width.half(), 1, "less"),
            (", inner side", Metal::Inside, slot.radius - slot.width.half(), -1, "and"),
        ] {
            passes.push(Pass {
                called,
                offset: slot.radius + spare * sign,
                setting: round(wall, metal, Angle::default())?,
                why: format!("the side at {} {word} the cutter’s radius {}", mm(wall), mm(cutter.half())),
            });
        }
    }
    let short = Length::nearest(slot.radius.as_mm() * table.division.as_rad());
    Ok(Setting { passes, spare, short })
}

impl Pass {
    /// What is set for it, angles as the rim of the table is marked.
    pub fn figures_on_the_rim(&self) -> Vec<Figure> {
        self.figures(self.setting.figures_on_the_rim())
    }

    fn figures(&self, all: Vec<Figure>) -> Vec<Figure> {
        let kept = all.into_iter().filter(|figure| !figure.name.contains("overrun"));
        let named = kept.map(|figure| {
            let why = if figure.name == OFFSET { self.why_offset() } else { figure.why };
            let shown = if figure.name == OFFSET { mm(self.offset) } else { figure.shown };
            Figure { name: format!("{}{}", figure.name, self.called), shown, why }
        });
        named.collect()
    }

    /// Why the spindle stands where it does.
    pub fn why_offset(&self) -> Why {
        practice(self.why.clone())
    }
}

/// The spindle's place.
pub const OFFSET: &str = "offset from the table centre";

impl Setting {
    /// Everything that is worked out, in the order it is set.
    pub fn figures(&self) -> Vec<Figure> {
        let mut figures: Vec<Figure> =
            self.passes.iter().flat_map(|pass| pass.figures(pass.setting.figures())).collect();
        let why = geometry("the table is set on whole divisions within the slot; one of them at its radius");
        figures.push(Figure::new(
            "short of each end, at most",
            format!("{} mm", self.short.decimals(3)),
            why,
        ));
        figures
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::{Point, Segment};
    use crate::settings::rotary::Grows;

    fn table() -> RotaryTable {
        RotaryTable { worm_ratio: 90, division: Angle::ratio(1, 60), grows: Some(Grows::Clockwise) }
    }

    fn slot() -> CurvedSlot {
        let [radius, width] = [80, 8].map(Length::mm);
        CurvedSlot { radius, width, start: Angle::degrees(-20), sweep: Angle::degrees(40) }
    }

    /// By hand: a cutter of the slot's own width stands at 80 from 340° to 20°, ten turns of 90 to 1.
    #[test]
    fn a_cutter_that_fills_it_goes_once_along_its_middle() {
        let set = set_curved_slot(slot(), Length::mm(8), table()).unwrap();
        let [only] = &set.passes[..] else { panic!("one pass") };
        assert_eq!((only.offset, only.called), (Length::mm(80), ""));
        assert_eq!(only.setting.begin_set.within_turn(), Angle::degrees(340));
        assert_eq!(only.setting.end_set.within_turn(), Angle::degrees(20));
        assert_eq!(only.setting.handle_turns.to_integer(), 10);
        // One minute at 80: 80 × π / 10800.
        assert_eq!(set.short.decimals(3), "0.023");
    }

    /// Every road of a narrower cutter keeps within the slot, and its passes reach every side: by distances from
    /// the arc and from the middles of both ends.
    #[test]
    fn a_narrower_cutter_keeps_within_the_slot_and_reaches_its_sides() {
        let (slot, reach_mm) = (slot(), 3.0);
        let set = set_curved_slot(slot, Length::mm(6), table()).unwrap();
        assert_eq!(
            set.passes.iter().map(|pass| pass.offset).collect::<Vec<_>>(),
            [80, 81, 79].map(Length::mm)
        );
        let line = Segment::arc(Point::ORIGIN, 80.0, -20.0_f64.to_radians(), 40.0_f64.to_radians());
        let mut most: f64 = 0.0;
        for pass in &set.passes {
            let road = pass.setting.road(pass.offset);
            for n in 0..=100 {
                let at = road.along(f64::from(n) / 100.0);
                let out = line.nearest(at).distance_mm(at) + reach_mm;
                assert!(out <= 4.0 + 1e-9, "{} cuts {out} from the middle line", pass.called);
                most = most.max(out);
            }
        }
        assert!(most > 4.0 - 1e-6);
        // Either side is cut against the feed: outwards the table turns the other way than inwards.
        assert_ne!(set.passes[1].setting.turn, set.passes[2].setting.turn);
    }

    #[test]
    fn what_cannot_be_cut_is_told() {
        let told =
            |slot, cutter| set_curved_slot(slot, Length::mm(cutter), table()).unwrap_err().what().to_owned();
        assert!(told(slot(), 10).contains("does not go into a slot"));
        assert!(told(CurvedSlot { radius: Length::mm(4), ..slot() }, 6).contains("has no radius"));
        assert!(told(CurvedSlot { sweep: Angle::degrees(360), ..slot() }, 6).contains("cannot be cut"));
        assert!(told(CurvedSlot { width: Length::ZERO, ..slot() }, 6).contains("width"));
    }
}
