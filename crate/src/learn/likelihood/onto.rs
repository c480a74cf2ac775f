//! The margin of an edge that lies on another glaze.
//!
//! Takes the films above the edge and below it, their strips and the run's mark; gives the margin with its slopes.

use super::super::data::Strip;
use super::super::over_glaze;
use super::margin::{Films, Margin, PULL};
use super::mark::Line;
use super::stack::EDGES;
use crate::real::{Pair, Real};
use std::f64::consts::LN_10;

/// Of two films: the stack above the edge, and the glaze below it that goes on beyond the edge.
#[cfg_attr(fast_by_function, optimize(speed))]
pub fn of_edge(
    (films, nothing): (&Films, Pair),
    strip: &Strip,
    line: Line<'_>,
    margin: &mut Margin,
) {
    let [here, below] = [films.log10_phi[0], films.log10_phi[1]];
    let law = over_glaze::law(line.mark.straight_m, here - below);
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
    margin.m = per * (ln_y - 2.0 * films.ln_h[0]) - here;
    margin.per_run_m = per * r * law.per_run * line.mark.per_run_m;
    (margin.ln_a, margin.per_ln_h) = (nothing, less);
    (margin.run_ln_a, margin.run_per_ln_h) = (nothing, nothing);
    margin.bend = [nothing; 2];
    margin.phi = [by - 1.0, -by, nothing];
    margin.ln_h = [less, nothing, nothing];
    margin.run_phi = [turn, -turn, nothing];
    margin.run_ln_h = [nothing; EDGES];
}
