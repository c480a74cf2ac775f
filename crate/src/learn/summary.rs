//! The draws in numbers that a person can read.
//!
//! Takes draws and how many entries lie behind each unknown; gives means, spreads and bands with the studio's own identifiers.

use super::counts::Counts;
use super::params::Params;
use super::posterior::{
    FiringKnown, GlazeKnown, HandKnown, Known, PairKnown, ShelfKnown, Spread, StudioKnown, Summary,
};
use super::prior::Prior;
use super::priors::{self, Opinion};
use super::unknowns::Unknowns;
use crate::order;
use crate::studio::document::Studio;

/// Puts the draws in numbers. `effective_draws` and `r_hat` are those of independent draws; the sampler puts its own.
pub fn summarise(
    studio: &Studio,
    unknowns: &Unknowns,
    params: &[Params],
    counts: &Counts,
) -> Summary {
    let spread = |of: &dyn Fn(&Params) -> f64| spread_of(params.iter().map(of));
    let known = |of: &dyn Fn(&Params) -> f64| known_of(params.iter().map(of).collect());
    let at = |list: &[usize], i: usize| list.get(i).copied().unwrap_or(0);
    let glazes = studio.glazes.iter().enumerate().map(|(g, glaze)| {
        let logged = unknowns.used.looks.binary_search(&g).is_ok();
        let cut = |of: fn(&super::params::LookCuts) -> f64| {
            logged
                .then(|| known(&|p: &Params| p.look[g].as_ref().map_or(0.0, |c| 1e6 * of(c).exp())))
        };
        GlazeKnown {
            id: glaze.id.clone(),
            log10_phi: spread(&|p| p.log10_phi[g]),
            prior_log10_phi: prior_of(&unknowns.opinions[g]),
            entries: at(&counts.glazes, g),
            right_from_um: cut(|c| c.ln_low_m),
            right_to_um: cut(|c| c.ln_high_m),
            looks: at(&counts.looks, g),
        }
    });
    let mut pairs = Vec::new();
    for (number, (a, b)) in unknowns.used.pairs.iter().enumerate() {
        let met = counts.pairs.get(number).copied().unwrap_or([0, 0]);
        for (over, under, entries) in [(*b, *a, met[0]), (*a, *b, met[1])] {
            if entries > 0 {
                pairs.push(PairKnown {
                    over: studio.glazes[over].id.clone(),
                    under: studio.glazes[under].id.clone(),
                    decades: spread(&|p| p.pair(over, under).unwrap_or(0.0)),
                    entries,
                });
            }
        }
    }
    let kiln_name = |kiln: usize| {
        let firing = unknowns.keys.kiln_of_firing.iter().position(|k| *k == kiln);
        firing
            .map(|f| studio.firings[f].kiln.clone())
            .unwrap_or_default()
    };
    let shelves = unknowns
        .used
        .shelves
        .iter()
        .enumerate()
        .map(|(number, (kiln, shelf))| ShelfKnown {
            kiln: kiln_name(*kiln),
            shelf: *shelf,
            decades: spread(&|p| p.shelf[number]),
            entries: at(&counts.shelves, number),
        });
    Summary {
        glazes: glazes.collect(),
        pairs,
        hands: (studio.hands.iter().enumerate())
            .map(|(h, hand)| HandKnown {
                id: hand.id.clone(),
                ln_laydown: spread(&|p| p.ln_laydown[h]),
                entries: at(&counts.hands, h),
                weigh_ins: at(&counts.hand_weigh_ins, h),
            })
            .collect(),
        firings: (studio.firings.iter().enumerate())
            .map(|(f, firing)| FiringKnown {
                id: firing.id.clone(),
                decades: spread(&|p| p.firing[f]),
                entries: at(&counts.firings, f),
            })
            .collect(),
        shelves: shelves.collect(),
        studio: StudioKnown {
            retention_mm2: known(&|p| 1e6 * p.retention_m2),
            mixing: known(&|p| p.mixing),
            thinning_per_coat: known(&|p| p.thinning_per_coat),
            thinning_anew: known(&|p| p.thinning_anew),
            noise_decades: known(&|p| p.noise_decades),
            place_ln_sigma: known(&|p| p.place_ln_sigma),
            coat_ln_sigma: known(&|p| p.coat_ln_sigma),
            carry: known(&|p| p.carry),
            ln_dip: known(&|p| p.ln_method[1]),
            ln_spray: known(&|p| p.ln_method[2]),
            outlier_share: known(&|p| p.outlier_share),
            stuck_by_word: known(&|p| p.stuck_by_word),
            whole_mm: known(&|p| p.whole_mm),
            opinion_wrong: known(&|p| p.opinion_wrong),
        },
        scale_known: counts.weigh_ins > 0,
        entries: counts.entries,
        weigh_ins: counts.weigh_ins,
        effective_draws: params.len() as f64,
        r_hat: 1.0,
    }
}

/// Mean and sd of a glaze's fluidity before anything was logged, the chance of a wrong opinion counted.
fn prior_of(opinion: &Opinion) -> Spread {
    let Prior::Normal {
        mean: other,
        sd: wide,
    } = priors::WRONG_OPINION
    else {
        return Spread::default();
    };
    let (a, b) = priors::OPINION_WRONG_BETA;
    let w = if opinion.can_be_wrong {
        a / (a + b)
    } else {
        0.0
    };
    let mean = (1.0 - w) * opinion.mean + w * other;
    let square =
        (1.0 - w) * (opinion.sd.powi(2) + opinion.mean.powi(2)) + w * (wide * wide + other * other);
    Spread {
        mean,
        sd: (square - mean * mean).max(0.0).sqrt(),
    }
}

/// Mean and sample standard deviation.
pub fn spread_of(values: impl Iterator<Item = f64>) -> Spread {
    let (mut n, mut mean, mut square) = (0.0, 0.0, 0.0);
    // Welford's running update: no second pass and no difference of large numbers.
    for v in values {
        n += 1.0;
        let d = v - mean;
        mean += d / n;
        square += d * (v - mean);
    }
    Spread {
        mean,
        sd: if n > 1.0 {
            (square / (n - 1.0)).sqrt()
        } else {
            0.0
        },
    }
}

/// Median and 90 % band, quantiles between order statistics.
pub fn known_of(mut values: Vec<f64>) -> Known {
    order::ascending(&mut values);
    let quantile = |p: f64| {
        let Some(last) = values.len().checked_sub(1) else {
            return 0.0;
        };
        let at = p * last as f64;
        let i = at as usize;
        let j = (i + 1).min(last);
        values[i] + (at - i as f64) * (values[j] - values[i])
    };
    Known {
        p05: quantile(0.05),
        p50: quantile(0.5),
        p95: quantile(0.95),
    }
}
