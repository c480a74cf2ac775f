//! Studios whose truth breaks the model that learns from them, with entries held back to be predicted.
//!
//! Takes a size and a seed; gives a log, the truth, and held-out entries with the runs that they really had; and, for anything that predicts runs, scores.

use crate::studios::{Breaks, Design, design, fill};
use glazefall::chacha::ChaCha8Rng;
use glazefall::learn::data::Log;
use glazefall::learn::{Options, Params, Posterior, learn};
use glazefall::predict::simulate::simulate;
use glazefall::studio::case::{Case, Cases};
use glazefall::studio::document::{Edge, Entry, How, Run, Studio};
use rand::seq::SliceRandom;
use rand::{RngExt, SeedableRng};

/// Everybody's glazes are this much more fluid than thought, decades.
const OFF_CENTRE: f64 = 0.3;
/// Each coat is this much thinner than the one before: one and a half times the prior's scale.
const THINNING: f64 = 0.15;
/// What is left of a hand's habit from one firing to the next.
const SETTLE: f64 = 0.9;
/// Share of lines entered wrong.
const BLUNDERS: f64 = 0.02;

/// An entry that the log does not have.
#[derive(Clone, Debug)]
pub struct HeldOut {
    /// What was planned, as written down; no outcome.
    pub entry: Entry,
    /// How far it ran, as if the wall went on, mm.
    pub run_mm: f64,
}

/// A studio, its truth and what was held back.
#[derive(Clone, Debug)]
pub struct Broken {
    /// The studio with its log.
    pub studio: Studio,
    /// The truth.
    pub truth: Params,
    /// Entries held back, all of edges on bare clay.
    pub held_out: Vec<HeldOut>,
}

/// A studio of `entries` entries and `held_out` held back: tails of a t distribution of 3 degrees of freedom, habits that fade by a tenth from firing to
/// firing, coats that thin, opinions 0.3 decade off, 2 % of the lines entered wrong.
pub fn broken(entries: usize, held_out: usize, seed: u64) -> Broken {
    // A few more, since edges on glaze are not held out.
    let all = entries + held_out + held_out / 5;
    let of = Design {
        firings: entries.div_ceil(30),
        ..Design::grown(all, seed)
    };
    let mut studio = design(&of);
    let unknowns = Log::of(&studio).unknowns;
    let mut rng = ChaCha8Rng::seed_from_u64(seed ^ 0xb0c5);
    let point = unknowns.draw(&mut rng);
    let mut truth = unknowns.params(&point, rng.random());
    for phi in &mut truth.log10_phi {
        *phi += OFF_CENTRE;
    }
    truth.thinning_per_coat = THINNING;
    truth.outlier_share = 0.0;
    let breaks = Breaks {
        heavy_tails: true,
        settle: SETTLE,
        blunders: BLUNDERS,
    };
    let runs = fill(&mut studio, &truth, &breaks, of.words, seed ^ 0xf19e);
    let mut order: Vec<usize> = (0..all).collect();
    order.shuffle(&mut rng);
    let on_clay = |i: &&usize| {
        let outcome = studio.entries[**i].outcome.as_ref();
        outcome.is_some_and(|o| o.edge == Edge::OntoBareClay)
    };
    let held: Vec<usize> = order
        .iter()
        .filter(on_clay)
        .take(held_out)
        .copied()
        .collect();
    let held_out = held
        .iter()
        .map(|i| HeldOut {
            entry: Entry {
                outcome: None,
                ..studio.entries[*i].clone()
            },
            run_mm: runs[*i],
        })
        .collect();
    let mut left = 0..all;
    studio
        .entries
        .retain(|_| left.next().is_some_and(|i| !held.contains(&i)));
    studio.entries.truncate(entries);
    Broken {
        studio,
        truth,
        held_out,
    }
}

/// What somebody says of one held-out entry: runs, mm, all equally likely, rising.
pub type Said = Vec<f64>;

/// What is learned of a broken studio's log, and what that says of each held-out entry.
pub fn learned(of: &Broken, seed: u64) -> (Posterior, Vec<Said>) {
    let posterior = learn(&of.studio, &Options { draws: 512, seed });
    let mut rng = ChaCha8Rng::seed_from_u64(seed);
    let mut cases = Cases::new(&of.studio);
    let said = of.held_out.iter().map(|held| {
        let case = cases.of(&held.entry).expect("a designed entry");
        sorted(
            posterior
                .params
                .iter()
                .map(|p| 1e3 * simulate(&case, p, 0.0, &mut rng).run_m)
                .collect(),
        )
    });
    let said = said.collect();
    (posterior, said)
}

/// What a pooled regression says: ordinary least squares of ln(1 + run in mm) on all coats together, normal about it.
pub fn regressed(of: &Broken) -> Vec<Said> {
    let coats = |entry: &Entry| -> f64 {
        entry
            .layers
            .iter()
            .map(|l| match l.how {
                How::Brush { coats } => f64::from(coats),
                How::Dip { dips, .. } => f64::from(dips),
                How::Spray { passes, .. } => f64::from(passes),
            })
            .sum()
    };
    let rows: Vec<(f64, f64)> = of
        .studio
        .entries
        .iter()
        .filter_map(|e| Some((coats(e), written_mm(e.outcome.as_ref()?.run?).ln_1p())))
        .collect();
    let n = rows.len() as f64;
    let mean = |of: &dyn Fn(&(f64, f64)) -> f64| rows.iter().map(of).sum::<f64>() / n;
    let (x, y) = (mean(&|r| r.0), mean(&|r| r.1));
    let slope =
        mean(&|r| (r.0 - x) * (r.1 - y)) / mean(&|r| (r.0 - x) * (r.0 - x)).max(f64::MIN_POSITIVE);
    let rest = |r: &(f64, f64)| r.1 - y - slope * (r.0 - x);
    let sd = (mean(&|r| rest(r).powi(2)) * n / (n - 2.0)).sqrt();
    of.held_out
        .iter()
        .map(|held| {
            let middle = y + slope * (coats(&held.entry) - x);
            (0..512)
                .map(|i| {
                    let z = glazefall::learn::normal::quantile((f64::from(i) + 0.5) / 512.0);
                    (middle + sd * z).exp_m1().max(0.0)
                })
                .collect()
        })
        .collect()
}

