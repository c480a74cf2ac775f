//! The exponential and the natural logarithm of the inner loops: the page's own take several times as long there.
//!
//! Takes and gives plain numbers, one or two at a time, each within an ulp or two of the machine's own; finite wherever the argument is.

use super::{Pair, Real};
use std::f64::consts::{LN_10, LOG2_E};
use std::hint::black_box;
use wide::u64x2;

/// ln 2 in two parts, the first so short that whole multiples of it are exact (Cody & Waite 1980, Software Manual for the Elementary Functions, chapter 6).
const LN_2: (f64, f64) = (6.931_471_803_691_238e-1, 1.908_214_929_270_587_7e-10);
/// Added and taken off again, it rounds to whole numbers, which then stand in the last digits.
const ROUNDS: f64 = 6_755_399_441_055_744.0;

/// e to the `x`; held at e^−708 and e^709.
#[inline(never)]
#[cfg_attr(fast_by_function, optimize(speed))]
pub fn exp(x: f64) -> f64 {
    let (power, rounded) = power(x);
    f64::from_bits(power.to_bits().wrapping_add(rounded.to_bits() << 52))
}

/// 10 to the `x`; held as [`exp`] is.
#[inline]
pub fn ten_to(x: f64) -> f64 {
    exp(x * LN_10)
}

/// Logarithm of `x` to base 10, as [`ln`].
#[inline]
pub fn log10(x: f64) -> f64 {
    ln(x) / LN_10
}

/// [`exp`] of two, to the bit.
#[inline(never)]
#[cfg_attr(fast_by_function, optimize(speed))]
pub fn exp_pair(x: Pair) -> Pair {
    let (power, rounded) = power(x);
    Pair::from_bits(power.to_bits() + (rounded.to_bits() << 52))
}

/// Limits, log2 of e, what rounds, ln 2 in its two parts; then 1 over the factorials of 2 to 12.
static EXP: [f64; 17] = [
    -708.0,
    709.0,
    LOG2_E,
    ROUNDS,
    LN_2.0,
    LN_2.1,
    1.0 / 2.0,
    1.0 / 6.0,
    1.0 / 24.0,
    1.0 / 120.0,
    1.0 / 720.0,
    1.0 / 5040.0,
    1.0 / 40_320.0,
    1.0 / 362_880.0,
    1.0 / 3_628_800.0,
    1.0 / 39_916_800.0,
    1.0 / 479_001_600.0,
];

/// e to what is left of `x` after whole multiples of ln 2, and their number in the last digits of the other.
#[inline(always)]
fn power<R: Real>(x: R) -> (R, R) {
    // Read where they stand: as constants each is three instructions in a browser.
    let table = black_box(&EXP);
    let c = |k: usize| R::all(table[k]);
    let (low, high) = (c(0), c(1));
    let x = R::either(x.below(low), low, x);
    let x = R::either(high.below(x), high, x);
    let rounded = x * c(2) + c(3);
    let whole = rounded - c(3);
    let r = (x - whole * c(4)) - whole * c(5);
    // The series to the twelfth power, the next term below 2e-16 for |r| up to ln √2; by halves, so that they do not wait for one another.
    let (r2, one) = (r * r, R::all(1.0));
    let r4 = r2 * r2;
    let low = (one + r) + r2 * (c(6) + r * c(7));
    let middle = (c(8) + r * c(9)) + r2 * (c(10) + r * c(11));
    let high = (c(12) + r * c(13)) + r2 * (c(14) + r * c(15)) + r4 * c(16);
    (low + r4 * (middle + r4 * high), rounded)
}

/// Natural logarithm of `x`; what is not above 0 counts as the least normal number.
#[inline(never)]
#[cfg_attr(fast_by_function, optimize(speed))]
pub fn ln(x: f64) -> f64 {
    let least = x.or_more(f64::MIN_POSITIVE);
    // x = 2^whole (1 + f), 1 + f between √½ and √2.
    let above = least.to_bits().wrapping_sub(ROOT_HALF);
    let whole = ((above as i64) >> 52) as f64;
    let f = f64::from_bits((above & MANTISSA).wrapping_add(ROOT_HALF)) - 1.0;
    logarithm(x, whole, f)
}

