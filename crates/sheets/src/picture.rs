//! A picture of the work: drawn in millimetres of metal, set on the page at the
//! largest standard scale that fits, with its dimensions and balloons placed.
//!
//! The shapes go in as they are on the machine table; the notes say only what
//! they measure or number and on which side. Where each line runs, and which
//! figure gives way to which, is worked out when the picture is set at a scale,
//! because it depends on how much paper there is.

mod layout;
mod saying;
mod scale;

pub use scale::{SCALES, Scale};

use workshop::problem::Problem;

use crate::dimension::Label;
use crate::hatch::Lean;
use crate::ink::{Bounds, Fill, Ink, Line, Path, Point, Tag, Turn};

/// A place on the work: millimetres right of and above the model's zero.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Place {
    /// Millimetres of metal to the right.
    pub x_mm: f64,
    /// Millimetres of metal upwards.
    pub y_mm: f64,
}

impl Place {
    /// A place so far right and so far up.
    pub const fn mm(x_mm: f64, y_mm: f64) -> Self {
        Self { x_mm, y_mm }
    }

    /// The place at a distance in a direction, anticlockwise from the right.
    #[must_use]
    pub fn polar(self, distance_mm: f64, direction_rad: f64) -> Self {
        Self::mm(self.x_mm + distance_mm * direction_rad.cos(), self.y_mm + distance_mm * direction_rad.sin())
    }
}

/// The side of the picture on which a dimension stands. Above and below measure
/// across; left and right measure upwards.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Side {
    /// Above the work, measured across.
    Above,
    /// Below the work, measured across.
    Below,
    /// To the left of the work, measured upwards.
    Left,
    /// To the right of the work, measured upwards.
    Right,
}

/// A shape of the work.
#[derive(Clone, Debug, PartialEq)]
enum Drawn {
    Path { path: Path<Place>, line: Option<Line>, fill: Fill },
    Circle { centre: Place, radius_mm: f64, line: Option<Line>, fill: Fill },
    Hatch { paths: Vec<Path<Place>>, lean: Lean },
    CentreMark { centre: Place, radius_mm: f64 },
    CentreLine { from: Place, to: Place },
}

/// Something said about the work.
#[derive(Clone, Debug, PartialEq)]
enum Note {
    Straight { from: Place, to: Place, side: Side, label: Label },
    Aligned { from: Place, to: Place, away_from: Place, label: Label },
    Radial { centre: Place, radius_mm: f64, direction_rad: f64, half_rad: f64, label: Label },
    Angle { apex: Place, from_rad: f64, to_rad: f64, label: Label },
    Balloon { at: Place, rim_mm: f64, key: String, tag: Option<Tag> },
    Key { at: Place, rim_mm: f64, key: String, tag: Option<Tag> },
    Datum { at: Place, outwards_rad: f64, letter: String },
    Axes { zero: Place, x_rad: f64, y_rad: f64 },
    Zero { at: Place },
    Words { at: Place, words: String },
    Leader { at: Place, rim_mm: f64, label: Label },
}

/// A picture before it is set on a page.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Picture {
    drawn: Vec<(Drawn, Option<Tag>)>,
    notes: Vec<Note>,
    words: Words,
}

/// Where the words of leaders may stand.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Words {
    /// Wherever they cost least; a line may run under them.
    #[default]
    Anywhere,
    /// Clear of every edge, and rather over or under the work than beside it. Narrow
    /// lines stop short of them.
    Clear,
}

/// A picture set at a scale, with its ink drawn from its own top left corner.
#[derive(Clone, Debug, PartialEq)]
pub struct Placed {
    /// Its marks.
    pub ink: Ink,
    /// The scale it is drawn at.
    pub scale: Scale,
    /// The paper it takes: its width.
    pub width_mm: f64,
    /// The paper it takes: its height.
    pub height_mm: f64,
    /// Dimensions and notes for which no clear paper was found, counted in the
    /// order in which everything was said of the work: they are not drawn.
    pub crowded: Vec<usize>,
}

