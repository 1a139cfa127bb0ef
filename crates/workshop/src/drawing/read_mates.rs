//! Reading what fits or screws into what.

use super::reader::Reader;
use super::{Feature, FeatureId, Mate, Measures, Partner, Screwed};
use crate::document::Sheet;
use crate::problem::Problem;
use crate::tables::fits;

/// Whether the other part must be named.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Wants {
    Always,
    Maybe,
}

impl Reader {
    pub(super) fn mates(&mut self, sheet: &Sheet) -> Vec<Mate> {
        let mut mates = Vec::new();
        for mate in sheet.tables("mate", &mut self.faults) {
            let name = mate.need("name", "valve rod pin", &mut self.faults).map(|(t, _)| t.to_owned());
            let with = mate
                .need("in", "rod bore", &mut self.faults)
                .map(|(text, line)| (text.to_owned(), line))
                .and_then(|(text, line)| self.feature_named(&text, line, "in"));
            let title = format!("{}: size", name.as_deref().unwrap_or("mate"));
            let size = self.need_dimension(mate, "size", &title, Measures::Shaft);
            let fit = mate.need("fit", "running", &mut self.faults).map(|(t, l)| (t.to_owned(), l));
            let fit = fit.map(|(text, line)| {
                if let Err(fault) = fits::known(&text) {
                    self.faults.push(fault.at(format!("line {line}, `fit`")));
                }
                text
            });
            let made_from = mate.text("made_from", &mut self.faults).map(|(t, _)| t.to_owned());
            let fixed = mate.flag("fixed", &mut self.faults);
            let partner = self.partner(mate, Wants::Maybe);
            mate.finish(&mut self.faults);
            if let (Some(name), Some(with), Some(size), Some(fit)) = (name, with, size, fit) {
                mates.push(Mate { name, with, size, fit, made_from, fixed, partner, line: mate.line() });
            }
        }
        mates
    }

    /// Threads that screw into or on to other parts.
    pub(super) fn screwed(&mut self, sheet: &Sheet, features: &[Feature]) -> Vec<Screwed> {
        let mut screwed = Vec::new();
        for table in sheet.tables("screwed", &mut self.faults) {
            let own = table.need("in", "spindle screw", &mut self.faults);
            let own = own.map(|(text, line)| (text.to_owned(), line));
            let found = own.as_ref().and_then(|(text, line)| self.feature_named(text, *line, "in"));
            let partner = self.partner(table, Wants::Always);
            table.finish(&mut self.faults);
            let (Some((text, line)), Some(feature), Some(partner)) = (own, found, partner) else { continue };
            // A feature that could not be read has been reported where it stands.
            let Some(kind) = features.get(feature.0).map(|f| &f.kind) else { continue };
            if let Some(holes) = kind.pattern() {
                // All of them are meant: each with the other's hole of its own number, or with all that there is.
                let of = |(nth, &hole): (usize, &FeatureId)| {
                    let thread = features.get(hole.0)?.kind.screwed()?;
                    Some(Screwed {
                        feature: hole,
                        thread,
                        partner: Partner { nth: Some(nth), ..partner.clone() },
                    })
                };
                let all: Vec<Screwed> = holes.iter().enumerate().filter_map(of).collect();
                if !all.is_empty() {
                    screwed.extend(all);
                    continue;
                }
            }
            match kind.screwed() {
                Some(thread) => screwed.push(Screwed { feature, thread, partner }),
                None => self.faults.push(
                    Problem::new(format!("`{text}` has no thread")).at(format!("line {line}, `in`")).mend(
                        "name a tapped hole, a section with a `thread`, or a hole that `clears` its screw",
                    ),
                ),
            }
        }
        screwed
    }

    /// The feature of another part that a mate names: `Crank pin: journal`.
    fn partner(&mut self, table: &Sheet, wants: Wants) -> Option<Partner> {
        const SUCH_AS: &str = "Crank pin: journal";
        let found = match wants {
            Wants::Always => table.need("with", SUCH_AS, &mut self.faults),
            Wants::Maybe => table.text("with", &mut self.faults),
        };
        let (text, line) = found.map(|(text, line)| (text.to_owned(), line))?;
        let Some((part, feature)) = text.split_once(':') else {
            self.faults.push(
                Problem::new(format!("`{text}` does not say which feature of which part"))
                    .at(format!("line {line}, `with`"))
                    .mend(format!("write the part, a colon and its feature, such as `{SUCH_AS}`")),
            );
            return None;
        };
        Some(Partner { part: part.trim().to_owned(), feature: feature.trim().to_owned(), nth: None, line })
    }
}
