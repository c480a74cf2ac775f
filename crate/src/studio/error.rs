//! What can be wrong with a studio document, as data; the words are made here, at the edge.
//!
//! Takes a place, a value and a limit; gives what is wrong, where, and what to do about it, in a potter's words.

use std::fmt;

use serde::Serialize;

use super::bounds::Bounds;
use super::document::List;
use super::json::Fault;
use crate::physics::error::PhysicsError;
use crate::physics::piece::PieceError;

/// One refusal: a place in the document and what is wrong there.
#[derive(Clone, Debug, PartialEq)]
pub struct Refusal {
    /// Where, e.g. `entries[12].layers[1].sg`; empty for the document as a whole.
    pub place: String,
    /// What is wrong.
    pub cause: Cause,
}

/// The words of a refusal.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "typescript", derive(ts_rs::TS))]
pub struct Message {
    /// Where; empty for the document as a whole.
    pub place: String,
    /// What is wrong.
    pub problem: String,
    /// What to do.
    pub remedy: String,
}

/// What is wrong, with its data.
#[derive(Clone, Debug, PartialEq)]
pub enum Cause {
    /// Not JSON.
    NotJson {
        /// Line, from 1.
        line: usize,
        /// Column in letters, from 1.
        column: usize,
        /// Why.
        fault: Fault,
    },
    /// The file is longer than is read.
    FileTooLong {
        /// Its bytes.
        bytes: usize,
        /// Most bytes.
        limit: usize,
    },
    /// Something other than a studio document.
    NotAStudio,
    /// Written by a newer program.
    FromTheFuture {
        /// Its version.
        found: f64,
        /// The newest that is read.
        newest: u32,
    },
    /// A version that never was.
    NoSuchVersion {
        /// What stands there.
        found: String,
    },
    /// A key that the document does not have.
    UnknownKey {
        /// The key.
        key: String,
        /// Keys that may stand there.
        known: Vec<&'static str>,
    },
    /// A key twice in one object.
    DuplicateKey {
        /// The key.
        key: String,
    },
    /// A key that must be there.
    MissingKey {
        /// The key.
        key: &'static str,
    },
    /// A number where a text belongs, and the like.
    WrongKind {
        /// What belongs there.
        expected: &'static str,
        /// What stands there, cut short.
        found: String,
    },
    /// A word that is not one of those known.
    UnknownWord {
        /// The word.
        found: String,
        /// Words that are known.
        known: &'static [&'static str],
    },
    /// A number outside its bounds.
    OutOfBounds {
        /// The number.
        value: f64,
        /// The bounds and their reason.
        bounds: &'static Bounds,
    },
    /// A number with a fraction where only whole ones make sense.
    NotWhole {
        /// The number.
        value: f64,
    },
    /// More in a list than is kept.
    TooMany {
        /// How many, or more.
        count: usize,
        /// Most.
        limit: usize,
    },
    /// Nothing in a list that needs something.
    TooFew {
        /// How many.
        count: usize,
        /// Least.
        least: usize,
    },
    /// A text longer than is kept.
    TextTooLong {
        /// Its letters.
        letters: usize,
        /// Most letters.
        limit: usize,
    },
    /// A text without a visible letter where a name belongs.
    TextBlank,
    /// A letter that cannot be seen, or that turns the text around.
    HiddenLetter {
        /// Its code point.
        code: u32,
        /// Which letter of the text, from 1.
        at: usize,
    },
    /// A text that does not have the form it needs.
    WrongForm {
        /// The text, cut short.
        found: String,
        /// The form.
        form: &'static str,
    },
    /// The same identifier or code twice.
    Twice {
        /// The text.
        text: String,
        /// Where it stands first.
        first: String,
    },
    /// A reference to something that is not there.
    NoSuchRecord {
        /// Which list it belongs to.
        list: List,
        /// The identifier.
        id: String,
    },
    /// Something that others refer to cannot go.
    StillUsed {
        /// What uses it, first place.
        by: String,
        /// How many use it.
        count: usize,
    },
    /// An end before or at its beginning.
    EndsBeforeItStarts {
        /// Where it starts.
        from: f64,
        /// Where it ends.
        to: f64,
        /// The unit.
        unit: &'static str,
    },
    /// A measure that does not fit another one.
    DoesNotFit {
        /// The measure.
        value: f64,
        /// The other one.
        limit: f64,
        /// The unit.
        unit: &'static str,
        /// What does not fit what.
        misfit: Misfit,
    },
    /// Two things that contradict each other.
    Contradiction(Contradiction),
    /// Measures that do not make a piece.
    Piece(PieceError),
    /// A number that the physics has no answer for.
    Physics(PhysicsError),
}

