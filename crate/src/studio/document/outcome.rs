//! What was read at the opening of a kiln.
//!
//! Plain data with units in the names, and the walk along its keys.

use serde::{Deserialize, Serialize};

use super::Day;
use crate::studio::bounds;
use crate::studio::walk::{self, Fields, Need, Record, TextRule, words};

/// What was read at the opening.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "typescript", derive(ts_rs::TS), ts(optional_fields))]
#[serde(deny_unknown_fields)]
pub struct Outcome {
    /// The day it was read.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub day: Option<Day>,
    /// How far the longest drip ran beyond the edge.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub run: Option<Run>,
    /// Which edge the run is read at.
    pub edge: Edge,
    /// The top glaze's look.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub look: Option<Look>,
    /// The texture.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub texture: Option<TextureSeen>,
}

/// A run, by ruler or by word.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "typescript", derive(ts_rs::TS), ts(optional_fields))]
#[serde(deny_unknown_fields, tag = "by", rename_all = "snake_case")]
pub enum Run {
    /// Read with a ruler.
    Ruler {
        /// Longest drip below the edge, mm.
        run_mm: f64,
        /// Reading error, mm (standard deviation).
        error_mm: f64,
    },
    /// Said in a word; the interval is what the studio means by it.
    Word {
        /// The word.
        word: RunWord,
        /// At least, mm; none: no lower end.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        least_mm: Option<f64>,
        /// At most, mm; none: no upper end.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        most_mm: Option<f64>,
    },
}

/// Words for a run.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "typescript", derive(ts_rs::TS), ts(optional_fields))]
#[serde(rename_all = "snake_case")]
pub enum RunWord {
    /// The edge is where it was.
    #[default]
    DidNotMove,
    /// A little.
    ALittle,
    /// Some.
    Some,
    /// A lot.
    ALot,
    /// Ran off the end of the tile.
    RanOffTheEnd,
    /// Reached the foot of the pot.
    ReachedTheFoot,
}

impl RunWord {
    /// What is commonly meant by the words that are not about an end, mm: at least, at most.
    pub const RANGES_MM: [(Self, Option<f64>, Option<f64>); 4] = [
        (Self::DidNotMove, None, Some(0.5)),
        (Self::ALittle, Some(0.5), Some(3.0)),
        (Self::Some, Some(3.0), Some(10.0)),
        (Self::ALot, Some(10.0), None),
    ];
}

/// The edge a run is read at.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "typescript", derive(ts_rs::TS), ts(optional_fields))]
#[serde(rename_all = "snake_case")]
pub enum Edge {
    /// The lowest glaze line, onto bare clay.
    #[default]
    OntoBareClay,
    /// The top layer's lower edge, onto the glaze below it.
    OntoGlaze,
    /// From the lowest glaze line towards the foot.
    ToTheFoot,
}

/// Judgement of the top glaze's look against its thickness.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "typescript", derive(ts_rs::TS), ts(optional_fields))]
#[serde(rename_all = "snake_case")]
pub enum Look {
    /// Too thin for its colour.
    TooLittle,
    /// Right.
    #[default]
    Right,
    /// Too thick.
    TooMuch,
}

/// How the texture came out.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "typescript", derive(ts_rs::TS), ts(optional_fields))]
#[serde(rename_all = "snake_case")]
pub enum TextureSeen {
    /// As sharp as the clay.
    #[default]
    Crisp,
    /// Softened.
    Softened,
    /// Buried.
    Buried,
}

words!(RunWord {
    "did_not_move" => DidNotMove,
    "a_little" => ALittle,
    "some" => Some,
    "a_lot" => ALot,
    "ran_off_the_end" => RanOffTheEnd,
    "reached_the_foot" => ReachedTheFoot,
});
words!(Edge { "onto_bare_clay" => OntoBareClay, "onto_glaze" => OntoGlaze, "to_the_foot" => ToTheFoot });
words!(Look { "too_little" => TooLittle, "right" => Right, "too_much" => TooMuch });
words!(TextureSeen { "crisp" => Crisp, "softened" => Softened, "buried" => Buried });

impl Record for Outcome {
    fn walk(&mut self, fields: &mut dyn Fields) {
        fields.maybe_text("day", &mut self.day, TextRule::Day);
        walk::maybe_record(fields, "run", &mut self.run);
        walk::word(fields, "edge", &mut self.edge, None);
        walk::maybe_word(fields, "look", &mut self.look);
        walk::maybe_word(fields, "texture", &mut self.texture);
    }
}

impl Default for Run {
    fn default() -> Self {
        Self::Ruler {
            run_mm: 0.0,
            error_mm: 0.0,
        }
    }
}

impl Record for Run {
    fn walk(&mut self, fields: &mut dyn Fields) {
        let was = usize::from(matches!(self, Self::Word { .. }));
        let mut by = was;
        fields.word("by", &mut by, None, &["ruler", "word"]);
        if by != was {
            *self = match by {
                0 => Self::default(),
                _ => Self::Word {
                    word: RunWord::default(),
                    least_mm: None,
                    most_mm: None,
                },
            };
        }
        match self {
            Self::Ruler { run_mm, error_mm } => {
                fields.number("run_mm", run_mm, Need::Must, &bounds::RUN);
                fields.number("error_mm", error_mm, Need::Must, &bounds::RUN_ERROR);
            }
            Self::Word {
                word,
                least_mm,
                most_mm,
            } => {
                walk::word(fields, "word", word, None);
                fields.maybe_number("least_mm", least_mm, &bounds::RUN);
                fields.maybe_number("most_mm", most_mm, &bounds::RUN);
            }
        }
    }
}
