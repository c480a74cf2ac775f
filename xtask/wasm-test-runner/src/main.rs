//! Runs one compiled wasm test file in a headless browser.
//!
//! Takes the path that `cargo test --target wasm32-unknown-unknown` hands over; prints each test's result and
//! ends with a status other than 0 where one failed. All settings come from the environment; see `xtask`'s `test`.

use std::process::ExitCode;

fn main() -> ExitCode {
    match wasm_bindgen_cli::wasm_bindgen_test_runner::run_cli_with_args(std::env::args_os()) {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => {
            eprintln!("error: {error:#}");
            ExitCode::FAILURE
        }
    }
}
