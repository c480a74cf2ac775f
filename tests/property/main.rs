//! Properties that hold for every input.

mod studio;
mod studio_edit;

mod physics;
mod predict;
