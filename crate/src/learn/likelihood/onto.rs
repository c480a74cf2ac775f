//! The margin of an edge that lies on another glaze.
//!
//! Takes the films above the edge and below it, their strips and the run's mark; gives the margin with its slopes.

use super::super::data::Strip;
use super::super::over_glaze;
use super::margin::{At, Margin};
use super::mark::Mark;
use crate::physics::constants::{GRAVITY, RHO};
use std::f64::consts::LN_10;

/// Of two films: the stack above the edge, and the glaze below it that goes on beyond the edge.
pub fn of_edge<const E: usize>(films: &[At; E], strip: &Strip, mark: &Mark) -> Margin<E> {
    let mut margin = Margin::default();
    if E < 2 {
        return margin;
    }
    let (film, below) = (&films[0], &films[1]);
    let law = over_glaze::law(mark.straight_m, film.log10_phi - below.log10_phi);
    let k = RHO * (GRAVITY / 3.0) * strip.sin_slope;
    let length = strip.length_m;
    // Log10 of the Phi that gives the law's run, nothing held; r its change per m, natural log, and rr that of ln r.
    let (ln_y, r, rr) = if length >= 2.0 * law.m {
        ((law.m / k).ln(), 1.0 / law.m, -1.0 / law.m)
    } else {
        let x = length + law.m;
        (
            (x * x * x / (6.75 * k * length * length)).ln(),
            3.0 / x,
            -1.0 / x,
        )
    };
    let per = 1.0 / LN_10;
    let (by, turn) = (per * r * law.per_decade, rr * law.per_decade + law.bend);
    margin.m = per * (ln_y - 2.0 * film.ln_h) - film.log10_phi;
    margin.per_run_m = per * r * law.per_run * mark.per_run_m;
    margin.phi[0] = by - 1.0;
    margin.phi[1] = -by;
    margin.ln_h[0] = -2.0 * per;
    margin.per_ln_h = -2.0 * per;
    margin.run_phi[0] = turn;
    margin.run_phi[1] = -turn;
    margin
}
