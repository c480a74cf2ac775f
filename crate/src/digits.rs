//! Numbers as text, the same as the standard library writes them.
//!
//! Takes a double; gives the shortest digits that mean it and no other, or so many decimals. The standard library brings tables
//! for millions of numbers a second and each way of rounding twice, in several times the code.

use std::cmp::Ordering;
use std::fmt::{self, Display, Formatter};

/// Bits of a double's significand behind its first, and what its exponent is stored with.
const BEHIND: u64 = 52;
const BIAS: i64 = 1075;

/// A number in text, as [`put`] writes it.
pub struct Plain(pub f64);

/// A number in text with so many decimals, as [`put_fixed`] writes it.
pub struct Fixed(pub f64, pub u32);

impl Display for Plain {
    fn fmt(&self, f: &mut Formatter<'_>) -> fmt::Result {
        let mut out = String::new();
        put(&mut out, self.0);
        f.write_str(&out)
    }
}

impl Display for Fixed {
    fn fmt(&self, f: &mut Formatter<'_>) -> fmt::Result {
        let mut out = String::new();
        put_fixed(&mut out, self.0, self.1);
        f.write_str(&out)
    }
}

/// Writes the shortest digits that are read as this number, without an exponent: as `{}` does.
#[inline(never)]
pub fn put(out: &mut String, value: f64) {
    let Some(size) = put_sign(out, value) else {
        return;
    };
    // What people type has few digits: times a power of ten it is a whole number, and that over the power again just this. Of
    // fifteen digits or fewer no two decimals mean the same double, so the first one found is the shortest.
    let mut ten = 1.0;
    for decimals in 0..16 {
        let whole = (size * ten + 0.5) as u64;
        if whole >= 1_000_000_000_000_000 {
            break;
        }
        if whole as f64 / ten == size {
            return put_digits(out, &digits_of(whole), decimals);
        }
        ten *= 10.0;
    }
    let (digits, decimals) = shortest(size);
    put_digits(out, &digits, decimals);
}

/// Writes a number with so many decimals, three at most, the last one rounded to the even of two as near: as `{:.1}` does.
#[inline(never)]
pub fn put_fixed(out: &mut String, value: f64, decimals: u32) {
    let Some(size) = put_sign(out, value) else {
        return;
    };
    let (significand, exponent) = parts(size);
    // 53 bits times a thousand are 63.
    let scaled = significand * 10_u64.pow(decimals.min(3));
    let down = -exponent;
    let whole = match down {
        // That large it is a whole number.
        ..0 => return put(out, size),
        0 => scaled,
        1..64 => {
            let whole = scaled >> down;
            let rest = scaled & ((1 << down) - 1);
            let half = 1 << (down - 1);
            whole + u64::from(rest > half || rest == half && whole & 1 == 1)
        }
        _ => 0,
    };
    put_digits(out, &digits_of(whole), i64::from(decimals));
}

/// Writes the sign; gives the size, or none where the number has no digits and is written whole.
fn put_sign(out: &mut String, value: f64) -> Option<f64> {
    if value.is_nan() {
        out.push_str("NaN");
        return None;
    }
    if value.is_sign_negative() {
        out.push('-');
    }
    if value.is_infinite() {
        out.push_str("inf");
        return None;
    }
    Some(value.abs())
}

/// A positive number as a whole number times a power of two.
fn parts(size: f64) -> (u64, i64) {
    let bits = size.to_bits();
    let stored = (bits >> BEHIND) as i64;
    let behind = bits & ((1 << BEHIND) - 1);
    if stored == 0 {
        (behind, 1 - BIAS)
    } else {
        (behind | 1 << BEHIND, stored - BIAS)
    }
}

/// The digits of a whole number, 0 to 9 each.
fn digits_of(mut whole: u64) -> Vec<u8> {
    let mut digits = Vec::with_capacity(20);
    loop {
        digits.insert(0, (whole % 10) as u8);
        whole /= 10;
        if whole == 0 {
            return digits;
        }
    }
}

/// Writes digits, of which so many stand behind the point; with fewer than none zeros follow.
fn put_digits(out: &mut String, digits: &[u8], decimals: i64) {
    let count = digits.len() as i64;
    let point = count - decimals;
    for at in (point - 1).min(0)..count.max(point) {
        if at == point {
            out.push('.');
        }
        let digit = digits.get(at as usize).copied().unwrap_or(0);
        out.push((b'0' + digit) as char);
    }
}

