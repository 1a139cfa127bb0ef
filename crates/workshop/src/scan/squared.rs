//! The image as it lies on the part: squared, scaled and the right way up, so
//! that a page can put it beneath the picture without any reckoning.

use super::fit::Laid;
use super::raster::Gray;
use crate::drawing::Pixel;
use crate::geometry::Point;

/// The image squared, and where it lies.
#[derive(Clone, Debug)]
pub struct Squared {
    /// The squared image, its top row the highest.
    pub image: Gray,
    /// Its bottom left corner on the part.
    pub least: Point,
    /// Its top right corner on the part.
    pub most: Point,
}

/// The most pixels of a squared image from side to side or top to bottom:
/// finer than any screen shows.
const MOST_SIDE: f64 = 2400.0;

/// Squares an image as it is laid. What lies beyond the image is left white.
pub fn squared(image: &Gray, laid: &Laid) -> Squared {
    let (least, most) = extent(image.width(), image.height(), laid);
    let (wide_mm, high_mm) = (most.x_mm - least.x_mm, most.y_mm - least.y_mm);
    let mm_per_px = laid.mm_per_px.max(wide_mm / MOST_SIDE).max(high_mm / MOST_SIDE);
    let side = |mm: f64| ((mm / mm_per_px).round() as usize).clamp(1, MOST_SIDE as usize);
    let (columns, rows) = (side(wide_mm), side(high_mm));
    let mut shades = Vec::with_capacity(columns * rows);
    for row in 0..rows {
        let y_mm = most.y_mm - (row as f64 + 0.5) / rows as f64 * high_mm;
        for column in 0..columns {
            let x_mm = least.x_mm + (column as f64 + 0.5) / columns as f64 * wide_mm;
            shades.push(image.between(laid.pixel(Point::new(x_mm, y_mm))));
        }
    }
    let image = Gray::new(columns, rows, shades).expect("the sides are bounded and every row is filled");
    Squared { image, least, most }
}

/// The bottom left and top right corners, on the part, of an image of so many pixels.
pub fn extent(width: usize, height: usize, laid: &Laid) -> (Point, Point) {
    let (width, height) = (width as f64, height as f64);
    let corners = [(0.0, 0.0), (width, 0.0), (0.0, height), (width, height)]
        .map(|(x_px, y_px)| laid.place(Pixel { x_px, y_px }));
    let bound = |axis: fn(&Point) -> f64, from: f64, pick: fn(f64, f64) -> f64| {
        corners.iter().map(axis).fold(from, pick)
    };
    let least =
        Point::new(bound(|p| p.x_mm, f64::INFINITY, f64::min), bound(|p| p.y_mm, f64::INFINITY, f64::min));
    let most = Point::new(
        bound(|p| p.x_mm, f64::NEG_INFINITY, f64::max),
        bound(|p| p.y_mm, f64::NEG_INFINITY, f64::max),
    );
    (least, most)
}

#[cfg(test)]
mod tests {
    use super::super::fit::fit;
    use super::*;
    use crate::drawing::{Known, Way};
    use crate::measure::{Unit, read_length};

    #[test]
    fn a_sheet_scanned_upside_down_comes_out_upright() {
        // 100 by 50 pixels, one millimetre to two pixels, black where the part's
        // lower left is: at the image's upper right, since it lies upside down.
        let shades = (0..5000).map(|i| if i % 100 >= 90 && i / 100 < 10 { 0 } else { 255 }).collect();
        let image = Gray::new(100, 50, shades).unwrap();
        let known = |text: &str, way, from: (f64, f64), to: (f64, f64)| Known {
            written: read_length(text, Some(Unit::Mm)).unwrap(),
            way,
            from: Pixel { x_px: from.0, y_px: from.1 },
            to: Pixel { x_px: to.0, y_px: to.1 },
            line: 1,
        };
        let marks = [
            known("50", Way::Across, (100.0, 0.0), (0.0, 0.0)),
            known("25", Way::Up, (100.0, 0.0), (100.0, 50.0)),
        ];
        let (laid, _) = fit(&marks).unwrap();
        let laid = laid.onto(&[(Pixel { x_px: 100.0, y_px: 0.0 }, Point::ORIGIN)]);
        let squared = squared(&image, &laid);
        assert!(squared.least.distance_mm(Point::ORIGIN) < 1e-9);
        assert!(squared.most.distance_mm(Point::new(50.0, 25.0)) < 1e-9);
        let shade = |x, y| squared.image.between(Pixel { x_px: x, y_px: y });
        assert_eq!((squared.image.width(), squared.image.height()), (100, 50));
        assert_eq!((shade(5.0, 45.0), shade(50.0, 25.0), shade(95.0, 5.0)), (0, 255, 255));
    }
}
