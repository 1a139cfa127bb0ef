//! Chance without a state: the `n`-th number of a stream is a function of the stream's key
//! and `n`.
//!
//! The stream is the `n`-th output of SplitMix64, which is a bit mixer over an evenly
//! stepped counter (Steele, Lea and Flood, Fast splittable pseudorandom number
//! generators, OOPSLA 2014; constants of its published C code). Any block of a stream can
//! be had by itself, so threads share nothing.

/// The step of the counter: 2^64 over the golden ratio, odd.
const STEP: u64 = 0x9e37_79b9_7f4a_7c15;

/// The mixer of SplitMix64.
const fn mixed(z: u64) -> u64 {
    let z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
    let z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
    z ^ (z >> 31)
}

/// The key of a stream of a seed: streams of one seed begin far apart on the counter.
pub(crate) const fn key(seed: u64, stream: u64) -> u64 {
    mixed(mixed(seed.wrapping_add(STEP)) ^ stream.wrapping_mul(0xd1b5_4a32_d192_ed03))
}

/// The `n`-th number of a key, all its bits.
#[inline]
pub(crate) fn bits(key: u64, n: u64) -> u64 {
    mixed(key.wrapping_add(n.wrapping_add(1).wrapping_mul(STEP)))
}

/// More bits where those of a sample were not enough: a stream of its own grows from them.
pub(crate) const fn again(bits: u64) -> u64 {
    mixed(bits.wrapping_add(STEP) ^ 0xd1b5_4a32_d192_ed03)
}

/// Even between nought and one, and neither, from the upper bits.
#[inline]
pub(crate) fn fraction(bits: u64) -> f64 {
    ((bits >> 11) as f64 + 0.5) * (1.0 / (1u64 << 53) as f64)
}

/// The `n`-th number of a key, even between nought and one, and neither.
#[inline]
pub(crate) fn unit(key: u64, n: u64) -> f64 {
    fraction(bits(key, n))
}

/// The `n`-th even number between nought and one of a stream of a seed: what every drawn
/// size is made from, open to be drawn again by another program. (A size of a normal law
/// takes the same bits another way.)
pub fn even(seed: u64, stream: u64, n: u64) -> f64 {
    unit(key(seed, stream), n)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The first outputs of SplitMix64 with seed 1234567, as the task page of a public
    /// collection of programs prints them.
    #[test]
    fn the_mixer_is_that_of_the_published_code() {
        let outputs = [
            6_457_827_717_110_365_317u64,
            3_203_168_211_198_807_973,
            9_817_491_932_198_370_423,
            4_593_380_528_125_082_431,
            16_408_922_859_458_223_821,
        ];
        for (n, expected) in (1u64..).zip(outputs) {
            assert_eq!(mixed(1_234_567u64.wrapping_add(n.wrapping_mul(STEP))), expected);
        }
    }

    #[test]
    fn streams_are_even_and_know_nothing_of_each_other() {
        let n = 200_000u64;
        let (mut sum, mut square, mut both) = (0.0, 0.0, 0.0);
        for at in 0..n {
            let (a, b) = (even(7, 0, at) - 0.5, even(7, 1, at) - 0.5);
            sum += a;
            square += a * a;
            both += a * b;
        }
        let n = n as f64;
        // Four standard errors of each.
        assert!((sum / n).abs() < 4.0 * (1.0 / 12.0 / n).sqrt());
        assert!((square / n - 1.0 / 12.0).abs() < 4.0 * (1.0 / 180.0 / n).sqrt());
        assert!((both / n).abs() < 4.0 / 12.0 / n.sqrt());
    }
}
