//! How much of a texture is still there after the firing: the levelling of small waves.
//!
//! Takes melt thickness in m, fluidity time in 1/Pa, the texture's repeat in m and its slope; gives the amplitude of
//! the glazed surface over that of the clay. Linear: for waves lower than the film is thick; a film much thinner than
//! the texture is deep keeps more than this says: [`solved`] solves the film equation there.

mod solved;

use super::exp_ln::exp;

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
pub struct Film {
    /// Melt thickness, m.
    pub melt_m: f64,
    /// Fluidity integral, 1/Pa.
    pub phi_per_pa: f64,
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
pub fn relief_kept_slopes(waves: &Waves, film: &Film) -> [f64; 3] {
    let h = if film.melt_m > 0.0 { film.melt_m } else { 0.0 };
    if !(waves.wavelength_m > 0.0 && waves.depth_m > 0.0) || h == 0.0 {
        return [1.0, 0.0, 0.0];
    }
    let k = core::f64::consts::TAU / waves.wavelength_m;
    // A coat that has collected in the recesses has levelled that much before the firing.
    let collected = 2.0 * waves.recess_share * h / waves.depth_m;
    let (start, start_h) = if collected < 1.0 {
        (1.0 - collected, -collected)
    } else {
        (0.0, 0.0)
    };
    let (depth, depth_slope) = finite_depth_slope(k * h);
    let (k2, phi) = (k * k, film.phi_per_pa);
    let level = film.gamma_n_per_m * k2 * k2 * (h * h * h) / 3.0 * depth;
    let level_h = level * (3.0 + k * h * depth_slope / depth);
    let drift = match waves.across {
        Across::Run => k * film.weight_n_per_m3 * film.sin_slope * h * h,
        Across::Level => 0.0,
    };
    let norm = level * level + drift * drift;
    if norm <= 0.0 {
        return [start, 0.0, 0.0];
    }
    // Once it no longer changes: a = i drift/w, w = level + i drift.
    let (a, a_i) = (drift * drift / norm, level * drift / norm);
    let fade = exp(-level * phi);
    let turn = drift * phi;
    let (sin, cos) = if turn == 0.0 {
        (0.0, 1.0)
    } else {
        turn.sin_cos()
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
    let turned = drift * (2.0 * level - level_h) / (norm * norm);
    let (a_h, a_h_i) = (
        turned * 2.0 * level * drift,
        turned * (level * level - drift * drift),
    );
    let (rest, rest_i) = (1.0 - e, -e_i);
    let by_h = a_h * rest - a_h_i * rest_i + start_h * e - phi * (level_h * f - 2.0 * drift * f_i);
    let by_h_i =
        a_h * rest_i + a_h_i * rest + start_h * e_i - phi * (level_h * f_i + 2.0 * drift * f);
    let square = s * s + s_i * s_i;
    let kept = square.sqrt();
    if kept >= 1.0 {
        return [1.0, 0.0, 0.0];
    }
    // So little is nothing, and its slopes would be lost in rounding.
    if square < 1e-200 {
        return [kept, 0.0, 0.0];
    }
    let per = 1.0 / square;
    [
        kept,
        per * (s * by_h + s_i * by_h_i),
        per * (s * by_phi + s_i * by_phi_i),
    ]
}

/// True levelling rate over that of the thin-film equation at `kh`: finite-depth Stokes flow,
/// `(3/2) (sinh kh cosh kh − kh)/((kh)³ (cosh² kh + (kh)²))`, 1 at 0.
pub fn finite_depth(kh: f64) -> f64 {
    finite_depth_slope(kh).0
}

/// [`finite_depth`] and its derivative by kh, of one exponential.
pub fn finite_depth_slope(kh: f64) -> (f64, f64) {
    if kh < 1e-2 {
        // Series of the same, to kh²; the next term is below 1e-8 here.
        return (1.0 - 1.8 * kh * kh, -3.6 * kh);
    }
    let x = kh.min(300.0);
    let e = exp(2.0 * x);
    // sinh 2x and cosh 2x; cosh² x is (1 + cosh 2x)/2.
    let (sinh, cosh) = (0.5 * (e - 1.0 / e), 0.5 * (e + 1.0 / e));
    let width = 0.5 * (1.0 + cosh) + x * x;
    let (over, under) = (0.5 * sinh - x, x * x * x * width);
    let ratio = 1.5 * over / under;
    let under_slope = 3.0 * x * x * width + x * x * x * (sinh + 2.0 * x);
    (ratio, (1.5 * (cosh - 1.0) - ratio * under_slope) / under)
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

    /// Orchard's rate with its finite-depth correction: gamma 0.3, h 0.5 mm, 5 mm, eta 1000 → 0.0183 1/s.
    #[test]
    fn rate_of_small_waves() {
        let film = Film {
            gamma_n_per_m: 0.3,
            ..film(5e-4, 0.01)
        };
        let rate_per_s = -relief_kept(&waves(Across::Level), &film).ln() / 0.01 / 1000.0;
        assert!((rate_per_s - 0.0183).abs() < 5e-5, "{rate_per_s}");
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
