//! How the views of a part stand to each other on the paper.

use workshop::plan::sheet::{Looking, Projection, Projections};

use crate::dimension::FIGURE_PT;
use crate::ink::{Bounds, Fill, Ink, Line, Path, Point, Text};
use crate::picture::{Placed, Scale};

/// Between two views.
const GAP_MM: f64 = 9.0;
/// Under a view, to the words that say where it is seen from.
const CAPTION_MM: f64 = 5.0;
/// The size of those words.
const CAPTION_PT: f64 = 9.0;
/// How views stand to each other.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Stand {
    /// Each on the side it is seen from, in line with the front view.
    Group,
    /// The view from the side under the rest, for want of width.
    Column,
}

/// What the views take with nothing said of them.
#[derive(Clone, Copy)]
pub(super) struct Bare {
    /// Each so wide and so high, in millimetres of metal.
    front: (f64, f64),
    upright: Option<(f64, f64)>,
    beside: Option<(f64, f64)>,
}

impl Bare {
    pub fn of(projections: &Projections) -> Self {
        let size = |looking: &[Looking]| {
            let views = projections.views.iter().filter(|view| looking.contains(&view.looking));
            let sizes = views.filter_map(Projection::bounds).map(|b| (b.width_mm(), b.height_mm()));
            sizes.reduce(|a, b| (a.0.max(b.0), a.1.max(b.1)))
        };
        Self {
            front: size(&[Looking::Front]).unwrap_or_default(),
            upright: size(&[Looking::Above, Looking::Below]),
            beside: size(&[Looking::Right, Looking::Left]),
        }
    }

    /// The paper they take at a scale: its width and height.
    pub fn size_mm(self, stand: Stand, scale: Scale) -> (f64, f64) {
        let on_paper = |(width, height): (f64, f64)| (width * scale.factor(), height * scale.factor());
        let front = on_paper(self.front);
        let [upright, beside] = [self.upright, self.beside].map(|view| view.map(on_paper));
        let spaced = |mm: Option<f64>| mm.map_or(0.0, |mm| mm + GAP_MM);
        let (mut width, mut height) =
            (front.0, front.1 + CAPTION_MM + spaced(upright.map(|s| s.1 + CAPTION_MM)));
        match stand {
            Stand::Group => width += spaced(beside.map(|s| s.0)),
            Stand::Column => {
                width = width.max(beside.map_or(0.0, |s| s.0));
                height += spaced(beside.map(|s| s.1 + CAPTION_MM));
            }
        }
        (width, height)
    }

    /// The views are no less high than this on paper, however they stand.
    pub fn least_mm(self, scale: Scale) -> f64 {
        let views = [Some(self.front), self.upright, self.beside].into_iter().flatten();
        views.map(|view| view.1).fold(0.0, f64::max) * scale.factor()
    }
}

/// Says under a view where it is seen from.
pub(super) fn caption(ink: &mut Ink, view: &Projection, stand: Stand) {
    let Some(bounds) = ink.bounds() else { return };
    // The front view in line with the others needs no words.
    if stand == Stand::Group && view.looking == Looking::Front {
        return;
    }
    let at = Point::mm(bounds.centre().x_mm, bounds.bottom_mm + CAPTION_MM);
    ink.text(Text::new(view.looking.words(), CAPTION_PT, at).anchor(crate::ink::Anchor::Middle));
}

/// Puts the views where they belong: they share the zero of the model, so those in
/// line need moving one way only.
pub(super) fn grouped(laid: impl Iterator<Item = (Looking, Ink)>, stand: Stand) -> Ink {
    let mut group = Ink::new();
    let mut taken: Option<Bounds> = None;
    let mut set = |ink: Ink, dx_mm: f64, dy_mm: f64, taken: &mut Option<Bounds>| {
        let bounds = ink.bounds().map(|b| b.moved(dx_mm, dy_mm));
        group.lay(ink, dx_mm, dy_mm);
        *taken = match (*taken, bounds) {
            (Some(a), Some(b)) => Some(a.union(b)),
            (a, b) => a.or(b),
        };
    };
    for (looking, ink) in laid {
        let (Some(own), Some(all)) = (ink.bounds(), taken) else {
            set(ink, 0.0, 0.0, &mut taken);
            continue;
        };
        let under = all.bottom_mm + GAP_MM - own.top_mm;
        let (dx, dy) = match (looking, stand) {
            (Looking::Above, _) => (0.0, all.top_mm - GAP_MM - own.bottom_mm),
            (Looking::Below, _) => (0.0, under),
            (Looking::Left, Stand::Group) => (all.left_mm - GAP_MM - own.right_mm, 0.0),
            (_, Stand::Group) => (all.right_mm + GAP_MM - own.left_mm, 0.0),
            (_, Stand::Column) => (all.centre().x_mm - own.centre().x_mm, under),
        };
        set(ink, dx, dy, &mut taken);
    }
    group
}

/// The sign of the third angle (ISO 5456-2) and the scale, under the views at the
/// right.
pub(super) fn sign(placed: &mut Placed, stand: Stand) {
    const SMALL_MM: f64 = 1.5;
    const LARGE_MM: f64 = 3.0;
    const LONG_MM: f64 = 6.0;
    const ACROSS_MM: f64 = 3.0 * LARGE_MM + LONG_MM + 4.0;
    let words = match stand {
        Stand::Group => format!("third angle, {}", placed.scale),
        Stand::Column => format!("third angle, the side view apart, {}", placed.scale),
    };
    let words = Text::new(&words, FIGURE_PT - 1.0, Point::default());
    let width = placed.width_mm.max(words.width_mm() + ACROSS_MM + 4.0);
    let middle = Point::mm(width - ACROSS_MM + LARGE_MM + 1.0, placed.height_mm + LARGE_MM + 3.0);
    let mut ink = Ink::new();
    for radius in [SMALL_MM, LARGE_MM] {
        ink.circle(middle, radius, Some(Line::Visible), Fill::None);
    }
    let (near, far) = (middle.moved(LARGE_MM + 3.0, 0.0), middle.moved(LARGE_MM + 3.0 + LONG_MM, 0.0));
    let frustum = Path::from(near.moved(0.0, -SMALL_MM))
        .to(far.moved(0.0, -LARGE_MM))
        .to(far.moved(0.0, LARGE_MM))
        .to(near.moved(0.0, SMALL_MM))
        .ending(crate::ink::End::Closed);
    ink.path(frustum, Some(Line::Visible), Fill::None);
    ink.line(Line::Centre, middle.moved(-LARGE_MM - 1.5, 0.0), far.moved(1.5, 0.0));
    ink.line(Line::Centre, middle.moved(0.0, -LARGE_MM - 1.5), middle.moved(0.0, LARGE_MM + 1.5));
    let at = middle.moved(-LARGE_MM - 3.5, 1.2);
    ink.text(Text { at, ..words }.anchor(crate::ink::Anchor::End));
    placed.ink.lay(ink, 0.0, 0.0);
    placed.width_mm = width;
    placed.height_mm += 2.0 * LARGE_MM + 6.0;
}
