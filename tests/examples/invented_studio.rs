//! Prints an invented studio with a log of so many entries, drawn from the priors: `invented_studio ENTRIES`.

use glazefall::studio::file;
use glazefall_tests::studios::of_size;

fn main() {
    let entries = std::env::args().nth(1).and_then(|a| a.parse().ok());
    println!("{}", file::write(&of_size(entries.unwrap_or(60))));
}
