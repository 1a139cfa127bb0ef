//! Reading a part file into a [`Drawing`].

use super::features::{children, read_feature};
use super::place::{Phrase, Says, find_reference, read_phrase};
use super::{
    Axis, Body, Corner, Dimension, DimensionId, Drawing, Equal, Feature, FeatureId, Given, Hand, Kind, Mate,
    Measures, Pressure, Reference, Role, Statement, ThreadCall, ThreadId,
};
use crate::document::{Content, Sheet, nearest_word, read_document};
use crate::measure::{Length, Unit, read_length};
use crate::problem::{Outcome, Problem};
use crate::tables::general_tolerance::Class;
use crate::tables::{read_size, threads};

/// Reads the text of a part file; `file` is its name, for problems only.
///
/// # Errors
///
/// Every fault found, each with its line: what cannot be read, names that
/// nothing has, numbers without a unit, keys that mean nothing.
pub fn read_drawing(file: &str, text: &str) -> Outcome<Drawing> {
    let mut reader = Reader::default();
    let drawing = match read_document(text) {
        Ok(sheet) => reader.drawing(file, &sheet),
        Err(fault) => {
            reader.faults.push(fault);
            None
        }
    };
    match drawing {
        Some(drawing) if reader.faults.is_empty() => Ok(drawing),
        _ => Err(reader.faults.into_iter().map(|fault| fault.at(file)).collect()),
    }
}

/// What has been read so far, and every fault met on the way.
#[derive(Default)]
pub(super) struct Reader {
    pub(super) unit: Option<Unit>,
    pub(super) faults: Vec<Problem>,
    /// Every feature's name and line, known before any place is read.
    pub(super) names: Vec<(String, usize)>,
    pub(super) dimensions: Vec<Dimension>,
    pub(super) threads: Vec<ThreadCall>,
    /// What a role counts as where a dimension gives none: supposed, unless the
    /// file says that the usual roles hold.
    unsaid: Given,
    assumed: Vec<String>,
}

impl Reader {
    fn drawing(&mut self, file: &str, sheet: &Sheet) -> Option<Drawing> {
        let faults = &mut self.faults;
        let name = sheet.need("part", "Valve lever", faults).map(|(text, _)| text.to_owned());
        let published = sheet.text("sheet", faults).map(|(text, _)| text.to_owned());
        let material = sheet.text("material", faults).map(|(text, _)| text.to_owned());
        let pressure = if sheet.flag("holds_pressure", faults) { Pressure::Holds } else { Pressure::None };
        self.unit = self.one_of(sheet, "unit", &[("inch", Unit::Inch), ("mm", Unit::Mm)]);
        let make = self.count(sheet, "make").unwrap_or(1);
        let classes = Class::ALL.map(|class| (class.name(), class));
        let general_tolerance = self.one_of(sheet, "general_tolerance", &classes);
        if sheet.flag("usual_roles", &mut self.faults) {
            self.unsaid = Given::Said;
        }
        let hands = self.hands(sheet);
        let sheets = sheet.tables("feature", &mut self.faults);
        self.collect_names(&sheets);
        let mut features = Vec::new();
        let mut whole = true;
        let mut next = 0;
        for feature_sheet in &sheets {
            let read = read_feature(self, feature_sheet, FeatureId(next));
            // One that cannot be read would shift the names of those after it:
            // they are still read, for their own faults, but nothing is kept.
            next += 1 + children(feature_sheet);
            features.extend(read);
            whole &= features.len() == next;
        }
        if !whole {
            return None;
        }
        let body = self.body(sheet, &features);
        let mates = self.mates(sheet);
        let equal = self.equal(sheet);
        sheet.finish(&mut self.faults);
        if features.is_empty() && self.faults.is_empty() {
            self.faults.push(
                Problem::new("the part has no features")
                    .mend("add a `[[feature]]` for each thing that is cut, such as a hole"),
            );
        }
        Some(Drawing {
            file: file.to_owned(),
            name: name?,
            sheet: published,
            unit: self.unit,
            material,
            make,
            hands,
            pressure,
            general_tolerance,
            body: body?,
            features,
            dimensions: std::mem::take(&mut self.dimensions),
            threads: std::mem::take(&mut self.threads),
            mates,
            equal,
            assumed: std::mem::take(&mut self.assumed),
        })
    }

