//! The one type for a distance.

use std::cmp::Ordering;
use std::fmt;
use std::hash::{Hash, Hasher};
use std::iter::Sum;
use std::ops::{Add, AddAssign, Div, Mul, Neg, Sub, SubAssign};

use num_integer::Integer;
use num_rational::Ratio;

/// A distance, held exactly as a ratio of whole numbers of millimetres.
///
/// # Units
///
/// Say the unit when you make one: [`Length::mm`], [`Length::microns`],
/// [`Length::inches`], [`Length::thou`]. There is no constructor from a bare
/// number.
///
/// # What is exact
///
/// Every fraction and decimal a drawing can carry, their sums, differences and
/// whole divisions. Lengths that come from tangency or rotation are not ratios:
/// they are `f64` millimetres inside `geometry` and return through
/// [`Length::nearest`], to the nearest nanometre.
///
/// # Source
///
/// 1 in = 25.4 mm, an exact factor: NIST SP 811 (2008), Appendix B.
///
/// # Example
///
/// ```
/// use workshop::measure::Length;
///
/// let bore = Length::inches(3, 8);
/// assert_eq!(bore, Length::microns(9525));
/// assert_eq!(bore.to_string(), "9.525 mm");
/// ```
#[derive(Clone, Copy, Debug, Default)]
pub struct Length {
    mm: Ratio<i128>,
}

/// Whole numbers below this are exact as floating ones.
const FLOATS_WHOLE: u64 = 1 << 53;

impl Length {
    /// Nothing at all.
    pub const ZERO: Self = Self { mm: Ratio::new_raw(0, 1) };

    /// Whole millimetres.
    pub const fn mm(whole: i64) -> Self {
        Self { mm: Ratio::new_raw(whole as i128, 1) }
    }

    /// A ratio of millimetres: `over` must not be nought.
    pub fn mm_ratio(top: i128, over: i128) -> Self {
        Self { mm: reduced(top, over) }
    }

    /// Thousandths of a millimetre.
    pub fn microns(count: i64) -> Self {
        Self::mm_ratio(count.into(), 1000)
    }

    /// A ratio of inches, such as `inches(27, 32)`: `over` must not be nought.
    pub fn inches(top: i128, over: i128) -> Self {
        Self { mm: Ratio::new(top * 127, over * 5) }
    }

    /// Thousandths of an inch.
    pub fn thou(count: i64) -> Self {
        Self::inches(count.into(), 1000)
    }

    /// A length from exact millimetres.
    pub const fn from_ratio(mm: Ratio<i128>) -> Self {
        Self { mm }
    }

    /// The exact millimetres.
    pub const fn ratio(self) -> Ratio<i128> {
        self.mm
    }

    /// The nearest whole nanometre to a calculated value in millimetres.
    ///
    /// For lengths that no ratio can hold (a tangent point, a hypotenuse). The
    /// loss is at most half a nanometre.
    ///
    /// # Panics
    ///
    /// When `mm` is not finite or beyond a thousand kilometres: geometry never
    /// hands such a number on.
    pub fn nearest(mm: f64) -> Self {
        assert!(mm.is_finite() && mm.abs() < 1e9, "geometry hands on finite lengths only");
        Self::mm_ratio((mm * 1e6).round() as i128, 1_000_000)
    }

    /// Millimetres as a floating number, for geometry and for pictures only.
    pub fn as_mm(self) -> f64 {
        // Where both parts are whole as floating numbers one division is the nearest there is.
        if let Some((top, over)) = self.parts()
            && top.unsigned_abs() < FLOATS_WHOLE
            && over.unsigned_abs() < FLOATS_WHOLE
        {
            return top as f64 / over as f64;
        }
        // Beyond, dividing whole and rest keeps 1e-15.
        let whole = self.mm.trunc();
        let rest = self.mm - whole;
        *whole.numer() as f64 + *rest.numer() as f64 / *rest.denom() as f64
    }

    /// Both parts of the ratio where they are short, as those of a drawing are.
    fn parts(self) -> Option<(i64, i64)> {
        short(&self.mm)
    }

    /// Inches as a floating number, for showing beside the millimetres.
    pub fn as_inches(self) -> f64 {
        self.as_mm() / 25.4
    }

