//! The margin of an edge that lies on another glaze.
//!
//! Takes the films above the edge and below it, their strips and the run's mark; gives the margin with its slopes.

use super::super::data::Strip;
use super::super::over_glaze;
use super::margin::{Films, Margin, PULL};
use super::mark::Line;
use crate::real::{Pair, Real};
use std::f64::consts::LN_10;

/// Of two films: the stack above the edge, and the glaze below it that goes on beyond the edge.
pub fn of_edge(films: &Films, strip: &Strip, line: &Line, margin: &mut Margin) {
    let [here, below] = [films.log10_phi[0], films.log10_phi[1]];
    let law = over_glaze::law(line.straight_m, here - below);
    let k = PULL * strip.sin_slope;
    let length = strip.length_m;
    // Log10 of the Phi that gives the law's run, nothing held; r its change per m, natural log, and rr that of ln r.
    let whole = (2.0 * law.m).at_most(Pair::splat(length));
    let x = length + law.m;
    let ln_y = Pair::either(
        whole,
        law.m * (1.0 / k),
        x * x * x * (1.0 / (6.75 * k * length * length)),
    )
    .logarithm();
    let rr = -1.0 / Pair::either(whole, law.m, x);
    let r = Pair::either(whole, -rr, -3.0 * rr);
    let per = 1.0 / LN_10;
    let (by, turn) = (per * r * law.per_decade, rr * law.per_decade + law.bend);
    let less = Pair::splat(-2.0 * per);
    *margin = Margin {
        m: per * (ln_y - 2.0 * films.ln_h[0]) - here,
        per_run_m: per * r * law.per_run * line.per_run_m,
        per_ln_h: less,
        phi: [by - 1.0, -by, Pair::ZERO],
        ln_h: [less, Pair::ZERO, Pair::ZERO],
        run_phi: [turn, -turn, Pair::ZERO],
        ..Margin::default()
    };
}
