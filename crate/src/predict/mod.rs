//! What will come out of the kiln: a plan's outcome with its chances, coat charts, advice.
//!
//! Takes a checked studio, what its log has taught, and a plan; gives medians, bands, chances and sentences.

pub mod advice;
pub mod chart;
pub mod compare;
pub mod count;
pub mod drawn;
pub mod film_runs;
pub mod forecast;
pub mod hangs_on;
pub mod laid;
pub mod middle;
pub mod next_tiles;
pub mod on_film;
pub mod on_piece;
pub mod outcome;
pub mod plan;
pub mod scan;
pub mod settle;
pub mod shelf;
pub mod simulate;
pub mod spread;
pub mod stack;
pub mod story;
pub mod surrogate;
pub mod thickness;
pub mod track;
pub mod unknown;
pub mod wave;

pub use chart::{ChartCell, CoatChart};
pub use compare::{Lesson, compare};
pub use forecast::{FULL_DRAWS, QUICK_DRAWS, predict, quick};
pub use next_tiles::{NextTile, NextTiles, next_tiles};
pub use outcome::PlanOutcome;
pub use story::story;