/// [`ln`] of two, to the bit.
#[inline(never)]
#[cfg_attr(fast_by_function, optimize(speed))]
pub fn ln_pair(x: Pair) -> Pair {
    let all = |bits| u64x2::new([bits, bits]);
    let least = x.or_more(Pair::splat(f64::MIN_POSITIVE));
    let above = least.to_bits() - all(ROOT_HALF);
    // Above 0 by so much more, it stands in the last digits of 2^52.
    let whole = ((above + all(1024 << 52)) >> 52) | all(TWO_52);
    let whole = Pair::from_bits(whole) - Pair::splat(4_503_599_627_370_496.0 + 1024.0);
    let f = Pair::from_bits((above & all(MANTISSA)) + all(ROOT_HALF)) - Pair::splat(1.0);
    logarithm(x, whole, f)
}

/// Coefficients of its series by odd and by even powers, then ln 2 in its two parts.
static LN: [f64; 9] = [
    3.999_999_999_940_942e-1,
    2.222_219_843_214_978_4e-1,
    1.531_383_769_920_937_3e-1,
    6.666_666_666_666_735e-1,
    2.857_142_874_366_239e-1,
    1.818_357_216_161_805e-1,
    1.479_819_860_511_658_6e-1,
    LN_2.0,
    LN_2.1,
];

/// Natural logarithm of `x` = 2^whole (1 + f).
#[inline(always)]
fn logarithm<R: Real>(x: R, whole: R, f: R) -> R {
    let table = black_box(&LN);
    let c = |k: usize| R::all(table[k]);
    // ln(1 + f) by s = f/(2 + f): FreeBSD's e_log.c (Sun Microsystems 1993), error below 1 ulp.
    let s = f / (R::all(2.0) + f);
    let (s2, half) = (s * s, R::all(0.5) * f * f);
    let s4 = s2 * s2;
    let odd = s4 * (c(0) + s4 * (c(1) + s4 * c(2)));
    let even = s2 * (c(3) + s4 * (c(4) + s4 * (c(5) + s4 * c(6))));
    // Not a number stays none.
    whole * c(7) - ((half - (s * (half + odd + even) + whole * c(8))) - f) + R::all(0.0) * x
}

/// Bits of √½, nearly, and of a number's digits.
const ROOT_HALF: u64 = 0x3fe6_a09e_0000_0000;
const MANTISSA: u64 = 0x000f_ffff_ffff_ffff;
/// Of 2^52.
const TWO_52: u64 = 0x4330_0000_0000_0000;

#[cfg(test)]
mod tests {
    use super::*;

    /// Against the machine's own over the whole range: relative 4e-16 is two ulp.
    #[test]
    fn as_the_machines_own() {
        for i in -70_700..=70_800 {
            let x = f64::from(i) * 0.010_007;
            let (own, machine) = (exp(x), x.exp());
            assert!(
                (own / machine - 1.0).abs() < 4.5e-16,
                "{x}: {own} {machine}"
            );
            for y in [machine, 1.0 + 1e-3 * x, 1.0 + 1e-7 * x] {
                if y > 0.0 {
                    let (own, machine) = (ln(y), y.ln());
                    let off = (own - machine).abs();
                    assert!(off <= 4.5e-16 * machine.abs(), "{y}: {own} {machine}");
                    let pair = ln_pair(Pair::new([y, own])).to_array();
                    assert_eq!(pair.map(f64::to_bits), [own, ln(own)].map(f64::to_bits));
                }
            }
            assert_eq!(exp_pair(Pair::new([0.5, x])).to_array(), [exp(0.5), own]);
        }
        assert_eq!((exp(0.0), ln(1.0)), (1.0, 0.0));
        assert!(exp(-1e300) > 0.0 && exp(1e300).is_finite() && ln(0.0) < -700.0);
        assert!(exp(f64::NAN).is_nan() && ln(f64::NAN).is_nan());
        let [none, one] = exp_pair(Pair::new([f64::NAN, 0.0])).to_array();
        assert!(none.is_nan() && one == 1.0);
        let [none, least] = ln_pair(Pair::new([f64::NAN, -1.0])).to_array();
        assert!(none.is_nan() && least == ln(-1.0));
    }
}
