//! Every chore of the project, one command each: `cargo xtask serve`, `build`, `bundle`, `test`, `bench`, `types`.
//!
//! Takes a chore's name and its options; sets up what is missing, does the chore, says what it did and how long
//! it took; ends with a status other than 0 where anything failed.

mod bench;
mod build;
mod house;
mod report;
mod serve;
mod setup;
mod sh;
mod size;
mod test;

use std::process::ExitCode;

use anyhow::{Result, bail};
use house::House;

const USAGE: &str = "\
cargo xtask serve [--port N]   set up what is missing, build the page, serve it on 127.0.0.1
cargo xtask build              build the page into www/dist/site/
cargo xtask bundle             build the one-file version, www/dist/glazefall.html
cargo xtask test [WORD …]      set up and run every check; with words, only the steps whose names hold one of them
cargo xtask bench              measure sizes and times beside the figures to reach; the table goes to target/bench/
cargo xtask size               say whose code the wasm is, room by room, and which functions are the largest
cargo xtask types              write www/src/core/types.ts anew from the core's boundary types
";

fn main() -> ExitCode {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    match run(&arguments) {
        Ok(true) => ExitCode::SUCCESS,
        Ok(false) => ExitCode::FAILURE,
        Err(error) => {
            eprintln!("error: {error:#}");
            ExitCode::FAILURE
        }
    }
}

fn run(arguments: &[String]) -> Result<bool> {
    let house = House::find()?;
    let words: Vec<&str> = arguments.iter().map(String::as_str).collect();
    match words.as_slice() {
        ["serve"] => serve::serve(&house, None),
        ["serve", "--port", port] => match port.parse() {
            Ok(port) => serve::serve(&house, Some(port)),
            Err(_) => bail!("--port {port} is not a port: give a number from 1 to 65535"),
        },
        ["build"] => build::site(&house).map(|()| true),
        ["bundle"] => build::one_file(&house).map(|()| true),
        ["test", only @ ..] => test::test(&house, only),
        ["bench"] => bench::bench(&house).map(|()| true),
        ["size"] => size::print(&house).map(|()| true),
        ["types"] => build::types::write(&house).map(|()| true),
        ["help" | "--help" | "-h"] => {
            print!("{USAGE}");
            Ok(true)
        }
        [] => {
            eprint!("{USAGE}");
            Ok(false)
        }
        other => bail!(
            "`cargo xtask {}` is not a chore; these are:\n{USAGE}",
            other.join(" ")
        ),
    }
}
