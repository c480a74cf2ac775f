//! Checks against published values, each with its source beside it.

mod composition;
mod film;
mod film_band;
mod film_gravity;
mod film_order;
mod film_piece;
mod film_relief;
mod firing;
mod judged;
mod laydown;
mod learn_broken;
mod learn_gradient;
mod learn_left_out;
mod learn_linear;
mod learn_odd;
mod learn_ranks;
mod learn_scores;
mod learn_second;
mod learn_update;
mod melt;
mod over_glaze;
mod refusals;
mod slurry;
mod tile;

mod case;
mod predict;
