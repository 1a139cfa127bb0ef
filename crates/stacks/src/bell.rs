//! Numbers of the normal law, drawn quickly.
//!
//! The area under the bell is cut into 256 layers of one area; a number within the rectangle
//! of its layer, and 99 of a hundred are, needs one multiplication and one comparison. The
//! rest is drawn again by the height of the bell, or from its tail. The law is exact; only the
//! roundings of `f64` are not.
//!
//! # Source
//!
//! G. Marsaglia and W. W. Tsang, The ziggurat method for generating random variables, Journal
//! of Statistical Software 5 (2000), 8: the method, and for 256 layers the edge of the tail
//! and the area of a layer. As J. A. Doornik, An improved ziggurat method to generate normal
//! random samples (2005), asks for, the layer and the place in it come from different bits.

use std::sync::LazyLock;

use crate::draw::{again, bits, fraction};

/// Where the tail begins, of 256 layers.
const EDGE: f64 = 3.654_152_885_361_009;
/// The area of each layer, under the bell without its factor.
const AREA: f64 = 0.004_928_673_233_99;
const LAYERS: usize = 256;

/// The layers: how far each reaches, and the bell's height there.
pub(crate) struct Bell {
    out: [f64; LAYERS + 1],
    high: [f64; LAYERS + 1],
}

/// Worked out once.
pub(crate) static BELL: LazyLock<Bell> = LazyLock::new(Bell::new);

fn height(x: f64) -> f64 {
    (-0.5 * x * x).exp()
}

impl Bell {
    fn new() -> Self {
        let mut out = [0.0; LAYERS + 1];
        // The lowest layer holds the tail: it is as wide as its area asks for.
        (out[0], out[1]) = (AREA / height(EDGE), EDGE);
        for at in 2..LAYERS {
            out[at] = (-2.0 * (AREA / out[at - 1] + height(out[at - 1])).ln()).sqrt();
        }
        Self { high: out.map(height), out }
    }

    /// The `n`-th number of a stream, between `-most` and `most`: what falls outside is drawn
    /// again, as a part out of its limits is made again.
    #[inline]
    pub fn within(&self, key: u64, n: u64, most: f64) -> f64 {
        let first = bits(key, n);
        let (layer, place) = (first as usize % LAYERS, 2.0 * fraction(first) - 1.0);
        let x = place * self.out[layer];
        if x.abs() < self.out[layer + 1] && x.abs() <= most { x } else { self.slowly(first, most) }
    }

    /// The rarer ways: `bits` were not enough, and are where more come from.
    #[cold]
    #[inline(never)]
    fn slowly(&self, mut bits: u64, most: f64) -> f64 {
        let mut more = bits;
        let mut next = || {
            more = again(more);
            more
        };
        loop {
            let (layer, place) = (bits as usize % LAYERS, 2.0 * fraction(bits) - 1.0);
            let x = place * self.out[layer];
            let found = if x.abs() < self.out[layer + 1] {
                Some(x)
            } else if layer == 0 {
                Some(tail(&mut next).copysign(place))
            } else {
                let (low, high) = (self.high[layer], self.high[layer + 1]);
                (low + fraction(next()) * (high - low) < height(x)).then_some(x)
            };
            match found {
                Some(x) if x.abs() <= most => return x,
                _ => bits = next(),
            }
        }
    }
}

/// A number beyond the edge, by Marsaglia's way for the tail (Technometrics 6 (1964), 101).
fn tail(next: &mut impl FnMut() -> u64) -> f64 {
    loop {
        let x = -fraction(next()).ln() / EDGE;
        let y = -fraction(next()).ln();
        if y + y > x * x {
            return EDGE + x;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::normal::{below, quantile};

    /// Every layer has the area that the tables were made for, the topmost too: the published
    /// edge and area close the bell.
    #[test]
    fn every_layer_has_the_same_area() {
        for at in 1..LAYERS {
            let area = BELL.out[at] * (BELL.high[at + 1] - BELL.high[at]);
            assert!((area - AREA).abs() < 1e-10, "{at}: {area}");
        }
        let tail = (2.0 * std::f64::consts::PI).sqrt() * below(-EDGE);
        assert!((EDGE * height(EDGE) + tail - AREA).abs() < 1e-10);
    }

    /// A hundred columns of equal share, by the quantiles of another algorithm: chi squared of
    /// 99 degrees of freedom stays below 149 in 999 of a thousand draws (printed tables).
    #[test]
    fn draws_fall_into_columns_of_equal_share() {
        let draws = 1_000_000u64;
        for (stream, most) in [(3, 1.5), (4, 2.0), (5, 3.0), (6, 3.7), (7, 8.0)] {
            let (from, all) = (below(-most), 1.0 - 2.0 * below(-most));
            let edges: Vec<f64> = (1..100).map(|k| quantile(from + all * f64::from(k) / 100.0)).collect();
            let mut counts = [0u64; 100];
            let mut beyond = 0u64;
            for n in 0..draws {
                let x = BELL.within(crate::draw::key(11, stream), n, most);
                assert!(x.abs() <= most);
                counts[edges.partition_point(|edge| *edge < x)] += 1;
                beyond += u64::from(x.abs() > EDGE);
            }
            let mean = draws as f64 / 100.0;
            let chi: f64 = counts.iter().map(|&count| (count as f64 - mean).powi(2) / mean).sum();
            assert!((55.0..149.0).contains(&chi), "{most}: {chi}");
            // The tail's own share, within four standard errors of a count.
            let expected = draws as f64 * 2.0 * (below(-EDGE) - below(-most.max(EDGE))) / all;
            assert!((beyond as f64 - expected).abs() <= 4.0 * expected.sqrt() + 1e-9, "{beyond} {expected}");
        }
    }
}
