//! One made-up piece through the kiln: laid on, run drip by drip, and read by someone.
//!
//! Takes a case, a truth and what breaks the model; gives the true run in mm and what is written down. Written apart from the core's likelihood.

use crate::studios::{Breaks, chance, normal};
use glazefall::chacha::ChaCha8Rng;
use glazefall::learn::forward::{EntryBands, drips};
use glazefall::learn::params::Params;
use glazefall::physics::constants::{GAMMA, GRAVITY, RHO};
use glazefall::physics::laydown::PERSON_LN_SIGMA;
use glazefall::physics::texture::{self, Across, Film, Waves};
use glazefall::studio::case::{Case, Method};
use glazefall::studio::document::{Edge, Look, Outcome, Run, RunWord, TextureSeen};
use rand::RngExt;
use rand_distr::{Distribution, StudentT};

/// What came out of one piece.
#[derive(Clone, Debug)]
pub struct Fired {
    /// The run as if the wall went on, mm.
    pub run_mm: f64,
    /// What is written down.
    pub outcome: Outcome,
}

/// One piece through the kiln, drip by drip, and read. `what` says what is read.
pub fn fire(
    case: &Case,
    what: &Outcome,
    truth: &Params,
    breaks: &Breaks,
    words: f64,
    rng: &mut ChaCha8Rng,
) -> Fired {
    let mut melt = truth.melt_m(case);
    let someone = normal(rng);
    for (h, layer) in melt.iter_mut().zip(&case.layers) {
        let mut ln = truth.coat_ln_sigma / layer.units.max(1.0).sqrt() * normal(rng);
        ln += layer.sg_sigma * layer.dln_mass_dsg * normal(rng);
        let carry = if layer.method == Method::Brush {
            1.0
        } else {
            truth.carry
        };
        match layer.hand {
            // Whoever it was: another each time, not the one that a draw of the posterior stands for.
            None => {
                ln += carry
                    * (PERSON_LN_SIGMA * someone - (truth.ln_laydown_anyone - truth.ln_method[0]))
            }
            Some(hand) if breaks.settle > 0.0 => {
                let habit = truth.ln_laydown[hand] - truth.ln_method[0];
                let faded = breaks.settle.powi(case.firing.unwrap_or(0) as i32);
                ln += carry * habit * (faded - 1.0);
            }
            Some(_) => {}
        }
        *h *= ln.exp();
    }
    let noise = if breaks.heavy_tails {
        // 0.7649 is the upper quartile of a t of 3 degrees, 0.6745 the normal's.
        StudentT::new(3.0).expect("3 degrees").sample(rng) * 0.6745 / 0.7649
    } else {
        normal(rng)
    };
    let shelf = match case.shelf {
        Some(_) => truth.kiln_decades(case.firing, case.shelf),
        None => case.firing.map_or(truth.firing_any, |f| truth.firing[f]) + 0.06 * normal(rng),
    };
    let mut kiln = case.phi_shift_decades + shelf + truth.noise_decades * noise;
    let blunder = chance(rng, truth.outlier_share);
    let of_glaze = chance(rng, 0.7);
    if blunder && of_glaze {
        kiln += 0.8 * normal(rng);
    }
    let phi: Vec<f64> = case
        .layers
        .iter()
        .map(|l| truth.log10_phi[l.glaze] + kiln)
        .collect();
    let glaze = |i: usize| case.layers[i].glaze;
    let pair = |lower: usize, upper: usize| truth.pair(glaze(upper), glaze(lower)).unwrap_or(0.0);
    let bands = EntryBands::of(case, what.edge);
    let count = drips(
        case,
        EntryBands::thickness_m(&bands.bands[0], &case.melt_m()),
    );
    let mut run_mm = 0.0_f64;
    for _ in 0..count {
        let place = (truth.place_ln_sigma * normal(rng)).exp();
        let there: Vec<f64> = melt.iter().map(|h| h * place).collect();
        run_mm =
            run_mm.max(1e3 * bands.run_m(&there, &phi, &pair, truth.mixing, truth.retention_m2));
    }
    let any_reading = blunder && !of_glaze;
    let run = read(case, what.edge, run_mm, any_reading, truth, words, rng);
    let look = what.look.and_then(|_| look(case, &melt, truth, rng));
    let texture = what
        .texture
        .and_then(|_| seen(case, &melt, &phi, &pair, truth, rng));
    Fired {
        run_mm,
        outcome: Outcome {
            day: None,
            run: Some(run),
            edge: what.edge,
            look,
            texture,
        },
    }
}

