//! What the sheet of a bolt-on plate says of one stud, or of the screw that does instead.

use super::stud::{reamer_lead, spacing_error};
use super::{Plate, Second, Stud};
use crate::aids::Ask;
use crate::aids::rack::tapped;
use crate::measure::{Length, Toward};
use crate::settings::show::{mm, practice, set_mm};
use crate::settings::tapping::Depth;
use crate::tables::clearance::{self, Class};
use crate::tables::threads::Thread;
use crate::why::{Figure, Why};

impl Stud {
    /// A figure's own name.
    pub(super) fn named(&self, what: &str) -> String {
        format!("{}: {what}", self.bore)
    }

    pub(super) fn figures(&self, ask: &Ask, plate: &Plate, step: Length) -> Vec<Figure> {
        let fit = &self.shaft.fit;
        let place = self.x.rounded(step, Toward::Nearest).value;
        let up = self.y.rounded(step, Toward::Nearest).value;
        let mut figures = vec![
            Figure::new(
                self.named("place of the hole"),
                format!("X {}, Y {}", set_mm(place, step), set_mm(up, step)),
                Why::new("the work’s own metric centres, along the line from the first bore to the second")
                    .source("elementary geometry")
                    .because(self.why.clone()),
            ),
            Figure::new(
                self.named("hole in the plate"),
                format!("⌀ {}, {} deep at full size", mm(self.of.size), mm(self.seat)),
                practice("made with the tool that makes the bore, so that one stud fits both; three quarters of its diameter deep, 4 mm at least")
                    .because(self.why.clone()),
            ),
        ];
        if let Some(thread) = self.shouldered {
            let deep = Depth::Through(self.engagement(thread));
            let tapped = tapped(ask.bench, thread, deep, &plate.flat.material);
            figures.push(Figure::new(
                self.named("shouldered screw"),
                format!("{}, by its own sheet", tapped.shown),
                practice(
                    "no tap owned has a clearance hole that leaves a stud wall here: one screw with a shoulder places the \
                     work and pulls it down",
                )
                .because(tapped.why),
            ));
            return figures;
        }
        figures.extend([
            Figure::new(
                self.named("stud diameter"),
                self.shaft.shown(),
                Why::new(format!(
                    "{}: at worst {} mm free and {} mm loose, so it always goes in and does not shake",
                    fit.shaft.class,
                    fit.least_clearance().decimals(3),
                    fit.greatest_clearance().decimals(3)
                ))
                .source(fit.shaft.source.to_string())
                .because(self.why.clone()),
            ),
            Figure::new(
                self.named("stud length"),
                mm(self.length()),
                practice(format!(
                    "{} in the plate and {} in the work, a little under its {}: the washer must bear on the work",
                    mm(self.seat),
                    mm(self.stands),
                    mm(self.of.thickness)
                ))
                .because(ask.load.why.clone()),
            ),
        ]);
        if let Second::Flats { land } = self.second {
            let error = spacing_error(ask);
            figures.push(Figure::new(
                self.named("land left on two sides"),
                format!("{} at most", mm(land)),
                Why::new(format!(
                    "the two centres may differ by {} between work and plate; with that land the stud still goes in",
                    mm(error)
                ))
                .source("elementary geometry")
                .because(practice("each of the four holes lies within one step of the readout where it was set")),
            ));
        }
        match self.screw {
            Some((thread, hole)) => {
                let deep = Depth::Through(self.engagement(thread));
                let tapped = tapped(ask.bench, thread, deep, &plate.flat.material);
                figures.push(Figure::new(
                    self.named("screw"),
                    tapped.shown,
                    practice(format!(
                        "the largest tap owned whose clearance hole of {} leaves the stud a quarter of the hole \
                         and 1 mm of wall",
                        mm(hole)
                    ))
                    .because(tapped.why),
                ));
                figures.push(Figure::new(
                    self.named("washer"),
                    format!("{} to {} across", mm(self.washer.0), mm(self.washer.1)),
                    practice("bears on the work all round, 0.5 mm clear of the cutter on each side"),
                ));
            }
            None => figures.push(Figure::new(
                self.named("screw"),
                "none",
                practice("no tap owned has a clearance hole that leaves the stud 1 mm of wall"),
            )),
        }
        figures
    }

    /// Drill, finish and tap its hole in the plate.
    pub(super) fn hole_step(&self, ask: &Ask, plate: &Plate, step: Length) -> String {
        let (x, y) =
            (self.x.rounded(step, Toward::Nearest).value, self.y.rounded(step, Toward::Nearest).value);
        let pilot = self.pilot.as_ref().map_or_else(|| "its pilot drill".into(), |drill| drill.name.clone());
        let deep = self.seat + reamer_lead();
        let finish = format!(
            "open to {pilot} for {}, and finish {} with the tool that makes the {}, {} deep at full size",
            mm(deep),
            mm(self.of.size),
            self.bore,
            mm(self.seat)
        );
        let at = format!("At X {}, Y {}", set_mm(x, step), set_mm(y, step));
        let clear = |thread: &Thread| clearance::hole(thread, Class::Medium).ok().map(|hole| hole.diameter);
        let screw = self.screw.or_else(|| self.shouldered.and_then(|thread| Some((thread, clear(thread)?))));
        match screw {
            Some((thread, hole)) => {
                let engaged = self.engagement(thread);
                let tapped = tapped(ask.bench, thread, Depth::Through(engaged), &plate.flat.material);
                let spare = plate.flat.size - deep - engaged;
                // A long thread of small diameter breaks taps.
                let from_below = if spare >= Length::mm(1) {
                    format!(
                        " Open it from below with {} for {}, which leaves {} to tap.",
                        mm(hole),
                        mm(spare),
                        mm(engaged)
                    )
                } else {
                    String::new()
                };
                format!(
                    "{at}: centre, drill {} right through, {finish}.{from_below} Tap the rest {}.",
                    tapped.drill, thread.designation
                )
            }
            None => format!("{at}: centre, {finish}."),
        }
    }

    /// Turn it.
    pub(super) fn turn_step(&self) -> String {
        if self.shouldered.is_some() {
            return format!("Make the shouldered screw for the {} by its own sheet.", self.bore);
        }
        format!("Make the hollow stud for the {} by its own sheet.", self.bore)
    }
}
