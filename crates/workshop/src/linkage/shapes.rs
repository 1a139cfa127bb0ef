//! What moving parts take up: bars, discs, shapes by their corners and outsides of parts, each on a
//! link, and which of them are to clear each other.
//!
//! ```toml
//! [[mechanism.shape]]
//! name = "rod shank"
//! on = "connecting rod"
//! from = "first end"
//! to = "second end"
//! width = "6 mm"                    # or `at` and `diameter`, or `corners`, or `part` and `laid`
//!
//! [[mechanism.clear]]
//! between = ["rod shank", "guide bar"]
//! least = "0.5 mm"
//! ```

use mechanism::{FRAME, LinkId, PointId, Size};

use super::read::Reader;
use crate::document::{Sheet, meant, nearest_word};
use crate::drawing::{FeatureId, Part, solve};
use crate::geometry::Segment;
use crate::problem::Problem;

/// A shape on a link.
#[derive(Clone, Debug)]
pub struct Shape {
    /// What it is called.
    pub name: String,
    /// The link that carries it.
    pub link: LinkId,
    /// What it is.
    pub form: Form,
}

/// What a shape is.
#[derive(Clone, Debug)]
pub enum Form {
    /// A bar with round ends between two points of the link; a disc where both are the same.
    Bar {
        /// Its ends.
        ends: [PointId; 2],
        /// How wide.
        width: Size,
    },
    /// Straight from corner to corner, in the link's own directions.
    Corners(Vec<[Size; 2]>),
    /// The outside of a part, two of its features laid on two points of the link.
    Part {
        /// As drawn, and in metric where that is chosen.
        outsides: [Option<Outside>; 2],
        /// The points of the link.
        points: [PointId; 2],
        /// Whether it is turned over.
        over: bool,
    },
}

/// The outside of a part, millimetres, and where two of its features lie.
#[derive(Clone, Debug)]
pub struct Outside {
    /// Lines and arcs, closed.
    pub segments: Vec<Segment>,
    /// Where the two features lie.
    pub places: [[f64; 2]; 2],
}

/// Two shapes that are to clear each other.
#[derive(Clone, Debug)]
pub struct ToClear {
    /// Their numbers.
    pub between: [usize; 2],
    /// How far apart they must stay, where the file says.
    pub least: Option<Size>,
    /// Line in the file.
    pub line: usize,
}