    fn collect_names(&mut self, sheets: &[&Sheet]) {
        for (index, sheet) in sheets.iter().enumerate() {
            let name = match sheet.need("name", "pivot bore", &mut self.faults) {
                Some((name, _)) => name.trim().to_owned(),
                None => format!("feature {}", index + 1),
            };
            if let Some((_, line)) = self.names.iter().find(|(known, _)| known.eq_ignore_ascii_case(&name)) {
                self.faults.push(
                    Problem::new(format!("two features are called `{name}`"))
                        .at(sheet.place())
                        .why(format!("the other is on line {line}; a name must say which is meant"))
                        .mend("give one of them another name"),
                );
            }
            self.names.push((name.clone(), sheet.line()));
            for hole in 1..=children(sheet) {
                self.names.push((format!("{name} {hole}"), sheet.line()));
            }
        }
    }

    fn hands(&mut self, sheet: &Sheet) -> Vec<Hand> {
        let mut hands = Vec::new();
        for (text, line) in sheet.texts("hands", &mut self.faults) {
            match text {
                "right" => hands.push(Hand::Right),
                "left" => hands.push(Hand::Left),
                _ => self.faults.push(
                    Problem::new(format!("`{text}` is no hand"))
                        .at(format!("line {line}, `hands`"))
                        .mend("write `right` and `left`, the one drawn first"),
                ),
            }
        }
        if hands.len() == 2 && hands[0] == hands[1] {
            self.faults.push(
                Problem::new("the same hand is given twice")
                    .at(sheet.place())
                    .mend("write `hands = [\"right\", \"left\"]`, and `make = 2` for two of each"),
            );
        }
        if hands.is_empty() { vec![Hand::Neither] } else { hands }
    }

    fn body(&mut self, sheet: &Sheet, features: &[Feature]) -> Option<Body> {
        let Some(entry) = sheet.get("body") else {
            self.faults.push(
                Problem::new("`[body]` is not given")
                    .at(sheet.place())
                    .why("nothing says what the outside of the part is")
                    .mend(
                        "add `[body]` with `kind = \"bosses\"`, `\"rectangle\"`, `\"disc\"` or `\"turned\"`",
                    ),
            );
            return None;
        };
        let Content::Table(body) = &entry.value else {
            self.faults.push(entry.fault("is not a heading", "write `[body]` on a line of its own"));
            return None;
        };
        #[derive(Clone, Copy)]
        enum Form {
            Bosses,
            Rectangle,
            Disc,
            Turned,
        }
        if body.get("kind").is_none() {
            body.need("kind", "rectangle", &mut self.faults);
        }
        let forms = [
            ("bosses", Form::Bosses),
            ("rectangle", Form::Rectangle),
            ("disc", Form::Disc),
            ("turned", Form::Turned),
        ];
        let made = match self.one_of(body, "kind", &forms)? {
            Form::Bosses => {
                let thickness =
                    self.need_dimension(body, "thickness", "body: thickness", Measures::Thickness);
                let around = self.bosses(body, features);
                Some(Body::Bosses { around, thickness: thickness? })
            }
            Form::Rectangle => {
                let width = self.need_dimension(body, "width", "body: width", Measures::Outside);
                let height = self.need_dimension(body, "height", "body: height", Measures::Outside);
                let thickness =
                    self.need_dimension(body, "thickness", "body: thickness", Measures::Thickness);
                let corners = [
                    ("bottom left", Corner::BottomLeft),
                    ("bottom right", Corner::BottomRight),
                    ("top left", Corner::TopLeft),
                    ("top right", Corner::TopRight),
                    ("centre", Corner::Centre),
                ];
                let datum = self.one_of(body, "datum", &corners).unwrap_or_else(|| {
                    self.assumed.push("the datum is the bottom left corner".into());
                    Corner::BottomLeft
                });
                Some(Body::Rectangle { width: width?, height: height?, thickness: thickness?, datum })
            }
            Form::Disc => {
                let diameter = self.need_dimension(body, "diameter", "body: diameter", Measures::Outside);
                let thickness =
                    self.need_dimension(body, "thickness", "body: thickness", Measures::Thickness);
                Some(Body::Disc { diameter: diameter?, thickness: thickness? })
            }
            Form::Turned => {
                let length = self.dimension(body, "length", "body: length", Measures::Along);
                let sections: Vec<FeatureId> = (0..features.len())
                    .filter(|&i| matches!(features[i].kind, Kind::Section { .. }))
                    .map(FeatureId)
                    .collect();
                if sections.is_empty() {
                    self.faults.push(Problem::new("a turned part has no sections").at(body.place()).mend(
                        "add a `[[feature]]` with `kind = \"section\"` for each diameter, from the left end",
                    ));
                }
                Some(Body::Turned { sections, length })
            }
        };
        body.finish(&mut self.faults);
        made
    }

