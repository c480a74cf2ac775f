//! Mutates studio documents, edits and tables and reads them: none may panic, none beyond a bound may be taken, and
//! each refusal must say what is wrong and where.
//!
//! Takes the number of inputs (1,000,000) and a seed (1) as arguments; prints counts as JSON. From the top of the house:
//! `cargo run --profile fuzz --example fuzz_documents -- 1000000 1`.

#[path = "fuzz_documents/fuzz.rs"]
mod fuzz;

use std::process::ExitCode;

fn main() -> ExitCode {
    let mut arguments = std::env::args().skip(1);
    let mut number = |or: u64| {
        arguments
            .next()
            .and_then(|word| word.parse().ok())
            .unwrap_or(or)
    };
    let (inputs, seed) = (number(1_000_000), number(1));
    let counts = fuzz::run(
        include_str!("../../fixtures/demo/studio.json"),
        inputs,
        seed,
    );
    println!("{}", counts.json());
    if counts.broken == 0 {
        ExitCode::SUCCESS
    } else {
        ExitCode::FAILURE
    }
}
