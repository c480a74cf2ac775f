//! Two numbers, worked out together in one register.
//!
//! Takes and gives them as [`Pair`]. The library's own type fills both halves by a loop, and by a call at that, in code
//! built for size: here each half is named.

use bytemuck::cast;
use std::ops::{Add, AddAssign, Div, DivAssign, Mul, MulAssign, Neg, Sub, SubAssign};
use std::ops::{BitAnd, BitAndAssign, BitOr, Not};
use wide::{f64x2, u64x2};

/// Two numbers, worked out together.
#[derive(Clone, Copy, Debug, PartialEq)]
#[repr(transparent)]
pub struct Pair(f64x2);

impl Pair {
    /// 0 and 0.
    pub const ZERO: Self = Self(f64x2::ZERO);
    /// 1 and 1.
    pub const ONE: Self = Self(f64x2::ONE);

    /// The two.
    #[inline(always)]
    pub const fn new(both: [f64; 2]) -> Self {
        Self(f64x2::new(both))
    }

    /// The same number twice.
    #[inline(always)]
    pub const fn splat(x: f64) -> Self {
        Self::new([x, x])
    }

    /// The two, by themselves.
    #[inline(always)]
    pub const fn to_array(self) -> [f64; 2] {
        self.0.to_array()
    }

    /// The two, where they lie.
    #[inline(always)]
    pub fn as_array(&self) -> &[f64; 2] {
        self.0.as_array()
    }

    /// The two, to be changed where they lie.
    #[inline(always)]
    pub fn as_mut_array(&mut self) -> &mut [f64; 2] {
        self.0.as_mut_array()
    }

    /// Of two sets of bits.
    #[inline(always)]
    pub fn from_bits(bits: u64x2) -> Self {
        Self(cast(bits))
    }

    /// Their bits.
    #[inline(always)]
    pub fn to_bits(self) -> u64x2 {
        cast(self.0)
    }

    /// Both without their signs.
    #[inline(always)]
    pub fn abs(self) -> Self {
        Self(self.0.abs())
    }

    /// Square roots.
    #[inline(always)]
    pub fn sqrt(self) -> Self {
        Self(self.0.sqrt())
    }

    /// One and the other.
    #[inline(always)]
    pub fn reduce_add(self) -> f64 {
        self.0.reduce_add()
    }

    /// Where it is below another: a mask.
    #[inline(always)]
    pub fn simd_lt(self, other: Self) -> Self {
        Self(self.0.simd_lt(other.0))
    }

    /// Where it is not above another: a mask.
    #[inline(always)]
    pub fn simd_le(self, other: Self) -> Self {
        Self(self.0.simd_le(other.0))
    }

    /// Where they are the same: a mask.
    #[inline(always)]
    pub fn simd_eq(self, other: Self) -> Self {
        Self(self.0.simd_eq(other.0))
    }

    /// Where they are finite: a mask.
    #[inline(always)]
    pub fn is_finite(self) -> Self {
        Self(self.0.is_finite())
    }

    /// Where this mask is set the one, elsewhere the other.
    #[inline(always)]
    pub fn bitselect(self, here: Self, elsewhere: Self) -> Self {
        Self(self.0.bitselect(here.0, elsewhere.0))
    }

    /// Whether a mask is set anywhere.
    #[inline(always)]
    pub fn any(self) -> bool {
        self.0.any()
    }

    /// Whether a mask is set everywhere.
    #[inline(always)]
    pub fn all(self) -> bool {
        self.0.all()
    }
}

impl Default for Pair {
    #[inline(always)]
    fn default() -> Self {
        Self::ZERO
    }
}

impl From<[f64; 2]> for Pair {
    #[inline(always)]
    fn from(both: [f64; 2]) -> Self {
        Self::new(both)
    }
}

macro_rules! between {
    ($($name:ident $of:ident $assign_name:ident $assign:ident;)*) => { $(
        impl $name for Pair {
            type Output = Self;
            #[inline(always)]
            fn $of(self, other: Self) -> Self {
                Self(self.0.$of(other.0))
            }
        }
        impl $name<f64> for Pair {
            type Output = Self;
            #[inline(always)]
            fn $of(self, other: f64) -> Self {
                self.$of(Self::splat(other))
            }
        }
        impl $name<Pair> for f64 {
            type Output = Pair;
            #[inline(always)]
            fn $of(self, other: Pair) -> Pair {
                Pair::splat(self).$of(other)
            }
        }
        impl $assign_name<f64> for Pair {
            #[inline(always)]
            fn $assign(&mut self, other: f64) {
                *self = self.$of(other);
            }
        }
        impl $assign_name for Pair {
            #[inline(always)]
            fn $assign(&mut self, other: Self) {
                *self = self.$of(other);
            }
        }
    )* };
}

between! {
    Add add AddAssign add_assign;
    Sub sub SubAssign sub_assign;
    Mul mul MulAssign mul_assign;
    Div div DivAssign div_assign;
}

impl Neg for Pair {
    type Output = Self;
    #[inline(always)]
    fn neg(self) -> Self {
        Self(-self.0)
    }
}

impl BitAnd for Pair {
    type Output = Self;
    #[inline(always)]
    fn bitand(self, other: Self) -> Self {
        Self(self.0 & other.0)
    }
}

impl BitAndAssign for Pair {
    #[inline(always)]
    fn bitand_assign(&mut self, other: Self) {
        *self = *self & other;
    }
}

impl BitOr for Pair {
    type Output = Self;
    #[inline(always)]
    fn bitor(self, other: Self) -> Self {
        Self(self.0 | other.0)
    }
}

impl Not for Pair {
    type Output = Self;
    #[inline(always)]
    fn not(self) -> Self {
        Self(!self.0)
    }
}
