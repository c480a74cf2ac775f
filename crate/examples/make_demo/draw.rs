//! What comes out of the kiln in the demo: drawn forward from the model's own priors and spreads.
//!
//! Takes the scenario and one seed; gives the whole studio. The truth that is drawn is kept out of the document, and
//! nothing is ever checked against it.

use std::collections::BTreeMap;

use glazefall::chacha::ChaCha8Rng;
use glazefall::physics::firing::{self, GlazeStiffness};
use glazefall::physics::laydown::{self, FIRED_PER_MELT};
use glazefall::physics::melt;
use glazefall::physics::tile::{self, Band};
use glazefall::studio::case::{Case, CaseLayer, Cases, Method};
use glazefall::studio::codes;
use glazefall::studio::document::{
    Edge, Entry, GlazeKind, How, Look, Outcome, Run, RunWord, Studio, TextureKind, TextureSeen,
};
use glazefall::studio::error::Refusal;
use rand::{RngExt, SeedableRng};
use rand_distr::{Distribution, StandardNormal};

use super::{entries, scenario};

/// The seed, taken for a lively picture out of forty: glazes that run and glazes that stand, hands that load thick and thin.
const SEED: u64 = 28;
/// Share of entries that are written down wrong: layers in the wrong order, a coat or two too many.
const BLUNDERS: f64 = 0.04;

/// Fired thickness of a top glaze below and above which its look is judged too little or too much, m, and the spread of
/// one judgement (practice: three brushed coats are the rule).
const LOOK_M: (f64, f64) = (120e-6, 330e-6);
const LOOK_LN_SIGMA: f64 = 0.2;
/// Relief kept above which a texture is called crisp, and below which buried.
const CRISP_OVER: f64 = 0.7;
const BURIED_UNDER: f64 = 0.3;

/// What nobody in the class knows.
struct Truth {
    log10_phi: Vec<f64>,
    hand: Vec<f64>,
    method: [f64; 3],
    carry: f64,
    firing: Vec<f64>,
    shelf: Vec<f64>,
    pair: BTreeMap<(usize, usize), f64>,
    mixing: f64,
    retention_m2: f64,
    thinning: f64,
    noise: f64,
}

fn normal(rng: &mut ChaCha8Rng) -> f64 {
    StandardNormal.sample(rng)
}

impl Truth {
    fn draw(studio: &Studio, rng: &mut ChaCha8Rng) -> Self {
        let log10_phi = studio.glazes.iter().map(|glaze| {
            let (mean, sd) = firing::prior_log10_phi(match glaze.kind {
                GlazeKind::Stiff => GlazeStiffness::Stiff,
                GlazeKind::Medium => GlazeStiffness::Medium,
                GlazeKind::Fluid => GlazeStiffness::Fluid,
                GlazeKind::NotKnown => GlazeStiffness::NotKnown,
            });
            mean + sd * normal(rng)
        });
        let log10_phi: Vec<f64> = log10_phi.collect();
        let mut pair = BTreeMap::new();
        for under in 0..studio.glazes.len() {
            for over in under + 1..studio.glazes.len() {
                let both = melt::PAIR_MEAN_DECADES + melt::PAIR_SD_DECADES * normal(rng);
                let order = melt::PAIR_ORDER_SD_DECADES * normal(rng);
                pair.insert((under, over), both + order);
                pair.insert((over, under), both - order);
            }
        }
        let shelf_sd = firing::shelf_sd_decades(firing::SLOPE_DECADES_PER_100K);
        Self {
            log10_phi,
            pair,
            hand: (0..studio.hands.len())
                .map(|_| laydown::PERSON_LN_SIGMA * normal(rng))
                .collect(),
            method: [
                laydown::WET_LAYDOWN_LN_SIGMA * normal(rng),
                // Half of what one dip of one book may differ by: thickness goes with the root of K.
                0.5 * laydown::CAKE_K_LN_SIGMA * normal(rng),
                laydown::SPRAY_LN_SIGMA * normal(rng),
            ],
            carry: 0.4,
            firing: (0..studio.firings.len())
                .map(|_| firing::FIRING_SD_DECADES * normal(rng))
                .collect(),
            shelf: (0..4).map(|_| shelf_sd * normal(rng)).collect(),
            mixing: melt::MIXING_MEAN,
            retention_m2: tile::RETENTION_M2 * (tile::RETENTION_LN_SIGMA * normal(rng)).exp(),
            thinning: 0.06,
            noise: 0.15,
        }
    }

