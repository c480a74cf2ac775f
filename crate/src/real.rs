//! Numbers that a formula can be worked out with: one, or two at a time.
//!
//! Takes formulas written once over [`Real`]; gives their values at one point, or at two for hardly more than the price of one ([`Pair`]: the two halves of a
//! register of 128 bits, which every browser's wasm has and every 64-bit processor). What differs between the two is chosen by a mask, not by a branch.

use std::ops::{Add, AddAssign, BitAnd, BitOr, Div, Mul, MulAssign, Neg, Not, Sub, SubAssign};

pub mod exp_ln;
mod pair;
pub use pair::Pair;

/// Where something is so.
pub trait Mask: Copy + BitAnd<Output = Self> + BitOr<Output = Self> + Not<Output = Self> {
    /// Whether it is so anywhere.
    fn somewhere(self) -> bool;
    /// Whether it is so everywhere.
    fn everywhere(self) -> bool;
}

/// One number or several. Comparisons with what is not a number are nowhere so.
pub trait Real:
    Copy
    + Default
    + Neg<Output = Self>
    + Add<Output = Self>
    + Sub<Output = Self>
    + Mul<Output = Self>
    + Div<Output = Self>
    + AddAssign
    + SubAssign
    + MulAssign
{
    /// Where a comparison holds.
    type Mask: Mask;

    /// The same number everywhere.
    fn all(x: f64) -> Self;
    /// Where it is below another.
    fn below(self, other: Self) -> Self::Mask;
    /// Where it is not above another.
    fn at_most(self, other: Self) -> Self::Mask;
    /// Where `mask` is so the one, elsewhere the other.
    fn either(mask: Self::Mask, here: Self, elsewhere: Self) -> Self;
    /// Without its sign.
    fn size(self) -> Self;
    /// Square root.
    fn root(self) -> Self;
    /// e to it, as [`exp_ln::exp`].
    fn exponential(self) -> Self;
    /// Its natural logarithm, as [`exp_ln::ln`].
    fn logarithm(self) -> Self;
    /// Sine and cosine.
    fn circle(self) -> (Self, Self);
    /// Two numbers of each, one after the other: where a way for pairs is not worth it.
    fn each(self, of: &dyn Fn(f64) -> (f64, f64)) -> (Self, Self);

    /// The larger one; the other where it is not a number itself.
    #[inline]
    fn or_more(self, other: Self) -> Self {
        Self::either(other.below(self), self, other)
    }

    /// The smaller one; the other where it is not a number itself.
    #[inline]
    fn or_less(self, other: Self) -> Self {
        Self::either(self.below(other), self, other)
    }
}

impl Mask for bool {
    #[inline]
    fn somewhere(self) -> bool {
        self
    }

    #[inline]
    fn everywhere(self) -> bool {
        self
    }
}

impl Real for f64 {
    type Mask = bool;

    #[inline]
    fn all(x: f64) -> Self {
        x
    }

    #[inline]
    fn below(self, other: Self) -> bool {
        self < other
    }

    #[inline]
    fn at_most(self, other: Self) -> bool {
        self <= other
    }

    #[inline]
    fn either(mask: bool, here: Self, elsewhere: Self) -> Self {
        if mask { here } else { elsewhere }
    }

    #[inline]
    fn size(self) -> Self {
        self.abs()
    }

    #[inline]
    fn root(self) -> Self {
        self.sqrt()
    }

    #[inline(always)]
    fn exponential(self) -> Self {
        exp_ln::exp(self)
    }

    #[inline(always)]
    fn logarithm(self) -> Self {
        exp_ln::ln(self)
    }

    #[inline]
    fn circle(self) -> (Self, Self) {
        self.sin_cos()
    }

    #[inline]
    fn each(self, of: &dyn Fn(f64) -> (f64, f64)) -> (Self, Self) {
        of(self)
    }
}

impl Mask for Pair {
    #[inline]
    fn somewhere(self) -> bool {
        self.any()
    }

    #[inline]
    fn everywhere(self) -> bool {
        self.all()
    }
}

impl Real for Pair {
    type Mask = Self;

    #[inline]
    fn all(x: f64) -> Self {
        Self::splat(x)
    }

    #[inline]
    fn below(self, other: Self) -> Self {
        self.simd_lt(other)
    }

    #[inline]
    fn at_most(self, other: Self) -> Self {
        self.simd_le(other)
    }

    #[inline]
    fn either(mask: Self, here: Self, elsewhere: Self) -> Self {
        mask.bitselect(here, elsewhere)
    }

    #[inline]
    fn size(self) -> Self {
        self.abs()
    }

    #[inline]
    fn root(self) -> Self {
        self.sqrt()
    }

    #[inline(always)]
    fn exponential(self) -> Self {
        exp_ln::exp_pair(self)
    }

    #[inline(always)]
    fn logarithm(self) -> Self {
        exp_ln::ln_pair(self)
    }

    /// One after the other.
    fn circle(self) -> (Self, Self) {
        self.each(&f64::sin_cos)
    }

    fn each(self, of: &dyn Fn(f64) -> (f64, f64)) -> (Self, Self) {
        let [x, y] = self.to_array();
        let ((a, b), (a_2, b_2)) = (of(x), of(y));
        (Self::new([a, a_2]), Self::new([b, b_2]))
    }
}
