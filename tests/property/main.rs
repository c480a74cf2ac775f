//! Properties that hold for every input.

mod demo;
mod draw;
mod studio;
mod studio_edit;

mod physics;
mod predict;
