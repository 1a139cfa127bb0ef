//! Pivots, links and their points.

use mechanism::{At, Drive, FRAME, Kind, LinkId, PointId, Side};

use super::read::Reader;
use crate::document::Sheet;
use crate::problem::Problem;

/// What holds a link, said on the link itself and looked up once every link is there.
pub(super) struct Guided<'t> {
    pub link: LinkId,
    pub table: &'t Sheet,
    pub what: What,
}

#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum What {
    Link,
    Slider,
}

impl Reader<'_> {
    /// Reads pivots and every link with its points.
    pub(super) fn links<'t>(&mut self, table: &'t Sheet) -> Vec<Guided<'t>> {
        for pivot in table.tables("pivot", &mut self.faults) {
            let Some((name, line)) = self.words(pivot, "name", "shaft") else { continue };
            let [right, above] =
                ["right", "above"].map(|key| self.length(pivot, key, &format!("{name}: {key}")));
            pivot.finish(&mut self.faults);
            self.once(FRAME, &name, line);
            self.m.point(FRAME, name, At::xy(right.unwrap_or_default(), above.unwrap_or_default()));
        }
        let mut guided = Vec::new();
        for (key, what) in [("crank", What::Link), ("link", What::Link), ("slider", What::Slider)] {
            for sheet in table.tables(key, &mut self.faults) {
                let Some((name, line)) = self.words(sheet, "name", "connecting rod") else { continue };
                if name.contains(':') || self.m.links.iter().any(|link| link.name.eq_ignore_ascii_case(&name))
                {
                    self.faults.push(
                        Problem::new(format!("`{name}` cannot be the name of a link"))
                            .at(format!("line {line}, `name`"))
                            .why("each link has a name of its own, and what stands after a colon is a point")
                            .mend("give it another name"),
                    );
                    continue;
                }
                let link = self.m.link(name.clone());
                if sheet.get("on").is_some() || what == What::Slider {
                    self.m.point(link, "centre", At::xy(0.0, 0.0));
                }
                self.points(sheet, link, &name);
                if key == "crank" {
                    self.drive(sheet, link, &name);
                }
                guided.push(Guided { link, table: sheet, what });
            }
        }
        for sheet in table.tables("eccentric", &mut self.faults) {
            self.eccentric(sheet);
        }
        guided
    }

    fn points(&mut self, sheet: &Sheet, link: LinkId, owner: &str) {
        if sheet.get("from").is_some() || sheet.get("to").is_some() {
            // A plain rod: two ends and its length.
            if let Some(long) = self.length(sheet, "length", &format!("{owner}: length")) {
                self.m.point(link, "first end", At::xy(0.0, 0.0));
                self.m.point(link, "second end", At::xy(long, 0.0));
            } else if sheet.get("length").is_none() {
                self.faults.push(
                    Problem::new(format!("`{owner}` has no length"))
                        .at(sheet.place())
                        .mend("add a line such as `length = \"4 1/2 in\"`: from the one end to the other"),
                );
            }
        }
        for point in self.listed(sheet, "points") {
            let Some((name, line)) = self.words(point, "name", "big end") else { continue };
            self.once(link, &name, line);
            let label = |key: &str| format!("{owner}: {name}, {key}");
            let from = point.text("from", &mut self.faults).map(|(text, line)| (text.to_owned(), line));
            let from =
                from.and_then(|(text, line)| self.point_named(&format!("{owner}: {text}"), line, "from"));
            let polar = point.get("out").is_some();
            let at = if polar {
                let length = self.length(point, "out", &label("out"));
                let angle = self.angle(point, "at", &label("at"));
                At::Polar { from, length: length.unwrap_or_default(), angle: angle.unwrap_or_default() }
            } else {
                let [x, y] = ["along", "across"].map(|key| self.length(point, key, &label(key)));
                At::Square { from, x: x.unwrap_or_default(), y: y.unwrap_or_default() }
            };
            point.finish(&mut self.faults);
            self.m.point(link, name, at);
        }
    }

    /// Roughly where points stand when the mechanism is put together.
    pub(super) fn rough(&mut self, table: &Sheet) {
        for sheet in self.listed(table, "near") {
            let point = self.words(sheet, "point", "connecting rod: small end");
            let point = point.and_then(|(text, line)| self.point_named(&text, line, "point"));
            let texts: Vec<(String, usize)> =
                sheet.texts("at", &mut self.faults).into_iter().map(|(t, l)| (t.to_owned(), l)).collect();
            sheet.finish(&mut self.faults);
            let [x, y] = texts.as_slice() else {
                self.faults.push(
                    Problem::new("a rough place wants two lengths")
                        .at(sheet.place())
                        .mend("write `at = [\"100 mm\", \"5 mm\"]`: to the right, and above"),
                );
                continue;
            };
            let place = [x, y].map(|(text, line)| {
                // A rough place is no size of the mechanism: it leaves no parameter behind.
                let mut apart = mechanism::Mechanism::new();
                let mut sizes = super::size::Sizes::new(self.sizes.parts, self.sizes.unit);
                let read = sizes.read(&mut apart, text, "near", super::Kind::Length);
                let read =
                    read.map_err(|fault| self.faults.push(fault.at(format!("line {line}, `at`")))).ok();
                read.map(|size| size.value(&apart.values()))
            });
            if let (Some(point), [Some(x), Some(y)]) = (point, place) {
                self.near.push((point, [x, y]));
            }
        }
    }

    fn drive(&mut self, sheet: &Sheet, link: LinkId, name: &str) {
        let zero = self.angle(sheet, "zero", &format!("{name}: zero")).unwrap_or_default();
        let way = match sheet.text("turns", &mut self.faults).map(|(text, line)| (text.trim(), line)) {
            None | Some(("anticlockwise", _)) => Side::Left,
            Some(("clockwise", _)) => Side::Right,
            Some((other, line)) => {
                self.faults.push(
                    Problem::new(format!("`{other}` is no way of turning"))
                        .at(format!("line {line}, `turns`"))
                        .mend("write `clockwise` or `anticlockwise`"),
                );
                return;
            }
        };
        if self.m.drive.is_some() {
            self.faults.push(
                Problem::new("two cranks drive the mechanism")
                    .at(sheet.place())
                    .why("one crank drives; every other link follows")
                    .mend("write the others as `[[mechanism.link]]`"),
            );
        }
        self.m.drive = Some(Drive::Turn { link, on: FRAME, zero, way });
    }

    /// An eccentric is a point of the link it is fixed to.
    fn eccentric(&mut self, sheet: &Sheet) {
        let name = self.words(sheet, "name", "fore sheave");
        let on = self.words(sheet, "on", "crank");
        let label = name.as_ref().map_or_else(String::new, |(name, _)| name.clone());
        let throw = self.length(sheet, "throw", &format!("{label}: throw"));
        let at = self.angle(sheet, "at", &format!("{label}: at"));
        sheet.finish(&mut self.faults);
        let (Some((name, line)), Some((on, at_line))) = (name, on) else { return };
        let Some(link) = self.link_named(&on, at_line, "on") else { return };
        self.once(link, &name, line);
        let at = At::polar(throw.unwrap_or_default(), at.unwrap_or_default());
        self.m.point(link, name, at);
    }

    fn once(&mut self, link: LinkId, name: &str, line: usize) {
        let known = self.m.links[link.0].points.iter().any(|point| point.name.eq_ignore_ascii_case(name));
        if known || name.contains(':') {
            self.faults.push(
                Problem::new(format!("`{name}` cannot be the name of this point"))
                    .at(format!("line {line}, `name`"))
                    .why("each point of a link has a name of its own, without a colon")
                    .mend("give it another name"),
            );
        }
    }

    /// The first point of a link, where it has one.
    pub(super) fn first(&self, link: LinkId) -> Option<PointId> {
        (!self.m.links[link.0].points.is_empty()).then_some(PointId { link, point: 0 })
    }

    /// Keeps a link at an angle against another.
    pub(super) fn keep(&mut self, name: String, link: LinkId, on: LinkId, angle: mechanism::Size) {
        self.m.joint(name, Kind::Keep { link, on, angle });
    }
}
