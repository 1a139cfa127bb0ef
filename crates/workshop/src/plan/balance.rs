//! What balances work that turns about an axis beside its own middle: on the faceplate, and thrown in jaws.
//!
//! Out of balance is what weighs so much so far from the spindle's axis; a weight across from it with the same
//! moment makes up for it. Holes not yet cut and clamps are left out: a nudge by hand shows the rest.

use super::job::Setup;
use super::{blanks, words};
use crate::bench::Section;
use crate::drawing::FeatureId;
use crate::geometry::Point;
use crate::measure::Length;
use crate::order::Held;
use crate::settings;
use crate::settings::show::geometry;
use crate::why::{Figure, Why};

/// A body out of balance: how heavy, and how far its middle lies from the axis it turns about.
struct Heavy {
    grams: f64,
    off_mm: f64,
    why: Why,
}

/// The weight that balances a plate or a casting clamped with one hole's centre running true.
pub(super) fn on_faceplate(setup: &Setup, hole: FeatureId) -> Option<Figure> {
    let (x, y) = setup.frame.feature(&setup.part, hole);
    let axis = Point::at(x, y);
    let thick_mm = setup.part.thickness().as_mm();
    let (area_mm2, middle, what) = match words::casting(setup.part.drawing) {
        true => {
            let (area, middle) = middle_of_outline(setup)?;
            (area, middle, "the outline of the casting, its ribs and bosses left out,")
        }
        false => {
            let [x0, x1, y0, y1] = setup.extent();
            let area = (x1 - x0).as_mm() * (y1 - y0).as_mm();
            (area, Point::at((x0 + x1).half(), (y0 + y1).half()), "the sawn blank")
        }
    };
    let grams = weighs(setup, area_mm2 * thick_mm);
    let off_mm = middle.distance_mm(axis);
    let name = &setup.part.feature(hole).name;
    let why = geometry(format!("{what} weighs {grams:.0} g, and its middle lies {off_mm:.1} mm from {name}"));
    balanced(setup, Heavy { grams, off_mm, why })
}

/// The weight that balances bar or work set over for a throw.
pub(super) fn thrown(setup: &Setup) -> Option<Figure> {
    let (Held::FourJaw { on, section } | Held::Packed { on, section }) = setup.holding.held else {
        return None;
    };
    let off_mm = setup.throw_of(section).as_mm();
    let blank = blanks::sawn(setup.job);
    let bar_mm3 = blank.filter(|_| on.is_none()).and_then(|blank| {
        let Section::Round { diameter } = blank.stock.section else { return None };
        Some(std::f64::consts::FRAC_PI_4 * diameter.as_mm().powi(2) * blank.length.as_mm())
    });
    let (grams, what) = match bar_mm3 {
        Some(mm3) => (weighs(setup, mm3), "the length of bar"),
        None => (crate::drawing::solid::weigh(&setup.part).ok()?.grams(), "the finished part"),
    };
    let why = geometry(format!("{what} weighs {grams:.0} g and is set over by {off_mm:.2} mm"));
    balanced(setup, Heavy { grams, off_mm, why })
}

/// Grams of so much of the material.
fn weighs(setup: &Setup, mm3: f64) -> f64 {
    mm3 * f64::from(setup.job.material.density.kg_per_m3) / 1e6
}

/// The area that the outline encloses and its middle, from a polygon through many points of it.
fn middle_of_outline(setup: &Setup) -> Option<(f64, Point)> {
    const EACH: u32 = 48;
    let outline = setup.part.outline().ok()?;
    let along = (0..EACH).map(|n| f64::from(n) / f64::from(EACH)).collect::<Vec<f64>>();
    let points: Vec<Point> =
        outline.segments().iter().flat_map(|piece| along.iter().map(|&share| piece.along(share))).collect();
    let (mut twice, mut x_mm3, mut y_mm3) = (0.0, 0.0, 0.0);
    for (a, b) in points.iter().zip(points.iter().cycle().skip(1)) {
        let cross = a.x_mm * b.y_mm - b.x_mm * a.y_mm;
        twice += cross;
        x_mm3 += (a.x_mm + b.x_mm) * cross;
        y_mm3 += (a.y_mm + b.y_mm) * cross;
    }
    let middle =
        [Length::nearest(x_mm3 / (3.0 * twice)), Length::nearest(y_mm3 / (3.0 * twice)), Length::ZERO];
    let (x, y) = setup.frame.place(middle);
    (twice.abs() > 0.0).then(|| (twice.abs() / 2.0, Point::at(x, y)))
}

/// The balance weight, where there is anything worth balancing.
fn balanced(setup: &Setup, heavy: Heavy) -> Option<Figure> {
    let swing = setup.job.bench.lathe.as_ref()?.swing;
    let asked = settings::balance::Heavy { grams: heavy.grams, off_mm: heavy.off_mm, swing };
    let figure = settings::balance::balance(asked).ok()??;
    Some(Figure { name: setup.named(0, &figure.name), why: figure.why.because(heavy.why), ..figure })
}