    fn bosses(&mut self, body: &Sheet, features: &[Feature]) -> Vec<FeatureId> {
        let mut around = Vec::new();
        let texts: Vec<(String, usize)> =
            body.texts("around", &mut self.faults).into_iter().map(|(t, l)| (t.to_owned(), l)).collect();
        for (text, line) in texts {
            match find_reference(&text, &self.names) {
                Ok(Reference::Feature(id)) if matches!(features[id.0].kind, Kind::Boss { .. }) => {
                    around.push(id)
                }
                Ok(_) => self.faults.push(
                    Problem::new(format!("`{text}` is not a boss"))
                        .at(format!("line {line}, `around`"))
                        .mend("name the round bosses, anticlockwise, that the flanks join"),
                ),
                Err(fault) => self.faults.push(fault.at(format!("line {line}, `around`"))),
            }
        }
        if around.len() < 2 && self.faults.is_empty() {
            self.faults.push(
                Problem::new("an outline of bosses needs two or more")
                    .at(body.place())
                    .mend("write `around = [\"one boss\", \"another boss\"]`"),
            );
        }
        around
    }

    fn mates(&mut self, sheet: &Sheet) -> Vec<Mate> {
        let mut mates = Vec::new();
        for mate in sheet.tables("mate", &mut self.faults) {
            let name = mate.need("name", "valve rod pin", &mut self.faults).map(|(t, _)| t.to_owned());
            let with = mate
                .need("in", "rod bore", &mut self.faults)
                .map(|(text, line)| (text.to_owned(), line))
                .and_then(|(text, line)| self.feature_named(&text, line, "in"));
            let title = format!("{}: size", name.as_deref().unwrap_or("mate"));
            let size = self.need_dimension(mate, "size", &title, Measures::Shaft);
            let fit = mate.need("fit", "running", &mut self.faults).map(|(t, _)| t.to_owned());
            let made_from = mate.text("made_from", &mut self.faults).map(|(t, _)| t.to_owned());
            let fixed = mate.flag("fixed", &mut self.faults);
            mate.finish(&mut self.faults);
            if let (Some(name), Some(with), Some(size), Some(fit)) = (name, with, size, fit) {
                mates.push(Mate { name, with, size, fit, made_from, fixed, line: mate.line() });
            }
        }
        mates
    }

    /// Sizes that stay equal whatever becomes of them.
    fn equal(&mut self, sheet: &Sheet) -> Vec<Equal> {
        let mut equal = Vec::new();
        for table in sheet.tables("equal", &mut self.faults) {
            let mut ids = Vec::new();
            for (text, line) in table.texts("dimensions", &mut self.faults) {
                let names = || self.dimensions.iter().map(|d| d.name.as_str());
                match names().position(|name| name.eq_ignore_ascii_case(text.trim())) {
                    Some(index) => ids.push(DimensionId(index)),
                    None => {
                        let problem = Problem::new(format!("no dimension is called `{text}`"))
                            .at(format!("line {line}, `equal`"));
                        let mend = match nearest_word(text, names()) {
                            Some(near) => format!("did you mean `{near}`?"),
                            None => {
                                "name it as `oddleg metric` lists it, such as `pivot boss: radius`".into()
                            }
                        };
                        self.faults.push(problem.mend(mend));
                    }
                }
            }
            table.finish(&mut self.faults);
            if ids.len() < 2 && self.faults.is_empty() {
                self.faults.push(
                    Problem::new("nothing can be equal to itself alone").at(table.place()).mend(
                        "name two or more: `dimensions = [\"one boss: radius\", \"other boss: radius\"]`",
                    ),
                );
            }
            equal.push(Equal { dimensions: ids, line: table.line() });
        }
        equal
    }

