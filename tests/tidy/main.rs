//! Checks of the house itself: what may know what, what must not stand in any file, what is up to date.

mod borders;
mod files;
mod house;
mod readme;
mod types;
mod words;
