//! The words of each refusal: what is wrong, and what to do, for someone with clay on their hands.
//!
//! Takes a cause with its data; gives two sentences.

use super::{Cause, Contradiction, Misfit, cut, hidden};
use crate::digits::Plain;
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

fn join(words: &[&str]) -> String {
    let mut joined = String::new();
    for word in words {
        if !joined.is_empty() {
            joined.push_str(", ");
        }
        joined.push_str(word);
    }
    joined
}

pub fn words(cause: &Cause) -> (String, String) {
    match cause {
        Cause::NotJson { line, column, fault } => {
            let (what, remedy) = fault_words(*fault);
            (
                format!("The file cannot be read from line {line}, letter {column}, on: {what}."),
                format!("{remedy} If nobody edited it by hand, it was damaged: take an older copy."),
            )
        }
        Cause::FileTooLong { bytes, limit } => (
            format!("The file has {} MB; up to {} MB are read.", bytes.div_ceil(1_000_000), limit / 1_000_000),
            "Save fewer photographs with it, or split the log by year.".into(),
        ),
        Cause::NotAStudio => (
            "This is not a Glazefall studio file.".into(),
            "Choose the file that was saved from the Studio place; its first line names its format.".into(),
        ),
        Cause::FromTheFuture { found, newest } => (
            format!("This file was written by a newer Glazefall (version {}); this one reads up to version {newest}.", Plain(*found)),
            "The file is fine and stays as it is. Update Glazefall and open it again.".into(),
        ),
        Cause::NoSuchVersion { found } => (
            format!("The file says that its version is {found}, and there never was such a version."),
            "Open the file as it was saved, or set its version to 1.".into(),
        ),
        Cause::UnknownKey { key, known } => {
            let near = known.iter().find(|word| close(key, word));
            let remedy = match near {
                Some(word) => format!("Did you mean \"{word}\"?"),
                None if known.is_empty() => "Take it out.".into(),
                None => format!("Take it out. What may stand here: {}.", join(known)),
            };
            (format!("\"{}\" is not something that is kept here.", cut(key)), remedy)
        }
        Cause::DuplicateKey { key } => {
            (format!("\"{}\" stands here twice.", cut(key)), "Keep one of the two.".into())
        }
        Cause::MissingKey { key } => (format!("\"{key}\" is missing."), "Add it.".into()),
        Cause::WrongKind { expected, found } => {
            (format!("{expected} belongs here, and {found} stands here."), format!("Put {} in its place.", lower(expected)))
        }
        Cause::UnknownWord { found, known } => {
            (format!("\"{found}\" is not a word that is known here."), format!("Use one of: {}.", join(known)))
        }
        Cause::OutOfBounds { value, bounds } => (
            format!("{} is not between {} and {}{}.", plain(*value), plain(bounds.least), plain(bounds.most), bounds.unit),
            format!("{}.", bounds.why),
        ),
        Cause::NotWhole { value } => {
            (format!("{} is not a whole number.", plain(*value)), "Give a whole number.".into())
        }
        Cause::TooMany { count, limit } => (
            format!("There are {count} or more of these; up to {limit} are kept."),
            "Take some out, or start a second studio file.".into(),
        ),
        Cause::TooFew { count, least } => {
            (format!("There are {count} of these, and at least {least} are needed."), "Add what is missing.".into())
        }
        Cause::TextTooLong { letters, limit } => {
            (format!("This text has {letters} letters; up to {limit} are kept."), "Shorten it.".into())
        }
        Cause::TextBlank => ("A name is missing: nothing that can be seen stands here.".into(), "Write a name.".into()),
        Cause::HiddenLetter { code, at } => (
            format!("Letter {at} of this text cannot be seen or turns the text around (U+{code:04X})."),
            "Type the text anew instead of pasting it.".into(),
        ),
        Cause::WrongForm { found, what, how } => (format!("\"{found}\" is not {what}."), format!("{how}.")),
        Cause::Twice { text, first } => {
            (format!("\"{text}\" is taken already, by {first}."), "Give one of the two another.".into())
        }
        Cause::NoSuchRecord { list, id } => (
            format!("There is no {} \"{id}\" in this studio.", list_name(*list)),
            format!("Name a {} that is there, or add this one first.", list_name(*list)),
        ),
        Cause::StillUsed { by, count } => (
            format!("This is still used {count} {}, first in {by}.", if *count == 1 { "time" } else { "times" }),
            "Change or remove what uses it first.".into(),
        ),
        Cause::EndsBeforeItStarts { from, to, unit } => (
            format!("This goes from {} to {}{unit}, so it ends before it starts.", plain(*from), plain(*to)),
            "Measure again, or swap the two: the second is the larger one.".into(),
        ),
        Cause::DoesNotFit { value, limit, unit, misfit } => {
            let (what, remedy) = misfit_words(*misfit);
            // No tape shows more than tenths of a millimetre, and nobody asks for them.
            let places = if limit.abs() < 10.0 { 100.0 } else { 10.0 };
            let short = |number: f64| {
                plain(if *unit == " mm" {
                    (number * places).round() / places
                } else {
                    number
                })
            };
            let (value, limit) = (short(*value), short(*limit));
            (filled(what, &value, &limit, unit), remedy.into())
        }
        Cause::OtherStudio { name } => (
            format!("This file is of another studio, \"{}\", so the two cannot be merged.", cut(name)),
            "Open it by itself, or choose a file that was saved from this studio.".into(),
        ),
        Cause::EmptyTable => (
            "There is nothing in this table.".into(),
            "Give a first line with headers, and one line for each record.".into(),
        ),
        Cause::OpenQuote => (
            "A quote is opened here and never closed.".into(),
            "Close it, or write two of them where one is meant as a letter.".into(),
        ),
        Cause::NoKnownColumn { known } => {
            let first: Vec<&str> = known.iter().take(12).map(String::as_str).collect();
            (
                "No column of this table is known by its header.".into(),
                format!("Name columns on the first line: {} and so on.", join(&first)),
            )
        }
        Cause::TwiceInTable { text } => (
            format!("\"{text}\" stands on two lines of this table."),
            "Keep one of the two lines.".into(),
        ),
        Cause::NameOfSeveral { list, name } => (
            format!("There is more than one {} called \"{name}\".", list_name(*list)),
            "Give its identifier instead.".into(),
        ),
        Cause::Piece(error) => (
            format!("These measures do not make a piece: {error}"),
            "Measure the form again.".into(),
        ),
        Cause::Physics(PhysicsError::SlurryTooThickToDip { sg, limit_sg }) => words(&Cause::DoesNotFit {
            value: *sg,
            limit: *limit_sg,
            unit: "",
            misfit: Misfit::SlurryThick,
        }),
        Cause::Physics(error) => (
            format!("No formula reaches that far: {error}."),
            "Check the number and its unit.".into(),
        ),
        Cause::Contradiction(which) => {
            let (what, remedy) = contradiction_words(*which);
            (what.into(), remedy.into())
        }
    }
}

