//! The words of each refusal: what is wrong, and what to do, for someone with clay on their hands.
//!
//! Takes a cause with its data; gives two sentences.

mod fits;

use fits::{contradiction_words, misfit_words};

use super::{Cause, Misfit, cut, hidden};
use crate::digits;
use crate::physics::error::PhysicsError;
use crate::studio::document::List;
use crate::studio::json::Fault;

fn list_name(list: List) -> &'static str {
    match list {
        List::Glazes => "glaze",
        List::Hands => "hand",
        List::Bodies => "clay body",
        List::Firings => "firing",
        List::Forms => "form",
        List::Entries => "entry",
        List::WeighIns => "weigh-in",
        List::Photos => "photograph",
    }
}

/// Words one after another.
fn join(text: &mut String, words: &[&str]) {
    for (at, word) in words.iter().enumerate() {
        if at > 0 {
            text.push_str(", ");
        }
        text.push_str(word);
    }
}

/// A count, a line, a limit.
fn put_number(text: &mut String, value: usize) {
    digits::put(text, value as f64);
}

/// A letter by its number, for one that does not show: `U+202E`.
fn code_point(code: u32) -> String {
    let mut text = String::from("U+");
    let mut shift = if code > 0xf_ffff {
        20
    } else if code > 0xffff {
        16
    } else {
        12
    };
    loop {
        let digit = char::from_digit((code >> shift) & 15, 16);
        text.push(digit.unwrap_or('0').to_ascii_uppercase());
        if shift == 0 {
            return text;
        }
        shift -= 4;
    }
}

/// What is wrong and what to do. In the words of most causes a number in braces is the place of a value: `{0}`.
pub fn words(cause: &Cause) -> (String, String) {
    let mut values: [String; 4] = Default::default();
    let (what, remedy) = told(cause, &mut values);
    (filled(what, &values), filled(remedy, &values))
}

/// The words with their values put in.
#[inline(never)]
fn filled(words: &str, values: &[String; 4]) -> String {
    let mut filled = String::new();
    let mut letters = words.chars();
    while let Some(letter) = letters.next() {
        if letter == '{' {
            let place = letters.next().and_then(|digit| digit.to_digit(10));
            if let Some(value) = place.and_then(|place| values.get(place as usize)) {
                filled.push_str(value);
            }
            letters.next();
        } else {
            filled.push(letter);
        }
    }
    filled
}