    /// The size without its sign.
    #[must_use]
    pub fn abs(self) -> Self {
        if self < Self::ZERO { -self } else { self }
    }

    /// How far apart two lengths are, never negative.
    #[must_use]
    pub fn gap(self, other: Self) -> Self {
        (self - other).abs()
    }

    /// True when the length is more than nought.
    pub fn is_positive(self) -> bool {
        self > Self::ZERO
    }

    /// Half of it, exactly.
    #[must_use]
    pub fn half(self) -> Self {
        self / 2
    }

    /// This length times an exact number.
    #[must_use]
    pub fn scaled(self, by: Ratio<i128>) -> Self {
        match (self.parts(), short(&by)) {
            (Some((a, b)), Some((c, d))) => {
                Self { mm: reduced(i128::from(a) * i128::from(c), i128::from(b) * i128::from(d)) }
            }
            _ => Self { mm: self.mm * by },
        }
    }

    /// How many of `other` make this, exactly: `other` must not be nought.
    pub fn ratio_to(self, other: Self) -> Ratio<i128> {
        match (self.parts(), other.parts()) {
            (Some((a, b)), Some((c, d))) if c > 0 => {
                let [a, b, c, d] = [a, b, c, d].map(i128::from);
                reduced(a * d, b * c)
            }
            _ => self.mm / other.mm,
        }
    }

    /// True when it is a whole number of steps, each more than nought.
    pub fn is_whole_in(self, step: Self) -> bool {
        self.ratio_to(step).is_integer()
    }

    /// Millimetres to a fixed number of decimals, rounded half away from nought.
    ///
    /// ```
    /// use workshop::measure::Length;
    /// assert_eq!(Length::inches(27, 32).decimals(3), "21.431");
    /// ```
    pub fn decimals(self, places: u32) -> String {
        decimal(self.mm, places)
    }

    /// The shortest exact decimal of a millimetre, or `places` decimals with `≈`
    /// before them when it does not end there.
    pub fn shown(self, places: u32) -> String {
        let mut text = decimal(self.mm, places);
        if text.contains('.') {
            text.truncate(text.trim_end_matches('0').trim_end_matches('.').len());
        }
        if ends(self.mm, places) { text } else { format!("≈{text}") }
    }

    /// The length as inches and a fraction, such as `1 3/32`, when its fraction
    /// is one a drawing carries (64ths or coarser).
    pub fn as_inch_fraction(self) -> Option<String> {
        let inches = self.mm * Ratio::new(5, 127);
        if 64 % inches.denom() != 0 {
            return None;
        }
        let sign = if inches < Ratio::from_integer(0) { "-" } else { "" };
        let inches = if inches < Ratio::from_integer(0) { -inches } else { inches };
        let (whole, rest) = (inches.to_integer(), inches.fract());
        Some(match (whole, *rest.numer()) {
            (whole, 0) => format!("{sign}{whole}"),
            (0, top) => format!("{sign}{top}/{}", rest.denom()),
            (whole, top) => format!("{sign}{whole} {top}/{}", rest.denom()),
        })
    }
}

/// Both parts of a ratio where they are short, as those of a drawing are.
fn short(ratio: &Ratio<i128>) -> Option<(i64, i64)> {
    Some((i64::try_from(*ratio.numer()).ok()?, i64::try_from(*ratio.denom()).ok()?))
}

/// A ratio in its lowest terms: short parts are divided as the machine divides, which is
/// many times quicker than as an `i128`.
fn reduced(top: i128, over: i128) -> Ratio<i128> {
    match (u64::try_from(top.unsigned_abs()), u64::try_from(over)) {
        (Ok(plain), Ok(under)) if under > 0 => {
            let common = plain.gcd(&under);
            Ratio::new_raw(i128::from(plain / common) * top.signum(), (under / common).into())
        }
        _ => Ratio::new(top, over),
    }
}

/// `value` to `places` decimals, half away from nought, never `-0`.
fn decimal(value: Ratio<i128>, places: u32) -> String {
    let units = nearest_whole(value, 10_i128.pow(places));
    let sign = if units < 0 { "-" } else { "" };
    let (units, scale) = (units.unsigned_abs(), 10_u128.pow(places));
    let width = places as usize;
    match (u64::try_from(units), u64::try_from(scale)) {
        _ if places == 0 => format!("{sign}{units}"),
        // Short numbers are written many times quicker than a `u128`.
        (Ok(units), Ok(scale)) => format!("{sign}{}.{:0width$}", units / scale, units % scale),
        _ => format!("{sign}{}.{:0width$}", units / scale, units % scale),
    }
}

