//! A threaded stub: work that has a thread of its own is screwed on it, up to a shoulder.
//!
//! It is turned in the chuck and used there. Where the work is tapped the stub has the screw; where the
//! work is the screw the stub is tapped, and opened at its mouth for the thread that runs out.

use super::own::Turned;
use super::picture::{dimension, note};
use super::rack::{Piece, Tapped, largest_round_bar, round_bar, tapped};
use super::{Ask, down_to_half_mm};
use crate::drawing::FeatureId;
use crate::geometry::{Point, Segment};
use crate::measure::{Length, Toward};
use crate::order::{OwnThread, own_thread};
use crate::problem::Problem;
use crate::settings::show::{mm, practice};
use crate::settings::tapping::Depth;
use crate::sheet::{AidSheet, Own, Runs, Scene, Serves, blank_scene, box_lines};
use crate::why::Figure;

/// The sizes of a threaded stub.
struct ThreadedStub {
    /// What of the work it takes: `cap thread`.
    on: String,
    work: OwnThread,
    bar: Piece,
    /// Across the face that the work is drawn against.
    face: Length,
    /// Full thread, of the stub's own screw or in its hole.
    thread: Length,
    /// From the jaws to that face.
    out: Length,
    /// Held in the jaws.
    held: Length,
}

/// Its sheet.
pub(super) fn sheet(ask: &Ask, id: FeatureId) -> Result<AidSheet, Problem> {
    let on = ask.part.feature(id).name.clone();
    let work = own_thread(ask.part, id).ok_or_else(|| {
        Problem::new(format!("`{on}` is no thread that work can be screwed on by"))
            .why("it has to lie on the axis at an end, with a shoulder or the end's own face to bear")
            .mend("hold the work by something else")
    })?;
    let made = ThreadedStub::of(ask, on, work);
    Ok(AidSheet {
        name: format!("Threaded stub for the {} in the lathe", made.on),
        purpose: format!(
            "Carries the work by its {} true to the lathe's axis: screwed up, its {} bears on the stub's face.",
            made.on,
            made.bearing()
        ),
        material: made.bar.words("round bar", &format!("{} long", mm(made.bar_length()))),
        sizes: made.figures(ask),
        steps: made.steps(ask),
        scene: made.scene(),
        cautions: vec![
            "The stub stays in the chuck until the work is done: put back, it no longer runs true.".into(),
            "The cut screws the work up tight: never run the spindle backwards, and begin with light cuts.".into(),
            "To unscrew it grip the work with soft packing, never by its thread; a smear of oil before lets it come."
                .into(),
            "Chuck key out before the lathe starts.".into(),
        ],
        // Run true it does only until it is taken out: it serves no second part.
        serves: Serves::default(),
        own: Own { file: Some(made.file()), ..Own::default() },
    })
}

impl ThreadedStub {
    fn of(ask: &Ask, on: String, work: OwnThread) -> Self {
        let OwnThread { thread, inside, long, bears, .. } = work;
        // The tool passes the edge of the work without meeting the stub.
        let wanted =
            down_to_half_mm(bears - Length::mm(1)).min((thread.major * 2).max(thread.major + Length::mm(6)));
        let face = largest_round_bar(ask.bench, wanted).map_or(wanted, |bar| bar.min(wanted));
        let bar = round_bar(ask.bench, face);
        let screw = down_to_half_mm((long - thread.pitch).min(thread.major * 3 / 2)).max(thread.pitch * 3);
        let hole = (long + thread.pitch).rounded(Length::mm_ratio(1, 2), Toward::More).value;
        let out = if inside { Length::mm(8) } else { hole + Length::mm(8) };
        Self {
            on,
            work,
            face,
            thread: if inside { screw } else { hole },
            out,
            held: (bar.size * 3 / 2).max(Length::mm(20)).rounded(Length::mm(1), Toward::More).value,
            bar,
        }
    }

