//! Planing a keyway in a bore: how far its tool feeds from first touch, in how many strokes.

use super::lathe::why_dial;
use super::position::rounding;
use super::show::{as_set, geometry, in_inches, mm, positive, practice};
use crate::bench::DialReads;
use crate::measure::{Length, Toward};
use crate::problem::Problem;
use crate::tables::keys;
use crate::tables::processes::limit;
use crate::why::{Figure, Why};

/// A keyway to be planed with a tool as wide as it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Keyway {
    /// Across the bore.
    pub bore: Length,
    /// Across the keyway.
    pub width: Length,
    /// From the bore's wall to the floor, at its middle.
    pub depth: Length,
    /// The dial of the cross-slide that feeds the tool, and its division; none where a mill does.
    pub dial: Option<(DialReads, Length)>,
}

/// How it is planed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Planed {
    /// What was asked.
    pub keyway: Keyway,
    /// From where both corners of the tool touch the wall to the floor.
    pub feed: Length,
    /// How many strokes that takes.
    pub strokes: i128,
    /// From the far side of the bore to the floor.
    pub across: Length,
}

/// Works it out.
///
/// # Errors
///
/// A [`Problem`] when a size is not more than nought, or the keyway as wide as its bore.
pub fn keyway(keyway: Keyway) -> Result<Planed, Problem> {
    for (size, name) in
        [(keyway.bore, "bore"), (keyway.width, "width of the keyway"), (keyway.depth, "depth of the keyway")]
    {
        positive(size, name)?;
    }
    if let Some((_, division)) = keyway.dial {
        positive(division, "division of the dial")?;
    }
    if keyway.width >= keyway.bore {
        return Err(Problem::new(format!(
            "a keyway of {} in a bore of {}",
            mm(keyway.width),
            mm(keyway.bore)
        ))
        .why("its tool would not touch the wall with both corners")
        .mend("check its width, and the diameter of the bore"));
    }
    let (radius_mm, half_mm) = (keyway.bore.half().as_mm(), keyway.width.half().as_mm());
    let touches = Length::nearest((radius_mm * radius_mm - half_mm * half_mm).sqrt());
    let feed = keyway.bore.half() + keyway.depth - touches;
    let strokes = feed.ratio_to(limit("planing cut")).ceil().to_integer();
    Ok(Planed { keyway, feed, strokes, across: keyway.bore + keyway.depth })
}

impl Planed {
    /// How far it feeds: on the dial of a lathe, or plainly.
    pub fn feed_figures(&self) -> Vec<Figure> {
        let touch = geometry(
            "from where both corners of the tool touch the wall: half the bore and the depth, less √(half the bore² − half the width²)",
        );
        let mut figures = vec![Figure::new("feed from first touch", mm(self.feed), touch.clone())];
        if let Some((reads, division)) = self.keyway.dial {
            let set = reads.shows(self.feed).rounded(division, Toward::Nearest);
            let why = touch.because(why_dial(reads)).because(rounding(set, division));
            figures.push(Figure::new("cross-slide dial from there", as_set(set.value, division), why));
        }
        figures
    }

    /// How much a stroke takes.
    pub fn strokes_figure(&self) -> Figure {
        let each = limit("planing cut");
        let why = practice(match self.keyway.dial {
            Some(_) => {
                "the saddle draws the tool through, the cross-slide feeds it; the spindle locked, the tool’s edge at centre height"
            }
            None => {
                "the quill or the knee drives the tool through, a slide feeds it; the spindle locked, the tool’s edge square to the way it is fed"
            }
        });
        let each = match self.keyway.dial {
            Some((_, step)) if in_inches(step) => as_set(each.rounded(step, Toward::Nearest).value, step),
            _ => mm(each),
        };
        Figure::new("each stroke", format!("{each} at most, about {} strokes", self.strokes), why)
    }

    /// What to measure.
    pub fn check_figure(&self) -> Figure {
        let why = geometry("the bore and the depth: from the far side of the bore to the floor");
        Figure::new("bore to floor", mm(self.across), why)
    }

    /// The standard key that is so wide, and the one for a shaft as thick as the bore.
    pub fn key_figures(&self) -> Vec<Figure> {
        let said = |key: &keys::Key| {
            let hub = key.hub.map_or_else(String::new, |hub| format!(", its hub {} deep", mm(hub)));
            format!("{} wide, {} high{hub}", key.name, mm(key.height))
        };
        let why = |key: &keys::Key| {
            let [over, to] = key.shaft;
            Why::new(format!("for shafts over {} up to {}", mm(over), mm(to))).source(key.source.to_string())
        };
        let own = keys::of_width(self.keyway.width);
        let usual = keys::for_shaft(self.keyway.bore);
        let shown = own.map_or_else(|| "no standard key is so wide: one is made for it".to_owned(), said);
        let because = own.map_or_else(|| practice("a key is filed to both keyways"), why);
        let mut figures = vec![Figure::new("key", shown, because)];
        if let Some(usual) = usual.filter(|usual| own != Some(usual)) {
            figures.push(Figure::new("usual for this bore", said(usual), why(usual)));
        }
        figures
    }

    /// Every row.
    pub fn figures(&self) -> Vec<Figure> {
        let mut figures = self.feed_figures();
        figures.push(self.strokes_figure());
        figures.push(self.check_figure());
        figures.extend(self.key_figures());
        figures
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By hand: 5 + 1.8 − √(5² − 2²) = 2.2174, 44.3 strokes of 0.05; a sheet of keyways has 13.8 from
    /// the far side for a bore of 12.
    #[test]
    fn the_feed_and_the_check_agree_with_sums_done_by_hand() {
        let asked = Keyway {
            bore: Length::mm(10),
            width: Length::mm(4),
            depth: Length::microns(1_800),
            dial: Some((DialReads::Diameter, Length::microns(20))),
        };
        let found = keyway(asked).unwrap();
        assert_eq!((found.feed.decimals(4).as_str(), found.strokes), ("2.2174", 45));
        let shown: Vec<String> = found.figures().into_iter().map(|figure| figure.shown).collect();
        assert_eq!(shown[1], "4.44 mm", "a dial that reads the diameter shows twice the feed");
        assert!(
            shown.iter().any(|shown| shown.starts_with("3 mm wide")),
            "usual for a shaft of 10: {shown:?}"
        );
        let twelve = keyway(Keyway { bore: Length::mm(12), ..asked }).unwrap();
        assert_eq!(twelve.check_figure().shown, "13.8 mm");
        assert!(keyway(Keyway { width: Length::mm(10), ..asked }).is_err());
    }
}