    /// Natural log of what one layer got against the book, its coats and its SG reading drawn.
    fn ln_laid(&self, layer: &CaseLayer, below: f64, rng: &mut ChaCha8Rng) -> f64 {
        let hand = layer
            .hand
            .and_then(|hand| self.hand.get(hand))
            .copied()
            .unwrap_or(0.0);
        let habit = match layer.method {
            Method::Brush => self.method[0] + hand,
            Method::Dip => self.method[1] + self.carry * hand,
            Method::Spray => self.method[2] + self.carry * hand,
        };
        let thin = match layer.method {
            Method::Brush => {
                (laydown::effective_coats(below, layer.units, self.thinning) / layer.units).ln()
            }
            _ => 0.0,
        };
        let coats = laydown::COAT_LN_SIGMA / layer.units.sqrt() * normal(rng);
        habit + thin + coats + layer.dln_mass_dsg * layer.sg_sigma * normal(rng)
    }
}

/// What a piece did.
struct Fate {
    /// Longest drip below the edge, m.
    run_m: f64,
    /// Fired thickness of the last layer, m.
    top_fired_m: f64,
    /// Share of the clay's relief that is left; none without texture.
    relief: Option<f64>,
}

fn fate(case: &Case, edge: Edge, truth: &Truth, rng: &mut ChaCha8Rng) -> Fate {
    let mut below = 0.0;
    let mut melt_m = Vec::new();
    for layer in &case.layers {
        let ln = truth.ln_laid(layer, below, rng);
        if layer.method == Method::Brush {
            below += layer.units;
        }
        melt_m.push(layer.mass_kg_per_m2 * layer.melt_m_per * ln.exp());
    }
    let shelf = case
        .shelf
        .and_then(|shelf| truth.shelf.get(usize::from(shelf)))
        .copied()
        .unwrap_or(0.0);
    let kiln = case
        .firing
        .and_then(|firing| truth.firing.get(firing))
        .copied()
        .unwrap_or(0.0);
    let shift = case.phi_shift_decades + shelf + kiln + truth.noise * normal(rng);
    let log10_phi: Vec<f64> = case
        .layers
        .iter()
        .map(|layer| truth.log10_phi[layer.glaze] + shift)
        .collect();
    let pair = |under: usize, over: usize| {
        let key = (case.layers[under].glaze, case.layers[over].glaze);
        truth.pair.get(&key).copied().unwrap_or(0.0)
    };
    let total: f64 = melt_m.iter().sum();
    let drips = tile::drip_count(case.around_m, total, case.sin_slope).clamp(1.0, 1000.0) as usize;
    let mut run_m = 0.0_f64;
    for _ in 0..drips {
        let here = (laydown::PLACE_LN_SIGMA * normal(rng)).exp();
        let there: Vec<f64> = melt_m.iter().map(|h| h * here).collect();
        run_m = run_m.max(run_of(case, edge, &there, &log10_phi, &pair, truth));
    }
    let relief = case.texture.map(|texture| {
        // Levelling of a small sine in a thin film (Orchard 1962), without its gravity part: enough for a class.
        let phi = 10_f64.powf(melt::stack_log10_phi(
            &melt_m,
            &log10_phi,
            &pair,
            truth.mixing,
        ));
        let k = 2.0 * std::f64::consts::PI / texture.repeat_m;
        let along = if texture.kind == TextureKind::UprightFlutes {
            1.0
        } else {
            0.8
        };
        (-along * phi * tile::GAMMA * k.powi(4) * total.powi(3) / 3.0).exp()
    });
    let top = melt_m.last().copied().unwrap_or(0.0);
    Fate {
        run_m,
        top_fired_m: top * FIRED_PER_MELT,
        relief,
    }
}

/// The furthest of all layer edges, each the lower end of a band with the glaze above it spread over its length.
fn run_of(
    case: &Case,
    edge: Edge,
    melt_m: &[f64],
    log10_phi: &[f64],
    pair: &dyn Fn(usize, usize) -> f64,
    truth: &Truth,
) -> f64 {
    let own = case.layers.last().map_or(0.0, |layer| layer.to_m);
    let (read, held) = if edge == Edge::OntoGlaze {
        (own, 0.0)
    } else {
        (case.lowest_m, truth.retention_m2)
    };
    let edges = case
        .layers
        .iter()
        .map(|layer| layer.to_m)
        .filter(|e| edge != Edge::OntoGlaze || *e == own);
    let run = |edge_m: f64| {
        let there: Vec<f64> = case
            .layers
            .iter()
            .zip(melt_m)
            .map(|(layer, h)| h * ((layer.to_m.min(edge_m) - layer.from_m) / edge_m).max(0.0))
            .collect();
        let phi = 10_f64.powf(melt::stack_log10_phi(&there, log10_phi, pair, truth.mixing));
        let band = Band {
            h0_m: there.iter().sum(),
            length_m: edge_m,
            sin_slope: case.sin_slope,
        };
        tile::run_m(&band, phi, held, tile::RHO) - (read - edge_m)
    };
    edges.map(run).fold(0.0, f64::max)
}

