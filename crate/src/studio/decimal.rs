//! Decimal numbers as text, read to the nearest double.
//!
//! Takes `-12.5e3` and the like; gives the f64 nearest to it, ties to even, as the standard library does. That one is built for
//! millions of numbers a second and brings a table of 10 KB which nothing compresses; here big whole numbers do in a sixth of the
//! code, and a typed number does not need them.

use std::cmp::Ordering;

use crate::digits::Whole;

/// Digits that decide which double is nearest: of the point halfway between two doubles 767 can differ from 0, so any more
/// matter only by being there.
const DIGITS: usize = 770;
/// Exponents of ten beyond this give 0 or infinity whatever the digits are.
const FAR: i64 = 1_000_000;
/// Bits of a double's significand; its least and greatest exponent of two.
const BITS: i64 = 53;
const LEAST: i64 = -1022;
const MOST: i64 = 1023;

/// The number that a text is: a sign, digits with or without a point, an exponent. None for anything else.
pub fn parse(text: &str) -> Option<f64> {
    let bytes = text.as_bytes();
    let negative = bytes.first() == Some(&b'-');
    let mut at = usize::from(matches!(bytes.first(), Some(b'-' | b'+')));
    let mut whole = Whole(Vec::new());
    // What the digits so far are worth where they are few; how many there are from the first that is not 0.
    let (mut small, mut kept, mut dropped) = (0_u64, 0, false);
    let (mut any, mut after_point, mut power) = (false, false, 0_i64);
    while let Some(byte) = bytes.get(at) {
        match byte {
            b'0'..=b'9' => {
                let digit = byte - b'0';
                any = true;
                power -= i64::from(after_point);
                if kept < DIGITS {
                    kept += usize::from(kept > 0 || digit > 0);
                    small = small.wrapping_mul(10).wrapping_add(digit.into());
                    whole.times_plus(10, digit.into());
                } else {
                    dropped |= digit > 0;
                    power += 1;
                }
            }
            b'.' if !after_point => after_point = true,
            _ => break,
        }
        at += 1;
    }
    if !any {
        return None;
    }
    if matches!(bytes.get(at), Some(b'e' | b'E')) {
        at += 1;
        let down = bytes.get(at) == Some(&b'-');
        at += usize::from(matches!(bytes.get(at), Some(b'-' | b'+')));
        let mut exponent = 0_i64;
        bytes.get(at)?;
        while let Some(digit @ b'0'..=b'9') = bytes.get(at) {
            exponent = (exponent * 10 + i64::from(digit - b'0')).min(FAR);
            at += 1;
        }
        power += if down { -exponent } else { exponent };
    }
    if at < bytes.len() {
        return None;
    }
    if dropped {
        whole.times_plus(10, 1);
        power -= 1;
    }
    let size = if kept <= 15 && power.abs() <= 22 {
        // Both are doubles exactly, so one rounding is the right one.
        let ten = (0..power.abs()).fold(1.0, |ten, _| ten * 10.0);
        if power < 0 {
            small as f64 / ten
        } else {
            small as f64 * ten
        }
    } else {
        nearest(whole, power, kept as i64)
    };
    Some(if negative { -size } else { size })
}

/// The double nearest to a whole number of so many digits times a power of ten.
fn nearest(mut over: Whole, power: i64, digits: i64) -> f64 {
    if digits == 0 || digits + power < -330 {
        return 0.0;
    }
    if digits + power > 310 {
        return f64::INFINITY;
    }
    let mut under = Whole(vec![1]);
    let scaled = if power < 0 { &mut under } else { &mut over };
    for _ in 0..power.abs() {
        scaled.times_plus(10, 0);
    }
    // Shifted until over/under lies in 1 to 2: the number is that times two to `exponent`.
    let mut exponent = over.bits() - under.bits();
    if exponent > 0 {
        under.shift(exponent);
    } else {
        over.shift(-exponent);
    }
    if over.compare(&under) == Ordering::Less {
        over.shift(1);
        exponent -= 1;
    }
    if exponent > MOST {
        return f64::INFINITY;
    }
    // Below the least exponent a double has fewer bits.
    let bits = BITS - (LEAST - exponent).max(0);
    let mut significand = 0_u64;
    for _ in 0..bits {
        significand = significand << 1 | u64::from(over.less(&under));
        over.shift(1);
    }
    // What is left, against one half of the last bit.
    let half = if bits < 0 {
        Ordering::Less
    } else {
        over.compare(&under)
    };
    let up = half == Ordering::Greater || half == Ordering::Equal && significand & 1 == 1;
    // A significand that fills up carries into the exponent, as it must.
    let top = (exponent - LEAST).max(0) as u64;
    f64::from_bits((top << (BITS - 1)) + significand + u64::from(up))
}

