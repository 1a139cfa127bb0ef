//! Aids with sizes of their own: what the file says they are made to, and which features that is.
//!
//! ```toml
//! design = "setting plug"
//! between = ["Return crank: pin", "centre of Axle: seat"]   # or another round, or "flat"
//! distance = "7/8 in"
//! ```
//!
//! ```toml
//! design = "drill bush"
//! seat = "Drilling jig: bush hole"
//! guides = "Arm: pivot hole"
//! ```
//!
//! ```toml
//! design = "shouldered screw"
//! through = "Arm: pivot hole"
//! into = "Drilling jig: pivot thread"
//! ```
//!
//! Blocks stand in `blocks.rs`.

use super::read::Reader;
use super::resolve::{Resolver, at};
use super::wanted::{Sort, Wanted};
use super::{Against, Design, Member, Said, Thing};
use crate::document::Sheet;
use crate::drawing::{Kind, SectionSize};
use crate::problem::Problem;

/// Before the name of a round whose middle is meant.
const MIDDLE: &str = "centre of ";

impl<N> Design<N> {
    /// What must be finished before it is made: not the hole that is drilled through it.
    pub(super) fn made_to(&self) -> Vec<&N> {
        match self {
            Self::Plug { pin, against: Against::Round(other) | Against::Middle(other), .. } => {
                vec![pin, other]
            }
            Self::Plug { pin, against: Against::Flat, .. } => vec![pin],
            Self::Bush { seat, .. } => vec![seat],
            Self::Screw { through, into } => vec![through, into],
            Self::Block(block) => block.made_to(),
        }
    }

    /// The lengths and angles in it that may have to be looked up.
    pub fn wanted_mut(&mut self) -> Vec<&mut Wanted> {
        match self {
            Self::Plug { distance, .. } => vec![distance],
            Self::Block(block) => block.wanted_mut(),
            Self::Bush { .. } | Self::Screw { .. } => Vec::new(),
        }
    }
}

impl Reader {
    /// What an aid is made to, where the file says so.
    pub(super) fn design(&mut self, table: &Sheet) -> Option<Design<Said>> {
        match self.words(table, "design")?.as_str() {
            "setting plug" => self.plug(table),
            "drill bush" => {
                let seat = self.needed(table, "seat", "\"Drilling jig: bush hole\"").into_iter().next();
                let guides = self.needed(table, "guides", "\"Arm: pivot hole\"").into_iter().next();
                Some(Design::Bush { seat: seat?, guides: guides? })
            }
            "shouldered screw" => {
                let through = self.needed(table, "through", "\"Arm: pivot hole\"").into_iter().next();
                let into = self.needed(table, "into", "\"Drilling jig: pivot thread\"").into_iter().next();
                Some(Design::Screw { through: through?, into: into? })
            }
            "setting block" => self.block(table).map(Box::new).map(Design::Block),
            "square packing" => self.packing(table).map(Box::new).map(Design::Block),
            other => {
                self.faults.push(
                    Problem::new(format!("`{other}` is not an aid that sizes are worked out for"))
                        .at(table.place())
                        .mend(
                            "write `design = \"setting plug\"`, `\"setting block\"`, `\"square packing\"`, `\"drill bush\"` or `\"shouldered screw\"`, or say it in `what`",
                        ),
                );
                None
            }
        }
    }

    fn plug(&mut self, table: &Sheet) -> Option<Design<Said>> {
        let such_as = "[\"Return crank: pin\", \"centre of Axle: seat\"]";
        let between = self.needed(table, "between", such_as);
        let distance = self.wanted(table, "distance", Sort::Length);
        let [pin, other] = <[Said; 2]>::try_from(between)
            .map_err(|between| {
                if let Some(first) = between.first() {
                    self.faults.push(at(
                        Problem::new(format!(
                            "a plug lies between two things, and {} are named",
                            between.len()
                        ))
                        .mend(format!(
                            "name the pin, then a round, `centre of` one, or `flat`: `between = {such_as}`"
                        )),
                        first,
                    ));
                }
            })
            .ok()?;
        let against = if other.text == "flat" {
            Against::Flat
        } else if let Some(name) = other.text.strip_prefix(MIDDLE) {
            Against::Middle(Said { text: name.trim().to_owned(), ..other })
        } else {
            Against::Round(other)
        };
        Some(Design::Plug { pin, against, distance: distance? })
    }
}

impl Resolver<'_> {
    /// The features a design names; those that are not there or not round are reported.
    pub(super) fn design(&mut self, said: &Design<Said>) -> Option<Design> {
        match said {
            Design::Plug { pin, against, distance } => {
                let pin = self.round(pin);
                let against = match against {
                    Against::Flat => Some(Against::Flat),
                    Against::Middle(of) => self.round(of).map(Against::Middle),
                    Against::Round(of) => self.round(of).map(Against::Round),
                };
                Some(Design::Plug { pin: pin?, against: against?, distance: distance.clone() })
            }
            Design::Bush { seat, guides } => {
                let (seat, guides) = (self.round(seat), self.round(guides));
                Some(Design::Bush { seat: seat?, guides: guides? })
            }
            Design::Screw { through, into } => {
                let hole = |kind: &Kind| matches!(kind, Kind::Hole { .. });
                let through = self.shaped(through, hole, "a plain hole turns on a shoulder");
                let tapped = |kind: &Kind| matches!(kind, Kind::Tapped { .. });
                let into = self.shaped(into, tapped, "a screw is screwed into a tapped hole");
                Some(Design::Screw { through: through?, into: into? })
            }
            Design::Block(block) => self.block(block).map(Box::new).map(Design::Block),
        }
    }

    pub(super) fn round(&mut self, said: &Said) -> Option<Member> {
        let round = |kind: &Kind| {
            matches!(
                kind,
                Kind::Hole { .. } | Kind::Boss { .. } | Kind::Section { size: SectionSize::Plain(_), .. }
            )
        };
        self.shaped(said, round, "an aid is made to something round: a hole, a boss, a plain section")
    }

    /// A feature of the shape that an aid is made to.
    fn shaped(&mut self, said: &Said, is: fn(&Kind) -> bool, because: &str) -> Option<Member> {
        let fault = match self.names.member(&said.text) {
            Ok(member) => match (member.thing, member.feature) {
                (Thing::Part(part), Some(feature)) => {
                    let kind = &self.names.drawings[part].features[feature.0].kind;
                    if is(kind) {
                        return Some(member);
                    }
                    Problem::new(format!("`{}` is a {}", said.text, kind.word()))
                        .why(because)
                        .mend("name a feature that is one")
                }
                _ => Problem::new(format!("`{}` does not say what of it the aid is made to", said.text))
                    .mend("write the part, a colon and its feature, such as `Return crank: pin`"),
            },
            Err(fault) => fault,
        };
        self.faults.push(at(fault, said));
        None
    }
}
