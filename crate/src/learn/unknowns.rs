//! Every unknown of a studio as one list of real numbers, each with its prior.
//!
//! Takes a studio and what its log has in it; gives the coordinates that the sampler moves in, their priors, and the way from a point to [`Params`].

use super::mixture::{Mixture, Part};
use super::mode::Mode;
use super::normal::cdf;
use super::params::{Keys, LookCuts, PairShift, Params};
use super::prior::Prior;
use super::priors::{self, Opinion};
use crate::chacha::ChaCha8Rng;
use crate::physics::{laydown, melt, tile};
use crate::studio::document::Studio;
use rand::RngExt;
use std::sync::Arc;

/// Places of the numbers that a studio has one of, counted from [`Unknowns::globals`].
#[allow(
    missing_docs,
    reason = "each is named for the field of Params that it becomes"
)]
pub mod global {
    pub const LN_BRUSH: usize = 0;
    pub const LN_DIP: usize = 1;
    pub const LN_SPRAY: usize = 2;
    pub const CARRY: usize = 3;
    pub const LN_RETENTION: usize = 4;
    pub const MIXING: usize = 5;
    pub const THINNING: usize = 6;
    pub const ANEW: usize = 7;
    pub const NOISE: usize = 8;
    pub const PLACE: usize = 9;
    pub const COAT: usize = 10;
    pub const OUTLIER: usize = 11;
    pub const STUCK: usize = 12;
    pub const WHOLE_MM: usize = 13;
    pub const OPINION_WRONG: usize = 14;
    pub const LOOK_SHARE: usize = 15;
    pub const LOOK_SIGMA: usize = 16;
    pub const CRISP_CUT: usize = 17;
    pub const BURIED_GAP: usize = 18;
    pub const TEXTURE_SIGMA: usize = 19;
    pub const COUNT: usize = 20;
}

/// What of a studio has an unknown of its own in the list.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Used {
    /// Firings with entries, rising.
    pub firings: Vec<usize>,
    /// Glazes with entries, rising.
    pub glazes: Vec<usize>,
    /// Hands with entries or weigh-ins, rising.
    pub hands: Vec<usize>,
    /// Pairs that meet, `(a, b)` with `a < b`, rising.
    pub pairs: Vec<(usize, usize)>,
    /// Shelves with entries, `(kiln, shelf)`, rising.
    pub shelves: Vec<(usize, u8)>,
    /// Glazes with a look as the top layer, rising.
    pub looks: Vec<usize>,
}

/// The list of a studio's unknowns. Firings come first: no entry has two, so their part of the precision matrix is diagonal.
#[derive(Clone, Debug)]
pub struct Unknowns {
    /// Prior of each coordinate; a glaze's says what holds if the studio's opinion of it is right.
    pub priors: Vec<Prior>,
    /// What is thought of every glaze of the studio before anything is logged.
    pub opinions: Vec<Opinion>,
    /// What has an unknown of its own.
    pub used: Used,
    /// Names of the numbers for [`Params`].
    pub keys: Arc<Keys>,
    firing_sd: Vec<f64>,
    hands: usize,
    glazes: usize,
}

impl Unknowns {
    /// The unknowns of a studio of which `used` stands in the log.
    pub fn new(studio: &Studio, used: Used) -> Self {
        let kiln_of_firing = kilns(studio);
        let keys = Keys {
            pairs: used.pairs.clone(),
            kiln_of_firing,
            shelves: used.shelves.clone(),
        };
        let mut priors = Vec::new();
        let firing_sd: Vec<f64> = studio
            .firings
            .iter()
            .map(|f| priors::firing_sd_decades(f.schedule.is_some()))
            .collect();
        priors.extend(used.firings.iter().map(|f| Prior::Normal {
            mean: 0.0,
            sd: firing_sd[*f],
        }));
        let opinions: Vec<Opinion> = studio.glazes.iter().map(priors::opinion).collect();
        priors.extend(used.glazes.iter().map(|g| opinions[*g].prior()));
        for _ in &used.hands {
            priors.push(Prior::Normal {
                mean: 0.0,
                sd: laydown::PERSON_LN_SIGMA,
            });
        }
        priors.extend(global_priors());
        for _ in &used.pairs {
            priors.push(Prior::Normal {
                mean: melt::PAIR_MEAN_DECADES,
                sd: melt::PAIR_SD_DECADES,
            });
            priors.push(Prior::Normal {
                mean: 0.0,
                sd: melt::PAIR_ORDER_SD_DECADES,
            });
        }
        priors.extend(used.shelves.iter().map(|_| Prior::Normal {
            mean: 0.0,
            sd: priors::shelf_sd_decades(),
        }));
        for _ in &used.looks {
            let (median, sd) = priors::LOOK_MIDDLE_M;
            priors.push(Prior::Normal {
                mean: median.ln(),
                sd,
            });
            let (median, ln_sigma) = priors::LOOK_HALF_WIDTH;
            priors.push(Prior::Width {
                median,
                ln_sigma,
                unit: median,
            });
        }
        Self {
            firing_sd,
            hands: studio.hands.len(),
            glazes: studio.glazes.len(),
            priors,
            opinions,
            used,
            keys: Arc::new(keys),
        }
    }