/// The whole number nearest to a ratio times a number, half away from nought.
fn nearest_whole(value: Ratio<i128>, times: i128) -> i128 {
    let plain = u64::try_from(value.numer().unsigned_abs()).ok().zip(u64::try_from(times).ok());
    let top = plain.and_then(|(top, times)| top.checked_mul(times));
    match (top, u64::try_from(*value.denom())) {
        (Some(top), Ok(over)) => {
            let (whole, rest) = (top / over, top % over);
            let up = u64::from(rest >= over - rest);
            (i128::from(whole) + i128::from(up)) * value.numer().signum()
        }
        _ => (value * times).round().to_integer(),
    }
}

/// True when a ratio ends within so many decimals.
fn ends(value: Ratio<i128>, places: u32) -> bool {
    10_i128.pow(places) % value.denom() == 0
}

impl Ord for Length {
    fn cmp(&self, other: &Self) -> Ordering {
        match (self.parts(), other.parts()) {
            // Short parts are compared crosswise: no product of two passes an `i128`.
            (Some((top, over)), Some((other_top, other_over))) => {
                (i128::from(top) * i128::from(other_over)).cmp(&(i128::from(other_top) * i128::from(over)))
            }
            _ => self.mm.cmp(&other.mm),
        }
    }
}

impl PartialEq for Length {
    fn eq(&self, other: &Self) -> bool {
        self.cmp(other) == Ordering::Equal
    }
}

impl Eq for Length {}

impl Hash for Length {
    fn hash<H: Hasher>(&self, state: &mut H) {
        self.mm.hash(state);
    }
}

impl PartialOrd for Length {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

/// The exact decimal, or four decimals with `≈`, then the unit.
impl fmt::Display for Length {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let exact_at = (0..=6).find(|&places| ends(self.mm, places));
        write!(f, "{} mm", self.shown(exact_at.unwrap_or(4)))
    }
}

impl Add for Length {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        // The sum of two products of short parts does not pass an `i128`.
        match (self.parts(), other.parts()) {
            (Some((a, over)), Some((c, same))) if over == same => {
                Self { mm: reduced(i128::from(a) + i128::from(c), i128::from(over)) }
            }
            (Some((a, b)), Some((c, d))) => {
                let [a, b, c, d] = [a, b, c, d].map(i128::from);
                Self { mm: reduced(a * d + c * b, b * d) }
            }
            _ => Self { mm: self.mm + other.mm },
        }
    }
}

impl Sub for Length {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        self + -other
    }
}

impl Neg for Length {
    type Output = Self;
    fn neg(self) -> Self {
        Self { mm: -self.mm }
    }
}

impl AddAssign for Length {
    fn add_assign(&mut self, other: Self) {
        *self = *self + other;
    }
}

impl SubAssign for Length {
    fn sub_assign(&mut self, other: Self) {
        *self = *self - other;
    }
}

impl Mul<i64> for Length {
    type Output = Self;
    fn mul(self, times: i64) -> Self {
        self.scaled(Ratio::from_integer(times.into()))
    }
}

impl Div<i64> for Length {
    type Output = Self;
    fn div(self, by: i64) -> Self {
        if by > 0 { self.scaled(Ratio::new_raw(1, by.into())) } else { Self { mm: self.mm / i128::from(by) } }
    }
}

