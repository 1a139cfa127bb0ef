//! Standard drawing scales.

use std::fmt;

/// A drawing scale, paper to metal.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Scale {
    paper: u32,
    metal: u32,
}

impl Scale {
    /// Full size.
    pub const FULL: Scale = Scale::new(1, 1);

    /// So many millimetres of paper to so many of metal; neither may be nought.
    pub const fn new(paper: u32, metal: u32) -> Self {
        assert!(paper > 0 && metal > 0, "a scale has two sides");
        Self { paper, metal }
    }

    /// Millimetres of paper to one of metal.
    pub fn factor(self) -> f64 {
        f64::from(self.paper) / f64::from(self.metal)
    }
}

impl fmt::Display for Scale {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}:{}", self.paper, self.metal)
    }
}

/// The scales of ISO 5455, largest first, as far as a workshop drawing needs them.
pub const SCALES: [Scale; 13] = [
    Scale::new(50, 1),
    Scale::new(20, 1),
    Scale::new(10, 1),
    Scale::new(5, 1),
    Scale::new(2, 1),
    Scale::FULL,
    Scale::new(1, 2),
    Scale::new(1, 5),
    Scale::new(1, 10),
    Scale::new(1, 20),
    Scale::new(1, 50),
    Scale::new(1, 100),
    Scale::new(1, 200),
];