/// A run as written, mm: the ruler's, or the middle of what a word means.
fn written_mm(run: Run) -> f64 {
    match run {
        Run::Ruler { run_mm, .. } => run_mm,
        Run::Word {
            least_mm, most_mm, ..
        } => match (least_mm, most_mm) {
            (None, _) => 0.0,
            (Some(least), Some(most)) => 0.5 * (least + most),
            (Some(least), None) => least,
        },
    }
}

fn sorted(mut runs: Vec<f64>) -> Said {
    runs.sort_unstable_by(f64::total_cmp);
    runs
}

/// How far off the truth glazes and hands are: sums of squares and how many.
#[derive(Clone, Copy, Debug, Default)]
pub struct Off {
    glazes: [f64; 2],
    hands: [f64; 2],
    between_hands: [f64; 2],
}

impl Off {
    /// Adds one studio's: log10 Phi of glazes and the log of what hands lay down, each by its number in the studio.
    pub fn add(&mut self, of: &Broken, log10_phi: &[(usize, f64)], ln_laydown: &[(usize, f64)]) {
        for (glaze, known) in log10_phi {
            self.glazes[0] += (known - of.truth.log10_phi[*glaze]).powi(2);
            self.glazes[1] += 1.0;
        }
        let off = |(hand, known): &(usize, f64)| known - of.laydown(*hand);
        let n = ln_laydown.len() as f64;
        let mean = ln_laydown.iter().map(off).sum::<f64>() / n;
        for one in ln_laydown {
            self.hands[0] += off(one).powi(2);
            self.hands[1] += 1.0;
            self.between_hands[0] += (off(one) - mean).powi(2);
            self.between_hands[1] += 1.0;
        }
    }

    /// Root mean square error of glazes, decades, of hands, natural log, and of hands against their studio's mean.
    pub fn rms(&self) -> [f64; 3] {
        [self.glazes, self.hands, self.between_hands].map(|[sum, n]| (sum / n).sqrt())
    }
}

impl Broken {
    /// What a hand really laid down against the book, natural log, mean over its entries: its habit fades.
    fn laydown(&self, hand: usize) -> f64 {
        let habit = self.truth.ln_laydown[hand] - self.truth.ln_method[0];
        let id = &self.studio.hands[hand].id;
        let faded: Vec<f64> = (self.studio.entries.iter())
            .filter(|entry| entry.hand.as_ref() == Some(id))
            .filter_map(|entry| {
                let firing = entry.firing.as_ref()?;
                let at = self.studio.firings.iter().position(|f| f.id == *firing)?;
                Some(SETTLE.powi(at as i32))
            })
            .collect();
        let mean = faded.iter().sum::<f64>() / faded.len().max(1) as f64;
        self.truth.ln_method[0] + habit * mean
    }
}

/// How good predictions of held-out entries are.
#[derive(Clone, Copy, Debug, Default)]
pub struct Scores {
    /// Entries scored.
    pub entries: f64,
    /// Share inside the 80 % band; an edge that stays where many draws of it stay counts by the part of them inside.
    pub coverage: f64,
    /// Mean pinball loss at a tenth, a half and nine tenths, mm, of runs down to the foot or the end: nobody sees how far beyond they would have gone.
    pub pinball_mm: f64,
    /// Mean squared error of the chance of reaching the foot or the end.
    pub brier: f64,
}

impl Scores {
    /// Scores what was said of the held-out entries of one studio and adds them to what is there.
    pub fn add(&mut self, of: &Broken, said: &[Said]) {
        let mut cases = Cases::new(&of.studio);
        for (held, runs) in of.held_out.iter().zip(said) {
            let case: Case = cases.of(&held.entry).expect("a designed entry");
            let n = runs.len() as f64;
            let below = runs.partition_point(|r| *r < held.run_mm) as f64 / n;
            let up_to = runs.partition_point(|r| *r <= held.run_mm) as f64 / n;
            let inside = if up_to > below {
                (up_to.min(0.9) - below.max(0.1)).max(0.0) / (up_to - below)
            } else if (0.1..=0.9).contains(&below) {
                1.0
            } else {
                0.0
            };
            let bare_mm = 1e3 * case.bare_below_m;
            let pinball: f64 = [0.1, 0.5, 0.9]
                .map(|p: f64| {
                    let quantile = runs[((p * n) as usize).min(runs.len() - 1)];
                    let off = held.run_mm.min(bare_mm) - quantile.min(bare_mm);
                    (p * off).max((p - 1.0) * off)
                })
                .iter()
                .sum();
            let foot = 1.0 - runs.partition_point(|r| *r < bare_mm) as f64 / n;
            let reached = if held.run_mm >= bare_mm { 1.0 } else { 0.0 };
            let more = self.entries + 1.0;
            for (score, one) in [
                (&mut self.coverage, inside),
                (&mut self.pinball_mm, pinball / 3.0),
                (&mut self.brier, (foot - reached) * (foot - reached)),
            ] {
                *score += (one - *score) / more;
            }
            self.entries = more;
        }
    }
}
