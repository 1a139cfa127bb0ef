//! A grey image, and how fast it changes.

use crate::drawing::Pixel;
use crate::problem::Problem;

/// An image in shades of grey, dark ink low.
#[derive(Clone, Debug)]
pub struct Gray {
    width: usize,
    height: usize,
    shades: Vec<u8>,
}

/// The most pixels looked at: a sheet of A2 at 300 dots to the inch.
const MOST_PIXELS: usize = 36_000_000;

impl Gray {
    /// An image of `width` by `height` pixels, row by row from the top.
    ///
    /// # Errors
    ///
    /// A [`Problem`] when it is empty, larger than any sheet, or the shades do
    /// not fill it.
    pub fn new(width: usize, height: usize, shades: Vec<u8>) -> Result<Self, Problem> {
        let size = width.saturating_mul(height);
        if size == 0 || size > MOST_PIXELS || shades.len() != size {
            return Err(Problem::new(format!(
                "an image of {width} by {height} pixels cannot be laid beneath"
            ))
            .why("it is empty, or larger than a sheet scanned finely")
            .mend("scan the sheet at 150 to 300 dots to the inch"));
        }
        Ok(Self { width, height, shades })
    }

    /// Pixels from side to side.
    pub const fn width(&self) -> usize {
        self.width
    }

    /// Pixels from top to bottom.
    pub const fn height(&self) -> usize {
        self.height
    }

    /// The shade at whole pixels; the nearest where that lies outside.
    fn shade(&self, x: isize, y: isize) -> f64 {
        let x = x.clamp(0, self.width as isize - 1) as usize;
        let y = y.clamp(0, self.height as isize - 1) as usize;
        f64::from(self.shades[y * self.width + x])
    }

    /// Every shade, row by row from the top.
    pub fn shades(&self) -> &[u8] {
        &self.shades
    }

    /// The shade between pixels, weighed by nearness; white outside the image.
    pub(super) fn between(&self, at: Pixel) -> u8 {
        let (x, y) = (at.x_px - 0.5, at.y_px - 0.5);
        let inside = |n: f64, size: usize| n > -1.0 && n < size as f64;
        if !inside(x, self.width) || !inside(y, self.height) {
            return u8::MAX;
        }
        let (left, top) = (x.floor(), y.floor());
        let (right, down) = (x - left, y - top);
        let (left, top) = (left as isize, top as isize);
        let upper = self.shade(left, top) * (1.0 - right) + self.shade(left + 1, top) * right;
        let lower = self.shade(left, top + 1) * (1.0 - right) + self.shade(left + 1, top + 1) * right;
        (upper * (1.0 - down) + lower * down).round() as u8
    }

    /// How the shade grows to the right and down at a pixel: the operator of
    /// Scharr, which is truer to direction than plain differences.
    pub(super) fn slope(&self, x: isize, y: isize) -> (f64, f64) {
        let s = |dx, dy| self.shade(x + dx, y + dy);
        let right = 3.0 * (s(1, -1) - s(-1, -1)) + 10.0 * (s(1, 0) - s(-1, 0)) + 3.0 * (s(1, 1) - s(-1, 1));
        let down = 3.0 * (s(-1, 1) - s(-1, -1)) + 10.0 * (s(0, 1) - s(0, -1)) + 3.0 * (s(1, 1) - s(1, -1));
        (right / 32.0, down / 32.0)
    }

    /// The pixels within `reach_px` of a place where ink begins or ends: those
    /// whose slope is at least a third of the steepest there.
    pub(super) fn edges(&self, near: Pixel, reach_px: f64) -> Vec<Edge> {
        let (cx, cy, reach) = (near.x_px.round() as isize, near.y_px.round() as isize, reach_px as isize);
        let mut edges = Vec::new();
        let mut steepest: f64 = 0.0;
        for y in (cy - reach).max(1)..=(cy + reach).min(self.height as isize - 2) {
            for x in (cx - reach).max(1)..=(cx + reach).min(self.width as isize - 2) {
                let (right, down) = self.slope(x, y);
                let steep = right.hypot(down);
                if steep >= LEAST_SLOPE {
                    steepest = steepest.max(steep);
                    edges.push(Edge {
                        x: x as f64,
                        y: y as f64,
                        right: right / steep,
                        down: down / steep,
                        steep,
                    });
                }
            }
        }
        edges.retain(|edge| edge.steep >= steepest / 3.0);
        edges
    }
}

/// Below this the paper's own grain shows, in shades to a pixel.
const LEAST_SLOPE: f64 = 6.0;

/// A pixel at the edge of a line of ink, with the direction across the line.
#[derive(Clone, Copy, Debug)]
pub(super) struct Edge {
    pub(super) x: f64,
    pub(super) y: f64,
    pub(super) right: f64,
    pub(super) down: f64,
    pub(super) steep: f64,
}
