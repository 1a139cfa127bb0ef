//! An end mill or slot drill, and how it stands in its collet.

use crate::measure::Length;

/// An end mill or slot drill with a square corner.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct EndMill {
    /// Across.
    pub diameter: Length,
    /// Length of its cutting edges.
    pub flute: Length,
    /// How many teeth.
    pub teeth: u32,
    /// How far it stands out of the collet, where the file says.
    pub stick_out: Option<Length>,
    /// Across its shank, where the file says.
    pub shank: Option<Length>,
}

/// The least that is seen between the flutes and the collet.
const LEAST_BEHIND: Length = Length::mm(8);

/// The shank of small cutters.
const LEAST_SHANK: Length = Length::mm(6);

impl EndMill {
    /// A cutter of which only the cutting end is known.
    pub const fn new(diameter: Length, flute: Length, teeth: u32) -> Self {
        Self { diameter, flute, teeth, stick_out: None, shank: None }
    }

    /// How far it stands out of the collet: as the file says, never less than its flutes; else
    /// its flutes and as much again as it is thick, 8 mm at least.
    ///
    /// Source: short end mills after DIN 844 with the whole of a DIN 1835 shank in the collet
    /// (6 × 13 of 57 with a shank of 36, 10 × 22 of 72 with 40, 16 × 32 of 92 with 48), from
    /// memory.
    pub fn stands_out(&self) -> Length {
        match self.stick_out {
            Some(said) => said.max(self.flute),
            None => self.flute + self.diameter.max(LEAST_BEHIND),
        }
    }

    /// Across its shank: as the file says; else its own diameter, 6 mm at least, as small
    /// cutters have it (DIN 844, from memory).
    pub fn shank_across(&self) -> Length {
        self.shank.unwrap_or_else(|| self.diameter.max(LEAST_SHANK))
    }

    /// Whether it may be let straight down into whole metal. A slot drill of two teeth cuts over its
    /// centre, and so do most of three (DIN 327, from memory); of more teeth some do, and the file
    /// does not say which.
    pub fn goes_straight_down(&self) -> bool {
        self.teeth <= 3
    }

    /// How much of what stands out is no thicker than the cutter.
    pub fn slender(&self) -> Length {
        if self.shank_across() > self.diameter { self.flute } else { self.stands_out() }
    }
}