    /// The feature of a name, or a problem at the line and key.
    pub(super) fn feature_named(&mut self, text: &str, line: usize, key: &str) -> Option<FeatureId> {
        match find_reference(text, &self.names) {
            Ok(Reference::Feature(id)) => Some(id),
            Ok(_) => {
                self.faults.push(
                    Problem::new(format!("`{text}` is not a feature"))
                        .at(format!("line {line}, `{key}`"))
                        .mend("name a hole or other feature of this part"),
                );
                None
            }
            Err(fault) => {
                self.faults.push(fault.at(format!("line {line}, `{key}`")));
                None
            }
        }
    }

    /// One word of a few; a problem when it is another, `None` when not there.
    pub(super) fn one_of<T: Copy>(&mut self, sheet: &Sheet, key: &str, words: &[(&str, T)]) -> Option<T> {
        let (text, line) = sheet.text(key, &mut self.faults)?;
        let found = words.iter().find(|(word, _)| word.eq_ignore_ascii_case(text.trim()));
        if found.is_none() {
            let list = words.iter().map(|(word, _)| format!("`{word}`")).collect::<Vec<_>>().join(", ");
            let mend = match nearest_word(text, words.iter().map(|&(word, _)| word)) {
                Some(near) => format!("did you mean `{near}`? it may be {list}"),
                None => format!("it may be {list}"),
            };
            self.faults.push(
                Problem::new(format!("`{text}` is not known for `{key}`"))
                    .at(format!("line {line}"))
                    .mend(mend),
            );
        }
        found.map(|&(_, value)| value)
    }

    /// A whole number from one to a thousand.
    pub(super) fn count(&mut self, sheet: &Sheet, key: &str) -> Option<u32> {
        let (text, line) = sheet.text(key, &mut self.faults)?;
        match text.parse() {
            Ok(count @ 1..=1000) => Some(count),
            _ => {
                self.faults.push(
                    Problem::new(format!("`{text}` is not a count"))
                        .at(format!("line {line}, `{key}`"))
                        .mend("write a whole number from 1 to 1000"),
                );
                None
            }
        }
    }

    /// A dimension that must be there.
    pub(super) fn need_dimension(
        &mut self,
        sheet: &Sheet,
        key: &str,
        name: &str,
        measures: Measures,
    ) -> Option<DimensionId> {
        if sheet.get(key).is_none() {
            self.faults.push(
                Problem::new(format!("{name} is missing"))
                    .at(sheet.place())
                    .why("the drawing must give it before anything can be cut")
                    .mend(format!("add `{key} = \"…\"` as the drawing has it")),
            );
            return None;
        }
        self.dimension(sheet, key, name, measures)
    }

    /// A dimension, where it is there: `"7/16"`, or `{ is = "7/16", role = "hold" }`.
    pub(super) fn dimension(
        &mut self,
        sheet: &Sheet,
        key: &str,
        name: &str,
        measures: Measures,
    ) -> Option<DimensionId> {
        let entry = sheet.get(key)?;
        match &entry.value {
            Content::Table(table) => {
                let (text, line) = table.need("is", "7/16", &mut self.faults)?;
                let (text, said) = (text.to_owned(), self.said(table));
                table.finish(&mut self.faults);
                self.measured(&text, line, name, measures, said)
            }
            _ => match entry.as_text() {
                Ok(text) => self.measured(text, entry.line, name, measures, (None, None)),
                Err(fault) => {
                    self.faults.push(fault);
                    None
                }
            },
        }
    }

