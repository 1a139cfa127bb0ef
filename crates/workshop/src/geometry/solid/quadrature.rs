//! Sums over a stretch, to a stated error.
//!
//! Each panel is taken by the 15-point rule of Kronrod with the 7-point rule of
//! Gauss inside it, in a variable that slows down towards both ends: the width of a
//! round section ends in a square root there, and becomes smooth. The panel with
//! the greatest difference between the two rules is halved until the sum of the
//! differences is small enough. Source of the rule: R. Piessens and others,
//! *QUADPACK* (1983), routine QK15.

/// Places of the rule from nought to one, the greatest first.
const PLACES: [f64; 8] = [
    0.991_455_371_120_812_6,
    0.949_107_912_342_758_5,
    0.864_864_423_359_769_1,
    0.741_531_185_599_394_4,
    0.586_087_235_467_691_1,
    0.405_845_151_377_397_2,
    0.207_784_955_007_898_47,
    0.0,
];

/// Weights of the 15 places.
const KRONROD: [f64; 8] = [
    0.022_935_322_010_529_224,
    0.063_092_092_629_978_55,
    0.104_790_010_322_250_18,
    0.140_653_259_715_525_92,
    0.169_004_726_639_267_9,
    0.190_350_578_064_785_4,
    0.204_432_940_075_298_9,
    0.209_482_141_084_727_82,
];

/// Weights of the 7 places, every second one.
const GAUSS: [f64; 4] =
    [0.129_484_966_168_869_7, 0.279_705_391_489_276_6, 0.381_830_050_505_118_9, 0.417_959_183_673_469_4];

/// Panels after which the sum is given with the error it has.
const MOST_PANELS: usize = 160;

/// A sum and how far it may be out.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) struct Sum {
    pub(super) value: f64,
    pub(super) error: f64,
}

/// The sum of `of` over the stretches between `marks`, which are in order.
pub(super) fn sum(of: &mut impl FnMut(f64) -> Sum, marks: &[f64], error: f64) -> Sum {
    let mut panels: Vec<(f64, f64, Sum)> =
        marks.windows(2).filter(|m| m[0] < m[1]).map(|m| (m[0], m[1], panel(of, m[0], m[1]))).collect();
    while panels.len() < MOST_PANELS {
        let open: f64 = panels.iter().map(|(_, _, sum)| sum.error).sum();
        if open <= error {
            break;
        }
        let worst = (0..panels.len())
            .max_by(|&a, &b| panels[a].2.error.total_cmp(&panels[b].2.error))
            .expect("an error above nought comes from a panel");
        let (from, to, _) = panels[worst];
        let middle = (from + to) / 2.0;
        if middle <= from || middle >= to {
            break;
        }
        panels[worst] = (from, middle, panel(of, from, middle));
        panels.push((middle, to, panel(of, middle, to)));
    }
    panels.iter().fold(Sum::default(), |all, (_, _, sum)| Sum {
        value: all.value + sum.value,
        error: all.error + sum.error,
    })
}

fn panel(of: &mut impl FnMut(f64) -> Sum, from: f64, to: f64) -> Sum {
    let (middle, half) = ((from + to) / 2.0, (to - from) / 2.0);
    let quarter_turn = std::f64::consts::FRAC_PI_2;
    let (mut fine, mut coarse, mut within) = (0.0, 0.0, 0.0);
    for (i, (&place, &weight)) in PLACES.iter().zip(&KRONROD).enumerate() {
        let mut at = |place: f64| {
            let (sin, cos) = (place * quarter_turn).sin_cos();
            let found = of(middle + half * sin);
            let width = half * cos * quarter_turn;
            within += found.error * width * weight;
            found.value * width
        };
        let both = if place == 0.0 { at(0.0) } else { at(place) + at(-place) };
        fine += both * weight;
        if i % 2 == 1 {
            coarse += both * GAUSS[i / 2];
        }
    }
    Sum { value: fine, error: (fine - coarse).abs() + within }
}