fn read(
    case: &Case,
    edge: Edge,
    run_mm: f64,
    any: bool,
    truth: &Params,
    words: f64,
    rng: &mut ChaCha8Rng,
) -> Run {
    let word = |word, least_mm, most_mm| Run::Word {
        word,
        least_mm,
        most_mm,
    };
    let some = |mm: f64| match mm {
        mm if mm < 0.5 => word(RunWord::DidNotMove, None, Some(0.5)),
        mm if mm < 3.0 => word(RunWord::ALittle, Some(0.5), Some(3.0)),
        mm if mm < 10.0 => word(RunWord::Some, Some(3.0), Some(10.0)),
        _ => word(RunWord::ALot, Some(10.0), None),
    };
    let bare_mm = 1e3 * case.bare_below_m;
    let error_mm = [0.3, 0.5, 1.0][rng.random_range(0..3)];
    let whole = chance(rng, truth.whole_mm);
    let by_ruler = |mm: f64| {
        let step = if whole { 1.0 } else { 0.5 };
        Run::Ruler {
            run_mm: (mm.max(0.0) / step).round() * step,
            error_mm,
        }
    };
    let to_the_end = || {
        let end = if case.is_tile {
            RunWord::RanOffTheEnd
        } else {
            RunWord::ReachedTheFoot
        };
        word(end, Some(bare_mm), None)
    };
    if any {
        let at = 40.0 * rng.random::<f64>();
        return match chance(rng, words) {
            true => match rng.random_range(0..5) {
                4 => to_the_end(),
                some_word => some([0.0, 1.0, 5.0, 20.0][some_word]),
            },
            false => by_ruler(at),
        };
    }
    if edge != Edge::OntoGlaze && run_mm >= bare_mm {
        return to_the_end();
    }
    let by_word = chance(
        rng,
        if run_mm < 0.5 {
            truth.stuck_by_word
        } else {
            words
        },
    );
    if by_word {
        some(run_mm)
    } else {
        by_ruler(run_mm + error_mm * normal(rng))
    }
}

fn look(case: &Case, melt: &[f64], truth: &Params, rng: &mut ChaCha8Rng) -> Option<Look> {
    let (top, layer) = (melt.last()?, case.layers.last()?);
    let total: f64 = melt.iter().sum();
    let chances = truth.look_chances(
        layer.glaze,
        top / layer.melt_m_per * layer.fired_m_per,
        top / total,
    )?;
    if chance(rng, truth.outlier_share) {
        return Some([Look::TooLittle, Look::Right, Look::TooMuch][rng.random_range(0..3)]);
    }
    let u: f64 = rng.random();
    Some(match u {
        u if u < chances[0] => Look::TooLittle,
        u if u < chances[0] + chances[1] => Look::Right,
        _ => Look::TooMuch,
    })
}

fn seen(
    case: &Case,
    melt: &[f64],
    phi: &[f64],
    pair: &dyn Fn(usize, usize) -> f64,
    truth: &Params,
    rng: &mut ChaCha8Rng,
) -> Option<TextureSeen> {
    let marks = case.texture.as_ref()?;
    let waves = Waves {
        wavelength_m: marks.repeat_m,
        depth_m: marks.depth_m,
        across: Across::Level,
        recess_share: 0.0,
    };
    let film = Film {
        melt_m: melt.iter().sum(),
        phi_per_pa: 10_f64.powf(glazefall::physics::melt::stack_log10_phi(
            melt,
            phi,
            pair,
            truth.mixing,
        )),
        weight_n_per_m3: RHO * GRAVITY,
        gamma_n_per_m: GAMMA,
        sin_slope: case.sin_slope,
    };
    if chance(rng, truth.outlier_share) {
        return Some(
            [
                TextureSeen::Crisp,
                TextureSeen::Softened,
                TextureSeen::Buried,
            ][rng.random_range(0..3)],
        );
    }
    let kept = texture::relief_kept(&waves, &film).clamp(1e-6, 1.0 - 1e-6);
    let judged = (-kept.ln()).ln() + truth.texture_sigma * normal(rng);
    let cut = |kept: f64| (-kept.ln()).ln();
    Some(match judged {
        x if x <= cut(truth.crisp_over) => TextureSeen::Crisp,
        x if x <= cut(truth.buried_under) => TextureSeen::Softened,
        _ => TextureSeen::Buried,
    })
}
