//! The standard normal distribution: density, distribution, its logarithm and its quantile.
//!
//! Takes standard scores or probabilities; gives the other. Ends of the range are held inside it, so nothing comes out infinite.

use crate::real::{Mask, Real};
use std::hint::black_box;

/// `1/√(2π)`.
pub const INV_SQRT_2PI: f64 = 0.398_942_280_401_432_7;

/// Nearest to 0 and 1 that a probability is taken; beyond it a double has no more normal quantile worth having.
const LEAST_PROBABILITY: f64 = 1e-16;

/// Density at `z`.
#[inline]
pub fn pdf<R: Real>(z: R) -> R {
    R::all(INV_SQRT_2PI) * at_root_2pi(z)
}

/// Density at `z` over that at 0.
#[inline]
fn at_root_2pi<R: Real>(z: R) -> R {
    (R::all(-0.5) * z * z).exponential()
}

/// Chance of a value below `z`: a rational function of degree 7 times the density (Hart et al. 1968, Computer Approximations, no. 5666, as
/// given by West 2005, Wilmott Magazine, May, 70); absolute error below 1e-15, relative below 1e-8 far down the lower tail.
#[inline]
pub fn cdf<R: Real>(z: R) -> R {
    cdf_pdf(z).0
}

/// [`cdf`] and [`pdf`] for the price of one exponential.
#[inline]
#[cfg_attr(fast_by_function, optimize(speed))]
pub fn cdf_pdf<R: Real>(z: R) -> (R, R) {
    let (e, zero) = (at_root_2pi(z), R::all(0.0));
    let lower = lower_tail(z.size(), e);
    let upper = R::either(zero.below(z), R::all(1.0) - lower, lower);
    (upper, R::all(INV_SQRT_2PI) * e)
}

/// Coefficients of Hart's rational function, highest power first.
static TOP: [f64; 7] = [
    3.526_249_659_989_11e-2,
    0.700_383_064_443_688,
    6.373_962_203_531_65,
    33.912_866_078_383,
    112.079_291_497_871,
    221.213_596_169_931,
    220.206_867_912_376,
];
static BOTTOM: [f64; 8] = [
    8.838_834_764_831_84e-2,
    1.755_667_163_182_64,
    16.064_177_579_207,
    86.780_732_202_946_1,
    296.564_248_779_674,
    637.333_633_378_831,
    793.826_512_519_948,
    440.413_735_824_752,
];

#[inline]
#[cfg_attr(fast_by_function, optimize(speed))]
fn lower_tail<R: Real>(x: R, e: R) -> R {
    // Read where they stand: as constants each is three instructions in a browser.
    let (t, b) = (black_box(&TOP), black_box(&BOTTOM));
    let (mut top, mut bottom) = (R::all(t[0]), R::all(b[0]));
    macro_rules! next {
        ($($k:literal)*) => {$(
            top = top * x + R::all(t[$k]);
            bottom = bottom * x + R::all(b[$k]);
        )*};
    }
    next!(1 2 3 4 5 6);
    bottom = bottom * x + R::all(b[7]);
    let near = x.below(R::all(7.071_067_811_865_47));
    let lower = e * top / bottom;
    if near.everywhere() {
        return lower;
    }
    R::either(near, lower, e * R::all(INV_SQRT_2PI) / mills(x))
}

/// `φ(x)/Φ(−x)` for large `x`: the continued fraction of Mills' ratio (Abramowitz & Stegun 1964, 26.2.14), eight levels, from x = 7 on.
#[inline]
#[cfg_attr(fast_by_function, optimize(speed))]
fn mills<R: Real>(x: R) -> R {
    let mut tail = x;
    for k in 0..8 {
        tail = x + R::all(f64::from(8 - k)) / tail;
    }
    tail
}

/// Natural logarithm of [`cdf`], finite however far down.
#[inline]
pub fn ln_cdf(z: f64) -> f64 {
    if z > -7.0 {
        cdf(z).ln()
    } else {
        -0.5 * z * z + (INV_SQRT_2PI / mills(-z)).ln()
    }
}

/// Quantile of the standard normal at probability `p`, relative error about 1e-16: algorithm AS 241, routine PPND16
/// (Wichura 1988, Applied Statistics 37, 477). `p` is held within 1e-16 of the ends.
pub fn quantile(p: f64) -> f64 {
    let p = if p.is_nan() {
        0.5
    } else {
        p.clamp(LEAST_PROBABILITY, 1.0 - LEAST_PROBABILITY)
    };
    let q = p - 0.5;
    if q.abs() <= 0.425 {
        let r = 0.180625 - q * q;
        return q * ratio(r, &CENTRE);
    }
    let tail = if q < 0.0 { p } else { 1.0 - p };
    let r = (-tail.ln()).sqrt();
    let z = if r <= 5.0 {
        ratio(r - 1.6, &MIDDLE)
    } else {
        ratio(r - 5.0, &FAR)
    };
    if q < 0.0 { -z } else { z }
}