fn lower(text: &str) -> String {
    let mut letters = text.chars();
    match letters.next() {
        Some(first) => {
            let mut lowered = String::from(first.to_ascii_lowercase());
            lowered.push_str(letters.as_str());
            lowered
        }
        None => String::new(),
    }
}

/// A number as a person would write it; very large and very small ones with a power of ten.
pub fn plain(value: f64) -> String {
    let size = value.abs();
    if size != 0.0 && !(1e-4..1e9).contains(&size) {
        let power = size.log10().floor();
        // In two steps, since ten to the least power of all is zero.
        let digits = value / 10f64.powf(power / 2.0) / 10f64.powf(power - power / 2.0);
        return format!("{}e{}", Plain((digits * 1e3).round() / 1e3), Plain(power));
    }
    // Four places are finer than anything that is read in a studio, and hide the noise of binary fractions.
    Plain((value * 1e4).round() / 1e4).to_string()
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
            let shown = if hidden(found) {
                format!("U+{:04X}", found as u32)
            } else {
                found.to_string()
            };
            return (
                format!("\"{shown}\" has no place there"),
                "Look there for a missing comma, quote or bracket.",
            );
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

/// The words of a misfit with its measure (`@`) and the other one (`#`) put in.
fn filled(what: &str, value: &str, limit: &str, unit: &str) -> String {
    let mut words = String::new();
    for letter in what.chars() {
        match letter {
            '@' => words.push_str(value),
            '#' => words.push_str(limit),
            _ => words.push(letter),
        }
        if matches!(letter, '@' | '#') {
            words.push_str(unit);
        }
    }
    words
}

fn misfit_words(misfit: Misfit) -> (&'static str, &'static str) {
    match misfit {
        Misfit::BelowTheFoot => (
            "This reaches @ down, and the wall ends at #.",
            "Let it end higher; measure along the wall, down from the rim or the upper edge.",
        ),
        Misfit::BelowTheFloor => (
            "This goes @ down the inside, and the inside is # deep along the wall.",
            "Let it end higher.",
        ),
        Misfit::ZoneShort => (
            "This stretch of glaze is @ long; the shortest that runs as a film is #.",
            "Measure its two ends again.",
        ),
        Misfit::IntervalNarrow => (
            "From least to most there are @; no eye tells less than # apart.",
            "Say a wider interval, or use the ruler.",
        ),
        Misfit::BellyNarrow => (
            "The largest diameter is @, less than rim or foot with #.",
            "Give the diameter where the form is widest.",
        ),
        Misfit::NeckWide => (
            "The neck is @ wide, more than rim or belly with #.",
            "Give the narrowest diameter.",
        ),
        Misfit::FootWide => (
            "The foot is @ wide, more than the rim with #.",
            "Measure foot and rim again.",
        ),
        Misfit::TextureSteep => (
            "The texture is @ deep; with this repeat at most # can be glazed.",
            "Measure depth and repeat again.",
        ),
        Misfit::BareLong => (
            "Bare wall of @ below the glaze is more than the wall has there, #.",
            "Measure from the lowest glaze line to the foot.",
        ),
        Misfit::SlurryThick => (
            "A slurry of specific gravity @ is too thick to dip into; with this glaze's dry density at most #.",
            "Thin it, or brush it on.",
        ),
        Misfit::OxidesMany => (
            "The oxides add up to @, more than #.",
            "Give them in weight percent.",
        ),
        Misfit::OxidesFew => (
            "The oxides add up to @, less than #.",
            "Give all of them, in weight percent.",
        ),
        Misfit::ViscosityFlat => (
            "Two viscosities are given only @ apart; they need at least #.",
            "Give points further apart, each stiffer as it gets cooler.",
        ),
        Misfit::VerdictLines => (
            "\"Will run off\" starts at a chance of @, not above the # up to which a pot holds.",
            "Set the second line above the first.",
        ),
        Misfit::PhotoBytes => (
            "The photograph takes @; up to # are kept.",
            "Scale it down.",
        ),
    }
}

fn contradiction_words(which: Contradiction) -> (&'static str, &'static str) {
    match which {
        Contradiction::OverRimStartsLower => (
            "The glaze goes over the rim, and yet it starts below it.",
            "Let it start at 0, or not go over the rim.",
        ),
        Contradiction::InsideWithoutRim => (
            "The glaze goes down the inside without going over the rim.",
            "Say that it goes over the rim.",
        ),
        Contradiction::TileWithRim => ("A tile has no rim to go over.", "Take \"over_rim\" out."),
        Contradiction::TileWithDiameter => ("A tile has no diameter.", "Take \"diameter_mm\" out."),
        Contradiction::RunTwice => (
            "A run stands here by ruler and by word at once.",
            "Keep one of the two.",
        ),
        Contradiction::PotWithSlope => ("Only a tile is leaned.", "Take \"slope_deg\" out."),
        Contradiction::WordWithoutInterval => (
            "A word stands here without the millimetres that are meant by it.",
            "Say at least how much, at most how much, or both.",
        ),
        Contradiction::EdgeWithoutGlaze => (
            "The run was read where glaze ends on glaze, and no layer ends on another here.",
            "Choose the edge onto bare clay, or add the layer below.",
        ),
        Contradiction::TextureWithoutTexture => (
            "A texture was judged on a form that has none.",
            "Add the texture to the form, or take the judgement out.",
        ),
        Contradiction::ViscosityPointsFew => (
            "One or two viscosities do not make a curve.",
            "Give three or more, or none.",
        ),
        Contradiction::OutcomeBeforeFiring => (
            "Something was read from a firing that is still to come.",
            "Mark the firing as fired.",
        ),
        Contradiction::TooManySizes => (
            "More different sizes of piece stand here than can be drawn up, over four thousand.",
            "Round diameters to whole centimetres.",
        ),
        Contradiction::NeverHot => (
            "This schedule never gets hot enough for a glaze to melt.",
            "Check the highest target; it is in °C.",
        ),
    }
}