/// The fewest digits that are nearer to a number than to its neighbours, and how many of them stand behind the point, after
/// G. L. Steele and J. L. White, How to print floating-point numbers accurately (PLDI 1990).
fn shortest(size: f64) -> (Vec<u8>, i64) {
    let (significand, exponent) = parts(size);
    // Of a number and half the way to either neighbour, all times `scale`, which is four at the least.
    let (low, high) = (significand as u32, (significand >> 32) as u32);
    let mut number = Whole(vec![low, high]);
    number.times_plus(4, 0);
    let mut above = Whole(vec![2]);
    // The first of a row with one exponent has its lower neighbour half as far.
    let first = significand == 1 << BEHIND && exponent > 1 - BIAS;
    let mut below = Whole(vec![if first { 1 } else { 2 }]);
    let mut scale = Whole(vec![4]);
    if exponent < 0 {
        scale.shift(-exponent);
    } else {
        for part in [&mut number, &mut above, &mut below] {
            part.shift(exponent);
        }
    }
    // Halfway is read as the even of two, so it belongs to an even number.
    let bound = if significand & 1 == 0 {
        Ordering::Equal
    } else {
        Ordering::Greater
    };
    let mut decimals = 0;
    while number.with(&above, &scale) >= bound {
        scale.times_plus(10, 0);
        decimals -= 1;
    }
    let mut digits = Vec::new();
    loop {
        for part in [&mut number, &mut above, &mut below] {
            part.times_plus(10, 0);
        }
        decimals += 1;
        let mut digit = 0;
        while number.less(&scale) {
            digit += 1;
        }
        let down = below.compare(&number) >= bound;
        let up = number.with(&above, &scale) >= bound;
        if up && (!down || number.with(&number, &scale) != Ordering::Less) {
            digit += 1;
        }
        // Zeros before the first digit are none.
        if digit > 0 || !digits.is_empty() {
            digits.push(digit);
        }
        if down || up {
            return (digits, decimals);
        }
    }
}

/// A whole number of any size, its least part first.
#[derive(Clone)]
pub(crate) struct Whole(pub Vec<u32>);

impl Whole {
    /// Multiplied, and something small added.
    pub fn times_plus(&mut self, times: u32, plus: u32) {
        let mut carry = u64::from(plus);
        for part in &mut self.0 {
            carry += u64::from(*part) * u64::from(times);
            *part = carry as u32;
            carry >>= 32;
        }
        if carry > 0 {
            self.0.push(carry as u32);
        }
    }

    /// How many bits it has.
    pub fn bits(&self) -> i64 {
        let top = self.0.last().map_or(0, |part| part.leading_zeros());
        self.0.len() as i64 * 32 - i64::from(top)
    }

    /// Times two, so often.
    pub fn shift(&mut self, bits: i64) {
        self.times_plus(1 << (bits & 31), 0);
        for _ in 0..bits >> 5 {
            self.0.insert(0, 0);
        }
    }

    fn part(&self, at: usize) -> u32 {
        self.0.get(at).copied().unwrap_or(0)
    }

    /// Which of the two is larger.
    pub fn compare(&self, other: &Self) -> Ordering {
        for at in (0..self.0.len().max(other.0.len())).rev() {
            let order = self.part(at).cmp(&other.part(at));
            if order != Ordering::Equal {
                return order;
            }
        }
        Ordering::Equal
    }

    /// Takes the other away where that leaves 0 or more; whether it did.
    pub fn less(&mut self, other: &Self) -> bool {
        if self.compare(other) == Ordering::Less {
            return false;
        }
        let mut borrow = 0_i64;
        for at in 0..self.0.len() {
            let left = i64::from(self.0[at]) - i64::from(other.part(at)) + borrow;
            self.0[at] = left as u32;
            borrow = left >> 32;
        }
        true
    }

    /// Compares the sum of this and something with a limit.
    fn with(&self, more: &Self, limit: &Self) -> Ordering {
        let mut sum = Self(Vec::new());
        let mut carry = 0;
        for at in 0..=self.0.len().max(more.0.len()) {
            carry += u64::from(self.part(at)) + u64::from(more.part(at));
            sum.0.push(carry as u32);
            carry >>= 32;
        }
        sum.compare(limit)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chacha::ChaCha8Rng;
    use rand::{RngExt, SeedableRng};

    /// The standard library's text is the reference.
    fn same(value: f64) {
        for value in [value, -value] {
            assert_eq!(Plain(value).to_string(), value.to_string(), "{value:e}");
            if value.abs() < 9e15 || !value.is_finite() {
                for decimals in 0..=3 {
                    assert_eq!(
                        Fixed(value, decimals as u32).to_string(),
                        format!("{value:.decimals$}"),
                        "{value:e}"
                    );
                }
            }
        }
    }

    #[test]
    fn ends_and_borders() {
        for value in [
            0.0,
            f64::NAN,
            f64::INFINITY,
            f64::MAX,
            f64::MIN_POSITIVE,
            5e-324,
            f64::EPSILON,
            1e15,
            1e16,
            1e21,
            1e22,
            1e23,
            123_456_789_012_345_680.0,
            9_007_199_254_740_993.0,
            0.1 + 0.2,
            0.5,
            1.5,
            2.5,
            0.125,
            0.375,
            0.0005,
            0.9995,
            0.3,
            2.0 / 3.0,
        ] {
            same(value);
        }
        for power in -1074..1024 {
            let power = 2f64.powi(power);
            for value in [power, power.next_down(), power.next_up()] {
                same(value);
            }
        }
        for power in -320..308 {
            same(format!("1e{power}").parse().unwrap());
        }
    }

    #[test]
    fn whatever_is_drawn() {
        let mut rng = ChaCha8Rng::seed_from_u64(6);
        for _ in 0..4000 {
            same(f64::from_bits(rng.random()));
            let short = f64::from(rng.random_range(-1_000_000..1_000_000_i32));
            for over in [1.0, 8.0, 10.0, 16.0, 1e3, 1e7] {
                same(short / over);
            }
            same(short * rng.random::<f64>());
        }
    }
}
