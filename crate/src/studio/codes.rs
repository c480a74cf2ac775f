//! Short codes to pencil on the back of a pot, and identifiers for new records.
//!
//! Takes a studio; gives a code or an identifier that nothing in it has yet.

use super::any;
use super::bounds::ID_LETTERS;
use super::document::{Id, List, Studio};
use crate::digits;
use crate::order;

/// Letters that are not mistaken for one another in pencil on clay, nor for a digit, nor upside down: without B (8), D and Q and O (0),
/// G (6), I and J and L (1, and 7 upside down), N (Z on its side), S (5), U and V, W (M upside down), Z (2).
const LETTERS: &[u8] = b"ACEFHKMPRTXY";
/// Digits likewise: without 0 (O), 1 (I), 2 (Z), 5 (S), 6 (9 upside down), 8 (B).
const DIGITS: &[u8] = b"3479";
/// Shortest code: a letter, a digit, a letter; there are 576 of them.
const SHORTEST: usize = 3;
/// Longest code that is ever made.
const LONGEST: usize = 8;

/// A code that no entry has: letter, digit, letter, and on in turn once those are used up. So it is never a word.
pub fn fresh_code(studio: &Studio) -> String {
    let mut taken = Vec::with_capacity(studio.entries.len());
    for entry in &studio.entries {
        taken.push(entry.code.to_ascii_uppercase());
    }
    unlike(taken)
}

/// A code unlike all that are taken, which are in capitals.
pub(super) fn unlike(mut taken: Vec<String>) -> String {
    order::sort(&mut taken);
    for length in SHORTEST..=LONGEST {
        let mut count = 1;
        for at in 0..length {
            count *= signs(at).len();
        }
        // Far apart one after another, so that codes made on one day do not look alike; one more than a multiple of
        // 6, so coprime to `count`, whose only factors are 2 and 3, and each code comes once.
        let stride = 6 * (count * 5 / 78) + 1;
        let start = taken.len() * stride;
        for step in 0..count.min(taken.len() + 1) {
            let code = code_at((start + step * stride) % count, length);
            if taken.binary_search(&code).is_err() {
                return code;
            }
        }
    }
    String::new()
}

fn signs(at: usize) -> &'static [u8] {
    if at.is_multiple_of(2) {
        LETTERS
    } else {
        DIGITS
    }
}

fn code_at(mut number: usize, length: usize) -> String {
    let mut code = String::new();
    for at in 0..length {
        let signs = signs(at);
        code.push(signs[number % signs.len()] as char);
        number /= signs.len();
    }
    code
}

/// An identifier that nothing in the list has: of the name where it has letters of a–z, else of the time.
///
/// Entries, weigh-ins and pictures always get the time, so that a laptop and a tablet that log at once stay apart.
pub fn fresh_id(studio: &Studio, list: List, name: &str, now_ms: u64) -> Id {
    let named = !matches!(list, List::Entries | List::WeighIns | List::Photos);
    let mut stem = if named { slug(name) } else { String::new() };
    if stem.is_empty() {
        let mark = match list {
            List::Glazes => 'g',
            List::Hands => 'h',
            List::Bodies => 'b',
            List::Firings => 'k',
            List::Forms => 'f',
            List::Entries => 'e',
            List::WeighIns => 'w',
            List::Photos => 'p',
        };
        stem.push(mark);
        stem.push('-');
        put_base36(&mut stem, now_ms);
    }
    let mut id = stem.clone();
    let mut number = 2;
    while any::place_of(studio, list, &id).is_some() {
        id = numbered(&stem, number);
        number += 1;
    }
    id
}

/// An identifier with a number behind it.
pub(super) fn numbered(stem: &str, number: u32) -> Id {
    let mut id = stem.to_owned();
    id.push('-');
    digits::put(&mut id, f64::from(number));
    id
}

fn slug(name: &str) -> String {
    let mut slug = String::new();
    for letter in name.chars() {
        let letter = letter.to_ascii_lowercase();
        if letter.is_ascii_alphanumeric() {
            slug.push(letter);
        } else if !slug.is_empty() && !slug.ends_with('-') {
            slug.push('-');
        }
        // Room for a number behind it.
        if slug.len() >= ID_LETTERS - 8 {
            break;
        }
    }
    slug.trim_end_matches('-').to_owned()
}

fn put_base36(out: &mut String, number: u64) {
    if number >= 36 {
        put_base36(out, number / 36);
    }
    out.push(char::from_digit((number % 36) as u32, 36).unwrap_or('0'));
}