impl Placed {
    /// Ink moved so that its own top left corner is the origin.
    pub(crate) fn of(ink: Ink, scale: Scale) -> Self {
        let bounds = ink.bounds().unwrap_or(Bounds::new(0.0, 0.0, 0.0, 0.0)).grown(MARGIN_MM);
        let mut moved = Ink::new();
        moved.lay(ink, -bounds.left_mm, -bounds.top_mm);
        let (width_mm, height_mm) = (bounds.width_mm(), bounds.height_mm());
        Self { ink: moved, scale, width_mm, height_mm, crowded: Vec::new() }
    }

    /// The box of the picture, for writing it on its own.
    pub fn view(&self) -> Bounds {
        Bounds::new(0.0, 0.0, self.width_mm, self.height_mm)
    }

    /// The picture with a list under it.
    #[must_use]
    pub(crate) fn above(mut self, list: crate::grid::Band) -> Self {
        let Some(bounds) = list.ink.bounds() else { return self };
        let width_mm = self.width_mm.max(bounds.right_mm + MARGIN_MM);
        let mut ink = Ink::new();
        ink.lay(self.ink, (width_mm - self.width_mm) / 2.0, 0.0);
        ink.lay(list.ink, 0.0, self.height_mm + ABOVE_LIST_MM);
        self.ink = ink;
        self.width_mm = width_mm;
        self.height_mm += ABOVE_LIST_MM + list.height_mm;
        self
    }
}

/// Paper left clear round a picture, so that a wide line is not cut in half.
const MARGIN_MM: f64 = 1.0;
/// Between a picture and the list under it.
const ABOVE_LIST_MM: f64 = 3.0;

impl Picture {
    /// An empty picture.
    pub fn new() -> Self {
        Self::default()
    }

    /// True when nothing has been drawn.
    pub fn is_empty(&self) -> bool {
        self.drawn.is_empty() && self.notes.is_empty()
    }

    /// An empty picture whose words stand clear.
    pub fn clear() -> Self {
        Self { words: Words::Clear, ..Self::default() }
    }

    /// Draws a straight line.
    pub fn line(&mut self, line: Line, from: Place, to: Place) -> &mut Self {
        self.path(Path::from(from).to(to), Some(line), Fill::None)
    }

    /// Draws an upright box by two opposite corners.
    pub fn rectangle(&mut self, a: Place, b: Place, line: Option<Line>, fill: Fill) -> &mut Self {
        self.path(rectangle(a, b), line, fill)
    }

    /// Draws an outline of lines and arcs; turns are as they look from above,
    /// with x to the right and y up.
    pub fn path(&mut self, path: Path<Place>, line: Option<Line>, fill: Fill) -> &mut Self {
        self.drawn.push((Drawn::Path { path, line, fill }, None));
        self
    }

    /// Draws a circle.
    pub fn circle(&mut self, centre: Place, radius_mm: f64, line: Option<Line>, fill: Fill) -> &mut Self {
        self.drawn.push((Drawn::Circle { centre, radius_mm, line, fill }, None));
        self
    }

    /// Draws part of a circle, anticlockwise through `sweep_rad` (clockwise when negative).
    pub fn arc(
        &mut self,
        line: Line,
        centre: Place,
        radius_mm: f64,
        from_rad: f64,
        sweep_rad: f64,
    ) -> &mut Self {
        let turn = if sweep_rad < 0.0 { Turn::Clockwise } else { Turn::Anticlockwise };
        let path = Path::from(centre.polar(radius_mm, from_rad)).arc(
            centre,
            centre.polar(radius_mm, from_rad + sweep_rad),
            turn,
        );
        self.path(path, Some(line), Fill::None)
    }

    /// Draws the crossed centre lines of a round feature, a little way past it.
    pub fn centre_mark(&mut self, centre: Place, radius_mm: f64) -> &mut Self {
        self.drawn.push((Drawn::CentreMark { centre, radius_mm }, None));
        self
    }

    /// Hatches what lies inside closed paths; a path inside another is a hole.
    pub fn hatch(&mut self, paths: Vec<Path<Place>>, lean: Lean) -> &mut Self {
        self.drawn.push((Drawn::Hatch { paths, lean }, None));
        self
    }

    /// Makes the last shape drawn stand for something.
    pub fn named(&mut self, tag: Tag) -> &mut Self {
        if let Some(last) = self.drawn.last_mut() {
            last.1 = Some(tag);
        }
        self
    }

