//! In which ways the layers of a log go on: many share a hand and a method, or a number of coats, whose masses are then worked out once a pass.
//!
//! Takes a log; gives each layer's numbers into the lists of what is shared, and the point's values of those lists. Slopes are gathered by the same numbers.

use super::super::data::{Log, NONE};
use super::super::drips::Longest;
use super::super::unknowns::{Unknowns, global};
use super::now::At;
use crate::real::exp_ln::exp;
use crate::real::{Pair, Real};
use crate::studio::case::Method;
use std::f64::consts::LN_10;

/// One layer.
#[derive(Clone, Copy, Debug)]
pub struct Way {
    /// Melt thickness at the book's medians, m.
    pub melt_m: f64,
    /// Natural log of that.
    pub ln_melt: f64,
    /// Number of its glaze.
    pub glaze: u32,
    /// Number of its hand and method.
    pub habit: u32,
    /// Number of its coats and those below it; 0: not brushed.
    pub coats: u32,
}

/// The ways of all layers.
#[derive(Clone, Debug)]
pub struct Ways {
    /// By layer of the log.
    pub layers: Vec<Way>,
    /// By entry of the log, number of the kind of its longest drip.
    pub drips: Vec<u32>,
    kinds: Vec<Longest>,
    /// Coats and those below them, the first for what is not brushed.
    coats: Vec<(u32, u32)>,
    first_glaze: usize,
    first_hand: usize,
    hands: usize,
}

/// Methods that a habit can be of.
const METHODS: usize = 3;

fn method(method: Method) -> usize {
    match method {
        Method::Brush => 0,
        Method::Dip => 1,
        Method::Spray => 2,
    }
}

/// One habit or number of coats at a point.
#[derive(Clone, Copy, Debug, Default)]
pub struct Factor {
    /// How many times the book's mass.
    pub times: Pair,
    /// Natural log of that.
    pub ln: Pair,
    /// Of coats: change of the log per coordinate of the thinning and of anew.
    pub per: [Pair; 2],
}

impl Factor {
    fn of(ln: Pair, per: [Pair; 2]) -> Self {
        Self {
            times: ln.exponential(),
            ln,
            per,
        }
    }
}

/// All of them at a point.
#[derive(Clone, Debug, Default)]
pub struct Factors {
    /// By hand and method.
    pub habits: Vec<Factor>,
    /// By coats and those below.
    pub coats: Vec<Factor>,
    /// By glaze: fluidity integral at the reference firing, 1/Pa; the last for a glaze that is none of the log's.
    pub phi: Vec<Pair>,
    /// By glaze: its log10.
    pub log10_phi: Vec<Pair>,
    /// By kind of longest drip: how many times as thin the mean is as the glaze there, by part of the mixture.
    pub thinner: Vec<[Pair; 2]>,
}

impl Ways {
    /// Of a log.
    pub fn of(log: &Log) -> Self {
        let unknowns = &log.unknowns;
        let hands = unknowns.used.hands.len();
        let mut ways = Self {
            layers: Vec::with_capacity(log.layers.len()),
            drips: Vec::with_capacity(log.pieces.len()),
            kinds: Vec::new(),
            coats: vec![(0, 0)],
            first_glaze: unknowns.glaze_number(0),
            first_hand: unknowns.globals() - hands,
            hands,
        };
        for piece in &log.pieces {
            let mut kind = 0;
            while kind < ways.kinds.len() && ways.kinds[kind] != piece.longest {
                kind += 1;
            }
            if kind == ways.kinds.len() {
                ways.kinds.push(piece.longest);
            }
            ways.drips.push(kind as u32);
        }
        // Where each number of coats over each number below stands in the list.
        let most = log.layers.iter().map(|l| l.below).max().unwrap_or(0) as usize + 1;
        let mut known: Vec<u32> = Vec::new();
        for laid in &log.layers {
            let coats = if laid.coats == 0 {
                0
            } else {
                let key = laid.coats as usize * most + laid.below as usize;
                if known.len() <= key {
                    known.resize(key + 1, 0);
                }
                if known[key] == 0 {
                    known[key] = ways.coats.len() as u32;
                    ways.coats.push((laid.coats, laid.below));
                }
                known[key]
            };
            let hand = if laid.hand == NONE {
                hands
            } else {
                laid.hand as usize - ways.first_hand
            };
            let glaze = if laid.glaze == NONE {
                unknowns.used.glazes.len()
            } else {
                laid.glaze as usize - ways.first_glaze
            };
            ways.layers.push(Way {
                melt_m: exp(laid.ln_melt),
                ln_melt: laid.ln_melt,
                glaze: glaze as u32,
                habit: (METHODS * hand + method(laid.method)) as u32,
                coats,
            });
        }
        ways
    }

