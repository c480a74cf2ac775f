//! The studio's own numbers at one point of the sampler, with what each changes per coordinate.
//!
//! Takes a point; gives values, slopes and the thinning of 1 to many coats, worked out once for all entries.

use super::super::unknowns::{Unknowns, global};
use super::ways::{Factors, Ways};
use crate::real::{Pair, Real};

/// One number: its value and its change per coordinate.
#[derive(Clone, Copy, Debug, Default)]
pub struct At {
    /// The value.
    pub value: Pair,
    /// Change of the value per coordinate.
    pub slope: Pair,
}

/// All of them.
#[derive(Clone, Debug)]
pub struct Now {
    /// Nothing, as a number that no compiler knows to be it: where lists of pairs are emptied, it would make a call of a few stores.
    pub nothing: Pair,
    /// Natural log of the studio's brush, dip and spray against the book.
    pub ln_method: [Pair; 3],
    /// How far a brush's habit carries over.
    pub carry: At,
    /// Drained area on a vertical wall, m²; its coordinate is its log.
    pub retention_m2: Pair,
    /// Natural log of that.
    pub ln_retention: Pair,
    /// What layers that go on alike share.
    pub factors: Factors,
    /// Mixing.
    pub mixing: At,
    /// Share of anew in thinning.
    pub anew: At,
    /// Noise, decades.
    pub noise: At,
    /// Place spread.
    pub place: At,
    /// Coat spread.
    pub coat: At,
    /// Share of blunders.
    pub outlier: At,
    /// Share of stuck edges written down by word.
    pub stuck: At,
    /// Share of rulers in whole millimetres.
    pub whole_mm: At,
    /// Weight of the log share in the look.
    pub look_share: Pair,
    /// Spread of a judgement of the look.
    pub look_sigma: At,
    /// Cut between crisp and softened.
    pub crisp_cut: Pair,
    /// From there to buried.
    pub buried_gap: At,
    /// Spread of a judgement of the texture.
    pub texture_sigma: At,
    /// By look: half width of "right".
    halves: Vec<At>,
    /// By coats: log of their mean over the first, and its change per coordinate of the thinning.
    thin: Vec<At>,
    /// Log of one coat over the coat before, and its change per coordinate of the thinning.
    keep: At,
}

/// Thinning cannot leave less than this of a coat.
const MOST_THINNING: f64 = 0.95;

impl Now {
    /// At `point`, for layers of so many `ways` and up to `most_coats` coats.
    pub fn new(unknowns: &Unknowns, point: &[Pair], ways: &Ways, most_coats: usize) -> Self {
        let first = unknowns.globals();
        let at_place = |place: usize| {
            let (value, slope) = unknowns.priors[place].with_slope(point[place]);
            At { value, slope }
        };
        let at = |which: usize| at_place(first + which);
        let mut halves = Vec::with_capacity(unknowns.used.looks.len());
        for look in 0..unknowns.used.looks.len() {
            halves.push(at_place(unknowns.look(look) + 1));
        }
        let thinning = at(global::THINNING);
        let most = Pair::splat(MOST_THINNING);
        let t = thinning.value.or_less(most);
        let slope = Pair::either(thinning.value.below(most), thinning.slope, Pair::ZERO);
        let mut thin = Vec::with_capacity(most_coats + 1);
        thin.push(At::default());
        // Σ (1 − t)^j and its slope in t, coat by coat.
        let (mut power, mut per) = (Pair::ONE, Pair::ZERO);
        let (mut sum, mut per_sum) = (Pair::ZERO, Pair::ZERO);
        for n in 1..=most_coats {
            sum += power;
            per_sum += per;
            thin.push(At {
                value: (sum / n as f64).logarithm(),
                slope: slope * per_sum / sum,
            });
            per = per * (1.0 - t) - power;
            power *= 1.0 - t;
        }
        // The book's coat is the mean of the usual number, so that three have nothing to be thinned by.
        let usual = 3.0 - 3.0 * t + t * t;
        let ln_usual = (usual / 3.0).logarithm();
        let per_usual = slope * (2.0 * t - 3.0) / usual;
        for own in &mut thin[1..] {
            own.value -= ln_usual;
            own.slope -= per_usual;
        }
        let mut now = Self {
            nothing: std::hint::black_box(Pair::ZERO),
            factors: Factors::default(),
            ln_retention: point[first + global::LN_RETENTION],
            ln_method: [
                point[first + global::LN_BRUSH],
                point[first + global::LN_DIP],
                point[first + global::LN_SPRAY],
            ],
            carry: at(global::CARRY),
            retention_m2: at(global::LN_RETENTION).value,
            mixing: at(global::MIXING),
            anew: at(global::ANEW),
            noise: at(global::NOISE),
            place: at(global::PLACE),
            coat: at(global::COAT),
            outlier: at(global::OUTLIER),
            stuck: at(global::STUCK),
            whole_mm: at(global::WHOLE_MM),
            look_share: point[first + global::LOOK_SHARE],
            look_sigma: at(global::LOOK_SIGMA),
            crisp_cut: point[first + global::CRISP_CUT],
            buried_gap: at(global::BURIED_GAP),
            texture_sigma: at(global::TEXTURE_SIGMA),
            halves,
            thin,
            keep: At {
                value: (1.0 - t).logarithm(),
                slope: -slope / (1.0 - t),
            },
        };
        let shared = (now.carry.value, now.place.value);
        now.factors = ways.at(point, &now.ln_method, shared, |coats, below| {
            now.thinned(coats, below)
        });
        now
    }

    /// Half width of "right" of the look whose middle has the place `cuts`.
    #[inline]
    pub fn half(&self, unknowns: &Unknowns, cuts: u32) -> At {
        self.halves[(cuts as usize - unknowns.look(0)) / 2]
    }

    /// Log of what thinning leaves of `coats` with `below` under them; its change per coordinate of the thinning and per coordinate of anew.
    pub fn thinned(&self, coats: u32, below: u32) -> (Pair, Pair, Pair) {
        let own = self.thin.get(coats as usize).copied().unwrap_or_default();
        let below = f64::from(below);
        let through = (1.0 - self.anew.value) * below;
        (
            own.value + through * self.keep.value,
            own.slope + through * self.keep.slope,
            -self.anew.slope * below * self.keep.value,
        )
    }
}
