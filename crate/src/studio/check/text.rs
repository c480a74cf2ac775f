//! What a text may be: long enough, short enough, visible, of the form it needs.
//!
//! Takes a text and its rule; gives what is wrong with it, or nothing.

use crate::physics::firing::CONES;
use crate::studio::bounds;
use crate::studio::error::{Cause, Misfit, cut, hidden};
use crate::studio::walk::TextRule;

/// What is wrong with a text, if anything.
pub fn wrong(text: &str, rule: TextRule) -> Option<Cause> {
    let form = |fits: bool, what: &'static str, how: &'static str| {
        if fits {
            None
        } else {
            Some(Cause::WrongForm {
                found: cut(text),
                what,
                how,
            })
        }
    };
    match rule {
        TextRule::OwnId | TextRule::StudioId => form(
            is_id(text),
            "an identifier",
            "Use 1 to 40 of the letters a–z, digits and hyphens",
        ),
        TextRule::Name => line(text, bounds::NAME_LETTERS, false)
            .or_else(|| text.trim().is_empty().then_some(Cause::TextBlank)),
        TextRule::Line => line(text, bounds::NAME_LETTERS, false),
        TextRule::Note => line(text, bounds::NOTE_LETTERS, true),
        TextRule::Code => form(
            is_code(text),
            "a pencil code",
            "Use up to 8 letters A–Z, digits and hyphens",
        ),
        TextRule::Day => form(
            is_day(text),
            "a day of the calendar",
            "Write year-month-day, like 2031-03-09",
        ),
        TextRule::Colour => form(
            is_colour(text),
            "a colour",
            "Write # and six of 0–9 and a–f, like #a8c4b8",
        ),
        TextRule::Cone => form(
            CONES.iter().any(|(cone, _)| *cone == text),
            "a cone of the chart",
            "Use 06, 04, 5, 6, 7, 8, 9 or 10, or give the schedule in segments",
        ),
        TextRule::MediaType => form(
            matches!(text, "image/jpeg" | "image/png" | "image/webp"),
            "a kind of picture that is kept",
            "Use image/jpeg, image/png or image/webp",
        ),
        TextRule::Base64 => {
            if text.len() > bounds::PHOTO_LETTERS {
                let megabytes = |letters: usize| letters as f64 * 0.75e-6;
                return Some(Cause::DoesNotFit {
                    value: megabytes(text.len()),
                    limit: megabytes(bounds::PHOTO_LETTERS),
                    unit: " MB",
                    misfit: Misfit::PhotoBytes,
                });
            }
            form(
                is_base64(text),
                "a picture in base64",
                "Add the photograph anew",
            )
        }
        TextRule::Format | TextRule::Reference(_) => None,
    }
}

/// Too long, or a letter that does not show.
fn line(text: &str, limit: usize, breaks: bool) -> Option<Cause> {
    // Bytes first: counting the letters of a hundred million would take its time.
    let letters = if text.len() > 4 * limit {
        text.len() / 4
    } else {
        text.chars().count()
    };
    if letters > limit {
        return Some(Cause::TextTooLong {
            letters: text.chars().count(),
            limit,
        });
    }
    let mut before = ' ';
    let mut rest = text.chars().enumerate().peekable();
    while let Some((at, letter)) = rest.next() {
        let after = rest.peek().map_or(' ', |(_, next)| *next);
        let fine = match letter {
            '\n' | '\t' => breaks,
            // They join letters of scripts that need it, and parts of one picture letter; elsewhere they only hide.
            '\u{200c}' | '\u{200d}' => !before.is_ascii() && !after.is_ascii(),
            _ => !hidden(letter),
        };
        if !fine {
            return Some(Cause::HiddenLetter {
                code: letter as u32,
                at: at + 1,
            });
        }
        before = letter;
    }
    None
}

fn is_id(text: &str) -> bool {
    (1..=bounds::ID_LETTERS).contains(&text.len())
        && text
            .bytes()
            .all(|byte| matches!(byte, b'a'..=b'z' | b'0'..=b'9' | b'-'))
}

fn is_code(text: &str) -> bool {
    (1..=bounds::CODE_LETTERS).contains(&text.len())
        && text
            .bytes()
            .all(|byte| byte.is_ascii_alphanumeric() || byte == b'-')
}

fn is_colour(text: &str) -> bool {
    text.len() == 7
        && text.starts_with('#')
        && text[1..].bytes().all(|byte| byte.is_ascii_hexdigit())
}

/// Whether a text is a day of the calendar, years 1900 to 2200.
pub fn is_day(text: &str) -> bool {
    let bytes = text.as_bytes();
    if bytes.len() != 10 || bytes[4] != b'-' || bytes[7] != b'-' {
        return false;
    }
    let number = |from: usize, to: usize| -> Option<u32> {
        let digits = &bytes[from..to];
        if !digits.iter().all(u8::is_ascii_digit) {
            return None;
        }
        Some(
            digits
                .iter()
                .fold(0, |sum, digit| 10 * sum + u32::from(digit - b'0')),
        )
    };
    let (Some(year), Some(month), Some(day)) = (number(0, 4), number(5, 7), number(8, 10)) else {
        return false;
    };
    let leap = (year % 4 == 0 && year % 100 != 0) || year % 400 == 0;
    let days = match month {
        4 | 6 | 9 | 11 => 30,
        2 if leap => 29,
        2 => 28,
        1..=12 => 31,
        _ => return false,
    };
    (1900..=2200).contains(&year) && (1..=days).contains(&day)
}

fn is_base64(text: &str) -> bool {
    let bytes = text.as_bytes();
    let padding = bytes.iter().rev().take_while(|byte| **byte == b'=').count();
    !bytes.is_empty()
        && bytes.len().is_multiple_of(4)
        && padding <= 2
        && bytes[..bytes.len() - padding]
            .iter()
            .all(|byte| byte.is_ascii_alphanumeric() || matches!(byte, b'+' | b'/'))
}
