//! Quantities as people type them: a comma or a point, a unit behind or none, a slurry in whichever way it was weighed.
//!
//! Takes the text, what it should be, and the studio's choices; gives a number in the document's unit and the words of
//! what was understood, or why nothing was.

use std::fmt;

use serde::Serialize;

use super::decimal;
use super::document::{Settings, Units};
use crate::digits::Fixed;
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

/// Reads a quantity as typed.
///
/// # Errors
/// [`NotRead`] where there is no number, an unknown unit, or a slurry that cannot be.
pub fn read(text: &str, quantity: Quantity, settings: &Settings) -> Result<Reading, NotRead> {
    let (number, unit) = split(text)?;
    match quantity {
        Quantity::Sg => pail::slurry(number, &unit, settings),
        Quantity::LengthMm => length(number, &unit, settings.units),
        Quantity::TemperatureC => temperature(number, &unit, settings.units),
        Quantity::RateCPerH => rate(number, &unit, settings.units),
        Quantity::Minutes => scaled(
            number,
            &unit,
            &[
                ("", 1.0),
                ("min", 1.0),
                ("mins", 1.0),
                ("minute", 1.0),
                ("minutes", 1.0),
                ("h", 60.0),
                ("hour", 60.0),
                ("hours", 60.0),
                ("s", 1.0 / 60.0),
            ],
            "min or h",
            "min",
        ),
        Quantity::Seconds => scaled(
            number,
            &unit,
            &[
                ("", 1.0),
                ("s", 1.0),
                ("sec", 1.0),
                ("second", 1.0),
                ("seconds", 1.0),
                ("min", 60.0),
            ],
            "s or min",
            "s",
        ),
        Quantity::Grams => match settings.units {
            Units::Metric => scaled(
                number,
                &unit,
                &[
                    ("", 1.0),
                    ("g", 1.0),
                    ("gram", 1.0),
                    ("grams", 1.0),
                    ("kg", 1000.0),
                    ("mg", 0.001),
                    ("oz", G_PER_OUNCE),
                ],
                "g, kg or oz",
                "g",
            ),
            Units::Imperial => scaled(
                number,
                &unit,
                &[
                    ("", G_PER_OUNCE),
                    ("oz", G_PER_OUNCE),
                    ("g", 1.0),
                    ("kg", 1000.0),
                ],
                "oz or g",
                "g",
            ),
        },
        Quantity::AreaCm2 => scaled(
            number,
            &unit,
            &[
                ("", 1.0),
                ("cm2", 1.0),
                ("cm²", 1.0),
                ("mm2", 0.01),
                ("mm²", 0.01),
                ("m2", 1e4),
                ("m²", 1e4),
                ("in2", 6.4516),
                ("in²", 6.4516),
                ("sq in", 6.4516),
            ],
            "cm² or in²",
            "cm²",
        ),
        Quantity::Percent => percent(number, &unit),
        Quantity::Plain if unit.is_empty() => Ok(Reading {
            value: number,
            understood: tidy(number, 3),
        }),
        Quantity::Plain => Err(NotRead::UnknownUnit {
            unit,
            known: "a number alone",
        }),
    }
}

/// The number at the beginning, and what stands behind it in small letters without spaces at its ends.
fn split(text: &str) -> Result<(f64, String), NotRead> {
    let text: String = text.trim().chars().take(LONGEST).collect();
    if text.is_empty() {
        return Err(NotRead::Empty);
    }
    let not = || NotRead::NotANumber {
        text: text.chars().take(24).collect(),
    };
    let lower = text.to_ascii_lowercase().replace('É', "é");
    // "SG 1,45" and "1,45 SG" are the same.
    let body = lower.strip_prefix("sg").unwrap_or(&lower).trim_start();
    let end = body
        .char_indices()
        .find(|&(at, c)| {
            !(c.is_ascii_digit()
                || c == '.'
                || c == ','
                || (at == 0 && (c == '-' || c == '+' || c == '−')))
        })
        .map_or(body.len(), |(at, _)| at);
    let (digits, unit) = body.split_at(end);
    let digits = digits.replace('−', "-");
    let points = digits.matches([',', '.']).count();
    // "1,450.5" and "1.450,5": the last mark is the decimal one. One mark alone is decimal.
    let plain = match (points, digits.rfind([',', '.'])) {
        (0, _) => digits.clone(),
        (1, _) => digits.replace(',', "."),
        (_, Some(last)) => {
            let (whole, part) = digits.split_at(last);
            let (mark, whole_mark) = if part.starts_with(',') {
                (',', '.')
            } else {
                ('.', ',')
            };
            if whole.contains([mark]) {
                return Err(not());
            }
            format!("{}.{}", whole.replace(whole_mark, ""), &part[1..])
        }
        (_, None) => return Err(not()),
    };
    let number = decimal::parse(&plain).ok_or_else(not)?;
    if !number.is_finite() {
        return Err(not());
    }
    Ok((number, unit.trim().trim_end_matches('.').to_string()))
}

