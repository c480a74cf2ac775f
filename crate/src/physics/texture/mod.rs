//! How much of a texture is still there after the firing: the levelling of small waves.
//!
//! Takes melt thickness in m, fluidity time in 1/Pa, the texture's repeat in m and its slope; gives the amplitude of
//! the glazed surface over that of the clay. Linear: for waves lower than the film is thick; a film much thinner than
//! the texture is deep keeps more than this says: [`solved`] solves the film equation there.

mod solved;

use crate::real::{Mask, Real};

pub use solved::{Kept, solved};

/// Which way gravity meets a texture.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Across {
    /// Rings and bands: the run crosses crest after crest, and the surface follows the clay a little for ever.
    Run,
    /// Upright flutes: the glaze levels sideways, gravity along the wall has no part in it.
    Level,
}

/// A texture under a film, SI units.
#[derive(Clone, Copy, Debug)]
pub struct Waves {
    /// Crest to crest, m.
    pub wavelength_m: f64,
    /// Crest to recess, m.
    pub depth_m: f64,
    /// Which way gravity meets it.
    pub across: Across,
    /// Share of each coat that collects in the recesses, 0–0.9.
    pub recess_share: f64,
}

/// What the film brings, SI units.
#[derive(Clone, Copy, Debug)]
pub struct Film<R = f64> {
    /// Melt thickness, m.
    pub melt_m: R,
    /// Fluidity integral, 1/Pa.
    pub phi_per_pa: R,
    /// Density of the melt times gravity, N/m³.
    pub weight_n_per_m3: f64,
    /// Surface tension, N/m.
    pub gamma_n_per_m: f64,
    /// Sine of the wall's slope from horizontal.
    pub sin_slope: f64,
}

/// Amplitude of the glazed surface over the clay's, 0–1.
///
/// A surface wave s over the clay's b in a thin film obeys `ds/dΦ = −i k G h² (s − b) − (γ k⁴ h³/3) c(kh) s`: Orchard
/// 1962 (Applied Scientific Research A 11, 451) for the levelling, the small-amplitude flow over a wavy bed for the
/// term with gravity (derived), `c` the finite-depth correction below.
pub fn relief_kept(waves: &Waves, film: &Film) -> f64 {
    relief_kept_slopes(waves, film)[0]
}

/// [`relief_kept`], and the changes of its natural log per log of the thickness and per log of Phi.
#[cfg_attr(fast_by_function, optimize(speed))]
pub fn relief_kept_slopes<R: Real>(waves: &Waves, film: &Film<R>) -> [R; 3] {
    let all = R::all;
    let (zero, one) = (all(0.0), all(1.0));
    if !(waves.wavelength_m > 0.0 && waves.depth_m > 0.0) {
        return [one, zero, zero];
    }
    let h = film.melt_m.or_more(zero);
    let k = core::f64::consts::TAU / waves.wavelength_m;
    // A coat that has collected in the recesses has levelled that much before the firing.
    let collected = h * all(2.0 * waves.recess_share / waves.depth_m);
    let left = collected.below(one);
    let start = R::either(left, one - collected, zero);
    let start_h = R::either(left, -collected, zero);
    let kh = h * all(k);
    let (depth, depth_slope) = finite_depth_slope(kh);
    let (k2, phi) = (k * k, film.phi_per_pa);
    let square = h * h;
    let level = all(film.gamma_n_per_m * k2 * k2 / 3.0) * square * h * depth;
    let level_h = level * (all(3.0) + kh * depth_slope / depth);
    let drift = match waves.across {
        Across::Run => square * all(k * film.weight_n_per_m3 * film.sin_slope),
        Across::Level => zero,
    };
    let norm = level * level + drift * drift;
    let still = norm.at_most(zero);
    // Once it no longer changes: a = i drift/w, w = level + i drift.
    let (a, a_i) = (drift * drift / norm, level * drift / norm);
    let fade = (-level * phi).exponential();
    let (sin, cos) = match waves.across {
        Across::Run => (drift * phi).circle(),
        Across::Level => (zero, one),
    };
    // s = a + (s0 − a) e^(−w Φ)
    let (e, e_i) = (cos * fade, -sin * fade);
    let (b, b_i) = (start - a, -a_i);
    let (f, f_i) = (b * e - b_i * e_i, b * e_i + b_i * e);
    let (s, s_i) = (a + f, a_i + f_i);
    // Per log of Phi: −w Φ f. Per log of h: a' (1 − e) + s0' e − w' Φ f, where a' = i (drift' level − drift level')/w².
    let (by_phi, by_phi_i) = (
        -phi * (level * f - drift * f_i),
        -phi * (level * f_i + drift * f),
    );
    let twice = all(2.0);
    let turned = drift * (twice * level - level_h) / (norm * norm);
    let (a_h, a_h_i) = (
        turned * twice * level * drift,
        turned * (level * level - drift * drift),
    );
    let (rest, rest_i) = (one - e, -e_i);
    let by_h =
        a_h * rest - a_h_i * rest_i + start_h * e - phi * (level_h * f - twice * drift * f_i);
    let by_h_i =
        a_h * rest_i + a_h_i * rest + start_h * e_i - phi * (level_h * f_i + twice * drift * f);
    let square = s * s + s_i * s_i;
    let kept = R::either(still, start, square.root().or_less(one));
    // So little is nothing, and its slopes would be lost in rounding.
    let steady = still | one.at_most(kept) | square.below(all(1e-200));
    let per = one / square;
    let slope = |by: R, by_i: R| R::either(steady, zero, per * (s * by + s_i * by_i));
    [kept, slope(by_h, by_h_i), slope(by_phi, by_phi_i)]
}

