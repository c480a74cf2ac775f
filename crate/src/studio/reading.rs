//! Quantities as people type them: a comma or a point, a unit behind or none, a slurry in whichever way it was weighed.
//!
//! Takes the text, what it should be, and the studio's choices; gives a number in the document's unit and the words of
//! what was understood, or why nothing was.

use std::fmt;

use serde::Serialize;

use super::decimal;
use super::document::{Settings, Units};
use crate::digits::{self, Fixed};
use crate::physics::slurry;

mod pail;

/// Longest text that is looked at, letters.
const LONGEST: usize = 60;
const MM_PER_INCH: f64 = 25.4;
const G_PER_OUNCE: f64 = slurry::OUNCE_KG * 1000.0;

/// What a text should be.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "typescript", derive(ts_rs::TS))]
#[serde(rename_all = "snake_case")]
pub enum Quantity {
    /// Specific gravity of a slurry, by any of its readings.
    Sg,
    /// Length, mm.
    LengthMm,
    /// Temperature, °C.
    TemperatureC,
    /// Rate of heating or cooling, °C/h.
    RateCPerH,
    /// Minutes.
    Minutes,
    /// Seconds.
    Seconds,
    /// Grams.
    Grams,
    /// Area, cm².
    AreaCm2,
    /// A share, typed as a percentage.
    Percent,
    /// A number without a unit.
    Plain,
}

impl Quantity {
    /// By its name in the page's messages, as serde writes it.
    pub fn named(name: &str) -> Option<Self> {
        Some(match name {
            "sg" => Self::Sg,
            "length_mm" => Self::LengthMm,
            "temperature_c" => Self::TemperatureC,
            "rate_c_per_h" => Self::RateCPerH,
            "minutes" => Self::Minutes,
            "seconds" => Self::Seconds,
            "grams" => Self::Grams,
            "area_cm2" => Self::AreaCm2,
            "percent" => Self::Percent,
            "plain" => Self::Plain,
            _ => return None,
        })
    }
}

/// A text that was understood.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(feature = "typescript", derive(ts_rs::TS))]
pub struct Reading {
    /// In the document's unit.
    pub value: f64,
    /// What it was taken for, e.g. "36 oz in an imperial pint: SG 1.80".
    pub understood: String,
}

/// A text that was not understood.
#[derive(Clone, Debug, PartialEq)]
pub enum NotRead {
    /// Nothing there.
    Empty,
    /// No number at its beginning.
    NotANumber {
        /// The text, cut short.
        text: String,
    },
    /// A unit that is not one of this quantity's.
    UnknownUnit {
        /// As it was typed.
        unit: String,
        /// Those that are known.
        known: &'static str,
    },
    /// A slurry that could be two things, or that no slurry can be.
    NoSuchSlurry {
        /// Its specific gravity, as far as it could be read.
        sg: f64,
    },
}

impl fmt::Display for NotRead {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Empty => write!(f, "Nothing typed. Type a number."),
            Self::NotANumber { text } => write!(
                f,
                "“{text}” is not a number. Type digits, with a comma or a point."
            ),
            Self::UnknownUnit { unit, known } => {
                write!(f, "“{unit}” is not a unit known here. Use {known}.")
            }
            Self::NoSuchSlurry { sg } => write!(
                f,
                "That would be SG {}, and a glaze slurry is between {} and {}. Check the reading and its unit.",
                Fixed(*sg, 2),
                Fixed(slurry::SG_LEAST, 2),
                Fixed(slurry::SG_MOST, 2)
            ),
        }
    }
}