    /// Role and tolerance, where a table gives them.
    fn said(&mut self, table: &Sheet) -> (Option<Role>, Option<Length>) {
        let roles = [("hold", Role::Hold), ("suit", Role::Suit), ("free", Role::Free)];
        let role = self.one_of(table, "role", &roles);
        let unit = self.unit;
        let within = table.text("within", &mut self.faults).map(|(t, l)| (t.to_owned(), l));
        let within = within.and_then(|(text, line)| match read_length(&text, unit) {
            Ok(written) if !written.length.is_positive() => {
                self.faults.push(
                    Problem::new(format!("`{text}` is no tolerance"))
                        .at(format!("line {line}, `within`"))
                        .mend("write how far it may go either way, such as `0.02 mm`"),
                );
                None
            }
            Ok(written) => Some(written.length),
            Err(fault) => {
                self.faults.push(fault.at(format!("line {line}, `within`")));
                None
            }
        });
        (role, within)
    }

    /// Reads and keeps one length.
    fn measured(
        &mut self,
        text: &str,
        line: usize,
        name: &str,
        measures: Measures,
        (role, within): (Option<Role>, Option<Length>),
    ) -> Option<DimensionId> {
        let written = match read_size(text, self.unit) {
            Ok(written) => written,
            Err(fault) => {
                self.faults.push(fault.at(format!("line {line}, {name}")));
                return None;
            }
        };
        let may_be_nought = measures == Measures::Position;
        if written.length < Length::ZERO || (written.length == Length::ZERO && !may_be_nought) {
            self.faults.push(
                Problem::new(format!("`{text}` is not more than nought"))
                    .at(format!("line {line}, {name}"))
                    .mend(if may_be_nought {
                        "say the other direction instead"
                    } else {
                        "write the size as drawn"
                    }),
            );
            return None;
        }
        if written.length > Length::mm(10_000) {
            self.faults.push(
                Problem::new(format!("`{text}` is more than ten metres"))
                    .at(format!("line {line}, {name}"))
                    .mend("check the number and its unit"),
            );
            return None;
        }
        let role = match role {
            Some(role) => (role, Given::Said),
            None => (usual_role(measures), self.unsaid),
        };
        self.dimensions.push(Dimension { name: name.to_owned(), written, line, measures, role, within });
        Some(DimensionId(self.dimensions.len() - 1))
    }

    /// A thread by its published name.
    pub(super) fn thread(&mut self, sheet: &Sheet, key: &str, name: &str) -> Option<ThreadId> {
        let entry = sheet.get(key)?;
        let (text, line, role) = match &entry.value {
            Content::Table(table) => {
                let (text, line) = table.need("is", "7 BA", &mut self.faults)?;
                let (text, (role, _)) = (text.to_owned(), self.said(table));
                table.finish(&mut self.faults);
                (text, line, role)
            }
            _ => (sheet.text(key, &mut self.faults)?.0.to_owned(), entry.line, None),
        };
        match threads::find(&text) {
            Ok(thread) => {
                let role = role.map_or((Role::Suit, self.unsaid), |role| (role, Given::Said));
                self.threads.push(ThreadCall { name: name.to_owned(), text, thread, line, role });
                Some(ThreadId(self.threads.len() - 1))
            }
            Err(fault) => {
                self.faults.push(fault.at(format!("line {line}, {name}")));
                None
            }
        }
    }

    /// The statements of place of a feature.
    pub(super) fn placing(&mut self, sheet: &Sheet, name: &str) -> Vec<Statement> {
        let Some(entry) = sheet.get("place") else { return Vec::new() };
        let items: Vec<&crate::document::Entry> = match &entry.value {
            Content::List(items) => items.iter().collect(),
            _ => vec![entry],
        };
        let mut statements = Vec::new();
        for item in items {
            let (text, line, said) = match &item.value {
                Content::Table(table) => {
                    let Some((text, line)) = table.need("is", "1/2 above pivot bore", &mut self.faults)
                    else {
                        continue;
                    };
                    let (text, said) = (text.to_owned(), self.said(table));
                    table.finish(&mut self.faults);
                    (text, line, said)
                }
                _ => match item.as_text() {
                    Ok(text) => (text.to_owned(), item.line, (None, None)),
                    Err(fault) => {
                        self.faults.push(fault);
                        continue;
                    }
                },
            };
            if let Some(says) = self.statement(&text, line, name, said) {
                statements.push(Statement { text, line, says });
            }
        }
        statements
    }

