//! One joint draw of everything unknown: what `predict` runs the physics with.
//!
//! Takes nothing by itself (draws are made by the sampler or from the priors); answers how fluid, how thick, how hot, how sure.

use super::normal::{cdf, quantile};
use super::priors;
use crate::physics::{laydown, melt};
use crate::studio::case::{Case, CaseLayer, Method};
use std::sync::Arc;

/// What the numbers of a [`Params`] belong to: shared by all draws of one posterior.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Keys {
    /// Pairs of glazes whose shift was learned, `(a, b)` with `a < b`, indices into the studio's glazes, rising.
    pub pairs: Vec<(usize, usize)>,
    /// Kiln of each firing, a number per name.
    pub kiln_of_firing: Vec<usize>,
    /// Shelves whose effect was learned, `(kiln, shelf)`, rising.
    pub shelves: Vec<(usize, u8)>,
}

/// Shift of the mixed fluidity of one pair, decades.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PairShift {
    /// The part that is the same whichever lies on top.
    pub symmetric: f64,
    /// The part that is added where the later glaze of the pair (the higher index) lies on top, and taken off where the earlier does.
    pub order: f64,
}

/// The look of one glaze as a top layer: where the three answers change, as the natural log of its fired thickness in m.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LookCuts {
    /// From too little to right.
    pub ln_low_m: f64,
    /// From right to too much.
    pub ln_high_m: f64,
}

/// One joint draw.
#[derive(Clone, Debug, PartialEq)]
pub struct Params {
    /// What the entries of the lists below belong to.
    pub keys: Arc<Keys>,
    /// Seed of whatever this draw has to make up from the priors: pairs and shelves that were never logged.
    pub seed: u64,
    /// log10 of the fluidity integral of each glaze at the reference firing, log10(1/Pa).
    pub log10_phi: Vec<f64>,
    /// Shifts of [`Keys::pairs`].
    pub pairs: Vec<PairShift>,
    /// Natural log of what the studio lays down by brush, dip and spray against the book's medians.
    pub ln_method: [f64; 3],
    /// Natural log of each hand's brushed coat against the book's median, [`Params::ln_method`] included.
    pub ln_laydown: Vec<f64>,
    /// The same for a hand without a name.
    pub ln_laydown_anyone: f64,
    /// How far a brush's habit carries over to dipping and spraying, 0–1.
    pub carry: f64,
    /// Effect of each firing beyond its schedule, decades.
    pub firing: Vec<f64>,
    /// The same for a firing that is not named.
    pub firing_any: f64,
    /// Effects of [`Keys::shelves`], decades.
    pub shelf: Vec<f64>,
    /// Drained area that an edge on bare clay holds on a vertical wall, m².
    pub retention_m2: f64,
    /// 0 still separate – 1 melted together.
    pub mixing: f64,
    /// Each coat goes on thinner than the one before by this share, 0–1.
    pub thinning_per_coat: f64,
    /// 1: coats thin anew with each glaze; 0: through the whole stack; between: between.
    pub thinning_anew: f64,
    /// Spread of the log10 of the fluidity integral from piece to piece, decades (sd).
    pub noise_decades: f64,
    /// Spread of thickness from place to place on one piece, natural log (sd): each drip has its own.
    pub place_ln_sigma: f64,
    /// Spread of thickness from coat to coat, natural log (sd); over n coats it averages down by √n.
    pub coat_ln_sigma: f64,
    /// Share of entries that are blunders.
    pub outlier_share: f64,
    /// Share of stuck edges that are written down as such without a ruler.
    pub stuck_by_word: f64,
    /// Share of rulers that are read to whole millimetres.
    pub whole_mm: f64,
    /// Share of opinions stiff/medium/fluid that are wrong.
    pub opinion_wrong: f64,
    /// Look of each glaze as a top layer; none where none was logged.
    pub look: Vec<Option<LookCuts>>,
    /// How much the log of the top layer's share of the stack counts against the log of its thickness.
    pub look_share: f64,
    /// Spread of one judgement of the look, natural log of thickness (sd).
    pub look_sigma: f64,
    /// Relief kept at which crisp becomes softened, 0–1.
    pub crisp_over: f64,
    /// Relief kept at which softened becomes buried, 0–1.
    pub buried_under: f64,
    /// Spread of one judgement of the texture, in ln(−ln(relief kept)) (sd).
    pub texture_sigma: f64,
}

impl Params {
    /// Pair shift where `over` lies on `under`, decades. A pair that was never logged is drawn from its prior: the same value each time for
    /// one draw. `None` for a glaze with itself, which has no shift.
    pub fn pair(&self, over: usize, under: usize) -> Option<f64> {
        if over == under {
            return None;
        }
        let key = (over.min(under), over.max(under));
        let shift = match self.keys.pairs.binary_search(&key) {
            Ok(i) => self.pairs[i],
            Err(_) => PairShift {
                symmetric: melt::PAIR_MEAN_DECADES
                    + melt::PAIR_SD_DECADES * self.made_up([1, key.0 as u64, key.1 as u64]),
                order: melt::PAIR_ORDER_SD_DECADES * self.made_up([2, key.0 as u64, key.1 as u64]),
            },
        };
        Some(
            shift.symmetric
                + if over > under {
                    shift.order
                } else {
                    -shift.order
                },
        )
    }

