//! Checks against published values, each with its source beside it.

mod composition;
mod film_piece;
mod firing;
mod laydown;
mod learn_linear;
mod melt;
mod refusals;
mod slurry;
mod tile;

mod case;
mod predict;
