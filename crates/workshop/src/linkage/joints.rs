//! What joins the links: pins, lines, slots, sliders and gears.

use mechanism::{FRAME, Kind, Line, PointId, Size};

use super::links::{Guided, What};
use super::read::Reader;
use crate::document::{Sheet, meant, nearest_word};
use crate::problem::Problem;

impl Reader<'_> {
    pub(super) fn joints(&mut self, table: &Sheet, guided: &[Guided]) {
        for line in table.tables("line", &mut self.faults) {
            self.line(line);
        }
        for one in guided {
            self.guided(one);
        }
        for pin in table.tables("pin", &mut self.faults) {
            self.pin(pin);
        }
        for slot in table.tables("slot", &mut self.faults) {
            self.slot(slot);
        }
        for gear in table.tables("gear", &mut self.faults) {
            self.gear(gear);
        }
    }

    fn line(&mut self, sheet: &Sheet) {
        let name = self.words(sheet, "name", "cylinder");
        let line = if sheet.get("through").is_some() {
            let through = self.words(sheet, "through", "shaft");
            let through = through.and_then(|(text, line)| self.point_named(&text, line, "through"));
            let label = name.as_ref().map_or_else(String::new, |(name, _)| format!("{name}: at"));
            let angle = self.angle(sheet, "at", &label).unwrap_or_default();
            through.map(|point| Line::At(point, angle))
        } else {
            let ends = [("from", "shaft"), ("to", "link: end")].map(|(key, such)| {
                let (text, line) = self.words(sheet, key, such)?;
                self.point_named(&text, line, key)
            });
            match ends {
                [Some(a), Some(b)] if a.link == b.link => Some(Line::Between(a, b)),
                [Some(_), Some(_)] => {
                    self.faults.push(
                        Problem::new("the line goes from one link to another")
                            .at(sheet.place())
                            .mend("name two points of one link, or one with `through` and `at`"),
                    );
                    None
                }
                _ => None,
            }
        };
        sheet.finish(&mut self.faults);
        if let (Some((name, _)), Some(line)) = (name, line) {
            self.lines.push((name, line));
        }
    }

    fn line_named(&mut self, text: &str, line: usize, key: &str) -> Option<Line> {
        let found = self.lines.iter().find(|(name, _)| name.eq_ignore_ascii_case(text.trim()));
        if let Some((_, line)) = found {
            return Some(line.clone());
        }
        let near = nearest_word(text, self.lines.iter().map(|(name, _)| name.as_str()));
        let mend = meant(near, "name a `[[mechanism.line]]` of it");
        self.unknown("line", text, (line, key), mend)
    }

    /// What a link says of itself: what it turns on, what its ends are pinned to, at what
    /// angle it is held, what it slides along.
    fn guided(&mut self, one: &Guided) {
        let Guided { link, table, what } = *one;
        let name = self.m.links[link.0].name.clone();
        if what == What::Slider {
            self.slider(table, link, &name);
        } else if let Some((text, line)) = table.text("on", &mut self.faults) {
            let text = text.to_owned();
            if let (Some(at), Some(own)) = (self.point_named(&text, line, "on"), self.first(link)) {
                self.m.pin(format!("{name} on {text}"), at, own);
            }
        }
        for (key, point) in [("from", 0), ("to", 1)] {
            let said = table.text(key, &mut self.faults).map(|(text, line)| (text.to_owned(), line));
            let Some((text, line)) = said else { continue };
            let Some(at) = self.point_named(&text, line, key) else { continue };
            if point < self.m.links[link.0].points.len() {
                self.m.pin(format!("{name} to {text}"), at, PointId { link, point });
            }
        }
        if table.get("turned").is_some() {
            let angle = self.angle(table, "turned", &format!("{name}: turned")).unwrap_or_default();
            let against = table.text("against", &mut self.faults).map(|(text, line)| (text.to_owned(), line));
            let on = match against {
                None => Some(FRAME),
                Some((text, line)) => self.link_named(&text, line, "against"),
            };
            if let Some(on) = on {
                self.keep(format!("{name} held"), link, on, angle);
            }
        }
        table.finish(&mut self.faults);
    }

    fn slider(&mut self, table: &Sheet, link: mechanism::LinkId, name: &str) {
        let Some((text, line)) = self.words(table, "along", "cylinder") else { return };
        let Some(way) = self.line_named(&text, line, "along") else { return };
        let centre = PointId { link, point: 0 };
        self.m.slot(format!("{name} along {text}"), centre, way.clone());
        match &way {
            Line::At(point, angle) => {
                self.keep(format!("{name} square in {text}"), link, point.link, angle.clone());
            }
            Line::Between(..) => {
                // A second point on the line keeps it square.
                let second = self.m.point(link, "along its line", mechanism::At::xy(1.0, 0.0));
                self.m.slot(format!("{name} square in {text}"), second, way.clone());
            }
        }
        self.sliders.push((name.to_owned(), centre, way));
    }

    fn pin(&mut self, sheet: &Sheet) {
        let texts: Vec<(String, usize)> = sheet
            .texts("joins", &mut self.faults)
            .into_iter()
            .map(|(text, line)| (text.to_owned(), line))
            .collect();
        let name = sheet.text("name", &mut self.faults).map(|(text, _)| text.to_owned());
        sheet.finish(&mut self.faults);
        if texts.len() < 2 {
            self.faults.push(
                Problem::new("a pin joins two points at least")
                    .at(sheet.place())
                    .mend("write `joins = [\"crank: pin\", \"connecting rod: big end\"]`"),
            );
            return;
        }
        let points: Vec<Option<PointId>> =
            texts.iter().map(|(text, line)| self.point_named(text, *line, "joins")).collect();
        let Some(points) = points.into_iter().collect::<Option<Vec<PointId>>>() else { return };
        let name = name.unwrap_or_else(|| texts[0].0.clone());
        for other in &points[1..] {
            self.m.pin(name.clone(), points[0], *other);
        }
    }

    fn slot(&mut self, sheet: &Sheet) {
        let pin = self.words(sheet, "pin", "radius rod: die");
        let label = sheet.text("name", &mut self.faults).map(|(text, _)| text.to_owned());
        let label = label.unwrap_or_else(|| pin.as_ref().map_or_else(String::new, |(pin, _)| pin.clone()));
        let point = pin.and_then(|(text, line)| self.point_named(&text, line, "pin"));
        let joint = if sheet.get("around").is_some() {
            let centre = self.words(sheet, "around", "link: slot centre");
            let centre = centre.and_then(|(text, line)| self.point_named(&text, line, "around"));
            let radius = self.length(sheet, "radius", &format!("{label}: radius of the slot"));
            if radius.is_none() && sheet.get("radius").is_none() {
                self.faults.push(
                    Problem::new("the curved slot has no radius")
                        .at(sheet.place())
                        .mend("add a line such as `radius = \"70 mm\"`"),
                );
            }
            point.zip(centre).zip(radius).map(|((point, centre), radius)| Kind::Arc { point, centre, radius })
        } else {
            let way = self.words(sheet, "along", "slot");
            let way = way.and_then(|(text, line)| self.line_named(&text, line, "along"));
            point.zip(way).map(|(point, way)| Kind::Slot(point, way))
        };
        sheet.finish(&mut self.faults);
        if let Some(joint) = joint {
            let joint = self.m.joint(label.clone(), joint);
            self.slots.push((label, joint));
        }
    }

    fn gear(&mut self, sheet: &Sheet) {
        let [driver, driven] = [("driver", "crank"), ("driven", "side shaft")].map(|(key, such)| {
            let (text, line) = self.words(sheet, key, such)?;
            self.link_named(&text, line, key)
        });
        let carrier =
            match sheet.text("carrier", &mut self.faults).map(|(text, line)| (text.to_owned(), line)) {
                None => Some(FRAME),
                Some((text, line)) => self.link_named(&text, line, "carrier"),
            };
        let teeth: Vec<(String, usize)> =
            sheet.texts("teeth", &mut self.faults).into_iter().map(|(t, l)| (t.to_owned(), l)).collect();
        let teeth: Vec<Option<f64>> = teeth.iter().map(|(text, _)| text.trim().parse().ok()).collect();
        let inside = sheet.flag("inside", &mut self.faults);
        let phase = self.angle(sheet, "phase", "gear: phase").unwrap_or_default();
        let ratio = match teeth.as_slice() {
            [Some(a), Some(b)] if *a >= 1.0 && *b >= 1.0 && *a <= 1e4 && *b <= 1e4 => {
                Some(if inside { a / b } else { -a / b })
            }
            _ => {
                self.faults.push(
                    Problem::new("a pair of gears needs its teeth")
                        .at(sheet.place())
                        .mend("write `teeth = [20, 40]`: the driver's, then the driven wheel's"),
                );
                None
            }
        };
        sheet.finish(&mut self.faults);
        if let (Some(by), Some(link), Some(carrier), Some(ratio)) = (driver, driven, carrier, ratio) {
            self.m.joint("gear", Kind::Gear { link, by, carrier, ratio: Size::from(ratio), phase });
        }
    }
}
