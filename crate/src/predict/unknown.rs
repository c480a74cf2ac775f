//! The unknowns of a plan by name, what its run hangs on, and the tile that would tell most.
//!
//! Takes a plan with its shots; gives shares of the variance of the log of the run, in words with the glazes' own names.

use super::drawn::Luck;
use super::hangs_on::{self, Unknown};
use super::outcome::HangsOn;
use super::plan::{Plan, Shot};
use super::stack;
use crate::learn::params::Params;
use crate::learn::posterior::Posterior;
use crate::order;
use crate::physics::tile::{self, Band};
use crate::physics::{constants::RHO, laydown, slurry};
use crate::studio::document::Studio;

/// Most unknowns named, and the least share worth naming.
const NAMED: usize = 8;
const WORTH_NAMING: f64 = 0.01;
/// The least run that counts in the log, m: what cannot be seen is not told apart.
const SEEN_M: f64 = 1e-4;
/// With fewer draws than this share moving at all, the log of the run says nothing.
const ENOUGH_MOVE: f64 = 0.1;

/// A share with the glaze whose fluidity it is, if it is one's.
#[derive(Clone, Debug)]
pub struct Share {
    /// In words.
    pub hangs_on: HangsOn,
    /// The glaze, an index into the studio's.
    pub glaze: Option<usize>,
}

/// What the run's spread hangs on, the largest first.
///
/// The variance is that of the log of the run, runs under 0.1 mm counting as 0.1 mm. Where hardly any draw runs at all it is that of
/// the log of `k h³ Phi` over what the edge holds, whose passing 1 starts a run.
pub fn what_it_hangs_on(
    studio: &Studio,
    posterior: &Posterior,
    plan: &Plan,
    shots: &[Shot],
) -> Vec<Share> {
    let params: Vec<&Params> = shots
        .iter()
        .filter_map(|s| posterior.params.get(s.params))
        .collect();
    if params.len() != shots.len() || shots.is_empty() {
        return Vec::new();
    }
    let moving = shots.iter().filter(|s| s.run_m > SEEN_M).count() as f64;
    let log_run: Vec<f64> = if moving >= ENOUGH_MOVE * shots.len() as f64 {
        shots.iter().map(|s| s.run_m.max(SEEN_M).ln()).collect()
    } else {
        let all: Vec<usize> = (0..plan.case.layers.len()).collect();
        let drive = |(s, p): (&Shot, &&Params)| {
            let h = s.drawn.melt_m.iter().sum::<f64>() * s.drawn.longest_factor;
            3.0 * h.ln()
                + core::f64::consts::LN_10 * stack::stack_log10_phi(&plan.case, p, &s.drawn, &all)
                - p.retention_m2.ln()
        };
        shots.iter().zip(&params).map(drive).collect()
    };
    let luck: Vec<Luck> = (0..shots.len()).map(|i| plan.luck(i)).collect();
    let mut unknowns: Vec<(Option<usize>, Unknown)> = Vec::new();
    let mut add = |what: String, glaze: Option<usize>, draws: Vec<f64>| {
        unknowns.push((glaze, Unknown { what, draws }));
    };
    let each = |of: &dyn Fn(&Params) -> f64| params.iter().map(|p| of(p)).collect::<Vec<f64>>();
    let glaze_name = |g: usize| {
        studio
            .glazes
            .get(g)
            .map_or("the glaze", |g| g.name.as_str())
    };

    let mut seen_glazes = Vec::new();
    let mut seen_hands = Vec::new();
    for (l, layer) in plan.case.layers.iter().enumerate() {
        let name = glaze_name(layer.glaze);
        if !seen_glazes.contains(&layer.glaze) {
            for under in &seen_glazes {
                let what = format!("how {} and {name} melt together", glaze_name(*under));
                add(
                    what,
                    None,
                    each(&|p| p.pair(layer.glaze, *under).unwrap_or(0.0)),
                );
            }
            seen_glazes.push(layer.glaze);
            let fluid = each(&|p| p.log10_phi.get(layer.glaze).copied().unwrap_or(0.0));
            add(format!("how fluid {name} is"), Some(layer.glaze), fluid);
        }
        let hand = (layer.hand, layer.method);
        if !seen_hands.contains(&hand) {
            seen_hands.push(hand);
            let who = layer
                .hand
                .and_then(|h| studio.hands.get(h))
                .map_or("whoever glazes it", |h| h.name.as_str());
            add(
                format!("how thick {who} lays it on"),
                None,
                each(&|p| p.ln_laydown_of(layer.hand, layer.method)),
            );
        }
        add(
            format!("how evenly {name} goes on"),
            None,
            luck.iter().map(|x| x.layers[l].coats).collect(),
        );
        add(
            format!("the specific gravity of {name}"),
            None,
            luck.iter().map(|x| x.layers[l].sg).collect(),
        );
    }
    if seen_glazes.len() > 1 {
        add(
            "how far the layers melt into one another".into(),
            None,
            each(&|p| p.mixing),
        );
    }
    add(
        "how much thinner later coats go on".into(),
        None,
        each(&|p| p.thinning_per_coat),
    );
    let hot = |p: &Params| p.kiln_decades(plan.case.firing, plan.case.shelf);
    add("how hot this firing and shelf are".into(), None, each(&hot));
    add(
        "how well the edge holds on bare clay".into(),
        None,
        each(&|p| p.retention_m2.ln()),
    );
    let thickest = shots.iter().map(|s| s.drawn.longest_factor.ln()).collect();
    add("how thick the thickest place is".into(), None, thickest);
    let noise = luck
        .iter()
        .zip(&params)
        .map(|(x, p)| x.noise * p.noise_decades)
        .collect();
    add(
        "what differs from pot to pot for no known reason".into(),
        None,
        noise,
    );

    let found = hangs_on::shares(
        &log_run,
        &unknowns.iter().map(|(_, u)| u.clone()).collect::<Vec<_>>(),
    );
    let mut shares: Vec<Share> = Vec::new();
    for ((glaze, unknown), share) in unknowns.into_iter().zip(found) {
        match shares.iter_mut().find(|s| s.hangs_on.what == unknown.what) {
            Some(same) => same.hangs_on.share += share,
            None => shares.push(Share {
                hangs_on: HangsOn {
                    what: unknown.what,
                    share,
                },
                glaze,
            }),
        }
    }
    shares.retain(|s| s.hangs_on.share >= WORTH_NAMING);
    order::by(&mut shares, |a, b| {
        b.hangs_on.share.total_cmp(&a.hangs_on.share)
    });
    shares.truncate(NAMED);
    shares
}