    /// Effect of the kiln on a place, decades: the firing beyond its schedule and the shelf. A shelf never logged is drawn from its prior, the same
    /// value each time for one draw; a shelf that is not known likewise.
    pub fn kiln_decades(&self, firing: Option<usize>, shelf: Option<u8>) -> f64 {
        let fire = firing
            .and_then(|f| self.firing.get(f))
            .copied()
            .unwrap_or(self.firing_any);
        let kiln = firing
            .and_then(|f| self.keys.kiln_of_firing.get(f))
            .copied();
        let known = kiln
            .zip(shelf)
            .and_then(|key| self.keys.shelves.binary_search(&key).ok());
        let shelf = match known {
            Some(i) => self.shelf[i],
            None => {
                let kiln = kiln.map_or(u64::MAX, |k| k as u64);
                priors::shelf_sd_decades()
                    * self.made_up([3, kiln, shelf.map_or(u64::MAX, u64::from)])
            }
        };
        fire + shelf
    }

    /// Natural log of what this hand lays down by this method against the book's median; `None`: a hand without a name.
    pub fn ln_laydown_of(&self, hand: Option<usize>, method: Method) -> f64 {
        let brushed = hand
            .and_then(|h| self.ln_laydown.get(h))
            .copied()
            .unwrap_or(self.ln_laydown_anyone);
        match method {
            Method::Brush => brushed,
            Method::Dip => self.ln_method[1] + self.carry * (brushed - self.ln_method[0]),
            Method::Spray => self.ln_method[2] + self.carry * (brushed - self.ln_method[0]),
        }
    }

    /// Melt thickness of each layer of a case in this draw, m, the wall first: hands, methods and thinning counted, the spread from coat to coat and place to place not.
    pub fn melt_m(&self, case: &Case) -> Vec<f64> {
        let mut below = 0.0;
        let of = |layer: &CaseLayer| {
            let mut ln = self.ln_laydown_of(layer.hand, layer.method);
            if layer.method == Method::Brush {
                ln += self.ln_thinning(below, layer.units);
                below += layer.units;
            }
            layer.mass_kg_per_m2 * layer.melt_m_per * ln.exp()
        };
        case.layers.iter().map(of).collect()
    }

    /// Natural log of how much less (or more) `coats` brushed coats are because later coats go on thinner, with `below` brushed coats under them in the
    /// stack. The book's coat is the mean of the usual three, so three on bare clay are 0.
    pub fn ln_thinning(&self, below: f64, coats: f64) -> f64 {
        if coats <= 0.0 {
            return 0.0;
        }
        let mean =
            |coats: f64| laydown::effective_coats(0.0, coats, self.thinning_per_coat) / coats;
        (mean(coats) / mean(3.0)).ln()
            + (1.0 - self.thinning_anew) * below * (-self.thinning_per_coat).ln_1p()
    }

    /// Chances of too little, right and too much of a top glaze, `fired_m` thick, the `share` of it in the stack 0–1. They add up to 1.
    /// `None` where no look was ever logged for it.
    pub fn look_chances(&self, glaze: usize, fired_m: f64, share: f64) -> Option<[f64; 3]> {
        let cuts = (*self.look.get(glaze)?)?;
        let x = fired_m.max(1e-9).ln() + self.look_share * share.clamp(1e-6, 1.0).ln();
        let little = cdf((cuts.ln_low_m - x) / self.look_sigma);
        let much = cdf((x - cuts.ln_high_m) / self.look_sigma);
        Some([little, (1.0 - little - much).max(0.0), much])
    }

    /// A standard normal that depends on this draw's seed and the tag alone.
    fn made_up(&self, tag: [u64; 3]) -> f64 {
        Self::made_up_of(self.seed)(tag)
    }

    /// Standard normals that depend on `seed` and a tag alone.
    pub(super) fn made_up_of(seed: u64) -> impl Fn([u64; 3]) -> f64 {
        move |tag| {
            // SplitMix64 (Steele, Lea & Flood 2014): one round per word mixes well enough for draws that are looked at one by one.
            let state = tag.iter().fold(seed, |state, word| {
                splitmix(state ^ word.wrapping_mul(0x9e37_79b9_7f4a_7c15))
            });
            quantile(((splitmix(state) >> 11) as f64 + 0.5) / 9_007_199_254_740_992.0)
        }
    }
}

fn splitmix(state: u64) -> u64 {
    let mut z = state.wrapping_add(0x9e37_79b9_7f4a_7c15);
    z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
    z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
    z ^ (z >> 31)
}
