//! Reading a part file into a [`Drawing`].

use std::collections::BTreeSet;

use super::features::{children, read_feature};
use super::features_turned::check_sections;
use super::place::find_reference;
use super::reader::{Reader, Wanted};
use super::{
    Body, Corner, DimensionId, Drawing, Equal, Feature, FeatureId, Given, Hand, Kind, Measures, Pressure,
    Reference, Source, Turning,
};
use crate::document::{Content, Sheet, meant, nearest_word, read_document};
use crate::measure::Unit;
use crate::problem::{Outcome, Problem};
use crate::tables::general_tolerance::Class;
use crate::tables::materials;

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

/// Reads what can be read of a part file, for a drawing that is still being
/// entered: one feature that cannot be read does not hide the others.
///
/// The drawing is of what was read; with it comes every fault, as
/// [`read_drawing`] says them. There is no drawing when the text is no file of
/// this kind at all.
pub fn read_as_far(file: &str, text: &str) -> (Option<Drawing>, Vec<Problem>) {
    let at = |faults: Vec<Problem>| faults.into_iter().map(|fault| fault.at(file)).collect();
    let sheet = match read_document(text) {
        Ok(sheet) => sheet,
        Err(fault) => return (None, at(vec![fault])),
    };
    let mut strict = Reader::default();
    let drawing = strict.drawing(file, &sheet);
    if drawing.is_some() && strict.faults.is_empty() {
        return (drawing, Vec::new());
    }
    // What names a feature that is left out cannot be read either, so this may
    // go round several times; the faults of the file are those of the first reading.
    let mut left_out = BTreeSet::new();
    let drawing = loop {
        let mut next = Reader { wanted: Wanted::AsFar, left_out: left_out.clone(), ..Reader::default() };
        let drawing = next.drawing(file, &sheet);
        if drawing.is_some() || next.unread.is_empty() {
            break drawing;
        }
        left_out.append(&mut next.unread);
    };
    (drawing, at(strict.faults))
}

