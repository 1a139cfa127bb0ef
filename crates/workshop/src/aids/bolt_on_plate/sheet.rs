//! The sheet of a bolt-on plate.

use super::stud::{reamer_lead, spacing_error};
use super::{Plate, Second, Stud, jaw_hold, overhang, plate};
use crate::aids::Ask;
use crate::aids::picture::dimension;
use crate::aids::rack::tapped;
use crate::drawing::FeatureId;
use crate::geometry::{Point, Segment};
use crate::measure::{Angle, Length, Toward};
use crate::problem::Problem;
use crate::settings::show::{mm, practice, set_mm};
use crate::settings::tapping::Depth;
use crate::sheet::{AidSheet, Runs, Scene, SceneHole, SceneNote, Serves, When, blank_scene, box_lines};
use crate::why::{Figure, Why};

/// The plate's sheet.
pub(in crate::aids) fn sheet(ask: &Ask, ids: &[FeatureId]) -> Result<AidSheet, Problem> {
    let made = plate(ask, ids)?;
    let bores: Vec<&str> = made.studs.iter().map(|stud| stud.bore.as_str()).collect();
    Ok(AidSheet {
        serves: Serves::default(),
        name: format!("Bolt-on plate for the {}", bores.join(" and the ")),
        purpose:
            "Holds the work flat by its own bores, flat in the vice or by its milled edge, with nothing in \
                  the cutter’s way."
                .into(),
        material: made.flat.words("flat", &made.blank()),
        sizes: made.figures(ask),
        steps: made.steps(ask),
        scene: made.scene(),
        cautions: made.cautions(ask).into_iter().chain(slanting(ask, ids)).collect(),
    })
}

/// What to know where the line of bores slants to the drawing's axes: the plate lies
/// along the one, the sheets of the setups along the other.
fn slanting(ask: &Ask, ids: &[FeatureId]) -> Option<String> {
    let [first, second, ..] = *ids else { return None };
    let ((ax, ay), (bx, by)) = (ask.part.xy(first)?, ask.part.xy(second)?);
    let (along, up) = (bx - ax, by - ay);
    if along == Length::ZERO || up == Length::ZERO {
        return None;
    }
    let slant = Angle::nearest_rad((up.as_mm() / along.as_mm()).atan().abs());
    Some(format!(
        "This sheet's X runs along the line of the bores, which slants by {} to the drawing's axes. The setups read \
         along the drawing's axes: where a sheet says where the second bore must read, turn or tilt the plate until it \
         does, and do not clock the milled edge.",
        slant.degrees_minutes()
    ))
}

impl Plate {
    fn length(&self) -> Length {
        self.left + self.right
    }

    fn width(&self) -> Length {
        self.edge + self.top
    }

    /// What drills that break through the work ask of its thickness.
    fn broken_into(&self) -> String {
        let Some(drill) = self.drill else { return String::new() };
        format!(
            "; for the {} drill that breaks through into it three tenths of that for its point, 1 mm, and 2 mm left",
            mm(drill)
        )
    }

    /// What to saw: 1 mm on every edge is milled off.
    fn blank(&self) -> String {
        let sawn = |size: Length| mm((size + Length::mm(2)).rounded(Length::mm(1), Toward::More).value);
        format!("{} by {}", sawn(self.length()), sawn(self.width()))
    }

    fn figures(&self, ask: &Ask) -> Vec<Figure> {
        let step = ask.bench.mill.readout.step();
        let below = Length::nearest(-self.work.bounds().least.y_mm);
        let beyond = practice(format!(
            "the work stands out {} or more beyond the plate’s ends and top, where the cutter runs",
            mm(overhang())
        ));
        let thick = self.studs.iter().map(Stud::least_thickness).max().unwrap_or_default();
        let mut figures = vec![
            Figure::new(
                "plate thickness",
                mm(self.flat.size),
                self.flat.why("flat of that width").because(practice(format!(
                    "{} at least: the stud’s seat, {} for the reamer’s lead and one and a half diameters of \
                     thread; for stiffness 6 mm and a twelfth of its length{}",
                    mm(thick),
                    mm(reamer_lead()),
                    self.broken_into()
                ))),
            ),
            Figure::new("plate length", mm(self.length()), beyond.clone()),
            Figure::new("plate width", mm(self.width()), beyond.clone()),
            Figure::new(
                "milled edge to line of centres",
                mm(self.edge),
                practice(format!(
                    "the work reaches {} below the line and the jaws hold {}; up to the next 5 mm, so that the \
                     preset is a round number",
                    mm_rounded(below),
                    mm(jaw_hold())
                )),
            ),
            Figure::new("left end to first bore", mm(self.left), beyond),
        ];
        for stud in &self.studs {
            figures.extend(stud.figures(ask, self, step));
        }
        figures
    }