    /// Draws a centre line: it runs on past what it is the middle of by a length of
    /// paper, whatever the scale.
    pub fn centre_line(&mut self, from: Place, to: Place) -> &mut Self {
        self.drawn.push((Drawn::CentreLine { from, to }, None));
        self
    }

    /// How many things have been said of the work.
    pub fn said(&self) -> usize {
        self.notes.len()
    }

    /// Sets the picture at the largest standard scale at which it fits with all
    /// its notes.
    ///
    /// # Errors
    /// A [`Problem`] when the work is too large for any standard scale, or has so
    /// many notes that it would shrink to a smudge among them.
    pub fn fit(&self, width_mm: f64, height_mm: f64) -> Result<Placed, Problem> {
        self.fit_within(SCALES[0], 0.0, width_mm, height_mm)
    }

    /// The same at no larger a scale than one, and with no smaller a factor.
    ///
    /// # Errors
    /// As for [`Picture::fit`].
    pub fn fit_within(
        &self,
        largest: Scale,
        least: f64,
        width_mm: f64,
        height_mm: f64,
    ) -> Result<Placed, Problem> {
        /// How many scales are tried, from the largest at which the bare work fits.
        const TRIES: usize = 4;
        let body = self.body_mm();
        let too_large = |scale: &Scale| {
            let factor = scale.factor();
            factor > largest.factor()
                || body.is_some_and(|(x, y)| x * factor > width_mm || y * factor > height_mm)
        };
        let scales = SCALES.into_iter().skip_while(too_large).take(TRIES);
        for scale in scales.take_while(|scale| scale.factor() >= least) {
            let Some(laid) =
                layout::lay_out(self, scale, width_mm - 2.0 * MARGIN_MM, height_mm - 2.0 * MARGIN_MM)
            else {
                continue;
            };
            let placed = placed(laid, scale);
            if placed.width_mm <= width_mm && placed.height_mm <= height_mm {
                return Ok(placed);
            }
        }
        Err(Problem::new("a picture does not fit its place on the sheet")
            .why(format!("with its dimensions and balloons it needs more than {width_mm:.0} × {height_mm:.0} mm"))
            .mend("show fewer dimensions or balloons on one picture, or check that the sizes are in millimetres"))
    }

    /// Sets the picture at a given scale, whatever paper that takes.
    pub fn set(&self, scale: Scale) -> Placed {
        let laid = layout::lay_out(self, scale, f64::INFINITY, f64::INFINITY)
            .expect("nothing is larger than a page without end");
        placed(laid, scale)
    }

    /// The marks of the picture at a scale, the model's zero at the page's, and the
    /// notes for which there was no room.
    pub(crate) fn unplaced(&self, scale: Scale) -> (Ink, Vec<usize>) {
        let laid = layout::lay_out(self, scale, f64::INFINITY, f64::INFINITY)
            .expect("nothing is larger than a page without end");
        (laid.ink, laid.crowded)
    }

    /// The width and height of the shapes alone, in millimetres of metal.
    fn body_mm(&self) -> Option<(f64, f64)> {
        let full_size = View { scale: Scale::FULL };
        self.drawn
            .iter()
            .filter_map(|(drawn, _)| full_size.bounds_of(drawn))
            .reduce(Bounds::union)
            .map(|b| (b.width_mm(), b.height_mm()))
    }
}

fn placed(laid: layout::Laid, scale: Scale) -> Placed {
    let layout::Laid { ink, crowded } = laid;
    Placed { crowded, ..Placed::of(ink, scale) }
}

/// The four sides of an upright box by two opposite corners.
pub fn rectangle(a: Place, b: Place) -> Path<Place> {
    Path::from(a)
        .to(Place::mm(b.x_mm, a.y_mm))
        .to(b)
        .to(Place::mm(a.x_mm, b.y_mm))
        .ending(crate::ink::End::Closed)
}

/// How places become points: the model's zero is the page's, until the picture
/// is moved to where it stands.
#[derive(Clone, Copy, Debug)]
struct View {
    scale: Scale,
}

