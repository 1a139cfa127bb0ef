//! How work sits in the mill's vice: the parallels under it, what the jaws grip, and what stands
//! out above them for the cutter.

use super::show::{geometry, mm, positive, practice, within_reach};
use crate::measure::{Length, Toward};
use crate::problem::Problem;
use crate::tables::drills;
use crate::tables::processes::{Holding, holding, limit};
use crate::why::{Figure, Why};

/// Work that is to stand in the vice.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Asked {
    /// From its lower face to its upper.
    pub height: Length,
    /// The deepest cut that runs out over the jaws, below the upper face; nought where none does.
    pub cut: Length,
    /// The widest drill that comes out of the lower face; nought where none does.
    pub drill: Length,
    /// How deep the jaws are.
    pub jaws: Length,
    /// Whether it stands on edge; else it lies flat.
    pub on_edge: bool,
}

/// How it sits there.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Gripped {
    /// What it was worked out for.
    pub asked: Asked,
    /// The least that stands out of the jaws: the cut, and the room above them.
    pub above: Length,
    /// The least that must be gripped.
    pub needed: Length,
    /// The lowest parallels that raise it so far and keep a drill off the vice, a whole
    /// millimetre; nought where it may sit down on the vice itself.
    pub lowest: Length,
    /// The highest parallels on which enough of it is gripped still, a whole millimetre.
    pub highest: Length,
}

/// The row of the table of holdings that applies.
fn row(asked: Asked) -> &'static Holding {
    holding(if asked.on_edge { "vice on edge" } else { "vice on parallels" })
}

/// How far a drill goes on below the work: its point of 118°, three tenths of its diameter, and
/// the room that a cutter keeps.
fn point(drill: Length) -> Length {
    match drill.is_positive() {
        true => drills::point(drill) + limit("clear of the next"),
        false => Length::ZERO,
    }
}

/// Works out how work sits in the vice.
///
/// # Errors
///
/// A [`Problem`] when a size is not one, or too little is left for the jaws below the cut.
pub fn gripped(asked: Asked) -> Result<Gripped, Problem> {
    positive(asked.height, "height of the work")?;
    positive(asked.jaws, "depth of the jaws")?;
    for (size, name) in [(asked.cut, "cut over the jaws"), (asked.drill, "drill")] {
        within_reach(size, name)?;
        if size < Length::ZERO {
            return Err(Problem::new(format!("the {name} is {size}"))
                .why("it must be nought at least")
                .mend("give nought where there is none"));
        }
    }
    let share = row(asked).share.unwrap_or_default();
    let needed = row(asked).least_grip.max(asked.height.scaled(share));
    let above = asked.cut + limit("clear of the next");
    let raised = asked.jaws + above - asked.height;
    let whole = |size: Length, toward| size.rounded(Length::mm(1), toward).value;
    let lowest = whole(raised.max(point(asked.drill)), Toward::More).max(Length::ZERO);
    let highest = whole(asked.jaws - needed, Toward::Less);
    if lowest > highest {
        let left = (asked.jaws - lowest.max(Length::ZERO)).max(Length::ZERO);
        return Err(Problem::new(format!("too little of the work is left for the jaws: {}", mm(left)))
            .why(format!(
                "it is {} high, {} of it must stand out of jaws {} deep{}, and {} must be gripped",
                mm(asked.height),
                mm(above),
                mm(asked.jaws),
                match asked.drill.is_positive() {
                    true => format!(", {} be free below it for the drill", mm(point(asked.drill))),
                    false => String::new(),
                },
                mm(needed)
            ))
            .mend(if asked.on_edge {
                "clamp it to an angle plate"
            } else {
                "clamp it flat on the table, or stick it to a thicker plate that the jaws grip"
            }));
    }
    Ok(Gripped { asked, above, needed, lowest, highest })
}

impl Gripped {
    /// What the jaws grip on parallels of a height.
    pub fn grips(&self, parallels: Length) -> Length {
        (self.asked.jaws - parallels).min(self.asked.height)
    }

    /// What stands out of the jaws on parallels of a height.
    pub fn stands_out(&self, parallels: Length) -> Length {
        self.asked.height + parallels - self.asked.jaws
    }

    /// The rows of the sheet; `jaws` is why the jaws are so deep.
    pub fn figures(&self, jaws: &Why) -> Vec<Figure> {
        self.figures_told(jaws, &mm)
    }

