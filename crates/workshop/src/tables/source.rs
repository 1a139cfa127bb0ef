//! Where a value in a table comes from.

use std::fmt;

/// Where a value was published, and how far it may be trusted.
///
/// Prints as it stands on a sheet: the publication alone, or followed by
/// `common practice` or `from memory` where it is no more than that.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Source {
    /// The standard, book, table or custom.
    pub published: String,
    /// How the value was read from it.
    pub standing: Standing,
}

/// How a value was come by.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Standing {
    /// Read in print, or worked by the formula the standard gives.
    Published,
    /// What the trade does; no standard says it.
    CommonPractice,
    /// Nobody has held it against a printed page: shown with those words.
    FromMemory,
}

impl Source {
    /// A source from the two cells of a table row: the publication, and the
    /// `basis` that says how it was read.
    pub(super) fn of_row(published: &str, basis: &str) -> Self {
        let standing = match basis {
            "from memory" => Standing::FromMemory,
            "common practice" => Standing::CommonPractice,
            _ => Standing::Published,
        };
        Self { published: published.to_owned(), standing }
    }
}

impl fmt::Display for Source {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.published)?;
        match self.standing {
            Standing::FromMemory => f.write_str(", from memory"),
            Standing::CommonPractice if !self.published.contains("common practice") => {
                f.write_str(", common practice")
            }
            Standing::Published | Standing::CommonPractice => Ok(()),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_was_never_checked_says_so_where_it_shows() {
        let shown = |published, basis| Source::of_row(published, basis).to_string();
        assert_eq!(shown("ISO 2306", "from memory"), "ISO 2306, from memory");
        assert_eq!(shown("ISO 2306", "public page"), "ISO 2306");
        assert_eq!(
            shown("half the drilling speed", "common practice"),
            "half the drilling speed, common practice"
        );
        assert_eq!(shown("common practice", "common practice"), "common practice");
    }
}
