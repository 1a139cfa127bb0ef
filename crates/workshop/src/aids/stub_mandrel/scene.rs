//! The picture of a stub mandrel.

use super::{Body, Grip, StubMandrel};
use crate::aids::locating::limits_shown;
use crate::aids::picture::{dimension, note};
use crate::geometry::{Point, Segment};
use crate::settings::show::mm;
use crate::sheet::{Runs, Scene, blank_scene, box_lines};

impl StubMandrel {
    /// From the side, its axis along X, the shoulder at nought, the stub to the right.
    pub(super) fn scene(&self) -> Scene {
        let mut scene = blank_scene("from the side", Point::ORIGIN, "the shoulder");
        let (stub, long) = (self.stub.fit.shaft.size.as_mm(), self.stub_length.as_mm());
        let shoulder = self.shoulder.as_mm();
        let mut back = 0.0;
        let mut turned = |scene: &mut Scene, across: f64, length: f64| {
            scene.outline.extend(box_lines(-back - length, -across / 2.0, -back, across / 2.0));
            back += length;
        };
        match &self.body {
            Body::Chuck { held, out } => {
                turned(&mut scene, shoulder, out.as_mm());
                let (held_text, held, bar) = (mm(*held), held.as_mm(), self.bar.size.as_mm());
                scene.around.extend(box_lines(-back - held, -bar / 2.0, -back, bar / 2.0));
                back += held;
                scene.dimensions.push(dimension(
                    (-back, -bar / 2.0),
                    (-back + held, -bar / 2.0),
                    Runs::Across,
                    held_text,
                    "held in the chuck",
                ));
            }
            Body::Table { spigot, length, flange, thick, height, .. } => {
                let (thick, neck) = (thick.as_mm(), (*height - *thick).as_mm());
                let (across, below) = (flange.as_mm(), spigot.size.as_mm());
                turned(&mut scene, shoulder, neck);
                turned(&mut scene, across, thick);
                turned(&mut scene, below, length.as_mm());
                let top = -neck - thick;
                let down = -across / 2.0;
                scene.dimensions.push(dimension(
                    (top, down),
                    (0.0, down),
                    Runs::Across,
                    mm(*height),
                    "height of the shoulder",
                ));
                scene.dimensions.push(dimension(
                    (-back, down),
                    (top, down),
                    Runs::Across,
                    mm(*length),
                    "table spigot length",
                ));
                scene.notes.push(note(
                    (-back + length.as_mm() / 2.0, below / 2.0),
                    format!("⌀ {}", limits_shown(spigot.least(), spigot.greatest())),
                    "table spigot diameter",
                ));
                scene.notes.push(note(
                    (top + thick / 2.0, across / 2.0),
                    format!("⌀ {}", mm(*flange)),
                    "flange diameter",
                ));
            }
        }
        scene.outline.extend(box_lines(0.0, -stub / 2.0, long, stub / 2.0));
        if let Grip::Screw { thread, deep, .. } = &self.grip {
            let radius = thread.major.half().as_mm();
            for y in [radius, -radius] {
                scene.hidden.push(Segment::line(Point::new(long - deep.as_mm(), y), Point::new(long, y)));
            }
            scene.notes.push(note((long, -radius), thread.designation.clone(), "retaining screw"));
        }
        scene.centre_lines.push(Segment::line(Point::new(-back - 3.0, 0.0), Point::new(long + 3.0, 0.0)));
        scene.dimensions.push(dimension(
            (0.0, -stub / 2.0),
            (long, -stub / 2.0),
            Runs::Across,
            mm(self.stub_length),
            "stub length",
        ));
        scene.notes.push(note((long / 2.0, stub / 2.0), format!("⌀ {}", self.stub.shown()), "stub diameter"));
        scene.notes.push(note(
            (-1.0, shoulder / 2.0),
            format!("⌀ {}", mm(self.shoulder)),
            "shoulder diameter",
        ));
        scene
    }
}