    fn steps(&self, ask: &Ask) -> Vec<String> {
        let step = ask.bench.mill.readout.step();
        let mut steps = vec![
            format!("Saw the blank {} from the flat, and take off the burrs.", self.blank()),
            format!(
                "Mill one long edge straight and mark it: it is the datum. Mill the others to {} by {}.",
                mm(self.length()),
                mm(self.width())
            ),
            format!(
                "Lay the plate flat on parallels, the marked edge to the fixed jaw. Pick up that edge and the left \
                 end: the first centre lies {} from the edge and {} from the end. Set both axes to nought there.",
                mm(self.edge),
                mm(self.left)
            ),
        ];
        for stud in &self.studs {
            if stud.second == Second::Spotted {
                steps.push(format!(
                    "Put the work on the first stud, clock its far end parallel to the marked edge, and spot the \
                     plate through the {}; then finish that hole without moving the plate.",
                    stud.bore
                ));
            }
            steps.push(stud.hole_step(ask, self, step));
        }
        for stud in &self.studs {
            steps.push(stud.turn_step());
        }
        steps.push(
            "Lay the work on the studs and scribe round it: file the plate’s top corners back to 1 mm inside the line."
                .into(),
        );
        let screws: Vec<String> = self
            .studs
            .iter()
            .filter_map(|stud| Some(format!("{} in the {}", stud.screw?.0.designation, stud.bore)))
            .collect();
        steps.push(if screws.is_empty() {
            "Put the work on the studs and hold it down with straps clear of the cutter.".into()
        } else {
            format!(
                "Put the work on the studs; washers and screws pull it down flat: {}. A cigarette paper under it \
                 is held all round."
                    ,
                screws.join(", ")
            )
        });
        steps
    }

    fn cautions(&self, ask: &Ask) -> Vec<String> {
        let mut cautions = vec![
            format!(
                "Below the work the plate goes on to the jaws: along that side let the cutter run no more than \
                 0.5 mm into the plate, and see that it clears the vice ({} of plate are in the jaws).",
                mm(jaw_hold())
            ),
            "The plate may be cut, the studs and screws may not: check the cutter’s path against every screw head \
             before starting."
                .into(),
        ];
        if self.studs.len() == 1 {
            cautions.push(
                "One stud places the work but does not stop it turning: clock an edge along the plate, and add a \
                 strap."
                    .into(),
            );
        }
        for stud in self.studs.iter().filter(|stud| stud.screw.is_none()) {
            cautions.push(format!(
                "The stud in the {} is too thin for a screw through it: hold that end down with a strap.",
                stud.bore
            ));
        }
        let lathe = ask.bench.lathe.as_ref().map(|lathe| lathe.step);
        cautions.extend(self.studs.first().and_then(|stud| stud.shaft.finish_by_hand(lathe)));
        if ask.bench.lathe.is_none() {
            cautions.push("The studs are turned, and no lathe is on the bench file: have them made.".into());
        }
        cautions
    }

    /// In plan, the first bore at the origin, the milled edge below.
    fn scene(&self) -> Scene {
        let [left, right, top, edge] = [self.left, self.right, self.top, self.edge].map(Length::as_mm);
        let mut scene = blank_scene("seen from above, the milled edge below", Point::ORIGIN, "first bore");
        scene.outline = box_lines(-left, -edge, right, top);
        scene.around = self.work.segments().to_vec();
        scene.centre_lines.push(Segment::line(Point::new(-left - 3.0, 0.0), Point::new(right + 3.0, 0.0)));
        for stud in &self.studs {
            let centre = Point::at(stud.x, stud.y);
            scene.holes.push(SceneHole { centre, diameter_mm: stud.of.size.as_mm(), when: When::Now });
            scene.notes.push(SceneNote {
                at: centre.polar(stud.of.size.half().as_mm(), 1.0),
                text: format!("⌀ {}", mm(stud.of.size)),
                figure: Some(stud.named("hole in the plate")),
            });
        }
        let mut across = |from: (f64, f64), to: (f64, f64), runs, text: String, figure: &str| {
            scene.dimensions.push(dimension(from, to, runs, text, figure));
        };
        for stud in self.studs.iter().skip(1) {
            let at = (stud.x.as_mm(), stud.y.as_mm());
            across((0.0, 0.0), at, Runs::Across, mm_rounded(stud.x), &stud.named("place of the hole"));
        }
        across((-left, -edge), (right, -edge), Runs::Across, mm(self.length()), "plate length");
        across((-left, -edge), (0.0, 0.0), Runs::Up, mm(self.edge), "milled edge to line of centres");
        across((right, -edge), (right, top), Runs::Up, mm(self.width()), "plate width");
        across((-left, top), (0.0, 0.0), Runs::Across, mm(self.left), "left end to first bore");
        scene
    }
}

impl Stud {
    /// A figure's own name.
    fn named(&self, what: &str) -> String {
        format!("{}: {what}", self.bore)
    }

    fn figures(&self, ask: &Ask, plate: &Plate, step: Length) -> Vec<Figure> {
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
        ];
        if let Second::Flats { land } = self.second {
            let error = spacing_error(ask);
            figures.push(Figure::new(
                self.named("land left by the flats"),
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
    fn hole_step(&self, ask: &Ask, plate: &Plate, step: Length) -> String {
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
        match self.screw {
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
    fn turn_step(&self) -> String {
        let hollow = match self.screw {
            Some((_, hole)) => format!(", drill {} through it", mm(hole)),
            None => String::new(),
        };
        let flats = match self.second {
            Second::Flats { land } => format!(
                " File two flats on it that face along the line of centres, so that lands of {} at most are left on \
                 the two other sides.",
                mm(land)
            ),
            Second::Round | Second::Spotted => String::new(),
        };
        format!(
            "Turn the stud for the {} from {}: {} across{hollow}, {} long.{flats}",
            self.bore,
            self.bar.words("round bar", &format!("{} long", mm(self.length() + Length::mm(25)))),
            self.shaft.shown(),
            mm(self.length())
        )
    }
}

/// A length that geometry brought out, to a hundredth.
fn mm_rounded(length: Length) -> String {
    mm(length.rounded(Length::mm_ratio(1, 100), Toward::Nearest).value)
}