/// What somebody writes down of it, by ruler or by word.
fn written(case: &Case, edge: Edge, fate: &Fate, rng: &mut ChaCha8Rng) -> Run {
    let read_mm = fate.run_m * 1e3 + 0.7 * normal(rng);
    let word = |word, least_mm, most_mm| Run::Word {
        word,
        least_mm,
        most_mm,
    };
    let bare_mm = case.bare_below_m * 1e3;
    if edge != Edge::OntoGlaze && fate.run_m * 1e3 >= bare_mm {
        let end = if case.is_tile {
            RunWord::RanOffTheEnd
        } else {
            RunWord::ReachedTheFoot
        };
        return word(end, Some(bare_mm.round()), None);
    }
    let by_word = rng.random_bool(0.2);
    if read_mm < 0.8 {
        // A stuck edge is mostly written down without a ruler.
        return if rng.random_bool(0.7) {
            word(RunWord::DidNotMove, None, Some(1.0))
        } else {
            Run::Ruler {
                run_mm: read_mm.max(0.0).round(),
                error_mm: 1.0,
            }
        };
    }
    match read_mm {
        mm if by_word && mm < 3.0 => word(RunWord::ALittle, Some(0.5), Some(3.0)),
        mm if by_word && mm < 10.0 => word(RunWord::Some, Some(3.0), Some(10.0)),
        _ if by_word => word(RunWord::ALot, Some(10.0), None),
        mm => Run::Ruler {
            run_mm: mm.round(),
            error_mm: 1.0,
        },
    }
}

fn outcome(
    entry: &Entry,
    case: &Case,
    edge: Edge,
    day: &str,
    truth: &Truth,
    rng: &mut ChaCha8Rng,
) -> Outcome {
    let fate = fate(case, edge, truth, rng);
    let run = written(case, edge, &fate, rng);
    let seen = fate.top_fired_m.ln() + LOOK_LN_SIGMA * normal(rng);
    let look = if seen < LOOK_M.0.ln() {
        Look::TooLittle
    } else if seen > LOOK_M.1.ln() {
        Look::TooMuch
    } else {
        Look::Right
    };
    // Not everybody has an opinion of every tile.
    let look = (rng.random_bool(0.8) || entry.form != "test-tile").then_some(look);
    let texture = fate.relief.map(|kept| {
        let seen = kept + 0.08 * normal(rng);
        if seen > CRISP_OVER {
            TextureSeen::Crisp
        } else if seen < BURIED_UNDER {
            TextureSeen::Buried
        } else {
            TextureSeen::Softened
        }
    });
    Outcome {
        day: Some(day.into()),
        run: Some(run),
        edge,
        look,
        texture,
    }
}

/// Somebody's slip of the pen.
fn blunder(entry: &mut Entry) {
    if entry.layers.len() > 1 {
        entry.layers.reverse();
    } else if let Some(How::Brush { coats }) = entry.layers.first_mut().map(|layer| &mut layer.how)
    {
        *coats += 2;
    }
}

/// The demo studio.
///
/// # Errors
/// A refusal where the scenario does not fit together.
pub fn demo() -> Result<Studio, Refusal> {
    let mut studio = scenario::studio();
    let mut rng = ChaCha8Rng::seed_from_u64(SEED);
    let mut slips = ChaCha8Rng::seed_from_u64(SEED + 1);
    let truth = Truth::draw(&studio, &mut rng);
    for (at, (mut entry, edge)) in entries::log().into_iter().enumerate() {
        entry.id = format!("e-{}", at + 1);
        entry.code = codes::fresh_code(&studio);
        let case = Case::of(&studio, &entry)?;
        // Read on the day after the firing.
        let firing = case.firing.unwrap_or(0);
        let opened = [
            "2026-09-19",
            "2026-09-26",
            "2026-10-10",
            "2026-10-24",
            "2026-11-07",
            "2026-11-21",
        ][firing.min(5)];
        entry.outcome = Some(outcome(&entry, &case, edge, opened, &truth, &mut rng));
        if slips.random_bool(BLUNDERS) {
            blunder(&mut entry);
        }
        studio.entries.push(entry);
    }
    for (at, mut plan) in entries::plans().into_iter().enumerate() {
        plan.id = format!("plan-{}", at + 1);
        plan.code = codes::fresh_code(&studio);
        studio.entries.push(plan);
    }
    let mut weigh_ins = entries::weigh_ins();
    let cases = Cases::new(&studio);
    for weigh_in in &mut weigh_ins {
        // Grams only matter to what was weighed, which is what is drawn here.
        weigh_in.gained_g = 1.0;
        let seen = cases.weigh_in(weigh_in)?;
        let ln = truth.ln_laid(&seen.layer, 0.0, &mut rng);
        let grams = seen.layer.mass_kg_per_m2 * ln.exp() * weigh_in.area_cm2 * 1e-1;
        // A kitchen balance that shows hundredths.
        weigh_in.gained_g = ((grams + weigh_in.error_g * normal(&mut rng)) * 100.0).round() / 100.0;
    }
    studio.weigh_ins = weigh_ins;
    Ok(studio)
}