    /// Makes coordinates to fit how well their values are known at a mode, and puts the mode into them.
    pub fn fit(&mut self, mode: &mut Mode) {
        for place in 0..self.len() {
            let prior = self.priors[place];
            if prior.made_by().is_none() {
                continue;
            }
            let mut variance = vec![0.0; self.len()];
            variance[place] = 1.0;
            mode.factor.solve(&mut variance);
            let (at, sd) = (mode.at[place], variance[place].sqrt());
            let value = prior.value(at);
            let made_by = prior.fits(prior.value(at - sd), value, prior.value(at + sd));
            if made_by.is_finite() {
                self.priors[place].make_by(made_by);
                mode.at[place] = self.priors[place].at_value(value);
            }
        }
    }

    /// What each coordinate is made by, nothing for those that cannot be made to fit.
    pub fn made_by(&self) -> Vec<f64> {
        let by = |prior: &Prior| prior.made_by().unwrap_or_default();
        self.priors.iter().map(by).collect()
    }

    /// Makes coordinates by what [`Self::made_by`] gave.
    pub fn make_by(&mut self, made_by: &[f64]) {
        for (prior, by) in self.priors.iter_mut().zip(made_by) {
            prior.make_by(*by);
        }
    }

    /// The same in coordinates as they were before they were made to fit.
    pub fn unfitted(&self) -> Self {
        let mut plain = self.clone();
        for prior in &mut plain.priors {
            *prior = prior.plain();
        }
        plain
    }

    /// A point in coordinates made to fit, in those of [`Self::unfitted`].
    pub fn unfit(&self, point: &mut [f64]) {
        for (prior, x) in self.priors.iter().zip(point) {
            *x = prior.unfit(*x);
        }
    }

    /// How many coordinates there are.
    pub fn len(&self) -> usize {
        self.priors.len()
    }

    /// Never: there are always the studio's own numbers.
    pub fn is_empty(&self) -> bool {
        self.priors.is_empty()
    }

    /// How many of the first coordinates never meet one another in an entry: the firings.
    pub fn separate(&self) -> usize {
        self.used.firings.len()
    }

    /// Place of a firing, an index into the studio's firings, if it stands in the log.
    pub fn firing(&self, firing: usize) -> Option<usize> {
        self.used.firings.binary_search(&firing).ok()
    }

    /// Place of a glaze, an index into the studio's glazes, if it stands in the log.
    pub fn glaze(&self, glaze: usize) -> Option<usize> {
        self.used
            .glazes
            .binary_search(&glaze)
            .ok()
            .map(|number| self.glaze_number(number))
    }

    /// Place of a glaze by its number in [`Used::glazes`].
    pub fn glaze_number(&self, number: usize) -> usize {
        self.used.firings.len() + number
    }

    /// Place of a hand, an index into the studio's hands, if it stands in the log.
    pub fn hand(&self, hand: usize) -> Option<usize> {
        self.used
            .hands
            .binary_search(&hand)
            .ok()
            .map(|number| self.glaze_number(self.used.glazes.len()) + number)
    }

    /// Place of the first of the studio's own numbers; see [`global`].
    pub fn globals(&self) -> usize {
        self.glaze_number(self.used.glazes.len()) + self.used.hands.len()
    }