    /// The same with sizes as what is owned is marked.
    pub fn figures_told(&self, jaws: &Why, told: &dyn Fn(Length) -> String) -> Vec<Figure> {
        let (low, high) = (self.lowest, self.highest);
        let cut = match self.asked.cut.is_positive() {
            true => format!("the cut over the jaws goes {} down, and keeps", mm(self.asked.cut)),
            false => "no cut runs out over the jaws, and the finder and the chuck keep".to_owned(),
        };
        let out = practice(format!("{cut} {} above them", mm(limit("clear of the next"))))
            .because(geometry(format!("the work is {} high", mm(self.asked.height))))
            .because(jaws.clone());
        let mut why = out.clone();
        if self.asked.drill.is_positive() {
            why = why.because(geometry(format!(
                "the point of the {} drill, 0.3 of it, and {} stay off the vice: {}",
                mm(self.asked.drill),
                mm(limit("clear of the next")),
                mm(point(self.asked.drill))
            )));
        }
        let why = why.because(self.why_needed());
        let shown = if low == Length::ZERO {
            format!("none needed; up to {} high", told(high))
        } else if low == high {
            format!("{} high", told(low))
        } else {
            format!("{} to {} high", told(low), told(high))
        };
        let on = if low == Length::ZERO { "down on the vice".into() } else { format!("on {}", told(low)) };
        let part = |size: Length| if low == high { told(size) } else { format!("{} {on}", told(size)) };
        vec![
            Figure::new("parallels", shown, why),
            Figure::new("stands out of the jaws", part(self.stands_out(low)), out.clone()),
            Figure::new("in the jaws", part(self.grips(low)), self.why_needed().because(out)),
        ]
    }

    fn why_needed(&self) -> Why {
        let row = row(self.asked);
        let share = row.share.filter(|share| *share.numer() > 0);
        let share = share.map_or_else(String::new, |share| format!(" and {share} of its height"));
        Why::new(format!("{} at least are gripped{share}: {} here", mm(row.least_grip), mm(self.needed)))
            .source(row.source.to_string())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn asked(height: i64, cut: i64) -> Asked {
        let [height, cut, jaws] = [height, cut, 25].map(Length::mm);
        Asked { height, cut, drill: Length::ZERO, jaws, on_edge: false }
    }

    /// By hand: a plate of 12 with a step of 5 must stand 6 out of jaws of 25, so its lower face
    /// is 19 up, and 6 are gripped; on 22 the least of 3.
    #[test]
    fn a_plate_is_raised_until_its_step_clears_the_jaws() {
        let found = gripped(asked(12, 5)).unwrap();
        assert_eq!((found.lowest, found.highest), (Length::mm(19), Length::mm(22)));
        assert_eq!(found.grips(found.lowest), Length::mm(6));
        assert_eq!(found.stands_out(found.lowest), Length::mm(6));
    }

    /// A block higher than the jaws sits down on the vice; a drill of 10 that comes out below,
    /// with a point of 3, wants 4 under it.
    #[test]
    fn a_block_sits_down_unless_a_drill_comes_out() {
        let block = gripped(asked(40, 10)).unwrap();
        assert_eq!(block.lowest, Length::ZERO);
        assert!(block.figures(&practice("jaws"))[0].shown.starts_with("none needed"));
        let drilled = gripped(Asked { drill: Length::mm(10), ..asked(40, 10) }).unwrap();
        assert_eq!(drilled.lowest, Length::mm(4));
    }

    #[test]
    fn what_leaves_nothing_to_grip_is_refused_with_a_way_out() {
        let fault = gripped(asked(5, 3)).unwrap_err();
        assert!(fault.what().contains("1 mm"), "{fault}");
        assert!(fault.remedy().unwrap().contains("clamp"), "{fault}");
        // On edge a quarter of the height must be gripped: 25 of 100 and no more.
        let edge = |height| gripped(Asked { on_edge: true, ..asked(height, 0) });
        assert!(edge(100).is_ok());
        assert!(edge(101).unwrap_err().remedy().unwrap().contains("angle plate"));
        assert!(gripped(asked(0, 0)).is_err() && gripped(asked(10, -1)).is_err());
    }

    proptest! {
        /// On any parallels that are allowed the cut stays clear of the jaws, and enough is
        /// gripped; a millimetre lower or higher one of both fails.
        #[test]
        fn between_both_heights_everything_holds(height in 1i64..120, cut in 0i64..40, drill in 0i64..20, edge: bool) {
            let asked = Asked { drill: Length::mm(drill), on_edge: edge, ..asked(height, cut) };
            if let Ok(found) = gripped(asked) {
                let good = |at: Length| {
                    found.stands_out(at) > asked.cut
                        && asked.jaws - at >= found.needed
                        && (drill == 0 || at > drills::point(asked.drill))
                };
                prop_assert!(good(found.lowest) && good(found.highest));
                prop_assert!(!good(found.highest + Length::mm(1)));
                prop_assert!(found.grips(found.lowest) >= found.grips(found.highest));
            }
        }
    }
}