impl Sum for Length {
    fn sum<I: Iterator<Item = Self>>(lengths: I) -> Self {
        lengths.fold(Self::ZERO, Add::add)
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::measure::{Unit, read_length};

    /// Every 1/64 in up to 12 in, printed as a drawing would and read back.
    #[test]
    fn every_fraction_on_a_drawing_survives_print_and_read() {
        for n in 0..=12 * 64 {
            let length = Length::inches(n, 64);
            let text = length.as_inch_fraction().unwrap();
            let read = read_length(&text, Some(Unit::Inch)).unwrap();
            assert_eq!(read.length, length, "{n}/64 printed as {text}");
        }
    }

    /// NIST SP 811 (2008), Appendix B.8: inch to millimetre, 25.4 exactly; mil,
    /// 0.0254 mm exactly; foot, 304.8 mm exactly.
    #[test]
    fn inch_units_are_the_exact_factors() {
        assert_eq!(Length::inches(1, 1), Length::microns(25_400));
        assert_eq!(Length::thou(1), Length::mm_ratio(254, 10_000));
        assert_eq!(Length::inches(12, 1), Length::mm_ratio(3048, 10));
    }

    #[test]
    fn rounding_for_show_goes_half_away_from_nought() {
        assert_eq!(Length::mm_ratio(25, 10).decimals(0), "3");
        assert_eq!(Length::mm_ratio(-25, 10).decimals(0), "-3");
        assert_eq!(Length::mm_ratio(-1, 10_000).decimals(3), "0.000");
        assert_eq!(Length::inches(27, 32).shown(3), "≈21.431");
        assert_eq!(Length::mm(5).shown(3), "5");
    }

    proptest! {
        /// However long the parts, what is reckoned is what the library's own ratio gives.
        #[test]
        fn reckoning_is_that_of_ratios(
            (a, c) in (any::<i64>(), any::<i64>()),
            (b, d) in (1..=i64::MAX, 1..=i64::MAX),
            (small, less) in (-1000..1000_i128, 1..64_i128),
            times in any::<i32>(),
        ) {
            let long = |top: i64, over: i64| Ratio::new(i128::from(top), i128::from(over));
            // Halved, so that the library's own sum does not pass an `i128` either.
            let (one, other) = (long(a >> 1, b >> 1 | 1), long(c >> 1, d >> 1 | 1));
            let (plain, fine) = (Ratio::new(small, less), Ratio::new(less, 1000));
            for (p, q) in [(one, other), (plain, fine), (one, plain), (fine, other)] {
                let (l, m) = (Length::from_ratio(p), Length::from_ratio(q));
                prop_assert_eq!((l + m).ratio(), p + q);
                prop_assert_eq!((l - m).ratio(), p - q);
                prop_assert_eq!(l.scaled(q).ratio(), p * q);
                prop_assert_eq!((l * i64::from(times)).ratio(), p * i128::from(times));
                if q != Ratio::from_integer(0) {
                    prop_assert_eq!(l.ratio_to(m), p / q);
                }
                if times != 0 {
                    prop_assert_eq!((l / i64::from(times)).ratio(), p / i128::from(times));
                }
                for places in [0, 1, 4, 9] {
                    let scale = 10_i128.pow(places);
                    let units = (p * scale).round().to_integer();
                    let (whole, rest) = (units.abs() / scale, units.abs() % scale);
                    let sign = if units < 0 { "-" } else { "" };
                    let told = match places {
                        0 => format!("{sign}{whole}"),
                        _ => format!("{sign}{whole}.{rest:0width$}", width = places as usize),
                    };
                    prop_assert_eq!(l.decimals(places), told.clone());
                    prop_assert_eq!(!l.shown(places).starts_with('≈'), (p * scale).is_integer());
                }
            }
            prop_assert_eq!(Length::mm_ratio(a.into(), b.into()).ratio(), long(a, b));
        }
    }

    #[test]
    fn a_third_is_held_exactly() {
        let third = Length::inches(1, 1) / 3;
        assert_eq!(third * 3, Length::inches(1, 1));
    }

    proptest! {
        /// Whatever the length of their parts, two lengths stand as their ratios do.
        #[test]
        fn lengths_stand_as_their_ratios(
            tops in prop::array::uniform2(-(1_i128 << 90)..(1_i128 << 90)),
            overs in prop::array::uniform2(1_i128..(1_i128 << 70)),
            short in prop::array::uniform2(prop::bool::ANY),
        ) {
            let part = |at: usize| match short[at] {
                true => Ratio::new(tops[at] >> 60, (overs[at] >> 50) + 1),
                false => Ratio::new(tops[at], overs[at]),
            };
            let (one, other) = (part(0), part(1));
            let (a, b) = (Length::from_ratio(one), Length::from_ratio(other));
            prop_assert_eq!(a.cmp(&b), one.cmp(&other));
            prop_assert_eq!(a == b, one == other);
            prop_assert!(a == Length::from_ratio(one));
        }
    }
}