/// The share from which a glaze that was never logged is worth pointing out.
const WORTH_A_TILE: f64 = 0.1;
/// A run that a ruler reads well and that stays on a tile, m.
const GOOD_READING_M: f64 = 8e-3;

/// The never-logged glaze that the run hangs on most, an index into the studio's, with the brushed coats that a standing tile of it
/// wants for a run of about 8 mm; none where every glaze that matters was logged.
pub fn worth_a_tile(
    studio: &Studio,
    posterior: &Posterior,
    shares: &[Share],
) -> Option<(usize, u32)> {
    let never = |g: usize| {
        posterior
            .summary
            .glazes
            .get(g)
            .is_some_and(|known| known.entries == 0)
    };
    let glaze = shares
        .iter()
        .filter(|s| s.hangs_on.share >= WORTH_A_TILE)
        .find_map(|s| s.glaze.filter(|g| never(*g)))?;
    let recipe = studio.glazes.get(glaze)?;
    let log10_phi = posterior.summary.glazes.get(glaze)?.log10_phi.mean;
    let dry_density = recipe.dry_density.unwrap_or(slurry::DRY_DENSITY);
    let loi = recipe.loss_on_ignition.unwrap_or(laydown::LOI);
    let miss = |coats: u32| {
        let mass = laydown::brush_kg_per_m2(
            f64::from(coats),
            laydown::WET_PER_COAT_M,
            recipe.usual_sg,
            dry_density,
        );
        // The longer of two drips lies about half a sigma of place above the mean.
        let h0_m = laydown::melt_m(mass, loi) * (0.56 * laydown::PLACE_LN_SIGMA).exp();
        let band = Band {
            h0_m,
            length_m: 0.06,
            sin_slope: 1.0,
        };
        let run = tile::run_m(&band, 10f64.powf(log10_phi), tile::RETENTION_M2, RHO);
        (run - GOOD_READING_M).abs()
    };
    // Of coats that run alike, not at all, the most tells most.
    let coats = (1..=6).rev().min_by(|a, b| miss(*a).total_cmp(&miss(*b)))?;
    Some((glaze, coats))
}
