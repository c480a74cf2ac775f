//! Layers in the melt: how fluid a stack of glazes is as one film, and what each layer of it does.
//!
//! Takes each layer's melt thickness and fluidity, the wall first, the pair shifts and how far the layers have mixed;
//! gives the log of the stack's fluidity integral, its slopes, and each layer's flux and surface speed.

use super::constants::GRAVITY;
use crate::real::{Mask, Real};
use std::f64::consts::LN_10;

/// Prior mean of a pair shift that is the same whichever lies on top, decades (practice: overlaps tend to run more).
pub const PAIR_MEAN_DECADES: f64 = 0.25;
/// Prior sd of that shift, decades (judged).
pub const PAIR_SD_DECADES: f64 = 0.25;
/// Prior sd of the part that changes sign with the order, decades; its mean is 0 (judged).
pub const PAIR_ORDER_SD_DECADES: f64 = 0.10;
/// Prior mean of `mixing`, 0 still separate – 1 melted together (judged: over a firing melts inter-diffuse about 0.1–0.25 mm).
pub const MIXING_MEAN: f64 = 0.7;

/// log10 of the stack's fluidity integral where its layers have melted together:
/// `Σ x_i log10 Phi_i + Σ_pairs 4 x_i x_j d_ij` (Grunberg & Nissan 1949; each pair once), x_i shares of the thickness.
///
/// `melt_m` in m (only its proportions count), `log10_phi` in log10(1/Pa), both from the wall outward and of one length;
/// `pair(lower, upper)` in decades. Nothing laid down has no fluidity: with a total of 0 the answer is 0.
pub fn mixed_log10_phi(
    melt_m: &[f64],
    log10_phi: &[f64],
    pair: &dyn Fn(usize, usize) -> f64,
) -> f64 {
    let total: f64 = melt_m.iter().sum();
    if total <= 0.0 {
        return 0.0;
    }
    let per = 1.0 / total;
    let mut sum = 0.0;
    for (j, (h, m)) in melt_m.iter().zip(log10_phi).enumerate() {
        let x = h * per;
        let mut under = 0.0;
        for (i, below) in melt_m.iter().enumerate().take(j) {
            under += below * pair(i, j);
        }
        sum += x * (m + 4.0 * per * under);
    }
    sum
}

/// Fluidity integral of the stack as one film where its layers are still separate, 1/Pa:
/// `Σ Phi_i (S_i³ − S_(i+1)³)/H³`, S_i from the bottom of layer i to the surface (derived: mean flux of the stack, equal densities).
///
/// Arguments as in [`mixed_log10_phi`], but `phi_per_pa` itself.
pub fn separate_phi(melt_m: &[f64], phi_per_pa: &[f64]) -> f64 {
    let total: f64 = melt_m.iter().sum();
    if total <= 0.0 {
        return 0.0;
    }
    let mut above = 1.0;
    let mut cube = 1.0;
    let mut sum = 0.0;
    for (h, phi) in melt_m.iter().zip(phi_per_pa) {
        above = (above - h / total).max(0.0);
        let next = above * above * above;
        sum += phi * (cube - next);
        cube = next;
    }
    sum
}

/// log10 of [`separate_phi`] from logs, without overflow however far apart they are.
pub fn separate_log10_phi(melt_m: &[f64], log10_phi: &[f64]) -> f64 {
    let total: f64 = melt_m.iter().sum();
    if total <= 0.0 {
        return 0.0;
    }
    let per = 1.0 / total;
    let largest = largest_present(melt_m, log10_phi);
    let mut above = 1.0;
    let mut cube = 1.0;
    let mut sum = 0.0;
    for (h, m) in melt_m.iter().zip(log10_phi) {
        // A layer of nothing has no part, however fluid it would be.
        if *h <= 0.0 {
            continue;
        }
        above = (above - h * per).max(0.0);
        let next = above * above * above;
        sum += ((m - largest) * LN_10).exp() * (cube - next);
        cube = next;
    }
    largest + sum.max(f64::MIN_POSITIVE).log10()
}

