//! What goes wrong with a text: cut, repeated, misspelt, nested, filled with what does not belong there.
//!
//! Takes a good text and a generator; gives it with a few things wrong.

use rand::{Rng, RngExt};
use rand_chacha::ChaCha8Rng;

/// Things that stand in files by accident or malice.
const NASTY: &[&str] = &[
    "NaN",
    "Infinity",
    "-Infinity",
    "1e400",
    "-1e400",
    "1e-400",
    "0",
    "-0",
    "-1",
    "99999999999999999999",
    "1.5",
    "null",
    "true",
    "\"\"",
    "[]",
    "{}",
    "\"\\u0000\"",
    "\"\\ud800\"",
    "\"\\udc00\\ud800\"",
    "\"\\u202e\"",
    "\"\\u200b\"",
    "\"<script>alert(1)</script>\"",
    "\"../../x\"",
    "\"=1+1\"",
    ",",
    ":",
    "\"",
    "\\",
    "}",
    "]",
    "{",
    "[",
    "\u{0}",
    "\u{feff}",
    "\u{202e}",
    "\u{200d}",
    "\n",
    "\r",
    "\t",
    ";",
    "'",
    "=cmd|' /C calc'!A0",
    "é",
    "😀",
    "\u{e0041}",
    "\"id\": \"a\", \"id\": \"b\"",
    "1,5",
    "1.234,5",
    "//",
    "/*",
    "+1",
    ".5",
    "5.",
    "0x10",
    "1_000",
];

/// The text with one to four things wrong with it, as often one as more; now and then with none.
pub fn mutated(text: &str, rng: &mut ChaCha8Rng) -> String {
    let mut input = text.to_owned();
    for _ in 0..[1, 1, 1, 1, 2, 2, 3, 4, rng.random_range(0..4)][rng.random_range(0..9)] {
        mutate(&mut input, rng);
    }
    input
}

/// A place between two letters.
fn place(input: &str, rng: &mut ChaCha8Rng) -> usize {
    let mut at = rng.random_range(0..=input.len());
    while !input.is_char_boundary(at) {
        at -= 1;
    }
    at
}

fn mutate(input: &mut String, rng: &mut ChaCha8Rng) {
    let (a, b) = (place(input, rng), place(input, rng));
    let near = (a..=(a + 40).min(input.len()))
        .rev()
        .find(|at| input.is_char_boundary(*at))
        .unwrap_or(a);
    match rng.random_range(0..13u32) {
        0 => input.truncate(a),
        1 => input.replace_range(a..near, ""),
        2 => input.insert_str(a, NASTY[rng.random_range(0..NASTY.len())]),
        3 => {
            // A stretch from elsewhere.
            let end = (b..=(b + 200).min(input.len()))
                .rev()
                .find(|at| input.is_char_boundary(*at))
                .unwrap_or(b);
            let piece = input[b..end].to_owned();
            input.insert_str(a, &piece);
        }
        // A number for another.
        4..=6 => swap_token(
            input,
            a,
            rng,
            |letter| letter.is_ascii_digit() || matches!(letter, '.' | '-'),
            |rng| match rng.random_range(0..4u32) {
                0 => NASTY[rng.random_range(0..18)].to_owned(),
                1 => format!("{}", rng.random_range(-10..3000i64)),
                2 => format!("{:.3}", 10f64.powf(rng.random_range(-9.0..12.0))),
                _ => format!("{:e}", f64::from_bits(rng.next_u64())),
            },
        ),
        // A word for another.
        7 | 8 => swap_token(
            input,
            a,
            rng,
            |letter| letter.is_ascii_alphanumeric() || matches!(letter, '_' | '-'),
            |rng| {
                let words = [
                    "id",
                    "glaze",
                    "moss",
                    "brush",
                    "dip",
                    "spray",
                    "coats",
                    "test-tile",
                    "bowl",
                    "wet-moss",
                    "word",
                    "ruler",
                    "week-1",
                    "true",
                    "tile",
                    "x",
                ];
                words[rng.random_range(0..words.len())].to_owned()
            },
        ),
        9 => {
            let letter = char::from_u32(rng.random_range(0..0x11_0000)).unwrap_or('\u{fffd}');
            input.insert(a, letter);
        }
        10 => {
            let depth = [3, 30, 33, 1000, 100_000][rng.random_range(0..5)];
            // Rarely the deepest, which is slow to make.
            let depth = if depth > 1000 && rng.random_range(0..50u32) > 0 {
                40
            } else {
                depth
            };
            input.insert_str(
                a,
                &if rng.random_bool(0.5) {
                    "[".repeat(depth)
                } else {
                    "{\"a\":".repeat(depth)
                },
            );
        }
        11 => input.insert_str(a, &"w".repeat(rng.random_range(1..10_000))),
        _ => {
            let found = input[a..]
                .find(['"', ',', ':', '{', '}', '[', ']'])
                .map(|at| a + at);
            if let Some(at) = found {
                input.remove(at);
            }
        }
    }
}

/// Puts another token in place of the one at or after a place.
fn swap_token(
    input: &mut String,
    at: usize,
    rng: &mut ChaCha8Rng,
    belongs: impl Fn(char) -> bool,
    other: impl Fn(&mut ChaCha8Rng) -> String,
) {
    let Some(start) = input[at..].find(&belongs).map(|found| at + found) else {
        return;
    };
    let end = input[start..]
        .find(|letter| !belongs(letter))
        .map_or(input.len(), |found| start + found);
    let token = other(rng);
    input.replace_range(start..end, &token);
}