    /// Their values at a point.
    pub fn at(
        &self,
        point: &[Pair],
        ln_method: &[Pair; 3],
        (carry, place): (Pair, Pair),
        thinned: impl Fn(u32, u32) -> (Pair, Pair, Pair),
    ) -> Factors {
        let mut at = Factors::default();
        for hand in 0..=self.hands {
            let habit = if hand < self.hands {
                point[self.first_hand + hand]
            } else {
                Pair::ZERO
            };
            for (method, ln) in ln_method.iter().enumerate() {
                let share = if method == 0 { Pair::ONE } else { carry };
                at.habits
                    .push(Factor::of(*ln + share * habit, [Pair::ZERO; 2]));
            }
        }
        at.coats.push(Factor::of(Pair::ZERO, [Pair::ZERO; 2]));
        for (coats, below) in &self.coats[1..] {
            let (ln, thinning, anew) = thinned(*coats, *below);
            at.coats.push(Factor::of(ln, [thinning, anew]));
        }
        for log10_phi in point[self.first_glaze..self.first_hand]
            .iter()
            .chain(&[Pair::ZERO])
        {
            at.log10_phi.push(*log10_phi);
            at.phi.push((*log10_phi * LN_10).exponential());
        }
        for kind in &self.kinds {
            let [one, other] = kind.mean;
            let thinner = |mean: f64| (place * -mean).exponential();
            at.thinner.push([thinner(one), thinner(other)]);
        }
        at
    }

    /// Room for slopes by habit, then by coats, per log of the mass.
    pub fn slopes(&self) -> Vec<Pair> {
        vec![Pair::ZERO; METHODS * (self.hands + 1) + self.coats.len()]
    }

    /// Adds a layer's slope per log of its mass.
    #[inline]
    #[cfg_attr(fast_by_function, optimize(speed))]
    pub fn add(&self, layer: usize, slope: Pair, slopes: &mut [Pair]) {
        let way = &self.layers[layer];
        slopes[way.habit as usize] += slope;
        slopes[METHODS * (self.hands + 1) + way.coats as usize] += slope;
    }

    /// Gives each unknown its part of gathered slopes.
    pub fn give(
        &self,
        slopes: &[Pair],
        factors: &Factors,
        carry: At,
        unknowns: &Unknowns,
        point: &[Pair],
        to: &mut [Pair],
    ) {
        let first = unknowns.globals();
        let (habits, coats) = slopes.split_at(METHODS * (self.hands + 1));
        for (number, slope) in habits.iter().copied().enumerate() {
            let (place, method) = (self.first_hand + number / METHODS, number % METHODS);
            to[first + global::LN_BRUSH + method] += slope;
            if number / METHODS < self.hands {
                if method == 0 {
                    to[place] += slope;
                } else {
                    to[place] += slope * carry.value;
                    to[first + global::CARRY] += slope * carry.slope * point[place];
                }
            }
        }
        for (slope, factor) in coats.iter().copied().zip(&factors.coats) {
            to[first + global::THINNING] += slope * factor.per[0];
            to[first + global::ANEW] += slope * factor.per[1];
        }
    }
}
