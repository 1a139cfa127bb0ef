//! Line classes after ISO 128-2, and what may lie inside a shape.

/// What a line means. The class sets its width and dashes (ISO 128-2: wide to
/// narrow is two to one, and dashes are multiples of the width).
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Line {
    /// A visible edge: continuous, wide (01.2).
    Visible,
    /// A face worked in this setup: continuous and extra wide, as process
    /// drawings show it (common practice).
    Worked,
    /// A hidden edge: dashed, narrow (02.1).
    Hidden,
    /// A centre line: long dash and dot, narrow (04.1).
    Centre,
    /// Dimension, extension and leader lines: continuous, narrow (01.1).
    Dimension,
    /// Stock before cutting, clamps, neighbouring parts, the other position of a
    /// moving one: long dash and two dots, narrow (05.1).
    Phantom,
    /// An edge as it was before a change: continuous, between narrow and wide, grey
    /// (common practice).
    Before,
    /// Hatching of a cut face: continuous, narrow (01.1).
    Hatch,
    /// A rule in a table.
    Rule,
    /// The frame of a page.
    Frame,
}

/// Narrow and wide lines of line group 0.5 (ISO 128-2), which suits A4.
const NARROW_MM: f64 = 0.25;
const WIDE_MM: f64 = 0.5;

impl Line {
    /// Every class, so that a backend can describe each once.
    pub const ALL: [Line; 10] = [
        Line::Visible,
        Line::Worked,
        Line::Hidden,
        Line::Centre,
        Line::Dimension,
        Line::Phantom,
        Line::Before,
        Line::Hatch,
        Line::Rule,
        Line::Frame,
    ];

    /// The name of the class in SVG and CSS.
    pub fn name(self) -> &'static str {
        match self {
            Line::Visible => "visible",
            Line::Worked => "worked",
            Line::Hidden => "hidden",
            Line::Centre => "centre",
            Line::Dimension => "dimension",
            Line::Phantom => "phantom",
            Line::Before => "before",
            Line::Hatch => "hatch",
            Line::Rule => "rule",
            Line::Frame => "frame",
        }
    }

    /// How wide the pen is.
    pub fn width_mm(self) -> f64 {
        match self {
            Line::Visible => WIDE_MM,
            Line::Worked => 0.9,
            Line::Hidden | Line::Centre | Line::Dimension | Line::Phantom => NARROW_MM,
            Line::Before => 0.35,
            Line::Hatch | Line::Rule => 0.18,
            Line::Frame => 0.7,
        }
    }

    /// Lengths of dash and gap in turn; none for a continuous line.
    ///
    /// ISO 128-2: dash 12 widths, long dash 24, gap 3, dot half a width; the dot
    /// is drawn one width long here, so that an office printer shows it.
    pub fn dashes_mm(self) -> &'static [f64] {
        match self {
            Line::Hidden => &[3.0, 0.75],
            Line::Centre => &[6.0, 0.75, 0.25, 0.75],
            Line::Phantom => &[6.0, 0.75, 0.25, 0.75, 0.25, 0.75],
            _ => &[],
        }
    }

    /// The tone of the line; on paper what is not grey is black.
    pub fn tone(self) -> Tone {
        match self {
            Line::Worked => Tone::Accent,
            Line::Before => Tone::Grey,
            _ => Tone::Ink,
        }
    }
}

/// What lies inside a closed shape.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Fill {
    /// Whatever was there before.
    #[default]
    None,
    /// Clean paper, covering what was there.
    Paper,
    /// A light grey, for metal seen from above.
    Tint,
    /// Solid ink.
    Ink,
    /// Solid ink, in the accent colour on a screen.
    Accent,
}

/// How strongly text is inked. On paper all of it is black.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Tone {
    /// Plain ink.
    #[default]
    Ink,
    /// The one accent colour, on a screen.
    Accent,
    /// Grey, on a screen and on paper.
    Grey,
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn wide_lines_are_twice_as_wide_as_narrow_ones() {
        // ISO 128-2:2020: the widths of wide and narrow lines stand as 2 to 1.
        for narrow in [Line::Hidden, Line::Centre, Line::Dimension, Line::Phantom] {
            assert_eq!(Line::Visible.width_mm(), 2.0 * narrow.width_mm());
        }
    }

    #[test]
    fn classes_can_be_told_apart_without_colour() {
        for (n, a) in Line::ALL.iter().enumerate() {
            for b in &Line::ALL[n + 1..] {
                // Hatching and table rules never meet in one place; the rest must differ.
                let alike = a.width_mm() == b.width_mm() && a.dashes_mm() == b.dashes_mm();
                assert!(!alike || (*a, *b) == (Line::Hatch, Line::Rule), "{a:?} and {b:?}");
            }
        }
    }
}
