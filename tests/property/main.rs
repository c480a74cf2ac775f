//! Properties that hold for every input.

mod studio;

mod physics;
