//! Simulation-based calibration: where the truth of an invented studio stands among the draws learned from its log.
//!
//! Takes a design; draws a truth from the priors, fires and writes down the log, learns it; gives, for every unknown by name, the rank of the truth
//! among thinned draws (Talts, Betancourt, Simpson, Vehtari & Gelman 2018).

use crate::studios::{Design, from_the_prior};
use crate::uniform::{BINS, Judged, Uniform};
use glazefall::learn::prior::Prior;
use glazefall::learn::target::Target;
use glazefall::learn::unknowns::{Unknowns, global};
use glazefall::learn::{Learning, Options, Params};
use std::f64::consts::LN_10;

/// Draws that are learned, and every how many of one chain is kept: thinned, they are nearly independent.
/// Half as many are made.
const DRAWS: usize = 512;
const EVERY: usize = 4;
/// Chains that the draws come from in turn.
const CHAINS: usize = 4;
/// Draws that the truth is ranked among: ranks are 0 to this.
pub const RANKED_AMONG: usize = 63;

/// The studio that is drawn again and again: all kinds of entries, so few that every prior still counts.
pub fn ranked_design(seed: u64) -> Design {
    Design {
        entries: 20,
        glazes: 4,
        hands: 2,
        firings: 3,
        weigh_ins: 2,
        ..Design::small(seed)
    }
}

/// One unknown, or a combination of some, at one joint draw.
pub type Quantity = (String, f64);

/// Every unknown of a draw by name, and combinations that a log tells more of than of each alone.
pub fn quantities(p: &Params) -> Vec<Quantity> {
    let mut all: Vec<Quantity> = Vec::new();
    let mut add = |name: String, value: f64| all.push((name, value));
    for (g, phi) in p.log10_phi.iter().enumerate() {
        add(format!("glaze {g}"), *phi);
    }
    for b in 0..p.log10_phi.len() {
        for a in 0..b {
            let (up, down) = (
                p.pair(b, a).unwrap_or_default(),
                p.pair(a, b).unwrap_or_default(),
            );
            add(format!("pair {a} {b}"), 0.5 * (up + down));
            add(format!("pair {a} {b} order"), 0.5 * (up - down));
        }
    }
    for (f, effect) in p.firing.iter().enumerate() {
        add(format!("firing {f}"), *effect);
    }
    for (h, laydown) in p.ln_laydown.iter().enumerate() {
        add(format!("hand {h}"), laydown - p.ln_method[0]);
    }
    for shelf in 1..=2 {
        add(
            format!("shelf {shelf}"),
            p.kiln_decades(Some(0), Some(shelf)) - p.firing[0],
        );
    }
    for (method, ln) in ["brush", "dip", "spray"].iter().zip(p.ln_method) {
        add((*method).into(), ln);
    }
    for (name, value) in [
        ("carry", p.carry),
        ("retention", p.retention_m2),
        ("mixing", p.mixing),
        ("thinning", p.thinning_per_coat),
        ("thinning anew", p.thinning_anew),
        ("noise", p.noise_decades),
        ("place spread", p.place_ln_sigma),
        ("coat spread", p.coat_ln_sigma),
        ("blunders", p.outlier_share),
        ("stuck by word", p.stuck_by_word),
        ("whole mm", p.whole_mm),
        ("wrong opinions", p.opinion_wrong),
        ("look: share", p.look_share),
        ("look: spread", p.look_sigma),
        ("texture: crisp over", p.crisp_over),
        ("texture: buried under", p.buried_under),
        ("texture: spread", p.texture_sigma),
    ] {
        add(name.into(), value);
    }
    if let Some(cuts) = p.look.iter().flatten().next() {
        add("look: low".into(), cuts.ln_low_m);
        add("look: high".into(), cuts.ln_high_m);
    }
    // Runs go as Phi h²: the log says this sum much more sharply than its terms.
    add(
        "glaze 0, hand 0, firing 0".into(),
        p.log10_phi[0] + 2.0 * p.ln_laydown[0] / LN_10 + p.firing[0],
    );
    all
}

/// Ranks of the truth of one studio.
#[derive(Clone, Debug)]
pub struct Ranked {
    /// By name, in the order of [`quantities`].
    pub ranks: Vec<(String, usize)>,
    /// Effective draws of the worst unknown.
    pub effective: f64,
    /// Split R-hat of the worst unknown.
    pub r_hat: f64,
}

/// Draws a studio's truth and log, learns the log, and ranks the truth.
pub fn rank(of: &Design) -> Ranked {
    let (studio, truth) = from_the_prior(of);
    let mut learning = Learning::start(
        &studio,
        &Options {
            draws: DRAWS,
            seed: of.seed ^ 0x7a17,
        },
    );
    while !learning.step().ready {}
    let model = learning.model().clone();
    let posterior = learning.finish(&studio);
    let draws: Vec<&Params> = posterior
        .params
        .chunks(CHAINS)
        .skip(EVERY - 1)
        .step_by(EVERY)
        .flatten()
        .take(RANKED_AMONG)
        .collect();
    assert_eq!(draws.len(), RANKED_AMONG);
    // A quantity of the data too: it shows where the log is not read as it is written (Modrák et al. 2023, Bayesian Analysis 20, 461).
    let mut gradient = vec![0.0; model.len()];
    let unknowns = &model.log.unknowns;
    let mut all = |p: &Params| {
        let mut all = quantities(p);
        let ln = model.ln_density(&point(unknowns, p), &mut gradient);
        all.push(("log density".into(), ln));
        all
    };
    let known: Vec<Vec<Quantity>> = draws.iter().map(|p| all(p)).collect();
    let ranks = all(&truth)
        .into_iter()
        .enumerate()
        .map(|(i, (name, value))| {
            let below = known.iter().filter(|k| k[i].1 < value).count();
            (name, below)
        })
        .collect();
    Ranked {
        ranks,
        effective: posterior.summary.effective_draws,
        r_hat: posterior.summary.r_hat,
    }
}