    /// Place of a pair's symmetric part, its order part right after, by its number in [`Used::pairs`].
    pub fn pair(&self, pair: usize) -> usize {
        self.globals() + global::COUNT + 2 * pair
    }

    /// Place of a shelf by its number in [`Used::shelves`].
    pub fn shelf(&self, shelf: usize) -> usize {
        self.pair(self.used.pairs.len()) + shelf
    }

    /// Place of a look's middle, its half width right after, by its number in [`Used::looks`].
    pub fn look(&self, look: usize) -> usize {
        self.shelf(self.used.shelves.len()) + 2 * look
    }

    /// Glazes of which there is an opinion, which holds or is wrong.
    pub fn mixtures(&self, at: &[f64]) -> Vec<Mixture> {
        let place = self.globals() + global::OPINION_WRONG;
        let wrong = self.priors[place].value(at[place]);
        let part = |share: f64, of: Opinion| Part {
            share,
            mean: of.mean,
            sd: of.sd,
        };
        let mut all = Vec::new();
        for (number, glaze) in self.used.glazes.iter().enumerate() {
            let opinion = self.opinions[*glaze];
            if opinion.can_be_wrong {
                all.push(Mixture {
                    place: self.glaze_number(number),
                    parts: [part(1.0 - wrong, opinion), part(wrong, priors::WRONG)],
                });
            }
        }
        all
    }

    /// The priors' middles.
    pub fn middle(&self) -> Vec<f64> {
        self.priors.iter().map(Prior::middle).collect()
    }

    /// A point drawn from the priors.
    pub fn draw(&self, rng: &mut ChaCha8Rng) -> Vec<f64> {
        let mut point: Vec<f64> = self.priors.iter().map(|p| p.draw(rng)).collect();
        let place = self.globals() + global::OPINION_WRONG;
        let wrong = self.priors[place].value(point[place]);
        for (number, glaze) in self.used.glazes.iter().enumerate() {
            if self.opinions[*glaze].can_be_wrong && rng.random::<f64>() < wrong {
                point[self.glaze_number(number)] = priors::WRONG_OPINION.draw(rng);
            }
        }
        point
    }

    /// The point as the numbers that the physics is run with; what has no coordinate is made up from `seed` by its prior.
    pub fn params(&self, point: &[f64], seed: u64) -> Params {
        let own = &point[self.globals()..self.globals() + global::COUNT];
        let value = |which: usize| self.priors[self.globals() + which].value(own[which]);
        let made_up = Params::made_up_of(seed);
        let brush = own[global::LN_BRUSH];
        let mut look = vec![None; self.glazes];
        for (number, glaze) in self.used.looks.iter().enumerate() {
            let place = self.look(number);
            let half = self.priors[place + 1].value(point[place + 1]);
            let middle = point[place];
            look[*glaze] = Some(LookCuts {
                ln_low_m: middle - half,
                ln_high_m: middle + half,
            });
        }
        let crisp_cut = own[global::CRISP_CUT];
        let firing = (0..self.keys.kiln_of_firing.len()).map(|f| match self.firing(f) {
            Some(place) => point[place],
            None => self.firing_sd[f] * made_up([4, f as u64, 0]),
        });
        let wrong = value(global::OPINION_WRONG);
        let glaze = |g: usize| match self.glaze(g) {
            Some(place) => point[place],
            None => {
                let opinion = &self.opinions[g];
                let is_wrong = opinion.can_be_wrong && cdf(made_up([6, g as u64, 0])) < wrong;
                let prior = if is_wrong {
                    priors::WRONG_OPINION
                } else {
                    opinion.prior()
                };
                prior.value(prior.at(made_up([6, g as u64, 1])))
            }
        };
        let hand = |h: usize| match self.hand(h) {
            Some(place) => point[place],
            None => laydown::PERSON_LN_SIGMA * made_up([7, h as u64, 0]),
        };
        Params {
            seed,
            log10_phi: (0..self.glazes).map(glaze).collect(),
            pairs: (0..self.used.pairs.len())
                .map(|p| PairShift {
                    symmetric: point[self.pair(p)],
                    order: point[self.pair(p) + 1],
                })
                .collect(),
            ln_method: [brush, own[global::LN_DIP], own[global::LN_SPRAY]],
            ln_laydown: (0..self.hands).map(|h| brush + hand(h)).collect(),
            ln_laydown_anyone: brush + laydown::PERSON_LN_SIGMA * made_up([5, 0, 0]),
            carry: value(global::CARRY),
            firing: firing.collect(),
            firing_any: priors::firing_sd_decades(true) * made_up([4, u64::MAX, 0]),
            shelf: (0..self.used.shelves.len())
                .map(|s| point[self.shelf(s)])
                .collect(),
            retention_m2: value(global::LN_RETENTION),
            mixing: value(global::MIXING),
            thinning_per_coat: value(global::THINNING).min(0.95),
            thinning_anew: value(global::ANEW),
            noise_decades: value(global::NOISE),
            place_ln_sigma: value(global::PLACE),
            coat_ln_sigma: value(global::COAT),
            outlier_share: value(global::OUTLIER),
            stuck_by_word: value(global::STUCK),
            whole_mm: value(global::WHOLE_MM),
            opinion_wrong: wrong,
            look,
            look_share: value(global::LOOK_SHARE),
            look_sigma: value(global::LOOK_SIGMA),
            crisp_over: (-crisp_cut.exp()).exp(),
            buried_under: (-(crisp_cut + value(global::BURIED_GAP)).exp()).exp(),
            texture_sigma: value(global::TEXTURE_SIGMA),
            keys: Arc::clone(&self.keys),
        }
    }
}