impl Reader {
    fn drawing(&mut self, file: &str, sheet: &Sheet) -> Option<Drawing> {
        let faults = &mut self.faults;
        let name = sheet.need("part", "Valve lever", faults).map(|(text, _)| text.to_owned());
        let published = sheet.text("sheet", faults).map(|(text, _)| text.to_owned());
        let material = sheet.text("material", faults).map(|(text, line)| (text.to_owned(), line));
        if let Some((text, line)) = &material
            && let Err(fault) = materials::find(text)
        {
            faults.push(fault.at(format!("line {line}, `material`")));
        }
        let material = material.map(|(text, _)| text);
        let pressure = if sheet.flag("holds_pressure", faults) { Pressure::Holds } else { Pressure::None };
        let source = if sheet.flag("bought", faults) { Source::Bought } else { Source::Made };
        let harden = self.harden(sheet, material.as_deref());
        let turning = self.one_of(
            sheet,
            "turned",
            &[("in one holding", Turning::OneHolding), ("where it stays", Turning::WhereItStays)],
        );
        self.unit = self.one_of(sheet, "unit", &[("inch", Unit::Inch), ("mm", Unit::Mm)]);
        let lapping = self.lapping(sheet);
        let make = sheet.count("make", &mut self.faults).unwrap_or(1);
        let classes = Class::ALL.map(|class| (class.name(), class));
        let general_tolerance = self.one_of(sheet, "general_tolerance", &classes);
        if sheet.flag("usual_roles", &mut self.faults) {
            self.unsaid = Given::Said;
        }
        let hands = self.hands(sheet);
        let every = sheet.tables("feature", &mut self.faults);
        let kept = every.iter().enumerate().filter(|(index, _)| !self.left_out.contains(index));
        let (places, sheets): (Vec<usize>, Vec<&Sheet>) = kept.unzip();
        self.collect_names(&sheets);
        let mut features = Vec::new();
        let mut next = 0;
        for (place, feature_sheet) in places.into_iter().zip(&sheets) {
            let (faults_before, brings) = (self.faults.len(), 1 + children(feature_sheet));
            let read = read_feature(self, feature_sheet, FeatureId(next));
            // One that cannot be read would shift the names of those after it:
            // they are still read, for their own faults, but nothing is kept.
            if read.len() != brings {
                self.unread.insert(place);
            }
            let name = self.names[next].0.clone();
            for fault in &mut self.faults[faults_before..] {
                *fault = fault.clone().concerns(name.clone());
            }
            next += brings;
            features.extend(read);
        }
        if !self.unread.is_empty() {
            return None;
        }
        self.mouths_at_their_holes(&mut features, &sheets);
        check_sections(self, &features);
        let body = self.body(sheet, &features);
        let stock = self.stock(sheet);
        if let (Some(stock), Some(body)) = (&stock, &body) {
            let round = !matches!(body, Body::Rectangle { .. } | Body::Turned { .. });
            if round && stock.cuts_in_part() {
                self.faults.push(
                    Problem::new("only some sides of the casting are cut")
                        .at(format!("line {}, `machined`", stock.line))
                        .why("an outline with round ends or corners is cut all round, or left as cast")
                        .mend("write `edges` among `machined` for the whole outline, or none of its sides"),
                );
            }
        }
        if let Some(stock) = &stock
            && let (Some(surface), Some(Ok(material))) =
                (stock.surface, material.as_deref().map(materials::find))
            && let Err(fault) = surface.suits(&material.name)
        {
            self.faults.push(fault.at(format!("line {}, `surface`", stock.line)));
        }
        if let (Some(turning), Some(body)) = (turning, &body) {
            self.turned_at_one_end(sheet, turning, (body, &features));
        }
        let mates = self.mates(sheet);
        let screwed = self.screwed(sheet, &features);
        let equal = self.equal(sheet);
        let chains = self.chains(sheet, name.as_deref());
        let walls = self.least_walls(sheet, pressure);
        let geometrical = self.geometrical(sheet, body.as_ref(), &features);
        let parted = self.parted(sheet, body.as_ref(), &features, (stock.as_ref(), &hands));
        let asked = self.asked(sheet);
        let scan = self.paper_sheet(sheet);
        sheet.finish(&mut self.faults);
        // A plain block or disc is a part; whatever else has nothing cut in it is not finished.
        let plain = matches!(body, Some(Body::Rectangle { .. } | Body::Disc { .. }));
        if features.is_empty() && !plain && self.faults.is_empty() {
            self.faults.push(
                Problem::new("the part has no features")
                    .mend("add a `[[feature]]` for each thing that is cut, such as a hole"),
            );
        }
        Some(Drawing {
            file: file.to_owned(),
            name: name.or_else(|| self.stand_in_name())?,
            sheet: published,
            unit: self.unit,
            material,
            harden,
            lapping,
            turned: turning.unwrap_or_default(),
            make,
            hands,
            pressure,
            source,
            general_tolerance,
            body: body.or_else(|| self.stand_in_body())?,
            stock,
            features,
            dimensions: std::mem::take(&mut self.dimensions),
            threads: std::mem::take(&mut self.threads),
            mates,
            screwed,
            equal,
            chains,
            walls,
            geometrical,
            parted,
            tried: None,
            asked,
            scan,
            left: Vec::new(),
            together: Vec::new(),
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
                        "add `[body]` with `kind = \"bosses\"`, `\"outline\"`, `\"rectangle\"`, `\"disc\"` or `\"turned\"`",
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
            Outline,
            Rectangle,
            Disc,
            Turned,
        }
        if body.get("kind").is_none() {
            body.need("kind", "rectangle", &mut self.faults);
        }
        let forms = [
            ("bosses", Form::Bosses),
            ("outline", Form::Outline),
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
            Form::Outline => {
                let thickness =
                    self.need_dimension(body, "thickness", "body: thickness", Measures::Thickness);
                let around = self.around(body, features);
                Some(Body::Outline { around, thickness: thickness? })
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
        if let Some(Content::List(items)) = body.get("around").map(|entry| &entry.value)
            && let Some(arc) = items.iter().find(|item| matches!(item.value, Content::Table(_)))
        {
            self.faults.push(
                Problem::new("an arc stands between bosses whose flanks are straight")
                    .at(format!("line {}, `around`", arc.line))
                    .why("the flanks of a body of `bosses` are the lines that touch both")
                    .mend("write `kind = \"outline\"`: its arcs touch the bosses beside them"),
            );
            return around;
        }
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
                        self.faults.push(problem.mend(meant(
                            nearest_word(text, names()),
                            "name it as `oddleg metric` lists it, such as `pivot boss: radius`",
                        )));
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

    /// A counterbore or countersink that says no face is at that of the hole it stands over; a keyway is at
    /// that of its bore, whatever it says.
    fn mouths_at_their_holes(&mut self, features: &mut [Feature], sheets: &[&Sheet]) {
        let unsaid = |line| sheets.iter().any(|sheet| sheet.line() == line && sheet.get("face").is_none());
        for at in 0..features.len() {
            if let Kind::Keyway { into, .. } = features[at].kind
                && let Some(bore) = features.get(into.0)
            {
                features[at].face = bore.face;
                continue;
            }
            let (Kind::Counterbore { over, .. } | Kind::Countersink { over, .. }) = features[at].kind else {
                continue;
            };
            let Some(hole) = features.get(over.0) else { continue };
            let round = matches!(
                hole.kind,
                Kind::Hole { .. }
                    | Kind::Tapped { .. }
                    | Kind::PitchCircle { .. }
                    | Kind::Row { .. }
                    | Kind::TaperPin { .. }
            );
            let face = hole.face;
            if !round {
                let (own, name) = (&features[at], hole.name.clone());
                self.faults.push(
                    Problem::new(format!("`{}` stands over `{name}`, which is no hole", own.name))
                        .at(format!("line {}, `over`", own.line))
                        .why(format!("a {} is the mouth of a hole", own.kind.word()))
                        .mend("name the hole that it is the mouth of; a hollow by itself is a `pocket`, or a `recess` in an end")
                        .concerns(own.name.clone()),
                );
            } else if unsaid(features[at].line) {
                features[at].face = face;
            }
        }
    }
}