/// What does not fit what.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Misfit {
    /// A zone or a texture goes beyond the lower end of the wall.
    BelowTheFoot,
    /// Glaze goes further down the inside than the inside is deep.
    BelowTheFloor,
    /// A belly narrower than rim or foot.
    BellyNarrow,
    /// A neck wider than rim or belly.
    NeckWide,
    /// A foot wider than the rim of an open form.
    FootWide,
    /// A wall too thick for the form.
    WallThick,
    /// A rim rounder than its wall is thick.
    RimRound,
    /// A texture too steep to be a wall.
    TextureSteep,
    /// Texture, zone and bare wall that are longer than the wall.
    BareLong,
    /// A slurry too thick to dip into.
    SlurryThick,
    /// An oxide analysis that adds up to too much.
    OxidesMany,
    /// An oxide analysis that adds up to too little.
    OxidesFew,
    /// Viscosities given for temperatures that are not apart.
    ViscosityFlat,
    /// A plain form that has no height to be glazed on.
    FormFlat,
    /// A diameter smaller than the form can be scaled to.
    DiameterSmall,
    /// The chance from which a pot is said to run off is not above the one up to which it holds.
    VerdictLines,
    /// A picture that carries more than is kept.
    PhotoBytes,
}

/// Two things that contradict each other.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Contradiction {
    /// Over the rim, and yet starting below it.
    OverRimStartsLower,
    /// Down the inside without going over the rim.
    InsideWithoutRim,
    /// A tile has no rim.
    TileWithRim,
    /// A tile has no inside and no diameter.
    TileWithDiameter,
    /// Only a tile leans.
    PotWithSlope,
    /// A word for a run without what is meant by it.
    WordWithoutInterval,
    /// A run read at an edge on glaze, with only one layer there.
    EdgeWithoutGlaze,
    /// Texture judged on a form that has none.
    TextureWithoutTexture,
    /// One or two viscosities.
    ViscosityPointsFew,
    /// A profile that turns back on itself or does not end at the foot.
    ProfileTangled,
    /// A log entry whose firing is still to come.
    OutcomeBeforeFiring,
    /// A schedule that never gets hot enough for a glaze to melt.
    NeverHot,
}

impl Refusal {
    /// A refusal at a place.
    pub fn new(place: impl Into<String>, cause: Cause) -> Self {
        Self {
            place: place.into(),
            cause,
        }
    }

    /// The words: what is wrong, where, and what to do.
    pub fn message(&self) -> Message {
        let (problem, remedy) = words(&self.cause);
        Message {
            place: self.place.clone(),
            problem,
            remedy,
        }
    }
}

impl fmt::Display for Refusal {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Message {
            place,
            problem,
            remedy,
        } = self.message();
        if !place.is_empty() {
            write!(out, "{place}: ")?;
        }
        write!(out, "{problem} {remedy}")
    }
}

impl std::error::Error for Refusal {}

/// The first letters of a text, so that a refusal stays readable whatever was sent, without those that
/// would not show.
pub fn cut(text: &str) -> String {
    let mut short: String = text
        .chars()
        .take(40)
        .map(|letter| if hidden(letter) { '\u{fffd}' } else { letter })
        .collect();
    if text.chars().nth(40).is_some() {
        short.push('…');
    }
    short
}

/// Letters that cannot be seen or that turn a text around: controls, direction marks, zero-width and filler letters.
pub fn hidden(letter: char) -> bool {
    letter.is_control()
        || matches!(letter,
            '\u{ad}' | '\u{34f}' | '\u{61c}' | '\u{115f}' | '\u{1160}' | '\u{17b4}' | '\u{17b5}' | '\u{180b}'..='\u{180f}'
            | '\u{200b}'..='\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2060}'..='\u{206f}' | '\u{3164}' | '\u{fe00}'..='\u{fe0e}'
            | '\u{feff}' | '\u{ffa0}' | '\u{fff0}'..='\u{fffb}' | '\u{fffe}' | '\u{ffff}' | '\u{1bca0}'..='\u{1bca3}'
            | '\u{1d173}'..='\u{1d17a}' | '\u{e0000}'..='\u{e0fff}')
}

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
    words.join(", ")
}

