//! Properties that hold for every input.

mod demo;
mod draw;
mod draw_bowl;
mod draw_known;
mod film;
mod studio;
mod studio_csv;
mod studio_edit;
mod studio_fuzz;
mod studio_merge;

mod physics;
mod predict;