fn told(cause: &Cause, values: &mut [String; 4]) -> (&'static str, &'static str) {
    let [first, second, third, fourth] = values;
    match cause {
        Cause::NotJson {
            line,
            column,
            fault,
        } => {
            let (what, remedy) = fault_words(*fault);
            put_number(first, *line);
            put_number(second, *column);
            *third = what;
            fourth.push_str(remedy);
            (
                "The file cannot be read from line {0}, letter {1}, on: {2}.",
                "{3} If nobody edited it by hand, it was damaged: take an older copy.",
            )
        }
        Cause::FileTooLong { bytes, limit } => {
            put_number(first, bytes.div_ceil(1_000_000));
            put_number(second, limit / 1_000_000);
            (
                "The file has {0} MB; up to {1} MB are read.",
                "Save fewer photographs with it, or split the log by year.",
            )
        }
        Cause::NotAStudio => (
            "This is not a Glazefall studio file.",
            "Choose the file that was saved from the Studio place; its first line names its format.",
        ),
        Cause::FromTheFuture { found, newest } => {
            digits::put(first, *found);
            digits::put(second, f64::from(*newest));
            (
                "This file was written by a newer Glazefall (version {0}); this one reads up to version {1}.",
                "The file is fine and stays as it is. Update Glazefall and open it again.",
            )
        }
        Cause::NoSuchVersion { found } => {
            first.push_str(found);
            (
                "The file says that its version is {0}, and there never was such a version.",
                "Open the file as it was saved, or set its version to 1.",
            )
        }
        Cause::UnknownKey { key, known } => {
            *first = cut(key);
            let remedy = match known.iter().find(|word| close(key, word)) {
                Some(word) => {
                    second.push_str(word);
                    "Did you mean \"{1}\"?"
                }
                None if known.is_empty() => "Take it out.",
                None => {
                    join(second, known);
                    "Take it out. What may stand here: {1}."
                }
            };
            ("\"{0}\" is not something that is kept here.", remedy)
        }
        Cause::DuplicateKey { key } => {
            *first = cut(key);
            ("\"{0}\" stands here twice.", "Keep one of the two.")
        }
        Cause::MissingKey { key } => {
            first.push_str(key);
            ("\"{0}\" is missing.", "Add it.")
        }
        Cause::WrongKind { expected, found } => {
            first.push_str(expected);
            second.push_str(found);
            *third = lower(expected);
            (
                "{0} belongs here, and {1} stands here.",
                "Put {2} in its place.",
            )
        }
        Cause::UnknownWord { found, known } => {
            first.push_str(found);
            join(second, known);
            (
                "\"{0}\" is not a word that is known here.",
                "Use one of: {1}.",
            )
        }
        Cause::OutOfBounds { value, bounds } => {
            put_plain(first, *value);
            put_plain(second, bounds.least);
            put_plain(third, bounds.most);
            fourth.push_str(bounds.why);
            third.push_str(bounds.unit);
            ("{0} is not between {1} and {2}.", "{3}.")
        }
        Cause::NotWhole { value } => {
            put_plain(first, *value);
            ("{0} is not a whole number.", "Give a whole number.")
        }
        Cause::TooMany { count, limit } => {
            put_number(first, *count);
            put_number(second, *limit);
            (
                "There are {0} or more of these; up to {1} are kept.",
                "Take some out, or start a second studio file.",
            )
        }
        Cause::TooFew { count, least } => {
            put_number(first, *count);
            put_number(second, *least);
            (
                "There are {0} of these, and at least {1} are needed.",
                "Add what is missing.",
            )
        }
        Cause::TextTooLong { letters, limit } => {
            put_number(first, *letters);
            put_number(second, *limit);
            (
                "This text has {0} letters; up to {1} are kept.",
                "Shorten it.",
            )
        }
        Cause::TextBlank => (
            "A name is missing: nothing that can be seen stands here.",
            "Write a name.",
        ),
        Cause::HiddenLetter { code, at } => {
            put_number(first, *at);
            *second = code_point(*code);
            (
                "Letter {0} of this text cannot be seen or turns the text around ({1}).",
                "Type the text anew instead of pasting it.",
            )
        }
        Cause::WrongForm { found, what, how } => {
            first.push_str(found);
            second.push_str(what);
            third.push_str(how);
            ("\"{0}\" is not {1}.", "{2}.")
        }
        Cause::Twice { text, first: taken } => {
            first.push_str(text);
            second.push_str(taken);
            (
                "\"{0}\" is taken already, by {1}.",
                "Give one of the two another.",
            )
        }
        Cause::NoSuchRecord { list, id } => {
            first.push_str(list_name(*list));
            second.push_str(id);
            (
                "There is no {0} \"{1}\" in this studio.",
                "Name a {0} that is there, or add this one first.",
            )
        }
        Cause::StillUsed { by, count } => {
            put_number(first, *count);
            second.push_str(by);
            let once = *count == 1;
            (
                if once {
                    "This is still used {0} time, first in {1}."
                } else {
                    "This is still used {0} times, first in {1}."
                },
                "Change or remove what uses it first.",
            )
        }
        Cause::EndsBeforeItStarts { from, to, unit } => {
            put_plain(first, *from);
            put_plain(second, *to);
            third.push_str(unit);
            (
                "This goes from {0} to {1}{2}, so it ends before it starts.",
                "Measure again, or swap the two: the second is the larger one.",
            )
        }
        Cause::DoesNotFit {
            value,
            limit,
            unit,
            misfit,
        } => {
            // No tape shows more than tenths of a millimetre, and nobody asks for them.
            let places = if limit.abs() < 10.0 { 100.0 } else { 10.0 };
            for (value, text) in [(value, first), (limit, second)] {
                let tape = (value * places).round() / places;
                put_plain(text, if *unit == " mm" { tape } else { *value });
                text.push_str(unit);
            }
            misfit_words(*misfit)
        }
        Cause::OtherStudio { name } => {
            *first = cut(name);
            (
                "This file is of another studio, \"{0}\", so the two cannot be merged.",
                "Open it by itself, or choose a file that was saved from this studio.",
            )
        }
        Cause::EmptyTable => (
            "There is nothing in this table.",
            "Give a first line with headers, and one line for each record.",
        ),
        Cause::OpenQuote => (
            "A quote is opened here and never closed.",
            "Close it, or write two of them where one is meant as a letter.",
        ),
        Cause::NoKnownColumn { known } => {
            let names: Vec<&str> = known.iter().take(12).map(String::as_str).collect();
            join(first, &names);
            (
                "No column of this table is known by its header.",
                "Name columns on the first line: {0} and so on.",
            )
        }
        Cause::TwiceInTable { text } => {
            first.push_str(text);
            (
                "\"{0}\" stands on two lines of this table.",
                "Keep one of the two lines.",
            )
        }
        Cause::NameOfSeveral { list, name } => {
            first.push_str(list_name(*list));
            second.push_str(name);
            (
                "There is more than one {0} called \"{1}\".",
                "Give its identifier instead.",
            )
        }
        Cause::Piece(error) => {
            *first = error.to_string();
            (
                "These measures do not make a piece: {0}",
                "Measure the form again.",
            )
        }
        Cause::Physics(PhysicsError::SlurryTooThickToDip { sg, limit_sg }) => {
            put_plain(first, *sg);
            put_plain(second, *limit_sg);
            misfit_words(Misfit::SlurryThick)
        }
        Cause::Physics(error) => {
            *first = error.to_string();
            (
                "No formula reaches that far: {0}.",
                "Check the number and its unit.",
            )
        }
        Cause::Contradiction(which) => contradiction_words(*which),
    }
}

