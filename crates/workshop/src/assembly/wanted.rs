//! What an aid is made to where that is no feature: a length or an angle, as it is said and what
//! it comes to.
//!
//! A plain one is read with the file. One that names a size of a part, or of a mechanism, stays
//! open until [`crate::linkage::look_up`] finds it.

use super::Said;
use super::read::Reader;
use super::resolve::at;
use crate::document::Sheet;
use crate::measure::{Angle, Length, read_angle, read_length};
use crate::problem::Problem;
use crate::why::Why;

/// A length or an angle that an aid is made to.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Wanted {
    /// As it is said, and where.
    pub said: Said,
    /// Which of the two it is.
    pub sort: Sort,
    /// What it comes to, or why that is not known.
    pub is: Result<Box<Found>, Box<Problem>>,
}

/// What is wanted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sort {
    /// A length above nought.
    Length,
    /// An angle.
    Angle,
}

/// A length or an angle.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Amount {
    /// Exactly, or to the nanometre where it was reckoned.
    Length(Length),
    /// Exactly, or to the millionth of a degree.
    Angle(Angle),
}

/// What something wanted comes to.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Found {
    /// How much it is.
    pub amount: Amount,
    /// Where it comes from.
    pub why: Why,
    /// How far it may be out either way by what a mechanism allows, and which result says so;
    /// none where nothing does.
    pub within: Option<(Amount, Why)>,
}

impl Wanted {
    /// One as the file says it; what has a name in it is looked up later.
    fn read(said: Said, sort: Sort) -> Result<Self, Problem> {
        if said.text.contains(':') {
            let unknown = Problem::new(format!("`{}` is not known", said.text))
                .why("nothing was looked up by that name")
                .mend("write a length or an angle, `PART: SIZE`, or `MECHANISM: SIZE`");
            return Ok(Self { said, sort, is: Err(Box::new(unknown)) });
        }
        let amount = match sort {
            Sort::Length => Amount::Length(read_length(&said.text, None)?.length),
            Sort::Angle => Amount::Angle(read_angle(&said.text)?),
        };
        if matches!(amount, Amount::Length(length) if !length.is_positive()) {
            return Err(Problem::new(format!("`{}` of `{}` is not more than nought", said.key, said.text))
                .mend("lengths of an aid are counted from middle to middle, and upwards"));
        }
        let why = Why::new(format!("`{}` is stated", said.text))
            .source(format!("the assembly file, line {}", said.line));
        Ok(Self { said, sort, is: Ok(Box::new(Found { amount, why, within: None })) })
    }

    /// What was found.
    ///
    /// # Errors
    ///
    /// Why nothing was.
    pub fn found(&self) -> Result<&Found, Problem> {
        self.is.as_deref().map_err(|fault| (**fault).clone())
    }

    /// The length that was found.
    ///
    /// # Errors
    ///
    /// Why none was.
    pub fn length(&self) -> Result<Length, Problem> {
        match self.found()?.amount {
            Amount::Length(length) if length.is_positive() => Ok(length),
            Amount::Length(length) => {
                Err(Problem::new(format!("`{}` comes to {} mm", self.said.text, length.decimals(3)))
                    .why("an aid needs a length above nought")
                    .mend("name the size the other way round, or another one"))
            }
            Amount::Angle(_) => Err(self.other_sort()),
        }
    }

    /// The angle that was found.
    ///
    /// # Errors
    ///
    /// Why none was.
    pub fn angle(&self) -> Result<Angle, Problem> {
        match self.found()?.amount {
            Amount::Angle(angle) => Ok(angle),
            Amount::Length(_) => Err(self.other_sort()),
        }
    }

    fn other_sort(&self) -> Problem {
        Problem::new(format!("`{}` is not what `{}` wants", self.said.text, self.said.key))
            .mend("a length such as `12 mm`, or an angle such as `33°`")
    }
}

impl Reader {
    /// One length or angle that must be there.
    pub(super) fn wanted(&mut self, table: &Sheet, key: &'static str, sort: Sort) -> Option<Wanted> {
        let such_as = if sort == Sort::Length { "\"7/8 in\"" } else { "\"90°\"" };
        let said = self.needed(table, key, such_as).into_iter().next()?;
        self.one_wanted(said, sort)
    }

    /// One length or angle, as said.
    pub(super) fn one_wanted(&mut self, said: Said, sort: Sort) -> Option<Wanted> {
        let place = said.clone();
        Wanted::read(said, sort).map_err(|fault| self.faults.push(at(fault, &place))).ok()
    }
}