/// Numerator and denominator of one of Wichura's rational approximations, lowest power first.
type Rational = [[f64; 8]; 2];

fn ratio(r: f64, of: &Rational) -> f64 {
    let at = |c: &[f64; 8]| c.iter().rev().fold(0.0, |sum, c| sum * r + c);
    at(&of[0]) / at(&of[1])
}

const CENTRE: Rational = [
    [
        3.387_132_872_796_366_5,
        133.141_667_891_784_38,
        1_971.590_950_306_551_3,
        13_731.693_765_509_46,
        45_921.953_931_549_87,
        67_265.770_927_008_7,
        33_430.575_583_588_13,
        2_509.080_928_730_122_7,
    ],
    [
        1.0,
        42.313_330_701_600_91,
        687.187_007_492_057_9,
        5_394.196_021_424_751,
        21_213.794_301_586_597,
        39_307.895_800_092_71,
        28_729.085_735_721_943,
        5_226.495_278_852_854,
    ],
];

const MIDDLE: Rational = [
    [
        1.423_437_110_749_683_5,
        4.630_337_846_156_546,
        5.769_497_221_460_691,
        3.647_848_324_763_204_5,
        1.270_458_252_452_368_4,
        0.241_780_725_177_450_6,
        0.022_723_844_989_269_184,
        0.000_774_545_014_278_341_4,
    ],
    [
        1.0,
        2.053_191_626_637_759,
        1.676_384_830_183_803_8,
        0.689_767_334_985_1,
        0.148_103_976_427_480_08,
        0.015_198_666_563_616_457,
        0.000_547_593_808_499_534_5,
        1.050_750_071_644_416_9e-9,
    ],
];

const FAR: Rational = [
    [
        6.657_904_643_501_103,
        5.463_784_911_164_114,
        1.784_826_539_917_291_3,
        0.296_560_571_828_504_87,
        0.026_532_189_526_576_124,
        0.001_242_660_947_388_078_4,
        2.711_555_568_743_487_6e-5,
        2.010_334_399_292_288_1e-7,
    ],
    [
        1.0,
        0.599_832_206_555_888,
        0.136_929_880_922_735_8,
        0.014_875_361_290_850_615,
        0.000_786_869_131_145_613_2,
        1.846_318_317_510_054_8e-5,
        1.421_511_758_316_446e-7,
        2.044_263_103_389_939_7e-15,
    ],
];

#[cfg(test)]
mod tests {
    use super::*;

    /// Printed tables (Abramowitz & Stegun 1964, tables 26.1, 26.2 and 26.5), and far tails by the complementary error function to
    /// 40 digits; relative 1e-8 as Hart's coefficients have 15 digits.
    #[test]
    fn distribution_and_quantile_agree_with_tables() {
        for (p, z) in [
            (0.5, 0.0),
            (0.9, 1.281_551_565_544_600_5),
            (0.975, 1.959_963_984_540_054),
            (0.999, 3.090_232_306_167_813_5),
            (0.001, -3.090_232_306_167_813_5),
            (1e-10, -6.361_340_902_404_056),
            (1e-15, -7.941_345_326_170_998),
        ] {
            assert!(
                (quantile(p) - z).abs() <= 1e-13 * (1.0 + z.abs()),
                "{p}: {}",
                quantile(p)
            );
            assert!((cdf(z) / p - 1.0).abs() < 1e-8, "{z}: {}", cdf(z));
            assert!((ln_cdf(z) - p.ln()).abs() < 1e-8, "{z}: {}", ln_cdf(z));
            assert_eq!(cdf_pdf(z), (cdf(z), pdf(z)));
        }
        assert!((pdf(1.0) - 0.241_970_724_519_143_37).abs() < 1e-15);
    }

    /// The two branches of the tail meet, and the logarithm stays finite where the chance itself is 0.
    #[test]
    fn tails_join() {
        for z in [-7.0, -7.071_067_811_865_47] {
            assert!((ln_cdf(z - 1e-9) - ln_cdf(z + 1e-9)).abs() < 1e-7);
        }
        // −z²/2 − ln(z√2π) to the leading order.
        assert!((ln_cdf(-200.0) + 20_000.0 + (200.0 / INV_SQRT_2PI).ln()).abs() < 1e-4);
        for p in [0.0, 1.0, f64::NAN, -3.0] {
            assert!(quantile(p).is_finite());
        }
    }
}
