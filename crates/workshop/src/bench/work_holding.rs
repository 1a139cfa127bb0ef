//! What holds work in the lathe: chucks, soft jaws, faceplate, centres, steadies, mandrels.
//!
//! A bench file lists them in `work_holding`. Where it does not, what ordinarily comes with
//! a hobby lathe is supposed, and an order that rests on it says so.

use super::Bench;
use super::read::Reader;
use crate::document::Sheet;
use crate::measure::Length;
use crate::problem::Problem;

/// Something that holds or steadies work in a lathe.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum WorkHolder {
    /// A self-centring chuck.
    ThreeJaw,
    /// A chuck of four jaws, each moved by itself.
    FourJaw,
    /// Jaws that are bored to the work in place.
    SoftJaws,
    /// A plate to bolt work to.
    Faceplate,
    /// A centre in the spindle, one in the tailstock, a driving plate and carriers.
    Centres,
    /// Three fingers on the bed round the work.
    FixedSteady,
    /// Two fingers on the saddle behind the tool.
    TravellingSteady,
    /// A head that turns work by holes in a plate.
    DividingHead,
}

impl WorkHolder {
    /// Every one, by what the bench file calls it.
    pub const ALL: [(&'static str, Self); 8] = [
        ("three-jaw chuck", Self::ThreeJaw),
        ("four-jaw chuck", Self::FourJaw),
        ("soft jaws", Self::SoftJaws),
        ("faceplate", Self::Faceplate),
        ("centres", Self::Centres),
        ("fixed steady", Self::FixedSteady),
        ("travelling steady", Self::TravellingSteady),
        ("dividing head", Self::DividingHead),
    ];

    /// What the trade calls it.
    pub fn words(self) -> &'static str {
        Self::ALL.iter().find(|(_, one)| *one == self).map_or("", |(words, _)| words)
    }

    /// The one that a bench file means.
    ///
    /// # Errors
    ///
    /// A [`Problem`] with every name that is known.
    pub fn find(words: &str) -> Result<Self, Problem> {
        let folded = |text: &str| text.trim().to_lowercase().replace('-', " ");
        let found = Self::ALL.iter().find(|(name, _)| folded(name) == folded(words));
        found.map(|(_, holder)| *holder).ok_or_else(|| {
            let known: Vec<String> = Self::ALL.iter().map(|(name, _)| format!("`{name}`")).collect();
            Problem::new(format!("`{words}` is not known to hold work in a lathe"))
                .mend(format!("it may be {}; collets and mandrels are listed by size", known.join(", ")))
        })
    }

    /// Whether it is supposed where the bench file says nothing: what a lathe is ordinarily
    /// sold with, and jaws that anybody can turn from a bar; common practice.
    const fn ordinary(self) -> bool {
        !matches!(self, Self::TravellingSteady | Self::DividingHead)
    }
}

/// Whether something is there.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum There {
    /// The bench file says so.
    Owned,
    /// It does not say, and it is ordinary.
    Supposed,
    /// It is not there.
    No,
}

impl Bench {
    /// Whether work can be held so.
    pub fn has(&self, holder: WorkHolder) -> There {
        match &self.work_holding {
            Some(owned) if owned.contains(&holder) => There::Owned,
            None if holder.ordinary() => There::Supposed,
            _ => There::No,
        }
    }

    /// Whether a mandrel of this size is owned.
    pub fn has_mandrel(&self, bore: Length) -> bool {
        self.mandrels.contains(&bore)
    }
}

impl Reader {
    /// What holds work, where the file says.
    pub(super) fn work_holding(&mut self, sheet: &Sheet) -> Option<Vec<WorkHolder>> {
        sheet.get("work_holding")?;
        let mut owned = Vec::new();
        for (text, line) in sheet.texts("work_holding", &mut self.faults) {
            match WorkHolder::find(text) {
                Ok(holder) => owned.push(holder),
                Err(fault) => self.faults.push(fault.at(format!("line {line}, `work_holding`"))),
            }
        }
        owned.sort();
        owned.dedup();
        Some(owned)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bench::read_bench;

    #[test]
    fn what_is_listed_is_owned_and_nothing_else() {
        let said =
            read_bench("b", "work_holding = [\"three jaw chuck\", \"Centres\"]\nmandrels = [\"8 mm\"]\n");
        let said = said.expect("it reads");
        assert_eq!(said.has(WorkHolder::Centres), There::Owned);
        assert_eq!(said.has(WorkHolder::SoftJaws), There::No);
        assert!(said.has_mandrel(Length::mm(8)) && !said.has_mandrel(Length::mm(9)));
        let silent = read_bench("b", "name = \"none\"\n").expect("it reads");
        assert_eq!(silent.has(WorkHolder::FourJaw), There::Supposed);
        assert_eq!(silent.has(WorkHolder::DividingHead), There::No);
    }

    #[test]
    fn what_is_not_known_is_told_with_its_line() {
        let faults = read_bench("b", "name = \"x\"\nwork_holding = [\"magnet\"]\n").unwrap_err();
        let told = faults[0].to_string();
        assert!(told.contains("magnet") && told.contains("line 2") && told.contains("faceplate"), "{told}");
    }
}
