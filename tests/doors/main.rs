//! The doors: the examples that read one JSON and print one, run as the README shows them.

mod learn;
mod predict;
mod readme;
mod run;
mod solve;
