//! The edge of a glaze that lies on another: how far it lags behind gravity's law where the glaze below is the stiffer.
//!
//! Takes the run by gravity's law and how many decades the stack above the edge is more fluid than what lies below it; gives the run, and the law's run back from it.
//!
//! Gravity alone carries the edge with the stack, whatever lies before it. What it pushes along is stiffer and piles up into a bead a few capillary lengths long, which
//! surface tension holds back: short runs are a constant share of the law's, long ones a length behind. Fitted to 6,265 runs of fresh solves of the film (eight pieces from tile
//! to wide bowl, two layers of 2 or 3 coats, runs by the law of 0.4 to 80 mm, glazes up to 4 decades apart, mixing 0.7; least mean absolute log ratio): the law is 1.2 mm too far in the
//! mean and 3.3 mm at the ninth tenth; with this, 0.0 and 1.4 mm. Worst where a stack 5 to 25 times as fluid runs beyond 25 mm: 3 mm in the mean.

/// The lag sets in where the stack is the more fluid one: over about this many decades.
const ONSET_DECADES: f64 = 0.067;
/// Short runs are the law's times ten to the minus this, per decade.
const SHARE_PER_DECADE: f64 = 0.312;
/// Long runs are so far behind with no difference, m, and log10 of how many times as far per decade.
const BEHIND_M: f64 = 0.48e-3;
const BEHIND_PER_DECADE: f64 = 1.416;
/// More decades than this are taken for this many.
const MOST_DECADES: f64 = 4.0;

use crate::real::{Mask, Real};
use std::f64::consts::LN_10;

/// Share of short runs that is lost and how far long ones are behind (m), each with its change per decade.
struct Lag<R> {
    lost: R,
    behind: R,
    per: [R; 2],
}

impl<R: Real> Lag<R> {
    fn of(decades: R) -> Self {
        let (all, one) = (R::all, R::all(1.0));
        // Held where there is nothing left of the onset, and where there is nothing of the lag.
        let x = (decades * all(1.0 / ONSET_DECADES)).or_less(all(30.0));
        let x = x.or_more(all(-700.0));
        let grown = x.exponential();
        // ln(1 + e^x) keeps its digits far down, too.
        let whole = one + grown;
        let small = grown - (whole - one);
        let near = all(ONSET_DECADES) * (whole.logarithm() + small / whole);
        let late = all(30.0 * ONSET_DECADES).below(decades);
        let far = all(MOST_DECADES).below(decades);
        let above = R::either(late, decades.or_less(all(MOST_DECADES)), near);
        let slope = R::either(far, all(0.0), R::either(late, one, grown / whole));
        let left = (all(-SHARE_PER_DECADE * LN_10) * above).exponential();
        let behind = all(BEHIND_M) * (all(BEHIND_PER_DECADE * LN_10) * above).exponential();
        Self {
            lost: one - left,
            behind,
            per: [
                all(SHARE_PER_DECADE * LN_10) * left * slope,
                all(BEHIND_PER_DECADE * LN_10) * behind * slope,
            ],
        }
    }
}

/// The run, m, where gravity's law says `law_m`, 0 or more.
pub fn run_m(law_m: f64, decades: f64) -> f64 {
    let lag = Lag::of(decades);
    law_m + lag.behind * (-lag.lost * law_m / lag.behind).exp_m1()
}

/// The law's run for one that was read.
#[derive(Clone, Copy, Debug)]
pub struct Law<R> {
    /// The law's run, m.
    pub m: R,
    /// Its change per m of run.
    pub per_run: R,
    /// Its change per decade, m.
    pub per_decade: R,
    /// Change of ln `per_run` per decade at the same run.
    pub bend: R,
}

/// [`run_m`] turned round.
#[cfg_attr(fast_by_function, optimize(speed))]
pub fn law<R: Real>(run_m: f64, decades: R) -> Law<R> {
    let Lag { lost, behind, per } = Lag::of(decades);
    let (zero, one, run_m) = (R::all(0.0), R::all(1.0), R::all(run_m));
    // The run is convex in the law's: Newton from beyond comes down to it.
    let mut m = (run_m + behind).or_less(run_m / (one - lost));
    let away = |m: R| (-lost * m / behind).exponential();
    let mut left = zero.at_most(one);
    for _ in 0..20 {
        let kept = away(m);
        let step = (m + behind * (kept - one) - run_m) / (one - lost * kept);
        m -= R::either(left, step, zero);
        // Who has arrived stays, whatever the other does.
        left = left & !step.below(R::all(1e-13));
        if !left.somewhere() {
            break;
        }
    }
    let q = lost * m / behind;
    let away = away(m);
    let slope = one - lost * away;
    let per_decade = (m * away * per[0] + (one - away - q * away) * per[1]) / slope;
    let bent = lost * lost * away / behind * per_decade
        - away * (per[0] - (per[0] * m - q * per[1]) / behind * lost);
    Law {
        m,
        per_run: one / slope,
        per_decade,
        bend: -bent / slope,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Forth and back, to 1e-8: at four decades long runs would be 220 m behind, and of that lengths of 0.1 mm have seven digits less than a number has; slopes against central differences, step 1e-5: the third derivative leaves 1e-7.
    #[test]
    fn the_law_turned_round_gives_its_runs() {
        for decades in [-2.0, -0.1, 0.0, 0.05, 0.3, 0.8, 1.5, 3.0, 5.0] {
            for m in [1e-4, 1e-3, 5e-3, 2e-2, 8e-2] {
                let run = run_m(m, decades);
                let back = law(run, decades);
                assert!((back.m / m - 1.0).abs() < 1e-8, "{decades} {m} {back:?}");
                let at = |decades: f64| law(run, decades);
                let (less, more) = (at(decades - 1e-5), at(decades + 1e-5));
                let near = |slope: f64, want: f64, scale: f64| {
                    assert!(
                        (slope - want).abs() < 1e-5 * scale,
                        "{decades} {m}: {slope} {want}"
                    );
                };
                near(back.per_decade, (more.m - less.m) / 2e-5, m);
                near(back.bend, (more.per_run / less.per_run).ln() / 2e-5, 1.0);
                let (short, long) = (law(run - 1e-8, decades), law(run + 1e-8, decades));
                near(back.per_run, (long.m - short.m) / 2e-8, back.per_run);
            }
        }
    }
}
