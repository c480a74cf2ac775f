//! The exponential and the natural logarithm of the inner loops: the page's own take several times as long there.
//!
//! Takes and gives plain numbers, each within an ulp or two of the machine's own; finite wherever the argument is.

use std::f64::consts::LOG2_E;

/// ln 2 in two parts, the first so short that whole multiples of it are exact (Cody & Waite 1980, Software Manual for the Elementary Functions, chapter 6).
const LN_2: (f64, f64) = (6.931_471_803_691_238e-1, 1.908_214_929_270_587_7e-10);
/// Added and taken off again, it rounds to whole numbers, which then stand in the last digits.
const ROUNDS: f64 = 6_755_399_441_055_744.0;

/// e to the `x`; held at e^−708 and e^709.
#[inline(never)]
#[cfg_attr(fast_by_function, optimize(speed))]
pub fn exp(x: f64) -> f64 {
    let x = if x < -708.0 { -708.0 } else { x };
    let x = if x > 709.0 { 709.0 } else { x };
    let rounded = x * LOG2_E + ROUNDS;
    let whole = rounded - ROUNDS;
    let r = (x - whole * LN_2.0) - whole * LN_2.1;
    // The series to the twelfth power, the next term below 2e-16 for |r| up to ln √2; by halves, so that they do not wait for one another.
    let (r2, one) = (r * r, 1.0);
    let r4 = r2 * r2;
    let low = (one + r) + r2 * (1.0 / 2.0 + r * (1.0 / 6.0));
    let middle = (1.0 / 24.0 + r * (1.0 / 120.0)) + r2 * (1.0 / 720.0 + r * (1.0 / 5040.0));
    let high = (1.0 / 40_320.0 + r * (1.0 / 362_880.0))
        + r2 * (1.0 / 3_628_800.0 + r * (1.0 / 39_916_800.0))
        + r4 * (1.0 / 479_001_600.0);
    let power = low + r4 * (middle + r4 * high);
    f64::from_bits(power.to_bits().wrapping_add(rounded.to_bits() << 52))
}

/// Natural logarithm of `x`; what is not above 0 counts as the least normal number.
#[inline(never)]
#[cfg_attr(fast_by_function, optimize(speed))]
pub fn ln(x: f64) -> f64 {
    let least = if x < f64::MIN_POSITIVE {
        f64::MIN_POSITIVE
    } else {
        x
    };
    // x = 2^whole (1 + f), 1 + f between √½ and √2.
    let above = least.to_bits().wrapping_sub(ROOT_HALF);
    let whole = ((above as i64) >> 52) as f64;
    let f = f64::from_bits((above & MANTISSA).wrapping_add(ROOT_HALF)) - 1.0;
    // ln(1 + f) by s = f/(2 + f): FreeBSD's e_log.c (Sun Microsystems 1993), error below 1 ulp.
    let s = f / (2.0 + f);
    let (s2, half) = (s * s, 0.5 * f * f);
    let s4 = s2 * s2;
    let odd = s4
        * (3.999_999_999_940_942e-1
            + s4 * (2.222_219_843_214_978_4e-1 + s4 * 1.531_383_769_920_937_3e-1));
    let even = s2
        * (6.666_666_666_666_735e-1
            + s4 * (2.857_142_874_366_239e-1
                + s4 * (1.818_357_216_161_805e-1 + s4 * 1.479_819_860_511_658_6e-1)));
    // Not a number stays none.
    whole * LN_2.0 - ((half - (s * (half + odd + even) + whole * LN_2.1)) - f) + 0.0 * x
}

/// Bits of √½, nearly, and of a number's digits.
const ROOT_HALF: u64 = 0x3fe6_a09e_0000_0000;
const MANTISSA: u64 = 0x000f_ffff_ffff_ffff;

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
                }
            }
        }
        assert_eq!((exp(0.0), ln(1.0)), (1.0, 0.0));
        assert!(exp(-1e300) > 0.0 && exp(1e300).is_finite() && ln(0.0) < -700.0);
        assert!(exp(f64::NAN).is_nan() && ln(f64::NAN).is_nan());
    }
}