/// Prints how even the ranks of each quantity are; gives the same.
pub fn table(ranked: &[Ranked]) -> Vec<(String, Judged)> {
    let uniform = Uniform::new(ranked.len(), RANKED_AMONG);
    println!("quantity                        p  chi-square  middle  width  ranks in eighths");
    let mut judged = Vec::new();
    for i in 0..ranked[0].ranks.len() {
        let ranks: Vec<usize> = ranked.iter().map(|r| r.ranks[i].1).collect();
        let mut bins = [0; BINS];
        ranks
            .iter()
            .for_each(|r| bins[r * BINS / (RANKED_AMONG + 1)] += 1);
        let name = ranked[0].ranks[i].0.clone();
        let one = uniform.judge(&ranks);
        println!(
            "{name:28} {:.4}  {:10.1}  {:6.2} {:6.2}  {bins:?}",
            one.p, one.chi_square, one.middle, one.width
        );
        judged.push((name, one));
    }
    let mut r_hats: Vec<f64> = ranked.iter().map(|r| r.r_hat).collect();
    r_hats.sort_unstable_by(f64::total_cmp);
    println!(
        "split R-hat of the worst unknown: median {:.3}, worst {:.3}",
        r_hats[r_hats.len() / 2],
        r_hats[r_hats.len() - 1]
    );
    judged
}

/// The sampler's coordinates of a draw.
pub fn point(unknowns: &Unknowns, p: &Params) -> Vec<f64> {
    let mut at = vec![0.0; unknowns.len()];
    for (place, firing) in unknowns.used.firings.iter().enumerate() {
        at[place] = p.firing[*firing];
    }
    for (number, glaze) in unknowns.used.glazes.iter().enumerate() {
        at[unknowns.glaze_number(number)] = p.log10_phi[*glaze];
    }
    for hand in &unknowns.used.hands {
        if let Some(place) = unknowns.hand(*hand) {
            at[place] = p.ln_laydown[*hand] - p.ln_method[0];
        }
    }
    for (number, (a, b)) in unknowns.used.pairs.iter().enumerate() {
        let (up, down) = (
            p.pair(*b, *a).unwrap_or_default(),
            p.pair(*a, *b).unwrap_or_default(),
        );
        at[unknowns.pair(number)] = 0.5 * (up + down);
        at[unknowns.pair(number) + 1] = 0.5 * (up - down);
    }
    for (number, shelf) in p.shelf.iter().enumerate() {
        at[unknowns.shelf(number)] = *shelf;
    }
    for (number, glaze) in unknowns.used.looks.iter().enumerate() {
        if let Some(cuts) = p.look[*glaze] {
            at[unknowns.look(number)] = 0.5 * (cuts.ln_low_m + cuts.ln_high_m);
            at[unknowns.look(number) + 1] = (0.5 * (cuts.ln_high_m - cuts.ln_low_m)).ln();
        }
    }
    let crisp_cut = (-p.crisp_over.ln()).ln();
    let first = unknowns.globals();
    for (which, value) in [
        (global::LN_BRUSH, p.ln_method[0]),
        (global::LN_DIP, p.ln_method[1]),
        (global::LN_SPRAY, p.ln_method[2]),
        (global::CARRY, p.carry),
        (global::LN_RETENTION, p.retention_m2),
        (global::MIXING, p.mixing),
        (global::THINNING, p.thinning_per_coat),
        (global::ANEW, p.thinning_anew),
        (global::NOISE, p.noise_decades),
        (global::PLACE, p.place_ln_sigma),
        (global::COAT, p.coat_ln_sigma),
        (global::OUTLIER, p.outlier_share),
        (global::STUCK, p.stuck_by_word),
        (global::WHOLE_MM, p.whole_mm),
        (global::OPINION_WRONG, p.opinion_wrong),
        (global::LOOK_SHARE, p.look_share),
        (global::LOOK_SIGMA, p.look_sigma),
        (global::CRISP_CUT, crisp_cut),
        (global::BURIED_GAP, (-p.buried_under.ln()).ln() - crisp_cut),
        (global::TEXTURE_SIGMA, p.texture_sigma),
    ] {
        at[first + which] = coordinate(&unknowns.priors[first + which], value);
    }
    at
}

/// The coordinate at which a prior has `value`: [`Prior::value`] turned round.
fn coordinate(prior: &Prior, value: f64) -> f64 {
    use glazefall::learn::normal::{cdf, quantile};
    use glazefall::learn::prior::at_odds;
    match *prior {
        Prior::Normal { .. } => value,
        Prior::LogNormal { .. } => value.ln(),
        Prior::HalfNormal { fold, .. } => -quantile(2.0 * cdf(-value / fold)),
        Prior::Width { unit, .. } => value / unit - unit / value,
        Prior::Beta { .. } => at_odds((value / (1.0 - value)).ln()),
    }
}
