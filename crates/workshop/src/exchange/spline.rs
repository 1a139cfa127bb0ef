//! Splines, rational or not: a Bézier curve is the one with a single span.

use super::affine::Affine;
use crate::geometry::Point;

/// A spline of any degree with its knots and weighted control points.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Spline {
    degree: usize,
    knots: Vec<f64>,
    /// Each with its weight.
    controls: Vec<(Point, f64)>,
}

/// The highest degree that is read: files use three, and five at most.
pub(super) const MOST_DEGREE: usize = 15;

impl Spline {
    /// A Bézier curve of three or four control points, or more.
    pub fn bezier(controls: &[Point]) -> Self {
        let degree = controls.len() - 1;
        let knots = [vec![0.0; degree + 1], vec![1.0; degree + 1]].concat();
        Self { degree, knots, controls: controls.iter().map(|&p| (p, 1.0)).collect() }
    }

    /// A spline as a file gives it.
    ///
    /// # Errors
    ///
    /// Why it is none, in words that complete "the spline …".
    pub fn new(degree: usize, knots: Vec<f64>, controls: Vec<(Point, f64)>) -> Result<Self, String> {
        if !(1..=MOST_DEGREE).contains(&degree) {
            return Err(format!("has degree {degree}; from 1 to {MOST_DEGREE} is read"));
        }
        if controls.len() <= degree {
            return Err(format!("has {} control points, too few for its degree", controls.len()));
        }
        if knots.len() != controls.len() + degree + 1 {
            return Err(format!(
                "has {} knots where {} control points of degree {degree} need {}",
                knots.len(),
                controls.len(),
                controls.len() + degree + 1
            ));
        }
        if knots.windows(2).any(|pair| pair[1] < pair[0]) {
            return Err("has knots that go backwards".into());
        }
        if controls.iter().any(|&(_, weight)| weight <= 0.0) {
            return Err("has a weight that is not more than nought".into());
        }
        let spline = Self { degree, knots, controls };
        if spline.spans().0.is_empty() { Err("has no length between its knots".into()) } else { Ok(spline) }
    }

    /// The spans that have any length, and the knots between them.
    pub fn spans(&self) -> (Vec<usize>, Vec<f64>) {
        let spans: Vec<usize> =
            (self.degree..self.controls.len()).filter(|&k| self.knots[k + 1] > self.knots[k]).collect();
        let mut cuts: Vec<f64> = spans.iter().map(|&k| self.knots[k]).collect();
        cuts.extend(spans.last().map(|&k| self.knots[k + 1]));
        (spans, cuts)
    }

    /// The point and its derivative at `t` of a span.
    ///
    /// De Boor's algorithm on weighted points: C. de Boor, "On calculating with
    /// B-splines", Journal of Approximation Theory 6 (1972). The derivative is
    /// `degree` times the last difference over the span.
    pub fn at(&self, span: usize, t: f64) -> (Point, Point) {
        let p = self.degree;
        let mut d: Vec<[f64; 3]> = (span - p..=span)
            .map(|i| {
                let (at, w) = self.controls[i];
                [at.x_mm * w, at.y_mm * w, w]
            })
            .collect();
        let mut slope = [0.0; 3];
        for round in 1..=p {
            if round == p {
                let over = p as f64 / (self.knots[span + 1] - self.knots[span]);
                slope = std::array::from_fn(|c| (d[p][c] - d[p - 1][c]) * over);
            }
            for j in (round..=p).rev() {
                let i = span - p + j;
                let (low, high) = (self.knots[i], self.knots[i + p + 1 - round]);
                let share = if high > low { (t - low) / (high - low) } else { 0.0 };
                d[j] = std::array::from_fn(|c| d[j - 1][c] * (1.0 - share) + d[j][c] * share);
            }
        }
        let [x, y, w] = d[p];
        let at = Point::new(x / w, y / w);
        let way = Point::new((slope[0] - slope[2] * at.x_mm) / w, (slope[1] - slope[2] * at.y_mm) / w);
        (at, way)
    }

    /// The same, moved or scaled.
    pub fn transformed(&self, by: Affine) -> Self {
        Self { controls: self.controls.iter().map(|&(p, w)| (by.point(p), w)).collect(), ..self.clone() }
    }

    /// Its control points.
    pub fn points(&self) -> Vec<Point> {
        self.controls.iter().map(|&(p, _)| p).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// A quarter circle is a rational Bézier curve with the middle weight √½.
    #[test]
    fn a_rational_spline_draws_a_true_quarter_circle() {
        let corner = [(5.0, 0.0, 1.0), (5.0, 5.0, 0.5_f64.sqrt()), (0.0, 5.0, 1.0)];
        let controls = corner.map(|(x, y, w)| (Point::new(x, y), w)).to_vec();
        let spline = Spline::new(2, vec![0.0, 0.0, 0.0, 1.0, 1.0, 1.0], controls).unwrap();
        for i in 0..=20 {
            let (at, way) = spline.at(2, f64::from(i) / 20.0);
            assert!((at.norm_mm() - 5.0).abs() < 1e-12, "{at:?}");
            assert!(at.dot(way).abs() < 1e-9, "the way is square to the radius");
        }
    }

    #[test]
    fn what_is_no_spline_says_why() {
        let points = |n: usize| vec![(Point::ORIGIN, 1.0); n];
        for (degree, knots, controls, why) in [
            (0, vec![0.0; 4], points(3), "degree 0"),
            (3, vec![0.0; 7], points(3), "too few"),
            (2, vec![0.0; 5], points(3), "5 knots"),
            (2, vec![0.0, 0.0, 0.0, 1.0, 0.5, 1.0], points(3), "backwards"),
            (2, vec![0.0; 6], points(3), "no length"),
            (1, vec![0.0, 0.0, 1.0, 1.0], vec![(Point::ORIGIN, 0.0); 2], "weight"),
        ] {
            let said = Spline::new(degree, knots, controls).unwrap_err();
            assert!(said.contains(why), "{said}");
        }
    }

    proptest! {
        /// Against the sum of Bernstein polynomials, written out.
        #[test]
        fn a_bezier_is_the_sum_of_its_four_polynomials(
            xs in prop::array::uniform8(-20.0..20.0f64), t in 0.0..1.0f64,
        ) {
            let p: Vec<Point> = (0..4).map(|i| Point::new(xs[i], xs[i + 4])).collect();
            let s = 1.0 - t;
            let sum = p[0].times(s * s * s) + p[1].times(3.0 * s * s * t) + p[2].times(3.0 * s * t * t)
                + p[3].times(t * t * t);
            let slope = (p[1] - p[0]).times(3.0 * s * s) + (p[2] - p[1]).times(6.0 * s * t)
                + (p[3] - p[2]).times(3.0 * t * t);
            let (at, way) = Spline::bezier(&p).at(3, t);
            prop_assert!(at.distance_mm(sum) < 1e-9 && way.distance_mm(slope) < 1e-8);
        }
    }
}
