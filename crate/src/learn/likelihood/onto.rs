//! The margin of an edge that lies on another glaze.
//!
//! Takes the films above the edge and below it, their strips and the run's mark; gives the margin with its slopes.

use super::super::data::Strip;
use super::super::over_glaze;
use super::margin::{Films, Margin, PULL};
use super::mark::Line;
use crate::physics::exp_ln::ln;
use std::f64::consts::LN_10;

/// Of two films: the stack above the edge, and the glaze below it that goes on beyond the edge.
pub fn of_edge(films: &Films, strip: &Strip, line: &Line, margin: &mut Margin) {
    let [here, below] = [films.log10_phi[0], films.log10_phi[1]];
    let law = over_glaze::law(line.straight_m, here - below);
    let k = PULL * strip.sin_slope;
    let length = strip.length_m;
    // Log10 of the Phi that gives the law's run, nothing held; r its change per m, natural log, and rr that of ln r.
    let (ln_y, r, rr) = if length >= 2.0 * law.m {
        (ln(law.m / k), 1.0 / law.m, -1.0 / law.m)
    } else {
        let x = length + law.m;
        (
            ln(x * x * x / (6.75 * k * length * length)),
            3.0 / x,
            -1.0 / x,
        )
    };
    let per = 1.0 / LN_10;
    let (by, turn) = (per * r * law.per_decade, rr * law.per_decade + law.bend);
    *margin = Margin {
        m: per * (ln_y - 2.0 * films.ln_h[0]) - here,
        per_run_m: per * r * law.per_run * line.per_run_m,
        per_ln_h: -2.0 * per,
        phi: [by - 1.0, -by, 0.0],
        ln_h: [-2.0 * per, 0.0, 0.0],
        run_phi: [turn, -turn, 0.0],
        ..Margin::default()
    };
}