/// The most fluid of the layers that are there at all.
fn largest_present(melt_m: &[f64], log10_phi: &[f64]) -> f64 {
    let there = melt_m.iter().zip(log10_phi).filter(|(h, _)| **h > 0.0);
    there.fold(f64::NEG_INFINITY, |most, (_, m)| most.max(*m))
}

/// log10 of the fluidity integral of a stack, between separate and melted together:
/// `log Phi_sep + mixing (log Phi_mix − log Phi_sep)`.
///
/// `melt_m` m and `log10_phi` log10(1/Pa) from the wall outward; `pair(lower, upper)` decades, indices into the stack;
/// `mixing` 0–1. Needs no memory of its own. With a total thickness of 0 the answer is 0 (and the run is 0 anyway).
#[cfg_attr(fast_by_function, optimize(speed))]
pub fn stack_log10_phi(
    melt_m: &[f64],
    log10_phi: &[f64],
    pair: &dyn Fn(usize, usize) -> f64,
    mixing: f64,
) -> f64 {
    if let ([_], [m]) = (melt_m, log10_phi) {
        return *m;
    }
    let separate = separate_log10_phi(melt_m, log10_phi);
    separate + mixing * (mixed_log10_phi(melt_m, log10_phi, pair) - separate)
}

/// A stack's fluidity at both ends of `mixing`; what it hangs on goes into the caller's slices.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct StackSlopes<R> {
    /// As [`stack_log10_phi`].
    pub log10_phi: R,
    /// Change per unit of `mixing`: melted together less separate, decades.
    pub per_mixing: R,
}

/// [`stack_log10_phi`] with its slopes, for learning, which has each layer's fluidity at hand, not only its log: at most 300 decades.
///
/// `per_log10_phi[i]` becomes the change per decade of layer i's own Phi, `per_ln_h[i]` the change in decades per natural log of its thickness; both slices are of the
/// stack's length. The change per decade of the pair shift of layers i and j is `mixing · 4 x_i x_j` ([`pair_weight`]). With a total thickness of 0 everywhere all are 0.
#[inline]
pub fn stack_slopes<R: Real>(
    melt_m: &[R],
    [log10_phi, phi_per_pa]: [&[R]; 2],
    pair: impl Fn(usize, usize) -> R,
    mixing: R,
    per_log10_phi: &mut [R],
    per_ln_h: &mut [R],
) -> StackSlopes<R> {
    let all = R::all;
    let n = melt_m.len();
    let (log10_phi, phi_per_pa) = (&log10_phi[..n], &phi_per_pa[..n]);
    let (per_log10_phi, per_ln_h) = (&mut per_log10_phi[..n], &mut per_ln_h[..n]);
    let (zero, one, three) = (all(0.0), all(1.0), all(3.0));
    let mut total = zero;
    for melt_m in melt_m {
        total += *melt_m;
    }
    if !zero.below(total).somewhere() {
        per_log10_phi.fill(zero);
        per_ln_h.fill(zero);
        return StackSlopes {
            log10_phi: zero,
            per_mixing: zero,
        };
    }
    let per = one / total;

    // Separate: weights S_i³ − S_(i+1)³; a thicker layer i also lifts every S_k of the layers below it and of itself.
    let (mut above, mut cube, mut square) = (one, one, one);
    let (mut sum, mut lifted) = (zero, zero);
    for i in 0..n {
        let (x, phi) = (melt_m[i] * per, phi_per_pa[i]);
        above = (above - x).or_more(zero);
        let next_square = above * above;
        let next_cube = next_square * above;
        let part = phi * (cube - next_cube);
        sum += part;
        per_log10_phi[i] = part;
        // Σ_(k≤i) 3 Phi_k S_k² − Σ_(k<i) 3 Phi_k S_(k+1)², in units of the total thickness.
        per_ln_h[i] = three * x * (lifted + phi * square);
        lifted += phi * (square - next_square);
        (cube, square) = (next_cube, next_square);
    }
    let sum = sum.or_more(all(f64::MIN_POSITIVE));
    let separate = sum.logarithm() * all(1.0 / LN_10);
    let keep = one - mixing;
    let of_sum = keep / sum;
    let (of_log, of_sum_ln) = (keep * all(3.0 / LN_10) * per, of_sum * all(1.0 / LN_10));
    for i in 0..n {
        per_log10_phi[i] *= of_sum;
        per_ln_h[i] = per_ln_h[i] * of_sum_ln - of_log * melt_m[i];
    }

    // Mixed: Σ x m + Σ 4 x_i x_j d; a thicker layer takes its share from all others.
    let (mut plain, mut pairs) = (zero, zero);
    for j in 0..n {
        let x = melt_m[j] * per;
        let part = x * log10_phi[j];
        plain += part;
        per_log10_phi[j] += mixing * x;
        per_ln_h[j] += mixing * part;
        for i in 0..j {
            let term = all(4.0) * x * melt_m[i] * per * pair(i, j);
            pairs += term;
            per_ln_h[i] += mixing * term;
            per_ln_h[j] += mixing * term;
        }
    }
    let shared = mixing * per * (plain + all(2.0) * pairs);
    for i in 0..n {
        per_ln_h[i] -= shared * melt_m[i];
    }
    let per_mixing = plain + pairs - separate;
    StackSlopes {
        log10_phi: separate + mixing * per_mixing,
        per_mixing,
    }
}

