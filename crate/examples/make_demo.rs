//! Writes the demo studio, `fixtures/demo/studio.json`: an invented evening class, its outcomes drawn from the model.
//!
//! Takes nothing (one seed stands in `draw.rs`); run it from the top of the house:
//! `cargo run --release --example make_demo > fixtures/demo/studio.json`. Everybody and everything in it is made up.

#[path = "make_demo/draw.rs"]
mod draw;
#[path = "make_demo/entries.rs"]
mod entries;
#[path = "make_demo/scenario.rs"]
mod scenario;

use std::process::ExitCode;

use glazefall::studio::{check, file};

fn main() -> ExitCode {
    match draw::demo() {
        Ok(studio) => {
            if let Err(refusals) = check::check(&studio) {
                for refusal in refusals {
                    eprintln!("{refusal}");
                }
                return ExitCode::from(2);
            }
            print!("{}", file::write(&studio));
            ExitCode::SUCCESS
        }
        Err(refusal) => {
            eprintln!("{refusal}");
            ExitCode::from(2)
        }
    }
}