fn lower(text: &str) -> String {
    let mut lowered = text.to_owned();
    if let Some(first) = lowered.get_mut(..1) {
        first.make_ascii_lowercase();
    }
    lowered
}

/// A number as a person would write it; very large and very small ones with a power of ten.
pub fn plain(value: f64) -> String {
    let mut text = String::new();
    put_plain(&mut text, value);
    text
}

#[inline(never)]
fn put_plain(text: &mut String, value: f64) {
    let size = value.abs();
    if size != 0.0 && !(1e-4..1e9).contains(&size) {
        let power = size.log10().floor();
        // In two steps, since ten to the least power of all is zero.
        let digits = value / 10f64.powf(power / 2.0) / 10f64.powf(power - power / 2.0);
        digits::put(text, (digits * 1e3).round() / 1e3);
        text.push('e');
        digits::put(text, power);
    } else {
        // Four places are finer than anything that is read in a studio, and hide the noise of binary fractions.
        digits::put(text, (value * 1e4).round() / 1e4);
    }
}

/// Whether two keys differ by case, by a stroke between words, or by one letter.
fn close(found: &str, known: &str) -> bool {
    if found.len() > known.len() + 2 {
        return false;
    }
    let tidy = |word: &str| -> Vec<u8> {
        let mut tidied = word.as_bytes().to_ascii_lowercase();
        tidied.retain(u8::is_ascii_alphanumeric);
        tidied
    };
    let (a, b) = (tidy(found), tidy(known));
    let shorter = a.len().min(b.len());
    let same_start = (0..shorter).take_while(|at| a[*at] == b[*at]).count();
    let same_end = (1..=shorter)
        .take_while(|at| a[a.len() - at] == b[b.len() - at])
        .count();
    let longer = a.len().max(b.len());
    longer >= 3 && a.len().abs_diff(b.len()) <= 1 && same_start + same_end + 1 >= longer
}

fn fault_words(fault: Fault) -> (String, &'static str) {
    let (what, remedy) = match fault {
        Fault::EndsEarly => ("it ends too early", "Part of the file is missing."),
        Fault::Unexpected(found) => {
            let mut what = String::from("\"");
            if hidden(found) {
                what.push_str(&code_point(found as u32));
            } else {
                what.push(found);
            }
            what.push_str("\" has no place there");
            return (what, "Look there for a missing comma, quote or bracket.");
        }
        Fault::NotFinite => (
            "\"not a number\" or \"infinite\" stands there",
            "Put a number there, or take the key out.",
        ),
        Fault::TooDeep => (
            "things are nested too deep there",
            "No studio file is nested that deep.",
        ),
        Fault::RawControl => (
            "a text is broken by a line end or a control letter",
            "Close the text with a quote on its line.",
        ),
        Fault::BadEscape => (
            "a backslash stands before something it cannot stand before",
            "Take the backslash out.",
        ),
        Fault::LoneSurrogate => (
            "half a letter stands there",
            "Take the half letter (\\ud…) out.",
        ),
        Fault::TooLarge => (
            "the number there is too large",
            "Put a number of a sensible size there.",
        ),
        Fault::Trailing => (
            "something follows after the end",
            "Take out what stands after the last bracket.",
        ),
    };
    (what.into(), remedy)
}