impl Reader<'_> {
    /// Every shape, and which are to clear each other.
    pub(super) fn shapes(&mut self, table: &Sheet) -> (Vec<Shape>, Vec<ToClear>) {
        let mut shapes: Vec<Shape> = Vec::new();
        for sheet in table.tables("shape", &mut self.faults) {
            let shape = self.shape(sheet);
            sheet.finish(&mut self.faults);
            let Some(shape) = shape else { continue };
            if shapes.iter().any(|other| other.name.eq_ignore_ascii_case(&shape.name)) {
                self.faults.push(
                    Problem::new(format!("two shapes are called `{}`", shape.name))
                        .at(sheet.place())
                        .mend("give each a name of its own"),
                );
            }
            shapes.push(shape);
        }
        let mut clears = Vec::new();
        for sheet in table.tables("clear", &mut self.faults) {
            let clear = self.clear(sheet, &shapes);
            sheet.finish(&mut self.faults);
            clears.extend(clear);
        }
        (shapes, clears)
    }

    fn shape(&mut self, sheet: &Sheet) -> Option<Shape> {
        let (name, _) = self.words(sheet, "name", "rod shank")?;
        let (on, line) = self.words(sheet, "on", "connecting rod")?;
        let link = if on.eq_ignore_ascii_case("frame") { FRAME } else { self.link_named(&on, line, "on")? };
        let on = if link == FRAME { String::new() } else { format!("{on}: ") };
        let asked = [("width", "from"), ("diameter", "at"), ("corners", "corners"), ("part", "part")];
        let said: Vec<&str> =
            asked.iter().filter(|(key, _)| sheet.get(key).is_some()).map(|(key, _)| *key).collect();
        let form = match said.as_slice() {
            ["width"] => {
                // All of it is read, so that one fault does not make others.
                let [from, to] = ["from", "to"].map(|key| self.own_point(sheet, key, &on));
                let width = self.plain(sheet, "width");
                Form::Bar { ends: [from?, to?], width: width? }
            }
            ["diameter"] => {
                let (at, width) = (self.own_point(sheet, "at", &on), self.plain(sheet, "diameter"));
                Form::Bar { ends: [at?; 2], width: width? }
            }
            ["corners"] => self.corners(sheet, &name)?,
            ["part"] => self.outside(sheet, &on)?,
            _ => {
                self.faults.push(
                    Problem::new(format!("what `{name}` is shaped like is said {}", if said.is_empty() { "by nothing" } else { "twice" }))
                        .at(sheet.place())
                        .mend(
                            "write `from`, `to` and `width` of a bar, `at` and `diameter` of a disc, `corners`, or `part` and `laid`",
                        ),
                );
                return None;
            }
        };
        Some(Shape { name, link, form })
    }

    /// A length that no result hangs on: its plain numbers are no sizes of the mechanism.
    fn plain(&mut self, sheet: &Sheet, key: &str) -> Option<Size> {
        let (text, line) = self.words(sheet, key, "6 mm")?;
        let read = self.sizes.plain(&mut self.m, &text);
        read.map_err(|fault| self.faults.push(fault.at(format!("line {line}, `{key}`")))).ok()
    }

    fn own_point(&mut self, sheet: &Sheet, key: &'static str, on: &str) -> Option<PointId> {
        let (text, line) = self.words(sheet, key, "first end")?;
        // With its link before it, as elsewhere, or without.
        let whole = !on.is_empty() && text.to_lowercase().starts_with(&on.to_lowercase());
        let text = if whole { text } else { format!("{on}{text}") };
        self.point_named(&text, line, key)
    }

    fn corners(&mut self, sheet: &Sheet, name: &str) -> Option<Form> {
        let mut all = Vec::new();
        for corner in self.listed(sheet, "corners") {
            let [x, y] = ["along", "across"].map(|key| match corner.get(key) {
                Some(_) => self.plain(corner, key).unwrap_or_default(),
                None => Size::default(),
            });
            corner.finish(&mut self.faults);
            all.push([x, y]);
        }
        if all.len() < 2 {
            self.faults.push(
                Problem::new(format!("`{name}` has {} corners", all.len()))
                    .at(sheet.place())
                    .mend("write two for a straight edge, three or more for a closed shape: `{ along = \"0\", across = \"4 mm\" }`"),
            );
            return None;
        }
        Some(Form::Corners(all))
    }

    /// The outside of a part, `laid = ["pivot bore on first end", "rod bore on second end"]`.
    fn outside(&mut self, sheet: &Sheet, on: &str) -> Option<Form> {
        let (part, line) = self.words(sheet, "part", "Valve lever")?;
        let laid: Vec<(String, usize)> = sheet
            .texts("laid", &mut self.faults)
            .into_iter()
            .map(|(t, l)| (t.trim().to_owned(), l))
            .collect();
        let over = sheet.flag("over", &mut self.faults);
        let pairs: Vec<(String, String, usize)> = laid
            .iter()
            .filter_map(|(text, line)| {
                let (feature, point) = text.rsplit_once(" on ")?;
                Some((feature.trim().to_owned(), point.trim().to_owned(), *line))
            })
            .collect();
        let [one, two] = pairs.as_slice() else {
            self.faults.push(
                Problem::new("a part is laid on a link by two of its features")
                    .at(sheet.place())
                    .mend("write `laid = [\"pivot bore on first end\", \"rod bore on second end\"]`"),
            );
            return None;
        };
        let points =
            [one, two].map(|(_, point, line)| self.point_named(&format!("{on}{point}"), *line, "laid"));
        let parts = self.sizes.parts;
        let Some(held) = parts.iter().find(|held| held.drawing.name.eq_ignore_ascii_case(&part)) else {
            let near = nearest_word(&part, parts.iter().map(|held| held.drawing.name.as_str()));
            let mend = meant(near, "name a part of the project as its own file does");
            return self.unknown("part", &part, (line, "part"), mend);
        };
        let mut ids = Vec::new();
        for (feature, _, line) in [one, two] {
            let features = &held.drawing.features;
            match features.iter().position(|known| known.name.eq_ignore_ascii_case(feature)) {
                Some(id) => ids.push(FeatureId(id)),
                None => {
                    let near = nearest_word(feature, features.iter().map(|known| known.name.as_str()));
                    let mend = meant(near, "name a feature of that part");
                    return self.unknown("feature", feature, (*line, "laid"), mend);
                }
            }
        }
        let fault = |fault: Problem| fault.at(format!("line {line}, `part`"));
        let solved =
            solve(held.drawing).map_err(|faults| self.faults.extend(faults.into_iter().map(fault))).ok()?;
        let drawn = Part::as_drawn(held.drawing, &solved);
        let made = held.metric.map(|metric| drawn.with_sizes(metric.sizes.clone()));
        let mut taken =
            |part: &Part| outside_of(part, &ids).map_err(|problem| self.faults.push(fault(problem))).ok();
        let outsides = [taken(&drawn), made.and_then(|made| taken(&made))];
        outsides[0].as_ref()?;
        let [Some(a), Some(b)] = points else { return None };
        Some(Form::Part { outsides, points: [a, b], over })
    }

    fn clear(&mut self, sheet: &Sheet, shapes: &[Shape]) -> Option<ToClear> {
        let names: Vec<(String, usize)> = sheet
            .texts("between", &mut self.faults)
            .into_iter()
            .map(|(t, l)| (t.trim().to_owned(), l))
            .collect();
        let least = match sheet.get("least") {
            Some(_) => Some(self.plain(sheet, "least")?),
            None => None,
        };
        let [one, two] = names.as_slice() else {
            self.faults.push(
                Problem::new(format!("two shapes clear each other, and {} are named", names.len()))
                    .at(sheet.place())
                    .mend("write `between = [\"rod shank\", \"guide bar\"]`"),
            );
            return None;
        };
        let mut found = Vec::new();
        for (name, line) in [one, two] {
            match shapes.iter().position(|shape| shape.name.eq_ignore_ascii_case(name)) {
                Some(at) => found.push(at),
                None => {
                    let near = nearest_word(name, shapes.iter().map(|shape| shape.name.as_str()));
                    let mend = meant(near, "add it as a `[[mechanism.shape]]`");
                    return self.unknown("shape", name, (*line, "between"), mend);
                }
            }
        }
        if shapes[found[0]].link == shapes[found[1]].link {
            self.faults.push(
                Problem::new(format!("{} and {} are on one link", one.0, two.0))
                    .at(sheet.place())
                    .why("they do not move against each other")
                    .mend("name shapes of two links"),
            );
            return None;
        }
        Some(ToClear { between: [found[0], found[1]], least, line: sheet.line() })
    }
}

fn outside_of(part: &Part, ids: &[FeatureId]) -> Result<Outside, Problem> {
    let outline = part.outline()?;
    let place = |id: FeatureId| {
        part.xy(id).map(|(x, y)| [x.as_mm(), y.as_mm()]).ok_or_else(|| {
            Problem::new(format!("`{}` has no place in the plane of the drawing", part.feature(id).name))
                .mend("lay the part by two features that have one")
        })
    };
    Ok(Outside { segments: outline.segments().to_vec(), places: [place(ids[0])?, place(ids[1])?] })
}