/// How a quantity is understood and shown.
struct Kind {
    quantity: Quantity,
    /// Units that are named where another one was typed.
    known: &'static str,
    /// The document's unit as it is shown, and the decimals of that at most.
    shown: (&'static str, u32),
    /// Parts of the document's unit that are kept, so that 45 °Bé does not come back as sixteen digits; 0: all.
    parts: f64,
    /// What a number without a unit is where a studio counts in inches and ounces, and the units that are named there.
    imperial: (&'static str, &'static str),
    /// What is shown to such a studio before the document's unit, and the decimals of both at most.
    first: Option<(&'static str, u32, u32)>,
}

const fn kind(
    quantity: Quantity,
    known: &'static str,
    unit: &'static str,
    decimals: u32,
    parts: f64,
) -> Kind {
    Kind {
        quantity,
        known,
        shown: (unit, decimals),
        parts,
        imperial: ("", known),
        first: None,
    }
}

static KINDS: [Kind; 9] = [
    Kind {
        imperial: ("in", "mm, cm or in"),
        first: Some((" in", 3, 1)),
        ..kind(Quantity::LengthMm, "mm, cm or in", " mm", 2, 1e4)
    },
    Kind {
        imperial: ("f", "°C or °F"),
        first: Some((" °F", 0, 0)),
        ..kind(Quantity::TemperatureC, "°C or °F", " °C", 0, 1e3)
    },
    Kind {
        imperial: ("f/h", "°C/h or °F/h"),
        first: Some((" °F/h", 1, 1)),
        ..kind(Quantity::RateCPerH, "°C/h or °F/h", " °C/h", 1, 1e3)
    },
    kind(Quantity::Minutes, "min or h", " min", 2, 1e4),
    kind(Quantity::Seconds, "s or min", " s", 2, 1e4),
    Kind {
        imperial: ("oz", "oz or g"),
        ..kind(Quantity::Grams, "g, kg or oz", " g", 2, 1e4)
    },
    kind(Quantity::AreaCm2, "cm² or in²", " cm²", 2, 1e4),
    kind(Quantity::Percent, "%", " %", 2, 1e6),
    kind(Quantity::Plain, "a number alone", "", 3, 0.0),
];

/// Units of a quantity by their names, in small letters and without spaces: a number of them, less so much, times and per so
/// much, is one in the document's unit. A number without a unit is in the document's, but for shares, typed in percent.
type Unit = (Quantity, &'static [&'static str], f64, f64, f64);
static UNITS: [Unit; 23] = {
    use Quantity::{AreaCm2, Grams, LengthMm, Minutes, Percent, RateCPerH, Seconds, TemperatureC};
    [
        (LengthMm, &["mm"], 0.0, 1.0, 1.0),
        (LengthMm, &["cm"], 0.0, 10.0, 1.0),
        (LengthMm, &["m"], 0.0, 1000.0, 1.0),
        (
            LengthMm,
            &["in", "inch", "inches", "\"", "″", "”"],
            0.0,
            MM_PER_INCH,
            1.0,
        ),
        (TemperatureC, &["c", "°c", "degc"], 0.0, 1.0, 1.0),
        (TemperatureC, &["f", "°f", "degf"], 32.0, 1.0, 1.8),
        (
            RateCPerH,
            &["c/h", "°c/h", "c/hr", "°c/hr", "/h"],
            0.0,
            1.0,
            1.0,
        ),
        (RateCPerH, &["f/h", "°f/h", "f/hr", "°f/hr"], 0.0, 1.0, 1.8),
        (RateCPerH, &["c/min", "°c/min"], 0.0, 60.0, 1.0),
        (
            Minutes,
            &["min", "mins", "minute", "minutes"],
            0.0,
            1.0,
            1.0,
        ),
        (Minutes, &["h", "hour", "hours"], 0.0, 60.0, 1.0),
        (Minutes, &["s"], 0.0, 1.0, 60.0),
        (Seconds, &["s", "sec", "second", "seconds"], 0.0, 1.0, 1.0),
        (Seconds, &["min"], 0.0, 60.0, 1.0),
        (Grams, &["g", "gram", "grams"], 0.0, 1.0, 1.0),
        (Grams, &["kg"], 0.0, 1000.0, 1.0),
        (Grams, &["mg"], 0.0, 1.0, 1000.0),
        (Grams, &["oz"], 0.0, G_PER_OUNCE, 1.0),
        (AreaCm2, &["cm2", "cm²"], 0.0, 1.0, 1.0),
        (AreaCm2, &["mm2", "mm²"], 0.0, 1.0, 100.0),
        (AreaCm2, &["m2", "m²"], 0.0, 1e4, 1.0),
        (AreaCm2, &["in2", "in²", "sqin"], 0.0, 6.4516, 1.0),
        (Percent, &["", "%", "percent"], 0.0, 1.0, 100.0),
    ]
};

/// Reads a quantity as typed.
///
/// # Errors
/// [`NotRead`] where there is no number, an unknown unit, or a slurry that cannot be.
pub fn read(text: &str, quantity: Quantity, settings: &Settings) -> Result<Reading, NotRead> {
    let (number, typed) = split(text)?;
    let Some(kind) = KINDS.iter().find(|kind| kind.quantity == quantity) else {
        return pail::slurry(number, &typed, settings);
    };
    let imperial = settings.units == Units::Imperial;
    let name = match typed.replace(' ', "") {
        none if none.is_empty() && imperial => kind.imperial.0.to_owned(),
        name => name,
    };
    let (mut value, mut is_known) = (number, name.is_empty());
    for (of, names, less, times, per) in &UNITS {
        if *of == quantity && names.contains(&name.as_str()) {
            (value, is_known) = ((number - less) * times / per, true);
        }
    }
    if !is_known {
        let known = if imperial {
            kind.imperial.1
        } else {
            kind.known
        };
        let unit = typed;
        return Err(NotRead::UnknownUnit { unit, known });
    }
    let (unit, decimals) = kind.shown;
    // A share is shown as it was typed.
    let mut understood = match kind.quantity {
        Quantity::Percent => said(number, decimals, unit),
        _ => said(value, decimals, unit),
    };
    if imperial && let Some((first, decimals, then)) = kind.first {
        let first_value = match quantity {
            Quantity::LengthMm => value / MM_PER_INCH,
            Quantity::TemperatureC => value * 1.8 + 32.0,
            _ => value * 1.8,
        };
        understood = said(first_value, decimals, first);
        understood.push_str(", ");
        understood.push_str(&said(value, then, unit));
    }
    if kind.parts > 0.0 {
        value = round(value, kind.parts);
    }
    Ok(Reading { value, understood })
}

/// The number at the beginning, and what stands behind it in small letters without spaces at its ends.
fn split(text: &str) -> Result<(f64, String), NotRead> {
    let mut lower = String::new();
    for letter in text.trim().chars().take(LONGEST) {
        lower.push(match letter {
            'É' => 'é',
            '−' => '-',
            _ => letter.to_ascii_lowercase(),
        });
    }
    if lower.is_empty() {
        return Err(NotRead::Empty);
    }
    // "SG 1,45" and "1,45 SG" are the same.
    let body = lower.strip_prefix("sg").unwrap_or(&lower).trim_start();
    // "1,450.5" and "1.450,5": the last mark is the decimal one. One mark alone is decimal.
    let (mut end, mut last) = (0, usize::MAX);
    for byte in body.bytes() {
        match byte {
            b'0'..=b'9' => {}
            b'.' | b',' => last = end,
            b'-' | b'+' if end == 0 => {}
            _ => break,
        }
        end += 1;
    }
    let (digits, unit) = body.split_at(end);
    let mut plain = String::new();
    let mut sound = true;
    for (at, letter) in digits.char_indices() {
        match letter {
            '.' | ',' if at == last => plain.push('.'),
            '.' | ',' => sound &= !digits[last..].starts_with(letter),
            _ => plain.push(letter),
        }
    }
    match decimal::parse(&plain) {
        Some(number) if sound && number.is_finite() => {
            Ok((number, unit.trim().trim_end_matches('.').to_owned()))
        }
        _ => Err(NotRead::NotANumber {
            text: text.trim().chars().take(24).collect(),
        }),
    }
}

/// To the digits that the document keeps.
fn round(value: f64, parts: f64) -> f64 {
    (value * parts).round() / parts
}

/// A number with its unit, without zeros at its end.
fn said(value: f64, most: u32, unit: &str) -> String {
    let mut text = String::new();
    digits::put_fixed(&mut text, value, most);
    if text.contains('.') {
        while text.ends_with('0') {
            text.pop();
        }
        if text.ends_with('.') {
            text.pop();
        }
    }
    text.push_str(unit);
    text
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::studio::document::Pint;

    fn sg(text: &str) -> f64 {
        read(text, Quantity::Sg, &Settings::default())
            .unwrap()
            .value
    }

    /// The readings of model.md 1: SG 1.5 is 100 °Tw and 48.33 °Bé (modulus 145). An imperial pint of water is 20.045 oz.
    #[test]
    fn one_slurry_in_seven_ways() {
        for text in [
            "1.45",
            "1,45",
            "SG 1,45",
            "1.45 sg",
            "145",
            "1450",
            "1450 g/L",
            "145 g in 100 ml",
            "90 Tw",
            "1.450 g/ml",
        ] {
            assert!((sg(text) - 1.45).abs() < 1e-9, "{text}: {}", sg(text));
        }
        assert!((sg("48,33 Bé") - 1.5).abs() < 2e-4);
        assert!(
            (sg("36 oz") - 36.0 / 20.045).abs() < 2e-4,
            "{}",
            sg("36 oz")
        );
        let us = Settings {
            pint: Pint::Us,
            ..Settings::default()
        };
        let reading = read("24 oz", Quantity::Sg, &us).unwrap();
        assert!(
            reading.understood.contains("US pint"),
            "{}",
            reading.understood
        );
        assert!((reading.value - 24.0 * 0.028_349_523 / 0.473_176).abs() < 2e-4);
    }

    #[test]
    fn numbers_as_people_type_them() {
        let mm = |text: &str| {
            read(text, Quantity::LengthMm, &Settings::default())
                .unwrap()
                .value
        };
        assert_eq!(mm("60"), 60.0);
        assert_eq!(mm(" 6,5 cm "), 65.0);
        assert_eq!(mm("2 in"), 50.8);
        assert_eq!(mm("1.250,5"), 1250.5);
        assert_eq!(mm("1,250.5 mm"), 1250.5);
        let inches = Settings {
            units: Units::Imperial,
            ..Settings::default()
        };
        assert_eq!(read("2", Quantity::LengthMm, &inches).unwrap().value, 50.8);
        assert_eq!(
            read("2232 °F", Quantity::TemperatureC, &inches)
                .unwrap()
                .value,
            1222.222
        );
        assert_eq!(
            read("12 %", Quantity::Percent, &inches).unwrap().value,
            0.12
        );
    }

    #[test]
    fn what_is_not_understood_says_why() {
        let say = |text: &str, quantity| {
            read(text, quantity, &Settings::default())
                .unwrap_err()
                .to_string()
        };
        let all = [
            say("", Quantity::LengthMm),
            say("abc", Quantity::LengthMm),
            say("6 cubits", Quantity::LengthMm),
            say("1.2.3", Quantity::Plain),
            say("50", Quantity::Sg),
            say("2500 g/L", Quantity::Sg),
            say("\u{202e}1e999", Quantity::Plain),
        ];
        for words in &all {
            assert!(words.ends_with('.') && words.len() < 200, "{words}");
        }
        assert!(all[5].contains("2.50"));
    }
}
