//! The sheet of a bolt-on plate.

use super::stud::{reamer_lead, spacing_error};
use super::{Plate, Second, Stud, jaw_hold, overhang, plate};
use crate::aids::Ask;
use crate::aids::own::Milled;
use crate::aids::picture::dimension;
use crate::aids::shouldered_screw::Screw;
use crate::drawing::FeatureId;
use crate::geometry::{Point, Segment};
use crate::measure::{Angle, Length, Toward};
use crate::problem::Problem;
use crate::settings::show::{mm, practice};
use crate::sheet::{AidSheet, Own, Runs, Scene, SceneHole, SceneNote, Serves, When, blank_scene, box_lines};
use crate::why::Figure;

/// What places the work on the plate: its hollow studs, and the shouldered screws where a stud has
/// no room for a screw; screws alike are one sheet.
pub(in crate::aids) fn needed(ask: &Ask, ids: &[FeatureId]) -> Result<Vec<AidSheet>, Problem> {
    let made = plate(ask, ids)?;
    let mut screws: Vec<Screw> = Vec::new();
    for screw in made.studs.iter().filter_map(|stud| stud.shouldered_screw(&ask.part.drawing.file)) {
        let alike = |other: &&mut Screw| {
            (&other.limits, other.under, other.thick, &other.task, other.widest)
                == (&screw.limits, screw.under, screw.thick, &screw.task, screw.widest)
        };
        match screws.iter_mut().find(alike) {
            Some(other) => {
                other.count += 1;
                other.name += &format!(" and the {}", screw.hole.0.trim_start_matches("the "));
                other.hole.0 += &format!(" and {}", screw.hole.0);
            }
            None => screws.push(screw),
        }
    }
    let studs = made.studs.iter().filter_map(|stud| stud.sheet(ask)).map(Ok);
    studs.chain(screws.iter().map(|screw| screw.sheet(ask.bench))).collect()
}

/// The plate's sheet.
pub(in crate::aids) fn sheet(ask: &Ask, ids: &[FeatureId]) -> Result<AidSheet, Problem> {
    let made = plate(ask, ids)?;
    let bores: Vec<&str> = made.studs.iter().map(|stud| stud.bore.as_str()).collect();
    Ok(AidSheet {
        serves: made.serves(),
        own: Own { kept_as: made.kept_as(), file: Some(made.file(ask)), ..Own::default() },
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

    /// A plate does for other work with the same holes that stands out beyond it.
    fn serves(&self) -> Serves {
        let hole = |stud: &Stud| {
            let screw = match (stud.screw, stud.shouldered) {
                (Some((thread, _)), _) => format!("stud and {}", thread.designation),
                (None, Some(thread)) => format!("shouldered screw {}", thread.designation),
                (None, None) => "stud alone".into(),
            };
            let way = match stud.second {
                Second::Round => "round",
                Second::Flats { .. } => "with flats",
                Second::Spotted => "spotted",
            };
            format!(
                "hole {} at {}, {}: {} {way} with {screw}",
                mm(stud.of.size),
                mm_rounded(stud.x),
                mm_rounded(stud.y),
                stud.shaft.shown()
            )
        };
        // A spotted hole lies where one piece of work had it.
        if self.studs.iter().any(|stud| stud.second == Second::Spotted) {
            return Serves::default();
        }
        let mut same = vec![
            "bolt-on plate".to_owned(),
            format!("{} thick", mm(self.flat.size)),
            format!("milled edge {} from the line of centres", mm(self.edge)),
        ];
        same.extend(self.studs.iter().map(hole));
        let mut at_most = vec![
            ("left end to first bore".to_owned(), self.left),
            ("right end to first bore".to_owned(), self.right),
            ("top to the line of centres".to_owned(), self.top),
        ];
        let stands = self.studs.iter().enumerate();
        at_most.extend(stands.map(|(n, stud)| (format!("height of stud {}", n + 1), stud.stands)));
        Serves { same, at_most }
    }

    /// As a part, from the lower left corner. A hole that is spotted through the work is not in it.
    fn file(&self, ask: &Ask) -> String {
        let sizes = [self.length(), self.width(), self.flat.size];
        let mut part = Milled::new("Bolt-on plate", &self.flat.material, sizes);
        for stud in self.studs.iter().filter(|stud| stud.second != Second::Spotted) {
            let at = (self.left + stud.x, self.edge + stud.y);
            let name = format!("seat of {}", stud.bore);
            part = part.hole(&name, at, spacing_error(ask), &stud.seat_hole());
            if let Some(thread) = stud.thread() {
                part = part.tapped_below(&format!("thread below {}", stud.bore), &name, thread);
            }
        }
        part.file()
    }

    fn kept_as(&self) -> String {
        match self.serves().same.as_slice() {
            [] => String::new(),
            same => format!("{}, {} by {}", same.join(", "), mm(self.length()), mm(self.width())),
        }
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
            .filter_map(|stud| match (stud.screw, stud.shouldered) {
                (Some((thread, _)), _) => Some(format!("{} in the {}", thread.designation, stud.bore)),
                (None, Some(_)) => Some(format!("the shouldered screw in the {}", stud.bore)),
                (None, None) => None,
            })
            .collect();
        steps.push(if screws.is_empty() {
            "Put the work on the studs and hold it down with straps clear of the cutter.".into()
        } else {
            format!(
                "Put the work on {}; washers and screws pull it down flat: {}. A cigarette paper under it \
                 is held all round.",
                if self.studs.iter().any(|stud| stud.shouldered.is_some()) {
                    "the plate"
                } else {
                    "the studs"
                },
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
        for stud in self.studs.iter().filter(|stud| stud.thread().is_none()) {
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

/// A length that geometry brought out, to a hundredth.
pub(super) fn mm_rounded(length: Length) -> String {
    mm(length.rounded(Length::mm_ratio(1, 100), Toward::Nearest).value)
}
