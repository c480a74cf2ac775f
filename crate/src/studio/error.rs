//! What can be wrong with a studio document, as data; the words are made here, at the edge.
//!
//! Takes a place, a value and a limit; gives what is wrong, where, and what to do about it, in a potter's words.

use std::fmt;

mod words;

pub use words::plain;

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
    /// What is wrong, boxed so that whatever may be refused stays small to hand on.
    pub cause: Box<Cause>,
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
        /// What it should be.
        what: &'static str,
        /// How that is written, as a sentence without its full stop.
        how: &'static str,
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
    /// A file of another studio where one of the same was meant.
    OtherStudio {
        /// What the other calls itself.
        name: String,
    },
    /// A table with nothing in it.
    EmptyTable,
    /// A quote in a table that is never closed.
    OpenQuote,
    /// A table without a column that is known.
    NoKnownColumn {
        /// Columns that are known.
        known: Vec<String>,
    },
    /// The same record on two lines of a table.
    TwiceInTable {
        /// Its identifier.
        text: String,
    },
    /// A name that several records have.
    NameOfSeveral {
        /// Which list.
        list: List,
        /// The name.
        name: String,
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
    /// A stretch of glaze shorter than a bead.
    ZoneShort,
    /// An interval that says more than anybody sees.
    IntervalNarrow,
    /// A belly narrower than rim or foot.
    BellyNarrow,
    /// A neck wider than rim or belly.
    NeckWide,
    /// A foot wider than the rim of an open form.
    FootWide,
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
    /// A run by ruler and by word at once.
    RunTwice,
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
    /// A log entry whose firing is still to come.
    OutcomeBeforeFiring,
    /// More different sizes of piece than are drawn up.
    TooManySizes,
    /// A schedule that never gets hot enough for a glaze to melt.
    NeverHot,
}

impl Refusal {
    /// A refusal at a place.
    pub fn new(place: impl Into<String>, cause: Cause) -> Self {
        Self::at(place.into(), cause)
    }

    #[inline(never)]
    fn at(place: String, cause: Cause) -> Self {
        Self {
            place,
            cause: Box::new(cause),
        }
    }

    /// The words: what is wrong, where, and what to do.
    pub fn message(&self) -> Message {
        let (problem, remedy) = words::words(&self.cause);
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
    let mut short = String::new();
    for (at, letter) in text.chars().enumerate() {
        if at == 40 {
            short.push('…');
            break;
        }
        short.push(if hidden(letter) { '\u{fffd}' } else { letter });
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