    fn bearing(&self) -> &'static str {
        if self.work.inside { "end" } else { "shoulder" }
    }

    /// How the mouth of a tapped stub is opened, across and deep: past the thread that is not full there.
    fn mouth(&self) -> (Length, Length) {
        let thread = self.work.thread;
        let deep = (thread.pitch * 2).rounded(Length::mm_ratio(1, 2), Toward::More).value;
        (thread.major + Length::mm_ratio(1, 2), deep)
    }

    /// The thread in a stub, with its drill.
    fn tapped(&self, ask: &Ask) -> Tapped {
        tapped(ask.bench, self.work.thread, Depth::Blind(self.thread), &self.bar.material)
    }

    /// How wide the screw of a stub is relieved beside its face.
    fn relief(&self) -> (Length, Length) {
        let thread = self.work.thread;
        (thread.minor - Length::mm_ratio(1, 10), thread.pitch * 3 / 2)
    }

    /// Beyond the face.
    fn beyond(&self) -> Length {
        if self.work.inside { self.thread } else { Length::ZERO }
    }

    fn bar_length(&self) -> Length {
        (self.held + self.out + self.beyond() + Length::mm(1)).rounded(Length::mm(1), Toward::More).value
    }

    fn file(&self) -> String {
        let (thread, lead) = (self.work.thread, Length::mm_ratio(1, 2));
        let part = Turned::new("Threaded stub in the lathe", &self.bar.material, 1, false)
            .held("where it stays")
            .section("body", self.face, self.out);
        let part = if self.work.inside {
            let (across, wide) = self.relief();
            part.threaded("screw", thread, self.thread)
                .groove("relief", "screw", across, wide)
                .chamfer("lead", "screw", "right", lead)
        } else {
            let (across, deep) = self.mouth();
            part.recess("mouth", "right", across, deep).tapped("thread", "right", thread, self.thread)
        };
        part.file()
    }

    fn figures(&self, ask: &Ask) -> Vec<Figure> {
        let thread = self.work.thread;
        let row = |name: &str, shown: String, why: String| Figure::new(name, shown, practice(why));
        let mut figures = vec![
            Figure::new(
                "bar",
                self.bar.words("round bar", &format!("{} long", mm(self.bar_length()))),
                self.bar.why("round steel bar"),
            ),
            row(
                "shoulder diameter",
                mm(self.face),
                format!(
                    "faced square in the same holding; less than the {} of the work that bears on it",
                    mm(self.work.bears)
                ),
            ),
        ];
        if self.work.inside {
            let (across, wide) = self.relief();
            figures.push(row(
                "thread",
                format!("{}, {} long", thread.designation, mm(self.thread)),
                "once and a half its diameter, and a turn less than the work is tapped".into(),
            ));
            figures.push(row(
                "relief",
                format!("⌀ {} × {}", mm(across), mm(wide)),
                "the die leaves no full thread beside the face, and the work has to come up to it".into(),
            ));
        } else {
            let (across, deep) = self.mouth();
            let hole = self.tapped(ask);
            figures.push(Figure::new(
                "thread",
                hole.shown,
                practice("a turn more than the work has, so that the shoulder bears and not the end")
                    .because(hole.why),
            ));
            figures.push(row(
                "mouth",
                format!("⌀ {} × {}", mm(across), mm(deep)),
                "room for the turns beside the shoulder that are not full".into(),
            ));
        }
        figures.push(row(
            "held in the chuck",
            mm(self.held),
            "one and a half diameters, 20 mm at least".into(),
        ));
        figures.push(row(
            "out of the jaws to the shoulder",
            mm(self.out),
            "the tool passes the work without meeting the jaws".into(),
        ));
        figures
    }

    fn steps(&self, ask: &Ask) -> Vec<String> {
        let thread = self.work.thread;
        let mut steps = vec![format!(
            "Hold the bar by {} in the three-jaw chuck with {} out, and face the end.",
            mm(self.held),
            mm(self.out + self.beyond())
        )];
        if self.work.inside {
            let (across, wide) = self.relief();
            steps.push(format!(
                "Turn {} for {}, up to a square shoulder {} across; relieve the corner to {} for {}, and take the \
                 end's edge off.",
                mm(thread.major),
                mm(self.thread),
                mm(self.face),
                mm(across),
                mm(wide)
            ));
            steps.push(format!(
                "Cut the thread {} with the die held square from the tailstock.",
                thread.designation
            ));
        } else {
            let (across, deep) = self.mouth();
            let hole = self.tapped(ask);
            steps.push(format!("Turn it to {}, so that its face is clear of the tool.", mm(self.face)));
            steps.push(format!(
                "Open the mouth to {} for {}, then drill and tap it {}, the tap held square from the tailstock.",
                mm(across),
                mm(deep),
                hole.shown
            ));
        }
        steps.push(format!(
            "Wipe both and screw the work on by its {} until its {} bears all round: no light between.",
            self.on,
            self.bearing()
        ));
        steps.push("Leave it in the chuck, and turn the work as its setup says.".into());
        steps
    }

    /// From the side, its axis along X, the face at nought, what is beyond it to the right.
    fn scene(&self) -> Scene {
        let mut scene = blank_scene("from the side", Point::ORIGIN, "the face");
        let (out, held) = (self.out.as_mm(), self.held.as_mm());
        let (face, bar) = (self.face.half().as_mm(), self.bar.size.half().as_mm());
        let (radius, long) = (self.work.thread.major.half().as_mm(), self.thread.as_mm());
        scene.outline = box_lines(-out, -face, 0.0, face);
        scene.around = box_lines(-out - held, -bar, -out, bar);
        let tip = if self.work.inside {
            scene.outline.extend(box_lines(0.0, -radius, long, radius));
            long
        } else {
            for y in [radius, -radius] {
                scene.hidden.push(Segment::line(Point::new(-long, y), Point::new(0.0, y)));
            }
            0.0
        };
        scene
            .centre_lines
            .push(Segment::line(Point::new(-out - held - 3.0, 0.0), Point::new(tip + 3.0, 0.0)));
        scene.notes.push(note((tip, radius), self.work.thread.designation.clone(), "thread"));
        scene.notes.push(note((-out / 2.0, face), format!("⌀ {}", mm(self.face)), "shoulder diameter"));
        scene.dimensions.push(dimension(
            (-out - held, -bar),
            (-out, -bar),
            Runs::Across,
            mm(self.held),
            "held in the chuck",
        ));
        scene.dimensions.push(dimension(
            (-out, -face),
            (0.0, -face),
            Runs::Across,
            mm(self.out),
            "out of the jaws to the shoulder",
        ));
        scene
    }
}
