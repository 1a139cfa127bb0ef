//! How a size lies between its limits.

use crate::bell::Bell;
use crate::draw::unit;
use crate::normal;

/// How a size lies between its limits, over many that are made.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Law {
    /// Anywhere, each place as likely.
    Even,
    /// About the middle, by the normal law; each limit stands `sigmas` deviations from
    /// the middle, and what would fall outside is not let through.
    Normal {
        /// From the middle to a limit, in deviations.
        sigmas: f64,
    },
    /// Rising to a peak and falling from it in straight lines: `peak` is the share of the
    /// way from the lower limit to the upper, so that a half is in the middle, and three
    /// quarters leans towards the upper limit.
    Triangular {
        /// From the lower limit, as a share of the width.
        peak: f64,
    },
}

/// A law made ready to be drawn from: figures on a width of one.
#[derive(Clone, Copy, Debug)]
pub(crate) enum Ready {
    Even,
    Normal {
        from: f64,
        share: f64,
        scale: f64,
    },
    /// The same law where its limits leave most of it: drawn from the bell.
    Bell {
        most: f64,
        scale: f64,
    },
    Triangular {
        peak: f64,
    },
}

/// From so many deviations on it costs less to draw again what falls outside the limits than
/// to look for the place below which a share lies.
const WIDE: f64 = 1.2;

impl Law {
    /// Whether its figure is one it can have.
    pub(crate) fn holds(self) -> bool {
        match self {
            Self::Even => true,
            Self::Normal { sigmas } => sigmas > 0.01 && sigmas <= 8.0,
            Self::Triangular { peak } => (0.0..=1.0).contains(&peak),
        }
    }

    /// The mean, as a share of the width from the lower limit.
    pub fn mean(self) -> f64 {
        match self {
            Self::Even | Self::Normal { .. } => 0.5,
            Self::Triangular { peak } => (1.0 + peak) / 3.0,
        }
    }

    /// The variance, on a width of one.
    pub fn variance(self) -> f64 {
        match self {
            Self::Even => 1.0 / 12.0,
            Self::Normal { sigmas } => {
                // The variance of a normal law cut off at both limits.
                let inside = 1.0 - 2.0 * normal::below(-sigmas);
                let cut = 1.0 - 2.0 * sigmas * normal::height(sigmas) / inside;
                cut / (4.0 * sigmas * sigmas)
            }
            Self::Triangular { peak } => (1.0 - peak + peak * peak) / 18.0,
        }
    }

    /// Made ready to be drawn from, the quickest way.
    pub(crate) fn ready(self) -> Ready {
        match self {
            Self::Normal { sigmas } if sigmas >= WIDE => Ready::Bell { most: sigmas, scale: 0.5 / sigmas },
            other => other.by_share(),
        }
    }

    /// Made ready by the place below which a share of all lie.
    fn by_share(self) -> Ready {
        match self {
            Self::Even => Ready::Even,
            Self::Normal { sigmas } => {
                let from = normal::below(-sigmas);
                Ready::Normal { from, share: 1.0 - 2.0 * from, scale: 0.5 / sigmas }
            }
            Self::Triangular { peak } => Ready::Triangular { peak },
        }
    }
}

impl Ready {
    /// Where on a width of one the `n`-th size of a stream lies.
    #[inline]
    pub(crate) fn drawn(self, bell: &Bell, key: u64, n: u64) -> f64 {
        match self {
            Self::Bell { most, scale } => bell.within(key, n, most) * scale + 0.5,
            other => other.at(unit(key, n)),
        }
    }

    /// Where the size lies below which a share `u` of all lie.
    #[inline]
    fn at(self, u: f64) -> f64 {
        match self {
            Self::Even => u,
            Self::Bell { most, scale } => {
                let from = normal::below(-most);
                normal::quantile(from + u * (1.0 - 2.0 * from)) * scale + 0.5
            }
            Self::Normal { from, share, scale } => {
                let off = normal::quantile(from + u * share) * scale;
                off.clamp(-0.5, 0.5) + 0.5
            }
            Self::Triangular { peak } if u < peak => (u * peak).sqrt(),
            Self::Triangular { peak } => 1.0 - ((1.0 - u) * (1.0 - peak)).sqrt(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Mean and variance by summing over the quantiles, against the closed forms.
    #[test]
    fn moments_agree_with_the_sum_over_all_shares() {
        let laws = [
            Law::Even,
            Law::Normal { sigmas: 0.5 },
            Law::Normal { sigmas: 2.0 },
            Law::Normal { sigmas: 3.0 },
            Law::Normal { sigmas: 6.0 },
            Law::Triangular { peak: 0.0 },
            Law::Triangular { peak: 0.5 },
            Law::Triangular { peak: 0.75 },
            Law::Triangular { peak: 1.0 },
        ];
        for law in laws {
            let ready = law.by_share();
            let n = 400_000;
            let places = (0..n).map(|k| ready.at((f64::from(k) + 0.5) / f64::from(n)));
            let (sum, square) = places.fold((0.0, 0.0), |(s, q), x| (s + x, q + x * x));
            let mean = sum / f64::from(n);
            let variance = square / f64::from(n) - mean * mean;
            assert!((mean - law.mean()).abs() < 1e-6, "{law:?}: {mean}");
            assert!((variance - law.variance()).abs() < 1e-6, "{law:?}: {variance}");
        }
    }
}