fn length(number: f64, unit: &str, units: Units) -> Result<Reading, NotRead> {
    let factor = match (unit, units) {
        ("", Units::Metric) | ("mm", _) => 1.0,
        ("cm", _) => 10.0,
        ("m", _) => 1000.0,
        ("", Units::Imperial) | ("in" | "inch" | "inches" | "\"" | "″" | "”", _) => MM_PER_INCH,
        _ => {
            return Err(NotRead::UnknownUnit {
                unit: unit.to_string(),
                known: "mm, cm or in",
            });
        }
    };
    let mm = number * factor;
    let understood = match units {
        Units::Metric => format!("{} mm", tidy(mm, 2)),
        Units::Imperial => format!("{} in, {} mm", tidy(mm / MM_PER_INCH, 3), tidy(mm, 1)),
    };
    Ok(Reading {
        value: round(mm, 1e4),
        understood,
    })
}

fn temperature(number: f64, unit: &str, units: Units) -> Result<Reading, NotRead> {
    let celsius = match (unit, units) {
        ("", Units::Metric) | ("c" | "°c" | "degc", _) => number,
        ("", Units::Imperial) | ("f" | "°f" | "degf", _) => (number - 32.0) / 1.8,
        _ => {
            return Err(NotRead::UnknownUnit {
                unit: unit.to_string(),
                known: "°C or °F",
            });
        }
    };
    let understood = match units {
        Units::Metric => format!("{} °C", tidy(celsius, 0)),
        Units::Imperial => format!(
            "{} °F, {} °C",
            tidy(celsius * 1.8 + 32.0, 0),
            tidy(celsius, 0)
        ),
    };
    Ok(Reading {
        value: round(celsius, 1e3),
        understood,
    })
}

fn rate(number: f64, unit: &str, units: Units) -> Result<Reading, NotRead> {
    let per_h = match (unit.replace(' ', "").as_str(), units) {
        ("", Units::Metric) | ("c/h" | "°c/h" | "c/hr" | "°c/hr" | "/h", _) => number,
        ("", Units::Imperial) | ("f/h" | "°f/h" | "f/hr" | "°f/hr", _) => number / 1.8,
        ("c/min" | "°c/min", _) => number * 60.0,
        _ => {
            return Err(NotRead::UnknownUnit {
                unit: unit.to_string(),
                known: "°C/h or °F/h",
            });
        }
    };
    let understood = match units {
        Units::Metric => format!("{} °C/h", tidy(per_h, 1)),
        Units::Imperial => format!("{} °F/h, {} °C/h", tidy(per_h * 1.8, 1), tidy(per_h, 1)),
    };
    Ok(Reading {
        value: round(per_h, 1e3),
        understood,
    })
}

fn percent(number: f64, unit: &str) -> Result<Reading, NotRead> {
    if !matches!(unit, "" | "%" | "percent" | "per cent") {
        return Err(NotRead::UnknownUnit {
            unit: unit.to_string(),
            known: "%",
        });
    }
    Ok(Reading {
        value: round(number / 100.0, 1e6),
        understood: format!("{} %", tidy(number, 2)),
    })
}

fn scaled(
    number: f64,
    unit: &str,
    known: &[(&str, f64)],
    names: &'static str,
    shown: &str,
) -> Result<Reading, NotRead> {
    let Some(&(_, factor)) = known.iter().find(|(name, _)| *name == unit) else {
        return Err(NotRead::UnknownUnit {
            unit: unit.to_string(),
            known: names,
        });
    };
    let value = number * factor;
    Ok(Reading {
        value: round(value, 1e4),
        understood: format!("{} {shown}", tidy(value, 2)),
    })
}

/// To the digits that the document keeps, so that 45 °Bé does not come back as sixteen of them.
fn round(value: f64, per: f64) -> f64 {
    (value * per).round() / per
}

/// Without zeros at the end.
fn tidy(value: f64, most: u32) -> String {
    let text = Fixed(value, most).to_string();
    if text.contains(['.']) {
        text.trim_end_matches('0').trim_end_matches('.').to_string()
    } else {
        text
    }
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