fn words(cause: &Cause) -> (String, String) {
    match cause {
        Cause::NotJson { line, column, fault } => {
            let (what, remedy) = fault_words(*fault);
            (
                format!("The file cannot be read at line {line}, letter {column}: {what}."),
                format!("{remedy} If it was never edited by hand, it was damaged: take an older copy."),
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
            format!("This file was written by a newer Glazefall (version {found}); this one reads up to version {newest}."),
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
        Cause::WrongForm { found, form } => (format!("\"{found}\" is not {form}."), format!("Write {form}.")),
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
            "Measure both down from the rim or the upper edge; the end is the larger one.".into(),
        ),
        Cause::DoesNotFit { value, limit, unit, misfit } => {
            let (what, remedy) = misfit_words(*misfit);
            let (value, limit) = (plain(*value), plain(*limit));
            (what.replace("{v}", &format!("{value}{unit}")).replace("{l}", &format!("{limit}{unit}")), remedy.into())
        }
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
        Some(first) => first.to_lowercase().chain(letters).collect(),
        None => String::new(),
    }
}

/// A number as a person would write it; very large and very small ones with a power of ten.
pub fn plain(value: f64) -> String {
    let size = value.abs();
    if size != 0.0 && !(1e-4..1e9).contains(&size) {
        return format!("{value:e}");
    }
    // Four places are finer than anything that is read in a studio, and hide the noise of binary fractions.
    let text = format!("{value:.4}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// Whether two keys differ by case, by a stroke between words, or by one letter.
fn close(found: &str, known: &str) -> bool {
    if found.len() > known.len() + 2 {
        return false;
    }
    let tidy = |word: &str| -> Vec<char> {
        word.chars()
            .filter(|letter| letter.is_alphanumeric())
            .flat_map(char::to_lowercase)
            .collect()
    };
    let (a, b) = (tidy(found), tidy(known));
    let same_start = a.iter().zip(&b).take_while(|(x, y)| x == y).count();
    let same_end = a
        .iter()
        .rev()
        .zip(b.iter().rev())
        .take_while(|(x, y)| x == y)
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

fn misfit_words(misfit: Misfit) -> (&'static str, &'static str) {
    match misfit {
        Misfit::BelowTheFoot => (
            "This reaches {v} down, and the wall ends at {l}.",
            "Let it end higher; measure along the wall, down from the rim or the upper edge.",
        ),
        Misfit::BelowTheFloor => (
            "This goes {v} down the inside, and the inside is {l} deep along the wall.",
            "Let it end higher.",
        ),
        Misfit::BellyNarrow => (
            "The largest diameter is {v}, less than rim or foot with {l}.",
            "Give the diameter where the form is widest.",
        ),
        Misfit::NeckWide => (
            "The neck is {v} wide, more than rim or belly with {l}.",
            "Give the narrowest diameter.",
        ),
        Misfit::FootWide => (
            "The foot is {v} wide, more than the rim with {l}.",
            "Measure foot and rim again.",
        ),
        Misfit::WallThick => (
            "The wall is {v} thick, and this form leaves room for {l}.",
            "Measure the wall again.",
        ),
        Misfit::RimRound => (
            "The rim is rounded with a radius of {v}, more than half the wall, {l}.",
            "Give at most half the wall's thickness.",
        ),
        Misfit::TextureSteep => (
            "The texture is {v} deep; with this repeat at most {l} can be glazed.",
            "Measure depth and repeat again.",
        ),
        Misfit::BareLong => (
            "Bare wall of {v} below the glaze is more than the wall has there, {l}.",
            "Measure from the lowest glaze line to the foot.",
        ),
        Misfit::SlurryThick => (
            "A slurry of specific gravity {v} is too thick to dip into; with this glaze's dry density at most {l}.",
            "Thin it, or brush it on.",
        ),
        Misfit::OxidesMany => (
            "The oxides add up to {v}, more than {l}.",
            "Give them in weight percent.",
        ),
        Misfit::OxidesFew => (
            "The oxides add up to {v}, less than {l}.",
            "Give all of them, in weight percent.",
        ),
        Misfit::ViscosityFlat => (
            "Two viscosities are given only {v} apart; they need at least {l}.",
            "Give points further apart, each stiffer as it gets cooler.",
        ),
        Misfit::FormFlat => (
            "The form is {v} high, and it needs at least {l}.",
            "Measure the height again.",
        ),
        Misfit::DiameterSmall => (
            "A diameter of {v} is too small for this form; the least is {l}.",
            "Measure it again.",
        ),
        Misfit::VerdictLines => (
            "\"Will run off\" starts at a chance of {v}, not above the {l} up to which a pot holds.",
            "Set the second line above the first.",
        ),
        Misfit::PhotoBytes => (
            "The photograph takes {v}; up to {l} are kept.",
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
        Contradiction::ProfileTangled => (
            "The points of the profile do not make a wall from the rim down to the foot.",
            "Give them in order from rim to foot, each at least 0.5 mm from the one before.",
        ),
        Contradiction::OutcomeBeforeFiring => (
            "Something was read from a firing that is still to come.",
            "Mark the firing as fired.",
        ),
        Contradiction::NeverHot => (
            "This schedule never gets hot enough for a glaze to melt.",
            "Check the highest target; it is in °C.",
        ),
    }
}