/// Weight of the pair shift of layers `i` and `j` where all has melted together: `4 x_i x_j`, 0–1.
#[inline]
pub fn pair_weight(melt_m: &[f64], i: usize, j: usize) -> f64 {
    let total: f64 = melt_m.iter().sum();
    match (melt_m.get(i), melt_m.get(j)) {
        (Some(a), Some(b)) if total > 0.0 => 4.0 * a * b / (total * total),
        _ => 0.0,
    }
}

/// One layer of a stack, for [`layer_fluxes`].
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FluxLayer {
    /// Melt thickness, m.
    pub melt_m: f64,
    /// 1/viscosity, 1/(Pa s); or a fluidity integral, 1/Pa, and every speed below becomes a distance gone.
    pub fluidity: f64,
    /// Density, kg/m³.
    pub rho_kg_per_m3: f64,
}

/// What one layer does, for [`layer_fluxes`].
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LayerFlux {
    /// Speed of its upper surface, m/s (or m).
    pub u_top: f64,
    /// Its own flux per width, m²/s (or m²).
    pub q: f64,
}

/// Flux and surface speed of each layer of a stack on a slope, layers from the wall outward, where they do not mix:
/// `T_i = g sinθ Σ_(k>i) rho_k h_k`, `G_i = rho_i g sinθ`, `u_top,i = Σ_(k≤i) (T_k h_k + G_k h_k²/2)/eta_k`,
/// `q_i = h_i u_top,i−1 + (T_i h_i²/2 + G_i h_i³/3)/eta_i`.
///
/// Source: Stokes flow of parallel layers, no slip at the wall, no shear at the surface (derived). `sin_slope` 0–1.
pub fn layer_fluxes(layers: &[FluxLayer], sin_slope: f64) -> Vec<LayerFlux> {
    let pull = GRAVITY * sin_slope;
    let mut shear = pull
        * layers
            .iter()
            .map(|l| l.rho_kg_per_m3 * l.melt_m)
            .sum::<f64>();
    let mut u_below = 0.0;
    let mut out = Vec::with_capacity(layers.len());
    for l in layers {
        let h = l.melt_m;
        let body = l.rho_kg_per_m3 * pull;
        shear -= body * h;
        let u_top = u_below + l.fluidity * h * (shear + body * h / 2.0);
        let q = h * u_below + l.fluidity * h * h * (shear / 2.0 + body * h / 3.0);
        out.push(LayerFlux { u_top, q });
        u_below = u_top;
    }
    out
}
