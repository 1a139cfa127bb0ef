//! One shape of fault everywhere: what, where, why and how to mend it.
//!
//! A [`Problem`] is something the person can put right. The code that finds it
//! knows the *what*; its callers add the place as it passes up with
//! [`Problem::at`]. The command line, the sheet and the web page print the same
//! lines. A broken promise inside the program is not a `Problem`.

use std::fmt;

/// Something the user can put right: what, where, why, and how to mend it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Problem {
    what: String,
    place: Vec<String>,
    why: Option<String>,
    mend: Option<String>,
    concerned: Vec<String>,
}

/// A result that reports every fault found, not only the first.
pub type Outcome<T> = Result<T, Vec<Problem>>;

impl Problem {
    /// States what is wrong, quoting the text at fault where there is one.
    pub fn new(what: impl Into<String>) -> Self {
        Self { what: what.into(), place: Vec::new(), why: None, mend: None, concerned: Vec::new() }
    }

    /// Says why it is wrong.
    #[must_use]
    pub fn why(mut self, why: impl Into<String>) -> Self {
        self.why = Some(why.into());
        self
    }

    /// Says how to mend it.
    #[must_use]
    pub fn mend(mut self, mend: impl Into<String>) -> Self {
        self.mend = Some(mend.into());
        self
    }

    /// Adds a place around those already given: the file around the line, the
    /// line around the dimension.
    #[must_use]
    pub fn at(mut self, place: impl Into<String>) -> Self {
        self.place.insert(0, place.into());
        self
    }

    /// Names a feature or a dimension that it is about, so that a page can mark
    /// it where it stands on the picture.
    #[must_use]
    pub fn concerns(mut self, name: impl Into<String>) -> Self {
        let name = name.into();
        if !self.concerned.contains(&name) {
            self.concerned.push(name);
        }
        self
    }

    /// Names what it is most likely about, before anything named already.
    #[must_use]
    pub fn concerns_first(mut self, name: impl Into<String>) -> Self {
        let name = name.into();
        self.concerned.retain(|other| *other != name);
        self.concerned.insert(0, name);
        self
    }

    /// The features and dimensions it is about, by name, the likeliest first.
    pub fn concerned(&self) -> &[String] {
        &self.concerned
    }

    /// What is wrong.
    pub fn what(&self) -> &str {
        &self.what
    }

    /// Where it is, widest place first; empty when nobody has said.
    pub fn place(&self) -> String {
        self.place.join(", ")
    }

    /// Why it is wrong, where that is not plain from the first line.
    pub fn reason(&self) -> Option<&str> {
        self.why.as_deref()
    }

    /// How to put it right.
    pub fn remedy(&self) -> Option<&str> {
        self.mend.as_deref()
    }
}

impl fmt::Display for Problem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.what)?;
        if !self.place.is_empty() {
            write!(f, "\n  where: {}", self.place())?;
        }
        if let Some(why) = &self.why {
            write!(f, "\n  why:   {why}")?;
        }
        if let Some(mend) = &self.mend {
            write!(f, "\n  mend:  {mend}")?;
        }
        Ok(())
    }
}

impl std::error::Error for Problem {}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_problem_prints_its_four_lines_widest_place_first() {
        let problem = Problem::new("cannot read `5/0` as inches")
            .why("the bottom of the fraction is nought")
            .mend("write it as on the drawing, such as `1 3/8`")
            .at("line 14, `bore`")
            .at("lever.toml");
        assert_eq!(
            problem.to_string(),
            "cannot read `5/0` as inches\n  where: lever.toml, line 14, `bore`\n  \
             why:   the bottom of the fraction is nought\n  \
             mend:  write it as on the drawing, such as `1 3/8`"
        );
    }
}