    fn statement(
        &mut self,
        text: &str,
        line: usize,
        name: &str,
        said: (Option<Role>, Option<Length>),
    ) -> Option<Says> {
        let place = |fault: Problem| fault.at(format!("line {line}, {name}"));
        let phrase = match read_phrase(text) {
            Ok(phrase) => phrase,
            Err(fault) => {
                self.faults.push(place(fault));
                return None;
            }
        };
        let names = self.names.clone();
        let find = |reader: &mut Self, of: &str| match find_reference(of, &names) {
            Ok(Reference::Feature(id)) if names[id.0].0.eq_ignore_ascii_case(name) => {
                reader.faults.push(place(
                    Problem::new(format!("`{text}` places {name} from itself"))
                        .mend("name what it is measured from"),
                ));
                None
            }
            Ok(found) => Some(found),
            Err(fault) => {
                reader.faults.push(place(fault));
                None
            }
        };
        let measures = Measures::Position;
        match phrase {
            Phrase::Datum => Some(Says::Datum),
            Phrase::Along { length, word, axis, negative, from } => {
                let from = find(self, from)?;
                let title = format!("{name}: {word} {}", from.word(&|id| names[id.0].0.clone()));
                let dimension = self.measured(length, line, &title, measures, said)?;
                Some(Says::Along { axis, negative, dimension, from })
            }
            Phrase::From { length, from, angle } => {
                let from = find(self, from)?;
                let title = format!("{name}: from {}", from.word(&|id| names[id.0].0.clone()));
                match (angle, from.edge()) {
                    (Some(angle), None) => {
                        let dimension = self.measured(length, line, &title, measures, said)?;
                        Some(Says::Polar { dimension, from, angle })
                    }
                    (None, Some((axis, inward_is_more))) => {
                        let dimension = self.measured(length, line, &title, measures, said)?;
                        Some(Says::Along { axis, negative: !inward_is_more, dimension, from })
                    }
                    (Some(_), Some(_)) | (None, None) => {
                        self.faults.push(place(
                            Problem::new(format!("`{text}` does not say in which direction")).mend(
                                "say `right of`, `left of`, `above` or `below`, or give the angle: `1/2 from NAME at 30°`",
                            ),
                        ));
                        None
                    }
                }
            }
            Phrase::Same { axis, of } => Some(Says::Same { axis, as_: find(self, of)? }),
            Phrase::Concentric(of) => Some(Says::Concentric(find(self, of)?)),
            Phrase::Midway(one, other) => Some(Says::Midway(find(self, one)?, find(self, other)?)),
            Phrase::Symmetrical { with, across } => {
                Some(Says::Symmetrical { with: find(self, with)?, across })
            }
            Phrase::Opposite { other, about } => {
                Some(Says::Opposite { other: find(self, other)?, about: find(self, about)? })
            }
            Phrase::MiddleOf(Axis::X) => Some(Says::Midway(Reference::LeftEdge, Reference::RightEdge)),
            Phrase::MiddleOf(Axis::Y) => Some(Says::Midway(Reference::BottomEdge, Reference::TopEdge)),
            Phrase::MiddleOf(Axis::Z) => Some(Says::Midway(Reference::BackFace, Reference::FrontFace)),
        }
    }
}

/// What a dimension may become when the file does not say: sizes that a tool or
/// the rack makes follow it, the rest may move. Common practice, shown as assumed.
const fn usual_role(measures: Measures) -> Role {
    match measures {
        Measures::Hole(_)
        | Measures::SlotWidth
        | Measures::SawWidth
        | Measures::Thickness
        | Measures::Counterbore
        | Measures::Shaft => Role::Suit,
        Measures::Position
        | Measures::Radius
        | Measures::Outside
        | Measures::Web
        | Measures::Depth
        | Measures::Turned
        | Measures::Along => Role::Free,
    }
}