impl View {
    fn at(self, place: Place) -> Point {
        let factor = self.scale.factor();
        Point::mm(place.x_mm * factor, -place.y_mm * factor)
    }

    fn long(self, model_mm: f64) -> f64 {
        model_mm * self.scale.factor()
    }

    fn bounds_of(self, drawn: &Drawn) -> Option<Bounds> {
        match drawn {
            Drawn::Path { path, .. } => Some(path.map(|p| self.at(p)).bounds()),
            Drawn::Circle { centre, radius_mm, .. } => {
                Some(Bounds::around([self.at(*centre)]).grown(self.long(*radius_mm)))
            }
            Drawn::Hatch { .. } | Drawn::CentreMark { .. } | Drawn::CentreLine { .. } => None,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn plate() -> Picture {
        let mut picture = Picture::new();
        picture.rectangle(Place::mm(0.0, 0.0), Place::mm(60.0, 40.0), Some(Line::Visible), Fill::Tint);
        picture
    }

    #[test]
    fn the_largest_standard_scale_that_fits_is_taken() {
        let scale = |w: f64, h: f64| plate().fit(w, h).unwrap().scale.to_string();
        assert_eq!(scale(170.0, 100.0), "2:1");
        assert_eq!(scale(100.0, 100.0), "1:1");
        assert_eq!(scale(40.0, 100.0), "1:2");
    }

    #[test]
    fn a_picture_that_cannot_fit_is_a_problem_and_not_a_smudge() {
        let mut picture = plate();
        picture.words(Place::mm(0.0, 0.0), "a note far longer than the place for it");
        assert!(picture.fit(10.0, 10.0).unwrap_err().remedy().is_some());
        let mut crowded = plate();
        for n in 1..=60 {
            let label = Label::new("12.345");
            crowded.dimension(Place::mm(0.0, 0.0), Place::mm(f64::from(n), 0.0), Side::Below, label);
        }
        assert!(crowded.fit(172.0, 120.0).is_err());
    }

    #[test]
    fn up_on_the_work_is_up_on_the_page() {
        let mut picture = plate();
        picture.circle(Place::mm(10.0, 30.0), 2.0, Some(Line::Visible), Fill::Paper);
        let placed = picture.set(Scale::FULL);
        let hole = placed.ink.marks[1].bounds().centre();
        assert!((hole.x_mm - 11.0).abs() < 1e-9 && (hole.y_mm - 11.0).abs() < 1e-9, "{hole:?}");
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(32))]
        /// Holes anywhere, each ballooned and dimensioned from the edges: no two
        /// pieces of lettering touch.
        #[test]
        fn lettering_on_a_full_picture_never_overlaps(
            holes in prop::collection::vec((4.0..56.0f64, 4.0..36.0f64, 1.0..3.5f64), 1..7),
        ) {
            let mut picture = plate();
            for (n, &(x, y, r)) in holes.iter().enumerate() {
                let hole = Place::mm(x, y);
                picture.circle(hole, r, Some(Line::Visible), Fill::Paper).centre_mark(hole, r);
                picture.balloon_round(hole, r, (n + 1).to_string(), None);
                let side = if n % 2 == 0 { (Side::Below, Side::Left) } else { (Side::Above, Side::Right) };
                picture.dimension(Place::mm(0.0, 0.0), hole, side.0, Label::new(format!("{x:.2}")));
                picture.dimension(Place::mm(0.0, 0.0), hole, side.1, Label::new(format!("{y:.2}")));
                if n % 3 == 0 {
                    picture.radial(hole, r, 0.7, Label::new(format!("Ø{:.1}", 2.0 * r)));
                }
            }
            picture.datum(Place::mm(30.0, 0.0), -std::f64::consts::FRAC_PI_2, "A");
            let placed = picture.set(Scale::new(2, 1));
            let words: Vec<Bounds> = placed
                .ink
                .marks
                .iter()
                .filter(|m| matches!(m.shape, crate::ink::Shape::Text(_)))
                .map(crate::ink::Mark::bounds)
                .collect();
            for (n, a) in words.iter().enumerate() {
                for b in &words[n + 1..] {
                    prop_assert!(a.overlap_mm2(*b) < 1e-6, "{:?} and {:?}", a, b);
                }
            }
        }
    }
}
