//! A hollow stud as a thing of its own: its sheet, its part file.

use super::stud::spacing_error;
use super::{Second, Stud};
use crate::aids::Ask;
use crate::aids::own::Turned;
use crate::aids::picture::{dimension, note};
use crate::geometry::{Point, Segment};
use crate::measure::{Length, Toward};
use crate::settings::show::{mm, practice};
use crate::sheet::{AidSheet, Own, Runs, Scene, Serves, blank_scene, box_lines};
use crate::why::{Figure, Why};

impl Stud {
    /// How far its sides are eased between the lands: what two centres may differ by and half a
    /// tenth of air, up to the next half tenth. Beyond a land the stud must lie inside the bore less
    /// the whole displacement, whatever the direction.
    pub(super) fn ease(&self, ask: &Ask) -> Length {
        (spacing_error(ask) + Length::microns(50)).rounded(Length::microns(50), Toward::More).value
    }

    /// Its sheet; none where a shouldered screw does instead of it.
    pub(super) fn sheet(&self, ask: &Ask) -> Option<AidSheet> {
        if self.shouldered.is_some() {
            return None;
        }
        let bar = self.bar.words("round bar", &format!("{} long", mm(self.length() + Length::mm(25))));
        Some(AidSheet {
            name: format!("Hollow stud for the {}", self.bore),
            purpose: format!("Stands in the bolt-on plate and places the work by its {}.", self.bore),
            material: bar.clone(),
            sizes: self.own_figures(ask, &bar),
            steps: self.own_steps(ask),
            scene: self.own_scene(),
            cautions: self
                .shaft
                .finish_by_hand(ask.bench.lathe.as_ref().map(|lathe| lathe.step))
                .into_iter()
                .collect(),
            serves: self.own_serves(),
            own: Own { kept_as: self.own_kept(), file: Some(self.own_file()), ..Own::default() },
        })
    }

    fn own_figures(&self, ask: &Ask, bar: &str) -> Vec<Figure> {
        let fit = &self.shaft.fit;
        let mut figures = vec![
            Figure::new("bar", bar, self.bar.why("round steel bar")),
            Figure::new(
                "stud diameter",
                self.shaft.shown(),
                Why::new(format!(
                    "{}: at worst {} mm free and {} mm loose, in the plate and in the work alike",
                    fit.shaft.class,
                    fit.least_clearance().decimals(3),
                    fit.greatest_clearance().decimals(3)
                ))
                .source(fit.shaft.source.to_string())
                .because(self.why.clone()),
            ),
            Figure::new(
                "stud length",
                mm(self.length()),
                practice(format!("{} in the plate and {} in the work", mm(self.seat), mm(self.stands)))
                    .because(ask.load.why.clone()),
            ),
        ];
        if let Some((thread, hole)) = self.screw {
            figures.push(Figure::new(
                "hole through it",
                mm(hole),
                practice(format!("clears {}, and leaves a wall all round", thread.designation)),
            ));
        }
        if let Second::Flats { land } = self.second {
            figures.push(Figure::new(
                "land on two sides",
                format!("{} at most", mm(land)),
                Why::new("it only gives the direction: along the line of centres it must not bind")
                    .source("elementary geometry"),
            ));
            figures.push(Figure::new(
                "eased between the lands",
                mm(self.ease(ask)),
                practice("what two centres may differ by, and half a tenth of air: no more, or a thin wall is lost"),
            ));
        }
        figures
    }

    fn own_steps(&self, ask: &Ask) -> Vec<String> {
        let mut steps = vec![
            format!(
                "Hold the bar with {} out, face the end and turn it {} (aim at {}).",
                mm(self.length() + Length::mm(6)),
                self.shaft.shown(),
                self.shaft.aim().decimals(3)
            ),
            match self.screw {
                Some((_, hole)) => {
                    format!("In the same holding centre it and drill {} through it.", mm(hole))
                }
                None => "It is too thin for a hole: it stays solid.".into(),
            },
            format!("Part off {} long, take the edges off, and face the other end.", mm(self.length())),
        ];
        steps.extend(self.ease_step(ask));
        steps.push(format!(
            "Try it in the plate and in the {}: it slides in by hand and does not shake.",
            self.bore
        ));
        steps
    }

    /// How its sides are eased.
    pub(super) fn ease_step(&self, ask: &Ask) -> Option<String> {
        let Second::Flats { land } = self.second else { return None };
        Some(format!(
            "For the {} it has to stand in the work, mark the two sides that face along the line of centres and file \
             them back {}, following the round, until lands of {} at most are left on the two other sides.",
            mm(self.stands),
            mm(self.ease(ask)),
            mm(land)
        ))
    }

    fn own_serves(&self) -> Serves {
        let way = match self.second {
            Second::Flats { land } => format!("lands of {}", mm(land)),
            _ => "full round".into(),
        };
        let hole =
            self.screw.map_or("solid".into(), |(thread, _)| format!("hollow for {}", thread.designation));
        let seat = format!("{} in the plate", mm(self.seat));
        Serves {
            same: vec!["stud of a bolt-on plate".into(), self.shaft.shown(), hole, seat, way],
            at_most: vec![("height".into(), self.stands)],
        }
    }

    fn own_kept(&self) -> String {
        format!("{}, {} high", self.own_serves().same.join(", "), mm(self.stands))
    }

    fn own_file(&self) -> String {
        let part = Turned::new("Hollow stud", &self.bar.material, 1, false).section(
            "stud",
            self.shaft.aim(),
            self.length(),
        );
        match self.screw {
            Some((_, hole)) => part.through("screw hole", hole, "drilled"),
            None => part,
        }
        .file()
    }

    fn own_scene(&self) -> Scene {
        let mut scene =
            blank_scene("from the side, the plate to the left", Point::ORIGIN, "end in the plate");
        let (long, radius) = (self.length().as_mm(), self.of.size.half().as_mm());
        scene.outline = box_lines(0.0, -radius, long, radius);
        if let Some((_, hole)) = self.screw {
            let inner = hole.half().as_mm();
            for y in [-inner, inner] {
                scene.hidden.push(Segment::line(Point::new(0.0, y), Point::new(long, y)));
            }
            scene.notes.push(note((long, inner), format!("⌀ {}", mm(hole)), "hole through it"));
        }
        scene.centre_lines.push(Segment::line(Point::new(-3.0, 0.0), Point::new(long + 3.0, 0.0)));
        scene.dimensions.push(dimension(
            (0.0, -radius),
            (long, -radius),
            Runs::Across,
            mm(self.length()),
            "stud length",
        ));
        scene.notes.push(note((long / 2.0, radius), format!("⌀ {}", self.shaft.shown()), "stud diameter"));
        scene
    }
}
