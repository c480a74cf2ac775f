//! One piece through the kiln: drawn from a known truth, and written down as people write.
//!
//! Takes a case, the truth as one joint draw, and a seeded generator; gives what came out of the kiln and the outcome that the log
//! would hold. For the invented demo studio and for checks of learning by simulation; it is no data about any real kiln.

use super::count;
use super::drawn::{Drawn, LayerLuck, Luck};
use super::stack;
use crate::chacha::ChaCha8Rng;
use crate::learn::forward::EntryBands;
use crate::learn::params::Params;
use crate::studio::case::Case;
use crate::studio::document::{Edge, Look, Outcome, Run, RunWord, TextureSeen};
use rand::RngExt;
use rand_distr::{Distribution, StandardNormal};

/// What came out of the kiln.
#[derive(Clone, Debug)]
pub struct Simulated {
    /// Thicknesses and fluidities.
    pub drawn: Drawn,
    /// Longest drip beyond the lowest glaze line, as if the wall went on, m.
    pub run_m: f64,
    /// Longest drip of the last layer's own edge on the glaze below it, m.
    pub run_onto_glaze_m: f64,
    /// Relief kept, 0–1; none without a glazed texture.
    pub relief_kept: Option<f64>,
    /// The last layer's look as judged; none where the truth has no look for it.
    pub look: Option<Look>,
    /// The texture as judged.
    pub texture: Option<TextureSeen>,
}

/// How a person writes down what they see.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Writing {
    /// Which edge they read.
    pub edge: Edge,
    /// Reading error, mm (standard deviation), 0 or more.
    pub error_mm: f64,
    /// Share of runs that they say in a word, 0–1.
    pub by_word: f64,
    /// Share of looks and textures that they note, 0–1.
    pub notes_look: f64,
}

/// Fires one piece. `recess_share`: the studio's setting.
pub fn simulate(case: &Case, truth: &Params, recess_share: f64, rng: &mut ChaCha8Rng) -> Simulated {
    let mut normal = || -> f64 { StandardNormal.sample(rng) };
    let layers = case.layers.iter().map(|_| LayerLuck {
        coats: normal(),
        sg: normal(),
    });
    let mut luck = Luck {
        layers: layers.collect(),
        noise: normal(),
        longest: 0.0,
    };
    luck.longest = rng.random();
    let drips = stack::drips(case, &EntryBands::of(case, Edge::OntoBareClay));
    let drawn = Drawn::new(case, truth, f64::from(drips), &luck);
    let run_at = |edge| {
        stack::run_m(
            case,
            &EntryBands::of(case, edge),
            truth,
            &drawn,
            drawn.longest_factor,
        )
    };
    let (run_m, run_onto_glaze_m) = (run_at(Edge::OntoBareClay), run_at(Edge::OntoGlaze));
    let relief_kept = count::relief_of(case, truth, &drawn, recess_share);
    let look = count::look_of(case, truth, &drawn).map(|chances| {
        let u: f64 = rng.random();
        match u {
            u if u < chances[0] => Look::TooLittle,
            u if u < chances[0] + chances[1] => Look::Right,
            _ => Look::TooMuch,
        }
    });
    let texture = relief_kept.map(|kept| {
        // Judged on the scale on which levelling is a shift: ln(−ln kept).
        let shift: f64 = StandardNormal.sample(rng);
        let judged =
            (-(-kept.clamp(1e-6, 1.0 - 1e-6).ln()) * (truth.texture_sigma * shift).exp()).exp();
        match judged {
            j if j >= truth.crisp_over => TextureSeen::Crisp,
            j if j >= truth.buried_under => TextureSeen::Softened,
            _ => TextureSeen::Buried,
        }
    });
    Simulated {
        drawn,
        run_m,
        run_onto_glaze_m,
        relief_kept,
        look,
        texture,
    }
}

impl Simulated {
    /// What the log would hold: rounding, words, edges that did not move or went over the end.
    pub fn written_down(
        &self,
        case: &Case,
        truth: &Params,
        how: &Writing,
        rng: &mut ChaCha8Rng,
    ) -> Outcome {
        let true_mm = 1e3
            * if how.edge == Edge::OntoGlaze {
                self.run_onto_glaze_m
            } else {
                self.run_m
            };
        let bare_mm = case.bare_below_m * 1e3;
        let error: f64 = StandardNormal.sample(rng);
        let read_mm = (true_mm + how.error_mm * error).max(0.0);
        let (stuck, worded, whole) = (
            rng.random::<f64>(),
            rng.random::<f64>(),
            rng.random::<f64>(),
        );
        let in_words = |mm: f64| {
            let fits = |(_, _, most): &&(RunWord, Option<f64>, Option<f64>)| {
                most.is_none_or(|most| mm < most)
            };
            RunWord::RANGES_MM
                .iter()
                .find(fits)
                .unwrap_or(&RunWord::RANGES_MM[0])
        };
        let run = if how.edge != Edge::OntoGlaze && true_mm >= bare_mm {
            let word = if case.is_tile {
                RunWord::RanOffTheEnd
            } else {
                RunWord::ReachedTheFoot
            };
            Run::Word {
                word,
                least_mm: Some(bare_mm),
                most_mm: None,
            }
        } else if worded < how.by_word
            || in_words(true_mm).0 == RunWord::DidNotMove && stuck < truth.stuck_by_word
        {
            let (word, least_mm, most_mm) = *in_words(true_mm);
            Run::Word {
                word,
                least_mm,
                most_mm,
            }
        } else {
            let step = if whole < truth.whole_mm { 1.0 } else { 0.5 };
            Run::Ruler {
                run_mm: (read_mm / step).round() * step,
                error_mm: how.error_mm.max(0.1),
            }
        };
        let notes = rng.random::<f64>() < how.notes_look;
        Outcome {
            day: None,
            run: Some(run),
            edge: how.edge,
            look: self.look.filter(|_| notes),
            texture: self.texture.filter(|_| notes),
        }
    }
}