/// Kiln of each firing: a number per name, in the order in which the names come.
pub fn kilns(studio: &Studio) -> Vec<usize> {
    let mut names: Vec<&str> = Vec::new();
    let mut of = Vec::with_capacity(studio.firings.len());
    for firing in &studio.firings {
        let known = names.iter().position(|name| *name == firing.kiln);
        of.push(known.unwrap_or(names.len()));
        if known.is_none() {
            names.push(&firing.kiln);
        }
    }
    of
}

fn global_priors() -> [Prior; global::COUNT] {
    let beta = |(a, b): (f64, f64)| Prior::Beta { a, b };
    let log_normal = |(median, ln_sigma): (f64, f64)| Prior::LogNormal { median, ln_sigma };
    let normal = |(mean, sd): (f64, f64)| Prior::Normal { mean, sd };
    let mut all = [normal((0.0, 1.0)); global::COUNT];
    all[global::LN_BRUSH] = normal((0.0, laydown::WET_LAYDOWN_LN_SIGMA));
    all[global::LN_DIP] = normal((0.0, laydown::CAKE_K_LN_SIGMA / 2.0));
    all[global::LN_SPRAY] = normal((0.0, laydown::SPRAY_LN_SIGMA));
    all[global::CARRY] = beta(priors::CARRY_BETA);
    all[global::LN_RETENTION] = log_normal((tile::RETENTION_M2, tile::RETENTION_LN_SIGMA));
    all[global::MIXING] = beta(priors::MIXING_BETA);
    all[global::THINNING] = Prior::HalfNormal {
        scale: priors::THINNING_SCALE,
        fold: priors::THINNING_SCALE,
    };
    all[global::ANEW] = beta(priors::ANEW_BETA);
    all[global::NOISE] = Prior::HalfNormal {
        scale: priors::NOISE_SCALE_DECADES,
        fold: priors::NOISE_SCALE_DECADES,
    };
    all[global::PLACE] = log_normal((laydown::PLACE_LN_SIGMA, priors::SPREAD_LN_SIGMA));
    all[global::COAT] = log_normal((laydown::COAT_LN_SIGMA, priors::SPREAD_LN_SIGMA));
    all[global::OUTLIER] = beta(priors::OUTLIER_BETA);
    all[global::STUCK] = beta(priors::STUCK_BETA);
    all[global::WHOLE_MM] = beta(priors::WHOLE_MM_BETA);
    all[global::OPINION_WRONG] = beta(priors::OPINION_WRONG_BETA);
    all[global::LOOK_SHARE] = normal(priors::LOOK_SHARE);
    all[global::LOOK_SIGMA] = log_normal(priors::LOOK_SIGMA);
    all[global::CRISP_CUT] = normal(priors::CRISP_CUT);
    all[global::BURIED_GAP] = log_normal(priors::BURIED_GAP);
    all[global::TEXTURE_SIGMA] = log_normal(priors::TEXTURE_SIGMA);
    all
}
