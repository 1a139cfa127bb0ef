//! The normal law: what lies below a deviate, and the deviate below which a share lies.

/// What share of a normal law lies below a deviate.
pub fn below(deviate: f64) -> f64 {
    0.5 * libm::erfc(-deviate * std::f64::consts::FRAC_1_SQRT_2)
}

/// The height of the normal law at a deviate.
pub(crate) fn height(deviate: f64) -> f64 {
    (-0.5 * deviate * deviate).exp() / (2.0 * std::f64::consts::PI).sqrt()
}

/// The deviate below which a share of a normal law lies, to about one part in 10^16;
/// `share` between nought and one, and neither.
///
/// # Source
///
/// M. J. Wichura, Algorithm AS 241, Applied Statistics 37 (1988), 477, routine PPND16.
#[inline]
pub fn quantile(share: f64) -> f64 {
    let off = share - 0.5;
    if off.abs() <= 0.425 {
        let r = 0.180_625 - off * off;
        return off * over(r, &NEAR, &NEAR_UNDER);
    }
    tail(off, share)
}

#[cold]
#[inline(never)]
fn tail(off: f64, share: f64) -> f64 {
    let r = (-(if off < 0.0 { share } else { 1.0 - share }).ln()).sqrt();
    let size = if r <= 5.0 { over(r - 1.6, &MIDDLE, &MIDDLE_UNDER) } else { over(r - 5.0, &FAR, &FAR_UNDER) };
    if off < 0.0 { -size } else { size }
}

/// One polynomial over another, both from the constant up.
#[inline]
fn over(r: f64, top: &[f64; 8], under: &[f64; 8]) -> f64 {
    let value = |of: &[f64; 8]| of.iter().rev().fold(0.0, |sum, c| sum * r + c);
    value(top) / value(under)
}

const NEAR: [f64; 8] = [
    3.387_132_872_796_366_5,
    133.141_667_891_784_38,
    1_971.590_950_306_551_3,
    13_731.693_765_509_46,
    45_921.953_931_549_87,
    67_265.770_927_008_7,
    33_430.575_583_588_13,
    2_509.080_928_730_122_7,
];
const NEAR_UNDER: [f64; 8] = [
    1.0,
    42.313_330_701_600_91,
    687.187_007_492_057_9,
    5_394.196_021_424_751,
    21_213.794_301_586_597,
    39_307.895_800_092_71,
    28_729.085_735_721_943,
    5_226.495_278_852_854,
];
const MIDDLE: [f64; 8] = [
    1.423_437_110_749_683_5,
    4.630_337_846_156_546,
    5.769_497_221_460_691,
    3.647_848_324_763_204_5,
    1.270_458_252_452_368_4,
    0.241_780_725_177_450_6,
    0.022_723_844_989_269_184,
    7.745_450_142_783_414e-4,
];
const MIDDLE_UNDER: [f64; 8] = [
    1.0,
    2.053_191_626_637_759,
    1.676_384_830_183_803_8,
    0.689_767_334_985_1,
    0.148_103_976_427_480_08,
    0.015_198_666_563_616_457,
    5.475_938_084_995_345e-4,
    1.050_750_071_644_416_9e-9,
];
const FAR: [f64; 8] = [
    6.657_904_643_501_103,
    5.463_784_911_164_114,
    1.784_826_539_917_291_3,
    0.296_560_571_828_504_87,
    0.026_532_189_526_576_124,
    0.001_242_660_947_388_078_4,
    2.711_555_568_743_487_6e-5,
    2.010_334_399_292_288_1e-7,
];
const FAR_UNDER: [f64; 8] = [
    1.0,
    0.599_832_206_555_888,
    0.136_929_880_922_735_8,
    0.014_875_361_290_850_615,
    7.868_691_311_456_133e-4,
    1.846_318_317_510_054_8e-5,
    1.421_511_758_316_446e-7,
    2.044_263_103_389_94e-15,
];

#[cfg(test)]
mod tests {
    use super::*;

    /// Percentage points as any printed table of the normal law has them.
    #[test]
    fn shares_and_deviates_agree_with_the_printed_table() {
        for (share, deviate) in [
            (0.5, 0.0),
            (0.841_344_746_068_543, 1.0),
            (0.9, 1.281_551_565_544_600_4),
            (0.975, 1.959_963_984_540_054),
            (0.998_650_101_968_369_9, 3.0),
            (2.866_515_718_791_939e-7, -5.0),
            (9.865_876_450_376_98e-10, -6.0),
        ] {
            assert!((quantile(share) - deviate).abs() < 1e-12, "{share}: {}", quantile(share));
            assert!((below(deviate) - share).abs() < 1e-15 + 1e-13 * share, "{deviate}");
        }
    }

    /// The deviate of the share below a deviate is that deviate, in the middle and both tails.
    #[test]
    fn one_undoes_the_other() {
        for step in -800..=0 {
            let deviate = f64::from(step) / 100.0;
            assert!((quantile(below(deviate)) - deviate).abs() < 1e-11, "{deviate}");
        }
    }
}