/// True levelling rate over that of the thin-film equation at `kh`: finite-depth Stokes flow,
/// `(3/2) (sinh kh cosh kh − kh)/((kh)³ (cosh² kh + (kh)²))`, 1 at 0.
pub fn finite_depth(kh: f64) -> f64 {
    finite_depth_slope(kh).0
}

/// [`finite_depth`] and its derivative by kh, of one exponential.
pub fn finite_depth_slope<R: Real>(kh: R) -> (R, R) {
    let all = R::all;
    let (one, small) = (all(1.0), kh.below(all(1e-2)));
    // Series of the same, to kh²; the next term is below 1e-8 where it is taken.
    let series = (one - all(1.8) * kh * kh, all(-3.6) * kh);
    if small.everywhere() {
        return series;
    }
    let x = kh.or_less(all(300.0));
    let e = (x + x).exponential();
    // sinh 2x and cosh 2x; cosh² x is (1 + cosh 2x)/2.
    let back = one / e;
    let (sinh, cosh) = (all(0.5) * (e - back), all(0.5) * (e + back));
    let square = x * x;
    let width = all(0.5) * (one + cosh) + square;
    let (over, under) = (all(0.5) * sinh - x, square * x * width);
    let ratio = all(1.5) * over / under;
    let under_slope = square * (all(3.0) * width + x * (sinh + x + x));
    let slope = (all(1.5) * (cosh - one) - ratio * under_slope) / under;
    (
        R::either(small, series.0, ratio),
        R::either(small, series.1, slope),
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Printed ratios of finite-depth Stokes to thin-film levelling at kh 0.1 to 1, to the three digits given.
    #[test]
    fn finite_depth_ratios() {
        for (kh, ratio) in [
            (0.1, 0.982),
            (0.2, 0.933),
            (0.3, 0.861),
            (0.5, 0.691),
            (1.0, 0.361),
        ] {
            assert!(
                (finite_depth(kh) - ratio).abs() < 6e-4,
                "{kh}: {}",
                finite_depth(kh)
            );
        }
        assert!((finite_depth(0.009_999) - finite_depth(0.010_001)).abs() < 1e-6);
    }

    fn waves(across: Across) -> Waves {
        Waves {
            wavelength_m: 5e-3,
            depth_m: 2e-4,
            across,
            recess_share: 0.0,
        }
    }

    fn film(melt_m: f64, phi_per_pa: f64) -> Film {
        Film {
            melt_m,
            phi_per_pa,
            weight_n_per_m3: 2232.5 * 9.806_65,
            gamma_n_per_m: 0.33,
            sin_slope: 1.0,
        }
    }

    /// Orchard's rate, 16 π⁴ gamma h³/(3 lambda⁴ eta): gamma 0.3, h 0.5 mm, 5 mm, eta 1000 → 0.0311709 1/s; with its finite-depth
    /// correction 0.0183 1/s.
    #[test]
    fn rate_of_small_waves() {
        let film = Film {
            gamma_n_per_m: 0.3,
            ..film(5e-4, 0.01)
        };
        let rate_per_s = -relief_kept(&waves(Across::Level), &film).ln() / 0.01 / 1000.0;
        assert!((rate_per_s - 0.0183).abs() < 5e-5, "{rate_per_s}");
        let thin = rate_per_s / finite_depth(core::f64::consts::TAU * 5e-4 / 5e-3);
        assert!((thin - 0.031_170_9).abs() < 5e-8, "{thin}");
    }

    /// Two and three coats of 59.6 µm at 5 mm, medium (Φ 1.5) and stiff (0.19): 0.51, 0.12, 0.92, 0.76, to the two digits
    /// given.
    #[test]
    fn coats_over_a_five_millimetre_texture() {
        for (coats, phi, kept) in [
            (2.0, 1.5, 0.51),
            (3.0, 1.5, 0.12),
            (2.0, 0.19, 0.92),
            (3.0, 0.19, 0.76),
        ] {
            let found = relief_kept(&waves(Across::Level), &film(coats * 59.6e-6, phi));
            assert!((found - kept).abs() < 6e-3, "{coats} coats, {phi}: {found}");
        }
    }

    /// With gravity along the wall the surface ends at 1/√(1 + N²), N = γ h k³ c/(3 ρ g), not at 0: the steady response
    /// of a thin film to a wavy bed, first order.
    #[test]
    fn rings_keep_what_gravity_holds_up() {
        let (h, k) = (2e-4, core::f64::consts::TAU / 5e-3);
        let n = 0.33 * h * k.powi(3) * finite_depth(k * h) / (3.0 * 2232.5 * 9.806_65);
        let found = relief_kept(&waves(Across::Run), &film(h, 200.0));
        assert!((found - 1.0 / n.hypot(1.0)).abs() < 1e-6, "{found}");
        assert!(relief_kept(&waves(Across::Level), &film(h, 200.0)) < 1e-6);
    }

    /// Slopes against central differences, step 1e-5 in the logs: the third derivative leaves 1e-8.
    #[test]
    fn slopes_are_those_of_the_values() {
        for across in [Across::Run, Across::Level] {
            for recess_share in [0.0, 0.3] {
                for (h, phi) in [(5e-5, 3.0), (1.5e-4, 0.5), (1.5e-4, 20.0), (2.5e-4, 0.1)] {
                    let waves = Waves {
                        recess_share,
                        ..waves(across)
                    };
                    let at = |h: f64, phi: f64| relief_kept_slopes(&waves, &film(h, phi));
                    let [_, by_h, by_phi] = at(h, phi);
                    let step = 1e-5_f64;
                    let thick = (at(h * step.exp(), phi)[0] / at(h * (-step).exp(), phi)[0]).ln();
                    let long = (at(h, phi * step.exp())[0] / at(h, phi * (-step).exp())[0]).ln();
                    for (slope, change) in [(by_h, thick), (by_phi, long)] {
                        let off = (slope - change / (2.0 * step)).abs();
                        assert!(
                            off < 1e-6 * (1.0 + slope.abs()),
                            "{across:?} {h} {phi} {slope}"
                        );
                    }
                }
            }
        }
    }

    #[test]
    fn nothing_laid_on_keeps_all() {
        assert_eq!(relief_kept(&waves(Across::Level), &film(0.0, 5.0)), 1.0);
        assert_eq!(relief_kept(&waves(Across::Run), &film(1e-4, 0.0)), 1.0);
    }
}
