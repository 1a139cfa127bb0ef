//! A block that is parted through a bore: a bearing and its cap, made as one.

use super::reader::Reader;
use super::{Body, Depth, Face, Feature, FeatureId, Form, GivenStock, Hand, Kind};
use crate::document::Sheet;
use crate::measure::{Length, Written, read_length};
use crate::problem::Problem;
use crate::tables::processes::limit;

/// A cap that is sawn off a block, bolted on again and bored with it.
#[derive(Clone, Debug, PartialEq)]
pub struct Parted {
    /// The bore that lies half in each.
    pub bore: FeatureId,
    /// The side that comes off.
    pub cap: Face,
    /// The holes of the bolts that hold it.
    pub bolts: Vec<FeatureId>,
    /// What lies in the joint while it is bored, to be taken out when it is worn.
    pub shim: Option<Written>,
    /// Line in the file.
    pub line: usize,
}

impl Parted {
    /// How much longer the block is before it is parted: the saw's cut, and what comes off both
    /// faces of the joint.
    pub fn lost() -> Length {
        limit("saw cut") + limit("joint face") * 2
    }

    /// What lies in the joint.
    pub fn shim(&self) -> Length {
        self.shim.as_ref().map_or(Length::ZERO, |shim| shim.length)
    }
}

impl Reader {
    /// The `[[parted]]` of a file; there is one at most.
    pub(super) fn parted(
        &mut self,
        sheet: &Sheet,
        body: Option<&Body>,
        features: &[Feature],
        (stock, hands): (Option<&GivenStock>, &[Hand]),
    ) -> Option<Parted> {
        let tables = sheet.tables("parted", &mut self.faults);
        let mut found = None;
        for (n, table) in tables.into_iter().enumerate() {
            let before = self.faults.len();
            let through = table.need("through", "shaft bore", &mut self.faults);
            let through = through.map(|(text, line)| (text.to_owned(), line));
            let bore = through.and_then(|(text, line)| self.feature_named(&text, line, "through"));
            if table.get("cap").is_none() {
                table.need("cap", "top", &mut self.faults);
            }
            let sides =
                [("top", Face::Top), ("bottom", Face::Bottom), ("left", Face::Left), ("right", Face::Right)];
            let cap = self.one_of(table, "cap", &sides);
            let texts: Vec<(String, usize)> =
                table.texts("bolts", &mut self.faults).into_iter().map(|(t, l)| (t.to_owned(), l)).collect();
            let bolts: Vec<FeatureId> =
                texts.iter().filter_map(|(text, line)| self.feature_named(text, *line, "bolts")).collect();
            let shim = table.text("shim", &mut self.faults).map(|(text, line)| (text.to_owned(), line));
            table.finish(&mut self.faults);
            let shim = shim.and_then(|(text, line)| match read_length(&text, self.unit) {
                Ok(written) if written.length.is_positive() => Some(written),
                Ok(_) => {
                    let none = Problem::new(format!("a shim of `{text}` is none"));
                    let none = none.mend("write how thick it is, or leave `shim` out");
                    self.faults.push(none.at(format!("line {line}, `shim`")));
                    None
                }
                Err(fault) => {
                    self.faults.push(fault.at(format!("line {line}, `shim`")));
                    None
                }
            });
            if self.faults.len() > before {
                continue;
            }
            let (Some(bore), Some(cap)) = (bore, cap) else { continue };
            let one = Parted { bore, cap, bolts, shim, line: table.line() };
            let fault = match n {
                0 => unsound(&one, body, features, stock, hands),
                _ => Some(
                    Problem::new("a part is parted twice")
                        .why(
                            "after the first cut there are two pieces, and the second would part one of them",
                        )
                        .mend("keep one `[[parted]]`, and give what else comes off a part file of its own"),
                ),
            };
            match fault {
                Some(fault) => self.faults.push(fault.at(table.place())),
                None => found = Some(one),
            }
        }
        found
    }
}

/// What does not go with being parted.
fn unsound(
    one: &Parted,
    body: Option<&Body>,
    features: &[Feature],
    stock: Option<&GivenStock>,
    hands: &[Hand],
) -> Option<Problem> {
    if !matches!(body, None | Some(Body::Rectangle { .. })) {
        return Some(
            Problem::new("only a rectangle is parted through a bore")
                .why("its halves are held and measured by their square edges")
                .mend("draw the block as a `rectangle` with steps, or the cap as a part of its own"),
        );
    }
    if stock.is_some_and(|stock| stock.form == Form::Casting) {
        return Some(
            Problem::new("a casting is parted through a bore")
                .why("what the saw and the joint take would have to be cast on")
                .mend("take `[stock]` out, or take `[[parted]]` out and part it by hand"),
        );
    }
    if hands.len() > 1 {
        return Some(
            Problem::new("a part in two hands is parted through a bore")
                .why("its cap would come off another side of the other hand")
                .mend("give the other hand a part file of its own"),
        );
    }
    let bore = features.get(one.bore.0)?;
    let goes_through = matches!(bore.kind, Kind::Hole { depth: Depth::Through, .. });
    if !goes_through || !matches!(bore.face, Face::Front | Face::Back) {
        return Some(
            Problem::new(format!("`{}` is not a hole right through from front to back", bore.name))
                .why("the joint runs through the middle of it from one face to the other")
                .mend("name in `through` the bore that lies half in the cap"),
        );
    }
    if one.bolts.is_empty() {
        return Some(
            Problem::new("nothing holds the cap")
                .why("it is bored with its bolts drawn up: bored before that, the saw's width is missing from it")
                .mend("name the holes of its bolts: `bolts = [\"left bolt\", \"right bolt\"]`"),
        );
    }
    for bolt in &one.bolts {
        let hole = features.get(bolt.0)?;
        let plain = matches!(hole.kind, Kind::Hole { depth: Depth::Through, .. } | Kind::Tapped { .. });
        if !plain || hole.face.axis() != one.cap.axis() {
            let face = one.cap.word();
            return Some(
                Problem::new(format!("`{}` does not hold the cap", hole.name))
                    .why("a bolt goes square across the joint, through the cap and through the base or into a thread of it")
                    .mend(format!("draw it as a hole right through, or a tapped hole, with `face = \"{face}\"`")),
            );
        }
        if hole.face != one.cap && matches!(hole.kind, Kind::Tapped { .. }) {
            return Some(
                Problem::new(format!("`{}` is tapped from the base", hole.name))
                    .why("the thread is in the base, and the hole is drilled from the cap through both")
                    .mend(format!("write `face = \"{}\"`", one.cap.word())),
            );
        }
    }
    None
}