#[cfg(test)]
mod tests {
    use super::*;
    use rand::{RngExt, SeedableRng};

    /// The standard library's reading is the reference: it is proven and tested far beyond this.
    fn same(text: &str) {
        let std: f64 = text.parse().unwrap();
        let ours = parse(text).unwrap_or(f64::NAN);
        assert_eq!(
            ours.to_bits(),
            std.to_bits(),
            "{text}: {ours:e} for {std:e}"
        );
    }

    #[test]
    fn it_reads_what_the_standard_library_reads() {
        for text in [
            "0",
            "-0",
            "+1",
            "1.",
            ".5",
            "-12.5e3",
            "1e22",
            "1e23",
            "9007199254740993",
            "0.1",
            "0.30000000000000004",
            "1e400",
            "-1e400",
            "1e-400",
            "0e999999999999",
            "1e99999999999999999999",
            "1e-99999999999999999999",
            "4.9406564584124654e-324",
            "2.4703282292062327e-324",
            "2.4703282292062328e-324",
            "2.2250738585072011e-308",
            "2.2250738585072014e-308",
            "1.7976931348623157e308",
            "1.7976931348623158e308",
            "1.7976931348623159e308",
            "000000000000000000000000000001.5",
            "0.000000000000000000000000000000000000000000015",
        ] {
            same(text);
        }
        let mut rng = rand_chacha::ChaCha8Rng::seed_from_u64(4);
        for _ in 0..20_000 {
            let value = f64::from_bits(rng.random::<u64>() & !(1 << 63));
            if value.is_finite() {
                same(&format!("{value:e}"));
                same(&format!("{value:.*e}", rng.random_range(0..25)));
            }
            let short = rng.random_range(-1e6..1e6f64);
            same(&short.to_string());
            same(&format!("{short:.3}"));
        }
    }

    #[test]
    fn halfway_between_two_doubles_the_even_one_is_taken_and_one_digit_more_decides() {
        let mut rng = rand_chacha::ChaCha8Rng::seed_from_u64(5);
        for at in 0..600 {
            // Every exponent, the subnormal ones among them.
            let low = f64::from_bits((rng.random::<u64>() >> 12) | ((at % 500) * 4) << 52);
            let high = f64::from_bits(low.to_bits() + 1);
            // Exact: all digits of both, added by hand.
            let (low, high) = (format!("{low:.1100}"), format!("{high:.1100}"));
            let width = high.len().max(low.len());
            let digits = |text: &str| -> Vec<u8> { format!("{text:0>width$}").bytes().collect() };
            let (low, high) = (digits(&low), digits(&high));
            let mut sum: Vec<u32> = Vec::new();
            let mut point = 0;
            for (place, (a, b)) in low.iter().zip(&high).enumerate() {
                if *a == b'.' {
                    point = place;
                } else {
                    sum.push(u32::from(a - b'0') + u32::from(b - b'0'));
                }
            }
            let mut halfway = String::new();
            let mut rest = 0;
            for at in (1..sum.len()).rev() {
                sum[at - 1] += sum[at] / 10;
                sum[at] %= 10;
            }
            for (place, digit) in sum.iter().enumerate() {
                if place == point {
                    halfway.push('.');
                }
                let with = rest * 10 + digit;
                halfway.push_str(&(with / 2).to_string());
                rest = with % 2;
            }
            halfway.push_str(if rest == 1 { "5" } else { "" });
            same(&halfway);
            same(&format!("{halfway}{}1", "0".repeat(400)));
            same(&format!(
                "{}4{}",
                &halfway[..halfway.len() - 1],
                "9".repeat(400)
            ));
        }
    }

    #[test]
    fn what_is_no_number_is_none() {
        for text in [
            "", "-", "+", ".", "e5", "1e", "1e+x", "1x", " 1", "1 ", "--1", "1.2.3", "inf", "nan",
            "١",
        ] {
            assert_eq!(parse(text), None, "{text}");
        }
    }
}
